//! Demands for tests, made without a row: a test states what it is about and takes the rest from here.

use super::conductors::{DropDemand, FaultPaths, OverloadDevice, RunDemand, RunPart};
use super::physics::drop::Across;
use super::{ContactorDemand, SwitchingDemand};
use crate::load::Material;
use crate::quantity::{Amperes, Celsius, Impedance, Metres, Seconds, Volts};

/// A run of a three-phase motor that draws this: copper, no length, nothing known of the network.
pub(crate) fn run(amperes: f64, volts: f64, frequency_hz: f64) -> RunDemand {
    let running = DropDemand {
        current: Amperes(amperes),
        power_factor: 0.85,
        limit_pct: 5.0,
        before_pct: None,
        before: Impedance::default(),
        referred: 1.0,
        across: Across::three_phase(Volts(volts)),
    };
    RunDemand {
        role: "motor",
        part: RunPart::Line,
        current: Amperes(amperes),
        need: Amperes(amperes),
        motor_circuit: true,
        device_rating: None,
        circuit_rating: None,
        grounding_basis: None,
        wet: false,
        rooftop: false,
        termination: None,
        minimum_raceway: None,
        equipment_rating: None,
        unrated_equipment: false,
        own_circuits: 1,
        loaded: 3,
        third_harmonic: None,
        cores: 4,
        voltage: Volts(volts),
        to_earth: Volts(volts / 3f64.sqrt()),
        frequency_hz,
        phases: 3,
        length: None,
        route: Vec::new(),
        air: Celsius(30.0),
        ground: Celsius(20.0),
        soil: 2.5,
        grouped: 1,
        material: Material::Copper,
        insulation: String::new(),
        minimum_mm2: 1.5,
        running,
        starting: None,
        overload: OverloadDevice::Setting(Amperes(amperes)),
        fault: None,
        behind_drive: false,
        leakage: false,
        fault_max: None,
        fault_min: None,
        x_over_r: None,
        paths: FaultPaths::default(),
        earthing: None,
        class_factor: 1.0,
    }
}

/// A contactor that carries as much as it switches, cold, low and behind an unknown fault current.
pub(crate) fn contactor(switching: SwitchingDemand) -> ContactorDemand {
    ContactorDemand {
        current: switching.current,
        switching,
        starting: Amperes(0.0),
        time: Seconds(0.0),
        class_factor: 1.0,
        fault_max: None,
        reduced_life: false,
        ambient: Celsius(40.0),
        altitude: Metres(0.0),
    }
}
