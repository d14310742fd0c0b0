//! What outputs state beside the results: assumptions, cautions, documents on which rules rest. design.json does not hold them.

use serde::Serialize;

/// A value that holds for the whole design.
#[derive(Clone, Debug, Serialize)]
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
#[derive(Clone, Debug, Serialize)]
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
#[derive(Clone, Debug, Serialize)]
pub struct SourceDocument {
    /// Table or rule in the program.
    pub table: String,
    /// Document, edition and clause.
    pub source: String,
    /// How far it was confirmed.
    pub status: String,
}
