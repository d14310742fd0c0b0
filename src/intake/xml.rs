//! Small helpers for reading parts of workbooks as a stream: nothing is resolved, expanded or fetched.

use std::io::{BufReader, Cursor, Read};

use quick_xml::Reader;
use quick_xml::events::{BytesStart, Event};

use super::open::MAXIMA;

/// An archive in memory.
pub(super) type Archive<'a> = zip::ZipArchive<Cursor<&'a [u8]>>;
/// A reader of one part.
pub(super) type Part<'a> = Reader<BufReader<Box<dyn Read + 'a>>>;

/// Why a part can't be read.
pub(super) type Why = String;

/// Longest single piece of a text, in bytes; no cell of any spreadsheet program holds so much.
const LONGEST: usize = 1 << 20;

/// A part by its name; `/` in front and letter case make no difference. None where there is no such part.
pub(super) fn part<'a>(archive: &'a mut Archive<'_>, name: &str) -> Result<Option<Part<'a>>, Why> {
    let wanted = name.trim_start_matches('/');
    let same = |name: &str| name.replace('\\', "/").trim_start_matches('/').eq_ignore_ascii_case(wanted);
    let Some(found) = archive.file_names().position(|file_name| file_name.is_ok_and(|name| same(&name))) else { return Ok(None) };
    let member = archive.by_index(found).map_err(|error| error.to_string())?;
    let member: Box<dyn Read + 'a> = Box::new(member.take(MAXIMA.unpacked_bytes));
    let mut reader = Reader::from_reader(BufReader::with_capacity(1 << 16, member));
    reader.config_mut().expand_empty_elements = true;
    Ok(Some(reader))
}

/// An attribute by its local name, entities resolved.
pub(super) fn attribute(element: &BytesStart<'_>, name: &str) -> Option<String> {
    let found =
        element.attributes().with_checks(false).flatten().find(|attribute| attribute.key.local_name().as_ref() == name)?;
    Some(unescaped(&found.value))
}

/// A number in an attribute.
pub(super) fn number<T: std::str::FromStr>(element: &BytesStart<'_>, name: &str) -> Option<T> {
    attribute(element, name)?.trim().parse().ok()
}

/// An attribute that is a yes or no.
pub(super) fn flag(element: &BytesStart<'_>, name: &str) -> bool {
    attribute(element, name).is_some_and(|text| matches!(text.trim(), "1" | "true" | "on"))
}

/// Whether an element such as `<strike/>` or `<strike val="0"/>` switches on.
pub(super) fn is_on(element: &BytesStart<'_>) -> bool {
    attribute(element, "val").is_none_or(|text| !matches!(text.trim(), "0" | "false" | "off"))
}

/// Adds a piece of text, within the bound.
pub(super) fn add(text: &mut String, piece: &str) {
    if text.len() + piece.len() <= LONGEST {
        text.push_str(piece);
    }
}

/// Adds the text of an event. The five references of XML and numbers are resolved; entities that a document declares are never expanded,
/// they stay as they are written.
pub(super) fn add_event(text: &mut String, event: &Event<'_>) {
    match event {
        Event::Text(bytes_text) => add(text, &bytes_text.xml10_content()),
        Event::CData(bytes_cdata) => add(text, &bytes_cdata.xml10_content()),
        Event::GeneralRef(reference) => {
            if let Ok(Some(character)) = reference.resolve_char_ref() {
                add(text, character.encode_utf8(&mut [0; 4]));
                return;
            }
            let name = reference.xml10_content();
            match quick_xml::escape::resolve_predefined_entity(&name) {
                Some(known) => add(text, known),
                None => add(text, &format!("&{name};")),
            }
        }
        _ => {}
    }
}

/// A text without the references of XML.
pub(super) fn unescaped(text: &str) -> String {
    quick_xml::escape::unescape(text).map_or_else(|_| text.to_owned(), std::borrow::Cow::into_owned)
}

/// Row and column from zero of a reference such as `AB12`.
pub(super) fn cell(reference: &str) -> Option<(u32, u32)> {
    let reference = reference.trim();
    let letters = reference.bytes().take_while(u8::is_ascii_alphabetic).count();
    let column = reference
        .get(..letters)?
        .bytes()
        .try_fold(0_u32, |sum, byte| sum.checked_mul(26)?.checked_add(u32::from(byte.to_ascii_uppercase() - b'A') + 1))?;
    let row: u32 = reference.get(letters..)?.parse().ok()?;
    Some((row.checked_sub(1)?, column.checked_sub(1)?))
}

/// Corners of an area such as `A1:B2`.
pub(super) fn area(reference: &str) -> Option<((u32, u32), (u32, u32))> {
    let reference = reference.replace('$', "");
    let (first, last) = reference.split_once(':').unwrap_or((&reference, &reference));
    let (first, last) = (cell(first)?, cell(last)?);
    (first.0 <= last.0 && first.1 <= last.1).then_some((first, last))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn references_of_cells_are_read_within_their_bounds() {
        assert_eq!(cell("A1"), Some((0, 0)));
        assert_eq!(cell("AB12"), Some((11, 27)));
        assert_eq!(cell("A0"), None);
        assert_eq!(cell("ZZZZZZZZZZ1"), None);
        assert_eq!(cell("12"), None);
        assert_eq!(area("$A$1:B2"), Some(((0, 0), (1, 1))));
        assert_eq!(area("B2:A1"), None);
    }
}
