//! Writes what was decided and decides nothing: workbook, submittal, lists, JSON.
//!
//! Every writer takes a [`ReportInput`] and gives bytes; the orchestrator alone touches files.

use std::borrow::Cow;

use crate::basis::Basis;
use crate::design::Design;
use crate::intake::{Grid, Mapping, Skipped};
use crate::record::Step;
use crate::rules::units::Units;

pub mod blank;
pub mod changes;
pub mod columns;
pub mod drawings;
pub mod lists;
pub mod output;
pub mod submittal;
pub mod text;
pub mod totals;
pub mod unread;
pub mod workbook;
pub mod working;

#[cfg(test)]
mod fixture;
#[cfg(test)]
mod tests;

/// Everything that writers work from.
pub struct ReportInput<'a> {
    /// The design.
    pub design: &'a Design,
    /// The sender's sheets as they stood; empty when the design was read from JSON.
    pub grids: &'a [Grid],
    /// For each circuit of the design, in order: index of its grid and row from zero in it.
    pub rows: &'a [(usize, u32)],
    /// How each of the sender's columns was read.
    pub mappings: &'a [Mapping],
    /// The sender's rows that are no loads, and why.
    pub skipped: &'a [Skipped],
    /// The basis.
    pub basis: &'a Basis,
    /// The assumptions that were made, each with its value and why, as key, value, origin.
    pub assumptions: &'a [Assumption],
    /// Cautions that apply to this design.
    pub cautions: &'a [Caution],
    /// Documents on which the rules rest.
    pub sources: &'a [SourceDocument],
    /// Sizes a circuit again and gives its working, for circuits of which the design keeps none.
    pub working: &'a (dyn Fn(usize) -> Vec<Step> + Sync),
}

pub use crate::catalogue::DEMONSTRATION;
pub use crate::design::{Assumption, Caution, SourceDocument};
pub use crate::rules::words;

impl ReportInput<'_> {
    /// The working of a circuit: as the design keeps it, else worked out again.
    #[must_use]
    pub fn steps(&self, index: usize) -> Cow<'_, [Step]> {
        match self.design.circuits.get(index).map(|circuit| circuit.working.steps()) {
            Some(kept) if !kept.is_empty() => Cow::Borrowed(kept),
            _ => Cow::Owned((self.working)(index)),
        }
    }

    /// Units in which the reports are read: those of the rule book.
    #[must_use]
    pub fn units(&self) -> Units {
        Units::of(&self.design.rule_book)
    }

    /// Letter paper instead of A4: as the basis asks, else as is usual where the rule book is.
    #[must_use]
    pub fn letter(&self) -> bool {
        self.basis.report.paper.as_deref().unwrap_or(self.units().paper()).eq_ignore_ascii_case("letter")
    }
}

/// The one-sentence caution of every page.
pub const CAUTION_LINE: &str =
    "A calculation aid: the locally adopted code, the makers' instructions and the judgement of a licensed person prevail.";
