//! Boards that bear another name than before. A board is recognised by the rows that it feeds, the boards behind it, its transformer and
//! what the basis states of it; the old side is then read as if it bore the new name, so that the name is told once and not in everything
//! that it is part of.

use std::collections::{BTreeMap, BTreeSet};

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::Value;

use super::pairs::plain;
use crate::basis::Basis;
use crate::design::Design;
use crate::finding::Finding;

/// A board under another name.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct RenamedBoard {
    /// Before.
    pub old_name: String,
    /// After.
    pub name: String,
    /// By what it was recognised.
    pub why: String,
}

impl RenamedBoard {
    /// Says it in a sentence.
    #[must_use]
    pub fn words(&self) -> String {
        format!("board {} is now {} ({})", self.old_name, self.name, self.why)
    }
}

/// Things in common from which two boards of different names are taken for one, so that a single row that moved makes no board: common
/// practice, no source.
const ALIKE: usize = 3;

/// What is known of a board.
#[derive(Default)]
struct Known {
    rows: BTreeSet<String>,
    /// Boards that it feeds.
    feeds: BTreeSet<String>,
    /// Keys of the basis with their values, but its name.
    keys: BTreeMap<String, String>,
    /// Transformer that feeds it and nothing else.
    transformer: Option<String>,
}

/// The boards of a side by their names.
fn known(side: &Design) -> BTreeMap<&str, Known> {
    let mut found: BTreeMap<&str, Known> = BTreeMap::new();
    for board in &side.boards {
        found.entry(&board.name).or_default();
        for feeding in board.fed_from.as_deref().unwrap_or_default().split(',').map(str::trim).filter(|name| !name.is_empty()) {
            found.entry(feeding).or_default().feeds.insert(board.name.clone());
        }
    }
    for circuit in &side.circuits {
        found.entry(&circuit.board).or_default().rows.insert(plain(&circuit.tag));
    }
    for transformer in &side.basis.transformers {
        let (Some(name), Some(to)) = (transformer.name.as_deref(), transformer.to.as_deref()) else { continue };
        if let Some(known) = found.get_mut(to.trim()) {
            known.transformer = Some(plain(name));
        }
    }
    for board in side.basis.boards.iter() {
        let Some(known) = board.name.as_deref().and_then(|name| found.get_mut(name.trim())) else { continue };
        if let Ok(Value::Object(keys)) = serde_json::to_value(board) {
            let stated = keys.into_iter().filter(|(key, value)| key != "name" && !value.is_null());
            known.keys = stated.map(|(key, value)| (key, value.to_string())).collect();
        }
    }
    // What feeds boards and is none, as a source or a transformer, has no rows of its own.
    found.retain(|name, _| !name.is_empty() && side.boards.iter().any(|board| board.name == *name));
    found
}

/// Boards of the old side that stand on the new one under another name.
pub(super) fn renamed(old: &Design, new: &Design) -> Vec<RenamedBoard> {
    let (before, now) = (known(old), known(new));
    let mut alike: Vec<(usize, &str, &str, String)> = Vec::new();
    for (old_name, one) in before.iter().filter(|(name, _)| !now.contains_key(*name)) {
        for (name, other) in now.iter().filter(|(name, _)| !before.contains_key(*name)) {
            alike.extend(likeness(one, other).map(|(score, why)| (score, *old_name, *name, why)));
        }
    }
    alike.sort_by(|one, other| (other.0, one.1, one.2).cmp(&(one.0, other.1, other.2)));
    let (mut taken, mut given) = (BTreeSet::new(), BTreeSet::new());
    let mut found = Vec::new();
    for (_, old_name, name, why) in alike {
        if !taken.contains(old_name) && !given.contains(name) {
            taken.insert(old_name);
            given.insert(name);
            found.push(RenamedBoard { old_name: old_name.to_owned(), name: name.to_owned(), why });
        }
    }
    found
}

/// A transformer has one board behind it, whatever that is called: it counts as much as what two other things say.
const SAME_TRANSFORMER: usize = 2;

/// How much two boards have in common, and what; none where it is too little, or where most of what the larger feeds is not fed by the
/// other.
fn likeness(one: &Known, other: &Known) -> Option<(usize, String)> {
    let rows = one.rows.intersection(&other.rows).count();
    let feeds = one.feeds.intersection(&other.feeds).count();
    let keys: Vec<&str> =
        one.keys.iter().filter(|(key, value)| other.keys.get(*key) == Some(value)).map(|(key, _)| key.as_str()).collect();
    let behind_one = one.transformer.is_some() && one.transformer == other.transformer;
    let stated = keys.len() + if behind_one { SAME_TRANSFORMER } else { 0 };
    let fed = (one.rows.len() + one.feeds.len()).max(other.rows.len() + other.feeds.len());
    let enough = rows + feeds > 0 && 2 * (rows + feeds) >= fed && rows + feeds + stated >= ALIKE;
    let counted = |count: usize, what: &str| (count > 0).then(|| format!("{count} {what}{}", if count == 1 { "" } else { "s" }));
    let mut alike: Vec<String> = keys.iter().map(|key| (*key).to_owned()).collect();
    alike.extend(behind_one.then(|| "its transformer".to_owned()));
    alike.extend(counted(rows, "row"));
    alike.extend(counted(feeds, "board").map(|boards| format!("{boards} behind it")));
    enough.then(|| (rows + feeds + stated, format!("alike in {}", alike.join(", "))))
}

/// The old side under the new names.
pub(super) fn under_new_names(old: &Design, renamed: &[RenamedBoard]) -> Design {
    let now = |text: &str| in_new_names(text, renamed);
    let name = |text: &mut String| {
        if let Some(board) = renamed.iter().find(|board| board.old_name == *text) {
            text.clone_from(&board.name);
        }
    };
    let said = |findings: &mut Vec<Finding>| findings.iter_mut().for_each(|finding| finding.what = now(&finding.what));
    let mut side = old.clone();
    for circuit in &mut side.circuits {
        name(&mut circuit.board);
        if let Some(Value::String(board)) = circuit.stated.get_mut("board") {
            name(board);
        }
        said(&mut circuit.findings);
    }
    for board in &mut side.boards {
        name(&mut board.name);
        board.fed_from = board.fed_from.as_deref().map(now);
        said(&mut board.findings);
    }
    said(&mut side.findings);
    side.basis = basis_under_new_names(&old.basis, &now);
    side
}

/// The basis with the new names wherever a network names boards.
fn basis_under_new_names(basis: &Basis, now: &dyn Fn(&str) -> String) -> Basis {
    let Ok(mut value) = serde_json::to_value(basis) else { return basis.clone() };
    for section in ["source", "transformer", "board", "decided"] {
        if let Some(stated) = value.get_mut(section) {
            texts(stated, now);
        }
    }
    serde_json::from_value(value).unwrap_or_else(|_| basis.clone())
}

fn texts(value: &mut Value, now: &dyn Fn(&str) -> String) {
    match value {
        Value::String(text) => *text = now(text),
        Value::Array(values) => values.iter_mut().for_each(|value| texts(value, now)),
        Value::Object(members) => members.values_mut().for_each(|value| texts(value, now)),
        _ => {}
    }
}

/// A text in which old names stand by themselves, in their new spelling; each place is looked at once. One or two letters without a figure
/// may be a unit: they count where the text is the name, or calls it a board.
fn in_new_names(text: &str, renamed: &[RenamedBoard]) -> String {
    let may_be_unit = |name: &str| name.chars().nth(2).is_none() && !name.contains(|letter: char| letter.is_ascii_digit());
    let of_name = |letter: char| letter.is_alphanumeric() || matches!(letter, '-' | '_');
    let stands = |at: usize, old: &str| {
        let Some(behind) = text[at..].strip_prefix(old).filter(|_| !old.is_empty()) else { return false };
        let before = &text[..at];
        let called = before.ends_with("board ") || before.is_empty() && behind.is_empty();
        !before.ends_with(of_name) && !behind.starts_with(of_name) && (!may_be_unit(old) || called)
    };
    let (mut done, mut from) = (String::new(), 0);
    for (at, letter) in text.char_indices() {
        if at < from {
            continue;
        }
        let found = renamed.iter().filter(|board| stands(at, &board.old_name)).max_by_key(|board| board.old_name.len());
        match found {
            Some(board) => {
                done.push_str(&board.name);
                from = at + board.old_name.len();
            }
            None => done.push(letter),
        }
    }
    done
}

#[cfg(test)]
mod tests {
    use super::{RenamedBoard, in_new_names};

    #[rstest::rstest]
    #[case("feeder of board MCC-P: MCC-P1, MCC-P.", "feeder of board MCC-CP1: MCC-P1, MCC-CP1.")]
    #[case("XMCC-P", "XMCC-P")]
    #[case("", "")]
    fn a_name_is_replaced_where_it_stands_by_itself(#[case] text: &str, #[case] now: &str) {
        assert_eq!(in_new_names(text, &[renamed("MCC-P", "MCC-CP1")]), now);
    }

    fn renamed(old: &str, new: &str) -> RenamedBoard {
        RenamedBoard { old_name: old.to_owned(), name: new.to_owned(), ..RenamedBoard::default() }
    }

    /// A board of the name of a unit leaves the unit, and names that swap are each replaced once.
    #[test]
    fn units_stay_and_names_that_swap_do_not_meet() {
        let short = [renamed("A", "MCC A")];
        assert_eq!(in_new_names("board A: sized for 1217.8 A", &short), "board MCC A: sized for 1217.8 A");
        assert_eq!(in_new_names("A", &short), "MCC A");
        let swapped = [renamed("MCC-1", "MCC-2"), renamed("MCC-2", "MCC-1")];
        assert_eq!(in_new_names("MCC-1 and MCC-2", &swapped), "MCC-2 and MCC-1");
    }
}
