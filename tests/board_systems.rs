//! System and earthing of boards behind boards and transformers: what stands nearest on the way to the source counts, for circuits as for
//! boards.

mod common;

use common::design_of;
use motorwright::design::Design;

/// Tags of the circuits that bear a finding; the verifier agrees with all that is chosen.
fn told(design: &Design, code: &str) -> Vec<String> {
    let faults: Vec<String> =
        design.all_findings().into_iter().filter(|(_, f)| f.code.starts_with('V')).map(|(_, f)| f.what.clone()).collect();
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    let bears = |findings: &[motorwright::finding::Finding]| findings.iter().any(|finding| finding.code == code);
    design.circuits.iter().filter(|circuit| bears(&circuit.findings)).map(|circuit| circuit.tag.clone()).collect()
}

const IEC: &str = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nfrequency_hz = 50\nprospective_fault_ka = 16\n\
    prospective_fault_min_ka = 8\nx_over_r = 2\n";
const MOTORS: &str = "tag,board,load_kind,rated_power_kw,voltage_v,phases,full_load_current_a,starting_method,cable_length_m\n\
    P-1,M1,motor,7.5,400,3,14.3,direct,30\nP-2,M2,motor,7.5,400,3,14.3,direct,30\n";

/// IEC 60364-1, 312.2: the earthing is that of the source with its installation; a feeder makes no other one.
#[test]
fn a_circuit_has_the_earthing_of_the_board_that_feeds_its_board() {
    let of = |supply: &str, m1: &str| {
        let boards = format!("[[board]]\nname = \"M1\"\n{m1}[[board]]\nname = \"M2\"\nfed_from = \"M1\"\nfeeder_length_m = 20\n");
        design_of(MOTORS, &format!("{IEC}earthing = \"{supply}\"\n{boards}"))
    };
    assert_eq!(told(&of("TN-S", "earthing = \"IT\"\n"), "L404"), ["P-1", "P-2"]);
    assert!(told(&of("IT", "earthing = \"TN-S\"\n"), "L404").is_empty());
    assert_eq!(told(&of("IT", ""), "L404"), ["P-1", "P-2"]);
}

/// A board of one phase behind a TN-S board of an IT supply has the neutral of the TN-S board.
#[test]
fn a_board_of_one_phase_has_the_earthing_of_the_board_before_it() {
    let rows = "tag,board,load_kind,rated_power_kw,voltage_v,phases,full_load_current_a,starting_method,cable_length_m\n\
        H-1,L1,heater,2,230,1,8.7,contactor,20\n";
    let boards = "[[board]]\nname = \"M1\"\nearthing = \"TN-S\"\n[[board]]\nname = \"L1\"\nfed_from = \"M1\"\nphases = 1\n\
        voltage_v = 230\nfeeder_length_m = 30\n";
    let design = design_of(rows, &format!("{IEC}earthing = \"IT\"\n{boards}"));
    assert!(told(&design, "L404").is_empty());
    let conductors = design.circuits[0].conductors.as_ref().expect("a run");
    assert!(!conductors.neutral_size.as_deref().is_none_or(str::is_empty), "line and neutral of a TN-S system");
}

/// NFPA 70, 430.37 and 240.85 ask of a corner-grounded system what a wye does not; a separately derived system (250.30) is grounded anew.
#[test]
fn a_transformer_makes_another_system() {
    let rows = "tag,board,load_kind,rated_power_hp,voltage_v,phases,full_load_current_a,starting_method,cable_length_ft\n\
        P-1,M1,motor,10,460,3,13,direct,100\nP-2,L1,motor,5,200,3,17,direct,100\nP-3,L2,motor,5,200,3,17,direct,100\n";
    let of = |supply: &str, secondary: &str| {
        design_of(
            rows,
            &format!(
                "[rules]\nbook = \"nec\"\n[supply]\nvoltage_v = 480\nfrequency_hz = 60\nsystem = \"{supply}\"\n\
                 prospective_fault_ka = 30\nprospective_fault_min_ka = 14\nx_over_r = 5\n[[transformer]]\nname = \"T1\"\nfrom = \"M1\"\n\
                 to = \"L1\"\nkva = 75\nimpedance_pct = 4\nsecondary_voltage_v = 208\nsystem = \"{secondary}\"\n[[board]]\nname = \"M1\"\n\
                 [[board]]\nname = \"L1\"\nfed_from = \"T1\"\nfeeder_length_ft = 20\n[[board]]\nname = \"L2\"\nfed_from = \"L1\"\n\
                 feeder_length_ft = 20\n"
            ),
        )
    };
    let (wye, delta) = (
        of("480Y/277 4W solidly grounded", "208 delta corner-grounded"),
        of("480 delta corner-grounded", "208Y/120 4W solidly grounded"),
    );
    assert_eq!(told(&wye, "L404"), ["P-2", "P-3"]);
    assert_eq!(told(&delta, "L404"), ["P-1"]);
}

/// The words of the supply of one phase count behind a second board as at the first: two lines have no neutral.
#[test]
fn the_words_of_a_supply_of_one_phase_count_behind_a_second_board() {
    let rows = "tag,board,load_kind,rated_power_kw,voltage_v,phases,full_load_current_a,starting_method,cable_length_m\n\
        H-1,M2,heater,2,230,1,8.7,contactor,20\n";
    let supply = IEC.replace("voltage_v = 400", "voltage_v = 230\nphases = 1\nsystem = \"L-L\"");
    let boards = "[[board]]\nname = \"M1\"\n[[board]]\nname = \"M2\"\nfed_from = \"M1\"\nfeeder_length_m = 20\n";
    let design = design_of(rows, &format!("{supply}earthing = \"TN-S\"\n{boards}"));
    assert!(told(&design, "L404").is_empty());
    assert!(design.circuits[0].conductors.as_ref().expect("a run").neutral_size.as_deref().is_none_or(str::is_empty));
}

/// A board of another voltage than what feeds it is parted from it, and the verifier reads its earthing as the network does.
#[test]
fn a_board_of_another_voltage_has_one_earthing_for_all() {
    let boards = "[[board]]\nname = \"M1\"\nearthing = \"IT\"\n[[board]]\nname = \"M2\"\nfed_from = \"M1\"\nvoltage_v = 230\n\
        incoming = \"circuit-breaker\"\nfeeder_length_m = 20\n";
    let rows = MOTORS.replace("P-2,M2,motor,7.5,400", "P-2,M2,motor,7.5,230");
    let design = design_of(&rows, &format!("{IEC}earthing = \"TN-S\"\n{boards}"));
    assert_eq!(told(&design, "L404"), ["P-1", "P-2"]);
}
