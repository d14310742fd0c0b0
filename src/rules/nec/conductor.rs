//! Conductors after NFPA 70: sizes with their section (Chapter 9 Table 8), types of insulation (Table 310.4(1)) and dimensions (Table 5).

use std::sync::LazyLock;

use serde::Deserialize;

use crate::load::Material;
use crate::quantity::{Celsius, fits};

/// A bare conductor.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PropertyRow {
    size: String,
    area_mm2: f64,
    area_cmil: f64,
    strands: u32,
    /// Diameter of the bare stranded conductor.
    pub diameter_in: f64,
    /// Area of the bare stranded conductor.
    pub area_in2: f64,
    copper_ohm_per_kft: f64,
    /// Resistance of coated copper at 75 °C.
    pub coated_copper_ohm_per_kft: f64,
    aluminium_ohm_per_kft: f64,
}

/// A type of insulation.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct InsulationRow {
    pub(super) name: String,
    pub(super) dry_c: Option<f64>,
    wet_c: Option<f64>,
    dimensions: String,
}

/// Dimensions of one size.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DimensionRow {
    size: String,
    thw_diameter_in: Option<f64>,
    thw_area_in2: Option<f64>,
    xhhw_diameter_in: Option<f64>,
    xhhw_area_in2: Option<f64>,
    thhn_diameter_in: Option<f64>,
    thhn_area_in2: Option<f64>,
}

/// One figure.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FigureRow {
    name: String,
    value: f64,
    source: String,
}

table! {
    /// Bare conductors.
    PROPERTIES, PROPERTY_ROWS: PropertyRow, "conductor-properties"
}
table! {
    /// Types of insulation.
    INSULATION_TYPES, INSULATION_ROWS: InsulationRow, "insulation-types"
}
table! {
    /// Dimensions of insulated conductors.
    DIMENSIONS, DIMENSION_ROWS: DimensionRow, "insulated-conductor-dimensions"
}
table! {
    /// Single figures.
    FIGURES, FIGURE_ROWS: FigureRow, "conductor-figures"
}

/// A figure of the table of single figures; undefined if it is not there.
#[must_use]
pub fn constant(name: &str) -> f64 {
    FIGURE_ROWS.iter().find(|row| row.name == name && !row.source.is_empty()).map_or(f64::NAN, |row| row.value)
}

/// Stranded conductors, ascending.
static SIZES: LazyLock<Vec<&'static PropertyRow>> =
    LazyLock::new(|| PROPERTY_ROWS.iter().filter(|row| row.strands > 1).collect());

/// Smallest size that is named by thousands of circular mils.
const KCMIL_FROM: f64 = 250_000.0;

/// A size of Table 8: its place among the sizes, ascending.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Size(usize);

impl Size {
    /// All sizes, ascending.
    pub fn all() -> impl DoubleEndedIterator<Item = Self> {
        (0..SIZES.len()).map(Size)
    }

    /// Reads a size, as `14`, `14 AWG`, `#14`, `1/0`, `4/0 AWG`, `250 kcmil` or `250 MCM`.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        let upper = text.trim().to_uppercase();
        let upper = upper.strip_prefix("NO.").unwrap_or(&upper).trim_start_matches('#').trim();
        let (name, unit) = ["AWG", "KCMIL", "MCM"]
            .into_iter()
            .find_map(|unit| upper.strip_suffix(unit).map(|name| (name.trim(), unit)))
            .unwrap_or((upper, ""));
        let size = Self::all().find(|size| size.name() == name)?;
        (unit.is_empty() || size.is_gauge() == (unit == "AWG")).then_some(size)
    }

    /// The size of a section in mm², as Table 8 has it.
    #[must_use]
    pub fn of_mm2(area_mm2: f64) -> Option<Self> {
        Self::all().find(|size| (size.mm2() - area_mm2).abs() < 1e-6)
    }

    /// The smallest size of at least so many circular mils.
    #[must_use]
    pub fn at_least_cmil(area_cmil: f64) -> Option<Self> {
        Self::all().find(|size| fits(area_cmil, size.cmil()))
    }

    fn row(self) -> &'static PropertyRow {
        SIZES[self.0]
    }

    /// Its name in the tables: `14`, `1/0`, `250`.
    #[must_use]
    pub fn name(self) -> &'static str {
        &self.row().size
    }

    /// As it is written: `14 AWG`, `1/0 AWG`, `250 kcmil`.
    #[must_use]
    pub fn text(self) -> String {
        let unit = if self.is_gauge() { "AWG" } else { "kcmil" };
        format!("{} {unit}", self.name())
    }

    /// A gauge of the American wire gauge, whose area Table 8 rounds; larger sizes are their circular mils.
    #[must_use]
    pub fn is_gauge(self) -> bool {
        self.cmil() + 1.0 <= KCMIL_FROM
    }

    /// Section, mm².
    #[must_use]
    pub fn mm2(self) -> f64 {
        self.row().area_mm2
    }

    /// Section, circular mils.
    #[must_use]
    pub fn cmil(self) -> f64 {
        self.row().area_cmil
    }

    /// Direct-current resistance at 75 °C, Ω per 1000 ft: uncoated copper, or aluminium. No circuit asks for this yet.
    #[must_use]
    pub fn dc_ohm_per_kft(self, material: Material) -> f64 {
        match material {
            Material::Copper => self.row().copper_ohm_per_kft,
            Material::Aluminium => self.row().aluminium_ohm_per_kft,
        }
    }
}

/// A type of insulation of Table 310.4(1).
#[derive(Clone, Copy, Debug)]
pub struct Insulation(&'static InsulationRow);

impl Insulation {
    /// Reads a type, as `THWN-2`, `xhhw-2` or `THHN/THWN-2`.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        let name: String = text.trim().to_lowercase().split_whitespace().collect();
        INSULATION_ROWS.iter().find(|row| row.name == name).map(Self)
    }

    /// Its name, lower case.
    #[must_use]
    pub fn name(self) -> &'static str {
        &self.0.name
    }

    /// Temperature for which it is made in a dry or a wet place; none where it may not be used.
    #[must_use]
    pub fn temperature(self, wet: bool) -> Option<Celsius> {
        if wet { self.0.wet_c } else { self.0.dry_c }.map(Celsius)
    }

    /// Diameter in in and area in in² of a conductor with this insulation; none if the table does not have it.
    #[must_use]
    pub fn dimensions(self, size: Size) -> Option<(f64, f64)> {
        let row = DIMENSION_ROWS.iter().find(|row| row.size == size.name())?;
        match self.0.dimensions.as_str() {
            "thhn" => row.thhn_diameter_in.zip(row.thhn_area_in2),
            "xhhw" => row.xhhw_diameter_in.zip(row.xhhw_area_in2),
            _ => row.thw_diameter_in.zip(row.thw_area_in2),
        }
    }

    /// Crossed-linked insulation that the rooftop adder spares.
    #[must_use]
    pub fn spared_on_roofs(self) -> bool {
        self.0.name == "xhhw-2"
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_are_read_as_they_are_written() {
        for (text, written) in [
            ("14", "14 AWG"),
            ("#12", "12 AWG"),
            ("No. 6", "6 AWG"),
            (" 1/0 awg ", "1/0 AWG"),
            ("250 kcmil", "250 kcmil"),
            ("500 MCM", "500 kcmil"),
            ("2 AWG", "2 AWG"),
        ] {
            assert_eq!(Size::parse(text).map(Size::text).as_deref(), Some(written), "{text}");
        }
        for text in ["", "13", "2.5", "250 AWG", "2 kcmil", "5/0", "mm2"] {
            assert_eq!(Size::parse(text), None, "{text}");
        }
        for size in Size::all() {
            assert_eq!(Size::of_mm2(size.mm2()), Some(size));
            assert_eq!(Size::parse(&size.text()), Some(size));
            assert_eq!(Size::at_least_cmil(size.cmil()), Some(size));
        }
    }

    #[test]
    fn sections_agree_with_circular_mils() {
        // 1 cmil is π/4 × (25.4 µm)² = 5.0670748e-4 mm²; the table rounds to three or four digits.
        let mut last = 0.0;
        for size in Size::all() {
            let mm2 = size.cmil() * 5.067_074_8e-4;
            assert!((mm2 - size.mm2()).abs() / mm2 < 0.004, "{}: {} against {mm2}", size.text(), size.mm2());
            assert!(size.cmil() > last);
            last = size.cmil();
            let circle = std::f64::consts::PI / 4.0 * size.row().diameter_in * size.row().diameter_in;
            // Printed to a thousandth, small ones cut rather than rounded.
            assert!((circle - size.row().area_in2).abs() < 0.0011 + 0.004 * circle, "{}", size.text());
        }
    }

    #[test]
    fn resistance_agrees_with_resistivity() {
        // Annealed copper of 100 % IACS has 10.371 Ω·cmil/ft at 20 °C, aluminium of 61 % IACS 17.002 (ASTM B193); at 75 °C 1.2161 and
        // 1.2217 times that; stranding adds up to 3 %.
        assert!(!PROPERTY_ROWS.is_empty());
        for row in PROPERTY_ROWS.iter() {
            let copper = 10.371 * 1.2161 * 1000.0 / row.area_cmil;
            let aluminium = 17.002 * 1.2217 * 1000.0 / row.area_cmil;
            for (value, ideal, most) in [
                (row.copper_ohm_per_kft, copper, 1.035),
                (row.coated_copper_ohm_per_kft, copper, 1.10),
                (row.aluminium_ohm_per_kft, aluminium, 1.035),
            ] {
                assert!(value > 0.99 * ideal && value < most * ideal, "{} {}: {value} against {ideal}", row.size, row.strands);
            }
        }
    }

    #[test]
    fn areas_agree_with_diameters() {
        for row in DIMENSION_ROWS.iter() {
            assert!(Size::parse(&row.size).is_some(), "{}", row.size);
            for (diameter, area) in [
                (row.thw_diameter_in, row.thw_area_in2),
                (row.xhhw_diameter_in, row.xhhw_area_in2),
                (row.thhn_diameter_in, row.thhn_area_in2),
            ] {
                let (Some(diameter), Some(area)) = (diameter, area) else { continue };
                let circle = std::f64::consts::PI / 4.0 * diameter * diameter;
                assert!((circle - area).abs() < 0.0002 + 0.01 * area, "{}: {area} against {circle}", row.size);
            }
        }
    }

    #[test]
    fn every_type_has_a_temperature_that_the_ampacity_table_has() {
        for row in INSULATION_ROWS.iter() {
            for celsius in [row.dry_c, row.wet_c].into_iter().flatten() {
                assert!([60.0, 75.0, 90.0].contains(&celsius), "{}", row.name);
            }
            assert!(row.wet_c.is_none_or(|wet| row.dry_c.is_some_and(|dry| wet <= dry)), "{}", row.name);
        }
        let of = |name: &str, wet: bool| {
            Insulation::parse(name).and_then(|insulation| insulation.temperature(wet)).map(|temperature| temperature.0)
        };
        assert_eq!((of("THHN", false), of("THHN", true)), (Some(90.0), None));
        assert_eq!((of("xhhw", false), of("XHHW", true)), (Some(90.0), Some(75.0)));
        assert_eq!((of("THWN-2", true), of("THHN / THWN-2", true), of("TW", true)), (Some(90.0), Some(90.0), Some(60.0)));
        assert!(Insulation::parse("pvc").is_none());
    }
}
