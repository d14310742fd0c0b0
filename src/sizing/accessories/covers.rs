//! Covers of terminals: shrouds that keep fingers away, and barriers that keep phases apart where lugs stand bare.

use super::{Shelf, Use};

/// Adds shrouds where a frame isn't finger-safe by itself and the project wants it so, else the barriers that its frame takes.
pub(super) fn add(shelf: &mut Shelf<'_, '_>) {
    for at in 0..shelf.assembly.contactors.len() {
        let chosen = &shelf.assembly.contactors[at];
        let (role, Some(contactor)) = (chosen.role.name, chosen.contactor) else { continue };
        if contactor.finger_safe {
            continue;
        }
        if shelf.case.wishes.finger_protection {
            let part = shelf.for_frame("shroud", "", &contactor.frame);
            let purpose = Use::new(role, "keeps fingers from the terminals");
            shelf.put("shroud", part, 1, &format!("frame {}", contactor.frame), &purpose);
        } else if let Some(part) = shelf.for_frame("phase-barrier", "", &contactor.frame) {
            shelf.push("phase-barrier", Some(part), 1, &Use::new(role, "keeps bare lugs of the phases apart"));
        }
    }
}
