//! Finds phrases of whole words in a text, whatever stands between and around them.
//!
//! An alternative is parts set off by `&`, all of which must stand in the text in any order; a part is words side by side; `|` parts the
//! words that may stand in one place, a word that ends with `*` may go on, and before one that begins with `*` other words may be grown on:
//! `*heizung` is in `Fußbodenheizung`. `zone 1|2 & gas group` is in `Gas group IIB, zone 1`.

use std::collections::HashMap;
use std::ops::Range;

use super::fold;

/// How a word of a text may be one of a table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Fit {
    Whole,
    Begins,
    Ends,
}

/// One place of a part: the words that may stand there, and how each may.
type Slot = Vec<(String, Fit)>;
/// Words side by side.
type Part = Vec<Slot>;

/// Marks of words. Nearly every word of a text is in no list, and hardly one of these bears a mark of the list: the rest need not be looked
/// up.
#[derive(Clone, Copy, Debug, Default)]
struct Marks([u64; 4]);

impl Marks {
    fn of(word: &str) -> (usize, u64) {
        let mark = word.bytes().take(4).fold(word.len(), |mark, letter| mark * 31 + usize::from(letter)) % 256;
        (mark / 64, 1 << (mark % 64))
    }

    fn add(&mut self, word: &str) {
        let (at, bit) = Self::of(word);
        self.0[at] |= bit;
    }

    fn may_hold(&self, word: &str) -> bool {
        let (at, bit) = Self::of(word);
        self.0[at] & bit != 0
    }
}

/// Alternatives that are looked for together.
#[derive(Clone, Debug, Default)]
pub(crate) struct Phrases {
    alternatives: Vec<Vec<Part>>,
    /// Marks of the words in `beginnings`.
    marks: Marks,
    /// Alternatives by a word that their first part begins with.
    beginnings: HashMap<String, Vec<usize>>,
    /// The same for words that may go on.
    stems: Vec<(String, usize)>,
    /// The same for ends of words.
    ends: Vec<(String, usize)>,
}

/// The words of a text in small letters without accents, figures apart from letters. Commas, semicolons, brackets and dashes between
/// blanks part phrases and are empty words.
pub(crate) fn words(text: &str) -> Vec<String> {
    let mut found: Vec<String> = Vec::new();
    let mut word = String::new();
    let mut before = ' ';
    let mut letters = text.chars().peekable();
    while let Some(letter) = letters.next() {
        let dash = letter == '-' && before == ' ' && letters.peek() == Some(&' ');
        let ends = !letter.is_alphanumeric() || letter.is_ascii_digit() != before.is_ascii_digit();
        if ends && !word.is_empty() {
            found.push(std::mem::take(&mut word));
        }
        if dash || matches!(letter, ',' | ';' | '(' | ')' | '[' | ']' | '–' | '—') {
            found.push(String::new());
        } else if letter.is_ascii_alphanumeric() {
            word.push(letter.to_ascii_lowercase());
        } else if letter.is_alphanumeric() {
            word.push_str(&fold::key(letter.encode_utf8(&mut [0; 4])));
        }
        before = letter;
    }
    if !word.is_empty() {
        found.push(word);
    }
    found
}

fn part(text: &str) -> Part {
    let slot = |word: &str| {
        let fit = |word: &str| match (word.starts_with('*'), word.ends_with('*')) {
            (true, _) => Fit::Ends,
            (_, true) => Fit::Begins,
            _ => Fit::Whole,
        };
        let one = |word: &str| (fold::key(word), fit(word));
        word.split('|').map(one).filter(|(word, _)| !word.is_empty()).collect::<Slot>()
    };
    text.split_whitespace().map(slot).filter(|slot| !slot.is_empty()).collect()
}

fn is_one_of(slot: &Slot, word: &str) -> bool {
    slot.iter().any(|(known, fit)| match fit {
        Fit::Whole => word == known,
        Fit::Begins => word.starts_with(known.as_str()),
        Fit::Ends => word.ends_with(known.as_str()),
    })
}

fn begins(part: &Part, words: &[String]) -> bool {
    words.len() >= part.len() && part.iter().zip(words).all(|(slot, word)| is_one_of(slot, word))
}

fn stands_in(part: &Part, words: &[String]) -> bool {
    (0..words.len()).any(|at| begins(part, &words[at..]))
}

impl Phrases {
    /// Reads alternatives.
    pub(crate) fn of<'t>(alternatives: impl IntoIterator<Item = &'t str>) -> Self {
        let mut phrases = Self::default();
        for text in alternatives {
            let parts: Vec<Part> = text.split('&').map(part).filter(|part| !part.is_empty()).collect();
            let Some(first) = parts.first().and_then(|part| part.first()) else { continue };
            let index = phrases.alternatives.len();
            for (word, fit) in first {
                match fit {
                    Fit::Whole => {
                        phrases.marks.add(word);
                        phrases.beginnings.entry(word.clone()).or_default().push(index);
                    }
                    Fit::Begins => phrases.stems.push((word.clone(), index)),
                    Fit::Ends => phrases.ends.push((word.clone(), index)),
                }
            }
            phrases.alternatives.push(parts);
        }
        phrases
    }

    /// Whether there are none.
    pub(crate) fn is_empty(&self) -> bool {
        self.alternatives.is_empty()
    }

    /// Alternatives whose first part may begin with a word.
    fn beginning_with(&self, word: &str) -> impl Iterator<Item = &Vec<Part>> {
        let exact = self.marks.may_hold(word).then(|| self.beginnings.get(word)).flatten().into_iter().flatten();
        let stems = self.stems.iter().filter(move |(stem, _)| word.starts_with(stem.as_str())).map(|(_, index)| index);
        let ends = self.ends.iter().filter(move |(end, _)| word.ends_with(end.as_str())).map(|(_, index)| index);
        exact.chain(stems).chain(ends).filter_map(|index| self.alternatives.get(*index))
    }

    /// Whether any alternative stands in the words of a text.
    pub(crate) fn stand_in(&self, words: &[String]) -> bool {
        let all = |at: usize, parts: &[Part]| {
            parts
                .split_first()
                .is_some_and(|(first, others)| begins(first, &words[at..]) && others.iter().all(|part| stands_in(part, words)))
        };
        (0..words.len()).any(|at| self.beginning_with(&words[at]).any(|parts| all(at, parts)))
    }

    /// Where the first parts of alternatives stand in the words of a text: from a word up to one behind them.
    pub(crate) fn places_in(&self, words: &[String]) -> Vec<Range<usize>> {
        let at_word = |at: usize| {
            let parts = self.beginning_with(&words[at]).filter_map(|parts| parts.first());
            parts.filter(move |part| begins(part, &words[at..])).map(move |part| at..at + part.len())
        };
        (0..words.len()).flat_map(at_word).collect()
    }

    /// How many words of the longest first part words begin with.
    pub(crate) fn longest_at_start(&self, words: &[String]) -> Option<usize> {
        let parts = self.beginning_with(words.first()?).filter_map(|parts| parts.first());
        parts.filter(|part| begins(part, words)).map(Vec::len).max()
    }

    /// Whether the words are one alternative and nothing else.
    pub(crate) fn are(&self, words: &[String]) -> bool {
        let whole = |parts: &Vec<Part>| matches!(parts.as_slice(), [only] if only.len() == words.len() && begins(only, words));
        words.first().is_some_and(|first| self.beginning_with(first).any(whole))
    }

    /// The words without these phrases; what stood before and behind one is no phrase together.
    pub(crate) fn taken_out_of(&self, words: &[String]) -> Vec<String> {
        let mut left = Vec::with_capacity(words.len());
        let mut at = 0;
        while let Some(word) = words.get(at) {
            let longest = self.beginning_with(word).filter_map(|parts| parts.first().filter(|part| begins(part, &words[at..])));
            match longest.map(Vec::len).max() {
                Some(length) => {
                    left.push(String::new());
                    at += length;
                }
                None => {
                    left.push(word.clone());
                    at += 1;
                }
            }
        }
        left
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[rstest::rstest]
    #[case("Class I, Div. 1 (Group D)", &["class", "i", "", "div", "1", "", "group", "d", ""])]
    #[case("C1D2 explosion-proof", &["c", "1", "d", "2", "explosion", "proof"])]
    #[case("Motor - compressor", &["motor", "", "compressor"])]
    #[case("Ex-geschützter Antrieb", &["ex", "geschutzter", "antrieb"])]
    #[case("", &[])]
    fn words_of_texts(#[case] text: &str, #[case] expected: &[&str]) {
        assert_eq!(words(text), expected);
    }

    #[test]
    fn alternatives_stand_in_texts_as_whole_words() {
        let phrases = Phrases::of(["zone 1|2 & gas group", "hermetic* compressor", "rla"]);
        let stands = |text: &str| phrases.stand_in(&words(text));
        assert!(stands("Gas group IIB, zone 2") && stands("Hermetically compressor") && stands("RLA=48 A") && stands("RLA48"));
        assert!(!stands("Zone 1") && !stands("Gas group") && !stands("zone 3, gas group") && !stands("airla"));
        assert!(!stands("hermetic, compressor"), "a comma parts a phrase");
        assert!(phrases.are(&words("RLA")) && !phrases.are(&words("RLA 48")));
        let heats = Phrases::of(["*heizung|*heater coil"]);
        assert!(heats.stand_in(&words("Fußbodenheizung coil")) && !heats.stand_in(&words("Heizungspumpe coil")));
    }

    #[test]
    fn what_is_taken_out_joins_nothing() {
        let out = Phrases::of(["non hazardous", "high torque"]);
        let area = Phrases::of(["hazardous area", "torque motor", "pump area"]);
        let left = |text: &str| area.stand_in(&out.taken_out_of(&words(text)));
        assert!(!left("Pump, non-hazardous area") && !left("Pump non-hazardous area") && !left("High-torque motor"));
        assert!(left("Pump, hazardous area") && left("Torque motor"));
    }

    proptest::proptest! {
        #[test]
        fn never_panics(text in "\\PC{0,40}", phrase in "[a-z1&|* ]{0,20}") {
            let phrases = Phrases::of([phrase.as_str()]);
            let words = words(&text);
            let _ = (phrases.stand_in(&words), phrases.are(&words), phrases.taken_out_of(&words));
        }
    }
}
