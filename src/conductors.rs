//! Which conductors a supply has: whether there is a neutral, and whether the two conductors of a board of one phase are a line and that
//! neutral, by the words of its system and by the voltages before it. A neutral that nobody states is not there.
//!
//! It reads the basis and chooses nothing: what chooses and the verifier ask the same reading, so that a basis which says too little or
//! contradicts itself has one meaning.

use std::collections::HashMap;

use crate::basis::{Basis, SupplyBasis, TransformerBasis};
use crate::load::wires::{System, is_it, pair_has_neutral};
use crate::quantity::Volts;
use crate::rules::RuleBook;
use crate::rules::physics::high_leg::has_high_leg;
use crate::rules::physics::loading::load_figure;
use crate::rules::physics::nominal::{is_same_voltage, nominal_behind};

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

/// System in words behind a transformer: its own, else that of the supply before it where `[supply]` describes the voltage behind it.
/// Behind a transformer to another voltage the system is another one, and that of a board before it says nothing.
#[must_use]
pub fn system_behind<'b>(transformer: &'b TransformerBasis, supply: Option<&'b SupplyBasis>) -> Option<&'b str> {
    let one_voltage = |supply: &&SupplyBasis| match (transformer.secondary_voltage_v, supply.voltage_v) {
        (Some(secondary), Some(supply)) => near(Volts(secondary), supply),
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

/// The two conductors of a board of one phase.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pair {
    /// A line and the neutral; else two lines.
    pub to_neutral: bool,
    /// Voltage between lines before the board, of which that of the board is no part: what the pair is, is taken for granted then.
    pub unlike: Option<Volts>,
}

impl Pair {
    fn known(to_neutral: bool) -> Self {
        Self { to_neutral, unlike: None }
    }
}

/// The two conductors of a board of one phase are a line and the neutral. Never in an IT system, where a fault may stand in either.
#[must_use]
pub fn pair_is_to_neutral(basis: &Basis, name: &str, book: &dyn RuleBook) -> bool {
    pair(basis, name, book).is_some_and(|pair| pair.to_neutral)
}

/// What the two conductors of a board are: by what its system says, else by its voltage and that of what feeds it, else as the book takes
/// them. None for a board of three phases.
#[must_use]
pub fn pair(basis: &Basis, name: &str, book: &dyn RuleBook) -> Option<Pair> {
    if phases_of_board(basis, name) != 1 {
        return None;
    }
    let unearthed = earthing_of_board(basis, name).is_some_and(is_it);
    Some(if unearthed { Pair::known(false) } else { pair_of(basis, name, book, basis.boards.len()) })
}

fn pair_of(basis: &Basis, name: &str, book: &dyn RuleBook, deep: usize) -> Pair {
    let feed = feed(basis, name);
    let of_supply = || basis.supply.system.as_deref().filter(|_| matches!(feed, Feed::Supply) && basis.supply.phases == Some(1));
    let words = basis.board(name).and_then(|board| board.system.as_deref()).or_else(of_supply);
    if let Some(neutral) = words.and_then(pair_has_neutral) {
        return Pair::known(neutral);
    }
    let Some(voltage) = basis.board_voltage(name).map(Volts) else { return Pair::known(false) };
    match feed {
        Feed::Board(before) => behind_board(basis, voltage, before, book, deep),
        Feed::Supply => match (basis.supply.voltage_v, basis.supply.phases) {
            (Some(line), Some(1)) if !near(voltage, line) => of_one_phase(voltage, line),
            (Some(line), phases) if phases != Some(1) => of_three_phases(voltage, line, basis.supply.system.as_deref(), book),
            _ => Pair::known(book.one_phase_to_neutral(voltage)),
        },
        Feed::Transformer => {
            let secondary =
                basis.transformer_before(name).and_then(|transformer| transformer.secondary_voltage_v).map(nominal_behind);
            let of_star = secondary.is_some_and(|line| near(voltage, line / 3f64.sqrt()));
            Pair::known(of_star || book.one_phase_to_neutral(voltage))
        }
    }
}

/// The same pair goes on behind a board of one phase and this voltage.
fn behind_board(basis: &Basis, voltage: Volts, before: &str, book: &dyn RuleBook, deep: usize) -> Pair {
    match (basis.board_voltage(before), phases_of_board(basis, before)) {
        (Some(line), 1) if near(voltage, line) && deep > 0 => pair_of(basis, before, book, deep - 1),
        (Some(line), 1) => of_one_phase(voltage, line),
        (Some(line), _) => of_three_phases(voltage, line, system_of_board(basis, before), book),
        (None, _) => Pair::known(book.one_phase_to_neutral(voltage)),
    }
}

/// Behind two conductors of another voltage: half of it lies to the middle of a winding.
fn of_one_phase(voltage: Volts, line: f64) -> Pair {
    let to_middle = near(voltage, line / 2.0);
    Pair { to_neutral: to_middle || is_low(voltage, line), unlike: (!to_middle).then_some(Volts(line)) }
}

/// Behind three lines: their voltage lies between two of them, that of a star or half of one with a high leg to the neutral.
fn of_three_phases(voltage: Volts, line: f64, system: Option<&str>, book: &dyn RuleBook) -> Pair {
    let to_middle = || near(voltage, line / 2.0) && system.is_some_and(has_high_leg);
    if near(voltage, line) || near(voltage, line / 3f64.sqrt()) || to_middle() {
        return Pair::known(!near(voltage, line));
    }
    Pair { to_neutral: is_low(voltage, line) && book.one_phase_to_neutral(voltage), unlike: Some(Volts(line)) }
}

fn near(voltage: Volts, other: f64) -> bool {
    is_same_voltage(voltage.0, other)
}

fn is_low(voltage: Volts, line: f64) -> bool {
    voltage.0 < load_figure("neutral-voltage-most") * line
}

#[cfg(test)]
mod tests;
