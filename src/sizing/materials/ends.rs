//! Ends of cables, conductors and raceways: glands, lugs, terminals, connectors and couplings.

use super::control_cables::CONTROL;
use super::{Counter, pieces};
use crate::design::{Circuit, Part, Run};
use crate::quantity::round_to;
use crate::rules::units::METRES_A_FOOT;
use crate::sizing::runs::SUPPLY;

/// A length of cable of a circuit: what glands must know of it.
struct Length<'a> {
    part: &'a str,
    description: &'a str,
    outer_mm: Option<f64>,
    screened: bool,
    count: f64,
    /// A local isolator parts it in two.
    parted: bool,
}

/// Multicore cables of a circuit; single cores run in conduits and trunking, whose ends are not counted.
fn lengths<'a>(counter: &Counter<'_>, circuit: &'a Circuit) -> Vec<Length<'a>> {
    let isolator = circuit.disconnect.as_ref().is_some_and(|own| own.location == "at the machine");
    let of = |part: &'a Part| {
        let catalogue = counter.catalogue;
        let power = catalogue.cables.iter().find(|own| own.part == part.part);
        let control = catalogue.control_cables.iter().find(|own| own.part == part.part);
        let (outer_mm, screened) = match (power, control) {
            (Some(own), _) if own.cores > 1 => (own.outer_mm, own.screened),
            (None, Some(own)) => (own.outer_mm, own.screened),
            _ => return None,
        };
        let parted = isolator && part.run != SUPPLY && part.run != CONTROL;
        let (own, description) = (part.part.as_str(), part.description.as_str());
        Some(Length { part: own, description, outer_mm, screened, count: f64::from(part.cuts), parted })
    };
    circuit.parts.iter().filter(|part| part.cuts > 0).filter_map(of).collect()
}

/// A gland for each end of each cable.
pub(super) fn glands(counter: &Counter<'_>, circuit: &Circuit, missing: &mut Vec<String>) -> Vec<Part> {
    if !counter.has("glands") {
        return Vec::new();
    }
    let mut parts = Vec::new();
    for own in lengths(counter, circuit) {
        let ends = counter.figure("gland-ends") + if own.parted { counter.figure("isolator-gland-ends") } else { 0.0 };
        let found = own.outer_mm.and_then(|outer| counter.catalogue.gland(outer, own.screened));
        let words = format!("gland for {}{}", own.part, if own.part.is_empty() { own.description } else { "" });
        let found = found.map(|own| (own.part.as_str(), own.description.as_str()));
        parts.push(pieces(found, words, own.count * ends, missing));
    }
    together(parts)
}

/// Runs of power of a circuit, each with its loaded conductors and protective conductors.
fn power_runs(circuit: &Circuit) -> impl Iterator<Item = (&Run, f64, f64)> {
    circuit.runs.iter().filter(|run| run.role != CONTROL).map(|run| {
        let parallel = f64::from(run.per_phase.max(1));
        (run, f64::from(run.cores.saturating_sub(1)) * parallel, parallel)
    })
}

/// Lugs of the larger conductors.
pub(super) fn lugs(counter: &Counter<'_>, circuit: &Circuit, missing: &mut Vec<String>) -> Vec<Part> {
    if !counter.has("lugs") {
        return Vec::new();
    }
    let (from, ends) = (counter.figure("lug-from"), counter.figure("lug-ends"));
    let mut parts = Vec::new();
    for (run, live, protective) in power_runs(circuit) {
        let of_protective = counter.book.size_of(&run.protective_size).unwrap_or(0.0);
        for (mm2, count, size) in [(run.phase_area_mm2, live, &run.phase_size), (of_protective, protective, &run.protective_size)]
        {
            if mm2 + 1e-9 < from || count <= 0.0 {
                continue;
            }
            let own = counter.catalogue.lug(&run.material, mm2).map(|own| (own.part.as_str(), own.description.as_str()));
            parts.push(pieces(own, format!("{} lug for {size}", run.material), count * ends, missing));
        }
    }
    together(parts)
}

/// Terminals of the panel: the smaller outgoing conductors of power, protective conductors, and control cores.
pub(super) fn terminals(counter: &Counter<'_>, circuit: &Circuit, missing: &mut Vec<String>) -> Vec<Part> {
    if !counter.has("terminals") {
        return Vec::new();
    }
    let largest = counter.figure("power-terminal-to");
    let mut parts = Vec::new();
    let mut add = |kind: &str, mm2: f64, current: f64, count: f64| {
        if count > 0.0 {
            let own = counter.catalogue.terminal(kind, mm2, current).map(|own| (own.part.as_str(), own.description.as_str()));
            let words = format!("{kind} terminal for {mm2} mm² and {} A", round_to(current, 1));
            parts.push(pieces(own, words, count, missing));
        }
    };
    for (run, live, protective) in power_runs(circuit).filter(|(run, ..)| run.role != SUPPLY) {
        if run.phase_area_mm2 <= largest + 1e-9 {
            // Conductors in parallel are never that small, so each carries what its run needs.
            add("feed-through", run.phase_area_mm2, run.required_a, live);
            add("protective", counter.book.size_of(&run.protective_size).unwrap_or(run.phase_area_mm2), 0.0, protective);
        }
    }
    for run in circuit.runs.iter().filter(|run| run.role == CONTROL) {
        let cables = f64::from(run.per_phase.max(1));
        let of_protection = if run.protective_size.is_empty() { 0 } else { 1 };
        add("feed-through", run.phase_area_mm2, 0.0, f64::from(run.cores.saturating_sub(of_protection)) * cables);
        add("protective", run.phase_area_mm2, 0.0, f64::from(of_protection) * cables);
    }
    together(parts)
}

/// Two connectors for each raceway, and couplings between its sticks.
pub(super) fn fittings(counter: &Counter<'_>, circuit: &Circuit, missing: &mut Vec<String>) -> Vec<Part> {
    if !counter.has("fittings") {
        return Vec::new();
    }
    let mut parts = Vec::new();
    for part in circuit.parts.iter().filter(|part| part.cuts > 0) {
        let Some(raceway) = counter.catalogue.raceways.iter().find(|own| own.part == part.part) else { continue };
        let count = f64::from(part.cuts);
        let metres = part.quantity / count * if part.unit == "ft" { METRES_A_FOOT } else { 1.0 };
        let joints = raceway.standard_length_m.map_or(0.0, |stick| (round_to(metres / stick, 6).ceil() - 1.0).max(0.0));
        for (fitting, each) in [("connector", counter.figure("raceway-connectors")), ("coupling", joints)] {
            if each > 0.0 {
                let own = counter.catalogue.fitting(fitting, &raceway.kind, &raceway.trade_size);
                let words = format!("{fitting} for {}, trade size {}", raceway.kind.to_uppercase(), raceway.trade_size);
                parts.push(pieces(own.map(|own| (own.part.as_str(), own.description.as_str())), words, each * count, missing));
            }
        }
    }
    together(parts)
}

/// Parts alike as one.
fn together(parts: Vec<Part>) -> Vec<Part> {
    let mut all: Vec<Part> = Vec::new();
    for part in parts {
        match all.iter_mut().find(|own| own.part == part.part && own.description == part.description) {
            Some(own) => own.quantity += part.quantity,
            None => all.push(part),
        }
    }
    all
}
