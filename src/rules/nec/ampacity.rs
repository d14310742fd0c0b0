//! Ampacity of conductors: Table 310.16 with corrections, the limit at terminations and what may protect a conductor.
//!
//! Two tests are independent of each other: the ampacity corrected for surroundings, from the column of the insulation, and the
//! uncorrected ampacity in the column of the terminations. The smaller is what the conductor may be used for.

use serde::Deserialize;

use crate::load::Material;
use crate::quantity::{Amperes, Celsius, fits};
use crate::record::{Formula, Record};
use crate::rules::nec::Edition;
use crate::rules::nec::conductor::{Insulation, Size, constant};
use crate::rules::nec::standard_ratings::{self, DeviceKind};

/// Ampacity of one size.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AmpacityRow {
    size: String,
    copper_60c_a: Option<f64>,
    copper_75c_a: Option<f64>,
    copper_90c_a: Option<f64>,
    aluminium_60c_a: Option<f64>,
    aluminium_75c_a: Option<f64>,
    aluminium_90c_a: Option<f64>,
}

/// Factors of one band of temperatures.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AmbientRow {
    ambient_upto_c: f64,
    factor_60c: Option<f64>,
    factor_75c: Option<f64>,
    factor_90c: Option<f64>,
}

/// Factor of one band of counts.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CountRow {
    count_upto: Option<u32>,
    factor_pct: f64,
}

/// One entry of the rule for terminations.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TerminationRow {
    name: String,
    value: String,
}

/// Range of a small motor conductor.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SmallMotorRow {
    size: String,
    full_load_above_a: f64,
    full_load_upto_a: f64,
    overload_class_upto: u32,
}

table! {
    /// Ampacities.
    AMPACITY, AMPACITY_ROWS: AmpacityRow, "ampacity"
}
table! {
    /// Correction for the ambient temperature.
    AMBIENT, AMBIENT_ROWS: AmbientRow, "ambient-correction"
}
table! {
    /// Adjustment for the number of conductors.
    COUNT, COUNT_ROWS: CountRow, "conductor-count-adjustment"
}
table! {
    /// Terminations.
    TERMINATIONS, TERMINATION_ROWS: TerminationRow, "termination-temperature"
}
table! {
    /// Small motor conductors.
    SMALL_MOTOR, SMALL_MOTOR_ROWS: SmallMotorRow, "small-motor-conductors"
}

formula! {
    /// Ampacity with correction and adjustment.
    CORRECTED: "corrected ampacity", "A", "NFPA 70, 310.15(B) and (C); 310.15(B)(2) and (3) in 2017";
    "I = n I0 k1 k2"; "n*I0*k1*k2";
    |n, I0, k1, k2| n * I0 * k1 * k2
}
formula! {
    /// Ampacity of the phases where the neutral carries more than a phase.
    BESIDE_NEUTRAL: "ampacity of the phases, the neutral decides", "A", "NFPA 70, 310.15(E)(3): third harmonics add up in the neutral";
    "I3 = I / (3 h3)"; "I/(3*h3)";
    |I, h3| I / (3.0 * h3)
}
formula! {
    /// Ampacity in the column of the terminations.
    AT_TERMINATIONS: "ampacity at terminations", "A", "NFPA 70, 110.14(C)(1)";
    "I = n It"; "n*It";
    |n, It| n * It
}
formula! {
    /// The usable ampacity of a conductor.
    USABLE: "usable ampacity", "A", "NFPA 70, 110.14(C) and 310.15";
    "I = min(I1, I2)"; "MIN(I1,I2)";
    |I1, I2| I1.min(I2)
}
formula! {
    /// Ambient temperature in a raceway close above a roof.
    ON_ROOF: "ambient temperature in a raceway on a roof", "°C", "NFPA 70, 310.15(B)(2); 310.15(B)(3)(c) in 2017";
    "θ = θa + Δθ"; "thetaA+dTheta";
    |thetaA, dTheta| thetaA + dTheta
}

/// The formulas of this file.
pub const FORMULAS: &[&Formula] = &[&CORRECTED, &BESIDE_NEUTRAL, &AT_TERMINATIONS, &USABLE, &ON_ROOF];

/// Column of Table 310.16.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Column {
    /// 60 °C.
    C60,
    /// 75 °C.
    C75,
    /// 90 °C.
    C90,
}

impl Column {
    /// The highest column that a temperature admits; none below 60 °C.
    #[must_use]
    pub fn of(temperature: Celsius) -> Option<Self> {
        [(90.0, Self::C90), (75.0, Self::C75), (60.0, Self::C60)]
            .into_iter()
            .find(|(celsius, _)| fits(*celsius, temperature.0))
            .map(|(_, column)| column)
    }

    /// Its temperature.
    #[must_use]
    pub fn temperature(self) -> Celsius {
        Celsius(match self {
            Self::C60 => 60.0,
            Self::C75 => 75.0,
            Self::C90 => 90.0,
        })
    }
}

/// Ampacity of Table 310.16; none if not tabulated.
#[must_use]
pub fn tabulated(size: Size, material: Material, column: Column) -> Option<Amperes> {
    let row = AMPACITY_ROWS.iter().find(|row| row.size == size.name())?;
    match (material, column) {
        (Material::Copper, Column::C60) => row.copper_60c_a,
        (Material::Copper, Column::C75) => row.copper_75c_a,
        (Material::Copper, Column::C90) => row.copper_90c_a,
        (Material::Aluminium, Column::C60) => row.aluminium_60c_a,
        (Material::Aluminium, Column::C75) => row.aluminium_75c_a,
        (Material::Aluminium, Column::C90) => row.aluminium_90c_a,
    }
    .map(Amperes)
}

/// Smallest size of at least 14 AWG whose tabulated ampacity times a factor reaches a need.
#[must_use]
pub fn smallest(need: Amperes, material: Material, column: Column, factor: f64) -> Option<Size> {
    Size::all()
        .filter(|size| fits(smallest_cmil(material), size.cmil()))
        .find(|size| tabulated(*size, material, column).is_some_and(|tabulated| need.fits(tabulated * factor)))
}

/// Smallest conductor of a power circuit, circular mils (310.3(A)).
#[must_use]
pub fn smallest_cmil(material: Material) -> f64 {
    constant(if material == Material::Copper { "smallest-copper-cmil" } else { "smallest-aluminium-cmil" })
}

/// Correction for the ambient temperature, in bands; none where the column is not permitted.
#[must_use]
pub fn ambient_factor(column: Column, ambient: Celsius) -> Option<f64> {
    let row = AMBIENT_ROWS.iter().find(|row| fits(ambient.0, row.ambient_upto_c))?;
    match column {
        Column::C60 => row.factor_60c,
        Column::C75 => row.factor_75c,
        Column::C90 => row.factor_90c,
    }
}

/// Adjustment for so many current-carrying conductors in one raceway.
#[must_use]
pub fn count_factor(count: u32) -> f64 {
    COUNT_ROWS.iter().find(|row| row.count_upto.is_none_or(|most| count <= most)).map_or(0.0, |row| row.factor_pct / 100.0)
}

/// Ambient temperature of conductors in a raceway on a roof, less than 7/8 in above it; `XHHW-2` is spared.
pub fn on_roof(record: &mut Record, ambient: Celsius, insulation: Insulation) -> Celsius {
    if insulation.spared_on_roofs() {
        return ambient;
    }
    Celsius(record.step(&ON_ROOF, &[ambient.0, constant("rooftop-adder-k")]))
}

/// Ampacity of equal sets in parallel, each in its own raceway with so many current-carrying conductors.
pub fn corrected(
    record: &mut Record,
    sets: u32,
    size: Size,
    material: Material,
    column: Column,
    ambient: Celsius,
    count: u32,
) -> Option<Amperes> {
    let table = tabulated(size, material, column)?;
    let warm = ambient_factor(column, ambient)?;
    let numbers = [f64::from(sets), table.0, warm, count_factor(count)];
    Some(Amperes(record.step_from(&CORRECTED, &numbers, source(column))))
}

/// Current of the phases that a set with a neutral of their size carries, from the third-harmonic current of each phase over its rated
/// current: beyond a third the neutral carries more than a phase.
pub fn beside_neutral(record: &mut Record, ampacity: Amperes, third: f64) -> Amperes {
    if third.is_finite() && fits(3.0 * third, 1.0) {
        ampacity
    } else {
        Amperes(record.step(&BESIDE_NEUTRAL, &[ampacity.0, third]))
    }
}

/// Where the numbers of a corrected ampacity come from: column of the ampacity, table of each factor.
fn source(column: Column) -> &'static str {
    match column {
        Column::C60 => {
            "NFPA 70, 310.15: I0 Table 310.16, 60 °C; k1 Table 310.15(B)(1)(1), k2 Table 310.15(C)(1); Tables 310.15(B)(16), (2)(a) and \
             (3)(a) in 2017"
        }
        Column::C75 => {
            "NFPA 70, 310.15: I0 Table 310.16, 75 °C; k1 Table 310.15(B)(1)(1), k2 Table 310.15(C)(1); Tables 310.15(B)(16), (2)(a) and \
             (3)(a) in 2017"
        }
        Column::C90 => {
            "NFPA 70, 310.15: I0 Table 310.16, 90 °C; k1 Table 310.15(B)(1)(1), k2 Table 310.15(C)(1); Tables 310.15(B)(16), (2)(a) and \
             (3)(a) in 2017"
        }
    }
}

fn termination(name: &str) -> Option<&'static str> {
    TERMINATION_ROWS.iter().find(|row| row.name == name).map(|row| row.value.as_str())
}

fn termination_temperature(name: &str) -> Celsius {
    Celsius(termination(name).and_then(|text| text.parse().ok()).unwrap_or(f64::NAN))
}

/// Temperature that a motor's design letter admits at terminations (110.14(C)(1)(a)(4)).
#[must_use]
pub fn design_letter_temperature(letter: &str, edition: Edition) -> Option<Celsius> {
    let mut letters = letter.trim().chars();
    let (first, None) = (letters.next()?.to_ascii_uppercase(), letters.next()) else { return None };
    let listed = termination(&format!("design-letters-{}", edition.year()))?;
    listed.contains(first).then(|| termination_temperature("design-letter-c"))
}

/// Column for terminations: 60 °C in circuits rated up to 100 A with conductors up to 1 AWG unless equipment is marked otherwise, else 75
/// °C (110.14(C)(1)). None if the marking is below 60 °C.
#[must_use]
pub fn termination_column(circuit: Amperes, size: Size, marked: Option<Celsius>) -> Option<Column> {
    let larger = termination_temperature("larger-c");
    if let Some(marked) = marked {
        return Column::of(marked.min(larger));
    }
    let most = termination("default-up-to-a").and_then(|text| text.parse().ok()).map(Amperes)?;
    let largest = Size::parse(termination("default-up-to-size")?)?;
    let default = circuit.fits(most) && size <= largest;
    Column::of(if default { termination_temperature("default-c") } else { larger })
}

/// Ampacity of equal sets in the column of the terminations, uncorrected.
pub fn at_terminations(record: &mut Record, sets: u32, size: Size, material: Material, column: Column) -> Option<Amperes> {
    let table = tabulated(size, material, column)?;
    let reference = match column {
        Column::C60 => "NFPA 70, 110.14(C)(1): It Table 310.16, 60 °C",
        Column::C75 => "NFPA 70, 110.14(C)(1): It Table 310.16, 75 °C",
        Column::C90 => "NFPA 70, 110.14(C)(1): It Table 310.16, 90 °C",
    };
    Some(Amperes(record.step_from(&AT_TERMINATIONS, &[f64::from(sets), table.0], reference)))
}

/// The usable ampacity of a conductor: the smaller of both tests.
pub fn usable(record: &mut Record, corrected: Amperes, at_terminations: Amperes) -> Amperes {
    Amperes(record.step(&USABLE, &[corrected.0, at_terminations.0]))
}

/// Largest device of a small conductor, for circuits of no motor (240.4(D)).
#[must_use]
pub fn small_conductor_limit(size: Size, material: Material) -> Option<Amperes> {
    let word = if material == Material::Copper { "copper" } else { "aluminium" };
    standard_ratings::small_conductor_protection(size.name(), word)
}

/// Largest device that protects a conductor of this ampacity: the next standard rating up to 800 A, else none above the ampacity
/// (240.4(B) and (C)); small conductors have their own (240.4(D)).
#[must_use]
pub fn largest_device(ampacity: Amperes, size: Size, material: Material) -> Amperes {
    // Fuses and breakers differ below 15 A and at 601 A only, where no conductor depends on it.
    let device = standard_ratings::conductor_protection(Edition::E2023, DeviceKind::Breaker, ampacity).unwrap_or(ampacity);
    small_conductor_limit(size, material).map_or(device, |most| device.min(most))
}

/// Copper conductor smaller than 14 AWG that 430.22(G) admits in enclosures, jacketed cables and cords for a table current and an
/// overload class. No circuit asks for this yet.
#[must_use]
pub fn small_motor_conductor(full_load: Amperes, class: u32) -> Option<Size> {
    let row = SMALL_MOTOR_ROWS.iter().find(|row| {
        full_load.0 > row.full_load_above_a && fits(full_load.0, row.full_load_upto_a) && class <= row.overload_class_upto
    })?;
    Size::parse(&row.size)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn size(text: &str) -> Size {
        Size::parse(text).expect("a size")
    }

    #[test]
    fn the_working_names_the_column_of_the_table() {
        // NFPA 70, Table 310.16: 10 AWG copper, 30 A in the column of 60 °C and 40 A in that of 90 °C.
        let mut record = Record::new();
        corrected(&mut record, 1, size("10"), Material::Copper, Column::C90, Celsius(30.0), 3);
        at_terminations(&mut record, 1, size("10"), Material::Copper, Column::C60);
        let told: Vec<_> = record.steps().iter().map(|step| (step.numbers[1], step.reference)).collect();
        let [(40.0, corrected), (30.0, terminals)] = told[..] else { panic!("{told:?}") };
        assert!(corrected.contains("I0 Table 310.16, 90 °C; k1 Table 310.15(B)(1)(1), k2 Table 310.15(C)(1)"), "{corrected}");
        assert!(terminals.ends_with("It Table 310.16, 60 °C"), "{terminals}");
    }

    #[test]
    fn ampacities_rise_with_size_and_column() {
        for material in [Material::Copper, Material::Aluminium] {
            for column in [Column::C60, Column::C75, Column::C90] {
                let mut last = 0.0;
                for tabulated in Size::all().filter_map(|size| tabulated(size, material, column)) {
                    assert!(tabulated.0 > last, "{material:?} {column:?}: {}", tabulated.0);
                    last = tabulated.0;
                }
                assert!(last > 400.0);
            }
            for size in Size::all() {
                let of = |column| tabulated(size, material, column).map_or(0.0, |tabulated: Amperes| tabulated.0);
                assert!(of(Column::C60) <= of(Column::C75) && of(Column::C75) <= of(Column::C90), "{}", size.text());
            }
        }
        for size in Size::all() {
            for column in [Column::C60, Column::C75, Column::C90] {
                let (Some(copper), Some(aluminium)) =
                    (tabulated(size, Material::Copper, column), tabulated(size, Material::Aluminium, column))
                else {
                    continue;
                };
                assert!(aluminium.0 < copper.0, "{}", size.text());
            }
        }
        // 310.3(A): aluminium begins at 12 AWG.
        assert_eq!(tabulated(size("14"), Material::Aluminium, Column::C75), None);
        assert_eq!(tabulated(size("12"), Material::Aluminium, Column::C90), Some(Amperes(25.0)));
    }

    #[test]
    fn the_ambient_factors_agree_with_the_square_root_that_the_clause_admits() {
        // 310.15(B)(1): √((Tc − Ta)/(Tc − 30)); the bands up to 5 K below the limit are printed for their end, rounded.
        assert!(!AMBIENT_ROWS.is_empty());
        for row in AMBIENT_ROWS.iter() {
            for (limit, factor) in [(60.0, row.factor_60c), (75.0, row.factor_75c), (90.0, row.factor_90c)] {
                let Some(factor) = factor else { continue };
                let exact: f64 = ((limit - row.ambient_upto_c) / (limit - 30.0f64)).sqrt();
                assert!((factor - exact).abs() <= 0.0051, "{limit} C at {}: {factor} against {exact}", row.ambient_upto_c);
            }
        }
    }

    #[test]
    fn bands_of_temperature_include_their_end() {
        // Table 310.15(B)(1)(1).
        for (column, ambient, factor) in [
            (Column::C75, 30.0, Some(1.0)),
            (Column::C75, 30.1, Some(0.94)),
            (Column::C75, 31.0, Some(0.94)),
            (Column::C75, 40.0, Some(0.88)),
            (Column::C75, 41.0, Some(0.82)),
            (Column::C60, 55.0, Some(0.41)),
            (Column::C60, 55.1, None),
            (Column::C90, 85.0, Some(0.29)),
            (Column::C90, 86.0, None),
        ] {
            assert_eq!(ambient_factor(column, Celsius(ambient)), factor, "{column:?} {ambient}");
        }
        assert_eq!(ambient_factor(Column::C90, Celsius(f64::NAN)), None);
    }

    #[test]
    fn more_conductors_carry_less() {
        // Table 310.15(C)(1), both sides of every boundary.
        for (count, factor) in [
            (3, 1.0),
            (4, 0.8),
            (6, 0.8),
            (7, 0.7),
            (9, 0.7),
            (10, 0.5),
            (20, 0.5),
            (21, 0.45),
            (30, 0.45),
            (31, 0.4),
            (40, 0.4),
            (41, 0.35),
        ] {
            assert!((count_factor(count) - factor).abs() < 1e-12, "{count}");
        }
    }

    #[test]
    fn terminations_are_60_up_to_100_amperes_unless_marked() {
        let column =
            |amperes: f64, name: &str, marked: Option<f64>| termination_column(Amperes(amperes), size(name), marked.map(Celsius));
        assert_eq!(column(100.0, "1", None), Some(Column::C60));
        assert_eq!(column(100.1, "1", None), Some(Column::C75));
        assert_eq!(column(50.0, "1/0", None), Some(Column::C75));
        assert_eq!(column(50.0, "8", Some(75.0)), Some(Column::C75));
        assert_eq!(column(50.0, "8", Some(90.0)), Some(Column::C75));
        assert_eq!(column(150.0, "1/0", Some(60.0)), Some(Column::C60));
        assert_eq!(column(50.0, "8", Some(40.0)), None);
        for (letter, edition, admitted) in [
            ("B", Edition::E2017, true),
            ("d", Edition::E2020, true),
            ("A", Edition::E2020, false),
            // Letter A in 2023 is known by hearsay only; without it the conductor is larger.
            ("A", Edition::E2023, false),
            ("E", Edition::E2023, false),
            ("", Edition::E2023, false),
            ("BC", Edition::E2023, false),
        ] {
            assert_eq!(design_letter_temperature(letter, edition).is_some(), admitted, "{letter} {edition:?}");
        }
    }

    #[test]
    fn small_conductors_and_the_next_rating() {
        // 240.4(D): 15, 20 and 30 A; aluminium 15 and 25 A. 240.4(B): 55 A and 65 A take 60 and 70 A; 240.4(C): 860 A takes 800 A.
        let largest = |amperes: f64, name: &str, material| largest_device(Amperes(amperes), size(name), material).0;
        for (amperes, name, material, device) in [
            (20.0, "14", Material::Copper, 15.0),
            (25.0, "12", Material::Copper, 20.0),
            (35.0, "10", Material::Copper, 30.0),
            (20.0, "12", Material::Aluminium, 15.0),
            (30.0, "10", Material::Aluminium, 25.0),
            (55.0, "6", Material::Copper, 60.0),
            (65.0, "6", Material::Copper, 70.0),
            (50.0, "8", Material::Copper, 50.0),
            (760.0, "500", Material::Copper, 800.0),
            (860.0, "500", Material::Copper, 800.0),
        ] {
            assert!((largest(amperes, name, material) - device).abs() < 1e-9, "{amperes} A {name}");
        }
    }

    #[test]
    fn small_motors_may_have_smaller_conductors_in_enclosures() {
        // 430.22(G): 18 AWG to 3.5 A, to 5 A with class 10; 16 AWG to 5.5 A, to 8 A with class 10.
        for (amperes, class, name) in [
            (3.5, 20, Some("18")),
            (3.6, 10, Some("18")),
            (5.0, 10, Some("18")),
            (3.6, 20, Some("16")),
            (5.5, 20, Some("16")),
            (8.0, 10, Some("16")),
            (5.6, 20, None),
            (8.1, 10, None),
            (3.0, 30, None),
        ] {
            assert_eq!(small_motor_conductor(Amperes(amperes), class).map(Size::name), name, "{amperes} A class {class}");
        }
    }

    #[test]
    fn an_ampacity_that_equals_the_need_is_enough() {
        // 52 A × 1.25 = 65 A on 6 AWG at 75 °C.
        assert_eq!(smallest(Amperes(52.0 * 1.25), Material::Copper, Column::C75, 1.0), Some(size("6")));
        assert_eq!(smallest(Amperes(65.000_000_001), Material::Copper, Column::C75, 1.0), Some(size("6")));
        assert_eq!(smallest(Amperes(65.1), Material::Copper, Column::C75, 1.0), Some(size("4")));
    }
}
