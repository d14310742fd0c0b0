//! The container and the records of the old binary workbook (.xls), read with every offset and chain held to its bounds.
//!
//! The library that reads the values trusts chains of sectors; it is given a container made anew here, with nothing in it but
//! the workbook's stream. What the library does not tell (struck, hidden, in per cent) is read from the records themselves.

use std::collections::{BTreeMap, BTreeSet};

use super::shown::{self, Offset, Shown};

/// First bytes of a container.
pub(super) const CONTAINER: [u8; 8] = [0xD0, 0xCF, 0x11, 0xE0, 0xA1, 0xB1, 0x1A, 0xE1];

const END_OF_CHAIN: u32 = 0xFFFF_FFFE;
const FREE: u32 = 0xFFFF_FFFF;
const FAT: u32 = 0xFFFF_FFFD;
/// Numbers from here on name no sector.
const RESERVED: u32 = 0xFFFF_FFFA;
const HEADER: usize = 512;
const SMALL_SECTOR: usize = 64;
/// Streams that are shorter stand in small sectors.
const SMALL_STREAM: usize = 4_096;
/// Longest chain, in sectors: more than the largest file that is read has.
const LONGEST_CHAIN: usize = 1 << 20;

fn u16_at(bytes: &[u8], at: usize) -> Option<u16> {
    Some(u16::from_le_bytes(bytes.get(at..at + 2)?.try_into().ok()?))
}

fn u32_at(bytes: &[u8], at: usize) -> Option<u32> {
    Some(u32::from_le_bytes(bytes.get(at..at + 4)?.try_into().ok()?))
}

fn u32s(bytes: &[u8]) -> impl Iterator<Item = u32> {
    bytes.as_chunks::<4>().0.iter().map(|number| u32::from_le_bytes(*number))
}

/// A container of streams.
#[derive(Debug)]
pub(super) struct Container<'a> {
    bytes: &'a [u8],
    sector: usize,
    fat: Vec<u32>,
    small_fat: Vec<u32>,
    small: Vec<u8>,
    /// Name, first sector and length of each stream.
    streams: Vec<(String, u32, usize)>,
}

impl<'a> Container<'a> {
    /// Reads what stands where.
    pub(super) fn open(bytes: &'a [u8]) -> Result<Self, String> {
        let short = || "it ends too early".to_owned();
        let shift = u16_at(bytes, 30).filter(|shift| matches!(shift, 9 | 12)).ok_or_else(short)?;
        let mut container =
            Self { bytes, sector: 1 << shift, fat: Vec::new(), small_fat: Vec::new(), small: Vec::new(), streams: Vec::new() };
        let mut tables: Vec<u32> = u32s(bytes.get(76..HEADER).ok_or_else(short)?).collect();
        let mut next = u32_at(bytes, 68).ok_or_else(short)?;
        let mut visited = 0;
        while next < RESERVED {
            let part = container.sector_at(next)?;
            let (last, entries) =
                part.split_last_chunk::<4>().map(|(rest, last)| (u32::from_le_bytes(*last), rest)).ok_or_else(short)?;
            tables.extend(u32s(entries));
            next = last;
            visited += 1;
            if visited > bytes.len() / container.sector {
                return Err("its table of sectors runs in a circle".to_owned());
            }
        }
        for table in tables.into_iter().filter(|table| *table < RESERVED) {
            let part: Vec<u32> = u32s(container.sector_at(table)?).collect();
            container.fat.extend(part);
            // A table may be named over and over; it never needs more entries than the file has sectors.
            if container.fat.len() > 2 * (bytes.len() / container.sector + container.sector) {
                return Err("its table of sectors is larger than the file".to_owned());
            }
        }
        let directory = container.chain(u32_at(bytes, 48).ok_or_else(short)?, usize::MAX)?;
        let mut root = None;
        for entry in directory.as_chunks::<128>().0 {
            let units: Vec<u16> = entry[..64].as_chunks::<2>().0.iter().map(|unit| u16::from_le_bytes(*unit)).collect();
            let name: String =
                char::decode_utf16(units.into_iter().take_while(|unit| *unit != 0)).map(|c| c.unwrap_or('?')).collect();
            let (start, length) = (u32_at(entry, 116).unwrap_or(FREE), u32_at(entry, 120).unwrap_or(0) as usize);
            match entry[66] {
                5 => root = root.or(Some((start, length))),
                2 => container.streams.push((name, start, length)),
                _ => {}
            }
        }
        if let (Some((start, length)), Some(first)) = (root, u32_at(bytes, 60).filter(|first| *first < RESERVED)) {
            container.small = container.chain(start, length)?;
            let table = container.chain(first, usize::MAX)?;
            container.small_fat = u32s(&table).collect();
        }
        Ok(container)
    }

    fn sector_at(&self, number: u32) -> Result<&'a [u8], String> {
        let start = (number as usize).checked_add(1).and_then(|number| number.checked_mul(self.sector));
        let rest = start.and_then(|start| self.bytes.get(start..)).unwrap_or_default();
        match rest.get(..self.sector) {
            Some(whole) => Ok(whole),
            // Some programs leave the last sector short.
            None if !rest.is_empty() => Ok(rest),
            None => Err("a sector lies beyond its end".to_owned()),
        }
    }

    /// Bytes of a chain of sectors, at most so many.
    fn chain(&self, mut next: u32, length: usize) -> Result<Vec<u8>, String> {
        let mut bytes = Vec::new();
        let mut visited = 0;
        while next < RESERVED && bytes.len() < length {
            bytes.extend_from_slice(self.sector_at(next)?);
            next = self.fat.get(next as usize).copied().unwrap_or(END_OF_CHAIN);
            visited += 1;
            if visited > LONGEST_CHAIN.min(self.bytes.len() / self.sector + 1) {
                return Err("a chain of sectors runs in a circle".to_owned());
            }
        }
        bytes.truncate(length);
        Ok(bytes)
    }

    fn small_chain(&self, mut next: u32, length: usize) -> Vec<u8> {
        let mut bytes = Vec::new();
        // A short stream has few sectors, so a circle of them ends soon.
        for _ in 0..=SMALL_STREAM / SMALL_SECTOR {
            if next >= RESERVED || bytes.len() >= length {
                break;
            }
            let start = next as usize * SMALL_SECTOR;
            bytes.extend_from_slice(self.small.get(start..start + SMALL_SECTOR).unwrap_or_default());
            next = self.small_fat.get(next as usize).copied().unwrap_or(END_OF_CHAIN);
        }
        bytes.truncate(length);
        bytes
    }

    /// Whether there is a stream of this name.
    pub(super) fn has(&self, name: &str) -> bool {
        self.streams.iter().any(|(stream, ..)| stream.eq_ignore_ascii_case(name))
    }

    /// The stream of a workbook, if there is one.
    pub(super) fn workbook(&self) -> Result<Option<Vec<u8>>, String> {
        let named = |name: &str| self.streams.iter().find(|(stream, ..)| stream.eq_ignore_ascii_case(name));
        let Some((_, start, length)) = named("Workbook").or_else(|| named("Book")) else { return Ok(None) };
        if *length < SMALL_STREAM { Ok(Some(self.small_chain(*start, *length))) } else { self.chain(*start, *length).map(Some) }
    }
}

/// A container with one stream, `Workbook`, and nothing else.
pub(super) fn container(stream: &[u8]) -> Vec<u8> {
    let length = stream.len().max(SMALL_STREAM).next_multiple_of(HEADER);
    let data = length / HEADER;
    // Sectors: the directory, the stream, the tables, which also hold themselves.
    let mut tables = 1;
    while tables * 128 < 1 + data + tables {
        tables += 1;
    }
    let further = tables.saturating_sub(109).div_ceil(127);
    while tables * 128 < 1 + data + tables + further {
        tables += 1;
    }
    let mut out = Vec::with_capacity((2 + data + tables + further) * HEADER);
    let put = |out: &mut Vec<u8>, number: u32| out.extend_from_slice(&number.to_le_bytes());
    #[allow(clippy::cast_possible_truncation)] // a file of 64 MiB has 131 072 sectors
    let (first_table, first_further) = ((1 + data) as u32, (1 + data + tables) as u32);
    out.extend_from_slice(&CONTAINER);
    out.resize(24, 0);
    for word in [0x3E_u16, 3, 0xFFFE, 9, 6] {
        out.extend_from_slice(&word.to_le_bytes());
    }
    out.resize(44, 0);
    #[allow(clippy::cast_possible_truncation)]
    for number in [
        tables as u32,
        0,
        0,
        SMALL_STREAM as u32,
        END_OF_CHAIN,
        0,
        if further > 0 { first_further } else { END_OF_CHAIN },
        further as u32,
    ] {
        put(&mut out, number);
    }
    let table = |index: usize| u32::try_from(index).ok().filter(|_| index < tables).map_or(FREE, |index| first_table + index);
    for index in 0..109 {
        put(&mut out, table(index));
    }
    for (name, kind, start, length) in [("Root Entry", 5_u8, END_OF_CHAIN, 0), ("Workbook", 2, 1, length)] {
        entry(&mut out, name, kind, start, length);
    }
    out.resize(2 * HEADER, 0);
    out.extend_from_slice(stream);
    out.resize(2 * HEADER + length, 0);
    let mut sectors: Vec<u32> = vec![END_OF_CHAIN];
    sectors
        .extend((0..data).map(|index| if index + 1 == data { END_OF_CHAIN } else { u32::try_from(index + 2).unwrap_or(FREE) }));
    sectors.extend(std::iter::repeat_n(FAT, tables));
    sectors.extend(std::iter::repeat_n(0xFFFF_FFFC, further));
    sectors.resize(tables * 128, FREE);
    for number in sectors {
        put(&mut out, number);
    }
    for part in 0..further {
        for index in 0..127 {
            put(&mut out, table(109 + part * 127 + index));
        }
        let last = part + 1 == further;
        put(&mut out, if last { END_OF_CHAIN } else { first_further + u32::try_from(part).unwrap_or(0) + 1 });
    }
    out
}

/// A directory entry.
fn entry(out: &mut Vec<u8>, name: &str, kind: u8, start: u32, length: usize) {
    let begin = out.len();
    for unit in name.encode_utf16() {
        out.extend_from_slice(&unit.to_le_bytes());
    }
    out.resize(begin + 64, 0);
    out.extend_from_slice(&u16::try_from((name.len() + 1) * 2).unwrap_or(0).to_le_bytes());
    out.extend_from_slice(&[kind, 1]);
    let child = if kind == 5 { 1 } else { FREE };
    for number in [FREE, FREE, child] {
        out.extend_from_slice(&number.to_le_bytes());
    }
    out.resize(begin + 116, 0);
    out.extend_from_slice(&start.to_le_bytes());
    out.extend_from_slice(&u32::try_from(length).unwrap_or(0).to_le_bytes());
    out.resize(begin + 128, 0);
}

/// A record: where it begins, its type and its data.
type Record<'a> = (usize, u16, &'a [u8]);

/// Records from an offset on; a record that is cut off ends them.
fn records(stream: &[u8], mut at: usize) -> impl Iterator<Item = Record<'_>> {
    std::iter::from_fn(move || {
        let (kind, length) = (u16_at(stream, at)?, u16_at(stream, at + 2)? as usize);
        let data = stream.get(at + 4..at + 4 + length)?;
        let begin = at;
        at += 4 + length;
        Some((begin, kind, data))
    })
}

const FILE_PASS: u16 = 0x002F;
const END: u16 = 0x000A;
const BEGIN: u16 = 0x0809;

/// Whether the records are encrypted.
pub(super) fn is_encrypted(stream: &[u8]) -> bool {
    records(stream, 0).take_while(|(_, kind, _)| *kind != END).any(|(_, kind, _)| kind == FILE_PASS)
}

/// A piece of a text and whether it is struck through.
pub(super) type Runs = Vec<(String, bool)>;

/// Looks of one sheet, from the records that hold no values.
#[derive(Debug, Default)]
pub(super) struct SheetLook {
    pub(super) hidden_rows: BTreeSet<u32>,
    pub(super) hidden_columns: BTreeSet<u32>,
    /// Cells that are struck through as a whole.
    pub(super) struck: BTreeSet<(u32, u32)>,
    /// Cells with runs of their own looks.
    pub(super) runs: BTreeMap<(u32, u32), usize>,
    pub(super) percent: BTreeSet<(u32, u32)>,
    /// Text that number formats show beside numbers.
    pub(super) shown: BTreeMap<(u32, u32), Shown>,
    /// Cells of the rectangle around all cells that hold something.
    pub(super) rectangle: u64,
}

/// Looks of the sheets, in the order of the workbook's list.
#[derive(Debug, Default)]
pub(super) struct Look {
    pub(super) sheets: Vec<SheetLook>,
    /// Runs of shared texts of more than one look, by the number of the text; the first has the look of its cell.
    pub(super) runs: BTreeMap<usize, Runs>,
}

#[derive(Default)]
struct Styles {
    struck_fonts: Vec<bool>,
    offsets_of_fonts: Vec<Offset>,
    /// Font and number format of each style.
    styles: Vec<(u16, u16)>,
    percent_formats: BTreeSet<u16>,
    shown: BTreeMap<u16, Shown>,
}

impl Styles {
    fn font_is_struck(&self, font: u16) -> bool {
        self.struck_fonts.get(font_index(font)).copied().unwrap_or(false)
    }

    fn offset(&self, font: u16) -> Offset {
        self.offsets_of_fonts.get(font_index(font)).copied().unwrap_or_default()
    }

    /// Text that the number format of a style shows beside a number.
    fn shown(&self, style: u16) -> Option<Shown> {
        let (_, format) = self.styles.get(style as usize)?;
        self.shown.get(format).copied()
    }

    fn style(&self, style: u16) -> (bool, bool) {
        let Some((font, format)) = self.styles.get(style as usize) else { return (false, false) };
        (self.font_is_struck(*font), matches!(format, 9 | 10) || self.percent_formats.contains(format))
    }
}

/// The text of a record of a number format.
fn number_format(data: &[u8]) -> Option<String> {
    let pieces = [data.get(2..)?];
    let mut reader = Pieces { pieces: &pieces, piece: 0, at: 0 };
    let length = reader.number(2)?;
    let wide = reader.number(1)? & 1 != 0;
    Some(String::from_utf16_lossy(&reader.text(length.min(255), wide)?))
}

/// Where a font stands in the list: there is no font number 4, the fifth of the list is number 5.
fn font_index(font: u16) -> usize {
    usize::from(if font > 4 { font - 1 } else { font })
}

/// A type of record that no reader knows.
const NOTHING: u16 = 0x7FFF;

/// Takes the claims away of how large the sheets are: a reader makes room for them unasked. `false` if that can't be done
/// because records of several sheets lie across each other.
pub(super) fn silence_dimensions(stream: &mut [u8], most_sheets: usize) -> bool {
    let offsets: Vec<usize> = records(stream, 0)
        .take_while(|(_, kind, _)| *kind != END)
        .filter(|(_, kind, _)| *kind == 0x0085)
        .filter_map(|(.., data)| u32_at(data, 0).map(|offset| offset as usize))
        .take(most_sheets + 1)
        .collect();
    // A change for one sheet could turn up a claim in another that reads the same bytes from another place on.
    for _ in 0..3 {
        let claims: Vec<usize> = offsets
            .iter()
            .flat_map(|offset| records(stream, *offset).filter(|(_, kind, _)| *kind == 0x0200).map(|(begin, ..)| begin))
            .collect();
        if claims.is_empty() {
            return true;
        }
        for begin in claims {
            if let Some(kind) = stream.get_mut(begin..begin + 2) {
                kind.copy_from_slice(&NOTHING.to_le_bytes());
            }
        }
    }
    false
}

/// Reads what the records say besides values, from at most so many sheets.
pub(super) fn look(stream: &[u8], most_sheets: usize) -> Look {
    let mut styles = Styles::default();
    let mut offsets = Vec::new();
    let mut texts: Vec<&[u8]> = Vec::new();
    let mut in_texts = false;
    for (_, kind, data) in records(stream, 0) {
        in_texts = kind == 0x00FC || (in_texts && kind == 0x003C);
        match kind {
            0x00FC | 0x003C if in_texts => texts.push(data),
            0x0031 | 0x0231 => {
                styles.struck_fonts.push(u16_at(data, 2).is_some_and(|bits| bits & 0x0008 != 0));
                styles.offsets_of_fonts.push(match u16_at(data, 8) {
                    Some(1) => Offset::Raised,
                    Some(2) => Offset::Lowered,
                    _ => Offset::None,
                });
            }
            0x00E0 => styles.styles.push((u16_at(data, 0).unwrap_or(0), u16_at(data, 2).unwrap_or(0))),
            0x041E => {
                let Some(number) = u16_at(data, 0) else { continue };
                if data.get(2..).is_some_and(|format| format.contains(&b'%')) {
                    styles.percent_formats.insert(number);
                }
                let shown = number_format(data).map(|format| shown::of_format(&format)).unwrap_or_default();
                if shown != Shown::default() {
                    styles.shown.insert(number, shown);
                }
            }
            0x0085 if offsets.len() <= most_sheets => offsets.push(u32_at(data, 0).unwrap_or(0) as usize),
            END => break,
            _ => {}
        }
    }
    let mut look = Look { runs: rich_texts(&texts, &styles), ..Look::default() };
    look.sheets = offsets.into_iter().map(|offset| sheet_look(stream, offset, &styles, &look.runs)).collect();
    look
}

fn sheet_look(stream: &[u8], offset: usize, styles: &Styles, runs: &BTreeMap<usize, Runs>) -> SheetLook {
    let mut look = SheetLook::default();
    let mut corners: Option<((u32, u32), (u32, u32))> = None;
    let mut depth = 0;
    for (_, kind, data) in records(stream, offset) {
        let word = |at: usize| u16_at(data, at).unwrap_or(0);
        let (row, column) = (u32::from(word(0)), u32::from(word(2)));
        let mut filled = Vec::new();
        match kind {
            BEGIN => depth += 1,
            END => {
                depth -= 1;
                if depth <= 0 {
                    break;
                }
            }
            // Charts have records of their own between cells.
            _ if depth > 1 => {}
            0x0208 if word(12) & 0x20 != 0 => {
                look.hidden_rows.insert(row);
            }
            0x007D if word(8) & 1 != 0 || word(4) == 0 => look.hidden_columns.extend(row..=column.min(255)),
            // The text of a formula without a formula is put into the first cell.
            0x0207 => corners = Some(corners.map_or(((0, 0), (0, 0)), |(_, bottom)| ((0, 0), bottom))),
            0x0203 | 0x0204 | 0x00FD | 0x027E | 0x0006 | 0x0205 | 0x00D6 => filled.push((column, word(4))),
            0x00BD => filled.extend(
                (column..)
                    .zip(data.get(4..).unwrap_or_default().chunks_exact(6))
                    .map(|(column, index)| (column, u16_at(index, 0).unwrap_or(0))),
            ),
            _ => {}
        }
        if kind == 0x00FD
            && let Some(text) = u32_at(data, 6).map(|text| text as usize).filter(|text| runs.contains_key(text))
        {
            look.runs.insert((row, column), text);
        }
        for (column, style) in filled {
            let (top, bottom) = corners.unwrap_or(((row, column), (row, column)));
            corners = Some(((top.0.min(row), top.1.min(column)), (bottom.0.max(row), bottom.1.max(column))));
            let (struck, percent) = styles.style(style);
            if struck {
                look.struck.insert((row, column));
            }
            if percent {
                look.percent.insert((row, column));
            }
            if let Some(shown) = styles.shown(style) {
                look.shown.insert((row, column), shown);
            }
        }
    }
    look.rectangle = corners.map_or(0, |(top, bottom)| u64::from(bottom.0 - top.0 + 1) * u64::from(bottom.1 - top.1 + 1));
    look
}

/// Walks over the pieces into which a long record is cut.
struct Pieces<'a> {
    pieces: &'a [&'a [u8]],
    piece: usize,
    at: usize,
}

impl Pieces<'_> {
    /// The next byte; `true` if it is the first one of a further piece.
    fn byte(&mut self) -> Option<(u8, bool)> {
        let mut crossed = false;
        loop {
            let piece = self.pieces.get(self.piece)?;
            if let Some(byte) = piece.get(self.at) {
                self.at += 1;
                return Some((*byte, crossed));
            }
            self.piece += 1;
            self.at = 0;
            crossed = true;
        }
    }

    fn number(&mut self, bytes: u32) -> Option<u32> {
        (0..bytes).try_fold(0, |sum, index| Some(sum | u32::from(self.byte()?.0) << (8 * index)))
    }

    /// Characters of a text; a further piece begins with a byte that says how wide they are there.
    fn text(&mut self, length: u32, mut wide: bool) -> Option<Vec<u16>> {
        let mut units = Vec::new();
        for _ in 0..length {
            let (mut low, crossed) = self.byte()?;
            if crossed {
                wide = low & 1 != 0;
                low = self.byte()?.0;
            }
            let high = if wide { self.byte()?.0 } else { 0 };
            units.push(u16::from_le_bytes([low, high]));
        }
        Some(units)
    }
}

/// Shared texts of more than one look.
fn rich_texts(pieces: &[&[u8]], styles: &Styles) -> BTreeMap<usize, Runs> {
    let mut found = BTreeMap::new();
    let mut reader = Pieces { pieces, piece: 0, at: 8 };
    let mut number = 0;
    while let Some(text) = rich_text(&mut reader, styles) {
        if !text.is_empty() {
            found.insert(number, text);
        }
        number += 1;
    }
    found
}

/// The next shared text as runs; without any if it has only one look, that of its cell.
fn rich_text(reader: &mut Pieces<'_>, styles: &Styles) -> Option<Runs> {
    let length = reader.number(2)?;
    let flags = reader.number(1)?;
    let count = if flags & 8 != 0 { reader.number(2)? } else { 0 };
    let further = if flags & 4 != 0 { reader.number(4)? } else { 0 };
    let units = reader.text(length, flags & 1 != 0)?;
    let mut starts = Vec::new();
    for _ in 0..count {
        starts.push((reader.number(2)? as usize, u16::try_from(reader.number(2)?).unwrap_or(0)));
    }
    for _ in 0..further {
        reader.byte()?;
    }
    if starts.is_empty() {
        return Some(Vec::new());
    }
    let piece = |from: usize, to: usize| String::from_utf16_lossy(units.get(from..to.min(units.len())).unwrap_or_default());
    let first = starts.first().map_or(0, |(start, _)| *start);
    // Text before the first run has the look of the cell, which is asked elsewhere.
    let mut runs = vec![(piece(0, first), false)];
    for (index, (start, font)) in starts.iter().enumerate() {
        let end = starts.get(index + 1).map_or(units.len(), |(next, _)| *next);
        let before = runs.last().and_then(|(text, _): &(String, bool)| text.chars().last());
        runs.push((styles.offset(*font).told(before, piece(*start, end)), styles.font_is_struck(*font)));
    }
    Some(runs)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_container_holds_what_was_put_in() {
        for length in [0, 1, 4_095, 4_096, 100_000, 9_000_000] {
            let stream: Vec<u8> = (0..length).map(|index| u8::try_from(index % 251).unwrap()).collect();
            let bytes = container(&stream);
            let read = Container::open(&bytes).unwrap().workbook().unwrap().unwrap();
            assert!(read.starts_with(&stream) && read[length..].iter().all(|byte| *byte == 0), "{length}");
        }
    }

    #[test]
    fn claims_of_size_are_silenced() {
        let record =
            |kind: u16, data: &[u8]| [&kind.to_le_bytes()[..], &u16::try_from(data.len()).unwrap().to_le_bytes(), data].concat();
        let mut stream =
            [record(0x0085, &[12, 0, 0, 0]), record(END, &[]), record(0x0200, &[0xFF; 14]), record(0x0203, &[0; 14])].concat();
        assert!(silence_dimensions(&mut stream, 64));
        assert!(records(&stream, 0).all(|(_, kind, _)| kind != 0x0200));
        assert_eq!(look(&stream, 64).sheets[0].rectangle, 1);
    }

    #[test]
    fn circles_end() {
        let mut bytes = container(&[1; 10_000]);
        let table = 512 * (2 + 10_000_usize.div_ceil(512));
        // The directory follows itself, the stream leads back to its beginning.
        bytes[table..table + 8].copy_from_slice(&[0, 0, 0, 0, 1, 0, 0, 0]);
        assert!(Container::open(&bytes).unwrap_err().contains("circle"));
        assert!(Container::open(&CONTAINER).is_err());
    }
}
