//! Hazards held over every starting method at once, through the public interface: what is written for a whole schedule is asked
//! the questions that a reviewer asks, without the code that chose it.

mod common;

use std::collections::BTreeMap;
use std::path::Path;

use common::{PLAIN, design, design_of, folder_with, run_in};
use motorwright::design::{Circuit, Design, Status};
use motorwright::finding::Severity;
use motorwright::load::Method;
use rstest::rstest;

/// Largest fault current at the board, kA.
const FAULT_KA: f64 = 20.0;

const BASIS: &str = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nfrequency_hz = 50\nphases = 3\nearthing = \"TN-S\"\n\
    prospective_fault_ka = 20\nprospective_fault_min_ka = 10\nx_over_r = 2\n";

/// Output, nameplate current and current at low speed of invented motors.
const MOTORS: [(f64, f64, f64); 6] =
    [(0.37, 1.1, 0.7), (4.0, 8.1, 4.9), (11.0, 20.8, 12.5), (55.0, 98.0, 59.0), (160.0, 276.0, 166.0), (315.0, 540.0, 324.0)];

/// Every method with every motor, protected by each kind of device.
fn every_method() -> Design {
    let mut text = "tag,rated_power_kw,full_load_current_a,full_load_current_low_a,rotor_current_a,efficiency_pct,power_factor,\
                    starting_method,motor_voltages,protection_kind,quantity,cable_length_m\n"
        .to_owned();
    let mut number = 0;
    for (_, method) in Method::ALL {
        for (power, current, low) in MOTORS {
            for kind in ["motor-breaker", "moulded-case", "gG", "aM"] {
                number += 1;
                let quantity = 1 + number % 3;
                text.push_str(&format!(
                    "T-{number},{power},{current},{low},{current},90,0.85,{method},400/690,{kind},{quantity},40\n"
                ));
            }
        }
    }
    let design = design_of(&text, BASIS);
    assert_eq!(design.circuits.len(), number, "one circuit a row");
    for status in [Status::Sized, Status::NeedsDecision] {
        assert!(design.circuits.iter().filter(|circuit| circuit.status == status).count() > 50, "{status:?}");
    }
    design
}

fn name(circuit: &Circuit) -> String {
    format!("{} ({}, {:?} A)", circuit.tag, circuit.load.starting_method.as_deref().unwrap_or(""), circuit.currents.nameplate_a)
}

#[test]
fn nothing_failed_unknown_or_warned_of_is_called_sized() {
    for circuit in every_method().circuits {
        let open = circuit.checks.iter().find(|check| check.passed != Some(true));
        let worst = circuit.findings.iter().map(|finding| finding.severity).find(|severity| *severity != Severity::Note);
        match circuit.status {
            Status::Sized => assert!(open.is_none() && worst.is_none(), "{}: {open:?} {worst:?}", name(&circuit)),
            Status::NeedsDecision => {
                assert!(open.is_some() || worst.is_some(), "{}: nothing says what to decide", name(&circuit));
            }
            Status::NotSized => {
                assert!(
                    circuit.findings.iter().any(|finding| finding.severity == Severity::Error),
                    "{}: no reason",
                    name(&circuit)
                );
            }
        }
        for check in &circuit.checks {
            assert_eq!(check.passed.is_none(), check.not_checked_because.is_some(), "{}: {check:?}", name(&circuit));
        }
    }
}

#[test]
fn no_device_and_no_cable_of_any_method_carries_more_than_its_rating() {
    let (mut contactors, mut runs, mut devices) = (0, 0, 0);
    for circuit in every_method().circuits {
        for contactor in circuit.contactors.iter().filter(|contactor| !contactor.part.is_empty()) {
            assert!(
                contactor.current_a <= contactor.rated_a * f64::from(contactor.poles_in_parallel) + 1e-9,
                "{}: {contactor:?}",
                name(&circuit)
            );
            contactors += 1;
        }
        for run in circuit.runs.iter().filter(|run| !run.phase_size.is_empty()) {
            assert!(run.required_a <= run.capacity_a + 1e-9, "{}: {run:?}", name(&circuit));
            runs += 1;
        }
        if let Some(protection) = circuit.protection.as_ref().filter(|protection| !protection.part.is_empty()) {
            assert!(protection.breaking_ka.is_some_and(|ka| ka >= FAULT_KA), "{}: {protection:?}", name(&circuit));
            devices += 1;
        }
    }
    assert!(contactors > 300 && runs > 300 && devices > 300, "{contactors} {runs} {devices}");
}

#[test]
fn no_setting_of_any_method_stands_above_the_current_that_it_protects() {
    let mut settings = 0;
    for circuit in every_method().circuits {
        let full = circuit.currents.full_load_a;
        let low = circuit.load.other.get("full_load_current_low_a").and_then(serde_json::Value::as_f64).expect("it was stated");
        // A motor-protective breaker before a relay of its own protects the line; what protects the motor is what is asked here.
        for overload in circuit.overloads.iter().filter(|overload| overload.role != "protection") {
            let most = if overload.position == "low" { low } else { full * overload.winding_factor };
            assert!(overload.setting_a <= most + 1e-9, "{}: {overload:?} above {most} A", name(&circuit));
            let [bottom, top] = overload.range_a;
            let chosen = !overload.part.is_empty() || overload.kind.starts_with("in-");
            assert!(
                !chosen || (bottom <= overload.setting_a + 1e-9 && overload.setting_a <= top + 1e-9),
                "{}: {overload:?}",
                name(&circuit)
            );
            settings += 1;
        }
    }
    assert!(settings > 300, "{settings}");
}

#[test]
fn the_purchase_list_holds_every_part_of_every_circuit_as_often_as_it_is_used() {
    common::bought::parts_are_bought(&every_method());
}

#[test]
fn more_inching_never_gets_a_smaller_contactor_and_the_wanted_life_is_reached() {
    let sized = |share: u32| {
        let design = design_of(
            &format!(
                "tag,rated_power_kw,full_load_current_a,efficiency_pct,power_factor,starting_method,protection_kind,cable_length_m,inching_share_pct,required_operations\n\
                 P-1,11,20.8,90,0.85,direct,gG,30,{share},500000\n"
            ),
            BASIS,
        );
        let contactor = design.circuits[0].contactors[0].clone();
        assert!(
            contactor.expected_operations.is_some_and(|life| life >= 500_000.0) || design.circuits[0].status != Status::Sized,
            "{share} %: {contactor:?}"
        );
        // Ratings of AC-3 and AC-4 can't be compared; places in the range can: it ascends.
        let range = &motorwright::catalogue::builtin("iec").contactors;
        assert!(range.windows(2).all(|pair| pair[0].load_rating_a() <= pair[1].load_rating_a()));
        range.iter().position(|one| contactor.part.starts_with(&format!("{}-", one.part))).expect("it is in the range")
    };
    let places: Vec<usize> = [0, 1, 5, 20, 50, 90, 100].map(sized).to_vec();
    assert!(places.is_sorted(), "{places:?}");
    assert!(places[0] < places[6], "inching asks for more: {places:?}");
}

#[rstest]
#[case::horsepower_in_the_column_of_kilowatts("rated_power_kw", "4 hp")]
#[case::grouped_thousands("rated_power_kw", "1,500")]
#[case::feet_in_the_column_of_metres("cable_length_m", "30 ft")]
#[case::efficiency_as_a_fraction("efficiency_pct", "0.88")]
#[case::power_factor_in_per_cent("power_factor", "82")]
fn a_value_of_another_unit_is_refused_at_its_cell(#[case] column: &str, #[case] text: &str) {
    let cells = [("rated_power_kw", "4"), ("efficiency_pct", "88"), ("power_factor", "0.82"), ("cable_length_m", "30")];
    let values: Vec<String> =
        cells.iter().map(|(name, value)| format!("\"{}\"", if *name == column { text } else { value })).collect();
    let headings: Vec<&str> = cells.iter().map(|(name, _)| *name).collect();
    let design = design_of(
        &format!("tag,full_load_current_a,starting_method,{}\nP-1,8.1,direct,{}\n", headings.join(","), values.join(",")),
        BASIS,
    );
    assert_eq!(design.circuits[0].status, Status::NotSized);
    let place =
        design.circuits[0].findings.iter().find_map(|finding| finding.place.clone().filter(|place| place.heading.is_some()));
    let place = place.expect("a place");
    assert_eq!((place.heading.as_deref(), place.text.as_deref()), (Some(column), Some(text)));
}

#[rstest]
#[case::unit_repeated("4 kW", "4")]
#[case::decimal_comma("5,5", "5.5")]
fn a_cell_that_can_only_mean_one_value_is_sized_as_that_value(#[case] text: &str, #[case] plain: &str) {
    let of = |power: &str| {
        let rows = format!("tag,full_load_current_a,starting_method,rated_power_kw\nP-1,11.2,direct,\"{power}\"\n");
        design_of(&rows, BASIS).circuits.swap_remove(0)
    };
    let (written, canonical) = (of(text), of(plain));
    assert_ne!(canonical.status, Status::NotSized);
    assert_eq!(written.status, canonical.status);
    assert_eq!(written.load.rated_power_kw, canonical.load.rated_power_kw);
}

#[test]
fn metres_and_feet_give_the_same_cable() {
    let of = |column: &str, length: f64| {
        design_of(
            &format!(
                "tag,rated_power_kw,full_load_current_a,starting_method,{column}\nP-1,11,20.8,direct,{length}\nP-2,55,98,direct,{length}\n"
            ),
            BASIS,
        )
        .circuits
        .into_iter()
        .map(|circuit| (circuit.runs[0].phase_size.clone(), (circuit.runs[0].length_m * 1000.0).round()))
        .collect::<Vec<_>>()
    };
    for metres in [12.0, 60.0, 150.0] {
        // 1 ft is 0.3048 m exactly: the international foot of 1959.
        assert_eq!(of("cable_length_m", metres), of("cable_length_ft", metres / 0.3048), "{metres} m");
    }
}

#[test]
fn metres_and_feet_that_contradict_each_other_are_said_and_the_longer_is_used() {
    let of = |metres: f64, feet: f64| {
        let text = format!(
            "tag,rated_power_kw,full_load_current_a,starting_method,protection_kind,cable_length_m,cable_length_ft\nP-1,11,20.8,direct,gG,{metres},{feet}\n"
        );
        let circuit = design_of(&text, BASIS).circuits.into_iter().next().expect("a circuit");
        let said = circuit.findings.iter().any(|finding| finding.severity == Severity::Warning && finding.what.contains("ft"));
        (circuit.runs[0].length_m, said, circuit.status)
    };
    let (length, said, status) = of(9.0, 300.0);
    assert!((length - 91.44).abs() < 1e-9 && said && status == Status::NeedsDecision, "{length} {said} {status:?}");
    let (length, said, _) = of(90.0, 30.0);
    assert!((length - 90.0).abs() < 1e-9 && said);
    let (length, said, _) = of(30.0, 98.4);
    assert!((length - 30.0).abs() < 0.1 && !said, "the same length rounded is no contradiction");
}

#[rstest]
#[case::watts_in_the_column_of_kilowatts("4000", "8.1", "400")]
#[case::milliamperes("4", "8100", "400")]
#[case::kilovolts("4", "8.1", "0.4")]
#[case::beyond_the_guide_table("900", "8.1", "400")]
fn power_current_and_voltage_that_do_not_belong_together_are_never_called_sized(
    #[case] power: &str,
    #[case] current: &str,
    #[case] voltage: &str,
) {
    let design = design_of(
        &format!(
            "tag,rated_power_kw,full_load_current_a,voltage_v,efficiency_pct,power_factor,starting_method,protection_kind,cable_length_m\n\
             P-1,{power},{current},{voltage},88.6,0.82,direct,gG,30\n"
        ),
        BASIS,
    );
    let circuit = &design.circuits[0];
    assert_ne!(circuit.status, Status::Sized);
    let said =
        circuit.findings.iter().find(|finding| finding.severity == Severity::Warning && finding.what.contains("nameplate"));
    assert!(said.is_some(), "{:?}", circuit.findings);
}

#[rstest]
#[case::fire_pump("service_class", "fire-pump")]
#[case::smoke_control("service_class", "smoke-control")]
#[case::lift("service_class", "elevator")]
#[case::crane("service_class", "crane")]
#[case::hospital("service_class", "healthcare-essential")]
#[case::unheard_of("service_class", "moon-base")]
#[case::explosive_place("environment", "hazardous")]
#[case::explosive_marking("ex_marking", "Ex eb IIC T3 Gb")]
#[case::stop_of_a_machine("emergency_stop", "category-0")]
#[case::safety_level("safety_level", "PL d")]
#[case::low_safety_level("safety_level", "category 1")]
#[case::medium_voltage("voltage_v", "6000")]
fn what_has_rules_of_its_own_is_never_called_sized(#[case] column: &str, #[case] text: &str) {
    let voltage = if column == "voltage_v" { "" } else { ",400" };
    let heading = if column == "voltage_v" { "" } else { ",voltage_v" };
    let of = |cell: &str| {
        let design = design_of(
            &format!(
                "tag,rated_power_kw,full_load_current_a,efficiency_pct,power_factor,starting_method,protection_kind,cable_length_m,{column}{heading}\n\
                 P-1,4,8.1,88.6,0.82,direct,gG,30,{cell}{voltage}\n"
            ),
            BASIS,
        );
        design.circuits.into_iter().next().expect("a circuit")
    };
    let plain = if column == "voltage_v" { "400" } else { "" };
    assert_eq!(of(plain).status, Status::Sized, "without it the row is sized");
    let circuit = of(text);
    assert_ne!(circuit.status, Status::Sized);
    let said = |finding: &&motorwright::finding::Finding| finding.severity != Severity::Note && !finding.cure.is_empty();
    assert!(circuit.findings.iter().any(|finding| said(&finding)), "{:?}", circuit.findings);
}

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = std::fs::read_dir(folder)
        .expect("a folder")
        .flatten()
        .map(|entry| entry.file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    names
}

#[rstest]
#[case("schedule.xlsx")]
#[case("submittal.html")]
#[case("purchase-list.csv")]
#[case("design.json")]
fn what_stands_in_the_way_of_one_file_leaves_the_others_as_they_were(#[case] blocked: &str) {
    let folder = folder_with("loads.csv", PLAIN.as_bytes());
    let arguments = ["size", "loads.csv", "--rules", "iec", "--out", "out"];
    assert_eq!(run_in(folder.path(), &arguments).status, 0);
    let out = folder.path().join("out");
    std::fs::remove_file(out.join(blocked)).expect("it is there");
    std::fs::create_dir(out.join(blocked)).expect("a folder");
    let contents = || {
        names(&out)
            .into_iter()
            .filter(|name| name != blocked)
            .map(|name| std::fs::read(out.join(name)).expect("a file"))
            .collect::<Vec<_>>()
    };
    let before = (names(&out), contents());
    std::fs::write(folder.path().join("loads.csv"), PLAIN.replace("P-1", "P-77")).expect("a file");
    let run = run_in(folder.path(), &arguments);
    assert_eq!(run.status, 2, "{}{}", run.stdout, run.stderr);
    assert!(run.stderr.contains(blocked), "{}", run.stderr);
    assert!(before == (names(&out), contents()), "nothing of the new set, nothing staged");
}

#[test]
fn outputs_name_the_hash_of_every_input() {
    let folder = folder_with("loads.csv", PLAIN.as_bytes());
    std::fs::write(folder.path().join("basis.toml"), BASIS).expect("a file");
    let run = run_in(folder.path(), &["size", "loads.csv", "--basis", "basis.toml", "--out", "out"]);
    assert_eq!(run.status, 0, "{}{}", run.stdout, run.stderr);
    let json = design(&folder.path().join("out"));
    let inputs = json["inputs"].as_array().expect("inputs");
    assert_eq!(inputs.len(), 2);
    for input in inputs {
        use sha2::{Digest, Sha256};
        let bytes = std::fs::read(folder.path().join(input["file"].as_str().expect("a name"))).expect("the file");
        let hash: String = Sha256::digest(&bytes).iter().map(|byte| format!("{byte:02x}")).collect();
        assert_eq!(input["sha256"].as_str(), Some(hash.as_str()));
    }
}

#[test]
fn the_parts_of_a_circuit_have_every_key_of_the_contract() {
    let folder = tempfile::tempdir().expect("a folder");
    let (schedule, basis) = common::example();
    run_in(folder.path(), &["size", &schedule.to_string_lossy(), "--basis", &basis.to_string_lossy(), "--out", "out"]);
    let json = design(&folder.path().join("out"));
    let lists: [(&str, &[&str]); 4] = [
        ("accessories", &["kind", "part", "quantity", "serves", "no", "nc", "low_level", "mirror", "setting", "why"]),
        ("parts", &["part", "description", "quantity"]),
        ("working", &["quantity", "formula", "with_numbers", "value", "unit", "reference"]),
        ("findings", &["code", "severity", "place", "what", "why", "cure", "reference"]),
    ];
    let objects: [(&str, &[&str]); 6] = [
        ("place", &["file", "sheet", "row"]),
        ("control", &["coil_voltage", "pick_up_va", "hold_va", "driven_by", "interposing_relay"]),
        ("disconnect", &["kind", "category", "rating_a", "rating_hp", "location", "lockable", "part"]),
        ("fault", &["board_max_ka", "terminal_max_ka", "terminal_min_ka", "terminal_single_phase_min_ka", "peak_ka"]),
        ("overload", &["kind", "trip_class", "range_a", "setting_a", "part"]),
        (
            "conductors",
            &[
                "phase_size",
                "phase_area_mm2",
                "per_phase",
                "neutral_size",
                "protective_size",
                "material",
                "insulation",
                "capacity_a",
                "required_a",
                "governed_by",
                "criteria",
                "raceway",
            ],
        ),
    ];
    let mut seen: BTreeMap<&str, usize> = BTreeMap::new();
    let mut has = |of: &'static str, value: &serde_json::Value, keys: &[&str]| {
        for key in keys {
            assert!(value.get(key).is_some(), "{of}.{key}");
        }
        *seen.entry(of).or_default() += 1;
    };
    for circuit in json["circuits"].as_array().expect("circuits") {
        for (of, keys) in lists {
            for value in circuit[of].as_array().expect("a list") {
                has(of, value, keys);
            }
        }
        for (of, keys) in objects {
            if !circuit[of].is_null() {
                has(of, &circuit[of], keys);
            }
        }
        // The first of each list stands alone too.
        let first = |list: &str| circuit[list].get(0).cloned().unwrap_or(serde_json::Value::Null);
        assert_eq!(circuit["overload"], first("overloads"), "{}", circuit["tag"]);
        let supply = circuit["runs"].as_array().expect("runs").iter().find(|value| value["role"] == "supply").cloned();
        assert_eq!(circuit["conductors"], supply.unwrap_or_else(|| first("runs")), "{}", circuit["tag"]);
    }
    let purchase = &json["purchase"];
    for line in purchase.as_array().expect("purchase") {
        has("purchase", line, &["part", "description", "quantity", "unit", "unit_price", "status", "used_by"]);
    }
    assert_eq!(seen.len(), 11, "every kind occurs in the example: {seen:?}");
}

/// Every member of a workbook that is a sheet.
fn sheets(bytes: Vec<u8>) -> Vec<String> {
    let mut archive = zip::ZipArchive::new(std::io::Cursor::new(bytes)).expect("a container");
    let names: Vec<String> = archive
        .file_names()
        .map(|file_name| file_name.expect("a name").into_owned())
        .filter(|name| name.starts_with("xl/worksheets/sheet"))
        .collect();
    names.iter().map(|name| std::io::read_to_string(archive.by_name(name).expect("a member")).expect("text")).collect()
}

#[test]
fn every_sheet_and_every_answer_says_that_the_range_is_not_for_procurement() {
    let folder = folder_with("loads.csv", PLAIN.as_bytes());
    let of = |arguments: &[&str]| run_in(folder.path(), arguments);
    assert_eq!(of(&["size", "loads.csv", "--rules", "iec", "--out", "out"]).status, 0);
    let sheets = sheets(std::fs::read(folder.path().join("out/schedule.xlsx")).expect("the workbook"));
    assert!(sheets.len() >= 8, "{}", sheets.len());
    assert!(sheets.iter().all(|sheet| sheet.contains("not for procurement")));
    for arguments in [
        &["check", "loads.csv", "--rules", "iec"][..],
        &["explain", "loads.csv", "P-1", "--rules", "iec"],
        &["catalogue", "show", "contactors"],
    ] {
        assert!(of(arguments).stdout.contains("not for procurement"), "{arguments:?}");
    }
}

#[test]
fn no_colour_wins_over_forced_colour() {
    let folder = folder_with("loads.csv", PLAIN.as_bytes());
    let of = |no_colour: bool| {
        let mut command = assert_cmd::Command::cargo_bin("motorwright").expect("the program");
        command.current_dir(folder.path()).args(["check", "loads.csv", "--rules", "iec"]).env("CLICOLOR_FORCE", "1");
        if no_colour {
            command.env("NO_COLOR", "1");
        } else {
            command.env_remove("NO_COLOR");
        }
        String::from_utf8(command.output().expect("it runs").stdout).expect("text")
    };
    assert!(of(false).contains('\u{1b}'), "forced colour is colour: else this test says nothing");
    assert!(!of(true).contains('\u{1b}'));
}
