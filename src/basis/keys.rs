//! Sections and keys of a basis with what each means, from the schema of the types, so that no second list can fall behind.

use std::sync::LazyLock;

use serde_json::Value as Json;

use super::{Basis, BoardBasis, DecidedBasis, SourceBasis, TransformerBasis, bounds};

/// Values that the types admit at a key.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum KeyType {
    /// Text.
    Text,
    /// A number.
    Number,
    /// A whole number.
    Whole,
    /// True or false.
    YesNo,
}

/// A key of a section.
#[derive(Clone, Debug)]
pub struct Key {
    /// Name.
    pub name: String,
    /// Values that it may hold.
    pub kind: KeyType,
    /// Meaning in one line.
    pub meaning: String,
    /// The only words that it knows; none where any text will do.
    pub words: &'static [&'static str],
}

/// A section of the basis, as its type says.
#[derive(Clone, Debug)]
pub struct Section {
    /// Name.
    pub name: String,
    /// Whether there may be several, as of boards.
    pub repeated: bool,
    /// Meaning in one line.
    pub meaning: String,
    /// Its keys, in the order of the type.
    pub keys: Vec<Key>,
}

/// All sections, in the order of the type.
#[must_use]
pub fn sections() -> &'static [Section] {
    &SECTIONS
}

static SECTIONS: LazyLock<Vec<Section>> = LazyLock::new(|| {
    let schema = schemars::schema_for!(Basis);
    let resolve = |node: &Json| -> Json {
        let reference = node.get("$ref").and_then(Json::as_str).and_then(|reference| reference.strip_prefix('#'));
        reference.and_then(|pointer| schema.as_value().pointer(pointer)).unwrap_or(node).clone()
    };
    let properties = |node: &Json| node.get("properties").and_then(Json::as_object).cloned().unwrap_or_default();
    let written = declared();
    // The schema sorts names; a person reads them as they were declared.
    let place = |from: usize, name: &str| written[from..].find(&format!("\"{name}\":")).map_or(written.len(), |at| from + at);
    let mut sections: Vec<(usize, Section)> = properties(schema.as_value())
        .into_iter()
        .map(|(name, node)| {
            let at = place(0, &name);
            let repeated = node.get("items").is_some();
            let mut keys: Vec<(usize, Key)> = properties(&resolve(node.get("items").unwrap_or(&node)))
                .into_iter()
                .map(|(key, node)| {
                    let key =
                        Key { kind: type_of(&node), meaning: description(&node), words: bounds::words(&name, &key), name: key };
                    (place(at, &key.name), key)
                })
                .collect();
            keys.sort_by_key(|(at, _)| *at);
            let meaning = description(&node);
            (at, Section { name, repeated, meaning, keys: keys.into_iter().map(|(_, key)| key).collect() })
        })
        .collect();
    sections.sort_by_key(|(at, _)| *at);
    sections.into_iter().map(|(_, section)| section).collect()
});

/// Every key once, in the order in which it was declared.
fn declared() -> String {
    let all = Basis {
        sources: vec![SourceBasis::default()],
        transformers: vec![TransformerBasis::default()],
        boards: vec![BoardBasis::default()].into(),
        decided: vec![DecidedBasis::default()],
        ..Basis::default()
    };
    serde_json::to_string(&all).unwrap_or_default()
}

fn description(node: &Json) -> String {
    let text = node.get("description").and_then(Json::as_str).unwrap_or_default().replace('`', "");
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn type_of(node: &Json) -> KeyType {
    let is = |name: &str| match node.get("type") {
        Some(Json::String(one)) => one == name,
        Some(Json::Array(all)) => all.iter().any(|one| one == name),
        _ => false,
    };
    if is("integer") {
        KeyType::Whole
    } else if is("number") {
        KeyType::Number
    } else if is("boolean") {
        KeyType::YesNo
    } else {
        KeyType::Text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sections_and_keys_come_as_declared_each_with_its_meaning() {
        let names: Vec<&str> = sections().iter().map(|section| section.name.as_str()).collect();
        assert_eq!(names[..5], ["project", "rules", "supply", "source", "transformer"]);
        let supply = sections().iter().find(|section| section.name == "supply").expect("it is there");
        assert_eq!(supply.keys[0].name, "voltage_v");
        assert_eq!(supply.keys[0].kind, KeyType::Number);
        assert!(supply.keys.iter().any(|key| key.words.contains(&"TN-S")));
        for section in sections() {
            assert!(section.keys.iter().all(|key| !key.meaning.is_empty()), "{}", section.name);
        }
    }
}
