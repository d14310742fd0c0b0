//! Loads that run together on a board and on all that it feeds, added as phasors.
//!
//! Powers are added, never amperes; a current follows from the phase that carries most. A power is the same on both sides of a
//! transformer, so currents of the boards behind it count by the ratio of the voltages, and phases are taken to keep their places. Losses
//! of feeders and transformers are left out: they are a few per cent of what is added here, and the voltages of the network know them.

use std::collections::BTreeMap;

use super::connected::{Connected, Running};
use super::phases::{Assignment, Connection, PerPhase, high_leg_of, on_phases, parent, phase_voltage};
use super::together::{Runs, Together};
use super::tree::{Node, Tree};
use crate::basis::Basis;
use crate::design::WorkingLine;
use crate::finding::Finding;
use crate::load::LoadKind;
use crate::quantity::{Amperes, Volts, Watts};
use crate::record::{Naming, Record};
use crate::rules::RuleBook;
use crate::rules::physics::loading::{self, load_figure};
use crate::rules::physics::phasor::Phasor;

mod say;
#[cfg(test)]
mod tests;

/// Sums of a board with all that it feeds.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Demand {
    /// Electrical input of all loads at rated output, spare ways included.
    pub connected: Watts,
    /// Part of it that equipped spare ways have: they do not run.
    pub spare: Watts,
    /// Equipped spare ways.
    pub spare_ways: u32,
    /// Active power of the loads that run together at rated output.
    pub running_w: f64,
    /// Reactive power of the same.
    pub running_var: f64,
    /// Line current of the same, in the phase that carries most.
    pub running: Amperes,
    /// The same in each phase; on a single-phase board in each leg.
    pub phases: [Amperes; 3],
    /// Highest phase above the mean of the phases, per cent.
    pub unbalance_pct: f64,
    /// Power factor of what runs; none where nothing runs.
    pub power_factor: Option<f64>,
    /// Share of drives and other rectifiers in what runs, 0 to 1.
    pub nonlinear_share: f64,
    /// Active power after demand factors.
    pub demand_w: f64,
    /// Reactive power after demand factors.
    pub demand_var: f64,
    /// Line current after demand factors, with what is there already, in the phase that carries most.
    pub demand: Amperes,
    /// The row of the largest motor: its place among [`super::connected::Connected`].
    pub largest_motor: Option<usize>,
    /// The row whose start draws most.
    pub largest_start: Option<usize>,
    /// Working.
    pub working: Vec<WorkingLine>,
    /// Findings.
    pub findings: Vec<Finding>,
}

/// Demand of all boards, with what concerns them together.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Demands {
    /// Demand of each board, in the order of the tree.
    pub boards: Vec<Demand>,
    /// Findings that concern all boards: factors that need a permission, figures that were assumed.
    pub findings: Vec<Finding>,
}

/// Adds up from the last boards to the sources.
#[must_use]
pub fn of(
    tree: &Tree,
    rows: &[Connected],
    together: &Together,
    phases: &Assignment,
    basis: &Basis,
    book: &dyn RuleBook,
) -> Demands {
    let sums = Sums::new(tree, rows, phases, basis);
    let mut boards: Vec<Demand> = vec![Demand::default(); tree.nodes.len()];
    sums.connected(&mut boards);
    sums.largest(&mut boards);
    sums.run(&mut boards, together, book.naming());
    for (index, board) in boards.iter_mut().enumerate() {
        board.findings = say::of_board(&tree.nodes[index], board, sums.single_phase_behind[index]);
    }
    let mut findings = together.findings.clone();
    findings.extend(phases.findings.iter().cloned());
    findings.extend(say::of_all(tree, rows, &boards, basis, book));
    Demands { boards, findings }
}

/// Circuits that run together in the whole network, behind each of the boards that nothing else feeds.
#[must_use]
pub fn running_of_roots(tree: &Tree, rows: &[Connected], together: &Together) -> Vec<Runs> {
    let mut root: Vec<usize> = (0..tree.nodes.len()).collect();
    for (index, node) in tree.nodes.iter().enumerate() {
        if let Some(before) = parent(node) {
            root[index] = root[before];
        }
    }
    let mut behind: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (index, row) in rows.iter().enumerate().filter(|(_, row)| row.node < tree.nodes.len()) {
        behind.entry(root[row.node]).or_default().push(index);
    }
    let weight = |row: usize| rows[row].drawn(rows[row].voltage).magnitude();
    behind.values().flat_map(|behind| together.among(behind, rows, &weight)).collect()
}

/// A power with its parts.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Sum {
    /// Active and reactive power.
    pub(super) power: Phasor,
    /// Line currents as powers of the phases at the board's voltage.
    pub(super) phases: PerPhase,
    /// Load that is there already, VA of each phase: nobody states its angle, so it is added as a figure.
    existing: [f64; 3],
    /// Apparent powers of rectifiers, and of all, added as figures.
    nonlinear: f64,
    apparent: f64,
}

impl Sum {
    fn add(&mut self, other: &Self) {
        self.power += other.power;
        for (phasor, more) in self.phases.iter_mut().zip(other.phases) {
            *phasor += more;
        }
        for (phase, more) in self.existing.iter_mut().zip(other.existing) {
            *phase += more;
        }
        self.nonlinear += other.nonlinear;
        self.apparent += other.apparent;
    }

    fn times(&self, factor: f64) -> Self {
        Self {
            power: self.power * factor,
            phases: self.phases.map(|phasor| phasor * factor),
            existing: self.existing.map(|volt_amperes| volt_amperes * factor),
            nonlinear: self.nonlinear * factor,
            apparent: self.apparent * factor,
        }
    }

    fn whole(&self) -> Phasor {
        self.phases.iter().fold(Phasor::ZERO, |sum, phasor| sum + *phasor)
    }

    /// As the board before sees it.
    fn lifted(&self, node: &Node, before: &Node, connection: Option<Connection>) -> Self {
        let kept = match (node.phases == 1, before.phases == 1) {
            (false, false) => true,
            (true, true) => connection.is_none_or(|connection| connection.between),
            _ => false,
        };
        if kept {
            return *self;
        }
        // The current of a phase follows from 1/√3 of the line voltage; a leg beside the high one has a half.
        let leg = node.transformer.is_none() && high_leg_of(before) && connection.is_some_and(|connection| !connection.between);
        let as_of_star = if leg { 2.0 / 3f64.sqrt() } else { 1.0 };
        let there = on_phases(before, connection, Phasor::new(self.existing.iter().sum::<f64>() * as_of_star, 0.0));
        Self { phases: on_phases(before, connection, self.whole() * as_of_star), existing: there.map(Phasor::magnitude), ..*self }
    }

    /// Load that is there already, VA of each phase.
    pub(super) fn existing(&self) -> [f64; 3] {
        self.existing
    }

    /// The load that is there already, in phase with what is added.
    fn existing_power(&self) -> Phasor {
        let along = |drawn: Phasor, power: f64| {
            let magnitude = drawn.magnitude();
            if magnitude > 0.0 { drawn * (power / magnitude) } else { Phasor::new(power, 0.0) }
        };
        self.phases.iter().zip(self.existing).fold(Phasor::ZERO, |sum, (phasor, power)| sum + along(*phasor, power))
    }
}

/// Share that a clustered row adds to a board on its way to the source.
struct Restricted {
    cluster: usize,
    row: usize,
    running: Sum,
    demand: Sum,
}

pub(super) struct Sums<'a> {
    tree: &'a Tree,
    rows: &'a [Connected],
    phases: &'a Assignment,
    basis: &'a Basis,
    /// Nominal voltage of each board; where nobody states it, that of its loads.
    pub(super) voltage: Vec<Volts>,
    single_phase_behind: Vec<bool>,
}

impl<'a> Sums<'a> {
    pub(super) fn new(tree: &'a Tree, rows: &'a [Connected], phases: &'a Assignment, basis: &'a Basis) -> Self {
        let mut single_phase_behind = vec![false; tree.nodes.len()];
        for row in rows.iter().filter(|row| row.phases == 1 && row.node < tree.nodes.len()) {
            single_phase_behind[row.node] = true;
        }
        for (index, node) in tree.nodes.iter().enumerate().rev() {
            if let Some(before) = parent(node).filter(|_| single_phase_behind[index]) {
                single_phase_behind[before] = true;
            }
        }
        Self { tree, rows, phases, basis, voltage: voltages(tree, rows), single_phase_behind }
    }

    /// All circuits of a row at its own board.
    pub(super) fn of_row(&self, index: usize) -> Sum {
        let row = &self.rows[index];
        let node = &self.tree.nodes[row.node];
        let number = f64::from(row.number);
        let spread = self.phases.rows.get(index).copied().flatten().filter(|_| row.phases == 1);
        let board = self.voltage[row.node];
        let voltage = match spread {
            Some(spread) if !spread.between => phase_voltage(node, board),
            _ => board,
        };
        // A load of less than its board's voltage draws its rated current; one of more draws the current that gives its power.
        let drawn = row.drawn(row.voltage.max(voltage));
        let mut phases = [Phasor::ZERO; 3];
        let mut put = |connection: Option<Connection>, circuits: f64| {
            for (sum, more) in phases.iter_mut().zip(on_phases(node, connection, drawn * circuits)) {
                *sum += more;
            }
        };
        match spread {
            Some(spread) => spread.connections().for_each(|(connection, circuits)| put(Some(connection), f64::from(circuits))),
            None => put(None, number),
        }
        let apparent = drawn.magnitude() * number;
        let nonlinear = if row.nonlinear { apparent } else { 0.0 };
        Sum { power: row.power() * number, phases, nonlinear, apparent, ..Sum::default() }
    }

    fn board_factor(&self, node: usize) -> f64 {
        let demand_factor =
            self.tree.nodes[node].board.and_then(|board| self.basis.boards.get(board)).and_then(|board| board.demand_factor);
        demand_factor.unwrap_or_else(|| load_figure("demand-factor"))
    }

    /// The load that is there already on a board; its own demand factor does not lower it.
    pub(super) fn existing(&self, index: usize) -> Sum {
        let node = &self.tree.nodes[index];
        let existing_load_a =
            node.board.and_then(|board| self.basis.boards.get(board)).and_then(|board| board.existing_load_a).unwrap_or(0.0);
        let power = phase_voltage(node, self.voltage[index]).0 * existing_load_a;
        let third = if node.phases == 1 { 0.0 } else { power };
        Sum { existing: [power, power, third], ..Sum::default() }
    }

    fn lift(&self, sum: &Sum, node: usize, before: usize) -> Sum {
        let connection = self.phases.boards.get(node).copied().flatten();
        sum.lifted(&self.tree.nodes[node], &self.tree.nodes[before], connection)
    }

    fn connected(&self, boards: &mut [Demand]) {
        for row in self.rows {
            let power = row.input * f64::from(row.number);
            let Some(board) = boards.get_mut(row.node) else { continue };
            board.connected = board.connected + power;
            if row.running == Running::Spare {
                board.spare = board.spare + power;
                board.spare_ways += row.number;
            }
        }
        for index in (0..boards.len()).rev() {
            let Some(before) = parent(&self.tree.nodes[index]) else { continue };
            boards[before].connected = boards[before].connected + boards[index].connected;
            boards[before].spare = boards[before].spare + boards[index].spare;
            boards[before].spare_ways += boards[index].spare_ways;
        }
    }

    /// The largest motor and the largest start of each board; loads that stand by compete, spare ways do not.
    fn largest(&self, boards: &mut [Demand]) {
        // Line current times voltage between lines: a current as every voltage sees it.
        let rated = |row: usize| self.rows[row].current.0 * self.rows[row].line_voltage().0;
        let start = |row: usize| self.rows[row].starting.map_or(0.0, |start| start.current.0) * self.rows[row].line_voltage().0;
        for (index, row) in self.rows.iter().enumerate().filter(|(_, row)| row.may_run()) {
            let Some(board) = boards.get_mut(row.node) else { continue };
            if row.kind == LoadKind::Motor {
                board.largest_motor = larger(board.largest_motor, Some(index), &rated);
            }
            if row.starting.is_some() {
                board.largest_start = larger(board.largest_start, Some(index), &start);
            }
        }
        for index in (0..boards.len()).rev() {
            let Some(before) = parent(&self.tree.nodes[index]) else { continue };
            boards[before].largest_motor = larger(boards[before].largest_motor, boards[index].largest_motor, &rated);
            boards[before].largest_start = larger(boards[before].largest_start, boards[index].largest_start, &start);
        }
    }

    /// Sums the loads that run together, and the demand. Rows that always run are added from board to board; those that restrict
    /// each other are looked at anew by every board before them.
    fn run(&self, boards: &mut [Demand], together: &Together, naming: Option<Naming>) {
        let mut restricted = self.restricted(together);
        let mut running = vec![Sum::default(); boards.len()];
        let mut demand = vec![Sum::default(); boards.len()];
        for (index, row) in self.rows.iter().enumerate().filter(|(_, row)| row.may_run() && row.node < boards.len()) {
            if together.of_row.get(index).copied().flatten().is_none() {
                let sum = self.of_row(index);
                running[row.node].add(&sum);
                demand[row.node].add(&sum.times(row_factor(row, self.basis)));
            }
        }
        for index in (0..boards.len()).rev() {
            let factor = self.board_factor(index);
            let (free, free_demand) = (running[index], demand[index].times(factor));
            let (mut all, mut all_demand) = (free, free_demand);
            for (clusters, entries) in by_cluster(&mut restricted[index]) {
                let rows: Vec<usize> = entries.iter().map(|entry| entry.row).collect();
                let pick = |of: &dyn Fn(&Restricted) -> Sum, sum: &mut Sum| {
                    let entry =
                        |row: usize| entries.binary_search_by_key(&row, |entry| entry.row).ok().map(|place| &entries[place]);
                    let share = |row: usize, circuits: f64| {
                        entry(row).map_or_else(Sum::default, |entry| of(entry).times(circuits / f64::from(self.rows[row].number)))
                    };
                    let weight = |row: usize| share(row, 1.0).whole().magnitude();
                    for runs in together.of_cluster(clusters, &rows, self.rows, &weight) {
                        sum.add(&share(runs.row, f64::from(runs.number)));
                    }
                };
                pick(&|entry| entry.running, &mut all);
                pick(&|entry| entry.demand, &mut all_demand);
            }
            let existing = self.existing(index);
            all_demand.add(&existing);
            boards[index].fill(&self.tree.nodes[index], self.voltage[index], &all, &all_demand, naming);
            if let Some(before) = parent(&self.tree.nodes[index]) {
                let mut upward = free_demand;
                upward.add(&existing);
                running[before].add(&self.lift(&free, index, before));
                demand[before].add(&self.lift(&upward, index, before));
            }
        }
    }

    fn restricted(&self, together: &Together) -> Vec<Vec<Restricted>> {
        let mut of_board: Vec<Vec<Restricted>> = self.tree.nodes.iter().map(|_| Vec::new()).collect();
        for (row, connected) in self.rows.iter().enumerate().filter(|(_, row)| row.may_run() && row.node < self.tree.nodes.len())
        {
            let Some(cluster) = together.of_row.get(row).copied().flatten() else { continue };
            let mut place = connected.node;
            let mut running = self.of_row(row);
            let mut demand = running.times(row_factor(connected, self.basis));
            loop {
                demand = demand.times(self.board_factor(place));
                of_board[place].push(Restricted { cluster, row, running, demand });
                let Some(before) = parent(&self.tree.nodes[place]) else { break };
                running = self.lift(&running, place, before);
                demand = self.lift(&demand, place, before);
                place = before;
            }
        }
        of_board
    }
}

/// The entries of each cluster; within one, rows ascend.
fn by_cluster(entries: &mut [Restricted]) -> Vec<(usize, &[Restricted])> {
    entries.sort_by_key(|entry| (entry.cluster, entry.row));
    entries.chunk_by(|a, b| a.cluster == b.cluster).map(|entries| (entries[0].cluster, entries)).collect()
}

fn larger(one: Option<usize>, other: Option<usize>, measure: &dyn Fn(usize) -> f64) -> Option<usize> {
    match (one, other) {
        (Some(a), Some(b)) => {
            let (first, second) = (a.min(b), a.max(b));
            Some(if measure(second) > measure(first) { second } else { first })
        }
        (only, None) | (None, only) => only,
    }
}

/// Demand factor of a row: its own, else that of its kind in the basis.
fn row_factor(row: &Connected, basis: &Basis) -> f64 {
    let of_kind = match (row.running, row.continuous) {
        (Running::Standby, _) => basis.demand.standby,
        (_, true) => basis.demand.continuous,
        (_, false) => basis.demand.intermittent,
    };
    row.demand_factor.or(of_kind).unwrap_or_else(|| load_figure("demand-factor"))
}

/// Voltage of each board: as stated, else the highest of its loads, else that of a board behind it, else of the one before it.
fn voltages(tree: &Tree, rows: &[Connected]) -> Vec<Volts> {
    let mut of_loads = vec![Volts(0.0); tree.nodes.len()];
    for row in rows.iter().filter(|row| row.node < tree.nodes.len()) {
        of_loads[row.node] = of_loads[row.node].max(row.line_voltage());
    }
    let mut voltages: Vec<Volts> = tree
        .nodes
        .iter()
        .zip(&of_loads)
        .map(|(node, of_loads)| if node.voltage.0 > 0.0 { node.voltage } else { *of_loads })
        .collect();
    for index in (0..voltages.len()).rev() {
        if let Some(before) = parent(&tree.nodes[index]).filter(|before| voltages[*before].0 <= 0.0) {
            voltages[before] = voltages[index];
        }
    }
    for index in 0..voltages.len() {
        // Where no voltage is known at all, amperes that are there already add up at any one.
        let before = parent(&tree.nodes[index]).map_or(Volts(1.0), |before| voltages[before]);
        if voltages[index].0 <= 0.0 {
            voltages[index] = before;
        }
    }
    voltages
}

impl Demand {
    fn fill(&mut self, node: &Node, voltage: Volts, running: &Sum, demand: &Sum, naming: Option<Naming>) {
        let phase = phase_voltage(node, voltage).0;
        let parts = if node.phases == 1 { 2 } else { 3 };
        let current = |phasor: Phasor| if phase > 0.0 { phasor * (1.0 / phase) } else { Phasor::ZERO };
        let highest = |sum: &Sum| {
            let carried = |part: &usize| sum.phases[*part].magnitude() + sum.existing[*part];
            let most = (0..parts).reduce(|a, b| if carried(&b) > carried(&a) { b } else { a }).unwrap_or(0);
            (current(sum.phases[most]), current(Phasor::new(sum.existing[most], 0.0)).re)
        };
        let mut record = Record::new().named(naming);
        let (most, _) = highest(running);
        let (most_demand, existing) = highest(demand);
        self.running = loading::together(&mut record, Amperes(most.re), Amperes(most.im));
        self.demand = loading::demand(&mut record, Amperes(most_demand.re), Amperes(most_demand.im), Amperes(existing));
        let (steps, _) = record.into_parts();
        self.working = steps.iter().map(Into::into).collect();
        let whole = demand.power + demand.existing_power();
        (self.running_w, self.running_var) = (running.power.re, running.power.im);
        (self.demand_w, self.demand_var) = (whole.re, whole.im);
        let apparent = running.power.magnitude();
        self.power_factor = (apparent > 0.0).then(|| running.power.re / apparent);
        self.nonlinear_share = if running.apparent > 0.0 { running.nonlinear / running.apparent } else { 0.0 };
        self.phases = running.phases.map(|phasor| Amperes(current(phasor).magnitude()));
        let mean = self.phases[..parts].iter().map(|phase| phase.0).sum::<f64>() / if parts == 2 { 2.0 } else { 3.0 };
        let most = self.phases[..parts].iter().map(|phase| phase.0).fold(0.0, f64::max);
        self.unbalance_pct = if mean > 0.0 { (100.0 * (most / mean - 1.0)).max(0.0) } else { 0.0 };
    }
}
