//! The list of hazards: each way in which a result could hurt somebody names the test that guards it, and that test exists and runs.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

#[derive(serde::Deserialize)]
struct Hazard {
    hazard: String,
    #[serde(rename = "how it could hurt")]
    how: String,
    #[serde(rename = "guarding test")]
    test: String,
}

/// Names of the functions that are run as tests: behind a test's attribute and not passed over.
fn tests_of(code: &str) -> BTreeSet<String> {
    let (mut found, mut test, mut ignored) = (BTreeSet::new(), false, false);
    for line in code.lines().map(str::trim) {
        if matches!(line, "#[test]" | "#[rstest]" | "#[rstest::rstest]") {
            test = true;
        } else if line.starts_with("#[ignore") {
            ignored = true;
        } else if let Some(rest) = line.strip_prefix("fn ") {
            if test && !ignored {
                found.insert(rest.split(['(', '<']).next().unwrap_or("").to_owned());
            }
            (test, ignored) = (false, false);
        }
    }
    found
}

fn collect(folder: &Path, tests: &mut BTreeSet<String>) {
    for path in std::fs::read_dir(folder).expect("a folder").flatten().map(|entry| entry.path()) {
        if path.is_dir() {
            collect(&path, tests);
        } else if path.extension().is_some_and(|name| name == "rs") {
            tests.extend(tests_of(&std::fs::read_to_string(&path).expect("it reads")));
        }
    }
}

#[test]
fn a_function_that_is_no_test_or_is_passed_over_is_no_guard() {
    let code = "fn helper() {}\n#[test]\nfn a() {}\n#[rstest]\n#[case::x(1)]\nfn b(#[case] x: u8) {}\n#[test]\n#[ignore = \"slow\"]\nfn c() {}\nfn d() {}\n";
    assert_eq!(tests_of(code), ["a", "b"].map(str::to_owned).into());
}

#[test]
fn every_hazard_has_a_guard_that_is_run() {
    let root = PathBuf::from(env!("CARGO_MANIFEST_DIR"));
    let mut tests = BTreeSet::new();
    for folder in ["src", "tests"] {
        collect(&root.join(folder), &mut tests);
    }
    let mut reader = csv::Reader::from_path(root.join("tests/hazards.csv")).expect("the list is there");
    let hazards: Vec<Hazard> = reader.deserialize().collect::<Result<_, _>>().expect("every line parses");
    assert!(hazards.len() >= 50, "{}", hazards.len());
    let mut seen = BTreeSet::new();
    for hazard in hazards {
        assert!(!hazard.hazard.trim().is_empty() && !hazard.how.trim().is_empty(), "{}", hazard.test);
        // Behind a test that runs over files stands the name of the file that guards.
        let (test, case) = hazard.test.split_once(' ').map_or((hazard.test.as_str(), None), |(test, case)| (test, Some(case)));
        assert!(tests.contains(test), "{}: no test {test} is run", hazard.hazard);
        assert_eq!(test == "sender", case.is_some(), "{}: which case of {test}?", hazard.hazard);
        let there = case.is_none_or(|case| root.join(format!("tests/senders/{case}.case")).is_file());
        assert!(there, "{}: there is no case {case:?}", hazard.hazard);
        assert!(seen.insert(hazard.hazard.clone()), "{} stands twice", hazard.hazard);
    }
}
