//! Overload protection of motors: what a relay is set to at each place, its classes and limits, increased safety.

use serde::Deserialize;

use crate::quantity::{Amperes, Seconds, fits};
use crate::record::{Formula, Record};
use crate::rules::physics::tripping::TripClass;

/// One trip class.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ClassRow {
    /// Its name: `10A`, `20`, `30E`.
    pub class: String,
    /// Shortest trip time at 7.2 times the setting from cold.
    pub least_s: f64,
    /// Longest trip time.
    pub most_s: f64,
    /// Longest trip time at 1.5 times the setting after running at the setting.
    pub warm_1_5x_s: f64,
    /// Start time that it typically suits.
    pub typical_start_s: f64,
}

/// Limits of one kind of relay.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LimitRow {
    /// Kind of relay.
    pub relay: String,
    /// Temperature of the air.
    pub ambient_c: f64,
    /// No trip within 2 h from cold at this multiple of the setting.
    pub no_trip_x: f64,
    /// Then trip within 2 h at this one.
    pub trip_x: f64,
    /// Which poles are loaded.
    pub loading: String,
}

/// One figure of practice.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PracticeRow {
    /// Name.
    pub name: String,
    /// Value.
    pub value: f64,
    /// Origin.
    pub remark: String,
}

table! {
    /// Trip classes.
    CLASSES, CLASS_ROWS: ClassRow, "trip-classes"
}
table! {
    /// Limits of operation.
    LIMITS, LIMIT_ROWS: LimitRow, "overload-limits"
}
table! {
    /// Figures of overload protection.
    PRACTICE, PRACTICE_ROWS: PracticeRow, "overload-practice"
}

formula! {
    /// Setting in series with a winding that runs in delta.
    WINDING_SETTING: "setting in the winding leads", "A", "circuit theory; the relay carries the current of one winding";
    "Ir = I / √3"; "I/SQRT(3)"; |I| I / 3f64.sqrt()
}
formula! {
    /// Setting in one part of the winding.
    SHARE_SETTING: "setting in this part of the winding", "A", "circuit theory";
    "Ir = p I"; "p*I"; |p, I| p * I
}
formula! {
    /// Demand of an increased-safety motor on its relay.
    TE_DEMAND: "trip time at the starting current with tolerance", "s", "IEC 60079-14, increased safety";
    "td = a t"; "a*t"; |a, t| a * t
}

/// The formulas of this file.
pub const FORMULAS: &[&Formula] = &[&WINDING_SETTING, &SHARE_SETTING, &TE_DEMAND];

/// Where a relay sits.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Position {
    /// In the line: carries the current of the motor.
    Line,
    /// In series with a winding that runs in delta: leads behind the line contactor of a star-delta starter, delta branch, inside
    /// the delta.
    Winding,
    /// In one part of a part winding: the share of the current.
    Part(f64),
}

impl Position {
    /// Setting over the rated current of the motor.
    #[must_use]
    pub fn factor(self) -> f64 {
        match self {
            Self::Line => 1.0,
            Self::Winding => 1.0 / 3f64.sqrt(),
            Self::Part(share) => share,
        }
    }
}

/// The setting of a relay: the nameplate current times the share that it carries. For a motor with service factor as well, unless its maker
/// agrees to the service-factor current.
pub fn setting(record: &mut Record, position: Position, rated: Amperes) -> Amperes {
    match position {
        Position::Line => rated,
        Position::Winding => Amperes(record.step(&WINDING_SETTING, &[rated.0])),
        Position::Part(share) => Amperes(record.step(&SHARE_SETTING, &[share, rated.0])),
    }
}

/// The row of a trip class; none for a class that the standard does not have.
#[must_use]
pub fn class_row(class: TripClass) -> Option<&'static ClassRow> {
    let name = class.name();
    CLASS_ROWS.iter().find(|row| row.class == name)
}

/// Limits of operation of a kind of relay at 20 °C: `compensated` for bimetal, `electronic`.
#[must_use]
pub fn limits(relay: &str) -> Option<&'static LimitRow> {
    let of_kind = || LIMIT_ROWS.iter().filter(|row| row.relay == relay);
    of_kind().find(|row| (row.ambient_c - 20.0).abs() < 1e-9).or_else(|| of_kind().next())
}

/// Multiple of the setting at which a relay with all poles loaded trips within 2 h: what stands for I2 in the overload rule.
#[must_use]
pub fn conventional_trip_multiple(relay: &str) -> Option<f64> {
    limits(relay).map(|row| row.trip_x)
}

pub(super) fn practice(name: &str) -> f64 {
    PRACTICE_ROWS.iter().find(|row| row.name == name).map_or(f64::NAN, |row| row.value)
}

/// Starts an hour above which a bimetal relay gives way to an electronic one or to thermistors (from memory).
#[must_use]
pub fn bimetal_starts_per_hour() -> f64 {
    practice("bimetal-starts-per-hour")
}

/// An increased-safety motor against its relay.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct IncreasedSafetyCheck {
    /// Cold trip time at the starting current with its tolerance.
    pub demand: Seconds,
    /// The motor's time tE.
    pub limit: Seconds,
    /// The demand fits, tE is long enough and the starting current small enough for a current-dependent relay.
    pub holds: bool,
}

/// Tells whether a relay protects an increased-safety motor: cold trip time at the starting current times 1.2 fits tE. The setting
/// must not exceed the rated current, the relay must see the loss of a phase, must not reset by itself, and needs a certificate:
/// those are not checked here.
pub fn increased_safety(record: &mut Record, cold_trip_time: Seconds, starting_ratio: f64, te: Seconds) -> IncreasedSafetyCheck {
    let demand = Seconds(record.step(&TE_DEMAND, &[practice("te-tolerance"), cold_trip_time.0]));
    let suits = fits(practice("te-least-s"), te.0) && fits(starting_ratio, practice("te-largest-ratio"));
    IncreasedSafetyCheck { demand, limit: te, holds: suits && demand.fits(te) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::physics::tripping::cold_trip_time;

    #[test]
    fn every_class_is_one_that_is_read_and_its_curve_lies_in_its_band() {
        let record = &mut Record::new();
        for row in CLASS_ROWS.iter() {
            let class = TripClass::parse(&row.class);
            assert_eq!(class.map(|class| class.name()).as_deref(), Some(row.class.as_str()));
            assert!(
                row.least_s < row.most_s && row.typical_start_s < row.most_s && row.most_s < row.warm_1_5x_s,
                "{}",
                row.class
            );
            let number = class.map_or(0.0, |class| class.number);
            assert!((row.most_s - number).abs() < 1e-9);
            // The published curves are of ordinary classes 10 to 30; a narrow band has its own relays.
            if let Some(class) = class.filter(|class| !class.e && (10.0..=30.0).contains(&class.number)) {
                let time = cold_trip_time(record, class, 7.2).unwrap_or_default().0;
                assert!(time > row.least_s && time <= row.most_s, "{}: {time}", row.class);
            }
        }
    }

    #[test]
    fn figures_are_in_the_table() {
        for name in ["te-tolerance", "te-least-s", "te-largest-ratio", "bimetal-starts-per-hour"]
            .into_iter()
            .chain(["conventional-time-h", "warm-multiple"])
        {
            assert!(practice(name).is_finite(), "{name}");
        }
        assert_eq!(PRACTICE_ROWS.len(), 6);
        assert!(PRACTICE_ROWS.iter().all(|row| !row.remark.is_empty()));
        assert!(LIMIT_ROWS.iter().all(|row| row.no_trip_x < row.trip_x && !row.loading.is_empty()));
        assert_eq!(conventional_trip_multiple("electronic"), Some(1.2));
        assert_eq!(conventional_trip_multiple("compensated"), Some(1.2));
        assert_eq!(conventional_trip_multiple("nothing"), None);
    }

    #[test]
    fn increased_safety_needs_a_quick_relay_and_a_patient_motor() {
        let record = &mut Record::new();
        assert!(increased_safety(record, Seconds(8.0), 6.0, Seconds(9.6)).holds);
        assert!(!increased_safety(record, Seconds(8.1), 6.0, Seconds(9.6)).holds);
        assert!(!increased_safety(record, Seconds(2.0), 6.0, Seconds(4.9)).holds);
        assert!(!increased_safety(record, Seconds(2.0), 10.5, Seconds(9.0)).holds);
    }
}
