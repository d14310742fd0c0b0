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
    /// Heat of the devices of circuits that run together, at their currents, with the allowance for wiring.
    pub power_loss_w: f64,
    /// Width that mounting rails or plates must offer: devices side by side, spare and free space included.
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
    /// Circuits, spare and standby ones included.
    #[serde(default)]
    pub ways: u32,
    /// Devices that stand side by side.
    #[serde(default)]
    pub units: u32,
    /// Width of these devices alone.
    #[serde(default)]
    pub devices_width_mm: f64,
    /// Width of the terminals, which stand on rails of their own.
    #[serde(default)]
    pub terminals_width_mm: f64,
    /// Rows of the enclosure that the width takes; null where the basis names no enclosure of the catalogue.
    #[serde(default)]
    pub rows: Option<u32>,
    /// Enclosure that the basis names; empty if it names none.
    #[serde(default)]
    pub enclosure: String,
    /// Heat that the enclosure gives off at the usual rise; null if it is not known.
    #[serde(default)]
    pub enclosure_dissipation_w: Option<f64>,
    /// Air in the enclosure above the room, by estimate; null if it is not known.
    #[serde(default)]
    pub temperature_rise_k: Option<f64>,
    /// Heat of each device that adds to it.
    #[serde(default)]
    pub losses: Vec<DeviceLoss>,
}

/// Heat of a device in a board.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct DeviceLoss {
    /// Circuit; empty for a device of the board itself.
    pub tag: String,
    /// What it is.
    pub device: String,
    /// Part number.
    pub part: String,
    /// Current that flows through it; null where its heat does not depend on it.
    pub current_a: Option<f64>,
    /// Current at which its heat is declared.
    pub rated_a: Option<f64>,
    /// Declared heat; of practice where the catalogue has no column for it.
    pub declared_w: f64,
    /// Part of it that does not depend on the current: coils and electronics.
    pub constant_w: f64,
    /// Heat of one piece.
    pub loss_w: f64,
    /// Pieces in circuits that run together.
    pub quantity: f64,
}
