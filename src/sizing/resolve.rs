//! Turns a row as read and the basis into a case in which nothing is missing any more.
//!
//! Each value is taken from the row, else from the basis, else from a table, else a default; defaults of the project are listed
//! once ([`super::assumptions`]), values that were assumed for one row are one note on that row. If something that no default may supply
//! is missing (a way to know the current, the starting method of a motor, the voltage), the row is not sized and says why.

use crate::basis::Basis;
use crate::finding::{Finding, codes};
use crate::intake::protection_kinds;
use crate::load::{Case, Coordination, Field, Known, Load, LoadKind, Machine, Method, Origin, Start, Wishes};
use crate::quantity::{Celsius, Metres, Watts};
use crate::record::Record;
use crate::rules::physics::devices::device_figure;
use crate::rules::physics::plausibility::plausible;
use crate::rules::physics::starting;
use crate::rules::{RatedCurrents, RuleBook};

mod brake_voltage;
mod control;
mod direct_current;
pub(super) mod extras;
pub mod idle;
mod machine;
mod named;
mod route;
mod run_up;
mod services;
mod several;
mod single_phase;
mod standing;
mod start;
mod wish;
mod words;

pub(in crate::sizing) use machine::by_class;
pub use wish::control_voltage;

/// Which current of a motor counts: that of its nameplate, unless the basis says otherwise.
fn current_source(basis: &Basis) -> &str {
    basis.design.current_source.as_deref().unwrap_or("nameplate")
}

/// Air at the devices, °C: that of the room with the rise inside the enclosure, never less than the reference of devices.
#[must_use]
pub fn device_air_c(room: Option<f64>) -> f64 {
    let least = device_figure("device-air-least-c");
    room.map_or(least, |room| (room + enclosure_rise_k()).max(least))
}

/// Air at the devices above the air of the room, K.
#[must_use]
pub fn enclosure_rise_k() -> f64 {
    figure("enclosure-rise")
}

/// A figure of starting practice; a test holds that each one named here is in the table.
fn figure(name: &str) -> f64 {
    starting::practice(name).unwrap_or(f64::NAN)
}

/// Resolves a row. Findings go to the record; `None` if the row can't be sized.
#[must_use]
pub fn resolve(load: &Load, basis: &Basis, book: &dyn RuleBook, record: &mut Record) -> Option<Case> {
    let before = errors(record);
    if direct_current::refuse(load, book, record) {
        return None;
    }
    let kind = machine::kind(load);
    let mut assumed = Vec::new();
    let machine = machine::read(load, kind, basis, book, &mut assumed, record)?;
    let method = start::method(load, kind, record)?;
    let start = start::read(load, basis, method, &machine, book, &mut assumed, record);
    let wishes = wishes(load, basis, book);
    let control = wish::read(load, basis, book);
    let mut case = Case {
        tag: load.tag(),
        place: load.place(),
        board: board(load, basis),
        route: route::read(load, basis, book, record),
        scheme: control::scheme(load, &control, record),
        control,
        extras: extras::read(load),
        current_assumed: machine.nameplate.is_none()
            && kind == LoadKind::Motor
            && !book.currents_by_tables()
            && [machine.efficiency, machine.power_factor].iter().any(|known| known.is_some_and(|k| k.origin != Origin::Cell)),
        motors: several::read(load, &machine, &start, book, record),
        machine,
        start,
        wishes,
        assumed,
    };
    services::refer(load, &case, basis, book.not_covered(), record);
    named::ask(load, &case, record);
    case.extras.place_asked = words::ask(load, &case, book, record);
    idle::of_row(load, book, record);
    idle::unknown_kind(load, basis, book, record);
    wish::unread_control_voltage(load, basis, book, record);
    requirements(load, &case, book, record);
    frequency(load, &case, basis, record);
    unusual_frequency(load, &case, basis, record);
    super::plausible::of_row(load, &case, book, record);
    (errors(record) == before).then_some(case)
}

/// The case of a row that was read, with its currents where they are known.
#[must_use]
pub fn with_currents(
    load: &Load,
    basis: &Basis,
    book: &dyn RuleBook,
    record: &mut Record,
) -> Option<(Case, Option<RatedCurrents>)> {
    let case = load.is_readable().then(|| resolve(load, basis, book, record)).flatten()?;
    let currents = book.currents(&case.machine, &case.start, &case.wishes.current_source, load, record);
    Some((case, currents))
}

/// The load of a row that can't be sized, as far as it is stated, so that it counts where loads are summed up. Its start is that
/// of a starter by others, of which nothing is known, where the row names no method. None if no voltage is known.
#[must_use]
pub fn load_only(load: &Load, basis: &Basis, book: &dyn RuleBook) -> Option<(Machine, Start)> {
    let (assumed, record) = (&mut Vec::new(), &mut Record::silent());
    let kind = machine::kind(load);
    let voltage = machine::stated_voltage(load, basis).filter(|volts| volts.0 > 0.0)?;
    let machine = machine::at_voltage(load, kind, voltage, basis, book, assumed, record);
    let method = start::method(load, kind, record).unwrap_or(Method::ByOthers);
    let start = start::read(load, basis, method, &machine, book, assumed, record);
    Some((machine, start))
}

fn errors(record: &Record) -> usize {
    record.findings().iter().filter(|finding| finding.severity == crate::finding::Severity::Error).count()
}

/// Kind of load of a row.
#[must_use]
pub(super) fn kind_of(load: &Load) -> LoadKind {
    machine::kind(load)
}

/// Board of a row: the row's, else the only board of the basis, else a main board.
#[must_use]
pub fn board(load: &Load, basis: &Basis) -> String {
    let only = (basis.boards.len() == 1).then(|| basis.boards[0].name.clone()).flatten().filter(|name| !name.trim().is_empty());
    load.text(Field::Board).map(str::to_owned).or(only).unwrap_or_else(|| "main board".to_owned())
}

/// Kind of protective device that the basis wants: for the board of the row, else for all.
fn kind_of_basis<'b>(load: &Load, basis: &'b Basis) -> Option<&'b str> {
    let of_board = basis.board(&board(load, basis)).and_then(|board| board.protection_kind.as_deref());
    of_board.or(basis.design.protection_kind.as_deref())
}

fn wishes(load: &Load, basis: &Basis, book: &dyn RuleBook) -> Wishes {
    let design = &basis.design;
    let of_board = basis.board(&board(load, basis));
    let device_ambient_c = of_board.and_then(|board| board.device_ambient_c);
    let is_served = matches!(machine::kind(load), LoadKind::Motor | LoadKind::Packaged | LoadKind::Heater);
    // At the end of a spare way stands no machine.
    let is_spare = load.text(Field::Running) == Some("spare");
    let iec = book.protection_kind().is_iec();
    let stated = |word: Option<&str>| word.and_then(|word| protection_kinds::meant(word, iec));
    let from_row = stated(load.text(Field::ProtectionKind)).map(|kind| Known::new(kind, Origin::Cell));
    let from_basis = stated(kind_of_basis(load, basis)).map(|kind| Known::new(kind, Origin::Basis));
    Wishes {
        protection: from_row.or(from_basis).unwrap_or(Known::new(book.protection_kind(), Origin::Default)),
        coordination: match load.text(Field::Coordination).or(design.coordination.as_deref()) {
            Some("type-1") => Some(Coordination::Type1),
            Some("type-2") => Some(Coordination::Type2),
            _ => None,
        },
        device_ambient: Celsius(device_ambient_c.unwrap_or_else(|| device_air_c(design.ambient_c))),
        altitude: Metres(design.altitude_m.unwrap_or(0.0)),
        current_source: current_source(basis).to_owned(),
        reduced_life: basis.catalogue.reduced_life_contactors.as_deref() == Some("where-suitable"),
        controller_family: design.controller_family.clone().unwrap_or_else(|| book.controller_family().to_owned()),
        minimum_nema_size: design.minimum_nema_size.clone(),
        cheapest: basis.catalogue.prefer.as_deref() == Some("cheapest"),
        finger_protection: design.finger_protection.unwrap_or(true),
        direct_limit: basis.starting.direct_limit_kw.map(|kw| Watts(kw * 1000.0)),
        isolator: load.yes(Field::Isolator).or(design.isolator.filter(|_| is_served && !is_spare)).unwrap_or(false),
        evaluated: design.instantaneous_evaluated.unwrap_or(false),
        supervised: design.supervised_industrial.unwrap_or(false),
    }
}

/// A frequency that the supply does not have. Behind a drive alone it is the motor's own, and the drive makes it.
fn frequency(load: &Load, case: &Case, basis: &Basis, record: &mut Record) {
    let (Some(stated), Some(supply)) = (load.number(Field::FrequencyHz), basis.supply.frequency_hz) else { return };
    if is_of_frequency(stated, supply) || case.start.by_drive_alone() {
        return;
    }
    record.find(
        Finding::new(&codes::L318_FREQUENCY, format!("{stated} Hz on a supply of {supply} Hz"))
            .at(load.place_of(Field::FrequencyHz))
            .why("a motor turns, draws and starts by the frequency of its supply; the row is sized at its own")
            .cure("correct the frequency, or have the motor's maker state current, power and speed at that of the supply"),
    );
}

fn is_of_frequency(stated: f64, usual: f64) -> bool {
    (stated - usual).abs() < plausible("frequency-differs-hz")
}

/// A supply of another frequency than 50 or 60 Hz, for which neither devices nor coils are rated.
fn unusual_frequency(load: &Load, case: &Case, basis: &Basis, record: &mut Record) {
    let hertz = match basis.supply.frequency_hz {
        Some(supply) => supply,
        None if case.start.by_drive_alone() => return,
        None => case.machine.frequency_hz,
    };
    let (low, high) = (plausible("device-frequency-low-hz"), plausible("device-frequency-high-hz"));
    if is_of_frequency(hertz, low) || is_of_frequency(hertz, high) {
        return;
    }
    record.find(
        Finding::new(&codes::L319_UNUSUAL_FREQUENCY, format!("a supply of {hertz} Hz: the circuit is sized as for {low} or {high} Hz"))
            .at(load.place_of(Field::FrequencyHz))
            .why(
                "ratings of contactors, relays, releases, coils and control transformers hold for 50 and 60 Hz; at lower frequencies coils and \
                 transformers burn out, at higher ones devices and conductors carry less",
            )
            .cure("have the makers of all devices state their ratings at that frequency, or correct frequency_hz")
            .reference("IEC 60947-1, rated frequency"),
    );
}

/// Finds values that the row must state, because no default may supply them.
fn requirements(load: &Load, case: &Case, book: &dyn RuleBook, record: &mut Record) {
    let machine = &case.machine;
    if !book.current_known(machine) {
        record.find(
            Finding::new(&codes::L308_NO_CURRENT, "no current is known and none can be computed; the row cannot be sized")
                .at(load.place())
                .cure(match (machine.kind, machine.power) {
                    (LoadKind::Motor, Some(_)) => {
                        "enter the nameplate current, or efficiency and power factor: no table gives them for a motor of this output"
                    }
                    _ => "enter the nameplate current, or the rated power; for packaged equipment its marked circuit ampacity",
                }),
        );
    }
    single_phase::requirements(load, case, book, record);
    if machine.power.is_none() && machine.kind == LoadKind::Motor && machine.nameplate.is_some() {
        record.find(
            Finding::new(&codes::L310_NO_POWER, "the rated power is missing; the nameplate current alone is used")
                .at(load.place())
                .cure("enter the rated power so that the current can be checked"),
        );
    }
}
