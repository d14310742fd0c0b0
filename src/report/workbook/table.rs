//! A table of our own on a sheet: title, heads, rows, all written from top to bottom.

use std::borrow::Cow;

use rust_xlsxwriter::{ConditionalFormatFormula, Format, Worksheet};

use super::columns::{Align, CellValue, Column};
use super::plan::{Plan, Written};
use super::style::{self, Rows, Styles};
use super::{DEMONSTRATION, ReportError, ReportInput, text};

/// Row of the heads; above it stand title, subtitle and, while it holds, the band of the demonstration range.
pub(super) const HEAD: u32 = 3;
/// Rows that a sheet has.
pub(super) const ROWS: u32 = 1_048_576;

/// Title, subtitle and band.
pub(super) fn title(
    sheet: &mut Worksheet,
    input: &ReportInput,
    title: &str,
    subtitle: &str,
    styles: &Styles,
) -> Result<(), ReportError> {
    title_beside(sheet, input, title, subtitle, 0, styles)
}

/// The same with the band in another column.
pub(super) fn title_beside(
    sheet: &mut Worksheet,
    input: &ReportInput,
    title: &str,
    subtitle: &str,
    band: u16,
    styles: &Styles,
) -> Result<(), ReportError> {
    sheet.write_string_with_format(0, 0, title, &styles.title)?;
    sheet.set_row_height(0, 24)?;
    sheet.write_string_with_format(1, 0, subtitle, &styles.small)?;
    if input.design.catalogue.demonstration {
        let mut words = DEMONSTRATION.to_owned();
        if let Some(first) = words.get_mut(..1) {
            first.make_ascii_uppercase();
        }
        sheet.write_string_with_format(2, band, &words, &styles.band)?;
    }
    sheet.set_screen_gridlines(false);
    Ok(())
}

/// Heads at a row, widths and formats of the columns. In tall rows columns wider than [`WRAPS`] wrap their words.
pub(super) fn heads<R>(
    sheet: &mut Worksheet,
    row: u32,
    columns: &[Column<R>],
    tall: bool,
    styles: &Styles,
) -> Result<(), ReportError> {
    let lines = columns
        .iter()
        .map(|column| lines(column.heading, column.width - 2.0) + usize::from(!column.unit.is_empty()))
        .max()
        .unwrap_or(1);
    sheet.set_row_height(row, height(lines) + 4)?;
    for (at, column) in (0u16..).zip(columns) {
        let head = if column.align() == Align::Right { &styles.head_right } else { &styles.head };
        sheet.write_string_with_format(row, at, column.head(), head)?;
        sheet.set_column_width(at, column.width)?;
        let rows = if tall { Rows::Tall(wraps(column)) } else { Rows::Single };
        sheet.set_column_format(at, &style::column(column.align(), column.decimals, rows))?;
    }
    Ok(())
}

/// Width from which a column of words wraps in tall rows, and that beyond which none is made to fit its words.
const WRAPS: f64 = 20.0;
pub(super) const WIDEST: f64 = 44.0;

/// A column that wraps its words where rows have several lines.
pub(super) fn wraps<R>(column: &Column<R>) -> bool {
    column.width >= WRAPS
}

/// Lines that words take in a column of that width. Programs differ in whether they fit rows to wrapped words by themselves.
pub(super) fn lines(words: &str, width: f64) -> usize {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // widths of columns are small and above nothing
    let most = (width * 1.05).max(1.0) as usize;
    if words.len() <= most && !words.contains('\n') { 1 } else { words.split('\n').map(|line| wrapped(line, most)).sum() }
}

/// Lines of at most so many characters, broken between words.
fn wrapped(line: &str, most: usize) -> usize {
    let (mut lines, mut filled) = (1, 0);
    for word in line.split(' ').map(|word| word.chars().count()) {
        if filled > 0 && filled + 1 + word > most {
            lines += 1;
            filled = 0;
        }
        filled += word + usize::from(filled > 0);
        while filled > most {
            lines += 1;
            filled -= most;
        }
    }
    lines
}

/// Makes columns of words that don't wrap as wide as their longest words ask, up to a limit.
pub(super) fn fit<R>(columns: &mut [Column<R>], rows: &[R], limit: f64) {
    fit_those(columns, rows, limit, |column| column.width < WRAPS);
}

/// The same for every column of words, where no row is taller than a line.
pub(super) fn fit_single<R>(columns: &mut [Column<R>], rows: &[R], limit: f64) {
    fit_those(columns, rows, limit, |_| true);
}

fn fit_those<R>(columns: &mut [Column<R>], rows: &[R], limit: f64, which: impl Fn(&Column<R>) -> bool) {
    for column in columns {
        if column.align() == Align::Right || !which(column) {
            continue;
        }
        let characters = |row| if let CellValue::Text(words) = column.of(row) { words.chars().count() } else { 0 };
        let longest = rows.iter().map(characters).max().unwrap_or(0);
        column.width = fitting(column.width, longest, limit);
    }
}

/// Width for so many characters, with the indent.
fn fitting(least: f64, characters: usize, limit: f64) -> f64 {
    let wanted = f64::from(u32::try_from(characters).unwrap_or(u32::MAX)) * 1.05 + 2.0;
    wanted.clamp(least, limit.max(least))
}

/// Makes the columns of tags and boards as wide as the design's ask.
pub(super) fn fit_owners<R>(columns: &mut [Column<R>], input: &ReportInput) {
    let design = input.design;
    let longest = |words: &mut dyn Iterator<Item = &str>| words.map(|word| word.chars().count()).max().unwrap_or(0);
    let boards = longest(&mut design.circuits.iter().map(|circuit| circuit.board.as_str()));
    let owners = longest(&mut design.circuits.iter().map(|circuit| circuit.tag.as_str())).max(boards);
    for column in columns {
        match column.key {
            "tag" => column.width = fitting(column.width, owners, WIDEST),
            "board" => column.width = fitting(column.width, boards, WIDEST),
            _ => {}
        }
    }
}

/// Height of a row of so many lines, within what a row may have.
pub(super) fn height(lines: usize) -> u32 {
    u32::try_from(lines).unwrap_or(27).clamp(1, 27) * 15
}

/// Lines of the tallest of the cells of a row.
pub(super) fn tallest<R>(columns: &[Column<R>], cells: &[CellValue<'_>]) -> usize {
    let wrapping = columns.iter().zip(cells).filter(|(column, _)| wraps(column));
    wrapping
        .map(|(column, cell)| if let CellValue::Text(words) = cell { lines(words, column.width) } else { 1 })
        .max()
        .unwrap_or(1)
}

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
pub(super) fn value_with(
    sheet: &mut Worksheet,
    row: u32,
    column: u16,
    value: CellValue<'_>,
    format: &Format,
) -> Result<(), ReportError> {
    match value {
        CellValue::Text(words) => sheet.write_string_with_format(row, column, text::cell(&words), format)?,
        CellValue::Number(number) if number.is_finite() => sheet.write_number_with_format(row, column, number, format)?,
        CellValue::Number(_) | CellValue::Empty => sheet.write_blank(row, column, format)?,
    };
    Ok(())
}

/// Freezes heads and tag, filters and rules the rows, repeats the heads in print.
pub(super) fn finish(
    sheet: &mut Worksheet,
    written: &mut Written,
    width: usize,
    frozen: u16,
    styles: &Styles,
) -> Result<(), ReportError> {
    let right = u16::try_from(width.max(1) - 1).unwrap_or(u16::MAX);
    written.right = right;
    let (head, last) = (written.head, written.last);
    sheet.set_freeze_panes(head + 1, frozen)?;
    sheet.set_repeat_rows(head, head)?;
    if last > head {
        sheet.autofilter(head, 0, last, right)?;
        rule(sheet, head + 1, last, 0, right, &styles.hair)?;
    }
    Ok(())
}

/// Rules a range with one conditional format instead of a format on every cell.
pub(super) fn rule(
    sheet: &mut Worksheet,
    first: u32,
    last: u32,
    left: u16,
    right: u16,
    format: &Format,
) -> Result<(), ReportError> {
    sheet.add_conditional_format(
        first,
        left,
        last,
        right,
        &ConditionalFormatFormula::new().set_rule("=TRUE").set_format(format),
    )?;
    Ok(())
}

/// A whole table of rows with the circuits that they belong to: `mark` may give a cell a format of its own. The first column is
/// the tag, which leads to the schedule.
pub(super) fn write<'s, R>(
    sheet: &mut Worksheet,
    columns: &[Column<R>],
    rows: impl Iterator<Item = (Option<usize>, R)>,
    plan: &Plan,
    styles: &'s Styles,
    mark: impl Fn(&R, &'static str) -> Option<&'s Format>,
) -> Result<Written, ReportError> {
    write_within(ROWS, sheet, columns, rows, plan, styles, mark)
}

/// The same on a sheet of so many rows; what it does not hold is told below the last one.
#[allow(clippy::too_many_arguments)]
pub(super) fn write_within<'s, R>(
    most: u32,
    sheet: &mut Worksheet,
    columns: &[Column<R>],
    rows: impl Iterator<Item = (Option<usize>, R)>,
    plan: &Plan,
    styles: &'s Styles,
    mark: impl Fn(&R, &'static str) -> Option<&'s Format>,
) -> Result<Written, ReportError> {
    heads(sheet, HEAD, columns, true, styles)?;
    let mut written = Written::new(HEAD);
    let mut cut = None;
    for (last, (circuit, row)) in (HEAD + 1..).zip(rows) {
        if last + 3 >= most {
            cut = columns.first().map(|tag| tag.text(&row).into_owned());
            break;
        }
        written.last = last;
        let cells: Vec<CellValue<'_>> = columns.iter().map(|column| column.rounded(&row)).collect();
        let lines = tallest(columns, &cells);
        if lines > 1 {
            sheet.set_row_height(last, height(lines))?;
        }
        for ((at, column), cell_value) in (0u16..).zip(columns).zip(cells) {
            if let (0, CellValue::Text(tag)) = (at, &cell_value) {
                plan.tag(sheet, last, tag, circuit, &mut written, &styles.link)?;
                continue;
            }
            match mark(&row, column.key) {
                Some(format) => value_with(sheet, last, at, cell_value, format)?,
                None => value(sheet, last, at, cell_value)?,
            }
        }
    }
    finish(sheet, &mut written, columns.len(), 1, styles)?;
    if let Some(tag) = cut {
        let words = format!("A sheet holds no more rows; what is of {tag} and further circuits stands in design.json.");
        sheet.write_string_with_format(written.last + 1, 0, text::cell(&words), &styles.label)?;
        written.below = 1;
    }
    Ok(written)
}

/// Words on a row of a sheet that is no table, in columns of these widths.
pub(super) fn words<'t>(
    sheet: &mut Worksheet,
    row: u32,
    cells: impl IntoIterator<Item = Cow<'t, str>>,
    widths: &[f64],
    first: &Format,
    others: &Format,
) -> Result<(), ReportError> {
    let mut tall = 1;
    for ((at, words), width) in (0u16..).zip(cells).zip(widths) {
        if !words.is_empty() {
            tall = tall.max(lines(&words, *width));
            sheet.write_string_with_format(row, at, text::cell(&words), if at == 0 { first } else { others })?;
        }
    }
    if tall > 1 {
        sheet.set_row_height(row, height(tall))?;
    }
    Ok(())
}
