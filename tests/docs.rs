//! Documents that are made of the code are kept in step with it. Run with MOTORWRIGHT_REWRITE=1 to write them anew.

use std::fmt::Write;

use motorwright::basis::keys::{KeyType, sections};
use motorwright::finding::CODES;
use motorwright::load::{FIELDS, Kind};

fn in_step(path: &str, text: &str) {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(path);
    if std::env::var_os("MOTORWRIGHT_REWRITE").is_some() {
        std::fs::write(&path, text).expect("it can be written");
    }
    assert!(
        std::fs::read_to_string(&path).unwrap_or_default() == text,
        "{} is behind the code: run with MOTORWRIGHT_REWRITE=1",
        path.display()
    );
}

#[test]
fn the_table_of_columns_is_that_of_the_code() {
    let mut text = "# Columns of a schedule\n\nMade of the code; any order of columns. A row needs `tag`, a way to know its current (a power, or a \
                    nameplate current) and a voltage, which may be that of its board or of the supply; a motor needs `starting_method` too.\n\n\
                    | heading | holds | unit | meaning |\n| --- | --- | --- | --- |\n"
        .to_owned();
    for spec in FIELDS {
        let holds = match spec.kind {
            Kind::Text => "text".to_owned(),
            Kind::Tags => "tags".to_owned(),
            Kind::Number(low, high) => format!("number, {low} to {high}"),
            Kind::Count(low, high) => format!("whole number, {low} to {high}"),
            Kind::YesNo => "yes, no".to_owned(),
            Kind::Choice(choices) => choices.iter().map(|(name, _)| *name).collect::<Vec<_>>().join(", "),
        };
        writeln!(text, "| {} | {holds} | {} | {} |", spec.name, spec.unit, spec.meaning).expect("a string takes it");
    }
    in_step("docs/columns.md", &text);
}

#[test]
fn the_keys_of_the_basis_are_those_of_the_code() {
    let mut text = "# Keys of a basis\n\nMade of the code. A basis is a TOML file, or the same keys on a sheet named `Basis` of the schedule's workbook; \
                    every key may be left out but the rule book, which `--rules` may name instead. How boards are reckoned from them: \
                    [network.md](network.md).\n"
        .to_owned();
    for section in sections() {
        let heading = if section.repeated { format!("[[{}]]", section.name) } else { format!("[{}]", section.name) };
        let table = "| key | holds | meaning |\n| --- | --- | --- |\n";
        write!(text, "\n## `{heading}`\n\n{}\n\n", section.meaning).expect("a string takes it");
        for (index, key) in section.keys.iter().enumerate() {
            let holds = match key.kind {
                _ if !key.words.is_empty() => key.words.join(", "),
                KeyType::Text => "text".to_owned(),
                KeyType::Number => "number".to_owned(),
                KeyType::Whole => "whole number".to_owned(),
                KeyType::YesNo => "true, false".to_owned(),
            };
            let table = if index == 0 { table } else { "" };
            writeln!(text, "{table}| `{}` | {holds} | {} |", key.name, key.meaning).expect("a string takes it");
        }
    }
    in_step("docs/basis.md", &text);
}

#[test]
fn the_table_of_finding_codes_is_that_of_the_code() {
    let mut text = "# Codes of findings\n\nMade of the code. The letter names the room, a code is never used again.\n\n| code | severity | about |\n| --- | --- | --- |\n".to_owned();
    let mut seen = std::collections::BTreeSet::new();
    for code in CODES {
        assert!(seen.insert(code.code), "{} stands twice", code.code);
        writeln!(text, "| {} | {} | {} |", code.code, code.severity.word(), code.about).expect("a string takes it");
    }
    in_step("docs/findings.md", &text);
}

/// A field of a family's type: heading, type, doc comment.
struct Column {
    heading: String,
    kind: String,
    about: String,
}

/// Source of the catalogue's types.
fn catalogue_sources() -> String {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let read =
        |path: std::path::PathBuf| std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    let folder = |name: &str| {
        let mut files: Vec<_> =
            std::fs::read_dir(root.join(name)).expect("it is there").map(|entry| entry.expect("an entry").path()).collect();
        files.sort();
        files.into_iter().filter(|path| path.extension().is_some_and(|name| name == "rs"))
    };
    let files = std::iter::once(root.join("catalogue.rs")).chain(folder("catalogue")).chain(folder("catalogue/rows"));
    files.map(read).collect::<Vec<_>>().join("\n")
}

/// Fields of a struct with their doc comments.
fn columns_of(source: &str, name: &str) -> Vec<Column> {
    let start = source.find(&format!("pub struct {name} {{")).unwrap_or_else(|| panic!("{name} is no struct"));
    let body = &source[start..];
    let body = &body[..body.find("\n}").expect("it ends")];
    let mut columns = Vec::new();
    let mut about: Vec<&str> = Vec::new();
    let mut renamed = None;
    for line in body.lines().map(str::trim) {
        if let Some(text) = line.strip_prefix("///") {
            about.push(text.trim());
        } else if let Some(text) = line.strip_prefix("#[serde(rename = \"") {
            renamed = text.split('"').next().map(str::to_owned);
        } else if let Some((field, kind)) = line.strip_prefix("pub ").and_then(|field| field.split_once(": ")) {
            let heading = renamed.take().unwrap_or_else(|| field.to_owned());
            columns.push(Column { heading, kind: kind.trim_end_matches(',').to_owned(), about: about.join(" ") });
            about.clear();
        }
    }
    columns
}

/// Headings that a file of the family may leave out.
fn may_lack<'s>(source: &'s str, name: &str) -> Vec<&'s str> {
    let Some(start) = source.find(&format!("impl Row for {name} {{")) else { return Vec::new() };
    let body = &source[start..];
    let body = &body[..body.find("\n}").expect("it ends")];
    let Some(list) = body.split_once("MAY_LACK: &'static [&'static str] = &[").and_then(|(_, rest)| rest.split_once("];")) else {
        return Vec::new();
    };
    list.0.split('"').skip(1).step_by(2).collect()
}

/// Unit that a heading ends with.
fn unit_of(heading: &str) -> &'static str {
    const UNITS: &[(&str, &str)] = &[
        ("_a2s", "A²s"),
        ("_ohm_km", "Ω/km"),
        ("_mm2", "mm²"),
        ("_mm", "mm"),
        ("_ka", "kA"),
        ("_va", "VA"),
        ("_pct", "%"),
        ("_days", "days"),
        ("_ms", "ms"),
        ("_kg_km", "kg/km"),
        ("_a", "A"),
        ("_v", "V"),
        ("_w", "W"),
        ("_m", "m"),
        ("_s", "s"),
        ("_c", "°C"),
    ];
    // Ratings at a voltage bear it behind their unit: `ac3_440_a` ends with it, `breaking_440_ka` too, `hp_3ph_460` begins with it.
    if heading.starts_with("hp_") || heading.contains("_hp_") {
        return "hp";
    }
    UNITS.iter().find(|(ending, _)| heading.ends_with(ending)).map_or("", |(_, unit)| unit)
}

/// The page for somebody who fills in a catalogue of their own: every column of every family, made of the types that read them.
#[test]
fn the_columns_of_a_catalogue_are_those_of_the_code() {
    let source = catalogue_sources();
    let mut text = "# Columns of a catalogue\n\nMade of the code. A catalogue is a folder with one CSV file a family; `motorwright catalogue export --out FOLDER` writes them all with their headings. \
                    Cells are parted by commas, semicolons or tabs; a number has a decimal point, or a decimal comma where semicolons part the cells or where nothing else can be meant, and no marks between thousands. \
                    Lines that begin with `#` are comments. Columns may stand in any order; further columns of your own are passed over (K110).\n\n\
                    Below \"empty\": **yes**: the cell may stay empty, which means that nothing is declared; **or lacking**: the whole column may be left out.\n"
        .to_owned();
    let mut families = 0;
    for family in motorwright::catalogue::FAMILIES {
        let field = format!("pub {family}: Vec<");
        let name = source.split_once(&field).and_then(|(_, rest)| rest.split_once('>')).unwrap_or_else(|| panic!("{family}")).0;
        let columns = columns_of(&source, name);
        assert!(!columns.is_empty(), "{family} has no columns");
        let lacking = may_lack(&source, name);
        writeln!(text, "\n## {family}.csv\n\n| heading | holds | unit | empty | meaning |\n| --- | --- | --- | --- | --- |")
            .expect("a string takes it");
        for column in columns {
            let (optional, kind) = match column.kind.strip_prefix("Option<").and_then(|kind| kind.strip_suffix('>')) {
                Some(kind) => (true, kind),
                None => (false, column.kind.as_str()),
            };
            let holds = match kind {
                "String" => "text",
                "bool" => "true or false",
                "u32" => "whole number",
                "f64" => "number",
                other => panic!("{family}: {} is {other}", column.heading),
            };
            let empty = match (optional, lacking.contains(&column.heading.as_str())) {
                (_, true) => "yes, or lacking",
                (true, false) => "yes",
                (false, false) if kind == "String" => "",
                (false, false) => "no",
            };
            assert!(!column.about.is_empty(), "{family}: {} is not explained", column.heading);
            let unit = if holds == "number" { unit_of(&column.heading) } else { "" };
            writeln!(text, "| {} | {holds} | {unit} | {empty} | {} |", column.heading, column.about.replace('|', "\\|"))
                .expect("a string takes it");
        }
        families += 1;
    }
    assert!(families >= 28, "{families} families");
    in_step("docs/catalogue.md", &text);
}
