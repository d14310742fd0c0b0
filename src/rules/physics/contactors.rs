//! Strains of a contactor: the current of a long start, wear, hot air, thin air, poles in parallel and slow trip classes.

use serde::Deserialize;

use crate::quantity::{Amperes, Celsius, Metres, Seconds, fits};
use crate::record::{Formula, Record};
use crate::rules::LifeCurve;
use crate::rules::physics::devices::device_figure;

/// One altitude of one family.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AltitudeRow {
    /// `contactor` or `breaker`.
    pub family: String,
    /// Altitude.
    pub altitude_m: f64,
    /// Factor on the current.
    pub current_factor: f64,
    /// Factor on the voltage.
    pub voltage_factor: f64,
}

/// Slope of an electronic device over altitude.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ElectronicsRow {
    /// `drive` or `soft-starter`.
    pub family: String,
    /// Where derating begins.
    pub from_m: f64,
    /// Loss of current.
    pub pct_per_100_m: f64,
    /// Highest altitude for which it is stated.
    pub to_m: f64,
}

/// Slope of a family over the temperature of the air.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AmbientRow {
    /// `contactor-ac1`, `contactor-ac3` or `drive`.
    pub family: String,
    /// Where derating begins.
    pub from_c: f64,
    /// Loss of current.
    pub pct_per_k: f64,
    /// Highest temperature for which it is stated.
    pub to_c: f64,
}

/// Factors of paralleled poles.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ParallelRow {
    /// Poles in parallel.
    pub poles: u32,
    /// The lower of the published factors.
    pub cautious_factor: f64,
    /// The higher one: only where the data sheet of the link states it.
    pub data_sheet_factor: f64,
}

table! {
    /// Factors of altitude of contactors and breakers.
    ALTITUDE, ALTITUDE_ROWS: AltitudeRow, "altitude-factors"
}
table! {
    /// Factors of altitude of drives and soft starters.
    ALTITUDE_OF_ELECTRONICS, ELECTRONICS_ROWS: ElectronicsRow, "altitude-electronics"
}
table! {
    /// Derating over the temperature of the air.
    AMBIENT, AMBIENT_ROWS: AmbientRow, "ambient-derating"
}
table! {
    /// Factors of paralleled poles.
    PARALLEL_POLES, PARALLEL_ROWS: ParallelRow, "parallel-poles"
}

formula! {
    /// How long a contactor carries an overload current.
    ALLOWED_TIME: "time for which the contactor carries this current", "s", "IEC 60947-4-1, overload current withstand; constant I²t";
    "t = T (m Ir / I)²"; "T*(m*Ir/I)^2"; |T, m, Ir, I| T * (m * Ir / I) * (m * Ir / I)
}
formula! {
    /// Smallest rating that carries an overload current for a time.
    RATING_FOR_START: "contactor rating that carries this start", "A", "IEC 60947-4-1, overload current withstand; constant I²t";
    "Ir = I √(t / (m² T))"; "I*SQRT(t/(m^2*T))"; |I, t, m, T| I * (t / (m * m * T)).sqrt()
}
formula! {
    /// Life over the broken current.
    LIFE_AT_CURRENT: "operations to the end of contact life", "", "straight line on logarithmic axes, data sheet";
    "N = Nr (Ir / I)^p"; "Nr*(Ir/I)^p"; |Nr, Ir, I, p| Nr * libm::pow(Ir / I, p)
}
formula! {
    /// Life that the mechanical endurance bounds.
    MECHANICAL_LIFE: "operations to the end of the mechanical life", "", "data sheet";
    "N = min(Ne, Nm)"; "MIN(Ne,Nm)"; |Ne, Nm| Ne.min(Nm)
}
formula! {
    /// Life when some operations break the starting current.
    MIXED_LIFE: "operations of mixed duty", "", "wear adds up";
    "N = 1 / ((1 - x) / N3 + x / N4)"; "1/((1-x)/N3+x/N4)"; |N3, N4, x| 1.0 / ((1.0 - x) / N3 + x / N4)
}
formula! {
    /// Operations in a year.
    OPERATIONS_A_YEAR: "operations a year", "1/a", "arithmetic";
    "n = z h"; "z*h"; |z, h| z * h
}
formula! {
    /// Years until the contacts are worn.
    YEARS_OF_LIFE: "years of contact life", "a", "arithmetic";
    "a = N / n"; "N/n"; |N, n| N / n
}
formula! {
    /// Derating over the temperature of the air.
    AMBIENT_FACTOR: "factor of the air temperature", "", "maker documents";
    "f = 1 - p max(θ - θ0, 0) / 100"; "1-p*MAX(theta-theta0,0)/100"; |theta, theta0, p| 1.0 - p * (theta - theta0).max(0.0) / 100.0
}
formula! {
    /// Derating of electronics over altitude.
    ALTITUDE_FACTOR: "factor of the altitude", "", "maker documents";
    "f = 1 - p max(h - h0, 0) / 10000"; "1-p*MAX(h-h0,0)/10000"; |h, h0, p| 1.0 - p * (h - h0).max(0.0) / 10_000.0
}
formula! {
    /// Rating of poles in parallel.
    PARALLELED_RATING: "AC-1 rating of the poles in parallel", "A", "maker documents";
    "I = f I1"; "f*I1"; |f, I1| f * I1
}
formula! {
    /// Demand on each of several poles.
    ONE_POLE_DEMAND: "AC-1 demand on one of the poles in parallel", "A", "maker documents";
    "I1 = I / f"; "I/f"; |I, f| I / f
}
formula! {
    /// Oversizing for slow trip classes.
    CLASS_FACTOR: "factor of the trip class", "", "equal heat of a longer start; two relay manuals";
    "f = √(max(C, 10) / 10)"; "SQRT(MAX(C,10)/10)"; |C| (C.max(10.0) / 10.0).sqrt()
}

/// The formulas of this file.
pub const FORMULAS: &[&Formula] = &[
    &ALLOWED_TIME,
    &RATING_FOR_START,
    &LIFE_AT_CURRENT,
    &MECHANICAL_LIFE,
    &MIXED_LIFE,
    &OPERATIONS_A_YEAR,
    &YEARS_OF_LIFE,
    &AMBIENT_FACTOR,
    &ALTITUDE_FACTOR,
    &PARALLELED_RATING,
    &ONE_POLE_DEMAND,
    &CLASS_FACTOR,
];

/// A declared short-time withstand: a multiple of the rating for a time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Withstand {
    /// Multiple of the rating.
    pub multiple: f64,
    /// Time.
    pub time: Seconds,
}

/// Time for which a contactor of this AC-3 rating carries `current`, by constant I²t of its withstand.
/// No circuit asks for this yet.
pub fn allowed_start_time(record: &mut Record, rating: Amperes, current: Amperes, withstand: Withstand) -> Seconds {
    Seconds(record.step(&ALLOWED_TIME, &[withstand.time.0, withstand.multiple, rating.0, current.0]))
}

/// Smallest AC-3 rating that carries `current` for `time`.
pub fn rating_for_start(record: &mut Record, current: Amperes, time: Seconds, withstand: Withstand) -> Amperes {
    Amperes(record.step(&RATING_FOR_START, &[current.0, time.0, withstand.multiple, withstand.time.0]))
}

/// Operations until the contacts are worn when each breaks `broken`: AC-3 breaks the rated current of the motor, AC-4 its
/// starting current. `reference_operations` hold at `reference`.
pub fn life_at_current(
    record: &mut Record,
    reference_operations: f64,
    reference: Amperes,
    broken: Amperes,
    exponent: f64,
    mechanical_operations: f64,
) -> f64 {
    let worn = record.step(&LIFE_AT_CURRENT, &[reference_operations, reference.0, broken.0, exponent]);
    if worn <= mechanical_operations { worn } else { record.step(&MECHANICAL_LIFE, &[worn, mechanical_operations]) }
}

/// Operations when the share `inching` (0 to 1) of them breaks the starting current.
pub fn mixed_life(record: &mut Record, ac3_operations: f64, ac4_operations: f64, inching: f64) -> f64 {
    record.step(&MIXED_LIFE, &[ac3_operations, ac4_operations, inching])
}

/// Operations to be expected of a contactor in a mix of duties: `inching` is the share broken at `ratio` times the current.
pub fn life_in_service(curve: &LifeCurve, current: Amperes, ratio: f64, inching: f64, record: Option<&mut Record>) -> f64 {
    let mut scratch = Record::silent();
    let record = record.unwrap_or(&mut scratch);
    let ac3 =
        life_at_current(record, curve.ac3_operations, curve.rated, current, curve.ac3_exponent, curve.mechanical_operations);
    if inching <= 0.0 || curve.ac4_operations <= 0.0 {
        return ac3;
    }
    let ac4 = life_at_current(
        record,
        curve.ac4_operations,
        curve.rated * device_figure("life-locked-rotor"),
        current * ratio,
        curve.ac4_exponent,
        curve.mechanical_operations,
    );
    mixed_life(record, ac3, ac4, inching)
}

/// Operations in a year of so many hours of service.
pub fn operations_a_year(record: &mut Record, starts_per_hour: f64, hours_per_year: f64) -> f64 {
    record.step(&OPERATIONS_A_YEAR, &[starts_per_hour, hours_per_year])
}

/// Years until the contacts are worn; none if the contactor never operates.
pub fn years_of_life(record: &mut Record, operations: f64, operations_a_year: f64) -> Option<f64> {
    (operations_a_year > 0.0).then(|| record.step(&YEARS_OF_LIFE, &[operations, operations_a_year]))
}

/// A family whose current depends on the air around it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Family {
    /// Contactor in AC-1 duty.
    ContactorAc1,
    /// Contactor in AC-3 duty.
    ContactorAc3,
    /// Drive.
    Drive,
    /// Soft starter.
    SoftStarter,
}

impl Family {
    fn word(self) -> &'static str {
        match self {
            Self::ContactorAc1 => "contactor-ac1",
            Self::ContactorAc3 => "contactor-ac3",
            Self::Drive => "drive",
            Self::SoftStarter => "soft-starter",
        }
    }
}

/// Factor on the rated current for the temperature of the air at the device; none where the table does not reach.
pub fn ambient_factor(record: &mut Record, family: Family, air: Celsius) -> Option<f64> {
    let row = AMBIENT_ROWS.iter().find(|row| row.family == family.word())?;
    fits(air.0, row.to_c).then(|| record.step(&AMBIENT_FACTOR, &[air.0, row.from_c, row.pct_per_k]))
}

/// Factors of altitude.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AltitudeFactors {
    /// On the rated current.
    pub current: f64,
    /// On the rated voltage.
    pub voltage: f64,
}

/// Factors of contactors and breakers at an altitude: the smaller of both sources, interpolated; none above the table.
#[must_use]
pub fn altitude_factors(altitude: Metres) -> Option<AltitudeFactors> {
    let contactor = altitude_factors_of("contactor", altitude.0)?;
    let breaker = altitude_factors_of("breaker", altitude.0)?;
    Some(AltitudeFactors { current: contactor.current.min(breaker.current), voltage: contactor.voltage.min(breaker.voltage) })
}

/// Factors of circuit-breakers alone; none above the table.
#[must_use]
pub fn altitude_factors_of_breakers(altitude: Metres) -> Option<AltitudeFactors> {
    altitude_factors_of("breaker", altitude.0)
}

fn altitude_factors_of(family: &str, altitude: f64) -> Option<AltitudeFactors> {
    let rows = || ALTITUDE_ROWS.iter().filter(|row| row.family == family);
    let above = rows().find(|row| altitude <= row.altitude_m)?;
    let below = rows().rfind(|row| row.altitude_m < above.altitude_m).unwrap_or(above);
    let span = above.altitude_m - below.altitude_m;
    let share = if span > 0.0 { (altitude - below.altitude_m) / span } else { 0.0 };
    let between = |low: f64, high: f64| low + share * (high - low);
    Some(AltitudeFactors {
        current: between(below.current_factor, above.current_factor),
        voltage: between(below.voltage_factor, above.voltage_factor),
    })
}

/// Factor on the current of a drive or soft starter at an altitude; none where the table does not reach or knows no such family.
pub fn altitude_factor_of_electronics(record: &mut Record, family: Family, altitude: Metres) -> Option<f64> {
    let row = ELECTRONICS_ROWS.iter().find(|row| row.family == family.word())?;
    fits(altitude.0, row.to_m).then(|| record.step(&ALTITUDE_FACTOR, &[altitude.0, row.from_m, row.pct_per_100_m]))
}

/// Factor of poles in parallel: the lower of the published ones, or the higher one where the data sheet of the link states it.
/// One pole has factor 1; none for more poles than the table has. No circuit asks for this yet.
#[must_use]
pub fn parallel_factor(poles: u32, stated_by_data_sheet: bool) -> Option<f64> {
    if poles == 1 {
        return Some(1.0);
    }
    let row = PARALLEL_ROWS.iter().find(|row| row.poles == poles)?;
    Some(if stated_by_data_sheet { row.data_sheet_factor } else { row.cautious_factor })
}

/// AC-1 rating of poles in parallel; making and breaking capacity stay those of one pole. Never for motors or DC.
pub fn paralleled_rating(record: &mut Record, one_pole: Amperes, factor: f64) -> Amperes {
    Amperes(record.step(&PARALLELED_RATING, &[factor, one_pole.0]))
}

/// AC-1 rating that each of several poles in parallel needs for a current. No circuit asks for this yet.
pub fn one_pole_demand(record: &mut Record, current: Amperes, factor: f64) -> Amperes {
    Amperes(record.step(&ONE_POLE_DEMAND, &[current.0, factor]))
}

/// Factor by which contactor, breaker and cable must exceed the motor current so that they stand the longer start that a trip
/// class above 10 permits.
pub fn class_factor(record: &mut Record, class: f64) -> f64 {
    record.step(&CLASS_FACTOR, &[class])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn thin_air_never_helps_and_the_table_ends() {
        let mut last = AltitudeFactors { current: 1.0, voltage: 1.0 };
        for step in 0..=50 {
            let factors =
                altitude_factors(Metres(f64::from(step) * 100.0)).unwrap_or(AltitudeFactors { current: 0.0, voltage: 0.0 });
            assert!(factors.current <= last.current && factors.voltage <= last.voltage, "{step}");
            assert!(factors.current > 0.0);
            last = factors;
        }
        assert_eq!(altitude_factors(Metres(5001.0)), None);
        assert_eq!(altitude_factors(Metres(0.0)), Some(AltitudeFactors { current: 1.0, voltage: 1.0 }));
        assert_eq!(altitude_factors(Metres(2500.0)).map(|f| f.current), Some(0.98));
    }

    #[test]
    fn hot_air_outside_the_table_is_unknown() {
        let record = &mut Record::new();
        assert_eq!(ambient_factor(record, Family::ContactorAc1, Celsius(20.0)), Some(1.0));
        assert_eq!(ambient_factor(record, Family::ContactorAc1, Celsius(61.0)), None);
        assert_eq!(ambient_factor(record, Family::ContactorAc3, Celsius(55.0)), Some(1.0));
        assert_eq!(ambient_factor(record, Family::SoftStarter, Celsius(61.0)), None);
        assert_eq!(altitude_factor_of_electronics(record, Family::ContactorAc1, Metres(0.0)), None);
    }

    #[test]
    fn tables_ascend_and_the_cautious_factor_is_the_smaller() {
        assert!(ALTITUDE_ROWS.windows(2).all(|w| w[0].family != w[1].family || w[0].altitude_m < w[1].altitude_m));
        assert!(PARALLEL_ROWS.windows(2).all(|w| w[0].poles < w[1].poles && w[0].cautious_factor < w[1].cautious_factor));
        assert!(PARALLEL_ROWS.iter().all(|row| row.cautious_factor <= row.data_sheet_factor));
        assert_eq!(parallel_factor(5, false), None);
    }

    #[test]
    fn life_is_never_longer_than_the_mechanism() {
        let record = &mut Record::new();
        let life = life_at_current(record, 1.2e6, Amperes(40.0), Amperes(1.0), 1.4, 1e7);
        assert!((life - 1e7).abs() < 1.0);
    }
}
