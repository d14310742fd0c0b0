//! Resistance at temperature and voltage drop, running and starting.
//!
//! A drop is worked out for one winding or phase: the voltage *across* it, and the number of cable *legs* in series with it. Three-phase
//! loads have one leg on the voltage to the star point; single-phase loads, and windings of which both ends are led out, have two.

use crate::quantity::{Amperes, Celsius, Impedance, Ohms, Volts};
use crate::record::{Formula, Record};

formula! {
    /// Resistance at a temperature.
    RESISTANCE: "conductor resistance at temperature", "Ω/km", "IEC 60228, Annex";
    "R = R20 (1 + α (θ − 20))"; "R20*(1+alpha*(theta-20))";
    |R20, alpha, theta| R20 * (1.0 + alpha * (theta - 20.0))
}
formula! {
    /// Voltage drop while running.
    RUNNING_DROP: "voltage drop while running", "%", "IEC 60364-5-52, Annex G";
    "u = 100 n I (R cosφ + X sinφ) / U"; "100*n*I*(R*pf+X*SQRT(1-pf^2))/U";
    |n, I, R, X, pf, U| 100.0 * n * I * (R * pf + X * (1.0 - pf * pf).max(0.0).sqrt()) / U
}
formula! {
    /// Voltage drop while starting: the divider of locked-rotor impedance and cable.
    STARTING_DROP: "voltage drop while starting", "%", "phasor divider of locked-rotor and cable impedance";
    "u = 100 (1 − Z / |Z + n Zc|), Z = U / I";
    "100*(1-(U/I)/SQRT((U/I*pf+n*R)^2+(U/I*SQRT(1-pf^2)+n*X)^2))";
    |n, I, R, X, pf, U| {
        let motor = Impedance::from_magnitude(Ohms(U / I), pf);
        let whole = motor + Impedance { r: Ohms(R), x: Ohms(X) } * n;
        100.0 * (1.0 - (U / I) / whole.magnitude().0)
    }
}

formula! {
    /// Voltage drop with that of what lies before the run.
    TOTAL_DROP: "voltage drop with that before the run", "%", "arithmetic sum";
    "u = u0 + u1"; "u0+u1"; |u0, u1| u0 + u1
}

formula! {
    /// Temperature of a conductor below its capacity: its rise goes with the square of the current.
    CONDUCTOR_TEMPERATURE: "temperature of the conductor at its current", "°C", "Joule's law; heat given off in proportion to the rise";
    "θ = θ0 + (θm − θ0) (I / Iz)²"; "theta0+(thetam-theta0)*(I/Iz)^2";
    |theta0, thetam, I, Iz| theta0 + (thetam - theta0) * (I / Iz) * (I / Iz)
}

/// The formulas of this file.
pub const FORMULAS: &[&Formula] = &[&RESISTANCE, &RUNNING_DROP, &STARTING_DROP, &TOTAL_DROP, &CONDUCTOR_TEMPERATURE];

/// Temperature of a conductor that carries a current, in surroundings of a temperature; `most` is that at its capacity.
pub fn conductor_temperature(
    record: &mut Record,
    around: Celsius,
    most: Celsius,
    current: Amperes,
    capacity: Amperes,
) -> Celsius {
    Celsius(record.step(&CONDUCTOR_TEMPERATURE, &[around.0, most.0, current.0, capacity.0]))
}

/// Resistance of a kilometre at a temperature.
pub fn resistance_at(record: &mut Record, at_20: Ohms, alpha: f64, temperature: Celsius) -> Ohms {
    Ohms(record.step(&RESISTANCE, &[at_20.0, alpha, temperature.0]))
}

/// The wires between which a drop is worked out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Across {
    /// Voltage of one phase or winding.
    pub voltage: Volts,
    /// Cable legs in series with it.
    pub legs: f64,
}

impl Across {
    /// A balanced three-phase load at a voltage between lines.
    #[must_use]
    pub fn three_phase(line: Volts) -> Self {
        Self { voltage: Volts(line.0 / 3f64.sqrt()), legs: 1.0 }
    }

    /// A load on two conductors.
    #[must_use]
    pub fn two_wires(voltage: Volts) -> Self {
        Self { voltage, legs: 2.0 }
    }
}

/// Drop while running, per cent of the voltage across.
pub fn running_drop(record: &mut Record, across: Across, current: Amperes, cable: Impedance, power_factor: f64) -> f64 {
    record.step(&RUNNING_DROP, &[across.legs, current.0, cable.r.0, cable.x.0, power_factor, across.voltage.0])
}

/// Drop with that before the run, per cent; the run's own where nothing is known before it.
pub fn with_before(record: &mut Record, before_pct: Option<f64>, own_pct: f64) -> f64 {
    before_pct.map_or(own_pct, |before| record.step(&TOTAL_DROP, &[before, own_pct]))
}

/// Drop at the machine while starting, per cent of the voltage across. `current` is the starting current at full voltage.
pub fn starting_drop(record: &mut Record, across: Across, current: Amperes, cable: Impedance, power_factor: f64) -> f64 {
    record.step(&STARTING_DROP, &[across.legs, current.0, cable.r.0, cable.x.0, power_factor, across.voltage.0])
}
