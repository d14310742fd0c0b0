//! Dials and devices of invented circuits.

use super::*;

fn two_speeds() -> Circuit {
    let relay = |role: &str, setting_a: f64| Overload {
        role: role.to_owned(),
        position: role.to_owned(),
        kind: "electronic".to_owned(),
        winding_factor: 1.0,
        setting_a,
        range_a: [9.0, 45.0],
        ..Overload::default()
    };
    let ceiling =
        |limit: f64| Check { name: "overload-ceiling".to_owned(), value: Some(limit), limit: Some(limit), ..Check::default() };
    let part = |kind: &str, serves: &str, setting: &str| Accessory {
        kind: kind.to_owned(),
        serves: serves.to_owned(),
        setting: setting.to_owned(),
        quantity: 1,
        ..Accessory::default()
    };
    let mut circuit = Circuit {
        overloads: vec![relay("low", 10.4), relay("high", 31.0)],
        checks: vec![ceiling(13.0), ceiling(38.75)],
        accessories: vec![part("shroud", "low", ""), part("timer", "line", "8 s, pause 50 ms"), part("shroud", "high", "")],
        ..Circuit::default()
    };
    circuit.currents.nameplate_a = Some(31.0);
    circuit
}

#[test]
fn each_relay_bears_its_own_ceiling() {
    // 125 per cent of 10.4 A and of 31 A: NFPA 70, 430.32(A)(1).
    let circuit = two_speeds();
    let rows = setting_rows(&circuit, Units::Customary);
    assert_eq!(rows.iter().map(|row| row.ceiling_a).collect::<Vec<_>>(), [Some(13.0), Some(38.75), None]);
    assert_eq!(rows[1].what, "current setting, high speed: nameplate current");
}

#[test]
fn a_dial_says_what_it_is_and_where() {
    // "Current setting" is the term of IEC 60050-441, 441-16-46.
    let relay = |kind: &str, role: &str, position: &str, winding_factor: f64| Overload {
        kind: kind.to_owned(),
        role: role.to_owned(),
        position: position.to_owned(),
        winding_factor,
        setting_a: 10.0,
        ..Overload::default()
    };
    let whats = |overloads: Vec<Overload>| -> Vec<String> {
        let circuit = Circuit { overloads, ..Circuit::default() };
        setting_rows(&circuit, Units::Metric).into_iter().map(|row| row.what.into_owned()).collect()
    };
    let in_delta = relay("bimetal", "line", "delta-leg", 0.577_350);
    let breaker = relay("motor-breaker", "protection", "line", 1.0);
    assert_eq!(
        whats(vec![in_delta, breaker]),
        ["current setting, in the delta: 0.577 × rated current", "current setting: rated current"]
    );
    // Windings of one motor: two relays of one kind in its lines.
    let halves = vec![relay("bimetal", "first", "line", 0.5), relay("bimetal", "second", "line", 0.5)];
    assert_eq!(whats(halves), ["current setting, first: 0.5 × rated current", "current setting, second: 0.5 × rated current"]);
    // One relay serves both directions.
    assert_eq!(whats(vec![relay("bimetal", "forward", "line", 1.0)]), ["current setting: rated current"]);
}

/// 6.3 A on a dial with marks at 6.2 and 6.4 A: the mark below is said, that at the current itself is not.
#[rstest::rstest]
#[case(6.2, "current setting: rated current, next mark below 6.3 A")]
#[case(6.3, "current setting: rated current")]
fn a_dial_below_the_current_says_so(#[case] setting_a: f64, #[case] expected: &str) {
    let relay = Overload {
        kind: "bimetal".to_owned(),
        role: "main".to_owned(),
        position: "line".to_owned(),
        winding_factor: 1.0,
        setting_a,
        ..Overload::default()
    };
    let mut circuit = Circuit { overloads: vec![relay], ..Circuit::default() };
    circuit.currents.overload_basis_a = 6.3;
    assert_eq!(setting_rows(&circuit, Units::Metric)[0].what, expected);
}

/// A drive of 27.7 A takes 31.5 A from the line, after which the breaker before it is set; its motor is protected by the drive.
#[test]
fn a_breaker_before_a_drive_is_set_to_what_the_drive_takes() {
    let overload = |kind: &str, role: &str, setting_a: f64| Overload {
        kind: kind.to_owned(),
        role: role.to_owned(),
        position: "line".to_owned(),
        count: 1,
        winding_factor: 1.0,
        setting_a,
        ..Overload::default()
    };
    let overloads = vec![overload("in-drive", "drive", 27.7), overload("motor-breaker", "protection", 31.5)];
    let mut circuit = Circuit { overloads, ..Circuit::default() };
    (circuit.currents.overload_basis_a, circuit.currents.line_a) = (27.7, Some(31.5));
    let whats: Vec<_> = setting_rows(&circuit, Units::Metric).into_iter().map(|row| row.what).collect();
    assert!(whats[0].ends_with(": rated current"), "{whats:?}");
    assert!(whats.iter().any(|what| *what == "current setting: rated input current of the drive"), "{whats:?}");
}

/// NFPA 70, 430.32(A)(1): 115 % of 38 A are 43.7 A. A relay that trips at 1.2 times its dial reaches that at 36.4 A; at 125 % of 38 A, 47.5
/// A, its dial might stand at 39.5 A, and a setting of 36 A is a matter of its marks alone. 37.5 A, the mark below 38 A, would trip at 45
/// A.
#[rstest::rstest]
#[case(43.7, "current setting: rated current, no higher, so that it trips at most at 43.7 A")]
#[case(47.5, "current setting: rated current, next mark below 38 A")]
fn a_dial_below_its_ceiling_is_not_to_be_raised(#[case] ceiling_a: f64, #[case] expected: &str) {
    let relay = Overload {
        kind: "electronic".to_owned(),
        role: "main".to_owned(),
        position: "line".to_owned(),
        count: 1,
        winding_factor: 1.0,
        setting_a: 36.0,
        ..Overload::default()
    };
    let check = Check {
        name: "overload-ceiling".to_owned(),
        value: Some(36.0 * 1.2),
        limit: Some(ceiling_a),
        passed: Some(true),
        ..Check::default()
    };
    let mut circuit = Circuit { overloads: vec![relay], checks: vec![check], ..Circuit::default() };
    circuit.currents.overload_basis_a = 38.0;
    assert_eq!(setting_rows(&circuit, Units::Metric)[0].what, expected);
}

#[test]
fn timers_of_one_circuit_are_told_apart() {
    let timer = |serves: &str| Accessory {
        kind: "timer".to_owned(),
        serves: serves.to_owned(),
        setting: "4 s".to_owned(),
        why: "ends the starting step".to_owned(),
        quantity: 1,
        ..Accessory::default()
    };
    let circuit = Circuit { accessories: ["line", "rotor-1", "rotor-2"].map(timer).to_vec(), ..Circuit::default() };
    let rows = setting_rows(&circuit, Units::Metric);
    let whats: Vec<&str> = rows.iter().map(|row| row.what.as_ref()).collect();
    assert_eq!(
        whats,
        [
            "time from contactor line: ends the starting step",
            "time from contactor rotor 1: ends the starting step",
            "time from contactor rotor 2: ends the starting step"
        ]
    );
}

#[test]
fn what_the_checks_of_a_start_rest_on_is_a_dial() {
    let device = |kind: &str, current_limit, tap_pct, setting_assumed| StarterDevice {
        kind: kind.to_owned(),
        current_limit,
        tap_pct,
        setting_assumed,
        ..StarterDevice::default()
    };
    let circuit = Circuit {
        starter_devices: vec![
            device("soft-starter", Some(4.0), None, true),
            device("autotransformer", None, Some(65.0), true),
            device("reactor", None, Some(70.0), false),
            device("drive", None, None, false),
        ],
        ..Circuit::default()
    };
    let rows = setting_rows(&circuit, Units::Metric);
    let told: Vec<_> = rows.iter().map(|row| (row.what.as_ref(), row.value, row.unit, row.range.as_ref())).collect();
    assert_eq!(
        told,
        [
            ("current limit, × rated current", Some(4.0), "×", "assumed: to be confirmed"),
            ("tap of the voltage", Some(65.0), "%", "assumed: to be confirmed"),
            ("voltage at standstill", Some(70.0), "%", ""),
        ]
    );
}

#[test]
fn a_changeover_timer_is_a_dial_with_its_pause_beside_it() {
    let circuit = two_speeds();
    for units in [Units::Metric, Units::Customary] {
        let rows = setting_rows(&circuit, units);
        let timer = rows.last().expect("a dial");
        assert_eq!((timer.value, timer.unit, timer.range.as_ref()), (Some(8.0), "s", "pause 50 ms"));
    }
}

#[test]
fn a_life_is_told_to_two_digits() {
    for (operations, words) in
        [(7_780_286.0, "7.8 million"), (1e7, "10 million"), (423_456.0, "420\u{a0}000"), (996_000.0, "1 million"), (850.0, "850")]
    {
        assert_eq!(operations_words(operations), words);
    }
    for (years, words) in [(2.34, "2.3 years"), (22.2, "22 years"), (570.8, "over 100 years")] {
        assert_eq!(years_words(years), words);
    }
}

#[test]
fn equal_accessories_stand_once() {
    let listed: Vec<(String, u32)> =
        accessories(&two_speeds()).into_iter().map(|accessory| (accessory.kind, accessory.quantity)).collect();
    assert_eq!(listed, [("shroud".to_owned(), 2), ("timer".to_owned(), 1)]);
}

/// The magnetic release of a miniature circuit-breaker is that of its curve (IEC 60898-1, 5.3.5): nobody turns it.
#[test]
fn a_release_that_nobody_can_turn_is_called_fixed() {
    let range = |kind: &str| {
        let protection =
            Protection { kind: kind.to_owned(), rating_a: 16.0, magnetic_trip_a: Some(80.0), ..Protection::default() };
        let circuit = Circuit { protection: Some(protection), ..Circuit::default() };
        let rows = setting_rows(&circuit, Units::Metric);
        assert_eq!((rows.len(), rows[0].value), (1, Some(80.0)), "{kind}");
        rows[0].range.to_string()
    };
    for kind in ["circuit-breaker", "motor-breaker"] {
        assert_eq!(range(kind), "fixed: read and confirm");
    }
    assert_eq!(range("moulded-case"), "");
}
