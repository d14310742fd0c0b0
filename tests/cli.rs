//! The program as a user sees it: exit statuses, messages, files written or not written, and the same bytes every time.

mod common;

use std::path::Path;

use common::{PLAIN, design, example, folder_with, root, run_in};
use rstest::rstest;

const FILES: [&str; 5] = ["schedule.xlsx", "submittal.html", "purchase-list.csv", "labels.csv", "design.json"];

fn size_plain(schedule: &str, more: &[&str]) -> (tempfile::TempDir, common::Run) {
    let folder = folder_with("loads.csv", schedule.as_bytes());
    let mut arguments = vec!["size", "loads.csv", "--rules", "iec", "--out", "out"];
    arguments.extend(more);
    let run = run_in(folder.path(), &arguments);
    (folder, run)
}

fn nothing_written(folder: &Path) {
    assert!(!folder.join("out").exists() || std::fs::read_dir(folder.join("out")).expect("a folder").next().is_none());
}

#[test]
fn the_example_is_sized_with_status_0_and_every_file_is_written() {
    let folder = tempfile::tempdir().expect("a folder");
    let (schedule, basis) = example();
    let run = run_in(folder.path(), &["size", &schedule.to_string_lossy(), "--basis", &basis.to_string_lossy(), "--out", "out"]);
    assert_eq!(run.status, 0, "{}{}", run.stdout, run.stderr);
    for file in FILES {
        assert!(folder.path().join("out").join(file).metadata().is_ok_and(|metadata| metadata.len() > 500), "{file}");
    }
    let json = design(&folder.path().join("out"));
    let circuits = json["circuits"].as_array().expect("circuits");
    assert!(circuits.len() >= 55);
    assert!(circuits.iter().all(|circuit| circuit["status"] != "not-sized"));
    assert!(circuits.iter().any(|circuit| circuit["status"] == "needs-decision"));
    assert!(run.stdout.contains("needing a decision") && run.stdout.contains("design.json"), "{}", run.stdout);
}

#[test]
fn every_starting_method_of_the_contract_is_in_the_example() {
    let text = std::fs::read_to_string(example().0).expect("the example");
    for (_, word) in motorwright::load::Method::ALL {
        assert!(text.contains(&format!(",{word},")), "{word}");
    }
}

#[test]
fn two_runs_give_the_same_bytes() {
    let folder = tempfile::tempdir().expect("a folder");
    let (schedule, basis) = example();
    for out in ["a", "b"] {
        run_in(folder.path(), &["size", &schedule.to_string_lossy(), "--basis", &basis.to_string_lossy(), "--out", out]);
    }
    for file in FILES {
        let of = |out: &str| std::fs::read(folder.path().join(out).join(file)).expect("the file");
        assert!(of("a") == of("b"), "{file} differs");
    }
}

#[test]
fn a_second_run_over_old_outputs_replaces_them_whole() {
    let (folder, first) = size_plain(PLAIN, &[]);
    assert_eq!(first.status, 0, "{}{}", first.stdout, first.stderr);
    std::fs::write(folder.path().join("out/design.json"), "old").expect("it can be written");
    let again = run_in(folder.path(), &["size", "loads.csv", "--rules", "iec", "--out", "out"]);
    assert_eq!(again.status, 0);
    assert_eq!(design(&folder.path().join("out"))["schema"], "motorwright.design/1");
    let left: Vec<_> =
        std::fs::read_dir(folder.path().join("out")).expect("a folder").flatten().map(|entry| entry.file_name()).collect();
    assert_eq!(left.len(), FILES.len(), "nothing staged is left behind: {left:?}");
}

#[test]
fn design_json_has_every_key_of_the_contract_and_reads_back_equal() {
    let folder = tempfile::tempdir().expect("a folder");
    let (schedule, basis) = example();
    run_in(folder.path(), &["size", &schedule.to_string_lossy(), "--basis", &basis.to_string_lossy(), "--out", "out"]);
    let bytes = std::fs::read(folder.path().join("out/design.json")).expect("design.json");
    let json: serde_json::Value = serde_json::from_slice(&bytes).expect("JSON");
    let has = |value: &serde_json::Value, keys: &[&str]| {
        for key in keys {
            assert!(value.get(key).is_some(), "{key} is missing in {}", value.to_string().chars().take(200).collect::<String>());
        }
    };
    has(
        &json,
        &[
            "schema",
            "program_version",
            "rule_book",
            "edition",
            "inputs",
            "catalogue",
            "basis",
            "project",
            "outputs",
            "circuits",
            "boards",
            "purchase",
            "findings",
        ],
    );
    for circuit in json["circuits"].as_array().expect("circuits") {
        has(
            circuit,
            &[
                "tag",
                "tags",
                "board",
                "description",
                "quantity",
                "duty_count",
                "standby_count",
                "place",
                "status",
                "load",
                "currents",
                "contactors",
                "overload",
                "overloads",
                "protection",
                "conductors",
                "runs",
                "control",
                "disconnect",
                "accessories",
                "fault",
                "checks",
                "parts",
                "working",
                "findings",
            ],
        );
        has(
            &circuit["load"],
            &[
                "kind",
                "rated_power_kw",
                "rated_power_hp",
                "voltage_v",
                "phases",
                "frequency_hz",
                "efficiency_pct",
                "power_factor",
                "efficiency_class",
                "starting_method",
                "reversing",
                "duty",
                "running",
            ],
        );
        has(
            &circuit["currents"],
            &[
                "full_load_a",
                "source",
                "nameplate_a",
                "table_a",
                "computed_a",
                "conductor_basis_a",
                "protection_basis_a",
                "overload_basis_a",
                "starting_a",
            ],
        );
        for contactor in circuit["contactors"].as_array().expect("contactors") {
            has(
                contactor,
                &[
                    "role",
                    "current_a",
                    "category",
                    "rated_a",
                    "frame",
                    "part",
                    "poles_in_parallel",
                    "suppression_built_in",
                    "expected_operations",
                ],
            );
        }
        for value in circuit["overloads"].as_array().expect("overloads") {
            has(value, &["role", "position", "winding_factor", "kind", "trip_class", "range_a", "setting_a", "part"]);
        }
        if let Some(protection) = circuit["protection"].as_object() {
            for key in [
                "kind",
                "rating_a",
                "maximum_a",
                "magnetic_trip_a",
                "magnetic_min_a",
                "magnetic_max_a",
                "breaking_ka",
                "coordination",
                "part",
            ] {
                assert!(protection.contains_key(key), "{key}");
            }
        }
        for run in circuit["runs"].as_array().expect("runs") {
            has(
                run,
                &[
                    "role",
                    "phase_size",
                    "phase_area_mm2",
                    "per_phase",
                    "neutral_size",
                    "protective_size",
                    "material",
                    "insulation",
                    "capacity_a",
                    "required_a",
                    "governed_by",
                    "criteria",
                    "raceway",
                    "length_m",
                    "cores",
                ],
            );
        }
        for check in circuit["checks"].as_array().expect("checks") {
            has(check, &["name", "value", "limit", "unit", "passed", "not_checked_because", "margin_pct", "reference"]);
        }
    }
    let design: motorwright::design::Design = serde_json::from_slice(&bytes).expect("it reads back");
    let again = motorwright::report::output::json(&design).expect("it writes");
    assert!(again == bytes, "what is read back writes the same bytes");
    let once_more: motorwright::design::Design = serde_json::from_slice(&again).expect("it reads back");
    assert!(design == once_more);
}

#[test]
fn design_json_carries_the_hashes_of_the_other_files() {
    let (folder, _) = size_plain(PLAIN, &[]);
    let json = design(&folder.path().join("out"));
    let outputs = json["outputs"].as_array().expect("outputs");
    assert_eq!(outputs.len(), 4);
    for output in outputs {
        let bytes = std::fs::read(folder.path().join("out").join(output["file"].as_str().expect("a name"))).expect("the file");
        assert_eq!(output["sha256"].as_str(), Some(motorwright::project::hash(&bytes).as_str()));
    }
}

#[test]
fn rows_in_another_order_give_the_same_circuits_in_that_order() {
    let lines: Vec<&str> = "P-1,4,8.1,direct\nP-2,7.5,14.3,direct\nP-3,11,20.4,direct".lines().collect();
    let of = |order: &[usize]| {
        let mut text = "tag,rated_power_kw,full_load_current_a,starting_method,voltage_v,cable_length_m\n".to_owned();
        for index in order {
            text.push_str(&format!("{},400,30\n", lines[*index]));
        }
        let (folder, _) = size_plain(&text, &[]);
        let json = design(&folder.path().join("out"));
        json["circuits"]
            .as_array()
            .expect("circuits")
            .iter()
            .map(|value| (value["tag"].to_string(), value["contactors"].to_string(), value["runs"].to_string()))
            .collect::<Vec<_>>()
    };
    let (straight, turned) = (of(&[0, 1, 2]), of(&[2, 0, 1]));
    assert_eq!(straight[0], turned[1]);
    assert_eq!(straight[1], turned[2]);
    assert_eq!(straight[2], turned[0]);
}

#[rstest]
#[case::missing_file(&["size", "nothing.csv", "--rules", "iec", "--out", "out"], "nothing.csv")]
#[case::a_folder(&["size", ".", "--rules", "iec", "--out", "out"], "folder")]
#[case::unknown_rule_book(&["size", "loads.csv", "--rules", "abc", "--out", "out"], "abc")]
#[case::no_rule_book(&["size", "loads.csv", "--out", "out"], "rule book")]
#[case::missing_basis(&["size", "loads.csv", "--basis", "no.toml", "--out", "out"], "no.toml")]
#[case::missing_catalogue(&["size", "loads.csv", "--rules", "iec", "--catalogue", "none", "--out", "out"], "none")]
#[case::output_is_a_file(&["size", "loads.csv", "--rules", "iec", "--out", "loads.csv"], "not a folder")]
#[case::unknown_option(&["size", "loads.csv", "--rules", "iec", "--nonsense"], "nonsense")]
fn what_cannot_run_ends_with_2_and_writes_nothing(#[case] arguments: &[&str], #[case] says: &str) {
    let folder = folder_with("loads.csv", PLAIN.as_bytes());
    let run = run_in(folder.path(), arguments);
    assert_eq!(run.status, 2, "{}{}", run.stdout, run.stderr);
    assert!(run.stderr.contains(says), "{}", run.stderr);
    nothing_written(folder.path());
}

#[rstest]
#[case::empty("loads.csv", b"".as_slice())]
#[case::no_header("loads.csv", b"1,2,3\n4,5,6\n".as_slice())]
#[case::not_a_workbook("loads.xlsx", b"this is no workbook".as_slice())]
#[case::broken_container("loads.xlsx", b"PK\x03\x04broken".as_slice())]
#[case::not_an_ods("loads.ods", b"PK".as_slice())]
#[case::not_text("loads.csv", b"tag,rated_power_kw\n\xff\xfe\x00\x01,3\n".as_slice())]
#[case::heading_without_rows("loads.csv", b"tag,rated_power_kw,starting_method\n".as_slice())]
#[case::unknown_ending("loads.pdf", b"tag,rated_power_kw\nP-1,3\n".as_slice())]
fn unreadable_schedules_end_with_2(#[case] name: &str, #[case] bytes: &[u8]) {
    let folder = folder_with(name, bytes);
    let run = run_in(folder.path(), &["size", name, "--rules", "iec", "--out", "out"]);
    assert_eq!(run.status, 2, "{}{}", run.stdout, run.stderr);
    assert!(run.stderr.contains(name), "the message names the file: {}", run.stderr);
    nothing_written(folder.path());
}

#[cfg(unix)]
#[test]
fn a_folder_that_cannot_be_written_ends_with_2() {
    // /proc takes no files from anybody, the super-user included.
    let folder = folder_with("loads.csv", PLAIN.as_bytes());
    let run = run_in(folder.path(), &["size", "loads.csv", "--rules", "iec", "--out", "/proc/motorwright"]);
    assert_eq!(run.status, 2, "{}{}", run.stdout, run.stderr);
    assert!(run.stderr.contains("--out"), "{}", run.stderr);
}

#[rstest]
#[case::negative_power("P-2,Pump,-3,8,88,0.8,400,direct,30")]
#[case::unknown_method("P-2,Pump,3,8,88,0.8,400,clockwork,30")]
#[case::beyond_all_bounds("P-2,Pump,1e308,8,88,0.8,400,direct,30")]
#[case::not_a_number("P-2,Pump,4O,8,88,0.8,400,direct,30")]
#[case::to_be_confirmed("P-2,Pump,TBC,8,88,0.8,400,direct,30")]
#[case::above_one_kilovolt("P-2,Pump,300,33,95,0.88,6000,direct,30")]
#[case::no_method("P-2,Pump,3,8,88,0.8,400,,30")]
#[case::duplicate_tag("P-1,Pump,3,8,88,0.8,400,direct,30")]
#[case::missing_tag(",Pump,3,8,88,0.8,400,direct,30")]
fn a_wrong_row_is_kept_and_said_and_the_others_are_sized(#[case] row: &str) {
    let (folder, run) = size_plain(&format!("{PLAIN}{row}\nP-9,Pump,4,8.1,88.6,0.82,400,direct,30\n"), &[]);
    assert_eq!(run.status, 1, "{}{}", run.stdout, run.stderr);
    let json = design(&folder.path().join("out"));
    let circuits = json["circuits"].as_array().expect("circuits");
    assert_eq!(circuits.len(), 3, "no row is dropped");
    assert_eq!(circuits[1]["status"], "not-sized");
    let findings = circuits[1]["findings"].as_array().expect("findings");
    let error = findings.iter().find(|finding| finding["severity"] == "error").expect("an error");
    assert_eq!(error["place"]["row"], 3);
    assert!(!error["cure"].as_str().expect("a cure").is_empty());
    for index in [0, 2] {
        assert_ne!(circuits[index]["status"], "not-sized", "the others go on");
    }
    for file in FILES {
        assert!(folder.path().join("out").join(file).exists(), "{file}");
    }
    let page = std::fs::read_to_string(folder.path().join("out/submittal.html")).expect("the page");
    assert!(page.contains("This submittal is incomplete"), "the page says that it is incomplete");
}

#[test]
fn a_cell_of_ten_thousand_characters_floods_nothing_and_nothing_breaks() {
    let long = "x".repeat(10_000);
    // A remark of that length is shortened and said; a tag of that length is none.
    let remark = format!("P-2,{long},4,8.1,88.6,0.82,400,direct,30");
    let tag = format!("{long},Pump,4,8.1,88.6,0.82,400,direct,30");
    for (row, status, code) in [(remark, 0, "I432"), (tag, 1, "I1")] {
        let (folder, run) = size_plain(&format!("{PLAIN}{row}\n"), &[]);
        assert_eq!(run.status, status, "{}", run.stderr);
        assert!(run.stdout.len() < 20_000, "the terminal is not flooded");
        let circuits = design(&folder.path().join("out"))["circuits"].as_array().expect("circuits").clone();
        assert_eq!(circuits.len(), 2);
        let found = circuits[1]["findings"].as_array().expect("findings").clone();
        assert!(found.iter().any(|finding| finding["code"].as_str().is_some_and(|found| found.starts_with(code))), "{found:?}");
    }
}

#[test]
fn strict_makes_a_needed_decision_status_1() {
    let (_, plain) = size_plain(PLAIN, &[]);
    assert_eq!(plain.status, 0, "warnings and needed decisions are status 0: {}", plain.stdout);
    let (_, strict) = size_plain(PLAIN, &["--strict"]);
    assert_eq!(strict.status, 1, "the fault level is unknown, so a decision is needed");
}

#[test]
fn findings_as_json_parse_and_carry_places() {
    let folder = folder_with("loads.csv", format!("{PLAIN}P-2,Pump,-3,8,88,0.8,400,direct,30\n").as_bytes());
    let run = run_in(folder.path(), &["check", "loads.csv", "--rules", "iec", "--format", "json"]);
    assert_eq!(run.status, 1);
    let json: serde_json::Value = serde_json::from_str(&run.stdout).expect("a JSON object");
    assert_eq!(json["schema"], "motorwright.check/1");
    assert_eq!((&json["counts"]["rows"], &json["counts"]["not_valid"]), (&2.into(), &1.into()));
    assert_eq!(json["counts"]["errors"], 1);
    assert_eq!(json["mappings"][2]["field"], "rated_power_kw");
    let findings: Vec<motorwright::finding::Finding> =
        serde_json::from_value(json["findings"].clone()).expect("an array of findings");
    let of_codes: u64 =
        json["counts"]["codes"].as_array().expect("codes").iter().filter_map(|value| value["count"].as_u64()).sum();
    assert_eq!(of_codes, findings.len() as u64);
    let place = findings
        .iter()
        .find(|finding| finding.severity == motorwright::finding::Severity::Error)
        .and_then(|finding| finding.place.clone())
        .expect("a place");
    assert_eq!((place.row, place.column.as_deref(), place.heading.as_deref()), (Some(3), Some("C"), Some("rated_power_kw")));
}

#[test]
fn boards_in_a_ring_are_an_error_and_the_outputs_are_written() {
    let folder = folder_with("loads.csv", PLAIN.as_bytes());
    let basis = "[rules]\nbook = \"iec\"\n[[board]]\nname = \"A\"\nfed_from = \"B\"\n[[board]]\nname = \"B\"\nfed_from = \"A\"\n";
    std::fs::write(folder.path().join("b.toml"), basis).expect("a file");
    let run = run_in(folder.path(), &["check", "loads.csv", "--basis", "b.toml"]);
    assert_eq!(run.status, 1);
    assert_eq!(run.stdout.matches("error[L332]: ").count(), 1, "{}", run.stdout);
    assert_eq!(run_in(folder.path(), &["size", "loads.csv", "--basis", "b.toml", "--out", "out"]).status, 1);
    for file in FILES {
        assert!(folder.path().join("out").join(file).exists(), "{file}");
    }
}

#[test]
fn a_pipe_gets_no_colour() {
    let folder = folder_with("loads.csv", format!("{PLAIN}P-2,Pump,-3,8,88,0.8,400,direct,30\n").as_bytes());
    for arguments in [["check", "loads.csv", "--rules", "iec"], ["size", "loads.csv", "--rules", "iec"]] {
        let run = run_in(folder.path(), &arguments);
        assert!(!run.stdout.contains('\u{1b}') && !run.stderr.contains('\u{1b}'));
    }
}

#[test]
fn standard_input_is_read() {
    let folder = tempfile::tempdir().expect("a folder");
    let output = assert_cmd::Command::cargo_bin("motorwright")
        .expect("the program")
        .current_dir(folder.path())
        .args(["size", "-", "--rules", "iec", "--out", "out"])
        .write_stdin(PLAIN)
        .output()
        .expect("it runs");
    assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
    assert_eq!(design(&folder.path().join("out"))["circuits"][0]["tag"], "P-1");
}

/// A tag on lines 2, 4 and 5 of the file: nobody may take the circuit that is shown for the only one.
#[test]
fn explain_says_of_a_tag_on_several_rows_where_they_are() {
    let rows = "tag,rated_power_kw,full_load_current_a,voltage_v,starting_method,cable_length_m\nP-1,4,8.5,400,direct,20\n\
                P-2,4,8.5,400,direct,20\nP-1,11,21,400,direct,20\nP-1,15,29,400,direct,20\n";
    let folder = folder_with("loads.csv", rows.as_bytes());
    let explained = |tag: &str| run_in(folder.path(), &["explain", "loads.csv", tag, "--rules", "iec"]).stdout;
    let several = explained("P-1");
    assert!(several.starts_with("3 rows bear the tag P-1: row 2, row 4, row 5. This is the first of them."), "{several}");
    assert!(!explained("P-2").contains("rows bear the tag"));
}

/// Designations of IEC 81346 begin with a hyphen, which is no option.
#[test]
fn designations_of_products_are_typed_as_they_are() {
    let rows =
        "BMK;kW;Nennstrom A;Spannung V;Startart;Kabellänge m;Schaltschrank;Bemerkung\n-2M1;4;8,5;400;direkt;20;-1Q;reversing\n";
    let folder = folder_with("loads.csv", rows.as_bytes());
    let run = |arguments: &[&str]| run_in(folder.path(), &[arguments, &["--rules", "iec"]].concat());
    let explained = run(&["explain", "loads.csv", "-2M1"]).stdout;
    // Why a finding stands is told with it.
    assert!(explained.contains("-2M1") && explained.contains("because a starter for one direction"), "{explained}");
    assert!(run(&["explain", "loads.csv", "--board", "-1Q"]).stdout.contains("-1Q"));
    assert!(run_in(folder.path(), &["decide", "loads.csv", "--rules=iec", "--", "-2M1"]).stdout.contains("-2M1"));
    assert_eq!(run(&["explain", "loads.csv", "--bord", "-1Q"]).status, 2, "a wrong option is none of them");
}

#[test]
fn explain_tables_and_catalogue_answer() {
    let (schedule, basis) = example();
    let (schedule, basis) = (schedule.to_string_lossy().into_owned(), basis.to_string_lossy().into_owned());
    let explained = run_in(&root(), &["explain", &schedule, "SWP-114", "--basis", &basis]);
    assert_eq!(explained.status, 0, "{}", explained.stderr);
    for word in ["SWP-114", "Working", "IEC 60364", "licensed person"] {
        assert!(explained.stdout.contains(word), "{word}");
    }
    assert_eq!(run_in(&root(), &["explain", &schedule, "NOBODY", "--basis", &basis]).status, 2);
    let listed = run_in(&root(), &["tables"]);
    assert!(listed.stdout.lines().count() > 30);
    let table = run_in(&root(), &["tables", "capacity-enclosed"]);
    assert!(table.stdout.contains("# source: IEC 60364-5-52"));
    assert_eq!(run_in(&root(), &["tables", "nothing"]).status, 2);
    let shown = run_in(&root(), &["catalogue", "show", "contactors"]);
    assert!(shown.stdout.contains("GEN-") && shown.stdout.contains("not for procurement"));
    assert_eq!(run_in(&root(), &["catalogue", "show", "nothing"]).status, 2);
}

#[test]
fn every_output_of_the_built_in_range_says_that_it_is_not_for_procurement() {
    let (folder, run) = size_plain(PLAIN, &[]);
    assert!(run.stdout.contains("not for procurement"));
    let out = folder.path().join("out");
    for file in ["submittal.html", "purchase-list.csv", "design.json"] {
        let text = std::fs::read_to_string(out.join(file)).expect("text");
        assert!(text.contains("not for procurement"), "{file}");
    }
    let csv = std::fs::read_to_string(out.join("purchase-list.csv")).expect("text");
    assert!(csv.lines().skip(1).all(|line| line.contains("not for procurement")), "every line of the purchase list");
}

#[test]
fn text_that_looks_like_a_formula_stays_text_in_the_purchase_list() {
    let (folder, _) = size_plain(
        "tag,rated_power_kw,full_load_current_a,starting_method,voltage_v,cable_length_m\n\"=cmd|'/C calc'!A0\",4,8.1,direct,400,30\n",
        &[],
    );
    let csv = std::fs::read_to_string(folder.path().join("out/purchase-list.csv")).expect("text");
    for cell in csv.lines().flat_map(|line| line.split(',')) {
        assert!(!cell.trim_matches('"').starts_with(['=', '@']), "{cell}");
    }
}

#[test]
fn a_workbook_schedule_gives_the_same_circuits_as_its_csv() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut book = rust_xlsxwriter::Workbook::new();
    let sheet = book.add_worksheet();
    for (row, line) in (0u32..).zip(PLAIN.lines()) {
        for (column, cell) in (0u16..).zip(line.split(',')) {
            match cell.parse::<f64>() {
                Ok(number) => sheet.write_number(row, column, number).expect("a number"),
                Err(_) => sheet.write_string(row, column, cell).expect("a text"),
            };
        }
    }
    book.save(folder.path().join("loads.xlsx")).expect("a workbook");
    let run = run_in(folder.path(), &["size", "loads.xlsx", "--rules", "iec", "--out", "out"]);
    assert_eq!(run.status, 0, "{}{}", run.stdout, run.stderr);
    let (csv, _) = size_plain(PLAIN, &[]);
    let of = |folder: &Path| {
        let json = design(&folder.join("out"));
        (
            json["circuits"][0]["contactors"].clone(),
            json["circuits"][0]["protection"].clone(),
            json["circuits"][0]["runs"].clone(),
        )
    };
    assert_eq!(of(folder.path()), of(csv.path()));
}

#[test]
fn help_shows_examples_and_exit_statuses() {
    let folder = tempfile::tempdir().expect("a folder");
    let help = run_in(folder.path(), &["--help"]);
    assert_eq!(help.status, 0);
    for word in ["size", "check", "explain", "tables", "catalogue", "Examples", "Exit status"] {
        assert!(help.stdout.contains(word), "{word}");
    }
}

/// The pages for shells and for `man` name every command and every option of `size`.
#[test]
fn completions_and_manual_follow_the_arguments() {
    let folder = tempfile::tempdir().expect("a folder");
    let help = run_in(folder.path(), &["size", "--help"]).stdout;
    let options: Vec<&str> = help.split_whitespace().filter(|word| word.starts_with("--") && word.len() > 3).collect();
    assert!(options.contains(&"--basis") && options.len() > 5, "{options:?}");
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        let run = run_in(folder.path(), &["completions", shell]);
        // One shell writes options without their dashes.
        let named = |option: &&&str| run.stdout.contains(option.trim_start_matches("--").trim_end_matches(','));
        assert!(run.status == 0 && options.iter().all(|option| named(&option)), "{shell}");
    }
    let run = run_in(folder.path(), &["manual", "--out", "man1"]);
    assert_eq!(run.status, 0, "{}", run.stderr);
    let page = |name: &str| std::fs::read_to_string(folder.path().join("man1").join(name)).expect("a page").replace('\\', "");
    let size = page("motorwright-size.1");
    assert!(options.iter().all(|option| size.contains(option.trim_end_matches(','))), "{size}");
    assert!(page("motorwright.1").contains("motorwright-compare"));
    assert_eq!(run_in(folder.path(), &["manual"]).stdout.replace('\\', ""), page("motorwright.1"));
}

/// The working may be left out of the data sheets, never of the program: each sheet then says where it stands.
#[rstest]
#[case::all("sheet_working = \"all\"\n", 62, 0)]
#[case::nothing_stated("", 1, 1)]
#[case::flagged("sheet_working = \"flagged\"\n", 1, 1)]
#[case::none("sheet_working = \"none\"\n", 0, 62)]
#[case::nowhere_else("sheet_working = \"none\"\nworking = \"none\"\n", 0, 62)]
fn data_sheets_show_their_working_as_the_basis_asks(#[case] keys: &str, #[case] with: usize, #[case] without: usize) {
    let folder = tempfile::tempdir().expect("a folder");
    let (schedule, basis) = example();
    let text = std::fs::read_to_string(basis).expect("the example's basis");
    let basis = text.replace("working = \"all\"\n", "").replace("[report]\n", &format!("[report]\n{keys}"));
    std::fs::write(folder.path().join("basis.toml"), basis).expect("it is written");
    let run = run_in(folder.path(), &["size", &schedule.to_string_lossy(), "--basis", "basis.toml", "--out", "out"]);
    assert_eq!(run.status, 0, "{}{}", run.stdout, run.stderr);
    let page = std::fs::read_to_string(folder.path().join("out/submittal.html")).expect("the page");
    let sheets: Vec<&str> = page.split("<section class=\"sheet filtered\"").skip(1).collect();
    let sheets: Vec<&str> = sheets.iter().map(|sheet| sheet.split("</section>").next().unwrap_or_default()).collect();
    let working = sheets.iter().filter(|sheet| sheet.contains("<caption>Working</caption>")).count();
    let elsewhere: Vec<&&str> = sheets.iter().filter(|sheet| sheet.contains("The working is left out here")).collect();
    // Flagged ones are some of them; each sheet has the one or the other.
    assert_eq!(working + elsewhere.len(), sheets.len());
    assert!(working >= with && elsewhere.len() >= without, "{working} and {}", elsewhere.len());
    let workbook = !keys.contains("\nworking = \"none\"");
    assert!(elsewhere.iter().all(|row| row.contains("of the workbook") == workbook));
}

/// The first line that a new user sees counts one thing as one.
#[test]
fn one_circuit_is_one_circuit() {
    let folder = folder_with("loads.csv", PLAIN.as_bytes());
    let run = run_in(folder.path(), &["size", "loads.csv", "--rules", "iec", "--out", "out"]);
    assert!(run.stdout.starts_with("1 circuit: "), "{}", run.stdout);
    let page = std::fs::read_to_string(folder.path().join("out/submittal.html")).expect("the page");
    assert!(page.replace('\u{a0}', " ").contains("<dd>1 row, 1 needs a decision"));
}

/// A wrong rule book is dangerous: where the option names another than the basis, nothing is sized.
#[test]
fn an_option_does_not_overrule_the_book_of_the_basis() {
    let folder = folder_with(
        "loads.csv",
        b"tag,rated_power_kw,full_load_current_a,voltage_v,starting_method,cable_length_m\nP-1,4,8,400,direct,20\n",
    );
    std::fs::write(folder.path().join("basis.toml"), "[rules]\nbook = \"nec\"\n").expect("it is written");
    let run = run_in(folder.path(), &["size", "loads.csv", "--basis", "basis.toml", "--rules", "iec", "--out", "out"]);
    assert!(run.status == 2 && run.stderr.contains("iec") && run.stderr.contains("nec"), "{}", run.stderr);
    assert!(!folder.path().join("out").exists());
    assert!(run_in(folder.path(), &["size", "loads.csv", "--basis", "basis.toml", "--rules", "nec", "--out", "out"]).status < 2);
}

/// Where the workbook's own sheet names the book, its rows are read as the trade of that book writes them: `EC` is the electrical
/// contractor there, and no motor with electronics of its own, whichever way the book is named.
#[rstest]
#[case::by_sheet(true)]
#[case::by_option(false)]
fn rows_are_read_by_the_book_however_it_is_named(#[case] by_sheet: bool) {
    let folder = tempfile::tempdir().expect("a folder");
    let mut book = rust_xlsxwriter::Workbook::new();
    let loads = book.add_worksheet();
    let rows = [
        ["Tag", "Description", "HP", "Volts", "Ph", "FLA", "Starter", "Run ft"],
        ["P-2", "Exhaust fan", "10", "460", "3", "14", "EC", "40"],
    ];
    for (row, cells) in (0_u32..).zip(rows) {
        for (column, cell) in (0_u16..).zip(cells) {
            loads.write_string(row, column, cell).expect("it is written");
        }
    }
    if by_sheet {
        let basis = book.add_worksheet();
        basis.set_name("Basis").expect("a name").write_string(0, 0, "rules.book").expect("it is written");
        basis.write_string(0, 1, "nec").expect("it is written");
    }
    book.save(folder.path().join("loads.xlsx")).expect("it is saved");
    let option: &[&str] = if by_sheet { &[] } else { &["--rules", "nec"] };
    let run = run_in(folder.path(), &[&["check", "loads.xlsx"], option].concat());
    assert!(run.stdout.contains("I418") && run.status == 1, "{} {}", run.stdout, run.stderr);
}
