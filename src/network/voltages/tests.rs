use super::*;
use crate::basis::BoardBasis;
use crate::network::phases::assign;
use crate::network::testing::{board, milliohms, motor, single, tree};
use crate::network::tree::Node;
use crate::quantity::Amperes;
use proptest::prelude::*;

fn feed(impedance: Option<Impedance>) -> Feed {
    Feed { name: "supply".to_owned(), parent: Parent::Supply, impedance, voltage: Volts(400.0) }
}

/// Voltages of boards over these feeders; the largest starts are those of the rows given.
fn found(
    nodes: Vec<Node>,
    rows: &[Connected],
    feeders: &[Option<Impedance>],
    feed: &Feed,
    largest: &[Option<usize>],
) -> Voltages {
    with_stated(nodes, rows, feeders, &vec![None; feeders.len()], feed, largest, Some(Impedance::default()))
}

fn with_stated(
    nodes: Vec<Node>,
    rows: &[Connected],
    feeders: &[Option<Impedance>],
    stated: &[Option<Impedance>],
    feed: &Feed,
    largest: &[Option<usize>],
    cable: Option<Impedance>,
) -> Voltages {
    let tree = tree(nodes);
    let (phases, together) = (assign(&tree, rows), Together::of(rows));
    let links: Vec<Option<Link>> =
        feeders.iter().map(|impedance| impedance.map(|feeder| Link { feeder, ..Link::default() })).collect();
    let mut basis = Basis { boards: vec![BoardBasis::default()].into(), ..Basis::default() };
    basis.starting.direct_limit_dip_pct = Some(10.0);
    let grid = Grid { tree: &tree, rows, phases: &phases, together: &together, basis: &basis, links: &links, stated };
    of(&grid, feed, largest, &|_| cable)
}

fn near(value: Option<f64>, expected: f64, tolerance: f64) {
    let value = value.expect("it is known");
    assert!((value - expected).abs() <= tolerance, "{value} against {expected}");
}

#[test]
fn a_start_alone_is_the_divider_of_two_impedances() {
    // 100 kW at 0.8 draw 180.4 A and start with 1082.5 A at 0.3: 0.2133 Ω, that is 0.0640 + j 0.2035 Ω, behind 0.01 + j 0.03 Ω:
    // |Zm| / |Zm + Z| = 0.2133 / |0.0740 + j 0.2335| = 0.2133 / 0.2450.
    let rows = [motor("A", 0, 100.0, 0.8)];
    let voltages = found(
        vec![board("MB", Parent::Supply)],
        &rows,
        &[Some(Impedance::default())],
        &feed(Some(milliohms(10.0, 30.0))),
        &[Some(0)],
    );
    let dip = voltages.dips[0].as_ref().expect("it starts");
    near(Some(dip.before_pct), 100.0, 1e-9);
    let motor = 400.0 / (3f64.sqrt() * rows[0].current.0 * 6.0);
    let (r, x) = (0.3 * motor + 0.01, (1.0f64 - 0.09).sqrt() * motor + 0.03);
    near(Some(dip.board_pct), 100.0 * (1.0 - motor / (r * r + x * x).sqrt()), 1e-9);
    near(Some(dip.board_pct), 12.9, 0.1);
    near(Some(dip.working[0].value), dip.board_pct, 1e-12);
    assert_eq!(voltages.findings.iter().map(|finding| finding.code.as_str()).collect::<Vec<_>>(), ["B212"]);
    assert!(voltages.findings[0].what.contains("allows 10 %"));
}

/// The start above behind a cable of 0.02 Ω: |Zm| / |Zm + Z| = 0.2133 / |0.0940 + j 0.2335| = 0.8474 at the terminals. Behind a
/// cable that nobody knows the dip at the board alone can be told, as deep as it may be.
#[test]
fn the_dip_at_the_terminals_needs_the_cable() {
    let rows = [motor("A", 0, 100.0, 0.8)];
    let of = |cable| {
        let nodes = vec![board("MB", Parent::Supply)];
        let voltages = with_stated(
            nodes,
            &rows,
            &[Some(Impedance::default())],
            &[None],
            &feed(Some(milliohms(10.0, 30.0))),
            &[Some(0)],
            cable,
        );
        voltages.dips[0].clone().expect("it starts")
    };
    near(of(Some(milliohms(20.0, 0.0))).terminals_pct, 100.0 * (1.0 - 0.8474), 0.1);
    assert_eq!(of(None).terminals_pct, None);
    assert!(of(None).board_pct >= of(Some(milliohms(20.0, 0.0))).board_pct);
}

/// A start behind a feeder that nobody knows counts at the board before it; what is left at its terminals nobody can tell.
#[test]
fn behind_an_unknown_feeder_the_terminals_are_unknown_too() {
    let rows = [motor("A", 1, 50.0, 0.8)];
    let nodes = vec![board("MB", Parent::Supply), board("A", Parent::Board(0))];
    let voltages = found(nodes, &rows, &[Some(milliohms(1.0, 1.0)), None], &feed(Some(milliohms(2.0, 8.0))), &[Some(0), None]);
    let dip = voltages.dips[0].as_ref().expect("the board before it dips");
    assert!(dip.board_pct > 1.0 && dip.terminals_pct.is_none(), "{dip:?}");
}

#[test]
fn what_is_unknown_stays_unknown() {
    let nodes = || {
        vec![
            board("MB", Parent::Supply),
            board("A", Parent::Board(0)),
            board("B", Parent::Board(1)),
            board("G", Parent::Source(0)),
        ]
    };
    let rows = [motor("A", 1, 50.0, 0.8), motor("B", 2, 20.0, 0.8), motor("C", 3, 20.0, 0.8)];
    let feeders = [Some(milliohms(1.0, 1.0)), Some(milliohms(20.0, 5.0)), None, Some(milliohms(1.0, 1.0))];
    let largest = [Some(0), Some(0), Some(1), Some(2)];
    let voltages = found(nodes(), &rows, &feeders, &feed(Some(milliohms(2.0, 8.0))), &largest);
    assert!(voltages.boards[0].running_pct.is_some() && voltages.boards[1].running_pct.is_some());
    assert!(voltages.dips[0].is_some() && voltages.dips[1].is_some());
    for unknown in [2, 3] {
        assert_eq!(voltages.boards[unknown], Voltage::default());
        assert_eq!(voltages.dips[unknown], None);
    }
    // Without the network before the main board drops are known, voltages are not.
    let voltages = found(nodes(), &rows, &feeders, &feed(None), &largest);
    assert_eq!((voltages.boards[1].running_pct, voltages.boards[1].path, &voltages.dips[1]), (None, None, &None));
    near(voltages.boards[0].feeder_drop_pct, 0.0, 1e-12);
    // 70 kW at 0.8 and 100 A more: 0.126 kA (0.02 · 0.8 + 0.005 · 0.6) / 230.9 V = 1.04 %, a little more at constant power.
    near(voltages.boards[1].feeder_drop_pct, 1.04, 0.02);
}

#[test]
fn a_stated_fault_current_stands_for_the_network_before_its_board() {
    let nodes = vec![board("MB", Parent::Supply), board("A", Parent::Board(0))];
    let rows = [motor("A", 1, 50.0, 0.8)];
    let of = |stated| {
        let feeders = [Some(Impedance::default()), None];
        with_stated(nodes.clone(), &rows, &feeders, &[None, stated], &feed(None), &[None, Some(0)], None)
    };
    assert_eq!(of(None).dips[1], None);
    let voltages = of(Some(milliohms(10.0, 30.0)));
    near(voltages.boards[1].path.map(|impedance| impedance.x.0), 0.03, 1e-12);
    assert!(
        voltages.boards[1].running_pct.is_some_and(|running_pct| running_pct < 100.0)
            && voltages.boards[1].feeder_drop_pct.is_none()
    );
    assert!(voltages.dips[1].as_ref().is_some_and(|dip| dip.board_pct > 1.0));
}

#[test]
fn a_start_behind_an_unknown_feeder_counts_before_it_in_full() {
    let nodes = vec![board("MB", Parent::Supply), board("A", Parent::Board(0))];
    let of = |feeder: Option<Impedance>| {
        let feeders = [Some(Impedance::default()), feeder];
        found(nodes.clone(), &[motor("A", 1, 50.0, 0.8)], &feeders, &feed(Some(milliohms(10.0, 30.0))), &[Some(0), Some(0)])
    };
    let dip = |voltages: &Voltages, board: usize| voltages.dips[board].as_ref().map(|dip| dip.board_pct);
    let (unknown, none, some) = (of(None), of(Some(Impedance::default())), of(Some(milliohms(20.0, 5.0))));
    assert_eq!(dip(&unknown, 1), None);
    near(dip(&unknown, 0), dip(&none, 0).unwrap_or(0.0), 1e-9);
    assert!(dip(&unknown, 0) > dip(&some, 0));
    // Loads behind it load the main board all the same.
    near(unknown.boards[0].running_pct, none.boards[0].running_pct.unwrap_or(0.0), 1e-9);
}

#[test]
fn a_source_feeds_only_its_own_boards() {
    let nodes = vec![board("MB", Parent::Supply), board("G", Parent::Source(0)), board("GA", Parent::Board(1))];
    let stated = [None, None, Some(milliohms(5.0, 5.0))];
    let rows = [motor("A", 2, 20.0, 0.8)];
    let feeders = [Some(Impedance::default()); 3];
    let voltages =
        with_stated(nodes.clone(), &rows, &feeders, &stated, &feed(Some(milliohms(1.0, 1.0))), &[None, None, Some(0)], None);
    near(voltages.boards[0].running_pct, 100.0, 1e-9);
    assert_eq!((voltages.boards[2], &voltages.dips[2]), (Voltage::default(), &None));
    let generator = Feed { parent: Parent::Source(0), ..feed(Some(milliohms(0.0, 38.4))) };
    let voltages = with_stated(nodes, &rows, &feeders, &stated, &generator, &[None, None, Some(0)], None);
    assert!(voltages.boards[0] == Voltage::default() && voltages.dips[2].is_some());
}

#[test]
fn a_path_is_counted_at_the_voltage_of_its_board() {
    let nodes = vec![
        Node { voltage: Volts(690.0), ..board("MB", Parent::Supply) },
        Node { transformer: Some(0), ..board("A", Parent::Board(0)) },
    ];
    let supply = Feed { voltage: Volts(690.0), ..feed(Some(milliohms(6.9, 69.0))) };
    let voltages = found(
        nodes,
        &[motor("A", 1, 50.0, 0.8)],
        &[Some(Impedance::default()), Some(milliohms(3.0, 4.0))],
        &supply,
        &[None, None],
    );
    let path = voltages.boards[1].path.expect("it is known");
    let referred = (400.0f64 / 690.0).powi(2);
    near(Some(path.r.0), 0.003 + 0.0069 * referred, 1e-12);
    near(Some(path.x.0), 0.004 + 0.069 * referred, 1e-12);
}

#[test]
fn a_generator_stands_behind_its_subtransient_reactance() {
    let source = SourceBasis { kva: Some(500.0), subtransient_reactance_pct: Some(12.0), ..SourceBasis::default() };
    let feed = Feed::generator("G-1".to_owned(), &source, Parent::Supply, Volts(400.0)).expect("it is rated");
    // 0.12 · 400² / 500 000 = 0.0384 Ω.
    near(feed.impedance.map(|impedance| impedance.x.0), 0.0384, 1e-12);
    let unrated = SourceBasis { kva: None, ..source };
    assert_eq!(Feed::generator("G-1".to_owned(), &unrated, Parent::Supply, Volts(400.0)), None);
}

#[test]
fn a_network_that_carries_nothing_is_said() {
    let rows = [motor("A", 0, 300.0, 0.8)];
    let voltages = found(
        vec![board("MB", Parent::Supply)],
        &rows,
        &[Some(milliohms(500.0, 0.0))],
        &feed(Some(Impedance::default())),
        &[Some(0)],
    );
    assert_eq!(voltages.findings.iter().map(|finding| finding.code.as_str()).collect::<Vec<_>>(), ["B211"]);
    assert_eq!((voltages.boards[0], &voltages.dips[0]), (Voltage::default(), &None));
}

/// Voltage of a line that feeds a constant power at unity over a resistance: V² − U V + R P = 0.
fn over(resistance: f64, volts: f64, watts: f64) -> f64 {
    (volts + (volts * volts - 4.0 * resistance * watts).sqrt()) / 2.0
}

#[test]
fn both_conductors_of_a_single_phase_feeder_count() {
    let panel = |voltage: f64| Node { phases: 1, voltage: Volts(voltage), ..board("P", Parent::Board(0)) };
    let of = |voltage: f64, neutral: bool| {
        let row = Connected { voltage: Volts(voltage), current: Amperes(4600.0 / voltage), ..single("A", 1, 4.6, neutral) };
        let nodes = vec![board("MB", Parent::Supply), panel(voltage)];
        found(
            nodes,
            &[row],
            &[Some(Impedance::default()), Some(milliohms(200.0, 0.0))],
            &feed(Some(Impedance::default())),
            &[None, None],
        )
    };
    // 0.4 Ω there and back.
    let to_neutral = 400.0 / 3f64.sqrt();
    near(of(to_neutral, true).boards[1].running_pct, 100.0 * over(0.4, to_neutral, 4600.0) / to_neutral, 1e-6);
    // Between two phases one of the two is seen a little lower than the whole, on the safe side.
    let running_pct = of(400.0, false).boards[1].running_pct.expect("it is known");
    let exact = 100.0 * over(0.4, 400.0, 4600.0) / 400.0;
    assert!(running_pct <= exact + 1e-9 && running_pct > exact - 0.1, "{running_pct} against {exact}");
    near(Some(running_pct), 98.83, 0.1);
}

#[test]
fn the_worst_phase_counts() {
    let at = |phase: &str| Connected { phase: Some(phase.to_owned()), ..single("A", 0, 4.6, true) };
    let of = |rows: &[Connected]| {
        found(vec![board("MB", Parent::Supply)], rows, &[Some(milliohms(200.0, 0.0))], &feed(Some(Impedance::default())), &[None])
    };
    let volts = 400.0 / 3f64.sqrt();
    let expected = 100.0 * over(0.2, volts, 4600.0) / volts;
    near(of(&[at("L2")]).boards[0].running_pct, expected, 1e-6);
    near(of(&[at("L1"), at("L2"), at("L3")]).boards[0].running_pct, expected, 1e-6);
}

#[test]
fn a_load_that_is_there_already_lowers_the_voltage() {
    let mut nodes = vec![board("MB", Parent::Supply)];
    nodes[0].board = Some(0);
    let tree = tree(nodes);
    let rows: [Connected; 0] = [];
    let (phases, together) = (assign(&tree, &rows), Together::of(&rows));
    let board = BoardBasis { existing_load_a: Some(100.0), ..BoardBasis::default() };
    let basis = Basis { boards: vec![board].into(), ..Basis::default() };
    let links = [Some(Link { feeder: milliohms(100.0, 0.0), ..Link::default() })];
    let grid =
        Grid { tree: &tree, rows: &rows, phases: &phases, together: &together, basis: &basis, links: &links, stated: &[None] };
    let voltages = of(&grid, &feed(Some(Impedance::default())), &[None], &|_| None);
    let volts = 400.0 / 3f64.sqrt();
    near(voltages.boards[0].running_pct, 100.0 * over(0.1, volts, volts * 100.0) / volts, 1e-6);
}

proptest! {
    #[test]
    fn a_stiffer_source_raises_no_dip(
        kws in prop::collection::vec((0usize..3, 1.0..60.0f64, 0.6..0.95f64), 1..8),
        (r, x, stiffer) in (0.5..12.0f64, 1.0..25.0f64, 0.1..1.0f64),
    ) {
        let nodes = || vec![board("MB", Parent::Supply), board("A", Parent::Board(0)), board("B", Parent::Board(1))];
        let rows: Vec<Connected> = kws.iter().map(|(node, kw, power_factor)| motor("A", *node, *kw, *power_factor)).collect();
        let largest = [Some(0); 3].map(|largest| largest.filter(|row| *row < rows.len()));
        let feeders = [Some(Impedance::default()), Some(milliohms(4.0, 3.0)), Some(milliohms(6.0, 2.0))];
        let soft = found(nodes(), &rows, &feeders, &feed(Some(milliohms(r, x))), &largest);
        let stiff = found(nodes(), &rows, &feeders, &feed(Some(milliohms(r, x) * stiffer)), &largest);
        for (soft, stiff) in soft.dips.iter().zip(&stiff.dips) {
            if let Some(soft) = soft {
                let stiff = stiff.as_ref().expect("a stiffer source carries it too");
                prop_assert!(stiff.board_pct <= soft.board_pct + 1e-9, "{} and then {}", soft.board_pct, stiff.board_pct);
                let (stiff, soft) = stiff.terminals_pct.zip(soft.terminals_pct).expect("the cable is known");
                prop_assert!(stiff <= soft + 1e-9);
            }
        }
    }
}

/// An impedance is seen through a transformer by the square of the ratio (circuit theory), through each of two in turn.
#[test]
fn the_path_behind_two_transformers_is_referred_to_the_boards_own_voltage() {
    let at = |name, parent, volts| Node { voltage: Volts(volts), ..board(name, parent) };
    let nodes = vec![at("MB", Parent::Supply, 690.0), at("A", Parent::Board(0), 400.0), at("B", Parent::Board(1), 230.0)];
    let tree = tree(nodes);
    let rows = [motor("M", 2, 1.0, 0.8)];
    let (phases, together) = (assign(&tree, &rows), Together::of(&rows));
    let ours = |r: f64, x: f64| Some(Link { transformer: milliohms(r, x), feeder: milliohms(r, 0.0), ..Link::default() });
    let links = [Some(Link::default()), ours(3.0, 9.0), ours(5.0, 7.0)];
    let basis = Basis { boards: vec![BoardBasis::default()].into(), ..Basis::default() };
    let grid =
        Grid { tree: &tree, rows: &rows, phases: &phases, together: &together, basis: &basis, links: &links, stated: &[None; 3] };
    let source = Feed { voltage: Volts(690.0), ..feed(Some(milliohms(2.0, 20.0))) };
    let voltages = of(&grid, &source, &[None, None, None], &|_| None);
    let seen =
        |source: f64, first: f64, second: f64| source * (230.0f64 / 690.0).powi(2) + first * (230.0f64 / 400.0).powi(2) + second;
    let path = voltages.boards[2].path.expect("it is known");
    near(Some(path.r.0), seen(2.0, 6.0, 10.0) / 1000.0, 1e-12);
    near(Some(path.x.0), seen(20.0, 9.0, 7.0) / 1000.0, 1e-12);
}
