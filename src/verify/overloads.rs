//! Overload relays and releases: each where the method has one, within its range, on its dial, in a class that it has, on a frame that
//! takes it.

use crate::catalogue::OverloadRelay;
use crate::design::{Accessory, Overload};
use crate::finding::codes;
use crate::load::{LoadKind, Method};
use crate::quantity::{Amperes, fits};
use crate::record::Record;
use crate::rules::curves::ClassAsk;
use crate::rules::physics::accessories::thermistors_taken;
use crate::rules::physics::starting::practice;
use crate::rules::{Category, Duty, OverloadAsk, SwitchingDemand};
use crate::verify::facts::Facts;
use crate::verify::methods::{Of, Part, Place, of_each};
use crate::verify::shelf::Item;
use crate::verify::{Disagreements, same};

/// Where protection against overload sits.
#[derive(Clone, Copy)]
enum Seat {
    /// A relay of its own.
    Relay(Place),
    /// A release of the circuit-breaker.
    Breaker(Place),
    /// Inside a soft starter or drive.
    Device(&'static str, Place),
}

/// Step of the dial in electronic devices whose catalogue states none, A: that of their display.
const DISPLAY_STEP_A: f64 = 0.1;

pub(super) fn agree(facts: &Facts<'_>, found: &mut Disagreements) {
    let own = &facts.circuit.overloads;
    found.unless(facts.circuit.overload.as_ref() == own.first(), &codes::V301_RELAYS, || {
        "the first overload protection is not the first of its list".to_owned()
    });
    let seats = seats(facts);
    found.unless(seats.len() == own.len(), &codes::V301_RELAYS, || {
        format!("it has {} overload relays or releases; {} asks for {}", own.len(), facts.start.method.word(), seats.len())
    });
    let carries = |base: &Accessory| own.iter().any(|relay| relay.role == base.serves && !relay.part.is_empty());
    let stray = facts.circuit.accessories.iter().any(|base| base.kind == "relay-base" && !carries(base));
    found.unless(!stray, &codes::V603_ACCESSORY_NEEDLESS, || "a base is bought where no relay stands".to_owned());
    stall(facts, found);
    for (own, seat) in own.iter().zip(seats) {
        let (Seat::Relay(place) | Seat::Breaker(place) | Seat::Device(_, place)) = seat;
        let factor = place.part.factor(facts.tap()).unwrap_or(1.0);
        let so = own.role == place.role && own.position == place.position && (own.winding_factor - factor).abs() < 1e-5;
        found.unless(so, &codes::V301_RELAYS, || {
            format!(
                "an overload relay stands at {} {} with {} of the current; {} {} with {factor:.4} was expected",
                own.role, own.position, own.winding_factor, place.role, place.position
            )
        });
        let each = if matches!(place.part, Part::OneOf(_)) { facts.motors } else { 1 };
        found.unless(own.count == each, &codes::V301_RELAYS, || {
            format!("{} overload relays stand at {}; {each} are needed, one for each motor", own.count, own.role)
        });
        in_series(facts, own, found);
        match seat {
            Seat::Relay(place) => separate(facts, own, place, found),
            Seat::Breaker(_) => release(facts, own, found),
            Seat::Device(kind, place) => inside(facts, own, kind, place, found),
        }
    }
}

/// Current over that at which a NEMA relay trips in the end, at which its class is defined (NEMA ICS 2).
const CLASS_OVER_ULTIMATE: f64 = 6.0;

/// A motor that stalls is tripped before it is harmed: by a relay as slow as its class admits, heated as a body that trips in the end at
/// the highest current at which it may.
fn stall(facts: &Facts<'_>, found: &mut Disagreements) {
    let direct = matches!(facts.start.method, Method::Direct | Method::Manual);
    let Some(stall) = facts.start.stall_time.filter(|_| direct) else { return };
    let passed = facts.circuit.checks.iter().any(|own| own.name == "stall-protection" && own.passed == Some(true));
    let Some(own) = facts.circuit.overloads.iter().find(|own| own.kind != "in-drive").filter(|_| passed) else { return };
    let ultimate_trip = own.ultimate_trip_a.map(|trips| trips / own.setting_a);
    let limits = facts.book.class_limits(&ClassAsk { class: &own.trip_class, ultimate_trip });
    let Some((limits, mark)) = limits.and_then(|limits| limits.marks.last().copied().map(|mark| (limits, mark))) else { return };
    let ends = limits.ultimate.map_or(mark.multiple / CLASS_OVER_ULTIMATE, |own| own.1);
    let multiple = facts.start.ratio.value.min(mark.multiple);
    let heated = |multiple: f64| libm::log(multiple * multiple / (multiple * multiple - ends * ends));
    let longest = if multiple > ends { mark.most.0 * heated(multiple) / heated(mark.multiple) } else { f64::INFINITY };
    found.unless(fits(longest, stall.0 + 1e-6), &codes::V303_TRIP_CLASS, || {
        format!("a relay of class {} may trip a stalled motor after {longest:.2} s; it stands {} s", own.trip_class, stall.0)
    });
}

/// A device with three heating elements, or three transformers inside, on two conductors: the third pole lies in series with another, and
/// where the neutral goes past it the second too.
fn in_series(facts: &Facts<'_>, own: &Overload, found: &mut Disagreements) {
    let items = || facts.circuit.protection.iter().flat_map(|own| facts.shelf.all(&own.part));
    let breaker = || items().any(|item| matches!(item, Item::Motor(_) | Item::Moulded(_)));
    let three = match facts.shelf.relay(&own.part) {
        Some(relay) => matches!(relay.kind.as_str(), "bimetal" | "electronic"),
        None => own.part.is_empty() && !own.kind.starts_with("in-") && breaker() && own.kind != "relay",
    };
    let single = facts.machine.phases == 1;
    let past = facts.book.key() == "nec" && facts.machine.neutral;
    let wanted = (three && single).then_some(if past { 3 } else { 2 });
    found.unless(
        own.poles_in_series == wanted && (wanted.is_none() || facts.told(codes::C216_POLES_IN_SERIES.code)),
        &codes::V302_RELAY,
        || {
            format!(
                "{:?} poles of an overload protection are in series; {wanted:?} must be, or it is not told",
                own.poles_in_series
            )
        },
    );
}

/// The seats that the circuit must have, in its order.
fn seats(facts: &Facts<'_>) -> Vec<Seat> {
    let mut seats = Vec::new();
    let items = || facts.circuit.starter_devices.iter().flat_map(|device| facts.shelf.all(&device.part));
    let inside_delta = facts.start.method == Method::SoftStarterInsideDelta;
    let (position, part) = if inside_delta { ("delta-leg", Part::Winding) } else { ("line", Part::Whole) };
    let in_device = |role| Place { role, position, of: Of::Motor, part, there: crate::verify::methods::If::Always };
    let mut covered = false;
    for item in items() {
        match item {
            Item::Drive(_) => seats.push(Seat::Device("in-drive", in_device("drive"))),
            Item::SoftStarter(own) if own.overload_built_in => {
                covered = true;
                seats.push(Seat::Device("in-soft-starter", in_device("soft-starter")));
            }
            _ => {}
        }
    }
    let breaker = facts.circuit.protection.as_ref().and_then(|own| facts.shelf.all(&own.part).next());
    if facts.motors > 1 {
        // No device sees more than the sum: whatever else there is, each motor has a relay of its own, and no breaker stands for it.
        seats.push(Seat::Relay(of_each(facts.motors)));
        return seats;
    }
    let places: Vec<Place> = facts.starter.relays.iter().copied().filter(|own| facts.there(own.there)).collect();
    let dial = matches!(breaker, Some(Item::Motor(_)));
    let of_motors = dial || matches!(breaker, Some(Item::Moulded(own)) if own.release == "motor");
    let whole = matches!(facts.start.method, Method::Direct | Method::Manual);
    if of_motors && whole {
        seats.extend(places.first().map(|own| Seat::Breaker(*own)));
        return seats;
    }
    if !covered {
        seats.extend(places.into_iter().map(Seat::Relay));
    }
    if dial {
        // A breaker before other relays is a dial too, set to the current of the line.
        let place = Place { role: "protection", ..in_device("protection") };
        seats.push(Seat::Breaker(Place { position: "line", part: Part::Whole, ..place }));
    }
    seats
}

fn separate(facts: &Facts<'_>, own: &Overload, place: Place, found: &mut Disagreements) {
    if own.part.is_empty() {
        let wanted = place.part.factor(facts.tap()).unwrap_or(1.0) * facts.overload_current(place.of);
        found.unless(same(wanted, own.setting_a), &codes::V305_SETTING, || {
            format!("no relay holds a setting of {wanted:.3} A; the circuit says {} A", own.setting_a)
        });
        found.unless(facts.book.trip_classes().contains(&own.trip_class.as_str()), &codes::V303_TRIP_CLASS, || {
            format!("{} is no trip class", own.trip_class)
        });
        return;
    }
    let Some(relay) = facts.shelf.relay(&own.part) else {
        found.say(&codes::V101_PART_UNKNOWN, format!("{} is no overload relay of the catalogue", own.part));
        return;
    };
    let so = own.kind == relay.kind && same(own.range_a[0], relay.range_min_a) && same(own.range_a[1], relay.range_max_a);
    found.unless(so, &codes::V302_RELAY, || format!("kind or range of {} is not as the catalogue says", own.part));
    let transformer = relay.transformer_part.as_deref().unwrap_or("");
    let dial = relay.transformer_ratio.map(|ratio| own.setting_a / ratio);
    found.unless(own.transformer_part == transformer && crate::verify::same_option(own.dial_a, dial), &codes::V302_RELAY, || {
        format!("current transformers of {} are not as the catalogue says", own.part)
    });
    found.unless(fits(facts.volts(), relay.max_voltage_v), &codes::V302_RELAY, || {
        format!("{} is made for {} V", own.part, relay.max_voltage_v)
    });
    found.unless(relay.classes.split_whitespace().any(|class| class == own.trip_class), &codes::V303_TRIP_CLASS, || {
        format!("{} has no class {}", own.part, own.trip_class)
    });
    let sees = relay.phase_loss || !facts.book.wants_phase_loss(facts.machine.phases);
    found.unless(sees, &codes::V302_RELAY, || format!("{} does not see the loss of a phase", own.part));
    if let Some(per_hour) = facts.start.per_hour {
        found.unless(fits(per_hour, relay.starts_per_hour), &codes::V302_RELAY, || {
            format!("{per_hour} starts an hour; {} is made for {}", own.part, relay.starts_per_hour)
        });
    }
    mounts(facts, own, relay, found);
    if own.role.is_empty() {
        switches(facts, own, relay, found);
    }
    let factor = place.part.factor(facts.tap()).unwrap_or(1.0);
    setting(facts, own, relay, facts.overload_current(place.of), factor, found);
}

/// What a hand-operated starter is asked to switch.
fn switched(facts: &Facts<'_>) -> SwitchingDemand {
    let (machine, current) = (&facts.machine, Amperes(facts.circuit.currents.full_load_a));
    facts.book.switching(Duty::Motor, current, 1.0, machine, &facts.start, &mut Record::silent())
}

/// The book rates what switches this motor in horsepower, known or not.
pub(super) fn rated_in_horsepower(facts: &Facts<'_>) -> bool {
    let category = switched(facts).category;
    facts.machine.kind == LoadKind::Motor && matches!(category, Category::Horsepower | Category::Continuous)
}

/// A hand-operated starter switches the motor itself: where the book rates that in horsepower, its own is not below the motor's.
fn switches(facts: &Facts<'_>, own: &Overload, relay: &OverloadRelay, found: &mut Disagreements) {
    let Some(asked) = switched(facts).horsepower.filter(|_| rated_in_horsepower(facts)) else { return };
    let volts = facts.volts() / facts.book.voltage_factor(facts.surroundings().1);
    let rated = relay.horsepower(facts.machine.phases, volts);
    found.unless(rated.is_none_or(|rated| fits(asked.motor, rated)), &codes::V302_RELAY, || {
        format!("{} is rated for {rated:?} hp; the motor has {} hp", own.part, asked.motor)
    });
}

/// It mounts on its contactor, or on a base of its own that is among the accessories; a hand-operated starter stands alone.
fn mounts(facts: &Facts<'_>, own: &Overload, relay: &OverloadRelay, found: &mut Disagreements) {
    let frames = || relay.fits_frames.split_whitespace();
    if own.role.is_empty() {
        found.unless(frames().any(|frame| frame == crate::catalogue::MANUAL), &codes::V304_MOUNTING, || {
            format!("{} needs a contactor; the starter is operated by hand", own.part)
        });
        return;
    }
    let frame = facts.circuit.contactors.iter().find(|contactor| contactor.role == own.role).map(|own| own.frame.as_str());
    let on_contactor = frame.is_some_and(|frame| frames().any(|fits| fits == frame));
    let bases = || facts.circuit.accessories.iter().filter(|base| base.kind == "relay-base" && base.serves == own.role);
    let based = bases().any(|base| {
        let part = facts.shelf.accessory(&base.part);
        base.part.is_empty() || part.is_some_and(|part| frames().any(|frame| part.fits_frame(frame)))
    });
    found.unless(on_contactor || based, &codes::V304_MOUNTING, || {
        format!("{} mounts neither on {} nor on a base of its own", own.part, own.role)
    });
    let bought: u32 = bases().map(|base| base.quantity).sum();
    let needed = if on_contactor { 0 } else { own.count };
    found.unless(bought <= needed, &codes::V603_ACCESSORY_NEEDLESS, || {
        format!("{bought} bases are bought for {}, which needs {needed}", own.part)
    });
    found.unless(bought >= needed || facts.motors == 1, &codes::V304_MOUNTING, || {
        format!("{bought} bases are bought for {} relays that stand apart", own.count)
    });
    let harmonics = facts.motors > 1 && facts.start.method == Method::Drive;
    found.unless(!harmonics || relay.kind == "electronic", &codes::V302_RELAY, || {
        format!("{} stands behind a drive, whose harmonics a {} relay is not made for", own.part, relay.kind)
    });
}

/// The setting is the share of the current that the book admits, rounded down to the dial.
fn setting(facts: &Facts<'_>, own: &Overload, relay: &OverloadRelay, rated: f64, factor: f64, found: &mut Disagreements) {
    let contactor = facts.circuit.contactors.iter().find(|contactor| contactor.role == own.role);
    let limit = contactor.and_then(|own| facts.shelf.contactor(&own.part)).and_then(|(row, _)| row.service_limit_a);
    let ask = OverloadAsk {
        machine: &facts.machine,
        rated: Amperes(rated),
        share: factor,
        ultimate_trip: relay.ultimate_trip_factor,
        service_limit: limit.map(Amperes),
    };
    let admitted = facts.book.overload_setting(&ask, &mut Record::silent()).0;
    dial(own, admitted, relay.dial_step_a, found);
    for limit in facts.book.overload_limits(&ask, Amperes(own.setting_a)) {
        found.unless(limit.holds() || failed(facts, limit.name), &codes::V305_SETTING, || {
            format!(
                "{}: at {} A it trips at {:.2} A; {} admits {:.2} A",
                own.part, own.setting_a, limit.value, limit.reference, limit.limit
            )
        });
    }
}

/// A check of that name is on the circuit, and failed: a person is told already.
fn failed(facts: &Facts<'_>, name: &str) -> bool {
    facts.circuit.checks.iter().any(|check| check.name == name && check.passed == Some(false))
}

/// The step of the dial at or next below what is admitted, within the range.
fn dial(own: &Overload, admitted: f64, step: f64, found: &mut Disagreements) {
    let [low, high] = own.range_a;
    let setting = own.setting_a;
    let slack = 1e-4 + 1e-6 * admitted;
    let in_range = low - slack <= setting && setting <= high + slack;
    let not_above = setting <= admitted + slack || same(setting, low) && low <= admitted + slack;
    let next_below = setting + step > admitted - slack || same(setting, high);
    let steps = setting / step;
    let on_step = step <= 0.0 || (steps - steps.round()).abs() * step <= 1e-4 || same(setting, low) || same(setting, high);
    found.unless(in_range && not_above && next_below && on_step, &codes::V305_SETTING, || {
        format!(
            "{} is set to {setting} A, where {admitted:.3} A is admitted in steps of {step} A from {low} to {high} A",
            own.role
        )
    });
}

/// Release of the circuit-breaker: range and class are its own, and it is set to what it protects.
fn release(facts: &Facts<'_>, own: &Overload, found: &mut Disagreements) {
    found.unless(own.part.is_empty(), &codes::V302_RELAY, || "a release has a part number of its own".to_owned());
    let Some(protection) = &facts.circuit.protection else { return };
    found.unless(own.kind == protection.kind, &codes::V302_RELAY, || {
        format!("the release is called {}, its breaker {}", own.kind, protection.kind)
    });
    let (range, classes, step) = match facts.shelf.all(&protection.part).next() {
        Some(Item::Motor(row)) => ([row.range_min_a, row.range_max_a], row.class.as_str(), row.dial_step_a),
        Some(Item::Moulded(row)) => {
            let range = row.range_min_a.zip(row.range_max_a).map_or([row.rating_a, row.rating_a], |(low, high)| [low, high]);
            (range, row.classes.as_str(), row.dial_step_a)
        }
        _ => return,
    };
    let so = same(own.range_a[0], range[0]) && same(own.range_a[1], range[1]);
    found.unless(so, &codes::V302_RELAY, || format!("range of the release of {} is not as the catalogue says", protection.part));
    found.unless(classes.split_whitespace().any(|class| class == own.trip_class), &codes::V303_TRIP_CLASS, || {
        format!("the release of {} has no class {}", protection.part, own.trip_class)
    });
    often_started(facts, own, found);
    let protects = facts.overload_current(Of::Motor);
    let through = if own.role == "protection" { facts.line_current() } else { protects };
    dial(own, through, step, found);
}

/// A bimetal release that alone protects a motor whose starts heat it too much is told, unless thermistors watch the winding.
fn often_started(facts: &Facts<'_>, own: &Overload, found: &mut Disagreements) {
    let start = &facts.start;
    let often = start.per_hour.zip(facts.book.bimetal_starts()).is_some_and(|(often, (unasked, passes))| {
        let starting = often * start.time.value.0 / 3600.0;
        let squares = starting * start.ratio.value * start.ratio.value + (start.running_share() - starting).max(0.0);
        !fits(often, unasked) && !fits(squares, passes * passes)
    });
    let watched = thermistors_taken(facts.words("thermistor").unwrap_or("")) > 0;
    let alone = own.kind == "motor-breaker" && own.role != "protection";
    found.unless(!(often && alone) || watched || facts.told(codes::C322_OFTEN_STARTED.code), &codes::V302_RELAY, || {
        "its motor starts more often than a bimetal release follows, untold".to_owned()
    });
}

/// Protection inside a device: from a fifth of its rating, at the share of the motor's current that flows through it.
fn inside(facts: &Facts<'_>, own: &Overload, kind: &str, place: Place, found: &mut Disagreements) {
    found.unless(own.kind == kind && own.part.is_empty(), &codes::V302_RELAY, || {
        format!("protection inside a device is called {}", own.kind)
    });
    let Some(top) = facts.circuit.starter_devices.first().map(|device| device.rated_a) else { return };
    let low = top * practice("device-overload-range").unwrap_or(f64::NAN);
    let so = (own.range_a[0] - low).abs() < 1e-3 && same(own.range_a[1], top);
    found.unless(so, &codes::V302_RELAY, || format!("range of the protection in the {} is not that of its rating", place.role));
    let electronic = !own.trip_class.ends_with('A') && facts.book.trip_classes().contains(&own.trip_class.as_str());
    found.unless(electronic, &codes::V303_TRIP_CLASS, || format!("electronic protection has no class {}", own.trip_class));
    let factor = place.part.factor(facts.tap()).unwrap_or(1.0);
    let ask = OverloadAsk {
        machine: &facts.machine,
        rated: Amperes(facts.overload_current(place.of)),
        share: factor,
        ultimate_trip: None,
        service_limit: None,
    };
    let admitted = facts.book.overload_setting(&ask, &mut Record::silent()).0;
    // A device that cannot be set so low trips too late: the circuit's own check says it.
    let told = failed(facts, "overload-ceiling") && same(own.setting_a, own.range_a[0]);
    if !told {
        dial(own, admitted, DISPLAY_STEP_A, found);
    }
}
