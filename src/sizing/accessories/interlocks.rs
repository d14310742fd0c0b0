//! Mechanical interlocks: between contactors of a circuit that must never be closed together, and between the contactors of two
//! rows that are interlocked. Both contactors may be open; never are both closed. Line is never joined with star or delta.

use super::{Shelf, Use};
use crate::catalogue::AccessoryPart;
use crate::finding::{Finding, codes};
use crate::sizing::Partner;

/// A mechanical interlock as far as it concerns this circuit.
#[derive(Clone, Debug)]
pub(super) struct Interlock<'a> {
    /// Roles of this circuit that it joins: two, or one where the other is another row's.
    roles: Vec<&'static str>,
    /// The part; none if the catalogue has none.
    pub(super) part: Option<&'a AccessoryPart>,
}

impl Interlock<'_> {
    /// It sits at a role.
    pub(super) fn joins(&self, role: &str) -> bool {
        self.roles.contains(&role)
    }
}

/// Adds the interlocks.
pub(super) fn add<'a>(shelf: &mut Shelf<'_, 'a>) -> Vec<Interlock<'a>> {
    let mut found = Vec::new();
    for (a, b) in shelf.assembly.arrangement.interlocked(&shelf.case.start) {
        let (Some(one), Some(other)) = (shelf.contactor(a), shelf.contactor(b)) else { continue };
        if one.frame != other.frame {
            shelf.find(
                Finding::new(
                    &codes::C510_INTERLOCK_FRAMES,
                    format!("{a} has frame {} and {b} frame {}: no mechanical interlock joins them", one.frame, other.frame),
                )
                .why("with both closed the supply is short-circuited; their electrical interlock is alone")
                .cure("choose contactors of one frame"),
            );
            continue;
        }
        let part = shelf.for_frame("interlock", "", &one.frame);
        let serves = format!("{a} and {b}");
        let purpose = Use::new(&serves, "the two must never be closed together");
        shelf.put("interlock", part, 1, &format!("frame {}", one.frame), &purpose);
        found.push(Interlock { roles: vec![a, b], part });
    }
    found.extend(with_partners(shelf));
    say_enlarged(shelf);
    found
}

/// A partner of another size brings its frame with it: beyond the next frame up, terminals, coil and price are those of another circuit.
fn say_enlarged(shelf: &mut Shelf<'_, '_>) {
    let (Some(shared), Some(alone)) = (&shelf.pins.frame, &shelf.pins.frame_alone) else { return };
    let mut frames: Vec<&str> = shelf.tools.catalogue.contactors.iter().map(|contactor| contactor.frame.as_str()).collect();
    frames.dedup();
    let place = |frame: &str| frames.iter().position(|known| *known == frame);
    if place(shared).zip(place(alone)).is_none_or(|(shared, alone)| shared <= alone + 1) {
        return;
    }
    let partners: Vec<&str> =
        shelf.pins.partners.iter().filter(|partner| partner.mechanical).map(|partner| partner.tag.as_str()).collect();
    let what = format!(
        "the contactor is of frame {shared}, as its interlock partner {} asks; alone it is of frame {alone}",
        partners.join(", ")
    );
    shelf.find(
        Finding::new(&codes::C232_PARTNER_ENLARGES, what)
            .why("a mechanical interlock joins contactors of one frame; wires of a small motor are too thin for terminals of a large one, and its coil draws many times the power")
            .cure("put one of the two into an enclosure of its own, so that contacts or a contactor relay keep them apart, or order an interlock for unequal frames with the smaller contactor"),
    );
}

/// Interlocks with contactors of other rows.
fn with_partners<'a>(shelf: &mut Shelf<'_, 'a>) -> Vec<Interlock<'a>> {
    let mut found = Vec::new();
    // A drive without a bypass has one contactor, however many a command could close.
    let commanded = shelf.assembly.arrangement.commanded(&shelf.case.start);
    let there = |role: &&&str| shelf.assembly.contactors.iter().any(|contactor| contactor.role.name == **role);
    let commanded: Vec<&'static str> = commanded.iter().filter(there).copied().collect();
    let [role] = commanded.as_slice() else {
        say_electrical(shelf);
        return found;
    };
    let Some(contactor) = shelf.contactor(role) else { return found };
    for partner in shelf.pins.partners.iter().filter(|partner| partner.mechanical) {
        let part = shelf.for_frame("interlock", "", &contactor.frame);
        if partner.first {
            let serves = format!("{role} and {}", partner.tag);
            let purpose = Use::new(&serves, "the two loads must never run together");
            shelf.put("interlock", part, 1, &format!("frame {}", contactor.frame), &purpose);
        }
        found.push(Interlock { roles: vec![role], part });
    }
    say_electrical(shelf);
    found
}

/// Partners that only contacts keep apart.
fn say_electrical(shelf: &mut Shelf<'_, '_>) {
    if shelf.assembly.contactors.is_empty() {
        return;
    }
    let by_contacts: Vec<&Partner> = shelf.pins.partners.iter().filter(|partner| !partner.mechanical).collect();
    if by_contacts.is_empty() {
        return;
    }
    let tags = |partners: &[&Partner]| partners.iter().map(|partner| partner.tag.as_str()).collect::<Vec<_>>().join(", ");
    let mut what = format!("interlocked with {} through auxiliary contacts alone", tags(&by_contacts));
    let mut cure =
        "where a short circuit would follow from both closed, arrange two single contactors of one frame side by side".to_owned();
    let elsewhere: Vec<&Partner> = by_contacts.iter().copied().filter(|partner| partner.elsewhere).collect();
    if !elsewhere.is_empty() {
        what.push_str("; the starters stand apart, and the conductors between them are not on the purchase list");
        cure.push_str(&format!("; lay two cores each way between this starter and that of {}", tags(&elsewhere)));
    }
    shelf.find(
        Finding::new(&codes::C511_ELECTRICAL_ONLY, what)
            .why("a mechanical interlock joins two single contactors side by side on one board, in equal numbers; of several in a row it joins neighbours, never the first and the last")
            .cure(cure),
    );
}
