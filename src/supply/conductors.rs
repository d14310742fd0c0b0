//! Which conductors a supply has and a load uses, read from words and voltages in one place: whether there is a neutral, and whether the
//! two conductors of a board of one phase are a line and that neutral.
//!
//! A neutral that nobody states is not there, and a word that is not understood states nothing.

use crate::basis::Basis;
use crate::quantity::Volts;
use crate::rules::RuleBook;
use crate::rules::physics::loading::load_figure;
use crate::rules::physics::plausibility::plausible;

/// Words for a neutral conductor.
const NEUTRAL: &[&str] = &["n", "npe", "neutral", "neutrals", "neutralleiter", "nullleiter", "neutre", "neutro", "neutra", "nul"];

/// Words that deny what stands beside them.
const DENIALS: &[&str] = &[
    "no", "not", "without", "wo", "ohne", "kein", "keine", "nicht", "sans", "pas", "non", "sin", "sem", "senza", "zonder",
    "geen", "niet",
];

/// Words of a neutral that is earthed in a way or kept from the installation, and not offered to loads.
const NOT_LED_OUT: &[&str] =
    &["isolated", "insulated", "unearthed", "ungrounded", "resistance", "impedance", "reactance", "compensated", "unavailable"];

/// Words for a line conductor, and for how many or which.
const LINES: &[&str] = &[
    "l", "ll", "lll", "p", "pp", "ppp", "ph", "phs", "phase", "phases", "phasen", "fase", "fases", "fasi", "line", "lines",
    "leiter", "r", "s", "t", "u", "v", "w", "a", "b", "c", "x", "o", "ø", "~",
];

/// Lines before a neutral in one word: `LN`, `3PN`, `1PhNPE`.
const LINES_BEFORE_NEUTRAL: &[&str] = &["l", "ll", "lll", "p", "ph"];

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

/// Words for how a winding is connected: a winding has no neutral.
const WINDINGS: &[&str] = &[
    "delta",
    "star",
    "wye",
    "y",
    "d",
    "yd",
    "yy",
    "δ",
    "dreieck",
    "stern",
    "triangle",
    "etoile",
    "étoile",
    "triangulo",
    "triángulo",
    "estrella",
    "triangolo",
    "stella",
];

fn words(text: &str) -> Vec<String> {
    let lower = text.to_lowercase().replace("w/o", "without");
    let parts = lower.split(|letter: char| !letter.is_alphanumeric() && letter != '~');
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
    // `3`, `230`, `400V`, `50Hz`.
    if letters.is_empty() || (!digits.is_empty() && matches!(letters, "v" | "vac" | "volt" | "volts" | "hz")) {
        return Word::Filling;
    }
    if FILLINGS.contains(&letters) && digits.is_empty() || WINDINGS.contains(&letters) {
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
        let pair = |words: &[String]| matches!(words[1].as_str(), "w" | "wire" | "wires").then(|| spelled(&words[0])).flatten();
        words.windows(2).find_map(pair)
    })
}

/// Whether the `connection` of a load has a neutral: `3L+N` and `L-N` have one, `3L` and `L-L` have none, in these or other words for
/// lines and neutral. None where a word of it is not understood.
#[must_use]
pub fn connection_has_neutral(text: &str) -> Option<bool> {
    let words = words(text);
    let unknown = |word: &String| !DENIALS.contains(&word.as_str()) && read(word) == Word::Unknown;
    if words.is_empty() || words.iter().any(unknown) {
        return None;
    }
    let named = words.iter().any(|word| read(word) == Word::Neutral) || wires(&words).is_some_and(|count| count >= 4);
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
        let denied = any_of(&words, DENIALS) || any_of(&words, NOT_LED_OUT) || text.trim().eq_ignore_ascii_case("n/a");
        let named = !denied && words.iter().any(|word| read(word) == Word::Neutral);
        Self { neutral: count.map_or(named, |count| count >= 4 || (count == 2 && named)), three_wires: count == Some(3) }
    }
}

/// The source before a board.
enum Feed<'b> {
    Supply,
    Board(&'b str),
    Transformer,
}

fn feed<'b>(basis: &'b Basis, name: &str) -> Feed<'b> {
    match basis.named_before(name) {
        _ if basis.transformer_before(name).is_some() => Feed::Transformer,
        Some(from) if basis.board(from).is_some() => Feed::Board(from),
        _ => Feed::Supply,
    }
}

/// Phases of a board: its own, else those of what feeds it; three where nobody says.
#[must_use]
pub fn phases_of_board(basis: &Basis, name: &str) -> u32 {
    let mut name = name;
    // Boards that feed each other in a ring are told elsewhere; here they end.
    for _ in 0..=basis.boards.len() {
        if let Some(phases) = basis.board(name).and_then(|board| board.phases) {
            return phases;
        }
        match feed(basis, name) {
            Feed::Board(before) => name = before,
            Feed::Supply | Feed::Transformer => break,
        }
    }
    basis.supply.phases.unwrap_or(3)
}

/// System in words: that of a board, else of the transformer before it, else of what feeds it; none behind a transformer of which nobody
/// says it.
#[must_use]
pub fn system_of_board<'b>(basis: &'b Basis, name: &'b str) -> Option<&'b str> {
    let mut name = name;
    // Boards that feed each other in a ring are told elsewhere; here they end.
    for _ in 0..=basis.boards.len() {
        if let Some(system) = basis.board(name).and_then(|board| board.system.as_deref()) {
            return Some(system);
        }
        match feed(basis, name) {
            Feed::Board(before) => name = before,
            Feed::Transformer => return basis.transformer_before(name)?.system.as_deref(),
            Feed::Supply => return basis.supply.system.as_deref(),
        }
    }
    None
}

/// Why a board has no neutral for loads, with the clause; none where nothing says so.
#[must_use]
pub fn without_neutral(basis: &Basis, name: &str, book: &dyn RuleBook) -> Option<(&'static str, &'static str)> {
    let system = system_of_board(basis, name)?;
    let of_three_wires = phases_of_board(basis, name) == 3 && System::read(system).three_wires;
    book.without_neutral(system)
        .or(of_three_wires.then_some(("its system counts three wires, and none of them is a neutral", "")))
}

/// The two conductors of a board of one phase are a line and the neutral: by what its system says, else by its voltage and that of what
/// feeds it, else as the book takes them. Never in an IT system, where a fault may stand in either.
#[must_use]
pub fn pair_is_to_neutral(basis: &Basis, name: &str, book: &dyn RuleBook) -> bool {
    to_neutral(basis, name, book, basis.boards.len())
}

fn to_neutral(basis: &Basis, name: &str, book: &dyn RuleBook, deep: usize) -> bool {
    let board = basis.board(name);
    let earthing = board.and_then(|board| board.earthing.as_deref()).or(basis.supply.earthing.as_deref());
    let unearthed = earthing.is_some_and(|earthing| earthing.trim().to_ascii_uppercase().starts_with("IT"));
    if unearthed || phases_of_board(basis, name) != 1 {
        return false;
    }
    let feed = feed(basis, name);
    let of_supply = || basis.supply.system.as_deref().filter(|_| matches!(feed, Feed::Supply) && basis.supply.phases == Some(1));
    if let Some(text) = board.and_then(|board| board.system.as_deref()).or_else(of_supply) {
        let system = System::read(text);
        if system.three_wires || system.neutral {
            return system.neutral;
        }
        if connection_has_neutral(text) == Some(false) && text.chars().any(|letter| letter.eq_ignore_ascii_case(&'l')) {
            return false;
        }
    }
    let Some(voltage) = basis.board_voltage(name) else { return false };
    let near = |other: f64| (voltage - other).abs() <= plausible("voltage-tolerance") * other;
    let half = |other: f64| voltage < load_figure("neutral-voltage-most") * other;
    match feed {
        Feed::Board(before) => {
            let line = basis.board_voltage(before);
            match (line, phases_of_board(basis, before)) {
                (Some(line), 1) if near(line) => deep > 0 && to_neutral(basis, before, book, deep - 1),
                (Some(line), 1) => half(line),
                (Some(line), _) => {
                    near(line / 3f64.sqrt()) || !near(line) && half(line) && book.one_phase_to_neutral(Volts(voltage))
                }
                (None, _) => book.one_phase_to_neutral(Volts(voltage)),
            }
        }
        Feed::Supply if basis.supply.phases == Some(1) => match basis.supply.voltage_v {
            Some(supply) if !near(supply) => half(supply),
            _ => book.one_phase_to_neutral(Volts(voltage)),
        },
        Feed::Supply => basis.supply.voltage_v.is_some_and(|line| near(line / 3f64.sqrt())),
        Feed::Transformer => book.one_phase_to_neutral(Volts(voltage)),
    }
}

#[cfg(test)]
mod tests;
