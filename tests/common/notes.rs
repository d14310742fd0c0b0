//! Words of rows that change a circuit: a motor for each note, and a schedule with one more column.

use super::design_of;
use motorwright::design::{Circuit, Status};

pub(crate) const IEC: &str = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nphases = 3\nfrequency_hz = 50\nearthing = \"TN-S\"\n\
    prospective_fault_ka = 10\nprospective_fault_min_ka = 6\nx_over_r = 3\n[design]\ngrouped_circuits = 1\n";

pub(crate) fn codes(circuit: &Circuit) -> Vec<&str> {
    circuit.findings.iter().map(|finding| finding.code.as_str()).collect()
}

/// A motor of 4 kW for each note, started this way.
pub(crate) fn noted_with(method: &str, notes: &[&str]) -> Vec<Circuit> {
    let mut text = String::from(
        "tag,description,rated_power_kw,voltage_v,phases,full_load_current_a,poles,starting_method,cable_length_m,notes\n",
    );
    for (number, note) in notes.iter().enumerate() {
        text.push_str(&format!("M-{number},Drive,4,400,3,8,4,{method},20,\"{note}\"\n"));
    }
    design_of(&text, IEC).circuits
}

/// Asserts which of the notes ask by this code.
pub(crate) fn assert_asked(code: &str, method: &str, asked: &[&str], innocent: &[&str]) {
    for (circuit, note) in noted_with(method, asked).iter().zip(asked) {
        assert!(codes(circuit).contains(&code), "{note}: {:?}", codes(circuit));
        assert_eq!(circuit.status, Status::NeedsDecision, "{note}");
    }
    for (circuit, note) in noted_with(method, innocent).iter().zip(innocent) {
        assert!(!codes(circuit).contains(&code), "{note}: {:?}", codes(circuit));
    }
}

/// A schedule with one more column.
pub(crate) fn with_column(heading: &str, cell: &str) -> Circuit {
    let text = format!(
        "tag;Bezeichnung;Leistung kW;Spannung V;Nennstrom A;Startart;Kabellänge m;{heading}\nA-1;Ventilator;5,5;400;10,5;direkt;40;{cell}\n"
    );
    design_of(&text, IEC).circuits.remove(0)
}

pub(crate) fn stated<'c>(circuit: &'c Circuit, column: &str) -> &'c serde_json::Value {
    circuit.stated.get(column).unwrap_or(&serde_json::Value::Null)
}
