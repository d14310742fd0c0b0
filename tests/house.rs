//! Holds the house to its order: lower rooms know nothing of upper ones, and each library is named in one room only.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

/// Rooms and their storey; a room may use rooms of its own storey and below.
const STOREYS: &[(&str, u32)] = &[
    ("commands", 11),
    ("report", 10),
    ("compare", 5),
    ("project", 9),
    ("purchase", 8),
    ("boards", 8),
    ("network", 7),
    ("sizing", 6),
    ("verify", 5),
    ("supply", 5),
    ("design", 4),
    ("catalogue", 3),
    ("conductors", 3),
    ("rules", 2),
    ("load", 1),
    ("basis", 1),
    ("intake", 1),
    ("quantity", 0),
    ("finding", 0),
    ("record", 0),
    ("threads", 0),
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
        } else if path.extension().is_some_and(|name| name == ending) {
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
        .filter(|(_, path, _)| !is_for_tests(path))
        .collect()
}

/// A file for tests, or one in the folder of a `tests.rs`.
fn is_for_tests(path: &std::path::Path) -> bool {
    let name = path.file_name().and_then(|name| name.to_str()).unwrap_or_default();
    FOR_TESTS.contains(&name) || path.components().any(|part| part.as_os_str() == "tests")
}

/// Names of files that a parent declares behind `#[cfg(test)]`.
const FOR_TESTS: [&str; 3] = ["tests.rs", "testing.rs", "fixture.rs"];

#[test]
fn files_for_tests_are_compiled_for_tests_only() {
    let mut found = Vec::new();
    files(&root().join("src"), "rs", &mut found);
    let mut behind = 0;
    for path in &found {
        let text = std::fs::read_to_string(path).expect("it reads");
        let lines: Vec<&str> = text.lines().map(str::trim).collect();
        for (index, line) in lines.iter().enumerate() {
            let Some(name) = line.strip_suffix(';').and_then(|line| line.rsplit_once("mod ")).map(|(_, name)| name) else {
                continue;
            };
            if FOR_TESTS.contains(&format!("{name}.rs").as_str()) {
                assert!(index > 0 && lines[index - 1] == "#[cfg(test)]", "{}: {line}", path.display());
                behind += 1;
            }
        }
        // Code behind the module of tests would go unseen by the checks below.
        let after =
            text.split_once("#[cfg(test)]\nmod tests {").and_then(|(_, after)| after.split_once("\n}\n")).map(|(_, after)| after);
        assert!(after.is_none_or(str::is_empty), "{}: code stands after the tests", path.display());
    }
    assert!(behind >= 5, "{behind}");
}

/// Top-level names after each `crate::`, a list over several lines included.
fn rooms_used(code: &str) -> Vec<String> {
    let bare: String = code.lines().filter(|line| !line.trim_start().starts_with("//")).collect::<Vec<_>>().join(" ");
    let word = |text: &str| {
        text.trim_start().split(|letter: char| !letter.is_alphanumeric() && letter != '_').next().unwrap_or("").to_owned()
    };
    let mut used = Vec::new();
    for part in bare.split("crate::").skip(1) {
        let Some(list) = part.strip_prefix('{') else {
            used.push(word(part));
            continue;
        };
        let (mut depth, mut start) = (0_u32, 0);
        for (index, letter) in list.char_indices() {
            match letter {
                '{' => depth += 1,
                '}' if depth > 0 => depth -= 1,
                ',' | '}' if depth == 0 => {
                    used.push(word(&list[start..index]));
                    start = index + 1;
                }
                _ => {}
            }
            if letter == '}' && start == index + 1 {
                break;
            }
        }
    }
    used.retain(|name| !name.is_empty());
    used
}

#[test]
fn lists_of_rooms_are_read_whole() {
    let code = "use crate::{\n    report::{lists, text},\n    load,\n};\nuse crate::basis::Basis; // crate\nfn a(b: crate::design::Design) {}\n// use crate::project;\n";
    assert_eq!(rooms_used(code), ["report", "load", "basis", "design"]);
}

fn storey(room: &str) -> Option<u32> {
    STOREYS.iter().find(|(name, _)| *name == room).map(|(_, storey)| *storey)
}

/// The verifier must not share the code that made the circuits, and that code must not lean on the verifier.
#[test]
fn the_verifier_and_what_it_tries_know_nothing_of_each_other() {
    let mut seen = 0;
    for (room, path, code) in sources() {
        let used = rooms_used(&code);
        if room == "verify" {
            seen += 1;
            let apart = ["sizing", "supply", "network", "boards", "purchase", "project", "report"];
            assert!(!used.iter().any(|used| apart.contains(&used.as_str())), "{}: {used:?}", path.display());
        }
        let tried = ["sizing", "supply", "network", "boards", "purchase"].contains(&room.as_str());
        assert!(!tried || !used.contains(&"verify".to_owned()), "{}", path.display());
    }
    assert!(seen >= 10, "{seen}");
}

#[test]
fn lower_rooms_know_nothing_of_upper_ones() {
    let mut wrong = Vec::new();
    for (room, path, code) in sources() {
        if matches!(room.as_str(), "lib" | "main") {
            continue;
        }
        let floor = storey(&room).unwrap_or_else(|| panic!("{room} has no storey: put it into STOREYS"));
        for name in rooms_used(&code) {
            if storey(&name).is_some_and(|used| used > floor) {
                wrong.push(format!("{}: {room} uses {name}", path.display()));
            }
        }
        // A path through `super` that leaves the room would go unseen.
        let depth = path.with_extension("").components().count();
        let most = code
            .match_indices("super::")
            .filter(|(at, _)| !code[..*at].ends_with("super::"))
            .map(|(at, _)| code[at..].split("super::").take_while(|part| part.is_empty()).count());
        assert!(most.max().unwrap_or(0) < depth, "{}: super reaches out of the room", path.display());
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn each_library_has_one_room() {
    let homes: &[(&str, &[&str])] = &[
        ("calamine::", &["intake"]),
        ("zip::", &["intake"]),
        ("quick_xml::", &["intake"]),
        ("encoding_rs::", &["intake"]),
        ("rust_xlsxwriter", &["report"]),
        ("tera::", &["report"]),
        ("clap::", &["commands", "main"]),
        ("tempfile::", &["report"]),
    ];
    for (room, path, code) in sources() {
        for (library, rooms) in homes {
            assert!(!code.contains(library) || rooms.contains(&room.as_str()), "{} names {library}", path.display());
        }
        assert!(
            !code.contains("rust_xlsxwriter") || path.starts_with("report/workbook") || path.ends_with("report/workbook.rs"),
            "{}",
            path.display()
        );
    }
}

/// Where `expect` may stand, and why no input reaches it.
const EXPECTED: &[(&str, &str)] = &[
    ("report/submittal.rs", "the templates are part of the program; a test renders them"),
    ("report/changes/page.rs", "the template is part of the program; a test renders it"),
];

#[test]
fn every_stated_reason_is_still_needed() {
    for (file, why) in EXPECTED {
        let used = sources()
            .iter()
            .any(|(_, path, code)| path.ends_with(file) && (code.contains(".expect(") || code.contains("unreachable!(")));
        assert!(used && !why.is_empty(), "{file} no longer needs its place in EXPECTED");
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
        for word in [".expect(", "unreachable!("] {
            let reason = EXPECTED.iter().find(|(file, _)| path.ends_with(file));
            assert!(!code.contains(word) || reason.is_some(), "{}: {word} without a stated reason", path.display());
        }
        for word in [".powf(", ".exp()", ".ln()", ".log10()", ".log2()", ".sin()", ".cos()", ".tan()"] {
            assert!(!code.contains(word), "{}: {word} differs between platforms; the libm crate does not", path.display());
        }
    }
}

/// Words of which a table's status has at least one; the first four say how sure a figure is, the last two how a spelling is known.
const STATUS: [&str; 6] = ["confirmed-2", "confirmed-1", "memory", "derived", "seen", "known"];

/// A binding bears the noun of what it holds; one word for everything can neither be searched nor spoken of.
/// Columns of a comment at the most; the formatter breaks none.
const WIDTH: usize = 140;

#[test]
fn comments_are_no_wider_than_code() {
    let mut found = Vec::new();
    ["src", "tests", "benches", "fuzz/fuzz_targets"].iter().for_each(|folder| files(&root().join(folder), "rs", &mut found));
    assert!(found.len() > 100, "{} files", found.len());
    let wide = found.iter().flat_map(|path| {
        let text = std::fs::read_to_string(path).expect("it reads");
        let lines = (1..).zip(text.lines()).filter(|(_, line)| line.trim_start().starts_with("//"));
        lines
            .filter(|(_, line)| line.chars().count() > WIDTH)
            .map(|(number, _)| format!("{}:{number}", path.display()))
            .collect::<Vec<_>>()
    });
    assert_eq!(wide.collect::<Vec<_>>(), Vec::<String>::new());
}

#[test]
fn no_binding_is_called_own() {
    let marks = ["|own|", "|own,", "|&own|", "(own,", "(own)", ", own)", "let own ", "let mut own ", " own: &", "for own in "];
    for (_, path, code) in sources() {
        let found = marks
            .iter()
            .find(|mark| code.lines().filter(|line| !line.trim_start().starts_with("//")).any(|line| line.contains(*mark)));
        assert!(found.is_none(), "{}: {}", path.display(), found.unwrap_or(&""));
    }
}

#[test]
fn every_table_names_its_source_and_its_status() {
    let mut tables = Vec::new();
    files(&root().join("src"), "csv", &mut tables);
    assert!(tables.len() > 50, "{}", tables.len());
    for path in tables {
        let text = std::fs::read_to_string(&path).expect("it reads");
        let head: Vec<&str> = text.lines().take_while(|line| line.starts_with('#')).collect();
        let after = |key: &str| head.iter().find_map(|line| line.strip_prefix(key)).map(str::trim);
        assert!(text.starts_with("# ") && after("# source:").is_some_and(|words| !words.is_empty()), "{}", path.display());
        if path.starts_with(root().join("src/catalogue")) {
            assert!(text.contains("invented demonstration range"), "{}", path.display());
            continue;
        }
        let status = after("# status:").unwrap_or_else(|| panic!("{}: no status", path.display()));
        assert!(STATUS.iter().any(|word| status.contains(word)), "{}: {status}", path.display());
        // Readers of the status line would take a row from memory for confirmed where the line says nothing of it.
        let rows: Vec<&str> = text.lines().filter(|line| !line.starts_with('#')).collect();
        let in_rows = rows[0].split(',').next_back() == Some("status") && rows.iter().any(|line| line.ends_with(",memory"));
        assert!(!in_rows || status.contains("memory"), "{}: rows from memory, but the status is {status}", path.display());
        let named = |word: &str| status.contains(word) || !text.contains(&format!("; {word}\""));
        assert!(named("memory"), "{}: remarks from memory, but the status is {status}", path.display());
    }
}

/// Where limits of the table `plausibility` are asked: where rows are read and held against what is usual, each for a finding. The table
/// says that none of them moves a figure; supply, network, feeders' lengths apart, and the second trial decide, and go by other tables.
const PLAUSIBLE_ASKED: [&str; 9] = [
    "rules/physics/plausibility.rs",
    "rules/iec/rated.rs",
    "rules/nec/rated.rs",
    "sizing/plausible.rs",
    "sizing/plausible/motor.rs",
    "sizing/plausible/surroundings.rs",
    "sizing/resolve.rs",
    "sizing/resolve/brake_voltage.rs",
    "sizing/resolve/machine.rs",
];

#[test]
fn no_decision_goes_by_a_limit_that_only_raises_findings() {
    for (_, path, code) in sources() {
        let asks = code.contains("plausible(\"") || code.contains("plausible(name") || code.contains("plausible(longest");
        assert!(!asks || PLAUSIBLE_ASKED.iter().any(|file| path.ends_with(file)), "{}", path.display());
    }
}

/// Names of all figures that stand in tables by name, with the first number of their row.
fn figures() -> Vec<(PathBuf, String, String)> {
    let mut tables = Vec::new();
    files(&root().join("src/rules"), "csv", &mut tables);
    let mut found = Vec::new();
    for path in tables {
        let text = std::fs::read_to_string(&path).expect("it reads");
        let mut rows = text.lines().filter(|line| !line.starts_with('#'));
        if rows.next().is_some_and(|heading| heading.starts_with("name,value") || heading.starts_with("name,iec,nec")) {
            let mut cells = rows.map(|row| row.split(','));
            let named = cells.by_ref().filter_map(|mut row| Some((path.clone(), row.next()?.to_owned(), row.next()?.to_owned())));
            found.extend(named);
        }
    }
    assert!(found.len() > 150, "{}", found.len());
    found
}

/// A function of a file of the rule books that looks a figure up by its name, and the names of its table.
struct LookUp {
    file: PathBuf,
    function: String,
    names: Vec<String>,
}

impl LookUp {
    fn stem(&self) -> &str {
        self.file.file_stem().and_then(|stem| stem.to_str()).unwrap_or_default()
    }
}

/// Names in the first column of a table of the book to which a file belongs.
fn names_of(table: &str, file: &Path) -> Vec<String> {
    let path = root().join("src").join(file).with_file_name("tables").join(format!("{table}.csv"));
    let text = std::fs::read_to_string(&path).expect("it reads");
    let rows = text.lines().filter(|line| !line.starts_with('#')).skip(1);
    rows.filter_map(|row| row.split(',').next()).map(str::to_owned).collect()
}

/// The functions that find a row by its name in the table of their file, and those anywhere that only pass the name on to such a one.
fn look_ups() -> Vec<LookUp> {
    let mut found: Vec<LookUp> = Vec::new();
    let mut passed_on = Vec::new();
    for (_, file, code) in sources() {
        let lines: Vec<&str> = code.lines().map(str::trim).collect();
        for pair in lines.windows(2) {
            let closure =
                pair[0].split_once(" = |name: &str| ").and_then(|(head, body)| Some((head.strip_prefix("let ")?, body)));
            let named = ["(name: &str", "(case: &str", "(family: &str"].iter().find_map(|named| pair[0].split_once(named));
            let stated = named.and_then(|(head, _)| Some((head.rsplit_once("fn ")?.1, pair[1])));
            let Some((function, body)) = closure.or(stated) else { continue };
            let (file, function) = (file.clone(), function.to_owned());
            if let Some((rows, _)) = body.split_once("_ROWS.iter().find(|row| row.") {
                let declared = lines.iter().find_map(|line| line.split_once(&format!(", {rows}_ROWS: ")));
                let table = declared.and_then(|(_, rest)| rest.split('"').nth(1)).expect("a table");
                found.push(LookUp { names: names_of(table, &file), file, function });
            } else if let Some((called, _)) = body.split_once("(name") {
                passed_on.push((file, function, called.trim_start_matches("Celsius(").to_owned(), code.clone()));
            }
        }
    }
    for (file, function, called, code) in passed_on {
        let (path, called) = called.rsplit_once("::").map_or((None, called.as_str()), |(path, called)| (Some(path), called));
        if let Some(names) = names_for(&found, &file, path, called, &code) {
            found.push(LookUp { file, function, names });
        }
    }
    found
}

/// Names that a call of a function in a file may use: those of the file that its path tells, else of the file itself, else of those that it
/// imports it from. None where the function is another one of the same name.
fn names_for(look_ups: &[LookUp], file: &Path, path: Option<&str>, function: &str, code: &str) -> Option<Vec<String>> {
    let word = |text: &str, wanted: &str| {
        text.split(|letter: char| !letter.is_alphanumeric() && letter != '_').any(|word| word == wanted)
    };
    let imports = code.split("use ").skip(1).filter_map(|rest| rest.split(';').next());
    let imports: Vec<&str> = imports.filter(|import| word(import, function)).collect();
    let imported = |look_up: &LookUp| imports.iter().any(|import| word(import, look_up.stem()));
    let called = || look_ups.iter().filter(|look_up| look_up.function == function);
    let from: Vec<&LookUp> = match path {
        Some(path) => called().filter(|look_up| look_up.stem() == path).collect(),
        None if called().any(|look_up| look_up.file == file) => called().filter(|look_up| look_up.file == file).collect(),
        None => called().filter(|look_up| imported(look_up)).collect(),
    };
    (!from.is_empty()).then(|| from.into_iter().flat_map(|look_up| look_up.names.clone()).collect())
}

/// The texts within the parentheses of a call.
fn texts_of(arguments: &str) -> Vec<&str> {
    let mut depth = 1_u32;
    let end = arguments.char_indices().find(|(_, letter)| {
        depth = match letter {
            '(' => depth + 1,
            ')' => depth - 1,
            _ => depth,
        };
        depth == 0
    });
    let inside = end.map_or(arguments, |(end, _)| &arguments[..end]);
    inside.split('"').skip(1).step_by(2).filter(|text| !text.contains('{')).collect()
}

/// Each figure that code names stands in the table of the function that it asks: a slip of the pen would be a number that is none.
#[test]
fn every_figure_that_code_names_is_in_its_table() {
    let look_ups = look_ups();
    let functions: BTreeSet<&str> = look_ups.iter().map(|look_up| look_up.function.as_str()).collect();
    let mut asked = 0;
    for (_, file, code) in sources() {
        for function in &functions {
            for (at, call) in code.match_indices(&format!("{function}(")) {
                let before = &code[..at];
                if before.ends_with(|letter: char| letter.is_alphanumeric() || "_.".contains(letter)) || before.ends_with("fn ") {
                    continue;
                }
                let path = before
                    .strip_suffix("::")
                    .and_then(|before| before.rsplit(|letter: char| !letter.is_alphanumeric() && letter != '_').next());
                let Some(known) = names_for(&look_ups, &file, path, function, &code) else { continue };
                for name in texts_of(&code[at + call.len()..]) {
                    assert!(
                        known.iter().any(|known| known == name),
                        "{}: {function}(\"{name}\") is not in its table",
                        file.display()
                    );
                    asked += 1;
                }
            }
        }
    }
    assert!(functions.len() > 10 && asked > 300, "{} {asked}", functions.len());
    for (path, name, figure) in figures() {
        assert!(figure.parse::<f64>().map_or(true, f64::is_finite), "{}: {name} is {figure}", path.display());
    }
}

/// A row that nothing reads looks like a rule that is kept. Names that code puts together are known by their first part.
#[test]
fn no_figure_of_a_table_is_idle() {
    let code: String = sources().into_iter().map(|(_, _, code)| code).collect();
    for (path, name, _) in figures() {
        // Checks bear names too, some of them that of a figure.
        let check = |before: &str| ["at_least(", "at_most(", "not_checked("].iter().any(|call| before.ends_with(call));
        let asked = code.match_indices(&format!("\"{name}\"")).any(|(at, _)| !check(&code[..at]));
        let made = name.match_indices('-').any(|(at, _)| code.contains(&format!("\"{}-{{", &name[..at])));
        assert!(asked || made, "{}: {name} is not used", path.display());
    }
}

/// Functions of the rule books that no circuit asks for yet: each is held against its published example and waits for its use.
const NOT_ASKED_FOR: &[&str] = &[
    "disconnection_time_tt",
    "r_current",
    "coordination_type",
    "apparent_power_ceiling",
    "semiconductor_rating",
    "intermittent_class",
    "intermittent_factor",
    "default_operations_per_hour",
    "small_motor_conductor",
    "dc_ohm_per_kft",
    "larger_conductor_maximum",
    "secondary_by_primary",
    "general_use_switch",
    "snap_switch",
    "disconnect_exception",
    "torque_disconnect_minimum",
    "synchronous_current",
    "variable_voltage_current",
    "small_motor_group",
    "smallest_motor_group",
    "listed_group",
    "combined_device",
    "printed_at_85",
    "rectifier_output",
    "rectifier_input",
    "secondary_resistor",
    "resistor_dc",
    "pipe_heat",
    "increased_ceiling",
    "thermal_protector_ceiling",
    "hermetic_device_ceiling",
    "torque_motor_maximum",
    "part_winding_half",
    "allowed_start_time",
    "coefficients",
    "smallest_size",
    "effective",
    "torque_motor",
    "locked_rotor_current",
    "parallel_factor",
    "one_pole_demand",
    "residual_voltage",
    "drive_input_current",
    "reduced_voltage_start_time",
    "nine_terminal_currents",
    "rotor_starting_resistance",
    "factor_k",
    "square_trip_time",
    "multiplier_trip_time",
    "model_state",
    "recovery_minutes",
];

/// A function that the rule books show, at its place.
struct Clause {
    module: String,
    path: PathBuf,
    name: String,
    /// Of a type.
    method: bool,
    says_idle: bool,
}

/// Module of a file: its name, or that of its folder.
fn module(path: &std::path::Path) -> String {
    path.file_stem().map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default()
}

fn clauses(path: &std::path::Path, code: &str) -> Vec<Clause> {
    let lines: Vec<&str> = code.lines().collect();
    let mut found = Vec::new();
    for (index, line) in lines.iter().enumerate() {
        let bare = line.trim_start();
        let Some(rest) = bare.strip_prefix("pub fn ").or_else(|| bare.strip_prefix("pub const fn ")) else { continue };
        let before = lines[..index].iter().rev().map(|line| line.trim());
        let mut about = before.take_while(|line| line.starts_with("///") || line.starts_with("#["));
        found.push(Clause {
            module: module(path),
            path: path.to_owned(),
            name: rest.split(['(', '<']).next().unwrap_or_default().to_owned(),
            method: line.starts_with(' '),
            says_idle: about.any(|line| line.ends_with("No circuit asks for this yet.")),
        });
    }
    found
}

/// Words of code, each with what stands before and after it; neither comments nor what an import names.
fn words(code: &str) -> Vec<(&str, &str, &str)> {
    let is_word = |letter: char| letter.is_alphanumeric() || letter == '_';
    let mut found = Vec::new();
    let mut start = None;
    for (at, letter) in code.char_indices().chain([(code.len(), ' ')]) {
        match (start, is_word(letter)) {
            (None, true) => start = Some(at),
            (Some(from), false) => {
                found.push((&code[..from], &code[from..at], &code[at..]));
                start = None;
            }
            _ => {}
        }
    }
    found
}

/// Code without comments and imports.
fn without_imports(code: &str) -> String {
    let mut bare = String::new();
    let mut importing = false;
    for line in code.lines().map(|line| line.split("//").next().unwrap_or_default()) {
        importing |= line.trim_start().starts_with("use ") || line.trim_start().starts_with("pub use ");
        if !importing {
            bare.push_str(line);
            bare.push('\n');
        }
        importing &= !line.trim_end().ends_with(';');
    }
    bare
}

/// Whether a word is a call of the function or hands it on: by its module, by itself where the file has no other of that name, or as a
/// method.
fn is_call(before: &str, after: &str, here: &std::path::Path, clause: &Clause, others: &[&Clause]) -> bool {
    if before.ends_with("fn ") {
        return false;
    }
    let after = after.trim_start();
    let called = after.starts_with('(') || after.starts_with("::<");
    if before.ends_with('.') {
        return clause.method && called;
    }
    if let Some(path) = before.strip_suffix("::") {
        let by = path.rsplit(|letter: char| !letter.is_alphanumeric() && letter != '_').next().unwrap_or_default();
        return by == clause.module || !others.iter().any(|other| other.module == by);
    }
    let handed_on = (before.trim_end().ends_with('(') || before.trim_end().ends_with(','))
        && (after.starts_with(')') || after.starts_with(','));
    let in_own_file = others.iter().any(|other| other.path == here);
    !clause.method && (called || handed_on) && (clause.path == here || !in_own_file)
}

/// A clause that stands in the source looks like one that circuits keep: what nothing but a test calls says so, and none is added unseen.
#[test]
fn a_clause_that_no_circuit_asks_for_says_so() {
    let sources = sources();
    let bare: Vec<(&PathBuf, String)> = sources.iter().map(|(_, path, code)| (path, without_imports(code))).collect();
    let mut places: BTreeMap<&str, Vec<(&PathBuf, &str, &str)>> = BTreeMap::new();
    for (path, code) in &bare {
        for (before, word, after) in words(code) {
            places.entry(word).or_default().push((path, before, after));
        }
    }
    let clauses: Vec<Clause> =
        sources.iter().filter(|(room, ..)| room == "rules").flat_map(|(_, path, code)| clauses(path, code)).collect();
    let (mut found, mut wrong) = (Vec::new(), Vec::new());
    for clause in &clauses {
        let others: Vec<&Clause> =
            clauses.iter().filter(|other| other.name == clause.name && other.path != clause.path).collect();
        let asked =
            places[clause.name.as_str()].iter().any(|(here, before, after)| is_call(before, after, here, clause, &others));
        if asked == clause.says_idle {
            wrong.push(format!(
                "{}: {} {}",
                clause.path.display(),
                clause.name,
                if asked { "is called" } else { "is not called" }
            ));
        }
        if !asked {
            found.push(clause.name.as_str());
        }
    }
    assert_eq!(wrong, Vec::<String>::new());
    let mut listed = NOT_ASKED_FOR.to_vec();
    found.sort_unstable();
    listed.sort_unstable();
    assert_eq!(found, listed);
}

/// A word is no call: another function of that name, a field or a variable of it, or its own definition.
#[test]
fn what_bears_the_name_of_a_clause_is_no_call_of_it() {
    let clause = |module: &str, method| Clause {
        module: module.to_owned(),
        path: PathBuf::from(format!("rules/{module}.rs")),
        name: "smallest_size".to_owned(),
        method,
        says_idle: false,
    };
    let (thermal, controller) = (clause("thermal", false), clause("controller", false));
    let called = |code: &str, here: &str| {
        let code = without_imports(code);
        words(&code).into_iter().any(|(before, word, after)| {
            word == "smallest_size" && is_call(before, after, std::path::Path::new(here), &thermal, &[&controller])
        })
    };
    for code in ["x = thermal::smallest_size(a);", "smallest_size(a)", "xs.map(smallest_size)", "xs.map(thermal::smallest_size)"]
    {
        assert!(called(code, "sizing/runs.rs"), "{code}");
    }
    for code in [
        "fn smallest_size(a: f64) {}",
        "let smallest_size = 1.0;",
        "row.smallest_size",
        "row.smallest_size()",
        "controller::smallest_size(a)",
        "use thermal::smallest_size;",
        "use thermal::{\n    smallest_size,\n};",
        "// thermal::smallest_size(a)",
    ] {
        assert!(!called(code, "sizing/runs.rs"), "{code}");
    }
    assert!(!called("smallest_size(a)", "rules/controller.rs"), "the file has one of its own");
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
