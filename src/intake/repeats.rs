//! Cells that stand for another one above them: blank parts of a merged cell, and ditto marks. Struck-out text is left out here too.

use std::borrow::Cow;

use super::mapping::Column;
use super::table::Table;
use super::{Cell, Struck, text};
use crate::finding::codes;
use crate::load::{Field, Load};

impl<'a> Table<'a> {
    /// The cell, or the one above it that it repeats.
    pub(super) fn effective(
        &mut self,
        number: usize,
        cell: Cow<'a, Cell>,
        column: &Column,
        load: &mut Load,
    ) -> Option<Cow<'a, Cell>> {
        let seen = text::of(&cell.content).into_owned();
        if cell.struck != Struck::No {
            let what = format!("struck-out text was left out of {}", column.spec.name);
            self.cell_finding(
                load,
                &codes::I413_STRUCK_TEXT,
                column.index,
                &seen,
                what,
                "take the struck-out text out of the schedule",
            );
            if cell.struck == Struck::Whole {
                return None;
            }
        }
        if is_count(column) {
            self.check_merged_count(number, column, &seen, load);
        }
        if text::is_blank(&cell.content) {
            if let Some((top, _)) = self.merged_area(number, column.index).filter(|(top, _)| *top < number) {
                let above = self.sheet.grid.rows.cell(top, column.index).unwrap_or_default();
                if !text::is_blank(&above.content) {
                    let seen = text::of(&above.content).into_owned();
                    let what = format!("{} is taken from the merged cell that begins in row {}", column.spec.name, top + 1);
                    if !is_count(column) {
                        self.cell_finding(load, &codes::I406_MERGED_VALUE, column.index, &seen, what, "");
                    }
                    return Some(above);
                }
            }
            return Some(cell);
        }
        if !is_ditto(&seen) {
            return Some(cell);
        }
        if column.spec.field == Field::Tag {
            let what = "a ditto mark gives no tag";
            self.cell_finding(load, &codes::I112_TAG_MISSING, column.index, &seen, what, "enter the tag of the equipment");
            return None;
        }
        let above = self.above(number, column.index);
        match above {
            Some(cell) => {
                let what =
                    format!("{} repeats the value above, `{}`", column.spec.name, text::shortened(&text::of(&cell.content)));
                self.cell_finding(load, &codes::I407_DITTO, column.index, &seen, what, "");
                Some(cell)
            }
            None => {
                let what = format!("{} repeats the value above, but there is none", column.spec.name);
                self.cell_finding(load, &codes::I101_NUMBER, column.index, &seen, what, "enter the value");
                None
            }
        }
    }

    /// First and last row of the merged cell of a column that a row stands in, if it begins below the headings.
    fn merged_area(&self, number: usize, column: usize) -> Option<(usize, usize)> {
        let areas = self.merged.get(&column)?;
        let at = areas.partition_point(|(top, _)| *top <= number).checked_sub(1)?;
        areas.get(at).filter(|(top, bottom)| number <= *bottom && *top >= self.layout.first).copied()
    }

    /// `2` over two pumps is rather their number together than that of each.
    fn check_merged_count(&mut self, number: usize, column: &Column, seen: &str, load: &mut Load) {
        let Some((top, bottom)) = self.merged_area(number, column.index) else { return };
        if self.sheet.grid.rows.cell(top, column.index).is_none_or(|cell| text::is_blank(&cell.content)) {
            return;
        }
        let what = format!(
            "{} is merged over rows {} to {}, and each of them was taken to stand for that many machines",
            column.spec.name,
            top + 1,
            bottom + 1
        );
        let cure = "take the cells apart and enter the number of each row";
        self.cell_finding(load, &codes::I443_COUNT_MERGED, column.index, seen, what, cure);
    }

    /// The next cell of a load above that is no ditto mark itself. Rows are read from top to bottom, so what a mark repeated is
    /// remembered: the search for the next one ends there.
    fn above(&mut self, number: usize, column: usize) -> Option<Cow<'a, Cell>> {
        let rows = &self.sheet.grid.rows;
        let before = self.load_rows.partition_point(|row| (*row as usize) < number);
        let remembered = self.repeated_before.get(&column).copied();
        let search = || {
            for row in self.load_rows[..before].iter().rev().map(|row| *row as usize) {
                if let Some((_, source)) = remembered.filter(|(mark, _)| *mark == row) {
                    return Some(source);
                }
                if rows.cell(row, column).is_some_and(|cell| !is_ditto(&text::of(&cell.content))) {
                    return Some(row);
                }
            }
            None
        };
        let source = search()?;
        self.repeated_before.insert(column, (number, source));
        rows.cell(source, column)
    }
}

pub(super) fn is_ditto(seen: &str) -> bool {
    let seen = seen.trim();
    // None of them begins with a digit or a sign or is longer than the longest here, as most cells are.
    !seen.starts_with(|first: char| first.is_ascii_digit() || matches!(first, '-' | '+'))
        && seen.len() <= "ditto".len()
        && ["\"", "''", "do.", "do", "dto.", "dto", "idem", "id.", "ditto", "″", "〃", "”", "“", ",,", "´´"]
            .iter()
            .any(|mark| seen.eq_ignore_ascii_case(mark))
}

/// Whether a sender's own column counts machines.
fn is_count(column: &Column) -> bool {
    matches!(column.spec.field, Field::Quantity | Field::DutyCount | Field::StandbyCount) && !column.canonical
}
