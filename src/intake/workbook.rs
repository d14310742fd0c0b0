//! Reads XLSX and ODS into grids without harm: bounded unpacking first, then cell by cell.

use std::collections::BTreeSet;
use std::io::{Cursor, Read};
use std::panic::{AssertUnwindSafe, catch_unwind};

use calamine::{Data, DataRef, DataType, ExcelDateTime, Ods, Reader, SheetType, SheetVisible, Xlsx, open_workbook_from_rs};

use super::error::{IntakeError, IntakeErrorKind};
use super::open::{MAXIMA, Sheet};
use super::{Cell, Content, Grid};

/// Kind of workbook, by the ending of its name.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Format {
    Xlsx,
    Ods,
}

/// All sheets of a workbook.
pub(super) fn read(file: &str, bytes: &[u8], format: Format) -> Result<Vec<Sheet>, IntakeError> {
    check_unpacked(file, bytes)?;
    // The reader below is well tested, yet a damaged workbook must never end the program.
    let read = catch_unwind(AssertUnwindSafe(|| match format {
        Format::Xlsx => xlsx(file, bytes),
        Format::Ods => ods(file, bytes),
    }));
    read.unwrap_or_else(|_| Err(damaged(file, "its parts contradict each other")))
}

fn damaged(file: &str, why: impl std::fmt::Display) -> IntakeError {
    let cure = "open it in a spreadsheet program and save it anew as .xlsx, .ods or .csv";
    IntakeError::new(IntakeErrorKind::Damaged, format!("{file}: the workbook can't be read ({why}); {cure}"))
}

fn too_large(file: &str, what: impl std::fmt::Display) -> IntakeError {
    IntakeError::new(
        IntakeErrorKind::TooLarge,
        format!("{file}: {what}; split the schedule or remove what does not belong to it"),
    )
}

/// Unpacks every member into nothing and counts: what the directory of the archive says may be a lie.
fn check_unpacked(file: &str, bytes: &[u8]) -> Result<(), IntakeError> {
    if bytes.starts_with(&[0xD0, 0xCF, 0x11, 0xE0]) {
        return Err(damaged(file, "it is encrypted or of an old format"));
    }
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).map_err(|error| damaged(file, error))?;
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
    let (_, rest) = head.split_once("uniqueCount=")?;
    let digits: String = rest.trim_start_matches(['"', '\'']).chars().take_while(char::is_ascii_digit).collect();
    (!digits.is_empty()).then(|| digits.parse().unwrap_or(u64::MAX))
}

fn sheet_of(file: &str, name: &str, visible: SheetVisible) -> Sheet {
    Sheet {
        grid: Grid { file: file.to_owned(), sheet: Some(name.to_owned()), ..Grid::default() },
        hidden: visible != SheetVisible::Visible,
        ..Sheet::default()
    }
}

fn check_sheets(file: &str, count: usize) -> Result<(), IntakeError> {
    if count > MAXIMA.sheets {
        return Err(too_large(file, format!("it has {count} sheets, more than the {} that are read", MAXIMA.sheets)));
    }
    Ok(())
}

fn xlsx(file: &str, bytes: &[u8]) -> Result<Vec<Sheet>, IntakeError> {
    let mut book: Xlsx<_> =
        open_workbook_from_rs(Cursor::new(bytes)).map_err(|error: calamine::XlsxError| damaged(file, error))?;
    let listed: Vec<_> = book.sheets_metadata().iter().filter(|sheet| sheet.typ == SheetType::WorkSheet).cloned().collect();
    check_sheets(file, listed.len())?;
    let mut filler = Filler { file, cells: 0 };
    let mut sheets = Vec::with_capacity(listed.len());
    for entry in listed {
        let mut sheet = sheet_of(file, &entry.name, entry.visible);
        let mut cells = book.worksheet_cells_reader(&entry.name).map_err(|error| damaged(file, error))?;
        while let Some(cell) = cells.next_cell_with_formula_metadata().map_err(|error| damaged(file, error))? {
            let content = content_of_ref(cell.value);
            let unfinished = matches!(content, Content::Empty) || content == Content::Number(0.0);
            if cell.formula.is_some() && unfinished {
                sheet.uncomputed.insert(cell.pos);
            }
            filler.put(&mut sheet.grid, cell.pos, content)?;
        }
        drop(cells);
        // Merged cells are an addition: a workbook whose list of them is damaged is still read.
        let merged = book.merge_cells_by_sheet_name(&entry.name).unwrap_or_default();
        sheet.merged = merged.into_iter().map(|area| (area.start, area.end)).collect();
        sheets.push(sheet);
    }
    Ok(sheets)
}

fn ods(file: &str, bytes: &[u8]) -> Result<Vec<Sheet>, IntakeError> {
    let mut book: Ods<_> = open_workbook_from_rs(Cursor::new(bytes)).map_err(|error: calamine::OdsError| damaged(file, error))?;
    let listed = book.sheets_metadata().to_vec();
    check_sheets(file, listed.len())?;
    let mut filler = Filler { file, cells: 0 };
    let mut sheets = Vec::with_capacity(listed.len());
    for entry in listed {
        let mut sheet = sheet_of(file, &entry.name, entry.visible);
        let range = book.worksheet_range(&entry.name).map_err(|error| damaged(file, error))?;
        // The range begins at the first cell in use, not at A1.
        let (top, left) = range.start().unwrap_or_default();
        let place = |row: usize, column: usize| {
            Some((top.checked_add(u32::try_from(row).ok()?)?, left.checked_add(u32::try_from(column).ok()?)?))
        };
        for (row, column, data) in range.used_cells() {
            if let Some(place) = place(row, column) {
                filler.put(&mut sheet.grid, place, content_of(data))?;
            }
        }
        sheet.uncomputed = formulas(&mut book, &entry.name, &sheet.grid);
        sheets.push(sheet);
    }
    Ok(sheets)
}

/// Cells with a formula and either no value or 0.
fn formulas(book: &mut Ods<Cursor<&[u8]>>, name: &str, grid: &Grid) -> BTreeSet<(u32, u32)> {
    let Ok(range) = book.worksheet_formula(name) else { return BTreeSet::new() };
    let (top, left) = range.start().unwrap_or_default();
    let unfinished = |row: u32, column: u32| {
        let cell = grid.rows.get(row as usize).and_then(|row| row.get(column as usize));
        cell.is_none_or(|cell| cell.content == Content::Empty || cell.content == Content::Number(0.0))
    };
    let cells = range.used_cells().filter(|(_, _, formula)| !formula.is_empty());
    cells
        .filter_map(|(row, column, _)| Some((top + u32::try_from(row).ok()?, left + u32::try_from(column).ok()?)))
        .filter(|&(row, column)| unfinished(row, column))
        .collect()
}

/// Puts cells where they stood, within the maxima.
struct Filler<'a> {
    file: &'a str,
    cells: usize,
}

impl Filler<'_> {
    fn put(&mut self, grid: &mut Grid, (row, column): (u32, u32), content: Content) -> Result<(), IntakeError> {
        if content == Content::Empty {
            return Ok(());
        }
        let (row, column) = (row as usize, column as usize);
        let sheet = grid.sheet.as_deref().unwrap_or_default();
        if row >= MAXIMA.rows {
            return Err(too_large(
                self.file,
                format!("sheet {sheet} has cells below row {}, the last that is read", MAXIMA.rows),
            ));
        }
        if column >= MAXIMA.columns {
            return Err(too_large(
                self.file,
                format!("sheet {sheet} has cells right of column {}, the last that is read", MAXIMA.columns),
            ));
        }
        if grid.rows.len() <= row {
            grid.rows.resize_with(row + 1, Vec::new);
        }
        let cells = &mut grid.rows[row];
        if cells.len() <= column {
            self.cells += column + 1 - cells.len();
            if self.cells > MAXIMA.cells {
                return Err(too_large(self.file, format!("it has more than {} cells", MAXIMA.cells)));
            }
            cells.resize_with(column + 1, Cell::default);
        }
        cells[column].content = content;
        Ok(())
    }
}

fn content_of(data: &Data) -> Content {
    match data {
        Data::Empty => Content::Empty,
        Data::Int(number) => number_content(data.as_f64().unwrap_or(*number as f64)),
        Data::Float(number) => number_content(*number),
        Data::String(text) => text_content(text),
        Data::Bool(yes) => Content::Boolean(*yes),
        Data::DateTime(date) => date_content(*date),
        Data::DateTimeIso(text) => Content::Date(serial_of_iso(text).unwrap_or_default(), text.clone()),
        Data::DurationIso(text) => Content::Date(0.0, text.clone()),
        Data::Error(error) => Content::Error(error.to_string()),
    }
}

fn content_of_ref(data: DataRef<'_>) -> Content {
    match data {
        DataRef::String(text) if !text.is_empty() => Content::Text(text),
        DataRef::SharedString(text) => text_content(text),
        DataRef::Float(number) => number_content(number),
        other => content_of(&other.into()),
    }
}

fn text_content(text: &str) -> Content {
    // A formula may yield a text of no length: that is nothing, but it is not a missing result.
    Content::Text(text.to_owned())
}

fn number_content(number: f64) -> Content {
    if number.is_finite() { Content::Number(number) } else { Content::Error("not a finite number".to_owned()) }
}

fn date_content(date: ExcelDateTime) -> Content {
    let serial = date.as_f64();
    if !serial.is_finite() {
        return Content::Error("not a finite date".to_owned());
    }
    if date.is_duration() {
        return Content::Date(serial, format!("{} d", super::text::number_text(serial)));
    }
    let (year, month, day, hour, minute, second, _) = date.to_ymd_hms_milli();
    let mut text = format!("{year:04}-{month:02}-{day:02}");
    if hour != 0 || minute != 0 || second != 0 {
        text.push_str(&format!(" {hour:02}:{minute:02}:{second:02}"));
    }
    // Recomputed, so that a workbook that counts from 1904 is written back rightly.
    let whole = days(i64::from(year), i64::from(month), i64::from(day));
    Content::Date(whole + serial.rem_euclid(1.0), text)
}

fn serial_of_iso(text: &str) -> Option<f64> {
    let number = |from: usize, to: usize| text.get(from..to)?.parse::<u32>().ok();
    let date = days(i64::from(number(0, 4)?), i64::from(number(5, 7)?), i64::from(number(8, 10)?));
    let part = |from, to| number(from, to).map_or(0.0, f64::from);
    Some(date + (part(11, 13) * 3_600.0 + part(14, 16) * 60.0 + part(17, 19)) / 86_400.0)
}

/// Days of a date in the proleptic Gregorian calendar, counted as spreadsheets do: 1900-03-01 is 61.
fn days(year: i64, month: i64, day: i64) -> f64 {
    let year = if month <= 2 { year - 1 } else { year };
    let era = year.div_euclid(400);
    let of_era = year.rem_euclid(400);
    let of_year = (153 * ((month + 9) % 12) + 2) / 5 + day - 1;
    let since_march_0000 = era * 146_097 + of_era * 365 + of_era / 4 - of_era / 100 + of_year;
    // 1899-12-30, day 0 of spreadsheets, is day 693 899 counted from 0000-03-01.
    #[allow(clippy::cast_precision_loss)] // years of four digits
    let days = (since_march_0000 - 693_899) as f64;
    days
}

#[cfg(test)]
mod tests {
    use super::*;

    // Serial numbers of dates: ECMA-376 part 1, 18.17.4.1 (1900 base).
    #[rstest::rstest]
    #[case::new_year_2000("2000-01-01", 36_526.0)]
    #[case::after_the_false_leap_day("1900-03-01", 61.0)]
    #[case::with_time("2000-01-01T12:00:00", 36_526.5)]
    fn serial_numbers(#[case] date: &str, #[case] expected: f64) {
        assert_eq!(serial_of_iso(date), Some(expected));
    }
}
