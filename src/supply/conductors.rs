//! Which conductors a supply has: whether there is a neutral, and whether the two conductors of a board of one phase are a line and that
//! neutral, by the words of its system and by the voltages before it. A neutral that nobody states is not there.

use std::collections::HashMap;

use crate::basis::{Basis, SupplyBasis, TransformerBasis};
use crate::load::wires::{System, is_it, pair_has_neutral};
use crate::quantity::Volts;
use crate::rules::RuleBook;
use crate::rules::physics::loading::load_figure;
use crate::rules::physics::nominal::voltage_limit;

/// The source before a board.
enum Feed<'b> {
    Supply,
    Board(&'b str),
    Transformer,
}

fn feed<'b>(basis: &'b Basis, name: &str) -> Feed<'b> {
    match basis.named_before(name) {
        _ if basis.transformer_before(name).is_some() => Feed::Transformer,
        Some(from) if basis.board(from).is_some() || basis.transformer_before(from).is_some() => Feed::Board(from),
        _ => Feed::Supply,
    }
}

/// Phases of a board: its own, else those of what feeds it; three where nobody says.
#[must_use]
pub fn phases_of_board(basis: &Basis, name: &str) -> u32 {
    let mut name = name;
    // Boards that feed each other in a ring are told elsewhere; here they end.
    for _ in 0..=basis.boards.len() {
        if let Some(phases) = basis.board(name).and_then(|board| board.phases) {
            return phases;
        }
        match feed(basis, name) {
            Feed::Board(before) => name = before,
            // A transformer has the phases of what feeds it.
            Feed::Transformer => match before_transformer(basis, name) {
                Some(before) => name = before,
                None => break,
            },
            Feed::Supply => break,
        }
    }
    basis.supply.phases.unwrap_or(3)
}

/// The board before the transformer before a board.
fn before_transformer<'b>(basis: &'b Basis, name: &str) -> Option<&'b str> {
    basis.transformer_before(name)?.from.as_deref().map(str::trim).filter(|from| basis.board(from).is_some())
}

/// System in words behind a transformer: its own, else that of the supply before it where `[supply]` describes the voltage behind it. Behind
/// a transformer to another voltage the system is another one, and that of a board before it says nothing.
#[must_use]
pub fn system_behind<'b>(transformer: &'b TransformerBasis, supply: Option<&'b SupplyBasis>) -> Option<&'b str> {
    let near = |secondary: f64, supply: f64| (secondary - supply).abs() <= voltage_limit("voltage-tolerance") * supply;
    let one_voltage = |supply: &&SupplyBasis| match (transformer.secondary_voltage_v, supply.voltage_v) {
        (Some(secondary), Some(supply)) => near(secondary, supply),
        (None, _) | (_, None) => true,
    };
    transformer.system.as_deref().or_else(|| supply.filter(one_voltage)?.system.as_deref())
}

/// A board and those before it up to the source, transformers between or not. One of a ring of boards that feed each other is the last:
/// nothing is known before it.
fn way<'b>(basis: &'b Basis, name: &'b str) -> Vec<&'b str> {
    let before = |name: &'b str| match feed(basis, name) {
        Feed::Board(before) => Some(before),
        Feed::Transformer => before_transformer(basis, name),
        Feed::Supply => None,
    };
    let (mut way, mut places) = (vec![name], HashMap::from([(name, 0)]));
    while let Some(next) = way.last().and_then(|last| before(last)) {
        if let Some(begins) = places.insert(next, way.len()) {
            way.truncate(begins + 1);
            break;
        }
        way.push(next);
    }
    way
}

/// System in words: that of a board, else of the transformer before it, else of what feeds it; none behind a transformer of which nobody
/// says it.
#[must_use]
pub fn system_of_board<'b>(basis: &'b Basis, name: &'b str) -> Option<&'b str> {
    for name in way(basis, name) {
        if let Some(system) = basis.board(name).and_then(|board| board.system.as_deref()) {
            return Some(system);
        }
        match feed(basis, name) {
            Feed::Board(_) => {}
            Feed::Transformer => {
                let transformer = basis.transformer_before(name)?;
                let of_supply = before_transformer(basis, name).is_none().then_some(&basis.supply);
                return system_behind(transformer, of_supply);
            }
            Feed::Supply => return basis.supply.system.as_deref(),
        }
    }
    None
}

/// Earthing in words: that of a board, else of the next one before it that states any, transformers between or not, else of the supply.
#[must_use]
pub fn earthing_of_board<'b>(basis: &'b Basis, name: &'b str) -> Option<&'b str> {
    let of_boards = way(basis, name).into_iter().find_map(|name| basis.board(name)?.earthing.as_deref());
    of_boards.or(basis.supply.earthing.as_deref())
}

/// Why a board has no neutral for loads, with the clause; none where nothing says so.
#[must_use]
pub fn without_neutral(basis: &Basis, name: &str, book: &dyn RuleBook) -> Option<(&'static str, &'static str)> {
    let system = system_of_board(basis, name)?;
    let of_three_wires = phases_of_board(basis, name) == 3 && System::read(system).three_wires;
    book.without_neutral(system)
        .or(of_three_wires.then_some(("its system counts three wires, and none of them is a neutral", "")))
}

/// The two conductors of a board of one phase are a line and the neutral: by what its system says, else by its voltage and that of what
/// feeds it, else as the book takes them. Never in an IT system, where a fault may stand in either.
#[must_use]
pub fn pair_is_to_neutral(basis: &Basis, name: &str, book: &dyn RuleBook) -> bool {
    let unearthed = earthing_of_board(basis, name).is_some_and(is_it);
    !unearthed && to_neutral(basis, name, book, basis.boards.len())
}

fn to_neutral(basis: &Basis, name: &str, book: &dyn RuleBook, deep: usize) -> bool {
    let board = basis.board(name);
    if phases_of_board(basis, name) != 1 {
        return false;
    }
    let feed = feed(basis, name);
    let of_supply = || basis.supply.system.as_deref().filter(|_| matches!(feed, Feed::Supply) && basis.supply.phases == Some(1));
    if let Some(text) = board.and_then(|board| board.system.as_deref()).or_else(of_supply)
        && let Some(neutral) = pair_has_neutral(text)
    {
        return neutral;
    }
    let Some(voltage) = basis.board_voltage(name) else { return false };
    let near = |other: f64| (voltage - other).abs() <= voltage_limit("voltage-tolerance") * other;
    let half = |other: f64| voltage < load_figure("neutral-voltage-most") * other;
    match feed {
        Feed::Board(before) => {
            let line = basis.board_voltage(before);
            match (line, phases_of_board(basis, before)) {
                (Some(line), 1) if near(line) => deep > 0 && to_neutral(basis, before, book, deep - 1),
                (Some(line), 1) => half(line),
                (Some(line), _) => {
                    near(line / 3f64.sqrt()) || !near(line) && half(line) && book.one_phase_to_neutral(Volts(voltage))
                }
                (None, _) => book.one_phase_to_neutral(Volts(voltage)),
            }
        }
        Feed::Supply if basis.supply.phases == Some(1) => match basis.supply.voltage_v {
            Some(supply) if !near(supply) => half(supply),
            _ => book.one_phase_to_neutral(Volts(voltage)),
        },
        Feed::Supply => basis.supply.voltage_v.is_some_and(|line| near(line / 3f64.sqrt())),
        Feed::Transformer => book.one_phase_to_neutral(Volts(voltage)),
    }
}

#[cfg(test)]
mod tests;
