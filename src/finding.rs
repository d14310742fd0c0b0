//! Findings, what is wrong with an input or a circuit: plain data, collected and never thrown, so that one bad cell hides no other.
//!
//! A finding knows no terminal, workbook or page; those print it. It says what is (with the text as it stood), why it matters,
//! what cures it, and the clause. Codes are a letter for the room and three digits, documented in [`CODES`], never reused.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

pub mod codes;
mod names;
mod nearest;
mod render;

pub use codes::{CODES, Code};
pub use names::named;
pub use nearest::nearest;
pub(crate) use render::steers;
pub use render::{Excerpt, render, render_coloured, summary_line};

/// How much a finding asks of a person.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// The row can't be sized.
    Error,
    /// Sized, but somebody must decide.
    Warning,
    /// An assumption that was made.
    Note,
}

impl Severity {
    /// The word that is printed.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Error => "error",
            Self::Warning => "warning",
            Self::Note => "note",
        }
    }
}

/// Where a finding stands: the file, sheet, row and column as a person counts them (row from 1, column as a letter).
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema)]
pub struct Place {
    /// File name, without folders.
    pub file: String,
    /// Sheet of a workbook; none for CSV.
    pub sheet: Option<String>,
    /// Row from 1; none when the whole file is meant.
    pub row: Option<u32>,
    /// Column as a letter; none when the whole row is meant.
    pub column: Option<String>,
    /// Heading of that column as it stands in the file.
    pub heading: Option<String>,
    /// Text of the cell as it stood.
    pub text: Option<String>,
}

impl Place {
    /// A place that is a whole file.
    #[must_use]
    pub fn file(name: impl Into<String>) -> Self {
        Self { file: name.into(), ..Self::default() }
    }

    /// Sheet and row, as [`crate::load::Load::row_key`] names a row; none where the whole file is meant.
    #[must_use]
    pub fn row_key(&self) -> Option<(Option<&str>, u32)> {
        Some((self.sheet.as_deref(), self.row?))
    }

    /// The short form that a reader looks up, as `loads.xlsx, Motors!C12` or `loads.csv, C12`.
    #[must_use]
    pub fn short(&self) -> String {
        let mut text = self.file.clone();
        let cell = match (&self.column, self.row) {
            (Some(column), Some(row)) => format!("{column}{row}"),
            (None, Some(row)) => format!("row {row}"),
            _ => String::new(),
        };
        if cell.is_empty() && self.sheet.is_none() {
            return text;
        }
        text.push_str(", ");
        if let Some(sheet) = &self.sheet {
            text.push_str(sheet);
            if !cell.is_empty() {
                text.push('!');
            }
        }
        text.push_str(&cell);
        text
    }
}

/// Letter(s) of a column counted from zero, as spreadsheets write it: 0 is `A`, 26 is `AA`.
#[must_use]
pub fn column_letters(index: u32) -> String {
    let mut letters = String::with_capacity(7);
    push_letters(&mut letters, index);
    letters
}

/// Puts the letters of a column behind a text.
pub(crate) fn push_letters(text: &mut String, index: u32) {
    if let Some(before) = (index / 26).checked_sub(1) {
        push_letters(text, before);
    }
    text.push(char::from(b'A' + u8::try_from(index % 26).unwrap_or(0)));
}

/// One thing that somebody must know, decide or mend.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Finding {
    /// Documented code, such as `L102`.
    pub code: String,
    /// What it asks of a person.
    pub severity: Severity,
    /// Where it stands, if it stands anywhere.
    pub place: Option<Place>,
    /// The fact, with numbers.
    pub what: String,
    /// Why it matters; empty where the fact says it.
    pub why: String,
    /// What to do.
    pub cure: String,
    /// Clause or document that makes it so; empty where none does.
    pub reference: String,
}

impl Finding {
    /// A finding of the given code, whose severity the code carries.
    #[must_use]
    pub fn new(code: &Code, what: impl Into<String>) -> Self {
        Self {
            code: code.code.to_owned(),
            severity: code.severity,
            place: None,
            what: what.into(),
            why: String::new(),
            cure: String::new(),
            reference: String::new(),
        }
    }

    /// Adds the place.
    #[must_use]
    pub fn at(mut self, place: Place) -> Self {
        self.place = Some(place);
        self
    }

    /// Adds why it matters.
    #[must_use]
    pub fn why(mut self, why: impl Into<String>) -> Self {
        self.why = why.into();
        self
    }

    /// Adds what to do.
    #[must_use]
    pub fn cure(mut self, cure: impl Into<String>) -> Self {
        self.cure = cure.into();
        self
    }

    /// Adds the clause.
    #[must_use]
    pub fn reference(mut self, reference: impl Into<String>) -> Self {
        self.reference = reference.into();
        self
    }
}

/// Puts findings into the order in which all outputs show them: worst first within a row, rows in the order of the file.
pub fn sort(findings: &mut [Finding]) {
    findings.sort_by(|a, b| {
        fn key(finding: &Finding) -> Option<(&str, Option<&str>, Option<u32>)> {
            finding.place.as_ref().map(|place| (place.file.as_str(), place.sheet.as_deref(), place.row))
        }
        key(a).cmp(&key(b)).then(a.severity.cmp(&b.severity)).then(a.code.cmp(&b.code)).then(a.what.cmp(&b.what))
    });
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_count_as_spreadsheets_do() {
        assert_eq!(column_letters(0), "A");
        assert_eq!(column_letters(25), "Z");
        assert_eq!(column_letters(26), "AA");
        assert_eq!(column_letters(701), "ZZ");
        assert_eq!(column_letters(702), "AAA");
    }
    /// Those of no place first, then row by row as the file has them (10 behind 9), the worst of a row first.
    #[test]
    fn findings_go_by_rows_and_the_worst_of_a_row_comes_first() {
        let at = |code: &codes::Code, row: u32, what: &str| {
            Finding::new(code, what).at(Place { row: Some(row), ..Place::file("loads.csv") })
        };
        let mut findings = [
            at(&codes::L311_LENGTHS, 10, "warning"),
            at(&codes::R105_FROM_MEMORY, 9, "note"),
            at(&codes::I101_NUMBER, 9, "error b"),
            at(&codes::I101_NUMBER, 9, "error a"),
            at(&codes::L311_LENGTHS, 9, "warning"),
            Finding::new(&codes::R105_FROM_MEMORY, "everywhere"),
        ];
        sort(&mut findings);
        let told: Vec<_> = findings.iter().map(|f| (f.place.as_ref().and_then(|place| place.row), f.what.as_str())).collect();
        let nine = Some(9);
        let expected = [(nine, "error a"), (nine, "error b"), (nine, "warning"), (nine, "note"), (Some(10), "warning")];
        assert_eq!(told[0], (None, "everywhere"));
        assert_eq!(told[1..], expected);
    }
}
