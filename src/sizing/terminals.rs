//! Does every terminal take the conductor that comes to it? Clamping ranges of the catalogue against the runs of a circuit: where a run
//! begins (at a terminal of the panel, where one is bought for it, else at the device), where it ends at a further device, and at the local
//! isolator. The motor's own box is nobody's data here: a conductor that was enlarged beyond what its current asks for is said, so that
//! somebody looks.

use crate::catalogue::Catalogue;
use crate::design::{Check, Circuit, Run};
use crate::finding::codes::Code;
use crate::finding::{Finding, codes};
use crate::load::Case;
use crate::quantity::fits;
use crate::record::Record;
use crate::rules::units::Units;
use crate::rules::{RatedCurrents, RuleBook, Topic, words};
use crate::sizing::Tools;
use crate::sizing::arrangement::{Device as MethodDevice, Runs, SAFETY};
use crate::sizing::assembly::{Assembly, ChosenContactor, ChosenRelay, Device};
use crate::sizing::judge::{at_least, at_most, not_checked};
use crate::sizing::runs::SUPPLY;
use crate::sizing::{isolator, materials};
use crate::supply::SupplyPoint;

/// Where a clamping range is declared.
const REFERENCE: &str = "catalogue: clamping range";

/// The terminals of a device.
#[derive(Clone, Copy)]
struct Clamp {
    min_mm2: f64,
    max_mm2: f64,
    /// Conductors that one terminal takes, where the catalogue says so.
    conductors: Option<u32>,
}

/// A device with its clamping range; how many conductors fit is unknown.
macro_rules! clamp {
    ($row:expr) => {
        Clamp { min_mm2: $row.terminal_min_mm2, max_mm2: $row.terminal_max_mm2, conductors: None }
    };
    ($row:expr, counted) => {
        Clamp { conductors: Some($row.terminal_conductors), ..clamp!($row) }
    };
}

/// The terminals that take the least of several devices in one place.
fn tightest(clamps: impl IntoIterator<Item = Clamp>) -> Option<Clamp> {
    clamps.into_iter().reduce(|a, b| Clamp {
        min_mm2: a.min_mm2.max(b.min_mm2),
        max_mm2: a.max_mm2.min(b.max_mm2),
        conductors: a.conductors.zip(b.conductors).map(|(a, b)| a.min(b)),
    })
}

fn protection(assembly: &Assembly<'_>) -> Option<Clamp> {
    assembly.protection.as_ref().map(|protection| match protection.device {
        Device::Motor(breaker) => clamp!(breaker),
        Device::Moulded(breaker) => clamp!(breaker, counted),
        Device::Line(breaker) => clamp!(breaker),
        Device::Fuse(fuse) => clamp!(fuse),
        Device::Branch(breaker) => clamp!(breaker, counted),
    })
}

fn relays<'r>(relays: impl IntoIterator<Item = &'r ChosenRelay<'r>>) -> Option<Clamp> {
    tightest(relays.into_iter().filter(|relay| relay.separate).filter_map(|relay| relay.relay).map(|relay| clamp!(relay)))
}

fn contactors<'c>(contactors: impl IntoIterator<Item = &'c ChosenContactor<'c>>) -> Option<Clamp> {
    tightest(contactors.into_iter().filter_map(|contactor| contactor.contactor).map(|contactor| clamp!(contactor)))
}

/// The terminals of a starter without electronics at which its outgoing conductors begin: those of its relays, else of its contactors.
fn outgoing(of_starter: &[ChosenContactor<'_>], under_them: &[ChosenRelay<'_>]) -> Option<Clamp> {
    relays(under_them).or_else(|| contactors(of_starter))
}

/// Roles that stand before drive or soft starter: no conductor goes from them to the motor.
const BEFORE_ELECTRONICS: &[&str] = &["line", SAFETY];

/// The method starts with a drive or soft starter, whether or not the range holds one.
fn has_electronics(assembly: &Assembly<'_>) -> bool {
    matches!(assembly.arrangement.device, Some(MethodDevice::Drive | MethodDevice::SoftStarter(_)))
}

/// The terminals besides those of drive or soft starter at which a run to the motor begins. Of an assembly with electronics in the line
/// only what stands behind them counts; inside the delta of a winding half of the leads go from the contactor before them.
fn leaving(assembly: &Assembly<'_>) -> Option<Clamp> {
    if !has_electronics(assembly) || assembly.arrangement.runs == Runs::SixLeads {
        return outgoing(&assembly.contactors, &assembly.relays);
    }
    let behind = |role: &str| !BEFORE_ELECTRONICS.contains(&role);
    relays(assembly.relays.iter().filter(|relay| behind(relay.place.role)))
        .or_else(|| contactors(assembly.contactors.iter().filter(|contactor| behind(contactor.role.name))))
}

/// Relays and contactors of a starter take an outgoing conductor of an area.
pub(super) fn take(of_starter: &[ChosenContactor<'_>], under_them: &[ChosenRelay<'_>], area_mm2: f64) -> bool {
    outgoing(of_starter, under_them).is_none_or(|clamp| fits(clamp.min_mm2, area_mm2) && fits(area_mm2, clamp.max_mm2))
}

/// The largest outgoing conductor that is too thick for the starter's own terminals, where a larger contactor would take it: behind a drive
/// or soft starter their terminals bound the run, which no contactor changes. Conductors in parallel want terminals for several, of which
/// frames say nothing.
pub(super) fn too_thick(assembly: &Assembly<'_>, runs: &[Run], tools: &Tools<'_>) -> Option<f64> {
    if has_electronics(assembly) {
        return None;
    }
    let most = outgoing(&assembly.contactors, &assembly.relays)?.max_mm2;
    runs.iter()
        .filter(|run| run.role != SUPPLY && run.per_phase == 1 && materials::panel_terminal(run, tools).is_none())
        .map(|run| run.phase_area_mm2)
        .filter(|area| !fits(*area, most))
        .reduce(f64::max)
}

/// Drive or soft starter.
fn electronics(assembly: &Assembly<'_>) -> Option<Clamp> {
    let drives = assembly.devices.iter().filter_map(|device| device.drive).map(|drive| clamp!(drive));
    let starters = assembly.devices.iter().filter_map(|device| device.soft_starter).map(|soft_starter| clamp!(soft_starter));
    tightest(drives.chain(starters))
}

fn local_isolator(part: &str, catalogue: &Catalogue) -> Option<Clamp> {
    let isolators = catalogue.isolators.iter().filter(|isolator| isolator.part == part).map(|isolator| clamp!(isolator));
    let switches = catalogue.disconnects.iter().filter(|disconnect| disconnect.part == part).map(|disconnect| clamp!(disconnect));
    isolators.chain(switches).next()
}

/// The terminals of a local isolator take the conductors that lead to the machine; of several in parallel its data say nothing.
pub(super) fn isolator_takes(part: &str, runs: &[Run], catalogue: &Catalogue) -> bool {
    let Some(clamp) = local_isolator(part, catalogue) else { return true };
    runs.iter()
        .filter(|run| run.role != SUPPLY && run.per_phase == 1)
        .all(|run| fits(clamp.min_mm2, run.phase_area_mm2) && fits(run.phase_area_mm2, clamp.max_mm2))
}

/// Every terminal of the runs that leave the starter takes its conductor, the local isolator's too: larger devices leave nothing open.
pub(super) fn all_take(
    case: &Case,
    of_one: &RatedCurrents,
    assembly: &Assembly<'_>,
    point: &SupplyPoint,
    tools: &Tools<'_>,
    circuit: &Circuit,
) -> bool {
    let mut with_isolator = circuit.clone();
    isolator::describe(case, of_one, assembly, point, tools, &mut with_isolator, &mut Record::silent());
    let of_supply = format!("{SUPPLY} run");
    checks(case, assembly, tools, &with_isolator)
        .iter()
        .all(|check| check.passed == Some(true) || check.subject.starts_with(&of_supply))
}

/// The terminals at both ends of every run.
fn checks(case: &Case, assembly: &Assembly<'_>, tools: &Tools<'_>, circuit: &Circuit) -> Vec<Check> {
    let mut checks = Vec::new();
    for run in &circuit.runs {
        let name = format!("{} run", run.role);
        let supplies = run.role == SUPPLY;
        let begins = match materials::panel_terminal(run, tools) {
            // From there to the device wires of the panel go, by the current alone.
            Some(terminal) => Some(Clamp { min_mm2: terminal.min_mm2, max_mm2: terminal.max_mm2, conductors: None }),
            None if supplies => protection(assembly),
            // One motor's run is held against them below. Of several motors each has a relay; they stand for one that is lacking.
            None if electronics(assembly).is_some() => {
                leaving(assembly).or_else(|| electronics(assembly).filter(|_| case.motors > 1))
            }
            None => leaving(assembly).or_else(|| protection(assembly)),
        };
        checks.extend(begins.map(|clamp| of(run, clamp, &name)));
        if let Some(terminal) = materials::panel_terminal(run, tools).filter(|_| !supplies) {
            let devices = behind_terminals(case, assembly);
            checks.extend(devices.and_then(|device| panel_wire(terminal.max_mm2, device, &name)));
        }
        // A drive's output run begins at the drive; a supply run ends at whatever of the starter comes first.
        // That to one of several motors begins at its relay; drive or soft starter stand before all of them.
        let beyond = match (supplies, case.motors) {
            (true, _) => electronics(assembly).or_else(|| contactors(&assembly.contactors)),
            (false, 1) => electronics(assembly),
            (false, _) => None,
        };
        checks.extend(beyond.map(|clamp| of(run, clamp, &format!("{name}, starter"))));
        let local = circuit.disconnect.as_ref().filter(|disconnect| !supplies && disconnect.location == "at the machine");
        let local = local.and_then(|disconnect| local_isolator(&disconnect.part, tools.catalogue));
        checks.extend(local.map(|clamp| of(run, clamp, &format!("{name}, local isolator"))));
    }
    checks
}

/// The devices to which wires of the panel go from the terminals of a run: relays and contactors; before several motors the contactors
/// carry the current of all, and the wires to them are thicker.
fn behind_terminals(case: &Case, assembly: &Assembly<'_>) -> Option<Clamp> {
    let all = electronics(assembly).is_none() || assembly.arrangement.runs == Runs::SixLeads;
    let behind = |role: &str| all || !BEFORE_ELECTRONICS.contains(&role);
    let relays = relays(assembly.relays.iter().filter(|relay| behind(relay.place.role)));
    let contactors = contactors(assembly.contactors.iter().filter(|contactor| case.motors == 1 && behind(contactor.role.name)));
    tightest(relays.into_iter().chain(contactors))
}

/// The wire of the panel between a terminal and the device behind it: the largest that the terminal takes against the smallest that the
/// device clamps. A frame that is far too large for its motor has terminals that hold no such wire.
fn panel_wire(terminal_mm2: f64, device: Clamp, subject: &str) -> Option<Check> {
    let wire = at_least("terminals", terminal_mm2, device.min_mm2, "mm²", REFERENCE);
    (wire.passed == Some(false)).then(|| wire.about(format!("{subject}, panel wire")))
}

/// Checks the terminals at both ends of every run.
pub(super) fn check(case: &Case, assembly: &Assembly<'_>, tools: &Tools<'_>, circuit: &mut Circuit, record: &mut Record) {
    let book = tools.book;
    circuit.checks.extend(checks(case, assembly, tools, circuit));
    if let Some(run) = circuit.runs.iter().find(|run| run.material == "aluminium") {
        let subject = format!("{} run", words::brief(Units::of(book.key()), &run.role));
        record.find(aluminium_ends(&codes::C615_ALUMINIUM, &subject, book).at(case.place.clone()));
    }
    for run in circuit.runs.iter().filter(|run| run.role != SUPPLY) {
        if let Some(size) = carrying(run, book) {
            record.find(enlarged(case, run, size, Units::of(book.key())));
        }
    }
}

/// Aluminium conductors at terminals: no catalogue says for which materials they are made.
pub(crate) fn aluminium_ends(code: &'static Code, subject: &str, book: &dyn RuleBook) -> Finding {
    let units = Units::of(book.key());
    let aluminium = words::brief(units, "aluminium");
    Finding::new(
        code,
        format!("{subject}: conductors of {aluminium} at terminals of which the catalogue does not say that they are made for {aluminium}"),
    )
    .why("in a terminal that is not, the joint loosens, corrodes and overheats")
    .cure(units.pick(
        "see that the makers admit aluminium at both ends, or end the conductors in lugs that are made for both metals",
        "see that the terminals at both ends are marked for aluminum (AL or AL-CU), or use connectors listed for both metals",
    ))
    .reference(book.clause(Topic::TerminalMaterial))
}

/// The largest conductor against the clamp, and the smallest where that fails.
fn of(run: &Run, clamp: Clamp, subject: &str) -> Check {
    let largest = at_most("terminals", run.phase_area_mm2, clamp.max_mm2, "mm²", REFERENCE);
    let smallest = at_least("terminals", run.phase_area_mm2, clamp.min_mm2, "mm²", REFERENCE);
    let uncounted = run.per_phase > 1 && clamp.conductors.is_none_or(|most| most < run.per_phase);
    let check = match (largest.passed, smallest.passed) {
        (Some(true), Some(true)) if uncounted => {
            not_checked("terminals", "mm²", "the catalogue does not say that a terminal takes so many conductors", REFERENCE)
        }
        (Some(true), Some(false)) => smallest,
        _ => largest,
    };
    check.about(subject)
}

/// A run against terminals with a clamping range in mm², which take so many conductors each where the catalogue says so. What is too thin
/// for them is another check than what is too thick.
pub(crate) fn of_range(run: &Run, [min_mm2, max_mm2]: [f64; 2], conductors: Option<u32>) -> Check {
    if fits(run.phase_area_mm2, max_mm2) && !fits(min_mm2, run.phase_area_mm2) {
        return at_most("terminals-smallest", min_mm2, run.phase_area_mm2, "mm²", REFERENCE);
    }
    of(run, Clamp { min_mm2, max_mm2, conductors }, "")
}

/// The cure that spares a larger conductor where the protective device would not see a fault at its end.
const DISCONNECTION_CURE: &str = "a device that clears a smaller fault current (a lower magnetic trip, a fuse, a residual-current device) may let a smaller cable do; else ask for a larger terminal box, or end the run in a box near the motor and go on with a short smaller cable";

/// Conductors of a size as the criteria name them, `2x 300 kcmil`: how many in parallel, and the size of each in mm².
fn read_size(text: &str, book: &dyn RuleBook) -> Option<(u32, f64)> {
    let (parallel, size) = match text.split_once("x ") {
        Some((count, size)) => (count.trim().parse().ok()?, size),
        None => (1, text),
    };
    Some((parallel, book.size_of(size)?))
}

/// The smallest conductors that meet everything but the length, where the length governs: the current in the run and at its ends, the
/// device against overload, the smallest size.
fn carrying<'r>(run: &'r Run, book: &dyn RuleBook) -> Option<&'r str> {
    const OF_LENGTH: &[&str] = &[
        "running-voltage-drop",
        "starting-voltage-drop",
        "disconnection",
        "fault-withstand, far end",
        "fault-withstand, protective conductor",
    ];
    if !OF_LENGTH.contains(&run.governed_by.as_str()) {
        return None;
    }
    let rest = run.criteria.iter().filter(|size| !OF_LENGTH.contains(&size.criterion.as_str()));
    let sizes = rest.filter_map(|size| Some((size.size.as_str(), read_size(&size.size, book)?)));
    let (text, needed) = sizes.max_by(|(_, a), (_, b)| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)))?;
    (needed != (run.per_phase, run.phase_area_mm2)).then_some(text)
}

fn enlarged(case: &Case, run: &Run, size: &str, units: Units) -> Finding {
    let show = |size: &str| size.replace("mm2", "mm²").replace("x ", " × ");
    let beside = if run.per_phase > 1 { format!("{} × ", run.per_phase) } else { String::new() };
    Finding::new(
        &codes::C609_ENLARGED,
        format!(
            "{} run: {beside}{} for its length ({}), where {} carries the current",
            words::brief(units, &run.role),
            show(&run.phase_size),
            words::brief(units, &run.governed_by),
            show(size)
        ),
    )
    .at(case.place.clone())
    .why("the motor's terminals, its box and its gland are made for conductors of its current")
    .cure(match run.governed_by.as_str() {
        "disconnection" => DISCONNECTION_CURE,
        _ => units.pick(
            "ask for a larger terminal box, or end the run in a box near the motor and go on with a short smaller cable that carries the current",
            "ask for a larger terminal box, or end the run in a junction box near the motor and go on with a short smaller conductor that carries the current",
        ),
    })
}
