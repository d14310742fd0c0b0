//! Properties that hold of any feeder: more load never gives less, sets give the largest combination.

use proptest::prelude::*;

use super::*;

fn terms() -> impl Strategy<Value = Vec<FeederTerm>> {
    let one = (1.0..120.0f64, 0..4u8, 1.5..3.0f64).prop_map(|(amperes, kind, device)| FeederTerm {
        current: Amperes(amperes),
        duty_value: (kind == 1).then_some(Amperes(amperes * 1.2)),
        motor: kind < 3,
        continuous: kind == 3,
        starting: Amperes(if kind < 3 { 7.0 * amperes } else { 0.0 }),
        start_time: Seconds(3.0),
        branch: Some(Amperes(amperes * device)),
        as_feeder: Some(Amperes(amperes * 2.5)),
        ..FeederTerm::default()
    });
    proptest::collection::vec(one, 1..8)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    /// More load: never a smaller capacity, device or conductor.
    #[test]
    fn a_further_load_never_gives_less(terms in terms(), more in terms()) {
        for book in ["iec", "nec"] {
            let mut basis = basis(book, BoardBasis { feeder_length_m: Some(10.0), ..board() });
            // No drop decides, so that the sizes follow the currents alone.
            basis.design.ambient_c = Some(30.0);
            let few = Case::of(&terms).feeder(&basis, book, Some(5.0));
            let both: Vec<FeederTerm> = terms.iter().chain(&more[..1]).copied().collect();
            let many = Case::of(&both).feeder(&basis, book, Some(5.0));
            prop_assert!(many.minimum.0 >= few.minimum.0 - 1e-9);
            if let (Some(few), Some(many)) = (few.protection_maximum, many.protection_maximum) {
                prop_assert!(few.0 <= many.0, "{book}: {few:?} {many:?}");
            }
            prop_assert!(many.protection.0 >= few.protection.0 - 1e-9, "{book}: {:?} {:?}", few.protection, many.protection);
            // Where no size clears a fault in time the conductors are those that hold all else, and the board waits for a decision.
            let holds = |feeder: &Feeder| feeder.checks.iter().all(|check| check.passed != Some(false));
            if let Some((few, many)) = few.run.as_ref().filter(|_| holds(&few)).zip(many.run.as_ref().filter(|_| holds(&many))) {
                prop_assert!(many.required_a >= few.required_a - 1e-6 && many.capacity_a >= many.required_a - 1e-6, "{book}: {many:?}");
                // Several in parallel have less reactance than one of their metal: where a fault at the far end asks for them, they may
                // carry less than one alone that held behind a lower trip.
                let alike = many.per_phase == few.per_phase;
                prop_assert!(!alike || many.capacity_a >= few.capacity_a - 1e-6, "{book}: {few:?} {many:?}");
            }
        }
    }

    /// The same for a continuous load beside which a small motor is put: the way of the device changes with the first motor.
    #[test]
    fn a_small_motor_beside_other_loads_never_gives_less(load in 5.0..160.0f64, motor in 0.5..6.0f64, branch in 1.0..1.6f64, lasts in proptest::bool::ANY) {
        let of = |current: f64, motor: bool| FeederTerm {
            current: Amperes(current),
            duty_value: None,
            motor,
            continuous: lasts && !motor,
            marked: false,
            capacitor: false,
            locked: Amperes(0.0),
            starting: Amperes(if motor { 7.0 * current } else { 0.0 }),
            start_time: Seconds(3.0),
            branch: Some(Amperes(branch * current)),
            as_feeder: Some(Amperes(2.5 * current)),
        };
        for book in ["iec", "nec"] {
            let basis = basis(book, BoardBasis { feeder_length_m: Some(10.0), ..board() });
            let [few, many] = [vec![of(load, false)], vec![of(load, false), of(motor, true)]]
                .map(|terms| Case::of(&terms).feeder(&basis, book, Some(5.0)));
            prop_assert!(many.minimum.0 >= few.minimum.0 - 1e-9, "{book}: {:?} {:?}", few.minimum, many.minimum);
            prop_assert!(many.protection.0 >= few.protection.0 - 1e-9, "{book}: {:?} {:?}", few.protection, many.protection);
            if let (Some(few), Some(many)) = (&few.run, &many.run) {
                prop_assert!(many.capacity_a >= few.capacity_a - 1e-6, "{book}: {} {}", few.capacity_a, many.capacity_a);
            }
        }
    }

    /// A board of sets: what is worked out at once is what trying every combination gives.
    #[test]
    fn sets_give_the_largest_combination(terms in terms(), others in terms()) {
        let book = rules::book("nec", None).expect("a book");
        let plain = |terms: &[FeederTerm]| {
            let items: Vec<FeederItem> =
                terms.iter().map(|term| FeederItem { term: *term, running: 1, displaces: None }).collect();
            book.feeder_need(&items, Amperes(0.0), &mut Record::silent()).capacity.0
        };
        // One of the set runs, all others always.
        let largest = terms.iter().map(|term| plain(&[&[*term][..], &others].concat())).fold(0.0, f64::max);
        let mut case = Case::of(&[&terms[..], &others].concat());
        for counted in &mut case.counted[..terms.len()] {
            counted.set = Some(0);
        }
        case.sets = vec![1];
        let items = case.items(&basis("nec", board()), "nec");
        let got = book.feeder_need(&items.items, Amperes(0.0), &mut Record::silent()).capacity.0;
        prop_assert!((got - largest).abs() < 1e-6, "{got} against {largest}");
    }
}
