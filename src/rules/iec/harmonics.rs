//! Third-harmonic currents in the neutral of three-phase circuits: IEC 60364-5-52, 523.6.3 and Annex E.
//!
//! Third harmonics of three phases add up in the neutral instead of cancelling, which then heats the cable as a fourth loaded
//! conductor and may carry more than a phase. What the annex asks of the current is put here on the capacity, so that load and
//! overload protection are held against one figure.

use serde::Deserialize;

use crate::quantity::{Amperes, fits};
use crate::record::{Formula, Record};

/// One row of the factors.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HarmonicRow {
    third_upto_pct: Option<f64>,
    decides: Decides,
    factor: f64,
}

/// The conductor whose current decides on the size.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum Decides {
    /// The phases.
    Phases,
    /// The neutral.
    Neutral,
}

table! {
    /// Factors for third harmonics.
    FACTORS, FACTOR_ROWS: HarmonicRow, "harmonic-factors"
}

formula! {
    /// Capacity of the phases beside a neutral with third harmonics.
    BY_PHASES: "capacity beside a neutral with third harmonics", "A", "IEC 60364-5-52, Annex E, Table E.52.1";
    "Iz3 = Iz f"; "Iz*f";
    |Iz, f| Iz * f
}
formula! {
    /// Capacity of the phases where the current of the neutral decides.
    BY_NEUTRAL: "capacity of the phases, the neutral decides", "A", "IEC 60364-5-52, Annex E, Table E.52.1";
    "Iz3 = Iz f / (3 h3)"; "Iz*f/(3*h3)";
    |Iz, f, h3| Iz * f / (3.0 * h3)
}

/// The formulas of this file.
pub const FORMULAS: &[&Formula] = &[&BY_PHASES, &BY_NEUTRAL];

/// Current of the phases in A that a cable with a neutral carries, from its capacity and the third-harmonic current of each phase over
/// its rated current.
pub fn beside_neutral(record: &mut Record, capacity: Amperes, third: f64) -> Amperes {
    let row = FACTOR_ROWS.iter().find(|row| row.third_upto_pct.is_none_or(|upto| fits(third * 100.0, upto)));
    // A share that is no number carries nothing that could be proved.
    let Some(row) = row.filter(|_| third.is_finite()) else { return Amperes(0.0) };
    Amperes(match row.decides {
        Decides::Phases if fits(1.0, row.factor) => return capacity,
        Decides::Phases => record.step(&BY_PHASES, &[capacity.0, row.factor]),
        // Just above 33 % the neutral still carries less than a phase.
        Decides::Neutral => record.step(&BY_NEUTRAL, &[capacity.0, row.factor, third.max(1.0 / 3.0)]),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// IEC 60364-5-52, Annex E: 39 A need 45 A at 20 %, 54.4 A at 40 %, 58.5 A at 50 % of third harmonics; nothing more to 15 %. The
    /// figures of 40 and 50 % are checked as published examples too.
    #[test]
    fn harmonics_in_the_neutral_ask_for_more_capacity() {
        let needed = |third: f64| 39.0 / (beside_neutral(&mut Record::silent(), Amperes(1.0), third).0);
        for (third, ampere) in [(0.0, 39.0), (0.15, 39.0), (0.20, 45.3), (0.33, 45.3), (0.40, 54.4), (0.50, 58.5)] {
            approx::assert_relative_eq!(needed(third), ampere, max_relative = 2e-3);
        }
    }

    #[test]
    fn a_neutral_never_lets_phases_carry_more() {
        for permille in 0..=1000 {
            let beside_neutral = beside_neutral(&mut Record::silent(), Amperes(100.0), f64::from(permille) / 1000.0);
            assert!(beside_neutral.0 > 0.0 && beside_neutral.0 <= 100.0, "{permille}");
        }
        assert!(beside_neutral(&mut Record::silent(), Amperes(100.0), f64::NAN).0 <= 0.0);
    }
}
