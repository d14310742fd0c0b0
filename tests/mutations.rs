//! A bounded mutation test of the reader: fixtures and small files are damaged at random, and whatever comes of it must end soon,
//! without a panic and within bounds. The sequence is fixed; `MOTORWRIGHT_MUTATIONS` says how many inputs.

mod common;

use std::sync::mpsc;

use common::books::{archive_stored, number, ods, row, rows, text, xlsx};
use common::mutation::{Random, TOKENS, most_memory, mutate, watched};
use common::root;
use motorwright::finding::render;
use motorwright::intake::{Intake, MAXIMA, ReadOptions, Row, excerpt, read_bytes};
use motorwright::load::FIELDS;

/// Largest memory of the whole test, in KiB.
const MOST_MEMORY: u64 = 1_500_000;

/// Parts of a workbook by name.
fn parts(bytes: &[u8]) -> Vec<(String, Vec<u8>)> {
    let mut archive = zip::ZipArchive::new(std::io::Cursor::new(bytes)).expect("a seed");
    (0..archive.len())
        .map(|index| {
            let mut member = archive.by_index(index).expect("a part");
            let name = member.name().expect("a name").into_owned();
            let mut bytes = Vec::new();
            std::io::Read::read_to_end(&mut member, &mut bytes).expect("its bytes");
            (name, bytes)
        })
        .filter(|(name, _)| !name.contains("theme"))
        .collect()
}

/// Name under which a workbook is read, and its parts.
type Book = (&'static str, Vec<(String, Vec<u8>)>);

struct Seeds {
    texts: Vec<Vec<u8>>,
    old: Vec<Vec<u8>>,
    books: Vec<Book>,
    pieces: Vec<Vec<u8>>,
}

fn seeds() -> Seeds {
    let head = ["tag", "description", "rated_power_kw", "voltage_v", "supply"];
    let mut texts = vec![
        b"tag,description,rated_power_kw,voltage_v,starting_method\nP-1,\"Pump, raw\",7.5,400,direct\nP-2A/B,Fan,\"1,5\",400,drive\n".to_vec(),
        b"sep=;\r\ntag;supply;rated_power_hp\r\nEF-1 thru EF-4;460/3/60;7-1/2\r\n".to_vec(),
        "tag;description;voltage_v\nP-1;Lüfter;400\n".encode_utf16().flat_map(u16::to_le_bytes).collect(),
        b"tag;description;voltage_v\nP-1;L\xFCfter \x81;400\n".to_vec(),
    ];
    let styles = r#"<fonts><font/><font><strike/></font></fonts><cellXfs><xf fontId="0"/><xf fontId="1" numFmtId="10"/><xf fontId="0" numFmtId="16"/></cellXfs>"#;
    let sheet = format!(
        r#"<cols><col min="2" max="2" hidden="1"/></cols><sheetData>{}<row r="2" hidden="1"><c r="A2" t="s"><v>0</v></c><c r="C2" s="1"><f>1+1</f><v>2</v></c><c r="D2" s="2"><v>400</v></c></row></sheetData><mergeCells><mergeCell ref="A1:B1"/></mergeCells>"#,
        rows(&[&head])
    );
    let shared = "<si><r><rPr><strike/></rPr><t>P-</t></r><r><t>P-1</t></r></si>";
    let table = format!(
        r#"<table:table table:name="a"><table:table-column table:visibility="collapse" table:number-columns-repeated="3"/>{}{}<table:table-row table:number-rows-repeated="1000000"><table:table-cell table:number-columns-repeated="16000"/></table:table-row></table:table>"#,
        row(&head.map(text)),
        row(&[text(r#"P-<text:span text:style-name="s">1</text:span>2"#), text("x"), number(7.5), number(400.0)])
    );
    let ods_styles = r#"<style:style style:name="s" style:family="text"><style:text-properties style:text-line-through-style="solid"/></style:style>"#;
    let mut books = vec![("a.xlsx", parts(&xlsx(&sheet, styles, shared))), ("a.ods", parts(&ods(&table, ods_styles)))];
    let mut old = Vec::new();
    for folder in ["tests/intake", "tests/containers"] {
        let mut paths: Vec<_> =
            std::fs::read_dir(root().join(folder)).expect("a folder").flatten().map(|entry| entry.path()).collect();
        paths.sort();
        for path in paths {
            let bytes = std::fs::read(&path).expect("a fixture");
            match path.extension().and_then(|name| name.to_str()) {
                Some("csv") => texts.push(bytes),
                Some("xls") => old.push(bytes),
                Some("xlsx") => books.push(("a.xlsx", parts(&bytes))),
                Some("ods") => books.push(("a.ods", parts(&bytes))),
                _ => {}
            }
        }
    }
    let mut pieces = texts.clone();
    pieces.extend(books.iter().flat_map(|(_, parts)| parts.iter().map(|(_, bytes)| bytes.clone())));
    Seeds { texts, old, books, pieces }
}

impl Seeds {
    /// The next input and its name.
    fn input(&self, random: &mut Random) -> (&'static str, Vec<u8>) {
        match random.below(8) {
            0..=2 => {
                let mut bytes = random.one(&self.texts).clone();
                mutate(&mut bytes, &self.texts, random);
                ("a.csv", bytes)
            }
            3 => ("a.csv", cells(random)),
            4 => {
                let mut bytes = random.one(&self.old).clone();
                mutate(&mut bytes, &self.old, random);
                ("a.xls", bytes)
            }
            5 => {
                let (name, parts) = random.one(&self.books);
                let parts: Vec<(&str, &[u8])> = parts.iter().map(|(name, bytes)| (name.as_str(), bytes.as_slice())).collect();
                let mut bytes = archive_stored(&parts);
                mutate(&mut bytes, &self.pieces, random);
                (name, bytes)
            }
            _ => {
                let (name, parts) = random.one(&self.books);
                let mut parts = parts.clone();
                let chosen = random.below(parts.len());
                mutate(&mut parts[chosen].1, &self.pieces, random);
                let parts: Vec<(&str, &[u8])> = parts.iter().map(|(name, bytes)| (name.as_str(), bytes.as_slice())).collect();
                (name, archive_stored(&parts))
            }
        }
    }
}

/// Every column with a cell made of tokens.
fn cells(random: &mut Random) -> Vec<u8> {
    let mut csv = FIELDS.iter().map(|spec| spec.name).collect::<Vec<_>>().join(",");
    for number in 0..2 {
        csv.push('\n');
        for (index, _) in FIELDS.iter().enumerate() {
            let cell: String = match (index, number) {
                (0, 1) => "P-1".to_owned(),
                _ => (0..=random.below(3)).map(|_| random.one(TOKENS).replace('"', "\"\"")).collect(),
            };
            csv.push_str(if index == 0 { "\"" } else { ",\"" });
            csv.push_str(&cell);
            csv.push('"');
        }
    }
    csv.into_bytes()
}

fn check_bounds(intake: &Intake) {
    let cells: usize = intake.grids.iter().flat_map(|grid| grid.rows.iter()).map(Row::len).sum();
    assert!(cells <= MAXIMA.cells);
    for finding in intake.findings.iter().take(200) {
        let shown = render(finding, excerpt(intake, finding).as_ref());
        assert!(shown.len() < 20_000, "a finding of {} bytes", shown.len());
        assert!(finding.what.len() < 4_000 && finding.cure.len() < 4_000, "{}", finding.code);
    }
}

#[test]
fn damaged_files_end_soon_and_without_a_panic() {
    // So many inputs, however long a loaded machine takes for them; only a single one that hangs is a failure.
    let wanted = std::env::var("MOTORWRIGHT_MUTATIONS").ok().and_then(|count| count.parse().ok()).unwrap_or(1_000_u64);
    let (sender, receiver) = mpsc::channel();
    let worker = std::thread::spawn(move || {
        let seeds = seeds();
        let mut random = Random(0x0005_EED0_F0A5_C4ED);
        let (mut read, mut contradictions) = (0_u64, 0_u64);
        let mut count = 0_u64;
        while count < wanted {
            let (name, bytes) = seeds.input(&mut random);
            sender.send((count, name, bytes.clone())).expect("somebody listens");
            match read_bytes(name, &bytes, &ReadOptions::default()) {
                Ok(intake) => {
                    check_bounds(&intake);
                    read += 1;
                }
                Err(error) => {
                    assert!(error.message.len() < 2_000 && !error.message.contains('\n'), "{error}");
                    // A file that is read without the library has no panic to hide.
                    let hidden = error.message.contains("contradict each other");
                    assert!(!hidden || name != "a.ods", "input {count}: a panic was caught");
                    contradictions += u64::from(hidden);
                }
            }
            count += 1;
        }
        (count, read, contradictions)
    });
    let (count, read, contradictions) = watched(&receiver, worker);
    let memory = most_memory();
    println!("{count} inputs, {read} read, {contradictions} panics of the library caught, memory {memory:?} KiB");
    assert!(read > count / 50 && read < count, "{count} inputs, {read} read");
    assert!(memory.is_none_or(|memory| memory < MOST_MEMORY), "{memory:?} KiB");
}
