//! Reads the built-in range and folders of CSV files. Every wrong cell is reported with its place; none hides another.

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::path::Path;

use serde::de::{DeserializeOwned, Visitor};
use sha2::{Digest, Sha256};

use super::rows::Row;
use super::{Catalogue, MATERIAL};
use crate::finding::codes::{K101_FILE, K102_HEADING, K104_CELL, K105_RATING, K108_TWICE};
use crate::finding::{Finding, Place};

mod columns;
mod sheet;
mod text;

use columns::Columns;
use sheet::Sheet;
use text::{Dialect, as_text, is_comment, records};
pub(crate) use text::{may_group_thousands, with_point};

/// Why a catalogue could not be used.
#[derive(Debug)]
pub struct CatalogueError {
    /// What is wrong, in a sentence.
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
        let mut remarks = Vec::new();
        let catalogue = Catalogue {
            $($family: texts.next().flatten().map_or_else(Vec::new, |text| {
                read_family(concat!(stringify!($family), ".csv"), text, findings, &mut remarks)
            }),)*
            ..Catalogue::default()
        };
        Catalogue { remarks, ..catalogue }
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

/// The words in the comment lines of a file that belongs to the built-in range.
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
    let text_of = |family: &str| range.files.iter().find(|(name, _)| *name == family).map(|(_, text)| text.as_bytes().to_vec());
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
    let name = folder.file_name().map_or_else(|| "catalogue".to_owned(), |name| name.to_string_lossy().into_owned());
    from_source(&name, rules, |file| std::fs::read(folder.join(file)))
}

/// The files of a folder that [`from_folder`] reads.
#[must_use]
pub(crate) fn files_in(folder: &Path) -> Vec<std::path::PathBuf> {
    FAMILIES.iter().map(|family| folder.join(format!("{family}.csv"))).filter(|path| path.exists()).collect()
}

/// Reads a catalogue that is in memory: names such as `contactors.csv` with the bytes of each file, as [`export`] gives them.
///
/// # Errors
/// As for [`from_folder`].
pub fn from_memory(name: &str, files: &[(&str, &[u8])], rules: &str) -> Result<Catalogue, CatalogueError> {
    from_source(name, rules, |wanted| {
        let bytes = files.iter().find(|(file, _)| *file == wanted).map(|(_, bytes)| bytes.to_vec());
        bytes.ok_or_else(|| std::io::ErrorKind::NotFound.into())
    })
}

/// Reads the file of each family by the function; one that is not there is missed only if the rule book needs it.
fn from_source(name: &str, rules: &str, read: impl Fn(&str) -> std::io::Result<Vec<u8>>) -> Result<Catalogue, CatalogueError> {
    let mut findings = Vec::new();
    let needed = families_of(rules);
    let mut files: Vec<Option<Vec<u8>>> = Vec::with_capacity(FAMILIES.len());
    for family in FAMILIES {
        let file = format!("{family}.csv");
        let bytes = read(&file);
        if let Err(error) = &bytes
            && (needed.contains(family) || error.kind() != std::io::ErrorKind::NotFound)
        {
            findings.push(unreadable(&file, error));
        }
        files.push(bytes.ok());
    }
    from_files(name, &files, findings)
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
            demonstration |= text.lines().any(|line| is_comment(line) && line.contains(MARK));
            Some(text)
        }));
    }
    let texts: Vec<Option<&str>> = texts.iter().map(Option::as_deref).collect();
    let mut catalogue = read_families(&texts, &mut findings);
    coils_without_power(&catalogue, &mut findings);
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

/// A coil that draws nothing would need no control supply: whoever has no figure must not type 0.
fn coils_without_power(catalogue: &Catalogue, findings: &mut Vec<Finding>) {
    let offered = |dc: bool| catalogue.coils.iter().any(|coil| coil.dc == dc);
    let (ac, dc) = (offered(false), offered(true));
    for contactor in &catalogue.contactors {
        let of_ac = [("coil_ac_pick_up_va", contactor.coil_ac_pick_up_va), ("coil_ac_hold_va", contactor.coil_ac_hold_va)];
        let of_dc = [("coil_dc_pick_up_w", contactor.coil_dc_pick_up_w), ("coil_dc_hold_w", contactor.coil_dc_hold_w)];
        let of_ac = of_ac.into_iter().filter(|(_, power)| ac && *power <= 0.0).map(|(heading, _)| heading);
        let of_dc =
            of_dc.into_iter().filter(|(_, power)| dc && power.is_some_and(|power| power <= 0.0)).map(|(heading, _)| heading);
        for heading in of_ac.chain(of_dc) {
            let place =
                Place { heading: Some(heading.to_owned()), text: Some(contactor.part.clone()), ..Place::file("contactors.csv") };
            findings.push(
                Finding::new(&K105_RATING, format!("{heading} of {} is 0; a coil draws power", contactor.part))
                    .at(place)
                    .why("transformers and supplies of control circuits are chosen by what coils draw")
                    .cure("write the figure of the data sheet; where none is to be had, that of a similar frame"),
            );
        }
    }
}

fn read_family<R: Row>(name: &str, text: &str, findings: &mut Vec<Finding>, remarks: &mut Vec<Finding>) -> Vec<R> {
    let dialect = Dialect::of(text, headings::<R>());
    let mut records = records(name, text, dialect.separator, findings).into_iter();
    let Some((header_row, header)) = records.next() else {
        findings.push(
            Finding::new(&K102_HEADING, format!("{name} has no headings"))
                .at(Place::file(name))
                .cure(format!("write the headings {}", headings::<R>().join(", "))),
        );
        return Vec::new();
    };
    let Some(columns) = Columns::of::<R>(name, header_row, &header, findings, remarks) else { return Vec::new() };
    let mut rows: Vec<R> = Vec::new();
    let mut seen: BTreeMap<String, u32> = BTreeMap::new();
    for (row, record) in records {
        let sheet = Sheet { name, header: &header, columns: &columns, row, record: &record, dialect };
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
