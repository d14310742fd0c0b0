//! The device at the head of a board: what the basis asks for, of the catalogue, as it says, for the load that flows, the motor that may
//! stall, the device before it and the fault current of the board.

use crate::catalogue::SwitchDisconnector;
use crate::design::{BoardIncoming, Check, Circuit, Part, Status};
use crate::finding::codes;
use crate::load::wires::System;
use crate::load::{LoadKind, Method};
use crate::quantity::{Amperes, Volts, fits};
use crate::record::Record;
use crate::rules::incoming::{SwitchAsk, SwitchHorsepower};
use crate::rules::physics::control::practice;
use crate::rules::physics::material;
use crate::rules::{DeviceAsk, DevicePlace, DeviceSort};
use crate::verify::boards::loads::{Load, spare};
use crate::verify::boards::tree::Place;
use crate::verify::boards::{Boards, Say, near};
use crate::verify::control::is_of_neutral;
use crate::verify::isolator::{HIGH_COLUMN_V, LOW_COLUMN_V};
use crate::verify::shelf::Item;

const SUBJECT: &str = "incoming device";

/// Breaking capacity of a switch over its rated current in AC-23 and in AC-22 (IEC 60947-3, recalled).
const BREAKS_MOTORS: f64 = 8.0;
const BREAKS_MIXED: f64 = 3.0;

pub(super) fn agree(all: &Boards<'_>, index: usize, say: Say<'_>) {
    let place = &all.tree.places[index];
    let asked = place.basis.and_then(|board| board.incoming.as_deref());
    let Some(incoming) = &place.board.incoming else {
        if let Some(word) = asked {
            say(&codes::V861_INCOMING, format!("the basis asks for {word} at its head; there is nothing"));
        }
        return;
    };
    if asked != Some(incoming.kind.as_str()) {
        say(&codes::V861_INCOMING, format!("a {} stands at its head; the basis asks for {asked:?}", incoming.kind));
        return;
    }
    if incoming.part.is_empty() {
        let told = incoming.kind == "none" || Boards::told(place.board, &codes::B331_NO_INCOMING);
        if !told || incoming.rating_a.is_some() || !incoming.parts.is_empty() || checks(place).next().is_some() {
            say(&codes::V861_INCOMING, "it has no incoming device, and what is told of it does not go with that".to_owned());
        }
        return;
    }
    parts(all, incoming, say);
    common(all, place, index, incoming, say);
    clamps(all, place, incoming, say);
    match all.shelf.all(&incoming.part).next() {
        Some(Item::SwitchDisconnector(row)) if incoming.kind == "switch-disconnector" => panel(all, place, index, row, say),
        Some(Item::Disconnect(row)) if incoming.kind == "switch-disconnector" => {
            let horsepower = row.horsepower(all.tree.phases(index), place.board.voltage_v);
            let so = incoming.rating_a == Some(row.rating_a)
                && incoming.rating_hp == horsepower
                && row.lockable
                && fits(place.board.voltage_v, row.max_voltage_v)
                && incoming.poles.is_some_and(|poles| row.poles >= poles)
                && incoming.apart;
            told_as(so, incoming, say);
            by_book(all, place, index, incoming, row.rating_a, say);
        }
        Some(Item::Moulded(row)) if incoming.kind == "circuit-breaker" => {
            let trip = [row.magnetic_min_multiple, row.magnetic_max_multiple].map(|multiple| multiple * row.rating_a);
            let so = row.release == "distribution" && incoming.breaking_ka == row.breaking_ka(place.board.voltage_v);
            breaker(all, place, index, (so, row.rating_a, trip, row.magnetic_tolerance_pct), say);
        }
        Some(Item::Branch(row)) if incoming.kind == "circuit-breaker" => {
            let volts = place.board.voltage_v;
            let so = row.kind == "inverse-time"
                && !row.within_combination
                && row.lockable
                && incoming.breaking_ka == row.interrupting_ka(volts).filter(|_| row.admits_voltage(volts));
            let trip = [row.instantaneous_min_a, row.instantaneous_max_a];
            breaker(all, place, index, (so, row.rating_a, trip, row.instantaneous_tolerance_pct), say);
        }
        _ => say(&codes::V101_PART_UNKNOWN, format!("{} is no {} for the head of a board", incoming.part, incoming.kind)),
    }
}

fn checks<'p>(place: &'p Place<'_>) -> impl Iterator<Item = &'p Check> {
    place.board.checks.iter().filter(|check| check.subject == SUBJECT)
}

/// The breaking capacity of the circuit-breaker reaches the fault current at the bars, or the check says that this is unknown.
fn breaks(place: &Place<'_>, breaking_ka: f64, say: Say<'_>) {
    let Some(check) = checks(place).find(|check| check.name == "breaking-capacity") else {
        say(&codes::V802_CHECK_MISSING, "check breaking-capacity of its incoming device is missing".to_owned());
        return;
    };
    let fault_ka = place.board.prospective_fault_ka;
    let so = match (fault_ka, check.value.zip(check.limit)) {
        (Some(fault), Some((told, of))) => {
            near(breaking_ka, told, 2e-3) && near(fault, of, 2e-3) && fits(fault, breaking_ka + 2e-3)
        }
        (None, None) => check.passed.is_none(),
        _ => false,
    };
    if !so {
        say(
            &codes::V861_INCOMING,
            format!(
                "check breaking-capacity of its incoming device tells {:?} of {:?}; it breaks {breaking_ka} kA of {fault_ka:?}",
                check.value, check.limit
            ),
        );
    }
}

/// A check was made with these figures, or says that it could not be made.
fn check(place: &Place<'_>, name: &str, value: Option<f64>, limit: f64, say: Say<'_>) {
    let Some(check) = checks(place).find(|check| check.name == name) else {
        say(&codes::V802_CHECK_MISSING, format!("check {name} of its incoming device is missing"));
        return;
    };
    let so = match (value, check.value.zip(check.limit)) {
        (Some(value), Some((told, of))) => near(value, told, 2e-3) && near(limit, of, 2e-3) && fits(value, limit + 2e-3),
        (None, None) => check.passed.is_none(),
        _ => false,
    };
    if !so {
        say(
            &codes::V861_INCOMING,
            format!(
                "check {name} of its incoming device tells {:?} of {:?}; it is {value:?} of {limit}",
                check.value, check.limit
            ),
        );
    }
}

fn told_as(so: bool, incoming: &BoardIncoming, say: Say<'_>) {
    if !so {
        say(&codes::V861_INCOMING, format!("{} is not as the catalogue says, or does not suit the board", incoming.part));
    }
}

/// One piece of it and of a nameplate, described as in the catalogue.
fn parts(all: &Boards<'_>, incoming: &BoardIncoming, say: Say<'_>) {
    let plate = all.shelf.catalogue.label("nameplate").map(|label| label.part.as_str());
    let wanted: Vec<&str> = std::iter::once(incoming.part.as_str()).chain(plate).collect();
    let listed: Vec<&str> = incoming.parts.iter().map(|part| part.part.as_str()).collect();
    let so = |part: &Part| {
        (part.quantity - 1.0).abs() < 1e-9
            && part.unit == "pc"
            && !part.by_others
            && part.cuts == 0
            && all.shelf.all(&part.part).any(|item| item.description() == part.description)
    };
    if listed != wanted || !incoming.parts.iter().all(so) {
        say(
            &codes::V103_PART_MISSING,
            format!("the parts of its incoming device are {:?}; {wanted:?} are asked for", incoming.parts),
        );
    }
}

/// The conductors of its feeder against the clamping range of the catalogue.
fn clamps(all: &Boards<'_>, place: &Place<'_>, incoming: &BoardIncoming, say: Say<'_>) {
    let told = checks(place).find(|check| check.name.starts_with("terminals"));
    let (Some(run), Some(told)) = (Boards::run(place), told) else { return };
    let range = all.shelf.all(&incoming.part).find_map(|item| match item {
        Item::SwitchDisconnector(row) => Some((row.terminal_min_mm2, row.terminal_max_mm2, row.terminal_conductors)),
        Item::Moulded(row) => Some((row.terminal_min_mm2, row.terminal_max_mm2, row.terminal_conductors)),
        Item::Branch(row) => Some((row.terminal_min_mm2, row.terminal_max_mm2, row.terminal_conductors)),
        Item::Disconnect(row) => Some((row.terminal_min_mm2, row.terminal_max_mm2, 1)),
        _ => None,
    });
    let Some((least, most, conductors)) = range else { return };
    let area = run.phase_area_mm2;
    let so = match told.passed {
        Some(true) => fits(area, most) && fits(least, area) && run.per_phase.max(1) <= conductors,
        Some(false) => !fits(area, most) || !fits(least, area),
        None => run.per_phase > conductors,
    };
    if !so {
        say(
            &codes::V861_INCOMING,
            format!(
                "{} takes {conductors} conductors of {least} to {most} mm²; {} of {area} mm² come",
                incoming.part, run.per_phase
            ),
        );
    }
}

/// The points that hold for every kind: rating, poles, current.
fn common(all: &Boards<'_>, place: &Place<'_>, index: usize, incoming: &BoardIncoming, say: Say<'_>) {
    // A row that can't be read anew may be the one that uses it.
    let unread = !all.complete(&all.circuits_behind(index));
    let neutral = if unread || unchosen(all, index) {
        !incoming.neutral.is_empty() || !unread && neutral(all, index)
    } else {
        neutral(all, index)
    };
    let (phases, lines) = (all.tree.phases(index), all.lines(index));
    let system = all.tree.earthing(index).map(str::to_ascii_uppercase);
    let iec = all.book.knows_machines();
    let wanted = match (neutral, system.as_deref()) {
        (false, _) => "",
        (true, _) if iec && lines == 1 => "switched",
        (true, Some(system)) if system.starts_with("TN") => "linked",
        (true, _) if iec => "switched",
        (true, _) => "linked",
    };
    let poles = match (lines, wanted) {
        (1, _) => 2,
        (lines, "switched") => lines + 1,
        (lines, _) => lines,
    };
    if incoming.neutral != wanted || incoming.poles != Some(poles) {
        say(
            &codes::V861_INCOMING,
            format!(
                "{:?} poles with the neutral {:?} stand at its head; {poles} with {wanted:?} belong there",
                incoming.poles, incoming.neutral
            ),
        );
    }
    let unstated = iec && lines != 1 && neutral && system.is_none();
    if unstated && !Boards::told(place.board, &codes::B333_INCOMING_NEUTRAL) {
        say(&codes::V861_INCOMING, "its earthing is unknown, and nothing is said of the poles at its head".to_owned());
    }
    let about = incoming.rating_a.map(|rating| DeviceAsk {
        place: DevicePlace::Head,
        sort: DeviceSort::Switch,
        rating: Amperes(rating),
        line: Volts(place.board.voltage_v),
        three_phase: phases == 3,
        system: all.tree.system(index),
        earthing: None,
        rated_voltage: None,
    });
    let code = codes::B337_INCOMING_GROUND_FAULT.code;
    let ground_fault = about.is_some_and(|ask| all.book.about_device(&ask).iter().any(|finding| finding.code == code));
    if ground_fault && !Boards::told(place.board, &codes::B337_INCOMING_GROUND_FAULT) {
        say(&codes::V861_INCOMING, "nothing is said of ground-fault protection at its head".to_owned());
    }
    if Boards::run(place).is_some() && !checks(place).any(|check| check.name.starts_with("terminals")) {
        say(&codes::V802_CHECK_MISSING, "check terminals of its incoming device is missing".to_owned());
    }
    let open = checks(place).any(|check| check.passed.is_none());
    if open && !Boards::told(place.board, &codes::B332_INCOMING_OPEN) {
        say(&codes::V803_STATUS, "a check of its incoming device was not made, and no finding says so".to_owned());
    }
}

/// A load behind it, and no transformer between, uses the neutral, or what feeds coils does.
pub(super) fn neutral(all: &Boards<'_>, index: usize) -> bool {
    let coils = |place: &usize| {
        let of_starters = all.circuits_of(*place).filter_map(|circuit| circuit.control.as_ref()?.supply.as_ref());
        let board = all.tree.places[*place].board;
        board.control_supplies.iter().chain(of_starters).any(|supply| is_of_neutral(supply, board.voltage_v))
    };
    joined(all, index).any(|load| load.facts.machine.neutral)
        || boards_joined(all, index).any(|place| coils(&place) || auxiliaries(all, place))
}

/// No contactor holds for a circuit behind a board, and with it nothing is chosen that would feed its coils.
fn unchosen(all: &Boards<'_>, index: usize) -> bool {
    let coils = |at: &usize| {
        all.design.circuits[*at]
            .control
            .as_ref()
            .is_some_and(|control| !control.coil_voltage.is_empty() && control.pick_up_va <= 0.0)
    };
    all.circuits_behind(index).iter().any(coils)
}

/// Space heaters or brakes of a board have the voltage of its neutral.
fn auxiliaries(all: &Boards<'_>, place: usize) -> bool {
    let to_neutral = all.tree.places[place].board.voltage_v / 3f64.sqrt();
    let volts = material::figure("auxiliary-voltage", all.book.key());
    let near = (to_neutral / volts - 1.0).abs() <= practice("same-voltage") / 100.0;
    let known = near && all.tree.phases(place) == 3 && all.tree.system(place).is_some_and(|system| System::read(system).neutral);
    let draws = |circuit: &Circuit| {
        let watts = ["space_heater_w", "brake_w"].map(|column| circuit.load.number(column));
        circuit.status != Status::NotSized && watts.iter().any(|watts| watts.is_some_and(|watts| watts > 0.0))
    };
    known && all.circuits_of(place).any(draws)
}

/// The board and those behind it without a transformer between.
fn boards_joined<'b>(all: &'b Boards<'_>, index: usize) -> impl Iterator<Item = usize> + use<'b> {
    (0..all.tree.places.len()).filter(move |place| {
        let way = all.tree.way(*place);
        way.contains(&index) && way.iter().take_while(|way| **way != index).all(|way| all.tree.places[*way].transformer.is_none())
    })
}

/// Loads behind a board without a transformer between.
fn joined<'b, 'a>(all: &'b Boards<'a>, index: usize) -> impl Iterator<Item = &'b Load<'a>> {
    let direct = move |circuit: &usize| {
        let Some(board) = all.board_of[*circuit] else { return false };
        let way = all.tree.way(board);
        way.iter().take_while(|way| **way != index).all(|way| all.tree.places[*way].transformer.is_none())
    };
    all.circuits_behind(index).into_iter().filter(direct).filter_map(|circuit| all.load(circuit))
}

/// Rating of the device before it; none where others bring that.
fn before(all: &Boards<'_>, place: &Place<'_>, index: usize) -> Option<f64> {
    (all.described(index) && !place.board.feeder.kind.is_empty()).then_some(place.board.feeder_protection_a)
}

/// The current that the largest motor on the line draws more when it stalls, with all else that runs.
fn stalled(all: &Boards<'_>, place: &Place<'_>, index: usize) -> Option<f64> {
    let running = place.board.running_current_a.max(place.board.demand_current_a);
    let of = |load: &Load<'_>| {
        let facts = &load.facts;
        let on_line = facts.machine.kind == LoadKind::Motor
            && !load.single()
            && (facts.start.method != Method::Drive || facts.start.bypass);
        let rated = facts.rated().of_larger_speed().0 * load.beyond;
        on_line.then_some((rated * (facts.start.ratio.value - 1.0), rated))
    };
    let more = joined(all, index).filter_map(of).max_by(|one, other| one.0.total_cmp(&other.0));
    // The motor itself is among what runs, unless less runs than it draws.
    more.map(|(more, rated)| running + more + rated - rated.min(running))
}

fn panel(all: &Boards<'_>, place: &Place<'_>, index: usize, row: &SwitchDisconnector, say: Say<'_>) {
    let Some(incoming) = &place.board.incoming else { return };
    let volts = place.board.voltage_v;
    let stalled = stalled(all, place, index);
    let complete = all.complete(&all.circuits_behind(index));
    let (category, multiple) = if stalled.is_some() { ("AC-23A", BREAKS_MOTORS) } else { ("AC-22A", BREAKS_MIXED) };
    let rated = match (category, fits(volts, LOW_COLUMN_V)) {
        // Nothing is declared above that.
        _ if !fits(volts, HIGH_COLUMN_V) => 0.0,
        ("AC-23A", true) => row.ac23_440_a,
        ("AC-23A", false) => row.ac23_690_a,
        (_, true) => row.ac22_440_a,
        (_, false) => row.ac22_690_a,
    };
    let poles = incoming.poles.is_some_and(|poles| row.poles == poles || poles == 2 && row.poles == 3);
    let so = incoming.rating_a == Some(row.rating_a)
        && incoming.short_time_ka == Some(row.short_time_ka)
        && incoming.making_ka == Some(row.making_ka)
        && incoming.rating_hp.is_none()
        && incoming.magnetic_trip_a.is_none()
        && row.lockable
        && fits(volts, HIGH_COLUMN_V)
        && poles
        && !incoming.apart;
    told_as(so, incoming, say);
    if complete {
        let breaks = incoming.breaking_a.is_some_and(|breaking_a| near(breaking_a, multiple * rated, 2e-3));
        if incoming.category != category || !breaks {
            say(
                &codes::V861_INCOMING,
                format!(
                    "{} breaks {:?} A in {}; {multiple} times {rated} A in {category}",
                    incoming.part, incoming.breaking_a, incoming.category
                ),
            );
        }
        if let Some(stalled) = stalled {
            check(place, "stalled-motor", Some(stalled), multiple * rated, say);
        }
    }
    check(place, "disconnect-rating", Some(place.with_spare()), rated, say);
    check(place, "device-before", before(all, place, index), row.rating_a, say);
    let Some(fault) = place.board.prospective_fault_ka else {
        check(place, "short-time-current", None, row.short_time_ka, say);
        return;
    };
    let fuse = place.board.feeder.kind == "gG" && before(all, place, index).is_some_and(|rating| fits(rating, row.max_fuse_a));
    if fuse && checks(place).any(|check| check.name == "conditional-short-circuit-current") {
        check(place, "conditional-short-circuit-current", Some(fault), row.conditional_ka, say);
    } else {
        check(place, "short-time-current", Some(fault), row.short_time_ka, say);
        check(place, "making-capacity", place.board.peak_ka, row.making_ka, say);
    }
}

/// A switch that is rated in horsepower, by the book: for what runs for sure, and for no more than what may run.
fn by_book(all: &Boards<'_>, place: &Place<'_>, index: usize, incoming: &BoardIncoming, rated: f64, say: Say<'_>) {
    let circuits = all.circuits_behind(index);
    let items = all.items(index, &circuits).least();
    let ask = SwitchAsk {
        items: &items,
        wanted: Amperes(place.with_spare()),
        stalled: None,
        phases: all.tree.phases(index),
        voltage: Volts(place.board.voltage_v),
    };
    let demand = all.book.incoming_switch(&ask, &mut Record::silent());
    let lacks = match demand.horsepower {
        SwitchHorsepower::AtLeast(horsepower) => {
            // With all that may run the sums may lie beyond the tables: then the check says that it was not made.
            let told = checks(place).find(|check| check.name == "disconnect-horsepower");
            let left_open = told.is_some_and(|check| check.passed.is_none());
            let holds = |(value, limit)| fits(horsepower, value) && incoming.rating_hp == Some(limit) && fits(value, limit);
            !left_open && !told.and_then(|check| check.value.zip(check.limit)).is_some_and(holds)
        }
        SwitchHorsepower::Unknown(_) | SwitchHorsepower::None => false,
    };
    let told = checks(place).find(|check| check.name == "disconnect-rating").and_then(|check| check.value.zip(check.limit));
    let carried = told
        .is_some_and(|(value, limit)| fits(demand.current.0, value + 2e-3) && (limit - rated).abs() < 1e-9 && fits(value, limit));
    if lacks || !carried {
        say(
            &codes::V861_INCOMING,
            format!(
                "{} does not carry {:.1} A, or has not the horsepower of what stands behind it",
                incoming.part, demand.current.0
            ),
        );
    }
    check(place, "device-before", before(all, place, index), rated, say);
}

/// A circuit-breaker: whether it is as told, its rating, the range of its trip in amperes and the tolerance of that, per cent.
fn breaker(
    all: &Boards<'_>,
    place: &Place<'_>,
    index: usize,
    (so, rating, trip, tolerance): (bool, f64, [f64; 2], f64),
    say: Say<'_>,
) {
    let Some(incoming) = &place.board.incoming else { return };
    let set = incoming.magnetic_trip_a.is_some_and(|set| set >= trip[0] - 2e-3 && set <= trip[1] + 2e-3);
    let empty = incoming.category.is_empty()
        && incoming.breaking_a.is_none()
        && incoming.short_time_ka.is_none()
        && incoming.making_ka.is_none();
    told_as(so && set && empty && incoming.rating_a == Some(rating) && !incoming.apart, incoming, say);
    let unread = !all.complete(&all.circuits_behind(index));
    // By rules for motors it carries what flows, as the device of a feeder does.
    let by_motors =
        !all.book.knows_machines() && all.items(index, &all.circuits_behind(index)).most().iter().any(|item| item.term.motor);
    let least = if by_motors || unread { place.board.demand_current_a.min(place.with_spare()) } else { place.with_spare() };
    if !fits(least, rating + 1e-3) {
        say(&codes::V861_INCOMING, format!("{} of {rating} A stands where {least} A are wanted", incoming.part));
    }
    let carries = checks(place).any(|check| check.name == "protection-carries" && check.limit == Some(rating));
    if !carries {
        say(&codes::V802_CHECK_MISSING, "check protection-carries of its incoming device is missing or of another".to_owned());
    }
    breaks(place, incoming.breaking_ka.unwrap_or(0.0), say);
    if let Some(bus) = place.basis.and_then(|board| board.bus_rating_a) {
        check(place, "bus-rating", Some(rating), bus, say);
    }
    // Above the start of each load by itself; with what else runs a check tells it.
    let may_run = |load: &&Load<'_>| !spare(load.circuit());
    let largest = joined(all, index).filter(may_run).filter_map(Load::start).fold(0.0, f64::max);
    let lower = incoming.magnetic_trip_a.unwrap_or(0.0) * (1.0 - tolerance / 100.0);
    if !fits(largest, lower + 1e-3) {
        say(&codes::V861_INCOMING, format!("its incoming circuit-breaker may trip at {lower} A; a start draws {largest} A"));
    }
}
