//! Accessories: each fits what it serves and sits where there is a place for it, each that the circuit needs is there, and none that it
//! does not.
//!
//! The needs of a starter around its contactors are common practice, no source.

use crate::catalogue::{AccessoryPart, Contactor as Row};
use crate::design::{Accessory, Contactor};
use crate::finding::codes;
use crate::verify::Disagreements;
use crate::verify::facts::Facts;

mod breaker;
mod contacts;
mod neighbours;
mod operator;
mod resets;
mod starter;

pub(super) use contacts::{is_emergency_stop, is_monitored, three_wire};

pub(super) fn agree(facts: &Facts<'_>, found: &mut Disagreements) {
    for accessory in &facts.circuit.accessories {
        one(facts, accessory, found);
    }
    contacts::agree(facts, found);
    neighbours::agree(facts, found);
    starter::agree(facts, found);
    breaker::agree(facts, found);
    operator::agree(facts, found);
    resets::agree(facts, found);
}

/// Accessories of a kind.
fn of<'f>(facts: &'f Facts<'_>, kind: &str) -> impl Iterator<Item = &'f Accessory> {
    let kind = kind.to_owned();
    facts.circuit.accessories.iter().filter(move |accessory| accessory.kind == kind)
}

/// Parts of a kind, with what the catalogue says of them; those that it lacks are left out.
fn known<'f>(facts: &'f Facts<'_>, kind: &str) -> impl Iterator<Item = (&'f Accessory, &'f AccessoryPart)> {
    of(facts, kind).filter_map(|accessory| Some((accessory, facts.shelf.accessory(&accessory.part)?)))
}

/// Contactors that an accessory serves, by the roles that it names.
fn served<'f>(facts: &'f Facts<'_>, accessory: &Accessory) -> Vec<&'f Contactor> {
    let names: Vec<&str> = accessory.serves.split(", ").flat_map(|part| part.split(" and ")).collect();
    facts.circuit.contactors.iter().filter(|contactor| names.contains(&contactor.role.as_str())).collect()
}

fn row<'f>(facts: &'f Facts<'_>, contactor: &Contactor) -> Option<&'f Row> {
    facts.shelf.contactor(&contactor.part).map(|(row, _)| row)
}

/// The accessories of a kind for one served device are as many as it needs, no more and no less.
fn count(facts: &Facts<'_>, kind: &str, serves: &str, wanted: u32, found: &mut Disagreements) {
    let has: u32 = of(facts, kind).filter(|part| part.serves == serves).map(|part| part.quantity).sum();
    let say = || format!("{serves} needs {wanted} of {kind}; it has {has}");
    found.unless(has >= wanted, &codes::V605_ACCESSORY_MISSING, say);
    found.unless(has <= wanted, &codes::V603_ACCESSORY_NEEDLESS, say);
}

/// The accessories of a kind in the whole circuit are as many as it needs.
fn whole(facts: &Facts<'_>, kind: &str, wanted: u32, found: &mut Disagreements) {
    let has: u32 = of(facts, kind).map(|part| part.quantity).sum();
    let say = || format!("the circuit needs {wanted} of {kind}; it has {has}");
    found.unless(has >= wanted, &codes::V605_ACCESSORY_MISSING, say);
    found.unless(has <= wanted, &codes::V603_ACCESSORY_NEEDLESS, say);
}

/// Its band of voltages holds the control voltage.
fn fed(facts: &Facts<'_>, part: &AccessoryPart) -> bool {
    let (volts, dc) = facts.control_voltage();
    part.suits_voltage(volts, dc)
}

/// The part is of its kind, brings what is said and fits what it serves. One that the catalogue lacks is told.
fn one(facts: &Facts<'_>, accessory: &Accessory, found: &mut Disagreements) {
    found.unless(serves(facts, accessory), &codes::V601_ACCESSORY_FIT, || {
        format!("{} {} serves {:?}, which is not in this circuit or takes none", accessory.kind, accessory.part, accessory.serves)
    });
    if accessory.part.is_empty() {
        let told = facts.told(codes::C502_NO_ACCESSORY.code) || facts.told(codes::C406_NO_RELAY.code);
        let so = (accessory.no, accessory.nc) == (0, 0) && told;
        found
            .unless(so, &codes::V604_ACCESSORY, || format!("a {} without a part number, contacts or a word why", accessory.kind));
        return;
    }
    // A family of its own, with the control circuit.
    if accessory.kind == "interposing-relay" {
        return;
    }
    let Some(part) = facts.shelf.accessory(&accessory.part).filter(|part| part.kind == accessory.kind) else {
        found.say(&codes::V101_PART_UNKNOWN, format!("{} is no {} of the catalogue", accessory.part, accessory.kind));
        return;
    };
    let contacts =
        (accessory.no, accessory.nc, accessory.low_level, accessory.mirror) == (part.no, part.nc, part.low_level, part.mirror);
    let shared = accessory.shared == matches!(accessory.kind.as_str(), "commoning-bar" | "feed-terminal");
    found.unless(contacts && shared && accessory.position == part.position, &codes::V604_ACCESSORY, || {
        format!("contacts or place of {} are not as the catalogue says", accessory.part)
    });
    found.unless(accessory.quantity > 0, &codes::V604_ACCESSORY, || format!("{} is listed without a quantity", accessory.part));
    // A part that is sold for a relay's frame fits no contactor's.
    if matches!(accessory.kind.as_str(), "relay-base" | "remote-reset") || part.fits_frames.is_empty() {
        return;
    }
    // Sets that join several contactors are named after the frame of the first; interlocks need one frame for both.
    let all = if accessory.kind == "interlock" { usize::MAX } else { 1 };
    for contactor in served(facts, accessory).into_iter().take(all) {
        found.unless(part.fits_frame(&contactor.frame) || contactor.part.is_empty(), &codes::V601_ACCESSORY_FIT, || {
            format!("{} does not fit frame {} of {}", accessory.part, contactor.frame, contactor.role)
        });
    }
}

/// Whether an accessory of that kind may serve that device, by where it is mounted or wired.
fn serves(facts: &Facts<'_>, accessory: &Accessory) -> bool {
    let role = |name: &str| facts.circuit.contactors.iter().any(|contactor| contactor.role == name);
    match accessory.kind.as_str() {
        "undervoltage-release" | "shunt-release" | "signal-block" | "door-handle" => {
            accessory.serves == "protection" && breaker::frame(facts).is_some()
        }
        "thermistor-relay" => accessory.serves == "motor",
        "station" | "indicator" => accessory.serves == "operator",
        "interposing-relay" => accessory.serves.is_empty(),
        // A base carries the relay of a place where no contactor need be.
        "relay-base" | "remote-reset" => facts.circuit.overloads.iter().any(|relay| relay.role == accessory.serves),
        // Links join several contactors, each of them named.
        "wiring-link" => accessory.serves.split(", ").flat_map(|part| part.split(" and ")).all(role),
        // One of the two may be another row's; which, `neighbours` tells.
        "interlock" => accessory.serves.split_once(" and ").is_some_and(|(one, _)| role(one)),
        // Tags, which `neighbours` looks at: the row itself is among them.
        "commoning-bar" | "feed-terminal" => accessory.serves.split(", ").any(|tag| tag == facts.circuit.tag),
        _ => role(&accessory.serves),
    }
}
