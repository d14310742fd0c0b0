//! Checks: value, limit, margin and verdict of each tell the same, those that the blocks of a circuit demand are there, and their
//! figures are those of the blocks.

use crate::design::{Check, Circuit, Sense};
use crate::finding::codes;
use crate::load::{LoadKind, Method};
use crate::quantity::{Amperes, fits};
use crate::record::Record;
use crate::rules::RuleBook;
use crate::verify::facts::Facts;
use crate::verify::{Disagreements, same, same_option};

/// Which way a check goes: the value stays below its limit, or reaches it.
#[derive(Clone, Copy, PartialEq)]
enum Way {
    Below,
    Reaches,
}

impl Way {
    fn holds(self, value: f64, limit: f64) -> bool {
        match self {
            Self::Below => fits(value, limit),
            Self::Reaches => fits(limit, value),
        }
    }

    fn margin(self, value: f64, limit: f64) -> Option<f64> {
        let distance = if self == Self::Below { limit - value } else { value - limit };
        (limit != 0.0).then(|| 100.0 * distance / limit)
    }
}

/// Checks of devices whose value must reach the limit; all others must stay below it.
pub(super) const REACHING: &[&str] = &[
    "breaking-capacity",
    "carried-without-trip",
    "changeover-pause",
    "coil-voltage",
    "contactor-life",
    "fuse-at-start",
    "magnetic-trip-at-start",
    "phase-loss-sensitivity",
    "short-circuit-rating",
];

/// Ways in which a check of that name may go: for a run those of the book's criteria.
fn ways(check: &Check, book: &dyn RuleBook) -> &'static [Way] {
    // A terminal and a timer reach from one figure to another; a fuse holds a start by its rating or by its time.
    if matches!(check.name.as_str(), "terminals" | "timer-range" | "fuse-at-start") {
        return &[Way::Below, Way::Reaches];
    }
    let of_run = check.subject.split(',').next().is_some_and(|subject| subject.ends_with(" run"));
    let criterion = book.criteria().iter().find(|criterion| of_run && criterion.name == check.name);
    if criterion.map_or_else(|| REACHING.contains(&check.name.as_str()), |criterion| criterion.floor) {
        &[Way::Reaches]
    } else {
        &[Way::Below]
    }
}

/// Every check says one thing, and each stands there once; of several relays each has its own.
pub(super) fn consistent(circuit: &Circuit, book: &dyn RuleBook, found: &mut Disagreements) {
    for (index, check) in circuit.checks.iter().enumerate() {
        found.unless(is_consistent(check, book), &codes::V801_CHECK, || {
            format!(
                "check {} {}: {:?} against {:?} with a margin of {:?} % and passed = {:?} contradict each other",
                check.name, check.subject, check.value, check.limit, check.margin_pct, check.passed
            )
        });
        let again = circuit.checks[..index]
            .iter()
            .filter(|other| other.name == check.name && other.subject == check.subject && other.reference == check.reference)
            .count();
        let most = if check.subject == "overload relay" { circuit.overloads.len().max(1) } else { 1 };
        found.unless(again < most, &codes::V801_CHECK, || format!("check {} {} stands twice", check.name, check.subject));
    }
}

fn is_consistent(check: &Check, book: &dyn RuleBook) -> bool {
    match (check.passed, check.value, check.limit) {
        (None, None, None) => {
            check.not_checked_because.as_deref().is_some_and(|why| !why.is_empty()) && check.margin_pct.is_none()
        }
        (Some(passed), Some(value), Some(limit)) => {
            check.not_checked_because.is_none()
                && ways(check, book).iter().any(|way| {
                    let pointed = check.sense == Some(if *way == Way::Below { Sense::AtMost } else { Sense::AtLeast });
                    let margin = way.margin(value, limit);
                    let so = match (margin, check.margin_pct) {
                        (Some(one), Some(other)) => (one - other).abs() <= 1e-6 * one.abs().max(1.0) || one == other,
                        (None, None) => true,
                        _ => false,
                    };
                    so && pointed && way.holds(value, limit) == passed
                })
        }
        // A figure that is not a number is written as none.
        (Some(false), _, _) => check.not_checked_because.is_none(),
        _ => false,
    }
}

/// The checks that the blocks demand, with the blocks' figures.
pub(super) fn made(facts: &Facts<'_>, found: &mut Disagreements) {
    let circuit = facts.circuit;
    let find = |name: &str, subject: &str| circuit.checks.iter().find(|check| check.name == name && check.subject == subject);
    let mut demand = |name: &str, subject: &str, so: &dyn Fn(&Check) -> bool| match find(name, subject) {
        None => found.say(&codes::V802_CHECK_MISSING, format!("check {name} {subject} is missing")),
        Some(check) => found.unless(check.passed.is_none() || so(check), &codes::V801_CHECK, || {
            format!(
                "check {name} {subject} was made with other figures than the circuit's: {:?} against {:?}",
                check.value, check.limit
            )
        }),
    };
    for contactor in circuit.contactors.iter().filter(|contactor| !contactor.part.is_empty()) {
        demand("contactor-duty", &contactor.role, &|check| {
            same_option(check.limit, Some(contactor.rated_a))
                && check.value.is_some_and(|value| fits(contactor.current_a, value + 1e-4))
        });
    }
    let rotor = facts.number("rotor_voltage_v");
    for contactor in
        circuit.contactors.iter().filter(|contactor| !contactor.part.is_empty() && contactor.role.starts_with("rotor"))
    {
        if rotor.is_some() {
            demand("rated-voltage", &contactor.role, &|check| same_option(check.value, rotor));
        }
    }
    if let Some(protection) = &circuit.protection {
        demand("breaking-capacity", "", &|check| {
            same_option(check.value, protection.breaking_ka.or(Some(0.0))) && same_option(check.limit, circuit.fault.board_max_ka)
        });
        let known = facts.starts() || facts.start.method == Method::Drive || facts.machine.kind == LoadKind::Heater;
        let inrush = facts.book.switching_inrush(&facts.machine, Amperes(circuit.currents.full_load_a), &mut Record::silent());
        let releases = protection.magnetic_min_a.filter(|_| known || inrush.is_some());
        if let Some(least) = releases {
            demand("magnetic-trip-at-start", "", &|check| check.value.is_some_and(|value| (value - least).abs() < 1e-2));
        }
    }
    if circuit.overloads.iter().any(|overload| !overload.part.is_empty()) {
        demand("trip-class-at-start", "overload relay", &|_| true);
        demand("rated-voltage", "overload relay", &|check| same_option(check.value, Some(facts.volts())));
    }
    let by_hand = circuit.overloads.iter().any(|overload| overload.kind == "manual-starter");
    if by_hand && super::overloads::rated_in_horsepower(facts) {
        demand("contactor-horsepower", "manual starter", &|_| true);
    }
    for device in circuit.starter_devices.iter().filter(|device| !device.part.is_empty()) {
        let (name, subject) = match device.kind.as_str() {
            "drive" => ("drive-current", "drive"),
            "soft-starter" => ("soft-starter-current", "soft starter"),
            _ => continue,
        };
        demand(name, subject, &|check| check.value.is_some_and(|value| same(value, device.current_a)));
    }
    for run in circuit.runs.iter().filter(|run| run.role != "control") {
        let subject = format!("{} run", run.role);
        demand("minimum-size", &subject, &|check| same_option(check.value, Some(run.phase_area_mm2)));
        demand("current-carrying-capacity", &subject, &|check| {
            check.value.is_some_and(|value| fits(value, run.required_a + 1e-3))
                && check.limit.is_some_and(|limit| fits(run.capacity_a, limit + 1e-3))
        });
        demand("running-voltage-drop", &subject, &|_| true);
    }
    if circuit.disconnect.as_ref().is_some_and(|disconnect| disconnect.location == "at the machine") {
        demand("disconnect-rating", "local isolator", &|check| {
            same_option(check.limit, circuit.disconnect.as_ref().and_then(|disconnect| disconnect.rating_a))
        });
    }
}
