//! The runs of a circuit, one after the other: what each must do stands in [`demands`], and [`super::conductors`] chooses by it.

use crate::design::{Circuit, Part, Run};
use crate::finding::{Finding, codes};
use crate::load::Case;
use crate::quantity::{Amperes, Volts, round_to};
use crate::record::Record;
use crate::rules::RatedCurrents;
use crate::rules::conductors::{Candidate, RunDemand, RunNeed, RunPart};
use crate::sizing::Tools;
use crate::sizing::assembly::Assembly;
use crate::sizing::conductors::{RunChoice, holds_for_circuits, size_run};
use crate::supply::SupplyPoint;

mod demands;
mod say;
mod supply;

use demands::demands;
pub(crate) use say::{hot_ends, hot_raceway};

/// Role of the run from the board to a starter or drive that stands apart.
pub(super) const SUPPLY: &str = "supply";

/// Chooses every run of a circuit and writes it into the circuit.
pub(super) fn choose(
    case: &Case,
    currents: &RatedCurrents,
    assembly: &Assembly<'_>,
    point: &SupplyPoint,
    tools: &Tools<'_>,
    circuit: &mut Circuit,
    record: &mut Record,
) {
    say::of_route(case, point, tools, record);
    let mut supply: Option<RunChoice> = None;
    let mut to_earth = Volts::default();
    let demands = demands(case, currents, assembly, point, tools);
    let raised = supply::raised(case, currents, &demands, tools);
    let to_star =
        demands.iter().find(|demand| demand.part == RunPart::LowSpeed && !assembly.arrangement.star_points.is_empty()).cloned();
    let mut raised_slow = None;
    for mut demand in demands {
        to_earth = demand.to_earth;
        if let Some(before) = &supply {
            follow(&mut demand, before, case.motors);
        }
        asked(&mut demand, case, currents, tools, record);
        if let Some(slow) = to_star.as_ref().filter(|_| demand.part == RunPart::HighSpeed) {
            let mut slow = slow.clone();
            if let Some(before) = &supply {
                follow(&mut slow, before, case.motors);
            }
            asked(&mut slow, case, currents, tools, &mut Record::silent());
            raised_slow = supply::raised_to_star(&demand, &slow, case, tools);
            through_star(&mut demand, &sized(&slow, raised_slow, tools, &mut Record::silent()));
        }
        let by_others = match demand.part {
            RunPart::LowSpeed => raised_slow,
            _ => raised.filter(|_| demand.role == SUPPLY),
        };
        let choice = sized(&demand, by_others, tools, record);
        if demand.role == SUPPLY {
            supply = Some(choice.clone());
        }
        settle(case, &demand, choice, tools, circuit, record);
    }
    say::slower_disconnection(case, assembly, to_earth, tools, circuit, record);
    // The currents at the board are the same for every run; a run that begins at the end of another knows only what comes there.
    let kiloamperes = |current: Option<Amperes>| current.map(|current| round_to(current.0 / 1000.0, 4));
    circuit.fault.board_max_ka = kiloamperes(point.fault_max);
    circuit.fault.peak_ka = kiloamperes(point.peak);
    circuit.conductors = circuit.runs.first().cloned();
}

/// The run in its smallest size, or in the one that other runs ask of it.
fn sized(demand: &RunDemand, raised: Option<Candidate>, tools: &Tools<'_>, record: &mut Record) -> RunChoice {
    match raised {
        Some(candidate) => supply::chosen(demand, candidate, tools, record),
        None => size_run(demand, tools.book, tools.catalogue, record),
    }
}

/// Demand of the run that begins at the board; none where a circuit has no run.
pub(super) fn first_demand(
    case: &Case,
    currents: &RatedCurrents,
    assembly: &Assembly<'_>,
    point: &SupplyPoint,
    tools: &Tools<'_>,
) -> Option<RunDemand> {
    let mut demand = demands(case, currents, assembly, point, tools).into_iter().next()?;
    asked(&mut demand, case, currents, tools, &mut Record::silent());
    Some(demand)
}

/// Puts in what the book asks of the conductors.
fn asked(demand: &mut RunDemand, case: &Case, currents: &RatedCurrents, tools: &Tools<'_>, record: &mut Record) {
    let ask = RunNeed { part: demand.part, machine: &case.machine, start: &case.start, currents, current: demand.current };
    let need = tools.book.need(&ask, record);
    demand.need = need.capacity;
    demand.termination = demand.termination.or(need.termination);
}

/// Lets a run begin where the supply run ends: its voltage drop and its impedance come on top. The current of all motors flows
/// before a run that carries that of one.
fn follow(demand: &mut RunDemand, supply: &RunChoice, motors: u32) {
    let companions = &supply.companions;
    (demand.fault_max, demand.fault_min) = (companions.end_max, companions.end_earth_min);
    demand.x_over_r = companions.end_x_over_r;
    demand.paths = companions.end_paths;
    if demand.behind_drive {
        // The drive parts the two: what it lacks at its input it lacks at its output.
        demand.running.before_pct =
            supply.checks.iter().find(|check| check.name == "running-voltage-drop").and_then(|check| check.value);
        return;
    }
    let before = companions.impedance.unwrap_or_default() * f64::from(motors);
    demand.running.before = before;
    if let Some(starting) = &mut demand.starting {
        starting.before = before;
    }
}

/// Counts what the leads to the star point of a tapped winding take of its voltage at high speed. Each carries a half of the current, which
/// comes from two windings: of its drop, the half falls on either. So a quarter of its impedance counts with the whole current (circuit
/// theory).
fn through_star(demand: &mut RunDemand, slow: &RunChoice) {
    let leads = slow.companions.impedance.unwrap_or_default() * 0.25;
    demand.running.before = demand.running.before + leads;
    if let Some(starting) = &mut demand.starting {
        starting.before = starting.before + leads;
    }
}

/// Writes a run into the circuit, or says why there is none.
fn settle(case: &Case, demand: &RunDemand, choice: RunChoice, tools: &Tools<'_>, circuit: &mut Circuit, record: &mut Record) {
    if let Some(refused) = &choice.refused {
        let finding = Finding::new(&codes::C601_NO_CABLE, refused.clone()).at(case.route.place.clone());
        record.find(finding.cure("correct the row or the basis"));
        return;
    }
    say::of_choice(case, demand, &choice, tools, record);
    circuit.checks.extend(choice.checks);
    let Some(run) = choice.run else { return };
    // The terminals meant are the load's: those at the end of a supply run count only until a further run leads on.
    let first = circuit.runs.is_empty();
    if first || !demand.behind_drive && circuit.runs.iter().all(|run| run.role == SUPPLY) {
        circuit.fault = choice.fault;
    }
    // Each of several motors has a run of its own; all other roles stand before the starter.
    let count = if demand.role == SUPPLY { 1 } else { case.motors };
    circuit.parts.extend(choice.parts.into_iter().map(|part| so_often(part, count)));
    let candidate = Candidate { size_mm2: run.phase_area_mm2, parallel: run.per_phase };
    let unstated = !case.route.group_stated && tools.book.groups_cables().is_some();
    let holds_for_circuits = unstated.then(|| holds_for_circuits(tools.book, demand, candidate));
    let holds_to_m = if demand.behind_drive { no_farther_than_drive(case, circuit, run.holds_to_m) } else { run.holds_to_m };
    circuit.runs.push(Run { count, holds_for_circuits, holds_to_m, ..run });
}

/// What a cable behind a drive holds to is no more than the length that the drive charges, which all motors behind it share.
fn no_farther_than_drive(case: &Case, circuit: &Circuit, holds_to_m: Option<f64>) -> Option<f64> {
    let charges = circuit.checks.iter().find(|check| check.name == "drive-cable-length").and_then(|check| check.limit);
    let Some(charges) = charges else { return holds_to_m };
    let of_one = (charges / f64::from(case.motors)).floor();
    Some(holds_to_m.map_or(of_one, |metres| metres.min(of_one)))
}

/// The parts of so many runs alike.
fn so_often(part: Part, count: u32) -> Part {
    Part { quantity: round_to(part.quantity * f64::from(count), 3), cuts: part.cuts * count, ..part }
}
