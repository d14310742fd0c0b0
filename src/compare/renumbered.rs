//! Tags that moved along: a machine was put in or taken out of a run of numbers, and each row behind it says what its neighbour said.
//! Tags are the contract, so rows stay paired by them; that they look renumbered is said, with the options that pair them so.

use std::collections::{BTreeMap, BTreeSet};

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::inputs;
use super::pairs::{Pairs, plain};
use crate::design::Circuit;
use crate::rules::physics::comparison::practice;

/// Rows that look renumbered.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Renumbered {
    /// Before, in the order of their numbers.
    pub old_tags: Vec<String>,
    /// After, in the same order.
    pub tags: Vec<String>,
    /// Columns that differ while they are paired by tag.
    pub columns_by_tag: usize,
    /// Columns that would still differ.
    pub columns_renumbered: usize,
    /// Options that compare them so.
    pub options: String,
}

impl Renumbered {
    /// Says in a sentence which rows look renumbered.
    #[must_use]
    pub fn what(&self) -> String {
        let still = match self.columns_renumbered {
            0 => "none".to_owned(),
            more => more.to_string(),
        };
        format!(
            "{} look renumbered to {}: paired by tag they differ in {} columns, paired so in {still}",
            range(&self.old_tags),
            range(&self.tags),
            self.columns_by_tag
        )
    }

    /// The same with what to do.
    #[must_use]
    pub fn words(&self) -> String {
        format!("{}. Rows are paired by tag; to compare them so: {}", self.what(), self.options_shown())
    }

    /// The options, as many as anybody types.
    pub(super) fn options_shown(&self) -> String {
        match self.tags.len().checked_sub(SHOWN) {
            None | Some(0) => self.options.clone(),
            Some(more) => {
                let first = |tags: &[String]| tags.iter().take(SHOWN).cloned().collect::<Vec<_>>();
                let shown = options(&first(&self.old_tags), &first(&self.tags));
                format!("{shown} and {more} more (all in `renumbered` of changes.json, which `compare` writes)")
            }
        }
    }
}

/// `P-1 to P-3`, or both where there are two.
fn range(tags: &[String]) -> String {
    match tags {
        [one, other] => format!("{one} and {other}"),
        [first, .., last] => format!("{first} to {last}"),
        _ => tags.join(", "),
    }
}

/// Options that are written out in words.
const SHOWN: usize = 12;

/// Options that pair these tags.
fn options(old_tags: &[String], tags: &[String]) -> String {
    let each = old_tags.iter().zip(tags).map(|(old, new)| format!("--same {}", quoted(&format!("{old}={new}"))));
    each.collect::<Vec<_>>().join(" ")
}

/// More numbers than these that one step could be tell nothing.
const CROWD: usize = 40;

/// A tag around its last number: what stands before and behind it, without spelling.
type Stem = (String, String);

fn split(tag: &str) -> Option<(Stem, i64)> {
    let plain = plain(tag);
    let end = plain.rfind(|letter: char| letter.is_ascii_digit())? + 1;
    let start = plain[..end]
        .rfind(|letter: char| !letter.is_ascii_digit())
        .map_or(0, |at| at + plain[at..].chars().next().map_or(1, char::len_utf8));
    let number = plain[start..end].parse().ok()?;
    Some(((plain[..start].to_owned(), plain[end..].to_owned()), number))
}

/// Rows of one stem on one side by their number; those of several machines have no number of their own.
fn by_stem(side: &[Circuit]) -> BTreeMap<Stem, BTreeMap<i64, usize>> {
    let mut found: BTreeMap<Stem, BTreeMap<i64, usize>> = BTreeMap::new();
    for (index, circuit) in side.iter().enumerate().filter(|(_, circuit)| circuit.tags.len() < 2) {
        if let Some((stem, number)) = split(&circuit.tag) {
            found.entry(stem).or_default().entry(number).or_insert(index);
        }
    }
    found
}

/// Columns that say who a row is or belongs to, which move along with its tag.
const MOVES: &[&str] =
    &["tag", "section", "row_revision", "interlock_with", "duty_group", "notes", "interlock_note", "feedback_note"];

/// All that a row states, its own number left out of the description.
fn content(circuit: &Circuit) -> String {
    let description: String =
        circuit.description.chars().filter(|letter| !letter.is_ascii_digit()).flat_map(char::to_lowercase).collect();
    let stated: Vec<_> =
        circuit.stated.iter().filter(|(name, _)| !MOVES.contains(&name.as_str()) && *name != "description").collect();
    format!("{description} {} {} {stated:?}", circuit.board, circuit.quantity)
}

/// Columns that differ between two rows, without those that move along.
fn columns(old: &Circuit, new: &Circuit) -> usize {
    let counts = |field: &str| !MOVES.contains(&field);
    inputs::differences(old, new).fields.iter().filter(|change| counts(&change.field)).count()
}

struct Search<'c> {
    old: &'c [Circuit],
    new: &'c [Circuit],
    /// Rows of the new side that state something else than the row of their tag.
    changed: &'c BTreeSet<usize>,
    /// Partner of each old row that is paired with the row of its own tag.
    by_tag: BTreeMap<usize, usize>,
}

/// Looks for them among rows that are paired by tag, or by nothing. `changed` are rows of the new side that state something else.
pub(super) fn look(old: &[Circuit], new: &[Circuit], pairs: &Pairs, changed: &BTreeSet<usize>) -> Vec<Renumbered> {
    let same_tag = |(one, other): &&(usize, usize)| plain(&old[*one].tag) == plain(&new[*other].tag);
    let search = Search { old, new, changed, by_tag: pairs.same.iter().filter(same_tag).copied().collect() };
    // A row under another tag has been recognised or fixed already.
    let elsewhere = |of: &dyn Fn(&(usize, usize)) -> usize| -> BTreeSet<usize> {
        pairs.same.iter().filter(|pair| !same_tag(pair)).map(of).collect()
    };
    let (old_taken, new_taken) = (elsewhere(&|pair| pair.0), elsewhere(&|pair| pair.1));
    let numbers_of = by_stem(new);
    let free = |side: &BTreeMap<i64, usize>, taken: &BTreeSet<usize>| -> BTreeMap<i64, usize> {
        side.iter().filter(|(_, row)| !taken.contains(row)).map(|(number, row)| (*number, *row)).collect()
    };
    let found = by_stem(old).into_iter().filter_map(|(stem, before)| {
        let now = numbers_of.get(&stem)?;
        search.of_stem(&free(&before, &old_taken), &free(now, &new_taken))
    });
    found.collect()
}

impl Search<'_> {
    /// The step by which the most rows of a stem moved, if that explains what differs.
    fn of_stem(&self, before: &BTreeMap<i64, usize>, now: &BTreeMap<i64, usize>) -> Option<Renumbered> {
        let differs = |row: &usize| self.by_tag.get(row).is_none_or(|by_tag| self.changed.contains(by_tag));
        if before.values().filter(|row| differs(row)).count() < 2 {
            return None;
        }
        let mut at: BTreeMap<String, Vec<i64>> = BTreeMap::new();
        for (number, row) in now {
            at.entry(content(&self.new[*row])).or_default().push(*number);
        }
        let mut steps: BTreeMap<i64, BTreeSet<i64>> = BTreeMap::new();
        for (number, row) in before.iter().filter(|(_, row)| differs(row)) {
            for other in at.get(&content(&self.old[*row])).into_iter().flatten().take(CROWD) {
                steps.entry(other - number).or_default().insert(*number);
            }
            // Where only what moves along differs, the row stands where it stood.
            steps.remove(&0);
        }
        let (step, exact) = steps.into_iter().max_by_key(|(step, rows)| (rows.len(), -step.abs(), *step))?;
        self.told(before, now, step, &exact)
    }

    fn told(
        &self,
        before: &BTreeMap<i64, usize>,
        now: &BTreeMap<i64, usize>,
        step: i64,
        exact: &BTreeSet<i64>,
    ) -> Option<Renumbered> {
        let moved: Vec<(usize, usize)> = before
            .iter()
            .filter_map(|(number, row)| Some((*number, *row, *now.get(&(number + step))?)))
            .filter(|(number, row, other)| exact.contains(number) || self.belongs(*row, *other))
            .map(|(_, row, other)| (row, other))
            .collect();
        // Pairs by tag that this would part, each once, from either end.
        let (ones, others): (BTreeSet<usize>, BTreeSet<usize>) = moved.iter().copied().unzip();
        let parted = self.by_tag.iter().filter(|(one, other)| ones.contains(one) || others.contains(other));
        let columns_by_tag: usize = parted.map(|(one, other)| columns(&self.old[*one], &self.new[*other])).sum();
        let columns_renumbered: usize = moved.iter().map(|(one, other)| columns(&self.old[*one], &self.new[*other])).sum();
        #[allow(clippy::cast_precision_loss)] // counts of rows and columns
        let enough = exact.len() as f64 >= practice("renumbered-rows")
            && (columns_by_tag as f64 - columns_renumbered as f64) >= practice("renumbered-columns");
        if !enough {
            return None;
        }
        let tags = |side: &[Circuit], of: &dyn Fn(&(usize, usize)) -> usize| -> Vec<String> {
            moved.iter().map(|moved| side[of(moved)].tag.clone()).collect()
        };
        let (old_tags, tags) = (tags(self.old, &|pair| pair.0), tags(self.new, &|pair| pair.1));
        Some(Renumbered { options: options(&old_tags, &tags), old_tags, tags, columns_by_tag, columns_renumbered })
    }

    /// A row that was changed besides: it is nearer to its neighbour than to the row of its own tag.
    fn belongs(&self, row: usize, other: usize) -> bool {
        let rest = columns(&self.old[row], &self.new[other]);
        #[allow(clippy::cast_precision_loss)] // a count of columns
        let near = rest as f64 <= practice("renumbered-rest");
        let columns = self.by_tag.get(&row).map(|by_tag| columns(&self.old[row], &self.new[*by_tag]));
        near && columns.is_none_or(|by_tag| rest < by_tag)
    }
}

/// A word for a command line; in single quotes where it is no plain one.
fn quoted(word: &str) -> String {
    let plain = |letter: char| letter.is_alphanumeric() || "-_.=/:+,@%".contains(letter);
    if word.chars().all(plain) { word.to_owned() } else { format!("'{}'", word.replace('\'', "'\\''")) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tag_has_its_number_and_what_stands_around_it() {
        let of = |tag: &str| split(tag).map(|((before, behind), number)| (before, number, behind));
        let some = |before: &str, number: i64, behind: &str| Some((before.to_owned(), number, behind.to_owned()));
        assert_eq!(of("RWP-101"), some("RWP", 101, ""));
        assert_eq!(of("rwp 101"), some("RWP", 101, ""));
        assert_eq!(of("AHU-1-SF2"), some("AHU1SF", 2, ""));
        assert_eq!(of("P-101A"), some("P", 101, "A"));
        assert_eq!(of("Ü-7"), some("Ü", 7, ""));
        assert_eq!(of("SUMP"), None);
        assert_eq!(of("P-99999999999999999999"), None);
    }

    #[test]
    fn more_options_than_anybody_types_are_counted() {
        let tags = |from: usize, count: usize| (from..from + count).map(|number| format!("P-{number}")).collect::<Vec<_>>();
        let of = |count: usize| {
            let (old_tags, tags) = (tags(1, count), tags(2, count));
            Renumbered { options: options(&old_tags, &tags), old_tags, tags, ..Renumbered::default() }
        };
        assert!(of(2).words().ends_with("compare them so: --same P-1=P-2 --same P-2=P-3"));
        let many = of(15).words();
        assert!(many.contains("--same P-12=P-13 and 3 more (") && !many.contains("P-13=P-14"), "{many}");
    }

    #[test]
    fn an_option_is_one_word_for_the_shell() {
        assert_eq!(quoted("P-1=P-2"), "P-1=P-2");
        assert_eq!(quoted("P 1=P 2"), "'P 1=P 2'");
        assert_eq!(quoted("P'1=P;2"), "'P'\\''1=P;2'");
    }
}
