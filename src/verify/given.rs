//! Choices of others: every one that the row states has a verdict, and nothing else has.

use std::collections::BTreeSet;

use crate::design::Circuit;
use crate::finding::codes;
use crate::verify::Disagreements;

/// The columns of others' choices begin with this.
const PREFIX: &str = "given_";

pub(super) fn agree(circuit: &Circuit, found: &mut Disagreements) {
    let stated: BTreeSet<&str> =
        circuit.load.other.keys().map(String::as_str).filter(|column| column.starts_with(PREFIX)).collect();
    for column in &stated {
        let verdicts = circuit.given.iter().filter(|given| given.column == *column).count();
        found.unless(verdicts == 1, &codes::V804_GIVEN, || format!("{column} is stated and has {verdicts} verdicts"));
    }
    for given in circuit.given.iter().filter(|given| !stated.contains(given.column.as_str())) {
        found.say(&codes::V804_GIVEN, format!("{} has a verdict and is not stated", given.column));
    }
}
