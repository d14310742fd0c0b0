//! Schedules as other people might write them, invented: each file in `tests/senders/` holds a schedule and, below it, what a
//! careful person reads in it, written down before the program was asked.
//!
//! A file is made of parts. `== text` is delimited text, `== sheet NAME` a sheet of a workbook, one row a line, cells parted by
//! ` | `: `#5.5` is a number, `%0.93` one that is shown in per cent, `@46024 d-mmm` a date with its format, `=A1 -> 5` a formula
//! with its stored result (`-> ` alone: none that counts), `~x~` struck-out text, `8^{2}` a raised 2, `¶` a line break. `!merge A3:A5`,
//! `!hide-row 4`, `!hide-column C` and `!hidden` say what a cell can't. `== rows` lists every load by its row: `rejected`,
//! `incomplete`, or its fields; a number, choice or yes/no that is not listed must not have been read. `== findings` lists all
//! errors and warnings with their cells; notes need not be listed. `== refused` is a part of the message that refuses the file.
//!
//! Workbooks are made as XLSX and, where they hold nothing that needs a look of its own, as ODS too: both must read the same.

mod common;

use std::collections::BTreeMap;
use std::path::PathBuf;

use motorwright::finding::Severity;
use motorwright::intake::{Intake, ReadOptions, read_bytes};
use motorwright::load::{Load, Value};
use rust_xlsxwriter::{Format, FormatScript, Formula, Workbook, Worksheet};

/// A part of a case: its title and its lines.
type Part<'a> = (&'a str, Vec<&'a str>);

fn parts(case: &str) -> Vec<Part<'_>> {
    let mut parts: Vec<Part<'_>> = Vec::new();
    for line in case.lines() {
        match (line.strip_prefix("== "), parts.last_mut()) {
            (Some(title), _) => parts.push((title.trim(), Vec::new())),
            (None, Some((_, lines))) => lines.push(line),
            (None, None) => assert!(line.is_empty() || line.starts_with('#'), "`{line}` stands before the first part"),
        }
    }
    parts
}

/// Row and column from zero of `C12`.
fn place(text: &str) -> (u32, u16) {
    let letters = text.bytes().take_while(u8::is_ascii_uppercase).count();
    let column = text[..letters].bytes().fold(0, |sum, letter| sum * 26 + u16::from(letter - b'A') + 1);
    (text[letters..].parse::<u32>().expect("a row") - 1, column - 1)
}

fn directive(sheet: &mut Worksheet, text: &str) {
    let (word, rest) = text.split_once(' ').unwrap_or((text, ""));
    match word {
        "merge" => {
            let (from, to) = rest.split_once(':').expect("two corners");
            let ((top, left), (bottom, right)) = (place(from), place(to));
            sheet.merge_range(top, left, bottom, right, "", &Format::new()).expect("it merges");
        }
        "hide-row" => drop(sheet.set_row_hidden(rest.parse::<u32>().expect("a row") - 1).expect("a row")),
        "hide-column" => drop(sheet.set_column_hidden(place(&format!("{rest}1")).1).expect("a column")),
        "hidden" => drop(sheet.set_hidden(true)),
        _ => panic!("`{text}` is no directive"),
    }
}

fn cell(sheet: &mut Worksheet, row: u32, column: u16, text: &str) {
    let number = |text: &str| text.trim().parse::<f64>().unwrap_or_else(|_| panic!("`{text}` is no number"));
    if let Some(rest) = text.strip_prefix('#') {
        sheet.write_number(row, column, number(rest)).expect("a cell");
    } else if let Some(rest) = text.strip_prefix('%') {
        sheet.write_number_with_format(row, column, number(rest), &Format::new().set_num_format("0.0%")).expect("a cell");
    } else if let Some(rest) = text.strip_prefix('@') {
        let (serial, format) = rest.split_once(' ').expect("a serial number and a format");
        sheet.write_number_with_format(row, column, number(serial), &Format::new().set_num_format(format)).expect("a cell");
    } else if let Some((formula, result)) = text.strip_prefix('=').and_then(|rest| rest.split_once("->")) {
        let formula = Formula::new(formula.trim());
        let formula = if result.trim().is_empty() { formula } else { formula.set_result(result.trim()) };
        sheet.write_formula(row, column, formula).expect("a cell");
    } else if let Some(rest) = text.strip_prefix('~').and_then(|rest| rest.strip_suffix('~')) {
        sheet.write_string_with_format(row, column, rest, &Format::new().set_font_strikethrough()).expect("a cell");
    } else if let Some((front, raised)) = text.strip_suffix('}').and_then(|text| text.split_once("^{")) {
        let raise = Format::new().set_font_script(FormatScript::Superscript);
        sheet.write_rich_string(row, column, &[(&Format::new(), front), (&raise, raised)]).expect("a cell");
    } else if !text.is_empty() {
        sheet.write_string(row, column, text.replace('¶', "\n")).expect("a cell");
    }
}

fn workbook(sheets: &[&Part<'_>]) -> Vec<u8> {
    let mut book = Workbook::new();
    for (title, lines) in sheets {
        let sheet = book.add_worksheet();
        sheet.set_name(title.trim_start_matches("sheet").trim()).expect("a name");
        let (directives, rows): (Vec<&str>, Vec<&str>) = lines.iter().partition(|line| line.starts_with('!'));
        directives.iter().for_each(|line| directive(sheet, &line[1..]));
        for (row, line) in rows.iter().enumerate() {
            for (column, text) in line.split('|').enumerate() {
                cell(sheet, u32::try_from(row).expect("a row"), u16::try_from(column).expect("a column"), text.trim());
            }
        }
    }
    book.save_to_buffer().expect("a workbook")
}

/// A cell of an ODS; none for what needs a style or has no plain counterpart there.
fn ods_cell(text: &str, spans: &str) -> Option<String> {
    let open = |kind: &str| format!("<table:table-cell{spans} office:value-type=\"{kind}\"");
    let escape = |text: &str| text.replace('&', "&amp;").replace('<', "&lt;").replace('¶', "</text:p><text:p>");
    if text.is_empty() {
        return Some(format!("<table:table-cell{spans}/>"));
    }
    if text.starts_with(['@', '~', '=']) || text.contains("^{") {
        return None;
    }
    let (kind, number) = match (text.strip_prefix('#'), text.strip_prefix('%')) {
        (Some(number), _) => ("float", number),
        (_, Some(number)) => ("percentage", number),
        _ => return Some(format!("{}><text:p>{}</text:p></table:table-cell>", open("string"), escape(text))),
    };
    Some(format!("{} office:value=\"{number}\"><text:p>{number}</text:p></table:table-cell>", open(kind)))
}

/// One sheet as a table of an ODS.
fn ods_table(title: &str, lines: &[&str]) -> Option<String> {
    let (directives, rows): (Vec<&str>, Vec<&str>) = lines.iter().partition(|line| line.starts_with('!'));
    let merged: Vec<((u32, u16), (u32, u16))> = directives
        .iter()
        .filter_map(|line| line.strip_prefix("!merge "))
        .map(|rest| rest.split_once(':').map(|(from, to)| (place(from), place(to))).expect("two corners"))
        .collect();
    let other = |line: &&str| !line.starts_with("!merge ") && !line.starts_with("!hide-row ");
    if directives.iter().any(other) {
        return None;
    }
    let hidden = |row: u32| directives.iter().any(|line| **line == *format!("!hide-row {}", row + 1));
    let mut table = format!("<table:table table:name=\"{}\">", title.trim_start_matches("sheet").trim());
    for (row, line) in (0..).zip(rows) {
        let collapse = if hidden(row) { " table:visibility=\"collapse\"" } else { "" };
        table.push_str(&format!("<table:table-row{collapse}>"));
        for (column, text) in (0..).zip(line.split('|')) {
            let spans = merged.iter().find(|(first, _)| *first == (row, column)).map(|((top, left), (bottom, right))| {
                let (columns, rows) = (right - left + 1, bottom - top + 1);
                format!(" table:number-columns-spanned=\"{columns}\" table:number-rows-spanned=\"{rows}\"")
            });
            table.push_str(&ods_cell(text.trim(), &spans.unwrap_or_default())?);
        }
        table.push_str("</table:table-row>");
    }
    table.push_str("</table:table>");
    Some(table)
}

/// The case as files: one of delimited text, or a workbook of one kind or two.
fn files(parts: &[Part<'_>]) -> Vec<(&'static str, Vec<u8>)> {
    let sheets: Vec<&Part<'_>> = parts.iter().filter(|(title, _)| title.starts_with("sheet ")).collect();
    if sheets.is_empty() {
        let (_, lines) = parts.iter().find(|(title, _)| *title == "text").expect("a schedule");
        return vec![("loads.csv", lines.join("\n").into_bytes())];
    }
    let tables: Option<String> = sheets.iter().map(|(title, lines)| ods_table(title, lines)).collect();
    let mut files = vec![("loads.xlsx", workbook(&sheets))];
    files.extend(tables.map(|tables| ("loads.ods", common::books::ods(&tables, ""))));
    files
}

/// Every field as text; texts of the sender apart, which are compared only where they are listed.
fn fields(load: &Load) -> BTreeMap<&'static str, (String, bool)> {
    let shown = |value: &Value| match value {
        Value::Text(text) => (text.to_string(), false),
        Value::Number(number) => (format!("{number}"), true),
        Value::YesNo(yes) => (if *yes { "yes" } else { "no" }.to_owned(), true),
        Value::Choice(choice) => ((*choice).to_owned(), true),
        Value::Tags(tags) => (tags.join(", "), true),
    };
    load.entries().map(|(spec, entry)| (spec.name, shown(&entry.value))).collect()
}

fn same(one: &str, other: &str) -> bool {
    match (one.parse::<f64>(), other.parse::<f64>()) {
        (Ok(one), Ok(other)) => (one - other).abs() <= 1e-6 * one.abs().max(other.abs()),
        _ => one == other,
    }
}

/// `4` in delimited text and on the first sheet, `Pumps!4` on the others.
fn row_of(load: &Load, first: Option<&str>) -> String {
    match load.source.sheet.as_deref().filter(|sheet| Some(*sheet) != first) {
        Some(sheet) => format!("{sheet}!{}", load.row + 1),
        None => format!("{}", load.row + 1),
    }
}

fn compare_rows(lines: &[&str], intake: &Intake, first: Option<&str>, wrong: &mut Vec<String>) {
    let mut wanted: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for line in lines.iter().filter(|line| !line.trim().is_empty()) {
        let (row, rest) = line.split_once(": ").unwrap_or_else(|| panic!("`{line}` is no row"));
        wanted.insert(row, rest.split("; ").map(str::trim).collect());
    }
    for load in &intake.loads {
        let row = row_of(load, first);
        let Some(expected) = wanted.remove(row.as_str()) else {
            wrong.push(format!("row {row} was read as a load: {:?}", fields(load)));
            continue;
        };
        let state = ["rejected", "incomplete"].map(|word| expected.contains(&word));
        if state[0] != load.rejected || (!load.rejected && state[1] != load.incomplete) {
            wrong.push(format!("row {row}: rejected {}, incomplete {}", load.rejected, load.incomplete));
        }
        if load.rejected {
            continue;
        }
        let mut fields = fields(load);
        for pair in expected.iter().filter_map(|pair| pair.split_once('=')) {
            let found = fields.remove(pair.0).map_or_else(|| "nothing".to_owned(), |(text, _)| text);
            if !same(&found, pair.1) {
                wrong.push(format!("row {row}: {} reads {found}, expected {}", pair.0, pair.1));
            }
        }
        for (name, (text, _)) in fields.into_iter().filter(|(_, (_, judged))| *judged) {
            wrong.push(format!("row {row}: {name} reads {text}, expected nothing"));
        }
    }
    for row in wanted.keys() {
        wrong.push(format!("row {row} was not read as a load"));
    }
}

fn compare_findings(lines: &[&str], intake: &Intake, first: Option<&str>, wrong: &mut Vec<String>) {
    let mut wanted: Vec<String> =
        lines.iter().map(|line| line.trim().to_owned()).filter(|line| !line.is_empty() && !line.starts_with('#')).collect();
    for finding in &intake.findings {
        let place = finding.place.clone().unwrap_or_default();
        let sheet =
            place.sheet.filter(|sheet| Some(sheet.as_str()) != first).map(|sheet| format!("{sheet}!")).unwrap_or_default();
        let row = place.row.map(|row| row.to_string()).unwrap_or_default();
        let written = format!("{} {sheet}{}{row}", finding.code, place.column.unwrap_or_default());
        match wanted.iter().position(|line| *line == written.trim()) {
            Some(at) => drop(wanted.remove(at)),
            None if finding.severity == Severity::Note => {}
            None => wrong.push(format!("{written}: {} ({})", finding.what, finding.cure.clone())),
        }
    }
    wrong.extend(wanted.iter().map(|line| format!("not found: {line}")));
}

#[rstest::rstest]
fn sender(#[files("tests/senders/*.case")] path: PathBuf) {
    let case = std::fs::read_to_string(&path).expect("it reads");
    let parts = parts(&case);
    let lines = |name: &str| parts.iter().find(|(title, _)| *title == name).map(|(_, lines)| lines.clone()).unwrap_or_default();
    let first = parts.iter().find_map(|(title, _)| title.strip_prefix("sheet ")).map(str::trim);
    let refused = lines("refused").join(" ").trim().to_owned();
    for (name, bytes) in files(&parts) {
        let mut wrong = Vec::new();
        match read_bytes(name, &bytes, &ReadOptions::default()) {
            Err(error) if !refused.is_empty() && error.message.contains(&refused) => {}
            Err(error) => wrong.push(error.message),
            Ok(_) if !refused.is_empty() => wrong.push(format!("it is read, and should be refused: {refused}")),
            Ok(intake) => {
                compare_rows(&lines("rows"), &intake, first, &mut wrong);
                compare_findings(&lines("findings"), &intake, first, &mut wrong);
            }
        }
        assert!(wrong.is_empty(), "{} as {name}\n{}", path.display(), wrong.join("\n"));
    }
}
