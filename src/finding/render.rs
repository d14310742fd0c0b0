//! Findings as text for a terminal: like a good compiler, with the row as a small excerpt and the cell underlined.

use std::borrow::Cow;
use std::fmt::Write;

use anstyle::{AnsiColor, Style};

use super::{Finding, Place, Severity};

/// Longest text of a cell in an excerpt, in characters.
const LONGEST_CELL: usize = 24;

/// Heading row and offending row of a finding, as they stood.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Excerpt {
    /// Headings of the neighbouring columns; empty where the heading row itself is meant.
    pub headings: Vec<String>,
    /// Texts of the row in those columns.
    pub cells: Vec<String>,
    /// Which of them is meant.
    pub marked: Option<usize>,
}

/// One finding on one line.
#[must_use]
pub fn summary_line(finding: &Finding) -> String {
    let place = finding.place.as_ref().map(|place| format!("{}: ", place.short())).unwrap_or_default();
    harmless(&format!("{}[{}] {place}{}", finding.severity.word(), finding.code, finding.what))
}

/// A finding in full, with its excerpt where there is one; no line break at the end.
#[must_use]
pub fn render(finding: &Finding, excerpt: Option<&Excerpt>) -> String {
    compose(finding, excerpt, &Palette::default())
}

/// As [`render`], with colour. Print it through a stream that drops colour where none is wanted.
#[must_use]
pub fn render_coloured(finding: &Finding, excerpt: Option<&Excerpt>) -> String {
    let severity = match finding.severity {
        Severity::Error => AnsiColor::Red,
        Severity::Warning => AnsiColor::Yellow,
        Severity::Note => AnsiColor::Cyan,
    };
    let palette =
        Palette { head: severity.on_default().bold(), what: Style::new().bold(), frame: AnsiColor::Blue.on_default().bold() };
    compose(finding, excerpt, &palette)
}

/// Styles of the parts; plain ones write nothing.
#[derive(Default)]
struct Palette {
    head: Style,
    what: Style,
    frame: Style,
}

fn painted(style: Style, text: &str) -> String {
    format!("{style}{text}{style:#}")
}

fn compose(finding: &Finding, excerpt: Option<&Excerpt>, palette: &Palette) -> String {
    let row = finding.place.as_ref().and_then(|place| place.row).map(|row| row.to_string()).unwrap_or_default();
    let margin = " ".repeat(row.len().max(1));
    let head = format!("{}[{}]", finding.severity.word(), finding.code);
    let mut text =
        format!("{}{}", painted(palette.head, &head), painted(palette.what, &format!(": {}", harmless(&finding.what))));
    if let Some(place) = &finding.place {
        let _ = write!(text, "\n{margin}{} {}", painted(palette.frame, "-->"), harmless(&place.short()));
        if let Some(excerpt) = excerpt {
            text.push_str(&table(&with_cell(excerpt, place), &row, &margin, palette));
        }
    }
    let lines = [("because", &finding.why), ("help", &finding.cure), ("clause", &finding.reference)];
    for (label, line) in lines.into_iter().filter(|(_, line)| !line.is_empty()) {
        let _ = write!(text, "\n{margin} {} {}: {}", painted(palette.frame, "="), label, harmless(line));
    }
    text
}

/// The excerpt with the cell that is meant, where the row no longer holds it: a result that was set aside, for one.
fn with_cell<'e>(excerpt: &'e Excerpt, place: &Place) -> Cow<'e, Excerpt> {
    let (Some(text), None) = (place.text.as_ref().filter(|text| !text.is_empty()), excerpt.marked) else {
        return Cow::Borrowed(excerpt);
    };
    let mut excerpt = excerpt.clone();
    let width = excerpt.headings.len().max(excerpt.cells.len());
    excerpt.headings.resize(width, String::new());
    excerpt.cells.resize(width, String::new());
    excerpt.headings.push(place.heading.clone().unwrap_or_default());
    excerpt.cells.push(text.clone());
    excerpt.marked = Some(width);
    Cow::Owned(excerpt)
}

/// Headings, the row and the carets below the cell that is meant.
fn table(excerpt: &Excerpt, row: &str, margin: &str, palette: &Palette) -> String {
    let headings: Vec<String> = excerpt.headings.iter().map(|text| shortened(text)).collect();
    let cells: Vec<String> = excerpt.cells.iter().map(|text| shortened(text)).collect();
    let width = |texts: &[String], index: usize| texts.get(index).map_or(0, |text| text.chars().count());
    let widths: Vec<usize> =
        (0..headings.len().max(cells.len())).map(|index| width(&headings, index).max(width(&cells, index))).collect();
    let line = |texts: &[String]| {
        let padded: Vec<String> = widths
            .iter()
            .enumerate()
            .map(|(index, width)| format!("{:<width$}", texts.get(index).map_or("", String::as_str)))
            .collect();
        padded.join("  ").trim_end().to_owned()
    };
    let bar = painted(palette.frame, "|");
    let mut text = String::new();
    if !headings.is_empty() {
        let _ = write!(text, "\n{margin} {bar}  {}", line(&headings));
    }
    let _ = write!(text, "\n{} {bar}  {}", painted(palette.frame, &format!("{row:>width$}", width = margin.len())), line(&cells));
    if let Some(marked) = excerpt.marked.filter(|marked| *marked < widths.len()) {
        let before: usize = widths[..marked].iter().map(|width| width + 2).sum();
        let carets = "^".repeat(width(&cells, marked).max(1));
        let _ = write!(text, "\n{margin} {bar}  {}{}", " ".repeat(before), painted(palette.head, &carets));
    }
    text
}

/// A cell's text on one line, short enough to stand beside others.
fn shortened(text: &str) -> String {
    let text = harmless(text);
    match text.char_indices().nth(LONGEST_CELL) {
        None => text,
        Some(_) => text.chars().take(LONGEST_CELL - 1).chain(std::iter::once('…')).collect(),
    }
}

/// The text without characters that steer a terminal or turn the direction of writing.
fn harmless(text: &str) -> String {
    text.chars().map(|character| if steers(character) { '\u{fffd}' } else { character }).collect()
}

/// Whether a character is invisible, steers a terminal or turns the direction of writing.
pub(crate) fn steers(character: char) -> bool {
    character.is_control()
        || matches!(character, '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{2069}' | '\u{061c}' | '\u{feff}')
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::finding::{Place, codes};

    fn finding() -> Finding {
        let place = Place {
            file: "loads.xlsx".into(),
            sheet: Some("Motors".into()),
            row: Some(12),
            column: Some("C".into()),
            ..Place::default()
        };
        Finding::new(&codes::I101_NUMBER, "voltage_v reads `40O`, which is not a number")
            .at(place)
            .cure("write 400: the last character is the letter O")
    }

    fn texts(texts: &[&str]) -> Vec<String> {
        texts.iter().map(|text| (*text).to_owned()).collect()
    }

    #[test]
    fn carets_count_characters_and_not_bytes() {
        let excerpt = Excerpt { headings: texts(&["tag", "kW", "V"]), cells: texts(&["Lüfter", "7.5", "40O"]), marked: Some(2) };
        let expected = "error[I101]: voltage_v reads `40O`, which is not a number\n  --> loads.xlsx, Motors!C12\n   |  tag     kW   V\n12 |  Lüfter  7.5  40O\n   |               ^^^\n   = help: write 400: the last character is the letter O";
        assert_eq!(render(&finding(), Some(&excerpt)), expected);
    }

    #[test]
    fn a_cell_that_the_row_no_longer_holds_is_shown_from_its_finding() {
        let excerpt = Excerpt { headings: texts(&["tag"]), cells: texts(&["P-1"]), marked: None };
        let mut finding = finding();
        finding.place = finding.place.map(|place| Place { heading: Some("Cable".into()), text: Some("10 mm2".into()), ..place });
        assert!(render(&finding, Some(&excerpt)).contains("   |  tag  Cable\n12 |  P-1  10 mm2\n   |       ^^^^^^\n"));
    }

    #[test]
    fn colour_is_added_only_when_asked_for_and_changes_no_text() {
        let excerpt = Excerpt { headings: texts(&["tag"]), cells: texts(&["P-1"]), marked: Some(0) };
        let plain = render(&finding(), Some(&excerpt));
        let coloured = render_coloured(&finding(), Some(&excerpt));
        assert!(!plain.contains('\u{1b}') && coloured.contains('\u{1b}'));
        assert_eq!(anstream::adapter::strip_str(&coloured).to_string(), plain);
    }

    #[test]
    fn a_cell_can_neither_steer_the_terminal_nor_flood_it() {
        let long = "x".repeat(10_000);
        let excerpt = Excerpt { headings: texts(&["tag"]), cells: vec![format!("\u{1b}[2J\u{202e}{long}")], marked: Some(0) };
        let text = render(&finding(), Some(&excerpt));
        assert!(text.len() < 600 && !text.contains('\u{1b}') && !text.contains('\u{202e}'));
    }
}
