//! The duty of a motor as its nameplate or schedule writes it, read in one place for sizing, rule books and the verifier.

/// Words of the duties of IEC 60034-1, 4.2, and of the rows of NFPA 70, Table 430.22(E), with the number of the first duty that each stands
/// for. Infrequent running is no duty of a motor: it may last.
const WORDS: &[(&str, u8)] =
    &[("continuous", 1), ("infrequent", 1), ("short", 2), ("intermittent", 3), ("periodic", 6), ("varying", 9)];

/// Number of a duty, 1 to 10, by its sign or by a word; continuous where nothing is written, none where the text is neither.
#[must_use]
pub fn number(text: &str) -> Option<u8> {
    let lower = text.trim().to_lowercase();
    let digits: String = lower.strip_prefix('s').unwrap_or("").chars().take_while(char::is_ascii_digit).collect();
    match digits.parse() {
        Ok(number @ 1..=10) => Some(number),
        _ if lower.is_empty() => Some(1),
        _ => WORDS.iter().find(|(word, _)| lower.starts_with(word)).map(|(_, number)| *number),
    }
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

    /// IEC 60034-1, 4.2: S1 continuous, S2 short-time, S3 to S5 intermittent, S6 to S8 continuous-operation periodic, S9 and S10 varying; the
    /// words are those of NFPA 70, Table 430.22(E).
    #[test]
    fn a_duty_is_read_by_its_sign_or_its_word() {
        let known = [("", 1), ("S1", 1), ("S3 40%", 3), ("s10", 10), ("Short-time", 2), ("periodic 30 min", 6), ("varying", 9)];
        for (text, expected) in known.into_iter().chain([("infrequent", 1), ("continuous", 1), ("intermittent, 15 min", 3)]) {
            assert_eq!(number(text), Some(expected), "{text}");
        }
        assert!(["S11", "S0", "heavy", "24/7"].iter().all(|text| number(text).is_none()));
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
