//! What the heading of a column means. Canonical names only; other wordings of the trade find their place here.

use std::collections::HashMap;
use std::sync::LazyLock;

use crate::finding::nearest;
use crate::load::{FIELDS, Field};

/// Fields by the letters and digits of their names; synonyms are further entries.
static MEANINGS: LazyLock<HashMap<String, Field>> =
    LazyLock::new(|| FIELDS.iter().map(|spec| (letters(spec.name), spec.field)).collect());

/// The field that a heading names; case, spaces, hyphens and underscores make no difference.
#[must_use]
pub(super) fn field(heading: &str) -> Option<Field> {
    if heading.len() > 64 {
        return None;
    }
    MEANINGS.get(&letters(heading)).copied()
}

/// The canonical name that a misspelt heading may mean.
#[must_use]
pub(super) fn suggestion(heading: &str) -> Option<&'static str> {
    nearest(&heading.trim().replace([' ', '-'], "_"), FIELDS.iter().map(|spec| spec.name))
}

fn letters(text: &str) -> String {
    let separator = |c: char| c == '_' || c == '-' || c == '\u{feff}' || c.is_whitespace();
    text.chars().filter(|&c| !separator(c)).map(|c| c.to_ascii_lowercase()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[rstest::rstest]
    #[case::canonical("rated_power_kw", Some(Field::RatedPowerKw))]
    #[case::spaces_and_case(" Rated Power kW ", Some(Field::RatedPowerKw))]
    #[case::hyphens("Full-load current-A", Some(Field::FullLoadCurrentA))]
    #[case::unknown("Remarks of the sender", None)]
    #[case::nothing("", None)]
    fn meaning(#[case] heading: &str, #[case] expected: Option<Field>) {
        assert_eq!(field(heading), expected);
    }

    #[test]
    fn a_misspelt_heading_is_recognised_but_not_read() {
        assert_eq!(field("voltag_v"), None);
        assert_eq!(suggestion("voltag_v"), Some("voltage_v"));
    }
}
