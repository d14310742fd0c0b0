//! What shows that a result holds: checks and steps of the working.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::record::{PrintedStep, Step};

/// Which way a limit points.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Sense {
    /// The limit is a ceiling: the value stays below it or meets it.
    AtMost,
    /// The limit is a floor: the value reaches it.
    AtLeast,
}

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
    /// Whether the value must stay below the limit or reach it; null where the check was not made.
    #[serde(default)]
    pub sense: Option<Sense>,
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

/// Checks of a choice from a list or of yes and no: they are kept or not, and their margin says nothing. The terminals of a panel are
/// chosen by the conductor, which is often the largest that they take.
const WITHOUT_MARGIN: &[&str] = &["minimum-size", "phase-loss-sensitivity", "terminals"];
/// Checks of yes and no: their figures say nothing either.
const YES_OR_NO: &[&str] = &["phase-loss-sensitivity"];

impl Check {
    /// The figures are worth a look.
    #[must_use]
    pub fn has_figures(&self) -> bool {
        !YES_OR_NO.contains(&self.name.as_str())
    }

    /// How near the value is to the limit is worth a look.
    #[must_use]
    pub fn has_margin(&self) -> bool {
        self.passed != Some(true) || !WITHOUT_MARGIN.contains(&self.name.as_str())
    }

    /// Which way its limit points. A file that was written before checks said so tells it by the sign of the margin, and where the limit
    /// is met exactly by how it ended.
    #[must_use]
    pub fn points(&self) -> Sense {
        if let Some(sense) = self.sense {
            return sense;
        }
        let beyond = self.value > self.limit;
        let reached = match self.margin_pct {
            Some(margin) if margin != 0.0 => beyond == (margin > 0.0),
            _ => beyond == (self.passed == Some(true)),
        };
        if reached && self.value != self.limit { Sense::AtLeast } else { Sense::AtMost }
    }
}

/// One step of a working.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct WorkingLine {
    /// What was worked out.
    pub quantity: String,
    /// The formula.
    pub formula: String,
    /// The numbers put in, as they are printed.
    pub with_numbers: String,
    /// The same in full, in the order in which they are printed; empty of circuits, whose steps are worked out again where they are wanted.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub numbers: Vec<f64>,
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
            numbers: Vec::new(),
            value: step.value,
            unit: step.unit,
            reference: step.reference,
        }
    }
}

impl From<&Step> for WorkingLine {
    /// With its numbers in full, as nothing works a board's step out again.
    fn from(step: &Step) -> Self {
        let numbers = if step.numbers.iter().all(|number| number.is_finite()) { step.numbers.clone() } else { Vec::new() };
        Self { numbers, ..step.printed().into() }
    }
}
