//! Short-circuit rating of a starter, where the book rates assemblies (UL 508A, SB4): the least of what the parts of its power circuit
//! stand, a tested combination lifting its own parts only. A drive or soft starter is part of none.

use crate::design::Circuit;
use crate::finding::codes;
use crate::load::LoadKind;
use crate::quantity::{Amperes, Watts, fits};
use crate::rules::nec::rating::default_rating;
use crate::verify::facts::Facts;
use crate::verify::shelf::Item;
use crate::verify::{Disagreements, same, shown};

pub(super) fn agree(facts: &Facts<'_>, found: &mut Disagreements) {
    equipment(facts, found);
    let check = facts.circuit.checks.iter().find(|check| check.name == "short-circuit-rating" && check.subject.is_empty());
    let Some(stated_ka) = check.and_then(|check| check.value) else { return };
    let weakest_ka = weakest(facts);
    found.unless(weakest_ka.is_some_and(|ka| same(ka, stated_ka)), &codes::V407_ASSEMBLY_RATING, || {
        format!("a short-circuit rating of {stated_ka} kA is stated; the weakest part stands {} kA", shown(weakest_ka))
    });
}

/// Equipment with controllers of its own is taken for no more than its marking says; without one for no more than unmarked parts stand.
fn equipment(facts: &Facts<'_>, found: &mut Disagreements) {
    let machine = &facts.machine;
    let combination = machine.minimum_ampacity.is_some() || machine.maximum_protection.is_some();
    let rated_by_book = facts.book.criteria().iter().any(|criterion| criterion.name == "short-circuit-rating");
    if !rated_by_book || !(combination || machine.kind == LoadKind::Packaged) {
        return;
    }
    let most = machine.equipment_rating.or(default_rating("motor-controller", Some(0.0)));
    let ratings = facts.circuit.checks.iter().filter(|check| check.name == "short-circuit-rating" && !check.subject.is_empty());
    for check in ratings.filter(|check| check.passed == Some(true)) {
        let limit = check.limit.map(Amperes);
        found.unless(limit.zip(most).is_some_and(|(limit, most)| limit.fits(most)), &codes::V407_ASSEMBLY_RATING, || {
            let [limit, most] = [limit, most].map(|current| shown(current.map(|current| current.0)));
            format!("the equipment is taken to stand {limit} A; it is known to stand {most} A")
        });
    }
    let alone = facts.circuit.contactors.is_empty() && facts.circuit.starter_devices.is_empty();
    let claimed = facts.circuit.checks.iter().any(|check| check.name == "short-circuit-rating" && check.subject.is_empty());
    found.unless(!(alone && claimed && machine.equipment_rating.is_none()), &codes::V407_ASSEMBLY_RATING, || {
        "the device alone is called the rating of equipment of which none is stated".to_owned()
    });
}

/// The rating of the weakest part in kA; none where nothing is known of one.
fn weakest(facts: &Facts<'_>) -> Option<f64> {
    let circuit = facts.circuit;
    let tested = tested_combination(facts);
    let horsepower = facts.machine.horsepower.or(facts.machine.power.map(Watts::horsepower));
    let assumed = |component: &str| default_rating(component, Some(horsepower.unwrap_or(0.0))).map(|rating| rating.0 / 1000.0);
    let lifted = |ka: f64| tested.map_or(ka, |tested| ka.max(tested));
    let mut least = f64::INFINITY;
    for part in parts_of_the_power_circuit(circuit) {
        // The number of a contactor holds that of its coil.
        let contactor = facts.shelf.contactor(part).map(|(contactor, _)| contactor);
        let of_contactor = || contactor?.short_circuit_rating_ka.or_else(|| assumed("motor-controller")).map(lifted);
        let of_other = facts.shelf.all(part).find_map(|item| match item {
            Item::Branch(breaker) => {
                breaker.interrupting_ka(facts.volts_of_system()).or_else(|| assumed("circuit-breaker")).map(lifted)
            }
            Item::Fuse(fuse) => Some(lifted(fuse.breaking_ka)),
            Item::Relay(relay) => relay.short_circuit_rating_ka.or_else(|| assumed("overload-relay")).map(lifted),
            Item::Drive(drive) => drive.short_circuit_rating_ka.or_else(|| assumed("motor-controller")),
            Item::SoftStarter(starter) => starter.short_circuit_rating_ka.or_else(|| assumed("motor-controller")),
            _ => None,
        });
        least = least.min(of_other.or_else(of_contactor)?);
    }
    least.is_finite().then_some(least)
}

fn parts_of_the_power_circuit(circuit: &Circuit) -> impl Iterator<Item = &str> {
    let protection = circuit.protection.iter().map(|protection| protection.part.as_str());
    let contactors = circuit.contactors.iter().map(|contactor| contactor.part.as_str());
    let relays = circuit.overloads.iter().map(|relay| relay.part.as_str());
    let electronics = circuit.starter_devices.iter().filter(|device| matches!(device.kind.as_str(), "drive" | "soft-starter"));
    protection
        .chain(contactors)
        .chain(relays)
        .chain(electronics.map(|device| device.part.as_str()))
        .filter(|part| !part.is_empty())
}

/// Conditional current of the combination to which every contactor belongs, kA.
fn tested_combination(facts: &Facts<'_>) -> Option<f64> {
    let (circuit, volts) = (facts.circuit, facts.volts_of_system());
    let protection = circuit.protection.as_ref()?;
    let relays = || circuit.overloads.iter().filter(|relay| !relay.part.is_empty());
    let mut least = f64::INFINITY;
    for contactor in &circuit.contactors {
        let relay = relays().find(|relay| relay.role == contactor.role).or_else(|| relays().next());
        let relay = relay.map_or("", |relay| relay.part.as_str());
        let (bare, _) = facts.shelf.contactor(&contactor.part)?;
        let lines = facts.shelf.catalogue.combinations.iter().filter(|line| {
            line.protection_part == protection.part
                && line.contactor_part == bare.part
                && (line.overload_part == relay || line.overload_part == "any")
                && fits(volts, line.max_voltage_v)
        });
        least = least.min(lines.map(|line| line.conditional_ka).reduce(f64::max)?);
    }
    least.is_finite().then_some(least)
}
