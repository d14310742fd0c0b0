//! The rows of a sheet: cells of a workbook, or the texts of delimited text in one piece, of which a cell is made when one is asked for.

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::fmt;
use std::ops::Range;

use super::{Cell, Content, Struck, text};

/// Rows of a sheet, counted from zero; they may differ in length.
#[derive(Clone, Default)]
pub struct Rows {
    cells: Vec<Vec<Cell>>,
    /// In their place, rows of delimited text.
    texts: Option<Texts>,
}

/// Rows of delimited text.
#[derive(Clone, Default)]
struct Texts {
    /// Runs of rows, one behind another.
    runs: Vec<Run>,
    /// First row of each run, and the number of all rows.
    firsts: Vec<usize>,
    /// Rows that were changed since.
    changed: BTreeMap<usize, Vec<Cell>>,
}

/// Texts of a run of rows.
#[derive(Clone, Default)]
pub(super) struct Run {
    /// The texts of all cells, one behind another.
    text: String,
    /// Where each of them ends.
    ends: Vec<u32>,
    /// Cells up to and with each row.
    rows: Vec<u32>,
}

impl Run {
    /// Room for the rows of so many bytes.
    pub(super) fn with_room(bytes: usize) -> Self {
        // Guesses; what is not used is never touched.
        Self { text: String::with_capacity(bytes), ends: Vec::with_capacity(bytes / 4), rows: Vec::with_capacity(bytes / 32) }
    }

    /// Adds a row: the texts of its cells, one behind another, and where in them each ends.
    pub(super) fn push(&mut self, texts: &str, ends: impl Iterator<Item = usize>) {
        let start = self.text.len();
        self.text.push_str(texts);
        self.ends.extend(ends.map(|end| narrow(start + end)));
        self.rows.push(narrow(self.ends.len()));
    }

    pub(super) fn len(&self) -> usize {
        self.rows.len()
    }

    /// A row of the run.
    #[inline]
    fn row(&self, number: usize) -> Option<Row<'_>> {
        let last = *self.rows.get(number)? as usize;
        let first = number.checked_sub(1).and_then(|before| self.rows.get(before)).map_or(0, |end| *end as usize);
        let start = first.checked_sub(1).and_then(|before| self.ends.get(before)).copied().unwrap_or_default();
        Some(Row(Inner::Texts { text: &self.text, start, ends: self.ends.get(first..last)? }))
    }
}

/// Texts are no larger than the largest file that is read, far below what the type holds.
fn narrow(number: usize) -> u32 {
    u32::try_from(number).unwrap_or(u32::MAX)
}

impl fmt::Debug for Rows {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.debug_list().entries(self.iter().map(Row::into_cells)).finish()
    }
}

impl FromIterator<Vec<Cell>> for Rows {
    fn from_iter<R: IntoIterator<Item = Vec<Cell>>>(rows: R) -> Self {
        rows.into_iter().collect::<Vec<_>>().into()
    }
}

impl From<Vec<Vec<Cell>>> for Rows {
    fn from(cells: Vec<Vec<Cell>>) -> Self {
        Self { cells, texts: None }
    }
}

impl Rows {
    /// Rows of delimited text.
    pub(super) fn of_texts(runs: Vec<Run>) -> Self {
        let mut firsts = vec![0];
        for run in &runs {
            firsts.push(firsts.last().copied().unwrap_or_default() + run.len());
        }
        Self { cells: Vec::new(), texts: Some(Texts { runs, firsts, changed: BTreeMap::new() }) }
    }

    /// How many there are.
    #[must_use]
    pub fn len(&self) -> usize {
        match &self.texts {
            None => self.cells.len(),
            Some(texts) => texts.firsts.last().copied().unwrap_or_default(),
        }
    }

    /// Whether there are none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// A row.
    #[must_use]
    #[inline]
    pub fn get(&self, number: usize) -> Option<Row<'_>> {
        match &self.texts {
            None => self.cells.get(number).map(|row| Row(Inner::Cells(row))),
            Some(texts) => texts.row(number),
        }
    }

    /// A cell, if the row reaches so far.
    #[must_use]
    pub fn cell(&self, row: usize, column: usize) -> Option<Cow<'_, Cell>> {
        self.get(row)?.get(column)
    }

    /// All rows.
    pub fn iter(&self) -> impl DoubleEndedIterator<Item = Row<'_>> + ExactSizeIterator + Clone {
        self.range(0..self.len())
    }

    /// Some rows, as far as there are some.
    pub fn range(&self, rows: Range<usize>) -> impl DoubleEndedIterator<Item = Row<'_>> + ExactSizeIterator + Clone {
        let end = rows.end.min(self.len());
        (rows.start.min(end)..end).map(|number| self.get(number).unwrap_or_default())
    }

    /// All rows as cells, to be changed.
    pub fn cells_mut(&mut self) -> &mut Vec<Vec<Cell>> {
        if self.texts.is_some() {
            self.cells = self.iter().map(Row::into_cells).collect();
            self.texts = None;
        }
        &mut self.cells
    }

    /// Puts other cells into a row that there is.
    pub(super) fn put(&mut self, number: usize, row: Vec<Cell>) {
        if let Some(texts) = &mut self.texts {
            texts.changed.insert(number, row);
        } else if let Some(place) = self.cells.get_mut(number) {
            *place = row;
        }
    }

    /// Whether some text holds this character; rows that were changed are not looked at. Cells may always.
    pub(super) fn may_hold(&self, letter: char) -> bool {
        self.texts.as_ref().is_none_or(|texts| texts.runs.iter().any(|run| run.text.contains(letter)))
    }
}

impl Texts {
    #[inline]
    fn row(&self, number: usize) -> Option<Row<'_>> {
        if !self.changed.is_empty()
            && let Some(row) = self.changed.get(&number)
        {
            return Some(Row(Inner::Cells(row)));
        }
        let run = self.firsts.iter().rposition(|first| *first <= number)?;
        self.runs.get(run)?.row(number - self.firsts[run])
    }
}

/// One row.
#[derive(Clone, Copy, Debug, Default)]
pub struct Row<'a>(Inner<'a>);

#[derive(Clone, Copy, Debug)]
enum Inner<'a> {
    Cells(&'a [Cell]),
    /// The texts of a run, where the first cell begins, and where each ends.
    Texts {
        text: &'a str,
        start: u32,
        ends: &'a [u32],
    },
}

impl Default for Inner<'_> {
    fn default() -> Self {
        Self::Cells(&[])
    }
}

impl<'a> From<&'a [Cell]> for Row<'a> {
    fn from(cells: &'a [Cell]) -> Self {
        Self(Inner::Cells(cells))
    }
}

/// The content of a cell of delimited text.
fn content(seen: &str) -> Content {
    match seen {
        "" => Content::Empty,
        _ if text::is_error(seen) => Content::Error(seen.trim().into()),
        _ => Content::Text(seen.into()),
    }
}

impl<'a> Row<'a> {
    /// How many cells it has, empty ones included.
    #[must_use]
    #[inline]
    pub fn len(self) -> usize {
        match self.0 {
            Inner::Cells(cells) => cells.len(),
            Inner::Texts { ends, .. } => ends.len(),
        }
    }

    /// Whether it has no cells.
    #[must_use]
    pub fn is_empty(self) -> bool {
        self.len() == 0
    }

    /// A cell.
    #[must_use]
    pub fn get(self, column: usize) -> Option<Cow<'a, Cell>> {
        match self.0 {
            Inner::Cells(cells) => cells.get(column).map(Cow::Borrowed),
            Inner::Texts { .. } => self.raw(column).map(|seen| Cow::Owned(Cell { content: content(seen), ..Cell::default() })),
        }
    }

    /// All cells.
    pub fn iter(self) -> impl DoubleEndedIterator<Item = Cow<'a, Cell>> + ExactSizeIterator {
        (0..self.len()).map(move |column| self.get(column).unwrap_or_default())
    }

    /// The cells of the row.
    pub(super) fn into_cells(self) -> Vec<Cell> {
        self.iter().map(Cow::into_owned).collect()
    }

    /// Cells of a workbook; delimited text has none, and nothing that only a look would say.
    pub(super) fn cells(self) -> &'a [Cell] {
        match self.0 {
            Inner::Cells(cells) => cells,
            Inner::Texts { .. } => &[],
        }
    }

    /// The text of a cell of delimited text.
    #[inline]
    fn raw(self, column: usize) -> Option<&'a str> {
        let Inner::Texts { text, start, ends } = self.0 else { return None };
        let end = *ends.get(column)? as usize;
        let start = column.checked_sub(1).and_then(|before| ends.get(before)).copied().unwrap_or(start) as usize;
        text.get(start..end)
    }

    /// The text of a cell as a person sees it; nothing where there is none.
    #[inline]
    pub(super) fn seen(self, column: usize) -> Cow<'a, str> {
        match self.0 {
            Inner::Cells(cells) => cells.get(column).map(|cell| text::of(&cell.content)).unwrap_or_default(),
            Inner::Texts { .. } => {
                let raw = self.raw(column).unwrap_or_default();
                // The text of an error is told without the blanks around it.
                Cow::Borrowed(if text::is_error(raw) { raw.trim() } else { raw })
            }
        }
    }

    /// Whether there is nothing to see in a cell, or no cell.
    #[inline]
    pub(super) fn is_blank(self, column: usize) -> bool {
        match self.0 {
            Inner::Cells(cells) => cells.get(column).is_none_or(|cell| text::is_blank(&cell.content)),
            Inner::Texts { .. } => self.raw(column).is_none_or(text::is_blank_text),
        }
    }

    /// The text of a cell that holds one.
    #[inline]
    pub(super) fn text(self, column: usize) -> Option<&'a str> {
        match self.0 {
            Inner::Cells(cells) => match &cells.get(column)?.content {
                Content::Text(text) => Some(text),
                _ => None,
            },
            Inner::Texts { .. } => self.raw(column).filter(|raw| !raw.is_empty() && !text::is_error(raw)),
        }
    }

    /// The text of a cell that holds one, where its look says nothing.
    #[inline]
    pub(super) fn plain_text(self, column: usize) -> Option<&'a str> {
        let looked = |cells: &[Cell]| cells.get(column).is_none_or(|cell| cell.struck != Struck::No || cell.percent);
        if matches!(self.0, Inner::Cells(cells) if looked(cells)) { None } else { self.text(column) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn run(rows: &[&[&str]]) -> Run {
        let mut run = Run::default();
        for row in rows {
            let ends = (1..=row.len()).map(|cells| row[..cells].concat().len());
            run.push(&row.concat(), ends);
        }
        run
    }

    fn texts(rows: &Rows) -> Vec<Vec<String>> {
        rows.iter().map(|row| row.iter().map(|cell| text::of(&cell.content).into_owned()).collect()).collect()
    }

    #[test]
    fn rows_stand_where_they_stood_whatever_runs_they_were_read_in() {
        let all: [&[&str]; 5] = [&["tag", "kW"], &[], &["P-1", "", "Lüfter"], &[""], &["#REF! "]];
        let whole = Rows::of_texts(vec![run(&all)]);
        for cut in 0..=all.len() {
            let parted = Rows::of_texts(vec![run(&all[..cut]), Run::default(), run(&all[cut..])]);
            assert_eq!(texts(&parted), [&["tag", "kW"][..], &[], &["P-1", "", "Lüfter"], &[""], &["#REF!"]]);
            assert_eq!(parted.len(), 5);
            assert!(parted.get(5).is_none() && parted.cell(1, 0).is_none());
            let mut cells = parted.clone();
            assert_eq!(cells.cells_mut(), whole.clone().cells_mut());
        }
    }

    #[test]
    fn a_row_of_texts_says_what_its_cells_say() {
        let rows = Rows::of_texts(vec![run(&[&["", " ", "\u{a0}", "-", "#N/A", "#N/A ", " #N/A", "# 1", "x"]])]);
        let mut cells = rows.clone();
        let cells = Rows::from(std::mem::take(cells.cells_mut()));
        let (row, other) = (rows.get(0).unwrap(), cells.get(0).unwrap());
        for column in 0..10 {
            assert_eq!(row.get(column), other.get(column));
            assert_eq!(row.seen(column), other.seen(column));
            assert_eq!(row.is_blank(column), other.is_blank(column));
            assert_eq!(row.text(column), other.text(column));
            assert_eq!(row.plain_text(column), other.plain_text(column));
        }
    }

    #[test]
    fn a_changed_row_stands_in_the_place_of_the_other() {
        let mut rows = Rows::of_texts(vec![run(&[&["a"], &["b"]]), run(&[&["c"]])]);
        rows.put(1, Vec::new());
        rows.put(2, vec![Cell { content: Content::Text("d".into()), ..Cell::default() }]);
        assert_eq!(texts(&rows), [&["a"][..], &[], &["d"]]);
        assert_eq!(rows.cells_mut().len(), 3);
    }
}
