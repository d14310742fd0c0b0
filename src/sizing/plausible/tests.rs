use super::*;
use crate::basis::BoardBasis;
use crate::sizing::testing::{basis, row, size, size_with};

fn iec() -> &'static dyn RuleBook {
    crate::rules::book("iec", None).expect("a book")
}

const PUMP: &[(&str, &str)] = &[
    ("tag", "P-1"),
    ("rated_power_kw", "4"),
    ("full_load_current_a", "8"),
    ("locked_rotor_ratio", "6"),
    ("start_time_s", "2"),
    ("starting_method", "direct"),
];

fn codes_of(more: &[(&'static str, &'static str)]) -> Vec<(String, Option<String>)> {
    let cells = [PUMP, more].concat();
    let named = size(&cells).findings;
    let is_contradiction = |code: &str| code.starts_with("L32") && code != "L320";
    named
        .into_iter()
        .filter(|finding| is_contradiction(&finding.code))
        .map(|finding| (finding.code.clone(), finding.place.and_then(|place| place.heading)))
        .collect()
}

// IEC 60034-30-1: 4 kW at 50 Hz, IE3: 88.1 % with 2 poles, 88.6 % with 4; IE5 (IEC TS 60034-30-2) about 93 %.
#[rstest::rstest]
#[case::as_the_class_asks(&[("efficiency_class", "IE3"), ("efficiency_pct", "88.6"), ("poles", "4")], None)]
#[case::a_little_below(&[("efficiency_class", "IE3"), ("efficiency_pct", "87.5"), ("poles", "4")], None)]
#[case::that_of_the_pump(&[("efficiency_class", "IE3"), ("efficiency_pct", "74")], Some(("L321", "efficiency_pct")))]
#[case::no_class(&[("efficiency_pct", "74")], None)]
#[case::hundred_per_cent(&[("efficiency_pct", "100")], Some(("L322", "efficiency_pct")))]
#[case::power_factor_of_one(&[("power_factor", "1")], Some(("L323", "power_factor")))]
#[case::usual_power_factor(&[("power_factor", "0.92")], None)]
#[case::millimetres(&[("cable_length_m", "48000")], Some(("L325", "cable_length_m")))]
#[case::long_but_possible(&[("cable_length_m", "900")], None)]
#[case::continuous_and_sixty_starts(&[("duty", "S1"), ("starts_per_hour", "60")], Some(("L326", "starts_per_hour")))]
#[case::continuous_and_twelve_starts(&[("duty", "S1"), ("starts_per_hour", "12")], None)]
#[case::intermittent_without_starts(&[("duty", "S3 40%"), ("starts_per_hour", "0")], Some(("L326", "starts_per_hour")))]
#[case::no_duty_stated(&[("starts_per_hour", "60")], None)]
fn contradictions_stand_at_their_cells(#[case] more: &[(&'static str, &'static str)], #[case] expected: Option<(&str, &str)>) {
    let found = codes_of(more);
    let expected: Vec<_> = expected.into_iter().map(|(code, heading)| (code.to_owned(), Some(heading.to_owned()))).collect();
    assert_eq!(found, expected);
}

#[test]
fn a_drive_shows_its_own_power_factor() {
    let cells = [
        ("tag", "P-1"),
        ("rated_power_kw", "4"),
        ("full_load_current_a", "8"),
        ("power_factor", "1"),
        ("starting_method", "drive"),
    ];
    assert!(size(&cells).findings.iter().all(|finding| finding.code != "L323"));
}

// NFPA 70, Table 430.250: 10 hp at 460 V has 14 A.
#[rstest::rstest]
#[case::of_the_table("14", None)]
#[case::efficient("12.5", None)]
#[case::far_below("7", Some("L324"))]
#[case::above("19", Some("R203"))]
#[case::above_by_a_tenth("14.1", None)]
#[case::above_by_more("14.5", Some("R203"))]
fn nameplates_are_held_against_the_table(#[case] amperes: &str, #[case] expected: Option<&str>) {
    let mut basis = basis();
    basis.rules.book = Some("nec".to_owned());
    basis.supply.voltage_v = Some(480.0);
    basis.supply.frequency_hz = Some(60.0);
    let cells = [
        ("tag", "P-1"),
        ("rated_power_hp", "10"),
        ("voltage_v", "460"),
        ("full_load_current_a", amperes),
        ("starting_method", "direct"),
    ];
    let circuit = size_with(&row(&cells), &basis).0;
    let found: Vec<&str> =
        circuit.findings.iter().map(|finding| finding.code.as_str()).filter(|code| ["L324", "R203"].contains(code)).collect();
    assert_eq!(found, expected.into_iter().collect::<Vec<_>>());
}

fn board(name: &str, from: Option<&str>) -> BoardBasis {
    BoardBasis { name: Some(name.to_owned()), fed_from: from.map(str::to_owned), ..BoardBasis::default() }
}

fn fed(tag: &str, from: &str) -> Load {
    row(&[("tag", tag), ("board", from)])
}

fn whats(found: &[Finding]) -> Vec<&str> {
    found.iter().map(|finding| finding.what.as_str()).collect()
}

#[test]
fn a_board_that_the_basis_does_not_name_is_said_with_the_nearest() {
    let mut basis = basis();
    assert!(across(&[fed("P-1", "MCC-1")], &basis, None, iec()).is_empty(), "a basis without boards names none");
    basis.boards = vec![board("MCC-1", None), board("MCC-2", None)].into();
    let found = across(&[fed("P-1", "MCC-1"), fed("P-2", "MCC1"), fed("P-3", "Roof")], &basis, None, iec());
    assert_eq!(whats(&found), ["the basis names no board `MCC1`", "the basis names no board `Roof`"]);
    assert!(found[0].cure.starts_with("did you mean `MCC-1`?"), "{}", found[0].cure);
    assert!(found[1].cure.contains("MCC-1, MCC-2"), "{}", found[1].cure);
    assert_eq!(found[0].place.as_ref().and_then(|place| place.heading.as_deref()), Some("board"));
}

#[test]
fn partners_are_looked_up_among_all_machines() {
    let rows = [row(&[("tag", "A-1"), ("interlock_with", "A-2; B-7")]), row(&[("tag", "A-2"), ("interlock_with", "A-1")])];
    let found = across(&rows, &basis(), None, iec());
    assert_eq!(whats(&found), ["the interlock partner B-7 is not in the schedule"]);
    assert_eq!(found[0].place.as_ref().and_then(|place| place.column.as_deref()), Some("B"));
}

#[test]
fn a_load_is_no_partner_of_itself() {
    let found = across(&[row(&[("tag", "A-1"), ("interlock_with", "A-1")])], &basis(), None, iec());
    assert_eq!(whats(&found), ["A-1 is interlocked with itself"]);
}

#[test]
fn metres_are_told_once_where_all_rows_have_them_and_at_the_row_where_one_differs() {
    let nec = crate::rules::book("nec", None).expect("a book");
    let metric = |tag| row(&[("tag", tag), ("cable_length_m", "30")]);
    let found = |rows: &[Load]| -> Vec<(String, Option<u32>)> {
        let unequal = across(rows, &basis(), None, nec).into_iter().filter(|finding| finding.code == "L312");
        unequal.map(|finding| (finding.what.clone(), finding.place.and_then(|place| place.row))).collect()
    };
    let all = found(&[metric("A"), metric("B"), row(&[("tag", "C")])]);
    assert_eq!(all, [("the lengths of all 2 rows that have one are in metres; this rule book reckons in feet".to_owned(), None)]);
    let mixed = found(&[metric("A"), metric("B"), row(&[("tag", "C"), ("cable_length_ft", "90")])]);
    assert!(mixed.len() == 2 && mixed.iter().all(|(_, place)| place.is_some()));
    assert!(across(&[metric("A"), metric("B")], &basis(), None, iec()).iter().all(|finding| finding.code != "L312"));
}

#[test]
fn a_ring_in_the_basis_is_named_once() {
    let mut basis = basis();
    basis.boards =
        vec![board("A", Some("C")), board("B", Some("A")), board("C", Some("B")), board("D", Some("C")), board("E", None)].into();
    let found = across(&[], &basis, Some("b.toml"), iec());
    assert_eq!(whats(&found), ["boards feed each other in a ring: A feeds B feeds C feeds A"]);
    assert_eq!(found[0].place.as_ref().map(|place| place.file.as_str()), Some("b.toml"));
    assert_eq!(found[0].severity, crate::finding::Severity::Error);
}

#[test]
fn rings_run_through_rows_too_and_each_is_named_once() {
    let mut basis = basis();
    basis.boards =
        vec![board("X", Some("Y")), board("Y", Some("X")), board("S", Some("S")), board("MCC-1", None), board("DP-2", None)]
            .into();
    let rows = [fed("DP-2", "DP-3"), fed("DP-3", "DP-2"), fed("P-1", "MCC-1"), fed("P-2", "DP-3")];
    let mut found = across(&rows, &basis, Some("b.toml"), iec());
    found.retain(|finding| finding.code == "L332");
    assert_eq!(
        whats(&found),
        [
            "boards feed each other in a ring: DP-2 feeds DP-3 feeds DP-2",
            "S feeds itself",
            "boards feed each other in a ring: X feeds Y feeds X"
        ]
    );
    assert_eq!(found[0].place.as_ref().and_then(|place| place.row), Some(2));
}

#[test]
fn a_board_fed_from_two_sides_is_no_ring() {
    let mut basis = basis();
    basis.boards = vec![board("T", None), board("A", Some("T")), board("B", Some("T"))].into();
    assert!(
        across(&[fed("C", "A"), fed("C", "B"), fed("P", "C")], &basis, None, iec()).iter().all(|finding| finding.code != "L332")
    );
}

// NEMA MG 1, Table 12-12: premium efficiency of 10 hp, 4 poles: 91.7 %. Classes below it have no table in that book.
#[rstest::rstest]
#[case::premium_too_low("NEMA-premium", "85", true)]
#[case::premium("NEMA-premium", "91.7", false)]
#[case::lower_class("energy-efficient", "89.5", false)]
#[case::lowest_class("IE1", "85", false)]
fn lower_classes_are_not_held_against_the_premium_table(
    #[case] class: &'static str,
    #[case] pct: &'static str,
    #[case] said: bool,
) {
    let mut basis = basis();
    basis.rules.book = Some("nec".to_owned());
    basis.supply.voltage_v = Some(480.0);
    let cells = [
        ("tag", "P-1"),
        ("rated_power_hp", "10"),
        ("voltage_v", "460"),
        ("poles", "4"),
        ("efficiency_class", class),
        ("efficiency_pct", pct),
        ("starting_method", "direct"),
    ];
    let circuit = size_with(&row(&cells), &basis).0;
    assert_eq!(circuit.findings.iter().any(|finding| finding.code == "L321"), said);
}
