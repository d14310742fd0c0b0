//! Devices and conductors that others chose: what the row states, and what becomes of it under the rule book.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What the rule book says of a device or conductor that somebody else chose.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Verdict {
    /// It holds.
    Adequate,
    /// It holds and is larger than needed.
    Oversized,
    /// It does not hold.
    Inadequate,
    /// The row does not say enough of it, or can't be read.
    #[default]
    NotChecked,
}

impl Verdict {
    /// The words that are printed.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Adequate => "adequate",
            Self::Oversized => "oversized",
            Self::Inadequate => "inadequate",
            Self::NotChecked => "not checked",
        }
    }
}

/// A choice of others with its verdict.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Given {
    /// Canonical column.
    pub column: String,
    /// The cell as it stood.
    pub given: String,
    /// What becomes of it.
    pub verdict: Verdict,
    /// What would do; empty where the program chose nothing in its place.
    pub wanted: String,
    /// Distance to the tightest limit that could be told, in per cent of it; negative if it is not kept.
    pub margin_pct: Option<f64>,
    /// Clause or table of that limit.
    pub reference: String,
    /// It is larger than needed, and protection is lost by that, or can't be shown any more.
    #[serde(default)]
    pub less_protection: bool,
    /// The limit in words, what follows from the choice, and what could not be checked of it.
    pub what_follows: String,
}
