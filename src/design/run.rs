//! Cable runs with their criteria and their raceway.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A cable run.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Run {
    /// `supply`, `motor`, `motor-low`, `star-delta-leads` or `control`.
    pub role: String,
    /// What a control cable serves, such as `space heater`; empty where the role says all.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub purpose: String,
    /// So many runs alike, each of this length: one to each of several motors behind one starter.
    #[serde(default = "super::one")]
    pub count: u32,
    /// Size of a phase conductor, with its unit.
    pub phase_size: String,
    /// The same as an area.
    pub phase_area_mm2: f64,
    /// Conductors in parallel a phase.
    pub per_phase: u32,
    /// Size of the neutral, where there is one.
    pub neutral_size: Option<String>,
    /// Size of the protective conductor.
    pub protective_size: String,
    /// `copper` or `aluminium`.
    pub material: String,
    /// Insulation.
    pub insulation: String,
    /// How it is laid.
    pub installation: String,
    /// Length, one way.
    pub length_m: f64,
    /// Cores that lead from end to end, the protective conductor included; of several cables side by side those of all, the protective
    /// conductor counted once.
    pub cores: u32,
    /// Cables side by side that hold the cores of one set: two where six leads run in two cables of three, else 1.
    #[serde(default = "super::one")]
    pub cables: u32,
    /// Corrected capacity of the run.
    pub capacity_a: f64,
    /// Capacity that was required.
    pub required_a: f64,
    /// Criterion that governs the size.
    pub governed_by: String,
    /// Longest length at which the size holds, where a length governs.
    pub holds_to_m: Option<f64>,
    /// Circuits side by side, itself included, for which the size still holds; told where nobody states how many lie together.
    #[serde(default)]
    pub holds_for_circuits: Option<u32>,
    /// Every criterion with the smallest size that it admits.
    pub criteria: Vec<CriterionSize>,
    /// Raceway, if the rule book asks for one.
    pub raceway: Option<Raceway>,
    /// Part number of the cable.
    pub part: String,
    /// Resistance of a phase at running temperature, all its conductors together; null without a length.
    #[serde(default)]
    pub resistance_ohm: Option<f64>,
    /// Reactance of the same.
    #[serde(default)]
    pub reactance_ohm: Option<f64>,
}

impl Run {
    /// Cores of one of its cables, which has a protective conductor of its own.
    #[must_use]
    pub fn cores_of_one_cable(&self) -> u32 {
        if self.cables > 1 { self.cores.saturating_sub(1) / self.cables + 1 } else { self.cores }
    }
}

/// A criterion and the smallest size that it admits.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct CriterionSize {
    /// Name of the criterion.
    pub criterion: String,
    /// Smallest size that it admits; empty if not checked or if none holds.
    pub size: String,
}

/// A raceway.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Raceway {
    /// Kind, such as `emt`.
    pub kind: String,
    /// Trade size.
    pub trade_size: String,
    /// Share of its area that is filled.
    pub fill_pct: f64,
}
