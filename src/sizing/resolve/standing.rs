//! What says that a machine stands outdoors or on a roof while no column of places does: description, note and section by their words, its
//! tag by its letters, sheet and title by the units that they name.

use crate::intake::matters::{suggests, suggests_by_tag, suggests_by_title, words_of};
use crate::load::{Field, Load};
use crate::sizing::resolve::services::saying;

/// Something that says so.
#[derive(Clone, Copy)]
pub(super) struct Says<'l> {
    /// Its column; of sheet and title that of the tag.
    pub(super) field: Field,
    pub(super) name: &'static str,
    pub(super) text: &'l str,
}

/// A column of words with its text and its words.
type Said<'l> = (Field, &'l str, Vec<String>);

/// The first that suggests any of these matters.
pub(super) fn first_of<'l>(matters: &[&str], load: &'l Load) -> Option<Says<'l>> {
    let said: Vec<Said<'l>> = [Field::Description, Field::Notes, Field::Section]
        .into_iter()
        .filter_map(|field| load.text(field).map(|text| (field, text, words_of(text))))
        .collect();
    let tag = load.entry(Field::Tag).map(|entry| (entry.text.trim(), words_of(&entry.text)));
    matters.iter().find_map(|matter| {
        by_words(matter, &said).or_else(|| by_tag(matter, tag.as_ref()?, &said)).or_else(|| by_title(matter, load))
    })
}

fn by_words<'l>(matter: &str, said: &[Said<'l>]) -> Option<Says<'l>> {
    let says = |words: &[String]| suggests(matter, words) && !suggests("below-roof-tank", words);
    let (field, text, _) = said.iter().find(|(_, _, words)| says(words))?;
    Some(Says { field: *field, name: if *field == Field::Section { "section" } else { saying(*field) }, text })
}

fn by_tag<'l>(matter: &str, (text, tag): &(&'l str, Vec<String>), said: &[Said<'l>]) -> Option<Says<'l>> {
    let described = said.iter().find(|(field, ..)| *field == Field::Description).map_or(&[][..], |(_, _, words)| words);
    suggests_by_tag(matter, tag, described).then_some(Says { field: Field::Tag, name: "tag", text })
}

fn by_title<'l>(matter: &str, load: &'l Load) -> Option<Says<'l>> {
    let sheet = load.source.sheet.as_deref().map(|text| ("name of the sheet", text));
    let title = load.source.title.as_deref().map(|text| ("title of the table", text));
    let (name, text) = [title, sheet].into_iter().flatten().find(|(_, text)| suggests_by_title(matter, &words_of(text)))?;
    Some(Says { field: Field::Tag, name, text })
}
