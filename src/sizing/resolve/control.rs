//! The control scheme of a row: stations, lamps and meters, feedback, safety and what else its columns ask of the starter. A word
//! that nobody knows is a warning at its cell, never silence.

use super::wish::names_grade;
use crate::finding::{Finding, codes};
use crate::load::{ContactLevel, ControlWish, Field, Load, Scheme};
use crate::quantity::Watts;
use crate::record::Record;
use crate::rules::physics::accessories::{About, Word, items, practice, thermistors, thermistors_taken};
use crate::rules::physics::material;

/// Stop categories of an emergency stop.
const STOP_CATEGORIES: [&str; 2] = ["category-0", "category-1"];

fn words(load: &Load, field: Field, about: About) -> Vec<(&str, Option<&'static Word>)> {
    items(about, load.text(field).unwrap_or_default())
}

/// Control wires that the station suggests: momentary contacts need three, maintained ones two. Any momentary one decides.
pub(super) fn wires(load: &Load) -> Option<&'static str> {
    let stations = words(load, Field::ControlStation, About::Station);
    let has_station = |wires: &str| stations.iter().any(|(_, word)| word.is_some_and(|word| word.wires == wires));
    ["three", "two"].into_iter().find(|wires| has_station(wires))
}

/// The scheme of a row.
pub(super) fn scheme(load: &Load, control: &ControlWish, record: &mut Record) -> Scheme {
    let indicators = meanings(load, Field::Indicators, About::Indicator, record);
    let meter = |word: &&str| matches!(*word, "ammeter" | "hour-meter");
    let level = level_of(control.voltage.volts);
    let stated = match load.text(Field::FeedbackLevel) {
        Some("logic") => Some(ContactLevel::Logic),
        Some("24 V") => Some(ContactLevel::ExtraLow),
        Some("mains") => Some(ContactLevel::Mains),
        _ => None,
    };
    let unwanted = load.text(Field::FeedbackLevel) == Some("none");
    let controller = control.driven_by == "plc-output" && !unwanted;
    let safety = load.text(Field::SafetyLevel).unwrap_or_default();
    unknown_level(load, safety, record);
    contradicting_wires(load, record);
    reset_in_explosive_atmosphere(load, control, record);
    Scheme {
        stations: meanings(load, Field::ControlStation, About::Station, record),
        lamps: indicators.iter().copied().filter(|indicator| !meter(indicator)).collect(),
        meters: indicators.iter().copied().filter(meter).collect(),
        level,
        // A controller that switches the load wants to know whether it runs; its inputs are for 24 V unless the row says otherwise.
        feedback: stated.or(controller.then_some(ContactLevel::ExtraLow)),
        wished: stated.unwrap_or(level),
        // Two channels are of no use without a look at both; category 2 has one that is looked at.
        monitored: control.redundant || names_grade(safety, &["category", "cat"], &["2"]),
        emergency_stop: STOP_CATEGORIES.into_iter().find(|category| load.text(Field::EmergencyStop) == Some(category)),
        undervoltage_release: load.yes(Field::UndervoltageRelease).unwrap_or(false),
        thermistors: thermistors_of(load, record),
        brake: load.number(Field::BrakeW).filter(|watts| *watts > 0.0).map(Watts),
    }
}

/// Level of a control circuit.
fn level_of(volts: f64) -> ContactLevel {
    if volts < practice("standard-contact-least") {
        ContactLevel::Logic
    } else if volts <= practice("extra-low-most") {
        ContactLevel::ExtraLow
    } else {
        ContactLevel::Mains
    }
}

/// The meanings of a list of words, each once.
fn meanings(load: &Load, field: Field, about: About, record: &mut Record) -> Vec<&'static str> {
    let mut found: Vec<&'static str> = Vec::new();
    for (item, known) in words(load, field, about) {
        let Some(known) = known else {
            match material::function_of(item).filter(|_| field == Field::ControlStation) {
                Some(row) => by_others(load, item, &row.function, record),
                None => unknown(load, field, item, "no contact, no part and no core of a cable follow from it", record),
            }
            continue;
        };
        for means in known.means.split_whitespace() {
            if !found.contains(&means) {
                found.push(means);
            }
        }
    }
    found
}

/// A piece of a station that has cores in its cable, and no part or contact of the starter.
fn by_others(load: &Load, item: &str, function: &str, record: &mut Record) {
    if function == "emergency-stop" && STOP_CATEGORIES.iter().any(|category| load.text(Field::EmergencyStop) == Some(category)) {
        return;
    }
    record.find(
        Finding::new(
            &codes::C504_CONTROL_WORD,
            format!("control_station \"{item}\": its cores are counted, the piece itself is not"),
        )
        .at(load.place_of(Field::ControlStation))
        .why("no part of the catalogue and no contact of the starter follow from it")
        .cure(if function == "emergency-stop" {
            "write its stop category in emergency_stop, and order the device with its safety relay"
        } else {
            "order it by hand"
        }),
    );
}

fn unknown(load: &Load, field: Field, item: &str, why: &str, record: &mut Record) {
    record.find(
        Finding::new(&codes::C504_CONTROL_WORD, format!("{} \"{item}\" is not known", field.spec().name))
            .at(load.place_of(field))
            .why(why)
            .cure(match field {
                Field::ControlStation => {
                    "write start-stop, on-off, hand-off-auto, local-off-remote or the like, several parted by commas"
                }
                Field::Indicators => "write running, stopped, tripped, ammeter, hour meter, several parted by commas",
                Field::SafetyLevel => "write PL a to e, SIL 1 to 3 or category B to 4",
                _ => "write yes, no or the number of sensors, up to 100",
            }),
    );
}

/// Thermistors of a row.
fn thermistors_of(load: &Load, record: &mut Record) -> u32 {
    let text = load.text(Field::Thermistor).unwrap_or_default();
    if thermistors(text).is_none() {
        unknown(load, Field::Thermistor, text.trim(), "one sensor for each winding and their relay are taken", record);
    }
    thermistors_taken(text)
}

/// A safety level that names no grade of a scale.
fn unknown_level(load: &Load, level: &str, record: &mut Record) {
    let level = level.trim();
    if level.is_empty() || matches!(level.to_lowercase().as_str(), "none" | "no") {
        return;
    }
    let known = names_grade(level, &["pl"], &["a", "b", "c", "d", "e"])
        || names_grade(level, &["silcl", "sil"], &["1", "2", "3"])
        || names_grade(level, &["category", "cat"], &["b", "1", "2", "3", "4"]);
    if !known {
        unknown(load, Field::SafetyLevel, level, "neither a second contactor nor monitored contacts follow from it", record);
    }
}

/// Two wires hold no momentary command; three wires make a maintained one momentary.
fn contradicting_wires(load: &Load, record: &mut Record) {
    let (Some(stated), Some(suggested)) = (load.text(Field::ControlWires), wires(load)) else { return };
    if stated == suggested {
        return;
    }
    let station = load.text(Field::ControlStation).unwrap_or_default();
    let why = if stated == "two" {
        "a momentary contact needs a seal-in contact, which two-wire control has not"
    } else {
        "a maintained contact needs no seal-in contact; with one, a stop elsewhere is undone by the selector"
    };
    record.find(
        Finding::new(&codes::C516_CONTROL_WIRES, format!("{stated}-wire control with the station \"{station}\""))
            .at(load.place_of(Field::ControlWires))
            .why(why)
            .cure("correct one of the two; the circuit follows control_wires"),
    );
}

/// After a trip of a motor for explosive atmospheres somebody must look before it runs again.
fn reset_in_explosive_atmosphere(load: &Load, control: &ControlWish, record: &mut Record) {
    let explosive = super::services::explosive(load).is_some() || load.number(Field::TeS).is_some();
    if !explosive || !control.automatic_reset {
        return;
    }
    record.find(
        Finding::new(&codes::C509_RESET_EXPLOSIVE, "automatic reset of a motor for explosive atmospheres")
            .at(load.place_of(Field::ResetMode))
            .why("its overload protection is reset by hand, or by a supervised interlock, after the motor has cooled")
            .cure("write manual"),
    );
}
