//! What others supply for a board as a whole, counted: no more and no less than there is, and nothing of it is ordered.

use crate::basis::LISTED;
use crate::design::{Board, Part};
use crate::finding::codes;
use crate::verify::accessories::is_emergency_stop;
use crate::verify::boards::{Boards, Say};

pub(super) fn agree(all: &Boards<'_>, index: usize, say: Say<'_>) {
    let place = &all.tree.places[index];
    let stops = all.circuits_of(index).any(|circuit| {
        let stated = circuit.stated.get("emergency_stop").and_then(serde_json::Value::as_str);
        stated.is_some_and(is_emergency_stop)
    });
    let same = |other: usize| {
        let transformer = all.tree.places[other].transformer;
        transformer.zip(place.transformer).is_some_and(|(one, other)| std::ptr::eq(one, other))
    };
    // The transformer of several boards stands on the first of them.
    let transformed = place.board.transformer.is_some() && place.transformer.is_some() && !(0..index).any(same);
    let mut wanted: Vec<&str> = if stops { vec!["emergency-stop devices "] } else { Vec::new() };
    if transformed {
        wanted.extend(["transformer ", "device on the primary of transformer ", "conductors on the primary of transformer "]);
    }
    let (transfers, listed): (Vec<&Part>, Vec<&Part>) =
        place.board.by_others.iter().partition(|part| part.description.starts_with("transfer equipment "));
    let transferred = in_turn(all, place.board);
    if transferred.is_some_and(|transferred| transfers.len() != usize::from(transferred)) || transfers.len() > 1 {
        say(&codes::V103_PART_MISSING, format!("{} parts transfer it from one source to another", transfers.len()));
    }
    let is_one = |part: &Part, words: &&str| part.by_others && part.part.is_empty() && part.description.starts_with(*words);
    let once = |words: &&str| listed.iter().filter(|part| is_one(part, words)).count() == 1;
    if listed.len() != wanted.len() || !wanted.iter().all(once) {
        say(
            &codes::V103_PART_MISSING,
            format!("{} parts by others are listed; asked for are {}: {}", listed.len(), wanted.len(), wanted.join(", ")),
        );
    }
}

/// Whether two sources feed a board in turn: a source that is named behind what usually feeds it starts its loads too. None where nobody
/// knows what that source does, or where one that no board names may stand in for the supply.
fn in_turn(all: &Boards<'_>, board: &Board) -> Option<bool> {
    let names = all.basis.board(&board.name).and_then(|board| board.fed_from.as_deref()).unwrap_or("").split(LISTED);
    let stands_in = |name: &str| board.dips.iter().any(|dip| !dip.usual && dip.feed == name.trim());
    if names.skip(1).any(stands_in) {
        return Some(true);
    }
    all.basis.sources.is_empty().then_some(false)
}
