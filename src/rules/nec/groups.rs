//! Branch-circuit devices of groups, drives, hermetic compressors, and one device for overload and short circuit.

use serde::Deserialize;

use super::Edition;
use super::figures::figure;
use super::overload::TripCeiling;
use super::protection::{Device, DeviceKind, DeviceLimit, capped_by_marking};
use super::standard_ratings::next_down;
use crate::quantity::{Amperes, Seconds, Volts, fits};
use crate::record::{Formula, Record};

/// The test point of one kind of time-delay fuse.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HoldRow {
    fuse: String,
    multiple: f64,
    time_s: f64,
}

table! {
    /// Current and time that time-delay fuses carry.
    FUSE_HOLD, FUSE_HOLD_ROWS: HoldRow, "fuse-start-hold"
}

formula! {
    /// Compressor.
    HERMETIC_VALUE: "branch-circuit device of the compressor", "A", "440.22(A)";
    "Ip = p I / 100"; "p*I/100"; |p, I| p * I / 100.0
}
formula! {
    /// Group.
    GROUP_SUM: "device of the group", "A", "430.53(C)(4)";
    "Ip = Imax + S + Io"; "Imax+S+Io"; |Imax, S, Io| Imax + S + Io
}
formula! {
    /// Time for which a fuse carries a start.
    HOLD_TIME: "time for which the fuse carries this current", "s", "UL 248 practice, constant I²t";
    "t = tg (m In / I)^2"; "tg*(m*In/I)^2"; |tg, m, In, I| tg * (m * In / I) * (m * In / I)
}

/// The formulas of this file.
pub const FORMULAS: &[&Formula] = &[&HERMETIC_VALUE, &GROUP_SUM, &HOLD_TIME];

/// Current of a hermetic compressor: the larger of rated-load and branch-circuit selection current (440.22, 440.32, 440.12).
#[must_use]
pub fn hermetic_current(rated_load: Amperes, branch_circuit_selection: Option<Amperes>) -> Amperes {
    branch_circuit_selection.map_or(rated_load, |branch_circuit_selection| branch_circuit_selection.max(rated_load))
}

/// Largest device of one hermetic compressor without a marked maximum: 175 %, or 225 % if it does not start; rounded down, but
/// 15 A is always permitted. An equipment that is marked with its maximum device goes by that alone: [`capped_by_marking`].
pub fn hermetic_maximum(
    record: &mut Record,
    edition: Edition,
    kind: DeviceKind,
    current: Amperes,
    does_not_start: bool,
) -> Option<DeviceLimit> {
    let percent = if does_not_start { figure("hermetic-increase-percent") } else { figure("hermetic-percent") };
    let least = Amperes(figure("hermetic-least-a"));
    if !(current.0 > 0.0 && current.0.is_finite()) {
        return None;
    }
    let computed = Amperes(record.step(&HERMETIC_VALUE, &[percent, current.0]));
    let rating = next_down(edition, kind, computed).map_or(least, |rating| rating.max(least));
    Some(DeviceLimit { rating, computed, percent: Some(percent), clause: "440.22(A)".to_owned() })
}

/// A motor of a group.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GroupMotor {
    /// Horsepower.
    pub horsepower: f64,
    /// Full-load current.
    pub full_load: Amperes,
    /// Largest device of the motor alone after 430.52.
    pub own_device: Amperes,
}

/// 430.53(A): largest common device where every motor has at most 1 hp and 6 A; none if one has more. No circuit asks for this yet.
#[must_use]
pub fn small_motor_group(motors: &[GroupMotor], voltage: Volts) -> Option<Amperes> {
    let small = |motor: &GroupMotor| {
        fits(motor.horsepower, figure("group-small-horsepower")) && motor.full_load.fits(Amperes(figure("group-small-current-a")))
    };
    let low = fits(voltage.0, figure("group-small-voltage-v"));
    let rating = if low { figure("group-small-device-120v-a") } else { figure("group-small-device-a") };
    (!motors.is_empty() && motors.iter().all(small)).then_some(Amperes(rating))
}

/// 430.53(B): the common device may be that of the smallest motor alone. That it stays closed in normal duty is for the caller.
/// No circuit asks for this yet.
#[must_use]
pub fn smallest_motor_group(motors: &[GroupMotor]) -> Option<Amperes> {
    motors.iter().reduce(|a, b| if a.full_load.0 <= b.full_load.0 { a } else { b }).map(|motor| motor.own_device)
}

/// 430.53(C)(4): common device of a listed group, the value of 430.52 for the highest-rated motor plus the full-load currents of the
/// others plus other loads, rounded down; never above the limit that is marked on the smallest overload relay (430.40).
/// No circuit asks for this yet.
pub fn listed_group(
    record: &mut Record,
    edition: Edition,
    kind: DeviceKind,
    motors: &[GroupMotor],
    other_loads: Amperes,
    relay_limit: Option<Amperes>,
) -> Option<DeviceLimit> {
    let largest = motors.iter().enumerate().reduce(|a, b| if a.1.full_load.0 >= b.1.full_load.0 { a } else { b })?;
    let others: f64 =
        motors.iter().enumerate().filter(|(index, _)| *index != largest.0).map(|(_, motor)| motor.full_load.0).sum();
    let computed = Amperes(record.step(&GROUP_SUM, &[largest.1.own_device.0, others, other_loads.0]));
    let rating = next_down(edition, kind, computed)?;
    let limit = DeviceLimit { rating, computed, percent: None, clause: "430.53(C)(4)".to_owned() };
    capped_by_marking(edition, kind, limit, relay_limit, "430.40, 430.53(C)")
}

/// 430.55: one device for short circuit, ground fault and overload keeps to the overload ceiling, rounded down.
/// No circuit asks for this yet.
#[must_use]
pub fn combined_device(edition: Edition, kind: DeviceKind, ceiling: TripCeiling) -> Option<DeviceLimit> {
    let rating = next_down(edition, kind, ceiling.trip)?;
    let clause = format!("430.55, {}", ceiling.clause);
    Some(DeviceLimit { rating, computed: ceiling.trip, percent: Some(ceiling.percent), clause })
}

/// How long a fuse carries a current.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hold {
    /// The time.
    pub time: Seconds,
    /// The current lies above the tested multiple, where a constant I²t flatters the fuse: its curve decides.
    pub beyond_test: bool,
}

/// Current over the rated one and time that fuses of a kind carry, by the word of the table.
pub(super) fn start_hold(device: Device) -> Option<(f64, Seconds)> {
    FUSE_HOLD_ROWS.iter().find(|row| row.fuse == device.word()).map(|row| (row.multiple, Seconds(row.time_s)))
}

/// How long a time-delay fuse carries a current without opening (from memory): its test point, at constant I²t elsewhere. For
/// smaller currents than tested that is on the safe side. None for other fuses and circuit breakers.
pub fn fuse_hold(record: &mut Record, device: Device, rating: Amperes, current: Amperes) -> Option<Hold> {
    let row = FUSE_HOLD_ROWS.iter().find(|row| row.fuse == device.word())?;
    if !(current.0 > 0.0 && rating.0 > 0.0) {
        return None;
    }
    let time = Seconds(record.step(&HOLD_TIME, &[row.time_s, row.multiple, rating.0, current.0]));
    Some(Hold { time, beyond_test: !current.fits(rating * row.multiple) })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::nec::overload::{Reserve, ceiling};

    fn motor(horsepower: f64, full_load: f64, own_device: f64) -> GroupMotor {
        GroupMotor { horsepower, full_load: Amperes(full_load), own_device: Amperes(own_device) }
    }

    #[test]
    fn compressors_round_down_but_not_below_15_amperes() {
        let of = |amperes: f64, more| {
            let kind = DeviceKind::Breaker;
            hermetic_maximum(&mut Record::new(), Edition::E2023, kind, Amperes(amperes), more).map(|limit| limit.rating.0)
        };
        assert_eq!(of(20.1, false), Some(35.0));
        assert_eq!(of(20.1, true), Some(45.0));
        assert_eq!(of(4.0, false), Some(15.0));
        assert_eq!(of(f64::NAN, false), None);
        assert_eq!(hermetic_current(Amperes(20.0), Some(Amperes(18.0))), Amperes(20.0));
        assert_eq!(hermetic_current(Amperes(20.0), None), Amperes(20.0));
    }

    #[test]
    fn groups_of_small_motors() {
        let small = [motor(1.0, 6.0, 15.0), motor(0.5, 2.2, 10.0)];
        assert_eq!(small_motor_group(&small, Volts(120.0)), Some(Amperes(20.0)));
        assert_eq!(small_motor_group(&small, Volts(480.0)), Some(Amperes(15.0)));
        assert_eq!(small_motor_group(&[motor(1.0, 6.1, 15.0)], Volts(120.0)), None);
        assert_eq!(small_motor_group(&[motor(1.5, 3.0, 10.0)], Volts(480.0)), None);
        assert_eq!(small_motor_group(&[], Volts(480.0)), None);
        assert_eq!(smallest_motor_group(&small), Some(Amperes(10.0)));
    }

    #[test]
    fn the_smallest_relay_limits_a_group() {
        let motors = [motor(5.0, 7.6, 20.0), motor(5.0, 7.6, 20.0), motor(3.0, 4.8, 15.0)];
        let of = |limit: Option<f64>| {
            let (record, kind) = (&mut Record::new(), DeviceKind::Breaker);
            listed_group(record, Edition::E2023, kind, &motors, Amperes(0.0), limit.map(Amperes)).map(|limit| limit.rating.0)
        };
        assert_eq!(of(None), Some(30.0));
        assert_eq!(of(Some(22.0)), Some(20.0));
    }

    #[test]
    fn one_device_for_both_never_exceeds_the_overload_ceiling() {
        let mut held = 0;
        for step in 10..500 {
            let ceiling = ceiling(&mut Record::new(), Amperes(f64::from(step) * 0.31), Reserve::default());
            let ceiling = ceiling.unwrap_or_else(|| panic!("a ceiling"));
            if let Some(device) = combined_device(Edition::E2023, DeviceKind::Fuse, ceiling) {
                assert!(device.rating.fits(ceiling.trip));
                held += 1;
            }
        }
        assert!(held > 400, "a fuse for nearly all: {held}");
    }

    #[test]
    fn fuses_carry_less_current_for_longer() {
        let hold = |device, current| fuse_hold(&mut Record::new(), device, Amperes(10.0), Amperes(current));
        assert_eq!(hold(Device::TimeDelayFuse, 50.0), Some(Hold { time: Seconds(10.0), beyond_test: false }));
        assert_eq!(hold(Device::TimeDelayFuse, 25.0), Some(Hold { time: Seconds(40.0), beyond_test: false }));
        assert!(hold(Device::TimeDelayFuse, 60.0).is_some_and(|hold| hold.beyond_test));
        assert_eq!(hold(Device::ClassCcTimeDelayFuse, 20.0).map(|hold| hold.time), Some(Seconds(12.0)));
        assert_eq!(hold(Device::NonTimeDelayFuse, 20.0), None);
        assert_eq!(hold(Device::TimeDelayFuse, 0.0), None);
    }
}
