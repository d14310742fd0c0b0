//! What shows that a result holds: checks and steps of the working.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::record::PrintedStep;

/// A check: passed, failed, or not made because something is unknown.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Check {
    /// Name.
    pub name: String,
    /// What it is about, where a circuit has several: a role or a run.
    pub subject: String,
    /// What is demanded or occurs.
    pub value: Option<f64>,
    /// What is allowed or can be done.
    pub limit: Option<f64>,
    /// Unit of both.
    pub unit: String,
    /// Passed; null if not checked.
    pub passed: Option<bool>,
    /// Why it was not checked.
    pub not_checked_because: Option<String>,
    /// Distance to the limit in per cent of the limit; negative if it failed.
    pub margin_pct: Option<f64>,
    /// Clause or table.
    pub reference: String,
}

/// One step of a working.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct WorkingLine {
    /// What was worked out.
    pub quantity: String,
    /// The formula.
    pub formula: String,
    /// The numbers put in.
    pub with_numbers: String,
    /// The result.
    pub value: f64,
    /// Its unit.
    pub unit: String,
    /// Clause or table.
    pub reference: String,
}

impl From<PrintedStep> for WorkingLine {
    fn from(step: PrintedStep) -> Self {
        Self {
            quantity: step.quantity,
            formula: step.formula,
            with_numbers: step.with_numbers,
            value: step.value,
            unit: step.unit,
            reference: step.reference,
        }
    }
}
