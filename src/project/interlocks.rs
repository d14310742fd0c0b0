//! Rows that are interlocked with each other: who is whose partner, which pairs a mechanical interlock joins, and the frame that such
//! pairs share. The rows are sized by themselves first; then the larger frame is fixed for the smaller.

use std::collections::{BTreeMap, BTreeSet};

use super::Inputs;
use crate::catalogue::is_enclosure;
use crate::design::Circuit;
use crate::load::{Field, Load};
use crate::sizing::{Partner, Pins};

/// Rows of a chain of mechanical interlocks at the most: a contactor has two sides.
const PARTNERS_OF_ONE: usize = 2;

/// Choices fixed for the rows that are interlocked.
pub(super) fn pins(inputs: &Inputs) -> BTreeMap<usize, Pins> {
    let partners = partners(&inputs.intake.loads);
    if partners.is_empty() {
        return BTreeMap::new();
    }
    let alone: BTreeMap<usize, Circuit> =
        partners.keys().map(|index| (*index, inputs.size_load(&inputs.intake.loads[*index], &Pins::default()).circuit)).collect();
    let apart: BTreeSet<usize> = partners.keys().copied().filter(|index| stands_apart(&inputs.intake.loads[*index])).collect();
    let joined = that_fit(mechanical(&partners, &alone, &apart), &alone, inputs);
    let frames = shared_frames(&joined, &alone, inputs);
    let mut pins = BTreeMap::new();
    for (index, others) in &partners {
        let of = |other: &usize| {
            let load = &inputs.intake.loads[*other];
            let mechanical = joined.contains(&(*index.min(other), *index.max(other)));
            let other_board = alone.get(index).map(|circuit| &circuit.board) != alone.get(other).map(|circuit| &circuit.board);
            let elsewhere = other_board || apart.contains(index) || apart.contains(other);
            Partner { tag: load.tag(), tags: load.tags(), mechanical, elsewhere, first: index < other }
        };
        let frame = frames.get(index).cloned();
        let alone = alone.get(index).and_then(|circuit| circuit.contactors.first()).map(|contactor| contactor.frame.clone());
        let frame_alone = alone.filter(|_| frame.is_some());
        pins.insert(*index, Pins { frame, frame_alone, partners: others.iter().map(of).collect(), ..Pins::default() });
    }
    pins
}

/// Partners of each row, both ways, whichever of the two names the other.
fn partners(loads: &[Load]) -> BTreeMap<usize, BTreeSet<usize>> {
    let naming: Vec<(usize, &Load)> = loads.iter().enumerate().filter(|(_, load)| load.has(Field::InterlockWith)).collect();
    let mut partners: BTreeMap<usize, BTreeSet<usize>> = BTreeMap::new();
    if naming.is_empty() {
        return partners;
    }
    let mut by_tag: BTreeMap<String, usize> = BTreeMap::new();
    for (index, load) in loads.iter().enumerate() {
        for tag in load.tags().into_iter().chain([load.tag()]) {
            by_tag.entry(tag).or_insert(index);
        }
    }
    for (index, load) in naming {
        for tag in load.interlock_partners() {
            if let Some(other) = by_tag.get(tag).filter(|other| **other != index) {
                partners.entry(index).or_default().insert(*other);
                partners.entry(*other).or_default().insert(index);
            }
        }
    }
    partners
}

/// The starter of a row stands at the end of a supply run or in an enclosure of its own, beside no contactor of another row.
fn stands_apart(load: &Load) -> bool {
    let over_a_run = load.number(Field::SupplyLengthM).is_some_and(|length| length > 0.0);
    over_a_run || load.text(Field::Enclosure).is_some_and(|enclosure| is_enclosure(enclosure.trim()))
}

/// Contactors in a row, each joined with its neighbours. Pairs are added one after the other.
#[derive(Default)]
struct Chains {
    pairs: BTreeSet<(usize, usize)>,
    sides: BTreeMap<usize, usize>,
    /// A row of each chain that stands for all of it.
    chain: BTreeMap<usize, usize>,
}

impl Chains {
    fn chain_of(&self, row: usize) -> usize {
        self.chain.get(&row).copied().unwrap_or(row)
    }

    /// Both contactors have a side left, and the pair closes no ring: of contactors in a row the first and the last do not touch.
    fn takes(&self, one: usize, other: usize) -> bool {
        let has_side = |row: usize| self.sides.get(&row).is_none_or(|taken| *taken < PARTNERS_OF_ONE);
        has_side(one) && has_side(other) && self.chain_of(one) != self.chain_of(other)
    }

    fn join(&mut self, one: usize, other: usize) {
        let (kept, merged) = (self.chain_of(one), self.chain_of(other));
        self.chain.insert(one, kept);
        self.chain.insert(other, kept);
        self.chain.values_mut().filter(|chain| **chain == merged).for_each(|chain| *chain = kept);
        for row in [one, other] {
            *self.sides.entry(row).or_default() += 1;
        }
        self.pairs.insert((one, other));
    }
}

/// Pairs that a mechanical interlock joins: each is one contactor, side by side on one board, in equal numbers, and has a side left.
fn mechanical(
    partners: &BTreeMap<usize, BTreeSet<usize>>,
    alone: &BTreeMap<usize, Circuit>,
    apart: &BTreeSet<usize>,
) -> BTreeSet<(usize, usize)> {
    // A contactor of the safety function opens with the others and takes no command, so it keeps nothing apart.
    let joinable = |circuit: &Circuit| matches!(circuit.contactors.as_slice(), [only] if !only.frame.is_empty() && only.role != crate::sizing::arrangement::SAFETY);
    let single = |index: &usize| !apart.contains(index) && alone.get(index).is_some_and(joinable);
    let mut chains = Chains::default();
    for (index, others) in partners {
        for other in others.iter().filter(|other| index < *other) {
            let alike =
                alone.get(index).zip(alone.get(other)).is_some_and(|(a, b)| a.board == b.board && a.quantity == b.quantity);
            if single(index) && single(other) && alike && chains.takes(*index, *other) {
                chains.join(*index, *other);
            }
        }
    }
    chains.pairs
}

/// Pairs whose rows all find a contactor in the frame that they share; the others stay apart, with contacts alone.
fn that_fit(mut joined: BTreeSet<(usize, usize)>, alone: &BTreeMap<usize, Circuit>, inputs: &Inputs) -> BTreeSet<(usize, usize)> {
    // A row is sized once for each frame, however often chains come apart.
    let mut tried: BTreeMap<(usize, String), bool> = BTreeMap::new();
    loop {
        let frames = shared_frames(&joined, alone, inputs);
        let mut lost: BTreeSet<usize> = BTreeSet::new();
        for (index, frame) in frames {
            let holds = *tried.entry((index, frame.clone())).or_insert_with(|| {
                let pins = Pins { frame: Some(frame), ..Pins::default() };
                let circuit = inputs.size_load(&inputs.intake.loads[index], &pins).circuit;
                circuit.contactors.iter().all(|contactor| !contactor.frame.is_empty())
            });
            if !holds {
                lost.insert(index);
            }
        }
        if lost.is_empty() {
            return joined;
        }
        joined.retain(|(a, b)| !lost.contains(a) && !lost.contains(b));
    }
}

/// For each joined row the largest frame of its chain, where it is not the row's own.
fn shared_frames(
    joined: &BTreeSet<(usize, usize)>,
    alone: &BTreeMap<usize, Circuit>,
    inputs: &Inputs,
) -> BTreeMap<usize, String> {
    let mut beside: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (a, b) in joined {
        beside.entry(*a).or_default().push(*b);
        beside.entry(*b).or_default().push(*a);
    }
    let frame_of =
        |index: &usize| alone.get(index).and_then(|circuit| circuit.contactors.first()).map(|contactor| contactor.frame.as_str());
    // Frames ascend with the ratings of their contactors.
    let place = |frame: &str| inputs.range.get().contactors.iter().position(|contactor| contactor.frame == frame);
    let mut seen: BTreeSet<usize> = BTreeSet::new();
    let mut frames = BTreeMap::new();
    for first in beside.keys().copied() {
        if !seen.insert(first) {
            continue;
        }
        let mut chain = vec![first];
        let mut at = 0;
        while let Some(one) = chain.get(at) {
            let further: Vec<usize> =
                beside.get(one).into_iter().flatten().copied().filter(|further| seen.insert(*further)).collect();
            chain.extend(further);
            at += 1;
        }
        let Some(largest) = chain.iter().filter_map(frame_of).max_by_key(|frame| place(frame)) else { continue };
        let others = chain.iter().filter(|index| frame_of(index) != Some(largest));
        frames.extend(others.map(|index| (*index, largest.to_owned())));
    }
    frames
}
