//! Names that rows share, boards and duty groups, in one spelling: `mcc-1` and `MCC -1` are `MCC-1`, as tags are one that differ in
//! case and blanks alone; `MCC 1` is `MCC-1` too. A spelling of the basis counts first, then that of the first row.

use std::collections::{BTreeMap, HashMap, HashSet};

use super::{Intake, fold, rows, text};
use crate::finding::{Finding, Place, codes};
use crate::load::{Entry, Field, Value};

/// What a name is told by. A blank between two figures parts them: `DB 1 1` is not `DB 11`; one between letters and a figure is none, or
/// stands for a hyphen, as `hyphen` says.
fn identity(name: &str, hyphen: bool) -> String {
    let plain = fold::plain_hyphens(name);
    let ends = |word: &str, test: fn(char) -> bool| word.ends_with(test);
    let begins = |word: &str| word.starts_with(|first: char| first.is_ascii_digit());
    let mut kept = String::new();
    for word in plain.split_whitespace() {
        if begins(word) && (ends(&kept, |last| last.is_ascii_digit()) || hyphen && ends(&kept, char::is_alphabetic)) {
            kept.push('-');
        }
        kept.push_str(word);
    }
    rows::identity(&kept).into_owned()
}

/// Both readings of a name.
fn identities(name: &str) -> [String; 2] {
    [identity(name, false), identity(name, true)]
}

/// Gives boards, of which the basis knows some, and duty groups one spelling each.
pub(crate) fn settle(intake: &mut Intake, boards: &[&str]) {
    spell(intake, Field::Board, boards);
    spell(intake, Field::DutyGroup, &[]);
}

fn spell(intake: &mut Intake, field: Field, known: &[&str]) {
    let exact: HashSet<&str> = known.iter().copied().collect();
    let mut names: HashMap<String, String> = HashMap::new();
    for (name, key) in known.iter().flat_map(|name| identities(name).map(|key| (*name, key))) {
        names.entry(key).or_insert_with(|| name.to_owned());
    }
    // How often a spelling stands for a name, and where first.
    let mut told: BTreeMap<(String, String), (usize, Place)> = BTreeMap::new();
    for load in &mut intake.loads {
        let Some(entry) = load.entry(field) else { continue };
        let Value::Text(written) = &entry.value else { continue };
        if exact.contains(written.as_str()) {
            continue;
        }
        let keys = identities(written);
        let name = keys.iter().find_map(|key| names.get(key)).cloned().unwrap_or_else(|| written.trim().to_owned());
        for key in keys {
            names.entry(key).or_insert_with(|| name.clone());
        }
        if name.as_str() == written.as_str() {
            continue;
        }
        if name.as_str() != written.trim() {
            told.entry((written.to_string(), name.clone())).or_insert_with(|| (0, load.place_of(field))).0 += 1;
        }
        let entry = Entry { value: Value::Text(name.as_str().into()), ..entry.clone() };
        load.set(field, entry);
    }
    intake.findings.extend(told.into_iter().map(|((written, name), (count, place))| {
        let rows = if count == 1 { String::new() } else { format!(" ({count} rows)") };
        let what =
            format!("{} `{}` is taken for `{}`{rows}", field.spec().name, text::shortened(&written), text::shortened(&name));
        Finding::new(&codes::I453_SPELLED_OTHERWISE, what).at(place).cure("spell it alike, or give another one a name of its own")
    }));
}
