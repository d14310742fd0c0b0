//! Loads between a line and the neutral: which conductors they have, and what protects them.

use super::*;

const HEATER: &[(&str, &str)] = &[
    ("tag", "H-1"),
    ("load_kind", "heater"),
    ("rated_power_kw", "3"),
    ("voltage_v", "230"),
    ("phases", "1"),
    ("power_factor", "1"),
    ("starting_method", "contactor"),
    ("cable_length_m", "20"),
    ("protection_kind", "gG"),
    ("board", "LP"),
];

fn board(voltage: f64) -> BoardBasis {
    BoardBasis {
        name: Some("LP".to_owned()),
        fed_from: Some("MCC".to_owned()),
        phases: Some(1),
        voltage_v: Some(voltage),
        prospective_fault_ka: Some(2.7),
        prospective_fault_min_ka: Some(1.0),
        ..BoardBasis::default()
    }
}

fn on_board(voltage: f64, cells: &[(&str, &str)]) -> Circuit {
    let mut basis = basis();
    basis.boards = vec![BoardBasis { name: Some("MCC".to_owned()), ..BoardBasis::default() }, board(voltage)].into();
    size_with(&row(&with(HEATER, cells)), &basis).0
}

fn links(circuit: &Circuit) -> f64 {
    let part = circuit.protection.as_ref().map_or("", |protection| protection.part.as_str());
    circuit.parts.iter().filter(|bought| bought.part == part).map(|part| part.quantity).sum()
}

/// IEC 60364-4-43, 431.2.1 and 431.3: no fuse stands in the neutral; a blown one would leave the load live. 230 V of a board that 400 V
/// feeds lie between a line and the neutral (IEC 60038), so the voltage to earth is 230 V and not 230/√3 = 133 V.
#[test]
fn a_load_of_a_board_of_line_and_neutral_has_one_fuse_and_a_neutral() {
    for connection in [&[][..], &[("connection", "L-N")][..]] {
        let circuit = on_board(230.0, connection);
        assert_eq!(links(&circuit), 1.0, "{connection:?}");
        assert_eq!(circuit.runs[0].neutral_size.as_ref(), Some(&circuit.runs[0].phase_size), "{connection:?}");
    }
    let plain = on_board(230.0, &[]);
    let stated = on_board(230.0, &[("connection", "L-N")]);
    assert_eq!(plain.fault.terminal_single_phase_min_ka, stated.fault.terminal_single_phase_min_ka);
    // Between two lines, as the row or the voltage of its board says, both are protected.
    let between = on_board(230.0, &[("connection", "L-L")]);
    assert_eq!((links(&between), between.runs[0].neutral_size.as_deref()), (2.0, None));
    let lines = on_board(400.0, &[("voltage_v", "400")]);
    assert_eq!((links(&lines), lines.runs[0].neutral_size.as_deref()), (2.0, None));
}

/// A supply of one phase is one of line and neutral (IEC 60038), unless it is not earthed.
#[test]
fn a_supply_of_one_phase_has_a_neutral() {
    let mut basis = basis();
    basis.supply.voltage_v = Some(230.0);
    basis.supply.phases = Some(1);
    let circuit = size_with(&row(HEATER), &basis).0;
    assert_eq!((links(&circuit), circuit.runs[0].neutral_size.is_some()), (1.0, true));
    basis.supply.earthing = Some("IT".to_owned());
    let circuit = size_with(&row(HEATER), &basis).0;
    assert_eq!(links(&circuit), 2.0);
}

/// The letter N within a word is no neutral: a heater between two lines of 400 V has the voltage to earth of 231 V, and a motor in delta
/// four cores. What is not understood is asked about.
#[test]
fn a_letter_of_a_word_connects_no_neutral() {
    let heater = |connection: &str| size(&with(HEATER, &[("voltage_v", "400"), ("board", "MCC"), ("connection", connection)]));
    let plain = heater("L-L");
    for words in ["line-line", "between lines", "two lines", "no neutral", "delta connection"] {
        let circuit = heater(words);
        assert_eq!((links(&circuit), circuit.runs[0].neutral_size.as_deref()), (2.0, None), "{words}");
        assert_eq!(circuit.fault.terminal_single_phase_min_ka, plain.fault.terminal_single_phase_min_ka, "{words}");
        assert!(!codes(&circuit).contains(&"L330"), "{words}");
    }
    let motor = |connection: &str| size(&with(DIRECT, &[("connection", connection)]));
    assert_eq!((motor("delta connection").runs[0].cores, motor("3L+N").runs[0].cores), (4, 5));
    let unknown = motor("see drawing N-12");
    assert_eq!((unknown.runs[0].cores, unknown.status), (4, Status::NeedsDecision));
    assert!(codes(&unknown).contains(&"L330"), "{:?}", codes(&unknown));
}

/// IEC 60204-1, 9.1.1: coils take 230 V from line and neutral only where somebody says that there is a neutral.
#[test]
fn words_that_deny_a_neutral_give_coils_none() {
    let kind = |system: &str| {
        let mut basis = basis();
        basis.control.supply = Some("per-starter".to_owned());
        basis.supply.system = Some(system.to_owned());
        let circuit = size_with(&row(DIRECT), &basis).0;
        circuit.control.and_then(|control| control.supply).map(|supply| supply.kind).unwrap_or_default()
    };
    assert_eq!(kind("400 V 3L+N"), "line");
    for system in ["400 V 3L without neutral", "400 V 3L", "400 V, no neutral", "400 V 3W"] {
        assert_eq!(kind(system), "control-transformer", "{system}");
    }
}
