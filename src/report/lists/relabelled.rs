//! Labels of one design that another does not have yet: what is on them is compared, not what it was made of.

use std::collections::{BTreeMap, BTreeSet};

use super::labels::{Label, of_design};
use crate::compare::{Changes, LabelChange, LabelLine};
use crate::design::Design;

/// Names a label among those of its design: kind, machine or cable, and which one of these it is.
type Name = (&'static str, String, usize);

/// Labels by name.
fn named(design: &Design) -> BTreeMap<Name, Label> {
    let mut found: BTreeMap<Name, Label> = BTreeMap::new();
    let mut count: BTreeMap<(&'static str, String), usize> = BTreeMap::new();
    for label in of_design(design) {
        let number = count.entry((label.kind, label.line_1.clone())).or_insert(0);
        found.insert((label.kind, label.line_1.clone(), *number), label);
        *number += 1;
    }
    found
}

/// The texts that are engraved or printed below the name, by column.
fn lines(label: &Label) -> [(&'static str, &str); 4] {
    [("line_2", &label.line_2), ("rating", &label.rating), ("fed_from", &label.fed_from), ("end", &label.end)]
}

/// Labels of rows that were there before, and of feeders, that are to be made anew, in the order of the schedule. Rows that are new or
/// bear another tag are told as such; labels of what is not sized wait.
#[must_use]
pub fn labels_anew(changes: &Changes, old: &Design, new: &Design) -> Vec<LabelChange> {
    let added = changes.added.iter().map(|tagged| tagged.tag.as_str());
    let told: BTreeSet<&str> = added.chain(changes.renamed.iter().map(|renamed| renamed.tag.as_str())).collect();
    let before = named(old);
    let mut count: BTreeMap<(&'static str, String), usize> = BTreeMap::new();
    let mut found: Vec<LabelChange> = Vec::new();
    for label in of_design(new) {
        let number = count.entry((label.kind, label.line_1.clone())).or_insert(0);
        let earlier = before.get(&(label.kind, label.line_1.clone(), *number));
        *number += 1;
        if label.waits() || told.contains(label.tag.as_str()) {
            continue;
        }
        let Some(change) = change(earlier, &label) else { continue };
        match found.last_mut().filter(|label_change| {
            (&label_change.tag, label_change.kind.as_str(), &label_change.label) == (&change.tag, label.kind, &change.label)
        }) {
            // Both ends of a cable, or what stands at the starter and at the machine.
            Some(same) => {
                same.quantity = same.quantity.saturating_add(change.quantity);
                same.lines.extend(change.lines.into_iter().filter(|line| !same.lines.contains(line)).collect::<Vec<_>>());
            }
            None => found.push(change),
        }
    }
    found
}

/// A label against the earlier one of its name; none where as many of that text are there.
fn change(earlier: Option<&Label>, label: &Label) -> Option<LabelChange> {
    let of = |old: Option<&str>, line: &'static str, new: &str| LabelLine {
        line: line.to_owned(),
        old: old.unwrap_or_default().to_owned(),
        new: new.to_owned(),
    };
    let before = earlier.map(lines);
    let pairs = lines(label).into_iter().enumerate().map(|(at, (line, new))| of(before.map(|before| before[at].1), line, new));
    let lines: Vec<LabelLine> = pairs.filter(|line| line.old != line.new).collect();
    let there = earlier.filter(|_| lines.is_empty()).map_or(0, |label| label.quantity);
    let quantity = label.quantity.saturating_sub(there);
    (quantity > 0).then(|| LabelChange {
        tag: label.tag.clone(),
        kind: label.kind.to_owned(),
        label: label.line_1.clone(),
        quantity,
        lines,
    })
}
