//! A table of our own on a sheet: title, heads, rows, all written from top to bottom.

use std::borrow::Cow;

use rust_xlsxwriter::{ConditionalFormatFormula, Format, Worksheet};

use super::columns::{Align, CellValue, Column};
use super::style::{self, Styles};
use super::{DEMONSTRATION, ReportError, ReportInput, text};

/// Row of the heads; above it stand title, subtitle and, while it holds, the band of the demonstration range.
pub(super) const HEAD: u32 = 3;

/// Title, subtitle and band.
pub(super) fn title(sheet: &mut Worksheet, input: &ReportInput, title: &str, subtitle: &str, styles: &Styles) -> Result<(), ReportError> {
    sheet.write_string_with_format(0, 0, title, &styles.title)?;
    sheet.set_row_height(0, 24)?;
    sheet.write_string_with_format(1, 0, subtitle, &styles.small)?;
    if input.design.catalogue.demonstration {
        let mut words = DEMONSTRATION.to_owned();
        if let Some(first) = words.get_mut(..1) {
            first.make_ascii_uppercase();
        }
        sheet.write_string_with_format(2, 0, &words, &styles.band)?;
    }
    sheet.set_screen_gridlines(false);
    Ok(())
}

/// Heads at a row, widths and formats of the columns. Columns wider than this wrap their words.
pub(super) fn heads<R>(sheet: &mut Worksheet, row: u32, columns: &[Column<R>], styles: &Styles) -> Result<(), ReportError> {
    let two_lines = columns.iter().any(|column| !column.unit.is_empty());
    sheet.set_row_height(row, if two_lines { 34 } else { 20 })?;
    for (at, column) in (0u16..).zip(columns) {
        let head = if column.align() == Align::Right { &styles.head_right } else { &styles.head };
        sheet.write_string_with_format(row, at, column.head(), head)?;
        sheet.set_column_width(at, column.width)?;
        sheet.set_column_format(at, &style::column(column.align(), column.decimals, column.width >= WRAPS))?;
    }
    Ok(())
}

const WRAPS: f64 = 20.0;

/// A value with the format of its column.
pub(super) fn value(sheet: &mut Worksheet, row: u32, column: u16, value: CellValue<'_>) -> Result<(), ReportError> {
    match value {
        CellValue::Text(words) => {
            sheet.write_string(row, column, text::cell(&words))?;
        }
        CellValue::Number(number) if number.is_finite() => {
            sheet.write_number(row, column, number)?;
        }
        CellValue::Number(_) | CellValue::Empty => {}
    }
    Ok(())
}

/// A value with a format of its own.
pub(super) fn value_with(sheet: &mut Worksheet, row: u32, column: u16, value: CellValue<'_>, format: &Format) -> Result<(), ReportError> {
    match value {
        CellValue::Text(words) => sheet.write_string_with_format(row, column, text::cell(&words), format)?,
        CellValue::Number(number) if number.is_finite() => sheet.write_number_with_format(row, column, number, format)?,
        CellValue::Number(_) | CellValue::Empty => sheet.write_blank(row, column, format)?,
    };
    Ok(())
}

/// Freezes heads and tag, filters and rules the rows, repeats the heads in print. `last` is the last row, that of the heads if
/// there are none.
pub(super) fn finish(sheet: &mut Worksheet, head: u32, last: u32, width: usize, frozen: u16, styles: &Styles) -> Result<(), ReportError> {
    let right = u16::try_from(width.max(1) - 1).unwrap_or(u16::MAX);
    sheet.set_freeze_panes(head + 1, frozen)?;
    sheet.set_repeat_rows(head, head)?;
    if last > head {
        sheet.autofilter(head, 0, last, right)?;
        rule(sheet, head + 1, last, 0, right, &styles.hair)?;
    }
    Ok(())
}

/// Rules a range with one conditional format instead of a format on every cell.
pub(super) fn rule(sheet: &mut Worksheet, first: u32, last: u32, left: u16, right: u16, format: &Format) -> Result<(), ReportError> {
    sheet.add_conditional_format(first, left, last, right, &ConditionalFormatFormula::new().set_rule("=TRUE").set_format(format))?;
    Ok(())
}

/// A whole table: `mark` may give a cell a format of its own.
pub(super) fn write<'s, R>(
    sheet: &mut Worksheet,
    columns: &[Column<R>],
    rows: impl Iterator<Item = R>,
    frozen: u16,
    styles: &'s Styles,
    mark: impl Fn(&R, &'static str) -> Option<&'s Format>,
) -> Result<u32, ReportError> {
    heads(sheet, HEAD, columns, styles)?;
    let mut last = HEAD;
    for row in rows {
        last += 1;
        for (at, column) in (0u16..).zip(columns) {
            let own = column.rounded(&row);
            match mark(&row, column.key) {
                Some(format) => value_with(sheet, last, at, own, format)?,
                None => value(sheet, last, at, own)?,
            }
        }
    }
    finish(sheet, HEAD, last, columns.len(), frozen, styles)?;
    Ok(last)
}

/// Words on a row of a sheet that is no table.
pub(super) fn words<'t>(sheet: &mut Worksheet, row: u32, cells: impl IntoIterator<Item = Cow<'t, str>>, first: &Format, others: &Format) -> Result<(), ReportError> {
    for (at, own) in (0u16..).zip(cells) {
        if !own.is_empty() {
            sheet.write_string_with_format(row, at, text::cell(&own), if at == 0 { first } else { others })?;
        }
    }
    Ok(())
}
