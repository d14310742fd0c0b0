//! Nominal voltage of a board, which decides fault currents and control supplies: behind a transformer whose voltage without load is
//! stated it is lower than that.

use serde::Deserialize;

use crate::basis::{Basis, LISTED, TransformerBasis};
use crate::rules::table::Figure;

/// A band of voltages without load with the nominal voltage of the system behind them.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Band {
    from_v: f64,
    to_v: f64,
    nominal_v: f64,
    #[allow(dead_code)] // for readers of the table
    remark: String,
}

table! {
    /// Nominal voltages behind transformers.
    NOMINAL, NOMINAL_ROWS: Band, "nominal-voltages"
}

table! {
    /// Limits by which voltages are told apart.
    LIMITS, LIMIT_ROWS: Figure, "voltage-limits"
}

/// A limit by which voltages are told apart, by its name. One that the table lacks is not a number, by which no two are alike; a test finds
/// it.
#[must_use]
pub fn voltage_limit(name: &str) -> f64 {
    LIMIT_ROWS.iter().find(|row| row.name == name).map_or(f64::NAN, |row| row.value)
}

/// Whether a voltage is, within the tolerance, the nominal one: both in V.
#[must_use]
pub fn is_same_voltage(voltage: f64, nominal: f64) -> bool {
    (voltage - nominal).abs() <= voltage_limit("voltage-tolerance") * nominal
}

/// Nominal voltage of the system behind a transformer that gives a voltage without load.
#[must_use]
pub fn nominal_behind(without_load: f64) -> f64 {
    let band = NOMINAL_ROWS.iter().find(|band| (band.from_v..=band.to_v).contains(&without_load));
    band.map_or(without_load, |band| band.nominal_v)
}

impl Basis {
    /// Nominal voltage between lines of a board: its own, else that of the transformer or board that feeds it, else that of the supply.
    #[must_use]
    pub fn board_voltage(&self, name: &str) -> Option<f64> {
        let mut at = name;
        // Boards that feed each other in a ring are told elsewhere; here they end.
        for _ in 0..=self.boards.len() {
            if let Some(voltage) = self.board(at).and_then(|board| board.voltage_v) {
                return Some(voltage);
            }
            let before = self.transformer_before(at);
            if let Some(secondary) = before.and_then(|transformer| transformer.secondary_voltage_v) {
                return Some(nominal_behind(secondary));
            }
            match self.named_before(at).filter(|from| before.is_none() && self.board(from).is_some()) {
                Some(from) => at = from,
                None => break,
            }
        }
        self.supply.voltage_v
    }

    /// Voltage without load of the transformer before a board whose own voltage nobody states, where it is not the nominal one.
    #[must_use]
    pub fn board_voltage_without_load(&self, name: &str) -> Option<f64> {
        if self.board(name).is_some_and(|board| board.voltage_v.is_some()) {
            return None;
        }
        self.transformer_before(name)?.secondary_voltage_v.filter(|secondary| nominal_behind(*secondary) < *secondary)
    }

    /// The transformer before a board. A name that a board of the basis bears too is that of the board.
    pub(crate) fn transformer_before(&self, board: &str) -> Option<&TransformerBasis> {
        if self.transformers.is_empty() {
            return None;
        }
        let feeding = self.named_before(board).filter(|name| self.board(name).is_none());
        let is = |text: &Option<String>, wanted: &str| text.as_deref().map(str::trim) == Some(wanted);
        self.transformers.iter().find(|unit| is(&unit.to, board) || feeding.is_some_and(|from| is(&unit.name, from)))
    }

    /// First name in `fed_from` of a board, which feeds it usually.
    pub(crate) fn named_before(&self, board: &str) -> Option<&str> {
        self.board(board)?.fed_from.as_deref()?.split(LISTED).next().map(str::trim)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Rated voltages of distribution transformers, 2.5 and 5 % above the nominal voltages of IEC 60038, Table 1; the nominal voltages of
    /// that table and of ANSI C84.1 stay what they are.
    #[test]
    fn a_voltage_without_load_belongs_to_the_nominal_one_below_it() {
        for (without_load, nominal) in [(410.0, 400.0), (420.0, 400.0), (433.0, 415.0), (725.0, 690.0), (241.5, 230.0)] {
            assert!((nominal_behind(without_load) - nominal).abs() < 1e-9, "{without_load}");
        }
        for nominal in [120.0, 208.0, 230.0, 240.0, 380.0, 400.0, 415.0, 440.0, 480.0, 500.0, 525.0, 600.0, 690.0, 1000.0] {
            assert!((nominal_behind(nominal) - nominal).abs() < 1e-9, "{nominal}");
        }
    }

    /// The second name of `fed_from` stands in for the first, whichever mark is between them.
    #[test]
    fn a_board_takes_the_voltage_of_what_feeds_it_first() {
        for mark in [",", ";", " ; "] {
            let text = format!(
                "[supply]\nvoltage_v = 400\n[[transformer]]\nname = \"T1\"\nsecondary_voltage_v = 725\n[[source]]\nname = \"G1\"\n\
                 [[board]]\nname = \"A\"\nfed_from = \"T1{mark}G1\"\n"
            );
            let (basis, _) = crate::basis::from_toml("basis.toml", &text).expect("a basis");
            assert_eq!(basis.board_voltage("A"), Some(690.0), "{mark}");
            assert_eq!(basis.board_voltage_without_load("A"), Some(725.0), "{mark}");
        }
    }

    /// A band lies above its nominal voltage, by no more than 6 %, and beside the others.
    #[test]
    fn bands_ascend_and_only_lower_a_voltage() {
        assert!(!NOMINAL_ROWS.is_empty());
        let mut before = 0.0;
        for band in NOMINAL_ROWS.iter() {
            assert!(before < band.from_v && band.from_v < band.to_v, "{band:?}");
            assert!(band.nominal_v < band.from_v && band.to_v <= 1.061 * band.nominal_v, "{band:?}");
            before = band.to_v;
        }
    }
}
