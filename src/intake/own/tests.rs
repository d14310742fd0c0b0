use super::*;
use crate::intake::open::{ReadOptions, read_csv_bytes};
use crate::intake::rows;

fn text(words: &str) -> Cell {
    let number = words.parse().map(Content::Number);
    let content = if words.is_empty() { Content::Empty } else { number.unwrap_or_else(|_| Content::Text(words.into())) };
    Cell { content, ..Cell::default() }
}

fn sheet(name: &str, rows: &[&[&str]]) -> Sheet {
    let rows = rows.iter().map(|row| row.iter().map(|words| text(words)).collect()).collect();
    Sheet { grid: Grid { file: "a.xlsx".to_owned(), sheet: Some(name.to_owned()), rows, ..Grid::default() }, ..Sheet::default() }
}

fn read(sheets: Vec<Sheet>) -> Intake {
    aside(sheets, |sheets| {
        rows::read(sheets, "a.xlsx", crate::intake::Detected::default(), &crate::intake::ReadOptions::default())
    })
    .expect("it reads")
}

const HEADS: [&str; 3] = ["Result\nstate", "Contactor", "Setting\nA"];

fn seal() -> String {
    Seal::new(&HEADS.map(str::to_owned), &["Starters".to_owned(), "Cables".to_owned()], false).text()
}

fn marks(results: [&str; 3]) -> String {
    let contents = results.map(|words| text(words).content);
    results_mark(contents.iter())
}

fn codes_of(intake: &Intake) -> Vec<(&str, Option<&str>, Option<u32>)> {
    intake
        .findings
        .iter()
        .filter(|finding| finding.code.starts_with("I50") && finding.code != "I501")
        .map(|finding| {
            let place = finding.place.as_ref().expect("a place");
            (finding.code.as_str(), place.column.as_deref(), place.row)
        })
        .collect()
}

/// Two circuits, then the words below the table.
fn table() -> Vec<Vec<String>> {
    let row = |cells: &[&str]| cells.iter().map(|cell| (*cell).to_owned()).collect::<Vec<_>>();
    let sealed = |cells: &[&str], last: String| cells.iter().map(|cell| (*cell).to_owned()).chain([last]).collect::<Vec<_>>();
    vec![
        sealed(&["tag", "rated_power_kw", HEADS[0], HEADS[1], HEADS[2]], seal()),
        sealed(&["P-1", "4", "sized", "GEN-9", "8.1"], marks(["sized", "GEN-9", "8.1"])),
        sealed(&["P-2", "5.5", "sized", "GEN-12", "11.4"], marks(["sized", "GEN-12", "11.4"])),
        row(&[]),
        sealed(&["error", "the row is not sized", "", "", ""], legend_mark(&["error", "the row is not sized"])),
    ]
}

fn read_table(table: &[Vec<String>]) -> Intake {
    let rows: Vec<Vec<&str>> = table.iter().map(|row| row.iter().map(String::as_str).collect()).collect();
    let rows: Vec<&[&str]> = rows.iter().map(Vec::as_slice).collect();
    read(vec![
        sheet("Motors", &rows),
        sheet("Starters", &[&["Starters"], &["One row a device"], &[], &["tag", "description"], &["P-1", "x"]]),
    ])
}

fn tags(intake: &Intake) -> Vec<String> {
    intake.loads.iter().map(crate::load::Load::tag).collect()
}

#[test]
fn results_words_and_further_sheets_are_set_aside() {
    let intake = read_table(&table());
    assert_eq!(tags(&intake), ["P-1", "P-2"]);
    assert_eq!(intake.grids.len(), 1, "our sheets are not the sender's");
    assert!(intake.grids[0].rows.iter().all(|row| row.len() <= 2), "{:?}", intake.grids[0].rows);
    assert_eq!(codes_of(&intake), []);
    let note = intake.findings.iter().find(|finding| finding.code == "I501").expect("it is said");
    assert!(note.what.contains("3 columns") && note.what.contains("Starters"), "{}", note.what);
}

#[test]
fn sorted_rows_and_inserted_columns_are_no_edits() {
    let mut table = table();
    table.swap(1, 2);
    for (row, cell) in table.iter_mut().zip(["poles", "4", "2", "", ""]) {
        row.insert(row.len().min(1), cell.to_owned());
    }
    // A column of the sender's between the results.
    for (row, cell) in table.iter_mut().zip(["voltage_v", "400", "690", "", ""]) {
        row.insert(row.len().min(4), cell.to_owned());
    }
    let intake = read_table(&table);
    assert_eq!(codes_of(&intake), []);
    assert_eq!(tags(&intake), ["P-2", "P-1"]);
    let volts: Vec<_> = intake.loads.iter().map(|load| load.number(crate::load::Field::VoltageV)).collect();
    assert_eq!(volts, [Some(400.0), Some(690.0)]);
    assert_eq!(intake.loads[0].number(crate::load::Field::Poles), Some(4.0));
}

#[test]
fn an_edited_result_is_named_at_its_cell() {
    let mut table = table();
    table[2][4] = "12".to_owned();
    assert_eq!(codes_of(&read_table(&table)), [("I502", Some("E"), Some(3))]);
}

#[test]
fn a_result_entered_into_a_new_row_is_named() {
    let mut table = table();
    table[3] = ["P-3", "3", "", "GEN-9"].map(str::to_owned).to_vec();
    let intake = read_table(&table);
    assert_eq!(codes_of(&intake), [("I502", Some("D"), Some(4))]);
    assert_eq!(tags(&intake), ["P-1", "P-2", "P-3"]);
}

#[test]
fn a_copied_row_is_no_edit() {
    let mut table = table();
    table[3] = table[1].clone();
    table[3][0] = "P-3".to_owned();
    let intake = read_table(&table);
    assert_eq!(codes_of(&intake), []);
    assert_eq!(tags(&intake), ["P-1", "P-2", "P-3"]);
}

#[test]
fn a_deleted_column_of_results_takes_none_of_the_senders() {
    let mut table = table();
    for row in &mut table {
        if row.len() > 3 {
            row.remove(3);
        }
    }
    let intake = read_table(&table);
    assert_eq!(codes_of(&intake), []);
    assert_eq!(intake.loads[1].number(crate::load::Field::RatedPowerKw), Some(5.5));
}

#[test]
fn a_column_whose_heading_of_results_was_edited_is_never_read() {
    let mut table = table();
    table[0][3] = "cable_length_m".to_owned();
    let intake = read_table(&table);
    assert_eq!(codes_of(&intake), [("I503", Some("D"), Some(1))]);
    assert!(intake.loads.iter().all(|load| load.entry(crate::load::Field::CableLengthM).is_none()));
}

#[test]
fn a_renamed_sheet_of_ours_is_known_by_its_title() {
    let table = table();
    let rows: Vec<Vec<&str>> = table.iter().map(|row| row.iter().map(String::as_str).collect()).collect();
    let rows: Vec<&[&str]> = rows.iter().map(Vec::as_slice).collect();
    let wires: &[&[&str]] = &[&["Cables"], &["One row a run"], &[], &["tag", "description"], &["P-1", "x"]];
    let senders: &[&[&str]] = &[&["tag", "rated_power_kw"], &["P-8", "3"]];
    let intake = read(vec![sheet("Motors", &rows), sheet("Wires", wires), sheet("More", senders)]);
    assert_eq!(tags(&intake), ["P-1", "P-2", "P-8"]);
}

#[test]
fn a_seal_of_another_version_is_said() {
    let mut table = table();
    table[0][5] = seal().replace(":1,", ":9,");
    assert_eq!(codes_of(&read_table(&table)).first(), Some(&("I503", Some("F"), Some(1))));
}

#[test]
fn a_workbook_of_ours_without_its_seal_is_an_error() {
    let mut table = table();
    table[0].truncate(5);
    let rows: Vec<Vec<&str>> = table.iter().map(|row| row.iter().map(String::as_str).take(5).collect()).collect();
    let rows: Vec<&[&str]> = rows.iter().map(Vec::as_slice).collect();
    let titled = |name: &'static str| sheet(name, &[&[name], &["words"]]);
    let intake = read(vec![sheet("Motors", &rows), titled("Protection settings"), titled("Sources and cautions")]);
    assert!(intake.findings.iter().any(|finding| finding.code == "I504"), "{:?}", intake.findings);
    let intake = read(vec![sheet("Motors", &rows), titled("Protection settings")]);
    assert!(intake.findings.iter().all(|finding| finding.code != "I504"), "one sheet of that name is chance");
}

#[test]
fn a_copy_as_csv_loses_its_results_and_the_signs_before_values() {
    let quoted = |text: &str| format!("\"{}\"", text.replace('"', "\"\""));
    let text = format!(
        "tag,voltage_v,{},Contactor,{},{}\nP-1,▲ 400,sized,GEN-9,8.10,{}\n",
        quoted(HEADS[0]),
        quoted(HEADS[2]),
        quoted(&seal()),
        marks(["sized", "GEN-9", "8.1"])
    );
    let intake = read_csv_bytes("a.csv", text.as_bytes(), &ReadOptions::default()).expect("it reads");
    assert_eq!(codes_of(&intake), [], "shown texts are not compared");
    assert_eq!(intake.loads[0].number(crate::load::Field::VoltageV), Some(400.0));
    assert!(intake.loads[0].source.headings.iter().all(|heading| heading != "Contactor"));
}

#[test]
fn rows_that_explain_are_kept_in_the_grid_and_are_no_loads() {
    let csv = "tag,rated_power_kw\n#units,kW\n#example P-1,4\n#Example,4\nP-1,4\n#1 pump,4\n#examples-are-good,3\n";
    let intake = read_csv_bytes("a.csv", csv.as_bytes(), &ReadOptions::default()).expect("it reads");
    assert_eq!(tags(&intake), ["P-1", "#1 pump", "#examples-are-good"].map(str::to_owned));
    assert_eq!(intake.grids[0].rows.cell(2, 0).unwrap().content, Content::Text("#example P-1".into()));
    assert_eq!(intake.findings.iter().filter(|finding| finding.severity == crate::finding::Severity::Error).count(), 0);
}

#[test]
fn explanations_of_a_basis_sheet_are_no_values() {
    let basis: &[&[&str]] =
        &[&["Key", "Value", "Meaning"], &["[supply]"], &["voltage_v", "", "nominal voltage"], &["phases", "3", "phases"]];
    let intake = read(vec![sheet("Motors", &[&["tag", "rated_power_kw"], &["P-1", "4"]]), sheet("Basis", basis)]);
    assert_eq!(intake.basis_pairs, [("supply.phases".to_owned(), "3".to_owned())]);
    assert_eq!(intake.grids[1].rows.cell(2, 2).unwrap().content, Content::Text("nominal voltage".into()));
}
