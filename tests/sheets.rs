//! Which sheets of a workbook are the schedule, where the user says so: the others stay in the marked-up workbook, and none that seems
//! to hold loads is left out without a word.

mod common;

use std::path::Path;

use common::{design, run_in};
use motorwright::intake::{self, IntakeErrorKind, ReadOptions};
use rstest::rstest;
use rust_xlsxwriter::Workbook;

const HEAD: [&str; 5] = ["tag", "rated_power_kw", "voltage_v", "starting_method", "cable_length_m"];

/// A workbook as it grows in an office: the list, an older one with the same tags, remarks, and a hidden list.
fn workbook(folder: &Path) {
    let mut book = Workbook::new();
    for (name, loads, hidden) in
        [("Motors", &["P-1", "P-2"][..], false), ("Old list", &["P-1", "P-2", "P-3"], false), ("Later", &["P-9"], true)]
    {
        let sheet = book.add_worksheet().set_name(name).expect("a name").set_hidden(hidden);
        sheet.write_row(0, 0, HEAD).expect("a row");
        for (row, tag) in (1..).zip(loads) {
            sheet.write(row, 0, *tag).expect("a cell");
            sheet.write_row(row, 1, [7.5, 400.0]).expect("a row");
            sheet.write(row, 3, "direct").expect("a cell");
            sheet.write(row, 4, 20).expect("a cell");
        }
    }
    let remarks = book.add_worksheet().set_name("Remarks").expect("a name");
    remarks.write(0, 0, "Ask for the lengths.").expect("a cell");
    book.save(folder.join("loads.xlsx")).expect("it is written");
}

fn read(folder: &Path, sheets: &[&str]) -> Result<intake::Intake, intake::IntakeError> {
    let mut options = ReadOptions::default();
    options.sheets = sheets.iter().map(|sheet| (*sheet).to_owned()).collect();
    intake::read(&folder.join("loads.xlsx"), &options)
}

#[rstest]
#[case::all(&[], &["P-1", "P-2", "P-1", "P-2", "P-3"], &["Later", "Remarks"], &[])]
#[case::one(&["Motors"], &["P-1", "P-2"], &["Later", "Remarks"], &["Old list with 3 rows"])]
#[case::whatever_its_capitals(&[" motors"], &["P-1", "P-2"], &["Later", "Remarks"], &["Old list with 3 rows"])]
#[case::two(&["Old list", "Motors"], &["P-1", "P-2", "P-1", "P-2", "P-3"], &["Later", "Remarks"], &[])]
#[case::a_hidden_one(&["Later"], &["P-9"], &["Remarks"], &["Motors with 2 rows", "Old list with 3 rows"])]
fn the_sheets_that_are_asked_for_are_the_schedule(
    #[case] sheets: &[&str],
    #[case] tags: &[&str],
    #[case] without_loads: &[&str],
    #[case] left_out: &[&str],
) {
    let folder = tempfile::tempdir().expect("a folder");
    workbook(folder.path());
    let intake = read(folder.path(), sheets).expect("it reads");
    assert_eq!(intake.loads.iter().map(motorwright::load::Load::tag).collect::<Vec<_>>(), tags);
    let told = |code: &str| {
        intake.findings.iter().filter(|finding| finding.code == code).map(|finding| finding.what.as_str()).collect::<Vec<_>>()
    };
    for (found, wanted) in [(told("I410"), without_loads), (told("I450"), left_out)] {
        assert_eq!(found.len(), wanted.len(), "{found:?}");
        assert!(wanted.iter().all(|name| found.iter().any(|heading| heading.contains(name))), "{found:?}");
    }
    // No sheet is lost.
    assert_eq!(intake.grids.len(), 4);
}

#[rstest]
#[case::one_that_is_not_there(&["Motors", "Pumps"], IntakeErrorKind::NoSheet, &["`Pumps`", "`Motors`, `Old list`, `Later`, `Remarks`"])]
#[case::one_without_loads(&["Remarks"], IntakeErrorKind::NoHeader, &["--sheet leaves all other sheets out"])]
fn a_wish_that_gives_no_schedule_is_refused(#[case] sheets: &[&str], #[case] kind: IntakeErrorKind, #[case] says: &[&str]) {
    let folder = tempfile::tempdir().expect("a folder");
    workbook(folder.path());
    let error = read(folder.path(), sheets).expect_err("it is refused");
    assert_eq!(error.kind, kind);
    assert!(says.iter().all(|words| error.message.contains(words)), "{}", error.message);
}

#[test]
fn on_the_command_line_the_older_list_is_left_out_told_and_kept() {
    let folder = tempfile::tempdir().expect("a folder");
    workbook(folder.path());
    let run = |more: &[&str]| run_in(folder.path(), &[&["size", "loads.xlsx", "--rules", "iec", "--out", "out"], more].concat());
    // Both lists at once name the same tags: their rows are not sized.
    assert_eq!(run(&[]).status, 1);
    let told = run(&["--sheet", "Motors"]);
    assert!(told.stdout.contains("2 circuits") && told.stdout.contains("I450"), "{}{}", told.stdout, told.stderr);
    let json = design(&folder.path().join("out"));
    let circuits = json["circuits"].as_array().expect("circuits");
    assert!(circuits.iter().all(|circuit| circuit["status"] != "not-sized"));
    assert!(json["findings"].as_array().expect("findings").iter().any(|finding| finding["code"] == "I450"));
    let again = intake::read(&folder.path().join("out/schedule.xlsx"), &ReadOptions::default()).expect("it reads");
    let names: Vec<_> = again.grids.iter().filter_map(|grid| grid.sheet.clone()).collect();
    assert!(["Motors", "Old list", "Later", "Remarks"].iter().all(|sheet| names.iter().any(|name| name == sheet)), "{names:?}");
    let unknown = run(&["--sheet", "Pumps"]);
    assert!(unknown.status == 2 && unknown.stderr.contains("`Pumps`"), "{}", unknown.stderr);
    std::fs::write(folder.path().join("loads.csv"), "tag,rated_power_kw\nP-1,4\n").expect("it is written");
    let text = run_in(folder.path(), &["check", "loads.csv", "--rules", "iec", "--sheet", "Motors"]);
    assert!(text.status == 2 && text.stderr.contains("delimited text has no sheets"), "{}", text.stderr);
}
