//! Starters that stand apart from their board, through the whole program: the supply run with what lies behind it, and what brings their
//! coils a supply. Expected figures are clauses and arithmetic, named beside; none is the program's.

mod common;

use common::design_of;
use motorwright::catalogue;
use motorwright::design::{Circuit, ControlRun, Design, Run, Status, labels};
use motorwright::rules;
use motorwright::verify::Verifier;
use rstest::rstest;

const BASIS: &str = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nfrequency_hz = 50\nearthing = \"TN-S\"\n\
    prospective_fault_ka = 15\nprospective_fault_min_ka = 12\nx_over_r = 4\n[[board]]\nname = \"M1\"\n[design]\ninsulation = \"xlpe\"\n\
    installation_method = \"E\"\nprotection_kind = \"motor-breaker\"\n";
const HEAD: &str = "tag,board,load_kind,rated_power_kw,voltage_v,phases,starting_method,cable_length_m,supply_length_m,motor_voltages,\
    control_voltage,driven_by,control_cable_length_m,space_heater_w,brake_w\n";

fn design(rows: &str, more: &str) -> Design {
    let design = design_of(&format!("{HEAD}{rows}"), &format!("{BASIS}{more}"));
    for circuit in &design.circuits {
        assert!(
            circuit.findings.iter().all(|finding| !finding.code.starts_with('V')),
            "{}: {:#?}",
            circuit.tag,
            circuit.findings
        );
    }
    design
}

fn circuit<'d>(design: &'d Design, tag: &str) -> &'d Circuit {
    design.circuits.iter().find(|circuit| circuit.tag == tag).unwrap_or_else(|| panic!("no {tag}"))
}

fn run<'c>(circuit: &'c Circuit, role: &str) -> &'c Run {
    circuit.runs.iter().find(|run| run.role == role).unwrap_or_else(|| panic!("{} has no {role} run", circuit.tag))
}

fn told(circuit: &Circuit, code: &str) -> bool {
    circuit.findings.iter().any(|finding| finding.code == code)
}

/// IEC 60364-4-41, 411.4.4 asks for the loop of the whole way, not for that of the last run. 0.9 · 231 V (IEC 60909-0, Table 1) drive the
/// fault through line and protective conductor at 90 °C, with 1.275 times the resistances of IEC 60228: 7.41, 4.61, 1.15 and 0.727 mΩ/m for
/// 2.5, 4, 16 and 25 mm². Releases of the range act for certain at 1.2 times their setting (IEC 60947-2, 8.3.3.1.2).
///
/// 5.5 kW, release of 208 A, 249.6 A: 70 m of 4 mm² let 253 A through; with 30 m of 2.5 mm² among them they would let 201 A. 37 kW, 1120 A,
/// 1344 A: 60 m of 25 mm² with a protective conductor of 16 mm² let 1448 A through; with 30 m of 16 mm² among them 1301 A.
#[test]
fn a_supply_run_is_raised_for_what_lies_behind_it() {
    let rows = "S-1,M1,motor,5.5,400,3,direct,30,40,,,,,,\nS-2,M1,motor,5.5,400,3,direct,70,,,,,,,\n\
        S-3,M1,motor,37,400,3,star-delta,30,30,400/690,,,,,\nS-4,M1,motor,37,400,3,star-delta,60,,400/690,,,,,\n";
    let design = design(rows, "");
    for (apart, whole, last, least_mm2) in [("S-1", "S-2", "motor", 4.0), ("S-3", "S-4", "star-delta-leads", 25.0)] {
        let (apart, whole) = (circuit(&design, apart), circuit(&design, whole));
        assert_eq!((apart.status, told(apart, "C601")), (Status::Sized, false), "{:#?}", apart.findings);
        let sizes = ["supply", last].map(|role| run(apart, role).phase_area_mm2);
        assert_eq!((sizes, run(whole, last).phase_area_mm2), ([least_mm2; 2], least_mm2), "{}", apart.tag);
        // Who reads it sees why it is larger than its own current asks for.
        assert_eq!(run(apart, "supply").governed_by, "run-behind", "{}", apart.tag);
    }
}

/// A supply run whose motor run is as small as it would be at the board stays as small as its current allows.
#[test]
fn a_supply_run_is_not_raised_where_nothing_behind_it_asks_for_that() {
    let design = design("S-1,M1,motor,5.5,400,3,direct,5,5,,,,,,\n", "");
    let circuit = circuit(&design, "S-1");
    assert_ne!(run(circuit, "supply").governed_by, "run-behind");
}

/// What feeds a starter that stands apart has the conductors of its load: three lines, neutral and protective conductor, whatever goes on
/// from there. The six leads to windings have no neutral, beside a protective conductor.
#[test]
fn a_neutral_of_the_load_comes_to_its_starter_and_goes_into_no_leads() {
    let head = "tag,board,load_kind,rated_power_kw,voltage_v,phases,full_load_current_a,starting_method,motor_voltages,connection,\
        supply_length_m,cable_length_m\n";
    let methods =
        [("S-1", "star-delta"), ("S-2", "star-delta-closed"), ("S-3", "soft-starter-inside-delta"), ("S-4", "part-winding")];
    let rows: String = methods.iter().map(|(tag, method)| format!("{tag},M1,motor,22,400,3,40,{method},,3L+N,10,30\n")).collect();
    let design = design_of(&format!("{head}{rows}"), BASIS);
    for (tag, method) in methods {
        let circuit = circuit(&design, tag);
        assert!(circuit.findings.iter().all(|finding| !finding.code.starts_with('V')), "{tag}: {:#?}", circuit.findings);
        let supply = run(circuit, "supply");
        assert_eq!((supply.cores, supply.neutral_size.is_some()), (5, true), "{method}");
        let leads = circuit.runs.iter().find(|run| run.role != "supply").expect("leads");
        assert_eq!((leads.cores, leads.neutral_size.is_some()), (7, false), "{method}");
    }
}

fn control_run(circuit: &Circuit) -> &ControlRun {
    circuit.control.as_ref().and_then(|control| control.run.as_ref()).expect("its coil draws something")
}

fn coil_cable(circuit: &Circuit) -> Option<&Run> {
    circuit.runs.iter().find(|run| run.governed_by.ends_with("coil supply"))
}

/// The board's supply feeds the coil of 30 VA (`contactors.csv`, GEN-C1), 230 V, over 30 m of 1.5 mm²: two cores, one spare, one
/// protective. 200 · 30 m · 30 VA /
/// (57 m/(Ω·mm²) · 1.5 mm² · (230 V)²) = 0.0398 %.
#[test]
fn a_run_brings_the_supply_of_the_board_to_the_coils_of_a_starter_that_stands_apart() {
    let rows = "E-1,M1,motor,5.5,400,3,direct,30,30,,230 V AC,,,,\nE-2,M1,motor,5.5,400,3,direct,60,,,230 V AC,,,,\n";
    let design_of_board = design(rows, "[control]\nsupply = \"per-board\"\n");
    let (apart, beside) = (circuit(&design_of_board, "E-1"), circuit(&design_of_board, "E-2"));
    let cable = coil_cable(apart).expect("a cable brings the supply");
    assert_eq!((cable.length_m, cable.cores, cable.per_phase), (30.0, 4, 1), "supply, return, spare and protective core");
    assert!(apart.parts.iter().any(|part| part.part == cable.part && (part.quantity - 30.0).abs() < 1e-9 && part.unit == "m"));
    assert_eq!(apart.control.as_ref().map(|control| control.pick_up_va), Some(30.0));
    let run = control_run(apart);
    assert_eq!(run.supply_length_m, Some(30.0));
    let check = apart.checks.iter().find(|check| check.name == "control-run-drop" && check.subject == "coil supply");
    assert!(check.and_then(|check| check.value).is_some_and(|drop| (drop - 0.0398).abs() < 1e-4), "{check:?}");
    assert_eq!(run.supply_drop_pct, Some(0.04), "as it is printed");
    let tagged = labels::cables(apart, "E-1");
    let tagged = tagged.iter().find(|tagged| tagged.run.governed_by.ends_with("coil supply")).expect("it is tagged");
    assert_eq!((tagged.from.as_str(), tagged.to.as_str()), ("M1", "E-1 starter"));
    assert!(coil_cable(beside).is_none() && control_run(beside).supply_length_m.is_none(), "the starter stands on the board");
    // A starter with a supply of its own needs none from the board.
    let of_starter = design(rows, "[control]\nsupply = \"per-starter\"\n");
    assert!(coil_cable(circuit(&of_starter, "E-1")).is_none());
    // The verifier finds a cable that was forgotten.
    let mut wrong = apart.clone();
    wrong.runs.retain(|run| !run.governed_by.ends_with("coil supply"));
    wrong.control.as_mut().and_then(|control| control.run.as_mut()).expect("a run").supply_length_m = None;
    let book = rules::book("iec", None).expect("a rule book");
    let verifier = Verifier::new(&design_of_board.basis, book, catalogue::builtin("iec"), &design_of_board.circuits);
    let codes: Vec<String> = verifier.circuit(&wrong).into_iter().map(|finding| finding.code).collect();
    assert!(["V611", "V608"].iter().all(|code| codes.iter().any(|found| found == code)), "{codes:?}");
}

/// Coils that a controller's output switches have their supply over the cable from there, where its length is stated; else it stands at
/// the board, and its cores come from there.
#[test]
fn an_output_of_a_controller_brings_the_coils_their_supply() {
    let rows = "E-1,M1,motor,2.2,400,3,direct,20,30,,24 V DC,plc-output,,,\nE-2,M1,motor,2.2,400,3,direct,20,30,,24 V DC,plc-output,25,,\n";
    let design = design(rows, "");
    let (from_board, from_afar) = (circuit(&design, "E-1"), circuit(&design, "E-2"));
    assert!(
        [from_board, from_afar].iter().all(|circuit| !circuit.control.as_ref().is_some_and(|control| control.interposing_relay))
    );
    let cable = coil_cable(from_board).expect("output and return");
    assert_eq!((cable.length_m, cable.governed_by.as_str()), (30.0, "2 cores: coil supply"));
    assert!(coil_cable(from_afar).is_none());
    let lengths: Vec<f64> = from_afar.runs.iter().filter(|run| run.role == "control").map(|run| run.length_m).collect();
    assert_eq!(lengths, [25.0]);
}

/// 24 V AC, 30 VA over 100 m of 1.5 mm²: 200 · 100 · 30 / (57 · 1.5 · 24²) = 12.183 %, above the usual 5 %. Over ten times that it would be
/// 121.83 %, and nothing can lose more than it has.
#[rstest]
#[case::a_part("100", "loses 12.2 % of 24 V", 12.183)]
#[case::more_than_there_is("1000", "loses all of 24 V", 121.83)]
fn a_supply_of_coils_that_loses_too_much_on_its_way_is_told(#[case] length: &str, #[case] lost: &str, #[case] pct: f64) {
    let row = format!("E-1,M1,motor,5.5,400,3,direct,5,{length},,24 V AC,,,,\n");
    let design = design(&row, "[control]\nsupply = \"per-board\"\n");
    let circuit = circuit(&design, "E-1");
    let finding = circuit.findings.iter().find(|finding| finding.code == "C407").expect("it is told");
    assert!(finding.what.contains(lost) && finding.cure.contains("per-starter"), "{finding:?}");
    assert_eq!(circuit.status, Status::NeedsDecision);
    let check = circuit.checks.iter().find(|check| check.name == "control-run-drop" && check.subject == "coil supply");
    let check = check.expect("it is checked");
    assert_eq!((check.passed, check.limit), (Some(false), Some(5.0)));
    assert!(check.value.is_some_and(|value| (value - pct).abs() < 1e-2), "{check:?}");
}

/// A heater is off while the motor runs: a normally closed contact of every contactor that a command closes. What feeds heater and brake is
/// said not to be chosen: 60 W and 120 W at 230 V are 0.26 A and 0.52 A.
#[test]
fn a_space_heater_has_a_normally_closed_contact_and_is_said_to_have_no_supply() {
    let rows = "W-1,M1,motor,5.5,400,3,direct,20,,,230 V AC,,,60,\nW-2,M1,motor,5.5,400,3,reversing,20,,,230 V AC,,,60,120\n\
        W-3,M1,motor,5.5,400,3,direct,20,,,230 V AC,,,,\n";
    let design = design(rows, "");
    let contacts = |tag: &str| {
        let of_heater = |contact: &&motorwright::design::AuxiliaryContact| contact.function == "space heater";
        circuit(&design, tag).auxiliary_contacts.iter().filter(of_heater).map(|contact| contact.kind.clone()).collect::<Vec<_>>()
    };
    assert_eq!(contacts("W-1"), ["nc"]);
    assert_eq!(contacts("W-2"), ["nc", "nc"], "one of either direction, in series");
    assert!(contacts("W-3").is_empty() && !told(circuit(&design, "W-3"), "C532"));
    let words =
        |tag: &str| circuit(&design, tag).findings.iter().find(|finding| finding.code == "C532").cloned().expect("it is told");
    assert!(
        words("W-1").cure.contains("space heater 0.26 A at 230 V") && !words("W-1").what.contains("brake"),
        "{:?}",
        words("W-1")
    );
    assert!(words("W-2").what.contains("brake of 120 W") && words("W-2").cure.contains("brake 0.52 A"), "{:?}", words("W-2"));
    let mut wrong = circuit(&design, "W-1").clone();
    wrong.auxiliary_contacts.retain(|contact| contact.function != "space heater");
    wrong.findings.retain(|finding| finding.code != "C532");
    let book = rules::book("iec", None).expect("a rule book");
    let verifier = Verifier::new(&design.basis, book, catalogue::builtin("iec"), &design.circuits);
    let found = verifier.circuit(&wrong);
    for (code, words) in [("V609", "space heater"), ("V605", "")] {
        assert!(found.iter().any(|said| said.code == code && said.what.contains(words)), "{code}: {found:#?}");
    }
}

/// 230 V is the voltage to the neutral of 400 V: the board's feeder brings it to a heater or a brake, though nothing else asks for it.
/// Where the system has no neutral none can come.
#[test]
fn the_neutral_comes_to_the_board_of_a_space_heater() {
    let boards = "[[board]]\nname = \"D1\"\nfed_from = \"M1\"\nfeeder_length_m = 20\nfeeder_installation = \"E\"\n[control]\nvoltage = \"24 V DC\"\n";
    let neutral = |system: &str, cells: &str| {
        let basis = BASIS.replace("x_over_r = 4\n", &format!("x_over_r = 4\nsystem = \"{system}\"\n"));
        let design = design_of(&format!("{HEAD}W-1,D1,motor,5.5,400,3,direct,20,,,,,,{cells}\n"), &format!("{basis}{boards}"));
        assert!(design.circuits[0].findings.iter().all(|finding| !finding.code.starts_with('V')));
        let board = design.boards.iter().find(|board| board.name == "D1").expect("the board");
        assert!(board.findings.iter().all(|finding| !finding.code.starts_with('V')), "{:#?}", board.findings);
        board.feeder.run.as_ref().expect("a feeder").neutral_size.is_some()
    };
    assert!(neutral("400/230 V 3L+N", "60,") && neutral("400/230 V 3L+N", ",120"));
    assert!(!neutral("400/230 V 3L+N", ",") && !neutral("400 V 3L", "60,"));
}
