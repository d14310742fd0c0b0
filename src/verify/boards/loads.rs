//! The load of each circuit on its board, read anew from the circuit: power at rated output, current in the line, start.

use crate::design::{Board, Circuit, Design};
use crate::finding::codes;
use crate::load::{LoadKind, Method};
use crate::rules::RuleBook;
use crate::rules::physics::loading::load_figure;
use crate::rules::physics::phasor::Phasor;
use crate::verify::facts::{Facts, whole};
use crate::verify::others::Others;
use crate::verify::shelf::Shelf;

/// A circuit as its board sees it.
pub(super) struct Load<'a> {
    pub(super) facts: Facts<'a>,
    /// Motors behind its starter over those for which it is sized: what the circuit says of its currents counts so often.
    pub(super) beyond: f64,
    /// Power of one circuit at rated output, W and var.
    pub(super) power: Phasor,
    /// Line current of one circuit, A.
    pub(super) line: f64,
    power_factor: f64,
}

/// The circuits of a design as loads; none for one of which no current is known.
pub(super) struct Loads<'a> {
    pub(super) circuits: Vec<Option<Load<'a>>>,
}

impl<'a> Loads<'a> {
    pub(super) fn of(design: &'a Design, book: &'static dyn RuleBook, shelf: &'a Shelf<'a>, others: &'a Others<'a>) -> Self {
        let of = |circuit| Some(Load::of(Facts::of_load(circuit, &design.basis, book, shelf, others)?));
        Self { circuits: design.circuits.iter().map(of).collect() }
    }
}

/// It is an equipped way that nothing uses.
pub(super) fn spare(circuit: &Circuit) -> bool {
    circuit.load.running.as_deref() == Some("spare")
}

impl<'a> Load<'a> {
    fn of(facts: Facts<'a>) -> Self {
        // All that stand behind the starter draw their current, whether it is sized for them or not.
        let motors = f64::from(facts.number("motors_per_starter").map_or(1, whole).max(1));
        let beyond = motors / f64::from(facts.motors);
        let machine = &facts.machine;
        let drive = facts.start.method == Method::Drive;
        let across = if machine.phases == 3 { 3f64.sqrt() } else { 1.0 };
        let currents = &facts.circuit.currents;
        let of_one = currents.full_load_a / f64::from(facts.motors);
        let apparent = machine.apparent.map_or(across * machine.voltage.0 * of_one, |power| power.0);
        if machine.kind == LoadKind::Capacitor {
            let reactive = machine.reactive.map_or(apparent, |vars| vars.0);
            let (power, line) = (Phasor::new(0.0, -reactive * motors), currents.full_load_a * motors);
            return Self { facts, beyond, power, line, power_factor: 0.0 };
        }
        let of_load = machine.power_factor.map_or_else(|| facts.book.other_power_factor(), |known| known.value);
        let power_low = machine.power_low.filter(|_| facts.start.method.two_speeds());
        let shaft = [machine.power, power_low].into_iter().flatten().map(|power| power.0).reduce(f64::max);
        let efficiency = machine.efficiency.map(|known| known.value).filter(|_| machine.kind == LoadKind::Motor);
        let efficiency = if machine.kind == LoadKind::Motor { efficiency } else { Some(1.0) };
        let of_power = shaft.zip(efficiency).filter(|_| machine.apparent.is_none());
        let taken = of_power.map_or(apparent * of_load, |(shaft, efficiency)| shaft / efficiency);
        let (active, power_factor) =
            if drive { (taken / load_figure("drive-efficiency"), load_figure("drive-power-factor")) } else { (taken, of_load) };
        let tangent = (1.0 - power_factor * power_factor).max(0.0).sqrt() / power_factor;
        let line = facts.line_current() * beyond;
        let power = Phasor::new(active * motors, active * tangent * motors);
        Self { facts, beyond, power, line, power_factor }
    }

    pub(super) fn circuit(&self) -> &'a Circuit {
        self.facts.circuit
    }

    /// It stands on one phase or between two.
    pub(super) fn single(&self) -> bool {
        self.facts.machine.phases == 1
    }

    /// Rated voltage as one between lines.
    pub(super) fn line_voltage(&self) -> f64 {
        if self.single() && self.facts.machine.neutral { self.facts.volts() * 3f64.sqrt() } else { self.facts.volts() }
    }

    /// Apparent power of its line current on a board. A load of less voltage than the board's draws its rated current all the same.
    pub(super) fn drawn(&self, board: &Board) -> Phasor {
        let to_neutral = self.single() && self.facts.machine.neutral;
        let there = if to_neutral { board.voltage_v / 3f64.sqrt() } else { board.voltage_v };
        let across = if self.single() { 1.0 } else { 3f64.sqrt() };
        let magnitude = across * self.facts.volts().max(there) * self.line;
        if self.facts.machine.kind == LoadKind::Capacitor {
            return Phasor::new(0.0, -magnitude);
        }
        let reactive = (1.0 - self.power_factor * self.power_factor).max(0.0).sqrt();
        Phasor::new(magnitude * self.power_factor, magnitude * reactive)
    }

    /// Whether it may be no motor: it was taken for one because nothing says what it is.
    pub(super) fn may_be_no_motor(&self) -> bool {
        self.facts.told(codes::I448_KIND_UNCERTAIN.code)
    }

    /// Line current while one circuit starts, A; none where nothing starts that could be known.
    pub(super) fn start(&self) -> Option<f64> {
        self.facts.starts().then(|| (self.circuit().currents.starting_a * self.beyond).max(self.line))
    }
}
