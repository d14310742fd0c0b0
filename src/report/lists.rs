//! Plain lists for other programs: the purchase list and the labels, as CSV.
//!
//! A spreadsheet that opens a CSV takes a field that begins with `=`, `+`, `-`, `@`, a tab or a carriage return as a formula,
//! quoted or not. Words that begin so get an apostrophe in front; the reader sees that, nothing runs. Numbers are written as
//! numbers. While the demonstration range is in use, a last column says so on every line: comment lines would be read as data.

use std::borrow::Cow;

use super::{DEMONSTRATION, ReportInput};

mod labels;
mod purchase;
mod relabelled;

pub use labels::labels_csv;
pub use purchase::purchase_csv;
pub use relabelled::labels_anew;

/// Lines as CSV, UTF-8 with `\r\n`; with the column `note` while the demonstration range is in use.
fn csv<'l>(input: &ReportInput, headings: &[&str], lines: impl Iterator<Item = Vec<Cow<'l, str>>>) -> Vec<u8> {
    let demonstration = input.design.catalogue.demonstration;
    let mut bytes = Vec::new();
    let mut line = |fields: &[Cow<'_, str>], note: &str| {
        for (index, field) in fields.iter().enumerate() {
            if index > 0 {
                bytes.push(b',');
            }
            put(&mut bytes, field);
        }
        if demonstration {
            bytes.push(b',');
            put(&mut bytes, note);
        }
        bytes.extend_from_slice(b"\r\n");
    };
    line(&headings.iter().map(|heading| Cow::Borrowed(*heading)).collect::<Vec<_>>(), "note");
    for fields in lines {
        line(&fields, DEMONSTRATION);
    }
    bytes
}

/// A number as it is; nothing for what is none.
fn number(value: impl Into<Option<f64>>) -> Cow<'static, str> {
    value.into().filter(|value| value.is_finite()).map_or(Cow::Borrowed(""), |value| Cow::Owned(format!("{value}")))
}

/// Words that a spreadsheet would take as a formula, with an apostrophe in front; within them too, where a spreadsheet whose country
/// parts fields by semicolons or tabs would begin a cell or a line.
fn guarded(words: &str) -> Cow<'_, str> {
    let mut begins = true;
    let mut safe = String::new();
    for (at, letter) in words.char_indices() {
        if begins && ['=', '+', '-', '@', '\t', '\r'].contains(&letter) {
            if safe.is_empty() {
                safe.push_str(&words[..at]);
            }
            safe.push('\'');
        }
        if !safe.is_empty() {
            safe.push(letter);
        }
        begins = [';', '\t', '\r', '\n'].contains(&letter) || begins && letter == '"';
    }
    if safe.is_empty() { Cow::Borrowed(words) } else { Cow::Owned(safe) }
}

/// The same of words that were put together.
fn guarded_text(words: String) -> Cow<'static, str> {
    Cow::Owned(guarded(&words).into_owned())
}

/// Writes a field, quoted where it must be.
fn put(bytes: &mut Vec<u8>, field: &str) {
    if !field.contains([',', '"', '\n', '\r']) {
        bytes.extend_from_slice(field.as_bytes());
        return;
    }
    bytes.push(b'"');
    for byte in field.bytes() {
        if byte == b'"' {
            bytes.push(b'"');
        }
        bytes.push(byte);
    }
    bytes.push(b'"');
}

#[cfg(test)]
mod tests {
    use super::guarded;

    #[test]
    fn no_cell_begins_with_a_formula_whatever_parts_the_fields() {
        for (text, safe) in [
            ("pump", "pump"),
            ("=cmd", "'=cmd"),
            ("-5", "'-5"),
            ("a-b=c", "a-b=c"),
            ("a;=cmd", "a;'=cmd"),
            ("a\n=cmd", "a\n'=cmd"),
            ("a\t+1;@x", "a\t'+1;'@x"),
            ("\"=cmd", "\"'=cmd"),
            ("Fördergebläse; 5 m", "Fördergebläse; 5 m"),
            ("", ""),
        ] {
            assert_eq!(guarded(text), safe);
        }
    }
}
