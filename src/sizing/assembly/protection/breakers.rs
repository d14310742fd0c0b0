//! Circuit-breakers with overload or magnetic releases, and of fixed rating: each judged with the settings that it would get.

use crate::catalogue::{LineBreaker, MotorBreaker, MouldedCaseBreaker};
use crate::load::{Case, LoadKind};
use crate::quantity::Amperes;
use crate::record::Record;
use crate::rules::ProtectionBounds;
use crate::sizing::Tools;
use crate::sizing::assembly::protection::{
    ChosenProtection, Demand, Device, Trip, common, dial_down, dial_up, magnetic_checks, wanted_trip,
};
use crate::sizing::assembly::relays::{Starting, quickest};
use crate::sizing::judge::Verdict;

fn band(trip: Trip, tools: &Tools<'_>) -> [f64; 3] {
    tools.book.magnetic_band(trip.multiple, Amperes(trip.base), trip.tolerance_pct, &mut Record::silent())
}

/// The start as the release of a breaker in the line sees it.
fn through_release(demand: &Demand<'_>) -> Starting {
    let (current, time) = (demand.ask.starting, demand.ask.time);
    Starting { current, at_full_voltage: current, ratio: demand.ask.start.ratio.value, time }
}

pub(super) fn motor_breaker<'a>(
    breaker: &'a MotorBreaker,
    bounds: &ProtectionBounds,
    demand: &Demand<'_>,
    tools: &Tools<'_>,
) -> Option<ChosenProtection<'a>> {
    let range = [breaker.range_min_a, breaker.range_max_a];
    let need = if demand.integrated { demand.ask.currents.overload } else { demand.ask.line };
    let in_range = range[0] <= need.0 * (1.0 + 1e-9) && need.0 <= range[1] * (1.0 + 1e-9);
    // A device for more than the line current has no dial for it.
    if !in_range || !bounds.least.fits(demand.ask.line) {
        return None;
    }
    let device = Device::Motor(breaker);
    let setting = dial_down(need.0, breaker.dial_step_a, range);
    let mut verdict = Verdict::default();
    let base = if breaker.magnetic_base == "setting" { setting } else { breaker.range_max_a };
    let trip = Trip { multiple: breaker.magnetic_multiple, base, tolerance_pct: breaker.magnetic_tolerance_pct };
    let limits = band(trip, tools);
    common(demand, device, Amperes(breaker.range_max_a), tools, &mut verdict);
    let rides_peak = magnetic_checks(demand, limits, tools, &mut verdict);
    if demand.ask.starts {
        let check = through_release(demand).check(&breaker.class, Amperes(setting), tools.book);
        verdict.checks.push(check.about("motor-protective circuit-breaker"));
    }
    Some(ChosenProtection {
        setting: Some(Amperes(setting)),
        range: Some(range),
        protects_motor: demand.integrated,
        class: breaker.class.clone(),
        magnetic: Some(limits),
        magnetic_range: Some([limits[0]; 2]),
        trip: Some(trip),
        rides_peak,
        checks: verdict.checks,
        ..ChosenProtection::new(device, Amperes(breaker.range_max_a), bounds, demand)
    })
}

pub(super) fn moulded_case<'a>(
    breaker: &'a MouldedCaseBreaker,
    bounds: &ProtectionBounds,
    demand: &Demand<'_>,
    tools: &Tools<'_>,
) -> Option<ChosenProtection<'a>> {
    let usable = match breaker.release.as_str() {
        "motor" => demand.ask.starts && demand.integrated,
        "magnetic" => demand.ask.starts && !demand.integrated,
        _ => !demand.ask.starts,
    };
    if !usable {
        return None;
    }
    let range = breaker.range_min_a.zip(breaker.range_max_a).map(|(low, high)| [low, high]);
    let need = if demand.integrated { demand.ask.currents.overload } else { bounds.least };
    let setting = match range {
        Some(range) if need.0 < range[0] * (1.0 - 1e-9) || need.0 > range[1] * (1.0 + 1e-9) => return None,
        Some(range) if demand.integrated => Some(dial_down(need.0, breaker.dial_step_a, range)),
        Some(range) => Some(dial_up(need.0, breaker.dial_step_a, range)),
        None if need.fits(Amperes(breaker.rating_a)) => None,
        None => return None,
    };
    let device = Device::Moulded(breaker);
    let mut verdict = Verdict::default();
    let wanted = wanted_trip(demand, breaker.magnetic_tolerance_pct, tools) / breaker.rating_a;
    let ends = [breaker.magnetic_min_multiple, breaker.magnetic_max_multiple];
    let multiple = dial_up(wanted, breaker.magnetic_step_multiple.unwrap_or(0.0), ends);
    let trip = Trip { multiple, base: breaker.rating_a, tolerance_pct: breaker.magnetic_tolerance_pct };
    let limits = band(trip, tools);
    common(demand, device, Amperes(breaker.rating_a), tools, &mut verdict);
    let rides_peak = magnetic_checks(demand, limits, tools, &mut verdict);
    let mut class = String::new();
    if breaker.release == "motor" {
        let classes: Vec<&str> = breaker.classes.split_whitespace().collect();
        let (starting, dial) = (through_release(demand), Amperes(setting.unwrap_or(breaker.rating_a)));
        let has = |class: &str| classes.contains(&class);
        class = quickest(tools.book, has, |class| starting.passes(class, dial, tools.book))?.to_owned();
        verdict.checks.push(starting.check(&class, dial, tools.book).about("moulded-case circuit-breaker"));
    }
    Some(ChosenProtection {
        setting: setting.map(Amperes),
        range,
        protects_motor: breaker.release == "motor",
        class,
        magnetic: Some(limits),
        magnetic_range: Some([breaker.magnetic_min_multiple, breaker.magnetic_max_multiple].map(|end| end * breaker.rating_a)),
        trip: Some(trip),
        rides_peak,
        checks: verdict.checks,
        ..ChosenProtection::new(device, Amperes(breaker.rating_a), bounds, demand)
    })
}

pub(super) fn line_breaker<'a>(
    breaker: &'a LineBreaker,
    bounds: &ProtectionBounds,
    case: &Case,
    demand: &Demand<'_>,
    tools: &Tools<'_>,
) -> Option<ChosenProtection<'a>> {
    let poles = tools.book.breaker_poles(&case.machine);
    // Curve D where something may start behind the breaker, C elsewhere.
    let curve = if matches!(case.machine.kind, LoadKind::Motor | LoadKind::Packaged | LoadKind::Transformer) { "D" } else { "C" };
    if demand.ask.starts || breaker.poles != poles || breaker.curve != curve || !bounds.least.fits(Amperes(breaker.rating_a)) {
        return None;
    }
    let (low, high) = tools.book.curve_limits(&breaker.curve)?;
    let device = Device::Line(breaker);
    let mut verdict = Verdict::default();
    common(demand, device, Amperes(breaker.rating_a), tools, &mut verdict);
    let limits = [low * breaker.rating_a, low * breaker.rating_a, high * breaker.rating_a];
    let rides_peak = magnetic_checks(demand, limits, tools, &mut verdict);
    Some(ChosenProtection {
        magnetic: Some(limits),
        magnetic_range: Some([limits[0]; 2]),
        rides_peak,
        checks: verdict.checks,
        ..ChosenProtection::new(device, Amperes(breaker.rating_a), bounds, demand)
    })
}
