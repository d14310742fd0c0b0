//! Gives each board its supply point: what a circuit there may take for granted about fault current and voltage.
//!
//! A point is constant for a board here: taken from the basis, or unknown; `network` puts in what it works out. What is unknown is
//! never assumed; checks that need it are "not checked".

use crate::basis::{Basis, BoardBasis};
use crate::conductors;
use crate::load::Machine;
use crate::load::wires::System;
use crate::quantity::{Amperes, Impedance, Ohms, Volts};
use crate::rules::conductors::FaultPaths;
use crate::rules::physics::high_leg::has_high_leg;
use crate::rules::physics::loading::load_figure;
use crate::rules::physics::nominal::is_same_voltage;

/// The supply that a circuit finds at its board.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SupplyPoint {
    /// Nominal voltage between lines.
    pub voltage: Volts,
    /// Largest prospective fault current.
    pub fault_max: Option<Amperes>,
    /// Smallest prospective fault current.
    pub fault_min: Option<Amperes>,
    /// Peak of the largest one.
    pub peak: Option<Amperes>,
    /// Impedances to the source, where they are worked out; they count before what the currents above would give.
    pub paths: FaultPaths,
    /// Impedance to the source while loads run, at the nominal voltage.
    pub running_path: Option<Impedance>,
    /// X/R of the path to the source.
    pub x_over_r: Option<f64>,
    /// Voltage drop from the origin to the board while running, per cent; none if unknown.
    pub drop_running_pct: Option<f64>,
    /// Earthing, as `TN-S`.
    pub earthing: Option<String>,
    /// System, as the basis describes it: `480Y/277 4W solidly grounded`.
    pub system: Option<String>,
}

impl SupplyPoint {
    /// Voltage at which a circuit's devices break its faults: that of the system, though its load may be made for a little less.
    /// To the neutral it is the load's own where that is none of a star (a tapped winding, a transformer between).
    #[must_use]
    pub fn circuit_voltage(&self, machine: &Machine) -> Volts {
        let (rated, star) = (machine.voltage.0, self.voltage.0 / 3f64.sqrt());
        let to_neutral = machine.phases == 1 && machine.neutral;
        let of_star = is_same_voltage(rated, star);
        let of_system = if !to_neutral {
            self.voltage.0
        } else if of_star {
            star
        } else {
            rated
        };
        Volts(rated.max(of_system))
    }

    /// Impedance of the path to the source by the smallest stated fault current, or the largest where no smaller one is stated.
    #[must_use]
    pub fn stated_path(&self) -> Option<Impedance> {
        stated_path(self.fault_min.or(self.fault_max)?, self.voltage, self.x_over_r)
    }
}

/// Impedance of the path to the source that gives this fault current at the nominal voltage (voltage factor 1: the current that the
/// basis states already contains it). An unknown X/R is the one at which a starting motor dips the voltage furthest.
#[must_use]
pub fn stated_path(fault: Amperes, voltage: Volts, x_over_r: Option<f64>) -> Option<Impedance> {
    let magnitude = Ohms(voltage.0 / (3f64.sqrt() * fault.0));
    let ratio = x_over_r.unwrap_or_else(|| load_figure("dip-x-over-r"));
    (voltage.0 > 0.0 && fault.0 > 0.0).then(|| Impedance::of_ratio(magnitude, ratio))
}

/// The neutral of a system is the middle of a winding: one of one phase and three wires, or a delta with a high leg.
#[must_use]
pub fn has_middle(system: Option<&str>, phases: u32) -> bool {
    let Some(system) = system else { return false };
    let three_wires = System::read(system).three_wires;
    if phases == 1 { three_wires || has_high_leg(system) } else { !three_wires && has_high_leg(system) }
}

/// The point of a board of the basis, or of the supply where the basis has no such board.
#[must_use]
pub fn point(basis: &Basis, board: &str, fallback_voltage: Volts) -> SupplyPoint {
    let board_basis = basis.board(board);
    let kiloamperes = |value: Option<f64>| value.filter(|ka| *ka > 0.0).map(|ka| Amperes(ka * 1000.0));
    // A board that is fed over a feeder has another fault level than the main board: only its own figure counts.
    let stands_apart = board_basis.is_some_and(BoardBasis::stands_apart);
    let supply = &basis.supply;
    let inherit = |own_value: Option<f64>, of_supply: Option<f64>| own_value.or(if stands_apart { None } else { of_supply });
    let system = conductors::system_of_board(basis, board).map(str::to_owned);
    let phases = board_basis.and_then(|board| board.phases).or(supply.phases).unwrap_or(3);
    SupplyPoint {
        voltage: Volts(basis.board_voltage(board).unwrap_or(fallback_voltage.0)),
        fault_max: kiloamperes(inherit(board_basis.and_then(|board| board.prospective_fault_ka), supply.prospective_fault_ka)),
        fault_min: kiloamperes(inherit(
            board_basis.and_then(|board| board.prospective_fault_min_ka),
            supply.prospective_fault_min_ka,
        )),
        peak: None,
        paths: FaultPaths {
            tolerance_pct: supply.voltage_tolerance_pct,
            middle: has_middle(system.as_deref(), phases),
            ..FaultPaths::default()
        },
        running_path: None,
        x_over_r: supply.x_over_r,
        drop_running_pct: None,
        earthing: conductors::earthing_of_board(basis, board).map(str::to_owned),
        system,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::load::LoadKind;
    use crate::load::testing::machine;

    /// 400 V and 10 kA are 400 / (√3 · 10 000) = 23.1 mΩ. A start of 1 kA at power factor 0.3 drops √3 · 1000 · 0.0231 = 40 V across it,
    /// 10 % of 400 V, where the angle of the path is that of the motor: arctan 3.2 is 72.6°, arccos 0.3 is 72.5°. Across as much
    /// resistance it would seem to drop 0.3 of that.
    #[test]
    fn a_supply_of_unknown_angle_counts_with_the_angle_at_which_a_start_dips_it_furthest() {
        let dip = |x_over_r| {
            let path = stated_path(Amperes(10_000.0), Volts(400.0), x_over_r).expect("a path");
            3f64.sqrt() * 1000.0 * (path.r.0 * 0.3 + path.x.0 * 0.91f64.sqrt()) / 400.0 * 100.0
        };
        assert!((dip(None) - 10.0).abs() < 0.01, "{}", dip(None));
        for stated in [0.0, 0.5, 1.0, 3.0, 10.0, 50.0] {
            assert!(dip(Some(stated)) <= dip(None) + 1e-3, "X/R {stated}: {}", dip(Some(stated)));
        }
        assert!((dip(Some(0.0)) - 3.0).abs() < 0.01);
        assert!(stated_path(Amperes(0.0), Volts(400.0), None).is_none());
    }

    /// 480 / √3 = 277.1 V, 440 / √3 = 254.0 V: IEC 60038, voltages between lines and to the neutral of a star.
    #[test]
    fn faults_are_broken_at_the_voltage_of_the_system() {
        let of = |lines: f64, rated: f64, phases: u32, neutral: bool| {
            let machine = Machine { phases, neutral, ..machine(LoadKind::Motor, rated, 50.0) };
            SupplyPoint { voltage: Volts(lines), ..SupplyPoint::default() }.circuit_voltage(&machine).0
        };
        for (lines, rated, phases, neutral, expected) in [
            (480.0, 440.0, 3, false, 480.0),
            (400.0, 415.0, 3, false, 415.0),
            (690.0, 660.0, 1, false, 690.0),
            (440.0, 240.0, 1, true, 254.03),
            // No voltage of a star: behind a transformer or a tap of its own.
            (480.0, 120.0, 1, true, 120.0),
        ] {
            assert!((of(lines, rated, phases, neutral) - expected).abs() < 0.01, "{rated} V on {lines} V");
        }
    }
}
