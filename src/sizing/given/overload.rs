//! An overload relay of others: range, setting and class against what the book admits for the motor and the start.

use crate::design::Check;
use crate::quantity::Amperes;
use crate::record::Record;
use crate::rules::{OverloadAsk, Topic};
use crate::sizing::arrangement::{Base, OF_ONE_MOTOR};
use crate::sizing::assembly::relays::{StallAsk, Starting, stalled};
use crate::sizing::assembly::{ChosenRelay, base_current};
use crate::sizing::given::{Bench, Judged, Larger, amperes};
use crate::sizing::judge::{at_least, at_most, of_limit};

/// A relay whose ultimate trip is its setting: the highest setting that any relay may have.
const TRIPS_AT_SETTING: Option<f64> = Some(1.0);

/// The relay that a single figure of the row is about: the one with the highest setting where there are several.
pub(super) fn relay<'a>(bench: &Bench<'a>) -> Option<&'a ChosenRelay<'a>> {
    // The dial of a breaker before relays is not the motor's.
    let relays = || bench.assembly.relays.iter();
    let of_motor: Vec<&ChosenRelay<'_>> = relays().filter(|relay| relay.place.role != "protection").collect();
    // For several motors the row states the relay of one; a drive's own protection has the sum for its setting.
    if let Some(relay) = of_motor.iter().find(|relay| relay.place.position == OF_ONE_MOTOR) {
        return Some(relay);
    }
    let all: Vec<&ChosenRelay<'_>> = if of_motor.is_empty() { relays().collect() } else { of_motor };
    all.into_iter().reduce(|most, relay| if most.setting.0 < relay.setting.0 { relay } else { most })
}

/// Current that the relay sees at the motor's rated current.
fn seen(bench: &Bench<'_>, relay: &ChosenRelay<'_>) -> (Amperes, Amperes) {
    let base = match relay.place.base {
        Base::Full if relay.place.role == "protection" => bench.assembly.line,
        Base::Full => bench.row.currents.overload,
        other => base_current(other, bench.row.case, bench.row.currents, &bench.assembly.devices),
    };
    (base, base * relay.factor)
}

fn ask<'a>(bench: &Bench<'a>, relay: &ChosenRelay<'_>, ultimate_trip: Option<f64>) -> OverloadAsk<'a> {
    let (rated, _) = seen(bench, relay);
    OverloadAsk { machine: &bench.row.case.machine, rated, share: relay.factor, ultimate_trip, service_limit: None }
}

/// A setting against the most that the book admits for a relay with this ultimate trip.
fn ceiling(bench: &Bench<'_>, relay: &ChosenRelay<'_>, setting: f64, ultimate_trip: Option<f64>) -> Vec<Check> {
    let book = bench.row.tools.book;
    let ask = ask(bench, relay, ultimate_trip);
    let limits = book.overload_limits(&ask, Amperes(setting));
    if limits.is_empty() {
        let most = book.overload_setting(&ask, &mut Record::silent());
        return vec![at_most("overload-setting", setting, most.0, "A", book.clause(Topic::OverloadSetting))];
    }
    limits.iter().map(of_limit).collect()
}

/// The relay carries the motor's rated current for ever.
fn carries(bench: &Bench<'_>, relay: &ChosenRelay<'_>, setting: f64) -> Check {
    let (multiple, clause) = bench.row.tools.book.carried_over_setting();
    let (_, current) = seen(bench, relay);
    at_least("overload-least-setting", setting, current.0 / multiple, "A", clause)
}

fn none() -> Judged {
    Judged::doubtful("the circuit has no overload relay")
}

/// Takes the limits that a figure keeps in any case, or fails in any case; in between its relay must be known.
fn between(judged: &mut Judged, sure: Vec<Check>, most: Vec<Check>) {
    let fails = |checks: &[Check]| checks.iter().any(|check| check.passed == Some(false));
    if fails(&sure) && !fails(&most) {
        judged.doubt = Some("the current at which it trips in the end is not stated, and decides".to_owned());
    }
    judged.checks.extend(if fails(&sure) { most } else { sure });
}

/// A setting.
pub(super) fn setting(bench: &Bench<'_>, setting: f64) -> Judged {
    let Some(relay) = relay(bench) else { return none() };
    let mut judged = Judged { wanted: amperes(relay.setting.0), ..Judged::default() };
    between(&mut judged, ceiling(bench, relay, setting, None), ceiling(bench, relay, setting, TRIPS_AT_SETTING));
    judged.checks.push(carries(bench, relay, setting));
    if let Some([low, high]) = bench.stated.range {
        judged.checks.push(at_least("overload-range", setting, low, "A", "given_overload_range_a"));
        judged.checks.push(at_most("overload-range", setting, high, "A", "given_overload_range_a"));
    }
    place(bench, relay, &mut judged);
    judged
}

/// A range: it reaches down to what the book admits and up to what carries the motor.
pub(super) fn range(bench: &Bench<'_>, [low, high]: [f64; 2]) -> Judged {
    let Some(relay) = relay(bench) else { return none() };
    let wanted = format!("{}-{}", crate::record::significant(relay.range[0], 4), amperes(relay.range[1]));
    let mut judged = Judged { wanted, ..Judged::default() };
    between(&mut judged, ceiling(bench, relay, low, None), ceiling(bench, relay, low, TRIPS_AT_SETTING));
    judged.checks.push(carries(bench, relay, high));
    judged.open.extend(["its classes", "its loss-of-phase sensitivity", "its largest fuse"].map(str::to_owned));
    place(bench, relay, &mut judged);
    judged
}

/// A class: the motor starts in it, and is tripped before it is harmed.
pub(super) fn class(bench: &Bench<'_>, class: &'static str) -> Judged {
    let Some(relay) = relay(bench) else { return none() };
    let (book, start) = (bench.row.tools.book, &bench.row.case.start);
    // It is tried at the setting that goes with it, stated or chosen.
    let setting = bench.stated.setting.map_or(relay.setting, Amperes);
    let starting = Starting::at(relay.place, bench.row.case, bench.row.currents, &bench.assembly.devices);
    let mut judged = Judged { wanted: format!("class {}", relay.class), ..Judged::default() };
    judged.checks.push(starting.check(class, setting, book));
    if let Some(stall) = start.stall_time {
        let within = |ultimate_trip: Option<f64>| {
            vec![stalled(&StallAsk { class, setting, ultimate_trip }, &starting, start, stall, book)]
        };
        between(&mut judged, within(None), within(TRIPS_AT_SETTING));
    }
    if let Some(te) = start.te {
        judged.checks.push(starting.within_te(class, setting, te, book, &mut Record::silent()));
    }
    let number = |class: &str| class.trim_end_matches('A').parse::<f64>().unwrap_or(0.0);
    judged.oversized =
        (number(class) > number(&relay.class)).then(|| longer(bench, class, &relay.class, starting.multiple(setting)));
    judged
}

/// A slower class: how much longer a stalled motor is heated, and whether it is known to stand that.
fn longer(bench: &Bench<'_>, class: &str, chosen: &str, multiple: f64) -> Larger {
    let (book, start) = (bench.row.tools.book, &bench.row.case.start);
    let trips =
        |class: &str| book.longest_trip(class, multiple, TRIPS_AT_SETTING).map(|time| crate::record::significant(time.0, 3));
    let times = match (trips(class), trips(chosen)) {
        (Some(seconds), Some(other)) => {
            format!(" (at the locked-rotor current within {seconds} s, in class {chosen} within {other} s)")
        }
        _ => String::new(),
    };
    let stands = match (start.stall_time, start.te) {
        (None, None) => "how long it may stand stalled is not stated".to_owned(),
        (Some(stall), _) => format!("it may stand stalled for {} s", crate::record::significant(stall.0, 3)),
        (None, Some(te)) => format!("its time tE is {} s", crate::record::significant(te.0, 3)),
    };
    Larger {
        follows: format!(
            "a stalled motor is heated for longer{times}; {stands}; contactors and conductors carry the overload for longer"
        ),
        less_protection: start.stall_time.is_none() && start.te.is_none(),
    }
}

fn place(bench: &Bench<'_>, relay: &ChosenRelay<'_>, judged: &mut Judged) {
    if bench.assembly.relays.len() > 1 || (relay.factor - 1.0).abs() > 1e-9 {
        let (_, current) = seen(bench, relay);
        judged.remarks.push(format!("judged for the relay in the {}, which sees {}", relay.place.position, amperes(current.0)));
    }
}
