//! Reads the workbook back with another library and compares.

use std::io::{Cursor, Read};

use calamine::{Data, Reader, Xlsx};

use super::fixture::Fixture;
use super::{ReportError, SHEETS, columns, write};
use crate::design::Design;
use crate::intake::{Cell, Content, Struck};
use crate::report::DEMONSTRATION;

fn bytes(fixture: &Fixture) -> Vec<u8> {
    fixture.with(write).expect("the workbook is written")
}

fn open(bytes: &[u8]) -> Xlsx<Cursor<&[u8]>> {
    Xlsx::new(Cursor::new(bytes)).expect("a second reader opens it")
}

fn at(book: &mut Xlsx<Cursor<&[u8]>>, sheet: &str, row: u32, column: u32) -> Data {
    book.worksheet_range(sheet).expect("the sheet exists").get_value((row, column)).cloned().unwrap_or_default()
}

fn member(bytes: &[u8], name: &str) -> String {
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).expect("it is an archive");
    let mut text = String::new();
    archive.by_name(name).expect(name).read_to_string(&mut text).expect("text");
    text
}

fn members(bytes: &[u8], prefix: &str) -> Vec<String> {
    let archive = zip::ZipArchive::new(Cursor::new(bytes)).expect("it is an archive");
    let mut names: Vec<String> = archive
        .file_names()
        .filter_map(Result::ok)
        .filter(|name| name.starts_with(prefix))
        .map(std::borrow::Cow::into_owned)
        .collect();
    names.sort();
    names
}

#[test]
fn the_same_input_gives_the_same_bytes() {
    let fixture = Fixture::new();
    assert_eq!(bytes(&fixture), bytes(&fixture));
}

#[test]
fn the_senders_cells_come_back_at_their_addresses() {
    let fixture = Fixture::new();
    let bytes = bytes(&fixture);
    let mut book = open(&bytes);
    let range = book.worksheet_range("Motors").expect("named like the sender's");
    for (row, cells) in (0u32..).zip(fixture.grids[0].rows.iter()) {
        for (column, cell) in (0u32..).zip(cells.iter()) {
            let found = range.get_value((row, column)).cloned().unwrap_or_default();
            match &cell.content {
                Content::Empty => assert_eq!(found, Data::Empty, "{row} {column}"),
                Content::Text(words) => assert_eq!(found, Data::String(words.to_string()), "{row} {column}"),
                Content::Number(number) => assert_eq!(found, Data::Float(*number), "{row} {column}"),
                Content::Date(date) => match found {
                    Data::DateTime(excel_date_time) => assert!((excel_date_time.as_f64() - date.serial).abs() < 1e-9),
                    other => panic!("{other:?}"),
                },
                other => panic!("{other:?}"),
            }
        }
    }
}

#[test]
fn our_values_stand_beside_them() {
    let fixture = Fixture::new();
    let bytes = bytes(&fixture);
    let mut book = open(&bytes);
    let schedule = columns::schedule_of(&fixture.design);
    let column = |key: &str| 8 + u32::try_from(schedule.iter().position(|column| column.key == key).expect(key)).expect("small");
    assert_eq!(at(&mut book, "Motors", 4, column("state")), Data::String("sized, 1 warning".to_owned()));
    assert_eq!(at(&mut book, "Motors", 4, column("findings")), Data::Float(2.0));
    assert_eq!(at(&mut book, "Motors", 4, column("full_load_a")), Data::Float(14.27));
    assert_eq!(at(&mut book, "Motors", 5, column("contactors")), Data::String("50 / 50 / 31.5".to_owned()));
    assert_eq!(at(&mut book, "Motors", 5, column("overload_setting_a")), Data::Float(46.3));
    assert_eq!(at(&mut book, "Motors", 6, column("state")), Data::String("not sized".to_owned()));
    assert_eq!(at(&mut book, "Motors", 6, column("full_load_a")), Data::Empty);
    assert_eq!(at(&mut book, "Motors", 7, column("cable_size")), Data::String("6".to_owned()), "the run to the motor");
    assert_eq!(at(&mut book, "Motors", 3, column("state")), Data::Empty, "a section row has no result");
}

#[test]
fn every_sheet_is_there_in_order() {
    let bytes = bytes(&Fixture::new());
    let names = open(&bytes).sheet_names();
    assert_eq!(names[0], "Motors");
    assert_eq!(names[1..], SHEETS.map(str::to_owned));
}

#[test]
fn findings_are_notes_on_their_cells() {
    let bytes = bytes(&Fixture::new());
    let notes = member(&bytes, "xl/comments1.xml");
    for cell in ["F5", "G5", "G6", "I6", "D7", "H7"] {
        assert!(notes.contains(&format!("ref=\"{cell}\"")), "{cell}");
    }
    let of_cell = notes.split("<comment ").find(|note| note.starts_with("ref=\"G6\"")).expect("a note");
    assert!(of_cell.contains("C302") && of_cell.contains("C202"), "both findings of a cell stand in one note");
    assert!(notes.contains("<author>Motorwright</author>") && !notes.contains("Author:"));
}

#[test]
fn formulas_stand_on_audit_and_working_alone() {
    let bytes = bytes(&Fixture::new());
    let mut book = open(&bytes);
    for sheet in book.sheet_names() {
        let formulas = book.worksheet_formula(&sheet).expect("readable").used_cells().count();
        assert_eq!(formulas > 0, sheet == "Audit" || sheet == "Working", "{sheet}: {formulas}");
    }
}

#[test]
fn the_working_holds_a_live_formula_and_our_value() {
    let bytes = bytes(&Fixture::new());
    let mut book = open(&bytes);
    let formulas = book.worksheet_formula("Working").expect("readable");
    assert_eq!(formulas.get_value((4, 5)).map(String::as_str), Some("1000*J5/(SQRT(3)*K5*L5*M5)"));
    // 1000 × 7.5 / (√3 × 400 × 0.904 × 0.84), by hand: 14.2556 A.
    let Data::Float(ours) = at(&mut book, "Working", 4, 4) else { panic!("a number") };
    let Data::Float(stored) = at(&mut book, "Working", 4, 5) else { panic!("a number") };
    assert!((ours - 14.2556).abs() < 1e-3, "{ours}");
    assert!((ours - stored).abs() < 1e-12);
    assert_eq!(at(&mut book, "Working", 4, 9), Data::Float(7.5));
}

/// Heads stand in row 4 of 9, and the last two rows are kept free: two circuits of six have room.
#[test]
fn a_full_sheet_tells_what_it_does_not_hold() {
    let fixture = Fixture::new();
    let bytes = fixture.with(|input| {
        let (plan, styles) = (super::plan::Plan::new(input), super::style::Styles::new());
        let mut book = rust_xlsxwriter::Workbook::new();
        let rows = input.design.circuits.iter().cloned().enumerate().map(|(index, circuit)| (Some(index), circuit));
        let written = super::table::write_within(
            9,
            book.add_worksheet(),
            &columns::identity(input.units()),
            rows,
            &plan,
            &styles,
            |_, _| None,
        );
        assert_eq!(written.expect("it is written").last, 5);
        book.save_to_buffer().expect("a workbook")
    });
    let mut book = open(&bytes);
    let circuits = &fixture.design.circuits;
    assert_eq!(at(&mut book, "Sheet1", 5, 0), Data::String(circuits[1].tag.clone()));
    let Data::String(told) = at(&mut book, "Sheet1", 6, 0) else { panic!("words") };
    assert!(told.starts_with("A sheet holds no more rows") && told.contains(&circuits[2].tag), "{told}");
    assert_eq!(at(&mut book, "Sheet1", 7, 0), Data::Empty);
}

/// Column of the audit under a head, counted among heads of that name.
fn audit_column(book: &mut Xlsx<Cursor<&[u8]>>, head: &str, nth: usize) -> u32 {
    let range = book.worksheet_range("Audit").expect("the sheet");
    let is = |at: &u32| range.get_value((4, *at)).is_some_and(|data| data.to_string().starts_with(head));
    (0..200).filter(is).nth(nth).expect("a head")
}

#[test]
fn the_audit_has_one_row_a_circuit_with_formulas_over_its_numbers() {
    let bytes = bytes(&Fixture::new());
    let mut book = open(&bytes);
    let (trip, current) = (audit_column(&mut book, "Recalculated", 1), audit_column(&mut book, "Recalculated", 0));
    let formulas = book.worksheet_formula("Audit").expect("readable");
    assert_eq!(formulas.get_value((5, current)).map(String::as_str), Some("1000*F6/(SQRT(3)*G6*H6*I6)"));
    // 1000 × 7.5 / (√3 × 400 × 0.904 × 0.84), by hand: 14.2556 A.
    let Data::Float(value) = at(&mut book, "Audit", 5, current - 1) else { panic!("a number") };
    assert!((value - 14.2556).abs() < 1e-3, "{value}");
    let agreement = formulas.get_value((5, 1)).expect("a formula");
    for column in [current, trip] {
        let cell = |column: u32| format!("{}6", crate::finding::column_letters(column));
        assert!(agreement.contains(&format!("ABS({}-{})", cell(column - 1), cell(column))), "{agreement}");
    }
    // The drop of the working is not the one that the design holds, so it is not audited.
    // Six circuits, one of which is not sized and has no working.
    let range = book.worksheet_range("Audit").expect("the sheet");
    let tags: Vec<String> =
        (5..=range.end().expect("cells").0).filter_map(|row| Some(range.get_value((row, 0))?.to_string())).collect();
    assert_eq!(tags.len(), 5, "{tags:?}");
    let names: Vec<String> =
        (0..range.width()).filter_map(|at| Some(range.get((3, at))?.to_string())).filter(|heading| !heading.is_empty()).collect();
    assert_eq!(names, ["Current: I = 1000 P / (√3 U η cosφ)", "Instantaneous trip, least"]);
}

#[test]
fn a_circuit_is_followed_from_sheet_to_sheet_and_back() {
    let bytes = bytes(&Fixture::new());
    let links = |sheet: usize| {
        let text = member(&bytes, &format!("xl/worksheets/sheet{sheet}.xml"));
        let all = text.split("<hyperlink ").skip(1).map(|link| {
            let value = |name: &str| {
                link.split(&format!("{name}=\"")).nth(1).and_then(|rest| rest.split('"').next()).expect(name).replace('\'', "")
            };
            (value("ref"), value("location"))
        });
        all.collect::<Vec<_>>()
    };
    let (schedule, starters, audit) = (links(1), links(2), links(13));
    // The first circuit stands in row 5 of the schedule; its results begin in column I. Our tables begin in row 5.
    assert!(starters.contains(&("A5".to_owned(), "Motors!I5".to_owned())), "{starters:?}");
    assert!(audit.contains(&("A6".to_owned(), "Motors!I5".to_owned())), "{audit:?}");
    for target in ["Starters!A5", "Protection settings!A5", "Cables!A5", "Audit!A6", "Checks!A5"] {
        assert!(schedule.iter().any(|(from, to)| from.ends_with('5') && to == target), "{target}: {schedule:?}");
    }
    // The values are those of the columns, not the words of a link.
    let mut book = open(&bytes);
    for (from, _) in &schedule {
        let letters = from.trim_end_matches(|one: char| one.is_ascii_digit());
        let row: u32 = from[letters.len()..].parse().expect("a row");
        let column = u32::from(super::text::column_index(letters).expect("a column"));
        let value = at(&mut book, "Motors", row - 1, column);
        assert!(!matches!(&value, Data::Empty) && value != Data::String(" ".to_owned()), "{from}: {value:?}");
    }
}

#[test]
fn every_table_has_a_name() {
    let text = member(&bytes(&Fixture::new()), "xl/workbook.xml");
    for name in [
        "Schedule",
        "Starters",
        "Settings",
        "Cables",
        "Boards",
        "Starting_dips",
        "Control_supplies",
        "Checks",
        "Purchase_list",
        "Findings",
        "Audit",
        "Working",
    ] {
        assert!(text.contains(&format!("<definedName name=\"{name}\">")), "{name}: {text}");
    }
    assert!(text.contains("<definedName name=\"Schedule\">'Motors'!$A$3:"), "{text}");
    assert!(text.contains("<definedName name=\"Settings\">'Protection settings'!$A$4:"), "{text}");
}

#[test]
fn every_topic_of_the_audit_is_a_quantity_of_the_books() {
    let formulas = crate::rules::formulas();
    for begin in super::audit::beginnings() {
        assert!(formulas.iter().any(|formula| formula.quantity.starts_with(begin)), "{begin}");
    }
}

#[test]
fn every_page_names_the_demonstration_range_while_it_is_used() {
    let mut fixture = Fixture::new();
    let with = bytes(&fixture);
    for name in members(&with, "xl/worksheets/sheet") {
        let sheet = member(&with, &name);
        assert!(sheet.contains(DEMONSTRATION), "{name}");
        assert!(sheet.contains("A calculation aid"), "{name}");
        assert!(sheet.contains("works &amp;&amp; sons"), "{name}: an ampersand of the project is no code of the head");
    }
    fixture.design.catalogue.demonstration = false;
    fixture.design.catalogue.name = "a supplier's range".to_owned();
    fixture.design.findings.clear();
    let without = bytes(&fixture);
    for name in members(&without, "xl/worksheets/sheet") {
        assert!(!member(&without, &name).contains(DEMONSTRATION), "{name}");
    }
    assert!(!member(&without, "xl/sharedStrings.xml").contains(DEMONSTRATION));
}

/// The columns up to the tag print on every page: a legend there would be repeated, and cut where they end.
#[test]
fn the_legend_stands_beside_the_columns_that_every_page_repeats() {
    let fixture = Fixture::new();
    let bytes = bytes(&fixture);
    let mut book = open(&bytes);
    let range = book.worksheet_range("Motors").expect("the sheet exists");
    let table = u32::try_from(fixture.grids[0].rows.len()).expect("small");
    let (last, _) = range.end().expect("cells");
    assert!(last > table, "there is a legend");
    let mut lines = 0;
    for row in table..=last {
        assert_eq!(range.get_value((row, 0)).cloned().unwrap_or_default(), Data::Empty, "row {row}");
        for column in 1..10 {
            if let Some(Data::String(words)) = range.get_value((row, column)) {
                lines += 1;
                assert!(words.chars().count() <= 100, "{words}");
            }
        }
    }
    assert!(lines >= 9, "{lines}");
}

#[test]
fn the_paper_follows_the_basis() {
    let mut fixture = Fixture::new();
    let metric = bytes(&fixture);
    assert!(member(&metric, "xl/worksheets/sheet1.xml").contains("paperSize=\"8\""));
    assert!(member(&metric, "xl/worksheets/sheet3.xml").contains("paperSize=\"9\""));
    fixture.design.basis.report.paper = Some("Letter".to_owned());
    let letter = bytes(&fixture);
    assert!(member(&letter, "xl/worksheets/sheet1.xml").contains("paperSize=\"3\""));
    assert!(
        member(&letter, "xl/worksheets/sheet3.xml").contains("paperSize=\"1\"")
            || !member(&letter, "xl/worksheets/sheet3.xml").contains("paperSize")
    );
}

#[test]
fn hostile_text_stays_text() {
    let hostile = [
        "=1+1",
        "@SUM(A1)",
        "+1",
        "-1",
        "<&\"'>",
        "http://x.invalid",
        "_x0041_",
        "a\u{0}b\u{7}c\u{1f}",
        "\u{FFFF}",
        "é\r\nü",
        "'quoted",
        "{=1}",
    ];
    let mut fixture = Fixture::new();
    let long = "x".repeat(40_000);
    for (row, words) in hostile.iter().copied().chain([long.as_str()]).enumerate() {
        fixture.grids[0].rows.cells_mut().push(vec![
            Cell { content: Content::Text(format!("{row}").into()), ..Cell::default() },
            Cell { content: Content::Text(words.into()), ..Cell::default() },
        ]);
    }
    fixture.grids[0].rows.cells_mut().push(vec![
        Cell { content: Content::Number(f64::NAN), ..Cell::default() },
        Cell { content: Content::Number(f64::INFINITY), ..Cell::default() },
    ]);
    for circuit in &mut fixture.design.circuits {
        circuit.tag = format!("={}\u{1}", circuit.tag);
        circuit.description.clone_from(&long);
        for finding in &mut circuit.findings {
            finding.what = format!("{long}\u{2}=1+1");
        }
    }
    fixture.design.basis.project.name = Some(format!("&\"-,Bold\"\u{3}{long}"));
    fixture.design.basis.project.issue_date = Some("2026-99-99".to_owned());
    let bytes = bytes(&fixture);
    let mut book = open(&bytes);
    let first = 10;
    for (index, words) in hostile.iter().enumerate() {
        let found = at(&mut book, "Motors", first + u32::try_from(index).expect("small"), 1);
        let Data::String(found) = found else { panic!("{words:?} became {found:?}") };
        assert_eq!(found.replace('\r', ""), words.replace('\u{FFFF}', "\u{FFFD}").replace('\r', ""), "{words:?}");
    }
    let Data::String(cut) = at(&mut book, "Motors", first + u32::try_from(hostile.len()).expect("small"), 1) else {
        panic!("text")
    };
    assert!(cut.encode_utf16().count() <= 32_767 && cut.ends_with("can hold]"));
    assert_eq!(book.worksheet_formula("Motors").expect("readable").used_cells().count(), 0);
    for name in members(&bytes, "xl/") {
        if name.ends_with(".xml") || name.ends_with(".vml") {
            let text = member(&bytes, &name);
            let wrong =
                |one: char| (one.is_control() && !matches!(one, '\n' | '\r' | '\t')) || matches!(one, '\u{FFFE}' | '\u{FFFF}');
            assert!(!text.contains(wrong), "{name} holds a character that XML forbids");
        }
    }
}

#[test]
fn a_design_without_the_senders_table_gets_one_of_ours() {
    let mut fixture = Fixture::new();
    fixture.grids.clear();
    fixture.rows.clear();
    let bytes = bytes(&fixture);
    let mut book = open(&bytes);
    assert_eq!(book.sheet_names()[0], "Schedule");
    assert_eq!(at(&mut book, "Schedule", 4, 0), Data::String("P-201A/B".to_owned()));
    assert_eq!(at(&mut book, "Schedule", 6, 5), Data::String("not sized".to_owned()));
}

#[test]
fn an_empty_design_is_written_too() {
    let fixture = Fixture {
        design: Design::default(),
        grids: Vec::new(),
        rows: Vec::new(),
        mappings: Vec::new(),
        skipped: Vec::new(),
        assumptions: Vec::new(),
        cautions: Vec::new(),
        sources: Vec::new(),
    };
    assert_eq!(open(&bytes(&fixture)).sheet_names().len(), 1 + SHEETS.len());
}

#[test]
fn several_sheets_keep_their_names() {
    let mut fixture = Fixture::new();
    let mut second = fixture.grids[0].clone();
    second.sheet = Some("Checks".to_owned());
    fixture.grids.push(second);
    let bytes = bytes(&fixture);
    let names = open(&bytes).sheet_names();
    assert_eq!(names[..2], ["Motors", "Checks"]);
    assert!(names.contains(&"Checks (2)".to_owned()));
}

#[test]
fn a_finding_leads_to_its_cell() {
    let bytes = bytes(&Fixture::new());
    let sheet = member(&bytes, "xl/worksheets/sheet11.xml");
    assert!(
        sheet.contains("location=\"'Motors'!D7\"") || sheet.contains("location=\"Motors!D7\""),
        "{}",
        &sheet[sheet.len().saturating_sub(1500)..]
    );
}

#[test]
fn columns_of_fixed_words_have_lists_and_the_others_none() {
    let sheet = member(&bytes(&Fixture::new()), "xl/worksheets/sheet1.xml");
    // The starting method stands in column G, its loads in rows 4 to 10; the description is free text.
    assert!(sheet.contains("sqref=\"G4:G10\"") && sheet.contains("star-delta,"), "{sheet}");
    assert_eq!(sheet.matches("<dataValidation ").count(), 1);
    assert!(sheet.contains("errorStyle=\"warning\""), "another spelling is not refused");
}

#[test]
fn hidden_sheets_and_widths_of_the_sender_stay() {
    let mut fixture = Fixture::new();
    let mut hidden = fixture.grids[0].clone();
    (hidden.sheet, hidden.hidden, hidden.header_row) = (Some("Old".to_owned()), true, None);
    fixture.grids[0].column_widths.insert(1, 33.0);
    fixture.grids.insert(0, hidden);
    fixture.rows = fixture.rows.iter().map(|(grid, row)| (grid + 1, *row)).collect();
    let bytes = bytes(&fixture);
    let book = member(&bytes, "xl/workbook.xml");
    assert!(book.contains("name=\"Old\" sheetId=\"1\" state=\"hidden\""), "{book}");
    assert!(book.contains("activeTab=\"1\""), "a hidden sheet is not the one that is seen first: {book}");
    let sheet = member(&bytes, "xl/worksheets/sheet2.xml");
    // 33 characters and the file format's five pixels of padding at seven a character.
    assert!(sheet.contains("min=\"2\" max=\"2\" width=\"33.7109375\""), "{sheet}");
}

#[test]
fn delimited_text_that_is_plainly_a_number_becomes_one_and_no_other() {
    let mut fixture = Fixture::new();
    fixture.grids[0].sheet = None;
    let words = ["75", "0.50", "1.500", "007", "400/690", "-0", "12345678901", "7.5e3"];
    for (row, words) in (4..).zip(words) {
        let rows = fixture.grids[0].rows.len().max(row + 1);
        fixture.grids[0].rows.cells_mut().resize(rows, Vec::new());
        fixture.grids[0].rows.cells_mut()[row].resize(8, Cell::default());
        fixture.grids[0].rows.cells_mut()[row][7] = Cell { content: Content::Text(words.into()), ..Cell::default() };
    }
    let bytes = bytes(&fixture);
    let mut book = open(&bytes);
    let found: Vec<Data> = (4..12).map(|row| at(&mut book, "Schedule", row, 7)).collect();
    let text = |words: &str| Data::String(words.to_owned());
    let rest = words[2..].iter().map(|words| text(words));
    assert_eq!(found, [Data::Float(75.0), Data::Float(0.5)].into_iter().chain(rest).collect::<Vec<_>>());
    assert!(
        member(&bytes, "xl/styles.xml").contains("formatCode=\"0.00\"")
            || member(&bytes, "xl/styles.xml").contains("numFmtId=\"2\""),
        "0.50 is shown as it was written"
    );
}

#[test]
fn sheets_by_which_our_workbook_is_known_are_written() {
    for name in crate::intake::own::FAMILIAR {
        assert!(SHEETS.contains(&name), "{name}");
        assert_eq!(at(&mut open(&bytes(&Fixture::new())), name, 0, 0), Data::String(name.to_owned()));
    }
}

#[test]
fn what_the_look_of_a_cell_means_is_kept() {
    let mut fixture = Fixture::new();
    let grid = &mut fixture.grids[0];
    // Below the head stands the title of a section.
    let head = grid.header_row.expect("a head") as usize + 1;
    let number = Cell { content: Content::Number(0.91), percent: true, ..Cell::default() };
    let struck = Cell { content: Content::Text("gone".into()), struck: Struck::Whole, ..Cell::default() };
    grid.rows.cells_mut()[head + 1][5] = number;
    grid.rows.cells_mut()[head + 1][6] = struck;
    let row = u32::try_from(head).expect("small");
    grid.hidden_rows.insert(row + 1);
    grid.hidden_columns.insert(3);
    // The second area overlaps the first, as in damaged files.
    grid.merged = vec![((row + 1, 2), (row + 2, 2)), ((row + 2, 1), (row + 2, 3))];
    let bytes = bytes(&fixture);
    let sheet = member(&bytes, "xl/worksheets/sheet1.xml");
    let styles = member(&bytes, "xl/styles.xml");
    assert!(styles.contains("0.0%") && styles.contains("<strike/>"), "{styles}");
    assert!(sheet.contains(&format!("<row r=\"{}\"", head + 2)));
    let row = sheet.split("<row ").find(|part| part.starts_with(&format!("r=\"{}\"", head + 2))).expect("the row");
    assert!(row.split('>').next().expect("its start").contains("hidden=\"1\""), "{row}");
    assert!(sheet.contains(&format!("<mergeCell ref=\"C{}:C{}\"/>", head + 2, head + 3)), "{sheet}");
    assert_eq!(sheet.matches("<mergeCell ").count(), 1);
    assert!(sheet.split("<col ").any(|part| part.starts_with("min=\"4\" max=\"4\"") && part.contains("hidden=\"1\"")));
}

/// Where the library can't write its temporary file it panics with the error of the system; any other panic is a defect, which must not
/// be told as a full disk.
#[test]
fn only_an_error_of_the_system_is_told_as_a_full_disk() {
    let full = || -> Result<(), ReportError> { panic!("{:?}", std::io::Error::from_raw_os_error(28)) };
    let told = super::kept_from_panic(full).expect_err("it is told");
    assert!(told.to_string().contains("temporary folder"), "{told}");
    let defect =
        std::panic::catch_unwind(|| super::kept_from_panic(|| -> Result<(), ReportError> { panic!("index out of bounds") }));
    assert!(defect.is_err());
}
