//! Which row of the old side is which of the new one: by a fixed pair, by tag, by its machines, at last by likeness. A row that bears
//! another tag is never taken for the same without saying by what it was recognised.

use std::collections::{BTreeMap, BTreeSet, VecDeque};

use super::{Merged, Renamed, SaidOtherwise, Split, WrongPair, inputs};
use crate::design::Circuit;
use crate::intake::powers;
use crate::quantity::KILOWATTS_PER_HORSEPOWER;
use crate::quantity::round_to;

/// Rows side by side.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Pairs {
    /// Old and new row, in the order of the new side; a row that was split or merged stands here once for each piece.
    pub(super) same: Vec<(usize, usize)>,
    pub(super) added: Vec<usize>,
    pub(super) removed: Vec<usize>,
    /// Rows of the new side that bear another tag.
    pub(super) renamed: Vec<(usize, Renamed)>,
    /// Rows of the new side that were split or merged.
    pub(super) parted: BTreeSet<usize>,
    pub(super) split: Vec<Split>,
    pub(super) merged: Vec<Merged>,
    /// Tags that only are spelt otherwise.
    pub(super) spelt: Vec<SaidOtherwise>,
}

/// Likeness from which two rows of different tags are taken for one, and what it is made of. Of the whole of 12 a change of one or
/// two things leaves more; two machines of one make on one board have less: common practice, no source.
const ALIKE: f64 = 8.0;
const SAME_WORDS: f64 = 4.0;
const SAME_NUMBER: f64 = 2.0;
const SAME_POWER: f64 = 1.5;
const SAME_OTHER: f64 = 1.0;
const SAME_MINOR: f64 = 0.5;

/// More rows than these that share one thing tell nothing apart by it.
const CROWD: usize = 40;

struct Search<'c> {
    old: &'c [Circuit],
    new: &'c [Circuit],
    partner_of_old: Vec<Option<usize>>,
    partner_of_new: Vec<Option<usize>>,
    found: Pairs,
}

/// Pairs the rows of two sides.
pub(super) fn find(old: &[Circuit], new: &[Circuit], same: &[(String, String)]) -> Result<Pairs, WrongPair> {
    let mut search = Search {
        old,
        new,
        partner_of_old: vec![None; old.len()],
        partner_of_new: vec![None; new.len()],
        found: Pairs::default(),
    };
    search.fixed(same)?;
    search.by_text(bears_tag, |circuit| circuit.tag.clone());
    search.by_text(bears_tag, |circuit| plain(&circuit.tag));
    search.by_machines();
    search.by_count();
    // A row without a tag is known by all that it states, never by where it stands.
    search.by_text(|circuit| !bears_tag(circuit), |circuit| format!("{:?}", circuit.stated));
    search.by_likeness();
    Ok(search.end())
}

/// A tag without what only is spelling: case, blanks, hyphens.
pub(super) fn plain(tag: &str) -> String {
    tag.chars().filter(|letter| letter.is_alphanumeric()).flat_map(char::to_uppercase).collect()
}

/// A row has a tag of its own; one whose tag is missing or can't be read is called by its number.
fn bears_tag(circuit: &Circuit) -> bool {
    circuit.stated.is_empty() || circuit.stated.contains_key("tag")
}

impl Search<'_> {
    fn join(&mut self, old: usize, new: usize) {
        self.partner_of_old[old] = Some(new);
        self.partner_of_new[new] = Some(old);
    }

    fn rename(&mut self, old: usize, new: usize, why: String) {
        self.join(old, new);
        let (old_tag, tag) = (self.old[old].tag.clone(), self.new[new].tag.clone());
        self.found.renamed.push((new, Renamed { old_tag, tag, why, ..Renamed::default() }));
    }

    fn open_old(&self) -> Vec<usize> {
        (0..self.old.len()).filter(|row| self.partner_of_old[*row].is_none()).collect()
    }

    fn open_new(&self) -> Vec<usize> {
        (0..self.new.len()).filter(|row| self.partner_of_new[*row].is_none()).collect()
    }

    fn fixed(&mut self, same: &[(String, String)]) -> Result<(), WrongPair> {
        for (old_tag, new_tag) in same {
            let at = |side: &[Circuit], tag: &str| {
                let found = side.iter().position(|circuit| circuit.tag == tag);
                found.or_else(|| side.iter().position(|circuit| plain(&circuit.tag) == plain(tag)))
            };
            let wrong = |tag: &str, why: &'static str| WrongPair { tag: tag.to_owned(), why };
            let one = at(self.old, old_tag).ok_or_else(|| wrong(old_tag, "the old side has no row with that tag"))?;
            let other = at(self.new, new_tag).ok_or_else(|| wrong(new_tag, "the new side has no row with that tag"))?;
            if self.partner_of_old[one].is_some() {
                return Err(wrong(old_tag, "it is named twice"));
            }
            if self.partner_of_new[other].is_some() {
                return Err(wrong(new_tag, "it is named twice"));
            }
            if self.old[one].tag == self.new[other].tag {
                self.join(one, other);
            } else {
                self.rename(one, other, "fixed by --same".to_owned());
            }
        }
        Ok(())
    }

    /// Rows of equal text, in their order where several bear it.
    fn by_text(&mut self, of: impl Fn(&Circuit) -> bool, text: impl Fn(&Circuit) -> String) {
        let mut waiting: BTreeMap<String, VecDeque<usize>> = BTreeMap::new();
        for one in self.open_old().into_iter().filter(|one| of(&self.old[*one])) {
            waiting.entry(text(&self.old[one])).or_default().push_back(one);
        }
        for other in self.open_new().into_iter().filter(|other| of(&self.new[*other])) {
            let Some(one) = waiting.get_mut(&text(&self.new[other])).and_then(VecDeque::pop_front) else { continue };
            self.join(one, other);
            if self.old[one].tag != self.new[other].tag && bears_tag(&self.new[other]) {
                let what = format!("the tag is written {}, before {}", self.new[other].tag, self.old[one].tag);
                self.found.spelt.push(SaidOtherwise { tag: self.new[other].tag.clone(), what });
            }
        }
    }

    fn split(&mut self, one: usize, others: &BTreeSet<usize>) {
        self.partner_of_old[one] = others.first().copied();
        self.found.parted.extend(others);
        for other in others {
            self.partner_of_new[*other] = Some(one);
        }
        let tags = others.iter().map(|other| self.new[*other].tag.clone()).collect();
        self.found.split.push(Split { old_tag: self.old[one].tag.clone(), tags });
    }

    fn merge(&mut self, ones: &BTreeSet<usize>, other: usize) {
        self.partner_of_new[other] = ones.first().copied();
        self.found.parted.insert(other);
        for one in ones {
            self.partner_of_old[*one] = Some(other);
        }
        let old_tags = ones.iter().map(|one| self.old[*one].tag.clone()).collect();
        self.found.merged.push(Merged { old_tags, tag: self.new[other].tag.clone() });
    }

    /// Rows of several machines under one tag that became as many with a letter or number of their own, and the other way round.
    fn by_count(&mut self) {
        let (open_old, open_new) = (self.open_old(), self.open_new());
        for one in &open_old {
            if let Some(others) = pieces(&self.old[*one], self.new, &open_new) {
                self.split(*one, &others);
            }
        }
        for other in &open_new {
            if let Some(ones) = pieces(&self.new[*other], self.old, &open_old).filter(|_| self.partner_of_new[*other].is_none()) {
                self.merge(&ones, *other);
            }
        }
    }

    /// Rows that share machines: one to one is a row with another range, one to several a split, several to one a merger.
    fn by_machines(&mut self) {
        let machines = |circuit: &Circuit| circuit.tags.iter().map(|tag| plain(tag)).collect::<BTreeSet<String>>();
        let mut bearer: BTreeMap<String, usize> = BTreeMap::new();
        for one in self.open_old().into_iter().filter(|one| bears_tag(&self.old[*one])) {
            bearer.extend(machines(&self.old[one]).into_iter().map(|tag| (tag, one)));
        }
        let mut of_new: BTreeMap<usize, BTreeSet<usize>> = BTreeMap::new();
        let mut of_old: BTreeMap<usize, BTreeSet<usize>> = BTreeMap::new();
        for other in self.open_new().into_iter().filter(|other| bears_tag(&self.new[*other])) {
            for one in machines(&self.new[other]).iter().filter_map(|tag| bearer.get(tag)) {
                of_new.entry(other).or_default().insert(*one);
                of_old.entry(*one).or_default().insert(other);
            }
        }
        for (one, others) in &of_old {
            if others.len() > 1 && others.iter().all(|other| of_new[other].len() == 1) {
                self.split(*one, others);
            }
        }
        for (other, ones) in &of_new {
            if ones.len() > 1 && ones.iter().all(|one| of_old[one].len() == 1) {
                self.merge(ones, *other);
            }
        }
        // The rows that are left over are paired by the most machines in common.
        let mut shared: Vec<(usize, usize, usize)> = Vec::new();
        for (one, others) in &of_old {
            for other in others {
                let common = machines(&self.old[*one]).intersection(&machines(&self.new[*other])).count();
                shared.push((common, *one, *other));
            }
        }
        shared.sort_by_key(|(common, one, other)| (std::cmp::Reverse(*common), *one, *other));
        for (_, one, other) in shared {
            if self.partner_of_old[one].is_none() && self.partner_of_new[other].is_none() {
                let common: Vec<String> =
                    self.new[other].tags.iter().filter(|tag| machines(&self.old[one]).contains(&plain(tag))).cloned().collect();
                self.rename(one, other, format!("both name {}", common.join(", ")));
            }
        }
    }

    /// Rows of other tags that are alike in most of what they state. Only rows that share a description, a number with a board, or
    /// board, power and method are held against each other.
    fn by_likeness(&mut self) {
        let mut buckets: BTreeMap<String, (Vec<usize>, Vec<usize>)> = BTreeMap::new();
        for one in self.open_old() {
            for key in keys(&self.old[one]) {
                buckets.entry(key).or_default().0.push(one);
            }
        }
        for other in self.open_new() {
            for key in keys(&self.new[other]) {
                buckets.entry(key).or_default().1.push(other);
            }
        }
        let mut tried: BTreeSet<(usize, usize)> = BTreeSet::new();
        for (ones, others) in buckets.values().filter(|(ones, others)| ones.len().min(others.len()) <= CROWD) {
            for one in ones.iter().take(CROWD) {
                tried.extend(others.iter().take(CROWD).map(|other| (*one, *other)));
            }
        }
        let mut alike: Vec<(f64, usize, usize, String)> = Vec::new();
        for (one, other) in tried {
            let (score, why) = likeness(&self.old[one], &self.new[other]);
            if score >= ALIKE {
                alike.push((score, one, other, why));
            }
        }
        alike.sort_by(|a, b| b.0.total_cmp(&a.0).then((a.1, a.2).cmp(&(b.1, b.2))));
        for (_, one, other, why) in alike {
            if self.partner_of_old[one].is_none() && self.partner_of_new[other].is_none() {
                self.rename(one, other, why);
            }
        }
    }

    fn end(mut self) -> Pairs {
        let mut found = std::mem::take(&mut self.found);
        found.added = self.open_new();
        found.removed = self.open_old();
        let partners = self.partner_of_new.iter().enumerate();
        found.same = partners.filter_map(|(other, one)| Some(((*one)?, other))).collect();
        found.renamed.sort_by(|(_, a), (_, b)| a.tag.cmp(&b.tag));
        found
    }
}

/// Rows of the other side that together are what a row of several machines is; none where they are more or fewer.
fn pieces(whole: &Circuit, side: &[Circuit], open: &[usize]) -> Option<BTreeSet<usize>> {
    if whole.quantity < 2 || whole.tags.len() > 1 || !bears_tag(whole) {
        return None;
    }
    let found: BTreeSet<usize> =
        open.iter().copied().filter(|row| bears_tag(&side[*row]) && is_piece(&side[*row].tag, &whole.tag)).collect();
    let machines: u64 = found.iter().map(|row| u64::from(side[*row].quantity)).sum();
    (found.len() > 1 && machines == u64::from(whole.quantity)).then_some(found)
}

/// A tag is that of a machine of several: the same with a letter behind its figure, or with a letter or number set off.
fn is_piece(tag: &str, of: &str) -> bool {
    let (tag, of) = (tag.trim().to_uppercase(), of.trim().to_uppercase());
    let Some(rest) = tag.strip_prefix(&of).filter(|_| !of.is_empty()) else { return false };
    let set_off = rest.strip_prefix(['-', '.', '/', '_', ' ']);
    let mark = set_off.unwrap_or(rest);
    let short = (1..=2).contains(&mark.chars().count()) && mark.chars().all(char::is_alphanumeric);
    let letter =
        mark.chars().count() == 1 && mark.chars().all(char::is_alphabetic) && of.ends_with(|end: char| end.is_ascii_digit());
    short && (set_off.is_some() || letter)
}

/// The figures of a tag, which outlive its letters.
fn number_of(tag: &str) -> String {
    tag.chars().filter(char::is_ascii_digit).collect()
}

fn words(text: &str) -> BTreeSet<String> {
    text.to_lowercase()
        .split(|letter: char| !letter.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_owned)
        .collect()
}

fn stated<'c>(circuit: &'c Circuit, name: &str) -> Option<&'c serde_json::Value> {
    circuit.stated.get(name)
}

/// Rated power in the unit that the row states, kilowatts before horsepower.
#[derive(Clone, Copy)]
enum Power {
    Kilowatts(f64),
    Horsepower(f64),
}

impl Power {
    fn of(circuit: &Circuit) -> Option<Self> {
        let number = |name: &str| stated(circuit, name).and_then(serde_json::Value::as_f64);
        number("rated_power_kw").map(Self::Kilowatts).or_else(|| number("rated_power_hp").map(Self::Horsepower))
    }

    fn kilowatts(self) -> f64 {
        match self {
            Self::Kilowatts(kilowatts) => kilowatts,
            Self::Horsepower(horsepower) => horsepower * KILOWATTS_PER_HORSEPOWER,
        }
    }

    fn is_near(self, other: Self) -> bool {
        match (self, other) {
            (Self::Kilowatts(kilowatts), Self::Horsepower(horsepower))
            | (Self::Horsepower(horsepower), Self::Kilowatts(kilowatts)) => inputs::same_power(kilowatts, horsepower),
            (one, other) => powers::within(one.kilowatts(), other.kilowatts(), 0.02),
        }
    }
}

fn keys(circuit: &Circuit) -> Vec<String> {
    let mut keys = vec![
        format!("number and board: {} {}", number_of(&circuit.tag), circuit.board),
        format!(
            "board, power and method: {} {:?} {:?}",
            circuit.board,
            Power::of(circuit).map(|power| round_to(power.kilowatts(), 2)),
            stated(circuit, "starting_method").and_then(serde_json::Value::as_str)
        ),
    ];
    let of = words(&circuit.description);
    if !of.is_empty() {
        keys.push(format!("description: {}", of.into_iter().collect::<Vec<_>>().join(" ")));
    }
    keys
}

/// How much two rows are alike, and in what.
#[allow(clippy::cast_precision_loss)] // counts of words
fn likeness(one: &Circuit, other: &Circuit) -> (f64, String) {
    let mut score = 0.0;
    let mut why = Vec::new();
    let (our, their) = (words(&one.description), words(&other.description));
    let (common, all) = (our.intersection(&their).count(), our.union(&their).count());
    if all > 0 {
        let share = common as f64 / all as f64;
        score += SAME_WORDS * share;
        if common == all {
            why.push("description".to_owned());
        } else if share >= 0.5 {
            why.push("most words of the description".to_owned());
        }
    }
    let mut count = |same: bool, weight: f64, what: &str| {
        if same {
            score += weight;
            why.push(what.to_owned());
        }
    };
    let number = number_of(&one.tag);
    count(!number.is_empty() && number == number_of(&other.tag), SAME_NUMBER, &format!("number {number}"));
    count(Power::of(one).zip(Power::of(other)).is_some_and(|(a, b)| a.is_near(b)), SAME_POWER, "power");
    count(one.board == other.board, SAME_OTHER, "board");
    for (name, weight, what) in [
        ("starting_method", SAME_OTHER, "starting method"),
        ("load_kind", SAME_MINOR, ""),
        ("voltage_v", SAME_MINOR, ""),
        ("full_load_current_a", SAME_MINOR, "current"),
        ("cable_length_m", SAME_OTHER, "length"),
        ("cable_length_ft", SAME_OTHER, "length"),
    ] {
        let same = stated(one, name).is_some_and(|value| Some(value) == stated(other, name));
        count(same, weight, what);
    }
    why.retain(|why| !why.is_empty());
    (score, format!("alike in {}", why.join(", ")))
}
