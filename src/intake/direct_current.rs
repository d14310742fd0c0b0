//! Direct current in a cell that says what feeds a load: `220 V DC`, `220/DC`, `110 Vdc`, phases `DC`.
//!
//! Such a cell is read, not refused for its spelling: whoever then wrote the number alone would get a circuit of alternating current.

use super::matters::{is_of, suggests};
use super::{Content, mentions, values};
use crate::load::{Field, Value};

/// Columns that say what feeds a load.
const COLUMNS: [Field; 3] = [Field::VoltageV, Field::Supply, Field::Phases];

/// Whether a word is a mark of direct current.
#[must_use]
pub(crate) fn is_mark(word: &str) -> bool {
    is_of("mark-of-direct-current", word)
}

/// Whether a word is a mark of alternating current.
#[must_use]
pub(crate) fn is_mark_of_alternating(word: &str) -> bool {
    is_of("mark-of-alternating-current", word)
}

/// Whether a text of a supply says direct current and nothing else. Where the supply stands in a part of its own, a coil or a brake beside
/// it has no say.
#[must_use]
pub(crate) fn stated_in(text: &str) -> bool {
    let words = mentions::words(&text.replace('.', ""));
    let parts = || words.split(String::is_empty).filter(|part| !suggests("beside-direct-current", part));
    let has_figure = |part: &[String]| part.iter().any(|word| word.bytes().all(|byte| byte.is_ascii_digit()));
    let of_supply: Vec<String> = if parts().any(has_figure) { parts().flatten().cloned().collect() } else { words.clone() };
    suggests("mark-of-direct-current", &of_supply) && !of_supply.iter().any(|word| is_mark_of_alternating(word))
}

/// The one voltage beside a mark of direct current.
fn volts(text: &str) -> Option<f64> {
    let figure = |part: &str| part.parse::<f64>().ok();
    let mut figures = text.split(|letter: char| !(letter.is_ascii_digit() || letter == '.')).filter_map(figure);
    figures.next().filter(|_| figures.next().is_none())
}

/// What a cell of the supply that states direct current holds: its voltage, or two conductors.
pub(super) fn in_cell(field: Field, text: &str) -> Option<(Field, Value)> {
    if !COLUMNS.contains(&field) || !stated_in(text) {
        return None;
    }
    if field == Field::Phases {
        return Some((Field::Phases, Value::Number(1.0)));
    }
    let within_bounds = values::read(Field::VoltageV.spec(), &Content::Number(volts(text)?)).ok()??;
    Some((Field::VoltageV, within_bounds))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[rstest::rstest]
    #[case("220 V DC", true)]
    #[case("220/DC", true)]
    #[case("110Vdc", true)]
    #[case("110 V d.c.", true)]
    #[case("DC", true)]
    #[case("400 V", false)]
    #[case("230 V AC/DC", false)]
    #[case("460/3/60", false)]
    #[case("220 V continu", true)]
    #[case("220 V DC bus", true)]
    #[case("220 V DC control", true)]
    #[case("400 V (DC brake)", false)]
    #[case("400 V, 24 V DC control", false)]
    #[case("220 V DC, 24 V AC coil", true)]
    #[case("3 ph + DC brake", false)]
    fn direct_current_is_told_by_its_mark(#[case] text: &str, #[case] expected: bool) {
        assert_eq!(stated_in(text), expected);
    }
}
