//! Texts as the sender wrote them: cells of columns that are carried through and not read, and cells that could not be read.

use std::collections::BTreeMap;

use super::Intake;
use crate::finding::{Finding, Severity};
use crate::load::Load;

/// Number of a column, from zero, by its letters.
fn column_of_letters(letters: &str) -> Option<u32> {
    let digit = |letter: u8| letter.is_ascii_uppercase().then(|| u32::from(letter - b'A') + 1);
    let add = |number: u32, letter: u8| number.checked_mul(26)?.checked_add(digit(letter)?);
    letters.bytes().try_fold(0, add)?.checked_sub(1)
}

impl Intake {
    /// Texts of a row in columns that are not read, by heading; a heading that stands twice is numbered from the second on.
    #[must_use]
    pub fn carried(&self, load: &Load) -> BTreeMap<String, String> {
        let mut found = BTreeMap::new();
        let Some(cells) = self.grids.get(load.grid).and_then(|grid| grid.rows.get(load.row as usize)) else { return found };
        let unread = || self.mappings.iter().filter(|mapping| mapping.field.is_none() && mapping.sheet == load.source.sheet);
        for mapping in unread() {
            // A further table of the sheet has headings of its own.
            let heading = load.source.headings.get(mapping.column as usize).filter(|heading| **heading == mapping.heading);
            let (Some(heading), false) = (heading, cells.is_blank(mapping.column as usize)) else { continue };
            let name = if mapping.before == 0 { heading.clone() } else { format!("{heading} ({})", mapping.before + 1) };
            found.insert(name, cells.seen(mapping.column as usize).trim().to_owned());
        }
        found
    }

    /// Texts of cells that could not be read, by canonical column, from the findings of a row. Texts that were read all the same, and
    /// columns that hold several, are left out.
    #[must_use]
    pub fn unread<'f>(&self, load: &Load, findings: impl IntoIterator<Item = &'f Finding>) -> BTreeMap<String, String> {
        let of_cells = |finding: &&Finding| finding.code.starts_with('I') && finding.severity != Severity::Note;
        let text = |found: &Finding| {
            let place = found.place.as_ref()?;
            let (letters, text) = (place.column.as_ref()?, place.text.as_ref()?);
            let column = column_of_letters(letters)?;
            let here = |mapping: &&super::Mapping| mapping.sheet == load.source.sheet && mapping.column == column;
            let field = self.mappings.iter().filter(here).find_map(|mapping| mapping.field)?;
            (!load.has(field) && !text.trim().is_empty()).then(|| (field.spec().name.to_owned(), text.trim().to_owned()))
        };
        findings.into_iter().filter(of_cells).filter_map(text).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::finding::column_letters;

    #[test]
    fn letters_name_the_column_that_they_were_made_of() {
        for column in [0, 25, 26, 51, 701, 702, 16_383] {
            assert_eq!(column_of_letters(&column_letters(column)), Some(column));
        }
        for odd in ["", "a", "A1"] {
            assert_eq!(column_of_letters(odd), None, "{odd}");
        }
    }
}
