//! A fault current that is stated of the supply counts as the largest at the main board, what motors add included. Who states it may have
//! meant the network alone: where that decides whether a rating holds, somebody must say which of the two it is.

use crate::design::{Board, Check, Circuit, Sense};
use crate::finding::{Finding, codes, named};
use crate::quantity::{Amperes, fits, round_to};

/// Checks that hold a device against the largest fault current where it stands.
const RATINGS: [&str; 2] = ["breaking-capacity", "short-circuit-rating"];

/// The fault current of a board is kept to four decimals of a kiloampere.
const ROUNDING_KA: f64 = 1e-4;

/// What would not hold, the board itself or devices on it.
pub(super) fn question(board: &Board, circuits: &[&Circuit], if_motors_add: Option<Amperes>) -> Option<Finding> {
    let (with_motors, stated) = (if_motors_add?.0 / 1000.0, board.prospective_fault_ka?);
    // A device farther away, to which less flows than is stated, is not held against the current at the board.
    let at_board = |fault: f64| fits(stated, fault + ROUNDING_KA);
    let fails = |check: &Check| held_ka(check).is_some_and(|[rating, fault]| at_board(fault) && !fits(with_motors, rating));
    let of_board = board.checks.iter().any(|check| check.subject == "board" && fails(check));
    let circuits = circuits.iter().filter(|circuit| circuit.checks.iter().any(fails)).map(|circuit| circuit.tag.as_str());
    let lacking: Vec<&str> = of_board.then_some(board.name.as_str()).into_iter().chain(circuits).collect();
    if lacking.is_empty() {
        return None;
    }
    let what = format!(
        "{stated} kA are stated of the supply; if the motors come on top, {} kA flow at board {}, more than rated for: {}",
        round_to(with_motors, 2),
        board.name,
        named(&lacking)
    );
    Some(
        Finding::new(&codes::B119_STATED_WITHOUT_MOTORS, what)
            .why("the stated current is taken to contain what motors add; a figure of the network alone does not")
            .cure("ask who stated it; if it is the network's alone, state the network by upstream_fault_mva or a transformer instead, or the sum of both"),
    )
}

/// Rating that a check found sufficient, and the fault current against which it was held.
fn held_ka(check: &Check) -> Option<[f64; 2]> {
    if !RATINGS.contains(&check.name.as_str()) || check.passed != Some(true) {
        return None;
    }
    let (value, limit) = check.value.zip(check.limit)?;
    let held = if check.sense == Some(Sense::AtLeast) { [value, limit] } else { [limit, value] };
    Some(if check.unit == "kA" { held } else { held.map(|amperes| amperes / 1000.0) })
}
