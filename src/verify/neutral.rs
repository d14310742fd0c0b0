//! Whether a load uses a neutral, read anew from its words and voltages.

use crate::basis::{Basis, LISTED};
use crate::quantity::Volts;
use crate::rules::RuleBook;
use crate::rules::physics::loading::load_figure;
use crate::rules::physics::plausibility::plausible;

/// The reading of a connection: a neutral, lines alone, or nothing that is understood.
fn stated(text: &str) -> Option<bool> {
    let lower = text.to_lowercase();
    let words: Vec<&str> = lower.split(|letter: char| !letter.is_alphanumeric()).filter(|word| !word.is_empty()).collect();
    if words.iter().any(|word| matches!(*word, "no" | "not" | "without" | "w" | "ohne" | "sans" | "senza" | "sin")) {
        return Some(false);
    }
    let neutral = |word: &str| {
        let bare = word.trim_end_matches("pe").trim_start_matches(|letter: char| letter.is_ascii_digit() || letter == 'l');
        matches!(bare.trim_start_matches(['p', 'h']).trim_start_matches(|letter: char| letter.is_ascii_digit()), "n")
            || word.starts_with("neutr")
            || matches!(word, "4w" | "5w")
    };
    let lines = |word: &str| word.starts_with(['l', 'p', '2', '3']) && !neutral(word);
    if words.iter().any(|word| neutral(word)) {
        return Some(true);
    }
    (!words.is_empty() && words.iter().all(|word| lines(word))).then_some(false)
}

/// The words of a system count a neutral among its wires, or name one; the count goes before the name, which may be that of its earthing.
pub(super) fn leads_a_neutral(system: &str) -> bool {
    let lower = system.to_lowercase();
    let counts = |wires: [&str; 2]| {
        let forms = ["w", "-w", " w"];
        wires.iter().any(|number| forms.iter().any(|form| lower.contains(&format!("{number}{form}"))))
    };
    !counts(["3", "three"]) && (counts(["4", "four"]) || counts(["5", "five"]) || stated(system) == Some(true))
}

/// The load has a neutral: it says so, its voltage is well below that between lines, or both conductors of its board are line and neutral.
pub(super) fn is_connected(
    connection: &str,
    (volts, phases): (f64, u32),
    board: &str,
    basis: &Basis,
    book: &dyn RuleBook,
) -> bool {
    let stated = stated(connection);
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
    if let Some(system) = basis.board(board).and_then(|board| board.system.as_deref()).or(of_supply) {
        let lower = system.to_lowercase();
        if ["3w", "3-w", "3 w", "three-wire", "three wire"].iter().any(|words| lower.contains(words)) {
            return false;
        }
        if let Some(stated) = stated(system) {
            return stated;
        }
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

#[cfg(test)]
mod tests {
    use super::*;

    /// The four words of the contract and what people write for them; a letter within a word is none.
    #[test]
    fn a_letter_within_a_word_is_no_neutral() {
        for (text, neutral) in [
            ("3L", Some(false)),
            ("3L+N", Some(true)),
            ("L-L", Some(false)),
            ("L-N", Some(true)),
            ("3/N/PE", Some(true)),
            ("3PN", Some(true)),
            ("line-line", Some(false)),
            ("no neutral", Some(false)),
            ("between lines", None),
            ("delta connection", None),
            ("", None),
        ] {
            assert_eq!(stated(text), neutral, "{text}");
        }
    }
}
