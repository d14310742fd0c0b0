//! Contacts, suppressors, interlocks, timers and links on rows. Facts of the trade are common practice, no source, unless a line
//! names one; built-in contacts, places and drop-out times are those of the invented range.

use proptest::prelude::*;
use rstest::rstest;

use crate::basis::Basis;
use crate::catalogue::{self, Catalogue};
use crate::design::{Accessory, Circuit, Status};
use crate::load::Method;
use crate::sizing::testing::{basis, row, size, size_in, size_with};
use crate::sizing::{Partner, Pins};

const MOTOR: &[(&str, &str)] = &[
    ("tag", "P-1"),
    ("rated_power_kw", "4"),
    ("full_load_current_a", "8.1"),
    ("full_load_current_low_a", "5"),
    ("efficiency_pct", "88.6"),
    ("power_factor", "0.82"),
    ("locked_rotor_ratio", "7"),
    ("start_time_s", "2"),
    ("motor_voltages", "400/690"),
    ("starting_method", "direct"),
    ("cable_length_m", "30"),
];

/// The motor with some cells put in place of its own, or added.
fn with<'a>(changes: &[(&'a str, &'a str)]) -> Vec<(&'a str, &'a str)> {
    let mut cells: Vec<(&str, &str)> =
        MOTOR.iter().copied().filter(|(name, _)| !changes.iter().any(|(own, _)| own == name)).collect();
    cells.extend(changes);
    cells
}

fn sized(changes: &[(&str, &str)]) -> Circuit {
    size(&with(changes))
}

fn sized_from(changes: &[(&str, &str)], range: &Catalogue) -> Circuit {
    size_in(&row(&with(changes)), &basis(), range, &Pins::default()).0
}

/// The basis of an NEC project.
fn nec() -> Basis {
    let mut basis = basis();
    basis.rules.book = Some("nec".to_owned());
    basis.supply.voltage_v = Some(480.0);
    basis.supply.frequency_hz = Some(60.0);
    basis.supply.system = Some("480Y/277 4W solidly grounded".to_owned());
    basis
}

/// The same motor under either book: 5 hp at 460 V under the NEC.
fn sized_by(book: &str, changes: &[(&str, &str)]) -> Circuit {
    if book == "iec" {
        return sized(changes);
    }
    const CUSTOMARY: &[(&str, &str)] = &[("voltage_v", "460"), ("motor_voltages", "460/796"), ("rated_power_hp", "5")];
    let mut cells = with(&[CUSTOMARY, changes].concat());
    cells.retain(|(name, _)| *name != "rated_power_kw");
    size_with(&row(&cells), &nec()).0
}

fn has(circuit: &Circuit, code: &str) -> bool {
    circuit.findings.iter().any(|finding| finding.code == code)
}

fn of_kind<'c>(circuit: &'c Circuit, kind: &'c str) -> impl Iterator<Item = &'c Accessory> {
    circuit.accessories.iter().filter(move |own| own.kind == kind)
}

/// Functions of the contacts of a role, normally open and normally closed.
fn contacts(circuit: &Circuit, role: &str) -> [Vec<String>; 2] {
    ["no", "nc"].map(|kind| {
        let own = circuit.auxiliary_contacts.iter().filter(|own| own.role == role && own.kind == kind);
        own.map(|own| own.function.clone()).collect()
    })
}

fn place<'c>(circuit: &'c Circuit, function: &str) -> &'c str {
    &circuit.auxiliary_contacts.iter().find(|own| own.function == function).unwrap_or_else(|| panic!("no {function}")).place
}

// The trade's table of contacts a starter needs: direct with three wires 1 NO; with a running signal 2 NO; reversing each 1 NO and
// 1 NC; star-delta line 1 NO, star 1 NO and 1 NC, delta 1 NC; each line contactor of two speeds 1 NO and 1 NC; monitored 1 NC.
#[rstest]
#[case::two_wires(&[("control_wires", "two")], "main", &[], &[])]
#[case::three_wires(&[], "main", &["seal-in"], &[])]
#[case::running_lamp(&[("indicators", "running")], "main", &["seal-in", "running lamp"], &[])]
#[case::forward(&[("reversing", "yes")], "forward", &["seal-in"], &["interlock"])]
#[case::reverse(&[("reversing", "yes")], "reverse", &["seal-in"], &["interlock"])]
#[case::line(&[("starting_method", "star-delta")], "line", &["seal-in"], &[])]
#[case::star(&[("starting_method", "star-delta")], "star", &["sequence"], &["interlock"])]
#[case::delta(&[("starting_method", "star-delta")], "delta", &[], &["interlock"])]
#[case::low(&[("starting_method", "two-speed-separate")], "low", &["seal-in"], &["interlock"])]
#[case::high(&[("starting_method", "two-speed-separate")], "high", &["seal-in"], &["interlock"])]
#[case::tapped_low(&[("starting_method", "two-speed-dahlander")], "low", &["seal-in"], &["interlock", "interlock"])]
#[case::tapped_star(&[("starting_method", "two-speed-dahlander")], "high-star", &["sequence"], &["interlock"])]
#[case::monitored(&[("safety_level", "category 2")], "main", &["seal-in"], &["safety feedback"])]
#[case::two_channels(&[("safety_level", "PL d")], "safety", &[], &["safety feedback"])]
#[case::controller(&[("driven_by", "plc-output"), ("control_voltage", "24 V DC")], "main", &["feedback"], &[])]
#[case::asked(&[("aux_no", "1"), ("aux_nc", "2")], "main", &["seal-in", "asked for"], &["asked for", "asked for"])]
#[case::slip_ring(&[("starting_method", "rotor-resistance"), ("rotor_current_a", "6")], "rotor-2", &[], &["start permissive"])]
#[case::drive_output(&[("starting_method", "drive"), ("bypass", "yes")], "output", &["enable"], &["interlock"])]
fn each_role_gets_the_contacts_of_its_functions(
    #[case] changes: &[(&str, &str)],
    #[case] role: &str,
    #[case] open: &[&str],
    #[case] closed: &[&str],
) {
    assert_eq!(
        contacts(&sized(changes), role),
        [open, closed].map(|own| own.iter().map(|own| (*own).to_owned()).collect::<Vec<_>>())
    );
}

#[test]
fn contacts_for_electronic_levels_stand_only_where_they_are_asked_for() {
    // Standard contacts are for 17 V and 5 mA upward (trade figure): frame 1 has one, which seals in; the input needs its own kind.
    let circuit = sized(&[("feedback_level", "logic")]);
    assert_eq!(place(&circuit, "seal-in"), "built-in");
    let block = of_kind(&circuit, "auxiliary-block").next().expect("a block");
    assert_eq!((place(&circuit, "feedback"), block.low_level), (block.part.as_str(), true));
    assert!(of_kind(&sized(&[("feedback_level", "24 V")]), "auxiliary-block").all(|own| !own.low_level));
}

#[test]
fn a_monitored_contact_is_a_mirror_contact() {
    // IEC 60947-4-1 Annex F. Contacts built into frame 1 of the range are none, those of frame 2 are.
    for (amperes, power) in [("8.1", "4"), ("20", "11")] {
        let circuit = sized(&[("safety_level", "PL e"), ("full_load_current_a", amperes), ("rated_power_kw", power)]);
        let own: Vec<_> = circuit.auxiliary_contacts.iter().filter(|own| own.function == "safety feedback").collect();
        assert_eq!(own.len(), 2, "both channels");
        assert!(own.iter().all(|own| own.mirror && own.level == "24 V" && !own.place.is_empty()), "{own:?}");
        let built_in = own.iter().filter(|own| own.place == "built-in").count();
        assert_eq!(built_in, if power == "4" { 0 } else { 2 });
    }
}

// One handbook: a contact that is one of several in series in a loop of 24 V is not sure enough. Two in series are common practice,
// no source; from three on contacts for electronic levels are taken, mirror contacts still.
#[rstest]
#[case::two(&[], 2, "24 V")]
#[case::three(&[("reversing", "yes")], 3, "logic")]
#[case::star_delta_has_one_command(&[("starting_method", "star-delta")], 2, "24 V")]
#[case::two_speeds(&[("starting_method", "two-speed-separate")], 3, "logic")]
fn many_contacts_in_a_feedback_loop_are_made_for_its_level(
    #[case] changes: &[(&str, &str)],
    #[case] number: usize,
    #[case] level: &str,
) {
    for book in ["iec", "nec"] {
        let circuit = sized_by(book, &[changes, &[("safety_level", "PL d")]].concat());
        let range = catalogue::builtin(book);
        let own: Vec<_> = circuit.auxiliary_contacts.iter().filter(|own| own.function == "safety feedback").collect();
        assert_eq!(own.len(), number);
        assert!(own.iter().all(|own| own.level == level && own.mirror && own.kind == "nc" && !own.place.is_empty()), "{own:?}");
        let block = |part: &str| range.accessories.iter().find(|own| own.part == part);
        assert!(own.iter().all(|own| block(&own.place).is_none_or(|block| block.low_level == (level == "logic"))), "{own:?}");
    }
}

#[test]
fn a_monitored_contactor_has_a_relay_that_looks_at_it() {
    // One of the two, by others: the relay of the emergency stop looks at the contactors too.
    let by_others = |changes: &[(&str, &str)]| {
        let circuit = sized(changes);
        let own = circuit.parts.iter().filter(|own| own.by_others).map(|own| own.description.clone());
        own.collect::<Vec<_>>()
    };
    assert_eq!(by_others(&[("safety_level", "PL d")]), ["safety relay that monitors the contactors"]);
    assert_eq!(by_others(&[("safety_level", "category 2")]).len(), 1);
    assert!(by_others(&[("safety_level", "PL b")]).is_empty());
    let both = by_others(&[("safety_level", "PL d"), ("emergency_stop", "category-0")]);
    assert_eq!(both, ["emergency-stop device and safety relay, stop category 0"]);
}

#[test]
fn an_early_break_contact_disables_the_drive_before_its_output_opens() {
    let circuit = sized(&[("starting_method", "drive"), ("bypass", "yes")]);
    let part = place(&circuit, "enable");
    let own = catalogue::builtin("iec").accessories.iter().find(|own| own.part == part).expect("it is in the range");
    assert_eq!(own.early_break, Some(true));
    // And nothing else sits on such a contact.
    assert!(circuit.auxiliary_contacts.iter().all(|own| own.function == "enable" || own.place != part));
}

#[test]
fn the_front_goes_to_the_timer_or_to_the_contacts_whichever_needs_fewer_parts() {
    // Frame 1: one built-in NO, which seals in. Two more fit one block at a side beside the front timer; three more need two blocks
    // there, but one at the front beside a timer relay that stands apart.
    let star = |count: &str| sized(&[("starting_method", "star-delta"), ("aux_no", count)]);
    let timer = |circuit: &Circuit| of_kind(circuit, "timer").next().expect("a timer").position.clone();
    let blocks = |circuit: &Circuit| {
        let of_line = of_kind(circuit, "auxiliary-block").filter(|own| own.serves == "line");
        of_line.map(|own| (own.position.clone(), own.quantity)).collect::<Vec<_>>()
    };
    let two = star("2");
    assert_eq!((timer(&two).as_str(), blocks(&two)), ("front", vec![("side".to_owned(), 1)]));
    let three = star("3");
    assert_eq!((timer(&three).as_str(), blocks(&three)), ("", vec![("front".to_owned(), 1)]));
}

#[test]
fn what_the_frame_does_not_take_is_said_and_the_rest_is_sized() {
    // Frame 1 takes four contacts beside its own one.
    let fits = sized(&[("aux_no", "4")]);
    assert!(!has(&fits, "C501"));
    let circuit = sized(&[("aux_no", "5")]);
    assert!(has(&circuit, "C501"));
    let check = circuit.checks.iter().find(|own| own.name == "auxiliary-places").expect("the check is listed");
    assert_eq!((check.passed, check.value, check.limit), (Some(false), Some(6.0), Some(5.0)));
    assert_eq!(place(&circuit, "seal-in"), "built-in", "what makes the circuit work comes first");
    assert_eq!(circuit.status, Status::NeedsDecision);
    assert_eq!(circuit.contactors[0].part, fits.contactors[0].part, "no larger frame for its contacts");
}

#[test]
fn a_coil_for_direct_current_carries_few_normally_closed_contacts() {
    // Frame 1 of the range declares two with its 3 W coil: low-power magnets have little force to spare.
    let of = |voltage: &str| sized(&[("aux_nc", "3"), ("control_voltage", voltage)]);
    let placed =
        |circuit: &Circuit| circuit.auxiliary_contacts.iter().filter(|own| own.kind == "nc" && !own.place.is_empty()).count();
    assert_eq!((placed(&of("230 V AC")), has(&of("230 V AC"), "C501")), (3, false));
    assert_eq!((placed(&of("24 V DC")), has(&of("24 V DC"), "C501")), (2, true));
}

#[test]
fn an_interlock_takes_the_side_that_faces_its_partner() {
    // Frame 1: front four, two sides of two; five contacts asked would need two sides beside the front, but four is the most.
    let mut range = catalogue::builtin("iec").clone();
    for own in range.contactors.iter_mut().filter(|own| own.frame == "1") {
        (own.aux_places, own.front_place) = (8, false);
    }
    // Without a front there are two sides; one is taken by the interlock, whose own contact serves the electrical interlock.
    let changes = |count| [("reversing", "yes"), ("aux_no", count)];
    assert!(!has(&sized_from(&changes("2"), &range), "C501"), "built-in seals in, one side takes two");
    let circuit = sized_from(&changes("3"), &range);
    assert!(has(&circuit, "C501"));
    assert!(circuit.findings.iter().any(|own| own.code == "C501" && own.why.contains("interlock")));
    let interlock = of_kind(&circuit, "interlock").next().expect("an interlock");
    assert_eq!(place(&circuit, "interlock"), interlock.part);
}

#[rstest]
#[case::no_electronics(&[], None)]
#[case::beside_a_controller(&[("driven_by", "plc-output")], Some("varistor"))]
#[case::beside_a_drive(&[("starting_method", "drive")], Some("varistor"))]
#[case::beside_a_safety_relay(&[("emergency_stop", "category-0")], Some("varistor"))]
#[case::built_in(&[("driven_by", "plc-output"), ("control_voltage", "24 V DC")], None)]
fn suppressors_stand_where_electronics_need_them(#[case] changes: &[(&str, &str)], #[case] kind: Option<&str>) {
    let circuit = sized(changes);
    let found: Vec<&str> = of_kind(&circuit, "suppressor").map(|own| own.part.as_str()).collect();
    let parts =
        found.iter().map(|part| catalogue::builtin("iec").accessories.iter().find(|own| own.part == *part).expect("a part"));
    let parts: Vec<_> = parts.collect();
    assert_eq!(parts.first().map(|own| own.variant.as_str()), kind);
    // A varistor of the wrong band overheats or does nothing.
    assert!(parts.iter().all(|own| own.suits_voltage(230.0, false)));
}

/// The range with no suppressor for direct current but diodes, and coils of frame 1 without their own.
fn diodes_only() -> Catalogue {
    let mut range = catalogue::builtin("iec").clone();
    range.accessories.retain(|own| own.kind != "suppressor" || own.variant == "diode");
    for own in &mut range.contactors {
        own.dc_suppression_built_in = false;
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
    let diode = of_kind(&circuit, "suppressor").any(|own| own.part.starts_with("GEN-SD"));
    assert_eq!(diode, !refused);
    if diode {
        // 6 to 10 times (from memory): frame 1 drops out in 12 ms.
        assert!(of_kind(&circuit, "suppressor").all(|own| own.why.contains("120 ms")), "{circuit:?}");
    }
    // A diode short-circuits one half-wave of an alternating voltage.
    let changes: Vec<(&str, &str)> =
        changes.iter().map(|own| if own.0 == "control_voltage" { ("control_voltage", "230 V AC") } else { *own }).collect();
    assert!(of_kind(&sized_from(&changes, &diodes_only()), "suppressor").all(|own| own.part.is_empty()));
}

/// The range with star-delta timers of one pause.
fn pausing(pause_ms: f64) -> Catalogue {
    let mut range = catalogue::builtin("iec").clone();
    for own in range.accessories.iter_mut().filter(|own| own.variant == "star-delta" && own.kind == "timer") {
        own.pause_ms = Some(pause_ms);
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
    let check = circuit.checks.iter().find(|own| own.name == "changeover-pause").expect("the check is listed");
    assert_eq!((check.passed, has(&circuit, "C507")), (Some(passed), said));
}

#[test]
fn the_pause_outlasts_the_drop_out_of_the_star_contactor() {
    // Frame 5 drops out within 60 ms: 300 A in star-delta give it to line and delta, and star stands in the same frame.
    let changes = [("starting_method", "star-delta"), ("full_load_current_a", "400"), ("rated_power_kw", "220")];
    let circuit = sized(&changes);
    let frame = &circuit.contactors.iter().find(|own| own.role == "star").expect("a star contactor").frame;
    assert_eq!(frame, "5");
    assert!(of_kind(&circuit, "timer").all(|own| own.setting.contains("pause 100 ms")) && !has(&circuit, "C508"));
    assert!(has(&sized_from(&changes, &pausing(50.0)), "C508"), "where no timer pauses longer, it is said");
}

#[test]
fn an_unknown_pause_or_range_is_not_assumed() {
    let mut range = catalogue::builtin("iec").clone();
    for own in range.accessories.iter_mut().filter(|own| own.kind == "timer") {
        (own.pause_ms, own.set_min_s, own.set_max_s) = (None, None, None);
    }
    let circuit = sized_from(&[("starting_method", "star-delta")], &range);
    for name in ["changeover-pause", "timer-range"] {
        let check = circuit.checks.iter().find(|own| own.name == name).expect("the check is listed");
        assert!(check.passed.is_none() && check.not_checked_because.is_some());
    }
    assert_eq!(circuit.status, Status::NeedsDecision);
}

#[test]
fn set_times_lie_within_the_range_of_the_timer() {
    // Star time is three times the start time at full voltage, as the torque is a third.
    let star = |seconds: &str| sized(&[("starting_method", "star-delta"), ("start_time_s", seconds)]);
    let range = |circuit: &Circuit| circuit.checks.iter().find(|own| own.name == "timer-range").and_then(|own| own.passed);
    assert_eq!(range(&star("5")), Some(true));
    assert_eq!(range(&star("25")), Some(false), "75 s are beyond 60 s");
    // On-delay relays of the range reach 600 s.
    let slip_ring = sized(&[("starting_method", "rotor-resistance"), ("rotor_current_a", "6"), ("start_time_s", "240")]);
    let timers: Vec<&str> = of_kind(&slip_ring, "timer").map(|own| own.setting.as_str()).collect();
    assert_eq!(timers, ["80 s"; 3], "three steps share 240 s");
    assert!(slip_ring.checks.iter().filter(|own| own.name == "timer-range").all(|own| own.passed == Some(true)));
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
        let part = range.accessories.iter().find(|own| own.part == timer.part).expect("it is in the range");
        assert_eq!((part.variant.as_str(), timer.serves.as_str(), timer.setting.as_str()), ("off-delay", "high", "3 s"));
        assert_ne!(timer.position, "front");
        assert!(circuit.checks.iter().any(|own| own.name == "timer-range" && own.passed == Some(true)));
    }
    assert_eq!(of_kind(&sized(&[("reversing", "yes")]), "timer").count(), 0, "a mechanical interlock keeps directions apart");
}

#[test]
fn contactors_of_two_frames_are_wired_and_those_of_one_are_linked() {
    // A slow class asks for a larger line contactor alone: frame 5 beside frame 4 in the range.
    let long = [
        ("starting_method", "star-delta"),
        ("rated_power_kw", "90"),
        ("full_load_current_a", "160"),
        ("efficiency_class", "IE3"),
        ("start_time_s", "8"),
    ];
    let apart = sized(&long);
    let frame = |role: &str| apart.contactors.iter().find(|own| own.role == role).map(|own| own.frame.clone());
    assert_ne!(frame("line"), frame("delta"), "the case is one of two frames");
    assert!(has(&apart, "C520") && !has(&apart, "C502") && of_kind(&apart, "wiring-link").count() == 0);
    let alike = sized(&[("starting_method", "star-delta")]);
    assert!(!has(&alike, "C520") && of_kind(&alike, "wiring-link").count() == 1);
}

#[test]
fn line_is_never_joined_with_star_or_delta() {
    for (method, word) in Method::ALL {
        let circuit = sized(&[("starting_method", word), ("bypass", "yes"), ("rotor_current_a", "6")]);
        for own in of_kind(&circuit, "interlock") {
            let joined: Vec<&str> = own.serves.split(" and ").collect();
            assert!(joined.len() == 2 && !joined.contains(&"line"), "{method:?}: {}", own.serves);
        }
    }
}

#[test]
fn every_star_point_has_its_bridge() {
    for (method, role) in [("star-delta", "star"), ("two-speed-dahlander", "high-star"), ("autotransformer", "star-point")] {
        let circuit = sized(&[("starting_method", method)]);
        assert_eq!(of_kind(&circuit, "star-bridge").map(|own| own.serves.as_str()).collect::<Vec<_>>(), [role], "{method}");
    }
    assert_eq!(of_kind(&sized(&[]), "star-bridge").count(), 0);
}

#[test]
fn shrouds_where_a_frame_is_not_finger_safe_else_barriers_of_lugs() {
    // Frame 1 is finger-safe by itself; frame 4 has lugs.
    let large = [("full_load_current_a", "98"), ("rated_power_kw", "55")];
    let kinds = |changes: &[(&str, &str)], wanted: bool| {
        let mut own = basis();
        own.design.finger_protection = Some(wanted);
        let circuit = size_with(&row(&with(changes)), &own).0;
        ["shroud", "phase-barrier"].map(|kind| of_kind(&circuit, kind).count())
    };
    assert_eq!(kinds(&[], true), [0, 0]);
    assert_eq!(kinds(&large, true), [1, 0]);
    assert_eq!(kinds(&large, false), [0, 1]);
}

#[test]
fn a_connecting_module_suits_the_depth_of_the_coil() {
    let mut range = catalogue::builtin("iec").clone();
    for own in range.accessories.iter_mut().filter(|own| own.kind == "connecting-module") {
        own.dc = false;
    }
    assert_eq!(of_kind(&sized_from(&[], &range), "connecting-module").count(), 1);
    let direct_current = sized_from(&[("control_voltage", "24 V DC")], &range);
    assert_eq!((of_kind(&direct_current, "connecting-module").count(), has(&direct_current, "C503")), (0, true));
}

#[rstest]
#[case::station("control_station", "joystick")]
#[case::indicators("indicators", "running, disco lights")]
#[case::thermistor("thermistor", "maybe")]
#[case::safety("safety_level", "very safe")]
fn a_word_that_nobody_knows_is_said_at_its_cell(#[case] column: &'static str, #[case] text: &'static str) {
    let circuit = sized(&[(column, text)]);
    let found = circuit.findings.iter().find(|own| own.code == "C504").expect("it is said");
    assert_eq!(found.place.as_ref().and_then(|own| own.heading.as_deref()), Some(column));
    assert_ne!(circuit.status, Status::Sized);
}

#[rstest]
#[case::momentary("start-stop", true)]
#[case::selector("Hand/Off/Auto", false)]
#[case::selector_with_buttons("local-off-remote, start/stop", true)]
#[case::maintained("on-off", false)]
fn the_station_tells_two_wires_from_three(#[case] station: &'static str, #[case] sealed: bool) {
    let circuit = sized(&[("control_station", station)]);
    assert_eq!(circuit.auxiliary_contacts.iter().any(|own| own.function == "seal-in"), sealed);
    assert!(of_kind(&circuit, "station").all(|own| !own.part.is_empty()));
    assert_eq!(of_kind(&circuit, "station").count(), station.split(',').count());
    let other = if sealed { "two" } else { "three" };
    assert!(has(&sized(&[("control_station", station), ("control_wires", other)]), "C516"));
}

#[test]
fn lamps_and_meters_bring_their_contacts_and_parts() {
    let circuit = sized(&[("reversing", "yes"), ("indicators", "running, stopped, tripped; ammeter + hour meter")]);
    let pieces =
        |why: &str| of_kind(&circuit, "indicator").filter(|own| own.why.contains(why)).map(|own| own.quantity).sum::<u32>();
    assert_eq!([pieces("running"), pieces("stopped"), pieces("tripped")], [2, 1, 1], "a lamp for each direction");
    assert_eq!([pieces("current"), pieces("hours")], [1, 1]);
    assert_eq!(
        of_kind(&circuit, "indicator").find(|own| own.why.contains("current")).map(|own| own.part.as_str()),
        Some("GEN-AM-10")
    );
    assert_eq!(contacts(&circuit, "reverse")[0], ["seal-in", "running lamp", "hour meter"]);
    // The breaker tells of its trip through a block; a relay does so by its own contact 97-98.
    assert_eq!(of_kind(&circuit, "signal-block").count(), 1);
    let fuses = sized(&[("indicators", "trip"), ("protection_kind", "gG")]);
    assert_eq!((of_kind(&fuses, "signal-block").count(), has(&fuses, "C506")), (0, false));
    let heater = size(&[
        ("tag", "H-1"),
        ("load_kind", "heater"),
        ("rated_power_kw", "6"),
        ("cable_length_m", "20"),
        ("indicators", "trip"),
        ("protection_kind", "gG"),
    ]);
    assert!(has(&heater, "C506"));
}

#[rstest]
#[case::hand_operated(&[("starting_method", "manual"), ("indicators", "running")])]
#[case::by_others(&[("starting_method", "by-others"), ("aux_no", "1")])]
fn a_contact_that_nothing_can_give_is_said(#[case] changes: &[(&str, &str)]) {
    let circuit = sized(changes);
    assert!(has(&circuit, "C505") && circuit.status != Status::Sized);
}

#[rstest]
#[case::no("no", 0)]
#[case::some("PTC", 1)]
#[case::three("3", 1)]
#[case::six("6 x PTC", 1)]
#[case::seven("7", 2)]
fn a_loop_holds_six_thermistors(#[case] text: &'static str, #[case] relays: u32) {
    // At most six sensors in series: two relay data sheets.
    let circuit = sized(&[("thermistor", text)]);
    assert_eq!(of_kind(&circuit, "thermistor-relay").map(|own| own.quantity).sum::<u32>(), relays);
    assert!(!has(&circuit, "L406"), "it is used");
}

#[test]
fn an_undervoltage_release_belongs_to_a_breaker_of_the_control_voltage() {
    let of = |changes: &[(&'static str, &'static str)]| {
        let all: Vec<_> = [("undervoltage_release", "yes")].iter().chain(changes).copied().collect();
        sized(&all)
    };
    let breaker = of(&[]);
    assert_eq!(of_kind(&breaker, "undervoltage-release").map(|own| own.part.as_str()).collect::<Vec<_>>(), ["GEN-UR-MB-A220"]);
    // A contactor that seals itself in stays out after a loss of voltage; a maintained contact closes it again.
    assert!(!has(&of(&[("protection_kind", "gG")]), "C513"));
    assert!(has(&of(&[("protection_kind", "gG"), ("control_wires", "two")]), "C513"));
}

#[test]
fn a_breaker_is_tripped_from_afar_by_one_release() {
    let of = |changes: &[(&'static str, &'static str)]| {
        let all: Vec<_> = [("control_station", "start-stop; remote trip")].iter().chain(changes).copied().collect();
        sized(&all)
    };
    let breaker = of(&[]);
    assert_eq!(of_kind(&breaker, "shunt-release").map(|own| own.part.as_str()).collect::<Vec<_>>(), ["GEN-SR-MB-A220"]);
    assert_eq!(of_kind(&breaker, "station").count(), 2);
    // Both releases take one place, and opening the supply of the undervoltage release trips as well: common practice, no source.
    let both = of(&[("undervoltage_release", "yes")]);
    assert_eq!(["shunt-release", "undervoltage-release"].map(|kind| of_kind(&both, kind).count()), [0, 1]);
    assert!(!has(&both, "C519") && has(&of(&[("protection_kind", "gG")]), "C519"));
}

#[test]
fn each_relay_is_reset_from_afar() {
    let of = |changes: &[(&'static str, &'static str)]| {
        let all: Vec<_> =
            [("control_station", "start-stop, reset"), ("protection_kind", "gG")].iter().chain(changes).copied().collect();
        sized(&all)
    };
    let serves = |circuit: &Circuit| of_kind(circuit, "remote-reset").map(|own| own.serves.clone()).collect::<Vec<_>>();
    assert_eq!(serves(&of(&[])), ["main"]);
    assert_eq!(serves(&of(&[("starting_method", "star-delta")])), ["line"]);
    // A drive has an input for it; the release of a motor-protective circuit-breaker is closed by hand.
    let drive = of(&[("starting_method", "drive")]);
    assert!(serves(&drive).is_empty() && !has(&drive, "C519"));
    let breaker = of(&[("protection_kind", "motor-breaker")]);
    assert!(serves(&breaker).is_empty() && has(&breaker, "C519"));
}

#[test]
fn an_emergency_stop_is_by_others() {
    let circuit = sized(&[("emergency_stop", "category-1")]);
    assert!(has(&circuit, "C512"));
    assert_eq!(circuit.parts.iter().filter(|own| own.by_others).count(), 1);
    assert!(!has(&sized(&[("emergency_stop", "none")]), "C512"));
}

#[test]
fn a_brake_hangs_on_the_contactor_that_runs_the_motor() {
    assert!(contacts(&sized(&[("brake_w", "60")]), "main")[0].contains(&"brake".to_owned()));
    assert!(has(&sized(&[("brake_w", "2000")]), "C515"), "too much for an auxiliary contact");
    assert!(has(&sized(&[("brake_w", "60"), ("starting_method", "drive")]), "C515"), "not from the output of a drive");
}

#[test]
fn explosive_atmospheres_admit_no_automatic_reset() {
    let circuit = sized(&[("te_s", "9"), ("reset_mode", "auto")]);
    assert!(has(&circuit, "C509") && circuit.status == Status::NotSized);
    assert!(!has(&sized(&[("te_s", "9")]), "C509"));
}

#[test]
fn a_partner_of_another_row_shares_frame_and_interlock() {
    let pins = |first: bool| Pins {
        frame: Some("2".to_owned()),
        partners: vec![Partner { tag: "P-2".to_owned(), tags: vec!["P-2".to_owned()], mechanical: true, first }],
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

#[test]
fn horsepower_sizes_get_what_they_need() {
    // Size 1 has no front place: contacts go to its sides, a mechanical interlock takes one of them and brings two contacts.
    let cells = [
        ("tag", "P-1"),
        ("rated_power_hp", "7.5"),
        ("full_load_current_a", "9.6"),
        ("voltage_v", "460"),
        ("starting_method", "direct"),
        ("reversing", "yes"),
        ("cable_length_ft", "60"),
        ("indicators", "running"),
    ];
    let circuit = size_with(&row(&cells), &nec()).0;
    assert!(circuit.accessories.iter().all(|own| !own.part.is_empty() && own.position != "front"), "{:?}", circuit.accessories);
    assert_eq!(place(&circuit, "interlock"), of_kind(&circuit, "interlock").next().expect("an interlock").part);
    assert!(circuit.checks.iter().filter(|own| own.name == "auxiliary-places").all(|own| own.passed == Some(true)));
    // The circuit-breaker is the disconnecting means at the controller: it is locked off through its handle (NFPA 70 430.102).
    assert_eq!(of_kind(&circuit, "door-handle").count(), 1);
    let local = [&cells[..], &[("isolator", "yes")]].concat();
    assert_eq!(of_kind(&size_with(&row(&local), &nec()).0, "door-handle").count(), 1, "a local switch does not replace it");
}

#[rstest]
#[case::with_its_starter(&[], 1)]
#[case::a_feeder(&[("load_kind", "packaged"), ("starting_method", "feeder")], 0)]
#[case::manual(&[("starting_method", "manual"), ("rated_power_hp", "1"), ("full_load_current_a", "1.8")], 0)]
#[case::two_poles(&[("phases", "1"), ("voltage_v", "208"), ("rated_power_hp", "0.75"), ("full_load_current_a", "7")], 0)]
#[case::one_pole(&[("phases", "1"), ("voltage_v", "115"), ("rated_power_hp", "0.5"), ("full_load_current_a", "8.8")], 0)]
fn a_breaker_that_is_worked_behind_the_door_of_a_panelboard_has_no_handle_through_it(
    #[case] changes: &[(&str, &str)],
    #[case] handles: usize,
) {
    // Breakers of the range can be locked by themselves (NFPA 70 110.25); handles through doors belong to starters in enclosures.
    let cells = [
        ("tag", "P-1"),
        ("rated_power_hp", "7.5"),
        ("full_load_current_a", "9.6"),
        ("voltage_v", "460"),
        ("starting_method", "direct"),
        ("cable_length_ft", "60"),
        ("protection_kind", "inverse-time"),
    ];
    let mut own: Vec<(&str, &str)> =
        cells.into_iter().filter(|(name, _)| !changes.iter().any(|(other, _)| other == name)).collect();
    own.extend(changes);
    let mut basis = nec();
    if changes.iter().any(|own| own.0 == "phases") {
        (basis.supply.voltage_v, basis.supply.system) = (Some(208.0), Some("208Y/120 4W solidly grounded".to_owned()));
    }
    let circuit = size_with(&row(&own), &basis).0;
    assert_eq!(circuit.protection.as_ref().map(|own| own.kind.as_str()), Some("inverse-time"));
    assert_eq!(of_kind(&circuit, "door-handle").count(), handles);
    assert!(!has(&circuit, "C514"));
}

#[test]
fn no_feedback_is_wanted_where_the_row_says_none() {
    let plc = [("driven_by", "plc-output"), ("control_voltage", "24 V DC")];
    let feedback = |changes: &[(&str, &str)]| {
        let circuit = sized(changes);
        circuit.auxiliary_contacts.iter().filter(|own| own.function == "feedback").count()
    };
    assert_eq!([feedback(&plc), feedback(&[plc[0], plc[1], ("feedback_level", "none")])], [1, 0]);
}

/// Parts that don't hang on the auxiliary contacts of a role.
fn elsewhere(circuit: &Circuit, role: &str) -> Vec<String> {
    let own =
        circuit.accessories.iter().filter(|own| own.kind != "timer" && !(own.kind == "auxiliary-block" && own.serves == role));
    own.map(|own| format!("{} {} {}", own.part, own.serves, own.quantity)).collect()
}

const METHODS: [&str; 6] =
    ["direct", "star-delta", "two-speed-dahlander", "two-speed-separate", "autotransformer", "soft-starter"];
const VOLTAGES: [&str; 3] = ["230 V AC", "24 V DC", "110 V AC"];
const CUSTOMARY_VOLTAGES: [&str; 3] = ["120 V AC", "24 V DC", "24 V AC"];

proptest! {
    #![proptest_config(ProptestConfig { cases: 40, ..ProptestConfig::default() })]

    #[test]
    fn one_more_contact_takes_no_part_away_elsewhere_and_mends_no_check(
        method in 0usize..6, voltage in 0usize..3, reversing in any::<bool>(), logic in any::<bool>(),
        open in 0u32..5, closed in 0u32..5, more_open in any::<bool>(), customary in any::<bool>(),
    ) {
        let of = |open: u32, closed: u32| {
            let (open, closed) = (open.to_string(), closed.to_string());
            let changes = [
                ("starting_method", METHODS[method]),
                ("reversing", if reversing { "yes" } else { "no" }), ("feedback_level", if logic { "logic" } else { "24 V" }),
                ("aux_no", open.as_str()), ("aux_nc", closed.as_str()), ("line_contactor", "yes"),
                ("control_voltage", if customary { CUSTOMARY_VOLTAGES } else { VOLTAGES }[voltage]),
            ];
            sized_by(if customary { "nec" } else { "iec" }, &changes)
        };
        let less = of(open, closed);
        let more = if more_open { of(open + 1, closed) } else { of(open, closed + 1) };
        prop_assert!(!less.contactors.is_empty() && less.contactors.iter().all(|own| !own.part.is_empty()));
        let role = less.auxiliary_contacts.iter().find(|own| own.function == "feedback").map_or("", |own| own.role.as_str()).to_owned();
        prop_assert_eq!(elsewhere(&less, &role), elsewhere(&more, &role));
        prop_assert_eq!(of_kind(&less, "timer").count(), of_kind(&more, "timer").count());
        prop_assert_eq!(&less.contactors, &more.contactors);
        let placed = |circuit: &Circuit| circuit.auxiliary_contacts.iter().filter(|own| !own.place.is_empty()).count();
        prop_assert!(placed(&less) <= placed(&more));
        for check in &less.checks {
            let again = more.checks.iter().find(|own| own.name == check.name && own.subject == check.subject);
            prop_assert!(check.passed != Some(false) || again.is_some_and(|own| own.passed == Some(false)), "{:?} {:?}", check, again);
        }
    }

    #[test]
    fn no_contactor_carries_more_than_its_frame_takes(
        method in 0usize..6, voltage in 0usize..3, reversing in any::<bool>(), amperes in 1.0..250.0f64,
        open in 0u32..6, closed in 0u32..6, level in "PL d|SIL 1|none",
    ) {
        let (open, closed, current) = (open.to_string(), closed.to_string(), format!("{amperes}"));
        let changes = [
            ("starting_method", METHODS[method]), ("control_voltage", VOLTAGES[voltage]), ("full_load_current_a", current.as_str()),
            ("reversing", if reversing { "yes" } else { "no" }), ("aux_no", open.as_str()), ("aux_nc", closed.as_str()),
            ("safety_level", level.as_str()), ("indicators", "running, stopped"),
        ];
        let circuit = sized(&changes);
        let range = catalogue::builtin("iec");
        for contactor in circuit.contactors.iter().filter(|own| !own.part.is_empty()) {
            let own = range.contactors.iter().find(|own| contactor.part.starts_with(&format!("{}-", own.part))).expect("in the range");
            let blocks: Vec<_> = of_kind(&circuit, "auxiliary-block").filter(|block| block.serves == contactor.role).collect();
            let added: u32 = blocks.iter().map(|block| (block.no + block.nc) * block.quantity).sum();
            prop_assert!(added <= own.aux_places);
            let interlocks = of_kind(&circuit, "interlock").filter(|part| part.serves.split(" and ").any(|role| role == contactor.role));
            let beside: u32 = blocks.iter().filter(|block| block.position == "side").map(|block| block.quantity).sum();
            prop_assert!(beside + u32::try_from(interlocks.count()).expect("few") <= own.side_places);
            let front_timer = of_kind(&circuit, "timer").filter(|timer| timer.serves == contactor.role && timer.position == "front").count();
            let front: u32 = blocks.iter().filter(|block| block.position == "front").map(|block| block.quantity).sum();
            prop_assert!(front as usize + front_timer <= 1);
            // Each contact that is listed is there, and no more of a block than it has.
            for block in &blocks {
                let used = |kind: &str| circuit.auxiliary_contacts.iter().filter(|own| own.role == contactor.role && own.place == block.part && own.kind == kind).count();
                prop_assert!(used("no") <= (block.no * block.quantity) as usize && used("nc") <= (block.nc * block.quantity) as usize);
            }
        }
    }
}
