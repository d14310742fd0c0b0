use super::*;
use Edition::{E2017, E2020, E2023};

fn normal(device: Device, amperes: f64) -> DeviceLimit {
    normal_maximum(&mut Record::new(), E2023, MotorType::Cage, device, Amperes(amperes)).unwrap_or_else(|| panic!("{amperes} A"))
}

fn increased(device: Device, amperes: f64) -> DeviceLimit {
    increased_maximum(&mut Record::new(), E2023, device, Amperes(amperes), &normal(device, amperes))
}

#[test]
fn time_delay_fuses_are_never_larger_than_others() {
    for row in PERCENT_ROWS.iter() {
        assert!(row.time_delay_fuse_pct <= row.non_time_delay_fuse_pct, "{}", row.motor);
    }
    for motor in MotorType::ALL {
        assert!(motor.row().is_some(), "{motor:?}");
    }
    assert_eq!(PERCENT_ROWS.len(), MotorType::ALL.len());
}

#[test]
fn an_exact_rating_is_not_stepped_up() {
    // 28 A x 2.5 = 70 A.
    let limit = normal(Device::InverseTimeBreaker, 28.0);
    assert_eq!((limit.rating, limit.clause.as_str()), (Amperes(70.0), "Table 430.52(C)(1)"));
    assert_eq!(normal(Device::InverseTimeBreaker, 28.1).rating, Amperes(80.0));
}

#[test]
fn smallest_motors() {
    // 1.1 A: fuses of 1, 3 and 6 A exist, breakers from 10 A (15 A before 2023); the ceiling of 4.4 A does not lower that.
    assert_eq!(normal(Device::TimeDelayFuse, 1.1).rating, Amperes(3.0));
    assert_eq!(normal(Device::NonTimeDelayFuse, 1.1).rating, Amperes(6.0));
    assert_eq!(increased(Device::InverseTimeBreaker, 1.1).rating, Amperes(10.0));
    let before = normal_maximum(&mut Record::new(), E2020, MotorType::Cage, Device::InverseTimeBreaker, Amperes(1.1))
        .map(|limit| limit.rating);
    assert_eq!(before, Some(Amperes(15.0)));
}

#[test]
fn clauses_follow_the_edition() {
    let of = |edition| {
        let record = &mut Record::new();
        let limit = normal_maximum(record, edition, MotorType::Cage, Device::InverseTimeBreaker, Amperes(14.5));
        let limit = limit.unwrap_or_else(|| panic!("a rating"));
        let more = increased_maximum(record, edition, Device::InverseTimeBreaker, Amperes(14.5), &limit);
        (limit.clause, more.clause)
    };
    assert_eq!(of(E2023), ("430.52(C)(1)(a)".to_owned(), "430.52(C)(1)(b)(3)".to_owned()));
    assert_eq!(of(E2017), ("430.52(C)(1) Exception 1".to_owned(), "430.52(C)(1) Exception 2(c)".to_owned()));
    assert_eq!(table_clause(E2020), "Table 430.52");
}

#[test]
fn the_increase_of_a_breaker_turns_at_a_hundred_amperes() {
    assert_eq!(increased(Device::InverseTimeBreaker, 100.0).percent, Some(400.0));
    let above = increased(Device::InverseTimeBreaker, 120.0);
    assert_eq!((above.percent, above.rating), (Some(300.0), Amperes(350.0)));
}

#[test]
fn large_fuses_take_their_own_ceiling() {
    // 4 x 156 = 624 A: 600 A is the largest of the first row; 3 x 156 = 468 A has no rating in the second.
    assert_eq!(increased(Device::NonTimeDelayFuse, 156.0).rating, Amperes(600.0));
    // 3 x 240 = 720 A lies in the second row.
    let large = increased(Device::NonTimeDelayFuse, 240.0);
    assert_eq!((large.rating, large.percent), (Amperes(800.0), Some(300.0)), "the next size up of 720 A stays");
    assert_eq!(increased(Device::NonTimeDelayFuse, 302.0).rating, Amperes(1000.0));
}

#[test]
fn ceilings_are_never_exceeded_and_more_current_never_gets_less() {
    for device in Device::ALL {
        let (mut last, mut last_increased) = (Amperes(0.0), Amperes(0.0));
        for step in 1..3000 {
            let amperes = f64::from(step) * 0.173;
            let (limit, more) = (normal(*device, amperes), increased(*device, amperes));
            assert!(last.fits(limit.rating), "{device:?} {amperes}");
            assert!(limit.computed.fits(limit.rating) && limit.rating.fits(more.rating), "{device:?} {amperes}");
            if more.rating != limit.rating {
                assert!(more.rating.fits(more.computed), "{device:?} {amperes}");
            }
            // Above 100 A a breaker's percentage falls, and so does a fuse's above 600 A; within a row nothing does.
            if !(100.0..=135.0).contains(&amperes)
                && *device != Device::NonTimeDelayFuse
                && *device != Device::ClassCcTimeDelayFuse
            {
                assert!(last_increased.fits(more.rating), "{device:?} {amperes}");
            }
            (last, last_increased) = (limit.rating, if (95.0..135.0).contains(&amperes) { Amperes(0.0) } else { more.rating });
        }
    }
}

#[test]
fn markings_are_never_exceeded() {
    let limit = normal(Device::InverseTimeBreaker, 14.0);
    let cap = |marked: Option<f64>| {
        capped_by_marking(E2023, DeviceKind::Breaker, limit.clone(), marked.map(Amperes), "430.52(C)(2)")
            .map(|limit| limit.rating.0)
    };
    assert_eq!(cap(Some(32.0)), Some(30.0));
    assert_eq!(cap(Some(40.0)), Some(35.0));
    assert_eq!(cap(None), Some(35.0));
    assert_eq!(cap(Some(5.0)), None);
}

#[test]
fn instantaneous_settings() {
    let of = |device, motor, amperes: f64, trip: Option<f64>| {
        instantaneous_limit(&mut Record::new(), device, motor, Amperes(amperes), trip.map(Amperes))
            .unwrap_or_else(|| panic!("a limit"))
    };
    let limit = of(InstantaneousDevice::TripBreaker, MotorType::Cage, 34.0, None);
    assert_eq!((limit.normal, limit.increased), (Amperes(272.0), Amperes(442.0)));
    let dc = of(InstantaneousDevice::TripBreaker, MotorType::DirectCurrent, 20.0, None);
    assert_eq!(dc.normal, Amperes(50.0));
    let protector = of(InstantaneousDevice::ShortCircuitProtector, MotorType::DesignBPremium, 10.0, None);
    assert_eq!((protector.normal, protector.increased), (Amperes(170.0), Amperes(170.0)));
    // 8.0 A and 15 A together, and only for the breaker.
    let marked = |device, amperes, trip| of(device, MotorType::Cage, amperes, trip).marked_value_admitted;
    assert!(marked(InstantaneousDevice::TripBreaker, 8.0, Some(15.0)));
    assert!(!marked(InstantaneousDevice::TripBreaker, 8.1, Some(15.0)));
    assert!(!marked(InstantaneousDevice::TripBreaker, 8.0, Some(16.0)));
    assert!(!marked(InstantaneousDevice::TripBreaker, 8.0, None));
    assert!(!marked(InstantaneousDevice::SelfProtectedController, 8.0, Some(15.0)));
}

#[test]
fn torque_motors_part_windings_and_multispeed() {
    assert_eq!(torque_motor_maximum(E2023, DeviceKind::Breaker, Amperes(41.0)).map(|limit| limit.rating), Some(Amperes(45.0)));
    let record = &mut Record::new();
    let half = part_winding_half(record, E2023, MotorType::Cage, Device::InverseTimeBreaker, Amperes(96.0));
    assert_eq!(half.map(|rating| rating.rating), Some(Amperes(110.0)), "120 A is no standard rating");
    let common = part_winding_common(record, E2023, MotorType::Cage, Device::TimeDelayFuse, Amperes(96.0));
    assert_eq!(common.map(|rating| rating.rating), Some(Amperes(125.0)), "144 A rounded down");
    assert_eq!(multispeed_base(&[Amperes(20.0), Amperes(9.0)], false), Some(Amperes(9.0)));
    assert_eq!(multispeed_base(&[Amperes(20.0), Amperes(9.0)], true), Some(Amperes(20.0)));
    assert_eq!(multispeed_base(&[], true), None);
}

#[test]
fn wound_rotor_and_direct_current_take_150_per_cent() {
    for motor in [MotorType::WoundRotor, MotorType::DirectCurrent] {
        for device in Device::ALL {
            assert_eq!(table_percent(motor, *device), Some(150.0));
        }
    }
    assert_eq!(normal_maximum(&mut Record::new(), E2023, MotorType::Cage, Device::TimeDelayFuse, Amperes(0.0)), None);
}

/// 430.52(C)(3): 800 % and at most 1300 %; of design B energy-efficient and premium motors 1100 % and at most 1700 %.
#[test]
fn an_instantaneous_trip_is_higher_for_premium_motors() {
    for (motor, normal, increased) in [(MotorType::Cage, 800.0, 1300.0), (MotorType::DesignBPremium, 1100.0, 1700.0)] {
        let limit = instantaneous_limit(&mut Record::new(), InstantaneousDevice::TripBreaker, motor, Amperes(100.0), None)
            .expect("both have a row");
        assert!((limit.normal.0 - normal).abs() < 1e-9 && (limit.increased.0 - increased).abs() < 1e-9, "{motor:?}: {limit:?}");
    }
}
