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

const NEC: &str = "[rules]\nbook = \"nec\"\n[supply]\nvoltage_v = 480\nphases = 3\nfrequency_hz = 60\n\
    system = \"480Y/277 4W solidly grounded\"\nprospective_fault_ka = 20\nprospective_fault_min_ka = 9\n";

/// A workbook of pumps, and a second sheet with this heading over these tags.
fn mechanical(folder: &Path, name: &str, heading: &str, tags: &[&str]) {
    let mut book = Workbook::new();
    for (sheet, heading, tags) in [("PUMPS", "PUMP NO.", &["P-1", "P-2"][..]), ("AHU", heading, tags)] {
        let page = book.add_worksheet().set_name(sheet).expect("a name");
        page.write_row(0, 0, [heading, "HP", "VOLTS", "PH", "FLA", "PANEL", "STARTER", "LENGTH FT"]).expect("a row");
        for (row, tag) in (1..).zip(tags) {
            page.write(row, 0, *tag).expect("a cell");
            page.write_row(row, 1, [10.0, 460.0, 3.0, 12.5]).expect("a row");
            page.write_row(row, 5, ["M", "FVNR", "60"]).expect("a row");
        }
    }
    book.save(folder.join(name)).expect("it is written");
    std::fs::write(folder.join("basis.toml"), NEC).expect("a file");
}

/// Offices head their tags so; above units of measure the same word names none.
#[rstest]
#[case("UNIT", &["AHU-1", "AHU-2"], true)]
#[case("SYMBOL", &["AHU-1", "EF-2"], true)]
#[case("EQUIP. DESIG.", &["AHU-1", "EF-2"], true)]
#[case("UNIT", &["pc", "pc"], false)]
fn tags_have_many_headings(#[case] heading: &str, #[case] tags: &[&str], #[case] read: bool) {
    let folder = tempfile::tempdir().expect("a folder");
    mechanical(folder.path(), "loads.xlsx", heading, tags);
    let intake = intake::read(&folder.path().join("loads.xlsx"), &ReadOptions::default()).expect("it reads");
    assert_eq!(intake.loads.len(), if read { 4 } else { 2 });
}

/// A sheet of loads whose tags nobody can find is told wherever one looks, and the run asks for attention: its rows are not sized. A sheet
/// of sums of boards is none.
#[rstest]
#[case::loads("WHICH ONE", &["AHU-1", "AHU-2"], true)]
#[case::sums_of_boards("PANEL", &["MCC-1", "MCC-2"], false)]
#[case::kinds("WHICH ONE", &["supply", "exhaust"], false)]
fn a_sheet_of_loads_that_is_not_read_is_told_everywhere(#[case] heading: &str, #[case] tags: &[&str], #[case] told: bool) {
    let folder = tempfile::tempdir().expect("a folder");
    mechanical(folder.path(), "loads.xlsx", heading, tags);
    let run = run_in(folder.path(), &["size", "loads.xlsx", "--basis", "basis.toml", "--out", "out"]);
    let line = "sheets that seem to hold loads and were not read: AHU";
    assert_eq!((run.stdout.contains(line), run.status), (told, i32::from(told)), "{}", run.stdout);
    let page = std::fs::read_to_string(folder.path().join("out/submittal.html")).expect("a page");
    assert_eq!(page.contains("that seem to hold loads and were not read: AHU"), told);
    let design = design(&folder.path().join("out"));
    let found = design["findings"].as_array().expect("findings");
    assert_eq!(found.iter().any(|finding| finding["code"] == "I489" && finding["severity"] == "warning"), told);
    assert_eq!(run_in(folder.path(), &["check", "loads.xlsx", "--basis", "basis.toml"]).status, i32::from(told));
}

/// A list of cables or of prices beside the schedule names powers and marks and holds no loads: nobody is asked for its tags.
#[rstest]
#[case::cables(&["Cable no.", "Route", "kW", "V", "Length m"], &["C-001", "T1"])]
#[case::ends(&["Run", "From", "To", "kW", "V", "Length m"], &["C-001", "MCC-1", "P-1"])]
#[case::prices(&["Line", "Article", "kW", "V", "Unit price"], &["1", "PMP-100"])]
fn lists_of_other_things_are_no_sheets_of_loads(#[case] headings: &[&str], #[case] texts: &[&str]) {
    let folder = tempfile::tempdir().expect("a folder");
    let mut book = Workbook::new();
    let pumps = book.add_worksheet().set_name("PUMPS").expect("a name");
    pumps.write_row(0, 0, ["PUMP NO.", "HP", "VOLTS", "PH", "FLA", "PANEL", "STARTER", "LENGTH FT"]).expect("a row");
    pumps.write_row(1, 0, ["P-1"]).expect("a row");
    pumps.write_row(1, 1, [10.0, 460.0, 3.0, 12.5]).expect("a row");
    pumps.write_row(1, 5, ["M", "FVNR", "60"]).expect("a row");
    let other = book.add_worksheet().set_name("OTHER").expect("a name");
    other.write_row(0, 0, headings.iter().copied()).expect("a row");
    for row in 1..4 {
        other.write_row(row, 0, texts.iter().copied()).expect("a row");
        let behind = u16::try_from(texts.len()).expect("few");
        other.write_row(row, behind, [4.0, 400.0, 30.0]).expect("a row");
    }
    book.save(folder.path().join("loads.xlsx")).expect("it is written");
    std::fs::write(folder.path().join("basis.toml"), NEC).expect("a file");
    let run = run_in(folder.path(), &["check", "loads.xlsx", "--basis", "basis.toml"]);
    assert!(!run.stdout.contains("I489") && run.stdout.contains("I410"), "{}", run.stdout);
}

/// Rows of a sheet that one side does not read are not removed: the comparison says so before it lists them.
#[test]
fn a_sheet_that_one_side_does_not_read_is_a_doubt() {
    let folder = tempfile::tempdir().expect("a folder");
    mechanical(folder.path(), "a.xlsx", "UNIT", &["AHU-1", "AHU-2"]);
    mechanical(folder.path(), "b.xlsx", "WHICH ONE", &["AHU-1", "AHU-2"]);
    let between = |old: &str, new: &str| {
        let run = run_in(folder.path(), &["compare", old, new, "--basis", "basis.toml", "--out", "changes"]);
        let page = std::fs::read_to_string(folder.path().join("changes/changes.html")).expect("a page");
        (run.stdout, page)
    };
    let (text, page) = between("a.xlsx", "b.xlsx");
    let doubt = text.find("warning X110: the later side has loads that were not read, on sheet AHU").expect(&text);
    assert!(text.find("AHU-1").is_none_or(|first| doubt < first), "{text}");
    assert!(page.contains("X110"));
    let (text, _) = between("b.xlsx", "a.xlsx");
    assert!(text.contains("X110: the earlier side has loads that were not read, on sheet AHU"), "{text}");
    let (text, _) = between("a.xlsx", "a.xlsx");
    assert!(!text.contains("X110"), "{text}");
}
