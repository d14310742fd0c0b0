//! Devices of the power circuit: contactors, overload relays, short-circuit protection, starters, local isolator.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A contactor in its role.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Contactor {
    /// Role, such as `main`, `line`, `star`, `delta`, `forward`, `reverse`, `bypass`.
    pub role: String,
    /// Current that the role carries.
    pub current_a: f64,
    /// Utilisation category.
    pub category: String,
    /// Rating in that category at the voltage.
    pub rated_a: f64,
    /// Frame.
    pub frame: String,
    /// Part number.
    pub part: String,
    /// Poles linked in parallel.
    pub poles_in_parallel: u32,
    /// The coil brings its suppression.
    pub suppression_built_in: bool,
    /// Operations to be expected in this duty.
    pub expected_operations: Option<f64>,
    /// Years that these last at the starts an hour of the row and the hours of the basis.
    #[serde(default)]
    pub expected_years: Option<f64>,
    /// Check that ruled out the next smaller contactor; empty if it is the smallest.
    #[serde(default)]
    pub governed_by: String,
}

/// An overload relay, or the release of a motor-protective circuit-breaker.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Overload {
    /// Which contactor or winding it serves; `motor` of the relays of several motors behind one starter.
    pub role: String,
    /// `line`, `delta-leg`, `bypass`, `low`, `high` or `motor`.
    pub position: String,
    /// So many alike, each set as this one: one to each of several motors behind the starter.
    #[serde(default = "super::one")]
    pub count: u32,
    /// Share of the line current that flows through each.
    pub winding_factor: f64,
    /// Kind, such as `bimetal`, `electronic`, `motor-breaker`, `in-drive`.
    pub kind: String,
    /// Trip class.
    pub trip_class: String,
    /// Setting range.
    pub range_a: [f64; 2],
    /// Setting.
    pub setting_a: f64,
    /// Part number; empty where it is part of another device.
    pub part: String,
    /// Current to which the dial itself is set, where the relay stands behind current transformers.
    #[serde(default)]
    pub dial_a: Option<f64>,
    /// Part number of these current transformers.
    #[serde(default)]
    pub transformer_part: String,
    /// Current at which it trips in the end; null where the catalogue does not state it.
    #[serde(default)]
    pub ultimate_trip_a: Option<f64>,
    /// Of a single-phase circuit on protection of three poles: poles through which one line conductor is led in series, so that all three
    /// carry the current; null elsewhere.
    #[serde(default)]
    pub poles_in_series: Option<u32>,
}

impl Overload {
    /// The catalogue holds it; else only its setting and class are known.
    #[must_use]
    pub fn is_found(&self) -> bool {
        self.range_a[1] > 0.0
    }
}

/// The short-circuit protective device.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Protection {
    /// `motor-breaker`, `moulded-case`, `gG`, `aM`, ...
    pub kind: String,
    /// Rated current.
    pub rating_a: f64,
    /// Setting of its overload release; null where it has none.
    #[serde(default)]
    pub setting_a: Option<f64>,
    /// Range of that dial; null where it has none.
    #[serde(default)]
    pub setting_range_a: Option<[f64; 2]>,
    /// Largest rating that the rules or the contactor allow.
    pub maximum_a: Option<f64>,
    /// Magnetic trip, nominal.
    pub magnetic_trip_a: Option<f64>,
    /// Range of its dial, both ends alike where it is fixed; null where it has no magnetic trip.
    #[serde(default)]
    pub magnetic_range_a: Option<[f64; 2]>,
    /// Its lower limit.
    pub magnetic_min_a: Option<f64>,
    /// Its upper limit.
    pub magnetic_max_a: Option<f64>,
    /// Breaking capacity at the voltage.
    pub breaking_ka: Option<f64>,
    /// `type-2`, `type-1` or `not-claimed`.
    pub coordination: String,
    /// Part number.
    pub part: String,
}

/// A soft starter, drive, autotransformer, resistor or reactor.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct StarterDevice {
    /// `soft-starter`, `drive`, `autotransformer`, `resistor`, `reactor`, ...
    pub kind: String,
    /// Current that it carries.
    pub current_a: f64,
    /// Its rating.
    pub rated_a: f64,
    /// Part number; empty where the catalogue holds none and the maker must design it.
    pub part: String,
    /// Current limit of a soft starter over rated current, with which its checks reckon.
    #[serde(default)]
    pub current_limit: Option<f64>,
    /// Tap of an autotransformer, or voltage left to the motor at standstill by a resistor or reactor, per cent of the rated voltage.
    #[serde(default)]
    pub tap_pct: Option<f64>,
    /// Limit or tap is assumed: the row doesn't state it.
    #[serde(default)]
    pub setting_assumed: bool,
}

/// A local isolator.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Disconnect {
    /// Kind.
    pub kind: String,
    /// Utilisation category.
    pub category: String,
    /// Rating in that category.
    pub rating_a: Option<f64>,
    /// Rating in horsepower.
    pub rating_hp: Option<f64>,
    /// Where it stands.
    pub location: String,
    /// It can be locked in the off position.
    pub lockable: bool,
    /// Poles of a switch at the machine: a fourth opens the neutral; null for any other.
    #[serde(default)]
    pub poles: Option<u32>,
    /// So many alike: one to each of several motors behind one starter.
    #[serde(default = "super::one")]
    pub count: u32,
    /// Part number.
    pub part: String,
    /// Enclosure of a switch at the machine, as the catalogue declares it.
    #[serde(default)]
    pub enclosure: String,
}
