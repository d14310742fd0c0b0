//! What a contactor or a supply alone feeds, told by the words of the row under whatever headings, and what is asked where nothing tells
//! it.

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

/// What turns stays a motor beside an oven or a kiln: with its overload relay, and under canonical headings asked for the method that is
/// missing (an oven's crane is a motor by the words of the trade: practice).
#[rstest]
#[case("Kiln main drive", "contactor")]
#[case("Furnace charging crane", "contactor")]
#[case("Furnace hoist", "contactor")]
#[case("Oven turntable", "contactor")]
#[case("Kiln tyre belt", "contactor")]
#[case("Kiln main drive", "")]
#[case("Electric heater", "")]
fn what_turns_beside_heat_is_no_heater(#[case] text: &str, #[case] method: &str) {
    let circuit = design(CANONICAL, &format!("H-1,{text},D,30,400,3,{method},20")).circuits.remove(0);
    assert_eq!(circuit.load.kind, "motor", "{:?}", circuit.findings);
    if method.is_empty() {
        assert!(circuit.findings.iter().any(|finding| finding.code == "L303"), "{:?}", circuit.findings);
    } else {
        assert!(!circuit.overloads.is_empty(), "{:?}", circuit.findings);
    }
}

/// Ovens and furnaces that are only supplied are heaters, whatever says more of them; light in a lift's shaft is light.
#[rstest]
#[case("Oven convection", "heater")]
#[case("Kiln 2", "heater")]
#[case("Elevator pit lights", "lighting")]
#[case("Elevator machine room heater", "heater")]
fn what_stands_beside_a_machine_is_no_motor(#[case] text: &str, #[case] kind: &str) {
    let circuit = design(CANONICAL, &format!("H-1,{text},D,12,400,3,feeder,20")).circuits.remove(0);
    assert_eq!(circuit.load.kind, kind, "{:?}", circuit.findings);
}

/// A nameplate figure that only motors have outweighs a name that heats.
#[test]
fn a_furnace_with_a_speed_is_a_motor() {
    let headings = format!("{CANONICAL},speed_rpm");
    let circuit = design(&headings, "H-1,Furnace 2,D,30,400,3,contactor,20,1470").circuits.remove(0);
    assert_eq!(circuit.load.kind, "motor", "{:?}", circuit.findings);
}

/// Rows in kilowatts and amperes that are supplied only: what turns is no load of the kind other under a book of horsepower, and a figure
/// that only motors have says so without a name.
#[rstest]
#[case("Elevator 1", "", "motor")]
#[case("Hoist", "", "motor")]
#[case("Compactor", "", "motor")]
#[case("Unit 7", "240", "motor")]
#[case("Unit 8", "", "other")]
#[case("Lift station", "", "other")]
fn what_is_supplied_only_and_turns_is_a_motor(#[case] text: &str, #[case] locked: &str, #[case] kind: &str) {
    let basis = "[rules]\nbook = \"nec\"\n[supply]\nvoltage_v = 480\nfrequency_hz = 60\n";
    let design = design_of(&format!("Tag,Description,kW,FLA,Starter,LRA\nX-1,{text},15,28,feeder,{locked}\n"), basis);
    assert_eq!(design.circuits[0].load.kind, kind, "{:?}", design.circuits[0].findings);
}

/// `EC` in a column of starters: the electrical contractor in American lists (practice), the motor of a fan elsewhere. Whoever is meant,
/// the cell that decides is not said to count for nothing.
#[rstest]
#[case("nec", "Transfer pump", "EC", true)]
#[case("nec", "Exhaust fan", "EC", true)]
#[case("nec", "EC fan", "EC", false)]
#[case("nec", "Exhaust fan", "ECM", false)]
#[case("iec", "Transfer pump", "EC", true)]
#[case("iec", "Exhaust fan", "EC", false)]
#[case("iec", "Umwälzpumpe", "EC", false)]
fn electronics_or_contractor(#[case] book: &str, #[case] text: &str, #[case] method: &str, #[case] asked: bool) {
    let basis = format!("[rules]\nbook = \"{book}\"\n[supply]\nvoltage_v = 480\nfrequency_hz = 60\n");
    let circuit = design_of(&format!("Tag,Description,HP,FLA,Starter\nP-1,{text},10,14,{method}\n"), &basis).circuits.remove(0);
    assert_eq!(warned(&circuit, "I418"), asked, "{:?}", circuit.findings);
    assert_eq!(circuit.load.kind, if asked { "motor" } else { "other" }, "{:?}", circuit.findings);
    assert!(!circuit.findings.iter().any(|finding| finding.code == "I463"), "{:?}", circuit.findings);
    assert!(!asked || circuit.status != Status::Sized);
}

/// The last word of an English or German name says what a thing is, and the first before a preposition: terms of the trade, practice.
#[rstest]
#[case("Crane transformer", "transformer")]
#[case("UPS for lift", "other")]
#[case("Conveyor lighting", "lighting")]
#[case("Kranbeleuchtung", "lighting")]
#[case("Éclairage convoyeur", "lighting")]
#[case("Hoist battery charger", "other")]
#[case("Transformer cooling fan", "motor")]
#[case("Lighting mast hoist", "motor")]
fn a_name_says_what_a_thing_is_and_not_what_it_serves(#[case] text: &str, #[case] kind: &str) {
    let circuit = design(
        "Tag,Description,Board,kVA,Voltage,Phases,FLA,Starter,Cable length m",
        &format!("X-1,{text},D,10,400,3,14.4,feeder,20"),
    );
    assert_eq!(circuit.circuits[0].load.kind, kind, "{:?}", circuit.circuits[0].findings);
}

/// A kiln heats unless a machine at it is named; where words behind it may be one, somebody is asked.
#[rstest]
#[case("Kiln north", "heater", false)]
#[case("Ofen Süd", "heater", false)]
#[case("Kiln fan", "motor", false)]
#[case("Rotary kiln", "motor", false)]
#[case("Kiln belt", "motor", true)]
fn a_kiln_heats_unless_a_machine_is_named(#[case] text: &str, #[case] kind: &str, #[case] asked: bool) {
    let circuit = design("Tag,Description,kW,Voltage,Phases", &format!("K-1,{text},40,400,3")).circuits.remove(0);
    let stated = circuit.stated.get("load_kind").and_then(|kind| kind.as_str()).unwrap_or("motor");
    assert_eq!((stated, warned(&circuit, "I490")), (kind, asked), "{:?}", circuit.findings);
}
