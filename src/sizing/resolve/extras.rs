//! What comes with the machine: control station, thermistors, resistance thermometers, brake, heater, enclosure.

use crate::load::{Extras, Field, Load};
use crate::quantity::{Metres, Watts};
use crate::rules::physics::accessories::thermistors_taken;

pub(super) fn read(load: &Load) -> Extras {
    let text = |field: Field| load.text(field).map(str::trim).filter(|own| !nothing(own)).unwrap_or("").to_owned();
    let watts = |field: Field| Watts(load.number(field).unwrap_or(0.0));
    Extras {
        station: text(Field::ControlStation),
        station_length: load.number(Field::ControlCableLengthM).map(Metres),
        thermistors: thermistors_taken(load.text(Field::Thermistor).unwrap_or("")),
        thermometers: load.count(Field::RtdCount).unwrap_or(0),
        brake: watts(Field::BrakeW),
        heater: watts(Field::SpaceHeaterW),
        enclosure: text(Field::Enclosure),
        enclosure_place: load.place_of(Field::Enclosure),
    }
}

fn nothing(text: &str) -> bool {
    text.is_empty() || ["no", "none", "0", "-"].contains(&text.to_lowercase().as_str())
}
