//! The list of parts against the blocks of a circuit: every part known, described as in the catalogue, and there exactly as often as
//! the blocks say. Nothing missing, nothing needless, nothing twice.

use std::collections::BTreeMap;

use crate::design::Run;
use crate::finding::codes;
use crate::load::Method;
use crate::quantity::round_to;
use crate::rules::RuleBook;
use crate::rules::units::METRES_A_FOOT;
use crate::verify::Disagreements;
use crate::verify::accessories::{is_emergency_stop, is_monitored};
use crate::verify::contactors::words;
use crate::verify::control;
use crate::verify::facts::Facts;
use crate::verify::materials::{self, CONTROL};
use crate::verify::shelf::{Item, Shelf};

/// Quantity of each part. A part without a number is counted by the words with which its description begins.
pub(super) type Count = BTreeMap<String, f64>;

/// Before the words of a part without a number.
const UNNUMBERED: char = '\u{0}';

pub(super) fn agree(facts: &Facts<'_>, found: &mut Disagreements) {
    described(facts, found);
    let wanted = wanted(facts);
    let mut listed = Count::new();
    for part in &facts.circuit.parts {
        let key = if part.part.is_empty() { unnumbered(&part.description, &wanted) } else { part.part.clone() };
        *listed.entry(key).or_default() += part.quantity;
    }
    for (part, quantity) in &wanted {
        let has = listed.get(part);
        found.unless(has.is_some_and(|has| *has >= quantity - 2e-3), &codes::V103_PART_MISSING, || {
            format!("{}: the circuit needs {quantity}, its parts hold {}", words_of(part), has.unwrap_or(&0.0))
        });
    }
    for (part, has) in &listed {
        let quantity = wanted.get(part);
        found.unless(quantity.is_some_and(|quantity| *has <= quantity + 2e-3), &codes::V104_PART_NEEDLESS, || {
            format!("{}: its parts hold {has}, the circuit needs {}", words_of(part), quantity.unwrap_or(&0.0))
        });
    }
}

/// The wanted text with which a description without a number begins.
pub(super) fn unnumbered(description: &str, wanted: &Count) -> String {
    let begins = |wanted: &&String| wanted.strip_prefix(UNNUMBERED).is_some_and(|words| description.starts_with(words));
    wanted.keys().find(begins).cloned().unwrap_or_else(|| format!("{UNNUMBERED}{description}"))
}

fn words_of(key: &str) -> &str {
    key.trim_start_matches(UNNUMBERED)
}

/// Every part is one of the catalogue, with its description and its unit.
fn described(facts: &Facts<'_>, found: &mut Disagreements) {
    let lengths = facts.book.length_unit();
    for part in &facts.circuit.parts {
        found.unless(part.quantity > 0.0 || part.unit == lengths, &codes::V105_PART_DETAIL, || {
            format!("{} {} is listed without a quantity", part.part, part.description)
        });
        if part.part.is_empty() {
            found.unless(matches!(part.unit.as_str(), "pc") || part.unit == lengths, &codes::V105_PART_DETAIL, || {
                format!("{} is counted in {:?}", part.description, part.unit)
            });
            continue;
        }
        let (description, unit) = match facts.shelf.contactor(&part.part) {
            Some((row, Some(coil))) => (format!("{}, coil {}", row.description, words(coil)), "pc"),
            Some((row, None)) => {
                let coil = facts.circuit.control.as_ref().map_or("", |control| control.coil_voltage.as_str());
                (format!("{}, coil {coil}", row.description), "pc")
            }
            None => {
                let mut items = facts.shelf.all(&part.part).peekable();
                let Some(first) = items.peek() else {
                    found.say(&codes::V101_PART_UNKNOWN, format!("{} is not in the catalogue", part.part));
                    continue;
                };
                let unit = if first.by_length() { lengths } else { "pc" };
                let item = items.find(|item| item.description() == part.description);
                (item.map_or_else(String::new, |item| item.description().to_owned()), unit)
            }
        };
        found.unless(description == part.description, &codes::V102_DESCRIPTION, || {
            format!("{} is described as {:?}, which the catalogue does not say", part.part, part.description)
        });
        found.unless(unit == part.unit && !part.by_others, &codes::V105_PART_DETAIL, || {
            format!("{} is counted in {:?} or called supplied by others", part.part, part.unit)
        });
    }
}

/// Counts a part; one without a number by its words.
pub(super) fn add(count: &mut Count, part: &str, words: &str, quantity: f64) {
    let key = if part.is_empty() { format!("{UNNUMBERED}{words}") } else { part.to_owned() };
    *count.entry(key).or_default() += quantity;
}

/// The parts that the blocks of the circuit ask for.
fn wanted(facts: &Facts<'_>) -> Count {
    let circuit = facts.circuit;
    let mut count = Count::new();
    if let Some(protection) = &circuit.protection {
        match facts.shelf.all(&protection.part).find(|item| matches!(item, Item::Fuse(_))) {
            Some(Item::Fuse(fuse)) => {
                add(&mut count, &fuse.base_part, "base", 1.0);
                add(&mut count, &fuse.part, "fuse", f64::from(facts.book.fuses_of(&facts.machine)));
            }
            _ => add(&mut count, &protection.part, "", 1.0),
        }
    } else {
        add(&mut count, "", "protective device for", 1.0);
    }
    circuit.contactors.iter().for_each(|contactor| add(&mut count, &contactor.part, "contactor for", 1.0));
    // A relay of its own that the catalogue lacks is asked for by its words; a release in another device is no part.
    for overload in circuit.overloads.iter().filter(|overload| overload.part.is_empty() && overload.kind == "relay") {
        let words = if overload.role.is_empty() { "hand-operated starter for" } else { "overload relay for" };
        add(&mut count, "", words, f64::from(overload.count.max(1)));
    }
    if facts.told(codes::C404_NO_ISOLATOR.code) {
        let words = if facts.book.length_unit() == "ft" { "disconnect switch for" } else { "local isolator for" };
        add(&mut count, "", words, f64::from(facts.motors));
    }
    control::lacking(&circuit.checks, &circuit.parts, &mut count);
    for overload in &circuit.overloads {
        let Some(relay) = facts.shelf.relay(&overload.part) else { continue };
        let each = f64::from(overload.count);
        add(&mut count, &relay.part, "", each);
        if let Some(transformers) = &relay.transformer_part {
            add(&mut count, transformers, "current transformers", each * f64::from(relay.transformer_count.unwrap_or(1)));
        }
    }
    for device in &circuit.starter_devices {
        let words = format!("{} for {} A", device.kind.replace('-', " "), round_to(device.current_a, 1));
        add(&mut count, &device.part, words.trim_end_matches(".0"), 1.0);
    }
    for accessory in &circuit.accessories {
        add(&mut count, &accessory.part, &accessory.kind.replace('-', " "), f64::from(accessory.quantity));
    }
    let supply = circuit.control.as_ref().and_then(|control| control.supply.as_ref());
    supply.iter().for_each(|supply| control::parts_of(supply, facts.shelf, &mut count));
    // A protective device that disconnects is bought once, and so is the switch that holds its fuses.
    let protects = |part: &str| {
        let holds = |item: &Item<'_>| matches!(item, Item::Fuse(fuse) if fuse.base_part == part);
        circuit.protection.as_ref().is_some_and(|device| device.part == part || facts.shelf.all(&device.part).any(holds))
    };
    circuit
        .disconnect
        .iter()
        .filter(|disconnect| !protects(&disconnect.part))
        .for_each(|disconnect| add(&mut count, &disconnect.part, "", f64::from(disconnect.count)));
    circuit.runs.iter().filter(|run| run.role != CONTROL).for_each(|run| of_run(facts.book, facts.shelf, run, &mut count));
    materials::wanted(facts, &mut count);
    // The relay of an emergency stop looks at the contactors too, and stands with the board.
    let stops = facts.words("emergency_stop").is_some_and(is_emergency_stop);
    if !stops && is_monitored(facts.words("safety_level").unwrap_or("")) && !circuit.contactors.is_empty() {
        add(&mut count, "", "safety relay that monitors the contactors", 1.0);
    }
    if facts.start.method == Method::ByOthers {
        add(&mut count, "", &format!("starter of {}", circuit.tag), 1.0);
    }
    count
}

/// Length of all cables of a run, those in parallel and those to further motors, in the unit in which it is bought.
pub(super) fn metres_of(book: &dyn RuleBook, run: &Run) -> f64 {
    run.length_m * f64::from(run.per_phase) * f64::from(run.count.max(1))
        / if book.length_unit() == "ft" { METRES_A_FOOT } else { 1.0 }
}

/// Cables, protective conductors and raceway of a run.
pub(super) fn of_run(book: &dyn RuleBook, shelf: &Shelf<'_>, run: &Run, count: &mut Count) {
    let lengths = metres_of(book, run);
    if let Some(raceway) = &run.raceway {
        // Which part of the route is in which kind is not known: the first of them over the whole length.
        let first = |text: &str| text.split('+').next().unwrap_or("").to_owned();
        let raceway = shelf.catalogue.raceway(&first(&raceway.kind), &first(&raceway.trade_size));
        add(count, raceway.map_or("", |raceway| raceway.part.as_str()), "raceway", lengths);
    }
    let Some(cable) = shelf.cable(&run.part) else {
        add(count, "", "cable", lengths);
        return;
    };
    let protective = book.size_of(&run.protective_size).unwrap_or(run.phase_area_mm2);
    let earth = |material: &str| {
        let catalogue = shelf.catalogue;
        let green = catalogue.protective_core(material, &cable.insulation, protective);
        let marked =
            || book.marks_protective().then(|| catalogue.cable(material, &cable.insulation, 1, protective, false)).flatten();
        green.or_else(marked).map_or("", |cable| cable.part.as_str())
    };
    if cable.cores == 1 {
        add(count, &cable.part, "", lengths * f64::from(run.cores.saturating_sub(1)));
        add(count, earth(&run.material), "protective conductor", lengths);
        return;
    }
    let sets = if cable.cores < run.cores { 2.0 } else { 1.0 };
    add(count, &cable.part, "", lengths * sets);
    let beside = earth(&run.material);
    // Where the catalogue has no core to reinforce it, a finding says so.
    if cable.protective_mm2.is_some_and(|protective_mm2| protective_mm2 + 1e-9 < protective) && !beside.is_empty() {
        add(count, beside, "", lengths);
    }
}
