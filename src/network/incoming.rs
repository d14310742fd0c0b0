//! The device at the head of a board, where the basis asks for one: a switch-disconnector, which carries what flows, breaks the largest
//! motor stalled and stands what a fault lets through, or a circuit-breaker, which is judged as the device of a feeder is, but by the
//! fault current at the bars.
//!
//! It is chosen once the fault currents are known and changes none of them. What can't be checked for want of data stays open, with a
//! finding.

use crate::design::{Check, Part, WorkingLine};
use crate::finding::{Finding, codes};
use crate::network::demand::Demand;
use crate::network::faults::FaultLevel;
use crate::network::feeders::device::{self, FeederDevice};
use crate::network::feeders::{self, Ask, Boards, Feeder, Origin, by_conductors, items, voltage};
use crate::quantity::{Amperes, round_to};
use crate::record::Record;
use crate::rules::feeders::{self as formulas, FeederBounds};
use crate::rules::incoming::IncomingPoles;
use crate::rules::units::Units;
use crate::rules::{DeviceAsk, DevicePlace, DeviceSort, Leaning, words};
use crate::sizing::judge::{self, Verdict, of_limit};
use crate::sizing::terminals::of_range;
use crate::sizing::{Tools, memory};

mod switch;
#[cfg(test)]
mod tests;

/// Words of the basis.
pub const SWITCH: &str = "switch-disconnector";
/// A circuit-breaker.
pub const BREAKER: &str = "circuit-breaker";
/// Nothing: its feeder ends at its bars or terminals.
pub const NONE: &str = "none";

/// Subject of the checks of an incoming device.
pub const SUBJECT: &str = "incoming device";

/// An incoming device.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Incoming {
    /// As the basis asks: `switch-disconnector`, `circuit-breaker` or `none`.
    pub kind: &'static str,
    /// Category in which the rated current of a switch counts; empty for a circuit-breaker.
    pub category: &'static str,
    /// Poles that it must have, and how the neutral comes in.
    pub poles: IncomingPoles,
    /// Rated current; none where nothing could be chosen.
    pub rating: Option<Amperes>,
    /// Largest current that a switch breaks in its category.
    pub breaking: Option<Amperes>,
    /// Rated short-time withstand current of a switch, kA.
    pub short_time_ka: Option<f64>,
    /// Rated short-circuit making capacity of a switch, kA, peak.
    pub making_ka: Option<f64>,
    /// Horsepower of a switch.
    pub horsepower: Option<f64>,
    /// A circuit-breaker, with its trip and breaking capacity.
    pub breaker: Option<FeederDevice>,
    /// Part number; empty where nothing could be chosen.
    pub part: String,
    /// Clamping range of its terminals in mm², and how many conductors each takes where the catalogue says so.
    pub terminals: Option<([f64; 2], Option<u32>)>,
    /// It stands in an enclosure of its own, beside the board.
    pub apart: bool,
    /// Parts.
    pub parts: Vec<Part>,
    /// Checks.
    pub checks: Vec<Check>,
    /// Working.
    pub working: Vec<WorkingLine>,
    /// Findings.
    pub findings: Vec<Finding>,
}

/// The place of an incoming device, as far as it is known.
struct Place<'a> {
    ask: Ask<'a>,
    /// Device before it; none where nothing is chosen there.
    before: Option<&'a FeederDevice>,
    /// Current that is to be carried, with the spare that is wanted.
    wanted: Amperes,
    bounds: FeederBounds,
    items: Vec<formulas::FeederItem>,
    stalled: Option<[Amperes; 3]>,
    level: FaultLevel,
    poles: IncomingPoles,
}

/// The incoming device of every board for which the basis asks for one.
pub(super) fn choose(boards: &Boards<'_>, feeders: &[Feeder], levels: &[FaultLevel], tools: &Tools<'_>) -> Vec<Option<Incoming>> {
    let asked = |index: &usize| {
        let board = boards.tree.nodes[*index].board.and_then(|board| tools.basis.boards.get(board));
        board
            .and_then(|board| board.incoming.as_deref())
            .and_then(|word| [SWITCH, BREAKER, NONE].into_iter().find(|known| *known == word))
    };
    if (0..boards.tree.nodes.len()).all(|index| asked(&index).is_none()) {
        return Vec::new();
    }
    let of_board = items::by_board(boards);
    let one = |index: usize| {
        let kind = asked(&index)?;
        let items = items::of(boards, &of_board, index, tools);
        let level = levels.get(index).copied().unwrap_or_default();
        Some(of_board_head(boards, index, kind, &items, feeders.get(index), level, tools))
    };
    (0..boards.tree.nodes.len()).map(one).collect()
}

/// Nobody knows what the device would carry, or at which voltage.
fn not_chosen(board: &str, capacity: Amperes, tools: &Tools<'_>) -> Finding {
    let why = if capacity.0 > 0.0 { "the voltage of the board is unknown" } else { "nothing is known that it would carry" };
    Finding::new(&codes::B331_NO_INCOMING, format!("the {} of board {board} is not chosen", noun(tools)))
        .why(why)
        .cure("state the loads of the board and its voltage_v")
}

fn neutral_assumed(board: &str, poles: IncomingPoles, tools: &Tools<'_>) -> Finding {
    let what = format!(
        "board {board}: nobody states the earthing of its system; its {} is chosen with {} poles, one of them for the neutral",
        noun(tools),
        poles.poles
    );
    Finding::new(&codes::B333_INCOMING_NEUTRAL, what)
        .why("in TT and IT systems the neutral may be live and is parted; in a TN-C system the neutral is a PEN conductor and must not be switched")
        .cure("state earthing of the board or of [supply]")
        .reference(poles.reference)
}

/// Chooses the device at the head of one board.
fn of_board_head(
    boards: &Boards<'_>,
    index: usize,
    kind: &'static str,
    behind: &items::Items,
    feeder: Option<&Feeder>,
    level: FaultLevel,
    tools: &Tools<'_>,
) -> Incoming {
    let mut record = Record::new().named(tools.book.naming());
    let idle = Demand::default();
    let demand = boards.demands.get(index).unwrap_or(&idle);
    let mut scratch = Record::silent();
    let mut ask = feeders::ask(boards, index, behind, demand, Origin { level, drop_pct: None }, tools, &mut scratch);
    // The circuit-breaker here need not be of the feeder's kind, which may be a fuse.
    ask.kind = tools.book.incoming_breaker();
    let poles = tools.book.incoming_poles(ask.lines, behind.neutral, ask.node.earthing.as_deref());
    let mut found = Incoming { kind, poles, ..Incoming::default() };
    let name = ask.node.name.clone();
    if kind == NONE {
        let what = format!("board {name} has no {}, as the basis says", noun(tools));
        let why = "what feeds it is parted and locked where its feeder begins";
        find(&ask, Finding::new(&codes::B335_INCOMING_NONE, what).why(why), &mut record);
        return finish(found, record);
    }
    let items = behind.of_fullest_phase(tools.book);
    let need = tools.book.feeder_need(&items, demand.demand, &mut scratch);
    if need.capacity.0.is_nan() || need.capacity.0 <= 0.0 || voltage(ask.node, tools).0 <= 0.0 {
        find(&ask, not_chosen(&name, need.capacity, tools), &mut record);
        return finish(found, record);
    }
    let spare = ask.board.and_then(|board| board.spare_pct).filter(|spare_pct| *spare_pct > 0.0);
    let wanted = spare.map_or(need.capacity, |spare| Amperes(record.step(&formulas::WITH_SPARE, &[need.capacity.0, spare])));
    let bounds = tools.book.feeder_bounds(tools.book.incoming_breaker(), &items, need.capacity, &mut scratch);
    let bounds = by_conductors(&ask, need.capacity, bounds, tools, &mut scratch);
    let running = demand.running.max(demand.demand);
    let place = Place {
        // Where the basis describes no feeder others bring its device, and nobody knows which.
        before: feeder.and_then(|feeder| feeder.device.as_ref()).filter(|_| ask.wanted),
        wanted,
        bounds,
        items,
        stalled: behind.stalled.map(|[rated, stalled]| [running, stalled, rated]),
        level,
        poles,
        ask,
    };
    if poles.assumed {
        find(&place.ask, neutral_assumed(&name, poles, tools), &mut record);
    }
    if kind == SWITCH {
        switch::choose(&place, tools, &mut found, &mut record);
    } else {
        breaker(&place, tools, &mut found, &mut record);
    }
    if let Some(plate) = tools.catalogue.label("nameplate").filter(|_| !found.part.is_empty()) {
        found.parts.push(Part::pieces(&plate.part, &plate.description, 1.0));
    }
    terminals(&place, feeder, &mut found, tools, &mut record);
    say_of_rating(&place, &found, tools, &mut record);
    say_open(&place, &found, tools, &mut record);
    finish(found, record)
}

/// A circuit-breaker: the first of the catalogue that carries the load, rides through the largest start, breaks the fault current at the
/// bars and is not larger than these.
fn breaker(place: &Place<'_>, tools: &Tools<'_>, found: &mut Incoming, record: &mut Record) {
    let ask = &place.ask;
    let kind = tools.book.incoming_breaker();
    // A feeder's device before it keeps the rules for feeders; without one, this is the device of the feeder.
    let most = place.bounds.most.filter(|_| place.before.is_none());
    let because = if place.before.is_none() { place.bounds.unknown_because } else { "" };
    // It carries the spare too, unless it is itself the feeder's device and rules for motors bound its rating: then the current
    // that flows counts.
    let whole = FeederBounds { most, unknown_because: because, motor_feeder: false, ..place.bounds };
    let flowing = FeederBounds { motor_feeder: place.bounds.motor_feeder, ..whole };
    let bus = ask.board.and_then(|board| board.bus_rating_a).map(Amperes);
    let judged = |candidate: device::Candidate<'_>, bounds: &FeederBounds, trying: bool| {
        let mut checks = device::judged(candidate, ask, place.wanted, bounds, trying, tools);
        checks.extend(bus.map(|bus| of_limit(&tools.book.bus_limit(Amperes(candidate.rating()), bus))));
        checks.into_iter().map(|check| check.about(SUBJECT)).collect::<Vec<_>>()
    };
    // The catalogue's circuit-breakers have a pole for each phase and none for a neutral.
    let all = if place.poles.poles > 3 { Vec::new() } else { device::candidates(tools.catalogue, kind, ask.node.phases) };
    let all: Vec<_> = all.into_iter().filter(|candidate| candidate.lockable() != Some(false)).collect();
    let choice_within = |bounds: &FeederBounds| {
        judge::choose(all.iter().copied(), |candidate| Verdict { checks: judged(*candidate, bounds, true) })
    };
    let (choice, bounds) = match choice_within(&whole) {
        none if none.chosen.is_none() && most.is_some() && flowing.motor_feeder => (choice_within(&flowing), flowing),
        choice => (choice, whole),
    };
    let Some((candidate, _)) = choice.chosen else {
        let word = words::of_book(tools.book, kind.word());
        let poles = if place.poles.poles > 3 { " with four poles" } else { "" };
        nothing(place, &format!("{word}{poles}"), choice.rejected.map(|(_, verdict)| verdict), tools, record);
        return;
    };
    found.checks = judged(candidate, &bounds, false);
    found.rating = Some(Amperes(candidate.rating()));
    found.parts = candidate.parts(ask.node.phases);
    found.terminals = candidate.terminals();
    let device = device::described(candidate, ask, tools);
    found.part.clone_from(&device.part);
    say_trip(place, &device, candidate.lockable().is_some(), tools, record);
    found.breaker = Some(device);
}

/// How the trip may be set, and what the catalogue does not say of a circuit-breaker as a means of parting.
fn say_trip(place: &Place<'_>, device: &FeederDevice, lockable: bool, tools: &Tools<'_>, record: &mut Record) {
    let trip = |set: Option<[f64; 3]>| set.map_or(0.0, |set| round_to(set[0], 1));
    let range = match (trip(device.magnetic_lowest), trip(device.magnetic)) {
        (low, high) if high > low && low > 0.0 => format!("; its instantaneous trip may stand from {low} to {high} A"),
        _ => String::new(),
    };
    let what = format!(
        "{} of board {}, {} A{range}",
        Units::of(tools.book.key()).pick("incoming circuit-breaker", "main circuit breaker"),
        place.ask.node.name,
        device.rating.0
    );
    let finding = Finding::new(&codes::B334_INCOMING, what).reference(tools.book.incoming_lock());
    let finding = if lockable {
        finding
            .why("it parts the board from its supply and can be locked open")
            .cure("set the trip as the study of the plant says")
    } else {
        finding
            .why("the catalogue does not say whether it is suitable for isolation and can be locked open, which a supply disconnecting device must be")
            .cure("order it with a lockable handle, and confirm both with the maker's data")
    };
    find(&place.ask, finding, record);
}

/// No part of the catalogue holds: what came nearest, and why it does not.
fn nothing(place: &Place<'_>, kind: &str, last: Option<Verdict>, tools: &Tools<'_>, record: &mut Record) {
    let units = Units::of(tools.book.key());
    let failed: Vec<String> = last
        .iter()
        .flat_map(|verdict| &verdict.checks)
        .filter(|check| check.passed == Some(false))
        .map(|check| judge::sentence(&Check { subject: String::new(), ..check.clone() }, units))
        .collect();
    let why = if failed.is_empty() {
        "the catalogue offers none of that kind for this voltage".to_owned()
    } else {
        format!("the last that was tried: {}", failed.join("; "))
    };
    let what = format!(
        "board {}: the catalogue holds no {kind} as its {} for {} A",
        place.ask.node.name,
        noun(tools),
        round_to(place.wanted.0, 1)
    );
    let finding = Finding::new(&codes::B331_NO_INCOMING, what)
        .why(why)
        .cure("name a device with its maker's data, state another kind in incoming, or divide the board");
    find(&place.ask, finding, record);
}

/// The conductors of the feeder at its terminals. What does not fit is told and changes nothing that was chosen.
fn terminals(place: &Place<'_>, feeder: Option<&Feeder>, found: &mut Incoming, tools: &Tools<'_>, record: &mut Record) {
    let Some((run, (range, conductors))) = feeder.and_then(|feeder| feeder.run.as_ref()).zip(found.terminals) else { return };
    let check = of_range(run, range, conductors).about(SUBJECT);
    if check.passed == Some(false) {
        let words = judge::sentence(&Check { subject: String::new(), ..check.clone() }, Units::of(tools.book.key()));
        let what = format!("{} of board {}: {words}", noun(tools), place.ask.node.name);
        let finding = Finding::new(&codes::B336_INCOMING_TERMINALS, what)
            .why("the conductors of its feeder end here")
            .cure("order it with terminals or extensions that take them, or choose a larger one or other conductors")
            .reference(check.reference.clone());
        find(&place.ask, finding, record);
    }
    found.checks.push(check);
}

/// Says what the rating brings with it, as that of any device: protection of equipment against faults to ground, arc energy.
fn say_of_rating(place: &Place<'_>, found: &Incoming, tools: &Tools<'_>, record: &mut Record) {
    let (Some(rating), node) = (found.rating, place.ask.node) else { return };
    let about = DeviceAsk {
        place: DevicePlace::Head,
        sort: if found.breaker.is_some() { DeviceSort::Breaker } else { DeviceSort::Switch },
        rating,
        line: voltage(node, tools),
        three_phase: node.phases == 3,
        system: node.system.as_deref(),
        earthing: node.earthing.as_deref(),
        rated_voltage: None,
    };
    tools.book.about_device(&about).into_iter().for_each(|finding| find(&place.ask, finding, record));
}

/// Says which checks of a chosen device could not be made.
fn say_open(place: &Place<'_>, found: &Incoming, tools: &Tools<'_>, record: &mut Record) {
    let units = Units::of(tools.book.key());
    let open: Vec<String> = found
        .checks
        .iter()
        .filter(|check| check.passed.is_none())
        .map(|check| {
            format!("{}: {}", words::brief(units, &check.name), check.not_checked_because.as_deref().unwrap_or("unknown"))
        })
        .collect();
    if open.is_empty() {
        return;
    }
    let what = format!("{} of board {}: {}", noun(tools), place.ask.node.name, open.join("; "));
    let finding = Finding::new(&codes::B332_INCOMING_OPEN, what).why("what is not checked may not hold").cure(
        "state what feeds the board (fed_from, feeder_length_m) and its fault current, or confirm it from the data of the supply",
    );
    find(&place.ask, finding, record);
}

/// Name of the device in either trade.
fn noun(tools: &Tools<'_>) -> &'static str {
    Units::of(tools.book.key()).pick("incoming device", "main disconnecting means")
}

fn find(ask: &Ask<'_>, finding: Finding, record: &mut Record) {
    ask.find("incoming", finding, record);
}

fn finish(mut found: Incoming, record: Record) -> Incoming {
    let (steps, findings) = record.into_parts();
    found.working = steps.iter().map(Into::into).collect();
    found.findings = findings;
    found
}

/// Notes the figures from memory on which a switch leans.
fn say_memory(place: &Place<'_>, tools: &Tools<'_>, record: &mut Record) {
    let subject = format!(
        "the {} of board {}",
        Units::of(tools.book.key()).pick("incoming switch", "main disconnect switch"),
        place.ask.node.name
    );
    if let Some(finding) = memory::behind(tools.book, &subject, Leaning::IncomingSwitch) {
        find(&place.ask, finding, record);
    }
}
