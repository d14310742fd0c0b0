//! Physics that both books share: currents, starting, contactors under stress, trip time of overload relays, voltage drop, heating,
//! fault currents and control circuits.

use crate::record::Formula;
use crate::rules::table::Document;

pub mod accessories;
pub mod comparison;
pub mod contactors;
pub mod control;
pub mod currents;
pub mod devices;
pub mod drop;
pub mod enclosures;
pub mod fault;
pub mod heat;
pub mod high_leg;
pub mod load_flow;
pub mod loading;
pub mod magnetic;
pub mod material;
pub mod nominal;
pub mod phasor;
pub mod plausibility;
pub mod run_up;
pub mod starting;
pub mod thermal;
pub mod tripping;

/// Tables that both books share: figures of the trade rather than of one standard.
pub const DOCUMENTS: &[&Document] = &[
    &accessories::PRACTICE,
    &accessories::SUPPRESSORS,
    &accessories::WORDS,
    &comparison::PRACTICE,
    &contactors::ALTITUDE,
    &contactors::ALTITUDE_OF_ELECTRONICS,
    &contactors::AMBIENT,
    &contactors::PARALLEL_POLES,
    &control::PRACTICE,
    &control::TOGETHER,
    &control::CORES,
    &devices::DEVICES,
    &devices::PROTECTION_AIR,
    &enclosures::PLACES,
    &enclosures::TYPES,
    &fault::FIGURES,
    &heat::PRACTICE,
    &high_leg::WORDS,
    &magnetic::INRUSH,
    &load_flow::SOLUTION,
    &loading::LOADING,
    &nominal::NOMINAL,
    &nominal::LIMITS,
    &plausibility::PLAUSIBILITY,
    &material::CORES,
    &material::FIGURES,
    &material::SPARES,
    &starting::PRACTICE,
    &tripping::MODELS,
];

/// The formulas of these rooms.
#[must_use]
pub fn formulas() -> Vec<&'static Formula> {
    [
        currents::FORMULAS,
        starting::FORMULAS,
        run_up::FORMULAS,
        contactors::FORMULAS,
        tripping::FORMULAS,
        drop::FORMULAS,
        thermal::FORMULAS,
        fault::FORMULAS,
        heat::FORMULAS,
        magnetic::FORMULAS,
        control::FORMULAS,
        loading::FORMULAS,
    ]
    .concat()
}
