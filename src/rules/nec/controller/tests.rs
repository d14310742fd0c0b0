use super::*;
use crate::rules::nec::currents::full_load_current;

/// Smallest NEMA size for a motor: its horsepower, and its full-load current where the whole of it goes through each contactor
/// (full voltage and jogging). None if no size is large enough
/// or the voltage has no column.
fn smallest_size(service: Service, phases: u32, horsepower: f64, voltage: Volts, full_load: Amperes) -> Option<ControllerSize> {
    let whole = matches!(service, Service::FullVoltage | Service::Jogging);
    let horsepower = horsepower_at_rating(&mut Record::silent(), phases, horsepower, voltage);
    sizes(service, phases, voltage)
        .into_iter()
        .find(|size| fits(horsepower, size.horsepower) && (!whole || full_load.fits(size.continuous)))
}

fn size(service: Service, horsepower: f64, volts: f64) -> Option<&'static str> {
    let full = full_load_current(&mut Record::new(), CurrentTable::ThreePhase, horsepower, Volts(volts))?;
    smallest_size(service, 3, horsepower, Volts(volts), full.current).map(|size| size.size)
}

/// Notes on NEMA starters, section 8.
#[test]
fn sizes_by_voltage() {
    assert_eq!(size(Service::FullVoltage, 10.0, 208.0), Some("2"));
    assert_eq!(size(Service::FullVoltage, 10.0, 230.0), Some("2"));
    assert_eq!(size(Service::FullVoltage, 10.0, 460.0), Some("1"));
    assert_eq!(size(Service::FullVoltage, 7.5, 208.0), Some("1"));
    assert_eq!(size(Service::Jogging, 10.0, 460.0), Some("2"));
    assert_eq!(size(Service::WyeDelta, 150.0, 460.0), Some("4"));
    assert_eq!(size(Service::PartWinding, 75.0, 480.0), Some("3"));
    assert!(sizes(Service::FullVoltage, 3, Volts(415.0)).is_empty());
    assert!(sizes(Service::FullVoltage, 1, Volts(480.0)).is_empty());
    assert!(sizes(Service::WyeDelta, 1, Volts(230.0)).is_empty());
    assert_eq!(smallest_size(Service::FullVoltage, 1, 5.0, Volts(230.0), Amperes(28.0)).map(|size| size.size), Some("1P"));
}

/// NEMA ICS 2: size 00 is for 9 A and 2 hp at 460 V, size 0 for 18 A; at 380 V size 1 is for 10 hp, jogging for 5 hp, size 2 for 15 hp.
#[test]
fn a_size_carries_its_motor_by_horsepower_and_by_current() {
    let of = |service, horsepower, volts, amperes| {
        smallest_size(service, 3, horsepower, Volts(volts), Amperes(amperes)).map(|size| size.size)
    };
    assert_eq!(of(Service::FullVoltage, 2.0, 460.0, 9.0), Some("00"));
    assert_eq!(of(Service::FullVoltage, 2.0, 460.0, 9.5), Some("0"));
    assert_eq!(of(Service::FullVoltage, 7.5, 380.0, 13.0), Some("1"));
    assert_eq!(of(Service::Jogging, 7.5, 380.0, 13.0), Some("2"));
}

#[test]
fn sizes_ascend_and_carry_their_motors() {
    for service in [Service::FullVoltage, Service::Jogging, Service::WyeDelta, Service::PartWinding] {
        for volts in [200.0, 208.0, 230.0, 460.0, 575.0] {
            let sizes = sizes(service, 3, Volts(volts));
            assert!(sizes.len() >= 5, "{service:?} {volts} V");
            assert!(sizes.is_sorted_by(|a, b| a.continuous.0 < b.continuous.0 && a.horsepower <= b.horsepower));
            assert!(sizes.iter().all(|size| size.service_limit.is_some_and(|limit| limit.0 > size.continuous.0)));
        }
    }
    for row in SIZE_ROWS.iter() {
        let (full, jogging) = (row.horsepower(Service::FullVoltage, 460.0), row.horsepower(Service::Jogging, 460.0));
        assert!(jogging.is_none_or(|jogging| full.is_some_and(|full| jogging <= full)), "size {}", row.size);
        let table = full.and_then(|hp| full_load_current(&mut Record::new(), CurrentTable::ThreePhase, hp, Volts(460.0)));
        assert!(table.is_none_or(|table| table.current.0 <= row.continuous_a), "size {}", row.size);
    }
}

/// Place of a size in the order from small to large.
fn size_order(size: &str, phases: u32) -> Option<usize> {
    match phases {
        1 => SINGLE_PHASE_SIZE_ROWS.iter().position(|row| row.size == size),
        _ => SIZE_ROWS.iter().position(|row| row.size == size),
    }
}

#[test]
fn more_horsepower_never_gets_a_smaller_size() {
    for service in [Service::FullVoltage, Service::Jogging, Service::WyeDelta, Service::PartWinding] {
        for volts in [208.0, 230.0, 460.0, 575.0] {
            let mut last = 0;
            for step in 1..400 {
                let place = size(service, f64::from(step) * 0.5, volts).and_then(|size| size_order(size, 3));
                if let Some(place) = place {
                    assert!(place >= last, "{service:?} {volts} V step {step}");
                    last = place;
                }
            }
            assert!(last > 0);
        }
    }
}

#[test]
fn ratings_of_a_given_size() {
    let size = size_ratings("2", Service::FullVoltage, 3, Volts(480.0));
    assert_eq!(size.map(|ratings| (ratings.horsepower, ratings.continuous)), Some((25.0, Amperes(45.0))));
    assert_eq!(size_ratings("00", Service::Jogging, 3, Volts(480.0)), None);
    assert_eq!(size_ratings("12", Service::FullVoltage, 3, Volts(480.0)), None);
    assert!(size_order("1", 3) < size_order("2", 3) && size_order("1", 1) < size_order("1P", 1));
}

#[test]
fn small_motors_may_have_general_use_switches() {
    let record = &mut Record::new();
    assert_eq!(general_use_switch(record, 2.0, Volts(230.0), Amperes(12.0)), Some(Amperes(24.0)));
    assert_eq!(snap_switch(record, 2.0, Volts(230.0), Amperes(12.0)), Some(Amperes(15.0)));
    assert_eq!(general_use_switch(record, 2.1, Volts(230.0), Amperes(12.0)), None);
    assert_eq!(general_use_switch(record, 2.0, Volts(460.0), Amperes(12.0)), None);
    assert!(!disconnect_kinds(1.0, Volts(230.0), true, false).iter().any(|row| row.kind == "general-use-snap-switch"));
}

#[test]
fn isolating_switches_are_for_large_motors() {
    let isolating = |horsepower, direct_current| {
        disconnect_kinds(horsepower, Volts(460.0), direct_current, false).iter().any(|row| row.kind == "isolating-switch")
    };
    assert!(!isolating(100.0, false) && isolating(125.0, false));
    assert!(!isolating(40.0, true) && isolating(50.0, true));
    assert!(!isolating(f64::NAN, false));
    assert!(disconnect_kinds(5.0, Volts(460.0), false, true).iter().any(|row| row.clause == "430.109(G)"));
    assert!(disconnect_kinds(5.0, Volts(460.0), false, false).iter().all(|row| row.clause.starts_with("430.109(A)")));
}

/// Sums by hand from the columns for 460 V: 10 hp 14 A and 81 A, 5 hp 7.6 A and 46 A, a heater of 20 A.
#[test]
fn combinations_turn_into_equivalents() {
    let load =
        |horsepower: Option<f64>, full_load| CombinationLoad { horsepower, full_load: Amperes(full_load), locked_rotor: None };
    let loads = [load(Some(10.0), 14.0), load(Some(5.0), 7.6), load(None, 20.0)];
    let equivalent = combination(&mut Record::new(), &loads, 3, Volts(480.0)).unwrap_or_else(|| panic!("an equivalent"));
    assert!((equivalent.full_load.0 - 41.6).abs() < 1e-9 && (equivalent.locked_rotor.0 - 147.0).abs() < 1e-9);
    assert_eq!(
        (equivalent.horsepower_of_locked_rotor, equivalent.horsepower_of_full_load, equivalent.horsepower),
        (25.0, 40.0, 40.0)
    );
    assert!((equivalent.ampere_rating.0 - 47.84).abs() < 1e-9);
    // A marked locked-rotor current counts, and a motor below the table at six times its current.
    let marked = CombinationLoad { locked_rotor: Some(Amperes(300.0)), ..load(Some(10.0), 14.0) };
    let equivalent = combination(&mut Record::new(), &[marked, load(Some(0.25), 0.8)], 3, Volts(480.0));
    assert!(
        equivalent.is_some_and(|equivalent| (equivalent.locked_rotor.0 - 304.8).abs() < 1e-9 && equivalent.horsepower == 50.0)
    );
    assert_eq!(combination(&mut Record::new(), &loads, 3, Volts(400.0)), None);
}

#[test]
fn a_horsepower_rated_switch_may_be_below_115_per_cent() {
    assert!(disconnect_exception(true, false, 10.0, 10.0));
    assert!(!disconnect_exception(true, true, 10.0, 10.0));
    assert!(!disconnect_exception(false, false, 10.0, 10.0));
    assert!(!disconnect_exception(true, false, 7.5, 10.0));
    let record = &mut Record::new();
    assert!((torque_disconnect_minimum(record, Amperes(40.0)).0 - 46.0).abs() < 1e-9);
    assert!((drive_disconnect_minimum(record, Amperes(54.0)).0 - 62.1).abs() < 1e-9);
    assert!((hermetic_disconnect_minimum(record, Amperes(40.0)).0 - 46.0).abs() < 1e-9);
}

/// NFPA 70, Table 430.248: 3 hp draw 17 A at 230 V, 18.7 A at 208 V and 19.6 A at 200 V. NEMA ICS 2 rates size 1 for 3 hp of one phase at
/// 230 V, which is 17 A.
#[test]
fn a_single_phase_motor_of_208_volts_is_no_motor_of_230() {
    let at = |volts: f64| horsepower_at_rating(&mut Record::silent(), 1, 3.0, Volts(volts));
    for (volts, amperes) in [(230.0, 17.0), (208.0, 18.7), (200.0, 19.6)] {
        assert!((at(volts) / 3.0 - amperes / 17.0).abs() < 0.01, "{volts} V: {}", at(volts));
    }
    let size_1 = size_ratings("1", Service::FullVoltage, 1, Volts(208.0)).map(|size| size.horsepower);
    assert_eq!(size_1, Some(3.0));
    assert!(!fits(at(208.0), 3.0) && fits(at(230.0), 3.0));
    // 115 V has a column of its own, and three phases have one of 200 V.
    assert!((horsepower_at_rating(&mut Record::silent(), 1, 1.0, Volts(115.0)) - 1.0).abs() < 1e-12);
    assert!((horsepower_at_rating(&mut Record::silent(), 3, 3.0, Volts(208.0)) - 3.0).abs() < 1e-12);
}
