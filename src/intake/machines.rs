//! Machines that a motor turns, in descriptions and in headings: below `Pump` or `Fan` an efficiency is that of the machine, and a
//! power may be.

use super::fold;
use super::headings::{Meaning, Recognised};
use super::units::Unit;
use crate::load::Field;

/// Words of machines that a motor drives.
const MACHINES: &[&str] = &[
    "pump",
    "pumps",
    "fan",
    "fans",
    "blower",
    "blowers",
    "compressor",
    "compressors",
    "mixer",
    "mixers",
    "agitator",
    "agitators",
    "conveyor",
    "conveyors",
    "crusher",
    "mill",
    "circulator",
    "circulators",
    "pompe",
    "pompes",
    "ventilateur",
    "ventilateurs",
    "compresseur",
    "agitateur",
    "bomba",
    "bombas",
    "ventilador",
    "ventiladores",
    "circulador",
    "compresor",
    "soplante",
    "agitador",
    "pompa",
    "ventilatore",
    "ventilatori",
    "compressore",
    "agitatore",
];
/// Ends of German and Dutch words of them: `Heizungspumpe`, `dompelpomp`.
const ENDS: &[&str] =
    &["pumpe", "pumpen", "pomp", "pompen", "ventilator", "lufter", "verdichter", "kompressor", "geblase", "ruhrwerk"];
/// Words that stand for the machine in headings alone: of a load they may say something else.
const IN_HEADINGS: &[&str] = &["compr", "hydraulic", "hydraulics", "driven"];
/// Words that say that the motor of the machine is meant.
const OF_THE_MOTOR: &[&str] = &[
    "motor",
    "motors",
    "moteur",
    "motore",
    "motori",
    "electrical",
    "elektrisch",
    "electrique",
    "electrico",
    "elettrico",
    "driver",
];
/// Words of a shaft power.
const POWERS: &[&str] = &["power", "leistung", "puissance", "potencia", "potenza", "brake", "shaft", "absorbed"];

fn is_machine(word: &str) -> bool {
    MACHINES.contains(&word) || ENDS.iter().any(|end| word.ends_with(end))
}

/// Words of a motor, or of a machine that a motor turns.
pub(super) fn turns(word: &str) -> bool {
    let motors = ["motor", "motors", "moteur", "motore"];
    is_machine(word) || motors.contains(&word) || word.ends_with("motor") || word.ends_with("antrieb")
}

/// The machine that a heading names, and what it says of it: `Supply fan` and `kW` of `Supply fan kW`.
pub(super) fn machine_of(heading: &str) -> Option<(String, String)> {
    let words: Vec<&str> = heading.split_whitespace().collect();
    let names_machine = |word: &str| is_machine(word) || IN_HEADINGS.contains(&word);
    if words.len() > 12 || fold::words(heading).iter().any(|word| OF_THE_MOTOR.contains(&word.as_str())) {
        return None;
    }
    let last = words.iter().rposition(|word| names_machine(&fold::key(word)))?;
    Some((words[..=last].join(" ").to_lowercase(), words[last + 1..].join(" ")))
}

fn is_power(found: &Recognised) -> bool {
    [Field::RatedPowerKw, Field::RatedPowerHp, Field::RatedPowerKva].iter().any(|field| found.may_be(*field))
}

fn is_current(found: &Recognised) -> bool {
    found.may_be(Field::FullLoadCurrentA)
}

/// Takes the machine's own figures out of what headings mean. Its efficiency is never the motor's. Its power and current are those of
/// the motor only where no heading names the motor's, and of two machines only those of the first.
pub(super) fn settle(names: &[String], recognised: &mut [Option<Recognised>]) {
    let machines: Vec<Option<(String, String)>> = names.iter().map(|name| machine_of(name)).collect();
    if machines.iter().all(Option::is_none) {
        return;
    }
    let plain = |test: fn(&Recognised) -> bool, recognised: &[Option<Recognised>]| {
        let of_motor = machines.iter().zip(recognised).filter(|(machine, _)| machine.is_none());
        of_motor.filter_map(|(_, found)| found.as_ref()).any(test)
    };
    let (power, current) = (plain(is_power, recognised), plain(is_current, recognised));
    let mut first: Option<&str> = None;
    for (machine, slot) in machines.iter().zip(recognised) {
        let (Some((machine, rest)), Some(found)) = (machine, slot.as_mut()) else { continue };
        if found.canonical.is_some() {
            continue;
        }
        let of_shaft =
            || fold::words(rest).iter().any(|word| POWERS.contains(&word.as_str())) && found.unit != Some(Unit::Horsepower);
        let taken = match (found.may_be(Field::EfficiencyPct), is_power(found), is_current(found)) {
            (true, ..) => true,
            (_, true, _) => power || (current && of_shaft()) || *first.get_or_insert(machine) != machine,
            (.., true) => power && first != Some(machine) || *first.get_or_insert(machine) != machine,
            _ => false,
        };
        if taken {
            *found = Recognised { meanings: vec![Meaning::Unused], unit: found.unit, canonical: None };
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[rstest::rstest]
    #[case("Supply fan kW", Some(("supply fan", "kW")))]
    #[case("PUMP EFF. (%)", Some(("pump", "EFF. (%)")))]
    #[case("Pump motor kW", None)]
    #[case("Motor MIN. EFF. (%)", None)]
    #[case("Voltage", None)]
    #[case("Rührwerk kW", Some(("rührwerk", "kW")))]
    #[case("Pumpenmotor kW", None)]
    fn a_heading_names_the_machine(#[case] heading: &str, #[case] expected: Option<(&str, &str)>) {
        assert_eq!(machine_of(heading), expected.map(|(machine, rest)| (machine.to_owned(), rest.to_owned())));
    }

    #[rstest::rstest]
    #[case("heizungspumpe", true)]
    #[case("getriebemotor", true)]
    #[case("mixer", true)]
    #[case("driven", false)]
    #[case("heater", false)]
    fn words_of_loads_that_turn(#[case] word: &str, #[case] expected: bool) {
        assert_eq!(turns(word), expected);
    }
}
