//! Boards of one phase behind others, fed to the neutral or between two lines: what the fault currents of the board before leave over
//! the two conductors of the feeder.
//!
//! The largest current before counts as if reactance alone gave it, the smallest as if resistance alone did, so that what adds up is the
//! least there and the most here, whatever their angles are. The largest current of any kind before stands for that to the neutral.

use super::{Ask, FaultLevel};
use crate::network::phases::parent;
use crate::network::tree::Node;
use crate::quantity::{Amperes, Impedance, Ohms, Volts};
use crate::record::Record;
use crate::rules::physics::fault;
use crate::rules::physics::plausibility::plausible;

/// How a board of one phase is fed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Fed {
    ToNeutral,
    BetweenLines,
}

/// From three phases by its voltage; from one phase as that board itself. None where a transformer stands between, or where no voltage
/// tells it.
fn fed(nodes: &[Node], index: usize) -> Option<Fed> {
    let node = nodes.get(index).filter(|own| own.phases == 1 && own.transformer.is_none() && own.voltage.0 > 0.0)?;
    let before = parent(node)?;
    let line = nodes[before].voltage.0;
    let near = |volts: f64| (node.voltage.0 - volts).abs() <= plausible("voltage-tolerance") * volts;
    match nodes[before].phases {
        1 => fed(nodes, before).filter(|_| near(line)),
        _ if near(line) => Some(Fed::BetweenLines),
        _ if near(line / 3f64.sqrt()) => Some(Fed::ToNeutral),
        _ => None,
    }
}

/// A board of one phase is fed from a line and the neutral of three phases.
pub(crate) fn is_to_neutral(nodes: &[Node], index: usize) -> bool {
    fed(nodes, index) == Some(Fed::ToNeutral)
}

/// Impedance of a loop that a current before gives, all reactance or all resistance.
fn before(factor: f64, volts: Volts, amperes: Amperes, all_reactance: bool) -> Impedance {
    let ohms = Ohms(factor * volts.0 / amperes.0);
    if all_reactance { Impedance { r: Ohms(0.0), x: ohms } } else { Impedance { r: ohms, x: Ohms(0.0) } }
}

/// Largest fault current of a board of one phase; none where something of it is not known.
pub(super) fn largest(ask: &Ask<'_>, index: usize, levels: &[FaultLevel], record: &mut Record) -> Option<Amperes> {
    let node = &ask.tree.nodes[index];
    let fed = fed(&ask.tree.nodes, index)?;
    let most = levels.get(parent(node)?)?.largest.filter(|own| own.0 > 0.0)?;
    // Without a return through a conductor the current to the neutral may be above that of three phases.
    if fed == Fed::ToNeutral && returns(ask, node) != Some(true) {
        return None;
    }
    let factor = ask.convention.low_voltage.greatest;
    let feeder = ask.feeders.get(index).copied().flatten()?;
    Some(fault::of_loop(record, factor, node.voltage, before(factor, node.voltage, most, true) + feeder.cold * 2.0))
}

/// Smallest fault current of a board of one phase, between its conductors or to earth; none where something of it is not known.
pub(super) fn smallest(ask: &Ask<'_>, index: usize, levels: &[FaultLevel], record: &mut Record) -> Option<Amperes> {
    let node = &ask.tree.nodes[index];
    let fed = fed(&ask.tree.nodes, index)?;
    let least = levels.get(parent(node)?)?.smallest.filter(|own| own.0 > 0.0)?;
    let factor = ask.convention.low_voltage.least;
    let feeder = ask.feeders.get(index).copied().flatten()?;
    let between = fault::of_loop(record, factor, node.voltage, before(factor, node.voltage, least, false) + feeder.hot * 2.0);
    if returns(ask, node) != Some(true) {
        return Some(between);
    }
    let to_earth = if fed == Fed::ToNeutral { node.voltage } else { Volts(node.voltage.0 / 3f64.sqrt()) };
    let loop_to_earth = before(factor, to_earth, least, false) + feeder.hot_loop?;
    Some(between.min(fault::of_loop(record, factor, to_earth, loop_to_earth)))
}

fn returns(ask: &Ask<'_>, node: &Node) -> Option<bool> {
    ask.book.returns_by_conductor(node.earthing.as_deref(), node.system.as_deref())
}
