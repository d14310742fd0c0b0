//! The protective device of a feeder: the first of the catalogue that carries the load, rides through the largest start and breaks the
//! fault current where it stands; else the next preferred rating, which the catalogue lacks.

use crate::catalogue::{BranchBreaker, Catalogue, Fuse, MouldedCaseBreaker};
use crate::design::{Check, Part};
use crate::finding::{Finding, codes};
use crate::load::ProtectionKind;
use crate::network::feeders::transformer::secondary_limit;
use crate::network::feeders::{Ask, Feeder, voltage};
use crate::network::incoming;
use crate::quantity::{Amperes, Seconds, Volts, round_to};
use crate::record::Record;
use crate::rules::feeders::FeederBounds;
use crate::rules::words;
use crate::rules::{DeviceAsk, DevicePlace, DeviceSort, Topic};
use crate::sizing::Tools;
use crate::sizing::judge::{self, Verdict, at_least, at_most, not_checked, of_limit};

/// A chosen device.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FeederDevice {
    /// Kind, in its canonical word.
    pub kind: &'static str,
    /// Rated current.
    pub rating: Amperes,
    /// Instantaneous trip as set: nominal, lower and upper limit.
    pub magnetic: Option<[f64; 3]>,
    /// The lowest setting that rides through the start; the trip may stand between the two.
    pub magnetic_lowest: Option<[f64; 3]>,
    /// Range of the dial of that trip, both ends alike where it is fixed.
    pub magnetic_range: Option<[f64; 2]>,
    /// Range of the dial of its overload release, which stands at the rating; none where it has no such dial.
    pub setting_range: Option<[f64; 2]>,
    /// Breaking capacity at the voltage, kA.
    pub breaking_ka: Option<f64>,
    /// Largest let-through energy, A²s; none where it is not declared.
    pub let_through: Option<f64>,
    /// Part number; empty where the catalogue has none.
    pub part: String,
}

/// A device that may be chosen.
#[derive(Clone, Copy)]
pub(in crate::network) enum Candidate<'a> {
    Moulded(&'a MouldedCaseBreaker),
    Fuse(&'a Fuse),
    Branch(&'a BranchBreaker),
}

impl<'a> Candidate<'a> {
    pub(in crate::network) fn rating(self) -> f64 {
        match self {
            Self::Moulded(breaker) => breaker.rating_a,
            Self::Fuse(fuse) => fuse.rating_a,
            Self::Branch(breaker) => breaker.rating_a,
        }
    }

    fn breaking_ka(self, volts: f64) -> Option<f64> {
        match self {
            Self::Moulded(breaker) => breaker.breaking_ka(volts).filter(|breaking_ka| *breaking_ka > 0.0),
            Self::Fuse(fuse) => (volts <= fuse.max_voltage_v * (1.0 + 1e-9)).then_some(fuse.breaking_ka),
            Self::Branch(breaker) => breaker.interrupting_ka(volts).filter(|_| breaker.admits_voltage(volts)),
        }
    }

    /// A slash rating or the like that the system does not admit.
    fn suits(self, tools: &Tools<'_>, system: Option<&str>, ask: &Ask<'_>) -> bool {
        let Self::Branch(breaker) = self else { return true };
        // A slash rating needs a system that is known to suit it; a straight rating always does.
        tools.book.voltage_suits(&breaker.voltage_rating, system, voltage(ask.node, tools)).0 == Some(true)
    }

    /// Lowest and highest setting of the instantaneous trip in amperes, and its tolerance.
    fn trip(self) -> Option<(f64, f64, f64)> {
        match self {
            Self::Moulded(breaker) => Some((
                breaker.magnetic_min_multiple * breaker.rating_a,
                breaker.magnetic_max_multiple * breaker.rating_a,
                breaker.magnetic_tolerance_pct,
            )),
            Self::Branch(breaker) => {
                Some((breaker.instantaneous_min_a, breaker.instantaneous_max_a, breaker.instantaneous_tolerance_pct))
            }
            Self::Fuse(_) => None,
        }
    }

    /// Range of the dial of its overload release.
    fn setting_range(self) -> Option<[f64; 2]> {
        let Self::Moulded(breaker) = self else { return None };
        breaker.range_min_a.zip(breaker.range_max_a).map(|(low, high)| [low, high])
    }

    /// Whether it can be locked open; none where its family says nothing of that.
    pub(in crate::network) fn lockable(self) -> Option<bool> {
        if let Self::Branch(breaker) = self { Some(breaker.lockable) } else { None }
    }

    /// Clamping range of its terminals in mm², and conductors that each takes where its family says so.
    pub(in crate::network) fn terminals(self) -> Option<([f64; 2], Option<u32>)> {
        match self {
            Self::Moulded(breaker) => {
                Some(([breaker.terminal_min_mm2, breaker.terminal_max_mm2], Some(breaker.terminal_conductors)))
            }
            Self::Branch(breaker) => {
                Some(([breaker.terminal_min_mm2, breaker.terminal_max_mm2], Some(breaker.terminal_conductors)))
            }
            Self::Fuse(_) => None,
        }
    }

    fn let_through(self) -> Option<f64> {
        match self {
            Self::Moulded(breaker) => Some(breaker.let_through_a2s),
            Self::Fuse(fuse) => Some(fuse.let_through_a2s),
            Self::Branch(_) => None,
        }
    }

    pub(in crate::network) fn parts(self, phases: u32) -> Vec<Part> {
        match self {
            Self::Moulded(breaker) => vec![Part::pieces(&breaker.part, &breaker.description, 1.0)],
            Self::Branch(breaker) => vec![Part::pieces(&breaker.part, &breaker.description, 1.0)],
            Self::Fuse(fuse) => {
                let links = f64::from(if phases == 3 { 3_u32 } else { 2 });
                let base = Part::pieces(&fuse.base_part, &fuse.base_description, 1.0);
                vec![base, Part::pieces(&fuse.part, &fuse.description, links)]
            }
        }
    }

    fn part(self) -> &'a str {
        match self {
            Self::Moulded(breaker) => &breaker.part,
            Self::Fuse(fuse) => &fuse.part,
            Self::Branch(breaker) => &breaker.part,
        }
    }
}

pub(in crate::network) fn candidates(catalogue: &Catalogue, kind: ProtectionKind, phases: u32) -> Vec<Candidate<'_>> {
    match kind {
        ProtectionKind::MouldedCase => catalogue.moulded_case_breakers_of("distribution").map(Candidate::Moulded).collect(),
        ProtectionKind::InverseTime => {
            let poles = if phases == 3 { 3 } else { 2 };
            let branch_breakers = catalogue.branch_breakers_of("inverse-time", poles);
            branch_breakers.filter(|breaker| !breaker.within_combination).map(Candidate::Branch).collect()
        }
        fuse => catalogue.fuses_of(fuse.word()).map(Candidate::Fuse).collect(),
    }
}

/// Chooses the device and writes it into the feeder.
pub(super) fn choose(
    ask: &Ask<'_>,
    wanted: Amperes,
    bounds: &FeederBounds,
    tools: &Tools<'_>,
    feeder: &mut Feeder,
    record: &mut Record,
) {
    let mut all = candidates(tools.catalogue, ask.kind, ask.node.phases);
    if bounds.largest_first {
        // Stable: devices of one rating keep the catalogue's order.
        all.sort_by(|a, b| b.rating().total_cmp(&a.rating()));
    }
    // Bars that do not carry the load reject no device: the check of the bars says so.
    let bars = ask.board.and_then(|board| board.bus_rating_a).map(Amperes).filter(|_| bounds.largest_first);
    let within = |most: Option<Amperes>| {
        let trial = FeederBounds { most, ..*bounds };
        judge::choose(all.iter().copied(), |candidate| Verdict { checks: judged(*candidate, ask, wanted, &trial, true, tools) })
            .chosen
    };
    // The limit of the transformer before the feeder goes before that of the bars, as nothing else may protect its secondary.
    let transformer = ask.node.transformer.and_then(|transformer| tools.basis.transformers.get(transformer));
    let secondary = transformer.and_then(|transformer| secondary_limit(transformer, ask, tools));
    let both = secondary.zip(bars).map(|(one, other)| one.min(other));
    let capped = |cap: Amperes| within(Some(bounds.most.map_or(cap, |most| most.min(cap))));
    let chosen = [both, secondary, bars].into_iter().flatten().find_map(capped);
    match chosen.or_else(|| within(bounds.most)) {
        Some((candidate, _)) => {
            feeder.checks.extend(judged(candidate, ask, wanted, bounds, false, tools));
            if ask.wanted {
                feeder.parts.extend(candidate.parts(ask.node.phases));
            }
            feeder.protection = Amperes(candidate.rating());
            feeder.device = Some(described(candidate, ask, tools));
        }
        None => without_catalogue(ask, wanted, bounds, tools, feeder, record),
    }
    let about = DeviceAsk {
        place: DevicePlace::Feeder,
        sort: if ask.kind.is_fuse() { DeviceSort::Fuses } else { DeviceSort::Breaker },
        rating: feeder.protection,
        line: voltage(ask.node, tools),
        three_phase: ask.node.phases == 3,
        system: ask.node.system.as_deref(),
        // A device that others bring is theirs to choose.
        earthing: ask.node.earthing.as_deref().filter(|_| ask.wanted),
        rated_voltage: rated_voltage(feeder, tools),
    };
    // Where others bring the feeder, the device at the head of the board is the first of which anything is known, and says it.
    let at_head = !ask.wanted
        && ask.board.is_some_and(|board| board.incoming.as_deref().is_some_and(|incoming| incoming != incoming::NONE));
    if !at_head {
        tools.book.about_device(&about).into_iter().for_each(|finding| record.find(finding));
    }
}

/// Rated voltage of the chosen fuse-links.
fn rated_voltage(feeder: &Feeder, tools: &Tools<'_>) -> Option<Volts> {
    let part = &feeder.device.as_ref()?.part;
    tools.catalogue.fuses.iter().find(|fuse| fuse.part == *part).map(|fuse| Volts(fuse.max_voltage_v))
}

/// Rating that a device must have at least: the current that flows, on a feeder by rules for motors, else what conductors carry.
fn least(ask: &Ask<'_>, wanted: Amperes, bounds: &FeederBounds) -> Amperes {
    if bounds.motor_feeder { ask.demand.demand } else { wanted.max(bounds.least) }
}

/// Checks of a device. While candidates are tried, a voltage that one is not made for rejects it.
pub(in crate::network) fn judged(
    candidate: Candidate<'_>,
    ask: &Ask<'_>,
    wanted: Amperes,
    bounds: &FeederBounds,
    trying: bool,
    tools: &Tools<'_>,
) -> Vec<Check> {
    let volts = voltage(ask.node, tools);
    let mut checks = vec![at_most(
        "protection-carries",
        least(ask, wanted, bounds).0,
        candidate.rating(),
        "A",
        tools.book.clause(Topic::FeederCarries),
    )];
    match (bounds.most, bounds.unknown_because) {
        (Some(most), _) => checks.push(at_most("protection-maximum", candidate.rating(), most.0, "A", bounds.reference)),
        (None, "") => {}
        (None, because) => checks.push(not_checked("protection-maximum", "A", because, bounds.reference)),
    }
    let breaking = candidate.breaking_ka(volts.0);
    let clause = tools.book.clause(Topic::BreakingCapacity);
    checks.push(match (ask.origin.level.largest, breaking) {
        (_, None) if trying => at_least("breaking-capacity", 0.0, 1.0, "kA", clause),
        (Some(fault), capacity) => at_least("breaking-capacity", capacity.unwrap_or(0.0), fault.0 / 1000.0, "kA", clause),
        (None, _) => {
            not_checked("breaking-capacity", "kA", "the largest fault current where the feeder begins is unknown", clause)
        }
    });
    if trying && !candidate.suits(tools, ask.node.system.as_deref(), ask) {
        checks.push(at_least("voltage-rating", 0.0, 1.0, "", ""));
    }
    if let Some((start, time)) = ask.at_start {
        checks.extend(at_start(candidate, ask.kind, start, time, tools));
    }
    checks.into_iter().map(|check| check.about("device of the feeder")).collect()
}

/// The largest start while the rest runs: a fuse carries it for its time; the lower limit of an instantaneous trip, set highest, lies
/// above it.
fn at_start(candidate: Candidate<'_>, kind: ProtectionKind, start: Amperes, time: Seconds, tools: &Tools<'_>) -> Option<Check> {
    if let Some(limit) = tools.book.feeder_at_start(kind, Amperes(candidate.rating()), start, time) {
        return Some(of_limit(&limit));
    }
    let (_, highest, tolerance) = candidate.trip()?;
    let lower = band(highest, tolerance, tools)[1];
    Some(at_most("magnetic-trip-at-start", start.0, lower, "A", tools.book.clause(Topic::MagneticTrip)))
}

fn band(setting: f64, tolerance_pct: f64, tools: &Tools<'_>) -> [f64; 3] {
    tools.book.magnetic_band(1.0, Amperes(setting), tolerance_pct, &mut Record::silent())
}

pub(in crate::network) fn described(candidate: Candidate<'_>, ask: &Ask<'_>, tools: &Tools<'_>) -> FeederDevice {
    let trip = candidate.trip();
    let highest = trip.map(|(_, highest, tolerance)| band(highest, tolerance, tools));
    let lowest = trip.map(|(low, highest, tolerance)| {
        // With the first peak of the start, where a setting rides through that.
        let peak = tools.book.inrush_peak_factor() / 2f64.sqrt();
        let start = ask.at_start.map_or(0.0, |(start, _)| start.0 * peak.max(1.0));
        band((start / (1.0 - tolerance / 100.0)).clamp(low, highest), tolerance, tools)
    });
    FeederDevice {
        kind: ask.kind.word(),
        rating: Amperes(candidate.rating()),
        magnetic: highest,
        magnetic_lowest: lowest,
        magnetic_range: trip.map(|(low, highest, _)| [low, highest]),
        setting_range: candidate.setting_range(),
        breaking_ka: candidate.breaking_ka(voltage(ask.node, tools).0),
        let_through: candidate.let_through(),
        part: candidate.part().to_owned(),
    }
}

/// No device of the catalogue holds: the preferred or standard rating that would, and a finding.
fn without_catalogue(
    ask: &Ask<'_>,
    wanted: Amperes,
    bounds: &FeederBounds,
    tools: &Tools<'_>,
    feeder: &mut Feeder,
    record: &mut Record,
) {
    let (least, most) = (least(ask, wanted, bounds), bounds.most);
    let holds_start = |rating: Amperes| match ask.at_start {
        Some((start, time)) => tools.book.feeder_at_start(ask.kind, rating, start, time).is_none_or(|limit| limit.holds()),
        None => true,
    };
    let mut ratings = tools.book.feeder_ratings(ask.kind);
    ratings.retain(|rating| least.fits(*rating) && most.is_none_or(|most| rating.fits(most)) && holds_start(*rating));
    let rating = if bounds.largest_first && most.is_some() { ratings.last() } else { ratings.first() };
    let kind = words::of_book(tools.book, ask.kind.word());
    let what = match rating {
        Some(rating) => {
            format!("feeder of board {}: the catalogue holds no {kind} of {} A for this place", ask.node.name, rating.0)
        }
        None => format!(
            "feeder of board {}: no rating of a {kind} carries {} A and keeps its limits",
            ask.node.name,
            round_to(least.0, 1)
        ),
    };
    // Where the basis describes no feeder others bring the device.
    if ask.wanted {
        record.find(
            Finding::new(&codes::B302_NO_FEEDER_DEVICE, what)
                .why("a device must carry the load, ride through the largest start and break the fault current where it stands")
                .cure("name the device with its maker's data; what depends on it is not checked")
                .reference(bounds.reference),
        );
    }
    let Some(rating) = rating.copied() else { return };
    feeder.protection = rating;
    feeder.device = Some(FeederDevice { kind: ask.kind.word(), rating, ..FeederDevice::default() });
    let clause = tools.book.clause(Topic::FeederCarries);
    feeder.checks.push(at_most("protection-carries", least.0, rating.0, "A", clause).about("device of the feeder"));
    if let Some(of_rules) = bounds.most {
        let check = at_most("protection-maximum", rating.0, of_rules.0, "A", bounds.reference);
        feeder.checks.push(check.about("device of the feeder"));
    }
    let because = "the catalogue holds no such device";
    for (name, unit, topic) in
        [("breaking-capacity", "kA", Topic::BreakingCapacity), ("magnetic-trip-at-start", "A", Topic::MagneticTrip)]
    {
        feeder.checks.push(not_checked(name, unit, because, tools.book.clause(topic)).about("device of the feeder"));
    }
    if ask.wanted {
        let description = format!("{kind}, {} A", rating.0);
        feeder.parts.push(Part { description, quantity: 1.0, unit: "pc".to_owned(), ..Part::default() });
    }
}
