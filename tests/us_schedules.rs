//! Schedules as offices in the United States send them: what one odd cell must not drop, and what their words mean. Designs of whole
//! schedules under the NEC book.

mod common;

use common::design_of;
use motorwright::design::{Circuit, Design, Status};
use rstest::rstest;

const NEC: &str = "[rules]\nbook = \"nec\"\n[supply]\nvoltage_v = 480\nphases = 3\nfrequency_hz = 60\n\
    system = \"480Y/277 4W solidly grounded\"\nprospective_fault_ka = 20\nprospective_fault_min_ka = 9\nx_over_r = 4\n";

fn codes(circuit: &Circuit) -> Vec<&str> {
    circuit.findings.iter().map(|finding| finding.code.as_str()).collect()
}

/// Fans of 50 hp, 61 A, with one more column: its heading, and what each row says below it.
fn with_column(heading: &str, cells: &[&str]) -> Design {
    let mut text = format!("tag,description,board,hp,volts,phases,FLA,SF,starter,length ft,{heading}\n");
    for (number, cell) in cells.iter().enumerate() {
        text.push_str(&format!("V-{number},Fan,M,50,460,3,61,1.15,FVNR,10,{cell}\n"));
    }
    design_of(&text, NEC)
}

fn size(circuit: &Circuit) -> &str {
    circuit.conductors.as_ref().map(|conductors| conductors.phase_size.as_str()).unwrap_or_default()
}

/// What a row states in a column, as it was read.
fn stated<'c>(circuit: &'c Circuit, column: &str) -> &'c str {
    circuit.stated.get(column).and_then(|value| value.as_str()).unwrap_or_default()
}

/// One room among them drops no roof. 65 A x 1.25 = 81.25 A; on a roof 30 + 33 = 63 °C, where 90 °C conductors carry 0.65 (NFPA 70,
/// 310.15(B)(1)(1) and (B)(2)): 3 AWG 115 x 0.65 = 74.8 A, 2 AWG 130 x 0.65 = 84.5 A. What is exposed to weather is wet (Article 100).
#[test]
fn one_odd_cell_drops_no_column_of_places() {
    let design = with_column("Location", &["dry", "rooftop", "Roof", "wet", "Outdoors", "Wet well", "Indoors", "Boiler room"]);
    let read: Vec<&str> = design.circuits.iter().map(|circuit| stated(circuit, "location")).collect();
    assert_eq!(read, ["dry", "rooftop", "rooftop", "wet", "wet", "wet", "dry", ""]);
    for (circuit, wanted) in design.circuits.iter().zip(["3 AWG", "2 AWG", "2 AWG"]) {
        assert_eq!(size(circuit), wanted, "{}", circuit.tag);
    }
    // The room is told and makes nothing wait.
    let room = &design.circuits[7];
    assert!(codes(room).contains(&"I488") && room.status == Status::Sized, "{:?}", room.findings);
    assert!(design.circuits.iter().all(|circuit| circuit.tag == room.tag || !codes(circuit).contains(&"I488")));
}

/// A column of rooms alone, and one of what a fan serves, state no place.
#[rstest]
#[case("Location", "Boiler room")]
#[case("Location", "Building 3")]
#[case("Serves", "Roof terrace")]
fn rooms_alone_are_no_places(#[case] heading: &str, #[case] room: &str) {
    let design = with_column(heading, &[room, room]);
    assert!(design.circuits.iter().all(|circuit| stated(circuit, "location").is_empty() && circuit.status == Status::Sized));
}

/// 9.99 kVA/hp at most for code letter L: 9.99 x 25 x 1000 / (√3 x 460) = 313 A (NFPA 70, Table 430.7(B)). One cell that is no letter
/// drops no column, and is asked about at its row.
#[test]
fn one_odd_letter_drops_no_column_of_letters() {
    let text = "Tag,Description,MCC,HP,Volts,Ph,FLA,SF,Starter,Length ft,Code,Design,Load_torque\n\
        V-1,Pump,M,25,460,3,31,1.15,FVNR,15,L,B,quadratic\nV-2,Pump,M,25,460,3,31,1.15,FVNR,15,G,Design B,fan law\n\
        V-3,Pump,M,25,460,3,31,1.15,FVNR,15,G or H,B or C,see vendor\nV-4,Pump,M,25,460,3,31,1.15,FVNR,15,H,,\n";
    let design = design_of(text, NEC);
    let [first, second, odd, last] = design.circuits.as_slice() else { panic!("four rows") };
    assert!((first.currents.starting_a - 313.46).abs() < 0.1, "{}", first.currents.starting_a);
    assert_eq!((stated(second, "design_letter"), stated(second, "load_torque")), ("B", "quadratic"));
    assert!(odd.status == Status::NotSized && codes(odd).contains(&"I105") && codes(odd).contains(&"I434"), "{:?}", odd.findings);
    assert_eq!([first, second, last].map(|circuit| circuit.status), [Status::Sized; 3]);
}

/// A spare way has no machine yet that a switch could stand at, whatever the basis wants at machines.
#[test]
fn a_spare_way_needs_no_switch_at_a_machine() {
    let text = "tag,description,board,hp,volts,phases,FLA,SF,starter,length ft,running\n\
        P-1,Pump,M,10,460,3,13,1.15,FVNR,100,duty\nSP-2,Spare starter,M,10,460,3,13,1.15,FVNR,,spare\n\
        SP-3,Spare starter,M,10,460,3,13,1.15,FVNR,50,spare\n";
    let design = design_of(text, &format!("{NEC}[design]\nisolator = true\n"));
    let errors = |circuit: &Circuit| codes(circuit).iter().any(|code| code.starts_with('V'));
    assert!(!design.circuits.iter().any(errors), "{:?}", design.circuits.iter().map(codes).collect::<Vec<_>>());
    let local = |circuit: &Circuit| circuit.disconnect.as_ref().is_some_and(|means| means.location != "at the controller");
    assert_eq!(design.circuits.iter().map(local).collect::<Vec<_>>(), [true, false, false]);
}
