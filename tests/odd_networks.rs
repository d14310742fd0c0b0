//! Bases whose network contradicts itself or says too little: what is told of a board is told at one voltage, and the verifier agrees. The
//! inputs are those that random changes of the examples found, reduced.

mod common;

use common::design_of;
use motorwright::design::{Board, Design};

const IEC: &str = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nfrequency_hz = 50\nphases = 3\nearthing = \"TN-S\"\n\
    prospective_fault_ka = 36\nprospective_fault_min_ka = 18\nx_over_r = 4\n";
const HEAD: &str =
    "tag,board,rated_power_kw,efficiency_pct,power_factor,full_load_current_a,voltage_v,starting_method,cable_length_m\n";

fn board<'d>(design: &'d Design, name: &str) -> &'d Board {
    design.boards.iter().find(|board| board.name == name).unwrap_or_else(|| panic!("{name} is there"))
}

/// What the verifier says against the design.
fn disagreements(design: &Design) -> Vec<&str> {
    let of_parts = design.circuits.iter().flat_map(|circuit| &circuit.findings);
    let of_boards = design.boards.iter().flat_map(|board| &board.findings);
    let all = of_parts.chain(of_boards).chain(&design.findings);
    all.filter(|finding| finding.code.starts_with('V')).map(|finding| finding.what.as_str()).collect()
}

fn codes(design: &Design) -> Vec<&str> {
    let of_parts = design.circuits.iter().flat_map(|circuit| &circuit.findings);
    of_parts.chain(&design.findings).map(|finding| finding.code.as_str()).collect()
}

fn near(value: f64, expected: f64) {
    assert!((value - expected).abs() <= 2e-3 * expected.abs().max(1.0), "{value} against {expected}");
}

/// A board of unknown feed is taken to have the voltage of the supply, as its circuits do: a load of 480 V and 100 A draws the current that
/// gives its power there, 100 A · 480/400.
#[test]
fn a_board_of_unknown_feed_has_the_voltage_that_its_circuits_take() {
    let basis = format!("{IEC}[[board]]\nname = \"M\"\nfed_from = \"T2\"\nfeeder_length_m = 20\nfeeder_installation = \"E\"\n");
    let design = design_of(&format!("{HEAD}P-1,M,70,94,0.88,100,480,direct,20\n"), &basis);
    assert_eq!(disagreements(&design), Vec::<&str>::new());
    let board = board(&design, "M");
    near(board.voltage_v, 400.0);
    near(board.running_current_a, 120.0);
}

/// Two parents contradict each other, but both circuits and feeder stand behind the secondary of 690 V: the device breaks what the
/// catalogue says of that voltage, not the more of 400 V.
#[test]
fn the_device_of_a_contradictory_feed_is_one_for_the_voltage_of_its_board() {
    let basis = format!(
        "{IEC}[[board]]\nname = \"M\"\nfed_from = \"G1\"\nfeeder_length_m = 5\n[[transformer]]\nname = \"T1\"\nto = \"M\"\nkva = 630\n\
         secondary_voltage_v = 690\n[[source]]\nname = \"G1\"\nkind = \"generator\"\nkva = 400\n"
    );
    let design = design_of(&format!("{HEAD}P-1,M,55,94,0.88,57,690,direct,20\n"), &basis);
    assert_eq!(disagreements(&design), Vec::<&str>::new());
    let board = board(&design, "M");
    near(board.voltage_v, 690.0);
    let range = motorwright::catalogue::builtin("iec");
    let row = range.moulded_case_breakers.iter().find(|row| row.part == board.feeder.part).expect("a device of the catalogue");
    assert_eq!(board.feeder.breaking_ka, row.breaking_ka(690.0));
    assert!(row.breaking_ka(690.0) < row.breaking_ka(400.0));
}

/// The fault current that is stated at the head of an unknown feed flows at the beginning of the feeders behind it, with what the motor
/// beside them adds: 7 · 40 A of 45 kA, 0.6 %, and as much again at most for that behind.
#[test]
fn a_fault_current_stated_behind_an_unknown_feed_reaches_the_next_feeder() {
    let basis = format!(
        "{IEC}[[board]]\nname = \"L\"\nfed_from = \"T1\"\nprospective_fault_ka = 45\n[[board]]\nname = \"D\"\nfed_from = \"L\"\n\
         feeder_length_m = 3\nfeeder_installation = \"E\"\n"
    );
    let rows = "P-1,D,22,92,0.86,40,400,direct,20\nP-2,L,22,92,0.86,40,400,direct,20\n";
    let design = design_of(&format!("{HEAD}{rows}"), &basis);
    assert_eq!(disagreements(&design), Vec::<&str>::new());
    let checks = &board(&design, "D").checks;
    let breaking = checks.iter().find(|check| check.name == "breaking-capacity" && check.subject == "device of the feeder");
    let breaking = breaking.expect("it is checked");
    assert!(breaking.limit.is_some_and(|flows| (45.0..=45.6).contains(&flows)), "{breaking:?}");
    assert_eq!(breaking.passed, Some(true));
}

/// A transformer that feeds the board from which it is fed: neither is known, and nobody else is said to stand behind it.
#[test]
fn a_ring_through_a_transformer_feeds_nothing() {
    let basis = format!(
        "{IEC}[[board]]\nname = \"L\"\n[[board]]\nname = \"M\"\nfed_from = \"T1\"\nfeeder_length_m = 3\n[[transformer]]\nname = \"T1\"\n\
         to = \"L\"\nfrom = \"L\"\nkva = 1000\nsecondary_voltage_v = 400\n"
    );
    let design = design_of(&format!("{HEAD}P-1,M,22,92,0.86,40,400,direct,20\nP-2,L,22,92,0.86,40,400,direct,20\n"), &basis);
    assert_eq!(disagreements(&design), Vec::<&str>::new());
    assert!(codes(&design).contains(&"B102"), "{:?}", codes(&design));
}

/// Nobody states the voltage of the supply, and its boards have different ones: the fault current of the one is none of the other. A start
/// of 7 · 55 A on 3 kA of its own board dips it by 12.8 % at most (I / I_k), and by most of that.
#[test]
fn a_dip_goes_by_the_fault_current_of_its_own_board_where_voltages_differ() {
    let basis = "[rules]\nbook = \"iec\"\n[supply]\nfrequency_hz = 50\nphases = 3\nearthing = \"TN-S\"\nprospective_fault_ka = 30\nx_over_r = 4\n\
        [[board]]\nname = \"A\"\nvoltage_v = 690\n[[board]]\nname = \"B\"\nvoltage_v = 400\nprospective_fault_ka = 8\nprospective_fault_min_ka = 3\n";
    let head = HEAD.replace('\n', ",locked_rotor_ratio\n");
    let design = design_of(&format!("{head}P-1,A,30,93,0.87,32,690,direct,20,7\nP-2,B,30,93,0.87,55,400,direct,20,7\n"), basis);
    assert_eq!(disagreements(&design), Vec::<&str>::new());
    let dip = board(&design, "B").start_dip_pct.expect("its own fault current is stated");
    assert!((9.0..=13.0).contains(&dip), "{dip}");
}

/// A design writes currents with four decimals. What draws less than the last of them is refused; 1 W at 400 V, 1.4 mA, is sized.
#[test]
fn a_load_that_draws_nothing_worth_writing_is_refused() {
    let of = |kw: &str| {
        design_of(
            &format!(
                "tag,board,load_kind,rated_power_kw,voltage_v,phases,starting_method,cable_length_m\nH-1,M,heater,{kw},400,3,contactor,25\n"
            ),
            IEC,
        )
    };
    let (nothing, little) = (of("0.000001"), of("0.001"));
    assert!(codes(&nothing).contains(&"I102"), "{:?}", codes(&nothing));
    assert_eq!(disagreements(&nothing), Vec::<&str>::new());
    assert_eq!(disagreements(&little), Vec::<&str>::new());
    assert!((1.0..2.0).contains(&(little.circuits[0].currents.full_load_a * 1000.0)));
}

/// A starter of one speed has nothing for a low speed: the row waits for a word, and its board counts 11 kW over 0.9, whatever the low
/// speed is said to give. Where others bring the starter, nothing is asked; a starter of two speeds has both.
#[rstest::rstest]
#[case::direct("direct", true)]
#[case::drive("drive", true)]
#[case::by_others("by-others", false)]
#[case::two_speeds("two-speed-separate", false)]
fn a_low_speed_before_a_starter_of_one_speed_is_asked_about(#[case] method: &str, #[case] told: bool) {
    let head = HEAD.replace('\n', ",rated_power_low_hp\n");
    let design = design_of(&format!("{head}P-1,M,11,90,0.85,21,400,{method},20,5\n"), IEC);
    assert_eq!(codes(&design).contains(&"L342"), told, "{:?}", codes(&design));
    assert_eq!(disagreements(&design), Vec::<&str>::new());
    let slip = design_of(&format!("{head}P-1,M,11,90,0.85,21,400,direct,20,100000\n"), IEC);
    near(board(&slip, "M").connected_kw, 11.0 / 0.9);
    assert!(!codes(&slip).contains(&"L339"), "speeds that the starter has not are not compared");
}

/// A low power that stands in kW and in hp, and not the same: the larger counts, here 2.2 kW at 0.82 beside 1.1 kW and 4 hp (2.98 kW).
#[test]
fn the_larger_of_two_low_powers_counts_for_the_verifier_too() {
    let head = HEAD.replace('\n', ",rated_power_low_kw,rated_power_low_hp\n");
    let design = design_of(&format!("{head}P-1,M,2.2,82,0.76,5.1,400,two-speed-separate,20,1.1,4\n"), IEC);
    assert_eq!(disagreements(&design), Vec::<&str>::new());
    near(board(&design, "M").connected_kw, 4.0 * 0.745699872 / 0.82);
}

/// A brake takes its neutral from the run to its starter, also where no coil does: three lines, the neutral and the grounding conductor.
#[test]
fn a_brake_of_a_starter_without_coils_brings_its_neutral() {
    let basis = "[rules]\nbook = \"nec\"\n[supply]\nvoltage_v = 208\nphases = 3\nfrequency_hz = 60\nsystem = \"208Y/120 4W solidly grounded\"\n\
        prospective_fault_ka = 10\nprospective_fault_min_ka = 4\nx_over_r = 3\n[control]\nsupply = \"per-starter\"\n";
    let head = "tag,board,voltage_v,phases,rated_power_hp,starting_method,cable_length_m,supply_length_m,brake_w,control_voltage,bypass\n";
    let design = design_of(&format!("{head}X-1,L1,200,3,1,soft-starter,90,40,80,120 V AC,yes\n"), basis);
    assert_eq!(disagreements(&design), Vec::<&str>::new());
    let run = design.circuits[0].runs.iter().find(|run| run.role == "supply").expect("a run to the starter");
    assert_eq!((run.cores, run.neutral_size.is_some()), (5, true));
}

/// Nobody states a voltage before the transformer: what is behind counts there with its own amperes, 50 A and the 7.6 A of 5 hp (NFPA 70,
/// Table 430.250, 460 V), of which 430.24 takes the largest motor and the existing load, as one that lasts, with 125 %.
#[test]
fn a_transformer_behind_a_board_of_unknown_voltage_changes_no_current() {
    let basis = "[rules]\nbook = \"nec\"\n[[board]]\nname = \"B\"\nfed_from = \"B\"\nexisting_load_a = 50\nfeeder_length_m = 10\n\
        [[board]]\nname = \"A\"\nvoltage_v = 480\nfed_from = \"T1\"\nfeeder_length_m = 10\n\
        [[transformer]]\nname = \"T1\"\nfrom = \"B\"\nkva = 75\nimpedance_pct = 4\n";
    let rows = "tag,board,rated_power_hp,voltage_v,starting_method,cable_length_ft\nP-1,A,5,480,direct,20\n";
    let design = design_of(rows, basis);
    assert_eq!(disagreements(&design), Vec::<&str>::new());
    near(board(&design, "B").demand_current_a, 57.6);
    near(board(&design, "B").feeder_minimum_a, 1.25 * 57.6);
}
