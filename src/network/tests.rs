//! The network of small schedules, from rows and basis to what the boards find.

use super::*;
use crate::basis::{BoardBasis, TransformerBasis};
use crate::catalogue;
use crate::quantity::Amperes;
use crate::rules;
use crate::sizing::testing::row;

fn board(name: &str, from: Option<&str>) -> BoardBasis {
    BoardBasis {
        name: Some(name.to_owned()),
        fed_from: from.map(str::to_owned),
        feeder_length_m: from.map(|_| 20.0),
        ..BoardBasis::default()
    }
}

/// 2000 kVA of 6 % before MB, whose network nobody states; B behind it.
fn basis() -> Basis {
    let mut basis = Basis::default();
    (basis.supply.voltage_v, basis.supply.earthing) = (Some(400.0), Some("TN-S".to_owned()));
    basis.transformers = vec![TransformerBasis {
        name: Some("T-1".to_owned()),
        to: Some("MB".to_owned()),
        kva: Some(2000.0),
        impedance_pct: Some(6.0),
        secondary_voltage_v: Some(400.0),
        ..TransformerBasis::default()
    }];
    basis.boards = vec![board("MB", None), board("B", Some("MB"))].into();
    basis
}

fn of(basis: &Basis, on: &str) -> Network {
    let load = row(&[
        ("tag", "P-1"),
        ("board", on),
        ("rated_power_kw", "15"),
        ("full_load_current_a", "28"),
        ("locked_rotor_ratio", "7"),
        ("start_time_s", "3"),
        ("starting_method", "direct"),
        ("cable_length_m", "20"),
    ]);
    let book = rules::book("iec", None).expect("the book is there");
    Network::of(&[load], &Tools { basis, book, catalogue: catalogue::builtin("iec") }, None)
}

fn feeder<'n>(network: &'n Network, board: &str) -> &'n Feeder {
    &network.feeders[network.find(board).expect("it is there")]
}

/// Behind 0.06 · 400² V² / 2 MVA = 4.8 mΩ flow more than 400 V / (√3 · 4.8 mΩ) = 48.1 kA: that the device breaks, not the 9 kA which the
/// basis states at the other end of its feeder.
#[test]
fn a_feeder_begins_at_the_fault_current_of_what_feeds_it() {
    let mut basis = basis();
    basis.boards[1].prospective_fault_ka = Some(9.0);
    let network = of(&basis, "B");
    let check = feeder(&network, "B").checks.iter().find(|check| check.name == "breaking-capacity").expect("a check");
    assert!(check.limit.is_some_and(|ka| (48.1..55.0).contains(&ka)), "{check:?}");
    // On the board itself the stated current counts.
    assert_eq!(network.faults.levels[network.find("B").expect("it is there")].largest, Some(Amperes(9000.0)));
}

/// A network in front that is taken as unlimited bounds nothing where no transformer does.
#[test]
fn without_any_impedance_a_fault_current_is_unknown() {
    let mut basis = basis();
    basis.boards.push(board("C", None));
    let network = of(&basis, "C");
    let level = network.faults.levels[network.find("C").expect("it is there")];
    assert_eq!((level.largest, level.peak, level.without_motors), (None, None, None));
}

/// At most 9 kA at a board, at least 12 kA of the supply on which it stands: each counts where it is the safer one, and it is said.
#[test]
fn a_smallest_fault_current_above_the_largest_is_a_contradiction() {
    let mut basis = Basis::default();
    basis.supply.voltage_v = Some(400.0);
    basis.supply.prospective_fault_min_ka = Some(12.0);
    basis.boards = vec![BoardBasis { prospective_fault_ka: Some(9.0), ..board("MB", None) }].into();
    let network = of(&basis, "MB");
    let index = network.find("MB").expect("it is there");
    let level = network.faults.levels[index];
    assert_eq!((level.largest, level.smallest), (Some(Amperes(12_000.0)), Some(Amperes(9000.0))));
    let (_, findings) = network.faults.records[index].clone().into_parts();
    assert!(
        findings.iter().any(|finding| finding.code == "B113" && finding.what.contains("12 kA, is above its largest, 9 kA")),
        "{findings:?}"
    );
}

/// MB stands at the terminals of its transformer: no drop is before the feeder of B.
#[test]
fn the_drop_behind_a_transformer_begins_at_its_terminals() {
    let network = of(&basis(), "B");
    assert_eq!(feeder(&network, "MB").drop_pct, Some(0.0));
    let of_feeder = feeder(&network, "B");
    let check = of_feeder.checks.iter().find(|check| check.name == "running-voltage-drop").expect("a check");
    assert!(of_feeder.drop_pct.is_some_and(|drop| drop > 0.1) && of_feeder.drop_pct == check.value, "{check:?}");
}

/// With a strong network the trip is set highest: the check of disconnection is made there.
#[test]
fn disconnection_is_checked_at_the_trip_as_it_is_set() {
    let mut basis = basis();
    (basis.supply.upstream_fault_mva, basis.supply.upstream_fault_min_mva) = (Some(500.0), Some(400.0));
    let network = of(&basis, "B");
    let of_feeder = feeder(&network, "B");
    let check = of_feeder.checks.iter().find(|check| check.name == "disconnection").expect("a check");
    let [nominal, _, upper] = of_feeder.device.as_ref().and_then(|device| device.magnetic).expect("a trip");
    // The catalogue's breakers for distribution go to ten times their rating, with 20 % tolerance.
    assert!((nominal - 10.0 * of_feeder.protection.0).abs() < 1e-9 && (upper - 1.2 * nominal).abs() < 1e-6);
    assert_eq!((check.limit, check.passed), (Some(upper), Some(true)));
}

/// 300 MVA at 400 V are 0.53 mΩ, a transformer of 630 kVA and 4 % behind them 10.2 mΩ: the network alone stands for a twentieth of what a
/// start dips, so a transformer whose impedance nobody states leaves the path unknown.
#[test]
fn a_transformer_of_unknown_impedance_is_not_left_out_of_the_path() {
    let path = |kva: Option<f64>, pct: Option<f64>, stated: Option<f64>| {
        let mut basis = Basis::default();
        (basis.supply.voltage_v, basis.supply.upstream_fault_mva) = (Some(400.0), Some(300.0));
        (basis.supply.transformer_kva, basis.supply.transformer_impedance_pct) = (kva, pct);
        basis.supply.prospective_fault_ka = stated;
        basis.boards = vec![board("MB", None)].into();
        of(&basis, "MB").feeds[0].feed.impedance.map(|impedance| impedance.magnitude().0 * 1000.0)
    };
    assert!(path(Some(630.0), Some(4.0), None).is_some_and(|path| (10.2..10.7).contains(&path)));
    for (kva, pct) in [(Some(630.0), None), (None, Some(4.0)), (Some(630.0), Some(0.0))] {
        assert_eq!(path(kva, pct, None), None);
        // 400 V / (√3 · 20 kA) = 11.5 mΩ.
        assert!(path(kva, pct, Some(20.0)).is_some_and(|path| (path - 11.547).abs() < 0.01));
    }
    assert!(path(None, None, None).is_some_and(|path| (path - 0.5333).abs() < 0.001), "no transformer is named");
}
