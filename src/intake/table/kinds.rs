//! Tells loads from other rows: sums, notes, subtitles, repeated headings, spare ways, rows that are struck out.

use std::borrow::Cow;
use std::collections::HashSet;
use std::sync::OnceLock;

use super::{Table, index};
use crate::intake::layout::BlockRow;
use crate::intake::mapping::Column;
use crate::intake::numbers::{self, Reading};
use crate::intake::row::is_power;
use crate::intake::skip::{self, Opening, SkipReason};
use crate::intake::units::{Unit, unit_of};
use crate::intake::{Content, Row, cells, fold, headings};
use crate::load::{Field, FieldSpec, Kind, Value};
use crate::threads;

/// Rows below the headings that may go on with them.
const MOST_FURTHER_HEADINGS: usize = 2;

fn has_figure(row: Row<'_>) -> bool {
    (0..row.len()).any(|column| row.seen(column).bytes().any(|byte| byte.is_ascii_digit()))
}

impl Table<'_> {
    /// A spare way has no cable before it is used: there a length of nothing is no mistake.
    pub(in crate::intake) fn is_spare_without_cable(&self, row: u32, spec: &FieldSpec, seen: &str) -> bool {
        let length = matches!(spec.field, Field::CableLengthM | Field::CableLengthFt);
        let nothing = || matches!(numbers::reading(seen), Ok(Reading::One(value, ..)) if value == 0.0);
        length && nothing() && self.says_that_it_is_spare(row)
    }

    fn says_that_it_is_spare(&self, row: u32) -> bool {
        let Some(cells) = self.sheet.grid.rows.get(row as usize) else { return false };
        self.columns.iter().filter(|column| column.spec.field == Field::Running && column.tick.is_none()).any(|column| {
            let cell = cells.get(column.index).unwrap_or_default();
            let says = |given: cells::Given| given.values.contains(&(Field::Running, Value::Choice("spare")));
            cells::read(column.spec, column.unit, &cell).is_ok_and(says)
        })
    }
}

/// The kind that a row turned out to be.
#[derive(Clone, Copy)]
pub(super) enum RowKind {
    /// A load; whether its name says that it is a spare way.
    Load(bool),
    Skip(SkipReason),
    /// One text: a section if loads follow, else a note.
    Line,
    Outside,
}

impl<'a> Table<'a> {
    /// The kind of every row that is not empty.
    pub(super) fn kinds(&self) -> impl Iterator<Item = (u32, RowKind)> + use<'a> {
        let grid = &self.sheet.grid;
        let signature = |row: usize| grid.rows.get(row).map(skip::signature).unwrap_or_default();
        let block: Vec<(String, BlockRow)> = self.layout.block.iter().map(|(row, kind)| (signature(*row), *kind)).collect();
        let first = self.layout.first;
        let rows = self.layout.end.min(grid.rows.len()).saturating_sub(first);
        // Names of boards, asked for where a row holds nothing but what may be a tag.
        let boards: OnceLock<HashSet<String>> = OnceLock::new();
        let is_board = |text: &str| boards.get_or_init(|| self.boards()).contains(text);
        let kind = |number: usize| {
            let row = grid.rows.get(number)?;
            (!self.is_empty(number, row)).then(|| (index(number), self.kind(number, row, &block, &is_board)))
        };
        let kinds = threads::each(threads::of(rows, threads::worth(rows)), |run| {
            (first + run.start..first + run.end).filter_map(kind).collect::<Vec<_>>()
        });
        kinds.into_iter().flatten()
    }

    /// Whether a row holds nothing, and no formula that has still to be worked out.
    fn is_empty(&self, number: usize, row: Row<'_>) -> bool {
        let uncomputed = &self.sheet.uncomputed;
        let computed = uncomputed.is_empty() || uncomputed.range((index(number), 0)..=(index(number), u32::MAX)).next().is_none();
        computed && (0..row.len()).all(|column| row.is_blank(column))
    }

    fn kind(&self, number: usize, row: Row<'_>, block: &[(String, BlockRow)], is_board: &dyn Fn(&str) -> bool) -> RowKind {
        let (tag, description) = (self.seen(row, Field::Tag), self.seen(row, Field::Description));
        let data = self.has_load_data(row);
        let width = self.layout.headings.len();
        // How many cells are filled decides of rows without a numbered tag or without a power; of others it is not counted.
        let plain = data && tag.bytes().any(|byte| byte.is_ascii_digit());
        let count = || (0..row.len().min(width)).filter(|column| !row.is_blank(*column)).count();
        let inside = if plain { width } else { count() };
        let uncomputed = !self.sheet.uncomputed.is_empty()
            && self.sheet.uncomputed.range((index(number), 0)..(index(number), index(width))).next().is_some();
        if inside == 0 && !uncomputed {
            return if self.source.sheet.is_some() { RowKind::Outside } else { RowKind::Load(false) };
        }
        if self.continues_headings(number, row, &tag, data) {
            return RowKind::Skip(SkipReason::Header);
        }
        if inside >= 2 && skip::is_rule(row) {
            return RowKind::Skip(SkipReason::Footnote);
        }
        if !data && skip::is_sign_off(&tag) && !self.states_figures(row) {
            return RowKind::Skip(SkipReason::Footnote);
        }
        if skip::is_struck(row) {
            return RowKind::Skip(SkipReason::Deleted);
        }
        if inside >= 2 && (tag.is_empty() || !tag.bytes().any(|byte| byte.is_ascii_digit())) {
            let signature = skip::signature(row);
            if let Some((_, kind)) = block.iter().find(|(known, _)| *known == signature) {
                return RowKind::Skip(match kind {
                    BlockRow::Header => SkipReason::RepeatedHeader,
                    BlockRow::Units => SkipReason::Units,
                    BlockRow::Letters => SkipReason::ColumnLetters,
                });
            }
        }
        if !data && inside <= 4 {
            let texts = skip::filled(row);
            if texts.iter().any(|(_, text)| skip::is_page_mark(text)) || self.titles.contains(&skip::signature(row)) {
                return RowKind::Skip(SkipReason::PageMark);
            }
        }
        let (by_tag, by_name) = (Opening::of(&tag), Opening::of(&description));
        // A load whose name only begins with such a word is read, and asked about.
        let gone = by_name.deleted && (!data || skip::is_set_off_as_deleted(&description));
        if by_tag.deleted || gone || skip::ends_deleted(&tag) {
            return RowKind::Skip(SkipReason::Deleted);
        }
        let own_tag = skip::begins_like_a_tag(&tag);
        // `Transporte 4` with a starting method is a conveyor, `Connected load bank` with a cable a load: a sum has neither.
        let of_circuits = [Field::StartingMethod, Field::LoadKind, Field::CableLengthM];
        let started = || data && of_circuits.iter().any(|field| !self.seen(row, *field).is_empty());
        let largest = || !own_tag && (skip::names_largest(&tag) || (tag.is_empty() && skip::names_largest(&description)));
        let sum = || (!own_tag && skip::says_total(&tag)) || skip::ends_with_total(&tag);
        // A row without a tag is a sum by any of its words, but an untagged `Total organic carbon pump` is a load that lacks its tag.
        let untagged =
            || tag.is_empty() && skip::filled(row).iter().any(|(_, text)| skip::says_total(text) && !skip::names_a_load(text));
        let share = || !started() && (skip::is_share_of(&tag) || (tag.is_empty() && skip::is_share_of(&description)));
        if largest() || share() || (!started() && (sum() || untagged())) {
            return RowKind::Skip(SkipReason::Subtotal);
        }
        let empty_way = |opening: Opening| opening.vacant || opening.spare();
        if !data && !own_tag && (empty_way(by_tag) || (empty_way(by_name) && (tag.is_empty() || by_name.vacant))) {
            return RowKind::Skip(SkipReason::Vacant);
        }
        if !data && own_tag && self.is_free_way(row, &description, by_name) {
            return RowKind::Skip(SkipReason::Vacant);
        }
        if self.is_line(row, inside, data, is_board) {
            return RowKind::Line;
        }
        RowKind::Load(!self.plain && ((tag.is_empty() && by_name.spare()) || (by_tag.spare() && !own_tag)))
    }

    /// Whether a row right below the headings goes on with them: several texts without a figure, none of which is a tag or a power.
    fn continues_headings(&self, number: usize, row: Row<'_>, tag: &str, data: bool) -> bool {
        if self.plain || number >= self.layout.first + MOST_FURTHER_HEADINGS || !tag.is_empty() {
            return false;
        }
        let above = (self.layout.first..number).filter_map(|above| self.sheet.grid.rows.get(above));
        if above.into_iter().any(|above| has_figure(above)) || has_figure(row) {
            return false;
        }
        let texts = skip::filled(row);
        let words = texts.iter().filter(|(_, text)| text.chars().any(char::is_alphabetic)).count();
        let heads = texts.iter().any(|(_, text)| {
            let bare = text.trim_matches(['(', ')', '[', ']']);
            headings::recognise(bare).is_some() || bare.split_whitespace().any(|word| unit_of(word).is_some_and(Unit::is_measure))
        });
        // A power that is a text may be one that is still open.
        words >= 2 && heads && (!data || texts.iter().all(|(_, text)| !cells::is_open(text)))
    }

    /// Whether a row with the number of a way states no load: its description is that of a free way, and no figure and no starter stand
    /// in it.
    fn is_free_way(&self, row: Row<'_>, description: &str, name: Opening) -> bool {
        let alone = name.vacant || name.spare() && fold::words(description).len() == 1;
        alone && !self.plain && !self.states_figures(row) && self.seen(row, Field::StartingMethod).is_empty()
    }

    /// Whether a column of figures is filled.
    fn states_figures(&self, row: Row<'_>) -> bool {
        let measured = |column: &&Column| matches!(column.spec.kind, Kind::Number(..) | Kind::Count(..)) && column.tick.is_none();
        self.columns.iter().filter(measured).any(|column| !row.is_blank(column.index))
    }

    /// A row of one text, which is no load.
    fn is_line(&self, row: Row<'_>, inside: usize, data: bool, is_board: &dyn Fn(&str) -> bool) -> bool {
        if inside > 2 || data {
            return false;
        }
        let texts = skip::filled(row);
        let Some((column, text)) = texts.first() else { return false };
        if texts.len() == 2 {
            let note = skip::begins_footnotes(text) || skip::is_numbered(&format!("{text}."));
            return note && !self.plain && texts[1].1.len() > 20;
        }
        if texts.len() != 1 {
            return false;
        }
        let tag_column = self.columns.iter().any(|found| found.spec.field == Field::Tag && found.index == *column);
        let tag_like =
            tag_column && !text.contains(' ') && text.chars().any(|letter| letter.is_ascii_digit()) && text.len() <= 24;
        let other =
            self.columns.iter().any(|found| found.index == *column && !matches!(found.spec.kind, Kind::Text | Kind::Tags));
        if other || !row.get(*column).is_some_and(|cell| matches!(cell.content, Content::Text(_))) {
            return false;
        }
        !tag_like || is_board(text)
    }

    /// Texts of the columns of boards.
    fn boards(&self) -> HashSet<String> {
        let columns: Vec<usize> =
            self.columns.iter().filter(|column| column.spec.field == Field::Board).map(|column| column.index).collect();
        self.body().flat_map(|row| columns.iter().map(move |column| row.seen(*column).trim().to_owned())).collect()
    }

    /// Text of a row that is a line.
    pub(super) fn line(&self, number: usize) -> String {
        let texts = skip::filled(self.sheet.grid.rows.get(number).unwrap_or_default());
        texts.into_iter().map(|(_, text)| text).collect::<Vec<_>>().join(" ")
    }

    /// Text of the first filled column of a field.
    pub(super) fn seen<'c>(&self, row: Row<'c>, field: Field) -> Cow<'c, str> {
        let of = |column: &&Column| column.spec.field == field && column.tick.is_none();
        let filled = self.columns.iter().filter(of).find(|column| !row.is_blank(column.index));
        filled.map(|column| fold::tidy_of(row.seen(column.index))).unwrap_or_default()
    }

    /// Whether a row holds what a load has: a power or a current.
    fn has_load_data(&self, row: Row<'_>) -> bool {
        let data = |field: Field| is_power(field) || field == Field::MaximumProtectionA;
        let mut columns = self.columns.iter().filter(|column| data(column.spec.field));
        columns.any(|column| !row.is_blank(column.index) && !cells::is_nothing(&row.seen(column.index)))
    }
}
