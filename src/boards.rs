//! Boards: what circuits bring to the board that feeds them and no circuit can know alone.
//!
//! A board reads finished circuits and gives them back what follows from all of them: the voltage at their coils. It adds up their heat
//! and width. Other figures of a board stay at nothing until something works them out.

use crate::basis::Basis;
use crate::design::{Board, Circuit};
use crate::quantity::Volts;
use crate::record::{Naming, Record};
use crate::rules::RuleBook;
use crate::sizing::Tools;
use crate::supply::{self, SupplyPoint};

mod control;
mod heat;
mod panel;
mod space;

#[cfg(test)]
mod tests;

/// The boards of a schedule in the order in which it names them first. Circuits receive the checks that need the whole board;
/// their status is settled again.
#[must_use]
pub fn of_circuits(circuits: &mut [Circuit], tools: &Tools<'_>) -> Vec<Board> {
    let mut names: Vec<String> = Vec::new();
    for circuit in circuits.iter() {
        if !names.contains(&circuit.board) {
            names.push(circuit.board.clone());
        }
    }
    names.iter().map(|name| of_name(name, circuits, tools)).collect()
}

fn of_name(name: &str, circuits: &mut [Circuit], tools: &Tools<'_>) -> Board {
    let own: Vec<&mut Circuit> = circuits.iter_mut().filter(|circuit| circuit.board == name).collect();
    let point = point(name, &own, tools.basis);
    let mut board = Board {
        name: name.to_owned(),
        fed_from: tools.basis.board(name).and_then(|own| own.fed_from.clone()),
        voltage_v: point.voltage.0,
        ..Board::default()
    };
    let mut record = Record::new().named(naming(tools.book));
    control::supplies(&mut board, own, &point, tools, &mut record);
    let own: Vec<&Circuit> = circuits.iter().filter(|circuit| circuit.board == name).collect();
    heat::add(&mut board, &own, tools, &mut record);
    space::add(&mut board, &own, tools, &mut record);
    let (steps, findings) = record.into_parts();
    board.findings.extend(findings);
    if tools.basis.report.working.as_deref() != Some("none") {
        board.working = steps.iter().map(|step| step.printed().into()).collect();
    }
    board
}

fn naming(book: &dyn RuleBook) -> Option<Naming> {
    book.naming()
}

/// The supply point of a board; where the basis states no voltage, the highest of its circuits stands for it.
fn point(name: &str, circuits: &[&mut Circuit], basis: &Basis) -> SupplyPoint {
    let highest = circuits.iter().filter_map(|circuit| circuit.load.voltage_v).fold(0.0, f64::max);
    supply::point(basis, name, Volts(highest))
}
