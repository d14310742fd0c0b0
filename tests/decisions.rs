//! The example's decisions as a committed file: a change that moves one shows it in the diff. It shows change; it proves nothing.
//! Run with MOTORWRIGHT_REWRITE=1 to write it anew, and say in the commit why a decision moved.

mod common;

use motorwright::project::{self, Options};

#[test]
fn the_decisions_of_the_example_are_those_that_were_committed() {
    let (schedule, basis) = common::example();
    let inputs = project::open(&Options { schedule, basis: Some(basis), ..Options::default() }).expect("the example opens");
    let mut design = inputs.design();
    // Steps follow from the decisions and would hide them in the diff.
    for circuit in &mut design.circuits {
        circuit.working.clear();
    }
    let mut text = serde_json::to_string_pretty(&design).expect("a design is JSON");
    text.push('\n');
    let path = common::root().join("example-schedules/water-works.design.json");
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
