//! From a path to sheets of cells: refuses what can't be a schedule, before anything is read.

use std::collections::BTreeSet;
use std::fmt::Write;
use std::io::Read;
use std::path::Path;

use sha2::{Digest, Sha256};

use super::error::{IntakeError, IntakeErrorKind};
use super::kind::{self, Kind};
use super::{Detected, Grid, Intake, delimited, own, rows, workbook};
use crate::finding::{Finding, Place, Severity, codes, column_letters};
use crate::threads;

/// Largest amounts that are read.
#[derive(Clone, Copy, Debug)]
pub struct Maxima {
    /// Size of the file.
    pub file_bytes: u64,
    /// Size of a workbook when unpacked.
    pub unpacked_bytes: u64,
    /// Parts of a workbook, pictures and all.
    pub parts: usize,
    /// Sheets of a workbook.
    pub sheets: usize,
    /// Rows of a sheet.
    pub rows: usize,
    /// Columns of a sheet.
    pub columns: usize,
    /// Cells of all sheets, empty ones between others included.
    pub cells: usize,
    /// Merged areas of a sheet.
    pub merged: usize,
}

/// The one place of all limits of a schedule's size.
pub const MAXIMA: Maxima = Maxima {
    file_bytes: 64 << 20,
    unpacked_bytes: 256 << 20,
    parts: 10_000,
    sheets: 64,
    rows: 200_000,
    columns: 1_024,
    cells: 10_000_000,
    merged: 50_000,
};

/// Wishes on how to read.
#[derive(Clone, Debug, Default)]
#[non_exhaustive]
pub struct ReadOptions {
    /// Name of the encoding of delimited text, instead of the one that is told from its bytes.
    pub encoding: Option<String>,
    /// Separator of delimited text, instead of the one that is told from it: the character or its name.
    pub separator: Option<String>,
    /// Headings and the canonical columns that they mean, where the user says so.
    pub columns: Vec<(String, String)>,
    /// The same of a basis that serves several schedules: a heading that is not in this one is told and nothing else.
    pub columns_of_basis: Vec<(String, String)>,
    /// Names of the sheets of a workbook that are the schedule; all that have headings where none is named.
    pub sheets: Vec<String>,
    /// Among American figures a comma before three digits parts thousands, where no figure of the sheet has a decimal comma.
    pub american: bool,
    /// Rule books whose trade writes American figures: the schedule is read so where its sheet of the basis names one of them.
    pub american_books: Vec<String>,
}

/// A sheet and what the grid of cells does not say.
#[derive(Debug, Default)]
pub(super) struct Sheet {
    pub(super) grid: Grid,
    /// Cells with a formula and either no stored result or 0, which is what a missing one may read as.
    pub(super) uncomputed: BTreeSet<(u32, u32)>,
    /// A comma before three digits parts thousands, where no figure has a decimal comma.
    pub(super) american: bool,
    /// Not shown by spreadsheet programs.
    pub(super) hidden: bool,
    /// A quotation mark stands somewhere in delimited text, so that a cell may hold line ends.
    pub(super) quoted: bool,
    /// A quotation mark that is opened and never closed.
    pub(super) open_quote: Option<OpenQuote>,
}

/// Where a quotation mark is opened that is never closed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct OpenQuote {
    /// Row from zero.
    pub(super) row: u32,
    /// Line of the text from one.
    pub(super) line: u64,
}

/// A file taken apart, before its rows are read.
#[derive(Debug, Default)]
pub(super) struct Opened {
    pub(super) sheets: Vec<Sheet>,
    pub(super) detected: Detected,
    /// The findings about the file.
    pub(super) findings: Vec<Finding>,
    /// Cells of the first sheet that have their error already.
    pub(super) rejected: BTreeSet<(u32, u32)>,
}

/// Reads a schedule: delimited text, XLSX, ODS or XLS, or `-` for delimited text on standard input.
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
    let bytes = bytes_of(path, &shown)?;
    let file = path.file_name().map_or_else(|| shown.clone(), |name| name.to_string_lossy().into_owned());
    read_bytes(&file, &bytes, options)
}

/// Reads a schedule that is in memory already; `file` is the name that findings bear. The bytes tell the kind of the file; a finding says
/// where the ending of the name promises another.
///
/// # Errors
/// The bytes are too many, damaged, of no known kind or have no heading row.
pub fn read_bytes(file: &str, bytes: &[u8], options: &ReadOptions) -> Result<Intake, IntakeError> {
    check_size(file, bytes)?;
    with_digest(bytes, || of_bytes(file, bytes, options))
}

fn of_bytes(file: &str, bytes: &[u8], options: &ReadOptions) -> Result<Intake, IntakeError> {
    let ending = kind::ending(file);
    let (format, mut opened) = match kind::of(file, bytes)? {
        Kind::Text if ending == kind::Ending::Unknown => return Err(kind::unknown_ending(file)),
        Kind::Text => (None, delimited::read(file, bytes, options)?),
        Kind::Workbook(format) if ending == kind::Ending::Text => return Err(kind::misnamed(file, format)),
        Kind::Workbook(format) => (Some(format), workbook::read(file, bytes, format)?),
    };
    if let Some(what) = kind::unlike_its_name(ending, format) {
        let cure = "nothing, unless it is the wrong file; give it the right ending to be spared this note";
        opened.findings.push(Finding::new(&codes::I304_ENDING, what).at(Place::file(file)).cure(cure));
    }
    finish(file, opened, options)
}

/// Reads a schedule in delimited text that is in memory already; `file` is the name that findings bear.
///
/// # Errors
/// The text is too large, empty, not to be decoded, or has no heading row.
pub fn read_csv_bytes(file: &str, bytes: &[u8], options: &ReadOptions) -> Result<Intake, IntakeError> {
    check_size(file, bytes)?;
    with_digest(bytes, || match kind::of(file, bytes)? {
        Kind::Text => finish(file, delimited::read(file, bytes, options)?, options),
        Kind::Workbook(format) => Err(kind::misnamed(file, format)),
    })
}

/// Reads, and takes the digest of the bytes meanwhile.
fn with_digest(bytes: &[u8], read: impl FnOnce() -> Result<Intake, IntakeError>) -> Result<Intake, IntakeError> {
    let (sha256, intake) = threads::beside(|| digest(bytes), read);
    Ok(Intake { sha256, ..intake? })
}

/// Reads the rows of what was opened.
fn finish(file: &str, opened: Opened, options: &ReadOptions) -> Result<Intake, IntakeError> {
    let quote = opened.sheets.first().and_then(|sheet| sheet.open_quote);
    let read = |sheets| rows::read(sheets, file, opened.detected, options);
    let mut intake = own::aside(opened.sheets, read).map_err(|mut error| {
        if let Some(quote) = quote {
            let _ = write!(error.message, "; the quotation mark that is opened in line {} is never closed", quote.line);
        }
        error
    })?;
    let mut findings = opened.findings;
    if intake.detected.decimal == Some(',') && !super::figures::have_decimal_comma(&intake) {
        intake.detected.decimal = Some('.');
        findings.retain(|finding| finding.code != codes::I302_DECIMAL_COMMA.code);
    }
    if !opened.rejected.is_empty() {
        let rejected = |row: u32| opened.rejected.range((row, 0)..=(row, u32::MAX));
        for load in intake.loads.iter_mut().filter(|load| load.grid == 0) {
            load.rejected |= rejected(load.row).next().is_some();
        }
        // Other faults of such a cell come of the byte.
        intake.findings.retain(|finding| {
            let Some(place) = finding.place.as_ref().filter(|_| finding.severity == Severity::Error) else { return true };
            let Some(row) = place.row.and_then(|row| row.checked_sub(1)) else { return true };
            !rejected(row).any(|(_, column)| place.column.as_deref() == Some(&column_letters(*column)))
        });
    }
    findings.append(&mut intake.findings);
    intake.findings = findings;
    intake.say_unread_matters();
    Ok(intake)
}

fn check_size(file: &str, bytes: &[u8]) -> Result<(), IntakeError> {
    if bytes.len() as u64 > MAXIMA.file_bytes {
        return Err(too_large(file));
    }
    refuse_empty(file, bytes)
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
