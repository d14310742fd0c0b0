//! Ends of cables, conductors and raceways: glands, lugs, terminals, connectors and couplings.

use super::control_cables::CONTROL;
use super::{Stock, pieces};
use crate::design::{Disconnect, Part, Run};
use crate::quantity::round_to;
use crate::rules::units::METRES_A_FOOT;
use crate::sizing::runs::SUPPLY;

/// Role of the run between slip rings and their resistors.
const ROTOR: &str = "rotor";

/// A length of cable: what glands must know of it.
struct Length<'a> {
    part: &'a str,
    description: &'a str,
    outer_mm: Option<f64>,
    screened: bool,
    count: f64,
    /// A local isolator parts it in two.
    parted: bool,
}

/// All ends of some runs and of the cables, conductors and raceways that these are bought as; a local isolator parts the way to a
/// machine.
pub(super) fn all(
    stock: &Stock<'_>,
    runs: &[Run],
    bought: &[Part],
    local: Option<&Disconnect>,
    missing: &mut Vec<String>,
) -> Vec<Part> {
    let isolator = local.is_some();
    let mut parts = glands(stock, bought, isolator, missing);
    parts.extend(lugs(stock, runs, isolator, missing));
    parts.extend(terminals(stock, runs, local, missing));
    parts.extend(fittings(stock, bought, isolator, missing));
    parts
}

/// A local isolator stands in the run to the machine: it parts neither the way to the starter, nor that from the slip rings to their
/// resistors, nor control cables.
fn is_parted(isolator: bool, run: &str) -> bool {
    isolator && ![SUPPLY, ROTOR, CONTROL].contains(&run)
}

/// Neutrals of a run that go past the poles of a local isolator. Where the cable is parted they need a terminal of their own in its
/// enclosure; of one phase the neutral has a pole.
fn neutrals_past(local: Option<&Disconnect>, run: &Run) -> f64 {
    let three_poles = local.is_some_and(|isolator| isolator.poles.is_some_and(|poles| poles < 4));
    let past = three_poles && is_parted(true, &run.role) && run.neutral_size.is_some() && run.cores > 3;
    if past { f64::from(run.per_phase.max(1) * run.count.max(1)) } else { 0.0 }
}

/// Multicore cables; single cores run in conduits and trunking, whose ends are not counted.
fn lengths<'a>(stock: &Stock<'_>, bought: &'a [Part], isolator: bool) -> Vec<Length<'a>> {
    let length_of = |part: &'a Part| {
        let catalogue = stock.catalogue;
        let power = catalogue.cables.iter().find(|cable| cable.part == part.part);
        let control = catalogue.control_cables.iter().find(|cable| cable.part == part.part);
        let (outer_mm, screened) = match (power, control) {
            (Some(cable), _) if cable.cores > 1 => (cable.outer_mm, cable.screened),
            (None, Some(cable)) => (cable.outer_mm, cable.screened),
            // A cable that the catalogue lacks needs its glands all the same.
            (None, None) if is_unnumbered_cable(part) => (None, false),
            _ => return None,
        };
        let parted = is_parted(isolator, &part.run);
        let (number, description) = (part.part.as_str(), part.description.as_str());
        Some(Length { part: number, description, outer_mm, screened, count: f64::from(part.cuts), parted })
    };
    bought.iter().filter(|part| part.cuts > 0).filter_map(length_of).collect()
}

/// A cable of several cores without a part number.
fn is_unnumbered_cable(part: &Part) -> bool {
    part.part.is_empty() && part.description.starts_with("cable ") && !part.description.ends_with("single cores")
}

/// A gland for each end of each cable.
fn glands(stock: &Stock<'_>, bought: &[Part], isolator: bool, missing: &mut Vec<String>) -> Vec<Part> {
    if !stock.has("glands") {
        return Vec::new();
    }
    let mut parts = Vec::new();
    for length in lengths(stock, bought, isolator) {
        let ends = stock.figure("gland-ends") + if length.parted { stock.figure("isolator-gland-ends") } else { 0.0 };
        let found = length.outer_mm.and_then(|outer| stock.catalogue.gland(outer, length.screened));
        let words = format!("gland for {}{}", length.part, if length.part.is_empty() { length.description } else { "" });
        let found = found.map(|gland| (gland.part.as_str(), gland.description.as_str()));
        parts.push(pieces(found, words, length.count * ends, missing));
    }
    together(parts)
}

/// Runs of power, each with its loaded conductors and protective conductors: every cable brings one of its own.
fn power_runs(runs: &[Run]) -> impl Iterator<Item = (&Run, f64, f64)> {
    runs.iter().filter(|run| run.role != CONTROL).map(|run| {
        let parallel = f64::from(run.per_phase.max(1) * run.count.max(1));
        (run, f64::from(run.cores.saturating_sub(1)) * parallel, parallel * f64::from(run.cables.max(1)))
    })
}

/// Lugs of the larger conductors.
fn lugs(stock: &Stock<'_>, runs: &[Run], isolator: bool, missing: &mut Vec<String>) -> Vec<Part> {
    if !stock.has("lugs") {
        return Vec::new();
    }
    let (from, ends_of_whole) = (stock.figure("lug-from"), stock.figure("lug-ends"));
    let mut parts = Vec::new();
    for (run, live, protective) in power_runs(runs) {
        let ends = ends_of_whole + if is_parted(isolator, &run.role) { stock.figure("isolator-lug-ends") } else { 0.0 };
        let of_protective = stock.book.size_of(&run.protective_size).unwrap_or(0.0);
        for (mm2, count, size) in [(run.phase_area_mm2, live, &run.phase_size), (of_protective, protective, &run.protective_size)]
        {
            if mm2 + 1e-9 < from || count * ends <= 0.0 {
                continue;
            }
            let lug = stock.catalogue.lug(&run.material, mm2).map(|lug| (lug.part.as_str(), lug.description.as_str()));
            parts.push(pieces(lug, format!("{} lug for {size}", run.material), count * ends, missing));
        }
    }
    together(parts)
}

/// Terminals of the panel: the smaller outgoing conductors of power, protective conductors, and control cores; and in the enclosure of a
/// local isolator those of neutrals that it does not switch.
fn terminals(stock: &Stock<'_>, runs: &[Run], local: Option<&Disconnect>, missing: &mut Vec<String>) -> Vec<Part> {
    if !stock.has("terminals") {
        return Vec::new();
    }
    let largest = stock.figure("power-terminal-to");
    let mut parts = Vec::new();
    let mut add = |kind: &str, mm2: f64, current: f64, count: f64| {
        if count > 0.0 {
            let terminal = stock
                .catalogue
                .terminal(kind, mm2, current)
                .map(|terminal| (terminal.part.as_str(), terminal.description.as_str()));
            let words = format!("{kind} terminal for {mm2} mm² and {} A", round_to(current, 1));
            parts.push(pieces(terminal, words, count, missing));
        }
    };
    // The way to a starter that stands apart leaves its board as a feeder does.
    for (run, live, protective) in power_runs(runs) {
        if run.phase_area_mm2 <= largest + 1e-9 {
            // Conductors in parallel are never that small, so each carries what its run needs.
            add("feed-through", run.phase_area_mm2, run.required_a, live);
            add("protective", stock.book.size_of(&run.protective_size).unwrap_or(run.phase_area_mm2), 0.0, protective);
        }
    }
    let neutral_each = stock.figure("isolator-neutral-terminals");
    for run in runs {
        let neutral_mm2 = run.neutral_size.as_deref().and_then(|size| stock.book.size_of(size)).unwrap_or(run.phase_area_mm2);
        add("feed-through", neutral_mm2, run.required_a, neutrals_past(local, run) * neutral_each);
    }
    for run in runs.iter().filter(|run| run.role == CONTROL) {
        let cables = f64::from(run.per_phase.max(1) * run.count.max(1));
        let of_protection = if run.protective_size.is_empty() { 0 } else { 1 };
        add("feed-through", run.phase_area_mm2, 0.0, f64::from(run.cores.saturating_sub(of_protection)) * cables);
        add("protective", run.phase_area_mm2, 0.0, f64::from(of_protection) * cables);
    }
    together(parts)
}

/// Two connectors for each raceway, two more where a local isolator parts it, and couplings between its sticks, as far as these don't bring
/// them.
fn fittings(stock: &Stock<'_>, bought: &[Part], isolator: bool, missing: &mut Vec<String>) -> Vec<Part> {
    if !stock.has("fittings") {
        return Vec::new();
    }
    let mut parts = Vec::new();
    for part in bought.iter().filter(|part| part.cuts > 0) {
        let Some(raceway) = stock.catalogue.raceways.iter().find(|raceway| raceway.part == part.part) else { continue };
        let count = f64::from(part.cuts);
        let metres = part.quantity / count * if part.unit == "ft" { METRES_A_FOOT } else { 1.0 };
        let bare = raceway.standard_length_m.filter(|_| !raceway.coupling_included.unwrap_or(false));
        let joints = bare.map_or(0.0, |stick| (round_to(metres / stick, 6).ceil() - 1.0).max(0.0));
        let further = if is_parted(isolator, &part.run) { stock.figure("isolator-raceway-connectors") } else { 0.0 };
        for (fitting, each) in [("connector", stock.figure("raceway-connectors") + further), ("coupling", joints)] {
            if each > 0.0 {
                let piece = stock.catalogue.fitting(fitting, &raceway.kind, &raceway.trade_size);
                let words = format!("{fitting} for {}, trade size {}", raceway.kind.to_uppercase(), raceway.trade_size);
                parts.push(pieces(
                    piece.map(|fitting| (fitting.part.as_str(), fitting.description.as_str())),
                    words,
                    each * count,
                    missing,
                ));
            }
        }
    }
    together(parts)
}

/// Parts alike as one.
fn together(parts: Vec<Part>) -> Vec<Part> {
    let mut all: Vec<Part> = Vec::new();
    for part in parts {
        match all.iter_mut().find(|alike| alike.part == part.part && alike.description == part.description) {
            Some(alike) => alike.quantity += part.quantity,
            None => all.push(part),
        }
    }
    all
}
