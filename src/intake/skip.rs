//! Rows of a table that are no loads: sections, sums, page marks, footnotes, deleted rows, empty ways.

use std::collections::HashMap;
use std::sync::LazyLock;

use super::machines::turns;
use super::tables::WordLists;
use super::{Row, Struck, fold, text};

/// Why a row was not read as a load.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum SkipReason {
    /// Above the table.
    Title,
    /// Headings.
    Header,
    /// Units below the headings.
    Units,
    /// Names of columns.
    ColumnLetters,
    /// A subtitle between loads.
    Section,
    /// A sum.
    Subtotal,
    /// A note below the table.
    Footnote,
    /// Headings of a further page.
    RepeatedHeader,
    /// A page number or title of a further page.
    PageMark,
    /// Struck out, or marked as deleted.
    Deleted,
    /// A way without equipment.
    Vacant,
}

impl SkipReason {
    /// The word for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Title => "title",
            Self::Header => "header",
            Self::Units => "units",
            Self::ColumnLetters => "column-letters",
            Self::Section => "section",
            Self::Subtotal => "subtotal",
            Self::Footnote => "footnote",
            Self::RepeatedHeader => "repeated-header",
            Self::PageMark => "page-mark",
            Self::Deleted => "deleted",
            Self::Vacant => "vacant",
        }
    }
}

/// A row that was not read as a load.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Skipped {
    /// Sheet of a workbook.
    pub sheet: Option<String>,
    /// Row from 1.
    pub row: u32,
    /// Why.
    pub reason: SkipReason,
}

/// Texts of the filled cells of a row, with their columns.
pub(super) fn filled(row: Row<'_>) -> Vec<(usize, String)> {
    (0..row.len())
        .filter(|column| !row.is_blank(*column))
        .map(|column| (column, fold::tidy(&row.seen(column)).into_owned()))
        .collect()
}

/// Whether a tag begins like one, with a figure in its first word: `SUM-01` is a sump pump, `Total MCC-1` is none.
pub(super) fn begins_like_a_tag(tag: &str) -> bool {
    tag.split_whitespace().next().is_some_and(|first| first.bytes().any(|byte| byte.is_ascii_digit()))
}

/// A tag with a word of deletion behind it, as in `P-5 (DELETED)`. Whether it is such a word itself is not asked.
pub(super) fn ends_deleted(tag: &str) -> bool {
    let last = tag.trim_end_matches([')', ']', '*', '.']).rsplit([' ', '(', '[']).next().unwrap_or_default();
    last.len() < tag.len() && Opening::of(last).deleted
}

/// A word of deletion that is set off from what follows, as in `DELETED - pump`; in `Void filling pump` it is part of a name.
pub(super) fn is_set_off_as_deleted(text: &str) -> bool {
    let bare = text.trim_start_matches(['(', '[', '*', ' ']);
    let behind = bare.trim_start_matches(char::is_alphabetic).trim_start();
    Opening::of(text).deleted && !behind.starts_with(char::is_alphanumeric)
}

/// The cells of a row as one key, for telling repeated rows.
pub(super) fn signature(row: Row<'_>) -> String {
    filled(row).iter().map(|(column, text)| format!("{column}:{}|", fold::key(text))).collect()
}

/// Whether all that a row holds is struck through.
pub(super) fn is_struck(row: Row<'_>) -> bool {
    let mut filled = row.cells().iter().filter(|cell| !text::is_blank(&cell.content)).peekable();
    filled.peek().is_some() && filled.all(|cell| cell.struck == Struck::Whole)
}

const TABLE: &str = include_str!("tables/row-words.csv");

/// Words by which such rows are known.
struct Words {
    /// Words of sums behind which the name of a load may go on.
    begins_a_name: Vec<&'static str>,
    ends_total: Vec<&'static str>,
    largest: Vec<&'static str>,
    share: Vec<&'static str>,
    page: Vec<&'static str>,
    of: Vec<&'static str>,
    sign_off: Vec<&'static str>,
}

static WORDS: LazyLock<Words> = LazyLock::new(|| {
    let lists = WordLists::of(TABLE);
    Words {
        begins_a_name: lists.that_say("begins-a-name"),
        ends_total: lists.that_say("ends-total"),
        largest: lists.that_say("largest"),
        share: lists.that_say("share"),
        page: lists.that_say("page"),
        of: lists.that_say("of"),
        sign_off: lists.that_say("sign-off"),
    }
});

/// The meaning of the first words of a text.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Opening {
    /// The row was deleted.
    pub(super) deleted: bool,
    /// A sum.
    pub(super) total: bool,
    footnotes: bool,
    spare: bool,
    /// A way without equipment.
    pub(super) vacant: bool,
}

/// A phrase that says something, by its words.
struct Phrase {
    words: Vec<&'static str>,
    says: Opening,
    /// It counts only where nothing follows.
    alone: bool,
}

/// All phrases.
struct Phrases {
    by_first_word: HashMap<&'static str, Vec<Phrase>>,
    /// Lengths of the first words by their first two letters, a bit for each.
    lengths: [u32; 26 * 32],
}

static PHRASES: LazyLock<Phrases> = LazyLock::new(|| {
    let nothing = Opening::default();
    let table = WordLists::of(TABLE);
    let alone = table.that_say("alone");
    let lists = [
        ("deleted", Opening { deleted: true, ..nothing }),
        ("total", Opening { total: true, ..nothing }),
        ("footnotes", Opening { footnotes: true, ..nothing }),
        ("spare", Opening { spare: true, ..nothing }),
        ("vacant", Opening { vacant: true, ..nothing }),
    ];
    let mut phrases = Phrases { by_first_word: HashMap::new(), lengths: [0; 26 * 32] };
    for (list, says) in lists {
        for phrase in table.that_say(list) {
            let words: Vec<&str> = phrase.split(' ').collect();
            let mut letters = words[0].bytes();
            if let Some(lengths) = letters.next().and_then(|first| phrases.lengths.get_mut(slot(first, letters.next()))) {
                *lengths |= 1 << (words[0].len() % 32);
            }
            phrases.by_first_word.entry(words[0]).or_default().push(Phrase { alone: alone.contains(&words[0]), words, says });
        }
    }
    phrases
});

/// Where words with these first letters stand; beyond the end for a digit.
fn slot(first: u8, second: Option<u8>) -> usize {
    usize::from(first.to_ascii_lowercase().wrapping_sub(b'a')) * 32 + usize::from(second.unwrap_or_default() % 32)
}

/// Whether a phrase may begin with the first word of a text, told without making a text of it. Most texts part from every
/// phrase here, and every row of a schedule is asked.
fn may_say_something(text: &str) -> bool {
    let mut bytes = text.bytes().skip_while(|byte| byte.is_ascii() && !byte.is_ascii_alphanumeric());
    let Some(first) = bytes.next() else { return false };
    let (mut second, mut length) = (None, 1);
    for byte in bytes {
        match byte {
            b'.' | b'\'' => {}
            _ if byte.is_ascii_alphanumeric() => {
                second = second.or(Some(byte));
                length += 1;
            }
            _ if byte.is_ascii() => break,
            _ => return true,
        }
    }
    let lengths = || PHRASES.lengths.get(slot(first, second)).copied().unwrap_or_default();
    !first.is_ascii() || (length < 32 && lengths() >> length & 1 == 1)
}

impl Opening {
    /// Reads the beginning of a text.
    pub(super) fn of(text: &str) -> Self {
        let said = if may_say_something(text) { Self::of_words(&fold::words(text)) } else { Self::default() };
        // A sum that is carried forward in French; elsewhere the word begins names.
        Self { total: said.total || fold::key_is(text, "report"), ..said }
    }

    fn of_words(words: &[String]) -> Self {
        let phrases =
            words.first().and_then(|first| PHRASES.by_first_word.get(first.as_str())).map(Vec::as_slice).unwrap_or_default();
        let begins = |phrase: &&Phrase| {
            (!phrase.alone || words.len() == 1)
                && phrase.words.len() <= words.len()
                && phrase.words.iter().zip(words).all(|(expected, word)| *expected == word.as_str())
        };
        phrases.iter().filter(begins).fold(Self::default(), |all, phrase| all.or(phrase.says))
    }

    fn or(self, other: Self) -> Self {
        Self {
            deleted: self.deleted || other.deleted,
            total: self.total || other.total,
            footnotes: self.footnotes || other.footnotes,
            spare: self.spare || other.spare,
            vacant: self.vacant || other.vacant,
        }
    }

    /// An equipped way without a load.
    pub(super) fn spare(self) -> bool {
        self.spare && !self.vacant
    }
}

/// A word of sums, at the beginning or at the end: `Total MCC-1`, `MCC-1 TOTAL`, `Σ`.
pub(super) fn says_total(text: &str) -> bool {
    Opening::of(text).total || ends_with_total(text) || is_share_of(text) || text.trim().starts_with(['Σ', '∑'])
}

/// A text that begins with a word of sums and is the name of a load all the same: `Total organic carbon pump`, `Transporte de lodos`.
pub(super) fn names_a_load(text: &str) -> bool {
    let words = fold::words(text);
    let begins = words.first().is_some_and(|first| WORDS.begins_a_name.contains(&first.as_str()));
    words.len() > 1 && (begins || words.last().is_some_and(|last| turns(last)))
}

/// `Largest motor`, `25% of largest`: said of a load that has a row of its own.
pub(super) fn names_largest(text: &str) -> bool {
    let words = fold::words(text);
    let is = |pair: &[String]| WORDS.largest.iter().any(|phrase| phrase.split(' ').eq(pair.iter().map(String::as_str)));
    words.len() <= 6 && words.windows(2).any(is)
}

/// `MCC-1 TOTAL`, `Area 100 sub-total`.
pub(super) fn ends_with_total(text: &str) -> bool {
    let words = fold::words(text);
    let last = words.last().map(String::as_str).unwrap_or_default();
    words.len() > 1 && WORDS.ends_total.contains(&last)
}

/// `25% of largest`, `Reserve 20 %`: a share of other loads.
pub(super) fn is_share_of(text: &str) -> bool {
    // Nearly every text parts here.
    if !text.contains('%') {
        return false;
    }
    fold::words(text).iter().any(|word| WORDS.share.contains(&word.as_str()))
}

/// `Page 2 of 3`, `Seite 2`, ...
pub(super) fn is_page_mark(text: &str) -> bool {
    let words = fold::words(text);
    let page = &WORDS.page;
    let number = |word: &String| word.bytes().all(|byte| byte.is_ascii_digit());
    match words.as_slice() {
        [first, second] => page.contains(&first.as_str()) && number(second),
        [first, second, of, last] => {
            page.contains(&first.as_str()) && number(second) && WORDS.of.contains(&of.as_str()) && number(last)
        }
        [first, second, last] => page.contains(&first.as_str()) && number(second) && number(last),
        _ => false,
    }
}

/// `NOTES`, `* see ...`, `1. ...`.
pub(super) fn begins_footnotes(text: &str) -> bool {
    Opening::of(text).footnotes || text.starts_with(['*', '†', '‡'])
}

/// Whether a text says who made, tried and released a sheet, and when, and nothing else.
pub(super) fn is_sign_off(text: &str) -> bool {
    // None is longer, as few tags are.
    text.len() <= 20
        && text.bytes().all(|byte| !byte.is_ascii_digit())
        && WORDS.sign_off.contains(&fold::words(text).join(" ").as_str())
}

/// A row of dashes between the headings and the loads of a table in plain text.
pub(super) fn is_rule(row: Row<'_>) -> bool {
    let line = |text: &str| text.len() >= 3 && text.bytes().all(|byte| matches!(byte, b'-' | b':' | b'=' | b' '));
    (0..row.len()).filter(|column| !row.is_blank(*column)).all(|column| line(row.seen(column).trim()))
}

/// `1. ...` or `(1) ...`.
pub(super) fn is_numbered(text: &str) -> bool {
    let text = text.trim_start_matches('(');
    let digits = text.bytes().take_while(u8::is_ascii_digit).count();
    (1..=2).contains(&digits)
        && text[digits..].starts_with(['.', ')'])
        && !text[digits + 1..].starts_with(|c: char| c.is_ascii_digit())
}

/// `SPARE`, `RESERVE`.
pub(super) fn says_spare(text: &str) -> bool {
    Opening::of(text).spare()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[rstest::rstest]
    #[case("Total connected MCC-1", true)]
    #[case("Sub-total Area 100", true)]
    #[case("Zwischensumme", true)]
    #[case("Totaliser pump", false)]
    #[case("MCC-1 TOTAL", true)]
    #[case("Area 100 sub-total", true)]
    #[case("Maximum demand", true)]
    #[case("Σ", true)]
    #[case("C/F", true)]
    #[case("Puissance foisonnée", true)]
    #[case("25% of largest", true)]
    #[case("Reserve 20 %", true)]
    #[case("Reserve pump", false)]
    #[case("Demand water pump", false)]
    fn sums_are_told_from_machines_whose_names_begin_alike(#[case] text: &str, #[case] expected: bool) {
        assert_eq!(says_total(text), expected);
    }

    #[test]
    fn lines_below_the_loads_are_told_from_tags() {
        assert!(is_sign_off("Prepared by") && is_sign_off("Geprüft") && !is_sign_off("Date palm pump") && !is_sign_off("P-1"));
    }

    #[test]
    fn pages_notes_deletions_and_spares_are_told_from_loads() {
        assert!(is_page_mark("Page 2 of 2") && is_page_mark("Seite 3/4") && !is_page_mark("Page turner 2"));
        let deleted = |text: &str| Opening::of(text).deleted;
        assert!(deleted("DELETED - pump") && deleted("entfällt") && !deleted("Undeleted"));
        assert!(is_numbered("1. Lengths") && is_numbered("(2) x") && !is_numbered("1.1 Pumps") && !is_numbered("P-1"));
        assert!(says_spare("SPARE (equipped)") && !says_spare("Pump (spare)") && Opening::of("SPACE").vacant);
    }

    /// All phrases with which a text may begin.
    fn phrases() -> Vec<&'static str> {
        let lists = WordLists::of(TABLE);
        ["deleted", "total", "footnotes", "spare", "vacant"].iter().flat_map(|says| lists.that_say(says)).collect()
    }

    #[test]
    fn every_row_of_the_table_is_read() {
        let known = [
            "deleted",
            "total",
            "footnotes",
            "spare",
            "vacant",
            "alone",
            "begins-a-name",
            "ends-total",
            "largest",
            "share",
            "page",
            "of",
            "sign-off",
        ];
        assert_eq!(WordLists::of(TABLE).said(), known);
    }

    #[test]
    fn phrases_are_folded_and_short_enough_to_be_told_by_their_length() {
        for phrase in phrases() {
            assert_eq!(fold::words(phrase).join(" "), phrase);
            assert!(phrase.starts_with(|first: char| first.is_ascii_lowercase()) && phrase.len() < 32, "{phrase}");
        }
    }

    /// Reads a text, with no cheap test before it.
    fn whole(text: &str) -> Opening {
        let said = Opening::of_words(&fold::words(text));
        Opening { total: said.total || fold::key(text) == "report", ..said }
    }

    proptest::proptest! {
        #[test]
        fn the_cheap_test_passes_over_no_phrase(
            front in "[ .'(*‘–-]{0,2}",
            word in proptest::sample::select(phrases()),
            mark in "[ .',:/’ünN-]{0,2}",
            back in "[a-zA-ZüÜ0-9 .°]{0,6}",
            large in proptest::bool::ANY,
        ) {
            let text = format!("{front}{word}{mark}{back}");
            let text = if large { text.to_uppercase() } else { text };
            proptest::prop_assert_eq!(Opening::of(&text), whole(&text), "{}", text);
        }

        #[test]
        fn the_cheap_test_passes_over_no_text(text in "\\PC{0,12}") {
            proptest::prop_assert_eq!(Opening::of(&text), whole(&text), "{}", text);
        }
    }
}
