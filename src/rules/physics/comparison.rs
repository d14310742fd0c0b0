//! Limits of what is worth telling of two revisions: figures of practice for margins that are eaten and for tags that moved along.

use crate::rules::table::Figure;

table! {
    /// Figures of comparisons.
    PRACTICE, PRACTICE_ROWS: Figure, "comparison-practice"
}

/// A figure by its name; undefined for a name that the table lacks, which no comparison meets. A test finds such a name.
#[must_use]
pub fn practice(name: &str) -> f64 {
    PRACTICE_ROWS.iter().find(|row| row.name == name).map_or(f64::NAN, |row| row.value)
}

/// A margin of a limit, in per cent of it, is eaten so far that little is left.
#[must_use]
pub fn is_eaten(before_pct: f64, now_pct: f64) -> bool {
    let falls_below_little = before_pct >= practice("little-margin") && now_pct < practice("little-margin");
    let is_halved = now_pct < before_pct / 2.0 && now_pct < practice("halved-margin");
    before_pct - now_pct >= practice("least-loss") && (falls_below_little || is_halved)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_have_figures() {
        let asked = [
            "little-margin",
            "halved-margin",
            "least-loss",
            "same-power-share",
            "same-length-share",
            "renumbered-rows",
            "renumbered-columns",
            "renumbered-rest",
        ];
        assert!(asked.iter().all(|name| practice(name).is_finite()) && practice("no such figure").is_nan());
    }

    // The limits are those of the table; what lies on either side of each is told or not by its words.
    #[rstest::rstest]
    #[case::falls_below_little(5.0, 3.9, true)]
    #[case::was_little_before(4.9, 3.0, false)]
    #[case::halved(14.0, 6.0, true)]
    #[case::not_quite_halved(14.0, 7.5, false)]
    #[case::halved_but_much_is_left(30.0, 12.0, false)]
    #[case::a_loss_too_small_to_be_told(5.2, 4.8, false)]
    #[case::crumbs(0.8, 0.1, false)]
    #[case::grows(3.0, 9.0, false)]
    fn a_margin_is_eaten(#[case] before: f64, #[case] now: f64, #[case] told: bool) {
        assert_eq!(is_eaten(before, now), told);
    }
}
