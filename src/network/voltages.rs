//! Voltages of the boards while loads run and while one starts: constant power for what runs, constant impedance for what starts.

use crate::quantity::Impedance;

/// What is left of the voltage at a board.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Voltage {
    /// While all runs that runs together, per cent of nominal; none where the network before it is unknown.
    pub running_pct: Option<f64>,
    /// Drop along the feeders from the main board, per cent of nominal.
    pub feeder_drop_pct: Option<f64>,
    /// Impedance between the source and the board at running temperature, a phase.
    pub path: Option<Impedance>,
}
