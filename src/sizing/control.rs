//! The control circuit of a starter: its coils and what they draw (`coils`), what switches them (`outputs`), how far away that
//! may stand (`runs`), and what feeds them (`supply`). A supply that a board's starters share is chosen above, by `boards`.

use crate::design::{Check, Circuit, Control, Part};
use crate::finding::{Finding, codes};
use crate::load::Case;
use crate::quantity::round_to;
use crate::record::Record;
use crate::sizing::Tools;
use crate::sizing::assembly::Assembly;
use crate::sizing::judge::{at_least, not_checked};
use crate::supply::SupplyPoint;

pub mod coils;
mod outputs;
mod runs;
pub mod supply;

#[cfg(test)]
mod tests;

/// Checks of control circuits whose findings are made where their cure is known.
pub const OWN_FINDINGS: &[&str] = &[COIL_VOLTAGE, runs::DROP, runs::CAPACITANCE];

/// Name of the check of the lowest voltage at a coil.
pub const COIL_VOLTAGE: &str = "coil-voltage";

/// Describes the control circuit and gives contactors their coils.
pub fn describe(
    case: &Case,
    assembly: &Assembly<'_>,
    point: &SupplyPoint,
    tools: &Tools<'_>,
    circuit: &mut Circuit,
    record: &mut Record,
) {
    if assembly.contactors.is_empty() {
        return;
    }
    let coils = coils::choose(case, assembly, tools, circuit, record);
    let voltage = case.control.voltage;
    let (event, hold) = (coils.event(), coils.hold());
    let switched = outputs::choose(case, assembly, &coils, tools, circuit, record);
    let run = runs::look(case, &coils, &switched, tools, circuit, record);
    let (cores, protective) = runs::cores(case, &switched);
    let show = |power: f64| round_to(power, 2);
    let factor = |factor: Option<f64>| factor.map(|factor| round_to(factor, 4));
    circuit.control = Some(Control {
        coil_voltage: voltage.to_string(),
        pick_up_va: show(event.magnitude().0),
        hold_va: show(hold.magnitude().0),
        driven_by: case.control.driven_by.to_owned(),
        interposing_relay: switched.interposed,
        pick_up_power_factor: factor(event.power_factor()),
        hold_power_factor: factor(hold.power_factor()),
        lowest_pct: coils.lowest_pct(),
        highest_pct: coils.highest_pct(),
        maintained: !case.control.three_wire,
        commands: switched.commands,
        cores: cores + protective,
        protective_cores: protective,
        run,
        supply: None,
    });
    if !coils.complete {
        let because = "a contactor has no coil for this voltage";
        circuit.checks.push(not_checked(COIL_VOLTAGE, "%", because, "limits of operation of coils"));
        return;
    }
    if supply::per_starter(tools, voltage.dc) {
        own_supply(case, point, tools, circuit, record);
    }
}

/// The supply of this starter alone.
fn own_supply(case: &Case, point: &SupplyPoint, tools: &Tools<'_>, circuit: &mut Circuit, record: &mut Record) {
    let Some(served) = supply::Served::of(circuit) else { return };
    let demand = supply::Demand {
        voltage: case.control.voltage,
        line: supply::Line::of(tools.basis, &case.board, point, tools.book).of_starter(case),
        served: vec![supply::Served { quantity: 1.0, ..served }],
        at_controller: true,
        tap: circuit.protection.as_ref().map(|protection| protection.rating_a),
        leaves: circuit.control.as_ref().and_then(|control| control.run.as_ref()).is_some_and(|run| run.length_m.is_some()),
    };
    let chosen = supply::choose(&demand, tools, record);
    for finding in chosen.findings {
        record.find(finding.at(case.place.clone()));
    }
    circuit.checks.extend(chosen.checks);
    circuit.parts.extend(chosen.parts);
    let pct = chosen.coil_voltage_pct.first().copied().flatten();
    let (check, finding) = coil_voltage(circuit, pct);
    circuit.checks.push(check);
    if let Some(finding) = finding {
        record.find(finding.at(case.place.clone()));
    }
    if let Some(control) = &mut circuit.control {
        control.supply = Some(chosen.supply);
    }
}

/// The check of the voltage at a circuit's coils, per cent of their rated voltage, and what to do where it is too low.
#[must_use]
pub fn coil_voltage(circuit: &Circuit, pct: Option<f64>) -> (Check, Option<Finding>) {
    const REFERENCE: &str = "limits of operation of coils";
    let Some(control) = &circuit.control else { return (Check::default(), None) };
    let Some(pct) = pct else {
        return (not_checked(COIL_VOLTAGE, "%", "no control supply is chosen that would give it", REFERENCE), None);
    };
    let check = at_least(COIL_VOLTAGE, round_to(pct, 3), control.lowest_pct, "%", REFERENCE);
    if check.passed == Some(true) {
        return (check, None);
    }
    let run = control.run.as_ref().map(|run| run.drop_before_coil(control.interposing_relay)).filter(|drop| *drop > 0.0);
    let cure = match run {
        Some(drop) => format!(
            "{} is lost in the control run: take larger control conductors, an interposing relay at the starter, or a higher control voltage",
            if drop < 100.0 { format!("{} % of it", round_to(drop, 1)) } else { "all of it".to_owned() }
        ),
        None => "take a larger control transformer, one with taps, or a supply that varies less".to_owned(),
    };
    let needs = round_to(control.lowest_pct, 1);
    let what = if pct > 0.0 {
        format!("the coil has {} % of its voltage while it picks up at the lowest supply; it needs {needs} %", round_to(pct, 1))
    } else {
        format!("nothing of its voltage is left at the coil while it picks up at the lowest supply; it needs {needs} %")
    };
    let why = "a contactor that does not close fully welds or burns its coil";
    (check, Some(Finding::new(&codes::C411_COIL_LOW, what).why(why).cure(cure).reference(REFERENCE)))
}

/// A piece of the control circuit as a part of its owner.
fn part(number: &str, description: &str, quantity: u32) -> Part {
    Part::pieces(number, description, f64::from(quantity))
}
