//! The upper end of a power circuit: lines, protective device, the run to a starter that stands apart, a second contactor in series.

use super::columns::{FIRST, series};
use super::foot;
use super::paper::{Beside, Column, Paper};
use super::symbols::{BREAKER, FUSE, LINES, MAGNETIC, PITCH, SWITCH, Symbol, THERMAL};
use super::words::{self, contactor, release};
use crate::design::Circuit;
use crate::report::drawings::svg::{Anchor, Size, Type};
use crate::rules::units::Units;

/// Lines, protective device, the run to a starter that stands apart, and the second contactor in series.
pub(super) fn head(paper: &mut Paper, circuit: &Circuit) -> Column {
    let mut column = lines(paper, circuit);
    protection(paper, circuit, &mut column);
    if words::power_runs(circuit).count() > 1
        && let Some(run) = words::power_runs(circuit).next().filter(|run| run.role == "supply")
    {
        let mut label = words::run(paper, run);
        if coils_to_neutral(circuit) {
            label.lines.push("N for the coils".to_owned());
        }
        foot::cable(paper, &mut column, &label);
        end_neutral_of_coils(paper, circuit, &mut column);
    }
    if let Some(contactor) = contactor(circuit, "safety") {
        let label = words::contactor_wide(paper, circuit, contactor);
        paper.contactor(&mut column, contactor, &label, Beside::Wide);
    }
    column
}

fn lines(paper: &mut Paper, circuit: &Circuit) -> Column {
    let single = circuit.load.phases == Some(1);
    let (neutral, of_coils) = (with_neutral(circuit), usize::from(coils_to_neutral(circuit)));
    // A neutral in the US goes past the devices; of two lines, or where the neutral is switched with its line, both are opened.
    let (conductors, poles) = match (single, neutral, paper.units) {
        (true, true, Units::Customary) => (2, 1),
        (true, ..) => (2, 2),
        (false, true, _) => (4, 3),
        (false, false, _) => (3, 3),
    };
    let column = Column { x: FIRST, y: LINES.height(), conductors: conductors + of_coils, poles };
    let named = match (single, neutral) {
        (true, true) => 1,
        (true, false) => 2,
        _ => 3,
    };
    paper.canvas.symbol(LINES.id(named), FIRST, 0.0);
    if named < 3 {
        let usual = if named == 1 { "L-N" } else { "L1-L2" };
        // Equal circuits on several phases have no line in common.
        let lines = crate::report::columns::load::lines(circuit).filter(|line| !line.contains(' ')).unwrap_or(usual);
        for (x, name) in [FIRST, FIRST + PITCH].into_iter().zip(lines.split('-')) {
            paper.canvas.text(x, 2.0, name, Type::plain(Size::Mark).at(Anchor::Middle));
        }
    }
    if conductors + of_coils > named.max(2) {
        paper.mark(column.end() - 0.6, 3.3 - 0.9, "N");
        paper.wire(&[(column.end(), 3.6), (column.end(), LINES.height())]);
    }
    column
}

/// The load has a neutral: it comes to it over the last run.
fn with_neutral(circuit: &Circuit) -> bool {
    words::power_runs(circuit).last().is_some_and(|run| run.neutral_size.is_some())
}

/// The neutral comes to a starter that stands apart, and no farther.
fn coils_to_neutral(circuit: &Circuit) -> bool {
    let to_starter = words::power_runs(circuit).next().filter(|run| run.role == "supply");
    !with_neutral(circuit) && to_starter.is_some_and(|run| run.neutral_size.is_some())
}

/// A neutral for the coils ends at the starter.
fn end_neutral_of_coils(paper: &mut Paper, circuit: &Circuit, column: &mut Column) {
    if coils_to_neutral(circuit) {
        paper.dot(column.end(), column.y);
        paper.mark(column.end() + 1.2, column.y - 0.9, "N");
        column.conductors -= 1;
    }
}

fn protection(paper: &mut Paper, circuit: &Circuit, column: &mut Column) {
    let Some(device) = &circuit.protection else { return };
    if words::is_fuse(&device.kind) {
        if let Some(switch) = circuit.disconnect.as_ref().filter(|switch| switch.kind == device.kind) {
            let label = words::fuse_switch(paper, switch);
            paper.device(column, &[SWITCH], &label, Beside::Wide);
        }
        let label = words::protection(paper, circuit, device);
        let switched = column.poles;
        // A fuse stands in the line alone; what follows may switch the neutral with it.
        if circuit.load.phases == Some(1) && with_neutral(circuit) {
            column.poles = 1;
        }
        paper.device(column, &[FUSE], &label, Beside::Wide);
        column.poles = switched;
        return;
    }
    let label = words::protection(paper, circuit, device);
    // A miniature breaker, and one whose own release is set, open on overload too, though no relay of the circuit is told.
    let thermal = release(circuit).is_some() || device.setting_a.is_some() || device.kind == "circuit-breaker";
    let symbols: &[Symbol] = match (paper.units, thermal, device.magnetic_trip_a.is_some()) {
        // A US breaker is one symbol with its releases in words.
        (Units::Customary, ..) | (_, false, false) => &[BREAKER],
        (_, true, true) => &[BREAKER, THERMAL, MAGNETIC],
        (_, true, false) => &[BREAKER, THERMAL],
        (_, false, true) => &[BREAKER, MAGNETIC],
    };
    let poles = column.poles;
    // A miniature breaker has a pole for the neutral too.
    if device.kind == "circuit-breaker" && paper.units == Units::Metric {
        column.poles = column.conductors;
    }
    match release(circuit).and_then(|overload| series(overload, column)) {
        Some(poles) => paper.device_in_series(column, symbols, poles, &label),
        None => _ = paper.device(column, symbols, &label, Beside::Wide),
    }
    column.poles = poles;
}
