//! The boards of a design: the network that feeds them, what is known of each (loads, feeder, fault currents, starts, heat and width,
//! checks, findings, working), its control supplies in words, and its one-line diagram.

use std::collections::BTreeMap;

use serde::Serialize;

use super::bars::{CheckLine, board_check_line};
use super::lists::{kind, make_up};
use super::memory;
use super::points::{Note, notes};
use super::sheet::{StepLine, kept_step};
use super::state::{Link, Mark};
use super::text::{count, decimals_for, fixed, number, quantity};
use crate::design::{Board, Circuit, ControlSupply, Design, Status};
use crate::report::columns;
use crate::report::drawings::network::network;
use crate::report::drawings::one_line::{Ways, one_line};
use crate::report::submittal::lists::quantity_trimmed;
use crate::report::words::{brief, full, terms};
use crate::rules::units::Units;

/// The parts that are printed once for all boards.
#[derive(Clone, Debug, Default, Serialize)]
pub(super) struct NetworkPage {
    /// Finished drawings; none where the basis tells of no network.
    drawings: Vec<String>,
    restarts: Vec<RestartBlock>,
}

/// The return of a supply.
#[derive(Clone, Debug, Serialize)]
struct RestartBlock {
    feed: String,
    together: String,
    groups: Vec<[String; 2]>,
}

/// A board as it is printed.
#[derive(Clone, Debug, Serialize)]
pub(super) struct BoardPage {
    name: String,
    anchor: String,
    /// Mark of the present revision, and what it did to the board.
    mark: Option<Mark>,
    facts: Vec<Fact>,
    loads: Option<Loads>,
    /// Feeder and transformer: item, what it is, figures.
    feeder: Vec<[String; 3]>,
    faults: Vec<Fact>,
    dips: Vec<[String; 6]>,
    notes: Vec<Note>,
    /// Tables from memory on which it leans.
    memory: String,
    checks: Vec<CheckLine>,
    steps: Vec<StepLine>,
    /// Finished drawings, seven ways each.
    drawings: Vec<String>,
}

/// A fact with its label.
#[derive(Clone, Debug, Serialize)]
struct Fact {
    label: &'static str,
    value: String,
    /// Several words: it takes more room.
    long: bool,
}

/// Sums of a board: one line each for what is connected, runs and is demanded.
#[derive(Clone, Debug, Serialize)]
struct Loads {
    lines: Vec<[String; 8]>,
    remark: String,
}

/// Places of the boards in the page, by name.
fn anchors(design: &Design) -> BTreeMap<&str, String> {
    let mut places = BTreeMap::new();
    for (board, number) in design.boards.iter().zip(1..) {
        places.entry(board.name.as_str()).or_insert_with(|| format!("board{number}"));
    }
    places
}

/// Links to the boards of a design, in its order.
pub(super) fn links(design: &Design) -> Vec<Link> {
    let anchors = anchors(design);
    let link = |tag: &String| Link { tag: tag.clone(), anchor: anchors[tag.as_str()].clone(), sheet: true };
    design.boards.iter().map(|board| link(&board.name)).collect()
}

/// The network and the returns of its supplies.
pub(super) fn of_network(design: &Design, units: Units) -> NetworkPage {
    let anchors = anchors(design);
    let place = |name: &str| anchors.get(name).cloned().unwrap_or_default();
    NetworkPage {
        drawings: if columns::has_network(design) { network(design, &place, units) } else { Vec::new() },
        restarts: design.restarts.iter().filter(|restart| !restart.groups.is_empty()).map(restart).collect(),
    }
}

fn restart(restart: &crate::design::Restart) -> RestartBlock {
    RestartBlock {
        feed: restart.feed.clone(),
        together: super::text::sentence(&columns::restart_words(restart)),
        groups: restart.groups.iter().map(columns::restart_group_words).collect(),
    }
}

/// Label of control supplies.
const SUPPLY: &str = "control supply";

/// All boards: those of the design in its order, then those that only circuits name.
pub(super) fn boards(design: &Design, links: &[Link], units: Units) -> Vec<BoardPage> {
    let mut list: Vec<Ways<'_>> =
        design.boards.iter().map(|board| Ways { name: &board.name, board: Some(board), ways: Vec::new() }).collect();
    let mut places: BTreeMap<&str, usize> = BTreeMap::new();
    list.iter().enumerate().for_each(|(index, ways)| _ = places.entry(ways.name).or_insert(index));
    for (circuit, link) in design.circuits.iter().zip(links) {
        let index = *places.entry(&circuit.board).or_insert_with(|| {
            list.push(Ways { name: &circuit.board, board: None, ways: Vec::new() });
            list.len() - 1
        });
        list[index].ways.push((circuit, link));
    }
    list.retain(|ways| {
        !ways.ways.is_empty() || ways.board.is_some_and(|board| board.connected_kw > 0.0 || columns::has_feeder(board))
    });
    let anchors = anchors(design);
    let page = |(number, ways): (usize, &Ways<'_>)| BoardPage {
        name: if ways.name.is_empty() { "no board named".to_owned() } else { ways.name.to_owned() },
        anchor: anchors.get(ways.name).cloned().unwrap_or_else(|| format!("board-{number}")),
        mark: ways.board.and_then(Mark::of_board),
        facts: facts(ways, design, units),
        loads: ways.board.and_then(loads),
        feeder: ways.board.map(|board| feeder(board, units)).unwrap_or_default(),
        faults: ways.board.map(|board| faults(board, units)).unwrap_or_default(),
        dips: ways.board.map(dips).unwrap_or_default(),
        notes: ways.board.map(|board| notes(&memory::others(&board.findings), units)).unwrap_or_default(),
        memory: ways.board.map(|board| memory::behind(&board.findings)).unwrap_or_default(),
        checks: ways
            .board
            .map_or_else(Vec::new, |board| board.checks.iter().map(|check| board_check_line(check, units)).collect()),
        steps: ways.board.map_or_else(Vec::new, |board| board.working.iter().map(|line| kept_step(line, units)).collect()),
        drawings: one_line(ways, number, units),
    };
    (1..).zip(&list).map(page).collect()
}

fn facts(outgoing: &Ways<'_>, design: &Design, units: Units) -> Vec<Fact> {
    let basis = design.basis.board(outgoing.name);
    let mut facts = Vec::new();
    let mut add = |label, value: Option<String>| {
        if let Some(value) = value.filter(|text| !text.is_empty()) {
            facts.push(Fact { label, value, long: [SUPPLY, "ways"].contains(&label) });
        }
    };
    add("voltage", outgoing.board.filter(|board| board.voltage_v > 0.0).map(|board| quantity_trimmed(board.voltage_v, "V")));
    add("system", outgoing.board.and_then(|board| board.system.clone()));
    add(units.pick("earthing", "grounding"), outgoing.board.and_then(|board| board.earthing.clone()));
    add("fed from", outgoing.board.map(|board| columns::fed_from(board).into_owned()));
    add("largest fault current", Some(largest_fault(outgoing).map_or_else(|| "?".to_owned(), |ka| quantity(ka, 1, "kA"))));
    add(
        "smallest fault current, any kind",
        smallest_fault(outgoing, basis).map(|ka| quantity(ka, decimals_for(ka).min(2), "kA")),
    );
    if let Some(board) = outgoing.board {
        let watts = |value: f64| quantity(value, 0, "W");
        add("heat", Some(watts(board.power_loss_w)).filter(|_| board.power_loss_w > 0.0));
        add("enclosure gives off", board.enclosure_dissipation_w.map(watts));
        add(
            "air above the room",
            board.temperature_rise_k.map(|temperature_rise_k| units.temperature_rise((temperature_rise_k * 10.0).round() / 10.0)),
        );
        // Where boards are bought by sections and units, the sum of the devices side by side tells a buyer nothing.
        add("width", Some(width(board, units)).filter(|_| board.width_mm > 0.0 && units == Units::Metric));
    }
    add("ways", Some(ways(&outgoing.ways)));
    for supply in outgoing.board.map_or(&[][..], |board| &board.control_supplies) {
        add(SUPPLY, Some(control_supply(supply, units)));
    }
    facts
}

/// Width of the rails with the rows that it takes.
fn width(board: &Board, units: Units) -> String {
    let rows = board.rows.map(|rows| format!(", {}", count(rows as usize, "row", "rows")));
    format!("{}{}", quantity(units.width(board.width_mm), 0, units.width_unit()), rows.unwrap_or_default())
}

/// Sums of what is connected, what runs together, and what is demanded; none of a board without loads.
fn loads(board: &Board) -> Option<Loads> {
    if board.connected_kw <= 0.0 && board.demand_current_a <= 0.0 {
        return None;
    }
    let some = |value: f64, decimals: usize| if value > 0.0 { number(value, decimals) } else { String::new() };
    let [l1, l2, l3] = board.phase_currents_a.map(|phase_currents_a| some(phase_currents_a, 1));
    let line = |what: &str, rest: [String; 7]| {
        let mut cells: [String; 8] = Default::default();
        cells[0] = what.to_owned();
        cells[1..].clone_from_slice(&rest);
        cells
    };
    let none = String::new;
    let pf = board.power_factor.map(|power_factor| number(power_factor, 2)).unwrap_or_default();
    let lines = vec![
        line(
            "Connected, all rows at rated output",
            [some(board.connected_kw, 1), none(), none(), none(), none(), none(), none()],
        ),
        line(
            "Running together",
            [some(board.running_kw, 1), some(board.running_kvar, 1), pf, some(board.running_current_a, 1), l1, l2, l3],
        ),
        line("Demand", [none(), none(), none(), some(board.demand_current_a, 1), none(), none(), none()]),
    ];
    let mut remarks: Vec<String> = Vec::new();
    if !board.largest_motor_tag.is_empty() {
        remarks.push(format!("Largest motor: {}.", board.largest_motor_tag));
    }
    if board.spare_kw > 0.0 {
        remarks.push(format!("Of what is connected, {} are equipped spare ways.", quantity(board.spare_kw, 1, "kW")));
    }
    if board.unbalance_pct >= 0.05 {
        remarks.push(format!("The highest phase is {} above the mean.", quantity(board.unbalance_pct, 1, "%")));
    }
    if board.nonlinear_pct >= 0.05 {
        remarks.push(format!("{} of what runs are drives and other rectifiers.", quantity(board.nonlinear_pct, 1, "%")));
    }
    let phases = columns::phases_of_rows(board);
    if !phases.is_empty() {
        let assigned = board.phases_of_rows.iter().filter(|phase_of_row| !phase_of_row.stated).count();
        let by = match assigned {
            0 => "as the schedule states",
            all if all == board.phases_of_rows.len() => "assigned here",
            _ => "as stated, else assigned here",
        };
        remarks.push(format!("Single-phase rows, {by}: {phases}."));
    }
    Some(Loads { lines, remark: remarks.join(" ") })
}

/// Feeder, device at the head and transformer, a line each.
fn feeder(board: &Board, units: Units) -> Vec<[String; 3]> {
    let mut lines: Vec<[String; 3]> = Vec::new();
    let ampere = |value: f64| quantity_trimmed(value, "A");
    if board.feeder_minimum_a > 0.0 {
        let most = board
            .feeder_protection_maximum_a
            .map(|feeder_protection_maximum_a| format!("protected at not more than {}", ampere(feeder_protection_maximum_a)));
        let least = format!("at least {}", quantity(board.feeder_minimum_a, 1, "A"));
        lines.push(["Needed".to_owned(), least, most.unwrap_or_default()]);
    }
    if columns::has_feeder(board) {
        if board.feeder_protection_a > 0.0 {
            let board_feeder = &board.feeder;
            let trip = board_feeder.magnetic_trip_a.map(|magnetic_trip_a| {
                format!("{} {}", units.pick("magnetic trip", "instantaneous trip"), ampere(magnetic_trip_a))
            });
            let breaks = board_feeder
                .breaking_ka
                .map(|breaking_ka| format!("{} {}", units.pick("breaks", "interrupts"), quantity_trimmed(breaking_ka, "kA")));
            let part = Some(board_feeder.part.clone()).filter(|part| !part.is_empty());
            let what = format!("{} {}", columns::feeder_device(board, units), ampere(board.feeder_protection_a));
            let figures = [trip, breaks, part].into_iter().flatten().collect::<Vec<_>>().join(", ");
            lines.push(["Device".to_owned(), what, figures]);
        }
        lines.extend(conductors(board, units));
    }
    if board.incoming.is_some() {
        let item = units.pick("Incoming device", "Main disconnect").to_owned();
        lines.push([item, columns::incoming_rated(board, units), columns::incoming_figures(board, units)]);
    }
    if let Some(transformer) = &board.transformer {
        let name = super::text::capital(&columns::transformer_name(transformer));
        let words = columns::transformer_words(transformer);
        let (demand, rest) = words.split_once("; ").unwrap_or((&words, ""));
        let clause = if transformer.reference.is_empty() { String::new() } else { format!(" ({})", transformer.reference) };
        lines.push([name, demand.to_owned(), format!("{rest}{clause}")]);
    }
    lines
}

fn conductors(board: &Board, units: Units) -> Option<[String; 3]> {
    let drop = match (board.known_drop_pct(), board.feeder.drop_pct) {
        (Some(drop_pct), _) => Some(format!("voltage drop from the origin {}", quantity(drop_pct, 2, "%"))),
        (None, Some(_)) => Some("voltage drop from the origin not known".to_owned()),
        (None, None) => None,
    };
    let spare = board.feeder.spare_pct.map(|spare_pct| format!("spare {}", quantity(spare_pct, 1, "%")));
    let Some(run) = &board.feeder.run else {
        let figures = [drop, spare].into_iter().flatten().collect::<Vec<_>>().join(", ");
        let words = board.feeder_conductor.replace("mm2", "mm²");
        return (!words.is_empty()).then(|| [terms(units).cable.to_owned(), words, figures]);
    };
    let length = quantity(units.length(run.length_m), 0, units.length_unit());
    let laid = if run.installation.is_empty() {
        String::new()
    } else {
        format!(", {} {}", terms(units).laid, brief(units, &run.installation))
    };
    let raceway = columns::raceway_words(run, units);
    let raceway = if raceway.is_empty() { String::new() } else { format!(", {raceway}") };
    let length = if run.length_m > 0.0 { format!(", {length}") } else { String::new() };
    let what = format!("{}, {}{raceway}{laid}{length}", make_up(run, units), kind(run, units));
    let carries = format!(
        "{} {} for {}",
        units.pick("carries", "ampacity"),
        quantity(run.capacity_a, 1, "A"),
        quantity(run.required_a, 1, "A")
    );
    let governed = (!run.governed_by.is_empty()).then(|| format!("governed by {}", full(units, &run.governed_by)));
    let figures = [Some(carries), spare, drop, governed].into_iter().flatten().collect::<Vec<_>>().join(", ");
    Some([terms(units).cable.to_owned(), what, figures])
}

/// Fault currents; none where none is known.
fn faults(board: &Board, units: Units) -> Vec<Fact> {
    let mut facts = Vec::new();
    let mut add = |label, value: Option<f64>| {
        if let Some(ka) = value {
            facts.push(Fact { label, value: quantity(ka, decimals_for(ka).clamp(1, 2), "kA"), long: false });
        }
    };
    add("largest, any kind", board.prospective_fault_ka);
    add("three-phase", board.three_phase_fault_ka);
    add("three-phase, without motors", board.prospective_fault_without_motors_ka);
    add(units.pick("largest to earth", "largest to ground"), board.earth_fault_ka);
    add("smallest, any kind", board.prospective_fault_min_ka);
    add("peak", board.peak_ka);
    if let Some(pct) = board.voltage_running_pct {
        facts.push(Fact { label: "voltage while all runs", value: quantity(pct, 1, "%"), long: false });
    }
    facts
}

/// The largest start behind each feed.
fn dips(board: &Board) -> Vec<[String; 6]> {
    let line = |start_dip: &crate::design::StartDip| {
        let feed = if start_dip.usual { start_dip.feed.clone() } else { format!("{}, standing in", start_dip.feed) };
        let [before, during, dip] = columns::dip_figures(start_dip);
        let terminals = start_dip.terminals_dip_pct.map_or_else(|| "unknown".to_owned(), |value| number(value, 1));
        [feed, start_dip.tag.clone(), before, during, dip, terminals]
    };
    board.dips.iter().map(line).collect()
}

fn largest_fault(ways: &Ways<'_>) -> Option<f64> {
    let of_ways = ways.ways.iter().filter_map(|(circuit, _)| circuit.fault.board_max_ka);
    ways.board.and_then(|board: &Board| board.prospective_fault_ka).or_else(|| of_ways.reduce(f64::max))
}

fn smallest_fault(ways: &Ways<'_>, basis: Option<&crate::basis::BoardBasis>) -> Option<f64> {
    ways.board.and_then(|board| board.prospective_fault_min_ka).or_else(|| basis.and_then(|board| board.prospective_fault_min_ka))
}

/// Number of ways with those that wait.
fn ways(ways: &[(&Circuit, &Link)]) -> String {
    let of = |status: Status| ways.iter().filter(|(circuit, _)| circuit.status == status).count();
    let mut text = count(ways.len(), "row", "rows");
    let circuits: u32 = ways.iter().map(|(circuit, _)| circuit.quantity.max(1)).sum();
    if circuits as usize != ways.len() {
        text = format!("{text}, {circuits} circuits");
    }
    match of(Status::NeedsDecision) {
        0 => {}
        1 => text.push_str(", 1 needs a decision"),
        several => text.push_str(&format!(", {several} need a decision")),
    }
    match of(Status::NotSized) {
        0 => {}
        some => text.push_str(&format!(", {some} not sized")),
    }
    text
}

/// A control supply with its devices and whom it serves.
fn control_supply(supply: &ControlSupply, units: Units) -> String {
    let kind = if supply.kind == "line" { "from the line".to_owned() } else { full(units, &supply.kind) };
    let rating = supply.rating_va.map(|va| quantity(va, 0, "VA")).unwrap_or_default();
    let device = |device: &Option<crate::design::ControlDevice>, at: &str| {
        device
            .as_ref()
            .map(|device| {
                format!("{at} {}\u{a0}\u{d7} {} {}", device.quantity, device.kind, quantity_trimmed(device.rating_a, "A"))
            })
            .unwrap_or_default()
    };
    let serves = format!("serves {}", count(supply.serves.len(), "row", "rows"));
    [
        format!("{kind} {rating}").trim_end().to_owned(),
        fixed(&supply.coil_voltage),
        device(&supply.primary, "before it"),
        device(&supply.secondary, "behind it"),
        serves,
    ]
    .into_iter()
    .filter(|text| !text.is_empty())
    .collect::<Vec<_>>()
    .join(", ")
}
