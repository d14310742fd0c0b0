//! Control circuits: protection of conductors tapped from the motor circuit (430.72(B)) and of control transformers (430.72(C)).

use serde::Deserialize;

use super::book::gap;
use super::conductor::Size;
use super::standard_ratings::{DeviceKind, next_down, next_up};
use super::{Edition, Nec};
use crate::quantity::{Amperes, SquareMillimetres, Volts};
use crate::record::{Formula, Record};
use crate::rules::control::{ControlConductor, ControlRules, DeviceBounds, TransformerAsk, TransformerDevices};
use crate::rules::physics::currents::apparent_current;

/// Largest devices of one size.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ConductorRow {
    size: String,
    separate_cu_a: Option<f64>,
    separate_al_a: Option<f64>,
    inside_cu_a: Option<f64>,
    inside_al_a: Option<f64>,
    outside_cu_a: Option<f64>,
    outside_al_a: Option<f64>,
}

/// Percentage for sizes above the rows.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PercentRow {
    column: String,
    max_pct: f64,
    /// Table of the ampacity.
    pub ampacity: String,
}

/// One limit of transformer protection.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TransformerRow {
    method: String,
    winding: String,
    current_from_a: f64,
    current_below_a: Option<f64>,
    max_pct: f64,
    next_size_up: bool,
    clause: String,
}

table! {
    /// Protection of control conductors.
    CONDUCTORS, CONDUCTOR_ROWS: ConductorRow, "control-conductor-protection"
}
table! {
    /// The same above 10 AWG.
    LARGER, LARGER_ROWS: PercentRow, "control-conductor-percent"
}
table! {
    /// Protection of transformers.
    TRANSFORMERS, TRANSFORMER_ROWS: TransformerRow, "transformer-protection"
}

formula! {
    /// Control conductors above 10 AWG.
    LARGER_CONDUCTOR: "largest device of control conductors above 10 AWG", "A", "430.72(B), last row of the table";
    "Ip = p Iz / 100"; "p*Iz/100"; |p, Iz| p * Iz / 100.0
}
formula! {
    /// Primary device that also protects a two-wire secondary.
    SECONDARY_BY_PRIMARY: "largest primary device that protects the two-wire secondary", "A", "430.72(B) Exception 2";
    "Ip = Is Us / Up"; "Is*Us/Up"; |Is, Us, Up| Is * Us / Up
}
formula! {
    /// Transformer device.
    TRANSFORMER_DEVICE: "largest device of the transformer", "A", "450.3(B), 430.72(C)";
    "Ip = p Ir / 100"; "p*Ir/100"; |p, Ir| p * Ir / 100.0
}

/// The formulas of this file.
pub const FORMULAS: &[&Formula] = &[&LARGER_CONDUCTOR, &SECONDARY_BY_PRIMARY, &TRANSFORMER_DEVICE];

/// How control conductors are protected.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tapping {
    /// By a device of their own (column A).
    Separate,
    /// By the branch device, and they stay inside the controller's enclosure (column B).
    Inside,
    /// By the branch device, and they leave it (column C).
    Outside,
}

/// Clause of the table in an edition.
#[must_use]
pub fn conductor_clause(edition: Edition) -> &'static str {
    if edition >= Edition::E2023 { "Table 430.72(B)(2)" } else { "Table 430.72(B)" }
}

/// Largest device of control conductors up to 10 AWG, copper or aluminium; none where the table has none, and above 10 AWG:
/// [`larger_conductor_maximum`].
#[must_use]
pub fn conductor_maximum(size: &str, aluminium: bool, tapping: Tapping) -> Option<Amperes> {
    let row = CONDUCTOR_ROWS.iter().find(|row| row.size == size)?;
    let figure = match (tapping, aluminium) {
        (Tapping::Separate, false) => row.separate_cu_a,
        (Tapping::Separate, true) => row.separate_al_a,
        (Tapping::Inside, false) => row.inside_cu_a,
        (Tapping::Inside, true) => row.inside_al_a,
        (Tapping::Outside, false) => row.outside_cu_a,
        (Tapping::Outside, true) => row.outside_al_a,
    };
    figure.map(Amperes)
}

/// Largest device of control conductors above 10 AWG, from the ampacity in the 60 °C column of 310.16, or, inside the enclosure, of
/// 310.17 (free air). No circuit asks for this yet.
pub fn larger_conductor_maximum(record: &mut Record, tapping: Tapping, ampacity_60c: Amperes) -> Option<Amperes> {
    let key = match tapping {
        Tapping::Separate => "separate",
        Tapping::Inside => "inside",
        Tapping::Outside => "outside",
    };
    let row = LARGER_ROWS.iter().find(|row| row.column == key)?;
    Some(Amperes(record.step(&LARGER_CONDUCTOR, &[row.max_pct, ampacity_60c.0])))
}

/// Largest primary device that also protects the conductors of a two-wire secondary: their own limit times the voltage ratio.
/// No circuit asks for this yet.
pub fn secondary_by_primary(record: &mut Record, secondary_limit: Amperes, secondary: Volts, primary: Volts) -> Amperes {
    Amperes(record.step(&SECONDARY_BY_PRIMARY, &[secondary_limit.0, secondary.0, primary.0]))
}

/// Where a transformer is protected.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Method {
    /// On the primary only, 450.3(B).
    PrimaryOnly,
    /// On both sides, 450.3(B).
    PrimaryAndSecondary,
    /// On the primary, by 430.72(C)(4): rated primary current below 2 A, in the controller's enclosure; else as `PrimaryOnly`.
    Control,
}

/// A limit of transformer protection.
#[derive(Clone, Debug, PartialEq)]
pub struct TransformerLimit {
    /// Rated current of the winding.
    pub rated: Amperes,
    /// Largest device before rounding.
    pub computed: Amperes,
    /// Largest standard rating of the kind of device: the next size up where Note 1 permits it, else rounded down; none below the smallest
    /// standard rating.
    pub rating: Option<Amperes>,
    /// Per cent.
    pub percent: f64,
    /// Clause.
    pub clause: &'static str,
}

/// Limit of one winding from its rated current, for a fuse or a circuit breaker.
pub fn winding_limit(
    record: &mut Record,
    edition: Edition,
    kind: DeviceKind,
    method: Method,
    primary: bool,
    rated: Amperes,
) -> Option<TransformerLimit> {
    if !(rated.0 > 0.0 && rated.0.is_finite()) {
        return None;
    }
    let winding = if primary { "primary" } else { "secondary" };
    let methods: &[&str] = match method {
        Method::PrimaryOnly => &["primary-only"],
        Method::PrimaryAndSecondary => &["primary-and-secondary"],
        Method::Control => &["control", "primary-only"],
    };
    let row = methods.iter().find_map(|method| {
        let of_method = TRANSFORMER_ROWS.iter().filter(|row| row.method == *method && row.winding == winding);
        of_method.clone().find(|row| row.current_from_a <= rated.0 && row.current_below_a.is_none_or(|below| rated.0 < below))
    })?;
    let computed = Amperes(record.step(&TRANSFORMER_DEVICE, &[row.max_pct, rated.0]));
    let rating = if row.next_size_up { next_up(edition, kind, computed) } else { next_down(edition, kind, computed) };
    Some(TransformerLimit { rated, computed, rating, percent: row.max_pct, clause: row.clause.as_str() })
}

impl ControlRules for Nec {
    fn supply_per_starter(&self) -> bool {
        // So one disconnecting means opens motor and control circuit (430.75).
        true
    }

    fn line_fed_starters(&self) -> Option<(u32, &'static str)> {
        None
    }

    fn control_conductors(&self) -> Vec<ControlConductor> {
        let usual = format!("{}", gap("control-conductor-awg"));
        let from = CONDUCTOR_ROWS.iter().position(|row| row.size == usual).unwrap_or(0);
        let of = |row: &ConductorRow| {
            let size = Size::parse(&row.size)?;
            let most = conductor_maximum(&row.size, false, Tapping::Separate)?;
            let clause = conductor_clause(self.edition);
            Some(ControlConductor { size: size.text(), area: SquareMillimetres(size.mm2()), most, clause })
        };
        CONDUCTOR_ROWS.iter().skip(from).filter_map(of).collect()
    }

    fn transformer_devices(&self, ask: &TransformerAsk, record: &mut Record) -> Option<TransformerDevices> {
        if !(ask.power.0 > 0.0 && ask.primary.0 > 0.0 && ask.secondary.0 > 0.0) {
            return None;
        }
        let rated = |record: &mut Record, voltage| apparent_current(record, ask.power, voltage, 1);
        let (primary, secondary) = (rated(record, ask.primary), rated(record, ask.secondary));
        // 430.72(C)(4) is for a transformer in the controller's enclosure with little current; its row ends at 2 A.
        let of_controller = TRANSFORMER_ROWS
            .iter()
            .any(|row| row.method == "control" && ask.at_controller && row.current_below_a.is_none_or(|below| primary.0 < below));
        let before = if of_controller { Method::Control } else { Method::PrimaryAndSecondary };
        let mut limit = |method, is_primary, current| {
            let limit = winding_limit(record, self.edition, DeviceKind::Fuse, method, is_primary, current)?;
            // Where Note 1 permits the next standard rating, that one is the limit.
            let most = limit.rating.map_or(limit.computed, |rating| rating.max(limit.computed));
            Some(DeviceBounds { least: Amperes(0.0), most, largest_first: true, clause: limit.clause })
        };
        Some(TransformerDevices {
            primary: limit(before, true, primary)?,
            secondary: limit(Method::PrimaryAndSecondary, false, secondary)?,
        })
    }

    fn tap_limit(&self, leaves: bool) -> Option<(Amperes, &'static str)> {
        let usual = format!("{}", gap("control-conductor-awg"));
        let tapping = if leaves { Tapping::Outside } else { Tapping::Inside };
        Some((conductor_maximum(&usual, false, tapping)?, conductor_clause(self.edition)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::VoltAmperes;

    #[test]
    fn conductors_by_column() {
        assert_eq!(conductor_maximum("14", false, Tapping::Separate), Some(Amperes(15.0)));
        assert_eq!(conductor_maximum("14", false, Tapping::Inside), Some(Amperes(100.0)));
        assert_eq!(conductor_maximum("14", false, Tapping::Outside), Some(Amperes(45.0)));
        assert_eq!(conductor_maximum("18", false, Tapping::Outside), Some(Amperes(7.0)));
        assert_eq!(conductor_maximum("14", true, Tapping::Outside), None);
        assert_eq!(conductor_maximum("8", false, Tapping::Outside), None);
        // 8 AWG, 40 A at 60 °C in Table 310.16.
        assert_eq!(larger_conductor_maximum(&mut Record::new(), Tapping::Outside, Amperes(40.0)), Some(Amperes(120.0)));
        assert_ne!(conductor_clause(Edition::E2020), conductor_clause(Edition::E2023));
    }

    #[test]
    fn columns_ascend_with_the_size_and_inside_is_never_less_than_outside() {
        let columns: [fn(&ConductorRow) -> Option<f64>; 3] =
            [|row| row.separate_cu_a, |row| row.inside_cu_a, |row| row.outside_cu_a];
        for column in columns {
            let values: Vec<f64> = CONDUCTOR_ROWS.iter().filter_map(column).collect();
            assert!(values.len() == 5 && values.is_sorted_by(|a, b| a < b));
        }
        assert!(CONDUCTOR_ROWS.iter().all(|row| row.outside_cu_a <= row.inside_cu_a));
    }

    /// 14 AWG on a 120 V secondary of a 480 V transformer: 45 A x 120/480.
    #[test]
    fn the_primary_device_may_protect_a_two_wire_secondary() {
        let secondary_by_primary = secondary_by_primary(&mut Record::new(), Amperes(45.0), Volts(120.0), Volts(480.0));
        assert!((secondary_by_primary.0 - 11.25).abs() < 1e-9);
    }

    /// 100 VA at 480 V: 0.208 A, of which 500 % is 1.04 A (1 A) by 430.72(C)(4) and 300 % is 0.625 A by 450.3(B) alone.
    #[test]
    fn control_transformers() {
        let of = |method, primary, va: f64, volts: f64| {
            winding_limit(&mut Record::new(), Edition::E2023, DeviceKind::Fuse, method, primary, Amperes(va / volts))
        };
        let limit = of(Method::Control, true, 100.0, 480.0);
        assert_eq!(
            limit.map(|limit| (limit.rating, limit.percent, limit.clause)),
            Some((Some(Amperes(1.0)), 500.0, "430.72(C)(4)"))
        );
        let alone = of(Method::PrimaryOnly, true, 100.0, 480.0);
        assert_eq!(alone.map(|limit| (limit.rating, limit.percent)), Some((None, 300.0)));
        // 2000 VA at 480 V: 4.17 A, no longer below 2 A.
        assert_eq!(of(Method::Control, true, 2000.0, 480.0).map(|limit| limit.percent), Some(167.0));
        // 2000 VA at 120 V: 16.7 A, 125 % is 20.8 A, next size up 25 A.
        let secondary = of(Method::PrimaryAndSecondary, false, 2000.0, 120.0);
        assert_eq!(secondary.map(|secondary| (secondary.rating, secondary.percent)), Some((Some(Amperes(25.0)), 125.0)));
        assert_eq!(of(Method::PrimaryOnly, false, 2000.0, 120.0), None);
        assert_eq!(of(Method::Control, true, 0.0, 480.0), None);
    }

    /// 100 VA from 480 V to 120 V: 0.208 A x 5 by 430.72(C)(4), 0.833 A x 1.67 by 450.3(B); apart from the controller 0.208 A x 2.5.
    #[test]
    fn devices_of_a_control_transformer() {
        let ask =
            TransformerAsk { power: VoltAmperes(100.0), primary: Volts(480.0), secondary: Volts(120.0), at_controller: true };
        let book = Nec { edition: Edition::E2023 };
        let devices = book.transformer_devices(&ask, &mut Record::new()).expect("devices");
        assert!((devices.primary.most.0 - 1.0417).abs() < 1e-3 && devices.primary.clause == "430.72(C)(4)");
        assert!((devices.secondary.most.0 - 1.3917).abs() < 1e-3 && devices.secondary.clause == "450.3(B)");
        let apart = book.transformer_devices(&TransformerAsk { at_controller: false, ..ask }, &mut Record::new());
        let apart = apart.expect("devices").primary;
        assert!((apart.most.0 - 0.5208).abs() < 1e-3 && apart.clause == "450.3(B)");
        // 2000 VA at 120 V: 16.7 A x 1.25 = 20.8 A, next standard rating 25 A (Note 1).
        let large = TransformerAsk { power: VoltAmperes(2000.0), ..ask };
        assert_eq!(
            book.transformer_devices(&large, &mut Record::new()).map(|transformer_device| transformer_device.secondary.most),
            Some(Amperes(25.0))
        );
    }

    /// Table 430.72(B)(2), columns A, B and C of 14 AWG copper.
    #[test]
    fn control_conductors_and_taps() {
        let book = Nec { edition: Edition::E2023 };
        let first = book.control_conductors().into_iter().next().expect("a size");
        assert_eq!((first.size.as_str(), first.most), ("14 AWG", Amperes(15.0)));
        assert_eq!(book.tap_limit(false).map(|limit| limit.0), Some(Amperes(100.0)));
        assert_eq!(book.tap_limit(true).map(|limit| limit.0), Some(Amperes(45.0)));
    }
}
