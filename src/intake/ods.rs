//! Reads ODS as a stream: repeated blanks cost nothing, only cells that hold something are kept and counted.
//!
//! The library that reads other workbooks lays out every repeated row and column before it hands out a cell, and tells nothing
//! of styles, so this one is read here.

use std::collections::{BTreeMap, BTreeSet};
use std::io::Cursor;

use quick_xml::events::{BytesStart, Event};

use super::error::IntakeError;
use super::open::{MAXIMA, Sheet};
use super::shown::{self, Offset};
use super::workbook::{
    Filler, beyond_columns, beyond_rows, check_sheets, damaged, merge, number_content, sheet_of, too_large, unstruck,
};
use super::{Cell, Content, Row, Struck, dates, text, xml};

/// Longest chain of styles that inherit from each other.
const LONGEST_CHAIN: usize = 32;
/// Deepest nesting of elements; no spreadsheet program nests a tenth of that.
const DEEPEST: usize = 1_000;

/// All sheets.
pub(super) fn read(file: &str, bytes: &[u8]) -> Result<Vec<Sheet>, IntakeError> {
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).map_err(|error| damaged(file, error))?;
    let mut styles = Styles::default();
    let mut reader = ContentReader::new(file);
    for name in ["styles.xml", "content.xml"] {
        let part = xml::part(&mut archive, name).map_err(|why| damaged(file, why))?;
        let Some(mut part) = part else {
            if name == "styles.xml" {
                continue;
            }
            return Err(damaged(file, "it has no contents"));
        };
        let mut buffer = Vec::new();
        loop {
            buffer.clear();
            match part.read_event_into(&mut buffer).map_err(|error| damaged(file, error))? {
                Event::Eof => break,
                event => {
                    styles.take(&event);
                    if name == "content.xml" {
                        reader.take(&event, &styles)?;
                    }
                }
            }
        }
    }
    if reader.begun && !reader.ended {
        return Err(damaged(file, "its contents break off"));
    }
    Ok(reader.sheets)
}

/// A style, as far as it says something here.
#[derive(Default)]
struct Style {
    parent: Option<String>,
    struck: Option<bool>,
    shown: Option<bool>,
    /// Text set higher than the line, as a footnote mark is, or lower.
    offset: Option<Offset>,
}

/// Reads `super 58%`, `33% 58%`, `sub 58%`, `-33% 58%`.
fn offset_of(position: &str) -> Offset {
    let first = position.split_whitespace().next().unwrap_or_default();
    let share: f64 = first.trim_end_matches('%').parse().unwrap_or(0.0);
    match first {
        "super" => Offset::Raised,
        "sub" => Offset::Lowered,
        _ if share > 0.0 => Offset::Raised,
        _ if share < 0.0 => Offset::Lowered,
        _ => Offset::None,
    }
}

/// Styles by family and name.
#[derive(Default)]
struct Styles {
    styles: BTreeMap<(String, String), Style>,
    current: Option<(String, String)>,
}

impl Styles {
    fn take(&mut self, event: &Event<'_>) {
        match event {
            Event::Start(element) => match element.local_name().as_ref() {
                "style" => {
                    let Some(family) = xml::attribute(element, "family") else { return };
                    let key = (family, xml::attribute(element, "name").unwrap_or_default());
                    let style = Style { parent: xml::attribute(element, "parent-style-name"), ..Style::default() };
                    self.styles.insert(key.clone(), style);
                    self.current = Some(key);
                }
                "text-properties" => {
                    let line = ["text-line-through-style", "text-line-through-type"].map(|name| xml::attribute(element, name));
                    let struck = line.iter().flatten().next().map(|_| line.iter().flatten().all(|line| line != "none"));
                    if let (Some(style), Some(struck)) = (self.current_style(), struck) {
                        style.struck = Some(struck);
                    }
                    let offset = xml::attribute(element, "text-position").map(|attribute| offset_of(&attribute));
                    if let (Some(style), Some(offset)) = (self.current_style(), offset) {
                        style.offset = Some(offset);
                    }
                }
                "table-properties" => {
                    let shown = xml::attribute(element, "display").map(|attribute| attribute != "false");
                    if let Some(style) = self.current_style() {
                        style.shown = shown;
                    }
                }
                _ => {}
            },
            Event::End(element) if element.local_name().as_ref() == "style" => self.current = None,
            _ => {}
        }
    }

    fn current_style(&mut self) -> Option<&mut Style> {
        self.styles.get_mut(self.current.as_ref()?)
    }

    /// Asks a style and those that it inherits from.
    fn ask<T>(&self, family: &str, name: Option<&str>, what: impl Fn(&Style) -> Option<T>) -> Option<T> {
        let mut name = name?.to_owned();
        for _ in 0..LONGEST_CHAIN {
            let style = self.styles.get(&(family.to_owned(), name))?;
            if let Some(answer) = what(style) {
                return Some(answer);
            }
            name = style.parent.clone()?;
        }
        None
    }

    fn is_struck(&self, family: &str, name: Option<&str>) -> Option<bool> {
        self.ask(family, name, |style| style.struck)
    }
}

/// A cell that is being read.
#[derive(Default)]
struct Open {
    content: Content,
    kind: String,
    formula: bool,
    error: bool,
    percent: bool,
    struck: bool,
    covered: bool,
    columns: u64,
    /// Rows and columns that it is merged over.
    span: (u32, u32),
    runs: Vec<(String, bool)>,
    paragraphs: usize,
    /// Whether the text is struck through, and how it stands to the line, for each span that is open.
    spans: Vec<(Option<bool>, Option<Offset>)>,
    /// A text that stands in an attribute instead of paragraphs.
    stated: Option<String>,
}

/// Reads the contents.
struct ContentReader<'a> {
    file: &'a str,
    filler: Filler<'a>,
    sheets: Vec<Sheet>,
    begun: bool,
    ended: bool,
    /// Elements that are open within a table of a sheet; nothing outside is read.
    path: Vec<Element>,
    row: u64,
    repeated: u64,
    column: u64,
    /// Default styles of columns: first column, behind the last, style.
    column_styles: Vec<(u64, u64, Option<String>)>,
    column_count: u64,
    /// Groups of rows or columns that are folded away.
    folded: usize,
    cells: Vec<(u64, Cell, bool)>,
    cell: Option<Open>,
    hidden_row: bool,
    merged: Vec<(u64, (u32, u32))>,
}

/// The role of an open element in the reading.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Element {
    Table,
    Row,
    Cell,
    Paragraph,
    Span,
    /// A folded group.
    Folded,
    /// Read through.
    Plain,
    /// Not read, with all that is in it: remarks, pictures, tables in cells, old versions.
    Passed,
}

impl<'a> ContentReader<'a> {
    fn new(file: &'a str) -> Self {
        Self {
            file,
            filler: Filler::new(file),
            sheets: Vec::new(),
            begun: false,
            ended: false,
            path: Vec::new(),
            row: 0,
            repeated: 1,
            column: 0,
            column_styles: Vec::new(),
            column_count: 0,
            folded: 0,
            cells: Vec::new(),
            cell: None,
            hidden_row: false,
            merged: Vec::new(),
        }
    }

    fn take(&mut self, event: &Event<'_>, styles: &Styles) -> Result<(), IntakeError> {
        match event {
            Event::Start(element) => {
                if element.local_name().as_ref() == "spreadsheet" {
                    self.begun = true;
                    return Ok(());
                }
                if !self.begun || self.ended {
                    return Ok(());
                }
                if self.path.len() > DEEPEST {
                    return Err(damaged(self.file, "its elements are nested too deep"));
                }
                let meaning =
                    if self.path.last() == Some(&Element::Passed) { Element::Passed } else { self.start(element, styles)? };
                self.path.push(meaning);
            }
            Event::End(element) => {
                if element.local_name().as_ref() == "spreadsheet" {
                    self.ended = true;
                    return Ok(());
                }
                if let Some(meaning) = self.path.pop() {
                    self.end(meaning)?;
                }
            }
            Event::Text(_) | Event::CData(_) | Event::GeneralRef(_) => {
                let paragraph = matches!(self.path.last(), Some(Element::Paragraph | Element::Span));
                if let Some(cell) = self.cell.as_mut().filter(|_| paragraph) {
                    let offset = cell.spans.iter().rev().find_map(|(_, offset)| *offset).unwrap_or(Offset::None);
                    let before = cell.runs.last().and_then(|(text, _)| text.chars().last());
                    let text = run(cell);
                    let length = text.len();
                    xml::add_event(text, event);
                    if offset != Offset::None {
                        let added = text.split_off(length);
                        text.push_str(&offset.told(before, added));
                    }
                    // Line ends and indents of the file are no part of the text.
                    if text.get(length..).is_some_and(|added| added.contains(['\n', '\r'])) {
                        let added = text.split_off(length).replace(['\n', '\r'], " ");
                        text.push_str(&added);
                    }
                }
            }
            _ => {}
        }
        Ok(())
    }

    fn start(&mut self, element: &BytesStart<'_>, styles: &Styles) -> Result<Element, IntakeError> {
        let name = element.local_name();
        Ok(match (name.as_ref(), self.cell.is_some()) {
            (
                "tracked-changes"
                | "dde-links"
                | "content-validations"
                | "named-expressions"
                | "database-ranges"
                | "shapes"
                | "forms",
                false,
            ) => Element::Passed,
            ("table", false) if self.path.is_empty() => {
                self.begin_table(element, styles)?;
                Element::Table
            }
            ("table", _) => Element::Passed,
            ("table-column", false) => {
                self.take_columns(element);
                Element::Plain
            }
            ("table-row-group" | "table-column-group", false)
                if xml::attribute(element, "display").is_some_and(|attribute| attribute == "false") =>
            {
                self.folded += 1;
                Element::Folded
            }
            ("table-row", false) => {
                self.repeated = xml::number(element, "number-rows-repeated").unwrap_or(1).max(1);
                self.hidden_row =
                    self.folded > 0 || xml::attribute(element, "visibility").is_some_and(|attribute| attribute != "visible");
                self.column = 0;
                Element::Row
            }
            ("table-cell" | "covered-table-cell", false) if self.path.last() == Some(&Element::Row) => {
                self.cell = Some(self.begin_cell(element, name.as_ref() == "covered-table-cell", styles));
                Element::Cell
            }
            (outer, true) => self.start_in_cell(outer, element, styles),
            (_, false) => Element::Plain,
        })
    }

    /// Paragraphs, spans and blanks of the text of the cell that is open.
    fn start_in_cell(&mut self, name: &str, element: &BytesStart<'_>, styles: &Styles) -> Element {
        let in_cell = self.path.last() == Some(&Element::Cell);
        let Some(cell) = &mut self.cell else { return Element::Passed };
        match name {
            "p" | "h" if in_cell => {
                if cell.paragraphs > 0 {
                    xml::add(run(cell), "\n");
                }
                cell.paragraphs += 1;
                Element::Paragraph
            }
            "span" => {
                let style = xml::attribute(element, "style-name");
                let offset = styles.ask("text", style.as_deref(), |style| style.offset);
                cell.spans.push((styles.is_struck("text", style.as_deref()), offset));
                Element::Span
            }
            // A link is read as its text and never followed.
            "a" => {
                cell.spans.push((None, None));
                Element::Span
            }
            "s" => {
                let count = xml::number(element, "c").unwrap_or(1_usize).min(MAXIMA.columns);
                xml::add(run(cell), &" ".repeat(count));
                Element::Plain
            }
            "tab" => {
                xml::add(run(cell), "\t");
                Element::Plain
            }
            "line-break" => {
                xml::add(run(cell), "\n");
                Element::Plain
            }
            _ => Element::Passed,
        }
    }

    fn end(&mut self, meaning: Element) -> Result<(), IntakeError> {
        match meaning {
            Element::Folded => self.folded = self.folded.saturating_sub(1),
            Element::Span => {
                if let Some(cell) = &mut self.cell {
                    cell.spans.pop();
                }
            }
            Element::Cell => self.end_cell()?,
            Element::Row => self.end_row()?,
            Element::Table => self.end_table(),
            _ => {}
        }
        Ok(())
    }

    fn begin_table(&mut self, element: &BytesStart<'_>, styles: &Styles) -> Result<(), IntakeError> {
        check_sheets(self.file, self.sheets.len() + 1)?;
        let name = xml::attribute(element, "name").unwrap_or_default();
        let shown = styles.ask("table", xml::attribute(element, "style-name").as_deref(), |style| style.shown);
        self.sheets.push(sheet_of(self.file, &name, shown == Some(false)));
        (self.row, self.column_count, self.folded) = (0, 0, 0);
        self.column_styles.clear();
        self.merged.clear();
        Ok(())
    }

    fn take_columns(&mut self, element: &BytesStart<'_>) {
        let repeated: u64 = xml::number(element, "number-columns-repeated").unwrap_or(1).max(1);
        let (first, end) = (self.column_count, self.column_count.saturating_add(repeated));
        self.column_count = end;
        let hidden = self.folded > 0 || xml::attribute(element, "visibility").is_some_and(|attribute| attribute != "visible");
        if let Some(sheet) = self.sheets.last_mut().filter(|_| hidden) {
            sheet
                .grid
                .hidden_columns
                .extend((first..end.min(MAXIMA.columns as u64)).filter_map(|column| u32::try_from(column).ok()));
        }
        if self.column_styles.len() < MAXIMA.columns {
            self.column_styles.push((first, end, xml::attribute(element, "default-cell-style-name")));
        }
    }

    fn begin_cell(&self, element: &BytesStart<'_>, covered: bool, styles: &Styles) -> Open {
        let style = xml::attribute(element, "style-name").or_else(|| {
            let column = self.column_styles.iter().find(|(first, end, _)| (*first..*end).contains(&self.column));
            column.and_then(|(.., style)| style.clone())
        });
        let mut cell = Open {
            struck: styles.is_struck("table-cell", style.as_deref()).unwrap_or(false),
            covered,
            columns: xml::number(element, "number-columns-repeated").unwrap_or(1).max(1),
            span: (
                xml::number(element, "number-rows-spanned").unwrap_or(1),
                xml::number(element, "number-columns-spanned").unwrap_or(1),
            ),
            ..Open::default()
        };
        // One pass: an element has two attributes of the local name `value-type`.
        for attribute in element.attributes().with_checks(false).flatten() {
            let value = || xml::unescaped(&attribute.value);
            match attribute.key.as_ref() {
                "office:value-type" => cell.kind = value(),
                "calcext:value-type" => cell.error = attribute.value.as_ref() == "error",
                "table:formula" => cell.formula = true,
                "office:string-value" => cell.stated = Some(value()),
                _ => {}
            }
        }
        let number = || xml::number::<f64>(element, "value").map_or(Content::Empty, number_content);
        cell.content = match cell.kind.as_str() {
            "float" | "currency" => number(),
            "percentage" => {
                cell.percent = true;
                number()
            }
            "boolean" => Content::Boolean(xml::attribute(element, "boolean-value").is_some_and(|attribute| attribute == "true")),
            "date" => {
                let date = xml::attribute(element, "date-value").unwrap_or_default();
                Content::date(dates::serial_of_iso(&date).unwrap_or_default(), date)
            }
            "time" => Content::date(0.0, xml::attribute(element, "time-value").unwrap_or_default()),
            _ => Content::Empty,
        };
        cell
    }

    fn end_cell(&mut self) -> Result<(), IntakeError> {
        let Some(mut open) = self.cell.take() else { return Ok(()) };
        let column = self.column;
        self.column = self.column.saturating_add(open.columns);
        if open.span.0 > 1 || open.span.1 > 1 {
            self.merged.push((column, open.span));
        }
        // Nobody sees the text below a merged cell.
        if open.covered {
            return Ok(());
        }
        let (text, mut struck) = unstruck(&open.runs);
        let shown = if open.percent { shown::Shown::default() } else { shown::of_text(&open.content, &text) };
        let text = match open.stated.take() {
            Some(stated) if open.runs.is_empty() || is_value(&stated, &open, struck) => stated,
            _ => text,
        };
        let content = match std::mem::take(&mut open.content) {
            Content::Empty if text.is_empty() => Content::Empty,
            Content::Empty if open.error || (open.formula && is_error(&text)) => Content::Error(text.into()),
            Content::Empty => Content::Text(text.into()),
            // A person sees the text of a date; an error is known by its text too.
            Content::Date(date) if text.is_empty() => Content::Date(date),
            Content::Date(date) => Content::date(date.serial, text),
            Content::Number(_) if open.error || is_error(&text) => Content::Error(text.into()),
            Content::Number(number) => Content::Number(shown.scaled(number)),
            other => other,
        };
        if open.runs.is_empty() && open.struck {
            struck = Struck::Whole;
        }
        // A number can't be struck through in part: its text is made of it.
        if struck == Struck::Part && !matches!(content, Content::Text(_)) {
            struck = Struck::Whole;
        }
        let uncomputed = open.formula && (content == Content::Empty || content == Content::Number(0.0));
        if content == Content::Empty && !uncomputed {
            return Ok(());
        }
        let columns = usize::try_from(open.columns).unwrap_or(usize::MAX);
        if self.cells.len().saturating_add(columns) > MAXIMA.columns {
            let sheet = self.sheets.last().and_then(|sheet| sheet.grid.sheet.clone()).unwrap_or_default();
            return Err(beyond_columns(self.file, &sheet));
        }
        let struck = if content == Content::Empty { Struck::No } else { struck };
        for place in column..self.column {
            self.cells.push((
                place,
                Cell { content: content.clone(), struck, percent: open.percent, shown: shown.unit },
                uncomputed,
            ));
        }
        Ok(())
    }

    fn end_row(&mut self) -> Result<(), IntakeError> {
        let first = self.row;
        self.row = self.row.saturating_add(self.repeated);
        let Some(sheet) = self.sheets.last_mut() else { return Ok(()) };
        let narrow = |number: u64| u32::try_from(number).unwrap_or(u32::MAX);
        for (column, (rows, columns)) in self.merged.drain(..) {
            let (row, column) = (narrow(first), narrow(column));
            let last = (row.saturating_add(rows.max(1) - 1), column.saturating_add(columns.max(1) - 1));
            merge(self.file, &mut sheet.grid, ((row, column), last))?;
        }
        if self.cells.is_empty() {
            return Ok(());
        }
        if self.row > MAXIMA.rows as u64 {
            let name = sheet.grid.sheet.clone().unwrap_or_default();
            return Err(beyond_rows(self.file, &name));
        }
        for row in first..self.row {
            if self.hidden_row {
                sheet.grid.hidden_rows.insert(narrow(row));
            }
            for (column, cell, uncomputed) in &self.cells {
                let place = (narrow(row), narrow(*column));
                if *uncomputed {
                    sheet.uncomputed.insert(place);
                }
                self.filler.put(&mut sheet.grid, place, cell.clone())?;
            }
            if sheet.uncomputed.len() > MAXIMA.cells {
                return Err(too_large(self.file, format!("it has more than {} cells", MAXIMA.cells)));
            }
        }
        self.cells.clear();
        Ok(())
    }

    fn end_table(&mut self) {
        self.cells.clear();
        // Columns beyond all cells are hidden from nobody.
        if let Some(sheet) = self.sheets.last_mut() {
            let width = sheet.grid.rows.iter().map(Row::len).max().unwrap_or(0);
            let hidden = std::mem::take(&mut sheet.grid.hidden_columns);
            sheet.grid.hidden_columns = hidden.into_iter().filter(|column| (*column as usize) < width).collect::<BTreeSet<_>>();
        }
    }
}

/// The piece of text that what comes next belongs to.
fn run(cell: &mut Open) -> &mut String {
    let struck = cell.spans.iter().rev().find_map(|(struck, _)| *struck).unwrap_or(cell.struck);
    if cell.runs.last().is_none_or(|(_, run_struck)| *run_struck != struck) {
        cell.runs.push((String::new(), struck));
    }
    let last = cell.runs.len() - 1;
    &mut cell.runs[last].0
}

/// The stated text is the value of the cell, and what is displayed only a form of it, as by a number format with a sign in front. An
/// error is displayed only, and what is struck in part is told from what is displayed.
fn is_value(stated: &str, open: &Open, struck: Struck) -> bool {
    !stated.is_empty() && !open.error && struck != Struck::Part
}

/// Errors as spreadsheet programs write them.
fn is_error(text: &str) -> bool {
    let text = text.trim();
    text::is_error(text) || text.starts_with("Err:")
}
