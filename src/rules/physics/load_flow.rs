//! Voltages of a radial network: what runs takes its power whatever the voltage, what starts is an impedance.
//!
//! Everything is counted in parts of the nominal voltage of its own place, so that transformers vanish: a power is the same on both
//! sides of them. Backward, each place is reduced to an admittance and a current drawn, from the last ones to the source; forward,
//! voltages follow from the source. Impedances that start are exact in one such sweep; constant power is put in as the current at the
//! voltage found before, until nothing moves.

use super::phasor::Phasor;
use crate::quantity::{Amperes, Impedance, Volts};
use crate::rules::table::Figure;

table! {
    /// Figures of the solution.
    SOLUTION, SOLUTION_ROWS: Figure, "load-flow"
}

fn figure(name: &str) -> f64 {
    SOLUTION_ROWS.iter().find(|row| row.name == name).map_or(f64::NAN, |row| row.value)
}

/// A place of the network with what lies between it and the place before it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Branch {
    /// The place before, which stands earlier in the list; none behind the source.
    pub before: Option<usize>,
    /// Nominal voltage between lines.
    pub voltage: Volts,
    /// Impedance to the place before, a phase, at the nominal voltage of this place.
    pub impedance: Impedance,
    /// Voltage without load over nominal, for the same of the place before: 1 but behind a transformer that gives more.
    pub ratio: f64,
}

impl Branch {
    fn per_unit(&self) -> Phasor {
        Phasor::from(self.impedance) * (1.0 / (self.voltage.0 * self.voltage.0))
    }
}

/// The power taken at a place.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Taken {
    /// Power that is taken whatever the voltage, VA of all phases.
    pub power: Phasor,
    /// Power that an impedance takes at the nominal voltage, VA of all phases.
    pub at_nominal: Phasor,
}

/// Voltages and currents of a network.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Solution {
    /// Voltage of each place over its nominal one.
    pub voltage: Vec<Phasor>,
    /// Current through the branch before each place, times its nominal voltage and √3: VA at nominal voltage.
    pub through: Vec<Phasor>,
}

impl Solution {
    /// Voltage of a place, per cent of nominal.
    #[must_use]
    pub fn percent(&self, place: usize) -> f64 {
        self.voltage.get(place).map_or(f64::NAN, |phasor| 100.0 * phasor.magnitude())
    }

    /// Line current through the branch before a place, at that place's voltage.
    #[must_use]
    pub fn current(&self, branches: &[Branch], place: usize) -> Amperes {
        let nominal = branches.get(place).map_or(f64::NAN, |branch| branch.voltage.0);
        Amperes(self.through.get(place).map_or(f64::NAN, |phasor| phasor.magnitude()) / (3f64.sqrt() * nominal))
    }
}

/// Solves a network behind a source of so much of its nominal voltage. None where no voltage satisfies the powers: the network can't
/// carry them.
#[must_use]
pub fn solve(branches: &[Branch], source: f64, taken: &[Taken]) -> Option<Solution> {
    let places = branches.len().min(taken.len());
    let impedances: Vec<Phasor> = branches[..places].iter().map(Branch::per_unit).collect();
    let mut voltage = flat(&branches[..places], source);
    let mut sweep = Sweep { admittance: vec![Phasor::ZERO; places], drawn: vec![Phasor::ZERO; places] };
    let (tolerance, lowest) = (figure("tolerance"), figure("lowest-voltage"));
    let mut left = figure("sweeps-most");
    while left > 0.0 {
        left -= 1.0;
        sweep.backward(&branches[..places], &impedances, taken, &voltage);
        let moved = sweep.forward(&branches[..places], &impedances, source, &mut voltage);
        if !(moved.is_finite()
            && voltage.iter().zip(taken).all(|(phasor, at)| at.power == Phasor::ZERO || phasor.magnitude() > lowest))
        {
            return None;
        }
        if moved < tolerance {
            let through =
                voltage.iter().enumerate().map(|(place, phasor)| sweep.admittance[place] * *phasor + sweep.drawn[place]);
            return Some(Solution { through: through.collect(), voltage });
        }
    }
    None
}

/// Voltages without load.
fn flat(branches: &[Branch], source: f64) -> Vec<Phasor> {
    let mut voltage: Vec<Phasor> = Vec::with_capacity(branches.len());
    for branch in branches {
        let before = branch.before.and_then(|before| voltage.get(before).copied()).unwrap_or(Phasor::ONE * source);
        voltage.push(before * branch.ratio);
    }
    voltage
}

/// Each place with all behind it, as an admittance and a current drawn.
struct Sweep {
    admittance: Vec<Phasor>,
    drawn: Vec<Phasor>,
}

impl Sweep {
    fn backward(&mut self, branches: &[Branch], impedances: &[Phasor], taken: &[Taken], voltage: &[Phasor]) {
        for (place, taken) in taken.iter().take(branches.len()).enumerate() {
            self.admittance[place] = taken.at_nominal.conjugate();
            self.drawn[place] =
                if taken.power == Phasor::ZERO { Phasor::ZERO } else { taken.power.conjugate() / voltage[place].conjugate() };
        }
        for place in (0..branches.len()).rev() {
            let Some(before) = branches[place].before.filter(|before| *before < place) else { continue };
            let divisor = Phasor::ONE + impedances[place] * self.admittance[place];
            let ratio = branches[place].ratio;
            let (admittance, drawn) = (self.admittance[place] / divisor, self.drawn[place] / divisor);
            self.admittance[before] += admittance * (ratio * ratio);
            self.drawn[before] += drawn * ratio;
        }
    }

    /// The new voltages, and how far the one that moved most has moved.
    fn forward(&self, branches: &[Branch], impedances: &[Phasor], source: f64, voltage: &mut [Phasor]) -> f64 {
        let mut moved: f64 = 0.0;
        for (place, branch) in branches.iter().enumerate() {
            let before = branch.before.filter(|before| *before < place).map_or(Phasor::ONE * source, |before| voltage[before]);
            let divisor = Phasor::ONE + impedances[place] * self.admittance[place];
            let phasor = (before * branch.ratio - impedances[place] * self.drawn[place]) / divisor;
            let step = (phasor - voltage[place]).magnitude();
            // A number that is none must not be lost in a maximum.
            moved = if step.is_finite() { moved.max(step) } else { f64::NAN };
            if !moved.is_finite() {
                return moved;
            }
            voltage[place] = phasor;
        }
        moved
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Ohms;
    use proptest::prelude::*;

    fn line(r: f64, x: f64) -> Branch {
        Branch { before: None, voltage: Volts(400.0), impedance: Impedance { r: Ohms(r), x: Ohms(x) }, ratio: 1.0 }
    }

    /// |V|⁴ + (2 (PR + QX) − E²) |V|² + |Z|² |S|² = 0, the larger root: the voltage of a line that feeds a constant power.
    fn by_the_quartic(source: f64, impedance: Phasor, power: Phasor) -> Option<f64> {
        let half = (source * source - 2.0 * (power.re * impedance.re + power.im * impedance.im)) / 2.0;
        let rest = impedance.magnitude() * power.magnitude();
        let root = half * half - rest * rest;
        (half > 0.0 && root > 0.0).then(|| (half + root.sqrt()).sqrt())
    }

    #[test]
    fn a_power_that_no_voltage_carries_is_said() {
        // Beyond U²/(4 R) = 400² / (4 · 1) = 40 kW nothing gets through a resistance of 1 Ω.
        let taken = |watts: f64| [Taken { power: Phasor::new(watts, 0.0), ..Taken::default() }];
        assert!(solve(&[line(1.0, 0.0)], 1.0, &taken(39_000.0)).is_some());
        assert_eq!(solve(&[line(1.0, 0.0)], 1.0, &taken(41_000.0)), None);
        assert_eq!(solve(&[line(1.0, 0.0)], 1.0, &taken(f64::NAN)), None);
    }

    #[test]
    fn every_figure_that_the_code_names_is_in_the_table() {
        for name in ["tolerance", "lowest-voltage", "sweeps-most"] {
            assert!(figure(name).is_finite(), "{name}");
        }
    }

    proptest! {
        #[test]
        fn a_line_agrees_with_its_quartic(r in 0.001..0.3f64, x in 0.0..0.3f64, p in 0.0..60_000.0f64, q in 0.0..60_000.0f64) {
            let power = Phasor::new(p, q);
            let solution = solve(&[line(r, x)], 1.02, &[Taken { power, ..Taken::default() }]);
            let impedance = Phasor::new(r, x) * (1.0 / 160_000.0);
            if let (Some(solution), Some(expected)) = (solution, by_the_quartic(1.02, impedance, power)) {
                prop_assert!((solution.voltage[0].magnitude() - expected).abs() < 1e-9);
            } else {
                // Only close to the limit may one of the two give up.
                let half = (1.02 * 1.02 - 2.0 * (p * impedance.re + q * impedance.im)) / 2.0;
                let rest = impedance.magnitude() * power.magnitude();
                prop_assert!(half * half - rest * rest < 1e-3, "{half} {rest}");
            }
        }

        #[test]
        fn the_source_gives_what_is_taken_and_what_is_lost(
            powers in prop::collection::vec((0.0..8_000.0f64, -2_000.0..6_000.0f64), 2..12),
            start in 0.0..60_000.0f64,
        ) {
            let branches: Vec<Branch> = powers
                .iter()
                .enumerate()
                .map(|(place, _)| Branch { before: place.checked_sub(1).map(|last| last / 2), ..line(0.01, 0.02) })
                .collect();
            let mut taken: Vec<Taken> =
                powers.iter().map(|(p, q)| Taken { power: Phasor::new(*p, *q), ..Taken::default() }).collect();
            taken[powers.len() - 1].at_nominal = Phasor::lagging(start, 0.3);
            let solution = solve(&branches, 1.0, &taken).expect("far from the limit");
            let given = solution.through[0].conjugate();
            let square = |phasor: Phasor| phasor.magnitude() * phasor.magnitude();
            let wanted = taken.iter().enumerate().fold(Phasor::ZERO, |sum, (place, load)| {
                let lost = branches[place].per_unit() * square(solution.through[place]);
                sum + load.power + load.at_nominal * square(solution.voltage[place]) + lost
            });
            prop_assert!((given - wanted).magnitude() < 1e-6 * wanted.magnitude().max(1.0), "{given:?} {wanted:?}");
        }
    }
}
