//! The sheet of the boards: one row a board with all its figures; below it, in words, what has no figure of its own there: starts
//! behind each feed, transformers, and the return of a supply.

use rust_xlsxwriter::Worksheet;

use super::columns::{self, Column, Group};
use super::plan::Written;
use super::style::Styles;
use super::table::{self, HEAD};
use super::{ReportError, ReportInput, text};
use crate::design::Board;

/// Share of the full size at which it is printed, per cent, and the characters that a page then has beside the names.
const PRINTED: u16 = 70;
const PAGE_CHARACTERS: f64 = 160.0;

pub(super) fn boards(sheet: &mut Worksheet, input: &ReportInput, styles: &Styles) -> Result<Written, ReportError> {
    table::title(sheet, input, "Boards", "One row a board. Checks and cables of feeders stand on those sheets.", styles)?;
    let mut own = columns::boards_of(input.design);
    table::fit(&mut own, &input.design.boards, table::WIDEST);
    table::heads(sheet, HEAD, &own, true, styles)?;
    let mut written = Written::new(HEAD);
    for (row, board) in (HEAD + 1..).zip(&input.design.boards) {
        written.last = row;
        let lines = table::tallest(&own, board);
        if lines > 1 {
            sheet.set_row_height(row, table::height(lines))?;
        }
        for (at, column) in (0u16..).zip(&own) {
            if at == 0 {
                table::value_with(sheet, row, at, column.rounded(board), &styles.label)?;
            } else {
                table::value(sheet, row, at, column.rounded(board))?;
            }
        }
    }
    table::finish(sheet, &mut written, own.len(), 1, styles)?;
    sheet.set_repeat_columns(0, 0)?.set_print_scale(PRINTED).set_vertical_page_breaks(&page_breaks(&own))?;
    below(sheet, input, written.last + 2, styles)?;
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

/// Sentences under the table, each with its board or feed.
fn below(sheet: &mut Worksheet, input: &ReportInput, first: u32, styles: &Styles) -> Result<(), ReportError> {
    let design = input.design;
    let mut row = first;
    let mut block = |title: &str, lines: Vec<(&str, String)>| -> Result<(), ReportError> {
        if lines.is_empty() {
            return Ok(());
        }
        sheet.write_string_with_format(row, 0, title, &styles.section)?;
        for (name, words) in lines {
            row += 1;
            sheet.write_string_with_format(row, 0, text::cell(name), &styles.label)?;
            sheet.write_string(row, 1, text::cell(&words))?;
        }
        row += 2;
        Ok(())
    };
    let dips = design.boards.iter().flat_map(|own| own.dips.iter().map(move |dip| (own.name.as_str(), columns::dip_words(dip))));
    block("Largest start of each board, behind each feed", dips.collect())?;
    let transformers = design.boards.iter().filter_map(|own| Some((own.name.as_str(), own.transformer.as_ref()?)));
    let transformers = transformers
        .map(|(name, own)| (name, format!("{}: {}", columns::transformer_name(own), columns::transformer_words(own))));
    block("Transformers, at the first board that each feeds", transformers.collect())?;
    let restarts = design.restarts.iter().flat_map(|own| {
        let groups = (1..).zip(&own.groups).map(|(number, group)| {
            let [names, dip] = columns::restart_group_words(group);
            (own.feed.as_str(), format!("group {number}, dip {dip}: {names}"))
        });
        std::iter::once((own.feed.as_str(), columns::restart_words(own))).chain(groups)
    });
    block("When a supply comes back", restarts.collect())
}
