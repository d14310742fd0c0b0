//! design.json and its JSON Schema: the schema is made of the types and kept in step; what is written reads back equal.

use motorwright::design::Design;

/// Set this variable to write the schema anew.
const REWRITE: &str = "MOTORWRIGHT_REWRITE";

#[test]
fn the_schema_is_that_of_the_types() {
    let schema = schemars::schema_for!(Design);
    let mut text = serde_json::to_string_pretty(&schema).expect("a schema is JSON");
    text.push('\n');
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("schema/design.schema.json");
    if std::env::var_os(REWRITE).is_some() {
        std::fs::write(&path, &text).expect("the schema can be written");
    }
    let kept = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(kept == text, "schema/design.schema.json is behind the types: run the test with {REWRITE}=1");
}
