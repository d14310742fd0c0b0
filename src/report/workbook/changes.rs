//! The changes as a workbook: all rows with both values in each cell that changed and a revision mark before them, then what follows,
//! dials, parts, boards and findings, a sheet each.

use std::collections::{BTreeMap, BTreeSet};

use rust_xlsxwriter::{Format, FormatAlign, Workbook, Worksheet};
use serde_json::Value;

use super::schedule::PAGE_CHARACTERS;
use super::style::{OURS, Styles};
use super::table::{WIDEST, height, lines};
use super::{Paper, ReportError, properties, set_up, text};
use crate::compare::{Changed, Changes, FieldChange, PurchaseChange};
use crate::design::{Circuit, Design};
use crate::load::FIELDS;
use crate::report::ReportInput;
use crate::report::changes::{carried, cell_of, labels, margins, revision, words};
use crate::rules::units::Units;

/// A value of a table.
enum Cell {
    Words(String),
    /// To be added up or compared down its column.
    Number(f64),
    /// A number among words.
    Figure(f64),
    /// It changed: both values.
    Changed(String),
}

/// A sheet: its name, title, heads with widths, rows.
struct Table {
    name: &'static str,
    title: String,
    heads: Vec<(String, f64)>,
    rows: Vec<Vec<Cell>>,
    /// Columns that stay in view.
    frozen: u16,
}

fn words_of(text: impl Into<String>) -> Cell {
    Cell::Words(text.into())
}

/// A value that was decided: a number is one, and no text that looks like it.
fn decided(text: &str, units: Units) -> Cell {
    let shown = words::value(text, units);
    shown.parse().map_or(Cell::Words(shown), Cell::Figure)
}

impl Cell {
    /// Its words, as far as they may wrap.
    fn text(&self) -> &str {
        match self {
            Self::Words(words) | Self::Changed(words) => words,
            Self::Number(_) | Self::Figure(_) => "",
        }
    }
}

/// The workbook as bytes; the same changes give the same bytes.
///
/// # Errors
/// A sheet is larger than the file format allows, or the temporary folder can't be written to.
pub fn write(changes: &Changes, old: &Design, new: &Design) -> Result<Vec<u8>, ReportError> {
    let working = |_: usize| Vec::new();
    let input = ReportInput {
        design: new,
        grids: &[],
        rows: &[],
        mappings: &[],
        skipped: &[],
        basis: &new.basis,
        assumptions: &[],
        cautions: &[],
        sources: &[],
        working: &working,
    };
    let units = Units::of(&new.rule_book);
    let tables = [
        rows(changes, old, new, units),
        consequences(changes, units),
        little_left(changes, units),
        settings(changes, units),
        relabelled(changes),
        bought("Purchase list", &changes.purchase),
        bought("Against the order", &changes.ordered),
        prices(changes),
        boards(changes, units),
        findings(changes),
        around(changes),
    ];
    let formats = Formats::new();
    let mut book = Workbook::new();
    book.set_properties(&properties(&input));
    for (index, table) in tables.iter().enumerate() {
        // The first sheet is there whatever changed.
        if index > 0 && table.rows.is_empty() {
            continue;
        }
        let sheet = book.add_worksheet();
        set_up(sheet, &input, table.name, if index == 0 { Paper::Large } else { Paper::Normal })?;
        put(sheet, table, &formats)?;
        if index == 0 {
            onto_pages(sheet, table)?;
        }
    }
    Ok(book.save_to_buffer()?)
}

/// Formats of the cells.
struct Formats {
    ours: Styles,
    changed: Format,
    number: Format,
    figure: Format,
}

impl Formats {
    fn new() -> Self {
        let top = || Format::new().set_align(FormatAlign::Top);
        Self {
            ours: Styles::new(),
            changed: top().set_bold().set_text_wrap().set_background_color(OURS).set_align(FormatAlign::Left).set_indent(1),
            number: top().set_align(FormatAlign::Right).set_indent(1),
            figure: top().set_align(FormatAlign::Left).set_indent(1),
        }
    }
}

/// Row of the heads.
const HEAD: u32 = 2;

/// Lines of the tallest of these words in their columns.
fn tallest<'t>(cells: impl Iterator<Item = (&'t str, f64)>) -> usize {
    cells.map(|(words, width)| lines(words, width - 1.0)).max().unwrap_or(1)
}

fn put(sheet: &mut Worksheet, table: &Table, formats: &Formats) -> Result<(), ReportError> {
    let styles = &formats.ours;
    sheet.write_string_with_format(0, 0, text::cell(&table.title), &styles.title)?;
    sheet.set_row_height(0, 24)?;
    for (at, (head, width)) in (0u16..).zip(&table.heads) {
        sheet.write_string_with_format(HEAD, at, head, &styles.head)?;
        sheet.set_column_width(at, *width)?;
    }
    sheet.set_row_height(HEAD, height(tallest(table.heads.iter().map(|(head, width)| (head.as_str(), width - 1.0)))) + 4)?;
    let mut last = HEAD;
    for (row, cells) in (HEAD + 1..).zip(&table.rows) {
        last = row;
        let tall = tallest(cells.iter().zip(&table.heads).map(|(cell, (_, width))| (cell.text(), *width)));
        if tall > 1 {
            sheet.set_row_height(row, height(tall))?;
        }
        for (at, cell) in (0u16..).zip(cells) {
            match cell {
                Cell::Words(words) if words.is_empty() => continue,
                Cell::Words(words) => sheet.write_string_with_format(row, at, text::cell(words), &styles.wrapped)?,
                Cell::Number(number) => sheet.write_number_with_format(row, at, *number, &formats.number)?,
                Cell::Figure(number) => sheet.write_number_with_format(row, at, *number, &formats.figure)?,
                Cell::Changed(words) => sheet.write_string_with_format(row, at, text::cell(words), &formats.changed)?,
            };
        }
    }
    let right = u16::try_from(table.heads.len().saturating_sub(1)).unwrap_or(u16::MAX);
    sheet.autofilter(HEAD, 0, last, right)?;
    sheet.set_freeze_panes(HEAD + 1, table.frozen)?;
    sheet.set_repeat_rows(HEAD, HEAD)?;
    sheet.set_print_area(0, 0, last, right)?;
    sheet.set_screen_gridlines(false);
    Ok(())
}

/// As many pages wide as leave the type readable, each with mark and tag at its left.
fn onto_pages(sheet: &mut Worksheet, table: &Table) -> Result<(), ReportError> {
    let width: f64 = table.heads.iter().map(|(_, width)| width).sum();
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // clamped
    sheet.set_print_fit_to_pages((width / PAGE_CHARACTERS).ceil().clamp(1.0, 9.0) as u16, 0);
    sheet.set_repeat_columns(0, table.frozen.saturating_sub(1))?;
    Ok(())
}

/// A column of the sheet: its name, and the columns of the schedule that it shows, in one unit.
type Shown = (String, Vec<&'static str>);

/// Columns that any row states, in their order; the tag leads.
fn stated_columns(old: &Design, new: &Design, units: Units) -> Vec<Shown> {
    let mut stated: BTreeSet<&str> = BTreeSet::new();
    for circuit in old.circuits.iter().chain(&new.circuits) {
        stated.extend(circuit.stated.keys().chain(circuit.unread.keys()).map(String::as_str));
    }
    let mut columns: Vec<Shown> = Vec::new();
    for name in FIELDS.iter().map(|spec| spec.name).filter(|name| *name != "tag" && stated.contains(name)) {
        let shown = words::column_in(name, units);
        match columns.iter_mut().find(|(heading, _)| *heading == shown) {
            Some((_, names)) => names.push(name),
            None => columns.push((shown, vec![name])),
        }
    }
    columns
}

/// All rows of the new side, then those that are gone.
fn rows(changes: &Changes, old: &Design, new: &Design, units: Units) -> Table {
    let columns = stated_columns(old, new, units);
    let mut heads = vec![("Mark".to_owned(), 7.0), ("Tag".to_owned(), 18.0), ("What".to_owned(), 16.0)];
    heads.extend(columns.iter().map(|(shown, _)| (words::column(shown), 0.0)));
    let mark = revision::sign(&changes.letter);
    let told = Told::new(changes);
    let now = new.circuits.iter().map(|circuit| {
        let change = told.changed.get(circuit.tag.as_str());
        let what = told.kind(&circuit.tag);
        let fields = change.map_or(&[][..], |change| &change.fields);
        let lead = [words_of(if what.is_empty() { "" } else { &mark }), told.tag(&circuit.tag), words_of(what)];
        lead.into_iter().chain(columns.iter().map(|(_, names)| value(circuit, names, fields, units))).collect()
    });
    let removed: BTreeSet<&str> = changes.removed.iter().map(|tagged| tagged.tag.as_str()).collect();
    let gone = old.circuits.iter().filter(|circuit| removed.contains(circuit.tag.as_str())).map(|circuit| {
        let lead = [words_of(mark.clone()), words_of(circuit.tag.clone()), words_of("removed")];
        lead.into_iter().chain(columns.iter().map(|(_, names)| value(circuit, names, &[], units))).collect()
    });
    let rows: Vec<Vec<Cell>> = now.chain(gone).collect();
    for (at, (head, width)) in heads.iter_mut().enumerate().skip(3) {
        *width = fitting(head, rows.iter().map(|row| &row[at]));
    }
    let title = format!("Changes: {} against {}", changes.new.file, changes.old.file);
    Table { name: "Rows", title, heads, rows, frozen: 3 }
}

/// Width of a column: as its longest word and value ask, so that all columns go on one page that can be read.
fn fitting<'c>(head: &str, cells: impl Iterator<Item = &'c Cell>) -> f64 {
    let characters = |words: &str| f64::from(u32::try_from(words.chars().count()).unwrap_or(u32::MAX));
    let least = head.split(' ').map(characters).fold(5.0, f64::max) * 1.1 + 2.0;
    let asked = cells
        .map(|cell| if let Cell::Number(number) = cell { characters(&format!("{number}")) } else { characters(cell.text()) });
    (asked.fold(0.0, f64::max) * 1.1 + 2.0).clamp(least, least.max(WIDEST))
}

/// The changes of the rows of the new side, by tag.
struct Told<'c> {
    changed: BTreeMap<&'c str, &'c Changed>,
    added: BTreeSet<&'c str>,
    /// Tag before.
    renamed: BTreeMap<&'c str, &'c str>,
    split: BTreeMap<&'c str, &'c str>,
    merged: BTreeSet<&'c str>,
}

impl<'c> Told<'c> {
    fn new(changes: &'c Changes) -> Self {
        let split = changes.split.iter().flat_map(|split| split.tags.iter().map(|tag| (tag.as_str(), split.old_tag.as_str())));
        Self {
            changed: changes.changed.iter().map(|change| (change.tag.as_str(), change)).collect(),
            added: changes.added.iter().map(|tagged| tagged.tag.as_str()).collect(),
            renamed: changes.renamed.iter().map(|renamed| (renamed.tag.as_str(), renamed.old_tag.as_str())).collect(),
            split: split.collect(),
            merged: changes.merged.iter().map(|merged| merged.tag.as_str()).collect(),
        }
    }

    fn kind(&self, tag: &str) -> String {
        let changed = self.changed.get(tag).map(|change| if change.fields.is_empty() { "circuit differs" } else { "changed" });
        let what = [
            self.added.contains(tag).then(|| "added".to_owned()),
            self.renamed.contains_key(tag).then(|| "renamed".to_owned()),
            self.split.get(tag).map(|before| format!("split from {before}")),
            self.merged.contains(tag).then(|| "merged".to_owned()),
            changed.map(str::to_owned),
        ];
        what.into_iter().flatten().collect::<Vec<_>>().join(", ")
    }

    fn tag(&self, tag: &str) -> Cell {
        self.renamed.get(tag).map_or_else(|| words_of(tag), |before| Cell::Changed(format!("{before} → {tag}")))
    }
}

fn value(circuit: &Circuit, names: &[&str], fields: &[FieldChange], units: Units) -> Cell {
    let text = |name: &str, value: &Value| cell_of(&words::value_in(name, value, units));
    if let Some(change) = fields.iter().find(|change| names.contains(&change.field.as_str())) {
        let name = &change.field;
        let [old, new] = [&change.old, &change.new].map(|value| words::stated(name, &text(name, value), units));
        return Cell::Changed(format!("{old} → {new}"));
    }
    let unread = || names.iter().find_map(|name| circuit.unread.get(*name));
    match names.iter().find_map(|name| Some((*name, circuit.stated.get(*name)?))) {
        None => words_of(unread().map_or("", String::as_str)),
        Some((name, value)) if value.is_number() => {
            text(name, value).parse().map_or_else(|_| words_of(text(name, value)), Cell::Number)
        }
        Some((name, value)) => words_of(words::stated(name, &cell_of(value), units)),
    }
}

fn dash(text: &str) -> &str {
    if text.is_empty() { "–" } else { text }
}

fn heads(of: &[(&str, f64)]) -> Vec<(String, f64)> {
    of.iter().map(|(head, width)| ((*head).to_owned(), *width)).collect()
}

fn table(name: &'static str, of: &[(&str, f64)], rows: Vec<Vec<Cell>>) -> Table {
    Table { name, title: name.to_owned(), heads: heads(of), rows, frozen: 1 }
}

fn consequences(changes: &Changes, units: Units) -> Table {
    let of = changes.changed.iter().flat_map(|row| row.consequences.iter().map(move |consequence| (row, consequence)));
    let rows = of.map(|(row, consequence)| {
        let [old, new] = [&consequence.old, &consequence.new].map(|value| decided(value, units));
        vec![
            words_of(row.tag.clone()),
            words_of(words::place(&consequence.path, units)),
            old,
            new,
            words_of(words::causes(&consequence.because)),
        ]
    });
    table("What follows", &[("Tag", 18.0), ("What", 64.0), ("Before", 34.0), ("Now", 34.0), ("Because of", 36.0)], rows.collect())
}

fn little_left(changes: &Changes, units: Units) -> Table {
    let rows = margins::lines(changes, units).into_iter().map(|line| {
        let [before, now] = line.left;
        let cells = [line.tags.join(", "), line.check, before, now, line.figures, words::causes(line.because)];
        cells.into_iter().map(words_of).collect()
    });
    let of = [("Tag", 18.0), ("Check", 64.0), ("Left before", 12.0), ("Left now", 12.0), ("Figures", 26.0), ("Because of", 36.0)];
    table("Little margin left", &of, rows.collect())
}

fn relabelled(changes: &Changes) -> Table {
    let rows = changes.labels.iter().map(|change| {
        let [old, new] = labels::lines(change);
        vec![words_of(change.tag.clone()), words_of(labels::name(change)), words_of(old), words_of(new)]
    });
    table("Labels anew", &[("Tag", 18.0), ("Label", 40.0), ("Before", 60.0), ("Now", 60.0)], rows.collect())
}

fn settings(changes: &Changes, units: Units) -> Table {
    let rows = changes.settings.iter().map(|change| {
        vec![
            words_of(change.tag.clone()),
            words_of(words::dial(&change.what, units)),
            decided(&change.old, units),
            decided(&change.new, units),
        ]
    });
    let of = [("Tag", 18.0), ("Dial", 64.0), ("Before", 16.0), ("Now", 16.0), ("Set by, date", 26.0)];
    table("Settings", &of, rows.collect())
}

fn bought(name: &'static str, of: &[PurchaseChange]) -> Table {
    let rows = of.iter().map(|change| {
        vec![
            words_of(change.action.clone()),
            words_of(change.part.clone()),
            words_of(change.described()),
            Cell::Number(change.old_quantity),
            Cell::Number(change.new_quantity),
            Cell::Number(change.held_quantity),
            words_of(change.unit.clone()),
            change.price_difference.map_or_else(|| words_of(""), Cell::Number),
            words_of(change.currency.clone()),
        ]
    });
    let heads = [
        ("Action", 10.0),
        ("Part", 26.0),
        ("Description", 60.0),
        ("Before", 10.0),
        ("Now", 10.0),
        ("On hold", 10.0),
        ("Unit", 7.0),
        ("Price difference", 12.0),
        ("Currency", 10.0),
    ];
    table(name, &heads, rows.collect())
}

/// Sums of both lists first, then parts that cost something else.
fn prices(changes: &Changes) -> Table {
    let price = |price: Option<f64>| price.map_or_else(|| words_of(""), Cell::Number);
    let sums = changes.sums.iter().flat_map(|sum| {
        let line = |what: &str, old: f64, new: f64| {
            let lead = [words_of(what), words_of("")];
            let [old, new] = [Cell::Number(old), Cell::Number(new)];
            lead.into_iter().chain([old, words_of(sum.currency.clone()), new, words_of(sum.currency.clone())]).collect()
        };
        [line("Sum to order", sum.old_ordered, sum.ordered), line("Sum of what is needed", sum.old_needed, sum.needed)]
    });
    let parts = changes.prices.iter().map(|change| {
        vec![
            words_of(format!("{}, one {}", change.part, change.unit)),
            words_of(change.description.clone()),
            price(change.old_price),
            words_of(change.old_currency.clone()),
            price(change.new_price),
            words_of(change.currency.clone()),
        ]
    });
    let heads = [("Part", 26.0), ("Description", 60.0), ("Before", 12.0), ("Currency", 10.0), ("Now", 12.0), ("Currency", 10.0)];
    table("Prices", &heads, sums.chain(parts).collect())
}

fn boards(changes: &Changes, units: Units) -> Table {
    let of = changes.boards.iter().flat_map(|board| board.changes.iter().map(move |change| (board, change)));
    let rows = of.map(|(board, change)| {
        let [what, old, new] = words::board(change, units);
        vec![words_of(board.name.clone()), words_of(what), decided(&old, units), decided(&new, units)]
    });
    table("Boards", &[("Board", 18.0), ("What", 36.0), ("Before", 20.0), ("Now", 20.0)], rows.collect())
}

fn findings(changes: &Changes) -> Table {
    let of = |kind: &'static str, list: &[crate::compare::FindingChange]| {
        list.iter()
            .map(|change| {
                vec![
                    words_of(kind),
                    words_of(change.tag.clone()),
                    words_of(change.severity.clone()),
                    words_of(change.code.clone()),
                    words_of(change.what.clone()),
                ]
            })
            .collect::<Vec<_>>()
    };
    let rows = of("new", &changes.findings_new).into_iter().chain(of("gone", &changes.findings_gone)).collect();
    table("Findings", &[("New or gone", 10.0), ("Tag", 18.0), ("Severity", 10.0), ("Code", 8.0), ("What", 90.0)], rows)
}

fn around(changes: &Changes) -> Table {
    let line = |kind: &str, tag: &str, what: String| vec![words_of(kind), words_of(tag), words_of(what)];
    let around = changes.surroundings.iter().map(|surroundings| {
        line(
            "around the schedule",
            "",
            format!("{} {}: {} → {}", surroundings.what, surroundings.key, surroundings.old, surroundings.new),
        )
    });
    let marks = changes
        .revision_marks
        .iter()
        .map(|mark_remark| line("sender's mark", &mark_remark.tag, format!("{} {}", mark_remark.what, mark_remark.mark)));
    let renumbered = changes.renumbered.iter().map(|renumbered| line("renumbered?", "", renumbered.words()));
    let boards = changes.renamed_boards.iter().map(|board| line("board renamed", &board.name, board.words()));
    let renamed = changes
        .renamed
        .iter()
        .map(|renamed| line("renamed", &renamed.tag, format!("before {}: {}", renamed.old_tag, renamed.words())));
    let otherwise = changes
        .said_otherwise
        .iter()
        .map(|said_otherwise| line("said otherwise", &said_otherwise.tag, said_otherwise.what.clone()));
    let carried = carried(changes, usize::MAX).into_iter().map(|[column, tag, old, new]| {
        let what = if tag.is_empty() { column } else { format!("{column}: {} → {}", dash(&old), dash(&new)) };
        line("column not read", &tag, what)
    });
    let rows = renumbered.chain(boards).chain(around).chain(marks).chain(carried).chain(renamed).chain(otherwise).collect();
    table("Remarks", &[("Kind", 20.0), ("Tag", 18.0), ("What", 100.0)], rows)
}
