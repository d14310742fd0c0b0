//! Delimited text into a grid: rows counted as a spreadsheet counts them, blank lines included.

use std::ops::Range;

use super::encoding::{self, Decoded};
use super::error::{IntakeError, IntakeErrorKind};
use super::grid::{Rows, Run};
use super::open::{MAXIMA, OpenQuote, Opened, ReadOptions, Sheet};
use super::{Content, Detected, Grid, dialect, text};
use crate::finding::{Finding, Place, codes, column_letters};
use crate::threads;

/// Reads bytes of delimited text.
pub(super) fn read(file: &str, bytes: &[u8], options: &ReadOptions) -> Result<Opened, IntakeError> {
    let decoded = encoding::decode(file, bytes, options.encoding.as_deref())?;
    refuse_binary(file, &decoded.text)?;
    let (body, separator, skipped_lines) = separator_of(file, &decoded.text, options)?;
    let mut opened = Opened { detected: detected(&decoded, separator), ..Opened::default() };
    let undefined = decoded.name == "windows-1252" && body.contains(encoding::is_undefined);
    let mut sheet = sheet(file, body, separator, &mut opened.detected)?;
    if let Some(quote) = &mut sheet.open_quote {
        quote.line += skipped_lines;
    }
    if decoded.fallback {
        let what = "the text is not UTF-8 and was read as Windows-1252, the usual one of Western Europe and America";
        let cure =
            "look whether accents and special letters are right; if not, save as CSV UTF-8 or name the encoding with --encoding";
        opened.findings.push(Finding::new(&codes::I301_ENCODING, what).at(Place::file(file)).cure(cure));
    }
    if opened.detected.decimal == Some(',') {
        opened.findings.push(decimal_comma(Place::file(file)));
    }
    if undefined {
        refuse_undefined(file, &mut sheet, &mut opened);
    }
    opened.sheets.push(sheet);
    Ok(opened)
}

/// The note on decimal commas.
pub(super) fn decimal_comma(place: Place) -> Finding {
    let what = "numbers are written with a decimal comma, and were read so in the whole file";
    Finding::new(&codes::I302_DECIMAL_COMMA, what).at(place)
}

fn detected(decoded: &Decoded<'_>, separator: u8) -> Detected {
    Detected {
        encoding: decoded.name,
        byte_order_mark: decoded.byte_order_mark,
        separator: Some(char::from(separator)),
        decimal: None,
    }
}

/// One zero may have slipped into a cell; a file full of them is no text.
fn refuse_binary(file: &str, text: &str) -> Result<(), IntakeError> {
    let head = text.as_bytes().get(..text.len().min(1_000)).unwrap_or_default();
    let zeros = head.iter().filter(|byte| **byte == 0).count();
    if zeros * 20 > head.len() {
        let what = "this is neither text nor a workbook that is read; save the schedule as .xlsx, .ods or CSV UTF-8";
        return Err(IntakeError::new(IntakeErrorKind::Encoding, format!("{file}: {what}")));
    }
    Ok(())
}

/// The table's text, its separator and the lines that stand before it.
fn separator_of<'a>(file: &str, text: &'a str, options: &ReadOptions) -> Result<(&'a str, u8, u64), IntakeError> {
    let stated = dialect::stated(text);
    let body = stated.and_then(|(_, length)| text.get(length..)).unwrap_or(text);
    let separator = match (&options.separator, stated) {
        (Some(name), _) => dialect::named(name)?,
        (None, Some((separator, _))) => separator,
        (None, None) => dialect::separator(file, body)?,
    };
    Ok((body, separator, u64::from(stated.is_some())))
}

/// Rows of a run of lines, and what was seen on the way.
#[derive(Default)]
struct Lines {
    run: Run,
    votes: dialect::DecimalVotes,
    /// Cells of all rows.
    cells: usize,
    /// Where the last row begins.
    last_start: usize,
}

fn sheet(file: &str, text: &str, separator: u8, detected: &mut Detected) -> Result<Sheet, IntakeError> {
    let quoted = text.contains('"');
    // Where no cell holds a comma, there is nothing to vote on: the mark is a point.
    let voting = quoted || (separator != b',' && text.contains(','));
    let side_by_side = if quoted { None } else { side_by_side(file, text, separator, voting) };
    let runs = match side_by_side {
        Some(runs) => runs,
        None => vec![lines_of(file, text, separator, voting)?],
    };
    let last_start = runs.iter().rev().find(|run| run.cells > 0).map_or(0, |run| run.last_start);
    let mut votes = dialect::DecimalVotes::default();
    runs.iter().for_each(|run| votes.add_all(&run.votes));
    detected.decimal = Some(votes.mark());
    let rows = Rows::of_texts(runs.into_iter().map(|lines| lines.run).collect());
    let grid = Grid { file: file.to_owned(), rows, delimited: true, ..Grid::default() };
    let open_quote = unclosed_quote(text, last_start, &grid);
    Ok(Sheet { grid, quoted, open_quote, ..Sheet::default() })
}

/// The lines of a large text, read in several runs at once. It holds no quotation mark, which may open a cell that goes on over
/// any number of lines. `None` where they have to be read from top to bottom, so that what is wrong is said of the first such row.
fn side_by_side(file: &str, text: &str, separator: u8, voting: bool) -> Option<Vec<Lines>> {
    let runs = runs(text, threads::worth(text.len() / USUAL_LINE));
    if runs.len() < 2 {
        return None;
    }
    let read = threads::each(runs.iter().cloned(), |run| lines_of(file, text.get(run)?, separator, voting).ok());
    let mut all = Vec::with_capacity(runs.len());
    let (mut rows, mut cells) = (0, 0);
    for (run, lines) in runs.iter().zip(read) {
        let lines = lines?;
        rows += lines.run.len();
        cells += lines.cells;
        all.push(Lines { last_start: run.start + lines.last_start, ..lines });
    }
    (rows <= MAXIMA.rows && cells <= MAXIMA.cells).then_some(all)
}

/// Bytes of a usual line: what a text is worth in parts is told from it.
const USUAL_LINE: usize = 64;

/// Runs of whole lines of about one size.
fn runs(text: &str, parts: usize) -> Vec<Range<usize>> {
    let mut runs = Vec::with_capacity(parts);
    let mut start = 0;
    for part in threads::of(text.len(), parts) {
        let rest = text.as_bytes().get(part.end..).unwrap_or_default();
        let end = part.end + rest.iter().position(|byte| *byte == b'\n').map_or(rest.len(), |at| at + 1);
        if end > start {
            runs.push(start..end);
            start = end;
        }
    }
    // A reader takes this for the mark that a file begins with.
    let marked = |run: &Range<usize>| run.start > 0 && text.get(run.start..).is_some_and(|text| text.starts_with('\u{feff}'));
    if runs.iter().any(marked) { Vec::new() } else { runs }
}

fn lines_of(file: &str, text: &str, separator: u8, voting: bool) -> Result<Lines, IntakeError> {
    let bytes = text.as_bytes();
    let mut reader = csv::ReaderBuilder::new().has_headers(false).flexible(true).delimiter(separator).from_reader(bytes);
    let mut record = csv::StringRecord::new();
    let mut lines = Lines { run: Run::with_room(text.len()), ..Lines::default() };
    loop {
        // The reader passes over blank lines, but rows are counted as a spreadsheet counts them.
        let at = usize::try_from(reader.position().byte()).unwrap_or(usize::MAX);
        for _ in 0..blank_lines(bytes, at).min(MAXIMA.rows + 1) {
            lines.run.push("", std::iter::empty());
        }
        let more = reader
            .read_record(&mut record)
            .map_err(|error| IntakeError::new(IntakeErrorKind::Damaged, format!("{file}: the table can't be read ({error})")))?;
        if !more {
            break;
        }
        let start = record.position().map(csv::Position::byte);
        lines.last_start = start.and_then(|start| usize::try_from(start).ok()).unwrap_or(lines.last_start);
        lines.cells += record.len();
        check_maxima(file, lines.run.len(), record.len(), lines.cells)?;
        if voting {
            record.iter().enumerate().for_each(|(column, text)| lines.votes.add(column, text));
        }
        let ends = (0..record.len()).filter_map(|cell| record.range(cell)).map(|range| range.end);
        lines.run.push(record.as_slice(), ends);
    }
    Ok(lines)
}

fn check_maxima(file: &str, rows: usize, columns: usize, cells: usize) -> Result<(), IntakeError> {
    let what = if rows >= MAXIMA.rows {
        format!("it has more than {} rows", MAXIMA.rows)
    } else if columns > MAXIMA.columns {
        format!("row {} has more than {} columns", rows + 1, MAXIMA.columns)
    } else if cells > MAXIMA.cells {
        format!("it has more than {} cells", MAXIMA.cells)
    } else {
        return Ok(());
    };
    let cure = "split the schedule or remove what does not belong to it";
    Err(IntakeError::new(IntakeErrorKind::TooLarge, format!("{file}: {what}; {cure}")))
}

/// Number of line ends before the next record.
fn blank_lines(bytes: &[u8], mut at: usize) -> usize {
    if at > 0 && bytes.get(at - 1) == Some(&b'\r') && bytes.get(at) == Some(&b'\n') {
        at += 1;
    }
    let mut lines = 0;
    while let Some(byte @ (b'\r' | b'\n')) = bytes.get(at) {
        at += if *byte == b'\r' && bytes.get(at + 1) == Some(&b'\n') { 2 } else { 1 };
        lines += 1;
    }
    lines
}

/// The quotation mark that took everything up to the end of the file into one cell. `start` is where the last row begins.
fn unclosed_quote(text: &str, start: usize, grid: &Grid) -> Option<OpenQuote> {
    let cells = grid.rows.iter().next_back()?;
    let row = u32::try_from(grid.rows.len() - 1).ok()?;
    let last = cells.text(cells.len().checked_sub(1)?)?;
    // The last cell is the rest of the file: a quotation mark, then text in which every mark is doubled.
    let tail = text.get(start..)?;
    let raw_length = last.len() + last.matches('"').count();
    let at = tail.len().checked_sub(raw_length + 1)?;
    let opened =
        tail.as_bytes().get(at) == Some(&b'"') && tail.get(at + 1..).is_some_and(|raw| raw.replace("\"\"", "\"") == last);
    // A closed cell at the end ends in its own mark, and that mark is not part of the text.
    opened.then(|| OpenQuote { row, line: 1 + encoding::lines_in(text.get(..start + at).unwrap_or_default()) as u64 })
}

/// Cells with bytes that are no character of Windows-1252 are refused with their row.
fn refuse_undefined(file: &str, sheet: &mut Sheet, opened: &mut Opened) {
    for (number, row) in (0_u32..).zip(sheet.grid.rows.cells_mut()) {
        for (column, cell) in (0_u32..).zip(row) {
            let Content::Text(seen) = &mut cell.content else { continue };
            let Some(bad) = seen.chars().find(|c| encoding::is_undefined(*c)) else { continue };
            *seen = seen.replace(encoding::is_undefined, "\u{fffd}").into();
            let letters = column_letters(column);
            let place =
                Place { row: Some(number + 1), column: Some(letters), text: Some(text::shortened(seen)), ..Place::file(file) };
            let what = format!("the cell holds the byte {:02X}, which is no character of Windows-1252", u32::from(bad));
            let cure = "type the text anew, or name the file's encoding with --encoding";
            opened.findings.push(Finding::new(&codes::I303_UNDEFINED_BYTE, what).at(place).cure(cure));
            opened.rejected.insert((number, column));
        }
    }
}
