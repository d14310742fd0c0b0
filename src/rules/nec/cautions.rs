//! Cautions that a submittal prints, by what they apply to.

pub use crate::rules::cautions::{Applies, CautionRow};

table! {
    /// The cautions.
    CAUTIONS, CAUTION_ROWS: CautionRow, "nec-cautions"
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
        crate::rules::cautions::tests::hold(all());
        let iec = crate::rules::iec::cautions::all();
        for row in all().iter().filter(|row| row.applies != Applies::Always) {
            assert!(iec.iter().any(|iec| iec.applies == row.applies), "{}: nothing decides when it applies", row.id);
        }
        assert!(all().iter().any(|row| row.text.contains("authority having jurisdiction")));
    }
}
