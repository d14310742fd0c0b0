//! Loads and controllers out of sight of their disconnecting means: a controller apart from its board, and a load without a
//! switch of its own.

use crate::finding::{Finding, codes};
use crate::load::{Case, LoadKind};
use crate::quantity::Metres;
use crate::record::significant;
use crate::rules::units::Units;
use crate::rules::{LockedOpen, RuleBook, Sight};
use crate::sizing::assembly::Assembly;
use crate::sizing::resolve::extras::is_outdoors;

/// A disconnecting means beside its controller.
const AT_CONTROLLER: &str = "at the controller";

/// A disconnecting means at the board, from which its controller stands apart, or which has none.
const AT_BOARD: &str = "at the board";

/// A disconnecting means beside the machine.
pub(super) const AT_MACHINE: &str = "at the machine";

/// Where the protective device of a circuit stands: beside the controller, unless that stands apart from the board or there is none.
pub(super) fn of_protection(case: &Case, assembly: &Assembly<'_>) -> &'static str {
    let switches = !assembly.contactors.is_empty() || !assembly.devices.is_empty();
    let controlled = switches || case.machine.kind == LoadKind::Motor && !case.start.method.supply_only();
    if case.route.supply_length.is_none() && controlled { AT_CONTROLLER } else { AT_BOARD }
}

/// The disconnecting means that every circuit has.
#[derive(Clone, Copy, Debug)]
pub(super) struct Standing {
    /// Where it stands.
    pub place: &'static str,
    /// It can be locked open.
    pub lockable: bool,
}

/// Controller and load that are too far from the circuit's disconnecting means to be in sight of it.
pub(super) fn out_of_sight(case: &Case, standing: Standing, book: &dyn RuleBook) -> Vec<Finding> {
    let Some(sight) = book.in_sight(&case.machine) else { return Vec::new() };
    let units = Units::of(book.key());
    let controller = controller_out_of_sight(case, sight, units);
    let load = if case.wishes.isolator { None } else { load_out_of_sight(case, standing, sight, units) };
    controller.into_iter().chain(load).map(|finding| finding.at(case.place.clone())).collect()
}

/// A controller beyond a supply run that is longer than what is in sight. A switch at the machine does not disconnect it.
fn controller_out_of_sight(case: &Case, sight: Sight, units: Units) -> Option<Finding> {
    let clause = sight.of_controller.filter(|_| !case.start.method.supply_only())?;
    let apart = case.route.supply_length.filter(|length| !length.fits(sight.most))?;
    let what = format!(
        "the only disconnecting means of the controller stands at the board, {} of run away; in sight is at most {}",
        shown(apart, units),
        shown(sight.most, units)
    );
    Some(
        Finding::new(&codes::C522_CONTROLLER_OUT_OF_SIGHT, what)
            .why("who opens the controller must see the open switch: a lock at the board does not replace one in sight of the controller")
            .cure("order the controller with a disconnect of its own, or put a disconnect switch before it; the parts list holds none")
            .reference(clause),
    )
}

fn load_out_of_sight(case: &Case, standing: Standing, sight: Sight, units: Units) -> Option<Finding> {
    let from_board = case.route.supply_length.filter(|_| standing.place == AT_BOARD).unwrap_or_default();
    // Where a run has no length, that of the supply run alone is known.
    let length = Metres(case.route.length.unwrap_or_default().0 + from_board.0);
    let by_lock = sight.locked_open == LockedOpen::Suffices || case.wishes.supervised;
    if length.fits(sight.most) {
        let seen = by_lock && standing.lockable || case.route.length.is_none();
        return if seen { None } else { perhaps_out_of_sight(case, standing, length, sight, units) };
    }
    let what = format!(
        "the only disconnecting means stands {}; the {} is {} of run away, and in sight is at most {}",
        standing.place,
        load_words(case.machine.kind),
        shown(length, units),
        shown(sight.most, units)
    );
    let (code, why, cure) = match sight.locked_open {
        LockedOpen::ByException | LockedOpen::Not if case.wishes.supervised && standing.lockable => (
            &codes::C524_LOCKED_OPEN,
            "the basis states a supervised industrial establishment: out of sight the disconnecting means does where it can be locked open, and the lock stays in place",
            "have the written safety procedures at hand for the inspector, or ask for a local disconnect switch in the row",
        ),
        LockedOpen::ByException => (
            &codes::C521_OUT_OF_SIGHT,
            "who works at the motor must see the open switch, or the narrow exceptions for one that is locked open must hold",
            "ask for a local disconnect switch in the row, or for all with isolator in [design]; or state supervised_industrial there, where written procedures let only qualified persons service it and the means can be locked open",
        ),
        LockedOpen::Suffices if standing.lockable => (
            &codes::C524_LOCKED_OPEN,
            "out of sight the disconnecting means does where it can be locked open, and the lock stays in place",
            "have its place marked at the load, or ask for a local disconnect switch in the row",
        ),
        LockedOpen::Suffices => (
            &codes::C523_EQUIPMENT_OUT_OF_SIGHT,
            "out of sight the disconnecting means must be one that can be locked open, which the catalogue does not say of this one",
            "ask for a local disconnect switch in the row, or take a device that can be locked open",
        ),
        LockedOpen::Not => (
            &codes::C523_EQUIPMENT_OUT_OF_SIGHT,
            "who services the equipment must see the open switch: a lock at the board does not replace one in sight, save in supervised industrial establishments",
            "ask for a local disconnect switch in the row, or show the one that the equipment brings on the drawings",
        ),
    };
    Some(Finding::new(code, what).why(why).cure(cure).reference(sight.of_load))
}

/// A run as short as what is in sight proves nothing where a wall or a roof lies between: words put the load outdoors, and none its board.
fn perhaps_out_of_sight(case: &Case, standing: Standing, length: Metres, sight: Sight, units: Units) -> Option<Finding> {
    if case.extras.outdoors.is_empty() || is_outdoors(&case.board) {
        return None;
    }
    let what = format!(
        "the only disconnecting means stands {}, {} of run away; the {} stands on a roof or outdoors (\"{}\"), and nothing says that board {} does",
        standing.place,
        shown(length, units),
        load_words(case.machine.kind),
        case.extras.outdoors,
        case.board
    );
    Some(
        Finding::new(&codes::C533_PERHAPS_OUT_OF_SIGHT, what)
            .why("in sight is what is visible and near: a wall or a roof between them hides the open switch, however short the run")
            .cure("ask for a local disconnect switch in the row, or for all with isolator in [design]; where both are in sight of each other, decide this warning")
            .reference(sight.of_load),
    )
}

fn load_words(kind: LoadKind) -> &'static str {
    match kind {
        LoadKind::Motor => "motor",
        LoadKind::Packaged => "equipment",
        LoadKind::Heater => "heater",
        LoadKind::Transformer => "transformer",
        LoadKind::Capacitor | LoadKind::Lighting | LoadKind::Other => "load",
    }
}

fn shown(length: Metres, units: Units) -> String {
    format!("{} {}", significant(units.length(length.0).round(), 4), units.length_unit())
}
