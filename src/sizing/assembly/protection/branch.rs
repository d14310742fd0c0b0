//! Inverse-time and instantaneous-trip circuit-breakers: each judged with the trip that it would be set to.

use crate::catalogue::BranchBreaker;
use crate::design::Check;
use crate::load::ProtectionKind;
use crate::quantity::Amperes;
use crate::record::Record;
use crate::rules::ProtectionBounds;
use crate::sizing::Tools;
use crate::sizing::assembly::protection::{
    ChosenProtection, Demand, Device, Trip, common, dial_down, dial_up, in_order, magnetic_checks, of_book, wanted_trip,
};
use crate::sizing::judge::{Verdict, at_most, not_checked};

pub(super) fn branch<'a>(
    kind: ProtectionKind,
    bounds: &ProtectionBounds,
    demand: &Demand<'_>,
    tools: &Tools<'a>,
) -> Vec<ChosenProtection<'a>> {
    let poles = tools.book.breaker_poles(demand.ask.machine);
    let branch_breakers = tools.catalogue.branch_breakers_of(kind.word(), poles);
    let admitted = in_order(bounds, branch_breakers, |breaker| Amperes(breaker.rating_a));
    admitted.into_iter().flat_map(|(breaker, beyond)| set(breaker, bounds, beyond, demand, tools)).collect()
}

/// A breaker at the trip it would be set to; an instantaneous one at the ceiling of the first place and at the raised one.
fn set<'a>(
    breaker: &'a BranchBreaker,
    bounds: &ProtectionBounds,
    beyond: Option<String>,
    demand: &Demand<'_>,
    tools: &Tools<'_>,
) -> Vec<ChosenProtection<'a>> {
    let Some([first, raised]) = &bounds.magnetic else {
        return vec![judged(breaker, lowest_that_rides(breaker, demand, tools), None, bounds, beyond, demand, tools)];
    };
    let at = |(ceiling, clause): &(Amperes, String), beyond: Option<String>| {
        let range = [breaker.instantaneous_min_a, breaker.instantaneous_max_a];
        let setting = dial_down(lowest_that_rides(breaker, demand, tools).min(ceiling.0), step(breaker), range);
        judged(breaker, setting, Some((*ceiling, clause.as_str())), bounds, beyond, demand, tools)
    };
    vec![at(first, beyond), at(raised, Some(raised.1.clone()))]
}

fn step(breaker: &BranchBreaker) -> f64 {
    breaker.instantaneous_step_a.unwrap_or(0.0)
}

/// The lowest setting whose lower limit rides through the start and, if the range reaches so far, through its first peak.
fn lowest_that_rides(breaker: &BranchBreaker, demand: &Demand<'_>, tools: &Tools<'_>) -> f64 {
    let wanted = wanted_trip(demand, breaker.instantaneous_tolerance_pct, tools);
    dial_up(wanted, step(breaker), [breaker.instantaneous_min_a, breaker.instantaneous_max_a])
}

/// Judges a breaker at a setting of its instantaneous trip.
fn judged<'a>(
    breaker: &'a BranchBreaker,
    setting: f64,
    ceiling: Option<(Amperes, &str)>,
    bounds: &ProtectionBounds,
    beyond: Option<String>,
    demand: &Demand<'_>,
    tools: &Tools<'_>,
) -> ChosenProtection<'a> {
    let device = Device::Branch(breaker);
    let rating = Amperes(breaker.rating_a);
    let mut verdict = Verdict::default();
    verdict.checks.push(voltage(breaker, demand, tools));
    if let Some((ceiling, clause)) = ceiling {
        verdict.checks.push(at_most("magnetic-setting", setting, ceiling.0, "A", clause));
    }
    let trip =
        Trip { multiple: setting / breaker.rating_a, base: breaker.rating_a, tolerance_pct: breaker.instantaneous_tolerance_pct };
    let limits = tools.book.magnetic_band(trip.multiple, rating, trip.tolerance_pct, &mut Record::silent());
    common(demand, device, rating, tools, &mut verdict);
    verdict.checks.extend(of_book(demand, bounds, rating));
    let rides_peak = magnetic_checks(demand, limits, tools, &mut verdict);
    ChosenProtection {
        magnetic: Some(limits),
        magnetic_range: Some([breaker.instantaneous_min_a, breaker.instantaneous_max_a]),
        trip: Some(trip),
        beyond,
        rides_peak,
        checks: verdict.checks,
        ..ChosenProtection::new(device, rating, bounds, demand)
    }
}

/// Its marked voltage reaches that of the circuit, and a slash rating suits the system.
fn voltage(breaker: &BranchBreaker, demand: &Demand<'_>, tools: &Tools<'_>) -> Check {
    let volts = demand.ask.machine.voltage;
    let (marked, system) = (breaker.voltage_rating.as_str(), demand.system.as_deref());
    let (suits, clause) = match tools.book.breaker_poles(demand.ask.machine) {
        1 => tools.book.voltage_to_neutral_suits(marked, system, volts),
        _ => tools.book.voltage_suits(marked, system, volts),
    };
    let name = "voltage-rating";
    if !breaker.admits_voltage(volts.0) {
        return at_most(name, volts.0, 0.0, "V", clause);
    }
    match suits {
        Some(true) => at_most(name, volts.0, breaker.voltages().fold(0.0, f64::max), "V", clause),
        // Where the neutral is not at ground, what lies between lines may lie across one pole.
        Some(false) => at_most(name, volts.max(demand.line).0, breaker.voltages().fold(f64::INFINITY, f64::min), "V", clause),
        None => not_checked(
            name,
            "V",
            "the system of the board, as it is stated, does not show that the breaker's voltage rating suits it",
            clause,
        ),
    }
}
