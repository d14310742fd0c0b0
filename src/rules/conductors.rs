//! The rules of a book for a run of cable: the ladder of sizes and the list of criteria, each a name and a judgement of one candidate.
//! `sizing` loops over the list and never asks which book it is.

use crate::load::{Machine, Material, Start};
use crate::quantity::{Amperes, Celsius, Impedance, Metres, Volts};
use crate::record::Record;
use crate::rules::RatedCurrents;
use crate::rules::physics::drop::{self, Across};
use crate::rules::physics::fault;
use crate::rules::ways::WayInWords;

/// A cable: equal conductors in parallel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Candidate {
    /// Size of a phase conductor, mm².
    pub size_mm2: f64,
    /// Cables in parallel.
    pub parallel: u32,
}

/// The device that protects the run against overload.
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

/// The device that clears a fault on the run.
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
    /// The wires between which it is worked out.
    pub across: Across,
}

/// Which run of a circuit asks what its conductors must carry.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RunPart {
    /// Supply of a motor, or its only run.
    Line,
    /// Leads of the windings between starter and motor, in star-delta or inside the delta.
    WindingLeads,
    /// Leads of one half of a part winding.
    PartWindingHalf,
    /// Leads of the low-speed winding.
    LowSpeed,
    /// Leads of the high-speed winding.
    HighSpeed,
    /// Supply of a drive.
    DriveInput,
    /// From a drive to its motor.
    DriveOutput,
    /// From the rotor to its resistor.
    Rotor,
    /// A load that is no motor.
    Load,
}

/// The facts by which a book tells the current that conductors must carry.
#[derive(Clone, Copy, Debug)]
pub struct RunNeed<'a> {
    /// Which run.
    pub part: RunPart,
    /// Load.
    pub machine: &'a Machine,
    /// Start.
    pub start: &'a Start,
    /// Rated currents.
    pub currents: &'a RatedCurrents,
    /// Current a conductor.
    pub current: Amperes,
}

/// The current that conductors must carry.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Need {
    /// Capacity of all parallel conductors of a phase together.
    pub capacity: Amperes,
    /// Temperature of terminations that the machine's marking admits.
    pub termination: Option<Celsius>,
}

/// The sources of the network where a run begins; none of them where only the figures that the basis states count.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct FaultPaths {
    /// Nominal voltage between lines.
    pub voltage: Volts,
    /// Tolerance of the voltage, per cent; none if nobody states it.
    pub tolerance_pct: Option<f64>,
    /// Impedance that gives the largest three-phase fault current, a phase; what motors add is in it.
    pub largest: Option<Impedance>,
    /// Impedance that gives the smallest fault current between phases, a phase.
    pub smallest: Option<Impedance>,
    /// Impedance of the loop that gives the smallest fault current to earth.
    pub smallest_loop: Option<Impedance>,
    /// The earthed neutral is the middle of a winding between two lines, as of 120/240 V.
    pub middle: bool,
}

impl FaultPaths {
    /// Voltage of a line to earth, of so much between lines: half of it where the middle of the winding is earthed. Of a delta with a high
    /// leg that is the least.
    #[must_use]
    pub fn to_earth(&self, line: Volts) -> Volts {
        if self.middle { line * 0.5 } else { Volts(line.0 / 3f64.sqrt()) }
    }

    /// The same system without any path to a source, as behind a drive.
    #[must_use]
    pub fn cut_off(&self) -> Self {
        Self { tolerance_pct: self.tolerance_pct, middle: self.middle, ..Self::default() }
    }

    /// The network gives an impedance here.
    #[must_use]
    pub fn known(&self) -> bool {
        self.largest.is_some() || self.smallest.is_some()
    }

    /// The network is worked out, but not the way back of a fault to earth.
    #[must_use]
    pub fn loop_unknown(&self) -> bool {
        self.smallest.is_some() && self.smallest_loop.is_none()
    }

    /// The paths at the end of a run, by what it adds to each: cold, hot, and the hot loop with its protective conductor.
    #[must_use]
    pub fn behind(&self, cold: Option<Impedance>, hot: Option<Impedance>, hot_loop: Option<Impedance>) -> Self {
        let sum = |path: Option<Impedance>, impedance: Option<Impedance>| Some(path? + impedance?);
        Self {
            largest: sum(self.largest, cold),
            smallest: sum(self.smallest, hot),
            smallest_loop: sum(self.smallest_loop, hot_loop),
            ..*self
        }
    }
}

/// The demands on a run.
#[derive(Clone, Debug)]
pub struct RunDemand {
    /// `supply`, `motor`, `motor-low`, `star-delta-leads`, `rotor`.
    pub role: &'static str,
    /// Which run of the circuit it is.
    pub part: RunPart,
    /// Current a conductor.
    pub current: Amperes,
    /// Capacity that the book demands for that current.
    pub need: Amperes,
    /// The device at the board is rated by rules for the load and does not protect the run from overload.
    pub motor_circuit: bool,
    /// Rating of the device at the board.
    pub device_rating: Option<Amperes>,
    /// Rating of the circuit by that device; none where the device, of a circuit or of a feeder, rides through the start of a motor: its
    /// current rates it.
    pub circuit_rating: Option<Amperes>,
    /// Rating by which the protective conductor is sized, where it is not that of the device.
    pub grounding_basis: Option<Amperes>,
    /// A wet place.
    pub wet: bool,
    /// In the sun, close above a roof.
    pub rooftop: bool,
    /// Temperature for which the terminations are marked.
    pub termination: Option<Celsius>,
    /// Smallest trade size of raceways.
    pub minimum_raceway: Option<String>,
    /// Short-circuit rating of the equipment at the end.
    pub equipment_rating: Option<Amperes>,
    /// The equipment at the end has controllers of its own, and nobody states its short-circuit rating.
    pub unrated_equipment: bool,
    /// Circuits of the run itself that count in its group (two for six leads).
    pub own_circuits: u32,
    /// Loaded conductors of each circuit: 2 or 3.
    pub loaded: u32,
    /// Third-harmonic current of each phase over its rated current, where three phases have a neutral that it loads.
    pub third_harmonic: Option<f64>,
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
    /// Supply side of a drive, with a leakage above 3.5 mA: reinforced protective conductor.
    pub leakage: bool,
    /// Largest fault current where the run begins.
    pub fault_max: Option<Amperes>,
    /// Smallest fault current where the run begins, whatever its kind: as a rule that of a fault to earth.
    pub fault_min: Option<Amperes>,
    /// X/R there; none if unknown.
    pub x_over_r: Option<f64>,
    /// Impedances of the network before it, which count before what the two currents above would give.
    pub paths: FaultPaths,
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

    /// Voltage between lines of the system of three phases that stands for what feeds the run: a load between line and neutral has √3 less,
    /// and so has a line to the earthed middle of its winding. Where the network is worked out it is the network's own, which a motor's
    /// rated voltage need not be.
    #[must_use]
    pub fn line_voltage(&self) -> Volts {
        match self.phases {
            _ if self.paths.known() => self.paths.voltage,
            3 => self.voltage,
            _ => Volts(self.to_earth.0 * 3f64.sqrt()),
        }
    }

    /// Voltage that drives a fault to earth.
    #[must_use]
    pub fn fault_to_earth(&self) -> Volts {
        if self.paths.known() { self.paths.to_earth(self.paths.voltage) } else { self.to_earth }
    }

    /// Impedance before the run that gives its smallest fault current between live conductors: the network's, else that of the
    /// smallest fault current of the basis. A neutral is taken to be no better a way back than the protective conductor. `factor` is
    /// the book's voltage factor.
    pub fn least_source(&self, factor: f64, record: &mut Record) -> Option<Impedance> {
        if self.to_neutral() || self.paths.smallest.is_none() {
            return self.least_loop(factor, record);
        }
        self.paths.smallest
    }

    /// The same for a fault to earth: the loop of the network, else the smallest fault current of the basis, whatever its kind. Where
    /// X/R is unknown all resistance, as the cable nearly is: they then add up to the most.
    pub fn least_loop(&self, factor: f64, record: &mut Record) -> Option<Impedance> {
        if self.paths.smallest.is_some() {
            return self.paths.smallest_loop;
        }
        Some(fault::source(record, factor, self.line_voltage(), self.fault_min?, self.x_over_r.unwrap_or(0.0)))
    }

    /// Impedance before the run that gives its largest fault current; where X/R is unknown nearly all reactance: source and cable
    /// then add up to the least.
    pub fn largest_source(&self, factor: f64, record: &mut Record) -> Option<Impedance> {
        const REACTANCE_ONLY: f64 = 1e6;
        if self.paths.largest.is_some() {
            return self.paths.largest;
        }
        Some(fault::source(record, factor, self.line_voltage(), self.fault_max?, self.x_over_r.unwrap_or(REACTANCE_ONLY)))
    }

    /// Fault between the live conductors at the end of a path: two phases, or phase and neutral.
    pub fn between_conductors(&self, factor: f64, behind: Impedance, cable: Impedance, record: &mut Record) -> Amperes {
        if self.to_neutral() {
            fault::of_loop(record, factor, self.fault_to_earth(), behind + cable * 2.0)
        } else {
            fault::two_phase(record, factor, self.line_voltage(), behind + cable)
        }
    }

    /// Largest fault at the end of a path.
    pub fn largest_fault(&self, factor: f64, behind: Impedance, cable: Impedance, record: &mut Record) -> Amperes {
        if self.phases == 1 {
            return self.between_conductors(factor, behind, cable, record);
        }
        fault::three_phase(record, factor, self.line_voltage(), behind + cable)
    }

    /// Voltage drop while running, of a run of this impedance at running temperature.
    pub fn running_outcome(&self, cable: Option<Impedance>, record: &mut Record) -> Option<Outcome> {
        let Some(_) = self.length else { return Some(Outcome::not_checked("the length of the run is missing")) };
        let drop = &self.running;
        let value = drop::running_drop(record, drop.across, drop.current, drop.leg(cable?), drop.power_factor);
        Some(Outcome::at_most(drop::with_before(record, drop.before_pct, value), drop.limit_pct))
    }

    /// Voltage drop while starting, of a run of this impedance at running temperature.
    pub fn starting_outcome(&self, cable: Option<Impedance>, record: &mut Record) -> Option<Outcome> {
        let drop = self.starting.as_ref()?;
        let Some(_) = self.length else { return Some(Outcome::not_checked("the length of the run is missing")) };
        let value = drop::starting_drop(record, drop.across, drop.current, drop.leg(cable?), drop.power_factor);
        Some(Outcome::at_most(drop::with_before(record, drop.before_pct, value), drop.limit_pct))
    }
}

impl DropDemand {
    /// Impedance of one leg of a winding's circuit: that of the run, and the part of a run before it that counts there.
    #[must_use]
    pub fn leg(&self, cable: Impedance) -> Impedance {
        cable + self.before * (self.referred / self.across.legs)
    }
}

/// Outcome of one criterion; the numbers only, so that judging many candidates costs little.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Outcome {
    /// The value that is demanded or occurs.
    pub value: f64,
    /// The value that is allowed or can be done.
    pub limit: f64,
    /// Passed; none if not checked.
    pub passed: Option<bool>,
    /// Why it was not checked.
    pub because: &'static str,
    /// What the value rests on besides the clause of the criterion.
    pub also: Option<&'static str>,
}

impl Outcome {
    /// A value that must not exceed a limit.
    #[must_use]
    pub fn at_most(value: f64, limit: f64) -> Self {
        Self { value, limit, passed: Some(crate::quantity::fits(value, limit)), because: "", also: None }
    }

    /// A value that must reach a floor.
    #[must_use]
    pub fn at_least(value: f64, floor: f64) -> Self {
        Self { value, limit: floor, passed: Some(crate::quantity::fits(floor, value)), because: "", also: None }
    }

    /// Not checked.
    #[must_use]
    pub fn not_checked(because: &'static str) -> Self {
        Self { value: 0.0, limit: 0.0, passed: None, because, also: None }
    }
}

/// A criterion of conductors.
pub struct Criterion {
    /// Name, as checks of a design bear it.
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
    /// Its value is a capacity that the run must have.
    pub of_capacity: bool,
    /// It decides on the size; else it is told of the chosen one only, because no other size would mend it.
    pub decides: bool,
    /// Judges a candidate; none where the criterion does not apply.
    pub judge: fn(&RunDemand, Candidate, &mut Record) -> Option<Outcome>,
}

/// A raceway in air that is hotter than it may be used in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HotRaceway {
    /// Kind.
    pub kind: &'static str,
    /// Air around it.
    pub air: Celsius,
    /// Air up to which it may be used.
    pub most: Celsius,
    /// Clause.
    pub reference: &'static str,
}

/// A raceway that goes with a run.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct RacewayChoice {
    /// Kind.
    pub kind: &'static str,
    /// Trade size.
    pub trade_size: &'static str,
    /// Share that is filled, per cent.
    pub fill_pct: f64,
    /// Ratio of diameters at which its conductors may wedge in a bend; none if they do not.
    pub jam_ratio: Option<f64>,
}

/// The companions of a chosen run.
#[derive(Clone, Debug, Default)]
pub struct Companions {
    /// Raceways, in the order of the route; one of each for every set in parallel.
    pub raceways: Vec<RacewayChoice>,
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
    /// The fault paths at its end.
    pub end_paths: FaultPaths,
}

/// The assumptions of a book for a route where row and basis are silent, each with its clause or reason.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RunDefaults {
    /// Air, °C.
    pub ambient_c: f64,
    /// Ground, °C.
    pub ground_c: f64,
    /// Thermal resistivity of the soil, K·m/W.
    pub soil_k_m_w: f64,
    /// Insulation, as it is written.
    pub insulation: &'static str,
    /// How conductors are laid.
    pub installation: &'static str,
    /// Smallest copper conductor, mm².
    pub minimum_copper_mm2: f64,
    /// Smallest aluminium conductor, mm².
    pub minimum_aluminium_mm2: f64,
    /// Largest voltage drop while running, per cent.
    pub running_drop_pct: f64,
    /// Largest voltage drop while starting, per cent.
    pub starting_drop_pct: f64,
}

/// Conductors that are hotter than terminals are made for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HotEnds {
    /// Temperature of the conductors.
    pub conductor: Celsius,
    /// Temperature up to which nothing need be asked.
    pub unasked: Celsius,
    /// Clause.
    pub reference: &'static str,
}

/// A book's rules for runs.
pub trait RunRules: Sync {
    /// The assumptions for a route.
    fn defaults(&self) -> &'static RunDefaults;
    /// The current that the conductors of a run must carry.
    fn need(&self, ask: &RunNeed<'_>, record: &mut Record) -> Need;
    /// Candidates in the order of preference.
    fn ladder(&self, demand: &RunDemand) -> Vec<Candidate>;
    /// Criteria, in the order in which they are listed.
    fn criteria(&self) -> &'static [Criterion];
    /// Protective conductor, capacity and fault currents of a candidate.
    fn companions(&self, demand: &RunDemand, candidate: Candidate, record: &mut Record) -> Companions;
    /// Corrected capacity of a candidate; none where the demand can't be judged.
    fn capacity(&self, demand: &RunDemand, candidate: Candidate) -> Option<Amperes>;
    /// Temperature that conductors of a capacity reach at the current of the demand, where it is above what terminals are made for; none
    /// where it is not, or where the book has another way to keep terminals cool.
    fn hot_at_terminals(&self, _demand: &RunDemand, _capacity: Amperes, _record: &mut Record) -> Option<HotEnds> {
        None
    }
    /// Smallest protective conductor that goes with phase conductors of a size behind a device of a kind and rating, mm²; without
    /// calculation, and without what enlarges it further. `leakage` is that of a drive, on its supply side.
    fn protective_minimum(
        &self,
        phase_mm2: f64,
        per_phase: u32,
        material: Material,
        device: Option<(&str, Amperes)>,
        leakage: bool,
    ) -> Option<f64>;
    /// Single cores instead of a multicore cable.
    fn single_cores(&self, demand: &RunDemand) -> bool;
    /// Conductors between drive and motor need no screen of their own: the raceway is one.
    fn raceways_screen(&self) -> bool {
        false
    }
    /// Several sets of leads run in one cable; else each set has its own.
    fn in_one_cable(&self, _demand: &RunDemand, _candidate: Candidate) -> bool {
        false
    }
    /// Why the demand can't be judged at all: a method or an insulation that the book does not have.
    fn refuses(&self, demand: &RunDemand) -> Option<String>;
    /// The words of this book, where a way of laying conductors is written as none that it knows.
    fn unknown_installation(&self, text: &str) -> Option<&'static str>;
    /// Ways of laying that this book knows by the words of schedules; none where it knows only its own names.
    fn ways_in_words(&self) -> &'static [WayInWords] {
        &[]
    }
    /// What a reader should know of a capacity that stands at the edge of its tables: fact, reason, cure and clause.
    fn at_table_edge(&self, _demand: &RunDemand, _candidate: Candidate, _run: [Amperes; 2]) -> Vec<[String; 4]> {
        Vec::new()
    }
    /// A size, as it is written.
    fn size_text(&self, size_mm2: f64) -> String;
    /// Section of a size as it is written, mm²; none if the book has no such size.
    fn size_of(&self, text: &str) -> Option<f64>;
    /// Clause by which cables that lie together carry less, where each circuit has no raceway of its own; none if each has.
    fn groups_cables(&self) -> Option<&'static str> {
        None
    }
    /// A raceway of the route that its air is too hot for; none where none is.
    fn hot_raceway(&self, demand: &RunDemand) -> Option<HotRaceway> {
        let _ = demand;
        None
    }
    /// The clause by which conductors of this insulation may not lie in a wet place; none if they may, or if the book does not part places.
    fn not_in_wet_places(&self, _insulation: &str) -> Option<&'static str> {
        None
    }
    /// The assumption for a run on a roof, with its cure and clause; none if the book knows no such surcharge, or spares conductors of this
    /// insulation.
    fn on_roof(&self, insulation: &str) -> Option<[&'static str; 3]>;
    /// Why the air of the row must be stated where words alone name a roof, with the cure and its clause; none if the book asks for the
    /// place instead.
    fn sun_on_roof(&self) -> Option<[&'static str; 3]> {
        None
    }
    /// Fill of raceways of a trade size, the tightest of the route; none if a kind is not made in it, or if the book sizes no
    /// raceways.
    fn fill_of(&self, _demand: &RunDemand, _candidate: Candidate, _trade_size: &str) -> Option<Outcome> {
        None
    }
    /// Why no conductor of any size holds there, with what mends it and the clause; none where a larger one may.
    fn rules_out(&self, _demand: &RunDemand) -> Option<[String; 3]> {
        None
    }
    /// Unit in which lengths are bought: `m` or `ft`.
    fn length_unit(&self) -> &'static str;
    /// Insulation by which the catalogue names what serves for an insulation.
    fn bought_insulation<'a>(&self, insulation: &'a str) -> &'a str;
    /// A conductor of another colour may be marked as protective conductor at its ends.
    fn marks_protective(&self) -> bool;
}
