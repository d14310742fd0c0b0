//! Parts on the circuit-breaker: releases, signal blocks, handles.

use super::{fed, known, whole};
use crate::catalogue::AccessoryPart;
use crate::finding::codes;
use crate::load::Method;
use crate::quantity::Amperes;
use crate::record::Record;
use crate::rules::DisconnectAsk;
use crate::rules::physics::accessories::About;
use crate::verify::Disagreements;
use crate::verify::accessories::contacts::meanings;
use crate::verify::facts::Facts;
use crate::verify::shelf::Item;

/// Frame of the circuit-breaker that protects the circuit; none of devices without one.
pub(super) fn frame<'f>(facts: &'f Facts<'_>) -> Option<&'f str> {
    let protection = facts.circuit.protection.as_ref()?;
    facts.shelf.all(&protection.part).find_map(|item| match item {
        Item::Motor(breaker) => Some(breaker.frame.as_str()),
        Item::Moulded(breaker) => Some(breaker.frame.as_str()),
        Item::Branch(breaker) => Some(breaker.frame.as_str()),
        _ => None,
    })
}

/// A contact by which another device of the circuit tells of a trip.
pub(super) fn other_tells(facts: &Facts<'_>) -> bool {
    let relay = facts.circuit.overloads.iter().any(|overload| !overload.part.is_empty() && !overload.role.is_empty());
    relay || facts.circuit.starter_devices.iter().any(|device| !device.part.is_empty())
}

pub(super) fn agree(facts: &Facts<'_>, found: &mut Disagreements) {
    let frame = frame(facts);
    let on_breaker = frame.is_some();
    let release = facts.yes("undervoltage_release").unwrap_or(false);
    whole(facts, "undervoltage-release", u32::from(release && on_breaker), found);
    let trip = meanings(facts, "control_station", About::Station).contains(&"remote-trip");
    whole(facts, "shunt-release", u32::from(trip && on_breaker && !release), found);
    let tripped = meanings(facts, "indicators", About::Indicator).contains(&"tripped");
    whole(facts, "signal-block", u32::from(tripped && on_breaker && !other_tells(facts)), found);
    let shown = facts.circuit.disconnect.as_ref().zip(facts.circuit.protection.as_ref()).is_some_and(|(a, b)| a.part == b.part);
    // Where every circuit has a disconnecting means at its controller, a local one does not replace it.
    let ask = DisconnectAsk { current: Amperes(facts.line_current()), before_drive: facts.start.method == Method::Drive };
    let disconnects = shown || facts.book.disconnect(&facts.machine, &facts.rated(), ask, &mut Record::silent()).always;
    let made = frame.is_some_and(|frame| facts.shelf.catalogue.accessories_for_breaker("door-handle", frame).next().is_some());
    whole(facts, "door-handle", u32::from(disconnects && made && !in_panelboard(facts)), found);
    for kind in ["undervoltage-release", "shunt-release", "signal-block", "door-handle"] {
        for (accessory, part) in known(facts, kind) {
            let voltage = kind == "door-handle" || blind(part) || fed(facts, part);
            let so = frame.is_some_and(|frame| part.fits_breaker_frame(frame)) && voltage && accessory.serves == "protection";
            found.unless(so, &codes::V601_ACCESSORY_FIT, || {
                format!("{} does not fit the circuit-breaker or the control voltage", accessory.part)
            });
        }
    }
}

/// A breaker with a lock of its own, alone or of one or two poles: nobody couples it to a door.
fn in_panelboard(facts: &Facts<'_>) -> bool {
    let alone = facts.circuit.contactors.is_empty() && facts.circuit.starter_devices.is_empty();
    let mut items = facts.circuit.protection.iter().flat_map(|protection| facts.shelf.all(&protection.part));
    items.any(|item| matches!(item, Item::Branch(breaker) if breaker.lockable && (alone || breaker.poles < 3)))
}

/// It declares no voltage.
fn blind(part: &AccessoryPart) -> bool {
    !part.ac && !part.dc
}
