//! The terms that each row adds to the feeders above it: how many circuits run with the others, which rest in the place of which,
//! and on which phases they stand.

use crate::network::feeders::Boards;
use crate::network::phases::{Connection, Spread};
use crate::network::tree::Parent;
use crate::quantity::Amperes;
use crate::record::Record;
use crate::rules::RuleBook;
use crate::rules::feeders::{FeederItem, FeederTerm};
use crate::sizing::Tools;

/// How a row counts on feeders.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Counted {
    /// Circuits that may run together, apart from what a set allows: none for an equipped spare way.
    pub circuits: u32,
    /// Set of rows of which only some run: its place in [`Boards::sets`].
    pub set: Option<usize>,
    /// Phases of its board on which its circuits stand; none where each loads all of them.
    pub spread: Option<Spread>,
}

impl Default for Counted {
    fn default() -> Self {
        Self { circuits: 1, set: None, spread: None }
    }
}

/// Circuits of an item that each phase of a feeder carries; none where all of them load every phase.
type PerPhase = Option<[u32; 3]>;

/// The items of one feeder, referred to its voltage.
#[derive(Clone, Debug, Default)]
pub struct Items {
    /// Items; those of rows first, in the order of `rows`, then what is there already.
    pub items: Vec<FeederItem>,
    /// Row of each item; none for what is there already.
    pub rows: Vec<Option<usize>>,
    phases: Vec<PerPhase>,
    /// Voltage of the row's board over that of the feeder, where a transformer stands between.
    ratios: Vec<f64>,
    /// Tags of rows that run and whose terms are unknown.
    pub unknown: Vec<String>,
    /// A load of the board itself, or of one behind it without a transformer, uses the neutral, with one phase or with three, or its
    /// coils do.
    pub neutral: bool,
    /// Rated current of the motor on the line that draws most more when it stalls, and what it draws then.
    pub stalled: Option<[Amperes; 2]>,
    /// A drive stands there: what its filter lets flow to earth comes back along the protective conductor of this feeder.
    pub drives: bool,
}

/// Rows of each board.
#[must_use]
pub fn by_board(boards: &Boards<'_>) -> Vec<Vec<usize>> {
    let mut rows = vec![Vec::new(); boards.tree.nodes.len()];
    for (index, row) in boards.rows.iter().enumerate() {
        if let Some(of_board) = rows.get_mut(row.node) {
            of_board.push(index);
        }
    }
    rows
}

/// A board behind a feeder.
#[derive(Clone, Copy)]
struct Behind {
    board: usize,
    /// Its voltage over that of the board that the feeder brings to.
    ratio: f64,
    /// The neutral reaches it.
    joined: bool,
    /// Phases of the feeder on which the two legs of a board of one phase stand.
    legs: Option<[usize; 2]>,
}

impl Behind {
    /// Circuits on each phase of the feeder.
    fn per_phase(&self, spread: Spread) -> [u32; 3] {
        let mut circuits = [0; 3];
        for (connection, number) in spread.connections() {
            for phase in connection.loaded(self.legs.is_none()).into_iter().flatten() {
                circuits[self.legs.map_or(phase, |legs| legs[phase.min(1)])] += number;
            }
        }
        // Both legs of a board on one phase: a load between them counts once.
        circuits.map(|number| number.min(spread.circuits.iter().sum()))
    }

    /// The legs of a board of one phase that this one feeds: those of its own phase or pair of phases.
    fn legs_of(&self, connection: Connection) -> [usize; 2] {
        let phases = connection.loaded(self.legs.is_none()).map(|phase| phase.unwrap_or(connection.phase));
        phases.map(|phase| self.legs.map_or(phase, |legs| legs[phase.min(1)]))
    }
}

/// The boards behind a feeder, its own board first.
fn behind(boards: &Boards<'_>, from: usize) -> Vec<Behind> {
    let tree = boards.tree;
    let legs = (tree.nodes[from].phases == 1).then_some([0, 1]);
    let mut found = vec![Behind { board: from, ratio: 1.0, joined: true, legs }];
    let mut next = 0;
    while let Some(before) = found.get(next).copied() {
        next += 1;
        let node = &tree.nodes[before.board];
        for child in node.children.iter().copied().filter(|child| *child > before.board && *child < tree.nodes.len()) {
            let board = &tree.nodes[child];
            let transformed = board.transformer.is_some() && board.voltage.0 > 0.0 && node.voltage.0 > 0.0;
            let step =
                if transformed && board.parent == Parent::Board(before.board) { board.voltage.0 / node.voltage.0 } else { 1.0 };
            let connection = boards.connections.get(child).copied().flatten();
            found.push(Behind {
                board: child,
                ratio: before.ratio * step,
                joined: before.joined && board.transformer.is_none(),
                legs: (board.phases == 1).then(|| connection.map_or([0, 1], |connection| before.legs_of(connection))),
            });
        }
    }
    found
}

/// The items of the feeder of a board.
#[must_use]
pub fn of(boards: &Boards<'_>, by_board: &[Vec<usize>], index: usize, tools: &Tools<'_>) -> Items {
    let mut items = Items::default();
    let behind = behind(boards, index);
    for behind in &behind {
        for row in by_board.get(behind.board).into_iter().flatten() {
            items.add_row(boards, *row, behind);
        }
    }
    items.choose_of_sets(boards, tools.book);
    for Behind { board, ratio, .. } in &behind {
        let there = boards.tree.nodes[*board].board.and_then(|board| tools.basis.boards.get(board)?.existing_load_a);
        if let Some(amperes) = there.filter(|amperes| *amperes > 0.0) {
            // Nobody says how long the load that is there already lasts: it counts as continuous.
            let term = FeederTerm { current: Amperes(amperes * ratio), continuous: true, ..FeederTerm::default() };
            items.push(None, FeederItem { term, running: 1, displaces: None }, None, *ratio);
        }
    }
    items
}

impl Items {
    fn push(&mut self, row: Option<usize>, item: FeederItem, phases: PerPhase, ratio: f64) {
        self.items.push(item);
        self.rows.push(row);
        self.phases.push(phases);
        self.ratios.push(ratio);
    }

    fn add_row(&mut self, boards: &Boards<'_>, row: usize, behind: &Behind) {
        let Behind { ratio, joined, .. } = *behind;
        let connected = &boards.rows[row];
        let counted = boards.counted.get(row).copied().unwrap_or_default();
        self.neutral |= joined && (connected.with_neutral || connected.coils_to_neutral);
        self.drives |= joined && connected.nonlinear;
        if let Some((ratio, rated)) = connected.feeds_fault.filter(|_| joined) {
            let currents = [rated, rated * ratio];
            let more = |currents: [Amperes; 2]| currents[1].0 - currents[0].0;
            self.stalled = self.stalled.filter(|other| more(*other) >= more(currents)).or(Some(currents));
        }
        let Some(term) = connected.term else {
            if counted.circuits > 0 {
                self.unknown.push(connected.tag.clone());
            }
            return;
        };
        let item = FeederItem { term: term.referred(ratio), running: counted.circuits, displaces: None };
        self.push(Some(row), item, counted.spread.map(|spread| behind.per_phase(spread)), ratio);
    }

    /// In every set the circuits that add most run; the others rest in the place of the smallest that runs.
    fn choose_of_sets(&mut self, boards: &Boards<'_>, book: &dyn RuleBook) {
        let mut members: Vec<Vec<usize>> = vec![Vec::new(); boards.sets.len()];
        for (index, row) in self.rows.iter().enumerate() {
            let set = row.and_then(|row| boards.counted.get(row)?.set);
            if let Some(member) = set.and_then(|set| members.get_mut(set)) {
                member.push(index);
            }
        }
        for (set, mut member) in members.into_iter().enumerate() {
            let value = |items: &[FeederItem], index: usize| book.feeder_value(&items[index].term).0;
            member.sort_by(|a, b| value(&self.items, *b).total_cmp(&value(&self.items, *a)).then(a.cmp(b)));
            let mut left = boards.sets[set];
            let mut smallest = None;
            for index in member {
                let item = &mut self.items[index];
                let runs = item.running.min(left);
                if runs == 0 && item.running > 0 {
                    item.displaces = smallest;
                }
                item.running = runs;
                left -= runs;
                if runs > 0 {
                    smallest = Some(index);
                }
            }
        }
    }

    /// Puts the ratings of branch devices that were chosen in the place of the largest that are permitted.
    pub(super) fn put_devices(&mut self, chosen: impl Fn(usize) -> Option<Amperes>) {
        for ((item, row), ratio) in self.items.iter_mut().zip(&self.rows).zip(&self.ratios) {
            let Some(rating) = row.and_then(&chosen).map(|current| current * *ratio) else { continue };
            // The smaller of the two, where a device of the feeder's kind would have been given less.
            item.term.as_feeder = Some(item.term.as_feeder.map_or(rating, |current| current.min(rating)));
            item.term.branch = Some(rating);
        }
    }

    /// Voltage of a row's board over that of the feeder.
    #[must_use]
    pub fn ratio_of(&self, row: usize) -> Option<f64> {
        self.rows.iter().position(|known| *known == Some(row)).map(|index| self.ratios[index])
    }

    /// The items of the phase whose conductor must carry most; those of other phases do not run there.
    #[must_use]
    pub fn of_fullest_phase(&self, book: &dyn RuleBook) -> Vec<FeederItem> {
        if self.phases.iter().all(Option::is_none) {
            return self.items.clone();
        }
        let phases = (0..3).map(|phase| self.of_phase(phase));
        let capacity = |items: &[FeederItem]| book.feeder_need(items, Amperes(0.0), &mut Record::silent()).capacity.0;
        let fullest = phases.reduce(|a, b| if capacity(&a) >= capacity(&b) { a } else { b });
        fullest.unwrap_or_default()
    }

    /// Of the circuits of a row that run, those on this phase: never more than stand there.
    fn of_phase(&self, phase: usize) -> Vec<FeederItem> {
        let of_item = |(item, phases): (&FeederItem, &PerPhase)| {
            let running = phases.map_or(item.running, |circuits| item.running.min(circuits[phase]));
            let stands_here = phases.is_none_or(|circuits| circuits[phase] > 0);
            FeederItem { running, displaces: item.displaces.filter(|_| stands_here), ..*item }
        };
        self.items.iter().zip(&self.phases).map(of_item).collect()
    }
}
