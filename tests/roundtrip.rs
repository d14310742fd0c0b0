//! The program's own workbook goes in again: nothing of the sender is lost, inputs that were edited count, results that were
//! edited are reported and never applied.

mod common;

use std::path::{Path, PathBuf};

use common::{Run, circuits_without_files, design, folder_with, root, run_in, with_part};
use motorwright::intake::{self, Content, ReadOptions};
use rstest::rstest;
use serde_json::Value as Json;

fn size(folder: &Path, schedule: &Path, basis: &Path, out: &str) -> Run {
    run_in(folder, &["size", &schedule.to_string_lossy(), "--basis", &basis.to_string_lossy(), "--out", out])
}

/// The sender's cells; what is empty at the end of a row or of the sheet says nothing.
fn sent(path: &Path) -> Vec<Vec<String>> {
    let intake = intake::read(path, &ReadOptions::default()).expect("it reads");
    let shown = |content: &Content| match content {
        Content::Number(number) => number.to_string(),
        Content::Text(text) => text.parse::<f64>().map_or_else(|_| text.to_string(), |number| number.to_string()),
        Content::Empty => String::new(),
        other => format!("{other:?}"),
    };
    let mut rows: Vec<Vec<String>> = intake.grids[0]
        .rows
        .iter()
        .map(|row| {
            let mut cells: Vec<String> = row.iter().map(|cell| shown(&cell.content)).collect();
            cells.truncate(cells.iter().rposition(|cell| !cell.is_empty()).map_or(0, |last| last + 1));
            cells
        })
        .collect();
    rows.truncate(rows.iter().rposition(|row| !row.is_empty()).map_or(0, |last| last + 1));
    rows
}

#[test]
fn long_remarks_and_errors_stand_in_the_workbook_as_they_were_sent() {
    let remark = "remark ".repeat(1_000);
    let csv = format!("Tag,Description,kW,V,Starter,Remarks\nP-1,Pump,5.5,400,DOL,{remark}\n#N/A,Pump,5.5,400,DOL,#REF!\n");
    let folder = folder_with("loads.csv", csv.as_bytes());
    let at = |name: &str| folder.path().join(name);
    let run = |schedule: &str, out: &str| run_in(folder.path(), &["size", schedule, "--rules", "iec", "--out", out]);
    assert_eq!(run("loads.csv", "a").status, 1);
    assert_eq!(run("a/schedule.xlsx", "b").status, 1, "the errors are still errors");
    assert_eq!(sent(&at("loads.csv")), sent(&at("a/schedule.xlsx")));
    assert_eq!(sent(&at("a/schedule.xlsx"))[1][5].trim_end(), remark.trim_end());
    let notes = design(&at("a"))["circuits"][0]["load"]["notes"].as_str().expect("notes").chars().count();
    assert_eq!(notes, 2_001);
}

#[rstest]
#[case::iec("water-works")]
#[case::nec("hospital-hvac")]
#[case::network("pumping-station")]
fn sizing_the_workbook_again_changes_nothing(#[case] name: &str) {
    let folder = tempfile::tempdir().expect("a folder");
    let at = |end: &str| root().join("example-schedules").join(format!("{name}.{end}"));
    let (schedule, basis) = (at("csv"), at("toml"));
    let first = size(folder.path(), &schedule, &basis, "a");
    let second = size(folder.path(), &folder.path().join("a/schedule.xlsx"), &basis, "b");
    assert_eq!(first.status, second.status, "{}{}", second.stdout, second.stderr);
    let of = |out: &str| folder.path().join(out);
    assert_eq!(circuits_without_files(&of("a")), circuits_without_files(&of("b")));
    assert_eq!(design(&of("a"))["purchase"], design(&of("b"))["purchase"]);
    assert_eq!(sent(&schedule), sent(&of("a/schedule.xlsx")), "every cell of the sender, at its address");
    // The second workbook holds no results of the first one, and so on for ever.
    assert_eq!(sent(&of("a/schedule.xlsx")), sent(&of("b/schedule.xlsx")));
    assert!(has(&of("b"), "I501"), "it is said that results were set aside");
    assert!(!has(&of("b"), "I502") && !has(&of("b"), "I201"));
}

fn all_findings(out: &Path) -> Vec<Json> {
    let json = design(out);
    let of_circuits =
        json["circuits"].as_array().into_iter().flatten().flat_map(|value| value["findings"].as_array().into_iter().flatten());
    json["findings"].as_array().into_iter().flatten().chain(of_circuits).cloned().collect()
}

fn has(out: &Path, code: &str) -> bool {
    all_findings(out).iter().any(|finding| finding["code"] == code)
}

const LOADS: &str = "tag,rated_power_kw,full_load_current_a,efficiency_pct,power_factor,voltage_v,starting_method,cable_length_m,Colour\n\
    P-1,4,8.1,88.6,0.82,400,direct,30,red\n\
    P-2,7.5,14.3,90.4,0.85,400,direct,40,blue\n";

/// A small schedule that was sized once, and its workbook.
struct Sized {
    folder: tempfile::TempDir,
    basis: PathBuf,
}

impl Sized {
    fn new() -> Self {
        let folder = folder_with("loads.csv", LOADS.as_bytes());
        let basis = folder.path().join("basis.toml");
        std::fs::write(&basis, "[rules]\nbook = \"iec\"\n[supply]\nprospective_fault_ka = 10\nprospective_fault_min_ka = 5\nx_over_r = 2\nearthing = \"TN-S\"\n").expect("a file");
        let run = size(folder.path(), &folder.path().join("loads.csv"), &basis, "a");
        assert_eq!(run.status, 0, "{}{}", run.stdout, run.stderr);
        Self { folder, basis }
    }

    fn out(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// Rewrites the sheet of the schedule and sizes the workbook again.
    fn again(&self, edit: impl Fn(String) -> String) -> Run {
        let bytes = std::fs::read(self.out("a/schedule.xlsx")).expect("the workbook");
        let edited = with_part(&bytes, "xl/worksheets/sheet1.xml", &edit);
        std::fs::write(self.out("edited.xlsx"), edited).expect("it can be written");
        size(self.folder.path(), &self.out("edited.xlsx"), &self.basis, "b")
    }
}

/// Puts a text into a cell that exists.
fn put(xml: &str, cell: &str, text: &str) -> String {
    let start = xml.find(&format!("<c r=\"{cell}\"")).unwrap_or_else(|| panic!("{cell} is there"));
    let tail = &xml[start..];
    let close = tail.find('>').expect("it closes");
    let end = if tail[..close].ends_with('/') { close + 1 } else { tail.find("</c>").expect("it ends") + 4 };
    format!("{}<c r=\"{cell}\" t=\"inlineStr\"><is><t>{text}</t></is></c>{}", &xml[..start], &tail[end..])
}

/// Column of a heading of results that begins with these words, from the file itself.
fn result_column(folder: &Path, words: &str) -> String {
    let mut book: calamine::Xlsx<_> = calamine::open_workbook(folder.join("schedule.xlsx")).expect("it opens");
    let range = calamine::Reader::worksheet_range(&mut book, "Schedule").expect("the sheet");
    let at = (0..200).find(|at| range.get_value((0, *at)).is_some_and(|cell| cell.to_string().contains(words)));
    motorwright::finding::column_letters(at.unwrap_or_else(|| panic!("no heading {words}")))
}

#[test]
fn an_edited_input_counts_and_nothing_is_reported() {
    let sized = Sized::new();
    let run = sized.again(|xml| put(&xml, "H3", "400"));
    assert_eq!(run.status, 0, "{}{}", run.stdout, run.stderr);
    assert!(!has(&sized.out("b"), "I502"));
    let (before, after) = (circuits_without_files(&sized.out("a")), circuits_without_files(&sized.out("b")));
    // The contactor that takes the larger cable burdens the control supply of both rows (C221): coils have a little less.
    let but_coils = |circuit: &Json| {
        let mut circuit = circuit.clone();
        circuit["checks"].as_array_mut().expect("checks").retain(|check| check["name"] != "coil-voltage");
        circuit
    };
    assert_eq!(but_coils(&before[0]), but_coils(&after[0]), "the other row is as it was");
    let area = |json: &Json| json["conductors"]["phase_area_mm2"].as_f64().expect("an area");
    assert!(area(&after[1]) > area(&before[1]), "ten times the length takes a larger cable");
}

#[test]
fn an_edited_result_is_reported_at_its_cell_and_never_applied() {
    let sized = Sized::new();
    let column = result_column(&sized.out("a"), "Contactor");
    let run = sized.again(|xml| put(&xml, &format!("{column}2"), "my own device"));
    assert_eq!(run.status, 0, "{}{}", run.stdout, run.stderr);
    let found: Vec<Json> = all_findings(&sized.out("b")).into_iter().filter(|finding| finding["code"] == "I502").collect();
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!((&found[0]["place"]["row"], &found[0]["place"]["column"]), (&2.into(), &column.as_str().into()));
    assert!(found[0]["what"].as_str().expect("words").contains("my own device"));
    let (before, after) = (circuits_without_files(&sized.out("a")), circuits_without_files(&sized.out("b")));
    for key in ["contactors", "overloads", "protection", "runs", "accessories", "checks", "load"] {
        assert_eq!(before[0][key], after[0][key], "{key}");
    }
    assert_eq!(before[1], after[1]);
    let text = std::fs::read(sized.out("b/schedule.xlsx")).expect("the workbook");
    std::fs::write(sized.out("again.xlsx"), text).expect("a copy");
    size(sized.folder.path(), &sized.out("again.xlsx"), &sized.basis, "c");
    assert!(!has(&sized.out("c"), "I502"), "what is written next has results of its own");
    let shown = run_in(sized.folder.path(), &["check", "edited.xlsx", "--rules", "iec"]);
    assert!(shown.stdout.contains("my own device\n") && shown.stdout.contains("^^^^^^^^^^^^^"), "{}", shown.stdout);
}

#[test]
fn an_emptied_result_is_reported_too() {
    let sized = Sized::new();
    let column = result_column(&sized.out("a"), "Contactor");
    sized.again(|xml| put(&xml, &format!("{column}3"), ""));
    let found: Vec<Json> = all_findings(&sized.out("b")).into_iter().filter(|finding| finding["code"] == "I502").collect();
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(found[0]["what"].as_str().expect("words").contains("emptied"));
}

#[test]
fn a_row_that_was_added_is_sized_like_any_other() {
    let sized = Sized::new();
    let row = "<row r=\"4\"><c r=\"A4\" t=\"inlineStr\"><is><t>P-3</t></is></c><c r=\"B4\"><v>4</v></c><c r=\"C4\"><v>8.1</v></c>\
               <c r=\"D4\"><v>88.6</v></c><c r=\"E4\"><v>0.82</v></c><c r=\"F4\"><v>400</v></c>\
               <c r=\"G4\" t=\"inlineStr\"><is><t>direct</t></is></c><c r=\"H4\"><v>30</v></c></row>";
    let run = sized.again(|xml| {
        let third = xml.find("<row r=\"3\"").expect("the last row");
        let end = third + xml[third..].find("</row>").expect("its end") + "</row>".len();
        let (before, after) = xml.split_at(end);
        // A row that is there already with its rules alone gives way.
        let after = match after.find("<row r=\"4\"") {
            Some(start) => {
                let row = &after[start..];
                let close = row.find('>').expect("it closes");
                let end = if row[..close].ends_with('/') { close + 1 } else { row.find("</row>").expect("it ends") + 6 };
                format!("{}{}", &after[..start], &row[end..])
            }
            None => after.to_owned(),
        };
        format!("{before}{row}{after}")
    });
    assert_eq!(run.status, 0, "{}{}", run.stdout, run.stderr);
    assert!(!has(&sized.out("b"), "I502"));
    let (before, after) = (circuits_without_files(&sized.out("a")), circuits_without_files(&sized.out("b")));
    assert_eq!(after.len(), 3, "the words below the table are no loads");
    // A third neighbour takes a longer commoning bar and burdens the control supply; all else of the two stays as it was.
    for (old, new) in before.iter().zip(&after) {
        for part in ["tag", "status", "currents", "contactors", "overloads", "protection", "runs", "findings"] {
            assert_eq!(old[part], new[part], "{part}");
        }
        let checks = |circuit: &Json| -> Vec<Json> {
            let all = circuit["checks"].as_array().expect("checks").iter();
            // What runs beside them moves the voltages of both supplies.
            let shared = ["commoning-current", "coil-voltage", "voltage-drop-at-terminals"];
            all.filter(|value| value["name"].as_str().is_some_and(|name| !shared.contains(&name))).cloned().collect()
        };
        assert_eq!(checks(old), checks(new));
    }
    assert_eq!(after[2]["tag"], "P-3");
    assert_eq!(after[2]["runs"], after[0]["runs"], "the same motor as the first");
    let cells = sent(&sized.out("b/schedule.xlsx"));
    assert_eq!(cells[1].last().map(String::as_str), Some("red"), "columns that are not read are kept");
    assert_eq!(cells.len(), 4);
}

#[test]
fn a_row_written_over_the_words_below_the_table_is_a_row() {
    let sized = Sized::new();
    // Rows 1 to 3 are the table; two rows further the words begin, which the sender overwrites in part.
    let tag = "<c r=\"A5\" t=\"inlineStr\"><is><t>P-9</t></is></c><c r=\"B5\"";
    let run = sized.again(|xml| xml.replacen("<c r=\"B5\"", tag, 1));
    assert_eq!(run.status, 1, "{}{}", run.stdout, run.stderr);
    let after = circuits_without_files(&sized.out("b"));
    assert_eq!(after.len(), 3);
    assert_eq!((&after[2]["tag"], &after[2]["status"]), (&"P-9".into(), &"not-sized".into()));
}

/// A cell of a sheet's part: column from zero, attributes, and what follows them.
type XmlCell = (u32, String, String);

/// Rows of a sheet's part, so that they can be moved about as a spreadsheet program does.
struct Rows {
    before: String,
    rows: Vec<(u32, String, Vec<XmlCell>)>,
    after: String,
}

impl Rows {
    fn read(xml: &str) -> Self {
        let (before, rest) = xml.split_once("<sheetData>").expect("cells");
        let (data, after) = rest.split_once("</sheetData>").expect("an end");
        let rows = data.split("<row r=\"").skip(1).map(|row| {
            let (number, rest) = row.split_once('"').expect("a number");
            let (attributes, cells) = rest.split_once('>').expect("it closes");
            let cells = cells.split("<c r=\"").skip(1).map(|cell| {
                let (at, rest) = cell.split_once('"').expect("an address");
                let (attributes, rest) = rest.split_once('>').expect("it closes");
                let letters = at.trim_end_matches(|one: char| one.is_ascii_digit());
                let column = letters.bytes().fold(0, |all, one| all * 26 + u32::from(one - b'A') + 1) - 1;
                (column, attributes.to_owned(), rest.split("</row>").next().expect("a cell").to_owned())
            });
            (number.parse().expect("a row"), attributes.trim_end_matches('/').to_owned(), cells.collect())
        });
        Self { before: before.to_owned(), rows: rows.collect(), after: after.to_owned() }
    }

    fn write(mut self) -> String {
        self.rows.sort_by_key(|(row, ..)| *row);
        let mut data = String::new();
        for (row, attributes, mut cells) in self.rows {
            cells.sort_by_key(|(column, ..)| *column);
            data += &format!("<row r=\"{row}\"{attributes}>");
            for (column, attributes, rest) in cells {
                data += &format!("<c r=\"{}{row}\"{attributes}>{rest}", motorwright::finding::column_letters(column));
            }
            data += "</row>";
        }
        format!("{}<sheetData>{data}</sheetData>{}", self.before, self.after)
    }

    /// Rows get other numbers; those without one are gone.
    fn rows(mut self, number: impl Fn(u32) -> Option<u32>) -> Self {
        self.rows = self.rows.into_iter().filter_map(|(row, rest, cells)| Some((number(row)?, rest, cells))).collect();
        self
    }

    /// Columns get other numbers; those without one are gone.
    fn columns(mut self, number: impl Fn(u32) -> Option<u32>) -> Self {
        for (.., cells) in &mut self.rows {
            let all = std::mem::take(cells).into_iter();
            *cells = all.filter_map(|(column, rest, value)| Some((number(column)?, rest, value))).collect();
        }
        self
    }

    /// The sender sorts the own columns alone: those of two rows change places, results stay.
    fn swap_sent(mut self, one: u32, other: u32) -> Self {
        let take = |rows: &mut Self, row: u32| -> Vec<XmlCell> {
            let (.., cells) = rows.rows.iter_mut().find(|(number, ..)| *number == row).expect("the row");
            let (sent, results) = std::mem::take(cells).into_iter().partition(|(column, ..)| *column < RESULTS);
            *cells = results;
            sent
        };
        let (a, b) = (take(&mut self, one), take(&mut self, other));
        for (row, sent) in [(one, b), (other, a)] {
            self.rows.iter_mut().find(|(number, ..)| *number == row).expect("the row").2.extend(sent);
        }
        self
    }

    /// Another content for a cell; nothing empties it.
    fn set(mut self, at: (u32, u32), value: Option<&str>) -> Self {
        let (.., cells) = self.rows.iter_mut().find(|(number, ..)| *number == at.0).expect("the row");
        cells.retain(|(column, ..)| *column != at.1);
        cells.extend(value.map(|value| (at.1, String::new(), format!("<v>{value}</v></c>"))));
        self
    }
}

/// A title, headings, five loads; the results begin in column H.
const LIST: &str = "Motor list revision A\nTag,Description,kW,V,Starter,Length (m),Remarks\n\
    P-1,Pump one,4,400,DOL,30,first\nP-2,Pump two,7.5,400,DOL,40,\nP-3,Fan three,5.5,400,star-delta,50,third\n\
    P-4,Mixer four,2.2,400,DOL,60,\nP-5,Screen five,1.1,400,DOL,70,fifth\n";
const RESULTS: u32 = 7;

/// Tag, kilowatts and metres of a load that is read.
type Read = (&'static str, Option<f64>, Option<f64>);
const P1: Read = ("P-1", Some(4.0), Some(30.0));
const P2: Read = ("P-2", Some(7.5), Some(40.0));
const P3: Read = ("P-3", Some(5.5), Some(50.0));
const P4: Read = ("P-4", Some(2.2), Some(60.0));
const P5: Read = ("P-5", Some(1.1), Some(70.0));

fn removed(at: u32) -> impl Fn(u32) -> Option<u32> {
    move |row| if row == at { None } else { Some(row - u32::from(row > at)) }
}

fn inserted(at: u32) -> impl Fn(u32) -> Option<u32> {
    move |row| Some(row + u32::from(row >= at))
}

fn moved(from: u32, to: u32) -> impl Fn(u32) -> Option<u32> {
    move |row| {
        Some(match row {
            _ if row == from => to,
            _ if from < row && row <= to => row - 1,
            _ if to <= row && row < from => row + 1,
            _ => row,
        })
    }
}

fn order(pairs: &'static [(u32, u32)]) -> impl Fn(u32) -> Option<u32> {
    move |row| Some(pairs.iter().find(|(from, _)| *from == row).map_or(row, |(_, to)| *to))
}

/// The reading of a careful person after each edit, and whether results no longer stand beside what they were worked out from.
#[rstest]
#[case::a_row_is_deleted(|rows: Rows| rows.rows(removed(4)), &[P1, P3, P4, P5], false)]
#[case::a_row_is_inserted(|rows: Rows| rows.rows(inserted(4)), &[P1, P2, P3, P4, P5], false)]
#[case::two_rows_change_places(|rows: Rows| rows.rows(order(&[(3, 7), (7, 3)])), &[P5, P2, P3, P4, P1], false)]
#[case::rows_are_sorted(|rows: Rows| rows.rows(order(&[(3, 6), (4, 3), (6, 4)])), &[P2, P4, P3, P1, P5], false)]
#[case::the_title_is_deleted(|rows: Rows| rows.rows(removed(1)), &[P1, P2, P3, P4, P5], false)]
#[case::only_the_senders_columns_are_sorted(|rows: Rows| rows.swap_sent(3, 4), &[P2, P1, P3, P4, P5], false)]
#[case::the_remarks_are_deleted(|rows: Rows| rows.columns(removed(6)), &[P1, P2, P3, P4, P5], false)]
#[case::a_column_is_inserted(|rows: Rows| rows.columns(inserted(2)), &[P1, P2, P3, P4, P5], false)]
#[case::a_column_is_moved(|rows: Rows| rows.columns(moved(2, 5)), &[P1, P2, P3, P4, P5], false)]
#[case::a_result_is_deleted(|rows: Rows| rows.columns(removed(9)), &[P1, P2, P3, P4, P5], false)]
#[case::a_result_is_moved_among_the_senders(|rows: Rows| rows.columns(moved(9, 1)), &[P1, P2, P3, P4, P5], false)]
#[case::a_value_is_changed(|rows: Rows| rows.set((3, 2), Some("11")), &[("P-1", Some(11.0), Some(30.0)), P2, P3, P4, P5], false)]
#[case::a_cell_is_cleared(|rows: Rows| rows.set((3, 5), None), &[("P-1", Some(4.0), None), P2, P3, P4, P5], false)]
#[case::a_result_is_overwritten(|rows: Rows| rows.set((3, 9), Some("99")), &[P1, P2, P3, P4, P5], true)]
fn edits_of_the_workbook_are_read_as_a_person_reads_them(
    #[case] edit: fn(Rows) -> Rows,
    #[case] expected: &[Read],
    #[case] edited_results: bool,
) {
    let folder = folder_with("list.csv", LIST.as_bytes());
    let run = |schedule: &str, out: &str| run_in(folder.path(), &["size", schedule, "--rules", "iec", "--out", out]);
    assert!(run("list.csv", "a").status < 2);
    let bytes = std::fs::read(folder.path().join("a/schedule.xlsx")).expect("the workbook");
    let edited = with_part(&bytes, "xl/worksheets/sheet1.xml", &|xml| edit(Rows::read(&xml)).write());
    std::fs::write(folder.path().join("edited.xlsx"), edited).expect("a file");
    let again = run("edited.xlsx", "b");
    assert!(again.status < 2, "{}{}", again.stdout, again.stderr);
    let (a, b) = (folder.path().join("a"), folder.path().join("b"));
    let (before, after) = (circuits_without_files(&a), circuits_without_files(&b));
    let read: Vec<(&str, Option<f64>, Option<f64>)> = after
        .iter()
        .map(|value| {
            let load = &value["load"];
            (value["tag"].as_str().expect("a tag"), load["rated_power_kw"].as_f64(), load["cable_length_m"].as_f64())
        })
        .collect();
    assert_eq!(read, expected, "{}", again.stdout);
    assert!(has(&b, "I501"), "it is said that results were set aside");
    assert_eq!(has(&b, "I502"), edited_results);
    // A circuit whose inputs were left alone is what it was.
    for value in &after {
        let old = before.iter().find(|old| old["tag"] == value["tag"]).expect("it was there");
        if ["rated_power_kw", "cable_length_m"].iter().all(|key| old["load"][key] == value["load"][key]) {
            for part in ["contactors", "overloads", "protection", "runs"] {
                assert_eq!(old[part], value[part], "{part} of {}", value["tag"]);
            }
        }
    }
}

/// Without the power nothing may be sized: a result, such as a current, is no input.
#[test]
fn results_do_not_stand_in_for_a_deleted_input() {
    let folder = folder_with("list.csv", LIST.as_bytes());
    let run = |schedule: &str, out: &str| run_in(folder.path(), &["size", schedule, "--rules", "iec", "--out", out]);
    assert!(run("list.csv", "a").status < 2);
    let bytes = std::fs::read(folder.path().join("a/schedule.xlsx")).expect("the workbook");
    let edit = |xml: String| Rows::read(&xml).columns(removed(2)).write();
    std::fs::write(folder.path().join("edited.xlsx"), with_part(&bytes, "xl/worksheets/sheet1.xml", &edit)).expect("a file");
    run("edited.xlsx", "b");
    for value in circuits_without_files(&folder.path().join("b")) {
        assert_eq!((&value["status"], value["load"]["rated_power_kw"].as_f64()), (&"not-sized".into(), None), "{}", value["tag"]);
    }
}

#[test]
fn a_renamed_sheet_is_read_alike() {
    let sized = Sized::new();
    let bytes = std::fs::read(sized.out("a/schedule.xlsx")).expect("the workbook");
    let rename = |xml: String| xml.replacen("<sheet name=\"Schedule\"", "<sheet name=\"Loads, revision B\"", 1);
    std::fs::write(sized.out("edited.xlsx"), with_part(&bytes, "xl/workbook.xml", &rename)).expect("it can be written");
    let run = size(sized.folder.path(), &sized.out("edited.xlsx"), &sized.basis, "b");
    assert_eq!(run.status, 0, "{}{}", run.stdout, run.stderr);
    assert_eq!(circuits_without_files(&sized.out("a")), circuits_without_files(&sized.out("b")));
    assert!(!has(&sized.out("b"), "I502"));
}

/// A comment of the sender's stays in the marked-up workbook, before what is found at its cell, and comes back from it alone.
#[test]
fn comments_of_the_sender_are_kept_through_every_round() {
    let folder = tempfile::tempdir().expect("a folder");
    let schedule = root().join("tests/intake/11-strikethrough-hidden.xlsx");
    let comments = |path: &Path| intake::read(path, &ReadOptions::default()).expect("it reads").grids[0].comments.clone();
    let sent = comments(&schedule);
    assert!(sent.values().any(|text| text.contains("was 18.5")), "{sent:?}");
    for (from, to) in
        [(schedule, "a"), (folder.path().join("a/schedule.xlsx"), "b"), (folder.path().join("b/schedule.xlsx"), "c")]
    {
        let run = run_in(folder.path(), &["size", &from.to_string_lossy(), "--rules", "iec", "--out", to]);
        assert!(run.status < 2, "{}", run.stderr);
        assert_eq!(comments(&folder.path().join(to).join("schedule.xlsx")), sent, "{to}");
    }
}
