//! The IEC book's criteria of withstand: what a device lets through at a fault, against what the conductors of the run stand.

use crate::quantity::{Amperes, Seconds, SquareMillimetres, fits};
use crate::record::Record;
use crate::rules::conductors::{Candidate, FaultDevice, Outcome, RunDemand};
use crate::rules::iec::capacity::Insulation;
use crate::rules::iec::conductor::{self, physics};
use crate::rules::iec::criteria::{end_earth_min, end_phase_min, protective_mm2};
use crate::rules::iec::protection;
use crate::rules::physics::thermal;

/// Times for which operating currents of devices are known, ascending: instantaneous, the columns of the fuses' tables, and the
/// longest of the adiabatic formula.
fn clearing_times() -> [f64; 4] {
    [
        physics("instantaneous-clearing-s"),
        protection::SHORT_DISCONNECTION.0,
        protection::MIDDLE_AM_GATE.0,
        physics("adiabatic-most-s"),
    ]
}

/// Energy that the device lets through at the largest fault against k²S² of one conductor.
pub(super) fn withstand_largest(demand: &RunDemand, candidate: Candidate, record: &mut Record) -> Option<Outcome> {
    if demand.behind_drive {
        return None;
    }
    let Some((_, _, let_through)) = demand.fault else { return Some(Outcome::not_checked("no protective device is chosen")) };
    if demand.fault_max.is_none() {
        return Some(Outcome::not_checked("the largest fault current of the board is unknown"));
    }
    Some(Outcome::at_most(let_through, stands(demand, candidate, record)?))
}

fn stands(demand: &RunDemand, candidate: Candidate, record: &mut Record) -> Option<f64> {
    let k = conductor::k_live(Insulation::parse(&demand.insulation)?, demand.material, candidate.size_mm2);
    Some(thermal::withstand(record, k, SquareMillimetres(candidate.size_mm2)).0)
}

/// The same for the smallest fault at the far end, with the time that the device takes there.
pub(super) fn withstand_smallest(demand: &RunDemand, candidate: Candidate, record: &mut Record) -> Option<Outcome> {
    if demand.behind_drive {
        return None;
    }
    let Some((device, _, let_through)) = demand.fault else {
        return Some(Outcome::not_checked("no protective device is chosen"));
    };
    if demand.fault_min.is_none() {
        return Some(Outcome::not_checked("the smallest fault current of the board is unknown"));
    }
    if demand.length.is_none() {
        return Some(Outcome::not_checked("the length of the run is missing"));
    }
    if demand.to_neutral() && demand.paths.loop_unknown() {
        return Some(Outcome::not_checked("the loop of a fault to neutral before the run is unknown"));
    }
    let least = end_phase_min(demand, candidate, record)?;
    // The working of what it stands is that of the criterion before.
    let stands = stands(demand, candidate, &mut Record::silent())?;
    Some(match energy_at(device, let_through, least) {
        Some(energy) => Outcome::at_most(energy, stands),
        None => never_cleared(least),
    })
}

/// Energy that a device lets through at a fault of this size or a larger one; none if it does not clear it in time.
fn energy_at(device: FaultDevice, let_through: f64, fault: Amperes) -> Option<f64> {
    let (operates, time) = clears(device, fault)?;
    Some(if fits(time, physics("instantaneous-clearing-s")) {
        // Up to 0.1 s the device limits the energy to what it lets through at most.
        fault.squared_over(Seconds(time)).0.min(let_through)
    } else {
        // I²t of a fuse falls as the current rises: its energy at the current that clears in this time is never exceeded above it.
        operates.squared_over(Seconds(time)).0
    })
}

/// 543.1.2 for a fault to earth at either end. Table 54.2 admits the size by itself, but a fuse that is large for a motor's start
/// may let through more at a small fault than a reduced protective conductor stands. Where that fault can't be worked out, the
/// criterion of disconnection says why.
pub(super) fn withstand_protective(demand: &RunDemand, candidate: Candidate, record: &mut Record) -> Option<Outcome> {
    let (device, _, let_through) = demand.fault.filter(|_| !demand.behind_drive)?;
    let neutral_earthed = demand.earthing.as_deref().is_some_and(|earthing| earthing.to_ascii_uppercase().starts_with("TN"));
    if !neutral_earthed || demand.fault_min.is_none() || demand.fault_max.is_none() || demand.length.is_none() {
        return None;
    }
    let size = protective_mm2(demand, candidate)?;
    let k = conductor::k_protective(Insulation::parse(&demand.insulation)?, demand.material, size);
    let stands = thermal::withstand(record, k, SquareMillimetres(size)).0;
    // The working of the smallest fault to earth stands with the criterion of disconnection.
    let least = end_earth_min(demand, candidate, &mut Record::silent())?;
    Some(match energy_at(device, let_through, least) {
        Some(energy) => Outcome::at_most(energy.max(let_through), stands),
        None => never_cleared(least),
    })
}

/// Nothing clears the fault within the longest adiabatic time, so nothing can be proved: no energy is admitted.
fn never_cleared(fault: Amperes) -> Outcome {
    Outcome::at_most(fault.squared_over(Seconds(physics("adiabatic-most-s"))).0, 0.0)
}

/// Shortest of the known times in which a device clears a current, and the current that clears in that time.
fn clears(device: FaultDevice, current: Amperes) -> Option<(Amperes, f64)> {
    let operates = |time: f64| -> Option<Amperes> {
        match device {
            FaultDevice::Magnetic(most) => fits(time, physics("instantaneous-clearing-s")).then_some(most),
            FaultDevice::Gg(rating) => protection::gg_disconnection_current(rating, Seconds(time)),
            FaultDevice::Am(rating) => protection::am_operating_current(rating, Seconds(time)),
        }
    };
    clearing_times().into_iter().find_map(|time| operates(time).filter(|least| least.fits(current)).map(|least| (least, time)))
}
