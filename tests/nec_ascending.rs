//! More of anything bad never gets less under the NEC book: horsepower, length, heat; slash-rated devices; determinism.

mod common;
#[path = "nec_guards/schedule.rs"]
#[allow(dead_code)] // a part is used here
mod schedule;
#[path = "nec_guards/tables.rs"]
#[allow(dead_code)] // a part is used here
mod tables;

use common::design_of;
use motorwright::catalogue::builtin;
use motorwright::design::Circuit;
use motorwright::load::Method;
use schedule::{HORSEPOWER, KINDS, Row, SUPPLIES, basis, sized, text};

/// Rung of every run: more sets, then a larger size. Two smaller conductors carry more than a thicker one with less metal.
fn rungs(circuit: &Circuit) -> Vec<f64> {
    circuit
        .runs
        .iter()
        .filter(|run| !run.phase_size.is_empty())
        .map(|run| 1e9 * f64::from(run.per_phase) + tables::cmil(&run.phase_size))
        .collect()
}

/// Place in the range of every chosen contactor: the range ascends.
fn controllers(circuit: &Circuit) -> Vec<f64> {
    let range = &builtin("nec").contactors;
    circuit
        .contactors
        .iter()
        .filter(|contactor| !contactor.part.is_empty())
        .map(|contactor| {
            let part =
                range.iter().find(|part| contactor.part.starts_with(&format!("{}-", part.part))).expect("it is in the range");
            part.continuous_a.expect("a continuous current")
        })
        .collect()
}

/// The device with its kind: kinds can't be compared.
fn device(circuit: &Circuit) -> Option<(String, f64)> {
    circuit
        .protection
        .as_ref()
        .filter(|protection| !protection.part.is_empty())
        .map(|protection| (protection.kind.clone(), protection.rating_a))
}

/// Neighbours of a series against each other.
fn ascending(rows: Vec<Row>, what: &str, devices: bool) -> usize {
    let (design, rows) = sized(rows);
    let mut wrong = Vec::new();
    let mut compared = 0;
    for (pair, stated) in design.circuits.windows(2).zip(rows.windows(2)) {
        let mut tell = |of: &str, was: &[f64], is: &[f64]| {
            // Where one of them has none, its findings say so.
            if was.len() == is.len() {
                compared += was.len();
                if was.iter().zip(is).any(|(was, is)| *is + 1e-9 < *was) {
                    wrong.push(format!("{what}: {of} {was:?} then {is:?}: {:?} then {:?}", stated[0], stated[1]));
                }
            }
        };
        tell("conductor", &rungs(&pair[0]), &rungs(&pair[1]));
        if devices {
            // Where the devices are of different kinds, another tested combination may ask for another controller.
            // The marking of a drive governs before one, whatever its neighbour's marking is.
            if let (Some(was), Some(is)) = (device(&pair[0]), device(&pair[1]))
                && was.0 == is.0
                && stated[0].method != Method::Drive
            {
                tell("device", &[was.1], &[is.1]);
                // Several contactors are enlarged together until a tested combination is found, one by more than it must: that each
                // is large enough for its motor is held elsewhere.
                if controllers(&pair[0]).len() == 1 {
                    tell("controller", &controllers(&pair[0]), &controllers(&pair[1]));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{} wrong:\n{}", wrong.len(), wrong[..wrong.len().min(6)].join("\n"));
    compared
}

#[test]
fn nec_more_horsepower_never_gets_a_smaller_conductor_device_or_controller() {
    let mut compared = 0;
    for (number, (method, _)) in Method::ALL.iter().enumerate() {
        for (at, supply) in SUPPLIES.iter().enumerate() {
            let kind = KINDS[(number + at) % KINDS.len()];
            // Within what the tables hold: beyond them the nameplate counts, which is the row's own.
            let known = |hp: &f64| tables::full_load(*hp, supply.0, supply.1).is_some();
            let rows: Vec<Row> = HORSEPOWER
                .into_iter()
                .filter(known)
                .map(|hp| Row {
                    family: if at % 2 == 0 { "nema" } else { "iec-frames" },
                    ..Row::plain(*method, hp, *supply, kind)
                })
                .collect();
            compared += ascending(rows, "horsepower", true);
        }
    }
    assert!(compared > 2000, "{compared}");
}

#[test]
fn nec_longer_and_hotter_runs_never_get_smaller_conductors() {
    let mut compared = 0;
    for (number, (method, _)) in Method::ALL.iter().enumerate() {
        for hp in [0.5, 7.5, 40.0, 125.0] {
            let supply = SUPPLIES[number % 2];
            let row = Row::plain(*method, hp, supply, KINDS[number % 3]);
            let longer = [10.0, 60.0, 150.0, 400.0, 900.0, 2500.0].map(|length_ft| Row { length_ft, ..row.clone() });
            compared += ascending(longer.to_vec(), "length", false);
            let short = Row { length_ft: 20.0, ..row };
            let hotter = [10.0, 25.0, 30.0, 31.0, 40.0, 47.0, 55.0, 63.0, 75.0].map(|air_c| Row { air_c, ..short.clone() });
            compared += ascending(hotter.to_vec(), "heat", false);
            let fuller = [1, 2, 3, 4, 7, 10, 20].map(|grouped| Row { grouped, ..short.clone() });
            compared += ascending(fuller.to_vec(), "company", false);
        }
    }
    assert!(compared > 800, "{compared}");
}

#[test]
fn nec_slash_rated_devices_stand_on_solidly_grounded_wye_systems_only() {
    let range = builtin("nec");
    let breaker = |part: &str| {
        range.branch_breakers.iter().find(|breaker| breaker.part == part).map(|breaker| breaker.voltage_rating.clone())
    };
    let contactor = |part: &str| {
        let contactor = range.contactors.iter().find(|contactor| part.starts_with(&format!("{}-", contactor.part)));
        contactor.and_then(|contactor| contactor.voltage_rating.clone())
    };
    let (mut on_wye, mut on_others) = (0, 0);
    for (volts, system, wye) in [
        (480, "480Y/277 4W solidly grounded", true),
        (480, "480 delta corner-grounded", false),
        (480, "480 delta ungrounded", false),
        (480, "480Y/277 high-resistance grounded", false),
        (600, "600Y/347 4W solidly grounded", true),
        (600, "600 delta ungrounded", false),
    ] {
        for family in ["nema", "iec-frames"] {
            let rows: Vec<Row> = HORSEPOWER
                .iter()
                .flat_map(|hp| {
                    ["inverse-time", "instantaneous"].map(|kind| {
                        let volts = if volts == 480 { 460 } else { 575 };
                        Row { family, ..Row::plain(Method::Direct, *hp, (volts, 3, "X"), kind) }
                    })
                })
                .collect();
            let basis = basis("2023", family, true)
                + &format!(
                    "[[board]]\nname = \"X\"\nvoltage_v = {volts}\nphases = 3\nsystem = \"{system}\"\nprospective_fault_ka = 14\n"
                );
            for circuit in design_of(&text(&rows), &basis).circuits {
                let device = circuit.protection.as_ref().and_then(|protection| breaker(&protection.part));
                let of_contactors = circuit.contactors.iter().filter_map(|chosen| contactor(&chosen.part));
                let slashed: Vec<String> =
                    device.into_iter().chain(of_contactors).filter(|device| device.contains('/')).collect();
                let said = circuit.checks.iter().any(|check| check.name == "voltage-rating" && check.passed != Some(true));
                assert!(wye || slashed.is_empty() || said, "{}: {slashed:?} on {system}", circuit.tag);
                if circuit.protection.is_some() {
                    *(if wye { &mut on_wye } else { &mut on_others }) += 1;
                }
            }
        }
    }
    assert!(on_wye > 100 && on_others > 100, "{on_wye} {on_others}");
    assert!(
        range.branch_breakers.iter().any(|branch_breaker| branch_breaker.voltage_rating.contains('/')),
        "the range has slash ratings"
    );
}

#[test]
fn nec_the_same_schedule_gives_the_same_bytes() {
    let rows: Vec<Row> = Method::ALL
        .iter()
        .zip(HORSEPOWER.iter().cycle().skip(3))
        .flat_map(|((method, _), hp)| SUPPLIES.map(|supply| Row::plain(*method, *hp, supply, KINDS[(*hp as usize) % 7])))
        .collect();
    let of = || serde_json::to_string(&design_of(&text(&rows), &basis("2023", "nema", true))).expect("JSON");
    assert!(of() == of());
}
