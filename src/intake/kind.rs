//! The kind of a file, by its first bytes and not by its name; and the kind that its name promises.

use std::io::Cursor;

use super::biff;
use super::error::{IntakeError, IntakeErrorKind};
use super::workbook::{Format, damaged};

/// Kinds that are read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    Text,
    Workbook(Format),
}

/// The kind that the ending of a name promises.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Ending {
    Text,
    Workbook(Format),
    Unknown,
}

/// The kinds of files from which schedules are read.
const READ: &str = "schedules are read from .csv, .xlsx, .xlsm, .xls and .ods; save it as one of them";

/// Ending of a name.
pub(super) fn ending(file: &str) -> Ending {
    let ending = file.rsplit_once('.').map(|(_, ending)| ending.to_ascii_lowercase()).unwrap_or_default();
    match ending.as_str() {
        "csv" | "txt" | "tsv" | "tab" => Ending::Text,
        "xlsx" | "xlsm" | "xltx" | "xltm" => Ending::Workbook(Format::Xlsx),
        "ods" | "ots" => Ending::Workbook(Format::Ods),
        "xls" | "xlt" => Ending::Workbook(Format::Xls),
        _ => Ending::Unknown,
    }
}

/// Beginnings of files that people take for schedules.
const OTHERS: &[(&[u8], &str)] = &[
    (b"%PDF", "a PDF document"),
    (b"\x89PNG", "a picture"),
    (b"\xFF\xD8\xFF", "a picture"),
    (b"GIF8", "a picture"),
    (b"BM\0", "a picture"),
    (b"\x1F\x8B", "a compressed file; unpack it first"),
    (b"7z\xBC\xAF", "an archive; unpack it first"),
    (b"Rar!", "an archive; unpack it first"),
    (b"{\\rtf", "a text document"),
    (b"<html", "a web page, whatever its name says"),
    (b"<!doctype html", "a web page, whatever its name says"),
    (b"<table", "a web page, whatever its name says"),
    (b"<?xml", "an XML file"),
    (b"SQLite format 3", "a database"),
];

/// The kind of the bytes.
pub(super) fn of(file: &str, bytes: &[u8]) -> Result<Kind, IntakeError> {
    if bytes.starts_with(b"PK\x03\x04") || bytes.starts_with(b"PK\x05\x06") || bytes.starts_with(b"PK\x07\x08") {
        return archive(file, bytes);
    }
    if bytes.starts_with(&biff::CONTAINER) {
        return old_container(file, bytes);
    }
    let text = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes).trim_ascii_start();
    let begins = |start: &[u8]| text.get(..start.len()).is_some_and(|head| head.eq_ignore_ascii_case(start));
    match OTHERS.iter().find(|(start, _)| begins(start)) {
        Some((_, what)) => Err(other(file, what)),
        None => Ok(Kind::Text),
    }
}

fn other(file: &str, what: &str) -> IntakeError {
    IntakeError::new(IntakeErrorKind::Ending, format!("{file}: this is {what}; {READ}"))
}

fn protected(file: &str) -> IntakeError {
    let what = "the workbook is encrypted with a password; open it and save it without one";
    IntakeError::new(IntakeErrorKind::Protected, format!("{file}: {what}"))
}

/// The kind of a zip archive.
fn archive(file: &str, bytes: &[u8]) -> Result<Kind, IntakeError> {
    let archive = zip::ZipArchive::new(Cursor::new(bytes)).map_err(|error| damaged(file, error))?;
    let names: Vec<String> = archive
        .file_names()
        .flatten()
        .take(super::MAXIMA.parts)
        .map(|name| name.replace('\\', "/").to_ascii_lowercase())
        .collect();
    let has = |name: &str| names.iter().any(|entry| entry.trim_start_matches('/') == name);
    let within = |folder: &str| names.iter().any(|name| name.trim_start_matches('/').starts_with(folder));
    if has("content.xml") {
        return open_document(file, bytes);
    }
    if has("xl/workbook.bin") {
        return Err(other(file, "a binary workbook (.xlsb)"));
    }
    if within("xl/") {
        return Ok(Kind::Workbook(Format::Xlsx));
    }
    if within("word/") {
        return Err(other(file, "a text document"));
    }
    if within("ppt/") {
        return Err(other(file, "a presentation"));
    }
    // A workbook may keep its parts in folders of any name.
    if has("[content_types].xml") {
        return Ok(Kind::Workbook(Format::Xlsx));
    }
    Err(other(file, "an archive and no workbook; unpack it and name the schedule inside it"))
}

/// A spreadsheet among the documents of one family.
fn open_document(file: &str, bytes: &[u8]) -> Result<Kind, IntakeError> {
    let part = |name: &str| {
        let mut text = String::new();
        let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).ok()?;
        let member = archive.by_name(name).ok()?;
        std::io::Read::read_to_string(&mut std::io::Read::take(member, 1 << 20), &mut text).ok()?;
        Some(text)
    };
    if part("META-INF/manifest.xml").is_some_and(|text| text.contains("encryption-data")) {
        return Err(protected(file));
    }
    let kind = part("mimetype").unwrap_or_default();
    match kind.trim() {
        text if text.contains("opendocument.text") => Err(other(file, "a text document")),
        text if text.contains("opendocument.presentation") => Err(other(file, "a presentation")),
        text if text.contains("opendocument.graphics") => Err(other(file, "a drawing")),
        _ => Ok(Kind::Workbook(Format::Ods)),
    }
}

/// The kind of a container of the old binary formats.
fn old_container(file: &str, bytes: &[u8]) -> Result<Kind, IntakeError> {
    let container = biff::Container::open(bytes).map_err(|why| damaged(file, why))?;
    if container.has("EncryptedPackage") || container.has("EncryptionInfo") {
        return Err(protected(file));
    }
    let Some(stream) = container.workbook().map_err(|why| damaged(file, why))? else {
        let what = if container.has("WordDocument") { "a text document" } else { "no workbook" };
        return Err(other(file, what));
    };
    if biff::is_encrypted(&stream) {
        return Err(protected(file));
    }
    Ok(Kind::Workbook(Format::Xls))
}

/// A name without an ending that is read.
pub(super) fn unknown_ending(file: &str) -> IntakeError {
    IntakeError::new(IntakeErrorKind::Ending, format!("{file}: {READ}"))
}

/// A workbook under the name of a text.
pub(super) fn misnamed(file: &str, format: Format) -> IntakeError {
    let ending = format.ending();
    let what = format!("this is no text but a workbook ({}); give it the ending .{ending} and read it so", ending.to_uppercase());
    IntakeError::new(IntakeErrorKind::Ending, format!("{file}: {what}"))
}

/// A finding for a file that is read although its name promises something else.
pub(super) fn unlike_its_name(ending: Ending, format: Option<Format>) -> Option<String> {
    let Ending::Workbook(promised) = ending else { return None };
    match format {
        Some(format) if format == promised => None,
        Some(format) => Some(format!(
            "the file is a workbook of the kind .{}, though its name ends in .{}; it was read as what it is",
            format.ending(),
            promised.ending()
        )),
        None => {
            Some(format!("the file is delimited text, though its name ends in .{}; it was read as what it is", promised.ending()))
        }
    }
}
