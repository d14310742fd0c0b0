//! Where this book stops: services, systems and surroundings with rules of their own.

use crate::rules::services::NotCovered;

table! {
    /// Matters that this book does not cover, with the document to turn to.
    NOT_COVERED, NOT_COVERED_ROWS: NotCovered, "not-covered-articles"
}

/// Matters that this book does not cover.
#[must_use]
pub fn not_covered() -> &'static [NotCovered] {
    &NOT_COVERED_ROWS
}
