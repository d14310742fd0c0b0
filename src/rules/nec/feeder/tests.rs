use super::*;
use crate::load::testing::{horsepower, machine, start};
use crate::load::{Known, Machine, Origin, Start};
use crate::rules::RatedCurrents;
use crate::rules::nec::Edition;
use crate::rules::nec::protection::{MotorType, normal_maximum};

const BOOK: Nec = Nec { edition: Edition::E2023 };

fn motor(current: f64) -> FeederTerm {
    FeederTerm { current: Amperes(current), motor: true, ..FeederTerm::default() }
}

fn running(terms: &[FeederTerm]) -> Vec<FeederItem> {
    terms.iter().map(|term| FeederItem { term: *term, running: 1, displaces: None }).collect()
}

fn need(items: &[FeederItem]) -> (f64, Option<usize>) {
    let feeder_need = BOOK.feeder_need(items, Amperes(0.0), &mut Record::silent());
    (feeder_need.capacity.0, feeder_need.lead)
}

#[test]
fn of_equal_motors_only_one_counts_at_125_per_cent() {
    let four = [FeederItem { term: motor(14.0), running: 4, displaces: None }];
    assert!((need(&four).0 - (14.0 * 1.25 + 3.0 * 14.0)).abs() < 1e-9);
    assert!((need(&running(&[motor(14.0); 4])).0 - (14.0 * 1.25 + 3.0 * 14.0)).abs() < 1e-9);
    assert_eq!(need(&[]), (0.0, None));
}

/// Exception 1: a 430.22(E) value of 30 A against a continuous motor of 28 A (35 A at 125 %), and the reverse.
#[test]
fn duty_motors_lead_where_their_value_is_greater() {
    let duty = |value: f64| FeederTerm { duty_value: Some(Amperes(value)), ..motor(20.0) };
    assert_eq!(need(&running(&[motor(28.0), duty(30.0)])), (35.0 + 30.0, Some(0)));
    assert_eq!(need(&running(&[motor(28.0), duty(40.0)])), (28.0 + 40.0, Some(1)));
}

/// 215.2(A)(1): a continuous load of 30 A and one of 10 A that is not.
#[test]
fn loads_that_are_no_motors_count_by_their_duration() {
    let load = |current: f64, continuous: bool| FeederTerm { motor: false, continuous, ..motor(current) };
    assert!((need(&running(&[load(30.0, true), load(10.0, false)])).0 - 47.5).abs() < 1e-9);
    let bounds = BOOK.feeder_bounds(
        ProtectionKind::InverseTime,
        &running(&[load(30.0, true), load(10.0, false)]),
        Amperes(47.5),
        &mut Record::silent(),
    );
    assert_eq!((bounds.most, bounds.motor_feeder), (Some(Amperes(50.0)), false));
}

#[test]
fn branch_fuses_under_a_breaker_give_two_readings_and_the_smaller_wins() {
    // 34 A: non-time-delay fuse 110 A, breaker 90 A; the other motor 14 A: 45 A and 35 A.
    let fuse = |amperes: f64, fuse: f64, breaker: f64| FeederTerm {
        branch: Some(Amperes(fuse)),
        as_feeder: Some(Amperes(breaker)),
        ..motor(amperes)
    };
    let of = |kind, terms: [FeederTerm; 2]| {
        let bounds = BOOK.feeder_bounds(kind, &running(&terms), Amperes(0.0), &mut Record::silent());
        (bounds.most, bounds.other_reading)
    };
    let under_breaker = of(ProtectionKind::InverseTime, [fuse(34.0, 110.0, 90.0), fuse(14.0, 45.0, 35.0)]);
    assert_eq!(under_breaker, (Some(Amperes(100.0)), Some(Amperes(110.0))));
    let under_fuse = of(ProtectionKind::NonTimeDelay, [fuse(34.0, 110.0, 110.0), fuse(14.0, 45.0, 45.0)]);
    assert_eq!(under_fuse, (Some(Amperes(110.0)), None));
}

#[test]
fn instantaneous_branches_enter_as_the_feeder_type() {
    // 34 A x 1.75 = 59.5 A, next size 60 A; with 14 A 74 A, rounded down.
    let instantaneous = |current: f64, as_feeder: f64| FeederTerm { as_feeder: Some(Amperes(as_feeder)), ..motor(current) };
    let of = |terms: &[FeederTerm]| {
        BOOK.feeder_bounds(ProtectionKind::DualElement, &running(terms), Amperes(0.0), &mut Record::silent())
    };
    assert_eq!(of(&[instantaneous(34.0, 60.0), instantaneous(14.0, 25.0)]).most, Some(Amperes(70.0)));
    let unknown = of(&[motor(34.0)]);
    assert_eq!((unknown.most, unknown.motor_feeder, unknown.largest_first), (None, false, false));
    assert!(!unknown.unknown_because.is_empty());
}

#[test]
fn a_feeder_device_never_exceeds_its_sum() {
    let mut held = 0;
    for step in 1..200 {
        let current = f64::from(step) * 1.3;
        let device = Device::InverseTimeBreaker;
        let largest = normal_maximum(&mut Record::new(), Edition::E2023, MotorType::Cage, device, Amperes(current));
        let rated = largest.map(|limit| limit.rating);
        let term = FeederTerm { branch: rated, as_feeder: rated, ..motor(current) };
        let items = running(&[term, term]);
        let bounds = BOOK.feeder_bounds(ProtectionKind::InverseTime, &items, Amperes(0.0), &mut Record::silent());
        if let (Some(most), Some(rated)) = (bounds.most, rated) {
            assert!(most.fits(rated + Amperes(current)));
            held += 1;
        }
    }
    assert!(held > 150, "a device for nearly all: {held}");
}

/// A motor of 1 A on a fuse of 3 A behind a breaker: there is none of 3 A, and the smallest there is must not become the largest.
#[test]
fn a_sum_below_the_smallest_rating_leaves_the_device_to_the_conductors() {
    let term = FeederTerm { branch: Some(Amperes(3.0)), as_feeder: Some(Amperes(15.0)), ..motor(1.0) };
    let bounds = BOOK.feeder_bounds(ProtectionKind::InverseTime, &running(&[term]), Amperes(1.25), &mut Record::silent());
    assert_eq!((bounds.most, bounds.largest_first, bounds.motor_feeder, bounds.unknown_because), (None, false, false, ""));
}

/// 430.24: the highest-rated motor at 125 %, the others at 100 %, also where they run continuously; 50 A, 30 A and 20 A need
/// 1.25 · 50 + 30 + 20 = 112.5 A.
#[test]
fn motors_that_run_continuously_count_once_at_125_per_cent() {
    let continuous = |current: f64| FeederTerm { continuous: true, ..motor(current) };
    assert_eq!(need(&running(&[continuous(50.0), continuous(30.0), continuous(20.0)])), (112.5, Some(0)));
}

/// A load of these currents, as a term of a feeder with a circuit-breaker.
fn term(machine: &Machine, start: &Start, amperes: f64, starting: f64) -> FeederTerm {
    let current = Amperes(amperes);
    let currents = RatedCurrents { full_load: current, conductor: current, protection: current, ..RatedCurrents::default() };
    let wish = Known::new(ProtectionKind::InverseTime, Origin::Default);
    BOOK.feeder_term(&TermAsk {
        machine,
        start,
        currents: &currents,
        line: current,
        starting: Amperes(starting),
        time: Seconds(2.0),
        wish,
        feeder: ProtectionKind::InverseTime,
    })
}

/// 460.8(A): the conductors of a capacitor of 20 A carry 135 %, 27 A. 430.24 knows no such term: beside a motor of 28 A the current that
/// leads takes away from what lags, and the feeder needs 1.25 · 28 = 35 A; beside one of 4 A it needs the 27 A of the capacitor alone, and
/// never less than both as phasors. 430.62 goes without it too: 80 A of the motor's device and nothing more. A heater of 20 A lasts three
/// hours or more and counts at 125 % (215.2(A)(1)): 1.25 · 28 + 25 = 60 A.
#[test]
fn a_capacitor_does_not_add_to_motors_but_the_feeder_carries_it_alone() {
    let none = start(Method::None);
    let capacitor = term(&machine(LoadKind::Capacitor, 480.0, 60.0), &none, 20.0, 0.0);
    assert_eq!((capacitor.duty_value, capacitor.motor), (Some(Amperes(27.0)), false));
    let with_motor = |current: f64| running(&[capacitor, motor(current)]);
    assert!((need(&with_motor(28.0)).0 - 35.0).abs() < 1e-9);
    assert!((need(&with_motor(4.0)).0 - 27.0).abs() < 1e-9);
    let both = BOOK.feeder_need(&with_motor(28.0), Amperes(40.0), &mut Record::silent());
    assert!((both.capacity.0 - 40.0).abs() < 1e-9);
    let device = FeederTerm { branch: Some(Amperes(80.0)), as_feeder: Some(Amperes(80.0)), ..motor(28.0) };
    let bounds =
        BOOK.feeder_bounds(ProtectionKind::InverseTime, &running(&[capacitor, device]), Amperes(35.0), &mut Record::silent());
    assert_eq!(bounds.most, Some(Amperes(80.0)));
    let heater = term(&machine(LoadKind::Heater, 480.0, 60.0), &none, 20.0, 0.0);
    assert_eq!((heater.duty_value, heater.continuous), (None, true));
    assert!((need(&running(&[heater, motor(28.0)])).0 - 60.0).abs() < 1e-9);
}

/// 430.122(A): a feeder of a drive carries its rated input current, 30 A, whatever the motor draws; with a bypass not less than the
/// motor's own 34 A (430.122(B)). A motor for intermittent duty with a time rating of 15 min counts at 85 % of its nameplate
/// current (Table 430.22(E)), 28.9 A.
#[test]
fn what_counts_for_a_feeder_is_the_input_of_a_drive_and_the_duty_of_a_motor() {
    let motor = horsepower(25.0, 460.0);
    let drive = Start { drive_input: Some(Amperes(30.0)), ..start(Method::Drive) };
    assert_eq!(term(&motor, &drive, 34.0, 0.0).current, Amperes(30.0));
    assert_eq!(term(&motor, &Start { bypass: true, ..drive.clone() }, 34.0, 0.0).current, Amperes(34.0));
    let duty = Start { duty: 3, duty_text: "intermittent".to_owned(), rated_minutes: Some(15.0), ..start(Method::Direct) };
    let feeder_term = term(&motor, &duty, 34.0, 204.0);
    assert!(feeder_term.duty_value.is_some_and(|amperes| (amperes.0 - 28.9).abs() < 1e-9), "{:?}", feeder_term.duty_value);
    // Its drive runs it on whatever duty: the drive's input is what the feeder sees.
    assert_eq!(term(&motor, &Start { method: Method::Drive, ..duty }, 34.0, 0.0).duty_value, None);
}

/// 440.4(B), 430.62(A): equipment that is marked with 32 A and a device of 40 A enters with both.
#[test]
fn marked_equipment_enters_with_its_marking() {
    let machine = Machine {
        minimum_ampacity: Some(Amperes(32.0)),
        maximum_protection: Some(Amperes(40.0)),
        ..machine(LoadKind::Packaged, 460.0, 60.0)
    };
    let term = term(&machine, &start(Method::Feeder), 25.0, 0.0);
    assert_eq!((term.duty_value, term.marked, term.motor), (Some(Amperes(32.0)), true, true));
    assert_eq!((term.branch, term.as_feeder), (Some(Amperes(40.0)), Some(Amperes(40.0))));
}

/// 215.2(A)(1), informational note: 5 % to the farthest outlet; of these 3 % are the branch circuit's (210.19(A)), 2 % are left.
#[test]
fn a_feeder_has_two_per_cent_of_the_drop() {
    assert!((BOOK.feeder_drop_pct().0 - 2.0).abs() < 1e-9);
}
