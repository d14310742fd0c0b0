//! Reads the old binary workbook: values by the library, out of a container made anew; what it does not tell by [`biff`].

use std::io::Cursor;

use calamine::{Reader, SheetType, SheetVisible, Xls, open_workbook_from_rs};

use super::error::IntakeError;
use super::open::{MAXIMA, Sheet};
use super::workbook::{Filler, check_sheets, damaged, merge, sheet_of, too_large, unstruck};
use super::{Cell, Content, Struck, biff, shown, xlsx};

/// All worksheets.
pub(super) fn read(file: &str, bytes: &[u8]) -> Result<Vec<Sheet>, IntakeError> {
    let container = biff::Container::open(bytes).map_err(|why| damaged(file, why))?;
    let stream = container.workbook().map_err(|why| damaged(file, why))?;
    let mut stream = stream.ok_or_else(|| damaged(file, "it holds no workbook"))?;
    if !biff::silence_dimensions(&mut stream, MAXIMA.sheets) {
        return Err(damaged(file, "its sheets lie across each other"));
    }
    let look = biff::look(&stream, MAXIMA.sheets);
    check_sheets(file, look.sheets.len())?;
    // The library makes room for the whole rectangle of each sheet before it hands out the first cell.
    let room: u64 = look.sheets.iter().map(|sheet| sheet.rectangle).sum();
    if room > MAXIMA.cells as u64 {
        return Err(too_large(file, format!("it has more than {} cells", MAXIMA.cells)));
    }
    let clean = biff::container(&stream);
    let mut book: Xls<_> =
        open_workbook_from_rs(Cursor::new(clean.as_slice())).map_err(|error: calamine::XlsError| damaged(file, error))?;
    let listed = book.sheets_metadata().to_vec();
    let shift = if book.has_1904_epoch() { 1_462.0 } else { 0.0 };
    let mut filler = Filler::new(file);
    let mut sheets = Vec::new();
    for (index, entry) in listed.into_iter().enumerate().filter(|(_, entry)| entry.typ == SheetType::WorkSheet) {
        let mut sheet = sheet_of(file, &entry.name, entry.visible != SheetVisible::Visible);
        let range = book.worksheet_range(&entry.name).map_err(|error| damaged(file, error))?;
        let (top, left) = range.start().unwrap_or_default();
        let seen = look.sheets.get(index);
        for (row, column, data) in range.used_cells() {
            let (Ok(row), Ok(column)) = (u32::try_from(row), u32::try_from(column)) else { continue };
            let place = (top.saturating_add(row), left.saturating_add(column));
            let cell = Cell { content: xlsx::content_of(data, shift), ..Cell::default() };
            let cell = match seen {
                Some(seen) => looked(cell, place, seen, &look),
                None => cell,
            };
            filler.put(&mut sheet.grid, place, cell)?;
        }
        if let Ok(formulas) = book.worksheet_formula(&entry.name) {
            let (top, left) = formulas.start().unwrap_or_default();
            for (row, column, _) in formulas.used_cells().filter(|(_, _, formula)| !formula.is_empty()) {
                let (Ok(row), Ok(column)) = (u32::try_from(row), u32::try_from(column)) else { continue };
                let place = (top.saturating_add(row), left.saturating_add(column));
                let cell = sheet.grid.rows.cell(place.0 as usize, place.1 as usize);
                if cell.is_none_or(|cell| cell.content == Content::Empty || cell.content == Content::Number(0.0)) {
                    sheet.uncomputed.insert(place);
                }
            }
        }
        if let Some(seen) = seen {
            sheet.grid.hidden_rows.clone_from(&seen.hidden_rows);
            sheet.grid.hidden_columns.clone_from(&seen.hidden_columns);
        }
        for area in book.merge_cells_by_sheet_name(&entry.name).unwrap_or_default() {
            merge(file, &mut sheet.grid, (area.start, area.end))?;
        }
        sheets.push(sheet);
    }
    Ok(sheets)
}

/// A cell with its look.
fn looked(mut cell: Cell, place: (u32, u32), seen: &biff::SheetLook, look: &biff::Look) -> Cell {
    let whole = seen.struck.contains(&place);
    cell.percent = matches!(cell.content, Content::Number(_)) && seen.percent.contains(&place);
    if let (Content::Number(number), Some(shown)) = (&mut cell.content, seen.shown.get(&place)) {
        *number = shown.scaled(*number);
        cell.shown = shown.unit;
    }
    match seen.runs.get(&place).and_then(|text| look.runs.get(text)) {
        Some(runs) if matches!(cell.content, Content::Text(_)) => {
            // The text before the first run has the font of the cell.
            let runs: Vec<_> = runs
                .iter()
                .enumerate()
                .map(|(at, (text, struck))| (text.clone(), if at == 0 { whole } else { *struck }))
                .collect();
            let (text, struck) = unstruck(&runs);
            if struck == Struck::Part || shown::is_offset(&text) {
                cell.content = Content::Text(text.into());
            }
            cell.struck = struck;
        }
        _ if whole && cell.content != Content::Empty => cell.struck = Struck::Whole,
        _ => {}
    }
    cell
}
