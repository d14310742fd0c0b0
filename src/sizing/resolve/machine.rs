//! The machine of a row: powers, voltage, nameplate; efficiency and power factor from the book's tables where the row gives none.

use super::board;
use crate::basis::Basis;
use crate::conductors;
use crate::finding::{Finding, Severity, codes};
use crate::intake::powers;
use crate::load::wires::{System, connection_has_neutral, is_it};
use crate::load::{EfficiencyClass, Field, Known, Load, LoadKind, Machine, Method, Origin};
use crate::quantity::{Amperes, Vars, VoltAmperes, Volts, Watts, round_to};
use crate::record::Record;
use crate::rules::RuleBook;
use crate::rules::physics::loading::load_figure;
use crate::rules::physics::nominal::{is_same_voltage, voltage_limit};

pub(super) fn kind(load: &Load) -> LoadKind {
    match load.text(Field::LoadKind) {
        Some("heater") => LoadKind::Heater,
        Some("transformer") => LoadKind::Transformer,
        Some("capacitor") => LoadKind::Capacitor,
        Some("packaged") => LoadKind::Packaged,
        Some("lighting") => LoadKind::Lighting,
        Some("other") => LoadKind::Other,
        _ => LoadKind::Motor,
    }
}

pub(super) fn read(
    load: &Load,
    kind: LoadKind,
    basis: &Basis,
    book: &dyn RuleBook,
    assumed: &mut Vec<String>,
    record: &mut Record,
) -> Option<Machine> {
    let Some(voltage) = stated_voltage(load, basis) else {
        record.find(
            Finding::new(&codes::L304_NO_VOLTAGE, "the voltage is missing; the row cannot be sized")
                .at(load.place())
                .cure("give voltage_v in the row, or supply.voltage_v in the basis"),
        );
        return None;
    };
    if voltage.0 > 1000.0 {
        record.find(
            Finding::new(&codes::L305_ABOVE_1_KV, format!("{} V is above 1 kV and not covered", voltage.0))
                .at(load.place_of(Field::VoltageV))
                .cure(book.above_limit().0)
                .reference(book.above_limit().1),
        );
        return None;
    }
    let slip_ring = load.text(Field::StartingMethod).and_then(Method::from_word) == Some(Method::RotorResistance);
    if let Some(rotor) = load.number(Field::RotorVoltageV).filter(|rotor| slip_ring && *rotor > 1000.0) {
        record.find(
            Finding::new(
                &codes::L305_ABOVE_1_KV,
                format!("{rotor} V between the slip rings at standstill are above 1 kV and not covered"),
            )
            .at(load.place_of(Field::RotorVoltageV))
            .why("contactors, resistor and cable of the rotor circuit stand at that voltage while the motor starts")
            .cure(book.above_limit().0)
            .reference(book.above_limit().1),
        );
        return None;
    }
    let machine = at_voltage(load, kind, voltage, basis, book, assumed, record);
    against_board(load, &machine, basis, record);
    Some(machine)
}

/// The machine at a voltage, whether that is one of those that are covered or not.
pub(super) fn at_voltage(
    load: &Load,
    kind: LoadKind,
    voltage: Volts,
    basis: &Basis,
    book: &dyn RuleBook,
    assumed: &mut Vec<String>,
    record: &mut Record,
) -> Machine {
    let phases = phases(load, kind, voltage, basis, record);
    let power = shaft_power(load, Field::RatedPowerKw, Field::RatedPowerHp, record);
    let power_low = shaft_power(load, Field::RatedPowerLowKw, Field::RatedPowerLowHp, record);
    let class = load.text(Field::EfficiencyClass).and_then(EfficiencyClass::from_word);
    let frequency_hz = load.number(Field::FrequencyHz).or(basis.supply.frequency_hz).unwrap_or(book.frequency_hz());
    let poles = load.count(Field::Poles).unwrap_or_else(|| poles_from_speed(load.number(Field::SpeedRpm), frequency_hz));
    let neutral = neutral(load, voltage, phases, basis, book, record);
    let rated_load = load.number(Field::RatedLoadCurrentA);
    let mut machine = Machine {
        kind,
        power,
        power_low,
        horsepower: marked_horsepower(load, Field::RatedPowerKw, Field::RatedPowerHp),
        horsepower_low: marked_horsepower(load, Field::RatedPowerLowKw, Field::RatedPowerLowHp),
        design_letter: load.text(Field::DesignLetter).unwrap_or("").trim().to_uppercase(),
        code_letter: load.text(Field::LockedRotorCode).and_then(|letter| letter.chars().next()),
        service_factor: load.number(Field::ServiceFactor),
        temperature_rise_k: load.number(Field::TemperatureRiseC),
        equipment_rating: load.number(Field::EquipmentSccrKa).map(|ka| Amperes(ka * 1000.0)),
        apparent: load.number(Field::RatedPowerKva).map(|kva| VoltAmperes(kva * 1000.0)),
        reactive: load.number(Field::ReactivePowerKvar).map(|kvar| Vars(kvar * 1000.0)),
        voltage,
        phases,
        neutral,
        frequency_hz,
        nameplate: load.number(Field::FullLoadCurrentA).or(load.number(Field::RatedLoadCurrentA)).map(Amperes),
        rated_load: rated_load.map(Amperes),
        selection: load.number(Field::BranchSelectionCurrentA).map(Amperes),
        locked_rotor: rated_load.zip(load.number(Field::LockedRotorRatio)).map(|(amperes, ratio)| Amperes(amperes * ratio)),
        nameplate_low: load.number(Field::FullLoadCurrentLowA).map(Amperes),
        efficiency: load.number(Field::EfficiencyPct).map(|pct| Known::new(pct / 100.0, Origin::Cell)),
        power_factor: load.number(Field::PowerFactor).map(|pf| Known::new(pf, Origin::Cell)),
        class,
        poles,
        winding: load.text(Field::MotorVoltages).and_then(winding),
        leads: load.count(Field::MotorLeads),
        rotor_current: load.number(Field::RotorCurrentA).map(Amperes),
        rotor_voltage: load.number(Field::RotorVoltageV).map(Volts),
        minimum_ampacity: load.number(Field::MinimumCircuitAmpacityA).map(Amperes),
        maximum_protection: load.number(Field::MaximumProtectionA).map(Amperes),
        fuse_only: load.text(Field::MaximumProtectionKind) == Some("fuse"),
        household: load.text(Field::Environment) == Some("household"),
        third_harmonic: (phases == 3 && neutral).then(|| third_harmonic(load, kind)).flatten(),
    };
    fill_in(&mut machine, book, assumed);
    machine
}

/// The load uses a neutral: its connection says so; or it has one phase and less voltage than lies between lines, or stands on a board
/// whose two conductors are a line and the neutral, and does not say that it lies between lines.
fn neutral(load: &Load, voltage: Volts, phases: u32, basis: &Basis, book: &dyn RuleBook, record: &mut Record) -> bool {
    let text = load.text(Field::Connection).map(str::trim).filter(|text| !text.is_empty());
    let stated = text.and_then(connection_has_neutral);
    if let Some(text) = text.filter(|_| stated.is_none()) {
        let taken =
            if phases == 1 { "whether the load has a neutral follows from its voltage" } else { "no neutral is connected" };
        record.find(
            Finding::new(&codes::L330_CONNECTION, format!("connection \"{text}\" is not understood: {taken}"))
                .at(load.place_of(Field::Connection))
                .cure("write 3L, 3L+N, L-L or L-N"),
        );
    }
    let name = board(load, basis);
    let below_lines = basis.board_voltage(&name).is_some_and(|line| voltage.0 < load_figure("neutral-voltage-most") * line);
    let pair = conductors::pair(basis, &name, book).filter(|_| phases == 1);
    let on_pair = stated != Some(false) && pair.is_some_and(|pair| pair.to_neutral);
    let neutral = stated == Some(true) || phases == 1 && (below_lines || on_pair);
    if phases == 1 {
        against_connection(load, (voltage, below_lines), (stated, neutral), pair, basis)
            .into_iter()
            .for_each(|found| record.find(found));
    }
    if let Some((why, reference)) = conductors::without_neutral(basis, &name, book).filter(|_| neutral) {
        record.find(no_neutral(load, &name, voltage).why(why).reference(reference));
    }
    neutral
}

/// Line and neutral, or two lines: where the connection of a row of one phase says the one and its voltage or board the other, or where
/// nothing says it. A neutral taken for a line is opened and protected; a line taken for the neutral is neither.
fn against_connection(
    load: &Load,
    (voltage, below_lines): (Volts, bool),
    (stated, neutral): (Option<bool>, bool),
    pair: Option<conductors::Pair>,
    basis: &Basis,
) -> Option<Finding> {
    let name = board(load, basis);
    let line = basis.board_voltage(&name)?;
    let halved = conductors::system_of_board(basis, &name).is_some_and(|system| System::read(system).three_wires);
    // In an IT system both count as lines, whichever of them is called the neutral.
    let both_are_live = pair.is_some() && !halved && conductors::earthing_of_board(basis, &name).is_some_and(is_it);
    let pair_to_neutral = pair.is_some_and(|pair| pair.to_neutral);
    let (what, field) = match (stated, pair.and_then(|pair| pair.unlike)) {
        (Some(true), _) if !(below_lines || pair_to_neutral || both_are_live) => (
            format!("{} V between a line and the neutral on board {name}, which has {line} V between two lines", voltage.0),
            Field::Connection,
        ),
        (Some(false), _) if below_lines => (
            format!("{} V between two lines on board {name}, which has {line} V there: a neutral is taken", voltage.0),
            Field::Connection,
        ),
        (Some(false), None) if pair_to_neutral => {
            (format!("the load lies between two lines, and board {name} has one line and the neutral"), Field::Connection)
        }
        (None, Some(before)) if !below_lines => {
            let taken = if neutral { "a line and the neutral are taken" } else { "two lines are taken" };
            let what = format!(
                "nothing says whether the load lies between two lines or to the neutral: board {name} has {line} V and one phase, what stands before it {} V; {taken}",
                before.0
            );
            (what, Field::VoltageV)
        }
        _ => return None,
    };
    Some(
        Finding::new(&codes::L346_CONNECTION_AGAINST_BOARD, what)
            .at(load.place_of(field))
            .why("a line is protected and opened, the neutral is not: poles and conductors follow from it")
            .cure("correct connection (L-N or L-L) or voltage_v of the row, or voltage_v and system (L-N or L-L) of its board"),
    )
}

fn no_neutral(load: &Load, board: &str, voltage: Volts) -> Finding {
    let what = format!("{} V between a line and the neutral on board {board}, which has no neutral for loads", voltage.0);
    Finding::new(&codes::L340_NO_NEUTRAL, what)
        .at(load.place_of(Field::VoltageV))
        .cure("feed the load from a board behind a [[transformer]] with a grounded neutral, choose one for the voltage between lines, or correct the system of the board")
}

/// Third-harmonic current of a load with a neutral, as a share: stated, or that of practice for lighting.
fn third_harmonic(load: &Load, kind: LoadKind) -> Option<Known<f64>> {
    let stated = load.number(Field::ThirdHarmonicPct).map(|pct| Known::new(pct / 100.0, Origin::Cell));
    stated.or_else(|| (kind == LoadKind::Lighting).then(|| Known::new(load_figure("lighting-third-harmonic"), Origin::Default)))
}

/// Voltage of the row, else of its board, else of the supply.
pub(super) fn stated_voltage(load: &Load, basis: &Basis) -> Option<Volts> {
    load.number(Field::VoltageV).or_else(|| basis.board_voltage(&board(load, basis))).map(Volts)
}

/// One phase or three. Two are one load between two lines.
fn phases(load: &Load, kind: LoadKind, voltage: Volts, basis: &Basis, record: &mut Record) -> u32 {
    let of_board = conductors::phases_of_board(basis, &board(load, basis));
    let stated = load.count(Field::Phases).or(Some(of_board).filter(|phases| *phases < 3));
    match stated {
        Some(1) => 1,
        Some(2) => {
            record.find(
                Finding::new(&codes::L306_PHASES, "2 phases are read as one single-phase load between two lines")
                    .at(load.place_of(Field::Phases))
                    .cure("write 1 with connection L-L, or 3"),
            );
            1
        }
        Some(_) => 3,
        None => phases_by_voltage(load, kind, voltage, basis, record),
    }
}

/// Phases of a row that states none: three, as the basis says; but one where its voltage is that of its board to the neutral, or one
/// that no supply has between three lines: it draws more from the conductors then and needs somebody's word, for the voltage of a motor may
/// be that of a winding in delta, which stands in star on the board. Heaters and lamps have no such second voltage: it is noted. Windings
/// that only three phases feed are taken at theirs.
fn phases_by_voltage(load: &Load, kind: LoadKind, voltage: Volts, basis: &Basis, record: &mut Record) -> u32 {
    let board = board(load, basis);
    let line = basis.board_voltage(&board);
    let windings = load.text(Field::StartingMethod).and_then(Method::from_word).is_some_and(Method::needs_three_phases);
    let of_board = line.filter(|line| to_neutral(voltage, *line) && !near(voltage, *line));
    let low = voltage.0 < voltage_limit("three-phase-line-least-v");
    if windings || (of_board.is_none() && !low) {
        return 3;
    }
    let why = of_board.map_or_else(
        || format!("no supply has {} V between three lines", voltage.0),
        |line| format!("{} V is the voltage to the neutral on board {board} of {line} V", voltage.0),
    );
    let mut finding = Finding::new(&codes::L306_PHASES, format!("the row states no phases; {why}: taken as one phase"))
        .at(load.place_of(Field::VoltageV))
        .cure("enter 1 or 3 in phases; for three phases, the voltage between lines");
    if of_board.is_some() && matches!(kind, LoadKind::Heater | LoadKind::Lighting) && !load.kind_in_doubt {
        finding.severity = Severity::Note;
    }
    record.find(finding);
    1
}

fn near(voltage: Volts, other: f64) -> bool {
    is_same_voltage(voltage.0, other)
}

/// The voltage is that of a board between line and neutral.
fn to_neutral(voltage: Volts, line: f64) -> bool {
    near(voltage, line / 3f64.sqrt()) || (line <= voltage_limit("middle-neutral-line-most-v") && near(voltage, line / 2.0))
}

/// A voltage that its board can't give, by more than a motor is made to bear: between lines, or for one phase also to the neutral.
fn against_board(load: &Load, machine: &Machine, basis: &Basis, record: &mut Record) {
    let (name, voltage) = (board(load, basis), machine.voltage);
    let Some(line) = basis.board_voltage(&name) else { return };
    let given = near(voltage, line) || (machine.phases == 1 && to_neutral(voltage, line));
    if load.entry(Field::VoltageV).is_none() || given {
        return;
    }
    let phases = if machine.phases == 3 && to_neutral(voltage, line) { ", which it has to the neutral only" } else { "" };
    record.find(
        Finding::new(
            &codes::L313_VOLTAGE_AGAINST_BOARD,
            format!("{} V on board {name}, whose voltage is {line} V{phases}", voltage.0),
        )
        .at(load.place_of(Field::VoltageV))
        .cure("correct the voltage, the phases or the board, or state the transformer between them"),
    );
}

/// Kilowatts and horsepower of a row, where they can't be of one motor.
fn powers_apart(load: &Load, kw: Field, hp: Field) -> Option<(f64, f64)> {
    let (kilowatts, horsepower) = load.number(kw).zip(load.number(hp))?;
    let apart = !powers::are_one_motor(kilowatts, horsepower, load_figure("powers-apart-share"));
    apart.then_some((kilowatts, horsepower))
}

/// The horsepower as it is marked; none where kilowatts beside it are those of a larger motor, which then count.
fn marked_horsepower(load: &Load, kw: Field, hp: Field) -> Option<f64> {
    let smaller = |(kilowatts, horsepower): (f64, f64)| Watts::of_horsepower(horsepower).0 < kilowatts * 1000.0;
    load.number(hp).filter(|_| !powers_apart(load, kw, hp).is_some_and(smaller))
}

/// Power from kilowatts or horsepower; the larger where both are stated and differ.
fn shaft_power(load: &Load, kw: Field, hp: Field, record: &mut Record) -> Option<Watts> {
    if let Some((kilowatts, horsepower)) = powers_apart(load, kw, hp) {
        let what = format!(
            "{kilowatts} kW and {horsepower} hp differ by more than {} %",
            round_to(load_figure("powers-apart-share") * 100.0, 0)
        );
        record.find(
            Finding::new(&codes::L307_KW_AGAINST_HP, what)
                .at(load.place_of(hp))
                .why("the larger is used")
                .cure("correct the one that is wrong"),
        );
    }
    let from_kw = load.number(kw).map(|kilowatts| kilowatts * 1000.0);
    let from_hp = load.number(hp).map(|horsepower| Watts::of_horsepower(horsepower).0);
    from_kw.into_iter().chain(from_hp).reduce(f64::max).map(Watts)
}

/// Efficiency and power factor where the row gives none: the book's tables, the lower value where classes are open.
fn fill_in(machine: &mut Machine, book: &dyn RuleBook, assumed: &mut Vec<String>) {
    if machine.kind == LoadKind::Heater {
        machine.power_factor.get_or_insert(Known::new(1.0, Origin::Default));
        machine.efficiency = Some(Known::new(1.0, Origin::Default));
        return;
    }
    if machine.kind != LoadKind::Motor {
        if machine.power_factor.is_none() && machine.kind != LoadKind::Capacitor && machine.apparent.is_none() {
            machine.power_factor = Some(Known::new(book.other_power_factor(), Origin::Default));
            if machine.nameplate.is_none() {
                assumed.push(format!("power factor {}", book.other_power_factor()));
            }
        }
        machine.efficiency.get_or_insert(Known::new(1.0, Origin::Default));
        return;
    }
    let Some(power) = machine.power else { return };
    let table = |value: f64| Known::new(value, Origin::Table);
    machine.efficiency = machine.efficiency.or_else(|| book.efficiency(machine, power).map(table));
    machine.power_factor = machine.power_factor.or_else(|| book.power_factor(machine, power).map(table));
    if !book.currents_by_tables() {
        assumed.extend(by_class(machine, book));
    }
}

/// Efficiency and power factor of a motor that are those of its class, in words; nothing where the nameplate states the current.
pub(in crate::sizing) fn by_class(machine: &Machine, book: &dyn RuleBook) -> Vec<String> {
    let Some(power) = machine.power.filter(|_| machine.kind == LoadKind::Motor && machine.nameplate.is_none()) else {
        return Vec::new();
    };
    let of_table = |known: Option<Known<f64>>| known.filter(|known| known.origin == Origin::Table).map(|known| known.value);
    let efficiency = of_table(machine.efficiency).map(|value| {
        format!("efficiency {} % ({}, {} poles)", round_to(value * 100.0, 1), book.efficiency_of(machine, power), machine.poles)
    });
    let power_factor = of_table(machine.power_factor).map(|value| format!("power factor {value}"));
    efficiency.into_iter().chain(power_factor).collect()
}

fn poles_from_speed(speed: Option<f64>, frequency_hz: f64) -> u32 {
    let Some(speed) = speed else { return 4 };
    // The synchronous speed lies just above the rated one.
    [2u32, 4, 6, 8, 10, 12].into_iter().rev().find(|poles| 120.0 * frequency_hz / f64::from(*poles) >= speed).unwrap_or(2)
}

fn winding(text: &str) -> Option<(Volts, Option<Volts>)> {
    let mut numbers = text
        .split(['/', '-', ' ', 'V', 'v', 'Δ', 'Y', 'D'])
        .filter_map(|part| part.trim().parse::<f64>().ok())
        .filter(|volts| *volts > 0.0);
    let first = Volts(numbers.next()?);
    Some((first, numbers.next().map(Volts)))
}

#[cfg(test)]
mod tests;
