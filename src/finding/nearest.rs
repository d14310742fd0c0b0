//! The known word that a misspelt one most likely means, for cures that say "did you mean".

/// The nearest of `known` to `word`, if it is near enough that a slip of the hand explains the difference.
#[must_use]
pub fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let word: Vec<char> = word.trim().chars().take(64).flat_map(char::to_lowercase).collect();
    let allowed = (word.len() / 3).clamp(1, 3);
    let mut letters = Vec::new();
    known
        .into_iter()
        .filter_map(|other| {
            letters.clear();
            letters.extend(other.chars().flat_map(char::to_lowercase).take(word.len() + allowed + 1));
            let distance = distance(&word, &letters, allowed)?;
            (distance < other.chars().count()).then_some((distance, other))
        })
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, other)| other)
}

/// Number of characters to put in, take out or replace; none above what is allowed. Of two words of that distance no character moves
/// further, so only a band along the diagonal is looked at.
fn distance(a: &[char], b: &[char], allowed: usize) -> Option<usize> {
    if a.len().abs_diff(b.len()) > allowed {
        return None;
    }
    let beyond = allowed + 1;
    let mut row: Vec<usize> = (0..=b.len()).map(|column| column.min(beyond)).collect();
    for (i, x) in a.iter().enumerate() {
        let (from, to) = (i.saturating_sub(allowed), (i + beyond).min(b.len()));
        let mut diagonal = row[from];
        row[from] = if from == 0 { (i + 1).min(beyond) } else { beyond };
        let mut least = row[from];
        for j in from..to {
            let replaced = diagonal + usize::from(*x != b[j]);
            // A word above the band is further away than is allowed.
            diagonal = if j + 1 == i + beyond { beyond } else { row[j + 1] };
            row[j + 1] = replaced.min(row[j] + 1).min(diagonal + 1).min(beyond);
            least = least.min(row[j + 1]);
        }
        if least > allowed {
            return None;
        }
    }
    row.last().copied().filter(|distance| *distance <= allowed)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[rstest::rstest]
    #[case::one_letter_wrong("star-dalta", Some("star-delta"))]
    #[case::case_is_no_difference("DIRECT", Some("direct"))]
    #[case::nothing_near("hydraulic", None)]
    #[case::nothing_at_all("", None)]
    fn nearest_word(#[case] word: &str, #[case] expected: Option<&str>) {
        assert_eq!(nearest(word, ["direct", "star-delta", "drive"]), expected);
    }

    /// By the definition: the last character of either is put in, taken out or replaced.
    fn by_definition(a: &[char], b: &[char]) -> usize {
        match (a, b) {
            ([], rest) | (rest, []) => rest.len(),
            ([one @ .., x], [other @ .., y]) => {
                let replaced = by_definition(one, other) + usize::from(x != y);
                replaced.min(by_definition(one, b) + 1).min(by_definition(a, other) + 1)
            }
        }
    }

    proptest::proptest! {
        #[test]
        fn within_what_is_allowed_it_is_the_distance(a in "[ab]{0,7}", b in "[ab]{0,7}", allowed in 1usize..4) {
            let (a, b): (Vec<char>, Vec<char>) = (a.chars().collect(), b.chars().collect());
            let whole = by_definition(&a, &b);
            proptest::prop_assert_eq!(distance(&a, &b, allowed), (whole <= allowed).then_some(whole));
        }
    }
}
