//! What a rule book says about feeders of boards: what a row adds to them, what their conductors must carry, how large their device
//! may and must be.

use crate::quantity::Amperes;

/// What one circuit of a row adds to the feeder of its board.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct FeederTerm {
    /// Current that counts for the conductors of a feeder.
    pub current: Amperes,
    /// Value for a motor that is not on continuous duty, where the book has one.
    pub duty_value: Option<Amperes>,
    /// A motor, or what counts as one.
    pub motor: bool,
    /// A load that is no motor and lasts three hours or more.
    pub continuous: bool,
}
