//! A column of a report: its heading, unit, decimals and the value of a row, and how numbers are shown.

use std::borrow::Cow;

use crate::quantity::{decimal, round_to};
use crate::rules::units::{Measure, Units};

/// The value of a column in one row.
#[derive(Clone, Debug, PartialEq)]
pub enum CellValue<'a> {
    /// Words.
    Text(Cow<'a, str>),
    /// A finite number in the column's unit, not rounded yet.
    Number(f64),
    /// Not worked out, or does not apply.
    Empty,
}

impl<'a> CellValue<'a> {
    /// Words; nothing if they are empty.
    #[must_use]
    pub fn text(words: impl Into<Cow<'a, str>>) -> Self {
        let words = words.into();
        if words.is_empty() { Self::Empty } else { Self::Text(words) }
    }

    /// A number; nothing if there is none or if it is not finite.
    #[must_use]
    pub fn number(number: impl Into<Option<f64>>) -> Self {
        number.into().filter(|number| number.is_finite()).map_or(Self::Empty, Self::Number)
    }

    /// A figure that a check compares, as it is shown.
    #[must_use]
    pub fn measure(measure: Option<Measure>) -> Self {
        match measure {
            Some(Measure::Number(number)) => Self::number(number),
            Some(Measure::Size(size)) => Self::Text(Cow::Owned(size)),
            None => Self::Empty,
        }
    }

    /// A number above nothing: results use zero for "not worked out".
    #[must_use]
    pub fn positive(number: f64) -> Self {
        if number > 0.0 { Self::number(number) } else { Self::Empty }
    }
}

/// Group of a column.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Group {
    /// Which row it is.
    Row,
    /// State and findings.
    Result,
    /// Currents.
    Current,
    /// Starter.
    Starter,
    /// Short-circuit protection.
    Protection,
    /// Cable.
    Cable,
    /// Disconnecting means.
    Disconnect,
    /// Checks.
    Check,
    /// Choices of others.
    Given,
}

impl Group {
    /// The words that are printed.
    #[must_use]
    pub fn words(self, units: Units) -> &'static str {
        match self {
            Self::Row => "Row",
            Self::Result => "Result",
            Self::Current => "Current",
            Self::Starter => "Starter",
            Self::Protection => "Protection",
            Self::Cable => units.pick("Cable", "Conductors"),
            Self::Disconnect => "Disconnect",
            Self::Check => "Checks",
            Self::Given => "Given by others",
        }
    }
}

/// Alignment of a column.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Align {
    /// Words.
    Left,
    /// Numbers.
    Right,
}

/// How numbers of a column are shown: decimals that always stand, and further ones that stand only where a value needs them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Decimals {
    /// Decimals that always stand.
    pub fixed: u8,
    /// Further decimals; their place is kept, so that decimal points stand below each other.
    pub further: u8,
}

/// One column over rows of the kind `R`.
pub struct Column<R> {
    /// Name that never changes.
    pub key: &'static str,
    /// Group.
    pub group: Group,
    /// Heading.
    pub heading: &'static str,
    /// Unit under the heading; empty where there is none, or where it differs from row to row.
    pub unit: &'static str,
    /// Decimals; none for words.
    pub decimals: Option<Decimals>,
    /// Width in characters.
    pub width: f64,
    /// Units in which heading, unit and value are given.
    pub units: Units,
    /// The value.
    pub value: fn(&R, Units) -> CellValue<'_>,
}

impl<R> Column<R> {
    /// Numbers to the right, words to the left.
    #[must_use]
    pub fn align(&self) -> Align {
        if self.decimals.is_some() { Align::Right } else { Align::Left }
    }

    /// Heading and unit on two lines.
    #[must_use]
    pub fn head(&self) -> String {
        if self.unit.is_empty() { self.heading.to_owned() } else { format!("{}\n{}", self.heading, self.unit) }
    }

    /// The value in the column's units.
    #[must_use]
    pub fn of<'r>(&self, row: &'r R) -> CellValue<'r> {
        (self.value)(row, self.units)
    }

    /// The value with numbers rounded to the decimals that are shown.
    #[must_use]
    pub fn rounded<'r>(&self, row: &'r R) -> CellValue<'r> {
        self.round(self.of(row))
    }

    /// A value of the column with its number rounded to the decimals that are shown.
    #[must_use]
    pub fn round<'r>(&self, value: CellValue<'r>) -> CellValue<'r> {
        match (value, self.decimals) {
            (CellValue::Number(number), Some(decimals)) => {
                CellValue::Number(round_to(number, u32::from(decimals.fixed + decimals.further)))
            }
            (value, _) => value,
        }
    }

    /// The value as text, for pages and lists; empty where there is none.
    #[must_use]
    pub fn text<'r>(&self, row: &'r R) -> Cow<'r, str> {
        match self.of(row) {
            CellValue::Text(words) => words,
            CellValue::Number(number) => Cow::Owned(
                self.decimals.map_or_else(|| crate::record::significant(number, 6), |decimals| shown(number, decimals)),
            ),
            CellValue::Empty => Cow::Borrowed(""),
        }
    }
}

/// A number with these decimals; zeros at the end of the further ones are left out.
#[must_use]
pub fn shown(number: f64, decimals: Decimals) -> String {
    let most = decimals.fixed + decimals.further;
    let mut text = decimal(round_to(number, u32::from(most)), usize::from(most));
    for _ in 0..decimals.further {
        if !text.ends_with('0') {
            break;
        }
        text.pop();
    }
    if text.ends_with('.') {
        text.pop();
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn further_decimals_stand_only_where_needed() {
        let amperes = Decimals { fixed: 1, further: 1 };
        assert_eq!(shown(14.3, amperes), "14.3");
        assert_eq!(shown(0.16, amperes), "0.16");
        assert_eq!(shown(20.0, amperes), "20.0");
        assert_eq!(shown(160.0, Decimals { fixed: 0, further: 1 }), "160");
    }

    #[test]
    fn a_number_that_is_none_leaves_the_cell_empty() {
        assert_eq!(CellValue::number(f64::NAN), CellValue::Empty);
        assert_eq!(CellValue::number(f64::INFINITY), CellValue::Empty);
    }
}
