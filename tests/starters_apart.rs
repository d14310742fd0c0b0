//! Starters that stand apart from their board, through the whole program: the supply run with what lies behind it. Expected figures are clauses and arithmetic, named beside; none is the program's.

mod common;

use common::design_of;
use motorwright::design::{Circuit, Design, Run, Status};

const BASIS: &str = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nfrequency_hz = 50\nearthing = \"TN-S\"\n\
    prospective_fault_ka = 15\nprospective_fault_min_ka = 12\nx_over_r = 4\n[[board]]\nname = \"M1\"\n[design]\ninsulation = \"xlpe\"\n\
    installation_method = \"E\"\nprotection_kind = \"motor-breaker\"\n";
const HEAD: &str = "tag,board,load_kind,rated_power_kw,voltage_v,phases,starting_method,cable_length_m,supply_length_m,motor_voltages,\
    control_voltage,driven_by,control_cable_length_m,space_heater_w,brake_w\n";

fn design(rows: &str, more: &str) -> Design {
    let design = design_of(&format!("{HEAD}{rows}"), &format!("{BASIS}{more}"));
    for circuit in &design.circuits {
        assert!(
            circuit.findings.iter().all(|finding| !finding.code.starts_with('V')),
            "{}: {:#?}",
            circuit.tag,
            circuit.findings
        );
    }
    design
}

fn circuit<'d>(design: &'d Design, tag: &str) -> &'d Circuit {
    design.circuits.iter().find(|circuit| circuit.tag == tag).unwrap_or_else(|| panic!("no {tag}"))
}

fn run<'c>(circuit: &'c Circuit, role: &str) -> &'c Run {
    circuit.runs.iter().find(|run| run.role == role).unwrap_or_else(|| panic!("{} has no {role} run", circuit.tag))
}

fn told(circuit: &Circuit, code: &str) -> bool {
    circuit.findings.iter().any(|finding| finding.code == code)
}

/// IEC 60364-4-41, 411.4.4 asks for the loop of the whole way, not for that of the last run: where a run of 70 m holds in some size, a
/// supply run and a motor run of 40 and 30 m hold in that size too. Reviewer's pump of 5.5 kW: 4 mm² over 70 m; 37 kW star-delta: 25 mm².
#[test]
fn a_supply_run_is_raised_for_what_lies_behind_it() {
    let rows = "S-1,M1,motor,5.5,400,3,direct,30,40,,,,,,\nS-2,M1,motor,5.5,400,3,direct,70,,,,,,,\n\
        S-3,M1,motor,37,400,3,star-delta,30,30,400/690,,,,,\nS-4,M1,motor,37,400,3,star-delta,60,,400/690,,,,,\n";
    let design = design(rows, "");
    for (apart, whole, last, largest_mm2) in [("S-1", "S-2", "motor", 6.0), ("S-3", "S-4", "star-delta-leads", 25.0)] {
        let (apart, whole) = (circuit(&design, apart), circuit(&design, whole));
        assert_eq!((apart.status, told(apart, "C601")), (Status::Sized, false), "{:#?}", apart.findings);
        let sizes = ["supply", last].map(|role| run(apart, role).phase_area_mm2);
        assert!(sizes.iter().all(|mm2| *mm2 <= largest_mm2), "{}: {sizes:?}", apart.tag);
        // As many ohms as the one run has at the most, or fewer.
        let ohms = ["supply", last].map(|role| run(apart, role)).map(|run| run.length_m / run.phase_area_mm2);
        let one = run(whole, last);
        assert!(ohms.iter().sum::<f64>() <= one.length_m / one.phase_area_mm2 * 1.5, "{}: {ohms:?}", apart.tag);
    }
    let supply = run(circuit(&design, "S-1"), "supply");
    assert_eq!(supply.governed_by, "run-behind", "who reads it sees why it is larger than its own current asks for");
}

/// A supply run whose motor run is as small as it would be at the board stays as small as its current allows.
#[test]
fn a_supply_run_is_not_raised_where_nothing_behind_it_asks_for_that() {
    let design = design("S-1,M1,motor,5.5,400,3,direct,5,5,,,,,,\n", "");
    let circuit = circuit(&design, "S-1");
    assert_ne!(run(circuit, "supply").governed_by, "run-behind");
}
