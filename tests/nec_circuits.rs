//! Motor circuits after NFPA 70 as an auditor and an estimator worked them by hand. Expected values stand in the clause that is named, or are
//! its arithmetic.

mod common;

use common::design_of;
use motorwright::design::{Check, Circuit, Status};

const BASIS: &str = "[rules]\nbook = \"nec\"\n[supply]\nvoltage_v = 480\nphases = 3\nfrequency_hz = 60\n\
    system = \"480Y/277 4W solidly grounded\"\nprospective_fault_ka = 22\nprospective_fault_min_ka = 15\nx_over_r = 4\n\
    [design]\ntermination_c = 75\n";

/// The circuit of one row; cells with a comma are quoted.
fn circuit_by(basis: &str, cells: &[(&str, &str)]) -> Circuit {
    let (heads, values): (Vec<&str>, Vec<String>) =
        [("tag", "M-1")].iter().chain(cells).map(|(head, value)| (*head, format!("\"{value}\""))).unzip();
    design_of(&format!("{}\n{}\n", heads.join(","), values.join(",")), basis).circuits.remove(0)
}

/// A three-phase motor at 460 V with a service factor of 1.15, started direct over 30 ft.
fn motor_by(basis: &str, more: &[(&'static str, &'static str)]) -> Circuit {
    let usual = [
        ("voltage_v", "460"),
        ("phases", "3"),
        ("starting_method", "direct"),
        ("cable_length_ft", "30"),
        ("service_factor", "1.15"),
    ];
    let kept = usual.into_iter().filter(|(name, _)| more.iter().all(|(heading, _)| heading != name));
    circuit_by(basis, &kept.chain(more.iter().copied()).collect::<Vec<_>>())
}

fn motor(more: &[(&'static str, &'static str)]) -> Circuit {
    motor_by(BASIS, more)
}

fn has(circuit: &Circuit, code: &str) -> bool {
    circuit.findings.iter().any(|finding| finding.code == code)
}

/// What a finding says, with its reason and cure; empty without it.
fn words(circuit: &Circuit, code: &str) -> String {
    let found = circuit.findings.iter().filter(|finding| finding.code == code);
    found.map(|finding| format!("{} {} {}", finding.what, finding.why, finding.cure)).collect::<Vec<_>>().join("; ")
}

fn check<'a>(circuit: &'a Circuit, name: &str) -> &'a Check {
    circuit.checks.iter().find(|check| check.name == name).unwrap_or_else(|| panic!("no check {name}: {:?}", circuit.findings))
}

fn near(value: f64, expected: f64) -> bool {
    (value - expected).abs() < 1e-6
}

/// The demonstration range in a folder, one file of which lacks a column.
fn catalogue_without(file: &str, column: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    for entry in std::fs::read_dir(common::root().join("src/catalogue/generic-nec")).expect("the range") {
        let path = entry.expect("a file").path();
        let name = path.file_name().expect("a name").to_owned();
        std::fs::copy(&path, folder.path().join(name)).expect("a copy");
    }
    let path = folder.path().join(file);
    let text = std::fs::read_to_string(&path).expect("the file");
    let heads = text.lines().find(|line| line.starts_with("part,")).expect("headings");
    let last = heads.rsplit(',').next();
    assert_eq!(last, Some(column), "the last column of {file}");
    let cut =
        |line: &str| if line.starts_with('#') { line.to_owned() } else { line.rsplit_once(',').expect("cells").0.to_owned() };
    std::fs::write(&path, text.lines().map(|line| cut(line) + "\n").collect::<String>()).expect("written");
    folder
}

/// 430.22(E) serves a machine that cannot run on, with its time rating; else 125 % of the 21 A of Table 430.250 stay, 26.25 A, which asks
/// 10 AWG (30 A by 240.4(D) and Table 310.16). The nameplate of 17 A at 140 % would be 23.8 A. S6 to S8 never rest (IEC 60034-1, 4.2).
#[test]
fn a_duty_without_its_time_rating_makes_no_conductor_smaller_than_continuous_duty() {
    let by = |duty: &'static str| motor(&[("rated_power_hp", "15"), ("full_load_current_a", "17"), ("duty", duty)]);
    for (duty, told) in [("intermittent", true), ("periodic", true), ("S3 40 %", true), ("S6 60 %", false), ("S8", false)] {
        let circuit = by(duty);
        let run = circuit.conductors.as_ref().expect("conductors");
        assert!(near(run.required_a, 26.25), "{duty}: {}", run.required_a);
        assert_eq!((run.phase_size.as_str(), has(&circuit, "R212")), ("10 AWG", told), "{duty}");
    }
    // Table 430.22(E), intermittent, 30 minutes: 90 % of 17 A; periodic, 15 minutes: 90 %; varying, without a rating: 200 %.
    for (duty, amperes) in [("intermittent 30 min", 15.3), ("periodic 15 min", 15.3), ("varying", 34.0)] {
        let run = by(duty).conductors.expect("conductors");
        assert!(near(run.required_a, amperes), "{duty}: {}", run.required_a);
    }
}

/// 430.32(A)(1): 115 % of 114 A is 131.1 A. A device of which nobody states where it trips is taken to trip at 1.25 of its setting, which may
/// then be 104.88 A at most; at 1.05 of that it carries 110.1 A (UL 60947-4-1, Table 3, from memory), less than the motor's 114 A.
#[test]
fn an_overload_setting_at_which_the_motor_may_trip_at_its_nameplate_current_waits() {
    let cells = [
        ("rated_power_hp", "100"),
        ("full_load_current_a", "114"),
        ("service_factor", "1.0"),
        ("starting_method", "soft-starter"),
    ];
    let range = catalogue_without("soft_starters.csv", "ultimate_trip_factor");
    let basis = format!("{BASIS}[catalogue]\nfolder = \"{}\"\n", range.path().display());
    let low = motor_by(&basis, &cells);
    let carried = check(&low, "carried-without-trip");
    assert_eq!(carried.passed, Some(false), "{carried:?}");
    assert!(
        carried.value.is_some_and(|value| value < 110.2) && carried.limit.is_some_and(|limit| near(limit, 114.0)),
        "{carried:?}"
    );
    assert!(low.status != Status::Sized && words(&low, "C101").contains("service_factor"), "{}", words(&low, "C101"));
    // One that trips at 1.15 of its setting is set to 114 A and trips at 131.1 A; with a service factor of 1.15 125 % are admitted.
    let near_its_setting = motor(&cells);
    assert_eq!(near_its_setting.overloads[0].setting_a, 114.0);
    assert_eq!(check(&near_its_setting, "carried-without-trip").passed, Some(true));
    let reserve =
        motor_by(&basis, &[("rated_power_hp", "100"), ("full_load_current_a", "114"), ("starting_method", "soft-starter")]);
    assert_eq!((reserve.overloads[0].setting_a, check(&reserve, "carried-without-trip").passed), (114.0, Some(true)));
}
