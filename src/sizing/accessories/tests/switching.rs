//! Parts that limit, time and join contactors: suppressors, timers, links, bridges, shrouds, modules, partners of other rows.

use super::*;

#[rstest]
#[case::no_electronics(&[], None)]
#[case::beside_a_controller(&[("driven_by", "plc-output")], Some("varistor"))]
#[case::beside_a_drive(&[("starting_method", "drive")], Some("varistor"))]
#[case::beside_a_safety_relay(&[("emergency_stop", "category-0")], Some("varistor"))]
#[case::built_in(&[("driven_by", "plc-output"), ("control_voltage", "24 V DC")], None)]
fn suppressors_stand_where_electronics_need_them(#[case] changes: &[(&str, &str)], #[case] kind: Option<&str>) {
    let circuit = sized(changes);
    let found: Vec<&str> = of_kind(&circuit, "suppressor").map(|accessory| accessory.part.as_str()).collect();
    let parts = found
        .iter()
        .map(|part| catalogue::builtin("iec").accessories.iter().find(|accessory| accessory.part == *part).expect("a part"));
    let parts: Vec<_> = parts.collect();
    assert_eq!(parts.first().map(|part| part.variant.as_str()), kind);
    // A varistor of the wrong band overheats or does nothing.
    assert!(parts.iter().all(|part| part.suits_voltage(230.0, false)));
}

/// The range with no suppressor for direct current but diodes, and coils of frame 1 without their own.
fn diodes_only() -> Catalogue {
    let mut range = catalogue::builtin("iec").clone();
    range.accessories.retain(|accessory| accessory.kind != "suppressor" || accessory.variant == "diode");
    for contactor in &mut range.contactors {
        contactor.dc_suppression_built_in = false;
    }
    range
}

#[rstest]
#[case::alone(&[], false)]
#[case::reversing(&[("reversing", "yes")], true)]
#[case::star_delta(&[("starting_method", "star-delta")], true)]
#[case::two_speeds(&[("starting_method", "two-speed-separate")], true)]
#[case::emergency_stop(&[("emergency_stop", "category-0")], true)]
fn a_diode_never_delays_what_must_drop_out_quickly(#[case] changes: &[(&str, &str)], #[case] refused: bool) {
    let electronics = [("driven_by", "plc-output"), ("control_voltage", "24 V DC")];
    let changes: Vec<(&str, &str)> = changes.iter().chain(&electronics).copied().collect();
    let circuit = sized_from(&changes, &diodes_only());
    assert_eq!(has(&circuit, "C517"), refused);
    let diode = of_kind(&circuit, "suppressor").any(|accessory| accessory.part.starts_with("GEN-SD"));
    assert_eq!(diode, !refused);
    if diode {
        // 6 to 10 times (from memory): frame 1 drops out in 12 ms.
        assert!(of_kind(&circuit, "suppressor").all(|accessory| accessory.why.contains("120 ms")), "{circuit:?}");
    }
    // A diode short-circuits one half-wave of an alternating voltage.
    let changes: Vec<(&str, &str)> = changes
        .iter()
        .map(|change| if change.0 == "control_voltage" { ("control_voltage", "230 V AC") } else { *change })
        .collect();
    assert!(of_kind(&sized_from(&changes, &diodes_only()), "suppressor").all(|accessory| accessory.part.is_empty()));
}

/// The range with star-delta timers of one pause.
fn pausing(pause_ms: f64) -> Catalogue {
    let mut range = catalogue::builtin("iec").clone();
    for accessory in
        range.accessories.iter_mut().filter(|accessory| accessory.variant == "star-delta" && accessory.kind == "timer")
    {
        accessory.pause_ms = Some(pause_ms);
    }
    range
}

// 30 ms at the least, 50 to 150 ms usual: one handbook and one controller manual.
#[rstest]
#[case(20.0, false, false)]
#[case(40.0, true, true)]
#[case(50.0, true, false)]
#[case(150.0, true, false)]
#[case(200.0, true, true)]
fn the_changeover_pause_stays_within_its_bounds(#[case] pause: f64, #[case] passed: bool, #[case] said: bool) {
    let circuit = sized_from(&[("starting_method", "star-delta")], &pausing(pause));
    let check = circuit.checks.iter().find(|check| check.name == "changeover-pause").expect("the check is listed");
    assert_eq!((check.passed, has(&circuit, "C507")), (Some(passed), said));
}

#[test]
fn the_pause_outlasts_the_drop_out_of_the_star_contactor() {
    // Frame 5 drops out within 60 ms: 300 A in star-delta give it to line and delta, and star stands in the same frame.
    let changes = [("starting_method", "star-delta"), ("full_load_current_a", "400"), ("rated_power_kw", "220")];
    let circuit = sized(&changes);
    let frame = &circuit.contactors.iter().find(|contactor| contactor.role == "star").expect("a star contactor").frame;
    assert_eq!(frame, "5");
    assert!(of_kind(&circuit, "timer").all(|accessory| accessory.setting.contains("pause 100 ms")) && !has(&circuit, "C508"));
    assert!(has(&sized_from(&changes, &pausing(50.0)), "C508"), "where no timer pauses longer, it is said");
}

#[test]
fn an_unknown_pause_or_range_is_not_assumed() {
    let mut range = catalogue::builtin("iec").clone();
    for accessory in range.accessories.iter_mut().filter(|accessory| accessory.kind == "timer") {
        (accessory.pause_ms, accessory.set_min_s, accessory.set_max_s) = (None, None, None);
    }
    let circuit = sized_from(&[("starting_method", "star-delta")], &range);
    for name in ["changeover-pause", "timer-range"] {
        let check = circuit.checks.iter().find(|check| check.name == name).expect("the check is listed");
        assert!(check.passed.is_none() && check.not_checked_because.is_some());
    }
    assert_eq!(circuit.status, Status::NeedsDecision);
}

#[test]
fn set_times_lie_within_the_range_of_the_timer() {
    // Star time is three times the start time at full voltage, as the torque is a third.
    let star = |seconds: &str| sized(&[("starting_method", "star-delta"), ("start_time_s", seconds)]);
    let range =
        |circuit: &Circuit| circuit.checks.iter().find(|check| check.name == "timer-range").and_then(|check| check.passed);
    assert_eq!(range(&star("5")), Some(true));
    assert_eq!(range(&star("30")), Some(true), "90 s are within 100 s");
    assert_eq!(range(&star("40")), Some(false), "120 s are beyond 100 s");
    // On-delay relays of the range reach 600 s.
    let slip_ring = sized(&[("starting_method", "rotor-resistance"), ("rotor_current_a", "6"), ("start_time_s", "240")]);
    let timers: Vec<&str> = of_kind(&slip_ring, "timer").map(|accessory| accessory.setting.as_str()).collect();
    assert_eq!(timers, ["80 s"; 3], "three steps share 240 s");
    assert!(slip_ring.checks.iter().filter(|check| check.name == "timer-range").all(|check| check.passed == Some(true)));
}

// A motor that is switched from its high speed to the low one brakes hard, so the low one waits: common practice, no source. A timer
// at the front of a contactor is fed with its coil and could not run on.
#[rstest]
#[case::tapped_winding("two-speed-dahlander", "230 V AC")]
#[case::two_windings("two-speed-separate", "24 V DC")]
#[case::kind_unknown("two-speed", "110 V AC")]
fn the_low_speed_waits_until_the_motor_has_slowed_down(#[case] method: &str, #[case] voltage: &str) {
    for book in ["iec", "nec"] {
        let voltage = if book == "nec" && voltage.ends_with("AC") { "120 V AC" } else { voltage };
        let circuit = sized_by(book, &[("starting_method", method), ("control_voltage", voltage)]);
        let timers: Vec<_> = of_kind(&circuit, "timer").collect();
        let [timer] = timers.as_slice() else { panic!("{timers:?}") };
        let range = catalogue::builtin(book);
        let part = range.accessories.iter().find(|accessory| accessory.part == timer.part).expect("it is in the range");
        assert_eq!((part.variant.as_str(), timer.serves.as_str(), timer.setting.as_str()), ("off-delay", "high", "3 s"));
        assert_ne!(timer.position, "front");
        assert!(circuit.checks.iter().any(|check| check.name == "timer-range" && check.passed == Some(true)));
    }
    assert_eq!(of_kind(&sized(&[("reversing", "yes")]), "timer").count(), 0, "a mechanical interlock keeps directions apart");
}

#[test]
fn contactors_of_two_frames_are_wired_and_those_of_one_are_linked() {
    // A line contactor that is wanted from a larger frame: 5 beside 4 in the range. A slow class would ask for both.
    let motor = [
        ("starting_method", "star-delta"),
        ("rated_power_kw", "90"),
        ("full_load_current_a", "160"),
        ("efficiency_class", "IE3"),
        ("start_time_s", "2"),
    ];
    let wanted = [("line".to_owned(), "GEN-C5-250".to_owned())].into();
    let pins = Pins { contactors: wanted, ..Pins::default() };
    let apart = size_in(&row(&with(&motor)), &basis(), catalogue::builtin("iec"), &pins).0;
    let frame =
        |role: &str| apart.contactors.iter().find(|contactor| contactor.role == role).map(|contactor| contactor.frame.clone());
    assert_ne!(frame("line"), frame("delta"), "the case is one of two frames");
    assert!(has(&apart, "C520") && !has(&apart, "C502") && of_kind(&apart, "wiring-link").count() == 0);
    let alike = sized(&[("starting_method", "star-delta")]);
    assert!(!has(&alike, "C520") && of_kind(&alike, "wiring-link").count() == 1);
}

#[test]
fn line_is_never_joined_with_star_or_delta() {
    for (method, word) in Method::ALL {
        let circuit = sized(&[("starting_method", word), ("bypass", "yes"), ("rotor_current_a", "6")]);
        for accessory in of_kind(&circuit, "interlock") {
            let joined: Vec<&str> = accessory.serves.split(" and ").collect();
            assert!(joined.len() == 2 && !joined.contains(&"line"), "{method:?}: {}", accessory.serves);
        }
    }
}

#[test]
fn every_star_point_has_its_bridge() {
    for (method, role) in [("star-delta", "star"), ("two-speed-dahlander", "high-star"), ("autotransformer", "star-point")] {
        let circuit = sized(&[("starting_method", method)]);
        assert_eq!(
            of_kind(&circuit, "star-bridge").map(|accessory| accessory.serves.as_str()).collect::<Vec<_>>(),
            [role],
            "{method}"
        );
    }
    assert_eq!(of_kind(&sized(&[]), "star-bridge").count(), 0);
}

#[test]
fn shrouds_where_a_frame_is_not_finger_safe_else_barriers_of_lugs() {
    // Frame 1 is finger-safe by itself; frame 4 has lugs.
    let large = [("full_load_current_a", "98"), ("rated_power_kw", "55")];
    let kinds = |changes: &[(&str, &str)], wanted: bool| {
        let mut basis = basis();
        basis.design.finger_protection = Some(wanted);
        let circuit = size_with(&row(&with(changes)), &basis).0;
        ["shroud", "phase-barrier"].map(|kind| of_kind(&circuit, kind).count())
    };
    assert_eq!(kinds(&[], true), [0, 0]);
    assert_eq!(kinds(&large, true), [1, 0]);
    assert_eq!(kinds(&large, false), [0, 1]);
}

#[test]
fn a_connecting_module_suits_the_depth_of_the_coil() {
    let mut range = catalogue::builtin("iec").clone();
    for accessory in range.accessories.iter_mut().filter(|accessory| accessory.kind == "connecting-module") {
        accessory.dc = false;
    }
    assert_eq!(of_kind(&sized_from(&[], &range), "connecting-module").count(), 1);
    let direct_current = sized_from(&[("control_voltage", "24 V DC")], &range);
    assert_eq!((of_kind(&direct_current, "connecting-module").count(), has(&direct_current, "C503")), (0, true));
}

#[test]
fn a_partner_of_another_row_shares_frame_and_interlock() {
    let pins = |first: bool| Pins {
        frame: Some("2".to_owned()),
        partners: vec![Partner {
            tag: "P-2".to_owned(),
            tags: vec!["P-2".to_owned()],
            mechanical: true,
            elsewhere: false,
            first,
        }],
        ..Pins::default()
    };
    let of = |first| size_in(&row(&with(&[("interlock_with", "P-2")])), &basis(), catalogue::builtin("iec"), &pins(first)).0;
    let (first, second) = (of(true), of(false));
    for circuit in [&first, &second] {
        assert_eq!(circuit.contactors[0].frame, "2");
        assert_eq!(
            contacts(circuit, "main"),
            [vec!["seal-in".to_owned()], vec!["interlock".to_owned()]],
            "once, named or naming"
        );
        assert_eq!(place(circuit, "interlock"), "GEN-IL2", "the interlock brings a contact for each side");
    }
    assert_eq!([&first, &second].map(|circuit| of_kind(circuit, "interlock").count()), [1, 0], "bought once");
}
