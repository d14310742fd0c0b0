//! Fault currents at the end of a path, and the impedances of what stands on it: networks, transformers, generators, motors.
//! Resistances and reactances are added apart along the actual path.

use crate::quantity::{Amperes, Impedance, Ohms, VoltAmperes, Volts, Watts};
use crate::record::{Formula, Record};
use crate::rules::table::Figure;

table! {
    /// Figures of fault currents.
    FIGURES, FIGURE_ROWS: Figure, "fault-figures"
}

/// A figure of fault currents by its name. One that the table lacks is not a number; a test finds it.
#[must_use]
pub fn figure(name: &str) -> f64 {
    FIGURE_ROWS.iter().find(|row| row.name == name).map_or(f64::NAN, |row| row.value)
}

/// Voltage factors of largest and smallest fault currents.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct VoltageFactors {
    /// For the largest.
    pub greatest: f64,
    /// For the smallest.
    pub least: f64,
}

/// How a rule book reckons fault currents.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Convention {
    /// Voltage factors of low-voltage networks.
    pub low_voltage: VoltageFactors,
    /// Those of a network in front of a transformer.
    pub high_voltage: VoltageFactors,
    /// For the largest fault currents the impedances of transformers and generators are corrected.
    pub corrected: bool,
    /// Motors whose rated currents together are at most this share of a fault current add nothing to it.
    pub motors_left_out: f64,
}

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

formula! {
    /// Impedance of a network of known fault level.
    NETWORK: "impedance of the network", "Ω", "IEC 60909-0, network feeders";
    "Z = c U² / S"; "c*U^2/S";
    |c, U, S| c * U * U / S
}
formula! {
    /// Impedance of a transformer.
    TRANSFORMER: "impedance of the transformer", "Ω", "IEC 60909-0, two-winding transformers";
    "Z = u U² / S"; "u*U^2/S";
    |u, U, S| u * U * U / S
}
formula! {
    /// Resistance of a transformer from its load loss.
    TRANSFORMER_RESISTANCE: "resistance of the transformer", "Ω", "IEC 60909-0, two-winding transformers";
    "R = P U² / S²"; "P*U^2/S^2";
    |P, U, S| P * U * U / (S * S)
}
formula! {
    /// Correction of a transformer's impedance; x is its reactance over U²/S.
    TRANSFORMER_FACTOR: "correction of the transformer's impedance", "", "IEC 60909-0, 6.3.3";
    "KT = k c / (1 + n x)"; "k*c/(1+n*x)";
    |k, c, n, x| k * c / (1.0 + n * x)
}
formula! {
    /// Reactance of a generator.
    GENERATOR: "subtransient reactance of the generator", "Ω", "IEC 60909-0, synchronous generators";
    "X = x U² / S"; "x*U^2/S";
    |x, U, S| x * U * U / S
}
formula! {
    /// Correction of a generator's impedance, at its rated voltage.
    GENERATOR_FACTOR: "correction of the generator's impedance", "", "IEC 60909-0, synchronous generators";
    "KG = c / (1 + x sinφ)"; "c/(1+x*sinphi)";
    |c, x, sinphi| c / (1.0 + x * sinphi)
}
formula! {
    /// Reactance that gives a generator's sustained fault current.
    SUSTAINED: "reactance behind the generator's sustained fault current", "Ω", "sustained fault current of the basis";
    "X = c U² / (m S)"; "c*U^2/(m*S)";
    |c, U, m, S| c * U * U / (m * S)
}
formula! {
    /// Motors as one impedance, by the sum of their locked-rotor currents.
    MOTORS: "impedance of the motors", "Ω", "IEC 60909-0, asynchronous motors";
    "Z = U / (√3 Ilr)"; "U/(SQRT(3)*Ilr)";
    |U, Ilr| U / (3f64.sqrt() * Ilr)
}
formula! {
    /// Peak factor; R/X at the fault.
    PEAK_FACTOR: "peak factor", "", "IEC 60909-0, method c";
    "κ = a + b e^(-n R/X)"; "a+b*EXP(0-n*R/X)";
    |a, b, n, R, X| a + b * libm::exp(-n * R / X)
}
formula! {
    /// Peak of a fault current.
    PEAK: "peak fault current", "A", "IEC 60909-0, peak short-circuit current";
    "ip = κ √2 Ik"; "kappa*SQRT(2)*Ik";
    |kappa, Ik| kappa * std::f64::consts::SQRT_2 * Ik
}

/// The formulas of this file.
pub const FORMULAS: &[&Formula] = &[
    &THREE_PHASE,
    &TWO_PHASE,
    &LOOP,
    &SOURCE,
    &NETWORK,
    &TRANSFORMER,
    &TRANSFORMER_RESISTANCE,
    &TRANSFORMER_FACTOR,
    &GENERATOR,
    &GENERATOR_FACTOR,
    &SUSTAINED,
    &MOTORS,
    &PEAK_FACTOR,
    &PEAK,
];

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
    Impedance::of_ratio(Ohms(magnitude), x_over_r)
}

/// Impedance of a network of known fault level, at a voltage.
pub fn network(record: &mut Record, factor: f64, line: Volts, level: VoltAmperes, x_over_r: f64) -> Impedance {
    Impedance::of_ratio(Ohms(record.step(&NETWORK, &[factor, line.0, level.0])), x_over_r)
}

/// Magnitude of a transformer's impedance at its secondary voltage; `share` is its impedance over U²/S.
pub fn transformer(record: &mut Record, share: f64, secondary: Volts, rated: VoltAmperes) -> Ohms {
    Ohms(record.step(&TRANSFORMER, &[share, secondary.0, rated.0]))
}

/// Resistance of a transformer from its load loss.
pub fn transformer_resistance(record: &mut Record, loss: Watts, secondary: Volts, rated: VoltAmperes) -> Ohms {
    Ohms(record.step(&TRANSFORMER_RESISTANCE, &[loss.0, secondary.0, rated.0]))
}

/// Correction of a transformer's impedance for the largest fault currents; `reactance` is its reactance over U²/S.
pub fn transformer_factor(record: &mut Record, factor: f64, reactance: f64) -> f64 {
    let (scale, weight) = (figure("transformer-factor"), figure("transformer-factor-reactance"));
    record.step(&TRANSFORMER_FACTOR, &[scale, factor, weight, reactance])
}

/// Subtransient reactance of a generator; `share` is the reactance over U²/S.
pub fn generator(record: &mut Record, share: f64, line: Volts, rated: VoltAmperes) -> Ohms {
    Ohms(record.step(&GENERATOR, &[share, line.0, rated.0]))
}

/// Correction of a generator's impedance for the largest fault currents.
pub fn generator_factor(record: &mut Record, factor: f64, share: f64) -> f64 {
    record.step(&GENERATOR_FACTOR, &[factor, share, figure("generator-sine")])
}

/// Reactance behind which a generator gives its sustained fault current, a multiple of its rated one.
pub fn sustained(record: &mut Record, factor: f64, line: Volts, multiple: f64, rated: VoltAmperes) -> Ohms {
    Ohms(record.step(&SUSTAINED, &[factor, line.0, multiple, rated.0]))
}

/// Impedance of motors together, by the sum of their locked-rotor currents.
pub fn motors(record: &mut Record, line: Volts, locked_rotor: Amperes) -> Impedance {
    let magnitude = Ohms(record.step(&MOTORS, &[line.0, locked_rotor.0]));
    Impedance::of_ratio(magnitude, 1.0 / figure("motor-r-over-x"))
}

/// Impedance at the equivalent frequency, by which the peak of a fault current in a network with several ways to it is found.
#[must_use]
pub fn at_equivalent_frequency(impedance: Impedance) -> Impedance {
    Impedance { r: impedance.r, x: impedance.x * figure("equivalent-frequency-share") }
}

/// Peak of a fault current; `equivalent` is the impedance at the fault at the equivalent frequency.
pub fn peak(record: &mut Record, fault: Amperes, equivalent: Impedance) -> Amperes {
    let reactance = equivalent.x.0 / figure("equivalent-frequency-share");
    let numbers = [figure("peak-offset"), figure("peak-span"), figure("peak-exponent"), equivalent.r.0, reactance];
    let factor = record.step(&PEAK_FACTOR, &numbers);
    Amperes(record.step(&PEAK, &[factor, fault.0]))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_figure_that_is_named_is_in_the_table() {
        for name in [
            "peak-offset",
            "peak-span",
            "peak-exponent",
            "equivalent-frequency-share",
            "transformer-factor",
            "transformer-factor-reactance",
            "motor-r-over-x",
            "network-r-over-x",
            "network-least-share",
            "transformer-x-over-r-greatest",
            "transformer-x-over-r-least",
            "transformer-zero-sequence",
            "generator-sine",
            "generator-peak-r-over-x",
            "stated-too-favourable-share",
            "stated-too-cautious-share",
        ] {
            assert!(figure(name) > 0.0, "{name}");
        }
    }

    #[test]
    fn a_peak_lies_between_that_of_pure_resistance_and_of_pure_reactance() {
        // IEC 60909-0: 1.02 √2 Ik without reactance, 2 √2 Ik without resistance.
        let of = |r: f64, x: f64| peak(&mut Record::new(), Amperes(1.0), Impedance { r: Ohms(r), x: Ohms(x) }).0;
        assert!((of(1.0, 1e-6) - 1.02 * std::f64::consts::SQRT_2).abs() < 1e-9);
        assert!((of(0.0, 1.0) - 2.0 * std::f64::consts::SQRT_2).abs() < 1e-12);
        // R/X = 0.1 at the network's frequency: κ = 1.02 + 0.98 e^(-0.3) = 1.74600.
        let impedance = at_equivalent_frequency(Impedance { r: Ohms(0.1), x: Ohms(1.0) });
        assert!((of(impedance.r.0, impedance.x.0) / std::f64::consts::SQRT_2 - 1.746_002).abs() < 1e-6);
    }
}
