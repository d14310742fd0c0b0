//! Words that senders use for the values of columns with a fixed choice: `Cu` for copper, `Type 2` for type-2.

use std::collections::HashMap;
use std::sync::LazyLock;

use serde::Deserialize;

use super::{fold, tables};
use crate::load::{Field, Kind, Value};

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    field: String,
    spelling: String,
    value: String,
}

const TABLE: &str = include_str!("tables/choices.csv");

static WORDS: LazyLock<HashMap<(Field, String), Value>> = LazyLock::new(|| {
    let known = |row: Row| {
        let field = Field::from_name(&row.field)?;
        Some(((field, fold::key(&row.spelling)), value(field, &row.value)?))
    };
    tables::rows::<Row>(TABLE).into_iter().filter_map(known).collect()
});

fn value(field: Field, name: &str) -> Option<Value> {
    match field.spec().kind {
        Kind::Choice(choices) => choices.iter().find(|(choice, _)| *choice == name).map(|(choice, _)| Value::Choice(choice)),
        Kind::YesNo if name == "yes" || name == "no" => Some(Value::YesNo(name == "yes")),
        _ => None,
    }
}

/// The value that a sender's word means in a column.
pub(super) fn meant(field: Field, word: &str) -> Option<Value> {
    WORDS.get(&(field, fold::key(word))).cloned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_is_read() {
        for row in tables::whole::<Row>(TABLE) {
            let field = Field::from_name(&row.field).unwrap();
            assert!(value(field, &row.value).is_some() && meant(field, &row.spelling) == value(field, &row.value), "{row:?}");
        }
    }
}
