//! Columns that the program does not read, as texts: what the sender changed in them, told apart from changes from which something
//! follows. A column that came or went is told once, not in every row.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::LazyLock;

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

/// The same but for case, blanks and zeros behind the decimals. These columns hold texts: order numbers and codes are told apart by
/// every digit.
fn same(one: &str, other: &str) -> bool {
    match (decimals(one), decimals(other)) {
        (Some(one), Some(other)) => one == other,
        _ => words(one) == words(other),
    }
}

/// A plain decimal without zeros at its end: `4.50` is `4.5` and `4.0` is `4`. `007` and `1E5` are codes.
fn decimals(text: &str) -> Option<&str> {
    let text = text.trim();
    let figure = text.strip_prefix('-').unwrap_or(text);
    let (whole, part) = figure.split_once('.').unwrap_or((figure, "0"));
    let digits = |digits: &str| !digits.is_empty() && digits.bytes().all(|digit| digit.is_ascii_digit());
    let plain = digits(whole) && digits(part) && (whole == "0" || !whole.starts_with('0'));
    let short = || if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { text };
    plain.then(short)
}

/// Headings of columns that count rows.
static COUNTS: LazyLock<Vec<String>> = LazyLock::new(|| {
    let table = include_str!("tables/count-headings.csv");
    csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(table.as_bytes()).into_deserialize().flatten().collect()
});

/// Whether a heading says that its column counts the rows of the list.
fn is_count(heading: &str) -> bool {
    let letters: String = heading.chars().map(|letter| if letter.is_alphanumeric() { letter } else { ' ' }).collect();
    let heading = words(&letters);
    // `#` and `N°` have no letters, or one.
    heading.is_empty() || COUNTS.contains(&heading)
}

/// A column that counts the rows, from 1 and perhaps again in each section, says where a row stands and not what it is. One whose heading
/// says so may count rows that are no loads of the design, such as struck ones: then it goes on by no more than the lines between.
fn counts_rows(of: &[Circuit], heading: &str) -> bool {
    let of_all_rows = is_count(heading);
    let told: Vec<&Circuit> = of.iter().filter(|circuit| !cell(circuit, heading).is_empty()).collect();
    let numbers: Vec<(u32, u32)> =
        told.iter().filter_map(|circuit| Some((cell(circuit, heading).parse().ok()?, circuit.place.row))).collect();
    let goes_on = |pair: &[(u32, u32)]| {
        let [(before, line), (now, next)] = [pair[0], pair[1]];
        (now == 1 && before > 1)
            || before.checked_add(1) == Some(now)
            || (of_all_rows && now > before && now - before <= next.saturating_sub(line))
    };
    // Rows before the first load are counted too.
    let begins = |(first, line): (u32, u32)| first == 1 || of_all_rows && (1..=line).contains(&first);
    numbers.len() > 1 && numbers.len() == told.len() && begins(numbers[0]) && numbers.windows(2).all(goes_on)
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

#[cfg(test)]
mod tests {
    use super::same;

    #[rstest::rstest]
    #[case::order_numbers("4500123451", "4500123452", false)]
    #[case::long_order_numbers("45001234510000000001", "45001234510000000002", false)]
    #[case::leading_zeros("007", "7", false)]
    #[case::a_code_of_digits_and_a_letter("1E5", "100000", false)]
    #[case::a_serial_number("1.5E-3", "0.0015", false)]
    #[case::zeros_behind_decimals("4.50", "4.5", true)]
    #[case::no_decimals("4.0", "4", true)]
    #[case::tens("10", "1", false)]
    #[case::below_zero("-4.0", "-4", true)]
    #[case::case_and_blanks("Pump  house", "pump house ", true)]
    #[case::words("Pump", "Fan", false)]
    fn texts_are_told_apart_by_every_digit(#[case] one: &str, #[case] other: &str, #[case] alike: bool) {
        assert_eq!((same(one, other), same(other, one)), (alike, alike));
    }
}
