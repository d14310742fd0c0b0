//! Machines and starts for tests, made without a row.

use super::{Known, LoadKind, Machine, Method, Origin, Start};
use crate::quantity::{Seconds, Volts};

/// A load of three phases that states nothing else.
pub(crate) fn machine(kind: LoadKind, volts: f64, frequency_hz: f64) -> Machine {
    Machine {
        kind,
        power: None,
        power_low: None,
        horsepower: None,
        horsepower_low: None,
        design_letter: String::new(),
        code_letter: None,
        service_factor: None,
        temperature_rise_k: None,
        equipment_rating: None,
        apparent: None,
        reactive: None,
        voltage: Volts(volts),
        phases: 3,
        neutral: false,
        frequency_hz,
        nameplate: None,
        rated_load: None,
        selection: None,
        locked_rotor: None,
        nameplate_low: None,
        efficiency: None,
        power_factor: None,
        class: None,
        poles: 4,
        winding: None,
        leads: None,
        rotor_current: None,
        rotor_voltage: None,
        minimum_ampacity: None,
        maximum_protection: None,
        fuse_only: false,
        household: false,
        third_harmonic: None,
    }
}

/// A motor of so many horsepower.
pub(crate) fn horsepower(horsepower: f64, volts: f64) -> Machine {
    Machine { horsepower: Some(horsepower), ..machine(LoadKind::Motor, volts, 60.0) }
}

/// A start by a method, six times the rated current for two seconds.
pub(crate) fn start(method: Method) -> Start {
    let unity = Known::new(1.0, Origin::Default);
    Start {
        method,
        reversing: false,
        ratio: Known::new(6.0, Origin::Default),
        power_factor: Known::new(0.3, Origin::Default),
        time: Known::new(Seconds(2.0), Origin::Default),
        worked_out: None,
        stall_time: None,
        torque: None,
        torque_ratio: None,
        tap: unity,
        limit: Known::new(3.0, Origin::Default),
        drive_input: None,
        bypass: false,
        line_contactor: false,
        duty: 1,
        duty_text: String::new(),
        rated_minutes: None,
        per_hour: None,
        inching: 0.0,
        operations: None,
        hours_a_year: None,
        wanted_years: None,
        te: None,
    }
}
