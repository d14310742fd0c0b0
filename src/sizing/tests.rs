//! Whole circuits: what each method chooses, and what protects people. Expected figures are circuit theory or the source named beside them.

use proptest::prelude::*;

use super::testing::{basis, row, size, size_with};
use crate::basis::BoardBasis;
use crate::catalogue;
use crate::design::{Circuit, Status};
use crate::load::Method;

mod by_nec;
mod bypass;
mod one_phase;
mod runs;
mod safeguards;

const DIRECT: &[(&str, &str)] = &[
    ("tag", "P-1"),
    ("rated_power_kw", "7.5"),
    ("full_load_current_a", "14.3"),
    ("efficiency_pct", "90.4"),
    ("power_factor", "0.84"),
    ("efficiency_class", "IE3"),
    ("locked_rotor_ratio", "7.5"),
    ("start_time_s", "2"),
    ("starting_method", "direct"),
    ("cable_length_m", "40"),
    ("installation_method", "C"),
];

/// The row with some cells put in place of its own, or added.
fn with<'a>(base: &[(&'a str, &'a str)], changes: &[(&'a str, &'a str)]) -> Vec<(&'a str, &'a str)> {
    let mut cells: Vec<(&str, &str)> =
        base.iter().copied().filter(|(name, _)| !changes.iter().any(|(changed, _)| changed == name)).collect();
    cells.extend(changes);
    cells
}

fn codes(circuit: &Circuit) -> Vec<&str> {
    circuit.findings.iter().map(|finding| finding.code.as_str()).collect()
}

fn contactor<'a>(circuit: &'a Circuit, role: &str) -> &'a crate::design::Contactor {
    circuit.contactors.iter().find(|contactor| contactor.role == role).unwrap_or_else(|| panic!("no contactor {role}"))
}

#[test]
fn a_direct_motor_gets_breaker_contactor_and_a_setting_of_its_nameplate() {
    let circuit = size(DIRECT);
    assert_eq!(circuit.contactors.len(), 1);
    let main = contactor(&circuit, "main");
    assert!(main.rated_a >= 14.3);
    let overload = circuit.overload.as_ref().expect("a release");
    assert!(
        (overload.setting_a - 14.3).abs() <= 0.1 + 1e-9 && overload.setting_a <= 14.3 + 1e-9,
        "never above the nameplate: {}",
        overload.setting_a
    );
    assert!(overload.range_a[0] <= 14.3 && 14.3 <= overload.range_a[1]);
    let protection = circuit.protection.as_ref().expect("a breaker");
    assert!(protection.magnetic_min_a.expect("a magnetic trip") >= 7.5 * 14.3, "rides through the start");
}

#[test]
fn star_delta_contactors_and_relay_carry_their_shares() {
    // Factors 1/√3 and 1/3, and a setting of 0.58 times the rated current: circuit theory, two trade handbooks (W01, W02 of the published
    // checks).
    let circuit = size(&with(
        DIRECT,
        &[
            ("starting_method", "star-delta"),
            ("motor_voltages", "400/690"),
            ("rated_power_kw", "55"),
            ("full_load_current_a", "103"),
        ],
    ));
    assert!((contactor(&circuit, "line").current_a - 59.47).abs() < 0.01);
    assert!((contactor(&circuit, "delta").current_a - 59.47).abs() < 0.01);
    assert!((contactor(&circuit, "star").current_a - 34.33).abs() < 0.01);
    let relay = circuit.overloads.iter().find(|overload| overload.position == "delta-leg").expect("a relay in the winding leads");
    assert!((relay.winding_factor - 0.577_35).abs() < 1e-4);
    assert!(relay.setting_a <= 59.47 && relay.setting_a > 57.0, "{}", relay.setting_a);
}

#[test]
fn reduced_life_ratings_never_switch_high_efficiency_motors() {
    let mut basis = basis();
    basis.catalogue.reduced_life_contactors = Some("where-suitable".to_owned());
    let reduced: Vec<&str> = catalogue::builtin("iec")
        .contactors
        .iter()
        .filter(|contactor| contactor.reduced_life)
        .map(|contactor| contactor.part.as_str())
        .collect();
    assert!(!reduced.is_empty());
    for amperes in ["14", "15.5", "38", "75", "150"] {
        let (circuit, _) = size_with(&row(&with(DIRECT, &[("full_load_current_a", amperes)])), &basis);
        for contactor in &circuit.contactors {
            assert!(
                !reduced.iter().any(|part| contactor.part.starts_with(&format!("{part}-"))),
                "{} for an IE3 motor of {amperes} A",
                contactor.part
            );
        }
    }
}

#[test]
fn reduced_life_ratings_are_used_only_where_the_basis_says_so() {
    let cells = with(
        DIRECT,
        &[("full_load_current_a", "15.5"), ("efficiency_class", "IE1"), ("locked_rotor_ratio", "6"), ("starts_per_hour", "4")],
    );
    let never = size(&cells);
    let mut allowing = basis();
    allowing.catalogue.reduced_life_contactors = Some("where-suitable".to_owned());
    let (suitable, _) = size_with(&row(&cells), &allowing);
    assert!(contactor(&never, "main").rated_a > contactor(&suitable, "main").rated_a);
    let often = with(&cells, &[("starts_per_hour", "60")]);
    let (often, _) = size_with(&row(&often), &allowing);
    assert_eq!(
        contactor(&often, "main").part,
        contactor(&never, "main").part,
        "60 starts an hour are too many for a reduced life"
    );
}

/// A value that the row states stands there as stated; else the usual value of the table of practice, marked as assumed. The
/// resistors of a closed transition leave the voltage of the start alone.
#[rstest::rstest]
#[case::stated_limit("soft-starter", Some(("start_current_limit", "3.5")), [Some(3.5), None], false)]
#[case::usual_limit("soft-starter", None, [Some(4.0), None], true)]
#[case::stated_tap("autotransformer", Some(("tap_pct", "80")), [None, Some(80.0)], false)]
#[case::usual_tap("autotransformer", None, [None, Some(65.0)], true)]
#[case::usual_voltage("reactor", None, [None, Some(65.0)], true)]
#[case::closed_transition("star-delta-closed", None, [None, None], false)]
#[case::drive("drive", None, [None, None], false)]
fn a_starter_device_says_what_is_set_on_it(
    #[case] method: &'static str,
    #[case] stated: Option<(&'static str, &'static str)>,
    #[case] set: [Option<f64>; 2],
    #[case] assumed: bool,
) {
    let changes: Vec<_> = [("starting_method", method)].into_iter().chain(stated).collect();
    let circuit = size(&with(DIRECT, &changes));
    let [device] = circuit.starter_devices.as_slice() else { panic!("{:?}", circuit.starter_devices) };
    assert_eq!(([device.current_limit, device.tap_pct], device.setting_assumed), (set, assumed));
}

#[test]
fn an_unknown_fault_level_is_not_assumed() {
    let mut unknown = basis();
    unknown.supply.prospective_fault_ka = None;
    unknown.supply.prospective_fault_min_ka = None;
    let (circuit, _) = size_with(&row(&with(DIRECT, &[("coordination", "type-2")])), &unknown);
    let breaking = circuit.checks.iter().find(|check| check.name == "breaking-capacity").expect("the check is listed");
    assert_eq!(breaking.passed, None);
    assert!(breaking.not_checked_because.is_some());
    // IEC 60947-4-1 proves a type of co-ordination up to a conditional current: without the current of the board nothing is compared.
    assert_ne!(circuit.protection.as_ref().expect("a breaker").coordination, "not-claimed");
    let combined = circuit.checks.iter().find(|check| check.name == "coordination").expect("the check is listed");
    assert!(combined.passed.is_none() && combined.not_checked_because.is_some());
    assert_eq!(circuit.status, Status::NeedsDecision);
}

#[test]
fn breaking_capacity_below_the_fault_level_is_never_chosen() {
    for fault in [5.0, 25.0, 40.0, 60.0, 90.0] {
        let mut strong = basis();
        strong.supply.prospective_fault_ka = Some(fault);
        let (circuit, _) = size_with(&row(DIRECT), &strong);
        match &circuit.protection {
            Some(protection) => assert!(protection.breaking_ka.is_some_and(|ka| ka >= fault), "{fault} kA: {protection:?}"),
            None => assert!(codes(&circuit).contains(&"C201"), "{fault} kA: nothing chosen and nothing said"),
        }
    }
}

#[test]
fn a_winding_for_the_wrong_voltage_stops_star_delta() {
    let circuit = size(&with(DIRECT, &[("starting_method", "star-delta"), ("motor_voltages", "230/400")]));
    assert_eq!(circuit.status, Status::NotSized);
    assert!(codes(&circuit).contains(&"C303"));
    let unknown = size(&with(DIRECT, &[("starting_method", "star-delta")]));
    assert!(codes(&unknown).contains(&"C302"));
}

#[test]
fn a_fire_pump_is_referred_and_not_sized() {
    let circuit = size(&with(DIRECT, &[("service_class", "fire-pump")]));
    assert_eq!(circuit.status, Status::NotSized);
    assert!(circuit.overloads.is_empty());
    let named = size(&with(DIRECT, &[("description", "Fire pump, electric")]));
    assert!(named.status == Status::NotSized && codes(&named).contains(&"L401") && named.protection.is_none());
    let asked = size(&with(DIRECT, &[("description", "Sprinkler jockey pump")]));
    assert!(codes(&asked).contains(&"L403"));
    assert_eq!(asked.status, Status::NeedsDecision);
}

#[test]
fn a_marked_maximum_is_never_exceeded() {
    for marked in ["10", "16", "20", "25", "40"] {
        let circuit = size(&[
            ("tag", "AC-1"),
            ("load_kind", "packaged"),
            ("minimum_circuit_ampacity_a", "14"),
            ("maximum_protection_a", marked),
            ("cable_length_m", "20"),
        ]);
        if let Some(protection) = &circuit.protection {
            assert!(protection.rating_a <= marked.parse::<f64>().expect("a number"), "{marked}: {}", protection.rating_a);
        } else {
            assert!(codes(&circuit).contains(&"C201"));
        }
    }
}

/// A drive of 16 A of the demonstration range admits 32 A before it, whatever is marked on the machine behind.
#[test]
fn a_marked_maximum_does_not_lift_that_of_the_drive() {
    for (marked, most) in [("100", 32.0), ("20", 20.0)] {
        let circuit = size(&with(DIRECT, &[("starting_method", "drive"), ("maximum_protection_a", marked)]));
        let device = circuit.starter_devices.first().expect("a drive");
        assert_eq!(device.rated_a.to_bits(), 16f64.to_bits());
        let limit = circuit.checks.iter().find(|check| check.name == "protection-maximum").and_then(|check| check.limit);
        assert_eq!(limit, Some(most), "marked {marked}: {:?}", circuit.checks);
    }
}

/// Two directions take two contactors that cannot close together (IEC 60947-4-1): a starter that has one does not reverse.
#[test]
fn a_motor_that_reverses_gets_what_reverses_it_or_a_word() {
    for (method, said) in [
        ("direct", false),
        ("drive", false),
        ("soft-starter", true),
        ("star-delta", true),
        ("two-speed-dahlander", true),
        ("reactor", true),
    ] {
        let circuit = size(&with(DIRECT, &[("starting_method", method), ("reversing", "yes")]));
        assert_eq!(codes(&circuit).contains(&"C319"), said, "{method}: {:?}", codes(&circuit));
        if method == "direct" {
            assert_eq!(circuit.contactors.len(), 2);
        }
        let single = size(&with(DIRECT, &[("starting_method", method)]));
        assert!(!codes(&single).contains(&"C319"));
    }
}

/// Data sheets of soft starters give their current in air of 40 °C and lose about 2 % for each kelvin above (common practice, no source).
#[test]
fn a_soft_starter_holds_less_in_hot_air() {
    let rated = |air: f64| {
        let mut hot = basis();
        hot.boards.push(BoardBasis { name: Some("MCC-1".to_owned()), device_ambient_c: Some(air), ..BoardBasis::default() });
        let cells = with(DIRECT, &[("starting_method", "soft-starter")]);
        let (circuit, _) = size_with(&row(&cells), &hot);
        let limit = |check: &crate::design::Check| (check.name == "soft-starter-current").then_some(check.limit?);
        circuit.starter_devices.first().map(|device| device.rated_a).zip(circuit.checks.iter().find_map(limit))
    };
    let (name, limit) = rated(40.0).expect("a soft starter");
    assert!((limit - name).abs() < 1e-9, "at 40 °C it carries what it is called by: {name} A, {limit} A");
    let (name, limit) = rated(50.0).expect("a soft starter");
    assert!(limit <= 0.9 * name && 14.3 <= limit, "{name} A, {limit} A");
    assert_eq!(rated(70.0).map(|(name, _)| name), None, "no data sheet reaches so far");
}

#[test]
fn a_marked_circuit_ampacity_never_stands_for_less_than_the_load() {
    // 132 kW, 95.4 %, 0.86 at 400 V: 132 000 / (√3 · 400 · 0.954 · 0.86) = 232.2 A.
    let motor = [("rated_power_kw", "132"), ("efficiency_pct", "95.4"), ("power_factor", "0.86")];
    let motor = with(DIRECT, &motor).into_iter().filter(|(name, _)| *name != "full_load_current_a").collect::<Vec<_>>();
    let small = size(&with(&motor, &[("minimum_circuit_ampacity_a", "22")]));
    let currents = &small.currents;
    assert!((currents.full_load_a - 232.2).abs() < 0.1, "{}", currents.full_load_a);
    assert!(codes(&small).contains(&"R107"), "{:?}", codes(&small));
    // A marking above it makes the conductors larger and leaves the relay with the motor.
    let large = size(&with(&motor, &[("minimum_circuit_ampacity_a", "290")]));
    assert!((large.currents.full_load_a - 232.2).abs() < 0.1);
    let setting = large.overload.as_ref().or(large.overloads.first()).expect("a relay").setting_a;
    assert!(setting <= 232.3, "{setting}");
    let run = large.runs.first().expect("a run");
    assert!(run.capacity_a >= 290.0 && !codes(&large).contains(&"R107"), "{}", run.capacity_a);
}

/// IEC 60947-4-1, Annex G: 15.5 A at 400 V for 7.5 kW, 50 Hz. The annex says nothing of 60 Hz; there it is 7500 / (√3 · 400 · 0.904 ·
/// 0.84) = 14.26 A.
#[test]
fn the_guide_table_is_for_50_hz() {
    let cells = with(DIRECT, &[]).into_iter().filter(|(name, _)| *name != "full_load_current_a").collect::<Vec<_>>();
    for (frequency, amperes) in [(50.0, 15.5), (60.0, 14.26)] {
        let mut basis = basis();
        basis.design.current_source = Some("table".to_owned());
        basis.supply.frequency_hz = Some(frequency);
        let (circuit, _) = size_with(&row(&cells), &basis);
        assert!((circuit.currents.full_load_a - amperes).abs() < 0.01, "{frequency} Hz: {:?}", circuit.currents);
    }
}

#[test]
fn contactors_that_exclude_each_other_share_a_frame_and_an_interlock() {
    for (method, _) in Method::ALL {
        let circuit = size(&with(
            DIRECT,
            &[
                ("starting_method", method.word()),
                ("motor_voltages", "400/690"),
                ("reversing", "yes"),
                ("full_load_current_low_a", "9"),
                ("bypass", "yes"),
            ],
        ));
        let arrangement = crate::sizing::arrangement::Arrangement::of(*method);
        let pairs: &[(&str, &str)] = if *method == Method::Direct { &[("forward", "reverse")] } else { arrangement.interlocked };
        for (a, b) in pairs {
            assert_eq!(contactor(&circuit, a).frame, contactor(&circuit, b).frame, "{}: {a}, {b}", method.word());
            assert!(
                circuit
                    .accessories
                    .iter()
                    .any(|accessory| accessory.kind == "interlock" && accessory.serves == format!("{a} and {b}")),
                "{}: no interlock for {a} and {b}",
                method.word()
            );
        }
    }
}

#[test]
fn automatic_reset_with_two_wire_control_is_said() {
    let circuit = size(&with(DIRECT, &[("reset_mode", "auto"), ("control_wires", "two")]));
    assert!(codes(&circuit).contains(&"C313"));
}

#[test]
fn the_relay_of_a_long_start_is_slow_enough_and_the_contactor_larger() {
    let short = size(&with(DIRECT, &[("protection_kind", "gG")]));
    let long = size(&with(DIRECT, &[("protection_kind", "gG"), ("start_time_s", "9")]));
    let class = |circuit: &Circuit| {
        circuit.overload.as_ref().expect("a relay").trip_class.trim_end_matches('A').parse::<f64>().expect("a class")
    };
    assert!(class(&long) > class(&short));
    // Slow classes ask √(class/10) of the contactor: two relay manuals (W26 of the published checks).
    assert!(contactor(&long, "main").rated_a >= 14.3 * (class(&long) / 10.0).sqrt() - 1e-9);
}

#[test]
fn roles_are_those_that_readers_of_the_design_know() {
    let known = [
        "main",
        "line",
        "star",
        "delta",
        "forward",
        "reverse",
        "low",
        "high",
        "high-star",
        "tap",
        "star-point",
        "run",
        "first",
        "second",
        "bypass",
        "rotor-1",
        "rotor-2",
        "rotor-3",
        "transition",
        "output",
    ];
    for arrangement in crate::sizing::arrangement::ARRANGEMENTS {
        for role in arrangement.roles {
            assert!(known.contains(&role.name), "{}", role.name);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    #[test]
    fn more_current_never_gets_a_smaller_contactor_or_a_smaller_release(amperes in 0.3..400.0f64, more in 0.0..60.0f64, fuse in proptest::bool::ANY) {
        let kind = if fuse { "gG" } else { "motor-breaker" };
        let of = |amperes: f64| {
            let text = format!("{amperes}");
            size(&with(DIRECT, &[("full_load_current_a", &text), ("efficiency_class", "IE2"), ("protection_kind", kind)]))
        };
        let (low, high) = (of(amperes), of(amperes + more));
        if let (Some(a), Some(b)) = (low.contactors.first(), high.contactors.first()) {
            prop_assert!(a.rated_a <= b.rated_a || b.part.is_empty(), "{amperes} A: {} and {} A: {}", a.rated_a, amperes + more, b.rated_a);
        }
        if let (Some(a), Some(b)) = (&low.overload, &high.overload) {
            // A dial is set to the division below the current; a larger release has coarser ones, a hundredth of its range at most.
            let division = if a.range_a == b.range_a { 0.0 } else { b.range_a[1] / 100.0 };
            prop_assert!(a.setting_a <= b.setting_a + division + 1e-9, "{amperes} A: {} and {} A: {}", a.setting_a, amperes + more, b.setting_a);
            prop_assert!(b.setting_a <= amperes + more + 1e-9 && b.setting_a >= amperes + more - b.range_a[1] / 50.0 - 1e-9, "{}", b.setting_a);
        }
        if let (Some(a), Some(b)) = (&low.protection, &high.protection)
            && a.kind == b.kind && fuse
        {
            prop_assert!(a.rating_a <= b.rating_a);
        }
    }

    #[test]
    fn no_smaller_contactor_would_have_held(amperes in 0.3..500.0f64, premium in proptest::bool::ANY, long in proptest::bool::ANY) {
        let text = format!("{amperes}");
        let cells = with(DIRECT, &[
            ("full_load_current_a", &text),
            ("efficiency_class", if premium { "IE4" } else { "IE2" }),
            ("start_time_s", if long { "8" } else { "2" }),
            ("protection_kind", "aM"),
        ]);
        let circuit = size(&cells);
        let Some(chosen) = circuit.contactors.first().filter(|contactor| !contactor.part.is_empty()) else { return Ok(()) };
        let range = &catalogue::builtin("iec").contactors;
        let position = range.iter().position(|range| chosen.part.starts_with(&format!("{}-", range.part))).expect("it is in the catalogue");
        let slow = circuit.overload.as_ref().map_or(1.0, |relay| (relay.trip_class.trim_end_matches('A').parse::<f64>().unwrap_or(10.0) / 10.0).max(1.0).sqrt());
        let time: f64 = if long { 8.0 } else { 2.0 };
        for smaller in range[..position].iter().filter(|contactor| !contactor.is_for_capacitors()) {
            // The demands again, from their definitions and not from the selection.
            let duty = if premium { smaller.ac3e_440_a.unwrap_or(0.0) } else if smaller.reduced_life { 0.0 } else { smaller.load_rating_a() };
            let withstand = if smaller.load_rating_a() > 630.0 { 6.0 } else { 8.0 } * (10.0 / time.max(10.0)).sqrt() * smaller.load_rating_a();
            let fuse = circuit.protection.as_ref().map_or(0.0, |device| device.rating_a);
            let holds = duty >= amperes * slow
                && (premium || !smaller.reduced_life)
                && smaller.thermal_a() * 0.95 >= amperes
                && withstand >= 7.5 * amperes
                && smaller.max_fuse_type_1_a >= fuse;
            prop_assert!(!holds, "{} holds {amperes} A, but {} was chosen", smaller.part, chosen.part);
        }
    }

    #[test]
    fn a_higher_fault_level_never_removes_a_failed_breaking_check(fault in 1.0..150.0f64, more in 0.0..100.0f64) {
        let of = |ka: f64| {
            let mut strong = basis();
            strong.supply.prospective_fault_ka = Some(ka);
            size_with(&row(DIRECT), &strong).0
        };
        let (low, high) = (of(fault), of(fault + more));
        let checked = |circuit: &Circuit| circuit.checks.iter().any(|check| check.name == "breaking-capacity" && check.passed == Some(false));
        let told = |circuit: &Circuit| circuit.findings.iter().any(|finding| finding.code == "C201" && finding.why.contains("breaking capacity"));
        let fails = |circuit: &Circuit| checked(circuit) || told(circuit);
        prop_assert!(high.protection.is_some() || fails(&high), "{:?}", high.findings);
        prop_assert!(!fails(&low) || fails(&high));
    }
}

/// A direct start is held against the dip that the basis admits, and only that: 14.3 A at 7.5 times from a supply whose smallest fault
/// current is 1 kA dip it by about 107 / (1000 + 107) = 10 % (divider; both nearly in phase).
#[test]
fn the_dip_of_the_basis_limits_direct_starts() {
    let mut basis = basis();
    basis.supply.prospective_fault_min_ka = Some(1.0);
    let of = |method, limit| {
        let mut basis = basis.clone();
        basis.starting.direct_limit_dip_pct = Some(limit);
        let cells = with(DIRECT, &[("starting_method", method), ("motor_voltages", "400/690")]);
        size_with(&row(&cells), &basis).0.findings.iter().any(|finding| finding.what.contains("dip"))
    };
    assert!(of("direct", 6.0) && !of("direct", 15.0));
    assert!(!of("star-delta", 6.0));
    // The weakest supply decides: with the strongest alone nothing is shown.
    basis.supply.prospective_fault_min_ka = None;
    basis.starting.direct_limit_dip_pct = Some(15.0);
    assert!(codes(&size_with(&row(DIRECT), &basis).0).contains(&"C315"));
}

/// IEC 60364-1, 11.2: low voltage is up to 1000 V, and NFPA 70, 430.221, begins above 1000 V.
#[test]
fn a_thousand_volts_are_low_voltage_still() {
    let of = |volts| codes(&size(&with(DIRECT, &[("voltage_v", volts)]))).contains(&"L305");
    assert!(!of("1000") && of("1001"));
}
