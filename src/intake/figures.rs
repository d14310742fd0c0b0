//! Marks of thousands in the columns that are read as figures: numbers of ways and remarks have no say in them. `table/decimals.rs` tells
//! them.

use std::borrow::Cow;

use super::cells::{self, Note, Outcome};
use super::dialect::vote;
use super::mapping::Column;
use super::numbers::{self, NumberError};
use super::table::Table;
use super::{Cell, Content, Intake, text};
use crate::finding::{Finding, codes};
use crate::load::{FIELDS, Field, Kind};

/// Columns whose cells are read as figures.
pub(super) fn is_of_figures(field: Field) -> bool {
    matches!(field.spec().kind, Kind::Number(..) | Kind::Count(..))
        || matches!(field, Field::Supply | Field::GivenConductor | Field::GivenProtectiveConductor)
}

/// Columns of a unit whose figures may reach thousands; a share or a factor does not.
fn may_reach_thousands(field: Field) -> bool {
    matches!(field.spec().kind, Kind::Number(..)) && !matches!(field.spec().unit, "" | "%" | "kA")
}

/// Whether any figure that was read stands with a decimal comma.
pub(super) fn have_decimal_comma(intake: &Intake) -> bool {
    let fields = || FIELDS.iter().map(|spec| spec.field).filter(|field| is_of_figures(*field));
    let says = |cell: &str| vote(cell.trim()) == Some(',');
    let of_loads =
        || intake.loads.iter().any(|load| fields().any(|field| load.entry(field).is_some_and(|entry| says(&entry.text))));
    // A cell that could not be read gave no value; it stands in its finding.
    let refused = |finding: &Finding| finding.place.as_ref().and_then(|place| place.text.as_deref()).is_some_and(says);
    of_loads() || intake.findings.iter().filter(|finding| finding.code.starts_with("I1")).any(refused)
}

impl Table<'_> {
    /// The cell without a comma that parts thousands, which is told.
    pub(super) fn without_thousands<'c>(&mut self, row: u32, cell: Cow<'c, Cell>, column: &Column) -> Cow<'c, Cell> {
        let Content::Text(seen) = &cell.content else { return cell };
        let ambiguous = self.commas_part && may_reach_thousands(column.spec.field) && seen.contains(',');
        if !ambiguous || numbers::reading(seen) != Err(NumberError::Ambiguous) {
            return cell;
        }
        let what = format!("`{}` has a mark between thousands, which was left out", text::shortened(seen));
        let place = self.place(row as usize, column.index, seen);
        self.findings
            .push(Finding::new(&codes::I403_THOUSANDS, what).at(place).cure("write it without a comma if it is one of decimals"));
        Cow::Owned(Cell { content: Content::Text(seen.replace(',', "").into()), ..cell.as_ref().clone() })
    }

    /// Reads a cell of a column; a point in it that parts thousands here is left out: `1.100 W` where all figures have decimal commas.
    pub(super) fn read_by_mark(&self, column: &Column, cell: &Cell) -> Outcome {
        let parts = self.points_part && may_reach_thousands(column.spec.field);
        let plain = if parts { without_point(cell) } else { None };
        let Some(plain) = plain else { return cells::read(column.spec, column.unit, cell) };
        let read = cells::read(column.spec, column.unit, &plain);
        read.map(|mut given| {
            if !given.values.is_empty() {
                given.notes.push(Note::Grouped);
            }
            given
        })
    }
}

/// Whether a text has a point that may part thousands.
pub(super) fn has_grouping_point(text: &str) -> bool {
    ungrouped(text).is_some()
}

/// The cell without the one point between thousands.
fn without_point(cell: &Cell) -> Option<Cell> {
    let Content::Text(text) = &cell.content else { return None };
    let plain = ungrouped(text.trim())?;
    Some(Cell { content: Content::Text(plain.into()), ..cell.clone() })
}

/// A text without its one point, where three digits follow it and one to three stand before it.
fn ungrouped(text: &str) -> Option<String> {
    let (whole, rest) = text.split_once('.')?;
    let digits = rest.bytes().take_while(u8::is_ascii_digit).count();
    let behind = rest.get(digits..)?;
    let grouped = (1..=3).contains(&whole.len())
        && whole.bytes().all(|byte| byte.is_ascii_digit())
        && !whole.starts_with('0')
        && digits == 3
        && !behind.contains(|letter: char| letter.is_ascii_digit() || matches!(letter, '.' | ','));
    grouped.then(|| format!("{whole}{rest}"))
}
