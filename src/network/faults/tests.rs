use super::*;
use crate::basis;
use crate::rules;

const IEC: &str = "[supply]\nvoltage_v = 400\nearthing = \"TN-S\"\n";

struct Solved {
    tree: Tree,
    basis: Basis,
    faults: Faults,
}

/// Boards in their order, each with its feeder and the sum of its motors' rated currents; they start with six times as much.
fn solve(text: &str, feeders: &[Option<FeederImpedance>], motors: &[f64]) -> Solved {
    let (basis, findings) = basis::from_toml("basis.toml", text).expect("it is read");
    assert!(findings.is_empty(), "{findings:?}");
    let tree = Tree::of(&basis, &["main"], Some("basis.toml"));
    assert!(tree.findings.is_empty(), "{:?}", tree.findings);
    let motors: Vec<Motors> =
        motors.iter().map(|rated| Motors { rated: Amperes(*rated), locked_rotor: Amperes(rated * 6.0) }).collect();
    let faults = of(&ask(&tree, &basis, feeders, &motors));
    Solved { tree, basis, faults }
}

fn ask<'a>(tree: &'a Tree, basis: &'a Basis, feeders: &'a [Option<FeederImpedance>], motors: &'a [Motors]) -> Ask<'a> {
    let book = rules::book(basis.rules.book.as_deref().unwrap_or("iec"), None).expect("the book is there");
    let convention = book.fault_convention(basis.supply.voltage_tolerance_pct);
    Ask { tree, basis, basis_file: Some("basis.toml"), book, convention, feeders, motors, without: &[] }
}

/// 50 m of 95 mm² with 50 mm² beside it: 0.193 and 0.387 Ω/km at 20 °C, 0.08 Ω/km, 160 °C at the end of a fault by 0.004 per kelvin.
fn feeder() -> Option<FeederImpedance> {
    let of = |r: f64, warmer: f64| Impedance { r: Ohms(r * 0.05 * warmer), x: Ohms(0.08 * 0.05) };
    Some(FeederImpedance {
        cold: of(0.193, 1.0),
        running: of(0.193, 1.2),
        hot: of(0.193, 1.56),
        cold_loop: Some(of(0.193, 1.0) + of(0.387, 1.0)),
        hot_loop: Some(of(0.193, 1.56) + of(0.387, 1.56)),
    })
}

fn amperes(current: Option<Amperes>) -> f64 {
    current.expect("a current").0
}

fn near(current: Option<Amperes>, expected: f64) {
    assert!((amperes(current) - expected).abs() <= 0.001 * expected, "{current:?} against {expected}");
}

fn codes_of(solved: &Solved) -> Vec<String> {
    let of_boards = solved.faults.records.iter().flat_map(|record| record.findings().iter().cloned());
    solved.faults.findings.iter().cloned().chain(of_boards).map(|finding| finding.code).collect()
}

#[test]
fn what_is_stated_at_the_supply_holds_at_its_board_and_the_rest_follows_from_it() {
    let text = format!(
        "{IEC}prospective_fault_ka = 20\nprospective_fault_min_ka = 10\n[[board]]\nname = \"main\"\n\
         [[board]]\nname = \"A\"\nfed_from = \"main\"\n"
    );
    let solved = solve(&text, &[None, feeder()], &[0.0, 0.0]);
    let [main, behind] = solved.faults.levels[..] else { panic!("two boards") };
    assert_eq!((main.largest, main.smallest, main.largest_path), (Some(Amperes(20_000.0)), Some(Amperes(10_000.0)), None));
    // Without X/R: 1.1 × 400/(√3 × 20 kA) = 12.70 mΩ of reactance and 9.65 + j4 mΩ of feeder give 19.29 mΩ and 13 170 A.
    near(behind.largest, 13_170.0);
    // 0.9 × 400/(√3 × 10 kA) = 20.785 mΩ of resistance; between phases 35.84 + j4 mΩ: 0.9 × 400/(2 × 36.06) = 4992 A; to earth
    // 66.03 + j8 mΩ: 0.9 × 230.94/66.51 = 3125 A.
    near(behind.smallest, 3125.0);
    assert_eq!(main.peak, None, "a peak without X/R");
    assert_eq!(behind.peak, None, "a peak without X/R");
    // With X/R 5 the peak factor is 1.02 + 0.98 e^(-0.6) = 1.5578.
    let solved = solve(&text.replace("earthing", "x_over_r = 5\nearthing"), &[None, feeder()], &[0.0, 0.0]);
    near(solved.faults.levels[0].peak, 1.557_83 * std::f64::consts::SQRT_2 * 20_000.0);
    assert!(solved.faults.levels[1].peak.is_some());
}

const TRANSFORMER: &str = "upstream_fault_mva = 300\nupstream_fault_min_mva = 200\nupstream_x_over_r = 10\n\
    [[transformer]]\nname = \"T1\"\nto = \"main\"\nkva = 630\nimpedance_pct = 4\nload_loss_kw = 6.5\n\
    zero_sequence_r_ratio = 1\nzero_sequence_x_ratio = 1\n";

#[rstest::rstest]
#[case::as_large_as_it_gets("prospective_fault_ka = 24\n", None)]
#[case::too_small("prospective_fault_ka = 15\n", Some("B113"))]
#[case::far_too_large("prospective_fault_ka = 50\n", Some("B114"))]
#[case::smallest_too_large("prospective_fault_min_ka = 23\n", Some("B113"))]
#[case::smallest_far_too_small("prospective_fault_min_ka = 4\n", Some("B114"))]
fn of_a_stated_and_a_worked_out_current_the_safer_counts(#[case] stated: &str, #[case] code: Option<&str>) {
    let worked = solve(&format!("{IEC}{TRANSFORMER}[[board]]\nname = \"main\"\n"), &[None], &[0.0]);
    let solved = solve(&format!("{IEC}{TRANSFORMER}[[board]]\nname = \"main\"\n{stated}"), &[None], &[0.0]);
    let found: Vec<String> = codes_of(&solved).into_iter().filter(|codes| codes.starts_with("B11") && codes != "B111").collect();
    assert_eq!(found, code.into_iter().map(str::to_owned).collect::<Vec<_>>());
    let (worked, level) = (worked.faults.levels[0], solved.faults.levels[0]);
    let kiloamperes: f64 = stated.rsplit(' ').next().and_then(|figure| figure.trim().parse().ok()).expect("a number");
    if stated.contains("min") {
        let safer = amperes(worked.smallest).min(kiloamperes * 1000.0);
        assert!((amperes(level.smallest) - safer).abs() < 1e-6 && level.largest == worked.largest, "{level:?}");
    } else {
        let safer = amperes(worked.largest).max(kiloamperes * 1000.0);
        assert!((amperes(level.largest) - safer).abs() < 1e-6 && level.smallest == worked.smallest, "{level:?}");
    }
}

#[test]
fn a_stated_current_before_a_board_counts_behind_it_too() {
    let boards = |stated: &str| {
        format!("{IEC}{TRANSFORMER}[[board]]\nname = \"main\"\n{stated}[[board]]\nname = \"A\"\nfed_from = \"main\"\n")
    };
    let of = |stated: &str| solve(&boards(stated), &[None, feeder()], &[0.0, 0.0]).faults.levels;
    let (worked, more, less) =
        (of(""), of("prospective_fault_ka = 30\nprospective_fault_min_ka = 5\n"), of("prospective_fault_ka = 15\n"));
    assert!(more[1].largest > worked[1].largest && more[1].smallest < worked[1].smallest);
    assert_eq!(less[1], worked[1]);
    // By hand: 1.1 × 400/(√3 × 30 kA) = 8.468 mΩ at the angle of the network (R 2.676 + 0.058 and X 10.024 + 0.584 mΩ) is
    // 2.114 + j8.199 mΩ; with 9.65 + j4 mΩ 16.95 mΩ.
    near(more[1].largest, 254.03 / 0.016_947);
}

#[test]
fn behind_an_unknown_feeder_nothing_is_known_and_its_motors_count_before_it() {
    let text = format!("{IEC}{TRANSFORMER}[[board]]\nname = \"main\"\n[[board]]\nname = \"A\"\nfed_from = \"main\"\n");
    let unknown = solve(&text, &[None, None], &[0.0, 400.0]).faults.levels;
    let at_main = solve(&text, &[None, None], &[400.0, 0.0]).faults.levels;
    let known = solve(&text, &[None, feeder()], &[0.0, 400.0]).faults.levels;
    assert_eq!(unknown[1], FaultLevel::default());
    assert!((amperes(unknown[0].largest) - amperes(at_main[0].largest)).abs() < 1e-6);
    assert!(known[0].largest < unknown[0].largest && known[0].without_motors < known[0].largest);
}

#[test]
fn faults_to_earth_are_known_only_where_they_return_by_a_known_conductor() {
    let text = format!("{IEC}{TRANSFORMER}[[board]]\nname = \"main\"\n[[board]]\nname = \"A\"\nfed_from = \"main\"\n");
    let bare = Some(FeederImpedance { hot_loop: None, cold_loop: None, ..feeder().expect("a feeder") });
    let level = solve(&text, &[None, bare], &[0.0, 0.0]).faults.levels[1];
    assert!(level.smallest.is_none() && level.smallest_loop.is_none() && level.smallest_path.is_some());
    // An IT system has no such loop: the smallest is that between phases.
    let level = solve(&text.replace("TN-S", "IT"), &[None, bare], &[0.0, 0.0]).faults.levels[1];
    assert!(level.smallest.is_some() && level.smallest_loop.is_none());
    assert_eq!(level.largest_to_earth, None);
}

#[test]
fn what_nobody_states_is_said_once_or_stays_unknown() {
    let short = "transformer_kva = 630\ntransformer_impedance_pct = 4\n";
    let boards = "[[board]]\nname = \"main\"\n[[board]]\nname = \"B\"\n";
    let solved = solve(&format!("{IEC}{short}{boards}"), &[None, None], &[0.0, 0.0]);
    let level = solved.faults.levels[0];
    assert!(level.largest.is_some() && level.smallest.is_none());
    let of = |solved: &Solved, code: &str| codes_of(solved).iter().filter(|codes| *codes == code).count();
    // The level of the network, X/R and zero sequence of the transformer; and what stays unknown.
    assert_eq!((of(&solved, "B111"), of(&solved, "B112"), of(&solved, "R105")), (3, 1, 1));
    // By hand: KT = 0.95 × 1.1/(1 + 0.6 × 0.0398) = 1.0206; Z = 0.04 × 400²/630 kVA × KT = 10.368 mΩ; 254.03/10.368 = 24.50 kA.
    near(level.largest, 24_502.0);
    assert_eq!(solved.faults.levels[1], level, "both stand on the supply");
    let solved = solve(&format!("{IEC}{short}upstream_fault_mva = 300\n{boards}"), &[None, None], &[0.0, 0.0]);
    assert!(solved.faults.levels[0].smallest.is_some());
    assert_eq!((of(&solved, "B111"), of(&solved, "B112")), (4, 0));
    // A transformer whose network is unlimited bounds the current: it does not speak against a stated one.
    let solved = solve(&format!("{IEC}{short}prospective_fault_ka = 18\n{boards}"), &[None, None], &[0.0, 0.0]);
    assert_eq!((solved.faults.levels[0].largest, of(&solved, "B113")), (Some(Amperes(18_000.0)), 0));
    // Nothing at all is known: nothing is said here, the checks tell of it.
    let solved = solve(&format!("{IEC}{boards}"), &[None, None], &[100.0, 0.0]);
    assert!(solved.faults.levels.iter().all(|level| *level == FaultLevel::default()) && codes_of(&solved).is_empty());
}

#[test]
fn motors_of_one_main_board_feed_a_fault_on_the_other() {
    let text = format!(
        "{IEC}{TRANSFORMER}[[board]]\nname = \"main\"\n[[board]]\nname = \"B\"\nfed_from = \"T1\"\nfeeder_length_m = 50\n"
    );
    let of = |motors: &[f64]| solve(&text, &[None, feeder()], motors).faults.levels[1];
    assert!(of(&[500.0, 0.0]).largest > of(&[0.0, 0.0]).largest);
}

/// 20 kA at most and 10 kA at least of any kind at the board before. To the neutral: 1.1 × 230 V / 20 kA = 12.65 mΩ, all reactance, and
/// both conductors cold; 0.9 × 230 V / 10 kA = 20.7 mΩ, all resistance, and the hot loop of line and protective conductor (IEC
/// 60364-4-41, 411.4.4). Between two lines of 400 V: 22 and 36 mΩ; to earth from a line 0.9 × 230.94 V / 10 kA = 20.785 mΩ.
#[rstest::rstest]
#[case::to_the_neutral("230", 230.0, 12.65, 230.0, 20.7)]
#[case::between_two_lines("400", 400.0, 22.0, 400.0 / 3f64.sqrt(), 20.785)]
fn a_board_of_one_phase_has_what_its_feeder_leaves(
    #[case] volts: &str,
    #[case] across: f64,
    #[case] most_before: f64,
    #[case] to_earth: f64,
    #[case] least_before: f64,
) {
    let text = format!(
        "{IEC}[[board]]\nname = \"main\"\nprospective_fault_ka = 20\nprospective_fault_min_ka = 10\n\
         [[board]]\nname = \"L\"\nfed_from = \"main\"\nphases = 1\nvoltage_v = {volts}\n"
    );
    let solved = solve(&text, &[None, feeder()], &[0.0, 0.0]);
    let (level, feeder) = (solved.faults.levels[1], feeder().expect("a feeder"));
    let two = feeder.cold * 2.0;
    let most = 1.1 * across / libm::hypot(two.r.0, two.x.0 + most_before / 1000.0);
    near(level.largest, most);
    let back = feeder.hot_loop.expect("a loop");
    let least = 0.9 * to_earth / libm::hypot(back.r.0 + least_before / 1000.0, back.x.0);
    near(level.smallest, least);
    assert!(level.three_phase.is_none() && !codes_of(&solved).contains(&"B115".to_owned()), "{level:?}");
    // Where the feeder begins there is what the board before has, and behind a further feeder there is less.
    let nothing = Some(FeederImpedance { cold_loop: Some(NONE), hot_loop: Some(NONE), ..FeederImpedance::default() });
    let at_head = solve(&text, &[None, nothing], &[0.0, 0.0]).faults.levels[1];
    near(at_head.largest, 20_000.0);
    near(at_head.smallest, 10_000.0);
    let further = format!("{text}[[board]]\nname = \"M\"\nfed_from = \"L\"\n");
    let behind = solve(&further, &[None, Some(feeder), Some(feeder)], &[0.0, 0.0, 0.0]).faults.levels[2];
    assert!(behind.largest < level.largest && behind.smallest < level.smallest, "{behind:?}");
    assert!(behind.smallest.is_some());
}

/// 15 kVA with 3 % of 240 V between its ends: 0.03 × 240² / 15 000 = 115.2 mΩ, so 2083 A between the ends at its terminals and 1.5 times
/// that to the middle (common practice, no source), 3125 A. At least: 480 V / 10 kA = 48 mΩ before it, a quarter of that behind it, and the
/// winding; half of the voltage drives a fault to earth.
#[test]
fn a_board_behind_a_single_phase_transformer_has_what_its_winding_leaves() {
    let text = "[rules]\nbook = \"nec\"\n[supply]\nvoltage_v = 480\nsystem = \"480Y/277 4W solidly grounded\"\n\
        [[board]]\nname = \"main\"\nprospective_fault_ka = 20\nprospective_fault_min_ka = 10\n\
        [[board]]\nname = \"L\"\nphases = 1\nvoltage_v = 240\nsystem = \"120/240 3W solidly grounded\"\n\
        [[transformer]]\nname = \"T\"\nfrom = \"main\"\nto = \"L\"\nkva = 15\nimpedance_pct = 3\nsecondary_voltage_v = 240\n";
    let nothing = FeederImpedance { cold_loop: Some(NONE), hot_loop: Some(NONE), ..FeederImpedance::default() };
    let of = |feeder| solve(text, &[None, Some(feeder)], &[0.0, 0.0]).faults.levels[1];
    let least = |ohms: f64| 120.0 / (0.048 / 4.0 + 0.1152 + ohms);
    near(of(nothing).largest, 3125.0);
    near(of(nothing).smallest, least(0.0));
    // Far away both ends give more than an end and the middle: the same two conductors, and twice the voltage.
    let ohms = |r: f64| Impedance { r: Ohms(r), x: Ohms(0.0) };
    let far = FeederImpedance {
        cold: ohms(0.2),
        running: ohms(0.25),
        hot: ohms(0.3),
        cold_loop: Some(ohms(0.5)),
        hot_loop: Some(ohms(0.7)),
    };
    near(of(far).largest, 240.0 / libm::hypot(0.4, 0.1152));
    near(of(far).smallest, least(0.7));
}

/// The way between two boards is not the feeder alone, or the way back is not known: the board states its own then.
#[rstest::rstest]
#[case::behind_a_transformer(
    "[[transformer]]\nname = \"T2\"\nfrom = \"main\"\nto = \"L\"\nkva = 10\nsecondary_voltage_v = 230\n",
    ""
)]
#[case::in_a_tt_system("", "earthing = \"TT\"\n")]
fn a_board_of_one_phase_states_its_own(#[case] between: &str, #[case] more: &str) {
    let of = |stated: &str| {
        let text = format!(
            "{IEC}{TRANSFORMER}[[board]]\nname = \"main\"\n{between}\
             [[board]]\nname = \"L\"\nfed_from = \"main\"\nphases = 1\nvoltage_v = 230\n{more}{stated}"
        );
        let solved = solve(&text, &[None, feeder()], &[0.0, 0.0]);
        (solved.faults.levels[1].largest, codes_of(&solved).contains(&"B115".to_owned()))
    };
    assert_eq!(of(""), (None, true));
    assert_eq!(of("prospective_fault_ka = 6\nprospective_fault_min_ka = 1\n"), (Some(Amperes(6000.0)), false));
}

#[test]
fn a_generator_without_its_figures_leaves_the_currents_unknown_and_says_which_is_missing() {
    let text = format!(
        "{IEC}{TRANSFORMER}[[source]]\nname = \"G1\"\nkva = 500\nsubtransient_reactance_pct = 12\n[[board]]\nname = \"main\"\n"
    );
    let solved = solve(&text, &[None], &[0.0]);
    let level = solved.faults.levels[0];
    assert!(level.largest.is_some() && level.smallest.is_none());
    let said = solved.faults.findings.iter().find(|finding| finding.code == "B112").expect("it is said");
    assert!(said.what.contains("sustained_current_ratio"), "{said:?}");
}

/// Boards that state their own currents, as the examples do: a circuit finds there what it found without a network.
#[rstest::rstest]
#[case::iec("water-works")]
#[case::nec("hospital-hvac")]
fn boards_with_figures_of_their_own_keep_them(#[case] name: &str) {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("example-schedules/{name}.toml"));
    let text = std::fs::read_to_string(&path).expect("the example is there");
    let (basis, _) = basis::from_toml("basis.toml", &text).expect("it is read");
    let tree = Tree::of(&basis, &["somewhere else"], None);
    let (feeders, motors) = (vec![None; tree.nodes.len()], vec![Motors::default(); tree.nodes.len()]);
    let ask = ask(&tree, &basis, &feeders, &motors);
    let faults = of(&ask);
    assert!(tree.nodes.len() >= 2 && tree.findings.is_empty() && faults.findings.is_empty(), "{:?}", faults.findings);
    for (index, node) in tree.nodes.iter().enumerate() {
        let supply_point = point(&ask, index, &faults.levels[index], &Voltage::default(), Volts(400.0));
        let before = supply::point(&basis, &node.name, Volts(400.0));
        assert_eq!(
            (supply_point.fault_max, supply_point.fault_min, supply_point.voltage),
            (before.fault_max, before.fault_min, before.voltage),
            "{}",
            node.name
        );
        assert_eq!(
            (supply_point.system, supply_point.earthing, supply_point.x_over_r),
            (before.system, before.earthing, before.x_over_r)
        );
        assert!(!supply_point.paths.known());
    }
}

#[test]
fn motors_are_added_up_by_board_at_its_voltage() {
    let solved = solve(&format!("{IEC}[[board]]\nname = \"main\"\n"), &[None], &[0.0]);
    assert_eq!(solved.basis.boards.len(), 1);
    let row = |phases: u32, running: Running, feeds_fault: Option<(f64, Amperes)>| Connected {
        number: 2,
        running,
        phases,
        voltage: Volts(380.0),
        feeds_fault,
        ..crate::network::testing::motor("P-1", 0, 5.0, 0.8)
    };
    let feeds = Some((6.0, Amperes(10.0)));
    let rows = [
        row(3, Running::Duty, feeds),
        row(3, Running::Standby, feeds),
        row(3, Running::Spare, feeds),
        row(1, Running::Duty, feeds),
        row(3, Running::Duty, None),
    ];
    let [motors] = Motors::of(&rows, &solved.tree)[..] else { panic!("one board") };
    // Four machines of 10 A; six times that at 380 V is 400/380 of it at 400 V.
    assert!((motors.rated.0 - 40.0).abs() < 1e-9 && (motors.locked_rotor.0 - 240.0 * 400.0 / 380.0).abs() < 1e-9, "{motors:?}");
}
