//! Looks of a workbook's cell beside its content: units and thousands of number formats, figures set off from the line.

use std::borrow::Cow;

use super::units::{Unit, unit_of};
use super::{Content, numbers};

/// The text and the scale that a number format shows beside the number.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Shown {
    /// The unit of a measured quantity.
    pub(super) unit: Option<Unit>,
    /// How many times the number is shown divided by a thousand.
    thousands: u8,
}

impl Shown {
    /// The number that a person sees.
    pub(super) fn scaled(self, number: f64) -> f64 {
        if self.thousands == 0 { number } else { number / 1_000_f64.powi(i32::from(self.thousands)) }
    }
}

/// Most thousands by which a format divides: beyond that it is an accident.
const MOST_THOUSANDS: u8 = 3;

/// Reads a number format such as `0.0" HP"`: its first section, which is that of numbers above zero.
pub(super) fn of_format(format: &str) -> Shown {
    let (mut literal, mut thousands, mut percent) = (String::new(), 0_u8, false);
    let mut letters = format.chars();
    let mut quoted = false;
    while let Some(letter) = letters.next() {
        match letter {
            '"' => quoted = !quoted,
            _ if quoted => literal.push(letter),
            ';' => break,
            '\\' => literal.extend(letters.next()),
            '_' | '*' => drop(letters.next()),
            '[' => literal.push_str(&bracketed(&mut letters)),
            '%' => percent = true,
            // A comma behind the last place divides by a thousand; between places it groups them.
            ',' => thousands = thousands.saturating_add(1),
            '0' | '#' | '?' => thousands = 0,
            '.' => {}
            other => literal.push(other),
        }
    }
    let unit = unit_of(literal.trim()).filter(|unit| unit.is_measure() && *unit != Unit::Percent && !percent);
    Shown { unit, thousands: if thousands <= MOST_THOUSANDS { thousands } else { 0 } }
}

/// The text that brackets of a format show: that of `[$HP-409]`, nothing for a colour or a condition.
fn bracketed(letters: &mut std::str::Chars<'_>) -> String {
    let inside: String = letters.by_ref().take_while(|letter| *letter != ']').collect();
    let text = inside.strip_prefix('$').map(|text| text.split('-').next().unwrap_or_default());
    text.unwrap_or_default().to_owned()
}

/// The text of a cell beside the number that it holds.
pub(super) fn of_text(content: &Content, text: &str) -> Shown {
    let Content::Number(number) = content else { return Shown::default() };
    let text = text.trim();
    let end = text.rfind(|letter: char| letter.is_ascii_digit()).map_or(0, |last| last + 1);
    let (front, behind) = text.split_at(end);
    let unit = unit_of(behind).filter(|unit| unit.is_measure() && *unit != Unit::Percent);
    let shown = numbers::number(front).map(|(value, _)| value).unwrap_or(*number);
    let is = |thousands: &u8| (number / 1_000_f64.powi(i32::from(*thousands)) - shown).abs() <= 0.06 * shown.abs();
    let thousands = (1..=MOST_THOUSANDS).find(is).filter(|_| shown != 0.0 && !behind.trim().starts_with(['e', 'E']));
    Shown { unit, thousands: thousands.unwrap_or(0) }
}

/// How a text stands to the line.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum Offset {
    #[default]
    None,
    /// Set higher, as the mark of a footnote is.
    Raised,
    Lowered,
}

impl Offset {
    /// A text behind another letter, with what is set off from the line told as such.
    pub(super) fn told(self, before: Option<char>, text: String) -> String {
        match self {
            Self::None => text,
            Self::Raised => raised(before, &text),
            Self::Lowered => lowered(before, &text),
        }
    }
}

/// A text set higher than the line: its figures, and a lone letter behind a figure, become raised ones, which no number holds.
fn raised(before: Option<char>, text: &str) -> String {
    let lone = text.trim().chars().count() == 1 && before.is_some_and(|letter| letter.is_ascii_digit());
    text.chars().map(|letter| if lone { raised_letter(letter) } else { raised_digit(letter) }).collect()
}

/// A text set lower than the line: figures behind a figure are no part of it; those behind a letter, as in `P2`, belong to a name.
fn lowered(before: Option<char>, text: &str) -> String {
    let behind_figure = before.is_some_and(|letter| letter.is_ascii_digit());
    let lower = |letter: char| match letter.to_digit(10) {
        Some(digit) if behind_figure => char::from_u32(0x2080 + digit).unwrap_or(letter),
        _ => letter,
    };
    text.chars().map(lower).collect()
}

const RAISED: [char; 10] = ['⁰', '¹', '²', '³', '⁴', '⁵', '⁶', '⁷', '⁸', '⁹'];

fn raised_digit(letter: char) -> char {
    letter.to_digit(10).and_then(|digit| RAISED.get(digit as usize)).copied().unwrap_or(letter)
}

fn raised_letter(letter: char) -> char {
    match letter {
        'a' => 'ᵃ',
        'b' => 'ᵇ',
        'c' => 'ᶜ',
        'd' => 'ᵈ',
        'e' => 'ᵉ',
        'f' => 'ᶠ',
        other => raised_digit(other),
    }
}

/// Whether a letter is a figure or letter that is set off from the line.
pub(super) fn is_offset_letter(letter: char) -> bool {
    RAISED.contains(&letter) || ('₀'..='₉').contains(&letter) || "ᵃᵇᶜᵈᵉᶠ".contains(letter)
}

/// Whether a text holds one.
pub(super) fn is_offset(text: &str) -> bool {
    !text.is_ascii() && text.contains(is_offset_letter)
}

/// Whether a letter marks a footnote, or is a blank before such a mark.
pub(super) fn is_mark(letter: char) -> bool {
    is_offset_letter(letter) || matches!(letter, '*' | '†' | '‡' | ' ')
}

/// A text without marks of footnotes at its end; those of `m²` and `ft³` belong to the unit.
pub(super) fn without_mark(text: &str) -> Cow<'_, str> {
    let bare = text.trim_end_matches(is_mark);
    let last = bare.rsplit(|letter: char| !letter.is_alphanumeric()).next().unwrap_or_default();
    let of_unit = matches!(last.to_ascii_lowercase().as_str(), "m" | "mm" | "cm" | "ft" | "in");
    if bare.len() == text.trim_end().len() || bare.is_empty() || of_unit {
        return Cow::Borrowed(text);
    }
    Cow::Owned(bare.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Number formats as ECMA-376 part 1, 18.8.31, describes them.
    #[rstest::rstest]
    #[case::quoted("0.0\" HP\"", Some(Unit::Horsepower), 0)]
    #[case::escaped("0.0\\ \\H\\P", Some(Unit::Horsepower), 0)]
    #[case::feet("0\" ft\"", Some(Unit::Foot), 0)]
    #[case::sections("0.0\" kW\";-0.0\" HP\"", Some(Unit::Kilowatt), 0)]
    #[case::currency("#,##0.0 [$HP]", Some(Unit::Horsepower), 0)]
    #[case::colour("[Red]0.0", None, 0)]
    #[case::thousands("0.0,", None, 1)]
    #[case::millions("0.0,,\" kW\"", Some(Unit::Kilowatt), 2)]
    #[case::grouped("#,##0.0", None, 0)]
    #[case::percent("0.0%", None, 0)]
    #[case::aligned("_-0.0_-", None, 0)]
    #[case::remark("0\" pumps\"", None, 0)]
    fn formats_show_units_and_thousands(#[case] format: &str, #[case] unit: Option<Unit>, #[case] thousands: u8) {
        assert_eq!(of_format(format), Shown { unit, thousands });
    }

    #[rstest::rstest]
    #[case(10.0, "10.0 HP", Some(Unit::Horsepower), 10.0)]
    #[case(5_500.0, "5.5", None, 5.5)]
    #[case(5_500.0, "5,500", None, 5_500.0)]
    #[case(7.5, "7.5", None, 7.5)]
    #[case(0.004, "0.0", None, 0.004)]
    fn texts_show_what_numbers_do_not(#[case] number: f64, #[case] text: &str, #[case] unit: Option<Unit>, #[case] seen: f64) {
        let shown = of_text(&Content::Number(number), text);
        assert_eq!((shown.unit, shown.scaled(number)), (unit, seen));
    }

    #[test]
    fn footnotes_are_no_part_of_a_figure() {
        assert_eq!(raised(Some('8'), "2"), "²");
        assert_eq!(raised(Some('1'), "a"), "ᵃ");
        assert_eq!(raised(Some('1'), "st"), "st");
        assert_eq!((lowered(Some('P'), "2"), lowered(Some('8'), "2")), ("2".to_owned(), "₂".to_owned()));
        assert_eq!(without_mark("FLA (A)¹"), "FLA (A)");
        assert_eq!(without_mark("Current¹"), "Current");
        assert_eq!(without_mark("Area m²"), "Area m²");
        assert_eq!(without_mark("Volume (ft³)"), "Volume (ft³)");
    }
}
