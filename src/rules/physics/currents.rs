//! Currents of loads from their power.
//!
//! `phases` 3 means a balanced three-phase load and the voltage between lines; any other number means a load between two
//! conductors and the voltage across it.

use crate::quantity::{Amperes, Vars, VoltAmperes, Volts, Watts};
use crate::record::{Formula, Record};

formula! {
    /// Three-phase motor.
    MOTOR_CURRENT: "rated current of the motor", "A", "circuit theory";
    "I = P / (√3 U η cosφ)"; "P/(SQRT(3)*U*eff*pf)"; |P, U, eff, pf| P / (3f64.sqrt() * U * eff * pf)
}
formula! {
    /// Single-phase motor.
    MOTOR_CURRENT_SINGLE: "rated current of the motor", "A", "circuit theory";
    "I = P / (U η cosφ)"; "P/(U*eff*pf)"; |P, U, eff, pf| P / (U * eff * pf)
}
formula! {
    /// Three-phase load of known apparent power.
    APPARENT_CURRENT: "current of the apparent power", "A", "circuit theory";
    "I = S / (√3 U)"; "S/(SQRT(3)*U)"; |S, U| S / (3f64.sqrt() * U)
}
formula! {
    /// Single-phase load of known apparent power.
    APPARENT_CURRENT_SINGLE: "current of the apparent power", "A", "circuit theory";
    "I = S / U"; "S/U"; |S, U| S / U
}
formula! {
    /// Three-phase load of known input power.
    ACTIVE_CURRENT: "current of the input power", "A", "circuit theory";
    "I = P / (√3 U cosφ)"; "P/(SQRT(3)*U*pf)"; |P, U, pf| P / (3f64.sqrt() * U * pf)
}
formula! {
    /// Single-phase load of known input power.
    ACTIVE_CURRENT_SINGLE: "current of the input power", "A", "circuit theory";
    "I = P / (U cosφ)"; "P/(U*pf)"; |P, U, pf| P / (U * pf)
}
formula! {
    /// Three-phase capacitor.
    CAPACITOR_CURRENT: "rated current of the capacitor", "A", "circuit theory";
    "I = Q / (√3 U)"; "Q/(SQRT(3)*U)"; |Q, U| Q / (3f64.sqrt() * U)
}
formula! {
    /// Single-phase capacitor.
    CAPACITOR_CURRENT_SINGLE: "rated current of the capacitor", "A", "circuit theory";
    "I = Q / U"; "Q/U"; |Q, U| Q / U
}
formula! {
    /// A current at another voltage, the power being the same.
    SCALED_CURRENT: "table current at the load's voltage", "A", "same power at another voltage";
    "I = It Ut / U"; "It*Ut/U"; |It, Ut, U| It * Ut / U
}
formula! {
    /// Equal motors that run together.
    CURRENT_OF_SEVERAL: "current of all motors behind the starter", "A", "sum of equal currents";
    "I = n I1"; "n*I1"; |n, I1| n * I1
}
formula! {
    /// Input of a three-phase drive.
    DRIVE_INPUT: "input current of the drive", "A", "power balance";
    "I = P / (√3 U η ηd λ)"; "P/(SQRT(3)*U*eff*effd*lambda)";
    |P, U, eff, effd, lambda| P / (3f64.sqrt() * U * eff * effd * lambda)
}
formula! {
    /// Input of a drive with a single-phase supply.
    DRIVE_INPUT_SINGLE: "input current of the drive", "A", "power balance";
    "I = P / (U η ηd λ)"; "P/(U*eff*effd*lambda)"; |P, U, eff, effd, lambda| P / (U * eff * effd * lambda)
}

/// The formulas of this file.
pub const FORMULAS: &[&Formula] = &[
    &MOTOR_CURRENT,
    &MOTOR_CURRENT_SINGLE,
    &APPARENT_CURRENT,
    &APPARENT_CURRENT_SINGLE,
    &ACTIVE_CURRENT,
    &ACTIVE_CURRENT_SINGLE,
    &CAPACITOR_CURRENT,
    &CAPACITOR_CURRENT_SINGLE,
    &SCALED_CURRENT,
    &CURRENT_OF_SEVERAL,
    &DRIVE_INPUT,
    &DRIVE_INPUT_SINGLE,
];

fn by_phases(phases: u32, three: &'static Formula, single: &'static Formula) -> &'static Formula {
    if phases == 3 { three } else { single }
}

/// Rated current of a motor from its shaft power, its efficiency (0 to 1) and its power factor.
pub fn motor_current(
    record: &mut Record,
    shaft_power: Watts,
    voltage: Volts,
    efficiency: f64,
    power_factor: f64,
    phases: u32,
) -> Amperes {
    let formula = by_phases(phases, &MOTOR_CURRENT, &MOTOR_CURRENT_SINGLE);
    Amperes(record.step(formula, &[shaft_power.0, voltage.0, efficiency, power_factor]))
}

/// Current of a load of known apparent power: transformer, packaged equipment.
pub fn apparent_current(record: &mut Record, power: VoltAmperes, voltage: Volts, phases: u32) -> Amperes {
    Amperes(record.step(by_phases(phases, &APPARENT_CURRENT, &APPARENT_CURRENT_SINGLE), &[power.0, voltage.0]))
}

/// Current of a load of known electrical input; a heater has power factor 1.
pub fn active_current(record: &mut Record, input: Watts, voltage: Volts, power_factor: f64, phases: u32) -> Amperes {
    Amperes(record.step(by_phases(phases, &ACTIVE_CURRENT, &ACTIVE_CURRENT_SINGLE), &[input.0, voltage.0, power_factor]))
}

/// Rated current of a capacitor.
pub fn capacitor_current(record: &mut Record, power: Vars, voltage: Volts, phases: u32) -> Amperes {
    Amperes(record.step(by_phases(phases, &CAPACITOR_CURRENT, &CAPACITOR_CURRENT_SINGLE), &[power.0, voltage.0]))
}

/// A current tabulated for one voltage, at another voltage and the same power.
pub fn scaled_current(record: &mut Record, table_current: Amperes, table_voltage: Volts, voltage: Volts) -> Amperes {
    Amperes(record.step(&SCALED_CURRENT, &[table_current.0, table_voltage.0, voltage.0]))
}

/// Current of so many equal motors that run together.
pub fn current_of_several(record: &mut Record, of_one: Amperes, motors: u32) -> Amperes {
    Amperes(record.step(&CURRENT_OF_SEVERAL, &[f64::from(motors), of_one.0]))
}

/// Estimated input current of a drive. `true_power_factor` is displacement times distortion: about 0.93 with a choke, 0.65 to
/// 0.75 without (from memory); the data sheet prevails. No circuit asks for this yet.
pub fn drive_input_current(
    record: &mut Record,
    shaft_power: Watts,
    voltage: Volts,
    motor_efficiency: f64,
    drive_efficiency: f64,
    true_power_factor: f64,
    phases: u32,
) -> Amperes {
    let formula = by_phases(phases, &DRIVE_INPUT, &DRIVE_INPUT_SINGLE);
    Amperes(record.step(formula, &[shaft_power.0, voltage.0, motor_efficiency, drive_efficiency, true_power_factor]))
}
