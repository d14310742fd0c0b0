//! The rules of a book for feeders of boards: the share of a row, the current that their conductors must carry, how large their device may
//! and must be, what they are made of, and what protects a transformer before them.

use crate::load::{Known, Machine, ProtectionKind, Start};
use crate::quantity::{Amperes, Impedance, Seconds, Volts};
use crate::record::{Formula, Record};
use crate::rules::conductors::{Candidate, RunDemand};
use crate::rules::{Limit, RatedCurrents};

formula! {
    /// Current while the largest start happens.
    AT_START: "current of the feeder while the largest start happens", "A", "the start in the place of its rated current, arithmetic sum";
    "I = Id + Is − Ir"; "Id+Is-Ir"; |Id, Is, Ir| Id + Is - Ir
}
formula! {
    /// Current that the switch before a machine must break.
    SUPPLY_SWITCH: "current that the supply disconnecting device of a machine breaks", "A", "IEC 60204-1, 5.3.3: the largest motor stalled, all else running";
    "Ib = Id + Is − Ir"; "Id+Is-Ir"; |Id, Is, Ir| Id + Is - Ir
}
formula! {
    /// Capacity with spare.
    WITH_SPARE: "capacity with the spare that is wanted", "A", "spare_pct of the basis";
    "I = I0 (1 + s / 100)"; "I0*(1+s/100)"; |I0, s| I0 * (1.0 + s / 100.0)
}
formula! {
    /// Spare left.
    SPARE_LEFT: "spare capacity left", "%", "capacity over what is needed";
    "s = 100 (Iz / I − 1)"; "100*(Iz/I-1)"; |Iz, I| 100.0 * (Iz / I - 1.0)
}
formula! {
    /// Apparent power.
    DEMAND_POWER: "apparent power after demand factors", "kVA", "apparent power of a three-phase load";
    "S = √3 U I / 1000"; "SQRT(3)*U*I/1000"; |U, I| 3f64.sqrt() * U * I / 1000.0
}
formula! {
    /// Apparent power of a load on two wires.
    DEMAND_POWER_OF_ONE_PHASE: "apparent power after demand factors", "kVA", "apparent power of a single-phase load";
    "S = U I / 1000"; "U*I/1000"; |U, I| U * I / 1000.0
}
formula! {
    /// Loading of a transformer.
    LOADING: "loading of the transformer", "%", "demand over rated power";
    "p = 100 S / Sr"; "100*S/Sr"; |S, Sr| 100.0 * S / Sr
}
formula! {
    /// Rated current of a transformer's winding.
    WINDING: "rated current of the winding", "A", "apparent power of a three-phase load";
    "Ir = 1000 Sr / (√3 U)"; "1000*Sr/(SQRT(3)*U)"; |Sr, U| 1000.0 * Sr / (3f64.sqrt() * U)
}
formula! {
    /// Rated current of a winding of a single-phase transformer.
    WINDING_OF_ONE_PHASE: "rated current of the winding", "A", "apparent power of a single-phase load";
    "Ir = 1000 Sr / U"; "1000*Sr/U"; |Sr, U| 1000.0 * Sr / U
}

/// Apparent power that a current asks at a voltage, kVA.
pub fn demand_power(phases: u32, voltage: Volts, current: Amperes, record: &mut Record) -> f64 {
    record.step(if phases == 1 { &DEMAND_POWER_OF_ONE_PHASE } else { &DEMAND_POWER }, &[voltage.0, current.0])
}

/// Rated current of a winding of a transformer.
pub fn winding_current(phases: u32, rating_kva: f64, voltage: Volts, record: &mut Record) -> Amperes {
    Amperes(record.step(if phases == 1 { &WINDING_OF_ONE_PHASE } else { &WINDING }, &[rating_kva, voltage.0]))
}

/// The formulas of this file.
pub const FORMULAS: &[&Formula] = &[
    &AT_START,
    &SUPPLY_SWITCH,
    &WITH_SPARE,
    &SPARE_LEFT,
    &DEMAND_POWER,
    &DEMAND_POWER_OF_ONE_PHASE,
    &LOADING,
    &WINDING,
    &WINDING_OF_ONE_PHASE,
];

/// The share of one circuit of a row in the feeder of its board. Kept small, because there is one for every row.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct FeederTerm {
    /// Current that counts for a feeder.
    pub current: Amperes,
    /// Value that counts for conductors in its place, where the book has one: a motor that is not on continuous duty, a capacitor.
    pub duty_value: Option<Amperes>,
    /// A motor, or what counts as one.
    pub motor: bool,
    /// A load that is no motor and lasts three hours or more.
    pub continuous: bool,
    /// Equipment that is marked with its circuit ampacity: that holds the allowance for its largest motor, and its device competes
    /// with those of motors.
    pub marked: bool,
    /// Its current leads: it takes away from that of motors beside it instead of adding to it.
    pub capacitor: bool,
    /// Line current while it starts; zero for what does not.
    pub starting: Amperes,
    /// Start time.
    pub start_time: Seconds,
    /// Its share in the locked-rotor currents of a combination behind one switch, where the book adds these up.
    pub locked: Amperes,
    /// Rating of its branch device: the largest that the book permits for its kind, else the smallest that its currents admit.
    /// None for a device without a rating of its own, such as an instantaneous trip.
    pub branch: Option<Amperes>,
    /// The same if it were of the feeder's kind.
    pub as_feeder: Option<Amperes>,
}

impl FeederTerm {
    /// The same at another voltage, by the ratio of the transformers between: ratings and currents alike.
    #[must_use]
    pub fn referred(self, ratio: f64) -> Self {
        let of = |current: Option<Amperes>| current.map(|current| current * ratio);
        Self {
            current: self.current * ratio,
            duty_value: of(self.duty_value),
            starting: self.starting * ratio,
            locked: self.locked * ratio,
            branch: of(self.branch),
            as_feeder: of(self.as_feeder),
            ..self
        }
    }
}

/// The facts by which a book tells the share of a circuit.
#[derive(Clone, Copy, Debug)]
pub struct TermAsk<'a> {
    /// Load.
    pub machine: &'a Machine,
    /// Start.
    pub start: &'a Start,
    /// Rated currents.
    pub currents: &'a RatedCurrents,
    /// Line current while the load runs: of a drive its input.
    pub line: Amperes,
    /// Line current while it starts; zero for what does not.
    pub starting: Amperes,
    /// Start time.
    pub time: Seconds,
    /// Kind of branch device that is wished for.
    pub wish: Known<ProtectionKind>,
    /// Kind of the feeder's device: [`FeederRules::feeder_kind`].
    pub feeder: ProtectionKind,
}

/// A term with how many of its circuits count.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct FeederItem {
    /// The term of one circuit.
    pub term: FeederTerm,
    /// Circuits that run with the others.
    pub running: u32,
    /// Where none runs: the item, one circuit of which would rest if one of these ran. None for what never runs with the others.
    pub displaces: Option<usize>,
}

/// The current that the conductors of a feeder must carry.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct FeederNeed {
    /// Smallest capacity.
    pub capacity: Amperes,
    /// The item that entered as the largest motor, where the book counts one so.
    pub lead: Option<usize>,
    /// Clause.
    pub reference: &'static str,
}

/// Ratings that a book admits for the device of a feeder.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct FeederBounds {
    /// Smallest rating.
    pub least: Amperes,
    /// The current that a device beside motors has to carry, allowances of other loads included; nothing where `least` is it.
    pub carries: Amperes,
    /// Largest rating: a standard one; none where the book has no limit but the conductors'.
    pub most: Option<Amperes>,
    /// Largest rating by another reading of the clause, where there are two that differ; the smaller is `most`.
    pub other_reading: Option<Amperes>,
    /// The item with the largest branch device.
    pub lead: Option<usize>,
    /// The largest rating comes first, instead of the smallest.
    pub largest_first: bool,
    /// The device is rated by rules for motors and does not protect the conductors from overload by its rating.
    pub motor_feeder: bool,
    /// Why there is no largest rating though the book has a rule; empty where there is one.
    pub unknown_because: &'static str,
    /// Clause.
    pub reference: &'static str,
}

/// Impedances of a feeder from its supply to the board, all parallel conductors together, a phase.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct FeederImpedance {
    /// Cold, for the largest fault current.
    pub cold: Impedance,
    /// At running temperature, for voltages.
    pub running: Impedance,
    /// At the end of a fault, for the smallest fault current between phases.
    pub hot: Impedance,
    /// Loop of a phase and the protective conductor, cold; none where there is no protective conductor.
    pub cold_loop: Option<Impedance>,
    /// Loop of a phase and the protective conductor, at the end of a fault; none where there is no protective conductor.
    pub hot_loop: Option<Impedance>,
}

/// Protection of a transformer, in outline.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct TransformerProtection {
    /// Largest or usual rating on the primary; none where its voltage is unknown or beyond the book.
    pub primary: Option<Amperes>,
    /// The same on the secondary.
    pub secondary: Option<Amperes>,
    /// The ratings are largest ones; else usual ones.
    pub largest: bool,
    /// The side that is not worked out, and where to turn; none where both are.
    pub not_worked_out: Option<(&'static str, &'static str)>,
    /// Clause, or where the figures come from.
    pub reference: &'static str,
}

/// A winding of a transformer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Winding {
    /// Voltage between lines.
    pub voltage: Volts,
    /// Rated current.
    pub rated: Amperes,
}

/// A device as far as discrimination goes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Discriminated<'a> {
    /// Kind, in its canonical word.
    pub kind: &'a str,
    /// Rated current, or the setting of its overload release.
    pub rating: Amperes,
    /// Lower and upper limit of its instantaneous trip.
    pub magnetic: Option<(Amperes, Amperes)>,
}

/// Up to where only the device nearer to the fault opens.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Discrimination {
    /// At every fault current that occurs.
    Total,
    /// Up to this fault current.
    Partial(Amperes),
    /// Not even on overload.
    None,
    /// Nothing is published for the pair: the makers' tables decide.
    Unknown,
}

/// A book's rules for feeders.
pub trait FeederRules: Sync {
    /// Kind of a feeder's device, from the wish of the basis for circuits.
    fn feeder_kind(&self, wish: Option<ProtectionKind>) -> ProtectionKind;
    /// The share of one circuit.
    fn feeder_term(&self, ask: &TermAsk<'_>) -> FeederTerm;
    /// The share of a term that is not the leading one in the capacity of the conductors.
    fn feeder_value(&self, term: &FeederTerm) -> Amperes;
    /// The current that conductors must carry. `demand` is the current after demand factors.
    fn feeder_need(&self, items: &[FeederItem], demand: Amperes, record: &mut Record) -> FeederNeed;
    /// Ratings of the device.
    fn feeder_bounds(&self, kind: ProtectionKind, items: &[FeederItem], need: Amperes, record: &mut Record) -> FeederBounds;
    /// Bounds of a device that goes by the conductors instead, where [`FeederRules::feeder_bounds`] admits none that carries the load;
    /// none if the book has no such way.
    fn feeder_by_conductors(&self, need: Amperes) -> Option<FeederBounds>;
    /// Standard or preferred ratings of a kind, ascending.
    fn feeder_ratings(&self, kind: ProtectionKind) -> Vec<Amperes>;
    /// A fuse against the start of the largest motor while the rest runs; none where that follows from its bounds.
    fn feeder_at_start(&self, kind: ProtectionKind, rating: Amperes, start: Amperes, time: Seconds) -> Option<Limit>;
    /// Limit of the device by the bars of the board, with its clause.
    fn bus_limit(&self, rating: Amperes, bus: Amperes) -> Limit;
    /// Largest voltage drop along all feeders before a board, per cent, with where it comes from.
    fn feeder_drop_pct(&self) -> (f64, &'static str);
    /// Largest voltage drop of a circuit while running, per cent, and what of the drop before its board counts in it; from the limits of
    /// circuit and feeders and the drop before the board where it is known. Here one limit holds from the origin to the load.
    fn circuit_drop(&self, circuit_pct: f64, _feeder_pct: f64, before_pct: Option<f64>) -> (f64, Option<f64>) {
        (circuit_pct, before_pct)
    }
    /// A word for an insulation that the book knows.
    fn is_insulation(&self, word: &str) -> bool;
    /// Impedances of a candidate over the length of a demand; none without a length or where a table lacks the size.
    fn feeder_impedance(&self, demand: &RunDemand, candidate: Candidate) -> Option<FeederImpedance>;
    /// Protection of a transformer from the voltages and rated currents of its windings; none is known of a primary whose voltage is
    /// unknown.
    fn transformer_protection(
        &self,
        primary: Option<Winding>,
        secondary: Winding,
        kind: ProtectionKind,
        record: &mut Record,
    ) -> TransformerProtection;
    /// The book knows the panels of machines, whose supply disconnecting device breaks the current of a stalled motor.
    fn knows_machines(&self) -> bool {
        false
    }
    /// The demand of drives on the protective conductor of the feeder before them, with the clause; none where the book does not go by it.
    fn leakage_of_drives(&self) -> Option<(String, &'static str)>;
    /// The sentence about conductors between a transformer and the first device behind it, with its clause.
    fn secondary_conductors(&self) -> [&'static str; 2];
    /// Discrimination between a device and one behind it, for the largest fault current at the latter. The clause with it.
    fn discriminates(
        &self,
        before: &Discriminated<'_>,
        behind: &Discriminated<'_>,
        fault: Option<Amperes>,
    ) -> (Discrimination, &'static str);
}

#[cfg(test)]
mod tests {
    use super::*;

    /// √3 U I is the same on both sides of a transformer: 100 A at 400 V are 100 · 400 / 20 000 = 2 A at 20 kV.
    #[test]
    fn every_current_of_a_term_is_brought_to_the_other_voltage() {
        let term = FeederTerm {
            current: Amperes(100.0),
            duty_value: Some(Amperes(150.0)),
            starting: Amperes(700.0),
            start_time: Seconds(5.0),
            branch: Some(Amperes(160.0)),
            as_feeder: Some(Amperes(250.0)),
            motor: true,
            ..FeederTerm::default()
        };
        let other = term.referred(400.0 / 20_000.0);
        let near = |current: Option<Amperes>, amperes: f64| current.is_some_and(|current| (current.0 - amperes).abs() < 1e-9);
        assert!(near(Some(other.current), 2.0) && near(other.duty_value, 3.0) && near(Some(other.starting), 14.0));
        assert!(near(other.branch, 3.2) && near(other.as_feeder, 5.0));
        assert!(other.motor && (other.start_time.0 - 5.0).abs() < 1e-12);
    }
}
