//! Conductors of others: phase conductors, protective conductor and raceway of the run that begins at the board, by the book's
//! criteria, behind the devices that are stated.

use crate::design::Check;
use crate::load::ProtectionKind;
use crate::quantity::Amperes;
use crate::record::Record;
use crate::rules::Topic;
use crate::rules::conductors::{Candidate, FaultDevice, OverloadDevice, RunDemand};
use crate::rules::units::Units;
use crate::sizing::arrangement::Runs;
use crate::sizing::conductors;
use crate::sizing::given::read::Unreadable;
use crate::sizing::given::{Bench, Judged, Larger, figures, overload, protective};
use crate::sizing::judge::{at_least, at_most};

/// Criteria that a protective device decides together with the conductors.
const OF_DEVICE: &[&str] = &["overload-protection", "fault-withstand", "disconnection"];

/// The demand of a run behind the devices of the circuit.
pub(super) struct Behind {
    /// Behind what is stated, where the rest of it is at its worst, and at its best: energy that is let through, dial of a breaker.
    stated: [RunDemand; 2],
    /// Behind the program's own choice.
    behind_chosen: RunDemand,
}

/// The demand of a run behind what is stated: setting of the relay, rating and trip of the device.
pub(super) fn behind_stated(bench: &Bench<'_>, demand: RunDemand) -> Behind {
    Behind { stated: at_its_ends(bench, &demand), behind_chosen: demand }
}

fn at_its_ends(bench: &Bench<'_>, demand: &RunDemand) -> [RunDemand; 2] {
    let stated = &bench.stated;
    let mut worst = demand.clone();
    if let (Some(setting), Some(relay), OverloadDevice::Setting(current)) =
        (stated.setting, overload::relay(bench), demand.overload)
        && relay.setting.0 > 0.0
    {
        worst.overload = OverloadDevice::Setting(current * (setting / relay.setting.0));
    }
    let trip = stated.magnetic.and_then(|trip| protective::band(bench, trip)).map(|band| Amperes(band[1]));
    if stated.rating.is_none() && stated.kind.is_none() && trip.is_none() {
        return [worst.clone(), worst];
    }
    let kind = bench.kind();
    let rating = stated.rating.map(Amperes).or(demand.device_rating);
    worst.device_rating = rating;
    worst.grounding_basis = bench.row.tools.book.grounding_rating(kind.word(), &bench.protection.ask);
    let chosen = bench.assembly.protection.as_ref().is_some_and(|protection| protection.is_of(kind));
    let device = match (kind, rating, trip) {
        (ProtectionKind::Gg, Some(rating), _) => Some(FaultDevice::Gg(rating)),
        (ProtectionKind::Am, Some(rating), _) => Some(FaultDevice::Am(rating)),
        (_, _, Some(trip)) => Some(FaultDevice::Magnetic(trip)),
        _ if chosen && stated.rating.is_none() => demand.fault.map(|fault| fault.0),
        _ => None,
    };
    let fault = |let_through: f64| device.zip(rating).map(|(device, rating)| (device, rating, let_through));
    worst.fault = fault(f64::INFINITY);
    let mut best = RunDemand { fault: fault(0.0), ..worst.clone() };
    if let Some(rating) = rating {
        match demand.overload {
            OverloadDevice::Breaker(_, trips) => {
                worst.overload = OverloadDevice::Breaker(rating, trips);
                best.overload = OverloadDevice::Breaker(rating.min(demand.current), trips);
            }
            OverloadDevice::Fuse(_) => {
                worst.overload = OverloadDevice::Fuse(rating);
                best.overload = worst.overload;
            }
            _ => {}
        }
    }
    [worst, best]
}

/// The conductor that counts: the stated one, else the chosen one.
fn candidate(bench: &Bench<'_>) -> Option<Candidate> {
    let chosen = bench.circuit.runs.first().map(|run| Candidate { size_mm2: run.phase_area_mm2, parallel: run.per_phase });
    let stated = bench.stated.section.zip(bench.run.as_ref()).and_then(|(area, run)| {
        let size_mm2 = sizes(bench, &run.behind_chosen).into_iter().filter(|size| size - area < 1e-6).reduce(f64::max)?;
        Some(Candidate { size_mm2, parallel: bench.stated.parallel.unwrap_or(1) })
    });
    stated.or(chosen)
}

/// Sizes that the book has, ascending.
fn sizes(bench: &Bench<'_>, demand: &RunDemand) -> Vec<f64> {
    let ladder = bench.row.tools.book.ladder(demand);
    ladder.into_iter().filter(|candidate| candidate.parallel == 1).map(|candidate| candidate.size_mm2).collect()
}

/// Sizes of one conductor a phase, ascending, as they are told.
pub(super) fn larger(bench: &Bench<'_>) -> Vec<String> {
    let Some(run) = &bench.run else { return Vec::new() };
    let book = bench.row.tools.book;
    let parallel = bench.stated.parallel.unwrap_or(1);
    let of_size = |size_mm2: f64| conductors::size_words(book, Candidate { size_mm2, parallel });
    sizes(bench, &run.behind_chosen).into_iter().map(of_size).collect()
}

/// The limits that a stated device keeps, or fails, together with the conductors, and those that could not be told.
#[derive(Debug, Default)]
pub(super) struct BehindDevice {
    pub(super) checks: Vec<Check>,
    /// Names of checks, in words.
    pub(super) untold: Vec<String>,
}

/// Limits that a stated device keeps together with the conductors.
pub(super) fn behind(bench: &Bench<'_>) -> BehindDevice {
    let (Some(run), Some(candidate)) = (&bench.run, candidate(bench)) else { return BehindDevice::default() };
    if bench.row.tools.book.refuses(&run.behind_chosen).is_some() {
        return BehindDevice::default();
    }
    // A relay that protects the run from overload is judged with the conductors.
    let by_relay = matches!(run.behind_chosen.overload, OverloadDevice::Setting(_));
    let of_device = |name: &str| OF_DEVICE.contains(&name) && !(by_relay && name == "overload-protection");
    let told = told(bench, run, candidate);
    // The figures behind the program's own device tell what is to be shown of the other.
    let held =
        told.held.iter().map(|check| (&check.name, format!("{} behind the program's own device", figures(check, bench.units()))));
    let others = told.failed.iter().chain(&told.open).map(|name| (name, bench.words(name)));
    let untold = held.chain(others).filter(|(name, _)| of_device(name)).map(|(_, words)| words).collect();
    BehindDevice { checks: told.checks.into_iter().filter(|check| of_device(&check.name)).collect(), untold }
}

/// Checks of a candidate, and names of those that what is stated does not tell.
#[derive(Debug, Default)]
struct Told {
    checks: Vec<Check>,
    /// Behind the program's own device they pass: as they are there.
    held: Vec<Check>,
    /// Behind the program's own device they fail.
    failed: Vec<String>,
    /// Not even behind that can they be made.
    open: Vec<String>,
}

/// Checks of a candidate: a limit that fails at the worst and not at the best of what is stated is not told by it. Behind the
/// program's own device it may hold: that is said; or fail: then the stated device decides.
fn told(bench: &Bench<'_>, run: &Behind, candidate: Candidate) -> Told {
    let book = bench.row.tools.book;
    let judge = |demand: &RunDemand| conductors::judge(book, demand, candidate);
    let [worst, best] = [0, 1].map(|index| judge(&run.stated[index]));
    let behind_chosen = judge(&run.behind_chosen);
    let mut told = Told::default();
    for worst in worst {
        let same = |other: &&Check| other.name == worst.name && other.subject == worst.subject;
        let name = worst.name.clone();
        match (worst.passed, best.iter().find(same).and_then(|best| best.passed)) {
            (Some(true), _) | (Some(false), Some(false)) => told.checks.push(worst),
            _ => match behind_chosen.iter().find(same).map(|check| (check, check.passed)) {
                Some((check, Some(true))) => told.held.push(check.clone()),
                Some((_, Some(false))) => told.failed.push(name),
                _ => told.open.push(name),
            },
        }
    }
    told.held.dedup_by(|one, other| one.name == other.name && one.subject == other.subject);
    [&mut told.failed, &mut told.open].into_iter().for_each(Vec::dedup);
    told
}

/// The judgement of a conductor. A limit that only the program's own device keeps is named as such; one that even that fails
/// decides nothing.
fn of_conductor(bench: &Bench<'_>, told: Told) -> Judged {
    let names = |of: &[String]| of.iter().map(|name| bench.words(name)).collect::<Vec<_>>();
    let mut judged = Judged { open: names(&told.open), checks: told.checks, ..Judged::default() };
    if !told.failed.is_empty() {
        let names = names(&told.failed).join(", ");
        judged.doubt =
            Some(format!("{names}: not kept behind the program's own device, and the stated one is not known well enough"));
    }
    if !told.held.is_empty() {
        let mut held: Vec<String> = told.held.iter().map(|check| bench.words(&check.name)).collect();
        held.dedup();
        judged.remarks.push(format!("{}: told behind the program's own device", held.join(", ")));
    }
    judged
}

/// Phase conductors.
pub(super) fn phase(bench: &Bench<'_>, area: f64) -> Judged {
    let book = bench.row.tools.book;
    let Some(run) = &bench.run else { return Judged::doubtful("the circuit has no run") };
    let demand = &run.behind_chosen;
    if let Some(refused) = book.refuses(demand) {
        return Judged::doubtful(refused);
    }
    let parallel = bench.stated.parallel.unwrap_or(1);
    let sizes = sizes(bench, demand);
    let at = |size_mm2: f64| Candidate { size_mm2, parallel };
    let exact = sizes.iter().copied().find(|size| (size - area).abs() < 1e-6);
    let below = sizes.iter().copied().filter(|size| *size < area).reduce(f64::max);
    let above = sizes.iter().copied().filter(|size| *size > area).reduce(f64::min);
    let Some(judged) = exact.or(below) else {
        // Smaller than any of the book: it fails the least section.
        return conductor(bench, run, at(area));
    };
    let mut as_judged = conductor(bench, run, at(judged));
    if exact.is_some() {
        return as_judged;
    }
    let fails = |judged: &Judged| judged.checks.iter().any(|check| check.passed == Some(false));
    if !fails(&as_judged) {
        as_judged.remarks.push(format!("the book has no such size: judged as {}, the next smaller one", book.size_text(judged)));
        return as_judged;
    }
    match above.map(|size| (size, conductor(bench, run, at(size)))) {
        Some((size, mut larger)) if fails(&larger) => {
            larger
                .remarks
                .push(format!("the book has no such size: it fails even as {}, the next larger one", book.size_text(size)));
            larger
        }
        _ => {
            let wanted = as_judged.wanted;
            let doubt = format!("the book has no such size, and {} does not hold", book.size_text(judged));
            Judged { wanted, ..Judged::doubtful(doubt) }
        }
    }
}

fn conductor(bench: &Bench<'_>, run: &Behind, candidate: Candidate) -> Judged {
    let book = bench.row.tools.book;
    let demand = &run.stated[0];
    let chosen = bench.circuit.runs.first();
    let chosen = chosen.map(|run| Candidate { size_mm2: run.phase_area_mm2, parallel: run.per_phase });
    let mut judged = of_conductor(bench, told(bench, run, candidate));
    judged.wanted = chosen.map_or_else(String::new, |candidate| conductors::size_words(book, candidate));
    judged.checks.extend(in_parallel(bench, demand, candidate));
    if bench.assembly.arrangement.runs != Runs::One {
        judged.remarks.push(format!("judged for the {} run", bench.words(demand.role)));
    }
    let section = |candidate: Candidate| candidate.size_mm2 * f64::from(candidate.parallel);
    // The program's own size is no measure where it does not hold behind the stated device.
    let holds = |chosen: Candidate| {
        let chosen = told(bench, run, chosen);
        chosen.failed.is_empty() && chosen.checks.iter().all(|check| check.passed != Some(false))
    };
    let smaller = chosen.filter(|chosen| section(candidate) > section(*chosen) * (1.0 + 1e-9) && holds(*chosen));
    judged.oversized = smaller.map(|_| {
        let with = book.companions(demand, candidate, &mut Record::silent());
        let trade: Vec<&str> = with.raceways.iter().map(|raceway| raceway.trade_size).collect();
        let raceway = if trade.is_empty() { String::new() } else { format!(", its raceway {}", trade.join("+")) };
        Larger::room(format!(
            "{}; its protective conductor becomes {} ({}){raceway}",
            terminals(bench, demand, candidate),
            book.size_text(with.protective_mm2),
            book.clause(Topic::ProtectiveConductor)
        ))
    });
    judged
}

/// The conductor against the terminals of the program's own devices, as far as the circuit's checks tell what those clamp.
fn terminals(bench: &Bench<'_>, demand: &RunDemand, candidate: Candidate) -> String {
    let run = format!("{} run", demand.role);
    // A check of the smallest conductor fails from below and tells nothing of the largest.
    let largest = |check: &&Check| check.passed == Some(true) || check.value > check.limit;
    let of_run = bench.circuit.checks.iter().filter(|check| check.name == "terminals" && check.subject.starts_with(&run));
    let most = of_run.filter(largest).filter_map(|check| check.limit).reduce(f64::min);
    let Some(most) = most else { return "terminals must take it".to_owned() };
    let shown = bench.row.tools.book.size_text(most);
    if candidate.parallel > 1 {
        format!("terminals must take {} in parallel (the program's own clamp {shown} at most)", candidate.parallel)
    } else if candidate.size_mm2 > most * (1.0 + 1e-9) {
        format!("larger terminals or a box between are needed: the program's own clamp {shown} at most")
    } else {
        format!("the program's own terminals take it (to {shown})")
    }
}

/// Conductors in parallel are not smaller than the book admits.
fn in_parallel(bench: &Bench<'_>, demand: &RunDemand, candidate: Candidate) -> Option<Check> {
    let book = bench.row.tools.book;
    let clause = book.clause(Topic::ParallelConductors);
    let ladder = book.ladder(demand);
    let least = ladder.iter().filter(|candidate| candidate.parallel > 1).map(|candidate| candidate.size_mm2).reduce(f64::min)?;
    (candidate.parallel > 1 && !clause.is_empty()).then(|| at_least("parallel-minimum", candidate.size_mm2, least, "mm²", clause))
}

/// The number in parallel, which is judged with the conductors.
pub(super) fn parallel(bench: &Bench<'_>) -> Result<Judged, Unreadable> {
    let Some(area) = bench.stated.section else {
        return Err(Unreadable {
            why: "it says nothing without the size of the conductors".to_owned(),
            cure: "write the size of one conductor into given_conductor, as 50 mm2",
        });
    };
    let mut judged = phase(bench, area);
    let chosen = bench.circuit.runs.first().map(|run| run.per_phase);
    judged.wanted = chosen.map_or_else(String::new, |number| number.to_string());
    // It is the size that is larger, not the number.
    judged.oversized = judged.oversized.filter(|_| chosen.is_none_or(|chosen| bench.stated.parallel.unwrap_or(1) > chosen));
    judged.remarks.push("judged with the conductor".to_owned());
    Ok(judged)
}

/// Protective conductor.
pub(super) fn protective(bench: &Bench<'_>, area: f64) -> Judged {
    let book = bench.row.tools.book;
    let (Some(Behind { stated: [demand, _], .. }), Some(candidate)) = (&bench.run, candidate(bench)) else {
        return Judged::doubtful("the circuit has no run");
    };
    if let Some(refused) = book.refuses(demand) {
        return Judged::doubtful(refused);
    }
    let least = book.companions(demand, candidate, &mut Record::silent()).protective_mm2;
    let check = at_least("protective-minimum", area, least, "mm²", book.clause(Topic::ProtectiveConductor));
    let small = check.passed == Some(false);
    let mut judged = Judged { wanted: book.size_text(least), checks: vec![check], ..Judged::default() };
    if small && bench.units() == Units::Metric {
        judged.remarks.push("a calculation by 543.1.2, which is not made here, may admit less".to_owned());
    }
    if !small && area > least * (1.0 + 1e-9) {
        judged.oversized = Some(Larger::room("terminals must take it; nothing is lost"));
    }
    judged
}

/// Raceway.
pub(super) fn raceway(bench: &Bench<'_>, (kind, size): &(Option<String>, String)) -> Result<Judged, Unreadable> {
    let book = bench.row.tools.book;
    let (Some(Behind { stated: [demand, _], .. }), Some(candidate)) = (&bench.run, candidate(bench)) else {
        return Ok(Judged::doubtful("the circuit has no run"));
    };
    if let Some(refused) = book.refuses(demand) {
        return Ok(Judged::doubtful(refused));
    }
    let mut demand = demand.clone();
    demand.route = kind.as_ref().map_or(demand.route, |kind| vec![kind.clone()]);
    if book.refuses(&demand).is_some() {
        return Err(Unreadable {
            why: "its kind is not known".to_owned(),
            cure: "write a kind of raceway and a trade size, as emt 3/4, or the trade size alone",
        });
    }
    let wanted = book.companions(&demand, candidate, &mut Record::silent()).raceways;
    if wanted.is_empty() {
        return Ok(Judged::doubtful("the rule book sizes no raceways"));
    }
    let Some(fill) = book.fill_of(&demand, candidate, size) else {
        return Err(Unreadable {
            why: "it is no trade size of that raceway, or none for its length".to_owned(),
            cure: "write a trade size, as 3/4 or 1-1/4",
        });
    };
    let reference =
        book.criteria().iter().find(|criterion| criterion.name == "raceway-fill").map_or("", |criterion| criterion.reference);
    let words: Vec<&str> = wanted.iter().map(|raceway| raceway.trade_size).collect();
    let least = wanted.iter().map(|raceway| raceway.fill_pct).fold(0.0, f64::max);
    let mut judged = Judged { wanted: words.join("+"), ..Judged::default() };
    judged.checks.push(at_most("raceway-fill", fill.value, fill.limit, "%", reference));
    let fill_value = fill.value;
    judged.oversized = (fill.value < least * (1.0 - 1e-6)).then(|| {
        let fill = |percent: f64| crate::record::significant(percent, 3);
        Larger::room(format!(
            "filled {} % instead of {} %: fittings and terminations follow it; nothing is lost",
            fill(fill_value),
            fill(least)
        ))
    });
    Ok(judged)
}
