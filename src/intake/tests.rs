//! Tests of reading whole files: places, bad input, and no panic on any bytes.

use std::io::Write;

use proptest::prelude::*;
use rust_xlsxwriter::{ExcelDateTime, Format, Formula, Workbook};

use super::*;
use crate::finding::render;
use crate::load::{Field, Value};

mod parts;

const HEAD: &str = "tag,description,rated_power_kw,voltage_v,phases,starting_method,quantity\n";

fn csv(text: &str) -> Intake {
    read_csv_bytes("loads.csv", text.as_bytes(), &ReadOptions::default()).unwrap()
}

fn codes(intake: &Intake) -> Vec<&str> {
    intake.findings.iter().map(|finding| finding.code.as_str()).collect()
}

fn file(name: &str, bytes: &[u8]) -> Result<Intake, IntakeError> {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join(name);
    std::fs::write(&path, bytes).unwrap();
    read(&path, &ReadOptions::default())
}

#[test]
fn a_plain_schedule_is_read_with_its_places() {
    let intake = csv(&format!("\u{feff}{HEAD}P-1,\"Pump, raw water\",7.5,400,3,Direct,1\n\nP-2,Fan,11,400,3,star-delta,1\n"));
    assert!(intake.findings.is_empty(), "{:?}", intake.findings);
    assert_eq!(intake.loads.len(), 2);
    assert_eq!(intake.loads[0].text(Field::StartingMethod), Some("direct"));
    assert_eq!(intake.loads[0].text(Field::Description), Some("Pump, raw water"));
    assert_eq!(intake.loads[1].place_of(Field::RatedPowerKw).short(), "loads.csv, C4");
    assert_eq!(intake.loads[1].number(Field::RatedPowerKw), Some(11.0));
}

#[test]
fn a_way_without_a_load_is_told_with_its_row() {
    // A reader of the schedule misses it in the list of circuits: the row says why it is not there (common practice, no source).
    let intake = csv("Tag,Description,kW,V,Starter\nP-1,Pump,5.5,400,DOL\n,Spare,,,\nP-2,Pump,5.5,400,DOL\n,SPACE,,,\n");
    assert_eq!(intake.loads.len(), 2);
    let told: Vec<_> = intake.findings.iter().filter(|finding| finding.code == "I433").collect();
    assert_eq!(
        told.iter().map(|finding| finding.place.as_ref().and_then(|place| place.row)).collect::<Vec<_>>(),
        [Some(3), Some(5)]
    );
    assert!(told[0].what.contains("`Spare`") && told[1].what.contains("`SPACE`"));
    assert!(intake.skipped.iter().filter(|skipped| skipped.reason == SkipReason::Vacant).count() == 2);
}

#[test]
fn sha256_is_that_of_the_bytes() {
    // FIPS 180-4 example of "abc" can't be a schedule, so the digest function itself is held against the crate's own vectors;
    // here: equal bytes, equal digest, of 64 digits.
    let text = format!("{HEAD}P-1,,1,400,3,direct,1\n");
    assert_eq!(csv(&text).sha256, csv(&text).sha256);
    assert_eq!(csv(&text).sha256.len(), 64);
    assert_ne!(csv(&text).sha256, csv(&format!("{text} ")).sha256);
}

#[test]
fn a_wrong_cell_rejects_its_row_and_no_other() {
    let intake = csv(&format!("{HEAD}P-1,Pump,7.5,40O,3,direct,1\nP-2,Fan,11,400,3,direct,1\n"));
    assert_eq!(codes(&intake), ["I101"]);
    assert!(intake.loads[0].rejected && !intake.loads[1].rejected);
    let text = render(&intake.findings[0], excerpt(&intake, &intake.findings[0]).as_ref());
    let expected = "error[I101]: voltage_v reads `40O`, which is not a number
 --> loads.csv, D2
  |  tag  description  rated_power_kw  voltage_v  phases  starting_method
2 |  P-1  Pump         7.5             40O        3       direct
  |                                    ^^^
  = help: write 400: the last character is the letter O";
    assert_eq!(text, expected);
}

#[rstest::rstest]
#[case::negative_power("P-1,,-5,400,3,direct,1", "I102")]
#[case::unknown_method("P-1,,5,400,3,hydraulic,1", "I105")]
#[case::huge("P-1,,1e308,400,3,direct,1", "I102")]
#[case::no_tag(",Pump,5,400,3,direct,1", "I112")]
#[case::tag_to_be_confirmed("TBC,Pump,5,400,3,direct,1", "I118")]
#[case::too_many_cells("P-1,Pump, raw,5,400,3,direct,1", "I204")]
#[case::open_quote("P-1,\"Pump,5,400,3,direct,1\nP-2,Pump,5,400,3,direct,1\n", "I206")]
#[case::swallowed_rows("P-1,\"Pump,5,400,3,direct,1\nP-2,Pump,5,400,3,direct,1\nP-3,6\",5,400,3,direct,1\n", "I206")]
fn bad_rows(#[case] row: &str, #[case] code: &str) {
    let intake = csv(&format!("{HEAD}{row}"));
    assert!(codes(&intake).contains(&code), "{:?}", intake.findings);
    assert!(intake.loads[0].rejected);
}

#[test]
fn a_cell_of_ten_thousand_characters_is_refused_and_not_repeated() {
    let intake = csv(&format!("tag,board,voltage_v\nP-1,{},400\n", "é".repeat(10_000)));
    assert_eq!(codes(&intake), ["I111"]);
    let text = render(&intake.findings[0], excerpt(&intake, &intake.findings[0]).as_ref());
    assert!(text.chars().count() < 800, "{text}");
}

#[test]
fn a_long_remark_is_no_reason_to_refuse_its_row() {
    let intake = csv(&format!("{HEAD}P-1,{},5,400,3,direct,1\n", "é".repeat(10_000)));
    assert_eq!(codes(&intake), ["I432"]);
    assert!(!intake.loads[0].rejected && !intake.loads[0].incomplete);
    let kept = intake.loads[0].text(Field::Description).unwrap();
    assert!(kept.starts_with("éé") && kept.ends_with("é…") && kept.chars().count() == 2_001);
    // The text as it was sent stays whole.
    assert_eq!(text::of(&intake.grids[0].rows.cell(1, 1).unwrap().content).chars().count(), 10_000);
}

#[test]
fn tags_expand_and_stand_once() {
    let intake = csv(&format!("{HEAD}P-101A/B,,5,400,3,direct,3\nP-101b,,5,400,3,direct,1\n"));
    assert_eq!(codes(&intake), ["L101", "I113"]);
    assert_eq!(intake.loads[0].tags(), ["P-101A", "P-101B"]);
    assert!(!intake.loads[0].rejected && intake.loads[1].rejected);
    assert!(intake.findings[1].what.contains("loads.csv, A2"), "{}", intake.findings[1].what);
}

#[test]
fn a_tag_that_may_be_several_is_asked_about() {
    let intake = csv("tag,voltage_v\nP-101/ABC,400\nPump & fan,400\nA/C-1,400\n");
    assert_eq!(codes(&intake), ["I115", "I115"]);
}

/// A row that repeats the one above, or stands alone, is looked up: searched for row by row this takes minutes.
#[test]
fn long_columns_of_ditto_marks_and_of_lone_tags_are_read_in_seconds() {
    let marks: String = (1..20_000).map(|row| format!("P-{row},Pump,5.5,\"\"\"\",do.,M-1\n")).collect();
    let lone: String = (20_000..40_000).map(|row| format!("P-{row},,,,,\n")).collect();
    let intake = csv(&format!("Tag,Description,kW,V,Starter,MCC\nP-0,Pump,5.5,400,DOL,M-1\n{marks}{lone}"));
    assert_eq!(intake.loads.len(), 40_000);
    let marked = &intake.loads[1..20_000];
    let repeats = |load: &Load| load.number(Field::VoltageV) == Some(400.0) && load.text(Field::StartingMethod) == Some("direct");
    assert!(marked.iter().all(repeats));
    assert_eq!(codes(&intake).iter().filter(|code| **code == "I407").count(), 2 * marked.len());
}

/// A mark repeats the next value above it, over rows that repeat it too, and not one that came after.
#[test]
fn a_ditto_mark_repeats_the_value_above_it() {
    let intake = csv(
        "Tag,kW,V,Starter\nP-1,4,400,DOL\nP-2,do.,400,DOL\nP-3,5.5,do.,DOL\nP-4,do.,do.,DOL\nP-5,do.,690,do.\nP-6,7.5,do.,do.\n",
    );
    let of = |field| intake.loads.iter().map(|load| load.number(field).unwrap_or_default()).collect::<Vec<_>>();
    assert_eq!(of(Field::RatedPowerKw), [4.0, 4.0, 5.5, 5.5, 5.5, 7.5]);
    assert_eq!(of(Field::VoltageV), [400.0, 400.0, 400.0, 400.0, 690.0, 690.0]);
}

/// `max 50` is no 40 °C: what counts instead must be told, with the cell.
#[rstest::rstest]
#[case::at_most("max 50")]
#[case::range("20-50")]
#[case::about("ca. 45")]
#[case::below("<55")]
fn a_figure_that_is_not_one_value_is_told_and_its_row_goes_on(#[case] ambient: &str) {
    let intake = csv(&format!("Tag,Description,kW,V,Starter,Ambient (°C)\nP-1,Pump,5.5,400,DOL,{ambient}\n"));
    assert_eq!(codes(&intake), ["I434"]);
    assert_eq!(intake.findings[0].place.as_ref().map(|place| place.short()), Some("loads.csv, F2".to_owned()));
    let load = &intake.loads[0];
    assert!(!load.rejected && !load.incomplete && load.number(Field::AmbientC).is_none());
    // A value that sizing needs stops its row as before.
    let power = csv("Tag,Description,kW,V,Starter\nP-1,Pump,~ 5.5,400,DOL\n");
    assert!(codes(&power) == ["I418"] && power.loads[0].incomplete);
}

#[test]
fn a_yes_means_standby_only_below_a_heading_that_asks_for_it() {
    let of = |heading: &str, word: &str| {
        let intake = csv(&format!("Tag,Description,kW,V,Starter,{heading}\nP-1,Pump,5.5,400,DOL,{word}\n"));
        let refused = codes(&intake).contains(&"I105");
        (intake.loads[0].text(Field::Running).map(str::to_owned), refused)
    };
    let said = |word: &str| (Some(word.to_owned()), false);
    assert_eq!((of("Standby", "Y"), of("Standby (Y/N)", "no")), (said("standby"), said("duty")));
    // Whether a motor that runs stands by nobody can tell from this.
    assert_eq!((of("Running", "Y"), of("Duty/Standby", "Y")), ((None, true), (None, true)));
    assert_eq!((of("running", "yes"), of("Running", "standby")), ((None, true), said("standby")));
}

#[test]
fn a_supply_column_fills_what_is_absent_and_never_contradicts() {
    let text = "tag,supply,voltage_v\nP-1,460/3/60,\nP-2,400V/3ph/50Hz,400\nP-3,400/3/50,230\nP-4,lots,\nP-5,400/7/50,\n";
    let intake = csv(text);
    assert_eq!(intake.loads[0].number(Field::VoltageV), Some(460.0));
    assert_eq!(intake.loads[0].number(Field::FrequencyHz), Some(60.0));
    assert_eq!(intake.loads[0].place_of(Field::Phases).short(), "loads.csv, B2");
    assert!(!intake.loads[1].rejected);
    assert_eq!(codes(&intake), ["I117", "I116", "I102"]);
}

#[test]
fn headings_unknown_and_doubled_are_said_once() {
    let intake = csv("tag,voltage_v,Voltage V,colour\nP-1,400,400,red\nP-2,400,230,blue\n");
    assert_eq!(codes(&intake), ["I202", "I201", "I203"]);
    assert!(!intake.loads[0].rejected && intake.loads[1].rejected);
}

#[test]
fn placeholders_are_noted_once_for_a_column() {
    let intake = csv(&format!("{HEAD}P-1,-,-,400,3,direct,n/a\nP-2,-,-,400,3,direct,\n"));
    assert_eq!(codes(&intake), ["I205", "I205"]);
    assert!(intake.loads[0].entry(Field::RatedPowerKw).is_none() && !intake.loads[0].rejected);
}

#[rstest::rstest]
#[case::empty("a.csv", b"", IntakeErrorKind::Empty)]
#[case::only_a_mark("a.csv", b"\xEF\xBB\xBF \n", IntakeErrorKind::Empty)]
#[case::empty_workbook("a.xlsx", b"", IntakeErrorKind::Empty)]
#[case::no_header("a.csv", b"one,two\n1,2\n", IntakeErrorKind::NoHeader)]
#[case::tag_alone("a.csv", b"tag\nP-1\n", IntakeErrorKind::NoHeader)]
#[case::broken_utf8("a.csv", b"\xEF\xBB\xBFtag,voltage_v\nL\xFCfter,400\n", IntakeErrorKind::Encoding)]
#[case::zeros("a.csv", b"\0\0\0\0tag,voltage_v\0\0\0\n", IntakeErrorKind::Encoding)]
#[case::ending("a.pdf", b"%PDF", IntakeErrorKind::Ending)]
#[case::a_page("a.xls", b"<HTML><table>", IntakeErrorKind::Ending)]
#[case::no_workbook("a.xlsx", b"PK\x03\x04tag,voltage_v\n", IntakeErrorKind::Damaged)]
#[case::old_and_cut_off("a.xls", b"\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1", IntakeErrorKind::Damaged)]
fn refused_files(#[case] name: &str, #[case] bytes: &[u8], #[case] kind: IntakeErrorKind) {
    let error = file(name, bytes).unwrap_err();
    assert_eq!(error.kind, kind, "{error}");
    assert!(error.message.contains(name), "{error}");
}

#[test]
fn missing_files_and_folders_are_refused() {
    let folder = tempfile::tempdir().unwrap();
    let options = ReadOptions::default();
    assert_eq!(read(&folder.path().join("none.csv"), &options).unwrap_err().kind, IntakeErrorKind::Missing);
    assert_eq!(read(folder.path(), &options).unwrap_err().kind, IntakeErrorKind::NotAFile);
}

#[test]
fn semicolons_are_read() {
    let intake = csv("tag;voltage_v;phases\nP-1;400;3\n");
    assert_eq!(intake.detected.separator, Some(';'));
    assert_eq!(intake.loads[0].number(Field::VoltageV), Some(400.0));
}

/// Fixtures taken apart: what is told of them, and one cell by its place.
#[rstest::rstest]
#[case::plain("03-german-cp1252-semicolon.csv", "windows-1252", false, Some(';'), ',')]
#[case::french("04-french-utf16le-tab.csv", "utf-16le", true, Some('\t'), ',')]
#[case::stated("06-quoted-newlines-sep-line.csv", "utf-8", false, Some(','), '.')]
#[case::struck("11-strikethrough-hidden.xlsx", "", false, None, '.')]
#[case::types("12-cell-types-formulas-dates.xlsx", "", false, None, '.')]
#[case::merged("13-merged-vertical-ditto.xlsx", "", false, None, '.')]
#[case::repeats("14-ods-repeats-percent.ods", "", false, None, '.')]
#[case::spanish("15-spanish-ods-cv.ods", "", false, None, ',')]
#[case::inline("17-nec-stacked-mechanical-schedules.xlsx", "", false, None, '.')]
fn fixtures_are_taken_apart(
    #[case] file: &str,
    #[case] encoding: &'static str,
    #[case] byte_order_mark: bool,
    #[case] separator: Option<char>,
    #[case] decimal: char,
) {
    let opened = opened(file);
    assert_eq!(opened.detected, Detected { encoding, byte_order_mark, separator, decimal: Some(decimal) });
    let codes: Vec<_> = opened.findings.iter().map(|finding| finding.code.as_str()).collect();
    let mut expected = Vec::new();
    expected.extend((encoding == "windows-1252").then_some("I301"));
    expected.extend((decimal == ',').then_some("I302"));
    assert_eq!(codes, expected);
}

fn opened(file: &str) -> super::open::Opened {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/intake").join(file);
    let bytes = std::fs::read(path).unwrap();
    match super::kind::of(file, &bytes).unwrap() {
        super::kind::Kind::Text => super::delimited::read(file, &bytes, &ReadOptions::default()).unwrap(),
        super::kind::Kind::Workbook(format) => super::workbook::read(file, &bytes, format).unwrap(),
    }
}

#[test]
fn cells_of_fixtures_stand_where_a_spreadsheet_shows_them() {
    let at = |file: &str, row: usize, column: usize| opened(file).sheets[0].grid.rows.cell(row - 1, column).unwrap().into_owned();
    let text = |text: &str| Content::Text(text.into());
    // Row 5 although its line is the 16th: the file's own expectation.
    assert_eq!(at("06-quoted-newlines-sep-line.csv", 5, 0).content, text("V-13\n"));
    assert_eq!(
        at("14-ods-repeats-percent.ods", 2, 4),
        Cell { content: Content::Number(0.877), percent: true, ..Cell::default() }
    );
    assert_eq!(at("14-ods-repeats-percent.ods", 7, 2).content, Content::date(46_054.0, "01/02"));
    assert_eq!(at("14-ods-repeats-percent.ods", 8, 3).content, Content::Number(400.0));
    assert!(matches!(at("12-cell-types-formulas-dates.xlsx", 4, 2).content, Content::Date(..)));
    assert!(matches!(at("12-cell-types-formulas-dates.xlsx", 8, 2).content, Content::Error(_)));
    assert!(opened("12-cell-types-formulas-dates.xlsx").sheets[0].uncomputed.contains(&(6, 2)));
    assert!(!opened("13-merged-vertical-ditto.xlsx").sheets[0].grid.merged.is_empty());
}

/// A workbook whose table begins at C5, with a date, an error-prone formula and a basis sheet.
fn workbook() -> Vec<u8> {
    let mut book = Workbook::new();
    let sheet = book.add_worksheet().set_name("Motors").unwrap();
    sheet.write_string(0, 0, "An invented works").unwrap();
    for (column, heading) in (2u16..).zip(["tag", "rated_power_kw", "voltage_v", "isolator", "given_overload_range_a"]) {
        sheet.write_string(4, column, heading).unwrap();
    }
    sheet.write_string(5, 2, "P-1").unwrap();
    sheet.write_number(5, 3, 7.5).unwrap();
    sheet.write_number(5, 4, 400).unwrap();
    sheet.write_boolean(5, 5, true).unwrap();
    sheet.write_string(6, 2, "P-2").unwrap();
    sheet.write_formula(6, 3, Formula::new("=2*3")).unwrap();
    sheet.write_number(6, 4, 400).unwrap();
    let date = Format::new().set_num_format("yyyy-mm-dd");
    sheet.write_with_format(6, 6, ExcelDateTime::from_ymd(2026, 9, 13).unwrap(), &date).unwrap();
    let basis = book.add_worksheet().set_name("Basis").unwrap();
    for (row, (key, value)) in
        (0u32..).zip([("[rules]", ""), ("book", "iec"), ("supply.voltage_v", "400"), ("[[board]]", ""), ("name", "MCC-1")])
    {
        basis.write_string(row, 0, key).unwrap();
        basis.write_string(row, 1, value).unwrap();
    }
    book.save_to_buffer().unwrap()
}

#[test]
fn a_table_that_begins_at_c5_keeps_its_places() {
    let intake = file("loads.xlsx", &workbook()).unwrap();
    assert_eq!(intake.loads.len(), 2);
    assert_eq!(intake.grids[0].header_row, Some(4));
    assert_eq!(intake.loads[0].place_of(Field::VoltageV).short(), "loads.xlsx, Motors!E6");
    assert_eq!(intake.loads[0].entry(Field::Isolator).map(|entry| &entry.value), Some(&Value::YesNo(true)));
    assert_eq!(intake.grids[0].rows.cell(5, 3).unwrap().content, Content::Number(7.5));
    assert!(!intake.loads[0].rejected && intake.loads[1].rejected);
    let mut found = codes(&intake);
    found.sort_unstable();
    assert_eq!(found, ["I102", "I106", "I109"]);
    let pairs: Vec<(&str, &str)> = intake.basis_pairs.iter().map(|(key, value)| (key.as_str(), value.as_str())).collect();
    assert_eq!(pairs, [("rules.book", "iec"), ("supply.voltage_v", "400"), ("board.1.name", "MCC-1")]);
}

fn open_document(content: &str) -> Vec<u8> {
    let mut archive = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    let options = zip::write::SimpleFileOptions::default();
    let parts = [
        ("mimetype", "application/vnd.oasis.opendocument.spreadsheet"),
        (
            "META-INF/manifest.xml",
            r#"<?xml version="1.0"?><manifest:manifest xmlns:manifest="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0"/>"#,
        ),
        ("content.xml", content),
    ];
    for (name, text) in parts {
        archive.start_file(name, options).unwrap();
        archive.write_all(text.as_bytes()).unwrap();
    }
    archive.finish().unwrap().into_inner()
}

fn small_open_document() -> Vec<u8> {
    let text = |text: &str| format!(r#"<table:table-cell office:value-type="string"><text:p>{text}</text:p></table:table-cell>"#);
    let number = |number: &str| {
        format!(
            r#"<table:table-cell office:value-type="float" office:value="{number}"><text:p>{number}</text:p></table:table-cell>"#
        )
    };
    let blank = r#"<table:table-cell table:number-columns-repeated="2"/>"#;
    open_document(&format!(
        r#"<?xml version="1.0"?><office:document-content xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0" xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0" xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0"><office:body><office:spreadsheet><table:table table:name="Motors"><table:table-row table:number-rows-repeated="4">{blank}</table:table-row><table:table-row>{blank}{}{}</table:table-row><table:table-row>{blank}{}{}</table:table-row></table:table></office:spreadsheet></office:body></office:document-content>"#,
        text("tag"),
        text("voltage_v"),
        text("P-1"),
        number("400"),
    ))
}

#[test]
fn an_open_document_that_begins_at_c5_keeps_its_places() {
    let intake = file("loads.ods", &small_open_document()).unwrap();
    assert_eq!(intake.loads.len(), 1);
    assert_eq!(intake.loads[0].number(Field::VoltageV), Some(400.0));
    assert_eq!(intake.loads[0].place_of(Field::VoltageV).short(), "loads.ods, Motors!D6");
}

#[test]
fn far_cells_and_bombs_are_refused() {
    let with_far_cells = |count: u32, text: &str| {
        let mut book = Workbook::new();
        let sheet = book.add_worksheet();
        for (column, words) in (0..).zip(["tag", "rated_power_kw", "starting_method"]) {
            sheet.write_string(0, column, words).unwrap();
        }
        for (column, words) in (0..).zip(["P-1", "5.5", "direct"]) {
            sheet.write_string(1, column, words).unwrap();
        }
        for row in 0..count {
            sheet.write_string(900_000 + row, 16_000, text).unwrap();
        }
        file("a.xlsx", &book.save_to_buffer().unwrap())
    };
    assert_eq!(with_far_cells(50, "far").unwrap_err().kind, IntakeErrorKind::TooLarge);
    // One or a few are told, a text of blanks is no cell.
    for (count, text, told) in [(1, "far", 1), (3, "far", 3), (50, " ", 0)] {
        let intake = with_far_cells(count, text).unwrap();
        let astray = intake.findings.iter().filter(|finding| finding.code == "I483").count();
        assert_eq!((intake.loads.len(), astray), (1, told), "{text}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn any_bytes_as_csv_give_a_result(mut bytes in proptest::collection::vec(any::<u8>(), 0..300), headed in any::<bool>()) {
        if headed {
            bytes = [HEAD.as_bytes(), &bytes].concat();
        }
        let _ = read_csv_bytes("a.csv", &bytes, &ReadOptions::default());
    }

    #[test]
    fn any_table_gives_findings_and_excerpts(body in "([-0-9a-zA-Zé.,/\"\u{202e} ]{0,30},?\n?){0,8}") {
        if let Ok(intake) = read_csv_bytes("a.csv", format!("{HEAD}{body}").as_bytes(), &ReadOptions::default()) {
            for finding in &intake.findings {
                let _ = render(finding, excerpt(&intake, finding).as_ref());
            }
        }
    }

    #[test]
    fn damaged_workbooks_give_a_result(at in proptest::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..8), ods in any::<bool>()) {
        let (mut bytes, format) = if ods {
            (small_open_document(), super::workbook::Format::Ods)
        } else {
            (workbook(), super::workbook::Format::Xlsx)
        };
        for (index, byte) in at {
            let index = index.index(bytes.len());
            bytes[index] = byte;
        }
        let _ = read_bytes(&format!("a.{}", format.ending()), &bytes, &ReadOptions::default());
        if let Ok(opened) = super::workbook::read("a", &bytes, format) {
            let _ = super::rows::read(opened.sheets, "a", opened.detected, &ReadOptions::default());
        }
    }
}

#[test]
fn a_method_that_reverses_contradicts_a_no_on_either_side() {
    // One motor can't both reverse and not reverse: the row is refused, whichever column stands first.
    let head = "tag,rated_power_kw,voltage_v,phases";
    for (columns, cells) in [("starting_method,reversing", "DOL reversing,no"), ("reversing,starting_method", "no,DOL reversing")]
    {
        let read = csv(&format!("{head},{columns}\nP-1,5.5,400,3,{cells}\n"));
        assert_eq!(codes(&read), ["I203"], "{columns}");
        assert!(read.loads[0].rejected);
    }
    let agreed = csv(&format!("{head},starting_method,reversing\nP-1,5.5,400,3,DOL reversing,yes\n"));
    assert!(agreed.findings.is_empty() && agreed.loads[0].yes(Field::Reversing) == Some(true));
}

#[test]
fn two_columns_of_one_choice_that_differ_are_never_overwritten() {
    let differ = |columns: &str, cells: &str| {
        codes(&csv(&format!("Tag,Description,kW,Voltage,Starter,{columns}\nP-1,Pump,5.5,400,DOL,{cells}\n"))).contains(&"I203")
    };
    assert!(differ("Efficiency,Efficiency class", "IE3,IE4") && differ("Efficiency class,Efficiency", "IE4,IE3"));
    assert!(differ("Duty,Running", "standby,duty") && differ("Running,Duty", "duty,standby"));
    assert!(!differ("Efficiency,Efficiency class", "IE3,IE3"));
}

#[test]
fn tags_of_one_cell_are_told_apart_as_those_of_rows_are() {
    let read = csv(&format!("{HEAD}\"P-1, p-1\",Pump,7.5,400,3,direct,\n"));
    assert_eq!(codes(&read), ["I113"]);
}

#[test]
fn partners_of_an_interlock_are_named_as_in_their_own_rows() {
    let read = csv(
        "tag,rated_power_kw,voltage_v,phases,starting_method,interlock_with\nP-3,5.5,400,3,direct,p-4\nP-4,5.5,400,3,direct,\n",
    );
    assert_eq!(read.loads[0].text(Field::InterlockWith), Some("P-4"));
}

#[test]
fn cures_name_the_unit_of_the_column() {
    // 36.6 m written into a column of feet would be 11 m.
    let read = csv("Tag,Description,HP,Voltage,Starter,LENGTH (FT)\nP-1,Pump,5,460,FVNR,120 yards\n");
    let cure = &read.findings.iter().find(|finding| finding.code == "I101").unwrap().cure;
    assert!(cure.contains("ft") && !cure.contains("in m"), "{cure}");
}

/// A schedule that lists its boards with what they carry among its motors: the sum is asked about, whatever column its board stands in.
#[test]
fn a_row_that_bears_the_name_of_the_board_of_others_is_asked_about() {
    let read = csv(
        "Tag,Description,kW,Volts,FLC (A),Starter,Fed from\nMCC-1,Motor control centre,44,400,82,Feeder,MDB-1\nP-1,Pump,22,400,41,DOL,MCC-1\nP-2,Pump,22,400,41,DOL,mcc-1\n",
    );
    let asked: Vec<_> = read.findings.iter().filter(|finding| finding.code == "I452").collect();
    assert_eq!(asked.len(), 1, "{:?}", read.findings);
    assert_eq!(asked[0].place.as_ref().and_then(|place| place.row), Some(2));
    assert!(!codes(&csv(&format!("{HEAD}P-1,Pump,7.5,400,3,direct,\n"))).contains(&"I452"));
    // A panel that stands in its own column of boards is the board of no other row.
    let intake = csv("Tag,Description,kW,Volts,Starter,Fed from\nP-1,Pump,22,400,DOL,P-1\nP-2,Pump,22,400,DOL,MCC-1\n");
    assert!(!codes(&intake).contains(&"I452"), "{:?}", intake.findings);
}
