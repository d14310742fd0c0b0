//! What others choose and supply for a board as a whole, named so that somebody orders it: its emergency stop, the equipment that transfers
//! it from one source to another, and the transformer before it with the device and the conductors on its primary.

use std::collections::BTreeSet;

use crate::basis::LISTED;
use crate::design::{Board, BoardTransformer, Circuit, Part};
use crate::network::{Network, links};
use crate::record::significant;
use crate::sizing::Tools;

/// Lists it on each board; a transformer stands on the first of the boards that it feeds.
pub(super) fn add(boards: &mut [Board], circuits: &[Circuit], network: &Network, tools: &Tools<'_>) {
    let mut told = BTreeSet::new();
    let stopping: BTreeSet<(&str, &str)> =
        circuits.iter().filter_map(|circuit| Some((circuit.board.as_str(), stop_category(circuit)?))).collect();
    for board in boards {
        let categories = stopping.iter().filter(|(name, _)| *name == board.name).map(|(_, category)| *category);
        board.by_others.extend(emergency_stop(&board.name, &categories.collect::<Vec<_>>()));
        board.by_others.extend(transfer(board, network, tools));
        let transformer = network.find(&board.name).and_then(|index| network.tree.nodes.get(index)?.transformer);
        if let (Some(index), Some(chosen)) = (transformer.filter(|index| told.insert(*index)), &board.transformer) {
            board.by_others.extend(of_transformer(index, chosen, board.voltage_v, tools));
        }
    }
}

/// Two sources that feed a board in turn must never meet: something transfers it from one to the other. A source that stands in for the
/// supply of several boards is transferred once, before them, or at each: the design of the plant says which.
fn transfer(board: &Board, network: &Network, tools: &Tools<'_>) -> Option<Part> {
    let index = network.find(&board.name)?;
    let others = links::standing_in_at(&network.tree, index, tools.basis);
    if others.is_empty() {
        return None;
    }
    let names = others.iter().map(|source| links::name_of_feed(tools.basis, *source)).collect::<Vec<_>>().join(", ");
    let stated = board.fed_from.as_deref().and_then(|stated| stated.split(LISTED).next()).map(str::trim);
    let of_supply = |name: &&str| name.is_empty() || name.eq_ignore_ascii_case("supply");
    let usual = stated.filter(|name| !of_supply(name)).unwrap_or("the supply");
    let voltage = if board.voltage_v > 0.0 { format!(", {} V", significant(board.voltage_v, 4)) } else { String::new() };
    let demand = board.demand_current_a;
    let carries = if demand > 0.0 { format!(", to carry {} A at least", significant(demand, 4)) } else { String::new() };
    let what = format!("transfer equipment of board {} from {usual} to {names}{voltage}{carries}", board.name);
    Some(by_others(what, 1.0, "pc"))
}

/// The category in which a row is stopped in an emergency, such as `category 0`.
fn stop_category(circuit: &Circuit) -> Option<&str> {
    circuit.stated.get("emergency_stop")?.as_str()?.strip_prefix("category-")
}

/// An emergency stop serves a machine or a zone, not a motor: how many devices it takes is a matter of its design (ISO 13850, 4.1.2).
fn emergency_stop(board: &str, categories: &[&str]) -> Option<Part> {
    let categories = (!categories.is_empty()).then(|| categories.join(" and "))?;
    let of_board = if board.is_empty() { String::new() } else { format!(" of {board}") };
    let what = format!("emergency-stop devices and safety relay{of_board}, stop category {categories}: quantity as designed");
    Some(by_others(what, 1.0, "pc"))
}

fn by_others(description: String, quantity: f64, unit: &str) -> Part {
    Part { description, quantity, unit: unit.to_owned(), by_others: true, ..Part::default() }
}

fn of_transformer(index: usize, chosen: &BoardTransformer, board_v: f64, tools: &Tools<'_>) -> Vec<Part> {
    let Some(stated) = tools.basis.transformers.get(index) else { return Vec::new() };
    let name = tools.basis.transformer_name(index);
    let before = stated.from.as_deref().and_then(|from| tools.basis.board_voltage(from.trim()));
    let shown = |value: f64| significant(value, 4);
    let secondary = stated.secondary_voltage_v.unwrap_or(board_v);
    let voltages = before
        .map_or_else(|| format!("to {} V", shown(secondary)), |primary| format!("{}/{} V", shown(primary), shown(secondary)));
    let figures = [
        stated.kva.map(|kva| format!("{} kVA", shown(kva))),
        stated.impedance_pct.map(|impedance_pct| format!("{} %", shown(impedance_pct))),
        (secondary > 0.0).then_some(voltages),
    ];
    let figures = figures.into_iter().flatten().map(|figure| format!(", {figure}")).collect::<String>();
    let rating = match chosen.primary_protection_a {
        Some(rating_a) if chosen.largest => format!(", at most {} A ({})", shown(rating_a), chosen.reference),
        Some(rating_a) => format!(", usually {} A ({})", shown(rating_a), chosen.reference),
        None => ", rating to be chosen".to_owned(),
    };
    vec![
        by_others(format!("transformer {name}{figures}"), 1.0, "pc"),
        by_others(format!("device on the primary of transformer {name}{rating}"), 1.0, "pc"),
        // Nobody states how long they are.
        by_others(
            format!("conductors on the primary of transformer {name}, protected by its device"),
            0.0,
            tools.book.length_unit(),
        ),
    ]
}
