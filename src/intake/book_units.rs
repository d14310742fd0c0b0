//! Figures without a unit, in the units in which the rule book measures: lengths in feet by one, conductors of others in mm² by the other.

use super::units::METRES_PER_FOOT;
use super::{Intake, Mapping, numbers};
use crate::finding::{Finding, Place, codes, column_letters};
use crate::load::{Entry, Field, Load, Value};

/// Settles figures without a unit; `customary` where the book measures in feet and wire gauges.
pub(crate) fn settle(intake: &mut Intake, customary: bool) {
    if customary {
        drop_conversions(intake);
        lengths(intake);
    } else {
        conductors(intake);
    }
}

/// What stands in the units of the book is not said to be converted, whatever it is worked with.
fn drop_conversions(intake: &mut Intake) {
    let Intake { findings, mappings, .. } = intake;
    findings.retain(|finding| {
        let Some(place) = finding.place.as_ref().filter(|_| finding.code == codes::I402_UNIT_CONVERTED.code) else { return true };
        let in_its_units = |mapping: &Mapping| {
            mapping.sheet == place.sheet
                && place.column.as_deref() == Some(&column_letters(mapping.column))
                && matches!(mapping.unit, "ft" | "hp" | "°F")
        };
        !mappings.iter().any(in_its_units)
    });
}

/// A conductor of others that is a bare number is one in mm². Wire gauges are numbers too, so nothing is taken by the other book.
fn conductors(intake: &mut Intake) {
    for field in [Field::GivenConductor, Field::GivenProtectiveConductor] {
        let mut first: Option<(Place, usize)> = None;
        for load in &mut intake.loads {
            let Some(entry) = load.entry(field).cloned() else { continue };
            let Value::Text(size) = &entry.value else { continue };
            if numbers::number(size).is_err() {
                continue;
            }
            first.get_or_insert_with(|| (load.place_of(field), 0)).1 += 1;
            let size = Value::Text(format!("{size} mm2").into());
            load.set(field, Entry { value: size, ..entry });
        }
        let Some((place, count)) = first else { continue };
        let rows = if count == 1 { "here".to_owned() } else { format!("in {count} rows, first here") };
        let what = format!("{} has no unit and was taken in mm² ({rows})", field.spec().name);
        intake
            .findings
            .push(Finding::new(&codes::I468_CONDUCTOR_UNIT, what).at(place).cure("write the unit into the heading or the cells"));
    }
}

/// Takes lengths of columns that nobody gave a unit for feet, and says so in place of metres.
fn lengths(intake: &mut Intake) {
    let columns: Vec<(Option<String>, u32)> =
        intake.findings.iter().filter_map(|finding| assumed_metres(finding, &intake.mappings)).collect();
    for (sheet, column) in columns {
        let of_table = |mapping: &mut Mapping| {
            let here = mapping.sheet == sheet && mapping.column == column && mapping.field.is_some_and(is_length);
            if here {
                mapping.unit = "ft";
            }
            here
        };
        let headings: Vec<String> =
            intake.mappings.iter_mut().filter_map(|mapping| of_table(mapping).then(|| mapping.heading.clone())).collect();
        for load in &mut intake.loads {
            let here = load.source.sheet == sheet
                && load.source.headings.get(column as usize).is_some_and(|heading| headings.contains(heading));
            if here {
                in_feet(load, column);
            }
        }
        say_feet(&mut intake.findings, sheet.as_deref(), &column_letters(column));
    }
}

/// The column of a note that metres were assumed for a length.
fn assumed_metres(finding: &Finding, mappings: &[Mapping]) -> Option<(Option<String>, u32)> {
    let place = finding.place.as_ref().filter(|_| finding.code == codes::I426_UNIT_ASSUMED.code)?;
    let of_length = |mapping: &&Mapping| {
        mapping.field.is_some_and(is_length)
            && mapping.sheet == place.sheet
            && place.column.as_deref() == Some(&column_letters(mapping.column))
    };
    mappings.iter().find(of_length).map(|mapping| (mapping.sheet.clone(), mapping.column))
}

/// Lengths of runs, in metres unless somebody says otherwise.
pub(super) fn is_length(field: Field) -> bool {
    matches!(field, Field::CableLengthM | Field::SupplyLengthM | Field::ControlCableLengthM)
}

/// A bare figure of the column becomes feet; one with its own unit stays.
fn in_feet(load: &mut Load, column: u32) {
    let of_column = |field: &Field| load.entry(*field).is_some_and(|entry| entry.column == column);
    let lengths = [Field::CableLengthM, Field::SupplyLengthM, Field::ControlCableLengthM];
    let Some(field) = lengths.into_iter().find(of_column) else { return };
    let Some(entry) = load.entry(field).filter(|entry| numbers::number(&entry.text).is_ok()).cloned() else { return };
    let Value::Number(length) = entry.value else { return };
    if field != Field::CableLengthM {
        load.set(field, Entry { value: Value::Number(length * METRES_PER_FOOT), ..entry });
    } else if !load.has(Field::CableLengthFt) {
        load.remove(field);
        load.set(Field::CableLengthFt, Entry { value: Value::Number(length), ..entry });
    }
}

fn say_feet(findings: &mut Vec<Finding>, sheet: Option<&str>, letters: &str) {
    let assumed = [codes::I426_UNIT_ASSUMED.code, codes::I449_UNIT_DOUBTFUL.code];
    let here = |finding: &Finding| {
        assumed.contains(&finding.code.as_str())
            && finding
                .place
                .as_ref()
                .is_some_and(|place| place.sheet.as_deref() == sheet && place.column.as_deref() == Some(letters))
    };
    let Some(place) = findings.iter().find(|finding| here(finding)).and_then(|finding| finding.place.clone()) else { return };
    findings.retain(|finding| !here(finding));
    let what = "neither the heading nor a row of units says a unit: figures without one are taken as feet, in which the rule book measures";
    findings.push(Finding::new(&codes::I449_UNIT_DOUBTFUL, what).at(place).cure("write the unit into the heading"));
}
