//! Auxiliary contacts: those that the control of the method and the row need, each on a contact that is there and suits it, on blocks
//! for which the contactor has room, and no block that carries none.
//!
//! Which contacts a starter needs: common practice, no source; read from its control circuit.

use std::collections::BTreeMap;

use crate::catalogue::{AccessoryPart, Contactor as Row};
use crate::design::{Accessory, AuxiliaryContact, Contactor};
use crate::finding::codes;
use crate::rules::physics::accessories::{About, items, practice};
use crate::verify::Disagreements;
use crate::verify::facts::{Facts, asks_for_two, names_grade, whole};

/// Role, function, `no` or `nc`, level.
type Need = (String, &'static str, &'static str, &'static str);

/// Below this many volts a contact switches electronic levels; to the second figure those of controllers.
fn level(volts: f64) -> &'static str {
    if volts < practice("standard-contact-least") {
        "logic"
    } else if volts <= practice("extra-low-most") {
        "24 V"
    } else {
        "mains"
    }
}

/// Words of a column that lists several, by what they mean.
pub(super) fn meanings(facts: &Facts<'_>, column: &str, about: About) -> Vec<&'static str> {
    let text = facts.words(column).unwrap_or("");
    let mut found: Vec<&'static str> = Vec::new();
    for row in items(about, text).into_iter().filter_map(|(_, row)| row) {
        found.extend(row.means.split_whitespace());
    }
    let mut once: Vec<&str> = Vec::new();
    found.retain(|word| {
        let new = !once.contains(word);
        once.push(word);
        new
    });
    found
}

/// Momentary control, whose contactors seal themselves in.
pub(in crate::verify) fn three_wire(facts: &Facts<'_>) -> bool {
    if let Some(wires) = facts.words("control_wires") {
        return wires == "three";
    }
    let text = facts.words("control_station").unwrap_or("");
    let stations = items(About::Station, text);
    let wires: Vec<&str> = stations.into_iter().filter_map(|(_, row)| row).map(|word| word.wires.as_str()).collect();
    let maintained = wires.contains(&"two") && !wires.contains(&"three");
    facts.circuit.control.as_ref().is_some_and(|control| control.driven_by == "pushbutton") && !maintained
}

/// The safety function looks at the contactors: two channels, or category 2.
pub(super) fn monitored(facts: &Facts<'_>) -> bool {
    is_monitored(facts.words("safety_level").unwrap_or(""))
}

/// The same, of the level as it is written.
pub(in crate::verify) fn is_monitored(level: &str) -> bool {
    asks_for_two(level) || names_grade(level, &[("cat", &["2"]), ("category", &["2"])])
}

/// Whether an emergency stop acts on a circuit: one of either category of IEC 60204-1, 9.2.2.
pub(in crate::verify) fn is_emergency_stop(stated: &str) -> bool {
    stated.starts_with("category")
}

/// The contacts that the circuit needs.
fn needs(facts: &Facts<'_>) -> Vec<Need> {
    let circuit = facts.circuit;
    let Some(control) = &circuit.control else { return Vec::new() };
    let there = |name: &str| circuit.contactors.iter().any(|contactor| contactor.role == name);
    let volts = control.coil_voltage.split_whitespace().next().and_then(|number| number.parse().ok()).unwrap_or(0.0);
    let of_coil = level(volts);
    let commanded: Vec<&str> = facts.starter.commanded.iter().copied().filter(|name| there(name)).collect();
    let mut needs: Vec<Need> = Vec::new();
    let mut add = |role: &str, function, kind, level| needs.push((role.to_owned(), function, kind, level));
    if monitored(facts) {
        let looked_at: Vec<&str> = ["safety"].into_iter().filter(|role| there(role)).chain(commanded.iter().copied()).collect();
        // All are in series in one loop of 24 V; many standard contacts in it are not sure enough.
        let level = if looked_at.len() > whole(practice("feedback-in-series")) as usize { "logic" } else { "24 V" };
        looked_at.into_iter().for_each(|role| add(role, "safety feedback", "nc", level));
    }
    for (one, other) in facts.starter.apart.iter().filter(|(one, other)| there(one) && there(other)) {
        add(one, "interlock", "nc", of_coil);
        add(other, "interlock", "nc", of_coil);
    }
    for role in &commanded {
        (0..facts.others.partners(circuit)).for_each(|_| add(role, "interlock", "nc", of_coil));
    }
    facts.starter.opens_dead.iter().filter(|opens_dead| there(opens_dead)).for_each(|role| add(role, "enable", "no", "24 V"));
    facts
        .starter
        .open_first
        .iter()
        .filter(|open_first| there(open_first))
        .for_each(|role| add(role, "start permissive", "nc", of_coil));
    let in_turn = facts.starter.lets_in.iter().filter(|(one, other)| there(one) && there(other));
    in_turn.for_each(|(role, _)| add(role, "sequence", "no", of_coil));
    let feedback = match facts.words("feedback_level") {
        Some("logic") => Some("logic"),
        Some("24 V") => Some("24 V"),
        Some("mains") => Some("mains"),
        _ => None,
    };
    let unwanted = facts.words("feedback_level") == Some("none");
    let told = feedback.or((control.driven_by == "plc-output" && !unwanted).then_some("24 V"));
    let drive = circuit.starter_devices.iter().any(|device| device.kind == "drive");
    // One contact of the starter switches the brakes of all motors behind it.
    let brakes = facts.number("brake_w").map(|watts| watts * f64::from(facts.motors));
    let brake = brakes.is_some_and(|watts| watts > 0.0 && watts <= practice("brake-contact")) && !drive;
    // Its conductors would end at nothing that opens while the motor runs.
    let heater = facts.number("space_heater_w").is_some_and(|watts| watts > 0.0);
    let indicators = meanings(facts, "indicators", About::Indicator);
    for role in &commanded {
        let mut add_if = |so: bool, function, kind, level| {
            if so {
                add(role, function, kind, level);
            }
        };
        add_if(three_wire(facts), "seal-in", "no", of_coil);
        add_if(brake, "brake", "no", "mains");
        add_if(heater, "space heater", "nc", "mains");
        add_if(told.is_some(), "feedback", "no", told.unwrap_or(""));
        add_if(indicators.contains(&"running"), "running lamp", "no", of_coil);
        add_if(indicators.contains(&"stopped"), "stopped lamp", "nc", of_coil);
        add_if(indicators.contains(&"hour-meter"), "hour meter", "no", of_coil);
    }
    let first = commanded.first().copied().or(circuit.contactors.first().map(|contactor| contactor.role.as_str()));
    for (column, kind) in [("aux_no", "no"), ("aux_nc", "nc")] {
        let number = facts.number(column).map_or(0, whole);
        (0..number).for_each(|_| first.iter().for_each(|role| add(role, "asked for", kind, feedback.unwrap_or(of_coil))));
    }
    needs
}

/// The contacts of all contactors.
pub(super) fn agree(facts: &Facts<'_>, found: &mut Disagreements) {
    listed(facts, found);
    let draws = |column: &str| facts.number(column).is_some_and(|watts| watts > 0.0);
    let fed_by_others = draws("space_heater_w") || draws("brake_w");
    found.unless(!fed_by_others || facts.told(codes::C532_FED_BY_OTHERS.code), &codes::V605_ACCESSORY_MISSING, || {
        "nothing says that its heater or brake has no supply".to_owned()
    });
    for contactor in &facts.circuit.contactors {
        let Some((row, _)) = facts.shelf.contactor(&contactor.part) else { continue };
        let contacts: Vec<&AuxiliaryContact> =
            facts.circuit.auxiliary_contacts.iter().filter(|contact| contact.role == contactor.role).collect();
        let blocks: Vec<(&Accessory, &AccessoryPart)> = facts
            .circuit
            .accessories
            .iter()
            .filter(|part| part.kind == "auxiliary-block" && part.serves == contactor.role)
            .filter_map(|part| Some((part, facts.shelf.accessory(&part.part)?)))
            .collect();
        placed(facts, contactor, row, &contacts, &blocks, found);
        room(facts, contactor, row, &blocks, found);
    }
}

/// The list holds what is needed, neither more nor less.
fn listed(facts: &Facts<'_>, found: &mut Disagreements) {
    let mut count: BTreeMap<(&str, &str, &str, &str), i32> = BTreeMap::new();
    let needs = needs(facts);
    let built =
        |role: &str| facts.circuit.contactors.iter().any(|contactor| contactor.role == role && !contactor.part.is_empty());
    for (role, function, kind, level) in needs.iter().filter(|(role, ..)| built(role)) {
        *count.entry((role, function, kind, level)).or_default() += 1;
    }
    for contact in &facts.circuit.auxiliary_contacts {
        *count.entry((&contact.role, &contact.function, &contact.kind, &contact.level)).or_default() -= 1;
    }
    for ((role, function, kind, level), left) in count {
        found.unless(left <= 0, &codes::V609_CONTACTS, || format!("{role} needs {left} more {kind} at {level} for {function}"));
        found.unless(left >= 0, &codes::V609_CONTACTS, || {
            format!("{role} has {} {kind} at {level} for {function} that nothing needs", -left)
        });
    }
}

/// Every contact is on one that is there and suits, and every block carries some.
fn placed(
    facts: &Facts<'_>,
    contactor: &Contactor,
    row: &Row,
    contacts: &[&AuxiliaryContact],
    blocks: &[(&Accessory, &AccessoryPart)],
    found: &mut Disagreements,
) {
    let on = |place: &str, kind: &str| {
        let count = contacts.iter().filter(|contact| contact.place == place && contact.kind == kind).count();
        u32::try_from(count).unwrap_or(u32::MAX)
    };
    found.unless(on("built-in", "no") <= row.aux_no && on("built-in", "nc") <= row.aux_nc, &codes::V609_CONTACTS, || {
        format!("{} has {} NO and {} NC of its own; more are used", contactor.part, row.aux_no, row.aux_nc)
    });
    for (part, block) in blocks {
        let so = on(&part.part, "no") <= part.quantity * block.no && on(&part.part, "nc") <= part.quantity * block.nc;
        found.unless(so, &codes::V609_CONTACTS, || {
            format!("{} on {} brings fewer contacts than are used", part.part, contactor.role)
        });
        let fewer = part.quantity.saturating_sub(1);
        let spare = on(&part.part, "no") <= fewer * block.no && on(&part.part, "nc") <= fewer * block.nc;
        found.unless(!spare, &codes::V603_ACCESSORY_NEEDLESS, || {
            format!("{} of {} on {} carry what {fewer} would", part.quantity, part.part, contactor.role)
        });
    }
    let once = blocks.iter().all(|(part, _)| blocks.iter().filter(|(other, _)| other.part == part.part).count() == 1);
    found.unless(once, &codes::V603_ACCESSORY_NEEDLESS, || format!("a block of {} is listed twice", contactor.role));
    let interlocks = interlocks(facts, contactor);
    for contact in contacts {
        let so = match contact.place.as_str() {
            "" => facts.told(codes::C501_AUXILIARY_PLACES.code),
            "built-in" => suits(contact, row.aux_low_level.unwrap_or(false), true, row.aux_mirror.unwrap_or(false), false),
            place => {
                let block = blocks.iter().find(|(part, _)| part.part == place).map(|(_, block)| *block);
                let interlock = interlocks.iter().find(|part| part.part == place && contact.function == "interlock");
                block
                    .or(interlock.copied())
                    .is_some_and(|part| suits(contact, part.low_level, false, part.mirror, part.early_break.unwrap_or(false)))
            }
        };
        found.unless(so, &codes::V609_CONTACTS, || {
            format!(
                "the contact for {} of {} sits on {:?}, which does not suit it",
                contact.function, contactor.role, contact.place
            )
        });
    }
    // An interlock brings its contacts in pairs, one for each of the two that it joins.
    let of_interlocks: u32 = interlocks.iter().map(|part| part.nc / 2).sum();
    let used: u32 = interlocks
        .iter()
        .map(|part| part.part.as_str())
        .collect::<std::collections::BTreeSet<_>>()
        .into_iter()
        .map(|part| on(part, "nc"))
        .sum();
    found.unless(used <= of_interlocks, &codes::V609_CONTACTS, || {
        format!("interlocks bring {of_interlocks} contacts to {}; {used} are used", contactor.role)
    });
}

/// A contact of that kind serves: electronic levels and early opening are kept apart, mirror contacts are needed for a safety function.
fn suits(contact: &AuxiliaryContact, low: bool, both: bool, mirror: bool, early: bool) -> bool {
    let level = if contact.level == "logic" { low } else { !low || both };
    let of_mirror = contact.function != "safety feedback" || mirror && contact.kind == "nc";
    level && of_mirror && (contact.function == "enable") == (early && contact.kind == "no") && (!contact.mirror || mirror)
}

/// Mechanical interlocks that sit at a contactor: this circuit's, and those of a partner that comes before it.
fn interlocks<'f>(facts: &'f Facts<'_>, contactor: &Contactor) -> Vec<&'f AccessoryPart> {
    let joins = |part: &&Accessory, name: &str| part.kind == "interlock" && part.serves.split(" and ").any(|role| role == name);
    let here = facts.circuit.accessories.iter().filter(|part| joins(part, &contactor.role));
    let partners = facts.others.interlocked(facts.circuit).into_iter().flat_map(|other| &other.accessories);
    let beyond = partners.filter(|part| joins(part, &facts.circuit.tag));
    here.chain(beyond).filter_map(|part| facts.shelf.accessory(&part.part)).collect()
}

/// The front is taken once, the sides as often as there are, and no more contacts are added than the contactor takes.
fn room(facts: &Facts<'_>, contactor: &Contactor, row: &Row, blocks: &[(&Accessory, &AccessoryPart)], found: &mut Disagreements) {
    let at = |position: &str| {
        blocks.iter().filter(|(_, block)| block.position == position).map(|(part, _)| part.quantity).sum::<u32>()
    };
    let added: u32 = blocks.iter().map(|(part, block)| part.quantity * (block.no + block.nc)).sum();
    let interlocks = interlocks(facts, contactor);
    let timers = facts
        .circuit
        .accessories
        .iter()
        .filter(|part| part.kind == "timer" && part.serves == contactor.role && part.position == "front");
    let at_front = at("front") + timers.map(|part| part.quantity).sum::<u32>() + count(&interlocks, "front");
    found.unless(at_front <= u32::from(row.front_place), &codes::V602_PLACES, || {
        format!("the front of {} takes {}; {at_front} parts sit there", contactor.part, u32::from(row.front_place))
    });
    let a_side = row.aux_side_contacts.unwrap_or_else(|| whole(practice("side-contacts")));
    let most_front = row.aux_front_contacts.unwrap_or(row.aux_places);
    let fit = blocks.iter().all(|(_, block)| block.no + block.nc <= if block.position == "front" { most_front } else { a_side });
    // An interlock takes the side that faces its partner.
    let free = row.side_places.saturating_sub(count(&interlocks, "between") * (row.side_places / 2).max(1));
    found.unless(fit && at("side") <= free && added <= row.aux_places, &codes::V602_PLACES, || {
        format!("{} has {free} free side places and takes {} contacts; its blocks need more", contactor.part, row.aux_places)
    });
    let dc = facts.circuit.control.as_ref().is_some_and(|control| control.coil_voltage.ends_with("DC"));
    if let (Some(most), true, false) = (row.dc_aux_nc_most, dc, blocks.is_empty()) {
        let brought: u32 = blocks.iter().map(|(part, block)| part.quantity * block.nc).sum();
        let closed = row.aux_nc + brought + interlocks.iter().map(|part| part.nc / 2).sum::<u32>();
        found.unless(closed <= most, &codes::V602_PLACES, || {
            format!("{} with a coil for direct current takes {most} NC; it has {closed}", contactor.part)
        });
    }
}

fn count(parts: &[&AccessoryPart], position: &str) -> u32 {
    u32::try_from(parts.iter().filter(|part| part.position == position).count()).unwrap_or(u32::MAX)
}
