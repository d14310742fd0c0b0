//! Cells of the supply: voltage with phases and frequency, phases, frequency.

use super::measured::{bounded, clean, one};
use super::{Given, Note, Outcome};
use crate::finding::codes;
use crate::intake::supply::{self, Supply, supply};
use crate::intake::units::Unit;
use crate::intake::values::Wrong;
use crate::intake::{Cell, Content, fold, text};
use crate::load::{Field, FieldSpec, Value};

fn bad_supply(seen: &str) -> Box<Wrong> {
    Box::new(Wrong {
        code: &codes::I116_SUPPLY,
        what: format!("the supply reads `{}`", text::shortened(seen)),
        cure: "write a voltage of alternating current with 1 or 3 phases and 50 or 60 Hz, such as 400/3/50 or 460/3/60"
            .to_owned(),
    })
}

pub(super) fn voltage(unit: Option<Unit>, cell: &Cell, seen: &str) -> Outcome {
    let kilovolts = cell.shown.filter(|shown| matches!(shown, Unit::Volt | Unit::Kilovolt)).or(unit) == Some(Unit::Kilovolt);
    let shown = match cell.content {
        Content::Number(number) => text::number_text(clean(number)),
        _ => seen.to_owned(),
    };
    if let Some(rest) = shown.strip_prefix('-') {
        let value = rest.parse::<f64>().map_err(|_| bad_supply(seen))?;
        return bounded(Field::VoltageV, -value, seen).map(|value| Given::one(Field::VoltageV, value));
    }
    let found = supply(&shown, kilovolts).ok_or_else(|| bad_supply(seen))?;
    let mut given = Given::default();
    if let Some((delta, star)) = found.winding {
        let pair = format!("{}/{}", text::number_text(clean(delta)), text::number_text(clean(star)));
        given.values.push((Field::MotorVoltages, Value::Text(pair.into())));
        given.notes.push(Note::Winding);
    }
    if let Some(value) = found.voltage {
        given.values.push((Field::VoltageV, bounded(Field::VoltageV, clean(value), seen)?));
    }
    for (field, value) in [(Field::Phases, found.phases), (Field::FrequencyHz, found.frequency)] {
        given.values.extend(value.map(|value| (field, Value::Number(value))));
    }
    connect(&mut given, &found);
    if found.kilovolts {
        given.notes.push(Note::Converted);
    }
    if found.several {
        given.open = Given::open(
            &codes::I420_SEVERAL_VOLTAGES,
            format!("the supply reads `{}`: several voltages, of which none is chosen", text::shortened(seen)),
            "enter the voltage of the board that feeds it",
        )
        .open;
    }
    Ok(given)
}

/// A neutral that stands with the phases: how the load is connected.
fn connect(given: &mut Given, found: &Supply) {
    if let Some(phases) = found.phases.filter(|_| found.neutral) {
        let words = if phases == 1.0 { "L-N" } else { "3L+N" };
        given.values.push((Field::Connection, Value::Text(words.into())));
        given.notes.push(Note::Neutral);
    }
}

pub(super) fn phases(seen: &str) -> Outcome {
    // Spreadsheets write counts with decimals at times: 3.0.
    let whole = seen.parse::<f64>().ok().filter(|number| number.fract() == 0.0).map(text::number_text);
    let key = whole.unwrap_or_else(|| fold::key(seen));
    if let Some(count) = supply::phases_of_cell(&key) {
        return Ok(Given::one(Field::Phases, Value::Number(count)));
    }
    let found = supply::conductors(seen).ok_or_else(|| bad_phases(seen))?;
    let mut given = Given {
        values: found.phases.map(|phase| (Field::Phases, Value::Number(phase))).into_iter().collect(),
        ..Given::default()
    };
    connect(&mut given, &found);
    Ok(given)
}

fn bad_phases(seen: &str) -> Box<Wrong> {
    Box::new(Wrong {
        cure: "write 3 or 1; with a neutral 3P+N or 1P+N, or state it in the column connection as 3L+N or L-N".to_owned(),
        ..*bad_supply(seen)
    })
}

pub(super) fn frequency(spec: &FieldSpec, cell: &Cell, seen: &str) -> Outcome {
    let mut given = Given::default();
    let Some((value, _)) = one(spec, cell, seen, &[Unit::Hertz], &mut given)? else { return Ok(given) };
    if value != 50.0 && value != 60.0 {
        return Err(bad_supply(seen));
    }
    given.values.push((spec.field, Value::Number(value)));
    Ok(given)
}
