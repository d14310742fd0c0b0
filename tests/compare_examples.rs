//! Revisions of the example schedules through `compare`, as somebody who issued them reads them: what a warmer room eats, which labels are
//! to be made anew, cells that can't be read, tags that moved along, what is told first, and lengths in the units of the book.

mod common;

use std::collections::{BTreeMap, BTreeSet};

use common::{Run, root, run_in};
use serde_json::Value;

type Table = Vec<Vec<String>>;

/// An example in a folder of its own, with the schedule as cells.
struct Example {
    folder: tempfile::TempDir,
    cells: Table,
}

impl Example {
    fn new(name: &str) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let from = |ending: &str| root().join("example-schedules").join(format!("{name}.{ending}"));
        std::fs::copy(from("toml"), folder.path().join("basis.toml")).expect("the basis");
        let mut reader = csv::ReaderBuilder::new().has_headers(false).from_path(from("csv")).expect("the schedule");
        let cells: Table = reader.records().map(|row| row.expect("a row").iter().map(str::to_owned).collect()).collect();
        let example = Self { folder, cells };
        example.write("old.csv", &example.cells);
        example
    }

    fn write(&self, name: &str, cells: &Table) {
        let mut writer = csv::Writer::from_path(self.folder.path().join(name)).expect("a file");
        cells.iter().for_each(|row| writer.write_record(row).expect("it is written"));
        writer.flush().expect("it is written");
    }

    fn column(&self, heading: &str) -> usize {
        self.cells[0].iter().position(|cell| cell == heading).expect("the column")
    }

    /// Writes the schedule as new.csv with cells replaced: tag, heading, text.
    fn edit(&self, edits: &[(&str, &str, &str)]) {
        let mut cells = self.cells.clone();
        for (tag, heading, text) in edits {
            let row = cells.iter_mut().find(|row| row[0] == *tag).expect("the row");
            row[self.column(heading)] = (*text).to_owned();
        }
        self.write("new.csv", &cells);
    }

    fn run(&self, args: &[&str]) -> Run {
        let run = run_in(self.folder.path(), args);
        assert!(run.status < 2, "{}", run.stderr);
        run
    }

    /// The summary and changes.json.
    fn compared(&self, more: &[&str]) -> (String, Value) {
        self.compared_by("basis.toml", more)
    }

    /// The same by another basis on the later side.
    fn compared_by(&self, basis: &str, more: &[&str]) -> (String, Value) {
        let args = ["compare", "old.csv", "new.csv", "--old-basis", "basis.toml", "--out", "changes"];
        let run = self.run(&[&args[..], &["--basis", basis], more].concat());
        (run.stdout, serde_json::from_str(&self.text("changes/changes.json")).expect("JSON"))
    }

    fn text(&self, name: &str) -> String {
        std::fs::read_to_string(self.folder.path().join(name)).expect("it is written")
    }

    /// All texts of a sheet of changes.xlsx.
    fn sheet(&self, name: &str) -> Vec<String> {
        let mut book: calamine::Xlsx<_> =
            calamine::open_workbook(self.folder.path().join("changes/changes.xlsx")).expect("a workbook");
        let range = calamine::Reader::worksheet_range(&mut book, name).expect("the sheet");
        range.rows().flatten().map(ToString::to_string).collect()
    }
}

fn tags(list: &Value) -> Vec<&str> {
    list.as_array().expect("a list").iter().map(|value| value["tag"].as_str().expect("a tag")).collect()
}

/// 4 AWG, THWN-2: 95 A at 90 °C (NFPA 70, Table 310.16), six in a raceway 80 % (Table 310.15(C)(1)), 40 °C 0.91 (Table 310.15(B)(1)):
/// 76 A, then 69.16 A. 75 hp at 460 V are 96 A (Table 430.250), 72 % of which flow in the leads of a wye-delta starter (430.22(C)):
/// 69.12 A.
#[test]
fn a_warmer_room_tells_of_which_circuits_little_is_left() {
    let hospital = Example::new("hospital-hvac");
    let basis = hospital.text("basis.toml");
    let warm = basis.replace("\nambient_c = 30", "\nambient_c = 40");
    assert_ne!(basis, warm);
    std::fs::write(hospital.folder.path().join("warm.toml"), warm).expect("a file");
    hospital.edit(&[]);
    let (text, changes) = hospital.compared_by("warm.toml", &[]);
    let of = |tag: &str| changes["margins"].as_array().expect("a list").iter().find(|value| value["tag"] == tag).cloned();
    for tag in ["CHWP-1", "CHWP-2"] {
        let value = of(tag).expect("it is told");
        assert_eq!(
            (value["check"].as_str(), &value["because"]),
            (Some("current-carrying-capacity"), &serde_json::json!(["basis design.ambient_c"]))
        );
        for (key, wanted) in [
            ("value", 96.0 * 0.72),
            ("limit", 95.0 * 0.8 * 0.91),
            ("old_margin_pct", (1.0 - 69.12 / 76.0) * 100.0),
            ("new_margin_pct", (1.0 - 69.12 / 69.16) * 100.0),
        ] {
            assert!((value[key].as_f64().expect("a number") - wanted).abs() < 0.01, "{key}: {value}");
        }
    }
    assert!(
        text.contains(
            "  CHWP-1, CHWP-2: ampacity, wye-delta leads: 9.1 % → 0.1 % (69.12 A of 69.16 A), because of basis design.ambient_c\n"
        ),
        "{text}"
    );
    assert!(text.contains(" of them with little margin left"), "{text}");
    // A vacuum pump of 7.6 A on 12 AWG (30 A at 90 °C) keeps two thirds; a circuit without a drive any more is told by that.
    assert!(of("VP-1").is_none() && of("AHU-6-SF").is_none());
    assert!(!tags(&changes["changed"]).contains(&"CHWP-1"), "nothing of it is chosen otherwise");
    assert!(hospital.text("changes/changes.html").contains("<td>69.12 A of 69.16 A</td>"));
    assert!(hospital.sheet("Little margin left").contains(&"69.12 A of 69.16 A".to_owned()));
}

#[test]
fn a_column_that_eats_a_margin_is_named() {
    let hospital = Example::new("hospital-hvac");
    hospital.edit(&[("CHWP-1", "ambient_c", "40"), ("VP-1", "ambient_c", "40"), ("CHWP-2", "description", "Standby pump")]);
    let (_, changes) = hospital.compared(&[]);
    assert_eq!(tags(&changes["margins"]), ["CHWP-1"]);
    assert_eq!(changes["margins"][0]["because"], serde_json::json!(["ambient_c"]));
}

/// Held against the lists of labels of both revisions, line by line.
#[test]
fn labels_whose_text_differs_are_to_be_made_anew() {
    let hospital = Example::new("hospital-hvac");
    hospital.edit(&[
        ("EF-7", "description", "Laboratory exhaust fan, level 3"),
        ("EF-8", "board", "DP-H2"),
        ("HWP-1", "full_load_current_a", "19"),
        ("AC-1", "notes", "no label bears this"),
        ("CWP-1", "cable_length_ft", "126"),
    ]);
    let (text, changes) = hospital.compared(&[]);
    let printed = |schedule: &str| -> BTreeSet<Vec<String>> {
        hospital.run(&["size", schedule, "--basis", "basis.toml", "--out", schedule.trim_end_matches(".csv")]);
        let list = hospital.text(&format!("{}/labels.csv", schedule.trim_end_matches(".csv")));
        let mut reader = csv::Reader::from_reader(list.as_bytes());
        // kind, tag, line_1, line_2, rating, fed_from, cable, end
        reader.records().map(|row| row.expect("a label").iter().take(8).map(str::to_owned).collect()).collect()
    };
    let (old, new) = (printed("old.csv"), printed("new.csv"));
    let mut wanted: BTreeMap<(String, String), u64> = BTreeMap::new();
    for label in new.difference(&old) {
        *wanted.entry((label[0].clone(), label[2].clone())).or_default() += 1;
    }
    let told: BTreeMap<(String, String), u64> = changes["labels"]
        .as_array()
        .expect("a list")
        .iter()
        .map(|value| {
            let text = |key: &str| value[key].as_str().expect("a text").to_owned();
            ((text("kind"), text("label")), value["quantity"].as_u64().expect("a count"))
        })
        .collect();
    assert_eq!(told, wanted);
    // Motor and switch have a nameplate each, and the cable to the switch and that from it, two to a motor, have tags of their own.
    assert_eq!(tags(&changes["labels"]), ["EF-7", "EF-8", "EF-8", "EF-8", "HWP-1"]);
    for line in [
        "  EF-7: nameplates EF-7, 2: Laboratory exhaust fan; Disconnect: Laboratory exhaust fan → Laboratory exhaust fan, level 3; ",
        "  EF-8: nameplates EF-8, 2: fed from MCC-H1 → fed from DP-H2\n",
        "  EF-8: cable tags W-EF-8-1.1, 2: MCC-H1 to EF-8 disconnect → DP-H2 to EF-8 disconnect\n",
    ] {
        assert!(text.contains(line), "{text}");
    }
    assert!(hospital.text("changes/changes.html").contains("cable tags W-EF-8-1.1, 2"));
    assert!(hospital.sheet("Labels anew").contains(&"nameplates HWP-1, 2".to_owned()));
}

#[test]
fn a_cell_that_cant_be_read_shows_what_stands_in_it() {
    let hospital = Example::new("hospital-hvac");
    hospital.edit(&[
        ("AHU-1-SF1", "cable_length_ft", "TBC"),
        ("EF-7", "full_load_current_a", "by vendor"),
        ("EF-8", "starts_per_hour", "-"),
    ]);
    let (text, changes) = hospital.compared(&[]);
    for line in ["  cable_length_ft: 160 → TBC\n  because of cable_length_ft\n", "  full_load_current_a: 9.6 → by vendor\n"] {
        assert!(text.contains(line), "{text}");
    }
    assert_eq!(tags(&changes["changed"]), ["AHU-1-SF1", "EF-7"], "a dash is no value");
    let because = |row: &Value| -> BTreeSet<String> {
        row["consequences"].as_array().expect("a list").iter().map(|value| value["because"].to_string()).collect()
    };
    assert_eq!(because(&changes["changed"][1]), BTreeSet::from(["[\"full_load_current_a\"]".to_owned()]));
    assert!(hospital.text("changes/changes.html").contains("<td>160</td><td>TBC</td>"));
    assert!(hospital.sheet("Rows").contains(&"160 → TBC".to_owned()));
    // The design of such a schedule keeps the text, and a text that stays is no change.
    hospital.run(&["size", "new.csv", "--basis", "basis.toml", "--out", "sized"]);
    let same = hospital.run(&["compare", "sized/design.json", "new.csv", "--basis", "basis.toml"]);
    assert_eq!(same.status, 0, "{}", same.stdout);
    let back = hospital.run(&["compare", "sized/design.json", "old.csv", "--basis", "basis.toml"]);
    assert!(back.stdout.contains("  cable_length_ft: TBC → 160\n"), "{}", back.stdout);
}

/// A pump is put in before the raw water pumps, whose tags move along by one.
fn renumbered(works: &Example) -> Table {
    let mut cells = works.cells.clone();
    let mut new = cells[1].clone();
    assert_eq!(new[0], "RWP-101");
    for (heading, text) in [("description", "Raw water pump, new"), ("rated_power_kw", "90"), ("full_load_current_a", "155")] {
        new[works.column(heading)] = text.to_owned();
    }
    for (row, tag) in [(1, "RWP-102"), (2, "RWP-103"), (3, "RWP-104")] {
        tag.clone_into(&mut cells[row][0]);
    }
    cells.insert(1, new);
    cells
}

const OPTIONS: [&str; 6] = ["--same", "RWP-101=RWP-102", "--same", "RWP-102=RWP-103", "--same", "RWP-103=RWP-104"];

#[test]
fn tags_that_moved_along_are_said_with_the_options_that_pair_them_so() {
    let works = Example::new("water-works");
    works.write("new.csv", &renumbered(&works));
    let (text, changes) = works.compared(&[]);
    assert_eq!(changes["renumbered"][0]["options"], OPTIONS.join(" "));
    assert!(
        text.lines()
            .nth(3)
            .is_some_and(|line| line.starts_with("note: RWP-101 to RWP-103 look renumbered to RWP-102 to RWP-104")),
        "{text}"
    );
    assert!(works.text("changes/changes.html").contains(&OPTIONS.join(" ")));
    assert!(works.sheet("Remarks").iter().any(|sheet| sheet.contains(&OPTIONS.join(" "))));
    // Rows stay paired by tag until somebody says so.
    assert_eq!(tags(&changes["added"]), ["RWP-104"]);
    let (_, changes) = works.compared(&OPTIONS);
    assert_eq!((tags(&changes["added"]), tags(&changes["renamed"])), (vec!["RWP-101"], vec!["RWP-102", "RWP-103", "RWP-104"]));
    assert_eq!((&changes["renumbered"], &changes["changed"]), (&Value::Array(Vec::new()), &Value::Array(Vec::new())));
    // The other way round one was taken out.
    let run = works.run(&["compare", "new.csv", "old.csv", "--basis", "basis.toml"]);
    assert!(run.stdout.contains("--same RWP-102=RWP-101 --same RWP-103=RWP-102 --same RWP-104=RWP-103\n"), "{}", run.stdout);
    // As a revision its marks would lie on the wrong rows.
    works.run(&["size", "old.csv", "--basis", "basis.toml", "--out", "a"]);
    let second = works.text("basis.toml").replace("revision = \"A\"", "revision = \"B\"");
    std::fs::write(works.folder.path().join("b.toml"), second).expect("a file");
    let args = ["size", "new.csv", "--basis", "b.toml", "--previous", "a/design.json", "--out", "b"];
    let codes = |more: &[&str]| -> Vec<String> {
        works.run(&[&args[..], more].concat());
        let design: Value = serde_json::from_str(&works.text("b/design.json")).expect("JSON");
        let findings = design["findings"].as_array().expect("a list");
        findings
            .iter()
            .map(|value| value["code"].as_str().expect("a code").to_owned())
            .filter(|code| code.starts_with('X'))
            .collect()
    };
    assert_eq!(codes(&[]), ["X108"]);
    assert!(codes(&OPTIONS).is_empty());
}

#[test]
fn a_row_that_was_changed_besides_still_belongs_to_the_run() {
    let works = Example::new("water-works");
    let mut cells = renumbered(&works);
    cells[3][works.column("cable_length_m")] = "99".to_owned();
    works.write("new.csv", &cells);
    let (_, changes) = works.compared(&[]);
    assert_eq!(changes["renumbered"][0]["options"], OPTIONS.join(" "));
    assert_eq!(changes["renumbered"][0]["columns_renumbered"], 1);
}

/// Edits that happen to look like a neighbour, and rows that were only changed.
#[test]
fn rows_that_were_only_changed_do_not_look_renumbered() {
    let works = Example::new("water-works");
    for edits in [
        // Duty and standby change places.
        &[("RWP-101", "running", "standby"), ("RWP-102", "running", "duty")][..],
        // One pump gets the starter of its neighbour.
        &[("RWP-102", "starting_method", "soft-starter"), ("RWP-102", "bypass", "yes"), ("RWP-102", "start_current_limit", "4")],
        &[("HLP-301", "cable_length_m", "86"), ("HLP-302", "cable_length_m", "90")],
    ] {
        works.edit(edits);
        let (text, changes) = works.compared(&[]);
        assert_eq!(changes["renumbered"], Value::Array(Vec::new()), "{text}");
    }
}

#[test]
fn devices_and_conductors_are_told_first_and_whole() {
    let hospital = Example::new("hospital-hvac");
    hospital.edit(&[("CHWP-1", "starting_method", "soft-starter")]);
    let (text, changes) = hospital.compared(&[]);
    let at = |start: &str| text.find(&format!("\n    {start}")).unwrap_or_else(|| panic!("{start}: {text}"));
    let order = [
        "state: ",
        "solid-state reduced-voltage starter: (nothing) → ",
        "contactor line: frame ",
        "contactor wye: frame ",
        "contactor delta: frame ",
        "contactor transition: frame ",
        "short-circuit protection",
        "overload protection, solid-state reduced-voltage starter: (nothing) → ",
        "conductors: phase conductors ",
        "currents",
        "mechanical interlock at ",
    ];
    let places: Vec<usize> = order.iter().map(|order| at(order)).collect();
    assert!(places.is_sorted(), "{text}");
    assert!(at("timer at ") > at("currents"));
    assert!(text.contains(" checks that came or went passed\n"), "{text}");
    // Every one of them still stands in changes.json, in the same order.
    let paths: Vec<&str> = changes["changed"][0]["consequences"]
        .as_array()
        .expect("a list")
        .iter()
        .map(|value| value["path"].as_str().expect("a path"))
        .collect();
    let first = |group: &str| paths.iter().position(|path| path.starts_with(group)).expect("it is there");
    let groups = ["status", "starter_devices", "contactors", "overloads", "conductors", "accessories", "checks"];
    assert!(groups.iter().map(|group| first(group)).is_sorted(), "{paths:?}");
    assert!(paths.iter().filter(|path| path.starts_with("checks")).count() > 20);
    let page = hospital.text("changes/changes.html");
    let page_at = |words: &str| page.find(words).unwrap_or_else(|| panic!("{words}"));
    assert!(page_at(">contactor wye: frame<") < page_at(">conductors: phase conductors<"));
    assert!(page_at(">conductors: phase conductors<") < page_at(">starting current, A<"));
    assert!(page.contains(">timer at line: part number<"));
    assert!(page.contains(">suppressor at line, wye, delta, transition: part number<"), "small parts of a kind in one row");
}

/// 300 ft are 91.44 m: a foot is 0.3048 m by definition.
#[test]
fn lengths_of_a_metric_file_read_in_feet_under_the_book_of_feet() {
    let hospital = Example::new("hospital-hvac");
    let (mut cells, length) = (hospital.cells.clone(), hospital.column("cable_length_ft"));
    "cable_length_m".clone_into(&mut cells[0][length]);
    for row in &mut cells[1..] {
        let feet = if row[0] == "EF-7" { Ok(300.0) } else { row[length].parse::<f64>() };
        row[length] = feet.map_or_else(|_| String::new(), |feet| format!("{:.4}", feet * 0.3048));
    }
    hospital.write("new.csv", &cells);
    let (text, changes) = hospital.compared(&[]);
    assert!(text.contains("EF-7\n  cable_length_ft: 260 → 300\n"), "{text}");
    assert_eq!(changes["changed"][0]["fields"][0]["field"], "cable_length_m", "the contract keeps the column of the later file");
    let page = hospital.text("changes/changes.html");
    assert!(page.contains("<th scope=\"row\">cable length, ft</th><td>260</td><td>300</td>"));
    let rows = hospital.sheet("Rows");
    assert!(rows.contains(&"260 → 300".to_owned()) && rows.contains(&"cable length, ft".to_owned()));
    assert!(!rows.contains(&"cable length, m".to_owned()));
}
