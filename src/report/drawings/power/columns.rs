//! The pieces from which the layouts of a power circuit are put together: contactors, relays and devices down a column, further
//! columns led off the first, interlocks between contactors.

use super::paper::{Beside, Column, Paper, WIDTH, step};
use super::symbols::{
    AUTOTRANSFORMER, CURRENT_TRANSFORMER, DRIVE, INTERLOCK, REACTOR, RESISTOR, SOFT_STARTER, SWITCH, Symbol, THERMAL,
};
use super::words::{self, contactor, relay};
use crate::design::{Circuit, Overload, StarterDevice};
use crate::rules::units::Units;

/// First conductor of the first column.
pub(super) const FIRST: f64 = 3.5;
/// First conductors of a second and a third column of three.
pub(super) const SECOND: f64 = 35.0;
pub(super) const THIRD: f64 = 67.0;
/// First conductor of a second column of two.
pub(super) const OTHER: f64 = 60.0;
/// Where words begin beside a column that has a protective conductor on its right, and beside one that has none.
pub(super) const EDGE: f64 = 25.0;
pub(super) const NARROW_EDGE: f64 = 16.5;
/// From the last conductor of a column to its words, and from them to the first conductor of the next.
pub(super) const TO_WORDS: f64 = 3.0;
pub(super) const FROM_WORDS: f64 = 3.4;
/// From the upper end of a contactor to the link that leads under four lines of words.
pub(super) const UNDER_WORDS: f64 = 13.4;
/// First conductor of the second column beside a device with long words.
pub(super) const SECOND_OF_DEVICE: f64 = 40.0;

/// Poles in series with one conductor, where the column is of a single-phase circuit.
pub(super) fn series(overload: &Overload, column: &Column) -> Option<usize> {
    let poles = overload.poles_in_series.and_then(|poles_in_series| usize::try_from(poles_in_series).ok())?;
    (column.conductors == 2 && column.poles + poles == 4).then_some(poles)
}

/// Symbols of a relay, with its current transformers where it stands behind some.
fn relay_symbols(overload: &Overload) -> &'static [Symbol] {
    match (overload.kind.as_str(), overload.dial_a.is_some()) {
        ("manual-starter", _) => &[SWITCH, THERMAL],
        (_, true) => &[CURRENT_TRANSFORMER, THERMAL],
        _ => &[THERMAL],
    }
}

/// A contactor in a wide column, with its relay below it; gives its upper end.
pub(super) fn wide(paper: &mut Paper, circuit: &Circuit, column: &mut Column, role: &str) -> Option<f64> {
    let contactor = contactor(circuit, role);
    let top = contactor.map(|contactor| {
        let label = words::contactor_wide(paper, circuit, contactor);
        paper.contactor(column, contactor, &label, Beside::Wide)
    });
    wide_relay(paper, circuit, column, role);
    top
}

pub(super) fn wide_relay(paper: &mut Paper, circuit: &Circuit, column: &mut Column, role: &str) {
    if let Some(overload) = relay(circuit, role) {
        let label = words::relay_wide(paper, overload);
        match series(overload, column) {
            Some(poles) => paper.device_in_series(column, relay_symbols(overload), poles, &label),
            None => _ = paper.device(column, relay_symbols(overload), &label, Beside::Wide),
        }
    }
}

/// A contactor in a narrow column; gives its upper end.
pub(super) fn narrow(paper: &mut Paper, circuit: &Circuit, column: &mut Column, role: &str, width: f64) -> Option<f64> {
    let contactor = contactor(circuit, role)?;
    let label = words::contactor_narrow(paper, contactor);
    let place = beside(column, width);
    Some(paper.contactor(column, contactor, &label, place))
}

pub(super) fn narrow_relay(paper: &mut Paper, circuit: &Circuit, column: &mut Column, role: &str, width: f64) {
    if let Some(overload) = relay(circuit, role) {
        let label = words::relay_narrow(paper, overload);
        paper.device(column, relay_symbols(overload), &label, beside(column, width));
    }
}

pub(super) fn beside(column: &Column, width: f64) -> Beside {
    Beside::Narrow(column.end() + TO_WORDS, width)
}

/// Dashed link of an interlock from one contactor to another on its right, under the words of the first.
pub(super) fn interlock(paper: &mut Paper, circuit: &Circuit, places: &[(&str, Column, Option<f64>)]) {
    let mut deeper = 0.0;
    for (first, second) in words::interlocks(circuit) {
        let place = |role: &str| {
            let (_, column, top) = places.iter().find(|(known, ..)| *known == role)?;
            Some((*column, (*top)?))
        };
        let (Some(a), Some(b)) = (place(first), place(second)) else { continue };
        let ((left, left_top), (right, right_top)) = if a.0.x <= b.0.x { (a, b) } else { (b, a) };
        let (out, into) = (left.last_pole() + 1.4, right.x - 3.0);
        let y = left_top + UNDER_WORDS + deeper;
        let arms = if paper.units == Units::Metric { -1.2 } else { -1.4 };
        paper.link(&[
            (left.last_pole() + if arms < -1.3 { 1.4 } else { -1.2 }, left_top + 4.6),
            (out, left_top + 4.6),
            (out, y),
            (into, y),
            (into, right_top + 4.6),
            (right.x + arms, right_top + 4.6),
        ]);
        paper.canvas.symbol(INTERLOCK, (out + into) / 2.0, y);
        deeper += 1.6;
    }
}

/// Extra height that interlocks take under a row of contactors.
pub(super) fn room_for_interlocks(circuit: &Circuit) -> f64 {
    if words::interlocks(circuit).is_empty() { 0.0 } else { 3.4 }
}

pub(super) fn starter_device(circuit: &Circuit) -> Option<&StarterDevice> {
    circuit.starter_devices.first()
}

pub(super) fn device_symbol(kind: &str) -> Symbol {
    match kind {
        "drive" => DRIVE,
        "soft-starter" => SOFT_STARTER,
        "reactor" => REACTOR,
        "autotransformer" => AUTOTRANSFORMER,
        _ => RESISTOR,
    }
}

pub(super) fn wide_device(paper: &mut Paper, circuit: &Circuit, column: &mut Column) {
    if let Some(device) = starter_device(circuit) {
        let label = words::starter_device(paper, circuit, device);
        paper.device(column, &[device_symbol(&device.kind)], &label, Beside::Wide);
    }
}

/// A second column beside the first, fed from above; with the width for words between both.
pub(super) fn second(paper: &mut Paper, column: &mut Column) -> (Column, f64) {
    let other = branch(paper, column, OTHER, column.y + 1.6);
    paper.down(column, other.y);
    (other, OTHER - FROM_WORDS - (column.end() + TO_WORDS))
}

/// Leads a further column off the supply: the lines across, then down to the devices.
pub(super) fn branch(paper: &mut Paper, column: &Column, x: f64, split: f64) -> Column {
    let other = Column { y: split + 3.0, ..Column::three(x, split) };
    paper.across(column, &other, split, [0, 1, 2], true);
    staggered_ends(paper, &other, split, true);
    other
}

/// Short ends of a second column between the lines that lead across and its devices.
pub(super) fn staggered_ends(paper: &mut Paper, column: &Column, y: f64, below: bool) {
    for conductor in 0..3 {
        let x = column.at(conductor);
        let at = y + step(if below { 2 - conductor } else { conductor });
        if below {
            paper.wire(&[(x, at), (x, y + 3.0)]);
        } else {
            paper.wire(&[(x, y), (x, at)]);
        }
    }
}

/// Widths of words beside the first, second and third column of three.
pub(super) fn widths(first: &Column) -> [f64; 3] {
    let span = first.end() - first.x + TO_WORDS;
    [SECOND - FROM_WORDS - first.x - span, THIRD - FROM_WORDS - SECOND - span, WIDTH - THIRD - span]
}
