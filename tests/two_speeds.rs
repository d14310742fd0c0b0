//! Motors of two speeds: what their two cables carry.

mod common;

use common::design_of;
use motorwright::design::{Circuit, Run};
use rstest::rstest;

const IEC: &str = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nfrequency_hz = 50\nearthing = \"TN-S\"\n\
    prospective_fault_ka = 16\nprospective_fault_min_ka = 8\nx_over_r = 2\n[design]\ngrouped_circuits = 4\n\
    insulation = \"pvc\"\ninstallation_method = \"B2\"\nambient_c = 30\nprotection_kind = \"gG\"\nstarting_drop_pct = 15\n";

fn circuit(method: &str) -> Circuit {
    let rows = format!(
        "tag,rated_power_kw,rated_power_low_kw,full_load_current_a,full_load_current_low_a,power_factor,efficiency_pct,voltage_v,\
         locked_rotor_ratio,start_time_s,starting_method,cable_length_m\nF-1,30,6,57,14,0.85,92,400,6,5,{method},15\n"
    );
    let mut design = design_of(&rows, IEC);
    let of_program = design.circuits[0].findings.iter().filter(|finding| finding.code.starts_with('V')).count();
    assert_eq!(of_program, 0);
    design.circuits.remove(0)
}

fn run<'c>(circuit: &'c Circuit, role: &str) -> &'c Run {
    circuit.runs.iter().find(|run| run.role == role).expect("the run is there")
}

/// At high speed half of the 57 A flow through the cable of the low speed to the star point, beside the other cable: five circuits for four
/// (circuit theory of the double star). IEC 60364-5-52, Table B.52.4: three cores of PVC, method B2, 10 mm² carry 46 A, 16 mm² 62 A, 35 mm²
/// 99 A; Table B.52.17, item 1: five circuits 0.60, four 0.65.
#[rstest]
#[case::tapped("two-speed-dahlander", [99.0 * 0.60, 62.0 * 0.60], 57.0 / 2.0)]
#[case::two_windings("two-speed-separate", [99.0 * 0.65, 46.0 * 0.65], 14.0)]
fn the_cable_of_the_low_speed_carries_half_of_the_high_one_to_the_star_point(
    #[case] method: &str,
    #[case] capacity_a: [f64; 2],
    #[case] required_a: f64,
) {
    let circuit = circuit(method);
    let (high, low) = (run(&circuit, "motor"), run(&circuit, "motor-low"));
    assert!((high.capacity_a - capacity_a[0]).abs() < 0.01, "{}", high.capacity_a);
    assert!((low.capacity_a - capacity_a[1]).abs() < 0.01, "{} of {}", low.capacity_a, low.phase_size);
    assert!((low.required_a - required_a).abs() < 0.01, "{}", low.required_a);
}

/// The way to the star point takes of the voltage at high speed: a quarter of its resistance counts with the whole current. The metal
/// alone, at 20 °C (IEC 60228: 0.01724 Ω mm²/m), of 35 mm² and a quarter of that of 16 mm²: 57 A · 15 m · 0.85 / 230.9 V.
#[test]
fn the_leads_to_the_star_point_count_in_the_drop_at_high_speed() {
    let circuit = circuit("two-speed-dahlander");
    let drop = circuit.checks.iter().find(|check| check.name == "running-voltage-drop" && check.subject == "motor run");
    let told = drop.and_then(|check| check.value).expect("it is told");
    let of_metal = |per_mm2: f64| 57.0 * 15.0 * 0.017_24 * per_mm2 * 0.85 / (400.0 / 3f64.sqrt()) * 100.0;
    let least = of_metal(1.0 / 35.0 + 1.0 / 16.0 / 4.0);
    // Without the leads to the star point it is at most a third above that of 20 °C.
    assert!(told > least && of_metal(1.0 / 35.0) * 1.4 < least, "{told} against {least}");
}

/// Over a long way both cables share what the drop at high speed asks: a quarter of the resistance to the star point counts, so that the
/// metal is least where the cable of the high speed has twice the section of the other (Lagrange), to the next sizes.
#[test]
fn both_cables_of_a_tapped_winding_are_raised_for_the_drop() {
    let basis = format!("{IEC}running_drop_pct = 3\n").replace("starting_drop_pct = 15", "starting_drop_pct = 8");
    let basis = basis.replace("prospective_fault_min_ka = 8", "prospective_fault_min_ka = 14");
    let rows = "tag,rated_power_kw,rated_power_low_kw,full_load_current_a,full_load_current_low_a,power_factor,efficiency_pct,voltage_v,\
                locked_rotor_ratio,start_time_s,starting_method,cable_length_m\nF-1,30,6,57,14,0.85,92,400,6,5,two-speed-dahlander,400\n";
    let design = design_of(rows, &basis);
    let circuit = &design.circuits[0];
    assert!(circuit.findings.iter().all(|finding| !finding.code.starts_with('V')), "{:?}", circuit.findings);
    let (high, low) = (run(circuit, "motor"), run(circuit, "motor-low"));
    assert_eq!(low.governed_by, "run-behind", "{} and {}", high.phase_size, low.phase_size);
    assert!((1.4..=2.8).contains(&(high.phase_area_mm2 / low.phase_area_mm2)), "{} and {}", high.phase_size, low.phase_size);
}
