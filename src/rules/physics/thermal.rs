//! Adiabatic heating: the factor k, the smallest cross-section, and the energy that a conductor stands.

use crate::quantity::{AmpereSquaredSeconds, Amperes, Seconds, SquareMillimetres};
use crate::record::{Formula, Record};

formula! {
    /// k from material constants.
    FACTOR_K: "k", "A√s/mm²", "IEC 60364-5-54, Annex A";
    "k = √(Qc (β + 20) / ρ20 · ln((β + θf) / (β + θi)))"; "SQRT(Qc*(beta+20)/rho*LN((beta+last)/(beta+first)))";
    |Qc, beta, rho, last, first| (Qc * (beta + 20.0) / rho * libm::log((beta + last) / (beta + first))).sqrt()
}
formula! {
    /// Smallest cross-section for a current and a time.
    SMALLEST: "smallest cross-section for the fault", "mm²", "IEC 60364-5-54, 543.1.2; IEC 60364-4-43, 434.5.2";
    "S = I √t / k"; "I*SQRT(t)/k";
    |I, t, k| I * t.sqrt() / k
}
formula! {
    /// Energy that a conductor stands.
    WITHSTAND: "energy that the conductor stands", "A²s", "IEC 60364-4-43, 434.5.2";
    "W = k² S²"; "k^2*S^2";
    |k, S| k * k * S * S
}

/// The formulas of this file.
pub const FORMULAS: &[&Formula] = &[&FACTOR_K, &SMALLEST, &WITHSTAND];

/// k of a material between two temperatures. `heat_capacity` in J/(K·mm³), `beta` in K, `rho20` in Ω·mm.
/// No circuit asks for this yet.
pub fn factor_k(record: &mut Record, heat_capacity: f64, beta: f64, rho20: f64, initial_c: f64, final_c: f64) -> f64 {
    record.step(&FACTOR_K, &[heat_capacity, beta, rho20, final_c, initial_c])
}

/// Smallest cross-section that stands a current for a time of at most 5 s; circuits hold the energy of each size instead.
/// No circuit asks for this yet.
pub fn smallest_size(record: &mut Record, current: Amperes, time: Seconds, k: f64) -> SquareMillimetres {
    SquareMillimetres(record.step(&SMALLEST, &[current.0, time.0, k]))
}

/// Energy that a conductor stands.
pub fn withstand(record: &mut Record, k: f64, size: SquareMillimetres) -> AmpereSquaredSeconds {
    AmpereSquaredSeconds(record.step(&WITHSTAND, &[k, size.0]))
}
