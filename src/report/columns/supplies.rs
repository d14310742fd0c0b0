//! Control supplies as rows of a table: of boards, and of starters that have their own.

use std::borrow::Cow;

use super::rating;
use crate::design::{Board, ControlDevice, ControlSupply, Design};
use crate::report::words::full;
use crate::rules::units::Units;

/// A control supply, or a board that has none to show.
pub struct SupplyRow<'d> {
    /// Name of the board or tag of the starter.
    pub owner: &'d str,
    /// The board, where it is a board's.
    pub board: Option<&'d Board>,
    /// The supply.
    pub supply: Option<&'d ControlSupply>,
}

impl SupplyRow<'_> {
    /// Its kind, in words.
    #[must_use]
    pub fn kind(&self, units: Units) -> Cow<'_, str> {
        self.supply.map_or(Cow::Borrowed(""), |supply| match supply.kind.as_str() {
            "line" => Cow::Borrowed("from the line, no transformer"),
            other => Cow::Owned(full(units, other)),
        })
    }

    /// A device with its pieces, such as `2 x fuse 4 A`.
    #[must_use]
    pub fn device(&self, of: impl Fn(&ControlSupply) -> Option<&ControlDevice>) -> String {
        let words = |device: &ControlDevice| format!("{} × {} {} A", device.quantity, device.kind, rating(device.rating_a));
        self.supply.and_then(of).map(words).unwrap_or_default()
    }

    /// Circuit whose group is the largest; a starter alone has no other.
    #[must_use]
    pub fn largest(&self) -> &str {
        self.supply.filter(|_| self.board.is_some()).map_or("", |supply| supply.event_tag.as_str())
    }

    /// The circuits that it serves: tags, or how many of them; a starter's own serves the starter.
    #[must_use]
    pub fn serves(&self) -> String {
        match self.supply.filter(|_| self.board.is_some()).map(|supply| supply.serves.as_slice()) {
            None | Some([]) => String::new(),
            Some([only]) => only.clone(),
            Some(all) => format!("{} circuits", all.len()),
        }
    }
}

/// Supplies of boards in the order of the boards, then of starters in the order of the schedule.
#[must_use]
pub fn supply_rows(design: &Design) -> Vec<SupplyRow<'_>> {
    let of_board = |board: &'_ Board| -> Vec<Option<usize>> {
        if board.control_supplies.is_empty() { vec![None] } else { (0..board.control_supplies.len()).map(Some).collect() }
    };
    let mut rows: Vec<SupplyRow<'_>> = Vec::new();
    for board in &design.boards {
        rows.extend(of_board(board).into_iter().map(|at| SupplyRow {
            owner: &board.name,
            board: Some(board),
            supply: at.and_then(|at| board.control_supplies.get(at)),
        }));
    }
    rows.extend(design.circuits.iter().filter_map(|circuit| {
        let supply = circuit.control.as_ref()?.supply.as_ref()?;
        Some(SupplyRow { owner: &circuit.tag, board: None, supply: Some(supply) })
    }));
    rows
}
