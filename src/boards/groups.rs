//! Cables of a board side by side: where nobody states how many circuits lie together, each is sized as if it lay by itself. It is told
//! once for the board, with those that would not hold beside a second circuit.

use std::collections::BTreeMap;

use crate::design::{Board, Circuit, Status};
use crate::finding::{Finding, codes};
use crate::sizing::Tools;

/// Tells of the board's cables that do not hold beside others.
pub(super) fn add(board: &mut Board, circuits: &[&Circuit], tools: &Tools<'_>) {
    let Some(clause) = tools.book.groups_cables() else { return };
    let alone: Vec<&str> = hold_alone(circuits).map(|circuit| circuit.tag.as_str()).collect();
    if alone.is_empty() {
        return;
    }
    let what = format!(
        "nobody states how many circuits lie together, and each cable is sized by itself; {} of {} circuits do not hold beside a second one: {}",
        alone.len(),
        circuits.len(),
        alone.join(", ")
    );
    board.findings.push(
        Finding::new(&codes::L351_GROUPING, what)
            .why("cables heat each other: the more lie together, the less each of them carries")
            .cure("state grouped_circuits in [design], or in the column of that name: the circuits that lie together, each itself included; 1 where every cable lies apart. Until then these cables and what fits them wait")
            .reference(clause),
    );
}

/// The circuits, of those of one board, of which a cable does not hold beside a second one while another of the board lies as it does.
pub(crate) fn hold_alone<'c>(circuits: &[&'c Circuit]) -> impl Iterator<Item = &'c Circuit> {
    let mut laid_alike: BTreeMap<&str, u32> = BTreeMap::new();
    for circuit in circuits.iter().filter(|circuit| circuit.status != Status::NotSized) {
        for run in circuit.runs.iter().filter(|run| run.holds_for_circuits.is_some()) {
            *laid_alike.entry(run.installation.as_str()).or_default() += circuit.quantity.max(1) * run.count;
        }
    }
    let beside_others = move |circuit: &&Circuit| {
        circuit.runs.iter().any(|run| run.holds_for_circuits == Some(1) && laid_alike.get(run.installation.as_str()) > Some(&1))
    };
    circuits.iter().copied().filter(|circuit| circuit.status != Status::NotSized).filter(beside_others)
}
