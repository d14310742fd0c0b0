//! Facts of the trade about the small parts of a starter: contacts, suppressors, timers, and the words of schedules for stations
//! and indicators.

use serde::Deserialize;

/// Named figure with its unit.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PracticeRow {
    /// Its name.
    pub name: String,
    /// The figure.
    pub value: f64,
    /// Its unit, or empty.
    pub unit: String,
    /// Range and origin.
    pub remark: String,
}

/// The effect of a kind of suppressor on the drop-out.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SuppressorRow {
    /// Kind, as in the catalogue.
    pub variant: String,
    /// Suits coils for alternating current.
    pub ac: bool,
    /// Suits coils for direct current.
    pub dc: bool,
    /// Time added at the most, ms.
    pub add_ms: f64,
    /// Drop-out time over that without a suppressor, at the most.
    pub times: f64,
    /// The effect in words.
    pub words: String,
}

impl SuppressorRow {
    /// Longest drop-out of a contactor with this suppressor, ms.
    #[must_use]
    pub fn drop_out_ms(&self, bare_ms: f64) -> f64 {
        bare_ms * self.times + self.add_ms
    }

    /// It prolongs the drop-out several times, so it has no place where a contactor must drop out before another closes, or where a
    /// machine must stop.
    #[must_use]
    pub fn delays_much(&self) -> bool {
        self.times > 1.0
    }
}

/// The subject of a word of a schedule.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum About {
    /// Control station.
    Station,
    /// Lamps and meters.
    Indicator,
    /// Thermistors.
    Thermistor,
}

/// A word of a schedule.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Word {
    /// Its subject.
    pub about: About,
    /// The word, in small letters with hyphens.
    pub word: String,
    /// The demand that it makes.
    pub means: String,
    /// Control wires that it suggests: `two`, `three` or nothing.
    pub wires: String,
}

table! {
    /// Figures of small parts.
    PRACTICE, PRACTICE_ROWS: PracticeRow, "accessory-practice"
}
table! {
    /// The effect of suppressors on the drop-out.
    SUPPRESSORS, SUPPRESSOR_ROWS: SuppressorRow, "suppressor-drop-out"
}
table! {
    /// Words of schedules.
    WORDS, WORD_ROWS: Word, "control-words"
}

/// A figure that the program itself names; a test holds that each of them is in the table.
#[must_use]
pub fn practice(name: &str) -> f64 {
    PRACTICE_ROWS.iter().find(|row| row.name == name).map_or(f64::NAN, |row| row.value)
}

/// A kind of suppressor.
#[must_use]
pub fn suppressor(variant: &str) -> Option<&'static SuppressorRow> {
    SUPPRESSOR_ROWS.iter().find(|row| row.variant == variant)
}

/// Kinds of suppressors for a kind of current, the preferred one first: the order of the table.
pub fn suppressors_for(dc: bool) -> impl Iterator<Item = &'static SuppressorRow> {
    SUPPRESSOR_ROWS.iter().filter(move |row| if dc { row.dc } else { row.ac })
}

/// A word of a schedule; none if nobody knows it.
#[must_use]
pub fn word(about: About, text: &str) -> Option<&'static Word> {
    let plain = plain(text);
    WORD_ROWS.iter().find(|row| row.about == about && row.word == plain)
}

/// Items of a cell that lists several, each with the word that it is; an item of several words in one is taken apart where each of
/// them is known, as `running tripped ammeter`.
#[must_use]
pub fn items(about: About, text: &str) -> Vec<(&str, Option<&'static Word>)> {
    let mut found = Vec::new();
    for item in listed(text) {
        let whole = word(about, item);
        let apart: Vec<_> =
            item.split([' ', '/']).filter(|piece| !piece.is_empty()).map(|piece| (piece, word(about, piece))).collect();
        if whole.is_none() && apart.len() > 1 && apart.iter().all(|(_, word)| word.is_some()) {
            found.extend(apart);
        } else {
            found.push((item, whole));
        }
    }
    found
}

/// Items of a cell that lists several.
fn listed(text: &str) -> impl Iterator<Item = &str> {
    text.split([',', ';', '+', '&']).flat_map(|item| item.split(" and ")).map(str::trim).filter(|item| !item.is_empty())
}

/// Most thermistors that a cell may ask for.
const SENSORS_AT_MOST: u32 = 100;

/// Thermistors that a cell asks for: their number, as in `6` or `3 PTC`, or one for each winding where it only says that there are
/// some, as in `yes` or `PTC 150 °C`; none if it is not understood.
#[must_use]
pub fn thermistors(text: &str) -> Option<u32> {
    let text = text.trim();
    if matches!(text, "" | "-") {
        return Some(0);
    }
    let number = |text: &str| text.parse::<u32>().ok().filter(|number| *number <= SENSORS_AT_MOST);
    if let Some(number) = number(text) {
        return Some(number);
    }
    if let Some(word) = word(About::Thermistor, text) {
        return Some(if word.means == "none" { 0 } else { some_thermistors() });
    }
    let mut words = text.split_whitespace();
    let first = words.next().unwrap_or_default();
    let named = |name: &str| word(About::Thermistor, name).is_some_and(|word| word.means == "some" && word.word != "yes");
    match number(first.trim_end_matches(['x', '×'])) {
        Some(number) => words.any(named).then_some(number),
        None => named(first).then(some_thermistors),
    }
}

/// The same, and one for each winding where the cell is not understood.
#[must_use]
pub fn thermistors_taken(text: &str) -> u32 {
    thermistors(text).unwrap_or_else(some_thermistors)
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a small whole figure of the table
fn some_thermistors() -> u32 {
    practice("sensors-of-a-motor") as u32
}

/// Small letters, everything between letters and figures as one hyphen.
fn plain(text: &str) -> String {
    let words = text.split(|letter: char| !letter.is_alphanumeric()).filter(|word| !word.is_empty());
    words.map(str::to_lowercase).collect::<Vec<_>>().join("-")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_written_as_they_are_looked_up() {
        for row in WORD_ROWS.iter() {
            assert_eq!(plain(&row.word), row.word);
            assert!(matches!(row.wires.as_str(), "" | "two" | "three"), "{}", row.word);
        }
        assert_eq!(word(About::Station, "Hand / Off / Auto").map(|word| word.means.as_str()), Some("hand-off-auto"));
        assert_eq!(word(About::Station, "H-O-A").map(|word| word.means.as_str()), Some("hand-off-auto"));
        assert!(word(About::Indicator, "hand-off-auto").is_none());
    }

    #[rstest::rstest]
    #[case::not_given("", Some(0))]
    #[case::none("no", Some(0))]
    #[case::some("yes", Some(3))]
    #[case::a_number("6", Some(6))]
    #[case::number_and_word("6 PTC", Some(6))]
    #[case::a_temperature_is_no_number("PTC 150 °C", Some(3))]
    #[case::below_nothing("-1", None)]
    #[case::no_motor_has_so_many("100000", None)]
    #[case::words("many", None)]
    #[case::a_temperature_alone("150 °C", None)]
    fn thermistors_are_counted(#[case] text: &str, #[case] expected: Option<u32>) {
        assert_eq!(thermistors(text), expected);
    }

    #[test]
    fn items_in_one_are_taken_apart_only_where_all_are_known() {
        let read = |text: &'static str| items(About::Indicator, text).iter().map(|(item, _)| *item).collect::<Vec<_>>();
        assert_eq!(read("running tripped ammeter"), ["running", "tripped", "ammeter"]);
        assert_eq!(read("hour meter, running/stopped"), ["hour meter", "running", "stopped"]);
        assert_eq!(read("red/green lamps"), ["red/green lamps"]);
    }

    #[test]
    fn figures_that_are_named_are_there() {
        for name in [
            "standard-contact-least",
            "extra-low-most",
            "mains-contact",
            "enable-contact",
            "side-contacts",
            "sensors-of-a-motor",
            "sensors-of-a-loop",
            "brake-contact",
            "pause-wanted",
        ] {
            assert!(practice(name).is_finite(), "{name}");
        }
    }

    #[test]
    fn a_varistor_delays_little_and_a_diode_much() {
        // One contactor system manual: a varistor adds 2 to 5 ms. Diode: 6 to 10 times, from memory.
        let of = |kind: &str| suppressor(kind).map(|row| (row.drop_out_ms(12.0), row.delays_much()));
        assert_eq!(of("varistor"), Some((17.0, false)));
        assert_eq!(of("rc"), Some((12.0, false)));
        assert_eq!(of("diode"), Some((120.0, true)));
        assert!(suppressors_for(false).all(|row| !row.variant.contains("diode")), "a diode short-circuits one half-wave");
    }
}
