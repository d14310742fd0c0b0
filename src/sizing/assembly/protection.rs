//! The short-circuit protective device: what it must do, which devices can, and the judgement of each.
//!
//! A motor-protective circuit-breaker protects the motor too where all of its current flows through it; elsewhere it is the line's
//! device and relays protect the motor. Where the wanted kind holds no device, the next kind is tried and a finding says so.

use crate::catalogue::{BranchBreaker, Fuse, LineBreaker, MotorBreaker, MouldedCaseBreaker};
use crate::design::{self, Check};
use crate::load::{Case, LoadKind, Method, Origin, ProtectionKind};
use crate::quantity::{Amperes, Seconds, Volts, round_to};
use crate::record::Record;
use crate::rules::{ProtectionAsk, ProtectionBounds, Topic};
use crate::sizing::Tools;
use crate::sizing::arrangement::{Base, Share};
use crate::sizing::assembly::{Decided, relays};
use crate::sizing::judge::{Verdict, at_least, at_most, not_checked};

mod branch;
mod breakers;
mod fuses;
mod say;
pub use say::say;

/// The demand on the protective device.
#[derive(Clone, Debug)]
pub struct Demand<'c> {
    /// The question to the book.
    pub ask: ProtectionAsk<'c>,
    /// It can protect the motor: all of the motor's current flows through it.
    pub integrated: bool,
    /// Symmetrical current that a magnetic release must ride through.
    pub ride_through: Amperes,
    /// The current that the load draws at first is known.
    pub start_known: bool,
    /// Current whose first peak a release should ride through; none for loads without inrush.
    pub inrush: Option<Amperes>,
    /// Class that the motor needs.
    pub class: &'static str,
    /// Largest fault current at the board.
    pub fault_max: Option<Amperes>,
    /// At which it flows: what a device breaks is declared for a voltage.
    pub voltage: Volts,
    /// Voltage between lines of the board.
    pub line: Volts,
    /// System of the board, as the basis describes it.
    pub system: Option<String>,
    /// Earthing of that system, as it is stated.
    pub earthing: Option<String>,
    /// Marked or declared largest rating.
    pub maximum: Option<(Amperes, &'static str)>,
}

impl Demand<'_> {
    /// Largest rating that marking and book allow in place of a chosen one. The book's increase counts only where it was needed:
    /// a motor that starts on less must not be given it.
    fn largest(&self, bounds: &ProtectionBounds, chosen: Amperes) -> Option<Amperes> {
        let marked = self.maximum.map(|(maximum, _)| maximum);
        let first = bounds.most.as_ref().filter(|(most, _)| chosen.fits(*most) || bounds.fallback.is_none());
        let of_book = first.or(bounds.fallback.as_ref()).map(|(most, _)| *most);
        [marked, of_book].into_iter().flatten().reduce(Amperes::min)
    }

    /// Checks that a magnetic release with this lower limit rides through what the load draws at first; none where nobody knows that.
    pub(in crate::sizing) fn rides(&self, lower: f64, tools: &Tools<'_>) -> Option<Check> {
        let clause = tools.book.clause(Topic::MagneticTrip);
        self.start_known.then(|| at_least("magnetic-trip-at-start", lower, self.ride_through.0, "A", clause))
    }

    /// First peak of the start over √2; none for loads without inrush.
    fn peak(&self, tools: &Tools<'_>) -> Option<Amperes> {
        self.inrush.map(|start| start * tools.book.inrush_peak_factor() * (1.0 / 2f64.sqrt()))
    }
}

/// A device.
#[derive(Clone, Copy, Debug)]
pub enum Device<'a> {
    /// Motor-protective circuit-breaker.
    Motor(&'a MotorBreaker),
    /// Moulded-case circuit-breaker.
    Moulded(&'a MouldedCaseBreaker),
    /// Circuit-breaker of fixed rating.
    Line(&'a LineBreaker),
    /// Fuse.
    Fuse(&'a Fuse),
    /// Circuit-breaker of a branch circuit.
    Branch(&'a BranchBreaker),
}

impl<'a> Device<'a> {
    /// Part number.
    #[must_use]
    pub fn part(&self) -> &'a str {
        match self {
            Self::Motor(breaker) => &breaker.part,
            Self::Moulded(breaker) => &breaker.part,
            Self::Line(breaker) => &breaker.part,
            Self::Fuse(fuse) => &fuse.part,
            Self::Branch(breaker) => &breaker.part,
        }
    }

    /// Kind, in its canonical word.
    #[must_use]
    pub fn kind(&self) -> &'a str {
        match self {
            Self::Motor(_) => "motor-breaker",
            Self::Moulded(_) => "moulded-case",
            Self::Line(_) => "circuit-breaker",
            Self::Fuse(fuse) => &fuse.kind,
            Self::Branch(breaker) => &breaker.kind,
        }
    }

    /// Breaking capacity at a voltage, kA.
    #[must_use]
    pub fn breaking_ka(&self, volts: f64) -> Option<f64> {
        match self {
            Self::Motor(breaker) => breaker.breaking_ka(volts),
            Self::Moulded(breaker) => breaker.breaking_ka(volts),
            Self::Line(breaker) => breaker.breaking_ka(volts),
            Self::Fuse(fuse) => (volts <= fuse.max_voltage_v).then_some(fuse.breaking_ka),
            Self::Branch(breaker) => breaker.interrupting_ka(volts),
        }
    }

    /// Rated voltage of fuse-links; what breakers break goes by their voltage.
    #[must_use]
    pub fn rated_voltage(&self) -> Option<Volts> {
        if let Self::Fuse(fuse) = self { Some(Volts(fuse.max_voltage_v)) } else { None }
    }

    /// Let-through energy at its breaking capacity, A²s.
    #[must_use]
    pub fn let_through(&self) -> f64 {
        match self {
            Self::Motor(breaker) => breaker.let_through_a2s,
            Self::Moulded(breaker) => breaker.let_through_a2s,
            Self::Line(breaker) => breaker.let_through_a2s,
            Self::Fuse(fuse) => fuse.let_through_a2s,
            // The energy that a breaker of this family lets through is not declared, and no rule here asks for it.
            Self::Branch(_) => f64::INFINITY,
        }
    }
}

/// A magnetic trip: a multiple of its base, with a tolerance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Trip {
    /// Multiple.
    pub multiple: f64,
    /// Base, A.
    pub base: f64,
    /// Tolerance, per cent.
    pub tolerance_pct: f64,
}

/// A chosen device with its settings.
#[derive(Clone, Debug)]
pub struct ChosenProtection<'a> {
    /// The device.
    pub device: Device<'a>,
    /// Rated current.
    pub rating: Amperes,
    /// Setting of its overload release, where it has one.
    pub setting: Option<Amperes>,
    /// Range of that.
    pub range: Option<[f64; 2]>,
    /// It protects the motor against overload.
    pub protects_motor: bool,
    /// Class of its release.
    pub class: String,
    /// Magnetic trip: nominal, lower and upper limit.
    pub magnetic: Option<[f64; 3]>,
    /// Range of its dial, both ends alike where it is fixed.
    pub magnetic_range: Option<[f64; 2]>,
    /// The figures from which its nominal value follows.
    pub trip: Option<Trip>,
    /// The rating is above what is admitted in the first place: the clause.
    pub beyond: Option<String>,
    /// What the device must carry, and the largest rating that is admitted in the first place, where that is less.
    pub carries_more: Option<[Amperes; 2]>,
    /// Largest rating allowed.
    pub maximum: Option<Amperes>,
    /// Breaking capacity, kA.
    pub breaking_ka: Option<f64>,
    /// It rides through the first half-cycle.
    pub rides_peak: bool,
    /// Checks.
    pub checks: Vec<Check>,
}

impl<'a> ChosenProtection<'a> {
    /// A device with what every kind has; releases, trips and verdicts of a kind are put in by its own function.
    fn new(device: Device<'a>, rating: Amperes, bounds: &ProtectionBounds, demand: &Demand<'_>) -> Self {
        Self {
            device,
            rating,
            setting: None,
            range: None,
            protects_motor: false,
            class: String::new(),
            magnetic: None,
            magnetic_range: None,
            trip: None,
            beyond: None,
            carries_more: bounds
                .most
                .as_ref()
                .filter(|(most, _)| !bounds.least.fits(*most))
                .map(|(most, _)| [bounds.least, *most]),
            maximum: demand.largest(bounds, rating),
            breaking_ka: device.breaking_ka(demand.voltage.0),
            rides_peak: true,
            checks: Vec::new(),
        }
    }

    /// It is of a kind that was tried.
    pub(in crate::sizing) fn is_of(&self, kind: ProtectionKind) -> bool {
        match self.device {
            Device::Motor(_) => kind == ProtectionKind::MotorBreaker,
            Device::Moulded(_) | Device::Line(_) => kind == ProtectionKind::MouldedCase,
            Device::Fuse(fuse) => kind.word() == fuse.kind,
            Device::Branch(breaker) => kind.word() == breaker.kind,
        }
    }

    /// As a result.
    #[must_use]
    pub fn describe(&self, coordination: &str) -> design::Protection {
        design::Protection {
            kind: self.device.kind().to_owned(),
            rating_a: self.rating.0,
            setting_a: self.setting.map(|setting| setting.0),
            setting_range_a: self.range.filter(|_| self.setting.is_some()),
            maximum_a: self.maximum.map(|maximum| maximum.0),
            magnetic_trip_a: self.magnetic.map(|magnetic| round_to(magnetic[0], 3)),
            magnetic_range_a: self.magnetic_range.map(|range| range.map(|end| round_to(end, 3))),
            magnetic_min_a: self.magnetic.map(|magnetic| round_to(magnetic[1], 3)),
            magnetic_max_a: self.magnetic.map(|magnetic| round_to(magnetic[2], 3)),
            breaking_ka: self.breaking_ka,
            coordination: coordination.to_owned(),
            part: self.device.part().to_owned(),
        }
    }
}

/// States the demand on the protective device of a case.
#[must_use]
pub fn demand<'c>(decided: &Decided<'c, '_>) -> Demand<'c> {
    let Decided { case, currents, point, tools, devices, line, class } = *decided;
    let (book, arrangement) = (tools.book, decided.arrangement());
    let start = &case.start;
    // A drive keeps its input near its rated current; over a bypass the motor starts on the line behind the same device.
    let starts = start.starts_on_line(case.machine.kind);
    // The current of several motors says nothing of one: no release in the common device protects any of them.
    let integrated = case.motors == 1
        && arrangement.relays.len() == 1
        && arrangement
            .relays
            .iter()
            .all(|place| place.position == "line" && place.base == Base::Full && place.share == Share::All)
        && matches!(start.method, Method::Direct | Method::Manual);
    let (multiple, time) = arrangement.through_the_line(start);
    let rated = currents.of_larger_speed();
    let inrush = book.switching_inrush(&case.machine, line, &mut Record::silent());
    let ride_through = match inrush {
        _ if starts => rated * arrangement.magnetic_multiple(start),
        Some(inrush) => inrush,
        None => currents.full_load,
    };
    // A drive and a heater draw no more at first than they do later.
    let start_known = starts || inrush.is_some() || start.method == Method::Drive || case.machine.kind == LoadKind::Heater;
    let packaged = case.machine.maximum_protection.map(|maximum| (maximum, "marking of the equipment"));
    let of_drive = devices
        .iter()
        .find_map(|device| device.drive)
        .map(|drive| (Amperes(drive.max_fuse_a), "drive: largest protective device"));
    // A device marked on the equipment does not protect the drive before it, nor the other way round: the smaller of both counts.
    let largest = [packaged, of_drive].into_iter().flatten().min_by(|one, other| one.0.0.total_cmp(&other.0.0));
    Demand {
        ask: ProtectionAsk {
            machine: &case.machine,
            start,
            currents,
            line,
            starts,
            starting: if starts { rated * multiple } else { line },
            time: Seconds(time),
        },
        integrated,
        ride_through,
        start_known,
        inrush: (starts && (arrangement.device.is_none() || start.over_bypass())).then(|| rated * start.ratio.value),
        class,
        fault_max: point.fault_max,
        voltage: point.circuit_voltage(&case.machine),
        line: point.voltage,
        system: point.system.clone(),
        earthing: point.earthing.clone(),
        maximum: largest,
    }
}

/// Devices whose rating the book admits, in the order of preference; each with the clause where it is beyond the first place.
fn in_order<'a, T>(
    bounds: &ProtectionBounds,
    devices: impl Iterator<Item = &'a T>,
    rating: impl Fn(&T) -> Amperes,
) -> Vec<(&'a T, Option<String>)> {
    let beyond = |current: Amperes| match (&bounds.most, &bounds.fallback) {
        (None, _) => Some(None),
        (Some((most, _)), _) if current.fits(*most) => Some(None),
        (_, Some((fallback, clause))) if current.fits(*fallback) => Some(Some(clause.clone())),
        _ => None,
    };
    let mut admitted: Vec<(&T, Option<String>)> = devices
        .filter(|device| bounds.least.fits(rating(device)))
        .filter_map(|device| beyond(rating(device)).map(|beyond| (device, beyond)))
        .collect();
    // The sort is stable: among equal ratings the catalogue's order stays.
    admitted.sort_by(|(a, a_beyond), (b, b_beyond)| {
        let (a_rating, b_rating) = (rating(a).0, rating(b).0);
        let falling = bounds.largest_first && a_beyond.is_none() && b_beyond.is_none();
        let by_rating = if falling { b_rating.total_cmp(&a_rating) } else { a_rating.total_cmp(&b_rating) };
        a_beyond.is_some().cmp(&b_beyond.is_some()).then(by_rating)
    });
    admitted
}

/// Kinds that are tried, in the order of preference. A motor-protective circuit-breaker is made to protect one motor: set to the sum of
/// several it protects none, and looks as if it did.
fn kinds(case: &Case, tools: &Tools<'_>) -> Vec<ProtectionKind> {
    let mut kinds = tools.book.protection_kinds(case.wishes.protection, &case.machine, &case.start);
    if case.motors > 1 {
        kinds.retain(|kind| *kind != ProtectionKind::MotorBreaker);
    }
    kinds
}

/// Devices that hold, in the order of preference.
///
/// Those that ride through the first half-cycle as well come before those that may trip on it.
#[must_use]
pub fn candidates<'a>(case: &Case, demand: &Demand<'_>, tools: &Tools<'a>) -> Vec<ChosenProtection<'a>> {
    // The relay of one of several motors may admit a fuse where it does not admit the smallest breaker for all: each kind then has its
    // smallest device in the list. A kind that somebody asks for is kept.
    let wish = case.wishes.protection;
    let free = case.motors > 1 && (wish.origin == Origin::Default || wish.value == ProtectionKind::MotorBreaker);
    let mut of_each_kind: Vec<ChosenProtection<'a>> = Vec::new();
    for kind in kinds(case, tools) {
        let Some(bounds) = tools.book.protection_bounds(kind, &demand.ask, &mut Record::silent()) else { continue };
        let mut holding: Vec<ChosenProtection<'a>> = of_kind(kind, &bounds, case, demand, tools)
            .into_iter()
            .filter(|protection| protection.checks.iter().all(|check| check.passed != Some(false)))
            .collect();
        if !holding.is_empty() {
            // A device beyond the first place is admitted only where nothing in it holds the start; by an engineering evaluation also where
            // nothing in it rides through the first half-cycle.
            let evaluated = case.wishes.evaluated && bounds.magnetic.is_some();
            let suffices =
                |protection: &ChosenProtection<'_>| protection.beyond.is_none() && (!evaluated || protection.rides_peak);
            if holding.iter().any(suffices) {
                holding.retain(|protection| protection.beyond.is_none());
            }
            holding.sort_by_key(|protection| match evaluated {
                true => (!protection.rides_peak, protection.beyond.is_some()),
                false => (protection.beyond.is_some(), !protection.rides_peak),
            });
            if !free {
                return holding;
            }
            let least = holding[0].rating;
            of_each_kind.extend(holding.into_iter().filter(|protection| protection.rating == least));
        }
    }
    of_each_kind
}

fn of_kind<'a>(
    kind: ProtectionKind,
    bounds: &ProtectionBounds,
    case: &Case,
    demand: &Demand<'_>,
    tools: &Tools<'a>,
) -> Vec<ChosenProtection<'a>> {
    let catalogue = tools.catalogue;
    match kind {
        ProtectionKind::MotorBreaker => {
            let tried = |breaker| breakers::motor_breaker(breaker, bounds, demand, tools);
            catalogue.motor_breakers.iter().filter_map(tried).collect()
        }
        ProtectionKind::MouldedCase => {
            let small = |breaker| breakers::line_breaker(breaker, bounds, case, demand, tools);
            let moulded = |breaker| breakers::moulded_case(breaker, bounds, demand, tools);
            let small = catalogue.line_breakers.iter().filter_map(small);
            small.chain(catalogue.moulded_case_breakers.iter().filter_map(moulded)).collect()
        }
        ProtectionKind::InverseTime | ProtectionKind::Instantaneous => branch::branch(kind, bounds, demand, tools),
        _ => fuses::fuses(kind, bounds, demand, tools),
    }
}

/// The device of a kind that comes nearest to holding, with the check that it fails; none where nothing of its rating is made.
fn nearest_refused(kind: ProtectionKind, case: &Case, demand: &Demand<'_>, tools: &Tools<'_>) -> Option<(String, Check)> {
    let bounds = tools.book.protection_bounds(kind, &demand.ask, &mut Record::silent())?;
    let margin = |check: &Check| check.margin_pct.unwrap_or(f64::NEG_INFINITY);
    of_kind(kind, &bounds, case, demand, tools)
        .into_iter()
        .filter_map(|protection| {
            let worst = protection
                .checks
                .iter()
                .filter(|check| check.passed == Some(false))
                .min_by(|a, b| margin(a).total_cmp(&margin(b)));
            worst.map(|check| (protection.device.part().to_owned(), check.clone()))
        })
        .max_by(|a, b| margin(&a.1).total_cmp(&margin(&b.1)))
}

/// Over all kinds that are tried, the device that fails least, with the check that it fails.
pub(super) fn nearest(case: &Case, demand: &Demand<'_>, tools: &Tools<'_>) -> Option<(String, Check)> {
    let bounds = |kind: ProtectionKind| Some((kind, tools.book.protection_bounds(kind, &demand.ask, &mut Record::silent())?));
    let tried: Vec<ChosenProtection<'_>> = kinds(case, tools)
        .into_iter()
        .filter_map(bounds)
        .flat_map(|(kind, bounds)| of_kind(kind, &bounds, case, demand, tools))
        .collect();
    let verdict = |protection: &ChosenProtection<'_>| Verdict { checks: protection.checks.clone() };
    relays::nearest_refused(tried.iter().map(|protection| (protection.device.part(), verdict(protection))))
}

/// Keeps the working of a choice: what the book admits, the magnetic trip, the first peak.
pub fn keep_working(case: &Case, demand: &Demand<'_>, chosen: &ChosenProtection<'_>, tools: &Tools<'_>, record: &mut Record) {
    if let Some(kind) = kinds(case, tools).into_iter().find(|kind| chosen.is_of(*kind)) {
        let _ = tools.book.protection_bounds(kind, &demand.ask, record);
        let _ = tools.book.fuse_at_start(kind, chosen.rating, &demand.ask, record);
    }
    if let Some(trip) = chosen.trip {
        let _ = tools.book.switching_inrush(&case.machine, demand.ask.line, record);
        let band = tools.book.magnetic_band(trip.multiple, Amperes(trip.base), trip.tolerance_pct, record);
        if let Some(start) = demand.inrush {
            let _ = tools.book.inrush_peak(start, Amperes(band[1]), record);
        }
    }
}

/// The rating against the book's own limit with its clause; a marking that allows no more says it already.
fn of_book(demand: &Demand<'_>, bounds: &ProtectionBounds, rating: Amperes) -> Option<Check> {
    let within = |maximum: &&(Amperes, String)| rating.fits(maximum.0);
    let (most, clause) = bounds.most.as_ref().filter(within).or(bounds.fallback.as_ref()).or(bounds.most.as_ref())?;
    let marked = demand.maximum.is_some_and(|(marked, _)| marked.fits(*most));
    (!marked).then(|| at_most("protection-maximum", rating.0, most.0, "A", clause))
}

fn common(demand: &Demand<'_>, device: Device<'_>, rating: Amperes, tools: &Tools<'_>, verdict: &mut Verdict) {
    // No capacity declared at a voltage is none: the device is not made for it, whatever current flows.
    let breaking = device.breaking_ka(demand.voltage.0).filter(|breaking_ka| *breaking_ka > 0.0);
    let reference = tools.book.clause(Topic::BreakingCapacity);
    verdict.checks.push(match (demand.fault_max, breaking) {
        (Some(fault), capacity) => at_least("breaking-capacity", capacity.unwrap_or(0.0), fault.0 / 1000.0, "kA", reference),
        (None, None) => at_most("rated-voltage", demand.voltage.0, 0.0, "V", reference),
        (None, Some(_)) => not_checked("breaking-capacity", "kA", "the largest fault current of the board is unknown", reference),
    });
    if let Some((maximum, reason)) = demand.maximum {
        verdict.checks.push(at_most("protection-maximum", rating.0, maximum.0, "A", reason));
    }
}

/// Rounds a setting down to the dial's step (less current, earlier trip), never below the range.
pub(super) fn dial_down(value: f64, step: f64, range: [f64; 2]) -> f64 {
    let stepped = if step > 0.0 { ((value / step + 1e-9).floor() * step).min(range[1]) } else { value };
    round_to(stepped.max(range[0]), 4)
}

/// Rounds a setting up to the dial's step, never above the range.
fn dial_up(value: f64, step: f64, range: [f64; 2]) -> f64 {
    let stepped = if step > 0.0 { (value / step - 1e-9).ceil() * step } else { value };
    round_to(stepped.clamp(range[0], range[1]), 4)
}

/// The setting of a magnetic trip whose lower limit rides through the symmetrical current of the start and, where it is known, its first
/// peak.
fn wanted_trip(demand: &Demand<'_>, tolerance_pct: f64, tools: &Tools<'_>) -> f64 {
    demand.ride_through.0.max(demand.peak(tools).map_or(0.0, |peak| peak.0)) / (1.0 - tolerance_pct / 100.0)
}

fn magnetic_checks(demand: &Demand<'_>, limits: [f64; 3], tools: &Tools<'_>, verdict: &mut Verdict) -> bool {
    verdict.checks.extend(demand.rides(limits[1], tools));
    demand.peak(tools).is_none_or(|peak| peak.fits(Amperes(limits[1])))
}

#[cfg(test)]
mod tests;
