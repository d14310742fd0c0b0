//! How the conductors of each starting method run between the line terminals and the load.

use super::foot;
use super::paper::{Beside, Column, Label, Paper, WIDTH};
use super::symbols::{
    AUTOTRANSFORMER, BREAKER, CONTACTOR, CURRENT_TRANSFORMER, DRIVE, FUSE, INTERLOCK, LINES, MAGNETIC, PITCH, REACTOR, RESISTOR,
    SOFT_STARTER, SWITCH, Symbol, TAP, THERMAL,
};
use super::words::{self, contactor, relay, release};

use crate::design::{Circuit, Overload, StarterDevice};
use crate::report::drawings::svg::{Anchor, Size, Type};
use crate::rules::units::Units;

/// Arrangement of a power circuit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Layout {
    /// One column down to the load.
    Straight,
    /// Two contactors beside each other, the second with two conductors exchanged.
    Reversing,
    /// A device of the method in one column, and contactors round it in another.
    Around,
    /// Three contactors and a winding with six ends.
    StarDelta,
    /// A soft starter inside the delta.
    InsideDelta,
    /// A transformer with taps.
    Transformer,
    /// Two contactors to two halves of a winding, or to two windings.
    TwoWindings,
    /// A tapped winding: low, high, star point at high speed.
    Tapped,
    /// Slip rings with resistors.
    Rotor,
}

/// First conductor of the first column.
const FIRST: f64 = 3.5;
/// First conductors of a second and a third column of three.
const SECOND: f64 = 35.0;
const THIRD: f64 = 67.0;
/// First conductor of a second column of two.
const OTHER: f64 = 60.0;
/// Where words begin beside a column that has a protective conductor on its right, and beside one that has none.
const EDGE: f64 = 25.0;
const NARROW_EDGE: f64 = 16.5;
/// From the last conductor of a column to its words, and from them to the first conductor of the next.
const TO_WORDS: f64 = 3.0;
const FROM_WORDS: f64 = 3.4;
/// From the upper end of a contactor to the link that leads under four lines of words.
const UNDER_WORDS: f64 = 13.4;
/// First conductor of the second column beside a device with long words.
const SECOND_OF_DEVICE: f64 = 40.0;

impl Layout {
    /// The arrangement of a circuit.
    pub(super) fn of(circuit: &Circuit) -> Self {
        let has = |role: &str| contactor(circuit, role).is_some();
        match circuit.load.starting_method.as_deref().unwrap_or_default() {
            "star-delta" | "star-delta-closed" => Self::StarDelta,
            "soft-starter-inside-delta" => Self::InsideDelta,
            "autotransformer" => Self::Transformer,
            "part-winding" | "two-speed-separate" => Self::TwoWindings,
            "two-speed" | "two-speed-dahlander" => Self::Tapped,
            "rotor-resistance" => Self::Rotor,
            _ if has("forward") && has("reverse") => Self::Reversing,
            _ if has("bypass") || has("run") => Self::Around,
            _ => Self::Straight,
        }
    }

    /// What a reader should see.
    pub(super) fn tells(self, units: Units) -> &'static str {
        match self {
            Self::Straight => "One line of devices from the supply to the load.",
            Self::Reversing => "Two contactors feed the motor; the second exchanges two lines, and they never close together.",
            Self::Around => "The device starts the motor; a contactor beside it carries the current round it.",
            Self::StarDelta => units.pick(
                "The line contactor feeds one end of each winding; delta and star join the others, never together.",
                "The line contactor feeds one end of each winding; delta and wye join the others, never together.",
            ),
            Self::InsideDelta => "The starter stands in the delta, in series with each winding.",
            Self::Transformer => units.pick(
                "The motor starts on taps of the transformer, whose star point opens before the run contactor closes.",
                "The motor starts on taps of the transformer, whose neutral point opens before the run contactor closes.",
            ),
            Self::TwoWindings => "Two contactors feed two sets of leads of one motor.",
            Self::Tapped => units.pick(
                "Low speed on the first leads; high speed on the second with the first joined to a star point.",
                "Low speed on the first leads; high speed on the second with the first joined in wye.",
            ),
            Self::Rotor => "The stator is switched by one contactor; others short the rotor's resistors step by step.",
        }
    }

    pub(super) fn draw(self, circuit: &Circuit, units: Units) -> Paper {
        let edge = if matches!(self, Self::StarDelta | Self::TwoWindings | Self::Tapped | Self::InsideDelta) {
            NARROW_EDGE
        } else {
            EDGE
        };
        let mut paper = Paper::new(units, edge);
        let mut column = head(&mut paper, circuit);
        match self {
            Self::Straight => straight(&mut paper, circuit, &mut column),
            Self::Reversing => reversing(&mut paper, circuit, &mut column),
            Self::Around => around(&mut paper, circuit, &mut column),
            Self::StarDelta => star_delta(&mut paper, circuit, column),
            Self::InsideDelta => inside_delta(&mut paper, circuit, column),
            Self::Transformer => transformer(&mut paper, circuit, &mut column),
            Self::TwoWindings => two_windings(&mut paper, circuit, column),
            Self::Tapped => tapped(&mut paper, circuit, column),
            Self::Rotor => rotor(&mut paper, circuit, &mut column),
        }
        paper
    }
}

/// Lines, protective device, the run to a starter that stands apart, and the second contactor in series.
fn head(paper: &mut Paper, circuit: &Circuit) -> Column {
    let mut column = lines(paper, circuit);
    protection(paper, circuit, &mut column);
    if words::power_runs(circuit).count() > 1
        && let Some(run) = words::power_runs(circuit).next().filter(|own| own.role == "supply")
    {
        let label = words::run(paper, run);
        foot::cable(paper, &mut column, &label);
    }
    if let Some(own) = contactor(circuit, "safety") {
        let label = words::contactor_wide(paper, circuit, own);
        paper.device(&mut column, &[CONTACTOR], &label, Beside::Wide);
    }
    column
}

fn lines(paper: &mut Paper, circuit: &Circuit) -> Column {
    let single = circuit.load.phases == Some(1);
    let neutral = with_neutral(circuit);
    // A neutral in the US goes past the devices; of two lines, or where the neutral is switched with its line, both are opened.
    let (conductors, poles) = match (single, neutral, paper.units) {
        (true, true, Units::Customary) => (2, 1),
        (true, ..) => (2, 2),
        (false, true, _) => (4, 3),
        (false, false, _) => (3, 3),
    };
    let column = Column { x: FIRST, y: LINES.height(), conductors, poles };
    let named = match (single, neutral) {
        (true, true) => 1,
        (true, false) => 2,
        _ => 3,
    };
    paper.canvas.symbol(LINES.id(named), FIRST, 0.0);
    if named < 3 {
        let usual = if named == 1 { "L-N" } else { "L1-L2" };
        // Equal circuits on several phases have no line in common.
        let own = crate::report::columns::load::lines(circuit).filter(|own| !own.contains(' ')).unwrap_or(usual);
        for (x, name) in [FIRST, FIRST + PITCH].into_iter().zip(own.split('-')) {
            paper.canvas.text(x, 2.0, name, Type::plain(Size::Mark).at(Anchor::Middle));
        }
    }
    if conductors == 4 {
        paper.mark(column.end() - 0.6, 3.3 - 0.9, "N");
        paper.wire(&[(column.end(), 3.6), (column.end(), LINES.height())]);
    }
    column
}

fn with_neutral(circuit: &Circuit) -> bool {
    circuit.runs.iter().any(|run| run.neutral_size.is_some())
}

fn protection(paper: &mut Paper, circuit: &Circuit, column: &mut Column) {
    let Some(own) = &circuit.protection else { return };
    if words::is_fuse(&own.kind) {
        if let Some(switch) = circuit.disconnect.as_ref().filter(|switch| switch.kind == own.kind) {
            let label = words::fuse_switch(paper, switch);
            paper.device(column, &[SWITCH], &label, Beside::Wide);
        }
        let label = words::protection(paper, circuit, own);
        let switched = column.poles;
        // A fuse stands in the line alone; what follows may switch the neutral with it.
        if circuit.load.phases == Some(1) && with_neutral(circuit) {
            column.poles = 1;
        }
        paper.device(column, &[FUSE], &label, Beside::Wide);
        column.poles = switched;
        return;
    }
    let label = words::protection(paper, circuit, own);
    let symbols: &[Symbol] = match (paper.units, release(circuit).is_some(), own.magnetic_trip_a.is_some()) {
        // A US breaker is one symbol with its releases in words.
        (Units::Customary, ..) | (_, false, false) => &[BREAKER],
        (_, true, true) => &[BREAKER, THERMAL, MAGNETIC],
        (_, true, false) => &[BREAKER, THERMAL],
        (_, false, true) => &[BREAKER, MAGNETIC],
    };
    match release(circuit).and_then(|own| series(own, column)) {
        Some(poles) => paper.device_in_series(column, symbols, poles, &label),
        None => _ = paper.device(column, symbols, &label, Beside::Wide),
    }
}

/// Poles in series with one conductor, where the column is of a single-phase circuit.
fn series(own: &Overload, column: &Column) -> Option<usize> {
    let poles = own.poles_in_series.and_then(|own| usize::try_from(own).ok())?;
    (column.conductors == 2 && column.poles + poles == 4).then_some(poles)
}

/// Symbols of a relay, with its current transformers where it stands behind some.
fn relay_symbols(own: &Overload) -> &'static [Symbol] {
    match (own.kind.as_str(), own.dial_a.is_some()) {
        ("manual-starter", _) => &[SWITCH, THERMAL],
        (_, true) => &[CURRENT_TRANSFORMER, THERMAL],
        _ => &[THERMAL],
    }
}

/// A contactor in a wide column, with its relay below it; gives its upper end.
fn wide(paper: &mut Paper, circuit: &Circuit, column: &mut Column, role: &str) -> Option<f64> {
    let own = contactor(circuit, role);
    let top = own.map(|own| {
        let label = words::contactor_wide(paper, circuit, own);
        paper.device(column, &[CONTACTOR], &label, Beside::Wide)
    });
    wide_relay(paper, circuit, column, role);
    top
}

fn wide_relay(paper: &mut Paper, circuit: &Circuit, column: &mut Column, role: &str) {
    if let Some(own) = relay(circuit, role) {
        let label = words::relay_wide(paper, own);
        match series(own, column) {
            Some(poles) => paper.device_in_series(column, relay_symbols(own), poles, &label),
            None => _ = paper.device(column, relay_symbols(own), &label, Beside::Wide),
        }
    }
}

/// A contactor in a narrow column; gives its upper end.
fn narrow(paper: &mut Paper, circuit: &Circuit, column: &mut Column, role: &str, width: f64) -> Option<f64> {
    let own = contactor(circuit, role)?;
    let label = words::contactor_narrow(paper, own);
    Some(paper.device(column, &[CONTACTOR], &label, beside(column, width)))
}

fn narrow_relay(paper: &mut Paper, circuit: &Circuit, column: &mut Column, role: &str, width: f64) {
    if let Some(own) = relay(circuit, role) {
        let label = words::relay_narrow(paper, own);
        paper.device(column, relay_symbols(own), &label, beside(column, width));
    }
}

fn beside(column: &Column, width: f64) -> Beside {
    Beside::Narrow(column.end() + TO_WORDS, width)
}

/// Dashed link of an interlock from one contactor to another on its right, under the words of the first.
fn interlock(paper: &mut Paper, circuit: &Circuit, places: &[(&str, Column, Option<f64>)]) {
    let mut deeper = 0.0;
    for (first, second) in words::interlocks(circuit) {
        let place = |role: &str| {
            let (_, column, top) = places.iter().find(|(own, ..)| *own == role)?;
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
fn room_for_interlocks(circuit: &Circuit) -> f64 {
    if words::interlocks(circuit).is_empty() { 0.0 } else { 3.4 }
}

fn starter_device(circuit: &Circuit) -> Option<&StarterDevice> {
    circuit.starter_devices.first()
}

fn device_symbol(kind: &str) -> Symbol {
    match kind {
        "drive" => DRIVE,
        "soft-starter" => SOFT_STARTER,
        "reactor" => REACTOR,
        "autotransformer" => AUTOTRANSFORMER,
        _ => RESISTOR,
    }
}

fn wide_device(paper: &mut Paper, circuit: &Circuit, column: &mut Column) {
    if let Some(own) = starter_device(circuit) {
        let label = words::starter_device(paper, circuit, own);
        paper.device(column, &[device_symbol(&own.kind)], &label, Beside::Wide);
    }
}

fn straight(paper: &mut Paper, circuit: &Circuit, column: &mut Column) {
    for role in ["main", "line"] {
        wide(paper, circuit, column, role);
    }
    wide_relay(paper, circuit, column, "");
    if circuit.load.starting_method.as_deref() == Some("by-others") {
        by_others(paper, column);
    }
    wide_device(paper, circuit, column);
    foot::one(paper, circuit, column);
}

/// A starter that somebody else supplies: its place is kept.
fn by_others(paper: &mut Paper, column: &mut Column) {
    let y = column.y + 1.6;
    paper.down(column, y);
    paper.dashed_frame(column.x - 2.2, y, column.end() - column.x + 4.4, 9.0);
    let label = Label::new(paper.names.next("by-others"), ["starter by others".to_owned(), "not part of this design".to_owned()]);
    paper.words(y, &label, Beside::Wide);
    column.y = y + 9.0;
}

/// A second column beside the first, fed from above; with the width for words between both.
fn second(paper: &mut Paper, column: &mut Column) -> (Column, f64) {
    let split = column.y + 1.6;
    let other = Column { y: split + 3.0, ..Column::three(OTHER, split) };
    paper.across(column, &other, split, [0, 1, 2], true);
    paper_down_staggered(paper, &other, split, true);
    paper.down(column, other.y);
    (other, OTHER - FROM_WORDS - (column.end() + TO_WORDS))
}

fn reversing(paper: &mut Paper, circuit: &Circuit, column: &mut Column) {
    let (mut other, width) = second(paper, column);
    let forward = narrow(paper, circuit, column, "forward", width);
    let right = WIDTH - other.end() - TO_WORDS;
    let reverse = narrow(paper, circuit, &mut other, "reverse", right);
    interlock(paper, circuit, &[("forward", *column, forward), ("reverse", other, reverse)]);
    let join = column.y.max(other.y).max(forward.unwrap_or(0.0) + UNDER_WORDS) + room_for_interlocks(circuit) - 1.0;
    paper.down(column, join);
    paper.down(&mut other, join);
    // The first and the last line change places.
    paper.across(column, &other, join, [2, 1, 0], false);
    paper_down_staggered(paper, &other, join, false);
    paper.down(column, join + 3.6);
    wide_relay(paper, circuit, column, "forward");
    foot::one(paper, circuit, column);
}

/// Short ends of a second column between the lines that lead across and its devices.
fn paper_down_staggered(paper: &mut Paper, column: &Column, y: f64, below: bool) {
    for conductor in 0..3 {
        let x = column.at(conductor);
        let at = y + [0.0, 1.5, 3.0][if below { 2 - conductor } else { conductor }];
        if below {
            paper.wire(&[(x, at), (x, y + 3.0)]);
        } else {
            paper.wire(&[(x, y), (x, at)]);
        }
    }
}

fn around(paper: &mut Paper, circuit: &Circuit, column: &mut Column) {
    let drive = starter_device(circuit).is_some_and(|own| own.kind == "drive");
    if !drive {
        wide(paper, circuit, column, "line");
    }
    let (mut other, width) = second(paper, column);
    let right = WIDTH - other.end() - TO_WORDS;
    let mut places = Vec::new();
    if drive {
        narrow(paper, circuit, column, "line", width);
    }
    if let Some(own) = starter_device(circuit) {
        let label = words::starter_device(paper, circuit, own);
        let at = beside(column, width);
        paper.device(column, &[device_symbol(&own.kind)], &label, at);
    }
    if drive {
        let top = narrow(paper, circuit, column, "output", width);
        places.push(("output", *column, top));
    }
    for role in ["bypass", "run"] {
        let top = narrow(paper, circuit, &mut other, role, right);
        narrow_relay(paper, circuit, &mut other, role, right);
        places.push((role, other, top));
    }
    interlock(paper, circuit, &places);
    let interlocked = places.iter().filter_map(|(_, _, top)| *top).fold(0.0, f64::max) + UNDER_WORDS;
    let join = column.y.max(other.y).max(if words::interlocks(circuit).is_empty() { 0.0 } else { interlocked })
        + room_for_interlocks(circuit)
        + 0.6;
    paper.down(column, join);
    paper.down(&mut other, join);
    paper.across(column, &other, join, [0, 1, 2], false);
    paper_down_staggered(paper, &other, join, false);
    paper.down(column, join + 3.6);
    foot::one(paper, circuit, column);
}

/// Leads a further column off the supply: the lines across, then down to the devices.
fn branch(paper: &mut Paper, column: &Column, x: f64, split: f64) -> Column {
    let other = Column { y: split + 3.0, ..Column::three(x, split) };
    paper.across(column, &other, split, [0, 1, 2], true);
    paper_down_staggered(paper, &other, split, true);
    other
}

/// Widths of words beside the first, second and third column of three.
fn widths(first: &Column) -> [f64; 3] {
    let span = first.end() - first.x + TO_WORDS;
    [SECOND - FROM_WORDS - first.x - span, THIRD - FROM_WORDS - SECOND - span, WIDTH - THIRD - span]
}

fn star_delta(paper: &mut Paper, circuit: &Circuit, mut line: Column) {
    let [first, second, third] = widths(&line);
    let split = line.y + 1.6;
    let mut delta = branch(paper, &line, SECOND, split);
    let closed = contactor(circuit, "transition").is_some();
    let mut star = Column::three(THIRD, split);
    if closed {
        star = branch(paper, &line, THIRD, split + 4.4);
        let low = star.y;
        paper.down(&mut delta, low);
    }
    let row = star.y.max(delta.y);
    paper.down(&mut line, row);
    narrow(paper, circuit, &mut line, "line", first);
    let delta_top = narrow(paper, circuit, &mut delta, "delta", second);
    if closed {
        narrow(paper, circuit, &mut star, "transition", third);
        if let Some(own) = starter_device(circuit) {
            let label = words::starter_device(paper, circuit, own);
            let at = beside(&star, third);
            paper.device(&mut star, &[device_symbol(&own.kind)], &label, at);
        }
    }
    narrow_relay(paper, circuit, &mut line, "line", first);
    // The far ends of the windings: delta, transition and star meet here.
    let node = delta.y.max(if closed { star.y } else { 0.0 }).max(delta_top.unwrap_or(0.0) + UNDER_WORDS + 1.6) + 1.6;
    paper.down(&mut delta, node);
    if closed {
        paper.down(&mut star, node + 3.0);
        for conductor in 0..3 {
            paper.dot(star.at(conductor), node + [0.0, 1.5, 3.0][2 - conductor]);
        }
    } else {
        star.y = node + 3.0;
        paper_down_staggered(paper, &star, node, true);
    }
    paper.across(&delta, &star, node, [0, 1, 2], true);
    let star_top = narrow(paper, circuit, &mut star, "star", third);
    interlock(paper, circuit, &[("delta", delta, delta_top), ("star", star, star_top)]);
    paper.star_point(&mut star);
    foot::six(paper, circuit, line, delta, "star-delta");
}

fn inside_delta(paper: &mut Paper, circuit: &Circuit, mut line: Column) {
    wide(paper, circuit, &mut line, "line");
    let split = line.y + 1.6;
    let delta = branch(paper, &line, SECOND_OF_DEVICE, split);
    paper.down(&mut line, split + 3.0);
    let width = SECOND_OF_DEVICE - FROM_WORDS - (line.end() + TO_WORDS);
    let inner = contactor(circuit, "bypass").is_some();
    if inner {
        around_inside(paper, circuit, &mut line, width);
    } else if let Some(own) = starter_device(circuit) {
        let label = words::starter_device(paper, circuit, own);
        let at = beside(&line, width);
        paper.device(&mut line, &[SOFT_STARTER], &label, at);
    }
    foot::six(paper, circuit, line, delta, "star-delta");
}

/// A bypass of the soft starter inside the delta stands in series with the same windings: drawn above the starter's box, joined to it.
fn around_inside(paper: &mut Paper, circuit: &Circuit, line: &mut Column, width: f64) {
    let split = line.y + 1.0;
    paper.down(line, split);
    let mut bypass = branch(paper, line, THIRD, split);
    paper.down(line, bypass.y);
    if let Some(own) = starter_device(circuit) {
        let label = words::starter_device(paper, circuit, own);
        let at = beside(line, width);
        paper.device(line, &[SOFT_STARTER], &label, at);
    }
    let right = WIDTH - bypass.end() - TO_WORDS;
    narrow(paper, circuit, &mut bypass, "bypass", right);
    let join = line.y.max(bypass.y) + 1.0;
    paper.down(line, join);
    paper.down(&mut bypass, join);
    paper.across(line, &bypass, join, [0, 1, 2], false);
    paper_down_staggered(paper, &bypass, join, false);
    paper.down(line, join + 3.6);
}

fn transformer(paper: &mut Paper, circuit: &Circuit, line: &mut Column) {
    let split = line.y + 1.6;
    let mut run = branch(paper, line, OTHER, split);
    paper.down(line, run.y);
    let width = OTHER - FROM_WORDS - (line.end() + TO_WORDS);
    let right = WIDTH - run.end() - TO_WORDS;
    narrow(paper, circuit, line, "line", width);
    let run_top = narrow(paper, circuit, &mut run, "run", right);
    let tap_at = if let Some(own) = starter_device(circuit) {
        let label = words::starter_device(paper, circuit, own);
        // Its words stand above the taps, which lead away under them.
        let at = beside(line, width);
        let top = line.y + 1.6;
        paper.words(top, &label, at);
        paper.down(line, top + 5.0);
        paper.symbol(line, AUTOTRANSFORMER);
        top + 5.0 + TAP
    } else {
        line.y
    };
    // Taps lead to the motor, where the run contactor joins them.
    let mut motor = run;
    let star_from = line.y.max(tap_at + 8.0);
    paper.down(line, star_from);
    let star_top = narrow(paper, circuit, line, "star-point", width);
    paper.star_point(line);
    interlock(paper, circuit, &[("star-point", *line, star_top), ("run", run, run_top)]);
    taps(paper, line, &mut motor, tap_at);
    foot::motor_side(paper, circuit, &mut motor, "run");
}

/// From the taps of the three windings, past their lower ends, to the conductors of the motor.
fn taps(paper: &mut Paper, line: &Column, motor: &mut Column, tap_at: f64) {
    for conductor in 0..3 {
        let (from, to) = (line.at(conductor), motor.at(conductor));
        let y = tap_at + [3.0, 1.5, 0.0][conductor];
        // A tap leaves the winding on the left and crosses the others without touching them.
        paper.wire(&[(from, y), (to, y)]);
        paper.dot(from, y);
        paper.dot(to, y);
    }
    let below = tap_at + 4.6;
    paper.down(motor, below);
}

fn two_windings(paper: &mut Paper, circuit: &Circuit, mut first: Column) {
    let roles = if contactor(circuit, "low").is_some() { ["low", "high"] } else { ["first", "second"] };
    let split = first.y + 1.6;
    let mut second = branch(paper, &first, SECOND, split);
    paper.down(&mut first, second.y);
    let width = SECOND - FROM_WORDS - (first.end() + TO_WORDS);
    let right = WIDTH - second.end() - TO_WORDS;
    let first_top = narrow(paper, circuit, &mut first, roles[0], width);
    let second_top = narrow(paper, circuit, &mut second, roles[1], right);
    interlock(paper, circuit, &[(roles[0], first, first_top), (roles[1], second, second_top)]);
    let below = first.y.max(second.y).max(first_top.unwrap_or(0.0) + UNDER_WORDS - 2.4) + room_for_interlocks(circuit);
    paper.down(&mut first, below);
    paper.down(&mut second, below);
    narrow_relay(paper, circuit, &mut first, roles[0], width);
    narrow_relay(paper, circuit, &mut second, roles[1], right);
    foot::six(paper, circuit, first, second, if roles[0] == "low" { "two-windings" } else { "part-winding" });
}

fn tapped(paper: &mut Paper, circuit: &Circuit, mut low: Column) {
    let [first, second, third] = widths(&low);
    let split = low.y + 1.6;
    let mut high = branch(paper, &low, SECOND, split);
    paper.down(&mut low, high.y);
    let low_top = narrow(paper, circuit, &mut low, "low", first);
    let high_top = narrow(paper, circuit, &mut high, "high", second);
    let below = low.y.max(high.y).max(low_top.unwrap_or(0.0) + UNDER_WORDS) + room_for_interlocks(circuit) + 1.6;
    paper.down(&mut low, below);
    paper.down(&mut high, below);
    narrow_relay(paper, circuit, &mut low, "low", first);
    narrow_relay(paper, circuit, &mut high, "high", second);
    // The leads of the low speed are joined to a star point at high speed.
    let node = low.y.max(high.y) + 1.6;
    paper.down(&mut low, node);
    paper.down(&mut high, node + 3.0);
    let mut star = Column::three(THIRD, node);
    paper.across(&low, &star, node, [0, 1, 2], true);
    paper_down_staggered(paper, &star, node, true);
    star.y = node + 3.0;
    let star_top = narrow(paper, circuit, &mut star, "high-star", third);
    interlock(paper, circuit, &[("low", low, low_top), ("high", high, high_top), ("high-star", star, star_top)]);
    paper.star_point(&mut star);
    foot::six(paper, circuit, low, high, "tapped");
}

/// Resistors of the rotor lie on their side: a step is a contactor that joins the three conductors, then a resistor in each.
fn rotor(paper: &mut Paper, circuit: &Circuit, column: &mut Column) {
    wide(paper, circuit, column, "line");
    let rows = foot::slip_rings(paper, circuit, column);
    let steps: Vec<&str> =
        ["rotor-3", "rotor-2", "rotor-1"].into_iter().filter(|role| contactor(circuit, role).is_some()).collect();
    let mut names: Vec<(&str, Label)> = Vec::new();
    for role in steps.iter().rev() {
        if let Some(own) = contactor(circuit, role) {
            names.push((role, words::contactor_narrow(paper, own)));
        }
    }
    let mut x = 30.0;
    let mut from = rows.x;
    for role in &steps {
        for row in rows.at {
            paper.wire(&[(from, row), (x + 2.0 * PITCH, row)]);
        }
        let mut taps = Column::three(x, rows.at[2]);
        for (conductor, row) in rows.at.into_iter().enumerate() {
            paper.dot(taps.at(conductor), row);
            paper.wire(&[(taps.at(conductor), row), (taps.at(conductor), rows.at[2])]);
        }
        let top = rows.at[2] + 2.4;
        paper.down(&mut taps, top);
        paper.symbol(&mut taps, CONTACTOR);
        paper.star_point(&mut taps);
        if let Some((_, label)) = names.iter().find(|(own, _)| own == role) {
            paper.words(taps.y + 1.2, label, Beside::Narrow(x - 1.0, 19.0));
        }
        from = x + 2.0 * PITCH;
        for row in rows.at {
            paper.wire(&[(from, row), (from + 1.6, row)]);
            paper.lying_resistor(from + 1.6, row);
        }
        from += 7.2;
        x += 20.6;
    }
    let end = from + 1.8;
    for row in rows.at {
        paper.wire(&[(from, row), (end, row)]);
    }
    paper.wire(&[(end, rows.at[0]), (end, rows.at[2])]);
    paper.dot(end, rows.at[1]);
}
