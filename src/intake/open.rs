//! From a path to sheets of cells: refuses what can't be a schedule, before anything is read.

use std::collections::BTreeSet;
use std::fmt::Write;
use std::io::Read;
use std::path::Path;

use sha2::{Digest, Sha256};

use super::error::{IntakeError, IntakeErrorKind};
use super::workbook::{self, Format};
use super::{Cell, Content, Grid, Intake, rows};

/// Largest amounts that are read.
#[derive(Clone, Copy, Debug)]
pub struct Maxima {
    /// Size of the file.
    pub file_bytes: u64,
    /// Size of a workbook when unpacked.
    pub unpacked_bytes: u64,
    /// Sheets of a workbook.
    pub sheets: usize,
    /// Rows of a sheet.
    pub rows: usize,
    /// Columns of a sheet.
    pub columns: usize,
    /// Cells of all sheets, empty ones between others included.
    pub cells: usize,
}

/// The one place of all limits of a schedule's size.
pub const MAXIMA: Maxima =
    Maxima { file_bytes: 64 << 20, unpacked_bytes: 512 << 20, sheets: 64, rows: 200_000, columns: 1_024, cells: 10_000_000 };

/// Wishes on how to read.
#[derive(Clone, Debug, Default)]
#[non_exhaustive]
pub struct ReadOptions {
    /// Headings and the canonical columns that they mean, where the user says so.
    pub columns: Vec<(String, String)>,
}

/// A sheet and what the grid of cells does not say.
#[derive(Debug, Default)]
pub(super) struct Sheet {
    pub(super) grid: Grid,
    /// Cells with a formula and either no stored result or 0, which is what a missing one may read as.
    pub(super) uncomputed: BTreeSet<(u32, u32)>,
    /// Corners of merged areas.
    pub(super) merged: Vec<((u32, u32), (u32, u32))>,
    /// Not shown by spreadsheet programs.
    pub(super) hidden: bool,
    /// Row from zero in which a quotation mark is opened and never closed.
    pub(super) open_quote: Option<u32>,
}

/// Reads a schedule: `.csv`, `.xlsx`, `.ods`, or `-` for CSV on standard input.
///
/// # Errors
/// The file can't be had, is too large, is damaged, is of no known kind or has no heading row.
pub fn read(path: &Path, options: &ReadOptions) -> Result<Intake, IntakeError> {
    if path.as_os_str() == "-" {
        let name = "standard input";
        let bytes = capped(name, std::io::stdin().lock())?;
        return read_csv_bytes(name, &bytes, options);
    }
    let shown = path.display().to_string();
    let format = format_of(path, &shown)?;
    let bytes = bytes_of(path, &shown)?;
    let file = path.file_name().map_or_else(|| shown.clone(), |name| name.to_string_lossy().into_owned());
    match format {
        None => read_csv_bytes(&file, &bytes, options),
        Some(format) => {
            refuse_empty(&file, &bytes)?;
            rows::read(workbook::read(&file, &bytes, format)?, &file, digest(&bytes), options)
        }
    }
}

/// Reads a schedule in CSV that is in memory already; `file` is the name that findings bear.
///
/// # Errors
/// The text is too large, empty, not UTF-8, or has no heading row.
pub fn read_csv_bytes(file: &str, bytes: &[u8], options: &ReadOptions) -> Result<Intake, IntakeError> {
    if bytes.len() as u64 > MAXIMA.file_bytes {
        return Err(too_large(file));
    }
    refuse_empty(file, bytes)?;
    let text = decode(file, bytes)?;
    let sheet = csv_sheet(file, text)?;
    rows::read(vec![sheet], file, digest(bytes), options)
}

/// `None` for CSV.
fn format_of(path: &Path, shown: &str) -> Result<Option<Format>, IntakeError> {
    let ending = path.extension().map(|ending| ending.to_string_lossy().to_ascii_lowercase());
    match ending.as_deref() {
        Some("csv") => Ok(None),
        Some("xlsx" | "xlsm") => Ok(Some(Format::Xlsx)),
        Some("ods") => Ok(Some(Format::Ods)),
        // A missing file or a folder is the plainer message.
        _ => bytes_of(path, shown).and_then(|_| {
            let what = "schedules are read from .csv, .xlsx and .ods; save it as one of them";
            Err(IntakeError::new(IntakeErrorKind::Ending, format!("{shown}: {what}")))
        }),
    }
}

fn bytes_of(path: &Path, shown: &str) -> Result<Vec<u8>, IntakeError> {
    let unreadable = |error: std::io::Error| match error.kind() {
        std::io::ErrorKind::NotFound => {
            IntakeError::new(IntakeErrorKind::Missing, format!("{shown}: there is no such file; check the name and the folder"))
        }
        _ => IntakeError::new(
            IntakeErrorKind::Unreadable,
            format!("{shown}: the file can't be read ({error}); check who may read it"),
        ),
    };
    let metadata = std::fs::metadata(path).map_err(unreadable)?;
    if metadata.is_dir() {
        let what = "this is a folder; name the schedule inside it";
        return Err(IntakeError::new(IntakeErrorKind::NotAFile, format!("{shown}: {what}")));
    }
    if !metadata.is_file() {
        let what = "this is not an ordinary file; use `-` to read CSV from standard input";
        return Err(IntakeError::new(IntakeErrorKind::NotAFile, format!("{shown}: {what}")));
    }
    capped(shown, std::fs::File::open(path).map_err(unreadable)?)
}

fn capped(shown: &str, source: impl Read) -> Result<Vec<u8>, IntakeError> {
    let mut bytes = Vec::new();
    let unreadable =
        |error| IntakeError::new(IntakeErrorKind::Unreadable, format!("{shown}: reading stopped ({error}); try again"));
    source.take(MAXIMA.file_bytes + 1).read_to_end(&mut bytes).map_err(unreadable)?;
    if bytes.len() as u64 > MAXIMA.file_bytes { Err(too_large(shown)) } else { Ok(bytes) }
}

fn too_large(shown: &str) -> IntakeError {
    let what = format!(
        "larger than {} MiB, the most that is read; remove pictures and sheets that don't belong to it",
        MAXIMA.file_bytes >> 20
    );
    IntakeError::new(IntakeErrorKind::TooLarge, format!("{shown}: {what}"))
}

fn refuse_empty(file: &str, bytes: &[u8]) -> Result<(), IntakeError> {
    let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
    if bytes.iter().all(u8::is_ascii_whitespace) {
        let what = "the file is empty; it needs a heading row and a row for each load";
        return Err(IntakeError::new(IntakeErrorKind::Empty, format!("{file}: {what}")));
    }
    Ok(())
}

fn digest(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().fold(String::new(), |mut text, byte| {
        let _ = write!(text, "{byte:02x}");
        text
    })
}

/// Text of a CSV file. Other encodings than UTF-8 find their place here.
fn decode<'a>(file: &str, bytes: &'a [u8]) -> Result<&'a str, IntakeError> {
    let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
    std::str::from_utf8(bytes).map_err(|error| {
        let line = bytes.get(..error.valid_up_to()).unwrap_or_default().iter().filter(|&&byte| byte == b'\n').count() + 1;
        let what = format!("the text is not UTF-8 (first seen in line {line}); save it as CSV UTF-8");
        IntakeError::new(IntakeErrorKind::Encoding, format!("{file}: {what}"))
    })
}

fn csv_sheet(file: &str, text: &str) -> Result<Sheet, IntakeError> {
    let bytes = text.as_bytes();
    let mut reader = csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(bytes);
    let mut record = csv::StringRecord::new();
    let mut grid = Grid { file: file.to_owned(), ..Grid::default() };
    let mut cells = 0;
    let too_large = |what: String| {
        IntakeError::new(
            IntakeErrorKind::TooLarge,
            format!("{file}: {what}; split the schedule or remove what does not belong to it"),
        )
    };
    loop {
        // The reader passes over blank lines, but rows are counted as a spreadsheet counts them.
        let at = usize::try_from(reader.position().byte()).unwrap_or(usize::MAX);
        for _ in 0..blank_lines(bytes, at).min(MAXIMA.rows + 1) {
            grid.rows.push(Vec::new());
        }
        let more = reader
            .read_record(&mut record)
            .map_err(|error| IntakeError::new(IntakeErrorKind::Damaged, format!("{file}: the table can't be read ({error})")))?;
        if !more {
            break;
        }
        cells += record.len();
        if grid.rows.len() >= MAXIMA.rows {
            return Err(too_large(format!("it has more than {} rows", MAXIMA.rows)));
        }
        if record.len() > MAXIMA.columns {
            return Err(too_large(format!("row {} has more than {} columns", grid.rows.len() + 1, MAXIMA.columns)));
        }
        if cells > MAXIMA.cells {
            return Err(too_large(format!("it has more than {} cells", MAXIMA.cells)));
        }
        grid.rows.push(record.iter().map(|text| Cell { content: csv_content(text), ..Cell::default() }).collect());
    }
    let open_quote = unclosed_quote(bytes, &grid);
    Ok(Sheet { grid, open_quote, ..Sheet::default() })
}

fn csv_content(text: &str) -> Content {
    if text.is_empty() { Content::Empty } else { Content::Text(text.to_owned()) }
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

/// The last row, if a quotation mark that is never closed took everything up to the end into one cell.
fn unclosed_quote(bytes: &[u8], grid: &Grid) -> Option<u32> {
    let odd = bytes.iter().filter(|&&byte| byte == b'"').count() % 2 == 1;
    let last = grid.rows.last()?;
    let broken = matches!(last.last(), Some(Cell { content: Content::Text(text), .. }) if text.contains('\n'));
    (odd && broken).then(|| u32::try_from(grid.rows.len() - 1).ok()).flatten()
}
