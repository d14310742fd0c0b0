//! Whether a load uses a neutral, judged anew from its words and voltages. Words are read in one place for all: to read is not to judge.

use super::isolator;
use crate::basis::{Basis, LISTED};
use crate::load::wires::{connection_has_neutral, is_it, pair_has_neutral};
use crate::quantity::Volts;
use crate::rules::RuleBook;
use crate::rules::physics::loading::load_figure;
use crate::rules::physics::nominal::voltage_limit;

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
    if phases(0) != 1 || isolator::earthing(basis, board).is_some_and(is_it) {
        return false;
    }
    let near = |other: f64| (volts - other).abs() <= voltage_limit("voltage-tolerance") * other;
    // The same pair goes on as far as the boards have one phase and this voltage, and no transformer makes another.
    let alike = |at: usize| at == 0 || phases(at) == 1 && basis.board_voltage(path[at]).is_some_and(near);
    let goes_on = |at: usize| alike(at) && (at == 0 || !transformed(basis, path[at - 1]));
    let pair = (0..path.len()).take_while(|at| goes_on(*at)).last().map_or(&path[..1], |last| &path[..=last]);
    let at_supply = pair.len() == path.len() && basis.supply.phases == Some(1) && !transformed(basis, path[path.len() - 1]);
    let of_boards = pair.iter().filter_map(|board| basis.board(board)?.system.as_deref());
    let of_supply = basis.supply.system.as_deref().filter(|_| at_supply);
    if let Some(neutral) = of_boards.chain(of_supply).find_map(pair_has_neutral) {
        return neutral;
    }
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
