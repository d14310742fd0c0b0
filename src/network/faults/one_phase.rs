//! Boards of one phase behind others, fed to the neutral, between two lines or by a transformer of one phase: what the fault currents of
//! the board before leave over the two conductors of the feeder.
//!
//! Half of a winding with a tap in its middle gives more at its terminals than the whole (common practice, no source); nobody says here
//! whether there is a tap, so that the largest current counts with one, behind a network without any impedance.
//!
//! The largest current before counts as if reactance alone gave it, the smallest as if resistance alone did, so that what adds up is the
//! least there and the most here, whatever their angles are. The largest current of any kind before stands for that to the neutral.

use super::{Ask, FaultLevel};
use crate::network::phases::parent;
use crate::network::tree::Node;
use crate::quantity::{Amperes, Impedance, Ohms, Volts};
use crate::record::Record;
use crate::rules::conductors::FaultPaths;
use crate::rules::physics::fault;
use crate::rules::physics::nominal::is_same_voltage;
use crate::supply::has_middle;

/// How a board of one phase is fed.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Fed {
    ToNeutral,
    /// To the neutral that is the middle of a winding.
    ToMiddle,
    BetweenLines,
    /// By a transformer of its own, with the impedance of its winding.
    Winding(Ohms),
}

/// From three phases by its voltage; from one phase as that board itself. None where no voltage tells it, or where a transformer does not
/// state what it is.
fn fed(ask: &Ask<'_>, index: usize) -> Option<Fed> {
    let nodes = &ask.tree.nodes;
    let node = nodes.get(index).filter(|node| node.phases == 1 && node.voltage.0 > 0.0)?;
    if let Some(transformer) = node.transformer {
        let transformer = ask.basis.transformers.get(transformer)?;
        let (kva, pct) =
            (transformer.kva.filter(|kva| *kva > 0.0)?, transformer.impedance_pct.filter(|impedance_pct| *impedance_pct > 0.0)?);
        return Some(Fed::Winding(Ohms(pct / 100.0 * node.voltage.0 * node.voltage.0 / (kva * 1000.0))));
    }
    fed_by_lines(nodes, index)
}

/// The same without transformers.
fn fed_by_lines(nodes: &[Node], index: usize) -> Option<Fed> {
    let node = nodes.get(index).filter(|node| node.phases == 1 && node.transformer.is_none() && node.voltage.0 > 0.0)?;
    let before = parent(node)?;
    let line = nodes[before].voltage.0;
    let near = |volts: f64| is_same_voltage(node.voltage.0, volts);
    match nodes[before].phases {
        1 if near(line) => fed_by_lines(nodes, before),
        _ if near(line) => Some(Fed::BetweenLines),
        phases if near(line / 2.0) && has_middle(nodes[before].system.as_deref(), phases) => Some(Fed::ToMiddle),
        1 => None,
        _ if near(line / 3f64.sqrt()) => Some(Fed::ToNeutral),
        _ => None,
    }
}

/// A board of one phase is fed from a line and the neutral.
pub(crate) fn is_to_neutral(nodes: &[Node], index: usize) -> bool {
    matches!(fed_by_lines(nodes, index), Some(Fed::ToNeutral | Fed::ToMiddle))
}

/// Impedance of a loop that a current before gives, all reactance or all resistance.
fn before(factor: f64, volts: Volts, amperes: Amperes, all_reactance: bool) -> Impedance {
    alone(Ohms(factor * volts.0 / amperes.0), all_reactance)
}

/// Reactance alone, or resistance alone.
fn alone(ohms: Ohms, all_reactance: bool) -> Impedance {
    if all_reactance { Impedance { r: Ohms(0.0), x: ohms } } else { Impedance { r: ohms, x: Ohms(0.0) } }
}

/// Largest fault current of a board of one phase; none where something of it is not known.
pub(super) fn largest(ask: &Ask<'_>, index: usize, levels: &[FaultLevel], record: &mut Record) -> Option<Amperes> {
    let node = &ask.tree.nodes[index];
    let fed = fed(ask, index)?;
    let factor = ask.convention.low_voltage.greatest;
    let around = ask.feeders.get(index).copied().flatten()?.cold * 2.0;
    if let Fed::Winding(ohms) = fed {
        let whole = fault::of_loop(record, factor, node.voltage, alone(ohms, true) + around);
        // Half of the voltage drives it, by the share of the impedance that gives so much more at the terminals.
        let half = Ohms(ohms.0 / (2.0 * fault::figure("half-winding-most")));
        let to_tap = fault::of_loop(record, factor, node.voltage * 0.5, alone(half, true) + around);
        return Some(whole.max(to_tap));
    }
    let most = levels.get(parent(node)?)?.largest.filter(|current| current.0 > 0.0)?;
    // Without a return through a conductor the current to the neutral may be above that of three phases.
    if matches!(fed, Fed::ToNeutral | Fed::ToMiddle) && returns(ask, node) != Some(true) {
        return None;
    }
    Some(fault::of_loop(record, factor, node.voltage, before(factor, node.voltage, most, true) + around))
}

/// Smallest fault current of a board of one phase, between its conductors or to earth; none where something of it is not known.
pub(super) fn smallest(ask: &Ask<'_>, index: usize, levels: &[FaultLevel], record: &mut Record) -> Option<Amperes> {
    let node = &ask.tree.nodes[index];
    let fed = fed(ask, index)?;
    // The smallest current before may be that between lines, at twice the voltage.
    if fed == Fed::ToMiddle && returns(ask, node) != Some(true) {
        return None;
    }
    let above = parent(node)?;
    let least = levels.get(above)?.smallest.filter(|current| current.0 > 0.0)?;
    let factor = ask.convention.low_voltage.least;
    let feeder = ask.feeders.get(index).copied().flatten()?;
    // Impedance before the feeder, at a voltage across the fault.
    let at = |volts: Volts| match fed {
        Fed::Winding(ohms) => {
            let line = ask.tree.nodes[above].voltage;
            let referred = node.voltage.0 / line.0;
            let source = before(factor, line, least, false) * (referred * referred);
            // A part of the winding has no more impedance than the whole.
            source + alone(ohms, false)
        }
        Fed::ToNeutral | Fed::ToMiddle | Fed::BetweenLines => before(factor, volts, least, false),
    };
    let between = fault::of_loop(record, factor, node.voltage, at(node.voltage) + feeder.hot * 2.0);
    if returns(ask, node) != Some(true) {
        return Some(between);
    }
    let to_earth = match fed {
        Fed::ToNeutral | Fed::ToMiddle => node.voltage,
        Fed::BetweenLines => line_to_earth(node, node.voltage),
        // Where the tap is earthed half of the voltage drives it.
        Fed::Winding(_) => node.voltage * 0.5,
    };
    Some(between.min(fault::of_loop(record, factor, to_earth, at(to_earth) + feeder.hot_loop?)))
}

/// Voltage to earth of a line of a board: half of that between lines where a winding has its earthed middle between two of them.
pub(crate) fn line_to_earth(node: &Node, voltage: Volts) -> Volts {
    FaultPaths { middle: has_middle(node.system.as_deref(), node.phases), ..FaultPaths::default() }.to_earth(voltage)
}

fn returns(ask: &Ask<'_>, node: &Node) -> Option<bool> {
    ask.book.returns_by_conductor(node.earthing.as_deref(), node.system.as_deref())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::network::testing::board;
    use crate::network::tree::Parent;

    /// A winding of 240 V with its middle earthed has 120 V to earth; two lines of 208Y/120 have 208 / √3 = 120.1 V.
    #[test]
    fn half_of_a_winding_lies_between_a_line_and_its_earthed_middle() {
        let of = |system: &str, volts: f64| {
            let node = Node { phases: 1, system: Some(system.to_owned()), ..board("LP", Parent::Supply) };
            line_to_earth(&node, Volts(volts)).0
        };
        assert!((of("120/240 3W solidly grounded", 240.0) - 120.0).abs() < 1e-9);
        assert!((of("208Y/120 4W solidly grounded", 208.0) - 120.09).abs() < 0.01);
    }
}
