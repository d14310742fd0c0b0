//! Whole circuits by the NEC: loads that are no motor, motors stated in kilowatts.

use super::*;

fn nec_basis() -> crate::basis::Basis {
    let mut basis = basis();
    basis.rules.book = Some("nec".to_owned());
    basis.supply.voltage_v = Some(480.0);
    basis.supply.frequency_hz = Some(60.0);
    basis
}

/// 18 kW at 480 V draw 18 000 / (√3 · 480) = 21.65 A, and that is what the clauses for conductors start from.
#[test]
fn conductors_and_devices_of_a_heater_go_by_what_it_draws() {
    let cells = [("tag", "H-1"), ("load_kind", "heater"), ("rated_power_kw", "18"), ("power_factor", "1"), ("voltage_v", "480")];
    let (circuit, _) = size_with(&row(&cells), &nec_basis());
    let own = &circuit.currents;
    for amperes in [own.full_load_a, own.conductor_basis_a, own.protection_basis_a] {
        assert!((amperes - 21.65).abs() < 0.01, "{own:?}");
    }
}

/// 10 CFR 431.25: 91.7 % for a premium motor of 10 hp and 4 poles, open or enclosed; 7.46 kW are 10 hp of 746 W.
#[test]
fn a_motor_stated_in_kilowatts_has_the_efficiency_of_its_horsepower() {
    let cells = [("tag", "P-1"), ("rated_power_kw", "7.46"), ("voltage_v", "460"), ("poles", "4")];
    let (load, basis) = (row(&cells), nec_basis());
    let book = crate::rules::book("nec", None).expect("the book is there");
    let (machine, _) = crate::sizing::resolve::load_only(&load, &basis, book).expect("its voltage is known");
    let efficiency = machine.efficiency.expect("it is assumed").value;
    assert!((efficiency - 0.917).abs() < 1e-9, "{efficiency}");
}

#[test]
fn equipment_that_is_no_motor_counts_by_the_larger_of_marking_and_power() {
    // 18 kW at 400 V and power factor 1: 18 000 / (√3 · 400) = 25.98 A.
    for (marked, expected) in [("14", 25.98), ("40", 40.0)] {
        for kind in ["heater", "other", "packaged"] {
            let circuit = size(&[
                ("tag", "H-1"),
                ("load_kind", kind),
                ("rated_power_kw", "18"),
                ("power_factor", "1"),
                ("minimum_circuit_ampacity_a", marked),
                ("cable_length_m", "20"),
            ]);
            let currents = &circuit.currents;
            assert!((currents.full_load_a - expected).abs() < 0.01, "{kind} {marked}: {}", currents.full_load_a);
            assert_eq!(codes(&circuit).contains(&"R107"), marked == "14", "{kind} {marked}");
        }
    }
}
