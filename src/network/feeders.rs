//! The feeder of a board: what its conductors must carry, its device, and the conductors that hold.

use crate::design::{Check, Part, WorkingLine};
use crate::finding::Finding;
use crate::quantity::{Amperes, Impedance};

/// Impedances of a feeder from its supply to the board, all parallel conductors together, a phase.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct FeederImpedance {
    /// Cold, for the largest fault current.
    pub cold: Impedance,
    /// At running temperature, for voltages.
    pub running: Impedance,
    /// At the end of a fault, for the smallest fault current between phases.
    pub hot: Impedance,
    /// Loop of a phase and the protective conductor, cold; none where there is no protective conductor.
    pub cold_loop: Option<Impedance>,
    /// Loop of a phase and the protective conductor, at the end of a fault; none where there is no protective conductor.
    pub hot_loop: Option<Impedance>,
}

/// A feeder as chosen or stated.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Feeder {
    /// Smallest capacity of its conductors.
    pub minimum: Amperes,
    /// Largest rating of its device.
    pub protection_maximum: Option<Amperes>,
    /// Its device.
    pub protection: Amperes,
    /// Conductor in words.
    pub conductor: String,
    /// Impedances; none where length or conductor is unknown: the board's fault currents are unknown then.
    pub impedance: Option<FeederImpedance>,
    /// Parts of the catalogue.
    pub parts: Vec<Part>,
    /// Checks.
    pub checks: Vec<Check>,
    /// Working.
    pub working: Vec<WorkingLine>,
    /// Findings.
    pub findings: Vec<Finding>,
}
