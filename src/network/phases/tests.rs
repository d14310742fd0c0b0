use super::*;
use crate::network::testing::{board, motor, single, tree};
use proptest::prelude::*;

fn three() -> Tree {
    tree(vec![board("MB", Parent::Supply)])
}

fn stated(row: Connected, text: &str) -> Connected {
    Connected { phase: Some(text.to_owned()), ..row }
}

fn words(tree: &Tree, rows: &[Connected]) -> Vec<String> {
    assign(tree, rows).rows.iter().map(|spread| spread.map_or_else(|| "three".to_owned(), Spread::words)).collect()
}

fn named(text: &str) -> Option<Vec<usize>> {
    names::read(text).and_then(|read| read.phases(Some(Blue::Second)))
}

#[rstest::rstest]
#[case::first("L1", &[0])]
#[case::letter("B", &[1])]
#[case::words("Phase C", &[2])]
#[case::number_behind("Phase 2", &[1])]
#[case::older("S", &[1])]
#[case::end("W", &[2])]
#[case::digit("3", &[2])]
#[case::colour("blue", &[2])]
#[case::pair("L1-L3", &[0, 2])]
#[case::pair_of_older("S/T", &[1, 2])]
#[case::without_a_sign("BC", &[1, 2])]
#[case::without_a_sign_either("L1L2", &[0, 1])]
#[case::with_neutral("L2/N", &[1])]
#[case::with_neutral_behind("L2N", &[1])]
#[case::all("L1,L2,L3", &[0, 1, 2])]
#[case::letter_parted("L 1", &[0])]
#[case::letter_parted_by_a_sign("L-2", &[1])]
#[case::pair_parted("L 1 - L 3", &[0, 2])]
#[case::and_the_older("L1 (R)", &[0])]
#[case::the_older_first("S (L2)", &[1])]
#[case::and_its_colour("L1 red", &[0])]
#[case::and_blue("L3 (B)", &[2])]
#[case::pair_and_letters("L1-L2 (A-B)", &[0, 1])]
#[case::all_of_older("RST", &[0, 1, 2])]
fn phases_are_read(#[case] text: &str, #[case] expected: &[usize]) {
    assert_eq!(named(text).as_deref(), Some(expected));
}

/// Counts of phases, kinds of current and words are no phases, whatever letters they hold.
#[test]
fn what_names_no_phase_is_not_read() {
    for text in [
        "L",
        "lighting",
        "4",
        "?",
        "1.5 kW",
        "1 phase",
        "3 phase",
        "1-ph",
        "3PH",
        "VAC",
        "any",
        "by others",
        "SUB",
        "AA",
        "L1 S",
        "L1 (B)",
        "1 A",
        "L1 R S",
        "N",
    ] {
        assert_eq!(named(text), None, "{text}");
    }
}

#[test]
fn blue_is_the_third_where_others_are_red_and_yellow() {
    let rows = [stated(single("A", 0, 1.0, true), "B"), stated(single("C", 0, 1.0, true), "Y")];
    assert_eq!(words(&three(), &rows), ["L3", "L2"]);
    assert_eq!(words(&three(), &rows[..1]), ["L2"]);
}

/// A, B, C beside a text that holds a Y or the word red: B stays the second.
#[test]
fn a_word_with_a_y_moves_no_other_row() {
    for odd in ["any", "by others", "required", "Y-connected"] {
        let of = |text: &str| stated(single("A", 0, 1.0, true), text);
        let found = assign(&three(), &[of("A"), of("B"), of("C"), of(odd)]);
        let places: Vec<String> = found.rows.iter().take(3).flatten().map(|spread| spread.words()).collect();
        assert_eq!(places, ["L1", "L2", "L3"], "{odd}");
        assert!(found.rows[3].is_some_and(|spread| !spread.stated), "{odd}");
    }
}

/// What B means is a board's own affair where its rows say so; a board that names nothing but B follows the schedule.
#[test]
fn each_board_says_by_itself_what_b_means() {
    let boards = tree(vec![board("A", Parent::Supply), board("B", Parent::Supply), board("C", Parent::Supply)]);
    let of = |node: usize, text: &str| stated(single("A", node, 1.0, true), text);
    let rows = [of(0, "A"), of(0, "B"), of(1, "R"), of(1, "B")];
    assert_eq!(words(&boards, &rows), ["L1", "L2", "L1", "L3"]);
    assert_eq!(words(&boards, &[of(1, "R"), of(1, "Y"), of(2, "B")]), ["L1", "L2", "L3"]);
    // Rows that name both kinds leave it open.
    let found = assign(&boards, &[of(0, "A"), of(0, "Y"), of(0, "B")]);
    assert_eq!(found.findings.iter().map(|finding| finding.code.as_str()).collect::<Vec<_>>(), ["B202"]);
    assert_eq!(found.rows.iter().flatten().filter(|spread| spread.stated).count(), 2);
}

#[test]
fn the_largest_goes_first_to_the_least_loaded() {
    let rows = [
        single("A", 0, 2.0, true),
        single("B", 0, 5.0, true),
        stated(single("C", 0, 4.0, true), "L1"),
        single("D", 0, 3.0, true),
        single("E", 0, 6.0, false),
        motor("F", 0, 30.0, 0.8),
    ];
    // L1 has 4; 6 kW between two phases are 3.46 in each: L2-L3; 5 on L2 (3.46, as L3); 3 on L3; 2 on L1.
    assert_eq!(words(&three(), &rows), ["L1", "L2", "L1", "L3", "L2-L3", "three"]);
    assert!(assign(&three(), &rows).rows[2].is_some_and(|spread| spread.stated));
}

#[test]
fn equal_circuits_are_spread() {
    let row = Connected { number: 7, ..single("A", 0, 1.0, true) };
    assert_eq!(words(&three(), &[row]), ["3 × L1, 2 × L2, 2 × L3"]);
}

#[test]
fn boards_before_are_balanced_where_a_board_leaves_the_choice_open() {
    let boards = tree(vec![
        board("MB", Parent::Supply),
        board("A", Parent::Board(0)),
        board("B", Parent::Board(0)),
        board("C", Parent::Board(0)),
    ]);
    let rows = [single("A", 1, 3.0, true), single("B", 2, 3.0, true), single("C", 3, 3.0, true)];
    assert_eq!(words(&boards, &rows), ["L1", "L2", "L3"]);
}

#[test]
fn a_single_phase_board_is_assigned_like_a_load() {
    let panel = |voltage: f64| Node { phases: 1, voltage: Volts(voltage), ..board("P", Parent::Board(0)) };
    let heater = Connected { voltage: Volts(230.0), current: crate::quantity::Amperes(20.0), ..single("H", 1, 4.6, true) };
    let boards = tree(vec![board("MB", Parent::Supply), panel(230.0)]);
    let found = assign(&boards, &[heater.clone(), stated(single("A", 0, 1.0, true), "L1")]);
    assert_eq!(found.boards[1], Some(Connection { phase: 1, between: false }));
    // Both wires of its own board.
    assert_eq!(found.rows[0].map(|spread| spread.between), Some(true));
    // Behind a transformer it lies between two phases, and 120 V on 240 V are a leg.
    let behind = Node { transformer: Some(0), ..panel(240.0) };
    let boards = tree(vec![board("MB", Parent::Supply), behind]);
    let lamp = |tag: &str| Connected { voltage: Volts(120.0), ..single(tag, 1, 1.0, true) };
    let found = assign(&boards, &[lamp("A"), lamp("B")]);
    assert_eq!(found.boards[1], Some(Connection { phase: 0, between: true }));
    assert_eq!(found.rows.iter().flatten().map(|spread| spread.words()).collect::<Vec<_>>(), ["L1", "L2"]);
    assert_eq!(found.rows.iter().flatten().map(|spread| spread.lines()).collect::<Vec<_>>(), ["L1-N", "L2-N"]);
}

#[rstest::rstest]
#[case::unknown(single("A", 0, 1.0, true), "pump")]
#[case::one_for_a_pair(single("A", 0, 1.0, false), "L1")]
#[case::two_for_a_neutral(single("A", 0, 1.0, true), "L1-L2")]
fn a_phase_that_can_not_hold_is_said(#[case] row: Connected, #[case] text: &str) {
    let found = assign(&three(), &[stated(row, text)]);
    assert_eq!(found.findings.iter().map(|finding| finding.code.as_str()).collect::<Vec<_>>(), ["B202"]);
    assert!(found.findings[0].what.contains(text));
    assert!(found.rows[0].is_some_and(|spread| !spread.stated && spread.circuits.iter().sum::<u32>() == 1));
}

#[test]
fn three_phases_on_a_board_of_one_are_said() {
    let one = tree(vec![Node { phases: 1, ..board("P", Parent::Supply) }]);
    assert_eq!(assign(&one, &[motor("A", 0, 1.0, 0.8)]).findings.first().map(|finding| finding.code.as_str()), Some("B203"));
}

/// By hand: 3, 1, 1, 1 on three phases are 3, 2, 1 where the largest goes first; in the order of the list 3 would come upon 1.
#[test]
fn the_largest_goes_first_though_it_stands_last() {
    let rows = [single("A", 0, 1.0, true), single("B", 0, 1.0, true), single("C", 0, 1.0, true), single("D", 0, 3.0, true)];
    assert_eq!(words(&three(), &rows), ["L2", "L3", "L2", "L1"]);
}

proptest! {
    #[test]
    /// Loads to the neutral of one power factor add up as numbers do. Who puts the largest first on the least loaded phase ends with no
    /// phase above (sum + 2 × largest) / 3: the last load that raised the highest phase went on the least one, which held at most a
    /// third of the others (Graham, 1969, bound of list scheduling on three machines).
    fn no_phase_is_far_above_a_third(loads in prop::collection::vec((0.1..9.0f64, 1u32..5), 1..20)) {
        let rows: Vec<Connected> =
            loads.iter().map(|(kw, number)| Connected { number: *number, ..single("A", 0, *kw, true) }).collect();
        let found = assign(&three(), &rows);
        let mut phases = [0.0; 3];
        for (spread, row) in found.rows.iter().flatten().zip(&rows) {
            for (phase, circuits) in phases.iter_mut().zip(spread.circuits) {
                *phase += row.drawn(row.voltage).magnitude() * f64::from(circuits);
            }
        }
        let largest = rows.iter().map(|row| row.drawn(row.voltage).magnitude()).fold(0.0, f64::max);
        let highest = phases.iter().copied().fold(0.0, f64::max);
        prop_assert!(highest <= (phases.iter().sum::<f64>() + 2.0 * largest) / 3.0 * (1.0 + 1e-9), "{phases:?}, largest {largest}");
        for (spread, row) in found.rows.iter().zip(&rows) {
            prop_assert_eq!(spread.map(|spread| spread.circuits.iter().sum::<u32>()), Some(row.number));
        }
    }

    #[test]
    fn any_text_is_a_phase_or_a_finding(text in ".{0,20}", neutral in any::<bool>()) {
        let found = assign(&three(), &[stated(single("A", 0, 1.0, neutral), &text)]);
        prop_assert_eq!(found.rows[0].map(|spread| spread.circuits.iter().sum::<u32>()), Some(1));
        prop_assert!(found.findings.len() <= 1);
    }

    /// A word of letters that are no phase states none, and moves no row that states its own.
    #[test]
    fn a_word_states_no_phase(text in "[a-z ]{0,8}[d-km-qxz][a-z ]{0,8}") {
        let of = |text: &str| stated(single("A", 0, 1.0, true), text);
        let found = assign(&three(), &[of("A"), of("B"), of("C"), of(&text)]);
        let whole = ["red", "yellow", "blue", "ph", "line"].iter().any(|word| text.contains(word));
        let behind = text.contains('n') && !text.chars().any(|c| "defghijkmopqxz".contains(c));
        prop_assume!(!whole && !behind);
        prop_assert!(found.rows[3].is_some_and(|spread| !spread.stated), "{text}");
        let places: Vec<String> = found.rows.iter().take(3).flatten().map(|spread| spread.words()).collect();
        prop_assert_eq!(places, ["L1", "L2", "L3"]);
    }
}
