//! How the conductors of each starting method run between the line terminals and the load.

use super::columns::{
    EDGE, FROM_WORDS, NARROW_EDGE, OTHER, SECOND, SECOND_OF_DEVICE, THIRD, TO_WORDS, UNDER_WORDS, beside, branch, device_symbol,
    interlock, narrow, narrow_relay, room_for_interlocks, second, staggered_ends, starter_device, wide, wide_device, wide_relay,
    widths,
};
use super::foot;
use super::head::head;
use super::paper::{Beside, Column, Label, Paper, WIDTH, step};
use super::symbols::{AUTOTRANSFORMER, CONTACTOR, PITCH, SOFT_STARTER, TAP};
use super::words::{self, contactor};
use crate::design::Circuit;
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

    /// The layout in words, for readers who can't see it.
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
    staggered_ends(paper, &other, join, false);
    paper.down(column, join + 3.6);
    wide_relay(paper, circuit, column, "forward");
    foot::one(paper, circuit, column);
}

fn around(paper: &mut Paper, circuit: &Circuit, column: &mut Column) {
    let drive = starter_device(circuit).is_some_and(|device| device.kind == "drive");
    if !drive {
        wide(paper, circuit, column, "line");
    }
    let (mut other, width) = second(paper, column);
    let right = WIDTH - other.end() - TO_WORDS;
    let mut places = Vec::new();
    if drive {
        narrow(paper, circuit, column, "line", width);
    }
    if let Some(device) = starter_device(circuit) {
        let label = words::starter_device(paper, circuit, device);
        let at = beside(column, width);
        paper.device(column, &[device_symbol(&device.kind)], &label, at);
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
    staggered_ends(paper, &other, join, false);
    paper.down(column, join + 3.6);
    foot::one(paper, circuit, column);
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
        if let Some(device) = starter_device(circuit) {
            let label = words::starter_device(paper, circuit, device);
            let at = beside(&star, third);
            paper.device(&mut star, &[device_symbol(&device.kind)], &label, at);
        }
    }
    narrow_relay(paper, circuit, &mut line, "line", first);
    // The far ends of the windings: delta, transition and star meet here.
    let node = delta.y.max(if closed { star.y } else { 0.0 }).max(delta_top.unwrap_or(0.0) + UNDER_WORDS + 1.6) + 1.6;
    paper.down(&mut delta, node);
    if closed {
        paper.down(&mut star, node + 3.0);
        for conductor in 0..3 {
            paper.dot(star.at(conductor), node + step(2 - conductor));
        }
    } else {
        star.y = node + 3.0;
        staggered_ends(paper, &star, node, true);
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
    } else if let Some(device) = starter_device(circuit) {
        let label = words::starter_device(paper, circuit, device);
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
    if let Some(device) = starter_device(circuit) {
        let label = words::starter_device(paper, circuit, device);
        let at = beside(line, width);
        paper.device(line, &[SOFT_STARTER], &label, at);
    }
    let right = WIDTH - bypass.end() - TO_WORDS;
    narrow(paper, circuit, &mut bypass, "bypass", right);
    let join = line.y.max(bypass.y) + 1.0;
    paper.down(line, join);
    paper.down(&mut bypass, join);
    paper.across(line, &bypass, join, [0, 1, 2], false);
    staggered_ends(paper, &bypass, join, false);
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
    let tap_at = if let Some(device) = starter_device(circuit) {
        let label = words::starter_device(paper, circuit, device);
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
        let y = tap_at + step(2 - conductor);
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
    staggered_ends(paper, &star, node, true);
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
        if let Some(contactor) = contactor(circuit, role) {
            names.push((role, words::contactor_narrow(paper, contactor)));
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
        if let Some((_, label)) = names.iter().find(|(known, _)| known == role) {
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
