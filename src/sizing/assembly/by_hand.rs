//! Hand-operated starters: they switch the motor themselves, so their horsepower is held against its own where the book asks for one.

use crate::catalogue::OverloadRelay;
use crate::design::Check;
use crate::load::{Case, LoadKind};
use crate::quantity::Amperes;
use crate::record::Record;
use crate::rules::{Category, Duty};
use crate::sizing::Tools;
use crate::sizing::judge::{at_most, not_checked};

/// The same name as for a contactor: both are the controller of the motor.
const HORSEPOWER: &str = "contactor-horsepower";

/// The horsepower of a hand-operated starter at the motor's voltage against that of its motor: what the altitude asks belongs to its rated
/// voltage, and the column of a higher voltage would declare more. None where the book rates controllers otherwise.
pub(super) fn horsepower(relay: &OverloadRelay, current: Amperes, case: &Case, tools: &Tools<'_>) -> Option<Check> {
    let machine = &case.machine;
    if machine.kind != LoadKind::Motor {
        return None;
    }
    let asks = tools.book.switching(Duty::Motor, current, 1.0, machine, &case.start, &mut Record::silent());
    let open = |because| Some(not_checked(HORSEPOWER, "hp", because, asks.reference).about("manual starter"));
    let declared = relay.horsepower(machine.phases, machine.voltage.0);
    match (asks.horsepower, asks.category, declared) {
        (Some(asked), _, Some(rated)) => {
            Some(at_most(HORSEPOWER, asked.motor, rated, "hp", asks.reference).about("manual starter"))
        }
        (Some(_), _, None) => open("the catalogue declares no horsepower of the hand-operated starter"),
        (None, Category::Continuous, _) => open("the motor's horsepower is unknown"),
        (None, ..) => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::builtin;
    use crate::design::Status;
    use crate::quantity::{Volts, fits};
    use crate::rules::nec::currents::{CurrentTable, full_load_current};
    use crate::sizing::Pins;
    use crate::sizing::testing::{basis, row, size_in};

    /// NFPA 70, 430.83(A): a starter operated by hand is a controller. A catalogue that declares no horsepower of it leaves the check open,
    /// one that declares it for other voltages only does not suit, and a motor of unknown horsepower is said to be one.
    #[test]
    fn a_hand_operated_starter_without_a_horsepower_rating_is_not_checked_and_never_silent() {
        let mut nec = basis();
        nec.rules.book = Some("nec".to_owned());
        nec.supply.voltage_v = Some(208.0);
        nec.supply.frequency_hz = Some(60.0);
        nec.supply.system = Some("208Y/120 4W solidly grounded".to_owned());
        let cells = [
            ("tag", "F-1"),
            ("rated_power_hp", "0.5"),
            ("full_load_current_a", "8.8"),
            ("voltage_v", "115"),
            ("phases", "1"),
            ("starting_method", "manual"),
            ("cable_length_ft", "50"),
        ];
        let with_range = |edit: &dyn Fn(&mut OverloadRelay)| {
            let mut range = builtin("nec").clone();
            range.overload_relays.iter_mut().filter(|relay| relay.kind == "manual-starter").for_each(edit);
            let (circuit, _) = size_in(&row(&cells), &nec, &range, &Pins::default());
            let check = circuit.checks.iter().find(|check| check.name == "contactor-horsepower").cloned();
            (circuit, check)
        };
        let (_, rated) = with_range(&|_| {});
        assert_eq!(rated.and_then(|rated| rated.passed), Some(true));
        let (circuit, open) = with_range(&|relay| {
            relay.hp_1ph_115 = None;
            relay.hp_1ph_230 = None;
            relay.hp_3ph_200 = None;
            relay.hp_3ph_230 = None;
            relay.hp_3ph_460 = None;
            relay.hp_3ph_575 = None;
        });
        let open = open.expect("never silent");
        assert!(open.passed.is_none() && open.not_checked_because.is_some_and(|why| why.contains("horsepower")));
        assert_eq!(circuit.status, Status::NeedsDecision);
        let (circuit, other) = with_range(&|relay| relay.hp_1ph_115 = None);
        assert!(
            other.is_none() && circuit.findings.iter().any(|finding| finding.code == "C204"),
            "rated for other voltages only"
        );
    }

    /// Horsepower of the invented hand-operated starters against the tables from which it is taken: NFPA 70, Tables 430.248 and 430.250.
    #[test]
    fn hand_operated_starters_carry_what_their_horsepower_draws() {
        let mut seen = 0;
        for relay in builtin("nec").overload_relays.iter().filter(|relay| relay.kind == "manual-starter") {
            for (phases, volts) in [(1, 115.0), (1, 230.0), (3, 200.0), (3, 230.0), (3, 460.0), (3, 575.0)] {
                let hp = relay.horsepower(phases, volts).expect("it is declared");
                let table = CurrentTable::of_phases(phases).expect("a table");
                let Some(drawn) = full_load_current(&mut Record::new(), table, hp, Volts(volts)) else { continue };
                assert!(
                    fits(drawn.current.0, relay.range_max_a),
                    "{}: {hp} hp at {volts} V draw {} A",
                    relay.part,
                    drawn.current.0
                );
                seen += 1;
            }
        }
        assert!(seen > 30, "{seen}");
    }
}
