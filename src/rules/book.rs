//! The answers of a rule book: demands and lists, never devices.

use crate::finding::Finding;
use crate::load::{ControlVoltage, Field, Known, Load, Machine, ProtectionKind, Start};
use crate::quantity::{Amperes, Impedance, Metres, Seconds, Volts, Watts};
use crate::record::{Naming, Record};
use crate::rules::cautions::CautionRow;
use crate::rules::demands::{
    ClassDemand, ContactorDemand, ContactorOffer, DeviceAsk, DisconnectAsk, DisconnectDemand, Duty, FuseStart,
    IncreasedSafetyAsk, LifeCurve, Limit, LockedRotor, OverloadAsk, ProtectionAsk, ProtectionBounds, RatedCurrents, RatedPart,
    Sight, SocketOutlets, StarterRating, SwitchingDemand,
};
use crate::rules::physics::{contactors, drop, magnetic, tripping};
use crate::rules::services::NotCovered;
use crate::rules::table::Document;

/// Points that `sizing` itself cites, each with the clause of the book.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Topic {
    /// Terminal markings and leads of motors.
    TerminalMarkings,
    /// A restart by itself.
    AutomaticReset,
    /// Breaking capacity.
    BreakingCapacity,
    /// Protective devices high above the sea.
    ThinAir,
    /// Motors that are switched off at their starting current.
    Inching,
    /// Trip classes.
    TripClass,
    /// Loss of a phase.
    PhaseLoss,
    /// Co-ordination with the protective device.
    Coordination,
    /// Ratings of soft starters.
    SoftStarter,
    /// Motors for which soft starters are made.
    ThreePhaseSoftStarter,
    /// Outputs of drives.
    Drive,
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
    /// A device behind a supply that limits its own current.
    LimitedSupply,
    /// The device before a drive follows its rated input.
    InputOfDrive,
    /// Setting of an overload relay.
    OverloadSetting,
    /// Overload protection that is left out where stopping is the greater danger.
    OverloadLeftOut,
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
    /// Main circuits of direct current.
    DirectCurrent,
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
    /// Its title in words.
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
    /// The point to confirm for a motor whose winding must run in delta at a voltage.
    fn delta_winding_cure(&self, line: Volts) -> String;
    /// Family of controllers where the basis names none.
    fn controller_family(&self) -> &'static str;

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
    /// Why a system, by its words, has no neutral for loads, with the clause; none where it may have one.
    fn without_neutral(&self, system: &str) -> Option<(&'static str, &'static str)> {
        let _ = system;
        None
    }
    /// Control voltage where nobody states one.
    fn control_voltage(&self) -> ControlVoltage;
    /// Voltage to which a capacitor must have come down after switching off, and in which time; with the clause.
    fn capacitor_discharge(&self) -> (Volts, Seconds, &'static str);
    /// Kind of protective device where nobody wishes one.
    fn protection_kind(&self) -> ProtectionKind;
    /// Efficiency where the row gives none, 0 to 1, of the class or motor that [`Self::efficiency_of`] names.
    fn efficiency(&self, machine: &Machine, power: Watts) -> Option<f64>;
    /// The class or motor whose efficiency that is.
    fn efficiency_of(&self, machine: &Machine, power: Watts) -> &'static str;
    /// Typical power factor.
    fn power_factor(&self, machine: &Machine, power: Watts) -> Option<f64>;
    /// Power factor of a load that is neither motor nor heater.
    fn other_power_factor(&self) -> f64;
    /// Locked-rotor current where the row states none; its origin says whether a marking or a table of the book gives it.
    fn locked_rotor(&self, machine: &Machine) -> LockedRotor;
    /// What contactors are chosen for where a motor states neither its class nor its locked-rotor ratio; none where they don't depend on
    /// it.
    fn unknown_class(&self) -> Option<&'static str> {
        None
    }
    /// Power factor at locked rotor where nothing is known.
    fn starting_power_factor(&self, power: Option<Watts>) -> f64;

    /// Rated currents; none if nothing gives one. `wish` is `nameplate`, `table` or `larger`; findings point at the row's cells.
    fn currents(&self, machine: &Machine, start: &Start, wish: &str, load: &Load, record: &mut Record) -> Option<RatedCurrents>;

    /// The switching demand on a contactor of that duty. `share` is the part of the motor's current that it carries.
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
    /// Keeps the working of the limit that a start sets, where the book has one.
    fn keep_start_through(&self, _demand: &ContactorDemand, _offer: &ContactorOffer, _record: &mut Record) {}
    /// The offer of a contactor of which only the rated current is stated: what that current proves for a duty, and the most that it may
    /// offer.
    fn offers_of_rating(&self, rated: Amperes, demand: &ContactorDemand) -> [ContactorOffer; 2];
    /// The offer of a starter of a NEMA size; none if the book has no such size for the machine.
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
    fn increased_safety(&self, ask: &IncreasedSafetyAsk<'_>, record: &mut Record) -> ClassDemand;
    /// Factor on device currents for slow classes.
    fn class_factor(&self, class: &str) -> f64;

    /// The highest setting of the dial of a relay or release.
    fn overload_setting(&self, ask: &OverloadAsk<'_>, record: &mut Record) -> Amperes;
    /// Limit of a setting's ultimate trip; none where the setting itself is the limit.
    fn overload_limits(&self, ask: &OverloadAsk<'_>, setting: Amperes) -> Vec<Limit>;
    /// Current over the setting that a relay carries without ever tripping, with its clause.
    fn carried_over_setting(&self) -> (f64, &'static str);
    /// Current over the setting at which no relay may trip, and the share of the motor's current, as it is marked, that it must carry so;
    /// with the clause. None where the setting is never below the motor's current.
    fn surely_carried_over_setting(&self) -> Option<(f64, f64, &'static str)> {
        None
    }
    /// Currents of motors are those of tables or nameplates: efficiency and power factor enter none, but heat and voltage drop.
    fn currents_by_tables(&self) -> bool {
        false
    }
    /// Every phase must be seen by the relay.
    fn wants_phase_loss(&self, phases: u32) -> bool;

    /// Kinds of protective devices to be tried, the wanted one first.
    fn protection_kinds(&self, wish: Known<ProtectionKind>, machine: &Machine, start: &Start) -> Vec<ProtectionKind>;
    /// Ratings that the book admits for a kind; none if it has no such device, or none that holds the start.
    fn protection_bounds(&self, kind: ProtectionKind, ask: &ProtectionAsk<'_>, record: &mut Record) -> Option<ProtectionBounds>;
    /// Does a fuse of the rating hold the start? None where that follows from its bounds, and for other devices.
    fn fuse_at_start(
        &self,
        kind: ProtectionKind,
        rating: Amperes,
        ask: &ProtectionAsk<'_>,
        record: &mut Record,
    ) -> Option<FuseStart>;
    /// The current that a load draws for some cycles when it is switched on, by a usual multiple of its current; none where nothing is
    /// known.
    fn switching_inrush(&self, _machine: &Machine, _line: Amperes, _record: &mut Record) -> Option<Amperes> {
        None
    }
    /// Fuse-links of one device.
    fn fuses_of(&self, machine: &Machine) -> u32;
    /// Poles of a circuit-breaker of fixed rating: one for each conductor that it opens.
    fn breaker_poles(&self, machine: &Machine) -> u32;
    /// Conductors of a circuit that its controllers and overload relays open.
    fn switched_conductors(&self, machine: &Machine) -> u32;
    /// The clause by which every circuit is isolated in its neutral too, in a system of this earthing; none where the neutral may stay
    /// joined. An earthing that nobody states is none on which that may rest.
    fn isolates_neutral(&self, _earthing: Option<&str>) -> Option<&'static str> {
        None
    }
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
    fn disconnect(
        &self,
        machine: &Machine,
        currents: &RatedCurrents,
        ask: DisconnectAsk,
        record: &mut Record,
    ) -> DisconnectDemand;
    /// From where the disconnecting means of a load must be seen; none if the book asks for no such thing.
    fn in_sight(&self, machine: &Machine) -> Option<Sight> {
        let _ = machine;
        None
    }
    /// Additional protection that socket outlets ask for; none if the book knows no such thing.
    fn socket_outlets(&self) -> Option<SocketOutlets> {
        None
    }
    /// Findings about the rating of a chosen device that asks for more than the program chooses.
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
    /// The same of a breaker of one pole, whose circuit lies between a line and the neutral.
    fn voltage_to_neutral_suits(&self, marked: &str, system: Option<&str>, voltage: Volts) -> (Option<bool>, &'static str) {
        self.voltage_suits(marked, system, voltage)
    }
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
    /// Current on which a device of control circuits opens for certain, in its conventional time: a `fuse` or a `breaker`.
    fn control_device_opens(&self, kind: &str, rating: Amperes) -> Amperes;
    /// Conventional tripping current over rating or setting: of a line breaker's curve, else of an industrial circuit-breaker.
    fn conventional_trip(&self, curve: Option<&str>) -> f64;
}
