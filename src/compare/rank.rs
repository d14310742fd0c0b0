//! In which order a reader asks for what follows: the state and what fails, devices and conductors, what is to be set, small parts, and
//! at last the checks that hold.

use std::collections::BTreeMap;

use super::Consequence;

/// Groups of a circuit in the order in which they are told; what is named nowhere comes after them.
const GROUPS: &[&str] = &[
    "starter_devices",
    "contactors",
    "protection",
    "overloads",
    "conductors",
    "runs",
    "disconnect",
    "control",
    "settings",
    "currents",
    "accessories",
    "small parts",
    "given",
];

/// Values of boards in the order in which a reader asks for them: checks that fail, what is bought, what feeds it, its sums. What is
/// named nowhere comes after them, the currents of the phases at last.
const OF_BOARDS: &[&[&str]] = &[
    &["failed checks"],
    &["feeder: device", "feeder: protection, A", "feeder: conductor", "incoming device", "incoming device: rating, A"],
    &[
        "fed from",
        "voltage, V",
        "feeder: part",
        "incoming device: part",
        "incoming device: poles",
        "feeder: trip, A",
        "incoming device: trip, A",
        "control supply",
    ],
    &["demand current, A", "transformer: loading, %", "largest fault current, kA", "largest motor"],
];

/// The place of a value of a board among all that differ.
#[must_use]
pub fn of_board(what: &str) -> usize {
    let named = OF_BOARDS.iter().position(|group| group.contains(&what));
    named.unwrap_or(OF_BOARDS.len() + usize::from(what.starts_with("running current of")))
}

/// Groups of values that somebody buys, builds or sets for a board, or that fail; the others are figures behind them.
const OF_DEVICES: usize = 3;

/// A value of a board that somebody buys, builds or sets, or a check of it that fails.
#[must_use]
pub(super) fn is_of_device(what: &str) -> bool {
    of_board(what) < OF_DEVICES
}

/// Accessories that every device of their kind brings: what they serve has been told before.
const SMALL: &[&str] = &[
    "suppressor",
    "shroud",
    "auxiliary-block",
    "connecting-module",
    "wiring-link",
    "paralleling-link",
    "star-bridge",
    "relay-base",
    "commoning-bar",
    "feed-terminal",
    "phase-barrier",
    "door-handle",
];

/// Parts of a path that are set on a dial.
const DIALS: &[&str] = &["setting_a", "magnetic_trip_a"];

/// The subject of a path, without the value itself: `contactors.main` of `contactors.main.rated_a`.
#[must_use]
pub fn subject(path: &str) -> &str {
    path.rsplit_once('.').map_or(path, |(subject, _)| subject)
}

/// A check that holds, or did until its device went: nothing of it is to be done.
#[must_use]
pub fn is_held(consequence: &Consequence) -> bool {
    consequence.path.starts_with("checks.")
        && [&consequence.old, &consequence.new].iter().all(|verdict| matches!(verdict.as_str(), "" | "passed"))
}

/// State and checks that fail or failed: what a reviewer looks at first.
fn is_telling(consequence: &Consequence) -> bool {
    consequence.path == "status"
        || consequence.path.starts_with("checks.")
            && [&consequence.old, &consequence.new].iter().any(|verdict| *verdict == "failed")
}

fn rank(consequence: &Consequence) -> usize {
    if is_telling(consequence) {
        return usize::from(consequence.path != "status");
    }
    let (group, rest) = consequence.path.split_once('.').unwrap_or((&consequence.path, ""));
    let last = rest.rsplit('.').next().unwrap_or_default();
    let group = match group {
        "accessories" if SMALL.iter().any(|kind| rest.starts_with(kind)) => "small parts",
        "protection" | "overloads" if DIALS.contains(&last) => "settings",
        other => other,
    };
    let checks_last = GROUPS.len() + usize::from(consequence.path.starts_with("checks."));
    2 + GROUPS.iter().position(|known| *known == group).unwrap_or(checks_last)
}

/// Orders consequences so; values of one device stay together, in their order.
pub(super) fn sort(all: &mut [Consequence]) {
    let mut first: BTreeMap<String, usize> = BTreeMap::new();
    for (index, consequence) in all.iter().enumerate() {
        first.entry(subject(&consequence.path).to_owned()).or_insert(index);
    }
    all.sort_by_cached_key(|consequence| (rank(consequence), first.get(subject(&consequence.path)).copied()));
}
