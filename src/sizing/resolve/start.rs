//! How a row's load is started: method, current, time, tap or limit, and its duty.

use super::{current_source, figure, run_up};
use crate::basis::Basis;
use crate::finding::{Finding, codes};
use crate::intake::names_socket_outlets;
use crate::load::{Field, Kind, Known, Load, LoadKind, LoadTorque, Machine, Method, Origin, Start, duty};
use crate::quantity::{Amperes, Seconds, round_to};
use crate::record::Record;
use crate::rules::{Category, LockedRotor, RuleBook};
use crate::sizing::arrangement::Arrangement;

pub(super) fn method(load: &Load, kind: LoadKind, record: &mut Record) -> Option<Method> {
    let written = load.text(Field::StartingMethod).and_then(Method::from_word);
    match (written, kind) {
        (Some(Method::Direct), LoadKind::Motor) => Some(Method::Direct),
        // A heater or a lighting board that is "started direct" is switched by one contactor.
        (
            Some(Method::Direct),
            LoadKind::Heater | LoadKind::Transformer | LoadKind::Capacitor | LoadKind::Lighting | LoadKind::Other,
        ) => Some(Method::Contactor),
        (Some(Method::Contactor), LoadKind::Motor) => {
            record.find(
                Finding::new(&codes::L301_METHOD_FOR_KIND, "the starting method is \"contactor\", which is for loads that are no motors; the motor is sized as started direct")
                    .at(load.place_of(Field::StartingMethod))
                    .cure("write direct, or give the load_kind"),
            );
            Some(Method::Direct)
        }
        (Some(method), _) if method.supply_only() || kind == LoadKind::Motor || method == Method::Contactor => Some(method),
        (Some(method), _) => {
            record.find(
                Finding::new(
                    &codes::L302_METHOD_NEEDS_MOTOR,
                    format!("the starting method \"{}\" is for motors; the load is no motor", method.word()),
                )
                .at(load.place_of(Field::StartingMethod))
                .cure("write contactor or feeder, or correct the load_kind"),
            );
            None
        }
        (None, LoadKind::Packaged) => Some(Method::Feeder),
        (None, LoadKind::Motor) => {
            record.find(
                Finding::new(&codes::L303_NO_METHOD, "the starting method is missing; the row cannot be sized")
                    .at(load.place())
                    .cure("write direct, star-delta, soft-starter, drive or another starting method"),
            );
            None
        }
        // What is plugged in there brings its own switch.
        (None, _) if load.text(Field::Description).is_some_and(names_socket_outlets) => Some(Method::Feeder),
        (None, _) => {
            record.find(
                Finding::new(
                    &codes::L368_CONTACTOR_TAKEN,
                    "starting_method is empty: a contactor is chosen before this load, which is no motor",
                )
                .at(load.place())
                .cure("write contactor; feeder where it is supplied alone, and by-others where others bring the contactor"),
            );
            Some(Method::Contactor)
        }
    }
}

/// A value that the row states, else the usual one with the words that say so.
struct Setting {
    known: Known<f64>,
    /// Words of an assumption; none for what nothing depends on.
    assumed: Option<String>,
}

impl Setting {
    fn of(cell: Option<f64>, usual: f64, matters: bool, words: impl FnOnce(f64) -> String) -> Self {
        Self::of_project(cell, None, usual, matters, words)
    }

    /// The same, where the basis may state a value for rows that don't.
    fn of_project(cell: Option<f64>, basis: Option<f64>, usual: f64, matters: bool, words: impl FnOnce(f64) -> String) -> Self {
        let stated = cell.map(|value| (value, Origin::Cell)).or(basis.map(|value| (value, Origin::Basis)));
        match stated {
            Some((value, origin)) => Self { known: Known::new(value, origin), assumed: None },
            None => Self { known: Known::new(usual, Origin::Default), assumed: matters.then(|| words(usual)) },
        }
    }
}

/// Reads the start of a row; words of what is assumed are added to those of the row.
pub(super) fn read(
    load: &Load,
    basis: &Basis,
    method: Method,
    machine: &Machine,
    book: &dyn RuleBook,
    assumed: &mut Vec<String>,
    record: &mut Record,
) -> Start {
    let bypass = load.yes(Field::Bypass).unwrap_or(false);
    // Nothing of a direct start matters before a drive, unless the motor also starts over a bypass.
    let starts = method.starts_on_line(machine.kind, bypass);
    let torque = torque(load);
    let locked = locked_rotor(load, basis, machine, book);
    let power_factor = book.starting_power_factor(machine.power);
    let power_factor = Setting::of(load.number(Field::StartingPowerFactor), power_factor, false, |_| String::new());
    let usual_time = figure(if torque == Some(LoadTorque::HighBreakaway) { "start-time-heavy" } else { "start-time" });
    let of_project = basis.starting.start_time_s;
    let time = Setting::of_project(load.number(Field::StartTimeS), of_project, usual_time, starts, |time| {
        format!("start time {time} s")
    });
    let (tap, limit) = (tap(load, method), limit(load, method));
    let duty_text = load.text(Field::Duty).unwrap_or("S1").to_owned();
    let mut start = Start {
        method,
        reversing: load.yes(Field::Reversing).unwrap_or(false),
        ratio: locked.ratio,
        power_factor: power_factor.known,
        time: Known::new(Seconds(time.known.value), time.known.origin),
        worked_out: None,
        stall_time: load.number(Field::StallTimeS).map(Seconds),
        torque,
        torque_ratio: load.number(Field::LockedRotorTorqueRatio),
        tap: Known { value: tap.known.value / 100.0, ..tap.known },
        limit: limit.known,
        drive_input: load.number(Field::DriveInputCurrentA).map(Amperes),
        bypass,
        line_contactor: load.yes(Field::LineContactor).unwrap_or_else(|| book.line_contactor()),
        duty: duty_number(&duty_text, load, record),
        rated_minutes: duty::minutes(&duty_text),
        duty_text,
        per_hour: load.number(Field::StartsPerHour),
        inching: load.number(Field::InchingSharePct).map_or(0.0, |pct| pct / 100.0),
        operations: load.number(Field::RequiredOperations),
        hours_a_year: basis.design.service_hours_per_year,
        wanted_years: basis.design.contact_life_years,
        te: load.number(Field::TeS).map(Seconds),
    };
    let of_ratio = (starts && locked.ratio.origin == Origin::Default).then(|| ratio_words(machine, &start, book));
    start.ratio = over_full_load(&locked, load, basis, machine, &start, book);
    if let Some(finding) = no_locked_rotor_current(load, start.ratio.value) {
        record.find(finding);
        start.ratio = over_full_load(&usual_locked_rotor(basis, machine, book), load, basis, machine, &start, book);
    }
    // The course of the start, worked out from tap and limit, takes the place of the usual time.
    let of_time = run_up::settle(load, machine, &mut start, record).or(time.assumed);
    let halves = (method == Method::PartWinding).then(|| "two equal halves of the winding".to_owned());
    assumed.extend([of_ratio, of_time, tap.assumed, limit.assumed, halves].into_iter().flatten());
    start
}

/// Words of an assumed ratio, and of what contactors are taken for with it, where one of them is asked in that category.
fn ratio_words(machine: &Machine, start: &Start, book: &dyn RuleBook) -> String {
    let silent = &mut Record::silent();
    let mut roles = Arrangement::of(start.method).roles(start, false, false).into_iter();
    let asks_for_new =
        roles.any(|role| book.switching(role.duty, Amperes(1.0), 1.0, machine, start, silent).category == Category::Ac3e);
    let unclassed = book.unknown_class().filter(|_| machine.class.is_none() && !machine.household && asks_for_new);
    let taken_for = unclassed.map_or(String::new(), |taken_for| format!(", {taken_for}"));
    format!("locked-rotor ratio {}{taken_for}", start.ratio.value)
}

fn torque(load: &Load) -> Option<LoadTorque> {
    match load.text(Field::LoadTorque) {
        Some("quadratic") => Some(LoadTorque::Quadratic),
        Some("linear") => Some(LoadTorque::Linear),
        Some("constant") => Some(LoadTorque::Constant),
        Some("high-breakaway") => Some(LoadTorque::HighBreakaway),
        _ => None,
    }
}

/// Locked-rotor current: the row's, over its nameplate or in amperes, else the book's, which may follow from another cell and is then no
/// assumption, before that of the project.
fn locked_rotor(load: &Load, basis: &Basis, machine: &Machine, book: &dyn RuleBook) -> LockedRotor {
    if let Some(ratio) = load.number(Field::LockedRotorRatio) {
        return LockedRotor { ratio: Known::new(ratio, Origin::Cell), over: machine.nameplate };
    }
    if let Some(amperes) = load.locked_rotor_amperes() {
        return LockedRotor { ratio: Known::new(amperes, Origin::Cell), over: Some(Amperes(1.0)) };
    }
    usual_locked_rotor(basis, machine, book)
}

/// What stands in for a locked-rotor current that the row does not state.
fn usual_locked_rotor(basis: &Basis, machine: &Machine, book: &dyn RuleBook) -> LockedRotor {
    let of_book = book.locked_rotor(machine);
    match basis.starting.locked_rotor_ratio.filter(|_| of_book.ratio.origin == Origin::Default) {
        Some(ratio) => LockedRotor { ratio: Known::new(ratio, Origin::Basis), over: None },
        None => of_book,
    }
}

/// Stated amperes that no motor draws at locked rotor, held against the full-load current that counts.
fn no_locked_rotor_current(load: &Load, ratio: f64) -> Option<Finding> {
    let Kind::Number(least, most) = Field::LockedRotorRatio.spec().kind else { return None };
    let amperes = load.locked_rotor_amperes().filter(|_| !(least..=most).contains(&ratio))?;
    let what = format!(
        "a locked-rotor current of {amperes} A is {} times the rated current that counts: it was not read",
        round_to(ratio, 2)
    );
    Some(
        Finding::new(&codes::L365_LOCKED_ROTOR_AMPERES, what)
            .at(load.place_of(Field::LockedRotorCurrentA))
            .why("device, voltage drop and trip class are worked out with a usual one")
            .cure("compare it and the power with the nameplate, and enter full_load_current_a"),
    )
}

/// Locked-rotor current over the full-load current that counts, which the book tells of a motor that is known but for it.
fn over_full_load(
    locked: &LockedRotor,
    load: &Load,
    basis: &Basis,
    machine: &Machine,
    start: &Start,
    book: &dyn RuleBook,
) -> Known<f64> {
    if locked.over.is_none() {
        return locked.ratio;
    }
    let currents = book.currents(machine, start, current_source(basis), load, &mut Record::silent());
    currents.map_or(locked.ratio, |currents| locked.over(currents.full_load))
}

/// Voltage at the motor while it starts, per cent of the line's.
fn tap(load: &Load, method: Method) -> Setting {
    let matters = matches!(method, Method::Autotransformer | Method::PrimaryResistor | Method::Reactor);
    let by_transformer = method == Method::Autotransformer;
    let usual = figure(if by_transformer { "autotransformer-tap" } else { "stator-impedance-voltage" });
    let word = if by_transformer { "tap" } else { "starting voltage" };
    Setting::of(load.number(Field::TapPct), round_to(usual * 100.0, 1), matters, |pct| format!("{word} {pct} %"))
}

/// Current that a soft starter allows while the motor starts, over the rated one.
fn limit(load: &Load, method: Method) -> Setting {
    let matters = matches!(method, Method::SoftStarter | Method::SoftStarterInsideDelta);
    let words = |limit: f64| format!("current limit {limit} × rated current");
    Setting::of(load.number(Field::StartCurrentLimit), figure("soft-starter-limit"), matters, words)
}

/// Number of a duty; that of continuous duty, which is told, where its text is none that anybody knows.
fn duty_number(text: &str, load: &Load, record: &mut Record) -> u8 {
    duty::number(text).unwrap_or_else(|| {
        record.find(
            Finding::new(&codes::L341_DUTY_UNKNOWN, format!("the duty reads `{}`, which is none that is known", text.trim()))
                .at(load.place_of(Field::Duty))
                .why("it is taken for continuous duty: contactors, relays and conductors may be asked for more by another")
                .cure(
                    "enter S1 to S10 with its minutes or per cent, a time rating such as 30 min, or continuous, short-time, intermittent, periodic or varying",
                ),
        );
        1
    })
}
