//! Reads workbooks into grids without harm: bounded unpacking first, then cell by cell.

use std::cell::Cell as Switch;
use std::io::{Cursor, Read};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Once;

use super::delimited::decimal_comma;
use super::dialect::DecimalVotes;
use super::error::{IntakeError, IntakeErrorKind};
use super::open::{MAXIMA, Opened, Sheet};
use super::{Cell, Content, Grid, Row, Struck, ods, text, xls, xlsx};
use crate::finding::Place;

/// Kind of workbook.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Format {
    Xlsx,
    Ods,
    Xls,
}

impl Format {
    /// The ending of such a file's name.
    pub(super) fn ending(self) -> &'static str {
        match self {
            Self::Xlsx => "xlsx",
            Self::Ods => "ods",
            Self::Xls => "xls",
        }
    }
}

/// All sheets of a workbook.
pub(super) fn read(file: &str, bytes: &[u8], format: Format) -> Result<Opened, IntakeError> {
    if format != Format::Xls {
        check_unpacked(file, bytes)?;
    }
    // The libraries below are well tested, yet a damaged workbook must never end the program.
    let read = quietly(|| match format {
        Format::Xlsx => xlsx::read(file, bytes),
        Format::Ods => ods::read(file, bytes),
        Format::Xls => xls::read(file, bytes),
    });
    let mut sheets = read.unwrap_or_else(|| Err(damaged(file, "its parts contradict each other")))?;
    for sheet in &mut sheets {
        check_extent(file, &sheet.grid)?;
        clear_covered(file, &mut sheet.grid)?;
        let rows = u32::try_from(sheet.grid.rows.len()).unwrap_or(u32::MAX);
        sheet.grid.hidden_rows.retain(|row| *row < rows);
        let width = sheet.grid.rows.iter().map(Row::len).max().unwrap_or(0);
        sheet.grid.column_widths.retain(|column, _| (*column as usize) < width);
        sheet.grid.hidden = sheet.hidden;
    }
    let mut opened = Opened { sheets, ..Opened::default() };
    detect_decimal(file, &mut opened);
    Ok(opened)
}

thread_local! {
    static QUIET: Switch<bool> = const { Switch::new(false) };
}

/// Runs what may panic, without a word on the terminal if it does.
fn quietly<T>(run: impl FnOnce() -> T) -> Option<T> {
    static HOOK: Once = Once::new();
    HOOK.call_once(|| {
        let before = std::panic::take_hook();
        std::panic::set_hook(Box::new(move |info| {
            if !QUIET.get() {
                before(info);
            }
        }));
    });
    QUIET.set(true);
    let result = catch_unwind(AssertUnwindSafe(run));
    QUIET.set(false);
    result.ok()
}

pub(super) fn damaged(file: &str, why: impl std::fmt::Display) -> IntakeError {
    let cure = "open it in a spreadsheet program and save it anew as .xlsx, .ods or .csv";
    let why: String = why.to_string().split_whitespace().collect::<Vec<_>>().join(" ").chars().take(200).collect();
    IntakeError::new(IntakeErrorKind::Damaged, format!("{file}: the workbook can't be read ({why}); {cure}"))
}

pub(super) fn too_large(file: &str, what: impl std::fmt::Display) -> IntakeError {
    IntakeError::new(
        IntakeErrorKind::TooLarge,
        format!("{file}: {what}; split the schedule or remove what does not belong to it"),
    )
}

pub(super) fn beyond_rows(file: &str, sheet: &str) -> IntakeError {
    too_large(file, format!("sheet {sheet} has cells below row {}, the last that is read", MAXIMA.rows))
}

pub(super) fn beyond_columns(file: &str, sheet: &str) -> IntakeError {
    too_large(file, format!("sheet {sheet} has cells right of column {}, the last that is read", MAXIMA.columns))
}

/// Unpacks every member into nothing and counts: what the directory of the archive says may be a lie.
fn check_unpacked(file: &str, bytes: &[u8]) -> Result<(), IntakeError> {
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).map_err(|error| damaged(file, error))?;
    if archive.len() > MAXIMA.parts {
        return Err(too_large(file, format!("it has more than {} parts", MAXIMA.parts)));
    }
    let mut total = 0;
    for index in 0..archive.len() {
        let member = archive.by_index(index).map_err(|error| damaged(file, error))?;
        let strings = member.name().is_ok_and(|name| name.ends_with("sharedStrings.xml"));
        let mut member = member.take(MAXIMA.unpacked_bytes + 1 - total);
        let mut head = Vec::new();
        if strings {
            member.by_ref().take(4_096).read_to_end(&mut head).map_err(|error| damaged(file, error))?;
        }
        let size = head.len() as u64 + std::io::copy(&mut member, &mut std::io::sink()).map_err(|error| damaged(file, error))?;
        total += size;
        if total > MAXIMA.unpacked_bytes {
            return Err(too_large(file, format!("unpacked, it is larger than {} MiB", MAXIMA.unpacked_bytes >> 20)));
        }
        // Readers reserve room for as many texts as the file claims to have.
        if declared_strings(&head).is_some_and(|count| count > size) {
            return Err(damaged(file, "it claims to hold more texts than it can"));
        }
    }
    Ok(())
}

fn declared_strings(head: &[u8]) -> Option<u64> {
    let head = String::from_utf8_lossy(head);
    // The claim may stand anywhere in the head, in a comment before the true one too: the largest counts.
    head.split("niqueCount")
        .skip(1)
        .filter_map(|rest| {
            let digits: String = rest
                .trim_start_matches([' ', '=', '"', '\'', '\n', '\r', '\t'])
                .chars()
                .take_while(char::is_ascii_digit)
                .collect();
            (!digits.is_empty()).then(|| digits.parse().unwrap_or(u64::MAX))
        })
        .max()
}

pub(super) fn sheet_of(file: &str, name: &str, hidden: bool) -> Sheet {
    Sheet { grid: Grid { file: file.to_owned(), sheet: Some(name.to_owned()), ..Grid::default() }, hidden, ..Sheet::default() }
}

pub(super) fn check_sheets(file: &str, count: usize) -> Result<(), IntakeError> {
    if count > MAXIMA.sheets {
        return Err(too_large(file, format!("it has {count} sheets, more than the {} that are read", MAXIMA.sheets)));
    }
    Ok(())
}

/// Takes a merged area in, within the maxima.
pub(super) fn merge(file: &str, grid: &mut Grid, area: ((u32, u32), (u32, u32))) -> Result<(), IntakeError> {
    if grid.merged.len() >= MAXIMA.merged {
        return Err(too_large(file, format!("a sheet has more than {} merged areas", MAXIMA.merged)));
    }
    if area.0 != area.1 {
        grid.merged.push(area);
    }
    Ok(())
}

/// Cells beyond the maxima are far from everything else only where the sheet ends well before; else they are its last rows or columns.
fn check_extent(file: &str, grid: &Grid) -> Result<(), IntakeError> {
    if grid.astray.is_empty() {
        return Ok(());
    }
    let sheet = grid.sheet.as_deref().unwrap_or_default();
    let filled = |row: &Row<'_>| (0..row.len()).rev().find(|column| !row.is_blank(*column));
    let last_row = grid.rows.iter().enumerate().filter(|(_, row)| filled(row).is_some()).map(|(number, _)| number).next_back();
    let last_column = grid.rows.iter().filter_map(|row| filled(&row)).max();
    let near = |last: Option<usize>, most: usize, apart: usize| last.is_some_and(|last| last + apart >= most);
    if grid.astray.iter().any(|cell| cell.0 as usize >= MAXIMA.rows) && near(last_row, MAXIMA.rows, APART.0) {
        return Err(beyond_rows(file, sheet));
    }
    if grid.astray.iter().any(|cell| cell.1 as usize >= MAXIMA.columns) && near(last_column, MAXIMA.columns, APART.1) {
        return Err(beyond_columns(file, sheet));
    }
    Ok(())
}

/// A person sees only the first cell of a merged area; what other cells of it hold is of no account.
fn clear_covered(file: &str, grid: &mut Grid) -> Result<(), IntakeError> {
    let mut visited = 0;
    for &((top, left), (bottom, right)) in &grid.merged {
        let (first, last) = (top as usize, (bottom as usize).min(grid.rows.len().saturating_sub(1)));
        for (number, row) in grid.rows.cells_mut().iter_mut().enumerate().take(last + 1).skip(first) {
            visited += 1;
            for (column, cell) in row.iter_mut().enumerate().take(right as usize + 1).skip(left as usize) {
                visited += 1;
                if (number, column) != (top as usize, left as usize) && cell.content != Content::Empty {
                    *cell = Cell::default();
                }
            }
        }
        if visited > MAXIMA.cells {
            return Err(too_large(file, "its merged areas cover each other"));
        }
    }
    Ok(())
}

/// Tells the decimal mark from the texts; numbers of a workbook say nothing.
fn detect_decimal(file: &str, opened: &mut Opened) {
    let mut all = DecimalVotes::default();
    let mut first = None;
    for sheet in opened.sheets.iter().filter(|sheet| !sheet.hidden) {
        let mut decimal_votes = DecimalVotes::default();
        for row in sheet.grid.rows.iter() {
            decimal_votes.add_row(row);
            all.add_row(row);
        }
        if decimal_votes.mark() == ',' && first.is_none() {
            first = Some(sheet.grid.sheet.clone());
        }
    }
    opened.detected.decimal = Some(all.mark());
    if all.mark() == ',' {
        opened.findings.push(decimal_comma(Place { sheet: first.flatten(), ..Place::file(file) }));
    }
}

/// Cells far from everything else that are told and left out; more of them are a schedule that is too large.
const MOST_ASTRAY: usize = 10;
/// Rows and columns that are empty before what is far from everything else.
const APART: (usize, usize) = (1_000, 50);

/// Puts cells where they stood, within the maxima.
pub(super) struct Filler<'a> {
    file: &'a str,
    cells: usize,
}

impl<'a> Filler<'a> {
    pub(super) fn new(file: &'a str) -> Self {
        Self { file, cells: 0 }
    }

    pub(super) fn put(&mut self, grid: &mut Grid, place: (u32, u32), cell: Cell) -> Result<(), IntakeError> {
        let (row, column) = place;
        if cell.content == Content::Empty {
            return Ok(());
        }
        let content = match cell.content {
            Content::Text(seen) if text::is_error(&seen) => Content::Error(seen.trim().into()),
            other => other,
        };
        let cell = Cell { content, ..cell };
        let (row, column) = (row as usize, column as usize);
        let beyond = row >= MAXIMA.rows || column >= MAXIMA.columns;
        // A text of blanks shows nobody anything, wherever it stands.
        if beyond && text::is_blank(&cell.content) {
            return Ok(());
        }
        let sheet = grid.sheet.as_deref().unwrap_or_default();
        if beyond && grid.astray.len() < MOST_ASTRAY {
            grid.astray.push((place.0, place.1, text::shortened(&text::of(&cell.content))));
            return Ok(());
        }
        if row >= MAXIMA.rows {
            return Err(beyond_rows(self.file, sheet));
        }
        if column >= MAXIMA.columns {
            return Err(beyond_columns(self.file, sheet));
        }
        let rows = grid.rows.cells_mut();
        if rows.len() <= row {
            rows.resize_with(row + 1, Vec::new);
        }
        let cells = &mut rows[row];
        if cells.len() <= column {
            self.cells += column + 1 - cells.len();
            if self.cells > MAXIMA.cells {
                return Err(too_large(self.file, format!("it has more than {} cells", MAXIMA.cells)));
            }
            cells.resize_with(column + 1, Cell::default);
        }
        cells[column] = cell;
        Ok(())
    }
}

/// The rest of a text when its struck parts are taken out.
pub(super) fn unstruck(runs: &[(String, bool)]) -> (String, Struck) {
    let has = |struck: bool| runs.iter().any(|(text, is_struck)| *is_struck == struck && !text.trim().is_empty());
    match (has(true), has(false)) {
        (false, _) => (runs.iter().map(|(text, _)| text.as_str()).collect(), Struck::No),
        (true, false) => (runs.iter().map(|(text, _)| text.as_str()).collect(), Struck::Whole),
        (true, true) => (runs.iter().filter(|(_, struck)| !struck).map(|(text, _)| text.as_str()).collect(), Struck::Part),
    }
}

pub(super) fn number_content(number: f64) -> Content {
    if number.is_finite() { Content::Number(number) } else { Content::Error("not a finite number".into()) }
}
