//! Auxiliary contacts: what the roles need is placed, with blocks where the contactor has too few, and what finds no place is said.
//!
//! A front timer and a block at the front exclude each other; where both are wanted, the contacts go to the sides, or the timer
//! becomes a relay that stands apart. A larger frame is never chosen for its contacts.

use super::interlocks::Interlock;
use super::needs::{self, Kind, Need};
use super::places::{BUILT_IN, Contact, Placement, Room};
use super::{Shelf, Use, timers};
use crate::catalogue::{AccessoryPart, Contactor};
use crate::design::{AuxiliaryContact, Check};
use crate::finding::{Finding, codes};
use crate::load::ContactLevel;
use crate::rules::physics::accessories::practice;
use crate::sizing::judge::at_most;

/// Places the contacts of all contactors. Gives the roles on whose front a timer may sit.
pub(super) fn add(shelf: &mut Shelf<'_, '_>, interlocks: &[Interlock<'_>]) -> Vec<&'static str> {
    let needs = needs::of(shelf.case, shelf.assembly, shelf.pins);
    without_contactor(shelf, &needs);
    let mut fronts = Vec::new();
    for at in 0..shelf.assembly.contactors.len() {
        let chosen = &shelf.assembly.contactors[at];
        let (role, Some(contactor)) = (chosen.role.name, chosen.contactor) else { continue };
        let of_role: Vec<&Need> = needs.iter().filter(|need| need.role == role).collect();
        let timer = timers::front(shelf, role);
        let (room, placement, front_timer) = place(shelf, contactor, role, &of_role, interlocks, timer.is_some());
        if front_timer {
            fronts.push(role);
        }
        write(shelf, contactor, role, &of_role, &placement);
        if !of_role.is_empty() {
            check(shelf, contactor, role, &of_role, &room, &placement, front_timer);
        }
    }
    fronts
}

/// The better of two ways where a front timer is at hand: most contacts, then fewest parts, then the timer at the front.
fn place<'a>(
    shelf: &Shelf<'_, 'a>,
    contactor: &Contactor,
    role: &str,
    needs: &[&Need],
    interlocks: &[Interlock<'_>],
    timer: bool,
) -> (Room, Placement<'a>, bool) {
    let blocks: Vec<&AccessoryPart> = shelf.tools.catalogue.accessories_for("auxiliary-block", &contactor.frame).collect();
    let placed = |front_taken: bool| {
        let room = room(shelf, contactor, role, interlocks, front_taken);
        let placement = room.place(needs, &blocks);
        (room, placement)
    };
    let (free_room, free) = placed(false);
    if timer {
        let (taken_room, taken) = placed(true);
        let better =
            (taken.count(), std::cmp::Reverse(taken.blocks.len())) >= (free.count(), std::cmp::Reverse(free.blocks.len()));
        if better {
            return (taken_room, taken, true);
        }
    }
    (free_room, free, false)
}

/// Contacts that a contactor takes, with those that sit on it by now.
fn room(shelf: &Shelf<'_, '_>, contactor: &Contactor, role: &str, interlocks: &[Interlock<'_>], front_taken: bool) -> Room {
    let built_in = |kind: Kind, mirror: bool| Contact {
        kind,
        low_level: contactor.aux_low_level.unwrap_or(false),
        mirror,
        early: false,
        band: (practice("standard-contact-least"), f64::INFINITY),
        of_interlock: false,
        place: BUILT_IN.to_owned(),
    };
    let on_it = || interlocks.iter().filter(|interlock| interlock.joins(role)).filter_map(|interlock| interlock.part);
    let mut there: Vec<Contact> = Vec::new();
    for part in on_it() {
        // An interlock brings its contacts in pairs: one for each of the two that it joins.
        let contact = Contact { of_interlock: true, place: part.part.clone(), ..built_in(Kind::Closed, part.mirror) };
        there.extend(std::iter::repeat_n(contact, (part.nc / 2) as usize));
    }
    there.extend((0..contactor.aux_no).map(|_| built_in(Kind::Open, false)));
    there.extend((0..contactor.aux_nc).map(|_| built_in(Kind::Closed, contactor.aux_mirror.unwrap_or(false))));
    let beside = u32::try_from(on_it().filter(|accessory| accessory.position == "between").count()).unwrap_or(u32::MAX);
    let at_front = on_it().any(|accessory| accessory.position == "front");
    // Side positions are shared out among the two sides; an interlock takes the side that faces its partner.
    let a_side = (contactor.side_places / 2).max(1);
    let sides = contactor.side_places.saturating_sub(beside.saturating_mul(a_side));
    let front = if contactor.front_place && !front_taken && !at_front {
        contactor.aux_front_contacts.unwrap_or(contactor.aux_places)
    } else {
        0
    };
    Room {
        there,
        most: contactor.aux_places,
        front,
        sides,
        a_side: contactor.aux_side_contacts.unwrap_or_else(default_side),
        closed_most: contactor.dc_aux_nc_most.filter(|_| shelf.dc()),
    }
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a small whole figure of a table
fn default_side() -> u32 {
    practice("side-contacts") as u32
}

/// Puts blocks and contacts into the circuit.
fn write(shelf: &mut Shelf<'_, '_>, contactor: &Contactor, role: &'static str, needs: &[&Need], placement: &Placement<'_>) {
    for (need, contact) in needs.iter().zip(&placement.served) {
        shelf.circuit.auxiliary_contacts.push(AuxiliaryContact {
            role: role.to_owned(),
            function: need.function.to_owned(),
            kind: need.kind.word().to_owned(),
            level: need.level.word().to_owned(),
            mirror: contact.as_ref().is_some_and(|contact| contact.mirror),
            place: contact.as_ref().map(|contact| contact.place.clone()).unwrap_or_default(),
        });
    }
    let mut given: Vec<(&AccessoryPart, u32)> = Vec::new();
    for block in &placement.blocks {
        match given.iter_mut().find(|(known, _)| known.part == block.part) {
            Some((_, count)) => *count += 1,
            None => given.push((block, 1)),
        }
    }
    for (block, count) in given {
        let on_it = needs.iter().zip(&placement.served);
        let on_it = on_it.filter(|(_, contact)| contact.as_ref().is_some_and(|contact| contact.place == block.part));
        let why = listed(on_it.map(|(need, _)| need.function));
        shelf.push("auxiliary-block", Some(block), count, &Use::new(role, why));
    }
    let no_block = shelf.tools.catalogue.accessories_for("auxiliary-block", &contactor.frame).next().is_none();
    if placement.count() < needs.len() && no_block && contactor.aux_places > 0 {
        shelf.find(
            Finding::new(
                &codes::C502_NO_ACCESSORY,
                format!("the catalogue holds no auxiliary block for frame {} ({role})", contactor.frame),
            )
            .cure("add one to the catalogue"),
        );
    }
}

/// Functions, each once.
fn listed<'f>(functions: impl Iterator<Item = &'f str>) -> String {
    let mut once: Vec<&str> = Vec::new();
    for function in functions {
        if !once.contains(&function) {
            once.push(function);
        }
    }
    once.join(", ")
}

/// Contacts asked against what the frame takes.
fn check(
    shelf: &mut Shelf<'_, '_>,
    contactor: &Contactor,
    role: &str,
    needs: &[&Need],
    room: &Room,
    placement: &Placement<'_>,
    front_timer: bool,
) {
    let asked = u32::try_from(needs.len()).unwrap_or(u32::MAX);
    let served = u32::try_from(placement.count()).unwrap_or(u32::MAX);
    let limit = if served == asked { room.capacity().max(asked) } else { served };
    let check: Check = at_most(super::PLACES, f64::from(asked), f64::from(limit), "contacts", "catalogue: places of the frame");
    shelf.circuit.checks.push(check.about(role));
    if served == asked {
        return;
    }
    let left_out: Vec<&Need> =
        needs.iter().zip(&placement.served).filter(|(_, contact)| contact.is_none()).map(|(need, _)| *need).collect();
    let words: Vec<String> = counted(&left_out);
    shelf.find(
        Finding::new(
            &codes::C501_AUXILIARY_PLACES,
            format!(
                "{asked} contacts are asked of {} ({role}); {} without place: {}",
                contactor.part,
                if left_out.len() == 1 { "one stays".to_owned() } else { format!("{} stay", left_out.len()) },
                words.join(", ")
            ),
        )
        .why(reason(room, &left_out, contactor, front_timer))
        .cure("repeat the contacts that are too many with a contactor relay, or choose a frame that takes them"),
    );
}

/// Contacts in words, as `2 NO for feedback`.
fn counted(needs: &[&Need]) -> Vec<String> {
    let mut given: Vec<(&Need, u32)> = Vec::new();
    for need in needs {
        match given.iter_mut().find(|(known, _)| known.function == need.function && known.kind == need.kind) {
            Some((_, count)) => *count += 1,
            None => given.push((need, 1)),
        }
    }
    given.iter().map(|(need, count)| format!("{count} {} ({})", need.kind.word().to_uppercase(), need.function)).collect()
}

/// The reasons why there is no room.
fn reason(room: &Room, left_out: &[&Need], contactor: &Contactor, front_timer: bool) -> String {
    let mut reasons = vec![format!("the frame takes {} contacts beside its own", contactor.aux_places)];
    if let Some(most) = room.closed_most.filter(|_| left_out.iter().any(|need| need.kind == Kind::Closed)) {
        reasons.push(format!("with a coil for direct current {most} normally closed ones at most"));
    }
    if front_timer {
        reasons.push("a timer sits at the front".to_owned());
    }
    if room.sides < contactor.side_places {
        reasons.push("a mechanical interlock takes a side".to_owned());
    }
    if left_out.iter().any(|need| need.level == ContactLevel::Logic) {
        reasons.push("contacts for electronic levels need blocks of their own".to_owned());
    }
    reasons.join("; ")
}

/// Contacts that nobody can give, as the circuit has no contactor for them.
fn without_contactor(shelf: &mut Shelf<'_, '_>, needs: &[Need]) {
    let case = shelf.case;
    let commanded = shelf.assembly.arrangement.commanded(&case.start);
    let any = shelf.assembly.contactors.iter().any(|contactor| commanded.contains(&contactor.role.name));
    let mut missing: Vec<&str> = Vec::new();
    if !any {
        let scheme = &case.scheme;
        missing.extend(
            scheme
                .lamps
                .iter()
                .filter(|lamp| **lamp != "tripped")
                .map(|lamp| if *lamp == "running" { "running lamp" } else { "stopped lamp" }),
        );
        missing.extend(scheme.meters.iter().filter(|meter| **meter == "hour-meter").map(|_| "hour meter"));
        // The needs of a brake behind a drive are told with the brake.
        if scheme.brake.is_some() && !shelf.assembly.devices.iter().any(|device| device.kind == "drive") {
            missing.push("brake");
        }
        if case.extras.heater.0 > 0.0 {
            missing.push("space heater");
        }
    }
    if case.control.no + case.control.nc > 0 && !needs.iter().any(|need| need.function == "asked for") {
        missing.push("contacts that the row asks for");
    }
    let electronics = shelf.assembly.devices.iter().find(|device| device.is_electronic());
    if let Some(kind) = electronics.map(|device| device.kind) {
        // A relay that says that it runs does not say that there is torque: a brake must not be released by it alone.
        let (brake, others): (Vec<&str>, Vec<&str>) = missing.iter().partition(|what| **what == "brake");
        if !others.is_empty() {
            shelf.find(by_run_relay(kind, &others));
        }
        missing = brake;
    }
    if missing.is_empty() {
        return;
    }
    shelf.find(
        Finding::new(
            &codes::C505_NO_CONTACTOR,
            format!("the circuit has no contactor that a command closes, so nothing gives: {}", missing.join(", ")),
        )
        .cure("take the contact from the device that starts the load, or from the starter of others"),
    );
}

/// What an output relay of electronics gives in the place of a contactor's contacts.
fn by_run_relay(kind: &str, given: &[&str]) -> Finding {
    let device = kind.replace('-', " ");
    let what =
        format!("the circuit has no contactor that a command closes; the {device}'s run relay gives: {}", given.join(", "));
    Finding::new(&codes::C534_RUN_RELAY, what).cure(format!(
        "set an output relay of the {device} to \"running\", with so many contacts or a relay behind it, and wire these to it"
    ))
}
