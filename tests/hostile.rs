//! Words of a schedule and of its basis that mean harm: whatever column they stand in, they are text in the workbook, the lists and
//! the page, and never a formula, a link, a tag or an attribute.

use std::fmt::Write as _;
use std::io::{Cursor, Read};
use std::path::Path;

/// A formula, the same behind a separator of other countries and behind a line end, a link, markup, and an attribute that is ended.
const HOSTILE: &[&str] = &[
    "=cmd|' /C calc'!A0",
    "+HYPERLINK(\"http://harm.invalid\",\"x\")",
    "-2+3",
    "@SUM(1)",
    "pump;=cmd|' /C calc'!A0",
    "pump\n=cmd|' /C calc'!A0",
    "http://harm.invalid/a",
    "<script>harm()</script></title></style><img src=x onerror=harm()>",
    "\"><svg onload=harm()>]]>'{{ 1 + 1 }}{% if x %}",
];

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Columns that hold any text, from the document of columns.
fn text_columns() -> Vec<String> {
    let text = std::fs::read_to_string(root().join("docs/columns.md")).expect("the document of columns");
    let cells = text.lines().map(|line| line.split('|').map(str::trim).collect::<Vec<_>>());
    let found: Vec<String> = cells.filter(|cell| cell.get(2) == Some(&"text")).map(|cell| cell[1].to_owned()).collect();
    assert!(found.len() > 20, "{found:?}");
    found
}

/// Keys of a section of the basis that hold text, from the schema.
fn text_keys(section: &str) -> Vec<String> {
    let text = std::fs::read_to_string(root().join("schema/design.schema.json")).expect("the schema");
    let schema: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    let properties = schema["$defs"][section]["properties"].as_object().expect("properties");
    let of_text = |value: &serde_json::Value| {
        value["type"] == "string" || value["type"].as_array().is_some_and(|all| all.contains(&"string".into()))
    };
    let found: Vec<String> = properties.iter().filter(|(_, value)| of_text(value)).map(|(key, _)| key.clone()).collect();
    assert!(!found.is_empty(), "{section}");
    found
}

/// For each text a row with it in every column of text, and one that is sized with it as its tag and in the columns that only tell.
fn schedule() -> String {
    let quoted = |text: &str| format!("\"{}\"", text.replace('"', "\"\""));
    let (columns, tells) = (text_columns(), ["description", "board", "section", "notes", "interlock_note", "feedback_note"]);
    let mut text = format!(
        "tag,load_kind,rated_power_kw,voltage_v,phases,full_load_current_a,starting_method,cable_length_m,{}\n",
        columns.join(",")
    );
    for (at, words) in HOSTILE.iter().enumerate() {
        for (tag, all) in [(format!("{words} {at}"), false), (format!("P-{at}"), true)] {
            let cells: Vec<String> = columns
                .iter()
                .map(|name| if all || tells.contains(&name.as_str()) { quoted(words) } else { String::new() })
                .collect();
            let _ = writeln!(text, "{},motor,7.5,400,3,14.3,direct,40,{}", quoted(&tag), cells.join(","));
        }
    }
    text
}

fn basis(hostile: &str) -> String {
    let mut text = "[project]\n".to_owned();
    let value = serde_json::to_string(hostile).expect("a string");
    for key in text_keys("ProjectBasis") {
        let _ = writeln!(text, "{key} = {value}");
    }
    let _ = writeln!(text, "[rules]\nbook = \"iec\"\nlocal_code = {value}");
    text + "[supply]\nvoltage_v = 400\nprospective_fault_ka = 20\nprospective_fault_min_ka = 6\n"
}

/// Writes the outputs for one text in the basis and gives their folder.
fn outputs(hostile: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(folder.path().join("loads.csv"), schedule()).expect("a schedule");
    std::fs::write(folder.path().join("basis.toml"), basis(hostile)).expect("a basis");
    let mut run = assert_cmd::Command::cargo_bin("motorwright").expect("the program");
    let out = run
        .current_dir(folder.path())
        .args(["size", "loads.csv", "--basis", "basis.toml", "--out", "out"])
        .output()
        .expect("it runs");
    let said = String::from_utf8_lossy(&out.stderr).into_owned();
    assert!(folder.path().join("out/submittal.html").is_file(), "{said}");
    folder
}

/// Formulas of the workbook are the program's own; no text became a link to the outside.
fn workbook_is_text(path: &Path) {
    let bytes = std::fs::read(path).expect("a workbook");
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).expect("an archive");
    let mut texts = 0;
    for index in 0..archive.len() {
        let (mut file, mut part) = (archive.by_index(index).expect("a part"), String::new());
        if file.read_to_string(&mut part).is_err() {
            continue;
        }
        assert!(!part.contains("TargetMode=\"External\""), "part {index}: a link to the outside");
        for formula in part.split("<f>").skip(1).filter_map(|rest| rest.split("</f>").next()) {
            assert!(!["cmd", "harm", "HYPERLINK", "calc"].iter().any(|word| formula.contains(word)), "part {index}: {formula}");
        }
        texts += part.matches("calc'!A0").count() + part.matches("calc&apos;!A0").count();
    }
    assert!(texts > 0, "the text itself is shown");
}

/// No cell begins as a formula, whether a spreadsheet parts fields by commas, semicolons or tabs.
fn list_is_text(path: &Path) {
    let bytes = std::fs::read(path).expect("a list");
    for separator in [b',', b';', b'\t'] {
        let mut reader = csv::ReaderBuilder::new().has_headers(false).flexible(true).delimiter(separator).from_reader(&bytes[..]);
        for record in reader.records() {
            for cell in record.expect("a line").iter() {
                let number = cell.parse::<f64>().is_ok();
                assert!(number || !cell.starts_with(['=', '+', '-', '@', '\t', '\r']), "{}: {cell}", path.display());
            }
        }
    }
}

/// Elements that the page is made of.
const ELEMENTS: &[&str] = &[
    "!DOCTYPE", "html", "head", "meta", "title", "style", "body", "svg", "symbol", "defs", "rect", "path", "circle", "use", "g",
    "text", "desc", "header", "b", "span", "label", "input", "div", "nav", "ol", "ul", "li", "strong", "a", "main", "section",
    "p", "h1", "h2", "h3", "h4", "i", "table", "caption", "thead", "tbody", "tr", "th", "td", "small", "br", "dl", "dt", "dd",
    "figure", "script",
];

/// Nothing but the page's own elements, and none of them with an attribute that runs.
fn page_is_text(path: &Path) {
    let page = std::fs::read_to_string(path).expect("a page");
    for rest in page.split('<').skip(1) {
        let tag = rest.split('>').next().unwrap_or("");
        let name = tag.trim_start_matches('/').split([' ', '\n', '/']).next().unwrap_or("");
        // Our own script compares.
        assert!(ELEMENTS.contains(&name) || tag.starts_with([' ', '=']), "<{name}");
        let opened = tag.split('"').step_by(2).collect::<String>();
        assert!(!ELEMENTS.contains(&name) || !opened.contains(" on"), "<{tag}>");
    }
    assert_eq!(page.matches("<script").count(), 1, "only our own script");
    assert!(page.contains("&lt;script&gt;harm()"), "the text itself is shown");
}

#[test]
fn words_that_mean_harm_stay_words_in_every_output() {
    for text in HOSTILE {
        let folder = outputs(text);
        let out = folder.path().join("out");
        workbook_is_text(&out.join("schedule.xlsx"));
        list_is_text(&out.join("purchase-list.csv"));
        list_is_text(&out.join("labels.csv"));
        page_is_text(&out.join("submittal.html"));
        let json = std::fs::read_to_string(out.join("design.json")).expect("text");
        assert!(serde_json::from_str::<serde_json::Value>(&json).is_ok());
    }
}
