//! Decimal marks that a column proves by its other cells: `7.376` alone reads two ways, beside `2.95` and `10.06` it does not.

use super::Table;
use crate::finding::codes;
use crate::intake::cells::{self, Given, Note};
use crate::intake::mapping::{Column, holds_several};
use crate::intake::values::Wrong;
use crate::intake::{Cell, Content, dialect, figures};

/// Decimals that may be thousands.
const GROUP: usize = 3;

/// One figure with the other mark among so many is a slip, and says nothing of a table.
const SLIP: u32 = 20;

/// How many figures of a column stand with each decimal mark, and how many with a point that may part thousands.
#[derive(Clone, Copy, Debug, Default)]
struct Votes {
    comma: u32,
    point: u32,
    grouped: u32,
}

impl Votes {
    fn count(&mut self, text: &str) {
        match dialect::vote(text) {
            Some(',') => self.comma += 1,
            Some('.') => self.point += 1,
            _ => self.grouped += u32::from(figures::has_grouping_point(text)),
        }
    }

    fn with(self, other: &Self) -> Self {
        Self { comma: self.comma + other.comma, point: self.point + other.point, grouped: self.grouped + other.grouped }
    }

    /// The one mark, where there is one.
    fn only(self) -> Option<char> {
        match self {
            Self { comma: 1.., point: 0, .. } => Some(','),
            Self { comma: 0, point: 1.., .. } => Some('.'),
            _ => None,
        }
    }

    /// The mark of all figures but slips.
    fn usual(self) -> Option<char> {
        let beside = |other: u32| other / SLIP;
        Self {
            comma: self.comma.saturating_sub(beside(self.point)),
            point: self.point.saturating_sub(beside(self.comma)),
            ..self
        }
        .only()
    }
}

impl Table<'_> {
    /// Tells the marks of decimals and thousands by the columns that are read as figures: numbers of ways and remarks have no say.
    pub(super) fn settle_marks(&mut self) {
        let columns = self.votes();
        let all = columns.iter().fold(Votes::default(), Votes::with);
        // Commas part thousands where the figures are American and none has a decimal comma, points where all have one: more of them than
        // of the points that would part, for one figure must not multiply many by a thousand.
        self.commas_part = self.sheet.american && all.comma == 0;
        self.points_part = self.sheet.grid.delimited && all.only() == Some(',') && all.comma >= all.grouped;
        // A table in which one column contradicts another proves nothing.
        let proved = |votes: &Votes| all.usual().filter(|mark| votes.only() == Some(*mark));
        self.marks = columns.iter().map(proved).collect();
    }

    /// The marks of each column that is read; of one that is not read as figures none. A row with one text is a title or a note.
    fn votes(&self) -> Vec<Votes> {
        let mut votes = vec![Votes::default(); self.columns.len()];
        let of_figures = |(_, column): &(usize, &Column)| figures::is_of_figures(column.spec.field);
        let figures: Vec<(usize, usize)> =
            self.columns.iter().enumerate().filter(of_figures).map(|(position, column)| (position, column.index)).collect();
        for row in self.body().filter(holds_several) {
            for (position, index) in &figures {
                if let Some(text) = row.text(*index) {
                    votes[*position].count(text.trim());
                }
            }
        }
        votes
    }

    /// Reads a cell of a column; a figure that alone reads two ways by the mark that the column proves.
    pub(in crate::intake) fn read_figure(&self, position: usize, cell: &Cell) -> Result<Given, Box<Wrong>> {
        let column = &self.columns[position];
        let read = self.read_by_mark(column, cell);
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
