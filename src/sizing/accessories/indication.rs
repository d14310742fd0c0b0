//! Stations, lamps and meters that the row asks for, and the contact that tells of a trip.

use super::release::breaker_frame;
use super::{Shelf, Use};
use crate::design::AuxiliaryContact;
use crate::finding::{Finding, codes};
use crate::quantity::{fits, round_to};

/// Adds them.
pub(super) fn add(shelf: &mut Shelf<'_, '_>) {
    for station in shelf.case.scheme.stations.clone() {
        let part = shelf.tools.catalogue.accessories_alone("station").find(|accessory| accessory.variant == station);
        shelf.put("station", part, 1, station, &Use::new("operator", "commands the load"));
    }
    for lamp in shelf.case.scheme.lamps.clone() {
        let count = match lamp {
            "running" => ways_of_running(&shelf.circuit.auxiliary_contacts),
            "stopped" => shelf.circuit.auxiliary_contacts.iter().any(|contact| contact.function == "stopped lamp").into(),
            _ => trip_contact(shelf).into(),
        };
        let count = u32::try_from(count).unwrap_or(1);
        if count > 0 {
            indicator(shelf, "lamp", count, &format!("{lamp} lamp"));
        }
    }
    for meter in shelf.case.scheme.meters.clone() {
        match meter {
            "ammeter" => ammeter(shelf),
            _ if shelf.circuit.auxiliary_contacts.iter().any(|contact| contact.function == "hour meter") => {
                indicator(shelf, "hour-meter", 1, "counts the hours in service");
            }
            _ => {}
        }
    }
}

/// Each direction or speed has a lamp of its own. Over a bypass the motor runs as it does before it: its contact lights the same lamp.
fn ways_of_running(contacts: &[AuxiliaryContact]) -> usize {
    let lit: Vec<&str> =
        contacts.iter().filter(|contact| contact.function == "running lamp").map(|contact| contact.role.as_str()).collect();
    let around = lit.iter().filter(|contactor| **contactor == "bypass").count();
    if around < lit.len() { lit.len() - around } else { lit.len().min(1) }
}

/// A lamp or meter that the control circuit feeds.
fn indicator(shelf: &mut Shelf<'_, '_>, variant: &str, count: u32, why: &str) {
    let part = shelf
        .tools
        .catalogue
        .accessories_alone("indicator")
        .find(|accessory| accessory.variant == variant && shelf.fed(accessory));
    let lacking = format!("{} at {}", variant.replace('-', " "), shelf.case.control.voltage);
    shelf.put("indicator", part, count, &lacking, &Use::new("operator", why));
}

/// The scale reaches the rated current; the start goes beyond it.
fn ammeter(shelf: &mut Shelf<'_, '_>) {
    let amperes = shelf.assembly.line.0;
    let scale = |accessory: &crate::catalogue::AccessoryPart| accessory.current_a.unwrap_or(0.0);
    let parts = shelf.tools.catalogue.accessories_alone("indicator");
    let part = parts
        .filter(|accessory| accessory.variant == "ammeter" && fits(amperes, scale(accessory)))
        .min_by(|a, b| scale(a).total_cmp(&scale(b)));
    let lacking = format!("{} A", round_to(amperes, 1));
    shelf.put("indicator", part, 1, &lacking, &Use::new("operator", "shows the current"));
}

/// A contact that tells of a trip: the relay's own, the output of an electronic device, or a signal block on the circuit-breaker
/// that protects the motor. Tells whether there is one.
fn trip_contact(shelf: &mut Shelf<'_, '_>) -> bool {
    if shelf.assembly.relays.iter().any(|relay| relay.separate && relay.relay.is_some() && !relay.place.role.is_empty())
        || shelf.assembly.devices.iter().any(|device| device.drive.is_some() || device.soft_starter.is_some())
    {
        return true;
    }
    if let Some(frame) = breaker_frame(shelf) {
        let volts = (shelf.case.control.voltage.volts, shelf.dc());
        let mut parts = shelf.tools.catalogue.accessories_for_breaker("signal-block", frame);
        // A block that declares no voltage is not held against one.
        let part = parts.find(|accessory| (!accessory.ac && !accessory.dc) || accessory.suits_voltage(volts.0, volts.1));
        let purpose = Use::new("protection", "tells that the circuit-breaker has tripped");
        shelf.put("signal-block", part, 1, &format!("breaker frame {frame}"), &purpose);
        return true;
    }
    shelf.find(
        Finding::new(&codes::C506_TRIP_CONTACT, "a trip is to be shown, but no device of the circuit tells of one")
            .cure("choose an overload relay or a circuit-breaker with a signal block"),
    );
    false
}
