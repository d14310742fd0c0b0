//! Impedance of conductors in raceways: Chapter 9 Table 9, direct-current resistance of Table 8.

use serde::Deserialize;

use crate::load::Material;
use crate::quantity::{Celsius, Impedance, Metres, Ohms};
use crate::record::{Formula, Record};
use crate::rules::nec::conductor::{Size, constant};
use crate::rules::units::METRES_A_FOOT;

/// Impedance of one size.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ImpedanceRow {
    size: String,
    x_nonmagnetic: f64,
    x_steel: f64,
    copper_r_pvc: f64,
    copper_r_aluminium: f64,
    copper_r_steel: f64,
    aluminium_r_pvc: Option<f64>,
    aluminium_r_aluminium: Option<f64>,
    aluminium_r_steel: Option<f64>,
    copper_z85_pvc: f64,
    copper_z85_aluminium: f64,
    copper_z85_steel: f64,
    aluminium_z85_pvc: Option<f64>,
    aluminium_z85_aluminium: Option<f64>,
    aluminium_z85_steel: Option<f64>,
}

table! {
    /// Impedances.
    IMPEDANCE, IMPEDANCE_ROWS: ImpedanceRow, "conductor-impedance"
}

formula! {
    /// Resistance at a temperature, from that at 75 °C.
    RESISTANCE: "resistance of 1000 ft at temperature", "Ω/kft", "NFPA 70, Chapter 9 Table 8, note 2";
    "R = R75 (1 + α (θ − 75))"; "R75*(1+alpha*(theta-75))";
    |R75, alpha, theta| R75 * (1.0 + alpha * (theta - 75.0))
}
formula! {
    /// Impedance at a power factor.
    EFFECTIVE: "effective impedance of 1000 ft", "Ω/kft", "NFPA 70, Chapter 9 Table 9, note 2";
    "Z = R cosφ + X sinφ"; "R*pf+X*SQRT(1-pf^2)";
    |R, X, pf| R * pf + X * (1.0 - pf * pf).max(0.0).sqrt()
}

/// The formulas of this file.
pub const FORMULAS: &[&Formula] = &[&RESISTANCE, &EFFECTIVE];

/// The material of a raceway's wall.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wall {
    /// PVC.
    Pvc,
    /// Aluminium.
    Aluminium,
    /// Steel.
    Steel,
}

/// Impedance of 1000 ft at 75 °C and 60 Hz, and how it was found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PerThousandFeet {
    /// Resistance and reactance to neutral.
    pub impedance: Impedance,
    /// Interpolated between the neighbours in the table.
    pub interpolated: bool,
}

impl ImpedanceRow {
    fn of(&self, material: Material, wall: Wall) -> Option<Impedance> {
        let r = match (material, wall) {
            (Material::Copper, Wall::Pvc) => Some(self.copper_r_pvc),
            (Material::Copper, Wall::Aluminium) => Some(self.copper_r_aluminium),
            (Material::Copper, Wall::Steel) => Some(self.copper_r_steel),
            (Material::Aluminium, Wall::Pvc) => self.aluminium_r_pvc,
            (Material::Aluminium, Wall::Aluminium) => self.aluminium_r_aluminium,
            (Material::Aluminium, Wall::Steel) => self.aluminium_r_steel,
        }?;
        let x = if wall == Wall::Steel { self.x_steel } else { self.x_nonmagnetic };
        Some(Impedance { r: Ohms(r), x: Ohms(x) })
    }

    fn printed(&self, material: Material, wall: Wall) -> Option<f64> {
        match (material, wall) {
            (Material::Copper, Wall::Pvc) => Some(self.copper_z85_pvc),
            (Material::Copper, Wall::Aluminium) => Some(self.copper_z85_aluminium),
            (Material::Copper, Wall::Steel) => Some(self.copper_z85_steel),
            (Material::Aluminium, Wall::Pvc) => self.aluminium_z85_pvc,
            (Material::Aluminium, Wall::Aluminium) => self.aluminium_z85_aluminium,
            (Material::Aluminium, Wall::Steel) => self.aluminium_z85_steel,
        }
    }
}

/// Impedance of Table 9; sizes between two rows are interpolated (resistance over the inverse of the section, reactance over the
/// section). None outside the table.
#[must_use]
pub fn per_thousand_feet(size: Size, material: Material, wall: Wall) -> Option<PerThousandFeet> {
    let row = |size: Size| IMPEDANCE_ROWS.iter().find(|row| row.size == size.name()).and_then(|row| row.of(material, wall));
    if let Some(impedance) = row(size) {
        return Some(PerThousandFeet { impedance, interpolated: false });
    }
    let tabulated = |size: &Size| row(*size).is_some();
    let below = Size::all().rfind(|other| *other < size && tabulated(other))?;
    let above = Size::all().find(|other| *other > size && tabulated(other))?;
    let (low, high) = (row(below)?, row(above)?);
    let between = |of: fn(Size) -> f64| (of(size) - of(below)) / (of(above) - of(below));
    let by_inverse = between(|size| 1.0 / size.cmil());
    let by_section = between(Size::cmil);
    let impedance = Impedance { r: low.r + (high.r - low.r) * by_inverse, x: low.x + (high.x - low.x) * by_section };
    Some(PerThousandFeet { impedance, interpolated: true })
}

/// Impedance of Table 9 at power factor 0.85, as printed. No circuit asks for this yet.
#[must_use]
pub fn printed_at_85(size: Size, material: Material, wall: Wall) -> Option<Ohms> {
    IMPEDANCE_ROWS.iter().find(|row| row.size == size.name())?.printed(material, wall).map(Ohms)
}

/// Impedance at a power factor, of 1000 ft. No circuit asks for this yet.
pub fn effective(record: &mut Record, impedance: Impedance, power_factor: f64) -> Ohms {
    Ohms(record.step(&EFFECTIVE, &[impedance.r.0, impedance.x.0, power_factor]))
}

/// Resistance of 1000 ft at a temperature.
pub fn resistance_at(record: &mut Record, at_75: Ohms, material: Material, temperature: Celsius) -> Ohms {
    let alpha = constant(if material == Material::Copper { "copper-alpha75-per-k" } else { "aluminium-alpha75-per-k" });
    Ohms(record.step(&RESISTANCE, &[at_75.0, alpha, temperature.0]))
}

/// Thousands of feet in a length.
#[must_use]
pub fn thousands_of_feet(length: Metres) -> f64 {
    length.0 / METRES_A_FOOT / 1000.0
}

/// Impedance of a conductor at a temperature and frequency.
pub fn of_length(
    record: &mut Record,
    per_kft: Impedance,
    material: Material,
    temperature: Celsius,
    frequency_hz: f64,
    length: Metres,
) -> Impedance {
    let r = resistance_at(record, per_kft.r, material, temperature);
    let x = per_kft.x * (frequency_hz / constant("table-9-hz"));
    Impedance { r, x } * thousands_of_feet(length)
}

#[cfg(test)]
mod tests {
    use super::*;

    const WALLS: [Wall; 3] = [Wall::Pvc, Wall::Aluminium, Wall::Steel];

    #[test]
    fn table_9_agrees_with_table_8_and_with_its_own_impedances() {
        let mut compared = 0;
        for row in IMPEDANCE_ROWS.iter() {
            let size = Size::parse(&row.size).expect("a size");
            for material in [Material::Copper, Material::Aluminium] {
                for wall in WALLS {
                    let Some(impedance) = row.of(material, wall) else { continue };
                    // Alternating current never flows with less resistance than direct current; both are rounded to two or three digits.
                    let dc = size.dc_ohm_per_kft(material);
                    let most = 1.06 + if wall == Wall::Pvc { 0.15 } else { 0.47 } * (size.cmil() / 1e6);
                    assert!(
                        impedance.r.0 > 0.965 * dc && impedance.r.0 < most * dc,
                        "{} {material:?} {wall:?}: {} against {dc}",
                        row.size,
                        impedance.r.0
                    );
                    let printed = row.printed(material, wall).expect("it stands beside the resistance");
                    let computed = effective(&mut Record::new(), impedance, 0.85).0;
                    let unit = if printed >= 1.0 {
                        0.1
                    } else if printed >= 0.1 {
                        0.01
                    } else {
                        0.001
                    };
                    assert!(
                        (computed - printed).abs() <= 1.1 * unit,
                        "{} {material:?} {wall:?}: {computed} against {printed}",
                        row.size
                    );
                    compared += 1;
                }
            }
        }
        assert!(compared > 110, "{compared}");
    }

    #[test]
    fn reactance_in_steel_is_a_quarter_more() {
        // Table 9: the steel column is 1.25 times the other, rounded.
        assert!(!IMPEDANCE_ROWS.is_empty());
        for row in IMPEDANCE_ROWS.iter() {
            let ratio = row.x_steel / row.x_nonmagnetic;
            assert!((1.21..=1.28).contains(&ratio), "{}: {ratio}", row.size);
        }
    }

    #[test]
    fn larger_sizes_never_resist_more_and_gaps_lie_between_their_neighbours() {
        for material in [Material::Copper, Material::Aluminium] {
            for wall in WALLS {
                let mut last = f64::INFINITY;
                for size in Size::all() {
                    let Some(per_thousand_feet) = per_thousand_feet(size, material, wall) else { continue };
                    assert!(per_thousand_feet.impedance.r.0 < last, "{} {wall:?}", size.text());
                    last = per_thousand_feet.impedance.r.0;
                }
            }
        }
        let of = |text: &str| per_thousand_feet(Size::parse(text).expect("a size"), Material::Copper, Wall::Steel);
        for text in ["700", "800", "900"] {
            assert!(of(text).is_some_and(|found| found.interpolated), "{text}");
        }
        assert!(of("500").is_some_and(|found| !found.interpolated));
        assert!(of("1250").is_none() && of("18").is_none());
    }

    #[test]
    fn direct_current_resistance_at_temperature() {
        // Table 8: 1/0 AWG copper 0.122 Ω per 1000 ft at 75 °C; note 2 at 20 °C: × (1 − 0.00323 × 55) = 0.1003.
        let size = Size::parse("1/0").expect("a size");
        let at_75 = Ohms(size.dc_ohm_per_kft(Material::Copper));
        assert!((resistance_at(&mut Record::new(), at_75, Material::Copper, Celsius(20.0)).0 - 0.1003).abs() < 5e-5);
        assert!((thousands_of_feet(Metres(304.8)) - 1.0).abs() < 1e-12);
    }

    /// 700 kcmil is not in Chapter 9, Table 9; it lies between its neighbours 600 and 750 kcmil.
    #[test]
    fn a_size_between_two_rows_lies_between_them() {
        let of =
            |text: &str| per_thousand_feet(Size::parse(text).expect("a size"), Material::Copper, Wall::Steel).expect("a value");
        let (low, per_thousand_feet, high) = (of("600"), of("700"), of("750"));
        assert!(per_thousand_feet.interpolated && !low.interpolated && !high.interpolated);
        // 700 kcmil is two thirds of the way by section and 0.71 by its inverse; rows that are printed alike say nothing.
        let share = |low: f64, between: f64, high: f64| if low == high { 0.5 } else { (between - low) / (high - low) };
        for share in [
            share(low.impedance.r.0, per_thousand_feet.impedance.r.0, high.impedance.r.0),
            share(low.impedance.x.0, per_thousand_feet.impedance.x.0, high.impedance.x.0),
        ] {
            assert!((0.6..=0.8).contains(&share) || share == 0.5, "{share}");
        }
    }
}
