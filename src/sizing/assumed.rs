//! What was assumed for a row, on which parts rest and for which they wait; and the values of tables beside it, on which none rests.

use crate::design::Circuit;
use crate::finding::{Finding, codes};
use crate::load::Case;
use crate::quantity::fits;
use crate::rules::RuleBook;
use crate::sizing::resolve::by_class;

/// The findings of what was assumed. Where currents go by tables, efficiency and power factor serve heat and voltage drop alone: they hold
/// nothing up where the drop keeps its limit whatever the power factor is.
pub(super) fn of_row(case: &Case, circuit: &Circuit, book: &dyn RuleBook) -> Vec<Finding> {
    let beside = if book.currents_by_tables() { by_class(&case.machine, book) } else { Vec::new() };
    let (held, told) = if drop_holds_at_any_power_factor(case, circuit) {
        (case.assumed.clone(), beside)
    } else {
        ([beside, case.assumed.clone()].concat(), Vec::new())
    };
    let say = |code, words: &[String], what: &str, cure: &str| {
        let finding = Finding::new(code, format!("{what}: {}", words.join(", ")));
        (!words.is_empty()).then(|| finding.at(case.place.clone()).cure(cure))
    };
    let held = say(&codes::L320_ASSUMED, &held, "assumed for this row", "nameplate values replace these");
    let told = say(
        &codes::R231_BESIDE_CURRENTS,
        &told,
        "by tables, for heat and voltage drop alone",
        "nothing: no part rests on them; nameplate values replace them",
    );
    held.into_iter().chain(told).collect()
}

/// The drop while running is at most that of the assumed power factor over this: what a current drops at any other power factor stays
/// within its limit where so much room is left.
fn drop_holds_at_any_power_factor(case: &Case, circuit: &Circuit) -> bool {
    let share = case.machine.power_factor.map_or(1.0, |known| known.value);
    let drops = circuit.checks.iter().filter(|check| check.name == "running-voltage-drop");
    drops.filter_map(|check| check.value.zip(check.limit)).all(|(drop, limit)| fits(drop, limit * share))
}
