use super::*;
use crate::basis::BoardBasis;
use crate::load::LoadKind;
use crate::network::phases::assign;
use crate::network::testing::{board, motor, single, tree};
use crate::network::tree::Parent;
use crate::quantity::Vars;
use crate::rules;
use proptest::prelude::*;

fn demands_in(tree: &Tree, rows: &[Connected], basis: &Basis, book: &str) -> Demands {
    let book = rules::book(book, None).expect("the book");
    of(tree, rows, &Together::of(rows), &assign(tree, rows), basis, book)
}

fn demands(tree: &Tree, rows: &[Connected]) -> Demands {
    demands_in(tree, rows, &Basis::default(), "iec")
}

fn near(value: f64, expected: f64) {
    assert!((value - expected).abs() <= 1e-9 * expected.abs().max(1.0), "{value} against {expected}");
}

fn codes_of(findings: &[Finding]) -> Vec<&str> {
    findings.iter().map(|finding| finding.code.as_str()).collect()
}

/// Line current of so many kW at unity on 400 V.
fn amperes(kw: f64) -> f64 {
    1000.0 * kw / (3f64.sqrt() * 400.0)
}

#[test]
fn powers_add_as_phasors() {
    let rows = [motor("A", 0, 80.0, 0.8), motor("B", 0, 60.0, 1.0)];
    let found = demands(&tree(vec![board("MB", Parent::Supply)]), &rows);
    let demand = &found.boards[0];
    // 80 kW at 0.8 bring 60 kvar: 140 kW and 60 kvar are 152.3 kVA, not 160.
    near(demand.connected.0, 140_000.0);
    near(demand.running_w, 140_000.0);
    near(demand.running_var, 60_000.0);
    near(demand.running.0, (140f64.powi(2) + 60f64.powi(2)).sqrt() * 1000.0 / (3f64.sqrt() * 400.0));
    near(demand.demand.0, demand.running.0);
    near(demand.power_factor.unwrap_or(0.0), 140.0 / (140f64.powi(2) + 60f64.powi(2)).sqrt());
    assert_eq!((demand.largest_motor, demand.largest_start), (Some(0), Some(0)));
    assert!(found.findings.is_empty() && demand.findings.is_empty(), "{found:?}");
    near(demand.working[0].value, demand.running.0);
    near(demand.working[1].value, demand.demand.0);
}

#[test]
fn currents_behind_a_transformer_count_by_the_voltages() {
    let first = Node { voltage: Volts(690.0), ..board("MB", Parent::Supply) };
    let second = Node { transformer: Some(0), ..board("A", Parent::Board(0)) };
    let found = demands(&tree(vec![first, second]), &[motor("A", 1, 100.0, 0.8)]);
    near(found.boards[0].running.0, found.boards[1].running.0 * 400.0 / 690.0);
    near(found.boards[0].connected.0, 100_000.0);
    assert_eq!(found.boards[0].largest_start, Some(0));
}

#[test]
fn a_load_of_another_voltage_than_its_board_draws_no_less() {
    // 460 V motors on 480 V draw their rated current; 415 V ones on 400 V the current of their power.
    let of = |board_v: f64, load_v: f64| {
        let row = Connected { voltage: Volts(load_v), ..motor("A", 0, 50.0, 1.0) };
        let nodes = vec![Node { voltage: Volts(board_v), ..board("MB", Parent::Supply) }];
        (demands(&tree(nodes), std::slice::from_ref(&row)).boards[0].running.0, row.current.0)
    };
    let (drawn, rated) = of(480.0, 460.0);
    near(drawn, rated);
    let (drawn, rated) = of(400.0, 415.0);
    near(drawn, rated * 415.0 / 400.0);
}

#[test]
fn a_group_on_two_boards_counts_once_where_both_meet() {
    let nodes = vec![board("MB", Parent::Supply), board("A", Parent::Board(0)), board("B", Parent::Board(0))];
    let member = |tag: &str, node: usize, kw: f64| Connected {
        group: Some("g".to_owned()),
        duty_count: Some(1),
        ..motor(tag, node, kw, 1.0)
    };
    let rows =
        [member("P-1", 1, 30.0), Connected { running: Running::Standby, ..member("P-2", 2, 37.0) }, motor("F", 1, 10.0, 1.0)];
    let found = demands(&tree(nodes), &rows);
    near(found.boards[1].running_w, 40_000.0);
    near(found.boards[2].running_w, 37_000.0);
    near(found.boards[0].running_w, 47_000.0);
    near(found.boards[0].connected.0, 77_000.0);
    // The one that stands by is the largest motor all the same.
    assert_eq!(found.boards[0].largest_motor, Some(1));
}

#[test]
fn spare_ways_are_connected_and_do_not_run() {
    let spare = Connected { running: Running::Spare, number: 2, ..motor("S", 0, 90.0, 1.0) };
    let found = demands(&tree(vec![board("MB", Parent::Supply)]), &[motor("A", 0, 10.0, 1.0), spare]);
    let demand = &found.boards[0];
    near(demand.connected.0, 190_000.0);
    near(demand.spare.0, 180_000.0);
    near(demand.running_w, 10_000.0);
    assert_eq!((demand.spare_ways, demand.largest_motor, demand.largest_start), (2, Some(0), Some(0)));
}

/// A way that is spare on a board is spare on the board before it: two ways of 90 kW behind, one of 10 kW before.
#[test]
fn spare_ways_count_on_every_board_before_theirs() {
    let spare = |tag, node, number, kw| Connected { running: Running::Spare, number, ..motor(tag, node, kw, 1.0) };
    let boards = vec![board("MB", Parent::Supply), board("B", Parent::Board(0))];
    let found = demands(&tree(boards), &[spare("S", 1, 2, 90.0), spare("T", 0, 1, 10.0)]);
    near(found.boards[0].spare.0, 190_000.0);
    near(found.boards[0].connected.0, 190_000.0);
    assert_eq!((found.boards[0].spare_ways, found.boards[1].spare_ways), (3, 2));
}

#[test]
fn demand_factors_of_rows_kinds_and_boards() {
    let mut basis = Basis::default();
    basis.demand.continuous = Some(0.9);
    basis.demand.intermittent = Some(0.5);
    basis.demand.standby = Some(0.1);
    basis.boards = vec![
        BoardBasis { demand_factor: Some(0.8), existing_load_a: Some(50.0), ..BoardBasis::default() },
        BoardBasis { existing_load_a: Some(20.0), ..BoardBasis::default() },
    ]
    .into();
    let nodes =
        vec![Node { board: Some(0), ..board("MB", Parent::Supply) }, Node { board: Some(1), ..board("A", Parent::Board(0)) }];
    let rows = [
        motor("A", 1, 100.0, 1.0),
        Connected { continuous: false, ..motor("B", 1, 40.0, 1.0) },
        Connected { running: Running::Standby, ..motor("C", 1, 30.0, 1.0) },
        Connected { demand_factor: Some(0.6), ..motor("D", 0, 50.0, 1.0) },
    ];
    let found = demands_in(&tree(nodes), &rows, &basis, "iec");
    // Board A: 0.9 · 100 + 0.5 · 40 + 0.1 · 30 = 113 kW and 20 A; main board: 0.8 (113 kW and 20 A, 0.6 · 50 = 30 kW) and 50 A.
    near(found.boards[1].demand.0, amperes(113.0) + 20.0);
    near(found.boards[0].demand.0, 0.8 * (amperes(143.0) + 20.0) + 50.0);
    near(found.boards[0].running.0, amperes(220.0));
    near(found.boards[1].demand_w, 113_000.0 + 3f64.sqrt() * 400.0 * 20.0);
    assert!(codes_of(&found.findings).is_empty());
    // The same factors under a book that asks for a permission.
    let found = demands_in(&tree(vec![board("MB", Parent::Supply), board("A", Parent::Board(0))]), &rows, &basis, "nec");
    assert_eq!(codes_of(&found.findings), ["B207"]);
    assert!(found.findings[0].what.contains("A, B, C, D") && found.findings[0].reference == "430.26", "{:?}", found.findings);
}

#[test]
fn the_group_that_counts_after_factors_may_be_another() {
    let member = |tag: &str, kw: f64, factor: f64| Connected {
        group: Some("g".to_owned()),
        duty_count: Some(1),
        demand_factor: Some(factor),
        ..motor(tag, 0, kw, 1.0)
    };
    let found = demands(&tree(vec![board("MB", Parent::Supply)]), &[member("A", 50.0, 0.5), member("B", 40.0, 1.0)]);
    near(found.boards[0].running_w, 50_000.0);
    near(found.boards[0].demand_w, 40_000.0);
}

#[test]
fn the_highest_phase_counts() {
    let at = |row: Connected, phase: &str| Connected { phase: Some(phase.to_owned()), ..row };
    let ten =
        |tag: &str, neutral: bool| single(tag, 0, 10.0 * if neutral { 400.0 / 3f64.sqrt() } else { 400.0 } / 1000.0, neutral);
    let of = |rows: &[Connected]| demands(&tree(vec![board("MB", Parent::Supply)]), rows).boards.remove(0);
    let demand = of(&[at(ten("A", true), "L2")]);
    near(demand.phases[1].0, 10.0);
    near(demand.running.0, 10.0);
    near(demand.unbalance_pct, 200.0);
    assert_eq!(codes_of(&demand.findings), ["B205"]);
    let demand = of(&[at(ten("A", false), "L3-L1")]);
    near(demand.phases[0].0, 10.0);
    near(demand.phases[1].0, 0.0);
    near(demand.phases[2].0, 10.0);
    // 10 A at 30° and 10 A at 0°: 2 · 10 · cos 15°; in the second phase 10 A alone.
    let demand = of(&[at(ten("A", false), "L1-L2"), at(ten("B", true), "L1")]);
    near(demand.phases[0].0, 20.0 * libm::cos(std::f64::consts::PI / 12.0));
    near(demand.phases[1].0, 10.0);
    near(demand.running_w, 4000.0 + 10.0 * 400.0 / 3f64.sqrt());
    // Three on one phase each are balanced.
    let demand = of(&[ten("A", true), ten("B", true), ten("C", true)]);
    near(demand.unbalance_pct, 0.0);
    near(demand.running.0, 10.0);
    assert!(demand.findings.is_empty());
}

#[test]
fn a_panel_of_one_phase_counts_its_higher_leg() {
    let panel = Node { phases: 1, voltage: Volts(240.0), transformer: Some(0), ..board("P", Parent::Board(0)) };
    let nodes = vec![Node { voltage: Volts(480.0), ..board("MB", Parent::Supply) }, panel];
    let load = |tag: &str, volts: f64, amperes: f64, phase: &str| Connected {
        voltage: Volts(volts),
        current: Amperes(amperes),
        input: Watts(volts * amperes),
        reactive: crate::quantity::Vars(0.0),
        phase: Some(phase.to_owned()),
        ..single(tag, 1, 1.0, volts < 200.0)
    };
    let rows = [load("A", 120.0, 30.0, "L1"), load("B", 120.0, 10.0, "L2"), load("C", 240.0, 20.0, "")];
    let found = demands(&tree(nodes), &rows);
    // 30 + 20 A in the one leg, 10 + 20 A in the other; 9.6 kVA between two phases of 480 V are 20 A in both.
    near(found.boards[1].phases[0].0, 50.0);
    near(found.boards[1].phases[1].0, 30.0);
    near(found.boards[1].running.0, 50.0);
    near(found.boards[0].phases[0].0, 20.0);
    near(found.boards[0].phases[2].0, 0.0);
    near(found.boards[0].running_w, 9600.0);
}

#[test]
fn a_board_of_two_wires_carries_its_whole_current_in_both() {
    let panel = Node { phases: 1, voltage: Volts(230.0), ..board("P", Parent::Board(0)) };
    let row = Connected { voltage: Volts(230.0), current: Amperes(20.0), input: Watts(4600.0), ..single("A", 1, 4.6, true) };
    let found = demands(&tree(vec![board("MB", Parent::Supply), panel]), &[row]);
    near(found.boards[1].running.0, 20.0);
    near(found.boards[0].running.0, 4600.0 / (400.0 / 3f64.sqrt()));
}

#[test]
fn drives_and_figures_that_were_assumed_are_said() {
    let drive = Connected { nonlinear: true, power_factor_assumed: true, starting: None, ..motor("D", 0, 30.0, 0.95) };
    let by_others = Connected { starting: None, unsized_row: true, ..motor("O", 0, 10.0, 0.95) };
    let found = demands(&tree(vec![board("MB", Parent::Supply)]), &[drive, by_others]);
    near(found.boards[0].nonlinear_share, 0.75);
    assert_eq!(codes_of(&found.boards[0].findings), ["B206"]);
    assert_eq!(codes_of(&found.findings), ["B208", "B209", "B213"]);
}

/// 80 kW at 0.8 take 60 kvar, on whichever board behind one feed the capacitors stand.
#[rstest::rstest]
fn capacitors_for_more_than_there_is_are_said_once_a_feed(
    #[values((50.0, false), (60.0, false), (75.0, true))] (kvar, said): (f64, bool),
    #[values(Parent::Board(0), Parent::Supply)] behind: Parent,
) {
    let bank = Connected {
        kind: LoadKind::Capacitor,
        input: Watts(0.0),
        reactive: Vars(-1000.0 * kvar),
        starting: None,
        ..motor("C", 1, kvar, 1.0)
    };
    let nodes = vec![board("MB", Parent::Supply), board("CAP", behind)];
    let found = demands(&tree(nodes), &[motor("A", 0, 80.0, 0.8), bank]);
    assert_eq!(codes_of(&found.findings).iter().filter(|code| **code == "B216").count(), usize::from(said));
}

#[test]
fn a_load_that_reaches_no_source_is_said() {
    let found = demands(&tree(vec![board("MB", Parent::Supply)]), &[motor("A", 0, 10.0, 1.0), motor("B", 7, 1.0, 1.0)]);
    assert_eq!(codes_of(&found.findings), ["B210"]);
}

/// A load of any kind that never works against others: each adds to every current that it touches.
fn any_load() -> impl Strategy<Value = Connected> {
    let kinds = (0usize..4, 0.5..1.0f64, 0.1..40.0f64, 1u32..4);
    (kinds, any::<bool>(), any::<bool>(), 0u8..4).prop_map(|((node, power_factor, kw, number), three, neutral, running)| {
        let running = [Running::Duty, Running::Standby, Running::Assist, Running::Spare][usize::from(running)];
        let row = if three { motor("A", node, kw, power_factor) } else { single("A", node, kw, neutral) };
        let phase = (!three).then(|| if neutral { "L2".to_owned() } else { "L1-L2".to_owned() });
        Connected { number, running, phase, demand_factor: Some(power_factor), ..row }
    })
}

proptest! {
    #[test]
    fn another_load_lowers_no_sum(loads in prop::collection::vec(any_load(), 1..12), more in any_load(), factor in 0.5..1.2f64) {
        let nodes = || {
            vec![
                Node { board: Some(0), ..board("MB", Parent::Supply) },
                board("A", Parent::Board(0)),
                Node { transformer: Some(0), ..board("B", Parent::Board(0)) },
                board("C", Parent::Board(2)),
            ]
        };
        let board = BoardBasis { demand_factor: Some(factor), existing_load_a: Some(10.0), ..BoardBasis::default() };
        let basis = Basis { boards: vec![board].into(), ..Basis::default() };
        let before = demands_in(&tree(nodes()), &loads, &basis, "iec");
        let mut with = loads;
        with.push(more);
        let after = demands_in(&tree(nodes()), &with, &basis, "iec");
        for (before, after) in before.boards.iter().zip(&after.boards) {
            let pairs = [
                (before.connected.0, after.connected.0),
                (before.running.0, after.running.0),
                (before.running_w, after.running_w),
                (before.demand.0, after.demand.0),
            ];
            for (before, after) in pairs {
                prop_assert!(after >= before * (1.0 - 1e-12), "{before} and then {after}");
            }
        }
        prop_assert!(after.findings.iter().all(|finding| finding.code != "B210"));
    }

    #[test]
    fn another_member_of_a_group_lowers_no_sum(kws in prop::collection::vec(1.0..40.0f64, 2..8), most in 1u32..4) {
        let member = |kw: &f64| Connected { group: Some("g".to_owned()), duty_count: Some(most), ..motor("A", 0, *kw, 0.8) };
        let rows: Vec<Connected> = kws.iter().map(member).collect();
        let tree = tree(vec![board("MB", Parent::Supply)]);
        let (before, after) = (demands(&tree, &rows[..rows.len() - 1]), demands(&tree, &rows));
        prop_assert!(after.boards[0].running.0 >= before.boards[0].running.0 * (1.0 - 1e-12));
    }
}
