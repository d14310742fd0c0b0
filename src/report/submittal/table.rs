//! Tables that draw on the one table of result columns: heads with their units, cells as words, and no column that stays empty.

use std::borrow::Cow;

use serde::Serialize;

use super::state::{Link, Mark, State};
use super::text::{column_number, sizes_held, symbols};
use crate::report::columns::{Align, CellValue, Column};

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
    columns.iter().map(|column| Cell { text: text(column), class: class(column) }).collect()
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
