//! The table of what was chosen on a data sheet, from the supply to the load: a function for each kind of device.

use serde::Serialize;

use super::super::bars::{length, reach};
use super::super::lists::{kind, make_up, quantity_trimmed, trimmed};
use super::super::text::{capital, count, decimals_for, fixed, meaning, quantity};
use super::{runs_alike, so_many};
use crate::design::{
    Accessory, Circuit, Contactor, Control, ControlDevice, ControlSupply, Disconnect, Overload, Protection, Run, StarterDevice,
};
use crate::load::Field;
use crate::report::columns::load as words;
use crate::report::columns::values::{disconnect_kind, holds_fuses, not_chosen};
use crate::report::columns::{accessories, contacts, raceway_words, role_words};
use crate::report::words::{brief, full, terms};
use crate::rules::units::Units;

/// A device that was chosen.
#[derive(Clone, Debug)]
struct Chosen {
    item: String,
    what: String,
    needs: String,
    has: String,
    part: String,
}

/// A device as it is printed: what it needs and has in words.
#[derive(Clone, Debug, Serialize)]
pub(super) struct ChosenLine {
    item: String,
    what: String,
    figures: String,
    part: String,
}

impl From<Chosen> for ChosenLine {
    fn from(chosen: Chosen) -> Self {
        let figures = match (chosen.needs.is_empty(), chosen.has.is_empty()) {
            (true, true) => String::new(),
            (true, false) => chosen.has,
            (false, true) => format!("needs {}", chosen.needs),
            (false, false) => format!("needs {}, has {}", chosen.needs, chosen.has),
        };
        Self { item: chosen.item, what: chosen.what, figures, part: chosen.part }
    }
}

/// Lists the devices and runs that were chosen, from the supply to the load.
pub(super) fn chosen(circuit: &Circuit, units: Units) -> Vec<ChosenLine> {
    let mut list: Vec<Chosen> = Vec::new();
    list.extend(circuit.protection.as_ref().map(|device| protection(device, circuit, units)));
    list.extend(circuit.contactors.iter().map(|contactor| self::contactor(contactor, circuit, units)));
    list.extend(circuit.overloads.iter().map(|overload| self::overload(overload, circuit, units)));
    list.extend(circuit.starter_devices.iter().map(|device| starter_device(device, units)));
    list.extend(circuit.runs.iter().map(|run| conductors(run, &circuit.load.kind, units)));
    list.extend(circuit.disconnect.as_ref().map(|device| isolator(device, units)));
    if let Some(control) = &circuit.control {
        list.push(self::control(control, units));
        list.extend(control.supply.as_ref().map(|supply| control_supply(supply, units)));
    }
    list.extend(accessories(circuit).iter().map(|accessory| self::accessory(accessory, units)));
    list.into_iter().map(ChosenLine::from).collect()
}

/// A current that is needed; empty where nothing is known of it.
fn amperes(value: f64) -> String {
    if value > 0.0 { quantity(value, 1, "A") } else { String::new() }
}

fn protection(device: &Protection, circuit: &Circuit, units: Units) -> Chosen {
    let mut what = vec![full(units, &device.kind)];
    what.extend(circuit.release_setting().map(|setting| format!("set to {}", quantity_trimmed(setting, "A"))));
    let breaks = units.pick("breaks", "interrupts");
    what.extend(device.breaking_ka.map(|ka| format!("{breaks} {}", quantity(ka, decimals_for(ka).min(1), "kA"))));
    what.extend(match (device.coordination.as_str(), units) {
        ("" | "not-claimed", Units::Customary) => None,
        ("", Units::Metric) => Some("co-ordination not stated".to_owned()),
        ("not-claimed", Units::Metric) => Some("co-ordination not claimed".to_owned()),
        (kind, _) => Some(format!("{} {}", units.pick("co-ordination", "coordination"), full(units, kind))),
    });
    if let (Units::Customary, Some(maximum)) = (units, device.maximum_a) {
        what.push(format!("at most {}", quantity_trimmed(maximum, "A")));
    }
    Chosen {
        item: "Protection".to_owned(),
        what: what.join(", "),
        needs: amperes(circuit.currents.protection_basis_a),
        has: quantity_trimmed(device.rating_a, "A"),
        part: device.part.clone(),
    }
}

fn contactor(contactor: &Contactor, circuit: &Circuit, units: Units) -> Chosen {
    let poles = if contactor.poles_in_parallel > 1 {
        format!(", {} poles in parallel", contactor.poles_in_parallel)
    } else {
        String::new()
    };
    Chosen {
        item: format!("{}, {}", terms(units).contactor, full(units, &contactor.role)),
        what: [
            units.pick(contactor.category.clone(), full(units, &contactor.category)),
            frame(&contactor.frame, units),
            contacts(circuit, &contactor.role),
        ]
        .into_iter()
        .filter(|text| !text.is_empty())
        .collect::<Vec<_>>()
        .join(", ")
            + &poles,
        needs: amperes(contactor.current_a),
        has: quantity_trimmed(contactor.rated_a, "A"),
        part: contactor.part.clone(),
    }
}

/// Which of several overload protections it is; a single one needs no name.
fn overload_item(overload: &Overload, circuit: &Circuit, units: Units) -> String {
    let role = match overload.role.as_str() {
        _ if overload.count > 1 => "each motor".to_owned(),
        "protection" => "release of the breaker".to_owned(),
        role => role_words(role, units),
    };
    if overload.count == 1 && circuit.overloads.len() == 1 { "Overload".to_owned() } else { format!("Overload, {role}") }
}

fn overload(overload: &Overload, circuit: &Circuit, units: Units) -> Chosen {
    Chosen {
        item: overload_item(overload, circuit, units),
        what: so_many(overload.count)
            + &format!(
                "{}, class {}, set to {}",
                full(units, &overload.kind),
                fixed(&overload.trip_class),
                quantity(overload.setting_a, 1, "A")
            ),
        needs: amperes(circuit.overload_current(overload) * overload.winding_factor),
        has: if overload.is_found() {
            format!("{}\u{a0}to\u{a0}{}", trimmed(overload.range_a[0]), quantity_trimmed(overload.range_a[1], "A"))
        } else {
            "none in the catalogue".to_owned()
        },
        part: overload.part.clone(),
    }
}

fn starter_device(device: &StarterDevice, units: Units) -> Chosen {
    Chosen {
        item: capital(&full(units, &device.kind)),
        what: String::new(),
        needs: amperes(device.current_a),
        has: if device.rated_a > 0.0 { quantity_trimmed(device.rated_a, "A") } else { String::new() },
        part: if device.part.is_empty() { not_chosen(&device.kind).to_owned() } else { device.part.clone() },
    }
}

/// Kind of an isolator in full; one that holds the fuses of its circuit is a switch.
fn disconnect_words(device: &Disconnect, units: Units) -> String {
    if holds_fuses(device) { disconnect_kind(device, units).into_owned() } else { full(units, &device.kind) }
}

fn isolator(device: &Disconnect, units: Units) -> Chosen {
    let lock = if device.lockable { "lockable" } else { "not lockable" };
    Chosen {
        item: terms(units).isolator.to_owned(),
        what: so_many(device.count)
            + &[
                units.pick(format!("{} {}", disconnect_words(device, units), device.category), disconnect_words(device, units)),
                units.pick(String::new(), device.category.clone()),
                lock.to_owned(),
                device.location.clone(),
                device.enclosure.clone(),
            ]
            .iter()
            .map(|text| text.trim())
            .filter(|text| !text.is_empty())
            .collect::<Vec<_>>()
            .join(", "),
        needs: String::new(),
        has: rated(device, units),
        part: device.part.clone(),
    }
}

fn control(control: &Control, units: Units) -> Chosen {
    let relay = if control.interposing_relay { ", over an interposing relay" } else { "" };
    Chosen {
        item: "Control".to_owned(),
        what: format!(
            "coil {}, switched by {}{relay}; {} to pull in, {} to hold",
            fixed(&control.coil_voltage),
            meaning(units, Field::DrivenBy, &control.driven_by),
            quantity(control.pick_up_va, 0, "VA"),
            quantity(control.hold_va, 0, "VA")
        ),
        needs: String::new(),
        has: String::new(),
        part: String::new(),
    }
}

fn accessory(accessory: &Accessory, units: Units) -> Chosen {
    let contacts: Vec<String> = [(accessory.no, "NO"), (accessory.nc, "NC")]
        .into_iter()
        .filter(|(number, _)| *number > 0)
        .map(|(number, kind)| format!("{number}\u{a0}{kind}"))
        .collect();
    // Each figure keeps its unit; between them a line may break, as a setting of several would else be one long word.
    let setting: Vec<String> = accessory.setting.split(", ").map(fixed).collect();
    Chosen {
        item: capital(&full(units, &accessory.kind)),
        what: [accessory.why.clone(), contacts.join(" + "), setting.join(", ")]
            .into_iter()
            .filter(|t| !t.is_empty())
            .collect::<Vec<_>>()
            .join(", "),
        needs: String::new(),
        // One piece goes without saying.
        has: if accessory.quantity > 1 { count(accessory.quantity as usize, "pc", "pc") } else { String::new() },
        part: accessory.part.clone(),
    }
}

/// The control supply of a starter alone, with its devices.
fn control_supply(supply: &ControlSupply, units: Units) -> Chosen {
    let device = |device: &ControlDevice, at: &str| {
        format!("{at} {} × {} {}", device.quantity, device.kind, quantity_trimmed(device.rating_a, "A"))
    };
    let at = |control_device: &Option<ControlDevice>, at: &str| {
        control_device.as_ref().map(|control_device| device(control_device, at))
    };
    let kind = if supply.kind == "line" { "from the line without a transformer".to_owned() } else { full(units, &supply.kind) };
    let behind = if supply.kind == "line" { "device" } else { "behind it" };
    let words = [Some(kind), at(&supply.primary, "before it"), at(&supply.secondary, behind), at(&supply.branches, "branches")];
    let pick_up = format!("{} while contactors pick up", quantity(supply.event_va, 0, "VA"));
    Chosen {
        item: "Control supply".to_owned(),
        what: words.into_iter().flatten().chain([pick_up]).collect::<Vec<_>>().join(", "),
        needs: quantity(supply.continuous_va, 0, "VA"),
        has: supply.rating_va.map(|va| quantity(va, 0, "VA")).unwrap_or_default(),
        part: supply.part.clone(),
    }
}

/// A frame of a contactor; in the customary book it names itself.
fn frame(frame: &str, units: Units) -> String {
    match units {
        Units::Metric => format!("frame {}", fixed(frame)),
        Units::Customary if frame.is_empty() => String::new(),
        Units::Customary => fixed(&crate::report::columns::frame_words(frame)),
    }
}

/// Amperes of an isolator, else its horsepower; the customary book shows both.
fn rated(device: &Disconnect, units: Units) -> String {
    let amperes = device.rating_a.map(|amperes| quantity_trimmed(amperes, "A"));
    let hp = device.rating_hp.map(|hp| quantity_trimmed(hp, "hp"));
    let shown = units.pick(1, 2);
    [amperes, hp].into_iter().flatten().take(shown).collect::<Vec<_>>().join(", ")
}

/// A run as a line of what was chosen.
fn conductors(run: &Run, kind_of_load: &str, units: Units) -> Chosen {
    let holds = run.holds_to_m.map(|metres| format!(", holds to {}", reach(metres, units))).unwrap_or_default();
    let laid = match (&run.raceway, units) {
        (Some(raceway), Units::Customary) => {
            let fill =
                if raceway.fill_pct > 0.0 { format!(", {} filled", quantity(raceway.fill_pct, 0, "%")) } else { String::new() };
            format!(", {} {}{fill}", terms(units).laid, fixed(&raceway_words(run, units)))
        }
        _ if run.installation.is_empty() => String::new(),
        _ => format!(", {} {}", terms(units).laid, fixed(&brief(units, &run.installation))),
    };
    Chosen {
        item: format!("{}, {}", terms(units).cable, full(units, words::about(kind_of_load, &run.role))),
        what: format!("{}, {}{laid}, {}{holds}", runs_alike(run, make_up(run, units)), kind(run, units), length(run, units)),
        needs: if run.required_a > 0.0 { quantity(run.required_a, 1, "A") } else { String::new() },
        has: if run.capacity_a > 0.0 { quantity(run.capacity_a, 1, "A") } else { String::new() },
        part: run.part.clone(),
    }
}
