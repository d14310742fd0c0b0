//! Equipment that comes with the machine: control station, thermistors, resistance thermometers, brake, heater, enclosure.

use crate::intake::matters::{suggests, words_of};
use crate::load::{Extras, Field, Load};
use crate::quantity::{Metres, Watts};
use crate::rules::physics::accessories::thermistors_taken;
use crate::sizing::resolve::services;
use crate::sizing::resolve::{brake_voltage, standing};

pub(super) fn read(load: &Load) -> Extras {
    let text = |field: Field| load.text(field).map(str::trim).filter(|text| !nothing(text)).unwrap_or("").to_owned();
    let watts = |field: Field| Watts(load.number(field).unwrap_or(0.0));
    let said = [Field::Notes, Field::Description].into_iter().filter_map(|field| load.text(field));
    let of_brake = brake_voltage::beside(said, load.number(Field::VoltageV));
    Extras {
        station: text(Field::ControlStation),
        station_length: load.number(Field::ControlCableLengthM).map(Metres),
        thermistors: thermistors_taken(load.text(Field::Thermistor).unwrap_or("")),
        thermometers: load.count(Field::RtdCount).unwrap_or(0),
        brake: watts(Field::BrakeW),
        brake_voltages: of_brake.voltages,
        brake_direct: of_brake.direct,
        heater: watts(Field::SpaceHeaterW),
        enclosure: text(Field::Enclosure),
        enclosure_place: load.place_of(Field::Enclosure),
        surroundings: [("location", Field::Location), ("environment", Field::Environment)]
            .into_iter()
            .filter_map(|(column, field)| Some((column, load.text(field)?.to_owned())))
            .collect(),
        outdoors: outdoors(load).unwrap_or_default().to_owned(),
        harsh: standing::first_of(&["wet", "harsh"], load).map(|says| says.text).unwrap_or_default().to_owned(),
        // Increased safety is for such places alone.
        explosive: services::explosive(load).is_some() || load.number(Field::TeS).is_some(),
        place_asked: false,
    }
}

/// What says that the machine stands on a roof or outdoors.
fn outdoors(load: &Load) -> Option<&str> {
    let stated = [Field::Location, Field::Environment].into_iter().filter_map(|field| load.text(field));
    let elsewhere = matches!(load.text(Field::Location), Some("dry"));
    let mut said = stated.filter(|text| is_outdoors(text));
    said.next().or_else(|| Some(standing::first_of(&["outdoor", "roof"], load).filter(|_| !elsewhere)?.text))
}

/// Words say that something stands on a roof or outdoors.
#[must_use]
pub(in crate::sizing) fn is_outdoors(text: &str) -> bool {
    let said = words_of(text);
    ["outdoor", "roof"].into_iter().any(|matter| suggests(matter, &said))
}

fn nothing(text: &str) -> bool {
    text.is_empty() || ["no", "none", "0", "-"].contains(&text.to_lowercase().as_str())
}
