//! Fewest kinds: a part that is used rarely, and the next larger one that is on the list anyway and would serve. A trial sizes the
//! circuits again with that part pinned; it counts only if none of them comes out worse and the list gets shorter.
//!
//! Without the wish the larger part is only named on the line; with `[catalogue] prefer = "fewest-kinds"` it is taken.

use std::collections::BTreeMap;

use crate::catalogue::Catalogue;
use crate::design::{Circuit, PurchaseLine, Status};
use crate::finding::{Finding, Severity, codes};
use crate::quantity::round_to;
use crate::rules::physics::material;
use crate::sizing::Pins;

/// Sizes a circuit by its index with pins; its findings, status and parts are complete.
pub type Again<'a> = &'a (dyn Fn(usize, &Pins) -> Circuit + Sync);

/// A part that may give way, or take the place of another.
#[derive(Clone, Debug, PartialEq)]
struct Kind {
    /// Part number, of contactors without coil.
    part: String,
    /// Family; protective devices of one kind, contactors of one standard and relays of one kind stand together.
    group: String,
    /// Place in the order of preference of its family.
    rank: usize,
    rating_a: f64,
}

/// Where a kind is used.
#[derive(Clone, Debug)]
struct Used {
    kind: Kind,
    pieces: f64,
    circuits: Vec<usize>,
}

/// A part that gave way to a larger one.
#[derive(Clone, Debug, PartialEq)]
pub struct Merge {
    /// Part that is no longer needed, of contactors without coil.
    pub small: String,
    /// Part in its place.
    pub large: String,
    /// Their ratings, A; of devices with a range its upper end.
    pub ratings_a: [f64; 2],
    /// Circuits that changed.
    pub tags: Vec<String>,
    /// Lines that the circuits' own parts take, before and after; what circuits share and boards bring is not among them.
    pub lines: [usize; 2],
}

/// The result of merging kinds of parts in a design.
#[derive(Debug, Default)]
pub struct Merged {
    /// Pins of each circuit.
    pub pins: Vec<Pins>,
    /// Merges in the order in which they were made.
    pub merges: Vec<Merge>,
}

/// The three kinds of devices that may give way.
#[derive(Clone, Copy, PartialEq)]
enum Place {
    Contactor,
    Relay,
    Protection,
}

/// Takes the larger part wherever that makes the list shorter and no circuit worse.
#[must_use]
pub fn merge(circuits: &[Circuit], pins: Vec<Pins>, catalogue: &Catalogue, book: &str, again: Again<'_>) -> Merged {
    let mut circuits = circuits.to_vec();
    let mut merged = Merged { pins, merges: Vec::new() };
    let mut refused: Vec<(String, String)> = Vec::new();
    // Ratings of the smallest parts that a part stands for by now: several steps together keep within the limit too.
    let mut stands_for: BTreeMap<String, f64> = BTreeMap::new();
    let most = material::figure("larger-most", book);
    // Each merge takes a kind away, so this comes to an end.
    'search: loop {
        for place in [Place::Protection, Place::Contactor, Place::Relay] {
            for (small, larger) in pairs(&circuits, place, catalogue, book) {
                for large in larger {
                    let names = (small.kind.part.clone(), large.part.clone());
                    let smallest = stands_for.get(&names.0).copied().unwrap_or(small.kind.rating_a);
                    if refused.contains(&names) || large.rating_a > most * smallest {
                        continue;
                    }
                    let Some((trial, lines)) = tried(&circuits, &merged.pins, place, &small, &large, catalogue, again) else {
                        refused.push(names);
                        continue;
                    };
                    let known = stands_for.entry(names.1.clone()).or_insert(large.rating_a);
                    *known = known.min(smallest);
                    merged.merges.push(Merge {
                        small: names.0,
                        large: names.1,
                        ratings_a: [small.kind.rating_a, large.rating_a],
                        tags: small.circuits.iter().map(|index| circuits[*index].tag.clone()).collect(),
                        lines,
                    });
                    for (index, circuit, pins) in trial {
                        circuits[index] = circuit;
                        merged.pins[index] = pins;
                    }
                    continue 'search;
                }
            }
        }
        return merged;
    }
}

/// For each rarely used part, of contactors without coil, the larger one that is on the list anyway and would serve.
#[must_use]
pub fn larger(
    circuits: &[Circuit],
    pins: &[Pins],
    catalogue: &Catalogue,
    book: &str,
    again: Again<'_>,
) -> BTreeMap<String, String> {
    let mut all = BTreeMap::new();
    for place in [Place::Protection, Place::Contactor, Place::Relay] {
        for (small, larger) in pairs(circuits, place, catalogue, book) {
            let serves = |large: &&Kind| tried(circuits, pins, place, &small, large, catalogue, again).is_some();
            if let Some(large) = larger.iter().find(serves) {
                all.insert(small.kind.part.clone(), large.part.clone());
            }
        }
    }
    all
}

/// Names the larger part on the line of each rarely used one.
pub fn name(lines: &mut [PurchaseLine], larger: &BTreeMap<String, String>, catalogue: &Catalogue) {
    for line in lines {
        if let Some(large) = larger.get(&base_of(&line.part, Place::Contactor, catalogue)) {
            line.larger_on_list.clone_from(large);
        }
    }
}

/// Findings of merges: what each costs in rating, and what all save in lines.
#[must_use]
pub fn say(merges: &[Merge]) -> Vec<Finding> {
    let ends = from_first_to_last(merges);
    let mut findings: Vec<Finding> = ends
        .iter()
        .map(|merge| {
            let [small, large] = merge.ratings_a;
            let more = if small > 0.0 { round_to((large / small - 1.0) * 100.0, 0) } else { 0.0 };
            Finding::new(
                &codes::P201_MERGED,
                format!(
                    "{} takes the place of {} in {}: {large} A instead of {small} A, {more} % more",
                    merge.large,
                    merge.small,
                    merge.tags.join(", "),
                ),
            )
            .why("catalogue.prefer = \"fewest-kinds\": the larger part is on the list anyway, and every check holds with it")
        })
        .collect();
    if let (Some(first), Some(last)) = (merges.first(), merges.last()) {
        findings.push(Finding::new(
            &codes::P202_MERGES,
            format!(
                "fewest kinds: {} gave way to larger ones, which saves {} of the circuits' own parts on the purchase list",
                if ends.len() == 1 { "1 part".to_owned() } else { format!("{} parts", ends.len()) },
                saved(first.lines[0], last.lines[1])
            ),
        ));
    }
    findings
}

/// What circuits begin and end with: a part that gave way to one that gave way later is told once, by the last of them.
fn from_first_to_last(merges: &[Merge]) -> Vec<Merge> {
    let mut ends: Vec<Merge> = Vec::new();
    for merge in merges {
        let mut moved: Vec<String> = Vec::new();
        for end in ends.iter_mut().filter(|end| end.large == merge.small) {
            let here = |tag: &String| merge.tags.contains(tag);
            if end.tags.iter().all(here) {
                end.large.clone_from(&merge.large);
                end.ratings_a[1] = merge.ratings_a[1];
                moved.extend(end.tags.iter().cloned());
            }
        }
        let tags: Vec<String> = merge.tags.iter().filter(|tag| !moved.contains(tag)).cloned().collect();
        if !tags.is_empty() {
            ends.push(Merge { tags, ..merge.clone() });
        }
    }
    ends
}

fn saved(before: usize, after: usize) -> String {
    match before.saturating_sub(after) {
        1 => "1 line".to_owned(),
        more => format!("{more} lines"),
    }
}

/// Rarely used parts, each with the larger ones that are on the list, the smallest first.
fn pairs(circuits: &[Circuit], place: Place, catalogue: &Catalogue, book: &str) -> Vec<(Used, Vec<Kind>)> {
    let used = used(circuits, place, catalogue);
    let rare = material::figure("rarely-used", book);
    let most = material::figure("larger-most", book);
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a small number of a table
    let tried = material::figure("larger-tried", book).max(0.0) as usize;
    let mut pairs = Vec::new();
    for small in used.iter().filter(|used| used.pieces <= rare) {
        let mut larger: Vec<Kind> = used
            .iter()
            // The larger of two rare parts may take in the smaller.
            .filter(|used| used.kind.group == small.kind.group && used.kind.rank > small.kind.rank)
            .filter(|used| used.kind.rating_a >= small.kind.rating_a && used.kind.rating_a <= most * small.kind.rating_a)
            .map(|used| used.kind.clone())
            .collect();
        larger.sort_by_key(|kind| kind.rank);
        larger.truncate(tried);
        if !larger.is_empty() {
            pairs.push((small.clone(), larger));
        }
    }
    pairs
}

/// Kinds in use, in the order of preference of their families.
fn used(circuits: &[Circuit], place: Place, catalogue: &Catalogue) -> Vec<Used> {
    let mut all: BTreeMap<(String, usize), Used> = BTreeMap::new();
    for (index, circuit) in circuits.iter().enumerate() {
        for part in parts_of(circuit, place) {
            let Some(kind) = kind(&base_of(part, place, catalogue), place, catalogue) else { continue };
            let used = all.entry((kind.group.clone(), kind.rank)).or_insert(Used { kind, pieces: 0.0, circuits: Vec::new() });
            used.pieces += f64::from(circuit.quantity.max(1));
            if used.circuits.last() != Some(&index) {
                used.circuits.push(index);
            }
        }
    }
    all.into_values().collect()
}

fn parts_of(circuit: &Circuit, place: Place) -> Vec<&str> {
    let parts: Vec<&str> = match place {
        Place::Contactor => circuit.contactors.iter().map(|contactor| contactor.part.as_str()).collect(),
        Place::Relay => circuit.overloads.iter().map(|overload| overload.part.as_str()).collect(),
        Place::Protection => circuit.protection.iter().map(|protection| protection.part.as_str()).collect(),
    };
    parts.into_iter().filter(|part| !part.is_empty()).collect()
}

fn base_of(part: &str, place: Place, catalogue: &Catalogue) -> String {
    let contactor = if place == Place::Contactor { catalogue.contactor_with_coil(part) } else { None };
    contactor.map_or_else(|| part.to_owned(), |contactor| contactor.part.clone())
}

fn kind(part: &str, place: Place, catalogue: &Catalogue) -> Option<Kind> {
    macro_rules! look {
        ($family:ident, $row:ident => $rating:expr, $group:expr) => {
            if let Some((rank, $row)) = catalogue.$family.iter().enumerate().find(|(_, row)| row.part == part) {
                let group = format!("{} {}", stringify!($family), $group);
                return Some(Kind { part: part.to_owned(), group, rank, rating_a: $rating });
            }
        };
    }
    match place {
        Place::Contactor => {
            look!(contactors, contactor => contactor.load_rating_a(), contactor.standard.as_deref().unwrap_or("IEC"))
        }
        Place::Relay => look!(overload_relays, relay => relay.range_max_a, relay.kind),
        Place::Protection => {
            look!(motor_breakers, breaker => breaker.range_max_a, breaker.class);
            look!(moulded_case_breakers, breaker => breaker.rating_a, breaker.release);
            look!(line_breakers, breaker => breaker.rating_a, format!("{} {}", breaker.curve, breaker.poles));
            look!(branch_breakers, breaker => breaker.rating_a, format!("{} {}", breaker.kind, breaker.poles));
            look!(fuses, fuse => fuse.rating_a, fuse.kind);
        }
    }
    None
}

/// Circuits as they come out with the larger part, with the lines before and after; none if one of them comes out worse, keeps
/// the smaller part, or the list does not get shorter.
#[allow(clippy::type_complexity)] // circuits that change with their pins, and two counts
fn tried(
    circuits: &[Circuit],
    pins: &[Pins],
    place: Place,
    small: &Used,
    large: &Kind,
    catalogue: &Catalogue,
    again: Again<'_>,
) -> Option<(Vec<(usize, Circuit, Pins)>, [usize; 2])> {
    let mut trial = Vec::new();
    for index in &small.circuits {
        let before = &circuits[*index];
        let with = pinned(&pins[*index], before, place, &small.kind.part, &large.part, catalogue);
        let after = again(*index, &with);
        let parts = parts_of(&after, place);
        let gone = parts.iter().all(|part| base_of(part, place, catalogue) != small.kind.part);
        let there = parts.iter().any(|part| base_of(part, place, catalogue) == large.part);
        if !gone || !there || worse(&after, before) {
            return None;
        }
        trial.push((*index, after, with));
    }
    let before = lines(circuits.iter());
    let changed = |index: usize, circuit| trial.iter().find(|(at, ..)| *at == index).map_or(circuit, |(_, after, _)| after);
    let after = lines(circuits.iter().enumerate().map(|(index, circuit)| changed(index, circuit)));
    (after < before).then_some((trial, [before, after]))
}

/// Pins of a circuit with the larger part in every place of the smaller.
fn pinned(pins: &Pins, circuit: &Circuit, place: Place, small: &str, large: &str, catalogue: &Catalogue) -> Pins {
    let mut pins = pins.clone();
    match place {
        Place::Contactor => {
            for contactor in circuit.contactors.iter().filter(|contactor| base_of(&contactor.part, place, catalogue) == small) {
                pins.contactors.insert(contactor.role.clone(), large.to_owned());
            }
        }
        Place::Relay => {
            for overload in circuit.overloads.iter().filter(|overload| overload.part == small) {
                pins.relays.insert((overload.role.clone(), overload.position.clone()), large.to_owned());
            }
        }
        Place::Protection => pins.protection = Some(large.to_owned()),
    }
    pins
}

fn worse(after: &Circuit, before: &Circuit) -> bool {
    let warnings = |circuit: &Circuit| circuit.findings.iter().filter(|finding| finding.severity != Severity::Note).count();
    let open = |circuit: &Circuit| circuit.checks.iter().filter(|check| check.passed != Some(true)).count();
    // A larger cable or raceway would cost more than a line saves.
    let conductors =
        |circuit: &Circuit| circuit.runs.iter().map(|run| run.phase_area_mm2 * f64::from(run.per_phase)).sum::<f64>();
    let coordination = |circuit: &Circuit| {
        let word = circuit.protection.as_ref().map_or("", |protection| protection.coordination.as_str());
        ["not-claimed", "type-1", "type-2"].iter().position(|kind| *kind == word)
    };
    after.status > before.status
        || after.status == Status::NotSized
        || warnings(after) > warnings(before)
        || open(after) > open(before)
        || conductors(after) > conductors(before) + 1e-9
        || coordination(after) < coordination(before)
}

/// Lines of the purchase list of these circuits.
fn lines<'c>(circuits: impl Iterator<Item = &'c Circuit>) -> usize {
    let mut keys = std::collections::BTreeSet::new();
    // Bars over neighbours are laid when all circuits are known; trials are held without them.
    for part in circuits.flat_map(|circuit| &circuit.parts).filter(|part| !part.shared) {
        let words = if part.part.is_empty() { part.description.as_str() } else { "" };
        keys.insert((part.part.as_str(), words, part.by_others));
    }
    keys.len()
}
