//! The boards of a design: what is known of each, its control supplies in words, and its one-line diagram.

use serde::Serialize;

use super::state::Link;
use super::text::{count, decimals_for, fixed, quantity};
use crate::design::{Board, Circuit, ControlSupply, Design, Status};
use crate::report::drawings::one_line::{Ways, one_line};
use crate::report::submittal::lists::quantity_trimmed;
use crate::report::words::full;
use crate::rules::units::Units;

/// A board as it is printed.
#[derive(Clone, Debug, Serialize)]
pub(super) struct BoardPage {
    name: String,
    facts: Vec<Fact>,
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

/// Label of control supplies.
const SUPPLY: &str = "control supply";

/// All boards: those of the design in its order, then those that only circuits name.
pub(super) fn boards(design: &Design, links: &[Link], units: Units) -> Vec<BoardPage> {
    let mut list: Vec<Ways<'_>> =
        design.boards.iter().map(|own| Ways { name: &own.name, board: Some(own), ways: Vec::new() }).collect();
    for (circuit, link) in design.circuits.iter().zip(links) {
        let index = list.iter().position(|own| own.name == circuit.board).unwrap_or_else(|| {
            list.push(Ways { name: &circuit.board, board: None, ways: Vec::new() });
            list.len() - 1
        });
        list[index].ways.push((circuit, link));
    }
    list.retain(|own| !own.ways.is_empty());
    let page = |(number, own): (usize, &Ways<'_>)| BoardPage {
        name: if own.name.is_empty() { "no board named".to_owned() } else { own.name.to_owned() },
        facts: facts(own, design, units),
        drawings: one_line(own, number, units),
    };
    (1..).zip(&list).map(page).collect()
}

fn facts(own: &Ways<'_>, design: &Design, units: Units) -> Vec<Fact> {
    let basis = design.basis.board(own.name);
    let supply = &design.basis.supply;
    let mut facts = Vec::new();
    let mut add = |label, value: Option<String>| {
        if let Some(value) = value.filter(|text| !text.is_empty()) {
            facts.push(Fact { label, value, long: [SUPPLY, "ways"].contains(&label) });
        }
    };
    add("voltage", own.board.filter(|board| board.voltage_v > 0.0).map(|board| quantity_trimmed(board.voltage_v, "V")));
    let system = basis.and_then(|own| own.system.clone()).or_else(|| supply.system.clone());
    let earthing = basis.and_then(|own| own.earthing.clone()).or_else(|| supply.earthing.clone());
    add("system", system.or(earthing));
    add("fed from", own.board.and_then(|board| board.fed_from.clone()));
    add("largest fault current", Some(largest_fault(own).map_or_else(|| "?".to_owned(), |ka| quantity(ka, 1, "kA"))));
    add(
        units.pick("smallest fault current to earth", "smallest fault current to ground"),
        smallest_fault(own, basis).map(|ka| quantity(ka, decimals_for(ka).min(2), "kA")),
    );
    add("ways", Some(ways(&own.ways)));
    for supply in own.board.map_or(&[][..], |board| &board.control_supplies) {
        add(SUPPLY, Some(control_supply(supply, units)));
    }
    facts
}

fn largest_fault(own: &Ways<'_>) -> Option<f64> {
    let of_ways = own.ways.iter().filter_map(|(circuit, _)| circuit.fault.board_max_ka);
    own.board.and_then(|board: &Board| board.prospective_fault_ka).or_else(|| of_ways.reduce(f64::max))
}

fn smallest_fault(own: &Ways<'_>, basis: Option<&crate::basis::BoardBasis>) -> Option<f64> {
    own.board.and_then(|board| board.prospective_fault_min_ka).or_else(|| basis.and_then(|own| own.prospective_fault_min_ka))
}

/// Number of ways with those that wait.
fn ways(ways: &[(&Circuit, &Link)]) -> String {
    let of = |status: Status| ways.iter().filter(|(circuit, _)| circuit.status == status).count();
    let mut text = count(ways.len(), "row", "rows");
    let circuits: u32 = ways.iter().map(|(circuit, _)| circuit.quantity.max(1)).sum();
    if circuits as usize != ways.len() {
        text = format!("{text}, {circuits} circuits");
    }
    for (status, words) in [(Status::NeedsDecision, "need a decision"), (Status::NotSized, "not sized")] {
        if of(status) > 0 {
            text = format!("{text}, {} {words}", of(status));
        }
    }
    text
}

/// A control supply with its devices and whom it serves.
fn control_supply(own: &ControlSupply, units: Units) -> String {
    let kind = if own.kind == "line" { "from the line".to_owned() } else { full(units, &own.kind) };
    let rating = own.rating_va.map(|va| quantity(va, 0, "VA")).unwrap_or_default();
    let device = |device: &Option<crate::design::ControlDevice>, at: &str| {
        device
            .as_ref()
            .map(|own| format!("{at} {}\u{a0}\u{d7} {} {}", own.quantity, own.kind, quantity_trimmed(own.rating_a, "A")))
            .unwrap_or_default()
    };
    let serves = format!("serves {}", count(own.serves.len(), "row", "rows"));
    [
        format!("{kind} {rating}").trim_end().to_owned(),
        fixed(&own.coil_voltage),
        device(&own.primary, "before it"),
        device(&own.secondary, "behind it"),
        serves,
    ]
    .into_iter()
    .filter(|text| !text.is_empty())
    .collect::<Vec<_>>()
    .join(", ")
}
