//! Limits beyond which values of a row contradict each other. They raise findings and change no result.

use crate::rules::table::Figure;

table! {
    /// Limits beyond which values contradict each other.
    PLAUSIBILITY, PLAUSIBILITY_ROWS: Figure, "plausibility"
}

/// A limit by its name. One that the table lacks is not a number, which no value exceeds; a test finds it.
#[must_use]
pub fn plausible(name: &str) -> f64 {
    PLAUSIBILITY_ROWS.iter().find(|row| row.name == name).map_or(f64::NAN, |row| row.value)
}

/// Tells whether two figures differ by more than a share of the second and by more than the least difference that counts.
#[must_use]
pub fn apart(one: f64, other: f64, share: &str, least: &str) -> bool {
    let away = (one - other).abs();
    away > plausible(share) * other && away > plausible(least)
}
