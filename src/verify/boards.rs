//! The boards, tried again from their circuits, the catalogue, the rules and the basis: who feeds whom, sums, feeders, transformers, fault
//! currents, dips, heat and width.
//!
//! What follows from figures that the design holds is worked out again and compared; what leans on choices that it does not hold (which
//! circuits of a long chain of interlocks run, on which phase a load stands) is held between what these can give at least and at most.

use crate::basis::Basis;
use crate::design::{Board, Design, Run};
use crate::finding::Code;
use crate::rules::RuleBook;
use crate::verify::Disagreements;
use crate::verify::shelf::Shelf;

mod checks;
mod dips;
mod faults;
mod feeders;
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
    restrictions: Restrictions<'a>,
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
    let board_of = design.circuits.iter().map(|own| tree.places.iter().position(|place| place.board.name == own.board)).collect();
    let restrictions = Restrictions::of(&design.circuits, &|own| loads.own[own].is_some());
    let own = Boards { design, basis: &design.basis, book, shelf, tree, loads, board_of, restrictions };
    for (index, place) in own.tree.places.iter().enumerate() {
        let mut said = |code: &Code, what: String| found.say(code, format!("board {}: {what}", place.board.name));
        tree::agree(&own.tree, index, &mut said);
        checks::agree(&own, place, &mut said);
        sums::agree(&own, index, &mut said);
        feeders::agree(&own, index, &mut said);
        transformers::agree(&own, index, &mut said);
        faults::agree(&own, index, &mut said);
        dips::agree(&own, index, &mut said);
        room::agree(&own, index, &mut said);
    }
}

/// Where disagreements of a board go.
type Say<'s> = &'s mut dyn FnMut(&Code, String);

/// Two figures that differ by no more than what rounding to so many units and a share of them explains.
fn near(one: f64, other: f64, rounding: f64) -> bool {
    const SHARE: f64 = 2e-4;
    (one - other).abs() <= rounding + SHARE * one.abs().max(other.abs())
}

impl Boards<'_> {
    /// A finding of the board bears that code.
    fn told(board: &Board, code: &Code) -> bool {
        board.findings.iter().any(|own| own.code == code.code)
    }

    /// The run between a board and what feeds it.
    fn run<'p>(place: &'p Place<'_>) -> Option<&'p Run> {
        place.board.feeder.run.as_ref()
    }
}
