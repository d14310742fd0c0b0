//! Whether a load uses a neutral, judged anew from its words and voltages. Words are read in one place for all: to read is not to judge.

use crate::basis::{Basis, LISTED};
use crate::load::wires::{connection_has_neutral, pair_has_neutral};
use crate::quantity::Volts;
use crate::rules::RuleBook;
use crate::rules::physics::loading::load_figure;
use crate::rules::physics::plausibility::plausible;

/// The load has a neutral: it says so, its voltage is well below that between lines, or both conductors of its board are line and neutral.
pub(super) fn is_connected(
    connection: &str,
    (volts, phases): (f64, u32),
    board: &str,
    basis: &Basis,
    book: &dyn RuleBook,
) -> bool {
    let stated = connection_has_neutral(connection);
    if stated == Some(true) || phases != 1 {
        return stated == Some(true);
    }
    let below = basis.board_voltage(board).is_some_and(|line| volts < load_figure("neutral-voltage-most") * line);
    below || stated != Some(false) && on_line_and_neutral(basis, board, book)
}

/// The board has one phase, and its two conductors are no two lines.
pub(super) fn on_line_and_neutral(basis: &Basis, board: &str, book: &dyn RuleBook) -> bool {
    let Some(volts) = basis.board_voltage(board) else { return false };
    let mut path = vec![board];
    // From the board up to the last one before something else.
    while let Some(before) = path.last().and_then(|board| before(basis, board)).filter(|next| !path.contains(next)) {
        path.push(before);
    }
    let phases = |at: usize| path[at..].iter().find_map(|board| basis.board(board)?.phases).or(basis.supply.phases).unwrap_or(3);
    let earthing = path.iter().find_map(|board| basis.board(board)?.earthing.as_deref()).or(basis.supply.earthing.as_deref());
    if phases(0) != 1 || earthing.is_some_and(|earthing| earthing.to_uppercase().starts_with("IT")) {
        return false;
    }
    let of_supply = basis.supply.system.as_deref().filter(|_| path.len() == 1 && basis.supply.phases == Some(1));
    if let Some(system) = basis.board(board).and_then(|board| board.system.as_deref()).or(of_supply)
        && let Some(neutral) = pair_has_neutral(system)
    {
        return neutral;
    }
    let near = |other: f64| (volts - other).abs() <= plausible("voltage-tolerance") * other;
    let three_phases = (1..path.len()).find(|at| phases(*at) == 3).map(|at| path[at]);
    let line = match three_phases {
        Some(three_phases) if !transformed(basis, path[0]) => basis.board_voltage(three_phases),
        None if basis.supply.phases != Some(1) && path.len() == 1 && !transformed(basis, board) => basis.supply.voltage_v,
        _ => None,
    };
    match line {
        Some(line) if near(line) => false,
        Some(line) if near(line / 3f64.sqrt()) => true,
        _ => book.one_phase_to_neutral(Volts(volts)),
    }
}

fn transformed(basis: &Basis, board: &str) -> bool {
    let from = basis.board(board).and_then(|board| board.fed_from.as_deref()).unwrap_or("");
    basis.transformers.iter().any(|transformer| {
        transformer.to.as_deref() == Some(board) || transformer.name.as_deref() == from.split(LISTED).next().map(str::trim)
    })
}

/// The board before a board.
fn before<'b>(basis: &'b Basis, board: &str) -> Option<&'b str> {
    let from = basis.board(board)?.fed_from.as_deref()?.split(LISTED).next()?.trim();
    basis.board(from)?.name.as_deref()
}
