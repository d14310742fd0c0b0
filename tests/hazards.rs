//! The list of hazards: each way in which a result could hurt somebody names the test that guards it, and that test exists.

use std::path::{Path, PathBuf};

#[derive(serde::Deserialize)]
struct Hazard {
    hazard: String,
    #[serde(rename = "how it could hurt")]
    how: String,
    #[serde(rename = "guarding test")]
    test: String,
}

fn sources(folder: &Path, text: &mut String) {
    for path in std::fs::read_dir(folder).expect("a folder").flatten().map(|entry| entry.path()) {
        if path.is_dir() {
            sources(&path, text);
        } else if path.extension().is_some_and(|own| own == "rs") {
            text.push_str(&std::fs::read_to_string(&path).expect("it reads"));
        }
    }
}

#[test]
fn every_hazard_has_a_guard_that_exists() {
    let root = PathBuf::from(env!("CARGO_MANIFEST_DIR"));
    let mut code = String::new();
    for folder in ["src", "tests"] {
        sources(&root.join(folder), &mut code);
    }
    let mut reader = csv::Reader::from_path(root.join("tests/hazards.csv")).expect("the list is there");
    let hazards: Vec<Hazard> = reader.deserialize().collect::<Result<_, _>>().expect("every line parses");
    assert!(hazards.len() >= 30);
    for hazard in hazards {
        assert!(!hazard.hazard.is_empty() && !hazard.how.is_empty(), "{}", hazard.test);
        assert!(code.contains(&format!("fn {}(", hazard.test)), "{}: no test {}", hazard.hazard, hazard.test);
    }
}
