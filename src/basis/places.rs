//! Where keys of a basis stand in its file, so that what is found about them later points at their line.

use std::collections::BTreeMap;

use toml::de::{DeTable, DeValue};

use super::read::Lines;
use super::{Basis, keys};
use crate::finding::Finding;

/// Lines of a basis file by section, number of the entry from zero, and key; an empty key stands for the head of the entry.
#[derive(Clone, Debug, Default)]
pub struct KeyLines(BTreeMap<(String, usize, String), u32>);

impl KeyLines {
    /// The lines of a text that was read as a basis; none where it is no TOML.
    #[must_use]
    pub fn of_toml(text: &str) -> Self {
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        let (lines, mut found) = (Lines::of(text), Self::default());
        let Ok(parsed) = DeTable::parse(text) else { return found };
        let line = |at: usize| u32::try_from(lines.position(at).0).unwrap_or(u32::MAX);
        for (section, value) in parsed.into_inner() {
            let (head, name) = (line(section.span().start), section.into_inner().into_owned());
            match value.into_inner() {
                DeValue::Table(table) => found.enter(&name, 0, head, table, &line),
                DeValue::Array(entries) => {
                    for (number, entry) in entries.into_iter().enumerate() {
                        let head = line(entry.span().start);
                        if let DeValue::Table(table) = entry.into_inner() {
                            found.enter(&name, number, head, table, &line);
                        }
                    }
                }
                _ => {}
            }
        }
        found
    }

    fn enter(&mut self, section: &str, number: usize, head: u32, table: DeTable<'_>, line: &dyn Fn(usize) -> u32) {
        self.0.insert((section.to_owned(), number, String::new()), head);
        for (key, _) in table {
            self.0.insert((section.to_owned(), number, key.get_ref().to_string()), line(key.span().start));
        }
    }

    /// Gives a finding about a key of the basis its line: that of the key, else that of the entry in which it is missing.
    pub(crate) fn point(&self, basis: &Basis, file: Option<&str>, finding: &mut Finding) {
        let Some(place) = finding.place.as_mut().filter(|place| place.row.is_none() && file == Some(place.file.as_str())) else {
            return;
        };
        place.row = place.heading.as_deref().and_then(|heading| self.line_of(basis, heading));
    }

    fn line_of(&self, basis: &Basis, heading: &str) -> Option<u32> {
        let (section, number, key) = entry_of(basis, heading)?;
        let of = |key: &str| self.0.get(&(section.to_owned(), number, key.to_owned())).copied();
        of(key).or_else(|| of(""))
    }
}

/// Section, number and key that a heading of a place names, such as `board MCC-1: fed_from` or `supply: voltage_v`. Of a name that
/// stands twice the second is meant, where the name itself is.
fn entry_of<'h>(basis: &Basis, heading: &'h str) -> Option<(&'static str, usize, &'h str)> {
    let (subject, key) = heading.rsplit_once(": ").or_else(|| heading.split_once('.'))?;
    if let Some(section) = keys::sections().iter().find(|section| subject == section.name) {
        return Some((section.name.as_str(), 0, key));
    }
    let named = |names: Vec<Option<&str>>, name: &str| -> Option<usize> {
        let mut alike = names.iter().enumerate().filter(|(_, other)| other.map(str::trim) == Some(name)).map(|(at, _)| at);
        let found = if key == "name" { alike.next_back() } else { alike.next() };
        found.or_else(|| name.parse::<usize>().ok()?.checked_sub(1))
    };
    let (section, name) = subject.split_once(' ')?;
    match section {
        "board" => Some(("board", named(basis.boards.iter().map(|board| board.name.as_deref()).collect(), name)?, key)),
        "transformer" => {
            Some(("transformer", named(basis.transformers.iter().map(|entry| entry.name.as_deref()).collect(), name)?, key))
        }
        "source" => Some(("source", named(basis.sources.iter().map(|entry| entry.name.as_deref()).collect(), name)?, key)),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::basis::from_toml;
    use crate::finding::{Place, codes};

    // Lines counted in the text: the first of them is 1.
    #[rstest::rstest]
    #[case::key("board B: fed_from", Some(7))]
    #[case::missing_key("board B: feeder_length_m", Some(5))]
    #[case::the_second_of_a_name("board A: name", Some(9))]
    #[case::supply("supply: voltage_v", Some(2))]
    #[case::dotted("supply.voltage_v", Some(2))]
    #[case::unnamed("transformer 1: to", Some(11))]
    #[case::not_there("board C: name", None)]
    fn headings_of_places_have_their_lines(#[case] heading: &str, #[case] expected: Option<u32>) {
        let text = "[supply]\nvoltage_v = 400\n[[board]]\nname = \"A\"\n[[board]]\nname = \"B\"\nfed_from = \"A\"\n[[board]]\n\
                    name = \"A\"\n[[transformer]]\nto = \"B\"\n";
        let (basis, _) = from_toml("basis.toml", text).expect("it reads");
        let place = Place { heading: Some(heading.to_owned()), ..Place::file("basis.toml") };
        let mut finding = Finding::new(&codes::B101_FEED_UNKNOWN, "x").at(place);
        KeyLines::of_toml(text).point(&basis, Some("basis.toml"), &mut finding);
        assert_eq!(finding.place.and_then(|place| place.row), expected);
    }
}
