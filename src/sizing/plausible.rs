//! Contradictions: values of one row against each other, and rows against boards and other rows. Nothing is corrected here; each
//! contradiction is a finding at its cell, because one of the two is wrong and only a person knows which.
//!
//! The limits stand in a table, wide enough that a motor which exists stays silent.

use std::collections::{BTreeMap, BTreeSet};

use crate::basis::Basis;
use crate::finding::{Finding, Place, codes, named, nearest};
use crate::load::{Case, EfficiencyClass, Field, Load, LoadKind, Machine, Method};
use crate::quantity::round_to;
use crate::record::Record;
use crate::rules::RuleBook;
use crate::rules::physics::plausibility::plausible;
use crate::rules::units::Units;

mod motor;
pub mod surroundings;

/// Columns of lengths, with the name of the longest that is still believed.
const LENGTHS: [(Field, &str, &str); 4] = [
    (Field::CableLengthM, "cable-length-most-m", "m"),
    (Field::SupplyLengthM, "supply-length-most-m", "m"),
    (Field::ControlCableLengthM, "control-length-most-m", "m"),
    (Field::CableLengthFt, "cable-length-most-ft", "ft"),
];

/// Values of one row against each other.
pub(super) fn of_row(load: &Load, case: &Case, book: &dyn RuleBook, record: &mut Record) {
    efficiency(load, &case.machine, book, record);
    power_factor(load, case, record);
    lengths(load, record);
    starts(load, case, record);
    motor::of_row(load, case, book, record);
}

/// The least efficiency of a class over the numbers of poles that the row leaves open.
fn class_limit(load: &Load, machine: &Machine, class: EfficiencyClass, book: &dyn RuleBook) -> Option<f64> {
    let power = machine.power?;
    let stated = load.entry(Field::Poles).is_some() || load.entry(Field::SpeedRpm).is_some();
    let poles: &[u32] = if stated { &[machine.poles] } else { &[2, 4, 6, 8] };
    let of_class = |poles: u32, class| book.efficiency(&Machine { class: Some(class), poles, ..machine.clone() }, power);
    let limit = |class| poles.iter().filter_map(|&poles| of_class(poles, class)).reduce(f64::min);
    let found = limit(class)?;
    // A book that knows premium efficiency alone says nothing about lower classes.
    let other = class < EfficiencyClass::Ie3 && limit(EfficiencyClass::Ie3).is_some_and(|premium| premium <= found);
    (!other).then_some(found)
}

fn efficiency(load: &Load, machine: &Machine, book: &dyn RuleBook, record: &mut Record) {
    let Some(stated) = load.number(Field::EfficiencyPct).map(|pct| pct / 100.0) else { return };
    if machine.kind != LoadKind::Motor || machine.phases != 3 {
        return;
    }
    let place = load.place_of(Field::EfficiencyPct);
    let percent = |share: f64| round_to(share * 100.0, 1);
    if let Some(class) = machine.class
        && let Some(limit) = class_limit(load, machine, class, book)
        && stated < limit - plausible("loss-tolerance") * (1.0 - limit)
    {
        let word = load.text(Field::EfficiencyClass).unwrap_or(class.name());
        let what = format!("{} % is less than the {} % of class {word} at this output", percent(stated), percent(limit));
        record.find(
            Finding::new(&codes::L321_EFFICIENCY_BELOW_CLASS, what)
                .at(place)
                .why("class and efficiency can't both be right; the lower efficiency gives the larger current")
                .cure("compare class, efficiency and power with the nameplate: the efficiency may be that of pump and motor together"),
        );
    } else if let Some(best) = class_limit(load, machine, EfficiencyClass::Ie5, book)
        && 1.0 - stated < plausible("best-loss-share") * (1.0 - best.max(plausible("best-efficiency-least")))
    {
        let what = format!("{} % leaves less than half of the losses of the best class", percent(stated));
        record.find(
            Finding::new(&codes::L322_EFFICIENCY_TOO_HIGH, what)
                .at(place)
                .why("a current computed with it would be too small")
                .cure("compare efficiency and power with the nameplate; 100 or a share written as per cent is a usual slip"),
        );
    }
}

fn power_factor(load: &Load, case: &Case, record: &mut Record) {
    let Some(stated) = load.number(Field::PowerFactor) else { return };
    // A drive shows its own power factor to the supply; synchronous motors run on drives.
    if case.machine.kind != LoadKind::Motor || case.start.method == Method::Drive || stated < plausible("power-factor-most") {
        return;
    }
    record.find(
        Finding::new(&codes::L323_POWER_FACTOR_ONE, format!("a power factor of {stated} for a motor on the line"))
            .at(load.place_of(Field::PowerFactor))
            .why("a current computed with it would be too small")
            .cure("enter the nameplate's power factor, or leave the cell empty"),
    );
}

fn lengths(load: &Load, record: &mut Record) {
    for (field, longest, unit) in LENGTHS {
        let longest = plausible(longest);
        let Some(length) = load.number(field).filter(|length| *length > longest) else { continue };
        let meant = if unit == "m" && length >= plausible("millimetres-from-m") {
            format!("; if millimetres are meant, write {}", round_to(length / 1_000.0, 1))
        } else {
            String::new()
        };
        record.find(
            Finding::new(
                &codes::L325_LENGTH_UNIT,
                format!("{length} {unit} is longer than any usual run at low voltage (up to {longest} {unit})"),
            )
            .at(load.place_of(field))
            .why("the cable is sized for this length")
            .cure(format!("check the length and its unit{meant}")),
        );
    }
}

fn starts(load: &Load, case: &Case, record: &mut Record) {
    let (Some(per_hour), true) = (case.start.per_hour, load.entry(Field::Duty).is_some()) else { return };
    let duty = case.start.duty_text.trim();
    let (what, cure) = match case.start.duty {
        // A motor on a drive draws no starting current, and nothing in its line switches at each start.
        1 if case.start.method == Method::Drive => return,
        1 if per_hour > plausible("continuous-starts-most") => (
            format!("{per_hour} starts an hour and continuous duty \"{duty}\""),
            "write S3, S4 or S5 with its share if the motor starts that often, or correct the starts",
        ),
        3..=5 if per_hour < plausible("intermittent-starts-least") => (
            format!("{per_hour} starts an hour and intermittent duty \"{duty}\""),
            "intermittent duty starts several times an hour (a cycle is 10 min); correct the duty or the starts",
        ),
        _ => return,
    };
    record.find(
        Finding::new(&codes::L326_STARTS_AGAINST_DUTY, what)
            .at(load.place_of(Field::StartsPerHour))
            .why("contactors and overload relays are chosen for these starts")
            .cure(cure),
    );
}

/// Rows against boards and against each other; each finding stands at the cell of its row, or in the basis.
#[must_use]
pub fn across(loads: &[Load], basis: &Basis, basis_file: Option<&str>, book: &dyn RuleBook) -> Vec<Finding> {
    let mut found = unknown_boards(loads, basis);
    found.extend(unnamed_boards(loads, basis));
    found.extend(standby_alone(loads));
    found.extend(none_runs(loads));
    if Units::of(book.key()) == Units::Customary {
        found.extend(metric_lengths(loads));
    }
    found.extend(partners(loads));
    found.extend(rings(loads, basis, basis_file));
    found
}

/// Lengths in metres where the book reckons in feet: once for the schedule where all are, else at each row that differs.
fn metric_lengths(loads: &[Load]) -> Vec<Finding> {
    let metres: Vec<(&Load, f64)> = loads.iter().filter_map(|load| Some((load, load.number(Field::CableLengthM)?))).collect();
    let why = "it is converted; a length in feet under this heading would be read as three times too long";
    let cure = "enter cable_length_ft, or confirm that the length is in metres";
    let note = |what: String, place: Place| Finding::new(&codes::L312_METRIC_LENGTH, what).at(place).why(why).cure(cure);
    let feet = loads.iter().any(|load| load.entry(Field::CableLengthFt).is_some());
    match metres.as_slice() {
        [(first, _), _, ..] if !feet => {
            let what =
                format!("the lengths of all {} rows that have one are in metres; this rule book reckons in feet", metres.len());
            let heading = Some(Field::CableLengthM.spec().name.to_owned());
            vec![note(what, Place { heading, ..Place::file(first.source.file.clone()) })]
        }
        rows => {
            let what = |metres: f64| format!("the length is given as {metres} m; this rule book reckons in feet");
            rows.iter().map(|(load, metres)| note(what(*metres), load.place_of(Field::CableLengthM))).collect()
        }
    }
}

fn unknown_boards(loads: &[Load], basis: &Basis) -> Vec<Finding> {
    let known: Vec<&str> = basis.boards.iter().filter_map(|board| board.name.as_deref()).collect();
    if known.is_empty() {
        return Vec::new();
    }
    let board_of = |load: &Load| load.text(Field::Board).map(|name| name.trim().to_owned());
    let mut hints = HINTS;
    let unknown =
        loads.iter().filter_map(|load| Some((load, board_of(load)?))).filter(|(_, name)| !known.contains(&name.as_str()));
    unknown
        .map(|(load, name)| {
            let near = if hints > 0 { nearest(&name, known.iter().copied()) } else { None };
            hints = hints.saturating_sub(1);
            let cure = match near {
                Some(near) => format!("did you mean `{near}`? Otherwise add [[board]] name = \"{name}\" to the basis"),
                None => format!("add [[board]] name = \"{name}\" to the basis, or write one of {}", named(&known)),
            };
            Finding::new(&codes::L331_BOARD_UNKNOWN, format!("the basis names no board `{name}`"))
                .at(load.place_of(Field::Board))
                .why("its fault level and voltage are not known")
                .cure(cure)
        })
        .collect()
}

/// A row that names no board where rows or basis name others than the one that it would stand on: its load, its fault level and its
/// feeder may be those of another one.
fn unnamed_boards(loads: &[Load], basis: &Basis) -> Vec<Finding> {
    let of_basis = basis.boards.iter().filter_map(|board| board.name.as_deref());
    let named: BTreeSet<&str> = of_basis.chain(loads.iter().filter_map(|load| load.text(Field::Board))).collect();
    let unnamed = loads.iter().filter(|load| !load.rejected && load.text(Field::Board).is_none());
    unnamed
        .filter_map(|load| {
            let taken = super::resolve::board(load, basis);
            let others: Vec<&str> = named.iter().copied().filter(|name| *name != taken).collect();
            (!others.is_empty()).then(|| {
                Finding::new(&codes::L343_NO_BOARD, format!("the row names no board and is put on `{taken}`"))
                    .at(load.place_of(Field::Tag))
                    .why("where it stands on another one, its fault current is another and feeder and transformer of that board lack its load")
                    .cure(format!("enter its board, such as {}", named_few(&others)))
            })
        })
        .collect()
}

fn named_few(names: &[&str]) -> String {
    names.iter().take(3).map(|name| format!("`{name}`")).collect::<Vec<_>>().join(", ")
}

/// A group without a row on duty: its standby rows count as if they ran, beside those for which they stand by. A row that could not be read
/// belongs to its group all the same.
fn standby_alone(loads: &[Load]) -> Vec<Finding> {
    let mut groups: BTreeMap<&str, Vec<&Load>> = BTreeMap::new();
    for load in loads {
        if let Some(group) = load.text(Field::DutyGroup).map(str::trim).filter(|group| !group.is_empty()) {
            groups.entry(group).or_default().push(load);
        }
    }
    let stands_by = |load: &&Load| load.text(Field::Running) == Some("standby");
    let alone = groups.into_iter().filter(|(_, rows)| rows.iter().all(stands_by));
    alone
        .filter_map(|(group, rows)| {
            let first = rows.iter().find(|load| !load.rejected)?;
            let what = format!("every row of the duty group `{group}` stands by");
            let finding = Finding::new(&codes::L344_STANDBY_ALONE, what).at(first.place_of(Field::DutyGroup));
            let why = "there is none for which they stand by, and they count as if they ran";
            Some(finding.why(why).cure("give the row on duty the same duty_group, or correct `running`"))
        })
        .collect()
}

/// A row that states that none of its circuits runs, or that nothing of it counts, and does not stand by.
fn none_runs(loads: &[Load]) -> Vec<Finding> {
    let rests = |load: &Load| {
        let by_figures = load.count(Field::StandbyCount).is_some_and(|count| count >= load.count(Field::Quantity).unwrap_or(1));
        by_figures || matches!(load.text(Field::Running), Some("standby" | "spare"))
    };
    let of = |load: &Load| {
        let field = if load.count(Field::DutyCount) == Some(0) {
            Field::DutyCount
        } else if load.number(Field::DemandFactor) == Some(0.0) {
            Field::DemandFactor
        } else {
            return None;
        };
        let what = format!("{} is 0: the row is missing in every sum of its board", field.spec().name);
        let finding = Finding::new(&codes::L345_NONE_RUNS, what).at(load.place_of(field));
        let why = "feeder, transformer and voltage drop come out too small by this load where it runs after all";
        Some(finding.why(why).cure("enter how many run at most or what share counts, or `standby` below running"))
    };
    loads.iter().filter(|load| !load.rejected && !rests(load)).filter_map(of).collect()
}

/// Unknown names that are held against all known ones: where there are more, they are no slips of the hand.
const HINTS: usize = 50;

/// Interlock partners must be among the rows; a missing one is a warning on the row that names it.
fn partners(loads: &[Load]) -> Vec<Finding> {
    let wanted: Vec<(&Load, &str)> =
        loads.iter().flat_map(|load| load.interlock_partners().map(move |tag| (load, tag))).collect();
    if wanted.is_empty() {
        return Vec::new();
    }
    let tags: BTreeSet<String> =
        loads.iter().flat_map(|load| load.tags().into_iter().chain(std::iter::once(load.tag()))).collect();
    let mut hints = HINTS;
    wanted
        .into_iter()
        .filter_map(|(load, partner)| {
            // A row that names others besides has lost its own tag by now.
            if load.tag() == partner || load.tags().iter().any(|tag| tag == partner) {
                let what = format!("{partner} is interlocked with itself");
                let finding = Finding::new(&codes::C405_INTERLOCK_PARTNER, what).at(load.place_of(Field::InterlockWith));
                return Some(finding.cure("write the tag of the other load; two directions of one motor are `reversing`"));
            }
            if tags.contains(partner) {
                return None;
            }
            let near = if hints > 0 { nearest(partner, tags.iter().map(String::as_str)) } else { None };
            hints = hints.saturating_sub(1);
            let near = near.map(|near| format!("; did you mean `{near}`?"));
            Finding::new(&codes::C405_INTERLOCK_PARTNER, format!("the interlock partner {partner} is not in the schedule"))
                .at(load.place_of(Field::InterlockWith))
                .cure(format!("correct the tag, or add the partner{}", near.unwrap_or_default()))
                .into()
        })
        .collect()
}

/// A board and what feeds it, with the place that says so.
struct Feed {
    from: String,
    place: Option<Place>,
}

/// Boards that feed each other in a ring, through the basis or through rows whose tag is the name of a board.
fn rings(loads: &[Load], basis: &Basis, basis_file: Option<&str>) -> Vec<Finding> {
    let mut feeds: BTreeMap<String, Vec<Feed>> = BTreeMap::new();
    for board in &basis.boards {
        if let (Some(name), Some(from)) = (&board.name, &board.fed_from) {
            let place = basis_file.map(|file| Place { heading: Some(format!("board {name}: fed_from")), ..Place::file(file) });
            feeds.entry(name.trim().to_owned()).or_default().push(Feed { from: from.trim().to_owned(), place });
        }
    }
    let fed: BTreeSet<&str> = loads.iter().filter_map(|load| load.text(Field::Board)).map(str::trim).collect();
    for load in loads {
        let Some(from) = load.text(Field::Board) else { continue };
        for tag in load.tags().into_iter().filter(|tag| fed.contains(tag.as_str())) {
            let place = Some(load.place_of(Field::Board));
            feeds.entry(tag).or_default().push(Feed { from: from.trim().to_owned(), place });
        }
    }
    let mut found = Vec::new();
    let mut done: BTreeSet<&str> = BTreeSet::new();
    for start in feeds.keys() {
        found.extend(rings_above(&feeds, start, &mut done).iter().map(|ring| loop_finding(&feeds, ring)));
    }
    found
}

/// The rings that are met on the ways up from a board. Each board is looked at once, so that each ring is met once.
fn rings_above<'f>(feeds: &'f BTreeMap<String, Vec<Feed>>, start: &'f str, done: &mut BTreeSet<&'f str>) -> Vec<Vec<&'f str>> {
    let mut found = Vec::new();
    if done.contains(start) {
        return found;
    }
    let mut way: Vec<(&str, usize)> = vec![(start, 0)];
    while let Some((board, next)) = way.last_mut() {
        let feed = feeds.get(*board).and_then(|feeds| feeds.get(*next));
        *next += 1;
        let Some(feed) = feed else {
            done.insert(board);
            way.pop();
            continue;
        };
        if let Some(at) = way.iter().position(|(board, _)| *board == feed.from) {
            let ring: Vec<&str> = way[at..].iter().map(|(board, _)| *board).collect();
            if !found.contains(&ring) {
                found.push(ring);
            }
        } else if !done.contains(feed.from.as_str())
            && let Some((name, _)) = feeds.get_key_value(&feed.from)
        {
            way.push((name, 0));
        }
    }
    found
}

fn loop_finding(feeds: &BTreeMap<String, Vec<Feed>>, ring: &[&str]) -> Finding {
    // From the feeder downwards, as a person draws it, beginning with the first name.
    let mut names: Vec<&str> = ring.iter().rev().copied().collect();
    names.rotate_right(1);
    names.push(ring[0]);
    let place_of = |board: &str, from: &str| feeds.get(board)?.iter().find(|feed| feed.from == from)?.place.clone();
    let pairs = (0..ring.len()).map(|at| (ring[at], ring[(at + 1) % ring.len()]));
    let places: Vec<Place> = pairs.filter_map(|(board, from)| place_of(board, from)).collect();
    let place = places.iter().find(|place| place.row.is_some()).or(places.first()).cloned();
    let what = if ring.len() == 1 {
        format!("{} feeds itself", ring[0])
    } else {
        format!("boards feed each other in a ring: {}", names.join(" feeds "))
    };
    let finding = Finding::new(&codes::L332_FEEDER_LOOP, what)
        .why("no board of the ring has a supply, so no fault level can be worked out")
        .cure("correct what feeds one of them: `board` in the row, or `fed_from` in the basis");
    match place {
        Some(place) => finding.at(place),
        None => finding,
    }
}

#[cfg(test)]
mod tests;
