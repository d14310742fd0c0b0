//! The rule books. A book states demands and lists, never devices; what both books share stands in [`physics`].
//!
//! Clause functions take quantities, not loads, so that published examples can call them with their own figures. Numbers from
//! standards live in `tables/*.csv` beside the book, each with its source, edition and status; they are parsed once.

#[macro_use]
mod formula;

pub mod book;
pub mod cautions;
pub mod conductors;
pub mod iec;
pub mod nec;
pub mod physics;
pub mod table;

/// Every formula of every book, for the test that compares their forms and for those who print a list.
#[must_use]
pub fn formulas() -> Vec<&'static crate::record::Formula> {
    [physics::formulas(), iec::formulas(), nec::formulas()].concat()
}

/// Every table of every book.
#[must_use]
pub fn documents() -> Vec<&'static table::Document> {
    [physics::DOCUMENTS, iec::DOCUMENTS, nec::DOCUMENTS].concat()
}

pub use book::{Category, ClassDemand, Duty, LifeCurve, RatedCurrents, RuleBook, SwitchingDemand};

/// Rule books of this version.
pub const NAMES: &[&str] = &["iec"];

/// The rule book of a name.
#[must_use]
pub fn book(name: &str) -> Option<&'static dyn RuleBook> {
    match name.trim().to_lowercase().as_str() {
        "iec" => Some(&iec::Iec),
        _ => None,
    }
}
