//! The voltage that a start takes from its motor, from the files to the design.

mod common;

use common::design_of;
use motorwright::design::{Circuit, Design, Status};
use motorwright::finding::Severity;
use rstest::rstest;

const SCHEDULE: &str = "tag,board,rated_power_kw,voltage_v,phases,full_load_current_a,power_factor,efficiency_pct,efficiency_class,locked_rotor_ratio,locked_rotor_torque_ratio,starting_power_factor,start_time_s,starting_method,cable_length_m,protection_kind,load_torque\n\
    P-1,MCC,75,400,3,131,0.87,95,IE3,7.2,2.2,0.3,4,direct,240,gG,quadratic\n";

fn basis(starting_drop_pct: f64) -> String {
    format!(
        "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nfrequency_hz = 50\nearthing = \"TN-S\"\nupstream_fault_mva = 200\n\
         upstream_fault_min_mva = 60\nupstream_x_over_r = 8\ntransformer_kva = 315\ntransformer_impedance_pct = 6\nx_over_r = 5\n\
         [[board]]\nname = \"MCC\"\n[design]\nrunning_drop_pct = 8\nstarting_drop_pct = {starting_drop_pct}\ninsulation = \"xlpe\"\n\
         installation_method = \"E\"\n"
    )
}

/// A direct start of 943 A (Z = 73.5 + j 233.6 mΩ) behind 240 m of 150 mm² (37.9 + j 19.2 mΩ) and a transformer of 315 kVA on a network of
/// 60 MVA (6.5 + j 32.5 mΩ), worked by phasors: 244.9 / 308.7 = 0.793 at the terminals. The run alone takes less than 15 %.
#[test]
fn a_start_that_takes_too_much_from_its_motor_is_told() {
    let design = design_of(SCHEDULE, &basis(15.0));
    let circuit = &design.circuits[0];
    let told = circuit.findings.iter().find(|finding| finding.code == "C324").expect("it is told");
    assert_eq!((told.severity, circuit.status), (Severity::Warning, Status::NeedsDecision));
    assert!(told.what.contains("takes 20.7 %") && told.what.contains("the limit is 15 %"), "{}", told.what);
    let run_alone = circuit.checks.iter().find(|check| check.name == "starting-voltage-drop").expect("a check of the run");
    assert_eq!(run_alone.passed, Some(true), "no larger run would mend it");
    assert!(circuit.start_voltage.as_ref().is_some_and(|start| (start.drop_pct - 20.7).abs() < 0.05));
    let admitted = design_of(SCHEDULE, &basis(21.0));
    let at_motor =
        admitted.circuits[0].checks.iter().find(|check| check.name == "voltage-drop-at-terminals").expect("it is signed");
    assert!(at_motor.passed == Some(true) && at_motor.value.is_some_and(|value| (value - 20.7).abs() < 0.05), "{at_motor:?}");
    assert!(admitted.circuits[0].findings.iter().all(|finding| finding.code != "C324"));
}

/// A motor of 22 kW and 41 A that starts direct with 7 times that at 0.3, on a generator of 60 kVA with 15 %, at whose terminals its board
/// stands. No length is stated, so that its cable is unknown.
const ON_GENERATOR: &str = "tag,board,rated_power_kw,voltage_v,phases,full_load_current_a,locked_rotor_ratio,starting_power_factor,starting_method,cable_length_m\n\
    P-1,MCC,22,400,3,41,7,0.3,direct,\n";

fn generator(supply: &str, board: &str) -> String {
    format!(
        "[rules]\nbook = \"iec\"\n[supply]\n{supply}frequency_hz = 50\nphases = 3\nearthing = \"TN-S\"\n\
         [[source]]\nname = \"G1\"\nkind = \"generator\"\nkva = 60\nsubtransient_reactance_pct = 15\nsustained_current_ratio = 3\n\
         [[board]]\nname = \"MCC\"\nfed_from = \"G1\"\n{board}"
    )
}

/// Z = 400 / (√3 · 287) = 0.8047 Ω at 0.3, that is 0.2414 + j 0.7676 Ω, behind 15 % of 400² / 60 000 = j 0.4 Ω: 0.8047 / |0.2414 + j
/// 1.1676| = 0.675, a drop of 32.5 % that every cable makes larger.
#[test]
fn what_the_board_alone_loses_is_held_against_the_limit_where_the_cable_is_unknown() {
    let design = design_of(ON_GENERATOR, &generator("voltage_v = 400\n", "voltage_v = 400\n"));
    let told = design.circuits[0].findings.iter().find(|finding| finding.code == "C324").expect("it is told");
    assert!(told.what.contains("takes at least 32.5 %") && told.what.contains("the limit is 15 %"), "{}", told.what);
}

/// The voltage of the supply is that of a board on a generator alone: its dip (as above) and its fault currents follow without another key.
#[test]
fn a_board_on_a_generator_alone_has_the_voltage_of_the_supply() {
    let [stated, of_supply] =
        ["voltage_v = 400\n", ""].map(|board| design_of(ON_GENERATOR, &generator("voltage_v = 400\n", board)));
    let board = &of_supply.boards[0];
    assert!(board.start_dip_pct.is_some_and(|dip| (dip - 32.5).abs() < 0.1), "{:?}", board.start_dip_pct);
    assert!(board.prospective_fault_ka.is_some(), "the network gives it");
    assert_eq!(
        (board.prospective_fault_ka, board.prospective_fault_min_ka),
        (stated.boards[0].prospective_fault_ka, stated.boards[0].prospective_fault_min_ka)
    );
    let codes = |design: &Design| {
        let of_boards = design.boards.iter().flat_map(|board| &board.findings);
        let all = of_boards.chain(&design.findings).chain(design.circuits.iter().flat_map(|circuit| &circuit.findings));
        all.map(|finding| finding.code.clone()).collect::<Vec<_>>()
    };
    assert_eq!(codes(&of_supply), codes(&stated));
    // Where nobody states any voltage, it is that of the load on the board, as the list of assumptions says.
    let of_load = design_of(ON_GENERATOR, &generator("", ""));
    let board = &of_load.boards[0];
    assert!(board.start_dip_pct.is_some_and(|dip| (dip - 32.5).abs() < 0.1), "{:?}", board.start_dip_pct);
}

const TWO_SPEEDS: &str = "tag,rated_power_kw,rated_power_low_kw,full_load_current_a,full_load_current_low_a,locked_rotor_ratio,voltage_v,phases,starting_method,cable_length_m,protection_kind\n\
    C-1,15,15,29,36,8,400,3,two-speed-dahlander,30,gG\n\
    C-5,15,,36,,8,400,3,direct,30,gG\n\
    C-6,15,15,29,57,8,400,3,two-speed-separate,30,moulded-case\n";

const STIFF: &str = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nfrequency_hz = 50\nphases = 3\nearthing = \"TN-S\"\n\
    prospective_fault_ka = 10\nprospective_fault_min_ka = 5\nx_over_r = 3\n";

/// 8 × 57 A = 456 A at low speed, where high speed takes 8 × 29 = 232 A; 36 A of either speed start like 36 A of a motor of one.
#[test]
fn of_two_speeds_the_larger_start_counts() {
    let design = design_of(TWO_SPEEDS, STIFF);
    let [dahlander, direct, separate] = &design.circuits[..] else { panic!("three circuits") };
    let rating = |circuit: &Circuit| circuit.protection.as_ref().map(|device| device.rating_a);
    assert_eq!((rating(dahlander), dahlander.currents.starting_a), (rating(direct), 8.0 * 36.0));
    assert_eq!(separate.currents.starting_a, 456.0);
    let check = separate.checks.iter().find(|check| check.name == "magnetic-trip-at-start").expect("it is judged");
    assert_eq!((check.limit, check.passed), (Some(456.0), Some(true)), "{check:?}");
    let wrong: Vec<_> =
        design.circuits.iter().flat_map(|circuit| &circuit.findings).filter(|found| found.code.starts_with('V')).collect();
    assert!(wrong.is_empty(), "{wrong:?}");
}

/// What nobody states of the way to a board stands in the fault current that is stated for it: 4 kA are 400 / (√3 · 4 kA) = 57.7 mΩ, with
/// X/R 4 14.0 + j 56.0 mΩ. A start of 1330 A is 173.6 mΩ, at 0.3 52.1 + j 165.6 mΩ: 1 - 173.6 / |66.1 + j 221.6| = 24.9 %. The supply
/// alone, with 18 kA, would dip by 6.9 %. Of a current that is more favourable than the network gives, nothing is taken.
#[rstest]
#[case::weaker("prospective_fault_ka = 10\nprospective_fault_min_ka = 4\n", 24.9)]
#[case::largest_alone("prospective_fault_ka = 4\n", 24.9)]
#[case::stronger("prospective_fault_ka = 40\nprospective_fault_min_ka = 30\n", 6.9)]
#[case::unstated("", 6.9)]
fn a_fault_current_stated_at_a_board_counts_in_its_dip(#[case] stated: &str, #[case] dip_pct: f64) {
    let rows = "tag,board,rated_power_kw,voltage_v,phases,full_load_current_a,power_factor,efficiency_pct,locked_rotor_ratio,starting_power_factor,start_time_s,starting_method,cable_length_m\n\
        P-1,M,110,400,3,190,0.87,95,7,0.3,4,direct,10\n";
    let basis = format!(
        "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nfrequency_hz = 50\nearthing = \"TN-S\"\nprospective_fault_ka = 36\n\
         prospective_fault_min_ka = 18\nx_over_r = 4\n[[board]]\nname = \"M\"\n{stated}"
    );
    let design = design_of(rows, &basis);
    let board = &design.boards[0];
    assert!(board.start_dip_pct.is_some_and(|dip| (dip - dip_pct).abs() < 0.2), "{:?}", board.start_dip_pct);
    assert!(board.findings.iter().all(|finding| !finding.code.starts_with('V')), "{:?}", board.findings);
}

/// A load of 1000 A at power factor 1 behind the same 14.0 + j 56.0 mΩ takes 6 % in phase alone; behind a tenth of it 0.6 %.
#[rstest]
#[case::weak(4.0, true)]
#[case::strong(40.0, false)]
fn a_board_far_below_its_voltage_is_told(#[case] fault_ka: f64, #[case] told: bool) {
    let rows = "tag,board,rated_power_kw,voltage_v,phases,full_load_current_a,power_factor,efficiency_pct,starting_method,cable_length_m\n\
        P-1,M,4,400,3,8.1,0.82,88,direct,10\n";
    let basis = format!(
        "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nfrequency_hz = 50\nearthing = \"TN-S\"\nprospective_fault_ka = {fault_ka}\n\
         x_over_r = 4\n[[board]]\nname = \"M\"\nexisting_load_a = 1000\n"
    );
    let design = design_of(rows, &basis);
    assert_eq!(design.boards[0].findings.iter().any(|finding| finding.code == "B217"), told);
}

/// The example's feeder breaker of 250 A is set to five times, 1250 A; 20 % less is 1000 A.
#[test]
fn the_start_behind_a_feeder_is_told_against_the_trip_that_is_set() {
    let design = common::opened_example("pumping-station").design();
    let board = design.boards.iter().find(|board| board.name == "MCC-P").expect("the board");
    let check = board.checks.iter().find(|check| check.name == "magnetic-trip-at-start").expect("the check");
    assert!(check.limit.is_some_and(|limit| (limit - 1000.0).abs() < 0.1), "{check:?}");
}
