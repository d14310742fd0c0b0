//! Required ampacity of conductors: which current, and how much more than it, by kind of circuit.

use serde::Deserialize;

use crate::load::Start;
use crate::quantity::{Amperes, fits};
use crate::record::{Formula, Record};

/// Factor of one case.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FactorRow {
    case: String,
    clause: String,
    factor_pct: f64,
}

/// Factor of one duty and time rating.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DutyRow {
    duty: String,
    rated_to_min: Option<f64>,
    factor_pct: f64,
}

/// Duty of one duty type.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DutyTypeRow {
    number: u8,
    duty: String,
    #[serde(rename = "remark")]
    _remark: String,
}

/// Factor of one duty of a secondary resistor.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SecondaryRow {
    resistor_duty: String,
    factor_pct: f64,
}

/// Factor of one duty of a resistor in a dc circuit.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ResistorRow {
    on_s: Option<f64>,
    off_s: Option<f64>,
    factor_pct: f64,
}

table! {
    /// Factors by case.
    FACTORS, FACTOR_ROWS: FactorRow, "motor-conductor-factors"
}
table! {
    /// Duty-cycle service.
    DUTY, DUTY_ROWS: DutyRow, "duty-cycle-conductors"
}
table! {
    /// Duties of duty types.
    DUTY_TYPES, DUTY_TYPE_ROWS: DutyTypeRow, "duty-types"
}
table! {
    /// Resistors in the secondary of wound-rotor motors.
    SECONDARY, SECONDARY_ROWS: SecondaryRow, "secondary-resistor-conductors"
}
table! {
    /// Resistors of dc motors.
    RESISTOR_DC, RESISTOR_ROWS: ResistorRow, "resistor-conductors-dc"
}

macro_rules! needs { ($($name:ident: $quantity:literal, $reference:literal;)*) => { $(
    formula! {
        /// Required ampacity.
        $name: $quantity, "A", $reference; "I = p I0 / 100"; "p*I0/100"; |p, I0| p * I0 / 100.0
    }
)*
    /// The formulas of this file.
    pub const FORMULAS: &[&Formula] = &[$(&$name),*];
}; }

needs! {
    SINGLE_MOTOR: "required ampacity for a motor", "NFPA 70, 430.22";
    RECTIFIER: "required ampacity for a dc motor behind a rectifier", "NFPA 70, 430.22(A)";
    MULTISPEED: "required ampacity for a motor of several speeds", "NFPA 70, 430.22(B)";
    WYE_DELTA: "required ampacity of wye-delta leads", "NFPA 70, 430.22(C)";
    PART_WINDING: "required ampacity of part-winding leads", "NFPA 70, 430.22(D)";
    DUTY_CYCLE: "required ampacity for duty-cycle service", "NFPA 70, Table 430.22(E)";
    SECONDARY_LEADS: "required ampacity of secondary conductors", "NFPA 70, 430.23(A)";
    SECONDARY_RESISTOR: "required ampacity of conductors to a secondary resistor", "NFPA 70, Table 430.23(C)";
    RESISTOR: "required ampacity of conductors to a dc resistor", "NFPA 70, Table 430.29";
    DRIVE_INPUT: "required ampacity before a drive", "NFPA 70, 430.122(A)";
    DRIVE_OUTPUT: "required ampacity behind a drive", "NFPA 70, 430.122(B)";
    HERMETIC: "required ampacity for a hermetic compressor", "NFPA 70, 440.32";
    TORQUE_MOTOR: "required ampacity for a torque motor", "NFPA 70, 430.6(B) and 430.22";
    CONTINUOUS: "required ampacity for a continuous load", "NFPA 70, 210.19(A)(1)";
    HEAT: "required ampacity for electric heat", "NFPA 70, 424.4(B); 424.3(B) in 2017";
    PIPE_HEAT: "required ampacity for pipe heating", "NFPA 70, 427.4";
    CAPACITOR: "required ampacity for a capacitor", "NFPA 70, 460.8(A)";
    TRANSFORMER: "required ampacity for a transformer", "NFPA 70, 215.2(A)(1)";
}

fn factor(case: &str) -> f64 {
    FACTOR_ROWS.iter().find(|row| row.case == case && !row.clause.is_empty()).map_or(f64::NAN, |row| row.factor_pct)
}

fn of(record: &mut Record, formula: &'static Formula, case: &str, current: Amperes) -> Amperes {
    Amperes(record.step(formula, &[factor(case), current.0]))
}

/// 430.22: a single motor for continuous duty, from the table current.
pub fn single_motor(record: &mut Record, full_load: Amperes) -> Amperes {
    of(record, &SINGLE_MOTOR, "single-motor", full_load)
}

/// 430.22(A): a dc motor behind a single-phase rectifier, half-wave or full-wave. No circuit asks for this yet.
pub fn rectifier_output(record: &mut Record, full_load: Amperes, full_wave: bool) -> Amperes {
    of(record, &RECTIFIER, if full_wave { "full-wave-output" } else { "half-wave-output" }, full_load)
}

/// 430.22(A): supply of a rectifier, from its rated input current. No circuit asks for this yet.
pub fn rectifier_input(record: &mut Record, input: Amperes) -> Amperes {
    of(record, &RECTIFIER, "rectifier-input", input)
}

/// 430.22(B): line side, from the highest nameplate current of the windings; load side, from that of the winding.
pub fn multispeed(record: &mut Record, winding: Amperes) -> Amperes {
    of(record, &MULTISPEED, "multispeed", winding)
}

/// 430.22(C): leads between a wye-delta controller and the motor, from the table current.
pub fn wye_delta_leads(record: &mut Record, full_load: Amperes) -> Amperes {
    of(record, &WYE_DELTA, "wye-delta-leads", full_load)
}

/// 430.22(D): leads between a part-winding controller and one half of the winding, from the table current.
pub fn part_winding_leads(record: &mut Record, full_load: Amperes) -> Amperes {
    of(record, &PART_WINDING, "part-winding-leads", full_load)
}

/// 430.6(B): a torque motor, from its nameplate locked-rotor current. No circuit asks for this yet.
pub fn torque_motor(record: &mut Record, locked_rotor: Amperes) -> Amperes {
    of(record, &TORQUE_MOTOR, "torque-motor", locked_rotor)
}

/// Duty of Table 430.22(E).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Duty {
    /// Short-time.
    ShortTime,
    /// Intermittent.
    Intermittent,
    /// Periodic.
    Periodic,
    /// Varying.
    Varying,
}

/// Time for which a motor is rated in its duty.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum TimeRating {
    /// Minutes.
    Minutes(f64),
    /// Continuous.
    Continuous,
}

impl Duty {
    /// The duty that a row states; none for continuous duty. The word `periodic` is that of the table; the duty types that have it in
    /// their names (S6 to S8) run without a rest and are continuous here.
    #[must_use]
    pub fn of(start: &Start) -> Option<Self> {
        if start.duty_text.trim().to_lowercase().starts_with(Self::Periodic.word()) {
            return Some(Self::Periodic);
        }
        let row = DUTY_TYPE_ROWS.iter().find(|row| row.number == start.duty)?;
        [Self::ShortTime, Self::Intermittent, Self::Periodic, Self::Varying].into_iter().find(|duty| duty.word() == row.duty)
    }

    fn word(self) -> &'static str {
        match self {
            Self::ShortTime => "short_time",
            Self::Intermittent => "intermittent",
            Self::Periodic => "periodic",
            Self::Varying => "varying",
        }
    }
}

/// 430.22(E): duties other than continuous, from the nameplate current; none where the table has no value. A rating between two
/// columns belongs to the longer one.
pub fn duty_cycle(record: &mut Record, nameplate: Amperes, duty: Duty, rated: TimeRating) -> Option<Amperes> {
    let column = rows_of(duty).find(|row| match (rated, row.rated_to_min) {
        (TimeRating::Minutes(minutes), Some(to)) => fits(minutes, to),
        // The last column is that of motors rated for continuous duty, and of longer ratings than the others have.
        (_, to) => to.is_none(),
    })?;
    Some(Amperes(record.step(&DUTY_CYCLE, &[column.factor_pct, nameplate.0])))
}

/// Columns of a duty, the shortest time rating first.
fn rows_of(duty: Duty) -> impl DoubleEndedIterator<Item = &'static DutyRow> {
    DUTY_ROWS.iter().filter(move |row| row.duty == duty.word())
}

/// 430.22(E): a duty whose row has nothing for the motor's time rating, by the longest rating that the row has.
pub fn longest_duty(record: &mut Record, nameplate: Amperes, duty: Duty) -> Option<Amperes> {
    let longest = rows_of(duty).next_back()?;
    Some(Amperes(record.step(&DUTY_CYCLE, &[longest.factor_pct, nameplate.0])))
}

/// 430.22(E) for the duty and the time rating that a row states; none for continuous duty. Who states no time rating does not show that the
/// machine cannot run on with its load (430.33): conductors are then no smaller than for continuous duty.
pub fn of_duty(
    record: &mut Record,
    start: &Start,
    current: Amperes,
    continuous: impl FnOnce(&mut Record) -> Amperes,
) -> Option<Amperes> {
    let duty = Duty::of(start)?;
    let rated = start.rated_minutes.map_or(TimeRating::Continuous, TimeRating::Minutes);
    let by_table = duty_cycle(record, current, duty, rated).or_else(|| longest_duty(record, current, duty))?;
    Some(if start.rated_minutes.is_some() { by_table } else { by_table.max(continuous(record)) })
}

/// 430.23(A): secondary of a wound-rotor motor, between motor and controller.
pub fn secondary(record: &mut Record, secondary_current: Amperes) -> Amperes {
    of(record, &SECONDARY_LEADS, "secondary", secondary_current)
}

/// Table 430.23(C): between controller and secondary resistor; none for a duty that the table does not have.
/// No circuit asks for this yet.
pub fn secondary_resistor(record: &mut Record, secondary_current: Amperes, resistor_duty: &str) -> Option<Amperes> {
    let row = SECONDARY_ROWS.iter().find(|row| row.resistor_duty == resistor_duty)?;
    Some(Amperes(record.step(&SECONDARY_RESISTOR, &[row.factor_pct, secondary_current.0])))
}

/// Table 430.29: to a resistor of a dc motor that is on and off for so many seconds; continuous duty without times.
/// No circuit asks for this yet.
pub fn resistor_dc(record: &mut Record, full_load: Amperes, times_s: Option<(f64, f64)>) -> Option<Amperes> {
    let row = RESISTOR_ROWS.iter().find(|row| match (row.on_s, row.off_s, times_s) {
        (None, None, None) => true,
        (Some(on), Some(off), Some((wanted_on, wanted_off))) => (on - wanted_on).abs() < 1e-9 && (off - wanted_off).abs() < 1e-9,
        _ => false,
    })?;
    Some(Amperes(record.step(&RESISTOR, &[row.factor_pct, full_load.0])))
}

/// 430.122(A): before a drive, from its rated input current.
pub fn drive_input(record: &mut Record, rated_input: Amperes) -> Amperes {
    of(record, &DRIVE_INPUT, "drive-input", rated_input)
}

/// 430.122(B): behind a drive, from the motor's current.
pub fn drive_output(record: &mut Record, full_load: Amperes) -> Amperes {
    of(record, &DRIVE_OUTPUT, "drive-output", full_load)
}

/// 430.122(C): before a drive with a bypass, the larger of both.
pub fn drive_with_bypass(record: &mut Record, rated_input: Amperes, full_load: Amperes) -> Amperes {
    drive_input(record, rated_input).max(single_motor(record, full_load))
}

/// 440.32: a hermetic compressor, from the larger of rated-load current and branch-circuit selection current.
pub fn hermetic(record: &mut Record, rated_load: Amperes, selection: Option<Amperes>) -> Amperes {
    of(record, &HERMETIC, "hermetic", selection.map_or(rated_load, |selection| selection.max(rated_load)))
}

/// 440.32: leads between a wye-delta controller and a hermetic compressor.
pub fn hermetic_wye_delta_leads(record: &mut Record, rated_load: Amperes) -> Amperes {
    of(record, &HERMETIC, "hermetic-wye-delta-leads", rated_load)
}

/// 210.19(A)(1): a continuous load that is no motor.
pub fn continuous_load(record: &mut Record, current: Amperes) -> Amperes {
    of(record, &CONTINUOUS, "continuous-load", current)
}

/// 424.4(B): fixed electric heat.
pub fn electric_heat(record: &mut Record, current: Amperes) -> Amperes {
    of(record, &HEAT, "electric-heat", current)
}

/// 427.4: heating of pipelines and vessels. No circuit asks for this yet.
pub fn pipe_heat(record: &mut Record, current: Amperes) -> Amperes {
    of(record, &PIPE_HEAT, "pipe-heating", current)
}

/// 460.8(A): a capacitor, from its rated current.
pub fn capacitor(record: &mut Record, rated: Amperes) -> Amperes {
    of(record, &CAPACITOR, "capacitor", rated)
}

/// 215.2(A)(1): a transformer, from its rated primary current.
pub fn transformer(record: &mut Record, rated: Amperes) -> Amperes {
    of(record, &TRANSFORMER, "transformer", rated)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::load::testing::start;
    use crate::load::{Method, duty as duties};

    fn duty_of(text: &str) -> Option<Duty> {
        let duty = duties::number(text).unwrap_or(1);
        Duty::of(&Start { duty, duty_text: text.to_owned(), ..start(Method::Direct) })
    }

    /// Names of the duty types: IEC 60034-1, 4.2. S1 has no row of the table, nor have S6 to S8, in which the motor never rests.
    #[test]
    fn duties_are_read_and_ratings_between_columns_go_to_the_longer() {
        for (text, duty) in [
            ("S1", None),
            ("continuous", None),
            ("S2 30 min", Some(Duty::ShortTime)),
            ("S3 40 %", Some(Duty::Intermittent)),
            ("S10", Some(Duty::Varying)),
            ("S8", None),
            ("S4 40 %", Some(Duty::Intermittent)),
            ("S5 40 %", Some(Duty::Intermittent)),
            ("S6 40 %", None),
            ("S7", None),
            ("Periodic, 15 min", Some(Duty::Periodic)),
            ("S9", Some(Duty::Varying)),
            ("Intermittent, 15 min", Some(Duty::Intermittent)),
            ("varying", Some(Duty::Varying)),
        ] {
            assert_eq!(duty_of(text), duty, "{text}");
        }
        // Table 430.22(E), nameplate 100 A.
        for (duty, rated, amperes) in [
            (Duty::ShortTime, TimeRating::Minutes(5.0), Some(110.0)),
            (Duty::ShortTime, TimeRating::Minutes(6.0), Some(120.0)),
            (Duty::ShortTime, TimeRating::Minutes(30.0), Some(150.0)),
            (Duty::ShortTime, TimeRating::Continuous, None),
            (Duty::Intermittent, TimeRating::Minutes(15.0), Some(85.0)),
            (Duty::Periodic, TimeRating::Minutes(60.0), Some(95.0)),
            (Duty::Periodic, TimeRating::Minutes(61.0), Some(140.0)),
            (Duty::Varying, TimeRating::Continuous, Some(200.0)),
        ] {
            let found = duty_cycle(&mut Record::new(), Amperes(100.0), duty, rated).map(|amperes| amperes.0);
            assert_eq!(found, amperes, "{duty:?} {rated:?}");
        }
    }

    #[test]
    fn resistors_follow_their_tables() {
        let record = &mut Record::new();
        for (duty, amperes) in [("light_starting", 35.0), ("heavy_intermittent", 85.0), ("continuous", 110.0)] {
            assert_eq!(secondary_resistor(record, Amperes(100.0), duty).map(|amperes| amperes.0), Some(amperes), "{duty}");
        }
        assert_eq!(secondary_resistor(record, Amperes(100.0), "unknown"), None);
        for (times, amperes) in [(Some((5.0, 75.0)), 35.0), (Some((15.0, 15.0)), 85.0), (None, 110.0)] {
            assert_eq!(resistor_dc(record, Amperes(100.0), times).map(|amperes| amperes.0), Some(amperes), "{times:?}");
        }
        assert_eq!(resistor_dc(record, Amperes(100.0), Some((7.0, 7.0))), None);
    }

    #[test]
    fn every_case_has_a_factor() {
        // 430.22(A), 440.32 and 460.8(A), which the published examples do not reach.
        let record = &mut Record::new();
        let one = Amperes(100.0);
        for (current, amperes) in [
            (rectifier_output(record, one, false), 190.0),
            (rectifier_output(record, one, true), 150.0),
            (rectifier_input(record, one), 125.0),
            (hermetic_wye_delta_leads(record, one), 72.0),
            (capacitor(record, one), 135.0),
            (transformer(record, one), 125.0),
            (pipe_heat(record, one), 125.0),
            (torque_motor(record, one), 125.0),
            (drive_with_bypass(record, Amperes(90.0), one), 125.0),
            (drive_with_bypass(record, Amperes(110.0), one), 137.5),
        ] {
            assert!((current.0 - amperes).abs() < 1e-9, "{} against {amperes}", current.0);
        }
    }
}
