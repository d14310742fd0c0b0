//! Short-circuit rating of the whole: the weakest of its parts against the fault current of the board, where the book rates
//! assemblies.

use crate::design::Check;
use crate::load::Case;
use crate::quantity::Amperes;
use crate::record::Record;
use crate::rules::{PartKind, RatedPart, StarterRating, Topic};
use crate::sizing::Tools;
use crate::sizing::assembly::{Decided, Device, Found};
use crate::sizing::judge::{at_least, not_checked};
use crate::supply::SupplyPoint;

/// Rating of the assembly against the fault current; none where the book rates no assemblies or there is none.
pub(super) fn check(decided: &Decided<'_, '_>, found: &Found<'_>, record: &mut Record) -> Option<Check> {
    let tools = decided.tools;
    // Alone the device is judged by what it breaks: the controllers are the equipment's, whose rating nobody states.
    if decided.case.machine.unrated_equipment() && found.contactors.is_empty() && decided.devices.is_empty() {
        return None;
    }
    let parts = parts(decided, found);
    let reference = tools.book.clause(Topic::AssemblyRating);
    let name = "short-circuit-rating";
    let rating = match tools.book.assembly_rating(&parts, record) {
        StarterRating::NotRated => return None,
        StarterRating::Unknown(because) => return Some(not_checked(name, "kA", because, reference)),
        StarterRating::Of(rating) => rating,
    };
    Some(match decided.point.fault_max {
        Some(fault) => at_least(name, rating.0 / 1000.0, fault.0 / 1000.0, "kA", reference),
        None => not_checked(name, "kA", "the largest fault current of the board is unknown", reference),
    })
}

/// Whether the rating rests on a default of a part that its maker left unmarked: no tested combination speaks for it.
pub(super) fn rests_on_a_default(decided: &Decided<'_, '_>, found: &Found<'_>) -> bool {
    parts(decided, found).iter().any(|part| part.declared.is_none() && part.combination.is_none())
}

fn kiloamperes(value: Option<f64>) -> Option<Amperes> {
    value.map(|ka| Amperes(ka * 1000.0))
}

/// Parts of the power circuit, the protective device first.
fn parts(decided: &Decided<'_, '_>, found: &Found<'_>) -> Vec<RatedPart> {
    let Decided { case, point, tools, devices, .. } = *decided;
    let volts = point.circuit_voltage(&case.machine).0;
    let horsepower = case.machine.horsepower.or(case.machine.power.map(|power| power.horsepower()));
    let tested = combination(case, found, point, tools);
    let part = |kind, declared| RatedPart { kind, declared, horsepower, combination: tested };
    let protection = found.protection.iter().map(|protection| match protection.device {
        Device::Fuse(fuse) => part(PartKind::FuseHolder, kiloamperes(Some(fuse.breaking_ka))),
        device => part(PartKind::Breaker, kiloamperes(device.breaking_ka(volts))),
    });
    let contactors = found
        .contactors
        .iter()
        .filter_map(|contactor| contactor.contactor)
        .map(|contactor| part(PartKind::Controller, kiloamperes(contactor.short_circuit_rating_ka)));
    let relays = found
        .relays
        .iter()
        .filter_map(|relay| relay.relay)
        .map(|relay| part(PartKind::OverloadRelay, kiloamperes(relay.short_circuit_rating_ka)));
    let devices = devices.iter().filter_map(|device| {
        let declared = device.drive.map(|drive| drive.short_circuit_rating_ka);
        declared.or_else(|| device.soft_starter.map(|soft_starter| soft_starter.short_circuit_rating_ka))
    });
    // The combination was tested without them: what it stands says nothing of the electronics behind it.
    let untested = |declared| RatedPart { combination: None, ..part(PartKind::Controller, kiloamperes(declared)) };
    let devices = devices.map(untested);
    protection.chain(contactors).chain(relays).chain(devices).collect()
}

/// Rating of a tested combination that every contactor of the assembly is part of; none if one is not.
fn combination(case: &Case, found: &Found<'_>, point: &SupplyPoint, tools: &Tools<'_>) -> Option<Amperes> {
    let protection = found.protection.as_ref()?;
    let volts = point.circuit_voltage(&case.machine).0;
    let tested = |contactor: &str, overload: &str| {
        let lines = tools.catalogue.combinations_of(protection.device.part(), contactor, overload, volts);
        lines.map(|line| line.conditional_ka).reduce(f64::max)
    };
    let mut least: Option<f64> = None;
    for chosen in &found.contactors {
        let relay = super::relays::of_combination(chosen.role.name, &found.relays).map_or("", |relay| relay.part.as_str());
        let rated = tested(&chosen.contactor?.part, relay)?;
        least = Some(least.map_or(rated, |least| least.min(rated)));
    }
    kiloamperes(least)
}
