//! Current-carrying capacity of cables after IEC 60364-5-52: reference methods, tables and factors.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use serde::Deserialize;

use crate::load::Material;
use crate::quantity::{Amperes, Celsius, fits};
use crate::record::{Formula, Record};
use crate::rules::ways::WayInWords;

/// Reference method of installation (IEC 60364-5-52, Table B.52.1).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum ReferenceMethod {
    /// Single cores in conduit in a thermally insulated wall.
    A1,
    /// Multicore cable in conduit in a thermally insulated wall.
    A2,
    /// Single cores in conduit on a wall.
    B1,
    /// Multicore cable in conduit on a wall.
    B2,
    /// Cable on a wall or an unperforated tray.
    C,
    /// Multicore cable in a duct in the ground.
    D1,
    /// Cable direct in the ground.
    D2,
    /// Multicore cable in free air or on a perforated tray or ladder.
    E,
    /// Single cores in free air, touching.
    F,
    /// Single cores in free air, spaced.
    G,
}

impl ReferenceMethod {
    /// All of them.
    const ALL: [Self; 10] = [Self::A1, Self::A2, Self::B1, Self::B2, Self::C, Self::D1, Self::D2, Self::E, Self::F, Self::G];

    /// Reads `C`, `D2`, ...
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        Some(match text.trim().to_ascii_uppercase().as_str() {
            "A1" => Self::A1,
            "A2" => Self::A2,
            "B1" => Self::B1,
            "B2" => Self::B2,
            "C" => Self::C,
            "D1" => Self::D1,
            "D2" => Self::D2,
            "E" => Self::E,
            "F" => Self::F,
            "G" => Self::G,
            _ => return None,
        })
    }

    /// Its name.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::A1 => "A1",
            Self::A2 => "A2",
            Self::B1 => "B1",
            Self::B2 => "B2",
            Self::C => "C",
            Self::D1 => "D1",
            Self::D2 => "D2",
            Self::E => "E",
            Self::F => "F",
            Self::G => "G",
        }
    }

    /// It lies in the ground: ground temperature and soil count, never the temperature of the air.
    #[must_use]
    pub fn in_ground(self) -> bool {
        matches!(self, Self::D1 | Self::D2)
    }

    /// It is made for single cores.
    #[must_use]
    pub fn single_cores(self) -> bool {
        matches!(self, Self::A1 | Self::B1 | Self::F | Self::G)
    }

    /// Arrangement of a group in the grouping table.
    fn arrangement(self) -> &'static str {
        match self {
            Self::A1 | Self::A2 | Self::B1 | Self::B2 => "bunched",
            Self::C => "single-layer-wall",
            Self::D1 => "ducts",
            Self::D2 => "direct-buried",
            Self::E | Self::F | Self::G => "perforated-tray",
        }
    }
}

/// Insulation.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Insulation {
    /// PVC, conductor at 70 °C.
    Pvc,
    /// XLPE or EPR, conductor at 90 °C.
    Xlpe,
}

impl Insulation {
    /// Reads `pvc`, `xlpe`, `epr`.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        match text.trim().to_ascii_lowercase().as_str() {
            "pvc" => Some(Self::Pvc),
            "xlpe" | "epr" => Some(Self::Xlpe),
            _ => None,
        }
    }

    /// Its name.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Pvc => "pvc",
            Self::Xlpe => "xlpe",
        }
    }
}

/// Name of a material.
#[must_use]
pub fn material_name(material: Material) -> &'static str {
    match material {
        Material::Copper => "copper",
        Material::Aluminium => "aluminium",
    }
}

/// One row of the tables for enclosed and buried cables.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct EnclosedRow {
    /// Table.
    pub table: String,
    insulation: String,
    loaded: u32,
    material: String,
    /// Size.
    pub size_mm2: f64,
    a1: Option<f64>,
    a2: Option<f64>,
    b1: Option<f64>,
    b2: Option<f64>,
    c: Option<f64>,
    d1: Option<f64>,
    d2: Option<f64>,
}

/// One row of the tables for free air.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FreeAirRow {
    /// Table.
    pub table: String,
    insulation: String,
    material: String,
    /// Size.
    pub size_mm2: f64,
    e2: Option<f64>,
    e3: Option<f64>,
    f2: Option<f64>,
    f3_trefoil: Option<f64>,
    #[allow(dead_code)] // flat formation is kept for reading the table; trefoil is assumed
    f3_flat: Option<f64>,
    #[allow(dead_code)] // the vertical arrangement is the lower of the two
    g3_horizontal: Option<f64>,
    g3_vertical: Option<f64>,
}

/// One row of the coefficients.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CoefficientRow {
    /// Table.
    pub table: String,
    /// Column.
    pub column: String,
    /// Material.
    pub material: String,
    /// Range of sizes.
    pub size_range_mm2: String,
    /// Coefficient A.
    pub a: f64,
    /// Exponent m.
    pub m: f64,
    /// Coefficient B.
    pub b: Option<f64>,
    /// Exponent n.
    pub n: Option<f64>,
}

/// One row of an air temperature factor.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AirRow {
    ambient_c: f64,
    pvc: Option<f64>,
    xlpe: Option<f64>,
}

/// One row of a ground temperature factor.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GroundRow {
    ground_c: f64,
    pvc: Option<f64>,
    xlpe: Option<f64>,
}

/// One row of a soil factor.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SoilRow {
    soil_k_m_per_w: f64,
    d1: f64,
    d2: f64,
}

/// One row of a grouping factor.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GroupRow {
    arrangement: String,
    circuits: u32,
    factor: f64,
}

table! {
    /// Capacities of enclosed and buried cables.
    ENCLOSED, ENCLOSED_ROWS: EnclosedRow, "capacity-enclosed"
}
table! {
    /// Capacities in free air.
    FREE_AIR, FREE_AIR_ROWS: FreeAirRow, "capacity-free-air"
}
table! {
    /// Coefficients of the capacity formula.
    COEFFICIENTS, COEFFICIENT_ROWS: CoefficientRow, "capacity-coefficients"
}
table! {
    /// Air temperature factors.
    AIR, AIR_ROWS: AirRow, "factor-ambient-air"
}
table! {
    /// Ground temperature factors.
    GROUND, GROUND_ROWS: GroundRow, "factor-ground"
}
table! {
    /// Soil factors.
    SOIL, SOIL_ROWS: SoilRow, "factor-soil"
}
table! {
    /// Grouping factors.
    GROUPING, GROUP_ROWS: GroupRow, "factor-grouping"
}
table! {
    /// Ways of laying in words.
    LAYING, LAYING_ROWS: WayInWords, "laying-words"
}

formula! {
    /// Corrected capacity.
    CORRECTED: "corrected capacity", "A", "IEC 60364-5-52, 523";
    "Iz = n I f1 f2 f3"; "n*I*f1*f2*f3";
    |n, I, f1, f2, f3| n * I * f1 * f2 * f3
}

/// The formulas of this file.
pub const FORMULAS: &[&Formula] = &[&CORRECTED];

/// Tabulated capacity; none where the standard has no figure.
#[must_use]
pub fn tabulated(
    method: ReferenceMethod,
    insulation: Insulation,
    loaded: u32,
    material: Material,
    size_mm2: f64,
) -> Option<Amperes> {
    let same = |a: f64| (a - size_mm2).abs() < 1e-9;
    let (insulation, material) = (insulation.name(), material_name(material));
    if matches!(method, ReferenceMethod::E | ReferenceMethod::F | ReferenceMethod::G) {
        let row =
            FREE_AIR_ROWS.iter().find(|row| row.insulation == insulation && row.material == material && same(row.size_mm2))?;
        return match (method, loaded) {
            (ReferenceMethod::E, 2) => row.e2,
            (ReferenceMethod::E, _) => row.e3,
            (ReferenceMethod::F, 2) => row.f2,
            (ReferenceMethod::F, _) => row.f3_trefoil,
            (_, 2) => None,
            _ => row.g3_vertical,
        }
        .map(Amperes);
    }
    let row = ENCLOSED_ROWS
        .iter()
        .find(|row| row.insulation == insulation && row.material == material && row.loaded == loaded && same(row.size_mm2))?;
    match method {
        ReferenceMethod::A1 => row.a1,
        ReferenceMethod::A2 => row.a2,
        ReferenceMethod::B1 => row.b1,
        ReferenceMethod::B2 => row.b2,
        ReferenceMethod::C => row.c,
        ReferenceMethod::D1 => row.d1,
        _ => row.d2,
    }
    .map(Amperes)
}

/// Coefficients of the formula of Annex D, which reproduces the tables: what they are held against. No circuit asks for this yet.
#[must_use]
pub fn coefficients() -> &'static [CoefficientRow] {
    &COEFFICIENT_ROWS
}

/// Surroundings of a run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Surroundings {
    /// Air.
    pub air: Celsius,
    /// Ground.
    pub ground: Celsius,
    /// Soil, K·m/W.
    pub soil: f64,
    /// Circuits in the group, its own parallel cables included; what runs in one cable is one of them.
    pub circuits: u32,
    /// Circuits that run in the one cable: two for six loaded leads.
    pub within: u32,
}

/// Factor for the air or the ground round a cable; none where the tables end below its temperature.
#[must_use]
pub fn temperature(method: ReferenceMethod, insulation: Insulation, air: Celsius, ground: Celsius) -> Option<f64> {
    let pick = |pvc: Option<f64>, xlpe: Option<f64>| if insulation == Insulation::Pvc { pvc } else { xlpe };
    if method.in_ground() {
        let row = GROUND_ROWS.iter().find(|row| fits(ground.0, row.ground_c))?;
        pick(row.pvc, row.xlpe)
    } else {
        let row = AIR_ROWS.iter().find(|row| fits(air.0, row.ambient_c))?;
        pick(row.pvc, row.xlpe)
    }
}

/// Factors for temperature, soil and grouping; none where a table has no figure.
///
/// Between rows the next higher temperature, resistivity or number of circuits holds: the safer side, nothing is interpolated.
#[must_use]
pub fn factors(method: ReferenceMethod, insulation: Insulation, around: Surroundings) -> Option<[f64; 3]> {
    let temperature = temperature(method, insulation, around.air, around.ground)?;
    let soil = match method {
        ReferenceMethod::D1 | ReferenceMethod::D2 => {
            let row = SOIL_ROWS.iter().find(|row| fits(around.soil, row.soil_k_m_per_w))?;
            if method == ReferenceMethod::D1 { row.d1 } else { row.d2 }
        }
        _ => 1.0,
    };
    Some([temperature, soil, grouping(method, around.circuits, around.within)?])
}

/// Cables side by side by their arrangement; circuits within one cable are bunched whatever lies round it (Table B.52.17, item 1).
fn grouping(method: ReferenceMethod, circuits: u32, within: u32) -> Option<f64> {
    let (arrangement, further) = (method.arrangement(), within.max(1) - 1);
    if arrangement == BUNCHED {
        return grouped(BUNCHED, circuits + further);
    }
    Some(grouped(arrangement, circuits)? * grouped(BUNCHED, 1 + further)?)
}

const BUNCHED: &str = "bunched";

/// Grouping factor; beyond the table the last row holds for single layers (no further reduction above nine circuits), and the
/// rule 1/√n for the others (B.52.5.2), which is lower than the table's last figure.
fn grouped(arrangement: &str, circuits: u32) -> Option<f64> {
    let rows = || GROUP_ROWS.iter().filter(|row| row.arrangement == arrangement);
    if let Some(row) = rows().find(|row| row.circuits >= circuits) {
        return Some(row.factor);
    }
    let last = rows().next_back()?;
    if matches!(arrangement, "single-layer-wall" | "perforated-tray" | "ladder" | "under-ceiling") {
        return Some(last.factor);
    }
    Some(last.factor.min(1.0 / f64::from(circuits).sqrt()))
}

/// Section from which capacities of a method are tabulated, where the smaller sizes of the book are not.
pub fn smallest_tabulated(method: ReferenceMethod) -> Option<f64> {
    let of_method = |row: &&FreeAirRow| match method {
        ReferenceMethod::F => row.f3_trefoil.is_some(),
        ReferenceMethod::G => row.g3_vertical.is_some(),
        _ => false,
    };
    FREE_AIR_ROWS.iter().filter(of_method).map(|row| row.size_mm2).min_by(f64::total_cmp)
}

/// The last number of circuits in the table of a method, and the factor taken instead, where more lie together.
pub fn beyond_grouping(method: ReferenceMethod, circuits: u32, within: u32) -> Option<(u32, f64)> {
    let arrangement = method.arrangement();
    let circuits = if arrangement == BUNCHED { circuits + within.max(1) - 1 } else { circuits };
    let last = GROUP_ROWS.iter().rfind(|row| row.arrangement == arrangement)?;
    let factor = grouped(arrangement, circuits)?;
    (circuits > last.circuits && factor < last.factor).then_some((last.circuits, factor))
}

/// How a cable is made and laid.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Laid {
    /// Method.
    pub method: ReferenceMethod,
    /// Insulation.
    pub insulation: Insulation,
    /// Loaded conductors.
    pub loaded: u32,
    /// Material.
    pub material: Material,
}

/// The table in which a capacity stands.
fn table_of(laid: Laid) -> Option<&'static str> {
    let (insulation, material) = (laid.insulation.name(), material_name(laid.material));
    if matches!(laid.method, ReferenceMethod::E | ReferenceMethod::F | ReferenceMethod::G) {
        let of_laid = |row: &&FreeAirRow| row.insulation == insulation && row.material == material;
        return FREE_AIR_ROWS.iter().find(of_laid).map(|row| row.table.as_str());
    }
    let of_laid = |row: &&EnclosedRow| row.insulation == insulation && row.material == material && row.loaded == laid.loaded;
    ENCLOSED_ROWS.iter().find(of_laid).map(|row| row.table.as_str())
}

/// Where the numbers of a corrected capacity come from: table and method of the capacity, and the table of each factor; `beyond` its last
/// row the rule for more circuits.
fn source(laid: Laid, beyond: bool) -> Option<&'static str> {
    static SOURCES: LazyLock<BTreeMap<(ReferenceMethod, &'static str), [String; 2]>> = LazyLock::new(|| {
        let tables = ENCLOSED_ROWS.iter().map(|row| row.table.as_str()).chain(FREE_AIR_ROWS.iter().map(|row| row.table.as_str()));
        let methods = |table: &'static str| ReferenceMethod::ALL.into_iter().map(move |method| (method, table));
        let words = |(method, table): (ReferenceMethod, &'static str)| {
            let warm = if method.in_ground() { "f1 Table B.52.15, f2 Table B.52.16" } else { "f1 Table B.52.14" };
            let group = match method.arrangement() {
                "direct-buried" => "B.52.18",
                "ducts" => "B.52.19",
                _ => "B.52.17",
            };
            let before = format!("{}: I Table {table}, method {}; {warm}; f3", CORRECTED.reference, method.name());
            ((method, table), [format!("{before} Table {group}"), format!("{before} B.52.5.2, beyond Table {group}")])
        };
        tables.flat_map(methods).map(words).collect()
    });
    SOURCES.get(&(laid.method, table_of(laid)?)).map(|texts| texts[usize::from(beyond)].as_str())
}

/// Corrected capacity of `parallel` equal cables by one method; none where a figure is missing.
pub fn corrected(record: &mut Record, laid: Laid, size_mm2: f64, parallel: u32, around: Surroundings) -> Option<Amperes> {
    let table = tabulated(laid.method, laid.insulation, laid.loaded, laid.material, size_mm2)?;
    let [f1, f2, f3] = factors(laid.method, laid.insulation, around)?;
    let beyond = || beyond_grouping(laid.method, around.circuits, around.within).is_some();
    let reference = if record.keeps_steps() { source(laid, beyond()) } else { None }.unwrap_or(CORRECTED.reference);
    Some(Amperes(record.step_from(&CORRECTED, &[f64::from(parallel), table.0, f1, f2, f3], reference)))
}

#[cfg(test)]
mod tests;
