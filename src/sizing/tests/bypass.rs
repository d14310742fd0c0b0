//! Drives with a bypass: what the direct start over the bypass asks of device, contactors and cable.
//!
//! The motor of all of them draws 20.6 A and 7.4 times that for 3 s when it starts on the line: 152.4 A.

use super::*;

const START: f64 = 20.6 * 7.4;

const DRIVE: &[(&str, &str)] = &[
    ("tag", "D-1"),
    ("rated_power_kw", "11"),
    ("full_load_current_a", "20.6"),
    ("power_factor", "0.85"),
    ("efficiency_pct", "91.4"),
    ("efficiency_class", "IE3"),
    ("locked_rotor_ratio", "7.4"),
    ("start_time_s", "3"),
    ("starting_method", "drive"),
    ("bypass", "yes"),
    ("cable_length_m", "95"),
];

fn checked(circuit: &Circuit, name: &str, subject: &str) -> Option<(f64, f64)> {
    let check = circuit.checks.iter().find(|check| check.name == name && check.subject == subject)?;
    check.value.zip(check.limit).filter(|_| check.passed == Some(true))
}

/// IEC 60269-1, gates: gG 25 A must carry 52 A for 10 s and 150 A for 0.1 s only, between them 69 A for 3 s; the direct start draws 152 A.
/// A release must not act below it either, and trip class 10 lets it pass.
#[test]
fn the_device_before_a_drive_with_bypass_rides_through_the_direct_start() {
    for kind in ["gG", "moulded-case", "motor-breaker"] {
        let circuit = size(&with(DRIVE, &[("protection_kind", kind)]));
        let protection = circuit.protection.as_ref().unwrap_or_else(|| panic!("{kind}: none"));
        match protection.magnetic_min_a {
            Some(least) => assert!(least >= START, "{kind}: {} trips at {least} A", protection.part),
            None => assert!(protection.rating_a >= 50.0, "{kind}: {}", protection.part),
        }
        let without = size(&with(DRIVE, &[("protection_kind", kind), ("bypass", "no")]));
        assert!(without.protection.is_some(), "{kind}");
    }
}

/// IEC 60364-4-41, 411.3.2.2 and 411.4.4, and IEC 60364-4-43, 434.5.2: over the bypass the mains feed the motor's cable, so its fault is
/// cleared by the device at the board or not at all. A drive alone clears what lies behind it.
#[test]
fn the_cable_behind_a_bypass_is_a_cable_on_the_mains() {
    let circuit = size(DRIVE);
    for (name, subject) in [
        ("disconnection", "motor run"),
        ("fault-withstand", "motor run"),
        ("fault-withstand", "motor run, far end"),
        ("fault-withstand", "motor run, protective conductor"),
        ("overload-protection", "motor run"),
        ("starting-voltage-drop", "motor run"),
    ] {
        assert!(checked(&circuit, name, subject).is_some(), "{name} {subject}: {:?}", circuit.checks);
    }
    let said = |circuit: &Circuit| {
        circuit.findings.iter().find(|finding| finding.code == "C611").map(|finding| finding.what.clone()).unwrap_or_default()
    };
    assert!(said(&circuit).contains("checked for the bypass"), "{}", said(&circuit));
    let alone = size(&with(DRIVE, &[("bypass", "no")]));
    assert!(
        checked(&alone, "disconnection", "motor run").is_none()
            && checked(&alone, "starting-voltage-drop", "motor run").is_none()
    );
    assert!(said(&alone).contains("not checked"));
    // The loop of 2.5 mm² at 95 m gives 0.9 · 231 V / (2 · 7.41 mΩ/m · 1.275 · 95 m) = 116 A: no device for 152 A opens on it in time.
    assert!(circuit.runs[0].phase_area_mm2 > 2.5);
}

/// IEC 60947-4-1, Table 1: the bypass contactor makes and breaks the motor on the line; a motor of class IE3 asks for AC-3e there.
#[test]
fn the_bypass_contactor_switches_a_motor_on_the_line() {
    let circuit = size(DRIVE);
    let bypass = circuit.contactors.iter().find(|contactor| contactor.role == "bypass").expect("a bypass");
    assert_eq!(bypass.category, "AC-3e");
    let (value, _) = checked(&circuit, "contactor-short-time", "bypass").expect("it holds");
    assert!((value - START).abs() < 1e-6, "{value}");
    // Two contactors in series stand before drive and bypass alike.
    let safe = size(&with(DRIVE, &[("safety_level", "PL d")]));
    let (value, _) = checked(&safe, "contactor-short-time", "safety").expect("it holds");
    assert!((value - START).abs() < 1e-6, "{value}");
}

/// Inertia and torques give the time of the start over the bypass as they do without a drive.
#[test]
fn the_start_over_the_bypass_takes_the_time_of_a_direct_start() {
    let inertia = [
        ("speed_rpm", "1465"),
        ("inertia_kgm2", "3"),
        ("locked_rotor_torque_ratio", "2.2"),
        ("breakdown_torque_ratio", "2.8"),
        ("load_torque", "quadratic"),
    ];
    let given: Vec<(&str, &str)> = DRIVE.iter().copied().filter(|(name, _)| *name != "start_time_s").collect();
    let says = |method: &str| {
        let circuit = size(&with(&given, &[inertia.as_slice(), &[("starting_method", method)]].concat()));
        let time = |finding: &crate::finding::Finding| {
            finding.what.split("start time ").nth(1).map(|time| time.split(' ').next().unwrap_or("").to_owned())
        };
        circuit.findings.iter().find_map(time).unwrap_or_default()
    };
    assert!(!says("drive").is_empty() && says("drive") == says("direct"), "{} against {}", says("drive"), says("direct"));
}

/// 430.52 and 430.124: the branch-circuit device of drive and bypass suits both: a fuse holds the start, and the run has fault currents.
#[test]
fn both_books_see_the_start_over_the_bypass() {
    let mut nec = basis();
    nec.rules.book = Some("nec".to_owned());
    nec.supply.voltage_v = Some(480.0);
    nec.supply.frequency_hz = Some(60.0);
    nec.supply.system = Some("480Y/277 4W solidly grounded".to_owned());
    let of = |bypass: &str| {
        let cells = [
            ("tag", "D-1"),
            ("rated_power_hp", "20"),
            ("voltage_v", "460"),
            ("phases", "3"),
            ("starting_method", "drive"),
            ("bypass", bypass),
            ("protection_kind", "dual-element"),
            ("cable_length_ft", "150"),
        ];
        size_with(&row(&cells), &nec).0
    };
    let (with_bypass, alone) = (of("yes"), of("no"));
    let fuse = |circuit: &Circuit| circuit.checks.iter().any(|check| check.name == "fuse-at-start");
    assert!(fuse(&with_bypass) && !fuse(&alone));
    assert!(with_bypass.fault.terminal_min_ka.is_some() && alone.fault.terminal_min_ka.is_none());
}

/// Over the bypass the motor draws 7.4 times 20.6 A from the line; its first peak is 2.3 times that (middle of the range of IEC 60034-12),
/// in the design over √2. A drive alone holds it at its rated current.
#[test]
fn the_start_over_the_bypass_is_that_of_the_circuit() {
    let around = size(DRIVE);
    assert!((around.currents.starting_a - START).abs() < 0.01, "{:?}", around.currents);
    let start = around.start.expect("it starts on the line");
    assert!((start.current_a - START).abs() < 0.01 && start.first_peak_a.is_some(), "{start:?}");
    let direct = size(&with(DRIVE, &[("starting_method", "direct"), ("bypass", "no")])).start.expect("it starts");
    for peak in [start.first_peak_a, direct.first_peak_a] {
        assert!(peak.is_some_and(|peak| (peak - START * 2.3 / 2f64.sqrt()).abs() < 0.01), "{peak:?}");
    }
    let alone = size(&with(DRIVE, &[("bypass", "no")]));
    assert!(alone.start.is_none() && (alone.currents.starting_a - 20.6).abs() < 1e-9);
}

/// What the device before a drive carries is the drive's input; of 40 A where the row states it.
#[test]
fn the_line_carries_the_input_of_the_drive() {
    let line = |cells: &[(&str, &str)]| size(&with(DRIVE, cells)).currents.line_a.expect("it is known");
    assert!((line(&[("drive_input_current_a", "40")]) - 40.0).abs() < 1e-9);
    assert!((line(&[("drive_input_current_a", "18")]) - 20.6).abs() < 1e-9, "the motor's own over the bypass");
    assert!((line(&[("drive_input_current_a", "18"), ("bypass", "no")]) - 18.0).abs() < 1e-9);
}
