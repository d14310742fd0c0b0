//! Text for the places of a workbook that have rules of their own: cells, sheet names, heads and feet, references.

use std::borrow::Cow;

/// Longest text of a cell, in UTF-16 units.
const LONGEST: usize = 32_767;
/// Ends a text that was cut.
const CUT: &str = " … [cut: longer than a cell can hold]";

/// A text that fits a cell: cut, with a mark that says so, where it is too long; characters that XML forbids are replaced.
pub(super) fn cell(text: &str) -> Cow<'_, str> {
    // In UTF-8 both begin with this byte, which few texts have.
    let text = if text.as_bytes().contains(&0xEF) && text.contains(['\u{FFFE}', '\u{FFFF}']) {
        Cow::Owned(text.replace(['\u{FFFE}', '\u{FFFF}'], "\u{FFFD}"))
    } else {
        Cow::Borrowed(text)
    };
    // A UTF-8 byte is at least as many units as it makes in UTF-16, so short texts need no count.
    if text.len() <= LONGEST || text.encode_utf16().count() <= LONGEST {
        return text;
    }
    let room = LONGEST - CUT.encode_utf16().count();
    let mut units = 0;
    let end = text.char_indices().find_map(|(at, one)| {
        units += one.len_utf16();
        (units > room).then_some(at)
    });
    Cow::Owned(format!("{}{CUT}", &text[..end.unwrap_or(text.len())]))
}

/// Text without control characters, for notes, properties, heads and feet; line feeds stay.
pub(super) fn plain(text: &str) -> Cow<'_, str> {
    let bad = |one: char| (one.is_control() && one != '\n') || matches!(one, '\u{FFFE}' | '\u{FFFF}');
    if text.contains(bad) { Cow::Owned(text.replace(bad, "\u{FFFD}")) } else { Cow::Borrowed(text) }
}

/// Text of at most so many characters on one line, for heads and feet, where `&` begins a code.
pub(super) fn brief(text: &str, most: usize) -> String {
    let mut short: String = plain(text).chars().take(most).map(|one| if one == '\n' { ' ' } else { one }).collect();
    if text.chars().count() > most {
        short.pop();
        short.push('…');
    }
    short.replace('&', "&&")
}

/// Names of sheets that are allowed and differ from each other, capitals aside. Earlier names win.
pub(super) fn sheet_names<'n>(wanted: impl Iterator<Item = &'n str>) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for want in wanted {
        let base = sheet_name(want);
        let mut name = base.clone();
        let mut number = 2;
        while names.iter().any(|taken| taken.to_lowercase() == name.to_lowercase()) {
            let ending = format!(" ({number})");
            name = format!("{}{ending}", first_units(&base, 31 - ending.len()).trim_end_matches(['\'', ' ']));
            number += 1;
        }
        names.push(name);
    }
    names
}

fn sheet_name(wanted: &str) -> String {
    let allowed: String =
        wanted.chars().map(|one| if one.is_control() || "[]:*?/\\\u{FFFE}\u{FFFF}".contains(one) { '_' } else { one }).collect();
    let name = first_units(&allowed, 31).trim_matches(['\'', ' ']).to_owned();
    if name.is_empty() || name.eq_ignore_ascii_case("history") { format!("{name} sheet").trim().to_owned() } else { name }
}

/// The beginning of a text of at most so many UTF-16 units.
fn first_units(text: &str, most: usize) -> &str {
    let mut units = 0;
    let end = text.char_indices().find_map(|(at, one)| {
        units += one.len_utf16();
        (units > most).then_some(at)
    });
    &text[..end.unwrap_or(text.len())]
}

/// Link to a cell, row and column from zero.
pub(super) fn link(sheet: &str, row: u32, column: u16) -> String {
    format!("internal:'{}'!{}{}", sheet.replace('\'', "''"), crate::finding::column_letters(u32::from(column)), row + 1)
}

/// Index of a column from its letters; none if they are no column that a sheet has.
pub(super) fn column_index(letters: &str) -> Option<u16> {
    let mut index: u32 = 0;
    for byte in letters.bytes() {
        if !byte.is_ascii_alphabetic() || index > 16_384 {
            return None;
        }
        index = index * 26 + u32::from(byte.to_ascii_uppercase() - b'A') + 1;
    }
    index.checked_sub(1).filter(|column| *column < 16_384).and_then(|column| u16::try_from(column).ok())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_text_is_cut_with_a_mark() {
        let long = "😀".repeat(20_000);
        let short = cell(&long);
        assert!(short.encode_utf16().count() <= LONGEST);
        assert!(short.ends_with(CUT));
        assert_eq!(cell("16 A"), "16 A");
    }

    #[test]
    fn columns_and_letters_agree() {
        for index in [0u16, 25, 26, 701, 702, 16_383] {
            assert_eq!(column_index(&crate::finding::column_letters(u32::from(index))), Some(index));
        }
        assert_eq!(column_index("XFE"), None);
        assert_eq!(column_index("ZZZZZZZZZZZZ"), None);
        assert_eq!(column_index(""), None);
        assert_eq!(column_index("É"), None);
    }

    proptest::proptest! {
        #[test]
        fn any_names_become_names_of_sheets(wanted in proptest::collection::vec(".{0,40}", 0..12)) {
            let names = sheet_names(wanted.iter().map(String::as_str).chain(["Checks", "checks"]));
            let mut book = rust_xlsxwriter::Workbook::new();
            for name in &names {
                proptest::prop_assert!(book.add_worksheet().set_name(name).is_ok(), "{:?}", name);
            }
            proptest::prop_assert!(book.save_to_buffer().is_ok());
        }
    }
}
