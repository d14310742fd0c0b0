//! The boards, tried again from their circuits, the catalogue, the rules and the basis: who feeds whom, sums, feeders, transformers, fault
//! currents, dips, heat and width.
//!
//! A figure that follows from others that the design holds is worked out again and compared. One that leans on choices that it does not
//! hold (which circuits of a long chain of interlocks run, on which phase a load stands) is held between the least and the most that these
//! can give.

use std::cell::OnceCell;
use std::collections::BTreeSet;

use crate::basis::Basis;
use crate::conductors::pair_is_to_neutral;
use crate::design::{Board, Circuit, Design, Run};
use crate::finding::Code;
use crate::rules::RuleBook;
use crate::rules::feeders::FeederImpedance;
use crate::rules::physics::nominal::is_same_voltage;
use crate::verify::Disagreements;
use crate::verify::shelf::Shelf;

mod by_others;
mod checks;
mod dips;
mod faults;
mod feeders;
mod legs;
mod loads;
mod room;
mod span;
mod sums;
mod together;
mod transformers;
mod tree;

use loads::Loads;
use together::Restrictions;
use tree::{Place, Tree};

/// All that boards are held against.
struct Boards<'a> {
    design: &'a Design,
    basis: &'a Basis,
    book: &'static dyn RuleBook,
    shelf: &'a Shelf<'a>,
    tree: Tree<'a>,
    loads: Loads<'a>,
    /// Board of each circuit.
    board_of: Vec<Option<usize>>,
    /// Circuits of each board, ascending.
    circuits_on: Vec<Vec<usize>>,
    restrictions: Restrictions<'a>,
    locked_rotors: Option<faults::LockedRotors>,
    /// Tags of circuits the runs to whose machines have impedances.
    known_cables: BTreeSet<&'a str>,
    /// Facts of a feeder that are asked for over and over, once they were worked out: whether rules for motors rate its device, its
    /// impedances.
    by_motors: Vec<OnceCell<bool>>,
    impedances: Vec<OnceCell<Option<FeederImpedance>>>,
}

/// For each board of a design, it and all that it feeds, by their places in the design.
pub(super) fn behind(design: &Design) -> Vec<Vec<usize>> {
    let tree = Tree::of(design);
    (0..design.boards.len()).map(|index| tree.behind(index)).collect()
}

/// Tries every board.
pub(super) fn agree(
    design: &Design,
    book: &'static dyn RuleBook,
    shelf: &Shelf<'_>,
    others: &crate::verify::others::Others<'_>,
    found: &mut Disagreements,
) {
    let tree = Tree::of(design);
    let loads = Loads::of(design, book, shelf, others);
    // A board may feed a hundred thousand circuits, and there may be thousands of boards: both are looked up and not searched.
    let board_of: Vec<Option<usize>> = design.circuits.iter().map(|circuit| tree.place_of(&circuit.board)).collect();
    let mut circuits_on = vec![Vec::new(); tree.places.len()];
    board_of.iter().enumerate().filter_map(|(circuit, board)| Some((circuit, (*board)?))).for_each(|(circuit, board)| {
        circuits_on[board].push(circuit);
    });
    let restrictions = Restrictions::of(&design.circuits, &|circuit| loads.circuits[circuit].is_some());
    let locked_rotors = faults::LockedRotors::of(&tree, &loads);
    let (by_motors, impedances) = (vec![OnceCell::new(); tree.places.len()], vec![OnceCell::new(); tree.places.len()]);
    let known_cables = dips::known_cables(design);
    let basis = &design.basis;
    let boards = Boards {
        design,
        basis,
        book,
        shelf,
        tree,
        loads,
        board_of,
        circuits_on,
        restrictions,
        locked_rotors,
        known_cables,
        by_motors,
        impedances,
    };
    for (index, place) in boards.tree.places.iter().enumerate() {
        let mut said = |code: &Code, what: String| found.say(code, format!("board {}: {what}", place.board.name));
        tree::agree(&boards.tree, index, &mut said);
        checks::agree(&boards, place, &mut said);
        sums::agree(&boards, index, &mut said);
        legs::agree(&boards, index, &mut said);
        feeders::agree(&boards, index, &mut said);
        transformers::agree(&boards, index, &mut said);
        faults::agree(&boards, index, &mut said);
        dips::agree(&boards, index, &mut said);
        room::agree(&boards, index, &mut said);
        by_others::agree(&boards, index, &mut said);
    }
}

/// Where disagreements of a board go.
type Say<'s> = &'s mut dyn FnMut(&Code, String);

/// Two figures that differ by no more than what rounding to so many units and a share of them explains.
fn near(one: f64, other: f64, rounding: f64) -> bool {
    const SHARE: f64 = 2e-4;
    (one - other).abs() <= rounding + SHARE * one.abs().max(other.abs())
}

/// The same for figures that may be absent.
fn near_option(one: Option<f64>, other: Option<f64>, rounding: f64) -> bool {
    match (one, other) {
        (Some(one), Some(other)) => near(one, other, rounding),
        (None, None) => true,
        _ => false,
    }
}

impl<'a> Boards<'a> {
    /// The circuits that stand on a board itself.
    fn circuits_of(&self, index: usize) -> impl Iterator<Item = &'a Circuit> {
        self.circuits_on[index].iter().map(|circuit| &self.design.circuits[*circuit])
    }

    /// Lines that come to a board: three, or of one phase two, or one with the neutral.
    fn lines(&self, index: usize) -> u32 {
        let place = &self.tree.places[index];
        let line = self.tree.parent(index).filter(|before| place.transformer.is_none() && self.tree.phases(*before) == 3);
        let of_star = line.is_some_and(|before| {
            let star = self.tree.places[before].board.voltage_v / 3f64.sqrt();
            is_same_voltage(place.board.voltage_v, star)
        });
        match self.tree.phases(index) {
            1 if of_star || pair_is_to_neutral(self.basis, &place.board.name, self.book) => 1,
            1 => 2,
            _ => 3,
        }
    }

    /// A finding of the board bears that code.
    fn told(board: &Board, code: &Code) -> bool {
        board.findings.iter().any(|finding| finding.code == code.code)
    }

    /// The run between a board and what feeds it.
    fn run<'p>(place: &'p Place<'_>) -> Option<&'p Run> {
        place.board.feeder.run.as_ref()
    }
}
