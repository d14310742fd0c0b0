//! The lower end of a power circuit: the run to the load, the local isolator, terminals and load.

use super::names::terminals;
use super::paper::{Beside, Column, Label, Paper, WIDTH};
use super::symbols::{
    CAPACITOR, EQUIPMENT, HEATER, LAMP, MOTOR, PROTECTIVE_BAR, RADIUS, ROUND_MOTOR, SENSOR, SLIP_RING_MOTOR, SWITCH, Symbol,
    TRANSFORMER, motor_radius,
};
use super::words;
use crate::design::{Circuit, Disconnect, Run};

/// From the second terminals of a motor between two sets to its words.
const TO_LOWER_EDGE: f64 = 6.0;

/// From the last conductor to the protective one beside it.
const TO_GUARD: f64 = 5.0;

/// Place of the rotor's terminals.
const RING: f64 = 19.0;

/// Three conductors that lie on their side, from where they begin.
pub(super) struct Rows {
    pub(super) x: f64,
    pub(super) at: [f64; 3],
}

/// Runs to the load: all but the one to a starter that stands apart.
fn runs(circuit: &Circuit) -> Vec<&Run> {
    let several = words::power_runs(circuit).count() > 1;
    words::power_runs(circuit).filter(|run| !(several && run.role == "supply")).collect()
}

/// The local isolator; what stands at the controller or at the board is the protective device and was drawn.
fn local(circuit: &Circuit) -> Option<&Disconnect> {
    circuit.disconnect.as_ref().filter(|disconnect| disconnect.location == "at the machine")
}

/// A run across a column.
pub(super) fn cable(paper: &mut Paper, column: &mut Column, label: &Label) {
    let y = column.y + 3.2;
    paper.oval(column.x, column.end(), y, paper.edge);
    let end = paper.words(y - 1.6, label, Beside::Wide);
    paper.down(column, (y + 3.0).max(end - 1.6));
}

/// One run, the isolator and the load in line.
pub(super) fn one(paper: &mut Paper, circuit: &Circuit, column: &mut Column) {
    // One of several motors is drawn with all that it has for itself, from its relay on.
    super::columns::wide_relay(paper, circuit, column, "motor");
    let guard = column.end() + TO_GUARD;
    let bar = column.y + 1.4;
    run_and_isolator(paper, circuit, column, runs(circuit).first().copied(), Side::Right);
    load(paper, circuit, column, guard, bar);
}

/// Side of a column on which its words stand.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Side {
    Left,
    Right,
}

/// The run to the load, round its conductors and the protective one, and the local isolator behind it.
fn run_and_isolator(paper: &mut Paper, circuit: &Circuit, column: &mut Column, run: Option<&Run>, side: Side) {
    if let Some(run) = run {
        let label = words::run(paper, run);
        let (y, guard) = (column.y + 4.4, column.end() + TO_GUARD);
        match side {
            Side::Left => paper.oval_left(column.x, guard, y, column.x - 5.0),
            Side::Right => paper.oval(column.x, guard, y, paper.edge),
        }
        let end = paper.words(y - 1.6, &label, Beside::Wide);
        paper.down(column, (y + 2.0).max(end - 1.8));
    }
    if let Some(disconnect) = local(circuit) {
        let label = words::isolator(paper, disconnect);
        let poles = column.poles;
        // One of four poles opens the neutral; of three a neutral goes past over its terminal.
        if disconnect.poles == Some(4) {
            column.poles = column.conductors;
        }
        paper.device(column, &[SWITCH], &label, Beside::Wide);
        column.poles = poles;
    }
}

/// The way from a contactor to the motor: its relay, then the lower end.
pub(super) fn motor_side(paper: &mut Paper, circuit: &Circuit, column: &mut Column, role: &str) {
    // The column stands on the right, its words on its left: they begin at the common edge.
    let space = column.x - 6.0;
    let edge = paper.edge;
    paper.until = space;
    if let Some(overload) = words::relay(circuit, role) {
        let label = words::relay_narrow(paper, overload);
        paper.device(column, &[super::symbols::THERMAL], &label, Beside::Narrow(column.end() + 3.0, WIDTH - column.end() - 3.0));
    }
    paper.edge = edge;
    right_foot(paper, circuit, column);
    paper.until = WIDTH;
}

/// The lower end under a column on the right: words on its left.
fn right_foot(paper: &mut Paper, circuit: &Circuit, column: &mut Column) {
    // Words of the first column end above; below them the whole left is free.
    let free = paper.bottom_of_words();
    paper.down(column, free);
    let bar = column.y + 1.4;
    let guard = column.end() + TO_GUARD;
    paper.edge = 5.0;
    run_and_isolator(paper, circuit, column, runs(circuit).first().copied(), Side::Left);
    load(paper, circuit, column, guard, bar);
}

fn symbol_of(kind: &str) -> Symbol {
    match kind {
        "" | "motor" => MOTOR,
        "heater" => HEATER,
        "capacitor" => CAPACITOR,
        "lighting" => LAMP,
        "transformer" => TRANSFORMER,
        _ => EQUIPMENT,
    }
}

/// Terminals, load, protective conductor from its bar.
fn load(paper: &mut Paper, circuit: &Circuit, column: &mut Column, guard: f64, bar: f64) {
    let kind = circuit.load.kind.as_str();
    let symbol = symbol_of(kind);
    let winding = match (symbol == MOTOR, column.conductors) {
        (true, 2) => "single-phase",
        (true, _) => "three-leads",
        _ => "",
    };
    let marks = terminals(paper.units, winding)[0].clone();
    let top = column.y;
    paper.terminals(column, &marks);
    let terminal = column.y;
    // Neutrals of three-phase motors do not exist; the box of another load takes all conductors.
    column.poles = column.conductors.min(3);
    paper.canvas.symbol(symbol.id(column.poles), column.x, column.y);
    let (middle, right) = if symbol == MOTOR {
        ((column.x + column.last_pole()) / 2.0 + motor_radius(column.poles), column.y + 9.0)
    } else {
        (column.last_pole() + 2.2, column.y + 7.5)
    };
    protective(paper, &[(guard, bar), (guard, right), (middle, right)], terminal);
    if column.conductors > 3 {
        let x = column.end();
        paper.wire(&[(x, terminal), (x, terminal + 5.0), (column.last_pole() + 2.2, terminal + 5.0)]);
    }
    if symbol == MOTOR && words::has_sensors(circuit) {
        paper.canvas.symbol(SENSOR, middle - 1.6, right + 5.0);
    }
    let label = words::load(paper, circuit);
    let from = (terminal + 3.4).max(top + 3.0);
    paper.words(from, &label, Beside::Wide);
    paper.reach(column.y + symbol.height());
}

/// The protective conductor from its bar to the load, with its terminal.
fn protective(paper: &mut Paper, points: &[(f64, f64)], terminal: f64) {
    let Some((x, y)) = points.first().copied() else { return };
    paper.protective(points);
    paper.canvas.symbol(PROTECTIVE_BAR.id(1), x, y);
    paper.canvas.symbol(super::symbols::TERMINALS.id(1), x, terminal);
    let mark = paper.units.pick("PE", "GND");
    paper.mark(x + 0.9, terminal - 0.2, mark);
}

/// Two sets of leads to a motor between them.
pub(super) fn six(paper: &mut Paper, circuit: &Circuit, mut first: Column, mut second: Column, winding: &str) {
    let free = first.y.max(second.y).max(paper.bottom_of_words());
    paper.down(&mut first, free);
    paper.down(&mut second, free);
    let middle = (first.end() + second.x) / 2.0;
    let bar = free + 0.8;
    paper.edge = second.end() + TO_LOWER_EDGE;
    let mut y = free + 4.6;
    let list = runs(circuit);
    // One run holds all leads; of two each holds its own, the low speed on the left.
    match list.as_slice() {
        [high, low, ..] => {
            for (run, column) in [(*low, first), (*high, second)] {
                let label = words::run(paper, run);
                let (from, to) = if column.x < middle { (column.x, middle) } else { (column.x, column.end()) };
                paper.oval(from, to, y, paper.edge);
                y = paper.words(y - 1.6, &label, Beside::Wide) + 1.0;
            }
        }
        [run] => {
            let label = words::run(paper, run);
            paper.oval(first.x, second.end(), y, paper.edge);
            y = paper.words(y - 1.6, &label, Beside::Wide) + 1.0;
        }
        [] => {}
    }
    paper.down(&mut first, y);
    paper.down(&mut second, y);
    let mut told = y;
    if let Some(disconnect) = local(circuit) {
        let label = words::isolator(paper, disconnect);
        let top = first.y + 1.6;
        paper.down(&mut first, top);
        paper.down(&mut second, top);
        paper.symbol(&mut first, SWITCH);
        paper.symbol(&mut second, SWITCH);
        paper.link(&[(first.last_pole() - 1.2, top + 4.6), (second.x - 1.2, top + 4.6)]);
        told = paper.words(top, &label, Beside::Wide);
        let low = first.y.max(second.y);
        paper.down(&mut first, low);
        paper.down(&mut second, low);
    }
    let [a, b] = terminals(paper.units, winding);
    paper.terminals(&mut first, &a);
    paper.terminals(&mut second, &b);
    let terminal = first.y.max(second.y);
    round_motor(paper, &first, &second, middle, terminal);
    protective(paper, &[(middle, bar), (middle, terminal + 4.6)], terminal);
    let label = words::load(paper, circuit);
    paper.words((terminal + 2.0).max(told), &label, Beside::Wide);
    if words::has_sensors(circuit) {
        paper.canvas.symbol(SENSOR, middle + 5.6, terminal + 4.6 + RADIUS + 5.4);
    }
}

/// A motor between two sets of terminals: leads turn in from both sides without crossing.
fn round_motor(paper: &mut Paper, first: &Column, second: &Column, middle: f64, terminal: f64) {
    let centre = terminal + 4.6 + RADIUS;
    for conductor in 0..3 {
        let offset = [3.5, 0.0, -3.5][conductor];
        let reach = (RADIUS * RADIUS - offset * offset).sqrt();
        let (left, right) = (first.at(conductor), second.at(conductor));
        paper.wire(&[(left, terminal), (left, centre + offset), (middle - reach, centre + offset)]);
        paper.wire(&[(right, terminal), (right, centre - offset), (middle + reach, centre - offset)]);
    }
    paper.canvas.symbol(ROUND_MOTOR, middle, centre);
    paper.reach(centre + RADIUS);
}

/// The motor with slip rings and its rotor conductors, led out to the right below it.
pub(super) fn slip_rings(paper: &mut Paper, circuit: &Circuit, column: &mut Column) -> Rows {
    let guard = column.end() + TO_GUARD;
    let bar = column.y + 1.4;
    let list = runs(circuit);
    run_and_isolator(paper, circuit, column, list.iter().find(|run| run.role != "rotor").copied(), Side::Right);
    let marks = terminals(paper.units, "three-leads")[0].clone();
    paper.terminals(column, &marks);
    let terminal = column.y;
    paper.canvas.symbol(SLIP_RING_MOTOR, column.x, terminal);
    protective(paper, &[(guard, bar), (guard, terminal + 9.0), (column.x + 12.0, terminal + 9.0)], terminal);
    let label = words::load(paper, circuit);
    let mut y = paper.words(terminal + 1.6, &label, Beside::Wide);
    if let Some(device) = circuit.starter_devices.first() {
        let label = words::starter_device(paper, circuit, device);
        y = paper.words(y - 1.4, &label, Beside::Wide);
    }
    if let Some(run) = list.iter().find(|run| run.role == "rotor") {
        let label = words::run(paper, run);
        y = paper.words(y - 1.4, &label, Beside::Wide);
    }
    let top = (terminal + 19.0).max(y + 0.6);
    let at = [top, top + 4.6, top + 9.2];
    let rings = terminals(paper.units, "rotor")[0].clone();
    let centre = terminal + 9.0;
    for (conductor, row) in at.into_iter().enumerate() {
        let x = column.x + 8.0 - 3.0 * to_number(conductor);
        let offset: f64 = x - column.x - 5.0;
        // From the inner circle, radius 5.
        let from = centre + (25.0 - offset * offset).sqrt();
        paper.wire(&[(x, from), (x, row), (RING, row)]);
        paper.canvas.symbol(super::symbols::TERMINALS.id(1), RING, row);
        if let Some(mark) = rings.get(conductor) {
            paper.mark(RING - 0.6, row - 1.9, mark);
        }
    }
    paper.upright_oval(RING + 5.0, at[0], at[2]);
    Rows { x: RING, at }
}

#[allow(clippy::cast_precision_loss)] // three conductors
fn to_number(conductor: usize) -> f64 {
    conductor as f64
}
