//! Overload relays and releases: each where the method has one, within its range, on its dial, in a class that it has, on a frame that
//! takes it.

use crate::catalogue::OverloadRelay;
use crate::design::{Accessory, Check, Overload};
use crate::finding::codes;
use crate::load::{LoadKind, Method, Origin};
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
    let overloads = &facts.circuit.overloads;
    found.unless(facts.circuit.overload.as_ref() == overloads.first(), &codes::V301_RELAYS, || {
        "the first overload protection is not the first of its list".to_owned()
    });
    let seats = seats(facts);
    found.unless(seats.len() == overloads.len(), &codes::V301_RELAYS, || {
        format!("it has {} overload relays or releases; {} asks for {}", overloads.len(), facts.start.method.word(), seats.len())
    });
    let carries = |base: &Accessory| overloads.iter().any(|relay| relay.role == base.serves && !relay.part.is_empty());
    let stray = facts.circuit.accessories.iter().any(|base| base.kind == "relay-base" && !carries(base));
    found.unless(!stray, &codes::V603_ACCESSORY_NEEDLESS, || "a base is bought where no relay stands".to_owned());
    stall(facts, found);
    within_te(facts, found);
    for (overload, seat) in overloads.iter().zip(seats) {
        let (Seat::Relay(place) | Seat::Breaker(place) | Seat::Device(_, place)) = seat;
        let factor = place.part.factor(facts.tap()).unwrap_or(1.0);
        let so =
            overload.role == place.role && overload.position == place.position && (overload.winding_factor - factor).abs() < 1e-5;
        found.unless(so, &codes::V301_RELAYS, || {
            format!(
                "an overload relay stands at {} {} with {} of the current; {} {} with {factor:.4} was expected",
                overload.role, overload.position, overload.winding_factor, place.role, place.position
            )
        });
        let each = if matches!(place.part, Part::OneOf(_)) { facts.motors } else { 1 };
        found.unless(overload.count == each, &codes::V301_RELAYS, || {
            format!("{} overload relays stand at {}; {each} are needed, one for each motor", overload.count, overload.role)
        });
        in_series(facts, overload, found);
        // A drive holds its motor's current down; a soft starter before several leaves the start to the relay of each.
        let device = matches!(seat, Seat::Device(kind, _) if kind == "in-drive" || facts.motors > 1);
        if !device && overload.role != "protection" {
            lets_start(facts, overload, place.of, found);
        }
        match seat {
            Seat::Relay(place) => separate(facts, overload, place, found),
            Seat::Breaker(_) => release(facts, overload, found),
            Seat::Device(kind, place) => inside(facts, overload, kind, place, found),
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
    let passed = facts.circuit.checks.iter().any(|check| check.name == "stall-protection" && check.passed == Some(true));
    let Some(overload) = facts.circuit.overloads.iter().find(|overload| overload.kind != "in-drive").filter(|_| passed) else {
        return;
    };
    let ultimate_trip = overload.ultimate_trip_a.map(|trips| trips / overload.setting_a);
    let limits = facts.book.class_limits(&ClassAsk { class: &overload.trip_class, ultimate_trip });
    let Some((limits, mark)) = limits.and_then(|limits| limits.marks.last().copied().map(|mark| (limits, mark))) else { return };
    let ends = limits.ultimate.map_or(mark.multiple / CLASS_OVER_ULTIMATE, |ultimate| ultimate.1);
    let multiple = (starting_through(facts, overload, Of::Motor) / overload.setting_a).min(mark.multiple);
    let heated = |multiple: f64| libm::log(multiple * multiple / (multiple * multiple - ends * ends));
    let longest = if multiple > ends { mark.most.0 * heated(multiple) / heated(mark.multiple) } else { f64::INFINITY };
    found.unless(fits(longest, stall.0 + 1e-6), &codes::V303_TRIP_CLASS, || {
        format!("a relay of class {} may trip a stalled motor after {longest:.2} s; it stands {} s", overload.trip_class, stall.0)
    });
}

/// Tolerance of a trip time before an increased-safety motor (IEC 60079-14, increased safety).
const TE_TOLERANCE: f64 = 1.2;

/// An increased-safety motor that stands still is tripped within its time tE, by the curve of the class at its starting current over the
/// setting of this relay. Where no book says that it is, the circuit says so.
fn within_te(facts: &Facts<'_>, found: &mut Disagreements) {
    let Some(te) = facts.start.te.filter(|_| !facts.start.by_drive_alone()) else { return };
    let Some(overload) = facts.circuit.overloads.iter().find(|overload| overload.kind != "in-drive") else { return };
    if failed(facts, "trip-within-te") {
        return;
    }
    let mut places = facts.starter.relays.iter();
    let of = places.find(|place| (place.role, place.position) == (overload.role.as_str(), overload.position.as_str()));
    let of = of.map_or(Of::Motor, |place| place.of);
    let trips = trip_time(&overload.trip_class, starting_through(facts, overload, of) / overload.setting_a);
    let asked = facts.circuit.checks.iter().any(|check| check.name == "trip-within-te");
    let so = asked && trips.is_some_and(|trips| fits(TE_TOLERANCE * trips, te.0 + 1e-6));
    found.unless(so, &codes::V303_TRIP_CLASS, || {
        format!("class {} trips after {trips:?} s where the motor stands still; its time tE is {} s", overload.trip_class, te.0)
    });
}

/// Current through a relay while its motor starts direct, A.
fn starting_through(facts: &Facts<'_>, overload: &Overload, of: Of) -> f64 {
    facts.current(of) * overload.winding_factor * facts.start.ratio.value
}

/// Seconds of the curve of a class: t = c C ln(m²/(m²-1)), C the class, m the current over the setting; of class 10A a curve of its own.
const CLASS_CURVE_S: f64 = 37.3;
const CLASS_10A_CURVE_S: f64 = 187.0;

/// Trip time of a class from cold, s; none of a text that is no class.
fn trip_time(class: &str, multiple: f64) -> Option<f64> {
    let number = class.trim_end_matches(|letter: char| letter.is_ascii_alphabetic()).parse::<f64>().ok()?;
    let curve = if class == "10A" { CLASS_10A_CURVE_S } else { CLASS_CURVE_S * number };
    let heated = || libm::log(multiple * multiple / (multiple * multiple - 1.0));
    Some(if multiple > 1.0 { curve * heated() } else { f64::INFINITY })
}

/// What flows through the relays of a method while its motor starts, over the rated current of their place, and for how long it heats them,
/// s; none where nothing starts that is ours. From circuit theory: in star a winding has 1/√3 of its current and the motor a third of its
/// torque; behind a tap or an impedance the current falls with the voltage, and the torque with its square; a limit of the current leaves
/// the torque of its square. A half of a winding that starts alone draws its share of practice through one relay of two.
fn of_start(facts: &Facts<'_>) -> Option<(f64, f64)> {
    let start = &facts.start;
    let (ratio, whole, tap) = (start.ratio.value, start.time.value.0, start.tap.value);
    let stated = start.time.origin != Origin::Default;
    let lasts = |step: f64| start.worked_out.map_or(step, |course| course.time.0);
    let root3 = 3f64.sqrt();
    Some(match start.method {
        Method::Direct | Method::Manual => (ratio, lasts(whole)),
        Method::Drive if start.over_bypass() => (ratio, lasts(whole)),
        method if method.two_speeds() => (ratio, lasts(whole)),
        Method::StarDelta | Method::StarDeltaClosed => (ratio / root3, lasts(star_time(stated, whole)?)),
        // Behind a tap the torque is that of its square; behind an impedance it grows while the motor runs up, but the heat of a run-up is
        // that of one at full voltage.
        Method::Autotransformer | Method::PrimaryResistor | Method::Reactor => (ratio * tap, lasts(whole / (tap * tap))),
        Method::PartWinding => {
            let (first, share) = (practice("part-winding-time")?, 2.0 * practice("part-winding-current")?);
            // Both halves carry the direct start for what is left of it.
            let later = (whole - first).max(0.0);
            (ratio * share, first + later / (share * share))
        }
        Method::SoftStarter | Method::SoftStarterInsideDelta => {
            (start.limit.value.min(ratio), lasts(ramp(start.limit.value, ratio, whole, stated)?))
        }
        Method::RotorResistance => (practice("slip-ring-start-current")?, whole.max(practice("rotor-start-least")?)),
        _ => return None,
    })
}

/// Seconds in star.
pub(super) fn star_time(stated: bool, whole: f64) -> Option<f64> {
    let usual = practice("star-time")? / practice("start-time")?;
    Some(whole * if stated { practice("star-time-multiple")? } else { usual })
}

/// Seconds at the limit of a soft starter.
fn ramp(limit: f64, ratio: f64, whole: f64, stated: bool) -> Option<f64> {
    let squared = |ratio: f64| (ratio * ratio).max(1.0);
    let least = if stated { practice("ramp-time-multiple")? * whole } else { practice("ramp-time")? };
    Some((least * squared(practice("soft-starter-limit-least")? / limit)).max(whole * squared(ratio / limit)))
}

/// A motor is up before its relay trips: 1.2 times its start against 0.8 times the class's time at what flows over the setting of this
/// relay. Where it is not, the circuit says so.
fn lets_start(facts: &Facts<'_>, overload: &Overload, of: Of, found: &mut Disagreements) {
    if !facts.starts() || overload.part.is_empty() && overload.kind == "relay" || failed(facts, "trip-class-at-start") {
        return;
    }
    let Some((drawn, lasts)) = of_start(facts) else { return };
    let class = overload.trip_class.as_str();
    let multiple = facts.current(of) * overload.winding_factor * drawn / overload.setting_a;
    let Some(trips) = trip_time(class, multiple) else { return };
    found.unless(1.2 * lasts <= 0.8 * trips * (1.0 + 1e-3), &codes::V303_TRIP_CLASS, || {
        format!(
            "class {class} at {multiple:.2} times {} A trips after {trips:.2} s; the start lasts {lasts:.2} s",
            overload.setting_a
        )
    });
}

/// A device with three heating elements, or three transformers inside, on two conductors: the third pole lies in series with another, and
/// where the neutral goes past it the second too.
fn in_series(facts: &Facts<'_>, overload: &Overload, found: &mut Disagreements) {
    let items = || facts.circuit.protection.iter().flat_map(|protection| facts.shelf.all(&protection.part));
    let breaker = || items().any(|item| matches!(item, Item::Motor(_) | Item::Moulded(_)));
    let three = match facts.shelf.relay(&overload.part) {
        Some(relay) => matches!(relay.kind.as_str(), "bimetal" | "electronic"),
        None => overload.part.is_empty() && !overload.kind.starts_with("in-") && breaker() && overload.kind != "relay",
    };
    let single = facts.machine.phases == 1;
    let past = facts.book.key() == "nec" && facts.machine.neutral;
    let wanted = (three && single).then_some(if past { 3 } else { 2 });
    found.unless(
        overload.poles_in_series == wanted && (wanted.is_none() || facts.told(codes::C216_POLES_IN_SERIES.code)),
        &codes::V302_RELAY,
        || {
            format!(
                "{:?} poles of an overload protection are in series; {wanted:?} must be, or it is not told",
                overload.poles_in_series
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
            Item::SoftStarter(soft_starter) if soft_starter.overload_built_in => {
                covered = true;
                seats.push(Seat::Device("in-soft-starter", in_device("soft-starter")));
            }
            _ => {}
        }
    }
    let breaker = facts.circuit.protection.as_ref().and_then(|protection| facts.shelf.all(&protection.part).next());
    if facts.motors > 1 {
        // No device sees more than the sum: whatever else there is, each motor has a relay of its own, and no breaker stands for it.
        seats.push(Seat::Relay(of_each(facts.motors)));
        return seats;
    }
    let places: Vec<Place> = facts.starter.relays.iter().copied().filter(|place| facts.there(place.there)).collect();
    let dial = matches!(breaker, Some(Item::Motor(_)));
    let of_motors = dial || matches!(breaker, Some(Item::Moulded(breaker)) if breaker.release == "motor");
    let whole = matches!(facts.start.method, Method::Direct | Method::Manual);
    if of_motors && whole {
        seats.extend(places.first().map(|place| Seat::Breaker(*place)));
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

fn separate(facts: &Facts<'_>, overload: &Overload, place: Place, found: &mut Disagreements) {
    if overload.part.is_empty() {
        let wanted = place.part.factor(facts.tap()).unwrap_or(1.0) * facts.overload_current(place.of);
        found.unless(same(wanted, overload.setting_a), &codes::V305_SETTING, || {
            format!("no relay holds a setting of {wanted:.3} A; the circuit says {} A", overload.setting_a)
        });
        found.unless(facts.book.trip_classes().contains(&overload.trip_class.as_str()), &codes::V303_TRIP_CLASS, || {
            format!("{} is no trip class", overload.trip_class)
        });
        return;
    }
    let Some(relay) = facts.shelf.relay(&overload.part) else {
        found.say(&codes::V101_PART_UNKNOWN, format!("{} is no overload relay of the catalogue", overload.part));
        return;
    };
    let so = overload.kind == relay.kind
        && same(overload.range_a[0], relay.range_min_a)
        && same(overload.range_a[1], relay.range_max_a);
    found.unless(so, &codes::V302_RELAY, || format!("kind or range of {} is not as the catalogue says", overload.part));
    let transformer = relay.transformer_part.as_deref().unwrap_or("");
    let dial = relay.transformer_ratio.map(|ratio| overload.setting_a / ratio);
    found.unless(
        overload.transformer_part == transformer && crate::verify::same_option(overload.dial_a, dial),
        &codes::V302_RELAY,
        || format!("current transformers of {} are not as the catalogue says", overload.part),
    );
    found.unless(fits(facts.volts(), relay.max_voltage_v), &codes::V302_RELAY, || {
        format!("{} is made for {} V", overload.part, relay.max_voltage_v)
    });
    found.unless(relay.classes.split_whitespace().any(|class| class == overload.trip_class), &codes::V303_TRIP_CLASS, || {
        format!("{} has no class {}", overload.part, overload.trip_class)
    });
    let sees = relay.phase_loss || !facts.book.wants_phase_loss(facts.machine.phases);
    found.unless(sees, &codes::V302_RELAY, || format!("{} does not see the loss of a phase", overload.part));
    if let Some(per_hour) = facts.start.per_hour {
        found.unless(fits(per_hour, relay.starts_per_hour), &codes::V302_RELAY, || {
            format!("{per_hour} starts an hour; {} is made for {}", overload.part, relay.starts_per_hour)
        });
    }
    mounts(facts, overload, relay, found);
    if overload.role.is_empty() {
        switches(facts, overload, relay, found);
    }
    let factor = place.part.factor(facts.tap()).unwrap_or(1.0);
    setting(facts, overload, relay, facts.overload_current(place.of), factor, found);
}

/// The load that a hand-operated starter is asked to switch.
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
fn switches(facts: &Facts<'_>, overload: &Overload, relay: &OverloadRelay, found: &mut Disagreements) {
    let Some(asked) = switched(facts).horsepower.filter(|_| rated_in_horsepower(facts)) else { return };
    let rated = relay.horsepower(facts.machine.phases, facts.volts());
    found.unless(rated.is_none_or(|rated| fits(asked.motor, rated)), &codes::V302_RELAY, || {
        format!("{} is rated for {rated:?} hp; the motor has {} hp", overload.part, asked.motor)
    });
}

/// It mounts on its contactor, or on a base of its own that is among the accessories; a hand-operated starter stands alone.
fn mounts(facts: &Facts<'_>, overload: &Overload, relay: &OverloadRelay, found: &mut Disagreements) {
    let frames = || relay.fits_frames.split_whitespace();
    if overload.role.is_empty() {
        found.unless(frames().any(|frame| frame == crate::catalogue::MANUAL), &codes::V304_MOUNTING, || {
            format!("{} needs a contactor; the starter is operated by hand", overload.part)
        });
        return;
    }
    let frame = facts
        .circuit
        .contactors
        .iter()
        .find(|contactor| contactor.role == overload.role)
        .map(|contactor| contactor.frame.as_str());
    let on_contactor = frame.is_some_and(|frame| frames().any(|fits| fits == frame));
    let bases = || facts.circuit.accessories.iter().filter(|base| base.kind == "relay-base" && base.serves == overload.role);
    let based = bases().any(|base| {
        let part = facts.shelf.accessory(&base.part);
        base.part.is_empty() || part.is_some_and(|part| frames().any(|frame| part.fits_frame(frame)))
    });
    found.unless(on_contactor || based, &codes::V304_MOUNTING, || {
        format!("{} mounts neither on {} nor on a base of its own", overload.part, overload.role)
    });
    let bought: u32 = bases().map(|base| base.quantity).sum();
    let needed = if on_contactor { 0 } else { overload.count };
    found.unless(bought <= needed, &codes::V603_ACCESSORY_NEEDLESS, || {
        format!("{bought} bases are bought for {}, which needs {needed}", overload.part)
    });
    found.unless(bought >= needed || facts.motors == 1, &codes::V304_MOUNTING, || {
        format!("{bought} bases are bought for {} relays that stand apart", overload.count)
    });
    let harmonics = facts.motors > 1 && facts.start.method == Method::Drive;
    found.unless(!harmonics || relay.kind == "electronic", &codes::V302_RELAY, || {
        format!("{} stands behind a drive, whose harmonics a {} relay is not made for", overload.part, relay.kind)
    });
}

/// The setting is the share of the current that the book admits, rounded down to the dial.
fn setting(facts: &Facts<'_>, overload: &Overload, relay: &OverloadRelay, rated: f64, factor: f64, found: &mut Disagreements) {
    let contactor = facts.circuit.contactors.iter().find(|contactor| contactor.role == overload.role);
    let limit = contactor.and_then(|contactor| facts.shelf.contactor(&contactor.part)).and_then(|(row, _)| row.service_limit_a);
    let ask = OverloadAsk {
        machine: &facts.machine,
        rated: Amperes(rated),
        share: factor,
        ultimate_trip: relay.ultimate_trip_factor,
        service_limit: limit.map(Amperes),
    };
    let admitted = facts.book.overload_setting(&ask, &mut Record::silent()).0;
    dial(overload, admitted, relay.dial_step_a, found);
    carries(facts, overload, rated * factor, found);
    for limit in facts.book.overload_limits(&ask, Amperes(overload.setting_a)) {
        found.unless(limit.holds() || failed(facts, limit.name), &codes::V305_SETTING, || {
            format!(
                "{}: at {} A it trips at {:.2} A; {} admits {:.2} A",
                overload.part, overload.setting_a, limit.value, limit.reference, limit.limit
            )
        });
    }
}

/// A setting at which the relay may trip at what the motor draws by its nameplate is told.
fn carries(facts: &Facts<'_>, overload: &Overload, current: f64, found: &mut Disagreements) {
    let Some((multiple, accuracy, _)) = facts.book.surely_carried_over_setting() else { return };
    let told = |check: &Check| check.name == "carried-without-trip" && check.passed != Some(true);
    let holds = fits(current * accuracy, overload.setting_a * multiple) || facts.circuit.checks.iter().any(told);
    found.unless(holds, &codes::V305_SETTING, || {
        format!("at {} A the overload protection may trip at the motor's {current:.2} A, untold", overload.setting_a)
    });
}

/// A check of that name is on the circuit, and failed: a person is told already.
fn failed(facts: &Facts<'_>, name: &str) -> bool {
    facts.circuit.checks.iter().any(|check| check.name == name && check.passed == Some(false))
}

/// The step of the dial at or next below what is admitted, within the range.
fn dial(overload: &Overload, admitted: f64, step: f64, found: &mut Disagreements) {
    let [low, high] = overload.range_a;
    let setting = overload.setting_a;
    let slack = 1e-4 + 1e-6 * admitted;
    let in_range = low - slack <= setting && setting <= high + slack;
    let not_above = setting <= admitted + slack || same(setting, low) && low <= admitted + slack;
    let next_below = setting + step > admitted - slack || same(setting, high);
    let steps = setting / step;
    let on_step = step <= 0.0 || (steps - steps.round()).abs() * step <= 1e-4 || same(setting, low) || same(setting, high);
    found.unless(in_range && not_above && next_below && on_step, &codes::V305_SETTING, || {
        format!(
            "{} is set to {setting} A, where {admitted:.3} A is admitted in steps of {step} A from {low} to {high} A",
            overload.role
        )
    });
}

/// Release of the circuit-breaker: range and class are its own, and it is set to what it protects.
fn release(facts: &Facts<'_>, overload: &Overload, found: &mut Disagreements) {
    found.unless(overload.part.is_empty(), &codes::V302_RELAY, || "a release has a part number of its own".to_owned());
    let Some(protection) = &facts.circuit.protection else { return };
    found.unless(overload.kind == protection.kind, &codes::V302_RELAY, || {
        format!("the release is called {}, its breaker {}", overload.kind, protection.kind)
    });
    let (range, classes, step) = match facts.shelf.all(&protection.part).next() {
        Some(Item::Motor(row)) => ([row.range_min_a, row.range_max_a], row.class.as_str(), row.dial_step_a),
        Some(Item::Moulded(row)) => {
            let range = row.range_min_a.zip(row.range_max_a).map_or([row.rating_a, row.rating_a], |(low, high)| [low, high]);
            (range, row.classes.as_str(), row.dial_step_a)
        }
        _ => return,
    };
    let so = same(overload.range_a[0], range[0]) && same(overload.range_a[1], range[1]);
    found.unless(so, &codes::V302_RELAY, || format!("range of the release of {} is not as the catalogue says", protection.part));
    found.unless(classes.split_whitespace().any(|class| class == overload.trip_class), &codes::V303_TRIP_CLASS, || {
        format!("the release of {} has no class {}", protection.part, overload.trip_class)
    });
    often_started(facts, overload, found);
    let protects = facts.overload_current(Of::Motor);
    let through = if overload.role == "protection" { facts.line_current() } else { protects };
    dial(overload, through, step, found);
}

/// A bimetal release that alone protects a motor whose starts heat it too much is told, unless thermistors watch the winding.
fn often_started(facts: &Facts<'_>, overload: &Overload, found: &mut Disagreements) {
    let start = &facts.start;
    let often = start.per_hour.zip(facts.book.bimetal_starts()).is_some_and(|(often, (unasked, passes))| {
        let starting = often * start.time.value.0 / 3600.0;
        let over_setting = starting_through(facts, overload, Of::Motor) / overload.setting_a;
        let squares = starting * over_setting * over_setting + (start.running_share() - starting).max(0.0);
        !fits(often, unasked) && !fits(squares, passes * passes)
    });
    let watched = thermistors_taken(facts.words("thermistor").unwrap_or("")) > 0;
    let alone = overload.kind == "motor-breaker" && overload.role != "protection";
    found.unless(!(often && alone) || watched || facts.told(codes::C322_OFTEN_STARTED.code), &codes::V302_RELAY, || {
        "its motor starts more often than a bimetal release follows, untold".to_owned()
    });
}

/// Current at which the protection inside the drive or soft starter trips in the end over its setting, where the catalogue states it.
fn ultimate_trip_inside(facts: &Facts<'_>) -> Option<f64> {
    let device = facts.circuit.starter_devices.first()?;
    facts.shelf.all(&device.part).find_map(|item| match item {
        Item::Drive(row) => row.ultimate_trip_factor,
        Item::SoftStarter(row) => row.ultimate_trip_factor,
        _ => None,
    })
}

/// Protection inside a device: from a fifth of its rating, at the share of the motor's current that flows through it.
fn inside(facts: &Facts<'_>, overload: &Overload, kind: &str, place: Place, found: &mut Disagreements) {
    found.unless(overload.kind == kind && overload.part.is_empty(), &codes::V302_RELAY, || {
        format!("protection inside a device is called {}", overload.kind)
    });
    let Some(top) = facts.circuit.starter_devices.first().map(|device| device.rated_a) else { return };
    let low = top * practice("device-overload-range").unwrap_or(f64::NAN);
    let so = (overload.range_a[0] - low).abs() < 1e-3 && same(overload.range_a[1], top);
    found.unless(so, &codes::V302_RELAY, || format!("range of the protection in the {} is not that of its rating", place.role));
    let electronic = !overload.trip_class.ends_with('A') && facts.book.trip_classes().contains(&overload.trip_class.as_str());
    found.unless(electronic, &codes::V303_TRIP_CLASS, || format!("electronic protection has no class {}", overload.trip_class));
    let factor = place.part.factor(facts.tap()).unwrap_or(1.0);
    let ask = OverloadAsk {
        machine: &facts.machine,
        rated: Amperes(facts.overload_current(place.of)),
        share: factor,
        ultimate_trip: ultimate_trip_inside(facts),
        service_limit: None,
    };
    carries(facts, overload, ask.rated.0 * factor, found);
    let admitted = facts.book.overload_setting(&ask, &mut Record::silent()).0;
    // A device that cannot be set so low trips too late: the circuit's own check says it.
    let told = failed(facts, "overload-ceiling") && same(overload.setting_a, overload.range_a[0]);
    if !told {
        dial(overload, admitted, DISPLAY_STEP_A, found);
    }
}
