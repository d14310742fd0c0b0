//! Columns that the program does not read, as texts: what the sender changed in them, told apart from changes from which something
//! follows. A column that came or went is told once, not in every row.

use std::collections::{BTreeMap, BTreeSet};

use super::pairs::Pairs;
use super::{CarriedChange, CarriedColumn, SaidOtherwise};
use crate::design::{Circuit, Design};

/// The differences in columns that are not read.
#[derive(Debug, Default)]
pub(super) struct Found {
    pub(super) columns: Vec<CarriedColumn>,
    pub(super) otherwise: Vec<SaidOtherwise>,
    /// Rows of the new side that say something else in them.
    pub(super) rows: BTreeSet<usize>,
}

/// Headings of a side by their words, with the spelling of their first row.
fn headings(of: &[Circuit]) -> BTreeMap<String, &str> {
    let mut found = BTreeMap::new();
    for heading in of.iter().flat_map(|circuit| circuit.carried.keys()) {
        found.entry(words(heading)).or_insert(heading.as_str());
    }
    found
}

fn words(text: &str) -> String {
    text.to_lowercase().split_whitespace().collect::<Vec<_>>().join(" ")
}

fn cell<'c>(circuit: &'c Circuit, heading: &str) -> &'c str {
    circuit.carried.get(heading).map_or("", String::as_str)
}

/// The same but for case, blanks and the way in which a number is written.
fn same(one: &str, other: &str) -> bool {
    let number = |text: &str| text.trim().parse::<f64>().ok().filter(|number| number.is_finite());
    match (number(one), number(other)) {
        (Some(a), Some(b)) => (a - b).abs() <= 1e-9 * a.abs().max(b.abs()),
        _ => words(one) == words(other),
    }
}

/// A column that counts the rows, from 1 and perhaps again in each section, says where a row stands and not what it is.
fn counts_rows(of: &[Circuit], heading: &str) -> bool {
    let texts: Vec<&str> = of.iter().map(|circuit| cell(circuit, heading)).filter(|text| !text.is_empty()).collect();
    let numbers: Vec<u32> = texts.iter().filter_map(|text| text.parse().ok()).collect();
    let goes_on = |pair: &[u32]| pair[1] == 1 || pair[0].checked_add(1) == Some(pair[1]);
    numbers.len() > 1 && numbers.len() == texts.len() && numbers[0] == 1 && numbers.windows(2).all(goes_on)
}

/// Holds the cells of paired rows against each other, column by column.
pub(super) fn differences(old: &Design, new: &Design, pairs: &Pairs) -> Found {
    let (before, now) = (headings(&old.circuits), headings(&new.circuits));
    let mut found = Found::default();
    let mut gone: Vec<&str> = before.iter().filter(|(name, _)| !now.contains_key(*name)).map(|(_, heading)| *heading).collect();
    for (key, heading) in &now {
        let Some(old_heading) = before.get(key) else {
            let paired = |other: &&str| {
                pairs.same.iter().all(|(a, b)| same(cell(&old.circuits[*a], other), cell(&new.circuits[*b], heading)))
            };
            match gone.iter().position(paired).filter(|_| !pairs.same.is_empty()) {
                Some(at) => found.otherwise(format!("column {heading}, before {}", gone.remove(at))),
                None => found.columns.push(column(heading, "new", Vec::new())),
            }
            continue;
        };
        if counts_rows(&old.circuits, old_heading) && counts_rows(&new.circuits, heading) {
            continue;
        }
        let mut rows = Vec::new();
        for (one, other) in &pairs.same {
            let (one, circuit) = (cell(&old.circuits[*one], old_heading), &new.circuits[*other]);
            if !same(one, cell(circuit, heading)) {
                rows.push(CarriedChange {
                    tag: circuit.tag.clone(),
                    old: one.to_owned(),
                    new: cell(circuit, heading).to_owned(),
                });
                found.rows.insert(*other);
            }
        }
        if !rows.is_empty() {
            found.columns.push(column(heading, "changed", rows));
        }
    }
    found.columns.extend(gone.into_iter().map(|heading| column(heading, "gone", Vec::new())));
    found
}

fn column(heading: &str, what: &str, rows: Vec<CarriedChange>) -> CarriedColumn {
    CarriedColumn { heading: heading.to_owned(), what: what.to_owned(), rows }
}

impl Found {
    fn otherwise(&mut self, what: String) {
        self.otherwise.push(SaidOtherwise { tag: String::new(), what });
    }
}
