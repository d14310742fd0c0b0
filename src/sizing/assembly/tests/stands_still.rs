//! A relay before a motor that stands still: its time tE, and the setting to which the starting current is related.

use super::*;
use crate::basis::Basis;

/// An increased-safety motor of 7.5 kW: the guide table has 15.5 A for it (IEC 60947-4-1, Annex G).
const EX: &[(&str, &str)] = &[
    ("tag", "P-1"),
    ("rated_power_kw", "7.5"),
    ("start_time_s", "2"),
    ("starting_method", "direct"),
    ("protection_kind", "gG"),
    ("cable_length_m", "20"),
];

fn by_table() -> Basis {
    let mut basis = basis();
    basis.design.current_source = Some("table".to_owned());
    basis
}

fn within_te(circuit: &Circuit) -> &crate::design::Check {
    circuit.checks.iter().find(|check| check.name == "trip-within-te").expect("it is judged")
}

/// IEC 60079-14: the relay trips within tE at the starting current over its setting, with 20 %. A motor of 19 A and 7 times that draws 7
/// times the setting of 19 A, whatever the circuit is based on: the curve of class 10 gives 373 s · ln(49 / 48) = 7.69 s, with 20 % 9.23 s.
#[test]
fn time_te_is_held_against_the_starting_current_over_the_setting() {
    for basis in [basis(), by_table()] {
        let more = [("full_load_current_a", "19"), ("locked_rotor_ratio", "7"), ("te_s", "9"), ("given_trip_class", "10")];
        let circuit = size_with(&row(&with(EX, &more)), &basis).0;
        let overload = circuit.overload.as_ref().expect("a relay");
        assert_eq!((overload.setting_a, overload.trip_class.as_str()), (19.0, "10"));
        let check = within_te(&circuit);
        assert!((check.value.expect("a time") - 9.23).abs() < 0.02 && check.passed == Some(false), "{check:?}");
    }
}

/// The same for a class and setting of others: 6 · 14.8 A over 18 A are 4.93 times, at which class 10 trips after 373 s · ln(24.34 / 23.34)
/// = 15.65 s, with 20 % 18.78 s.
#[test]
fn time_te_of_a_stated_relay_is_held_against_its_stated_setting() {
    let more = [
        ("full_load_current_a", "14.8"),
        ("locked_rotor_ratio", "6"),
        ("te_s", "15"),
        ("given_trip_class", "10"),
        ("given_overload_setting_a", "18"),
    ];
    let circuit = size(&with(EX, &more));
    let said = circuit.findings.iter().find(|finding| finding.code == "C701" && finding.what.contains("given_trip_class"));
    let what = &said.expect("the class is inadequate").what;
    assert!(what.contains("trip within te: 18.78 s") && what.contains("at most 15 s"), "{what}");
}

/// Joule's law: 60 starts an hour of 2 s at 7 times the setting, the rest at the setting, heat like √(60 · 2 · 49 / 3600 + 0.9667) = 1.61
/// times it, whatever the circuit is based on.
#[test]
fn starts_heat_a_release_by_the_current_over_its_setting() {
    for basis in [basis(), by_table()] {
        let more = [
            ("full_load_current_a", "19"),
            ("locked_rotor_ratio", "7"),
            ("starts_per_hour", "60"),
            ("protection_kind", "motor-breaker"),
        ];
        let circuit = size_with(&row(&with(EX, &more)), &basis).0;
        let said = circuit.findings.iter().find(|finding| finding.code == "C322").expect("it is told");
        assert!(said.what.contains("like 1.61 times its setting"), "{}", said.what);
    }
}
