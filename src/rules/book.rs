//! What a rule book answers: demands and lists, never devices.

use crate::finding::Place;
use crate::load::{EfficiencyClass, Machine, Start};
use crate::quantity::{Amperes, Celsius, Impedance, Metres, Seconds, Volts, Watts};
use crate::record::Record;
use crate::rules::table::Document;

pub use crate::rules::iec::switching::Category;

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
    /// Clause.
    pub reference: &'static str,
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
pub trait RuleBook: Sync + crate::rules::conductors::RunRules {
    /// `iec` or `nec`.
    fn key(&self) -> &'static str;
    /// What it is, in words.
    fn title(&self) -> &'static str;
    /// Editions of its main documents.
    fn edition(&self) -> &'static str;
    /// Its tables.
    fn documents(&self) -> Vec<&'static Document>;
    /// Cautions: number, applicability key, text, source.
    fn cautions(&self) -> Vec<[&'static str; 4]>;

    /// Watts of one horsepower.
    fn watts_per_horsepower(&self) -> f64;
    /// Efficiency that a class guarantees, 0 to 1; the lowest class where none is given.
    fn efficiency(&self, class: Option<EfficiencyClass>, poles: u32, power: Watts, frequency_hz: f64, phases: u32)
    -> Option<f64>;
    /// Typical power factor.
    fn power_factor(&self, poles: u32, power: Watts, phases: u32) -> Option<f64>;
    /// Power factor of a load that is neither motor nor heater.
    fn other_power_factor(&self) -> f64;
    /// Locked-rotor ratio where nothing is known.
    fn locked_rotor_ratio(&self, class: Option<EfficiencyClass>) -> f64;
    /// Power factor at locked rotor where nothing is known.
    fn starting_power_factor(&self, power: Option<Watts>) -> f64;

    /// Rated currents; none if nothing gives one. `wish` is `nameplate`, `table` or `larger`.
    fn currents(&self, machine: &Machine, wish: &str, place: &Place, record: &mut Record) -> Option<RatedCurrents>;

    /// What a contactor of that duty must be able to switch.
    fn switching(&self, duty: Duty, current: Amperes, machine: &Machine, start: &Start, record: &mut Record) -> SwitchingDemand;
    /// Capacitors and transformers: the AC-3 rating that gives a demanded AC-6 rating.
    fn ac6_rating(&self, category: Category, ac3: Amperes, fault_max: Option<Amperes>) -> Option<Amperes>;
    /// Lamps: share of the AC-1 rating.
    fn lamp_share(&self, category: Category) -> f64;
    /// Factor on an AC-1 rating for the air temperature and altitude at the device.
    fn thermal_factor(&self, ambient: Celsius, altitude: Metres) -> f64;
    /// Factor on the rated voltage for altitude.
    fn voltage_factor(&self, altitude: Metres) -> f64;
    /// Current that a contactor of this AC-3 rating carries for this time while a motor starts.
    fn short_time(&self, ac3: Amperes, time: Seconds) -> Amperes;
    /// Expected operations of a contactor in a mix of duties.
    fn life(&self, curve: &LifeCurve, current: Amperes, ratio: f64, inching: f64, record: Option<&mut Record>) -> f64;

    /// Trip classes, the quickest first.
    fn trip_classes(&self) -> &'static [&'static str];
    /// Start time against trip time of a class at a multiple of the setting.
    fn class_demand(&self, class: &str, multiple: f64, start: Seconds, record: Option<&mut Record>) -> ClassDemand;
    /// Longest time in which a relay of the class trips from cold at a multiple of its setting.
    fn longest_trip(&self, class: &str, multiple: f64) -> Option<Seconds>;
    /// Trip time with its tolerance against time tE of an increased-safety motor.
    fn increased_safety(&self, class: &str, multiple: f64, te: Seconds, record: &mut Record) -> ClassDemand;
    /// Factor on device currents for slow classes.
    fn class_factor(&self, class: &str) -> f64;

    /// Smallest rating of a fuse of that kind (`gG`, `aM`) that carries the current and rides through the start; none if beyond the tables.
    fn fuse_rating(&self, kind: &str, current: Amperes, start: Amperes, time: Seconds, record: &mut Record) -> Option<Amperes>;
    /// First half-cycle peak of a start over its r.m.s. current.
    fn inrush_peak_factor(&self) -> f64;
    /// Dip at the board while a current starts, per cent: the divider of locked-rotor impedance and supply.
    fn board_dip_pct(&self, line: Volts, supply: Impedance, start: Amperes, power_factor: f64, record: &mut Record) -> f64;
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
