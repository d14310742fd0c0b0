//! The demand on a control supply: the line that feeds it and what each circuit draws.

use crate::basis::Basis;
use crate::conductors;
use crate::design::Circuit;
use crate::load::wires::System;
use crate::load::{Case, ControlVoltage};
use crate::quantity::{Amperes, VoltAmperes};
use crate::record::Record;
use crate::rules::RuleBook;
use crate::rules::physics::control::{self, Burden, Event};
use crate::rules::physics::high_leg::has_high_leg;
use crate::supply::SupplyPoint;

/// The line that feeds control supplies.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// Voltage between lines.
    pub volts: f64,
    /// Voltage to the neutral, where there is one.
    pub to_neutral: Option<f64>,
    /// It has one phase: its two conductors may be two lines, or line and neutral.
    pub one_phase: bool,
    /// They are line and neutral.
    pub pair_to_neutral: bool,
    /// Largest fault current.
    pub fault_max: Option<Amperes>,
}

impl Line {
    /// The line of a board. A neutral that nobody states is not there.
    #[must_use]
    pub fn of(basis: &Basis, board: &str, point: &SupplyPoint, book: &dyn RuleBook) -> Self {
        let one_phase = conductors::phases_of_board(basis, board) == 1;
        let system = point.system.as_deref().map(System::read).unwrap_or_default();
        let pair_to_neutral = one_phase && conductors::pair_is_to_neutral(basis, board, book);
        let refused = point.system.as_deref().is_some_and(|system| book.without_neutral(system).is_some());
        let high_leg = !one_phase && point.system.as_deref().is_some_and(has_high_leg);
        let to_neutral = match (one_phase, pair_to_neutral) {
            (true, true) => Some(point.voltage.0),
            (true, false) => system.three_wires.then(|| point.voltage.0 / 2.0),
            // The neutral is the middle of one winding: the two lines beside the high leg have half of the voltage to it.
            (false, _) if high_leg => (!refused).then(|| point.voltage.0 / 2.0),
            (false, _) => (system.neutral && !refused).then(|| point.voltage.0 / 3f64.sqrt()),
        };
        Self { volts: point.voltage.0, to_neutral, one_phase, pair_to_neutral, fault_max: point.fault_max }
    }

    /// The line that a starter has. One to neutral has this line and the neutral alone, whatever others lie on its board: what feeds its
    /// coils is tapped behind its own device.
    #[must_use]
    pub fn of_starter(self, case: &Case) -> Self {
        if case.machine.phases != 1 || !case.machine.neutral || self.pair_to_neutral {
            return self;
        }
        let volts = self.to_neutral.unwrap_or(case.machine.voltage.0);
        Self { volts, to_neutral: Some(volts), one_phase: true, pair_to_neutral: true, ..self }
    }

    /// Conductors of its whole voltage that are not earthed.
    pub(super) fn unearthed(&self) -> u32 {
        if self.pair_to_neutral { 1 } else { 2 }
    }

    /// Voltages that it offers with the conductors that are not earthed.
    pub(super) fn offers(&self) -> impl Iterator<Item = (f64, u32)> {
        let part = self.to_neutral.filter(|_| !self.pair_to_neutral);
        [Some((self.volts, self.unearthed())), part.map(|volts| (volts, 1))].into_iter().flatten()
    }
}

/// The demand of one circuit on the supply.
#[derive(Clone, Debug, PartialEq)]
pub struct Served {
    /// Its tag.
    pub tag: String,
    /// How many there are of it.
    pub quantity: f64,
    /// Burden of the coils that hold.
    pub hold: Burden,
    /// Its worst moment.
    pub event: Burden,
    /// Drop of its control runs, per cent of the coil voltage.
    pub run_pct: f64,
    /// Lowest voltage at which its coils surely pick up, per cent.
    pub lowest_pct: f64,
    /// Highest voltage that its coils stand, per cent.
    pub highest_pct: f64,
    /// Its coils pick up by themselves when the supply comes back.
    pub maintained: bool,
}

impl Served {
    /// The demand of a circuit; none if it has no coil that draws anything.
    #[must_use]
    pub fn of(circuit: &Circuit) -> Option<Self> {
        let control = circuit.control.as_ref().filter(|control| control.pick_up_va > 0.0)?;
        Some(Self {
            tag: circuit.tag.clone(),
            quantity: f64::from(circuit.quantity.max(1)),
            hold: Burden::of(VoltAmperes(control.hold_va), control.hold_power_factor),
            event: Burden::of(VoltAmperes(control.pick_up_va), control.pick_up_power_factor),
            run_pct: control.run.as_ref().map_or(0.0, |run| run.drop_before_coil(control.interposing_relay)),
            lowest_pct: control.lowest_pct,
            highest_pct: control.highest_pct,
            maintained: control.maintained,
        })
    }
}

/// The demand on a control supply.
#[derive(Clone, Debug)]
pub struct Demand {
    /// Coil voltage.
    pub voltage: ControlVoltage,
    /// The line.
    pub line: Line,
    /// Circuits.
    pub served: Vec<Served>,
    /// It stands at the one starter that it serves.
    pub at_controller: bool,
    /// Rating of the protective device of the power circuit from which it is tapped; none if it is not.
    pub tap: Option<f64>,
    /// Its conductors leave the enclosure.
    pub leaves: bool,
}

/// Who asks for a supply, with what they draw together.
#[derive(Clone, Debug)]
pub(super) struct Asked<'d> {
    pub(super) demand: &'d Demand,
    pub(super) hold: Burden,
}

impl<'d> Asked<'d> {
    pub(super) fn of(demand: &'d Demand) -> Self {
        Self { demand, hold: demand.served.iter().map(|served| served.hold.times(served.quantity)).sum() }
    }

    pub(super) fn starters(&self) -> f64 {
        self.demand.served.iter().map(|served| served.quantity).sum()
    }

    /// Current of the coils that hold.
    pub(super) fn hold_current(&self) -> Amperes {
        Amperes(self.hold.magnitude().0 / self.demand.voltage.volts)
    }

    /// The worst moment of one circuit while all others hold.
    pub(super) fn event_of(&self, one: &Served, record: &mut Record) -> Event {
        control::event(record, self.hold + one.hold.times(-1.0), one.event)
    }

    /// The circuit whose worst moment is the worst of all.
    pub(super) fn worst(&self) -> Option<&'d Served> {
        let power = |served: &&Served| self.event_of(served, &mut Record::silent()).power().0;
        // The first of equals, so that the order of the schedule decides.
        self.demand.served.iter().rev().max_by(|a, b| power(a).total_cmp(&power(b)))
    }

    /// Power when all maintained contacts pick up together.
    pub(super) fn at_return(&self) -> (f64, Event) {
        let maintained = || self.demand.served.iter().filter(|served| served.maintained);
        let event = maintained().map(|served| served.event.times(served.quantity)).sum();
        (maintained().map(|served| served.quantity).sum(), control::event(&mut Record::silent(), Burden::default(), event))
    }
}
