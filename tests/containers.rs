//! Files as containers: encodings and separators of text, the look of workbooks, and files that mean harm.

mod common;

use common::books::{archive, number, ods, ods_with, row, rows, text, xlsx, xlsx_named};
use common::{folder_with, root, run_in};
use motorwright::intake::{Cell, Content, Intake, IntakeError, IntakeErrorKind, ReadOptions, Row, Struck, read_bytes};
use motorwright::load::Field;
use rstest::rstest;

const HEAD: [&str; 4] = ["tag", "description", "rated_power_kw", "voltage_v"];

fn open(file: &str, bytes: &[u8]) -> Result<Intake, IntakeError> {
    read_bytes(file, bytes, &ReadOptions::default())
}

fn intake(file: &str, bytes: &[u8]) -> Intake {
    open(file, bytes).unwrap_or_else(|error| panic!("{error}"))
}

fn cell(intake: &Intake, row: usize, column: usize) -> Cell {
    intake.grids[0].rows.cell(row, column).unwrap_or_default().into_owned()
}

fn words(text: &str, struck: Struck) -> Cell {
    Cell { content: Content::Text(text.into()), struck, percent: false, ..Cell::default() }
}

fn has(intake: &Intake, code: &str) -> bool {
    intake.findings.iter().any(|finding| finding.code == code)
}

// Delimited text.

#[rstest]
#[case::semicolons("tag;rated_power_kw;voltage_v\nP-1;7,5;400\n", ';', ',')]
#[case::tabs("tag\trated_power_kw\tvoltage_v\nP-1\t7.5\t400\n", '\t', '.')]
#[case::bars("tag|rated_power_kw|voltage_v\nP-1|7.5|400\n", '|', '.')]
#[case::quoted_commas("tag,rated_power_kw,voltage_v\nP-1,\"7,5\",400\n", ',', ',')]
#[case::stated("sep=;\ntag;rated_power_kw;voltage_v\nP-1;7,5;400\n", ';', ',')]
#[case::returns("tag;rated_power_kw;voltage_v\rP-1;7,5;400\r", ';', ',')]
fn text_is_told_by_its_whole(#[case] text: &str, #[case] separator: char, #[case] decimal: char) {
    let read = intake("a.csv", text.as_bytes());
    assert_eq!((read.detected.separator, read.detected.decimal), (Some(separator), Some(decimal)));
    assert_eq!(read.grids[0].rows.len(), 2);
    assert_eq!(cell(&read, 1, 2).content, Content::Text("400".into()));
    assert_eq!(has(&read, "I302"), decimal == ',');
}

#[test]
fn rows_are_counted_as_a_spreadsheet_counts_them() {
    let read = intake(
        "a.csv",
        b"\r\ntag,\"description\n(new)\",rated_power_kw\r\n\nP-1,P-1,400\rP-2,3\" pump,\"say \"\"no\"\"\"\n,,\nP-3,x,400",
    );
    let tags: Vec<_> = read.grids[0].rows.iter().map(Row::len).collect();
    assert_eq!(tags, [0, 3, 0, 3, 3, 3, 3]);
    assert_eq!(cell(&read, 4, 1).content, Content::Text("3\" pump".into()));
    assert_eq!(cell(&read, 4, 2).content, Content::Text("say \"no\"".into()));
}

#[test]
fn a_quotation_mark_that_is_never_closed_names_its_line() {
    let read = intake("a.csv", b"sep=,\ntag,description,voltage_v\nP-1,\"a\nb\",400\n\nP-2,\"Pump,400\nP-3,Fan,400\n");
    let finding = read.findings.iter().find(|finding| finding.code == "I206").expect("it is said");
    assert!(finding.what.contains("line 6"), "{}", finding.what);
    assert!(!read.loads[0].rejected && read.loads[1].rejected);
    let error = open("a.csv", b"\"Motor list\ntag,voltage_v\nP-1,400\n").unwrap_err();
    assert!(error.message.contains("line 1"), "{error}");
}

#[test]
fn windows_1252_is_noted_and_its_gaps_are_refused() {
    let read = intake("a.csv", b"tag;description;voltage_v\nP-1;L\xFCfter;400\nP-2;L\x81fter;400\nP-\x9D;Pumpe;400\n");
    assert_eq!(read.detected.encoding, "windows-1252");
    assert!(has(&read, "I301"));
    let places: Vec<_> = read
        .findings
        .iter()
        .filter(|finding| finding.severity == motorwright::finding::Severity::Error)
        .map(|finding| {
            (finding.code.as_str(), finding.place.as_ref().map(motorwright::finding::Place::short).unwrap_or_default())
        })
        .collect();
    assert_eq!(places, [("I303", "a.csv, B3".to_owned()), ("I303", "a.csv, A4".to_owned())]);
    assert_eq!(read.loads.iter().map(|load| load.rejected).collect::<Vec<_>>(), [false, true, true]);
}

#[test]
fn encoding_and_separator_can_be_named() {
    let folder = folder_with("loads.csv", b"tag;a,rated_power_kw;voltage_v,starting_method\nP-1;\xB1,7;400,direct\n");
    let run = |more: &[&str]| run_in(folder.path(), &[&["check", "loads.csv", "--rules", "iec"], more].concat());
    let told = run(&[]);
    assert!(told.status == 2 && told.stderr.contains("--separator"), "{}", told.stderr);
    let wrong = run(&["--separator", "colon"]);
    assert!(wrong.status == 2 && wrong.stderr.contains("semicolon"), "{}", wrong.stderr);
    let wrong = run(&["--separator", "semicolon", "--encoding", "utf-77"]);
    assert!(wrong.status == 2 && wrong.stderr.contains("utf-77"), "{}", wrong.stderr);
    let mut options = ReadOptions::default();
    options.encoding = Some("iso-8859-2".to_owned());
    options.separator = Some(";".to_owned());
    let read = read_bytes("a.csv", b"tag;description;voltage_v\nP-1;\xB1;400\n", &options).expect("it reads");
    assert_eq!(cell(&read, 1, 1).content, Content::Text("ą".into()));
    assert_eq!(read.detected.encoding, "ISO-8859-2");
}

// Workbooks.

const STYLES: &str = r##"<numFmts count="1"><numFmt numFmtId="164" formatCode="d\-mmm;@"/></numFmts><fonts><font><b/></font><font><strike/></font><font><strike val="0"/></font></fonts><cellStyleXfs><xf fontId="1"/></cellStyleXfs><cellXfs><xf fontId="0"/><xf fontId="1"/><xf fontId="2"/><xf fontId="0" numFmtId="9"/><xf fontId="0" numFmtId="164"/></cellXfs>"##;

/// A cell of the third column below the headings.
fn xlsx_with(cell: &str, texts: &str) -> Vec<u8> {
    let head = rows(&[&HEAD]);
    xlsx(
        &format!(
            r#"<sheetData>{head}<row r="2"><c r="A2" t="inlineStr"><is><t>P-1</t></is></c>{cell}<c r="D2"><v>400</v></c></row></sheetData>"#
        ),
        STYLES,
        texts,
    )
}

const STRIKE: &str = "<rPr><strike/></rPr>";

#[rstest]
#[case::struck_first(&format!("<r>{STRIKE}<t>7.5</t></r><r><t>11</t></r>"), 0, "11", Struck::Part)]
#[case::plain_first(&format!("<r><t>11</t></r><r>{STRIKE}<t>7.5</t></r>"), 0, "11", Struck::Part)]
#[case::text_then_run(&format!("<t>11</t><r>{STRIKE}<t>7.5</t></r>"), 0, "11", Struck::Part)]
#[case::in_the_middle(&format!("<r><t xml:space=\"preserve\">11 </t></r><r>{STRIKE}<t>7.5</t></r><r><rPr><b/></rPr><t>kW</t></r>"), 0, "11 kW", Struck::Part)]
#[case::all_runs(&format!("<r>{STRIKE}<t>7</t></r><r>{STRIKE}<t>.5</t></r>"), 0, "7.5", Struck::Whole)]
#[case::struck_blank(&format!("<r><t>7.5</t></r><r>{STRIKE}<t xml:space=\"preserve\"> </t></r>"), 0, "7.5 ", Struck::No)]
#[case::switched_off("<r><rPr><strike val=\"0\"/></rPr><t>7.5</t></r><r><t>1</t></r>", 0, "7.51", Struck::No)]
#[case::font_of_the_cell("<t>7.5</t>", 1, "7.5", Struck::Whole)]
#[case::font_switched_off("<t>7.5</t>", 2, "7.5", Struck::No)]
#[case::run_out_of_a_struck_cell("<r><t>7.5</t></r><r><rPr><b/></rPr><t>11</t></r>", 1, "11", Struck::Part)]
#[case::spoken("<t>11</t><rPh sb=\"0\" eb=\"1\"><t>eleven</t></rPh>", 0, "11", Struck::No)]
fn struck_text_of_xlsx(#[case] runs: &str, #[case] style: u32, #[case] expected: &str, #[case] struck: Struck) {
    let inline = format!(r#"<c r="C2" s="{style}" t="inlineStr"><is>{runs}</is></c>"#);
    let shared = format!(r#"<c r="C2" s="{style}" t="s"><v>1</v></c>"#);
    for bytes in [xlsx_with(&inline, ""), xlsx_with(&shared, &format!("<si><t>other</t></si><si>{runs}</si>"))] {
        let found = cell(&intake("a.xlsx", &bytes), 1, 2);
        // Blanks at the end are kept by some readers and are of no account.
        let Content::Text(text) = &found.content else { panic!("{found:?}") };
        assert_eq!((text.trim_end(), found.struck), (expected.trim_end(), struck));
    }
}

#[test]
fn numbers_of_xlsx_keep_their_look() {
    let of = |text: &str| cell(&intake("a.xlsx", &xlsx_with(text, "")), 1, 2);
    assert_eq!(
        of(r#"<c r="C2" s="1"><v>7.5</v></c>"#),
        Cell { content: Content::Number(7.5), struck: Struck::Whole, percent: false, ..Cell::default() }
    );
    assert_eq!(
        of(r#"<c r="C2" s="3"><v>0.93</v></c>"#),
        Cell { content: Content::Number(0.93), struck: Struck::No, percent: true, ..Cell::default() }
    );
    assert_eq!(of(r#"<c r="C2" s="4"><v>46024</v></c>"#).content, Content::date(46_024.0, "2-Jan"));
    assert_eq!(of(r#"<c r="C2" t="e"><v>#REF!</v></c>"#).content, Content::Error("#REF!".into()));
    assert_eq!(of(r#"<c r="C2"><f>A1</f><v>7.5</v></c>"#).content, Content::Number(7.5));
    let none = intake("a.xlsx", &xlsx_with(r#"<c r="C2"><f>A1</f><v></v></c>"#, ""));
    assert!(has(&none, "I108") && none.loads[0].rejected);
}

#[test]
fn hidden_and_merged_parts_of_xlsx_are_told() {
    let head = rows(&[&HEAD]);
    let sheet = format!(
        r#"<cols><col min="2" max="3" hidden="1"/><col min="5" max="16384" width="0"/></cols><sheetData>{head}<row r="2" hidden="1"><c r="A2" t="inlineStr"><is><t>P-1</t></is></c><c r="D2"><v>400</v></c></row><row r="3"><c r="A3" t="inlineStr"><is><t>P-2</t></is></c><c r="D3"><v>690</v></c></row></sheetData><mergeCells><mergeCell ref="D2:D3"/><mergeCell ref="B1:B1"/></mergeCells>"#
    );
    let list = r#"<sheet name="Motors" sheetId="1" r:id="rId1"/><sheet name="Old" sheetId="2" state="veryHidden" r:id="rId1"/>"#;
    let read = intake("a.xlsx", &xlsx_named(list, "", &sheet, STYLES, ""));
    let grid = &read.grids[0];
    assert_eq!(grid.hidden_rows.iter().copied().collect::<Vec<_>>(), [1]);
    assert!([1, 2, 4].iter().all(|column| grid.hidden_columns.contains(column)) && !grid.hidden_columns.contains(&0));
    assert_eq!(grid.merged, [((1, 3), (2, 3))]);
    // Nobody sees the cells below a merged one.
    assert_eq!(cell(&read, 2, 3).content, Content::Empty);
    assert!(has(&read, "I410"), "the hidden sheet is told");
}

#[test]
fn fixture_with_struck_and_hidden_parts() {
    let bytes = std::fs::read(root().join("tests/intake/11-strikethrough-hidden.xlsx")).expect("the fixture");
    let Ok(read) = open("11.xlsx", &bytes) else { panic!("a plain heading row") };
    let grid = &read.grids[0];
    assert!(grid.rows.get(2).expect("a row").iter().all(|cell| cell.struck == Struck::Whole));
    assert_eq!(cell(&read, 3, 2), words("11", Struck::Part));
    assert_eq!(cell(&read, 7, 3), words("VSD", Struck::Part));
    assert_eq!((grid.hidden_rows.first(), grid.hidden_columns.first()), (Some(&4), Some(&4)));
    assert!(grid.rows.get(1).expect("a row").iter().all(|cell| cell.struck == Struck::No));
}

const ODS_STYLES: &str = r#"<style:style style:name="struck" style:family="text"><style:text-properties style:text-line-through-style="solid"/></style:style><style:style style:name="plain" style:family="text"><style:text-properties style:text-line-through-style="none"/></style:style><style:style style:name="out" style:family="table-cell"><style:text-properties style:text-line-through-type="single"/></style:style><style:style style:name="child" style:family="table-cell" style:parent-style-name="out"/><style:style style:name="gone" style:family="table"><style:table-properties table:display="false"/></style:style>"#;

fn ods_table(inner: &str) -> Vec<u8> {
    let head = row(&HEAD.map(text));
    ods(&format!(r#"<table:table table:name="Motors">{head}{inner}</table:table>"#), ODS_STYLES)
}

#[rstest]
#[case::struck_first(r#"<text:span text:style-name="struck">7.5</text:span>11"#, "", "11", Struck::Part)]
#[case::plain_first(r#"11<text:span text:style-name="struck">7.5</text:span>"#, "", "11", Struck::Part)]
#[case::nested(
    r#"<text:span text:style-name="struck">7.5<text:span text:style-name="plain">11</text:span></text:span>"#,
    "",
    "11",
    Struck::Part
)]
#[case::all(r#"<text:span text:style-name="struck">7.5</text:span>"#, "", "7.5", Struck::Whole)]
#[case::style_of_the_cell("7.5", "child", "7.5", Struck::Whole)]
#[case::remark(r#"<office:annotation><text:p>not this</text:p></office:annotation>7.5"#, "", "7.5", Struck::No)]
#[case::pieces("7.5<text:s text:c=\"2\"/>kW<text:line-break/>x &amp; y", "", "7.5  kW\nx & y", Struck::No)]
fn struck_text_of_ods(#[case] inner: &str, #[case] style: &str, #[case] expected: &str, #[case] struck: Struck) {
    let cell_of_text = format!(
        r#"<table:table-cell table:style-name="{style}" office:value-type="string"><text:p>{inner}</text:p></table:table-cell>"#
    );
    let bytes = ods_table(&row(&[text("P-1"), text("x"), cell_of_text, number(400.0)]));
    assert_eq!(cell(&intake("a.ods", &bytes), 1, 2), words(expected, struck));
}

#[test]
fn cells_of_ods_keep_what_they_are() {
    let of = |xml: &str| cell(&intake("a.ods", &ods_table(&row(&[text("P-1"), text("x"), xml.to_owned(), number(400.0)]))), 1, 2);
    let percent =
        r#"<table:table-cell office:value-type="percentage" office:value="0.93"><text:p>93 %</text:p></table:table-cell>"#;
    assert_eq!(of(percent), Cell { content: Content::Number(0.93), struck: Struck::No, percent: true, ..Cell::default() });
    let date =
        r#"<table:table-cell office:value-type="date" office:date-value="2026-01-02"><text:p>2-Jan</text:p></table:table-cell>"#;
    assert_eq!(of(date).content, Content::date(46_024.0, "2-Jan"));
    let error = r#"<table:table-cell table:formula="of:=x" office:value-type="string" calcext:value-type="error"><text:p>#REF!</text:p></table:table-cell>"#;
    assert_eq!(of(error).content, Content::Error("#REF!".into()));
    // A number format puts a sign before the value, which stands in the attribute (OpenDocument 1.2, part 1, 19.379). An error is
    // displayed only.
    let signed =
        r#"<table:table-cell office:value-type="string" office:string-value="crane"><text:p>▲ crane</text:p></table:table-cell>"#;
    assert_eq!(of(signed).content, Content::Text("crane".into()));
    let displayed = r##"<table:table-cell table:formula="of:=x" office:value-type="string" office:string-value="" calcext:value-type="error"><text:p>#N/A</text:p></table:table-cell>"##;
    assert_eq!(of(displayed).content, Content::Error("#N/A".into()));
    let struck = r#"<table:table-cell table:style-name="out" office:value-type="float" office:value="7.5"><text:p>7.5</text:p></table:table-cell>"#;
    assert_eq!(of(struck), Cell { content: Content::Number(7.5), struck: Struck::Whole, percent: false, ..Cell::default() });
    let none = intake(
        "a.ods",
        &ods_table(&row(&[text("P-1"), text("x"), r#"<table:table-cell table:formula="of:=1"/>"#.to_owned(), number(400.0)])),
    );
    assert!(has(&none, "I108"));
}

#[test]
fn hidden_merged_and_repeated_parts_of_ods_cost_nothing() {
    let start = std::time::Instant::now();
    let head = row(&HEAD.map(text));
    let board = r#"<table:table-cell table:number-rows-spanned="2" office:value-type="float" office:value="400"><text:p>400</text:p></table:table-cell>"#;
    let covered = r#"<table:covered-table-cell office:value-type="float" office:value="690"><text:p>690</text:p></table:covered-table-cell>"#;
    let blank = r#"<table:table-cell table:number-columns-repeated="4000000000"/>"#;
    let tables = format!(
        r#"<table:table table:name="Motors"><table:table-column table:number-columns-repeated="2"/><table:table-column table:visibility="collapse"/><table:table-column table:number-columns-repeated="4000000000" table:visibility="collapse"/>{head}{}{}<table:table-row table:number-rows-repeated="3" table:visibility="filter"><table:table-cell office:value-type="string"><text:p>P-3</text:p></table:table-cell>{blank}</table:table-row><table:table-row table:number-rows-repeated="4000000000">{blank}</table:table-row></table:table><table:table table:name="Old" table:style-name="gone">{head}</table:table><table:dde-links><table:table table:name="far"/></table:dde-links>"#,
        row(&[text("P-1"), text("x"), number(7.5), board.to_owned()]),
        row(&[text("P-2"), text("x"), number(7.5), covered.to_owned()]),
    );
    let read = intake("a.ods", &ods(&tables, ODS_STYLES));
    assert!(start.elapsed().as_secs() < 5);
    let grid = &read.grids[0];
    assert_eq!(grid.rows.len(), 6);
    assert_eq!(grid.merged, [((1, 3), (2, 3))]);
    assert_eq!(cell(&read, 2, 3).content, Content::Empty);
    assert_eq!(grid.hidden_rows.iter().copied().collect::<Vec<_>>(), [3, 4, 5]);
    assert_eq!(grid.hidden_columns.iter().copied().collect::<Vec<_>>(), [2, 3]);
    assert_eq!(read.grids.len(), 2);
    assert!(has(&read, "I410"));
}

#[test]
fn the_old_format_is_read_with_its_look() {
    let bytes = std::fs::read(root().join("tests/containers/old-format.xls")).expect("the fixture");
    let read = intake("old-format.xls", &bytes);
    assert_eq!(read.grids.len(), 2);
    assert_eq!(cell(&read, 1, 1).content, Content::Text("Pump, raw water – ½".into()));
    assert_eq!(cell(&read, 1, 4), Cell { content: Content::Number(0.93), struck: Struck::No, percent: true, ..Cell::default() });
    let row = read.grids[0].rows.get(2).expect("a row");
    assert!(row.len() >= 4 && row.iter().take(4).all(|cell| cell.struck == Struck::Whole));
    assert_eq!(cell(&read, 3, 2), words("11", Struck::Part));
    assert_eq!(cell(&read, 4, 2), words("11", Struck::Part));
    assert!(matches!(cell(&read, 5, 2).content, Content::Date(ref date) if date.serial == 46_024.0));
    assert_eq!(read.grids[0].merged, [((1, 5), (3, 5))]);
    assert!(read.grids[0].hidden_rows.contains(&4) && read.grids[0].hidden_columns.contains(&1));
    // Under another ending it is read as what it is, and that is said.
    assert!(has(&intake("old-format.xlsx", &bytes), "I304"));
}

// Files that mean harm, or are not what they seem.

#[rstest]
#[case::workbook_as_text("a.csv", xlsx(&format!("<sheetData>{}</sheetData>", rows(&[&HEAD])), STYLES, ""), IntakeErrorKind::Ending, "XLSX")]
#[case::document("a.xlsx", archive(&[("word/document.xml", b"<x/>")]), IntakeErrorKind::Ending, "text document")]
#[case::nested("a.xlsx", archive(&[("inner.zip", &archive(&[("xl/workbook.xml", b"<x/>")]))]), IntakeErrorKind::Ending, "unpack it")]
#[case::empty_archive("a.xlsx", archive(&[]), IntakeErrorKind::Ending, "archive")]
#[case::binary_workbook("a.xlsx", archive(&[("xl/workbook.bin", b"x")]), IntakeErrorKind::Ending, "xlsb")]
#[case::encrypted_ods("a.ods", archive(&[("content.xml", b"x"), ("META-INF/manifest.xml", b"<manifest:encryption-data/>")]), IntakeErrorKind::Protected, "password")]
#[case::no_contents("a.ods", ods("", "")[..200].to_vec(), IntakeErrorKind::Damaged, "save it anew")]
#[case::unknown("a.dat", b"tag,voltage_v\nP-1,400\n".to_vec(), IntakeErrorKind::Ending, ".xls")]
#[case::compressed("a.csv", b"\x1F\x8B\x08\0".to_vec(), IntakeErrorKind::Ending, "compressed")]
fn other_files_are_called_what_they_are(
    #[case] name: &str,
    #[case] bytes: Vec<u8>,
    #[case] kind: IntakeErrorKind,
    #[case] says: &str,
) {
    let error = open(name, &bytes).unwrap_err();
    assert!(error.kind == kind && error.message.contains(says), "{:?} {error}", error.kind);
    assert!(!error.message.contains('\n'), "one line: {error}");
}

#[test]
fn an_encrypted_workbook_says_so() {
    // A container whose stream has the name under which encrypted workbooks stand.
    let mut bytes = std::fs::read(root().join("tests/containers/old-format.xls")).expect("the fixture");
    let name: Vec<u8> = "Workbook\0".encode_utf16().flat_map(u16::to_le_bytes).collect();
    let at = bytes.windows(name.len()).position(|byte| byte == name).expect("its directory");
    let other: Vec<u8> = "EncryptedPackage\0".encode_utf16().flat_map(u16::to_le_bytes).collect();
    bytes[at..at + other.len()].copy_from_slice(&other);
    let error = open("a.xlsx", &bytes).unwrap_err();
    assert!(error.kind == IntakeErrorKind::Protected && error.message.contains("password"), "{error}");
}

#[test]
fn text_under_the_name_of_a_workbook_is_read_and_said() {
    for name in ["a.xls", "a.xlsx", "a.ods"] {
        let read = intake(name, b"tag\tdescription\tvoltage_v\nP-1\tpump, raw\t400\n");
        assert!(has(&read, "I304") && read.loads.len() == 1, "{name}");
    }
}

#[test]
fn entities_are_never_expanded() {
    let lol = (1..10).fold(r#"<!DOCTYPE x [<!ENTITY l0 "lol">"#.to_owned(), |text, level| {
        format!("{text}<!ENTITY l{level} \"{}\">", format!("&l{};", level - 1).repeat(10))
    }) + "<!ENTITY file SYSTEM \"file:///etc/passwd\">]>";
    let sheet = format!(
        r#"<sheetData>{}<row r="2"><c r="A2" t="s"><v>0</v></c><c r="B2" t="s"><v>1</v></c><c r="D2"><v>400</v></c></row></sheetData>"#,
        rows(&[&HEAD])
    );
    let list = r#"<sheet name="Motors" sheetId="1" r:id="rId1"/>"#;
    let book = xlsx_named(list, &lol, &sheet, STYLES, "<si><t>P-1 &l9;</t></si><si><t>&file;</t></si>");
    let open_document = ods_with(
        &lol,
        &format!(
            r#"<table:table table:name="a">{}{}</table:table>"#,
            row(&HEAD.map(text)),
            row(&[text("P-1 &l9;"), text("&file;"), number(7.5), number(400.0)])
        ),
        "",
    );
    for (name, bytes) in [("a.xlsx", book), ("a.ods", open_document)] {
        match open(name, &bytes) {
            Err(error) => assert_eq!(error.kind, IntakeErrorKind::Damaged, "{error}"),
            Ok(read) => {
                let all = format!("{:?}", read.grids);
                assert!(all.len() < 20_000 && !all.contains("lollol") && !all.contains("root:"), "{name}");
            }
        }
    }
}

#[test]
fn names_like_paths_and_links_do_no_harm() {
    let list = r#"<sheet name="../../../tmp/evil" sheetId="1" r:id="rId1"/>"#;
    let sheet = format!(
        r#"<sheetData>{}{}</sheetData><hyperlinks><hyperlink ref="A2" location="http://127.0.0.1/x"/></hyperlinks>"#,
        rows(&[&HEAD]),
        rows(&[&["P-1", "=cmd|x", "7.5", "400"]])
    );
    let bytes = xlsx_named(list, "", &sheet, STYLES, "");
    let folder = folder_with("loads.xlsx", &bytes);
    let run = run_in(folder.path(), &["check", "loads.xlsx", "--rules", "iec"]);
    assert!(run.status <= 1, "{}", run.stderr);
    let left: Vec<_> = std::fs::read_dir(folder.path()).expect("a folder").flatten().map(|entry| entry.file_name()).collect();
    assert_eq!(left, ["loads.xlsx"]);
}

#[test]
fn bombs_are_refused_before_they_go_off() {
    let start = std::time::Instant::now();
    let zeros = vec![b' '; 32 << 20];
    let names: Vec<String> = (0..20).map(|index| format!("xl/media/{index}")).collect();
    let mut parts: Vec<(&str, &[u8])> = vec![("xl/workbook.xml", b"<workbook/>")];
    parts.extend(names.iter().map(|name| (name.as_str(), zeros.as_slice())));
    let bytes = archive(&parts);
    assert!(bytes.len() < 4 << 20, "{}", bytes.len());
    let error = open("a.xlsx", &bytes).unwrap_err();
    assert!(error.kind == IntakeErrorKind::TooLarge && error.message.contains("MiB"), "{error}");
    let many = r#"<sst uniqueCount="4000000000" xmlns="x"><si><t>a</t></si></sst>"#;
    let error =
        open("a.xlsx", &archive(&[("xl/workbook.xml", b"<workbook/>"), ("xl/sharedStrings.xml", many.as_bytes())])).unwrap_err();
    assert_eq!(error.kind, IntakeErrorKind::Damaged, "{error}");
    let full = r#"<table:table table:name="a"><table:table-row table:number-rows-repeated="190000"><table:table-cell table:number-columns-repeated="1000" office:value-type="float" office:value="1"/></table:table-row></table:table>"#;
    assert_eq!(open("a.ods", &ods(full, "")).unwrap_err().kind, IntakeErrorKind::TooLarge);
    let merged = "<mergeCell ref=\"A1:XFD1048576\"/>".repeat(3_000);
    let tall = format!(
        r#"<sheetData>{}<row r="190000"><c r="A190000"><v>1</v></c></row></sheetData><mergeCells>{merged}</mergeCells>"#,
        rows(&[&HEAD])
    );
    assert_eq!(open("a.xlsx", &xlsx(&tall, STYLES, "")).unwrap_err().kind, IntakeErrorKind::TooLarge);
    let wide = format!(r#"<sheetData>{}<row r="2"><c r="AMK2"><v>1</v></c></row></sheetData>"#, rows(&[&HEAD]));
    let astray = open("a.xlsx", &xlsx(&wide, STYLES, "")).expect("one cell far away does not take the schedule with it");
    assert!(astray.findings.iter().any(|finding| finding.code == "I483"), "{:?}", astray.findings);
    // The rows of a schedule that goes on beyond the last one that is read are no cells far from everything else.
    for (last, refused) in [(200_000, true), (199_001, true), (198_999, false)] {
        let row = |number: u32| format!(r#"<row r="{number}"><c r="A{number}"><v>1</v></c></row>"#);
        let long = format!("<sheetData>{}{}{}</sheetData>", rows(&[&HEAD]), row(last), row(200_001));
        let read = open("a.xlsx", &xlsx(&long, STYLES, ""));
        assert_eq!(read.err().map(|error| error.kind), refused.then_some(IntakeErrorKind::TooLarge), "{last}");
    }
    assert!(start.elapsed().as_secs() < 60, "{:?}", start.elapsed());
}

#[test]
fn truncated_workbooks_end_in_one_line() {
    let old = std::fs::read(root().join("tests/containers/old-format.xls")).expect("the fixture");
    let new = xlsx_with(r#"<c r="C2"><v>7.5</v></c>"#, "");
    let open_document = ods_table(&row(&[text("P-1"), text("x"), number(7.5), number(400.0)]));
    for (name, bytes) in [("a.xls", old), ("a.xlsx", new), ("a.ods", open_document)] {
        let mut refused = 0;
        for length in (1..bytes.len()).step_by(97) {
            if let Err(error) = open(name, &bytes[..length]) {
                assert!(!error.message.contains('\n') && error.message.len() < 600, "{error}");
                refused += 1;
            }
        }
        assert!(refused > 0, "{name}: nothing is missed");
    }
}

/// Workbooks that a reviewer made with other programs; what a person sees in them was written down before they were read.
fn reviewed(name: &str) -> Intake {
    intake(name, &std::fs::read(root().join("tests/containers").join(name)).expect("the fixture"))
}

#[test]
fn figures_set_above_the_line_are_footnotes() {
    // .xls, sheet MCC-2: tag F-1, power `5` and a raised 1, current 7.6. .ods: `11` A and a raised 2 in the row of M2.
    let raised = reviewed("raised-figures.xls");
    let of = |tag: &str, intake: &Intake| intake.loads.iter().find(|load| load.tags().iter().any(|name| name == tag)).cloned();
    let fan = of("F-1", &raised).expect("the row is kept");
    assert!(fan.rejected && fan.number(Field::RatedPowerHp).is_none(), "51 hp are never read");
    let raised = reviewed("raised-figures.ods");
    let pump = of("M2", &raised).expect("the row is kept");
    assert!(pump.rejected && pump.number(Field::FullLoadCurrentA).is_none(), "112 A are never read");
}

#[test]
fn units_that_number_formats_show_are_read() {
    // Column `Motor (kW)`, C2 holds 10 and shows `10.0 HP`: 10 hp, which are 7.457 kW, and never 10 kW.
    for name in ["shown-units.xls", "shown-units.ods"] {
        let read = reviewed(name);
        let load = read.loads.first().expect("a row");
        assert_eq!((load.number(Field::RatedPowerKw), load.number(Field::RatedPowerHp)), (None, Some(10.0)), "{name}");
    }
}
