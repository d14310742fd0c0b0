//! What circuits bring to their board.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Check, ControlSupply, Part, WorkingLine};
use crate::finding::Finding;

/// A board.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Board {
    /// Name.
    pub name: String,
    /// Board that feeds it.
    pub fed_from: Option<String>,
    /// Voltage.
    pub voltage_v: f64,
    /// Electrical input of all loads at rated output.
    pub connected_kw: f64,
    /// Current of the loads that run together, added as phasors.
    pub running_current_a: f64,
    /// Demand current.
    pub demand_current_a: f64,
    /// Largest motor.
    pub largest_motor_tag: String,
    /// Smallest capacity of the feeder.
    pub feeder_minimum_a: f64,
    /// Largest protection of the feeder.
    pub feeder_protection_maximum_a: Option<f64>,
    /// Chosen protection of the feeder.
    pub feeder_protection_a: f64,
    /// Conductor of the feeder.
    pub feeder_conductor: String,
    /// Largest fault current.
    pub prospective_fault_ka: Option<f64>,
    /// Smallest fault current.
    pub prospective_fault_min_ka: Option<f64>,
    /// Peak.
    pub peak_ka: Option<f64>,
    /// Dip while the largest motor starts.
    pub start_dip_pct: Option<f64>,
    /// Power of the control supplies that starters share: rated power of transformers and supplies, continuous power where the line
    /// feeds the coils.
    pub control_supply_va: f64,
    /// Heat.
    pub power_loss_w: f64,
    /// Width of the devices.
    pub width_mm: f64,
    /// Checks.
    pub checks: Vec<Check>,
    /// Findings.
    pub findings: Vec<Finding>,
    /// Control supplies, one for each coil voltage that starters of the board share.
    #[serde(default)]
    pub control_supplies: Vec<ControlSupply>,
    /// Parts of the board itself.
    #[serde(default)]
    pub parts: Vec<Part>,
    /// Steps of the working, as far as the basis asks for them.
    #[serde(default)]
    pub working: Vec<WorkingLine>,
}
