//! Marks of decimals and thousands in the columns that are read as figures: numbers of ways and remarks have no say in them.

use std::borrow::Cow;

use super::dialect::vote;
use super::mapping::{Column, holds_several};
use super::numbers::{self, NumberError};
use super::table::Table;
use super::{Cell, Content, Intake, text};
use crate::finding::{Finding, codes};
use crate::load::{FIELDS, Field, Kind};

/// Columns whose cells are read as figures.
fn is_of_figures(field: Field) -> bool {
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
    /// Whether commas part thousands here: the figures are American, and none has a decimal comma.
    pub(super) fn parts_thousands(&self) -> bool {
        let figures: Vec<usize> =
            self.columns.iter().filter(|column| is_of_figures(column.spec.field)).map(|column| column.index).collect();
        let decimal = |column: &usize| self.body().filter(holds_several).any(|row| vote(row.seen(*column).trim()) == Some(','));
        self.sheet.american && !figures.iter().any(decimal)
    }

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
}
