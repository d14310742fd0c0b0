//! The command `check`: what it says of a schedule, with which status, and that it writes nothing.

mod common;

use common::{PLAIN, folder_with, run_in};
use rstest::rstest;

/// Twenty rows with one slip each of two kinds, and a board that the basis does not name.
fn slips() -> tempfile::TempDir {
    let mut text = "tag,board,rated_power_kw,full_load_current_a,voltage_v,starting_method,cable_length_m,Painter\n".to_owned();
    for number in 1..=20 {
        let power = if number % 2 == 0 { "4O" } else { "4" };
        text.push_str(&format!("P-{number},MCC1,{power},8.1,400,direct,3000,red\n"));
    }
    let folder = folder_with("loads.csv", text.as_bytes());
    std::fs::write(folder.path().join("b.toml"), "[rules]\nbook = \"iec\"\n[[board]]\nname = \"MCC-1\"\n").expect("a file");
    folder
}

#[test]
fn check_groups_counts_and_underlines() {
    let folder = slips();
    let run = run_in(folder.path(), &["check", "loads.csv", "--basis", "b.toml"]);
    assert_eq!(run.status, 1, "{}", run.stderr);
    let shown = |text: &str, what: &str| text.matches(what).count();
    assert_eq!(shown(&run.stdout, "error[I101]: "), 10, "all errors of a kind up to ten in full: {}", run.stdout);
    assert!(run.stdout.contains("| 4O") || run.stdout.contains("  4O"), "the row as an excerpt");
    assert!(run.stdout.contains("^^"), "the cell is underlined");
    assert_eq!(shown(&run.stdout, "warning[L331]: "), 3, "then the rest by its places");
    assert!(run.stdout.contains("17 more of warning[L331] at B5, B6, "), "{}", run.stdout);
    assert!(run.stdout.contains("did you mean `MCC-1`?"));
    assert!(run.stdout.contains("   20  warning L331  a board that the basis does not name"), "{}", run.stdout);
    assert!(run.stdout.contains("20 rows read, 10 valid, 10 not valid: 10 errors, "), "{}", run.stdout);
    assert!(run.stdout.find("error[I101]") < run.stdout.find("warning["), "worst first");
    let all = run_in(folder.path(), &["check", "loads.csv", "--basis", "b.toml", "--all"]);
    assert_eq!(shown(&all.stdout, "warning[L331]: "), 20);
}

#[rstest]
#[case::warnings_are_allowed("MCC1", &[], 0)]
#[case::strict_refuses_them("MCC1", &["--strict"], 1)]
#[case::strict_is_content("MCC-1", &["--strict"], 0)]
fn check_keeps_to_the_statuses_of_the_contract(#[case] board: &str, #[case] more: &[&str], #[case] status: i32) {
    let text = format!(
        "tag,board,rated_power_kw,full_load_current_a,voltage_v,starting_method,cable_length_m\nP-1,{board},4,8.1,400,direct,30\n"
    );
    let folder = folder_with("loads.csv", text.as_bytes());
    std::fs::write(folder.path().join("b.toml"), "[rules]\nbook = \"iec\"\n[[board]]\nname = \"MCC-1\"\n").expect("a file");
    let mut arguments = vec!["check", "loads.csv", "--basis", "b.toml"];
    arguments.extend(more);
    let run = run_in(folder.path(), &arguments);
    assert_eq!(run.status, status, "{}{}", run.stdout, run.stderr);
}

#[test]
fn the_mapping_is_a_table_and_toml_to_paste_and_needs_no_rule_book() {
    let folder = slips();
    let run = run_in(folder.path(), &["check", "loads.csv", "--mapping"]);
    assert_eq!(run.status, 0, "{}", run.stderr);
    let (table, toml) = run.stdout.split_once("[columns]").expect("both");
    assert!(table.lines().any(|line| line.starts_with('C') && line.contains("rated_power_kw") && line.contains("kW")), "{table}");
    assert!(table.contains("Painter") && table.contains("not read"), "{table}");
    let parsed: toml::Table = format!("[columns]{toml}").parse().expect("TOML");
    assert_eq!(parsed["columns"]["rated_power_kw"].as_str(), Some("rated_power_kw"));
    let json = run_in(folder.path(), &["check", "loads.csv", "--mapping", "--format", "json"]);
    let columns: serde_json::Value = serde_json::from_str(&json.stdout).expect("JSON");
    assert_eq!((&columns[2]["column"], &columns[2]["field"]), (&"C".into(), &"rated_power_kw".into()));
}

#[test]
fn check_writes_nothing() {
    let folder = folder_with("loads.csv", PLAIN.as_bytes());
    let run = run_in(folder.path(), &["check", "loads.csv", "--rules", "iec"]);
    assert_eq!(run.status, 0, "{}", run.stdout);
    assert_eq!(std::fs::read_dir(folder.path()).expect("a folder").count(), 1);
}

#[test]
fn a_row_with_an_open_value_is_not_called_valid() {
    let folder =
        folder_with("open.csv", b"Tag,Motor power (kW),Starting,FLC (A),Voltage (V)\nP-1,TBC,DOL,TBC,400\nP-2,5.5,DOL,11,400\n");
    let run = run_in(folder.path(), &["check", "open.csv", "--rules", "iec"]);
    assert_eq!(run.status, 1, "{}", run.stdout);
    assert!(run.stdout.contains("2 rows read, 1 valid, 1 not valid"), "{}", run.stdout);
}

#[rstest]
#[case::comma(',')]
#[case::semicolon(';')]
#[case::tab('\t')]
fn rows_taken_into_one_cell_by_a_quotation_mark_are_an_error(#[case] mark: char) {
    let rows = "tag,rated_power_kw,full_load_current_a,voltage_v,starting_method,remarks\n\
                P-1,4,8,400,direct,\"6 inch\nP-2,4,8,400,direct,x\nP-3,4,8,400,direct,8 inch\"\n\
                P-4,4,8,400,direct,x\n";
    let folder = folder_with("loads.csv", rows.replace(',', &mark.to_string()).as_bytes());
    let run = run_in(folder.path(), &["check", "loads.csv", "--rules", "iec"]);
    assert_eq!(run.status, 1, "{}", run.stdout);
    assert!(run.stdout.contains("error[I206]"), "{}", run.stdout);
}

/// A length without a unit is in feet where the book measures in feet, however the book is named; where none is, in metres as it stands.
#[rstest::rstest]
#[case(&["--rules", "nec"], "ft")]
#[case(&["--basis", "nec.toml"], "ft")]
#[case(&["--rules", "iec"], "m")]
#[case(&[], "m")]
fn the_mapping_has_the_units_of_the_book(#[case] options: &[&str], #[case] unit: &str) {
    let folder = folder_with("a.csv", b"Tag,Serves,HP,Volts,Ph,Starter,FLA,Cable length\nP-1,Pump,10,460,3,FVNR,14,40\n");
    std::fs::write(folder.path().join("nec.toml"), "[rules]\nbook = \"nec\"\n").expect("a file");
    let run = run_in(folder.path(), &[&["check", "a.csv", "--mapping"], options].concat());
    let line = run.stdout.lines().find(|line| line.contains("cable_length_m")).expect(&run.stdout);
    assert_eq!(line.split_whitespace().nth(4), Some(unit), "{line}");
}
