//! Causes of what no trial of a row alone sees: what boards give it, what a decision of the basis settles, what its words ask for.

use motorwright::compare::{self, BothSides, Changes};

mod common;

use common::opened_text;

const HEAD: &str = "tag,board,description,rated_power_kw,voltage_v,full_load_current_a,starting_method,cable_length_m,\
    locked_rotor_ratio,efficiency_class,poles,notes\n";
/// A network whose feeder takes a part of each start.
const BASIS: &str = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nearthing = \"TN-S\"\nupstream_fault_mva = 250\n\
    transformer_kva = 800\ntransformer_impedance_pct = 6\nx_over_r = 6\n[[board]]\nname = \"MDB\"\n\
    [[board]]\nname = \"MCC\"\nfed_from = \"MDB\"\nfeeder_length_m = 60\n\
    [design]\ngrouped_circuits = 1\nprotection_kind = \"motor-breaker\"\nrunning_drop_pct = 8\nstarting_drop_pct = ";

/// A supply whose fault currents are stated.
const STATED: &str = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nfrequency_hz = 50\nearthing = \"TN-S\"\n\
    prospective_fault_ka = 16\nprospective_fault_min_ka = 8\n[design]\ngrouped_circuits = 1\nprotection_kind = \"motor-breaker\"\n\
    starting_drop_pct = 15\n";

fn changes(old: [&str; 2], new: [&str; 2]) -> Changes {
    let [old, new] = [old, new].map(|[rows, basis]| opened_text(&format!("{HEAD}{rows}"), basis));
    let both = BothSides { new: &new, old: Some(&old) };
    compare::compare(&old.design(), &new.design(), &[], Some(&both)).expect("rows are paired by tag")
}

/// Causes of the state of a row.
fn of_state<'c>(changes: &'c Changes, tag: &str) -> Vec<&'c str> {
    let changed = changes.changed.iter().find(|changed| changed.tag == tag).unwrap_or_else(|| panic!("{changes:?}"));
    let state = changed.consequences.iter().find(|found| found.path == "status").unwrap_or_else(|| panic!("{changed:?}"));
    state.because.iter().map(String::as_str).collect()
}

fn motor(metres: u32, description: &str, notes: &str) -> String {
    format!("P-1,MCC,{description},7.5,400,14.3,direct,{metres},7,IE3,4,{notes}\n")
}

/// Along cable, feeder and source together the start of a longer run takes more than the limit: the warning is of its own length, though
/// only the finished board knows of it.
#[test]
fn a_start_that_its_own_length_makes_too_weak_is_not_laid_to_other_rows() {
    let basis = format!("{BASIS}8\n");
    let beside = "P-2,MCC,fan,4,400,8.2,direct,20,7,IE3,4,\n";
    let rows = |metres| format!("{}{beside}", motor(metres, "pump", ""));
    let found = changes([&rows(40), &basis], [&rows(55), &basis]);
    assert!(found.findings_new.iter().any(|finding| finding.code == "C324"), "{found:?}");
    assert_eq!(of_state(&found, "P-1"), ["cable_length_m"]);
    // The other way round, it is gone.
    let back = changes([&rows(55), &basis], [&rows(40), &basis]);
    assert_eq!(of_state(&back, "P-1"), ["cable_length_m"]);
}

/// A larger neighbour enlarges the feeder, and with it the start of a row that states what it stated: whoever reads `other rows` is told
/// which.
#[test]
fn a_start_that_another_row_weakens_is_laid_to_other_rows_and_they_are_explained() {
    let basis = format!("{BASIS}8\n");
    let rows = |beside: &str| format!("{}P-2,MCC,fan,{beside},direct,20,7,IE3,4,\n", motor(50, "pump", ""));
    let found = changes([&rows("4,400,8.2"), &basis], [&rows("22,400,41"), &basis]);
    let laid = found.changed.iter().any(|changed| {
        changed.tag == "P-1" && changed.consequences.iter().all(|consequence| consequence.because == ["other rows"])
    });
    assert!(laid && found.blames_other_rows(), "{:?}", found.changed);
    let told = motorwright::report::changes::summary(&found, None, motorwright::rules::units::Units::Metric);
    assert!(told.contains("Other rows are those with which a row shares something"), "{told}");
}

/// What a note names is asked about.
#[test]
fn words_that_ask_for_a_decision_are_its_cause() {
    let basis = STATED.to_owned();
    let found = changes([&motor(30, "pump", ""), &basis], [&motor(30, "pump", "existing motor"), &basis]);
    assert_eq!(of_state(&found, "P-1"), ["notes"]);
    let found = changes([&motor(30, "pump", ""), &basis], [&motor(30, "hoist of the pump", ""), &basis]);
    assert_eq!(of_state(&found, "P-1"), ["description"]);
}

/// A decision stands in the basis; one that is put before another changes nothing of that.
#[test]
fn a_decision_is_of_the_basis_and_its_place_in_the_list_is_nothing() {
    let basis = STATED.to_owned();
    let rows = format!("{}{}", motor(30, "pump", "existing motor"), motor(30, "pump", "existing motor").replace("P-1", "P-2"));
    let undecided = opened_text(&format!("{HEAD}{rows}"), &basis).design();
    let what = undecided.circuits[0].findings.iter().find(|finding| finding.code == "L347").expect("it is asked").what.clone();
    let decided = |tag: &str| {
        format!(
            "[[decided]]\ntag = \"{tag}\"\ncode = \"L347\"\nwhat = '''{what}'''\nby = \"lead\"\ndate = \"2026-11-27\"\nwhy = \"seen\"\n"
        )
    };
    let one = format!("{basis}{}", decided("P-2"));
    let two = format!("{basis}{}{}", decided("P-1"), decided("P-2"));
    let found = changes([&rows, &one], [&rows, &two]);
    assert_eq!(of_state(&found, "P-1"), ["basis decided.P-1 L347"]);
    assert!(found.changed.iter().all(|changed| changed.tag == "P-1"), "{:?}", found.changed);
    let keys: Vec<&str> = found.surroundings.iter().map(|surrounding| surrounding.key.as_str()).collect();
    assert!(!keys.is_empty() && keys.iter().all(|key| key.starts_with("decided.P-1 L347")), "{keys:?}");
}
