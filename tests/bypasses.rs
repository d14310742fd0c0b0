//! Drives at their boards: what a motor draws that starts on the line over the bypass of its drive, and what the input of a drive asks of
//! parts that several circuits share. A design of each is tried again by the verifier.

mod common;

use common::design_of;
use motorwright::design::{Circuit, Design};
use rstest::rstest;

const IEC: &str = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nfrequency_hz = 50\nphases = 3\nearthing = \"TN-S\"\n\
    prospective_fault_ka = 10\nprospective_fault_min_ka = 5\n[[board]]\nname = \"M\"\n";
const NEC: &str = "[rules]\nbook = \"nec\"\n[supply]\nvoltage_v = 480\nfrequency_hz = 60\nphases = 3\n\
    system = \"480Y/277 4W solidly grounded\"\nprospective_fault_ka = 10\nprospective_fault_min_ka = 5\n\
    [[board]]\nname = \"M\"\nincoming = \"switch-disconnector\"\n";

/// Nothing that the second trial says stands in a design.
fn agrees(design: &Design) {
    let circuits = design.circuits.iter().flat_map(|circuit| &circuit.findings);
    let boards = design.boards.iter().flat_map(|board| &board.findings);
    let said: Vec<_> = circuits.chain(boards).filter(|finding| finding.code.starts_with('V')).collect();
    assert!(said.is_empty(), "{said:?}");
}

/// What the bar over a circuit that has the least margin carries, with its rating; and the ways of all its bars.
fn bars(circuit: &Circuit) -> (Option<(f64, f64)>, Vec<&str>) {
    let check = circuit.checks.iter().find(|check| check.name == "commoning-current").expect("a bar");
    let parts = circuit.accessories.iter().filter(|accessory| accessory.kind == "commoning-bar");
    (check.value.zip(check.limit), parts.filter_map(|accessory| accessory.part.rsplit('-').next()).collect())
}

/// Five drives of 15 A input each draw 75 A: no bar of 63 A lies over all five, and one over four (60 A) would leave the fifth without. Two
/// and three draw 30 A and 45 A. The motors behind them would draw 61 A together, on one bar.
#[test]
fn drives_under_one_bar_count_with_what_they_draw_from_it() {
    let head = "tag,board,rated_power_kw,full_load_current_a,efficiency_pct,power_factor,starting_method,drive_input_current_a,\
                protection_kind,quantity,cable_length_m\n";
    let of = |method: &str, input: &str| {
        let design = design_of(&format!("{head}P-1,M,5.5,12.2,89,0.74,{method},{input},motor-breaker,5,20\n"), IEC);
        agrees(&design);
        design
    };
    let drives = of("drive", "15");
    assert!((drives.circuits[0].currents.line_a.expect("it is known") - 15.0).abs() < 1e-9);
    let (most, mut ways) = bars(&drives.circuits[0]);
    ways.sort_unstable();
    assert_eq!((most, ways), (Some((45.0, 63.0)), vec!["2", "3"]));
    let direct = of("direct", "");
    assert_eq!(bars(&direct.circuits[0]), (Some((61.0, 63.0)), vec!["5"]), "five motors on one bar");
    // The second trial counts every way of a bar.
    let mut wrong = drives.clone();
    wrong.circuits[0].accessories = direct.circuits[0].accessories.clone();
    let book = motorwright::rules::book("iec", None).expect("a book");
    let range = motorwright::catalogue::builtin("iec");
    let verifier = motorwright::verify::Verifier::new(&wrong.basis, book, range, &wrong.circuits);
    assert!(verifier.circuit(&wrong.circuits[0]).iter().any(|finding| finding.code == "V601"), "a bar of 63 A under 75 A");
}

/// NFPA 70, 430.110(C)(1) with Table 430.7(B), code letter L (up to 9.99 kVA/hp): 40 hp stall with 481 A, which Table 430.251(B) has for 75
/// hp; over the bypass of a drive they do so too. Behind a drive alone its input counts.
#[test]
fn a_main_switch_opens_a_motor_that_stalls_over_its_bypass() {
    let head = "tag,board,rated_power_hp,full_load_current_a,starting_method,bypass,locked_rotor_code,cable_length_ft\n";
    let horsepower = |method: &str, bypass: &str| {
        let design = design_of(&format!("{head}P-1,M,40,50,{method},{bypass},L,100\n"), NEC);
        agrees(&design);
        let board = design.boards.iter().find(|board| board.name == "M").expect("the board");
        board.incoming.as_ref().and_then(|incoming| incoming.rating_hp).expect("a switch in horsepower")
    };
    let direct = horsepower("direct", "");
    assert!(direct >= 75.0, "{direct}");
    assert!((horsepower("drive", "yes") - direct).abs() < 1e-9);
    assert!(horsepower("drive", "no") < direct);
}

/// The dip of a board is that of the largest start behind it, which is the same over a bypass as direct; a drive alone starts nothing
/// there. A source of 5 kA and X/R = 3 has the angle of a start of power factor 1/√10. By Ohm's law 7 · 29 A at full voltage then take
/// 203 / (203 + 5000) = 3.90 % of it, less a hundredth for 1 m of cable: the current of a start goes with the voltage.
#[test]
fn a_start_over_a_bypass_dips_its_board_as_a_direct_one() {
    let head = "tag,board,rated_power_kw,full_load_current_a,efficiency_pct,power_factor,starting_method,bypass,locked_rotor_ratio,\
                starting_power_factor,drive_input_current_a,cable_length_m\n";
    let basis = IEC.replace("[[board]]", "x_over_r = 3\n[[board]]");
    let dip = |method: &str, bypass: &str| {
        let design = design_of(&format!("{head}P-1,M,15,29,90,0.86,{method},{bypass},7,0.3162,29,1\n"), &basis);
        agrees(&design);
        let board = design.boards.iter().find(|board| board.name == "M").expect("the board");
        board.start_dip_pct
    };
    let direct = dip("direct", "");
    assert!(direct.is_some_and(|dip| (dip - 100.0 * 203.0 / 5203.0).abs() < 0.02), "{direct:?}");
    assert_eq!(dip("drive", "yes"), direct);
    assert_eq!(dip("drive", "no"), None);
}

/// Table 430.7(B): G is up to 6.29 kVA/hp; 20 hp at 480 V stall with 20 · 6290 / (√3 · 480) = 151.3 A, however the letter is written.
#[rstest]
#[case::letter("G", true)]
#[case::small("g", true)]
#[case::named("Code G", true)]
#[case::of_apparent_power("KVA code G", true)]
#[case::of_class("class: G", true)]
#[case::of_the_locked_rotor("LR code G", true)]
#[case::with_its_range("G (5.6-6.29)", true)]
#[case::with_a_voltage("G / 480V", true)]
#[case::two_letters("G-H", false)]
#[case::no_such_letter("I", false)]
#[case::a_figure("6.29", false)]
fn a_code_letter_is_one_letter_and_nothing_else(#[case] text: &str, #[case] read: bool) {
    let head = "tag,board,rated_power_hp,full_load_current_a,starting_method,locked_rotor_code,cable_length_ft\n";
    let design = design_of(&format!("{head}P-1,M,20,26,direct,{text},100\n"), NEC);
    let circuit = &design.circuits[0];
    assert_eq!(circuit.findings.iter().any(|finding| finding.code == "I105"), !read, "{:?}", circuit.findings);
    if read {
        let stalls = 20.0 * 6290.0 / (3f64.sqrt() * 480.0);
        assert!((circuit.currents.starting_a - stalls).abs() < 0.1, "{} A against {stalls} A", circuit.currents.starting_a);
    }
    agrees(&design);
}
