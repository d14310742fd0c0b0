//! The sender's table, cell for cell at its addresses, with the results to the right of it and findings as notes on the cells
//! that they point at.

use std::collections::BTreeSet;

use rust_xlsxwriter::{Format, Worksheet};

use super::columns::{self, Align, CellValue, Column, Group};
use super::plan::{LINKS, Plan, Schedule, Written};
use super::style::{self, Rows, Styles};
use super::{ReportError, ReportInput, Sheet, blank, table, text};
use crate::design::{Circuit, Design};
use crate::finding::Severity;
use crate::intake::own::{self, Seal};
use crate::intake::{Cell, Content, Grid, SkipReason};
use crate::report::changes::revision;

mod notes;
mod sent;

use sent::{Kind, TALLEST, tag_column};

/// Characters over the width of a printed page of the schedule.
pub(super) const PAGE_CHARACTERS: f64 = 250.0;

struct Writer<'w, 'a> {
    sheet: &'w mut Worksheet,
    input: &'a ReportInput<'a>,
    plan: &'w Plan<'a>,
    schedule: &'w Schedule,
    /// Our own sheets, to whose rows cells lead.
    written: &'w [Written],
    links: std::cell::Cell<usize>,
    /// Formats of the columns of ours whose cells lead there.
    leading: Vec<Option<Format>>,
    styles: &'w Styles,
    ours: Vec<Column<Circuit>>,
    /// Widths of the columns at the left of ours.
    sent_widths: Vec<f64>,
    /// The table was sent as delimited text.
    delimited: bool,
    /// Column of seal and marks, by which `intake::own` knows our results again.
    hidden: u16,
    /// Last row of the legend.
    foot: u32,
}

pub(super) fn write(
    sheet: &mut Worksheet,
    input: &ReportInput,
    plan: &Plan,
    index: usize,
    written: &[Written],
    styles: &Styles,
) -> Result<Written, ReportError> {
    let Some(schedule) = plan.schedules.get(index) else { return Ok(Written::new(0)) };
    let mut ours = columns::schedule_of(input.design);
    table::fit_single(&mut ours, &input.design.circuits, table::WIDEST);
    let hidden = schedule.first_of_ours.saturating_add(u16::try_from(ours.len()).unwrap_or(u16::MAX));
    let leading = ours
        .iter()
        .map(|column| leads_to(column.key).map(|_| style::leading(style::column(column.align(), column.decimals, Rows::Single))))
        .collect();
    let delimited = schedule.grid.and_then(|grid| input.grids.get(grid)).is_some_and(|grid| grid.sheet.is_none());
    let mut writer = Writer {
        sheet,
        input,
        plan,
        schedule,
        written,
        links: std::cell::Cell::new(0),
        leading,
        styles,
        ours,
        sent_widths: Vec::new(),
        delimited,
        hidden,
        foot: 0,
    };
    match schedule.grid.and_then(|grid| input.grids.get(grid)) {
        Some(grid) => writer.of_sender(grid),
        None => writer.alone(),
    }?;
    let last = schedule.circuits.keys().next_back().copied().unwrap_or(schedule.head).max(schedule.head);
    let below = writer.foot.saturating_sub(last);
    Ok(Written { last, below, right: hidden.saturating_sub(1), ..Written::new(schedule.head) })
}

impl<'a> Writer<'_, 'a> {
    /// Without a table of the sender: tag, description and board first, then ours.
    fn alone(&mut self) -> Result<(), ReportError> {
        let title = self.input.basis.project.name.as_deref().unwrap_or("Motor circuits");
        table::title(
            self.sheet,
            self.input,
            &text::cell(title),
            "Results of each circuit. A filled cell bears a note with its finding.",
            self.styles,
        )?;
        let mut identity = columns::identity(self.input.units());
        table::fit_single(&mut identity, &self.input.design.circuits, table::WIDEST);
        for (at, column) in (0u16..).zip(&identity) {
            self.sent_widths.push(column.width);
            self.sheet.set_column_width(at, column.width)?;
            self.sheet.set_column_format(at, &style::column(column.align(), column.decimals, Rows::Single))?;
        }
        self.set_columns_of_ours()?;
        let head = self.schedule.head;
        for (at, column) in (0u16..).zip(&identity) {
            let format = if column.align() == Align::Right { &self.styles.head_right } else { &self.styles.head };
            self.sheet.write_string_with_format(head, at, column.head(), format)?;
        }
        self.heads_of_ours(head, 1)?;
        let mut last = head;
        for (row, index) in &self.schedule.circuits {
            last = *row;
            if let Some(circuit) = self.input.design.circuits.get(*index) {
                for (at, column) in (0u16..).zip(&identity) {
                    table::value(self.sheet, *row, at, column.rounded(circuit))?;
                }
                self.cells_of_ours(*row, *index, circuit)?;
            }
        }
        self.finish(last, 1)
    }

    fn of_sender(&mut self, grid: &Grid) -> Result<(), ReportError> {
        let results = !self.schedule.circuits.is_empty();
        self.set_sent_widths(grid)?;
        if results {
            self.set_columns_of_ours()?;
        }
        self.keep_look(grid)?;
        let sections = self.sections(grid);
        let mut last = 0;
        for (row, cells) in (0u32..).zip(grid.rows.iter()) {
            last = row;
            if grid.hidden_rows.contains(&row) {
                self.sheet.set_row_hidden(row)?;
            }
            let kind = match grid.header_row {
                Some(head) if row == head => Kind::Head,
                Some(head) if row > head && sections.contains(&row) => Kind::Section,
                Some(head) if row > head => Kind::Table,
                _ => Kind::Above,
            };
            let mut tall = 1;
            for (at, cell) in (0u16..).zip(cells.iter()) {
                tall = tall.max(self.sent_cell(row, at, &cell, kind)?);
            }
            // A finding may point at a cell that the row does not reach.
            let reach = u16::try_from(cells.len()).unwrap_or(u16::MAX);
            for at in reach..self.schedule.first_of_ours {
                if self.schedule.findings.contains_key(&(row, at)) || grid.comments.contains_key(&(row, u32::from(at))) {
                    self.sent_cell(row, at, &Cell::default(), kind)?;
                }
            }
            if tall > 1 {
                self.sheet.set_row_height(row, table::height(tall.min(TALLEST)))?;
            }
            if results && kind == Kind::Head {
                self.heads_of_ours(row, tall)?;
            }
            if let Some((index, circuit)) = self.circuit(row) {
                self.cells_of_ours(row, index, circuit)?;
            }
        }
        if results {
            self.finish(last, tag_column(grid, self.input.mappings))?;
            self.choices(grid, last)?;
        }
        Ok(())
    }

    /// Rows between loads that head a section of them.
    fn sections(&self, grid: &Grid) -> BTreeSet<u32> {
        let skipped =
            self.input.skipped.iter().filter(|skipped| skipped.sheet == grid.sheet && skipped.reason == SkipReason::Section);
        skipped.filter_map(|skipped| skipped.row.checked_sub(1)).collect()
    }

    /// Lists of words on columns that have fixed ones. Only a warning: other spellings are read too.
    fn choices(&mut self, grid: &Grid, last: u32) -> Result<(), ReportError> {
        let head = self.schedule.head;
        let mut done = BTreeSet::new();
        for mapping in self.input.mappings.iter().filter(|mapping| mapping.sheet == grid.sheet) {
            let column = u16::try_from(mapping.column).ok().filter(|column| *column < self.schedule.first_of_ours);
            let (Some(column), Some(field), true) = (column, mapping.field, last > head) else { continue };
            let list = blank::choices(field.spec())?;
            if let Some(list) = list.filter(|_| done.insert(column)) {
                self.sheet.add_data_validation(head + 1, column, last, column, &list)?;
            }
        }
        Ok(())
    }

    fn set_columns_of_ours(&mut self) -> Result<(), ReportError> {
        let mut start = self.schedule.first_of_ours;
        for group in self.ours.chunk_by(|a, b| a.group == b.group) {
            for (at, column) in (start..).zip(group) {
                self.sheet.set_column_width(at, column.width)?;
                self.sheet.set_column_format(at, &style::column(column.align(), column.decimals, Rows::Single))?;
            }
            let next = start + u16::try_from(group.len()).unwrap_or(0);
            // The result stays in sight; the other groups fold to their first column.
            if group[0].group != Group::Result && group.len() > 1 {
                self.sheet.group_columns(start + 1, next - 1)?;
            }
            start = next;
        }
        self.sheet.set_column_hidden(self.hidden)?;
        Ok(())
    }

    /// Heads of ours: group on the first line of each group's first column, then heading and unit.
    fn heads_of_ours(&mut self, row: u32, lines: usize) -> Result<(), ReportError> {
        let mut before = None;
        let ours = self.ours.iter().map(|column| {
            let opens = before.replace(column.group) != Some(column.group);
            table::lines(&column.head(), column.width - 2.0) + usize::from(opens)
        });
        let ours = ours.max().unwrap_or(1);
        self.sheet.set_row_height(row, table::height(lines.max(ours)) + 4)?;
        let mut before = None;
        for (at, column) in (self.schedule.first_of_ours..).zip(&self.ours) {
            let opens = before != Some(column.group);
            before = Some(column.group);
            let format = match (opens, column.align(), at == self.schedule.first_of_ours) {
                (_, _, true) => &self.styles.head_first,
                (true, Align::Left, _) => &self.styles.head_edge,
                (true, Align::Right, _) => &self.styles.head_edge_right,
                (false, Align::Left, _) => &self.styles.head,
                (false, Align::Right, _) => &self.styles.head_right,
            };
            if opens {
                let group = format!("{}\n", column.group.words(column.units));
                let parts = [(&self.styles.head_group, group.as_str()), (&self.styles.head_words, &column.head())];
                self.sheet.write_rich_string_with_format(row, at, &parts, format)?;
            } else {
                self.sheet.write_string_with_format(row, at, column.head(), format)?;
            }
        }
        self.sheet.write_string(row, self.hidden, self.seal().text())?;
        Ok(())
    }

    fn seal(&self) -> Seal {
        let mut before = None;
        let heads: Vec<String> = self
            .ours
            .iter()
            .map(|column| {
                let opens = before.replace(column.group) != Some(column.group);
                let group = if opens { format!("{}\n", column.group.words(column.units)) } else { String::new() };
                group + &column.head()
            })
            .collect();
        let grid = self.schedule.grid.and_then(|grid| self.input.grids.get(grid));
        Seal::new(&heads, self.plan.names(), grid.is_some_and(|grid| grid.delimited))
    }

    fn cells_of_ours(&mut self, row: u32, index: usize, circuit: &Circuit) -> Result<(), ReportError> {
        let first = self.schedule.first_of_ours;
        let mut written = Vec::with_capacity(self.ours.len());
        for (at, column) in (first..).zip(&self.ours) {
            let value = column.rounded(circuit);
            written.push(match &value {
                CellValue::Text(words) => Content::Text(text::cell(words).into()),
                CellValue::Number(number) if number.is_finite() => Content::Number(*number),
                CellValue::Number(_) | CellValue::Empty => Content::Empty,
            });
            if at == first {
                let format =
                    columns::state_mark(circuit).map_or(&self.styles.state_good, |severity| self.styles.state.get(severity));
                table::value_with(self.sheet, row, at, value, format)?;
            } else {
                let link = self.lead(column.key, index).filter(|_| value != CellValue::Empty);
                match (link, self.leading.get(usize::from(at - first)).and_then(Option::as_ref)) {
                    (Some(link), Some(format)) => {
                        // The value is written over the words of the link.
                        self.links.set(self.links.get() + 1);
                        self.sheet.write_url_with_options(row, at, link.as_str(), " ", "", Some(format))?;
                        table::value_with(self.sheet, row, at, value, format)?;
                    }
                    _ => table::value(self.sheet, row, at, value)?,
                }
            }
        }
        self.sheet.write_string(row, self.hidden, own::results_mark(written.iter()))?;
        self.note(row, first)
    }

    fn circuit(&self, row: u32) -> Option<(usize, &'a Circuit)> {
        let index = *self.schedule.circuits.get(&row)?;
        Some((index, self.input.design.circuits.get(index)?))
    }

    /// Link to the circuit's rows on the sheet of a result's subject.
    fn lead(&self, key: &str, index: usize) -> Option<String> {
        let sheet = leads_to(key).filter(|_| self.links.get() < LINKS)?;
        let start = *self.written.get(sheet as usize)?.starts.get(&index)?;
        Some(text::link(self.plan.name(sheet), start, 0))
    }

    fn finish(&mut self, last: u32, frozen: u16) -> Result<(), ReportError> {
        let head = self.schedule.head;
        let first = self.schedule.first_of_ours;
        let right = first + u16::try_from(self.ours.len()).unwrap_or(0) - 1;
        self.sheet.set_freeze_panes(head + 1, frozen)?;
        self.sheet.set_repeat_rows(head, head)?;
        self.sheet.set_screen_gridlines(false);
        // As many pages wide as leave the type readable, each with the tag at its left.
        let width = self.sent_widths.iter().sum::<f64>() + self.ours.iter().map(|column| column.width).sum::<f64>();
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // clamped
        self.sheet.set_print_fit_to_pages((width / PAGE_CHARACTERS).ceil().clamp(1.0, 9.0) as u16, 0);
        if frozen > 0 {
            self.sheet.set_repeat_columns(0, frozen - 1)?;
        }
        if last > head {
            // With the hidden column, so that marks move with their rows when somebody sorts.
            self.sheet.autofilter(head, 0, last, right + 1)?;
            if first > 0 {
                table::rule(self.sheet, head + 1, last, 0, first - 1, &self.styles.hair)?;
            }
            self.rule_ours(head + 1, last)?;
        }
        self.legend(last + 2, frozen)
    }

    fn rule_ours(&mut self, top: u32, last: u32) -> Result<(), ReportError> {
        let mut start = self.schedule.first_of_ours;
        for group in self.ours.chunk_by(|a, b| a.group == b.group) {
            let next = start + u16::try_from(group.len()).unwrap_or(0);
            table::rule(self.sheet, top, last, start, start, &self.styles.hair_edge)?;
            if next - 1 > start {
                table::rule(self.sheet, top, last, start + 1, next - 1, &self.styles.hair)?;
            }
            start = next;
        }
        Ok(())
    }

    /// Under the table, so that the sender's cells keep their addresses; to the right of the columns that print on every page, in
    /// lines that no page is too narrow for, so that a further page does not repeat the half of it.
    fn legend(&mut self, top: u32, left: u16) -> Result<(), ReportError> {
        let kinds = [
            (Severity::Error, "the row is not sized"),
            (Severity::Warning, "somebody must decide"),
            (Severity::Note, "an assumption that was made"),
        ];
        let mut row = top;
        for (severity, meaning) in kinds {
            self.sheet.write_string_with_format(row, left, severity.word(), self.styles.flagged.get(severity))?;
            self.sheet.write_string_with_format(row, left + 1, meaning, &self.styles.small)?;
            self.sheet.write_string(row, self.hidden, own::legend_mark(&[severity.word(), meaning]))?;
            row += 1;
        }
        self.foot = row;
        if self.schedule.grid.is_none() {
            return Ok(());
        }
        for line in LEGEND.into_iter().map(str::to_owned).chain(revision_lines(self.input.design)) {
            let line = text::cell(&line);
            self.sheet.write_string_with_format(row, left, line.as_ref(), &self.styles.small)?;
            self.sheet.write_string(row, self.hidden, own::legend_mark(&[line.as_ref()]))?;
            row += 1;
        }
        if self.input.design.catalogue.demonstration {
            self.sheet.write_string_with_format(row, left, super::DEMONSTRATION, &self.styles.band)?;
            self.sheet.write_string(row, self.hidden, own::legend_mark(&[super::DEMONSTRATION]))?;
        }
        self.foot = row;
        Ok(())
    }
}

/// The sheet to which the cells of a result lead.
fn leads_to(key: &str) -> Option<Sheet> {
    match key {
        "findings" => Some(Sheet::Findings),
        "full_load_a" => Some(Sheet::Audit),
        "contactors" => Some(Sheet::Starters),
        "overload_setting_a" => Some(Sheet::Settings),
        "cable_size" => Some(Sheet::Cables),
        "checks_failed" => Some(Sheet::Checks),
        _ => None,
    }
}

/// The meaning of the sheet's marks, in short lines.
const LEGEND: [&str; 5] = [
    "Left of the heavy line: the schedule as sent. A sign in front of a value is a number format;",
    "the value is unchanged. Right of the line: results.",
    "A filled cell bears a note.",
    "An underlined value leads to the circuit's rows on the sheet of its subject;",
    "a tag there leads back.",
];

/// The meaning of the marks of the present revision, and the rows that it removed, which stand in no row of the table any more.
fn revision_lines(design: &Design) -> Vec<String> {
    if !revision::is_marked(design) {
        return Vec::new();
    }
    let (letter, removed) = revision::removed(design);
    let sign = revision::sign(letter);
    let told = |what: &[&str]| what.iter().filter(|what| !what.is_empty()).copied().collect::<Vec<_>>().join(", ");
    let gone = removed.iter().map(|removed_row| {
        format!("{sign} removed: {}", told(&[&removed_row.tag, &removed_row.description, &removed_row.board]))
    });
    std::iter::once(format!("{sign} marks what the present revision changed.")).chain(gone).collect()
}
