//! The examples' decisions as committed files: a change that moves one shows it in the diff. It shows change; it proves nothing.
//! Run with MOTORWRIGHT_REWRITE=1 to write them anew, and say in the commit why a decision moved.

mod common;

use std::path::Path;

use motorwright::design::Design;
use rstest::rstest;

/// The design of an example, without the steps: they follow from the decisions and would hide them in the diff.
fn design_of(schedule: &Path, basis: &Path) -> Design {
    let mut design = common::design_of_files(schedule, basis);
    for circuit in &mut design.circuits {
        circuit.working.clear();
    }
    design
}

#[rstest]
#[case::iec("water-works")]
#[case::nec("hospital-hvac")]
#[case::network("pumping-station")]
fn the_decisions_of_the_example_are_those_that_were_committed(#[case] example: &str) {
    let [schedule, basis] = common::example_files(example);
    let design = design_of(&schedule, &basis);
    let mut text = serde_json::to_string_pretty(&design).expect("a design is JSON");
    text.push('\n');
    let path = common::root().join(format!("example-schedules/{example}.design.json"));
    if std::env::var_os("MOTORWRIGHT_REWRITE").is_some() {
        std::fs::write(&path, &text).expect("it can be written");
    }
    let kept = std::fs::read_to_string(&path).unwrap_or_default();
    let line = kept.lines().zip(text.lines()).position(|(old, new)| old != new);
    assert!(
        kept == text,
        "a decision of the example moved (first at line {line:?}): look at it, then run with MOTORWRIGHT_REWRITE=1"
    );
}

#[test]
fn workbook_and_text_of_the_hospital_give_the_same_circuits() {
    // Where a thing was written differs, nothing else does.
    let [text, basis] = common::example_files("hospital-hvac");
    let of = |schedule: &Path| {
        let mut design = design_of(schedule, &basis);
        for circuit in &mut design.circuits {
            circuit.place = motorwright::design::CircuitPlace::default();
            for finding in &mut circuit.findings {
                finding.place = None;
            }
        }
        (design.circuits, design.purchase)
    };
    let (of_text, of_workbook) = (of(&text), of(&text.with_extension("xlsx")));
    assert!(of_text.0.len() >= 50, "{}", of_text.0.len());
    assert_eq!(of_text.0.len(), of_workbook.0.len());
    for (one, other) in of_text.0.iter().zip(&of_workbook.0) {
        assert_eq!(one, other, "{}", one.tag);
    }
    assert_eq!(of_text.1, of_workbook.1);
}
