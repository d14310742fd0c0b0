//! The course of a start as the line sees it.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Line current and duration of a start, and what may flow for a moment in it.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct StartCourse {
    /// Line current while starting, of the first step where there are several.
    pub current_a: f64,
    /// How long it flows.
    pub time_s: f64,
    /// Line current that the change-over to full voltage may reach; null where there is no such step.
    pub change_over_a: Option<f64>,
    /// First half-cycle, peak over √2; null for a start without such an inrush.
    pub first_peak_a: Option<f64>,
    /// Line current at full voltage with the rotor locked.
    pub locked_rotor_a: f64,
    /// Share of the line current that flows through the overload relay while starting.
    pub relay_share: f64,
    /// Where the time comes from: `stated`, `integrated` over speed, `estimated` from mean torques or by a factor of the method, or
    /// `assumed`.
    #[serde(default)]
    pub time_from: String,
    /// End of the step at reduced voltage, where the start was integrated; null for a start without such a step.
    #[serde(default)]
    pub change_over_time_s: Option<f64>,
    /// Speed at that moment, per cent of synchronous speed.
    #[serde(default)]
    pub change_over_speed_pct: Option<f64>,
    /// Line current as the full voltage is switched on then; `change_over_a` is the most that it may be at any speed.
    #[serde(default)]
    pub change_over_current_a: Option<f64>,
}
