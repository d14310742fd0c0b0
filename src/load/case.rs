//! A row with nothing missing any more: what `sizing` works from. Made by `sizing::resolve` and nowhere else.

use crate::finding::Place;
use crate::load::duty;
use crate::load::kinds::*;
use crate::quantity::{Amperes, Celsius, Metres, Seconds, Vars, VoltAmperes, Volts, Watts};

/// The electrical side of a motor or load.
#[derive(Clone, Debug)]
pub struct Machine {
    /// Kind of load.
    pub kind: LoadKind,
    /// Shaft power of a motor, input of other loads.
    pub power: Option<Watts>,
    /// Shaft power at low speed.
    pub power_low: Option<Watts>,
    /// Horsepower as marked; none where the row states kilowatts only.
    pub horsepower: Option<f64>,
    /// Horsepower at low speed.
    pub horsepower_low: Option<f64>,
    /// Design letter, upper case; empty if not marked.
    pub design_letter: String,
    /// Code letter of the locked-rotor apparent power.
    pub code_letter: Option<char>,
    /// Service factor as marked.
    pub service_factor: Option<f64>,
    /// Temperature rise as marked, K.
    pub temperature_rise_k: Option<f64>,
    /// Short-circuit rating marked on equipment.
    pub equipment_rating: Option<Amperes>,
    /// Apparent power.
    pub apparent: Option<VoltAmperes>,
    /// Reactive power of a capacitor.
    pub reactive: Option<Vars>,
    /// Rated voltage.
    pub voltage: Volts,
    /// Phases: 1 or 3.
    pub phases: u32,
    /// Single phase between line and neutral, or three phases with a loaded neutral.
    pub neutral: bool,
    /// Frequency.
    pub frequency_hz: f64,
    /// Rated current on the nameplate.
    pub nameplate: Option<Amperes>,
    /// Rated-load current of a hermetic refrigerant motor-compressor.
    pub rated_load: Option<Amperes>,
    /// Its branch-circuit selection current, where one is marked.
    pub selection: Option<Amperes>,
    /// Its locked-rotor current, where it is stated.
    pub locked_rotor: Option<Amperes>,
    /// Rated current at low speed on the nameplate.
    pub nameplate_low: Option<Amperes>,
    /// Efficiency, 0 to 1.
    pub efficiency: Option<Known<f64>>,
    /// Power factor.
    pub power_factor: Option<Known<f64>>,
    /// Efficiency class.
    pub class: Option<EfficiencyClass>,
    /// Poles.
    pub poles: u32,
    /// Voltages of the winding: lower (delta) and upper (star).
    pub winding: Option<(Volts, Option<Volts>)>,
    /// Leads brought out.
    pub leads: Option<u32>,
    /// Rotor current of a slip-ring motor.
    pub rotor_current: Option<Amperes>,
    /// Rotor voltage at standstill.
    pub rotor_voltage: Option<Volts>,
    /// Marked smallest circuit ampacity of packaged equipment.
    pub minimum_ampacity: Option<Amperes>,
    /// Marked largest protection of packaged equipment.
    pub maximum_protection: Option<Amperes>,
    /// The marking allows fuses only.
    pub fuse_only: bool,
    /// It stands in a household or the like.
    pub household: bool,
    /// Third-harmonic current of each phase over its rated current, of three phases with a neutral; none where nobody states it.
    pub third_harmonic: Option<Known<f64>>,
}

impl Machine {
    /// Equipment with controllers of its own, as its kind or its marking says, whose short-circuit rating nobody states.
    #[must_use]
    pub fn unrated_equipment(&self) -> bool {
        let marked = self.minimum_ampacity.is_some() || self.maximum_protection.is_some();
        (self.kind == LoadKind::Packaged || marked) && self.equipment_rating.is_none()
    }
}

/// Course of a start by its method, worked out from torques, load and inertia.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WorkedOutStart {
    /// How long relays and contactors see it.
    pub time: Seconds,
    /// End of the step at reduced voltage; none where there is none.
    pub change_over: Option<Seconds>,
    /// Speed then, over synchronous speed.
    pub change_over_speed: Option<f64>,
    /// Current as the full voltage is switched on, over rated current.
    pub change_over_current: Option<f64>,
}

/// How it starts and how often.
#[derive(Clone, Debug)]
pub struct Start {
    /// Method.
    pub method: Method,
    /// Both directions.
    pub reversing: bool,
    /// Locked-rotor current over the full-load current on which the circuit is based.
    pub ratio: Known<f64>,
    /// Power factor at locked rotor.
    pub power_factor: Known<f64>,
    /// Start time at full voltage.
    pub time: Known<Seconds>,
    /// Its course by the method, where torques, inertia and speed are known and the row states no time.
    pub worked_out: Option<WorkedOutStart>,
    /// Permissible locked-rotor time, hot.
    pub stall_time: Option<Seconds>,
    /// Load torque.
    pub torque: Option<LoadTorque>,
    /// Starting torque over rated torque.
    pub torque_ratio: Option<f64>,
    /// Tap of an autotransformer, or voltage share of a resistor or reactor, 0 to 1.
    pub tap: Known<f64>,
    /// Current limit of a soft starter over rated current.
    pub limit: Known<f64>,
    /// Rated input current of a drive.
    pub drive_input: Option<Amperes>,
    /// Bypass contactor wanted.
    pub bypass: bool,
    /// Line contactor wanted.
    pub line_contactor: bool,
    /// Duty number, 1 to 10.
    pub duty: u8,
    /// Duty as it was written.
    pub duty_text: String,
    /// Time for which the motor is rated in its duty, minutes; none if continuous or not stated.
    pub rated_minutes: Option<f64>,
    /// Starts an hour.
    pub per_hour: Option<f64>,
    /// Share of operations broken at locked-rotor current, 0 to 1.
    pub inching: f64,
    /// Operations over the wanted life.
    pub operations: Option<f64>,
    /// Hours in service in a year, where the basis states them.
    pub hours_a_year: Option<f64>,
    /// Years that contacts must last, where the basis states them.
    pub wanted_years: Option<f64>,
    /// Time tE of an increased-safety motor.
    pub te: Option<Seconds>,
}

impl Start {
    /// The motor of a drive also starts on the line, over the bypass.
    #[must_use]
    pub fn over_bypass(&self) -> bool {
        self.method == Method::Drive && self.bypass
    }

    /// A load of this kind is a motor that starts on the line.
    #[must_use]
    pub fn starts_on_line(&self, kind: LoadKind) -> bool {
        self.method.starts_on_line(kind, self.bypass)
    }

    /// Starts an hour that the contactors switch: those before a drive stay closed while it starts the motor, unless it also starts over a
    /// bypass.
    #[must_use]
    pub fn switched_per_hour(&self) -> Option<f64> {
        self.per_hour.filter(|_| !self.by_drive_alone())
    }

    /// Its drive alone brings the motor up and holds its current down: nothing leads around it.
    #[must_use]
    pub fn by_drive_alone(&self) -> bool {
        self.method == Method::Drive && !self.bypass
    }

    /// Electronics make and break its current: that of a motor that stands still flows through no contactor.
    #[must_use]
    pub fn behind_electronics(&self) -> bool {
        matches!(self.method, Method::SoftStarter | Method::SoftStarterInsideDelta) || self.by_drive_alone()
    }

    /// Share of the time for which the motor runs in intermittent duty, 0 to 1, where the duty names it, as `S4 40 %` does; else all of it.
    #[must_use]
    pub fn running_share(&self) -> f64 {
        let figure = self.duty_text.split_once('%').and_then(|(before, _)| duty::last_figure(before));
        let percent = figure.filter(|percent| (1.0..=100.0).contains(percent));
        percent.filter(|_| self.duty > 2).map_or(1.0, |percent| percent / 100.0)
    }
}

/// How the cable runs.
#[derive(Clone, Debug)]
pub struct Route {
    /// Cell that says how the cable runs.
    pub place: Place,
    /// Motor run.
    pub length: Option<Metres>,
    /// Heading of a column that is not read and seems to hold lengths, where no length is read.
    pub unread_length: Option<String>,
    /// Supply run, where the starter stands apart.
    pub supply_length: Option<Metres>,
    /// Methods of installation along the route, as written.
    pub installation: Vec<String>,
    /// Air temperature.
    pub ambient: Celsius,
    /// Ground temperature.
    pub ground: Celsius,
    /// Thermal resistivity of the soil, K·m/W.
    pub soil: f64,
    /// Circuits in the group.
    pub grouped: u32,
    /// Somebody states how many they are.
    pub group_stated: bool,
    /// Material.
    pub material: Material,
    /// Insulation, as written.
    pub insulation: String,
    /// Smallest size, mm².
    pub minimum_mm2: f64,
    /// A wet place.
    pub wet: bool,
    /// In the sun, close above a roof.
    pub rooftop: bool,
    /// Temperature for which terminations are marked.
    pub termination: Option<Celsius>,
    /// A cable is laid: only an equipped spare way for which no length is stated has none.
    pub laid: bool,
    /// Smallest trade size of raceways.
    pub minimum_raceway: Option<String>,
    /// Largest voltage drop while running, per cent.
    pub running_drop_pct: f64,
    /// Largest voltage drop along the feeders, per cent.
    pub feeder_drop_pct: f64,
    /// Largest voltage drop while starting, per cent.
    pub starting_drop_pct: f64,
}

/// A control voltage.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ControlVoltage {
    /// Voltage.
    pub volts: f64,
    /// Direct current.
    pub dc: bool,
}

impl std::fmt::Display for ControlVoltage {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} V {}", self.volts, if self.dc { "DC" } else { "AC" })
    }
}

/// Duties of the control circuit.
#[derive(Clone, Debug)]
pub struct ControlWish {
    /// Coil voltage.
    pub voltage: ControlVoltage,
    /// Cell that says so.
    pub place: Place,
    /// Length to the contact that switches the coil, one way; none if it stands at the starter.
    pub length: Option<Metres>,
    /// Cell that says so.
    pub length_place: Place,
    /// The device that switches the coil.
    pub driven_by: &'static str,
    /// Rating of a controller's output.
    pub output: Amperes,
    /// Further normally open contacts.
    pub no: u32,
    /// Further normally closed contacts.
    pub nc: u32,
    /// Contacts switch electronic levels.
    pub low_level: bool,
    /// Momentary control, which needs a seal-in contact.
    pub three_wire: bool,
    /// Automatic reset of the overload relay.
    pub automatic_reset: bool,
    /// Interlock partners by tag.
    pub interlock_with: Vec<String>,
    /// Redundant contactors follow from the safety level.
    pub redundant: bool,
}

/// The circuit that an auxiliary contact switches.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ContactLevel {
    /// An electronic input, down to 1 mA at 3 V.
    Logic,
    /// 24 V.
    ExtraLow,
    /// Mains voltage.
    Mains,
}

impl ContactLevel {
    /// Its canonical word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Logic => "logic",
            Self::ExtraLow => "24 V",
            Self::Mains => "mains",
        }
    }
}

/// The control scheme of a row: what operators, controllers and monitors want of its contactors.
#[derive(Clone, Debug)]
pub struct Scheme {
    /// Stations, by their variant in the catalogue.
    pub stations: Vec<&'static str>,
    /// Lamps: `running`, `stopped`, `tripped`.
    pub lamps: Vec<&'static str>,
    /// Meters: `ammeter`, `hour-meter`.
    pub meters: Vec<&'static str>,
    /// Level of the control circuit itself.
    pub level: ContactLevel,
    /// Level of the contact that tells somebody else that the load runs; none if nobody asks.
    pub feedback: Option<ContactLevel>,
    /// The level at which further contacts switch.
    pub wished: ContactLevel,
    /// A safety function monitors the contactors.
    pub monitored: bool,
    /// Stop category of an emergency stop.
    pub emergency_stop: Option<&'static str>,
    /// Undervoltage release of the circuit-breaker.
    pub undervoltage_release: bool,
    /// Thermistors in the winding.
    pub thermistors: u32,
    /// Brake that is released while the motor runs.
    pub brake: Option<Watts>,
}

/// Wishes of the project about devices.
#[derive(Clone, Debug)]
pub struct Wishes {
    /// Kind of protective device and where the wish comes from.
    pub protection: Known<ProtectionKind>,
    /// An engineering evaluation admits magnetic settings above the first place, where the first half-cycle of a start asks for them.
    pub evaluated: bool,
    /// Co-ordination type.
    pub coordination: Option<Coordination>,
    /// Air temperature at the devices.
    pub device_ambient: Celsius,
    /// Altitude.
    pub altitude: Metres,
    /// Which rated current counts: `nameplate`, `table` or `larger`.
    pub current_source: String,
    /// Reduced-life contactors where they suit.
    pub reduced_life: bool,
    /// Family of controllers: `iec-frames` or `nema`.
    pub controller_family: String,
    /// Smallest NEMA size that is used.
    pub minimum_nema_size: Option<String>,
    /// Order of preference: `smallest` or `cheapest`.
    pub cheapest: bool,
    /// Shrouds where a frame isn't finger-safe by itself.
    pub finger_protection: bool,
    /// Largest motor that may start direct.
    pub direct_limit: Option<Watts>,
    /// Local isolator.
    pub isolator: bool,
    /// An industrial establishment where only qualified persons service equipment, by written procedures.
    pub supervised: bool,
}

/// Equipment that comes with the machine or stands beside it, and needs cores, glands or an enclosure.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Extras {
    /// Control station, as written; empty if there is none.
    pub station: String,
    /// Length to the control station.
    pub station_length: Option<Metres>,
    /// Thermistors in the winding.
    pub thermistors: u32,
    /// Resistance thermometers.
    pub thermometers: u32,
    /// Brake.
    pub brake: Watts,
    /// Voltages that description or note names beside the brake: several where it is not clear which is its own.
    pub brake_voltages: Vec<ControlVoltage>,
    /// Description or note says that the brake takes direct current.
    pub brake_direct: bool,
    /// Space heater.
    pub heater: Watts,
    /// Degree of protection or type of an enclosure of the circuit's own; empty if none is asked for.
    pub enclosure: String,
    /// Where the row says so.
    pub enclosure_place: Place,
    /// Words of row and surroundings about the place of the machine: column and word.
    pub surroundings: Vec<(&'static str, String)>,
    /// Words by which the machine stands on a roof or outdoors, as written; empty if none says so.
    pub outdoors: String,
    /// Words by which its place is wet, washed down or corrosive, or asks for such an enclosure, as written; empty if none says so.
    pub harsh: String,
    /// The row says that it stands in an explosive atmosphere, or is of a motor that is made for one.
    pub explosive: bool,
    /// A question about the place waits at the row already, which the switch at the machine shares.
    pub place_asked: bool,
}

/// A row with nothing missing any more.
#[derive(Clone, Debug)]
pub struct Case {
    /// Tag as it stands.
    pub tag: String,
    /// Place of the row.
    pub place: Place,
    /// Board.
    pub board: String,
    /// The load; of several motors behind one starter one of them.
    pub machine: Machine,
    /// Equal motors behind the starter for which the circuit is sized; 1 for what is no motor.
    pub motors: u32,
    /// Its start.
    pub start: Start,
    /// Its cable.
    pub route: Route,
    /// Its control.
    pub control: ControlWish,
    /// Its control scheme.
    pub scheme: Scheme,
    /// Wishes of the project.
    pub wishes: Wishes,
    /// Equipment that comes with the machine.
    pub extras: Extras,
    /// Values that were assumed for this row, in words.
    pub assumed: Vec<String>,
    /// The current leans on an assumed efficiency or power factor.
    pub current_assumed: bool,
}
