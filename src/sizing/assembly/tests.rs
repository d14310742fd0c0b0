//! Contactors in duties and numbers beyond the plain motor: life, linked poles, safety levels, household and compressor ratings.

use crate::design::{Circuit, Status};
use crate::sizing::Pins;
use crate::sizing::testing::{basis, row, size, size_in, size_with};

mod duties;
mod life;
mod stands_still;

const PUMP: &[(&str, &str)] = &[
    ("tag", "P-1"),
    ("rated_power_kw", "5.5"),
    ("full_load_current_a", "11.5"),
    ("efficiency_class", "IE2"),
    ("locked_rotor_ratio", "6"),
    ("start_time_s", "2"),
    ("starting_method", "direct"),
    ("cable_length_m", "20"),
];

fn with(base: &[(&'static str, &'static str)], more: &[(&'static str, &'static str)]) -> Vec<(&'static str, &'static str)> {
    let mut cells: Vec<_> = base.iter().copied().filter(|(name, _)| more.iter().all(|(other, _)| other != name)).collect();
    cells.extend_from_slice(more);
    cells
}

fn main_contactor(circuit: &Circuit) -> &crate::design::Contactor {
    circuit.contactors.iter().find(|contactor| contactor.role == "main").expect("a main contactor")
}

const HEATER: &[(&str, &str)] = &[
    ("tag", "H-1"),
    ("load_kind", "heater"),
    ("voltage_v", "230"),
    ("phases", "1"),
    ("connection", "L-N"),
    ("starting_method", "contactor"),
    ("cable_length_m", "10"),
];

#[test]
fn linked_poles_carry_a_heater_between_phase_and_neutral() {
    // 12 kW at 230 V draw 52.2 A. Frame 2 has 50 A × 0.9 beside others = 45 A a pole: two linked poles carry 1.6 times that, 72 A.
    let circuit = size(&with(HEATER, &[("rated_power_kw", "12")]));
    let contactor = main_contactor(&circuit);
    assert_eq!(
        (contactor.frame.as_str(), contactor.poles_in_parallel, contactor.category.as_str()),
        ("2", 2, "AC-1"),
        "{contactor:?}"
    );
    assert!((contactor.rated_a - 72.0).abs() < 1e-6, "{}", contactor.rated_a);
    // 9 kW, 39.1 A: three poles of frame 1 carry 2.5 × 18 A = 45 A.
    let small = size(&with(HEATER, &[("rated_power_kw", "9")]));
    let contactor = main_contactor(&small);
    assert_eq!((contactor.frame.as_str(), contactor.poles_in_parallel), ("1", 3), "{contactor:?}");
    // Between two phases each conductor has its own pole, and motors never share poles.
    for cells in [with(HEATER, &[("rated_power_kw", "12"), ("connection", "L-L"), ("voltage_v", "400")]), PUMP.to_vec()] {
        assert_eq!(main_contactor(&size(&cells)).poles_in_parallel, 1, "{cells:?}");
    }
}

/// The built-in range has 50 A AC-7a in frame 2, 90 % of it beside others and 1.6 times for two linked poles, as in AC-1: 72 A.
#[test]
fn linked_poles_carry_a_household_heater_alike() {
    let circuit = size(&with(HEATER, &[("rated_power_kw", "12"), ("environment", "household")]));
    let contactor = main_contactor(&circuit);
    assert_eq!(
        (contactor.frame.as_str(), contactor.poles_in_parallel, contactor.category.as_str()),
        ("2", 2, "AC-7a"),
        "{contactor:?}"
    );
    assert!((contactor.rated_a - 72.0).abs() < 1e-6, "{}", contactor.rated_a);
}

#[rstest::rstest]
#[case::none("", 1)]
#[case::lower("PL c", 1)]
#[case::stop_category("category 1", 1)]
#[case::performance_level("PL d", 2)]
#[case::together("PLe / Cat. 4", 2)]
#[case::integrity("SIL 2", 2)]
#[case::integrity_claim("SILCL 3", 2)]
#[case::a_word_with_the_letters("triple check", 1)]
fn two_contactors_in_series_follow_the_safety_level(#[case] level: &'static str, #[case] contactors: usize) {
    let mut cells = with(PUMP, &[("emergency_stop", "category-0")]);
    if !level.is_empty() {
        cells.push(("safety_level", level));
    }
    let circuit = size(&cells);
    assert_eq!(circuit.contactors.len(), contactors, "{:?}", circuit.contactors);
    if contactors == 2 {
        let safety = circuit.contactors.iter().find(|contactor| contactor.role == "safety").expect("a contactor in the line");
        assert!((safety.current_a - 11.5).abs() < 1e-9 && safety.category == "AC-3", "{safety:?}");
    }
}

#[test]
fn the_safety_contactor_carries_the_whole_line_current() {
    let cells =
        [("starting_method", "star-delta"), ("safety_level", "PL d"), ("motor_voltages", "400/690"), ("motor_leads", "6")];
    let circuit = size(&with(PUMP, &cells));
    let of = |role: &str| {
        circuit.contactors.iter().find(|contactor| contactor.role == role).map(|contactor| contactor.current_a).expect("a role")
    };
    // 11.5 / √3 = 6.64 A inside the delta.
    assert!((of("line") - 6.64).abs() < 0.005 && (of("safety") - 11.5).abs() < 1e-9);
}

#[test]
fn household_loads_and_compressors_have_categories_of_their_own() {
    let of = |more: &[(&'static str, &'static str)], base| main_contactor(&size(&with(base, more))).category.clone();
    assert_eq!(of(&[("environment", "household")], PUMP), "AC-7b");
    assert_eq!(of(&[("environment", "household"), ("rated_power_kw", "3")], HEATER), "AC-7a");
    let packaged = [
        ("load_kind", "packaged"),
        ("starting_method", "contactor"),
        ("minimum_circuit_ampacity_a", "14"),
        ("full_load_current_a", "11"),
    ];
    let circuit = size(&with(PUMP, &packaged));
    assert_eq!(main_contactor(&circuit).category, "AC-8b");
    // The smaller of both ratings counts: AC-8b 10 A of the 12.5 A contactor is too little for 11 A.
    assert!(main_contactor(&circuit).rated_a >= 11.0 && main_contactor(&circuit).part != "GEN-C1-12.5-A230", "{circuit:?}");
}

#[test]
fn a_conductor_enlarged_for_its_length_is_held_against_every_terminal() {
    // 22 A over 400 m: the drop asks for far more than the current.
    let long = [("rated_power_kw", "11"), ("full_load_current_a", "22"), ("cable_length_m", "600"), ("isolator", "yes")];
    let circuit = size(&with(PUMP, &long));
    let run = circuit.runs.first().expect("a run");
    assert!(["disconnection", "running-voltage-drop"].contains(&run.governed_by.as_str()), "{}", run.governed_by);
    let told = circuit.findings.iter().find(|finding| finding.code == "C609").expect("it is told");
    assert_eq!(told.cure.contains("lower magnetic trip"), run.governed_by == "disconnection", "{told:?}");
    let failed: Vec<_> = circuit.checks.iter().filter(|check| check.name == "terminals" && check.passed == Some(false)).collect();
    assert!(failed.iter().any(|failed| failed.subject == "motor run"), "{:?}", circuit.checks);
    assert!(failed.iter().any(|failed| failed.subject.ends_with("local isolator")), "{:?}", circuit.checks);
    assert_ne!(circuit.status, Status::NotSized);
    let short = size(&with(PUMP, &[("isolator", "yes")]));
    assert!(short.checks.iter().filter(|check| check.name == "terminals").all(|check| check.passed == Some(true)));
    assert!(!short.findings.iter().any(|finding| finding.code == "C609"));
}

#[test]
fn a_capacitor_step_has_a_contactor_that_damps_its_inrush() {
    const STEP: &[(&str, &str)] = &[
        ("tag", "K-1"),
        ("load_kind", "capacitor"),
        ("reactive_power_kvar", "25"),
        ("voltage_v", "400"),
        ("starting_method", "contactor"),
        ("cable_length_m", "10"),
    ];
    // 25 kvar at 400 V: 36.1 A × 1.3 × 1.15 = 53.9 A (IEC 60831-1), more than the 40 A of frame 2.
    let circuit = size(STEP);
    let contactor = main_contactor(&circuit);
    assert_eq!((contactor.part.as_str(), contactor.category.as_str()), ("GEN-K3-80-A230", "AC-6b"), "{contactor:?}");
    assert!((contactor.current_a - 53.9).abs() < 0.1);
    assert!(!circuit.findings.iter().any(|finding| finding.code == "C214"));
    // Beyond the range of such contactors an ordinary one may be large enough, and somebody must look.
    let large = size(&with(STEP, &[("reactive_power_kvar", "100")]));
    assert!(large.findings.iter().any(|finding| finding.code == "C214" || finding.code == "C203"), "{:?}", large.findings);
    // They are for nothing else.
    assert!(!main_contactor(&size(PUMP)).part.starts_with("GEN-K"));
}

#[test]
fn a_circuit_without_contactors_does_not_claim_a_second_one() {
    let why = |method: &'static str| {
        let circuit = size(&with(PUMP, &[("safety_level", "PL d"), ("starting_method", method)]));
        (
            circuit.contactors.len(),
            circuit.findings.iter().find(|finding| finding.code == "L408").map(|finding| finding.why.clone()).unwrap_or_default(),
        )
    };
    assert!(why("direct").0 == 2 && why("direct").1.starts_with("a second contactor in series"), "{:?}", why("direct"));
    for method in ["feeder", "manual"] {
        assert_eq!(why(method), (0, "this circuit has no contactor that could be opened".to_owned()), "{method}");
    }
}

// IEC 60831-1 (from memory): 75 V within 3 min; NFPA 70 460.6(A), quoted on one supplier page: 50 V within 1 min.
#[rstest::rstest]
#[case::iec("iec", "75 V within 180 s")]
#[case::nec("nec", "50 V within 60 s")]
fn a_capacitor_is_switched_in_again_when_it_has_discharged(#[case] book: &str, #[case] limit: &str) {
    let mut basis = basis();
    basis.rules.book = Some(book.to_owned());
    let step = [
        ("tag", "C-1"),
        ("load_kind", "capacitor"),
        ("starting_method", "contactor"),
        ("reactive_power_kvar", "25"),
        ("cable_length_m", "10"),
    ];
    let said = |cells: &[(&str, &str)]| {
        let circuit = size_with(&row(cells), &basis).0;
        circuit.findings.iter().find(|finding| finding.code == "C215").map(|finding| finding.what.clone())
    };
    assert!(said(&step).is_some_and(|what| what.contains(limit)));
    assert_eq!(said(&step.map(|cell| if cell.1 == "contactor" { (cell.0, "feeder") } else { cell })), None, "others switch it");
}

#[test]
fn thyristors_are_co_ordinated_with_fuses_of_their_own() {
    // One trade article: their I²t lets nothing but semiconductor fuses save them.
    let cure = |method: &str| {
        let cells = [
            ("tag", "P-1"),
            ("rated_power_kw", "30"),
            ("full_load_current_a", "55"),
            ("starting_method", method),
            ("coordination", "type-2"),
            ("cable_length_m", "10"),
        ];
        let circuit = size_with(&row(&cells), &basis()).0;
        circuit.findings.iter().find(|finding| finding.code == "C202").map(|finding| finding.cure.clone()).unwrap_or_default()
    };
    assert!(cure("soft-starter").contains("semiconductor fuses"));
    assert!(!cure("two-speed-dahlander").contains("semiconductor"));
}

#[test]
fn both_directions_have_one_contactor_also_where_a_tested_combination_asks_for_a_larger_one() {
    // One motor, one current, one duty: common practice, no source.
    let mut basis = basis();
    basis.design.coordination = Some("type-2".to_owned());
    let mut larger = 0;
    for (power, current) in
        [("0.75", "1.8"), ("2.2", "4.9"), ("4", "8.1"), ("5.5", "11.2"), ("7.5", "15"), ("15", "29"), ("30", "55")]
    {
        for inching in ["0", "20"] {
            let cells = with(
                PUMP,
                &[
                    ("rated_power_kw", power),
                    ("full_load_current_a", current),
                    ("reversing", "yes"),
                    ("inching_share_pct", inching),
                ],
            );
            let (circuit, _) = size_with(&row(&cells), &basis);
            let of =
                |role: &str| circuit.contactors.iter().find(|contactor| contactor.role == role).expect("a direction").clone();
            let (forward, reverse) = (of("forward"), of("reverse"));
            assert_eq!((&forward.part, forward.rated_a), (&reverse.part, reverse.rated_a), "{power} kW");
            larger += usize::from(forward.governed_by == "coordination");
        }
    }
    assert!(larger > 0, "the cases hold one that is larger for its combination");
}

#[test]
fn a_wish_for_short_circuit_fuses_on_a_load_without_a_relay_is_told() {
    // IEC 60269-1: aM breaks short circuits alone; without a relay behind it gG takes its place.
    for (kind, method) in [("heater", "contactor"), ("packaged", "feeder")] {
        let base = [
            ("tag", "H-1"),
            ("load_kind", kind),
            ("rated_power_kw", "12"),
            ("full_load_current_a", "17.3"),
            ("starting_method", method),
            ("cable_length_m", "30"),
        ];
        let chosen = |more: &[(&'static str, &'static str)]| {
            let (circuit, _) = size_with(&row(&[&base[..], more].concat()), &basis());
            let kind = circuit.protection.as_ref().map(|protection| protection.kind.clone()).unwrap_or_default();
            (kind, circuit.findings.iter().any(|finding| finding.code == "C207" && finding.what.contains("short circuits alone")))
        };
        assert_eq!(chosen(&[("protection_kind", "aM")]), ("gG".to_owned(), true), "{kind}");
        assert_eq!(chosen(&[("protection_kind", "gG")]), ("gG".to_owned(), false), "{kind}");
    }
}

#[test]
fn a_single_phase_motor_goes_through_all_poles_of_three_pole_protection() {
    // Two conductors and three poles: one of them twice; where the neutral goes past the controller (NFPA 70 430.84) the line three times.
    // Makers' instructions: common practice, no source.
    let single = [
        ("tag", "F-1"),
        ("rated_power_kw", "0.37"),
        ("full_load_current_a", "2.8"),
        ("voltage_v", "230"),
        ("phases", "1"),
        ("starting_method", "direct"),
        ("cable_length_m", "15"),
    ];
    let mut nec = basis();
    nec.rules.book = Some("nec".to_owned());
    nec.supply.voltage_v = Some(208.0);
    nec.supply.frequency_hz = Some(60.0);
    nec.supply.system = Some("208Y/120 4W solidly grounded".to_owned());
    let american = |volts: &'static str, method: &'static str| {
        [
            ("tag", "F-1"),
            ("rated_power_hp", "0.5"),
            ("full_load_current_a", "8.8"),
            ("voltage_v", volts),
            ("phases", "1"),
            ("starting_method", method),
            ("cable_length_ft", "50"),
        ]
    };
    let relay = with(&single, &[("protection_kind", "gG")]);
    let three = with(&single, &[("phases", "3"), ("voltage_v", "400"), ("full_load_current_a", "1.1")]);
    for (cells, book, poles) in [
        (single.to_vec(), basis(), Some(2)),
        (relay, basis(), Some(2)),
        (three, basis(), None),
        (american("208", "direct").to_vec(), nec.clone(), Some(2)),
        (american("115", "direct").to_vec(), nec.clone(), Some(3)),
        (american("115", "manual").to_vec(), nec, None),
    ] {
        let (circuit, _) = size_with(&row(&cells), &book);
        let overload = circuit.overload.as_ref().expect("it is protected");
        assert_eq!(overload.poles_in_series, poles, "{cells:?}: {overload:?}");
        assert_eq!(circuit.findings.iter().filter(|finding| finding.code == "C216").count(), usize::from(poles.is_some()));
    }
}

/// The release of a circuit-breaker over the start of a motor of 200 A at six times: IEC 60034-12 has the first peak at 1.8 to 2.8 times
/// the r.m.s. starting current, 2.3 in the middle; 1200 A · 2.3 / √2 = 1952 A r.m.s. A release with a tolerance of 20 % is set to
/// 1952 / 0.8 = 2439 A or more: 12.5 times 200 A in steps of a half, from 2000 A to 3000 A. Set higher it would clear less.
#[test]
fn a_magnetic_release_is_set_just_above_the_first_peak() {
    let cells = [
        ("rated_power_kw", "110"),
        ("full_load_current_a", "200"),
        ("protection_kind", "moulded-case"),
        ("installation_method", "E"),
    ];
    let circuit = size(&with(PUMP, &cells));
    let protection = circuit.protection.as_ref().expect("a circuit-breaker");
    assert_eq!((protection.kind.as_str(), protection.rating_a), ("moulded-case", 200.0), "{protection:?}");
    assert_eq!(
        [protection.magnetic_min_a, protection.magnetic_trip_a, protection.magnetic_max_a],
        [2000.0, 2500.0, 3000.0].map(Some)
    );
}

/// The same motor asks for 1200 A · 2.3 / √2 / 0.8 = 2439.5 A, 12.2 times 200 A: 12.5 times on a dial in steps of a half, 13 times on one
/// in whole steps, and just so on one without steps.
#[test]
fn a_magnetic_release_is_set_on_the_steps_of_its_dial() {
    let cells = [
        ("rated_power_kw", "110"),
        ("full_load_current_a", "200"),
        ("protection_kind", "moulded-case"),
        ("installation_method", "E"),
    ];
    for (step, amperes) in [(Some(0.5), 2500.0), (Some(1.0), 2600.0), (None, 2439.5)] {
        let mut catalogue = crate::catalogue::builtin("iec").clone();
        catalogue.moulded_case_breakers.iter_mut().for_each(|breaker| breaker.magnetic_step_multiple = step);
        let circuit = size_in(&row(&with(PUMP, &cells)), &basis(), &catalogue, &Pins::default()).0;
        let trip = circuit.protection.as_ref().and_then(|protection| protection.magnetic_trip_a).expect("a magnetic trip");
        assert!((trip - amperes).abs() < 0.1, "{step:?}: {trip}");
    }
}

/// 14.3 A at 7.5 times are 107.25 A for 2 s. IEC 60269-1, Table 3: a gG fuse-link of 32 A carries 75 A for 10 s and 200 A for 0.1 s, on
/// logarithmic axes 75 · (200 / 75)^(ln 5 / ln 100) = 105.7 A for 2 s; one of 40 A 95 · (260 / 95)^0.3495 = 135.1 A.
#[test]
fn a_fuse_carries_the_start() {
    let of = |ratio| {
        let cells = [("full_load_current_a", "14.3"), ("locked_rotor_ratio", ratio), ("protection_kind", "gG")];
        let circuit = size(&with(PUMP, &cells));
        circuit.protection.map(|protection| (protection.kind, protection.rating_a))
    };
    assert_eq!(of("7.5"), Some(("gG".to_owned(), 40.0)));
    assert_eq!(of("7.3"), Some(("gG".to_owned(), 32.0)));
}

/// Circuit theory of the autotransformer: on a tap of 65 % the motor takes 0.65 times its locked-rotor current, the line 0.65² times, and
/// what closes the star carries the difference: (0.65 − 0.4225) · 6 · 11.5 A = 15.70 A.
#[test]
fn the_star_point_of_an_autotransformer_carries_the_difference() {
    let circuit = size(&with(PUMP, &[("starting_method", "autotransformer"), ("tap_pct", "65")]));
    let of = |role: &str| {
        let check = circuit.checks.iter().find(|check| check.name == "contactor-short-time" && check.subject == role);
        check.and_then(|check| check.value)
    };
    let (star, line) = (of("star-point"), of("line"));
    assert!(star.is_some_and(|star| (star - 15.7).abs() < 0.01), "{star:?} of {:?}", circuit.checks);
    assert!(line.is_some_and(|line| (line - 29.15).abs() < 0.01), "{line:?}");
}

/// IEC 60898-1, Table 7: curve C trips at once between 5 and 10 times its rated current, curve D between 10 and 20 times. A circuit-breaker
/// has a pole for each conductor that is live, the neutral included.
#[rstest::rstest]
#[case::phase_and_neutral(&[("rated_power_kw", "3")], "-2P", 5.0)]
#[case::three_phases(&[("rated_power_kw", "9"), ("phases", "3"), ("connection", "3L"), ("voltage_v", "400")], "-3P", 5.0)]
#[case::three_phases_and_neutral(&[("rated_power_kw", "9"), ("phases", "3"), ("connection", "3L+N"), ("voltage_v", "400")], "-4P", 5.0)]
#[case::equipment(&[("load_kind", "packaged"), ("full_load_current_a", "10"), ("minimum_circuit_ampacity_a", "12")], "-2P", 10.0)]
fn a_circuit_breaker_of_fixed_rating_has_its_poles_and_its_curve(
    #[case] more: &[(&'static str, &'static str)],
    #[case] poles: &str,
    #[case] multiple: f64,
) {
    // Such circuit-breakers break 10 kA.
    let mut basis = basis();
    basis.supply.prospective_fault_ka = Some(6.0);
    basis.supply.prospective_fault_min_ka = Some(3.0);
    let circuit = size_with(&row(&with(&with(HEATER, &[("protection_kind", "moulded-case")]), more)), &basis).0;
    let protection = circuit.protection.as_ref().expect("a circuit-breaker");
    assert!(protection.kind == "circuit-breaker" && protection.part.ends_with(poles), "{protection:?}");
    // The book knows such a device by the same word: it carries 1.13 times its rating and trips at 1.45 times (IEC 60898-1, Table 7).
    let limits = crate::rules::book("iec", None)
        .expect("a book")
        .breaker_limits(&protection.kind, crate::quantity::Amperes(protection.rating_a));
    let ends = limits.map(|acting_limits| (acting_limits.carries[0].current.0, acting_limits.acts[0].current.0));
    let about = |one: f64, other: f64| (one - other).abs() < 1e-9;
    assert!(
        ends.is_some_and(|(carries, acts)| about(carries, 1.13 * protection.rating_a) && about(acts, 1.45 * protection.rating_a)),
        "{ends:?}"
    );
    assert_eq!(
        (protection.magnetic_min_a, protection.magnetic_max_a),
        (Some(multiple * protection.rating_a), Some(2.0 * multiple * protection.rating_a))
    );
}

/// NEMA sizes that the project does not use are left out; the smallest that it uses is among those that it uses.
#[test]
fn the_smallest_size_of_the_project_is_one_of_it() {
    let of = |least: Option<&str>| {
        let mut basis = basis();
        basis.rules.book = Some("nec".to_owned());
        basis.supply.voltage_v = Some(480.0);
        basis.supply.frequency_hz = Some(60.0);
        basis.design.controller_family = Some("nema".to_owned());
        basis.design.minimum_nema_size = least.map(str::to_owned);
        let cells = [
            ("tag", "P-1"),
            ("rated_power_hp", "1"),
            ("voltage_v", "460"),
            ("starting_method", "direct"),
            ("cable_length_ft", "60"),
        ];
        main_contactor(&size_with(&row(&cells), &basis).0).rated_a
    };
    // NEMA ICS 2: 9 A for size 00, 18 A for size 0, 27 A for size 1.
    assert_eq!((of(None), of(Some("0")), of(Some("1"))), (9.0, 18.0, 27.0));
}

/// A soft starter is made for so many starts an hour; a row that states none is told so once, and one that does is checked.
#[test]
fn starts_an_hour_of_a_soft_starter_are_checked_or_told() {
    let of = |per_hour: &'static str| {
        let cells = [("starting_method", "soft-starter"), ("starts_per_hour", per_hour)];
        let cells: Vec<_> = cells.into_iter().filter(|(_, text)| !text.is_empty()).collect();
        let circuit = size(&with(PUMP, &cells));
        assert!(
            circuit
                .starter_devices
                .iter()
                .any(|starter_device| starter_device.kind == "soft-starter" && !starter_device.part.is_empty())
        );
        let told = circuit.findings.iter().filter(|finding| finding.code == "C218").count();
        let checked = circuit.checks.iter().any(|check| check.name == "soft-starter-frequency");
        (told, checked)
    };
    assert_eq!(of(""), (1, false));
    assert_eq!(of("4"), (0, true));
}

/// A contactor that is closed while the motor runs carries an overload until the relay trips, so a slow class asks √(class/10) of
/// it (trade practice; reference: class 30, I · √3): delta like line 38.1 A · √3 = 66 A, the run contactor of a transformer or
/// reactor 66 A · √3 = 114.3 A.
#[test]
fn a_slow_class_is_asked_of_all_that_carries_the_running_motor() {
    let of = |method: &'static str, more: &[(&'static str, &'static str)]| {
        let base = [
            ("rated_power_kw", "37"),
            ("full_load_current_a", "66"),
            ("locked_rotor_ratio", "7.2"),
            ("motor_voltages", "400/690"),
            ("protection_kind", "gG"),
            ("starting_method", method),
        ];
        size(&with(PUMP, &[base.as_slice(), more].concat()))
    };
    let asked = |circuit: &Circuit, role: &str| {
        let check = circuit.checks.iter().find(|check| check.name == "contactor-class" && check.subject == role);
        check.and_then(|check| check.value.filter(|_| check.passed == Some(true)))
    };
    // The class that the start asks for counts whether the range holds such a relay or not.
    let class = |circuit: &Circuit| circuit.overloads.first().map(|overload| overload.trip_class.clone());
    for (method, role, share) in [
        ("direct", "main", 1.0),
        ("star-delta", "line", 1.0 / 3f64.sqrt()),
        ("star-delta", "delta", 1.0 / 3f64.sqrt()),
        ("autotransformer", "run", 1.0),
        ("reactor", "run", 1.0),
        ("part-winding", "second", 0.5),
        ("rotor-resistance", "rotor-3", 1.0),
    ] {
        let circuit = of(method, &[("start_time_s", "14"), ("rotor_current_a", "66"), ("rotor_voltage_v", "300")]);
        let Some(number) = class(&circuit).and_then(|class| class.parse::<f64>().ok()).filter(|class| *class > 10.0) else {
            assert_eq!(asked(&circuit, role), None, "{method}: class {:?}", class(&circuit));
            continue;
        };
        let wanted = 66.0 * share * (number / 10.0).sqrt();
        assert!(
            asked(&circuit, role).is_some_and(|amperes| (amperes - wanted).abs() < 0.01),
            "{method} {role}: {:?}",
            circuit.checks
        );
    }
    assert_eq!(class(&of("direct", &[("start_time_s", "14")])).as_deref(), Some("30"), "the test asks for slow classes");
    assert!(asked(&of("star-delta", &[("start_time_s", "14")]), "delta").is_some());
}

/// Rotor contactors stand at the rotor voltage while the motor starts: up to their own nothing is said, up to about twice that their maker
/// is asked (trade practice), and a rotor circuit above 1 kV is beyond the book (IEC 60364-1, 11.2).
#[test]
fn the_voltage_of_a_rotor_is_held_against_its_contactors() {
    let of = |volts: &'static str, more: &[(&'static str, &'static str)]| {
        let base = [
            ("rated_power_kw", "37"),
            ("full_load_current_a", "66"),
            ("rotor_current_a", "50"),
            ("rotor_voltage_v", volts),
            ("starting_method", "rotor-resistance"),
        ];
        size(&with(PUMP, &[base.as_slice(), more].concat()))
    };
    let limit = |circuit: &Circuit| {
        let check = circuit.checks.iter().find(|check| check.name == "rated-voltage" && check.subject == "rotor-1");
        check.and_then(|check| check.value.zip(check.limit))
    };
    let told = |circuit: &Circuit, code: &str| circuit.findings.iter().any(|finding| finding.code == code);
    let low = of("320", &[]);
    assert_eq!(limit(&low), Some((320.0, 1380.0)));
    assert!(!told(&low, "C330"));
    let high = of("900", &[]);
    assert_eq!(limit(&high), Some((900.0, 1380.0)));
    assert!(told(&high, "C330") && high.status == Status::NeedsDecision);
    // Plugged, the contactor breaks at that voltage: 690 V are not enough.
    let braked = of("900", &[("duty", "S5")]);
    assert!(
        braked.contactors.iter().any(|contactor| contactor.role == "rotor-1" && contactor.part.is_empty())
            && told(&braked, "C203")
    );
    let beyond = of("1600", &[]);
    assert!(told(&beyond, "L305") && beyond.status == Status::NotSized);
}

/// A run that leaves its starter by terminals of the panel lands there, not under the clamp of its relay: what is bought for it and what is
/// asked of it are the same. Without such terminals it goes to the device, and the device must take it.
#[test]
fn a_run_that_ends_at_panel_terminals_is_held_against_these() {
    // 10 mm² by the drop over a long way; relays of a motor of 8.1 A clamp 6 mm² at most.
    let long = [("rated_power_kw", "4"), ("full_load_current_a", "8.1"), ("cable_length_m", "250"), ("protection_kind", "gG")];
    let cells = with(PUMP, &long);
    let of = |range: &crate::catalogue::Catalogue| size_in(&row(&cells), &basis(), range, &Pins::default()).0;
    let mut range = crate::catalogue::builtin("iec").clone();
    let failed = |circuit: &Circuit| {
        let mut checks = circuit.checks.iter().filter(|check| check.name == "terminals" && check.subject == "motor run");
        checks.next().is_some_and(|check| check.passed == Some(false))
    };
    let circuit = of(&range);
    let run = circuit.runs.first().expect("a run");
    assert!(run.phase_area_mm2 > 6.0 && run.phase_area_mm2 <= 10.0, "the case: {}", run.phase_size);
    assert!(circuit.parts.iter().any(|part| part.part == "GEN-T-10") && !failed(&circuit));
    range.terminals.clear();
    assert!(failed(&of(&range)), "without terminals the relay must clamp it");
}
