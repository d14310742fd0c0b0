//! Reads a cell below a canonical heading as its sender may have meant it, where the strict reading refuses.

use super::cells::{self, Given};
use super::numbers::{self, Reading};
use super::values;
use super::{Cell, Content, choices, direct_current, duty, text};
use crate::load::{Field, FieldSpec, Kind, Value};

/// Reads a canonical column as its sender may have meant it, where the strict reading refuses.
pub(super) fn read(spec: &'static FieldSpec, cell: &Cell, seen: &str) -> Option<Given> {
    let of = |values: Vec<(Field, Value)>| Given { values, ..Given::default() };
    if values::check_characters(spec, seen).is_err() || !matches!(cell.content, Content::Text(_)) || text::is_doubted(seen) {
        return None;
    }
    if let Some(stated) = direct_current::in_cell(spec.field, seen) {
        return Some(of(vec![stated]));
    }
    match spec.kind {
        Kind::Number(..) | Kind::Count(..) => {
            if let Reading::One(number, None, _) = numbers::reading(seen).ok()? {
                let value = values::read(spec, &Content::Number(number)).ok()??;
                return Some(of(vec![(spec.field, value)]));
            }
            let given = cells::read(spec, None, cell).ok().filter(|given| given.open.is_none() && !given.speeds)?;
            let of_field = given.values.iter().all(|(field, _)| *field == spec.field);
            (of_field && !given.values.is_empty()).then(|| of(given.values))
        }
        // What says more than yes or no is asked here as below a heading of the sender's.
        Kind::YesNo if spec.field == Field::Isolator => cells::read(spec, None, cell).ok(),
        Kind::YesNo if duty::yes_no(seen).is_some() => duty::yes_no(seen).map(|yes| of(vec![(spec.field, Value::YesNo(yes))])),
        Kind::Choice(_) if matches!(spec.field, Field::StartingMethod | Field::Running | Field::EfficiencyClass) => {
            let given = cells::read(spec, None, cell).ok().filter(|given| given.open.is_none() && !given.values.is_empty())?;
            let beside = [Field::TapPct, Field::StartCurrentLimit];
            let mut values: Vec<_> =
                given.values.into_iter().filter(|(field, _)| *field == spec.field || beside.contains(field)).collect();
            if given.reverses {
                values.push((Field::Reversing, Value::YesNo(true)));
            }
            (!values.is_empty()).then(|| of(values))
        }
        _ => choices::meant(spec.field, seen).map(|value| of(vec![(spec.field, value)])),
    }
}
