//! Demands on a circuit's devices, and the answers of a rule book: currents, demands, offers and limits in numbers.

use crate::load::{Known, Machine, Origin, Start};
use crate::quantity::{Amperes, Celsius, Metres, Seconds, Volts};
use crate::record::Record;
use crate::rules::category::Category;
use crate::rules::physics::currents;

/// The use of a contactor: whether it makes, breaks or only carries its current.
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
    /// Rated current of the speed that draws more: a motor of two speeds may be started at either, and device, board and supply must stand
    /// the larger start.
    #[must_use]
    pub fn of_larger_speed(&self) -> Amperes {
        self.low.map_or(self.full_load, |low| low.max(self.full_load))
    }

    /// Currents of so many equal motors together, of which these are one's. The figures of nameplate, table and power stay those of one.
    #[must_use]
    pub fn of_several(&self, motors: u32, record: &mut Record) -> Self {
        if motors < 2 {
            return self.clone();
        }
        let together = |record: &mut Record, of_one: Amperes| currents::current_of_several(record, of_one, motors);
        let mut silent = Record::silent();
        Self {
            full_load: together(record, self.full_load),
            low: self.low.map(|current| together(&mut silent, current)),
            conductor: together(&mut silent, self.conductor),
            protection: together(&mut silent, self.protection),
            overload: together(&mut silent, self.overload),
            ..self.clone()
        }
    }
}

/// What is known of the current of a motor that stands still at full voltage.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LockedRotor {
    /// It over a full-load current.
    pub ratio: Known<f64>,
    /// That full-load current; none where the ratio is a usual one, which holds over whatever current counts.
    pub over: Option<Amperes>,
}

impl LockedRotor {
    /// A usual ratio, over the full-load current that counts.
    #[must_use]
    pub fn usual(ratio: f64) -> Self {
        Self { ratio: Known::new(ratio, Origin::Default), over: None }
    }

    /// The locked-rotor current of a motor whose circuit is based on a full-load current.
    #[must_use]
    pub fn current(&self, full_load: Amperes) -> Amperes {
        self.over.unwrap_or(full_load) * self.ratio.value
    }

    /// The same current, as a ratio over the full-load current on which the circuit is based.
    #[must_use]
    pub fn over(&self, full_load: Amperes) -> Known<f64> {
        match self.over {
            Some(other) if other != full_load && full_load.0 > 0.0 => {
                Known { value: self.current(full_load).0 / full_load.0, ..self.ratio }
            }
            _ => self.ratio,
        }
    }
}

/// A limit that a device must keep, in numbers; `sizing` makes a check of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limit {
    /// Name, as checks of a design bear it.
    pub name: &'static str,
    /// The value that is demanded or occurs.
    pub value: f64,
    /// The value that is allowed or can be done.
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

/// The use for which a horsepower rating holds.
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

/// The current that a contactor must be able to switch, and its category.
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

/// The demand of a role on its contactor.
#[derive(Clone, Debug)]
pub struct ContactorDemand {
    /// Current that it carries.
    pub current: Amperes,
    /// The current that it must switch.
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

/// The offer of a contactor at the voltage of the circuit: figures of the catalogue, none where it is not rated.
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

/// The question about the short-circuit protective device.
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

/// The question about an overload relay or release.
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

/// A relay before an increased-safety motor: how soon it must trip where the motor stands still.
#[derive(Clone, Copy, Debug)]
pub struct IncreasedSafetyAsk<'a> {
    /// Its class.
    pub class: &'a str,
    /// Current through it while the motor stands still at full voltage.
    pub starting: Amperes,
    /// Its setting.
    pub setting: Amperes,
    /// Starting current of the motor over its own rated current.
    pub ratio: f64,
    /// Time tE of the motor.
    pub te: Seconds,
}

/// What is known of a fuse while the load starts.
#[derive(Clone, Debug, PartialEq)]
pub enum FuseStart {
    /// The time of the start against the time for which the fuse carries it.
    Known(Limit),
    /// No figure reaches so far: why, and its reference.
    Unknown {
        /// Why.
        because: String,
        /// Where the figures end.
        reference: &'static str,
    },
}

/// Where a disconnecting means stands in its circuit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DisconnectAsk {
    /// Current there while the load runs.
    pub current: Amperes,
    /// A drive stands behind it.
    pub before_drive: bool,
}

/// The demand on the disconnecting means of a circuit.
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
    /// The worth of a lock in the open position where the means is out of sight of the load.
    pub locked_open: LockedOpen,
}

/// The worth of a disconnecting means that can be locked open where it stands out of sight of the load.
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

/// The sort of a device.
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
    /// Its sort.
    pub sort: DeviceSort,
    /// Rating.
    pub rating: Amperes,
    /// Voltage between lines.
    pub line: Volts,
    /// Three-phase.
    pub three_phase: bool,
    /// System, as it is stated.
    pub system: Option<&'a str>,
    /// Earthing of the system, as it is stated.
    pub earthing: Option<&'a str>,
    /// Rated voltage of fuse-links.
    pub rated_voltage: Option<Volts>,
}

/// A part of a starter as the short-circuit rating of the whole sees it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RatedPart {
    /// Its kind.
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

/// A trip class against a start.
#[derive(Clone, Debug)]
pub struct ClassDemand {
    /// Start time with its allowance.
    pub need: Seconds,
    /// Trip time that may be used.
    pub allowed: Seconds,
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

/// Additional protection by a residual current device that socket outlets ask for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SocketOutlets {
    /// Up to this rated current.
    pub most: Amperes,
    /// Rated residual current of the device at most, mA.
    pub residual_ma: f64,
    /// Clause.
    pub clause: &'static str,
}
