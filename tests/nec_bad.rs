//! Bad input of a NEC project: each slip is a finding at its cell with a cure, and the other rows go on.

mod common;

use common::{design_of, root};
use motorwright::design::Status;

const BASIS: &str = "[rules]\nbook = \"nec\"\nedition = \"2023\"\n[supply]\nvoltage_v = 480\nfrequency_hz = 60\nphases = 3\n\
    system = \"480Y/277 4W solidly grounded\"\nprospective_fault_ka = 20\nx_over_r = 4\n\
    [[board]]\nname = \"MCC\"\nvoltage_v = 480\nsystem = \"480Y/277 4W solidly grounded\"\nprospective_fault_ka = 20\n\
    [[board]]\nname = \"LP\"\nvoltage_v = 208\nsystem = \"208Y/120 4W solidly grounded\"\nprospective_fault_ka = 8\n";

/// The last column of the data names the headings of which one must bear a finding; `row` admits the row as a whole.
#[test]
fn each_slip_is_found_at_its_cell_with_a_cure_and_the_others_go_on() {
    let schedule = std::fs::read_to_string(root().join("tests/data/nec-bad.csv")).expect("the schedule");
    let design = design_of(&schedule, BASIS);
    let mut wrong = Vec::new();
    let mut expected = 0;
    for circuit in &design.circuits {
        let notes = circuit.load.other.get("notes").and_then(|value| value.as_str()).unwrap_or("");
        let Some(headings) = notes.strip_prefix("expect ") else { continue };
        expected += 1;
        let found = circuit.findings.iter().any(|finding| {
            let heading = finding.place.as_ref().and_then(|place| place.heading.as_deref()).unwrap_or("row");
            headings.split('|').any(|name| name == heading) && !finding.cure.is_empty()
        });
        if !found {
            let all: Vec<_> = circuit.findings.iter().map(motorwright::finding::summary_line).collect();
            wrong.push(format!("{}: {headings}: {all:#?}", circuit.tag));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert_eq!(expected, 12);
    let right = design.circuits.iter().find(|circuit| circuit.tag == "OK-1").expect("the row");
    assert_ne!(right.status, Status::NotSized, "{:#?}", right.findings);
}
