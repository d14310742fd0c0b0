//! Walks through one table: tells loads from other rows and hands each load to the reader of rows.

use std::borrow::Cow;
use std::collections::{BTreeMap, HashMap, HashSet};
use std::sync::Arc;

use super::cells::{self, Note};
use super::headings::{self, Meaning};
use super::layout::{BlockRow, Layout};
use super::mapping::{self, Column, Mapping};
use super::open::Sheet;
use super::rows::{self, skipped};
use super::skip::{self, Opening, SkipReason};
use super::units::Unit;
use super::{Cell, Content, Intake, duty, fold, parts, text};
use crate::finding::{Code, Finding, Place, Severity, codes, column_letters};
use crate::load::{Field, FieldSpec, Kind, Load, Source, Text, Value};

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
    /// Columns that mean the same as an earlier one and differ from it.
    pub(super) repeated: Vec<(usize, usize, &'static FieldSpec)>,
    titles: &'a HashSet<String>,
    /// Subtitle above the row that is read.
    pub(super) section: Option<Text>,
    /// Rows of loads, for ditto marks.
    pub(super) load_rows: Arc<[usize]>,
    /// Merged areas over several rows: first and last row by column.
    pub(super) merged: Arc<HashMap<usize, Vec<(usize, usize)>>>,
    /// Merged areas over several columns: first and last row, first and last column.
    pub(super) wide: Arc<[Wide]>,
    /// Placeholders by column: how many, and the first one.
    pub(super) placeholders: BTreeMap<usize, (usize, Place)>,
    /// Notes by column and kind: how many, and the first one.
    pub(super) notes: BTreeMap<(usize, Note), (usize, Place)>,
    pub(super) mappings: Vec<Mapping>,
    pub(super) findings: Vec<Finding>,
}

/// A merged area over several columns.
#[derive(Clone, Debug)]
pub(super) struct Wide {
    rows: std::ops::RangeInclusive<usize>,
    first: usize,
    last: usize,
}

/// What a row turned out to be.
enum RowKind {
    /// A load; whether its name says that it is a spare way.
    Load(bool),
    Skip(SkipReason),
    /// One text: a section if loads follow, else a note.
    Line(String),
    Outside,
}

/// What is to be done with a row.
struct Task {
    row: usize,
    /// Why it is passed over, if it is.
    skip: Option<SkipReason>,
    /// Its name says that it is a spare way.
    spare: bool,
    /// Subtitle above it.
    section: Option<Text>,
}

impl<'a> Table<'a> {
    pub(super) fn new(
        sheet: &'a Sheet,
        layout: &'a Layout,
        grid: usize,
        titles: &'a HashSet<String>,
        section: Option<Text>,
    ) -> Self {
        let source = Source { file: sheet.grid.file.clone(), sheet: sheet.grid.sheet.clone(), headings: layout.headings.clone() };
        let mut table = Self {
            sheet,
            layout,
            grid,
            source: Arc::new(source),
            plain: mapping::is_plain(layout),
            columns: Vec::new(),
            repeated: Vec::new(),
            titles,
            section,
            load_rows: Arc::default(),
            merged: Arc::default(),
            wide: Arc::default(),
            placeholders: BTreeMap::new(),
            notes: BTreeMap::new(),
            mappings: Vec::new(),
            findings: Vec::new(),
        };
        let mut merged: HashMap<usize, Vec<(usize, usize)>> = HashMap::new();
        let mut wide = Vec::new();
        for ((top, left), (bottom, right)) in &sheet.grid.merged {
            if right > left && *bottom as usize >= layout.first {
                let rows = *top as usize..=*bottom as usize;
                wide.push(Wide { rows, first: *left as usize, last: *right as usize });
            }
            if bottom > top {
                merged.entry(*left as usize).or_default().push((*top as usize, *bottom as usize));
            }
        }
        merged.values_mut().for_each(|areas| areas.sort_unstable());
        table.merged = Arc::new(merged);
        table.wide = wide.into();
        table.read_headings();
        table
    }

    /// The same table with nothing said yet, for reading some of its rows beside others.
    fn part(&self) -> Self {
        Self {
            source: Arc::clone(&self.source),
            columns: self.columns.clone(),
            repeated: self.repeated.clone(),
            section: None,
            load_rows: Arc::clone(&self.load_rows),
            merged: Arc::clone(&self.merged),
            wide: Arc::clone(&self.wide),
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

    fn read_headings(&mut self) {
        let decided = mapping::decide(self.layout, &self.sheet.grid);
        for (column, meaning) in decided.into_iter().enumerate() {
            let heading = self.layout.headings.get(column).cloned().unwrap_or_default();
            if heading.is_empty() {
                continue;
            }
            match meaning {
                Some(Meaning::Field(field)) => self.take(column, &heading, field),
                Some(Meaning::Tick(method)) => {
                    let tick = Column { tick: Some(method), ..self.column(column, Field::StartingMethod) };
                    self.report(&tick, &heading, format!("ticked for {method}"));
                    self.columns.push(tick);
                }
                Some(Meaning::Unused) | None => self.pass_by(column, &heading),
            }
            if self.sheet.grid.hidden_columns.contains(&index(column)) {
                let what = format!("column {} is hidden and was read like the others", column_letters(index(column)));
                let place = self.place(self.layout.header, column, &heading);
                self.findings.push(Finding::new(&codes::I409_HIDDEN_COLUMN, what).at(place));
            }
        }
    }

    fn column(&self, column: usize, field: Field) -> Column {
        let found = self.layout.recognised.get(column).and_then(Option::as_ref);
        Column {
            index: column,
            spec: field.spec(),
            tick: None,
            unit: self.layout.units.get(column).copied().flatten().or_else(|| found.and_then(|found| found.unit)),
            canonical: self.plain && found.is_some_and(|found| found.canonical == Some(field)),
            blank_is_no: false,
        }
    }

    fn take(&mut self, column: usize, heading: &str, field: Field) {
        let mut own = self.column(column, field);
        let stated = self.layout.recognised.get(column).and_then(Option::as_ref).and_then(|found| found.unit);
        let unit_row = self.layout.units.get(column).copied().flatten();
        if let (Some(stated), Some(row)) = (stated, unit_row)
            && stated != row
            && !matches!(row, Unit::Other | Unit::YesNo | Unit::Pieces)
            && stated.is_power() == row.is_power()
            && (brackets(heading) || stated.is_power())
        {
            let what = format!("the heading says {} and the row of units {}", stated.symbol(), row.symbol());
            let place = self.place(self.layout.header, column, heading);
            self.findings.push(Finding::new(&codes::I427_UNIT_CONTRADICTS, what).at(place).cure("correct one of the two"));
        }
        let first = self.columns.iter().find(|other| other.spec.field == field && other.tick.is_none()).cloned();
        if let Some(first) = first
            && !self.joins(first.index, column, field)
        {
            return self.twice(first.index, column, heading, own.spec);
        }
        if matches!(own.spec.kind, Kind::YesNo) && !own.canonical {
            let ticks: Vec<bool> = self
                .body()
                .filter_map(|row| row.get(column))
                .filter(|cell| !text::is_blank(&cell.content))
                .take(200)
                .map(|cell| duty::yes_no(&text::of(&cell.content)) == Some(true))
                .collect();
            own.blank_is_no = !ticks.is_empty() && ticks.iter().all(|tick| *tick);
        }
        let conversion = match (field, own.unit) {
            (Field::RatedPowerKw | Field::AbsorbedPowerKw, Some(Unit::MetricHorsepower | Unit::Watt)) => "converted to kW",
            (Field::AbsorbedPowerKw, Some(Unit::Horsepower)) => "converted to kW",
            (Field::VoltageV, Some(Unit::Kilovolt)) => "converted to V",
            (Field::AmbientC, Some(Unit::Fahrenheit)) => "converted to °C",
            (Field::CableLengthM, Some(Unit::Foot)) => "kept in feet",
            _ => "",
        };
        if own.unit.is_none()
            && !own.canonical
            && matches!(field, Field::RatedPowerKw | Field::AbsorbedPowerKw | Field::CableLengthM)
        {
            let taken = if field == Field::CableLengthM { "m" } else { "kW" };
            let what = format!("neither the heading nor a row of units says a unit: figures without one are taken as {taken}");
            let place = self.place(self.layout.header, column, heading);
            self.findings.push(Finding::new(&codes::I426_UNIT_ASSUMED, what).at(place).cure("write the unit into the heading"));
        }
        self.report(&own, heading, conversion.to_owned());
        if field == Field::RowRevision && !own.canonical {
            let what = format!("the column `{}` is kept as the sender's own revision mark", text::shortened(heading));
            let place = self.place(self.layout.header, column, heading);
            self.findings.push(Finding::new(&codes::I411_COLUMN_KEPT, what).at(place));
        }
        self.columns.push(own);
    }

    /// Columns whose texts belong together: parts of a tag, a text and its addition, remarks.
    fn joins(&self, first: usize, column: usize, field: Field) -> bool {
        if self.plain {
            return false;
        }
        let word = |column: usize| self.layout.headings.get(column).and_then(|heading| fold::words(heading).into_iter().next());
        match field {
            Field::Notes | Field::InterlockNote | Field::FeedbackNote => true,
            // Two columns of one and the same heading are those of two tables beside each other.
            Field::Tag | Field::Description => {
                word(first) == word(column) && self.layout.headings.get(first) != self.layout.headings.get(column)
            }
            _ => false,
        }
    }

    fn twice(&mut self, first: usize, column: usize, heading: &str, spec: &'static FieldSpec) {
        fn seen(row: &[Cell], column: usize) -> Cow<'_, str> {
            row.get(column).map(|cell| fold::tidy_of(text::of(&cell.content))).unwrap_or_default()
        }
        let differs = self.body().any(|row| !seen(row, column).is_empty() && seen(row, column) != seen(row, first));
        let first_is_empty = self.body().all(|row| seen(row, first).is_empty());
        if !self.plain && !differs {
            return self.pass_by(column, heading);
        }
        if !self.plain && first_is_empty {
            if let Some(own) = self.columns.iter_mut().find(|own| own.index == first) {
                own.index = column;
            }
            return;
        }
        self.repeated.push((column, first, spec));
        let letters = column_letters(index(first));
        let what = format!("column {letters} is `{}` already", spec.name);
        let place = self.place(self.layout.header, column, heading);
        self.findings.push(
            Finding::new(&codes::I202_HEADING_TWICE, what)
                .at(place)
                .why(format!("column {letters} is read; rows in which the two differ are not sized"))
                .cure("keep one of the two columns, or give the other a heading of its own"),
        );
    }

    fn pass_by(&mut self, column: usize, heading: &str) {
        let hint = headings::suggestion(heading).map(|name| format!("if `{name}` is meant, write it so")).unwrap_or_default();
        let what = format!("the column `{}` is carried through but not read", text::shortened(heading));
        let place = self.place(self.layout.header, column, heading);
        self.findings.push(Finding::new(&codes::I201_HEADING_UNKNOWN, what).at(place).cure(hint));
        self.mappings.push(Mapping {
            sheet: self.source.sheet.clone(),
            column: index(column),
            heading: heading.to_owned(),
            field: None,
            unit: "",
            conversion: String::new(),
        });
    }

    fn report(&mut self, column: &Column, heading: &str, conversion: String) {
        self.mappings.push(Mapping {
            sheet: self.source.sheet.clone(),
            column: index(column.index),
            heading: heading.to_owned(),
            field: Some(column.spec.field),
            unit: column.unit.map_or(column.spec.unit, Unit::symbol),
            conversion,
        });
    }

    fn body(&self) -> impl Iterator<Item = &'a Vec<Cell>> + use<'a> {
        self.sheet.grid.rows.get(self.layout.first..self.layout.end).unwrap_or_default().iter()
    }

    /// Reads all rows; gives the subtitle of the next table, if the last line is one.
    pub(super) fn read(&mut self, intake: &mut Intake, counters: &mut Counters, another: bool) -> Option<Text> {
        let (tasks, next) = self.plan(intake, another);
        self.load_rows = tasks.iter().filter(|task| task.skip.is_none()).map(|task| task.row).collect();
        // Spare ways are numbered from the first to the last, so their table is read in one go.
        let parts = if tasks.iter().any(|task| task.spare) { 1 } else { parts::worth(tasks.len()) };
        if parts == 1 {
            intake.loads.extend(self.carry_out(&tasks, counters));
        } else {
            let runs = parts::of(tasks.len(), parts).filter_map(|run| tasks.get(run));
            let read = parts::each(runs, |tasks| {
                let mut part = self.part();
                let mut counters = Counters::default();
                let loads = part.carry_out(tasks, &mut counters);
                counters.tags.sort_unstable();
                (part, loads, counters.tags)
            });
            for (part, loads, tags) in read {
                self.take_in(part);
                counters.tags.extend(tags);
                intake.loads.extend(loads);
            }
        }
        self.note_placeholders();
        self.note_values();
        intake.findings.append(&mut self.findings);
        intake.mappings.append(&mut self.mappings);
        next
    }

    /// Tells loads from other rows, and finds the subtitle above each.
    fn plan(&mut self, intake: &mut Intake, another: bool) -> (Vec<Task>, Option<Text>) {
        let mut tasks = Vec::with_capacity(self.layout.end.saturating_sub(self.layout.first));
        let mut lines: Vec<(usize, String)> = Vec::new();
        for (row, kind) in self.kinds() {
            let task = Task { row, skip: None, spare: false, section: None };
            match kind {
                RowKind::Outside => {}
                RowKind::Skip(reason) => {
                    intake.skipped.push(skipped(&self.sheet.grid, row, reason));
                    tasks.push(Task { skip: Some(reason), ..task });
                }
                RowKind::Line(text) => lines.push((row, text)),
                RowKind::Load(spare) => {
                    self.settle_lines(&mut lines, intake);
                    tasks.push(Task { spare, section: self.section.clone(), ..task });
                }
            }
        }
        let mut next = None;
        if another && lines.last().is_some_and(|(row, _)| row + 1 == self.layout.end) {
            next = lines.pop().map(|(row, text)| {
                intake.skipped.push(skipped(&self.sheet.grid, row, SkipReason::Section));
                text.into()
            });
        }
        for (row, _) in lines {
            intake.skipped.push(skipped(&self.sheet.grid, row, SkipReason::Footnote));
        }
        (tasks, next)
    }

    /// What every row is that is not empty.
    fn kinds(&self) -> impl Iterator<Item = (usize, RowKind)> + use<'a> {
        let grid = &self.sheet.grid;
        let signature = |row: usize| grid.rows.get(row).map(|row| skip::signature(row)).unwrap_or_default();
        let block: Vec<(String, BlockRow)> = self.layout.block.iter().map(|(row, kind)| (signature(*row), *kind)).collect();
        let first = self.layout.first;
        let rows = self.layout.end.min(grid.rows.len()).saturating_sub(first);
        let kind = |number: usize| {
            let row = grid.rows.get(number)?;
            (!self.is_empty(number, row)).then(|| (number, self.kind(number, row, &block)))
        };
        let kinds = parts::each(parts::of(rows, parts::worth(rows)), |run| {
            (first + run.start..first + run.end).filter_map(kind).collect::<Vec<_>>()
        });
        kinds.into_iter().flatten()
    }

    /// Whether a row holds nothing, and no formula that has still to be worked out.
    fn is_empty(&self, number: usize, row: &[Cell]) -> bool {
        let uncomputed = &self.sheet.uncomputed;
        let computed = uncomputed.is_empty() || uncomputed.range((index(number), 0)..=(index(number), u32::MAX)).next().is_none();
        computed && row.iter().all(|cell| text::is_blank(&cell.content))
    }

    /// Reads the loads among some rows and says why others are passed over, in their order.
    fn carry_out(&mut self, tasks: &[Task], counters: &mut Counters) -> Vec<Load> {
        let sheet = self.sheet;
        let mut loads = Vec::with_capacity(tasks.len());
        for task in tasks {
            match (task.skip, sheet.grid.rows.get(task.row)) {
                (Some(reason), _) => self.skip(task.row, reason),
                (None, Some(row)) => {
                    self.section.clone_from(&task.section);
                    let load = self.read_row(task.row, row, task.spare, counters);
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

    fn settle_lines(&mut self, lines: &mut Vec<(usize, String)>, intake: &mut Intake) {
        let mut notes = false;
        for (row, text) in lines.drain(..) {
            notes = skip::begins_footnotes(&text) || (notes && skip::is_numbered(&text));
            let reason = if notes { SkipReason::Footnote } else { SkipReason::Section };
            intake.skipped.push(skipped(&self.sheet.grid, row, reason));
            if !notes {
                self.section = Some(text.into());
            }
        }
    }

    fn skip(&mut self, number: usize, reason: SkipReason) {
        let place = Place { sheet: self.source.sheet.clone(), row: Some(index(number) + 1), ..Place::file(&self.source.file) };
        match reason {
            SkipReason::Deleted => self.findings.push(
                Finding::new(
                    &codes::I412_DELETED_ROW,
                    format!("row {} is struck out or marked as deleted and was not read", number + 1),
                )
                .at(place),
            ),
            SkipReason::Subtotal => self.findings.push(
                Finding::new(&codes::I414_SUBTOTAL, format!("row {} is a sum and was not read as a load", number + 1)).at(place),
            ),
            _ => {}
        }
    }

    /// Text of the first filled column of a field.
    fn seen<'c>(&self, row: &'c [Cell], field: Field) -> Cow<'c, str> {
        let of = |column: &&Column| column.spec.field == field && column.tick.is_none();
        let mut cells = self.columns.iter().filter(of).filter_map(|column| row.get(column.index));
        let filled = cells.find(|cell| !text::is_blank(&cell.content));
        filled.map(|cell| fold::tidy_of(text::of(&cell.content))).unwrap_or_default()
    }

    /// Merged areas of a row that cover further columns which are read: the first column of each, and the names of the others.
    pub(super) fn merged_across(&self, number: usize) -> Vec<(usize, Vec<&'static str>)> {
        let judged =
            |column: &&Column| !matches!(column.spec.kind, Kind::Text | Kind::Tags) || column.spec.field == Field::Supply;
        let covers = |area: &Wide| {
            let own = self.columns.iter().filter(|column| column.index > area.first && column.index <= area.last);
            let names: Vec<&'static str> = own.filter(judged).map(|column| column.spec.name).collect();
            (area.rows.contains(&number) && !names.is_empty()).then_some((area.first, names))
        };
        self.wide.iter().filter_map(covers).collect()
    }

    /// Whether a row holds what a load has: a power or a current.
    fn has_load_data(&self, row: &[Cell]) -> bool {
        let data = |field: Field| super::row::is_power(field) || field == Field::MaximumProtectionA;
        let mut columns = self.columns.iter().filter(|column| data(column.spec.field));
        columns.any(|column| {
            row.get(column.index)
                .is_some_and(|cell| !text::is_blank(&cell.content) && !cells::is_nothing(&text::of(&cell.content)))
        })
    }

    fn kind(&self, number: usize, row: &[Cell], block: &[(String, BlockRow)]) -> RowKind {
        let width = self.layout.headings.len();
        let inside = row.iter().take(width).filter(|cell| !text::is_blank(&cell.content)).count();
        let uncomputed = !self.sheet.uncomputed.is_empty()
            && self.sheet.uncomputed.range((index(number), 0)..(index(number), index(width))).next().is_some();
        if inside == 0 && !uncomputed {
            return if self.source.sheet.is_some() { RowKind::Outside } else { RowKind::Load(false) };
        }
        if skip::is_struck(row) {
            return RowKind::Skip(SkipReason::Deleted);
        }
        let (tag, description) = (self.seen(row, Field::Tag), self.seen(row, Field::Description));
        if inside >= 2 && (tag.is_empty() || !tag.bytes().any(|byte| byte.is_ascii_digit())) {
            let own = skip::signature(row);
            if let Some((_, kind)) = block.iter().find(|(signature, _)| *signature == own) {
                return RowKind::Skip(match kind {
                    BlockRow::Header => SkipReason::RepeatedHeader,
                    BlockRow::Units => SkipReason::Units,
                    BlockRow::Letters => SkipReason::ColumnLetters,
                });
            }
        }
        let data = self.has_load_data(row);
        if !data && inside <= 4 {
            let texts = skip::filled(row);
            if texts.iter().any(|(_, text)| skip::is_page_mark(text)) || self.titles.contains(&skip::signature(row)) {
                return RowKind::Skip(SkipReason::PageMark);
            }
        }
        let (by_tag, by_name) = (Opening::of(&tag), Opening::of(&description));
        if by_tag.deleted || by_name.deleted || skip::ends_deleted(&tag) {
            return RowKind::Skip(SkipReason::Deleted);
        }
        let own_tag = skip::begins_like_a_tag(&tag);
        // `Transporte 4` with a starting method is a conveyor.
        let started = || data && !self.seen(row, Field::StartingMethod).is_empty();
        let sum = || !own_tag && skip::says_total(&tag) && !started();
        if sum() || (tag.is_empty() && skip::filled(row).iter().any(|(_, text)| skip::says_total(text))) {
            return RowKind::Skip(SkipReason::Subtotal);
        }
        let empty_way = |opening: Opening| opening.vacant || opening.spare();
        if !data && !own_tag && (empty_way(by_tag) || (empty_way(by_name) && (tag.is_empty() || by_name.vacant))) {
            return RowKind::Skip(SkipReason::Vacant);
        }
        if let Some(line) = self.line(row, inside, data) {
            return RowKind::Line(line);
        }
        RowKind::Load(!self.plain && ((tag.is_empty() && by_name.spare()) || (by_tag.spare() && !own_tag)))
    }

    /// A row of one text, which is no load.
    fn line(&self, row: &[Cell], inside: usize, data: bool) -> Option<String> {
        if inside > 2 || data {
            return None;
        }
        let texts = skip::filled(row);
        let (column, text) = texts.first()?;
        if texts.len() == 2 {
            let note = skip::begins_footnotes(text) || skip::is_numbered(&format!("{text}."));
            return (note && !self.plain && texts[1].1.len() > 20)
                .then(|| texts.iter().map(|(_, text)| text.as_str()).collect::<Vec<_>>().join(" "));
        }
        if texts.len() != 1 {
            return None;
        }
        let tag_column = self.columns.iter().any(|own| own.spec.field == Field::Tag && own.index == *column);
        let tag_like =
            tag_column && !text.contains(' ') && text.chars().any(|letter| letter.is_ascii_digit()) && text.len() <= 24;
        let other = self.columns.iter().any(|own| own.index == *column && !matches!(own.spec.kind, Kind::Text | Kind::Tags));
        if other || !matches!(row.get(*column).map(|cell| &cell.content), Some(Content::Text(_))) {
            return None;
        }
        let is_board = || {
            self.columns
                .iter()
                .filter(|own| own.spec.field == Field::Board)
                .any(|own| self.body().filter_map(|row| row.get(own.index)).any(|cell| text::of(&cell.content).trim() == text))
        };
        (!tag_like || is_board()).then(|| text.clone())
    }

    fn note_placeholders(&mut self) {
        for (column, (count, place)) in std::mem::take(&mut self.placeholders) {
            let heading = self.source.headings.get(column).map_or("", String::as_str);
            let seen = place.text.clone().unwrap_or_default();
            let what = format!(
                "{} reads `{}` in {count} rows, first here: read as not given",
                text::shortened(heading),
                text::shortened(&seen)
            );
            self.findings.push(Finding::new(&codes::I205_PLACEHOLDER, what).at(place).cure("enter values where there are some"));
        }
    }

    /// What was done to the values of a column, said at the first of them.
    fn note_values(&mut self) {
        for ((_, note), (count, place)) in std::mem::take(&mut self.notes) {
            let (code, what): (&Code, &str) = match note {
                Note::Converted => (&codes::I402_UNIT_CONVERTED, "was converted from another unit"),
                Note::Grouped => (&codes::I403_THOUSANDS, "has a mark between thousands, which was left out"),
                Note::Percent => (&codes::I405_PERCENT, "was read as per cent"),
                Note::AsText => (&codes::I404_NUMBER_AS_TEXT, "is a number stored as text"),
                Note::ClassUnknown => (&codes::I411_COLUMN_KEPT, "is no class that is known and was not read"),
            };
            let seen = place.text.clone().unwrap_or_default();
            let rows = if count == 1 { "here".to_owned() } else { format!("in {count} rows, first here") };
            self.findings.push(Finding::new(code, format!("`{seen}` {what} ({rows})")).at(place));
        }
    }

    pub(super) fn cell_finding(
        &mut self,
        load: &mut Load,
        code: &Code,
        column: usize,
        seen: &str,
        what: impl Into<String>,
        cure: impl Into<String>,
    ) {
        let finding = Finding::new(code, what).at(self.place(load.row as usize, column, seen)).cure(cure);
        load.rejected |= finding.severity == Severity::Error;
        self.findings.push(finding);
    }

    pub(super) fn place(&self, row: usize, column: usize, seen: &str) -> Place {
        Place {
            file: self.source.file.clone(),
            sheet: self.source.sheet.clone(),
            row: Some(index(row) + 1),
            column: Some(column_letters(index(column))),
            heading: self
                .source
                .headings
                .get(column)
                .filter(|heading| !heading.is_empty())
                .map(|heading| text::shortened(heading)),
            text: Some(text::shortened(seen)),
        }
    }
}

fn brackets(heading: &str) -> bool {
    heading.contains(['(', '['])
}

/// Rows and columns are below the maxima, far below what the type holds.
pub(super) fn index(number: usize) -> u32 {
    u32::try_from(number).unwrap_or(u32::MAX)
}
