//! Dips: the largest start worked again by itself, as two impedances in a row, and once more with all that runs gathered at the board that
//! dips. The result of the network lies between.

use std::collections::BTreeSet;

use crate::basis::BoardBasis;
use crate::basis::{SourceBasis, TransformerBasis};
use crate::design::{Circuit, Design, StartDip};
use crate::finding::codes;
use crate::quantity::{Impedance, Ohms, fits};
use crate::rules::physics::fault::figure;
use crate::rules::physics::loading::load_figure;
use crate::rules::physics::nominal::voltage_limit;
use crate::rules::physics::phasor::Phasor;
use crate::verify::boards::loads::Load;
use crate::verify::boards::tree::{Before, Place};
use crate::verify::boards::{Boards, Say, feeders, near};

/// The feed of boards of which nobody knows what feeds them.
const UNKNOWN: &str = "an unknown feed";

pub(super) fn agree(all: &Boards<'_>, index: usize, say: Say<'_>) {
    let board = all.tree.places[index].board;
    let first = board.dips.iter().find(|dip| dip.usual).map(|dip| dip.dip_pct);
    if board.start_dip_pct != first {
        say(
            &codes::V857_BOARD_DIP,
            format!("a dip of {:?} % is told, that of its usual feed is {first:?} %", board.start_dip_pct),
        );
    }
    if board.dips.iter().filter(|dip| dip.usual).count() > 1 {
        say(&codes::V857_BOARD_DIP, "more than one feed is said to be the usual one".to_owned());
    }
    for dip in &board.dips {
        let by_difference = near(dip.dip_pct, dip.before_pct - dip.during_pct, 2e-4);
        if !by_difference || dip.tag != board.largest_start_tag || dip.terminals_dip_pct.is_some_and(|pct| pct < -1e-3) {
            say(
                &codes::V857_BOARD_DIP,
                format!("{dip:?} does not say the difference of two voltages while {:?} starts", board.largest_start_tag),
            );
        }
        if dip.terminals_dip_pct.is_some() && !all.known_cables.contains(dip.tag.as_str()) {
            say(
                &codes::V857_BOARD_DIP,
                format!("a dip of {:?} % at the terminals of {} is told, whose cable is unknown", dip.terminals_dip_pct, dip.tag),
            );
        }
        at_terminals(all, index, dip, say);
        by_itself(all, index, dip, say);
        limit(all, index, dip, say);
        weak(all, index, dip, say);
    }
}

/// What starts largest here tells the drop at its terminals behind the feed where it is most, and not less than its board tells of any.
fn at_terminals(all: &Boards<'_>, index: usize, dip: &StartDip, say: Say<'_>) {
    let started_here = starting(all, index, dip).filter(|(at, _)| *at == index);
    let Some((told_pct, (_, load))) = dip.terminals_dip_pct.zip(started_here) else { return };
    let of_circuit = load.circuit().start_voltage.as_ref().map(|start| start.drop_pct);
    if !of_circuit.is_some_and(|drop_pct| fits(told_pct, drop_pct + 2e-3)) {
        let what = format!("{} takes {told_pct} % of the voltage at its terminals; its circuit tells {of_circuit:?} %", dip.tag);
        say(&codes::V857_BOARD_DIP, what);
    }
}

/// The terminals of a motor lose at least what its own board loses: beyond the limit its row says so, whatever its cable.
fn weak(all: &Boards<'_>, index: usize, dip: &StartDip, say: Say<'_>) {
    let limit = all.basis.design.starting_drop_pct.unwrap_or(all.book.defaults().starting_drop_pct);
    let told = |load: &Load<'_>| load.facts.told(codes::C324_START_VOLTAGE.code);
    let started_here = starting(all, index, dip).filter(|(at, _)| *at == index);
    if started_here.is_some_and(|(_, load)| !fits(dip.dip_pct, limit) && !told(load)) {
        let what =
            format!("{} dips its board by {} %, more than the {limit} % of a start, and does not say so", dip.tag, dip.dip_pct);
        say(&codes::V857_BOARD_DIP, what);
    }
}

/// Tags of circuits whose runs between the board and the machine that starts have impedances.
pub(super) fn known_cables(design: &Design) -> BTreeSet<&str> {
    let known = |circuit: &&Circuit| {
        let mut runs = circuit.runs.iter().filter(|run| matches!(run.role.as_str(), "supply" | "motor")).peekable();
        runs.peek().is_some() && runs.all(|run| run.resistance_ohm.is_some() && run.reactance_ohm.is_some())
    };
    design.circuits.iter().filter(known).map(|circuit| circuit.tag.as_str()).collect()
}

fn limit(all: &Boards<'_>, index: usize, dip: &StartDip, say: Say<'_>) {
    let Some(limit) = all.basis.starting.direct_limit_dip_pct else { return };
    let subject = format!("start of {}, fed by {}", dip.tag, dip.feed);
    let checked = all.tree.places[index].board.checks.iter().any(|check| {
        check.name == "start-dip"
            && check.subject == subject
            && check.limit == Some(limit)
            && check.value.is_some_and(|value| near(value, dip.dip_pct, 2e-4))
    });
    if !checked {
        say(&codes::V802_CHECK_MISSING, format!("check start-dip {subject} is missing, or was made with other figures"));
    }
}

fn quotient(one: Phasor, other: Phasor) -> Phasor {
    let square = other.re * other.re + other.im * other.im;
    one * other.conjugate() * (1.0 / square)
}

/// The dip without anything else is the least, but for what the lower voltage before it takes off; with all that runs gathered where it
/// dips, as constant power, it is the most.
fn by_itself(all: &Boards<'_>, index: usize, dip: &StartDip, say: Say<'_>) {
    let Some((source, start)) = two_ports(all, index, dip) else { return };
    let alone = 100.0 * (1.0 - quotient(start, source + start).magnitude());
    // Capacitors may lift the voltage above the nominal one, and the dip is no deeper for it.
    let before = (dip.before_pct / 100.0).min(1.0);
    let least = 0.9 * alone * before * before;
    let most = gathered(all, index, source, start).map(|gathered| 1.5 * gathered + 0.1);
    let so = dip.dip_pct >= least - 1e-3 && most.is_none_or(|most| dip.dip_pct <= most);
    if !so {
        say(
            &codes::V857_BOARD_DIP,
            format!(
                "a dip of {} % is told while {} starts; alone it is {alone:.3} %, with all that runs at most {most:?} %",
                dip.dip_pct, dip.tag
            ),
        );
    }
}

/// Dip in per cent with all that runs drawn at the board, at its power whatever the voltage; none where no voltage holds.
fn gathered(all: &Boards<'_>, index: usize, source: Phasor, start: Phasor) -> Option<f64> {
    const ROUNDS: u32 = 60;
    let volts = all.tree.places[index].board.voltage_v;
    // The deepest dip counts where phases carry unequal currents.
    if all.tree.places.iter().any(|place| place.board.unbalance_pct > 1.0) {
        return None;
    }
    // One feed may feed several first boards: all that runs anywhere.
    let places = || all.tree.places.iter().enumerate();
    let there = places().fold(Phasor::ZERO, |sum, (_, place)| {
        let amperes = place.basis.and_then(|board| board.existing_load_a).unwrap_or(0.0);
        sum + Phasor::new(3f64.sqrt() * place.board.voltage_v * amperes, 0.0)
    });
    let first = places().filter(|(board, _)| all.tree.parent(*board).is_none()).map(|(_, place)| place.board);
    let running =
        first.fold(there, |sum, board| sum + Phasor::new(board.running_kw * 1000.0, board.running_kvar.max(0.0) * 1000.0));
    // Everything in parts of the nominal voltage: a power of all phases over its square is an admittance.
    let taken = running * (1.0 / (volts * volts));
    let voltage = |admittance: Phasor| {
        let mut voltage = Phasor::ONE;
        for _ in 0..ROUNDS {
            let current = quotient(taken, voltage).conjugate() + admittance * voltage;
            let next = Phasor::ONE + source * current * -1.0;
            voltage = (voltage + next) * 0.5;
        }
        let current = quotient(taken, voltage).conjugate() + admittance * voltage;
        let rest = (voltage + source * current + Phasor::ONE * -1.0).magnitude();
        (voltage.is_finite() && rest < 1e-6).then(|| voltage.magnitude())
    };
    let one = quotient(Phasor::ONE, start);
    Some(100.0 * (voltage(Phasor::ZERO)? - voltage(one)?))
}

/// Impedance of the way up to a board, and from there through what starts, ohms a phase at the voltage of the board.
fn two_ports(all: &Boards<'_>, index: usize, dip: &StartDip) -> Option<(Phasor, Phasor)> {
    let (at, load) = starting(all, index, dip)?;
    if load.single() || all.tree.way(at).iter().any(|way| all.tree.phases(*way) == 1) {
        return None;
    }
    let volts = all.tree.places[at].board.voltage_v;
    let amperes = load.start()?;
    // The start as an impedance, which draws less of a lower voltage.
    let rated = load.facts.volts() / (3f64.sqrt() * amperes);
    let of_start = Impedance::from_magnitude(Ohms(rated), load.facts.start.power_factor.value);
    let cable = load.circuit().runs.iter().filter(|run| ["supply", "motor"].contains(&run.role.as_str()));
    // Runs to several motors lie in parallel.
    let each = |run: &crate::design::Run, ohms: f64| ohms / f64::from(run.count.max(1));
    let cable = cable.map(|run| Some((each(run, run.resistance_ohm?), each(run, run.reactance_ohm?))));
    let cable = cable.collect::<Option<Vec<_>>>().unwrap_or_default();
    let cable = cable.iter().fold(Phasor::ZERO, |sum, (r, x)| sum + Phasor::new(*r, *x));
    let own_volts = all.tree.places[index].board.voltage_v;
    let referred = |phasor: Phasor, volts: f64| phasor * ((own_volts / volts) * (own_volts / volts));
    let way = all.tree.way(at);
    let end = way.iter().position(|way| *way == index)?;
    let mut start = referred(Phasor::from(of_start) + cable, volts);
    for way in &way[..end] {
        start += referred(stretch(all, *way)?, all.tree.places[*way].board.voltage_v);
    }
    // Where the way is not known as a whole, a stated fault current stands for what is before.
    if dip.feed == UNKNOWN {
        return None;
    }
    let mut source = Phasor::ZERO;
    let mut stretches: Vec<(usize, Phasor)> = Vec::new();
    for way in &way[end..] {
        let place = &all.tree.places[*way];
        let board = place.board.voltage_v;
        // Without a name it is `source 1`.
        let feeds = |source: usize| {
            let name = all.basis.source_name(source);
            !dip.usual && (name == dip.feed || dip.feed == format!("source {name}"))
        };
        let instead = all.basis.sources.iter().enumerate().find_map(|(index, source)| feeds(index).then_some(source));
        let stands_in = instead.filter(|source| connected(all, *way, source));
        if let Some(generator) = stands_in {
            source += referred(of_generator(generator, board)?, board);
            break;
        }
        stretches.push((*way, referred(stretch(all, *way)?, board)));
        match place.before {
            Before::Board(_) => {}
            Before::Source(source_basis) => {
                source += referred(of_generator(source_basis, board)?, board);
            }
            // Nobody says what stands before it; a fault current that is stated for it stands for that.
            Before::Supply if all.tree.before_transformers(*way) || of_another_voltage(all, *way) => return None,
            Before::Supply => {
                // A statement about the supply holds behind the transformer that any of its boards has.
                let beside = |place: &Place<'_>| place.transformer.is_some() && matches!(place.before, Before::Supply);
                source += referred(of_network(all, all.tree.places.iter().any(beside), board)?, board);
            }
            Before::Unknown => return None,
        }
    }
    // From the source down: a fault current that is stated at a board counts there where the network gives more; behind what stands in,
    // nobody states one.
    for (way, stretch) in stretches.into_iter().rev() {
        source += stretch;
        if let Some(stated) =
            stated_at(all, way).filter(|_| dip.usual).map(|stated| referred(stated, all.tree.places[way].board.voltage_v))
            && stated.magnitude() > source.magnitude()
        {
            source = Phasor::new(source.re.max(stated.re), source.im.max(stated.im));
        }
    }
    Some((source, start))
}

/// Impedance of the smallest fault current that the basis states at a board itself.
fn stated_at(all: &Boards<'_>, index: usize) -> Option<Phasor> {
    let place = &all.tree.places[index];
    let board = place.basis.filter(|_| all.tree.phases(index) != 1)?;
    let of_board = [board.prospective_fault_ka, board.prospective_fault_min_ka];
    of_board.into_iter().flatten().next()?;
    // What it does not state itself is that of the supply, unless something lies between.
    let supply = &all.basis.supply;
    let inherited = if board.stands_apart() { None } else { supply.prospective_fault_min_ka };
    let least_ka = of_board[1].or(inherited).into_iter().chain(of_board[0]).filter(|ka| *ka > 0.0).reduce(f64::min)?;
    let volts = place.board.voltage_v;
    let ratio = supply.x_over_r.unwrap_or_else(|| load_figure("dip-x-over-r"));
    Some(Phasor::from(Impedance::of_ratio(Ohms(volts / (3f64.sqrt() * least_ka * 1000.0)), ratio)))
}

/// Nobody states the voltage of the supply, and not all boards on it have the voltage of this one: its fault current may be that of
/// another.
fn of_another_voltage(all: &Boards<'_>, index: usize) -> bool {
    let volts = all.tree.places[index].board.voltage_v;
    let far = |other: f64| other > 0.0 && (volts - other).abs() > voltage_limit("voltage-tolerance") * other.min(volts);
    let beside = |place: &Place<'_>| matches!(place.before, Before::Supply) && place.transformer.is_none();
    let mut others = all.tree.places.iter().filter(|place| beside(place));
    all.basis.supply.voltage_v.is_none() && others.any(|place| far(place.board.voltage_v))
}

/// The circuit that starts, and its board.
fn starting<'b>(all: &'b Boards<'_>, index: usize, dip: &StartDip) -> Option<(usize, &'b Load<'b>)> {
    let circuits = all.circuits_behind(index);
    let row = circuits.into_iter().find(|circuit| all.design.circuits[*circuit].tag == dip.tag)?;
    Some((all.board_of[row]?, all.load(row)?))
}

/// A source that stands in is connected at this board: at those that name it or, where none does, at those on the supply.
fn connected(all: &Boards<'_>, index: usize, source: &SourceBasis) -> bool {
    let names = |board: usize| all.tree.places[board].instead.iter().any(|source_basis| std::ptr::eq(*source_basis, source));
    let named = (0..all.tree.places.len()).any(names);
    if named { names(index) } else { matches!(all.tree.places[index].before, Before::Supply) }
}

/// The source that stands in, a machine or the network that the board names, is connected at this board.
pub(super) fn stands_in_at(all: &Boards<'_>, index: usize) -> bool {
    let named = !all.tree.places[index].instead.is_empty();
    named || all.basis.sources.iter().any(|source| source.is_machine() && connected(all, index, source))
}

/// Transformer and feeder before a board, ohms at its voltage.
fn stretch(all: &Boards<'_>, index: usize) -> Option<Phasor> {
    let place = &all.tree.places[index];
    let stated = place.basis.is_some_and(BoardBasis::describes_feeder);
    let feeder = match feeders::impedance(all, index) {
        Some(impedance) => Phasor::from(impedance.running),
        // Where nothing is said of a feeder the board stands where its supply or its transformer ends.
        None if stated || all.tree.parent(index).is_some() && place.transformer.is_none() => return None,
        None => Phasor::ZERO,
    };
    let transformer = match place.transformer {
        Some(transformer) => of_transformer(transformer, place.board.voltage_v)?,
        None => Phasor::ZERO,
    };
    Some(feeder + transformer)
}

fn of_transformer(transformer: &TransformerBasis, volts: f64) -> Option<Phasor> {
    let (kva, pct) =
        (transformer.kva.filter(|kva| *kva > 0.0)?, transformer.impedance_pct.filter(|impedance_pct| *impedance_pct > 0.0)?);
    let volts = transformer.secondary_voltage_v.unwrap_or(volts);
    let base = volts * volts / (kva * 1000.0);
    let magnitude = pct / 100.0 * base;
    let of_ratio = |ratio: f64| Phasor::from(Impedance::of_ratio(Ohms(magnitude), ratio));
    Some(match transformer.load_loss_kw {
        Some(loss) => {
            let r = loss / kva * base;
            // A loss above what the impedance admits is no loss of this transformer, which a finding tells.
            if r > magnitude {
                return None;
            }
            Phasor::new(r, (magnitude * magnitude - r * r).sqrt())
        }
        None => of_ratio(figure("transformer-x-over-r-least")),
    })
}

fn of_generator(source: &SourceBasis, volts: f64) -> Option<Phasor> {
    let (kva, pct) = (
        source.kva.filter(|kva| *kva > 0.0)?,
        source.subtransient_reactance_pct.filter(|subtransient_reactance_pct| *subtransient_reactance_pct > 0.0)?,
    );
    Some(Phasor::new(0.0, pct / 100.0 * volts * volts / (kva * 1000.0)))
}

/// The network in front at a voltage, by its smallest fault level; with the transformer of the supply where no other stands behind it.
fn of_network(all: &Boards<'_>, transformed: bool, volts: f64) -> Option<Phasor> {
    let supply = &all.basis.supply;
    let of_ratio = |ohms: f64, ratio: f64| Phasor::from(Impedance::of_ratio(Ohms(ohms), ratio));
    let named = !transformed && supply.transformer_kva.or(supply.transformer_impedance_pct).is_some();
    let stated_whole = |(kva, pct): &(f64, f64)| named && *kva > 0.0 && *pct > 0.0;
    let phasor = supply.transformer_kva.zip(supply.transformer_impedance_pct).filter(stated_whole).map(|(kva, pct)| {
        let ratio = supply.x_over_r.unwrap_or_else(|| figure("transformer-x-over-r-least"));
        of_ratio(pct / 100.0 * volts * volts / (kva * 1000.0), ratio)
    });
    let stated = supply
        .prospective_fault_min_ka
        .or(supply.prospective_fault_ka)
        .filter(|prospective_fault_min_ka| *prospective_fault_min_ka > 0.0);
    let network = supply.upstream_fault_min_mva.or(supply.upstream_fault_mva).map(|mva| {
        let ratio = supply.upstream_x_over_r.unwrap_or_else(|| 1.0 / figure("network-r-over-x"));
        of_ratio(volts * volts / (mva * 1e6), ratio)
    });
    match (network, phasor, stated) {
        (Some(network), Some(phasor), _) => Some(network + phasor),
        (Some(network), None, _) if !named => Some(network),
        (_, _, Some(ka)) if !transformed => {
            let ratio = supply.x_over_r.unwrap_or_else(|| load_figure("dip-x-over-r"));
            Some(of_ratio(volts / (3f64.sqrt() * ka * 1000.0), ratio))
        }
        (None, Some(phasor), _) => Some(phasor),
        (None, None, _) if transformed => Some(Phasor::ZERO),
        _ => None,
    }
}
