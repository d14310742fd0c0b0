//! The known word that a misspelt one most likely means, for cures that say "did you mean".

/// The nearest of `known` to `word`, if it is near enough that a slip of the hand explains the difference.
#[must_use]
pub fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let word: Vec<char> = word.trim().chars().take(64).flat_map(char::to_lowercase).collect();
    let allowed = (word.len() / 3).clamp(1, 3);
    known
        .into_iter()
        .map(|other| (distance(&word, &other.chars().flat_map(char::to_lowercase).collect::<Vec<_>>()), other))
        .filter(|(distance, other)| *distance <= allowed && *distance < other.chars().count())
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, other)| other)
}

/// Number of characters to put in, take out or replace.
fn distance(a: &[char], b: &[char]) -> usize {
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, x) in a.iter().enumerate() {
        let mut diagonal = row[0];
        row[0] = i + 1;
        for (j, y) in b.iter().enumerate() {
            let replaced = diagonal + usize::from(x != y);
            diagonal = row[j + 1];
            row[j + 1] = replaced.min(row[j] + 1).min(diagonal + 1);
        }
    }
    row[b.len()]
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
}
