//! Fault currents of every board, from the impedances between it and its sources.

use crate::quantity::{Amperes, Impedance};

/// What flows into a fault at a board.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct FaultLevel {
    /// Largest three-phase fault current, what motors add included.
    pub largest: Option<Amperes>,
    /// The same without motors.
    pub without_motors: Option<Amperes>,
    /// Its peak.
    pub peak: Option<Amperes>,
    /// Smallest fault current, whatever its kind, from the weakest source that is permitted.
    pub smallest: Option<Amperes>,
    /// Impedance that gives the largest one, a phase, with the book's largest voltage factor.
    pub largest_path: Option<Impedance>,
    /// Impedance that gives the smallest one between phases, a phase, with the smallest voltage factor.
    pub smallest_path: Option<Impedance>,
    /// Impedance of the loop of a fault to earth, with the smallest voltage factor.
    pub smallest_loop: Option<Impedance>,
}
