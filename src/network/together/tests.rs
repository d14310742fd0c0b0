use super::*;
use crate::network::testing::motor;

/// Circuits that run of rows with these inputs, kW, by tag.
fn runs(rows: &[Connected]) -> Vec<(&str, u32)> {
    let behind: Vec<usize> = (0..rows.len()).collect();
    let weight = |row: usize| rows[row].input.0;
    let found = Together::of(rows).among(&behind, rows, &weight);
    found.into_iter().filter(|runs| runs.number > 0).map(|runs| (rows[runs.row].tag.as_str(), runs.number)).collect()
}

fn grouped(tag: &str, kw: f64, running: Running, duty_count: Option<u32>) -> Connected {
    Connected { running, group: Some("g".to_owned()), duty_count, ..motor(tag, 0, kw, 0.8) }
}

fn locked(tag: &str, kw: f64, with: &[&str]) -> Connected {
    Connected { interlock_with: with.iter().map(|tag| (*tag).to_owned()).collect(), ..motor(tag, 0, kw, 0.8) }
}

#[test]
fn a_standby_load_runs_unless_something_keeps_it_out() {
    let alone = [motor("A", 0, 5.0, 0.8), Connected { running: Running::Standby, ..motor("B", 0, 5.0, 0.8) }];
    assert_eq!(runs(&alone), [("A", 1), ("B", 1)]);
    // The group of a duty and a standby load: as many run as are on duty, and the larger one counts.
    let group = [grouped("A", 5.0, Running::Duty, None), grouped("B", 6.0, Running::Standby, None)];
    assert_eq!(runs(&group), [("B", 1)]);
    let locked = [locked("A", 5.0, &["B"]), Connected { running: Running::Standby, ..locked("B", 4.0, &[]) }];
    assert_eq!(runs(&locked), [("A", 1)]);
}

#[test]
fn assist_loads_run_and_spare_ways_do_not() {
    let rows = [
        Connected { running: Running::Assist, ..motor("A", 0, 5.0, 0.8) },
        Connected { running: Running::Spare, ..motor("B", 0, 5.0, 0.8) },
    ];
    assert_eq!(runs(&rows), [("A", 1)]);
}

#[rstest::rstest]
#[case::two_of_three(Some(2), None, &[("A", 1), ("C", 1)])]
#[case::all_but_one(None, Some(1), &[("A", 1), ("C", 1)])]
#[case::more_than_there_are(Some(9), None, &[("A", 1), ("B", 1), ("C", 1)])]
#[case::none(Some(0), None, &[])]
fn of_a_group_the_largest_combination_runs(
    #[case] duty_count: Option<u32>,
    #[case] standby_count: Option<u32>,
    #[case] expected: &[(&str, u32)],
) {
    let row = |tag: &str, kw: f64| Connected { standby_count, ..grouped(tag, kw, Running::Duty, duty_count) };
    assert_eq!(runs(&[row("A", 9.0), row("B", 7.0), row("C", 8.0)]), expected);
}

#[test]
fn circuits_of_one_row_count_each() {
    let row = Connected { number: 4, ..grouped("A", 9.0, Running::Duty, Some(5)) };
    assert_eq!(runs(&[row, Connected { number: 3, ..grouped("B", 7.0, Running::Duty, None) }]), [("A", 4), ("B", 1)]);
    let pump = |duty_count, standby_count| Connected { number: 3, duty_count, standby_count, ..motor("A", 0, 9.0, 0.8) };
    assert_eq!(runs(&[pump(Some(2), None)]), [("A", 2)]);
    assert_eq!(runs(&[pump(None, Some(1))]), [("A", 2)]);
    assert_eq!(runs(&[pump(None, Some(3))]), [("A", 3)]);
}

#[test]
fn counts_that_differ_are_said_and_the_larger_holds() {
    let rows = [grouped("A", 9.0, Running::Duty, Some(1)), grouped("B", 8.0, Running::Duty, Some(2))];
    assert_eq!(runs(&rows), [("A", 1), ("B", 1)]);
    let found = Together::of(&rows).findings;
    assert_eq!(found.len(), 1);
    assert!(found[0].code == "B204" && found[0].what.contains("A 1, B 2"), "{found:?}");
}

#[test]
fn interlocked_rows_never_run_together() {
    assert_eq!(runs(&[locked("A", 5.0, &[]), locked("B", 6.0, &["A"]), locked("C", 7.0, &["none such"])]), [("B", 1), ("C", 1)]);
    // B bars A and C, which may run together: 5 + 4 against 8.
    let chain = |b: f64| [locked("A", 5.0, &["B"]), locked("B", b, &[]), locked("C", 4.0, &["B"])];
    assert_eq!(runs(&chain(8.0)), [("A", 1), ("C", 1)]);
    assert_eq!(runs(&chain(10.0)), [("B", 1)]);
    // Three of four have no partner where there is one on the other side.
    let four = [Connected { number: 4, ..locked("A", 5.0, &["B"]) }, locked("B", 6.0, &[])];
    assert_eq!(runs(&four), [("A", 3), ("B", 1)]);
}

/// Either of two that bar each other may be the one behind a feeder: on each feeder the one that is there counts.
#[test]
fn what_rests_elsewhere_counts_on_its_own_feeder() {
    let elsewhere = |row: Connected| Connected { node: 1, ..row };
    let count = |rows: &[Connected]| Together::of(rows).counted(rows, &|row| rows[row].input.0);
    let (counted, sets) = count(&[locked("A", 5.0, &["B"]), elsewhere(locked("B", 4.0, &[]))]);
    assert_eq!((counted, sets), (vec![(1, Some(0)), (1, Some(0))], vec![1]));
    // A chain over two boards: C alone may be behind a feeder.
    let chain = |c: Connected| [locked("A", 5.0, &["B"]), locked("B", 10.0, &["C"]), c];
    assert_eq!(count(&chain(elsewhere(locked("C", 4.0, &[])))), (vec![(1, None); 3], vec![]));
    assert_eq!(count(&chain(locked("C", 4.0, &[]))), (vec![(0, None), (1, None), (0, None)], vec![]));
}

#[test]
fn a_long_chain_counts_in_full() {
    let tags: Vec<String> = (0..12).map(|number| format!("P-{number:02}")).collect();
    let rows: Vec<Connected> = (0..12)
        .map(|number| locked(&tags[number], 5.0, &tags.get(number + 1).map(String::as_str).into_iter().collect::<Vec<_>>()))
        .collect();
    assert_eq!(runs(&rows).len(), 12);
}

#[test]
fn an_interlock_inside_a_group_holds_beside_its_number() {
    let with = |row: Connected, tag: &str| Connected { interlock_with: vec![tag.to_owned()], ..row };
    let rows = [
        with(grouped("A", 9.0, Running::Duty, Some(2)), "B"),
        grouped("B", 8.0, Running::Duty, None),
        grouped("C", 2.0, Running::Duty, None),
    ];
    assert_eq!(runs(&rows), [("A", 1), ("C", 1)]);
}

#[test]
fn a_board_asks_for_what_is_behind_it() {
    let rows = [grouped("A", 9.0, Running::Duty, Some(1)), grouped("B", 8.0, Running::Standby, None)];
    let together = Together::of(&rows);
    let weight = |row: usize| rows[row].input.0;
    assert_eq!(together.among(&[1], &rows, &weight), [Runs { row: 1, number: 1 }]);
    assert_eq!(together.among(&[0, 1], &rows, &weight), [Runs { row: 0, number: 1 }]);
}

proptest::proptest! {
    /// By trying all: no combination that group and interlocks allow is larger.
    #[test]
    fn nothing_that_is_allowed_is_larger(
        weights in proptest::collection::vec(1.0..10.0f64, 6),
        pairs in proptest::collection::vec((0usize..6, 0usize..6), 0..5),
        most in proptest::option::of(0u32..6),
    ) {
        let tags: Vec<String> = (0..6).map(|number| format!("P-{number}")).collect();
        let rows: Vec<Connected> = (0..6)
            .map(|row| {
                let with: Vec<&str> =
                    pairs.iter().filter(|(a, b)| *a == row && a != b).map(|(_, b)| tags[*b].as_str()).collect();
                let group = most.map(|_| "g".to_owned());
                Connected { group, duty_count: most, ..locked(&tags[row], weights[row], &with) }
            })
            .collect();
        let found: f64 = runs(&rows).iter().map(|(tag, _)| weights[tags.iter().position(|other| other == tag).unwrap_or(0)]).sum();
        let allowed = |set: &u32| {
            pairs.iter().all(|(a, b)| a == b || set & (1 << a) == 0 || set & (1 << b) == 0)
                && most.is_none_or(|most| set.count_ones() <= most)
        };
        let sum = |set: u32| (0..6).filter(|row| set & (1 << row) != 0).map(|row| weights[row]).sum::<f64>();
        let largest = (0..64u32).filter(allowed).map(sum).fold(0.0, f64::max);
        proptest::prop_assert!(found >= largest - 1e-9, "{found} against {largest}");
        if most.is_none() {
            proptest::prop_assert!(found <= largest + 1e-9, "{found} against {largest}");
        }
    }
}
