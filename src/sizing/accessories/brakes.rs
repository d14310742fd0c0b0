//! Brakes that no contact of the starter can switch, and what brakes and space heaters lack: something that feeds and protects them.

use super::Shelf;
use super::needs::brakes_of_all;
use crate::finding::{Finding, codes};
use crate::load::{Case, ControlVoltage};
use crate::quantity::{Watts, round_to};
use crate::rules::physics::accessories::practice;
use crate::rules::physics::material;
use crate::sizing::Tools;

/// Says what they lack.
pub(super) fn tell(shelf: &mut Shelf<'_, '_>) {
    brake(shelf);
    fed_by_others(shelf);
}

/// The voltages at which the brake may be fed: those named beside it, else that between line and neutral, and that of the control where
/// this is direct, as brakes of machines are often fed from it. None where words say direct current and nothing its voltage.
fn voltages(case: &Case, tools: &Tools<'_>) -> Vec<ControlVoltage> {
    let mains = ControlVoltage { volts: material::figure("auxiliary-voltage", tools.book.key()), dc: false };
    let control = case.control.voltage;
    let named = &case.extras.brake_voltages;
    match (named.is_empty(), case.extras.brake_direct) {
        (false, _) => named.clone(),
        (true, true) => Some(control).filter(|control| control.dc).into_iter().collect(),
        (true, false) if control.dc => vec![control, mains],
        (true, false) => vec![mains],
    }
}

/// The current of so many watts at each voltage: `5 A at 24 V DC or 0.52 A at 230 V`.
fn currents(watts: Watts, voltages: &[ControlVoltage]) -> String {
    if voltages.is_empty() {
        return "direct current of a voltage that is not named".to_owned();
    }
    let current = |voltage: &ControlVoltage| {
        let kind = if voltage.dc { " DC" } else { "" };
        format!("{} A at {} V{kind}", round_to(watts.0 / voltage.volts, 2), voltage.volts)
    };
    voltages.iter().map(current).collect::<Vec<_>>().join(" or ")
}

/// A brake behind a drive, one that is too much for an auxiliary contact, by itself or with those of the other motors, or one that may be
/// fed with direct current.
fn brake(shelf: &mut Shelf<'_, '_>) {
    let Some((of_one, of_all)) = shelf.case.scheme.brake.zip(brakes_of_all(shelf.case)) else { return };
    let several = shelf.case.motors > 1;
    let drive = shelf.assembly.devices.iter().any(|device| device.kind == "drive");
    let most = Watts(practice("brake-contact"));
    let (what, cure) = if drive {
        (
            "a motor brake behind a drive is not fed from the motor's terminals",
            "release it with a relay output of the drive, from a supply of its own",
        )
    } else if of_all.fits(most) {
        return direct_current(shelf, of_one, of_all);
    } else if several {
        (
            "together the brakes are too much for an auxiliary contact",
            "give the brakes a contactor of their own, which the starter's contact switches",
        )
    } else {
        (
            "the brake is too much for an auxiliary contact",
            "give the brake a contactor of its own, which the starter's contact switches",
        )
    };
    let each = each(shelf.case);
    shelf.find(Finding::new(&codes::C515_BRAKE, format!("brake of {each}{} W: {what}", of_one.0)).cure(cure));
}

/// A coil at direct current is the hardest load of a contact, and no contact of the starter is chosen for it.
fn direct_current(shelf: &mut Shelf<'_, '_>, of_one: Watts, of_all: Watts) {
    let voltages = voltages(shelf.case, shelf.tools);
    if !voltages.iter().any(|voltage| voltage.dc) && !shelf.case.extras.brake_direct {
        return;
    }
    let (each, currents) = (each(shelf.case), currents(of_all, &voltages));
    let named = voltages.len() == 1;
    let unnamed = match voltages.len() {
        0 | 1 => "",
        2 => "; which of the two is not named",
        _ => "; which of them is not named",
    };
    let what = format!(
        "brake of {each}{} W: {currents}{unnamed}: no auxiliary contact of the starter is checked for the direct current",
        of_one.0
    );
    let cure = "give the brake a contactor of its own with contacts for direct current, which the starter's contact switches, and count it in the direct-current supply";
    let cure = if named {
        cure.to_owned()
    } else {
        format!("name its voltage in description or note, as in `brake 230 V` or `brake 180 V DC`; if it is direct, {cure}")
    };
    shelf.find(
        Finding::new(&codes::C515_BRAKE, what)
            .why("the coil of a brake keeps its current flowing: a contact for alternating current burns on it")
            .cure(cure)
            .reference("IEC 60947-5-1, 4.4, utilization category DC-13"),
    );
}

fn each(case: &Case) -> String {
    if case.motors > 1 { format!("{} × ", case.motors) } else { String::new() }
}

/// Heaters and brakes have cores and contacts, but nothing that feeds and protects them.
fn fed_by_others(shelf: &mut Shelf<'_, '_>) {
    let (extras, motors) = (&shelf.case.extras, shelf.case.motors);
    let mains = [ControlVoltage { volts: material::figure("auxiliary-voltage", shelf.tools.book.key()), dc: false }];
    let of_brake = voltages(shelf.case, shelf.tools);
    let named = [("space heater", extras.heater, &mains[..]), ("brake", extras.brake, &of_brake[..])];
    let there: Vec<(&str, Watts, &[ControlVoltage])> = named.into_iter().filter(|(_, watts, _)| watts.0 > 0.0).collect();
    if there.is_empty() {
        return;
    }
    let each = each(shelf.case);
    let names: Vec<String> = there.iter().map(|(name, watts, _)| format!("{name} of {each}{} W", watts.0)).collect();
    let of_all = |watts: Watts| watts * f64::from(motors);
    let drawn: Vec<String> =
        there.iter().map(|(name, watts, voltages)| format!("{name} {}", currents(of_all(*watts), voltages))).collect();
    let most = Watts(practice("brake-contact"));
    let heavy = !of_all(extras.heater).fits(most);
    let contactor =
        if heavy { "; the heater is too much for an auxiliary contact: switch it by a contactor of its own" } else { "" };
    // A brake at direct current alone needs no neutral.
    let neutral = if there.iter().any(|(_, _, voltages)| voltages.iter().any(|voltage| !voltage.dc)) {
        "a neutral at the board where it needs one"
    } else {
        "a direct-current supply that has its current beside that of the coils"
    };
    shelf.find(
        Finding::new(&codes::C532_FED_BY_OTHERS, format!("{}: nothing is chosen that feeds and protects it", names.join(", ")))
            .at(shelf.case.place.clone())
            .why("cores and contacts are counted; a protective device, line and neutral, the power in the control supply, and the rectifier of a brake are not")
            .cure(format!("give it a circuit of its own with a protective device, and {neutral} ({}){contactor}", drawn.join(", "))),
    );
}
