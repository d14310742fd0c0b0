//! Socket outlets up to 32 A ask for a residual current device of 30 mA (IEC 60364-4-41:2005/A1:2017, 411.3.3, from memory).

use motorwright::design::{Design, Status};

mod common;

use common::opened_text;

const IEC: &str = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nfrequency_hz = 50\nearthing = \"TN-S\"\n\
    prospective_fault_ka = 16\nprospective_fault_min_ka = 8\nx_over_r = 2\n[design]\ngrouped_circuits = 1\n";

fn design(description: &str, kind: &str, amperes: &str, method: &str) -> Design {
    with_note(description, kind, amperes, method, "")
}

fn with_note(description: &str, kind: &str, amperes: &str, method: &str, note: &str) -> Design {
    let head = "tag,description,board,load_kind,voltage_v,phases,full_load_current_a,starting_method,cable_length_m,notes\n";
    opened_text(&format!("{head}X-1,{description},MCC-1,{kind},400,3,{amperes},{method},30,{note}\n"), IEC).design()
}

#[rstest::rstest]
#[case::of_a_charger("Battery charger forklift", "other", "socket outlet CEE 32 A", true)]
#[case::without("Battery charger forklift", "other", "fixed connection", false)]
#[case::beside_a_heater("Tank heater", "heater", "socket outlet beside it by others", false)]
fn outlets_in_a_note_are_asked_about(#[case] description: &str, #[case] kind: &str, #[case] note: &str, #[case] asked: bool) {
    let method = if kind == "heater" { "contactor" } else { "feeder" };
    let design = with_note(description, kind, "32", method, note);
    let found = design.circuits[0].findings.iter().find(|finding| finding.code == "C331");
    assert_eq!(found.is_some(), asked, "{:?}", design.circuits[0].findings);
    assert!(found.is_none_or(|finding| finding.place.as_ref().is_some_and(|place| place.heading.as_deref() == Some("notes"))));
}

#[rstest::rstest]
#[case::outlets("Socket outlets workshop", "other", "16", "feeder", true)]
#[case::largest("CEE socket", "other", "32", "feeder", true)]
#[case::german("Schuko-Steckdosen", "other", "16", "feeder", true)]
#[case::french("Prises de courant atelier", "other", "16", "feeder", true)]
#[case::spanish("Tomas de corriente", "other", "16", "feeder", true)]
#[case::larger("CEE socket", "other", "63", "feeder", false)]
#[case::another_load("Weighbridge", "other", "16", "feeder", false)]
#[case::a_heater_beside_one("Heater at the socket", "heater", "16", "contactor", false)]
fn outlets_that_anybody_may_use_are_asked_about(
    #[case] description: &str,
    #[case] kind: &str,
    #[case] amperes: &str,
    #[case] method: &str,
    #[case] asked: bool,
) {
    let design = design(description, kind, amperes, method);
    let [circuit] = design.circuits.as_slice() else { panic!("{}", design.circuits.len()) };
    assert!(circuit.status != Status::NotSized, "{:?}", circuit.findings);
    let found = circuit.findings.iter().find(|finding| finding.code == "C331");
    assert_eq!(found.is_some(), asked, "{:?}", circuit.findings);
    if let Some(finding) = found {
        assert_eq!(circuit.status, Status::NeedsDecision);
        assert!(finding.cure.contains("30 mA") && finding.why.contains("32 A"), "{finding:?}");
    }
}
