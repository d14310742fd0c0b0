//! Relays that trip too late or too soon, in designs that say nothing of it: the verifier reckons the start and the stalled motor itself.

use motorwright::design::Design;

const IEC: &str = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nfrequency_hz = 50\nearthing = \"TN-S\"\n\
                   prospective_fault_ka = 20\nprospective_fault_min_ka = 10\n";

/// The verifier says V303 in these words; that a part has no such class it says too.
fn says(design: &Design, words: &str) -> bool {
    super::tried(design).iter().any(|said| said.starts_with("V303") && said.contains(words))
}

/// IEC 60079-14: within tE, at the starting current over the setting. Class 10 at 7 times trips after 373 s · ln(49 / 48) = 7.69 s, with
/// 20 % 9.23 s; class 20 after twice that.
#[test]
fn a_relay_that_trips_later_than_te_is_found() {
    let text = "tag,board,load_kind,rated_power_kw,voltage_v,full_load_current_a,locked_rotor_ratio,starting_method,start_time_s,te_s,\
                protection_kind,cable_length_m\nP-1,MCC,motor,7.5,400,15,7,direct,2,10,gG,20\n";
    let mut design = super::common::design_of(text, IEC);
    assert!(!says(&design, "time tE"), "{:?}", super::tried(&design));
    let circuit = &mut design.circuits[0];
    circuit.overloads.iter_mut().chain(circuit.overload.as_mut()).for_each(|overload| overload.trip_class = "20".to_owned());
    circuit.checks.iter_mut().filter(|check| check.name == "trip-within-te").for_each(|check| check.passed = Some(true));
    assert!(says(&design, "time tE"), "{:?}", super::tried(&design));
    let circuit = &mut design.circuits[0];
    circuit.overloads.iter_mut().chain(circuit.overload.as_mut()).for_each(|overload| overload.trip_class = "10".to_owned());
    assert!(!says(&design, "time tE"), "{:?}", super::tried(&design));
    design.circuits[0].checks.retain(|check| check.name != "trip-within-te");
    assert!(says(&design, "time tE"), "a check that nobody made");
}

/// A release is set to the nameplate, whatever the guide table reckons for the line (IEC 60947-4-1, Annex G: 1.1 A for 0.37 kW): 0.76 A lie
/// between 0.63 A and 1 A.
#[test]
fn a_release_for_the_nameplate_below_the_guide_table_is_accepted() {
    let text = "tag,board,load_kind,rated_power_kw,voltage_v,full_load_current_a,locked_rotor_ratio,starting_method,start_time_s,\
                protection_kind,cable_length_m\nP-1,MCC,motor,0.37,400,0.76,5,direct,2,motor-breaker,20\n\
                P-2,MCC,motor,3,400,4.6,6,manual,2,motor-breaker,20\n";
    let design = super::common::design_of(text, &format!("{IEC}[design]\ncurrent_source = \"table\"\n"));
    assert!(design.circuits.iter().all(|circuit| circuit.protection.is_some()));
    assert!(super::tried(&design).is_empty(), "{:?}", super::tried(&design));
}

/// A start of 10 s at full voltage lasts longer at reduced voltage (circuit theory): class 10A does not let it pass, and who puts it
/// there is told, whatever the method.
#[test]
fn a_class_that_is_too_quick_for_a_reduced_start_is_found() {
    let methods = [
        ("star-delta", "10", "1"),
        ("autotransformer", "10", "1"),
        ("part-winding", "10", "1"),
        ("reactor", "10", "1"),
        // 2.8 times for 20 s; of one motor a soft starter sees the overload itself.
        ("rotor-resistance", "20", "1"),
        ("soft-starter", "10", "2"),
    ];
    let row = |(method, lasts, motors): &(&str, &str, &str)| {
        format!("P-{method},MCC,motor,37,400,68,6,{method},{lasts},400/690,50,600,gG,20,{motors}\n")
    };
    let rows: String = methods.iter().map(row).collect();
    let head = "tag,board,load_kind,rated_power_kw,voltage_v,full_load_current_a,locked_rotor_ratio,starting_method,start_time_s,motor_voltages,\
                rotor_current_a,rotor_voltage_v,protection_kind,cable_length_m,motors_per_starter\n";
    let text = format!("{head}{rows}");
    let design = super::common::design_of(&text, IEC);
    assert!(!says(&design, "the start lasts"), "{:?}", super::tried(&design));
    for (index, (method, ..)) in methods.iter().enumerate() {
        let mut design = design.clone();
        let circuit = &mut design.circuits[index];
        assert!(
            circuit.overloads.iter().any(|overload| overload.kind != "in-soft-starter" && !overload.part.is_empty()),
            "{method}"
        );
        circuit.overloads.iter_mut().chain(circuit.overload.as_mut()).for_each(|overload| overload.trip_class = "10A".to_owned());
        circuit.checks.iter_mut().filter(|check| check.name == "trip-class-at-start").for_each(|check| check.passed = Some(true));
        assert!(says(&design, "the start lasts"), "{method}: {:?}", super::tried(&design));
    }
}

/// The relay within a soft starter takes the class that the start asks for. A start of 10 s at full voltage lasts, limited to 4 times where
/// a direct one draws 6, 6² / 4² as long at the least (circuit theory), 22.5 s; class 10A trips at 4 times from cold within some 18 s.
#[test]
fn a_class_in_a_soft_starter_that_is_too_quick_is_found() {
    let text = "tag,board,load_kind,rated_power_kw,voltage_v,full_load_current_a,locked_rotor_ratio,starting_method,start_time_s,\
                start_current_limit,protection_kind,cable_length_m\nP-1,MCC,motor,37,400,68,6,soft-starter,10,4,gG,20\n";
    let mut design = super::common::design_of(text, &format!("{IEC}[[board]]\nname = \"MCC\"\ndevice_ambient_c = 35\n"));
    assert!(!says(&design, "the start lasts"), "{:?}", super::tried(&design));
    let circuit = &mut design.circuits[0];
    assert!(circuit.overloads.iter().any(|overload| overload.kind == "in-soft-starter"), "{:?}", circuit.overloads);
    circuit.overloads.iter_mut().chain(circuit.overload.as_mut()).for_each(|overload| overload.trip_class = "10A".to_owned());
    circuit.checks.iter_mut().filter(|check| check.name == "trip-class-at-start").for_each(|check| check.passed = Some(true));
    assert!(says(&design, "the start lasts"), "{:?}", super::tried(&design));
}
