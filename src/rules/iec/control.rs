//! Control circuits after IEC 60204-1 and the trade's practice.

use serde::Deserialize;

use super::book::figure;
use crate::quantity::{Amperes, SquareMillimetres};
use crate::record::{Formula, Record};
use crate::rules::control::{ControlConductor, ControlRules, DeviceBounds, TransformerAsk, TransformerDevices};
use crate::rules::physics::currents::apparent_current;

/// A conductor of control circuits.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ConductorRow {
    size_mm2: f64,
    capacity_a: f64,
}

table! {
    /// Conductors of control circuits.
    CONDUCTORS, CONDUCTOR_ROWS: ConductorRow, "control-conductors"
}

formula! {
    /// Device before a control transformer.
    PRIMARY_DEVICE: "smallest device before the control transformer", "A", "inrush of transformers; common practice, no source";
    "Ip = a Ir"; "a*Ir"; |a, Ir| a * Ir
}

/// The formulas of this file.
pub const FORMULAS: &[&Formula] = &[&PRIMARY_DEVICE];

impl ControlRules for super::Iec {
    fn supply_per_starter(&self) -> bool {
        false
    }

    fn line_fed_starters(&self) -> Option<(u32, &'static str)> {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a small count
        let count = figure("line-fed-starters") as u32;
        Some((count, "IEC 60204-1, 9.1.1"))
    }

    fn control_conductors(&self) -> Vec<ControlConductor> {
        let usual = figure("control-conductor-mm2");
        let rows = CONDUCTOR_ROWS.iter().filter(|row| row.size_mm2 >= usual);
        rows.map(|row| ControlConductor {
            size: format!("{} mm2", row.size_mm2),
            area: SquareMillimetres(row.size_mm2),
            most: Amperes(row.capacity_a),
            clause: "IEC 60204-1, Table 6",
        })
        .collect()
    }

    fn transformer_devices(&self, ask: &TransformerAsk, record: &mut Record) -> Option<TransformerDevices> {
        if !(ask.power.0 > 0.0 && ask.primary.0 > 0.0 && ask.secondary.0 > 0.0) {
            return None;
        }
        let rated = apparent_current(record, ask.power, ask.primary, 1);
        let least = Amperes(record.step(&PRIMARY_DEVICE, &[figure("control-primary-least"), rated.0]));
        let secondary = apparent_current(record, ask.power, ask.secondary, 1);
        Some(TransformerDevices {
            // It clears faults; overload is the matter of the device behind the transformer.
            primary: DeviceBounds {
                least,
                most: rated * figure("control-primary-most"),
                largest_first: false,
                clause: "common practice, no source",
            },
            secondary: DeviceBounds {
                least: Amperes(0.0),
                most: secondary,
                largest_first: true,
                clause: "rated current of the control transformer; IEC 60204-1, 7.2.4 and 7.2.7",
            },
        })
    }

    fn tap_limit(&self, _: bool) -> Option<(Amperes, &'static str)> {
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{VoltAmperes, Volts};
    use crate::rules::iec::Iec;

    #[test]
    fn conductors_ascend_from_the_usual_size() {
        let sizes = Iec.control_conductors();
        assert_eq!(sizes.first().map(|size| size.size.as_str()), Some("1.5 mm2"));
        assert!(sizes.is_sorted_by(|a, b| a.area < b.area && a.most.0 < b.most.0));
    }

    /// 400 VA from 400 V to 230 V: 1 A and 1.74 A by circuit theory.
    #[test]
    fn a_transformer_is_protected_on_both_sides() {
        let ask =
            TransformerAsk { power: VoltAmperes(400.0), primary: Volts(400.0), secondary: Volts(230.0), at_controller: false };
        let devices = Iec.transformer_devices(&ask, &mut Record::new()).expect("devices");
        assert!((devices.secondary.most.0 - 1.739).abs() < 1e-3);
        assert!(devices.primary.least.0 > 1.0 && devices.primary.least.0 < devices.primary.most.0);
        assert_eq!(Iec.transformer_devices(&TransformerAsk { power: VoltAmperes(0.0), ..ask }, &mut Record::new()), None);
    }
}
