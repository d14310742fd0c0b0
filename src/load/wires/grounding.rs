//! Reads how the words of a system say that it is grounded: `480Y/277 4W solidly grounded`, `480 V 3W, grounded through NGR`.
//!
//! Words count whole, and a denial counts for what stands behind it, up to the next comma. Where words point two ways, the way that is
//! not solid counts: on it one phase to ground puts the whole line voltage across a pole.

use super::{DENIALS, wires, words};

/// How a system is grounded.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Grounding {
    /// Its neutral, directly.
    Solid,
    /// Its neutral, through a resistor or a reactor.
    Impedance,
    /// One of its phases.
    Corner,
    /// Not at all.
    Ungrounded,
    /// Not solidly, and more is not said.
    NotSolid,
    /// A delta, of which nothing else is said.
    Delta,
}

impl Grounding {
    /// Its name in tables.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Solid => "solid",
            Self::Impedance => "impedance",
            Self::Corner => "corner",
            Self::Ungrounded => "ungrounded",
            Self::NotSolid => "not-solid",
            Self::Delta => "delta",
        }
    }
}

/// Words of a neutral that is grounded through an impedance.
pub(super) const IMPEDANCE: &[&str] = &[
    "resistance",
    "resistor",
    "resistors",
    "impedance",
    "impedances",
    "reactance",
    "reactor",
    "compensated",
    "ngr",
    "ner",
    "ngt",
    "hrg",
    "lrg",
    "hrgs",
    "lrgs",
    "hirg",
    "hrge",
];

/// Words of a system of which no point is grounded.
pub(super) const UNGROUNDED: &[&str] =
    &["ungrounded", "unearthed", "isolated", "insulated", "floating", "nongrounded", "nonearthed"];

/// Words of a direct connection to ground.
const SOLID: &[&str] = &["solid", "solidly", "directly", "effectively"];

const GROUNDED: &[&str] = &["grounded", "earthed", "grounding", "earthing"];

/// Words behind the two letters by which IEC 60364 calls a system of which no point is earthed.
const SYSTEM: &[&str] = &["system", "network", "supply", "earthing"];

/// Grounding that the words of a system state; none where they do not tell. Four wires are a neutral that loads use, which is grounded
/// solidly (NFPA 70, 250.20(B), 250.36), unless something else is said.
#[must_use]
pub fn grounding(text: &str) -> Option<Grounding> {
    let all: Vec<Phrase> = text.split([',', ';', '(', ')']).map(Phrase::read).collect();
    let any = |asks: fn(&Phrase) -> bool| all.iter().any(asks);
    let four_wires = wires(&words(text)).is_some_and(|count| count >= 4);
    if any(Phrase::is_ungrounded) {
        Some(Grounding::Ungrounded)
    } else if any(|phrase| phrase.says(IMPEDANCE)) {
        Some(Grounding::Impedance)
    } else if any(Phrase::denies_solid) {
        Some(Grounding::NotSolid)
    } else if any(|phrase| phrase.says(&["corner"])) {
        Some(Grounding::Corner)
    } else if four_wires || any(|phrase| phrase.says(SOLID)) {
        Some(Grounding::Solid)
    } else {
        any(|phrase| phrase.says(&["delta", "δ"])).then_some(Grounding::Delta)
    }
}

/// Words between two commas, and where a denial among them begins.
struct Phrase {
    words: Vec<String>,
    denied_from: usize,
}

impl Phrase {
    fn read(text: &str) -> Self {
        let words: Vec<String> = words(text).iter().map(|word| bare(word).to_owned()).collect();
        let denied_from = words.iter().position(|word| is_denial(word)).unwrap_or(words.len());
        Self { words, denied_from }
    }

    /// One of the words stands there undenied.
    fn says(&self, list: &[&str]) -> bool {
        self.words[..self.denied_from].iter().any(|word| list.contains(&word.as_str()))
    }

    fn denies(&self, list: &[&str]) -> bool {
        self.words[self.denied_from..].iter().any(|word| list.contains(&word.as_str()))
    }

    /// `ungrounded`, `un-grounded`, `not grounded`, `neutral isolated`, `IT system`.
    fn is_ungrounded(&self) -> bool {
        let it = self.words.windows(2).any(|pair| pair[0] == "it" && SYSTEM.contains(&pair[1].as_str()));
        let other = self.denies(SOLID) || self.denies(IMPEDANCE) || self.denies(&["corner"]);
        self.says(UNGROUNDED) || it || !other && self.denies(GROUNDED) || matches!(&self.words[..], [only] if only == "it")
    }

    /// `not solidly grounded`, `solidly grounded: no`.
    fn denies_solid(&self) -> bool {
        self.denied_from < self.words.len() && self.words.iter().any(|word| SOLID.contains(&word.as_str()))
    }
}

fn is_denial(word: &str) -> bool {
    word == "un" || DENIALS.contains(&word)
}

/// A word without the figure that is written before it: `480delta`.
fn bare(word: &str) -> &str {
    let letters = word.trim_start_matches(|letter: char| letter.is_ascii_digit());
    if letters.len() > 1 || letters == "δ" { letters } else { word }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What each text says to who reads the whole of it. NFPA 70, 250.20(B): a system whose neutral loads use is grounded; 250.36: not
    /// through an impedance.
    #[rstest::rstest]
    #[case("480Y/277 4W solidly grounded", Some(Grounding::Solid))]
    #[case("480Y/277 4W", Some(Grounding::Solid))]
    #[case("480Y/277 4 wire, neutral directly earthed", Some(Grounding::Solid))]
    #[case("480Y/277 solidly grounded, no NGR", Some(Grounding::Solid))]
    #[case("480Y/277 solidly grounded (not resistance grounded)", Some(Grounding::Solid))]
    #[case("480Y/277 4W, grounded through NGR", Some(Grounding::Impedance))]
    #[case("480Y/277 4W reactance grounded", Some(Grounding::Impedance))]
    #[case("480Y/277 4W high-resistance grounded", Some(Grounding::Impedance))]
    #[case("480Y/277 HRG", Some(Grounding::Impedance))]
    #[case("480Y/277 4W neutral grounding resistor", Some(Grounding::Impedance))]
    #[case("480Y/277, compensated", Some(Grounding::Impedance))]
    #[case("480Y/277 4W, neutral isolated", Some(Grounding::Ungrounded))]
    #[case("480Y/277 4W insulated neutral", Some(Grounding::Ungrounded))]
    #[case("480 V unearthed", Some(Grounding::Ungrounded))]
    #[case("480 V 3W un-grounded", Some(Grounding::Ungrounded))]
    #[case("480 V 3W not grounded", Some(Grounding::Ungrounded))]
    #[case("480 V, neutral without grounding", Some(Grounding::Ungrounded))]
    #[case("480 V IT system", Some(Grounding::Ungrounded))]
    #[case("480Y/277 not solidly grounded", Some(Grounding::NotSolid))]
    #[case("480Y/277 4W solidly grounded: no", Some(Grounding::NotSolid))]
    #[case("480 V delta, corner-grounded", Some(Grounding::Corner))]
    #[case("480 delta", Some(Grounding::Delta))]
    #[case("480Y/277 3W", None)]
    #[case("480Y/277", None)]
    #[case("", None)]
    fn the_words_of_a_system_say_how_it_is_grounded(#[case] text: &str, #[case] expected: Option<Grounding>) {
        assert_eq!(grounding(text), expected, "{text}");
    }
}
