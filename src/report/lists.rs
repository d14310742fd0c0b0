//! Plain lists for other programs: the purchase list as CSV.
//!
//! A spreadsheet that opens a CSV takes a field that begins with `=`, `+`, `-`, `@`, a tab or a carriage return as a formula,
//! quoted or not. Words that begin so get an apostrophe in front; the reader sees that, nothing runs. Numbers are written as
//! numbers. While the demonstration range is in use, a last column says so on every line: comment lines would be read as data.

use std::borrow::Cow;

use super::{DEMONSTRATION, ReportInput};
use crate::design::PurchaseLine;
use crate::rules::units::Units;

/// Headings of the purchase list.
const HEADINGS: [&str; 7] = ["part", "description", "quantity", "unit", "unit_price", "status", "used_by"];

/// The purchase list as CSV, UTF-8 with `\r\n`: `part, description, quantity, unit, unit_price, status, used_by`, and `note`
/// while the demonstration range is in use. An unknown price stays empty; tags in `used_by` are parted by blanks.
#[must_use]
pub fn purchase_csv(input: &ReportInput) -> Vec<u8> {
    let demonstration = input.design.catalogue.demonstration;
    let mut bytes = Vec::with_capacity(128 * (input.design.purchase.len() + 1));
    let note = |bytes: &mut Vec<u8>, text: &str| {
        if demonstration {
            bytes.push(b',');
            put(bytes, text);
        }
    };
    for (index, heading) in HEADINGS.iter().enumerate() {
        if index > 0 {
            bytes.push(b',');
        }
        put(&mut bytes, heading);
    }
    note(&mut bytes, "note");
    bytes.extend_from_slice(b"\r\n");
    for line in &input.design.purchase {
        for (index, field) in fields(line, input.units()).iter().enumerate() {
            if index > 0 {
                bytes.push(b',');
            }
            put(&mut bytes, field);
        }
        note(&mut bytes, DEMONSTRATION);
        bytes.extend_from_slice(b"\r\n");
    }
    bytes
}

fn fields(line: &PurchaseLine, units: Units) -> [Cow<'_, str>; 7] {
    let number =
        |value: Option<f64>| value.filter(|own| own.is_finite()).map_or(Cow::Borrowed(""), |own| Cow::Owned(format!("{own}")));
    [
        guarded(&line.part),
        guarded(&line.description),
        number(Some(units.bought(line.quantity, &line.unit))),
        guarded(&line.unit),
        number(line.unit_price),
        Cow::Borrowed(line.status.words()),
        Cow::Owned(guarded(&line.used_by.join(" ")).into_owned()),
    ]
}

/// Words that a spreadsheet would take as a formula, with an apostrophe in front.
fn guarded(words: &str) -> Cow<'_, str> {
    if words.starts_with(['=', '+', '-', '@', '\t', '\r']) { Cow::Owned(format!("'{words}")) } else { Cow::Borrowed(words) }
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
    use super::*;
    use crate::basis::Basis;
    use crate::design::Design;

    fn csv_of(lines: Vec<PurchaseLine>, demonstration: bool) -> String {
        let mut design = Design { purchase: lines, ..Design::default() };
        design.catalogue.demonstration = demonstration;
        let basis = Basis::default();
        let working = |_: usize| Vec::new();
        let input = ReportInput {
            design: &design,
            grids: &[],
            rows: &[],
            basis: &basis,
            assumptions: &[],
            cautions: &[],
            sources: &[],
            working: &working,
        };
        String::from_utf8(purchase_csv(&input)).unwrap_or_default()
    }

    #[test]
    fn a_part_number_never_runs_as_a_formula() {
        let hostile = ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1"];
        let lines = hostile
            .iter()
            .map(|part| PurchaseLine { part: (*part).to_owned(), quantity: 1.0, ..PurchaseLine::default() })
            .collect();
        let text = csv_of(lines, false);
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let parts: Vec<String> = reader.records().filter_map(Result::ok).map(|record| record[0].to_owned()).collect();
        assert_eq!(parts, hostile.map(|part| format!("'{part}")));
    }

    #[test]
    fn fields_come_back_as_they_were() {
        let line = PurchaseLine {
            part: "GEN, \"A\"".to_owned(),
            description: "two\nlines".to_owned(),
            quantity: 12.5,
            unit: "m".to_owned(),
            used_by: vec!["P-1".to_owned(), "P-2".to_owned()],
            ..PurchaseLine::default()
        };
        let text = csv_of(vec![line], true);
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        assert_eq!(
            reader.headers().map(|own| own.iter().collect::<Vec<_>>().join("|")).unwrap_or_default(),
            "part|description|quantity|unit|unit_price|status|used_by|note"
        );
        let record = reader.records().next().and_then(Result::ok).unwrap_or_default();
        assert_eq!(
            record.iter().collect::<Vec<_>>(),
            ["GEN, \"A\"", "two\nlines", "12.5", "m", "", "firm", "P-1 P-2", DEMONSTRATION]
        );
    }
}
