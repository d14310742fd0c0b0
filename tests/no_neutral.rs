//! Loads to the neutral on systems that have none for loads.

mod common;

use common::design_of;
use motorwright::design::{Circuit, Status};

/// Lighting and a heater at the voltage to the neutral on a board of that system, with a motor or heater between lines beside them.
fn circuits(volts: u32, to_neutral: u32, system: &str) -> Vec<Circuit> {
    let basis = format!(
        "[rules]\nbook = \"nec\"\nedition = \"2023\"\n[supply]\nvoltage_v = {volts}\nphases = 3\nfrequency_hz = 60\nsystem = \"{system}\"\n\
         prospective_fault_ka = 5\nprospective_fault_min_ka = 3\nx_over_r = 3\n"
    );
    let rows = format!(
        "tag,load_kind,rated_power_kw,voltage_v,phases,starting_method,cable_length_ft\nLT-1,lighting,1,{to_neutral},1,contactor,30\n\
         HT-1,heater,1.2,{to_neutral},1,feeder,30\nHT-2,heater,3,{volts},3,feeder,30\n"
    );
    let design = design_of(&rows, &basis);
    assert!(design.findings.iter().all(|finding| !finding.code.starts_with('V')), "{:?}", design.findings);
    design.circuits
}

fn says(circuit: &Circuit, code: &str) -> bool {
    circuit.findings.iter().any(|finding| finding.code == code)
}

/// NFPA 70, 250.26: a corner-grounded or ungrounded delta has no neutral, its phases have the whole line voltage to ground; 250.36: an
/// impedance-grounded neutral serves no load. Which breakers 240.85 admits there is held in `rules::nec::rating`, since a circuit that is
/// not sized has no checks.
#[test]
fn a_system_without_a_neutral_feeds_no_load_to_the_neutral() {
    for (volts, to_neutral, system) in [
        (240, 120, "240 delta corner-grounded"),
        (480, 277, "480Y/277 high-resistance grounded"),
        (480, 277, "480 delta ungrounded"),
        (600, 347, "600 delta ungrounded"),
        (208, 120, "208Y/120 3W"),
    ] {
        let all = circuits(volts, to_neutral, system);
        for circuit in &all[..2] {
            assert!(circuit.status == Status::NotSized && says(circuit, "L340"), "{system}: {:?}", circuit.findings);
        }
        assert!(!says(&all[2], "L340"), "{system}");
    }
}

#[test]
fn a_grounded_neutral_feeds_them() {
    for (volts, to_neutral, system) in [
        (208, 120, "208Y/120 4W solidly grounded"),
        (480, 277, "480Y/277 4W solidly grounded"),
        (240, 120, "240/120 4W high-leg delta"),
    ] {
        for circuit in &circuits(volts, to_neutral, system)[..2] {
            assert!(circuit.status != Status::NotSized && !says(circuit, "L340"), "{system}: {:?}", circuit.findings);
            let rating = circuit.checks.iter().find(|check| check.name == "voltage-rating").map(|check| check.passed);
            assert_eq!(rating, Some(Some(true)), "{system}");
        }
    }
}

/// The cores of a cable by the spellings of a load's connection: three lines, the neutral where it is named, the protective conductor. What
/// finds faults of the program must read them alike.
#[test]
fn every_spelling_of_a_connection_gives_one_cable() {
    let basis = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nphases = 3\nfrequency_hz = 50\nearthing = \"TN-S\"\n\
        prospective_fault_ka = 10\n[[board]]\nname = \"MCC\"\nfeeder_length_m = 20\n";
    let with = ["3L+N", "3~N", "3N~400V", "TP+N", "TP&N", "TPN", "4-wire", "5-wire", "W/N", "neutral: yes", "Nullleiter"];
    let without = ["3L", "TP", "3-wire", "3L without N", "no neutral", "3 phase"];
    for (spellings, cores) in [(with.as_slice(), 5), (without.as_slice(), 4)] {
        for connection in spellings {
            let row = format!(
                "tag,board,load_kind,rated_power_kw,voltage_v,phases,starting_method,connection,cable_length_m\n\
                 HT-1,MCC,heater,6,400,3,feeder,{connection},30\n"
            );
            let design = design_of(&row, basis);
            let findings: Vec<_> = design.circuits.iter().flat_map(|circuit| &circuit.findings).chain(&design.findings).collect();
            let of_boards = design.boards.iter().flat_map(|board| &board.findings);
            let faults: Vec<_> = findings.into_iter().chain(of_boards).filter(|finding| finding.code.starts_with('V')).collect();
            assert!(faults.is_empty(), "{connection}: {faults:?}");
            let run = design.circuits[0].conductors.as_ref().expect("conductors");
            assert_eq!(run.cores, cores, "{connection}");
        }
    }
}

/// A board of one phase at 230 V: a line and the neutral where nothing else is said, two lines where the words name them. IEC 60364-4-43,
/// 431.2: the neutral needs no overcurrent detection, a second line does.
#[test]
fn every_spelling_of_a_system_of_one_phase_is_read_alike() {
    let to_neutral = ["", "TN-C-S", "230 V a.c.", "single phase", "2 W", "1ph 2W", "w/ neutral", "L-N", "SPN"];
    let between_lines = ["L-L", "two lines", "L1-L2", "without N", "neutral not distributed", "delta"];
    for (spellings, neutral) in [(to_neutral.as_slice(), true), (between_lines.as_slice(), false)] {
        for system in spellings {
            let basis = format!(
                "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nearthing = \"TN-S\"\nprospective_fault_ka = 10\n[[board]]\nname = \"MCC\"\n\
                 voltage_v = 230\nphases = 1\nsystem = \"{system}\"\nfeeder_length_m = 20\n"
            );
            let row = "tag,board,load_kind,rated_power_kw,voltage_v,phases,starting_method,cable_length_m\nLT-1,MCC,lighting,2,230,1,feeder,30\n";
            let design = design_of(row, &basis);
            let of_boards = design.boards.iter().flat_map(|board| &board.findings);
            let of_circuits = design.circuits.iter().flat_map(|circuit| &circuit.findings);
            let all = of_circuits.chain(of_boards).chain(&design.findings);
            let faults: Vec<_> = all.filter(|finding| finding.code.starts_with('V')).collect();
            assert!(faults.is_empty(), "{system}: {faults:?}");
            let run = design.circuits[0].conductors.as_ref().expect("conductors");
            assert_eq!(run.neutral_size.is_some(), neutral, "{system}");
        }
    }
}

/// Three lines need no neutral, whatever their voltage; a fourth conductor is one.
#[test]
fn a_load_of_three_phases_has_a_neutral_where_it_says_so() {
    let basis = "[rules]\nbook = \"nec\"\nedition = \"2023\"\n[supply]\nvoltage_v = 480\nphases = 3\nfrequency_hz = 60\n\
        system = \"480 delta ungrounded\"\nprospective_fault_ka = 5\nprospective_fault_min_ka = 3\nx_over_r = 3\n";
    let rows = "tag,load_kind,rated_power_kw,voltage_v,phases,connection,starting_method,cable_length_ft\n\
        HT-1,heater,3,277,3,,feeder,30\nHT-2,heater,3,480,3,3L+N,feeder,30\n";
    let design = design_of(rows, basis);
    let told: Vec<bool> = design.circuits.iter().map(|circuit| says(circuit, "L340")).collect();
    assert_eq!(told, [false, true]);
}
