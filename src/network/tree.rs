//! Who feeds whom: the boards of schedule and basis as trees under their sources.

use crate::finding::Finding;
use crate::quantity::Volts;

/// What stands before a board.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Parent {
    /// The supply of the basis, `[supply]`.
    Supply,
    /// A source of the basis, by its place in `[[source]]`.
    Source(usize),
    /// Another board, by its place in [`Tree::nodes`]; it always stands before this one.
    Board(usize),
}

/// A board in its tree.
#[derive(Clone, Debug, PartialEq)]
pub struct Node {
    /// Name.
    pub name: String,
    /// Its place in `[[board]]` of the basis; none for a board that only the schedule names.
    pub board: Option<usize>,
    /// What stands before it.
    pub parent: Parent,
    /// The transformer between the two, by its place in `[[transformer]]`; the feeder lies behind it.
    pub transformer: Option<usize>,
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
}

/// The boards, each after what feeds it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Tree {
    /// Boards.
    pub nodes: Vec<Node>,
    /// What is wrong with the tree: unknown names, circles, two parents.
    pub findings: Vec<Finding>,
}
