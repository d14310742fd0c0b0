//! A review of the NEC book against circuits worked by hand. Expected values are never the program's; each names its cell or clause.

mod common;

use common::design_of;
use common::nec::{BASIS, circuit_by, motor};
use motorwright::design::{Circuit, Status};
use motorwright::report::columns::{self, CellValue};
use motorwright::rules::units::Units;

fn circuit(cells: &[(&str, &str)]) -> Circuit {
    circuit_by(BASIS, cells)
}

fn has(circuit: &Circuit, code: &str) -> bool {
    circuit.findings.iter().any(|finding| finding.code == code)
}

fn required(circuit: &Circuit) -> f64 {
    circuit.conductors.as_ref().unwrap_or_else(|| panic!("no conductors: {:?}", circuit.findings)).required_a
}

fn size(circuit: &Circuit) -> &str {
    &circuit.conductors.as_ref().unwrap_or_else(|| panic!("no conductors: {:?}", circuit.findings)).phase_size
}

fn rating(circuit: &Circuit) -> f64 {
    circuit.protection.as_ref().map_or(f64::NAN, |protection| protection.rating_a)
}

fn transformer(kva: &str, phases: &str) -> Circuit {
    circuit(&[
        ("load_kind", "transformer"),
        ("rated_power_kva", kva),
        ("phases", phases),
        ("voltage_v", "480"),
        ("starting_method", "feeder"),
        ("cable_length_ft", "30"),
    ])
}

#[test]
fn transformers_keep_to_450_3() {
    // 0.75 kVA at 480 V draws 1.5625 A; below 2 A Table 450.3(B) allows 300 %, 4.69 A, and no next size: a 3 A fuse.
    // The smallest circuit breaker, 10 A, would be 640 %.
    let small = transformer("0.75", "1");
    assert_eq!((rating(&small), small.protection.as_ref().map(|protection| protection.maximum_a)), (3.0, Some(Some(3.0))));
    // 1.5 kVA: 3.125 A; 167 % is 5.22 A. The 3 A fuse below it does not carry the load, the 6 A fuse is too large: none is offered.
    assert!(rating(&transformer("1.5", "1")).is_nan());
    // 3 kVA: 6.25 A; 167 % is 10.4 A: 10 A. 45 kVA, three-phase: 54.1 A, 125 % is 67.7 A, next size up 70 A (Note 1).
    assert_eq!(rating(&transformer("3", "1")), 10.0);
    assert_eq!(rating(&transformer("45", "3")), 70.0);
}

#[test]
fn a_duty_without_time_rating_takes_the_longest() {
    // Table 430.22(E), nameplate 26 A: varying, continuous rating 200 %; intermittent 140 %; short-time has 150 % at most.
    let duty = |duty: &'static str| motor(&[("rated_power_hp", "20"), ("full_load_current_a", "26"), ("duty", duty)]);
    // Table 310.16, 75 °C: 8 AWG 50 A, 6 AWG 65 A.
    for (text, amperes, awg) in [("varying", 52.0, "6 AWG"), ("intermittent", 36.4, "8 AWG"), ("short-time", 39.0, "8 AWG")] {
        let circuit = duty(text);
        assert!((required(&circuit) - amperes).abs() < 1e-9, "{text}: {}", required(&circuit));
        assert_eq!(size(&circuit), awg, "{text}");
        assert!(has(&circuit, "R212"), "{text}");
    }
    // With its time rating: intermittent, 30 min, 90 % of 26 A = 23.4 A.
    let rated = duty("intermittent 30 min");
    assert!((required(&rated) - 23.4).abs() < 1e-9, "{}", required(&rated));
    assert!(!has(&rated, "R212"));
    // Without a nameplate current the table's 27 A of 20 hp: 200 % is 54 A.
    assert!((required(&motor(&[("rated_power_hp", "20"), ("duty", "varying")])) - 54.0).abs() < 1e-9);
}

#[test]
fn a_duty_counts_for_the_leads_of_windings_and_rotors() {
    let lead = |more: &[(&'static str, &'static str)]| {
        let mut cells = vec![("rated_power_hp", "30"), ("full_load_current_a", "40"), ("duty", "varying")];
        cells.extend_from_slice(more);
        motor(&cells)
    };
    // 40 A at 200 % is 80 A in the line; 72 % stands for 58 % of 125 % (430.22(C)): 80 / 1.25 × 0.72 = 46.08 A, not 28.8 A.
    let wye = lead(&[("starting_method", "star-delta"), ("motor_leads", "6")]);
    assert!((required(&wye) - 46.08).abs() < 1e-6, "{}", required(&wye));
    // 430.22(D): 80 / 1.25 × 0.625 = 40 A.
    let part = lead(&[("starting_method", "part-winding")]);
    assert!((required(&part) - 40.0).abs() < 1e-6, "{}", required(&part));
    // 430.23(B): 50 A of rotor current at 200 % is 100 A.
    let wound = lead(&[("starting_method", "rotor-resistance"), ("rotor_current_a", "50"), ("rotor_voltage_v", "300")]);
    let rotor = wound.runs.iter().find(|run| run.role == "rotor").expect("a rotor run");
    assert!((rotor.required_a - 100.0).abs() < 1e-6, "{}", rotor.required_a);
}

#[test]
fn equipment_without_either_marking_is_told() {
    // 440.4(B): listed equipment is marked with both; taken as a compressor it is 125 % of 40 A and 175 %, 70 A.
    let circuit = circuit(&[
        ("load_kind", "packaged"),
        ("full_load_current_a", "40"),
        ("voltage_v", "460"),
        ("phases", "3"),
        ("starting_method", "feeder"),
        ("cable_length_ft", "30"),
    ]);
    assert!((required(&circuit) - 50.0).abs() < 1e-9 && (rating(&circuit) - 70.0).abs() < 1e-9);
    assert!(has(&circuit, "R206"));
}

/// 440.4(B): equipment is marked with both. Table 430.250: 10 hp at 460 V draw 14 A, of which 125 % are 17.5 A (440.32); as a power that is
/// drawn 10 hp would be less. Table 310.16, 75 °C: 14 AWG carries 20 A.
#[test]
fn horsepower_of_equipment_without_its_ampacity_is_that_of_a_motor() {
    let circuit = circuit(&[
        ("load_kind", "packaged"),
        ("rated_power_hp", "10"),
        ("maximum_protection_a", "30"),
        ("voltage_v", "460"),
        ("phases", "3"),
        ("starting_method", "feeder"),
        ("cable_length_ft", "30"),
    ]);
    assert!((required(&circuit) - 17.5).abs() < 1e-9, "{}", required(&circuit));
    assert!(has(&circuit, "R206") && rating(&circuit) <= 30.0);
    assert_eq!(circuit.runs[0].phase_size, "14 AWG");
}

#[test]
fn a_standard_efficiency_motor_of_design_b_has_800_per_cent() {
    // Table 430.52(C)(1): 1100 % for design B of energy-efficient or premium kind only; IE1 is neither. 27 A × 8 = 216 A.
    let setting = |class| {
        let circuit = motor(&[
            ("rated_power_hp", "20"),
            ("design_letter", "B"),
            ("efficiency_class", class),
            ("protection_kind", "instantaneous"),
        ]);
        let limit = |name| circuit.checks.iter().find(|check| check.name == name).and_then(|check| check.limit);
        assert_eq!(circuit.protection.as_ref().map(|protection| protection.kind.as_str()), Some("instantaneous"));
        limit("magnetic-setting").expect("a limit of the setting")
    };
    assert!((setting("IE1") - 216.0).abs() < 1e-9, "{}", setting("IE1"));
    assert!((setting("NEMA-premium") - 297.0).abs() < 1e-9);
}

#[test]
fn only_design_b_has_1100_per_cent() {
    // Table 430.52(C)(1): "design B energy efficient and premium"; a premium motor of design A, or of none that is known, has 800 %.
    for letter in ["A", ""] {
        let circuit = motor(&[
            ("rated_power_hp", "20"),
            ("design_letter", letter),
            ("efficiency_class", "NEMA-premium"),
            ("protection_kind", "instantaneous"),
        ]);
        let check = circuit.checks.iter().find(|check| check.name == "magnetic-setting").expect("a check");
        assert!((check.limit.expect("a limit") - 216.0).abs() < 1e-9, "design {letter}: {:?}", check.limit);
    }
}

#[test]
fn an_instantaneous_breaker_stands_in_a_combination_for_starting_direct_only() {
    // 430.52(C)(3): only as part of a listed combination motor controller; the range has such combinations for direct starting.
    let circuit = motor(&[
        ("rated_power_hp", "20"),
        ("protection_kind", "instantaneous"),
        ("starting_method", "star-delta"),
        ("motor_leads", "6"),
    ]);
    assert_eq!(circuit.protection.as_ref().map(|protection| protection.kind.as_str()), Some("inverse-time"));
}

#[test]
fn the_larger_current_of_two_speeds_counts_for_both_windings() {
    // 430.52(C)(4) Exception: one device for both windings, so both runs carry 125 % of the larger nameplate current, 33 A: 41.25 A.
    let circuit = motor(&[
        ("rated_power_hp", "20"),
        ("rated_power_low_hp", "20"),
        ("full_load_current_a", "26"),
        ("full_load_current_low_a", "33"),
        ("starting_method", "two-speed-separate"),
    ]);
    let of_windings: Vec<f64> =
        circuit.runs.iter().filter(|run| run.role.starts_with("motor")).map(|run| run.required_a).collect();
    assert_eq!(of_windings.len(), 2, "{:?}", circuit.runs);
    assert!(of_windings.iter().all(|amperes| (amperes - 41.25).abs() < 1e-9), "{of_windings:?}");
}

#[test]
fn a_nema_size_without_a_jogging_rating_jogs_nothing() {
    // NEMA ICS 2: size 00 is for 2 hp at 460 V and for no jogging at all; size 0 jogs 2 hp.
    let frame = |more: &[(&'static str, &'static str)]| {
        let mut cells = vec![("rated_power_hp", "1.5")];
        cells.extend_from_slice(more);
        let circuit = motor(&cells);
        circuit.contactors.first().unwrap_or_else(|| panic!("no contactor: {:?}", circuit.findings)).frame.clone()
    };
    assert!(frame(&[]).contains("00"), "{}", frame(&[]));
    let jogging = frame(&[("inching_share_pct", "20")]);
    assert!(!jogging.contains("00") && jogging.contains('0'), "{jogging}");
}

#[test]
fn a_motor_of_design_a_is_taken_for_the_larger_of_table_and_usual_ratio() {
    // Table 430.251(B) is for designs B, C and D: 20 hp at 460 V 145 A, 27 A by Table 430.250. Design A has no limit (NEMA MG 1); 6 × 27 A
    // is more.
    let starting = |letter| motor(&[("rated_power_hp", "20"), ("design_letter", letter)]).currents.starting_a;
    assert!((starting("B") - 145.0).abs() < 0.5, "{}", starting("B"));
    assert!((starting("A") - 6.0 * 27.0).abs() < 0.5, "{}", starting("A"));
}

#[test]
fn the_largest_device_is_the_one_that_is_permitted_here() {
    // 10 hp, 14 A: 250 % is 35 A. The 400 % of 430.52(C)(1)(b)(3), 50 A, are for a motor that does not start on 35 A; this one does.
    let circuit = motor(&[("rated_power_hp", "10")]);
    let device = circuit.protection.as_ref().expect("a device");
    assert_eq!((device.rating_a, device.maximum_a), (35.0, Some(35.0)));
}

#[test]
fn an_overload_setting_by_the_table_is_told() {
    // 430.6(A)(2): the nameplate counts, never the table.
    assert!(has(&motor(&[("rated_power_hp", "10")]), "R214"));
    assert!(!has(&motor(&[("rated_power_hp", "10"), ("full_load_current_a", "13.2")]), "R214"));
}

#[test]
fn markings_without_a_standard_rating_between_are_told() {
    // Ampacity 31 A, maximum 34 A: rounded down it is 30 A (240.6(A)), which is below the ampacity.
    let packaged = |maximum| {
        circuit(&[
            ("load_kind", "packaged"),
            ("minimum_circuit_ampacity_a", "31"),
            ("maximum_protection_a", maximum),
            ("full_load_current_a", "25"),
            ("voltage_v", "460"),
            ("phases", "3"),
            ("starting_method", "feeder"),
            ("cable_length_ft", "30"),
        ])
    };
    let tight = packaged("34");
    assert_eq!(rating(&tight), 30.0);
    assert!(has(&tight, "R213"));
    assert_eq!(tight.status, Status::NeedsDecision);
    assert!(!has(&packaged("35"), "R213"));
}

#[test]
fn an_open_code_letter_is_told() {
    // Table 430.7(B): V is 22.4 kVA per horsepower and more; 22.4 × 20 / (√3 × 0.46) = 562.3 A at least.
    let circuit = motor(&[("rated_power_hp", "20"), ("locked_rotor_code", "V")]);
    let told = circuit.findings.iter().find(|finding| finding.code == "R215").expect("a finding");
    assert!(told.what.contains("562.3"), "{}", told.what);
    assert!(!has(&motor(&[("rated_power_hp", "20"), ("locked_rotor_code", "G")]), "R215"));
    assert!(!has(&motor(&[("rated_power_hp", "20"), ("locked_rotor_code", "V"), ("locked_rotor_ratio", "9")]), "R215"));
}

#[test]
fn disconnecting_means_of_loads_that_are_no_motors() {
    let limit = |cells: &[(&str, &str)]| {
        let mut all = vec![("phases", "3"), ("starting_method", "contactor"), ("cable_length_ft", "30"), ("isolator", "yes")];
        all.extend_from_slice(cells);
        let circuit = circuit(&all);
        let check = circuit.checks.iter().find(|check| check.name == "disconnect-rating").expect("a check").clone();
        (check.value.expect("a value"), check.reference, circuit.disconnect.as_ref().and_then(|disconnect| disconnect.rating_a))
    };
    // 424.19: 125 % of 20 kW at 460 V, 25.10 A, is 31.38 A, which a switch of 30 A does not carry.
    let (value, clause, rating) = limit(&[("load_kind", "heater"), ("rated_power_kw", "20"), ("voltage_v", "460")]);
    assert!((value - 31.378).abs() < 0.001, "{value}");
    assert_eq!((clause.as_str(), rating), ("424.19", Some(60.0)));
    // 460.8(C): 135 % of 25 kvar at 480 V, 30.07 A, is 40.59 A.
    let (value, clause, rating) = limit(&[("load_kind", "capacitor"), ("reactive_power_kvar", "25"), ("voltage_v", "480")]);
    assert!((value - 40.595).abs() < 0.001, "{value}");
    assert_eq!((clause.as_str(), rating), ("460.8(C)", Some(60.0)));
}

#[test]
fn the_larger_current_of_two_speeds_counts_for_the_disconnecting_means() {
    // 430.110(A), 430.6(A)(2)(2): 115 % of 33 A is 37.95 A. It is no drive (430.128).
    let circuit = motor(&[
        ("rated_power_hp", "20"),
        ("rated_power_low_hp", "20"),
        ("full_load_current_a", "26"),
        ("full_load_current_low_a", "33"),
        ("starting_method", "two-speed-dahlander"),
    ]);
    let check = circuit.checks.iter().find(|check| check.name == "disconnect-rating").expect("a check");
    assert!((check.value.expect("a value") - 37.95).abs() < 1e-9);
    assert_eq!(check.reference, "430.110(A)");
}

#[test]
fn xhhw_2_on_a_roof_is_spared() {
    // 310.15(B)(2) Exception: no adder, so nothing is told of one. 50 hp, 81.25 A: 4 AWG.
    let circuit = motor(&[("rated_power_hp", "50"), ("location", "rooftop"), ("insulation", "xhhw-2")]);
    assert_eq!(size(&circuit), "4 AWG");
    assert!(!has(&circuit, "C608"));
    assert!(has(&motor(&[("rated_power_hp", "50"), ("location", "rooftop")]), "C608"));
}

#[test]
fn a_nameplate_above_the_table_reaches_controller_and_drive() {
    // 50 hp: 65 A by Table 430.250. The motor draws the 72 A of its nameplate, which a frame, drive or soft starter of 65 A does not
    // carry (110.3(B)); the branch device stays with the table (430.6(A)(1)): 175 A.
    let basis = format!("{BASIS}controller_family = \"iec-frames\"\n");
    let with = |method| {
        circuit_by(
            &basis,
            &[
                ("rated_power_hp", "50"),
                ("full_load_current_a", "72"),
                ("voltage_v", "460"),
                ("phases", "3"),
                ("service_factor", "1.15"),
                ("starting_method", method),
                ("cable_length_ft", "30"),
            ],
        )
    };
    let direct = with("direct");
    let duty = direct.checks.iter().find(|check| check.name == "contactor-duty").expect("a check");
    assert!((duty.value.expect("a value") - 72.0).abs() < 1e-9);
    assert!(direct.contactors[0].rated_a >= 72.0, "{} A", direct.contactors[0].rated_a);
    assert_eq!(rating(&direct), 175.0);
    for method in ["drive", "soft-starter"] {
        let circuit = with(method);
        let device = circuit.starter_devices.first().expect("a device");
        assert!(device.rated_a >= 72.0, "{method}: {} A", device.rated_a);
        assert!((circuit.overloads[0].setting_a - 72.0).abs() < 0.5, "{method}: {}", circuit.overloads[0].setting_a);
    }
}

#[test]
fn an_input_current_below_that_of_the_chosen_drive_is_told() {
    // 430.122(A) and 430.128 go by the rated input current of the drive; one for 75 hp, 96 A, is not fed by 80 A.
    let input = |amperes| motor(&[("rated_power_hp", "75"), ("starting_method", "drive"), ("drive_input_current_a", amperes)]);
    assert!(has(&input("80"), "C211"));
    assert!(!has(&input("110"), "C211"));
}

#[test]
fn a_slash_rating_suits_a_grounded_three_wire_single_phase_system() {
    use motorwright::quantity::Volts;
    use motorwright::rules::nec::rating::{Admission, RatedDevice, voltage_rating_admits};
    let admits = |rated: &str, system: &str| voltage_rating_admits(RatedDevice::CircuitBreaker, rated, system, Volts(240.0)).0;
    // 240.85: solidly grounded, 120 V to ground and 240 V between conductors.
    assert_eq!(admits("120/240", "120/240 1-phase 3W solidly grounded"), Admission::Admitted);
    // Nothing is supposed that is not stated; a four-wire delta has a high leg of 208 V.
    assert_eq!(admits("120/240", "120/240 3W"), Admission::Unknown);
    assert_eq!(admits("120/240", "240/120 4W solidly grounded"), Admission::Unknown);
    assert_eq!(admits("120/240", "240/120 4W high-leg delta solidly grounded"), Admission::NotAdmitted);
    assert_eq!(admits("120/240", "240 3W corner-grounded delta"), Admission::NotAdmitted);
    assert_eq!(admits("480Y/277", "480 3W solidly grounded"), Admission::Unknown);
}

#[test]
fn a_local_switch_does_not_replace_that_of_the_controller() {
    // 430.102(A), 430.109(A), 430.110(A): the fusible switch of 600 A is marked with less than 200 hp at 480 V in this range, with or
    // without a switch at the motor.
    for isolator in ["no", "yes"] {
        let circuit = motor(&[("rated_power_hp", "200"), ("protection_kind", "non-time-delay"), ("isolator", isolator)]);
        let of_controller = |check: &&motorwright::design::Check| check.subject == "disconnecting means";
        let failed = circuit.checks.iter().filter(of_controller).find(|check| check.name == "disconnect-horsepower");
        assert_eq!(failed.and_then(|check| check.passed), Some(false), "isolator {isolator}");
    }
}

#[test]
fn three_phase_horsepower_of_a_fusible_switch_says_nothing_of_a_single_phase_motor() {
    // 430.109(A)(1), 430.110: 3 hp draw 17 A at 230 V single-phase with 102 A locked (Tables 430.248, 430.251(A)); at three phases
    // 9.6 A and 64 A (Tables 430.250, 430.251(B)): a rating for the latter does not hold for the former. 115 % of the current of 3 hp, 17
    // A, fit a switch of 30 A, those of 5 hp, 28 A, do not; with three phases 7.5 hp, 22 A, do and 10 hp, 28 A, do not.
    for phases in ["1", "3"] {
        let circuit =
            motor(&[("rated_power_hp", "3"), ("voltage_v", "230"), ("phases", phases), ("protection_kind", "dual-element")]);
        let check = circuit.checks.iter().find(|check| check.name == "disconnect-horsepower").expect("it is listed");
        let rated = if phases == "3" { 7.5 } else { 3.0 };
        assert_eq!((check.limit, check.passed), (Some(rated), Some(true)), "{phases}: {check:?}");
    }
}

/// NEMA MG 1, Table 12-12: a premium motor of 10 hp with 4 poles has 91.7 %.
#[test]
fn an_assumed_efficiency_is_said_to_be_of_the_motor_that_has_it() {
    let circuit = motor(&[("rated_power_hp", "10"), ("poles", "4")]);
    let assumed = circuit.findings.iter().find(|finding| finding.code == "R231").expect("it is said");
    assert!(assumed.what.contains("efficiency 91.7 % (premium, 4 poles)"), "{}", assumed.what);
}

#[test]
fn clauses_are_those_of_the_edition() {
    // 2017: smallest conductors in 310.106(A), ampacities in 310.15(B)(16), rooftops in 310.15(B)(3)(c).
    let basis = BASIS.replace("book = \"nec\"", "book = \"nec\"\nedition = \"2017\"");
    let circuit = circuit_by(
        &basis,
        &[
            ("rated_power_hp", "10"),
            ("voltage_v", "460"),
            ("phases", "3"),
            ("starting_method", "direct"),
            ("cable_length_ft", "30"),
            ("location", "rooftop"),
        ],
    );
    let check = |name| circuit.checks.iter().find(|check| check.name == name).map(|check| check.reference.clone());
    assert_eq!(check("minimum-size").as_deref(), Some("NFPA 70, 310.106(A)"));
    let roof = circuit.findings.iter().find(|finding| finding.code == "C608").expect("a finding");
    assert_eq!(roof.reference, "310.15(B)(3)(c)");
}

#[test]
fn relays_trip_within_the_service_limit_of_their_controller() {
    // NEMA ICS 2, Table 2-4-1 (from memory in our reference): size 2 has a service limit of 52 A, size 3 of 104 A.
    for (nameplate, size) in [("40", "GEN-N2"), ("44", "GEN-N3")] {
        let circuit = motor(&[("rated_power_hp", "15"), ("voltage_v", "230"), ("full_load_current_a", nameplate)]);
        let contactor = circuit.contactors.first().expect("a contactor");
        assert!(contactor.part.starts_with(size), "{nameplate} A: {}", contactor.part);
        let check = circuit.checks.iter().find(|check| check.name == "service-limit").expect("it is checked");
        assert_eq!(check.passed, Some(true), "{check:?}");
    }
}

#[test]
fn a_stalled_motor_is_tripped_by_the_relays_ultimate_trip_and_not_by_its_dial() {
    let circuit =
        motor(&[("rated_power_hp", "10"), ("full_load_current_a", "14"), ("locked_rotor_ratio", "6"), ("stall_time_s", "40")]);
    let relay = &circuit.overloads[0];
    let class: f64 = relay.trip_class.trim_end_matches('A').parse().expect("a class");
    let trips = relay.ultimate_trip_a.expect("the catalogue declares it") / relay.setting_a;
    assert!(trips > 1.05, "the case has a relay that trips above its dial");
    let check = circuit.checks.iter().find(|check| check.name == "stall-protection").expect("it is asked");
    // NEMA ICS 2: a class trips within its number of seconds at six times the current rating of the relay, which is that of its
    // ultimate trip. At six times the dial that takes class × (6 × trips / 6)² at constant I²t, and a little more as bodies are heated.
    let (expected, multiple) = (class * trips * trips, 6.0 / trips);
    let heated = class * libm::log(multiple * multiple / (multiple * multiple - 1.0)) / libm::log(36.0 / 35.0);
    assert!(heated > expected && (heated / expected - 1.0).abs() < 0.02, "{heated} {expected}");
    assert!((check.value.expect("a value") - heated).abs() < 1e-3 * heated, "{check:?} against {heated}");
    assert_eq!(check.passed, Some(true));
    let short =
        motor(&[("rated_power_hp", "10"), ("full_load_current_a", "14"), ("locked_rotor_ratio", "6"), ("stall_time_s", "10")]);
    assert!(short.checks.iter().any(|check| check.name == "stall-protection" && check.passed == Some(false)));
}

/// Short-circuit current rating: what the weakest part stands, not the fault current that it is held against. An unmarked controller has
/// 5 kA (UL 508A, Table SB4.1, up to 50 hp); the board's fault current is 22 kA.
#[test]
fn the_schedule_shows_the_rating_of_the_equipment_and_not_the_fault_current() {
    let unmarked = motor(&[("rated_power_hp", "10"), ("starting_method", "part-winding"), ("motor_leads", "9")]);
    let check = unmarked.checks.iter().find(|check| check.name == "short-circuit-rating").expect("a check");
    let column =
        columns::schedule(Units::Customary).into_iter().find(|column| column.key == "short_circuit_rating_ka").expect("a column");
    assert_eq!(check.limit, Some(22.0), "the fault current of the board");
    assert_eq!(column.of(&unmarked), CellValue::number(check.value), "{check:?}");
    assert_ne!(check.value, check.limit);
}

/// NFPA 70, Article 100: in sight is at most 50 ft; 430.102(B) wants the motor's disconnecting means there.
#[test]
fn a_motor_out_of_sight_of_its_only_disconnecting_means_says_so() {
    let at = |feet: &'static str, isolator: &'static str| {
        motor(&[("rated_power_hp", "10"), ("cable_length_ft", feet), ("isolator", isolator)])
    };
    assert!(!has(&at("50", ""), "C521"));
    assert!(has(&at("51", ""), "C521"));
    assert!(!has(&at("300", "yes"), "C521"), "the switch stands at the motor");
}

/// Both settings and both ceilings of two speeds stand in the schedule: 430.32 goes by the nameplate current of each.
#[test]
fn both_overloads_of_two_speeds_stand_in_the_schedule() {
    let circuit = motor(&[
        ("rated_power_hp", "25"),
        ("rated_power_low_hp", "6.3"),
        ("full_load_current_a", "31"),
        ("full_load_current_low_a", "10.4"),
        ("starting_method", "two-speed-separate"),
    ]);
    let settings: Vec<f64> = circuit.overloads.iter().map(|overload| overload.setting_a).collect();
    assert_eq!(settings.len(), 2, "{:?}", circuit.findings);
    let of = |key: &str| {
        let column = columns::schedule(Units::Customary).into_iter().find(|column| column.key == key).expect("a column");
        match column.of(&circuit) {
            CellValue::Text(words) => words.into_owned(),
            other => panic!("{key}: {other:?}"),
        }
    };
    for key in ["overload_setting_a", "overload_ceiling_a"] {
        let words = of(key);
        let (low, high) = words.split_once(" / ").expect("two figures");
        assert!(low.parse::<f64>().expect("a figure") < 14.0 && high.parse::<f64>().expect("a figure") > 25.0, "{words}");
    }
}

/// A drive that the catalogue does not have in that heat still draws its input current (NFPA 70, 430.122(A)): the sums of its board may not
/// fall to the motor's.
#[test]
fn heat_that_leaves_no_drive_makes_no_feeder_smaller() {
    let schedule = "tag,board,rated_power_hp,voltage_v,phases,starting_method,cable_length_ft,full_load_current_a\n\
        F-1,MCC,5,208,3,drive,30,16.7\nF-2,MCC,60,460,3,drive,30,77\n";
    let at = |celsius: f64| {
        let board = format!("{BASIS}[[board]]\nname = \"MCC\"\ndevice_ambient_c = {celsius}\n");
        let design = design_of(schedule, &board);
        let lost = design.circuits.iter().filter(|circuit| has(circuit, "C206")).count();
        let demand = design.boards.iter().find(|board| board.name == "MCC").expect("the board").demand_current_a;
        (lost, demand)
    };
    let (cool, hot) = (at(30.0), at(75.0));
    assert_eq!((cool.0, hot.0), (0, 2), "no drive is offered for 75 °C");
    assert!(hot.1 >= cool.1 - 1e-6, "{} A fall to {} A", cool.1, hot.1);
}

/// 430.22(B): conductors by the highest nameplate current of the speeds. Table 430.250, 10 hp at 460 V: 14 A for the low speed of equal
/// horsepower, though the nameplate of the high one says 12 A: at low speed a motor draws more, not less.
#[test]
fn the_current_at_low_speed_is_never_cut_to_that_at_high_speed() {
    let of = |low: &'static str| {
        motor(&[
            ("rated_power_hp", "10"),
            ("rated_power_low_hp", low),
            ("full_load_current_a", "12"),
            ("starting_method", "two-speed-separate"),
        ])
    };
    assert_eq!(of("10").currents.low_speed_a, Some(14.0));
    assert_eq!(of("7.5").currents.low_speed_a, Some(11.0));
}

/// A start of 0.01 s asks for less than the shortest time that a timer of the range can be set to, 0.05 s: it is set to that and not to
/// nothing. Equipment that marks a minimum circuit ampacity of 0.0001 A still asks something of its conductors.
#[test]
fn figures_too_small_to_be_shown_are_not_nothing() {
    let wye = motor(&[
        ("rated_power_hp", "50"),
        ("full_load_current_a", "60"),
        ("starting_method", "star-delta"),
        ("start_time_s", "0.01"),
    ]);
    let timer = wye.accessories.iter().find(|accessory| accessory.kind == "timer").expect("a timer");
    assert!(timer.setting.starts_with("0.05 s"), "{}", timer.setting);
    let packaged = circuit(&[
        ("load_kind", "packaged"),
        ("minimum_circuit_ampacity_a", "0.0001"),
        ("maximum_protection_a", "15"),
        ("voltage_v", "480"),
        ("starting_method", "feeder"),
        ("cable_length_ft", "16"),
    ]);
    assert_eq!(required(&packaged), 0.001);
    for circuit in [&wye, &packaged] {
        let wrong: Vec<_> = circuit.findings.iter().filter(|finding| finding.code.starts_with('V')).collect();
        assert!(wrong.is_empty(), "{wrong:?}");
    }
}
