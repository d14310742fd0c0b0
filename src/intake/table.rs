//! Walks through one table: tells loads from other rows and hands each load to the reader of rows.

use std::collections::{BTreeMap, HashMap, HashSet};
use std::sync::Arc;

use super::cells::{self, Note};
use super::headings::{self, Meaning};
use super::layout::{BlockRow, Layout};
use super::mapping::{self, Column, Mapping};
use super::open::Sheet;
use super::rows::skipped;
use super::skip::{self, SkipReason, Skipped};
use super::units::Unit;
use super::{Cell, Content, Intake, duty, fold, text};
use crate::finding::{Code, Finding, Place, Severity, codes, column_letters};
use crate::load::{Field, FieldSpec, Kind, Load, Source};

/// Numbers that go on over all tables.
#[derive(Debug, Default)]
pub(super) struct Counters {
    /// Spare ways by board.
    pub(super) spares: HashMap<String, u32>,
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
    pub(super) section: Option<String>,
    /// Rows of loads so far, for ditto marks.
    pub(super) load_rows: Vec<usize>,
    /// Merged areas over several rows: first and last row by column.
    pub(super) merged: HashMap<usize, Vec<(usize, usize)>>,
    /// Placeholders by column: how many, and the first one.
    pub(super) placeholders: BTreeMap<usize, (usize, Place)>,
    /// Notes by column and kind: how many, and the first one.
    pub(super) notes: BTreeMap<(usize, Note), (usize, Place)>,
    pub(super) mappings: Vec<Mapping>,
    pub(super) findings: Vec<Finding>,
}

/// What a row turned out to be.
enum RowKind {
    Load,
    Skip(SkipReason),
    /// One text: a section if loads follow, else a note.
    Line(String),
    Outside,
}

impl<'a> Table<'a> {
    pub(super) fn new(
        sheet: &'a Sheet,
        layout: &'a Layout,
        grid: usize,
        titles: &'a HashSet<String>,
        section: Option<String>,
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
            load_rows: Vec::new(),
            merged: HashMap::new(),
            placeholders: BTreeMap::new(),
            notes: BTreeMap::new(),
            mappings: Vec::new(),
            findings: Vec::new(),
        };
        for ((top, left), (bottom, _)) in &sheet.grid.merged {
            if bottom > top {
                table.merged.entry(*left as usize).or_default().push((*top as usize, *bottom as usize));
            }
        }
        table.merged.values_mut().for_each(|areas| areas.sort_unstable());
        table.read_headings();
        table
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
            && brackets(heading)
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
            Field::Tag | Field::Description => word(first) == word(column),
            _ => false,
        }
    }

    fn twice(&mut self, first: usize, column: usize, heading: &str, spec: &'static FieldSpec) {
        let seen =
            |row: &[Cell], column: usize| row.get(column).map(|cell| fold::tidy(&text::of(&cell.content))).unwrap_or_default();
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
    pub(super) fn read(&mut self, intake: &mut Intake, counters: &mut Counters, another: bool) -> Option<String> {
        let sheet = self.sheet;
        let mut lines: Vec<(usize, String)> = Vec::new();
        let mut block: Vec<(String, BlockRow)> = Vec::new();
        for (row, kind) in &self.layout.block {
            block.push((sheet.grid.rows.get(*row).map(|row| skip::signature(row)).unwrap_or_default(), *kind));
        }
        for number in self.layout.first..self.layout.end {
            let Some(row) = sheet.grid.rows.get(number) else { break };
            let computed = sheet.uncomputed.is_empty()
                || sheet.uncomputed.range((index(number), 0)..=(index(number), u32::MAX)).next().is_none();
            if computed && row.iter().all(|cell| text::is_blank(&cell.content)) {
                continue;
            }
            match self.kind(number, row, &block) {
                RowKind::Outside => {}
                RowKind::Skip(reason) => {
                    self.skip(number, reason, intake);
                }
                RowKind::Line(text) => lines.push((number, text)),
                RowKind::Load => {
                    self.settle_lines(&mut lines, intake);
                    let load = self.read_row(number, row, counters);
                    self.load_rows.push(number);
                    intake.loads.push(load);
                }
            }
        }
        let mut next = None;
        let above = another && lines.last().is_some_and(|(row, _)| row + 1 == self.layout.end);
        if let (true, Some((row, text))) = (above, lines.last().cloned()) {
            lines.pop();
            intake.skipped.push(skipped(&sheet.grid, row, SkipReason::Section));
            next = Some(text);
        }
        for (row, _) in lines {
            intake.skipped.push(skipped(&sheet.grid, row, SkipReason::Footnote));
        }
        self.note_placeholders();
        self.note_values();
        intake.findings.append(&mut self.findings);
        intake.mappings.append(&mut self.mappings);
        next
    }

    fn settle_lines(&mut self, lines: &mut Vec<(usize, String)>, intake: &mut Intake) {
        let mut notes = false;
        for (row, text) in lines.drain(..) {
            notes = skip::begins_footnotes(&text) || (notes && skip::is_numbered(&text));
            let reason = if notes { SkipReason::Footnote } else { SkipReason::Section };
            intake.skipped.push(skipped(&self.sheet.grid, row, reason));
            if !notes {
                self.section = Some(text);
            }
        }
    }

    fn skip(&mut self, number: usize, reason: SkipReason, intake: &mut Intake) {
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
        let entry: Skipped = skipped(&self.sheet.grid, number, reason);
        intake.skipped.push(entry);
    }

    /// Text of the first filled column of a field.
    pub(super) fn seen(&self, row: &[Cell], field: Field) -> String {
        let of = |column: &&Column| column.spec.field == field && column.tick.is_none();
        let cells = self.columns.iter().filter(of).filter_map(|column| row.get(column.index));
        cells
            .filter(|cell| !text::is_blank(&cell.content))
            .map(|cell| fold::tidy(&text::of(&cell.content)))
            .next()
            .unwrap_or_default()
    }

    /// Whether a row holds what a load has: a power or a current.
    pub(super) fn has_load_data(&self, row: &[Cell]) -> bool {
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
        let uncomputed = self.sheet.uncomputed.range((index(number), 0)..(index(number), index(width))).next().is_some();
        if inside == 0 && !uncomputed {
            return if self.source.sheet.is_some() { RowKind::Outside } else { RowKind::Load };
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
        if skip::says_deleted(&tag) || skip::says_deleted(&description) {
            return RowKind::Skip(SkipReason::Deleted);
        }
        if skip::says_total(&tag) || (tag.is_empty() && skip::filled(row).iter().any(|(_, text)| skip::says_total(text))) {
            return RowKind::Skip(SkipReason::Subtotal);
        }
        let empty_way = |text: &str| skip::is_vacant(text) || skip::says_spare(text);
        if !data && (empty_way(&tag) || (empty_way(&description) && (tag.is_empty() || skip::is_vacant(&description)))) {
            return RowKind::Skip(SkipReason::Vacant);
        }
        if let Some(line) = self.line(row, inside, data) {
            return RowKind::Line(line);
        }
        RowKind::Load
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
