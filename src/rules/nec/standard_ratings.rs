//! Standard ratings of fuses and inverse-time circuit breakers, Table 240.6(A), and what 240.4 makes of them.

use serde::Deserialize;

use super::Edition;
use super::figures::figure;
use crate::quantity::Amperes;

/// One rating and where it is standard.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RatingRow {
    rating_a: f64,
    fuse_2017_2020: u8,
    breaker_2017_2020: u8,
    fuse_2023: u8,
    breaker_2023: u8,
}

/// Largest device of one small conductor.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SmallConductorRow {
    awg: String,
    material: String,
    max_device_a: f64,
}

table! {
    /// Standard ratings.
    RATINGS, RATING_ROWS: RatingRow, "standard-ratings"
}
table! {
    /// Small conductors.
    SMALL_CONDUCTORS, SMALL_CONDUCTOR_ROWS: SmallConductorRow, "small-conductor-protection"
}

/// Rating of a branch circuit of several lighting outlets.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LightingRow {
    rating_a: f64,
    from_edition: u32,
}

table! {
    /// Branch circuits of several lighting outlets.
    LIGHTING_CIRCUITS, LIGHTING_ROWS: LightingRow, "lighting-circuits"
}

/// Ratings of branch circuits that supply several lighting outlets (210.18), ascending.
pub fn lighting_ratings(edition: Edition) -> impl Iterator<Item = Amperes> {
    let year: u32 = edition.year().parse().unwrap_or(0);
    LIGHTING_ROWS.iter().filter(move |row| row.from_edition <= year).map(|row| Amperes(row.rating_a))
}

/// Fuse or circuit breaker.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DeviceKind {
    /// Fuse.
    Fuse,
    /// Inverse-time circuit breaker.
    Breaker,
}

/// Standard ratings, ascending.
pub fn standard_ratings(edition: Edition, kind: DeviceKind) -> impl DoubleEndedIterator<Item = Amperes> {
    RATING_ROWS
        .iter()
        .filter(move |row| {
            let standard = match (edition >= Edition::E2023, kind) {
                (true, DeviceKind::Fuse) => row.fuse_2023,
                (true, DeviceKind::Breaker) => row.breaker_2023,
                (false, DeviceKind::Fuse) => row.fuse_2017_2020,
                (false, DeviceKind::Breaker) => row.breaker_2017_2020,
            };
            standard == 1
        })
        .map(|row| Amperes(row.rating_a))
}

/// The smallest standard rating that is not below this current; none beyond the table.
#[must_use]
pub fn next_up(edition: Edition, kind: DeviceKind, current: Amperes) -> Option<Amperes> {
    standard_ratings(edition, kind).find(|rating| current.fits(*rating))
}

/// The largest standard rating that does not exceed this current; none below the table.
#[must_use]
pub fn next_down(edition: Edition, kind: DeviceKind, current: Amperes) -> Option<Amperes> {
    standard_ratings(edition, kind).rev().find(|rating| rating.fits(current))
}

/// Largest device of a conductor that is not in a motor circuit, by its ampacity: 240.4(B) lets it be the next standard rating up
/// to 800 A; above, 240.4(C) does not.
#[must_use]
pub fn conductor_protection(edition: Edition, kind: DeviceKind, ampacity: Amperes) -> Option<Amperes> {
    let limit = Amperes(figure("next-size-up-to-a"));
    let above = next_up(edition, kind, ampacity).filter(|rating| rating.fits(limit));
    above.or_else(|| next_down(edition, kind, ampacity))
}

/// Largest device of a small conductor that is not in a motor circuit, 240.4(D): `size` as in `14`, `material` `copper` or
/// `aluminium`; none for larger conductors, which that clause does not bind.
#[must_use]
pub fn small_conductor_protection(size: &str, material: &str) -> Option<Amperes> {
    let row = SMALL_CONDUCTOR_ROWS.iter().find(|row| row.awg == size && row.material == material)?;
    Some(Amperes(row.max_device_a))
}

#[cfg(test)]
mod tests {
    use super::*;
    use Edition::{E2017, E2020, E2023};

    #[test]
    fn ratings_ascend() {
        for edition in [E2017, E2020, E2023] {
            for kind in [DeviceKind::Fuse, DeviceKind::Breaker] {
                assert!(standard_ratings(edition, kind).collect::<Vec<_>>().is_sorted_by(|a, b| a < b));
            }
        }
        assert_eq!(standard_ratings(E2023, DeviceKind::Fuse).count(), 42);
    }

    #[test]
    fn editions_and_kinds_differ_where_the_table_does() {
        assert_eq!(next_up(E2023, DeviceKind::Breaker, Amperes(8.0)), Some(Amperes(10.0)));
        assert_eq!(next_up(E2020, DeviceKind::Breaker, Amperes(8.0)), Some(Amperes(15.0)));
        assert_eq!(next_up(E2017, DeviceKind::Fuse, Amperes(8.0)), Some(Amperes(10.0)));
        assert_eq!(next_up(E2023, DeviceKind::Fuse, Amperes(600.5)), Some(Amperes(601.0)));
        assert_eq!(next_up(E2023, DeviceKind::Breaker, Amperes(600.5)), Some(Amperes(700.0)));
        assert_eq!(next_up(E2023, DeviceKind::Fuse, Amperes(2.0)), Some(Amperes(3.0)));
    }

    #[test]
    fn rounding_errors_do_not_step_and_nothing_is_beyond() {
        // 28 A x 2.5 = 70 A is a standard rating: no step up.
        assert_eq!(next_up(E2023, DeviceKind::Breaker, Amperes(28.0 * 2.5)), Some(Amperes(70.0)));
        assert_eq!(next_up(E2023, DeviceKind::Breaker, Amperes(70.000_000_01)), Some(Amperes(70.0)));
        assert_eq!(next_down(E2023, DeviceKind::Breaker, Amperes(69.999_999_99)), Some(Amperes(70.0)));
        assert_eq!(next_up(E2023, DeviceKind::Breaker, Amperes(6001.0)), None);
        assert_eq!(next_down(E2023, DeviceKind::Fuse, Amperes(0.5)), None);
        assert_eq!(next_up(E2023, DeviceKind::Fuse, Amperes(f64::NAN)), None);
    }

    #[test]
    fn conductors_outside_motor_circuits() {
        assert_eq!(conductor_protection(E2023, DeviceKind::Breaker, Amperes(65.0)), Some(Amperes(70.0)));
        assert_eq!(conductor_protection(E2023, DeviceKind::Breaker, Amperes(760.0)), Some(Amperes(800.0)));
        assert_eq!(conductor_protection(E2023, DeviceKind::Breaker, Amperes(855.0)), Some(Amperes(800.0)));
        assert_eq!(small_conductor_protection("12", "copper"), Some(Amperes(20.0)));
        assert_eq!(small_conductor_protection("12", "aluminium"), Some(Amperes(15.0)));
        assert_eq!(small_conductor_protection("8", "copper"), None);
    }
}
