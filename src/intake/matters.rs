//! Matters that change a circuit, what texts say of them, and what columns that nobody reads may: words and matters are tables.

use std::sync::LazyLock;

use serde::Deserialize;

use super::mentions::{self, Phrases};
use super::{denials, tables};
use crate::load::{Field, Load};

const MATTERS: &str = include_str!("tables/matters.csv");
const WORDS: &str = include_str!("tables/matter-words.csv");
/// What a schedule marks equipment with that is there already.
const MARKS_OF_EXISTING: [&str; 2] = ["(E)", "(e)"];

/// A row of a table of phrases.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Said {
    /// What the phrases say.
    pub(super) says: String,
    pub(super) phrases: String,
}

impl Said {
    /// All phrases of a table that say something.
    pub(super) fn phrases(rows: &[Self], says: &str) -> Phrases {
        Phrases::of(rows.iter().filter(|row| row.says == says).map(|row| row.phrases.as_str()))
    }
}

/// Phrases by what they say.
#[derive(Debug)]
pub(super) struct Lists {
    pub(super) suggests: Phrases,
    pub(super) taken_out: Phrases,
    /// What cells of a column are about it.
    pub(super) column: Phrases,
    /// Whole cells of such a column that say so, as they do below a heading that asks for it or for something else.
    pub(super) column_cell: Phrases,
    cell_heading: Phrases,
    /// Whole cells that say so below a heading that asks for it, where not every text does.
    pub(super) below: Phrases,
    /// Whole cells, and parts of them between marks, that say so whatever their heading.
    cell: Phrases,
    pub(super) none: Phrases,
    /// Letters of tags that say so.
    tag: Phrases,
    /// What titles and names of sheets say of all rows below.
    title: Phrases,
    pub(super) heading: Phrases,
    /// Headings that ask for it where they say nothing else.
    heading_whole: Phrases,
    heading_out: Phrases,
}

impl Lists {
    /// Lists of rows of a table, each with what it says and its phrases.
    pub(super) fn of<'t>(rows: &[(&'t str, &'t str)]) -> Self {
        let of = |says: &str| Phrases::of(rows.iter().filter(|row| row.0 == says).map(|row| row.1));
        Self {
            suggests: of("suggests"),
            taken_out: of("taken-out"),
            column: of("column"),
            column_cell: of("column-cell"),
            cell_heading: of("cell-heading"),
            below: of("below"),
            cell: of("cell"),
            none: of("none"),
            tag: of("tag"),
            title: of("title"),
            heading: of("heading"),
            heading_whole: of("heading-whole"),
            heading_out: of("heading-out"),
        }
    }

    /// Whether the words of a text suggest it.
    pub(super) fn suggested_by(&self, words: &[String]) -> bool {
        if words.split(String::is_empty).any(|part| self.cell.are(part)) {
            return true;
        }
        // Nearly every text mentions none of it, so nothing is taken out of those.
        self.suggests.stand_in(words) && {
            let left = self.taken_out.taken_out_of(words);
            self.suggests.stand_in(&self.without_denied(&left))
        }
    }

    /// The words without what those behind it deny: `brake: none`, `thermistors not fitted`.
    fn without_denied(&self, words: &[String]) -> Vec<String> {
        let places = self.suggests.places_in(words);
        // `overload not required` says by its denial what it says.
        let says_more = |end: usize| places.iter().any(|place| place.start < end && place.end > end);
        let mut left = words.to_vec();
        for place in places.iter().filter(|place| !says_more(place.end) && denials::are_behind(words, place.end)) {
            left[place.clone()].iter_mut().for_each(String::clear);
        }
        left
    }

    /// Whether a cell below a heading that asks for it says that there is none. Columns that join are parted by semicolons; each of them
    /// must say so.
    pub(super) fn denied_by(&self, text: &str) -> bool {
        let mark = |letter: char| letter.is_whitespace() || matches!(letter, '-' | '–' | '—' | '.' | '/');
        text.split(';').all(|part| part.chars().all(mark) || self.none.are(&plain(part)))
    }

    /// Whether a heading may ask for it or for something else, so that its cells tell: `Zone` over 22.
    pub(super) fn may_be_asked_by(&self, heading: &str) -> bool {
        self.cell_heading.stand_in(&mentions::words(heading))
    }

    /// Whether a heading asks for it.
    pub(super) fn asked_by(&self, heading: &str) -> bool {
        let words = mentions::words(heading);
        self.heading_whole.are(&plain(heading)) || self.heading.stand_in(&self.heading_out.taken_out_of(&words))
    }
}

/// Words without the places where phrases are parted.
fn plain(text: &str) -> Vec<String> {
    mentions::words(text).into_iter().filter(|word| !word.is_empty()).collect()
}

/// Where it is told that a column is not read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(super) enum At {
    Row,
    Column,
    /// Noted at the row, and asked of its circuit.
    Circuit,
}

/// What a cell holds that states the matter.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(super) enum Holds {
    Word,
    Figure,
    /// A temperature above that of the air for which motors are made.
    Heat,
    Speed,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct MatterRow {
    matter: String,
    at: At,
    holds: Holds,
    columns: String,
    means: String,
    why: String,
    cure: String,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct WordRow {
    matter: String,
    says: String,
    phrases: String,
}

/// A column that answers a matter, or one of its values that does.
#[derive(Clone, Copy, Debug)]
struct Answer {
    field: Field,
    value: Option<&'static str>,
}

impl Answer {
    fn of(text: &'static str) -> Option<Self> {
        let (name, value) = text.split_once('=').map_or((text, None), |(name, value)| (name, Some(value)));
        Some(Self { field: Field::from_name(name)?, value })
    }

    fn stands_in(self, load: &Load) -> bool {
        load.has(self.field) && self.value.is_none_or(|value| load.text(self.field) == Some(value))
    }
}

/// A matter that a column which nobody reads may state.
#[derive(Debug)]
pub(super) struct Matter {
    pub(super) name: &'static str,
    pub(super) at: At,
    pub(super) holds: Holds,
    pub(super) means: &'static str,
    pub(super) why: &'static str,
    pub(super) cure: &'static str,
    answers: Vec<Answer>,
}

impl Matter {
    /// What texts say of it.
    pub(super) fn lists(&self) -> &'static Lists {
        lists_of(self.name)
    }

    /// Whether a column of the row answers it.
    pub(super) fn is_answered_by(&self, load: &Load) -> bool {
        self.answers.iter().any(|answer| answer.stands_in(load))
    }
}

static WORD_ROWS: LazyLock<Vec<WordRow>> = LazyLock::new(|| tables::rows(WORDS));
static MATTER_ROWS: LazyLock<Vec<MatterRow>> = LazyLock::new(|| tables::rows(MATTERS));

static ALL: LazyLock<Vec<Matter>> = LazyLock::new(|| {
    let matter = |row: &'static MatterRow| Matter {
        name: &row.matter,
        at: row.at,
        holds: row.holds,
        means: &row.means,
        why: &row.why,
        cure: &row.cure,
        answers: row.columns.split_whitespace().filter_map(Answer::of).collect(),
    };
    MATTER_ROWS.iter().map(matter).collect()
});

/// Lists of every matter by its name, in order; what denies one denies each.
static LISTS: LazyLock<Vec<(&'static str, Lists)>> = LazyLock::new(|| {
    let mut names: Vec<&str> = WORD_ROWS.iter().map(|row| row.matter.as_str()).filter(|name| !name.is_empty()).collect();
    names.sort_unstable();
    names.dedup();
    let of = |name: &&'static str| {
        let rows = WORD_ROWS.iter().filter(|row| row.matter == **name || row.matter.is_empty());
        (*name, Lists::of(&rows.map(|row| (row.says.as_str(), row.phrases.as_str())).collect::<Vec<_>>()))
    };
    names.iter().map(of).collect()
});

/// All matters that columns which nobody reads may state.
pub(super) fn all() -> &'static [Matter] {
    &ALL
}

/// The matter whose words are a table of their own.
const HAZARD: &str = "hazard";

/// Says nothing.
static NOTHING: LazyLock<Lists> = LazyLock::new(|| Lists::of(&[]));

/// The lists of a matter; a name that no table has says nothing.
fn lists_of(name: &str) -> &'static Lists {
    let of_table = || LISTS.binary_search_by_key(&name, |(known, _)| known).map_or(&*NOTHING, |at| &LISTS[at].1);
    if name == HAZARD { super::surroundings::lists() } else { of_table() }
}

/// Whether the words of a text, as [`words_of`] gives them, suggest a matter of the table by its name.
#[must_use]
pub(crate) fn suggests(name: &str, words: &[String]) -> bool {
    lists_of(name).suggested_by(words)
}

/// Whether the words of a text begin with what suggests a matter.
#[must_use]
pub(crate) fn begins_with(name: &str, words: &[String]) -> bool {
    lists_of(name).suggests.places_in(words).iter().any(|place| place.start == 0)
}

/// Whether a word alone is one of those of a matter.
#[must_use]
pub(crate) fn is_of(name: &str, word: &str) -> bool {
    lists_of(name).suggests.are(&[word.to_owned()])
}

/// Whether words are what suggests a matter and nothing else but figures and what stands beside a name.
#[must_use]
pub(crate) fn are_of(name: &str, words: &[String]) -> bool {
    let suggests = &lists_of(name).suggests;
    let is_figure = |word: &str| word.bytes().all(|byte| byte.is_ascii_digit());
    let mut left = suggests.taken_out_of(words).into_iter().filter(|word| !word.is_empty());
    suggests.stand_in(words) && left.all(|word| is_figure(&word) || is_of("beside-a-name", &word))
}

/// Whether a text is the name of a matter and nothing else but figures and the words that may stand beside it.
#[must_use]
pub(crate) fn is_name_of(name: &str, words: &[String]) -> bool {
    let lists = lists_of(name);
    let figure = |word: &String| word.bytes().all(|byte| byte.is_ascii_digit());
    let bare: Vec<String> = words.iter().filter(|word| !figure(word)).cloned().collect();
    let left: Vec<String> = lists.taken_out.taken_out_of(&bare).into_iter().filter(|word| !word.is_empty()).collect();
    lists.cell.are(&left)
}

/// Whether the words of a tag suggest a matter, unless the description says that the letters mean something else.
#[must_use]
pub(crate) fn suggests_by_tag(name: &str, tag: &[String], description: &[String]) -> bool {
    let lists = lists_of(name);
    lists.tag.stand_in(tag) && !lists.taken_out.stand_in(description)
}

/// Whether the words of a title or of a sheet's name say of all rows below what a matter is about.
#[must_use]
pub(crate) fn suggests_by_title(name: &str, title: &[String]) -> bool {
    lists_of(name).title.stand_in(title)
}

/// Words of a text, the mark of existing equipment read out.
#[must_use]
pub(crate) fn words_of(text: &str) -> Vec<String> {
    if !MARKS_OF_EXISTING.iter().any(|mark| text.contains(mark)) {
        return mentions::words(text);
    }
    mentions::words(&MARKS_OF_EXISTING.iter().fold(text.to_owned(), |text, mark| text.replace(mark, " existing ")))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_of_both_tables_is_read() {
        let lines = |table: &str| table.lines().filter(|line| !line.starts_with('#')).count() - 1;
        assert_eq!((WORD_ROWS.len(), MATTER_ROWS.len()), (lines(WORDS), lines(MATTERS)));
        let says = [
            "heading",
            "heading-whole",
            "heading-out",
            "cell-heading",
            "column-cell",
            "suggests",
            "taken-out",
            "below",
            "cell",
            "none",
            "tag",
            "title",
        ];
        for row in WORD_ROWS.iter() {
            assert!(says.contains(&row.says.as_str()), "{row:?}");
            // Of what is left out, only one part of words side by side is looked at.
            assert!(!row.phrases.contains('&') || !["taken-out", "heading-out"].contains(&row.says.as_str()), "{row:?}");
            for word in row.phrases.split([' ', '|', '&']).map(|word| word.trim_end_matches('*')) {
                let digits = word.bytes().filter(u8::is_ascii_digit).count();
                assert!(digits == 0 || digits == word.len(), "{row:?}");
                assert!(word.bytes().all(|byte| byte.is_ascii_lowercase() || byte.is_ascii_digit()), "{row:?}");
            }
        }
        for (matter, row) in all().iter().zip(MATTER_ROWS.iter()) {
            assert_eq!(matter.answers.len(), row.columns.split_whitespace().count(), "{row:?}");
            let has_heading = WORD_ROWS.iter().any(|words| words.matter == row.matter && words.says == "heading");
            assert!(has_heading || row.matter == "hazard", "{row:?}");
        }
    }

    fn asking(heading: &str) -> Vec<&'static str> {
        all().iter().filter(|matter| matter.lists().asked_by(heading)).map(|matter| matter.name).collect()
    }

    #[rstest::rstest]
    #[case("PL", "safety-level")]
    #[case("Performance Level (PLr)", "safety-level")]
    #[case("Sicherheitskategorie", "safety-level")]
    #[case("E-Stop", "emergency-stop")]
    #[case("NOT-HALT", "emergency-stop")]
    #[case("Arrêt d'urgence", "emergency-stop")]
    #[case("Kaltleiter", "thermistor")]
    #[case("Sonde CTP", "thermistor")]
    #[case("Bremse", "brake")]
    #[case("Stillstandsheizung", "space-heater")]
    #[case("SPACE HTR (W)", "space-heater")]
    #[case("Schaltspiele", "starts")]
    #[case("Smoke duty", "smoke")]
    #[case("Désenfumage", "smoke")]
    #[case("Existing/Bestand", "existing")]
    #[case("Häufung", "grouping")]
    #[case("Circuits jointifs", "grouping")]
    #[case("Sezionatore locale richiesto (sì/no)", "isolator")]
    #[case("Max. Vorsicherung laut Hersteller", "marked-protection")]
    #[case("Tenue au feu", "fire-integrity")]
    #[case("EMERG PWR", "emergency-branch")]
    #[case("SCCR (kA)", "short-circuit-rating")]
    #[case("NAMEPLATE FLA", "current")]
    #[case("N.P. FLA", "current")]
    #[case("LRA", "locked-rotor")]
    #[case("MOTOR RPM", "speed")]
    #[case("kVAR", "reactive")]
    #[case("Nameplate V", "voltage")]
    #[case("FLC low speed (A)", "low-speed")]
    #[case("Panel", "board")]
    fn headings_ask_for_matters(#[case] heading: &str, #[case] matter: &str) {
        assert_eq!(asking(heading), [matter]);
    }

    #[rstest::rstest]
    #[case("Remarks")]
    #[case("Rem.")]
    #[case("Control voltage")]
    #[case("Voltage drop (%)")]
    #[case("Brake HP")]
    #[case("Smoke detector")]
    #[case("Emergency lighting")]
    #[case("Fault current (kA)")]
    #[case("Breaker (A)")]
    #[case("Breaker amps")]
    #[case("Existing panel")]
    #[case("Panel size")]
    #[case("Main isolator")]
    #[case("Fire alarm")]
    #[case("Protection class")]
    #[case("Max. pressure")]
    #[case("Fan RPM")]
    #[case("P&ID")]
    #[case("Location")]
    #[case("Grundlast")]
    fn other_headings_ask_for_none(#[case] heading: &str) {
        assert_eq!(asking(heading), Vec::<&str>::new());
    }

    #[rstest::rstest]
    #[case("existing", "existing - not in this scope", true)]
    #[case("existing", "Pumpe (Bestand)", true)]
    #[case("existing", "Pompe existante", true)]
    #[case("existing", "(E) PUMP", true)]
    #[case("existing", "Bomba existente", true)]
    #[case("existing", "pompa esistente", true)]
    #[case("existing", "reuse existing starter", true)]
    #[case("existing", "replaces existing pump", false)]
    #[case("existing", "fed from existing panel", false)]
    #[case("existing", "route in existing conduit", false)]
    #[case("existing", "Anbau im Bestand", false)]
    #[case("existing", "nicht vorhanden", false)]
    #[case("existing", "design letter E", false)]
    #[case("shared-drive", "6 motors on one VFD w/ individual overloads", true)]
    #[case("shared-drive", "4 x 10 HP, single VFD", true)]
    #[case("shared-drive", "3 Lüfter an einem FU", true)]
    #[case("shared-drive", "deux moteurs sur un variateur", true)]
    #[case("shared-drive", "2 motores con un variador", true)]
    #[case("shared-drive", "due motori su un inverter", true)]
    #[case("shared-drive", "zwei Motoren parallel", true)]
    #[case("shared-drive", "deux moteurs en parallèle", true)]
    #[case("shared-drive", "2 pumps in parallel operation", false)]
    #[case("shared-drive", "VFD", false)]
    #[case("shared-drive", "2 pumps, each with own VFD", false)]
    #[case("shared-drive", "10 HP with VFD", false)]
    #[case("shared-drive", "single speed fan, VFD", false)]
    #[case("inching", "plugging stop", true)]
    #[case("inching", "jogging 20 per minute", true)]
    #[case("inching", "inching 20 %, 300 starts/h", true)]
    #[case("inching", "Tippbetrieb 20%", true)]
    #[case("inching", "marche par à-coups", true)]
    #[case("inching", "marcha a impulsos", true)]
    #[case("inching", "marcia a impulsi", true)]
    #[case("inching", "3 inch pipe", false)]
    #[case("inching", "plug valve, NPT plug", false)]
    #[case("inching", "no jogging", false)]
    #[case("brake-itself", "Conveyor with brake", true)]
    #[case("brake-itself", "Hoist, brake, cooling fan", true)]
    #[case("brake-itself", "Brake oil pump", false)]
    #[case("brake-itself", "Rotor brake hydraulic pump", false)]
    #[case("brake-itself", "Brake cooling fan", false)]
    #[case("brake-itself", "Air brake compressor", false)]
    #[case("brake-itself", "Dynamometer brake cooling pump", false)]
    #[case("brake-itself", "Bremsenprüfstand", false)]
    #[case("brake-itself", "Pompe de frein", false)]
    #[case("thermistor", "Fan with PTC", true)]
    #[case("thermistor", "PTC heater fan", false)]
    #[case("thermistor", "Thermistor test bench", false)]
    #[case("emergency-stop", "Conveyor with emergency stop", true)]
    #[case("emergency-stop", "Emergency stop valve pump", false)]
    #[case("moisture", "Pump, seal leak probe", true)]
    #[case("moisture", "Seal leak-off pump", false)]
    #[case("moisture", "Leak detection pump", false)]
    #[case("wet", "wet, underground conduit", true)]
    #[case("wet", "wet location", true)]
    #[case("wet", "washdown area", true)]
    #[case("wet", "Wet well pump", false)]
    #[case("wet", "Underground parking exhaust fan", false)]
    #[case("outdoor", "outdoor on roof", true)]
    #[case("outdoor", "Outdoor air fan", false)]
    #[case("roof", "Condenser fan on roof", true)]
    #[case("roof", "Roof drain pump", false)]
    fn texts_suggest_matters(#[case] matter: &str, #[case] text: &str, #[case] expected: bool) {
        assert_eq!(suggests(matter, &words_of(text)), expected);
    }
}
