//! Parts that reset overload relays from afar: one for each relay that stands for itself where the row has a push-button for it.

use super::{count, fed, known, whole};
use crate::finding::codes;
use crate::rules::physics::accessories::About;
use crate::verify::Disagreements;
use crate::verify::accessories::contacts::meanings;
use crate::verify::facts::Facts;

pub(super) fn agree(facts: &Facts<'_>, found: &mut Disagreements) {
    let asked = meanings(facts, "control_station", About::Station).contains(&"reset");
    let mut relays = 0;
    for overload in &facts.circuit.overloads {
        // Releases of breakers and what is inside a device are no relays of the catalogue; a hand-operated starter has no role.
        if asked && !overload.role.is_empty() && facts.shelf.relay(&overload.part).is_some() {
            count(facts, "remote-reset", &overload.role, overload.count, found);
            relays += overload.count;
        }
    }
    whole(facts, "remote-reset", relays, found);
    for (accessory, part) in known(facts, "remote-reset") {
        let mut relays = facts.circuit.overloads.iter().filter(|relay| relay.role == accessory.serves);
        let fits = relays.any(|relay| {
            let row = facts.shelf.relay(&relay.part);
            row.is_some_and(|row| row.fits_frames.split_whitespace().any(|frame| part.fits_frame(frame)))
        });
        found.unless(fits && fed(facts, part), &codes::V601_ACCESSORY_FIT, || {
            format!("{} does not fit the relay of {} or the control voltage", accessory.part, accessory.serves)
        });
    }
}
