//! Fault currents at the end of a run: resistances and reactances are added apart along the actual path.

use crate::quantity::{Amperes, Impedance, Ohms, Volts};
use crate::record::{Formula, Record};

formula! {
    /// Three-phase fault.
    THREE_PHASE: "three-phase fault current", "A", "IEC 60909-0, equivalent voltage source";
    "Ik3 = c U / (√3 √(R² + X²))"; "c*U/(SQRT(3)*SQRT(R^2+X^2))";
    |c, U, R, X| c * U / (3f64.sqrt() * (R * R + X * X).sqrt())
}
formula! {
    /// Fault between two phases.
    TWO_PHASE: "phase-to-phase fault current", "A", "IEC 60909-0, equivalent voltage source";
    "Ik2 = c U / (2 √(R² + X²))"; "c*U/(2*SQRT(R^2+X^2))";
    |c, U, R, X| c * U / (2.0 * (R * R + X * X).sqrt())
}
formula! {
    /// Fault between a phase and the protective conductor, or in a two-wire loop.
    LOOP: "fault current of the loop", "A", "IEC 60364-4-41, 411.4.4";
    "I = c U0 / √(R² + X²)"; "c*U0/SQRT(R^2+X^2)";
    |c, U0, R, X| c * U0 / (R * R + X * X).sqrt()
}
formula! {
    /// Impedance of the source behind a known fault current.
    SOURCE: "impedance of the supply", "Ω", "IEC 60909-0, equivalent voltage source";
    "Z = c U / (√3 Ik)"; "c*U/(SQRT(3)*Ik)";
    |c, U, Ik| c * U / (3f64.sqrt() * Ik)
}

/// The formulas of this file.
pub const FORMULAS: &[&Formula] = &[&THREE_PHASE, &TWO_PHASE, &LOOP, &SOURCE];

/// Three-phase fault current behind an impedance.
pub fn three_phase(record: &mut Record, factor: f64, line: Volts, path: Impedance) -> Amperes {
    Amperes(record.step(&THREE_PHASE, &[factor, line.0, path.r.0, path.x.0]))
}

/// Phase-to-phase fault current behind an impedance a phase.
pub fn two_phase(record: &mut Record, factor: f64, line: Volts, path: Impedance) -> Amperes {
    Amperes(record.step(&TWO_PHASE, &[factor, line.0, path.r.0, path.x.0]))
}

/// Fault current of a loop at the voltage to earth.
pub fn of_loop(record: &mut Record, factor: f64, to_earth: Volts, path: Impedance) -> Amperes {
    Amperes(record.step(&LOOP, &[factor, to_earth.0, path.r.0, path.x.0]))
}

/// Impedance behind a fault current, split by X/R.
pub fn source(record: &mut Record, factor: f64, line: Volts, fault: Amperes, x_over_r: f64) -> Impedance {
    let magnitude = record.step(&SOURCE, &[factor, line.0, fault.0]);
    let r = magnitude / (1.0 + x_over_r * x_over_r).sqrt();
    Impedance { r: Ohms(r), x: Ohms(r * x_over_r) }
}
