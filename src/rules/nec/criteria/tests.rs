//! Fault paths at the end of a run, and grounding conductors.

use super::*;
use crate::quantity::{Metres, Ohms, Volts};
use crate::rules::conductors::FaultPaths;
use crate::rules::testing;

/// NFPA 70, 310.3(A): 14 AWG copper and 12 AWG aluminium; 2.08 and 3.31 mm² in Chapter 9, Table 8.
#[test]
fn the_defaults_are_the_smallest_sizes_and_words_that_the_book_knows() {
    assert!((DEFAULTS.minimum_copper_mm2 - 2.08).abs() < 1e-9 && (DEFAULTS.minimum_aluminium_mm2 - 3.31).abs() < 1e-9);
    assert!([DEFAULTS.ambient_c, DEFAULTS.running_drop_pct, DEFAULTS.starting_drop_pct].iter().all(|figure| *figure > 0.0));
    assert!(Insulation::parse(DEFAULTS.insulation).is_some() && Kind::parse(DEFAULTS.installation).is_some());
}

/// A motor circuit of 1000 ft of 10 AWG copper in EMT behind a device of 30 A, at 460 V and 60 Hz.
fn demand(paths: FaultPaths) -> RunDemand {
    RunDemand {
        device_rating: Some(Amperes(30.0)),
        length: Some(Metres(304.8)),
        route: vec!["emt".to_owned()],
        insulation: "thwn-2".to_owned(),
        paths,
        ..testing::run(20.0, 460.0, 60.0)
    }
}

fn ten() -> Candidate {
    Candidate { size_mm2: Size::parse("10").expect("a size").mm2(), parallel: 1 }
}

/// Chapter 9, Table 9, 10 AWG copper in steel conduit: 1.2 Ω and 0.063 Ω for 1000 ft, at 75 °C; cold at 20 °C the resistance is
/// 1 + 0.00323 (20 − 75) = 0.82235 of it (Table 8, Note 2). Table 250.122: behind 30 A the grounding conductor is 10 AWG too, so that
/// the loop is twice the phase. Behind a drive nothing of the network is left but the tolerance of its voltage.
#[test]
fn what_the_network_gives_at_the_end_of_a_run_is_cold_warm_and_the_loop_by_both_conductors() {
    let ohms = |r: f64, x: f64| Some(Impedance { r: Ohms(r), x: Ohms(x) });
    let paths = FaultPaths {
        voltage: Volts(480.0),
        tolerance_pct: Some(6.0),
        largest: ohms(0.01, 0.02),
        smallest: ohms(0.03, 0.04),
        smallest_loop: ohms(0.05, 0.06),
        ..FaultPaths::default()
    };
    let fault_paths = end_paths(&demand(paths), ten());
    let near = |impedance: Option<Impedance>, r: f64, x: f64| {
        let impedance = impedance.expect("a path");
        assert!((impedance.r.0 - r).abs() < 1e-6 && (impedance.x.0 - x).abs() < 1e-6, "{impedance:?} against {r} {x}");
    };
    near(fault_paths.largest, 0.01 + 1.2 * 0.822_35, 0.02 + 0.063);
    near(fault_paths.smallest, 0.03 + 1.2, 0.04 + 0.063);
    near(fault_paths.smallest_loop, 0.05 + 2.4, 0.06 + 0.126);
    assert_eq!((fault_paths.tolerance_pct, fault_paths.voltage), (Some(6.0), Volts(480.0)));
    let drive = end_paths(&RunDemand { behind_drive: true, ..demand(paths) }, ten());
    assert_eq!(drive, FaultPaths { tolerance_pct: Some(6.0), ..FaultPaths::default() });
}

/// The same figures as currents, IEC 60909-0 with a voltage factor of 1 and circuit theory: between phases 480 / (2 |Z|), to earth
/// 480 / √3 over the loop, with X/R of the loop.
#[test]
fn the_smallest_faults_at_the_end_are_warm() {
    let ohms = |r: f64, x: f64| Some(Impedance { r: Ohms(r), x: Ohms(x) });
    let paths = FaultPaths {
        voltage: Volts(480.0),
        smallest: ohms(0.03, 0.04),
        smallest_loop: ohms(0.05, 0.06),
        ..FaultPaths::default()
    };
    let (between, to_ground) = least_faults(&demand(paths), ten(), &mut Record::new()).expect("faults");
    let (to_ground, x_over_r) = to_ground.expect("a loop");
    let z = |r: f64, x: f64| (r * r + x * x).sqrt();
    assert!((between.0 - 480.0 / (2.0 * z(1.23, 0.103))).abs() < 1e-3, "{between:?}");
    assert!((to_ground.0 - 480.0 / 3f64.sqrt() / z(2.45, 0.186)).abs() < 1e-3, "{to_ground:?}");
    assert!((x_over_r - 0.186 / 2.45).abs() < 1e-9);
    assert_eq!(least_faults(&RunDemand { behind_drive: true, ..demand(paths) }, ten(), &mut Record::new()), None);
}

/// 250.122: behind 100 A an 8 AWG copper conductor (Table 250.122), but none that is larger than the circuit conductors (A); in
/// parallel the full size in each raceway (F).
#[test]
fn a_grounding_conductor_is_never_larger_than_one_set_of_circuit_conductors() {
    let book = Nec { edition: Edition::E2023 };
    let size = |text: &str| Size::parse(text).expect("a size").mm2();
    let of = |phase: &str, per_phase: u32| {
        book.protective_minimum(size(phase), per_phase, Material::Copper, Some(("inverse-time", Amperes(100.0))), false)
    };
    assert_eq!(of("3", 1), Some(size("8")));
    assert_eq!(of("10", 1), Some(size("10")));
    assert_eq!(of("10", 2), Some(size("8")));
}
