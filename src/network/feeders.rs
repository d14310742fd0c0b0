//! The feeder of a board: what its conductors must carry, its device, and the conductors that hold.
//!
//! [`items`] counts what every row adds; [`device`] chooses the device, [`stated`] reads conductors of others, [`run`] chooses or judges
//! the conductors behind the device. [`transformer`] looks at the transformer before a board, [`selectivity`] at the devices behind
//! one when these are known. Taps (240.21(B) of NFPA 70) are not covered: every feeder begins with a device of its own.

use crate::basis::BoardBasis;
use crate::conductors::pair_is_to_neutral;
use crate::design::{Check, Part, Run, WorkingLine};
use crate::finding::{Finding, Place, codes};
use crate::load::ProtectionKind;
use crate::network::connected::Connected;
use crate::network::demand::Demand;
use crate::network::faults::FaultLevel;
use crate::network::faults::one_phase::is_to_neutral;
use crate::network::incoming;
use crate::network::phases::Connection;
use crate::network::tree::{Node, Parent, Tree};
use crate::quantity::{Amperes, Seconds, Volts, round_to};
use crate::record::Record;
use crate::rules::feeders::{self as formulas, FeederBounds, FeederNeed};
use crate::rules::{Leaning, RuleBook};
use crate::sizing::judge::{at_least, at_most, of_limit, sentence};
use crate::sizing::materials::of_way;
use crate::sizing::{Tools, memory};

pub mod device;
pub mod items;
pub mod run;
pub mod selectivity;
pub mod stated;
pub mod transformer;

pub use crate::rules::feeders::FeederImpedance;
use items::{Counted, Items};

/// A feeder as chosen or stated.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Feeder {
    /// Smallest capacity of its conductors by the rules, without the spare that is wanted.
    pub minimum: Amperes,
    /// Largest rating of its device.
    pub protection_maximum: Option<Amperes>,
    /// Its device: rated current.
    pub protection: Amperes,
    /// The device with its settings; none where nothing could be chosen.
    pub device: Option<device::FeederDevice>,
    /// Conductor in words.
    pub conductor: String,
    /// The run; none where impedances are stated or no conductor is asked for.
    pub run: Option<Run>,
    /// Impedances; none where length or conductor is unknown: the board's fault currents are unknown then.
    pub impedance: Option<FeederImpedance>,
    /// Voltage drop from the origin to the board, along all feeders, per cent; none if unknown.
    pub drop_pct: Option<f64>,
    /// Capacity left over what is needed, per cent; none without a conductor.
    pub spare_pct: Option<f64>,
    /// Parts of the catalogue.
    pub parts: Vec<Part>,
    /// Checks.
    pub checks: Vec<Check>,
    /// Working.
    pub working: Vec<WorkingLine>,
    /// Findings.
    pub findings: Vec<Finding>,
}

/// The place where a feeder begins: at the board that feeds it, or at the secondary of its transformer.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Origin {
    /// Fault currents there.
    pub level: FaultLevel,
    /// Voltage drop up to there, along the feeders, per cent; none if unknown.
    pub drop_pct: Option<f64>,
}

/// All that feeders are chosen from.
#[derive(Clone, Copy, Debug)]
pub struct Boards<'a> {
    /// The boards.
    pub tree: &'a Tree,
    /// The rows.
    pub rows: &'a [Connected],
    /// How each row counts, in the order of `rows`.
    pub counted: &'a [Counted],
    /// Circuits of each set that run together at most.
    pub sets: &'a [u32],
    /// Where each board of one phase stands on what feeds it, in the order of the tree.
    pub connections: &'a [Option<Connection>],
    /// Demand of each board, in the order of the tree.
    pub demands: &'a [Demand],
    /// File of the basis, for the places of findings.
    pub basis_file: Option<&'a str>,
}

/// One feeder to be chosen.
pub(crate) struct Ask<'a> {
    pub(crate) node: &'a Node,
    pub(crate) board: Option<&'a BoardBasis>,
    pub(crate) demand: &'a Demand,
    /// Something feeds the board that the basis names, or a key of its feeder is stated: a conductor is asked for.
    pub(crate) wanted: bool,
    /// A neutral runs with the phases.
    pub(crate) neutral: bool,
    /// Drives stand behind the feeder, and no transformer between.
    pub(crate) drives: bool,
    /// A board of one phase that is fed from a line and the neutral: its voltage is that to earth.
    pub(crate) to_neutral: bool,
    /// Lines that come to the board: three, two, or one with the neutral.
    pub(crate) lines: u32,
    /// Current while the largest start happens, and its time.
    pub(crate) at_start: Option<(Amperes, Seconds)>,
    pub(crate) origin: Origin,
    pub(crate) kind: ProtectionKind,
    pub(crate) frequency_hz: f64,
    pub(crate) basis_file: Option<&'a str>,
}

impl Ask<'_> {
    /// Place of a key of the board in the basis.
    pub(crate) fn place(&self, key: &str, text: Option<&str>) -> Option<Place> {
        let heading = Some(format!("board {}: {key}", self.node.name));
        self.basis_file.map(|file| Place { heading, text: text.map(str::to_owned), ..Place::file(file) })
    }

    pub(crate) fn find(&self, key: &str, finding: Finding, record: &mut Record) {
        record.find(match self.place(key, None) {
            Some(place) => finding.at(place),
            None => finding,
        });
    }

    fn power_factor(&self, book: &dyn RuleBook) -> f64 {
        let (active, reactive) = (self.demand.demand_w, self.demand.demand_var);
        let apparent = (active * active + reactive * reactive).sqrt();
        if apparent > 0.0 { (active / apparent).clamp(0.0, 1.0) } else { book.other_power_factor() }
    }
}

/// Kind of every feeder's device, from the basis.
#[must_use]
pub fn kind(tools: &Tools<'_>) -> ProtectionKind {
    tools.book.feeder_kind(tools.basis.design.protection_kind.as_deref().and_then(ProtectionKind::from_word))
}

/// Chooses the feeder of every board, from the sources to the last boards. `origin` tells what the feeder of a board finds where it
/// begins, from the feeders before it, which are chosen by then.
pub fn choose(boards: &Boards<'_>, tools: &Tools<'_>, mut origin: impl FnMut(usize, &[Feeder]) -> Origin) -> Vec<Feeder> {
    let of_board = items::by_board(boards);
    let mut feeders: Vec<Feeder> = Vec::with_capacity(boards.tree.nodes.len());
    for index in 0..boards.tree.nodes.len() {
        let origin = origin(index, &feeders);
        let items = items::of(boards, &of_board, index, tools);
        feeders.push(one(boards, index, &items, origin, tools));
    }
    feeders
}

/// The demand on the feeder of a board, or on the device at its head.
pub(super) fn ask<'a>(
    boards: &Boards<'a>,
    index: usize,
    items: &Items,
    demand: &'a Demand,
    origin: Origin,
    tools: &Tools<'a>,
    record: &mut Record,
) -> Ask<'a> {
    let node = &boards.tree.nodes[index];
    let board = node.board.and_then(|board| tools.basis.boards.get(board));
    let to_neutral = is_to_neutral(&boards.tree.nodes, index);
    Ask {
        node,
        board,
        demand,
        wanted: asks_for_conductors(node, board),
        neutral: items.neutral,
        drives: items.drives,
        to_neutral,
        lines: match node.phases {
            1 if to_neutral || pair_is_to_neutral(tools.basis, &node.name, tools.book) => 1,
            1 => 2,
            _ => 3,
        },
        at_start: at_start(boards, items, demand, record),
        origin,
        kind: kind(tools),
        frequency_hz: tools.basis.supply.frequency_hz.unwrap_or_else(|| tools.book.frequency_hz()),
        basis_file: boards.basis_file,
    }
}

fn one(boards: &Boards<'_>, index: usize, behind: &Items, origin: Origin, tools: &Tools<'_>) -> Feeder {
    let mut record = Record::new().named(tools.book.naming());
    let idle = Demand::default();
    let demand = boards.demands.get(index).unwrap_or(&idle);
    let ask = ask(boards, index, behind, demand, origin, tools, &mut record);
    say_uncounted(&ask, behind, &mut record);
    let items = behind.of_fullest_phase(tools.book);
    let need = tools.book.feeder_need(&items, demand.demand, &mut record);
    if need.capacity.0.is_nan() || need.capacity.0 <= 0.0 {
        let counts = boards.rows.iter().any(|row| row.node == index && row.may_run());
        if counts && ask.wanted {
            let what = format!(
                "no load of board {} counts in its sums: neither device nor conductors of its feeder are chosen",
                ask.node.name
            );
            let finding = Finding::new(&codes::B327_NOTHING_COUNTS, what);
            record.find(
                finding
                    .why("by running, groups and demand factors nothing runs on it")
                    .cure("correct running, duty_count or demand_factor of its rows, or the factors of the basis"),
            );
        }
        return nothing_to_carry(&ask, record, tools);
    }
    // A switch that the basis asks for shows what it breaks itself.
    let told = ask.board.and_then(|board| board.incoming.as_deref()) == Some(incoming::SWITCH);
    if let Some([rated, stalled]) = behind.stalled.filter(|_| tools.book.knows_machines() && !told) {
        let running = demand.running.max(demand.demand);
        record.step(&formulas::SUPPLY_SWITCH, &[running.0, stalled.0, rated.0.min(running.0)]);
    }
    let bounds = tools.book.feeder_bounds(ask.kind, &items, need.capacity, &mut record);
    let bounds = by_conductors(&ask, need.capacity, bounds, tools, &mut record);
    sized(&ask, need, bounds, tools, record)
}

/// A board that only the schedule names, or that has no feeder in the basis, stands at its supply.
fn asks_for_conductors(node: &Node, board: Option<&BoardBasis>) -> bool {
    board.is_some_and(BoardBasis::stands_apart) || matches!(node.parent, Parent::Board(_)) || node.transformer.is_some()
}

/// A board without loads: what is stated of its feeder still gives impedances to what lies behind.
fn nothing_to_carry(ask: &Ask<'_>, mut record: Record, tools: &Tools<'_>) -> Feeder {
    let mut feeder = Feeder { drop_pct: ask.origin.drop_pct, ..Feeder::default() };
    run::stated_only(ask, tools, &mut feeder, &mut record);
    finish(ask, feeder, record, tools)
}

fn sized(ask: &Ask<'_>, need: FeederNeed, bounds: FeederBounds, tools: &Tools<'_>, mut record: Record) -> Feeder {
    let mut feeder = Feeder { minimum: need.capacity, protection_maximum: bounds.most, ..Feeder::default() };
    if voltage(ask.node, tools).0 <= 0.0 {
        let what =
            format!("the voltage of board {} is unknown; device and conductor of its feeder are not chosen", ask.node.name);
        ask.find(
            "voltage_v",
            Finding::new(&codes::B318_FEEDER_VOLTAGE, what).cure("state voltage_v of the board or of [supply]"),
            &mut record,
        );
        return finish(ask, feeder, record, tools);
    }
    let spare = ask.board.and_then(|board| board.spare_pct).filter(|spare_pct| *spare_pct > 0.0);
    let wanted = spare.map_or(need.capacity, |spare| Amperes(record.step(&formulas::WITH_SPARE, &[need.capacity.0, spare])));
    if let Some(spare) = spare {
        let what = format!(
            "the feeder of board {} is sized for {} A: {} A and {spare} % spare",
            ask.node.name,
            round_to(wanted.0, 1),
            round_to(need.capacity.0, 1)
        );
        ask.find("spare_pct", Finding::new(&codes::B315_SPARE, what), &mut record);
    }
    say_readings(ask, &bounds, &mut record);
    device::choose(ask, wanted, &bounds, tools, &mut feeder, &mut record);
    run::choose(ask, wanted, &bounds, tools, &mut feeder, &mut record);
    name_way(ask, tools, &mut feeder, &mut record);
    say_leakage(ask, &feeder, tools, &mut record);
    spare_left(&need, &bounds, spare, &mut feeder, &mut record);
    if let Some(bus) = ask.board.and_then(|board| board.bus_rating_a) {
        let limit = tools.book.bus_limit(feeder.protection, Amperes(bus));
        if feeder.device.is_some() {
            feeder.checks.push(of_limit(&limit).about("device of the feeder"));
        }
        let carried = at_most("bus-rating", ask.demand.demand.0, bus, "A", limit.reference);
        feeder.checks.push(carried.about("demand of the board"));
    }
    finish(ask, feeder, record, tools)
}

/// The way of a feeder has its nameplate on the board before, whether or not anybody knows the length of its cable.
fn name_way(ask: &Ask<'_>, tools: &Tools<'_>, feeder: &mut Feeder, record: &mut Record) {
    if feeder.parts.is_empty() && feeder.run.is_none() {
        return;
    }
    let (plate, lacking) = of_way(tools.book, tools.catalogue);
    feeder.parts.extend(plate);
    if let Some(finding) = lacking {
        ask.find("fed_from", finding, record);
    }
}

/// Rounded down, the sum for motors may fall below what many small ones draw together, or below what other loads need beside a small
/// one: the device then goes by the conductors, which are chosen for it.
pub(super) fn by_conductors(
    ask: &Ask<'_>,
    need: Amperes,
    bounds: FeederBounds,
    tools: &Tools<'_>,
    record: &mut Record,
) -> FeederBounds {
    let carries = ask.demand.demand.max(bounds.carries);
    let Some(most) = bounds.most.filter(|most| bounds.motor_feeder && !carries.fits(*most)) else { return bounds };
    let Some(other) = tools.book.feeder_by_conductors(need.max(ask.demand.demand)) else { return bounds };
    record.find(
        Finding::new(
            &codes::B319_FEEDER_BY_CONDUCTORS,
            format!(
                "feeder of board {}: the sum for motors admits {} A, rounded down, which does not carry {} A; device and conductors are chosen larger",
                ask.node.name,
                most.0,
                round_to(carries.0, 1)
            ),
        )
        .why("conductors of that capacity may have a device of their own rating")
        .cure("nothing, or a device with an adjustable trip, set to the sum")
        .reference(other.reference),
    );
    other
}

fn spare_left(need: &FeederNeed, bounds: &FeederBounds, wanted: Option<f64>, feeder: &mut Feeder, record: &mut Record) {
    let Some(capacity) = feeder.run.as_ref().map(|run| run.capacity_a) else { return };
    // A device that is rated by the load's currents bounds the spare as well.
    let usable = if bounds.motor_feeder { capacity } else { capacity.min(feeder.protection.0) };
    if usable <= 0.0 {
        // No device or no conductor holds, which is told where it is chosen.
        return;
    }
    let left = record.step(&formulas::SPARE_LEFT, &[usable, need.capacity.0]);
    feeder.spare_pct = Some(left);
    feeder.checks.push(at_least("spare-capacity", left, wanted.unwrap_or(0.0), "%", "spare_pct of the basis").about("feeder"));
}

/// The current that drives let flow to earth needs a protective conductor that does not break: said where the phases do not ask
/// for one as large.
fn say_leakage(ask: &Ask<'_>, feeder: &Feeder, tools: &Tools<'_>, record: &mut Record) {
    let Some((what, clause)) = tools.book.leakage_of_drives().filter(|_| ask.drives) else { return };
    let larger = match &feeder.run {
        Some(run) => {
            let material = run::material_of(&run.material);
            let least = |leakage| tools.book.protective_minimum(run.phase_area_mm2, 1, material, None, leakage);
            least(true) == least(false)
        }
        None => feeder.protection.0 > run::CARRIED_BY_REINFORCED_A,
    };
    if larger {
        return;
    }
    let finding = Finding::new(&codes::B322_DRIVE_LEAKAGE, format!("board {}: {what}", ask.node.name))
        .why("the filter of a drive lets current flow to earth while nothing is wrong; nobody states how much, so it is taken as more than 10 mA: where the protective conductor breaks, what can be touched is live")
        .cure("lay it so from the source to the board, or a second one of the same size; a plug and socket as supply must keep it too")
        .reference(clause);
    ask.find("feeder_conductor", finding, record);
}

fn say_readings(ask: &Ask<'_>, bounds: &FeederBounds, record: &mut Record) {
    let (Some(most), Some(other)) = (bounds.most, bounds.other_reading) else { return };
    record.find(
        Finding::new(
            &codes::B309_TWO_READINGS,
            format!("the feeder of board {} may have a device of {} A; by another reading of the clause, {} A", ask.node.name, most.0, other.0),
        )
        .why("branch devices are of another kind than the feeder's: some read the clause for the branch devices as they are, some for devices of the feeder's kind")
        .cure("ask the authority having jurisdiction before the larger is used; the smaller is used here")
        .reference(bounds.reference),
    );
}

fn say_uncounted(ask: &Ask<'_>, items: &Items, record: &mut Record) {
    let Some(first) = items.unknown.first() else { return };
    let more = items.unknown.len() - 1;
    let others = if more > 0 { format!(" and {more} more") } else { String::new() };
    let what = format!("the feeder of board {} does not count {first}{others}: the current is unknown", ask.node.name);
    let finding = Finding::new(&codes::B310_NOT_ON_FEEDER, what).why("the feeder may be too small");
    ask.find("feeder", finding.cure("mend these rows, and size again"), record);
}

/// Current of the feeder while its largest start happens, all else running.
fn at_start(boards: &Boards<'_>, items: &Items, demand: &Demand, record: &mut Record) -> Option<(Amperes, Seconds)> {
    let row = demand.largest_start?;
    let (starting, term) = (boards.rows.get(row)?.starting?, boards.rows.get(row)?.term.unwrap_or_default());
    let ratio = items.ratio_of(row)?;
    // A row that only stands by starts on top of what runs.
    let runs = boards.counted.get(row).is_none_or(|counted| counted.circuits > 0);
    let rated = if runs { boards.rows.get(row)?.current.0 * ratio } else { 0.0 };
    let numbers = [demand.demand.0, starting.current.0 * ratio, rated.min(demand.demand.0)];
    Some((Amperes(record.step(&formulas::AT_START, &numbers)), term.start_time))
}

/// Failed checks become findings; steps become lines.
fn finish(ask: &Ask<'_>, mut feeder: Feeder, mut record: Record, tools: &Tools<'_>) -> Feeder {
    let units = crate::rules::units::Units::of(tools.book.key());
    for check in feeder.checks.iter().filter(|check| check.passed == Some(false)) {
        let finding =
            Finding::new(&codes::B304_FEEDER_CHECK, format!("feeder of board {}: {}", ask.node.name, sentence(check, units)))
                .cure("decide before ordering: another device, conductor or length, or data that show that the limit is kept")
                .reference(check.reference.clone());
        ask.find("feeder", finding, &mut record);
    }
    if feeder.minimum.0 > 0.0 {
        let subject = format!("the feeder of board {}", ask.node.name);
        if let Some(finding) = memory::behind(tools.book, &subject, Leaning::Feeder) {
            ask.find("feeder", finding, &mut record);
        }
    }
    let (steps, findings) = record.into_parts();
    feeder.working = steps.iter().map(Into::into).collect();
    feeder.findings = findings;
    feeder
}

/// The marked short-circuit rating of a board against the largest fault current at its bars.
#[must_use]
pub fn short_circuit_rating(board: &BoardBasis, level: &FaultLevel, book: &dyn RuleBook) -> Option<Check> {
    let rating = board.short_circuit_rating_ka?;
    let clause = book.clause(crate::rules::Topic::AssemblyRating);
    Some(
        match level.largest {
            Some(fault) => at_most("short-circuit-rating", fault.0 / 1000.0, rating, "kA", clause),
            None => crate::sizing::judge::not_checked(
                "short-circuit-rating",
                "kA",
                "the largest fault current of the board is unknown",
                clause,
            ),
        }
        .about("board"),
    )
}

/// Voltage between lines of a board; a single-phase one has its own.
pub(crate) fn voltage(node: &Node, tools: &Tools<'_>) -> Volts {
    if node.voltage.0 > 0.0 { node.voltage } else { Volts(tools.basis.supply.voltage_v.unwrap_or(0.0)) }
}

#[cfg(test)]
mod tests;
