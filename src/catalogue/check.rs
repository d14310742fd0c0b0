//! Looks whether the families of a catalogue fit together. Nothing here stops its use: these are warnings to its owner.

use crate::catalogue::{ANY_RELAY, MANUAL};
use std::collections::{BTreeMap, BTreeSet};

mod frames;

use super::{Catalogue, Contactor, Register};
use crate::finding::codes::{
    K201_GAP, K202_UNKNOWN_PART, K203_FITS_NOTHING, K204_ORDER, K205_NO_BASE, K211_PRICE_UNKNOWN_PART, K212_NO_GLAND,
    K215_PACK_OF_LENGTH, K216_EMPTY_FAMILY,
};
use crate::finding::{Finding, Place};

/// Gaps between setting ranges, combinations that name unknown parts, parts that fit no frame, ratings that contradict each
/// other. Empty if there is nothing to say.
#[must_use]
pub fn check(catalogue: &Catalogue) -> Vec<Finding> {
    let mut findings = catalogue.remarks.clone();
    relay_gaps(catalogue, &mut findings);
    breaker_gaps(catalogue, &mut findings);
    unknown_parts(catalogue, &mut findings);
    fits_nothing(catalogue, &mut findings);
    out_of_order(catalogue, &mut findings);
    no_base(catalogue, &mut findings);
    frames::look(catalogue, &mut findings);
    prices_of_nothing(catalogue, &mut findings);
    cables_without_gland(catalogue, &mut findings);
    packs_of_lengths(catalogue, &mut findings);
    empty_families(catalogue, &mut findings);
    needed_kinds(catalogue, &mut findings);
    findings
}

/// A kind of accessories that circuits ask for whatever their frame.
struct Needed {
    kind: &'static str,
    /// What fails without it.
    why: &'static str,
    /// The catalogue has parts that need it.
    by: fn(&Catalogue) -> bool,
}

fn has_breakers(catalogue: &Catalogue) -> bool {
    !(catalogue.motor_breakers.is_empty() && catalogue.moulded_case_breakers.is_empty())
}

const NEEDED_KINDS: [Needed; 7] = [
    Needed {
        kind: "paralleling-link",
        why: "no poles stand in parallel: heaters and one-pole loads take larger contactors",
        by: |catalogue| !catalogue.contactors.is_empty(),
    },
    Needed {
        kind: "relay-base",
        why: "no overload relay stands apart from its contactor",
        by: |catalogue| !catalogue.overload_relays.is_empty(),
    },
    Needed {
        kind: "phase-barrier",
        why: "nothing parts the terminals of moulded-case circuit-breakers",
        by: |catalogue| !catalogue.moulded_case_breakers.is_empty(),
    },
    Needed {
        kind: "undervoltage-release",
        why: "no circuit-breaker opens when its voltage fails, as an emergency stop may ask",
        by: has_breakers,
    },
    Needed {
        kind: "thermistor-relay",
        why: "thermistors in a winding switch nothing off",
        by: |catalogue| !catalogue.contactors.is_empty(),
    },
    Needed { kind: "signal-block", why: "no circuit-breaker tells that it has tripped", by: has_breakers },
    Needed {
        kind: "feed-terminal",
        why: "commoning bars are fed by nothing",
        by: |catalogue| has_kind(catalogue, "commoning-bar"),
    },
];

fn has_kind(catalogue: &Catalogue, kind: &str) -> bool {
    catalogue.accessories.iter().any(|accessory| accessory.kind == kind)
}

/// Kinds of accessories without a part that circuits will ask for.
fn needed_kinds(catalogue: &Catalogue, findings: &mut Vec<Finding>) {
    let needed = NEEDED_KINDS.iter().filter(|needed| !catalogue.accessories.is_empty() && (needed.by)(catalogue));
    for Needed { kind, why, .. } in needed.filter(|needed| !has_kind(catalogue, needed.kind)) {
        findings.push(
            Finding::new(&K216_EMPTY_FAMILY, format!("accessories has no {}", kind.replace('-', " ")))
                .at(Place { text: Some((*kind).to_owned()), ..Place::file("accessories.csv") })
                .why(*why)
                .cure("add the parts; where none are offered this can stay"),
        );
    }
}

/// Material that is sold in coils, drums or sticks has no packs beside.
fn packs_of_lengths(catalogue: &Catalogue, findings: &mut Vec<Finding>) {
    let cables = catalogue.cables.iter().map(|cable| (&cable.part, cable.coil_m.or(cable.drum_m)));
    let control = catalogue.control_cables.iter().map(|cable| (&cable.part, cable.coil_m.or(cable.drum_m)));
    let raceways = catalogue.raceways.iter().map(|raceway| (&raceway.part, raceway.standard_length_m));
    let lengths: BTreeMap<&str, f64> =
        cables.chain(control).chain(raceways).filter_map(|(part, length)| Some((part.as_str(), length?))).collect();
    for line in catalogue.prices.iter().filter(|line| line.packing_quantity.is_some()) {
        if let Some(length) = lengths.get(line.part.as_str()) {
            let place = Place {
                heading: Some("packing_quantity".to_owned()),
                text: Some(line.part.clone()),
                ..Place::file("prices.csv")
            };
            findings.push(
                Finding::new(
                    &K215_PACK_OF_LENGTH,
                    format!("{} is sold in lengths of {length} m and has a packing quantity too", line.part),
                )
                .at(place)
                .why("orders go by the lengths; the packing quantity is not used")
                .cure("leave packing_quantity empty, or correct the lengths in its family"),
            );
        }
    }
}

/// Families without a row that circuits will ask for.
fn empty_families(catalogue: &Catalogue, findings: &mut Vec<Finding>) {
    let coils = |dc: bool| catalogue.coils.iter().any(|coil| coil.dc == dc);
    let there = |family: &str| !catalogue.lacks.contains(&family);
    let asked: [(&str, bool, bool); 12] = [
        ("coils", !catalogue.contactors.is_empty(), catalogue.coils.is_empty()),
        ("cables", there("cables"), catalogue.cables.is_empty()),
        ("isolators", there("isolators"), catalogue.isolators.is_empty() && catalogue.disconnects.is_empty()),
        ("interposing_relays", there("interposing_relays"), catalogue.interposing_relays.is_empty()),
        ("control_transformers", coils(false), catalogue.control_transformers.is_empty()),
        ("power_supplies", coils(true), catalogue.power_supplies.is_empty()),
        ("control_protection", !catalogue.coils.is_empty(), catalogue.control_protection.is_empty()),
        ("control_cables", there("control_cables"), catalogue.control_cables.is_empty()),
        ("glands", there("glands") && !catalogue.cables.is_empty(), catalogue.glands.is_empty()),
        ("lugs", there("lugs") && !catalogue.cables.is_empty(), catalogue.lugs.is_empty()),
        ("terminals", there("terminals"), catalogue.terminals.is_empty()),
        ("fittings", there("fittings") && !catalogue.raceways.is_empty(), catalogue.fittings.is_empty()),
    ];
    for (family, _, _) in asked.into_iter().filter(|(_, asked, empty)| *asked && *empty) {
        findings.push(
            Finding::new(&K216_EMPTY_FAMILY, format!("{family} has no part"))
                .at(Place::file(format!("{family}.csv")))
                .why("what circuits need of it stands on the purchase list without part number, on hold")
                .cure("add the parts; where none are offered this can stay"),
        );
    }
}

/// Ranges of a group, by lower end.
fn gaps(file: &str, group: &str, mut ranges: Vec<(f64, f64)>, findings: &mut Vec<Finding>) {
    ranges.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let mut top: Option<f64> = None;
    for (min, max) in ranges {
        if let Some(top) = top.filter(|top| min > *top) {
            findings.push(
                Finding::new(&K201_GAP, format!("{group}: no range covers {top} to {min} A"))
                    .at(Place::file(file))
                    .why("a motor with such a current finds no setting")
                    .cure("add the part that covers it, if there is one"),
            );
        }
        top = Some(top.map_or(max, |top| top.max(max)));
    }
}

fn relay_gaps(catalogue: &Catalogue, findings: &mut Vec<Finding>) {
    let mut groups: BTreeMap<String, Vec<(f64, f64)>> = BTreeMap::new();
    for relay in &catalogue.overload_relays {
        let range = (relay.range_min_a, relay.range_max_a);
        groups.entry(format!("{} relays", relay.kind)).or_default().push(range);
        for frame in relay.fits_frames.split_whitespace() {
            groups.entry(format!("{} relays for frame {frame}", relay.kind)).or_default().push(range);
        }
    }
    for (group, ranges) in groups {
        gaps("overload_relays.csv", &group, ranges, findings);
    }
}

fn breaker_gaps(catalogue: &Catalogue, findings: &mut Vec<Finding>) {
    let mut groups: BTreeMap<&str, Vec<(f64, f64)>> = BTreeMap::new();
    for breaker in &catalogue.motor_breakers {
        groups.entry(&breaker.frame).or_default().push((breaker.range_min_a, breaker.range_max_a));
    }
    let all: Vec<_> = groups.values().flatten().copied().collect();
    gaps("motor_breakers.csv", "motor-protective circuit-breakers", all, findings);
    for (frame, ranges) in groups {
        gaps("motor_breakers.csv", &format!("motor-protective circuit-breakers of frame {frame}"), ranges, findings);
    }
    let motor = catalogue.moulded_case_breakers.iter().filter(|breaker| breaker.release == "motor");
    let ranges = motor.filter_map(|breaker| breaker.range_min_a.zip(breaker.range_max_a)).collect();
    gaps("moulded_case_breakers.csv", "moulded-case circuit-breakers with motor protection", ranges, findings);
    let instantaneous = catalogue.branch_breakers.iter().filter(|breaker| breaker.kind == "instantaneous");
    let ranges = instantaneous.map(|breaker| (breaker.instantaneous_min_a, breaker.instantaneous_max_a)).collect();
    gaps("branch_breakers.csv", "settings of instantaneous-trip circuit-breakers", ranges, findings);
}

fn unknown_parts(catalogue: &Catalogue, findings: &mut Vec<Finding>) {
    let contactors: BTreeSet<&str> = catalogue.contactors.iter().map(|part| part.part.as_str()).collect();
    let relays: BTreeSet<&str> = catalogue.overload_relays.iter().map(|part| part.part.as_str()).collect();
    let protection: BTreeSet<&str> = (catalogue.motor_breakers.iter().map(|part| part.part.as_str()))
        .chain(catalogue.moulded_case_breakers.iter().map(|part| part.part.as_str()))
        .chain(catalogue.line_breakers.iter().map(|part| part.part.as_str()))
        .chain(catalogue.branch_breakers.iter().map(|part| part.part.as_str()))
        .chain(catalogue.fuses.iter().map(|part| part.part.as_str()))
        .collect();
    let mut unknown: BTreeSet<(&str, &str)> = BTreeSet::new();
    for line in &catalogue.combinations {
        for (heading, part, known) in [
            ("protection_part", &line.protection_part, &protection),
            ("contactor_part", &line.contactor_part, &contactors),
            ("overload_part", &line.overload_part, &relays),
        ] {
            let any = heading == "overload_part" && part == ANY_RELAY;
            if !part.is_empty() && !any && !known.contains(part.as_str()) {
                unknown.insert((heading, part));
            }
        }
    }
    for (heading, part) in unknown {
        let place = Place { heading: Some(heading.to_owned()), text: Some(part.to_owned()), ..Place::file("combinations.csv") };
        findings.push(
            Finding::new(&K202_UNKNOWN_PART, format!("{part} stands in a combination and in no family"))
                .at(place)
                .why("no circuit can use that combination, so its co-ordination is never claimed")
                .cure("correct the part number, or add the part"),
        );
    }
}

fn fits_nothing(catalogue: &Catalogue, findings: &mut Vec<Finding>) {
    let frames: BTreeSet<&str> = catalogue.contactors.iter().map(|part| part.frame.as_str()).collect();
    let motor: BTreeSet<&str> = catalogue.motor_breakers.iter().map(|part| part.frame.as_str()).collect();
    let other = catalogue.moulded_case_breakers.iter().map(|part| part.frame.as_str());
    let other = other.chain(catalogue.branch_breakers.iter().map(|part| part.frame.as_str()));
    let breakers: BTreeSet<&str> = motor.iter().copied().chain(other).collect();
    // One finding a part, whatever the number of its frames.
    let mut misfit = |file: &str, part: &str, fits: &[&str]| {
        if fits.is_empty() {
            return;
        }
        let noun = if fits.len() == 1 { "frame" } else { "frames" };
        findings.push(
            Finding::new(&K203_FITS_NOTHING, format!("{part} fits {noun} {}, which no part of the catalogue has", listed(fits)))
                .at(Place { text: Some(part.to_owned()), ..Place::file(file) })
                .cure("write the frame as it stands in the other family"),
        );
    };
    let relays = catalogue.overload_relays.iter().map(|part| ("overload_relays.csv", &part.part, &part.fits_frames));
    let accessories = catalogue.accessories.iter().map(|part| ("accessories.csv", &part.part, &part.fits_frames));
    for (file, part, fits) in relays.chain(accessories) {
        let missing: Vec<&str> = fits.split_whitespace().filter(|frame| !frames.contains(frame) && *frame != MANUAL).collect();
        misfit(file, part, &missing);
    }
    for part in &catalogue.accessories {
        let frames = part.fits_breaker_frames.split(';').map(str::trim).filter(|frame| !frame.is_empty());
        let missing: Vec<&str> = frames.filter(|frame| !breakers.contains(frame)).collect();
        misfit("accessories.csv", &part.part, &missing);
    }
    for part in &catalogue.contactors {
        let missing: Vec<&str> = part.pairs_with.as_deref().filter(|frame| !motor.contains(frame)).into_iter().collect();
        misfit("contactors.csv", &part.part, &missing);
    }
}

/// `1, 2 and 3`.
fn listed(words: &[&str]) -> String {
    match words {
        [first @ .., last] if !first.is_empty() => format!("{} and {last}", first.join(", ")),
        _ => words.concat(),
    }
}

fn out_of_order(catalogue: &Catalogue, findings: &mut Vec<Finding>) {
    let mut say = |file: &str, part: &str, what: String| {
        findings.push(
            Finding::new(&K204_ORDER, format!("{part}: {what}"))
                .at(Place { text: Some(part.to_owned()), ..Place::file(file) })
                .cure("compare the row with the data sheet"),
        );
    };
    for contactor in &catalogue.contactors {
        for (smaller, larger) in contradictions(contactor) {
            say("contactors.csv", &contactor.part, format!("{smaller} is above {larger}"));
        }
        for name in falling_horsepower(contactor) {
            say("contactors.csv", &contactor.part, format!("{name} falls with the voltage"));
        }
    }
    let motor = catalogue.motor_breakers.iter().map(|part| {
        let steps = [part.breaking_240_ka, part.breaking_440_ka, part.breaking_500_ka, part.breaking_690_ka];
        ("motor_breakers.csv", &part.part, steps)
    });
    let moulded = catalogue.moulded_case_breakers.iter().map(|part| {
        let steps = [part.breaking_240_ka, part.breaking_440_ka, part.breaking_500_ka, part.breaking_690_ka];
        ("moulded_case_breakers.csv", &part.part, steps)
    });
    for (file, part, steps) in motor.chain(moulded) {
        if steps.windows(2).any(|pair| matches!(pair, [lower, higher] if higher > lower)) {
            say(file, part, "the breaking capacity rises with the voltage".to_owned());
        }
    }
    for part in &catalogue.branch_breakers {
        let steps = [Some(part.interrupting_240_ka), part.interrupting_480_ka, part.interrupting_600_ka];
        if falls(&steps.map(|step| step.map(|ka| -ka))) {
            say("branch_breakers.csv", &part.part, "the interrupting rating rises with the voltage".to_owned());
        }
        let largest = [600.0, 480.0, 240.0].into_iter().find(|volts| part.admits_voltage(*volts));
        if largest.is_some_and(|volts| part.interrupting_ka(volts).is_none()) {
            say("branch_breakers.csv", &part.part, "no interrupting rating at its rated voltage".to_owned());
        }
    }
}

/// Ratings of a contactor that are above one that can't be smaller.
fn contradictions(contactor: &Contactor) -> Vec<(&'static str, &'static str)> {
    let pairs = [
        ("ac3_500_a", contactor.ac3_500_a, "ac3_440_a", contactor.ac3_440_a),
        ("ac3_690_a", contactor.ac3_690_a, "ac3_500_a", contactor.ac3_500_a),
        ("ac3e_440_a", contactor.ac3e_440_a, "ac3_440_a", contactor.ac3_440_a),
        ("ac3e_500_a", contactor.ac3e_500_a, "ac3_500_a", contactor.ac3_500_a),
        ("ac3e_690_a", contactor.ac3e_690_a, "ac3_690_a", contactor.ac3_690_a),
        ("ac4_440_a", contactor.ac4_440_a, "ac3_440_a", contactor.ac3_440_a),
        ("ac4_690_a", contactor.ac4_690_a, "ac4_440_a", contactor.ac4_440_a),
        ("ac3_440_a", contactor.ac3_440_a, "ac1_a", contactor.ac1_a),
        ("continuous_a", contactor.continuous_a, "service_limit_a", contactor.service_limit_a),
        ("continuous_a", contactor.continuous_a, "ac1_a", contactor.ac1_a),
        ("jog_hp_3ph_200", contactor.jog_hp_3ph_200, "hp_3ph_200", contactor.hp_3ph_200),
        ("jog_hp_3ph_230", contactor.jog_hp_3ph_230, "hp_3ph_230", contactor.hp_3ph_230),
        ("jog_hp_3ph_460", contactor.jog_hp_3ph_460, "hp_3ph_460", contactor.hp_3ph_460),
        ("jog_hp_3ph_575", contactor.jog_hp_3ph_575, "hp_3ph_575", contactor.hp_3ph_575),
    ];
    let above = |(small, a, large, b): (&'static str, Option<f64>, &'static str, Option<f64>)| {
        a.zip(b).filter(|(a, b)| a > b).map(|_| (small, large))
    };
    pairs.into_iter().filter_map(above).collect()
}

/// A figure that is smaller than one before it.
fn falls(steps: &[Option<f64>]) -> bool {
    let declared: Vec<f64> = steps.iter().flatten().copied().collect();
    declared.windows(2).any(|pair| matches!(pair, [before, after] if after < before))
}

/// Horsepower ratings of a contactor that fall although the voltage rises.
fn falling_horsepower(contactor: &Contactor) -> Vec<&'static str> {
    use super::HorsepowerUse::{FullVoltage, Jogging, PartWinding, WyeDelta};
    let names = [
        (FullVoltage, 1, "hp_1ph"),
        (FullVoltage, 3, "hp_3ph"),
        (Jogging, 1, "jog_hp_1ph"),
        (Jogging, 3, "jog_hp_3ph"),
        (WyeDelta, 3, "wye_delta_hp_3ph"),
        (PartWinding, 3, "part_winding_hp_3ph"),
    ];
    let falling = |(use_of, phases, name)| {
        let steps = [115.0, 200.0, 230.0, 460.0, 575.0].map(|volts| contactor.horsepower(use_of, phases, volts));
        falls(&steps).then_some(name)
    };
    names.into_iter().filter_map(falling).collect()
}

fn no_base(catalogue: &Catalogue, findings: &mut Vec<Finding>) {
    for fuse in catalogue.fuses.iter().filter(|fuse| fuse.base_part.is_empty()) {
        findings.push(
            Finding::new(&K205_NO_BASE, format!("{} has no base or switch", fuse.part))
                .at(Place { heading: Some("base_part".to_owned()), text: Some(fuse.part.clone()), ..Place::file("fuses.csv") })
                .why("a fuse that stands in nothing can't be ordered as a protective device")
                .cure("write the part number of the base or fusible switch"),
        );
    }
}

/// A price that stands beside a mistyped number would leave its part without price.
fn prices_of_nothing(catalogue: &Catalogue, findings: &mut Vec<Finding>) {
    let register = Register::new(catalogue);
    for line in catalogue.prices.iter().filter(|line| register.part(&line.part).is_none()) {
        findings.push(
            Finding::new(&K211_PRICE_UNKNOWN_PART, format!("{} has a price and stands in no family", line.part))
                .at(Place { heading: Some("part".to_owned()), text: Some(line.part.clone()), ..Place::file("prices.csv") })
                .why("nothing is bought under that number, so its price is never used")
                .cure("correct the part number, add the part to its family, or take the line out"),
        );
    }
}

/// Where there are glands, every multicore cable whose diameter is stated finds one.
fn cables_without_gland(catalogue: &Catalogue, findings: &mut Vec<Finding>) {
    if catalogue.glands.is_empty() {
        return;
    }
    let power = catalogue.cables.iter().filter(|cable| cable.cores > 1);
    let power = power.map(|cable| ("cables.csv", &cable.part, cable.outer_mm, cable.screened));
    let control =
        catalogue.control_cables.iter().map(|cable| ("control_cables.csv", &cable.part, cable.outer_mm, cable.screened));
    for (file, part, outer, screened) in power.chain(control) {
        let Some(outer) = outer.filter(|outer| catalogue.gland(*outer, screened).is_none()) else { continue };
        findings.push(
            Finding::new(&K212_NO_GLAND, format!("{part}: no gland holds a cable of {outer} mm outer diameter"))
                .at(Place { text: Some(part.clone()), ..Place::file(file) })
                .why("its glands stand on the purchase list without part number")
                .cure("add the gland, or correct the diameter"),
        );
    }
}
