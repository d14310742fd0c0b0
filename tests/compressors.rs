//! Hermetic refrigerant motor-compressors given as motors under the NEC book, from the schedule to the finished circuit (Article 440).
//!
//! 440.32 (125 %) is confirmed by a printed example; the percentages of 440.12, 440.22 and 440.52 and what 440.41 asks are from memory,
//! and the example (trade magazine code quiz, W31 of `published/nec.csv`) prints the devices of 70 A and 90 A that follow from 440.22.
//! Horsepower by Table 430.250 (460 V: 30 hp 40 A, 40 hp 52 A, 100 hp 124 A) and Table 430.251(B) (30 hp 218 A, 40 hp 290 A, 75 hp 543 A,
//! 100 hp 725 A).

mod common;

use common::design_of;
use motorwright::design::{Check, Circuit, Design, Status};
use motorwright::finding::Severity;

const BASIS: &str = "[rules]\nbook = \"nec\"\nedition = \"2023\"\n[supply]\nvoltage_v = 480\nfrequency_hz = 60\nphases = 3\n\
    system = \"480Y/277 4W solidly grounded\"\nprospective_fault_ka = 10\nx_over_r = 4\n\
    [[board]]\nname = \"MCC\"\nvoltage_v = 480\nsystem = \"480Y/277 4W solidly grounded\"\nfeeder_length_ft = 60\n";

const HEAD: &str = "tag,board,voltage_v,phases,cable_length_ft,load_kind,starting_method,rated_load_current_a,\
    branch_selection_current_a,locked_rotor_ratio,full_load_current_a,duty,motor_voltages,description\n";

fn designed(rows: &[&str], basis: &str) -> Design {
    let rows: String = rows.iter().enumerate().map(|(at, row)| format!("C-{at},MCC,460,3,100,{row}\n")).collect();
    design_of(&format!("{HEAD}{rows}"), basis)
}

fn sized(row: &str) -> Circuit {
    designed(&[row], BASIS).circuits.remove(0)
}

fn check<'c>(circuit: &'c Circuit, name: &str) -> &'c Check {
    let mut all = circuit.checks.iter().filter(|check| check.name == name);
    all.next().unwrap_or_else(|| panic!("{name} is not among {:#?}", circuit.checks))
}

/// Value, limit and clause of a check that passed.
fn passed(circuit: &Circuit, name: &str) -> (f64, f64, String) {
    let check = check(circuit, name);
    assert_eq!(check.passed, Some(true), "{check:?}");
    (check.value.expect("a value"), check.limit.expect("a limit"), check.reference.clone())
}

fn near(value: f64, expected: f64) -> bool {
    (value - expected).abs() <= 5e-3 * expected
}

fn codes(circuit: &Circuit) -> Vec<&str> {
    circuit.findings.iter().map(|finding| finding.code.as_str()).collect()
}

/// W31: rated-load current 38 A, branch-circuit selection current 40 A. Conductors 1.25 · 40 = 50 A, device 1.75 · 40 = 70 A. From memory:
/// disconnecting means 1.15 · 40 = 46 A, relay 1.4 · 38 = 53.2 A. 5.5 · 38 = 209 A at locked rotor: 30 hp by either table.
#[test]
fn the_larger_current_counts_for_conductors_and_device_and_the_rated_load_for_the_relay() {
    let circuit = sized("motor,direct,38,40,5.5,,,,Semi-hermetic compressor");
    // 440.14: its only disconnecting means stands more than 50 ft away; nothing else waits.
    let waits = circuit.findings.iter().filter(|finding| finding.severity != Severity::Note).map(|finding| finding.code.as_str());
    assert_eq!((circuit.status, waits.collect::<Vec<_>>()), (Status::NeedsDecision, vec!["C523"]), "{:#?}", circuit.findings);
    let run = circuit.runs.first().expect("a run");
    assert!(near(run.required_a, 50.0), "{run:?}");
    let device = circuit.protection.as_ref().expect("a device");
    assert!(near(device.rating_a, 70.0) && device.maximum_a.is_some_and(|most| near(most, 70.0)), "{device:?}");
    let (need, _, clause) = passed(&circuit, "disconnect-rating");
    assert!(near(need, 46.0) && clause == "440.12(A)", "{need} {clause}");
    let (_, ceiling, clause) = passed(&circuit, "overload-ceiling");
    assert!(near(ceiling, 53.2) && clause == "440.52(A)(1)", "{ceiling} {clause}");
    assert!(circuit.overload.as_ref().is_some_and(|relay| relay.setting_a <= 38.0 + 1e-6), "{:?}", circuit.overload);
    assert!(near(passed(&circuit, "contactor-horsepower").0, 30.0));
    let (carried, _, clause) = passed(&circuit, "contactor-duty");
    assert!(near(carried, 40.0) && clause == "440.41(A)", "{carried} {clause}");
    assert!(!codes(&circuit).contains(&"L411"), "it is sized as what it is");
    assert!(codes(&circuit).contains(&"R105"), "most of it is from memory, and that is said");
}

/// 440.12(A)(2), 440.41(A): of the equivalents by full-load and by locked-rotor current the larger counts. 7 · 38 = 266 A at locked rotor
/// is more than the 218 A of 30 hp.
#[test]
fn a_high_locked_rotor_current_asks_for_a_larger_controller() {
    assert!(near(passed(&sized("motor,direct,38,,7,,,,Compressor"), "contactor-horsepower").0, 40.0));
    // Neither changes what follows from the running current.
    assert!(near(sized("motor,direct,38,,7,,,,Compressor").runs[0].required_a, 47.5));
}

/// Where it does not start on 175 %, 440.22(A) admits up to 225 %: 2.25 · 40 = 90 A, as W31 prints; a fuse without delay of 70 A does not
/// hold a long start. And 15 A is always permitted: 1.75 · 4 = 7 A.
#[test]
fn the_device_stays_within_its_bounds() {
    let most = |row: &str| sized(row).protection.and_then(|protection| protection.maximum_a);
    assert_eq!(most("motor,direct,4,,6,,,,Compressor"), Some(15.0));
    for ratio in ["4", "6", "9", "12"] {
        let circuit = sized(&format!("motor,direct,38,40,{ratio},,,,Compressor"));
        assert!(
            circuit.protection.as_ref().is_none_or(|protection| protection.rating_a <= 90.0),
            "{ratio}: {:?}",
            circuit.protection
        );
    }
}

/// 440.32: no duty makes less of the conductors than 125 %; 430.22(E) would admit 85 % for 15 minutes.
#[test]
fn a_duty_makes_no_difference() {
    assert!(near(sized("motor,direct,38,40,6,,intermittent 15 min,,Compressor").runs[0].required_a, 50.0));
}

/// 440.32, from memory: the leads behind a wye-start, delta-run controller carry 72 % of the larger current, 0.72 · 110 = 79.2 A. 600 A at
/// locked rotor are more than the 543 A of 75 hp.
#[test]
fn leads_of_a_wye_delta_controller_carry_72_per_cent() {
    let circuit = sized("motor,star-delta,100,110,6,,,460,Compressor");
    let leads = circuit.runs.iter().find(|run| run.role == "star-delta-leads").expect("the leads");
    assert!(near(leads.required_a, 79.2), "{leads:?}");
    assert!(near(passed(&circuit, "contactor-horsepower").0, 100.0));
}

/// 440.33 with 430.24: two compressors of 40 A on a feeder, 1.25 · 40 + 40 = 90 A.
#[test]
fn a_feeder_adds_up_the_larger_currents() {
    let row = "motor,direct,38,40,5.5,,,,Compressor";
    let design = designed(&[row, row], BASIS);
    let board = design.boards.iter().find(|board| board.name == "MCC").expect("the board");
    assert!(near(board.feeder_minimum_a, 90.0), "{}", board.feeder_minimum_a);
}

/// Nameplates that lack what they must say, and starters of which 440.32 says nothing, wait for a person.
#[rstest::rstest]
#[case::no_locked_rotor("motor,direct,38,40,,,,,Compressor", "R219", Status::NeedsDecision)]
#[case::no_rated_load("motor,direct,,40,6,,,,Compressor", "R217", Status::NotSized)]
#[case::two_currents("motor,direct,38,40,6,42,,,Compressor", "R217", Status::NotSized)]
#[case::soft_starter("motor,soft-starter,38,40,6,,,,Compressor", "R221", Status::NeedsDecision)]
#[case::drive("motor,drive,38,40,6,,,,Compressor", "R221", Status::NeedsDecision)]
#[case::beyond_the_tables("motor,direct,900,,6,,,,Compressor", "R223", Status::NeedsDecision)]
fn what_is_open_is_asked(#[case] row: &str, #[case] code: &str, #[case] status: Status) {
    let circuit = sized(row);
    assert!(codes(&circuit).contains(&code) && circuit.status == status, "{:?} {:#?}", circuit.status, circuit.findings);
}

/// Equipment with one compressor and no marked circuit ampacity goes by the larger current as well (440.6(A)).
#[test]
fn packaged_equipment_without_a_marked_ampacity_goes_by_the_larger_current() {
    let circuit = sized("packaged,feeder,38,40,,,,,Condensing unit");
    assert!(near(circuit.runs[0].required_a, 50.0), "{:?}", circuit.runs);
    assert!(circuit.protection.as_ref().is_some_and(|protection| protection.rating_a <= 70.0), "{:?}", circuit.protection);
}

/// Under the IEC book the rated-load current is the one on the nameplate; the other column says that it is not used.
#[test]
fn the_other_book_takes_the_rated_load_current_as_the_nameplates() {
    let basis = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 460\nfrequency_hz = 60\n";
    let circuit = designed(&["motor,direct,38,40,6,,,,Compressor"], basis).circuits.remove(0);
    assert_eq!((circuit.currents.full_load_a, circuit.currents.source.as_str()), (38.0, "nameplate"));
    assert!(codes(&circuit).contains(&"L406"), "{:?}", codes(&circuit));
}
