//! Systems without a neutral for loads, and the high leg of a delta of four wires: nothing that is made for the lower voltage to the
//! neutral stands there.

use crate::design::Circuit;
use crate::finding::codes;
use crate::quantity::Volts;
use crate::rules::physics::high_leg::{HIGH_LEG, has_high_leg, suits_high_leg};
use crate::verify::boards::{Boards, Say};

pub(super) fn agree(all: &Boards<'_>, index: usize, say: Say<'_>) {
    without_neutral(all, index, say);
    let board = all.tree.places[index].board;
    if all.tree.phases(index) != 3 || !all.tree.system(index).is_some_and(has_high_leg) {
        return;
    }
    let high_leg = format!("L{}", HIGH_LEG + 1);
    for row in &board.phases_of_rows {
        // `2 × L1, 1 × L2`, or `L2-N`; a pair of phases has the line voltage.
        let stands_there = row
            .phases
            .split(", ")
            .any(|part| part.rsplit(' ').next().map(|phase| phase.trim_end_matches("-N")) == Some(&high_leg));
        let circuits = || all.circuits_of(index).filter(|circuit| circuit.tag == row.tag);
        let suits = |volts: f64| suits_high_leg(Volts(volts), Volts(board.voltage_v));
        if stands_there && !circuits().filter_map(|circuit| circuit.load.voltage_v).all(suits) {
            say(
                &codes::V862_HIGH_LEG,
                format!("{} stands on {}, the high leg of {} V between lines", row.tag, row.phases, board.voltage_v),
            );
        }
    }
}

/// No load uses the neutral of a system that has none for loads, unless its circuit says so.
fn without_neutral(all: &Boards<'_>, index: usize, say: Say<'_>) {
    let refused = all.tree.system(index).and_then(|system| all.book.without_neutral(system));
    let Some((why, _)) = refused else { return };
    let told = |circuit: &Circuit| circuit.findings.iter().any(|finding| finding.code == codes::L340_NO_NEUTRAL.code);
    for load in all.circuits_on[index].iter().filter_map(|at| all.load(*at)) {
        if load.facts.machine.neutral && !told(load.circuit()) {
            say(&codes::V863_NO_NEUTRAL, format!("{} uses the neutral: {why}", load.circuit().tag));
        }
    }
}
