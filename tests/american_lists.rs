//! Lists of American estimators: kilowatts beside horsepower, rooftop units, stated start times, kinds of protective device, spare buckets,
//! way numbers, thousands, disconnects by others, remarks that carry what no column states. Meanings are those of the trade (`practice`);
//! clauses of NFPA 70 stand beside the figures.

mod common;

use common::design_of;
use motorwright::design::{Circuit, Design, Status};
use rstest::rstest;

const NEC: &str = "[rules]\nbook = \"nec\"\n[supply]\nvoltage_v = 480\nphases = 3\nfrequency_hz = 60\n\
    system = \"480Y/277 4W solidly grounded\"\nprospective_fault_ka = 10\nprospective_fault_min_ka = 6\nx_over_r = 4\n";

fn codes(circuit: &Circuit) -> Vec<&str> {
    circuit.findings.iter().map(|finding| finding.code.as_str()).collect()
}

fn has(circuit: &Circuit, code: &str) -> bool {
    codes(circuit).contains(&code)
}

fn what(circuit: &Circuit, code: &str) -> String {
    circuit
        .findings
        .iter()
        .filter(|finding| finding.code == code)
        .map(|finding| finding.what.as_str())
        .collect::<Vec<_>>()
        .join("\n")
}

/// The first circuit of a list with these columns and cells.
fn listed(columns: &str, cells: &str) -> Circuit {
    designed(&format!("{columns}\n{cells}\n")).circuits.remove(0)
}

fn designed(schedule: &str) -> Design {
    design_of(schedule, NEC)
}

/// NFPA 70, 210.20(A), 240.6(A): 125 % of a continuous load, the next standard rating. The power factor is assumed to be 0.9 at least.
/// Table 430.52(C)(1) would admit a motor twice as much.
#[rstest]
#[case("Dishwasher w/ booster", "42", 80.0)]
#[case("Fryer", "14", 30.0)]
#[case("Skid by vendor", "24", 50.0)]
#[case("Conveyor oven", "24", 50.0)]
fn kilowatts_of_what_is_supplied_only_are_no_motor(#[case] description: &str, #[case] power: &str, #[case] largest: f64) {
    for columns in [
        "tag,description,rated_power_kw,voltage_v,phases,starting_method,cable_length_ft",
        "Mark,Serves,kW,Volts,Ph,Starter,Run ft",
    ] {
        let circuit = listed(columns, &format!("X-1,{description},{power},480,3,feeder,40"));
        assert!(["other", "heater"].contains(&circuit.load.kind.as_str()), "{}: {:?}", circuit.load.kind, circuit.findings);
        assert!(has(&circuit, "I447"), "{:?}", circuit.findings);
        assert!(circuit.protection.as_ref().is_some_and(|device| device.rating_a <= largest), "{:?}", circuit.protection);
    }
}

/// A word of a machine, horsepower, a starter of motors or the column itself keep a row the motor that it is.
#[rstest]
#[case("Supply fan,15,,480,3,feeder,40")]
#[case("Dishwasher exhaust fan,15,,480,3,feeder,40")]
#[case("Dishwasher,,5,480,3,feeder,40")]
#[case("Skid,15,,480,3,FVNR,40")]
fn a_motor_in_kilowatts_stays_a_motor(#[case] cells: &str) {
    let circuit = listed("Mark,Serves,kW,HP,Volts,Ph,Starter,Run ft", &format!("X-1,{cells}"));
    assert_eq!(circuit.load.kind, "motor", "{:?}", circuit.findings);
    assert!(!has(&circuit, "I475"), "{:?}", circuit.findings);
}

/// What only the default calls a motor waits for somebody.
#[test]
fn kilowatts_that_only_the_default_calls_a_motor_are_asked_about() {
    let columns = "tag,description,rated_power_kw,voltage_v,phases,starting_method,cable_length_ft";
    let circuit = listed(columns, "X-1,Sterilizer,15,480,3,contactor,40");
    assert!(has(&circuit, "I475") && circuit.status != Status::Sized, "{:?}", circuit.findings);
    let named = listed(columns, "X-1,Transfer pump,15,480,3,contactor,40");
    assert!(!has(&named, "I475"), "{:?}", named.findings);
}
