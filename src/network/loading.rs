//! The demand of all boards behind a source against its rated power.

use super::Network;
use super::links::standing_in_at;
use super::tree::{Parent, place};
use crate::basis::{Basis, SourceBasis};
use crate::finding::{Finding, codes};
use crate::quantity::{Volts, fits, round_to};
use crate::record::Record;
use crate::rules::feeders::demand_power;

/// Says of every source with a rated power whether the boards that it feeds, alone or in place of the usual feed, ask for more.
pub(super) fn overloaded_sources(network: &Network, basis: &Basis, basis_file: Option<&str>) -> Vec<Finding> {
    let judge = |(index, source): (usize, &SourceBasis)| {
        let rated = source.kva.filter(|kva| *kva > 0.0)?;
        let fed = boards_of(network, basis, index);
        let demand: f64 = fed.iter().map(|board| demand_kva(network, basis, *board)).sum();
        if fits(demand, rated) {
            return None;
        }
        let name = basis.source_name(index);
        let what = format!(
            "the boards behind source {name} ask for {} kVA, its rated power is {rated} kVA ({} %)",
            round_to(demand, 1),
            round_to(100.0 * demand / rated, 0)
        );
        let finding = Finding::new(&codes::B118_SOURCE_OVERLOADED, what)
            .at(place(basis_file, &format!("source {name}: kva")))
            .why("overloaded it loses speed and voltage, and its protection takes it off, with all that it feeds; every load is counted that runs on the usual feed")
            .cure("a larger source, or have loads shed while it feeds, and let demand factors say which are left")
            .reference("ISO 8528-1; demand of the boards");
        Some(finding)
    };
    basis.sources.iter().enumerate().filter_map(judge).collect()
}

/// Boards at which a source is connected, none behind another of them.
fn boards_of(network: &Network, basis: &Basis, source: usize) -> Vec<usize> {
    let nodes = &network.tree.nodes;
    let networks = basis.sources.iter().filter(|source| !source.is_machine()).count();
    let connected = |board: usize| {
        if basis.sources[source].is_machine() {
            nodes[board].parent == Parent::Source(source) || standing_in_at(&network.tree, board, basis).contains(&source)
        } else {
            // Several names of one network do not say which part of it is whose.
            nodes[board].parent == Parent::Supply && networks == 1
        }
    };
    let before = |board: usize| if let Parent::Board(before) = nodes[board].parent { Some(before) } else { None };
    let behind_another = |board: usize| std::iter::successors(before(board), |board| before(*board)).any(connected);
    (0..nodes.len()).filter(|board| connected(*board) && !behind_another(*board)).collect()
}

/// Apparent power that a board asks of its source, kVA: behind a transformer its amperes are those of the secondary.
fn demand_kva(network: &Network, basis: &Basis, board: usize) -> f64 {
    let node = &network.tree.nodes[board];
    let secondary = node.transformer.and_then(|transformer| basis.transformers.get(transformer)?.secondary_voltage_v);
    let asked = network.demanded(board, Volts(secondary.unwrap_or(node.voltage.0)));
    demand_power(asked.phases, asked.voltage, asked.current, &mut Record::silent())
}
