//! What runs together on a board and on all that it feeds, added as phasors.

use crate::quantity::{Amperes, Watts};

/// Sums of a board with all that it feeds.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Demand {
    /// Electrical input of all loads at rated output.
    pub connected: Watts,
    /// Active power of the loads that run together at rated output.
    pub running_w: f64,
    /// Reactive power of the same.
    pub running_var: f64,
    /// Line current of the same, in the phase that carries most.
    pub running: Amperes,
    /// Active power after demand factors.
    pub demand_w: f64,
    /// Reactive power after demand factors.
    pub demand_var: f64,
    /// Line current after demand factors, with what is there already, in the phase that carries most.
    pub demand: Amperes,
    /// The row of the largest motor: its place among [`super::connected::Connected`].
    pub largest_motor: Option<usize>,
    /// The row whose start draws most.
    pub largest_start: Option<usize>,
}
