//! Writes what was decided and decides nothing: workbook, submittal, lists, JSON.
//!
//! Every writer takes a [`ReportInput`] and gives bytes; the orchestrator alone touches files.

use crate::basis::Basis;
use crate::design::Design;
use crate::intake::Grid;
use crate::record::Step;

pub mod columns;
pub mod lists;
pub mod submittal;
pub mod workbook;

/// What writers work from.
pub struct ReportInput<'a> {
    /// The design.
    pub design: &'a Design,
    /// The sender's sheets as they stood; empty when the design was read from JSON.
    pub grids: &'a [Grid],
    /// For each circuit of the design, in order: index of its grid and row from zero in it.
    pub rows: &'a [(usize, u32)],
    /// The basis.
    pub basis: &'a Basis,
    /// The assumptions that were made, each with its value and why, as key, value, origin.
    pub assumptions: &'a [Assumption],
    /// Cautions that apply to this design.
    pub cautions: &'a [Caution],
    /// Documents on which the rules rest.
    pub sources: &'a [SourceDocument],
    /// Sizes a circuit again and gives its working. Computing is a thousandth of writing, so records are not kept.
    pub working: &'a (dyn Fn(usize) -> Vec<Step> + Sync),
}

/// A value that holds for the whole design.
#[derive(Clone, Debug, serde::Serialize)]
pub struct Assumption {
    /// What it is, such as `running voltage drop`.
    pub what: String,
    /// Value with unit.
    pub value: String,
    /// `basis`, `default` or a table.
    pub origin: String,
    /// Clause or reason.
    pub reference: String,
}

/// A caution.
#[derive(Clone, Debug, serde::Serialize)]
pub struct Caution {
    /// Its number.
    pub id: String,
    /// Its text.
    pub text: String,
    /// Where it comes from.
    pub source: String,
    /// Tags to which it applies; empty when it applies to all.
    pub applies_to: Vec<String>,
}

/// A document on which rules rest.
#[derive(Clone, Debug, serde::Serialize)]
pub struct SourceDocument {
    /// Table or rule in the program.
    pub table: String,
    /// Document, edition and clause.
    pub source: String,
    /// How far it was confirmed.
    pub status: String,
}

/// Sentence that every page of every output carries while the built-in range is in use.
pub const DEMONSTRATION: &str = "invented demonstration range: not for procurement";

/// The one-sentence caution of every page.
pub const CAUTION_LINE: &str =
    "A calculation aid: the locally adopted code, the makers' instructions and the judgement of a licensed person prevail.";
