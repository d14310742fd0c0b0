//! Efficiency, power factor and locked-rotor torque after NEMA MG 1: for voltage drop, totals and starting only, never for a current
//! that Article 430 takes from its tables.

use serde::Deserialize;

use crate::quantity::fits;

/// Efficiencies of one horsepower, per cent.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct EfficiencyRow {
    hp: f64,
    enc_2p: Option<f64>,
    open_2p: Option<f64>,
    enc_4p: Option<f64>,
    open_4p: Option<f64>,
    enc_6p: Option<f64>,
    open_6p: Option<f64>,
    enc_8p: Option<f64>,
    open_8p: Option<f64>,
}

/// Assumed power factor of one horsepower.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PowerFactorRow {
    hp: f64,
    power_factor: f64,
}

/// Least locked-rotor torque of one horsepower, per cent of full-load torque.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TorqueRow {
    hp: f64,
    lrt_pct_3600: Option<f64>,
    lrt_pct_1800: Option<f64>,
    lrt_pct_1200: Option<f64>,
    lrt_pct_900: Option<f64>,
    lrt_pct_720: Option<f64>,
    lrt_pct_600: Option<f64>,
    lrt_pct_514: Option<f64>,
}

table! {
    /// Nominal efficiency of premium-efficiency motors.
    EFFICIENCY, EFFICIENCY_ROWS: EfficiencyRow, "nema-premium-efficiency"
}
table! {
    /// Assumed power factors.
    POWER_FACTOR, POWER_FACTOR_ROWS: PowerFactorRow, "nema-power-factor"
}
table! {
    /// Least locked-rotor torque of design A and B.
    TORQUE, TORQUE_ROWS: TorqueRow, "nema-locked-rotor-torque"
}

/// Enclosure of a motor.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Enclosure {
    /// Open.
    Open,
    /// Enclosed.
    Enclosed,
}

impl EfficiencyRow {
    fn percent(&self, poles: u32, enclosure: Option<Enclosure>) -> Option<f64> {
        let (enclosed, open) = match poles {
            2 => (self.enc_2p?, self.open_2p?),
            4 => (self.enc_4p?, self.open_4p?),
            6 => (self.enc_6p?, self.open_6p?),
            8 => (self.enc_8p?, self.open_8p?),
            _ => return None,
        };
        Some(match enclosure {
            Some(Enclosure::Enclosed) => enclosed,
            Some(Enclosure::Open) => open,
            None => enclosed.min(open),
        })
    }
}

/// Nominal efficiency of a premium-efficiency motor, 0 to 1; the lower of open and enclosed where that is not known; between two
/// rows that of the smaller motor. None below 1 hp, above the table, and for other numbers of poles.
#[must_use]
pub fn premium_efficiency(horsepower: f64, poles: u32, enclosure: Option<Enclosure>) -> Option<f64> {
    if !EFFICIENCY_ROWS.last().is_some_and(|row| fits(horsepower, row.hp)) {
        return None;
    }
    let row = EFFICIENCY_ROWS.iter().rfind(|row| fits(row.hp, horsepower))?;
    row.percent(poles, enclosure).map(|percent| percent / 100.0)
}

/// Assumed power factor at full load (from memory): that of the next smaller row, and of the last one above the table.
#[must_use]
pub fn power_factor(horsepower: f64) -> Option<f64> {
    let first = POWER_FACTOR_ROWS.first().filter(|_| horsepower > 0.0);
    POWER_FACTOR_ROWS.iter().rfind(|row| fits(row.hp, horsepower)).or(first).map(|row| row.power_factor)
}

/// Least locked-rotor torque of a motor of design A or B over its full-load torque (from memory): by synchronous speed at 60 Hz;
/// between two rows that of the larger motor. None where nothing is tabulated.
#[must_use]
pub fn locked_rotor_torque(horsepower: f64, poles: u32) -> Option<f64> {
    let row = TORQUE_ROWS.iter().find(|row| fits(horsepower, row.hp))?;
    let percent = match poles {
        2 => row.lrt_pct_3600,
        4 => row.lrt_pct_1800,
        6 => row.lrt_pct_1200,
        8 => row.lrt_pct_900,
        10 => row.lrt_pct_720,
        12 => row.lrt_pct_600,
        14 => row.lrt_pct_514,
        _ => None,
    };
    percent.map(|percent| percent / 100.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn larger_motors_are_not_less_efficient() {
        for poles in [2, 4, 6, 8] {
            for enclosure in [Some(Enclosure::Open), Some(Enclosure::Enclosed), None] {
                let values: Vec<f64> = EFFICIENCY_ROWS.iter().filter_map(|row| row.percent(poles, enclosure)).collect();
                assert!(values.len() > 15 && values.is_sorted(), "{poles} poles {enclosure:?}");
            }
        }
        assert!(POWER_FACTOR_ROWS.is_sorted_by(|a, b| a.hp < b.hp && a.power_factor <= b.power_factor));
    }

    #[test]
    fn torque_falls_with_horsepower() {
        for poles in [2, 4, 6, 8, 10, 12, 14] {
            let values: Vec<f64> = TORQUE_ROWS.iter().filter_map(|row| locked_rotor_torque(row.hp, poles)).collect();
            assert!(values.len() > 10 && values.is_sorted_by(|a, b| a >= b), "{poles} poles");
        }
    }

    #[test]
    fn look_ups_take_the_safer_side() {
        assert_eq!(premium_efficiency(50.0, 4, None), Some(0.945));
        assert_eq!(premium_efficiency(7.5, 4, None), Some(0.91));
        assert_eq!(premium_efficiency(59.0, 4, None), Some(0.945));
        assert_eq!(premium_efficiency(0.5, 4, None), None);
        assert_eq!(premium_efficiency(600.0, 4, None), None);
        assert_eq!(premium_efficiency(f64::NAN, 4, None), None);
        assert_eq!(premium_efficiency(10.0, 10, None), None);
        assert_eq!(power_factor(0.25), Some(0.70));
        assert_eq!(power_factor(1000.0), Some(0.89));
        assert_eq!(power_factor(-1.0), None);
        assert_eq!(locked_rotor_torque(12.0, 4), Some(1.6));
        assert_eq!(locked_rotor_torque(0.5, 4), None);
    }
}
