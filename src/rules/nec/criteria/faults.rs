//! Fault currents at the end of a run: what equipment there must stand, the smallest faults that its device must still clear, and the paths
//! that the run leaves to what stands behind it.

use super::{VOLTAGE_FACTOR, cable, grounding_size, phase_impedance};
use crate::quantity::{Amperes, Celsius, Impedance};
use crate::record::Record;
use crate::rules::conductors::{Candidate, FaultPaths, Outcome, RunDemand};
use crate::rules::nec::conductor::constant;
use crate::rules::nec::rating;
use crate::rules::physics::fault;

/// Largest fault current at the end of the run; behind a drive there is none.
pub(super) fn end_max(demand: &RunDemand, candidate: Candidate, record: &mut Record) -> Option<Amperes> {
    if demand.behind_drive {
        return None;
    }
    let behind = demand.largest_source(VOLTAGE_FACTOR, record)?;
    let cable = phase_impedance(demand, candidate, constant("cold-c"), record)?;
    Some(demand.largest_fault(VOLTAGE_FACTOR, behind, cable, record))
}

/// 110.10, 430.98, 440.10: what is marked on the equipment against the fault current at its terminals.
pub(super) fn equipment_rating(demand: &RunDemand, candidate: Candidate, _record: &mut Record) -> Option<Outcome> {
    if demand.unrated_equipment && !demand.behind_drive {
        return Some(unstated_rating(demand, candidate));
    }
    let rating = demand.equipment_rating.filter(|_| !demand.behind_drive)?;
    if demand.fault_max.is_none() {
        return Some(Outcome::not_checked("the available fault current of the board is unknown"));
    }
    if demand.length.is_none() {
        return Some(Outcome::not_checked("the length of the run is missing"));
    }
    Some(Outcome::at_most(end_max(demand, candidate, &mut Record::silent())?.0, rating.0))
}

/// What nobody states is never taken for more than unmarked parts stand (UL 508A, SB4.1).
fn unstated_rating(demand: &RunDemand, candidate: Candidate) -> Outcome {
    // Where the run is not known the fault current at its begin is no less.
    let fault = end_max(demand, candidate, &mut Record::silent()).or(demand.fault_max);
    match fault.zip(rating::least_of_unmarked()).filter(|(fault, least)| fault.fits(*least)) {
        Some((fault, least)) => Outcome { also: Some("UL 508A, Table SB4.1"), ..Outcome::at_most(fault.0, least.0) },
        None => Outcome::not_checked("the short-circuit current rating of the equipment is not stated"),
    }
}

/// Smallest fault between the live conductors, and to the equipment grounding conductor with X/R of its loop.
pub(super) fn least_faults(
    demand: &RunDemand,
    candidate: Candidate,
    record: &mut Record,
) -> Option<(Amperes, Option<(Amperes, f64)>)> {
    if demand.behind_drive {
        return None;
    }
    let behind = demand.least_source(VOLTAGE_FACTOR, record)?;
    let impedance = warm(demand, candidate, record)?;
    let between = demand.between_conductors(VOLTAGE_FACTOR, behind, impedance, record);
    // The working of the source stands with the fault between conductors.
    let to_ground = demand.least_loop(VOLTAGE_FACTOR, &mut Record::silent()).and_then(|behind| {
        let [phase, ground] = own_loop(demand, candidate, record)?;
        let path = behind + phase + ground;
        Some((fault::of_loop(record, VOLTAGE_FACTOR, demand.fault_to_earth(), path), path.x.0 / path.r.0))
    });
    Some((between, to_ground))
}

fn warm(demand: &RunDemand, candidate: Candidate, record: &mut Record) -> Option<Impedance> {
    phase_impedance(demand, candidate, constant("table-9-c"), record)
}

/// The impedances that the run adds to the loop: a phase and the equipment grounding conductor.
fn own_loop(demand: &RunDemand, candidate: Candidate, record: &mut Record) -> Option<[Impedance; 2]> {
    let size = grounding_size(demand, candidate, record)?;
    let ground = cable(demand, candidate.parallel, size, Celsius(constant("table-9-c")), record)?;
    // The working of the phase stands with the fault between conductors.
    Some([warm(demand, candidate, &mut Record::silent())?, ground])
}

/// The fault paths at the end of the run; behind a drive there are none.
pub(super) fn end_paths(demand: &RunDemand, candidate: Candidate) -> FaultPaths {
    if demand.behind_drive {
        return demand.paths.cut_off();
    }
    let record = &mut Record::silent();
    let cold = phase_impedance(demand, candidate, constant("cold-c"), record);
    let around = own_loop(demand, candidate, record).map(|[phase, ground]| phase + ground);
    demand.paths.behind(cold, warm(demand, candidate, record), around)
}
