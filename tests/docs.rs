//! Documents that are made of the code are kept in step with it. Run with MOTORWRIGHT_REWRITE=1 to write them anew.

use std::fmt::Write;

use motorwright::finding::CODES;
use motorwright::load::{FIELDS, Kind};

fn in_step(path: &str, text: &str) {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(path);
    if std::env::var_os("MOTORWRIGHT_REWRITE").is_some() {
        std::fs::write(&path, text).expect("it can be written");
    }
    assert!(
        std::fs::read_to_string(&path).unwrap_or_default() == text,
        "{} is behind the code: run with MOTORWRIGHT_REWRITE=1",
        path.display()
    );
}

#[test]
fn the_table_of_columns_is_that_of_the_code() {
    let mut text = "# Columns of a schedule\n\nMade of the code; any order of columns; only `tag` and one way to know the current are needed.\n\n\
                    | heading | holds | unit | meaning |\n| --- | --- | --- | --- |\n"
        .to_owned();
    for spec in FIELDS {
        let holds = match spec.kind {
            Kind::Text => "text".to_owned(),
            Kind::Tags => "tags".to_owned(),
            Kind::Number(low, high) => format!("number, {low} to {high}"),
            Kind::Count(low, high) => format!("whole number, {low} to {high}"),
            Kind::YesNo => "yes, no".to_owned(),
            Kind::Choice(choices) => choices.iter().map(|(name, _)| *name).collect::<Vec<_>>().join(", "),
        };
        writeln!(text, "| {} | {holds} | {} | {} |", spec.name, spec.unit, spec.meaning).expect("a string takes it");
    }
    in_step("docs/columns.md", &text);
}

#[test]
fn the_table_of_finding_codes_is_that_of_the_code() {
    let mut text = "# Codes of findings\n\nMade of the code. The letter names the room, a code is never used again.\n\n| code | severity | about |\n| --- | --- | --- |\n".to_owned();
    let mut seen = std::collections::BTreeSet::new();
    for code in CODES {
        assert!(seen.insert(code.code), "{} stands twice", code.code);
        writeln!(text, "| {} | {} | {} |", code.code, code.severity.word(), code.about).expect("a string takes it");
    }
    in_step("docs/findings.md", &text);
}
