//! Reads how the words of a system say that it is grounded: `480Y/277 4W solidly grounded`, `480 V 3W, grounded through NGR`.
//!
//! Words count whole, and a denial counts for what stands behind it, up to the next thing or the next comma. Where words point two ways,
//! the way that is not solid counts: on it one phase to ground puts the whole line voltage across a pole.

use std::sync::LazyLock;

use super::{DENIALS, NEUTRAL, Word, read, wires, words};

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

/// Words and what they say, of the table beside this file.
static WORDS: LazyLock<Vec<(&str, &str)>> = LazyLock::new(|| {
    let lines = include_str!("grounding-words.csv").lines().filter(|line| !line.starts_with('#')).skip(1);
    lines.filter_map(|line| line.split_once(',')).collect()
});

fn says(word: &str, what: &str) -> bool {
    WORDS.contains(&(word, what))
}

/// Grounding that the words of a system state; none where they do not tell. Four wires, and three of one phase of 120 V to their middle,
/// have a neutral that is grounded solidly (NFPA 70, 250.20(B), 250.26, 250.36), unless something else is said.
#[must_use]
pub fn grounding(text: &str) -> Option<Grounding> {
    let all = phrases(text);
    let any = |asks: fn(&Phrase) -> bool| all.iter().any(asks);
    let four_wires = wires(&words(text)).is_some_and(|count| count >= 4) || has_middle_to_ground(&words(text));
    if any(Phrase::is_ungrounded) {
        Some(Grounding::Ungrounded)
    } else if any(Phrase::has_impedance) {
        Some(Grounding::Impedance)
    } else if any(|phrase| phrase.solid() == Some(false)) {
        Some(Grounding::NotSolid)
    } else if any(|phrase| phrase.names(&["corner"])) {
        Some(Grounding::Corner)
    } else if four_wires || any(|phrase| phrase.solid() == Some(true)) {
        Some(Grounding::Solid)
    } else {
        any(|phrase| phrase.names(&["delta", "δ"])).then_some(Grounding::Delta)
    }
}

/// `120/240 V 1 PH 3 W`: two legs and the middle between them, which stands at most 150 V from either and so is grounded.
fn has_middle_to_ground(words: &[String]) -> bool {
    let figure = |word: &String| word.trim_end_matches(|letter: char| !letter.is_ascii_digit()).parse().ok();
    let one_phase = words.windows(2).any(|pair| matches!(&*pair[0], "1" | "one" | "single") && is_phase(&pair[1]))
        || words.iter().any(|word| word.strip_prefix('1').is_some_and(is_phase));
    one_phase && wires(words) == Some(3) && words.iter().filter_map(figure).any(|volts: u32| (100..=150).contains(&volts))
}

fn is_phase(word: &str) -> bool {
    matches!(word, "ph" | "phase" | "ø" | "p")
}

/// The neutral is grounded through something, or isolated: it serves no load unless four wires are counted.
pub(super) fn is_kept_from_loads(text: &str) -> bool {
    phrases(text).iter().any(|phrase| phrase.isolates() || phrase.has("ungrounded") || phrase.has_impedance())
}

/// The phrases of a text. A denial that stands alone belongs to what it follows: `solidly grounded (no)`.
fn phrases(text: &str) -> Vec<Phrase> {
    let text = text.replace(". ", ", ");
    let mut all: Vec<Phrase> = Vec::new();
    for phrase in text.split([',', ';', '(', ')']).map(Phrase::read) {
        match all.last_mut() {
            Some(before) if phrase.words.iter().all(|word| is_denial(word)) => before.words.extend(phrase.words),
            _ => all.push(phrase),
        }
    }
    all
}

/// Words between two commas.
struct Phrase {
    words: Vec<String>,
}

impl Phrase {
    fn read(text: &str) -> Self {
        Self { words: words(text).iter().map(|word| bare(word).to_owned()).collect() }
    }

    /// Places of words that say something.
    fn places(&self, what: &str) -> impl Iterator<Item = usize> {
        (0..self.words.len()).filter(move |index| says(&self.words[*index], what))
    }

    fn has(&self, what: &str) -> bool {
        self.places(what).next().is_some()
    }

    /// Places of denials.
    fn denials(&self) -> impl Iterator<Item = usize> {
        (0..self.words.len()).filter(|index| is_denial(&self.words[*index]))
    }

    /// A denial before a place reaches it: nothing stands between that takes it.
    fn is_denied(&self, place: usize, taken: impl Fn(&str) -> bool) -> bool {
        self.denials().any(|denial| denial < place && !self.words[denial + 1..place].iter().any(|word| taken(word)))
    }

    /// One of the words stands there undenied.
    fn names(&self, list: &[&str]) -> bool {
        let of_list = |index: &usize| list.contains(&self.words[*index].as_str());
        (0..self.words.len()).filter(of_list).any(|index| !self.is_denied(index, is_thing))
    }

    /// The neutral is isolated, not a thing beside it: `isolated ground bus`, `ground bar insulated from enclosure`.
    fn isolates(&self) -> bool {
        let neutral = self.words.iter().any(|word| NEUTRAL.contains(&word.as_str()));
        let thing = |index: Option<usize>| index.and_then(|index| self.words.get(index)).is_some_and(|word| is_thing(word));
        let of_system = |index: &usize| !thing(Some(index + 1)) && (neutral || !thing(index.checked_sub(1)));
        self.places("isolating").filter(of_system).any(|index| !self.is_denied(index, is_thing))
    }

    /// Words of an impedance undenied, or the neutral grounded through something that is not said to be direct: `grounded via 400 A`. What
    /// stands behind an electrode that nothing leads to is the resistance of the earth; `through a resistor to the electrode` is none.
    /// What a current in amperes rates on the way to an electrode is an impedance: `via 400 A to ground rod`.
    fn has_impedance(&self) -> bool {
        let taken = |word: &str| is_thing(word) || NEUTRAL.contains(&word) || says(word, "solid");
        let of_earth = |index: usize| !self.has("through") && self.places("electrode").any(|electrode| electrode < index);
        let named = self.places("impedance").any(|index| !of_earth(index) && !self.is_denied(index, taken));
        let leads = |index: usize| self.places("through").any(|through| through > index);
        let through = self.places("grounded").any(|index| leads(index) && !self.is_denied(index, taken));
        let excused = |what: &&str| self.has(what) && (*what != "electrode" || !self.leads_amperes());
        named || through && !["solid", "direct", "electrode"].iter().any(excused)
    }

    /// A current in amperes stands behind the word that leads to it.
    fn leads_amperes(&self) -> bool {
        let unit = |word: &str| matches!(word, "a" | "amp" | "amps" | "ampere" | "amperes");
        let figure = |word: &str| !word.is_empty() && word.bytes().all(|byte| byte.is_ascii_digit());
        let behind = self.places("through").next().map_or(&[][..], |through| &self.words[through..]);
        behind.windows(2).any(|pair| figure(&pair[0]) && unit(&pair[1]))
            || behind.iter().any(|word| word.strip_suffix('a').is_some_and(figure) || unit(word) && word.len() > 1)
    }

    /// `ungrounded`, `un-grounded`, `not grounded`, `grounded: no`, `neutral isolated`, `IT system`.
    fn is_ungrounded(&self) -> bool {
        let it = self.words.windows(2).any(|pair| pair[0] == "it" && says(&pair[1], "system"));
        let alone = matches!(&self.words[..], [only] if only == "it");
        let said = self.places("ungrounded").any(|index| !self.is_denied(index, is_thing));
        said || self.isolates() || it || alone || self.denies_grounding()
    }

    /// Grounding is denied, neither a way of it nor a thing: `no grounding resistor`, `no grounding conductor`.
    fn denies_grounding(&self) -> bool {
        if self.has("solid") || self.names(&["corner"]) || self.denials().any(|denial| self.has_way_behind(denial)) {
            return false;
        }
        let of_thing = |index: usize| self.words.get(index + 1).is_some_and(|word| is_thing(word));
        let last_denies = self.words.last().is_some_and(|word| is_denial(word)) && !self.has("impedance");
        self.places("grounded").any(|index| last_denies || !of_thing(index) && self.is_denied(index, is_thing))
    }

    fn has_way_behind(&self, denial: usize) -> bool {
        self.words[denial..].iter().any(|word| says(word, "impedance") || word == "corner")
    }

    /// What it says of a direct connection to ground, if it does: `not solidly grounded`, `solidly grounded: no` deny it; `solidly
    /// grounded, no neutral loads` denies something else. A denial of which that is not sure counts.
    fn solid(&self) -> Option<bool> {
        let place = self.places("solid").next()?;
        let way = |word: &str| says(word, "impedance") || says(word, "ungrounded") || says(word, "isolating");
        let other = |word: &str| is_thing(word) || way(word);
        let behind = |word: &String| other(word) || NEUTRAL.contains(&word.as_str()) || matches!(read(word), Word::Wires(_));
        let denied_behind = self.denials().any(|denial| denial > place && !self.words[denial + 1..].iter().any(behind));
        Some(!denied_behind && !self.is_denied(place, other))
    }
}

fn is_thing(word: &str) -> bool {
    says(word, "thing")
}

fn is_denial(word: &str) -> bool {
    word == "un" || DENIALS.contains(&word)
}

/// A word without the figure that is written before it: `480delta`, `5ohm`.
fn bare(word: &str) -> &str {
    let letters = word.trim_start_matches(|letter: char| letter.is_ascii_digit());
    if letters.len() > 1 || letters == "δ" || letters == "ω" { letters } else { word }
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
    // NFPA 70, 250.96(B), 250.146(D): an isolated ground is a matter of equipment, not of the system.
    #[case("480Y/277 4W solidly grounded with isolated ground bus", Some(Grounding::Solid))]
    #[case("480Y/277 4W, isolated ground bus", Some(Grounding::Solid))]
    #[case("480Y/277 4W, insulated equipment ground", Some(Grounding::Solid))]
    #[case("480Y/277 solidly grounded, ground bar insulated from enclosure", Some(Grounding::Solid))]
    #[case("480Y/277 3W, isolated ground bus", None)]
    #[case("480 V 3W isolated from ground", Some(Grounding::Ungrounded))]
    #[case("480Y/277 4W, neutral bus isolated", Some(Grounding::Ungrounded))]
    // What a denial denies.
    #[case("480Y/277 4W solidly grounded with no ground fault relay", Some(Grounding::Solid))]
    #[case("480Y/277 solidly grounded no neutral loads", Some(Grounding::Solid))]
    #[case("480Y/277 no HRG solidly grounded", Some(Grounding::Solid))]
    #[case("480Y/277 solidly grounded. No neutral loads.", Some(Grounding::Solid))]
    #[case("480Y/277 4W no equipment grounding", Some(Grounding::Solid))]
    #[case("480Y/277 4W no grounding resistor", Some(Grounding::Solid))]
    #[case("480Y/277 4W solidly grounded (no)", Some(Grounding::NotSolid))]
    #[case("480Y/277 solidly grounded, no", Some(Grounding::NotSolid))]
    #[case("480Y/277 solidly grounded not confirmed", Some(Grounding::NotSolid))]
    #[case("480Y/277 no neutral solidly grounded", Some(Grounding::NotSolid))]
    #[case("480Y/277 4W no neutral loads resistance grounded", Some(Grounding::Impedance))]
    #[case("480Y/277 4W neutral grounded: no", Some(Grounding::Ungrounded))]
    // NFPA 70, 250.36: what stands between neutral and ground is an impedance, however it is named.
    #[case("480Y/277 4W grounded through 5 ohm", Some(Grounding::Impedance))]
    #[case("480Y/277 4W grounded via 5Ω", Some(Grounding::Impedance))]
    #[case("480Y/277 4W, neutral earthed via 400 A", Some(Grounding::Impedance))]
    #[case("480Y/277 4W neutral grounded through resistor to ground electrode", Some(Grounding::Impedance))]
    #[case("480Y/277 4W grounded via 5 ohm to ground rod", Some(Grounding::Impedance))]
    #[case("480Y/277 4W grounded via 400 A to ground rod", Some(Grounding::Impedance))]
    #[case("480Y/277 4W, neutral grounded through 10A to electrode", Some(Grounding::Impedance))]
    #[case("480Y/277 4W grounded via 3/0 AWG to ground rod", Some(Grounding::Solid))]
    #[case("480Y/277 4W ground rod 5 ohm", Some(Grounding::Solid))]
    // NFPA 70, 250.20(B)(1), 250.26(2): a middle that stands at most 150 V from the legs is grounded.
    #[case("120/240V 1PH 3W", Some(Grounding::Solid))]
    #[case("240/120 V single phase, 3 wire", Some(Grounding::Solid))]
    #[case("120/240V 1-phase 3W ungrounded", Some(Grounding::Ungrounded))]
    #[case("240/480 V 1PH 3W", None)]
    #[case("120/240V 1PH 2W", None)]
    #[case("208Y/120 3PH 3W", None)]
    #[case("480Y/277 4W grounded through main bonding jumper", Some(Grounding::Solid))]
    #[case("480Y/277 4W solidly grounded, electrode resistance 5 ohm", Some(Grounding::Solid))]
    #[case("480Y/277 3W", None)]
    #[case("480Y/277", None)]
    #[case("", None)]
    fn the_words_of_a_system_say_how_it_is_grounded(#[case] text: &str, #[case] expected: Option<Grounding>) {
        assert_eq!(grounding(text), expected, "{text}");
    }
}
