//! How a row's load is started: method, current, time, tap or limit, and its duty.

use super::{figure, run_up};
use crate::basis::Basis;
use crate::finding::{Finding, codes};
use crate::load::{Field, Known, Load, LoadKind, LoadTorque, Machine, Method, Origin, Start};
use crate::quantity::{Amperes, Seconds, round_to};
use crate::record::Record;
use crate::rules::RuleBook;

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
        (None, _) => Some(Method::Contactor),
    }
}

pub(super) fn read(
    load: &Load,
    basis: &Basis,
    method: Method,
    machine: &Machine,
    book: &dyn RuleBook,
    assumed: &mut Vec<String>,
    record: &mut Record,
) -> Start {
    let is_motor = machine.kind == LoadKind::Motor && !method.supply_only();
    let bypass = load.yes(Field::Bypass).unwrap_or(false);
    // Nothing of a direct start matters before a drive, unless the motor also starts over a bypass.
    let electronic = method == Method::Drive && !bypass;
    let words_before = assumed.len();
    let mut pick = |cell: Option<f64>, default: f64, what: &str, unit: &str, say: bool| match cell {
        Some(value) => Known::new(value, Origin::Cell),
        None => {
            if say {
                assumed.push(format!("{what} {default}{unit}"));
            }
            Known::new(default, Origin::Default)
        }
    };
    let torque = match load.text(Field::LoadTorque) {
        Some("quadratic") => Some(LoadTorque::Quadratic),
        Some("linear") => Some(LoadTorque::Linear),
        Some("constant") => Some(LoadTorque::Constant),
        Some("high-breakaway") => Some(LoadTorque::HighBreakaway),
        _ => None,
    };
    let default_time = figure(if torque == Some(LoadTorque::HighBreakaway) { "start-time-heavy" } else { "start-time" });
    let of_book = book.locked_rotor_ratio(machine);
    let assumed_ratio = is_motor && !electronic && of_book.origin == Origin::Default;
    let ratio = pick(load.number(Field::LockedRotorRatio), of_book.value, "locked-rotor ratio", "", assumed_ratio);
    let ratio = if ratio.origin == Origin::Cell { ratio } else { of_book };
    let power_factor = pick(
        load.number(Field::StartingPowerFactor),
        book.starting_power_factor(machine.power),
        "starting power factor",
        "",
        false,
    );
    let time = pick(load.number(Field::StartTimeS), default_time, "start time", " s", false);
    let uses_tap = matches!(method, Method::Autotransformer | Method::PrimaryResistor | Method::Reactor);
    let usual_tap = figure(if method == Method::Autotransformer { "autotransformer-tap" } else { "stator-impedance-voltage" });
    let tap_word = if method == Method::Autotransformer { "tap" } else { "starting voltage" };
    let tap = pick(load.number(Field::TapPct), round_to(usual_tap * 100.0, 1), tap_word, " %", uses_tap);
    let tap = Known { value: tap.value / 100.0, ..tap };
    let uses_limit = matches!(method, Method::SoftStarter | Method::SoftStarterInsideDelta);
    let usual_limit = figure("soft-starter-limit");
    let limit = pick(load.number(Field::StartCurrentLimit), usual_limit, "current limit", " × rated current", uses_limit);
    let duty_text = load.text(Field::Duty).unwrap_or("S1").to_owned();
    let mut start = Start {
        method,
        reversing: load.yes(Field::Reversing).unwrap_or(false),
        ratio,
        power_factor,
        time: Known::new(Seconds(time.value), time.origin),
        worked_out: None,
        stall_time: load.number(Field::StallTimeS).map(Seconds),
        torque,
        torque_ratio: load.number(Field::LockedRotorTorqueRatio),
        tap,
        limit,
        drive_input: load.number(Field::DriveInputCurrentA).map(Amperes),
        bypass,
        line_contactor: load.yes(Field::LineContactor).unwrap_or_else(|| book.line_contactor()),
        duty: duty_number(&duty_text),
        rated_minutes: rated_minutes(&duty_text),
        duty_text,
        per_hour: load.number(Field::StartsPerHour),
        inching: load.number(Field::InchingSharePct).map_or(0.0, |pct| pct / 100.0),
        operations: load.number(Field::RequiredOperations),
        hours_a_year: basis.design.service_hours_per_year,
        wanted_years: basis.design.contact_life_years,
        te: load.number(Field::TeS).map(Seconds),
    };
    // Words of the time stand behind those of the ratio; its course needs tap and limit, whose words follow.
    let words_of_time = words_before + usize::from(assumed_ratio && load.number(Field::LockedRotorRatio).is_none());
    if let Some(words) = run_up::settle(load, machine, &mut start, record) {
        assumed.insert(words_of_time, words);
    } else if is_motor && !electronic && start.time.origin == Origin::Default {
        assumed.insert(words_of_time, format!("start time {default_time} s"));
    }
    start
}

fn duty_number(text: &str) -> u8 {
    let upper = text.trim().to_uppercase();
    if let Some(rest) = upper.strip_prefix('S') {
        let digits: String = rest.chars().take_while(char::is_ascii_digit).collect();
        if let Ok(number @ 1..=10) = digits.parse::<u8>() {
            return number;
        }
    }
    if upper.starts_with("SHORT") {
        2
    } else if upper.starts_with("INTERMITTENT") {
        3
    } else {
        1
    }
}

/// Minutes that a duty text states, as in `S2 30 min` or `intermittent, 15 min`.
fn rated_minutes(text: &str) -> Option<f64> {
    let lower = text.to_lowercase();
    let before = lower[..lower.find("min")?].trim_end();
    let start = before.rfind(|c: char| !(c.is_ascii_digit() || c == '.')).map_or(0, |at| at + 1);
    before.get(start..)?.parse().ok().filter(|minutes: &f64| *minutes > 0.0)
}
