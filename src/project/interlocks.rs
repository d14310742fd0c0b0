//! Rows that are interlocked with each other: who is whose partner, which pairs a mechanical interlock joins, and the frame that such
//! pairs share. The rows are sized by themselves first; then the larger frame is fixed for the smaller.

use std::collections::{BTreeMap, BTreeSet};

use super::Inputs;
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
        partners.keys().map(|index| (*index, inputs.size_with(*index, &Pins::default()).0)).collect();
    let joined = that_fit(mechanical(&partners, &alone), &alone, inputs);
    let mut pins = BTreeMap::new();
    for (index, own) in &partners {
        let of = |other: &usize| {
            let load = &inputs.intake.loads[*other];
            let mechanical = joined.contains(&(*index.min(other), *index.max(other)));
            Partner { tag: load.tag(), tags: load.tags(), mechanical, first: index < other }
        };
        let frame = shared_frame(*index, &joined, &alone, inputs);
        pins.insert(*index, Pins { frame, partners: own.iter().map(of).collect(), ..Pins::default() });
    }
    pins
}

/// Partners of each row, both ways, whichever of the two names the other.
fn partners(loads: &[Load]) -> BTreeMap<usize, BTreeSet<usize>> {
    let naming: Vec<(usize, &str)> =
        loads.iter().enumerate().filter_map(|(index, load)| Some((index, load.text(Field::InterlockWith)?))).collect();
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
    for (index, text) in naming {
        for tag in text.split([',', ';']).map(str::trim) {
            if let Some(other) = by_tag.get(tag).filter(|other| **other != index) {
                partners.entry(index).or_default().insert(*other);
                partners.entry(*other).or_default().insert(index);
            }
        }
    }
    partners
}

/// Pairs that a mechanical interlock joins: each is one contactor, on one board, in equal numbers, and has a side left.
fn mechanical(partners: &BTreeMap<usize, BTreeSet<usize>>, alone: &BTreeMap<usize, Circuit>) -> BTreeSet<(usize, usize)> {
    // A contactor of the safety function opens with the others and takes no command, so it keeps nothing apart.
    let joinable = |own: &Circuit| matches!(own.contactors.as_slice(), [only] if !only.frame.is_empty() && only.role != crate::sizing::arrangement::SAFETY);
    let single = |index: &usize| alone.get(index).is_some_and(joinable);
    let mut joined: BTreeSet<(usize, usize)> = BTreeSet::new();
    for (index, own) in partners {
        for other in own.iter().filter(|other| index < *other) {
            let alike =
                alone.get(index).zip(alone.get(other)).is_some_and(|(a, b)| a.board == b.board && a.quantity == b.quantity);
            let sides = |one: usize| joined.iter().filter(|(a, b)| *a == one || *b == one).count();
            if single(index) && single(other) && alike && sides(*index) < PARTNERS_OF_ONE && sides(*other) < PARTNERS_OF_ONE {
                joined.insert((*index, *other));
            }
        }
    }
    joined
}

/// Pairs whose rows all find a contactor in the frame that they share; the others stay apart, with contacts alone.
fn that_fit(mut joined: BTreeSet<(usize, usize)>, alone: &BTreeMap<usize, Circuit>, inputs: &Inputs) -> BTreeSet<(usize, usize)> {
    loop {
        let rows: BTreeSet<usize> = joined.iter().flat_map(|(a, b)| [*a, *b]).collect();
        let lost: BTreeSet<usize> = rows
            .into_iter()
            .filter(|index| {
                shared_frame(*index, &joined, alone, inputs).is_some_and(|frame| {
                    let (own, ..) = inputs.size_with(*index, &Pins { frame: Some(frame), ..Pins::default() });
                    own.contactors.iter().any(|contactor| contactor.frame.is_empty())
                })
            })
            .collect();
        if lost.is_empty() {
            return joined;
        }
        joined.retain(|(a, b)| !lost.contains(a) && !lost.contains(b));
    }
}

/// The largest frame of a chain of joined rows, where it is not the row's own.
fn shared_frame(
    index: usize,
    joined: &BTreeSet<(usize, usize)>,
    alone: &BTreeMap<usize, Circuit>,
    inputs: &Inputs,
) -> Option<String> {
    let mut chain = BTreeSet::from([index]);
    let mut open = vec![index];
    while let Some(one) = open.pop() {
        for (a, b) in joined.iter().filter(|(a, b)| *a == one || *b == one) {
            let other = if *a == one { *b } else { *a };
            if chain.insert(other) {
                open.push(other);
            }
        }
    }
    let frame_of = |index: &usize| alone.get(index).and_then(|own| own.contactors.first()).map(|own| own.frame.as_str());
    // Frames ascend with the ratings of their contactors.
    let place = |frame: &str| inputs.range.get().contactors.iter().position(|own| own.frame == frame);
    let largest = chain.iter().filter_map(frame_of).max_by_key(|frame| place(frame))?;
    (frame_of(&index) != Some(largest)).then(|| largest.to_owned())
}
