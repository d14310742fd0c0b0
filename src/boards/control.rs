//! The control supplies that the starters of a board share: one for each coil voltage.

use std::collections::BTreeMap;

use crate::design::{Board, Circuit, Status};
use crate::finding::{Finding, Place, codes, sort};
use crate::record::Record;
use crate::sizing::control::supply::{self, Chosen, Demand, Line, Served};
use crate::sizing::control::{COIL_VOLTAGE, coil_voltage};
use crate::sizing::resolve::control_voltage;
use crate::sizing::{Tools, settle_status};
use crate::supply::SupplyPoint;

/// Circuits that a supply of the board feeds: their coils are known and they have none of their own.
fn shares(circuit: &Circuit) -> bool {
    let whole = !circuit.checks.iter().any(|check| check.name == COIL_VOLTAGE);
    whole && circuit.status != Status::NotSized && circuit.control.as_ref().is_some_and(|control| control.supply.is_none())
}

/// Chooses the supplies of a board and tells its circuits the voltage at their coils.
pub(super) fn supplies(
    board: &mut Board,
    circuits: Vec<&mut Circuit>,
    point: &SupplyPoint,
    tools: &Tools<'_>,
    record: &mut Record,
) {
    let mut sharing: Vec<&mut Circuit> = circuits.into_iter().filter(|circuit| shares(circuit)).collect();
    let mut voltages: Vec<String> = Vec::new();
    for circuit in &sharing {
        let coil_voltage = circuit.control.as_ref().map(|control| control.coil_voltage.clone()).unwrap_or_default();
        if !voltages.contains(&coil_voltage) {
            voltages.push(coil_voltage);
        }
    }
    for text in voltages {
        let Some(voltage) = control_voltage(&text) else { continue };
        let fed = |circuit: &Circuit| circuit.control.as_ref().is_some_and(|control| control.coil_voltage == text);
        let served: Vec<Served> =
            sharing.iter().filter(|circuit| fed(circuit)).filter_map(|circuit| Served::of(circuit)).collect();
        if served.is_empty() {
            continue;
        }
        let line = Line::of(tools.basis, &board.name, point, tools.book);
        let demand = Demand { voltage, line, served, at_controller: false, tap: None, leaves: false };
        let shares = supply::share(&demand, tools, record);
        if shares.len() > 1 {
            board.findings.push(several(&text, shares.len()));
        }
        let lowest = lowest_by_tag(&shares);
        for circuit in sharing.iter_mut().filter(|circuit| fed(circuit)) {
            let pct = lowest.get(&circuit.tag).copied().flatten();
            tell(circuit, pct);
        }
        for (at, (_, chosen)) in (1..).zip(shares) {
            add(board, chosen, &text, at);
        }
    }
}

fn several(coil_voltage: &str, number: usize) -> Finding {
    let what = format!(
        "the starters with coils of {coil_voltage} are shared out among {number} control supplies, in the order of the schedule"
    );
    Finding::new(&codes::C414_SEVERAL_SUPPLIES, what).why("no single one of the catalogue holds them all")
}

/// Voltage at the coils by tag: the lowest of the supplies that serve circuits of a row, none if one of them is unknown.
fn lowest_by_tag(shares: &[(Demand, Chosen)]) -> BTreeMap<String, Option<f64>> {
    let mut all: BTreeMap<String, Option<f64>> = BTreeMap::new();
    for (demand, chosen) in shares {
        for (served, pct) in demand.served.iter().zip(&chosen.coil_voltage_pct) {
            all.entry(served.tag.clone()).and_modify(|lowest| *lowest = lowest.zip(*pct).map(|(a, b)| a.min(b))).or_insert(*pct);
        }
    }
    all
}

/// Gives a circuit the check of the voltage at its coils, and settles its status again.
fn tell(circuit: &mut Circuit, pct: Option<f64>) {
    let (check, finding) = coil_voltage(circuit, pct);
    circuit.checks.push(check);
    if let Some(finding) = finding {
        let place = Place::from(&circuit.place);
        circuit.findings.push(finding.at(place));
        sort(&mut circuit.findings);
    }
    settle_status(circuit);
}

/// Adds a supply to the board; its checks say which one they are about.
fn add(board: &mut Board, chosen: Chosen, coil_voltage: &str, number: u32) {
    board.control_supply_va += chosen.supply.rating_va.unwrap_or(chosen.supply.continuous_va);
    let name = if number == 1 { coil_voltage.to_owned() } else { format!("{coil_voltage} ({number})") };
    for mut check in chosen.checks {
        check.subject = if check.subject.is_empty() { name.clone() } else { format!("{name}, {}", check.subject) };
        board.checks.push(check);
    }
    board.parts.extend(chosen.parts);
    board.findings.extend(chosen.findings);
    board.control_supplies.push(chosen.supply);
}
