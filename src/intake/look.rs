//! Looks of an XLSX workbook that the library does not tell: struck-through text, per cent, hidden rows and columns, merged areas, formats
//! of dates. One pass over each part, nothing kept of cells that look as usual.

use std::collections::{BTreeMap, BTreeSet};
use std::io::Cursor;

use quick_xml::events::{BytesStart, Event};

use super::open::MAXIMA;
use super::shown::{self, Offset, Shown};
use super::{dates, xml};
use xml::{Archive, Part, Why};

pub(crate) mod comments;

/// The file adds five pixels of padding to a column's width, at seven pixels a character.
const PADDING: f64 = 5.0 / 7.0;

/// How one cell looks, where that says anything.
#[derive(Clone, Debug, Default)]
pub(super) struct CellLook {
    /// The cell as a whole is struck through.
    pub(super) struck: bool,
    pub(super) percent: bool,
    /// The text that the number format shows beside the number.
    pub(super) shown: Shown,
    /// Number format.
    pub(super) format: Option<String>,
    /// Text in runs, each struck through or not.
    pub(super) runs: Option<Vec<(String, bool)>>,
}

/// How a sheet looks.
#[derive(Debug, Default)]
pub(super) struct SheetLook {
    pub(super) cells: Vec<((u32, u32), CellLook)>,
    pub(super) hidden_rows: BTreeSet<u32>,
    pub(super) hidden_columns: BTreeSet<u32>,
    /// Widths of columns in characters.
    pub(super) widths: BTreeMap<u32, f64>,
    pub(super) merged: Vec<((u32, u32), (u32, u32))>,
    /// The sender's comments.
    pub(super) comments: comments::Comments,
}

/// A run of a text; `struck` is none where the cell's own font holds.
#[derive(Clone, Debug, Default)]
struct Run {
    text: String,
    struck: Option<bool>,
    /// Set higher or lower than the line, as a footnote mark is.
    offset: Offset,
}

/// A workbook, its styles and texts of several runs known.
pub(super) struct Book<'a> {
    archive: Archive<'a>,
    /// Parts by name of the sheet.
    parts: BTreeMap<String, String>,
    /// Styles of cells.
    styles: Vec<CellLook>,
    /// Shared texts of more than one look.
    rich: BTreeMap<usize, Vec<Run>>,
    /// Bytes of all sheets that were read.
    read: u64,
}

impl<'a> Book<'a> {
    pub(super) fn open(bytes: &'a [u8]) -> Result<Self, Why> {
        let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).map_err(|error| error.to_string())?;
        let root = targets(&mut archive, "_rels/.rels")?;
        let book = root.values().find(|(kind, _)| kind.ends_with("/officeDocument")).map(|(_, target)| target.clone());
        let book = resolve("", &book.unwrap_or_else(|| "xl/workbook.xml".to_owned()));
        let (folder, name) = book.rsplit_once('/').unwrap_or(("", &book));
        let related = targets(&mut archive, &resolve(folder, &format!("_rels/{name}.rels")))?;
        let by_kind =
            |kind: &str| related.values().find(|(kind_of, _)| kind_of.ends_with(kind)).map(|(_, target)| resolve(folder, target));
        let mut looks = Self { archive, parts: BTreeMap::new(), styles: Vec::new(), rich: BTreeMap::new(), read: 0 };
        looks.read_list(&book, folder, &related)?;
        if let Some(part) = by_kind("/styles") {
            looks.read_styles(&part)?;
        }
        if let Some(part) = by_kind("/sharedStrings") {
            looks.read_texts(&part)?;
        }
        Ok(looks)
    }

    fn read_list(&mut self, book: &str, folder: &str, related: &Related) -> Result<u64, Why> {
        each(&mut self.archive, book, |event| {
            if let Event::Start(element) = event
                && element.local_name().as_ref() == "sheet"
                && let (Some(name), Some(id)) = (xml::attribute(element, "name"), xml::attribute(element, "id"))
                && let Some((_, target)) = related.get(&id)
            {
                self.parts.insert(name, resolve(folder, target));
            }
            Ok(())
        })
    }

    fn read_styles(&mut self, part: &str) -> Result<u64, Why> {
        let mut formats: BTreeMap<u32, String> = BTreeMap::new();
        let mut fonts: Vec<bool> = Vec::new();
        let mut within = String::new();
        let styles = &mut self.styles;
        each(&mut self.archive, part, |event| {
            match event {
                Event::Start(element) => match element.local_name().as_ref() {
                    name @ ("numFmts" | "fonts" | "cellXfs") => within = name.to_owned(),
                    "numFmt" if within == "numFmts" => {
                        if let (Some(id), Some(code)) = (xml::number(element, "numFmtId"), xml::attribute(element, "formatCode"))
                        {
                            formats.insert(id, code.chars().take(255).collect());
                        }
                    }
                    "font" if within == "fonts" => fonts.push(false),
                    "strike" if within == "fonts" => {
                        if let Some(font) = fonts.last_mut() {
                            *font = xml::is_on(element);
                        }
                    }
                    "xf" if within == "cellXfs" => {
                        let font: usize = xml::number(element, "fontId").unwrap_or(0);
                        let id: u32 = xml::number(element, "numFmtId").unwrap_or(0);
                        let format = formats.get(&id).cloned().or_else(|| dates::built_in(id).map(str::to_owned));
                        styles.push(CellLook {
                            struck: fonts.get(font).copied().unwrap_or(false),
                            percent: format.as_deref().is_some_and(dates::is_percent),
                            shown: format.as_deref().map(shown::of_format).unwrap_or_default(),
                            format,
                            runs: None,
                        });
                    }
                    _ => {}
                },
                Event::End(element) if element.local_name().as_ref() == within => within.clear(),
                _ => {}
            }
            Ok(())
        })
    }

    fn read_texts(&mut self, part: &str) -> Result<u64, Why> {
        let rich = &mut self.rich;
        let mut reader = TextReader::default();
        let mut number = 0;
        each(&mut self.archive, part, |event| {
            if reader.take(event, "si") {
                let runs = std::mem::take(&mut reader.runs);
                if runs.iter().any(|run| run.struck.is_some()) {
                    rich.insert(number, runs);
                }
                number += 1;
            }
            Ok(())
        })
    }

    /// How a sheet looks.
    pub(super) fn sheet(&mut self, name: &str) -> Result<SheetLook, Why> {
        let Some(part) = self.parts.get(name).cloned() else { return Err(format!("the part of sheet {name} is missing")) };
        let (styles, rich) = (&self.styles, &self.rich);
        let mut look = SheetLook::default();
        let mut at = Position::default();
        let size = each(&mut self.archive, &part, |event| {
            if let Some(read) = at.take(event, styles, rich) {
                look.cells.push(read);
            }
            if let Event::Start(element) = event {
                match element.local_name().as_ref() {
                    "row" if is_hidden(element, "ht") && at.row < MAXIMA.rows as u64 => {
                        look.hidden_rows.extend(u32::try_from(at.row).ok());
                    }
                    "col" => {
                        let first: usize = xml::number(element, "min").unwrap_or(1);
                        let last: usize = xml::number(element, "max").unwrap_or(first);
                        let columns = first.saturating_sub(1)..last.min(MAXIMA.columns);
                        let columns = columns.filter_map(|column| u32::try_from(column).ok());
                        if is_hidden(element, "width") {
                            look.hidden_columns.extend(columns);
                        } else if let Some(width) = xml::number::<f64>(element, "width") {
                            look.widths.extend(columns.map(|column| (column, (width - PADDING).clamp(0.5, 255.0))));
                        }
                    }
                    "mergeCell" if look.merged.len() <= MAXIMA.merged => {
                        look.merged.extend(xml::attribute(element, "ref").and_then(|area| xml::area(&area)));
                    }
                    _ => {}
                }
            }
            Ok(())
        })?;
        self.read += size;
        // Sheets that are one and the same part would be unpacked over and over.
        if self.read > MAXIMA.unpacked_bytes {
            return Err("its sheets are larger than all its parts".to_owned());
        }
        look.comments = comments::read(&mut self.archive, &part)?;
        Ok(look)
    }
}

/// Hidden, or of no height or width, which is the same to a person.
fn is_hidden(element: &BytesStart<'_>, size: &str) -> bool {
    xml::flag(element, "hidden") || xml::number::<f64>(element, size).is_some_and(|size| size <= 0.0)
}

/// Kind and target of the parts that belong to another one, by their identifier.
type Related = BTreeMap<String, (String, String)>;

fn targets(archive: &mut Archive<'_>, part: &str) -> Result<Related, Why> {
    let mut related = Related::new();
    each(archive, part, |event| {
        if let Event::Start(element) = event
            && element.local_name().as_ref() == "Relationship"
            // Parts outside the workbook are never asked for.
            && xml::attribute(element, "TargetMode").is_none_or(|mode| mode != "External")
            && let (Some(id), Some(kind), Some(target)) =
                (xml::attribute(element, "Id"), xml::attribute(element, "Type"), xml::attribute(element, "Target"))
        {
            related.insert(id, (kind, target));
        }
        Ok(())
    })?;
    Ok(related)
}

/// A part's name from its target and the folder of what names it. Only names of parts come of it, never of files.
fn resolve(folder: &str, target: &str) -> String {
    let start = if target.starts_with('/') { "" } else { folder };
    let mut names: Vec<&str> = Vec::new();
    for name in start.split('/').chain(target.split('/')) {
        match name {
            "" | "." => {}
            ".." => drop(names.pop()),
            _ => names.push(name),
        }
    }
    names.join("/")
}

/// Hands every event of a part to a function and tells its size; a part that is missing has none.
fn each(archive: &mut Archive<'_>, part: &str, mut take: impl FnMut(&Event<'_>) -> Result<(), Why>) -> Result<u64, Why> {
    let Some(mut reader) = xml::part(archive, part)? else { return Ok(0) };
    let reader: &mut Part<'_> = &mut reader;
    let mut buffer = Vec::new();
    loop {
        buffer.clear();
        match reader.read_event_into(&mut buffer).map_err(|error| error.to_string())? {
            Event::Eof => return Ok(reader.buffer_position()),
            event => take(&event)?,
        }
    }
}

/// Gathers the runs of a text.
#[derive(Default)]
struct TextReader {
    runs: Vec<Run>,
    inside: bool,
    /// Within what is read out beside the text, in eastern scripts.
    spoken: bool,
    properties: bool,
    text: bool,
}

impl TextReader {
    /// Takes an event; `true` at the end of the text.
    fn take(&mut self, event: &Event<'_>, name: &str) -> bool {
        match event {
            Event::Start(element) => match element.local_name().as_ref() {
                tag if tag == name => *self = Self { inside: true, ..Self::default() },
                "r" if self.inside => self.runs.push(Run::default()),
                "rPh" => self.spoken = true,
                "rPr" if self.inside => {
                    self.properties = true;
                    if let Some(run) = self.runs.last_mut() {
                        run.struck = Some(false);
                    }
                }
                "strike" | "dstrike" if self.properties => {
                    if let Some(run) = self.runs.last_mut() {
                        run.struck = Some(run.struck == Some(true) || xml::is_on(element));
                    }
                }
                "vertAlign" if self.properties => {
                    if let Some(run) = self.runs.last_mut() {
                        run.offset = match xml::attribute(element, "val").as_deref() {
                            Some("superscript") => Offset::Raised,
                            Some("subscript") => Offset::Lowered,
                            _ => Offset::None,
                        };
                    }
                }
                "t" if self.inside && !self.spoken => {
                    self.text = true;
                    // A plain text may stand before runs, or alone.
                    if self.runs.is_empty() {
                        self.runs.push(Run::default());
                    }
                }
                _ => {}
            },
            Event::End(element) => match element.local_name().as_ref() {
                tag if tag == name && self.inside => {
                    self.inside = false;
                    return true;
                }
                "rPh" => self.spoken = false,
                "rPr" => self.properties = false,
                "t" => self.text = false,
                _ => {}
            },
            Event::Text(_) | Event::CData(_) | Event::GeneralRef(_) if self.text => {
                if let Some(run) = self.runs.last_mut() {
                    xml::add_event(&mut run.text, event);
                }
            }
            _ => {}
        }
        false
    }
}

/// Where in a sheet's part the reading stands.
#[derive(Default)]
struct Position {
    row: u64,
    column: u64,
    cell: Option<(u32, u32)>,
    style: usize,
    shared: bool,
    value: bool,
    number: String,
    inline: TextReader,
    runs: Option<Vec<Run>>,
    rows_begun: bool,
}

impl Position {
    /// Takes an event; the cell's look at its end, if it says anything.
    fn take(
        &mut self,
        event: &Event<'_>,
        styles: &[CellLook],
        rich: &BTreeMap<usize, Vec<Run>>,
    ) -> Option<((u32, u32), CellLook)> {
        if self.cell.is_some() && self.inline.take(event, "is") {
            self.runs = Some(std::mem::take(&mut self.inline.runs));
        }
        match event {
            Event::Start(element) => match element.local_name().as_ref() {
                "row" => {
                    let next = if self.rows_begun { self.row + 1 } else { 0 };
                    self.row = xml::number::<u64>(element, "r").and_then(|row| row.checked_sub(1)).unwrap_or(next);
                    self.rows_begun = true;
                    self.column = 0;
                }
                "c" => self.begin(element),
                "v" => self.value = self.cell.is_some(),
                _ => {}
            },
            Event::End(element) => match element.local_name().as_ref() {
                "v" => self.value = false,
                "c" => return self.end(styles, rich),
                _ => {}
            },
            Event::Text(_) if self.value && self.shared && self.number.len() < 20 => {
                xml::add_event(&mut self.number, event);
            }
            _ => {}
        }
        None
    }

    fn begin(&mut self, element: &BytesStart<'_>) {
        let stated = xml::attribute(element, "r").and_then(|attribute| xml::cell(&attribute));
        let here = || Some((u32::try_from(self.row).ok()?, u32::try_from(self.column).ok()?));
        self.cell = stated.or_else(here);
        if let Some((row, column)) = stated {
            (self.row, self.column) = (u64::from(row), u64::from(column));
        }
        self.column += 1;
        self.style = xml::number(element, "s").unwrap_or(0);
        self.shared = xml::attribute(element, "t").is_some_and(|kind| kind == "s");
        self.number.clear();
        self.runs = None;
        self.inline = TextReader::default();
    }

    fn end(&mut self, styles: &[CellLook], rich: &BTreeMap<usize, Vec<Run>>) -> Option<((u32, u32), CellLook)> {
        let place = self.cell.take()?;
        let mut look = styles.get(self.style).cloned().unwrap_or_default();
        let runs =
            self.runs.take().or_else(|| self.number.trim().parse().ok().and_then(|number: usize| rich.get(&number).cloned()));
        // A text of one look has none of its own.
        if let Some(runs) = runs.filter(|runs| runs.iter().any(|run| run.struck.is_some())) {
            let struck = look.struck;
            let mut before = None;
            let told = |run: Run| {
                let text = run.offset.told(before, run.text);
                before = text.chars().last().or(before);
                (text, run.struck.unwrap_or(struck))
            };
            look.runs = Some(runs.into_iter().map(told).collect());
        }
        (look.struck || look.percent || look.format.is_some() || look.runs.is_some()).then_some((place, look))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn targets_never_leave_the_archive() {
        assert_eq!(resolve("xl", "worksheets/sheet1.xml"), "xl/worksheets/sheet1.xml");
        assert_eq!(resolve("xl", "/xl/worksheets/sheet1.xml"), "xl/worksheets/sheet1.xml");
        assert_eq!(resolve("xl", "../../../etc/passwd"), "etc/passwd");
        assert_eq!(resolve("", "./xl//workbook.xml"), "xl/workbook.xml");
    }
}
