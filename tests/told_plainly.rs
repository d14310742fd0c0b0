//! What a row can't be sized for is told in its own words, at its cell: direct current, a question mark, a wrong installation method, a
//! main part that the catalogue does not hold.

mod common;

use common::{design_of, folder_with, run_in};
use motorwright::design::{Circuit, Design, Status};

const IEC: &str = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nphases = 3\nfrequency_hz = 50\nearthing = \"TN-S\"\nprospective_fault_ka = 10\nprospective_fault_min_ka = 5\n";
const NEC: &str = "[rules]\nbook = \"nec\"\n[supply]\nvoltage_v = 480\nphases = 3\nfrequency_hz = 60\nsystem = \"480Y/277\"\nprospective_fault_ka = 18\n";

fn has(circuit: &Circuit, code: &str) -> bool {
    circuit.findings.iter().any(|finding| finding.code == code)
}

fn codes(circuit: &Circuit) -> Vec<&str> {
    circuit.findings.iter().map(|finding| finding.code.as_str()).collect()
}

/// The verifier agrees with a design.
fn agreed(design: Design) -> Design {
    let tried: Vec<String> =
        design.all_findings().into_iter().filter(|(_, f)| f.code.starts_with('V')).map(|(_, f)| f.what.clone()).collect();
    assert!(tried.is_empty(), "{}", tried.join("\n"));
    design
}

const HEAD_DC: &str =
    "tag,description,load_kind,rated_power_kw,voltage_v,phases,supply,full_load_current_a,starting_method,cable_length_m,notes\n";

/// IEC 60947-4-1 has DC-3 and DC-5 for direct current; AC-3 contactors are no such. The row keeps its place and counts on its board.
#[rstest::rstest]
#[case::named("X,DC motor for calender,motor,11,220,,,58,direct,30,", "description")]
#[case::with_phases("X,shunt-wound DC motor,motor,11,220,1,,58,direct,30,fed from DC panel", "description")]
#[case::voltage("X,calender,motor,11,220 V DC,,,58,direct,30,", "voltage_v")]
#[case::supply("X,calender,motor,11,,,220 V DC,58,direct,30,", "supply")]
#[case::phases("X,calender,motor,11,220,DC,,58,direct,30,", "phases")]
#[case::slash("X,calender,motor,11,,,220/DC,58,direct,30,", "supply")]
#[case::note("X,Emergency lube oil pump,motor,5.5,220,,,30,direct,30,direct current motor", "notes")]
#[case::note_with_power("X,Mill,motor,5.5,400,3,,12,direct,30,DC shunt motor 7.5 hp", "notes")]
#[case::volts("X,Battery-fed pump 110 VDC,motor,11,110,,,120,direct,20,", "description")]
#[case::german("X,Gleichstrommotor Kalander,motor,11,220,,,58,direct,30,", "description")]
#[case::french("X,moteur à courant continu,motor,11,220,,,58,direct,30,", "description")]
fn a_load_of_direct_current_is_not_sized_and_says_so(#[case] row: &str, #[case] heading: &str) {
    for (basis, clause) in [(IEC, "DC-3"), (NEC, "430.247")] {
        let schedule = format!("{HEAD_DC}{row}\nP-1,Pump,motor,4,400,3,,8.1,direct,30,\n");
        let design = agreed(design_of(&schedule, basis));
        let circuit = &design.circuits[0];
        assert_eq!(circuit.status, Status::NotSized, "{row}");
        let told =
            circuit.findings.iter().find(|finding| finding.code == "L358").unwrap_or_else(|| panic!("{:?}", codes(circuit)));
        assert!(told.what.contains("direct") && told.reference.contains(clause), "{told:?}");
        let place = told.place.as_ref().expect("a place");
        assert_eq!(place.heading.as_deref(), Some(heading), "{row}");
        assert!(!circuit.findings.iter().any(|finding| finding.code.starts_with("I1")), "{row}: {:?}", codes(circuit));
        assert!(design.boards[0].connected_kw > 8.0, "{row}: the row counts on its board");
    }
}

/// Direct current of the control circuit, of a brake or of a coil is no main circuit; a dust collector's tag is none either.
#[rstest::rstest]
#[case("M,Pump,motor,11,400,3,,21,direct,30,control voltage 24 V DC")]
#[case("M,Conveyor with brake,motor,11,400,3,,21,direct,30,brake 400 V DC coil")]
#[case("M,Dust collector DC-05 fan,motor,11,400,3,,21,direct,30,")]
#[case("M,Crusher,motor,11,400,3,,21,direct,30,DC injection braking by others")]
#[case("M,Pump,motor,11,400,3,,21,drive,30,DC link choke in the drive")]
#[case("M,Fan,motor,11,400,3,,21,direct,30,shunt trip on the breaker; 24VDC coils")]
#[case("M,Pump,motor,11,400,3,,21,direct,30,replaces DC motor")]
#[case("M,Battery room exhaust fan,motor,11,400,3,,21,direct,30,")]
#[case("M,Battery charger,other,11,400,3,,21,feeder,30,")]
#[case("M,Fan for DC motor cooling,motor,11,400,3,,21,direct,30,")]
#[case("M,Cooling blower of DC drive,motor,11,400,3,,21,direct,30,")]
#[case("M,Air conditioner of DC drive room,motor,11,400,3,,21,direct,30,")]
#[case("M,Motor room fan,motor,11,400,3,,21,direct,30,old fan had dc motor")]
#[case("M,Blower,motor,11,400,3,,21,direct,30,\"field supply for dc drive, ac motor\"")]
#[case("M,Lüfter für Gleichstrommotor,motor,11,400,3,,21,direct,30,")]
fn direct_current_beside_the_main_circuit_is_none_of_its_own(#[case] row: &str) {
    let design = design_of(&format!("{HEAD_DC}{row}\n"), IEC);
    let circuit = &design.circuits[0];
    assert!(!has(circuit, "L358") && !has(circuit, "L359") && circuit.status != Status::NotSized, "{:?}", codes(circuit));
}

/// A cell that names the direct current of a brake beside the supply is asked for its figure, and no supply of direct current.
#[rstest::rstest]
#[case("M,Pump,motor,11,400 V (DC brake),3,,21,direct,30,")]
#[case("M,Pump,motor,11,400,3 ph + DC brake,,21,direct,30,")]
fn direct_current_of_a_brake_in_a_cell_of_the_supply_is_none_of_it(#[case] row: &str) {
    let design = design_of(&format!("{HEAD_DC}{row}\n"), IEC);
    assert!(codes(&design.circuits[0]) == ["I101"], "{:?}", codes(&design.circuits[0]));
}

/// Words that only suggest it wait for a decision; `service_class general` says that there is none.
#[rstest::rstest]
#[case("M,Seal oil pump,motor,11,400,3,,21,direct,30,fed from battery")]
#[case::of_another("M,Oil pump for DC motor,motor,11,400,3,,21,direct,30,")]
#[case::beside_alternating("M,\"Mixer, AC motor in place of DC motor\",motor,11,400,3,,21,direct,30,")]
#[case::a_note("M,Mixer,motor,11,400,3,,21,direct,30,machine has a DC motor")]
fn words_that_suggest_direct_current_are_asked_about(#[case] row: &str) {
    let design = design_of(&format!("{HEAD_DC}{row}\n"), IEC);
    assert!(has(&design.circuits[0], "L359") && design.circuits[0].status == Status::NeedsDecision);
    let head = HEAD_DC.replace("notes", "notes,service_class");
    let said = design_of(&format!("{head}{row},general\n"), IEC);
    assert!(!has(&said.circuits[0], "L359"), "{:?}", codes(&said.circuits[0]));
}

const HEAD: &str = "tag,rated_power_kw,voltage_v,phases,full_load_current_a,starting_method,cable_length_m,conductor\n";

/// A question mark makes a value open whatever stands before it: nothing is guessed silently.
#[rstest::rstest]
#[case("Q,11 kW?,400,3,21,direct,20,", "rated_power_kw")]
#[case("Q,11 kW ?,400,3,21,direct,20,", "rated_power_kw")]
#[case("Q,11?,400,3,21,direct,20,", "rated_power_kw")]
#[case("Q,11,400 V?,3,21,direct,20,", "voltage_v")]
#[case("Q,11,400,3 ph?,21,direct,20,", "phases")]
#[case("Q,11,400,3,21 A?,direct,20,", "full_load_current_a")]
#[case("Q,11,400,3,21,DOL?,20,", "starting_method")]
#[case("Q,11,400,3,21,star/delta?,20,", "starting_method")]
#[case("Q,11,400,3,21,direct,20 m?,", "cable_length_m")]
#[case("Q,11,400,3,21,direct,20 m (?),", "cable_length_m")]
fn a_question_mark_leaves_a_value_open(#[case] row: &str, #[case] heading: &str) {
    let with_senders_headings = "Equipment No.,Power (kW),Voltage,Phases,FLC (A),Starter,Cable length (m),Conductor material\n";
    for (head, canonical) in [(HEAD, true), (with_senders_headings, false)] {
        let design = design_of(&format!("{head}{row}\n"), IEC);
        let circuit = &design.circuits[0];
        assert_eq!(circuit.status, Status::NotSized, "{row}: {:?}", codes(circuit));
        let told = circuit.findings.iter().find(|finding| ["I118", "I418"].contains(&finding.code.as_str()));
        let told = told.unwrap_or_else(|| panic!("{row}: {:?}", codes(circuit)));
        let shown = told.place.as_ref().and_then(|place| place.heading.clone());
        assert!(!canonical || shown.as_deref() == Some(heading), "{row}: {told:?}");
    }
}

/// A way of laying cables that the book does not have is a wrong cell: an error at it, and no circuit without conductors.
#[rstest::rstest]
#[case(IEC, "Z9", true)]
#[case(IEC, "emt", true)]
#[case(IEC, "A1+Z9", true)]
#[case(IEC, "A1+D1", false)]
#[case(NEC, "Z9", true)]
#[case(NEC, "B1", true)]
#[case(NEC, "emt", false)]
#[case(NEC, "EMT conduit", false)]
#[case(IEC, "B2 (conduit)", false)]
#[case(IEC, "Method E", false)]
#[case(IEC, "E - tray", false)]
#[case(IEC, "overhead", true)]
fn an_installation_that_the_book_has_not_is_an_error_at_its_cell(#[case] basis: &str, #[case] cell: &str, #[case] wrong: bool) {
    let volts = if basis == IEC { "400" } else { "460" };
    let schedule = format!(
        "tag,rated_power_kw,voltage_v,phases,full_load_current_a,starting_method,cable_length_m,installation_method\n\
         P-1,7.5,{volts},3,14,direct,20,{cell}\n"
    );
    let design = agreed(design_of(&schedule, basis));
    let circuit = &design.circuits[0];
    let told = circuit.findings.iter().find(|finding| finding.code == "L361");
    assert_eq!((told.is_some(), circuit.status == Status::NotSized), (wrong, wrong), "{cell}: {:?}", codes(circuit));
    if let Some(told) = told {
        let place = told.place.as_ref().expect("a place");
        assert_eq!((place.heading.as_deref(), place.text.as_deref()), (Some("installation_method"), Some(cell)));
    } else {
        assert!(circuit.conductors.is_some());
    }
}

/// The same word in the basis is the same mistake.
#[test]
fn an_installation_of_the_basis_that_the_book_has_not_is_the_same_error() {
    let basis = format!("{IEC}[design]\ninstallation_method = \"overhead\"\n");
    let head = "tag,rated_power_kw,voltage_v,phases,full_load_current_a,starting_method,cable_length_m,installation_method\n";
    let design = design_of(&format!("{head}P-1,7.5,400,3,14,direct,20,\nP-2,7.5,400,3,14,direct,20,E\n"), &basis);
    let told = design.circuits[0].findings.iter().find(|finding| finding.code == "L361").expect("told");
    assert!(told.what.contains("basis reads `overhead`") && design.circuits[0].status == Status::NotSized, "{told:?}");
    assert!(!has(&design.circuits[1], "L361") && design.circuits[1].conductors.is_some(), "{:?}", codes(&design.circuits[1]));
}

fn started(cells: &str) -> Circuit {
    let head = "tag,rated_power_kw,voltage_v,phases,full_load_current_a,starting_method,starts_per_hour,start_time_s,duty,cable_length_m,protection_kind\n";
    agreed(design_of(&format!("{head}{cells}\n"), IEC)).circuits.remove(0)
}

/// The contactor before a drive stays closed while the drive starts the motor 700 times an hour; one that starts it on the line does not.
#[test]
fn starts_of_a_drive_are_none_of_the_contactor_before_it() {
    let driven = started("F5,4,400,3,8.1,drive,700,3,S1,20,gG");
    assert!(!has(&driven, "C203") && !has(&driven, "C101") && !driven.contactors.is_empty(), "{:?}", codes(&driven));
    let direct = started("F3,15,400,3,28,direct,3000,3,S4,20,gG");
    assert!(has(&direct, "C203"), "{:?}", codes(&direct));
}

/// A part that is not there is told once, with the start as the row states it: 60 s, and 1.2 times as much with the allowance for it.
#[test]
fn a_part_that_no_start_of_that_kind_has_is_told_once() {
    let slow = started("F1,15,400,3,28,direct,30,60,S4,20,gG");
    let told: Vec<&str> = slow.findings.iter().filter(|f| f.code == "C204").map(|f| f.what.as_str()).collect();
    assert!(told.len() == 1 && told[0].contains("a start of 60 s pass, with the allowance 72 s"), "{told:?}");
    assert!(!slow.findings.iter().any(|f| f.code == "C101" && f.what.contains("overload relay")), "{:?}", slow.findings);
    assert!(slow.status != Status::Sized);
}

const STRONG: &str = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nphases = 3\nfrequency_hz = 50\nearthing = \"TN-S\"\nprospective_fault_ka = 120\nprospective_fault_min_ka = 60\nx_over_r = 2\n";
const ONE: &str =
    "tag,rated_power_kw,voltage_v,phases,full_load_current_a,starting_method,cable_length_m\nH1,11,400,3,21,direct,20\n";

/// A circuit without its protective device is not done: IEC 60364-4-43, 434.5.1, asks for a device that breaks what may flow. The finding
/// names the breaking capacity that is missing, the terminal the circuit, and the exit status is that of something which needs attention.
#[test]
fn a_circuit_without_a_protective_device_is_told_on_the_terminal_and_in_the_exit_status() {
    let design = agreed(design_of(ONE, STRONG));
    let circuit = &design.circuits[0];
    assert!(circuit.protection.is_none() && circuit.missing_parts() == ["protective device"], "{:?}", codes(circuit));
    let told = circuit.findings.iter().find(|finding| finding.code == "C201").expect("it is told");
    assert!(
        told.why.contains("the nearest is") && told.why.contains("breaking capacity") && told.why.contains("120"),
        "{}",
        told.why
    );
    let folder = folder_with("loads.csv", ONE.as_bytes());
    for (basis, status, words) in [(STRONG, 1, true), (IEC, 0, false)] {
        std::fs::write(folder.path().join("basis.toml"), basis).expect("a file");
        let run = run_in(folder.path(), &["size", "loads.csv", "--basis", "basis.toml", "--out", "out"]);
        assert_eq!((run.status, run.stdout.contains("without protective device: H1")), (status, words), "{}", run.stdout);
    }
}
