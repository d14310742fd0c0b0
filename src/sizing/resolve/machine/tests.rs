//! Voltages and phases of rows against those of their board. Voltages: IEC 60038, Table 1; ANSI C84.1 (from memory): between lines
//! over √3 is to the neutral.

use crate::basis::{Basis, BoardBasis};
use crate::design::Circuit;
use crate::finding::Severity;
use crate::sizing::testing::{basis, row, size_with};

const MOTOR: &[(&str, &str)] =
    &[("tag", "P-1"), ("rated_power_kw", "1.5"), ("full_load_current_a", "6"), ("cable_length_m", "10")];

fn on(line: f64, cells: &[(&str, &str)]) -> Circuit {
    let mut basis: Basis = basis();
    basis.supply.voltage_v = Some(line);
    size_with(&row(&[MOTOR, cells].concat()), &basis).0
}

fn says(circuit: &Circuit, code: &str) -> bool {
    circuit.findings.iter().any(|finding| finding.code == code)
}

/// A motor of three phases stands between lines only; one for a phase also between a line and the neutral, or the middle of a winding.
#[rstest::rstest]
#[case::as_the_board(400.0, "400", "3", false)]
#[case::within_tolerance(480.0, "460", "3", false)]
#[case::to_the_neutral_of_three(400.0, "230", "3", true)]
#[case::of_another_country(400.0, "208", "3", true)]
#[case::half_of_the_line(480.0, "230", "3", true)]
#[case::to_the_neutral_of_one(400.0, "230", "1", false)]
#[case::between_two_lines(400.0, "400", "1", false)]
#[case::half_of_a_line_that_has_no_middle(480.0, "240", "1", true)]
#[case::middle_of_a_winding(240.0, "120", "1", false)]
#[case::to_the_neutral_of_480(480.0, "277", "1", false)]
fn a_voltage_that_the_board_does_not_give_is_told(
    #[case] line: f64,
    #[case] voltage: &str,
    #[case] phases: &str,
    #[case] told: bool,
) {
    let circuit = on(line, &[("voltage_v", voltage), ("phases", phases), ("starting_method", "direct")]);
    assert_eq!(says(&circuit, "L313"), told, "{:?}", circuit.findings);
}

#[rstest::rstest]
#[case::to_the_neutral("230", "direct", Some(1), true)]
#[case::between_lines("400", "direct", Some(3), false)]
#[case::windings_of_three_phases("230", "star-delta", Some(3), false)]
fn a_row_without_phases_at_the_voltage_to_the_neutral_is_taken_as_one_and_asked_about(
    #[case] voltage: &str,
    #[case] method: &str,
    #[case] phases: Option<u32>,
    #[case] asked: bool,
) {
    let circuit = on(400.0, &[("voltage_v", voltage), ("starting_method", method)]);
    assert_eq!(circuit.load.phases, phases);
    assert_eq!(says(&circuit, "L306"), asked, "{:?}", circuit.findings);
}

/// 230 V on a board of 400 V: a motor may be one of 230 V in delta and 400 V in star (common practice, no source), a heater or lamp is not.
#[rstest::rstest]
#[case::motor(&[("load_kind", "motor"), ("starting_method", "direct")], Severity::Warning)]
#[case::heater(&[("load_kind", "heater"), ("starting_method", "contactor")], Severity::Note)]
#[case::lamps(&[("load_kind", "lighting"), ("starting_method", "contactor")], Severity::Note)]
fn a_heater_to_the_neutral_is_noted_and_a_motor_asked_about(#[case] cells: &[(&str, &str)], #[case] severity: Severity) {
    let circuit = on(400.0, &[&[("voltage_v", "230")][..], cells].concat());
    let told = circuit.findings.iter().find(|finding| finding.code == "L306").expect("it is told");
    assert_eq!((told.severity, circuit.load.phases), (severity, Some(1)));
}

/// A board of one phase gives no more; and no supply has 120 V between three lines (ANSI C84.1, from memory: 120/240 V, 208Y/120 V).
#[test]
fn a_row_without_phases_has_those_of_its_board_and_one_at_120_volts() {
    let mut basis = basis();
    basis.supply.voltage_v = Some(240.0);
    basis.supply.phases = None;
    let of = |basis: &Basis, volts: &str| {
        let cells = [("voltage_v", volts), ("board", "LP"), ("starting_method", "direct")];
        let circuit = size_with(&row(&[MOTOR, &cells].concat()), basis).0;
        (circuit.load.phases, says(&circuit, "L306"))
    };
    assert_eq!(of(&basis, "240"), (Some(3), false));
    basis.boards.push(BoardBasis { name: Some("LP".to_owned()), phases: Some(1), ..BoardBasis::default() });
    assert_eq!(of(&basis, "240"), (Some(1), false));
    basis.boards.clear();
    basis.supply.voltage_v = None;
    assert_eq!(of(&basis, "120"), (Some(1), true));
}

/// A nameplate for another frequency than the supply's is another motor's, or its data are; behind a drive it is the motor's own.
#[rstest::rstest]
#[case::as_the_supply("50", "direct", false)]
#[case::another("60", "direct", true)]
#[case::another_behind_a_soft_starter("60", "soft-starter", true)]
#[case::behind_a_drive("87", "drive", false)]
fn a_frequency_that_the_supply_does_not_have_is_told(#[case] hertz: &str, #[case] method: &str, #[case] told: bool) {
    let circuit = on(400.0, &[("voltage_v", "400"), ("frequency_hz", hertz), ("starting_method", method)]);
    assert_eq!(says(&circuit, "L318"), told, "{:?}", circuit.findings);
}

/// Devices and coils are rated for 50 and 60 Hz: at 16.7 Hz (railways) and 400 Hz (aircraft) somebody must ask their makers.
#[rstest::rstest]
#[case(50.0, false)]
#[case(60.0, false)]
#[case(16.7, true)]
#[case(400.0, true)]
fn a_supply_of_an_unusual_frequency_is_told(#[case] hertz: f64, #[case] told: bool) {
    let mut basis = basis();
    basis.supply.frequency_hz = Some(hertz);
    for method in ["direct", "drive"] {
        let circuit = size_with(&row(&[MOTOR, &[("starting_method", method)]].concat()), &basis).0;
        assert_eq!(says(&circuit, "L319"), told, "{method}");
    }
}

/// IEC 60947-4-1, Annex G (from memory): 0.06 kW draw 0.20 A at 400 V, 0.09 kW 0.30 A. No class of efficiency reaches so far down, and
/// nothing is known of such a motor at 60 Hz or for one phase.
#[rstest::rstest]
#[case::the_smallest("0.06", "400", "3", "50", Some(0.20))]
#[case::the_next("0.09", "400", "3", "50", Some(0.30))]
#[case::for_one_phase("0.09", "230", "1", "50", None)]
#[case::of_another_frequency("0.06", "400", "3", "60", None)]
#[case::between_the_rows("0.07", "400", "3", "50", None)]
fn motors_below_all_classes_have_the_current_of_the_guide_table(
    #[case] power: &str,
    #[case] voltage: &str,
    #[case] phases: &str,
    #[case] hertz: &str,
    #[case] amperes: Option<f64>,
) {
    let cells = [
        ("tag", "P-1"),
        ("rated_power_kw", power),
        ("voltage_v", voltage),
        ("phases", phases),
        ("frequency_hz", hertz),
        ("starting_method", "direct"),
        ("cable_length_m", "10"),
    ];
    let circuit = size_with(&row(&cells), &basis()).0;
    match amperes {
        Some(amperes) => {
            assert!((circuit.currents.full_load_a - amperes).abs() < 1e-9, "{:?}", circuit.currents);
            assert!(circuit.currents.source == "table" && says(&circuit, "R103"), "{:?}", circuit.findings);
            assert_ne!(circuit.status, crate::design::Status::NotSized);
        }
        None => {
            let found = circuit.findings.iter().find(|finding| finding.code == "L308").expect("it is told");
            assert!(found.cure.contains("efficiency and power factor"), "{found:?}");
        }
    }
}

/// 0.25 kW and 0.3 hp (0.224 kW, a tenth less) are one motor by the lists of standard outputs; 0.25 kW and 0.29 hp are none. 0.37 hp are
/// 0.2759 kW: 0.25 kW lie 9.4 % of that below.
#[rstest::rstest]
#[case::sold_as_one("0.3", false)]
#[case::written_twice("0.29", true)]
#[case::within_a_tenth_of_the_larger("0.37", false)]
fn powers_of_one_motor_in_two_units_are_no_contradiction(#[case] horsepower: &str, #[case] told: bool) {
    let cells = [("rated_power_kw", "0.25"), ("rated_power_hp", horsepower), ("full_load_current_a", "0.8")];
    let circuit = size_with(&row(&[&[("tag", "P-1"), ("cable_length_m", "10")], &cells[..]].concat()), &basis()).0;
    assert_eq!(says(&circuit, "L307"), told, "{:?}", circuit.findings);
}

/// 36.3 ft are 11.06 m, and 10 m lie 9.6 % of that below; 37 ft are 11.28 m, and 10 m lie 11.3 % below.
#[rstest::rstest]
#[case::within_a_tenth_of_the_longer("10", "36.3", false)]
#[case::beyond_it("10", "37", true)]
#[case::feet_are_the_shorter("11.28", "32.81", true)]
fn a_length_that_is_written_twice_and_differs_is_told(#[case] metres: &str, #[case] feet: &str, #[case] told: bool) {
    let motor = [("tag", "P-1"), ("rated_power_kw", "1.5"), ("full_load_current_a", "3.5"), ("starting_method", "direct")];
    let lengths = [("cable_length_m", metres), ("cable_length_ft", feet)];
    let circuit = size_with(&row(&[&motor[..], &lengths].concat()), &basis()).0;
    assert_eq!(says(&circuit, "L311"), told, "{:?}", circuit.findings);
}
