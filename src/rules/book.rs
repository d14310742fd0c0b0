//! What a rule book answers: demands and lists, never devices.

use crate::finding::Finding;
use crate::load::{ControlVoltage, Field, Known, Load, Machine, ProtectionKind, Start};
use crate::quantity::{Amperes, Celsius, Impedance, Metres, Seconds, Volts, Watts};
use crate::record::{Naming, Record};
use crate::rules::cautions::CautionRow;
use crate::rules::physics::{contactors, currents, drop, magnetic, tripping};
use crate::rules::services::NotCovered;
use crate::rules::table::Document;

pub use crate::rules::category::Category;

/// What a contactor does to its current.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Duty {
    /// Makes and breaks a cage motor.
    Motor,
    /// Makes and breaks a slip-ring motor.
    SlipRing,
    /// Carries a current that something else makes and breaks.
    Carry,
    /// Makes and breaks a load that is no motor; the category follows from the load.
    Load,
}

/// Rated currents of a machine and what they are the basis of.
#[derive(Clone, Debug, Default)]
pub struct RatedCurrents {
    /// Rated current on which the circuit is based.
    pub full_load: Amperes,
    /// `nameplate`, `table`, `computed` or `given`.
    pub source: &'static str,
    /// Nameplate.
    pub nameplate: Option<Amperes>,
    /// Guide table.
    pub table: Option<Amperes>,
    /// From power, efficiency and power factor.
    pub computed: Option<Amperes>,
    /// Rated current at low speed.
    pub low: Option<Amperes>,
    /// Current on which conductors are sized.
    pub conductor: Amperes,
    /// Current on which the short-circuit protective device is sized.
    pub protection: Amperes,
    /// Current to which overload relays are set, before the winding factor.
    pub overload: Amperes,
}

impl RatedCurrents {
    /// Currents of so many equal motors together, of which these are one's. What nameplate, table and power say stays that of one.
    #[must_use]
    pub fn of_several(&self, motors: u32, record: &mut Record) -> Self {
        if motors < 2 {
            return self.clone();
        }
        let together = |record: &mut Record, of_one: Amperes| currents::current_of_several(record, of_one, motors);
        let mut silent = Record::silent();
        Self {
            full_load: together(record, self.full_load),
            low: self.low.map(|own| together(&mut silent, own)),
            conductor: together(&mut silent, self.conductor),
            protection: together(&mut silent, self.protection),
            overload: together(&mut silent, self.overload),
            ..self.clone()
        }
    }
}

/// A limit that a device must keep, in numbers; `sizing` makes a check of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limit {
    /// Name, as in the contract.
    pub name: &'static str,
    /// What is demanded or occurs.
    pub value: f64,
    /// What is allowed or can be done.
    pub limit: f64,
    /// Unit.
    pub unit: &'static str,
    /// The value must reach the limit instead of staying below it.
    pub floor: bool,
    /// Clause, or where the figure comes from.
    pub reference: &'static str,
}

impl Limit {
    /// A need that must not exceed a capability.
    #[must_use]
    pub fn at_most(name: &'static str, value: f64, limit: f64, unit: &'static str, reference: &'static str) -> Self {
        Self { name, value, limit, unit, floor: false, reference }
    }

    /// A value that must reach a floor.
    #[must_use]
    pub fn at_least(name: &'static str, value: f64, limit: f64, unit: &'static str, reference: &'static str) -> Self {
        Self { name, value, limit, unit, floor: true, reference }
    }

    /// It is kept.
    #[must_use]
    pub fn holds(&self) -> bool {
        if self.floor { crate::quantity::fits(self.limit, self.value) } else { crate::quantity::fits(self.value, self.limit) }
    }
}

/// What a horsepower rating is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HorsepowerUse {
    /// Full-voltage starting, stopping while running.
    FullVoltage,
    /// Plugging and jogging.
    Jogging,
    /// The set of a wye-delta starter.
    WyeDelta,
    /// The pair of a part-winding starter.
    PartWinding,
}

/// Horsepower that a controller must be rated for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HorsepowerDemand {
    /// Horsepower of the motor.
    pub motor: f64,
    /// Use of the whole set.
    pub usage: HorsepowerUse,
    /// Share of the motor's current in this contactor, for ratings that know no use but full voltage.
    pub share: f64,
}

/// What a contactor must be able to switch.
#[derive(Clone, Debug)]
pub struct SwitchingDemand {
    /// Category.
    pub category: Category,
    /// Current in that category.
    pub current: Amperes,
    /// The motor draws more at start than AC-3 presumes: an AC-3e rating, a rating that suits such motors, or an AC-3 rating
    /// of this many times the current.
    pub high_efficiency: Option<f64>,
    /// Horsepower, where the book rates in that.
    pub horsepower: Option<HorsepowerDemand>,
    /// All poles may stand in one conductor, linked in parallel.
    pub one_conductor: bool,
    /// Clause.
    pub reference: &'static str,
}

/// What a role asks of its contactor.
#[derive(Clone, Debug)]
pub struct ContactorDemand {
    /// Current that it carries.
    pub current: Amperes,
    /// What it must switch.
    pub switching: SwitchingDemand,
    /// Current through it while starting; zero if none.
    pub starting: Amperes,
    /// For how long.
    pub time: Seconds,
    /// Factor for slow classes.
    pub class_factor: f64,
    /// Largest fault current at the board, on which the inrush of capacitors depends.
    pub fault_max: Option<Amperes>,
    /// A reduced-life rating may be used.
    pub reduced_life: bool,
    /// Air at the device.
    pub ambient: Celsius,
    /// Altitude.
    pub altitude: Metres,
}

/// What a contactor offers at the voltage of the circuit: figures of the catalogue, none where it is not rated.
#[derive(Clone, Copy, Debug, Default)]
pub struct ContactorOffer {
    /// AC-1.
    pub ac1: Option<Amperes>,
    /// AC-3.
    pub ac3: Option<Amperes>,
    /// AC-3e.
    pub ac3e: Option<Amperes>,
    /// AC-4.
    pub ac4: Option<Amperes>,
    /// AC-6b, where it is declared.
    pub ac6b: Option<Amperes>,
    /// AC-7a.
    pub ac7a: Option<Amperes>,
    /// AC-7b.
    pub ac7b: Option<Amperes>,
    /// AC-8b.
    pub ac8b: Option<Amperes>,
    /// AC-3 at 440 V, to which short-time currents are stated.
    pub ac3_base: Amperes,
    /// Suits motors of high efficiency at its full AC-3 rating.
    pub suits_high_efficiency: bool,
    /// A reduced-life rating at the top of its frame.
    pub reduced_life: bool,
    /// Horsepower at full voltage, jogging, wye-delta, part winding.
    pub horsepower: [Option<f64>; 4],
    /// Continuous current in its enclosure, where it is rated so.
    pub continuous: Option<Amperes>,
    /// A NEMA size, whose ratings for wye-delta and part winding are a table of their own.
    pub nema: bool,
}

/// What is asked of the short-circuit protective device.
#[derive(Clone, Copy, Debug)]
pub struct ProtectionAsk<'a> {
    /// Load.
    pub machine: &'a Machine,
    /// Start.
    pub start: &'a Start,
    /// Rated currents.
    pub currents: &'a RatedCurrents,
    /// Line current while the load runs.
    pub line: Amperes,
    /// The load is a motor that starts behind the device.
    pub starts: bool,
    /// Line current while starting.
    pub starting: Amperes,
    /// For how long.
    pub time: Seconds,
}

/// Ratings that a book admits for a kind of protective device.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ProtectionBounds {
    /// Smallest rating.
    pub least: Amperes,
    /// The smallest rating is one that a start asks for: the check's clause.
    pub start_reference: Option<&'static str>,
    /// Largest rating in the first place, with its clause.
    pub most: Option<(Amperes, String)>,
    /// Largest rating where the motor does not start on that, with its clause.
    pub fallback: Option<(Amperes, String)>,
    /// Largest setting of an instantaneous trip, in the first place and where the motor does not start on that.
    pub magnetic: Option<[(Amperes, String); 2]>,
    /// The largest rating that is admitted comes first, instead of the smallest.
    pub largest_first: bool,
}

/// What is asked of an overload relay or release.
#[derive(Clone, Copy, Debug)]
pub struct OverloadAsk<'a> {
    /// Load.
    pub machine: &'a Machine,
    /// Rated current on which relays are set.
    pub rated: Amperes,
    /// Share of it that the relay carries.
    pub share: f64,
    /// Current at which it trips in the end over its setting, where the catalogue states it.
    pub ultimate_trip: Option<f64>,
    /// Service-limit current of the controller that it protects, where it has one.
    pub service_limit: Option<Amperes>,
}

/// What the disconnecting means of a circuit must do.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DisconnectDemand {
    /// Current of its rating.
    pub current: Amperes,
    /// Horsepower of its rating.
    pub horsepower: Option<f64>,
    /// Category, as it is written; empty where none is asked for.
    pub category: &'static str,
    /// Every circuit has one, so the protective device is named where it serves; else only a local one that is wanted.
    pub always: bool,
    /// Clause.
    pub reference: &'static str,
}

/// From where a disconnecting means must be seen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sight {
    /// Distance up to which it is in sight.
    pub most: Metres,
    /// Clause that asks for one in sight of the controller; none where no clause does.
    pub of_controller: Option<&'static str>,
    /// Clause that asks for one in sight of the load.
    pub of_load: &'static str,
    /// What a lock in the open position does where it is out of sight of the load.
    pub locked_open: LockedOpen,
}

/// What a disconnecting means that can be locked open is good for where it stands out of sight of the load.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LockedOpen {
    /// It does.
    Suffices,
    /// It does where narrow exceptions hold.
    ByException,
    /// It doesn't replace one in sight, save in supervised industrial establishments.
    Not,
}

/// Where a device stands.
#[derive(Clone, Copy, Debug)]
pub enum DevicePlace<'a> {
    /// In the branch circuit of a load.
    Branch(&'a Machine),
    /// Where a feeder begins.
    Feeder,
    /// At the head of a board.
    Head,
}

/// What a device is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DeviceSort {
    /// A circuit-breaker.
    Breaker,
    /// Fuses.
    Fuses,
    /// A switch, which opens for no fault by itself.
    Switch,
}

/// A chosen device as far as its rating brings other duties with it.
#[derive(Clone, Copy, Debug)]
pub struct DeviceAsk<'a> {
    /// Where it stands.
    pub place: DevicePlace<'a>,
    /// What it is.
    pub sort: DeviceSort,
    /// Rating.
    pub rating: Amperes,
    /// Voltage between lines.
    pub line: Volts,
    /// Three-phase.
    pub three_phase: bool,
    /// System, as it is stated.
    pub system: Option<&'a str>,
}

/// A part of a starter as the short-circuit rating of the whole sees it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RatedPart {
    /// What it is.
    pub kind: PartKind,
    /// Rating that its maker declares.
    pub declared: Option<Amperes>,
    /// Horsepower that it is rated for.
    pub horsepower: Option<f64>,
    /// Rating of the tested combination of which it is a part; a drive or soft starter beside that combination is none.
    pub combination: Option<Amperes>,
}

/// Short-circuit rating of a starter as a whole.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum StarterRating {
    /// The book rates no assemblies.
    NotRated,
    /// Nothing tells the rating of one of its parts: the reason.
    Unknown(&'static str),
    /// The rating of its weakest part.
    Of(Amperes),
}

/// Kinds of parts whose short-circuit rating differs where none is declared.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PartKind {
    /// Circuit-breaker.
    Breaker,
    /// Fuse-holder or fusible switch.
    FuseHolder,
    /// Contactor, soft starter, drive.
    Controller,
    /// Overload relay.
    OverloadRelay,
    /// Switch.
    Switch,
}

/// What `sizing` itself cites, each with the clause of the book.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Topic {
    /// Terminal markings and leads of motors.
    TerminalMarkings,
    /// A restart by itself.
    AutomaticReset,
    /// Breaking capacity.
    BreakingCapacity,
    /// Trip classes.
    TripClass,
    /// Loss of a phase.
    PhaseLoss,
    /// Co-ordination with the protective device.
    Coordination,
    /// Ratings of soft starters.
    SoftStarter,
    /// Locked-rotor protection of the motor.
    Stall,
    /// Motors of increased safety.
    IncreasedSafety,
    /// First peak of a motor's start.
    InrushPeak,
    /// Instantaneous trip while starting.
    MagneticTrip,
    /// Short-circuit rating of an assembly.
    AssemblyRating,
    /// Setting of an overload relay.
    OverloadSetting,
    /// Least rating of the protective device.
    ProtectionCarries,
    /// Least rating of a feeder's device.
    FeederCarries,
    /// Material of the conductors that terminals are made for.
    TerminalMaterial,
    /// Least section of the protective conductor.
    ProtectiveConductor,
    /// Smallest conductors that may be laid in parallel.
    ParallelConductors,
}

/// Figures of a tables' origin that a circuit may lean on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Leaning<'a> {
    /// Typical power factor.
    PowerFactor,
    /// A fuse of a kind.
    Fuse(&'a str),
    /// A contactor that carries the start.
    StartThroughContactor,
    /// A group of cables in free air.
    GroupInFreeAir,
    /// Aluminium conductors.
    Aluminium,
    /// A neutral that third harmonics load.
    LoadedNeutral,
    /// A raceway on a roof.
    OnRoof,
    /// Terminals by the motor's design letter.
    DesignLetter,
    /// A circuit-breaker with a slash voltage rating.
    SlashRating,
    /// Equipment with a marking of its own.
    Packaged,
    /// A hermetic refrigerant motor-compressor given as a motor.
    Compressor,
    /// A part without a short-circuit rating of its own.
    UnmarkedPart,
    /// Inching and plugging.
    Inching,
    /// Fault currents worked out along the network.
    NetworkFaults,
    /// A feeder of a board.
    Feeder,
    /// A switch at the head of a board.
    IncomingSwitch,
    /// A transformer before a board.
    FeederTransformer,
    /// A transformer as a load.
    SwitchedTransformer,
}

/// A trip class against a start.
#[derive(Clone, Debug)]
pub struct ClassDemand {
    /// Start time with its allowance.
    pub need: Seconds,
    /// Trip time that may be used.
    pub allowed: Seconds,
}

/// A rule book. `sizing` and `report` loop over what it lists and never ask which one it is.
pub trait RuleBook:
    Sync
    + crate::rules::conductors::RunRules
    + crate::rules::control::ControlRules
    + crate::rules::curves::CurveRules
    + crate::rules::feeders::FeederRules
    + crate::rules::incoming::IncomingRules
{
    /// `iec` or `nec`.
    fn key(&self) -> &'static str;
    /// What it is, in words.
    fn title(&self) -> &'static str;
    /// Editions of its main documents.
    fn edition(&self) -> &'static str;
    /// Its tables.
    fn documents(&self) -> Vec<&'static Document>;
    /// Cautions, in the order in which they are printed.
    fn cautions(&self) -> &'static [CautionRow];

    /// The clause for what `sizing` itself cites; empty if the book has none.
    fn clause(&self, topic: Topic) -> &'static str;
    /// How the book names the source of a formula that both books share; none where the formula's own words do.
    fn naming(&self) -> Option<Naming> {
        None
    }
    /// Tables behind every circuit.
    fn tables_behind_all(&self) -> &'static [&'static str];
    /// Tables from which a circuit takes figures when it leans on something.
    fn tables_behind(&self, leaning: Leaning<'_>) -> &'static [&'static str];

    /// Services, systems and surroundings that the book does not cover, with the document to turn to.
    fn not_covered(&self) -> &'static [NotCovered];
    /// The clause that lets a demand factor below 1 count for motors only where the authority having jurisdiction permits it.
    fn permission_for_motor_factors(&self) -> Option<&'static str> {
        None
    }
    /// Why the book does not size several motors behind one starter, what to do, and the clause; none where it does.
    fn refuses_several_motors(&self) -> Option<[&'static str; 3]> {
        None
    }
    /// Columns and keys of the basis that this book puts to use and not every book does.
    fn own_inputs(&self) -> (&'static [Field], &'static [&'static str]);
    /// Something gives the rated current: the row, or a table of the book.
    fn current_known(&self, machine: &Machine) -> bool;
    /// Documents that a voltage above the book's limit is referred to, and the clause of the limit.
    fn above_limit(&self) -> (&'static str, &'static str);
    /// What to confirm of a motor whose winding must run in delta at a voltage.
    fn delta_winding_cure(&self, line: Volts) -> String;
    /// Family of controllers where the basis names none.
    fn controller_family(&self) -> &'static str;

    /// Watts of one horsepower.
    fn watts_per_horsepower(&self) -> f64;
    /// A soft starter or drive has a line contactor unless the row says otherwise.
    fn line_contactor(&self) -> bool;
    /// Frequency where nobody states one.
    fn frequency_hz(&self) -> f64;
    /// Nominal voltage of the system behind a load of a rated voltage, where nobody states it.
    fn system_voltage(&self, rated: Volts) -> Volts {
        rated
    }
    /// The two conductors of a supply of one phase at this voltage are a line and the neutral, where nobody says.
    fn one_phase_to_neutral(&self, voltage: Volts) -> bool;
    /// Control voltage where nobody states one.
    fn control_voltage(&self) -> ControlVoltage;
    /// Voltage to which a capacitor must have come down after switching off, and in which time; with the clause.
    fn capacitor_discharge(&self) -> (Volts, Seconds, &'static str);
    /// Kind of protective device where nobody wishes one.
    fn protection_kind(&self) -> ProtectionKind;
    /// Efficiency where the row gives none, 0 to 1, of the class or motor that [`Self::efficiency_of`] names.
    fn efficiency(&self, machine: &Machine, power: Watts) -> Option<f64>;
    /// What that efficiency is of.
    fn efficiency_of(&self, machine: &Machine, power: Watts) -> &'static str;
    /// Typical power factor.
    fn power_factor(&self, machine: &Machine, power: Watts) -> Option<f64>;
    /// Power factor of a load that is neither motor nor heater.
    fn other_power_factor(&self) -> f64;
    /// Locked-rotor ratio where the row gives none; its origin says whether a table of the book gives it.
    fn locked_rotor_ratio(&self, machine: &Machine) -> Known<f64>;
    /// Power factor at locked rotor where nothing is known.
    fn starting_power_factor(&self, power: Option<Watts>) -> f64;

    /// Rated currents; none if nothing gives one. `wish` is `nameplate`, `table` or `larger`; findings point at the row's cells.
    fn currents(&self, machine: &Machine, start: &Start, wish: &str, load: &Load, record: &mut Record) -> Option<RatedCurrents>;

    /// What a contactor of that duty must be able to switch. `share` is the part of the motor's current that it carries.
    fn switching(
        &self,
        duty: Duty,
        current: Amperes,
        share: f64,
        machine: &Machine,
        start: &Start,
        record: &mut Record,
    ) -> SwitchingDemand;
    /// Rating of a contactor for what it must switch; zero if it has none.
    fn contactor_rating(&self, demand: &ContactorDemand, offer: &ContactorOffer) -> Amperes;
    /// Limits that a contactor must keep, in the order of their weight.
    fn contactor_limits(&self, demand: &ContactorDemand, offer: &ContactorOffer) -> Vec<Limit>;
    /// What a contactor of which only the rated current is stated offers for a duty: what that current proves, and the most that it
    /// may offer.
    fn offers_of_rating(&self, rated: Amperes, demand: &ContactorDemand) -> [ContactorOffer; 2];
    /// What a starter of a NEMA size offers; none if the book has no such size for the machine.
    fn offer_of_size(&self, _size: &str, _machine: &Machine) -> Option<ContactorOffer> {
        None
    }
    /// Factor on the rated voltage for altitude.
    fn voltage_factor(&self, altitude: Metres) -> f64 {
        // Beyond the table no rating is known: a tiny factor makes every rating fail.
        contactors::altitude_factors(altitude).map_or(1e-6, |factors| factors.voltage)
    }
    /// Expected operations of a contactor in a mix of duties.
    fn life(&self, curve: &LifeCurve, current: Amperes, ratio: f64, inching: f64, record: Option<&mut Record>) -> f64 {
        contactors::life_in_service(curve, current, ratio, inching, record)
    }

    /// Trip classes, the quickest first.
    fn trip_classes(&self) -> &'static [&'static str];
    /// Starts an hour up to which nothing is asked of a bimetal release, and the multiple of its setting at which it does not trip for
    /// certain; none where the book knows no such device.
    fn bimetal_starts(&self) -> Option<(f64, f64)> {
        None
    }
    /// Start time against trip time of a class at a multiple of the setting.
    fn class_demand(&self, class: &str, multiple: f64, start: Seconds, record: Option<&mut Record>) -> ClassDemand {
        tripping::class_demand(class, multiple, start, record)
    }
    /// Longest time in which a relay of the class trips from cold at a multiple of its setting; `ultimate_trip` is the multiple at
    /// which it trips in the end, where the catalogue states it.
    fn longest_trip(&self, class: &str, multiple: f64, ultimate_trip: Option<f64>) -> Option<Seconds>;
    /// Trip time with its tolerance against time tE of an increased-safety motor.
    fn increased_safety(&self, class: &str, multiple: f64, te: Seconds, record: &mut Record) -> ClassDemand;
    /// Factor on device currents for slow classes.
    fn class_factor(&self, class: &str) -> f64;

    /// What the dial of a relay or release may be set to at most.
    fn overload_setting(&self, ask: &OverloadAsk<'_>, record: &mut Record) -> Amperes;
    /// Limit of a setting's ultimate trip; none where the setting itself is the limit.
    fn overload_limits(&self, ask: &OverloadAsk<'_>, setting: Amperes) -> Vec<Limit>;
    /// Current over the setting that a relay carries without ever tripping, with its clause.
    fn carried_over_setting(&self) -> (f64, &'static str);
    /// Every phase must be seen by the relay.
    fn wants_phase_loss(&self, phases: u32) -> bool;

    /// Kinds of protective devices to be tried, the wanted one first.
    fn protection_kinds(&self, wish: Known<ProtectionKind>, machine: &Machine, start: &Start) -> Vec<ProtectionKind>;
    /// Ratings that the book admits for a kind; none if it has no such device, or none that holds the start.
    fn protection_bounds(&self, kind: ProtectionKind, ask: &ProtectionAsk<'_>, record: &mut Record) -> Option<ProtectionBounds>;
    /// Does a fuse of the rating hold the start? None where that follows from its bounds or nothing is known.
    fn fuse_at_start(&self, kind: ProtectionKind, rating: Amperes, ask: &ProtectionAsk<'_>, record: &mut Record)
    -> Option<Limit>;
    /// What a load draws for some cycles when it is switched on, by a usual multiple of its current; none where nothing is known.
    fn switching_inrush(&self, _machine: &Machine, _line: Amperes, _record: &mut Record) -> Option<Amperes> {
        None
    }
    /// Fuse-links of one device.
    fn fuses_of(&self, machine: &Machine) -> u32;
    /// Conductors of a circuit that its controllers and overload relays open.
    fn switched_conductors(&self, machine: &Machine) -> u32;
    /// Rating by which the protective conductor of a device of this kind is sized, where it is not the device's own.
    fn grounding_rating(&self, kind: &str, ask: &ProtectionAsk<'_>) -> Option<Amperes>;
    /// Nominal, lower and upper limit of an instantaneous trip.
    fn magnetic_band(&self, multiple: f64, base: Amperes, tolerance_pct: f64, record: &mut Record) -> [f64; 3] {
        magnetic::limits(record, multiple, base, tolerance_pct)
    }
    /// First half-cycle peak of a start over its r.m.s. current.
    fn inrush_peak_factor(&self) -> f64 {
        magnetic::inrush_peak_factors().1
    }
    /// The first peak of a start against the lower limit of a magnetic trip: both as peaks, amperes.
    fn inrush_peak(&self, start: Amperes, lower_limit: Amperes, record: &mut Record) -> (Amperes, Amperes) {
        magnetic::peaks(record, start, self.inrush_peak_factor(), lower_limit)
    }
    /// The disconnecting means.
    fn disconnect(&self, machine: &Machine, currents: &RatedCurrents, current: Amperes, record: &mut Record) -> DisconnectDemand;
    /// From where the disconnecting means of a load must be seen; none if the book asks for no such thing.
    fn in_sight(&self, machine: &Machine) -> Option<Sight> {
        let _ = machine;
        None
    }
    /// What the rating of a chosen device asks for besides, which the program does not choose.
    fn about_device(&self, ask: &DeviceAsk<'_>) -> Vec<Finding> {
        let _ = ask;
        Vec::new()
    }
    /// Times within which a fault to earth must be disconnected: by the rated current of the protective device, and by the setting of the
    /// overload protection where that stands on the other side of the limit; none where both ask the same. The clause with them.
    fn two_disconnection_times(
        &self,
        to_earth: Volts,
        device: Amperes,
        setting: Amperes,
    ) -> Option<([Seconds; 2], &'static str)> {
        let _ = (to_earth, device, setting);
        None
    }
    /// Short-circuit rating of a starter from its parts.
    fn assembly_rating(&self, parts: &[RatedPart], record: &mut Record) -> StarterRating;
    /// A marked voltage rating of a breaker suits the system; none if the system is unknown. The clause with it.
    fn voltage_suits(&self, marked: &str, system: Option<&str>, voltage: Volts) -> (Option<bool>, &'static str);
    /// How fault currents are reckoned in a low-voltage network of this tolerance of voltage, per cent.
    fn fault_convention(&self, tolerance_pct: Option<f64>) -> crate::rules::physics::fault::Convention;
    /// A fault to earth flows back through the protective conductor; none if what is known of earthing and system does not say.
    fn returns_by_conductor(&self, earthing: Option<&str>, system: Option<&str>) -> Option<bool>;
    /// Dip at the board while a current starts, per cent: the divider of locked-rotor impedance and supply.
    fn board_dip_pct(&self, line: Volts, supply: Impedance, start: Amperes, power_factor: f64, record: &mut Record) -> f64 {
        drop::starting_drop(record, drop::Across::three_phase(line), start, supply, power_factor)
    }
    /// Lower and upper limit of the instantaneous trip of a line breaker's curve, over its rating.
    fn curve_limits(&self, curve: &str) -> Option<(f64, f64)>;
    /// Conventional tripping current over rating or setting: of a line breaker's curve, else of an industrial circuit-breaker.
    fn conventional_trip(&self, curve: Option<&str>) -> f64;
}

/// Life data of a contactor.
#[derive(Clone, Copy, Debug)]
pub struct LifeCurve {
    /// AC-3 rating at the voltage.
    pub rated: Amperes,
    /// Electrical life at that rating, operations.
    pub ac3_operations: f64,
    /// Exponent of AC-3 life over current.
    pub ac3_exponent: f64,
    /// Electrical life when every operation breaks six times that rating.
    pub ac4_operations: f64,
    /// Exponent of AC-4 life over current.
    pub ac4_exponent: f64,
    /// Mechanical life.
    pub mechanical_operations: f64,
}
