//! The shipped NEC example as its reader meets it: every circuit's text with its working, and its findings, in the words and units
//! of the trade. The words that must not occur are those of the other trade; they come from no run of the program.

mod common;

use motorwright::project::Inputs;
use motorwright::report::text;
use motorwright::rules::units::Units;

fn example() -> Inputs {
    common::opened_example("hospital-hvac")
}

/// Words that a text must not contain, whole words only.
const FOREIGN: [&str; 15] = [
    "IEC",
    "mm²",
    "mm2",
    "isolator",
    "earth",
    "earthing",
    "cable",
    "moulded",
    "aluminium",
    "star",
    "magnetic",
    "m",
    "IE3",
    "AC-3",
    "pvc",
];

fn foreign(text: &str) -> Vec<String> {
    // The schedule's own class of a motor stands beside the trade's.
    let text = text.replace("NEMA Premium (IE3)", "NEMA Premium");
    let lines = text.lines().filter(|line| {
        let found = |wrong: &&str| line.split([' ', ',', ';', ':', '(', ')', '[', ']']).any(|word| word == *wrong);
        // A formula may have a symbol m, and its numbers name it.
        FOREIGN.iter().filter(|wrong| **wrong != "m" || !line.contains('=')).any(found)
    });
    lines.map(str::to_owned).collect()
}

#[test]
fn every_circuit_of_the_nec_example_speaks_of_feet_gauges_and_north_american_terms() {
    let inputs = example();
    let design = inputs.design();
    assert!(design.circuits.len() > 50);
    for (index, circuit) in design.circuits.iter().enumerate() {
        let mut told = text::circuit(circuit, Units::Customary);
        told.push_str(&text::working(&inputs.working(index), Units::Customary));
        let found = foreign(&told);
        assert!(found.is_empty(), "{}: {found:?}", circuit.tag);
        for line in told.lines() {
            assert!(line.chars().count() <= 100, "{}: {line}", circuit.tag);
        }
        for finding in &circuit.findings {
            let words = [&finding.what, &finding.why, &finding.cure].map(String::as_str).join("\n");
            let found = foreign(&words);
            assert!(found.is_empty(), "{}: {found:?}", circuit.tag);
        }
    }
}

#[test]
fn a_foreign_word_is_found() {
    assert_eq!(foreign("length 80.77 m against 50 m").len(), 1);
    assert_eq!(foreign("u = 100   (IEC 60364-5-52)").len(), 1);
    assert!(foreign("265 ft of 12 AWG\n  m = 5, Ib = 300").is_empty());
}

/// Every device that is sized by the code's table bears its largest rating with the clause.
#[test]
fn every_motor_device_has_its_maximum_with_a_clause() {
    let design = example().design();
    let mut told = 0;
    for circuit in design.circuits.iter().filter(|circuit| circuit.load.kind == "motor") {
        let Some(device) = circuit.protection.as_ref().filter(|protection| protection.kind != "instantaneous") else { continue };
        let ceilings = circuit.checks.iter().filter(|check| check.name == "protection-maximum" && check.subject.is_empty());
        let clauses: Vec<&str> = ceilings.map(|check| check.reference.as_str()).collect();
        assert!(!clauses.is_empty() && clauses.iter().all(|clause| !clause.is_empty()), "{} {}", circuit.tag, device.kind);
        told += 1;
    }
    assert!(told > 30, "{told}");
}

/// NFPA 70, 250.122(B): 2500 ft of 10 hp at 460 V need larger phases for the drop, and the grounding conductor grows with them. The working
/// names that clause and ends at the size that is laid; it does not say that the table alone gave it.
#[test]
fn the_working_of_a_grounding_conductor_names_the_increase_that_gave_it() {
    let folder = common::folder_with(
        "loads.csv",
        b"tag,board,rated_power_hp,voltage_v,phases,starting_method,cable_length_ft\nP-1,MCC,10,460,3,direct,2500\n",
    );
    let run = common::run_in(folder.path(), &["explain", "loads.csv", "P-1", "--rules", "nec"]);
    assert_eq!(run.stderr, "", "{}", run.stdout);
    let working = run.stdout.split("\nWorking\n").nth(1).expect("a working");
    let [table, increase, laid] =
        ["NFPA 70, Table 250.122", "NFPA 70, 250.122(B)", "NFPA 70, 250.122(A)"].map(|clause| working.find(clause));
    assert!(table.is_some() && table < increase && increase < laid, "{working}");
    let of = |quantity: &str| working.split(&format!("  {quantity}\n")).nth(1).and_then(|rest| rest.split("    = ").nth(1));
    let laid = of("equipment grounding conductor").and_then(|rest| rest.split("   (").next()).expect("a size");
    assert!(laid.ends_with(" AWG"), "{laid}");
    let chosen = run.stdout.lines().find(|line| line.contains("conductors   motor")).expect("the conductors");
    assert!(chosen.contains(&format!("equipment grounding conductor {laid},")), "{chosen}: {laid}");
    assert!(of("full-load current").is_some_and(|rest| rest.starts_with("14 A   (NFPA 70, Table 430.250)")), "{working}");
}
