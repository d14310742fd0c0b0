//! Reads the words by which schedules and bases name conductors: whether the connection of a load or the system of a board has a neutral,
//! and how the system is grounded.
//!
//! A word that is not understood states nothing. What follows from the words is judged elsewhere, twice and apart.

mod grounding;

pub use grounding::{Grounding, grounding};

/// Words for a neutral conductor.
const NEUTRAL: &[&str] = &["n", "npe", "neutral", "neutrals", "neutralleiter", "nullleiter", "neutre", "neutro", "neutra", "nul"];

/// Words that deny what stands beside them.
const DENIALS: &[&str] = &[
    "no", "not", "without", "wo", "ohne", "kein", "keine", "nicht", "sans", "pas", "non", "sin", "sem", "senza", "zonder",
    "geen", "niet",
];

/// Words that say yes to the neutral beside them.
const AGREEMENTS: &[&str] = &["yes", "ja", "oui", "si", "sim"];

/// Words for a line conductor, and for how many or which.
const LINES: &[&str] = &[
    "l", "ll", "lll", "p", "pp", "ppp", "ph", "phs", "phase", "phases", "phasen", "fase", "fases", "fasi", "line", "lines",
    "leiter", "pole", "poles", "sp", "dp", "tp", "r", "s", "t", "u", "v", "w", "a", "b", "c", "x", "o", "ø",
];

/// Lines before a neutral in one word: `LN`, `3PN`, `1PhNPE`, `TPN`.
const LINES_BEFORE_NEUTRAL: &[&str] = &["l", "ll", "lll", "p", "ph", "sp", "tp"];

/// Words that say nothing of a neutral.
const FILLINGS: &[&str] = &[
    "to",
    "and",
    "plus",
    "with",
    "between",
    "across",
    "conductor",
    "conductors",
    "core",
    "cores",
    "connection",
    "connected",
    "single",
    "one",
    "two",
    "three",
    "four",
    "five",
    "pe",
    "e",
    "earth",
    "ground",
    "gnd",
    "ac",
    "vac",
    "hz",
    "mit",
    "und",
    "zwischen",
    "et",
    "avec",
    "entre",
    "con",
    "com",
    "wire",
    "wires",
];

/// Words for several lines in one.
const SEVERAL_LINES: &[&str] =
    &["ll", "lll", "pp", "ppp", "phs", "phases", "phasen", "fases", "fasi", "lines", "dp", "tp", "poles"];

/// Letters of the three lines, one alphabet each.
const PHASE_LETTERS: [&str; 3] = ["rst", "uvw", "abc"];

/// Words for a delta, which has no neutral.
const DELTA: &[&str] = &["delta", "d", "δ", "dreieck", "triangle", "triangulo", "triángulo", "triangolo"];

/// Words for a star, and for both in turn: a winding so connected has no neutral of its own.
const STAR: &[&str] = &["star", "wye", "y", "yd", "yy", "stern", "etoile", "étoile", "estrella", "stella"];

/// No point of a system of that earthing is earthed.
#[must_use]
pub fn is_it(earthing: &str) -> bool {
    earthing.trim().to_ascii_uppercase().starts_with("IT")
}

fn words(text: &str) -> Vec<String> {
    let lower = text.to_lowercase().replace("w/o", "without").replace("a.c.", "ac");
    // The sign of alternating current parts words as a blank does: `3N~400V`.
    let parts = lower.split(|letter: char| !letter.is_alphanumeric());
    parts.filter(|word| !word.is_empty()).map(str::to_owned).collect()
}

fn is_number(word: &str) -> bool {
    word.chars().all(|letter| letter.is_ascii_digit())
}

/// The meaning of one word: `3L`, `L1`, `3LN`, `N`, `4W`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Word {
    Neutral,
    /// So many wires.
    Wires(u32),
    Line,
    Filling,
    Unknown,
}

fn read(word: &str) -> Word {
    if NEUTRAL.contains(&word) {
        return Word::Neutral;
    }
    let letters = word.trim_start_matches(|letter: char| letter.is_ascii_digit());
    let digits = &word[..word.len() - letters.len()];
    if matches!(letters, "w" | "wire" | "wires") && !digits.is_empty() {
        return digits.parse().map_or(Word::Unknown, Word::Wires);
    }
    // Four poles are three lines and the neutral.
    if matches!(letters, "p" | "pole" | "poles") && matches!(digits, "4" | "5") {
        return Word::Wires(4);
    }
    // `3`, `230`, `400V`, `50Hz`.
    if letters.is_empty() || (!digits.is_empty() && matches!(letters, "v" | "vac" | "volt" | "volts" | "hz")) {
        return Word::Filling;
    }
    if FILLINGS.contains(&letters) && digits.is_empty() || DELTA.contains(&letters) || STAR.contains(&letters) {
        return Word::Filling;
    }
    let among = |list: &[&str], word: &str| {
        let bare: String = word.chars().filter(|letter| !matches!(letter, '1'..='3')).collect();
        list.contains(&bare.as_str())
    };
    if among(LINES, letters) {
        return Word::Line;
    }
    // `3LN`, `LN`, `1PN`, `L1N`, with or without the protective conductor; `3N`, `3NPE`.
    let live = letters.strip_suffix("npe").or_else(|| letters.strip_suffix('n'));
    if live.is_some_and(|live| live.is_empty() && !digits.is_empty() || among(LINES_BEFORE_NEUTRAL, live)) {
        return Word::Neutral;
    }
    match letters.strip_suffix("pe") {
        Some(live) if among(LINES, live) => Word::Line,
        _ => Word::Unknown,
    }
}

fn any_of(words: &[String], list: &[&str]) -> bool {
    words.iter().any(|word| list.contains(&word.as_str()))
}

/// Wires that a text counts: `4W`, `4 wire`, `three-wire`.
fn wires(words: &[String]) -> Option<u32> {
    let spelled = |word: &str| match word {
        "two" => Some(2),
        "three" => Some(3),
        "four" => Some(4),
        "five" => Some(5),
        digits if is_number(digits) => digits.parse().ok(),
        _ => None,
    };
    let joined = words.iter().find_map(|word| if let Word::Wires(count) = read(word) { Some(count) } else { None });
    joined.or_else(|| {
        let pair = |words: &[String]| match words[1].as_str() {
            "w" | "wire" | "wires" => spelled(&words[0]),
            "pole" | "poles" => spelled(&words[0]).filter(|count| *count >= 4),
            _ => None,
        };
        words.windows(2).find_map(pair)
    })
}

/// Whether the `connection` of a load has a neutral: `3L+N` and `L-N` have one, `3L` and `L-L` have none, in these or other words for
/// lines and neutral. None where a word of it is not understood.
#[must_use]
pub fn connection_has_neutral(text: &str) -> Option<bool> {
    let words = words(text);
    let neutral = words.iter().any(|word| read(word) == Word::Neutral);
    let agreed = |word: &str| neutral && AGREEMENTS.contains(&word);
    let unknown = |word: &String| !DENIALS.contains(&word.as_str()) && !agreed(word) && read(word) == Word::Unknown;
    if words.is_empty() || words.iter().any(unknown) {
        return None;
    }
    let named = neutral || wires(&words).is_some_and(|count| count >= 4);
    Some(named && !any_of(&words, DENIALS))
}

/// The conductors that the words of a system name: `480Y/277 4W`, `400 V 3L+N`, `240/120 3W`, `3/N/PE`.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct System {
    /// A neutral is led to the loads.
    pub neutral: bool,
    /// It counts three wires: of three phases without neutral, of one phase two legs and the middle between them.
    pub three_wires: bool,
}

impl System {
    /// Reads the words of a system. The count of wires goes before what is said of a neutral, which may be its earthing alone.
    #[must_use]
    pub fn read(text: &str) -> Self {
        let words = words(text);
        let count = wires(&words);
        // A neutral that is earthed in a way or kept from the installation is not offered to loads.
        let kept = grounding::is_kept_from_loads(text) || any_of(&words, &["unavailable"]);
        let denied = any_of(&words, DENIALS) || kept || text.trim().eq_ignore_ascii_case("n/a");
        let named = !denied && words.iter().any(|word| read(word) == Word::Neutral);
        Self { neutral: count.map_or(named, |count| count >= 4 || (count == 2 && named)), three_wires: count == Some(3) }
    }
}

/// Whether the two conductors that the words of a system of one phase name are a line and the neutral; none where they name neither a
/// neutral nor two lines, or several lines with the neutral.
#[must_use]
pub fn pair_has_neutral(text: &str) -> Option<bool> {
    let system = System::read(text);
    let words = words(text);
    if system.three_wires {
        return Some(false);
    }
    if system.neutral {
        // Of several lines and the neutral it is the voltage that says which two are meant.
        return (wires(&words).is_none_or(|count| count < 4) && lines(&words).max(lines_beside_neutral(&words)) < 2)
            .then_some(true);
    }
    let denied = any_of(&words, DENIALS) && words.iter().any(|word| read(word) == Word::Neutral);
    (denied || any_of(&words, DELTA) || lines(&words) > 1).then_some(false)
}

/// Lines that words name: each word one, or as many as it says or is counted.
fn lines(words: &[String]) -> u32 {
    let is_letter = |word: &str| word.len() == 1 && PHASE_LETTERS.iter().any(|alphabet| alphabet.contains(word));
    // Letters are lines in twos of one alphabet: that of `TN-C-S` or of a unit is none.
    let pairs =
        PHASE_LETTERS.map(|alphabet| words.iter().filter(|word| word.len() == 1 && alphabet.contains(word.as_str())).count());
    let letters = pairs.into_iter().filter(|count| *count > 1).max().and_then(|count| u32::try_from(count).ok()).unwrap_or(0);
    let worded = words.iter().enumerate().filter(|(_, word)| read(word) == Word::Line && !is_letter(word));
    let named = worded.map(|(index, word)| {
        let number = index.checked_sub(1).map_or("", |before| words[before].as_str());
        let counted = if number == "two" { Some(2) } else { number.parse().ok() };
        let letters = word.trim_start_matches(|letter: char| letter.is_ascii_digit());
        let stated = word[..word.len() - letters.len()].parse().ok();
        let several = if SEVERAL_LINES.contains(&letters) { 2 } else { 1 };
        counted.or(stated).unwrap_or(several)
    });
    named.fold(letters, u32::saturating_add)
}

/// Lines that stand in one word with the neutral, or are counted before it: `3LN`, `TPN`, `3/N/PE`.
fn lines_beside_neutral(words: &[String]) -> u32 {
    let beside = |(index, word): (usize, &String)| {
        let letters = word.trim_start_matches(|letter: char| letter.is_ascii_digit());
        let stated = word[..word.len() - letters.len()].parse().ok();
        let several = (letters.starts_with("ll") || letters.starts_with("tp")).then_some(2);
        let before = index.checked_sub(1).map(|before| words[before].as_str()).filter(|number| number.len() == 1);
        stated.or(several).or_else(|| before?.parse().ok()).unwrap_or(1)
    };
    words.iter().enumerate().filter(|(_, word)| read(word) == Word::Neutral).map(beside).max().unwrap_or(0)
}

#[cfg(test)]
mod tests;
