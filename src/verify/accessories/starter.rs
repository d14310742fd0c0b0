//! Parts on the contactors besides contacts, parts that drive the start and join the power circuit: suppressors, timers, links, bridges,
//! shrouds, bases, the module between breaker and contactor.

use super::{count, fed, known, of, row, whole};
use crate::catalogue::AccessoryPart;
use crate::design::{Accessory, Contactor};
use crate::finding::codes;
use crate::load::Method;
use crate::quantity::{fits, round_to};
use crate::rules::physics::accessories::suppressor as drop_out;
use crate::rules::physics::starting::practice;
use crate::verify::Disagreements;
use crate::verify::accessories::contacts::{is_emergency_stop, monitored};
use crate::verify::facts::Facts;
use crate::verify::methods::Timer;
use crate::verify::overloads::star_time;
use crate::verify::shelf::Item;

pub(super) fn agree(facts: &Facts<'_>, found: &mut Disagreements) {
    for contactor in &facts.circuit.contactors {
        suppressor(facts, contactor, found);
        covers(facts, contactor, found);
        parallel(facts, contactor, found);
    }
    timers(facts, found);
    links(facts, found);
    connecting_module(facts, found);
}

/// Electronics in the panel need the overvoltage of coils limited, once, by what suits the coil and lets it drop out in time.
fn suppressor(facts: &Facts<'_>, contactor: &Contactor, found: &mut Disagreements) {
    let (Some(row), Some(control)) = (row(facts, contactor), &facts.circuit.control) else { return };
    let dc = control.coil_voltage.ends_with("DC");
    let built_in = if dc { row.dc_suppression_built_in } else { row.ac_suppression_built_in };
    let needed = !built_in && facts.others.electronics_beside(facts.circuit);
    count(facts, "suppressor", &contactor.role, u32::from(needed), found);
    let quick =
        !facts.starter.apart.is_empty() || monitored(facts) || facts.words("emergency_stop").is_some_and(is_emergency_stop);
    for (_, part) in known(facts, "suppressor").filter(|(part, _)| part.serves == contactor.role) {
        let kind = drop_out(&part.variant);
        let current = kind.is_some_and(|kind| if dc { kind.dc } else { kind.ac });
        let slow = kind.is_none_or(|kind| kind.delays_much());
        found.unless(fed(facts, part) && current && !(slow && quick), &codes::V606_VOLTAGE, || {
            format!("{} does not suit a coil of {} in this circuit", part.part, control.coil_voltage)
        });
    }
}

/// Shrouds keep fingers away where the project wants it; else barriers, where the frame takes them.
fn covers(facts: &Facts<'_>, contactor: &Contactor, found: &mut Disagreements) {
    let Some(row) = row(facts, contactor) else { return };
    let bare = !row.finger_safe;
    let wanted = facts.basis.design.finger_protection.unwrap_or(true);
    count(facts, "shroud", &contactor.role, u32::from(bare && wanted), found);
    let barrier = facts.shelf.catalogue.accessories_for("phase-barrier", &row.frame).next().is_some();
    count(facts, "phase-barrier", &contactor.role, u32::from(bare && !wanted && barrier), found);
}

/// Poles in parallel are linked at both of their ends, with the link of their number.
fn parallel(facts: &Facts<'_>, contactor: &Contactor, found: &mut Disagreements) {
    let linked = contactor.poles_in_parallel > 1;
    count(facts, "paralleling-link", &contactor.role, if linked { 2 } else { 0 }, found);
    let mut links = known(facts, "paralleling-link").filter(|(link, _)| link.serves == contactor.role);
    found.unless(links.all(|(_, part)| part.poles == Some(contactor.poles_in_parallel)), &codes::V601_ACCESSORY_FIT, || {
        format!("the link of {} is not one of {} poles", contactor.role, contactor.poles_in_parallel)
    });
}

/// Time of the step at reduced current, s: in star three times that of a direct start, as the torque is a third; behind an impedance
/// longer by the voltage that is left, behind a transformer by its square; figures of practice for the rest, and for the pause in which
/// a motor comes down to its low speed.
fn step_time(facts: &Facts<'_>) -> Option<f64> {
    let (time, tap) = (facts.start.time.value.0, facts.start.tap.value);
    let stated = facts.start.time.origin != crate::load::Origin::Default;
    if let Some(time) = facts.start.worked_out.and_then(|start| start.change_over) {
        return Some(time.0);
    }
    match facts.start.method {
        Method::StarDelta | Method::StarDeltaClosed => star_time(stated, time),
        Method::PrimaryResistor | Method::Reactor => Some(time / tap),
        Method::Autotransformer => Some(time / (tap * tap)),
        Method::PartWinding => practice("part-winding-time"),
        Method::RotorResistance => Some(time.max(practice("rotor-start-least")?)),
        method if method.two_speeds() => practice("slow-down-time"),
        _ => None,
    }
}

/// The timers that drive the start: on which contactor, of which kind, set to what, within what they can be set to.
fn timers(facts: &Facts<'_>, found: &mut Disagreements) {
    let there =
        |role: &str| facts.circuit.contactors.iter().any(|contactor| contactor.role == role && !contactor.part.is_empty());
    let (variant, roles): (&str, &[&str]) = match &facts.starter.timer {
        Timer::None => ("", &[]),
        Timer::StarDelta => ("star-delta", &["line"]),
        Timer::OnDelay(roles) => ("on-delay", roles),
        Timer::OffDelay(role) => ("off-delay", std::slice::from_ref(role)),
    };
    let roles: Vec<&str> = roles.iter().copied().filter(|role| there(role)).collect();
    roles.iter().for_each(|role| count(facts, "timer", role, 1, found));
    let stray = of(facts, "timer").find(|accessory| !roles.contains(&accessory.serves.as_str()));
    found.unless(stray.is_none(), &codes::V603_ACCESSORY_NEEDLESS, || "a timer serves what needs none".to_owned());
    let shares = if let Timer::OnDelay(all) = facts.starter.timer { all.len().max(1) } else { 1 };
    let wanted = step_time(facts).map(|time| round_to(time / f64::from(u32::try_from(shares).unwrap_or(1)), 1));
    for (accessory, part) in known(facts, "timer") {
        found.unless(part.variant == variant && fed(facts, part), &codes::V606_VOLTAGE, || {
            format!("{} is no {variant} timer for the control voltage", accessory.part)
        });
        // The front of a contactor feeds a timer with its coil alone.
        found.unless(variant != "off-delay" || part.position != "front", &codes::V606_VOLTAGE, || {
            format!("{} has no supply when its contactor has opened", accessory.part)
        });
        let seconds = seconds(accessory);
        let wanted = wanted.map(|wanted| wanted.max(part.set_min_s.unwrap_or(0.0)));
        let set =
            seconds.is_some() && wanted.is_none_or(|wanted| seconds.is_some_and(|seconds| (seconds - wanted).abs() < 0.051));
        let in_range = seconds.is_some_and(|seconds| {
            part.set_min_s.is_none_or(|least| fits(least, seconds)) && part.set_max_s.is_none_or(|most| fits(seconds, most))
        });
        let told = facts.circuit.checks.iter().any(|check| check.name == "timer-range" && check.passed != Some(true));
        found.unless(set && (in_range || told), &codes::V607_TIMER, || {
            format!("{} is set to {:?}, where {wanted:?} s are needed and it can be set", accessory.part, accessory.setting)
        });
        // The resistors of a closed transition feed the motor meanwhile, so that it does not pause.
        let pauses = |pause: f64| match facts.start.method {
            Method::StarDeltaClosed => accessory.setting.contains(&format!(", {pause} ms from ")),
            _ => accessory.setting.ends_with(&format!("pause {pause} ms")),
        };
        found.unless(part.pause_ms.filter(|_| variant == "star-delta").is_none_or(pauses), &codes::V607_TIMER, || {
            format!("the pause of {} is not as the catalogue says", accessory.part)
        });
    }
}

fn seconds(accessory: &Accessory) -> Option<f64> {
    accessory.setting.split(" s").next().and_then(|text| text.parse().ok()).filter(|seconds: &f64| *seconds > 0.0)
}

/// Links and bridges of the power circuit.
fn links(facts: &Facts<'_>, found: &mut Disagreements) {
    let built =
        |role: &str| facts.circuit.contactors.iter().find(|contactor| contactor.role == role && !contactor.part.is_empty());
    // Links join contactors of one frame.
    let linked = |one: &str, other: &str| built(one).zip(built(other)).is_some_and(|(a, b)| a.frame == b.frame);
    let star_delta = facts.starter.timer == Timer::StarDelta && linked("line", "delta");
    let reversing = linked("forward", "reverse");
    whole(facts, "wiring-link", u32::from(star_delta || reversing), found);
    let variant = if star_delta { "star-delta" } else { "reversing" };
    for (accessory, part) in known(facts, "wiring-link") {
        found.unless(part.variant == variant, &codes::V601_ACCESSORY_FIT, || {
            format!("{} does not wire {variant}", accessory.part)
        });
    }
    for contactor in &facts.circuit.contactors {
        let star = facts.starter.star_points.contains(&contactor.role.as_str()) && !contactor.part.is_empty();
        count(facts, "star-bridge", &contactor.role, u32::from(star), found);
    }
}

/// A breaker and one contactor whose frames pair are joined by their module.
fn connecting_module(facts: &Facts<'_>, found: &mut Disagreements) {
    let breaker = facts.circuit.protection.as_ref().and_then(|protection| facts.shelf.all(&protection.part).next());
    let frame = if let Some(Item::Motor(breaker)) = breaker { Some(breaker.frame.as_str()) } else { None };
    let dc = facts.circuit.control.as_ref().is_some_and(|control| control.coil_voltage.ends_with("DC"));
    // Modules that name a kind of coil are made for its depth.
    let suits = |part: &AccessoryPart| {
        frame.is_some_and(|frame| part.fits_breaker_frame(frame)) && (part.ac == part.dc || if dc { part.dc } else { part.ac })
    };
    // The breaker of a starter that stands apart is on the board, at the beginning of the run between them.
    let apart = facts.number("supply_length_m").is_some_and(|length| length > 0.0);
    let there = match facts.circuit.contactors.as_slice() {
        [only] if !apart => facts.shelf.catalogue.accessories_for("connecting-module", &only.frame).any(suits),
        _ => false,
    };
    whole(facts, "connecting-module", u32::from(there), found);
    for (accessory, part) in known(facts, "connecting-module") {
        found.unless(suits(part), &codes::V601_ACCESSORY_FIT, || {
            format!("{} does not join breaker and contactor", accessory.part)
        });
    }
}
