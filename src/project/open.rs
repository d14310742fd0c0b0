//! Opens schedule, basis and catalogue.

use std::path::{Path, PathBuf};

use super::{Inputs, Options, ProjectError, ProjectErrorKind, Range, file_name, hash, plain};
use crate::basis::{self, Basis, BasisError, KeyLines};
use crate::catalogue;
use crate::design::HashedFile;
use crate::finding::{Finding, Place, codes};
use crate::intake::{self, Intake};
use crate::rules::units::Units;
use crate::rules::{self, RuleBook};
use crate::threads;

/// A basis with the name of what it was read from and what was found in it.
#[derive(Clone, Debug, Default)]
pub struct ReadBasis {
    /// The basis.
    pub basis: Basis,
    /// Name that findings about the basis bear, such as `basis.toml`.
    pub file: Option<String>,
    /// Findings while it was read.
    pub findings: Vec<Finding>,
    /// Lines of its keys, where it was a file.
    pub lines: KeyLines,
}

impl ReadBasis {
    /// Reads the text of a basis file; `file` is the name that findings bear.
    ///
    /// # Errors
    /// The text is no TOML, or a value is none that its key may have.
    pub fn from_toml(file: &str, text: &str) -> Result<Self, ProjectError> {
        let read = Self::named(file, basis::from_toml(file, text))?;
        Ok(Self { lines: KeyLines::of_toml(text), ..read })
    }

    fn named(file: &str, read: Result<(Basis, Vec<Finding>), BasisError>) -> Result<Self, ProjectError> {
        let (basis, findings) = read.map_err(|error| ProjectError::new(ProjectErrorKind::Basis, error.message))?;
        Ok(Self { basis, file: Some(file.to_owned()), findings, lines: KeyLines::default() })
    }
}

impl From<Basis> for ReadBasis {
    fn from(basis: Basis) -> Self {
        Self { basis, ..Self::default() }
    }
}

/// The basis of a file, if one is named, with its hash.
fn basis_of_file(options: &Options) -> Result<Option<(ReadBasis, HashedFile)>, ProjectError> {
    let Some(path) = &options.basis else { return Ok(None) };
    let failed = |why: String| ProjectError::new(ProjectErrorKind::Basis, format!("{}: the basis {why}", path.display()));
    let bytes = std::fs::read(path).map_err(|error| failed(format!("can't be read: {}", plain(&error))))?;
    let text = String::from_utf8(bytes).map_err(|_| failed("is not UTF-8 text".to_owned()))?;
    let file = HashedFile { file: file_name(path), sha256: hash(text.as_bytes()) };
    Ok(Some((ReadBasis::from_toml(&file.file, &text)?, file)))
}

/// The basis that the schedule brings on a sheet of its own, or one that states nothing.
fn basis_of_schedule(options: &Options, intake: &Intake) -> Result<ReadBasis, ProjectError> {
    let file = file_name(&options.schedule);
    if intake.basis_pairs.is_empty() {
        return Ok(ReadBasis { file: Some(file), ..ReadBasis::default() });
    }
    let read = basis::from_pairs(&file, &intake.basis_pairs);
    ReadBasis::named(&file, read)
}

fn with_columns(options: &Options, basis: Option<&Basis>) -> intake::ReadOptions {
    let mut reading = options.reading.clone();
    reading.columns_of_basis.extend(basis.map(|basis| basis.columns.clone()).unwrap_or_default());
    let book = options.rules.as_deref().or(basis.and_then(|basis| basis.rules.book.as_deref()));
    reading.american |= book.is_some_and(|book| Units::of(book) == Units::Customary);
    if book.is_none() && options.basis.is_none() {
        // Which book counts is known from a sheet of the workbook alone.
        let customary = |book: &&str| Units::of(book) == Units::Customary;
        reading.american_books = rules::NAMES.iter().copied().filter(customary).map(str::to_owned).collect();
    }
    reading
}

/// Reads the schedule alone: as the options say, as the basis explains its headings, and in the units of the rule book where one is named.
///
/// # Errors
/// The basis or the schedule can't be read.
pub fn schedule(options: &Options) -> Result<Intake, ProjectError> {
    let of_file = basis_of_file(options)?;
    let stated = of_file.as_ref().map(|(read, _)| &read.basis);
    let reading = with_columns(options, stated);
    let mut intake = intake::read(&options.schedule, &reading)?;
    let on_sheet =
        || intake.basis_pairs.iter().find(|(key, _)| key.eq_ignore_ascii_case("rules.book")).map(|(_, book)| book.as_str());
    let of_basis = stated.and_then(|basis| basis.rules.book.as_deref());
    let book = options.rules.as_deref().or(of_basis).or_else(|| on_sheet().filter(|_| of_file.is_none())).map(Units::of);
    if let Some(units) = book {
        intake::book_units::settle(&mut intake, units == Units::Customary);
    }
    Ok(intake)
}

/// Reads the built-in range while the schedule is read, where it is plain already that it will be needed.
fn read_range_early(options: &Options, basis: Option<&Basis>) {
    let named = options.rules.as_deref().or(basis.and_then(|basis| basis.rules.book.as_deref()));
    let elsewhere = options.catalogue.is_some() || basis.is_some_and(|basis| basis.catalogue.folder.is_some());
    if let Some(named) = named.filter(|named| !elsewhere && rules::NAMES.contains(named)) {
        let _ = catalogue::builtin(named);
    }
}

/// The rule book that the options or else the basis name.
fn named_book(options: &Options, basis: &Basis) -> Result<&'static dyn RuleBook, ProjectError> {
    if let (Some(option), Some(stated)) = (options.rules.as_deref(), basis.rules.book.as_deref())
        && option != stated
    {
        let message =
            format!("--rules names {option}, but the basis {stated}, and a wrong one is dangerous: leave one of them out");
        return Err(ProjectError::new(ProjectErrorKind::RuleBook, message));
    }
    let Some(named) = options.rules.as_deref().or(basis.rules.book.as_deref()) else {
        let names = rules::NAMES.join("|");
        let message =
            format!("no rule book is named, and a wrong one is dangerous: give --rules {names}, or [rules] book in the basis");
        return Err(ProjectError::new(ProjectErrorKind::NoRuleBook, message));
    };
    let edition = basis.rules.edition.as_deref();
    rules::book(named, edition).map_err(|why| ProjectError::new(ProjectErrorKind::RuleBook, why.to_string()))
}

/// The folder of the catalogue that the options or else the basis name; none for the built-in range.
fn catalogue_folder(options: &Options, basis: &Basis) -> Option<PathBuf> {
    options.catalogue.clone().or_else(|| {
        let folder = basis.catalogue.folder.as_deref()?;
        let beside = options.basis.as_deref().and_then(Path::parent).unwrap_or_else(|| Path::new(""));
        Some(beside.join(folder))
    })
}

/// A basis stands twice: beside the schedule in a file, and in its workbook.
fn sheet_left_out(schedule: &str, basis: &str) -> Finding {
    let sheet = basis::SHEET;
    let place = Place { sheet: Some(sheet.to_owned()), ..Place::file(schedule) };
    Finding::new(
        &codes::F102_SHEET_LEFT_OUT,
        format!("the sheet {sheet} of {schedule} is not read: {basis} is given as the basis"),
    )
    .at(place)
    .why("what only the sheet states is unknown to the design, and where the two differ the file counts")
    .cure("leave --basis out, or bring what the sheet states into the file and remove the sheet")
}

/// Reads schedule, basis and catalogue.
///
/// # Errors
/// A file can't be read or used, or no rule book is named.
pub fn open(options: &Options) -> Result<Inputs, ProjectError> {
    // The basis comes first: it may say what the schedule's headings mean.
    let of_file = basis_of_file(options)?;
    let stated = of_file.as_ref().map(|(read, _)| &read.basis);
    let reading = with_columns(options, stated);
    let ((), intake) = threads::beside(|| read_range_early(options, stated), || intake::read(&options.schedule, &reading));
    let intake = intake?;
    let schedule = HashedFile { file: file_name(&options.schedule), sha256: intake.sha256.clone() };
    if intake.loads.is_empty() {
        let file = &schedule.file;
        let message = format!("{file}: the heading row is there, but no row of a load below it; enter one load a row");
        return Err(ProjectError::new(ProjectErrorKind::Schedule, message));
    }
    let (basis, of_basis) = match of_file {
        Some((basis, file)) => (basis, Some(file)),
        None => (basis_of_schedule(options, &intake)?, None),
    };
    let book = named_book(options, &basis.basis)?;
    let folder = catalogue_folder(options, &basis.basis);
    let range = Range::of_folder(folder.as_deref(), book)?;
    let left_out =
        of_basis.as_ref().filter(|_| !intake.basis_pairs.is_empty()).map(|file| sheet_left_out(&schedule.file, &file.file));
    let mut inputs = Inputs::of(intake, basis, book, range);
    inputs.findings.extend(left_out);
    inputs.files = std::iter::once(schedule).chain(of_basis).collect();
    let of_catalogue = folder.as_deref().map(catalogue::files_in).unwrap_or_default();
    inputs.paths = std::iter::once(options.schedule.clone()).chain(options.basis.clone()).chain(of_catalogue).collect();
    Ok(inputs)
}
