//! Cells of the sender: kept as they were sent, at their addresses, with widths, looks and marks of findings.

use std::borrow::Cow;

use rust_xlsxwriter::Format;

use super::super::style::{self, Styles, sign};
use super::super::{ReportError, table, text};
use super::Writer;
use crate::finding::Severity;
use crate::intake::{Cell, Content, Grid, Mapping, Struck};
use crate::load::Field;

/// Longest words that widen a column of the sender; longer ones wrap, over at most so many lines.
const LONGEST_SENT: usize = 44;
pub(super) const TALLEST: usize = 8;
/// Rows that are looked at for the widths of columns.
const SAMPLE: usize = 200;

impl Writer<'_, '_> {
    /// Merged areas and hidden columns decide what is read, so they stay. Merging needs a sheet that is kept in memory.
    pub(super) fn keep_look(&mut self, grid: &Grid) -> Result<(), ReportError> {
        for column in grid.hidden_columns.iter().filter_map(|column| u16::try_from(*column).ok()) {
            if column < self.schedule.first_of_ours {
                self.sheet.set_column_hidden(column)?;
            }
        }
        for ((top, left), (bottom, right)) in &grid.merged {
            let (Ok(left), Ok(right)) = (u16::try_from(*left), u16::try_from(*right)) else { continue };
            let single = (*top, left) == (*bottom, right);
            if single || right >= self.schedule.first_of_ours || *top > *bottom || left > right {
                continue;
            }
            // Areas that overlap come from damaged files only; the first of them is kept.
            let _ = self.sheet.merge_range(*top, left, *bottom, right, "", &Format::new());
        }
        Ok(())
    }

    /// The sender's widths where they are known, else what the longest words ask; numbers have room in any case.
    pub(super) fn set_sent_widths(&mut self, grid: &Grid) -> Result<(), ReportError> {
        let first = grid.header_row.unwrap_or(0) as usize;
        for at in 0..self.schedule.first_of_ours {
            let cells = || grid.rows.iter().skip(first).take(SAMPLE).filter_map(|row| row.get(usize::from(at)));
            let longest = cells().map(|cell| characters(&cell)).max().unwrap_or(0).clamp(7, LONGEST_SENT);
            let number = cells().filter(|cell| cell.content.words().is_none()).map(|cell| characters(&cell)).max().unwrap_or(0);
            let room = |characters: usize| f64::from(u32::try_from(characters).unwrap_or(0)) + 2.0;
            let width = match grid.column_widths.get(&u32::from(at)) {
                Some(sent) => sent.max(room(number)),
                None => room(longest),
            };
            self.sent_widths.push(width);
            self.sheet.set_column_width(at, width)?;
            self.sheet.set_column_format(at, &self.styles.sent)?;
        }
        Ok(())
    }

    /// Writes a cell as it was sent; tells how many lines it takes.
    pub(super) fn sent_cell(&mut self, row: u32, at: u16, cell: &Cell, kind: Kind) -> Result<usize, ReportError> {
        let worst = self.worst(row, at);
        let words = text::cell(cell.content.words().unwrap_or_default());
        let width = self.sent_widths.get(usize::from(at)).copied().unwrap_or(LONGEST_SENT as f64);
        let lines = match kind {
            Kind::Table => table::lines(&words, width),
            // Bold letters are wider.
            Kind::Head => table::lines(&words, width * 0.9),
            Kind::Above | Kind::Section => 1,
        };
        // Delimited text has no numbers; what is plainly one becomes one, and is shown as it was written.
        let number = if kind == Kind::Table && self.delimited { plain_number(&words) } else { None };
        let shape = Shape { kind, wraps: lines > 1, decimals: number.map_or(0, |(_, decimals)| decimals) };
        let format = sent_format(self.styles, cell, worst, shape);
        let format = format.as_deref();
        match (&cell.content, format) {
            (Content::Empty, Some(format)) => {
                self.sheet.write_blank(row, at, format)?;
            }
            (Content::Empty, None) => {}
            (Content::Text(_) | Content::Error(_), format) => self.sent_words(row, at, &words, number, format)?,
            (Content::Number(number), _) if !number.is_finite() => {
                self.sheet.write_string(row, at, number.to_string())?;
            }
            (Content::Number(number), Some(format)) => {
                self.sheet.write_number_with_format(row, at, *number, format)?;
            }
            (Content::Number(number), None) => {
                self.sheet.write_number(row, at, *number)?;
            }
            (Content::Boolean(yes), Some(format)) => {
                self.sheet.write_boolean_with_format(row, at, *yes, format)?;
            }
            (Content::Boolean(yes), None) => {
                self.sheet.write_boolean(row, at, *yes)?;
            }
            (Content::Date(date), _) => self.sent_date(row, at, date.serial, &date.text, worst)?,
        }
        self.note(row, at)?;
        Ok(lines)
    }

    fn sent_words(
        &mut self,
        row: u32,
        at: u16,
        words: &str,
        number: Option<(f64, usize)>,
        format: Option<&Format>,
    ) -> Result<(), ReportError> {
        match (number, format) {
            (Some((number, _)), Some(format)) => self.sheet.write_number_with_format(row, at, number, format)?,
            (Some((number, _)), None) => self.sheet.write_number(row, at, number)?,
            (None, Some(format)) => self.sheet.write_string_with_format(row, at, words, format)?,
            (None, None) => self.sheet.write_string(row, at, words)?,
        };
        Ok(())
    }

    fn sent_date(&mut self, row: u32, at: u16, serial: f64, words: &str, worst: Option<Severity>) -> Result<(), ReportError> {
        if !serial.is_finite() {
            self.sheet.write_string(row, at, text::cell(words))?;
            return Ok(());
        }
        let whole = (serial - serial.floor()).abs() < 1e-9;
        let format = match worst {
            Some(severity) => self.styles.flagged_date.get(severity),
            None if serial < 1.0 => &self.styles.sent_time,
            None if whole => &self.styles.sent_date,
            None => &self.styles.sent_moment,
        };
        self.sheet.write_number_with_format(row, at, serial, format)?;
        Ok(())
    }
}

/// The kind of a row of the sender.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    Above,
    Head,
    Section,
    Table,
}

/// How a cell of the sender is laid out.
#[derive(Clone, Copy)]
struct Shape {
    kind: Kind,
    wraps: bool,
    decimals: usize,
}

/// Format of a cell of the sender. What its look says about its meaning is kept, so that it is read alike the next time.
fn sent_format<'s>(styles: &'s Styles, cell: &Cell, worst: Option<Severity>, shape: Shape) -> Option<Cow<'s, Format>> {
    let plain = match shape.kind {
        Kind::Head => Some(&styles.sent_head),
        Kind::Section => Some(&styles.sent_section),
        Kind::Table if shape.wraps => Some(&styles.sent_wrapped),
        Kind::Table | Kind::Above => None,
    };
    let format = worst.map(|severity| styles.flagged.get(severity)).or(plain).map(Cow::Borrowed);
    let wraps = shape.wraps && worst.is_some();
    if !cell.percent && cell.struck != Struck::Whole && shape.decimals == 0 && !wraps {
        return format;
    }
    if let (None, Some(format), Struck::No) = (worst, styles.sent_decimals.get(shape.decimals.wrapping_sub(1)), cell.struck) {
        return Some(Cow::Borrowed(format));
    }
    let mut format = format.map(Cow::into_owned).unwrap_or_default();
    let mark = worst.map(|severity| format!("\"{} \"", sign(severity))).unwrap_or_default();
    if cell.percent {
        format = format.set_num_format(format!("{mark}0.0%"));
    } else if shape.decimals > 0 {
        format = format.set_num_format(format!("{mark}{}", style::decimals(shape.decimals)));
    }
    if wraps {
        format = format.set_text_wrap();
    }
    if cell.struck == Struck::Whole {
        format = format.set_font_strikethrough();
    }
    Some(Cow::Owned(format))
}

/// A number of a delimited text that nobody can read in two ways, and how many decimals it was written with: digits without a
/// leading zero, and a point with decimals that could not be a group of thousands.
fn plain_number(words: &str) -> Option<(f64, usize)> {
    let bare = words.strip_prefix('-').unwrap_or(words);
    let (whole, decimals) = bare.split_once('.').map_or((bare, None), |(whole, decimals)| (whole, Some(decimals)));
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    let leading = whole.len() > 1 && whole.starts_with('0');
    let places = decimals.map_or(0, str::len);
    let plain = digits(whole) && !leading && whole.len() <= 10 && decimals.is_none_or(digits) && places <= 6 && places != 3;
    if !plain || words == "-0" {
        return None;
    }
    words.parse().ok().map(|number| (number, places))
}

/// Columns at the left among which the tag is kept in sight.
const LEFT: u32 = 3;

/// Columns that stay in sight: up to the one that was read as the tag where it stands at the left, else the first.
pub(super) fn tag_column(grid: &Grid, mappings: &[Mapping]) -> u16 {
    let is_tag = |mapping: &&Mapping| mapping.sheet == grid.sheet && mapping.field == Some(Field::Tag) && mapping.column < LEFT;
    let tag = mappings.iter().find(is_tag).map_or(0, |mapping| mapping.column);
    u16::try_from(tag + 1).unwrap_or(1)
}

/// Width of a cell in characters: that of its longest line.
fn characters(cell: &Cell) -> usize {
    match &cell.content {
        Content::Text(_) | Content::Error(_) => {
            let words = cell.content.words().unwrap_or_default();
            words.lines().map(|line| line.chars().take(LONGEST_SENT).count()).max().unwrap_or(0)
        }
        Content::Number(number) => number.to_string().len().min(12),
        Content::Date(..) => 12,
        Content::Boolean(_) => 5,
        Content::Empty => 0,
    }
}
