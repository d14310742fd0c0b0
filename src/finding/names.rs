//! Lists of names in words.

/// Names that a line holds.
const SHOWN: usize = 12;

/// The first dozen of a list, and how many more there are.
#[must_use]
pub fn named(names: &[impl AsRef<str>]) -> String {
    let shown = names.iter().take(SHOWN).map(AsRef::as_ref).collect::<Vec<_>>().join(", ");
    match names.len().saturating_sub(SHOWN) {
        0 => shown,
        more => format!("{shown} and {more} more"),
    }
}

#[cfg(test)]
mod tests {
    use super::named;

    #[test]
    fn a_long_list_ends_with_how_many_more_there_are() {
        let tags: Vec<String> = (1..=1000).map(|number| format!("P-{number}")).collect();
        assert_eq!(named(&tags), "P-1, P-2, P-3, P-4, P-5, P-6, P-7, P-8, P-9, P-10, P-11, P-12 and 988 more");
        assert_eq!(named(&tags[..12]), "P-1, P-2, P-3, P-4, P-5, P-6, P-7, P-8, P-9, P-10, P-11, P-12");
        assert_eq!(named(&["P-1"]), "P-1");
        assert_eq!(named(&Vec::<String>::new()), "");
    }
}
