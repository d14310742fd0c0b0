//! Opens schedule, basis and catalogue.

use std::path::Path;
use std::sync::OnceLock;

use super::{Inputs, Options, ProjectError, Range, failed, file_name, hash, plain};
use crate::basis::{self, Basis};
use crate::catalogue;
use crate::design::HashedFile;
use crate::finding::Finding;
use crate::intake;
use crate::rules;
use crate::sizing;
use crate::threads;

/// The basis of a file, if one is named, with its hash and findings.
#[allow(clippy::type_complexity)] // a pair of what was read and what was found
fn basis_file(options: &Options) -> Result<(Option<(Basis, HashedFile)>, Vec<Finding>), ProjectError> {
    let Some(path) = &options.basis else { return Ok((None, Vec::new())) };
    let bytes =
        std::fs::read(path).map_err(|error| failed(format!("{}: the basis can't be read: {}", path.display(), plain(&error))))?;
    let text = String::from_utf8(bytes).map_err(|_| failed(format!("{}: the basis is not UTF-8 text", path.display())))?;
    let (basis, found) = basis::from_toml(&file_name(path), &text).map_err(|error| failed(error.to_string()))?;
    Ok((Some((basis, HashedFile { file: file_name(path), sha256: hash(text.as_bytes()) })), found))
}

fn with_columns(options: &Options, basis: Option<&Basis>) -> intake::ReadOptions {
    let mut reading = options.reading.clone();
    reading.columns.extend(basis.map(|basis| basis.columns.clone()).unwrap_or_default());
    reading
}

/// How the schedule is read: as the options say, and as the basis explains its headings.
///
/// # Errors
/// The basis can't be read.
pub fn reading(options: &Options) -> Result<intake::ReadOptions, ProjectError> {
    let (basis, _) = basis_file(options)?;
    Ok(with_columns(options, basis.as_ref().map(|(basis, _)| basis)))
}

/// Reads the built-in range while the schedule is read, where it is plain already that it will be needed.
fn read_range_early(options: &Options, basis: Option<&Basis>) {
    let named = options.rules.as_deref().or(basis.and_then(|basis| basis.rules.book.as_deref()));
    let elsewhere = options.catalogue.is_some() || basis.is_some_and(|basis| basis.catalogue.folder.is_some());
    if let Some(named) = named.filter(|named| !elsewhere && rules::NAMES.contains(named)) {
        let _ = catalogue::builtin(named);
    }
}

/// Reads schedule, basis and catalogue.
///
/// # Errors
/// A file can't be read or used, or no rule book is named.
pub fn open(options: &Options) -> Result<Inputs, ProjectError> {
    // The basis comes first: it may say what the schedule's headings mean.
    let (of_file, mut findings) = basis_file(options)?;
    let reading = with_columns(options, of_file.as_ref().map(|(basis, _)| basis));
    let ((), intake) = threads::beside(
        || read_range_early(options, of_file.as_ref().map(|(basis, _)| basis)),
        || intake::read(&options.schedule, &reading),
    );
    let mut intake = intake.map_err(|error| failed(error.to_string()))?;
    if intake.loads.is_empty() {
        return Err(failed(format!(
            "{}: the heading row is there, but no row of a load below it; enter one load a row",
            file_name(&options.schedule)
        )));
    }
    let mut files = vec![HashedFile { file: file_name(&options.schedule), sha256: intake.sha256.clone() }];
    let basis = match of_file {
        Some((basis, file)) => {
            files.push(file);
            basis
        }
        None if !intake.basis_pairs.is_empty() => {
            let (basis, found) = basis::from_pairs(&file_name(&options.schedule), &intake.basis_pairs)
                .map_err(|error| failed(error.to_string()))?;
            findings.extend(found);
            basis
        }
        None => Basis::default(),
    };
    let basis_file = options.basis.as_deref().map(file_name).or_else(|| Some(file_name(&options.schedule)));
    let named = options.rules.as_deref().or(basis.rules.book.as_deref());
    let Some(named) = named else {
        return Err(failed(format!(
            "no rule book is named, and a wrong one is dangerous: give --rules {}, or [rules] book in the basis",
            rules::NAMES.join("|")
        )));
    };
    let book = rules::book(named, basis.rules.edition.as_deref()).map_err(failed)?;
    findings.extend(sizing::resolve::idle::of_design(&intake.loads, &basis, basis_file.as_deref(), book));
    intake.findings.extend(sizing::plausible::across(&intake.loads, &basis, basis_file.as_deref(), book));
    let folder = options.catalogue.clone().or_else(|| {
        let folder = basis.catalogue.folder.as_deref()?;
        let beside = options.basis.as_deref().and_then(Path::parent).unwrap_or_else(|| Path::new(""));
        Some(beside.join(folder))
    });
    let range = Range::of(folder.as_deref(), book.key())?;
    findings.extend(range.findings(&basis));
    findings.extend(sizing::memory::behind_all(book));
    Ok(Inputs {
        intake,
        basis,
        book,
        range,
        files,
        findings,
        interlocked: OnceLock::new(),
        electronic: OnceLock::new(),
        merged: OnceLock::new(),
        network: OnceLock::new(),
        basis_file,
    })
}
