//! Comments on cells of an XLSX workbook: the sender's are kept, those that the program itself wrote are told apart from them.

use std::collections::BTreeMap;

use quick_xml::events::Event;

use super::{TextReader, Why, each, resolve, targets};
use crate::intake::xml::{self, Archive};

/// Comments by row and column from zero.
pub(in crate::intake) type Comments = BTreeMap<(u32, u32), String>;

/// Author of the program's own comments.
pub(crate) const AUTHOR: &str = "Motorwright";
/// What stands before a comment of the sender, and behind it where one of the program's own follows.
const AS_SENT: &str = "Comment as it was sent:\n";
const OURS_FOLLOW: &str = "\n\u{2014}\u{2014}\u{2014}\n";

/// Most comments of a sheet, and most characters of one, as spreadsheet programs admit them.
const MOST: usize = 50_000;
const LONGEST: usize = 32_767;

/// A comment as it is written: the sender's before the program's own.
#[must_use]
pub(crate) fn written(sent: Option<&str>, ours: &str) -> String {
    match sent {
        None => ours.to_owned(),
        Some(sent) if ours.is_empty() => format!("{AS_SENT}{sent}"),
        Some(sent) => format!("{AS_SENT}{sent}{OURS_FOLLOW}{ours}"),
    }
}

/// The sender's part of a comment; none of one that is the program's own.
fn sent(text: &str, author: &str) -> Option<String> {
    if author != AUTHOR {
        return Some(text.to_owned());
    }
    let sent = text.strip_prefix(AS_SENT)?;
    Some(sent.split(OURS_FOLLOW).next().unwrap_or(sent).to_owned())
}

/// Comments of the sender on the sheet of a part.
pub(super) fn read(archive: &mut Archive<'_>, part: &str) -> Result<Comments, Why> {
    let (folder, name) = part.rsplit_once('/').unwrap_or(("", part));
    let related = targets(archive, &resolve(folder, &format!("_rels/{name}.rels")))?;
    let Some((_, target)) = related.values().find(|(kind, _)| kind.ends_with("/comments")) else { return Ok(Comments::new()) };
    let (mut found, mut authors) = (Comments::new(), Vec::<String>::new());
    let (mut reader, mut at, mut author) = (TextReader::default(), None, None);
    let mut name: Option<String> = None;
    each(archive, &resolve(folder, target), |event| {
        match event {
            Event::Start(element) if element.local_name().as_ref() == "comment" => {
                at = xml::attribute(element, "ref").and_then(|reference| xml::cell(&reference));
                author = xml::number::<usize>(element, "authorId");
            }
            Event::Start(element) if element.local_name().as_ref() == "author" => name = Some(String::new()),
            Event::End(element) if element.local_name().as_ref() == "author" => authors.extend(name.take()),
            event => {
                if let Some(name) = &mut name {
                    xml::add_event(name, event);
                }
            }
        }
        if reader.take(event, "comment") {
            let text: String = std::mem::take(&mut reader.runs).into_iter().map(|run| run.text).collect();
            let by = author.and_then(|author| authors.get(author)).map_or("", |author| author.trim());
            if let (Some(at), Some(text)) = (at, sent(text.trim(), by).filter(|text| !text.is_empty() && found.len() < MOST)) {
                found.insert(at, text.chars().take(LONGEST).collect());
            }
        }
        Ok(())
    })?;
    Ok(found)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_senders_part_of_a_comment_comes_back_and_ours_does_not() {
        let both = written(Some("was 18.5 in the last issue"), "\u{25b2} warning L402");
        assert_eq!(sent(&both, AUTHOR).as_deref(), Some("was 18.5 in the last issue"));
        assert_eq!(sent(&written(Some("alone"), ""), AUTHOR).as_deref(), Some("alone"));
        assert_eq!(sent(&written(None, "ours"), AUTHOR), None);
        assert_eq!(sent("somebody's", "Somebody").as_deref(), Some("somebody's"));
    }
}
