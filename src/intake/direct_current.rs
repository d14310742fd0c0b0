//! Direct current in a cell that says what feeds a load: `220 V DC`, `220/DC`, `110 Vdc`, phases `DC`.
//!
//! Such a cell is read, not refused for its spelling: whoever then wrote the number alone would get a circuit of alternating current.

use super::mentions;
use crate::load::{Field, Value};

/// Marks of direct current beside a voltage or in place of phases; `c.c.` and `cc` are the French, Italian and Spanish ones.
const MARKS: [&str; 8] = ["dc", "vdc", "dcv", "cc", "vcc", "gleichstrom", "gleichspannung", "gelijkstroom"];
/// Marks of alternating current: a cell that bears both says nothing.
const OF_ALTERNATING: [&str; 5] = ["ac", "vac", "acv", "ca", "vca"];

fn words(text: &str) -> Vec<String> {
    mentions::words(&text.replace('.', "")).into_iter().filter(|word| !word.is_empty()).collect()
}

/// Whether a text of a supply says direct current and nothing else.
#[must_use]
pub(crate) fn stated_in(text: &str) -> bool {
    let words = words(text);
    let any = |marks: &[&str]| words.iter().any(|word| marks.contains(&word.as_str()));
    any(&MARKS) && !any(&OF_ALTERNATING)
}

/// The one voltage beside a mark of direct current.
fn volts(text: &str) -> Option<f64> {
    let figure = |part: &str| part.parse::<f64>().ok();
    let mut figures = text.split(|letter: char| !(letter.is_ascii_digit() || letter == '.')).filter_map(figure);
    figures.next().filter(|_| figures.next().is_none())
}

/// What a cell of the supply that states direct current holds: its voltage, or two conductors.
pub(super) fn in_cell(field: Field, text: &str) -> Option<(Field, Value)> {
    if !stated_in(text) {
        return None;
    }
    match field {
        Field::VoltageV | Field::Supply => {
            let (low, high) = (12.0, 1_500.0);
            volts(text).filter(|volts| (low..=high).contains(volts)).map(|volts| (Field::VoltageV, Value::Number(volts)))
        }
        Field::Phases => Some((Field::Phases, Value::Number(1.0))),
        _ => None,
    }
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
    fn direct_current_is_told_by_its_mark(#[case] text: &str, #[case] expected: bool) {
        assert_eq!(stated_in(text), expected);
    }
}
