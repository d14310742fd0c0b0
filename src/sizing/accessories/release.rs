//! Parts that stop a circuit besides its overload relay: undervoltage releases, thermistor relays, emergency stops; the handle of
//! a circuit-breaker that disconnects.

use super::{Shelf, Use};
use crate::catalogue::AccessoryPart;
use crate::design::Part;
use crate::finding::{Finding, codes};
use crate::rules::physics::accessories::practice;
use crate::sizing::assembly::{Assembly, Device};

/// Adds them.
pub(super) fn add(shelf: &mut Shelf<'_, '_>) {
    undervoltage_release(shelf);
    remote_trip(shelf);
    remote_reset(shelf);
    automatic_reset(shelf);
    handle(shelf);
    thermistor_relay(shelf);
    emergency_stop(shelf);
    super::brakes::tell(shelf);
}

/// Frame of the circuit-breaker that protects the circuit.
pub(super) fn breaker_frame<'a>(shelf: &Shelf<'_, 'a>) -> Option<&'a str> {
    match shelf.assembly.protection.as_ref()?.device {
        Device::Motor(breaker) => Some(&breaker.frame),
        Device::Moulded(breaker) => Some(&breaker.frame),
        Device::Branch(breaker) => Some(&breaker.frame),
        Device::Line(_) | Device::Fuse(_) => None,
    }
}

fn undervoltage_release(shelf: &mut Shelf<'_, '_>) {
    if !shelf.case.scheme.undervoltage_release {
        return;
    }
    if let Some(frame) = breaker_frame(shelf) {
        let mut parts = shelf.tools.catalogue.accessories_for_breaker("undervoltage-release", frame);
        let part = parts.find(|accessory| shelf.fed(accessory));
        let lacking = format!("breaker frame {frame} at {}", shelf.case.control.voltage);
        let purpose = Use::new("protection", "opens the circuit-breaker when the voltage fails");
        shelf.put("undervoltage-release", part, 1, &lacking, &purpose);
        return;
    }
    // A contactor that seals itself in drops out with the voltage and stays out.
    let sealed_in =
        shelf.case.control.three_wire && shelf.circuit.auxiliary_contacts.iter().any(|contact| contact.function == "seal-in");
    if !sealed_in {
        shelf.find(
            Finding::new(&codes::C513_NO_RELEASE, "an undervoltage release is wanted; the protective device takes none")
                .why("with maintained control the load starts again by itself when the voltage returns")
                .cure("choose a circuit-breaker, or three-wire control, whose contactor stays out after a loss of voltage"),
        );
    }
}

/// A circuit-breaker is tripped from afar by a shunt release, or by its undervoltage release, which takes the same place.
fn remote_trip(shelf: &mut Shelf<'_, '_>) {
    if !shelf.case.scheme.stations.contains(&"remote-trip") {
        return;
    }
    let Some(frame) = breaker_frame(shelf) else {
        return shelf.find(
            Finding::new(&codes::C519_REMOTE, "a remote trip is wanted; the protective device takes no release")
                .why("its push-button can only open the control circuit of a contactor")
                .cure("choose a circuit-breaker, or a stop push-button instead"),
        );
    };
    if shelf.case.scheme.undervoltage_release {
        return;
    }
    let part = shelf.tools.catalogue.accessories_for_breaker("shunt-release", frame).find(|accessory| shelf.fed(accessory));
    let lacking = format!("breaker frame {frame} at {}", shelf.case.control.voltage);
    shelf.put("shunt-release", part, 1, &lacking, &Use::new("protection", "opens the circuit-breaker from afar"));
}

/// Every relay that stands for itself has a coil that resets it. Soft starters and drives have an input; a circuit-breaker is closed
/// by hand.
fn remote_reset(shelf: &mut Shelf<'_, '_>) {
    if !shelf.case.scheme.stations.contains(&"reset") {
        return;
    }
    let mut served = shelf.assembly.devices.iter().any(|device| device.drive.is_some() || device.soft_starter.is_some());
    for relay in &shelf.assembly.relays {
        let Some(overload_relay) = relay.relay.filter(|_| relay.separate && !relay.place.role.is_empty()) else { continue };
        served = true;
        let fits = |reset: &&AccessoryPart| overload_relay.fits_frames.split_whitespace().any(|frame| reset.fits_frame(frame));
        let part =
            shelf.tools.catalogue.accessories.iter().filter(|part| part.kind == "remote-reset" && shelf.fed(part)).find(fits);
        let lacking = format!("{} at {}", overload_relay.part, shelf.case.control.voltage);
        shelf.put("remote-reset", part, relay.count(), &lacking, &Use::new(relay.place.role, "resets the relay from afar"));
    }
    if !served {
        shelf.find(
            Finding::new(&codes::C519_REMOTE, "a remote reset is wanted; nothing in the circuit can be reset from afar")
                .why("a circuit-breaker that has tripped is closed by hand")
                .cure("choose an overload relay, or take the reset push-button out of the station"),
        );
    }
}

/// A relay that stands for itself, a soft starter and a drive reset by themselves; a circuit-breaker is closed by hand.
fn automatic_reset(shelf: &mut Shelf<'_, '_>) {
    let by_device = shelf.assembly.devices.iter().any(|device| device.drive.is_some() || device.soft_starter.is_some());
    let by_relay = shelf.assembly.relays.iter().any(|relay| relay.separate && !relay.place.role.is_empty());
    let by_breaker = shelf.assembly.relays.iter().any(|relay| matches!(relay.kind.as_str(), "motor-breaker" | "moulded-case"));
    if shelf.case.control.automatic_reset && by_breaker && !by_device && !by_relay {
        shelf.find(
            Finding::new(&codes::C519_REMOTE, "automatic reset is wanted; nothing in the circuit resets by itself")
                .why("a circuit-breaker that has tripped is closed by hand")
                .cure("choose an overload relay (protection_kind gG, aM or the like), or write manual below reset_mode"),
        );
    }
}

/// A circuit-breaker that disconnects stands with its starter behind a door, through which its handle reaches, and is locked off there;
/// a local disconnecting means does not replace it. One that can be locked by itself and has no starter beside it, or fewer than three
/// poles, stands in a panelboard, whose breakers are worked behind its door (common practice, no source).
fn handle(shelf: &mut Shelf<'_, '_>) {
    let Some(protection) = &shelf.assembly.protection else { return };
    let own_part = shelf.circuit.disconnect.as_ref().is_some_and(|disconnect| disconnect.part == protection.device.part());
    let judged = shelf.circuit.checks.iter().any(|check| check.subject == "disconnecting means");
    if !own_part && !judged {
        return;
    }
    let in_panelboard = match protection.device {
        Device::Branch(breaker) => breaker.lockable && (breaker.poles < 3 || !has_starter(shelf.assembly)),
        _ => false,
    };
    let Some(frame) = breaker_frame(shelf).filter(|_| !in_panelboard) else { return };
    let lockable = matches!(protection.device, Device::Branch(device) if device.lockable);
    if let Some(part) = shelf.tools.catalogue.accessories_for_breaker("door-handle", frame).next() {
        shelf.push("door-handle", Some(part), 1, &Use::new("protection", "disconnects through the door and is locked off"));
    } else if !lockable {
        shelf.find(
            Finding::new(&codes::C514_NOT_LOCKABLE, "the circuit-breaker that disconnects can't be locked off")
                .why("work on the machine needs a disconnecting means that others can't close")
                .cure("add a lockable handle to the catalogue, or a local disconnecting means"),
        );
    }
}

/// Contactors, a soft starter or a drive stand beside the protective device.
fn has_starter(assembly: &Assembly<'_>) -> bool {
    !assembly.contactors.is_empty() || !assembly.devices.is_empty()
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a small whole figure of a table
fn thermistor_relay(shelf: &mut Shelf<'_, '_>) {
    let sensors = shelf.case.scheme.thermistors;
    if sensors == 0 || shelf.assembly.arrangement.method.supply_only() {
        return;
    }
    let loops = sensors.div_ceil((practice("sensors-of-a-loop") as u32).max(1));
    let part = shelf.tools.catalogue.accessories_alone("thermistor-relay").find(|accessory| shelf.fed(accessory));
    // A loop through several motors would not tell which of them is hot, and its break would leave all without protection.
    let motors = shelf.case.motors;
    let of_each = if motors > 1 { " of each motor" } else { "" };
    // A motor of two speeds or with a warning brings out more than one loop; a relay sees them as one.
    let several = sensors > practice("sensors-of-a-motor") as u32;
    let joined = if several { ", their loops joined in series at its terminals" } else { "" };
    let why = format!("evaluates {sensors} thermistors in the winding{of_each}{joined}; its contact opens the control circuit");
    let lacking = format!("supply with {}", shelf.case.control.voltage);
    shelf.put("thermistor-relay", part, loops * motors, &lacking, &Use::new("motor", why));
}

/// Only asked for, and then by others: which devices there are is not a matter of one circuit. They are listed with the board.
fn emergency_stop(shelf: &mut Shelf<'_, '_>) {
    let Some(category) = shelf.case.scheme.emergency_stop else { return safety_relay(shelf) };
    let (needs, cure) = if category == "category-0" {
        (
            "its safety relay opens the control circuit of every contactor at once",
            "design the emergency stop for the whole machine, and let its relay open the supply of these coils",
        )
    } else {
        (
            "the load is brought to rest before its safety relay, which has a delayed contact, opens the control circuit",
            "design the emergency stop for the whole machine; only a drive or soft starter brings a motor to rest under control",
        )
    };
    shelf.find(
        Finding::new(
            &codes::C512_EMERGENCY_STOP,
            format!("emergency stop, stop {}: its devices are by others", category.replace('-', " ")),
        )
        .why(needs)
        .cure(cure),
    );
}

/// Contactors are monitored by somebody: where no emergency stop brings the relay, the safety function has one, which is by others.
fn safety_relay(shelf: &mut Shelf<'_, '_>) {
    if shelf.case.scheme.monitored && !shelf.assembly.contactors.is_empty() {
        shelf.circuit.parts.push(Part {
            description: "safety relay that monitors the contactors".to_owned(),
            quantity: 1.0,
            unit: "pc".to_owned(),
            by_others: true,
            ..Part::default()
        });
    }
}
