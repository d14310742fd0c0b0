//! Accessories: each fits what it serves and sits where there is a place for it, each that the circuit needs is there, and none that it
//! does not.
//!
//! What a starter needs around its contactors, and what takes which place: common practice, no source.

use crate::catalogue::{AccessoryPart, Contactor as Row};
use crate::design::{Accessory, Contactor};
use crate::finding::codes;
use crate::load::Method;
use crate::verify::Disagreements;
use crate::verify::contactors::words;
use crate::verify::facts::Facts;
use crate::verify::methods::Timer;
use crate::verify::shelf::Item;

pub(super) fn agree(facts: &Facts<'_>, found: &mut Disagreements) {
    for own in &facts.circuit.accessories {
        if own.part.is_empty() {
            let so = (own.no, own.nc, own.quantity) == (0, 0, 1) && facts.told(codes::C502_NO_ACCESSORY.code);
            found.unless(so, &codes::V604_ACCESSORY, || format!("a {} without a part number, contacts or a word why", own.kind));
        } else {
            one(facts, own, found);
        }
    }
    for own in &facts.circuit.contactors {
        places(facts, own, found);
        suppressor(facts, own, found);
        shroud(facts, own, found);
        links(facts, own, found);
    }
    interlocks(facts, found);
    timer_and_links(facts, found);
    connecting_module(facts, found);
    interposing_relays(facts, found);
}

/// Accessories of a kind.
fn of<'f>(facts: &'f Facts<'_>, kind: &str) -> impl Iterator<Item = &'f Accessory> {
    let kind = kind.to_owned();
    facts.circuit.accessories.iter().filter(move |own| own.kind == kind)
}

/// Contactors that an accessory serves, by the roles that it names.
fn served<'f>(facts: &'f Facts<'_>, own: &Accessory) -> Vec<&'f Contactor> {
    let names: Vec<&str> = own.serves.split(", ").flat_map(|part| part.split(" and ")).collect();
    facts.circuit.contactors.iter().filter(|contactor| names.contains(&contactor.role.as_str())).collect()
}

fn row<'f>(facts: &'f Facts<'_>, own: &Contactor) -> Option<&'f Row> {
    facts.shelf.contactor(&own.part).map(|(row, _)| row)
}

/// The part is of its kind, brings what is said and fits what it serves.
fn one(facts: &Facts<'_>, own: &Accessory, found: &mut Disagreements) {
    let Some(part) = facts.shelf.accessory(&own.part).filter(|part| part.kind == own.kind) else {
        found.say(&codes::V101_PART_UNKNOWN, format!("{} is no {} of the catalogue", own.part, own.kind));
        return;
    };
    let so = (own.no, own.nc, own.low_level, own.mirror) == (part.no, part.nc, part.low_level, part.mirror)
        && own.position == part.position;
    found.unless(so, &codes::V604_ACCESSORY, || format!("contacts or place of {} are not as the catalogue says", own.part));
    found.unless(own.quantity > 0, &codes::V604_ACCESSORY, || format!("{} is listed without a quantity", own.part));
    let contactors = served(facts, own);
    let all_of_it = own.serves.is_empty() && part.fits_frames.is_empty();
    // A base carries the relay of a place where no contactor need be.
    let carries = own.kind == "relay-base" && facts.circuit.overloads.iter().any(|relay| relay.role == own.serves);
    found.unless(all_of_it || carries || !contactors.is_empty(), &codes::V601_ACCESSORY_FIT, || {
        format!("{} serves {:?}, which is no contactor of this circuit", own.part, own.serves)
    });
    // What is sold for a relay's frame or stands apart fits no contactor's.
    if own.kind == "relay-base" || part.fits_frames.is_empty() {
        return;
    }
    // Sets that join several contactors are named after the frame of the first; interlocks need one frame for both.
    let all = own.kind == "interlock";
    for contactor in contactors.into_iter().take(if all { usize::MAX } else { 1 }) {
        found.unless(part.fits_frame(&contactor.frame) || contactor.part.is_empty(), &codes::V601_ACCESSORY_FIT, || {
            format!("{} does not fit frame {} of {}", own.part, contactor.frame, contactor.role)
        });
    }
}

/// What sits on a contactor finds its places: front and sides, and no more contacts than it takes.
fn places(facts: &Facts<'_>, own: &Contactor, found: &mut Disagreements) {
    let Some(row) = row(facts, own) else { return };
    let sits: Vec<&Accessory> =
        facts.circuit.accessories.iter().filter(|part| part.serves == own.role && !part.position.is_empty()).collect();
    let contacts = |position: &str| -> u32 {
        sits.iter().filter(|part| part.position == position).map(|part| part.quantity * (part.no + part.nc)).sum()
    };
    let count = |position: &str, kind: &str| -> u32 {
        sits.iter().filter(|part| part.position == position && part.kind == kind).map(|part| part.quantity).sum()
    };
    let (front, sides) = (contacts("front"), contacts("side"));
    let timers = count("front", "timer");
    let taken = front + count("front", "auxiliary-block") + timers;
    found.unless(row.front_place || taken == 0, &codes::V602_PLACES, || format!("{} has no front place", own.part));
    found.unless(timers == 0 || timers == 1 && count("front", "auxiliary-block") == 0, &codes::V602_PLACES, || {
        format!("the front of {} is taken twice", own.part)
    });
    let most_front = row.aux_front_contacts.unwrap_or(row.aux_places);
    let blocks = of(facts, "auxiliary-block").filter(|part| part.serves == own.role);
    let brought: u32 = blocks.map(|part| part.quantity * (part.no + part.nc)).sum();
    let so = (timers > 0 || front <= most_front) && count("side", "auxiliary-block") <= row.side_places && brought <= row.aux_places;
    let told = facts.told(codes::C501_AUXILIARY_PLACES.code);
    found.unless(so || told, &codes::V602_PLACES, || {
        format!("{} takes {} contacts; {front} stand on its front and {sides} at its sides", own.part, row.aux_places)
    });
}

/// Electronics in the circuit need the overvoltage of coils limited, once, by what suits the coil.
fn suppressor(facts: &Facts<'_>, own: &Contactor, found: &mut Disagreements) {
    let Some(row) = row(facts, own) else { return };
    let Some(control) = &facts.circuit.control else { return };
    let dc = control.coil_voltage.ends_with("DC");
    let built_in = if dc { row.dc_suppression_built_in } else { row.ac_suppression_built_in };
    let electronic = facts.circuit.starter_devices.iter().any(|own| matches!(own.kind.as_str(), "drive" | "soft-starter"));
    let needed = !built_in && (electronic || control.driven_by == "plc-output");
    let own_ones: Vec<&Accessory> = of(facts, "suppressor").filter(|part| part.serves == own.role).collect();
    let count: u32 = own_ones.iter().map(|part| part.quantity).sum();
    found.unless(count >= u32::from(needed), &codes::V605_ACCESSORY_MISSING, || format!("the coil of {} lacks its suppressor", own.role));
    found.unless(count <= u32::from(!built_in), &codes::V603_ACCESSORY_NEEDLESS, || {
        format!("{} has {count} suppressors; its coil needs {}", own.role, u32::from(needed))
    });
    for part in own_ones.iter().filter_map(|own| facts.shelf.accessory(&own.part)) {
        found.unless(suits(facts, part) && (dc || part.variant != "diode"), &codes::V606_VOLTAGE, || {
            format!("{} does not suit a coil of {}", part.part, control.coil_voltage)
        });
    }
}

/// Its band of voltages holds the control voltage.
fn suits(facts: &Facts<'_>, part: &AccessoryPart) -> bool {
    let Some(control) = &facts.circuit.control else { return true };
    let volts = control.coil_voltage.split_whitespace().next().and_then(|text| text.parse().ok());
    volts.is_some_and(|volts| part.suits_voltage(volts, control.coil_voltage.ends_with("DC")))
}

fn shroud(facts: &Facts<'_>, own: &Contactor, found: &mut Disagreements) {
    let Some(row) = row(facts, own) else { return };
    let wanted = !row.finger_safe && facts.basis.design.finger_protection.unwrap_or(true);
    count(facts, "shroud", &own.role, u32::from(wanted), found);
}

/// As many of a kind for a role as are needed, no more and no less.
fn count(facts: &Facts<'_>, kind: &str, serves: &str, wanted: u32, found: &mut Disagreements) {
    let has: u32 = of(facts, kind).filter(|part| part.serves == serves).map(|part| part.quantity).sum();
    found.unless(has >= wanted, &codes::V605_ACCESSORY_MISSING, || format!("{serves} needs {wanted} of {kind}; it has {has}"));
    found.unless(has <= wanted, &codes::V603_ACCESSORY_NEEDLESS, || format!("{serves} needs {wanted} of {kind}; it has {has}"));
}

/// Linked poles need the link of their number.
fn links(facts: &Facts<'_>, own: &Contactor, found: &mut Disagreements) {
    let linked = own.poles_in_parallel > 1;
    let has: Vec<&AccessoryPart> = of(facts, "paralleling-link")
        .filter(|part| part.serves == own.role)
        .filter_map(|part| facts.shelf.accessory(&part.part))
        .collect();
    found.unless(!has.is_empty() || !linked, &codes::V605_ACCESSORY_MISSING, || {
        format!("{} has {} poles in parallel, but no link", own.role, own.poles_in_parallel)
    });
    found.unless(linked || has.is_empty(), &codes::V603_ACCESSORY_NEEDLESS, || format!("{} has a link that joins no poles", own.role));
    found.unless(has.iter().all(|part| part.poles == Some(own.poles_in_parallel)), &codes::V601_ACCESSORY_FIT, || {
        format!("the link of {} is not one of {} poles", own.role, own.poles_in_parallel)
    });
}

/// One interlock for each pair that must never be closed together, none else.
fn interlocks(facts: &Facts<'_>, found: &mut Disagreements) {
    let there = |name: &str| facts.circuit.contactors.iter().any(|own| own.role == name && !own.part.is_empty());
    let pairs: Vec<String> = facts
        .starter
        .apart
        .iter()
        .filter(|(one, other)| there(one) && there(other))
        .map(|(one, other)| format!("{one} and {other}"))
        .collect();
    for pair in &pairs {
        count(facts, "interlock", pair, 1, found);
    }
    let other = of(facts, "interlock").find(|own| !pairs.contains(&own.serves));
    found.unless(other.is_none(), &codes::V603_ACCESSORY_NEEDLESS, || {
        format!("an interlock serves {:?}, which may be closed together", other.map_or("", |own| &own.serves))
    });
}

/// The timer that drives the change of connection, and the links and bridges of the power circuit.
fn timer_and_links(facts: &Facts<'_>, found: &mut Disagreements) {
    // Where the catalogue lacks a contactor of the set, nothing that joins the set is asked for.
    let chosen = facts.circuit.contactors.iter().all(|own| !own.part.is_empty());
    if !chosen {
        return;
    }
    let star_delta = facts.starter.timer == Timer::StarDelta;
    let reversing = facts.start.method == Method::Direct && facts.start.reversing;
    let wanted = match facts.starter.timer {
        Timer::None => "",
        Timer::StarDelta => "star-delta",
        Timer::OnDelay => "on-delay",
    };
    let timers: Vec<&Accessory> = of(facts, "timer").collect();
    let number: u32 = timers.iter().map(|own| own.quantity).sum();
    found.unless(number >= u32::from(!wanted.is_empty()), &codes::V605_ACCESSORY_MISSING, || format!("a {wanted} timer is missing"));
    found.unless(number <= u32::from(!wanted.is_empty()), &codes::V603_ACCESSORY_NEEDLESS, || {
        format!("{number} timers; {} asks for one or none", facts.start.method.word())
    });
    for own in timers {
        let Some(part) = facts.shelf.accessory(&own.part) else { continue };
        found.unless(part.variant == wanted && suits(facts, part), &codes::V606_VOLTAGE, || {
            format!("{} is no {wanted} timer for the control voltage", own.part)
        });
        let seconds: Option<f64> = own.setting.split(" s").next().and_then(|text| text.parse().ok());
        found.unless(seconds.is_some_and(|own| own > 0.0), &codes::V607_TIMER, || format!("{} is set to nothing", own.part));
    }
    kind_once(facts, "star-bridge", star_delta, found);
    kind_once(facts, "wiring-link", star_delta || reversing, found);
    let variant = if star_delta { "star-delta" } else { "reversing" };
    for part in of(facts, "wiring-link").filter_map(|own| facts.shelf.accessory(&own.part)) {
        found.unless(part.variant == variant, &codes::V601_ACCESSORY_FIT, || format!("{} does not wire {variant}", part.part));
    }
}

fn kind_once(facts: &Facts<'_>, kind: &str, wanted: bool, found: &mut Disagreements) {
    let has: u32 = of(facts, kind).map(|own| own.quantity).sum();
    found.unless(has >= u32::from(wanted), &codes::V605_ACCESSORY_MISSING, || format!("a {kind} is missing"));
    found.unless(has <= u32::from(wanted), &codes::V603_ACCESSORY_NEEDLESS, || format!("{has} of {kind} where {} is needed", u32::from(wanted)));
}

/// A breaker and one contactor whose frames pair are joined by their module.
fn connecting_module(facts: &Facts<'_>, found: &mut Disagreements) {
    let breaker = facts.circuit.protection.as_ref().and_then(|own| facts.shelf.all(&own.part).next());
    let frame = if let Some(Item::Motor(own)) = breaker { Some(own.frame.as_str()) } else { None };
    let module = match (frame, facts.circuit.contactors.as_slice()) {
        (Some(frame), [only]) => facts.shelf.catalogue.connecting_module(&only.frame, frame),
        _ => None,
    };
    kind_once(facts, "connecting-module", module.is_some(), found);
    for own in of(facts, "connecting-module") {
        let joins = facts.shelf.accessory(&own.part).is_some_and(|part| frame.is_some_and(|frame| part.fits_breaker_frame(frame)));
        found.unless(joins, &codes::V601_ACCESSORY_FIT, || format!("{} does not join breaker and contactor", own.part));
    }
}

/// Interposing relays where the control circuit says that they are needed.
fn interposing_relays(facts: &Facts<'_>, found: &mut Disagreements) {
    let has = of(facts, "interposing-relay").next().is_some();
    let needed = facts.circuit.control.as_ref().is_some_and(|own| own.interposing_relay);
    found.unless(has || !needed, &codes::V605_ACCESSORY_MISSING, || "an interposing relay is missing".to_owned());
    found.unless(needed || !has, &codes::V603_ACCESSORY_NEEDLESS, || "an interposing relay that nothing asks for".to_owned());
    let Some(control) = &facts.circuit.control else { return };
    let coils = || facts.shelf.catalogue.coils.iter();
    // An output of a controller switches direct current of a low voltage: any other coil needs a relay between.
    let direct = control.coil_voltage.ends_with("DC");
    let known = coils().any(|coil| words(coil) == control.coil_voltage);
    found.unless(needed || direct || control.driven_by != "plc-output" || !known, &codes::V605_ACCESSORY_MISSING, || {
        format!("a controller's output is to switch a coil of {}", control.coil_voltage)
    });
}
