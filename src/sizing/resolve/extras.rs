//! Equipment that comes with the machine: control station, thermistors, resistance thermometers, brake, heater, enclosure.

use crate::finding::{Finding, codes};
use crate::intake::matters::{suggests, words_of};
use crate::intake::mentions::words;
use crate::load::{Extras, Field, Load, LoadKind};
use crate::quantity::{Metres, Watts};
use crate::record::Record;
use crate::rules::physics::accessories::thermistors_taken;
use crate::sizing::resolve::services::saying;
use crate::sizing::resolve::standing;

pub(super) fn read(load: &Load) -> Extras {
    let text = |field: Field| load.text(field).map(str::trim).filter(|text| !nothing(text)).unwrap_or("").to_owned();
    let watts = |field: Field| Watts(load.number(field).unwrap_or(0.0));
    Extras {
        station: text(Field::ControlStation),
        station_length: load.number(Field::ControlCableLengthM).map(Metres),
        thermistors: thermistors_taken(load.text(Field::Thermistor).unwrap_or("")),
        thermometers: load.count(Field::RtdCount).unwrap_or(0),
        brake: watts(Field::BrakeW),
        brake_voltage: [Field::Notes, Field::Description]
            .into_iter()
            .find_map(|field| super::brake_voltage::beside(load.text(field)?)),
        heater: watts(Field::SpaceHeaterW),
        enclosure: text(Field::Enclosure),
        enclosure_place: load.place_of(Field::Enclosure),
        surroundings: [("location", Field::Location), ("environment", Field::Environment)]
            .into_iter()
            .filter_map(|(column, field)| Some((column, load.text(field)?.to_owned())))
            .collect(),
        outdoors: outdoors(load).unwrap_or_default().to_owned(),
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
    words: &'static [&'static str],
    /// Matter of the table of words whose phrases name it too.
    matter: &'static str,
    what: &'static str,
    field: Field,
    cure: &'static str,
}

const NAMED: &[Named] = &[
    Named {
        words: &["brake", "brakes", "bremse", "bremsmotor", "haltebremse", "federdruckbremse", "frein", "freno", "freio"],
        matter: "",
        what: "a brake",
        field: Field::BrakeW,
        cure: "enter brake_w; 0 where there is none",
    },
    Named {
        words: &["thermistor", "thermistors", "ptc", "kaltleiter", "thermistance", "thermistances", "termistore", "termistori"],
        matter: "thermistor",
        what: "thermistors or thermal switches in the winding",
        field: Field::Thermistor,
        cure: "enter thermistor; no where there are none",
    },
    Named {
        words: &[],
        matter: "space-heater",
        what: "a heater for standstill",
        field: Field::SpaceHeaterW,
        cure: "enter space_heater_w; 0 where there is none",
    },
    Named {
        words: &[],
        matter: "emergency-stop",
        what: "an emergency stop",
        field: Field::EmergencyStop,
        cure: "enter emergency_stop category-0 or category-1; none where there is none",
    },
    Named {
        words: &[],
        matter: "moisture",
        what: "a probe for moisture or a seal leak",
        field: Field::InterlockNote,
        cure: "no relay, contact and core is chosen for it: have them added, say so in interlock_note, and decide this warning",
    },
];

/// Words before or behind which the word means something else: none of it, the shaft power, or a machine that bends.
const DENIED_BEFORE: &[&str] = &["no", "without", "ohne", "kein", "keine", "sans", "sin", "senza", "sem", "press"];
const OTHER_BEHIND: &[&str] = &["horsepower", "hp", "power", "kw"];

/// Says what description and note name of the motor while its column is empty: it is left out of contacts, cores and parts.
pub(super) fn ask_of_words(load: &Load, kind: LoadKind, record: &mut Record) {
    if kind != LoadKind::Motor {
        return;
    }
    for named in NAMED.iter().filter(|named| !load.has(named.field)) {
        let mentions = |field: &Field| {
            let said = words(load.text(*field).unwrap_or(""));
            let near = |at: usize, list: &[&str]| said.get(at).is_some_and(|word| list.contains(&word.as_str()));
            let by_phrase = !named.matter.is_empty() && suggests(named.matter, &words_of(load.text(*field).unwrap_or("")));
            by_phrase
                || said.iter().enumerate().any(|(at, word)| {
                    let denied =
                        at.checked_sub(1).is_some_and(|before| near(before, DENIED_BEFORE)) || near(at + 1, OTHER_BEHIND);
                    named.words.contains(&word.as_str()) && !denied
                })
        };
        let Some(field) = [Field::Description, Field::Notes].into_iter().find(mentions) else { continue };
        let place = saying(field);
        record.find(
            Finding::new(&codes::L412_EXTRA_NAMED, format!("the {place} names {}, which no column states", named.what))
                .at(load.place_of(field))
                .why("contacts, relays, cores and terminals are chosen without it")
                .cure(named.cure),
        );
    }
}

fn nothing(text: &str) -> bool {
    text.is_empty() || ["no", "none", "0", "-"].contains(&text.to_lowercase().as_str())
}
