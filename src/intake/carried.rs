//! Texts as the sender wrote them: cells of columns that are carried through and not read, and cells that could not be read.

use std::collections::BTreeMap;

use super::Intake;
use crate::finding::{Finding, Severity, column_letters};
use crate::load::Load;

impl Intake {
    /// What a row says in columns that are not read, by heading; of headings that stand twice the later ones are numbered.
    #[must_use]
    pub fn carried(&self, load: &Load) -> BTreeMap<String, String> {
        let mut found = BTreeMap::new();
        let Some(cells) = self.grids.get(load.grid).and_then(|grid| grid.rows.get(load.row as usize)) else { return found };
        let unread = || self.mappings.iter().filter(|own| own.field.is_none() && own.sheet == load.source.sheet);
        for own in unread() {
            // A further table of the sheet has headings of its own.
            let heading = load.source.headings.get(own.column as usize).filter(|heading| **heading == own.heading);
            let (Some(heading), false) = (heading, cells.is_blank(own.column as usize)) else { continue };
            let before = unread().filter(|other| other.heading == *heading && other.column < own.column).count();
            let name = if before == 0 { heading.clone() } else { format!("{heading} ({})", before + 1) };
            found.insert(name, cells.seen(own.column as usize).trim().to_owned());
        }
        found
    }

    /// What stands in cells that could not be read, by canonical column, of the findings of a row; of what was read all the same, and
    /// of columns that hold several, nothing.
    #[must_use]
    pub fn unread<'f>(&self, load: &Load, findings: impl IntoIterator<Item = &'f Finding>) -> BTreeMap<String, String> {
        let of_cells = |own: &&Finding| own.code.starts_with('I') && own.severity != Severity::Note;
        let text = |found: &Finding| {
            let place = found.place.as_ref()?;
            let (letters, text) = (place.column.as_ref()?, place.text.as_ref()?);
            let here = |own: &&super::Mapping| own.sheet == load.source.sheet && column_letters(own.column) == *letters;
            let field = self.mappings.iter().filter(here).find_map(|own| own.field)?;
            (!load.has(field) && !text.trim().is_empty()).then(|| (field.spec().name.to_owned(), text.trim().to_owned()))
        };
        findings.into_iter().filter(of_cells).filter_map(text).collect()
    }
}
