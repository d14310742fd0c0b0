//! Reads sheets table by table and row by row, and holds rows against each other.

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet, HashMap, HashSet};

use super::error::{IntakeError, IntakeErrorKind};
use super::headings::Recognised;
use super::layout::{self, BlockRow, Layout};
use super::mapping::Overrides;
use super::open::{MAXIMA, ReadOptions, Sheet};
use super::skip::{self, SkipReason, Skipped};
use super::table::{Counters, Table};
use super::{Cell, Content, Detected, Grid, Intake, Row, numbers, text};
use crate::basis;
use crate::finding::{Finding, Place, codes, column_letters};
use crate::load::{Entry, Field, Load, Text, Value};

/// Reads all sheets.
pub(super) fn read(sheets: Vec<Sheet>, file: &str, detected: Detected, options: &ReadOptions) -> Result<Intake, IntakeError> {
    let asked = Asked::of(&sheets, file, &options.sheets)?;
    let mut intake = Intake { detected, ..Intake::default() };
    let is_basis = |sheet: &Sheet| sheet.grid.sheet.as_deref().is_some_and(|name| name.trim().eq_ignore_ascii_case(basis::SHEET));
    for sheet in sheets.iter().filter(|sheet| is_basis(sheet)) {
        intake.basis_pairs.extend(basis_pairs(&sheet.grid));
    }
    let american = options.american || names_one_of(&intake.basis_pairs, &options.american_books);
    let overrides = overrides(&mut intake, options)?;
    let mut counters = Counters::default();
    let mut headings: Vec<String> = Vec::new();
    let mut transposed = None;
    let (mut shapes, mut unread): (Vec<Shape>, Vec<(usize, bool)>) = (Vec::new(), Vec::new());
    for (place, mut sheet) in sheets.into_iter().enumerate() {
        if !is_basis(&sheet) && !asked.reads(place, sheet.hidden) && !sheet.hidden {
            intake.findings.push(left_out(&sheet.grid, &layout::tables(&sheet.grid, &overrides)));
            intake.grids.push(sheet.grid);
            continue;
        }
        // One that is asked for by its name is meant, hidden or not.
        sheet.american = american;
        let out_of_sight = sheet.hidden && !asked.reads(place, true);
        sheet.grid.hidden &= out_of_sight;
        let mut tables = if is_basis(&sheet) || out_of_sight { Vec::new() } else { layout::tables(&sheet.grid, &overrides) };
        if tables.is_empty() {
            if layout::looks_transposed(&sheet.grid) && !out_of_sight {
                transposed = transposed.or_else(|| Some(sheet.grid.sheet.clone().unwrap_or_default()));
            }
            if !is_basis(&sheet) {
                unread.push((intake.grids.len(), out_of_sight));
            }
        } else {
            shapes.extend(tables.iter().filter_map(Shape::of));
            sheet.grid.header_row = tables.first().and_then(|table| u32::try_from(table.header).ok());
            headings.extend(tables.iter().flat_map(|table| table.headings.iter().cloned()));
            read_sheet(&sheet, &mut tables, &mut intake, &mut counters);
        }
        mark_uncomputed(&mut sheet);
        intake.findings.extend(astray(&sheet.grid));
        intake.grids.push(sheet.grid);
    }
    for (number, hidden) in unread {
        let finding = intake.grids.get(number).and_then(|grid| not_read(grid, hidden, &shapes));
        intake.findings.extend(finding);
    }
    overrides.check(headings.iter())?;
    intake.findings.extend(overrides.of_other_schedules(headings.iter(), file));
    if intake.grids.iter().all(|grid| grid.header_row.is_none()) {
        let mut error = no_header(&intake.grids, file, transposed.as_deref());
        if !options.sheets.is_empty() {
            error.message.push_str("; --sheet leaves all other sheets out");
        }
        return Err(error);
    }
    boards_from_sheets(&mut intake);
    name_partners(&mut intake);
    if is_any_twice(counters.tags) {
        refuse_duplicates(&mut intake);
    }
    ask_of_boards(&mut intake);
    Ok(intake)
}

/// Puts a mark where a formula has no stored result: an empty cell in its place would be read as one that states nothing.
fn mark_uncomputed(sheet: &mut Sheet) {
    for &(row, column) in &sheet.uncomputed {
        let column = column as usize;
        let Some(cells) = sheet.grid.rows.cells_mut().get_mut(row as usize) else { continue };
        if column < MAXIMA.columns && cells.len() <= column {
            cells.resize_with(column + 1, Cell::default);
        }
        if let Some(cell) = cells.get_mut(column).filter(|cell| cell.content == Content::Empty) {
            cell.content = Content::Error(text::UNCOMPUTED.into());
        }
    }
}

/// Cells so far from everything else that they are left out.
fn astray(grid: &Grid) -> impl Iterator<Item = Finding> + use<'_> {
    grid.astray.iter().map(|(row, column, text)| {
        let place = Place {
            sheet: grid.sheet.clone(),
            row: Some(row.saturating_add(1)),
            column: Some(column_letters(*column)),
            text: Some(text.clone()),
            ..Place::file(&grid.file)
        };
        Finding::new(&codes::I483_CELL_ASTRAY, format!("the cell holds `{text}`, far from everything else, and was not read"))
            .at(place)
            .cure("clear the cell, or move what it says to the schedule")
    })
}

/// Which sheets the user asks for.
struct Asked(Option<HashSet<usize>>);

impl Asked {
    /// The places of these sheets, whatever their capitals; a workbook has no two names that differ in capitals alone.
    fn of(sheets: &[Sheet], file: &str, names: &[String]) -> Result<Self, IntakeError> {
        if names.is_empty() {
            return Ok(Self(None));
        }
        let there: Vec<Option<&str>> = sheets.iter().map(|sheet| sheet.grid.sheet.as_deref()).collect();
        let refuse = |what: String| Err(IntakeError::new(IntakeErrorKind::NoSheet, what));
        if there.iter().all(Option::is_none) {
            return refuse(format!("{file}: delimited text has no sheets; leave --sheet out"));
        }
        let plain = |name: &str| name.trim().to_lowercase();
        let mut places = HashSet::new();
        for name in names {
            let Some(place) = there.iter().position(|sheet| sheet.is_some_and(|sheet| plain(sheet) == plain(name))) else {
                let known = there.iter().flatten().map(|sheet| format!("`{sheet}`")).collect::<Vec<_>>().join(", ");
                return refuse(format!("{file}: no sheet `{name}`; its sheets are {known}"));
            };
            places.insert(place);
        }
        Ok(Self(Some(places)))
    }

    /// A sheet is to be read; of hidden ones those alone that are asked for.
    fn reads(&self, place: usize, hidden: bool) -> bool {
        self.0.as_ref().map_or(!hidden, |places| places.contains(&place))
    }
}

/// A sheet that is not among those which the user asks for. What seems to hold loads must not be left out without a word.
fn left_out(grid: &Grid, tables: &[Layout]) -> Finding {
    let name = grid.sheet.as_deref().unwrap_or_default();
    let place = Place { sheet: grid.sheet.clone(), ..Place::file(&grid.file) };
    let Some(first) = tables.first() else {
        let what = format!("the sheet {name} was not read: --sheet names others");
        return Finding::new(&codes::I410_SHEET_NOT_READ, what).at(place);
    };
    let below = |table: &Layout| grid.rows.range(table.first..table.end).filter(|row| skip::filled(*row).len() > 1).count();
    let rows: usize = tables.iter().map(below).sum();
    let place = Place { row: u32::try_from(first.start() + 1).ok(), ..place };
    let rows = if rows == 1 { "one row".to_owned() } else { format!("{rows} rows") };
    Finding::new(
        &codes::I450_SHEET_LEFT_OUT,
        format!("the sheet {name} with {rows} below its headings was not read: --sheet names others"),
    )
    .at(place)
    .why("its loads are in no sum of a board and on no list")
    .cure("nothing, if it is an older list or another project's; else name it with a further --sheet")
}

/// The headings that the user maps: on the command line first, then in the `Basis` sheet.
fn overrides(intake: &mut Intake, options: &ReadOptions) -> Result<Overrides, IntakeError> {
    let mut pairs = options.columns.clone();
    intake.basis_pairs.retain(|(key, value)| match key.strip_prefix("columns.") {
        Some(heading) => {
            pairs.push((heading.trim().to_owned(), value.clone()));
            false
        }
        None => true,
    });
    Overrides::new(&pairs, &options.columns_of_basis)
}

/// Whether the basis on a sheet names one of these rule books.
fn names_one_of(pairs: &[(String, String)], books: &[String]) -> bool {
    let is_one = |named: &str| books.iter().any(|book| book.eq_ignore_ascii_case(named.trim()));
    pairs.iter().any(|(key, named)| key.eq_ignore_ascii_case("rules.book") && is_one(named))
}

/// Columns of tags and of powers of a table that was read: where further loads would have theirs.
struct Shape {
    tag: usize,
    powers: Vec<usize>,
}

impl Shape {
    fn of(table: &Layout) -> Option<Self> {
        let columns = |fields: &[Field]| {
            let one_of_them =
                |found: &Option<Recognised>| found.as_ref().is_some_and(|found| fields.iter().any(|field| found.may_be(*field)));
            (0..table.recognised.len()).filter(|column| one_of_them(&table.recognised[*column])).collect::<Vec<_>>()
        };
        let powers =
            columns(&[Field::RatedPowerKw, Field::RatedPowerHp, Field::FullLoadCurrentA, Field::MinimumCircuitAmpacityA]);
        Some(Self { tag: *columns(&[Field::Tag]).first()?, powers }).filter(|shape| !shape.powers.is_empty() && !table.unread)
    }

    /// Whether a row has a tag and a figure where the table has them.
    fn fits(&self, row: Row<'_>) -> bool {
        let tag = row.seen(self.tag);
        let named = tag.len() <= 24
            && tag.bytes().any(|byte| byte.is_ascii_digit())
            && tag.bytes().any(|byte| byte.is_ascii_alphabetic());
        named && self.powers.iter().any(|column| numbers::number(&row.seen(*column)).is_ok())
    }
}

/// Rows in a part of a sheet that look like loads of a table.
fn like_loads<'a>(rows: impl Iterator<Item = Row<'a>>, shapes: &[Shape]) -> Vec<usize> {
    rows.enumerate().filter(|(_, row)| shapes.iter().any(|shape| shape.fits(*row))).map(|(number, _)| number).collect()
}

fn not_read(grid: &Grid, hidden: bool, shapes: &[Shape]) -> Option<Finding> {
    let name = grid.sheet.as_deref()?;
    let place = Place { sheet: Some(name.to_owned()), ..Place::file(&grid.file) };
    // A list of something else has headings of its own.
    let headed = grid.rows.iter().any(|row| {
        let filled = skip::filled(row);
        filled.len() >= 3 && filled.iter().all(|(_, text)| !text.bytes().any(|byte| byte.is_ascii_digit()))
    });
    let loads = if hidden || headed { Vec::new() } else { like_loads(grid.rows.iter(), shapes) };
    if let [first, _, ..] = loads.as_slice() {
        let what = format!("the sheet {name} was not read: it has no heading row, but {} rows like those of loads", loads.len());
        let place = Place { row: u32::try_from(first + 1).ok(), ..place };
        let cure = "put the headings above them, or the rows below those of the sheet that they continue";
        return Some(Finding::new(&codes::I430_LOADS_NOT_READ, what).at(place).cure(cure));
    }
    let near = || layout::nearest_headings(grid).filter(|near| near.known >= 3);
    let near = if hidden { None } else { near() };
    if let Some(near) = near.as_ref().filter(|near| near.of_loads) {
        return Some(sheet_of_loads(near, name, place));
    }
    let near = near.map(|near| format!(": those in row {} {}", near.row + 1, near.lacks));
    let why = if hidden {
        "it is hidden".to_owned()
    } else {
        format!("it has no heading row of a schedule{}", near.unwrap_or_default())
    };
    let cure = if hidden { "unhide the sheet, or name it with --sheet, if its loads belong to the schedule" } else { "" };
    Some(Finding::new(&codes::I410_SHEET_NOT_READ, format!("the sheet {name} was not read: {why}")).at(place).cure(cure))
}

/// A sheet of loads whose column of tags nobody knows: what it feeds is in no sum and on no list.
fn sheet_of_loads(near: &layout::Near, name: &str, place: Place) -> Finding {
    let unknown = near.unknown.first().map(|heading| text::shortened(heading)).unwrap_or_default();
    let what =
        format!("the sheet {name} seems to hold loads and was not read: its headings in row {} {}", near.row + 1, near.lacks);
    Finding::new(&codes::I489_SHEET_OF_LOADS, what)
        .at(Place { row: u32::try_from(near.row + 1).ok(), ..place })
        .why("its loads are in no sum of a board, on no list and in no drawing")
        .cure(format!("say which column holds the tags with --map 'HEADING=tag' or in the table [columns] of the basis, such as `{unknown}`; nothing, if it is no list of this project's loads"))
}

fn no_header(grids: &[Grid], file: &str, transposed: Option<&str>) -> IntakeError {
    let looked = "no heading row was found in the first 1000 rows of any sheet: it holds a heading of tags and one of power or current, such as Tag and kW, or the canonical names, such as tag, rated_power_kw, voltage_v, starting_method";
    let near = grids
        .iter()
        .filter_map(|grid| layout::nearest_headings(grid).map(|near| (grid, near)))
        .max_by_key(|(_, near)| near.known);
    let near = near.map_or_else(String::new, |(grid, near)| {
        let sheet = grid.sheet.as_ref().map(|name| format!(" of sheet {name}")).unwrap_or_default();
        let unknown = near.unknown.iter().map(|heading| format!("`{}`", text::shortened(heading))).collect::<Vec<_>>().join(", ");
        format!(
            "; row {}{sheet} comes nearest, but {}: say which column it is with --map 'HEADING={}' (not known: {unknown})",
            near.row + 1,
            near.lacks,
            near.field
        )
    });
    let first = grids.iter().flat_map(|grid| grid.rows.iter()).flat_map(Row::iter).find(|cell| !text::is_blank(&cell.content));
    let separators = first.is_some_and(|cell| text::of(&cell.content).matches([';', '\t']).count() >= 2);
    let hint = match (transposed, separators) {
        (Some(_), _) => {
            "; the first column holds headings, so the loads seem to stand in columns: turn the table, with one load in each row"
        }
        (None, true) => "; the columns seem to be parted by semicolons or tabs: save the file with commas",
        (None, false) => "",
    };
    IntakeError::new(IntakeErrorKind::NoHeader, format!("{file}: {looked}{near}{hint}"))
}

/// Reads the tables of one sheet and says what its other rows are.
fn read_sheet(sheet: &Sheet, tables: &mut [Layout], intake: &mut Intake, counters: &mut Counters) {
    let grid = &sheet.grid;
    let number = intake.grids.len();
    let several = tables.len() > 1;
    let mut section = title_rows(grid, tables, several, &mut intake.skipped);
    let shapes: Vec<Shape> = tables.iter().filter_map(Shape::of).collect();
    let above = like_loads(grid.rows.range(0..tables[0].start()), &shapes);
    if let Some(first) = above.first() {
        let place = Place { sheet: grid.sheet.clone(), row: u32::try_from(first + 1).ok(), ..Place::file(&grid.file) };
        let what =
            format!("{} rows above the headings in row {} look like loads and were not read", above.len(), tables[0].start() + 1);
        let cure = "move them below the headings, or give them headings of their own";
        intake.findings.push(Finding::new(&codes::I430_LOADS_NOT_READ, what).at(place).cure(cure));
    }
    let titles: HashSet<String> = grid.rows.range(0..tables[0].start()).map(skip::signature).collect();
    for (position, table) in tables.iter().enumerate() {
        for (row, kind) in &table.block {
            let reason = match kind {
                BlockRow::Header => SkipReason::Header,
                BlockRow::Units => SkipReason::Units,
                BlockRow::Letters => SkipReason::ColumnLetters,
            };
            intake.skipped.push(skipped(grid, *row, reason));
        }
        if table.unread {
            intake.findings.push(table_not_read(grid, table));
            continue;
        }
        let mut reading = Table::new(sheet, table, number, &titles, section.take());
        section = reading.read(intake, counters, position + 1 < tables.len());
    }
    if !grid.hidden_rows.is_empty() {
        say_hidden_rows(grid, number, intake);
    }
}

/// A hidden row that was read like the others says so.
fn say_hidden_rows(grid: &Grid, number: usize, intake: &mut Intake) {
    let read: HashSet<u32> = intake.loads.iter().filter(|load| load.grid == number).map(|load| load.row).collect();
    for &row in grid.hidden_rows.iter().filter(|row| read.contains(row)) {
        let place = Place { sheet: grid.sheet.clone(), row: Some(row + 1), ..Place::file(&grid.file) };
        let what = format!("row {} is hidden and was read: a hidden load still loads the board", row + 1);
        let cure = "delete the row if the load is gone";
        intake.findings.push(Finding::new(&codes::I408_HIDDEN_ROW, what).at(place).cure(cure));
    }
}

/// A table without a heading of tags, or without one of power.
fn table_not_read(grid: &Grid, table: &Layout) -> Finding {
    let place = Place { sheet: grid.sheet.clone(), row: u32::try_from(table.header + 1).ok(), ..Place::file(&grid.file) };
    let rows = match table.end.saturating_sub(table.first) {
        0 => "no rows".to_owned(),
        _ => format!("rows {} to {}", table.first + 1, table.end),
    };
    let what =
        format!("the headings in row {} {}, so that {rows} were not read", table.header + 1, layout::lacking(&table.recognised));
    Finding::new(&codes::I431_TABLE_NOT_READ, what)
        .at(place)
        .cure("say what the columns mean with --map 'HEADING=tag', or a table [columns] in the basis")
}

pub(super) fn skipped(grid: &Grid, row: usize, reason: SkipReason) -> Skipped {
    Skipped { sheet: grid.sheet.clone(), row: u32::try_from(row).unwrap_or(u32::MAX).saturating_add(1), reason }
}

/// Rows above the first table; the line over it is a subtitle where several tables stand on the sheet.
fn title_rows(grid: &Grid, tables: &[Layout], several: bool, skipped_rows: &mut Vec<Skipped>) -> Option<Text> {
    let start = tables.first().map_or(0, Layout::start);
    let mut section = None;
    for (row, cells) in grid.rows.iter().enumerate().take(start) {
        let filled = skip::filled(cells);
        match filled.as_slice() {
            [] => {}
            [(_, text)] if several && row + 1 == start => {
                section = Some(text.as_str().into());
                skipped_rows.push(skipped(grid, row, SkipReason::Section));
            }
            _ => skipped_rows.push(skipped(grid, row, SkipReason::Title)),
        }
    }
    section
}

/// The nearest line above the headings with a single text, over blank rows alone.
pub(super) fn title_above(grid: &Grid, start: usize) -> Option<String> {
    let above = grid.rows.iter().take(start).collect::<Vec<_>>();
    let filled = above.into_iter().rev().map(skip::filled).find(|filled| !filled.is_empty())?;
    match filled.as_slice() {
        [(_, text)] => Some(text.as_str().to_owned()),
        _ => None,
    }
}

/// Where every board has a sheet of its own and no column names it, the sheets' names do.
fn boards_from_sheets(intake: &mut Intake) {
    let read: Vec<usize> = (0..intake.grids.len()).filter(|&grid| intake.grids[grid].header_row.is_some()).collect();
    let named = intake.loads.iter().any(|load| load.entry(Field::Board).is_some())
        || intake.mappings.iter().any(|mapping| mapping.field == Some(Field::Board));
    if read.len() < 2 || named {
        return;
    }
    for load in &mut intake.loads {
        let Some(name) = intake.grids.get(load.grid).and_then(|grid| grid.sheet.clone()) else { continue };
        let column = load.entry(Field::Tag).map_or(0, |entry| entry.column);
        load.set(Field::Board, Entry { value: Value::Text(name.as_str().into()), column, text: name.into() });
    }
}

/// A tag as it is told from others: case and blanks make no difference.
pub(super) fn identity(tag: &str) -> Cow<'_, str> {
    if tag.bytes().all(|byte| byte.is_ascii_graphic() && !byte.is_ascii_lowercase()) {
        return Cow::Borrowed(tag);
    }
    tag.chars().filter(|letter| !letter.is_whitespace()).flat_map(char::to_uppercase).collect()
}

/// Partners of an interlock in the words of their own rows: `p-4` is `P-4`, as it is where a tag stands twice.
fn name_partners(intake: &mut Intake) {
    if !intake.loads.iter().any(|load| load.has(Field::InterlockWith)) {
        return;
    }
    let names: HashMap<String, String> =
        intake.loads.iter().flat_map(Load::tags).map(|tag| (identity(&tag).into_owned(), tag.clone())).collect();
    for load in &mut intake.loads {
        let Some(entry) = load.entry(Field::InterlockWith).cloned() else { continue };
        let Value::Text(listed) = &entry.value else { continue };
        let named = |tag: &str| names.get(identity(tag).as_ref()).cloned().unwrap_or_else(|| tag.to_owned());
        let partners = load.interlock_partners().map(named).collect::<Vec<_>>().join(", ");
        if partners.as_str() != &**listed {
            load.set(Field::InterlockWith, Entry { value: Value::Text(partners.into()), ..entry });
        }
    }
}

/// Keys and values of a sheet of two columns. Keys are dotted, or stand below a row that names their `[section]`;
/// each `[[section]]` row begins a further entry, `section.1`, `section.2`, ...
fn basis_pairs(grid: &Grid) -> Vec<(String, String)> {
    let mut pairs = Vec::new();
    let mut section = String::new();
    let mut numbers: BTreeMap<String, usize> = BTreeMap::new();
    for row in grid.rows.iter() {
        let mut filled = (0..row.len()).filter(|column| !row.is_blank(*column)).map(|column| row.seen(column));
        let Some(key) = filled.next() else { continue };
        let key = key.trim();
        if let Some(name) = key.strip_prefix("[[").and_then(|rest| rest.strip_suffix("]]")) {
            let number = numbers.entry(name.trim().to_owned()).or_default();
            *number += 1;
            section = format!("{}.{number}.", name.trim());
        } else if let Some(name) = key.strip_prefix('[').and_then(|rest| rest.strip_suffix(']')) {
            section = format!("{}.", name.trim());
        } else if let Some(value) = filled.next() {
            // Headings may hold full stops: `Tag No.`
            let dotted = if key.contains('.') && section != "columns." { key.to_owned() } else { format!("{section}{key}") };
            pairs.push((dotted, value.trim().to_owned()));
        }
    }
    // The heading row of such a sheet says nothing.
    pairs.retain(|(key, _)| !key.eq_ignore_ascii_case("key"));
    pairs
}

/// Hash of a tag: tags that are told from others by nothing have the same.
pub(super) fn hash(tag: &str) -> u64 {
    text::hash(&identity(tag))
}

/// Whether two hashes are the same, which those of most schedules are not; which rows they are of, if any, is not asked here.
fn is_any_twice(mut hashes: Vec<u64>) -> bool {
    // Parts have sorted theirs.
    hashes.sort();
    hashes.windows(2).any(|pair| pair[0] == pair[1])
}

/// A row that bears the name of the board of others may be that board with the sum of what it feeds, which then counts twice.
fn ask_of_boards(intake: &mut Intake) {
    let mut boards: HashMap<Cow<'_, str>, BTreeSet<usize>> = HashMap::new();
    for (number, load) in intake.loads.iter().enumerate() {
        // Two rows of a board tell of each of them whether others name it.
        let Some(rows) = load.text(Field::Board).map(|board| boards.entry(identity(board)).or_default()) else { continue };
        if rows.len() < 2 {
            rows.insert(number);
        }
    }
    let feeds_others =
        |number: usize, tag: &str| boards.get(identity(tag).as_ref()).is_some_and(|rows| rows.iter().any(|row| *row != number));
    let is_board = |number: usize, load: &Load| match load.entry(Field::Tag).map(|entry| &entry.value) {
        Some(Value::Tags(tags)) => tags.iter().any(|tag| feeds_others(number, tag)),
        _ => false,
    };
    let asked = |load: &Load| {
        Finding::new(&codes::I452_TAG_OF_BOARD, format!("`{}` is the board of other rows, and was read as a load", load.tag()))
            .at(load.place_of(Field::Tag))
            .why("where the row sums up what the board feeds, its power counts twice")
            .cure("take the row out and describe the board in the basis ([[board]] with fed_from), or give the load a tag of its own")
    };
    let read = intake.loads.iter().enumerate().filter(|(_, load)| !load.rejected);
    let found: Vec<Finding> = read.filter(|(number, load)| is_board(*number, load)).map(|(_, load)| asked(load)).collect();
    intake.findings.extend(found);
}

/// A tag that stands twice names two circuits: the later row is refused, with the place of the first.
fn refuse_duplicates(intake: &mut Intake) {
    let mut first: HashMap<Cow<'_, str>, usize> = HashMap::with_capacity(intake.loads.len());
    let mut found = Vec::new();
    for (number, load) in intake.loads.iter().enumerate() {
        let Some(Value::Tags(tags)) = load.entry(Field::Tag).map(|entry| &entry.value) else { continue };
        let twice = tags.iter().find_map(|tag| {
            let earlier = *first.entry(identity(tag)).or_insert(number);
            (earlier != number).then_some((tag, earlier))
        });
        let same = |at: usize| tags[..at].iter().any(|earlier| identity(earlier) == identity(&tags[at]));
        let within = || (1..tags.len()).find(|&at| same(at)).map(|at| (&tags[at], number));
        if let Some((tag, earlier)) = twice.or_else(within) {
            found.push((number, tag.clone(), earlier));
        }
    }
    for (number, tag, earlier) in found {
        let where_first = if earlier == number {
            "in the same cell".to_owned()
        } else {
            format!("at {}", intake.loads[earlier].place_of(Field::Tag).short())
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
