//! The voltages that a text names beside a brake: `freno 24 Vdc 45 W`, `Bremse 230 V`, `brake coil 45 W DC`.

use super::wish::is_direct;
use crate::intake::direct_current::{is_mark, is_mark_of_alternating};
use crate::intake::matters::suggests;
use crate::intake::mentions::words;
use crate::load::ControlVoltage;
use crate::rules::physics::plausibility::plausible;

/// Units of a voltage.
const VOLTS: &[&str] = &["v", "volt", "volts", "vdc", "vcc", "vgs", "vac", "vca"];

/// What the words between commas where a brake is named say of its supply.
#[derive(Debug, Default)]
pub(super) struct Beside {
    /// The voltages: several where it is not clear which of them is the brake's.
    pub voltages: Vec<ControlVoltage>,
    /// They say direct current.
    pub direct: bool,
}

/// A voltage as it is written: whether it is one of two with a stroke between them, and the kind of current that stands at it.
struct Written {
    volts: f64,
    of_pair: bool,
    direct: Option<bool>,
}

/// What texts say of the supply of a brake. A brake motor is a machine, and the voltage beside it the machine's; of several beside a
/// brake, that of the motor is not the brake's.
pub(super) fn beside<'t>(texts: impl IntoIterator<Item = &'t str>, motor_volts: Option<f64>) -> Beside {
    let mut found = Beside::default();
    for text in texts {
        let words = words(&with_kinds(text));
        let parts: Vec<&[String]> = words.split(String::is_empty).collect();
        let names_brake = |part: &[String]| suggests("brake-itself", part) || suggests("brake-supply", part);
        for at in (0..parts.len()).filter(|at| names_brake(parts[*at])) {
            let phrase = &with_kind_behind(parts[at], &parts[at + 1..]);
            let direct = phrase.iter().any(|word| is_mark(word)) && !phrase.iter().any(|word| is_mark_of_alternating(word));
            found.direct |= direct;
            for voltage in of_phrase(phrase, direct, motor_volts) {
                if !found.voltages.contains(&voltage) {
                    found.voltages.push(voltage);
                }
            }
        }
    }
    found
}

/// The words of a part with those behind it that say direct current and nothing but figures: `brake (DC)`, `brake, 24 V DC, 60 W`.
fn with_kind_behind(part: &[String], behind: &[&[String]]) -> Vec<String> {
    let is_bare = |word: &String| {
        let is_figure = word.bytes().all(|byte| byte.is_ascii_digit());
        is_figure || VOLTS.contains(&word.as_str()) || matches!(word.as_str(), "w" | "a") || is_mark(word)
    };
    let bare = behind.iter().take_while(|part| part.iter().all(is_bare));
    let of_kind = bare.filter(|part| part.iter().any(|word| is_mark(word)));
    part.iter().chain(of_kind.copied().flatten()).cloned().collect()
}

/// A text with the signs of direct and alternating current behind a voltage as words.
fn with_kinds(text: &str) -> String {
    let upper = text.to_uppercase();
    let signs =
        [("D.C.", "DC"), ("A.C.", "AC"), ("C.C.", "CC"), ("V =", "V="), ("V=", "V DC "), ("V ⎓", "V DC "), ("V⎓", "V DC ")];
    signs.iter().fold(upper, |text, (sign, word)| text.replace(sign, word)).replace('~', " AC ")
}

fn of_phrase(phrase: &[String], direct: bool, motor_volts: Option<f64>) -> Vec<ControlVoltage> {
    let written: Vec<Written> = (0..phrase.len()).flat_map(|at| written(&phrase[at..])).collect();
    let is_motors = |voltage: &Written| !voltage.of_pair && motor_volts == Some(voltage.volts) && voltage.direct != Some(true);
    let all_motors = written.iter().all(is_motors);
    let of_brake = written.iter().filter(|voltage| all_motors || !is_motors(voltage));
    of_brake
        .map(|voltage| {
            let kind = voltage.direct.or(direct.then_some(true));
            ControlVoltage { volts: voltage.volts, dc: is_direct(voltage.volts, kind) }
        })
        .collect()
}

/// Figures with the unit behind them, where a text begins with one; two of them where a stroke parts them.
fn written(words: &[String]) -> Vec<Written> {
    let is_figure = |word: &String| word.bytes().all(|byte| byte.is_ascii_digit());
    let figures = words.iter().take(2).take_while(|word| is_figure(word)).count();
    let Some((unit, behind)) = words[figures..].split_first().filter(|_| figures > 0) else { return Vec::new() };
    if !VOLTS.contains(&unit.as_str()) {
        return Vec::new();
    }
    let beside = [Some(unit), behind.first()];
    let says = |is: &dyn Fn(&str) -> bool| beside.iter().flatten().any(|word| is(word));
    let direct = if says(&is_mark) { Some(true) } else { says(&is_mark_of_alternating).then_some(false) };
    let volts = words[..figures].iter().filter_map(|figure| figure.parse::<f64>().ok());
    let range = plausible("brake-voltage-least")..=plausible("brake-voltage-most");
    volts.filter(|volts| range.contains(volts)).map(|volts| Written { volts, of_pair: figures > 1, direct }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[rstest::rstest]
    #[case("freno 24 Vdc 45 W, discesa carico", &[(24.0, true)])]
    #[case("Bremse 230 V", &[(230.0, false)])]
    #[case("400 V motor, brake 180 V DC", &[(180.0, true)])]
    #[case("24VDC brake", &[(24.0, true)])]
    #[case("Frein 24 V CC", &[(24.0, true)])]
    #[case("Betriebsbremse 2x 180 VA", &[])]
    #[case("brake 24 V or 230 V", &[(24.0, true), (230.0, false)])]
    #[case("motor 24 V DC, with brake", &[])]
    #[case::a_machine("Bremsmotor 400 V, Bremse 24 V DC", &[(24.0, true)])]
    #[case::a_machine_alone("Bremsmotor 400 V", &[])]
    #[case::a_brake_motor("brake motor 400 V, brake 24 V DC", &[(24.0, true)])]
    #[case::a_sign("Bremse 180 V=", &[(180.0, true)])]
    #[case::two_figures("brake 230/400 V", &[(230.0, false), (400.0, false)])]
    #[case::in_one_phrase("Motor 400 V Bremse 24 V DC", &[(24.0, true)])]
    #[case::the_motors_behind("24 VDC brake on 400 V motor", &[(24.0, true)])]
    #[case::the_mains("Bremse 400 V", &[(400.0, false)])]
    #[case::the_kind_before("DC brake 180 V", &[(180.0, true)])]
    #[case::two_phrases("Bremse 24 V DC, Bremse 230 V AC", &[(24.0, true), (230.0, false)])]
    #[case::behind("brake, 60 W, 24 V DC", &[(24.0, true)])]
    #[case::the_motors_apart("with brake, 400 V, 4 kW", &[])]
    #[case::its_supply("brake power supply 24 V DC", &[(24.0, true)])]
    #[case::a_resistor("Bremswiderstand 400 V", &[])]
    fn voltages_beside_a_brake(#[case] text: &str, #[case] expected: &[(f64, bool)]) {
        let voltages = beside([text], Some(400.0)).voltages;
        assert_eq!(voltages.iter().map(|voltage| (voltage.volts, voltage.dc)).collect::<Vec<_>>(), expected);
    }

    #[rstest::rstest]
    #[case("brake coil 45 W DC", true)]
    #[case("Bremse Gleichspannung", true)]
    #[case("brake 45 W", false)]
    #[case("electromagnetic brake (DC)", true)]
    #[case("Bremsmotor mit Gleichstrombremse", true)]
    #[case("brake, 230 V control", false)]
    #[case("DC control, brake 45 W", false)]
    fn direct_current_without_a_voltage(#[case] text: &str, #[case] expected: bool) {
        let said = beside([text], None);
        assert_eq!((said.direct, said.voltages.len()), (expected, 0));
    }
}
