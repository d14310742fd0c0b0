//! What a rule book says about a run of cable: the ladder of sizes and the list of criteria, each a name and a judgement of one
//! candidate. `sizing` loops over the list and never asks which book it is.

use crate::load::Material;
use crate::quantity::{Amperes, Celsius, Impedance, Metres, Volts};
use crate::record::Record;
use crate::rules::physics::drop::Across;

/// A cable: equal conductors in parallel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Candidate {
    /// Size of a phase conductor, mm².
    pub size_mm2: f64,
    /// Cables in parallel.
    pub parallel: u32,
}

/// What protects the run against overload.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum OverloadDevice {
    /// A relay or release at its setting.
    Setting(Amperes),
    /// A circuit-breaker of fixed rating, with the multiple at which it trips conventionally.
    Breaker(Amperes, f64),
    /// A gG fuse.
    Fuse(Amperes),
    /// Nothing, and nothing is needed: the load can't overload the run.
    Load,
    /// Nothing, though the load may overload the run.
    Missing,
}

/// What clears a fault on the run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum FaultDevice {
    /// A magnetic release with its upper limit.
    Magnetic(Amperes),
    /// A gG fuse.
    Gg(Amperes),
    /// An aM fuse.
    Am(Amperes),
}

/// Voltage drop demands: current a conductor, power factor, limit in per cent, what it is worked out across.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DropDemand {
    /// Current a conductor (at full voltage, while starting).
    pub current: Amperes,
    /// Power factor.
    pub power_factor: f64,
    /// Largest drop, per cent.
    pub limit_pct: f64,
    /// Drop before the run, per cent; none if unknown.
    pub before_pct: Option<f64>,
    /// Impedance of a run before this one, which carries the same load.
    pub before: Impedance,
    /// How many times that impedance counts in the circuit of one winding: 1 if the line current flows in the run on the voltage to
    /// the star point, 3 inside a delta, 2 for one of two halves.
    pub referred: f64,
    /// What it is worked out across.
    pub across: Across,
}

/// What a run must do.
#[derive(Clone, Debug)]
pub struct RunDemand {
    /// `supply`, `motor`, `motor-low`, `star-delta-leads`, `rotor`.
    pub role: &'static str,
    /// Current a conductor.
    pub current: Amperes,
    /// Circuits of the run itself that count in its group (two for six leads).
    pub own_circuits: u32,
    /// Loaded conductors of each circuit: 2 or 3.
    pub loaded: u32,
    /// Cores, the protective conductor included.
    pub cores: u32,
    /// Voltage between lines (of the two conductors, for a single phase).
    pub voltage: Volts,
    /// Voltage to earth.
    pub to_earth: Volts,
    /// Frequency.
    pub frequency_hz: f64,
    /// Phases: 1 or 3.
    pub phases: u32,
    /// Length, one way.
    pub length: Option<Metres>,
    /// Methods along the route, as written.
    pub route: Vec<String>,
    /// Air.
    pub air: Celsius,
    /// Ground.
    pub ground: Celsius,
    /// Soil, K·m/W.
    pub soil: f64,
    /// Circuits in the group, itself included.
    pub grouped: u32,
    /// Material.
    pub material: Material,
    /// Insulation, as written.
    pub insulation: String,
    /// Smallest size.
    pub minimum_mm2: f64,
    /// Running.
    pub running: DropDemand,
    /// Starting.
    pub starting: Option<DropDemand>,
    /// Overload protection.
    pub overload: OverloadDevice,
    /// Fault protection: device, rating that decides on the disconnection time, let-through energy in A²s.
    pub fault: Option<(FaultDevice, Amperes, f64)>,
    /// Behind a drive: the drive limits and clears; the device at the board proves nothing here.
    pub behind_drive: bool,
    /// Leakage above 3.5 mA: reinforced protective conductor.
    pub leakage: bool,
    /// Largest fault current where the run begins.
    pub fault_max: Option<Amperes>,
    /// Smallest fault current where the run begins, whatever its kind: as a rule that of a fault to earth.
    pub fault_min: Option<Amperes>,
    /// X/R there; none if unknown.
    pub x_over_r: Option<f64>,
    /// Earthing, as `TN-S`.
    pub earthing: Option<String>,
    /// Slow trip classes heat the cable longer.
    pub class_factor: f64,
}

impl RunDemand {
    /// A single-phase load between line and neutral.
    #[must_use]
    pub fn to_neutral(&self) -> bool {
        self.phases == 1 && (self.voltage.0 - self.to_earth.0).abs() < 0.01 * self.voltage.0
    }
}

/// Outcome of one criterion; the numbers only, so that judging many candidates costs little.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Outcome {
    /// What is demanded or occurs.
    pub value: f64,
    /// What is allowed or can be done.
    pub limit: f64,
    /// Passed; none if not checked.
    pub passed: Option<bool>,
    /// Why it was not checked.
    pub because: &'static str,
}

impl Outcome {
    /// A value that must not exceed a limit.
    #[must_use]
    pub fn at_most(value: f64, limit: f64) -> Self {
        Self { value, limit, passed: Some(crate::quantity::fits(value, limit)), because: "" }
    }

    /// A value that must reach a floor.
    #[must_use]
    pub fn at_least(value: f64, floor: f64) -> Self {
        Self { value, limit: floor, passed: Some(crate::quantity::fits(floor, value)), because: "" }
    }

    /// Not checked.
    #[must_use]
    pub fn not_checked(because: &'static str) -> Self {
        Self { value: 0.0, limit: 0.0, passed: None, because }
    }
}

/// A criterion of conductors.
pub struct Criterion {
    /// Name, as in the contract.
    pub name: &'static str,
    /// Where on the run, if the same criterion holds in several places.
    pub place: &'static str,
    /// Unit.
    pub unit: &'static str,
    /// Clause.
    pub reference: &'static str,
    /// Depends on the length.
    pub by_length: bool,
    /// The value must reach the limit instead of staying below it.
    pub floor: bool,
    /// Judges a candidate; none where the criterion does not apply.
    pub judge: fn(&RunDemand, Candidate, &mut Record) -> Option<Outcome>,
}

/// What goes with a chosen run.
#[derive(Clone, Debug, Default)]
pub struct Companions {
    /// Protective conductor, mm².
    pub protective_mm2: f64,
    /// Corrected capacity.
    pub capacity: Amperes,
    /// Largest fault current at its end.
    pub end_max: Option<Amperes>,
    /// Smallest fault current between phases at its end.
    pub end_min: Option<Amperes>,
    /// Smallest fault current to earth at its end.
    pub end_earth_min: Option<Amperes>,
    /// Impedance of a conductor of the run at running temperature.
    pub impedance: Option<Impedance>,
    /// X/R of the loop of a fault to earth at its end.
    pub end_x_over_r: Option<f64>,
}

/// A book's rules for runs.
pub trait RunRules: Sync {
    /// Candidates in the order of preference.
    fn ladder(&self, demand: &RunDemand) -> Vec<Candidate>;
    /// Criteria, in the order in which they are listed.
    fn criteria(&self) -> &'static [Criterion];
    /// Protective conductor, capacity and fault currents of a candidate.
    fn companions(&self, demand: &RunDemand, candidate: Candidate, record: &mut Record) -> Companions;
    /// Single cores instead of a multicore cable.
    fn single_cores(&self, demand: &RunDemand) -> bool;
    /// Why the demand can't be judged at all: a method or an insulation that the book does not have.
    fn refuses(&self, demand: &RunDemand) -> Option<String>;
    /// A size, as it is written.
    fn size_text(&self, size_mm2: f64) -> String;
}
