//! Runs the program as a user does.

#![allow(dead_code)] // each test file uses a part

use std::io::{Cursor, Read, Write};
use std::path::{Path, PathBuf};

use motorwright::design::Design;
use motorwright::project::{self, Inputs, Options};

pub(crate) mod books;
pub(crate) mod bought;
pub(crate) mod dice;
pub(crate) mod mutation;
pub(crate) mod nec;
pub(crate) mod notes;

/// The outcome of a run.
pub(crate) struct Run {
    /// Exit status.
    pub(crate) status: i32,
    /// Standard output.
    pub(crate) stdout: String,
    /// Standard error.
    pub(crate) stderr: String,
}

/// The project's folder.
pub(crate) fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// The larger example: its schedule and its basis.
pub(crate) fn example() -> (PathBuf, PathBuf) {
    let [schedule, basis] = example_files("water-works");
    (schedule, basis)
}

/// Schedule and basis of an example.
pub(crate) fn example_files(name: &str) -> [PathBuf; 2] {
    ["csv", "toml"].map(|ending| root().join(format!("example-schedules/{name}.{ending}")))
}

/// The texts of both.
pub(crate) fn example_texts(name: &str) -> [String; 2] {
    example_files(name).map(|path| std::fs::read_to_string(path).expect("the example"))
}

/// An example, opened.
pub(crate) fn opened_example(name: &str) -> Inputs {
    let [schedule, basis] = example_files(name);
    let options = Options { schedule, basis: Some(basis), ..Options::default() };
    project::open(&options).expect("the example opens")
}

/// Runs the program in a folder.
pub(crate) fn run_in(folder: &Path, arguments: &[&str]) -> Run {
    let output = assert_cmd::Command::cargo_bin("motorwright")
        .expect("the program is built")
        .current_dir(folder)
        .env_remove("CLICOLOR_FORCE")
        .args(arguments)
        .output()
        .expect("the program runs");
    Run {
        status: output.status.code().expect("it ends by itself"),
        stdout: String::from_utf8_lossy(&output.stdout).into_owned(),
        stderr: String::from_utf8_lossy(&output.stderr).into_owned(),
    }
}

/// A folder of its own with one file in it.
pub(crate) fn folder_with(name: &str, bytes: &[u8]) -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(folder.path().join(name), bytes).expect("a file");
    folder
}

/// The design of a schedule in CSV on a basis in TOML.
pub(crate) fn design_of(schedule: &str, basis: &str) -> Design {
    let folder = folder_with("loads.csv", schedule.as_bytes());
    std::fs::write(folder.path().join("basis.toml"), basis).expect("a file");
    design_of_files(&folder.path().join("loads.csv"), &folder.path().join("basis.toml"))
}

/// The design of a schedule on a basis, both of which are files.
pub(crate) fn design_of_files(schedule: &Path, basis: &Path) -> Design {
    let options = Options { schedule: schedule.to_owned(), basis: Some(basis.to_owned()), ..Options::default() };
    project::open(&options).expect("it opens").design()
}

/// A schedule on a basis in TOML, opened.
pub(crate) fn opened(schedule: &Path, basis: &str) -> Inputs {
    let folder = folder_with("basis.toml", basis.as_bytes());
    let options = Options { schedule: schedule.to_owned(), basis: Some(folder.path().join("basis.toml")), ..Options::default() };
    project::open(&options).expect("it opens")
}

/// A schedule in CSV on a basis in TOML, opened.
pub(crate) fn opened_text(text: &str, basis: &str) -> Inputs {
    let folder = folder_with("loads.csv", text.as_bytes());
    opened(&folder.path().join("loads.csv"), basis)
}

/// design.json of a folder.
pub(crate) fn design(folder: &Path) -> serde_json::Value {
    serde_json::from_slice(&std::fs::read(folder.join("design.json")).expect("design.json is there")).expect("it is JSON")
}

/// A schedule of one direct motor that needs nothing else.
pub(crate) const PLAIN: &str = "tag,description,rated_power_kw,full_load_current_a,efficiency_pct,power_factor,voltage_v,starting_method,cable_length_m\n\
P-1,Pump,4,8.1,88.6,0.82,400,direct,30\n";

/// The workbook with one part rewritten.
pub(crate) fn with_part(bytes: &[u8], part: &str, edit: &dyn Fn(String) -> String) -> Vec<u8> {
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).expect("an archive");
    let mut writer = zip::ZipWriter::new(Cursor::new(Vec::new()));
    let mut edits = 0;
    for index in 0..archive.len() {
        let mut member = archive.by_index(index).expect("a member");
        let name = member.name().expect("a name").to_string();
        let mut content = Vec::new();
        member.read_to_end(&mut content).expect("it unpacks");
        if name == part {
            content = edit(String::from_utf8(content).expect("text")).into_bytes();
            edits += 1;
        }
        writer.start_file(name, zip::write::SimpleFileOptions::default()).expect("a member");
        writer.write_all(&content).expect("it packs");
    }
    assert_eq!(edits, 1, "{part} is there");
    writer.finish().expect("an archive").into_inner()
}

/// Circuits without the name of the file that they came from.
pub(crate) fn circuits_without_files(out: &Path) -> Vec<serde_json::Value> {
    let mut circuits = design(out)["circuits"].as_array().expect("circuits").clone();
    for value in &mut circuits {
        value["place"] = value["place"]["row"].clone();
        for finding in value["findings"].as_array_mut().into_iter().flatten() {
            if let Some(place) = finding["place"].as_object_mut() {
                place.remove("file");
                place.remove("sheet");
            }
        }
    }
    circuits
}
