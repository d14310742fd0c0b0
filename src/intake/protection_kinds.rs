//! Kinds of protective device as schedules spell them. What a word means may depend on the book: a circuit breaker before a motor is one of
//! inverse time under one, a moulded-case one under the other.

use std::collections::HashMap;
use std::sync::LazyLock;

use serde::Deserialize;

use super::{fold, tables};
use crate::load::ProtectionKind;

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    spelling: String,
    iec: String,
    nec: String,
}

const TABLE: &str = include_str!("tables/protection-kinds.csv");

/// The kind under IEC and under NFPA 70 of each spelling.
static KINDS: LazyLock<HashMap<String, [Option<ProtectionKind>; 2]>> = LazyLock::new(|| {
    let kinds = |row: Row| (fold::key(&row.spelling), [ProtectionKind::from_word(&row.iec), ProtectionKind::from_word(&row.nec)]);
    tables::rows::<Row>(TABLE).into_iter().map(kinds).collect()
});

/// The canonical kind of a word, or what a sender's word means; `iec` where the kinds of the book are those of IEC standards.
#[must_use]
pub(crate) fn meant(word: &str, iec: bool) -> Option<ProtectionKind> {
    let spelled = || KINDS.get(&fold::key(word)).and_then(|kinds| kinds[usize::from(!iec)]);
    ProtectionKind::from_word(word).or_else(|| canonical(word)).or_else(spelled)
}

/// A canonical word with blanks for its hyphen.
fn canonical(word: &str) -> Option<ProtectionKind> {
    let key = fold::key(word);
    ProtectionKind::ALL.iter().find(|(_, name)| fold::key(name) == key).map(|(kind, _)| *kind)
}

/// Whether a text is the name of a kind under any book.
pub(super) fn is_one(text: &str) -> bool {
    meant(text, true).is_some() || meant(text, false).is_some()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_says_a_kind_of_its_book() {
        for row in tables::whole::<Row>(TABLE) {
            let [iec, nec] = KINDS[&fold::key(&row.spelling)];
            assert!(iec.is_some() || nec.is_some(), "{row:?}");
            assert_eq!((iec.map_or("", ProtectionKind::word), nec.map_or("", ProtectionKind::word)), (&*row.iec, &*row.nec));
            assert!(iec.is_none_or(ProtectionKind::is_iec) && !nec.is_some_and(ProtectionKind::is_iec), "{row:?}");
        }
    }
}
