//! The voltage that a text names beside a brake: `freno 24 Vdc 45 W`, `Bremse 230 V`.

use crate::intake::mentions::words;
use crate::load::ControlVoltage;

/// Beginnings of the words for a brake.
const BRAKE: &[&str] = &["brake", "brems", "haltebrems", "federdruckbrems", "frein", "freno", "freni", "freio"];
/// Units of a voltage, and whether they say that it is direct; a bare `V` may be followed by the kind.
const VOLTS: &[(&str, Option<bool>)] =
    &[("v", None), ("vdc", Some(true)), ("vcc", Some(true)), ("vgs", Some(true)), ("vac", Some(false)), ("vca", Some(false))];
/// Words of direct current behind a bare unit.
const DIRECT: &[&str] = &["dc", "cc", "gs", "gleichspannung", "continu", "continua"];

/// The one voltage in the words between commas where the brake is named; none where it is not clear.
pub(super) fn beside(text: &str) -> Option<ControlVoltage> {
    let words = words(text);
    let phrase = words.split(String::is_empty).find(|phrase| phrase.iter().any(|word| is_brake(word)))?;
    let at = phrase.iter().position(|word| is_brake(word))?;
    let found = |words: &[String]| (0..words.len()).filter_map(|place| voltage(&words[place..])).collect::<Vec<_>>();
    match (found(&phrase[at..]).as_slice(), found(&phrase[..at]).as_slice()) {
        ([behind], _) => Some(*behind),
        ([], [before]) => Some(*before),
        _ => None,
    }
}

fn is_brake(word: &str) -> bool {
    BRAKE.iter().any(|brake| word.starts_with(brake))
}

/// A figure with the unit behind it.
fn voltage(words: &[String]) -> Option<ControlVoltage> {
    let [figure, unit, rest @ ..] = words else { return None };
    let volts: f64 = figure.parse().ok().filter(|volts| (6.0..=1000.0).contains(volts))?;
    let (_, kind) = VOLTS.iter().find(|(known, _)| known == unit)?;
    let direct = || rest.first().is_some_and(|word| DIRECT.contains(&word.as_str()));
    Some(ControlVoltage { volts, dc: kind.unwrap_or_else(direct) })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[rstest::rstest]
    #[case("freno 24 Vdc 45 W, discesa carico", Some((24.0, true)))]
    #[case("Bremse 230 V", Some((230.0, false)))]
    #[case("400 V motor, brake 180 V DC", Some((180.0, true)))]
    #[case("24VDC brake", Some((24.0, true)))]
    #[case("Frein 24 V CC", Some((24.0, true)))]
    #[case("Betriebsbremse 2x 180 VA", None)]
    #[case("brake 24 V or 230 V", None)]
    #[case("motor 24 V DC, with brake", None)]
    fn a_voltage_beside_a_brake(#[case] text: &str, #[case] expected: Option<(f64, bool)>) {
        assert_eq!(beside(text).map(|voltage| (voltage.volts, voltage.dc)), expected);
    }
}
