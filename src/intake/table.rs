//! Walks through one table and hands each load to the reader of rows: its columns (`columns`), what each row is (`kinds`), what is
//! said of rows and cells (`notes`).

use std::collections::{BTreeMap, HashMap, HashSet};
use std::sync::Arc;

use super::cells::Note;
use super::known::Known;
use super::layout::Layout;
use super::mapping::{self, Column, Mapping};
use super::open::Sheet;
use super::rows::{self, skipped};
use super::skip::{self, SkipReason};
use super::{Intake, Row, text};
use crate::finding::{Finding, Place, codes};
use crate::load::{Field, Kind, Load, Source, Text, Value};
use crate::threads;

pub(super) mod columns;
mod decimals;
mod kinds;
mod notes;
mod sums;
mod unread;

use kinds::RowKind;
use sums::Sums;

/// Numbers that go on over all tables.
#[derive(Debug, Default)]
pub(super) struct Counters {
    /// Spare ways by board.
    pub(super) spares: HashMap<String, u32>,
    /// Hashes of all tags.
    pub(super) tags: Vec<u64>,
}

/// One table with its columns known.
pub(super) struct Table<'a> {
    pub(super) sheet: &'a Sheet,
    pub(super) layout: &'a Layout,
    pub(super) grid: usize,
    pub(super) source: Arc<Source>,
    pub(super) plain: bool,
    /// Columns that are read.
    pub(super) columns: Vec<Column>,
    /// Meanings of texts that stood before, by column.
    pub(super) known: Vec<Known>,
    /// Decimal marks that columns prove by their other cells, by position.
    marks: Arc<[Option<char>]>,
    /// Columns that mean the same as an earlier one and differ from it, behind the number of that one.
    pub(super) repeated: Vec<(usize, Column)>,
    /// Columns that are not read and hold the power or current of a second machine.
    pub(super) further_motors: Vec<usize>,
    titles: &'a HashSet<String>,
    /// Commas before three digits part thousands.
    pub(super) commas_part: bool,
    /// Points before three digits part thousands.
    pub(super) points_part: bool,
    /// Subtitle above the row that is read.
    pub(super) section: Option<Text>,
    /// Rows of loads, for ditto marks.
    pub(super) load_rows: Arc<[u32]>,
    /// Merged areas over several rows: first and last row by column.
    pub(super) merged: Arc<HashMap<usize, Vec<(usize, usize)>>>,
    /// Merged areas over several columns of which one that is read is not the first, by each of their rows, ascending.
    wide: Arc<[(usize, Wide)]>,
    /// The last ditto mark of a column, and the row whose value it repeats.
    pub(super) repeated_before: HashMap<usize, (usize, usize)>,
    /// Placeholders by column: how many, and the first one.
    pub(super) placeholders: BTreeMap<usize, (usize, Place)>,
    /// Notes by column and kind: how many, and the first one.
    pub(super) notes: BTreeMap<(usize, Note), (usize, Place)>,
    pub(super) mappings: Vec<Mapping>,
    pub(super) findings: Vec<Finding>,
}

/// First and last column of a merged area.
#[derive(Clone, Copy, Debug)]
struct Wide {
    first: usize,
    last: usize,
}

/// A row and its task.
struct Task {
    row: u32,
    /// Number of the subtitle above it.
    section: u32,
    /// Why it is passed over, if it is.
    skip: Option<SkipReason>,
    /// Its name says that it is a spare way.
    spare: bool,
    /// Its figures are the sums of those above.
    sum: bool,
}

/// The tasks for the rows of a table.
struct Plan {
    tasks: Vec<Task>,
    /// Subtitles, the first of them that from which the table began, if there is one.
    sections: Vec<Option<Text>>,
    /// The subtitle of the next table, if the last line is one.
    next: Option<Text>,
}

impl<'a> Table<'a> {
    pub(super) fn new(
        sheet: &'a Sheet,
        layout: &'a Layout,
        grid: usize,
        titles: &'a HashSet<String>,
        section: Option<Text>,
    ) -> Self {
        let source = Source {
            file: sheet.grid.file.clone(),
            sheet: sheet.grid.sheet.clone(),
            title: rows::title_above(&sheet.grid, layout.start()),
            headings: layout.headings.clone(),
        };
        let mut table = Self {
            sheet,
            layout,
            grid,
            source: Arc::new(source),
            plain: mapping::is_plain(layout),
            columns: Vec::new(),
            known: Vec::new(),
            marks: Arc::default(),
            repeated: Vec::new(),
            further_motors: Vec::new(),
            titles,
            commas_part: false,
            points_part: false,
            section,
            load_rows: Arc::default(),
            merged: Arc::default(),
            wide: Arc::default(),
            repeated_before: HashMap::new(),
            placeholders: BTreeMap::new(),
            notes: BTreeMap::new(),
            mappings: Vec::new(),
            findings: Vec::new(),
        };
        let mut merged: HashMap<usize, Vec<(usize, usize)>> = HashMap::new();
        for ((top, left), (bottom, _)) in sheet.grid.merged.iter().filter(|((top, _), (bottom, _))| bottom > top) {
            merged.entry(*left as usize).or_default().push((*top as usize, *bottom as usize));
        }
        merged.values_mut().for_each(|areas| areas.sort_unstable());
        table.merged = Arc::new(merged);
        table.read_headings();
        table.wide = table.wide_areas();
        table.settle_marks();
        table.known = table.columns.iter().map(|_| Known::default()).collect();
        table
    }

    /// The same table with nothing said yet, for reading some of its rows beside others.
    fn part(&self) -> Self {
        Self {
            // Its own, so that threads don't wait for each other to count its rows.
            source: Arc::new(Source::clone(&self.source)),
            columns: self.columns.clone(),
            known: self.columns.iter().map(|_| Known::default()).collect(),
            marks: Arc::clone(&self.marks),
            repeated: self.repeated.clone(),
            further_motors: self.further_motors.clone(),
            section: None,
            load_rows: Arc::clone(&self.load_rows),
            merged: Arc::clone(&self.merged),
            wide: Arc::clone(&self.wide),
            repeated_before: HashMap::new(),
            placeholders: BTreeMap::new(),
            notes: BTreeMap::new(),
            mappings: Vec::new(),
            findings: Vec::new(),
            ..*self
        }
    }

    /// Takes in what was said of the rows of a part that follow on those so far.
    fn take_in(&mut self, part: Self) {
        self.findings.extend(part.findings);
        for (column, (count, place)) in part.placeholders {
            self.placeholders.entry(column).or_insert((0, place)).0 += count;
        }
        for (note, (count, place)) in part.notes {
            self.notes.entry(note).or_insert((0, place)).0 += count;
        }
    }

    pub(super) fn body(&self) -> impl Iterator<Item = Row<'a>> + use<'a> {
        self.sheet.grid.rows.range(self.layout.first..self.layout.end)
    }

    /// Reads all rows; gives the subtitle of the next table, if the last line is one.
    pub(super) fn read(&mut self, intake: &mut Intake, counters: &mut Counters, another: bool) -> Option<Text> {
        let Plan { tasks, sections, next } = self.plan(intake, another);
        self.load_rows = tasks.iter().filter(|task| task.skip.is_none()).map(|task| task.row).collect();
        // Spare ways are numbered from the first to the last, so their table is read in one go.
        let parts = if tasks.iter().any(|task| task.spare) { 1 } else { threads::worth(tasks.len()) };
        if parts == 1 {
            intake.loads.extend(self.carry_out(&tasks, &sections, tasks.len(), counters));
        } else {
            let read = threads::each(threads::of(tasks.len(), parts), |run| {
                let mut part = self.part();
                let mut counters = Counters::default();
                // The first of them takes in the others.
                let room = if run.start == 0 { tasks.len() } else { run.len() };
                let loads = part.carry_out(tasks.get(run).unwrap_or_default(), &sections, room, &mut counters);
                counters.tags.sort_unstable();
                (part, loads, counters.tags)
            });
            for (part, loads, tags) in read {
                self.take_in(part);
                counters.tags.extend(tags);
                if intake.loads.is_empty() {
                    intake.loads = loads;
                } else {
                    intake.loads.extend(loads);
                }
            }
        }
        self.note_placeholders();
        self.note_values();
        intake.findings.append(&mut self.findings);
        intake.mappings.append(&mut self.mappings);
        next
    }

    /// Tells loads from other rows, and finds the subtitle above each.
    fn plan(&mut self, intake: &mut Intake, another: bool) -> Plan {
        let mut tasks = Vec::with_capacity(self.layout.end.saturating_sub(self.layout.first));
        let mut lines: Vec<(u32, String)> = Vec::new();
        let mut sections = vec![self.section.clone()];
        let mut sums = Sums::of(self);
        for (row, kind) in self.kinds() {
            let (kind, sum) = self.told_by_sums(row, kind, &mut sums);
            let task = Task { row, section: index(sections.len() - 1), skip: None, spare: false, sum };
            match kind {
                RowKind::Outside => {}
                RowKind::Skip(reason) => {
                    intake.skipped.push(skipped(&self.sheet.grid, row as usize, reason));
                    tasks.push(Task { skip: Some(reason), ..task });
                }
                RowKind::Line => lines.push((row, self.line(row as usize))),
                RowKind::Load(spare) => {
                    if !lines.is_empty() {
                        self.settle_lines(&mut lines, intake);
                        sections.push(self.section.clone());
                    }
                    tasks.push(Task { spare, section: index(sections.len() - 1), ..task });
                }
            }
        }
        let mut next = None;
        if another && lines.last().is_some_and(|(row, _)| *row as usize + 1 == self.layout.end) {
            next = lines.pop().map(|(row, text)| {
                intake.skipped.push(skipped(&self.sheet.grid, row as usize, SkipReason::Section));
                Text::from(text)
            });
        }
        for (row, text) in lines {
            self.say_note(row, &text);
            intake.skipped.push(skipped(&self.sheet.grid, row as usize, SkipReason::Footnote));
        }
        Plan { tasks, sections, next }
    }

    /// The kind of a row once its figures are held against the sums of those above, and whether it is a load that looks like a sum.
    fn told_by_sums(&self, number: u32, kind: RowKind, sums: &mut Sums) -> (RowKind, bool) {
        let row = self.sheet.grid.rows.get(number as usize).unwrap_or_default();
        match kind {
            RowKind::Load(_) if !self.plain => {
                let started = !self.seen(row, Field::StartingMethod).is_empty();
                if started || !sums.are(row) {
                    sums.add(row, started);
                    return (kind, false);
                }
                sums.begin_section();
                if self.seen(row, Field::Tag).is_empty() { (RowKind::Skip(SkipReason::Subtotal), false) } else { (kind, true) }
            }
            RowKind::Skip(SkipReason::Subtotal) => {
                sums.begin_section();
                (kind, false)
            }
            _ => (kind, false),
        }
    }

    /// A row with a tag whose figures are the sums of those above it.
    fn note_sum(&mut self, load: &mut Load) {
        let Some(entry) = load.entry(Field::Tag).cloned() else { return };
        let what =
            format!("`{}` was read as a load, but its figures are the sums of those above and it names no starter", entry.text);
        let cure = "remove the row if it is a sum, or begin it with the word total; else name its starting method";
        self.cell_finding(load, &codes::I451_LOOKS_LIKE_SUM, entry.column as usize, &entry.text, what, cure);
    }

    /// Reads the loads among some rows and says why others are passed over, in their order.
    fn carry_out(&mut self, tasks: &[Task], sections: &[Option<Text>], room: usize, counters: &mut Counters) -> Vec<Load> {
        let sheet = self.sheet;
        let mut loads = Vec::with_capacity(room);
        counters.tags.reserve(tasks.len());
        for task in tasks {
            let number = task.row as usize;
            match (task.skip, sheet.grid.rows.get(number)) {
                (Some(reason), _) => self.skip(number, reason),
                (None, Some(row)) => {
                    self.section.clone_from(sections.get(task.section as usize).unwrap_or(&None));
                    let mut load = self.read_row(number, row, task.spare, counters);
                    if task.sum {
                        self.note_sum(&mut load);
                    }
                    if let Some(Value::Tags(tags)) = load.entry(Field::Tag).map(|entry| &entry.value) {
                        counters.tags.extend(tags.iter().map(|tag| rows::hash(tag)));
                    }
                    loads.push(load);
                }
                (None, None) => {}
            }
        }
        loads
    }

    /// A note may hold for every row above it, and nobody reads it.
    fn say_note(&mut self, row: u32, note: &str) {
        if note.split_whitespace().filter(|word| word.bytes().any(|byte| byte.is_ascii_alphabetic())).nth(2).is_none() {
            return;
        }
        let place = self.place(row as usize, 0, note);
        let what = format!("a note of the sender is not read: `{}`", text::shortened(note));
        let cure = "state what it says in the columns of the rows, or in the basis";
        self.findings.push(Finding::new(&codes::I477_NOTE_OF_SENDER, what).at(place).cure(cure));
    }

    fn settle_lines(&mut self, lines: &mut Vec<(u32, String)>, intake: &mut Intake) {
        let mut notes = false;
        for (row, text) in lines.drain(..) {
            notes = skip::begins_footnotes(&text) || (notes && skip::is_numbered(&text));
            let reason = if notes { SkipReason::Footnote } else { SkipReason::Section };
            intake.skipped.push(skipped(&self.sheet.grid, row as usize, reason));
            if notes {
                self.say_note(row, &text);
            }
            if !notes {
                self.section = Some(text.into());
            }
        }
    }

    /// Names of the columns under a merged area that are read as figures or choices, the first of the area left out.
    fn under(&self, area: Wide) -> Vec<&'static str> {
        let judged =
            |column: &&Column| !matches!(column.spec.kind, Kind::Text | Kind::Tags) || column.spec.field == Field::Supply;
        let covered = self.columns.iter().filter(|column| column.index > area.first && column.index <= area.last);
        covered.filter(judged).map(|column| column.spec.name).collect()
    }

    /// Merged areas that cover further columns which are read, by row. That areas lie over each other no more than a sheet has cells
    /// was made sure of when it was opened.
    fn wide_areas(&self) -> Arc<[(usize, Wide)]> {
        let mut rows = Vec::new();
        for ((top, left), (bottom, right)) in &self.sheet.grid.merged {
            let area = Wide { first: *left as usize, last: *right as usize };
            if right > left && !self.under(area).is_empty() {
                let end = (*bottom as usize + 1).min(self.layout.end);
                rows.extend(((*top as usize).max(self.layout.first)..end).map(|row| (row, area)));
            }
        }
        rows.sort_by_key(|(row, _)| *row);
        rows.into()
    }

    /// Merged areas of a row that cover further columns which are read: the first column of each, and the names of the others.
    pub(super) fn merged_across(&self, number: usize) -> Vec<(usize, Vec<&'static str>)> {
        let from = self.wide.partition_point(|(row, _)| *row < number);
        let areas = self.wide[from..].iter().take_while(|(row, _)| *row == number);
        areas.map(|(_, area)| (area.first, self.under(*area))).collect()
    }
}

/// Rows and columns are below the maxima, far below what the type holds.
pub(super) fn index(number: usize) -> u32 {
    u32::try_from(number).unwrap_or(u32::MAX)
}
