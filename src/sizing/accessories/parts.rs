//! The list of parts that are bought for one circuit.

use crate::design::{Circuit, Part};
use crate::load::{Case, Method};
use crate::quantity::round_to;
use crate::sizing::Tools;
use crate::sizing::assembly::{Assembly, ChosenContactor, ChosenRelay, Device};

/// Everything that is bought for one circuit.
pub(super) fn list(case: &Case, assembly: &Assembly<'_>, tools: &Tools<'_>, circuit: &mut Circuit) {
    let mut parts = Vec::new();
    let mut add = |part: &str, description: &str, quantity: f64, unit: &str| {
        parts.push(Part {
            part: part.to_owned(),
            description: description.to_owned(),
            quantity,
            unit: unit.to_owned(),
            ..Part::default()
        });
    };
    match assembly.protection.as_ref().map(|protection| protection.device) {
        Some(Device::Motor(breaker)) => add(&breaker.part, &breaker.description, 1.0, "pc"),
        Some(Device::Moulded(breaker)) => add(&breaker.part, &breaker.description, 1.0, "pc"),
        Some(Device::Line(breaker)) => add(&breaker.part, &breaker.description, 1.0, "pc"),
        Some(Device::Branch(breaker)) => add(&breaker.part, &breaker.description, 1.0, "pc"),
        Some(Device::Fuse(fuse)) => {
            add(&fuse.base_part, &fuse.base_description, 1.0, "pc");
            add(&fuse.part, &fuse.description, f64::from(tools.book.fuses_of(&case.machine)), "pc");
        }
        None => add("", &protection_words(case, assembly, tools), 1.0, "pc"),
    }
    for (chosen, result) in assembly.contactors.iter().zip(&circuit.contactors) {
        if let Some(contactor) = chosen.contactor {
            add(&result.part, &format!("{}, coil {}", contactor.description, case.control.voltage), 1.0, "pc");
        } else {
            add("", &contactor_words(case, chosen), 1.0, "pc");
        }
    }
    for relay in &assembly.relays {
        if let Some(overload_relay) = relay.relay {
            let count = f64::from(relay.count());
            add(&overload_relay.part, &overload_relay.description, count, "pc");
            if let Some(transformers) = &overload_relay.transformer_part {
                let description = overload_relay.transformer_description.as_deref().unwrap_or("current transformers");
                add(transformers, description, count * f64::from(overload_relay.transformer_count.unwrap_or(1)), "pc");
            }
        } else if relay.separate {
            add("", &relay_words(relay), f64::from(relay.count()), "pc");
        }
    }
    for device in &assembly.devices {
        add(device.part(), &device.description(), 1.0, "pc");
    }
    parts.append(&mut circuit.parts);
    if case.start.method == Method::ByOthers {
        parts.push(Part {
            description: format!("starter of {}", case.tag),
            quantity: 1.0,
            unit: "pc".to_owned(),
            by_others: true,
            ..Part::default()
        });
    }
    circuit.parts = parts;
}

/// A device that the catalogue lacks stands on the list by its words, so that somebody who asks for prices asks for it too.
fn protection_words(case: &Case, assembly: &Assembly<'_>, tools: &Tools<'_>) -> String {
    let poles = match tools.book.breaker_poles(&case.machine) {
        1 => "1 pole".to_owned(),
        poles => format!("{poles} poles"),
    };
    format!("protective device for {} A at {} V, {poles}", round_to(assembly.line.0, 2), case.machine.voltage.0)
}

fn contactor_words(case: &Case, chosen: &ChosenContactor<'_>) -> String {
    format!(
        "contactor for {} A in {} at {} V, coil {}",
        round_to(chosen.demand.current.0, 2),
        chosen.demand.category.name(),
        case.machine.voltage.0,
        case.control.voltage
    )
}

fn relay_words(relay: &ChosenRelay<'_>) -> String {
    let what = if relay.place.role.is_empty() { "hand-operated starter" } else { "overload relay" };
    format!("{what} for a setting of {} A, class {}", round_to(relay.setting.0, 2), relay.class)
}

/// Adds isolator and accessories to the parts, with their descriptions from the catalogue.
pub fn describe_parts(circuit: &mut Circuit, tools: &Tools<'_>) {
    let describe =
        |part: &str, kind: &str| tools.catalogue.small_part(part).map_or_else(|| kind.replace('-', " "), str::to_owned);
    for accessory in &circuit.accessories {
        circuit.parts.push(Part {
            part: accessory.part.clone(),
            description: describe(&accessory.part, &accessory.kind),
            quantity: f64::from(accessory.quantity),
            unit: "pc".to_owned(),
            shared: accessory.shared,
            ..Part::default()
        });
    }
    // A protective device that disconnects is among the parts already.
    let bought = |part: &str| circuit.parts.iter().any(|listed| listed.part == part);
    if let Some(disconnect) = circuit.disconnect.as_ref().filter(|disconnect| !bought(&disconnect.part)) {
        let isolator = tools
            .catalogue
            .isolators
            .iter()
            .find(|isolator| isolator.part == disconnect.part)
            .map(|isolator| &isolator.description);
        let switch = tools
            .catalogue
            .disconnects
            .iter()
            .find(|switch| switch.part == disconnect.part)
            .map(|disconnect| &disconnect.description);
        let description = isolator.or(switch).cloned().unwrap_or_default();
        let quantity = f64::from(disconnect.count);
        circuit.parts.push(Part {
            part: disconnect.part.clone(),
            description,
            quantity,
            unit: "pc".to_owned(),
            ..Part::default()
        });
    }
}
