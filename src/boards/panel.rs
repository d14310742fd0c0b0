//! Which circuits and devices stand in a board and count for its heat and width.

use crate::basis::BoardBasis;
use crate::catalogue::{Catalogue, Enclosure};
use crate::design::Circuit;

/// Circuits of a row that run together: none of a standby or spare one, at most as many as the row says.
pub(super) fn running(circuit: &Circuit) -> u32 {
    if matches!(circuit.load.running.as_deref(), Some("standby" | "spare")) {
        return 0;
    }
    circuit.duty_count.map_or(circuit.quantity, |duty| duty.min(circuit.quantity))
}

/// Its devices stand in an enclosure of its own, not in the board.
pub(super) fn stands_apart(circuit: &Circuit, catalogue: &Catalogue) -> bool {
    circuit.parts.iter().any(|part| catalogue.enclosures.iter().any(|own| own.part == part.part))
}

/// The enclosure that the basis names for a board, in the catalogue.
pub(super) fn enclosure<'a>(own: &BoardBasis, catalogue: &'a Catalogue) -> Option<&'a Enclosure> {
    let wanted = own.enclosure.as_deref()?;
    catalogue.enclosures.iter().find(|part| part.part == wanted)
}
