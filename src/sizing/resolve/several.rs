//! Several equal motors behind one starter: for how many motors the circuit is sized, and why it can't be where it can't.
//!
//! The group is one load of so many times the current; what belongs to a single motor carries its share and stands so many times. The
//! row's figures are those of one motor.

use crate::finding::{Finding, codes};
use crate::load::{Field, Load, LoadKind, Machine, Start};
use crate::record::Record;
use crate::rules::RuleBook;
use crate::sizing::arrangement::Arrangement;
use crate::sizing::{circuits_of, motors_behind};

/// Cure where the trade has one starter for each motor anyway.
const A_STARTER_EACH: &str = "write one row for each motor, or state their number as quantity: each gets a starter of its own";

/// Motors behind the starter for which the circuit is sized. A number that can't be put to use is told, and the circuit is that of one.
pub(super) fn read(load: &Load, machine: &Machine, start: &Start, book: &dyn RuleBook, record: &mut Record) -> u32 {
    let motors = motors_behind(load);
    if motors < 2 {
        return 1;
    }
    if let Some([why, cure, reference]) = refused(machine, start, book) {
        record.find(
            Finding::new(
                &codes::L413_SEVERAL_MOTORS,
                format!("motors_per_starter {motors}: the circuit is sized for one motor, not for {motors}"),
            )
            .at(load.place_of(Field::MotorsPerStarter))
            .why(why)
            .cure(cure)
            .reference(reference),
        );
        return 1;
    }
    say_number(load, motors, record);
    motors
}

/// Why the circuit can't be that of several motors, what to do, and the clause.
fn refused(machine: &Machine, start: &Start, book: &dyn RuleBook) -> Option<[&'static str; 3]> {
    let protection = "IEC 60204-1, 7.3";
    if machine.kind != LoadKind::Motor {
        return Some(["the load is no motor", "state the number of equal loads as quantity", ""]);
    }
    if let Some(refused) = book.refuses_several_motors() {
        return Some(refused);
    }
    if machine.phases != 3 {
        let why = "only three-phase motors are sized in a group: a relay for each motor of one phase must have all its poles in circuit";
        return Some([why, A_STARTER_EACH, protection]);
    }
    if !Arrangement::of(start.method).several_motors {
        let why = "motors share a starter only where they are started direct, reversing, by a soft starter in the line or by a drive; this method switches the windings of one motor, or the starter is not chosen here";
        return Some([why, A_STARTER_EACH, protection]);
    }
    if machine.minimum_ampacity.is_some() || machine.maximum_protection.is_some() {
        let why =
            "what is marked on the equipment, smallest ampacity or largest protective device, holds for a circuit of its own";
        return Some([why, A_STARTER_EACH, "IEC 60364-1, 134.1.1"]);
    }
    None
}

/// A row that names other numbers of machines than one starter has can be read in two ways. The larger number is taken: the safer sum.
fn say_number(load: &Load, motors: u32, record: &mut Record) {
    let named = u32::try_from(load.tags().len()).unwrap_or(u32::MAX);
    let circuits = circuits_of(load);
    if load.count(Field::Quantity).is_some() || named < 2 || named == motors {
        return;
    }
    record.find(
        Finding::new(
            &codes::L414_MOTORS_NAMED,
            format!(
                "{named} machines are named, {motors} motors behind each starter, and no quantity: read as {circuits} starters with {} motors",
                circuits.saturating_mul(motors)
            ),
        )
        .at(load.place_of(Field::MotorsPerStarter))
        .why("it may as well be fewer starters, of which each has several of the machines that are named")
        .cure("state the number of starters as quantity"),
    );
}

#[cfg(test)]
mod tests {
    use rstest::rstest;

    use crate::load::Method;
    use crate::sizing::testing::{basis, row, size, size_with};

    const FAN: &[(&str, &str)] = &[
        ("tag", "EF-1"),
        ("rated_power_kw", "4"),
        ("full_load_current_a", "8"),
        ("voltage_v", "400"),
        ("phases", "3"),
        ("locked_rotor_ratio", "6"),
        ("start_time_s", "2"),
        ("cable_length_m", "20"),
        ("motors_per_starter", "3"),
    ];

    fn with(more: &[(&'static str, &'static str)]) -> Vec<(&'static str, &'static str)> {
        [FAN, more].concat()
    }

    // The methods that the meaning of this column names; every other one says why not and stays the circuit of one motor.
    #[test]
    fn every_method_either_serves_the_group_or_says_why_not() {
        for (_, word) in Method::ALL {
            let circuit = size(&with(&[
                ("starting_method", word),
                ("motor_voltages", "400/690"),
                ("rotor_current_a", "7"),
                ("full_load_current_low_a", "4"),
            ]));
            // A motor on a contactor is started direct.
            let serves = matches!(circuit.load.starting_method.as_deref(), Some("direct" | "soft-starter" | "drive"));
            let told = circuit.findings.iter().find(|finding| finding.code == "L413");
            assert_eq!(told.is_none(), serves, "{word}: {told:?}");
            assert_eq!(circuit.motors, if serves { 3 } else { 1 }, "{word}");
            if let Some(told) = told {
                assert!(!told.why.is_empty() && !told.cure.is_empty() && told.what.contains('3'), "{told:?}");
            }
        }
    }

    #[rstest]
    #[case::one_phase(&[("starting_method", "direct"), ("phases", "1"), ("voltage_v", "230")])]
    #[case::no_motor(&[("starting_method", "contactor"), ("load_kind", "heater")])]
    #[case::a_marking(&[("starting_method", "direct"), ("maximum_protection_a", "25")])]
    fn what_is_no_group_says_why(#[case] cells: &[(&'static str, &'static str)]) {
        let kept: Vec<_> = FAN.iter().filter(|(name, _)| cells.iter().all(|(other, _)| other != name)).copied().collect();
        let circuit = size(&[&kept[..], cells].concat());
        let told = circuit.findings.iter().find(|finding| finding.code == "L413").expect("it is told");
        assert!(!told.why.is_empty() && !told.cure.is_empty(), "{told:?}");
        assert_eq!(circuit.motors, 1);
    }

    #[test]
    fn the_other_book_refers_to_its_clause() {
        let mut basis = basis();
        basis.rules.book = Some("nec".to_owned());
        basis.supply.voltage_v = Some(480.0);
        let cells: Vec<_> = with(&[("starting_method", "direct")]).into_iter().filter(|(name, _)| *name != "voltage_v").collect();
        let circuit = size_with(&row(&[&cells[..], &[("voltage_v", "460")]].concat()), &basis).0;
        let told = circuit.findings.iter().find(|finding| finding.code == "L413").expect("it is told");
        assert!(told.reference.contains("430.53"), "{told:?}");
        assert_eq!(circuit.motors, 1);
    }

    #[test]
    fn one_motor_is_no_group() {
        let cells: Vec<_> = FAN.iter().filter(|(name, _)| *name != "motors_per_starter").copied().collect();
        let none = [&cells[..], &[("starting_method", "direct")]].concat();
        let (without, one) = (size(&none), size(&[&none[..], &[("motors_per_starter", "1")]].concat()));
        let bare = |circuit: &crate::design::Circuit| {
            let mut circuit = circuit.clone();
            circuit.stated.remove("motors_per_starter");
            circuit.load.other.remove("motors_per_starter");
            serde_json::to_string(&circuit).expect("a circuit is JSON")
        };
        assert_eq!(bare(&without), bare(&one));
    }
}
