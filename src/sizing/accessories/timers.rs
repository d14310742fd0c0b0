//! Timers: star-delta timers with their pause, on-delays of the other starting methods, and off-delays that keep the low speed out
//! while a motor comes down from the high one.
//!
//! A front timer is fed from the coil's terminals and takes the front of its contactor; else a timer relay stands apart. Set times
//! lie within the range of the timer; the pause lasts until the opening contactor has dropped out, and no longer than the second
//! peak allows.

use super::suppressors::drop_out_ms;
use super::{Shelf, Use};
use crate::catalogue::AccessoryPart;
use crate::finding::{Finding, codes};
use crate::load::Method;
use crate::quantity::{fits, round_to};
use crate::rules::physics::accessories::practice;
use crate::rules::physics::starting;
use crate::sizing::judge::{at_least, at_most, not_checked};

/// Runs on when its contactor has opened.
const OFF_DELAY: &str = "off-delay";

/// A timer that a circuit needs.
#[derive(Clone, Copy, Debug)]
struct Wanted {
    /// Role on which it runs.
    role: &'static str,
    /// Kind, as in the catalogue.
    variant: &'static str,
    /// Time, s.
    seconds: f64,
}

fn wanted(shelf: &Shelf<'_, '_>) -> Vec<Wanted> {
    let arrangement = shelf.assembly.arrangement;
    let start = &shelf.case.start;
    let mut found = Vec::new();
    if arrangement.star_delta_timer {
        found.push(Wanted { role: "line", variant: "star-delta", seconds: round_to(arrangement.delay(start), 1) });
    }
    let seconds = round_to(arrangement.delay(start), 1);
    found.extend(arrangement.timed.iter().map(|(on, _)| Wanted { role: on, variant: "on-delay", seconds }));
    let seconds = round_to(starting::practice("slow-down-time").unwrap_or(f64::NAN), 1);
    found.extend(arrangement.slows_down.iter().map(|(role, _)| Wanted { role, variant: OFF_DELAY, seconds }));
    found.retain(|wanted| shelf.contactor(wanted.role).is_some());
    found
}

/// What a timer is set to: a step shorter than it can make lasts as long as its shortest.
fn set_to(part: &AccessoryPart, seconds: f64) -> f64 {
    seconds.max(part.set_min_s.unwrap_or(0.0))
}

fn within(part: &AccessoryPart, seconds: f64) -> bool {
    part.set_min_s.is_none_or(|least| fits(least, seconds)) && part.set_max_s.is_none_or(|most| fits(seconds, most))
}

/// Parts for a timer that are fed by the control voltage: those whose range holds the time first, then those whose pause is long
/// enough, then those with the finest range; where none holds it, those with the longest.
fn candidates<'a>(shelf: &Shelf<'_, 'a>, wanted: &Wanted, at_front: bool) -> Vec<&'a AccessoryPart> {
    let frame = shelf.contactor(wanted.role).map(|contactor| contactor.frame.as_str()).unwrap_or_default();
    let sits = |part: &&AccessoryPart| {
        if at_front {
            part.position == "front" && part.fits_frame(frame)
        } else {
            part.position != "front" && part.fits_frames.is_empty()
        }
    };
    let parts = shelf.tools.catalogue.accessories.iter();
    let of_kind = |part: &&AccessoryPart| part.kind == "timer" && part.variant == wanted.variant;
    let mut found: Vec<&AccessoryPart> = parts.filter(of_kind).filter(sits).filter(|part| shelf.fed(part)).collect();
    let needs_ms = least_pause_ms(shelf);
    let reaches = |part: &AccessoryPart| {
        wanted.variant != "star-delta"
            || part.pause_ms.is_none_or(|pause| fits(needs_ms, pause) && fits(pause, longest_pause_ms()))
    };
    let range = |part: &AccessoryPart| part.set_max_s.unwrap_or(f64::INFINITY);
    found.sort_by(|a, b| {
        let key = |part: &AccessoryPart| (!within(part, wanted.seconds), !reaches(part));
        let finest = range(a).total_cmp(&range(b));
        key(a).cmp(&key(b)).then(if within(a, wanted.seconds) { finest } else { finest.reverse() })
    });
    found
}

fn longest_pause_ms() -> f64 {
    1000.0 * starting::practice("changeover-pause-longest").unwrap_or(f64::NAN)
}

/// Pause after which the contactor that opens has surely dropped out, ms.
fn least_pause_ms(shelf: &Shelf<'_, '_>) -> f64 {
    drop_out_ms(shelf, "star").unwrap_or(0.0).max(practice("pause-wanted"))
}

/// The front timer of a role, if there is one that suits it whole.
pub(super) fn front<'a>(shelf: &Shelf<'_, 'a>, role: &str) -> Option<&'a AccessoryPart> {
    let wanted = wanted(shelf).into_iter().find(|wanted| wanted.role == role)?;
    // A timer fed from the terminals of a coil has no supply left when the coil is switched off.
    if wanted.variant == OFF_DELAY || !shelf.contactor(role).is_some_and(|contactor| contactor.front_place) {
        return None;
    }
    let needs_ms = least_pause_ms(shelf);
    let pauses = |part: &AccessoryPart| wanted.variant != "star-delta" || part.pause_ms.is_none_or(|pause| fits(needs_ms, pause));
    candidates(shelf, &wanted, true).into_iter().find(|part| within(part, wanted.seconds) && pauses(part))
}

/// Adds the timers; `fronts` names the roles whose front takes one.
pub(super) fn add(shelf: &mut Shelf<'_, '_>, fronts: &[&str]) {
    let units = shelf.units();
    for wanted in wanted(shelf) {
        let at_front = fronts.contains(&wanted.role).then(|| front(shelf, wanted.role)).flatten();
        let part = at_front.or_else(|| candidates(shelf, &wanted, false).into_iter().next());
        let star_delta = wanted.variant == "star-delta";
        let seconds = part.map_or(wanted.seconds, |part| set_to(part, wanted.seconds));
        let pause = part.and_then(|part| part.pause_ms).filter(|_| star_delta);
        let setting = match pause {
            Some(pause) if is_closed(shelf) => {
                format!("{seconds} s, {pause} ms from {} to delta, bridged by the resistors", units.pick("star", "wye"))
            }
            Some(pause) => format!("{seconds} s, pause {pause} ms"),
            None => format!("{seconds} s"),
        };
        let why = match wanted.variant {
            "star-delta" => units.pick("changes over from star to delta", "changes over from wye to delta"),
            OFF_DELAY => "keeps the low speed out while the motor slows down, or it would brake hard; set on site",
            _ => "ends the starting step",
        };
        let lacking = format!("{}, fed with {}", wanted.variant, shelf.case.control.voltage);
        let purpose = Use { serves: wanted.role, setting, why: why.to_owned() };
        shelf.put("timer", part, 1, &lacking, &purpose);
        if let Some(part) = part {
            range(shelf, &wanted, part);
            if star_delta {
                changeover(shelf, part);
            }
        }
    }
}

/// The set time against the range of the timer.
fn range(shelf: &mut Shelf<'_, '_>, wanted: &Wanted, part: &AccessoryPart) {
    let reference = "catalogue: range of the timer";
    let check = match part.set_max_s {
        Some(most) => at_most("timer-range", set_to(part, wanted.seconds), most, "s", reference),
        None => not_checked("timer-range", "s", "the catalogue states no range for this timer", reference),
    };
    shelf.circuit.checks.push(check.about(wanted.role));
}

/// A closed transition: resistors feed the motor from the opening of the star contactor to the closing of the delta contactor.
fn is_closed(shelf: &Shelf<'_, '_>) -> bool {
    shelf.case.start.method == Method::StarDeltaClosed
}

/// The pause between star and delta against the arc, the drop-out and the second peak.
fn changeover(shelf: &mut Shelf<'_, '_>, part: &AccessoryPart) {
    let closed = is_closed(shelf);
    // Delta closes on the arc of star in either transition; only in the open one the motor is without supply meanwhile.
    let (subject, reference) = if closed {
        ("star-delta-closed", "common practice: delta closes when the arc is out")
    } else {
        ("star-delta", "common practice: changeover with a pause")
    };
    let Some(pause) = part.pause_ms else {
        let because = "the catalogue states no pause for this timer";
        shelf.circuit.checks.push(not_checked("changeover-pause", "ms", because, reference).about(subject));
        return;
    };
    let least = 1000.0 * starting::practice("changeover-pause-least").unwrap_or(f64::NAN);
    shelf.circuit.checks.push(at_least("changeover-pause", pause, least, "ms", reference).about(subject));
    let star = shelf.units().pick("star", "wye");
    let (wanted, longest) = (practice("pause-wanted"), longest_pause_ms());
    if (least..wanted).contains(&pause) || pause > longest && !closed {
        shelf.find(
            Finding::new(
                &codes::C507_CHANGEOVER_PAUSE,
                format!("the timer pauses {pause} ms between {star} and delta; usual are {wanted} to {longest} ms"),
            )
            .why(if pause > longest {
                "the motor slows down, and the second peak of current grows"
            } else {
                "the arc may not be out when delta closes"
            })
            .cure("choose a timer with another pause"),
        );
    }
    if let Some(drop_out) = drop_out_ms(shelf, "star").filter(|drop_out| !fits(*drop_out, pause)) {
        shelf.find(
            Finding::new(
                &codes::C508_DROP_OUT,
                format!("the {star} contactor drops out within {} ms, the timer pauses {pause} ms", round_to(drop_out, 0)),
            )
            .why(format!("delta may be told to close while {star} is still closed; only the interlock keeps them apart"))
            .cure("choose a timer with a longer pause"),
        );
    }
}
