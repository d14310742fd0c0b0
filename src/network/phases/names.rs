//! The names of phases: `L1`, `A`, `R`, `1-2`, `BC`, `L1/L2`, `red`. A text is read as a whole, in one alphabet, or not at all; two
//! alphabets in one text, such as `L1 (R)`, must name the same phases.

/// The order of phase letters that a text follows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Alphabet {
    /// L1, L2, L3 or 1, 2, 3.
    Numbers,
    /// A, B, C.
    Letters,
    /// R, S, T.
    Older,
    /// Red, yellow, blue.
    Colours,
    /// U, V, W: ends of windings.
    Ends,
}

use Alphabet::{Colours, Ends, Letters, Numbers, Older};

/// The letters of each, in the order of the phases. Common practice, no source.
const ALPHABETS: [(Alphabet, [char; 3]); 5] = [
    (Numbers, ['1', '2', '3']),
    (Letters, ['A', 'B', 'C']),
    (Older, ['R', 'S', 'T']),
    (Colours, ['R', 'Y', 'B']),
    (Ends, ['U', 'V', 'W']),
];

/// The place of the phase that B names.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Blue {
    /// Behind A.
    Second,
    /// Behind red and yellow.
    Third,
}

/// A text that names phases, in each alphabet that has all its letters.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Read(Vec<(Alphabet, Vec<usize>)>);

impl Read {
    /// Places of the phases from zero, ascending; none where B may be either of two.
    pub(super) fn phases(&self, blue: Option<Blue>) -> Option<Vec<usize>> {
        let in_alphabet = |wanted: Alphabet| self.0.iter().find(|(alphabet, _)| *alphabet == wanted).map(|(_, named)| named);
        match (in_alphabet(Letters), in_alphabet(Colours)) {
            (Some(letters), Some(colours)) if letters != colours => match blue? {
                Blue::Second => Some(letters.clone()),
                Blue::Third => Some(colours.clone()),
            },
            _ => self.0.first().map(|(_, named)| named.clone()),
        }
    }

    pub(super) fn is_only_in(&self, alphabet: Alphabet) -> bool {
        matches!(self.0.as_slice(), [(only, _)] if *only == alphabet)
    }

    /// R or Y stand in it: A, B, C have neither. R alone may be the first of R, S, T too.
    pub(super) fn is_red_or_yellow(&self) -> bool {
        let has = |wanted: Alphabet| self.0.iter().any(|(alphabet, _)| *alphabet == wanted);
        has(Colours) && !has(Letters)
    }
}

/// Reads a text that names one phase or several and nothing else. A number before the word phase is a count and names none.
pub(super) fn read(text: &str) -> Option<Read> {
    let upper = text.to_uppercase();
    let tokens: Vec<&str> = upper.split(|c: char| !c.is_alphanumeric()).filter(|token| !token.is_empty()).collect();
    let is_phase = |token: &&str| matches!(*token, "PHASE" | "PHASES" | "PH");
    let counted = |pair: &[&str]| pair[0].bytes().all(|byte| byte.is_ascii_digit()) && is_phase(&pair[1]);
    if tokens.windows(2).any(counted) {
        return None;
    }
    let named: Vec<&str> = tokens.into_iter().filter(|token| !is_phase(token) && !matches!(*token, "LINE" | "N")).collect();
    let named = joined(&named);
    let in_alphabet = |(alphabet, letters): (Alphabet, [char; 3])| Some((alphabet, places(&named, alphabet, letters)?));
    let read: Vec<(Alphabet, Vec<usize>)> = ALPHABETS.into_iter().filter_map(in_alphabet).collect();
    if read.is_empty() {
        return in_two_alphabets(&named).map(|read| Read(vec![read]));
    }
    Some(Read(read))
}

/// Tokens with an L that stands alone put before the next one: `L 1` is L1.
fn joined(tokens: &[&str]) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for token in tokens {
        match all.last_mut() {
            Some(last) if last == "L" => last.push_str(token),
            _ => all.push((*token).to_owned()),
        }
    }
    all
}

/// `L1 (R)`, `R (L1)`, `L1 red`: numbers, and the same phases once more in another alphabet. Which it is doesn't matter where only one
/// fits.
fn in_two_alphabets(tokens: &[String]) -> Option<(Alphabet, Vec<usize>)> {
    let mut parts = (1..tokens.len()).map(|at| tokens.split_at(at)).flat_map(|(front, back)| [(front, back), (back, front)]);
    let (_, numbered) = ALPHABETS[0];
    let same = |(numbers, others): (&[String], &[String])| {
        // A bare figure may be a number of something, as of `1 A`.
        let named = numbers.iter().all(|token| token.starts_with('L')).then(|| places(numbers, Numbers, numbered))??;
        let again = |(alphabet, letters): &(Alphabet, [char; 3])| places(others, *alphabet, *letters).as_ref() == Some(&named);
        ALPHABETS[1..].iter().any(again).then_some((Numbers, named))
    };
    parts.find_map(same)
}

/// Places of the phases that tokens name in an alphabet; none where one is no name in it, or stands twice.
fn places(tokens: &[String], alphabet: Alphabet, letters: [char; 3]) -> Option<Vec<usize>> {
    let mut named = [false; 3];
    for token in tokens {
        let bare = match (alphabet, token.as_str()) {
            (Colours, "RED") => "R",
            (Colours, "YELLOW") => "Y",
            (Colours, "BLUE") => "B",
            _ => token.strip_suffix('N').unwrap_or(token.as_str()),
        };
        let numbered = if alphabet == Numbers { bare.replace('L', "") } else { bare.to_owned() };
        if numbered.is_empty() {
            return None;
        }
        for letter in numbered.chars() {
            let place = letters.iter().position(|known| *known == letter)?;
            if std::mem::replace(&mut named[place], true) {
                return None;
            }
        }
    }
    let places: Vec<usize> = (0..3).filter(|place| named[*place]).collect();
    (!places.is_empty()).then_some(places)
}
