//! Voltages of the boards while loads run and while one starts: constant power for what runs, constant impedance for what starts.
//!
//! Each feed of the boards (the supply, a generator) is a network of its own. Where single-phase loads unbalance it, each phase is solved
//! as if the others were loaded like it, and the worst counts; what the neutral adds is left out, but for single-phase boards, whose
//! both conductors count. A soft starter holds its current while the voltage dips; it is taken as the impedance that draws its limit at
//! rated voltage, like every other start.

use super::connected::Connected;
use super::phases::Assignment;
use super::together::Together;
use super::tree::{Parent, Tree};
use crate::basis::{Basis, SourceBasis};
use crate::design::WorkingLine;
use crate::finding::{Finding, codes};
use crate::quantity::{Impedance, Ohms, Volts, round_to};
use crate::record::Record;
use crate::rules::physics::load_flow::Solution;
use crate::rules::physics::loading;

mod places;
mod terminals;
#[cfg(test)]
mod tests;

pub(super) use places::Places;
pub use terminals::{StartAtTerminals, starts as starts_at_terminals};

/// The voltage that is left at a board.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Voltage {
    /// While all loads run that run together, per cent of nominal; none where the network before it is unknown.
    pub running_pct: Option<f64>,
    /// Drop along the feeders from the main board, per cent of nominal.
    pub feeder_drop_pct: Option<f64>,
    /// Impedance between the source and the board at running temperature, a phase.
    pub path: Option<Impedance>,
}

/// The impedance between a board and its parent, at running temperature and at the board's own voltage.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Link {
    /// The transformer before the feeder, a phase; nothing without one.
    pub transformer: Impedance,
    /// The feeder, a phase.
    pub feeder: Impedance,
    /// Voltage of the transformer without load over the nominal voltage of the board; 1 without one.
    pub ratio: f64,
}

impl Default for Link {
    fn default() -> Self {
        Self { transformer: Impedance::default(), feeder: Impedance::default(), ratio: 1.0 }
    }
}

/// A supply or source that may feed the boards.
#[derive(Clone, Debug, PartialEq)]
pub struct Feed {
    /// Name, as findings call it.
    pub name: String,
    /// The boards that it feeds: those behind this.
    pub parent: Parent,
    /// Impedance between its voltage without load and the boards, a phase; none where it is unknown.
    pub impedance: Option<Impedance>,
    /// Voltage at which that impedance is stated.
    pub voltage: Volts,
}

impl Feed {
    /// A generator in the place of what else feeds the boards: behind its subtransient reactance its voltage holds while a motor
    /// begins to start. None where rating or reactance is not stated.
    #[must_use]
    pub fn generator(name: String, source: &SourceBasis, parent: Parent, voltage: Volts) -> Option<Self> {
        let (kva, reactance) = (source.kva?, source.subtransient_reactance_pct?);
        (kva > 0.0 && reactance > 0.0 && voltage.0 > 0.0).then(|| Self {
            name,
            parent,
            impedance: Some(Impedance { r: Ohms(0.0), x: Ohms(reactance / 100.0 * voltage.0 * voltage.0 / (kva * 1000.0)) }),
            voltage,
        })
    }
}

/// The boards with their loads and with what lies between them.
#[derive(Clone, Copy)]
pub struct Grid<'a> {
    /// Boards.
    pub tree: &'a Tree,
    /// Loads.
    pub rows: &'a [Connected],
    /// Phases of single-phase loads.
    pub phases: &'a Assignment,
    /// Who runs with whom.
    pub together: &'a Together,
    /// Basis.
    pub basis: &'a Basis,
    /// The link before each board; none where that is unknown.
    pub links: &'a [Option<Link>],
    /// The impedance of a phase that the smallest fault current stated for each board gives: it stands for the network before the
    /// board where that is unknown.
    pub stated: &'a [Option<Impedance>],
}

/// The largest start of a board.
#[derive(Clone, Debug, PartialEq)]
pub struct Dip {
    /// The row that starts.
    pub row: usize,
    /// Voltage of the board before, per cent of nominal.
    pub before_pct: f64,
    /// And while it starts.
    pub during_pct: f64,
    /// Dip of the board, per cent of nominal.
    pub board_pct: f64,
    /// Dip at the terminals of what starts, against its own board before; none where its cable or what lies before its board is unknown.
    pub terminals_pct: Option<f64>,
    /// Working.
    pub working: Vec<WorkingLine>,
}

/// Voltages behind one feed.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Voltages {
    /// Name of the feed.
    pub feed: String,
    /// Voltage of each board.
    pub boards: Vec<Voltage>,
    /// The largest start of each board; none where nothing starts or the network is unknown.
    pub dips: Vec<Option<Dip>>,
    /// Limits of what the network can tell, and dips beyond the limit.
    pub findings: Vec<Finding>,
}

/// Impedance of the cable of a row's motor; none where it is unknown, and then its terminals are its board.
pub type CableOf<'a> = &'a (dyn Fn(usize) -> Option<Impedance> + Sync);

/// Largest dip that the basis allows when motors start by themselves, per cent, and the key that says so.
#[must_use]
pub fn dip_limit(basis: &Basis) -> Option<(f64, &'static str)> {
    let of_starting = basis.starting.direct_limit_dip_pct.map(|limit| (limit, "starting.direct_limit_dip_pct"));
    of_starting.or_else(|| basis.design.starting_drop_pct.map(|limit| (limit, "design.starting_drop_pct")))
}

/// Voltages of the boards behind a feed: while all loads run that run together, and while the largest start of each board
/// (`largest`, by its row) happens beside the rest of the whole network.
#[must_use]
pub fn of(grid: &Grid<'_>, feed: &Feed, largest: &[Option<usize>], cable: CableOf<'_>) -> Voltages {
    let places = Places::behind(grid, feed);
    let mut found = Voltages {
        feed: feed.name.clone(),
        boards: vec![Voltage::default(); grid.tree.nodes.len()],
        dips: vec![None; grid.tree.nodes.len()],
        findings: Vec::new(),
    };
    let running: Option<Vec<Solution>> = (0..places.phases()).map(|phase| places.solve(phase, &places.running)).collect();
    let Some(running) = running else {
        found.findings.push(no_solution(feed, "while all loads run that run together"));
        return found;
    };
    for (board, voltage) in found.boards.iter_mut().enumerate() {
        *voltage = places.voltage(board, &running);
    }
    found.dips = dips(grid, &places, largest, cable);
    for (board, dip) in found.dips.iter().enumerate() {
        found.findings.extend(dip.as_ref().and_then(|dip| too_deep(grid, feed, board, dip)));
    }
    let unsolved = |(board, row): (usize, &Option<usize>)| {
        row.filter(|row| places.known(board) && places.reaches(grid.rows[*row].node) && found.dips[board].is_none())
            .map(|row| grid.rows[row].tag.as_str())
    };
    let mut tags: Vec<&str> = largest.iter().enumerate().filter_map(unsolved).collect();
    tags.sort_unstable();
    tags.dedup();
    if !tags.is_empty() {
        found.findings.push(no_solution(feed, &format!("while {} starts beside what runs", crate::finding::named(&tags))));
    }
    found
}

/// Dips of all boards; a start that is the largest of several boards is solved once.
fn dips(grid: &Grid<'_>, places: &Places<'_>, largest: &[Option<usize>], cable: CableOf<'_>) -> Vec<Option<Dip>> {
    let mut solved: std::collections::BTreeMap<usize, Option<places::Start>> = std::collections::BTreeMap::new();
    let dip_of = |board: usize| {
        let row = largest.get(board).copied().flatten().filter(|_| places.known(board))?;
        let start = solved.entry(row).or_insert_with(|| places.start(row, cable(row))).as_ref()?;
        let (before_pct, during_pct) = places.deepest(board, start)?;
        let mut record = Record::new();
        let board_pct = loading::dip(&mut record, before_pct, during_pct);
        let (steps, _) = record.into_parts();
        let working = steps.iter().map(Into::into).collect();
        Some(Dip { row, before_pct, during_pct, board_pct, terminals_pct: start.terminals_pct, working })
    };
    (0..grid.tree.nodes.len()).map(dip_of).collect()
}

fn no_solution(feed: &Feed, when: &str) -> Finding {
    Finding::new(&codes::B211_NO_SOLUTION, format!("behind {} no voltage holds {when}", feed.name))
        .why("feeders, transformers or the source are too weak by far for these loads; voltages and dips are not checked")
        .cure("correct lengths, conductors and ratings, or feed fewer loads")
}

fn too_deep(grid: &Grid<'_>, feed: &Feed, board: usize, dip: &Dip) -> Option<Finding> {
    let limit = grid.basis.starting.direct_limit_dip_pct?;
    (!crate::quantity::fits(dip.board_pct, limit)).then(|| {
        Finding::new(
            &codes::B212_START_DIP,
            format!(
                "the start of {} dips board {} by {} % when {} feeds it; the basis allows {limit} %",
                grid.rows[dip.row].tag,
                grid.tree.nodes[board].name,
                round_to(dip.board_pct, 1),
                feed.name
            ),
        )
        .at(grid.rows[dip.row].place.clone())
        .why("contactors, lamps and other motors on the board see it")
        .cure("start it another way, on a stronger feed, or agree the dip with those who share the supply")
        .reference("basis, starting.direct_limit_dip_pct")
    })
}
