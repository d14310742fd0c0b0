//! Reads XLSX and XLSM: values by the library, cell by cell; what it does not tell by [`look`].

use std::io::Cursor;

use calamine::{Data, DataRef, DataType, Reader, SheetType, SheetVisible, Xlsx, open_workbook_from_rs};

use super::error::IntakeError;
use super::open::Sheet;
use super::workbook::{Filler, check_sheets, damaged, merge, number_content, sheet_of, unstruck};
use super::{Cell, Content, Grid, Struck, dates, look, shown};

/// All worksheets.
pub(super) fn read(file: &str, bytes: &[u8]) -> Result<Vec<Sheet>, IntakeError> {
    let mut book: Xlsx<_> =
        open_workbook_from_rs(Cursor::new(bytes)).map_err(|error: calamine::XlsxError| damaged(file, error))?;
    let listed: Vec<_> = book.sheets_metadata().iter().filter(|sheet| sheet.typ == SheetType::WorkSheet).cloned().collect();
    check_sheets(file, listed.len())?;
    let shift = if book.has_1904_epoch() { 1_462.0 } else { 0.0 };
    let mut looks = look::Book::open(bytes).map_err(|why| damaged(file, why))?;
    let mut filler = Filler::new(file);
    let mut sheets = Vec::with_capacity(listed.len());
    for entry in listed {
        let mut sheet = sheet_of(file, &entry.name, entry.visible != SheetVisible::Visible);
        let seen = looks.sheet(&entry.name).map_err(|why| damaged(file, why))?;
        let mut cells = book.worksheet_cells_reader(&entry.name).map_err(|error| damaged(file, error))?;
        while let Some(cell) = cells.next_cell_with_formula_metadata().map_err(|error| damaged(file, error))? {
            let content = content_of_ref(cell.value, shift);
            let unfinished = matches!(content, Content::Empty) || content == Content::Number(0.0);
            if cell.formula.is_some() && unfinished {
                sheet.uncomputed.insert(cell.pos);
            }
            filler.put(&mut sheet.grid, cell.pos, Cell { content, ..Cell::default() })?;
        }
        drop(cells);
        sheet.grid.hidden_rows = seen.hidden_rows;
        sheet.grid.hidden_columns = seen.hidden_columns;
        sheet.grid.column_widths = seen.widths;
        sheet.grid.comments = seen.comments;
        for area in seen.merged {
            merge(file, &mut sheet.grid, area)?;
        }
        for (place, cell_look) in seen.cells {
            apply(&mut sheet.grid, place, cell_look);
        }
        sheets.push(sheet);
    }
    Ok(sheets)
}

/// Puts a cell's look into the grid.
fn apply(grid: &mut Grid, (row, column): (u32, u32), look: look::CellLook) {
    let Some(cell) = grid.rows.cells_mut().get_mut(row as usize).and_then(|row| row.get_mut(column as usize)) else { return };
    match &mut cell.content {
        Content::Empty => return,
        Content::Number(number) => {
            *number = look.shown.scaled(*number);
            cell.percent = look.percent;
            cell.shown = look.shown.unit;
        }
        Content::Date(date) => {
            if let Some(format) = look.format {
                cell.content = dates::content(date.serial, Some(&format));
            }
        }
        _ => {}
    }
    match look.runs {
        Some(runs) if matches!(cell.content, Content::Text(_)) => {
            let (text, struck) = unstruck(&runs);
            if struck == Struck::Part || shown::is_offset(&text) {
                cell.content = Content::Text(text.into());
            }
            cell.struck = struck;
        }
        _ if look.struck => cell.struck = Struck::Whole,
        _ => {}
    }
}

pub(super) fn content_of(data: &Data, shift: f64) -> Content {
    match data {
        Data::Empty => Content::Empty,
        Data::Int(number) => number_content(data.as_f64().unwrap_or(*number as f64)),
        Data::Float(number) => number_content(*number),
        // A formula may yield a text of no length: that is nothing, but it is not a missing result.
        Data::String(text) => Content::Text(text.into()),
        Data::Bool(yes) => Content::Boolean(*yes),
        Data::DateTime(date) if date.is_duration() => duration(date.as_f64()),
        Data::DateTime(date) => dates::content(date.as_f64() + shift, None),
        Data::DateTimeIso(text) => Content::date(dates::serial_of_iso(text).unwrap_or_default(), text),
        Data::DurationIso(text) => Content::date(0.0, text),
        Data::Error(error) => Content::Error(error.to_string().into()),
    }
}

fn content_of_ref(data: DataRef<'_>, shift: f64) -> Content {
    match data {
        DataRef::String(text) => Content::Text(text.into()),
        DataRef::SharedString(text) => Content::Text(text.into()),
        DataRef::Float(number) => number_content(number),
        other => content_of(&other.into(), shift),
    }
}

/// Hours, minutes and seconds of a stretch of days.
fn duration(days: f64) -> Content {
    if !days.is_finite() {
        return Content::Error("not a finite time".into());
    }
    #[allow(clippy::cast_possible_truncation)] // saturates
    let seconds = (days * 86_400.0).round() as i64;
    let (sign, seconds) = (if seconds < 0 { "-" } else { "" }, seconds.unsigned_abs());
    Content::date(days, format!("{sign}{}:{:02}:{:02}", seconds / 3_600, seconds / 60 % 60, seconds % 60))
}
