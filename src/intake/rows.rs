//! Finds headings, reads rows below them, and holds rows against each other.

use std::collections::{BTreeMap, HashMap};
use std::sync::Arc;

use super::error::{IntakeError, IntakeErrorKind};
use super::open::Sheet;
use super::{Cell, Content, Detected, Grid, Intake, headings, tags, text, values};
use crate::finding::{Code, Finding, Place, codes, column_letters};
use crate::load::{Entry, Field, FieldSpec, Kind, Load, Source, Value};

/// Rows that are searched for headings.
const SEARCHED_ROWS: usize = 1_000;
/// Columns that must be recognised, `tag` among them, for a row to be the heading row.
const LEAST_HEADINGS: usize = 2;
/// Name of the sheet that holds the basis.
const BASIS_SHEET: &str = "basis";

/// Reads all sheets.
pub(super) fn read(sheets: Vec<Sheet>, file: &str, sha256: String, detected: Detected) -> Result<Intake, IntakeError> {
    let mut intake = Intake { sha256, detected, ..Intake::default() };
    let mut found = false;
    for mut sheet in sheets {
        let is_basis = sheet.grid.sheet.as_deref().is_some_and(|name| name.trim().eq_ignore_ascii_case(BASIS_SHEET));
        if is_basis {
            intake.basis_pairs.extend(basis_pairs(&sheet.grid));
        } else if let Some(header) = header_row(&sheet.grid) {
            found = true;
            sheet.grid.header_row = u32::try_from(header).ok();
            let grid = intake.grids.len();
            Table::new(&sheet, header, grid).read(&mut intake);
        }
        intake.grids.push(sheet.grid);
    }
    if !found {
        return Err(no_header(&intake.grids, file));
    }
    refuse_duplicates(&mut intake);
    Ok(intake)
}

fn no_header(grids: &[Grid], file: &str) -> IntakeError {
    let looked = format!(
        "no heading row was found in the first {SEARCHED_ROWS} rows of any sheet: it holds `tag` and at least one more of the columns' names, such as description, rated_power_kw, voltage_v, starting_method"
    );
    let first = grids.iter().flat_map(|grid| &grid.rows).flatten().find(|cell| !text::is_blank(&cell.content));
    let separators = first.is_some_and(|cell| text::of(&cell.content).matches([';', '\t']).count() >= 2);
    let hint = if separators { "; the columns seem to be parted by semicolons or tabs: save the file with commas" } else { "" };
    IntakeError::new(IntakeErrorKind::NoHeader, format!("{file}: {looked}{hint}"))
}

fn header_row(grid: &Grid) -> Option<usize> {
    grid.rows.iter().take(SEARCHED_ROWS).position(|row| {
        let mut fields: Vec<Field> = row.iter().filter_map(|cell| headings::field(heading_of(cell)?)).collect();
        fields.sort_unstable();
        fields.dedup();
        fields.len() >= LEAST_HEADINGS && fields.contains(&Field::Tag)
    })
}

fn heading_of(cell: &Cell) -> Option<&str> {
    match &cell.content {
        Content::Text(text) => Some(text),
        _ => None,
    }
}

/// Keys and values of a sheet of two columns. Keys are dotted, or stand below a row that names their `[section]`;
/// each `[[section]]` row begins a further entry, `section.1`, `section.2`, ...
fn basis_pairs(grid: &Grid) -> Vec<(String, String)> {
    let mut pairs = Vec::new();
    let mut section = String::new();
    let mut numbers: BTreeMap<String, usize> = BTreeMap::new();
    for row in &grid.rows {
        let mut filled = row.iter().filter(|cell| !text::is_blank(&cell.content)).map(|cell| text::of(&cell.content));
        let Some(key) = filled.next() else { continue };
        let key = key.trim();
        if let Some(name) = key.strip_prefix("[[").and_then(|rest| rest.strip_suffix("]]")) {
            let number = numbers.entry(name.trim().to_owned()).or_default();
            *number += 1;
            section = format!("{}.{number}.", name.trim());
        } else if let Some(name) = key.strip_prefix('[').and_then(|rest| rest.strip_suffix(']')) {
            section = format!("{}.", name.trim());
        } else if let Some(value) = filled.next() {
            let dotted = if key.contains('.') { key.to_owned() } else { format!("{section}{key}") };
            pairs.push((dotted, value.trim().to_owned()));
        }
    }
    // The heading row of such a sheet says nothing.
    pairs.retain(|(key, _)| !key.eq_ignore_ascii_case("key"));
    pairs
}

/// One sheet with its headings known.
struct Table<'a> {
    sheet: &'a Sheet,
    header: usize,
    grid: usize,
    source: Arc<Source>,
    /// Columns that are read.
    columns: Vec<(usize, &'static FieldSpec)>,
    /// Columns that mean the same as an earlier one.
    repeated: Vec<(usize, usize, &'static FieldSpec)>,
    /// Cells below no heading begin here.
    end: usize,
    /// Placeholders by column: how many, and the first one.
    placeholders: BTreeMap<usize, (usize, Place)>,
    findings: Vec<Finding>,
}

impl<'a> Table<'a> {
    fn new(sheet: &'a Sheet, header: usize, grid: usize) -> Self {
        let cells = sheet.grid.rows.get(header).map(Vec::as_slice).unwrap_or_default();
        let headings: Vec<String> = cells.iter().map(|cell| text::of(&cell.content).trim().to_owned()).collect();
        let end = headings.iter().rposition(|heading| !heading.is_empty()).map_or(0, |last| last + 1);
        let source = Source { file: sheet.grid.file.clone(), sheet: sheet.grid.sheet.clone(), headings };
        let mut table = Self {
            sheet,
            header,
            grid,
            source: Arc::new(source),
            columns: Vec::new(),
            repeated: Vec::new(),
            end,
            placeholders: BTreeMap::new(),
            findings: Vec::new(),
        };
        table.read_headings();
        table
    }

    fn read_headings(&mut self) {
        let source = Arc::clone(&self.source);
        for (column, heading) in source.headings.iter().enumerate().filter(|(_, heading)| !heading.is_empty()) {
            let place = self.place(self.header, column, heading);
            let Some(field) = headings::field(heading) else {
                let hint =
                    headings::suggestion(heading).map(|name| format!("if `{name}` is meant, write it so")).unwrap_or_default();
                let what = format!("the column `{}` is carried through but not read", text::shortened(heading));
                self.findings.push(Finding::new(&codes::I201_HEADING_UNKNOWN, what).at(place).cure(hint));
                continue;
            };
            let spec = field.spec();
            match self.columns.iter().find(|(_, other)| other.field == field) {
                None => self.columns.push((column, spec)),
                Some(&(first, _)) => {
                    self.repeated.push((column, first, spec));
                    let letters = column_letters(index(first));
                    let what = format!("column {letters} is `{}` already", spec.name);
                    self.findings.push(
                        Finding::new(&codes::I202_HEADING_TWICE, what)
                            .at(place)
                            .why(format!("column {letters} is read; rows in which the two differ are not sized"))
                            .cure("keep one of the two columns, or give the other a heading of its own"),
                    );
                }
            }
        }
    }

    fn read(mut self, intake: &mut Intake) {
        if self.sheet.hidden {
            let what =
                format!("the hidden sheet {} has a heading row and was read", self.source.sheet.as_deref().unwrap_or_default());
            let place = Place { sheet: self.source.sheet.clone(), ..Place::file(&self.source.file) };
            self.findings
                .push(Finding::new(&codes::I208_HIDDEN_SHEET, what).at(place).cure("delete the sheet if it is an old one"));
        }
        let sheet = self.sheet;
        for (number, row) in sheet.grid.rows.iter().enumerate().skip(self.header + 1) {
            let computed = self.sheet.uncomputed.range((index(number), 0)..=(index(number), u32::MAX)).next().is_none();
            if row.iter().all(|cell| text::is_blank(&cell.content)) && computed {
                continue;
            }
            let load = self.read_row(number, row);
            intake.loads.push(load);
        }
        self.note_placeholders();
        self.note_merged();
        intake.findings.append(&mut self.findings);
    }

    fn read_row(&mut self, number: usize, row: &[Cell]) -> Load {
        let mut load = Load::new(Arc::clone(&self.source), self.grid, index(number));
        for position in 0..self.columns.len() {
            let (column, spec) = self.columns[position];
            self.read_cell(&mut load, column, spec, row.get(column).map_or(&Content::Empty, |cell| &cell.content));
        }
        self.check_row(&mut load, number, row);
        if load.entry(Field::Supply).is_some() {
            self.split_supply(&mut load);
        }
        self.check_tag(&mut load);
        load
    }

    fn read_cell(&mut self, load: &mut Load, column: usize, spec: &'static FieldSpec, content: &Content) {
        let uncomputed = self.sheet.uncomputed.contains(&(load.row, index(column)));
        if text::is_blank(content) && !(uncomputed && matches!(content, Content::Empty)) {
            return;
        }
        let seen = text::of(content);
        if uncomputed {
            let nothing = matches!(content, Content::Empty);
            let (code, result) = if nothing {
                (&codes::I108_FORMULA, "no stored result")
            } else {
                (&codes::I109_FORMULA_ZERO, "the stored result 0")
            };
            let what = format!("{} holds a formula with {result}", spec.name);
            self.cell_finding(
                load,
                code,
                column,
                &seen,
                what,
                "open the workbook in a spreadsheet program, recalculate and save it",
            );
            if nothing {
                return;
            }
        }
        match values::read(spec, content) {
            Ok(Some(value)) => {
                load.set(spec.field, Entry { value, column: index(column), text: seen.into_owned() });
            }
            Ok(None) => {
                if !matches!(spec.kind, Kind::Text | Kind::Tags) {
                    let place = self.place(load.row as usize, column, &seen);
                    self.placeholders.entry(column).or_insert((0, place)).0 += 1;
                }
            }
            Err(wrong) => self.cell_finding(load, wrong.code, column, &seen, wrong.what, wrong.cure),
        }
    }

    /// What concerns the row as a whole: repeated columns, cells without a heading, quotation marks.
    fn check_row(&mut self, load: &mut Load, number: usize, row: &[Cell]) {
        for position in 0..self.repeated.len() {
            let (column, first, spec) = self.repeated[position];
            let at = |column: usize| row.get(column).map_or_else(Default::default, |cell| text::of(&cell.content));
            let (one, other) = (at(first), at(column));
            if !other.trim().is_empty() && one.trim() != other.trim() {
                let what = format!(
                    "{} reads `{}` here and `{}` in column {}",
                    spec.name,
                    text::shortened(&other),
                    text::shortened(&one),
                    column_letters(index(first))
                );
                self.cell_finding(load, &codes::I203_CELLS_DIFFER, column, &other, what, "correct one of the two cells");
            }
        }
        let extra = row.iter().enumerate().skip(self.end).find(|(_, cell)| !text::is_blank(&cell.content));
        // In a workbook a remark may stand beside the table; in CSV a comma too many moves every cell behind it.
        if let (Some((column, cell)), None) = (extra, &self.source.sheet) {
            let seen = text::of(&cell.content);
            let what = format!("the row has {} cells but there are {} headings", row.len(), self.end);
            self.cell_finding(
                load,
                &codes::I204_EXTRA_CELLS,
                column,
                &seen,
                what,
                "put texts that hold a comma between quotation marks",
            );
        }
        let opened = self.sheet.open_quote.filter(|quote| quote.row == load.row);
        if self.source.sheet.is_none() && (opened.is_some() || row.iter().any(|cell| self.swallows(cell))) {
            let place = load.place();
            load.rejected = true;
            let line = opened.map(|quote| format!(", opened in line {} and never closed,", quote.line)).unwrap_or_default();
            let what = format!("a quotation mark in row {}{line} takes further rows into one cell", number + 1);
            self.findings.push(
                Finding::new(&codes::I206_QUOTE, what)
                    .at(place)
                    .cure("close the quotation mark, or write it twice where it is meant, as in 6\"\" pipe"),
            );
        }
    }

    /// Whether a cell of CSV holds what looks like rows of the table.
    fn swallows(&self, cell: &Cell) -> bool {
        let Content::Text(text) = &cell.content else { return false };
        let commas = self.end.saturating_sub(1).max(3);
        text.contains('\n') && text.lines().skip(1).any(|line| line.matches(',').count() >= commas)
    }

    fn split_supply(&mut self, load: &mut Load) {
        let Some(entry) = load.entry(Field::Supply).cloned() else { return };
        let column = entry.column as usize;
        let Some(parts) = supply_parts(&entry.text) else {
            let what = format!("supply reads `{}`", text::shortened(&entry.text));
            self.cell_finding(
                load,
                &codes::I116_SUPPLY,
                column,
                &entry.text,
                what,
                "write voltage/phases/frequency, such as 400/3/50 or 460/3/60",
            );
            return;
        };
        for (field, number) in [Field::VoltageV, Field::Phases, Field::FrequencyHz].into_iter().zip(parts) {
            match load.number(field) {
                None => match values::read(field.spec(), &Content::Number(number)) {
                    Ok(Some(value)) => load.set(field, Entry { value, ..entry.clone() }),
                    Ok(None) => {}
                    Err(wrong) => self.cell_finding(load, wrong.code, column, &entry.text, wrong.what, wrong.cure),
                },
                Some(own) if own != number => {
                    let what = format!(
                        "supply reads `{}` but {} reads {}",
                        text::shortened(&entry.text),
                        field.spec().name,
                        text::number_text(own)
                    );
                    self.cell_finding(
                        load,
                        &codes::I117_SUPPLY_CONTRADICTS,
                        column,
                        &entry.text,
                        what,
                        "correct one of the two, or leave one empty",
                    );
                }
                Some(_) => {}
            }
        }
    }

    fn check_tag(&mut self, load: &mut Load) {
        let Some(entry) = load.entry(Field::Tag).cloned() else {
            // A tag that can't be read has its own finding.
            let column = self.columns.iter().find(|(_, spec)| spec.field == Field::Tag).map(|(column, _)| index(*column));
            let said = self
                .findings
                .iter()
                .rev()
                .take_while(|finding| finding.place.as_ref().and_then(|place| place.row) == Some(load.row + 1))
                .any(|finding| {
                    finding.severity == crate::finding::Severity::Error
                        && finding.place.as_ref().and_then(|place| place.column.clone()) == column.map(column_letters)
                });
            load.rejected = true;
            if !said {
                self.findings.push(
                    Finding::new(&codes::I112_TAG_MISSING, "the row has no tag")
                        .at(load.place())
                        .cure("enter the tag of the equipment; remove the row if it is no load"),
                );
            }
            return;
        };
        let Value::Tags(machines) = &entry.value else { return };
        let column = entry.column as usize;
        if let ([_], true) = (machines.as_slice(), tags::looks_like_several(&entry.text)) {
            let what = format!("the tag `{}` was read as one tag", text::shortened(&entry.text));
            self.cell_finding(
                load,
                &codes::I115_TAG_LIST,
                column,
                &entry.text,
                what,
                "write each tag in full, parted by commas, if several machines are meant",
            );
        }
        if let (Some(quantity), true) = (load.count(Field::Quantity), machines.len() > 1)
            && quantity as usize != machines.len()
        {
            let place = load.place_of(Field::Quantity);
            let what = format!(
                "quantity is {quantity} but the tag `{}` names {} machines",
                text::shortened(&entry.text),
                machines.len()
            );
            self.findings.push(Finding::new(&codes::L101_QUANTITY, what).at(place).cure("correct the quantity or the tag"));
        }
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

    fn note_merged(&mut self) {
        for &((top, left), (bottom, _)) in &self.sheet.grid.merged {
            let read = self.columns.iter().any(|(column, _)| index(*column) == left);
            if bottom > top && top > index(self.header) && read {
                let seen = self
                    .sheet
                    .grid
                    .rows
                    .get(top as usize)
                    .and_then(|row| row.get(left as usize))
                    .map(|cell| text::of(&cell.content));
                let seen = seen.unwrap_or_default();
                if seen.trim().is_empty() {
                    continue;
                }
                let what =
                    format!("the cell is merged over rows {} to {}; only the first of them has its value", top + 1, bottom + 1);
                let place = self.place(top as usize, left as usize, &seen);
                self.findings.push(
                    Finding::new(&codes::I207_MERGED, what)
                        .at(place)
                        .cure("unmerge the cells and enter the value in every row that it is meant for"),
                );
            }
        }
    }

    fn cell_finding(
        &mut self,
        load: &mut Load,
        code: &Code,
        column: usize,
        seen: &str,
        what: impl Into<String>,
        cure: impl Into<String>,
    ) {
        let finding = Finding::new(code, what).at(self.place(load.row as usize, column, seen)).cure(cure);
        load.rejected |= finding.severity == crate::finding::Severity::Error;
        self.findings.push(finding);
    }

    fn place(&self, row: usize, column: usize, seen: &str) -> Place {
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

/// Rows and columns are below the maxima, far below what the type holds.
fn index(number: usize) -> u32 {
    u32::try_from(number).unwrap_or(u32::MAX)
}

/// Voltage, phases and frequency of `460/3/60`, `400 V/3ph/50 Hz` or `400/3`.
fn supply_parts(text: &str) -> Option<Vec<f64>> {
    let parts: Vec<&str> = text.split('/').map(str::trim).collect();
    if !(2..=3).contains(&parts.len()) {
        return None;
    }
    let units: [&[&str]; 3] = [&["v"], &["ph", "~", "ø", "phase", "phases"], &["hz"]];
    let number = |part: &str, units: &[&str]| {
        let end = part.find(|c: char| !(c.is_ascii_digit() || c == '.')).unwrap_or(part.len());
        let (digits, unit) = part.split_at(end);
        let unit = unit.trim().to_lowercase();
        (unit.is_empty() || units.contains(&unit.as_str())).then(|| digits.parse::<f64>().ok()).flatten()
    };
    parts.iter().zip(units).map(|(part, units)| number(part, units)).collect()
}

/// A tag that stands twice names two circuits: the later row is refused, with the place of the first.
fn refuse_duplicates(intake: &mut Intake) {
    let mut first: HashMap<String, usize> = HashMap::with_capacity(intake.loads.len());
    let mut found = Vec::new();
    for (number, load) in intake.loads.iter().enumerate() {
        let Some(Value::Tags(tags)) = load.entry(Field::Tag).map(|entry| &entry.value) else { continue };
        let twice = tags.iter().find_map(|tag| {
            let earlier = *first.entry(tag.to_uppercase()).or_insert(number);
            (earlier != number).then_some((tag, earlier))
        });
        let within = || (1..tags.len()).find(|&at| tags[..at].contains(&tags[at])).map(|at| (&tags[at], number));
        if let Some((tag, earlier)) = twice.or_else(within) {
            found.push((number, tag.clone(), earlier));
        }
    }
    for (number, tag, earlier) in found {
        let where_first = match earlier == number {
            true => "in the same cell".to_owned(),
            false => format!("at {}", intake.loads[earlier].place_of(Field::Tag).short()),
        };
        let load = &mut intake.loads[number];
        load.rejected = true;
        let mut place = load.place_of(Field::Tag);
        place.text = place.text.map(|seen| text::shortened(&seen));
        let what = format!("the tag `{}` stands already {where_first}", text::shortened(&tag));
        intake.findings.push(
            Finding::new(&codes::I113_TAG_TWICE, what)
                .at(place)
                .cure("give each load a tag of its own, or remove the row that is too many"),
        );
    }
}
