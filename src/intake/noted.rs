//! Figures that descriptions and notes state in words, where no column does: the marking of a supply circuit, the air, the current of a
//! start. The words are a table.

use std::ops::Range;
use std::sync::LazyLock;

use serde::Deserialize;

use super::mentions::{self, Phrases};
use super::tables;

const TABLE: &str = include_str!("tables/noted-figures.csv");
/// Words between what names a figure and the figure at most: `MCA = 230`, `max fuse size: 45`.
const MOST_BETWEEN: usize = 2;

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    figure: String,
    says: String,
    phrases: String,
}

#[derive(Debug)]
struct Lists {
    states: Phrases,
    taken_out: Phrases,
    /// What another device than that of the load is for.
    of_another: Phrases,
    /// A figure up to this one is ordinary.
    above: u32,
    /// The same in degrees Fahrenheit.
    above_f: u32,
}

impl Lists {
    fn of(rows: &[Row], figure: &str) -> Self {
        let of = |says: &str| {
            let listed = rows.iter().filter(|row| row.figure == figure && row.says == says);
            Phrases::of(listed.map(|row| row.phrases.as_str()))
        };
        let limit = |says: &str| {
            let row = rows.iter().find(|row| row.figure == figure && row.says == says);
            row.and_then(|row| row.phrases.parse().ok()).unwrap_or_default()
        };
        Self {
            states: of("states"),
            taken_out: of("taken-out"),
            of_another: of("of-another"),
            above: limit("above"),
            above_f: limit("above-f"),
        }
    }
}

/// The lists of marked circuits, of the air, of currents of a start and of devices before what is supplied only.
static LISTS: LazyLock<[Lists; 4]> = LazyLock::new(|| {
    let rows: Vec<Row> = tables::rows(TABLE);
    ["marked-circuit", "ambient", "locked-rotor", "device-of-supply"].map(|figure| Lists::of(&rows, figure))
});

/// A figure and the word behind it.
#[derive(Debug)]
struct Figure<'w> {
    value: u32,
    unit: &'w str,
}

impl Figure<'_> {
    fn is_in(&self, units: &[&str]) -> bool {
        units.contains(&self.unit)
    }
}

/// The words of a text that part no phrases, without what is left out.
fn words_of(text: &str, lists: &Lists) -> Vec<String> {
    let left = lists.taken_out.taken_out_of(&mentions::words(text));
    left.into_iter().filter(|word| !word.is_empty()).collect()
}

/// The figure that begins at a word, whole, and the word behind it and its decimals. That of a kind of enclosure (`IP 55`) is none.
fn figure_at(words: &[String], at: usize) -> Option<Figure<'_>> {
    let value = words.get(at)?.parse().ok()?;
    if at.checked_sub(1).and_then(|before| words.get(before)).is_some_and(|word| word == "ip") {
        return None;
    }
    let decimals = words.get(at + 1).is_some_and(|word| word.bytes().all(|byte| byte.is_ascii_digit()));
    Some(Figure { value, unit: words.get(at + 1 + usize::from(decimals)).map_or("", String::as_str) })
}

/// The figure that stands close behind what names it.
fn figures_behind<'w>(words: &'w [String], lists: &Lists) -> Vec<Figure<'w>> {
    let behind = |end: usize| (end..=end + MOST_BETWEEN).find_map(|at| figure_at(words, at));
    lists.states.places_in(words).into_iter().filter_map(|place| behind(place.end)).collect()
}

/// Units of a protective device.
const AMPERES: &[&str] = &["a", "at", "amp", "amps", "ampere", "amperes"];
/// Units of other quantities.
const OTHER_UNITS: &[&str] = &[
    "v", "kv", "kw", "w", "hp", "m", "mm", "c", "k", "bar", "s", "h", "min", "hz", "ka", "ma", "starts", "poles", "pole", "ways",
    "pcs",
];
/// Words that may stand before a figure which says no amperes: `Max. fuse size: 45`. Behind others it is that of something else, such as
/// `protection class 55`.
const BEFORE_A_BARE_FIGURE: &[&str] = &["size", "rating", "rated", "is", "of", "nom", "max"];

/// Whether a text states the marked supply circuit of equipment with a figure in amperes.
pub(super) fn marks_circuit(text: &str) -> bool {
    (marks_circuit_behind(text) || spans_a_figure(text, &LISTS[0].states)) && !is_of_another(text)
}

/// Whether the one device that a text names is that of something beside the load: `fuse 10 A max for control`. Beside a second figure the
/// load may be meant as well.
fn is_of_another(text: &str) -> bool {
    let [lists, ..] = &*LISTS;
    let words = mentions::words(text);
    let in_amperes = |at: &usize| figure_at(&words, *at).is_some_and(|figure| figure.is_in(AMPERES));
    (0..words.len()).filter(in_amperes).count() == 1 && lists.of_another.stand_in(&words)
}

/// Whether a text names the protective device before what is supplied only, with its amperes: `Absicherung 10 A`, `16 A MCB`. Before a
/// starter of ours such words say what somebody planned for it.
pub(super) fn names_device_of_supply(text: &str) -> bool {
    spans_a_figure(text, &LISTS[3].states)
}

/// Words and figures that may stand between what names a device and its amperes: `fuse size 3 x 25 A`.
fn is_beside_amperes(word: &str) -> bool {
    BEFORE_A_BARE_FIGURE.contains(&word) || matches!(word, "1" | "3" | "x" | "with" | "at" | "mit" | "von" | "gg" | "gl" | "am")
}

/// Whether a phrase stands around, close behind or close before a figure in amperes: `fuse 10 A max`, `max. 10 A fuse`, `10 A fuse max.`
fn spans_a_figure(text: &str, phrases: &Phrases) -> bool {
    let [lists, ..] = &*LISTS;
    // Brackets only set off what belongs to it: `fuse 10 A (max.)`.
    let words = lists.taken_out.taken_out_of(&mentions::words(&text.replace(['(', ')'], " ")));
    let in_amperes = |at: usize| figure_at(&words, at).is_some_and(|figure| figure.is_in(AMPERES));
    (0..words.len()).filter(|at| in_amperes(*at)).any(|at| {
        let unit = (at + 1..words.len()).find(|next| AMPERES.contains(&words[*next].as_str())).unwrap_or(at);
        let before = words[..at].iter().rposition(|word| !is_beside_amperes(word)).map_or(0, |last| last + 1);
        let around = |from: usize| {
            let without = [&words[..from], &words[unit + 1..]].concat();
            phrases.places_in(&without).iter().any(|place| place.start <= from && place.end >= from)
        };
        (before..=at).any(around)
    })
}

/// Whether what names a marked circuit stands before its figure.
fn marks_circuit_behind(text: &str) -> bool {
    let [lists, ..] = &*LISTS;
    let words = words_of(text, lists);
    let marks = |from: usize, at: usize| {
        let Some(figure) = figure_at(&words, at) else { return false };
        let bare = words[from..at].iter().all(|word| BEFORE_A_BARE_FIGURE.contains(&word.as_str()));
        figure.is_in(AMPERES) || bare && !figure.is_in(OTHER_UNITS)
    };
    let places = lists.states.places_in(&words);
    places.into_iter().any(|place| (place.end..=place.end + MOST_BETWEEN).any(|at| marks(place.end, at)))
}

/// Units of a temperature, and the words that may stand before them.
const CELSIUS: &[&str] = &["c", "grad", "degc", "celsius"];
const FAHRENHEIT: &[&str] = &["f", "degf", "fahrenheit"];
const DEGREES: &[&str] = &["deg", "degree", "degrees", "degres", "grados", "gradi", "graus", "graden"];
/// Words between the two ends of a range of temperatures.
const BETWEEN_ENDS: &[&str] =
    &["to", "up", "bis", "a", "au", "al", "ate", "tot", "and", "und", "et", "y", "e", "en", "max", "min"];

/// Whether a figure of air at a word is hotter than ordinary motors are made for.
fn is_hot(words: &[String], at: usize, lists: &Lists) -> bool {
    let Some(figure) = figure_at(words, at) else { return false };
    let next = || words.iter().skip(at + 1).find(|word| !DEGREES.contains(&word.as_str()) && !is_figure(word));
    let unit = if figure.is_in(DEGREES) { next().map_or("", String::as_str) } else { figure.unit };
    (CELSIUS.contains(&unit) && figure.value > lists.above) || (FAHRENHEIT.contains(&unit) && figure.value > lists.above_f)
}

fn is_figure(word: &str) -> bool {
    !word.is_empty() && word.bytes().all(|byte| byte.is_ascii_digit())
}

/// The words behind what names the air that may be its figures: some words, and then a figure or both ends of a range.
fn figures_of_air(words: &[String], end: usize) -> Range<usize> {
    let mut between = 0;
    let mut seen = false;
    let mut last = end;
    for word in words.iter().skip(end) {
        if word.is_empty() && seen {
            break;
        }
        let of_figure = [CELSIUS, FAHRENHEIT, DEGREES, BETWEEN_ENDS].iter().any(|list| list.contains(&word.as_str()));
        if is_figure(word) {
            seen = true;
        } else if !of_figure && !word.is_empty() {
            between += 1;
            if seen || between > MOST_BETWEEN {
                break;
            }
        }
        last += 1;
    }
    end..last
}

/// Air up to which ordinary motors are made, in °C.
pub(super) fn ordinary_air_c() -> f64 {
    f64::from(LISTS[1].above)
}

/// Whether a text states air that is hotter than ordinary motors are made for: `ambiente 50 °C`, `50 °C Umgebung`, `ambient 0 to
/// 122 °F`.
pub(super) fn states_hot_air(text: &str) -> bool {
    let [_, lists, ..] = &*LISTS;
    let words = lists.taken_out.taken_out_of(&mentions::words(text));
    let behind = |end: usize| figures_of_air(&words, end).any(|at| is_hot(&words, at, lists));
    // Before it, nothing but the unit may stand between: `F400/120 °C, ambient` is a fan's.
    let before = |start: usize| start.checked_sub(2).is_some_and(|at| is_hot(&words, at, lists));
    lists.states.places_in(&words).iter().any(|place| before(place.start) || behind(place.end))
}

/// Whether a text states the current of a start, in amperes or as so many times the rated one.
pub(super) fn states_start_current(text: &str) -> bool {
    let [_, _, lists, _] = &*LISTS;
    let words = words_of(text, lists);
    let units = ["", "a", "amp", "amps", "ampere", "amperes", "x", "in", "fla", "flc"];
    figures_behind(&words, lists).iter().any(|figure| figure.value > lists.above && figure.is_in(&units))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_of_the_table_is_read() {
        let rows: Vec<Row> = tables::whole(TABLE);
        for row in &rows {
            assert!(["marked-circuit", "ambient", "locked-rotor", "device-of-supply"].contains(&row.figure.as_str()), "{row:?}");
            assert!(
                ["states", "taken-out", "of-another", "above", "above-f"].contains(&row.says.as_str())
                    && !row.phrases.contains('&'),
                "{row:?}"
            );
        }
    }

    /// Markings as the nameplates of 440.4(B) are quoted in schedules, and as data sheets of packaged equipment say them.
    #[rstest::rstest]
    #[case("MCA 230 MOCP 200", true)]
    #[case("MCA 45A / MOP 60A", true)]
    #[case("Max. fuse size: 45 A", true)]
    #[case("min circuit ampacity = 32", true)]
    #[case("max. Vorsicherung 125 A", true)]
    #[case("Vorsicherung max. 16 A gG", true)]
    #[case("Absicherung bauseits, max. Absicherung 3x25 A", true)]
    #[case("protection max. 16 A", true)]
    #[case("calibre maximal du fusible : 16 A", true)]
    #[case("fusible máx. 16 A", true)]
    #[case("fusibile max 16 A", true)]
    #[case("protezione a monte max 40 A", true)]
    #[case("fusível máx. 20 A", true)]
    #[case("max. voorzekering 16 A", true)]
    #[case("back-up fuse 63 A", true)]
    #[case("fuse 10 A max", true)]
    #[case("fuse 10 A (max.)", true)]
    #[case("max. 10 A fuse", true)]
    #[case("10 A fuse max.", true)]
    #[case("max. 3 x 25 A Sicherung", true)]
    #[case("Sicherung 3x25 A max.", true)]
    #[case("fusible 16 A max", true)]
    #[case("5 A, max. protection IP 55", false)]
    #[case("fuse 10 A max for control", false)]
    #[case("back-up fuse 100 A gG for SPD", false)]
    #[case("back-up fuse 100 A gG required for SPD", false)]
    #[case("Vorsicherung 63 A für Überspannungsschutz", false)]
    #[case("max. fuse 25 A, fuse 4 A for control", true)]
    #[case("10 A, fuse by others, max. 3 starts/h", false)]
    #[case("10 A control fuse, max. 40 °C", false)]
    #[case("see MCA on the nameplate", false)]
    #[case("Pump 2, mop room", false)]
    #[case("Max. fuse size 45", true)]
    #[case("MCA/MOCP 45/60", true)]
    #[case("Mop sink pump 2", false)]
    #[case("max. protection class 55", false)]
    #[case("Max. CB height 2", false)]
    #[case("Max. protection 2 starts", false)]
    #[case("protection max. IP 55", false)]
    #[case("Steuersicherung 4 A", false)]
    #[case("control fuse max 4 A", false)]
    #[case("Überlastschutz Klasse 10", false)]
    #[case("Protection thermique, max 3 démarrages", false)]
    #[case("Sicherungsautomat im Schaltschrank 2", false)]
    fn a_marked_circuit_is_told_from_other_words(#[case] text: &str, #[case] expected: bool) {
        assert_eq!(marks_circuit(text), expected);
    }

    #[rstest::rstest]
    #[case("Absicherung 10 A", true)]
    #[case("Absicherung mit 3 x 16 A gG", true)]
    #[case("abgesichert mit 16 A", true)]
    #[case("protected by 10 A", true)]
    #[case("16 A MCB", true)]
    #[case("20A breaker", true)]
    #[case("fused at 13 A", true)]
    #[case("protégé par 16 A", true)]
    #[case("protezione 16 A", true)]
    #[case("10 A", false)]
    #[case("Steuersicherung 4 A", false)]
    #[case("10 A control fuse", false)]
    #[case("Absicherung bauseits, 12 A Nennstrom", false)]
    #[case("16 A Steckdose, Sicherung im Gerät", false)]
    #[case("Sicherungslasttrennschalter 160 A in +S1", false)]
    #[case("feeder from 63 A panel, breaker 2", false)]
    #[case("fuse box in room 12, 24 A running", false)]
    #[case("breaker by others, 30 A load", false)]
    fn the_device_of_a_supply_is_told_from_other_amperes(#[case] text: &str, #[case] expected: bool) {
        assert_eq!(names_device_of_supply(text), expected);
    }

    #[rstest::rstest]
    #[case("ambiente 50 °C", true)]
    #[case("50 °C Umgebung", true)]
    #[case("Umgebungstemperatur bis 55°C", true)]
    #[case("température ambiante 45 °C", true)]
    #[case("ambient temp. 122 F", true)]
    #[case("122 °F ambient", true)]
    #[case("ambient 122 deg F", true)]
    #[case("ambient 104 °F", false)]
    #[case("ambient 0 to 50 °C", true)]
    #[case("Umgebung -20 bis 50 °C", true)]
    #[case("ambient 0 to 40 °C", false)]
    #[case("ambient 40 °C, medium 80 °C", false)]
    #[case("ambient 40 °C water 80 °C", false)]
    #[case("ambient, max. 45 °C", true)]
    #[case("ambient 40 °C", false)]
    #[case("Fördermedium 80 °C", false)]
    #[case("oven fan, air 250 °C", false)]
    #[case("omgevingstemperatuur 48 °C", true)]
    #[case("F400/120 °C, ambient", false)]
    fn hot_air_is_told_from_other_temperatures(#[case] text: &str, #[case] expected: bool) {
        assert_eq!(states_hot_air(text), expected);
    }

    #[rstest::rstest]
    #[case("LRA 426 A", true)]
    #[case("Imax Anlauf 760 A", true)]
    #[case("aanloopstroom 58 A", true)]
    #[case("courant de démarrage 6,5 x In", true)]
    #[case("corrente di spunto 90 A", true)]
    #[case("3L+N+PE, max fuse 20 A, LRA 75 A", true)]
    #[case("Anlauf 9 s", false)]
    #[case("start current limit 3 x", false)]
    #[case("locked rotor time 12 s", false)]
    #[case("inrush limiter", false)]
    #[case("start 2 s after M-1", false)]
    fn the_current_of_a_start_is_told_from_other_figures(#[case] text: &str, #[case] expected: bool) {
        assert_eq!(states_start_current(text), expected);
    }
}
