//! Starting: currents and torques of each method, currents of each contactor role, and how long a start takes.
//!
//! Torques are multiples of the rated torque. Winding factors are exact (1/√3 and 1/3); printed tables round them to 0.58 and
//! 0.33, and chaining such roundings is how a device comes out one size wrong.

use serde::Deserialize;

use crate::quantity::{Amperes, Ohms, Seconds, Watts};
use crate::record::{Formula, Record};

/// One figure of the practice table.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PracticeRow {
    /// Its name.
    pub name: String,
    /// The figure.
    pub value: f64,
    /// Its unit, or empty.
    pub unit: String,
    /// Range and origin.
    pub remark: String,
}

table! {
    /// Figures of starting methods that no standard gives.
    PRACTICE, PRACTICE_ROWS: PracticeRow, "starting-practice"
}
/// A figure of the practice table by name; none if there is no such row.
#[must_use]
pub fn practice(name: &str) -> Option<f64> {
    PRACTICE_ROWS.iter().find(|row| row.name == name).map(|row| row.value)
}

/// A figure that the program itself names; a test holds that each of them is in the table.
fn figure(name: &str) -> f64 {
    practice(name).unwrap_or(f64::NAN)
}

/// How a motor is brought up to speed, with what decides current and torque.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Start {
    /// Full voltage.
    Direct,
    /// Star, then delta.
    StarDelta,
    /// Autotransformer at this share (0 to 1) of the voltage.
    Autotransformer(f64),
    /// Part winding; the share of the direct starting current, or the table's.
    PartWinding(Option<f64>),
    /// Soft starter: current limit over rated current.
    CurrentLimit(f64),
    /// Resistor or reactor in the stator line that leaves this share (0 to 1) of the voltage at the motor.
    StatorImpedance(f64),
    /// Variable-speed drive: the line never sees more than about the rated current.
    Drive,
    /// Slip-ring motor: starting current over rated current, or the table's.
    RotorResistance(Option<f64>),
}

formula! {
    /// Current of one winding of a delta-connected motor.
    WINDING_CURRENT: "current of one winding in delta", "A", "circuit theory";
    "Iw = I / √3"; "I/SQRT(3)"; |I| I / 3f64.sqrt()
}
formula! {
    /// Current of the star contactor.
    STAR_CURRENT: "current of the star contactor", "A", "circuit theory";
    "Is = I / 3"; "I/3"; |I| I / 3.0
}
formula! {
    /// Starting current at full voltage.
    LOCKED_ROTOR_CURRENT: "starting current at full voltage", "A", "definition of the starting current ratio";
    "IA = k I"; "k*I"; |k, I| k * I
}
formula! {
    /// Line current of a star start.
    STAR_START_CURRENT: "starting current in star", "A", "circuit theory";
    "IA = k I / 3"; "k*I/3"; |k, I| k * I / 3.0
}
formula! {
    /// Line current of an autotransformer start.
    AUTOTRANSFORMER_CURRENT: "starting current of the autotransformer", "A", "ideal transformer";
    "IA = a² k I"; "a^2*k*I"; |a, k, I| a * a * k * I
}
formula! {
    /// Line current of a start with part of the current.
    SHARE_CURRENT: "starting current with part of the voltage or winding", "A", "circuit theory";
    "IA = a k I"; "a*k*I"; |a, k, I| a * k * I
}
formula! {
    /// Line current of a start that is limited to a multiple of the rated current.
    LIMITED_CURRENT: "starting current", "A", "current limit of the method";
    "IA = i I"; "i*I"; |i, I| i * I
}
formula! {
    /// Torque of a start with a limited current.
    LIMITED_TORQUE: "torque factor of the limited current", "", "torque rises with the square of the current";
    "f = (i / k)²"; "(i/k)^2"; |i, k| (i / k) * (i / k)
}
formula! {
    /// Torque of a start at reduced voltage.
    REDUCED_VOLTAGE_TORQUE: "torque factor of the reduced voltage", "", "torque rises with the square of the voltage";
    "f = a²"; "a^2"; |a| a * a
}
formula! {
    /// Torque that the motor has at standstill.
    AVAILABLE_TORQUE: "available starting torque over rated torque", "", "torque rises with the square of the voltage";
    "T = TA f u²"; "TA*f*u^2"; |TA, f, u| TA * f * u * u
}
formula! {
    /// Load torque that rises with the square of the speed.
    QUADRATIC_TORQUE: "load torque at this speed", "", "quadratic load";
    "T = T0 + (TL - T0) n²"; "T0+(TL-T0)*n^2"; |T0, TL, n| T0 + (TL - T0) * n * n
}
formula! {
    /// Load torque that rises with the speed.
    LINEAR_TORQUE: "load torque at this speed", "", "linear load";
    "T = T0 + (TL - T0) n"; "T0+(TL-T0)*n"; |T0, TL, n| T0 + (TL - T0) * n
}
formula! {
    /// Rated torque.
    RATED_TORQUE: "rated torque", "N·m", "mechanics";
    "T = 60 P / (2 π n)"; "60*P/(2*3.141592653589793*n)"; |P, n| 60.0 * P / (2.0 * std::f64::consts::PI * n)
}
formula! {
    /// Mean torque of a cage motor while it runs up.
    MEAN_MOTOR_TORQUE: "mean motor torque over rated torque", "", "handbook approximation";
    "Tm = c (TA + TK) f"; "c*(TA+TK)*f"; |c, TA, TK, f| c * (TA + TK) * f
}
formula! {
    /// Time to full speed.
    START_TIME: "start time", "s", "mechanics";
    "t = 2 π n J / (60 T (Tm - TL))"; "2*3.141592653589793*n*J/(60*T*(Tm-TL))";
    |J, n, T, Tm, TL| 2.0 * std::f64::consts::PI * n * J / (60.0 * T * (Tm - TL))
}
formula! {
    /// Time to full speed at reduced voltage, from that at full voltage.
    REDUCED_START_TIME: "start time at reduced voltage", "s", "mechanics";
    "t = t1 (Tm - TL) / (f Tm - TL)"; "t1*(Tm-TL)/(f*Tm-TL)"; |t1, Tm, TL, f| t1 * (Tm - TL) / (f * Tm - TL)
}
formula! {
    /// Current of the contactor that bridges the star point of a tapped winding.
    HIGH_STAR_CURRENT: "current of the star-point contactor at high speed", "A", "circuit theory";
    "Is = I / 2"; "I/2"; |I| I / 2.0
}
formula! {
    /// Third contactor of a nine-terminal tapped winding with star-delta on its low step.
    NINE_TERMINAL_THIRD: "current of the third contactor", "A", "one handbook, nine-terminal tapped winding";
    "I3 = max(I1 / √3, I2 / 2)"; "MAX(I1/SQRT(3),I2/2)"; |I1, I2| (I1 / 3f64.sqrt()).max(I2 / 2.0)
}
formula! {
    /// Fourth contactor of a nine-terminal tapped winding with star-delta on its low step.
    NINE_TERMINAL_FOURTH: "current of the fourth contactor", "A", "one handbook, nine-terminal tapped winding";
    "I4 = max(I1 / 3, I2 / 2)"; "MAX(I1/3,I2/2)"; |I1, I2| (I1 / 3.0).max(I2 / 2.0)
}
formula! {
    /// Contactor that feeds the autotransformer.
    TAP_CONTACTOR: "current of the contactor that feeds the autotransformer", "A", "ideal transformer";
    "It = a² I"; "a^2*I"; |a, I| a * a * I
}
formula! {
    /// Contactor at the star point of the autotransformer.
    STAR_POINT_CONTACTOR: "current of the star-point contactor", "A", "ideal transformer; least size common practice";
    "Is = max(a - a², m) I"; "MAX(a-a^2,m)*I"; |a, m, I| (a - a * a).max(m) * I
}
formula! {
    /// One part of a part-winding motor.
    PART_CURRENT: "current of this part of the winding", "A", "circuit theory";
    "Ip = p I"; "p*I"; |p, I| p * I
}
formula! {
    /// Contactor that inserts the resistors of a closed star-delta start.
    TRANSITION_CONTACTOR: "current of the transition contactor", "A", "common practice, no source";
    "It = c I"; "c*I"; |c, I| c * I
}
formula! {
    /// Resistance to be added in each rotor phase.
    ROTOR_RESISTANCE: "rotor starting resistance, a phase", "Ω", "slip proportional to rotor resistance at equal torque";
    "R = R2 (1 / (T s) - 1)"; "R2*(1/(T*s)-1)"; |R2, T, s| R2 * (1.0 / (T * s) - 1.0)
}

/// The formulas of this file.
pub const FORMULAS: &[&Formula] = &[
    &WINDING_CURRENT,
    &STAR_CURRENT,
    &LOCKED_ROTOR_CURRENT,
    &STAR_START_CURRENT,
    &AUTOTRANSFORMER_CURRENT,
    &SHARE_CURRENT,
    &LIMITED_CURRENT,
    &LIMITED_TORQUE,
    &REDUCED_VOLTAGE_TORQUE,
    &AVAILABLE_TORQUE,
    &QUADRATIC_TORQUE,
    &LINEAR_TORQUE,
    &RATED_TORQUE,
    &MEAN_MOTOR_TORQUE,
    &START_TIME,
    &REDUCED_START_TIME,
    &HIGH_STAR_CURRENT,
    &NINE_TERMINAL_THIRD,
    &NINE_TERMINAL_FOURTH,
    &TAP_CONTACTOR,
    &STAR_POINT_CONTACTOR,
    &PART_CURRENT,
    &TRANSITION_CONTACTOR,
    &ROTOR_RESISTANCE,
];

/// Current of one winding of a motor that runs in delta: line and delta contactors, winding leads, soft starter inside the delta.
pub fn winding_current(record: &mut Record, rated: Amperes) -> Amperes {
    Amperes(record.step(&WINDING_CURRENT, &[rated.0]))
}

/// Current on which the star contactor is sized.
pub fn star_contactor_current(record: &mut Record, rated: Amperes) -> Amperes {
    Amperes(record.step(&STAR_CURRENT, &[rated.0]))
}

/// Starting current at full voltage, `ratio` times the rated current. No circuit asks for this yet.
pub fn locked_rotor_current(record: &mut Record, rated: Amperes, ratio: f64) -> Amperes {
    Amperes(record.step(&LOCKED_ROTOR_CURRENT, &[ratio, rated.0]))
}

/// Current that the line sees at the start.
pub fn line_start_current(record: &mut Record, start: Start, rated: Amperes, ratio: f64) -> Amperes {
    let i = rated.0;
    Amperes(match start {
        Start::Direct => record.step(&LOCKED_ROTOR_CURRENT, &[ratio, i]),
        Start::StarDelta => record.step(&STAR_START_CURRENT, &[ratio, i]),
        Start::Autotransformer(tap) => record.step(&AUTOTRANSFORMER_CURRENT, &[tap, ratio, i]),
        Start::PartWinding(share) => {
            record.step(&SHARE_CURRENT, &[share.unwrap_or_else(|| figure("part-winding-current")), ratio, i])
        }
        Start::CurrentLimit(limit) => record.step(&LIMITED_CURRENT, &[limit.min(ratio), i]),
        Start::StatorImpedance(share) => record.step(&SHARE_CURRENT, &[share, ratio, i]),
        Start::Drive => record.step(&LIMITED_CURRENT, &[1.0, i]),
        Start::RotorResistance(multiple) => {
            record.step(&LIMITED_CURRENT, &[multiple.unwrap_or_else(|| figure("slip-ring-start-current")), i])
        }
    })
}

/// Starting torque of the method over the motor's own at full voltage. None for a drive and for rotor resistance: there the
/// torque is set, up to the breakdown torque, and not a share of the starting torque.
pub fn torque_factor(record: &mut Record, start: Start, ratio: f64) -> Option<f64> {
    match start {
        Start::Direct => Some(1.0),
        Start::StarDelta => Some(record.step(&REDUCED_VOLTAGE_TORQUE, &[1.0 / 3f64.sqrt()])),
        Start::Autotransformer(share) | Start::StatorImpedance(share) => Some(record.step(&REDUCED_VOLTAGE_TORQUE, &[share])),
        Start::PartWinding(_) => Some(figure("part-winding-torque")),
        Start::CurrentLimit(limit) => Some(record.step(&LIMITED_TORQUE, &[limit.min(ratio), ratio])),
        Start::Drive | Start::RotorResistance(_) => None,
    }
}

/// Torque at standstill over rated torque. `voltage_ratio` is the voltage at the motor over its rated voltage.
pub fn available_torque(record: &mut Record, locked_rotor_torque: f64, factor: f64, voltage_ratio: f64) -> f64 {
    record.step(&AVAILABLE_TORQUE, &[locked_rotor_torque, factor, voltage_ratio])
}

/// How the torque of a load depends on its speed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LoadTorque {
    /// With the square of the speed.
    Quadratic,
    /// With the speed.
    Linear,
    /// Not at all.
    Constant,
}

/// Load torque over rated torque at `speed` (0 to 1 of rated); `breakaway` is what it needs at standstill.
pub fn load_torque(record: &mut Record, kind: LoadTorque, full: f64, breakaway: f64, speed: f64) -> f64 {
    match kind {
        LoadTorque::Quadratic => record.step(&QUADRATIC_TORQUE, &[breakaway, full, speed]),
        LoadTorque::Linear => record.step(&LINEAR_TORQUE, &[breakaway, full, speed]),
        LoadTorque::Constant => full.max(breakaway),
    }
}

/// Rated torque in N·m from shaft power and rated speed in 1/min.
pub fn rated_torque_nm(record: &mut Record, shaft_power: Watts, speed_rpm: f64) -> f64 {
    record.step(&RATED_TORQUE, &[shaft_power.0, speed_rpm])
}

/// Mean torque of a cage motor during its start, over rated torque; `factor` is that of the method.
pub fn mean_motor_torque(record: &mut Record, locked_rotor_torque: f64, breakdown_torque: f64, factor: f64) -> f64 {
    record.step(&MEAN_MOTOR_TORQUE, &[figure("mean-torque-factor"), locked_rotor_torque, breakdown_torque, factor])
}

/// Mean of the load torque between standstill and full speed, over its value at full speed: exact means of the curves.
#[must_use]
pub fn mean_load_share(kind: LoadTorque) -> f64 {
    match kind {
        LoadTorque::Quadratic => 1.0 / 3.0,
        LoadTorque::Linear => 0.5,
        LoadTorque::Constant => 1.0,
    }
}

/// Time to full speed; none where the motor has no torque left to accelerate with. `inertia_kgm2` is everything that turns,
/// referred to the motor shaft; the torques are means over rated torque.
pub fn start_time(
    record: &mut Record,
    inertia_kgm2: f64,
    speed_rpm: f64,
    rated_torque_nm: f64,
    mean_motor: f64,
    mean_load: f64,
) -> Option<Seconds> {
    (mean_motor > mean_load && rated_torque_nm > 0.0)
        .then(|| Seconds(record.step(&START_TIME, &[inertia_kgm2, speed_rpm, rated_torque_nm, mean_motor, mean_load])))
}

/// Time to full speed at reduced voltage, from that at full voltage; none where the motor does not accelerate. `mean_motor` is
/// the mean torque at full voltage. No circuit asks for this yet.
pub fn reduced_voltage_start_time(
    record: &mut Record,
    full_voltage_time: Seconds,
    mean_motor: f64,
    mean_load: f64,
    factor: f64,
) -> Option<Seconds> {
    (factor * mean_motor > mean_load)
        .then(|| Seconds(record.step(&REDUCED_START_TIME, &[full_voltage_time.0, mean_motor, mean_load, factor])))
}

/// Star-point contactor of a tapped (Dahlander) winding, from the current at high speed.
pub fn high_star_current(record: &mut Record, high_speed: Amperes) -> Amperes {
    Amperes(record.step(&HIGH_STAR_CURRENT, &[high_speed.0]))
}

/// Third and fourth contactor of a nine-terminal tapped winding whose low step starts in star-delta. No circuit asks for this yet.
pub fn nine_terminal_currents(record: &mut Record, low_step: Amperes, high_step: Amperes) -> (Amperes, Amperes) {
    let numbers = [low_step.0, high_step.0];
    (Amperes(record.step(&NINE_TERMINAL_THIRD, &numbers)), Amperes(record.step(&NINE_TERMINAL_FOURTH, &numbers)))
}

/// Contactor that feeds the autotransformer; `tap` is the share (0 to 1) of the voltage.
pub fn tap_contactor_current(record: &mut Record, rated: Amperes, tap: f64) -> Amperes {
    Amperes(record.step(&TAP_CONTACTOR, &[tap, rated.0]))
}

/// Contactor at the star point of the autotransformer; never below the least size of the practice table.
pub fn star_point_contactor_current(record: &mut Record, rated: Amperes, tap: f64) -> Amperes {
    Amperes(record.step(&STAR_POINT_CONTACTOR, &[tap, figure("star-point-minimum"), rated.0]))
}

/// One contactor or overload relay of a part-winding motor; `share` is the motor maker's (1/2 for equal halves).
pub fn part_current(record: &mut Record, rated: Amperes, share: f64) -> Amperes {
    Amperes(record.step(&PART_CURRENT, &[share, rated.0]))
}

/// Contactor that inserts the resistors of a closed star-delta start.
pub fn transition_current(record: &mut Record, rated: Amperes) -> Amperes {
    Amperes(record.step(&TRANSITION_CONTACTOR, &[figure("transition-contactor"), rated.0]))
}

/// Resistance to be added in each rotor phase so that the motor has `torque` (over rated torque) at standstill; for torques on
/// the straight part of its curve. No circuit asks for this yet.
pub fn rotor_starting_resistance(record: &mut Record, rotor: Ohms, rated_slip: f64, torque: f64) -> Ohms {
    Ohms(record.step(&ROTOR_RESISTANCE, &[rotor.0, torque, rated_slip]))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_figure_that_the_code_names_is_in_the_table() {
        let source = include_str!("starting.rs");
        for part in source.split("figure(\"").skip(1) {
            let name = part.split('"').next().unwrap_or("");
            assert!(name == "," || practice(name).is_some_and(f64::is_finite), "{name}");
        }
        assert!(PRACTICE_ROWS.iter().all(|row| !row.remark.is_empty() && ["", "s", "K", "a"].contains(&row.unit.as_str())));
    }

    #[test]
    fn a_start_without_accelerating_torque_has_no_time() {
        let record = &mut Record::new();
        assert_eq!(start_time(record, 1.0, 1480.0, 50.0, 0.3, 0.3), None);
        assert_eq!(reduced_voltage_start_time(record, Seconds(3.0), 1.5, 0.6, 1.0 / 3.0), None);
        let slow = reduced_voltage_start_time(record, Seconds(3.0), 2.0, 0.3, 1.0 / 3.0).unwrap_or_default();
        assert!(slow > Seconds(9.0), "without load three times, with load more: {slow:?}");
    }

    #[test]
    fn a_soft_starter_never_draws_more_than_a_direct_start() {
        let record = &mut Record::new();
        assert_eq!(line_start_current(record, Start::CurrentLimit(9.0), Amperes(10.0), 7.0), Amperes(70.0));
        assert_eq!(torque_factor(record, Start::CurrentLimit(9.0), 7.0), Some(1.0));
    }

    /// Half of the full torque at half speed of a straight line from rest, a quarter of a square law; 0.2 to break away is added to
    /// what is left of the curve: 0.2 + 0.6/2 = 0.5 and 0.2 + 0.6/4 = 0.35.
    #[test]
    fn a_load_follows_its_law() {
        let at_half = |kind| load_torque(&mut Record::new(), kind, 0.8, 0.2, 0.5);
        assert!((at_half(LoadTorque::Linear) - 0.5).abs() < 1e-9);
        assert!((at_half(LoadTorque::Quadratic) - 0.35).abs() < 1e-9);
        assert!((at_half(LoadTorque::Constant) - 0.8).abs() < 1e-9);
    }
}
