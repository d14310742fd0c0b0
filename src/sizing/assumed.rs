//! What was assumed for a row, on which parts rest and for which they wait; and the values of tables beside it, on which none rests.

use crate::design::{Circuit, Run};
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

/// The drop at the assumed power factor is a share of the most that the same current drops in the same conductors at any: it stays within
/// its limit where so much room is left. A run whose length is not known has no drop that could hold.
fn drop_holds_at_any_power_factor(case: &Case, circuit: &Circuit) -> bool {
    let power_factor = case.machine.power_factor.map_or(1.0, |known| known.value);
    let of_run = |run: &Run| share_of_most(power_factor, run.resistance_ohm.zip(run.reactance_ohm));
    let share = circuit.runs.iter().map(of_run).fold(1.0, f64::min);
    let drops = circuit.checks.iter().filter(|check| check.name == "running-voltage-drop");
    case.route.length.is_some()
        && drops.filter_map(|check| check.value.zip(check.limit)).all(|(drop, limit)| fits(drop, limit * share))
}

/// R cos φ + X sin φ over the impedance, which is the most that it becomes; of an impedance that is not known the least that it may be.
fn share_of_most(power_factor: f64, impedance: Option<(f64, f64)>) -> f64 {
    let reactive = (1.0 - power_factor * power_factor).max(0.0).sqrt();
    match impedance {
        Some((r, x)) if r * r + x * x > 0.0 => (r * power_factor + x * reactive) / (r * r + x * x).sqrt(),
        _ => power_factor.min(reactive),
    }
}

#[cfg(test)]
mod tests {
    use super::share_of_most;

    /// NFPA 70, Chapter 9, Table 9, 500 kcmil copper in steel: 0.029 and 0.048 ohm/kft, an impedance of 0.0561. At 0.92 the drop is
    /// 0.029 x 0.92 + 0.048 x 0.392 = 0.0455, 0.811 of the most; of an unknown impedance it may be 0.392.
    #[test]
    fn the_share_of_the_largest_drop_goes_by_the_impedance() {
        let share = |impedance| share_of_most(0.92, impedance);
        assert!((share(Some((0.029, 0.048))) - 0.811).abs() < 1e-3, "{}", share(Some((0.029, 0.048))));
        assert!((share(Some((1.0, 0.0))) - 0.92).abs() < 1e-9);
        assert!((share(None) - 0.392).abs() < 1e-3);
    }
}
