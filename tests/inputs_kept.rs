//! No output takes the place of a file that is read, whichever it is and whichever command writes.

mod common;

use std::path::Path;

use common::{example_files, folder_with, run_in};

/// What a run reads is never replaced by what it writes: a workbook that bears the name of an output, whoever wrote it, and the revision
/// before.
#[test]
fn no_output_takes_the_place_of_what_is_read() {
    let folder = folder_with(
        "loads.csv",
        b"tag,rated_power_kw,full_load_current_a,voltage_v,starting_method,cable_length_m\nP-1,4,8,400,direct,20\n",
    );
    let size = |arguments: &[&str]| run_in(folder.path(), &[&["size"], arguments, &["--rules", "iec"]].concat());
    assert!(size(&["loads.csv", "--out", "a"]).status < 2);
    let [workbook, design] = ["a/schedule.xlsx", "a/design.json"].map(|name| folder.path().join(name));
    std::fs::create_dir(folder.path().join("sent")).expect("a folder");
    std::fs::copy(&workbook, folder.path().join("sent/schedule.xlsx")).expect("it is copied");
    let sent = || std::fs::read(folder.path().join("sent/schedule.xlsx")).expect("it is there");
    let (before, issued) = (sent(), std::fs::read(&design).expect("it is there"));
    let run = size(&["sent/schedule.xlsx", "--out", "sent"]);
    assert!(run.status == 2 && run.stderr.contains("name another folder"), "{}", run.stderr);
    assert!(sent() == before && !folder.path().join("sent/labels.csv").exists());
    let run = size(&["loads.csv", "--previous", "a/design.json", "--out", "a"]);
    assert!(run.status == 2 && run.stderr.contains("design.json"), "{}", run.stderr);
    assert_eq!(std::fs::read(&design).expect("it is there"), issued);
    assert_eq!(size(&["a/schedule.xlsx", "--out", "a"]).status, 2);
    assert!(size(&["a/schedule.xlsx", "--out", "b"]).status < 2);
}

/// A folder with the first example's files under these names.
fn folder_of(schedule: &str, basis: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::create_dir(folder.path().join("own")).expect("a folder");
    for (from, to) in example_files("first-steps").iter().zip([schedule, basis]) {
        std::fs::copy(from, folder.path().join(to)).expect("it is copied");
    }
    folder
}

/// Runs a command that would write over a file that it reads, and asserts that the file stands as it was and nothing beside it.
fn assert_kept(folder: &Path, arguments: &[&str], kept: &str) {
    let read = || std::fs::read(folder.join(kept)).expect("it is there");
    let (before, beside) = (read(), std::fs::read_dir(folder.join("own")).expect("a folder").count());
    let run = run_in(folder, arguments);
    assert!(run.status == 2 && run.stderr.contains("name another folder") && run.stderr.contains(kept), "{}", run.stderr);
    assert!(read() == before, "{kept} was written over");
    assert_eq!(std::fs::read_dir(folder.join("own")).expect("a folder").count(), beside);
}

#[test]
fn the_basis_is_kept() {
    let folder = folder_of("loads.csv", "own/design.json");
    assert_kept(folder.path(), &["size", "loads.csv", "--basis", "own/design.json", "--out", "own"], "own/design.json");
}

/// A catalogue has a family of labels, as a design has a list of them: be the folder named by an option or in the basis.
#[test]
fn the_catalogue_is_kept() {
    let folder = folder_of("loads.csv", "basis.toml");
    let export = ["catalogue", "export", "--rules", "iec", "--out", "range"];
    assert_eq!(run_in(folder.path(), &export).status, 0);
    let by_option = ["size", "loads.csv", "--basis", "basis.toml", "--catalogue", "range", "--out", "range"];
    assert_kept(folder.path(), &by_option, "range/labels.csv");
    let basis = folder.path().join("basis.toml");
    let text = std::fs::read_to_string(&basis).expect("the basis");
    std::fs::write(&basis, format!("{text}\n[catalogue]\nfolder = \"range\"\n")).expect("it is written");
    assert_kept(folder.path(), &["size", "loads.csv", "--basis", "basis.toml", "--out", "range"], "range/labels.csv");
}

/// The files of a comparison take the place of none of its sides, bases and orders.
#[test]
fn the_sides_of_a_comparison_are_kept() {
    let folder = folder_of("loads.csv", "own/changes.json");
    let with_basis = ["compare", "loads.csv", "loads.csv", "--basis", "own/changes.json", "--out", "own"];
    assert_kept(folder.path(), &with_basis, "own/changes.json");

    let folder = folder_of("loads.csv", "basis.toml");
    assert!(run_in(folder.path(), &["size", "loads.csv", "--basis", "basis.toml", "--out", "issued"]).status < 2);
    for (from, to) in [("design.json", "own/changes.json"), ("schedule.xlsx", "own/changes.xlsx")] {
        std::fs::copy(folder.path().join("issued").join(from), folder.path().join(to)).expect("it is copied");
        assert_kept(folder.path(), &["compare", to, "loads.csv", "--basis", "basis.toml", "--out", "own"], to);
        assert_kept(folder.path(), &["compare", "loads.csv", to, "--basis", "basis.toml", "--out", "own"], to);
    }
    std::fs::copy(folder.path().join("issued/purchase-list.csv"), folder.path().join("own/changes.html")).expect("it is copied");
    let order = ["compare", "loads.csv", "loads.csv", "--basis", "basis.toml", "--ordered", "own/changes.html", "--out", "own"];
    assert_kept(folder.path(), &order, "own/changes.html");
}
