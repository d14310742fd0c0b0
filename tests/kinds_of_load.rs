//! What a contactor or a supply alone feeds, told by the words of the row under whatever headings, and what is asked where nothing tells it.

mod common;

use common::design_of;
use motorwright::design::{Circuit, Design, Status};
use motorwright::finding::Severity;
use rstest::rstest;

const BASIS: &str = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nphases = 3\nfrequency_hz = 50\nearthing = \"TN-S\"\n\
    prospective_fault_ka = 10\nprospective_fault_min_ka = 6\nx_over_r = 3\n";
const CANONICAL: &str = "tag,description,board,rated_power_kw,voltage_v,phases,starting_method,cable_length_m";
const OF_THE_TRADE: &str = "Tag,Description,Board,kW,Voltage,Phases,Starter,Cable length m";

fn design(headings: &str, rows: &str) -> Design {
    design_of(&format!("{headings}\n{rows}\n"), BASIS)
}

fn warned(circuit: &Circuit, code: &str) -> bool {
    circuit.findings.iter().any(|finding| finding.code == code && finding.severity == Severity::Warning)
}

/// Ohm's law: 12 kW at 400 V with three phases and no angle are 12000/(√3 · 400) = 17.32 A, whatever the headings are called.
#[rstest]
fn a_heater_is_a_heater_under_whatever_headings(
    #[values(CANONICAL, OF_THE_TRADE)] headings: &str,
    #[values("contactor", "feeder")] method: &str,
    #[values("Electric heater", "Elektro-Nacherhitzer", "Résistance réchauffage", "Resistenze cella", "Vloerverwarming")]
    text: &str,
) {
    let circuit = design(headings, &format!("H-1,{text},D,12,400,3,{method},20")).circuits.remove(0);
    assert_eq!(circuit.load.kind, "heater", "{:?}", circuit.findings);
    assert!((circuit.currents.full_load_a - 17.32).abs() < 0.01, "{} A", circuit.currents.full_load_a);
    assert!((circuit.currents.starting_a - 17.32).abs() < 0.01, "{} A at switching on", circuit.currents.starting_a);
}

/// What the row names is a motor though heat stands in its name, and a starter of motors is believed.
#[rstest]
#[case("Heating pump", "contactor")]
#[case("Heizungspumpe", "contactor")]
#[case("Electric heater", "direct")]
fn a_motor_stays_a_motor(#[values(CANONICAL, OF_THE_TRADE)] headings: &str, #[case] text: &str, #[case] method: &str) {
    let circuit = design(headings, &format!("H-1,{text},D,12,400,3,{method},20")).circuits.remove(0);
    assert_eq!(circuit.load.kind, "motor", "{:?}", circuit.findings);
    assert!(!warned(&circuit, "I448"), "{:?}", circuit.findings);
}

/// A contactor before what nothing names is asked about and never sized in silence; its start does not stand for its board.
#[rstest]
fn what_nothing_names_is_asked_about_and_is_not_the_largest_start(#[values(CANONICAL, OF_THE_TRADE)] headings: &str) {
    let design = design(headings, "X-1,Line 3,D,36,400,3,contactor,20\nP-1,Pump,D,4,400,3,direct,20");
    let doubtful = design.circuits.iter().find(|circuit| circuit.tag == "X-1").expect("it is there");
    assert!(warned(doubtful, "I448"), "{:?}", doubtful.findings);
    assert_eq!(doubtful.status, Status::NeedsDecision);
    let board = design.boards.iter().find(|board| board.name == "D").expect("its board");
    assert_eq!(board.largest_start_tag, "P-1");
    assert!(board.dips.iter().all(|dip| dip.tag == "P-1") && !board.dips.is_empty(), "{:?}", board.dips);
    assert!(design.findings.iter().all(|finding| !finding.code.starts_with('V')), "{:?}", design.findings);
}

/// A figure that only motors have, or its name, says that it is one.
#[rstest]
#[case("poles", "4")]
#[case("efficiency_class", "IE3")]
#[case("efficiency_pct", "91")]
#[case("locked_rotor_ratio", "7")]
fn a_figure_of_motors_says_that_it_is_one(#[case] column: &str, #[case] text: &str) {
    let headings = format!("{CANONICAL},{column}");
    let circuit = design(&headings, &format!("X-1,Line 3,D,11,400,3,contactor,20,{text}")).circuits.remove(0);
    assert!(!warned(&circuit, "I448"), "{:?}", circuit.findings);
}

/// The cell that decided is quoted, not that of the method.
#[test]
fn the_note_names_the_cell_that_decided() {
    let circuit = design(OF_THE_TRADE, "KK-1,Combi-oven,D,22,400,3,feeder,20").circuits.remove(0);
    let note = circuit.findings.iter().find(|finding| finding.code == "I447").expect("it is told");
    assert!(note.what.contains("`Combi-oven`"), "{}", note.what);
    assert_eq!(note.place.as_ref().and_then(|place| place.column.as_deref()), Some("B"));
}
