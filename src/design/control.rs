//! The control circuit of a starter, its run and its supply.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// The control circuit.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Control {
    /// Coil voltage with its kind, such as `230 V AC`.
    pub coil_voltage: String,
    /// Power while the contactors that pick up together do so and what else of the circuit may be closed holds.
    pub pick_up_va: f64,
    /// Power while all that can hold together hold.
    pub hold_va: f64,
    /// What switches the coil.
    pub driven_by: String,
    /// An interposing relay is needed.
    pub interposing_relay: bool,
    /// Power factor of `pick_up_va`; null if that of a coil is not known.
    #[serde(default)]
    pub pick_up_power_factor: Option<f64>,
    /// Power factor of `hold_va`.
    #[serde(default)]
    pub hold_power_factor: Option<f64>,
    /// Lowest voltage at which every coil surely picks up, per cent of the coil voltage.
    #[serde(default)]
    pub lowest_pct: f64,
    /// Highest voltage that every coil stands.
    #[serde(default)]
    pub highest_pct: f64,
    /// A maintained contact: the coil picks up by itself when the supply comes back.
    #[serde(default)]
    pub maintained: bool,
    /// Commands from outside: outputs of a controller, or interposing relays.
    #[serde(default)]
    pub commands: u32,
    /// Cores of the cable to the control station or controller, the protective conductor included.
    #[serde(default)]
    pub cores: u32,
    /// Those of them that are protective.
    #[serde(default)]
    pub protective_cores: u32,
    /// The run to the control station.
    #[serde(default)]
    pub run: Option<ControlRun>,
    /// Control supply of this starter alone; null if its board's serves it.
    #[serde(default)]
    pub supply: Option<ControlSupply>,
}

/// The run between the starter and the contact that switches its coil.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ControlRun {
    /// Size of its conductors, with the unit.
    pub size: String,
    /// Length, one way; null if the contact stands at the starter.
    pub length_m: Option<f64>,
    /// Drop while contactors pick up, per cent of the coil voltage; null without a length.
    pub drop_pct: Option<f64>,
    /// Longest run by that drop.
    pub drop_reach_m: f64,
    /// Longest run at whose capacitance the contactor still releases; null for direct current.
    pub capacitance_reach_m: Option<f64>,
    /// Length, one way, of the run that brings the coils' supply from the board; null where the starter stands on the board or feeds
    /// its coils itself.
    #[serde(default)]
    pub supply_length_m: Option<f64>,
    /// Drop in that run while contactors pick up, per cent of the coil voltage.
    #[serde(default)]
    pub supply_drop_pct: Option<f64>,
}

impl ControlRun {
    /// Drop between the supply and the coils, per cent of their voltage: over an interposing relay the run to the contact carries the
    /// relay, not the coil.
    #[must_use]
    pub fn drop_before_coil(&self, interposing_relay: bool) -> f64 {
        let to_contact = self.drop_pct.filter(|_| !interposing_relay);
        to_contact.unwrap_or(0.0) + self.supply_drop_pct.unwrap_or(0.0)
    }
}

/// What feeds coils.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ControlSupply {
    /// `control-transformer`, `direct-current-supply`, or `line` where coils are fed from the line itself.
    pub kind: String,
    /// Coil voltage with its kind.
    pub coil_voltage: String,
    /// Part number; empty for `line`, and where the catalogue holds none.
    pub part: String,
    /// Rated power; null for `line`, and where the catalogue holds none.
    pub rating_va: Option<f64>,
    /// Voltage that feeds it.
    pub primary_v: f64,
    /// Rating that the coils which hold ask for.
    pub continuous_va: f64,
    /// Power while the largest group picks up and all else holds.
    pub event_va: f64,
    /// How that was added up: `vector`, or `arithmetic` where a power factor is not known.
    pub event_method: String,
    /// Circuit whose group that is.
    pub event_tag: String,
    /// Lowest voltage at a coil while it picks up, per cent of the coil voltage; null without a part.
    pub coil_voltage_pct: Option<f64>,
    /// Device before it.
    pub primary: Option<ControlDevice>,
    /// Device behind it; before the coils where the line feeds them.
    pub secondary: Option<ControlDevice>,
    /// Devices of branches, where one device would be too large for contacts or conductors.
    pub branches: Option<ControlDevice>,
    /// Tags of the circuits that it serves.
    pub serves: Vec<String>,
}

/// A protective device of a control circuit.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ControlDevice {
    /// `fuse` or `breaker`.
    pub kind: String,
    /// Rated current.
    pub rating_a: f64,
    /// Largest rating that is admitted.
    pub maximum_a: f64,
    /// Pieces: one a pole for fuse-links.
    pub quantity: u32,
    /// Part number.
    pub part: String,
    /// Clause of the largest rating.
    pub reference: String,
}
