//! Choices of others: what the program would choose itself is adequate, a step less is not, with the clause that says so.

mod common;

use std::collections::BTreeMap;

use motorwright::catalogue::{self, Category};
use motorwright::design::{Circuit, Contactor, Given, Overload, Status, Verdict};
use serde_json::{Value, json};

type Stated = BTreeMap<String, Value>;

/// The contactor that carries the most; the first of equals.
fn heaviest(circuit: &Circuit) -> Option<&Contactor> {
    circuit.contactors.iter().reduce(|most, contactor| if most.current_a < contactor.current_a { contactor } else { most })
}

/// The relay of the motor with the highest setting.
fn relay(circuit: &Circuit) -> Option<&Overload> {
    let all = || circuit.overloads.iter();
    let of_motor: Vec<&Overload> = all().filter(|overload| overload.role != "protection").collect();
    let all: Vec<&Overload> = if of_motor.is_empty() { all().collect() } else { of_motor };
    all.into_iter().reduce(|most, overload| if most.setting_a < overload.setting_a { overload } else { most })
}

/// The program's own choice as somebody else would write it into the row.
fn written(circuit: &Circuit, book: &str) -> Stated {
    let mut cells = Stated::new();
    if let Some(heaviest) = heaviest(circuit).filter(|contactor| !contactor.part.is_empty()) {
        let contactor = catalogue::builtin(book).contactor_with_coil(&heaviest.part);
        // A contactor is named by its AC-3 rating but where the load is resistive.
        let ac3 = contactor.and_then(|contactor| contactor.rating(Category::Ac3, circuit.load.voltage_v.unwrap_or(400.0)));
        let named = if heaviest.category.starts_with("AC-") && heaviest.category != "AC-1" { ac3 } else { None };
        cells.insert("given_contactor_a".to_owned(), json!(named.unwrap_or(heaviest.rated_a)));
        let size = contactor.and_then(|contactor| contactor.nema_size.clone());
        size.map(|size| cells.insert("given_nema_size".to_owned(), json!(size)));
    }
    if let Some(overload) = relay(circuit) {
        cells.insert("given_overload_range_a".to_owned(), json!(format!("{}-{}", overload.range_a[0], overload.range_a[1])));
        cells.insert("given_overload_setting_a".to_owned(), json!(overload.setting_a));
        cells.insert("given_trip_class".to_owned(), json!(overload.trip_class));
    }
    if let Some(protection) = &circuit.protection {
        cells.insert("given_protection_kind".to_owned(), json!(protection.kind));
        cells.insert("given_protection_a".to_owned(), json!(protection.rating_a));
        protection.magnetic_trip_a.map(|trip| cells.insert("given_magnetic_a".to_owned(), json!(trip)));
    }
    if let Some(run) = circuit.runs.first() {
        cells.insert("given_conductor".to_owned(), json!(run.phase_size));
        cells.insert("given_parallel".to_owned(), json!(f64::from(run.per_phase)));
        cells.insert("given_protective_conductor".to_owned(), json!(run.protective_size));
        let raceway = run.raceway.as_ref().map(|raceway| format!("{} {}", raceway.kind, raceway.trade_size));
        raceway.map(|raceway| cells.insert("given_raceway".to_owned(), json!(raceway)));
    }
    cells
}

/// Limits that a rating or a setting does not decide by itself: ampere ratings where horsepower counts, categories of special loads, and
/// settings of relays whose ultimate trip is lower than an unknown one.
fn may_stay_open(circuit: &Circuit, given: &Given, book: &str) -> bool {
    let category = heaviest(circuit).map_or("", |contactor| contactor.category.as_str());
    match given.column.as_str() {
        "given_contactor_a" => matches!(category, "horsepower" | "AC-4" | "AC-5a" | "AC-6b"),
        // No check is made of a load whose inrush nobody knows.
        "given_magnetic_a" => !circuit.checks.iter().any(|check| check.name == "magnetic-trip-at-start"),
        "given_overload_setting_a" => {
            let part = relay(circuit).map_or("", |overload| overload.part.as_str());
            let relay = catalogue::builtin(book).overload_relays.iter().find(|relay| relay.part == part);
            book == "nec"
                && relay
                    .and_then(|relay| relay.ultimate_trip_factor)
                    .is_some_and(|ultimate_trip_factor| ultimate_trip_factor < 1.25)
        }
        _ => false,
    }
}

#[rstest::rstest]
#[case::iec("water-works", "iec")]
#[case::nec("hospital-hvac", "nec")]
fn what_the_program_would_choose_is_adequate(#[case] name: &str, #[case] book: &str) {
    let inputs = common::opened_example(name);
    let mut wrong = Vec::new();
    let mut verdicts = 0;
    for circuit in inputs.design().circuits.iter().filter(|circuit| circuit.status != Status::NotSized) {
        let size_stated = inputs.size_stated(&circuit.stated);
        let cells = written(&size_stated, book);
        let mut stated = circuit.stated.clone();
        stated.extend(cells.clone());
        let judged = inputs.size_stated(&stated);
        assert_eq!(judged.given.len(), cells.len(), "{}: one verdict for each column", circuit.tag);
        let bare =
            Circuit { given: Vec::new(), stated: size_stated.stated.clone(), load: size_stated.load.clone(), ..judged.clone() };
        assert_eq!(
            (&bare.parts, &bare.checks),
            (&size_stated.parts, &size_stated.checks),
            "{}: choices of others change nothing",
            circuit.tag
        );
        for given in &judged.given {
            verdicts += 1;
            let open = given.verdict == Verdict::NotChecked && may_stay_open(&size_stated, given, book);
            if given.verdict != Verdict::Adequate && !open {
                let method = circuit.load.starting_method.as_deref().unwrap_or("");
                wrong.push(format!("{} {method} {}: {given:?}", circuit.tag, circuit.load.kind));
            }
        }
    }
    assert!(wrong.is_empty(), "{}\n{}", wrong.len(), wrong.join("\n"));
    assert!(verdicts > 200, "{verdicts}");
}

const BASIS: [(&str, &str); 2] = [
    ("iec", "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nphases = 3\nfrequency_hz = 50\n"),
    ("nec", "[rules]\nbook = \"nec\"\n[supply]\nvoltage_v = 480\nphases = 3\nfrequency_hz = 60\n"),
];

/// A direct motor of each book: 14.3 A at 7.5 times; 10 hp with 14 A (Table 430.250).
const PLAIN: [(&str, &[(&str, &str)]); 2] = [
    (
        "iec",
        &[
            ("tag", "P-1"),
            ("rated_power_kw", "7.5"),
            ("full_load_current_a", "14.3"),
            ("efficiency_pct", "90.4"),
            ("power_factor", "0.84"),
            ("efficiency_class", "IE3"),
            ("locked_rotor_ratio", "7.5"),
            ("start_time_s", "2"),
            ("voltage_v", "400"),
            ("starting_method", "direct"),
            ("cable_length_m", "10"),
            ("installation_method", "C"),
        ],
    ),
    (
        "nec",
        &[
            ("tag", "P-1"),
            ("rated_power_hp", "10"),
            ("full_load_current_a", "14"),
            ("service_factor", "1.15"),
            ("voltage_v", "460"),
            ("starting_method", "direct"),
            ("cable_length_ft", "30"),
        ],
    ),
];

fn of<T: Copy>(all: &[(&str, T)], book: &str) -> T {
    all.iter().find(|(name, _)| *name == book).expect("a book").1
}

/// The plain row of a book with some cells put in place of its own, or added.
fn sized(book: &str, cells: &[(&str, &str)]) -> Circuit {
    let plain = of(&PLAIN, book);
    let kept = plain.iter().filter(|(name, _)| !cells.iter().any(|(other, _)| other == name));
    let (names, texts): (Vec<&str>, Vec<&str>) = kept.chain(cells).copied().unzip();
    let schedule = format!("{}\n{}\n", names.join(","), texts.join(","));
    common::design_of(&schedule, of(&BASIS, book)).circuits.remove(0)
}

fn verdict<'c>(circuit: &'c Circuit, column: &str) -> &'c Given {
    circuit.given.iter().find(|given| given.column == column).unwrap_or_else(|| panic!("no {column}: {:?}", circuit.given))
}

type Cells = &'static [(&'static str, &'static str)];

// Each line: what is given, the clause that it breaks, and how far, per cent of the limit, where it follows from the figures alone.
#[rstest::rstest]
// 14.3 A against 9 A.
#[case::contactor("iec", &[("given_contactor_a", "9")], "IEC 60947-4-1, Table 1", None)]
// A range that begins at 16 A can't be set to 14.3 A: (14.3 - 16) / 14.3.
#[case::range_too_high("iec", &[("given_overload_range_a", "16-24")], "IEC 60204-1, 7.3", Some(-11.89))]
// 13 A carry 13.65 A at most (1.05 times the setting, IEC 60947-4-1 Table 3): (13 - 14.3 / 1.05) / (14.3 / 1.05).
#[case::range_too_low("iec", &[("given_overload_range_a", "9-13")], "IEC 60947-4-1, Table 3", Some(-4.55))]
#[case::setting_too_high("iec", &[("given_overload_setting_a", "16")], "IEC 60204-1, 7.3", Some(-11.89))]
#[case::setting_too_low("iec", &[("given_overload_setting_a", "13")], "IEC 60947-4-1, Table 3", Some(-4.55))]
#[case::setting_off_its_range("iec", &[("given_overload_setting_a", "14.3"), ("given_overload_range_a", "6-14")], "given_overload_range_a", Some(-2.14))]
// A relay of class 10 trips within 10 s at 7.2 times its setting: no start of 15 s.
#[case::class_too_quick("iec", &[("given_trip_class", "10"), ("start_time_s", "15")], "IEC 60947-4-1, Table 2", None)]
#[case::fuse_too_small("iec", &[("given_protection_a", "16"), ("given_protection_kind", "gG")], "IEC 60269-1", None)]
// 14.3 A against 10 A: (10 - 14.3) / 14.3.
#[case::breaker_too_small("iec", &[("given_protection_a", "10"), ("given_protection_kind", "motor-breaker")], "IEC 60364-4-43, 433.1", Some(-30.07))]
// The start draws 7.5 x 14.3 = 107 A.
#[case::trip_too_low("iec", &[("given_magnetic_a", "90")], "lower limit of the release", None)]
// 120 A less 20 % are 96 A: (96 - 107.25) / 107.25.
#[case::trip_too_low_by_its_tolerance("iec", &[("given_magnetic_a", "120")], "lower limit of the release", Some(-10.49))]
// A relay of class 30 lets a locked rotor stand for more than 5 s of tE.
#[case::class_beyond_te("iec", &[("given_trip_class", "30"), ("te_s", "5")], "IEC 60079", None)]
// (40 - 50) / 40.
#[case::fuse_beyond_marking("iec", &[("given_protection_a", "50"), ("given_protection_kind", "gG"), ("maximum_protection_a", "40"), ("protection_kind", "gG")], "marking", Some(-25.0))]
#[case::fuse_beyond_contactor("iec", &[("given_protection_a", "200"), ("given_protection_kind", "gG")], "contactor: largest fuse", None)]
#[case::fuse_beyond_relay("iec", &[("given_protection_a", "63"), ("given_protection_kind", "gG"), ("protection_kind", "gG")], "overload relay: largest fuse", None)]
// 20 A against 17.5 A of 1.5 mm2, method C, PVC, three loaded (IEC 60364-5-52, Table B.52.4), times 0.87 at 40 °C (B.52.14): 15.225 A.
#[case::conductor("iec", &[("given_conductor", "1.5 mm2"), ("full_load_current_a", "20")], "IEC 60364-5-52, 523", Some(-31.36))]
// As large as the phase conductor up to 16 mm2 (Table 54.2): (4 - 6) / 6.
#[case::protective("iec", &[("given_protective_conductor", "4 mm2"), ("given_conductor", "6 mm2")], "IEC 60364-5-54", Some(-33.33))]
// Size 0 is for 5 hp at 460 V (NEMA ICS 2): (5 - 10) / 5.
#[case::size("nec", &[("given_nema_size", "0")], "430.83(A)", Some(-100.0))]
#[case::contactor_below_current("nec", &[("given_contactor_a", "9")], "430.83(A)", None)]
// 125 % of 14 A are 17.5 A, and no relay trips below its setting: (17.5 - 20) / 17.5.
#[case::setting_above_ceiling("nec", &[("given_overload_setting_a", "20")], "430.32(A)(1)", Some(-14.29))]
// An ultimate trip of 1.25 x 9 = 11.25 A is below 14 A: (9 - 11.2) / 11.2.
#[case::setting_below_load("nec", &[("given_overload_setting_a", "9")], "430.32", Some(-19.64))]
#[case::range_above_ceiling("nec", &[("given_overload_range_a", "18-27")], "430.32(A)(1)", None)]
// 250 % of 14 A are 35 A, a standard size: (35 - 40) / 35.
#[case::breaker_too_large("nec", &[("given_protection_a", "40"), ("given_protection_kind", "inverse-time")], "430.52", Some(-14.29))]
// 20 A carry 100 A for 10 s (test point of UL 248), so 6 x 14 = 84 A for 10 x (100/84)^2 = 14.2 s: (14.17 - 20) / 14.17.
#[case::fuse_too_quick("nec", &[("given_protection_a", "20"), ("given_protection_kind", "dual-element"), ("locked_rotor_ratio", "6"), ("start_time_s", "20")], "UL 248", None)]
// 800 % of 14 A are 112 A (Table 430.52(C)(1)); 1300 % only for a motor that does not start otherwise: (112 - 180) / 112.
#[case::trip_beyond_the_first_limit("nec", &[("given_magnetic_a", "180"), ("given_protection_kind", "instantaneous")], "430.52", None)]
// 175 % of 14 A are 24.5 A; the next standard size is 25 A: (25 - 30) / 25.
#[case::fuse_too_large("nec", &[("given_protection_a", "30"), ("given_protection_kind", "dual-element")], "430.52", Some(-20.0))]
// 125 % of 14 A are 17.5 A; 14 AWG has 15 A at terminations of 60 °C (Table 310.16): (15 - 17.5) / 15.
#[case::conductor_at_terminations("nec", &[("given_conductor", "14 AWG")], "110.14(C)", Some(-16.67))]
// 35 A want 10 AWG (Table 250.122), never more than the phase conductors of 12 AWG; 14 AWG is 2.08 of 3.31 mm2.
#[case::grounding("nec", &[("given_protective_conductor", "14 AWG"), ("given_conductor", "12 AWG")], "250.122", Some(-37.16))]
// 65 A x 1.25 want 4 AWG at 75 °C: 3 x 0.0824 and 0.0366 in2 of grounding are 0.284 in2; EMT 3/4 takes 0.213 in2 (Chapter 9, Tables 4 and
// 5).
#[case::raceway("nec", &[("given_raceway", "3/4"), ("rated_power_hp", "50"), ("full_load_current_a", "65"), ("design_letter", "B")], "Chapter 9 Table 1", None)]
// Conductors in parallel begin at 1/0 AWG.
#[case::parallel("nec", &[("given_conductor", "8 AWG"), ("given_parallel", "2")], "310.10(G)", None)]
fn a_step_less_is_inadequate_by_its_clause(
    #[case] book: &str,
    #[case] cells: Cells,
    #[case] clause: &str,
    #[case] margin: Option<f64>,
) {
    let circuit = sized(book, cells);
    let given = verdict(&circuit, cells[0].0);
    assert_eq!(given.verdict, Verdict::Inadequate, "{given:?}");
    assert!(given.reference.contains(clause), "{given:?}");
    assert!(!given.wanted.is_empty() && !given.what_follows.is_empty(), "{given:?}");
    assert!(given.margin_pct.is_some_and(|margin_pct| margin_pct < 0.0), "{given:?}");
    assert!(
        margin.is_none_or(|margin| given.margin_pct.is_some_and(|margin_pct| (margin_pct - margin).abs() < 0.02)),
        "{given:?}"
    );
    let finding =
        circuit.findings.iter().find(|finding| finding.code == "C701" && finding.what.contains(cells[0].0)).expect("a finding");
    assert!(finding.cure.contains(&given.wanted.replace("mm2", "mm²")), "{finding:?}");
    assert_eq!(finding.place.as_ref().and_then(|place| place.heading.as_deref()), Some(cells[0].0));
    assert_eq!(circuit.status, Status::NeedsDecision, "the circuit stands with the program's own choice");
    assert!(!circuit.parts.is_empty());
}

#[rstest::rstest]
#[case::contactor("iec", &[("given_contactor_a", "115")], "terminals")]
// Class 30 trips within 30 s at 7.2 times the setting (IEC 60947-4-1, Table 2).
#[case::class("iec", &[("given_trip_class", "30"), ("stall_time_s", "40")], "may stand stalled for 40 s")]
#[case::conductor("iec", &[("given_conductor", "25 mm2")], "16 mm2")] // Table 54.2: 16 mm2 from 16 to 35 mm2
#[case::protective("iec", &[("given_protective_conductor", "10 mm2")], "terminals")]
#[case::size("nec", &[("given_nema_size", "4")], "terminals")]
#[case::conductor_nec("nec", &[("given_conductor", "2 AWG")], "250.122")]
#[case::raceway("nec", &[("given_raceway", "emt 2")], "fittings")]
fn what_is_larger_than_needed_is_noted_with_what_follows(#[case] book: &str, #[case] cells: Cells, #[case] follows: &str) {
    let circuit = sized(book, cells);
    let given = verdict(&circuit, cells[0].0);
    assert_eq!(given.verdict, Verdict::Oversized, "{given:?}");
    assert!(given.what_follows.contains(follows), "{given:?}");
    let finding = circuit.findings.iter().find(|finding| finding.code == "C702").expect("a note");
    assert_eq!(finding.severity, motorwright::finding::Severity::Note);
    assert!(!given.less_protection && !circuit.findings.iter().any(|finding| finding.code == "C705"), "{:?}", circuit.findings);
}

/// Without fault currents nothing shows that a larger device still clears a fault, and without a stall time nothing that a slower class
/// still protects the motor.
#[rstest::rstest]
#[case::class("iec", &[("given_trip_class", "30")], "not stated")]
#[case::class_nec("nec", &[("given_trip_class", "30")], "not stated")]
#[case::breaker("iec", &[("given_protection_a", "25"), ("given_protection_kind", "motor-breaker"), ("given_overload_range_a", "13-25")], "disconnection")]
#[case::trip("iec", &[("given_magnetic_a", "400")], "disconnection")]
fn what_is_larger_and_protects_less_as_far_as_is_known_is_a_warning(
    #[case] book: &str,
    #[case] cells: Cells,
    #[case] follows: &str,
) {
    let circuit = sized(book, cells);
    let given = verdict(&circuit, cells[0].0);
    assert!(given.verdict == Verdict::Oversized && given.less_protection, "{given:?}");
    assert!(given.what_follows.contains(follows), "{given:?}");
    let finding = circuit.findings.iter().find(|finding| finding.code == "C705").expect("a warning");
    assert_eq!(finding.severity, motorwright::finding::Severity::Warning);
    assert_eq!(circuit.status, Status::NeedsDecision);
}

/// A trip of 300 A, 20 % late at most, is 360 A, which is told against the smallest fault; what its device lets through before that is
/// not known, and is to be shown against what the conductors stand: (115 x 6 mm2) squared, 476 100 A²s (IEC 60364-4-43, 434.5.2).
#[test]
fn what_a_larger_device_still_clears_is_said_by_figures() {
    let basis = format!("{}earthing = \"TN-S\"\nprospective_fault_ka = 15\nprospective_fault_min_ka = 5\n", of(&BASIS, "iec"));
    let cells = [("given_magnetic_a", "300"), ("given_conductor", "6 mm2")];
    let (names, texts): (Vec<&str>, Vec<&str>) = of(&PLAIN, "iec").iter().chain(&cells).copied().unzip();
    let circuit = common::design_of(&format!("{}\n{}\n", names.join(","), texts.join(",")), &basis).circuits.remove(0);
    let trip = verdict(&circuit, "given_magnetic_a");
    assert!(trip.verdict == Verdict::Oversized && trip.less_protection, "{trip:?}");
    for said in [
        "still kept: disconnection",
        "of at least 360 A",
        "not shown behind it: fault withstand",
        "of at most 476\u{202f}100 A²s",
    ] {
        assert!(trip.what_follows.contains(said), "{said}: {trip:?}");
    }
}

/// A contactor that is many frames larger and a conductor beyond the program's own terminals say so by figures.
#[test]
fn what_room_and_terminals_a_larger_choice_takes_is_said_by_figures() {
    let circuit = sized("iec", &[("given_contactor_a", "115"), ("given_conductor", "150 mm2")]);
    let contactor = &verdict(&circuit, "given_contactor_a").what_follows;
    let range = catalogue::builtin("iec");
    let width = |part: &str| range.contactor_with_coil(part).map(|contactor| contactor.width_mm).expect("it is in the catalogue");
    let chosen = width(&circuit.contactors[0].part);
    assert!(
        contactor.contains(&format!("mm wide instead of {chosen} mm")) && contactor.contains("clamps no less than"),
        "{contactor}"
    );
    let conductor = &verdict(&circuit, "given_conductor").what_follows;
    assert!(conductor.contains("larger terminals or a box between are needed"), "{conductor}");
    // 1.5 mm2 is what the current asks for; its own terminals take 2.5 mm2.
    let small = sized("iec", &[("given_conductor", "2.5 mm2")]);
    assert!(verdict(&small, "given_conductor").what_follows.contains("own terminals take it"), "{:?}", small.given);
}

/// One conductor a phase that is larger than needed is not too many of them.
#[test]
fn the_number_in_parallel_is_oversized_by_its_number_only() {
    let circuit = sized("iec", &[("given_conductor", "25 mm2"), ("given_parallel", "1")]);
    assert_eq!(verdict(&circuit, "given_conductor").verdict, Verdict::Oversized);
    assert_eq!(verdict(&circuit, "given_parallel").verdict, Verdict::Adequate);
    let two = sized("iec", &[("given_conductor", "25 mm2"), ("given_parallel", "2")]);
    assert_eq!(verdict(&two, "given_parallel").verdict, Verdict::Oversized);
}

#[rstest::rstest]
#[case::no_unit("nec", &[("given_conductor", "10")], "unit")]
#[case::word("iec", &[("given_conductor", "banana")], "no size")]
#[case::cores("iec", &[("given_conductor", "4x2.5 mm2")], "no size")]
#[case::protective("iec", &[("given_protective_conductor", "yes")], "no size")]
#[case::dots("iec", &[("given_overload_range_a", "9..13")], "range")]
#[case::reversed("iec", &[("given_overload_range_a", "13-9")], "below")]
#[case::class("nec", &[("given_trip_class", "10A")], "10, 20, 30")]
#[case::kind("iec", &[("given_protection_kind", "banana")], "motor-breaker")]
#[case::parallel_alone("iec", &[("given_parallel", "2")], "without the size")]
#[case::raceway("nec", &[("given_raceway", "emt banana")], "trade size")]
#[case::raceway_kind("nec", &[("given_raceway", "hose 3/4")], "kind")]
fn what_cannot_be_read_is_said_at_its_cell(#[case] book: &str, #[case] cells: Cells, #[case] why: &str) {
    let circuit = sized(book, cells);
    let given = verdict(&circuit, cells[0].0);
    assert_eq!(given.verdict, Verdict::NotChecked, "{given:?}");
    let finding = circuit.findings.iter().find(|finding| finding.code == "C704").expect("a finding");
    assert!(finding.what.contains(cells[0].1) && finding.what.contains(why) && !finding.cure.is_empty(), "{finding:?}");
    assert_eq!(finding.place.as_ref().and_then(|place| place.heading.as_deref()), Some(cells[0].0));
    assert_eq!(circuit.status, Status::NeedsDecision);
}

#[rstest::rstest]
// A release for larger motors may not come down to 14.3 A.
#[case::release("iec", &[("given_protection_a", "63"), ("given_protection_kind", "motor-breaker")], "lacks overload protection")]
// Class 10 within 10 s at 6 times the ultimate trip (NEMA ICS 2): a start of 6 times the setting takes 10 s, at 1.25 times it 15.6 s.
#[case::class_at_stall("nec", &[("given_trip_class", "10"), ("locked_rotor_ratio", "6"), ("stall_time_s", "12"), ("service_factor", "1.0")], "trips in the end")]
// An ampere rating says nothing of horsepower.
#[case::amperes_alone("nec", &[("given_contactor_a", "27")], "horsepower")]
#[case::size_under_iec("iec", &[("given_nema_size", "1")], "NEMA size 1")]
#[case::no_such_size("nec", &[("given_nema_size", "12")], "NEMA size 12")]
#[case::fuse_of_the_other_book("nec", &[("given_protection_kind", "gG")], "no rules")]
#[case::fuse_without_trip("iec", &[("given_magnetic_a", "200"), ("given_protection_kind", "gG")], "fuse has no trip")]
// Between 14 AWG (2.08 mm2), which does not hold, and 12 AWG (3.31 mm2), which does.
#[case::between_sizes("nec", &[("given_conductor", "2.5 mm2")], "no such size")]
#[case::raceway_under_iec("iec", &[("given_raceway", "3/4")], "no raceways")]
fn what_the_figure_does_not_decide_is_not_checked(#[case] book: &str, #[case] cells: Cells, #[case] why: &str) {
    let circuit = sized(book, cells);
    let given = verdict(&circuit, cells[0].0);
    assert_eq!(given.verdict, Verdict::NotChecked, "{given:?}");
    assert!(given.what_follows.contains(why), "{given:?}");
    assert!(
        circuit.findings.iter().any(|finding| finding.code == "C703" && finding.what.contains(cells[0].0)),
        "{:?}",
        circuit.findings
    );
}

#[test]
fn a_size_of_the_other_book_counts_as_the_next_smaller_one() {
    // 12 AWG is 3.31 mm2, between 2.5 and 4 mm2.
    let circuit = sized("iec", &[("given_conductor", "12 AWG")]);
    let given = verdict(&circuit, "given_conductor");
    assert!(matches!(given.verdict, Verdict::Adequate | Verdict::Oversized), "{given:?}");
    assert!(given.what_follows.contains("judged as 2.5 mm2"), "{given:?}");
}

/// A setting of others counts for conductors of others: 20 A of setting want more than the 15.2 A of 1.5 mm2 at 40 °C.
#[test]
fn choices_of_others_are_judged_together() {
    let alone = sized("iec", &[("given_conductor", "1.5 mm2")]);
    assert_ne!(verdict(&alone, "given_conductor").verdict, Verdict::Inadequate, "{:?}", alone.given);
    let together = sized("iec", &[("given_conductor", "1.5 mm2"), ("given_overload_setting_a", "20")]);
    let given = verdict(&together, "given_conductor");
    assert_eq!((given.verdict, given.reference.as_str()), (Verdict::Inadequate, "IEC 60364-4-43, 433.1"), "{given:?}");
    // A fuse before a relay protects from short circuits only.
    let cells = [("given_conductor", "1.5 mm2"), ("given_protection_a", "40"), ("given_protection_kind", "gG")];
    let behind_fuse = sized("iec", &cells);
    assert_ne!(verdict(&behind_fuse, "given_protection_a").verdict, Verdict::Inadequate, "{:?}", behind_fuse.given);
}

/// IEC 60364-5-54, 543.1.2 may admit less than Table 54.2: who reads that a protective conductor fails is told.
#[test]
fn a_small_protective_conductor_is_told_of_the_other_way() {
    let circuit = sized("iec", &[("given_protective_conductor", "2.5 mm2"), ("given_conductor", "6 mm2")]);
    assert!(verdict(&circuit, "given_protective_conductor").what_follows.contains("543.1.2"), "{:?}", circuit.given);
}

/// Behind an instantaneous trip the grounding conductor follows the dual-element fuse (250.122(D)(2)): 175 % of 52 A are 91 A, so
/// 100 A, and 8 AWG (Table 250.122). Behind a breaker of 250 %, 130 A, so 150 A, it is 6 AWG: (8.37 - 13.3) / 13.3 mm2.
#[test]
fn a_grounding_conductor_follows_the_stated_kind_of_device() {
    const MOTOR: [(&str, &str); 4] = [
        ("given_protective_conductor", "8 AWG"),
        ("rated_power_hp", "40"),
        ("full_load_current_a", "52"),
        ("given_protection_kind", "instantaneous"),
    ];
    let behind_trip = verdict(&sized("nec", &MOTOR), MOTOR[0].0).clone();
    assert_eq!(behind_trip.verdict, Verdict::Adequate, "{behind_trip:?}");
    let behind_breaker = verdict(&sized("nec", &MOTOR[..3]), MOTOR[0].0).clone();
    assert_eq!(behind_breaker.verdict, Verdict::Inadequate, "{behind_breaker:?}");
    assert!(behind_breaker.margin_pct.is_some_and(|margin_pct| (margin_pct + 37.07).abs() < 0.1), "{behind_breaker:?}");
}

/// A fuse protects the conductors of a heater alone: 32 A against 2.5 mm2, which carry 24 A at most (IEC 60364-5-52, Table B.52.4,
/// method C, PVC, three loaded).
#[test]
fn a_fuse_of_others_must_protect_the_conductors_of_a_heater() {
    let heater = [
        ("given_protection_a", "32"),
        ("given_protection_kind", "gG"),
        ("given_conductor", "2.5 mm2"),
        ("load_kind", "heater"),
        ("starting_method", "contactor"),
        ("protection_kind", "gG"),
    ];
    let circuit = sized("iec", &heater);
    for column in ["given_protection_a", "given_conductor"] {
        let given = verdict(&circuit, column);
        assert_eq!((given.verdict, given.reference.as_str()), (Verdict::Inadequate, "IEC 60364-4-43, 433.1"), "{given:?}");
    }
}

/// 10 mm2 lie between 8 AWG (8.37 mm2) and 6 AWG (13.3 mm2), and 65 A x 1.25 want 4 AWG: it fails whichever counts.
#[test]
fn a_size_that_the_book_lacks_fails_where_the_next_larger_fails() {
    let circuit = sized(
        "nec",
        &[("given_conductor", "10 mm2"), ("rated_power_hp", "50"), ("full_load_current_a", "65"), ("design_letter", "B")],
    );
    let given = verdict(&circuit, "given_conductor");
    assert_eq!(given.verdict, Verdict::Inadequate, "{given:?}");
    assert!(given.what_follows.contains("fails even as 6 AWG"), "{given:?}");
}

/// A trip of 20 % tolerance (IEC 60947-4-1, 8.3.3.1.2) clears for certain what is 1.2 times its figure: with 1/1.1 of the smallest fault
/// it is late, with 1/1.25 in time.
#[test]
fn a_stated_trip_clears_a_fault_by_the_upper_end_of_its_tolerance() {
    let basis = format!("{}earthing = \"TN-S\"\nprospective_fault_ka = 15\nprospective_fault_min_ka = 5\n", of(&BASIS, "iec"));
    let judged = |trip: &str| {
        let plain = of(&PLAIN, "iec").iter().filter(|(name, _)| *name != "cable_length_m");
        let (names, texts): (Vec<&str>, Vec<&str>) =
            plain.chain(&[("cable_length_m", "40"), ("given_magnetic_a", trip)]).copied().unzip();
        common::design_of(&format!("{}\n{}\n", names.join(","), texts.join(",")), &basis).circuits.remove(0)
    };
    let fault = 1000.0 * judged("200").fault.terminal_single_phase_min_ka.expect("a fault");
    let [late, in_time] = [1.1, 1.25].map(|over| judged(&format!("{:.1}", fault / over)));
    let (late, in_time) = (verdict(&late, "given_magnetic_a"), verdict(&in_time, "given_magnetic_a"));
    assert_eq!(late.verdict, Verdict::Inadequate, "{late:?}");
    assert!(late.what_follows.contains("disconnection"), "{late:?}");
    assert_ne!(in_time.verdict, Verdict::Inadequate, "{in_time:?}");
}

/// A row that starts by six leads has several runs, contactors, and a relay that sees 1/sqrt(3) of the line current (14.3 A: 8.26 A).
#[test]
fn which_of_several_a_figure_is_judged_for_is_said() {
    let cells = [
        ("starting_method", "star-delta"),
        ("given_conductor", "2.5 mm2"),
        ("given_contactor_a", "12"),
        ("given_overload_setting_a", "8.26"),
    ];
    let circuit = sized("iec", &cells);
    for (column, said) in [
        ("given_conductor", "judged for the"),
        ("given_contactor_a", "which carries the most"),
        ("given_overload_setting_a", "sees 8.25"),
    ] {
        let given = verdict(&circuit, column);
        assert!(given.what_follows.contains(said), "{given:?}");
    }
}

#[test]
fn what_is_marked_for_fuses_has_no_circuit_breaker_of_others() {
    let circuit = sized(
        "iec",
        &[("given_protection_kind", "motor-breaker"), ("maximum_protection_a", "40"), ("maximum_protection_kind", "fuse")],
    );
    let given = verdict(&circuit, "given_protection_kind");
    assert_eq!((given.verdict, given.reference.as_str()), (Verdict::Inadequate, "marking of the equipment"), "{given:?}");
}

/// Behind a breaker whose trip nobody states, a conductor is not called adequate by a disconnection that only the program's own breaker
/// would give, nor where even that one fails.
#[test]
fn a_conductor_behind_an_unknown_device_is_not_simply_adequate() {
    let basis = format!("{}earthing = \"TN-S\"\nprospective_fault_ka = 15\nprospective_fault_min_ka = 5\n", of(&BASIS, "iec"));
    let judged = |length: &str, size: &str| {
        let cells = [("cable_length_m", length), ("given_protection_a", "25"), ("given_conductor", size)];
        let plain = of(&PLAIN, "iec").iter().filter(|(name, _)| *name != "cable_length_m");
        let (names, texts): (Vec<&str>, Vec<&str>) = plain.chain(&cells).copied().unzip();
        let circuit = common::design_of(&format!("{}\n{}\n", names.join(","), texts.join(",")), &basis).circuits.remove(0);
        verdict(&circuit, "given_conductor").clone()
    };
    let short = judged("10", "6 mm2");
    assert!(short.what_follows.contains("disconnection: told behind the program's own device"), "{short:?}");
    let long = judged("48", "2.5 mm2");
    assert_eq!(long.verdict, Verdict::NotChecked, "{long:?}");
    assert!(long.what_follows.contains("disconnection"), "{long:?}");
}

#[test]
fn a_verdict_that_is_missing_is_a_fault() {
    let circuit = sized("iec", &[("given_contactor_a", "18"), ("given_conductor", "2.5 mm2")]);
    let design = |circuit: Circuit| motorwright::design::Design { circuits: vec![circuit], ..Default::default() };
    let said = |circuit: &Circuit| {
        let design = design(circuit.clone());
        let book = motorwright::rules::book("iec", None).expect("a book");
        let basis = motorwright::basis::Basis::default();
        let found =
            motorwright::verify::Verifier::new(&basis, book, catalogue::builtin("iec"), &design.circuits).circuit(circuit);
        found.iter().filter(|finding| finding.code == "V804").count()
    };
    assert_eq!(said(&circuit), 0);
    let mut lacking = circuit.clone();
    lacking.given.pop();
    assert_eq!(said(&lacking), 1);
    let mut needless = circuit;
    needless.given.push(Given { column: "given_raceway".to_owned(), ..Given::default() });
    assert_eq!(said(&needless), 1);
}
