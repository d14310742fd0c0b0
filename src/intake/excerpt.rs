//! The few cells around a finding, as they stood, for a reader who has not opened the file.

use super::{Grid, Intake, Row, text};
use crate::finding::{Excerpt, Finding};
use crate::load::Field;

/// Columns of an excerpt.
const COLUMNS: usize = 6;

/// Heading row and offending row of a finding, if it stands in a row that was read.
#[must_use]
pub fn excerpt(intake: &Intake, finding: &Finding) -> Option<Excerpt> {
    let place = finding.place.as_ref()?;
    let grid = intake.grids.iter().find(|grid| grid.file == place.file && grid.sheet == place.sheet)?;
    let header = grid.header_row? as usize;
    let row = place.row?.checked_sub(1)? as usize;
    let marked = place.column.as_deref().and_then(column_index);
    let columns = columns(grid, header, row, marked);
    let texts = |row: usize| columns.iter().map(|&column| text_at(grid, row, column)).collect::<Vec<_>>();
    grid.rows.get(row)?;
    Some(Excerpt {
        headings: if row == header { Vec::new() } else { texts(header) },
        cells: texts(row),
        marked: marked.and_then(|marked| columns.iter().position(|&column| column == marked)),
    })
}

/// The tag, and columns around the one that is meant, empty ones left out.
fn columns(grid: &Grid, header: usize, row: usize, marked: Option<usize>) -> Vec<usize> {
    let width = grid.rows.get(header).map_or(0, Row::len).max(grid.rows.get(row).map_or(0, Row::len));
    let shown = |column: usize| !text_at(grid, header, column).is_empty() || !text_at(grid, row, column).is_empty();
    let used: Vec<usize> = (0..width).filter(|&column| Some(column) == marked || shown(column)).collect();
    let tag = used
        .iter()
        .copied()
        .find(|&column| super::headings::recognise(&text_at(grid, header, column)).is_some_and(|found| found.may_be(Field::Tag)));
    let middle = marked.and_then(|marked| used.iter().position(|&column| column == marked)).unwrap_or(0);
    let start = middle.saturating_sub(COLUMNS / 2).min(used.len().saturating_sub(COLUMNS));
    let mut window: Vec<usize> = used.iter().copied().skip(start).take(COLUMNS).collect();
    if let Some(tag) = tag.filter(|tag| !window.contains(tag)) {
        // The tag stands in front even if its column is far away: it is what a reader looks for.
        if window.first() == marked.as_ref() {
            window.truncate(COLUMNS - 1);
        } else {
            window.remove(0);
        }
        window.insert(0, tag);
    }
    window
}

fn text_at(grid: &Grid, row: usize, column: usize) -> String {
    text::shortened(&grid.rows.get(row).unwrap_or_default().seen(column))
}

/// Column from zero of letters such as `AB`.
fn column_index(letters: &str) -> Option<usize> {
    let index = letters.bytes().try_fold(0usize, |index, byte| {
        let digit = byte.is_ascii_uppercase().then(|| usize::from(byte - b'A') + 1)?;
        index.checked_mul(26)?.checked_add(digit)
    })?;
    index.checked_sub(1)
}
