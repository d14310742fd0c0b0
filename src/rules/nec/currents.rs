//! Full-load currents of Article 430, and which current counts for which step.
//!
//! Currents of conductors, devices, controllers and feeders come from the tables, by horsepower and voltage; overload protection
//! goes by the nameplate. 430.6 names the motors for which the nameplate counts throughout.

use serde::Deserialize;

use super::Edition;
use super::book::gap;
use super::figures::figure;
use crate::quantity::{Amperes, KILOWATTS_PER_HORSEPOWER, SLACK, Volts, Watts, fits};
use crate::record::{Formula, Record};

/// A row of a table with one column a voltage.
pub(super) trait VoltageRow {
    /// Horsepower of the row.
    fn horsepower(&self) -> f64;
    /// Current in the column of that voltage; none if not tabulated.
    fn current(&self, column_v: f64) -> Option<f64>;
}

/// Declares a row type with its voltage columns.
macro_rules! voltage_row { ($(#[$doc:meta])* $name:ident { $($field:ident: $volts:literal),+ $(; $($extra:ident),+)? }) => {
    $(#[$doc])*
    #[derive(Debug, Deserialize)]
    #[serde(deny_unknown_fields)]
    pub struct $name { hp: f64, $($field: Option<f64>,)+ $($($extra: Option<f64>,)+)? }
    impl VoltageRow for $name {
        fn horsepower(&self) -> f64 { self.hp }
        fn current(&self, column_v: f64) -> Option<f64> {
            [$(($volts, self.$field)),+].into_iter().find(|(volts, _)| *volts == column_v).and_then(|(_, current)| current)
        }
    }
}; }
pub(super) use voltage_row;

voltage_row! {
    /// One horsepower of the three-phase table, A.
    ThreePhaseRow { a_115v: 115.0, a_200v: 200.0, a_208v: 208.0, a_230v: 230.0, a_460v: 460.0, a_575v: 575.0, a_2300v: 2300.0;
        sync_a_230v, sync_a_460v, sync_a_575v, sync_a_2300v }
}
voltage_row! {
    /// One horsepower of the single-phase table, A.
    SinglePhaseRow { a_115v: 115.0, a_200v: 200.0, a_208v: 208.0, a_230v: 230.0 }
}
voltage_row! {
    /// One horsepower of the direct-current table, A.
    DirectCurrentRow { a_90v: 90.0, a_120v: 120.0, a_180v: 180.0, a_240v: 240.0, a_500v: 500.0, a_550v: 550.0 }
}

/// The synchronous columns of a row of the three-phase table.
struct SynchronousView(&'static ThreePhaseRow);

impl VoltageRow for SynchronousView {
    fn horsepower(&self) -> f64 {
        self.0.hp
    }
    fn current(&self, column_v: f64) -> Option<f64> {
        let row = self.0;
        [(230.0, row.sync_a_230v), (460.0, row.sync_a_460v), (575.0, row.sync_a_575v), (2300.0, row.sync_a_2300v)]
            .into_iter()
            .find(|(volts, _)| *volts == column_v)
            .and_then(|(_, current)| current)
    }
}

/// Voltages that one column serves.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BandRow {
    table: String,
    column_v: f64,
    from_v: f64,
    to_v: f64,
}

/// The system behind a rated voltage.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SystemRow {
    rated_v: f64,
    system_v: f64,
}

/// A voltage between a line and the neutral.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ToNeutralRow {
    nominal_v: f64,
    /// Systems that have it.
    #[allow(dead_code)] // for those who read the table
    systems: String,
}

/// Factor below unity power factor.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SynchronousFactorRow {
    power_factor: f64,
    factor: f64,
}

table! {
    /// Full-load currents of three-phase motors.
    THREE_PHASE, THREE_PHASE_ROWS: ThreePhaseRow, "full-load-current-three-phase"
}
table! {
    /// Full-load currents of single-phase motors.
    SINGLE_PHASE, SINGLE_PHASE_ROWS: SinglePhaseRow, "full-load-current-single-phase"
}
table! {
    /// Full-load currents of direct-current motors.
    DIRECT_CURRENT, DIRECT_CURRENT_ROWS: DirectCurrentRow, "full-load-current-dc"
}
table! {
    /// Voltages that each column serves.
    BANDS, BAND_ROWS: BandRow, "motor-voltage-bands"
}
table! {
    /// Nominal voltages of systems by the rated voltage of motors.
    SYSTEMS, SYSTEM_ROWS: SystemRow, "nominal-system-voltages"
}
table! {
    /// Nominal voltages between a line and the neutral.
    TO_NEUTRAL, TO_NEUTRAL_ROWS: ToNeutralRow, "voltages-to-neutral"
}
table! {
    /// Synchronous motors below unity power factor.
    SYNCHRONOUS_FACTORS, SYNCHRONOUS_FACTOR_ROWS: SynchronousFactorRow, "synchronous-power-factor"
}

formula! {
    /// Horsepower of a motor that is marked in kilowatts.
    HORSEPOWER: "horsepower", "hp", "1 hp = 0.7457 kW";
    "hp = P / (1000 k)"; "P/(1000*k)"; |P, k| P / (1000.0 * k)
}
formula! {
    /// Current of a row of the table, looked up.
    TABLE_CURRENT: "full-load current", "A", "Table 430.250";
    "I from the table, by hp and U"; "I"; |hp, U, I| { let _ = (hp, U); I }
}
formula! {
    /// Current of the nameplate.
    NAMEPLATE_CURRENT: "nameplate current", "A", "430.6(A)(2)";
    "I as it is marked"; "I"; |I| I
}
formula! {
    /// Current of a horsepower between two rows.
    INTERPOLATED_CURRENT: "full-load current between two rows", "A", "430.6(A)(1)";
    "I = Ia + (Ib - Ia) (hp - hpa) / (hpb - hpa)"; "Ia+(Ib-Ia)*(hp-hpa)/(hpb-hpa)";
    |hp, hpa, hpb, Ia, Ib| Ia + (Ib - Ia) * (hp - hpa) / (hpb - hpa)
}
formula! {
    /// Horsepower of a current between two rows.
    INTERPOLATED_HORSEPOWER: "horsepower of a motor that is marked in amperes", "hp", "430.6(A)(1)";
    "hp = hpa + (hpb - hpa) (I - Ia) / (Ib - Ia)"; "hpa+(hpb-hpa)*(I-Ia)/(Ib-Ia)";
    |I, hpa, hpb, Ia, Ib| hpa + (hpb - hpa) * (I - Ia) / (Ib - Ia)
}
formula! {
    /// Synchronous motor below unity power factor.
    SYNCHRONOUS_CURRENT: "full-load current at this power factor", "A", "Table 430.250, note";
    "I = k I1"; "k*I1"; |k, I1| k * I1
}
formula! {
    /// Variable-voltage motor without a marked current.
    VARIABLE_VOLTAGE_CURRENT: "current of a motor with adjustable voltage", "A", "430.6(C)";
    "I = p It / 100"; "p*It/100"; |p, It| p * It / 100.0
}

/// The formulas of this file.
pub const FORMULAS: &[&Formula] = &[
    &HORSEPOWER,
    &TABLE_CURRENT,
    &NAMEPLATE_CURRENT,
    &INTERPOLATED_CURRENT,
    &INTERPOLATED_HORSEPOWER,
    &SYNCHRONOUS_CURRENT,
    &VARIABLE_VOLTAGE_CURRENT,
];

/// A table of full-load currents.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CurrentTable {
    /// Table 430.247.
    DirectCurrent,
    /// Table 430.248.
    SinglePhase,
    /// Table 430.250, induction motors.
    ThreePhase,
    /// Table 430.250, synchronous motors at unity power factor.
    Synchronous,
}

impl CurrentTable {
    /// All of them.
    pub const ALL: &'static [Self] = &[Self::DirectCurrent, Self::SinglePhase, Self::ThreePhase, Self::Synchronous];

    /// The table of an induction motor on so many phases; none but for 1 and 3.
    #[must_use]
    pub fn of_phases(phases: u32) -> Option<Self> {
        match phases {
            1 => Some(Self::SinglePhase),
            3 => Some(Self::ThreePhase),
            _ => None,
        }
    }

    /// Its number, `Table 430.250`.
    #[must_use]
    pub fn clause(self) -> &'static str {
        match self {
            Self::DirectCurrent => "Table 430.247",
            Self::SinglePhase => "Table 430.248",
            Self::ThreePhase | Self::Synchronous => "Table 430.250",
        }
    }

    fn key(self) -> &'static str {
        match self {
            Self::DirectCurrent => "dc",
            Self::SinglePhase => "single-phase",
            Self::ThreePhase => "three-phase",
            Self::Synchronous => "synchronous",
        }
    }

    /// Rows that have a figure in the column, ascending: horsepower and amperes.
    fn points(self, column_v: f64) -> Vec<(f64, f64)> {
        match self {
            Self::DirectCurrent => points(DIRECT_CURRENT_ROWS.iter(), column_v),
            Self::SinglePhase => points(SINGLE_PHASE_ROWS.iter(), column_v),
            Self::ThreePhase => points(THREE_PHASE_ROWS.iter(), column_v),
            Self::Synchronous => {
                let views: Vec<SynchronousView> = THREE_PHASE_ROWS.iter().map(SynchronousView).collect();
                points(views.iter(), column_v)
            }
        }
    }
}

/// Rows that have a figure in the column, ascending.
pub(super) fn points<'a, R: VoltageRow + 'a>(rows: impl Iterator<Item = &'a R>, column_v: f64) -> Vec<(f64, f64)> {
    rows.filter_map(|row| Some((row.horsepower(), row.current(column_v)?))).collect()
}

/// Nominal voltage of the system behind a rated voltage of motors (ANSI C84.1, 220.5(A)); any other voltage is that of its system.
#[must_use]
pub fn system_voltage(rated: Volts) -> Volts {
    let row = SYSTEM_ROWS.iter().find(|row| (row.rated_v - rated.0).abs() < 1e-9);
    row.map_or(rated, |row| Volts(row.system_v))
}

/// A stated voltage means one between a line and the neutral.
pub(super) fn is_to_neutral(voltage: Volts) -> bool {
    let tolerance = gap("to-neutral-tolerance");
    TO_NEUTRAL_ROWS.iter().any(|row| (voltage.0 - row.nominal_v).abs() <= tolerance * row.nominal_v)
}

/// The column of a table's voltage bands that serves this voltage.
pub(super) fn band(table: &str, voltage: Volts) -> Option<f64> {
    BAND_ROWS
        .iter()
        .filter(|row| row.table == table)
        .find(|row| fits(row.from_v, voltage.0) && fits(voltage.0, row.to_v))
        .map(|row| row.column_v)
}

/// Voltages that need no word with a column: its own, and the nominal voltage of the systems that it serves.
pub fn usual_voltages(column_v: f64) -> impl Iterator<Item = f64> {
    let ends = BAND_ROWS.iter().filter(move |row| (row.column_v - column_v).abs() < 1e-9).map(|row| row.to_v);
    std::iter::once(column_v).chain(ends)
}

/// The voltage column that serves a marked or system voltage: 480 V takes 460 V, 240 V takes 230 V. None where the table has no
/// column: 380, 400 and 415 V, single-phase 480 V.
#[must_use]
pub fn column(table: CurrentTable, voltage: Volts) -> Option<f64> {
    band(table.key(), voltage)
}

/// A current from a table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TableCurrent {
    /// The current.
    pub current: Amperes,
    /// The horsepower stands between two rows; this must be reported.
    pub interpolated: bool,
    /// Horsepower of the rows on either side.
    pub between: Option<(f64, f64)>,
    /// Voltage of the column.
    pub column_v: f64,
}

/// Relative width within which a horsepower is the row's own: fractions are printed with four decimals.
const ROW_WIDTH: f64 = 5e-4;

/// Looks a value up in ascending points; between two of them by `formula` over (x, xa, xb, ya, yb).
pub(super) fn look_up(
    record: &mut Record,
    points: &[(f64, f64)],
    x: f64,
    formula: &'static Formula,
) -> Option<(f64, Option<(f64, f64)>)> {
    if let Some((_, y)) = points.iter().find(|(tabulated, _)| (tabulated - x).abs() <= ROW_WIDTH * tabulated) {
        return Some((*y, None));
    }
    let pair = points.windows(2).find(|pair| pair[0].0 < x && x < pair[1].0)?;
    let ((xa, ya), (xb, yb)) = (pair[0], pair[1]);
    Some((record.step(formula, &[x, xa, xb, ya, yb]), Some((xa, xb))))
}

/// Full-load current of a motor from its table. Between two rows it is interpolated, which the result says; outside the rows
/// that the column has, and at a voltage without a column, there is none: the nameplate counts then.
pub fn full_load_current(record: &mut Record, table: CurrentTable, horsepower: f64, voltage: Volts) -> Option<TableCurrent> {
    let column_v = column(table, voltage)?;
    let (current, between) = look_up(record, &table.points(column_v), horsepower, &INTERPOLATED_CURRENT)?;
    if between.is_none() {
        record.step_from(&TABLE_CURRENT, &[horsepower, column_v, current], table.clause());
    }
    Some(TableCurrent { current: Amperes(current), interpolated: between.is_some(), between, column_v })
}

/// Horsepower read from a current.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TableHorsepower {
    /// The horsepower.
    pub horsepower: f64,
    /// The current stands between two rows.
    pub interpolated: bool,
    /// Voltage of the column.
    pub column_v: f64,
}

/// Horsepower of a motor that is marked in amperes only: the table read backwards. None outside the table.
pub fn horsepower_from_current(
    record: &mut Record,
    table: CurrentTable,
    current: Amperes,
    voltage: Volts,
) -> Option<TableHorsepower> {
    let column_v = column(table, voltage)?;
    let points: Vec<(f64, f64)> = table.points(column_v).into_iter().map(|(hp, amperes)| (amperes, hp)).collect();
    if let Some((_, horsepower)) = points.iter().find(|(tabulated, _)| (tabulated - current.0).abs() <= SLACK * tabulated) {
        return Some(TableHorsepower { horsepower: *horsepower, interpolated: false, column_v });
    }
    let pair = points.windows(2).find(|pair| pair[0].0 < current.0 && current.0 < pair[1].0)?;
    let numbers = [current.0, pair[0].1, pair[1].1, pair[0].0, pair[1].0];
    let horsepower = record.step(&INTERPOLATED_HORSEPOWER, &numbers);
    Some(TableHorsepower { horsepower, interpolated: true, column_v })
}

/// Smallest row of a column whose current is not below `current`; for equivalents, which never round down.
pub(super) fn row_not_below(points: &[(f64, f64)], current: Amperes) -> Option<f64> {
    points.iter().find(|(_, amperes)| current.fits(Amperes(*amperes))).map(|(hp, _)| *hp)
}

/// Horsepower of the first row whose full-load current is not below `current`; none beyond the table.
#[must_use]
pub fn horsepower_row_not_below(table: CurrentTable, current: Amperes, voltage: Volts) -> Option<f64> {
    row_not_below(&table.points(column(table, voltage)?), current)
}

/// Horsepower of a motor that is marked in kilowatts. It is not moved to a neighbouring row.
pub fn horsepower_from_power(record: &mut Record, shaft_power: Watts) -> f64 {
    record.step(&HORSEPOWER, &[shaft_power.0, KILOWATTS_PER_HORSEPOWER])
}

/// Full-load current of a synchronous motor from that at unity power factor: the factor of the next lower tabulated power factor;
/// none below the lowest. No circuit asks for this yet.
pub fn synchronous_current(record: &mut Record, at_unity: Amperes, power_factor: f64) -> Option<Amperes> {
    let row = SYNCHRONOUS_FACTOR_ROWS.iter().find(|row| fits(row.power_factor, power_factor))?;
    Some(Amperes(record.step(&SYNCHRONOUS_CURRENT, &[row.factor, at_unity.0])))
}

/// Current of a motor with adjustable voltage: the largest current marked on motor or control, else 150 % of the table current.
/// No circuit asks for this yet.
pub fn variable_voltage_current(record: &mut Record, marked: Option<Amperes>, table: Amperes) -> Amperes {
    marked.unwrap_or_else(|| Amperes(record.step(&VARIABLE_VOLTAGE_CURRENT, &[figure("variable-voltage-percent"), table.0])))
}

/// The facts of a motor that decide which current counts.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Marking {
    /// Synchronous speed of the winding that is fed, rpm.
    pub synchronous_rpm: Option<f64>,
    /// Built for high torque.
    pub high_torque: bool,
    /// Several speeds.
    pub multispeed: bool,
    /// Canned pump.
    pub canned_pump: bool,
    /// Listed appliance marked in horsepower and amperes, or a shaded-pole or split-capacitor fan marked with its type.
    pub listed_appliance: bool,
    /// The table has no figure for this horsepower and voltage.
    pub outside_table: bool,
}

/// The clause by which the nameplate current counts for everything; none where the table does. The speed of the clause is read as
/// the synchronous speed: a six-pole motor that turns at 1175 rpm is not one of low speed.
#[must_use]
pub fn nameplate_throughout(edition: Edition, marking: &Marking) -> Option<&'static str> {
    // 2023 lists these motors under the nameplate; before, they stood beside the tables.
    let listed = edition >= Edition::E2023;
    let slow = marking.synchronous_rpm.is_some_and(|rpm| rpm < figure("low-speed-rpm") * (1.0 - SLACK));
    if marking.listed_appliance {
        Some("430.6(A)(1) Exceptions 2 and 3")
    } else if slow || marking.high_torque || marking.multispeed || (marking.canned_pump && listed) {
        Some(if listed { "430.6(A)(2)(2)" } else { "430.6(A)(1)" })
    } else if marking.outside_table {
        Some(if listed { "430.6(A)(2)(3)" } else { "430.6(A)(1), no figure in the table" })
    } else {
        None
    }
}

#[cfg(test)]
mod tests;
