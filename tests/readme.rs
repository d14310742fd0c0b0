//! The outputs that the README shows, and the number of checks that it tells, are kept in step with the program and the files.
//! Run with MOTORWRIGHT_REWRITE=1 to write it anew, and read the difference.

mod common;

use std::collections::BTreeMap;
use std::fmt::Write;
use std::path::{Path, PathBuf};

use calamine::{Data, Reader, Xlsx, open_workbook};

const TAG: &str = "RWP-101";

/// The part of README.md between two comments of that name.
fn in_step(name: &str, text: &str) {
    let path = common::root().join("README.md");
    // Several tests write their parts of one file.
    let guard = std::fs::File::open(&path).expect("README.md is there");
    guard.lock().expect("it can be held");
    let readme = std::fs::read_to_string(&path).expect("README.md is there");
    let (begin, end) = (format!("<!-- {name} -->\n"), format!("<!-- end of {name} -->\n"));
    let (before, rest) = readme.split_once(&begin).expect("it begins");
    let (held, after) = rest.split_once(&end).expect("it ends");
    if std::env::var_os("MOTORWRIGHT_REWRITE").is_some() {
        std::fs::write(&path, format!("{before}{begin}{text}{end}{after}")).expect("it can be written");
        return;
    }
    assert!(held == text, "README.md is behind the program in \"{name}\": run with MOTORWRIGHT_REWRITE=1\n{text}");
}

/// Runs a command on the example of the water works.
fn run(command: &str, more: &[&str]) -> String {
    let (schedule, basis) = common::example();
    let (schedule, basis) = (schedule.display().to_string(), basis.display().to_string());
    let mut arguments = vec![command, schedule.as_str()];
    arguments.extend(more);
    arguments.extend(["--basis", basis.as_str()]);
    common::run_in(&common::root(), &arguments).stdout
}

fn fenced(kind: &str, text: &str) -> String {
    format!("```{kind}\n{}\n```\n\n", text.trim_end())
}

/// Lines up to the first empty one, and the first few of a part further down.
fn beginning(text: &str, part: &str, lines: usize) -> String {
    let head: Vec<&str> = text.lines().take_while(|line| !line.trim().is_empty()).collect();
    let more: Vec<&str> = text.lines().skip_while(|line| *line != part).take(lines + 1).collect();
    format!("{}\n\n{}\n  ...", head.join("\n"), more.join("\n"))
}

/// A row of the marked-up schedule, standing: what was sent, and some of what was added.
fn row_of_workbook(folder: &Path) -> String {
    let mut book: Xlsx<_> = open_workbook(folder.join("schedule.xlsx")).expect("a workbook");
    let name = book.sheet_names()[0].clone();
    let range = book.worksheet_range(&name).expect("a sheet");
    let rows: Vec<&[Data]> = range.rows().collect();
    let cells = rows.iter().find(|row| row.first().is_some_and(|cell| *cell == TAG)).expect("the row");
    let headings = rows.iter().find(|row| row.first().is_some_and(|cell| *cell == "tag")).expect("the headings");
    let wanted = [
        "tag",
        "description",
        "rated_power_kw",
        "starting_method",
        "Result State",
        "Starter Method",
        "Contactors A",
        "Protection Device",
        "Rating A",
        "Cable Size mm²",
        "Governed by",
        "Smallest margin %",
        "Closest to its limit",
    ];
    let mut text = "| column | cell |\n| --- | --- |\n".to_owned();
    for (heading, cell) in headings.iter().zip(cells.iter()) {
        let heading = heading.to_string().replace('\n', " ");
        if wanted.contains(&heading.as_str()) {
            writeln!(text, "| {heading} | {} |", cell.to_string().replace('\n', " ")).expect("a string takes it");
        }
    }
    assert!(
        text.lines().count() == wanted.len() + 2,
        "headings: {:?}",
        headings.iter().map(ToString::to_string).collect::<Vec<_>>()
    );
    text + "\n"
}

/// The heading of a list, and the lines in which a word stands.
fn lines_of(file: PathBuf, word: &str, most: usize) -> String {
    let text = std::fs::read_to_string(file).expect("a list");
    let head = text.lines().next().unwrap_or_default();
    let found: Vec<&str> = text.lines().skip(1).filter(|line| line.contains(word)).take(most).collect();
    format!("{head}\n{}", found.join("\n"))
}

#[test]
fn the_excerpts_are_those_of_the_program() {
    let folder = tempfile::tempdir().expect("a folder");
    let said = run("size", &["--out", &folder.path().display().to_string()]);
    let mut text = format!(
        "What the commands on the example say and write of one circuit, {TAG}. `size` first says what needs somebody, worst first, then:\n\n"
    );
    let counts = said.lines().next().expect("a line");
    let told = ["board ", "purchase list", "sized is not yet firm"];
    let boards: Vec<&str> = said.lines().filter(|line| told.iter().any(|begin| line.starts_with(begin))).collect();
    text += &fenced("text", &format!("{counts}\n...\n{}", boards.join("\n")));
    text += "`explain`, which holds what the data sheet of `submittal.html` shows:\n\n";
    let explained = run("explain", &[TAG]);
    text += &fenced("text", &format!("{}\n\n{}", beginning(&explained, "Checks", 6), beginning_of(&explained, "Working", 4)));
    text += "Its row in `schedule.xlsx`, some of its columns:\n\n";
    text += &row_of_workbook(folder.path());
    text += "`purchase-list.csv` and `labels.csv`:\n\n";
    text += &fenced("csv", &lines_of(folder.path().join("purchase-list.csv"), TAG, 3));
    text += &fenced("csv", &lines_of(folder.path().join("labels.csv"), TAG, 3));
    text += "`design.json`, one key of the circuit:\n\n";
    let design = common::design(folder.path());
    let circuit = design["circuits"].as_array().expect("circuits").iter().find(|value| value["tag"] == TAG).expect("the circuit");
    let protection = serde_json::to_string_pretty(&circuit["protection"]).expect("JSON");
    text += &fenced("json", &format!("\"protection\": {protection}"));
    in_step("excerpts", &text);
}

/// The first steps: a schedule, its basis, and what the program says, without the places of its warning.
#[test]
fn the_first_steps_are_those_of_the_program() {
    let root = common::root();
    let text = |name: &str| std::fs::read_to_string(root.join("example-schedules").join(name)).expect("an example");
    let whole = |name: &str| text(name).lines().filter(|line| !line.starts_with('#')).collect::<Vec<_>>().join("\n");
    in_step("first schedule", &fenced("csv", &whole("first-steps.csv")));
    in_step("first basis", &fenced("toml", &whole("first-steps.toml")));
    let folder = tempfile::tempdir().expect("a folder");
    let [schedule, basis] =
        ["first-steps.csv", "first-steps.toml"].map(|name| root.join("example-schedules").join(name).display().to_string());
    let out = folder.path().display().to_string();
    let run = common::run_in(&root, &["size", &schedule, "--basis", &basis, "--out", &out]);
    assert_eq!(run.status, 0, "{}", run.stdout);
    let said: Vec<&str> = run.stdout.lines().filter(|line| !line.starts_with("written to")).collect();
    let place = root.join("example-schedules").join("").display().to_string();
    in_step("first run", &fenced("text", &said.join("\n").replace(&place, "")));
}

fn beginning_of(text: &str, part: &str, lines: usize) -> String {
    let more: Vec<&str> = text.lines().skip_while(|line| *line != part).take(lines + 1).collect();
    format!("{}\n  ...", more.join("\n"))
}

/// Rows of a file of cases, and how many of each word in its column `check`.
fn cases(path: &str) -> (usize, BTreeMap<String, usize>) {
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_path(common::root().join(path)).expect("a file of cases");
    let check = reader.headers().expect("headings").iter().position(|header| header == "check");
    let mut words = BTreeMap::new();
    let mut count = 0;
    for record in reader.records() {
        let record = record.expect("a row");
        count += 1;
        if let Some(word) = check.and_then(|column| record.get(column)) {
            *words.entry(word.to_owned()).or_insert(0) += 1;
        }
    }
    (count, words)
}

fn files(folder: &str, ending: &str) -> usize {
    let entries = std::fs::read_dir(common::root().join(folder)).expect("a folder");
    entries.filter(|entry| entry.as_ref().expect("a file").file_name().to_string_lossy().ends_with(ending)).count()
}

/// Topics of worked examples whose clause functions no circuit asks for yet.
const IDLE_TOPICS: [&str; 15] = [
    "square-time",
    "multiplier-time",
    "recovery",
    "nine-terminal",
    "parallel-poles",
    "star-contactor-long",
    "combined",
    "group",
    "part-winding",
    "printed-drop",
    "star-time",
    "rotor-resistance",
    "heater-on-poles",
    "semiconductor",
    "drive-input",
];

/// Rows of a file of cases of these topics.
fn idle(path: &str) -> usize {
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_path(common::root().join(path)).expect("a file of cases");
    let Some(topic) = reader.headers().expect("headings").iter().position(|header| header == "topic") else { return 0 };
    reader.records().filter(|record| IDLE_TOPICS.contains(&&record.as_ref().expect("a row")[topic])).count()
}

#[test]
fn the_counts_of_checks_are_those_of_the_files() {
    let mut text = "| Checks | Cases | Held against |\n| --- | --- | --- |\n".to_owned();
    let mut printed = BTreeMap::new();
    let (mut of_examples, mut of_idle_clauses) = (0, 0);
    for name in ["conductors", "motor-fuses", "nec", "nec-conductors", "starters"] {
        let (count, words) = cases(&format!("tests/published/{name}.csv"));
        of_examples += count;
        of_idle_clauses += idle(&format!("tests/published/{name}.csv"));
        for (word, count) in words {
            *printed.entry(word).or_insert(0) += count;
        }
    }
    let words: Vec<String> = printed.iter().map(|(word, count)| format!("{count} {word}")).collect();
    let published = format!(
        "standards, handbooks, trade publications: {}; the rest is a printed table; {of_idle_clauses} hold clauses that no circuit asks for yet",
        words.join(", ")
    );
    let rows = [
        ("worked examples of currents, starters, conductors", of_examples, published.as_str()),
        ("control circuits", cases("tests/worked/control.csv").0, "worked examples, clauses"),
        ("fault currents", cases("tests/network/short-circuit.csv").0, "a general-purpose library for networks"),
        ("boards: sums and starting dips", cases("tests/network/board-loads.csv").0, "a general-purpose library for networks"),
        ("voltage drop", cases("tests/network/voltage-drop.csv").0, "a general-purpose library for networks"),
        ("voltage drop and ampacity of raceways", cases("tests/network/nec-conductors.csv").0, "phasors worked out apart"),
        ("run-ups of motors", cases("tests/network/start-times.csv").0, "independent integration"),
        ("heat of motors against trip classes", cases("tests/network/trip-classes.csv").0, "independent integration"),
        ("withstand of conductors", cases("tests/network/withstand.csv").0, "independent integration"),
        (
            "factor k of other materials, for clauses that no circuit asks for yet",
            cases("tests/network/factor-k.csv").0,
            "tables",
        ),
        ("schedules as they are sent", files("tests/intake", ".expected.json"), "expected readings written beforehand"),
        ("schedules of many kinds", files("tests/senders", ".case"), "expected readings written beforehand"),
        ("hazards, each with the test that guards it", cases("tests/hazards.csv").0, "what could hurt somebody"),
    ];
    for (what, count, against) in rows {
        assert!(count > 0, "{what}");
        writeln!(text, "| {what} | {count} | {against} |").expect("a string takes it");
    }
    in_step("counts", &(text + "\n"));
}
