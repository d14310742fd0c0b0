//! Coils, outputs and control runs of rows.

use crate::basis::Basis;
use crate::catalogue::{self, Catalogue};
use crate::design::{Check, Circuit, Status};
use crate::finding::Finding;
use crate::sizing::Pins;
use crate::sizing::testing::{basis, row, size, size_in, size_with};

const PUMP: &[(&str, &str)] = &[
    ("tag", "P-1"),
    ("rated_power_kw", "4"),
    ("full_load_current_a", "8"),
    ("locked_rotor_ratio", "6"),
    ("start_time_s", "2"),
    ("starting_method", "direct"),
    ("cable_length_m", "20"),
];

fn with(more: &[(&'static str, &'static str)]) -> Vec<(&'static str, &'static str)> {
    let kept = PUMP.iter().filter(|(name, _)| !more.iter().any(|(other, _)| other == name));
    kept.chain(more).copied().collect()
}

fn check<'c>(circuit: &'c Circuit, name: &str) -> Option<&'c Check> {
    circuit.checks.iter().find(|check| check.name == name)
}

fn finding<'c>(circuit: &'c Circuit, code: &str) -> Option<&'c Finding> {
    circuit.findings.iter().find(|finding| finding.code == code)
}

/// A 5 W coil would be driven by 0.5 A x 0.8 at 24 V; frame 1 takes 3 W (0.125 A), frame 3 takes 25 W (1.04 A).
#[rstest::rstest]
#[case::small_coil_directly(&[("control_voltage", "24 V DC")], false, true)]
#[case::strong_output(&[("control_voltage", "24 V DC"), ("rated_power_kw", "30"), ("full_load_current_a", "55"), ("plc_output_a", "2")], false, true)]
#[case::large_coil(&[("control_voltage", "24 V DC"), ("rated_power_kw", "30"), ("full_load_current_a", "55")], true, true)]
#[case::alternating_coil(&[("control_voltage", "230 V AC")], true, true)]
#[case::other_direct_voltage(&[("control_voltage", "48 V DC")], true, false)]
fn an_output_switches_what_it_can(#[case] more: &[(&'static str, &'static str)], #[case] interposed: bool, #[case] served: bool) {
    let circuit = size(&with(&[more, &[("driven_by", "plc-output")]].concat()));
    let control = circuit.control.as_ref().expect("a control circuit");
    assert_eq!(control.interposing_relay, interposed, "{control:?}");
    let relays: Vec<_> = circuit.accessories.iter().filter(|accessory| accessory.kind == "interposing-relay").collect();
    assert_eq!(relays.len(), usize::from(interposed));
    assert_eq!(finding(&circuit, "C406").is_none(), served);
    assert!(relays.iter().all(|relay| relay.quantity == 1 && relay.part.is_empty() != served));
    assert_eq!(check(&circuit, "output-current").and_then(|check| check.passed), served.then_some(true));
    // The relay is bought as it is described.
    let bought = circuit.parts.iter().filter(|part| part.part.contains("-IR")).count();
    assert_eq!(bought, usize::from(interposed && served));
}

/// Frame 5 at 24 V DC: 200 W are 8.3 A. The usual contact switches 2 A of direct current, the heavy one 16 A.
#[test]
fn the_contact_of_the_relay_switches_the_coil() {
    let large = [("rated_power_kw", "75"), ("full_load_current_a", "132"), ("driven_by", "plc-output")];
    let circuit = size(&with(&[&large[..], &[("control_voltage", "24 V DC")]].concat()));
    let making = check(&circuit, "relay-contact-making").expect("a check");
    assert!((making.value.unwrap_or(0.0) - 200.0 / 24.0).abs() < 1e-6 && making.limit == Some(16.0), "{making:?}");
    // 220 VA at 230 V are 0.96 A, which a contact of 3 A in AC-15 makes tenfold.
    let circuit = size(&with(&[&large[..], &[("control_voltage", "230 V AC")]].concat()));
    let making = check(&circuit, "relay-contact-making").expect("a check");
    assert!((making.value.unwrap_or(0.0) - 220.0 / 230.0).abs() < 1e-6 && making.limit == Some(30.0), "{making:?}");
}

/// One relay for each command: a timer switches star and delta by itself, two directions are two commands.
#[rstest::rstest]
#[case("star-delta", "no", 1)]
#[case("direct", "yes", 2)]
#[case("two-speed-dahlander", "no", 2)]
#[case("direct", "no", 1)]
fn there_is_one_relay_for_each_command(#[case] method: &'static str, #[case] reversing: &'static str, #[case] relays: u32) {
    let circuit = size(&with(&[
        ("starting_method", method),
        ("reversing", reversing),
        ("motor_voltages", "400/690"),
        ("full_load_current_low_a", "5"),
        ("driven_by", "plc-output"),
    ]));
    let interposing: u32 = circuit
        .accessories
        .iter()
        .filter(|accessory| accessory.kind == "interposing-relay")
        .map(|accessory| accessory.quantity)
        .sum();
    assert_eq!((interposing, circuit.control.as_ref().map(|control| control.commands)), (relays, Some(relays)));
}

#[test]
fn a_voltage_that_no_coil_has_is_said_with_those_there_are() {
    let circuit = size(&with(&[("control_voltage", "42 V AC")]));
    let said = finding(&circuit, "C401").expect("a finding");
    assert!(said.cure.contains("48 V AC") && said.cure.contains("24 V AC"), "{}", said.cure);
    assert_eq!(said.place.as_ref().and_then(|place| place.heading.as_deref()), Some("control_voltage"));
    // The rest of the circuit stands.
    assert!(circuit.protection.is_some() && circuit.conductors.is_some());
    assert_eq!(circuit.status, Status::NeedsDecision);
    assert!(check(&circuit, "coil-voltage").is_some_and(|check| check.passed.is_none()));
}

#[rstest::rstest]
#[case::with_kind("24 V DC", Some((24.0, true)))]
#[case::together("230VAC", Some((230.0, false)))]
#[case::frequency("110 V, 50 Hz", Some((110.0, false)))]
#[case::frequencies("120 V AC 50/60 Hz", Some((120.0, false)))]
#[case::figure("24", Some((24.0, true)))]
#[case::two_voltages("24/230", None)]
#[case::a_band("220-240 V AC", None)]
#[case::both_kinds("24 V AC/DC", None)]
#[case::below_zero("-24", None)]
#[case::nothing("0 V", None)]
#[case::too_high("1200 V", None)]
#[case::words("mains", None)]
fn a_control_voltage_is_read_only_where_it_reads_one_way(#[case] text: &str, #[case] expected: Option<(f64, bool)>) {
    assert_eq!(
        crate::sizing::resolve::control_voltage(text).map(|control_voltage| (control_voltage.volts, control_voltage.dc)),
        expected
    );
}

#[test]
fn a_control_voltage_that_cant_be_read_is_not_replaced_silently() {
    let circuit = size(&with(&[("control_voltage", "mains")]));
    let said = finding(&circuit, "L420").expect("a finding");
    assert!(said.what.contains("mains") && said.what.contains("230 V AC"), "{}", said.what);
    assert!(finding(&size(&with(&[("control_voltage", "24VDC")])), "L420").is_none());
}

/// 30 VA at 24 V AC on 1.5 mm²: l = 5 x 57 x 1.5 x 24² / (200 x 30) = 41.0 m one way (formula of a handbook).
#[test]
fn a_run_beyond_its_drop_is_said_with_what_mends_it() {
    let near = size(&with(&[("control_voltage", "24 V AC"), ("control_cable_length_m", "41")]));
    assert_eq!(check(&near, "control-run-drop").and_then(|check| check.passed), Some(true));
    let far = size(&with(&[("control_voltage", "24 V AC"), ("control_cable_length_m", "60")]));
    let drop = check(&far, "control-run-drop").expect("a check");
    assert!(drop.passed == Some(false) && (drop.value.unwrap_or(0.0) - 5.0 * 60.0 / 41.04).abs() < 1e-3, "{drop:?}");
    let said = finding(&far, "C407").expect("a finding");
    // 5 % of 24 V at 60 m ask for 1.5 x 60 / 41 = 2.2 mm².
    assert!(said.cure.contains("2.5 mm²"), "{}", said.cure);
    assert_eq!(said.place.as_ref().and_then(|place| place.heading.as_deref()), Some("control_cable_length_m"));
    assert!(finding(&far, "C101").is_none(), "said once");
    let reach = far.control.as_ref().and_then(|control| control.run.as_ref()).map(|run| run.drop_reach_m);
    assert_eq!(reach, Some(41.0));
    // Without a length the contact stands at the starter; how far it might stand is known.
    let here = size(&with(&[("control_voltage", "24 V AC")]));
    assert!(check(&here, "control-run-drop").is_none());
    assert_eq!(here.control.as_ref().and_then(|control| control.run.as_ref()).map(|run| run.drop_reach_m), Some(41.0));
}

/// 4.5 VA at 230 V, 50 Hz, release at 20 %: m/(1+m) S / (2π f c U²) with 0.3 µF/km is 150.4 m for a maintained contact, half of
/// that for a momentary one.
#[test]
fn a_run_whose_capacitance_holds_the_coil_is_said_with_the_resistor() {
    let at = |length, wires| size(&with(&[("control_cable_length_m", length), ("control_wires", wires), ("driven_by", "relay")]));
    let passed = |circuit: &Circuit| check(circuit, "control-run-capacitance").and_then(|check| check.passed);
    assert_eq!((passed(&at("150", "two")), passed(&at("151", "two"))), (Some(true), Some(false)));
    assert_eq!((passed(&at("75", "three")), passed(&at("76", "three"))), (Some(true), Some(false)));
    let far = at("300", "two");
    let said = finding(&far, "C408").expect("a finding");
    // B = 2π 50 x 0.09 µF = 28.3 µS, b = 85.1 µS: P = 230² √((B/0.2)² − (b − B)²) = 6.86 W, of which the double is rated.
    assert!(said.cure.contains("rated 14 W"), "{}", said.cure);
    // Direct current knows no capacitance; a relay at the starter takes the run off the coil.
    let direct = size(&with(&[("control_cable_length_m", "300"), ("control_voltage", "110 V DC"), ("driven_by", "relay")]));
    assert!(check(&direct, "control-run-capacitance").is_none());
    let interposed = size(&with(&[("control_cable_length_m", "300"), ("driven_by", "plc-output")]));
    assert!(check(&interposed, "control-run-capacitance").is_none() && finding(&interposed, "C408").is_none());
}

/// At 60 Hz the reach is 5/6 of that at 50 Hz.
#[test]
fn frequency_shortens_the_reach() {
    let reach = |hertz| {
        let circuit = size(&with(&[("frequency_hz", hertz)]));
        circuit.control.and_then(|control| control.run).and_then(|run| run.capacitance_reach_m).expect("a reach")
    };
    assert!((reach("60") / reach("50") - 5.0 / 6.0).abs() < 0.01);
}

/// Start, stop and seal-in are three cores and a protective one; two directions one more; a controller's output needs two and,
/// at 24 V, no protective one.
#[rstest::rstest]
#[case(&[("driven_by", "pushbutton")], (4, 1))]
#[case(&[("driven_by", "pushbutton"), ("reversing", "yes")], (5, 1))]
#[case(&[("driven_by", "thermostat")], (3, 1))]
#[case(&[("driven_by", "plc-output"), ("control_voltage", "24 V DC")], (2, 0))]
#[case(&[("driven_by", "pushbutton"), ("control_voltage", "24 V AC")], (3, 0))]
fn cores_of_the_control_cable(#[case] more: &[(&'static str, &'static str)], #[case] cores: (u32, u32)) {
    let control = size(&with(more)).control.expect("a control circuit");
    assert_eq!((control.cores, control.protective_cores), cores);
}

fn per_starter() -> Basis {
    let mut basis = basis();
    basis.control.supply = Some("per-starter".to_owned());
    basis
}

/// A long run takes its share of the voltage at the coil; beyond what any transformer mends, the run is named.
#[test]
fn the_run_counts_in_the_voltage_at_the_coil() {
    let lowest = |length: &'static str| {
        let cells = with(&[("control_voltage", "24 V AC"), ("control_cable_length_m", length)]);
        let (circuit, _) = size_with(&row(&cells), &per_starter());
        let check = check(&circuit, "coil-voltage").cloned().expect("a check");
        (check.value.unwrap_or(0.0), check.passed, finding(&circuit, "C411").map(|finding| finding.cure.clone()))
    };
    let near = lowest("5");
    assert_eq!((near.1, &near.2), (Some(true), &None));
    let far = lowest("60");
    assert!(far.1 == Some(false) && far.0 < 85.0 && far.0 < near.0);
    assert!(far.2.is_some_and(|cure| cure.contains("control run")));
}

#[test]
fn a_supply_of_the_starter_is_bought_with_it() {
    let (circuit, _) = size_with(&row(&with(&[])), &per_starter());
    let supply = circuit.control.as_ref().and_then(|control| control.supply.as_ref()).expect("a supply");
    let bought = |part: &str| circuit.parts.iter().filter(|listed| listed.part == part).map(|part| part.quantity).sum::<f64>();
    assert!((bought(&supply.part) - 1.0).abs() < 1e-9);
    let primary = supply.primary.as_ref().expect("fuses before it");
    assert!(bought(&primary.part) >= f64::from(primary.quantity) && bought("GEN-CFB") >= 3.0);
    assert!(circuit.parts.iter().all(|part| !part.description.is_empty()), "{:?}", circuit.parts);
}

proptest::proptest! {
    #![proptest_config(proptest::test_runner::Config::with_cases(32))]
    /// A longer run never passes where a shorter one failed.
    #[test]
    fn a_longer_run_never_passes_where_a_shorter_failed(
        length in 1_u32..400, more in 1_u32..400, voltage in 0_usize..4, wires in proptest::bool::ANY,
    ) {
        let voltages = ["24 V AC", "110 V AC", "230 V AC", "24 V DC"];
        let failed = |metres: u32| {
            let length: &'static str = Box::leak(metres.to_string().into_boxed_str());
            let circuit = size(&with(&[
                ("control_cable_length_m", length),
                ("control_voltage", voltages[voltage]),
                ("control_wires", if wires { "two" } else { "three" }),
            ]));
            ["control-run-drop", "control-run-capacitance"]
                .map(|name| check(&circuit, name).is_some_and(|check| check.passed == Some(false)))
        };
        let (near, far) = (failed(length), failed(length + more));
        proptest::prop_assert!(near.iter().zip(&far).all(|(near, far)| !near || *far));
    }
}

// Two public trade answers and drive manuals: the overvoltage of a coil that is switched off destroys transistor outputs.
#[test]
fn a_relay_at_an_output_brings_its_suppression_or_says_that_it_does_not() {
    let said = |range: &Catalogue| {
        let cells = with(&[("control_voltage", "230 V AC"), ("driven_by", "plc-output")]);
        let circuit = size_in(&row(&cells), &basis(), range, &Pins::default()).0;
        let part = circuit
            .accessories
            .iter()
            .find(|accessory| accessory.kind == "interposing-relay")
            .map(|accessory| accessory.part.clone());
        (part.unwrap_or_default(), finding(&circuit, "C415").is_some())
    };
    let mut range = catalogue::builtin("iec").clone();
    let (first, warned) = said(&range);
    assert!(!first.is_empty() && !warned);
    // Without it the first gives way to the next that has it; where none has it, the first stays and is said.
    range.interposing_relays.iter_mut().filter(|relay| relay.part == first).for_each(|relay| relay.suppression_built_in = false);
    let (second, warned) = said(&range);
    assert!(second != first && !second.is_empty() && !warned);
    range.interposing_relays.iter_mut().for_each(|relay| relay.suppression_built_in = false);
    assert_eq!(said(&range), (first, true));
}
