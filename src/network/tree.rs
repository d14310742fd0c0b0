//! Who feeds whom: the boards of schedule and basis as trees under their sources.
//!
//! `fed_from` names a board, a transformer, a source or the supply; without it a board stands on the supply, unless a transformer
//! names it. After the first name further sources may follow, set off by commas: those that may feed the board instead. A board
//! whose feed can't be known keeps its own figures and has no other: its parent is [`Parent::Unknown`].

use std::collections::{BTreeMap, BTreeSet};

use crate::basis::{Basis, BoardBasis, TransformerBasis};
use crate::conductors::{self, system_behind};
use crate::finding::{Finding, Place, codes, nearest};
use crate::quantity::Volts;
use crate::rules::physics::nominal::{is_same_voltage, nominal_behind};
use crate::supply::has_middle;

mod feeds;

/// The parent of a board.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Parent {
    /// The network of the basis, `[supply]`, by that name or by the name of a source that is no machine.
    Supply,
    /// A machine of the basis, by its place in `[[source]]`.
    Source(usize),
    /// Another board, by its place in [`Tree::nodes`]; it always stands before this one.
    Board(usize),
    /// The basis contradicts itself; only what it states at the board itself is known.
    Unknown,
}

/// A board in its tree.
#[derive(Clone, Debug, PartialEq)]
pub struct Node {
    /// Name.
    pub name: String,
    /// Its place in `[[board]]` of the basis; none for a board that only the schedule names.
    pub board: Option<usize>,
    /// Its parent.
    pub parent: Parent,
    /// The transformer between the two, by its place in `[[transformer]]`; the feeder lies behind it.
    pub transformer: Option<usize>,
    /// Sources of `[[source]]` that may feed it instead.
    pub alternatives: Vec<usize>,
    /// A feeder lies before it; else it stands where its supply or transformer ends.
    pub feeder: bool,
    /// Nominal voltage between lines; zero where nobody states it.
    pub voltage: Volts,
    /// Phases: 1 or 3.
    pub phases: u32,
    /// System in words.
    pub system: Option<String>,
    /// Earthing, as `TN-S`.
    pub earthing: Option<String>,
    /// Boards that it feeds, in ascending order.
    pub children: Vec<usize>,
    /// Boards between it and its source.
    pub depth: usize,
}

/// The boards, each after what feeds it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Tree {
    /// Boards.
    pub nodes: Vec<Node>,
    /// Errors of the tree: unknown names, circles, two parents.
    pub findings: Vec<Finding>,
}

impl Tree {
    /// The boards of the basis and those that only the schedule names, in that order as far as what feeds them allows.
    #[must_use]
    pub fn of(basis: &Basis, scheduled: &[&str], basis_file: Option<&str>) -> Self {
        Self::of_rated(basis, scheduled, &|_| Volts(0.0), basis_file)
    }

    /// The same where the loads of a board are rated for a voltage: a board has that one where the basis gives it none.
    #[must_use]
    pub fn of_rated(basis: &Basis, scheduled: &[&str], rated: &dyn Fn(&str) -> Volts, basis_file: Option<&str>) -> Self {
        let mut findings = Vec::new();
        let feeds = feeds::of(basis, scheduled, basis_file, &mut findings);
        let mut tree = Self { nodes: Vec::new(), findings };
        tree.arrange(&feeds, basis);
        tree.take_rated(basis, rated);
        for index in 0..tree.nodes.len() {
            tree.describe(index, basis, basis_file);
        }
        for index in 0..tree.nodes.len() {
            tree.part_unsaid(index, basis, basis_file);
        }
        tree.count_depths();
        tree
    }

    /// Place of a board by its name.
    #[must_use]
    pub fn find(&self, name: &str) -> Option<usize> {
        self.nodes.iter().position(|node| node.name == name)
    }

    /// Voltage of the supply; where nobody states it, that of the first board on it, or behind a transformer on it.
    #[must_use]
    pub fn voltage_of_supply(&self, basis: &Basis) -> Volts {
        let on_supply = || self.nodes.iter().filter(|node| node.parent == Parent::Supply && node.voltage.0 > 0.0);
        let first = || on_supply().find(|node| node.transformer.is_none()).or_else(|| on_supply().next());
        basis.supply.voltage_v.map(Volts).or_else(|| Some(first()?.voltage)).unwrap_or_default()
    }

    /// The voltage of each board for what the basis leaves open: that of its loads, else of a board of three phases that it feeds.
    fn take_rated(&mut self, basis: &Basis, rated: &dyn Fn(&str) -> Volts) {
        for index in (0..self.nodes.len()).rev() {
            let of_loads = rated(&self.nodes[index].name);
            let lines = |child: &&usize| {
                let child = &self.nodes[**child];
                child.transformer.is_none() && conductors::phases_of_board(basis, &child.name) == 3
            };
            let voltage = |child: &usize| {
                let stated = self.described_by_basis(*child, basis).voltage.map(Volts);
                stated.unwrap_or(self.nodes[*child].voltage)
            };
            let behind = self.nodes[index].children.iter().filter(lines).map(voltage).find(|volts| volts.0 > 0.0);
            self.nodes[index].voltage = if of_loads.0 > 0.0 { of_loads } else { behind.unwrap_or_default() };
        }
    }

    /// Puts boards after what feeds them; otherwise they keep their order.
    fn arrange(&mut self, feeds: &[feeds::Feed], basis: &Basis) {
        let mut below: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        for (index, feed) in feeds.iter().enumerate() {
            if let Parent::Board(parent) = feed.parent {
                below.entry(parent).or_default().push(index);
            }
        }
        let is_root = |feed: &feeds::Feed| !matches!(feed.parent, Parent::Board(_));
        let mut waiting: Vec<(usize, Option<usize>)> =
            feeds.iter().enumerate().rev().filter(|(_, feed)| is_root(feed)).map(|(index, _)| (index, None)).collect();
        while let Some((index, parent)) = waiting.pop() {
            let (feed, at) = (&feeds[index], self.nodes.len());
            self.nodes.push(node(feed, parent, basis));
            if let Some(parent) = parent {
                self.nodes[parent].children.push(at);
            }
            let children = below.get(&index).into_iter().flatten();
            waiting.extend(children.rev().map(|child| (*child, Some(at))));
        }
    }

    /// Voltage and system, the board's own or what comes from above; phases and earthing as circuits read them. A voltage that nothing
    /// makes parts the board from its supply.
    fn describe(&mut self, index: usize, basis: &Basis, basis_file: Option<&str>) {
        let (described, above) = (self.described_by_basis(index, basis), self.above(index, basis));
        if let Some(odd) = described.voltage.filter(|voltage| !above.makes(*voltage, described.phases)) {
            let name = self.nodes[index].name.clone();
            if !self.feed_is_stated(index, basis) {
                // Nothing says that it is fed from here: it stands behind something that the basis does not describe.
                self.part(index);
                return self.settle(index, described, above, basis);
            }
            let what = format!("board {name} has {odd} V, but what feeds it gives {} V", above.voltage.unwrap_or(0.0));
            self.findings.push(
                Finding::new(&codes::B104_VOLTAGE, what)
                    .at(place(basis_file, &format!("board {name}: voltage_v")))
                    .why("no transformer makes the one of the other; the supply of the board is taken as unknown")
                    .cure("correct the voltage, or add the [[transformer]] between the two with its secondary_voltage_v"),
            );
            self.part(index);
        }
        self.settle(index, described, above, basis);
    }

    /// Takes a board whose feed nobody states away from the supply where transformers make its voltage, and says so.
    fn part_unsaid(&mut self, index: usize, basis: &Basis, basis_file: Option<&str>) {
        let stated = self.nodes[index].board.and_then(|board| basis.boards.get(board));
        if !self.unsaid_behind_transformers(index, basis) || stated.is_some_and(states_faults) {
            return;
        }
        if stated.is_some() {
            let name = &self.nodes[index].name;
            let finding = Finding::new(&codes::B101_FEED_UNKNOWN, format!("nothing says what feeds board {name}"))
                .at(place(basis_file, &format!("board {name}: fed_from")))
                .why("transformers stand between the supply and boards of its voltage: the supply of the board is taken as unknown, and what depends on it is not checked")
                .cure("name the board or transformer in fed_from; \"supply\" if the board stands before the transformers");
            self.findings.push(finding);
        }
        self.part(index);
    }

    /// A board whose feed nobody states can't stand on the network in front of the transformers that make its voltage, be it that the
    /// basis does not say where these stand: the level before them counts at no voltage behind them.
    #[must_use]
    pub fn unsaid_behind_transformers(&self, index: usize, basis: &Basis) -> bool {
        let node = &self.nodes[index];
        let makes_it = |transformer: &TransformerBasis| {
            let voltage = transformer.secondary_voltage_v.or(basis.supply.voltage_v);
            Described { voltage, ..Described::default() }.makes(node.voltage.0, Some(node.phases))
        };
        // Asked of every board over and over; most projects have no transformer of their own.
        let open = !basis.transformers.is_empty() && node.parent == Parent::Supply && !self.feed_is_stated(index, basis);
        open && self.on_the_network(basis).into_iter().any(makes_it)
    }

    /// Transformers on the network in front: those before boards on the supply, and those of which nothing says where they stand.
    fn on_the_network<'b>(&self, basis: &'b Basis) -> Vec<&'b TransformerBasis> {
        let (mut placed, mut on_supply) = (vec![false; basis.transformers.len()], vec![false; basis.transformers.len()]);
        for (board, index) in self.nodes.iter().filter_map(|board| Some((board, board.transformer?))) {
            placed[index] = true;
            on_supply[index] |= board.parent == Parent::Supply;
        }
        // The supply that has a transformer of its own is stated behind that.
        let of_supply = basis.supply.transformer_kva.or(basis.supply.transformer_impedance_pct).is_some();
        let sources = basis.sources.iter().filter_map(|source| source.name.as_deref());
        let known: BTreeSet<&str> = self.nodes.iter().map(|board| board.name.as_str()).chain(sources).collect();
        // One that stands behind a board or a source leaves that board of its own voltage before it.
        let unplaced = |transformer: &TransformerBasis| {
            let from = transformer.from.as_deref().map(str::trim).filter(|from| !from.is_empty());
            !of_supply && transformer.secondary_voltage_v.is_some() && !from.is_some_and(|from| known.contains(from))
        };
        let all = basis.transformers.iter().enumerate();
        all.filter(|(index, transformer)| on_supply[*index] || !placed[*index] && unplaced(transformer))
            .map(|(_, transformer)| transformer)
            .collect()
    }

    fn feed_is_stated(&self, index: usize, basis: &Basis) -> bool {
        let node = &self.nodes[index];
        let named = node.board.and_then(|board| basis.boards.get(board)?.fed_from.as_deref()).is_some();
        named || node.parent != Parent::Supply || node.transformer.is_some()
    }

    fn settle(&mut self, index: usize, described: Described, above: Described, basis: &Basis) {
        let node = &mut self.nodes[index];
        let from_above = above.voltage.map(|volts| if above.without_load { nominal_behind(volts) } else { volts });
        // Behind a machine alone the loads are those of the supply's voltage, unless the board or a transformer says otherwise.
        let of_machine = if matches!(node.parent, Parent::Source(_)) { basis.supply.voltage_v } else { None };
        // Where nothing gives it one, it has the voltage that its circuits take for theirs.
        let taken = || basis.board_voltage(&node.name);
        node.voltage = described.voltage.or(from_above).or(of_machine).or_else(taken).map_or(node.voltage, Volts);
        node.phases = conductors::phases_of_board(basis, &node.name);
        node.system = described.system.or(above.system);
        node.earthing = conductors::earthing_of_board(basis, &node.name).map(str::to_owned);
    }

    fn described_by_basis(&self, index: usize, basis: &Basis) -> Described {
        let board = self.nodes[index].board.and_then(|board| basis.boards.get(board));
        Described {
            voltage: board.and_then(|board| board.voltage_v),
            phases: board.and_then(|board| board.phases),
            system: board.and_then(|board| board.system.clone()),
            ..Described::default()
        }
    }

    /// Voltage and system that come to a board from its parent, or from the transformer before it.
    fn above(&self, index: usize, basis: &Basis) -> Described {
        let (node, supply) = (&self.nodes[index], &basis.supply);
        let mut above = match node.parent {
            Parent::Board(parent) => {
                let parent = &self.nodes[parent];
                Described {
                    voltage: Some(parent.voltage.0).filter(|volts| *volts > 0.0),
                    system: parent.system.clone(),
                    middle: has_middle(parent.system.as_deref(), parent.phases),
                    ..Described::default()
                }
            }
            Parent::Unknown => Described::default(),
            Parent::Supply | Parent::Source(_) => Described {
                // A source has the voltage of what it feeds.
                voltage: supply.voltage_v.filter(|_| node.parent == Parent::Supply),
                system: supply.system.clone(),
                middle: supply.phases == Some(1) && has_middle(supply.system.as_deref(), 1),
                ..Described::default()
            },
        };
        if let Some(transformer) = node.transformer.and_then(|transformer| basis.transformers.get(transformer)) {
            // Behind a transformer the system is another one.
            let same = matches!(node.parent, Parent::Supply | Parent::Source(_));
            above.middle = false;
            above.without_load = transformer.secondary_voltage_v.is_some();
            above.voltage = transformer.secondary_voltage_v.or(supply.voltage_v.filter(|_| same));
            above.system = system_behind(transformer, Some(supply).filter(|_| same)).map(str::to_owned);
        }
        above
    }

    /// Takes a board away from what feeds it.
    fn part(&mut self, index: usize) {
        if let Parent::Board(parent) = self.nodes[index].parent {
            self.nodes[parent].children.retain(|child| *child != index);
        }
        let node = &mut self.nodes[index];
        (node.parent, node.transformer) = (Parent::Unknown, None);
        node.alternatives.clear();
    }

    /// Boards between each and its source, once it is known which are parted from what they name.
    fn count_depths(&mut self) {
        for index in 0..self.nodes.len() {
            // A parent stands before its boards.
            let parent = if let Parent::Board(parent) = self.nodes[index].parent { Some(parent) } else { None };
            self.nodes[index].depth = parent.map_or(0, |parent| self.nodes[parent].depth + 1);
        }
    }
}

/// A board's voltage and system, as far as they are known.
#[derive(Default)]
struct Described {
    voltage: Option<f64>,
    /// The voltage is that of a transformer without load.
    without_load: bool,
    /// Its neutral is the middle of a winding, with half of the voltage to each end.
    middle: bool,
    phases: Option<u32>,
    system: Option<String>,
}

impl Described {
    /// The voltage of a board comes from this one above it without a transformer: the same nominal one, or that of one phase to the
    /// neutral, be it the middle of a star or of a winding.
    fn makes(&self, voltage: f64, phases: Option<u32>) -> bool {
        let Some(line) = self.voltage else { return true };
        let to_neutral = || is_same_voltage(voltage, line / 3f64.sqrt()) || self.middle && is_same_voltage(voltage, line / 2.0);
        is_same_voltage(voltage, line) || phases == Some(1) && to_neutral()
    }
}

fn node(feed: &feeds::Feed, parent: Option<usize>, basis: &Basis) -> Node {
    let board = feed.board.and_then(|board| basis.boards.get(board));
    let parent = parent.map_or(feed.parent, Parent::Board);
    let from_board = matches!(parent, Parent::Board(_)) && feed.transformer.is_none();
    Node {
        name: feed.name.clone(),
        board: feed.board,
        parent,
        transformer: feed.transformer,
        alternatives: feed.alternatives.clone(),
        feeder: from_board || board.is_some_and(BoardBasis::describes_feeder),
        voltage: Volts(0.0),
        phases: 3,
        system: None,
        earthing: None,
        children: Vec::new(),
        depth: 0,
    }
}

/// The basis states fault currents of the board itself.
fn states_faults(board: &BoardBasis) -> bool {
    board.prospective_fault_ka.or(board.prospective_fault_min_ka).is_some()
}

/// Place of a key in the basis.
pub(super) fn place(basis_file: Option<&str>, key: &str) -> Place {
    Place { heading: Some(key.to_owned()), ..Place::file(basis_file.unwrap_or("basis")) }
}

/// A question after the name that was likely meant, else what names there are.
fn meant<'a>(name: &str, known: impl IntoIterator<Item = &'a str> + Clone) -> String {
    match nearest(name, known.clone()) {
        Some(near) => format!("did you mean `{near}`?"),
        None => {
            let some: Vec<&str> = known.into_iter().take(6).collect();
            if some.is_empty() {
                "name it in the basis".to_owned()
            } else {
                format!("add it to the basis, or write one of its names, such as {}", some.join(", "))
            }
        }
    }
}

#[cfg(test)]
mod tests;
