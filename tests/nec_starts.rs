//! How motors start under the NEC book: the current, the trip class that lets it pass, and which of two powers counts. Expected values are
//! worked by hand from the clause or table that is named.

mod common;

use common::nec::{BASIS, motor};
use motorwright::catalogue;
use motorwright::design::{Circuit, Design, Overload, Status, Verdict};
use motorwright::rules;
use motorwright::verify::Verifier;

type Cells<'c> = &'c [(&'static str, &'static str)];

fn has(circuit: &Circuit, code: &str) -> bool {
    circuit.findings.iter().any(|finding| finding.code == code)
}

fn relay(circuit: &Circuit) -> &Overload {
    circuit.overload.as_ref().unwrap_or_else(|| panic!("no relay: {:?}", circuit.findings))
}

/// Seconds of a class at a multiple of its setting, t = 37.3 C ln(m²/(m²-1)), of which 80 % must hold 120 % of the start.
fn lets_pass(class: f64, multiple: f64) -> f64 {
    let square = multiple * multiple;
    0.8 * 37.3 * class * libm::log(square / (square - 1.0)) / 1.2
}

/// Table 430.251(B) at 460 V: 10 hp 81 A, 1 hp 15 A. A nameplate without a service factor admits a trip at 115 % (430.32(A)(1)): 12 A give
/// 13.8 A, which a relay that trips in the end at 1.2 times its dial keeps at 11.5 A; 1.8 A give 2.07 A and 1.725 A, the dial below it 1.7
/// A. 81 over 11.5 is 7.04: class 10 lets 5.1 s pass, class 20 10.1 s. 15 over 1.7 is 8.82: class 10 lets 3.2 s pass, class 20 6.4 s.
#[rstest::rstest]
#[case::ten_horsepower("10", "12", "7", 81.0, [11.4, 11.5], "20")]
#[case::one_horsepower("1", "1.8", "4.9", 15.0, [1.7, 1.725], "20")]
#[case::short_start("10", "12", "5", 81.0, [11.4, 11.5], "10")]
fn the_class_lets_the_start_pass_at_its_own_dial(
    #[case] horsepower: &'static str,
    #[case] nameplate: &'static str,
    #[case] seconds: &'static str,
    #[case] locked: f64,
    #[case] dial: [f64; 2],
    #[case] class: &str,
) {
    let circuit = motor(&[
        ("rated_power_hp", horsepower),
        ("full_load_current_a", nameplate),
        ("design_letter", "B"),
        ("service_factor", "1.0"),
        ("start_time_s", seconds),
    ]);
    let relay = relay(&circuit);
    assert!((dial[0] - 1e-6..=dial[1] + 1e-6).contains(&relay.setting_a), "{}", relay.setting_a);
    assert!((circuit.currents.starting_a - locked).abs() < 0.01, "{}", circuit.currents.starting_a);
    assert_eq!(relay.trip_class, class);
    let lasts: f64 = seconds.parse().expect("seconds");
    let classes = [10.0, 20.0, 30.0];
    let quickest = classes.into_iter().find(|number| lets_pass(*number, locked / relay.setting_a) >= lasts);
    assert_eq!(quickest.map(|number| number.to_string()).as_deref(), Some(class));
}

/// A class of others is tried at the dial as well: 81 A on 11.5 A let 5.07 s pass in class 10.
#[rstest::rstest]
#[case::it_starts("5", Verdict::Adequate)]
#[case::it_trips("5.2", Verdict::Inadequate)]
fn a_given_class_is_tried_at_its_dial(#[case] seconds: &'static str, #[case] verdict: Verdict) {
    let circuit = motor(&[
        ("rated_power_hp", "10"),
        ("full_load_current_a", "12"),
        ("design_letter", "B"),
        ("service_factor", "1.0"),
        ("start_time_s", seconds),
        ("given_trip_class", "10"),
    ]);
    let given = circuit.given.iter().find(|given| given.column == "given_trip_class").expect("a verdict");
    assert_eq!(given.verdict, verdict, "{given:?}");
}

/// The amperes of a stalled motor are those of its letter or of the table, whatever current its circuit goes by. Table 430.7(B): G ends at
/// 6.29 kVA/hp, 6.29 × 10 000 / (√3 × 460) = 78.95 A, for 8 poles on 12 A and on 20 A (430.6(A)(1): the nameplate of a motor below
/// 1200 r/min) as for 4 poles on the table's 14 A. Table 430.251(B): 10 hp 81 A, of two windings as of one. A nameplate that states 72.6 A
/// has them though the table has 14 A for its 12 A.
#[rstest::rstest]
#[case::low_speed(&[("full_load_current_a", "12"), ("poles", "8"), ("locked_rotor_code", "G")], 78.95)]
#[case::of_the_table(&[("full_load_current_a", "14"), ("poles", "4"), ("locked_rotor_code", "G")], 78.95)]
#[case::larger_nameplate(&[("full_load_current_a", "20"), ("poles", "8"), ("locked_rotor_code", "G")], 78.95)]
#[case::two_windings(&[("full_load_current_a", "11"), ("full_load_current_low_a", "5"), ("rated_power_low_hp", "2.5"), ("starting_method", "two-speed-separate")], 81.0)]
#[case::stated(&[("full_load_current_a", "12"), ("poles", "4"), ("locked_rotor_current_a", "72.6")], 72.6)]
#[case::stated_as_a_ratio(&[("full_load_current_a", "12"), ("poles", "4"), ("locked_rotor_ratio", "6.05")], 72.6)]
fn a_motor_starts_with_its_own_amperes(#[case] cells: Cells<'_>, #[case] amperes: f64) {
    let circuit = motor(&[&[("rated_power_hp", "10")], cells].concat());
    assert!((circuit.currents.starting_a - amperes).abs() < 0.01, "{}", circuit.currents.starting_a);
}

/// Table 430.250 at 460 V: 5 hp 7.6 A, 10 hp 14 A, 15 hp 21 A. 7.5 kW are 10.06 hp: 14 + 7 × 0.058/5 = 14.08 A. Of powers that can't be one
/// motor's the larger counts, whichever it is.
#[rstest::rstest]
#[case::more_kilowatts("5", "7.5", 14.08, true)]
#[case::more_horsepower("10", "3.7", 14.0, true)]
#[case::one_motor("10", "7.5", 14.0, false)]
fn of_two_powers_the_larger_counts(
    #[case] horsepower: &'static str,
    #[case] kilowatts: &'static str,
    #[case] amperes: f64,
    #[case] told: bool,
) {
    let circuit = motor(&[("rated_power_hp", horsepower), ("rated_power_kw", kilowatts)]);
    assert!((circuit.currents.full_load_a - amperes).abs() < 0.005, "{}", circuit.currents.full_load_a);
    assert_eq!(has(&circuit, "L307"), told);
}

/// Table 430.250 and 430.251(B) at 460 V: full-load and locked-rotor amperes. NEMA MG 1 sets design A no limit: it is never taken for less
/// than design B, nor for less than the usual six times (430.110(C)(3)), and somebody asks for what it is.
#[rstest::rstest]
#[case("0.5", 1.1, 10.0)]
#[case("1", 2.1, 15.0)]
#[case("5", 7.6, 46.0)]
#[case("10", 14.0, 81.0)]
#[case("20", 27.0, 145.0)]
#[case("150", 180.0, 1085.0)]
fn design_a_never_starts_with_less_than_design_b(#[case] horsepower: &'static str, #[case] full_load: f64, #[case] of_b: f64) {
    let starting = |letter| motor(&[("rated_power_hp", horsepower), ("design_letter", letter)]);
    assert!((starting("B").currents.starting_a - of_b).abs() < 0.01);
    let design_a = starting("A");
    assert!((design_a.currents.starting_a - of_b.max(6.0 * full_load)).abs() < 0.01, "{}", design_a.currents.starting_a);
    assert!(has(&design_a, "R232") && design_a.status == Status::NeedsDecision);
    let known = [("locked_rotor_code", "H"), ("locked_rotor_ratio", "7")];
    assert!(known.iter().all(|cell| !has(&motor(&[("rated_power_hp", horsepower), ("design_letter", "A"), *cell]), "R232")));
}

/// Amperes of the label stand over no rated current of the row, and count as they are; what no motor of that power draws is told.
#[test]
fn locked_rotor_amperes_without_full_load_amperes_count_as_they_stand() {
    let of =
        |amperes: &'static str| motor(&[("rated_power_hp", "10"), ("design_letter", "A"), ("locked_rotor_current_a", amperes)]);
    let stated = of("118");
    assert!((stated.currents.starting_a - 118.0).abs() < 0.01, "{}", stated.currents.starting_a);
    assert!(!["R232", "I466", "L365"].iter().any(|code| has(&stated, code)), "{:?}", stated.findings);
    assert!(stated.findings.iter().all(|finding| !finding.code.starts_with('V')), "{:?}", stated.findings);
    // Table 430.250: 14 A; 1180 A are 84 times that.
    let slip = of("1180");
    assert!(has(&slip, "L365") && slip.status == Status::NeedsDecision, "{:?}", slip.findings);
    assert!((slip.currents.starting_a - 84.0).abs() < 0.01, "{}", slip.currents.starting_a);
    assert!(slip.findings.iter().all(|finding| !finding.code.starts_with('V')), "{:?}", slip.findings);
}

/// Class 10 at 81 A over 11.5 A trips after 7.6 s from cold; 1.2 times 7 s are not within 0.8 of that. Whoever puts class 10 there in the
/// place of class 20 is told by the verifier, which takes no check of the circuit for it.
#[test]
fn the_verifier_tries_the_class_against_the_start() {
    let row = "tag,rated_power_hp,voltage_v,phases,full_load_current_a,starting_method,cable_length_ft,design_letter,service_factor,start_time_s\n\
        M-1,10,460,3,12,direct,30,B,1.0,7\n";
    let mut design = common::design_of(row, BASIS);
    let said = |design: &Design| {
        let book = rules::book(&design.rule_book, None).expect("a book");
        let verifier = Verifier::new(&design.basis, book, catalogue::builtin(book.key()), &design.circuits);
        let found = verifier.design(design);
        found.into_iter().any(|(_, finding)| finding.code == "V303" && finding.what.contains("the start lasts"))
    };
    assert!(!said(&design));
    let circuit = &mut design.circuits[0];
    assert_eq!(relay(circuit).trip_class, "20");
    circuit.overloads[0].trip_class = "10".to_owned();
    circuit.overload = circuit.overloads.first().cloned();
    assert!(said(&design));
}
