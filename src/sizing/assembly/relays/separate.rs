//! An overload relay that is a device of its own: what its place asks of it, which relays may stand there, and the choice among them.

use crate::catalogue::{Contactor, MANUAL, OverloadRelay};
use crate::design::Check;
use crate::load::Case;
use crate::quantity::{Amperes, Seconds, fits};
use crate::record::Record;
use crate::rules::{OverloadAsk, Topic};
use crate::sizing::Pins;
use crate::sizing::arrangement::{Base, Device as MethodDevice, OF_ONE_MOTOR, RelayPlace};
use crate::sizing::assembly::protection::dial_down;
use crate::sizing::assembly::relays::{RelayWish, Starting, Trial, admitted, limits, seen, ultimate_trip};
use crate::sizing::assembly::{ChosenProtection, ChosenRelay, Decided, Device, base_current, by_hand, coordination};
use crate::sizing::judge::{Verdict, at_least, at_most, choose as first, is_cured_by_another_start};

/// A place with what it asks of its relay.
struct Ask<'s, 'a> {
    decided: &'s Decided<'s, 'a>,
    place: RelayPlace,
    /// Current of which the place sees a share.
    base: Amperes,
    /// That share.
    factor: f64,
    /// Rated current of what flows through the place, and the share of it that flows there.
    seen: (Amperes, f64),
    /// What flows through the place while the motor starts.
    starting: Starting,
    /// Contactor under which the relay stands.
    contactor: Option<&'a Contactor>,
    /// Rating of the device before it that the relay must admit.
    device_before: Option<Amperes>,
    /// Part that it must be.
    pinned: Option<&'s str>,
    /// Protective device before it.
    protection: Option<&'s str>,
    /// What it must have besides.
    wish: RelayWish,
    /// Conductor that its terminals should take, mm².
    area_mm2: Option<f64>,
}

/// A relay that holds in a class, with its checks.
struct Holding<'a> {
    relay: &'a OverloadRelay,
    class: &'static str,
    checks: Vec<Check>,
}

/// Chooses the relay of a place.
pub(super) fn choose<'a>(decided: &Decided<'_, 'a>, place: RelayPlace, trial: &Trial<'_, 'a>) -> ChosenRelay<'a> {
    let ask = Ask::of(decided, place, trial);
    let Some(Holding { relay, class, mut checks }) = ask.holding() else { return ask.without_relay() };
    let range = [relay.range_min_a, relay.range_max_a];
    let setting = ask.dial_of(relay);
    checks.extend(limits(&ask.setting_of(relay), setting, decided.tools));
    let (kind, class) = (relay.kind.clone(), class.to_owned());
    let ultimate_trip = ultimate_trip(relay);
    ChosenRelay { kind, class, range, setting, ultimate_trip, relay: Some(relay), checks, ..ask.bare() }
}

impl<'s, 'a> Ask<'s, 'a> {
    fn of(decided: &'s Decided<'s, 'a>, place: RelayPlace, trial: &Trial<'s, 'a>) -> Self {
        let Decided { case, currents, devices, .. } = *decided;
        let factor = place.share.factor(&case.start);
        let base = if place.base == Base::Full { currents.overload } else { base_current(place.base, case, currents, devices) };
        let above = trial.contactors.iter().find(|contactor| contactor.role.name == place.role);
        let pin = trial.pins.relays.get(&(place.role.to_owned(), place.position.to_owned()));
        Self {
            decided,
            place,
            base,
            factor,
            seen: seen(place, base, factor),
            starting: Starting::at(place, case, currents, devices),
            contactor: above.and_then(|chosen| chosen.contactor),
            device_before: device_before(case, place, trial.protection),
            pinned: pin.map(String::as_str),
            protection: trial.protection.map(|protection| protection.device.part()),
            wish: trial.wish,
            area_mm2: trial.area_mm2,
        }
    }

    fn is_of_one_motor(&self) -> bool {
        self.place.position == OF_ONE_MOTOR
    }

    /// The question to the book about the setting of a relay.
    fn setting_of(&self, relay: &OverloadRelay) -> OverloadAsk<'s> {
        let (rated, share) = self.seen;
        OverloadAsk {
            machine: &self.decided.case.machine,
            rated,
            share,
            ultimate_trip: ultimate_trip(relay),
            service_limit: self.contactor.and_then(|contactor| contactor.service_limit_a).map(Amperes),
        }
    }

    /// Setting that a relay needs.
    fn need_of(&self, relay: &OverloadRelay) -> Amperes {
        let (rated, share) = self.seen;
        admitted(self.decided.case, rated, share, ultimate_trip(relay), self.decided.tools, &mut Record::silent())
    }

    /// The relay is made for such a place.
    fn suits(&self, relay: &OverloadRelay) -> bool {
        let by_hand = self.place.role.is_empty();
        let has_wished = match self.wish {
            RelayWish::Nothing => true,
            RelayWish::Strong(ka) => relay.short_circuit_rating_ka.is_some_and(|has| fits(ka, has)),
            RelayWish::Tested(wanted) => self.protection.zip(self.contactor).is_some_and(|(protection, contactor)| {
                coordination::tested(self.decided, [protection, &contactor.part, &relay.part])
                    .any(|known| coordination::reaches(known, wanted))
            }),
        };
        let wanted = self.pinned.is_none_or(|part| relay.part == part);
        // Behind a drive the current has harmonics: a bimetal relay is made for the frequency of a network.
        let behind_drive = self.decided.arrangement().device == Some(MethodDevice::Drive) && self.is_of_one_motor();
        let measures = !behind_drive || relay.kind == "electronic";
        (relay.fits_frames == MANUAL) == by_hand && has_wished && wanted && measures
    }

    /// The step of its dial to which a relay is set.
    fn dial_of(&self, relay: &OverloadRelay) -> Amperes {
        Amperes(dial_down(self.need_of(relay).0, relay.dial_step_a, [relay.range_min_a, relay.range_max_a]))
    }

    fn holds_setting(&self, relay: &OverloadRelay) -> bool {
        let need = self.need_of(relay);
        relay.range_min_a <= need.0 * (1.0 + 1e-9) && need.0 <= relay.range_max_a * (1.0 + 1e-9)
    }

    fn mounts(&self, relay: &OverloadRelay) -> bool {
        self.contactor.is_some_and(|contactor| relay.fits_frames.split_whitespace().any(|frame| frame == contactor.frame))
    }

    fn takes(&self, relay: &OverloadRelay) -> bool {
        self.area_mm2.is_none_or(|area| fits(relay.terminal_min_mm2, area) && fits(area, relay.terminal_max_mm2))
    }

    /// Relays whose range holds the setting; those that mount on the contactor come before those that stand apart, and of these the ones
    /// that take the conductor come first.
    fn candidates(&self) -> impl Iterator<Item = &'a OverloadRelay> {
        let all = &self.decided.tools.catalogue.overload_relays;
        let suiting = |mounts: bool, takes: bool| {
            let suits = move |relay: &&OverloadRelay| {
                self.mounts(relay) == mounts && (!mounts || self.takes(relay) == takes) && self.suits(relay)
            };
            all.iter().filter(suits).filter(|relay| self.holds_setting(relay))
        };
        suiting(true, true).chain(suiting(true, false)).chain(suiting(false, true))
    }

    /// The relay that is taken. Where none admits the device of the whole group, the smallest is kept, and the check that it fails stands
    /// for the decision.
    fn holding(&self) -> Option<Holding<'a>> {
        self.first_that_holds(self.device_before).or_else(|| {
            let device = self.device_before.filter(|_| self.is_of_one_motor())?;
            let mut smallest = self.first_that_holds(None)?;
            smallest.checks.push(largest_device(smallest.relay, device));
            Some(smallest)
        })
    }

    /// The first relay that holds behind a device of a rating. Classes 10A and 10 ask the same of the other devices; a slower class would
    /// ask more of contactors that are chosen by now.
    fn first_that_holds(&self, device: Option<Amperes>) -> Option<Holding<'a>> {
        let (book, wanted) = (self.decided.tools.book, self.decided.class);
        let equal = |class: &&str| (book.class_factor(class) - book.class_factor(wanted)).abs() < 1e-9;
        book.trip_classes().iter().copied().skip_while(|class| *class != wanted).filter(equal).find_map(|class| {
            let (relay, verdict) = first(self.candidates(), |relay| self.judge(relay, class, device)).chosen?;
            Some(Holding { relay, class, checks: verdict.checks })
        })
    }

    /// Judges a relay whose range holds the setting, behind a device of a rating.
    fn judge(&self, relay: &OverloadRelay, class: &str, device: Option<Amperes>) -> Verdict {
        let Decided { case, tools, .. } = *self.decided;
        let book = tools.book;
        let mut verdict = Verdict::default();
        let mut add = |check: Check| verdict.checks.push(check.about("overload relay"));
        let demand = self.starting.demand(class, self.dial_of(relay), book, None);
        // A relay without the class trips too early: it holds no start of that length.
        let allowed = if has_class(relay, class) { demand.allowed } else { Seconds(0.0) };
        add(at_most("trip-class-at-start", demand.need.0, allowed.0, "s", book.clause(Topic::TripClass)));
        add(at_most("rated-voltage", case.machine.voltage.0, relay.max_voltage_v, "V", "catalogue"));
        if book.wants_phase_loss(case.machine.phases) {
            let sees = if relay.phase_loss { 1.0 } else { 0.0 };
            add(at_least("phase-loss-sensitivity", sees, 1.0, "", book.clause(Topic::PhaseLoss)));
        }
        if let Some(per_hour) = case.start.per_hour {
            add(at_most("relay-frequency", per_hour, relay.starts_per_hour, "1/h", "catalogue"));
        }
        verdict.checks.extend(device.map(|device| largest_device(relay, device)));
        if self.place.role.is_empty() {
            verdict.checks.extend(by_hand::horsepower(relay, self.base, case, tools));
        }
        verdict
    }

    /// The place with nothing in it.
    fn bare(&self) -> ChosenRelay<'a> {
        ChosenRelay {
            place: self.place,
            factor: self.factor,
            kind: "relay".to_owned(),
            class: self.decided.class.to_owned(),
            range: [0.0, 0.0],
            setting: self.base * self.factor,
            ultimate_trip: None,
            relay: None,
            separate: true,
            checks: Vec::new(),
            refused: None,
        }
    }

    /// The place where the catalogue holds no relay for it, with the one that comes nearest.
    fn without_relay(&self) -> ChosenRelay<'a> {
        let judged = self.candidates().map(|relay| (&*relay.part, self.judge(relay, self.decided.class, self.device_before)));
        let refused = nearest_refused(judged);
        // What no relay of the range meets stays a failed check of the circuit.
        let checks = refused.iter().map(|(_, check)| check.clone()).filter(is_cured_by_another_start).collect();
        ChosenRelay { refused, checks, ..self.bare() }
    }
}

fn has_class(relay: &OverloadRelay, class: &str) -> bool {
    relay.classes.split_whitespace().any(|word| word == class)
}

/// A relay for the place lets the motor start in a class, at the setting that this relay gets; where none that could stand there has the
/// class, one that is set to the current itself.
pub(super) fn lets_start(decided: &Decided<'_, '_>, place: RelayPlace, class: &str, pins: &Pins) -> bool {
    let trial = Trial { contactors: &[], protection: None, wish: RelayWish::Nothing, area_mm2: None, pins };
    let ask = Ask::of(decided, place, &trial);
    let book = decided.tools.book;
    let relays = decided.tools.catalogue.overload_relays.iter();
    let mut of_class = relays
        .filter(|relay| ask.suits(relay) && ask.holds_setting(relay) && has_class(relay, class))
        .map(|relay| ask.starting.passes(class, ask.dial_of(relay), book))
        .peekable();
    if of_class.peek().is_none() {
        return ask.starting.passes(class, ask.base * ask.factor, book);
    }
    of_class.any(|passes| passes)
}

/// Rating of the device before a relay that it must admit, which is a fuse's. The relay of one motor stands behind a device for the whole
/// group and must admit a circuit-breaker of that rating too; what a drive lets through does not come from that device.
fn device_before(case: &Case, place: RelayPlace, protection: Option<&ChosenProtection<'_>>) -> Option<Amperes> {
    let counts = if place.position == OF_ONE_MOTOR {
        !case.start.by_drive_alone()
    } else {
        protection.is_some_and(|protection| matches!(protection.device, Device::Fuse(_)))
    };
    protection.filter(|_| counts).map(|protection| protection.rating)
}

/// The refused relay that fails least, with its worst check.
pub(in crate::sizing::assembly) fn nearest_refused<'p>(
    judged: impl Iterator<Item = (&'p str, Verdict)>,
) -> Option<(String, Check)> {
    let margin = |check: &Check| check.margin_pct.unwrap_or(f64::NEG_INFINITY);
    let failed = judged.filter_map(|(part, verdict)| {
        let failed: Vec<Check> = verdict.checks.into_iter().filter(|check| check.passed == Some(false)).collect();
        let worst = failed.iter().min_by(|a, b| margin(a).total_cmp(&margin(b)))?.clone();
        Some((failed.len(), part, worst))
    });
    let least = failed.min_by(|a, b| a.0.cmp(&b.0).then(margin(&b.2).total_cmp(&margin(&a.2))))?;
    Some((least.1.to_owned(), least.2))
}

/// The device before the relay against the largest that the relay admits.
fn largest_device(relay: &OverloadRelay, device: Amperes) -> Check {
    at_most("protection-maximum", device.0, relay.max_fuse_type_1_a, "A", "overload relay: largest fuse").about("overload relay")
}
