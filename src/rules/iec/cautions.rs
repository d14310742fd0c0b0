//! Cautions that a submittal prints, by what they apply to.

pub use crate::rules::cautions::{Applies, CautionRow};

table! {
    /// The cautions.
    CAUTIONS, CAUTION_ROWS: CautionRow, "cautions"
}

/// All cautions, in the order in which they are printed.
#[must_use]
pub fn all() -> &'static [CautionRow] {
    &CAUTION_ROWS
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cautions_are_numbered_complete_and_plain() {
        let rows = all();
        crate::rules::cautions::tests::hold(rows);
        for used in 0..=Applies::LAST as usize {
            let applies = rows.iter().map(|row| row.applies as usize).any(|applies| applies == used);
            assert!(applies, "kind {used} has no caution");
        }
    }
}
