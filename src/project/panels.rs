//! Rows that stand in the panel of one board: which of them have electronics beside them. Only rows are read, none is sized.

use std::collections::{BTreeMap, BTreeSet};

use super::Inputs;
use crate::load::Case;
use crate::record::Record;
use crate::sizing::accessories::{brings_electronics, stands_in_its_board};
use crate::sizing::resolve;

/// Rows in whose panel some row brings electronics.
pub(super) fn beside_electronics(inputs: &Inputs) -> BTreeSet<usize> {
    let mut panels: BTreeMap<String, (bool, Vec<usize>)> = BTreeMap::new();
    for index in 0..inputs.intake.loads.len() {
        let Some(case) = case(inputs, index).filter(stands_in_its_board) else { continue };
        let (electronics, rows) = panels.entry(case.board.clone()).or_default();
        *electronics |= brings_electronics(&case);
        rows.push(index);
    }
    panels.into_values().filter(|(electronics, _)| *electronics).flat_map(|(_, rows)| rows).collect()
}

/// A row that will be sized.
fn case(inputs: &Inputs, index: usize) -> Option<Case> {
    let load = &inputs.intake.loads[index];
    let mut record = Record::silent();
    let sized = !load.rejected && !load.incomplete;
    let case = sized.then(|| resolve::resolve(load, &inputs.basis, inputs.book, &mut record)).flatten()?;
    inputs.book.currents(&case.machine, &case.start, &case.wishes.current_source, load, &mut record).map(|_| case)
}
