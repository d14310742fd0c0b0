//! The control supplies that the starters of a board share: one for each coil voltage.

use crate::design::{Board, Circuit, Status};
use crate::finding::{Place, sort};
use crate::record::Record;
use crate::sizing::control::supply::{self, Demand, Line, Served};
use crate::sizing::control::{COIL_VOLTAGE, coil_voltage};
use crate::sizing::resolve::control_voltage;
use crate::sizing::{Tools, settle_status};
use crate::supply::SupplyPoint;

/// Circuits that a supply of the board feeds: their coils are known and they have none of their own.
fn shares(circuit: &Circuit) -> bool {
    let whole = !circuit.checks.iter().any(|check| check.name == COIL_VOLTAGE);
    whole && circuit.status != Status::NotSized && circuit.control.as_ref().is_some_and(|own| own.supply.is_none())
}

fn place_of(circuit: &Circuit) -> Place {
    let own = &circuit.place;
    Place { sheet: own.sheet.clone(), row: Some(own.row), ..Place::file(own.file.clone()) }
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
        let own = circuit.control.as_ref().map(|own| own.coil_voltage.clone()).unwrap_or_default();
        if !voltages.contains(&own) {
            voltages.push(own);
        }
    }
    for text in voltages {
        let Some(voltage) = control_voltage(&text) else { continue };
        let fed = |circuit: &Circuit| circuit.control.as_ref().is_some_and(|own| own.coil_voltage == text);
        let (served, mut fed): (Vec<Served>, Vec<&mut &mut Circuit>) =
            sharing.iter_mut().filter(|circuit| fed(circuit)).filter_map(|circuit| Some((Served::of(circuit)?, circuit))).unzip();
        let line = Line::of(tools.basis, &board.name, point);
        let demand = Demand { voltage, line, served, at_controller: false, tap: None, leaves: false };
        let chosen = supply::choose(&demand, tools, record);
        for (circuit, pct) in fed.iter_mut().zip(&chosen.coil_voltage_pct) {
            let (check, finding) = coil_voltage(circuit, *pct);
            circuit.checks.push(check);
            if let Some(finding) = finding {
                let place = place_of(circuit);
                circuit.findings.push(finding.at(place));
                sort(&mut circuit.findings);
            }
            settle_status(circuit);
        }
        board.control_supply_va += chosen.supply.rating_va.unwrap_or(chosen.supply.continuous_va);
        let about = |own: &mut crate::design::Check| {
            own.subject = if own.subject.is_empty() { text.clone() } else { format!("{text}, {}", own.subject) };
        };
        let mut checks = chosen.checks;
        checks.iter_mut().for_each(about);
        board.checks.extend(checks);
        board.parts.extend(chosen.parts);
        board.findings.extend(chosen.findings);
        board.control_supplies.push(chosen.supply);
    }
}
