//! What others supply for a board as a whole: it must be named once, no more and no less, and nothing of it be ordered.

use crate::design::Part;
use crate::finding::codes;
use crate::verify::boards::{Boards, Say};

pub(super) fn agree(all: &Boards<'_>, index: usize, say: Say<'_>) {
    let place = &all.tree.places[index];
    let stops = all.circuits_of(index).any(|circuit| {
        let stated = circuit.stated.get("emergency_stop").and_then(serde_json::Value::as_str);
        stated.is_some_and(|words| words.starts_with("category"))
    });
    let same = |other: usize| {
        let transformer = all.tree.places[other].transformer;
        transformer.zip(place.transformer).is_some_and(|(one, other)| std::ptr::eq(one, other))
    };
    // The transformer of several boards stands on the first of them.
    let transformed = place.board.transformer.is_some() && place.transformer.is_some() && !(0..index).any(same);
    let wanted = usize::from(stops) + if transformed { 3 } else { 0 };
    let listed = &place.board.by_others;
    let so = |part: &Part| part.by_others && part.part.is_empty();
    if listed.len() != wanted || !listed.iter().all(so) {
        say(&codes::V103_PART_MISSING, format!("{} parts by others are listed, {wanted} are asked for", listed.len()));
    }
}
