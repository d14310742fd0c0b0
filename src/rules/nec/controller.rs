//! Controllers and disconnecting means: NEMA sizes, horsepower ratings, 115 %, combination loads.

use serde::Deserialize;

use super::currents::{CurrentTable, band, column, horsepower_row_not_below};
use super::figures::figure;
use super::locked_rotor::{horsepower_of_locked_rotor, small_motor_locked_rotor, table_locked_rotor};
use crate::quantity::{Amperes, Volts, fits};
use crate::record::{Formula, Record};

/// One three-phase size.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SizeRow {
    size: String,
    continuous_a: f64,
    service_limit_a: f64,
    hp_200v: Option<f64>,
    hp_230v: Option<f64>,
    hp_380v_50hz: Option<f64>,
    hp_460v: Option<f64>,
    hp_575v: Option<f64>,
    jog_hp_200v: Option<f64>,
    jog_hp_230v: Option<f64>,
    jog_hp_380v_50hz: Option<f64>,
    jog_hp_460v: Option<f64>,
    jog_hp_575v: Option<f64>,
}

/// One single-phase size.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SinglePhaseSizeRow {
    size: String,
    continuous_a: f64,
    hp_115v: Option<f64>,
    hp_230v: Option<f64>,
    jog_hp_115v: Option<f64>,
    jog_hp_230v: Option<f64>,
}

/// One size of part-winding (`pw`) and wye-delta (`yd`) controllers.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReducedRow {
    size: String,
    pw_hp_200v: Option<f64>,
    pw_hp_230v: Option<f64>,
    pw_hp_460_575v: Option<f64>,
    yd_hp_200v: Option<f64>,
    yd_hp_230v: Option<f64>,
    yd_hp_460_575v: Option<f64>,
}

/// One kind of disconnecting means.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DisconnectRow {
    /// Kind.
    pub kind: String,
    /// Clause.
    pub clause: String,
    horsepower_to: Option<f64>,
    voltage_to_v: Option<f64>,
    horsepower_above_ac: Option<f64>,
    horsepower_above_dc: Option<f64>,
    torque_motor_only: bool,
    /// The condition that must hold besides.
    pub condition: String,
}

table! {
    /// Three-phase controllers.
    SIZES, SIZE_ROWS: SizeRow, "nema-controller-three-phase"
}
table! {
    /// Single-phase controllers.
    SINGLE_PHASE_SIZES, SINGLE_PHASE_SIZE_ROWS: SinglePhaseSizeRow, "nema-controller-single-phase"
}
table! {
    /// Part-winding and wye-delta controllers.
    REDUCED_SIZES, REDUCED_ROWS: ReducedRow, "nema-controller-reduced"
}
table! {
    /// Kinds of disconnecting means.
    DISCONNECTS, DISCONNECT_ROWS: DisconnectRow, "disconnect-kinds"
}

formula! {
    /// Ampere rating of a disconnecting means.
    DISCONNECT_RATING: "smallest ampere rating of the disconnecting means", "A", "430.110(A)";
    "Id = p I / 100"; "p*I/100"; |p, I| p * I / 100.0
}
formula! {
    /// Torque motor.
    TORQUE_DISCONNECT: "smallest ampere rating of the disconnecting means", "A", "430.110(B), nameplate current";
    "Id = p In / 100"; "p*In/100"; |p, In| p * In / 100.0
}
formula! {
    /// Drive.
    DRIVE_DISCONNECT: "smallest ampere rating of the disconnecting means", "A", "430.128, input current";
    "Id = p Iin / 100"; "p*Iin/100"; |p, Iin| p * Iin / 100.0
}
formula! {
    /// Compressor.
    HERMETIC_DISCONNECT: "smallest ampere rating of the disconnecting means", "A", "440.12(A)(1)";
    "Id = p Ir / 100"; "p*Ir/100"; |p, Ir| p * Ir / 100.0
}
formula! {
    /// Horsepower at the voltage of a rating.
    HORSEPOWER_AT_RATING: "horsepower of the same current at the voltage of the controller's rating", "hp", "430.83(A); columns of Table 430.248";
    "hpr = hp Ur / U"; "hp*Ur/U"; |hp, Ur, U| hp * Ur / U
}
formula! {
    /// General-use switch.
    GENERAL_USE_SWITCH: "smallest rating of a general-use switch", "A", "430.83(C), 430.109(C)";
    "Is = m I"; "m*I"; |m, I| m * I
}
formula! {
    /// Snap switch.
    SNAP_SWITCH: "smallest rating of a general-use snap switch", "A", "430.109(C)(2)";
    "Is = 100 I / p"; "100*I/p"; |I, p| 100.0 * I / p
}

/// The formulas of this file.
pub const FORMULAS: &[&Formula] = &[
    &DISCONNECT_RATING,
    &TORQUE_DISCONNECT,
    &DRIVE_DISCONNECT,
    &HERMETIC_DISCONNECT,
    &GENERAL_USE_SWITCH,
    &SNAP_SWITCH,
    &HORSEPOWER_AT_RATING,
];

/// The service of a controller of a NEMA size.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Service {
    /// Full voltage; autotransformer and other reduced-voltage controllers take the same horsepower.
    FullVoltage,
    /// Jogging or plugging more than about five times a minute or ten times in ten minutes.
    Jogging,
    /// Wye-start delta-run.
    WyeDelta,
    /// Part winding.
    PartWinding,
}

/// A size with its ratings for a service and voltage.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ControllerSize {
    /// `00` to `9`, `1P`.
    pub size: &'static str,
    /// Largest horsepower.
    pub horsepower: f64,
    /// Continuous current of a contactor of the size.
    pub continuous: Amperes,
    /// Current that it may carry for protracted periods, which caps the overload relay; not stated for single-phase.
    pub service_limit: Option<Amperes>,
}

/// The voltage column of horsepower ratings that serves a voltage between lines: 200 V serves 208 V; none between the bands.
#[must_use]
pub fn controller_column(phases: u32, voltage: Volts) -> Option<f64> {
    band(if phases == 1 { "controller-single-phase" } else { "controller-three-phase" }, voltage)
}

/// Horsepower that a controller must be rated for where its column of ratings is that of a higher voltage: a single-phase motor of 200
/// or 208 V draws more than the rating of 230 V for its horsepower says, in the ratio of the voltages.
pub fn horsepower_at_rating(record: &mut Record, phases: u32, horsepower: f64, voltage: Volts) -> f64 {
    let column = CurrentTable::of_phases(phases).and_then(|table| column(table, voltage));
    match (controller_column(phases, voltage), column) {
        (Some(rated), Some(column)) if phases == 1 && rated > column => {
            record.step(&HORSEPOWER_AT_RATING, &[horsepower, rated, column])
        }
        _ => horsepower,
    }
}

/// Sizes that have a rating for this service, number of phases and voltage, ascending. 208 V takes the 200 V column; single-phase
/// has two voltages and no wye-delta.
#[must_use]
pub fn sizes(service: Service, phases: u32, voltage: Volts) -> Vec<ControllerSize> {
    match (controller_column(phases, voltage), phases) {
        (Some(column), 1) => single_phase_sizes(service, column),
        (Some(column), 3) => three_phase_sizes(service, column),
        _ => Vec::new(),
    }
}

fn single_phase_sizes(service: Service, column: f64) -> Vec<ControllerSize> {
    let rating = |row: &SinglePhaseSizeRow| match (service, column < 200.0) {
        (Service::FullVoltage, true) => row.hp_115v,
        (Service::FullVoltage, false) => row.hp_230v,
        (Service::Jogging, true) => row.jog_hp_115v,
        (Service::Jogging, false) => row.jog_hp_230v,
        _ => None,
    };
    let size = |row: &'static SinglePhaseSizeRow| {
        let horsepower = rating(row)?;
        Some(ControllerSize { size: &row.size, horsepower, continuous: Amperes(row.continuous_a), service_limit: None })
    };
    SINGLE_PHASE_SIZE_ROWS.iter().filter_map(size).collect()
}

impl SizeRow {
    fn horsepower(&self, service: Service, column: f64) -> Option<f64> {
        let full = [self.hp_200v, self.hp_230v, self.hp_380v_50hz, self.hp_460v, self.hp_575v];
        let jogging = [self.jog_hp_200v, self.jog_hp_230v, self.jog_hp_380v_50hz, self.jog_hp_460v, self.jog_hp_575v];
        let ratings = if service == Service::Jogging { jogging } else { full };
        let index = [200.0, 230.0, 380.0, 460.0, 575.0].iter().position(|volts| *volts == column)?;
        ratings[index]
    }
}

impl ReducedRow {
    fn horsepower(&self, service: Service, column: f64) -> Option<f64> {
        let part = [self.pw_hp_200v, self.pw_hp_230v, self.pw_hp_460_575v, self.pw_hp_460_575v];
        let wye = [self.yd_hp_200v, self.yd_hp_230v, self.yd_hp_460_575v, self.yd_hp_460_575v];
        let ratings = if service == Service::WyeDelta { wye } else { part };
        let index = [200.0, 230.0, 460.0, 575.0].iter().position(|volts| *volts == column)?;
        ratings[index]
    }
}

fn three_phase_sizes(service: Service, column: f64) -> Vec<ControllerSize> {
    let reduced = matches!(service, Service::WyeDelta | Service::PartWinding);
    let horsepower = |row: &SizeRow| {
        if reduced {
            REDUCED_ROWS.iter().find(|reduced_row| reduced_row.size == row.size)?.horsepower(service, column)
        } else {
            row.horsepower(service, column)
        }
    };
    let size = |row: &'static SizeRow| {
        let service_limit = Some(Amperes(row.service_limit_a));
        Some(ControllerSize {
            size: &row.size,
            horsepower: horsepower(row)?,
            continuous: Amperes(row.continuous_a),
            service_limit,
        })
    };
    SIZE_ROWS.iter().filter_map(size).collect()
}

/// Ratings of a size; none if it has no rating for the service and voltage.
#[must_use]
pub fn size_ratings(size: &str, service: Service, phases: u32, voltage: Volts) -> Option<ControllerSize> {
    sizes(service, phases, voltage).into_iter().find(|controller_size| controller_size.size == size)
}

/// Smallest rating of a general-use switch as controller or disconnecting means of a stationary motor of at most 2 hp and 300 V:
/// twice the full-load current. None for other motors. No circuit asks for this yet.
pub fn general_use_switch(record: &mut Record, horsepower: f64, voltage: Volts, full_load: Amperes) -> Option<Amperes> {
    admits("general-use-switch", horsepower, voltage)
        .then(|| Amperes(record.step(&GENERAL_USE_SWITCH, &[figure("general-use-switch-multiple"), full_load.0])))
}

/// The same for a general-use ac snap switch, of which the current may be 80 % of the rating. No circuit asks for this yet.
pub fn snap_switch(record: &mut Record, horsepower: f64, voltage: Volts, full_load: Amperes) -> Option<Amperes> {
    admits("general-use-snap-switch", horsepower, voltage)
        .then(|| Amperes(record.step(&SNAP_SWITCH, &[full_load.0, figure("snap-switch-percent")])))
}

fn admits(kind: &str, horsepower: f64, voltage: Volts) -> bool {
    disconnect_kinds(horsepower, voltage, false, false).iter().any(|row| row.kind == kind)
}

/// Kinds of disconnecting means that 430.109 admits for a motor; what each needs besides stands in its condition.
#[must_use]
pub fn disconnect_kinds(
    horsepower: f64,
    voltage: Volts,
    direct_current: bool,
    torque_motor: bool,
) -> Vec<&'static DisconnectRow> {
    let suits = |row: &&DisconnectRow| {
        let above = if direct_current { row.horsepower_above_dc } else { row.horsepower_above_ac };
        let large_only = row.horsepower_above_ac.is_some() || row.horsepower_above_dc.is_some();
        row.horsepower_to.is_none_or(|to| fits(horsepower, to))
            && row.voltage_to_v.is_none_or(|to| fits(voltage.0, to))
            && (!large_only || above.is_some_and(|above| !fits(horsepower, above) && horsepower > above))
            && (!row.torque_motor_only || torque_motor)
            && !(direct_current && row.kind == "general-use-snap-switch")
    };
    DISCONNECT_ROWS.iter().filter(suits).collect()
}

/// 430.110(A): smallest ampere rating of a disconnecting means, 115 % of the full-load current.
pub fn disconnect_minimum(record: &mut Record, full_load: Amperes) -> Amperes {
    Amperes(record.step(&DISCONNECT_RATING, &[figure("disconnect-percent"), full_load.0]))
}

/// 430.110(A) Exception: a listed switch without fuses whose horsepower rating is not below that of the motor may have less.
/// No circuit asks for this yet.
#[must_use]
pub fn disconnect_exception(listed: bool, fused: bool, switch_horsepower: f64, motor_horsepower: f64) -> bool {
    listed && !fused && fits(motor_horsepower, switch_horsepower)
}

/// 430.110(B): torque motor, on its nameplate current. No circuit asks for this yet.
pub fn torque_disconnect_minimum(record: &mut Record, nameplate: Amperes) -> Amperes {
    Amperes(record.step(&TORQUE_DISCONNECT, &[figure("disconnect-percent"), nameplate.0]))
}

/// 430.128: drive, on its rated input current.
pub fn drive_disconnect_minimum(record: &mut Record, input: Amperes) -> Amperes {
    Amperes(record.step(&DRIVE_DISCONNECT, &[figure("drive-disconnect-percent"), input.0]))
}

/// 440.12(A)(1): hermetic compressor, on the larger of rated-load and branch-circuit selection current.
pub fn hermetic_disconnect_minimum(record: &mut Record, current: Amperes) -> Amperes {
    Amperes(record.step(&HERMETIC_DISCONNECT, &[figure("hermetic-disconnect-percent"), current.0]))
}

/// A load of a combination behind one disconnecting means.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct CombinationLoad {
    /// Horsepower; none for a load that is no motor.
    pub horsepower: Option<f64>,
    /// Current at full load.
    pub full_load: Amperes,
    /// Locked-rotor current that is marked or follows from the code letter: needed for design A, which has no table.
    pub locked_rotor: Option<Amperes>,
}

/// The ratings of one disconnecting means or controller of a combination.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Combination {
    /// Sum of the currents at full load.
    pub full_load: Amperes,
    /// Sum of the locked-rotor currents; loads without motor enter with their full-load current.
    pub locked_rotor: Amperes,
    /// Horsepower that belongs to the locked-rotor sum, of the next row up.
    pub horsepower_of_locked_rotor: f64,
    /// Horsepower that belongs to the full-load sum, of the next row up.
    pub horsepower_of_full_load: f64,
    /// The larger of the two: the rating.
    pub horsepower: f64,
    /// Smallest ampere rating.
    pub ampere_rating: Amperes,
}

/// 430.110(C): equivalent of a combination. None if the sums lie beyond the tables or the voltage has no column.
pub fn combination(record: &mut Record, loads: &[CombinationLoad], phases: u32, voltage: Volts) -> Option<Combination> {
    let mut full_load = Amperes(0.0);
    let mut locked_rotor = Amperes(0.0);
    for load in loads {
        full_load = full_load + load.full_load;
        locked_rotor = locked_rotor + locked_rotor_of(record, load, phases, voltage);
    }
    let by_locked = horsepower_of_locked_rotor(phases, locked_rotor, voltage)?;
    let by_full = horsepower_row_not_below(CurrentTable::of_phases(phases)?, full_load, voltage)?;
    Some(Combination {
        full_load,
        locked_rotor,
        horsepower_of_locked_rotor: by_locked,
        horsepower_of_full_load: by_full,
        horsepower: by_locked.max(by_full),
        ampere_rating: disconnect_minimum(record, full_load),
    })
}

fn locked_rotor_of(record: &mut Record, load: &CombinationLoad, phases: u32, voltage: Volts) -> Amperes {
    match (load.locked_rotor, load.horsepower) {
        (Some(marked), _) => marked,
        (None, Some(horsepower)) => match table_locked_rotor(record, phases, horsepower, voltage) {
            Some(row) => row.current,
            None => small_motor_locked_rotor(record, load.full_load),
        },
        (None, None) => load.full_load,
    }
}

#[cfg(test)]
mod tests;
