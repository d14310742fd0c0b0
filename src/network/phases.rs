//! Which phase a single-phase load is on: the one that its row states, else the least loaded one, the largest load first.
//!
//! Loads are assigned board by board and, where a board leaves the choice open, so that the boards before it are balanced too. A
//! single-phase board is assigned like a load. What was assigned is kept for those who print it.

use super::connected::Connected;
use super::tree::{Node, Parent, Tree};
use crate::finding::{Finding, codes};
use crate::quantity::{Volts, round_to};
use crate::rules::physics::high_leg::{HIGH_LEG, has_high_leg, suits_high_leg, to_ground};
use crate::rules::physics::loading::load_figure;
use crate::rules::physics::phasor::Phasor;

mod names;

#[cfg(test)]
mod tests;

use names::Blue;

/// Where a single-phase circuit is connected: on one phase and the neutral, or between this phase and the next. On a single-phase
/// board the phases are its two legs, and between them is the whole voltage.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Connection {
    /// Phase from zero; the first of a pair.
    pub phase: usize,
    /// Between two phases instead of to the neutral.
    pub between: bool,
}

impl Connection {
    /// Phases that it loads.
    pub(super) fn loaded(self, of_three: bool) -> [Option<usize>; 2] {
        let next = if of_three { (self.phase + 1) % 3 } else { 1 - self.phase.min(1) };
        [Some(self.phase), self.between.then_some(next)]
    }

    /// As it is written: `L2`, or `L2-L3`.
    #[must_use]
    pub fn words(self) -> String {
        match (self.between, self.phase) {
            (false, phase) => format!("L{}", phase + 1),
            (true, 2) => "L1-L3".to_owned(),
            (true, phase) => format!("L{}-L{}", phase + 1, phase + 2),
        }
    }

    /// The same with the neutral: `L2-N`.
    #[must_use]
    pub fn lines(self) -> String {
        if self.between { self.words() } else { format!("{}-N", self.words()) }
    }
}

/// The equal circuits of a single-phase row on their phases.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Spread {
    /// Circuits on each phase, or on each pair beginning with it.
    pub circuits: [u32; 3],
    /// Between two phases.
    pub between: bool,
    /// The row states it.
    pub stated: bool,
}

impl Spread {
    /// Each connection that is used, with its circuits.
    pub fn connections(self) -> impl Iterator<Item = (Connection, u32)> {
        let connection = move |phase: usize| (Connection { phase, between: self.between }, self.circuits[phase]);
        (0..3).map(connection).filter(|(_, number)| *number > 0)
    }

    /// As it is written: `L1`, or `2 × L1, 1 × L2` where circuits differ.
    #[must_use]
    pub fn words(self) -> String {
        self.told(Connection::words)
    }

    /// The same with the neutral where one line alone carries the current: `L1-N`.
    #[must_use]
    pub fn lines(self) -> String {
        self.told(Connection::lines)
    }

    fn told(self, words: fn(Connection) -> String) -> String {
        let parts: Vec<(Connection, u32)> = self.connections().collect();
        match parts.as_slice() {
            [(only, _)] => words(*only),
            several => several
                .iter()
                .map(|(connection, number)| format!("{number} × {}", words(*connection)))
                .collect::<Vec<_>>()
                .join(", "),
        }
    }
}

/// Phases of all single-phase loads and boards.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Assignment {
    /// Connection of each row; none for three-phase ones.
    pub rows: Vec<Option<Spread>>,
    /// Connection of each board that has one phase fewer than what feeds it, or is fed between a leg and the neutral.
    pub boards: Vec<Option<Connection>>,
    /// Phases that rows state and that can't hold.
    pub findings: Vec<Finding>,
}

/// A row or board that waits for its phase.
struct Item {
    /// Board on which it is connected.
    node: usize,
    /// Apparent power of one.
    power: f64,
    between: bool,
    owner: Owner,
    number: u32,
}

#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Owner {
    Row(usize),
    Board(usize),
}

/// Gives every single-phase load and board its phase.
#[must_use]
pub fn assign(tree: &Tree, rows: &[Connected]) -> Assignment {
    let mut found = Assignment {
        rows: vec![None; rows.len()],
        boards: vec![None; tree.nodes.len()],
        findings: contradictions_of_boards(tree, rows),
    };
    let mut loads = Loads { tree, of: vec![[0.0; 3]; tree.nodes.len()] };
    let mut waiting = Vec::new();
    let colours = Colours::of(tree, rows);
    for (index, row) in rows.iter().enumerate() {
        let Some(node) = tree.nodes.get(row.node).filter(|_| row.phases == 1) else { continue };
        let between = row_between(row, node);
        let power = row.drawn(row.voltage).magnitude();
        match stated(row, node, between, colours.of_board(row.node)) {
            Ok(Some(phase)) => {
                let connection = Connection { phase, between };
                loads.add(row.node, connection, counted(row, power) * f64::from(row.number));
                let mut circuits = [0; 3];
                circuits[phase] = row.number;
                found.rows[index] = Some(Spread { circuits, between, stated: true });
            }
            other => {
                found.findings.extend(other.err().map(|finding| *finding));
                found.rows[index] = Some(Spread { between, ..Spread::default() });
                let power = counted(row, power);
                waiting.push(Item { node: row.node, power, between, owner: Owner::Row(index), number: row.number });
            }
        }
    }
    waiting.extend(boards(tree, rows));
    waiting.sort_by(|a, b| b.power.total_cmp(&a.power).then(a.owner.cmp(&b.owner)));
    for item in waiting {
        loads.assign(&item, &mut found);
    }
    found
}

/// A spare way loads no phase.
fn counted(row: &Connected, power: f64) -> f64 {
    if row.may_run() { power } else { 0.0 }
}

/// A single-phase load of the whole voltage of its board lies between two phases, else to the neutral.
fn row_between(row: &Connected, node: &Node) -> bool {
    if node.phases == 1 {
        // A board of two wires has no other voltage than its own.
        return node.voltage.0 <= 0.0 || row.voltage.0 >= load_figure("neutral-voltage-most") * node.voltage.0;
    }
    !row.neutral
}

/// Single-phase boards behind three-phase ones, and those behind one leg of another, with all that they feed.
fn boards(tree: &Tree, rows: &[Connected]) -> Vec<Item> {
    let mut behind = vec![0.0; tree.nodes.len()];
    for row in rows.iter().filter(|row| row.node < tree.nodes.len()) {
        behind[row.node] += counted(row, row.drawn(row.voltage).magnitude()) * f64::from(row.number);
    }
    for (index, node) in tree.nodes.iter().enumerate().rev() {
        if let Some(parent) = parent(node) {
            behind[parent] += behind[index];
        }
    }
    let item_of_board = |(index, node): (usize, &Node)| {
        let before = parent(node).filter(|_| node.phases == 1)?;
        let between = board_between(node, &tree.nodes[before]);
        Some(Item { node: before, power: behind[index], between, owner: Owner::Board(index), number: 1 })
    };
    tree.nodes.iter().enumerate().filter_map(item_of_board).collect()
}

/// A single-phase board of much less than the voltage of the one before it is fed from a phase and the neutral, unless a transformer
/// stands between.
fn board_between(node: &Node, before: &Node) -> bool {
    node.transformer.is_some() || node.voltage.0 >= load_figure("neutral-voltage-most") * before.voltage.0
}

pub(super) fn parent(node: &Node) -> Option<usize> {
    match node.parent {
        Parent::Board(index) => Some(index),
        Parent::Supply | Parent::Source(_) | Parent::Unknown => None,
    }
}

/// Apparent power of each phase of each board while phases are assigned.
struct Loads<'a> {
    tree: &'a Tree,
    of: Vec<[f64; 3]>,
}

impl Loads<'_> {
    /// The board and those before it that have the same phases.
    fn upward(&self, node: usize) -> impl Iterator<Item = usize> {
        let nodes = &self.tree.nodes;
        std::iter::successors(Some(node), move |board| {
            parent(&nodes[*board]).filter(|before| nodes[*board].phases == 3 && nodes[*before].phases == 3)
        })
    }

    fn add(&mut self, node: usize, connection: Connection, power: f64) {
        let share = self.share(node, connection.between);
        let of_three = self.tree.nodes[node].phases == 3;
        let places: Vec<usize> = self.upward(node).collect();
        for place in places {
            for phase in connection.loaded(of_three).into_iter().flatten() {
                self.of[place][phase] += power * share;
            }
        }
    }

    /// The part of a load between two phases that each of them carries, as a power of that phase.
    fn share(&self, node: usize, between: bool) -> f64 {
        match (between, self.tree.nodes[node].phases == 3) {
            (false, _) => 1.0,
            (true, true) => 1.0 / 3f64.sqrt(),
            (true, false) => 0.5,
        }
    }

    fn assign(&mut self, item: &Item, found: &mut Assignment) {
        let node = &self.tree.nodes[item.node];
        let choices: &[usize] = match (node.phases == 3, item.between) {
            (true, false) if high_leg_of(node) => &BESIDE_HIGH_LEG,
            // The two legs of such a board have half of the line voltage to its neutral.
            (true, true) if high_leg_of(node) && self.is_board_with_neutral(item) => &[PAIR_BESIDE_HIGH_LEG],
            (true, _) => &[0, 1, 2],
            (false, false) => &[0, 1],
            (false, true) => &[0],
        };
        let count = u32::try_from(choices.len()).unwrap_or(1);
        let mut circuits = [0u32; 3];
        // Equal circuits fill the phases evenly; only what is left over has a choice.
        let even = item.number / count;
        for phase in choices.iter().copied() {
            circuits[phase] = even;
            self.add(item.node, Connection { phase, between: item.between }, item.power * f64::from(even));
        }
        for _ in 0..item.number % count {
            let phase = self.least(item, choices);
            circuits[phase] += 1;
            self.add(item.node, Connection { phase, between: item.between }, item.power);
        }
        match item.owner {
            Owner::Row(row) => found.rows[row] = Some(Spread { circuits, between: item.between, stated: false }),
            Owner::Board(board) => {
                let phase = circuits.iter().position(|number| *number > 0).unwrap_or(0);
                found.boards[board] = Some(Connection { phase, between: item.between });
            }
        }
    }

    /// A board of one phase that shares the neutral of the board before it.
    fn is_board_with_neutral(&self, item: &Item) -> bool {
        matches!(item.owner, Owner::Board(board) if self.tree.nodes[board].transformer.is_none())
    }

    /// The phase or pair that is least loaded on its board; among equal ones, least loaded on the board before it, and so on.
    fn least(&self, item: &Item, choices: &[usize]) -> usize {
        let of_three = self.tree.nodes[item.node].phases == 3;
        let load = |place: usize, phase: usize| {
            let loaded = Connection { phase, between: item.between }.loaded(of_three);
            loaded.into_iter().flatten().map(|phase| self.of[place][phase]).fold(0.0, f64::max)
        };
        let order = |a: &usize, b: &usize| {
            self.upward(item.node)
                .map(|place| load(place, *a).total_cmp(&load(place, *b)))
                .find(|order| order.is_ne())
                .unwrap_or(std::cmp::Ordering::Equal)
        };
        choices.iter().copied().min_by(order).unwrap_or(0)
    }
}

/// Three-phase loads and boards where there is one phase only.
fn contradictions_of_boards(tree: &Tree, rows: &[Connected]) -> Vec<Finding> {
    let on_one = |row: &&Connected| row.phases == 3 && tree.nodes.get(row.node).is_some_and(|node| node.phases == 1);
    let said = |row: &Connected| {
        let name = tree.nodes.get(row.node).map_or("", |node| node.name.as_str());
        Finding::new(&codes::B203_THREE_PHASES, format!("a three-phase load on board {name}, which has one phase"))
            .at(row.place.clone())
            .why("its power counts on the board as if it were a single-phase load")
            .cure("correct the row's phases or the board's")
    };
    rows.iter().filter(on_one).map(said).collect()
}

/// The phase that a row states, or the first of its pair; a finding where it can't hold.
fn stated(row: &Connected, node: &Node, between: bool, blue: Option<Blue>) -> Result<Option<usize>, Box<Finding>> {
    let Some(text) = row.phase.as_deref().filter(|text| !text.is_empty()) else { return Ok(None) };
    let refuse = |what: String, cure: &str| {
        Err(Box::new(
            Finding::new(&codes::B202_PHASE, what)
                .at(row.place.clone())
                .why("the load is put on the least loaded phase instead")
                .cure(cure.to_owned()),
        ))
    };
    let Some(read) = names::read(text) else {
        return refuse(format!("phase \"{text}\" is not understood"), "write L1, L2 or L3, or a pair such as L1-L2");
    };
    let Some(named) = read.phases(blue) else {
        return refuse(
            format!("phase \"{text}\" may be the second of A, B, C or the blue one: rows name both kinds"),
            "write L1, L2 or L3, or a pair such as L1-L2",
        );
    };
    // On a board of one phase the row may repeat the board's own; only its legs are a choice.
    match (named.as_slice(), between) {
        ([_, _, _], _) => Ok(None),
        (_, true) if node.phases == 1 => Ok(None),
        ([leg], false) if node.phases == 1 => Ok(Some(*leg).filter(|leg| *leg < 2)),
        ([HIGH_LEG], false) if high_leg_of(node) && !suits_high_leg(row.voltage, node.voltage) => refuse(
            format!(
                "phase \"{text}\" of board {} is its high leg: {} V to the neutral and to ground, the load is made for {} V",
                node.name,
                round_to(to_ground(node.voltage).0, 0),
                row.voltage.0
            ),
            "connect it to L1 or L3 and the neutral",
        ),
        ([phase], false) => Ok(Some(*phase)),
        ([0, 2], true) => Ok(Some(2)),
        ([first, _], true) => Ok(Some(*first)),
        (_, true) => refuse(
            format!("phase \"{text}\" names one phase, but {} V lie between two", row.voltage.0),
            "write a pair such as L1-L2, or connection L-N",
        ),
        (_, false) => refuse(
            format!("phase \"{text}\" names two phases, but {} V lie between one and the neutral", row.voltage.0),
            "write one phase, or connection L-L",
        ),
    }
}

/// Phases of a system with a high leg that have half of the line voltage to the neutral.
const BESIDE_HIGH_LEG: [usize; 2] = [0, 2];

/// The pair of these two, by its first phase: L3 with the next, which is L1.
const PAIR_BESIDE_HIGH_LEG: usize = 2;

/// One line of a three-phase board is a high leg.
pub(super) fn high_leg_of(node: &Node) -> bool {
    node.phases == 3 && node.system.as_deref().is_some_and(has_high_leg)
}

/// What B means where both A, B, C and red, yellow, blue would read it: by the other rows of the board, else of the schedule.
struct Colours {
    boards: Vec<Heard>,
    schedule: Heard,
}

/// Which letters rows name.
#[derive(Clone, Copy, Default)]
struct Heard {
    a_or_c: bool,
    red_or_yellow: bool,
    others: bool,
}

impl Colours {
    fn of(tree: &Tree, rows: &[Connected]) -> Self {
        let mut found = Self { boards: vec![Heard::default(); tree.nodes.len()], schedule: Heard::default() };
        for row in rows {
            let Some(read) = row.phase.as_deref().and_then(names::read) else { continue };
            let of_board = found.boards.get_mut(row.node);
            of_board.into_iter().chain([&mut found.schedule]).for_each(|heard| heard.hear(&read));
        }
        found
    }

    /// None where rows contradict each other.
    fn of_board(&self, node: usize) -> Option<Blue> {
        let heard = self.boards.get(node).copied().filter(|heard| heard.a_or_c || heard.red_or_yellow);
        heard.unwrap_or(self.schedule).blue()
    }
}

impl Heard {
    fn hear(&mut self, read: &names::Read) {
        self.a_or_c |= read.is_only_in(names::Alphabet::Letters);
        self.red_or_yellow |= read.is_red_or_yellow();
        self.others |= read.is_only_in(names::Alphabet::Older) || read.is_only_in(names::Alphabet::Ends);
    }

    fn blue(self) -> Option<Blue> {
        match (self.red_or_yellow, self.a_or_c || self.others) {
            (true, true) => None,
            (true, false) => Some(Blue::Third),
            (false, _) => Some(Blue::Second),
        }
    }
}

/// A power of each phase, each in the frame of its own phase's voltage.
pub type PerPhase = [Phasor; 3];

/// Parts a power among the phases of a board. A load between two phases carries the same current in both, a twelfth of a period
/// ahead of the one and behind the other; a three-phase load has a third in each; a load on a board of one phase lies in its two
/// legs.
#[must_use]
pub fn on_phases(node: &Node, connection: Option<Connection>, power: Phasor) -> PerPhase {
    let mut phases = [Phasor::ZERO; 3];
    match (node.phases == 1, connection) {
        (false, None) => phases = [power * (1.0 / 3.0); 3],
        (true, Some(Connection { between: false, phase })) => phases[phase.min(1)] = power,
        (true, _) => phases = [power * 0.5, power * 0.5, Phasor::ZERO],
        (false, Some(Connection { between: false, phase })) => phases[phase.min(2)] = power,
        (false, Some(Connection { between: true, phase })) => {
            // 1/√3 at ∓30°: cos 30° = √3/2, sin 30° = 1/2.
            let half = 0.5 / 3f64.sqrt();
            phases[phase.min(2)] = power * Phasor::new(0.5, -half);
            phases[(phase.min(2) + 1) % 3] = power * Phasor::new(0.5, half);
        }
    }
    phases
}

/// Voltage of a phase of a board that drives the current of that phase: to the neutral, or of a leg.
#[must_use]
pub fn phase_voltage(node: &Node, line: Volts) -> Volts {
    if node.phases == 1 { Volts(line.0 / 2.0) } else { Volts(line.0 / 3f64.sqrt()) }
}
