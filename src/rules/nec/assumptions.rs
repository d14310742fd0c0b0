//! Assumptions of this book for a whole design where the basis leaves it open.

use crate::rules::assumptions::Assumed;

table! {
    /// Assumptions, each with the clause or reason.
    ASSUMED, ASSUMED_ROWS: Assumed, "assumptions-articles"
}

/// The assumptions, in the order in which they are printed.
#[must_use]
pub fn all() -> &'static [Assumed] {
    &ASSUMED_ROWS
}
