//! The sender's own revision marks against the real changes.

use std::collections::{BTreeMap, BTreeSet};

use super::MarkRemark;
use super::pairs::Pairs;
use crate::design::{Circuit, Design};

fn mark(circuit: &Circuit) -> &str {
    circuit.stated.get("row_revision").and_then(serde_json::Value::as_str).unwrap_or("").trim()
}

/// Rows that are changed and not marked, or marked and not changed. A schedule that marks nothing is not held to it. `differing` are rows
/// of the new side that state something else or bear another tag; `carried` are rows
/// that say something else in columns that the program does not read: their mark is right, and a missing one is no fault.
pub(super) fn remarks(
    old: &Design,
    new: &Design,
    pairs: &Pairs,
    differing: &BTreeSet<usize>,
    carried: &BTreeSet<usize>,
) -> Vec<MarkRemark> {
    if new.circuits.iter().all(|circuit| mark(circuit).is_empty()) {
        return Vec::new();
    }
    let partner: BTreeMap<usize, &Circuit> = pairs.same.iter().map(|(one, other)| (*other, &old.circuits[*one])).collect();
    let mut found = Vec::new();
    let mut say = |circuit: &Circuit, what: &str| {
        found.push(MarkRemark { tag: circuit.tag.clone(), mark: mark(circuit).to_owned(), what: what.to_owned() });
    };
    for (index, circuit) in new.circuits.iter().enumerate() {
        let before = partner.get(&index);
        // A mark that the row bore before is one of an earlier revision.
        let marked = !mark(circuit).is_empty() && before.is_none_or(|before| mark(before) != mark(circuit));
        // That it was split or merged is a change, and its mark is right; what it states may be the same.
        let changed = before.is_none() || differing.contains(&index);
        if changed && !marked {
            say(circuit, "changed, not marked");
        } else if marked && !changed && !carried.contains(&index) && !pairs.parted.contains(&index) {
            say(circuit, "marked, not changed");
        }
    }
    found
}
