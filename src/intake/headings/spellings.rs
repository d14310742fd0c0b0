//! The spellings of headings as their table has them, by what they stand below.

use std::collections::{HashMap, HashSet};
use std::sync::LazyLock;

use serde::Deserialize;

use super::{Meaning, letters};
use crate::intake::units::{Unit, unit_of};
use crate::intake::{fold, tables};
use crate::load::{FIELDS, Field, Kind};

pub(super) const TABLE: &str = include_str!("../tables/headings.csv");

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Row {
    #[serde(rename = "language")]
    _language: String,
    pub(super) spelling: String,
    pub(super) field: String,
    pub(super) unit: String,
    pub(super) group: String,
    #[serde(rename = "status")]
    _status: String,
}

#[derive(Clone, Debug, Default)]
pub(super) struct Entry {
    pub(super) meanings: Vec<Meaning>,
    pub(super) unit: Option<Unit>,
}

#[derive(Debug, Default)]
pub(super) struct Spellings {
    pub(super) canonical: HashMap<String, Field>,
    /// By group (empty for none) and key.
    pub(super) entries: HashMap<&'static str, HashMap<String, Entry>>,
    pub(super) groups: HashMap<String, Vec<String>>,
    /// Words of group headings below which a power or current is not that of the motor.
    pub(super) foreign: HashSet<String>,
    pub(super) fillers: HashSet<String>,
    /// Words that may stand in brackets and change nothing.
    pub(super) neutral: HashSet<String>,
    /// Words in brackets that repeat or explain what the name of a field says.
    pub(super) repeated: Vec<(Field, String)>,
}

pub(super) static SPELLINGS: LazyLock<Spellings> = LazyLock::new(|| {
    let mut all =
        Spellings { canonical: FIELDS.iter().map(|spec| (letters(spec.name), spec.field)).collect(), ..Spellings::default() };
    for row in rows() {
        let key = fold::key(&row.spelling);
        if row.field == "filler" {
            all.fillers.insert(key);
        } else if row.field == "neutral" {
            all.neutral.insert(key);
        } else if let Some(name) = row.field.strip_prefix(REPEATED) {
            all.repeated.extend(Field::from_name(name).map(|field| (field, key)));
        } else if row.field == "@foreign" {
            all.foreign.insert(key);
        } else if row.field.starts_with('@') {
            all.groups.entry(key).or_default().push(row.field.trim_start_matches('@').to_owned());
        } else {
            let Some(group) = GROUPS.iter().find(|group| **group == row.group) else { continue };
            let entry = all.entries.entry(group).or_default().entry(key).or_default();
            for meaning in row.field.split('|').filter_map(meaning) {
                if !entry.meanings.contains(&meaning) {
                    entry.meanings.push(meaning);
                }
            }
            entry.unit = entry.unit.or_else(|| unit_of(&row.unit));
        }
    }
    all
});

/// Marks a word in brackets of a field.
pub(super) const REPEATED: &str = "repeats:";

pub(super) const GROUPS: [&str; 8] = ["", "motor", "power", "supply", "starter", "cable", "control", "quantity"];

pub(super) fn rows() -> Vec<Row> {
    tables::rows(TABLE)
}

pub(super) fn meaning(name: &str) -> Option<Meaning> {
    if name == "-" {
        return Some(Meaning::Unused);
    }
    if let Some((column, value)) = name.split_once(':') {
        let field = [("method", Field::StartingMethod), ("supply", Field::SupplyClass)]
            .into_iter()
            .find_map(|(known, field)| (known == column).then_some(field))?;
        let Kind::Choice(choices) = field.spec().kind else { return None };
        return choices.iter().find(|(choice, _)| *choice == value).map(|(choice, _)| Meaning::Tick(field, choice));
    }
    Field::from_name(name).map(Meaning::Field)
}
