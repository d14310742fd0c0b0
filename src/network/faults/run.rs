//! One run over the network: the impedances at every bus, by a sweep up for what motors add and a sweep down for the sources.

use super::buses::{Bus, Grid};
use super::{NONE, sum};
use crate::quantity::{Amperes, Impedance, Ohms};
use crate::record::Record;
use crate::rules::physics::fault::{self, Convention};

/// Impedances at a bus, a phase, before anything that the basis states there.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Seen {
    /// For the largest three-phase fault current, what motors add included.
    pub largest: Option<Impedance>,
    /// The same without motors.
    pub without_motors: Option<Impedance>,
    /// The first at the equivalent frequency, for the peak.
    pub equivalent: Option<Impedance>,
    /// Zero sequence of the largest fault current to earth.
    pub zero: Option<Impedance>,
    /// For the smallest fault current between phases.
    pub smallest: Option<Impedance>,
    /// Loop of the smallest fault current to earth.
    pub smallest_loop: Option<Impedance>,
    /// Admittance of all motors at the bus and behind it.
    pub motors_behind: Impedance,
}

pub(super) fn of(grid: &Grid, convention: &Convention) -> Vec<Seen> {
    let buses = &grid.buses;
    let [with_motors, alone] = [true, false].map(|counted| largest(grid, counted, convention));
    let rated = rated_together(buses);
    let mut seen: Vec<Seen> = Vec::new();
    for (index, bus) in buses.iter().enumerate() {
        let without = alone.0[index];
        let few = without.is_some_and(|path| {
            let fault = fault::three_phase(&mut Record::silent(), convention.low_voltage.greatest, bus.voltage, path);
            fault_share(rated[index], fault) <= convention.motors_left_out
        });
        let paths = if few { &alone } else { &with_motors };
        let (largest, equivalent) = (paths.0[index], paths.1[index]);
        seen.push(Seen { largest, without_motors: without, equivalent, ..Seen::default() });
    }
    let zero = zero_paths(buses, |bus| bus.series.largest_zero, |_| None);
    let smallest = smallest(buses);
    let admittance_of_motors = |bus: &Bus| motor_impedance(bus).map_or(NONE, Impedance::reciprocal);
    let (motors, _) = upwards(buses, &admittance_of_motors, &|bus| bus.series.largest);
    for (index, seen) in seen.iter_mut().enumerate() {
        seen.zero = zero[index];
        seen.motors_behind = motors[index];
        (seen.smallest, seen.smallest_loop) = smallest[index];
    }
    seen
}

fn fault_share(rated: Amperes, fault: Amperes) -> f64 {
    if fault.0 > 0.0 { rated / fault } else { 0.0 }
}

/// How a stated current changes what was worked out at a bus.
#[derive(Clone, Copy)]
enum Governs {
    No,
    /// The angle is that of the network.
    Scaled(f64),
    /// Nothing else is known.
    Alone,
}

type Paths = Vec<Option<Impedance>>;

/// Paths of the largest fault current and, at the equivalent frequency, of its peak.
fn largest(grid: &Grid, motors_count: bool, convention: &Convention) -> (Paths, Paths) {
    let buses = &grid.buses;
    let factor = convention.low_voltage.greatest;
    let mut governs = vec![Governs::No; buses.len()];
    let motors = |bus: &Bus| if motors_count { motor_impedance(bus) } else { None };
    let worked =
        sweep(buses, &|bus| motors(bus).map_or(NONE, Impedance::reciprocal), &|bus| bus.series.largest, &mut |index, worked| {
            let stated = buses[index].stated_largest(factor)?;
            let (magnitude, other) = (stated.magnitude(), worked.map(Impedance::magnitude));
            governs[index] = match other {
                None => Governs::Alone,
                Some(other) if magnitude.0 < other.0 || grid.unlimited => Governs::Scaled(magnitude / other),
                Some(_) => return None,
            };
            Some(Some(worked.map_or(stated, |path| path * (magnitude / path.magnitude()))))
        });
    let at_share = |impedance: Impedance| fault::at_equivalent_frequency(impedance);
    let equivalent = sweep(
        buses,
        &|bus| motors(bus).map_or(NONE, |impedance| at_share(impedance).reciprocal()),
        &|bus| bus.series.equivalent,
        &mut |index, worked| match governs[index] {
            Governs::No => None,
            Governs::Scaled(by) => Some(worked.map(|path| path * by)),
            // Without its X/R a stated current has no peak that is known.
            Governs::Alone => Some(buses[index].stated_largest(factor).map(at_share).filter(|_| buses[index].x_over_r.is_some())),
        },
    );
    (worked, equivalent)
}

fn motor_impedance(bus: &Bus) -> Option<Impedance> {
    let counts = bus.motors.locked_rotor.0 > 0.0 && bus.voltage.0 > 0.0;
    counts.then(|| fault::motors(&mut Record::silent(), bus.voltage, bus.motors.locked_rotor))
}

/// Admittance of the motors at every bus and behind it, and what of it comes to the bus before.
fn upwards(
    buses: &[Bus],
    motors: &dyn Fn(&Bus) -> Impedance,
    series: &dyn Fn(&Bus) -> Option<Impedance>,
) -> (Vec<Impedance>, Vec<Impedance>) {
    let mut behind: Vec<Impedance> = buses.iter().map(motors).collect();
    let mut brought = vec![NONE; buses.len()];
    for (index, bus) in buses.iter().enumerate().rev() {
        let Some(parent) = bus.parent.filter(|_| behind[index] != NONE) else { continue };
        let here = match series(bus) {
            Some(series) => (behind[index].reciprocal() + series).reciprocal(),
            None => behind[index],
        };
        brought[index] = here * bus.referral;
        behind[parent] = behind[parent] + brought[index];
    }
    (behind, brought)
}

/// Impedance at every bus: its sources beside all motors. `replaced` may put another in its place for all that stands behind.
fn sweep(
    buses: &[Bus],
    motors: &dyn Fn(&Bus) -> Impedance,
    series: &dyn Fn(&Bus) -> Option<Impedance>,
    replaced: &mut dyn FnMut(usize, Option<Impedance>) -> Option<Option<Impedance>>,
) -> Paths {
    let (behind, brought) = upwards(buses, motors, series);
    // Downwards: the path from above, beside everything that does not stand behind the bus itself.
    let mut from_above: Paths = Vec::new();
    let mut stated: Vec<Option<Option<Impedance>>> = Vec::new();
    let mut worked: Paths = Vec::new();
    for (index, bus) in buses.iter().enumerate() {
        let path = match bus.parent {
            None => series(bus),
            Some(parent) => {
                let before = stated[parent]
                    .unwrap_or_else(|| from_above[parent].map(|path: Impedance| path.beside(behind[parent] - brought[index])));
                sum(before.map(|path| path * bus.referral), series(bus))
            }
        };
        from_above.push(path);
        // Two names of one place have the same total, and what is stated of the one holds at the other.
        let twin = bus.parent.filter(|parent| bus.same_place && stated[*parent].is_some());
        let impedance = match twin {
            Some(parent) => stated[parent].flatten(),
            None => path.map(|path| path.beside(behind[index])),
        };
        worked.push(impedance);
        stated.push(twin.map_or_else(|| replaced(index, impedance), |parent| stated[parent]));
    }
    worked
}

/// Rated currents of all motors of the same source together, as they would be at each bus.
fn rated_together(buses: &[Bus]) -> Vec<Amperes> {
    let mut root: Vec<usize> = Vec::new();
    let mut power = vec![0.0; buses.len()];
    for (index, bus) in buses.iter().enumerate() {
        root.push(bus.parent.map_or(index, |parent| root[parent]));
        power[root[index]] += bus.motors.rated.0 * bus.voltage.0;
    }
    let at = |(index, bus): (usize, &Bus)| if bus.voltage.0 > 0.0 { power[root[index]] / bus.voltage.0 } else { 0.0 };
    buses.iter().enumerate().map(at).map(Amperes).collect()
}

/// Zero sequence from the transformer before a bus, or from its source.
fn zero_paths(buses: &[Bus], series: impl Fn(&Bus) -> Option<Impedance>, replaced: impl Fn(usize) -> Option<Impedance>) -> Paths {
    let mut paths: Paths = Vec::new();
    for (index, bus) in buses.iter().enumerate() {
        let path = match bus.parent.filter(|_| !bus.parts_zero) {
            None => series(bus),
            Some(parent) => sum(paths[parent], series(bus)),
        };
        paths.push(replaced(index).or(path));
    }
    paths
}

/// Paths of the smallest fault currents, between phases and to earth; motors add nothing to them.
fn smallest(buses: &[Bus]) -> Vec<(Option<Impedance>, Option<Impedance>)> {
    let mut behind: Vec<(Option<Impedance>, Option<Impedance>)> = Vec::new();
    let mut worked = Vec::new();
    for bus in buses {
        let (before, before_zero) = bus.parent.map_or((Some(NONE), Some(NONE)), |parent| behind[parent]);
        let path = sum(before.map(|path| path * bus.referral), bus.series.smallest);
        let zero = sum(if bus.parts_zero { Some(NONE) } else { before_zero }, bus.series.smallest_zero);
        let to_earth = sum(path.map(|path| path * 2.0), zero).map(|path| path * (1.0 / 3.0));
        worked.push((path, to_earth));
        // A stated current is the least of any kind: as much flows between phases, by a smaller impedance, as to earth.
        let stated = bus.stated_least().filter(|impedance| governs_least(*impedance, path, to_earth, bus.returns));
        behind.push(stated.map_or((path, zero), |impedance| {
            let between = impedance * (3f64.sqrt() / 2.0);
            (Some(between), Some(impedance * 3.0 - between * 2.0))
        }));
    }
    worked
}

fn governs_least(stated: Impedance, path: Option<Impedance>, to_earth: Option<Impedance>, returns: Option<bool>) -> bool {
    let Some(path) = path else { return true };
    let between = Ohms(path.magnitude().0 * 2.0 / 3f64.sqrt());
    let earth = to_earth.filter(|_| returns == Some(true)).map(Impedance::magnitude);
    if returns == Some(true) && earth.is_none() {
        return true;
    }
    stated.magnitude().0 > earth.map_or(between, |earth| earth.max(between)).0
}
