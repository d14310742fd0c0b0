//! Reads again what this program wrote itself: its marked-up workbook, and the rows and columns of `blank` that only explain.
//!
//! A marked-up sheet ends with one hidden column. In the row of the headings it holds a seal: which headings of results and which further
//! sheets are ours. In each row of a circuit it holds a mark for every result as it was written, so that an edited one is seen however rows
//! and columns have been sorted, inserted or moved since. Results are never read; they are worked out anew.
//!
//! Rows that begin with `#units` or `#example` and the explanations on a `Basis` sheet are set aside while the schedule is read and put
//! back afterwards, so that no cell of the sender is lost from what is written next.

use std::borrow::Cow;
use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

use super::error::IntakeError;
use super::open::{MAXIMA, Sheet};
use super::{Cell, Content, Grid, Intake, Row, text};
use crate::basis;
use crate::finding::{Finding, Place, codes, column_letters};

/// Begins the tag of a row that explains units.
pub const UNITS_MARK: &str = "#units";
/// Begins the tag of a row that is an example and no load.
pub const EXAMPLE_MARK: &str = "#example";
/// How the seal begins.
const SEAL: &str = "{\"motorwright\":";
/// Version of the seal that is written and the latest that is understood.
const VERSION: u32 = 1;
/// Begins the marks of a row of results.
const RESULTS: &str = "results:";
/// Begins the marks of a row that explains signs below the table.
const LEGEND: &str = "legend:";
/// Sheets of ours by which a workbook is known whose seal is gone.
pub const FAMILIAR: [&str; 3] = ["Protection settings", "Basis and assumptions", "Sources and cautions"];
/// Rows that are searched for a seal, which stands in the row of the headings.
const SEARCHED_ROWS: usize = 1_001;
/// Characters of a mark.
const MARK: usize = 3;
/// Signs that a number format puts before a flagged value, and a copy as CSV keeps.
const SIGNS: [&str; 3] = ["■ ", "▲ ", "○ "];

/// The seal of a marked-up sheet.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Seal {
    motorwright: u32,
    /// Marks of the headings of results, from left to right.
    heads: Vec<String>,
    /// Names of our further sheets.
    sheets: Vec<String>,
    /// The schedule was delimited text.
    #[serde(default)]
    delimited: bool,
}

impl Seal {
    /// The seal of a sheet with these headings of results, in a workbook with these further sheets, made of delimited text or not.
    #[must_use]
    pub fn new(heads: &[String], sheets: &[String], delimited: bool) -> Self {
        let heads = heads.iter().map(|head| mark(&Content::Text(head.into()))).collect();
        Self { motorwright: VERSION, heads, sheets: sheets.to_vec(), delimited }
    }

    /// Text of its cell.
    #[must_use]
    pub fn text(&self) -> String {
        serde_json::to_string(self).unwrap_or_default()
    }
}

/// Text of the hidden cell of a row of results.
#[must_use]
pub fn results_mark<'c>(results: impl Iterator<Item = &'c Content>) -> String {
    results.map(mark).fold(RESULTS.to_owned(), |all, mark| all + &mark)
}

/// Text of the hidden cell of a row that explains signs.
#[must_use]
pub fn legend_mark(words: &[&str]) -> String {
    words.iter().map(|words| mark(&Content::Text((*words).into()))).fold(LEGEND.to_owned(), |all, mark| all + &mark)
}

/// A few characters that tell one content from another: no protection against intent, only against not noticing.
fn mark(content: &Content) -> String {
    let text = match content {
        // Programs keep 15 digits of a number at least.
        Content::Number(number) => format!("{number:.9e}"),
        other => text::of(other).split_whitespace().collect::<Vec<_>>().join(" "),
    };
    let hash = text::hash(&text);
    let digits = b"0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz-_";
    (0..MARK)
        .map(|at| {
            let six = (hash ^ (hash >> 32)) >> (6 * at) & 63;
            char::from(digits[usize::try_from(six).unwrap_or(0)])
        })
        .collect()
}

/// Rows and cells that were taken out of a sheet, to be put back.
struct Aside {
    sheet: Option<String>,
    rows: Vec<(usize, Vec<Cell>)>,
    cells: Vec<(usize, usize, Cell)>,
}

/// Reads sheets without what is ours or only explains.
pub(super) fn aside(
    mut sheets: Vec<Sheet>,
    read: impl FnOnce(Vec<Sheet>) -> Result<Intake, IntakeError>,
) -> Result<Intake, IntakeError> {
    let findings = unseal(&mut sheets);
    let kept: Vec<Aside> = sheets.iter_mut().map(set_aside).collect();
    let mut intake = read(sheets)?;
    for aside in kept {
        let Some(grid) = intake.grids.iter_mut().find(|grid| grid.sheet == aside.sheet) else { continue };
        for (row, cells) in aside.rows {
            grid.rows.put(row, cells);
        }
        for (row, column, cell) in aside.cells {
            if let Some(place) = grid.rows.cells_mut().get_mut(row).and_then(|row| row.get_mut(column)) {
                *place = cell;
            }
        }
    }
    intake.findings.extend(findings);
    Ok(intake)
}

/// Rows and cells that only explain.
fn set_aside(sheet: &mut Sheet) -> Aside {
    let mut aside = Aside { sheet: sheet.grid.sheet.clone(), rows: Vec::new(), cells: Vec::new() };
    let rows = &mut sheet.grid.rows;
    if rows.may_hold('#') {
        let explaining = (0..rows.len()).filter_map(|number| Some((number, rows.get(number).filter(|row| explains(*row))?)));
        aside.rows = explaining.map(|(number, row)| (number, row.into_cells())).collect();
        aside.rows.iter().for_each(|(number, _)| rows.put(*number, Vec::new()));
    }
    if aside.sheet.as_deref().is_some_and(|name| name.trim().eq_ignore_ascii_case(basis::SHEET))
        && let Some(value) = value_column(&sheet.grid)
    {
        for (number, row) in sheet.grid.rows.cells_mut().iter_mut().enumerate() {
            for (column, cell) in row.iter_mut().enumerate().skip(value + 1).filter(|(_, cell)| !text::is_blank(&cell.content)) {
                aside.cells.push((number, column, std::mem::take(cell)));
            }
        }
    }
    aside
}

/// Whether a row explains units or is an example: its first cell with something in it says so.
fn explains(row: Row<'_>) -> bool {
    let first = (0..row.len()).find(|column| !row.is_blank(*column));
    let Some(words) = first.and_then(|column| row.text(column)) else { return false };
    // Most rows end here; this runs for every row of a schedule.
    if !words.trim_start().starts_with('#') {
        return false;
    }
    let words = words.trim_start().to_ascii_lowercase();
    [UNITS_MARK, EXAMPLE_MARK]
        .iter()
        .any(|mark| words.strip_prefix(mark).is_some_and(|rest| rest.chars().next().is_none_or(|next| !next.is_alphanumeric())))
}

/// Column of values of a `Basis` sheet that explains its keys further right.
fn value_column(grid: &Grid) -> Option<usize> {
    grid.rows.iter().take(20).find_map(|row| {
        let is = |column: usize, word: &str| row.seen(column).trim().eq_ignore_ascii_case(word);
        let key = (0..row.len()).find(|column| is(*column, "key"))?;
        is(key + 1, "value").then_some(key + 1)
    })
}

/// Takes results and our sheets out of a workbook that we wrote; the findings say so and name results that were edited.
fn unseal(sheets: &mut Vec<Sheet>) -> Vec<Finding> {
    let mut findings = Vec::new();
    let mut ours: BTreeSet<String> = BTreeSet::new();
    let mut columns = 0;
    for sheet in sheets.iter_mut() {
        let Some((row, column)) = find_seal(&sheet.grid) else { continue };
        let words = sheet.grid.rows.cell(row, column).unwrap_or_default().into_owned().content;
        let seal = serde_json::from_str::<Seal>(&text::of(&words))
            .ok()
            .filter(|seal| seal.motorwright == VERSION && seal.heads.len() <= MAXIMA.columns);
        let Some(seal) = seal else {
            let what = format!("column {} was written by another version of this program", letters(column));
            findings.push(
                Finding::new(&codes::I503_RESULT_UNKNOWN, what)
                    .at(place(&sheet.grid, row, Some(column)))
                    .why("its results can't be told from the sender's columns")
                    .cure("size the schedule as it was sent, or delete the columns of results"),
            );
            continue;
        };
        columns += seal.heads.len();
        sheet.grid.delimited |= seal.delimited;
        ours.extend(seal.sheets.iter().cloned());
        Unsealing { sheet, head: row, hidden: column, seal }.run(&mut findings);
    }
    if columns == 0 {
        findings.extend(unsealed(sheets));
        return findings;
    }
    let mut left_out = Vec::new();
    sheets.retain(|sheet| {
        let sheet_is_ours = is_ours(&sheet.grid, &ours);
        if sheet_is_ours {
            left_out.extend(sheet.grid.sheet.clone());
        }
        !sheet_is_ours
    });
    let file = sheets.first().map(|sheet| Place::file(&sheet.grid.file)).unwrap_or_default();
    let further = if left_out.is_empty() { String::new() } else { format!("; the sheets {} are left out", left_out.join(", ")) };
    findings.push(
        Finding::new(
            &codes::I501_OWN_WORKBOOK,
            format!("this file was written by this program: its {columns} columns of results are not read{further}"),
        )
        .at(file)
        .cure("nothing: results are worked out anew from the sender's columns"),
    );
    findings
}

/// A workbook that holds sheets of ours, but no seal: its results can't be told from what was sent.
fn unsealed(sheets: &[Sheet]) -> Option<Finding> {
    let titled = |sheet: &&Sheet| {
        let title = sheet.grid.rows.get(0).unwrap_or_default().seen(0);
        sheet.grid.sheet.as_deref().is_some_and(|name| FAMILIAR.contains(&name) && title.trim() == name)
    };
    if sheets.iter().filter(titled).count() < 2 {
        return None;
    }
    Some(
        Finding::new(&codes::I504_SEAL_GONE, "this looks like a workbook of this program whose last, hidden column is gone")
            .at(Place::file(&sheets.first()?.grid.file))
            .why("without it results can't be told from the sender's columns, and would be read as if they had been sent")
            .cure("size the schedule as it was sent, or delete the columns of results and the further sheets"),
    )
}

fn find_seal(grid: &Grid) -> Option<(usize, usize)> {
    grid.rows.iter().take(SEARCHED_ROWS).enumerate().find_map(|(number, row)| {
        let is = |column: &usize| row.text(*column).is_some_and(|words| words.starts_with(SEAL));
        Some((number, (0..row.len()).rfind(is)?))
    })
}

/// One of our sheets by its name, or, when renamed, by its title with a subtitle below it.
fn is_ours(grid: &Grid, ours: &BTreeSet<String>) -> bool {
    let Some(name) = &grid.sheet else { return false };
    let first = |row: usize| grid.rows.get(row).unwrap_or_default().seen(0);
    ours.contains(name) || (ours.contains(first(0).trim()) && !first(1).trim().is_empty())
}

fn letters(column: usize) -> String {
    column_letters(u32::try_from(column).unwrap_or(u32::MAX))
}

fn place(grid: &Grid, row: usize, column: Option<usize>) -> Place {
    Place { sheet: grid.sheet.clone(), row: u32::try_from(row + 1).ok(), column: column.map(letters), ..Place::file(&grid.file) }
}

/// A sealed sheet.
struct Unsealing<'s> {
    sheet: &'s mut Sheet,
    head: usize,
    hidden: usize,
    seal: Seal,
}

impl Unsealing<'_> {
    fn run(mut self, findings: &mut Vec<Finding>) {
        let columns = self.columns();
        let mut taken: BTreeSet<usize> = columns.iter().flatten().copied().collect();
        let first = taken.first().copied().unwrap_or(self.hidden);
        if columns.contains(&None) {
            // A heading of results was edited: what stands among results is no column of the sender's, or nobody knows.
            for column in (first..self.hidden).filter(|column| !taken.contains(column)).collect::<Vec<_>>() {
                self.say_unknown(column, findings);
                taken.insert(column);
            }
        }
        self.compare(&columns, findings);
        taken.insert(self.hidden);
        self.blank(&taken);
    }

    fn cell(&self, row: usize, column: usize) -> Cow<'_, Cell> {
        self.sheet.grid.rows.cell(row, column).unwrap_or_default()
    }

    /// Column of each result. Where several headings agree, the rightmost is ours: results stand right of the sender's columns.
    fn columns(&self) -> Vec<Option<usize>> {
        let width = self.sheet.grid.rows.get(self.head).map_or(0, Row::len);
        let marks: Vec<String> = (0..width).map(|column| mark(&self.cell(self.head, column).content)).collect();
        let mut used = BTreeSet::from([self.hidden]);
        let mut columns: Vec<Option<usize>> = self
            .seal
            .heads
            .iter()
            .rev()
            .map(|head| {
                let found = (0..width).rev().find(|column| marks[*column] == *head && !used.contains(column))?;
                used.insert(found);
                Some(found)
            })
            .collect();
        columns.reverse();
        columns
    }

    fn heading(&self, column: usize) -> String {
        text::of(&self.cell(self.head, column).content).split_whitespace().collect::<Vec<_>>().join(" ")
    }

    fn say_unknown(&self, column: usize, findings: &mut Vec<Finding>) {
        let heading = self.heading(column);
        if heading.is_empty() {
            return;
        }
        let what = format!("the column `{}` stands among the results and is not read", text::shortened(&heading));
        let place = Place { heading: Some(text::shortened(&heading)), ..place(&self.sheet.grid, self.head, Some(column)) };
        findings.push(
            Finding::new(&codes::I503_RESULT_UNKNOWN, what)
                .at(place)
                .why("a heading of the results was edited, so that it can't be told whether the column is yours")
                .cure("move a column of your own left of the results"),
        );
    }

    /// Names results that are no longer what was written. A copy as CSV holds shown texts, which can't be compared.
    fn compare(&mut self, columns: &[Option<usize>], findings: &mut Vec<Finding>) {
        let compared = self.sheet.grid.sheet.is_some();
        for row in self.head + 1..self.sheet.grid.rows.len() {
            let words = text::of(&self.cell(row, self.hidden).content).into_owned();
            if let Some(marks) = words.strip_prefix(LEGEND) {
                self.clear_legend(row, marks);
                continue;
            }
            let marks: Vec<&str> = words.strip_prefix(RESULTS).map(marks_of).unwrap_or_default();
            let nothing = |row: Row<'_>| (0..row.len()).all(|column| row.is_blank(column));
            if !compared || self.sheet.grid.rows.get(row).is_none_or(nothing) {
                continue;
            }
            for (number, column) in columns.iter().enumerate() {
                let Some(column) = *column else { continue };
                let content = &self.cell(row, column).content;
                let same = match marks.get(number) {
                    Some(written) => mark(content) == *written,
                    None => text::is_blank(content),
                };
                if !same {
                    findings.push(self.edited(row, column));
                }
            }
        }
    }

    fn edited(&self, row: usize, column: usize) -> Finding {
        let heading = text::shortened(&self.heading(column));
        let seen = text::shortened(&text::of(&self.cell(row, column).content));
        let what = if seen.is_empty() {
            format!("the result `{heading}` was emptied")
        } else {
            format!("the result `{heading}` reads `{seen}`, which this program did not write there")
        };
        let place = Place { heading: Some(heading), text: Some(seen), ..place(&self.sheet.grid, row, Some(column)) };
        Finding::new(&codes::I502_RESULT_EDITED, what)
            .at(place)
            .why("results are worked out anew from the sender's columns; what was entered is not applied")
            .cure("enter what you want to fix in a column of its own, such as given_contactor_a, given_protection_a or given_conductor")
    }

    /// Removes what we wrote below the table, and nothing else.
    fn clear_legend(&mut self, row: usize, marks: &str) {
        let marks = marks_of(marks);
        for cell in self.sheet.grid.rows.cells_mut().get_mut(row).into_iter().flatten() {
            if !text::is_blank(&cell.content) && marks.contains(&mark(&cell.content).as_str()) {
                *cell = Cell::default();
            }
        }
    }

    /// Empties columns; rows end with their last cell that holds something, as before the results were written.
    fn blank(&mut self, taken: &BTreeSet<usize>) {
        let is_csv = self.sheet.grid.sheet.is_none();
        for row in self.sheet.grid.rows.cells_mut().iter_mut().skip(self.head) {
            for column in taken.iter().filter(|column| **column < row.len()).copied().collect::<Vec<_>>() {
                row[column] = Cell::default();
            }
            let end = row.iter().rposition(|cell| cell.content != Content::Empty).map_or(0, |last| last + 1);
            row.truncate(end);
            for cell in row.iter_mut().filter(|_| is_csv) {
                if let Content::Text(words) = &cell.content
                    && let Some(rest) = SIGNS.iter().find_map(|sign| words.strip_prefix(sign))
                {
                    cell.content = Content::Text(rest.into());
                }
            }
        }
        let head = u32::try_from(self.head).unwrap_or(u32::MAX);
        let gone = |column: u32| taken.contains(&(column as usize));
        self.sheet.uncomputed.retain(|(row, column)| *row < head || !gone(*column));
        self.sheet.grid.hidden_columns.retain(|column| !gone(*column));
        self.sheet.grid.column_widths.retain(|column, _| !gone(*column));
    }
}

/// Marks of a text of them. They are ASCII; anything else was not written by us and matches nothing.
fn marks_of(text: &str) -> Vec<&str> {
    if !text.is_ascii() {
        return Vec::new();
    }
    (0..text.len() / MARK).filter_map(|at| text.get(at * MARK..(at + 1) * MARK)).collect()
}

#[cfg(test)]
mod tests;
