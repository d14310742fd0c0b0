//! Texts of cells: as a person would see them, and as a finding quotes them.

use std::borrow::Cow;

use super::Content;
use crate::load::Text;

/// Longest text of a cell that is read, in characters.
pub(super) const LONGEST_TEXT: usize = 2_000;
/// Longest text of a cell that a finding repeats, in characters.
const LONGEST_QUOTE: usize = 60;

/// The text of a cell as a person sees it.
pub(super) fn of(content: &Content) -> Cow<'_, str> {
    match content {
        Content::Empty => Cow::Borrowed(""),
        Content::Text(text) => Cow::Borrowed(text),
        Content::Error(text) => Cow::Borrowed(text),
        Content::Date(date) => Cow::Borrowed(&date.text),
        Content::Number(number) => Cow::Owned(number_text(*number)),
        Content::Boolean(true) => Cow::Borrowed("TRUE"),
        Content::Boolean(false) => Cow::Borrowed("FALSE"),
    }
}

/// The same, to be kept: the text of a cell is shared with it.
pub(super) fn kept(content: &Content) -> Text {
    match content {
        Content::Text(text) => text.clone(),
        other => of(other).into(),
    }
}

/// A number as it would be typed: no exponent in the usual range, as a double of 309 digits helps nobody.
pub(super) fn number_text(number: f64) -> String {
    // Not a bound of the trade: the magnitude at which digits outnumber what a double holds.
    if number != 0.0 && !(1e-6..1e15).contains(&number.abs()) { format!("{number:e}") } else { format!("{number}") }
}

/// A text short enough to stand in a finding.
pub(super) fn shortened(text: &str) -> String {
    let text = text.trim();
    match text.char_indices().nth(LONGEST_QUOTE) {
        None => text.to_owned(),
        Some((end, _)) => format!("{}…", text.get(..end).unwrap_or_default()),
    }
}

/// A number that tells most texts from each other, the same in every run: FNV-1a.
pub(super) fn hash(text: &str) -> u64 {
    text.bytes().fold(0xcbf2_9ce4_8422_2325, |hash, byte| (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3))
}

/// Whether there is nothing to see in the cell.
pub(super) fn is_blank(content: &Content) -> bool {
    match content {
        Content::Empty => true,
        Content::Text(text) => is_blank_text(text),
        _ => false,
    }
}

/// Whether there is nothing to see in a text.
#[inline]
pub(super) fn is_blank_text(text: &str) -> bool {
    // Most texts begin with what can be seen.
    !text.bytes().next().is_some_and(|first| first.is_ascii_graphic()) && text.trim().is_empty()
}

/// Whether a text says "nothing here".
pub(super) fn is_placeholder(text: &str) -> bool {
    let text = text.trim();
    // All of them are as short as the longest here.
    text.len() <= "n/a.".len()
        && (["-", "--", "–", "—"].contains(&text) || ["n/a", "n.a.", "n/a."].iter().any(|other| text.eq_ignore_ascii_case(other)))
}

/// Whether a text says "not known yet".
pub(super) fn is_to_be_confirmed(text: &str) -> bool {
    let text = text.trim().trim_end_matches('.');
    // All of them are as short as the longest here.
    text.len() <= "later".len()
        && ["TBC", "TBA", "TBD", "T.B.C", "T.B.A", "T.B.D", "?", "??", "???", "later", "hold"]
            .iter()
            .any(|other| text.eq_ignore_ascii_case(other))
}

/// Stands in our workbook for a formula that was refused because it had no stored result, so that it is refused there too.
pub(super) const UNCOMPUTED: &str = "#FORMULA!";

/// Whether a question mark leaves open what stands beside it: `11 kW?`, `DOL?`, `20 m (?)`.
pub(super) fn is_doubted(text: &str) -> bool {
    text.contains('?')
}

/// Errors of a spreadsheet that somebody exported or pasted as text, in the languages of those that are known.
const ERRORS: &[&str] = &[
    "#REF!",
    "#N/A",
    "#DIV/0!",
    "#VALUE!",
    "#NAME?",
    "#NUM!",
    "#NULL!",
    "#BEZUG!",
    "#NV",
    "#WERT!",
    "#ZAHL!",
    "#VALEUR!",
    "#NOM?",
    "#NOMBRE!",
    "#VALOR!",
    "#¡REF!",
    "#¡VALOR!",
    "#¡DIV/0!",
    "#RIF!",
    "#VALORE!",
    "#NOME?",
    "#N/D",
    UNCOMPUTED,
    "#ND",
];

/// Whether a text is one of them. The first byte is asked alone: hardly a text has it, and every cell of a sheet comes here.
#[inline]
pub(super) fn is_error(text: &str) -> bool {
    text.as_bytes().first() == Some(&b'#') && ERRORS.contains(&text.trim())
}

/// A Greek or Cyrillic letter that looks like a Latin one.
pub(super) fn look_alike(text: &str) -> Option<char> {
    if text.is_ascii() {
        return None;
    }
    text.chars().find(|letter| !letter.is_ascii() && "ΑΒΕΖΗΙΚΜΝΟΡΤΥΧονАВЕЅІЈКМНОРСТУХаеорсух".contains(*letter))
}
