//! The high leg: in a delta of four wires whose neutral is the middle of one winding, one line has √3/2 of the line voltage to the neutral
//! and to ground, the other two a half. A load that is made for the half must never stand on that line.

use serde::Deserialize;

use crate::quantity::Volts;
use crate::rules::physics::nominal::{is_same_voltage, voltage_limit};

/// Words that name such a system.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Words {
    words: String,
}

table! {
    /// Words of systems with a high leg.
    WORDS, WORD_ROWS: Words, "high-leg-words"
}

/// The high leg among the phases, from zero: the second (NFPA 70, 408.3(E)(1): phase B).
pub const HIGH_LEG: usize = 1;

/// The words of a three-phase system name a high leg, or two voltages of which one is half of the other: in three phases no other system
/// has such a pair.
#[must_use]
pub fn has_high_leg(system: &str) -> bool {
    let lower = system.to_lowercase();
    WORD_ROWS.iter().any(|row| lower.contains(&row.words)) || names_half_voltage(&lower)
}

/// Voltage of the high leg to the neutral and to ground.
#[must_use]
pub fn to_ground(line: Volts) -> Volts {
    line * (3f64.sqrt() / 2.0)
}

/// A load is made for the voltage between the high leg and the neutral.
#[must_use]
pub fn suits_high_leg(rated: Volts, line: Volts) -> bool {
    let there = to_ground(line).0;
    is_same_voltage(rated.0, there)
}

/// `240/120`, `120/240 V`, `480 V / 240 V`.
fn names_half_voltage(lower: &str) -> bool {
    const SLIGHTLY: f64 = 0.01;
    let text: String = lower.chars().filter(|character| !character.is_whitespace()).collect();
    let text = text.replace("v/", "/");
    let halves = |(at, _): (usize, &str)| {
        let is_part = |character: char| character.is_ascii_digit() || character == '.';
        let before = text[..at].rsplit(|character| !is_part(character)).next()?.parse::<f64>().ok()?;
        let after = text[at + 1..].split(|character| !is_part(character)).next()?.parse::<f64>().ok()?;
        let (small, large) = (before.min(after), before.max(after));
        (small >= voltage_limit("three-phase-line-least-v") / 2.0).then_some(large / small)
    };
    text.match_indices('/').filter_map(halves).any(|ratio| (ratio - 2.0).abs() < SLIGHTLY)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Names of services in North America (ANSI C84.1: 240/120 V of four wires is the delta with a tapped winding, 208Y/120 the wye).
    #[rstest::rstest]
    #[case::named("240/120 4W high-leg delta", true)]
    #[case::by_its_voltages("240/120 V, 3 ph, 4W", true)]
    #[case::the_smaller_first("120/240V 3PH 4W delta", true)]
    #[case::with_both_units("480 V / 240 V delta", true)]
    #[case::wild("delta, wild leg B", true)]
    #[case::a_wye("208Y/120 4W", false)]
    #[case::without_its_letter("208/120 4W", false)]
    #[case::a_larger_wye("480Y/277 4W solidly grounded", false)]
    #[case::a_european_star("400/230 V 3/N/PE", false)]
    #[case::a_delta_of_three_wires("480 V delta ungrounded", false)]
    #[case::nothing("", false)]
    fn a_high_leg_is_known_by_its_words_or_voltages(#[case] system: &str, #[case] expected: bool) {
        assert_eq!(has_high_leg(system), expected, "{system}");
    }

    /// 240 V x √3 / 2 = 207.8 V.
    #[test]
    fn the_high_leg_of_240_v_has_208_v_to_ground() {
        assert!((to_ground(Volts(240.0)).0 - 207.85).abs() < 0.01);
        assert!(suits_high_leg(Volts(208.0), Volts(240.0)) && !suits_high_leg(Volts(120.0), Volts(240.0)));
    }
}
