//! Conductors of whole circuits: runs in a row, leads, loops, protective conductors, terminals.

use super::*;

/// Value of a check of a run.
fn value_of(circuit: &Circuit, name: &str, subject: &str) -> f64 {
    let check = circuit.checks.iter().find(|check| check.name == name && check.subject.starts_with(subject));
    check.unwrap_or_else(|| panic!("no {name} of {subject}")).value.expect("a value")
}

#[test]
fn a_supply_run_and_a_motor_run_drop_and_limit_faults_as_one_run_of_their_length() {
    let mut basis = basis();
    basis.design.minimum_size_mm2 = Some(16.0);
    let sized = |changes: &[(&str, &str)]| size_with(&row(&with(DIRECT, changes)), &basis).0;
    let one = sized(&[("cable_length_m", "70")]);
    let two = sized(&[("cable_length_m", "40"), ("supply_length_m", "30")]);
    let of_power: Vec<_> = two.runs.iter().filter(|run| run.role != "control").collect();
    assert!(of_power.iter().all(|run| (run.phase_area_mm2 - 16.0).abs() < 1e-9) && of_power.len() == 2);
    for name in ["running-voltage-drop", "starting-voltage-drop", "disconnection"] {
        let (whole, parts) = (value_of(&one, name, "motor run"), value_of(&two, name, "motor run"));
        assert!((whole - parts).abs() <= 1e-3 * whole, "{name}: {parts} against {whole}");
        let supply = value_of(&two, name, "supply run");
        assert!((supply - value_of(&sized(&[("cable_length_m", "30")]), name, "motor run")).abs() <= 1e-3 * supply, "{name}");
    }
    let ends = |circuit: &Circuit| (circuit.fault.board_max_ka, circuit.fault.terminal_single_phase_min_ka.expect("a current"));
    assert_eq!(ends(&one).0, Some(20.0));
    assert_eq!(ends(&two).0, Some(20.0));
    assert!((ends(&one).1 - ends(&two).1).abs() < 1e-3);
}

#[test]
fn leads_behind_a_supply_run_start_through_both() {
    // In star the lead carries the line current and each winding has two leads on the phase voltage; a supply run of the same size
    // adds half as much again as leads of the same length would.
    let mut basis = basis();
    basis.design.minimum_size_mm2 = Some(16.0);
    let star = [("starting_method", "star-delta"), ("motor_voltages", "400/690")];
    let sized = |changes: &[(&str, &str)]| size_with(&row(&with(&with(DIRECT, &star), changes)), &basis).0;
    let leads = sized(&[("cable_length_m", "60")]);
    let both = sized(&[("cable_length_m", "40"), ("supply_length_m", "40")]);
    let (whole, parts) = (
        value_of(&leads, "starting-voltage-drop", "star-delta-leads"),
        value_of(&both, "starting-voltage-drop", "star-delta-leads"),
    );
    assert!((whole - parts).abs() <= 1e-3 * whole, "{parts} against {whole}");
    // Running in delta each winding has two leads of 1/√3 on the line voltage: per metre 2/3 of what the line current drops in a supply
    // run.
    let (whole, parts) = (
        value_of(&sized(&[("cable_length_m", "100")]), "running-voltage-drop", "star-delta-leads"),
        value_of(&both, "running-voltage-drop", "star-delta-leads"),
    );
    assert!((whole - parts).abs() <= 1e-3 * whole, "{parts} against {whole}");
}

#[test]
fn the_cable_behind_an_autotransformer_carries_the_current_of_the_motor_side() {
    // By hand: 0.65 × 7.5 × 14.3 A = 69.71 A through 16 mm² pvc over 40 m (1.15 Ω/km at 20 °C, 70 °C running, 0.08 Ω/km):
    // Z 3.3128 Ω at cosφ 0.4 with 0.0550 + j0.0032 Ω in series: 0.758 % of nominal.
    let mut basis = basis();
    basis.design.minimum_size_mm2 = Some(16.0);
    let changes = [("starting_method", "autotransformer"), ("tap_pct", "65"), ("starting_power_factor", "0.4")];
    let circuit = size_with(&row(&with(DIRECT, &changes)), &basis).0;
    assert!((value_of(&circuit, "starting-voltage-drop", "motor run") - 0.758).abs() < 0.002);
}

#[test]
fn how_many_conductors_a_terminal_takes_is_not_assumed() {
    let changes = [
        ("rated_power_kw", "250"),
        ("full_load_current_a", "430"),
        ("locked_rotor_ratio", "6.5"),
        ("installation_method", "B2"),
        ("protection_kind", "moulded-case"),
    ];
    let circuit = size(&with(DIRECT, &changes));
    let run = circuit.runs.first().expect("a run");
    assert!(run.per_phase > 1, "the case is one of parallel cables");
    let check = circuit.checks.iter().find(|check| check.name == "terminals").expect("it is listed");
    assert_ne!(check.passed, Some(true));
}

#[test]
fn the_protective_conductor_from_the_supply_to_a_drive_is_reinforced_and_that_to_its_motor_is_not() {
    // IEC 61800-5-1: with more than 3.5 mA of leakage 10 mm² of copper, or 16 mm² of aluminium, between supply and drive. Behind it
    // IEC 60364-5-54, Table 54.2: as large as the phases up to 16 mm².
    let cells = [
        ("rated_power_kw", "0.75"),
        ("full_load_current_a", "1.8"),
        ("starting_method", "drive"),
        ("drive_input_current_a", "3"),
    ];
    let in_board = size(&with(DIRECT, &cells));
    let sizes = |circuit: &Circuit| -> Vec<(String, String, String)> {
        let of_power = circuit.runs.iter().filter(|run| run.role != "control");
        of_power.map(|run| (run.role.clone(), run.phase_size.clone(), run.protective_size.clone())).collect()
    };
    let run = |role: &str, phase: &str, protective: &str| (role.to_owned(), phase.to_owned(), protective.to_owned());
    let motor = sizes(&in_board);
    assert_eq!(motor, [run("motor", &motor[0].1, &motor[0].1)], "the drive stands in its board: the conductor to the motor");
    let apart = size(&with(DIRECT, &[&cells[..], &[("supply_length_m", "25")]].concat()));
    let both = sizes(&apart);
    assert_eq!(both, [run("supply", &both[0].1, "10 mm2"), run("motor", &both[1].1, &both[1].1)]);
    for circuit in [&in_board, &apart] {
        assert!(circuit.findings.iter().all(|finding| !finding.code.starts_with('V')));
    }
}

#[test]
fn a_missing_length_names_the_column_that_may_hold_it() {
    let mut load = row(&with(DIRECT, &[]).into_iter().filter(|(name, _)| *name != "cable_length_m").collect::<Vec<_>>());
    let cure = |load: &crate::load::Load| {
        let (circuit, _) = size_with(load, &basis());
        let finding = circuit.findings.into_iter().find(|finding| finding.code == "C602").expect("it is told");
        finding.cure
    };
    assert_eq!(cure(&load), "enter cable_length_m");
    let mut source = (*load.source).clone();
    source.headings.push("Cable from MCC".to_owned());
    load.source = std::sync::Arc::new(source);
    assert!(cure(&load).contains("`Cable from MCC`"), "{}", cure(&load));
}

/// The loop of a fault to earth is a phase and the protective conductor, whatever the load is connected to: 400 V / √3 drive it in three
/// phases and between two lines alike, 230 V between line and neutral, which is 0.4 % less (circuit theory).
#[test]
fn a_fault_to_earth_has_the_same_loop_however_the_load_is_connected() {
    let mut basis = basis();
    basis.design.minimum_size_mm2 = Some(10.0);
    let of = |volts, phases, connection| {
        let cells = [
            ("tag", "H-1"),
            ("load_kind", "heater"),
            ("rated_power_kw", "3"),
            ("voltage_v", volts),
            ("phases", phases),
            ("connection", connection),
            ("starting_method", "contactor"),
            ("cable_length_m", "80"),
        ];
        let circuit = size_with(&row(&cells), &basis).0;
        circuit.fault.terminal_single_phase_min_ka.expect("it is known")
    };
    let three = of("400", "3", "3L");
    assert!((of("400", "1", "L-L") / three - 1.0).abs() < 1e-3, "{three}");
    assert!((of("230", "1", "L-N") / three - 230.0 * 3f64.sqrt() / 400.0).abs() < 1e-3, "{three}");
}

/// IEC 60364-4-43, 433.1: the dial is not above the capacity of the conductor, and what trips the device in the conventional time is not
/// above 1.45 times it. A circuit-breaker by IEC 60947-2 trips at 1.3 times, so that its dial decides; a gG fuse-link from 16 A at 1.6
/// times (IEC 60269-1, Table 2), so that 1.6 / 1.45 = 1.1034 times its rating does. A load of which nothing is known may overload its run.
#[rstest::rstest]
#[case::circuit_breaker("moulded-case", 18.0)]
#[case::fuse("gG", 20.0 * 1.6 / 1.45)]
fn what_may_overload_a_run_is_held_against_its_device(#[case] device: &str, #[case] needed: f64) {
    let cells = [
        ("tag", "X-1"),
        ("load_kind", "other"),
        ("rated_power_kw", "12"),
        ("full_load_current_a", "18"),
        ("starting_method", "contactor"),
        ("protection_kind", device),
        ("cable_length_m", "20"),
    ];
    let circuit = size(&cells);
    assert_eq!(circuit.protection.as_ref().map(|protection| protection.rating_a), Some(20.0));
    let check = circuit.checks.iter().find(|check| check.name == "overload-protection").expect("it is listed");
    assert!(check.passed == Some(true) && check.value.is_some_and(|value| (value - needed).abs() < 1e-6), "{check:?}");
}

/// IEC 60364-5-52:2009, note to Table 52.1: where a conductor runs hotter than 70 °C the equipment at its ends must be suitable. Table
/// B.52.5, B2: 16 mm² of copper in XLPE, three loaded, 80 A; air 40 °C (Table B.52.14): 0.91, 72.8 A. The rise goes with the square of
/// the current: 40 + 50 · (63 / 72.8)² = 77.4 °C; at 55 A 68.5 °C. PVC ends at 70 °C.
#[test]
fn conductors_hotter_than_terminals_are_made_for_are_told() {
    let found = |amperes: &str, insulation: &str| {
        let cells = [
            ("rated_power_kw", "30"),
            ("full_load_current_a", amperes),
            ("installation_method", "B2"),
            ("insulation", insulation),
            ("ambient_c", "40"),
            ("cable_length_m", "10"),
            ("given_conductor", ""),
        ];
        let circuit = size(&with(DIRECT, &cells));
        let run = circuit.runs.first().expect("a run").clone();
        let said = circuit.findings.iter().find(|finding| finding.code == "C614").map(|finding| finding.what.clone());
        (run.phase_size, run.capacity_a, said)
    };
    let (size, capacity, said) = found("63", "xlpe");
    assert_eq!((size.as_str(), (capacity * 10.0).round() / 10.0), ("16 mm2", 72.8));
    assert!(said.is_some_and(|words| words.contains("77 °C")));
    let (size, _, said) = found("55", "xlpe");
    assert_eq!((size.as_str(), said), ("16 mm2", None));
    assert_eq!(found("63", "pvc").2, None);
}

/// NFPA 70, 250.20(B)(1) and the winding of a 120/240 V transformer: each of its lines has 120 V to the grounded middle, so that the loop
/// of a fault to ground is the same for a load between the lines and for one between a line and the neutral. By Ohm's law: 10 AWG has 1.24
/// Ω in 1000 ft (Chapter 9, Table 8), 0.1488 Ω twice over 60 ft; 120 V over 2 kA are 0.06 Ω, of X/R = 2 0.0268 + j0.0537 Ω; 120 V drive 653
/// A.
#[test]
fn half_of_the_winding_drives_a_fault_to_ground_on_a_system_of_three_wires() {
    let mut basis = basis();
    basis.rules.book = Some("nec".to_owned());
    basis.supply.voltage_v = Some(240.0);
    basis.supply.phases = Some(1);
    basis.supply.frequency_hz = Some(60.0);
    basis.supply.earthing = None;
    basis.supply.system = Some("120/240 1PH 3W solidly grounded".to_owned());
    basis.supply.prospective_fault_ka = Some(5.0);
    basis.supply.prospective_fault_min_ka = Some(2.0);
    basis.design.minimum_size_mm2 = Some(5.26);
    let of = |volts, kilowatts, connection| {
        let cells = [
            ("tag", "H-1"),
            ("load_kind", "heater"),
            ("rated_power_kw", kilowatts),
            ("voltage_v", volts),
            ("phases", "1"),
            ("connection", connection),
            ("starting_method", "contactor"),
            ("cable_length_ft", "60"),
        ];
        let circuit = size_with(&row(&cells), &basis).0;
        circuit.fault.terminal_single_phase_min_ka.expect("it is known")
    };
    let (to_neutral, between) = (of("120", "1.5", "L-N"), of("240", "3", "L-L"));
    for found in [to_neutral, between] {
        assert!((found / 0.653 - 1.0).abs() < 0.03, "{between} kA, {to_neutral} kA");
    }
    assert!((between / to_neutral - 1.0).abs() < 1e-3, "{between} kA against {to_neutral} kA");
}
