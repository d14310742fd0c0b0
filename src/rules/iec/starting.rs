//! Starting currents where the nameplate gives none: ratio by class, ceilings of the design letters, power factor.

use serde::Deserialize;

use crate::load::EfficiencyClass;
use crate::quantity::{Watts, fits};

/// Assumed starting current ratio of one class.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RatioRow {
    efficiency_class: String,
    ratio: f64,
}

/// Ceilings of the apparent power at locked rotor for one range of outputs.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ApparentPowerRow {
    output_above_kw: f64,
    output_upto_kw: f64,
    n_h_kva_per_kw: f64,
    ne_he_kva_per_kw: f64,
}

/// Assumed starting power factor up to one output.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PowerFactorRow {
    output_upto_kw: f64,
    power_factor: f64,
}

table! {
    /// Assumed starting current ratios.
    LOCKED_ROTOR_RATIO, RATIO_ROWS: RatioRow, "locked-rotor-ratio"
}
table! {
    /// Ceilings of the apparent power at locked rotor.
    APPARENT_POWER, APPARENT_ROWS: ApparentPowerRow, "locked-rotor-apparent-power"
}
table! {
    /// Assumed starting power factors.
    POWER_FACTOR, POWER_FACTOR_ROWS: PowerFactorRow, "starting-power-factor"
}

/// Starting over rated current assumed where nothing gives it (from memory: the circuit needs a note). A class that is not known
/// counts as a new motor, which is the safer side.
#[must_use]
pub fn default_locked_rotor_ratio(class: Option<EfficiencyClass>) -> f64 {
    let of = |name: &str| RATIO_ROWS.iter().find(|row| row.efficiency_class == name).map(|row| row.ratio);
    class.map(EfficiencyClass::name).and_then(of).or_else(|| of("unknown")).unwrap_or(f64::NAN)
}

/// Largest apparent power at locked rotor over rated output, kVA/kW, by design letter (`N`, `NE`, `H`, `HE`, each also with `Y`);
/// none outside the table. Recalled with low confidence: a worst case, no design value. No circuit asks for this yet.
#[must_use]
pub fn apparent_power_ceiling(output: Watts, design: &str) -> Option<f64> {
    let kw = output.0 / 1000.0;
    let row = APPARENT_ROWS.iter().find(|row| kw > row.output_above_kw && fits(kw, row.output_upto_kw))?;
    match design {
        "N" | "NY" | "H" | "HY" => Some(row.n_h_kva_per_kw),
        "NE" | "NEY" | "HE" | "HEY" => Some(row.ne_he_kva_per_kw),
        _ => None,
    }
}

/// Power factor at locked rotor assumed where the schedule gives none (from memory: the circuit needs a note). Above the table the
/// last row holds.
#[must_use]
pub fn default_starting_power_factor(output: Watts) -> f64 {
    let kw = output.0 / 1000.0;
    let row = POWER_FACTOR_ROWS.iter().find(|row| fits(kw, row.output_upto_kw)).or_else(|| POWER_FACTOR_ROWS.last());
    row.map_or(f64::NAN, |row| row.power_factor)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_class_of_the_schedule_has_a_ratio() {
        for word in ["IE1", "IE2", "IE3", "IE4", "IE5", "NEMA-premium", "energy-efficient"] {
            let class = EfficiencyClass::from_word(word).expect("a class");
            assert!(RATIO_ROWS.iter().any(|row| row.efficiency_class == class.name()), "{word}");
        }
        assert_eq!(RATIO_ROWS.len(), 6, "five classes and the unknown one");
        assert!(RATIO_ROWS.iter().all(|row| row.ratio <= default_locked_rotor_ratio(None)));
    }

    #[test]
    fn ceilings_fall_with_output_without_gaps() {
        for w in APPARENT_ROWS.windows(2) {
            assert!((w[0].output_upto_kw - w[1].output_above_kw).abs() < 1e-12);
            assert!(w[0].n_h_kva_per_kw > w[1].n_h_kva_per_kw && w[0].ne_he_kva_per_kw > w[1].ne_he_kva_per_kw);
        }
        assert!(APPARENT_ROWS.iter().all(|row| row.n_h_kva_per_kw <= row.ne_he_kva_per_kw));
        assert_eq!(apparent_power_ceiling(Watts(15_000.0), "N"), Some(12.0));
        assert_eq!(apparent_power_ceiling(Watts(15_000.0), "B"), None);
        assert_eq!(apparent_power_ceiling(Watts(2e6), "N"), None);
    }

    #[test]
    fn the_starting_power_factor_falls_with_output() {
        assert!(
            POWER_FACTOR_ROWS
                .windows(2)
                .all(|w| w[0].output_upto_kw < w[1].output_upto_kw && w[0].power_factor > w[1].power_factor)
        );
        assert!(default_starting_power_factor(Watts(5e6)) < 0.3);
    }
}
