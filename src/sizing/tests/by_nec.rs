//! Whole circuits by the NEC: loads that are no motor, motors stated in kilowatts.

use super::*;

fn nec_basis() -> crate::basis::Basis {
    let mut basis = basis();
    basis.rules.book = Some("nec".to_owned());
    basis.supply.voltage_v = Some(480.0);
    basis.supply.frequency_hz = Some(60.0);
    basis
}

/// 18 kW at 480 V draw 18 000 / (√3 · 480) = 21.65 A, and that is what the clauses for conductors start from.
#[test]
fn conductors_and_devices_of_a_heater_go_by_what_it_draws() {
    let cells = [("tag", "H-1"), ("load_kind", "heater"), ("rated_power_kw", "18"), ("power_factor", "1"), ("voltage_v", "480")];
    let (circuit, _) = size_with(&row(&cells), &nec_basis());
    let currents = &circuit.currents;
    for amperes in [currents.full_load_a, currents.conductor_basis_a, currents.protection_basis_a] {
        assert!((amperes - 21.65).abs() < 0.01, "{currents:?}");
    }
}

/// 10 CFR 431.25: 91.7 % for a premium motor of 10 hp and 4 poles, open or enclosed; 7.46 kW are 10 hp of 746 W.
#[test]
fn a_motor_stated_in_kilowatts_has_the_efficiency_of_its_horsepower() {
    let cells = [("tag", "P-1"), ("rated_power_kw", "7.46"), ("voltage_v", "460"), ("poles", "4")];
    let (load, basis) = (row(&cells), nec_basis());
    let book = crate::rules::book("nec", None).expect("the book is there");
    let (machine, _) = crate::sizing::resolve::load_only(&load, &basis, book).expect("its voltage is known");
    let efficiency = machine.efficiency.expect("it is assumed").value;
    assert!((efficiency - 0.917).abs() < 1e-9, "{efficiency}");
}

/// 18 kW at power factor 1: 18 000 / (√3 · 400) = 25.98 A by the one book, 18 000 / (√3 · 480) = 21.65 A by the other.
#[test]
fn equipment_that_is_no_motor_counts_by_the_larger_of_marking_and_power() {
    for (basis, volts, by_power) in [(basis(), "400", 25.98), (nec_basis(), "480", 21.65)] {
        for (marked, expected) in [("14", by_power), ("40", 40.0)] {
            for kind in ["heater", "other", "packaged"] {
                let cells = [
                    ("tag", "H-1"),
                    ("load_kind", kind),
                    ("rated_power_kw", "18"),
                    ("power_factor", "1"),
                    ("voltage_v", volts),
                    ("minimum_circuit_ampacity_a", marked),
                    ("cable_length_m", "20"),
                ];
                let (circuit, _) = size_with(&row(&cells), &basis);
                let currents = &circuit.currents;
                assert!((currents.full_load_a - expected).abs() < 0.01, "{kind} {marked}: {}", currents.full_load_a);
                assert_eq!(codes(&circuit).contains(&"R107"), marked == "14", "{kind} {marked}");
            }
        }
    }
}

/// A unit of 60 A whose marking admits 35 A at most contradicts itself under either book: it is asked about, and no second trial objects.
#[test]
fn a_marked_largest_device_below_the_current_is_asked_about() {
    for (basis, volts) in [(basis(), "400"), (nec_basis(), "480")] {
        for (largest, told) in [("35", true), ("80", false)] {
            let cells = [
                ("tag", "H-1"),
                ("load_kind", "packaged"),
                ("voltage_v", volts),
                ("full_load_current_a", "60"),
                ("maximum_protection_a", largest),
                ("cable_length_m", "20"),
            ];
            let (circuit, _) = size_with(&row(&cells), &basis);
            assert_eq!(codes(&circuit).contains(&"R110"), told, "{volts} V, {largest} A: {:?}", codes(&circuit));
        }
    }
}

/// UL 508A, SB4.2: the rating of an assembly is that of its weakest tested combination, and a combination is one of its own three parts.
#[test]
fn each_contactor_of_a_set_is_held_to_the_combination_with_its_own_relay() {
    let load = row(&[
        ("tag", "F-1"),
        ("rated_power_hp", "25"),
        ("rated_power_low_hp", "6.3"),
        ("full_load_current_a", "31"),
        ("full_load_current_low_a", "10.4"),
        ("voltage_v", "460"),
        ("starting_method", "two-speed-separate"),
        ("cable_length_ft", "50"),
    ]);
    let mut basis = nec_basis();
    basis.supply.prospective_fault_ka = Some(30.0);
    let built_in = catalogue::builtin("nec");
    let plain = size_with(&load, &basis).0;
    let protection = plain.protection.as_ref().expect("a device").part.clone();
    let parts = |role: &str| {
        let contactor = plain.contactors.iter().find(|contactor| contactor.role == role).expect("a contactor");
        let bare = built_in.contactor_with_coil(&contactor.part).expect("it is offered").part.clone();
        (bare, plain.overloads.iter().find(|overload| overload.role == role).expect("a relay").part.clone())
    };
    let (low, high) = (parts("low"), parts("high"));
    assert_ne!(low.1, high.1);
    // Rating of the assembly with these lines as the only combinations of its protective device.
    let rated = |lines: &[(&str, &str, f64)]| {
        let mut catalogue = built_in.clone();
        catalogue.branch_breakers.retain(|breaker| breaker.part == protection);
        catalogue.combinations.retain(|line| line.protection_part != protection);
        catalogue.combinations.extend(lines.iter().map(|(contactor, relay, kiloamperes)| catalogue::Combination {
            protection_part: protection.clone(),
            contactor_part: (*contactor).to_owned(),
            overload_part: (*relay).to_owned(),
            coordination: "type-1".to_owned(),
            max_voltage_v: 480.0,
            conditional_ka: *kiloamperes,
        }));
        catalogue.combinations.sort_by(|a, b| a.protection_part.cmp(&b.protection_part));
        let circuit = crate::sizing::testing::size_in(&load, &basis, &catalogue, &crate::sizing::Pins::default()).0;
        assert_eq!(circuit.protection.as_ref().map(|protection| protection.part.clone()), Some(protection.clone()));
        circuit.checks.iter().find(|check| check.name == "short-circuit-rating").and_then(|check| check.value)
    };
    let tested = [(low.0.as_str(), low.1.as_str(), 65.0), (high.0.as_str(), high.1.as_str(), 42.0)];
    assert_eq!(rated(&tested), Some(42.0));
    assert_eq!(rated(&[tested[0], (&high.0, &high.1, 85.0)]), Some(65.0));
    // Tested with the other speed's relay, or one of the two alone: that tells nothing of this assembly.
    let without = rated(&[]);
    assert!(without < Some(42.0), "{without:?}");
    assert_eq!(rated(&[tested[0], (&high.0, &low.1, 85.0)]), without);
    assert_eq!(rated(&tested[..1]), without);
    assert_eq!(rated(&tested[1..]), without);
}

/// 430.128: a disconnecting means before a drive is rated 115 % of the drive's rated input current, whatever that current is: 50 A, which
/// is the motor's nameplate, ask for 57.5 A, 51 A for 58.65 A.
#[test]
fn a_disconnecting_means_before_a_drive_goes_by_the_input_of_the_drive() {
    let asked = |input: &str| {
        let cells = [
            ("tag", "D-1"),
            ("rated_power_hp", "40"),
            ("full_load_current_a", "50"),
            ("voltage_v", "480"),
            ("phases", "3"),
            ("starting_method", "drive"),
            ("drive_input_current_a", input),
            ("cable_length_ft", "100"),
        ];
        let circuit = size_with(&row(&cells), &nec_basis()).0;
        let check = circuit.checks.iter().find(|check| check.name == "disconnect-rating").expect("it is checked");
        (check.value.expect("a current"), check.reference.clone())
    };
    for (input, amperes) in [("50", 57.5), ("51", 58.65), ("52", 59.8)] {
        let (value, clause) = asked(input);
        assert!((value - amperes).abs() < 1e-6 && clause.contains("430.128"), "{input}: {value} A by {clause}");
    }
}

/// 430.83(A)(1): a controller has the horsepower of its motor at the motor's voltage. Thin air lowers the voltage for which it is made; it
/// does not give it the horsepower of a higher one.
#[test]
fn a_starter_by_hand_has_no_more_horsepower_high_up() {
    let of = |altitude: f64| {
        let mut basis = nec_basis();
        basis.design.altitude_m = Some(altitude);
        let cells = [
            ("tag", "M-1"),
            ("rated_power_hp", "7.5"),
            ("full_load_current_a", "9.9"),
            ("voltage_v", "480"),
            ("phases", "3"),
            ("starting_method", "manual"),
            ("cable_length_ft", "100"),
        ];
        let circuit = size_with(&row(&cells), &basis).0;
        let check = circuit.checks.iter().find(|check| check.name == "contactor-horsepower").cloned();
        (check.and_then(|check| check.limit), circuit.overload.map(|overload| overload.part))
    };
    let (at_sea, high_up) = (of(0.0), of(3000.0));
    // `overload_relays.csv` of the range: GEN-MS-16 has 10 hp at 460 V, GEN-MS-10 before it 5 hp.
    assert_eq!(at_sea.0, Some(10.0));
    assert!(high_up.0.is_none_or(|horsepower| horsepower >= 10.0) && high_up.1 == at_sea.1, "{high_up:?}");
}

/// A motor of 20 hp and 26 A of that duty.
fn of_duty(duty: &str) -> Circuit {
    let cells = [
        ("tag", "P-1"),
        ("rated_power_hp", "20"),
        ("full_load_current_a", "26"),
        ("voltage_v", "480"),
        ("phases", "3"),
        ("starting_method", "direct"),
        ("duty", duty),
        ("cable_length_ft", "100"),
    ];
    size_with(&row(&cells), &nec_basis()).0
}

/// Table 430.22(E): short-time duty, rated 5 min, 110 % of the nameplate; between 5 and 15 min 120 %: 26 A · 1.2 = 31.2 A.
#[test]
fn minutes_of_a_duty_are_read_with_a_comma_too() {
    let need = |duty: &str| of_duty(duty).runs[0].required_a;
    assert!((need("S2 7.5 min") - need("S2 7,5 min")).abs() < 1e-9);
    assert!((need("S2 7,5 min") - 31.2).abs() < 0.01 && (need("S2 5 min") - 28.6).abs() < 0.01, "{}", need("S2 5 min"));
}

/// IEC 60034-1, 4.2.6: in S6 to S8 the motor runs on between loads, so its conductors are those of continuous duty, 125 % of 27 A (430.22,
/// 430.33); the word of Table 430.22(E) has 95 % of 26 A for 30 minutes. A word that names no duty is told.
#[test]
fn a_duty_is_one_for_contactors_and_conductors() {
    let of = |duty: &str| {
        let circuit = of_duty(duty);
        let told = codes(&circuit).contains(&"L341");
        (circuit.contactors[0].part.clone(), circuit.runs[0].required_a, told)
    };
    assert_eq!(of("periodic 30 min").0, of("S6 30 min").0);
    assert!((of("S6 30 min").1 - 33.75).abs() < 1e-9 && (of("periodic 30 min").1 - 24.7).abs() < 1e-9);
    assert_eq!(of("varying 30 min"), of("S9 30 min"));
    assert!(of("around the clock").2 && !of("S1").2 && !of("continuous").2);
    assert_eq!(of("around the clock").1, of("S1").1);
}
