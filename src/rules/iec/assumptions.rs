//! What this book assumes for a whole design where the basis leaves it open.

use crate::rules::assumptions::Assumed;

table! {
    /// What is assumed, with the clause or reason.
    ASSUMED, ASSUMED_ROWS: Assumed, "assumptions"
}

/// What is assumed, in the order in which it is printed.
#[must_use]
pub fn all() -> &'static [Assumed] {
    &ASSUMED_ROWS
}
