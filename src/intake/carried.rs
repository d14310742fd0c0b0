//! Texts as the sender wrote them: cells of columns that are carried through and not read, and cells that could not be read.

use std::collections::{BTreeMap, HashMap};

use super::surroundings::{asked_by, denied_by, suggested_by};
use super::{Intake, mentions, text};
use crate::finding::{Finding, Severity, codes, column_letters};
use crate::load::{Field, Load};

/// Texts of which a column remembers what they say; more would be a column of remarks that never repeat themselves.
const REMEMBERED: usize = 1_024;

/// A column that is not read, and what its texts said so far.
struct Unread<'i> {
    sheet: Option<&'i str>,
    column: u32,
    heading: &'i str,
    /// The heading asks for hazardous locations.
    asks: bool,
    said: HashMap<String, bool>,
}

impl Unread<'_> {
    /// Whether a text of it may say that the load stands in a hazardous location.
    fn may_say(&mut self, words: &str) -> bool {
        if let Some(known) = self.said.get(words) {
            return *known;
        }
        let says = suggested_by(&mentions::words(words)) || self.asks && !denied_by(words);
        if self.said.len() < REMEMBERED {
            self.said.insert(words.to_owned(), says);
        }
        says
    }
}

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

    /// Says at each row where a column that is not read may place the load in a hazardous location, which no column that is read denies
    /// or states.
    pub(super) fn say_unread_hazards(&mut self) {
        let unread = |mapping: &&super::Mapping| mapping.field.is_none();
        let mut columns: Vec<Unread<'_>> = Vec::new();
        for mapping in self.mappings.iter().filter(unread) {
            let (sheet, column, heading) = (mapping.sheet.as_deref(), mapping.column, mapping.heading.as_str());
            columns.push(Unread { sheet, column, heading, asks: asked_by(heading), said: HashMap::new() });
        }
        let mut found = Vec::new();
        for load in &self.loads {
            if load.has(Field::ExMarking) || load.text(Field::Environment) == Some("hazardous") {
                continue;
            }
            let Some(cells) = self.grids.get(load.grid).and_then(|grid| grid.rows.get(load.row as usize)) else { continue };
            for unread in columns.iter_mut().filter(|unread| unread.sheet == load.source.sheet.as_deref()) {
                let index = unread.column as usize;
                // A further table of the sheet has headings of its own.
                let here = load.source.headings.get(index).is_some_and(|heading| heading == unread.heading);
                if !here || cells.is_blank(index) || !unread.may_say(cells.seen(index).trim()) {
                    continue;
                }
                let words = cells.seen(index);
                let mut place = load.place();
                place.column = Some(column_letters(unread.column));
                place.heading = Some(unread.heading.to_owned());
                place.text = Some(text::shortened(&words));
                let what = format!(
                    "the column `{}` is not read, and its `{}` may mean a hazardous location",
                    text::shortened(unread.heading),
                    text::shortened(&words)
                );
                found.push(
                    Finding::new(&codes::I438_HAZARD_NOT_READ, what)
                        .at(place)
                        .why("the row is sized as an ordinary load")
                        .cure("read the column as ex_marking (--map), or write ex_marking none at the row"),
                );
                break;
            }
        }
        self.findings.extend(found);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

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
