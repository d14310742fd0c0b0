//! Reads the built-in range and folders of CSV files. Every wrong cell is reported with its place; none hides another.

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::path::Path;

use serde::de::{DeserializeOwned, Visitor};
use sha2::{Digest, Sha256};

use super::rows::Row;
use super::{Catalogue, MATERIAL};
use crate::finding::codes::{K101_FILE, K102_HEADING, K103_HEADING, K104_CELL, K105_RATING, K108_TWICE, K109_CELLS};
use crate::finding::{Finding, Place, column_letters};

/// Why a catalogue could not be used.
#[derive(Debug)]
pub struct CatalogueError {
    /// What is wrong.
    pub message: String,
    /// Placed findings about its files.
    pub findings: Vec<Finding>,
}

impl std::fmt::Display for CatalogueError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.message)
    }
}

impl std::error::Error for CatalogueError {}

macro_rules! families { ($($family:ident),* $(,)?) => {
    /// Families in the order in which they are read, hashed and listed; each is a file `<family>.csv`.
    pub const FAMILIES: &[&str] = &[$(stringify!($family)),*];

    fn read_families(texts: &[Option<&str>], findings: &mut Vec<Finding>) -> Catalogue {
        let mut texts = texts.iter().copied();
        Catalogue {
            $($family: texts.next().flatten().map_or_else(Vec::new, |text| {
                read_family(concat!(stringify!($family), ".csv"), text, findings)
            }),)*
            ..Catalogue::default()
        }
    }
}; }

families!(
    contactors,
    coils,
    overload_relays,
    motor_breakers,
    moulded_case_breakers,
    line_breakers,
    fuses,
    isolators,
    soft_starters,
    drives,
    cables,
    accessories,
    combinations,
    branch_breakers,
    disconnects,
    raceways,
    control_transformers,
    control_cables,
    glands,
    lugs,
    terminals,
    enclosures,
    labels,
    fittings,
    prices,
    power_supplies,
    control_protection,
    interposing_relays,
    switch_disconnectors,
);

/// A built-in range: its name and the families that it has, with their texts.
struct BuiltIn {
    name: &'static str,
    files: &'static [(&'static str, &'static str)],
}

macro_rules! files { ($folder:literal; $($family:literal),* $(,)?) => {
    &[$(($family, include_str!(concat!($folder, "/", $family, ".csv")))),*]
}; }

const GENERIC: BuiltIn = BuiltIn {
    name: "generic",
    files: files!("generic"; "contactors", "coils", "overload_relays", "motor_breakers", "moulded_case_breakers", "line_breakers",
        "fuses", "isolators", "soft_starters", "drives", "cables", "accessories", "combinations", "control_cables", "glands", "lugs",
        "terminals", "enclosures", "labels", "control_transformers", "power_supplies", "control_protection", "interposing_relays",
        "switch_disconnectors"),
};

const GENERIC_NEC: BuiltIn = BuiltIn {
    name: "generic-nec",
    files: files!("generic-nec"; "contactors", "coils", "overload_relays", "fuses", "soft_starters", "drives", "cables",
        "accessories", "combinations", "branch_breakers", "disconnects", "raceways", "control_transformers", "control_cables", "glands",
        "lugs", "terminals", "enclosures", "labels", "fittings", "power_supplies", "control_protection", "interposing_relays"),
};

/// Rule books for which there is a built-in range.
pub const RANGES: &[&str] = &["iec", "nec"];

/// The built-in range of a rule book; that of `iec` for a name that is not in [`RANGES`].
fn built_in(rules: &str) -> &'static BuiltIn {
    if rules == "nec" { &GENERIC_NEC } else { &GENERIC }
}

/// Families of equipment that not everybody offers: only what the basis asks for by name is chosen from them.
const ON_REQUEST: &[&str] = &["switch_disconnectors"];

/// Families that a catalogue for a rule book must have; the others are read where they are there.
#[must_use]
pub fn families_of(rules: &str) -> Vec<&'static str> {
    let needed = |family: &&str| !MATERIAL.contains(family) && !ON_REQUEST.contains(family);
    built_in(rules).files.iter().map(|(family, _)| *family).filter(needed).collect()
}

/// Families of small material that the built-in range of a rule book has, and that other catalogues should have.
#[must_use]
pub fn material_of(rules: &str) -> Vec<&'static str> {
    built_in(rules).files.iter().map(|(family, _)| *family).filter(|family| MATERIAL.contains(family)).collect()
}

/// File names and texts of the built-in range of a rule book, to begin one's own catalogue with; its last file is a price list
/// without prices.
#[must_use]
pub fn export(rules: &str) -> Vec<(String, Cow<'static, str>)> {
    let of_family = |(family, text): &(&str, &'static str)| (format!("{family}.csv"), Cow::Borrowed(*text));
    let mut files: Vec<_> = built_in(rules).files.iter().map(of_family).collect();
    files.push(("prices.csv".to_owned(), Cow::Owned(empty_prices(builtin(rules)))));
    files
}

/// A price list that names every part of a catalogue and states nothing of it.
fn empty_prices(catalogue: &Catalogue) -> String {
    let mut text = format!(
        "# {}\n# source: part numbers of the exported range\n# status: invented\n# empty cells: not known; a contactor's number may stand with its coil or without\n{}\n",
        super::DEMONSTRATION,
        headings::<super::Price>().join(",")
    );
    for (number, _) in super::Register::new(catalogue).numbers() {
        // Part numbers of the built-in ranges need no quotation marks.
        text.push_str(number);
        text.push_str(",,,,,\n");
    }
    text
}

/// What a file says in its comment lines when it belongs to the built-in range.
const MARK: &str = "invented demonstration range";

/// The built-in invented demonstration range of a rule book (see [`RANGES`]).
///
/// # Panics
/// On a bad built-in file. A test reads every one, so this is a failed test and never a user's crash.
#[must_use]
pub fn builtin(rules: &str) -> &'static Catalogue {
    static IEC: std::sync::LazyLock<Catalogue> = std::sync::LazyLock::new(|| read_built_in(&GENERIC));
    static NEC: std::sync::LazyLock<Catalogue> = std::sync::LazyLock::new(|| read_built_in(&GENERIC_NEC));
    if rules == "nec" { &NEC } else { &IEC }
}

fn read_built_in(range: &BuiltIn) -> Catalogue {
    let text_of = |family: &str| range.files.iter().find(|(own, _)| *own == family).map(|(_, text)| text.as_bytes().to_vec());
    let files: Vec<Option<Vec<u8>>> = FAMILIES.iter().map(|family| text_of(family)).collect();
    from_files(range.name, &files, Vec::new()).unwrap_or_else(|error| panic!("{error}: {:?}", error.findings.first()))
}

/// Reads a folder of CSV files with the headings of the built-in range of a rule book. Families that this range has not may
/// be there or not.
///
/// # Errors
/// The folder or one of its files can't be read, or a file has a wrong heading or cell; all of them are listed.
pub fn from_folder(folder: &Path, rules: &str) -> Result<Catalogue, CatalogueError> {
    if !folder.is_dir() {
        return Err(CatalogueError {
            message: format!("{} is not a folder that can be read; a catalogue is a folder of CSV files", folder.display()),
            findings: Vec::new(),
        });
    }
    let mut findings = Vec::new();
    let needed = families_of(rules);
    let files: Vec<Option<Vec<u8>>> = FAMILIES
        .iter()
        .map(|family| {
            let name = format!("{family}.csv");
            let mut say = |error: std::io::Error| {
                if needed.contains(family) || error.kind() != std::io::ErrorKind::NotFound {
                    findings.push(unreadable(&name, &error));
                }
            };
            std::fs::read(folder.join(&name)).map_err(&mut say).ok()
        })
        .collect();
    let name = folder.file_name().map_or_else(|| "catalogue".to_owned(), |name| name.to_string_lossy().into_owned());
    from_files(&name, &files, findings)
}

fn unreadable(name: &str, error: &std::io::Error) -> Finding {
    let what = if error.kind() == std::io::ErrorKind::NotFound {
        format!("the catalogue has no file {name}")
    } else {
        format!("{name} can't be read: {error}")
    };
    Finding::new(&K101_FILE, what)
        .at(Place::file(name))
        .why("a family that is missing would leave circuits without equipment")
        .cure("add the file; a family that is not offered is a file with its headings only")
}

fn from_files(name: &str, files: &[Option<Vec<u8>>], mut findings: Vec<Finding>) -> Result<Catalogue, CatalogueError> {
    let mut hash = Sha256::new();
    let mut demonstration = false;
    let mut texts = Vec::new();
    for (family, bytes) in FAMILIES.iter().zip(files) {
        texts.push(bytes.as_ref().and_then(|bytes| {
            hash.update(family.as_bytes());
            hash.update(b".csv\0");
            hash.update(u64::try_from(bytes.len()).unwrap_or(u64::MAX).to_le_bytes());
            hash.update(bytes);
            let text = as_text(&format!("{family}.csv"), bytes, &mut findings)?;
            demonstration |= text.lines().any(|line| line.starts_with('#') && line.contains(MARK));
            Some(text)
        }));
    }
    let texts: Vec<Option<&str>> = texts.iter().map(Option::as_deref).collect();
    let mut catalogue = read_families(&texts, &mut findings);
    if !findings.is_empty() {
        let places = if findings.len() == 1 { "place".to_owned() } else { format!("{} places", findings.len()) };
        let message = format!("the catalogue {name} is wrong in {}", if findings.len() == 1 { "one place" } else { &places });
        return Err(CatalogueError { message, findings });
    }
    name.clone_into(&mut catalogue.name);
    let absent = |(family, text): (&&'static str, &Option<&str>)| text.is_none().then_some(*family);
    catalogue.lacks = FAMILIES.iter().zip(&texts).filter_map(absent).filter(|family| MATERIAL.contains(family)).collect();
    catalogue.sha256 = hash.finalize().iter().map(|byte| format!("{byte:02x}")).collect();
    catalogue.demonstration = demonstration;
    // Look-ups search the combinations of a protective device by halving.
    catalogue.combinations.sort_by(|a, b| a.protection_part.cmp(&b.protection_part));
    Ok(catalogue)
}

/// The text without byte-order mark, lines ended alike, so that rows can be counted.
fn as_text(name: &str, bytes: &[u8], findings: &mut Vec<Finding>) -> Option<String> {
    match std::str::from_utf8(bytes) {
        Ok(text) => Some(text.trim_start_matches('\u{feff}').replace("\r\n", "\n") + "\n"),
        Err(error) => {
            findings.push(
                Finding::new(&K101_FILE, format!("{name} is not UTF-8 text from byte {}", error.valid_up_to()))
                    .at(Place::file(name))
                    .cure("save it as CSV in UTF-8"),
            );
            None
        }
    }
}

/// Rows of a file with their row numbers, comments and blank rows left out.
fn records(name: &str, text: &str, findings: &mut Vec<Finding>) -> Vec<(u32, csv::StringRecord)> {
    let mut reader =
        csv::ReaderBuilder::new().has_headers(false).flexible(true).trim(csv::Trim::All).from_reader(text.as_bytes());
    let mut rows = Vec::new();
    let mut record = csv::StringRecord::new();
    loop {
        match reader.read_record(&mut record) {
            Ok(false) => return rows,
            Err(error) => {
                let finding = Finding::new(&K101_FILE, format!("{name} is not CSV: {error}")).at(Place::file(name));
                findings.push(finding.cure("save it as CSV in UTF-8"));
                return rows;
            }
            Ok(true) => {}
        }
        // The reader stands behind the record; blank rows before it make its own start useless.
        let inside = record.iter().map(|cell| cell.matches('\n').count()).sum::<usize>();
        let behind = usize::try_from(reader.position().line()).unwrap_or(usize::MAX);
        let row = u32::try_from(behind.saturating_sub(1 + inside)).unwrap_or(u32::MAX);
        let comment = record.get(0).is_some_and(|cell| cell.starts_with('#'));
        if !comment && record.iter().any(|cell| !cell.is_empty()) {
            rows.push((row, record.clone()));
        }
    }
}

fn read_family<R: Row>(name: &str, text: &str, findings: &mut Vec<Finding>) -> Vec<R> {
    let mut records = records(name, text, findings).into_iter();
    let Some((header_row, header)) = records.next() else {
        findings.push(
            Finding::new(&K102_HEADING, format!("{name} has no headings"))
                .at(Place::file(name))
                .cure(format!("write the headings {}", headings::<R>().join(", "))),
        );
        return Vec::new();
    };
    if !headings_are_right::<R>(name, header_row, &header, findings) {
        return Vec::new();
    }
    let mut rows: Vec<R> = Vec::new();
    let mut seen: BTreeMap<String, u32> = BTreeMap::new();
    for (row, record) in records {
        let sheet = Sheet { name, header: &header, row, record: &record };
        let Some(read) = sheet.read::<R>(findings) else { continue };
        let key = read.key();
        if key.is_empty() {
            findings.push(Finding::new(&K104_CELL, format!("{} is empty", R::KEY)).at(sheet.place(R::KEY)).cure("write it in"));
        } else if let Some(first) = seen.insert(key.clone(), row) {
            findings.push(
                Finding::new(&K108_TWICE, format!("{key} stands in row {first} and again in row {row}"))
                    .at(sheet.place(R::KEY))
                    .why("an order by this number would be ambiguous")
                    .cure("take one of the two rows out"),
            );
        }
        rows.push(read);
    }
    let mut keyed: Vec<(Vec<f64>, String, R)> = rows.into_iter().map(|row| (row.order(), row.key(), row)).collect();
    keyed.sort_by(|a, b| {
        let numbers = a.0.iter().zip(&b.0).map(|(x, y)| x.total_cmp(y)).find(|order| order.is_ne());
        numbers.unwrap_or(std::cmp::Ordering::Equal).then_with(|| a.1.cmp(&b.1))
    });
    keyed.into_iter().map(|(_, _, row)| row).collect()
}

fn headings_are_right<R: Row>(name: &str, row: u32, header: &csv::StringRecord, findings: &mut Vec<Finding>) -> bool {
    let before = findings.len();
    let known = headings::<R>();
    let lacking = |heading: &&&str| !R::MAY_LACK.contains(*heading) && !header.iter().any(|cell| cell == **heading);
    for heading in known.iter().filter(lacking) {
        findings.push(
            Finding::new(&K102_HEADING, format!("{name} has no column {heading}"))
                .at(Place { row: Some(row), ..Place::file(name) })
                .cure(format!("add the column; the headings of this file are {}", known.join(", "))),
        );
    }
    for (cell, at) in header.iter().zip(0_u32..) {
        let first = header.iter().zip(0_u32..).find(|(other, _)| *other == cell).map(|(_, first)| first);
        let place = || Place {
            row: Some(row),
            column: Some(column_letters(at)),
            heading: Some(cell.to_owned()),
            text: Some(cell.to_owned()),
            ..Place::file(name)
        };
        if !known.contains(&cell) {
            let cure = format!("take the column out; the headings of this file are {}", known.join(", "));
            findings.push(Finding::new(&K103_HEADING, format!("{name} knows no column `{cell}`")).at(place()).cure(cure));
        } else if first != Some(at) {
            let finding = Finding::new(&K103_HEADING, format!("the column {cell} stands twice in {name}"));
            findings.push(finding.at(place()).cure("take one of the two columns out"));
        }
    }
    findings.len() == before
}

/// One row of a file, with what is needed to say where a cell stands.
struct Sheet<'a> {
    name: &'a str,
    header: &'a csv::StringRecord,
    row: u32,
    record: &'a csv::StringRecord,
}

impl Sheet<'_> {
    fn place(&self, heading: &str) -> Place {
        let at = self.header.iter().zip(0_u32..).find(|(cell, _)| *cell == heading).map(|(_, at)| at);
        let text = self.header.iter().zip(self.record.iter()).find(|(cell, _)| *cell == heading).map(|(_, text)| text.to_owned());
        Place {
            row: Some(self.row),
            column: at.map(column_letters),
            heading: Some(heading.to_owned()),
            text,
            ..Place::file(self.name)
        }
    }

    /// The row, or nothing if one of its cells is wrong; every wrong cell makes a finding.
    fn read<R: Row>(&self, findings: &mut Vec<Finding>) -> Option<R> {
        if self.record.len() != self.header.len() {
            findings.push(
                Finding::new(
                    &K109_CELLS,
                    format!("row {} has {} cells under {} headings", self.row, self.record.len(), self.header.len()),
                )
                .at(Place { row: Some(self.row), ..Place::file(self.name) })
                .cure("put a text that holds a comma in double quotes, and write an empty cell for what is not declared"),
            );
            return None;
        }
        let before = findings.len();
        let read = self.parse::<R>(findings);
        self.plausible_numbers::<R>(findings);
        if findings.len() > before {
            return None;
        }
        let read = read?;
        for wrong in read.wrong() {
            findings.push(Finding::new(wrong.code, wrong.what).at(self.place(wrong.heading)).cure(wrong.cure));
        }
        Some(read)
    }

    /// Reads the cells; a cell that can't be read is noted and replaced, so that the cells after it are read too.
    fn parse<R: Row>(&self, findings: &mut Vec<Finding>) -> Option<R> {
        if let Ok(row) = self.record.deserialize::<R>(Some(self.header)) {
            return Some(row);
        }
        let mut cells: Vec<String> = self.record.iter().map(str::to_owned).collect();
        let mut whole = true;
        for _ in 0..=cells.len() {
            let (field, wanted) = match csv::StringRecord::from(cells.clone()).deserialize::<R>(Some(self.header)) {
                Ok(row) => return whole.then_some(row),
                Err(error) => cell_error(&error),
            };
            whole = false;
            let place = field
                .and_then(|field| self.header.get(field))
                .map_or_else(|| Place { row: Some(self.row), ..Place::file(self.name) }, |heading| self.place(heading));
            let text = place.text.clone().unwrap_or_default();
            let what = if text.is_empty() {
                format!("the cell is empty, not {}", wanted.0)
            } else {
                format!("`{text}` is not {}", wanted.0)
            };
            findings.push(Finding::new(&K104_CELL, what).at(place).cure(wanted.1));
            let cell = field.and_then(|field| cells.get_mut(field))?;
            wanted.2.clone_into(cell);
        }
        None
    }

    /// No figure of a catalogue is below zero, without end, or so large or small that it can only be a slip.
    fn plausible_numbers<R: Row>(&self, findings: &mut Vec<Finding>) {
        for (heading, text) in self.header.iter().zip(self.record.iter()) {
            let Ok(value) = text.parse::<f64>() else { continue };
            let most = largest(heading);
            if TEXTS.contains(&heading) || value == 0.0 || (SMALLEST..=most).contains(&value) {
                continue;
            }
            let what = if value.is_finite() && value > 0.0 {
                format!("{heading} is {text}; it is 0 or a figure from {SMALLEST} to {most}")
            } else {
                format!("{heading} is {text}; it is a figure of 0 or more")
            };
            findings.push(
                Finding::new(&K105_RATING, what)
                    .at(self.place(heading))
                    .cure("write the figure of the data sheet; leave the cell empty if none is declared"),
            );
        }
    }
}

/// Smallest figure that a data sheet may state, whatever its unit; with [`largest`] it catches slips of the hand and keeps sums and
/// products of figures finite. Common practice, no source.
const SMALLEST: f64 = 1e-6;

/// Largest figure below a heading: of what is counted a thousand, of let-through energy the most that a fuse has, else a milliard.
fn largest(heading: &str) -> f64 {
    match heading {
        _ if COUNTS.contains(&heading) => 1_000.0,
        _ if heading.ends_with("_a2s") => 1e12,
        _ => 1e9,
    }
}

/// Columns that count poles, contacts, places and the like.
const COUNTS: &[&str] = &[
    "aux_front_contacts",
    "aux_nc",
    "aux_no",
    "aux_places",
    "aux_side_contacts",
    "contacts_no",
    "cores",
    "dc_aux_nc_most",
    "nc",
    "no",
    "phases",
    "poles",
    "rows",
    "side_places",
    "terminal_conductors",
    "transformer_count",
    "ways",
];

/// Columns that hold text even where it looks like a number.
const TEXTS: &[&str] = &[
    "part",
    "description",
    "code",
    "frame",
    "kind",
    "class",
    "classes",
    "fits_frames",
    "fits_breaker_frames",
    "pairs_with",
    "base_part",
    "base_description",
    "protection_part",
    "contactor_part",
    "overload_part",
    "standard",
    "nema_size",
    "voltage_rating",
    "enclosure",
    "trade_size",
    "degree",
    "thread",
    "stud",
    "currency",
    "remark",
];

/// Column of a cell that can't be read, and what it should hold: name, cure, a text that can be read in its place.
fn cell_error(error: &csv::Error) -> (Option<usize>, (&'static str, &'static str, &'static str)) {
    let number = ("a number", "write a number with a decimal point and without unit or blanks", "0");
    let csv::ErrorKind::Deserialize { err, .. } = error.kind() else {
        return (None, number);
    };
    let field = err.field().and_then(|field| usize::try_from(field).ok());
    let wanted = match err.kind() {
        csv::DeserializeErrorKind::ParseBool(_) => ("`true` or `false`", "write true or false", "false"),
        csv::DeserializeErrorKind::ParseInt(_) => ("a whole number", "write a whole number of 0 or more", "0"),
        _ => number,
    };
    (field, wanted)
}

/// Headings of a family: the names of the fields of its type.
fn headings<R: DeserializeOwned>() -> &'static [&'static str] {
    let mut fields: &'static [&'static str] = &[];
    // The attempt can't succeed; it is made for the names that the type asks for.
    let _ = R::deserialize(FieldNames(&mut fields));
    fields
}

struct FieldNames<'a>(&'a mut &'static [&'static str]);

impl<'de> serde::Deserializer<'de> for FieldNames<'_> {
    type Error = serde::de::value::Error;

    fn deserialize_any<V: Visitor<'de>>(self, _: V) -> Result<V::Value, Self::Error> {
        Err(serde::de::Error::custom("only the names are wanted"))
    }

    fn deserialize_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        fields: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Self::Error> {
        *self.0 = fields;
        self.deserialize_any(visitor)
    }

    serde::forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf option unit unit_struct
        newtype_struct seq tuple tuple_struct map enum identifier ignored_any
    }
}
