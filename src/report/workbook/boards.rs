//! The sheets of the boards: one row a board with all its figures; and the largest start of each board behind each feed, with what
//! happens when a feed comes back.

use rust_xlsxwriter::Worksheet;

use super::columns::{self, Column, Group};
use super::plan::{Plan, Written};
use super::style::Styles;
use super::table::{self, HEAD};
use super::{ReportError, ReportInput, text};
use crate::design::Board;

/// Share of the full size at which it is printed, per cent, and the characters that a page then has beside the names.
const PRINTED: u16 = 64;
const PAGE_CHARACTERS: f64 = 232.0;

pub(super) fn boards(sheet: &mut Worksheet, input: &ReportInput, styles: &Styles) -> Result<Written, ReportError> {
    table::title(sheet, input, "Boards", "One row a board. Checks and cables of feeders stand on those sheets.", styles)?;
    let mut boards = columns::boards_of(input.design);
    table::fit(&mut boards, &input.design.boards, table::WIDEST);
    table::heads(sheet, HEAD, &boards, true, styles)?;
    let mut written = Written::new(HEAD);
    for (row, board) in (HEAD + 1..).zip(&input.design.boards) {
        written.last = row;
        let cells: Vec<_> = boards.iter().map(|column| column.rounded(board)).collect();
        let lines = table::tallest(&boards, &cells);
        if lines > 1 {
            sheet.set_row_height(row, table::height(lines))?;
        }
        for (at, cell) in (0u16..).zip(cells) {
            if at == 0 {
                table::value_with(sheet, row, at, cell, &styles.label)?;
            } else {
                table::value(sheet, row, at, cell)?;
            }
        }
    }
    table::finish(sheet, &mut written, boards.len(), 1, styles)?;
    sheet.set_repeat_columns(0, 0)?.set_print_scale(PRINTED).set_vertical_page_breaks(&page_breaks(&boards))?;
    Ok(written)
}

/// Columns before which a page ends: groups are not torn apart.
fn page_breaks(columns: &[Column<Board>]) -> Vec<u32> {
    let mut groups: Vec<(u32, Group, f64)> = Vec::new();
    for (at, column) in (0u32..).zip(columns) {
        match groups.last_mut().filter(|(_, group, _)| *group == column.group) {
            Some((.., width)) => *width += column.width,
            None => groups.push((at, column.group, column.width)),
        }
    }
    let mut breaks = Vec::new();
    let mut filled = 0.0;
    for (first, _, width) in groups {
        if filled > 0.0 && filled + width > PAGE_CHARACTERS {
            breaks.push(first);
            filled = 0.0;
        }
        filled += width;
    }
    breaks
}

/// Characters of a line under the table.
const LINE: usize = 100;

pub(super) fn dips(sheet: &mut Worksheet, input: &ReportInput, plan: &Plan, styles: &Styles) -> Result<Written, ReportError> {
    let subtitle = "The largest start of each board, behind each feed, per cent of the nominal voltage.";
    table::title(sheet, input, "Starting dips", subtitle, styles)?;
    let rows: Vec<_> = columns::dip_rows(input.design).collect();
    let mut dips = columns::dips(input.units());
    table::fit(&mut dips, &rows, table::WIDEST);
    let mut written = table::write(sheet, &dips, rows.into_iter().map(|row| (None, row)), plan, styles, |_, _| None)?;
    let mut row = written.last + 2;
    written.beside = 2;
    for restart in input.design.restarts.iter().filter(|restart| !restart.groups.is_empty()) {
        let title = format!("When {} comes back: {}", restart.feed, columns::restart_words(restart));
        sheet.write_string_with_format(row, 0, text::cell(&title), &styles.section)?;
        for (number, group) in (1..).zip(&restart.groups) {
            let [names, dip] = columns::restart_group_words(group);
            row += 1;
            sheet.write_string_with_format(row, 0, format!("group {number}"), &styles.label)?;
            sheet.write_string_with_format(row, 1, text::cell(&format!("dip {dip}")), &styles.sent)?;
            for (index, line) in in_lines(&names).into_iter().enumerate() {
                row += u32::from(index > 0);
                sheet.write_string_with_format(row, 2, text::cell(&line), &styles.sent)?;
            }
        }
        written.below = row - written.last;
        row += 2;
    }
    Ok(written)
}

/// Names in lines that a page holds, broken between names.
fn in_lines(names: &str) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for name in names.split(", ") {
        match lines.last_mut().filter(|line| line.chars().count() + name.chars().count() + 2 <= LINE) {
            Some(line) => {
                line.push_str(", ");
                line.push_str(name);
            }
            None => lines.push(name.to_owned()),
        }
    }
    lines
}
