//! What differs in a circuit, and because of what: the old row is sized again, by what surrounds the new side, with one of its changes
//! at a time. What no single change brings about is tried the other way round, with one change taken back.

use super::selection::{self, Selection, value};
use super::{Consequence, FieldChange, Stated, Surrounding, Trial};
use crate::design::Circuit;

/// The consequences of a pair of rows.
pub(super) fn consequences(
    old: &Circuit,
    new: &Circuit,
    fields: &[FieldChange],
    surroundings: &[Surrounding],
    trial: Option<Trial<'_>>,
) -> Vec<Consequence> {
    let (before, after) = (selection::of(old), selection::of(new));
    let differing = differing(&before, &after);
    if differing.is_empty() {
        return Vec::new();
    }
    let causes: Vec<&FieldChange> = fields.iter().filter(|own| !own.text_only).collect();
    let around: Vec<String> = around(surroundings);
    let tried = trial.map(|trial| Tried::new(old, new, &causes, trial));
    let because = |path: &str| match &tried {
        Some(tried) => tried.because(path, &before, &around),
        // Nothing can be tried: all that may have caused it is named.
        None => causes.iter().map(|own| own.field.clone()).chain(around.iter().cloned()).collect(),
    };
    differing
        .into_iter()
        .map(|path| {
            let mut because: Vec<String> = because(&path);
            if because.is_empty() {
                because.push("other rows".to_owned());
            }
            Consequence { old: value(&before, &path).to_owned(), new: value(&after, &path).to_owned(), path, because }
        })
        .collect()
}

/// Kinds of surroundings that differ, each once.
fn around(surroundings: &[Surrounding]) -> Vec<String> {
    let mut kinds: Vec<String> = surroundings.iter().map(|own| own.what.clone()).collect();
    kinds.dedup();
    kinds
}

/// Paths whose values differ: those of the new side in its order, then those that are gone.
fn differing(before: &Selection, after: &Selection) -> Vec<String> {
    let of: std::collections::BTreeMap<&str, &str> = before.iter().map(|(path, own)| (path.as_str(), own.as_str())).collect();
    let there: std::collections::BTreeSet<&str> = after.iter().map(|(path, _)| path.as_str()).collect();
    let changed = after.iter().filter(|(path, own)| of.get(path.as_str()) != Some(&own.as_str())).map(|(path, _)| path.clone());
    let gone = before.iter().filter(|(path, _)| !there.contains(path.as_str())).map(|(path, _)| path.clone());
    changed.chain(gone).collect()
}

/// Circuits of the trials.
struct Tried {
    /// The old row, by what surrounds the new side.
    plain: Selection,
    /// The new row by itself.
    whole: Selection,
    /// By change: the old row with it, and the new row without it.
    each: Vec<(String, Selection, Selection)>,
}

impl Tried {
    fn new(old: &Circuit, new: &Circuit, causes: &[&FieldChange], trial: Trial<'_>) -> Self {
        let size = |stated: &Stated| selection::of(&trial(stated));
        let each = causes.iter().map(|own| {
            let one_more = with(&old.stated, &new.stated, &own.field);
            let one_less = with(&new.stated, &old.stated, &own.field);
            (own.field.clone(), size(&one_more), size(&one_less))
        });
        Self { each: each.collect(), plain: size(&old.stated), whole: size(&new.stated) }
    }

    fn because(&self, path: &str, before: &Selection, around: &[String]) -> Vec<String> {
        let names = |differs: &dyn Fn(&(String, Selection, Selection)) -> bool| {
            self.each.iter().filter(|own| differs(own)).map(|own| own.0.clone()).collect::<Vec<String>>()
        };
        let mut found = names(&|(_, with, _)| value(with, path) != value(&self.plain, path));
        if found.is_empty() {
            found = names(&|(_, _, without)| value(without, path) != value(&self.whole, path));
        }
        // Several changes may each do it alone, together they certainly do.
        if found.is_empty() && value(&self.plain, path) != value(&self.whole, path) {
            found = self.each.iter().map(|own| own.0.clone()).collect();
        }
        if !around.is_empty() && value(&self.plain, path) != value(before, path) {
            found.extend(around.iter().cloned());
        }
        found
    }
}

/// Columns that hold one quantity change together.
fn companions(field: &str) -> Vec<String> {
    let other = match field.rsplit_once('_') {
        Some((stem, "kw")) => Some(format!("{stem}_hp")),
        Some((stem, "hp")) => Some(format!("{stem}_kw")),
        Some((stem, "m")) => Some(format!("{stem}_ft")),
        Some((stem, "ft")) => Some(format!("{stem}_m")),
        _ => None,
    };
    std::iter::once(field.to_owned()).chain(other).collect()
}

/// What one side states, with a column as the other has it.
fn with(base: &Stated, from: &Stated, field: &str) -> Stated {
    let mut stated = base.clone();
    for name in companions(field) {
        match from.get(&name) {
            Some(value) => stated.insert(name, value.clone()),
            None => stated.remove(&name),
        };
    }
    stated
}
