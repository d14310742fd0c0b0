//! The demand of each row on its board: current as a phasor, whether it runs with the others, how it starts, and how the rule
//! book counts it on a feeder. Kept small, because there is one for every row.
//!
//! A row that can't be sized is still a load: what it states counts, and a finding names what can't be counted.

use crate::finding::{Finding, Place, codes};
use crate::load::{Case, Field, Known, Load, LoadKind, Machine, Method, Origin, ProtectionKind, SAY_WHAT_IT_DRAWS, Start};
use crate::quantity::{Amperes, Vars, Volts, Watts};
use crate::record::Record;
use crate::rules::feeders::{FeederTerm, TermAsk};
use crate::rules::physics::loading::load_figure;
use crate::rules::physics::phasor::Phasor;
use crate::rules::{RatedCurrents, RuleBook};
use crate::sizing::arrangement::{Arrangement, Device};
use crate::sizing::assembly::devices;
use crate::sizing::{Tools, circuits_of, motors_behind, resolve};

#[cfg(test)]
mod tests;

/// When a load runs.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Running {
    /// With the others.
    #[default]
    Duty,
    /// In place of another.
    Standby,
    /// In addition, when more is needed.
    Assist,
    /// An equipped spare way.
    Spare,
}

/// A start as the board sees it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Starting {
    /// Line current at the rated voltage.
    pub current: Amperes,
    /// Power factor meanwhile.
    pub power_factor: f64,
}

/// A row at its board.
#[derive(Clone, Debug, PartialEq)]
pub struct Connected {
    /// Tag.
    pub tag: String,
    /// Its machines, where the row names several.
    pub tags: Vec<String>,
    /// Row of the schedule.
    pub place: Place,
    /// Place of its board in the tree.
    pub node: usize,
    /// Its place among the rows.
    pub row: usize,
    /// Kind of load.
    pub kind: LoadKind,
    /// Equal circuits of the row.
    pub number: u32,
    /// When it runs.
    pub running: Running,
    /// Group of which only some run, with their number.
    pub group: Option<String>,
    /// How many of the group, or of the row's own circuits, run at most.
    pub duty_count: Option<u32>,
    /// How many stand by.
    pub standby_count: Option<u32>,
    /// Rows with which it never runs together, by tag.
    pub interlock_with: Vec<String>,
    /// Demand factor of the row.
    pub demand_factor: Option<f64>,
    /// Runs for hours; else intermittent.
    pub continuous: bool,
    /// Phases: 1 or 3.
    pub phases: u32,
    /// Single phase between line and neutral.
    pub neutral: bool,
    /// A neutral comes to it, with one phase or with three, or to its space heater or brake.
    pub with_neutral: bool,
    /// The line feeds its coils, from the neutral.
    pub coils_to_neutral: bool,
    /// Phases to which it is tied, as the row writes them.
    pub phase: Option<String>,
    /// Rated voltage.
    pub voltage: Volts,
    /// Line current of one circuit at rated output.
    pub current: Amperes,
    /// Its power factor, lagging; zero for a capacitor.
    pub power_factor: f64,
    /// The power factor is a table's or one of practice, not the row's.
    pub power_factor_assumed: bool,
    /// Electrical input of one circuit at rated output.
    pub input: Watts,
    /// Reactive power of the same; negative for a capacitor.
    pub reactive: Vars,
    /// The row can't be sized as it stands.
    pub unsized_row: bool,
    /// A drive or other rectifier: its current is not sinusoidal.
    pub nonlinear: bool,
    /// A motor that is connected to the line while it runs: locked-rotor over rated current, and its rated current. It feeds a fault.
    pub feeds_fault: Option<(f64, Amperes)>,
    /// How it starts; none for what does not.
    pub starting: Option<Starting>,
    /// Taken for a motor, though nothing says what it is: its start is no measure of its board.
    pub kind_in_doubt: bool,
    /// How the rule book counts it on a feeder; none where it can't.
    pub term: Option<FeederTerm>,
}

/// Adds a row to its board from what was resolved; a row that can't be sized, from what it states. `feeder` is the kind of device before
/// boards. None, with a finding, if the row gives neither power nor current.
#[must_use]
pub fn of(
    load: &Load,
    resolved: Option<(&Case, &RatedCurrents)>,
    (row, node): (usize, usize),
    tools: &Tools<'_>,
    feeder: ProtectionKind,
    record: &mut Record,
) -> Option<Connected> {
    let book = tools.book;
    let stated = resolved.is_none().then(|| resolve::load_only(load, tools.basis, book)).flatten();
    let (machine, start) = match (resolved, &stated) {
        (Some((case, _)), _) => (&case.machine, &case.start),
        (None, Some((machine, start))) => (machine, start),
        (None, None) => return not_counted(load, false, record),
    };
    let Some(currents) = currents_of(load, resolved, machine, start, tools) else { return not_counted(load, true, record) };
    let drive = start.method == Method::Drive;
    // `power` is that of one motor; line, start and device are those of the group for which the starter is sized. Where it is sized for one
    // alone, all motors behind it draw their current all the same.
    let motors = f64::from(motors_behind(load));
    let sized_for = resolved.map_or(1, |(case, _)| case.motors);
    let beyond = motors / f64::from(sized_for);
    let power = Power::of(machine, &currents, start.method, book);
    let of_one = currents.of_larger_speed();
    let currents = currents.of_several(sized_for, &mut Record::silent());
    let line = line_current(resolved.map(|(case, _)| case), start, machine, &currents, tools);
    let starting = starting(machine, start, &currents, line).map(|start| Starting { current: start.current * beyond, ..start });
    let wish = resolved.map_or(Known::new(book.protection_kind(), Origin::Default), |(case, _)| case.wishes.protection);
    let term = TermAsk {
        machine,
        start,
        currents: &currents,
        line,
        starting: starting.map_or(Amperes(0.0), |start| start.current * (1.0 / beyond)),
        time: start.time.value,
        wish,
        feeder,
    };
    let term = term_of_all(book.feeder_term(&term), beyond);
    let tags = load.tags();
    Some(Connected {
        tag: load.tag(),
        tags: if tags.len() > 1 { tags } else { Vec::new() },
        place: load.place(),
        node,
        row,
        kind: machine.kind,
        number: circuits_of(load),
        running: running(load),
        group: load.text(Field::DutyGroup).map(|name| name.trim().to_owned()).filter(|name| !name.is_empty()),
        duty_count: load.count(Field::DutyCount),
        standby_count: load.count(Field::StandbyCount),
        interlock_with: load.interlock_partners().map(str::to_owned).collect(),
        demand_factor: load.number(Field::DemandFactor),
        continuous: start.duty == 1,
        phases: machine.phases,
        neutral: machine.phases == 1 && machine.neutral,
        with_neutral: machine.neutral,
        coils_to_neutral: false,
        phase: load.text(Field::Phase).filter(|_| machine.phases == 1).map(|text| text.trim().to_owned()),
        voltage: machine.voltage,
        current: line * beyond,
        power_factor: power.factor,
        power_factor_assumed: power.assumed,
        input: power.input * motors,
        reactive: power.reactive * motors,
        unsized_row: resolved.is_none(),
        nonlinear: drive,
        feeds_fault: feeds_fault(machine, start).map(|ratio| (ratio, of_one * motors)),
        starting,
        kind_in_doubt: load.kind_in_doubt,
        term: Some(term),
    })
}

/// Rated currents of one motor: as resolved, else from what the row states.
fn currents_of(
    load: &Load,
    resolved: Option<(&Case, &RatedCurrents)>,
    machine: &Machine,
    start: &Start,
    tools: &Tools<'_>,
) -> Option<RatedCurrents> {
    let wish = || tools.basis.design.current_source.as_deref().unwrap_or("nameplate");
    let of_row = || tools.book.currents(machine, start, wish(), load, &mut Record::silent());
    let mut currents = resolved.map(|(_, currents)| currents.clone()).or_else(of_row)?;
    // A low-speed current stated for a motor of one speed is a slip of the pen; no such current flows in its circuit.
    currents.low = currents.low.filter(|_| start.method.two_speeds());
    Some(currents)
}

/// The term with the currents of every motor behind the starter; its device stays the one that the starter is sized with.
fn term_of_all(of_starter: FeederTerm, beyond: f64) -> FeederTerm {
    FeederTerm {
        current: of_starter.current * beyond,
        duty_value: of_starter.duty_value.map(|duty_value| duty_value * beyond),
        starting: of_starter.starting * beyond,
        locked: of_starter.locked * beyond,
        ..of_starter
    }
}

fn not_counted(load: &Load, voltage_known: bool, record: &mut Record) -> Option<Connected> {
    let said = SAY_WHAT_IT_DRAWS.iter().chain([&Field::DriveInputCurrentA]).any(|field| load.number(*field).is_some());
    let (what, cure) = match (voltage_known, said) {
        (false, true) => ("its voltage is not known", "enter the voltage"),
        (true, true) => ("its current can't be told from what its row states", "enter the nameplate current"),
        (_, false) => {
            ("neither its power nor its current is known", "enter the nameplate current or the rated power, and the voltage")
        }
    };
    record.find(
        Finding::new(&codes::B201_NOT_COUNTED, format!("{}: {what}: it is missing in every sum of its board", load.tag()))
            .at(load.place())
            .why("feeder, transformer and voltage drop come out too small by this load")
            .cure(cure),
    );
    None
}

fn running(load: &Load) -> Running {
    match load.text(Field::Running) {
        Some("standby") => Running::Standby,
        Some("assist") => Running::Assist,
        Some("spare") => Running::Spare,
        _ => Running::Duty,
    }
}

/// Line current of the circuit on its supply side; for a drive its input current.
fn line_current(case: Option<&Case>, start: &Start, machine: &Machine, currents: &RatedCurrents, tools: &Tools<'_>) -> Amperes {
    let arrangement = Arrangement::of(start.method);
    if let Some(case) = case {
        // The catalogue's drive says what it draws; other devices change nothing in the line.
        let drive = arrangement.device == Some(Device::Drive) && start.drive_input.is_none();
        let chosen = if drive { devices::choose(case, currents, arrangement, tools, &mut Record::silent()) } else { Vec::new() };
        return if machine.kind == LoadKind::Capacitor {
            currents.full_load
        } else {
            devices::line_current(case, currents, arrangement, &chosen)
        };
    }
    match start.drive_input.filter(|_| arrangement.device == Some(Device::Drive)) {
        Some(input) => input,
        None => currents.full_load.max(currents.low.unwrap_or_default()),
    }
}

/// Power of a machine at rated output, as the line sees it.
struct Power {
    input: Watts,
    reactive: Vars,
    factor: f64,
    assumed: bool,
}

impl Power {
    fn of(machine: &Machine, currents: &RatedCurrents, method: Method, book: &dyn RuleBook) -> Self {
        let drive = method == Method::Drive;
        let across = if machine.phases == 3 { 3f64.sqrt() } else { 1.0 };
        let apparent = machine.apparent.map_or(across * machine.voltage.0 * currents.full_load.0, |power| power.0);
        if machine.kind == LoadKind::Capacitor {
            let reactive = machine.reactive.map_or(apparent, |vars| vars.0);
            return Self { input: Watts(0.0), reactive: Vars(-reactive), factor: 0.0, assumed: false };
        }
        let of_machine = machine.power_factor.map_or_else(|| book.other_power_factor(), |known| known.value);
        let assumed = machine.power_factor.is_none_or(|known| known.origin != Origin::Cell) && machine.kind != LoadKind::Heater;
        let power_low = machine.power_low.filter(|_| method.two_speeds());
        let shaft = machine.power.into_iter().chain(power_low).reduce(Watts::max);
        let efficiency = if machine.kind == LoadKind::Motor { machine.efficiency.map(|known| known.value) } else { Some(1.0) };
        let input = match (shaft, efficiency) {
            (Some(power), Some(efficiency)) if machine.apparent.is_none() => power.0 / efficiency,
            _ => apparent * of_machine,
        };
        // The rectifier's own power factor stands in the place of the motor's, and its losses are added.
        let (input, factor) = if drive {
            (input / load_figure("drive-efficiency"), load_figure("drive-power-factor"))
        } else {
            (input, of_machine)
        };
        let reactive = Phasor::lagging(input / factor, factor).im;
        Self { input: Watts(input), reactive: Vars(reactive), factor, assumed: assumed || drive }
    }
}

/// Locked-rotor over rated current of a three-phase motor on the line. A motor whose starter is supplied by others is taken as one, and one
/// that may run over the bypass of its drive: the largest fault current must not come out too small.
fn feeds_fault(machine: &Machine, start: &Start) -> Option<f64> {
    (machine.kind == LoadKind::Motor && machine.phases == 3 && !start.by_drive_alone()).then_some(start.ratio.value)
}

/// The start as the line sees it. A drive alone keeps the line near its rated current; nothing is known of a starter by others.
fn starting(machine: &Machine, start: &Start, currents: &RatedCurrents, line: Amperes) -> Option<Starting> {
    if !start.starts_on_line(machine.kind) {
        return None;
    }
    let current = currents.of_larger_speed() * Arrangement::of(start.method).line_start(start);
    Some(Starting { current: current.max(line), power_factor: start.power_factor.value })
}

impl Connected {
    /// Active and reactive power of one circuit, W and var.
    #[must_use]
    pub fn power(&self) -> Phasor {
        Phasor::new(self.input.0, self.reactive.0)
    }

    /// Power of a line current at a voltage between lines; with one phase at the voltage that drives it.
    #[must_use]
    pub fn apparent(&self, voltage: Volts, current: Amperes, power_factor: f64) -> Phasor {
        let across = if self.phases == 3 { 3f64.sqrt() } else { 1.0 };
        Phasor::lagging(across * voltage.0 * current.0, power_factor)
    }

    /// Its line current as a power at a voltage.
    #[must_use]
    pub fn drawn(&self, voltage: Volts) -> Phasor {
        let phasor = self.apparent(voltage, self.current, self.power_factor);
        if self.kind == LoadKind::Capacitor { phasor.conjugate() } else { phasor }
    }

    /// Rated voltage as one between lines.
    #[must_use]
    pub fn line_voltage(&self) -> Volts {
        if self.neutral { self.voltage * 3f64.sqrt() } else { self.voltage }
    }

    /// It is there, and may run at some time.
    #[must_use]
    pub fn may_run(&self) -> bool {
        self.running != Running::Spare
    }

    /// A start of which nobody knows how it comes about.
    #[must_use]
    pub fn start_unknown(&self) -> bool {
        self.kind == LoadKind::Motor && self.starting.is_none() && !self.nonlinear
    }
}
