//! Where a rule book stops: services, systems and surroundings with rules of their own, each with the document to turn to. The
//! rows stand in a table of each book; what is done with them stands in `sizing`.

use serde::Deserialize;

/// What a row is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum About {
    /// A service of a load, by its word in `service_class`.
    Service,
    /// A supply class of a load.
    Supply,
    /// Earthing of a board.
    System,
    /// Explosive surroundings.
    Surroundings,
    /// A safety function of a stated level.
    Safety,
}

/// What a book does not cover.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct NotCovered {
    /// What it is about.
    pub about: About,
    /// The contract's word for it.
    pub class: String,
    /// Words of a text that suggest it, parted by `;`. One that begins with `^` stands at the beginning of the text.
    pub words: String,
    /// A load of this kind is not sized.
    pub refuse: bool,
    /// What is, where it has a sentence of its own.
    pub what: String,
    /// What to do.
    pub cure: String,
    /// Clause to turn to.
    pub reference: String,
    /// Clause that is named while the load is only suspected; empty if it is the same.
    pub asked: String,
}

impl NotCovered {
    /// Tells whether a text suggests this.
    #[must_use]
    pub fn suggested_by(&self, text: &str) -> bool {
        let text = text.trim().to_lowercase();
        self.words.split(';').map(str::trim).filter(|word| !word.is_empty()).any(|word| match word.strip_prefix('^') {
            Some(first) => text.starts_with(first),
            None => text.contains(word),
        })
    }

    /// Clause that is named while the load is only suspected.
    #[must_use]
    pub fn asked(&self) -> &str {
        if self.asked.is_empty() { &self.reference } else { &self.asked }
    }
}

/// What a book does not cover, by the book's key; none of an unknown book.
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
            for about in [About::Service, About::System, About::Surroundings, About::Safety] {
                assert!(rows.iter().any(|row| row.about == about), "{book}: {about:?}");
            }
            for row in rows {
                assert!(!row.reference.is_empty() && !row.cure.is_empty(), "{book}: {}", row.class);
                assert!(!row.cure.ends_with('.') && row.words == row.words.to_lowercase(), "{book}: {}", row.class);
                assert!(matches!(row.about, About::System | About::Surroundings) || row.what.is_empty() != row.refuse);
            }
            for (index, row) in rows.iter().enumerate() {
                assert!(
                    !rows[..index].iter().any(|own| own.about == row.about && own.class == row.class),
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
