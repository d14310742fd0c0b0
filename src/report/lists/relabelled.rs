//! Labels of one design that another does not have yet: what is on them is compared, not what it was made of.

use std::collections::{BTreeMap, BTreeSet};

use super::labels::{Label, of_design};
use crate::compare::{Changes, LabelChange, LabelLine, ROUNDING};
use crate::design::Design;
use crate::quantity::KILOWATTS_PER_HORSEPOWER;

/// Names a label among those of its design: kind, machine or cable, and which one of these it is.
type Name = (&'static str, String, usize);

/// Labels by name.
fn named(design: &Design) -> BTreeMap<Name, Label> {
    in_order(design).collect()
}

/// The texts that are engraved or printed below the name, by column.
fn lines(label: &Label) -> [(&'static str, &str); 4] {
    [("line_2", &label.line_2), ("rating", &label.rating), ("fed_from", &label.fed_from), ("end", &label.end)]
}

/// Labels of rows that were there before, and of feeders, that are to be made anew, in the order of the schedule, with those that are to be
/// taken off behind those of their row. Rows that are new or bear another tag are told as such; labels of what is not sized wait.
#[must_use]
pub fn labels_anew(changes: &Changes, old: &Design, new: &Design) -> Vec<LabelChange> {
    let added = changes.added.iter().map(|tagged| tagged.tag.as_str());
    let told: BTreeSet<&str> = added.chain(changes.renamed.iter().map(|renamed| renamed.tag.as_str())).collect();
    let (before, now) = (named(old), named(new));
    let mut found: Vec<LabelChange> = Vec::new();
    for (name, label) in in_order(new) {
        if label.waits() || told.contains(label.tag.as_str()) {
            continue;
        }
        let earlier = before.get(&name);
        let in_other_unit = changes.in_other_units.contains(&label.tag);
        found.extend(change(earlier, &label, in_other_unit).map(|change| {
            match earlier.filter(|earlier| earlier.names != label.names) {
                Some(earlier) => moved(change, &label, earlier, &before),
                None => change,
            }
        }));
    }
    let stay: BTreeSet<&str> = now.values().filter(|label| !label.waits()).map(|label| label.tag.as_str()).collect();
    let stays = |label: &Label| stay.contains(label.tag.as_str()) && !told.contains(label.tag.as_str());
    let gone = in_order(old).filter(|(name, label)| !now.contains_key(name) && !label.waits() && stays(label));
    found.extend(gone.map(|(_, label)| LabelChange {
        quantity: label.quantity,
        lines:
            lines(&label).into_iter().filter(|(_, text)| !text.is_empty()).map(|(line, text)| of(Some(text), line, "")).collect(),
        what: LabelChange::GONE.to_owned(),
        ..bare(&label)
    }));
    let mut place: BTreeMap<String, usize> = BTreeMap::new();
    for (at, (_, label)) in in_order(new).enumerate() {
        place.entry(label.tag).or_insert(at);
    }
    found.sort_by_key(|change| place.get(&change.tag).copied());
    together(found)
}

/// Labels with their names, in the order of the design.
fn in_order(design: &Design) -> impl Iterator<Item = (Name, Label)> {
    let mut count: BTreeMap<(&'static str, String), usize> = BTreeMap::new();
    of_design(design).map(move |label| {
        let number = count.entry((label.kind, label.line_1.clone())).or_insert(0);
        *number += 1;
        ((label.kind, label.line_1.clone(), *number - 1), label)
    })
}

/// Both ends of a cable, or what stands at the starter and at the machine, as one.
fn together(changes: Vec<LabelChange>) -> Vec<LabelChange> {
    let key = |change: &LabelChange| (change.tag.clone(), change.kind.clone(), change.label.clone(), change.what.clone());
    let mut found: Vec<LabelChange> = Vec::new();
    for change in changes {
        match found.last_mut().filter(|last| key(last) == key(&change)) {
            Some(same) => {
                same.quantity = same.quantity.saturating_add(change.quantity);
                same.lines.extend(change.lines.into_iter().filter(|line| !same.lines.contains(line)).collect::<Vec<_>>());
            }
            None => found.push(change),
        }
    }
    found
}

/// Tells of a tag that names another cable than before which cable that was, and which tag the present one bore.
fn moved(change: LabelChange, label: &Label, earlier: &Label, before: &BTreeMap<Name, Label>) -> LabelChange {
    // The length on the same side of a local isolator, where one parts the cable.
    let same_cable = |other: &&Label| other.tag == label.tag && other.names == label.names && other.end == label.end;
    let old_label = before.values().find(same_cable).map(|other| other.line_1.clone()).unwrap_or_default();
    LabelChange {
        what: LabelChange::ANOTHER_CABLE.to_owned(),
        cables: Some([earlier.names.clone(), label.names.clone()]),
        old_label,
        ..change
    }
}

fn of(old: Option<&str>, line: &'static str, new: &str) -> LabelLine {
    LabelLine { line: line.to_owned(), old: old.unwrap_or_default().to_owned(), new: new.to_owned() }
}

/// A change of a label that says nothing yet.
fn bare(label: &Label) -> LabelChange {
    LabelChange { tag: label.tag.clone(), kind: label.kind.to_owned(), label: label.line_1.clone(), ..LabelChange::default() }
}

/// A label against the earlier one of its name; none where as many of that text are there, on the same cable.
fn change(earlier: Option<&Label>, label: &Label, in_other_unit: bool) -> Option<LabelChange> {
    let before = earlier.map(lines);
    let pairs = lines(label).into_iter().enumerate().map(|(at, (line, new))| of(before.map(|before| before[at].1), line, new));
    let same = |line: &LabelLine| in_other_unit && line.line == "rating" && same_rating(&line.old, &line.new);
    let lines: Vec<LabelLine> = pairs.filter(|line| line.old != line.new && !same(line)).collect();
    let there = earlier.filter(|_| lines.is_empty()).map_or(0, |label| label.quantity);
    let quantity = label.quantity.saturating_sub(there);
    // A tag of the same text that is on another cable now is told, though none is to be printed.
    let on_another = earlier.is_some_and(|earlier| earlier.names != label.names);
    (quantity > 0 || on_another).then(|| LabelChange { quantity, lines, ..bare(label) })
}

/// A word of a rating, such as `15 kW, 400 V, 28 A, L1-N`.
#[derive(Debug, PartialEq)]
enum Word<'t> {
    /// A power in kW or a current in A, which follows from it.
    Figure(f64, &'static str),
    /// All else stands as it is.
    Text(&'t str),
}

/// The words of a rating, with powers in one unit.
fn words_of(rating: &str) -> Vec<Word<'_>> {
    const UNITS: [(&str, f64, &str); 3] = [("kW", 1.0, "kW"), ("hp", KILOWATTS_PER_HORSEPOWER, "kW"), ("A", 1.0, "A")];
    let words: Vec<&str> = rating.split_whitespace().map(|word| word.trim_end_matches(',')).collect();
    let figure = |at: usize| {
        let (_, factor, unit) = UNITS.iter().find(|(known, ..)| words.get(at + 1) == Some(known))?;
        Some(Word::Figure(power(words.get(at)?)? * factor, unit))
    };
    let mut found = Vec::new();
    let mut at = 0;
    while let Some(word) = words.get(at) {
        let measured = figure(at);
        at += if measured.is_some() { 2 } else { 1 };
        found.push(measured.unwrap_or(Word::Text(word)));
    }
    found
}

/// A figure as nameplates bear it: `15`, `3/4`.
fn power(text: &str) -> Option<f64> {
    match text.split_once('/') {
        Some((above, below)) => Some(above.parse::<f64>().ok()? / below.parse::<f64>().ok().filter(|below| *below > 0.0)?),
        None => text.parse().ok(),
    }
}

/// Two ratings are one but for the unit of their power and the digits that follow from it: voltage, number of motors and lines are the
/// same.
fn same_rating(old: &str, new: &str) -> bool {
    let (before, now) = (words_of(old), words_of(new));
    let same = |(one, other): (&Word<'_>, &Word<'_>)| match (one, other) {
        (Word::Figure(one, unit), Word::Figure(other, of_other)) => {
            unit == of_other && (one - other).abs() <= ROUNDING * one.max(*other)
        }
        _ => one == other,
    };
    before.iter().any(|word| matches!(word, Word::Figure(..))) && before.len() == now.len() && before.iter().zip(&now).all(same)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 20 hp are 14.91 kW (1 hp = 745.7 W), the standard rating of 15 kW.
    #[rstest::rstest]
    #[case::the_unit_alone("15 kW, 400 V, 28 A", "20 hp, 400 V, 27.9 A", true)]
    #[case::another_voltage("15 kW, 400 V, 28 A", "20 hp, 415 V, 27.9 A", false)]
    #[case::another_number("2 × 15 kW, 400 V", "3 × 20 hp, 400 V", false)]
    #[case::other_lines("15 kW, 230 V, 28 A, L1-N", "20 hp, 230 V, 28 A, L2-N", false)]
    #[case::another_power("15 kW, 400 V", "25 hp, 400 V", false)]
    #[case::a_part_of_a_horsepower("0.56 kW, 230 V", "3/4 hp, 230 V", true)]
    #[case::without_a_figure("MCC-1", "MCC-1", false)]
    fn ratings_are_one_but_for_their_unit(#[case] old: &str, #[case] new: &str, #[case] same: bool) {
        assert_eq!(same_rating(old, new), same);
    }
}
