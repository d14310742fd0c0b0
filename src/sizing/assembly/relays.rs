//! Overload relays: which class the start allows, the setting of each place, and the relay that mounts under its contactor.

use crate::catalogue::OverloadRelay;
use crate::design::Check;
use crate::finding::{Finding, codes};
use crate::load::{Case, Coordination, Method, Origin, Start};
use crate::quantity::{Amperes, Seconds, fits, round_to};
use crate::record::Record;
use crate::rules::physics::{starting, tripping};
use crate::rules::{OverloadAsk, RuleBook, Topic};
use crate::sizing::arrangement::{Arrangement, Base, Device as MethodDevice, OF_ONE_MOTOR, RelayPlace, Share};
use crate::sizing::assembly::protection::dial_down;
use crate::sizing::assembly::{ChosenContactor, ChosenDevice, ChosenProtection, ChosenRelay, Decided, Device};
use crate::sizing::judge::{at_least, at_most, not_checked, of_limit};
use crate::sizing::{Pins, Tools};

mod separate;
mod start;

pub(super) use separate::nearest_refused;
pub use start::Starting;

/// The quickest class in which every place has a relay that lets the motor start; the slowest if there is none.
#[must_use]
pub fn class(decided: &Decided<'_, '_>, places: &[RelayPlace], pins: &Pins) -> &'static str {
    let starts = |class: &'static str| match places {
        [place] if soft_starter_protects(decided) => {
            let starting = Starting::at(*place, decided.case, decided.currents, decided.devices);
            in_device(decided).is_none_or(|inside| starting.passes(class, inside.setting, decided.tools.book))
        }
        _ => places.iter().all(|place| separate::lets_start(decided, *place, class, pins)),
    };
    quickest(decided.tools.book, |_| true, starts).unwrap_or("10")
}

/// The quickest class of a device that lets the motor start, else its slowest; none where it has none of the book's.
pub(super) fn quickest(
    book: &dyn RuleBook,
    has: impl Fn(&str) -> bool,
    starts: impl Fn(&'static str) -> bool,
) -> Option<&'static str> {
    let classes = || book.trip_classes().iter().copied().filter(|class| has(class));
    classes().find(|class| starts(class)).or_else(|| classes().last())
}

/// The soft starter protects the motor, so that no relay of its own does.
fn soft_starter_protects(decided: &Decided<'_, '_>) -> bool {
    let built_in = |device: &ChosenDevice<'_>| device.soft_starter.is_some_and(|soft_starter| soft_starter.overload_built_in);
    // A device before several motors sees their sum: the relay of each must see its own current.
    decided.devices.iter().any(built_in) && decided.case.motors == 1
}

/// What relays must have beyond what their places ask.
#[derive(Clone, Copy, Debug)]
pub enum RelayWish {
    /// Nothing.
    Nothing,
    /// A short-circuit rating of their own of so many kA.
    Strong(f64),
    /// A tested combination of this type, or a better one, with protective device and contactor.
    Tested(Coordination),
}

/// The devices among which relays are tried.
pub struct Trial<'t, 'a> {
    /// Contactors under which they stand.
    pub contactors: &'t [ChosenContactor<'a>],
    /// Protective device before them.
    pub protection: Option<&'t ChosenProtection<'a>>,
    /// What each must have besides.
    pub wish: RelayWish,
    /// Conductor that its terminals should take, where it is known, mm².
    pub area_mm2: Option<f64>,
    /// Relays that are fixed from outside.
    pub pins: &'t Pins,
}

/// Chooses the relays.
#[must_use]
pub fn choose<'a>(decided: &Decided<'_, 'a>, places: &[RelayPlace], trial: &Trial<'_, 'a>) -> Vec<ChosenRelay<'a>> {
    let mut relays: Vec<ChosenRelay<'a>> = in_device(decided).into_iter().collect();
    if let Some(protection) = trial.protection.filter(|protection| protection.protects_motor) {
        relays.push(in_breaker(protection, places.first().copied()));
    } else if !soft_starter_protects(decided) {
        relays.extend(places.iter().map(|place| separate::choose(decided, *place, trial)));
    }
    // A motor-protective circuit-breaker before other relays is a dial too, set to the line current.
    if let Some(protection) = trial.protection.filter(|protection| !protection.protects_motor)
        && let Device::Motor(_) = protection.device
    {
        relays.push(in_breaker(protection, None));
    }
    relays
}

/// Does the relay trip before the motor is harmed at locked rotor? Asked where the row gives the motor's limits.
pub fn locked_rotor(decided: &Decided<'_, '_>, relays: &[ChosenRelay<'_>], record: &mut Record) -> Vec<Check> {
    let Decided { case, currents, tools, devices, .. } = *decided;
    let mut checks = Vec::new();
    // Behind a drive alone no motor stands still at its locked-rotor current: the drive holds it down and sees it stalled.
    let held_down = case.start.by_drive_alone();
    let Some(relay) = relays.iter().find(|relay| relay.kind != "in-drive" && !held_down) else { return checks };
    let starting = Starting::at(relay.place, case, currents, devices);
    if let Some(stall) = case.start.stall_time {
        let set = StallAsk { class: &relay.class, setting: relay.setting, ultimate_trip: relay.ultimate_trip };
        let check = stalled(&set, &starting, &case.start, stall, tools.book);
        checks.push(check.about("overload protection"));
    }
    if let Some(te) = case.start.te {
        let check = starting.within_te(&relay.class, relay.setting, te, tools.book, record);
        checks.push(check.about("overload protection"));
    }
    checks
}

/// A relay of which it is asked how late it may trip.
pub struct StallAsk<'s> {
    /// Its class.
    pub class: &'s str,
    /// Its setting.
    pub setting: Amperes,
    /// Current at which it trips in the end over its setting, where that is known.
    pub ultimate_trip: Option<f64>,
}

/// Trip time of a relay for a motor that stalls, against the time that it stands: on the reduced step, where its windings take less heat
/// and stand it longer, and at full voltage. The tighter of the two is told.
pub fn stalled(relay: &StallAsk<'_>, starting: &Starting, start: &Start, stall: Seconds, book: &dyn RuleBook) -> Check {
    let arrangement = Arrangement::of(start.method);
    let check = |current: Amperes, stands: f64| {
        let trips = book.longest_trip(relay.class, current.0 / relay.setting.0, relay.ultimate_trip);
        at_most("stall-protection", trips.map_or(f64::INFINITY, |time| time.0), stands, "s", book.clause(Topic::Stall))
    };
    let reduced = check(starting.current, stall.0 * arrangement.stands_longer(start));
    let full = check(starting.at_full_voltage, stall.0);
    let share = |check: &Check| check.value.zip(check.limit).map_or(f64::INFINITY, |(value, limit)| value / limit);
    if share(&reduced) > share(&full) { reduced } else { full }
}

/// Says where a motor starts so often that the bimetal release of its circuit-breaker, set to the rated current, would trip.
pub fn often_started(decided: &Decided<'_, '_>, relays: &[ChosenRelay<'_>], record: &mut Record) {
    let Decided { case, currents, tools, devices, .. } = *decided;
    let start = &case.start;
    let Some((often, (unasked, passes))) = start.per_hour.zip(tools.book.bimetal_starts()) else { return };
    // A breaker before other relays only doubles what they do; thermistors know the winding itself.
    let alone = relays.iter().find(|relay| relay.kind == "motor-breaker" && relay.place.role != "protection");
    let Some(release) = alone.filter(|_| !fits(often, unasked) && case.extras.thermistors == 0) else { return };
    // What heats it is the current over its own setting, whichever current the rest of the circuit is based on.
    let over_setting = Starting::at(release.place, case, currents, devices).at_full_voltage.0 / release.setting.0;
    let heats = |time: Seconds, record: &mut Record| {
        tripping::current_of_starts(record, often, time, over_setting, start.running_share())
    };
    let current = heats(start.time.value, record);
    if fits(current, passes) {
        return;
    }
    record.find(
        Finding::new(
            &codes::C322_OFTEN_STARTED,
            format!(
                "{often} starts an hour heat the bimetal release of the motor-protective circuit-breaker like {} times its setting, with a run-up of {} s ({}); it lets {passes} times pass, {}",
                round_to(current, 2),
                round_to(start.time.value.0, 2),
                match start.time.origin {
                    Origin::Default => "assumed: nobody states it",
                    Origin::Computed | Origin::Table => "worked out",
                    Origin::Cell | Origin::Basis => "as stated",
                },
                match longest_run_up(|time| fits(heats(time, &mut Record::silent()), passes), start.time.value).0 {
                    shorter if shorter < 0.1 => "which no run-up would give".to_owned(),
                    shorter => format!("which {} s would give", round_to(shorter, 1)),
                }
            ),
        )
        .at(case.place.clone())
        .why("it trips though nothing is wrong, or, set higher, lets the motor burn")
        .cure("thermistors in the winding (thermistor = yes), an electronic relay for as many starts behind fuses; or state the start time, and the duty with its share as S4 40 %")
        .reference("IEC 60947-4-1, Table 3"),
    );
}

/// The longest run-up that passes, below one that does not: it heats the more the longer it lasts.
fn longest_run_up(passes: impl Fn(Seconds) -> bool, too_long: Seconds) -> Seconds {
    let (mut short, mut long) = (0.0, too_long.0);
    for _ in 0..40 {
        let between = (short + long) / 2.0;
        if passes(Seconds(between)) { short = between } else { long = between }
    }
    // Told to a tenth, downwards, so that what is told still passes.
    Seconds((short * 10.0).floor() / 10.0)
}

/// Overload relays and motor-protective circuit-breakers are made with three poles; a hand-operated starter, and the electronics of a
/// drive or soft starter, have those that they need.
pub fn has_three_poles(relay: &ChosenRelay<'_>) -> bool {
    matches!(relay.kind.as_str(), "bimetal" | "electronic" | "motor-breaker" | "moulded-case")
}

/// How many poles carry one line conductor of a single-phase circuit in series, so that the current goes through all three; said once.
pub fn poles_in_series(case: &Case, relays: &[ChosenRelay<'_>], tools: &Tools<'_>, record: &mut Record) -> Option<u32> {
    let relay = relays.iter().find(|relay| has_three_poles(relay)).filter(|_| case.machine.phases == 1)?;
    let poles = 4_u32.saturating_sub(tools.book.switched_conductors(&case.machine));
    let what = if matches!(relay.kind.as_str(), "motor-breaker" | "moulded-case") { "circuit-breaker" } else { "overload relay" };
    record.find(
        Finding::new(
            &codes::C216_POLES_IN_SERIES,
            format!("one line conductor goes through {poles} poles of the {what} in series: all three carry the current"),
        )
        .at(case.place.clone())
        .why("with a pole that carries nothing it trips as at the loss of a phase, or not at its setting")
        .cure("wire it so; how, its maker's instructions show")
        .reference(tools.book.clause(Topic::PhaseLoss)),
    );
    Some(poles)
}

/// Setting that the book admits at a share of the rated current; the catalogue's ultimate trip with it, where it states one.
fn admitted(
    case: &Case,
    rated: Amperes,
    share: f64,
    ultimate_trip: Option<f64>,
    tools: &Tools<'_>,
    record: &mut Record,
) -> Amperes {
    tools.book.overload_setting(&OverloadAsk { machine: &case.machine, rated, share, ultimate_trip, service_limit: None }, record)
}

/// Rated current of what flows through a place, and the share of it: a relay of one motor among several sees all of that motor's line
/// current, one in a winding part of it.
fn seen(place: RelayPlace, base: Amperes, factor: f64) -> (Amperes, f64) {
    if place.position == OF_ONE_MOTOR { (base * factor, 1.0) } else { (base, factor) }
}

/// Keeps the working of the class, and that of the settings, once for each share of each current.
pub fn keep_working(decided: &Decided<'_, '_>, relays: &[ChosenRelay<'_>], record: &mut Record) {
    let Decided { case, currents, tools, devices, .. } = *decided;
    let of_start = |relay: &&ChosenRelay<'_>| relay.kind != "in-drive" && relay.place.role != "protection";
    if let Some(relay) = relays.iter().find(of_start) {
        let starting = Starting::at(relay.place, case, currents, devices);
        let _ = starting.demand(&relay.class, relay.setting, tools.book, Some(&mut *record));
    }
    let mut kept: Vec<(Base, f64)> = Vec::new();
    for relay in relays {
        if kept.contains(&(relay.place.base, relay.factor)) {
            continue;
        }
        kept.push((relay.place.base, relay.factor));
        let rated = if relay.place.base == Base::Low { currents.low.unwrap_or(currents.overload) } else { currents.overload };
        let (rated, share) = seen(relay.place, rated, relay.factor);
        let _ = admitted(case, rated, share, relay.ultimate_trip, tools, record);
    }
}

fn ultimate_trip(relay: &OverloadRelay) -> Option<f64> {
    relay.ultimate_trip_factor
}

const CARRIED: &str = "carried-without-trip";
const TRIP_NOT_STATED: &str = "the catalogue does not state at what multiple of its setting it trips; set as low as any that it may have asks, it may trip at the motor's own current: state ultimate_trip_factor there, or service_factor where 1.15 and more is marked";

/// The book's limits of a setting, as checks: the ceiling of its trip, and that it does not trip at the motor's own current.
fn limits(ask: &OverloadAsk<'_>, setting: Amperes, tools: &Tools<'_>) -> Vec<Check> {
    let limits = tools.book.overload_limits(ask, setting);
    let carries = tools.book.surely_carried_over_setting().map(|(multiple, accuracy, clause)| {
        let least = (ask.rated * ask.share).0 * accuracy;
        let carried = at_least(CARRIED, setting.0 * multiple, least, "A", clause);
        // The ceiling is that of a multiple which nobody stated: it proves nothing against this device.
        let is_open = carried.passed == Some(false) && ask.ultimate_trip.is_none();
        if is_open { not_checked(CARRIED, "A", TRIP_NOT_STATED, clause) } else { carried }
    });
    limits.iter().map(of_limit).chain(carries).map(|check| check.about("overload relay")).collect()
}

fn line_place(role: &'static str) -> RelayPlace {
    RelayPlace { role, position: "line", base: Base::Full, share: Share::All, when: crate::sizing::arrangement::When::Always }
}

/// Release of a circuit-breaker.
fn in_breaker<'a>(protection: &ChosenProtection<'a>, place: Option<RelayPlace>) -> ChosenRelay<'a> {
    let setting = protection.setting.unwrap_or(protection.rating);
    let place = place.unwrap_or_else(|| line_place("protection"));
    ChosenRelay {
        place,
        factor: 1.0,
        kind: protection.device.kind().to_owned(),
        class: protection.class.clone(),
        range: protection.range.unwrap_or([protection.rating.0, protection.rating.0]),
        setting,
        ultimate_trip: None,
        relay: None,
        separate: false,
        checks: Vec::new(),
        refused: None,
    }
}

/// Lowest setting of the overload protection in a device of a rating, where the catalogue does not state it.
pub(super) fn lowest_setting(rating_a: f64) -> f64 {
    let share = starting::practice("device-overload-range").unwrap_or(f64::NAN);
    crate::quantity::round_to(rating_a * share, 3)
}

/// Overload protection inside a drive or a soft starter.
fn in_device<'a>(decided: &Decided<'_, 'a>) -> Option<ChosenRelay<'a>> {
    let Decided { case, currents, tools, devices, class, .. } = *decided;
    let device = devices.iter().find(|device| {
        device.drive.is_some() || device.soft_starter.is_some_and(|soft_starter| soft_starter.overload_built_in)
    })?;
    let inside_delta = case.start.method == Method::SoftStarterInsideDelta;
    let share = if inside_delta { Share::InverseRoot3 } else { Share::All };
    let factor = share.factor(&case.start);
    let top = device.drive.map(|drive| drive.output_a).or(device.soft_starter.map(|soft_starter| soft_starter.rating_a))?;
    let range = [lowest_setting(top), top];
    let ultimate_trip = device.ultimate_trip();
    let setting = dial_down(admitted(case, currents.overload, factor, ultimate_trip, tools, &mut Record::silent()).0, 0.1, range);
    let ask = OverloadAsk { machine: &case.machine, rated: currents.overload, share: factor, ultimate_trip, service_limit: None };
    let kind = if device.drive.is_some() { "in-drive" } else { "in-soft-starter" };
    let position = if inside_delta { "delta-leg" } else { "line" };
    let place = RelayPlace { share, position, ..line_place(device.kind) };
    // Electronic protection has no class 10A.
    let class = if class == "10A" { "10" } else { class };
    let mut checks = limits(&ask, Amperes(setting), tools);
    // A drive holds its motor's current down; of several motors each has a relay of its own that must let it start.
    if soft_starter_protects(decided) {
        let starting = Starting::at(place, case, currents, devices);
        checks.push(starting.check(class, Amperes(setting), tools.book).about("overload relay"));
    }
    Some(ChosenRelay {
        place,
        factor,
        kind: kind.to_owned(),
        class: class.to_owned(),
        range,
        setting: Amperes(setting),
        ultimate_trip,
        relay: None,
        separate: false,
        refused: None,
        checks,
    })
}

/// The check is told with the group of motors whose relay it is about.
#[must_use]
pub fn told_of_several(case: &Case, check: &Check) -> bool {
    case.motors > 1 && check.name == "protection-maximum" && check.subject == "overload relay"
}

/// Says what holds of several motors behind one starter: how they are protected together, and where one device before all is too much for
/// the relay of one.
pub fn say_of_several(
    case: &Case,
    relays: &[ChosenRelay<'_>],
    protection: Option<&ChosenProtection<'_>>,
    tools: &Tools<'_>,
    record: &mut Record,
) {
    let Some(relay) = relays.iter().find(|relay| relay.place.position == OF_ONE_MOTOR) else { return };
    let motors = relay.count();
    let device = Arrangement::of(case.start.method).device;
    record.find(
        Finding::new(
            &codes::C219_SEVERAL_MOTORS,
            format!("{motors} motors behind one starter: a relay for each, set to its own current; all stop when one trips"),
        )
        .at(case.place.clone())
        .why("what sees only the sum lets one motor burn while the others run light")
        .cure(match device {
            None => "lead the normally closed contacts of all relays in series into the coil circuit; only loads that may stop together belong into one group",
            Some(MethodDevice::Drive) => "lead the normally closed contacts of all relays in series into the drive's enable and the coil circuit; let the makers confirm the output frequencies at which the relays measure, and all motor cables together behind the drive; no motor may be switched on to the running drive",
            Some(_) => "lead the normally closed contacts of all relays in series into the stop of the soft starter and the coil circuit; only loads that may stop together belong into one group",
        })
        .reference(tools.book.clause(Topic::OverloadSetting)),
    );
    let refused = relay.checks.iter().find(|check| told_of_several(case, check) && check.passed == Some(false));
    if let (Some(check), Some(device), Some(relay)) = (refused, protection, relay.relay) {
        let most = check.limit.unwrap_or(0.0);
        record.find(
            Finding::new(
                &codes::C220_DEVICE_OF_GROUP,
                format!(
                    "the device of {motors} motors has {} A; {}, which protects one of them, admits {most} A before it",
                    round_to(device.rating.0, 2),
                    relay.part
                ),
            )
            .at(case.place.clone())
            .why("a fault behind the relay may weld or burst it before a device for the whole group clears it")
            .cure("a circuit-breaker for each motor behind the common contactor, which also protects it against overload; fuses instead of a breaker for all; or fewer motors to a starter")
            .reference("IEC 60947-4-1, 8.2.5"),
        );
    }
}

/// The relay of the tested combination that a contactor is part of: the one under it, else another of the circuit. A release in another
/// device stands in no combination.
pub(super) fn of_combination<'a>(role: &str, relays: &[ChosenRelay<'a>]) -> Option<&'a OverloadRelay> {
    let mut separate = relays.iter().filter(|relay| relay.separate);
    let under = separate.clone().find(|relay| relay.place.role == role);
    under.or_else(|| separate.next())?.relay
}
