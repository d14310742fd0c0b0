//! The impedances before each board while loads run, and the sources that may feed the boards: for the voltages of the network.
//!
//! The usual feed is that of the tree. Every source that stands in for it has a tree of its own, in which it feeds the boards that name
//! it or, where none does, those that stand on the supply; it is connected at these boards themselves.

use super::faults;
use super::feeders::Feeder;
use super::tree::{Parent, Tree};
use super::voltages::{Feed, Link};
use crate::basis::{Basis, SourceBasis};
use crate::finding::{Finding, codes};
use crate::quantity::{Amperes, Impedance, Ohms, Volts};
use crate::rules::physics::fault::figure;
use crate::supply::stated_path;

/// A feed with the boards as they stand behind it.
#[derive(Clone, Debug)]
pub struct Fed {
    /// The feed.
    pub feed: Feed,
    /// The boards.
    pub tree: Tree,
    /// The link before each.
    pub links: Vec<Option<Link>>,
    /// The usual feed, not one that stands in for it.
    pub usual: bool,
}

/// The link before each board of the usual network.
#[must_use]
pub fn of(tree: &Tree, basis: &Basis, feeders: &[Feeder]) -> Vec<Option<Link>> {
    let link = |(index, (node, feeder)): (usize, (&super::tree::Node, &Feeder))| {
        if tree.unsaid_behind_transformers(index, basis) {
            return None;
        }
        let cable = match feeder.impedance {
            Some(impedance) => impedance.running,
            None if node.feeder => return None,
            None => Impedance::default(),
        };
        let Some(transformer_basis) = node.transformer.and_then(|transformer| basis.transformers.get(transformer)) else {
            return Some(Link { feeder: cable, ..Link::default() });
        };
        let secondary = Volts(transformer_basis.secondary_voltage_v.unwrap_or(node.voltage.0));
        let transformer = faults::transformer_impedance(transformer_basis, secondary)?;
        let ratio = if node.voltage.0 > 0.0 { secondary.0 / node.voltage.0 } else { 1.0 };
        Some(Link { transformer, feeder: cable, ratio })
    };
    tree.nodes.iter().zip(feeders).enumerate().map(link).collect()
}

/// Impedance of the smallest fault current that the basis states for each board, whatever the network gives; that of the largest
/// where no other is stated. None where the board states none.
#[must_use]
pub fn stated(tree: &Tree, basis: &Basis) -> Vec<Option<Impedance>> {
    let impedance_of = |node: &super::tree::Node| {
        let point = crate::supply::point(basis, &node.name, node.voltage);
        let least = [point.fault_min, point.fault_max].into_iter().flatten().reduce(Amperes::min)?;
        stated_path(least, node.voltage, point.x_over_r)
    };
    tree.nodes.iter().map(impedance_of).collect()
}

/// The feeds of the boards, the usual ones first; findings say what is assumed of them.
#[must_use]
pub fn feeds(tree: &Tree, basis: &Basis, links: &[Option<Link>], findings: &mut Vec<Finding>) -> Vec<Fed> {
    let mut found: Vec<Fed> = Vec::new();
    let mut usual = |feed: Feed| found.push(Fed { feed, tree: tree.clone(), links: links.to_vec(), usual: true });
    if tree.nodes.iter().any(|node| node.parent == Parent::Supply) {
        usual(of_supply(tree, basis, findings));
    }
    for (index, source) in basis.sources.iter().enumerate() {
        let parent = Parent::Source(index);
        let Some(first) = tree.nodes.iter().find(|node| node.parent == parent) else { continue };
        let name = name_of_feed(basis, index);
        let feed = Feed::generator(name.clone(), source, parent, first.voltage);
        usual(feed.unwrap_or(Feed { name, parent, impedance: None, voltage: first.voltage }));
    }
    if let Some(first) = tree.nodes.iter().find(|node| node.parent == Parent::Unknown) {
        // Nobody knows what feeds them: only what is stated at the boards themselves gives voltages.
        let name = "an unknown feed".to_owned();
        let feed = Feed { name, parent: Parent::Unknown, impedance: None, voltage: first.voltage };
        found.push(Fed { feed, tree: tree.clone(), links: links.to_vec(), usual: true });
    }
    let instead = (0..basis.sources.len()).filter_map(|index| standing_in(index, tree, basis, links));
    let instead: Vec<Fed> = instead.collect();
    found.extend(instead);
    found
}

/// Sources that stand in at a board itself: nothing of theirs flows through its feeder.
#[must_use]
pub fn standing_in_at(tree: &Tree, index: usize, basis: &Basis) -> Vec<usize> {
    let node = &tree.nodes[index];
    let feeds = |source: usize| tree.nodes.iter().any(|node| node.parent == Parent::Source(source));
    let named = |source: usize| tree.nodes.iter().any(|node| node.alternatives.contains(&source));
    let machine = |source: usize| basis.sources.get(source).is_some_and(SourceBasis::is_machine);
    // One that no board names stands in for the supply.
    let for_supply = |source: usize| node.parent == Parent::Supply && machine(source) && !feeds(source) && !named(source);
    (0..basis.sources.len()).filter(|source| node.alternatives.contains(source) || for_supply(*source)).collect()
}

/// A generator that stands in for what usually feeds the boards.
fn standing_in(index: usize, tree: &Tree, basis: &Basis, links: &[Option<Link>]) -> Option<Fed> {
    let source = basis.sources.get(index).filter(|source| source.is_machine())?;
    let parent = Parent::Source(index);
    if tree.nodes.iter().any(|node| node.parent == parent) {
        return None;
    }
    let by_name = |node: &super::tree::Node| node.alternatives.contains(&index);
    let named = tree.nodes.iter().any(by_name);
    let (mut tree, mut links) = (tree.clone(), links.to_vec());
    let mut first = None;
    for (at, node) in tree.nodes.iter_mut().enumerate() {
        if if named { by_name(node) } else { node.parent == Parent::Supply } {
            node.parent = parent;
            links[at] = Some(Link::default());
            first = first.or(Some(node.voltage));
        }
    }
    let feed = Feed::generator(name_of_feed(basis, index), source, parent, first?)?;
    Some(Fed { feed, tree, links, usual: false })
}

/// The name of a source, which stands alone where feeds are listed.
#[must_use]
pub fn name_of_feed(basis: &Basis, index: usize) -> String {
    let name = basis.source_name(index);
    if name == (index + 1).to_string() { format!("source {name}") } else { name }
}

/// The network of the basis, with the transformer that `[supply]` itself names.
fn of_supply(tree: &Tree, basis: &Basis, findings: &mut Vec<Finding>) -> Feed {
    let (supply, parent) = (&basis.supply, Parent::Supply);
    let voltage = tree.voltage_of_supply(basis);
    let transformed = tree.nodes.iter().any(|node| node.parent == parent && node.transformer.is_some());
    let named = !transformed && supply.transformer_kva.or(supply.transformer_impedance_pct).is_some();
    let short = supply.transformer_kva.zip(supply.transformer_impedance_pct);
    let short = short.filter(|(kva, pct)| named && *kva > 0.0 && *pct > 0.0);
    let network = supply.upstream_fault_min_mva.or(supply.upstream_fault_mva).map(|mva| {
        let ratio = supply.upstream_x_over_r.unwrap_or_else(|| 1.0 / figure("network-r-over-x"));
        Impedance::of_ratio(Ohms(voltage.0 * voltage.0 / (mva * 1e6)), ratio)
    });
    let stated = supply.prospective_fault_min_ka.or(supply.prospective_fault_ka).filter(|ka| *ka > 0.0);
    let impedance = match (network, short, stated) {
        (Some(network), Some((kva, pct)), _) => Some(network + own_transformer(basis, voltage, kva, pct)),
        // A transformer of unknown impedance takes some of the voltage.
        (Some(network), None, _) if !named => Some(network),
        (_, _, Some(ka)) if !transformed => stated_path(Amperes(ka * 1000.0), voltage, supply.x_over_r),
        (None, Some((kva, pct)), None) => {
            findings.push(stiff());
            Some(own_transformer(basis, voltage, kva, pct))
        }
        (None, None, _) if transformed => {
            findings.push(stiff());
            Some(Impedance::default())
        }
        _ => None,
    };
    Feed { name: "the supply".to_owned(), parent, impedance, voltage }
}

fn own_transformer(basis: &Basis, voltage: Volts, kva: f64, impedance_pct: f64) -> Impedance {
    let magnitude = Ohms(impedance_pct / 100.0 * voltage.0 * voltage.0 / (kva * 1000.0));
    let ratio = basis.supply.x_over_r.unwrap_or_else(|| figure("transformer-x-over-r-least"));
    Impedance::of_ratio(magnitude, ratio)
}

fn stiff() -> Finding {
    Finding::new(
        &codes::B111_FAULT_ASSUMED,
        "the fault level of the network in front is not stated; for voltages and dips it is taken as unlimited",
    )
    .why("behind a weak network they are deeper")
    .cure("enter upstream_fault_mva, better upstream_fault_min_mva, of [supply]")
    .reference("common practice, no source")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::basis::from_toml;

    /// The first feed under a basis, and the codes of what is assumed of it.
    fn feed(basis: &str) -> (Feed, Vec<String>) {
        let (basis, findings) = from_toml("basis.toml", basis).expect("it is read");
        assert!(findings.is_empty(), "{findings:?}");
        let tree = Tree::of(&basis, &[], None);
        let mut findings = Vec::new();
        let links = vec![None; tree.nodes.len()];
        let fed = feeds(&tree, &basis, &links, &mut findings).into_iter().next().expect("a feed");
        (fed.feed, findings.into_iter().map(|finding| finding.code).collect())
    }

    const BOARD: &str = "[[board]]\nname = \"A\"\n";

    fn ohms(feed: &Feed) -> f64 {
        let impedance = feed.impedance.expect("it is known");
        libm::hypot(impedance.r.0, impedance.x.0)
    }

    fn near(value: f64, expected: f64) {
        assert!((value - expected).abs() <= 1e-9 * expected.max(1.0), "{value} against {expected}");
    }

    /// U² / S of the network, u_k U² / S of the transformer, U / (√3 I) of a fault current (IEC 60909-0, 6.2 and 6.3, without c). The
    /// least power counts, which gives the deepest dip.
    #[test]
    fn a_network_has_the_impedance_of_its_least_figure() {
        let network = "[supply]\nvoltage_v = 400\nupstream_fault_mva = 250\n";
        near(ohms(&feed(&format!("{network}{BOARD}")).0), 400.0 * 400.0 / 250e6);
        near(ohms(&feed(&format!("{network}upstream_fault_min_mva = 100\n{BOARD}")).0), 400.0 * 400.0 / 100e6);
        let stated = "[supply]\nvoltage_v = 400\nprospective_fault_ka = 20\n";
        near(ohms(&feed(&format!("{stated}{BOARD}")).0), 400.0 / (3f64.sqrt() * 20e3));
        near(ohms(&feed(&format!("{stated}prospective_fault_min_ka = 12\n{BOARD}")).0), 400.0 / (3f64.sqrt() * 12e3));
    }

    #[test]
    fn the_transformer_of_the_supply_counts_only_where_both_of_its_figures_are_known() {
        let transformer = "[supply]\nvoltage_v = 400\ntransformer_kva = 630\ntransformer_impedance_pct = 4\n";
        let secondary_ohms = 0.04 * 400.0 * 400.0 / 630e3;
        // A network of which nobody knows anything is told and taken as stiff.
        let (alone, codes) = feed(&format!("{transformer}{BOARD}"));
        near(ohms(&alone), secondary_ohms);
        assert_eq!(codes, ["B111"]);
        // Two impedances of the same ratio add; the sum is more than the larger and no more than both in any case.
        let (both, codes) = feed(&format!("{transformer}upstream_fault_mva = 250\n{BOARD}"));
        assert!(
            ohms(&both) > secondary_ohms && ohms(&both) <= secondary_ohms + 400.0 * 400.0 / 250e6 + 1e-12 && codes.is_empty(),
            "{codes:?}"
        );
        // A transformer of unknown impedance takes some of the voltage, so the network in front of it tells nothing.
        let half = "[supply]\nvoltage_v = 400\ntransformer_kva = 630\nupstream_fault_mva = 250\n";
        assert_eq!(feed(&format!("{half}{BOARD}")).0.impedance, None);
    }

    /// A fault current of `[supply]` is that of what `[supply]` itself feeds; behind a transformer of the basis it is another.
    #[test]
    fn a_fault_current_of_the_supply_does_not_hold_behind_a_transformer() {
        let behind = "[[transformer]]\nname = \"T1\"\nto = \"A\"\nkva = 630\nimpedance_pct = 4\nsecondary_voltage_v = 400\n";
        let (stated, codes) = feed(&format!("[supply]\nvoltage_v = 690\nprospective_fault_ka = 20\n{BOARD}{behind}"));
        assert_eq!((stated.impedance, codes), (Some(Impedance::default()), vec!["B111".to_owned()]));
        let (feed, codes) = feed(&format!("[supply]\nvoltage_v = 690\nupstream_fault_mva = 250\n{BOARD}{behind}"));
        near(ohms(&feed), 690.0 * 690.0 / 250e6);
        assert!(codes.is_empty(), "{codes:?}");
    }
}
