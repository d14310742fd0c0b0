//! The duty of a motor as its nameplate or schedule writes it, read in one place for sizing, rule books and the verifier.

/// Words of the duties of IEC 60034-1, 4.2, and of the rows of NFPA 70, Table 430.22(E), with the number of the first duty that each stands
/// for. Infrequent running is no duty of a motor: it may last.
const WORDS: &[(&str, u8)] = &[("continu", 1), ("infrequent", 1), ("short", 2), ("intermit", 3), ("periodic", 6), ("varying", 9)];

/// What people write for continuous duty beside its word: abbreviations, other languages, round the clock, and the words of another
/// question (whether a machine runs or stands by), which say nothing of its duty.
const LASTING: &[&str] = &[
    "c",
    "cont",
    "cts",
    "24/7",
    "24x7",
    "24h",
    "24 h",
    "24 hours",
    "24h/day",
    "permanent",
    "d",
    "duty",
    "standby",
    "stand-by",
    "normal",
    "always",
    "running",
    "run",
    "working",
    "main",
    "n/a",
    "-",
];

/// Number of a duty, 1 to 10, by its sign or by a word; continuous where nothing is written, none where the text is neither.
#[must_use]
pub fn number(text: &str) -> Option<u8> {
    let lower = text.trim().trim_end_matches('.').to_lowercase();
    let lasting =
        || lower.is_empty() || LASTING.contains(&lower.as_str()) || lower.starts_with("dauer") || lower.starts_with("cont.");
    // `INT`, `INT. 30 min`: the word of nameplates and American schedules.
    let short = || lower.split([' ', ',', '.', ';']).next().is_some_and(|first| matches!(first, "int" | "interm")).then_some(3);
    // A time rating alone is that of a motor for short-time duty: its row of the tables asks for the most.
    let rated = || lower.starts_with(|first: char| first.is_ascii_digit()).then(|| minutes(&lower)).flatten().map(|_| 2);
    let by_word = || WORDS.iter().find(|(word, _)| lower.starts_with(word)).map(|(_, number)| *number);
    sign(&lower).or_else(by_word).or_else(short).or_else(rated).or_else(|| lasting().then_some(1))
}

/// The number behind the sign of a duty: `s3`, `s 3`, `s-3`, at the beginning or behind `duty` or `type`.
fn sign(lower: &str) -> Option<u8> {
    let bare = ["duty", "type"].iter().fold(lower, |text, word| text.strip_prefix(word).unwrap_or(text).trim_start());
    let behind = bare.strip_prefix('s')?.trim_start_matches([' ', '-']);
    let digits: String = behind.chars().take_while(char::is_ascii_digit).collect();
    digits.parse().ok().filter(|number| (1..=10).contains(number))
}

/// Minutes that a duty states, as in `S2 30 min` or `intermittent, 15 min`.
#[must_use]
pub fn minutes(text: &str) -> Option<f64> {
    last_figure(text.to_lowercase().split_once("min")?.0).filter(|minutes| *minutes > 0.0)
}

/// The figure at the end of a text, with a decimal point or comma.
#[must_use]
pub fn last_figure(text: &str) -> Option<f64> {
    let text = text.trim_end();
    let start = text
        .rfind(|letter: char| !(letter.is_ascii_digit() || matches!(letter, '.' | ',')))
        .map_or(0, |at| at + text[at..].chars().next().map_or(1, char::len_utf8));
    text.get(start..)?.trim_start_matches(['.', ',']).replace(',', ".").parse().ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// IEC 60034-1, 4.2: S1 continuous, S2 short-time, S3 to S5 intermittent, S6 to S8 continuous-operation periodic, S9 and S10 varying;
    /// the words are those of NFPA 70, Table 430.22(E).
    #[test]
    fn a_duty_is_read_by_its_sign_or_its_word() {
        let known = [("", 1), ("S1", 1), ("S3 40%", 3), ("s10", 10), ("Short-time", 2), ("periodic 30 min", 6), ("varying", 9)];
        for (text, expected) in known.into_iter().chain([("infrequent", 1), ("continuous", 1), ("intermittent, 15 min", 3)]) {
            assert_eq!(number(text), Some(expected), "{text}");
        }
        for text in [
            "Cont.",
            "CONT",
            "C",
            "24/7",
            "24 h",
            "S 1",
            "S-1",
            "Duty S1",
            "Type S1",
            "Dauerbetrieb",
            "continu",
            "continuo",
            "standby",
        ] {
            assert_eq!(number(text), Some(1), "{text}");
        }
        for (text, expected) in [("S 3 40 %", 3), ("Duty S4", 4), ("duty type S2 30 min", 2), ("Intermittent", 3)] {
            assert_eq!(number(text), Some(expected), "{text}");
        }
        for (text, expected) in [("INT", 3), ("INT. 30 min", 3), ("30 min", 2), ("15 MIN", 2), ("30 & 60 min", 2)] {
            assert_eq!(number(text), Some(expected), "{text}");
        }
        assert!(["S11", "S0", "heavy", "star", "crane", "S"].iter().all(|text| number(text).is_none()));
    }

    #[test]
    fn figures_have_a_point_or_a_comma() {
        for (text, expected) in
            [("S2 7.5 ", 7.5), ("S2 7,5", 7.5), ("S2, 30", 30.0), ("intermittent,15", 15.0), ("S4 37,5 ", 37.5)]
        {
            let found = last_figure(text);
            assert!(found.is_some_and(|found| (found - expected).abs() < 1e-9), "{text}: {found:?}");
        }
        assert_eq!(last_figure("minutes"), None);
    }
}
