//! The NEC book from schedule to design: what a contractor's row becomes, held against published examples and against cells of
//! NFPA 70 that anybody can look up. Expected values are never the program's.

mod common;

use common::design_of;
use motorwright::design::{Circuit, Status};

const BASIS: &str = "[rules]\nbook = \"nec\"\n[supply]\nvoltage_v = 480\nphases = 3\nfrequency_hz = 60\n\
    system = \"480Y/277 4W solidly grounded\"\nprospective_fault_ka = 22\nprospective_fault_min_ka = 15\nx_over_r = 4\n\
    [design]\ntermination_c = 75\n\
    [[board]]\nname = \"LP-1\"\nvoltage_v = 208\nphases = 3\nsystem = \"208Y/120 4W solidly grounded\"\n\
    prospective_fault_ka = 9\nprospective_fault_min_ka = 5\n";

const HEAD: &str = "tag,rated_power_hp,rated_power_kw,voltage_v,phases,full_load_current_a,service_factor,starting_method,load_kind,\
    cable_length_ft,cable_length_m,protection_kind,board,minimum_circuit_ampacity_a,maximum_protection_a,maximum_protection_kind,\
    design_letter,insulation,drive_input_current_a,power_factor,starts_per_hour,service_class,description,installation_method\n";

/// One row by its named cells.
fn row(cells: &[(&str, &str)]) -> String {
    let line: Vec<&str> = HEAD
        .trim()
        .split(',')
        .map(|name| cells.iter().find(|(heading, _)| *heading == name).map_or("", |(_, text)| *text))
        .collect();
    line.join(",") + "\n"
}

fn circuit(cells: &[(&str, &str)]) -> Circuit {
    let mut all = vec![("tag", "M-1")];
    all.extend_from_slice(cells);
    design_of(&(HEAD.to_owned() + &row(&all)), BASIS).circuits.remove(0)
}

fn has(circuit: &Circuit, code: &str) -> bool {
    circuit.findings.iter().any(|finding| finding.code == code)
}

fn run(circuit: &Circuit) -> &motorwright::design::Run {
    circuit.conductors.as_ref().unwrap_or_else(|| panic!("{}: no conductors: {:?}", circuit.tag, circuit.findings))
}

fn protection(circuit: &Circuit) -> &motorwright::design::Protection {
    circuit.protection.as_ref().unwrap_or_else(|| panic!("{}: no protection: {:?}", circuit.tag, circuit.findings))
}

/// A motor started direct over 100 ft of EMT.
fn motor<'a>(hp: &'a str, more: &[(&'a str, &'a str)]) -> Circuit {
    let mut cells = vec![
        ("rated_power_hp", hp),
        ("voltage_v", "460"),
        ("phases", "3"),
        ("service_factor", "1.15"),
        ("starting_method", "direct"),
        ("cable_length_ft", "100"),
    ];
    cells.retain(|(name, _)| !more.iter().any(|(heading, _)| heading == name));
    cells.extend_from_slice(more);
    circuit(&cells)
}

#[test]
fn ten_horsepower_at_460_volts() {
    // Guide page on motor circuits (2023): 14 A, 17.5 A, 14 AWG; device 250 % of 14 A = 35 A; NEMA ICS 2: 10 hp at 460 V is size 1.
    // The 35 A row of Table 250.122 asks 10 AWG, which 250.122(A) caps at the 14 AWG of the circuit.
    let circuit = motor("10", &[]);
    assert_eq!(circuit.currents.full_load_a, 14.0);
    assert_eq!(run(&circuit).phase_size, "14 AWG");
    assert_eq!(run(&circuit).protective_size, "14 AWG");
    assert_eq!(protection(&circuit).kind, "inverse-time");
    assert_eq!(protection(&circuit).rating_a, 35.0);
    assert!(circuit.contactors[0].frame.contains('1'), "{:?}", circuit.contactors[0]);
    assert_eq!(run(&circuit).raceway.as_ref().map(|raceway| raceway.trade_size.as_str()), Some("1/2"));
}

#[test]
fn forty_horsepower_with_dual_element_fuses() {
    // Electricians' forum, 40 hp 460 V: 52 A, 65 A, 6 AWG at 75 °C (equality passes), fuse 100 A, grounding conductor 8 AWG.
    let circuit = motor("40", &[("protection_kind", "dual-element")]);
    assert_eq!(run(&circuit).phase_size, "6 AWG");
    assert_eq!(run(&circuit).protective_size, "8 AWG");
    assert_eq!((protection(&circuit).kind.as_str(), protection(&circuit).rating_a), ("dual-element", 100.0));
}

#[test]
fn fifty_horsepower_with_a_breaker() {
    // Prompt document in a repository: 65 A, 81.25 A, 4 AWG, breaker 175 A.
    let circuit = motor("50", &[]);
    assert_eq!((run(&circuit).phase_size.as_str(), protection(&circuit).rating_a), ("4 AWG", 175.0));
}

#[test]
fn a_motor_of_125_horsepower_whole() {
    // Homework problem, 125 hp 460 V, 190 ft EMT, pf 0.9: 156 A, fuse 300 A, 195 A, 3/0 AWG, EGC 4 AWG, EMT 2, drop 4.815 V.
    let circuit = motor(
        "125",
        &[
            ("protection_kind", "dual-element"),
            ("cable_length_ft", "190"),
            ("insulation", "THHN"),
            ("power_factor", "0.9"),
            ("full_load_current_a", "156"),
        ],
    );
    assert_eq!(circuit.currents.full_load_a, 156.0);
    let leads = run(&circuit);
    assert_eq!((leads.phase_size.as_str(), leads.protective_size.as_str()), ("3/0 AWG", "4 AWG"));
    assert_eq!(leads.raceway.as_ref().map(|raceway| (raceway.kind.as_str(), raceway.trade_size.as_str())), Some(("emt", "2")));
    assert_eq!(protection(&circuit).rating_a, 300.0);
    let drop = circuit.checks.iter().find(|check| check.name == "running-voltage-drop").and_then(|check| check.value);
    // The program's drop is exact and against 460 V, the motor's voltage.
    assert!(drop.is_some_and(|drop| (drop - 4.815 / 460.0 * 100.0).abs() < 0.02), "{drop:?}");
    let disconnect = circuit.checks.iter().find(|check| check.name == "disconnect-rating").and_then(|check| check.value);
    assert!(disconnect.is_some_and(|amperes| (amperes - 179.4).abs() < 0.01), "{disconnect:?}");
}

#[test]
fn the_table_counts_for_conductors_and_the_nameplate_for_the_overload_relay() {
    // Exam file, 7.5 hp 230 V, nameplate 20 A: conductors from 22 A of Table 430.250, 27.5 A; overload by 430.32(A)(1) from 20 A.
    let circuit = motor("7.5", &[("voltage_v", "230"), ("full_load_current_a", "20"), ("board", "X")]);
    assert_eq!(circuit.currents.full_load_a, 22.0);
    assert!((run(&circuit).required_a - 27.5).abs() < 1e-9, "{}", run(&circuit).required_a);
    assert_eq!(circuit.currents.overload_basis_a, 20.0);
    let setting = circuit.overload.as_ref().expect("a relay").setting_a;
    assert!(setting <= 20.0 && setting > 19.0, "{setting}");
}

#[test]
fn without_service_factor_the_trip_stays_at_115_per_cent() {
    // 430.32(A)(1): 115 % where neither service factor nor rise is marked; the dial times its ultimate trip (1.2 here) stays below.
    let circuit = motor("10", &[("service_factor", "1.0"), ("full_load_current_a", "13")]);
    let setting = circuit.overload.as_ref().expect("a relay").setting_a;
    assert!(setting * 1.2 <= 13.0 * 1.15 + 1e-6 && setting > 11.5, "{setting}");
}

#[test]
fn single_phase_motors_have_their_own_table() {
    // Table 430.248: 1/2 hp at 115 V 9.8 A; 3 hp at 208 V 18.7 A. Forum question: 18.7 × 1.25 = 23.4 A, 12 AWG at 75 °C.
    let small = motor("1/2", &[("voltage_v", "115"), ("phases", "1"), ("board", "LP-1")]);
    assert_eq!(small.currents.full_load_a, 9.8);
    let larger = motor("3", &[("voltage_v", "208"), ("phases", "1"), ("board", "LP-1")]);
    assert_eq!(larger.currents.full_load_a, 18.7);
    assert_eq!(run(&larger).phase_size, "12 AWG");
    // 430.83(A): size 1 is rated 3 hp of one phase at 230 V, which is 17 A (NEMA ICS 2; Table 430.248).
    let controller = |circuit: &Circuit| {
        let check = circuit.checks.iter().find(|check| check.name == "contactor-horsepower").expect("a check");
        (check.value.unwrap_or(f64::NAN), check.limit.unwrap_or(f64::NAN))
    };
    let (need, has) = controller(&larger);
    assert!((need - 3.0 * 230.0 / 208.0).abs() < 1e-3 && has >= need, "{need} {has}");
    let usual = motor("3", &[("voltage_v", "230"), ("phases", "1"), ("board", "LP-1")]);
    assert!((controller(&usual).0 - 3.0).abs() < 1e-9);
    assert_ne!(larger.contactors[0].part, usual.contactors[0].part);
}

#[test]
fn wye_delta_leads_take_72_per_cent() {
    // Code forum, 150 hp 460 V: 129.6 A a lead, six leads in one raceway derated to 80 %: 1/0 AWG THHN.
    let circuit = motor("150", &[("starting_method", "star-delta"), ("insulation", "THHN")]);
    assert!((run(&circuit).required_a - 129.6).abs() < 1e-9, "{}", run(&circuit).required_a);
    assert_eq!(run(&circuit).phase_size, "1/0 AWG");
}

#[test]
fn the_termination_column_is_60_degrees_unless_something_says_otherwise() {
    // 110.14(C)(1)(a): 50 hp, 81.25 A: 3 AWG at 60 °C (85 A), 4 AWG at 75 °C (85 A); design B opens the 75 °C column.
    let basis = BASIS.replace("[design]\ntermination_c = 75\n", "");
    let with = |letter: &str| {
        let cells = [
            ("tag", "M-1"),
            ("rated_power_hp", "50"),
            ("voltage_v", "460"),
            ("phases", "3"),
            ("starting_method", "direct"),
            ("cable_length_ft", "100"),
            ("design_letter", letter),
        ];
        run(&design_of(&(HEAD.to_owned() + &row(&cells)), &basis).circuits[0]).phase_size.clone()
    };
    assert_eq!(with(""), "3 AWG");
    assert_eq!(with("B"), "4 AWG");
}

#[test]
fn packaged_equipment_keeps_its_marking() {
    // 440.4(B): MCA as it stands (52.5 A: 6 AWG at 75 °C, 65 A); the marked maximum is never exceeded.
    let cells = [
        ("load_kind", "packaged"),
        ("voltage_v", "480"),
        ("phases", "3"),
        ("full_load_current_a", "47.8"),
        ("minimum_circuit_ampacity_a", "52.5"),
        ("maximum_protection_a", "70"),
        ("starting_method", "feeder"),
        ("cable_length_ft", "190"),
    ];
    let starter = circuit(&cells);
    assert!((run(&starter).required_a - 52.5).abs() < 1e-9);
    assert_eq!(run(&starter).phase_size, "6 AWG");
    assert_eq!(protection(&starter).rating_a, 70.0);
    let mut fuse = cells.to_vec();
    fuse.push(("maximum_protection_kind", "fuse"));
    let starter = circuit(&fuse);
    assert!(!["inverse-time", "instantaneous"].contains(&protection(&starter).kind.as_str()), "{}", protection(&starter).kind);
    let mut odd = cells.to_vec();
    odd.retain(|(name, _)| *name != "maximum_protection_a");
    odd.push(("maximum_protection_a", "63"));
    assert_eq!(protection(&circuit(&odd)).rating_a, 60.0, "a marked maximum is rounded down");
    let mut small = cells.to_vec();
    small.retain(|(name, _)| *name != "maximum_protection_a");
    small.push(("maximum_protection_a", "45"));
    assert_eq!(circuit(&small).status, Status::NotSized, "MOCP below MCA");
    let mut missing = cells.to_vec();
    missing.retain(|(name, _)| *name != "maximum_protection_a");
    assert_eq!(circuit(&missing).status, Status::NeedsDecision, "MOCP missing");
}

#[test]
fn a_drive_counts_by_its_input_current() {
    // 430.122(A): 125 % of the rated input current; 430.130: the device from the motor's current.
    let circuit = motor("20", &[("starting_method", "drive"), ("drive_input_current_a", "30")]);
    let required: Vec<f64> = circuit.runs.iter().map(|run| run.required_a).collect();
    assert!(required.iter().any(|required| (required - 33.75).abs() < 1e-9), "output: 125 % of 27 A: {required:?}");
    assert!(protection(&circuit).rating_a <= 70.0, "250 % of 27 A = 67.5 A, next size 70 A: {}", protection(&circuit).rating_a);
}

#[test]
fn a_heater_takes_125_per_cent() {
    // 424.4(B): 24.1 A × 1.25 = 30.1 A: 10 AWG (35 A at 75 °C), whose device 240.4(D) limits to 30 A, so 8 AWG with 35 A.
    let circuit = circuit(&[
        ("load_kind", "heater"),
        ("rated_power_kw", "20"),
        ("voltage_v", "480"),
        ("phases", "3"),
        ("starting_method", "contactor"),
        ("cable_length_ft", "155"),
    ]);
    assert!((run(&circuit).required_a - 20_000.0 / (3f64.sqrt() * 480.0) * 1.25).abs() < 1e-3, "{}", run(&circuit).required_a);
    assert_eq!((run(&circuit).phase_size.as_str(), protection(&circuit).rating_a), ("8 AWG", 35.0));
}

#[test]
fn a_slash_rating_needs_a_grounded_wye() {
    // 240.85: on a corner-grounded delta a breaker marked 480Y/277 V is not admitted.
    let basis = BASIS.replace("480Y/277 4W solidly grounded", "480 delta corner-grounded");
    let cells = [
        ("tag", "M-1"),
        ("rated_power_hp", "10"),
        ("voltage_v", "460"),
        ("phases", "3"),
        ("starting_method", "direct"),
        ("cable_length_ft", "100"),
    ];
    let design = design_of(&(HEAD.to_owned() + &row(&cells)), &basis);
    let part = design.circuits[0].protection.as_ref().map(|protection| protection.part.clone()).expect("a device");
    let range = motorwright::catalogue::builtin("nec");
    let breaker = range.branch_breakers.iter().find(|breaker| breaker.part == part).expect("a breaker of the range");
    assert!(!breaker.voltage_rating.contains('/'), "{part}");
}

#[test]
fn bad_rows_say_what_is_wrong_and_the_others_go_on() {
    let rows = [
        row(&[("tag", "LARGE"), ("rated_power_hp", "900"), ("voltage_v", "460"), ("phases", "3"), ("starting_method", "direct")]),
        row(&[
            ("tag", "LOW"),
            ("rated_power_hp", "250"),
            ("voltage_v", "208"),
            ("phases", "3"),
            ("starting_method", "direct"),
            ("board", "LP-1"),
        ]),
        row(&[("tag", "EURO"), ("rated_power_hp", "10"), ("voltage_v", "400"), ("phases", "3"), ("starting_method", "direct")]),
        row(&[
            ("tag", "BAND"),
            ("rated_power_hp", "10"),
            ("voltage_v", "440"),
            ("phases", "3"),
            ("starting_method", "direct"),
            ("cable_length_ft", "50"),
        ]),
        row(&[("tag", "ONE"), ("rated_power_hp", "1"), ("voltage_v", "480"), ("phases", "1"), ("starting_method", "direct")]),
        row(&[
            ("tag", "KW"),
            ("rated_power_kw", "15"),
            ("voltage_v", "460"),
            ("phases", "3"),
            ("starting_method", "direct"),
            ("cable_length_m", "30"),
        ]),
        row(&[
            ("tag", "FIRE"),
            ("rated_power_hp", "50"),
            ("voltage_v", "460"),
            ("phases", "3"),
            ("starting_method", "direct"),
            ("service_class", "fire-pump"),
        ]),
        row(&[
            ("tag", "GOOD"),
            ("rated_power_hp", "5"),
            ("voltage_v", "460"),
            ("phases", "3"),
            ("starting_method", "direct"),
            ("cable_length_ft", "50"),
        ]),
    ];
    let design = design_of(&(HEAD.to_owned() + &rows.concat()), BASIS);
    let of = |tag: &str| design.circuits.iter().find(|circuit| circuit.tag == tag).unwrap_or_else(|| panic!("{tag} is gone"));
    for tag in ["LARGE", "LOW", "EURO", "ONE", "FIRE"] {
        let circuit = of(tag);
        assert_eq!(circuit.status, Status::NotSized, "{tag}");
        let placed = circuit.findings.iter().any(|finding| finding.place.is_some() && !finding.cure.is_empty());
        assert!(placed, "{tag}: {:?}", circuit.findings);
    }
    assert_eq!(of("BAND").currents.full_load_a, 14.0, "440 V is in the band of the 460 V column");
    // 15 kW are 20.1 hp, between 20 hp (27 A) and 25 hp (34 A).
    let kilowatts = of("KW").currents.full_load_a;
    assert!(kilowatts > 27.0 && kilowatts <= 34.0, "{kilowatts}");
    assert!(of("KW").findings.iter().any(|finding| finding.what.contains("hp")), "{:?}", of("KW").findings);
    assert_ne!(of("GOOD").status, Status::NotSized);
    assert!(!has(of("GOOD"), "C101"), "{:?}", of("GOOD").findings);
}

#[test]
fn more_horsepower_never_gets_less() {
    let sizes = ["1", "2", "3", "5", "7-1/2", "10", "15", "20", "25", "30", "40", "50", "60", "75", "100", "125", "150", "200"];
    let rows: String = sizes
        .iter()
        .map(|hp| {
            row(&[
                ("tag", &format!("M{hp}").replace('/', "_")),
                ("rated_power_hp", hp),
                ("voltage_v", "460"),
                ("phases", "3"),
                ("starting_method", "direct"),
                ("cable_length_ft", "120"),
                ("service_factor", "1.15"),
            ])
        })
        .collect();
    let design = design_of(&(HEAD.to_owned() + &rows), BASIS);
    assert_eq!(design.circuits.len(), sizes.len());
    for pair in design.circuits.windows(2) {
        let [small, large] = pair else { continue };
        assert!(run(small).phase_area_mm2 <= run(large).phase_area_mm2, "{} {}", small.tag, large.tag);
        assert!(protection(small).rating_a <= protection(large).rating_a, "{} {}", small.tag, large.tag);
        assert!(small.contactors[0].rated_a <= large.contactors[0].rated_a, "{} {}", small.tag, large.tag);
    }
}

#[test]
fn a_marked_circuit_ampacity_never_stands_for_less_than_the_load() {
    // 50 hp at 460 V draw 65 A (Table 430.250); 430.22: 1.25 × 65 = 81.25 A.
    let small = motor("50", &[("minimum_circuit_ampacity_a", "22")]);
    assert!(has(&small, "R107") && run(&small).capacity_a >= 81.25, "{}", run(&small).capacity_a);
    // A marking above that makes the conductors larger and nothing else.
    let large = motor("50", &[("minimum_circuit_ampacity_a", "120")]);
    assert!(!has(&large, "R107") && run(&large).capacity_a >= 120.0, "{}", run(&large).capacity_a);
    assert!((large.currents.full_load_a - 65.0).abs() < 1e-9);
    // Equipment whose nameplate current is above its marking: 1.25 × 40 A, not the 30 A that are marked.
    let equipment = [
        ("load_kind", "packaged"),
        ("starting_method", "feeder"),
        ("voltage_v", "480"),
        ("phases", "3"),
        ("cable_length_ft", "100"),
        ("full_load_current_a", "40"),
        ("minimum_circuit_ampacity_a", "30"),
        ("maximum_protection_a", "60"),
    ];
    let equipment = circuit(&equipment);
    assert!(has(&equipment, "R107") && run(&equipment).capacity_a >= 50.0, "{}", run(&equipment).capacity_a);
}
