//! Rows for tests, made without a file.

use std::sync::Arc;

use crate::basis::Basis;
use crate::catalogue::{self, Catalogue};
use crate::design::Circuit;
use crate::load::{Entry, Field, Kind, Load, Source, Value};
use crate::record::Record;
use crate::rules;
use crate::sizing::{self, Pins, Tools};
use crate::supply;

/// A row of canonical names and texts.
pub(crate) fn row(cells: &[(&str, &str)]) -> Load {
    let headings = cells.iter().map(|(name, _)| (*name).to_owned()).collect();
    let source = Source { file: "test.csv".to_owned(), sheet: None, title: None, headings };
    let mut load = Load::new(Arc::new(source), 0, 1);
    for (column, (name, text)) in (0u32..).zip(cells) {
        let field = Field::from_name(name).unwrap_or_else(|| panic!("{name} is no column"));
        let value = match field.spec().kind {
            Kind::Text => Value::Text((*text).into()),
            Kind::Tags => Value::Tags([(*text).into()].into()),
            Kind::Number(..) | Kind::Count(..) => Value::Number(text.parse().expect("a number")),
            Kind::YesNo => Value::YesNo(*text == "yes"),
            Kind::Choice(choices) => {
                Value::Choice(choices.iter().find(|(choice, _)| choice == text).unwrap_or_else(|| panic!("{name}: {text}")).0)
            }
        };
        load.set(field, Entry { value, column, text: (*text).into() });
    }
    load
}

/// An ordinary basis: 400 V, 50 Hz, TN-S, 20 kA and 1 kA.
pub(crate) fn basis() -> Basis {
    let mut basis = Basis::default();
    basis.rules.book = Some("iec".to_owned());
    basis.supply.voltage_v = Some(400.0);
    basis.supply.frequency_hz = Some(50.0);
    basis.supply.phases = Some(3);
    basis.supply.earthing = Some("TN-S".to_owned());
    basis.supply.prospective_fault_ka = Some(20.0);
    basis.supply.prospective_fault_min_ka = Some(10.0);
    basis.supply.x_over_r = Some(2.0);
    basis.design.ambient_c = Some(30.0);
    basis
}

/// Sizes a row; the circuit carries its findings and its status.
pub(crate) fn size_with(load: &Load, basis: &Basis) -> (Circuit, Record) {
    size_in(load, basis, catalogue::builtin(basis.rules.book.as_deref().unwrap_or("iec")), &Pins::default())
}

/// The same with another catalogue and with choices fixed from outside.
pub(crate) fn size_in(load: &Load, basis: &Basis, catalogue: &Catalogue, pins: &Pins) -> (Circuit, Record) {
    let book = rules::book(basis.rules.book.as_deref().unwrap_or("iec"), None).expect("the book is there");
    let tools = Tools { basis, book, catalogue };
    let mut record = Record::new();
    let mut circuit = match sizing::resolve::resolve(load, basis, book, &mut record) {
        Some(case) => {
            let point = supply::point(basis, &case.board, book.system_voltage(case.machine.voltage));
            sizing::size(load, &case, &point, pins, &tools, &mut record)
        }
        None => sizing::not_sized(load, basis),
    };
    circuit.findings.extend(record.findings().iter().cloned());
    sizing::settle_status(&mut circuit);
    (circuit, record)
}

/// Sizes a row under the ordinary basis.
pub(crate) fn size(cells: &[(&str, &str)]) -> Circuit {
    size_with(&row(cells), &basis()).0
}
