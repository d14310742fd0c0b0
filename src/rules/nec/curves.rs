//! Acting times that documents of the NEC world publish: classes of overload relays, what time-delay fuses hold, heating of conductors.

use std::f64::consts::PI;

use serde::Deserialize;

use crate::load::{Material, ProtectionKind};
use crate::quantity::{Amperes, Seconds, SquareMillimetres};
use crate::rules::curves::{ActingLimits, ClassAsk, ClassLimits, ClassMark, CurveRules, at};
use crate::rules::nec::figures::figure;
use crate::rules::nec::{Nec, bounds, groups, overload};
use crate::rules::physics::tripping::TripClass;

/// Temperatures of one kind of insulation.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TemperatureRow {
    insulation: String,
    initial_c: f64,
    final_c: f64,
}

/// Constants of one material.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MaterialRow {
    material: String,
    factor: f64,
    zero_resistance_c: f64,
}

table! {
    /// Temperatures before and after a short circuit.
    TEMPERATURES, TEMPERATURE_ROWS: TemperatureRow, "short-circuit-temperatures"
}
table! {
    /// Constants of the heating by a short circuit.
    HEATING, HEATING_ROWS: MaterialRow, "short-circuit-heating"
}

/// Circular mils in a square millimetre: a mil is 0.0254 mm.
const CIRCULAR_MILS: f64 = 4.0 / (PI * 0.0254 * 0.0254);

impl CurveRules for Nec {
    fn class_limits(&self, ask: &ClassAsk<'_>) -> Option<ClassLimits> {
        let class = TripClass::parse(ask.class)?;
        // The multiples count from the current at which a relay trips in the end, not from its dial.
        let trips = overload::ultimate_trip(ask.ultimate_trip);
        let mark = |multiple: f64, most: f64| ClassMark { multiple: multiple * trips, least: None, most: Seconds(most) };
        let twice = mark(figure("relay-double-multiple"), figure("relay-double-most-s"));
        let six = mark(figure("relay-class-multiple"), class.number);
        Some(ClassLimits { ultimate: None, marks: vec![twice, six], source: "NEMA ICS 2; UL 60947-4-1" })
    }

    fn fuse_limits(&self, kind: &str, rating: Amperes) -> Option<ActingLimits> {
        let (kind, _) = ProtectionKind::ALL.iter().find(|(_, word)| *word == kind)?;
        let (multiple, time) = groups::start_hold(bounds::device_of(*kind)?)?;
        Some(ActingLimits { carries: vec![at(multiple * rating.0, time.0)], acts: Vec::new(), source: "UL 248" })
    }

    fn breaker_limits(&self, _kind: &str, _rating: Amperes) -> Option<ActingLimits> {
        None
    }

    fn withstand_factor(&self, insulation: &str, material: Material, _size: SquareMillimetres) -> Option<(f64, &'static str)> {
        let insulation = insulation.trim().to_ascii_lowercase();
        let heat = TEMPERATURE_ROWS.iter().find(|row| row.insulation == insulation)?;
        let word = if material == Material::Copper { "copper" } else { "aluminum" };
        let constants = HEATING_ROWS.iter().find(|row| row.material == word)?;
        let rise = (heat.final_c + constants.zero_resistance_c) / (heat.initial_c + constants.zero_resistance_c);
        Some((CIRCULAR_MILS * (constants.factor * libm::log10(rise)).sqrt(), "NFPA 70, Table 240.92(B)"))
    }

    fn withstand_longest(&self) -> Seconds {
        Seconds(figure("conductor-heating-most-s"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The formula in circular mils against the one of IEC 60364-5-54, Annex A for PVC from 70 to 160 °C (115, copper): two
    /// standards for one physics, worked out for the same temperatures.
    #[test]
    fn heating_in_circular_mils_and_in_square_millimetres_agree() {
        let copper = HEATING_ROWS.iter().find(|row| row.material == "copper").expect("copper");
        let k = CIRCULAR_MILS * (copper.factor * libm::log10((160.0 + 234.0) / (70.0 + 234.0))).sqrt();
        assert!((k / 115.0 - 1.0).abs() < 0.01, "{k}");
        let aluminium = HEATING_ROWS.iter().find(|row| row.material == "aluminum").expect("aluminium");
        let k = CIRCULAR_MILS * (aluminium.factor * libm::log10((160.0 + 228.0) / (70.0 + 228.0))).sqrt();
        assert!((k / 76.0 - 1.0).abs() < 0.02, "{k}");
    }

    #[test]
    fn every_insulation_of_the_book_has_temperatures_that_rise() {
        assert!(!crate::rules::nec::conductor::INSULATION_ROWS.is_empty());
        for row in crate::rules::nec::conductor::INSULATION_ROWS.iter() {
            let temperature_row = TEMPERATURE_ROWS
                .iter()
                .find(|temperature_row| temperature_row.insulation == row.name)
                .unwrap_or_else(|| panic!("{}", row.name));
            assert!(
                row.dry_c.is_some_and(|dry| temperature_row.initial_c >= dry)
                    && temperature_row.final_c > temperature_row.initial_c,
                "{}",
                row.name
            );
        }
    }

    /// Cross-linked insulation from 90 to 250 °C: k = 143 of copper and 94 of aluminium (IEC 60364-5-54, Table A.54.4).
    #[test]
    fn cross_linked_insulation_withstands_what_the_other_standard_says() {
        let book = Nec { edition: crate::rules::nec::Edition::E2023 };
        for (material, expected) in [(Material::Copper, 143.0), (Material::Aluminium, 94.0)] {
            let (k, _) = book.withstand_factor("XHHW-2", material, SquareMillimetres(2.08)).expect("it is listed");
            assert!((k / expected - 1.0).abs() < 0.02, "{material:?}: {k}");
        }
    }

    /// Time-delay fuses carry five times their rated current for 10 s (UL 248-12), those of class CC twice for 12 s (UL 248-4).
    #[test]
    fn time_delay_fuses_carry_a_start() {
        let book = Nec { edition: crate::rules::nec::Edition::E2023 };
        for (kind, amperes, seconds) in [("dual-element", 150.0, 10.0), ("class-CC", 60.0, 12.0)] {
            let acting_limits = book.fuse_limits(kind, Amperes(30.0)).unwrap_or_else(|| panic!("{kind}"));
            assert_eq!(acting_limits.carries, [at(amperes, seconds)], "{kind}");
        }
        assert_eq!(book.fuse_limits("inverse-time", Amperes(30.0)), None);
    }
}
