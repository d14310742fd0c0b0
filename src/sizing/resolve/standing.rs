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

/// The first that suggests any of these matters.
pub(super) fn first_of<'l>(matters: &[&str], load: &'l Load) -> Option<Says<'l>> {
    matters.iter().find_map(|matter| by_words(matter, load).or_else(|| by_tag(matter, load)).or_else(|| by_title(matter, load)))
}

fn by_words<'l>(matter: &str, load: &'l Load) -> Option<Says<'l>> {
    [Field::Description, Field::Notes, Field::Section].into_iter().find_map(|field| {
        let says = |words: &[String]| suggests(matter, words) && !suggests("below-roof-tank", words);
        let text = load.text(field).filter(|text| says(&words_of(text)))?;
        Some(Says { field, name: if field == Field::Section { "section" } else { saying(field) }, text })
    })
}

fn by_tag<'l>(matter: &str, load: &'l Load) -> Option<Says<'l>> {
    let entry = load.entry(Field::Tag)?;
    let described = words_of(load.text(Field::Description).unwrap_or_default());
    let says = suggests_by_tag(matter, &words_of(&entry.text), &described);
    says.then_some(Says { field: Field::Tag, name: "tag", text: entry.text.trim() })
}

fn by_title<'l>(matter: &str, load: &'l Load) -> Option<Says<'l>> {
    let sheet = load.source.sheet.as_deref().map(|text| ("name of the sheet", text));
    let title = load.source.title.as_deref().map(|text| ("title of the table", text));
    let (name, text) = [title, sheet].into_iter().flatten().find(|(_, text)| suggests_by_title(matter, &words_of(text)))?;
    Some(Says { field: Field::Tag, name, text })
}
