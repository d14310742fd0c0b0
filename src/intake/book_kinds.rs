//! Rows in kilowatts under a book whose motors are listed in horsepower: kilowatts are what a load takes in there. What is supplied only is
//! then no motor, and what nothing but the default calls one is asked about.

use std::collections::HashSet;

use super::load_kind::{FIELDS_OF_MOTORS, is_supply_alone};
use super::{Intake, load_words, methods, text};
use crate::finding::{Finding, codes};
use crate::load::{Entry, Field, Load, Value};

/// Settles rows in kilowatts; `customary` where the book lists motors in horsepower.
pub(crate) fn settle(intake: &mut Intake, customary: bool) {
    if !customary {
        return;
    }
    let Intake { loads, findings, .. } = intake;
    let asked = asked_already(findings);
    for load in loads.iter_mut() {
        let Some(power) = input_power(load).cloned() else { continue };
        let method = load.text(Field::StartingMethod);
        if is_supply_alone(method) {
            findings.push(supplied(load, &power));
            load.set(Field::LoadKind, Entry { value: Value::Choice("other"), ..power });
        } else if !method.is_some_and(methods::starts_a_motor) && !asked.contains(&load_key(load)) {
            findings.push(taken_for_a_motor(load, &power));
        }
    }
}

/// The kilowatts of a row of which nothing says that a motor gives them: no kind, no figure that motors alone have, no word.
fn input_power(load: &Load) -> Option<&Entry> {
    let of_motor = |(field, _): &(Field, _)| *field != Field::RatedPowerKw && load.has(*field);
    let named = |field: Field| load.text(field).is_some_and(load_words::names_a_motor);
    let motor = load.has(Field::LoadKind)
        || FIELDS_OF_MOTORS.iter().any(of_motor)
        || [Field::Description, Field::Section].into_iter().any(named);
    load.entry(Field::RatedPowerKw).filter(|_| !motor)
}

type RowKey = (Option<String>, Option<u32>);

fn load_key(load: &Load) -> RowKey {
    let place = load.place();
    (place.sheet, place.row)
}

/// Rows of which the reader asked already what their contactor switches.
fn asked_already(findings: &[Finding]) -> HashSet<RowKey> {
    let uncertain = findings.iter().filter(|finding| finding.code == codes::I448_KIND_UNCERTAIN.code);
    uncertain.filter_map(|finding| finding.place.as_ref()).map(|place| (place.sheet.clone(), place.row)).collect()
}

fn named(load: &Load) -> String {
    text::shortened(load.text(Field::Description).filter(|said| !said.is_empty()).unwrap_or(&load.tag()))
}

fn supplied(load: &Load, power: &Entry) -> Finding {
    let what = format!(
        "`{}` is supplied only, states `{}` kW and no horsepower: it was taken for a load of the kind other, which takes that power in",
        named(load),
        text::shortened(&power.text)
    );
    Finding::new(&codes::I447_KIND_INFERRED, what)
        .at(load.place_of(Field::RatedPowerKw))
        .cure("state its horsepower if it is a motor, or load_kind")
}

fn taken_for_a_motor(load: &Load, power: &Entry) -> Finding {
    let what = format!(
        "`{}` states `{}` kW and no horsepower, and nothing says what it is: it was taken for a motor that gives this power",
        named(load),
        text::shortened(&power.text)
    );
    Finding::new(&codes::I475_KILOWATTS_OF_MOTOR, what)
        .at(load.place_of(Field::RatedPowerKw))
        .why("the device before a motor may be several times that of another load, whose conductors it would not protect")
        .cure("state load_kind, or the horsepower and the starting method of the motor")
}
