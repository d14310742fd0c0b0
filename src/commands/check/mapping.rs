//! How each column of a schedule is read: as a table, as JSON, and as `[columns]` of a basis.

use std::collections::BTreeMap;
use std::fmt::Write;

use serde::Serialize;

use super::super::{FindingFormat, Outcome, json, print};
use crate::finding::{Place, Severity, column_letters};
use crate::intake::Intake;
use crate::project::{self, Options};

/// One column of the sender.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub(super) struct Column {
    /// Sheet of a workbook.
    pub(super) sheet: Option<String>,
    /// Column as a letter.
    pub(super) column: String,
    /// Heading as it stands.
    pub(super) heading: String,
    /// Canonical column; none where it is only carried through.
    pub(super) field: Option<&'static str>,
    /// Unit of that column.
    pub(super) unit: Option<&'static str>,
    /// The conversion of its numbers.
    pub(super) conversion: Option<String>,
}

/// The columns of all tables as they were understood, from left to right.
pub(super) fn columns(intake: &Intake) -> Vec<Column> {
    let some = |text: &str| (!text.is_empty()).then(|| text.to_owned());
    intake
        .mappings
        .iter()
        .map(|mapping| Column {
            sheet: mapping.sheet.clone(),
            column: column_letters(mapping.column),
            heading: mapping.heading.split_whitespace().collect::<Vec<_>>().join(" "),
            field: mapping.field.map(|field| field.spec().name),
            unit: Some(mapping.unit).filter(|unit| !unit.is_empty()),
            conversion: some(&mapping.conversion),
        })
        .collect()
}

/// `check --mapping`: reads the schedule alone.
pub(super) fn show(options: &Options, format: FindingFormat) -> Outcome {
    let intake = project::schedule(options)?;
    let columns = columns(&intake);
    match format {
        FindingFormat::Json => print(&json(&columns)?),
        FindingFormat::Text => print(&format!("{}\n{}", table(&columns), toml(&columns))),
    }
    // Only headings are judged here: rows are the business of `check` without this option.
    let heads: Vec<_> = intake.grids.iter().filter_map(|grid| Some((grid.sheet.as_deref(), grid.header_row? + 1))).collect();
    Ok(intake.findings.iter().any(|finding| {
        let place = finding.place.as_ref().and_then(Place::row_key);
        finding.severity == Severity::Error && place.is_some_and(|place| heads.contains(&place))
    }))
}

fn table(columns: &[Column]) -> String {
    let head = ["column", "heading", "read as", "unit", "conversion"].map(str::to_owned);
    let rows = columns.iter().map(|column| {
        let sheet = column.sheet.as_ref().map(|sheet| format!("{sheet}!")).unwrap_or_default();
        [
            shown(&format!("{sheet}{}", column.column)),
            shown(&column.heading),
            column.field.unwrap_or("(carried through, not read)").to_owned(),
            column.unit.unwrap_or("").to_owned(),
            column.conversion.clone().unwrap_or_default(),
        ]
    });
    let rows: Vec<[String; 5]> = std::iter::once(head).chain(rows).collect();
    let widths: Vec<usize> = (0..5).map(|at| rows.iter().map(|row| row[at].chars().count()).max().unwrap_or(0)).collect();
    let mut text = String::new();
    for row in rows {
        let line: Vec<String> = row.iter().zip(&widths).map(|(cell, width)| format!("{cell:<width$}")).collect();
        let _ = writeln!(text, "{}", line.join("  ").trim_end());
    }
    text
}

/// `[columns]` of a basis, ready to paste; headings that are not read stand as comments, to be completed.
fn toml(columns: &[Column]) -> String {
    let mut text = "[columns]\n".to_owned();
    let mut said: BTreeMap<&str, Option<&str>> = BTreeMap::new();
    for column in columns {
        match said.insert(&column.heading, column.field) {
            Some(before) if before == column.field => continue,
            Some(_) => text.push_str("# the same heading once more: "),
            None if column.field.is_none() => text.push_str("# not read: "),
            None => {}
        }
        let quoted = toml::Value::String(column.heading.clone()).to_string();
        let _ = writeln!(text, "{quoted} = \"{}\"", column.field.unwrap_or(""));
    }
    text
}

/// A text of the sender without what could steer a terminal, at most 40 characters.
fn shown(text: &str) -> String {
    let clean = |c: char| if crate::finding::steers(c) { '\u{fffd}' } else { c };
    let short: String = text.chars().take(40).map(clean).collect();
    if text.chars().count() > 40 { format!("{}…", short.chars().take(39).collect::<String>()) } else { short }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::intake;

    fn read(text: &str) -> Vec<Column> {
        columns(&intake::read_csv_bytes("a.csv", text.as_bytes(), &intake::ReadOptions::default()).expect("it reads"))
    }

    #[test]
    fn every_heading_is_listed_and_what_is_not_read_says_so() {
        let columns = read("tag,Rated Power kW,Painter's wish,\nP-1,4,blue,\n");
        let told: Vec<_> = columns.iter().map(|column| (column.column.as_str(), column.field, column.unit)).collect();
        assert_eq!(told, [("A", Some("tag"), None), ("B", Some("rated_power_kw"), Some("kW")), ("C", None, None)]);
        assert!(table(&columns).contains("Painter's wish  (carried through, not read)"), "{}", table(&columns));
    }

    /// A column that repeats a field stands in the list with its own unit, or as what is held against the first.
    #[test]
    fn a_repeated_column_is_listed_too() {
        let columns =
            read("Tag,Board,MCC,Cable length (ft),Cable length (m),Ambient (C),Ambient (F),kW\nP-1,A,B,,300,40,104,4\n");
        let told: Vec<_> = columns.iter().map(|column| (column.column.as_str(), column.field, column.unit)).collect();
        let expected = [
            ("A", Some("tag"), None),
            ("B", Some("board"), None),
            ("C", None, None),
            ("D", None, None),
            ("E", Some("cable_length_m"), Some("m")),
            ("F", Some("ambient_c"), Some("°C")),
            ("G", Some("ambient_c"), Some("°F")),
            ("H", Some("rated_power_kw"), Some("kW")),
        ];
        assert_eq!(told, expected);
        assert_eq!(columns[2].conversion.as_deref(), Some("held against column B"));
    }

    #[test]
    fn the_toml_parses_and_holds_what_is_read() {
        let columns = read("tag,rated_power_kw,\"say \"\"kW\"\" \\ here\",voltage_v\nP-1,4,x,\n");
        let text = toml(&columns);
        let parsed: toml::Table = text.parse().expect("TOML");
        let mapped = parsed["columns"].as_table().expect("a table");
        assert_eq!(mapped["rated_power_kw"].as_str(), Some("rated_power_kw"));
        assert_eq!(mapped.len(), 3, "{text}");
        let uncommented: toml::Table = text.replace("# not read: ", "").parse().expect("TOML too when completed");
        assert!(uncommented["columns"].get("say \"kW\" \\ here").is_some(), "{text}");
    }
}
