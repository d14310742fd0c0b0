//! Protective devices: settings on their dials, and the voltage at which they break. IEC 60947-2, 4.3.6.1 to 4.3.6.3, states breaking
//! capacities for a rated operational voltage, and a device breaks what it states only up to that.

use super::*;
use crate::catalogue;
use crate::design::Circuit;
use crate::sizing::testing::{basis, row, size_with};

const MOTOR: &[(&str, &str)] = &[
    ("tag", "P-1"),
    ("rated_power_kw", "15"),
    ("full_load_current_a", "27"),
    ("efficiency_class", "IE2"),
    ("locked_rotor_ratio", "6.5"),
    ("starting_method", "direct"),
    ("cable_length_m", "20"),
];

fn on_board(volts: f64, fault_ka: Option<f64>, cells: &[(&str, &str)]) -> Circuit {
    let mut basis = basis();
    basis.supply.voltage_v = Some(volts);
    basis.supply.prospective_fault_ka = fault_ka;
    size_with(&row(cells), &basis).0
}

/// Largest voltage of the catalogue's column, and the capacity in it.
fn columns(part: &str) -> Vec<(f64, f64)> {
    let catalogue = catalogue::builtin("iec");
    let of = |steps: [f64; 4]| [240.0, 440.0, 500.0, 690.0].into_iter().zip(steps).collect();
    let motor = catalogue.motor_breakers.iter().find(|breaker| breaker.part == part);
    let moulded = catalogue.moulded_case_breakers.iter().find(|breaker| breaker.part == part);
    let line = catalogue.line_breakers.iter().find(|breaker| breaker.part == part);
    let fuse = catalogue.fuses.iter().find(|fuse| fuse.part == part);
    motor
        .map(|breaker| of([breaker.breaking_240_ka, breaker.breaking_440_ka, breaker.breaking_500_ka, breaker.breaking_690_ka]))
        .or_else(|| {
            moulded.map(|breaker| {
                of([breaker.breaking_240_ka, breaker.breaking_440_ka, breaker.breaking_500_ka, breaker.breaking_690_ka])
            })
        })
        .or_else(|| line.map(|breaker| vec![(240.0, breaker.breaking_240_ka), (440.0, breaker.breaking_440_ka)]))
        .or_else(|| fuse.map(|fuse| vec![(fuse.max_voltage_v, fuse.breaking_ka)]))
        .unwrap_or_default()
}

fn at(part: &str, volts: f64) -> Option<f64> {
    columns(part).into_iter().find(|(most, _)| volts <= *most).map(|(_, ka)| ka)
}

#[test]
fn a_device_breaks_the_fault_at_the_voltage_of_its_board_though_the_motor_is_made_for_less() {
    let mut larger = 0;
    for kind in ["motor-breaker", "moulded-case", "gG"] {
        for (board, motor) in [(400.0, "400"), (440.0, "440"), (480.0, "440"), (525.0, "500"), (690.0, "660")] {
            let cells = [MOTOR, &[("voltage_v", motor), ("protection_kind", kind)]].concat();
            let circuit = on_board(board, Some(36.0), &cells);
            let Some(protection) = &circuit.protection else { continue };
            let breaks = at(&protection.part, board).expect("a capacity at this voltage");
            assert!(breaks >= 36.0, "{kind}: {} at {board} V", protection.part);
            assert_eq!(protection.breaking_ka, Some(breaks), "{kind}: {} at {board} V", protection.part);
            larger += usize::from(at(&protection.part, motor.parse().expect("volts")) != Some(breaks));
        }
    }
    assert!(larger > 0, "some device breaks less at the board's voltage than at the motor's");
}

#[test]
fn a_device_without_a_capacity_at_a_voltage_is_not_chosen_where_the_fault_current_is_unknown() {
    let heater = [
        ("tag", "H-1"),
        ("load_kind", "heater"),
        ("rated_power_kw", "9"),
        ("starting_method", "contactor"),
        ("protection_kind", "moulded-case"),
        ("cable_length_m", "20"),
    ];
    for (volts, small) in [(400.0, true), (690.0, false)] {
        let circuit = on_board(volts, None, &heater);
        let protection = circuit.protection.as_ref().expect("a device");
        assert_eq!(protection.kind == "circuit-breaker", small, "{volts} V: {protection:?}");
        assert!(at(&protection.part, volts).is_some_and(|ka| ka > 0.0), "{volts} V: {protection:?}");
        let check = circuit.checks.iter().find(|check| check.name == "breaking-capacity").expect("a check");
        assert_eq!(check.passed, None, "{volts} V: the current is unknown");
    }
}

/// 0.3 / 0.1 is a little less than 3 and 1.1 / 0.1 a little more than 11 in binary figures: a value that stands on the dial stays.
#[test]
fn a_value_on_the_dial_stays_and_others_go_to_the_stated_side() {
    let range = [0.1, 20.0];
    for mark in [0.3, 0.7, 1.1, 14.3, 16.0] {
        assert_eq!((dial_down(mark, 0.1, range), dial_up(mark, 0.1, range)), (mark, mark));
    }
    assert_eq!((dial_down(14.39, 0.1, range), dial_up(14.31, 0.1, range)), (14.3, 14.4));
    assert_eq!((dial_down(25.0, 0.1, range), dial_up(25.0, 0.1, range)), (20.0, 20.0));
    assert_eq!((dial_down(0.05, 0.1, range), dial_up(0.05, 0.1, range)), (0.1, 0.1));
    // A dial without steps stands where it is put.
    assert_eq!((dial_down(14.36, 0.0, range), dial_up(14.36, 0.0, range)), (14.36, 14.36));
}
