//! Rows that stand in the panel of one board: which of them have electronics beside them. Only rows are read, none is sized.

use std::collections::BTreeSet;

use super::Inputs;
use crate::load::{Case, Load};
use crate::record::Record;
use crate::sizing::accessories::{brings_electronics, stands_in_its_board};
use crate::sizing::resolve;

/// Boards into whose panel some row brings electronics.
pub(super) fn electronic(inputs: &Inputs) -> BTreeSet<String> {
    let cases = inputs.intake.loads.iter().filter_map(|load| in_its_board(inputs, load));
    cases.filter(brings_electronics).map(|case| case.board).collect()
}

/// A row has electronics beside it.
pub(super) fn beside_electronics(inputs: &Inputs, load: &Load, electronic: &BTreeSet<String>) -> bool {
    !electronic.is_empty() && in_its_board(inputs, load).is_some_and(|case| electronic.contains(&case.board))
}

/// A row that will be sized and stands in the panel of its board.
fn in_its_board(inputs: &Inputs, load: &Load) -> Option<Case> {
    let mut record = Record::silent();
    let sized = !load.rejected && !load.incomplete;
    let case = sized.then(|| resolve::resolve(load, &inputs.basis, inputs.book, &mut record)).flatten()?;
    inputs
        .book
        .currents(&case.machine, &case.start, &case.wishes.current_source, load, &mut record)
        .map(|_| case)
        .filter(stands_in_its_board)
}
