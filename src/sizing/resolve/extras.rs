//! What comes with the machine: control station, thermistors, resistance thermometers, brake, heater, enclosure.

use crate::load::{Extras, Field, Load};
use crate::quantity::{Metres, Watts};

/// Thermistors where a row says only that there are some: one a phase.
const THERMISTORS: u32 = 3;

pub(super) fn read(load: &Load) -> Extras {
    let text = |field: Field| load.text(field).map(str::trim).filter(|own| !nothing(own)).unwrap_or("").to_owned();
    let watts = |field: Field| Watts(load.number(field).unwrap_or(0.0));
    Extras {
        station: text(Field::ControlStation),
        station_length: load.number(Field::ControlCableLengthM).map(Metres),
        thermistors: thermistors(load.text(Field::Thermistor).unwrap_or("")),
        thermometers: load.count(Field::RtdCount).unwrap_or(0),
        brake: watts(Field::BrakeW),
        heater: watts(Field::SpaceHeaterW),
        enclosure: text(Field::Enclosure),
    }
}

fn nothing(text: &str) -> bool {
    text.is_empty() || ["no", "none", "0", "-"].contains(&text.to_lowercase().as_str())
}

fn thermistors(text: &str) -> u32 {
    let text = text.trim();
    if nothing(text) { 0 } else { text.parse::<u32>().unwrap_or(THERMISTORS).min(100) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[rstest::rstest]
    #[case::not_given("", 0)]
    #[case::none("no", 0)]
    #[case::some("yes", 3)]
    #[case::a_number("6", 6)]
    #[case::words("PTC 150 °C", 3)]
    fn thermistors_are_counted(#[case] text: &str, #[case] expected: u32) {
        assert_eq!(thermistors(text), expected);
    }
}
