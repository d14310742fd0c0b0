//! Which circuits and devices stand in a board and count for its heat and width.

use crate::basis::BoardBasis;
use crate::catalogue::{Catalogue, Enclosure};
use crate::design::Circuit;
use crate::network::Network;
use crate::network::feeders::Feeder;
use crate::network::tree::Node;

/// Circuits of each row of a board that run together, of all combinations that the network admits the one that weighs most; `places`
/// are the rows in the schedule, ascending, and `weight` is that of one circuit of the row at such a place. A row of which the network
/// knows nothing runs unless it is spare.
pub(super) fn running(circuits: &[&Circuit], places: &[usize], network: &Network, weight: &dyn Fn(usize) -> f64) -> Vec<u32> {
    let at = |place: &usize| network.rows.binary_search_by_key(place, |row| row.row).ok();
    let rows: Vec<Option<usize>> = places.iter().map(at).collect();
    let known: Vec<usize> = rows.iter().copied().flatten().collect();
    let together = network.together.among(&known, &network.rows, &|row| weight(network.rows[row].row));
    let of_row = |row: usize| together.binary_search_by_key(&row, |runs| runs.row).map_or(0, |at| together[at].number);
    let unknown = |circuit: &Circuit| {
        if circuit.load.running.as_deref() == Some("spare") { 0 } else { circuit.quantity }
    };
    circuits.iter().zip(rows).map(|(circuit, row)| row.map_or_else(|| unknown(circuit), of_row)).collect()
}

/// A feeder or transformer that leaves a board, besides its circuits.
pub(super) enum Outgoing<'a> {
    /// A board, over a feeder whose device stands here.
    Board(&'a Node, &'a Feeder, usize),
    /// A transformer, by its place in the basis; the device before it is not chosen.
    Transformer(usize),
}

/// The devices of feeders that stand in a board: those of the boards that it feeds without a transformer between, as far as they
/// are not brought by others; and the transformers that it feeds, each once.
pub(super) fn outgoing<'a>(board: &str, network: &'a Network) -> Vec<Outgoing<'a>> {
    let Some(node) = network.find(board).and_then(|index| network.tree.nodes.get(index)) else { return Vec::new() };
    let mut transformers = std::collections::BTreeSet::new();
    let mut found = Vec::new();
    for child in node.children.iter().copied() {
        let (Some(node), Some(feeder)) = (network.tree.nodes.get(child), network.feeders.get(child)) else { continue };
        match node.transformer {
            Some(transformer) if transformers.insert(transformer) => found.push(Outgoing::Transformer(transformer)),
            None if !feeder.parts.is_empty() => found.push(Outgoing::Board(node, feeder, child)),
            _ => {}
        }
    }
    found
}

/// Parts of the device at the head of a board that stand in it.
pub(super) fn incoming<'a>(board: &str, network: &'a Network) -> &'a [crate::design::Part] {
    let incoming = network.find(board).and_then(|index| network.incoming.get(index)?.as_ref());
    incoming.filter(|incoming| !incoming.apart).map_or(&[], |incoming| &incoming.parts)
}

/// Name of the device before a transformer where it is missing in a sum.
pub(super) fn before_transformer(transformer: usize, basis: &crate::basis::Basis) -> String {
    format!("the device before transformer {}", basis.transformer_name(transformer))
}

/// Its devices stand in an enclosure of its own, not in the board.
pub(super) fn stands_apart(circuit: &Circuit, catalogue: &Catalogue) -> bool {
    circuit.parts.iter().any(|part| catalogue.enclosures.iter().any(|enclosure| enclosure.part == part.part))
}

/// The enclosure that the basis names for a board, in the catalogue.
pub(super) fn enclosure<'a>(board: &BoardBasis, catalogue: &'a Catalogue) -> Option<&'a Enclosure> {
    let wanted = board.enclosure.as_deref()?;
    catalogue.enclosures.iter().find(|part| part.part == wanted)
}
