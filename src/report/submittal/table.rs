//! Tables that draw on the one table of result columns: heads with their units, cells as words, and no column that stays empty.

use std::borrow::Cow;

use serde::Serialize;

use super::state::{Link, Mark, State};
use super::text::{column_number, sizes_held, symbols};
use crate::report::columns::{Align, CellValue, Column};
use crate::rules::units::section_mm2;

/// A table as it is printed.
#[derive(Clone, Debug, Default, Serialize)]
pub(super) struct Table {
    /// Heads.
    pub(super) heads: Vec<Head>,
    /// Rows.
    pub(super) rows: Vec<Row>,
}

/// Head of a column.
#[derive(Clone, Debug, Serialize)]
pub(super) struct Head {
    heading: Cow<'static, str>,
    unit: &'static str,
    class: &'static str,
}

/// A row; its own columns stand after the tag.
#[derive(Clone, Debug, Serialize)]
pub(super) struct Row {
    /// Where its circuit is shown.
    pub(super) link: Link,
    /// Tag as this table names it.
    pub(super) tag: String,
    /// The row above bears the same tag.
    pub(super) again: bool,
    /// The mark of the present revision on the circuit, where the table shows it.
    pub(super) mark: Option<Mark>,
    /// State of the circuit, where the table shows it.
    pub(super) state: Option<State>,
    /// The subject of the row, where the table shows it.
    pub(super) about: String,
    /// Why the circuit is not sized; it stands in place of the cells.
    pub(super) reason: String,
    /// Cells.
    pub(super) cells: Vec<Cell>,
}

/// A cell.
#[derive(Clone, Debug, Serialize)]
pub(super) struct Cell {
    text: String,
    class: &'static str,
    /// The figure by which a size or a range sorts; empty where the text is a number itself or sorts as words.
    order: String,
}

/// Heads of these columns.
pub(super) fn heads<R>(columns: &[Column<R>]) -> Vec<Head> {
    columns.iter().map(|column| Head { heading: column.heading.into(), unit: column.unit, class: class(column) }).collect()
}

/// Where long words of heads may be parted; the mark is seen only where a line ends.
const PARTED: [&str; 8] = [
    "Con\u{ad}tactors",
    "Instan\u{ad}ta\u{ad}neous",
    "Mag\u{ad}netic",
    "Maxi\u{ad}mum",
    "Name\u{ad}plate",
    "Over\u{ad}load",
    "run\u{ad}ning",
    "start\u{ad}ing",
];

/// Heads of a table of many narrow columns: long words may be parted.
pub(super) fn narrow_heads<R>(columns: &[Column<R>]) -> Vec<Head> {
    let mut heads = heads(columns);
    for head in &mut heads {
        for parted in PARTED {
            let whole = parted.replace('\u{ad}', "");
            if head.heading.contains(&whole) {
                head.heading = head.heading.replace(&whole, parted).into();
            }
        }
    }
    heads
}

/// Cells of a row.
pub(super) fn cells<R>(columns: &[Column<R>], row: &R) -> Vec<Cell> {
    let text = |column: &Column<R>| match (column.of(row), column.decimals) {
        (CellValue::Number(value), Some(decimals)) => column_number(value, decimals),
        _ => sizes_held(&symbols(&column.text(row))),
    };
    let order = |column: &Column<R>| match column.of(row) {
        CellValue::Text(words) if sorts_by_figure(column) && words.parse::<f64>().is_err() => {
            order_of(column.key, &words).map(|figure| figure.to_string())
        }
        _ => None,
    };
    let cell = |column: &Column<R>| Cell { text: text(column), class: class(column), order: order(column).unwrap_or_default() };
    columns.iter().map(cell).collect()
}

/// Columns of words that hold sizes, ratings or ranges; of columns of numbers those cells that hold several.
fn sorts_by_figure<R>(column: &Column<R>) -> bool {
    const SIZES: [&str; 12] = [
        "cable_size",
        "class",
        "coil_voltage",
        "contactors",
        "disconnect",
        "grounding_size",
        "neutral_size",
        "phase_size",
        "protective_size",
        "raceway",
        "range",
        "trip_class",
    ];
    column.align() == Align::Right || SIZES.contains(&column.key)
}

/// The figure by which a cell of such a column sorts: millimetres squared of all conductors alike, inches of raceways, else its first
/// number. What is a number itself needs none.
fn order_of(key: &str, words: &str) -> Option<f64> {
    if key == "raceway" { size_of(words.rsplit(' ').next()?) } else { of_all(without_neutral(words)) }
}

/// What stands before the neutral: `2 × (4 × 350 kcmil` of `2 × (4 × 350 kcmil (3 + N))`, `3 × 6 AWG` of `3 × 6 AWG + N 8 AWG`.
fn without_neutral(words: &str) -> &str {
    let Some(at) = words.find(" + N") else { return words };
    words[..at].trim_end_matches(|letter: char| letter.is_ascii_digit()).trim_end_matches(" (")
}

/// A size times the numbers before it: `2 × (3 × 350 kcmil)` is six of them.
fn of_all(words: &str) -> Option<f64> {
    let mut number = 1.0;
    let mut each = words.trim_matches(['(', ')']);
    while let Some((count, rest)) = each.split_once(" × ") {
        number *= count.parse::<f64>().ok()?;
        each = rest.trim_matches(['(', ')']);
    }
    Some(number * size_of(each)?)
}

fn size_of(words: &str) -> Option<f64> {
    section_mm2(words).or_else(|| inches(words)).or_else(|| {
        let end = words.find(|letter: char| !letter.is_ascii_digit() && letter != '.').unwrap_or(words.len());
        words[..end].parse().ok()
    })
}

/// `3/4`, `1-1/2`.
fn inches(words: &str) -> Option<f64> {
    let (whole, part) = words.split_once('-').unwrap_or(("0", words));
    let (above, below) = part.split_once('/')?;
    let [whole, above, below] = [whole, above, below].map(|figure| figure.parse::<u32>().ok().map(f64::from));
    Some(whole? + above? / below.filter(|below| *below > 0.0)?)
}

/// The class of a column's cells: numbers to the right, the value of a dial larger than all else, part numbers on one line.
fn class<R>(column: &Column<R>) -> &'static str {
    match (column.key, column.align()) {
        ("value", _) => "n big",
        (_, Align::Right) => "n",
        ("part" | "unit" | "class" | "phase_size" | "protective_size" | "cable_size" | "grounding_size" | "raceway", _) => "nw",
        _ => "",
    }
}

impl Table {
    /// Leaves out columns in which no row has anything.
    pub(super) fn without_empty_columns(mut self) -> Self {
        let used: Vec<bool> = (0..self.heads.len())
            .map(|index| self.rows.iter().any(|row| row.cells.get(index).is_some_and(|cell| !cell.text.is_empty())))
            .collect();
        keep(&mut self.heads, &used);
        self.rows.iter_mut().for_each(|row| keep(&mut row.cells, &used));
        self
    }
}

/// Keeps the items whose place is in use.
fn keep<T>(items: &mut Vec<T>, used: &[bool]) {
    let mut places = used.iter();
    items.retain(|_| places.next().copied().unwrap_or(true));
}

#[cfg(test)]
mod tests {
    use super::*;

    /// NFPA 70, Chapter 9, Table 8: sections ascend from 14 AWG over 4/0 AWG to kcmil; trade sizes are inches.
    #[rstest::rstest]
    #[case::gauges("cable_size", &["14 AWG", "12 AWG", "4 AWG", "1/0 AWG", "4/0 AWG", "250 kcmil", "2 × 4/0 AWG", "2 × 250 kcmil"])]
    #[case::with_their_number("cable_size", &["3 × 14 AWG", "3 × 12 AWG + N 14 AWG", "2 × 2 AWG (1 + N)", "2 × (3 × 350 kcmil)", "2 × (4 × 350 kcmil (3 + N))"])]
    #[case::and_a_neutral("cable_size", &["2 × 10 AWG (1 + N)", "4 × 10 AWG (3 + N)", "4 × 6 AWG (3 + N)", "2 × 1/0 AWG (1 + N)"])]
    #[case::millimetres("cable_size", &["1.5", "2.5", "16", "2 × 16", "35", "2 × 95"])]
    #[case::raceways("raceway", &["EMT 1/2", "EMT 3/4", "PVC 1", "EMT 1-1/4", "RMC 2", "EMT 2-1/2"])]
    #[case::ranges("range", &["0.25–0.4 A", "0.4–0.63 A", "1.6–2.5 A", "12–18 A"])]
    #[case::contactors("contactors", &["9", "12 / 12 / 9", "25", "95 / 95 / 50"])]
    #[case::powers("power_kw", &["2 × 0.75", "2 × 1.1", "3 × 15"])]
    fn sizes_ascend(#[case] key: &str, #[case] sizes: &[&str]) {
        let order: Vec<f64> = sizes.iter().filter_map(|size| order_of(key, size)).collect();
        assert!(order.len() == sizes.len() && order.is_sorted_by(|a, b| a < b), "{order:?}");
    }

    /// 2 AWG is 33.6 mm², 350 kcmil 177 mm² (NFPA 70, Chapter 9, Table 8).
    #[rstest::rstest]
    #[case("2 × 2 AWG (1 + N)", 2.0 * 33.6)]
    #[case("2 × (4 × 350 kcmil (3 + N))", 8.0 * 177.3)]
    #[case("3 × 2 AWG + N 8 AWG", 3.0 * 33.6)]
    fn conductors_sort_by_what_they_are_together(#[case] words: &str, #[case] mm2: f64) {
        let order = order_of("cable_size", words).expect("a figure");
        assert!((order - mm2).abs() < 0.002 * mm2, "{order}");
    }

    #[test]
    fn words_have_no_figure() {
        for words in ["", "NEMA size 1", "2 × NEMA size 1", "–"] {
            assert_eq!(order_of("contactors", words), None, "{words}");
        }
    }
}
