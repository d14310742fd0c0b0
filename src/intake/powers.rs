//! Whether two figures are one within a share, and whether a power in kilowatts and one in horsepower are one motor.

use std::sync::LazyLock;

use super::tables;
use crate::quantity::KILOWATTS_PER_HORSEPOWER;

/// Kilowatts and horsepower of standard outputs that are sold as one motor although they differ by more than their rounding.
static STANDARD_PAIRS: LazyLock<Vec<(f64, f64)>> = LazyLock::new(|| tables::rows(include_str!("tables/power-pairs.csv")));

/// Whether the lists of standard outputs call the two one motor.
fn is_standard_pair(kilowatts: f64, horsepower: f64) -> bool {
    STANDARD_PAIRS.contains(&(kilowatts, horsepower))
}

/// Whether the two are one motor: by the lists, or because they differ by no more than a share of the larger.
pub(crate) fn are_one_motor(kilowatts: f64, horsepower: f64, share: f64) -> bool {
    is_standard_pair(kilowatts, horsepower) || within(kilowatts, horsepower * KILOWATTS_PER_HORSEPOWER, share)
}

/// Whether two figures of one unit differ by no more than a share of the larger.
pub(crate) fn within(one: f64, other: f64, share: f64) -> bool {
    (one - other).abs() <= share * one.abs().max(other.abs())
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    #[rstest]
    // 90 kW and 125 hp, which is 93.2 kW, differ by 3.5 % of the larger.
    #[case::rounding(90.0, 125.0, 0.036, true)]
    #[case::too_far(90.0, 125.0, 0.03, false)]
    // 5 hp is 3.73 kW, 6.8 % off; the lists call it one motor with 4 kW, and not with 4.1 kW.
    #[case::sold_as_one(4.0, 5.0, 0.0, true)]
    #[case::not_in_the_lists(4.1, 5.0, 0.05, false)]
    #[case::nothing(0.0, 0.0, 0.0, true)]
    fn one_motor_has_two_standard_outputs(#[case] kilowatts: f64, #[case] hp: f64, #[case] share: f64, #[case] one: bool) {
        assert_eq!(are_one_motor(kilowatts, hp, share), one);
    }
}
