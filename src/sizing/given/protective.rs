//! A short-circuit protective device of others: kind, rating and magnetic trip against what book, marking, contactor and conductors
//! admit.

use crate::design::Check;
use crate::load::{Known, Origin, ProtectionKind};
use crate::quantity::{Amperes, fits};
use crate::record::Record;
use crate::rules::{FuseStart, ProtectionBounds, RuleBook, Topic, words};
use crate::sizing::assembly::ChosenProtection;
use crate::sizing::given::{Bench, Judged, Larger, amperes, conductor};
use crate::sizing::judge::{at_least, at_most, of_limit};

/// The kind that a book means by a circuit-breaker without further words.
pub(super) fn bare_breaker(book: &dyn RuleBook) -> ProtectionKind {
    if book.protection_kind().is_iec() { ProtectionKind::MouldedCase } else { ProtectionKind::InverseTime }
}

/// The chosen device, where it is of that kind.
fn chosen<'a>(bench: &Bench<'a>, kind: ProtectionKind) -> Option<&'a ChosenProtection<'a>> {
    bench.assembly.protection.as_ref().filter(|protection| protection.is_of(kind))
}

fn bounds(bench: &Bench<'_>, kind: ProtectionKind) -> Option<ProtectionBounds> {
    bench.row.tools.book.protection_bounds(kind, &bench.protection.ask, &mut Record::silent())
}

/// Why nothing can be said of a kind: the book has no such device, or none of it for this circuit.
fn refused(bench: &Bench<'_>, kind: ProtectionKind) -> Option<Judged> {
    let (book, case) = (bench.row.tools.book, bench.row.case);
    if case.machine.fuse_only && !kind.is_fuse() {
        let ruled_out = ("the equipment is marked for fuses only".to_owned(), "marking of the equipment".to_owned());
        return Some(Judged { ruled_out: Some(ruled_out), ..Judged::default() });
    }
    if case.motors > 1 && kind == ProtectionKind::MotorBreaker {
        let what = format!("set to the current of {} motors it protects none of them against overload", case.motors);
        return Some(Judged { ruled_out: Some((what, "IEC 60204-1, 7.3".to_owned())), ..Judged::default() });
    }
    if kind.is_iec() != book.protection_kind().is_iec() {
        return Some(Judged::doubtful(format!("the rule book has no rules for {}", words::of_book(book, kind.word()))));
    }
    let admitted = book.protection_kinds(Known::new(kind, Origin::Cell), &case.machine, &case.start);
    (!admitted.contains(&kind)).then(|| {
        Judged::doubtful(format!("the rule book rates no {} for this load and start", words::of_book(book, kind.word())))
    })
}

/// A kind of device.
pub(super) fn kind(bench: &Bench<'_>, kind: ProtectionKind) -> Judged {
    let wanted = bench.assembly.protection.as_ref().map_or_else(String::new, |protection| protection.device.kind().to_owned());
    if let Some(refused) = refused(bench, kind) {
        return Judged { wanted, ..refused };
    }
    let reference = bench.row.tools.book.clause(Topic::ProtectionCarries);
    match bounds(bench, kind) {
        Some(bounds) => {
            let most = bounds.fallback.as_ref().or(bounds.most.as_ref()).map_or(f64::INFINITY, |(most, _)| most.0);
            let check = at_most("protection-minimum", bounds.least.0, most, "A", reference);
            Judged { wanted, checks: vec![check], ..Judged::default() }
        }
        None => {
            let what = format!("none of this kind rides through a start of {}", amperes(bench.protection.ask.starting.0));
            Judged { wanted, ruled_out: Some((what, reference.to_owned())), ..Judged::default() }
        }
    }
}

/// A figure that a motor breaker's rating does not tell.
const RELEASE: &str = "the range of its release";

/// A rating.
pub(super) fn rating(bench: &Bench<'_>, rating: f64) -> Judged {
    let (book, kind) = (bench.row.tools.book, bench.kind());
    if let Some(refused) = refused(bench, kind) {
        return refused;
    }
    let Some(bounds) = bounds(bench, kind) else {
        let what = format!(
            "no {} rides through a start of {}",
            words::of_book(book, kind.word()),
            amperes(bench.protection.ask.starting.0)
        );
        let clause = book.clause(Topic::ProtectionCarries).to_owned();
        return Judged { ruled_out: Some((what, clause)), ..Judged::default() };
    };
    let chosen = chosen(bench, kind);
    let wanted = chosen.map_or_else(|| within(bench, kind, &bounds), |protection| amperes(protection.rating.0));
    let mut judged = Judged { wanted, ..Judged::default() };
    judged.checks.push(match bounds.start_reference {
        Some(reference) => at_least("fuse-at-start", rating, bounds.least.0, "A", reference),
        None => at_least("protection-minimum", rating, bounds.least.0, "A", book.clause(Topic::ProtectionCarries)),
    });
    let holds = book.fuse_at_start(kind, Amperes(rating), &bench.protection.ask, &mut Record::silent());
    match holds {
        Some(FuseStart::Known(limit)) => judged.checks.push(of_limit(&limit)),
        Some(FuseStart::Unknown { because, .. }) => {
            judged.start_unknown = true;
            judged.doubt = Some(because);
        }
        None => {}
    }
    judged.checks.extend(largest(bench, kind, &bounds, rating));
    let behind = conductor::behind(bench);
    judged.checks.extend(behind.checks.iter().cloned());
    judged.open.push("its breaking capacity".to_owned());
    if !kind.is_fuse() && bench.stated.magnetic.is_none() {
        judged.open.push(format!("its {} trip", bench.units().pick("magnetic", "instantaneous")));
    }
    let larger = chosen.is_some_and(|protection| !fits(rating, protection.rating.0)) && !bounds.largest_first;
    if kind == ProtectionKind::MotorBreaker && bench.stated.range.is_none() {
        judged.open.push(RELEASE.to_owned());
        // A larger one has a release for larger motors.
        judged.doubt = larger.then(|| {
            format!("{RELEASE} is not stated: it may not be set down to the motor, which then lacks overload protection")
        });
    }
    judged.oversized = larger.then(|| {
        Larger::fault("a fault must be larger before it is cleared in time, and more energy is let through", bench, &behind)
    });
    judged
}

/// The smallest rating of the catalogue within the bounds of a kind that the program did not choose, which lets the motor start; else the
/// floor, but of fuses of which nobody knows how long they carry the start.
fn within(bench: &Bench<'_>, kind: ProtectionKind, bounds: &ProtectionBounds) -> String {
    let least = bounds.least.0;
    let kept = |rating: f64| largest(bench, kind, bounds, rating).iter().all(|check| check.passed != Some(false));
    let at_start = |rating: f64| {
        let ask = &bench.protection.ask;
        bench.row.tools.book.fuse_at_start(kind, Amperes(rating), ask, &mut Record::silent())
    };
    let starts = |rating: f64| match at_start(rating) {
        None => true,
        Some(FuseStart::Known(limit)) => limit.holds(),
        Some(FuseStart::Unknown { .. }) => false,
    };
    let within: Vec<f64> = ratings(bench).into_iter().filter(|rating| fits(least, *rating) && kept(*rating)).collect();
    match within.iter().find(|rating| starts(**rating)) {
        Some(rating) => amperes(*rating),
        None if within.is_empty() && starts(least) => format!("at least {}", amperes(least)),
        None => String::new(),
    }
}

/// Ratings of the catalogue of the kind that counts, ascending.
pub(super) fn ratings(bench: &Bench<'_>) -> Vec<f64> {
    let (catalogue, kind) = (bench.row.tools.catalogue, bench.kind());
    let fuses = catalogue.fuses_of(kind.word()).map(|fuse| fuse.rating_a);
    let branch = catalogue.branch_breakers.iter().filter(|breaker| breaker.kind == kind.word()).map(|breaker| breaker.rating_a);
    let moulded =
        catalogue.moulded_case_breakers.iter().filter(|_| kind == ProtectionKind::MouldedCase).map(|breaker| breaker.rating_a);
    let motor =
        catalogue.motor_breakers.iter().filter(|_| kind == ProtectionKind::MotorBreaker).map(|breaker| breaker.range_max_a);
    let mut ratings: Vec<f64> = fuses.chain(branch).chain(moulded).chain(motor).collect();
    ratings.sort_by(f64::total_cmp);
    ratings.dedup();
    ratings
}

/// Ratings that must not be exceeded: the book's, a marking's, and those of devices behind a fuse.
fn largest(bench: &Bench<'_>, kind: ProtectionKind, bounds: &ProtectionBounds, rating: f64) -> Vec<Check> {
    let mut checks = Vec::new();
    let mut most = |limit: f64, clause: &str| checks.push(at_most("protection-maximum", rating, limit, "A", clause));
    // The book's increase is for a motor that does not start otherwise.
    let raised = bounds.fallback.as_ref().filter(|_| needs_increase(bench, kind, bounds));
    if let Some((limit, clause)) = raised.or(bounds.most.as_ref()) {
        most(limit.0, clause);
    }
    if let Some((limit, clause)) = bench.protection.maximum {
        most(limit.0, clause);
    }
    if !kind.is_fuse() {
        return checks;
    }
    // Devices of the program's own choice stand behind it where others state none.
    for contactor in bench.assembly.contactors.iter().filter_map(|contactor| contactor.contactor) {
        most(contactor.max_fuse_type_1_a, "contactor: largest fuse");
    }
    for relay in bench.assembly.relays.iter().filter_map(|relay| relay.relay) {
        most(relay.max_fuse_type_1_a, "overload relay: largest fuse");
    }
    checks
}

/// The motor does not start on the largest rating of the first place: as the choice of that kind found, else as far as its start is
/// known to hold.
fn needs_increase(bench: &Bench<'_>, kind: ProtectionKind, bounds: &ProtectionBounds) -> bool {
    if let Some(protection) = chosen(bench, kind) {
        return protection.beyond.is_some();
    }
    let Some((most, _)) = &bounds.most else { return false };
    let book = bench.row.tools.book;
    let at_start = book.fuse_at_start(kind, *most, &bench.protection.ask, &mut Record::silent());
    matches!(at_start, Some(FuseStart::Known(limit)) if !limit.holds())
}

/// Lower limit, upper limit of a stated trip; none where its tolerance is not known.
pub(super) fn band(bench: &Bench<'_>, trip: f64) -> Option<[f64; 2]> {
    let tolerance = bench.assembly.protection.as_ref()?.trip?.tolerance_pct;
    let [_, low, high] = bench.row.tools.book.magnetic_band(1.0, Amperes(trip), tolerance, &mut Record::silent());
    Some([low, high])
}

/// A magnetic trip.
pub(super) fn magnetic(bench: &Bench<'_>, trip: f64) -> Judged {
    let kind = bench.kind();
    if kind.is_fuse() {
        return Judged::doubtful("a fuse has no trip; the device is stated or chosen as a fuse");
    }
    if let Some(refused) = refused(bench, kind) {
        return refused;
    }
    let chosen = bench.assembly.protection.as_ref().and_then(|protection| protection.magnetic);
    let mut judged = Judged { wanted: chosen.map_or_else(String::new, |band| amperes(band[0])), ..Judged::default() };
    let band = band(bench, trip);
    let low = band.map_or(trip, |band| band[0]);
    let rides = bench.protection.rides(low, bench.row.tools);
    let start_unknown = rides.is_none();
    judged.checks.extend(rides);
    let ceilings = bounds(bench, kind).and_then(|bounds| bounds.magnetic);
    if let Some([first, raised]) = &ceilings {
        let beyond = bench.assembly.protection.as_ref().is_some_and(|protection| protection.beyond.is_some());
        let (limit, clause) = if beyond { raised } else { first };
        judged.checks.push(at_most("magnetic-setting", trip, limit.0, "A", clause));
    }
    let behind = conductor::behind(bench);
    judged.checks.extend(behind.checks.iter().cloned());
    match band {
        Some(_) => judged.remarks.push("its tolerance is taken as that of the chosen device".to_owned()),
        None => judged.doubt = Some("its tolerance is not stated, and no device of the circuit tells one".to_owned()),
    }
    if start_unknown {
        judged.doubt = Some("what the load draws when it is switched on is unknown".to_owned());
    }
    let larger = chosen.filter(|chosen| !fits(trip, chosen[0]));
    judged.oversized = larger.map(|_| Larger::fault("a fault must be larger before it is cleared at once", bench, &behind));
    judged
}
