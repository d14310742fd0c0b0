//! Words behind what a text names that deny it: `brake: none`, `thermistors not fitted`. The words are a table.

use super::tables;

tables::phrase_lists! { "tables/denial-words.csv":
    behind "behind", at_end "at-end", goes_on "goes-on", contact "contact",
}

fn is_end(words: &[String], at: usize) -> bool {
    words.get(at).is_none_or(String::is_empty)
}

/// Whether the words from a place on deny what ends there, be they set off by a dash or in brackets: only if nothing follows on them then.
pub(super) fn are_behind(words: &[String], end: usize) -> bool {
    let set_off = words.get(end).is_some_and(String::is_empty);
    let at = end + usize::from(set_off);
    denying(words, end, at).is_some_and(|length| !set_off || is_end(words, at + length))
}

/// How many words directly behind what ends at a place deny it.
pub(super) fn behind(words: &[String], end: usize) -> Option<usize> {
    denying(words, end, end)
}

/// How many words at a place deny what ends at another.
fn denying(words: &[String], end: usize, at: usize) -> Option<usize> {
    let denial = words.get(at..)?;
    let goes_on = |length: usize| denial.get(length).is_some_and(|next| LISTS.goes_on.are(std::slice::from_ref(next)));
    if let Some(length) = LISTS.behind.longest_at_start(denial) {
        return (!goes_on(length)).then_some(length);
    }
    // `thermal switch NO`: a contact that is open at rest, as likely as none.
    let of_contact = || {
        let named = end.checked_sub(1).and_then(|last| words.get(last));
        matches!(denial[0].as_str(), "no" | "na") && named.is_some_and(|named| LISTS.contact.are(std::slice::from_ref(named)))
    };
    LISTS.at_end.longest_at_start(denial).filter(|length| is_end(denial, *length) && !of_contact())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::intake::matters::Said;
    use crate::intake::mentions::words;

    #[test]
    fn every_row_of_the_table_is_read() {
        for row in tables::whole::<Said>(TABLE) {
            assert!(SAID.contains(&row.says.as_str()), "{row:?}");
            assert!(row.phrases.chars().all(|letter| letter.is_ascii_lowercase() || matches!(letter, ' ' | '|')), "{row:?}");
        }
    }

    // What a reader of remarks takes for a denial: practice, no source.
    #[rstest::rstest]
    #[case("brake: none", true)]
    #[case("brake none, IP55", true)]
    #[case("brake - none", true)]
    #[case("brake (not fitted)", true)]
    #[case("brake not required on this pump", true)]
    #[case("brake n/a", true)]
    #[case("brake no", true)]
    #[case("brake: no; heater: yes", true)]
    #[case("Brake required: no", true)]
    #[case("brake no. 3", false)]
    #[case("brake no trip", false)]
    #[case("brake not provided by us", false)]
    #[case("brake not required if braked otherwise", false)]
    #[case("brake, none of the pumps trips", false)]
    #[case("brake", false)]
    #[case("brake, no heater", false)]
    #[case("brake not released", false)]
    fn words_behind_deny(#[case] text: &str, #[case] denied: bool) {
        assert_eq!(are_behind(&words(text), 1), denied);
    }

    /// Contacts are open (NO) or closed (NC) at rest.
    #[test]
    fn a_contact_that_is_open_at_rest_is_there() {
        assert!(!are_behind(&words("thermal switch NO"), 2) && are_behind(&words("thermal switch none"), 2));
    }
}
