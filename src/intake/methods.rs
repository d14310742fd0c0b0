//! Starting methods as schedules spell them, in six languages.

use std::collections::HashMap;
use std::sync::LazyLock;

use serde::Deserialize;

use super::units::{Unit, unit_of};
use super::{denials, fold, method_doubts};
use crate::finding::nearest;
use crate::load::{Field, Kind};

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    #[serde(rename = "language")]
    _language: String,
    spelling: String,
    method: String,
    reversing: String,
    #[serde(rename = "status")]
    _status: String,
}

/// The meaning of one spelling.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Meaning {
    Method(&'static str, bool),
    /// A method where the spelling is the whole text; beside other words it says nothing.
    Alone(&'static str),
    /// The equipment brings the starter, whatever it is: a supply alone.
    Brought,
    /// A bypass.
    Bypass,
    /// A word of more than one meaning.
    Open,
    /// One that is so as the whole text; beside a method it is what its other rows say, or nothing.
    OpenAlone,
    Reversing,
    Beside,
    /// A part of the circuit that says nothing of the starter, but may be what others supply.
    Part,
}

/// The reading of a text of a starting method.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Method {
    /// A method, and whether the text says that it reverses.
    Known(&'static str, bool),
    /// A word with more than one meaning.
    Open,
    /// Two methods that exclude each other.
    Conflict(&'static str, &'static str),
    /// Not understood.
    Unknown,
}

const TABLE: &str = include_str!("tables/methods.csv");
/// Spellings of so few letters count only as the whole text, but those of a method.
const SHORT: usize = 2;
/// Spellings of so few letters that count beside others too.
const SHORT_BESIDE: [&str; 4] = ["fu", "pw", "rl", "cb"];
/// What is left to choose before a starter that the equipment brings.
const BROUGHT: &str = "feeder";
/// Before a method in the table: the spelling counts as the whole text alone.
const ALONE: char = '=';
/// Most words of a spelling.
const LONGEST: usize = 6;

fn canonical(name: &str) -> Option<&'static str> {
    let Kind::Choice(choices) = Field::StartingMethod.spec().kind else { return None };
    choices.iter().map(|(choice, _)| *choice).find(|choice| *choice == name)
}

static SPELLINGS: LazyLock<HashMap<String, Vec<Meaning>>> = LazyLock::new(|| {
    let mut spellings: HashMap<String, Vec<Meaning>> = HashMap::new();
    for row in rows() {
        let meaning = match row.method.as_str() {
            "?" => Meaning::Open,
            "=?" => Meaning::OpenAlone,
            "!feeder" => Meaning::Brought,
            "+reversing" => Meaning::Reversing,
            "+part" => Meaning::Part,
            "+bypass" => Meaning::Bypass,
            name if name.starts_with('+') => Meaning::Beside,
            name if name.starts_with(ALONE) => match canonical(name.trim_start_matches(ALONE)) {
                Some(name) => Meaning::Alone(name),
                None => continue,
            },
            name => match canonical(name) {
                Some(name) => Meaning::Method(name, row.reversing == "yes"),
                None => continue,
            },
        };
        spellings.entry(fold::key(&row.spelling)).or_default().push(meaning);
    }
    if let Kind::Choice(choices) = Field::StartingMethod.spec().kind {
        for (name, _) in choices {
            spellings.entry(fold::key(name)).or_default().insert(0, Meaning::Method(name, false));
        }
    }
    spellings
});

fn rows() -> Vec<Row> {
    super::tables::rows(TABLE)
}

/// The words in the text of a method besides the method.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Rest {
    /// Words that are not understood.
    pub(super) unknown: Vec<String>,
    /// It names a part of the circuit that is no starter.
    pub(super) part: bool,
}

/// The words in a text besides the method that was read in it.
pub(super) fn rest(text: &str) -> Rest {
    let whole = SPELLINGS.get(&fold::key(text));
    if whole.is_some_and(|meanings| {
        meanings.iter().any(|meaning| matches!(meaning, Meaning::Method(..) | Meaning::Alone(_) | Meaning::Brought))
    }) {
        return Rest::default();
    }
    let words = without_denied(&fold::words(text));
    let mut rest = Rest::default();
    for (phrase, meaning) in spelled(&words) {
        match meaning {
            Some(Meaning::Part) => rest.part = true,
            Some(meaning) if meaning != Meaning::OpenAlone => {}
            _ => rest.unknown.extend(phrase.iter().filter(|word| !is_idle(word)).cloned()),
        }
    }
    rest
}

/// A word beside a method that changes nothing: a figure with or without its unit, a word of the list.
fn is_idle(word: &str) -> bool {
    let unit = word.trim_start_matches(|letter: char| letter.is_ascii_digit());
    let figure = unit.len() < word.len() && (unit.is_empty() || unit_of(unit).is_some());
    // `24 V`: the unit stands apart.
    figure
        || unit_of(word).is_some_and(Unit::is_measure)
        || SPELLINGS.get(word).is_some_and(|meanings| {
            meanings.iter().any(|meaning| matches!(meaning, Meaning::Beside | Meaning::Part | Meaning::Bypass))
        })
}

/// Words and marks behind `SS` and `S/S` that make it stainless steel or start and stop.
const OF_STEEL_OR_STOP: [&str; 21] = [
    "enclosure",
    "encl",
    "box",
    "housing",
    "panel",
    "cover",
    "plate",
    "304",
    "304l",
    "316",
    "316l",
    "pb",
    "pbs",
    "station",
    "stations",
    "stn",
    "push",
    "pushbutton",
    "pushbuttons",
    "button",
    "buttons",
];
/// Short spellings of a method that are words or marks of something else where they stand in one: the French *and*, a duty factor, a
/// thermal switch, fire resistance.
const OTHER_WORDS: [&str; 4] = ["et", "ed", "ts", "fr"];

/// Whether a spelling of two letters beside other words is that of a method or of reversing: `Y/D reversing`, `DOL or SS`. Passed over, it
/// would leave the method of the other words, or a plain reversing starter.
fn counts_beside(words: &[String], at: usize, count: usize, meanings: &[Meaning]) -> bool {
    let word = |at: usize| words.get(at).map(String::as_str);
    let next = word(at + count);
    let names = meanings.iter().any(|meaning| matches!(meaning, Meaning::Method(..) | Meaning::Reversing));
    names
        && match (word(at).unwrap_or_default(), count) {
            (one, 1) if OTHER_WORDS.contains(&one) => false,
            // `DOL at MCC-2`: a place, where no figure of a tap, no other method and no starter follows.
            ("at", 1) => next.is_none_or(|next| {
                next.bytes().all(|byte| byte.is_ascii_digit())
                    || ["or", "starter", "bypass"].contains(&next)
                    || SPELLINGS.get(next).is_some_and(|all| all.iter().any(|one| matches!(one, Meaning::Method(..))))
            }),
            ("ss", 1) | ("s", 2) if words[at..at + count].concat() == "ss" => {
                let steel = |word: Option<&str>| word.is_some_and(|word| OF_STEEL_OR_STOP.contains(&word));
                !steel(next)
                    && !at
                        .checked_sub(1)
                        .map(word)
                        .is_some_and(|before| before.is_some_and(|word| word.starts_with("3")) && steel(before))
            }
            _ => true,
        }
}

/// The longest spellings in a run of words, in their order, and the words between them.
fn spelled(words: &[String]) -> Vec<(&[String], Option<Meaning>)> {
    let mut found = Vec::with_capacity(words.len());
    let mut at = 0;
    while at < words.len() {
        let longest = (1..=LONGEST.min(words.len() - at)).rev().find_map(|count| {
            let key = words[at..at + count].concat();
            let meanings = SPELLINGS.get(&key).filter(|meanings| {
                key.len() > SHORT || SHORT_BESIDE.contains(&key.as_str()) || counts_beside(words, at, count, meanings)
            })?;
            // Beside another method a word such as `reversing` says only that.
            let beside = meanings.iter().find(|meaning| !matches!(meaning, Meaning::Method("direct", true) | Meaning::OpenAlone));
            beside.or(meanings.first()).map(|meaning| (count, *meaning))
        });
        let (count, meaning) = longest.map_or((1, None), |(count, meaning)| (count, Some(meaning)));
        found.push((&words[at..at + count], meaning));
        at += count;
    }
    found
}

/// Reads the text of a starting method.
pub(super) fn method(text: &str) -> Method {
    let whole = fold::key(text);
    if let Some(meanings) = SPELLINGS.get(&whole) {
        let alone = || meanings.iter().find(|meaning| **meaning == Meaning::OpenAlone);
        match meanings.iter().find(|meaning| matches!(meaning, Meaning::Method(..))).or_else(alone).or(meanings.first()) {
            Some(Meaning::Method(name, reversing)) => return Method::Known(name, *reversing),
            Some(Meaning::Alone(name)) => return Method::Known(name, false),
            Some(Meaning::Brought) => return Method::Known(BROUGHT, false),
            Some(Meaning::Open | Meaning::OpenAlone) => return Method::Open,
            _ => {}
        }
    }
    let words = without_denied(&fold::words(text));
    // `VFD with integral disconnect` is no equipment that brings its starter.
    match by_words(&method_doubts::without_parts(&words)) {
        Method::Known(name, reverses) => Method::Known(name, reverses),
        _ => by_words(&words),
    }
}

const NEGATED: [&str; 9] = ["no", "not", "without", "ohne", "sans", "sin", "senza", "sem", "kein"];
/// Additions to a method that may be denied without denying the method.
const ADDITIONS: [&str; 8] =
    ["reversing", "reversal", "wende", "wendeschaltung", "reversierung", "inversion", "inversione", "reversao"];

/// Whether a word names a bypass, or is one mistyped.
fn is_bypass(word: &str) -> bool {
    SPELLINGS.get(word).is_some_and(|meanings| meanings.contains(&Meaning::Bypass))
        || word.len() > 4 && nearest(word, std::iter::once("bypass")).is_some()
}

/// Whether a text of a method asks for a bypass.
pub(super) fn bypass(text: &str) -> Option<bool> {
    let words = fold::words(&text.to_lowercase().replace("by-pass", "bypass").replace("by pass", "bypass"));
    let at = words.iter().position(|word| is_bypass(word))?;
    Some(denied(&words, at) == 0 && denials::behind(&words, at + 1).is_none())
}

/// How many words before the one at a place deny it: `without`, `w/o`.
fn denied(words: &[String], at: usize) -> usize {
    let before = |back: usize| at.checked_sub(back).and_then(|at| words.get(at)).map(String::as_str);
    match (before(2), before(1)) {
        (Some("w"), Some("o")) => 2,
        (_, Some(word)) if NEGATED.contains(&word) => 1,
        _ => 0,
    }
}

/// The words without additions that are denied.
fn without_denied(words: &[String]) -> Vec<String> {
    let mut left = Vec::with_capacity(words.len());
    let mut at = 0;
    while let Some(word) = words.get(at) {
        let is_addition = ADDITIONS.contains(&word.as_str()) || is_bypass(word);
        let before = if is_addition { denied(words, at) } else { 0 };
        let behind = if is_addition && before == 0 { denials::behind(words, at + 1).unwrap_or_default() } else { 0 };
        if before + behind == 0 {
            left.push(word.clone());
        } else {
            left.truncate(left.len() - before.min(left.len()));
        }
        at += 1 + behind;
    }
    left
}

/// The longest spellings in a run of words; words that mean nothing here are passed over, a "no" among them refuses all.
fn by_words(words: &[String]) -> Method {
    if words.is_empty() || words.len() > 16 || words.iter().any(|word| NEGATED.contains(&word.as_str())) {
        return Method::Unknown;
    }
    let (mut names, mut reversing, mut open, mut brought) = (Vec::new(), false, false, false);
    for (_, meaning) in spelled(words) {
        match meaning {
            Some(Meaning::Method(name, reverses)) => {
                names.push(name);
                reversing |= reverses;
            }
            Some(Meaning::Brought) => brought = true,
            Some(Meaning::Open) => open = true,
            Some(Meaning::Reversing) => reversing = true,
            Some(Meaning::Beside | Meaning::Part | Meaning::Bypass | Meaning::Alone(_) | Meaning::OpenAlone) | None => {}
        }
    }
    if brought && !names.contains(&"by-others") {
        return Method::Known(BROUGHT, reversing);
    }
    names.dedup();
    match united(&names).and_then(|name| by_windings(name, words)) {
        Ok(Some(name)) => Method::Known(name, reversing),
        Ok(None) if reversing => Method::Known("direct", true),
        Ok(None) if open => Method::Open,
        Ok(None) => Method::Unknown,
        Err((one, other)) => Method::Conflict(one, other),
    }
}

/// Stems of words that say that windings are separate.
const SEPARATE: [&str; 4] = ["separat", "separe", "separad", "getrennt"];

/// Two speeds of which another word says that their windings are separate. A tapped winding is contradicted by it.
fn by_windings(name: Option<&'static str>, words: &[String]) -> Result<Option<&'static str>, (&'static str, &'static str)> {
    let separate = words.iter().any(|word| SEPARATE.iter().any(|stem| word.starts_with(stem)));
    match name {
        Some("two-speed") if separate => Ok(Some("two-speed-separate")),
        Some("two-speed-dahlander") if separate => Err(("two-speed-dahlander", "two-speed-separate")),
        other => Ok(other),
    }
}

/// Whether a text says in the words of the table that the starter reverses.
pub(super) fn reverses(text: &str) -> bool {
    matches!(method(text), Method::Known(_, true))
}

/// Reads the text of a method without what it leaves to others: the method of `DOL (disconnect by others)`.
pub(super) fn method_beside_others(words: &[String]) -> Option<&'static str> {
    let mut left = words.to_vec();
    let others = |left: &Vec<String>| {
        (0..left.len()).find_map(|at| {
            (1..=LONGEST.min(left.len() - at)).rev().find_map(|count| {
                let meanings = SPELLINGS.get(&left[at..at + count].concat())?;
                meanings.contains(&Meaning::Method("by-others", false)).then_some((at, count))
            })
        })
    };
    while let Some((at, count)) = others(&left) {
        left.drain(at..at + count);
    }
    match by_words(&without_denied(&left)) {
        Method::Known(name, _) => Some(name),
        _ => None,
    }
}

/// One method out of several words, where one of them is the more exact.
fn united(names: &[&'static str]) -> Result<Option<&'static str>, (&'static str, &'static str)> {
    let mut result: Option<&'static str> = None;
    for &name in names {
        let Some(method) = result else {
            result = Some(name);
            continue;
        };
        let pairs = [
            ("by-others", ""),
            ("feeder", "contactor"),
            ("feeder", "direct"),
            ("feeder", "drive"),
            ("feeder", "soft-starter"),
            ("two-speed-dahlander", "two-speed"),
            ("two-speed-separate", "two-speed"),
            ("two-speed", "direct"),
            ("two-speed-dahlander", "direct"),
            ("two-speed-separate", "direct"),
            ("manual", "direct"),
            ("direct", "contactor"),
            ("star-delta-closed", "star-delta"),
            ("star-delta", "contactor"),
            ("soft-starter-inside-delta", "soft-starter"),
            ("soft-starter", "contactor"),
            ("drive", "contactor"),
        ];
        let beats =
            |one: &str, other: &str| pairs.iter().any(|(strong, weak)| *strong == one && (*weak == other || weak.is_empty()));
        result = match (method == name || beats(method, name), beats(name, method)) {
            (true, _) => Some(method),
            (false, true) => Some(name),
            (false, false) => return Err((method, name)),
        };
    }
    Ok(result)
}

/// A remark leaves the starter to others: `by others` alone, or `starter by others`, `VFD by vendor`; not `piping by others`.
pub(super) fn leaves_starter(remark: &str) -> bool {
    let words = fold::words(remark);
    let of_starter =
        |word: &String| matches!(word.as_str(), "starter" | "starters" | "vfd" | "vsd" | "drive" | "softstarter" | "soft");
    let denied = words.iter().any(|word| NEGATED.contains(&word.as_str()));
    let by_others =
        !denied && spelled(&words).iter().any(|(_, meaning)| matches!(meaning, Some(Meaning::Method("by-others", _))));
    by_others && (words.len() <= 3 && SPELLINGS.contains_key(&fold::key(remark)) || words.iter().any(of_starter))
}

/// The methods that start a motor, as against those that only switch or feed.
pub(super) fn starts_a_motor(name: &str) -> bool {
    !matches!(name, "contactor" | "feeder" | "by-others" | "none")
}

/// The spelling that is nearest to a text, or that holds all its words.
pub(super) fn nearest_spelling(text: &str) -> Option<String> {
    let rows: Vec<Row> = rows().into_iter().filter(|row| !row.method.starts_with(['?', '+']) && row.method != "=?").collect();
    let near = nearest(text, rows.iter().map(|row| row.spelling.as_str())).map(str::to_owned);
    let said = fold::words(text);
    let holds = |row: &&Row| {
        let words = fold::words(&row.spelling);
        !said.is_empty() && said.iter().all(|word| word.len() > 3 && words.contains(word))
    };
    near.or_else(|| rows.iter().find(holds).map(|row| row.spelling.clone()))
}

/// Some spellings, for the cure of a method that is not understood.
pub(super) const UNDERSTOOD: &str = "DOL, star-delta, soft starter, VFD, autotransformer, part winding, two-speed, manual, contactor, by others (also what a servo amplifier or a solid-state contactor feeds), a supply alone (feeder, Einspeisung, alimentation, alimentación, alimentazione, alimentação) and their spellings in six languages, or a canonical value";

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_is_read() {
        let lines = TABLE.lines().filter(|line| !line.starts_with('#')).count() - 1;
        assert_eq!(rows().len(), lines);
        for row in rows() {
            let name = row.method.trim_start_matches(ALONE);
            assert!(row.method.starts_with(['?', '+', '!']) || name == "?" || canonical(name).is_some(), "{row:?}");
            assert!(!fold::key(&row.spelling).is_empty(), "{row:?}");
        }
    }

    #[rstest::rstest]
    #[case("D.O.L.", "direct", false)]
    #[case("Mag. (FVNR)", "direct", false)]
    #[case("DOL REV", "direct", true)]
    #[case("FWD/REV", "direct", true)]
    #[case("direct, 2 sens", "direct", true)]
    #[case("Partida direta c/ reversão", "direct", true)]
    #[case("teleinvertitore", "direct", true)]
    #[case("S/D", "star-delta", false)]
    #[case("Y-Δ", "star-delta", false)]
    #[case("Star\nDelta", "star-delta", false)]
    #[case("étoile-triangle", "star-delta", false)]
    #[case("RVSS", "soft-starter", false)]
    #[case("Soft start with bypass", "soft-starter", false)]
    #[case("VSD reversing", "drive", true)]
    #[case("Inversor de frequência", "drive", false)]
    #[case("Chave compensadora", "autotransformer", false)]
    #[case("PART WINDING", "part-winding", false)]
    #[case("2S1W", "two-speed-dahlander", false)]
    #[case("Two-speed (Dahlander)", "two-speed-dahlander", false)]
    #[case("Two-speed (2 windings)", "two-speed-separate", false)]
    #[case("2-speed separate windings", "two-speed-separate", false)]
    #[case("2-speed motor, windings separate", "two-speed-separate", false)]
    #[case("polumschaltbar getrennte Wicklung", "two-speed-separate", false)]
    #[case("2-SPEED 2W", "two-speed-separate", false)]
    #[case("2-SPEED 1W", "two-speed-dahlander", false)]
    #[case("AUTOXFMR", "autotransformer", false)]
    #[case("MAN", "manual", false)]
    #[case("Départ", "feeder", false)]
    #[case("Départ moteur direct", "direct", false)]
    #[case("ECM", "feeder", false)]
    #[case("FVNR W/MCP", "direct", false)]
    #[case("FVNR-00", "direct", false)]
    #[case("FVNR-7", "direct", false)]
    #[case("FVR-5", "direct", true)]
    #[case("INTEGRAL CONTACTOR", "feeder", false)]
    #[case("VFD w/ integral disconnect", "drive", false)]
    #[case("VFD w/ fused disconnect", "drive", false)]
    #[case("FVNR, receptacle", "direct", false)]
    #[case("w/ equipment controller", "feeder", false)]
    #[case("Unit mtd. VFD", "feeder", false)]
    #[case("unit mtd wye-delta", "feeder", false)]
    #[case("Factory part winding", "feeder", false)]
    #[case("Stern-Dreieck bauseits", "by-others", false)]
    #[case("INTEGRAL VFD", "feeder", false)]
    #[case("VFD without bypass", "drive", false)]
    #[case("DOL, w/o reversing", "direct", false)]
    #[case("Feeder only", "feeder", false)]
    #[case("starter by others", "by-others", false)]
    #[case("soft-starter-inside-delta", "soft-starter-inside-delta", false)]
    #[case("DOL O/C relay", "direct", false)]
    #[case("DOL with VFC", "direct", false)]
    #[case("soft starter, ramp up/down", "soft-starter", false)]
    #[case("Y/D reversing", "star-delta", true)]
    #[case("Y-D REV", "star-delta", true)]
    #[case("SD REV", "star-delta", true)]
    #[case("E/T REV", "star-delta", true)]
    #[case("SS reversing", "soft-starter", true)]
    #[case("AT REV", "autotransformer", true)]
    #[case("Y/D closed", "star-delta-closed", false)]
    #[case("DOL, SS enclosure", "direct", false)]
    #[case("DOL with 316 SS box", "direct", false)]
    #[case("DOL, S/S PB", "direct", false)]
    #[case("DOL at MCC-2", "direct", false)]
    #[case("DOL et inverseur", "direct", true)]
    #[case("DOL, ED 40 %", "direct", false)]
    fn spellings_of_six_languages_name_their_method(#[case] text: &str, #[case] name: &'static str, #[case] reversing: bool) {
        assert_eq!(method(text), Method::Known(name, reversing), "{text}");
    }

    #[rstest::rstest]
    #[case("VFD w/ bypass", Some(true))]
    #[case("VSD with by-pass", Some(true))]
    #[case("VFD w/o bypass", Some(false))]
    #[case("FU ohne Bypass", Some(false))]
    #[case("VFD W/BYP", Some(true))]
    #[case("VFD-BP", Some(true))]
    #[case("VFD + BYP", Some(true))]
    #[case("VFD W/ BYPAS", Some(true))]
    #[case("VFD w/o BYP", Some(false))]
    #[case("VFD by others", None)]
    #[case("VFD", None)]
    fn a_bypass_that_is_denied_is_none(#[case] text: &str, #[case] expected: Option<bool>) {
        assert_eq!(bypass(text), expected, "{text}");
    }

    #[rstest::rstest]
    #[case("magic", Method::Unknown)]
    #[case("no VFD", Method::Unknown)]
    #[case("reduced voltage", Method::Open)]
    #[case("DOL / VFD", Method::Conflict("direct", "drive"))]
    #[case("SCR", Method::Open)]
    #[case("Fused disconnect", Method::Open)]
    #[case("Disc. sw.", Method::Open)]
    #[case("Receptacle", Method::Open)]
    #[case("Direct wired", Method::Open)]
    #[case("Relay", Method::Open)]
    #[case("DOL or SS", Method::Conflict("direct", "soft-starter"))]
    #[case("DOL / Y-D", Method::Conflict("direct", "star-delta"))]
    #[case("FC + DOL bypass", Method::Conflict("drive", "direct"))]
    #[case("DOL via FC", Method::Conflict("direct", "drive"))]
    #[case("VFD/SS", Method::Conflict("drive", "soft-starter"))]
    #[case("MMS + SS", Method::Conflict("manual", "soft-starter"))]
    #[case("combination starter Y/D", Method::Conflict("direct", "star-delta"))]
    #[case("DOL or AT", Method::Conflict("direct", "autotransformer"))]
    #[case("Dahlander, separate windings", Method::Conflict("two-speed-dahlander", "two-speed-separate"))]
    fn what_names_no_method_or_two_is_never_guessed(#[case] text: &str, #[case] expected: Method) {
        assert_eq!(method(text), expected);
    }
}
