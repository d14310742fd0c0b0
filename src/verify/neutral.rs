//! Whether a load uses a neutral, judged anew from its words and voltages. Words and the way of the basis are read in one place for all: to
//! read is not to judge.

use crate::basis::Basis;
use crate::conductors::pair_is_to_neutral;
use crate::load::wires::connection_has_neutral;
use crate::rules::RuleBook;
use crate::rules::physics::loading::load_figure;

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
    below || stated != Some(false) && pair_is_to_neutral(basis, board, book)
}
