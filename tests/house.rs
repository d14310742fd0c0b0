//! Holds the house to its order: lower rooms know nothing of upper ones, and each library is named in one room only.

use std::path::{Path, PathBuf};

/// Rooms and their storey; a room may use rooms of its own storey and below.
const STOREYS: &[(&str, u32)] = &[
    ("commands", 9),
    ("report", 8),
    ("project", 7),
    ("purchase", 6),
    ("sizing", 5),
    ("supply", 4),
    ("design", 3),
    ("catalogue", 3),
    ("rules", 2),
    ("load", 1),
    ("basis", 1),
    ("intake", 1),
    ("quantity", 0),
    ("finding", 0),
    ("record", 0),
];

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn files(folder: &Path, ending: &str, found: &mut Vec<PathBuf>) {
    let mut entries: Vec<PathBuf> = std::fs::read_dir(folder).expect("a folder").flatten().map(|entry| entry.path()).collect();
    entries.sort();
    for path in entries {
        if path.is_dir() {
            files(&path, ending, found);
        } else if path.extension().is_some_and(|own| own == ending) {
            found.push(path);
        }
    }
}

/// Source files with their room, without what is compiled for tests only.
fn sources() -> Vec<(String, PathBuf, String)> {
    let mut found = Vec::new();
    files(&root().join("src"), "rs", &mut found);
    found
        .into_iter()
        .map(|path| {
            let inside = path.strip_prefix(root().join("src")).expect("in src").to_path_buf();
            let room =
                inside.components().next().expect("a name").as_os_str().to_string_lossy().trim_end_matches(".rs").to_owned();
            let text = std::fs::read_to_string(&path).expect("it reads");
            let code = text.split("#[cfg(test)]\nmod tests {").next().unwrap_or_default().to_owned();
            (room, inside, code)
        })
        .filter(|(_, path, _)| !path.to_string_lossy().contains("test") && !path.ends_with("report/workbook/fixture.rs"))
        .collect()
}

fn storey(room: &str) -> Option<u32> {
    STOREYS.iter().find(|(own, _)| *own == room).map(|(_, storey)| *storey)
}

#[test]
fn lower_rooms_know_nothing_of_upper_ones() {
    let mut wrong = Vec::new();
    for (room, path, code) in sources() {
        if matches!(room.as_str(), "lib" | "main") {
            continue;
        }
        let own = storey(&room).unwrap_or_else(|| panic!("{room} has no storey: put it into STOREYS"));
        for line in code.lines().filter(|line| !line.trim_start().starts_with("//")) {
            for part in line.split("crate::").skip(1) {
                // `use crate::{a, b}` names several rooms.
                let names: Vec<&str> = match part.strip_prefix('{') {
                    Some(list) => list.split(',').map(|name| name.trim().split(':').next().unwrap_or("")).collect(),
                    None => vec![part.split(|letter: char| !letter.is_alphanumeric() && letter != '_').next().unwrap_or("")],
                };
                for name in names {
                    if let Some(used) = storey(name)
                        && used > own
                    {
                        wrong.push(format!("{}: {room} uses {name}: {}", path.display(), line.trim()));
                    }
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn each_library_has_one_room() {
    let homes: &[(&str, &[&str])] = &[
        ("calamine::", &["intake"]),
        ("zip::", &["intake"]),
        ("rust_xlsxwriter", &["report"]),
        ("tera::", &["report"]),
        ("clap::", &["commands", "main"]),
        ("tempfile::", &["report"]),
    ];
    for (room, path, code) in sources() {
        for (library, rooms) in homes {
            assert!(!code.contains(library) || rooms.contains(&room.as_str()), "{} names {library}", path.display());
        }
    }
}

#[test]
fn nothing_is_left_undone_and_nothing_prints_by_itself() {
    for (_, path, code) in sources() {
        for word in ["todo!(", "unimplemented!(", "println!(", "eprintln!(", "dbg!(", ".unwrap()", "panic!("] {
            // A bad embedded table is a failed test, never a user's crash.
            let allowed = word == "panic!(" && (path.ends_with("rules/table.rs") || path.ends_with("catalogue/load.rs"));
            assert!(!code.contains(word) || allowed, "{}: {word}", path.display());
        }
        for word in [".powf(", ".exp()", ".ln()", ".log10()", ".log2()", ".sin()", ".cos()", ".tan()"] {
            assert!(!code.contains(word), "{}: {word} differs between platforms; the libm crate does not", path.display());
        }
    }
}

#[test]
fn every_table_names_its_source() {
    let mut tables = Vec::new();
    files(&root().join("src"), "csv", &mut tables);
    assert!(tables.len() > 50, "{}", tables.len());
    for path in tables {
        let text = std::fs::read_to_string(&path).expect("it reads");
        assert!(text.starts_with('#'), "{}", path.display());
        assert!(
            text.lines().take_while(|line| line.starts_with('#')).any(|line| line.starts_with("# source:")),
            "{}",
            path.display()
        );
    }
}

#[test]
fn the_project_needs_nothing_beside_itself() {
    let mut found = Vec::new();
    for (folder, ending) in [("src", "rs"), ("tests", "rs"), ("templates", "html")] {
        files(&root().join(folder), ending, &mut found);
    }
    let outside = ["..", "shared"].join("/");
    for path in found {
        assert!(!std::fs::read_to_string(&path).expect("it reads").contains(&outside), "{}", path.display());
    }
}
