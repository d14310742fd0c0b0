//! Third harmonics in the neutral of three-phase loads, through the whole program. Expected sizes are from the tables named; none is the
//! program's.

mod common;

use common::design_of;
use motorwright::design::{Circuit, Status};

const IEC: &str = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nphases = 3\nfrequency_hz = 50\nearthing = \"TN-S\"\n\
    prospective_fault_ka = 10\nprospective_fault_min_ka = 6\nx_over_r = 2\n[design]\nambient_c = 30\ninsulation = \"pvc\"\n\
    installation_method = \"C\"\nrunning_drop_pct = 10\n";
const NEC: &str = "[rules]\nbook = \"nec\"\n[supply]\nvoltage_v = 480\nphases = 3\nfrequency_hz = 60\n\
    system = \"480Y/277 4W solidly grounded\"\nprospective_fault_ka = 10\nprospective_fault_min_ka = 6\nx_over_r = 2\n\
    [design]\nambient_c = 30\ntermination_c = 75\n";

/// A load of three phases with a neutral, so near its board that no voltage drop counts.
fn circuit(basis: &str, kind: &str, amperes: f64, third_pct: &str) -> Circuit {
    let volts = if basis == NEC { 480 } else { 400 };
    let row = format!(
        "tag,load_kind,voltage_v,phases,connection,full_load_current_a,starting_method,cable_length_m,third_harmonic_pct\n\
         L-1,{kind},{volts},3,3L+N,{amperes},feeder,5,{third_pct}\n"
    );
    design_of(&row, basis).circuits.remove(0)
}

fn size(circuit: &Circuit) -> &str {
    circuit.conductors.as_ref().map_or_else(|| panic!("no conductors: {:?}", circuit.findings), |run| &run.phase_size)
}

fn capacity(circuit: &Circuit) -> f64 {
    circuit.conductors.as_ref().map_or(f64::NAN, |run| run.capacity_a)
}

fn told(circuit: &Circuit) -> bool {
    circuit.findings.iter().any(|finding| finding.code == "C612")
}

/// Example of IEC 60364-5-52, Annex E: 39 A in a cable on a wall (method C, PVC): 6 mm² (41 A) without harmonics, 10 mm² (57 A) for 45.3 A
/// at 20 % and 54.4 A at 40 %, 16 mm² (76 A) for 58.5 A at 50 %. The load is a heater behind power electronics, whose protective device of
/// 40 A asks for no more than 40 / 39 of that.
#[test]
fn a_cable_of_the_annex_is_as_large_as_its_example() {
    for (third, wanted) in [("0", "6 mm2"), ("20", "10 mm2"), ("40", "10 mm2"), ("50", "16 mm2")] {
        let circuit = circuit(IEC, "heater", 39.0, third);
        assert_eq!(circuit.protection.as_ref().map(|protection| protection.rating_a), Some(40.0), "{third} %");
        assert_eq!(size(&circuit), wanted, "{third} %");
        assert!(!told(&circuit), "{third} %: it is stated");
    }
}

#[test]
fn lighting_that_states_nothing_is_taken_as_electronic_and_says_so() {
    let (silent, stated) = (circuit(IEC, "lighting", 39.0, ""), circuit(IEC, "lighting", 39.0, "33"));
    assert_eq!(size(&silent), size(&stated));
    assert!((capacity(&silent) - capacity(&stated)).abs() < 1e-9);
    assert!(told(&silent) && !told(&stated));
    let other = circuit(IEC, "other", 39.0, "");
    assert!(told(&other), "taken as up to 15 %");
    assert_eq!(size(&other), size(&circuit(IEC, "other", 39.0, "15")));
    assert!(!told(&circuit(IEC, "heater", 39.0, "")), "a heater has no harmonics");
    assert_ne!(silent.status, Status::NotSized);
}

/// NFPA 70, 310.15(E)(3) and Table 310.15(C)(1): four current-carrying conductors carry 80 %: 8 AWG THWN-2 (Table 310.16, 90 °C: 55 A) gives
/// 44 A, three give 55 A.
#[test]
fn a_neutral_with_harmonics_counts_as_a_fourth_conductor() {
    let corrected = |kind: &str, third: &str| {
        let circuit = circuit(NEC, kind, 32.0, third);
        let run = circuit.conductors.as_ref().unwrap_or_else(|| panic!("no conductors: {:?}", circuit.findings));
        let check = circuit.checks.iter().find(|check| check.name == "current-carrying-capacity").expect("a check");
        (run.phase_size.clone(), check.limit.expect("a limit"))
    };
    for (kind, third, wanted) in
        [("lighting", "", 44.0), ("other", "20", 44.0), ("other", "", 55.0), ("lighting", "0", 55.0), ("heater", "", 55.0)]
    {
        assert_eq!(corrected(kind, third), ("8 AWG".to_owned(), wanted), "{kind} {third}");
    }
    // The neutral carries 1.5 times a phase: 44 A of it are 29.3 A in the phases, less than 32 A.
    let (larger, limit) = corrected("other", "50");
    assert_eq!(larger, "6 AWG");
    assert!((limit - 75.0 * 0.8 / 1.5).abs() < 1e-6, "{limit}");
}

const ONE_PHASE: &str = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nfrequency_hz = 50\nearthing = \"TN-S\"\n\
    prospective_fault_ka = 25\nprospective_fault_min_ka = 12\nx_over_r = 6\n[[board]]\nname = \"MCC\"\n[design]\ninsulation = \"xlpe\"\n\
    [[board]]\nname = \"LP\"\nfed_from = \"MCC\"\nvoltage_v = 230\nphases = 1\nfeeder_length_m = 10\n";

/// A board of line and neutral has the voltage of its coils: one fuse in the line feeds those of all its starters (IEC 60364-4-43, 431.3),
/// and nothing waits for a transformer from 230 V to 230 V. Its loads stand between line and neutral, as their circuits and the board say.
#[test]
fn a_board_of_line_and_neutral_feeds_its_coils_itself() {
    let schedule = "tag,board,load_kind,rated_power_kw,voltage_v,phases,power_factor,starting_method,cable_length_m,protection_kind\n\
                    H-1,LP,heater,3,230,1,1,contactor,20,gG\nH-2,LP,heater,3,230,1,1,contactor,20,gG\n";
    let design = design_of(schedule, ONE_PHASE);
    let board = design.boards.iter().find(|board| board.name == "LP").expect("the board");
    let supply = &board.control_supplies[0];
    assert_eq!((supply.kind.as_str(), supply.secondary.as_ref().map(|secondary| secondary.quantity)), ("line", Some(1)));
    assert_eq!(supply.serves, ["H-1", "H-2"]);
    assert!(board.findings.iter().all(|finding| finding.code != "C409"), "{:?}", board.findings);
    assert!(board.phases_of_rows.iter().all(|phases_of_row| phases_of_row.phases == "L1-N"));
    for circuit in &design.circuits {
        assert_eq!((circuit.status, circuit.lines.as_str()), (Status::Sized, "L1-N"), "{:?}", circuit.findings);
    }
}
