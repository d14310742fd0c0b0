//! Boards and loads for tests, made without a schedule.

use super::connected::{Connected, Running, Starting};
use super::tree::{Node, Parent, Tree};
use crate::finding::Place;
use crate::load::LoadKind;
use crate::quantity::{Amperes, Impedance, Ohms, Vars, Volts, Watts};

/// A three-phase board of 400 V.
pub(super) fn board(name: &str, parent: Parent) -> Node {
    Node {
        name: name.to_owned(),
        board: None,
        parent,
        transformer: None,
        alternatives: Vec::new(),
        feeder: matches!(parent, Parent::Board(_)),
        voltage: Volts(400.0),
        phases: 3,
        system: None,
        earthing: None,
        children: Vec::new(),
        depth: 0,
    }
}

/// Boards in a tree.
pub(super) fn tree(nodes: Vec<Node>) -> Tree {
    Tree { nodes, findings: Vec::new() }
}

/// A three-phase motor of 400 V that takes so many kW from the line at a power factor, and starts at six times its current.
pub(super) fn motor(tag: &str, node: usize, kw: f64, power_factor: f64) -> Connected {
    let apparent = 1000.0 * kw / power_factor;
    let current = Amperes(apparent / (3f64.sqrt() * 400.0));
    Connected {
        tag: tag.to_owned(),
        tags: Vec::new(),
        place: Place::default(),
        node,
        row: 0,
        kind: LoadKind::Motor,
        number: 1,
        running: Running::Duty,
        group: None,
        duty_count: None,
        standby_count: None,
        interlock_with: Vec::new(),
        demand_factor: None,
        continuous: true,
        phases: 3,
        neutral: false,
        with_neutral: false,
        coils_to_neutral: false,
        phase: None,
        voltage: Volts(400.0),
        current,
        power_factor,
        power_factor_assumed: false,
        input: Watts(1000.0 * kw),
        reactive: Vars(apparent * (1.0 - power_factor * power_factor).sqrt()),
        unsized_row: false,
        nonlinear: false,
        feeds_fault: Some((6.0, current)),
        starting: Some(Starting { current: current * 6.0, power_factor: 0.3 }),
        kind_in_doubt: false,
        term: None,
    }
}

/// A single-phase load of so many kW at unity: between phase and neutral of 400 V, or between two phases.
pub(super) fn single(tag: &str, node: usize, kw: f64, neutral: bool) -> Connected {
    let voltage = Volts(if neutral { 400.0 / 3f64.sqrt() } else { 400.0 });
    Connected {
        kind: LoadKind::Heater,
        phases: 1,
        neutral,
        with_neutral: neutral,
        coils_to_neutral: false,
        voltage,
        current: Amperes(1000.0 * kw / voltage.0),
        feeds_fault: None,
        starting: None,
        ..motor(tag, node, kw, 1.0)
    }
}

/// An impedance of so many milliohms.
pub(super) fn milliohms(r: f64, x: f64) -> Impedance {
    Impedance { r: Ohms(r / 1000.0), x: Ohms(x / 1000.0) }
}
