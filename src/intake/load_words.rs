//! What descriptions say of a load that no column names: that a motor turns it, that it is a board, that a transformer only says where
//! it stands. The words are a table.

use std::sync::LazyLock;

use super::machines::turns;
use super::matters::Said;
use super::mentions::{Phrases, words};
use super::tables;

const TABLE: &str = include_str!("tables/load-words.csv");

#[derive(Debug)]
struct Lists {
    turns: Phrases,
    board: Phrases,
    beside: Phrases,
    other: Phrases,
}

static LISTS: LazyLock<Lists> = LazyLock::new(|| {
    let rows: Vec<Said> = tables::rows(TABLE);
    let of = |says: &str| Phrases::of(rows.iter().filter(|row| row.says == says).map(|row| row.phrases.as_str()));
    Lists { turns: of("turns"), board: of("board"), beside: of("beside"), other: of("other") }
});

/// Whether a text names a motor, or what one turns. A board that is supplied as a whole is none, whatever it controls.
pub(super) fn names_a_motor(text: &str) -> bool {
    let words = words(text);
    (LISTS.turns.stand_in(&words) || words.iter().any(|word| turns(word))) && !LISTS.board.stand_in(&words)
}

/// Whether a text names a board that is supplied as a whole.
pub(super) fn names_a_board(text: &str) -> bool {
    LISTS.board.stand_in(&words(text))
}

/// Whether a text names what takes a power in and is no motor: kitchen, laundry, welding.
pub(super) fn names_what_is_no_motor(text: &str) -> bool {
    LISTS.other.stand_in(&words(text))
}

/// Whether a text names a transformer as the place of the load: `Transformer room lighting`.
pub(super) fn is_beside_a_transformer(text: &str) -> bool {
    LISTS.beside.stand_in(&words(text))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_of_the_table_is_read() {
        let lines = TABLE.lines().filter(|line| !line.starts_with('#')).count() - 1;
        let rows: Vec<Said> = tables::rows(TABLE);
        assert_eq!(rows.len(), lines);
        for row in &rows {
            assert!(["turns", "board", "beside", "other"].contains(&row.says.as_str()), "{row:?}");
            let plain = |letter: char| letter.is_ascii_lowercase() || matches!(letter, ' ' | '|' | '&' | '*');
            assert!(row.phrases.chars().all(plain), "{row:?}");
        }
    }

    #[rstest::rstest]
    #[case("Supply fan SF-1", true)]
    #[case("Heizungspumpe", true)]
    #[case("Surpresseur 2", true)]
    #[case("Bomba de agua", true)]
    #[case("Nastro trasportatore", true)]
    #[case("Dompelpomp", true)]
    #[case("Pomp 3", true)]
    #[case("Belt conveyor", true)]
    #[case("Panel LP-3", false)]
    #[case("CT scanner", false)]
    #[case("Pump control panel CP-1", false)]
    #[case("CNC vertical machining center", false)]
    #[case("Dishwasher", false)]
    fn texts_name_motors_or_not(#[case] text: &str, #[case] expected: bool) {
        assert_eq!(names_a_motor(text), expected);
    }

    #[test]
    fn a_transformer_may_only_say_where_a_load_stands() {
        assert!(
            is_beside_a_transformer("Transformer room lighting") && is_beside_a_transformer("Éclairage poste transformateur")
        );
        assert!(!is_beside_a_transformer("Control/lighting transformer 15 kVA 240-120"));
    }
}
