//! Nonsense under the NEC book never ends in a panic, never loses a row, never gives a number without end, and is never called
//! sized with something open.

mod common;
#[path = "nec_guards/schedule.rs"]
#[allow(dead_code)] // a part is used here
mod schedule;
#[path = "nec_guards/tables.rs"]
#[allow(dead_code)] // a part is used here
mod tables;

use common::design_of;
use motorwright::design::{Design, Status};
use motorwright::finding::Severity;
use motorwright::load::Method;
use schedule::basis;

/// Columns with what might stand in them: usual values, extremes, words of nobody.
const COLUMNS: [(&str, &[&str]); 40] = [
    ("rated_power_hp", &["10", "1/4", "0.01", "7-1/2", "10000", "0.000001", "100000", "33", "", "6-1/4"]),
    ("rated_power_kw", &["", "", "", "0.001", "11", "90000"]),
    ("voltage_v", &["460", "208", "115", "230", "575", "200", "480", "1", "0.000001", "440", "400", "1000", "1001", "99999", ""]),
    ("phases", &["3", "1", "2", ""]),
    ("frequency_hz", &["60", "50", "400", "0.000001", ""]),
    ("load_kind", &["motor", "motor", "motor", "heater", "packaged", "transformer", "capacitor", "lighting", "other", ""]),
    ("full_load_current_a", &["", "14", "0.000001", "100000", "590", "47.8"]),
    ("full_load_current_low_a", &["", "5", "0.000001", "100000"]),
    ("rated_power_low_hp", &["", "5", "0.01", "100000"]),
    ("efficiency_pct", &["", "90", "1", "100"]),
    ("power_factor", &["", "0.85", "0.01", "1"]),
    ("efficiency_class", &["", "NEMA-premium", "IE5"]),
    ("design_letter", &["", "A", "B", "D", "Z", "??"]),
    ("locked_rotor_code", &["", "G", "A", "V", "Code G", "kVA code L", "I"]),
    ("locked_rotor_ratio", &["", "6", "1", "20"]),
    ("service_factor", &["", "1.15", "0.5", "2", "1"]),
    ("temperature_rise_c", &["", "40", "300", "0.000001"]),
    ("start_time_s", &["", "3", "3600", "0.000001"]),
    ("rotor_current_a", &["", "62", "100000", "0.000001"]),
    ("rotor_voltage_v", &["", "240", "0.000001", "100000"]),
    ("tap_pct", &["", "65", "10", "95"]),
    ("start_current_limit", &["", "3", "1", "10"]),
    ("drive_input_current_a", &["", "30", "0.000001", "100000"]),
    ("minimum_circuit_ampacity_a", &["", "52.5", "0.000001", "100000"]),
    ("maximum_protection_a", &["", "70", "0.5", "14", "63", "100000", "0.000001"]),
    ("maximum_protection_kind", &["", "fuse", "fuse-or-breaker"]),
    ("equipment_sccr_ka", &["", "5", "0.000001", "1000"]),
    ("cable_length_ft", &["50", "0", "1", "300000", "2500", ""]),
    ("supply_length_m", &["", "", "0", "12", "100000"]),
    ("ambient_c", &["30", "", "119", "-50", "120", "55", "85.5"]),
    ("grouped_circuits", &["1", "", "1000", "3"]),
    ("conductor", &["", "copper", "aluminium"]),
    ("insulation", &["", "THWN-2", "xhhw-2", "TW", "RHW-2", "pvc", "no such"]),
    ("installation_method", &["emt", "", "rmc", "pvc-80", "fmc", "lfmc+emt", "tray", "B2", "??"]),
    ("location", &["dry", "wet", "rooftop", ""]),
    (
        "protection_kind",
        &["inverse-time", "", "class-J", "class-CC", "instantaneous", "non-time-delay", "dual-element", "gG", "what"],
    ),
    ("starts_per_hour", &["", "10000", "0", "12"]),
    ("duty", &["", "S1", "S2 5 min", "S3 999 min", "S99", "varying"]),
    ("inching_share_pct", &["", "0", "100", "5"]),
    ("motor_voltages", &["", "460/797", "230/460", "x"]),
];

/// A fixed series of numbers: the same schedule on every machine.
struct Series(u64);

impl Series {
    fn below(&mut self, end: usize) -> usize {
        // Knuth's constants of a linear congruential series; the upper half is the better one.
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        usize::try_from((self.0 >> 33) % end as u64).expect("it is small")
    }
}

fn head() -> String {
    let names: Vec<&str> = COLUMNS.iter().map(|(name, _)| *name).collect();
    format!("tag,board,quantity,reversing,bypass,starting_method,{}\n", names.join(","))
}

fn schedule(seed: u64, rows: usize) -> String {
    let mut series = Series(seed);
    let mut text = head();
    for number in 0..rows {
        let method = Method::ALL[series.below(Method::ALL.len())].1;
        let board = ["M480", "L208", "D240", "M600", "", "NOWHERE"][series.below(6)];
        let yes = ["yes", "no", ""];
        let (reversing, bypass) = (yes[series.below(3)], yes[series.below(3)]);
        // Every other row is nearly ordinary: else the first wrong cell would hide what the others do.
        let wild = number % 2 == 0;
        let cells: Vec<&str> = COLUMNS
            .iter()
            .map(|(_, values)| values[if wild || series.below(6) == 0 { series.below(values.len()) } else { 0 }])
            .collect();
        text.push_str(&format!("R-{number},{board},{},{reversing},{bypass},{method},{}\n", 1 + series.below(3), cells.join(",")));
    }
    text
}

fn holds(design: &Design, rows: usize) -> [usize; 3] {
    let mut counts = [0; 3];
    assert_eq!(design.circuits.len(), rows, "one circuit a row");
    for (number, circuit) in design.circuits.iter().enumerate() {
        let tag = &circuit.tag;
        assert_eq!(*tag, format!("R-{number}"));
        counts[circuit.status as usize] += 1;
        let open = circuit.checks.iter().any(|check| check.passed != Some(true));
        let warned = circuit.findings.iter().any(|finding| finding.severity != Severity::Note);
        assert!(circuit.status != Status::Sized || !open && !warned, "{tag}: sized with something open");
        assert!(circuit.status == Status::Sized || open || warned, "{tag}: nothing says what to decide");
        assert!(circuit.findings.iter().all(|finding| !finding.cure.is_empty()), "{tag}: {:?}", circuit.findings);
        for run in &circuit.runs {
            assert!(run.capacity_a.is_finite() && run.required_a.is_finite() && run.required_a >= 0.0, "{tag}: {run:?}");
            assert!(
                run.phase_size.is_empty() || circuit.status != Status::Sized || run.required_a <= run.capacity_a + 1e-3,
                "{tag}: {run:?}"
            );
        }
        if let Some(protection) = &circuit.protection {
            assert!(protection.rating_a.is_finite() && protection.rating_a >= 0.0, "{tag}: {protection:?}");
            let marked = circuit.load.other.get("maximum_protection_a").and_then(serde_json::Value::as_f64);
            let packaged = circuit.load.kind == "packaged";
            assert!(
                !packaged || protection.part.is_empty() || marked.is_none_or(|most| protection.rating_a <= most + 1e-6),
                "{tag}: {protection:?} above {marked:?}"
            );
        }
        for overload in &circuit.overloads {
            assert!(overload.setting_a.is_finite() && overload.setting_a >= 0.0, "{tag}: {overload:?}");
        }
        for check in &circuit.checks {
            assert!(!check.reference.is_empty(), "{tag}: {check:?}");
        }
    }
    // A figure that can't be written as JSON would be null there, which the program could not read again.
    let json = serde_json::to_string(design).expect("it is written");
    let again: Design = serde_json::from_str(&json).expect("it is read again");
    assert_eq!(again.circuits.len(), rows);
    counts
}

#[test]
fn nec_random_schedules_end_without_panic_and_every_row_is_kept() {
    let mut all = [0; 3];
    for (seed, edition, family) in [(1, "2023", "nema"), (2, "2020", "iec-frames"), (3, "2017", "nema")] {
        let counts = holds(&design_of(&schedule(seed, 1000), &basis(edition, family, seed != 2)), 1000);
        for (sum, count) in all.iter_mut().zip(counts) {
            *sum += count;
        }
    }
    assert!(all.iter().all(|count| *count > 10), "every state occurs: {all:?}");
}

#[test]
fn nec_extreme_rows_are_never_called_sized() {
    let row = |cells: &[(&str, &str)]| {
        let of = |name: &str, usual: &str| {
            cells.iter().find(|(heading, _)| *heading == name).map_or(usual.to_owned(), |(_, text)| (*text).to_owned())
        };
        let values: Vec<String> = COLUMNS
            .iter()
            .map(|(name, _)| {
                of(
                    name,
                    match *name {
                        "rated_power_hp" => "10",
                        "voltage_v" => "460",
                        "phases" => "3",
                        "service_factor" => "1.15",
                        "full_load_current_a" => "13",
                        "cable_length_ft" => "50",
                        "installation_method" => "emt",
                        _ => "",
                    },
                )
            })
            .collect();
        format!("R-0,M480,1,no,no,direct,{}\n", values.join(","))
    };
    let of = |cells: &[(&str, &str)]| design_of(&(head() + &row(cells)), &basis("2023", "nema", true)).circuits.remove(0);
    let plain = of(&[]);
    assert_eq!(plain.status, Status::Sized, "without nonsense it is sized: {:?}", plain.findings);
    for cells in [
        &[("rated_power_hp", "10000")][..],
        &[("voltage_v", "1")],
        &[("voltage_v", "99999")],
        &[("voltage_v", "400")],
        &[("ambient_c", "119")],
        &[("grouped_circuits", "1000")],
        &[("cable_length_ft", "300000")],
        &[("full_load_current_a", "100000")],
        &[("full_load_current_a", "0.000001")],
        &[("insulation", "no such")],
        &[("installation_method", "tray")],
        &[("installation_method", "B2")],
        &[("protection_kind", "what")],
        &[("protection_kind", "gG")],
        &[("start_time_s", "3600")],
        &[("phases", "1")],
        &[("phases", "2")],
    ] {
        let circuit = of(cells);
        assert_ne!(circuit.status, Status::Sized, "{cells:?}");
        let said = circuit.findings.iter().any(|finding| finding.severity != Severity::Note && !finding.cure.is_empty());
        assert!(said || circuit.checks.iter().any(|check| check.passed.is_none()), "{cells:?}: {:?}", circuit.findings);
    }
}
