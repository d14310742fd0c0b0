//! `blank`: what it writes reads back without a finding, its example is never a load, and what is filled in is read.

mod common;

use std::io::{Cursor, Read};
use std::path::Path;

use common::run_in;
use motorwright::intake::{self, Content, Intake, ReadOptions};
use motorwright::load::{FIELDS, Field, Kind};
use rstest::rstest;

fn blank(folder: &Path, name: &str, rules: &str) {
    let run = run_in(folder, &["blank", "--out", name, "--rules", rules]);
    assert_eq!(run.status, 0, "{}{}", run.stdout, run.stderr);
}

fn read(path: &Path) -> Intake {
    intake::read(path, &ReadOptions::default()).expect("it reads")
}

#[rstest]
fn what_is_written_reads_back_without_a_finding(
    #[values("loads.csv", "loads.xlsx")] name: &str,
    #[values("iec", "nec")] rules: &str,
) {
    let folder = tempfile::tempdir().expect("a folder");
    blank(folder.path(), name, rules);
    let intake = read(&folder.path().join(name));
    assert!(intake.findings.is_empty(), "{:?}", intake.findings);
    assert!(intake.loads.is_empty(), "the example is no load");
    let headings: Vec<_> = intake.grids[0].rows.get(0).expect("a row").iter().map(|cell| cell.content.clone()).collect();
    assert_eq!(headings.len(), FIELDS.len());
    for spec in FIELDS {
        assert!(headings.contains(&Content::Text(spec.name.into())), "{}", spec.name);
    }
    if name.ends_with("xlsx") {
        assert_eq!(intake.basis_pairs, [("rules.book".to_owned(), rules.to_owned())]);
    }
    let run = run_in(folder.path(), &["check", name, "--rules", rules]);
    assert_eq!(run.status, 2);
    assert!(run.stderr.contains("no row of a load"), "{}", run.stderr);
}

/// Whether the canonical columns of the file hold an example that would be read without a finding if it were a load.
#[rstest]
fn the_example_itself_is_a_row_that_reads(#[values("iec", "nec")] rules: &str) {
    let folder = tempfile::tempdir().expect("a folder");
    blank(folder.path(), "loads.csv", rules);
    let path = folder.path().join("loads.csv");
    let text = std::fs::read_to_string(&path).expect("text");
    assert!(text.contains("\r\n#example P-101,"), "{text}");
    std::fs::write(&path, text.replace("#example P-101", "P-101")).expect("it can be written");
    let run = run_in(folder.path(), &["check", "loads.csv", "--rules", rules, "--format", "json"]);
    assert_eq!(run.status, 0, "{}{}", run.stdout, run.stderr);
    let json: serde_json::Value = serde_json::from_str(&run.stdout).expect("JSON");
    assert_eq!(
        (&json["counts"]["rows"], &json["counts"]["errors"], &json["counts"]["warnings"]),
        (&1.into(), &0.into(), &0.into())
    );
}

#[test]
fn rows_that_are_filled_in_are_read() {
    let folder = tempfile::tempdir().expect("a folder");
    blank(folder.path(), "loads.csv", "iec");
    let path = folder.path().join("loads.csv");
    let mut text = std::fs::read_to_string(&path).expect("text");
    text.push_str("P-7,my pump\r\n");
    std::fs::write(&path, text).expect("it can be written");
    let intake = read(&path);
    assert_eq!(intake.loads.len(), 1);
    assert_eq!((intake.loads[0].tag().as_str(), intake.loads[0].text(Field::Description)), ("P-7", Some("my pump")));
}

#[rstest]
fn a_file_that_is_there_is_not_overwritten(#[values("loads.csv", "loads.xlsx")] name: &str) {
    let folder = common::folder_with(name, b"mine");
    let run = run_in(folder.path(), &["blank", "--out", name]);
    assert_eq!(run.status, 2, "{}", run.stdout);
    assert!(run.stderr.contains(name) && run.stderr.contains("not overwritten"), "{}", run.stderr);
    assert_eq!(std::fs::read(folder.path().join(name)).expect("the file"), b"mine");
}

#[rstest]
#[case::unknown_ending(&["blank", "--out", "loads.txt"], "loads.txt")]
#[case::no_folder(&["blank", "--out", "/proc/nowhere/loads.csv"], "nowhere")]
#[case::unknown_book(&["blank", "--out", "loads.csv", "--rules", "abc"], "abc")]
#[case::no_name(&["blank"], "--out")]
fn what_cannot_be_written_ends_with_2(#[case] arguments: &[&str], #[case] says: &str) {
    let folder = tempfile::tempdir().expect("a folder");
    let run = run_in(folder.path(), arguments);
    assert_eq!(run.status, 2, "{}{}", run.stdout, run.stderr);
    assert!(run.stderr.contains(says), "{}", run.stderr);
    assert_eq!(std::fs::read_dir(folder.path()).expect("a folder").count(), 0);
}

#[test]
fn the_workbook_helps_at_every_column() {
    let folder = tempfile::tempdir().expect("a folder");
    blank(folder.path(), "loads.xlsx", "nec");
    let bytes = std::fs::read(folder.path().join("loads.xlsx")).expect("the workbook");
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).expect("an archive");
    let mut sheet = String::new();
    archive.by_name("xl/worksheets/sheet1.xml").expect("the sheet").read_to_string(&mut sheet).expect("text");
    assert_eq!(sheet.matches("<dataValidation ").count(), FIELDS.len());
    for spec in FIELDS {
        assert!(sheet.contains(&format!("promptTitle=\"{}\"", spec.name)), "{}", spec.name);
        if let Kind::Choice(choices) = spec.kind {
            let list = choices.iter().map(|(name, _)| *name).collect::<Vec<_>>().join(",");
            assert!(sheet.contains(&format!("<formula1>\"{list}\"</formula1>")), "{}", spec.name);
        }
    }
    for part in ["state=\"frozen\"", "outlineLevel=\"1\"", "fitToPage=\"1\"", "orientation=\"landscape\""] {
        assert!(sheet.contains(part), "{part}");
    }
    assert!(!sheet.contains("hidden="), "a hidden column is one that a reader must be told of");
}

#[test]
fn a_workbook_that_is_filled_in_is_sized_with_its_own_basis() {
    let folder = tempfile::tempdir().expect("a folder");
    blank(folder.path(), "loads.xlsx", "iec");
    let bytes = std::fs::read(folder.path().join("loads.xlsx")).expect("the workbook");
    let intake = read(&folder.path().join("loads.xlsx"));
    let column = |field: Field| {
        let at = intake.grids[0]
            .rows
            .get(0)
            .expect("a row")
            .iter()
            .position(|cell| cell.content == Content::Text(field.spec().name.into()));
        motorwright::finding::column_letters(u32::try_from(at.expect("a column")).expect("small"))
    };
    let cells = [
        (Field::Tag, "P-1"),
        (Field::RatedPowerKw, "7.5"),
        (Field::VoltageV, "400"),
        (Field::FullLoadCurrentA, "14.3"),
        (Field::StartingMethod, "direct"),
        (Field::CableLengthM, "30"),
    ];
    let row: String = cells
        .iter()
        .map(|(field, text)| format!("<c r=\"{}4\" t=\"inlineStr\"><is><t>{text}</t></is></c>", column(*field)))
        .collect();
    let filled = common::with_part(&bytes, "xl/worksheets/sheet1.xml", &|xml| {
        xml.replace("</sheetData>", &format!("<row r=\"4\">{row}</row></sheetData>"))
    });
    std::fs::write(folder.path().join("filled.xlsx"), filled).expect("it can be written");
    let run = run_in(folder.path(), &["size", "filled.xlsx", "--out", "out"]);
    assert_eq!(run.status, 0, "the rule book stands on the sheet Basis: {}{}", run.stdout, run.stderr);
    let again = run_in(folder.path(), &["size", "out/schedule.xlsx", "--out", "out2"]);
    assert_eq!(again.status, 0, "and is carried through: {}{}", again.stdout, again.stderr);
    let circuits = |out: &str| common::design(&folder.path().join(out))["circuits"].clone();
    for out in ["out", "out2"] {
        assert_eq!(circuits(out).as_array().map(Vec::len), Some(1), "units and example are no loads");
        assert_eq!(circuits(out)[0]["tag"], "P-1");
    }
    let kept = read(&folder.path().join("out/schedule.xlsx"));
    assert_eq!(
        kept.grids[0].rows.cell(2, 0).expect("a cell").content,
        Content::Text("#example P-101".into()),
        "the sender's rows are kept"
    );
}
