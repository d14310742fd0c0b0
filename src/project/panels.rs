//! Rows that stand in the panel of one board: which of them have electronics beside them. Only rows are read, none is sized.

use std::collections::BTreeSet;

use crate::load::{Case, Load};
use crate::record::Record;
use crate::sizing::accessories::{brings_electronics, stands_in_its_board};
use crate::sizing::{Tools, resolve};
use crate::threads;

/// Where electronics stand.
#[derive(Debug, Default)]
pub(super) struct Electronic {
    /// Boards into whose panel some row brings them.
    pub(super) boards: BTreeSet<String>,
    /// For each row that was read, whether it has some beside it.
    pub(super) rows: Vec<bool>,
}

impl Electronic {
    /// Reads every row once.
    pub(super) fn of(tools: &Tools<'_>, loads: &[Load]) -> Self {
        let read = threads::each(threads::of(loads.len(), threads::worth(loads.len())), |run| {
            let of_row = |load: &Load| in_its_board(tools, load).map(|case| (brings_electronics(&case), case.board));
            loads[run].iter().map(of_row).collect::<Vec<_>>()
        })
        .concat();
        let boards: BTreeSet<String> =
            read.iter().flatten().filter(|(brings, _)| *brings).map(|(_, board)| board.clone()).collect();
        let rows = read.iter().map(|row| row.as_ref().is_some_and(|(_, board)| boards.contains(board))).collect();
        Self { boards, rows }
    }

    /// A row of any schedule has electronics beside it.
    pub(super) fn beside(&self, tools: &Tools<'_>, load: &Load) -> bool {
        !self.boards.is_empty() && in_its_board(tools, load).is_some_and(|case| self.boards.contains(&case.board))
    }
}

/// A row that will be sized and stands in the panel of its board.
fn in_its_board(tools: &Tools<'_>, load: &Load) -> Option<Case> {
    let (case, currents) = resolve::with_currents(load, tools.basis, tools.book, &mut Record::silent())?;
    currents.map(|_| case).filter(stands_in_its_board)
}
