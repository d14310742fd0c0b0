//! Device of a feeder: of the catalogue, as it says, for the load that flows and the fault current where it stands.

use crate::finding::codes;
use crate::load::wires;
use crate::quantity::{Amperes, fits};
use crate::record::Record;
use crate::rules::feeders::FeederItem;
use crate::verify::boards::tree::Place;
use crate::verify::boards::{Boards, Say, dips, faults, near};
use crate::verify::shelf::Item;

/// Rounding of a fault current of a board in a design, which has four decimals.
const ROUNDING_KA: f64 = 5.1e-5;

/// A device is chosen before its feeder, with the motors behind that counted as if they stood before it; with the feeder's impedance the
/// angle of their current turns a little, and the sum with it. One per cent of a breaking capacity is less than the step between two of
/// them.
const MOTORS_TURN: f64 = 1.01;

/// The device is rated by rules for motors and does not protect the conductors from overload by its rating.
pub(super) fn by_motors(all: &Boards<'_>, index: usize) -> bool {
    *all.by_motors[index].get_or_init(|| rated_by_motors(all, index))
}

fn rated_by_motors(all: &Boards<'_>, index: usize) -> bool {
    let board = all.tree.places[index].board;
    let circuits = all.circuits_behind(index);
    let items = all.items(index, &circuits);
    let need = Amperes(board.feeder_minimum_a);
    // Of a group in which a motor or another load runs, the motor may be the one.
    let rates = |items: &[FeederItem]| all.book.feeder_bounds(all.kind(), items, need, &mut Record::silent()).motor_feeder;
    let by_motors = || items.cases().any(|items| rates(&items));
    // A row that can't be read anew may be the only motor.
    let unread = !all.complete(&circuits);
    board.feeder_protection_maximum_a.is_some() && (unread || by_motors())
}

/// The device is of the catalogue, as it says, carries the load, and breaks the fault current where it stands.
pub(super) fn agree(all: &Boards<'_>, place: &Place<'_>, index: usize, say: Say<'_>) {
    let (board, feeder) = (place.board, &place.board.feeder);
    if feeder.kind.is_empty() {
        let nothing = feeder.part.is_empty() && board.feeder_protection_a == 0.0;
        if !nothing {
            say(&codes::V853_FEEDER_DEVICE, format!("a device of {} A without a kind", board.feeder_protection_a));
        }
        return;
    }
    if all.kind().word() != feeder.kind {
        say(&codes::V853_FEEDER_DEVICE, format!("its feeder has a {}, not a {}", feeder.kind, all.kind().word()));
    }
    let rating = board.feeder_protection_a;
    let too_large = board.feeder_protection_maximum_a.is_some_and(|most| !fits(rating, most));
    // By rules for motors the device carries what flows; else it protects the conductors, which carry what the book asks for.
    let unread = !all.complete(&all.circuits_behind(index));
    let needed = if !by_motors(all, index) {
        board.feeder_minimum_a
    } else if unread {
        board.demand_current_a.min(board.feeder_minimum_a)
    } else {
        board.demand_current_a
    };
    if too_large || !fits(needed, rating + 1e-3) {
        say(
            &codes::V853_FEEDER_DEVICE,
            format!(
                "its feeder's device of {rating} A does not suit: {needed} A flow, {:?} A are the largest",
                board.feeder_protection_maximum_a
            ),
        );
    }
    if feeder.part.is_empty() {
        let standard = all.book.feeder_ratings(all.kind()).iter().any(|feeder_rating| (feeder_rating.0 - rating).abs() < 1e-9);
        if !standard || feeder.breaking_ka.is_some() || feeder.magnetic_trip_a.is_some() {
            say(
                &codes::V853_FEEDER_DEVICE,
                format!("a device of {rating} A without a part number is no standard one, or says too much"),
            );
        }
        return;
    }
    of_catalogue(all, place, index, say);
    let largest = |board: usize| all.tree.places[board].board.prospective_fault_ka;
    let before = all.tree.parent(index).filter(|_| place.transformer.is_none()).and_then(largest);
    // Behind a transformer it stands at its secondary, where no less flows than at the board; what the basis states of that is no figure
    // of the beginning, and what a source gives that stands in at the board itself does not flow through its feeder.
    let at_end = board.prospective_fault_ka.filter(|_| !faults::stated_on_way(all, index) && !dips::stands_in_at(all, index));
    let fault = before.or(at_end);
    let check = board.checks.iter().find(|check| check.name == "breaking-capacity" && check.subject == "device of the feeder");
    let told = check.and_then(|check| check.value.zip(check.limit));
    // Where the fault current before the feeder is unknown the check says so.
    let so = match (fault, feeder.breaking_ka, told) {
        (Some(fault), Some(breaks), Some((breaks_told, flows_told))) => {
            let failed = flows_told > breaks_told;
            fits(fault, flows_told * MOTORS_TURN + ROUNDING_KA)
                && (breaks_told - breaks).abs() < 1e-9
                && (fits(fault, breaks + 1e-3) || failed)
        }
        (_, _, None) => {
            // Of a current at a voltage that nobody states nothing is worked out behind it.
            let unknown = before.is_none() || all.tree.phases(index) == 1 || all.basis.board_voltage(&board.name).is_none();
            check.is_some_and(|check| check.passed.is_none()) && unknown
        }
        (None, ..) => true,
        (Some(_), None, Some((breaks_told, flows_told))) => flows_told > breaks_told,
    };
    if !so {
        say(
            &codes::V402_BREAKING_CAPACITY,
            format!("its feeder's device breaks {:?} kA; where it stands {fault:?} kA flow", feeder.breaking_ka),
        );
    }
}

fn of_catalogue(all: &Boards<'_>, place: &Place<'_>, index: usize, say: Say<'_>) {
    let (board, feeder) = (place.board, &place.board.feeder);
    if let Some(Item::Moulded(row)) = all.shelf.all(&feeder.part).next() {
        // The check of disconnection is made at the upper limit of the trip as it is set.
        let trips = feeder.magnetic_trip_a.map(|set| set * (1.0 + row.magnetic_tolerance_pct / 100.0));
        let made = board.checks.iter().find(|check| check.name == "disconnection" && check.subject == "feeder run");
        let limit = made.and_then(|check| check.limit);
        if limit.zip(trips).is_some_and(|(limit, trips)| !near(limit, trips, 1e-2)) {
            say(
                &codes::V801_CHECK,
                format!("disconnection was checked at {limit:?} A; its feeder's device trips at {trips:?} A at the latest"),
            );
        }
    }
    // A device that others bring is not on the list, and theirs to choose.
    let is_it = all.tree.earthing(index).is_some_and(wires::is_it);
    let chosen = feeder.parts.iter().any(|part| part.part == feeder.part) && all.book.knows_machines() && is_it;
    if chosen && feeder.kind == "moulded-case" && !Boards::told(board, &codes::R109_POLE_ALONE) {
        say(
            &codes::V402_BREAKING_CAPACITY,
            format!("nothing says that each pole of {} must break a second fault to earth alone", feeder.part),
        );
    }
    let volts = board.voltage_v;
    let item = all.shelf.all(&feeder.part).find(|item| !matches!(item, Item::Base(_)));
    let (kind, rating, breaks, trip) = match item {
        Some(Item::Moulded(row)) => {
            let of = |multiple: f64| multiple * row.rating_a;
            let kind = if row.release == "distribution" { "moulded-case" } else { "" };
            (kind, row.rating_a, row.breaking_ka(volts), Some([of(row.magnetic_min_multiple), of(row.magnetic_max_multiple)]))
        }
        Some(Item::Branch(row)) => {
            let suits = row.admits_voltage(volts) && !row.within_combination;
            let breaks = row.interrupting_ka(volts).filter(|_| suits);
            (row.kind.as_str(), row.rating_a, breaks, Some([row.instantaneous_min_a, row.instantaneous_max_a]))
        }
        Some(Item::Fuse(row)) => {
            (row.kind.as_str(), row.rating_a, fits(volts, row.max_voltage_v).then_some(row.breaking_ka), None)
        }
        _ => {
            say(&codes::V101_PART_UNKNOWN, format!("{} is no device for a feeder", feeder.part));
            return;
        }
    };
    let trips = match (feeder.magnetic_trip_a, trip) {
        (Some(set), Some([low, high])) => set >= low - 2e-3 && set <= high + 2e-3 && feeder.magnetic_range_a == Some([low, high]),
        (None, None) => true,
        _ => false,
    };
    let same = kind == feeder.kind && (rating - board.feeder_protection_a).abs() < 1e-9 && breaks == feeder.breaking_ka;
    if !(same && trips) {
        say(
            &codes::V853_FEEDER_DEVICE,
            format!(
                "{} is no {} of {} A that breaks {:?} kA and trips at {:?} A",
                feeder.part, feeder.kind, board.feeder_protection_a, feeder.breaking_ka, feeder.magnetic_trip_a
            ),
        );
    }
}
