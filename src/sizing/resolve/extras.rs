//! Equipment that comes with the machine: control station, thermistors, resistance thermometers, brake, heater, enclosure.

use crate::finding::Finding;
use crate::finding::codes::{self, Code};
use crate::intake::matters::{suggests, words_of};
use crate::load::{Extras, Field, Load, LoadKind};
use crate::quantity::{Metres, Watts};
use crate::record::Record;
use crate::rules::physics::accessories::thermistors_taken;
use crate::sizing::resolve::services::{self, saying};
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
        explosive: services::explosive(load).is_some(),
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

/// Equipment of a motor that description or note names and no column states.
struct Named {
    /// Matters of the table of words whose phrases name it.
    matters: &'static [&'static str],
    what: &'static str,
    field: Field,
    /// What people or a machine rely on waits for a decision.
    code: &'static Code,
    cure: &'static str,
}

const NAMED: &[Named] = &[
    Named {
        matters: &["brake-itself", "brake-motor"],
        what: "a brake",
        field: Field::BrakeW,
        code: &codes::L412_EXTRA_NAMED,
        cure: "enter brake_w; 0 where there is none",
    },
    Named {
        matters: &["thermistor"],
        what: "thermistors or thermal switches in the winding",
        field: Field::Thermistor,
        code: &codes::L412_EXTRA_NAMED,
        cure: "enter thermistor; no where there are none",
    },
    Named {
        matters: &["space-heater"],
        what: "a heater for standstill",
        field: Field::SpaceHeaterW,
        code: &codes::L412_EXTRA_NAMED,
        cure: "enter space_heater_w; 0 where there is none",
    },
    Named {
        matters: &["emergency-stop"],
        what: "an emergency stop",
        field: Field::EmergencyStop,
        code: &codes::L360_SAFEGUARD_NAMED,
        cure: "enter emergency_stop category-0 or category-1; none where there is none",
    },
    Named {
        matters: &["moisture"],
        what: "a probe for moisture or a seal leak",
        field: Field::InterlockNote,
        code: &codes::L360_SAFEGUARD_NAMED,
        cure: "no relay, contact and core is chosen for it: have them added, say so in interlock_note, and decide this warning",
    },
];

/// Says what description and note name of the motor while its column is empty: it is left out of contacts, cores and parts.
pub(super) fn ask_of_words(load: &Load, kind: LoadKind, record: &mut Record) {
    if kind != LoadKind::Motor {
        return;
    }
    for named in NAMED.iter().filter(|named| !load.has(named.field)) {
        let mentions = |field: &Field| {
            let said = words_of(load.text(*field).unwrap_or(""));
            named.matters.iter().any(|matter| suggests(matter, &said))
        };
        let Some(field) = [Field::Description, Field::Notes].into_iter().find(mentions) else { continue };
        let place = saying(field);
        record.find(
            Finding::new(named.code, format!("the {place} names {}, which no column states", named.what))
                .at(load.place_of(field))
                .why("contacts, relays, cores and terminals are chosen without it")
                .cure(named.cure),
        );
    }
}

fn nothing(text: &str) -> bool {
    text.is_empty() || ["no", "none", "0", "-"].contains(&text.to_lowercase().as_str())
}
