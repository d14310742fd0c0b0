//! Parts that join devices to each other: wiring links, star bridges, paralleling links, connecting modules, bases of overload
//! relays.

use super::{Shelf, Use};
use crate::catalogue::AccessoryPart;
use crate::finding::{Finding, codes};
use crate::load::Method;
use crate::sizing::assembly::Device;

/// Adds them.
pub(super) fn add(shelf: &mut Shelf<'_, '_>) {
    star_delta(shelf);
    star_points(shelf);
    reversing(shelf);
    paralleling(shelf);
    connecting_module(shelf);
    relay_bases(shelf);
}

fn star_delta(shelf: &mut Shelf<'_, '_>) {
    if !shelf.assembly.arrangement.star_delta_timer {
        return;
    }
    let why = shelf.units().pick("links line, delta and star contactor", "links line, delta and wye contactors");
    wiring_link(shelf, ("line", "delta"), "star-delta", &Use::new("line, delta and star", why));
}

/// Links are made for two contactors of one frame; others are wired.
fn wiring_link(shelf: &mut Shelf<'_, '_>, (one, other): (&str, &str), variant: &str, of: &Use<'_>) {
    let (Some(first), Some(second)) = (shelf.contactor(one), shelf.contactor(other)) else { return };
    if first.frame == second.frame {
        let part = shelf.for_frame("wiring-link", variant, &first.frame);
        shelf.put("wiring-link", part, 1, &format!("frame {}", first.frame), of);
        return;
    }
    let what = format!("{one} has frame {} and {other} frame {}: no wiring link joins them", first.frame, second.frame);
    shelf.find(Finding::new(&codes::C520_NO_WIRING_LINK, what).cure("wire them"));
}

/// Three outgoing poles form the star point.
fn star_points(shelf: &mut Shelf<'_, '_>) {
    let why = shelf.units().pick("makes the star point", "makes the wye point");
    for role in shelf.assembly.arrangement.star_points {
        let Some(contactor) = shelf.contactor(role) else { continue };
        let part = shelf.for_frame("star-bridge", "", &contactor.frame);
        shelf.put("star-bridge", part, 1, &format!("frame {}", contactor.frame), &Use::new(role, why));
    }
}

fn reversing(shelf: &mut Shelf<'_, '_>) {
    if !(shelf.case.start.reversing && shelf.case.start.method == Method::Direct) {
        return;
    }
    wiring_link(shelf, ("forward", "reverse"), "reversing", &Use::new("forward and reverse", "swaps two phases"));
}

/// Links on both sides of poles in parallel, so that they share the current.
fn paralleling(shelf: &mut Shelf<'_, '_>) {
    for chosen in &shelf.assembly.contactors {
        if let Some(link) = chosen.link {
            let why = "shares the current out among the poles, on both sides";
            shelf.push("paralleling-link", Some(link), 2, &Use::new(chosen.role.name, why));
        }
    }
}

/// Joins a motor-protective circuit-breaker and one contactor where their frames pair and the coil's depth suits.
fn connecting_module(shelf: &mut Shelf<'_, '_>) {
    let (Some(protection), [only]) = (&shelf.assembly.protection, shelf.assembly.contactors.as_slice()) else { return };
    let (Device::Motor(breaker), Some(contactor)) = (protection.device, only.contactor) else { return };
    // The breaker stands at the beginning of the run to a starter that stands apart: nothing joins the two.
    if shelf.case.route.supply_length.is_some_and(|length| length.0 > 0.0) {
        return;
    }
    let dc = shelf.dc();
    let part = shelf.tools.catalogue.accessories_for("connecting-module", &contactor.frame).find(|accessory| {
        // A module that names neither kind of coil suits both.
        accessory.fits_breaker_frame(&breaker.frame)
            && (accessory.ac == accessory.dc || if dc { accessory.dc } else { accessory.ac })
    });
    match part {
        Some(_) => shelf.push("connecting-module", part, 1, &Use::new(only.role.name, "joins breaker and contactor")),
        None => shelf.find(
            Finding::new(
                &codes::C503_NO_PAIR,
                format!("breaker frame {} and contactor frame {} have no connecting module", breaker.frame, contactor.frame),
            )
            .cure("wire them"),
        ),
    }
}

/// A relay that does not mount on its contactor stands on a base.
fn relay_bases(shelf: &mut Shelf<'_, '_>) {
    for relay in shelf.assembly.relays.iter().filter(|relay| relay.separate) {
        // A hand-operated starter is its own relay, and one behind transformers does not mount anywhere.
        let Some(overload_relay) = relay.relay.filter(|_| !relay.place.role.is_empty()) else { continue };
        if shelf.contactor(relay.place.role).is_some_and(|contactor| overload_relay.fits_frame(&contactor.frame)) {
            continue;
        }
        let fits = |base: &&AccessoryPart| overload_relay.fits_frames.split_whitespace().any(|frame| base.fits_frame(frame));
        let part = shelf.tools.catalogue.accessories.iter().filter(|base| base.kind == "relay-base").find(fits);
        let why = if relay.count() > 1 {
            "the relays stand apart, one for each motor"
        } else {
            "the relay stands apart from its contactor"
        };
        shelf.put("relay-base", part, relay.count(), &overload_relay.part, &Use::new(relay.place.role, why));
    }
}
