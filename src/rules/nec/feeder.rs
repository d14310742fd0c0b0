//! Feeders of several motors: conductors 430.24, device 430.62 and 430.63.
//!
//! The highest-rated motor is that of the largest current, not horsepower, and only one counts as such. The motor with the largest
//! branch device may be another one.

use super::Edition;
use super::figures::figure;
use super::protection::{Device, DeviceKind, MotorType, normal_maximum};
use super::standard_ratings::next_down;
use crate::quantity::{Amperes, fits};
use crate::record::{Formula, Record};

formula! {
    /// Conductors of a feeder.
    FEEDER_AMPACITY: "smallest ampacity of the feeder", "A", "430.24";
    "Iz = L + S + po Io / 100 + pc Ic / 100"; "L+S+po*Io/100+pc*Ic/100";
    |L, S, po, Io, pc, Ic| L + S + po * Io / 100.0 + pc * Ic / 100.0
}
formula! {
    /// The term of the highest-rated motor.
    LEAD_TERM: "term of the highest-rated motor", "A", "430.24, 430.17";
    "L = p I / 100"; "p*I/100"; |p, I| p * I / 100.0
}
formula! {
    /// Device of a feeder.
    FEEDER_DEVICE: "largest device of the feeder", "A", "430.62(A), 430.63";
    "Ip = Imax + S + Io + pc Ic / 100"; "Imax+S+Io+pc*Ic/100"; |Imax, S, Io, pc, Ic| Imax + S + Io + pc * Ic / 100.0
}
formula! {
    /// Demand factor.
    DEMAND: "ampacity after the demand factor", "A", "430.26, by special permission";
    "Iz = f I"; "f*I"; |f, I| f * I
}

/// The formulas of this file.
pub const FORMULAS: &[&Formula] = &[&FEEDER_AMPACITY, &LEAD_TERM, &FEEDER_DEVICE, &DEMAND];

/// Branch device of a motor as it enters the feeder device.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum BranchDevice {
    /// Fuse or inverse-time breaker with the largest rating that 430.52, 440.22 or a marking permits.
    Rated(Device, Amperes),
    /// Instantaneous-trip breaker or motor short-circuit protector: enters as a device of the feeder's type would.
    Instantaneous,
}

/// A motor (or drive, by its input current) of a feeder.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FeederMotor {
    /// Full-load current that counts for feeders; of a drive its rated input current.
    pub current: Amperes,
    /// Value of 430.22(E), if the motor is not on continuous duty.
    pub duty_value: Option<Amperes>,
    /// Kind, for the percentages of the device.
    pub motor: MotorType,
    /// Branch device; none if the motor has none of its own kind that the feeder needs to know (ampacity only).
    pub device: Option<BranchDevice>,
}

/// Loads of a feeder that are no motors.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct OtherLoads {
    /// Noncontinuous.
    pub noncontinuous: Amperes,
    /// Continuous.
    pub continuous: Amperes,
}

/// Smallest ampacity of a feeder.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FeederAmpacity {
    /// The ampacity.
    pub ampacity: Amperes,
    /// Index of the motor that entered as the highest-rated one; none without motors.
    pub lead: Option<usize>,
}

/// Term with which a motor enters as one of the others.
fn plain_term(motor: &FeederMotor) -> f64 {
    motor.duty_value.unwrap_or(motor.current).0
}

/// 430.24: 125 % of the highest-rated motor, all other motors, noncontinuous loads, 125 % of continuous ones. With motors that are
/// not on continuous duty, the lead term is the greater of the largest 430.22(E) value and 125 % of the largest continuous-duty
/// current (Exception 1).
pub fn feeder_ampacity(record: &mut Record, motors: &[FeederMotor], loads: OtherLoads) -> FeederAmpacity {
    let percent = figure("largest-motor-percent");
    let lead_value = |own: &FeederMotor| own.duty_value.map_or(own.current.0 * percent / 100.0, |duty| duty.0);
    let lead = motors.iter().enumerate().reduce(|a, b| if lead_value(a.1) >= lead_value(b.1) { a } else { b });
    let term = lead.map_or(0.0, |(_, own)| match own.duty_value {
        Some(duty) => duty.0,
        None => record.step(&LEAD_TERM, &[percent, own.current.0]),
    });
    let index = lead.map(|(index, _)| index);
    let share = figure("other-motor-percent") / 100.0;
    let others: f64 =
        motors.iter().enumerate().filter(|(own, _)| Some(*own) != index).map(|(_, own)| share * plain_term(own)).sum();
    let (other, continuous) = (figure("other-load-percent"), figure("continuous-load-percent"));
    let numbers = [term, others, other, loads.noncontinuous.0, continuous, loads.continuous.0];
    FeederAmpacity { ampacity: Amperes(record.step(&FEEDER_AMPACITY, &numbers)), lead: index }
}

/// 430.24 Exception 3: of interlocked loads only those count that can run together. Each combination is worked out with a
/// highest-rated motor of its own; the largest sum counts, and its index is given back.
pub fn interlocked_ampacity(
    record: &mut Record,
    combinations: &[(Vec<FeederMotor>, OtherLoads)],
) -> Option<(usize, FeederAmpacity)> {
    let sum = |own: &(Vec<FeederMotor>, OtherLoads)| feeder_ampacity(&mut Record::silent(), &own.0, own.1).ampacity.0;
    let largest = combinations.iter().enumerate().reduce(|a, b| if sum(a.1) >= sum(b.1) { a } else { b })?;
    Some((largest.0, feeder_ampacity(record, &largest.1.0, largest.1.1)))
}

/// 430.26: a demand factor, only where the authority having jurisdiction has permitted it; else the ampacity stays.
pub fn with_demand_factor(record: &mut Record, ampacity: Amperes, factor: f64, permitted: bool) -> Amperes {
    if permitted && factor > 0.0 && factor < 1.0 { Amperes(record.step(&DEMAND, &[factor, ampacity.0])) } else { ampacity }
}

/// Largest device of a feeder.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FeederDevice {
    /// Largest standard rating, rounded down.
    pub rating: Amperes,
    /// Before rounding.
    pub computed: Amperes,
    /// Rating by the other reading of "for the specific type": branch devices as they are against branch devices of the feeder's
    /// type. The smaller one is `rating`; a difference is to be reported.
    pub other_reading: Option<Amperes>,
    /// Index of the motor with the largest branch device.
    pub lead: usize,
}

/// 430.62(A), with other loads 430.63: the largest branch device plus the full-load currents of the other motors plus other loads
/// (continuous ones at 125 %), rounded down. Of equal devices one counts. With branch devices of another type than the feeder's,
/// both readings are worked out and the smaller wins. 430.63 states its sum as a floor; it is treated as a ceiling too.
/// None without motors, with a motor whose device is not known, or beyond the standard ratings.
pub fn feeder_device(
    record: &mut Record,
    edition: Edition,
    device: Device,
    motors: &[FeederMotor],
    loads: OtherLoads,
) -> Option<FeederDevice> {
    let own = |motor: &FeederMotor| match motor.device? {
        BranchDevice::Rated(_, rating) => Some(rating),
        BranchDevice::Instantaneous => as_feeder_type(edition, device, motor),
    };
    let same = |motor: &FeederMotor| match motor.device? {
        BranchDevice::Rated(kind, rating) if kind == device => Some(rating),
        _ => as_feeder_type(edition, device, motor),
    };
    let first = sum_of(record, motors, loads, own)?;
    // The other reading is worked out silently unless it is the one that counts.
    let second = sum_of(&mut Record::silent(), motors, loads, same);
    let kind = device.kind();
    match second {
        Some(second) if second.0.0 < first.0.0 && !fits(first.0.0, second.0.0) => {
            let other_reading = next_down(edition, kind, first.0);
            let (computed, lead) = sum_of(record, motors, loads, same)?;
            Some(FeederDevice { rating: next_down(edition, kind, computed)?, computed, other_reading, lead })
        }
        _ => {
            let (computed, lead) = first;
            let other_reading =
                second.filter(|second| !fits(second.0.0, computed.0)).and_then(|second| next_down(edition, kind, second.0));
            Some(FeederDevice { rating: next_down(edition, kind, computed)?, computed, other_reading, lead })
        }
    }
}

/// Device of the feeder's type that 430.52 would permit for a motor.
fn as_feeder_type(edition: Edition, device: Device, motor: &FeederMotor) -> Option<Amperes> {
    normal_maximum(&mut Record::silent(), edition, motor.motor, device, motor.current).map(|own| own.rating)
}

/// Sum under one reading and the motor that led. Of equal devices the one of the largest motor leads, which leaves the smallest sum.
fn sum_of(
    record: &mut Record,
    motors: &[FeederMotor],
    loads: OtherLoads,
    rating: impl Fn(&FeederMotor) -> Option<Amperes>,
) -> Option<(Amperes, usize)> {
    let ratings: Vec<(usize, f64, f64)> =
        motors.iter().enumerate().map(|(i, own)| Some((i, rating(own)?.0, own.current.0))).collect::<Option<_>>()?;
    let lead = ratings.iter().copied().reduce(|a, b| if (a.1, a.2) >= (b.1, b.2) { a } else { b })?;
    let others: f64 = ratings.iter().filter(|own| own.0 != lead.0).map(|own| own.2).sum();
    let continuous = figure("continuous-load-percent");
    let numbers = [lead.1, others, loads.noncontinuous.0, continuous, loads.continuous.0];
    Some((Amperes(record.step(&FEEDER_DEVICE, &numbers)), lead.0))
}

/// 430.94: the device of a motor control center is not above the rating of its common bus; rounded down.
#[must_use]
pub fn control_center_device(edition: Edition, kind: DeviceKind, wanted: Amperes, bus: Amperes) -> Option<Amperes> {
    if wanted.fits(bus) { Some(wanted) } else { next_down(edition, kind, bus) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn motor(current: f64, device: Option<BranchDevice>) -> FeederMotor {
        FeederMotor { current: Amperes(current), duty_value: None, motor: MotorType::Cage, device }
    }
    fn ampacity(motors: &[FeederMotor]) -> f64 {
        feeder_ampacity(&mut Record::new(), motors, OtherLoads::default()).ampacity.0
    }

    #[test]
    fn of_equal_motors_only_one_counts_at_125_per_cent() {
        let four = [motor(14.0, None); 4];
        assert!((ampacity(&four) - (14.0 * 1.25 + 3.0 * 14.0)).abs() < 1e-9);
        assert_eq!(feeder_ampacity(&mut Record::new(), &[], OtherLoads::default()).lead, None);
    }

    /// Exception 1: a 430.22(E) value of 30 A against a continuous motor of 28 A (35 A at 125 %), and the reverse.
    #[test]
    fn duty_motors_lead_where_their_value_is_greater() {
        let duty = |value: f64| FeederMotor { duty_value: Some(Amperes(value)), ..motor(20.0, None) };
        assert!((ampacity(&[motor(28.0, None), duty(30.0)]) - (35.0 + 30.0)).abs() < 1e-9);
        assert!((ampacity(&[motor(28.0, None), duty(40.0)]) - (28.0 + 40.0)).abs() < 1e-9);
    }

    #[test]
    fn the_largest_combination_of_interlocked_loads_counts() {
        let load = |amperes: f64| OtherLoads { noncontinuous: Amperes(amperes), ..OtherLoads::default() };
        // The larger motor is not in the larger sum.
        let combinations = [(vec![motor(40.0, None)], load(0.0)), (vec![motor(27.0, None)], load(30.0))];
        let (index, own) = interlocked_ampacity(&mut Record::new(), &combinations).unwrap_or_else(|| panic!("a combination"));
        assert_eq!(index, 1);
        assert!((own.ampacity.0 - (27.0 * 1.25 + 30.0)).abs() < 1e-9);
    }

    #[test]
    fn branch_fuses_under_a_breaker_give_two_readings_and_the_smaller_wins() {
        // 34 A: non-time-delay fuse 110 A, breaker 90 A; the other motor 14 A.
        let fuse =
            |amperes: f64, rating: f64| motor(amperes, Some(BranchDevice::Rated(Device::NonTimeDelayFuse, Amperes(rating))));
        let motors = [fuse(34.0, 110.0), fuse(14.0, 45.0)];
        let of = |device| {
            feeder_device(&mut Record::new(), Edition::E2023, device, &motors, OtherLoads::default())
                .map(|own| (own.computed.0, own.rating.0, own.other_reading.map(|own| own.0)))
        };
        assert_eq!(of(Device::InverseTimeBreaker), Some((104.0, 100.0, Some(110.0))));
        assert_eq!(of(Device::NonTimeDelayFuse), Some((124.0, 110.0, None)));
    }

    #[test]
    fn instantaneous_branches_enter_as_the_feeder_type() {
        let motors = [motor(34.0, Some(BranchDevice::Instantaneous)), motor(14.0, Some(BranchDevice::Instantaneous))];
        let own = feeder_device(&mut Record::new(), Edition::E2023, Device::TimeDelayFuse, &motors, OtherLoads::default());
        // 34 A x 1.75 = 59.5 A, next size 60 A; with 14 A 74 A, rounded down.
        assert_eq!(own.map(|own| (own.computed, own.rating)), Some((Amperes(74.0), Amperes(70.0))));
        let unknown = [motor(34.0, None)];
        assert_eq!(
            feeder_device(&mut Record::new(), Edition::E2023, Device::TimeDelayFuse, &unknown, OtherLoads::default()),
            None
        );
    }

    #[test]
    fn a_feeder_device_never_exceeds_its_sum() {
        for step in 1..200 {
            let current = f64::from(step) * 1.3;
            let device = Device::InverseTimeBreaker;
            let largest = normal_maximum(&mut Record::new(), Edition::E2023, MotorType::Cage, device, Amperes(current));
            let rated = BranchDevice::Rated(device, largest.map(|own| own.rating).unwrap_or_default());
            let motors = [motor(current, Some(rated)), motor(current, Some(rated))];
            if let Some(own) = feeder_device(&mut Record::new(), Edition::E2023, device, &motors, OtherLoads::default()) {
                assert!(own.rating.fits(own.computed));
            }
        }
    }

    #[test]
    fn demand_factors_need_permission() {
        let record = &mut Record::new();
        assert_eq!(with_demand_factor(record, Amperes(100.0), 0.8, false), Amperes(100.0));
        assert_eq!(with_demand_factor(record, Amperes(100.0), 0.8, true), Amperes(80.0));
        assert_eq!(with_demand_factor(record, Amperes(100.0), 1.2, true), Amperes(100.0));
        assert_eq!(
            control_center_device(Edition::E2023, DeviceKind::Breaker, Amperes(700.0), Amperes(600.0)),
            Some(Amperes(600.0))
        );
    }
}
