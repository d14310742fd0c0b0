//! Feeders by the NEC, worked out by hand.

use super::*;
use crate::network::phases::Spread;

/// 20 hp and 15 hp at 460 V: 27 A and 21 A (Table 430.250), breakers 70 A and 60 A (250 %: 67.5 A and 52.5 A, next size up); a heater
/// of 30 A. By 430.24: 27 × 1.25 + 21 + 30 × 1.25 = 92.25 A; by 430.62 and 430.63: 70 + 21 + 37.5 = 128.5 A, rounded down 125 A.
#[test]
fn nec_motors_and_a_heater_by_hand() {
    let basis = basis("nec", board());
    let motor = |hp: &str| {
        term(
            &[("tag", "M"), ("rated_power_hp", hp), ("voltage_v", "460"), ("phases", "3"), ("starting_method", "direct")],
            &basis,
            "nec",
        )
    };
    // 30 A × 460 V × √3 = 23.902 kW.
    let heater = [
        ("tag", "H"),
        ("load_kind", "heater"),
        ("rated_power_kw", "23.902"),
        ("voltage_v", "460"),
        ("phases", "3"),
        ("starting_method", "contactor"),
    ];
    let feeder = Case::of(&[motor("20"), motor("15"), term(&heater, &basis, "nec")]).feeder(&basis, "nec", Some(20.0));
    assert!((feeder.minimum.0 - 92.25).abs() < 0.01, "{:?}", feeder.minimum);
    assert_eq!(feeder.protection_maximum, Some(Amperes(125.0)));
    assert_eq!(feeder.protection, Amperes(125.0));
    // 110.14(C)(1)(a): the device is raised for a start, the circuit is one of 92.25 A, with terminations of 60 °C, where 2 AWG carries
    // 95 A (Table 310.16; 3 AWG 85 A, at 75 °C 100 A).
    assert_eq!(feeder.conductor, "2 AWG copper THWN-2");
    assert_eq!(feeder.run.as_ref().map(|run| run.protective_size.as_str()), Some("6 AWG"), "125 A: Table 250.122");
    assert_eq!(codes_of(&feeder), ["B316"], "its length is missing: {:?}", feeder.findings);
    // 215.3 and 430.62 speak of feeders; 430.52(B) and 210.20(A) of branch circuits.
    assert_eq!(check(&feeder, "protection-carries").reference, "215.3, 430.62, 430.63");
}

/// 352.12(D) and 110.14, from memory: a feeder in PVC in air of 60 °C, and one of aluminum, say so; 45 °C and copper do not.
#[test]
fn a_feeder_in_hot_pvc_and_one_of_aluminum_are_told() {
    let of = |ambient: f64, material: &str| {
        let mut basis = basis("nec", BoardBasis { feeder_length_m: Some(10.0), ..board() });
        basis.design.ambient_c = Some(ambient);
        basis.design.installation_method = Some("pvc".to_owned());
        basis.design.conductor = Some(material.to_owned());
        basis.design.insulation = Some("xhhw-2".to_owned());
        let motor =
            [("tag", "M"), ("rated_power_hp", "20"), ("voltage_v", "460"), ("phases", "3"), ("starting_method", "direct")];
        let feeder = Case::of(&[term(&motor, &basis, "nec")]).feeder(&basis, "nec", Some(20.0));
        let codes = codes_of(&feeder).into_iter();
        codes.filter(|code| ["B325", "B326"].contains(code)).map(str::to_owned).collect::<Vec<_>>()
    };
    assert_eq!(of(60.0, "copper"), ["B325"]);
    assert_eq!(of(45.0, "aluminium"), ["B326"]);
    assert_eq!(of(45.0, "copper"), [""; 0]);
}

#[test]
fn nec_drives_count_by_their_input_and_duty_motors_by_their_table() {
    let basis = basis("nec", board());
    let drive = [
        ("tag", "D"),
        ("rated_power_hp", "20"),
        ("voltage_v", "460"),
        ("phases", "3"),
        ("starting_method", "drive"),
        ("drive_input_current_a", "31"),
    ];
    let feeder_term = term(&drive, &basis, "nec");
    // 430.122 by the input of 31 A; 430.130 by the motor's 27 A: 67.5 A, next size up.
    assert_eq!((feeder_term.current, feeder_term.branch), (Amperes(31.0), Some(Amperes(70.0))));
    let hoist = [
        ("tag", "S"),
        ("rated_power_hp", "20"),
        ("voltage_v", "460"),
        ("phases", "3"),
        ("full_load_current_a", "25"),
        ("duty", "S2"),
        ("starting_method", "direct"),
    ];
    // Table 430.22(E): short-time duty of a motor with a 15-minute rating 120 % of the nameplate.
    let feeder_term = term(&hoist, &basis, "nec");
    assert!(feeder_term.duty_value.is_some_and(|value| value.0 >= 25.0 * 1.1), "{feeder_term:?}");
    let unit = [
        ("tag", "R"),
        ("load_kind", "packaged"),
        ("minimum_circuit_ampacity_a", "52"),
        ("maximum_protection_a", "80"),
        ("starting_method", "feeder"),
        ("voltage_v", "460"),
        ("phases", "3"),
    ];
    let feeder_term = term(&unit, &basis, "nec");
    assert_eq!(
        (feeder_term.duty_value, feeder_term.branch, feeder_term.marked),
        (Some(Amperes(52.0)), Some(Amperes(80.0)), true)
    );
    // Its ampacity holds its own allowance; the largest motor is another: 40 A × 1.25 + 52 A.
    let motor = FeederTerm { current: Amperes(40.0), motor: true, ..FeederTerm::default() };
    let item = |term: FeederTerm| FeederItem { term, running: 1, displaces: None };
    let book = rules::book("nec", None).expect("a book");
    let need = book.feeder_need(&[item(feeder_term), item(motor)], Amperes(0.0), &mut Record::silent());
    assert!((need.capacity.0 - 102.0).abs() < 1e-9);
}

/// 430.24 Exception 3: of a motor of 40 A and a heater of 60 A that exclude each other the larger sum counts: 60 A against 50 A; with a
/// motor of 28 A besides 28 × 1.25 + 60 = 95 A against 40 × 1.25 + 28 = 78 A.
#[test]
fn of_loads_that_exclude_each_other_the_larger_sum_counts() {
    let book = rules::book("nec", None).expect("a book");
    let of = |amperes: f64, motor: bool| FeederTerm { current: Amperes(amperes), motor, ..FeederTerm::default() };
    let need = |terms: &[FeederTerm]| {
        let mut case = Case::of(terms);
        case.counted[0].set = Some(0);
        case.counted[1].set = Some(0);
        case.sets = vec![1];
        let items = case.items(&basis("nec", board()), "nec");
        book.feeder_need(&items.items, Amperes(0.0), &mut Record::silent()).capacity.0
    };
    assert!((need(&[of(40.0, true), of(60.0, false)]) - 60.0).abs() < 1e-9);
    assert!((need(&[of(40.0, true), of(60.0, false), of(28.0, true)]) - 95.0).abs() < 1e-9);
    // The smaller current gives the larger sum, because a motor is counted at 125 %: 50 × 1.25 = 62.5 A against 60 A.
    assert!((need(&[of(50.0, true), of(60.0, false)]) - 62.5).abs() < 1e-9);
    // Two motors: the larger one.
    assert!((need(&[of(50.0, true), of(60.0, true), of(10.0, true)]) - (75.0 + 10.0)).abs() < 1e-9);
}

/// A motor that only stands by is not in the sum, but its branch device may be the largest (430.62): 90 A with 20 A that runs.
#[test]
fn a_standby_motor_competes_for_the_largest_device() {
    let of = |amperes: f64, device: f64| FeederTerm {
        current: Amperes(amperes),
        motor: true,
        branch: Some(Amperes(device)),
        as_feeder: Some(Amperes(device)),
        ..FeederTerm::default()
    };
    let mut case = Case::of(&[of(34.0, 60.0), of(30.0, 90.0), of(20.0, 50.0)]);
    (case.counted[0].set, case.counted[1].set, case.sets) = (Some(0), Some(0), vec![1]);
    let items = case.items(&basis("nec", board()), "nec");
    let book = rules::book("nec", None).expect("a book");
    let bounds = book.feeder_bounds(ProtectionKind::DualElement, &items.items, Amperes(0.0), &mut Record::silent());
    assert_eq!((bounds.lead, bounds.most), (Some(1), Some(Amperes(110.0))));
}

/// Single-phase motors of 20 A on each phase beside a three-phase one of 28 A: each phase carries 28 × 1.25 + 20 A.
#[test]
fn single_phase_loads_count_on_their_phase() {
    let of = |amperes: f64| FeederTerm { current: Amperes(amperes), motor: true, ..FeederTerm::default() };
    let mut case = Case::of(&[of(28.0), of(20.0), of(20.0), of(20.0)]);
    for phase in 0..3 {
        let mut circuits = [0; 3];
        circuits[phase] = 1;
        case.counted[phase + 1].spread = Some(Spread { circuits, ..Spread::default() });
    }
    let feeder = case.feeder(&basis("nec", BoardBasis { feeder_length_ft: Some(50.0), ..board() }), "nec", Some(10.0));
    assert!((feeder.minimum.0 - 55.0).abs() < 1e-9, "{:?}", feeder.minimum);
}

/// Twelve motors of 8 A to the neutral, four on each phase: 8 × 1.25 + 3 × 8 = 34 A, not twelve on one. Three between two phases each: two
/// meet on a phase, 8 × 1.25 + 8 = 18 A. Of nine, three on each phase, of which four run at most, three may meet: 26 A (430.24).
#[test]
fn circuits_of_one_row_count_on_the_phases_where_they_stand() {
    let term = FeederTerm { current: Amperes(8.0), motor: true, ..FeederTerm::default() };
    for (number, circuits, between, running, expected) in
        [(12, [4; 3], false, 12, 34.0), (3, [1; 3], true, 3, 18.0), (9, [3; 3], false, 4, 26.0)]
    {
        let mut case = Case::of(&[term]);
        let spread = Some(Spread { circuits, between, stated: false });
        case.rows[0].number = number;
        case.counted[0] = Counted { circuits: running, set: None, spread };
        let feeder = case.feeder(&basis("nec", BoardBasis { feeder_length_ft: Some(50.0), ..board() }), "nec", Some(10.0));
        assert!((feeder.minimum.0 - expected).abs() < 1e-9, "{number}: {:?}", feeder.minimum);
    }
}
