//! A switch at the head of a board: the first of the catalogue that carries the demand and what the device before it lets flow, breaks
//! the largest motor stalled, and stands a fault.

use crate::catalogue::{Disconnect, SwitchDisconnector};
use crate::design::{Check, Part};
use crate::finding::{Finding, codes};
use crate::network::feeders::voltage;
use crate::network::incoming::{Incoming, Place, SUBJECT, find, nothing, say_memory};
use crate::quantity::{Amperes, round_to};
use crate::record::Record;
use crate::rules::incoming::{SwitchAsk, SwitchDemand, SwitchHorsepower};
use crate::rules::units::Units;
use crate::rules::words;
use crate::sizing::Tools;
use crate::sizing::judge::{self, Verdict, at_most, not_checked};

/// Fuses for which a conditional short-circuit current is declared, by book.
const OF_SWITCH_DISCONNECTORS: &str = "gG";
const OF_DISCONNECTS: &str = "class-J";

/// A switch that may be chosen.
#[derive(Clone, Copy)]
enum Candidate<'a> {
    Panel(&'a SwitchDisconnector),
    /// In an enclosure of its own, rated in horsepower.
    Enclosed(&'a Disconnect),
}

impl Candidate<'_> {
    /// Current that it carries for any time.
    fn rating(self) -> f64 {
        match self {
            Self::Panel(switch) => switch.rating_a,
            Self::Enclosed(disconnect) => disconnect.rating_a,
        }
    }

    /// Current that it switches in a category at a voltage.
    fn operational(self, category: &str, volts: f64) -> f64 {
        match self {
            Self::Panel(switch) => switch.rated(category, volts).unwrap_or(0.0),
            Self::Enclosed(disconnect) => disconnect.rating_a,
        }
    }

    fn part(self) -> (String, Part) {
        let (part, description) = match self {
            Self::Panel(switch) => (&switch.part, &switch.description),
            Self::Enclosed(disconnect) => (&disconnect.part, &disconnect.description),
        };
        (part.clone(), Part::pieces(part, description, 1.0))
    }
}

/// Switches that can be locked open, with so many poles. On a board with one phase a third pole stays without use, where none has
/// two.
fn candidates<'a>(place: &Place<'_>, tools: &Tools<'a>, volts: f64) -> Vec<Candidate<'a>> {
    let poles = place.poles.poles;
    let catalogue = tools.catalogue;
    let panel = |poles: u32| catalogue.switch_disconnectors_of(poles).filter(|switch| switch.lockable).map(Candidate::Panel);
    let mut all: Vec<Candidate<'a>> = panel(poles).collect();
    if all.is_empty() && poles == 2 {
        all.extend(panel(3));
    }
    let enclosed = catalogue.disconnects_of(poles).filter(|disconnect| disconnect.lockable && volts <= disconnect.max_voltage_v);
    all.extend(enclosed.map(Candidate::Enclosed));
    all
}

/// Chooses the switch and writes it down.
pub(super) fn choose(place: &Place<'_>, tools: &Tools<'_>, found: &mut Incoming, record: &mut Record) {
    let volts = voltage(place.ask.node, tools);
    let ask = SwitchAsk {
        items: &place.items,
        wanted: place.wanted,
        stalled: place.stalled,
        phases: place.ask.node.phases,
        voltage: volts,
    };
    let demand = tools.book.incoming_switch(&ask, record);
    found.category = demand.category;
    let judged = |candidate: Candidate<'_>, record: &mut Record| {
        let checks = judged(candidate, place, &demand, volts.0, tools, record);
        checks.into_iter().map(|check| check.about(SUBJECT)).collect::<Vec<_>>()
    };
    let all = candidates(place, tools, volts.0);
    let choice = judge::choose(all.iter().copied(), |candidate| Verdict { checks: judged(*candidate, &mut Record::silent()) });
    say_memory(place, tools, record);
    let Some((candidate, _)) = choice.chosen else {
        let word = words::of_book(tools.book, super::SWITCH);
        let kind = if demand.category.starts_with("AC") { format!("{word} in {}", demand.category) } else { word };
        let kind = format!("{kind} with {} poles", place.poles.poles);
        nothing(place, &kind, choice.rejected.map(|(_, verdict)| verdict), tools, record);
        return;
    };
    found.checks = judged(candidate, record);
    found.rating = Some(Amperes(candidate.rating()));
    if let Some((_, verdict)) = choice.rejected {
        say_enlarged_for_faults(place, candidate.rating(), &demand, &verdict, tools, record);
    }
    let (part, bought) = candidate.part();
    (found.part, found.parts) = (part, vec![bought]);
    match candidate {
        Candidate::Panel(row) => {
            found.terminals = Some(([row.terminal_min_mm2, row.terminal_max_mm2], Some(row.terminal_conductors)));
            (found.short_time_ka, found.making_ka) = (Some(row.short_time_ka), Some(row.making_ka));
            let rated = Amperes(candidate.operational(demand.category, volts.0));
            found.breaking = tools.book.switch_breaking(demand.category, rated, &mut Record::silent());
        }
        Candidate::Enclosed(row) => {
            found.terminals = Some(([row.terminal_min_mm2, row.terminal_max_mm2], None));
            found.apart = true;
            found.horsepower = row.horsepower(place.ask.node.phases, volts.0);
            let what = format!(
                "board {}: the main disconnect switch {} stands in an enclosure of its own ({}), beside the board",
                place.ask.node.name, row.part, row.enclosure
            );
            let finding = Finding::new(&codes::B334_INCOMING, what)
                .why("the catalogue has no switches to be built into boards; its width and heat are not those of the board")
                .cure("choose the type of enclosure for where it stands");
            find(&place.ask, finding, record);
        }
    }
}

/// A switch may be many times the demand because it stands alone against a fault: said, with what would let a smaller one do.
fn say_enlarged_for_faults(
    place: &Place<'_>,
    rating_a: f64,
    demand: &SwitchDemand,
    next_smaller: &Verdict,
    tools: &Tools<'_>,
    record: &mut Record,
) {
    let failed = || next_smaller.checks.iter().filter(|check| check.passed == Some(false));
    let by_fault = |check: &&Check| matches!(check.name.as_str(), "short-time-current" | "making-capacity");
    let Some(check) = failed().find(by_fault).filter(|_| failed().all(|check| by_fault(&check))) else { return };
    let what = format!(
        "the incoming switch of board {} is one of {rating_a} A for {} A: the next smaller one does not stand the fault ({})",
        place.ask.node.name,
        round_to(demand.current.0, 1),
        judge::sentence(check, Units::of(tools.book.key()))
    );
    let finding = Finding::new(&codes::B334_INCOMING, what)
        .why("without a fuse that limits the fault before it, a switch stands what flows for a second")
        .cure(format!(
            "nothing; or {OF_SWITCH_DISCONNECTORS} fuses before the board, behind which a smaller one is declared: protection_kind = \"{OF_SWITCH_DISCONNECTORS}\" in [design] makes them the devices of feeders, and protection_kind of a board keeps the kind of its circuits"
        ))
        .reference(tools.book.switch_withstand());
    find(&place.ask, finding, record);
}

fn judged(
    candidate: Candidate<'_>,
    place: &Place<'_>,
    demand: &SwitchDemand,
    volts: f64,
    tools: &Tools<'_>,
    record: &mut Record,
) -> Vec<Check> {
    let rated = candidate.operational(demand.category, volts);
    let mut checks = vec![at_most("disconnect-rating", demand.current.0, rated, "A", demand.reference)];
    match demand.horsepower {
        SwitchHorsepower::AtLeast(horsepower) => {
            let has = if let Candidate::Enclosed(row) = candidate { row.horsepower(place.ask.node.phases, volts) } else { None };
            checks.push(at_most("disconnect-horsepower", horsepower, has.unwrap_or(0.0), "hp", demand.reference));
        }
        SwitchHorsepower::Unknown(because) => {
            checks.push(not_checked("disconnect-horsepower", "hp", because, demand.reference));
        }
        SwitchHorsepower::None => {}
    }
    // The switch has no overload protection: what the device before it lets flow for hours, it must carry.
    let before = tools.book.before_switch();
    checks.push(match place.before {
        Some(device) => at_most("device-before", device.rating.0, candidate.rating(), "A", before),
        None => not_checked("device-before", "A", "nobody states the device before the board", before),
    });
    if let Some((breaks, clause)) = demand.breaks {
        let most = tools.book.switch_breaking(demand.category, Amperes(rated), record).unwrap_or_default();
        checks.push(at_most("stalled-motor", breaks.0, most.0, "A", clause));
    }
    checks.extend(short_circuit(candidate, place, tools));
    checks
}

/// Demand of a fault at the board on the switch: behind a fuse that it is declared with, that its conditional current is not
/// exceeded; else that it stands the current for a second, and its peak when it closes on the fault.
fn short_circuit(candidate: Candidate<'_>, place: &Place<'_>, tools: &Tools<'_>) -> Vec<Check> {
    let clause = tools.book.switch_withstand();
    let behind =
        |kind: &str, most: f64| place.before.is_some_and(|device| device.kind == kind && device.rating.fits(Amperes(most)));
    let name = "conditional-short-circuit-current";
    let Some(fault) = place.level.largest else {
        return vec![not_checked("short-time-current", "kA", "the largest fault current of the board is unknown", clause)];
    };
    let fault = fault.0 / 1000.0;
    match candidate {
        Candidate::Enclosed(row) if behind(OF_DISCONNECTS, row.rating_a) => {
            vec![at_most(name, fault, row.short_circuit_rating_ka, "kA", clause)]
        }
        Candidate::Enclosed(_) => {
            let because = "the catalogue states its short-circuit current rating behind Class J fuses of its own rating only";
            vec![not_checked("short-circuit-rating", "kA", because, clause)]
        }
        Candidate::Panel(row) => {
            let conditional = at_most(name, fault, row.conditional_ka, "kA", clause);
            if behind(OF_SWITCH_DISCONNECTORS, row.max_fuse_a) && conditional.passed == Some(true) {
                return vec![conditional];
            }
            let peak = match place.level.peak {
                Some(peak) => at_most("making-capacity", peak.0 / 1000.0, row.making_ka, "kA", clause),
                None => not_checked("making-capacity", "kA", "the peak of the fault current is unknown", clause),
            };
            vec![at_most("short-time-current", fault, row.short_time_ka, "kA", clause), peak]
        }
    }
}
