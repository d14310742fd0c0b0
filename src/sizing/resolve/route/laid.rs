//! How conductors are laid: a route in names of the book, or in words of schedules, part by part.
//!
//! A name that stands in a part goes before its words. Words of several ways count with all of them, of which the book takes the
//! tightest; a way that may be several and has no tightest is asked.

use crate::finding::{Finding, codes};
use crate::intake::matters::{suggests, words_of};
use crate::load::{Field, Load};
use crate::record::Record;
use crate::rules::RuleBook;
use crate::rules::ways::WayInWords;

/// A part of a route with what it was taken for.
pub(super) struct Part {
    /// Names of the book; the text itself where it is not known.
    methods: Vec<String>,
    /// Ways by whose words that is so.
    by_words: Vec<&'static WayInWords>,
}

/// The parts of a route.
pub(super) fn ways(text: &str, book: &dyn RuleBook) -> Vec<Part> {
    written(text).iter().map(|part| part.read(book)).collect()
}

/// The names of all parts.
pub(super) fn methods(parts: &[Part]) -> Vec<String> {
    parts.iter().flat_map(|part| part.methods.iter().cloned()).collect()
}

/// A cell, or the basis for it, that names no way of laying conductors which the book has.
pub(super) fn say_unknown(load: &Load, text: &str, parts: &[Part], book: &dyn RuleBook, record: &mut Record) {
    let unknown = |method: &String| book.unknown_installation(method);
    let Some(known) = parts.iter().flat_map(|part| &part.methods).find_map(unknown) else { return };
    let stated = if load.has(Field::InstallationMethod) { "installation_method" } else { "installation_method of the basis" };
    let what = format!("{stated} reads `{text}`, which is not one of its values");
    record.find(
        Finding::new(&codes::L361_INSTALLATION_UNKNOWN, what)
            .at(load.place_of(Field::InstallationMethod))
            .why("no conductor can be sized for a way of laying that is not known")
            .cure(format!("enter one of: {known}; several parts of a route with + between them")),
    );
}

/// Says for which methods the words of a way of laying were taken.
pub(super) fn say_taken(load: &Load, text: &str, parts: &[Part], record: &mut Record) {
    for part in parts.iter().filter(|part| !part.by_words.is_empty()) {
        let methods = part.methods.join(" and ");
        let means: Vec<&str> = part.by_words.iter().map(|way| way.means.as_str()).collect();
        let tightest = if part.methods.len() > 1 { "; the tightest counts" } else { "" };
        let several = if part.methods.len() > 1 { "s" } else { "" };
        let what = format!("`{text}` was taken for reference method{several} {methods}: {}{tightest}", means.join("; "));
        let items: Vec<&str> = part.by_words.iter().map(|way| way.item.as_str()).collect();
        record.find(
            Finding::new(&codes::L364_LAID_IN_WORDS, what)
                .at(load.place_of(Field::InstallationMethod))
                .cure("write the reference method if it is another: A1, A2, B1, B2, C, D1, D2, E, F or G")
                .reference(format!("IEC 60364-5-52, Table A.52.3 (items {} from memory), Table B.52.1", items.join(" "))),
        );
    }
}

/// A part of a route as it is written.
#[derive(Default)]
struct Written {
    /// Without what stands in brackets.
    text: String,
    /// What stands in brackets, each.
    inside: Vec<String>,
}

/// Parts of a route as they are written: `B2 (conduit) + tray`. What stands in brackets is not parted.
fn written(text: &str) -> Vec<Written> {
    let mut parts = vec![Written::default()];
    let mut depth = 0_usize;
    for letter in text.to_uppercase().chars() {
        let last = parts.len() - 1;
        let part = &mut parts[last];
        match letter {
            '(' => {
                depth += 1;
                part.inside.push(String::new());
            }
            ')' => depth = depth.saturating_sub(1),
            _ if depth > 0 => part.inside.iter_mut().last().into_iter().for_each(|inside| inside.push(letter)),
            '+' | '/' | ',' => parts.push(Written::default()),
            _ => part.text.push(letter),
        }
    }
    parts.retain(|part| !part.text.trim().is_empty());
    parts
}

impl Written {
    fn read(&self, book: &dyn RuleBook) -> Part {
        let text = self.text.trim();
        let is_known = |name: &str| book.unknown_installation(name).is_none();
        let of = |methods: Vec<String>| Part { methods, by_words: Vec::new() };
        if let Some(name) = [bare(text), text].into_iter().find(|name| is_known(name)) {
            return of(vec![name.to_owned()]);
        }
        if book.ways_in_words().is_empty() {
            return of(vec![text.to_owned()]);
        }
        let Named { sure, mut perhaps } = self.named(is_known);
        if !sure.is_empty() {
            return of(sure);
        }
        let by_words = self.in_words(book);
        if by_words.is_empty() || by_words.iter().any(|way| way.methods.is_empty()) {
            return of(vec![text.to_owned()]);
        }
        let mut methods: Vec<String> =
            by_words.iter().flat_map(|way| way.methods.split_whitespace()).map(str::to_owned).collect();
        methods.append(&mut perhaps);
        methods.sort_unstable();
        methods.dedup();
        Part { methods, by_words }
    }

    /// Names of the book among the words of the part.
    fn named(&self, is_known: impl Fn(&str) -> bool) -> Named {
        let words: Vec<&str> =
            self.text.split(|letter: char| !letter.is_alphanumeric()).filter(|word| !word.is_empty()).collect();
        let mut named = Named::default();
        for (index, word) in words.iter().enumerate().filter(|(_, word)| is_known(word)) {
            let is = |matter: &str, beside: Option<usize>| {
                beside.and_then(|at| words.get(at)).is_some_and(|word| suggests(matter, &words_of(word)))
            };
            let is_method = is("a-method", index.checked_sub(1)) || index == 0 && is("method-on", Some(1));
            if word.len() > 1 || is_method {
                named.sure.push((*word).to_owned());
            } else if index == 0 || index + 1 == words.len() {
                named.perhaps.push((*word).to_owned());
            }
        }
        let inside = self.inside.iter().map(|inside| bare(inside.trim())).filter(|inside| is_known(inside));
        named.sure.extend(inside.map(str::to_owned));
        named
    }

    /// Ways that its words name, without those whose words are part of another's.
    fn in_words(&self, book: &dyn RuleBook) -> Vec<&'static WayInWords> {
        let words = words_of(&format!("{} {}", self.text, self.inside.join(" ")));
        let named = || book.ways_in_words().iter().filter(|way| suggests(&way.way, &words));
        let replaced: Vec<&str> = named().flat_map(|way| way.instead_of.split_whitespace()).collect();
        named().filter(|way| !replaced.contains(&way.way.as_str())).collect()
    }
}

/// Names of the book that stand among other words.
#[derive(Default)]
struct Named {
    /// Certainly a name: `method C`, `B2 in conduit`, `tray (E)`.
    sure: Vec<String>,
    /// A letter at an end, which may be the name of a tray or of a room: it counts beside the words.
    perhaps: Vec<String>,
}

/// A text without the words that often stand beside a name: `method E`, `E - tray`, `EMT conduit`.
fn bare(text: &str) -> &str {
    let bare = text.split(" - ").next().unwrap_or_default().trim();
    let bare = bare.strip_prefix("METHOD ").unwrap_or(bare);
    bare.strip_suffix(" CONDUIT").unwrap_or(bare).trim()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules;

    /// IEC 60364-5-52, Table A.52.3 (from memory): item 31 E, 30 and 20 C, 5 and 7 B2, 70 D1, 72 and 73 D2, 2 and 3 A. A stated method goes
    /// before words; of two ways both count; a way that may be several is asked.
    #[rstest::rstest]
    #[case("E", "E")]
    #[case("method C on tray", "C")]
    #[case("Method C, perforated tray", "C E")]
    #[case("C on perforated tray", "C")]
    #[case("perforated tray (method C)", "C")]
    #[case("tray (E)", "E")]
    #[case("B2 (conduit)", "B2")]
    #[case("B1 in conduit", "B1")]
    #[case("D2 buried", "D2")]
    #[case("perforated tray C", "C E")]
    #[case("E tray", "C E")]
    #[case("E-Raum Rohr", "B2 E")]
    #[case("tray", "C")]
    #[case("perforated cable tray", "E")]
    #[case("cable tray perforated", "E")]
    #[case("ladder tray", "E")]
    #[case("conduit on tray", "B2 C")]
    #[case("ladder in conduit", "B2 E")]
    #[case("buried", "D1 D2")]
    #[case("underground", "D1 D2")]
    #[case("direct in ground", "D2")]
    #[case("directly buried", "D2")]
    #[case("buried conduit", "D1")]
    #[case("Leerrohr im Erdreich", "D1")]
    #[case("conduit (buried)", "D1")]
    #[case("conduit in insulated wall", "A2")]
    #[case("insulated wall", "A2")]
    #[case("tray + buried", "C D1 D2")]
    fn words_of_a_route(#[case] text: &str, #[case] expected: &str) {
        let book = rules::book("iec", None).expect("the book");
        let parts = ways(text, book);
        assert_eq!(methods(&parts).join(" "), expected, "{text}");
    }

    /// What the book has not, and ways that may be several methods: the text stays, and is told as none that is known.
    #[rstest::rstest]
    #[case("under floor")]
    #[case("tray under raised floor")]
    #[case("conduit in floor void")]
    #[case("submerged")]
    #[case("tray in trench")]
    #[case("overhead")]
    #[case("Z")]
    fn ways_that_are_asked(#[case] text: &str) {
        let book = rules::book("iec", None).expect("the book");
        let parts = ways(text, book);
        assert!(methods(&parts).iter().any(|method| book.unknown_installation(method).is_some()), "{text}");
    }

    /// Names of raceways stay as they were: the words are not those of that book.
    #[rstest::rstest]
    #[case("EMT conduit", "EMT", true)]
    #[case("under floor", "UNDER FLOOR", false)]
    fn raceways(#[case] text: &str, #[case] expected: &str, #[case] known: bool) {
        let book = rules::book("nec", None).expect("the book");
        let names = methods(&ways(text, book));
        assert_eq!(names, [expected]);
        assert_eq!(book.unknown_installation(&names[0]).is_none(), known);
    }
}
