//! Several motors behind one starter: circuits of random groups are accepted, and rejected with any number or share that is wrong.

use motorwright::catalogue;
use motorwright::design::{Circuit, Design};
use motorwright::rules;
use motorwright::verify::Verifier;

/// Rows of groups, with all else that the other generated rows have.
fn generated(rows: usize, seed: u64, more: &str) -> Design {
    // The reasons why a row is no group are tried elsewhere.
    const NO_GROUP: [&str; 5] = ["load_kind", "phases", "minimum_circuit_ampacity_a", "maximum_protection_a", "starting_method"];
    let mut columns: Vec<_> =
        super::IEC.iter().chain(super::BOTH).filter(|(name, _)| !NO_GROUP.contains(name)).copied().collect();
    columns.push(("starting_method", &["direct", "direct", "soft-starter", "drive"]));
    columns.push(("motors_per_starter", &["2", "2", "3", "4", "7"]));
    super::generated_of(&columns, "iec", rows, seed, more)
}

#[test]
fn generated_groups_are_accepted() {
    let mut groups = 0;
    for (turn, more) in (0..).zip(super::BASES) {
        let design = generated(60, 4100 + turn, more[0]);
        groups += design.circuits.iter().filter(|circuit| circuit.motors > 1 && !circuit.parts.is_empty()).count();
        let said = super::tried(&design);
        assert!(said.is_empty(), "basis {turn}: {}\n{}", said.len(), said[..said.len().min(8)].join("\n"));
    }
    assert!(groups > 200, "{groups}");
}

/// Rows that state a number and can't be a group are circuits of one motor.
#[test]
fn generated_rows_that_state_a_number_are_accepted() {
    let mut columns: Vec<_> = super::IEC.iter().chain(super::BOTH).copied().collect();
    columns.push(("motors_per_starter", &["", "1", "2", "3"]));
    let design = super::generated_of(&columns, "iec", 150, 77, "");
    let said = super::tried(&design);
    assert!(said.is_empty(), "{}\n{}", said.len(), said[..said.len().min(8)].join("\n"));
}

/// The group as it would be if one relay were set to the sum, with everything that follows from that.
fn one_relay_for_all(circuit: &Circuit) -> Circuit {
    let mut circuit = circuit.clone();
    let motors = f64::from(circuit.motors);
    for relay in circuit.overloads.iter_mut().filter(|relay| relay.count > 1) {
        for part in circuit.parts.iter_mut().filter(|part| part.part == relay.part) {
            part.quantity = 1.0;
        }
        relay.count = 1;
        relay.winding_factor = 1.0;
        relay.setting_a *= motors;
    }
    circuit.overload = circuit.overloads.first().cloned();
    circuit
}

fn wrong(circuit: &Circuit) -> Vec<(&'static str, Circuit)> {
    let with = |change: &dyn Fn(&mut Circuit)| {
        let mut circuit = circuit.clone();
        change(&mut circuit);
        circuit.overload = circuit.overloads.first().cloned();
        circuit.conductors = circuit.runs.first().cloned();
        circuit
    };
    let scaled = |circuit: &mut Circuit, factor: f64| {
        let currents = &mut circuit.currents;
        for amperes in [
            &mut currents.full_load_a,
            &mut currents.conductor_basis_a,
            &mut currents.protection_basis_a,
            &mut currents.overload_basis_a,
            &mut currents.starting_a,
        ] {
            *amperes *= factor;
        }
    };
    let mut all = vec![
        ("one motor", with(&|changed| changed.motors = 1)),
        ("a motor more", with(&|changed| changed.motors += 1)),
        ("currents of one motor", with(&|changed| scaled(changed, 1.0 / f64::from(circuit.motors)))),
        (
            "currents of one motor more",
            with(&|changed| scaled(changed, f64::from(circuit.motors + 1) / f64::from(circuit.motors))),
        ),
        ("current of relays alone", with(&|changed| changed.currents.overload_basis_a *= 2.0)),
        (
            "a relay less",
            with(&|changed| changed.overloads.iter_mut().for_each(|overload| overload.count = overload.count.max(2) - 1)),
        ),
        ("one relay for all", one_relay_for_all(circuit)),
        ("a run less", with(&|changed| changed.runs.iter_mut().for_each(|run| run.count = run.count.max(2) - 1))),
        ("no word of the group", with(&|changed| changed.findings.retain(|finding| finding.code != "C219"))),
    ];
    if circuit.disconnect.as_ref().is_some_and(|disconnect| disconnect.count > 1) {
        all.push((
            "an isolator less",
            with(&|circuit| circuit.disconnect.iter_mut().for_each(|disconnect| disconnect.count -= 1)),
        ));
    }
    // A cable, a base, a thermistor relay less than motors, in the list alone. Where no cable of power holds, the circuit has no run
    // against which a control cable could be counted.
    for index in 0..circuit.parts.len() {
        let part = &circuit.parts[index];
        if circuit.conductors.is_none() && part.run == "control" {
            continue;
        }
        if part.quantity >= f64::from(circuit.motors) && !part.part.is_empty() {
            all.push(("a part of one motor less", with(&|circuit| circuit.parts[index].quantity *= 0.5)));
        }
    }
    all
}

#[test]
fn a_group_whose_number_is_wrong_is_rejected() {
    let design = generated(60, 4200, "");
    let book = rules::book("iec", None).expect("a book");
    let verifier = Verifier::new(&design.basis, book, catalogue::builtin("iec"), &design.circuits);
    let bench = super::Bench::of(catalogue::builtin("iec"));
    let mut tried = 0;
    let groups = || {
        design.circuits.iter().filter(|circuit| circuit.motors > 1 && circuit.overloads.iter().any(|overload| overload.count > 1))
    };
    for circuit in groups() {
        assert!(verifier.circuit(circuit).is_empty(), "{}", circuit.tag);
        // A circuit for which no cable holds has no run that could be one less.
        for (kind, wrong) in wrong(circuit).into_iter().filter(|(_, wrong)| wrong != circuit) {
            tried += 1;
            assert!(!verifier.circuit(&wrong).is_empty(), "{kind}: {} {}", circuit.tag, super::difference(circuit, &wrong));
        }
    }
    assert!(tried > 500, "{tried}");
    // And everything by which any circuit is made wrong, where it has the runs that its cables are counted by.
    for circuit in groups().filter(|circuit| circuit.conductors.is_some()).step_by(6) {
        for (kind, wrong) in super::mutants(circuit, &bench).into_iter().filter(|(_, wrong)| wrong != circuit) {
            // Behind a drive no start trips a relay: its limit stands for ever, and no margin tells one second from another.
            let mut changed = wrong.checks.iter().zip(&circuit.checks).filter(|(check, before)| check.value != before.value);
            if kind == "value of a check" && changed.any(|(check, _)| check.limit >= Some(1e6)) {
                continue;
            }
            assert!(!verifier.circuit(&wrong).is_empty(), "{kind}: {} {}", circuit.tag, super::difference(circuit, &wrong));
        }
    }
}
