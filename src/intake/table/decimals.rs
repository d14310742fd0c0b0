//! Decimal marks that a column proves by its other cells: `7.376` alone reads two ways, beside `2.95` and `10.06` it does not.

use std::sync::Arc;

use super::Table;
use crate::finding::codes;
use crate::intake::cells::{self, Given, Note};
use crate::intake::mapping::Column;
use crate::intake::values::Wrong;
use crate::intake::{Cell, Content, Row, dialect};

/// Decimals that may be thousands.
const GROUP: usize = 3;

impl Table<'_> {
    /// The mark of each column that is read: all of its cells that speak for one speak for this. A table in which one column contradicts another
    /// proves nothing.
    pub(super) fn proved_marks(&self) -> Arc<[Option<char>]> {
        let marks: Vec<Option<char>> = self.columns.iter().map(|column| self.proved_mark(column)).collect();
        let mut rows = self.sheet.grid.rows.range(self.layout.first..self.layout.end);
        let of_row =
            |row: Row<'_>| self.columns.iter().filter_map(|column| dialect::vote(row.text(column.index)?)).collect::<Vec<_>>();
        let first = marks.iter().copied().flatten().next();
        let one = first.is_some_and(|first| rows.all(|row| of_row(row).iter().all(|vote| *vote == first)));
        if one { marks.into() } else { vec![None; marks.len()].into() }
    }

    fn proved_mark(&self, column: &Column) -> Option<char> {
        let rows = self.sheet.grid.rows.range(self.layout.first..self.layout.end);
        let mut votes = rows.filter_map(|row| dialect::vote(row.text(column.index)?));
        let first = votes.next()?;
        votes.all(|vote| vote == first).then_some(first)
    }

    /// Reads a cell of a column; a figure that alone reads two ways by the mark that the column proves.
    pub(in crate::intake) fn read_figure(&self, position: usize, cell: &Cell) -> Result<Given, Box<Wrong>> {
        let column = &self.columns[position];
        let read = self.read_by_mark(column.spec, column.unit, cell);
        let Err(wrong) = &read else { return read };
        let mark = self.marks.get(position).copied().flatten();
        let (Content::Text(text), Some(mark), true) = (&cell.content, mark, wrong.code.code == codes::I421_AMBIGUOUS_NUMBER.code)
        else {
            return read;
        };
        let Some(text) = with_more_decimals(text, mark) else { return read };
        let plain = Cell { content: Content::Text(text.as_str().into()), ..cell.clone() };
        let mut given = cells::read(column.spec, column.unit, &plain)?;
        given.notes.push(Note::Decimals);
        Ok(given)
    }
}

/// A text with a nought behind its three decimals, by which they are no thousands any more; none where it holds another mark.
fn with_more_decimals(text: &str, mark: char) -> Option<String> {
    let at = text.find(['.', ','])?;
    let end = at + 1 + GROUP;
    let lone = text[at..].starts_with(mark) && !text[at + 1..].contains(['.', ',']);
    let (front, back) = (text.get(..end)?, text.get(end..)?);
    lone.then(|| format!("{front}0{back}"))
}

#[cfg(test)]
mod tests {
    use super::with_more_decimals;

    #[rstest::rstest]
    #[case::point("7.376", '.', Some("7.3760"))]
    #[case::unit("7.376 hp", '.', Some("7.3760 hp"))]
    #[case::comma("7,376", ',', Some("7,3760"))]
    #[case::the_other_mark("1,250", '.', None)]
    #[case::both("1,250.375", '.', None)]
    #[case::short("7.3", '.', None)]
    fn decimals_that_are_no_thousands(#[case] text: &str, #[case] mark: char, #[case] expected: Option<&str>) {
        assert_eq!(with_more_decimals(text, mark).as_deref(), expected);
    }
}
