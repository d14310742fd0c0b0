//! Cells of columns that are carried through and not read: what the sender says in them beside the load.

use std::collections::BTreeMap;

use super::Intake;
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
}
