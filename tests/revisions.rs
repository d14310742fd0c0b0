//! A design as a revision of an earlier one: marks, history and doubts, as a user meets them; and what the sender changed in columns that
//! the program does not read.

mod common;

use std::path::Path;

use common::{folder_with, run_in};
use serde_json::{Value, json};

const HEAD: &str = "tag,description,board,rated_power_kw,full_load_current_a,starting_method,cable_length_m,Item,Opinion";

fn basis(revision: &str, issued: &str, more: &str) -> String {
    format!(
        "[project]\nname = \"works\"\nrevision = \"{revision}\"\nissue_date = \"{issued}\"\nprepared_by = \"planner\"\n[rules]\nbook = \
         \"iec\"\n[supply]\nvoltage_v = 400\nphases = 3\nfrequency_hz = 50\n{more}"
    )
}

/// Rows that A and B share and that each has for itself.
const A: &[&str] = &[
    "P-1,Raw water pump,M,4,8.1,direct,20,1,seen",
    "P-2,Sludge pump,M,7.5,14.7,direct,20,2,seen",
    "P-3,Roof fan,M,15,28,direct,35,3,seen",
    "P-4,Dosing pump <b>,N,1.5,3.4,direct,10,4,seen",
];
// P-1 gone, so that the rows behind it count from 1; P-2 longer; P-4 looked at again; P-9 new.
const B: &[&str] = &[
    "P-2,Sludge pump,M,7.5,14.7,direct,220,1,seen",
    "P-3,Roof fan,M,15,28,direct,35,2,seen",
    "P-4,Dosing pump <b>,N,1.5,3.4,direct,10,3,ask the maker",
    "P-9,Quite another machine,N,30,54,star-delta,60,4,",
];

struct Works(tempfile::TempDir);

impl Works {
    fn new() -> Self {
        Self(folder_with("empty", b""))
    }

    /// Sizes rows as a revision and gives its design.
    fn size(&self, rows: &[&str], basis: &str, previous: Option<&str>, out: &str) -> Value {
        let run = self.run(rows, basis, previous, out);
        assert!(run.status < 2, "{}", run.stderr);
        self.design(out)
    }

    fn run(&self, rows: &[&str], basis: &str, previous: Option<&str>, out: &str) -> common::Run {
        std::fs::write(self.0.path().join("loads.csv"), format!("{HEAD}\n{}\n", rows.join("\n"))).expect("a file");
        std::fs::write(self.0.path().join("basis.toml"), basis).expect("a file");
        let mut words = vec!["size", "loads.csv", "--basis", "basis.toml", "--out", out];
        words.extend(previous.iter().flat_map(|previous| ["--previous", previous]));
        run_in(self.0.path(), &words)
    }

    fn design(&self, out: &str) -> Value {
        serde_json::from_slice(&self.bytes(&format!("{out}/design.json"))).expect("JSON")
    }

    fn bytes(&self, name: &str) -> Vec<u8> {
        std::fs::read(self.0.path().join(name)).expect("it is written")
    }

    fn text(&self, name: &str) -> String {
        String::from_utf8(self.bytes(name)).expect("text")
    }

    fn path(&self) -> &Path {
        self.0.path()
    }
}

/// Puts -1e308 in the place of every number with a fraction.
fn damage(value: &mut Value) {
    match value {
        Value::Number(number) if number.is_f64() => *value = json!(-1e308),
        Value::Array(list) => list.iter_mut().for_each(damage),
        Value::Object(entries) => entries.values_mut().for_each(damage),
        _ => {}
    }
}

/// Tag with kind and stated fields of its mark.
fn marks(design: &Value) -> Value {
    let marked = design["circuits"].as_array().expect("circuits").iter().filter(|value| !value["revision_mark"].is_null());
    marked.map(|value| json!([value["tag"], value["revision_mark"]["kind"], value["revision_mark"]["fields"]])).collect()
}

fn codes(design: &Value) -> Vec<&str> {
    let all = design["findings"].as_array().expect("findings").iter().filter_map(|value| value["code"].as_str());
    all.filter(|code| code.starts_with('X')).collect()
}

#[test]
fn a_third_revision_shows_the_first_and_marks_what_it_changed_itself() {
    let works = Works::new();
    let first = works.size(A, &basis("A", "2026-01-10", ""), None, "a");
    assert_eq!(first["revisions"].as_array().map(Vec::len), Some(1));
    assert_eq!((first["revisions"][0]["revision"].clone(), marks(&first)), (json!("A"), json!([])));
    let second = works.size(B, &basis("B", "2026-02-10", ""), Some("a/design.json"), "b");
    assert_eq!(marks(&second), json!([["P-2", "changed", ["cable_length_m"]], ["P-9", "added", []]]));
    let counted = &second["revisions"][1]["changes"];
    let counts = ["rows_added", "rows_removed", "rows_changed", "devices_changed"].map(|key| counted[key].clone());
    // 220 m want another cable; nothing else of P-2 depends on its length.
    assert_eq!(counts, [1, 1, 1, 1].map(Value::from));
    assert_eq!(counted["removed"], json!([{"tag": "P-1", "description": "Raw water pump", "board": "M"}]));
    let mut rows = B.to_vec();
    rows[1] = "P-3,Roof fan,M,15,28,direct,36,2,seen";
    let third = works.size(&rows, &basis("C", "2026-03-10", ""), Some("b/design.json"), "c");
    assert_eq!(marks(&third), json!([["P-3", "changed", ["cable_length_m"]]]));
    let letters: Vec<&str> =
        third["revisions"].as_array().expect("revisions").iter().filter_map(|value| value["revision"].as_str()).collect();
    assert_eq!(letters, ["A", "B", "C"]);
    assert_eq!(third["revisions"][1], second["revisions"][1], "the history is carried as it was");
    assert!(codes(&second).is_empty() && codes(&third).is_empty());
}

#[test]
fn marks_removed_rows_and_history_are_printed() {
    let works = Works::new();
    works.size(A, &basis("A", "2026-01-10", ""), None, "a");
    let plain = works.text("a/submittal.html");
    assert!(!plain.contains("<use href=\"#m-revision\"/>") && plain.contains("<td>A</td><td>2026-01-10</td>"));
    works.size(B, &basis("B", "2026-02-10", ""), Some("a/design.json"), "b");
    let page = works.text("b/submittal.html");
    for said in [
        "<th scope=\"row\">A</th><td class=\"nw\">2026-01-10</td><td>First on record.</td><td>planner</td>",
        // M has 42.7 A after 50.8 A, N 57.4 A after 3.4 A: other devices of the series of IEC 60059 before them.
        "Rows: 1 added, 1 removed, 1 changed; devices changed in 1; boards: 2 changed.",
        "</b></span>P-1</th><td class=\"st\">removed</td>",
        "This revision: cable length; follows: cables",
        "This revision: added.",
    ] {
        assert!(page.contains(said), "{said}");
    }
    // One triangle in the schedule and one on the sheet of each marked row; one at the removed row, one in the line below, and one at
    // each board.
    assert_eq!(page.matches("<use href=\"#m-revision\"/></svg><b>B</b>").count(), 8);
    let mut book: calamine::Xlsx<_> =
        calamine::Reader::new(std::io::Cursor::new(works.bytes("b/schedule.xlsx"))).expect("it is a workbook");
    let name = calamine::Reader::sheet_names(&book).first().cloned().expect("a sheet");
    let cells = |range: calamine::Range<calamine::Data>| range.rows().flatten().map(ToString::to_string).collect::<Vec<_>>();
    let sheet = cells(calamine::Reader::worksheet_range(&mut book, &name).expect("the schedule"));
    for said in ["△B changed", "△B added", "△B removed: P-1, Raw water pump, M"] {
        assert!(sheet.iter().any(|sheet| sheet == said), "{said}: {sheet:?}");
    }
    let sheet = cells(calamine::Reader::worksheet_range(&mut book, "Basis and assumptions").expect("the basis"));
    assert!(sheet.iter().any(|sheet| sheet.contains("1 added, 1 removed, 1 changed")), "{sheet:?}");
}

#[test]
fn the_marked_up_workbook_of_a_revision_is_read_as_its_schedule() {
    let works = Works::new();
    works.size(A, &basis("A", "2026-01-10", ""), None, "a");
    let second = works.size(B, &basis("B", "2026-02-10", ""), Some("a/design.json"), "b");
    let run = run_in(works.path(), &["compare", "loads.csv", "b/schedule.xlsx", "--basis", "basis.toml"]);
    assert_eq!(run.status, 0, "{}{}", run.stdout, run.stderr);
    let again =
        run_in(works.path(), &["size", "b/schedule.xlsx", "--basis", "basis.toml", "--previous", "a/design.json", "--out", "d"]);
    assert!(again.status < 2, "{}", again.stderr);
    assert_eq!(marks(&works.design("d")), marks(&second));
}

#[test]
fn what_makes_the_history_doubtful_is_said() {
    let works = Works::new();
    works.size(A, &basis("B", "2026-02-10", ""), None, "a");
    let doubts = |basis: &str| {
        let design = works.size(A, basis, Some("a/design.json"), "b");
        codes(&design).into_iter().map(str::to_owned).collect::<Vec<_>>()
    };
    assert!(doubts(&basis("C", "2026-02-10", "")).is_empty());
    assert_eq!(doubts(&basis("b", "2026-02-11", "")), ["X102"]);
    assert_eq!(doubts(&basis("C", "2026-02-09", "")), ["X103"]);
    assert_eq!(doubts(&basis("C", "9 February", "")), ["X104"]);
    assert_eq!(doubts(&basis("", "2026-02-10", "")), ["X101"]);
    assert_eq!(doubts(&basis("C", "2026-02-10", "").replace("works", "other works")), ["X105"]);
    assert_eq!(doubts(&basis("C", "2026-02-10", "[design]\nambient_c = 55\n")), ["X107"]);
    let other = works.design("b")["revisions"][1]["changes"].clone();
    assert_eq!((&other["rows_changed"], &other["surroundings"]), (&json!(0), &json!(["basis"])));
    assert!(
        other["devices_changed"] == other["devices_changed_by_surroundings"] && other["devices_changed"] != json!(0),
        "{other}"
    );
    let nec = basis("C", "2026-02-10", "").replace("\"iec\"", "\"nec\"");
    assert!(doubts(&nec).contains(&"X106".to_owned()));
}

#[test]
fn what_is_no_design_of_this_program_is_refused_and_nothing_is_written() {
    let works = Works::new();
    works.size(A, &basis("A", "2026-01-10", ""), None, "a");
    let mut other = works.design("a");
    other["schema"] = json!("something/9");
    std::fs::write(works.path().join("other.json"), other.to_string()).expect("a file");
    // The column `quantity` admits 10 000.
    let mut many = works.design("a");
    many["circuits"][0]["quantity"] = json!(10_001);
    std::fs::write(works.path().join("many.json"), many.to_string()).expect("a file");
    // `motors_per_starter` admits 100.
    let mut motors = works.design("a");
    motors["circuits"][0]["motors"] = json!(101);
    std::fs::write(works.path().join("motors.json"), motors.to_string()).expect("a file");
    // No design has less than no current, nor -1e308 of anything.
    let mut current = works.design("a");
    current["circuits"][0]["currents"]["full_load_a"] = json!(-8.5);
    std::fs::write(works.path().join("current.json"), current.to_string()).expect("a file");
    let mut far = works.design("a");
    damage(&mut far);
    std::fs::write(works.path().join("far.json"), far.to_string()).expect("a file");
    std::fs::write(works.path().join("torn.json"), &works.bytes("a/design.json")[..2000]).expect("a file");
    for (file, said) in [
        ("nothing.json", "there is no such file"),
        ("loads.csv", "this is no design.json"),
        ("torn.json", "this is no design.json"),
        ("other.json", "its form is \"something/9\""),
        ("many.json", "a quantity of 10001, more than the 10000"),
        ("motors.json", "motors behind its starter: 101, more than the 100"),
        ("current.json", "the file is damaged: full_load_a is -8.5e0, which no design has"),
        ("far.json", "the file is damaged: "),
        ("a", "the file can't be read"),
    ] {
        let run = works.run(B, &basis("B", "2026-02-10", ""), Some(file), "refused");
        assert!(run.status == 2 && run.stderr.contains(said), "{file}: {} {}", run.status, run.stderr);
        assert!(!works.path().join("refused").exists(), "{file}");
    }
    let compared = run_in(works.path(), &["compare", "far.json", "loads.csv", "--basis", "basis.toml", "--out", "refused"]);
    assert!(compared.status == 2 && compared.stderr.contains("the file is damaged: "), "{}", compared.stderr);
    assert!(!works.path().join("refused").exists());
    // A pair of tags has no meaning without an earlier design; one that is not there is named.
    let words = ["size", "loads.csv", "--basis", "basis.toml", "--out", "refused", "--same", "P-1=P-9"];
    assert_eq!(run_in(works.path(), &words).status, 2);
    let run = run_in(works.path(), &[&words[..7], &["P-7=P-9", "--previous", "a/design.json"]].concat());
    assert!(run.status == 2 && run.stderr.contains("the old side has no row with that tag"), "{}", run.stderr);
}

#[test]
fn a_design_that_keeps_no_history_is_a_revision_itself() {
    let works = Works::new();
    let mut value = works.size(A, &basis("A", "2026-01-10", ""), None, "a");
    value.as_object_mut().expect("an object").remove("revisions");
    std::fs::write(works.path().join("older.json"), value.to_string()).expect("a file");
    let second = works.size(A, &basis("B", "2026-02-10", ""), Some("older.json"), "b");
    assert_eq!((&second["revisions"][0]["revision"], &second["revisions"][0]["prepared_by"]), (&json!("A"), &json!("planner")));
}

#[test]
fn columns_that_are_not_read_are_compared_as_texts_and_told_apart() {
    let works = Works::new();
    let write = |name: &str, text: String| std::fs::write(works.path().join(name), text).expect("a file");
    write("basis.toml", basis("B", "2026-02-10", ""));
    write("a.csv", format!("{HEAD}\n{}\n", A.join("\n")));
    let compared = |rows: &[String], head: &str| -> (i32, Value) {
        write("b.csv", format!("{head}\n{}\n", rows.join("\n")));
        let run = run_in(works.path(), &["compare", "a.csv", "b.csv", "--basis", "basis.toml", "--format", "json"]);
        (run.status, serde_json::from_str(&run.stdout).expect("JSON"))
    };
    let edited = |change: &dyn Fn(String) -> String| A.iter().map(|row| change((*row).to_owned())).collect::<Vec<_>>();
    let (status, changes) = compared(&edited(&|row| row.replace("4,seen", "4,ask the maker")), HEAD);
    assert_eq!((status, &changes["unchanged"], &changes["changed"]), (1, &json!(4), &json!([])));
    let told =
        json!([{"heading": "Opinion", "what": "changed", "rows": [{"tag": "P-4", "old": "seen", "new": "ask the maker"}]}]);
    assert_eq!(changes["carried"], told);
    // Case, another heading for all the same cells, and numbers of rows that move on are no change.
    let (status, changes) = compared(&edited(&|row| row.replace("seen", "SEEN")), &HEAD.replace("Opinion", "View"));
    assert_eq!((status, &changes["carried"]), (0, &json!([])), "{changes}");
    assert_eq!(changes["said_otherwise"], json!([{"tag": "", "what": "column View, before Opinion"}]));
    let turned: Vec<String> =
        A.iter().rev().zip(1..).map(|(row, number)| format!("{},{number},seen", &row[..row.len() - 7])).collect();
    assert_eq!(compared(&turned, HEAD).0, 0);
    // A column that came or went is told once.
    let (status, changes) = compared(&edited(&|row| format!("{row},level 3")), &format!("{HEAD},Floor"));
    assert_eq!((status, &changes["carried"]), (1, &json!([{"heading": "Floor", "what": "new", "rows": []}])));
}

#[test]
fn a_mark_of_the_sender_for_a_column_that_is_not_read_is_right() {
    let works = Works::new();
    let write = |name: &str, rows: &[&str]| {
        let head = "tag,rated_power_kw,starting_method,cable_length_m,Opinion,row_revision";
        std::fs::write(works.path().join(name), format!("{head}\n{}\n", rows.join("\n"))).expect("a file");
    };
    std::fs::write(works.path().join("basis.toml"), basis("B", "", "")).expect("a file");
    write("a.csv", &["P-1,4,direct,20,x,", "P-2,4,direct,20,x,", "P-3,4,direct,20,x,"]);
    write("b.csv", &["P-1,4,direct,20,y,B", "P-2,4,direct,20,y,", "P-3,4,direct,20,x,B"]);
    let run = run_in(works.path(), &["compare", "a.csv", "b.csv", "--basis", "basis.toml", "--format", "json"]);
    let changes: Value = serde_json::from_str(&run.stdout).expect("JSON");
    assert_eq!(changes["revision_marks"], json!([{"tag": "P-3", "mark": "B", "what": "marked, not changed"}]));
}

/// 8.1 A and 14.7 A run on M: with 54 A more (76.8 A) a feeder of 63 A is too small, whose next is 80 A (IEC 60059). On N 1 A more stays
/// below its device, so that nothing is bought or set for it. The board O is called P now, L is gone and Q is new.
#[test]
fn boards_bear_marks_where_something_is_bought_or_stated_otherwise() {
    let works = Works::new();
    let board = |name: &str| format!("[[board]]\nname = \"{name}\"\nfed_from = \"MDB\"\nfeeder_length_m = 20\n");
    let boards =
        |names: &[&str]| "[[board]]\nname = \"MDB\"\n".to_owned() + &names.iter().map(|name| board(name)).collect::<String>();
    let before = [
        "P-1,Raw water pump,M,4,8.1,direct,20,1,",
        "P-2,Sludge pump,M,7.5,14.7,direct,20,2,",
        "P-4,Dosing pump,N,1.5,3.4,direct,10,4,",
        "P-5,Fan,O,1.5,3.4,direct,10,5,",
        "P-6,Fan,O,1.5,3.4,direct,10,5,",
        "P-7,Fan,L,1.5,3.4,direct,10,6,",
    ];
    let now = [
        "P-1,Raw water pump,M,4,8.1,direct,20,1,",
        "P-2,Sludge pump,M,30,54,direct,20,2,",
        "P-4,Dosing pump,N,1.5,4.0,direct,10,4,",
        "P-5,Fan,P,1.5,3.4,direct,10,5,",
        "P-6,Fan,P,1.5,3.4,direct,10,5,",
        "P-8,Mixer,Q,11,21,direct,30,7,",
    ];
    let earlier = basis("A", "2026-01-10", &boards(&["M", "N", "O", "L"]));
    works.size(&before, &earlier, None, "a");
    let later = basis("B", "2026-02-10", &boards(&["M", "N", "P", "Q"]));
    let run = works.run(&now, &later, Some("a/design.json"), "b");
    let design = works.design("b");
    let mark = |name: &str| {
        let boards = design["boards"].as_array().expect("a list");
        boards.iter().find(|board| board["name"] == name).expect("it is there")["revision_mark"].clone()
    };
    assert_eq!(mark("M")["kind"], "follows");
    assert!(mark("M")["selection"].as_array().expect("a list").contains(&json!("feeder: protection, A")), "{}", mark("M"));
    assert_eq!(mark("N"), Value::Null);
    assert_eq!((&mark("P")["kind"], &mark("P")["name_before"]), (&json!("changed"), &json!("O")));
    assert_eq!(mark("Q")["kind"], "added");
    assert_eq!(mark("MDB")["revision"].as_str().unwrap_or("B"), "B");
    let changes = &design["revisions"][1]["changes"];
    assert_eq!((&changes["boards_added"], &changes["boards_removed"]), (&json!(1), &json!(["L"])));
    let counted = changes["boards_changed"].as_u64().expect("a count");
    assert!(run.stdout.contains(&format!("boards: 1 added, {counted} changed, L removed")), "{}", run.stdout);
    let page = String::from_utf8(works.bytes("b/submittal.html")).expect("text");
    assert!(page.contains("This revision: the basis says the same of it; otherwise: feeder protection"), "the page shows it");
    assert!(page.contains("another name, before O"));
}
