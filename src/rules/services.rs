//! Where a rule book stops: services, systems and surroundings with rules of their own, each with the document to turn to. The
//! rows stand in a table of each book; what is done with them stands in `sizing`.

use std::sync::OnceLock;

use serde::Deserialize;

use crate::intake::mentions::{Phrases, words};

/// The subject of a row.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum About {
    /// A service of a load, by its word in `service_class`.
    Service,
    /// A supply class of a load.
    Supply,
    /// A branch that a column which is not read may put a load on.
    Branch,
    /// Earthing of a board.
    System,
    /// Explosive surroundings.
    Surroundings,
    /// A safety function of a stated level.
    Safety,
    /// A motor of a kind that the ordinary rules don't fit, by what its description mentions.
    Motor,
    /// A cable that has to keep working in a fire.
    Cable,
}

/// A matter that a book does not cover.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct NotCovered {
    /// Its subject.
    pub about: About,
    /// Its canonical word.
    pub class: String,
    /// Words of a text that suggest it, parted by `;`. One that begins with `^` stands at the beginning of the text, one that begins with
    /// `=` is a whole word. Rows about motors hold phrases of whole words, as the reading of mentions takes them.
    pub words: String,
    /// Words that plainly name it, parted by `;`; only for what is not sized.
    pub named: String,
    /// Words of what stands beside it and is an ordinary load: such a text is asked about instead. Rows about motors hold phrases that are
    /// left out before.
    pub beside: String,
    /// Phrases of whole words that suggest it too, as the reading of mentions takes them, parted by `;`.
    pub mentions: String,
    /// Words that are left out of a text before anything in it suggests this: what only gives a signal, or stops a machine in that case.
    pub left_out: String,
    /// Words of the sender's note suggest it as well as those of the description. What is not sized is suggested there by its plain name.
    pub remarks: bool,
    /// A load of this kind is not sized.
    pub refuse: bool,
    /// The fact, where it has a sentence of its own.
    pub what: String,
    /// The cure.
    pub cure: String,
    /// Clause to turn to.
    pub reference: String,
    /// Clause that is named while the load is only suspected; empty if it is the same.
    pub asked: String,
    /// Phrases of `words`, `beside` and `mentions`, read once.
    #[serde(skip)]
    phrases: OnceLock<[Phrases; 3]>,
    /// `words`, `named` and `beside`, read once.
    #[serde(skip)]
    listed: OnceLock<[Vec<Listed>; 3]>,
}

/// A word of a list, how it stands in a text, and the letters without which it stands in none.
#[derive(Clone, Debug)]
struct Listed {
    word: String,
    stands: Stands,
    letters: u64,
}

#[derive(Clone, Copy, Debug)]
enum Stands {
    First,
    Whole,
    Anywhere,
}

impl Listed {
    fn of(text: &str) -> Self {
        let (word, stands) = match (text.strip_prefix('^'), text.strip_prefix('=')) {
            (Some(first), _) => (first, Stands::First),
            (_, Some(whole)) => (whole, Stands::Whole),
            _ => (text, Stands::Anywhere),
        };
        Self { word: word.to_owned(), stands, letters: letters(word) }
    }

    fn list(words: &str) -> Vec<Self> {
        words.split(';').map(str::trim).filter(|word| !word.is_empty()).map(Self::of).collect()
    }

    fn stands_in(&self, text: &str) -> bool {
        match self.stands {
            Stands::First => text.starts_with(&self.word),
            Stands::Whole => text.split(|letter: char| !letter.is_alphanumeric()).any(|part| part == self.word),
            Stands::Anywhere => text.contains(&self.word),
        }
    }
}

/// A sign for each letter of a text; several letters may share one.
fn letters(text: &str) -> u64 {
    text.bytes().fold(0, |letters, letter| letters | 1 << (letter % 64))
}

impl NotCovered {
    /// Tells whether a text suggests this.
    #[must_use]
    pub fn suggested_by(&self, text: &str) -> bool {
        let text = plain(text);
        let suggests = |text: &str| any_of(&self.listed()[0], text) || self.has_phrase_in(text);
        // Hardly any text suggests this; only one that does is looked through again without what is left out.
        suggests(&text) && suggests(&self.without_what_is_left_out(&text))
    }

    /// Tells whether a sender's note suggests this.
    #[must_use]
    pub fn remarked_in(&self, note: &str) -> bool {
        match (self.refuse, self.remarks) {
            (true, _) => self.named_by(note) || self.has_phrase_in(&self.without_what_is_left_out(note)),
            (false, remarks) => remarks && self.suggested_by(note),
        }
    }

    /// Tells whether a text plainly names this, and not what stands beside it.
    #[must_use]
    pub fn named_by(&self, text: &str) -> bool {
        let text = plain(text);
        let [_, named, beside] = self.listed();
        any_of(named, &text) && !any_of(beside, &text)
    }

    /// Tells whether the words of a text mention this motor.
    #[must_use]
    pub(crate) fn mentioned_in(&self, words: &[String]) -> bool {
        let [suggesting, left_out, _] = self.phrases();
        suggesting.stand_in(words) && suggesting.stand_in(&left_out.taken_out_of(words))
    }

    fn listed(&self) -> &[Vec<Listed>; 3] {
        self.listed.get_or_init(|| [&self.words, &self.named, &self.beside].map(|words| Listed::list(words)))
    }

    fn phrases(&self) -> &[Phrases; 3] {
        self.phrases.get_or_init(|| [&self.words, &self.beside, &self.mentions].map(|list| Phrases::of(list.split(';'))))
    }

    fn has_phrase_in(&self, text: &str) -> bool {
        !self.mentions.is_empty() && self.phrases()[2].stand_in(&words(text))
    }

    fn without_what_is_left_out(&self, text: &str) -> String {
        let left_out = self.left_out.split(';').map(str::trim).filter(|words| !words.is_empty());
        left_out.fold(plain(text), |text, words| text.replace(words, ";"))
    }

    /// Clause that is named while the load is only suspected.
    #[must_use]
    pub fn asked(&self) -> &str {
        if self.asked.is_empty() { &self.reference } else { &self.asked }
    }
}

/// Small letters with one space between words, however they were hyphenated.
fn plain(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    for word in text.split(|letter: char| letter == '-' || letter.is_whitespace()).filter(|word| !word.is_empty()) {
        if !plain.is_empty() {
            plain.push(' ');
        }
        plain.push_str(&word.to_lowercase());
    }
    plain
}

fn any_of(list: &[Listed], text: &str) -> bool {
    let held = letters(text);
    // Most words are told by a letter that the text lacks, without being looked for.
    list.iter().any(|listed| listed.letters & !held == 0 && listed.stands_in(text))
}

/// Matters that a book does not cover, by the book's key; none of an unknown book.
#[must_use]
pub fn of(book: &str) -> &'static [NotCovered] {
    match book {
        "iec" => super::iec::services::not_covered(),
        "nec" => super::nec::services::not_covered(),
        _ => &[],
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_book_says_where_it_stops_and_where_to_turn() {
        for book in ["iec", "nec"] {
            let rows = of(book);
            for about in [About::Service, About::System, About::Surroundings, About::Safety, About::Cable, About::Branch] {
                assert!(rows.iter().any(|row| row.about == about), "{book}: {about:?}");
            }
            for row in rows {
                assert!(!row.reference.is_empty() && !row.cure.is_empty(), "{book}: {}", row.class);
                assert!(!row.cure.ends_with('.'), "{book}: {}", row.class);
                // Words are looked for in a text without capitals and hyphens.
                for words in [&row.words, &row.named, &row.beside, &row.left_out] {
                    assert!(words.split("; ").all(|word| plain(word) == word), "{book}: {words}");
                }
                assert!(
                    row.named.is_empty() != row.refuse && (row.beside.is_empty() || row.refuse || row.about == About::Motor),
                    "{book}: {}",
                    row.class
                );
                assert!(
                    matches!(row.about, About::System | About::Surroundings | About::Motor | About::Cable | About::Branch)
                        || row.what.is_empty() != row.refuse
                );
            }
            for (index, row) in rows.iter().enumerate() {
                assert!(
                    !rows[..index].iter().any(|other| other.about == row.about && other.class == row.class),
                    "{book}: {}",
                    row.class
                );
            }
            let refused: Vec<&str> = rows.iter().filter(|row| row.refuse).map(|row| row.class.as_str()).collect();
            assert_eq!(refused, ["fire-pump"], "{book}");
        }
        assert!(of("other").is_empty());
    }

    #[test]
    fn words_are_found_in_capitals_too_and_a_beginning_only_there() {
        let row = |about: About, book: &str| of(book).iter().find(|row| row.about == about).expect("a row");
        assert!(row(About::Service, "nec").suggested_by("FIRE PUMP, electric"));
        let system = of("iec").iter().find(|row| row.class == "it").expect("a row");
        assert!(system.suggested_by("IT") && system.suggested_by(" it with neutral") && !system.suggested_by("TN-S"));
        assert!(!system.suggested_by("the unit"));
    }

    proptest::proptest! {
        /// Letters that a text lacks tell nothing else than its words do.
        #[test]
        fn letters_pass_over_no_word(picked in proptest::collection::vec((0_usize..1000, 0_usize..60), 1..4), beside in "[a-zé &]{0,6}") {
            let lists: Vec<&Vec<Listed>> = of("iec").iter().chain(of("nec")).flat_map(NotCovered::listed).collect();
            let part = |(list, word): &(usize, usize)| {
                let list = lists[list % lists.len()];
                list.get(word % list.len().max(1)).map_or("", |listed| listed.word.as_str())
            };
            let text = format!("{beside}{}", picked.iter().map(part).collect::<Vec<_>>().join(" "));
            for list in &lists {
                proptest::prop_assert_eq!(any_of(list, &text), list.iter().any(|listed| listed.stands_in(&text)));
            }
        }
    }

    /// NFPA 70, 695.1(B) leaves pressure maintenance (jockey) pumps out; a fan of the pump's room is an ordinary motor.
    #[rstest::rstest]
    #[case::capitals("FIRE PUMP NO. 1", true)]
    #[case::hyphen("Main fire-pump (electric)", true)]
    #[case::inverted("Pump, fire, 75 hp", true)]
    #[case::firewater("Firewater pump A", true)]
    #[case::jockey("Jockey pump of fire pump set", false)]
    #[case::maintenance("Fire pump pressure-maintenance pump", false)]
    #[case::room("Fire pump room exhaust fan", false)]
    #[case::irrigation("Lawn sprinkler pump", false)]
    #[case::fire_alone("Fire damper supply", false)]
    fn what_plainly_is_a_fire_pump_is_told_from_what_stands_beside_it(#[case] text: &str, #[case] named: bool) {
        for book in ["iec", "nec"] {
            let row = of(book).iter().find(|row| row.class == "fire-pump").expect("a row");
            assert_eq!(row.named_by(text), named, "{book}");
        }
    }

    #[test]
    fn a_fire_pump_is_known_in_the_languages_of_schedules() {
        let row = of("nec").iter().find(|row| row.class == "fire-pump").expect("a row");
        assert!(row.named_by("Bomba contra incendios 75 hp") && row.named_by("Pompe d'incendie"));
        let row = of("iec").iter().find(|row| row.class == "fire-pump").expect("a row");
        for text in ["Feuerlöschpumpe 1", "Pompe incendie", "Bomba contra incendios", "Bomba de incêndio", "Pompa antincendio"]
        {
            assert!(row.named_by(text), "{text}");
        }
        assert!(!row.named_by("Druckhaltepumpe der Feuerlöschpumpe") && !row.named_by("Pompe jockey incendie"));
    }

    /// NFPA 70, 250.20, 250.21, 250.36: a solidly grounded wye is what the book covers; the others are told apart by their words.
    #[test]
    fn a_solidly_grounded_wye_is_covered_and_the_others_are_not() {
        let found = |text: &str| {
            let systems = of("nec").iter().filter(|row| row.about == About::System);
            systems.filter(|row| row.suggested_by(text)).map(|row| row.class.as_str()).collect::<Vec<_>>()
        };
        assert!(found("480Y/277 4W solidly grounded").is_empty());
        assert!(found("208Y/120 4W").is_empty());
        assert_eq!(found("480 delta ungrounded"), ["ungrounded"]);
        assert_eq!(found("480 delta corner-grounded"), ["corner-grounded"]);
        assert_eq!(found("480Y/277 high-resistance grounded"), ["resistance-grounded"]);
        assert_eq!(found("480Y/277 HRG"), ["resistance-grounded"]);
    }
}
