//! Circuit-breakers with overload or magnetic releases, and of fixed rating: each judged with the settings that it would get.

use crate::catalogue::{LineBreaker, MotorBreaker, MouldedCaseBreaker};
use crate::load::{Case, LoadKind};
use crate::quantity::Amperes;
use crate::record::Record;
use crate::rules::{ProtectionBounds, Topic};
use crate::sizing::Tools;
use crate::sizing::assembly::protection::{ChosenProtection, Demand, Device, Trip, common, dial_down, dial_up, magnetic_checks};
use crate::sizing::judge::{Verdict, at_most};

fn band(trip: Trip, tools: &Tools<'_>) -> [f64; 3] {
    tools.book.magnetic_band(trip.multiple, Amperes(trip.base), trip.tolerance_pct, &mut Record::silent())
}

pub(super) fn motor_breaker<'a>(
    own: &'a MotorBreaker,
    bounds: &ProtectionBounds,
    demand: &Demand<'_>,
    tools: &Tools<'_>,
) -> Option<ChosenProtection<'a>> {
    let range = [own.range_min_a, own.range_max_a];
    let need = if demand.integrated { demand.ask.currents.overload } else { demand.ask.line };
    let in_range = range[0] <= need.0 * (1.0 + 1e-9) && need.0 <= range[1] * (1.0 + 1e-9);
    // A device for more than the line current has no dial for it.
    if !in_range || !bounds.least.fits(demand.ask.line) {
        return None;
    }
    let device = Device::Motor(own);
    let setting = dial_down(need.0, own.dial_step_a, range);
    let mut verdict = Verdict::default();
    let base = if own.magnetic_base == "setting" { setting } else { own.range_max_a };
    let trip = Trip { multiple: own.magnetic_multiple, base, tolerance_pct: own.magnetic_tolerance_pct };
    let limits = band(trip, tools);
    common(demand, device, Amperes(own.range_max_a), tools, &mut verdict);
    let rides_peak = magnetic_checks(demand, limits, tools, &mut verdict);
    if demand.ask.starts {
        let multiple = demand.ask.starting.0 / setting;
        let class = tools.book.class_demand(&own.class, multiple, demand.ask.time, None);
        verdict.checks.push(
            at_most("trip-class-at-start", class.need.0, class.allowed.0, "s", tools.book.clause(Topic::TripClass))
                .about("motor-protective circuit-breaker"),
        );
    }
    Some(ChosenProtection {
        setting: Some(Amperes(setting)),
        range: Some(range),
        protects_motor: demand.integrated,
        class: own.class.clone(),
        magnetic: Some(limits),
        trip: Some(trip),
        rides_peak,
        checks: verdict.checks,
        ..ChosenProtection::new(device, Amperes(own.range_max_a), bounds, demand)
    })
}

/// Steps of a magnetic setting over the rated current.
const MAGNETIC_STEP: f64 = 0.5;

pub(super) fn moulded_case<'a>(
    own: &'a MouldedCaseBreaker,
    bounds: &ProtectionBounds,
    demand: &Demand<'_>,
    tools: &Tools<'_>,
) -> Option<ChosenProtection<'a>> {
    let usable = match own.release.as_str() {
        "motor" => demand.ask.starts && demand.integrated,
        "magnetic" => demand.ask.starts && !demand.integrated,
        _ => !demand.ask.starts,
    };
    if !usable {
        return None;
    }
    let range = own.range_min_a.zip(own.range_max_a).map(|(low, high)| [low, high]);
    let need = if demand.integrated { demand.ask.currents.overload } else { bounds.least };
    let setting = match range {
        Some(range) if need.0 < range[0] * (1.0 - 1e-9) || need.0 > range[1] * (1.0 + 1e-9) => return None,
        Some(range) if demand.integrated => Some(dial_down(need.0, own.dial_step_a, range)),
        Some(range) => Some(dial_up(need.0, own.dial_step_a, range)),
        None if need.fits(Amperes(own.rating_a)) => None,
        None => return None,
    };
    let device = Device::Moulded(own);
    let mut verdict = Verdict::default();
    let tolerance = own.magnetic_tolerance_pct / 100.0;
    // The lowest setting that rides through symmetrical current and, if it can, the first peak.
    let ride = demand.ride_through.0.max(demand.peak(tools).map_or(0.0, |peak| peak.0));
    let wanted = ride / (1.0 - tolerance) / own.rating_a;
    let multiple =
        ((wanted / MAGNETIC_STEP - 1e-9).ceil() * MAGNETIC_STEP).clamp(own.magnetic_min_multiple, own.magnetic_max_multiple);
    let trip = Trip { multiple, base: own.rating_a, tolerance_pct: own.magnetic_tolerance_pct };
    let limits = band(trip, tools);
    common(demand, device, Amperes(own.rating_a), tools, &mut verdict);
    let rides_peak = magnetic_checks(demand, limits, tools, &mut verdict);
    let mut class = String::new();
    if own.release == "motor" {
        let classes: Vec<&str> = own.classes.split_whitespace().collect();
        let multiple = demand.ask.starting.0 / setting.unwrap_or(own.rating_a);
        let picked = tools
            .book
            .trip_classes()
            .iter()
            .filter(|class| classes.contains(class))
            .find(|class| {
                let demand = tools.book.class_demand(class, multiple, demand.ask.time, None);
                demand.need.fits(demand.allowed)
            })
            .or_else(|| tools.book.trip_classes().iter().rev().find(|class| classes.contains(class)));
        class = (*picked?).to_owned();
        let against = tools.book.class_demand(&class, multiple, demand.ask.time, None);
        verdict.checks.push(
            at_most("trip-class-at-start", against.need.0, against.allowed.0, "s", tools.book.clause(Topic::TripClass))
                .about("moulded-case circuit-breaker"),
        );
    }
    Some(ChosenProtection {
        setting: setting.map(Amperes),
        range,
        protects_motor: own.release == "motor",
        class,
        magnetic: Some(limits),
        trip: Some(trip),
        rides_peak,
        checks: verdict.checks,
        ..ChosenProtection::new(device, Amperes(own.rating_a), bounds, demand)
    })
}

pub(super) fn line_breaker<'a>(
    own: &'a LineBreaker,
    bounds: &ProtectionBounds,
    case: &Case,
    demand: &Demand<'_>,
    tools: &Tools<'_>,
) -> Option<ChosenProtection<'a>> {
    let poles = match (case.machine.phases, case.machine.neutral) {
        (3, true) => 4,
        (3, false) => 3,
        _ => 2,
    };
    // Curve D where something may start behind the breaker, C elsewhere.
    let curve = if matches!(case.machine.kind, LoadKind::Motor | LoadKind::Packaged | LoadKind::Transformer) { "D" } else { "C" };
    if demand.ask.starts || own.poles != poles || own.curve != curve || !bounds.least.fits(Amperes(own.rating_a)) {
        return None;
    }
    let (low, high) = tools.book.curve_limits(&own.curve)?;
    let device = Device::Line(own);
    let mut verdict = Verdict::default();
    common(demand, device, Amperes(own.rating_a), tools, &mut verdict);
    Some(ChosenProtection {
        magnetic: Some([low * own.rating_a, low * own.rating_a, high * own.rating_a]),
        checks: verdict.checks,
        ..ChosenProtection::new(device, Amperes(own.rating_a), bounds, demand)
    })
}
