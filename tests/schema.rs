//! design.json and its JSON Schema: the schema is made of the types and kept in step, and designs that are written hold to it.

use motorwright::design::Design;
use serde_json::Value;

mod common;

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

/// Every keyword of the schema, by JSON Schema 2020-12; one that is not here would be passed over in silence.
const KEYWORDS: &[&str] = &[
    "$defs",
    "$ref",
    "$schema",
    "additionalProperties",
    "anyOf",
    "const",
    "default",
    "description",
    "format",
    "items",
    "maxItems",
    "minItems",
    "minimum",
    "oneOf",
    "properties",
    "required",
    "title",
    "type",
];

/// The schema with the definitions that it refers to.
struct Schema<'s>(&'s Value);

impl Schema<'_> {
    /// Faults of a value against a part of the schema, each with its path.
    fn faults(&self, part: &Value, value: &Value, path: &str) -> Vec<String> {
        let Some(part) = part.as_object() else {
            return if part == &Value::Bool(false) { vec![format!("{path}: not admitted")] } else { Vec::new() };
        };
        let mut faults = Vec::new();
        let mut unless = |holds: bool, why: String| {
            if !holds {
                faults.push(format!("{path}: {why}"))
            }
        };
        for (keyword, said) in part {
            assert!(KEYWORDS.contains(&keyword.as_str()), "the keyword {keyword} is not tried");
            let list = || said.as_array().into_iter().flatten();
            match keyword.as_str() {
                "type" => {
                    let of_type = |kind: &Value| kind.as_str().is_some_and(|kind| is_of(value, kind));
                    unless(of_type(said) || list().any(of_type), format!("{value} is not of type {said}"));
                }
                "const" => unless(value == said, format!("{value} is not {said}")),
                "minimum" => unless(
                    value.as_f64().zip(said.as_f64()).is_none_or(|(value, least)| value >= least),
                    format!("{value} is below {said}"),
                ),
                "minItems" | "maxItems" => {
                    let number =
                        value.as_array().map(Vec::len).zip(said.as_u64().and_then(|number| usize::try_from(number).ok()));
                    let holds = number
                        .is_none_or(|(number, limit)| if keyword == "minItems" { number >= limit } else { number <= limit });
                    unless(holds, format!("{keyword} {said}"));
                }
                "required" => {
                    let missing: Vec<&str> =
                        list().filter_map(Value::as_str).filter(|name| value.is_object() && value.get(name).is_none()).collect();
                    unless(missing.is_empty(), format!("lacks {missing:?}"));
                }
                "anyOf" | "oneOf" => {
                    let kept = list().filter(|part| self.faults(part, value, path).is_empty()).count();
                    unless(kept == 1 || (keyword == "anyOf" && kept > 0), format!("{kept} of {keyword} hold for {value}"));
                }
                _ => {}
            }
        }
        if let Some(name) = part.get("$ref").and_then(Value::as_str) {
            let pointer = name.strip_prefix('#').expect("a reference within the schema");
            faults.extend(self.faults(self.0.pointer(pointer).expect("it is defined"), value, path));
        }
        if let (Some(items), Some(values)) = (part.get("items"), value.as_array()) {
            faults.extend(values.iter().enumerate().flat_map(|(at, value)| self.faults(items, value, &format!("{path}[{at}]"))));
        }
        for (name, value) in value.as_object().into_iter().flatten() {
            let known = part.get("properties").and_then(|properties| properties.get(name));
            if let Some(part) = known.or(part.get("additionalProperties")) {
                faults.extend(self.faults(part, value, &format!("{path}.{name}")));
            }
        }
        faults
    }
}

fn is_of(value: &Value, kind: &str) -> bool {
    match kind {
        "null" => value.is_null(),
        "boolean" => value.is_boolean(),
        "string" => value.is_string(),
        "array" => value.is_array(),
        "object" => value.is_object(),
        "number" => value.is_number(),
        "integer" => value.as_f64().is_some_and(|number| number.fract() == 0.0),
        _ => false,
    }
}

#[rstest::rstest]
#[case::iec("water-works")]
#[case::nec("hospital-hvac")]
#[case::network("pumping-station")]
fn a_written_design_holds_to_the_schema_and_reads_back_equal(#[case] name: &str) {
    let design = common::opened_example(name).design();
    let text = serde_json::to_string(&design).expect("it is written");
    let written: Value = serde_json::from_str(&text).expect("JSON");
    let schema = serde_json::to_value(schemars::schema_for!(Design)).expect("JSON");
    let faults = Schema(&schema).faults(&schema, &written, "design");
    assert!(faults.is_empty(), "{}\n{}", faults.len(), faults[..faults.len().min(20)].join("\n"));
    let back: Design = serde_json::from_str(&text).expect("it reads");
    assert_eq!(serde_json::to_value(&back).expect("JSON"), written);
    // A field of another type is found.
    let mut other = written;
    other["circuits"][0]["quantity"] = Value::from("two");
    assert!(!Schema(&schema).faults(&schema, &other, "design").is_empty());
}
