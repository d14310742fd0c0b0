//! A point with three digits behind it, in a text whose decimal mark is the comma throughout: `1.100 W` are thousands there.

use std::borrow::Cow;

use super::cells::{self, Note, Outcome};
use super::table::Table;
use super::units::Unit;
use super::{Cell, Content};
use crate::load::FieldSpec;

impl Table<'_> {
    /// Reads a cell with the decimal mark of the whole text.
    pub(super) fn read_by_mark(&self, spec: &'static FieldSpec, unit: Option<Unit>, cell: &Cell) -> Outcome {
        let Some(plain) = without_point(cell).filter(|_| self.sheet.decimal_commas) else { return cells::read(spec, unit, cell) };
        let read = cells::read(spec, unit, &plain);
        read.map(|mut given| {
            if !given.values.is_empty() {
                given.notes.push(Note::Grouped);
            }
            given
        })
    }
}

/// The cell without the one point between thousands, where three digits follow it and one to three stand before it.
fn without_point(cell: &Cell) -> Option<Cell> {
    let Content::Text(text) = &cell.content else { return None };
    let text = text.trim();
    let (whole, rest) = text.split_once('.')?;
    let digits = rest.bytes().take_while(u8::is_ascii_digit).count();
    let behind = rest.get(digits..)?;
    let grouped = (1..=3).contains(&whole.len())
        && whole.bytes().all(|byte| byte.is_ascii_digit())
        && !whole.starts_with('0')
        && digits == 3
        && !behind.contains(|letter: char| letter.is_ascii_digit() || matches!(letter, '.' | ','));
    let plain = grouped.then(|| Cow::<str>::Owned(format!("{whole}{rest}")))?;
    Some(Cell { content: Content::Text(plain.into()), ..cell.clone() })
}
