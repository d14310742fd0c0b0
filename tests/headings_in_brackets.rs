//! Headings with words in brackets: those that repeat the name are read, those that make it another one are asked about.

mod common;

use common::design_of;
use motorwright::design::Design;

const BASIS: &str = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nphases = 3\nfrequency_hz = 50\nearthing = \"TN-S\"\n\
    prospective_fault_ka = 10\nprospective_fault_min_ka = 6\nx_over_r = 2\n";

fn with(heading: &str, value: &str) -> Design {
    let rows = format!(
        "Tag,kW,Voltage (V),FLC (A),Starter,Cable length (m),{heading}\nP-1,5.5,400,11,DOL,30,{value}\nP-2,5.5,400,11,DOL,30,{value}\n"
    );
    design_of(&rows, BASIS)
}

fn not_read(design: &Design) -> bool {
    design.all_findings().into_iter().any(|(_, finding)| finding.code == "I441")
}

/// 9 × 11 A = 99 A; the usual ratio of 8 in its place would be 88 A.
#[test]
fn a_ratio_of_the_starting_current_is_read_or_asked_about() {
    for heading in ["Ia/In (starting)", "LRA/FLA (ratio)"] {
        let design = with(heading, "9");
        assert!((design.circuits[0].currents.starting_a - 99.0).abs() < 0.5, "{heading}");
        assert!(!not_read(&design), "{heading}");
    }
    assert!(not_read(&with("Ia/In (drive)", "9")));
}

#[test]
fn a_total_is_the_quantity_and_those_on_duty_are_asked_about() {
    for heading in ["No. off (total)", "Quantity (total)"] {
        let design = with(heading, "4");
        let machines: f64 = design.circuits.iter().map(|circuit| f64::from(circuit.quantity)).sum();
        assert!((machines - 8.0).abs() < f64::EPSILON && !not_read(&design), "{heading}");
    }
    for heading in ["Quantity (duty)", "Quantity (per skid)"] {
        assert!(not_read(&with(heading, "4")), "{heading}");
    }
}
