//! Several equal motors behind one starter, as a user meets them. Expected values are worked out by hand from IEC 60204-1, 7.3 (a relay
//! for each motor), IEC 60947-4-1 (AC-3 and start of the sum), IEC 60364-5-52 (B.52.4, B.52.17) and IEC 60228 (resistances).

mod common;

use calamine::{Data, Reader, Xlsx};
use common::{design, design_of, folder_with, run_in};
use motorwright::catalogue;
use motorwright::design::{Board, Circuit, Design, Run, Status, Verdict};
use motorwright::project::{self, Options};
use motorwright::rules;
use motorwright::verify::Verifier;
use rstest::rstest;

const BASIS: &str = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nfrequency_hz = 50\nphases = 3\nearthing = \"TN-S\"\n\
    prospective_fault_ka = 15\nprospective_fault_min_ka = 8\nx_over_r = 2\n[design]\nambient_c = 30\n[[board]]\nname = \"MCC-1\"\n";

/// One motor of 7.5 kW: 14.3 A, seven times as much while it starts for 3 s; 40 m of cable.
const FAN: &[(&str, &str)] = &[
    ("tag", "EF-1"),
    ("description", "Exhaust fans"),
    ("board", "MCC-1"),
    ("rated_power_kw", "7.5"),
    ("voltage_v", "400"),
    ("phases", "3"),
    ("full_load_current_a", "14.3"),
    ("power_factor", "0.84"),
    ("efficiency_pct", "90.1"),
    ("locked_rotor_ratio", "7"),
    ("starting_power_factor", "0.5"),
    ("start_time_s", "3"),
    ("starting_method", "direct"),
    ("cable_length_m", "40"),
];

/// A schedule of rows, each the fan with other cells.
fn schedule(rows: &[&[(&str, &str)]]) -> String {
    let names = FAN.iter().map(|cell| cell.0).chain(rows.iter().flat_map(|row| row.iter().map(|cell| cell.0)));
    let mut columns: Vec<&str> = Vec::new();
    for name in names {
        if !columns.contains(&name) {
            columns.push(name);
        }
    }
    let cell = |row: &[(&str, &str)], name: &str| {
        let found = row.iter().chain(FAN).find(|cell| cell.0 == name);
        found.map_or_else(String::new, |cell| cell.1.to_owned())
    };
    let lines = rows.iter().map(|row| columns.iter().map(|name| cell(row, name)).collect::<Vec<_>>().join(","));
    std::iter::once(columns.join(",")).chain(lines).map(|line| line + "\n").collect()
}

fn sized(cells: &[(&str, &str)]) -> Design {
    design_of(&schedule(&[cells]), BASIS)
}

fn circuit(cells: &[(&str, &str)]) -> Circuit {
    sized(cells).circuits.remove(0)
}

fn told(circuit: &Circuit, code: &str) -> bool {
    circuit.findings.iter().any(|finding| finding.code == code)
}

fn runs<'c>(circuit: &'c Circuit, role: &str) -> Vec<&'c Run> {
    circuit.runs.iter().filter(|run| run.role == role).collect()
}

fn check(circuit: &Circuit, name: &str, subject: &str) -> (f64, f64) {
    let check = circuit.checks.iter().find(|check| check.name == name && check.subject == subject);
    let check = check.unwrap_or_else(|| panic!("{name} {subject}: {:#?}", circuit.checks));
    (check.value.expect("a value"), check.limit.expect("a limit"))
}

/// Pieces or metres of a part whose number begins so.
fn bought(circuit: &Circuit, begins: &str) -> f64 {
    circuit.parts.iter().filter(|part| part.part.starts_with(begins)).map(|part| part.quantity).sum()
}

/// Ω/km at 20 °C of a copper conductor (IEC 60228, Table 2), and A of three loaded ones with PVC in conduit on a wall (B.52.4, B2).
fn copper(mm2: f64) -> (f64, f64) {
    let table =
        [(1.5, 12.1, 15.0), (2.5, 7.41, 20.0), (4.0, 4.61, 27.0), (6.0, 3.08, 34.0), (10.0, 1.83, 46.0), (16.0, 1.15, 62.0)];
    let table = table.iter().find(|table| (table.0 - mm2).abs() < 1e-9).expect("a size of the table");
    (table.1, table.2)
}

/// Voltage drop of a run at 70 °C, per cent of 400 V: √3 I l (R cosφ + X sinφ), X of 0.08 mΩ/m (IEC 60364-5-52, Annex G).
fn drop(mm2: f64, metres: f64, amperes: f64) -> f64 {
    let (at_20, _) = copper(mm2);
    let (cosine, sine) = (0.84, (1.0_f64 - 0.84 * 0.84).sqrt());
    let ohms = |of_km: f64| of_km * metres / 1000.0;
    let across = ohms(at_20 * (1.0 + 0.00393 * 50.0)) * cosine + ohms(0.08) * sine;
    100.0 * 3f64.sqrt() * amperes * across / 400.0
}

const TWIN: &[(&str, &str)] = &[("tag", "EF-1A/B"), ("motors_per_starter", "2"), ("isolator", "yes"), ("thermistor", "yes")];

#[test]
fn the_starter_carries_the_sum_and_each_motor_has_relay_run_and_isolator_of_its_own() {
    let circuit = circuit(TWIN);
    assert_eq!((circuit.status, circuit.quantity, circuit.motors), (Status::Sized, 1, 2), "{:#?}", circuit.findings);
    // 2 × 14.3 A; 7 × 28.6 A while starting.
    assert_eq!(
        (circuit.currents.full_load_a, circuit.currents.nameplate_a, circuit.currents.starting_a),
        (28.6, Some(14.3), 200.2)
    );
    let contactor = &circuit.contactors[0];
    assert!(contactor.category == "AC-3" && contactor.current_a == 28.6 && contactor.rated_a >= 28.6, "{contactor:?}");
    let device = circuit.protection.as_ref().expect("a protective device");
    assert!(device.kind == "moulded-case" && device.rating_a >= 28.6, "{device:?}");
    assert!(device.magnetic_min_a.expect("a magnetic trip") >= 200.2, "it rides through the start of both: {device:?}");
    assert_eq!(device.coordination, "not-claimed");

    // One relay a motor: not above 14.3 A, and not a step of its dial below.
    let [relay] = circuit.overloads.as_slice() else { panic!("{:?}", circuit.overloads) };
    assert_eq!((relay.role.as_str(), relay.position.as_str(), relay.count), ("motor", "motor", 2));
    assert!(relay.range_a[0] <= 14.3 && 14.3 <= relay.range_a[1], "{relay:?}");
    assert!(relay.setting_a <= 14.3 && relay.setting_a > 14.3 - 0.25, "{relay:?}");
    assert_eq!(bought(&circuit, &relay.part), 2.0);
    let bases = circuit
        .accessories
        .iter()
        .filter(|accessory| accessory.kind == "relay-base")
        .map(|accessory| accessory.quantity)
        .sum::<u32>();
    assert_eq!(bases, 2, "they do not stand on the contactor");

    // Two runs of 40 m for 14.3 A each, which warm each other: 0.80 for two circuits (B.52.17).
    let [motor] = runs(&circuit, "motor")[..] else { panic!("{:?}", circuit.runs) };
    assert_eq!((motor.count, motor.length_m, motor.required_a), (2, 40.0, 14.3));
    assert!((motor.capacity_a - 0.8 * copper(motor.phase_area_mm2).1).abs() < 1e-6, "{motor:?}");
    assert_eq!(bought(&circuit, &motor.part), 80.0);
    let (value, _) = check(&circuit, "running-voltage-drop", "motor run");
    assert!((value - drop(motor.phase_area_mm2, 40.0, 14.3)).abs() < 2e-3, "{value}");

    let isolator = circuit.disconnect.as_ref().expect("an isolator");
    assert!(isolator.count == 2 && isolator.rating_a.expect("a rating") >= 14.3, "{isolator:?}");
    assert_eq!(bought(&circuit, &isolator.part), 2.0);
    // Thermistors of either winding on a loop, a cable and a relay of its own.
    let thermistors = circuit
        .accessories
        .iter()
        .filter(|accessory| accessory.kind == "thermistor-relay")
        .map(|accessory| accessory.quantity)
        .sum::<u32>();
    assert_eq!(thermistors, 2);
    assert_eq!(runs(&circuit, "control").iter().map(|run| run.count).collect::<Vec<_>>(), [2]);
    assert!(told(&circuit, "C219") && !told(&circuit, "L413") && !told(&circuit, "L406"));
}

/// Each motor has an isolator of its own, so two are asked for where the catalogue holds none; the trial apart from the choice says the
/// same.
#[test]
fn isolators_that_no_catalogue_holds_are_asked_for_one_for_each_motor() {
    let folder = folder_with("loads.csv", schedule(&[TWIN]).as_bytes());
    std::fs::write(folder.path().join("basis.toml"), BASIS).expect("a file");
    let range = folder.path().join("range");
    std::fs::create_dir(&range).expect("a folder");
    for (name, text) in catalogue::export("iec") {
        let kept = text.lines().filter(|line| name != "isolators.csv" || !line.starts_with("GEN-"));
        std::fs::write(range.join(&name), kept.map(|line| format!("{line}\n")).collect::<String>()).expect("a file");
    }
    let options = Options {
        schedule: folder.path().join("loads.csv"),
        basis: Some(folder.path().join("basis.toml")),
        catalogue: Some(range.clone()),
        ..Options::default()
    };
    let design = project::open(&options).expect("it opens").design();
    let circuit = &design.circuits[0];
    assert!(told(circuit, "C404") && circuit.disconnect.is_none(), "{:#?}", circuit.findings);
    let asked = circuit.parts.iter().find(|part| part.description.starts_with("local isolator for 14.3 A")).expect("a line");
    assert_eq!((asked.part.as_str(), asked.quantity), ("", 2.0));
    let range = catalogue::from_folder(&range, "iec").expect("it reads");
    let verifier = Verifier::new(&design.basis, rules::book("iec", None).expect("a book"), &range, &design.circuits);
    assert!(verifier.design(&design).is_empty(), "{:#?}", verifier.design(&design));
}

/// A row that names just as many machines as stand behind one starter is one starter: their names are on cables and isolators.
#[test]
fn every_cable_and_isolator_bears_the_name_of_its_motor() {
    let folder = folder_with("loads.csv", schedule(&[TWIN]).as_bytes());
    std::fs::write(folder.path().join("basis.toml"), BASIS).expect("a file");
    let run = run_in(folder.path(), &["size", "loads.csv", "--basis", "basis.toml", "--out", "out"]);
    assert_eq!(run.status, 0, "{}{}", run.stdout, run.stderr);
    let labels = std::fs::read_to_string(folder.path().join("out/labels.csv")).expect("labels");
    let lines: Vec<&str> = labels.lines().collect();
    let with = |words: &[&str]| lines.iter().filter(|line| words.iter().all(|word| line.contains(word))).count();
    for (number, motor) in [("1", "EF-1A"), ("2", "EF-1B")] {
        // A power cable that the isolator parts, with a tag at either end of each length.
        for (length, way) in [("1", format!("MCC-1 to {motor} isolator")), ("2", format!("{motor} isolator to {motor}"))] {
            let tag = format!("W-EF-1A/B-{number}.{length},{way},");
            assert_eq!(with(&["cable-tag", &tag]), 2, "{labels}");
        }
        assert_eq!(
            with(&["nameplate", &format!(",{motor},Local isolator: Exhaust fans,\"7.5 kW, 400 V, 14.3 A\"")]),
            1,
            "{labels}"
        );
    }
    assert_eq!(with(&["nameplate", "\"2 × 7.5 kW, 400 V, 28.6 A\""]), 1, "{labels}");
    // Two power cables in two lengths each, and two of the thermistors.
    assert_eq!(with(&["cable-tag"]), 12, "{labels}");

    // Whoever sets relays finds both by their motors, each at the current of one.
    let mut book: Xlsx<_> = calamine::open_workbook(folder.path().join("out/schedule.xlsx")).expect("it opens");
    let settings = book.worksheet_range("Protection settings").expect("the sheet of settings");
    let of = |motor: &str| settings.rows().filter(|row| row.iter().any(|data| *data == Data::String(motor.to_owned()))).count();
    assert_eq!((of("EF-1A"), of("EF-1B")), (1, 1));
    let dials: Vec<f64> = settings
        .rows()
        .filter(|row| row.iter().any(|data| matches!(data, Data::String(text) if text.contains("one motor's"))))
        .flat_map(|row| row.iter().filter_map(|data| if let Data::Float(number) = data { Some(*number) } else { None }))
        .collect();
    assert!(dials.len() == 2 && dials.iter().all(|dial| *dial <= 14.3 && *dial > 14.0), "{dials:?}");
    let page = std::fs::read_to_string(folder.path().join("out/submittal.html")).expect("the submittal");
    assert!(page.contains("from here on 2\u{a0}\u{d7}, one for each motor"), "the drawing says it");
    assert!(page.contains("Overload, each motor") && page.contains("EF-1A, EF-1B"));
    let explained = run_in(folder.path(), &["explain", "loads.csv", "EF-1A/B", "--basis", "basis.toml"]).stdout;
    for words in
        ["2 motors, each 7.5 kW", "28.6 A (nameplate, 2 × 14.3 A)", "2 × thermal overload relay", "I = n I1", "2 × isolator"]
    {
        assert!(explained.contains(words), "{words}\n{explained}");
    }
}

/// Two motors behind a starter draw at their board what one of twice the power draws, and start like it; nothing counts twice. Two runs
/// of 40 m side by side are one of 20 m of their size.
#[test]
fn the_board_sees_a_group_as_one_motor_of_the_sum() {
    let basis = BASIS.replace("[design]\n", "[design]\nminimum_size_mm2 = 16\n");
    let twice: &[(&str, &str)] = &[("rated_power_kw", "15"), ("full_load_current_a", "28.6"), ("cable_length_m", "20")];
    let of_rows = |cells: &[(&str, &str)]| design_of(&schedule(&[cells]), &basis);
    let (group, one) = (of_rows(&[("motors_per_starter", "2")]), of_rows(twice));
    assert_eq!((group.circuits[0].runs[0].phase_area_mm2, one.circuits[0].runs[0].phase_area_mm2), (16.0, 16.0));
    let of = |design: &Design| design.boards[0].clone();
    let (group, one) = (of(&group), of(&one));
    let figures = |board: &Board| {
        let all = [
            Some(board.demand_current_a),
            Some(board.running_current_a),
            board.start_dip_pct,
            board.dips[0].terminals_dip_pct,
            board.prospective_fault_ka,
            Some(board.running_kw),
            Some(board.running_kvar),
        ];
        all.map(|figure| figure.unwrap_or(f64::NAN))
    };
    for (a, b) in figures(&group).into_iter().zip(figures(&one)) {
        assert!((a - b).abs() <= 1e-3 * b.abs(), "{:?} {:?}", figures(&group), figures(&one));
    }
    assert!((group.demand_current_a - 28.6).abs() < 1e-6);
}

/// Rows multiply starters, starters multiply motors: 3 × 2 × 14.3 A, three contactors and six relays.
#[test]
fn quantity_and_motors_multiply_each_other() {
    let design = sized(&[("motors_per_starter", "2"), ("quantity", "3")]);
    let circuit = &design.circuits[0];
    assert_eq!((circuit.quantity, circuit.motors), (3, 2));
    assert!((design.boards[0].running_current_a - 85.8).abs() < 1e-3, "{}", design.boards[0].running_current_a);
    let quantity = |part: &str| design.purchase.iter().filter(|line| line.part == part).map(|line| line.quantity).sum::<f64>();
    assert_eq!(quantity(&circuit.contactors[0].part), 3.0);
    assert_eq!(quantity(&circuit.overloads[0].part), 6.0);
    assert_eq!(quantity(&circuit.runs[0].part), 240.0);
    let losses: f64 =
        design.boards[0].losses.iter().filter(|loss| loss.device == "overload relay").map(|loss| loss.quantity).sum();
    assert_eq!(losses, 6.0);
}

/// The supply run carries both motors: its drop is that of 28.6 A, and comes before that of 14.3 A in each motor's run.
#[test]
fn a_starter_that_stands_apart_is_fed_for_all_its_motors() {
    let circuit = circuit(&[("motors_per_starter", "2"), ("supply_length_m", "30")]);
    let ([supply], [motor]) = (&runs(&circuit, "supply")[..], &runs(&circuit, "motor")[..]) else { panic!("{:?}", circuit.runs) };
    assert_eq!((supply.count, supply.length_m, supply.required_a), (1, 30.0, 28.6));
    assert_eq!((motor.count, motor.required_a), (2, 14.3));
    assert!((supply.capacity_a - copper(supply.phase_area_mm2).1).abs() < 1e-6, "{supply:?}");
    let before = drop(supply.phase_area_mm2, 30.0, 28.6);
    let (of_supply, _) = check(&circuit, "running-voltage-drop", "supply run");
    assert!((of_supply - before).abs() < 2e-3, "{of_supply} {before}");
    let (of_both, _) = check(&circuit, "running-voltage-drop", "motor run");
    let expected = before + drop(motor.phase_area_mm2, 40.0, 14.3);
    assert!((of_both - expected).abs() < 4e-3, "{of_both} {expected}");
}

/// IEC 60204-1, 7.3: what sees only the sum protects none of the motors. Behind a drive the relays must measure its harmonics.
#[rstest]
#[case::drive("drive", "drive", "in-drive")]
#[case::soft_starter("soft-starter", "soft-starter", "in-soft-starter")]
fn electronics_for_the_sum_leave_each_motor_a_relay(#[case] method: &str, #[case] kind: &str, #[case] inside: &str) {
    let circuit = circuit(&[("starting_method", method), ("motors_per_starter", "3"), ("cable_length_m", "12")]);
    let device = &circuit.starter_devices[0];
    assert!(device.kind == kind && device.rated_a >= 42.9 && (device.current_a - 42.9).abs() < 1e-3, "{device:?}");
    let [in_device, relay] = circuit.overloads.as_slice() else { panic!("{:?}", circuit.overloads) };
    assert!(in_device.kind == inside && in_device.count == 1 && in_device.setting_a > 42.0, "{in_device:?}");
    assert!(relay.count == 3 && relay.setting_a <= 14.3 && relay.setting_a > 13.7, "{relay:?}");
    let [motor] = runs(&circuit, "motor")[..] else { panic!("{:?}", circuit.runs) };
    assert_eq!((motor.count, motor.required_a), (3, 14.3));
    if method == "drive" {
        assert_eq!(relay.kind, "electronic", "a bimetal relay is made for the frequency of a network");
        // All three cables are what the drive must charge.
        assert_eq!(check(&circuit, "drive-cable-length", "drive").0, 36.0);
    }
}

/// A bypass round the drive starts all motors on the line together: AC-3 of the sum, and the relays stand behind both ways.
#[test]
fn a_bypass_starts_all_motors_together() {
    let circuit =
        circuit(&[("starting_method", "drive"), ("bypass", "yes"), ("motors_per_starter", "2"), ("cable_length_m", "12")]);
    let bypass = circuit.contactors.iter().find(|contactor| contactor.role == "bypass").expect("a bypass");
    assert!(bypass.category == "AC-3" && (bypass.current_a - 28.6).abs() < 1e-6 && bypass.rated_a >= 28.6, "{bypass:?}");
    let relays: Vec<(&str, u32)> = circuit.overloads.iter().map(|overload| (overload.role.as_str(), overload.count)).collect();
    assert_eq!(relays, [("drive", 1), ("motor", 2)]);
    // Seven times its setting for 3 s: class 10 holds it off for 4 s and more (IEC 60947-4-1, Table 2).
    assert_ne!(circuit.overloads[1].trip_class, "10A");
}

/// A motor-protective breaker set to 28.6 A lets one motor draw twice its current for ever.
#[rstest]
#[case::in_the_row(&[("protection_kind", "motor-breaker")], "", "C207")]
#[case::in_the_basis(&[], "protection_kind = \"motor-breaker\"\n", "C209")]
fn a_motor_breaker_never_stands_for_several_motors(#[case] cells: &[(&str, &str)], #[case] key: &str, #[case] code: &str) {
    let basis = BASIS.replace("[design]\n", &format!("[design]\n{key}"));
    let cells = [cells, &[("motors_per_starter", "2")]].concat();
    let circuit = design_of(&schedule(&[&cells]), &basis).circuits.remove(0);
    assert_ne!(circuit.protection.as_ref().expect("a device").kind, "motor-breaker");
    assert!(told(&circuit, code), "{:#?}", circuit.findings);
    assert!(circuit.overloads.iter().all(|overload| overload.kind != "motor-breaker") && circuit.overloads[0].count == 2);
}

/// One relay of a group set to the sum: the motor that is overloaded alone burns before it trips.
#[test]
fn no_relay_of_a_group_is_set_above_the_current_of_one_motor() {
    for method in ["direct", "soft-starter", "drive"] {
        for motors in ["2", "3", "5", "8"] {
            let circuit = circuit(&[("starting_method", method), ("motors_per_starter", motors), ("cable_length_m", "10")]);
            let relays: Vec<_> = circuit.overloads.iter().filter(|overload| !overload.kind.starts_with("in-")).collect();
            assert!(relays.len() == 1 && relays[0].setting_a <= 14.3, "{method} {motors}: {relays:?}");
            assert_eq!(relays[0].count.to_string(), motors);
        }
    }
}

/// The largest device that a relay admits holds for the device of the whole group: fuses do where no breaker is made so small; where
/// nothing is, that is said with its cure.
#[test]
fn the_device_of_the_group_is_held_to_what_the_relay_of_one_motor_admits() {
    let small = |kw, amperes| {
        [("rated_power_kw", kw), ("full_load_current_a", amperes), ("locked_rotor_ratio", "5"), ("start_time_s", "1")]
    };
    // 1.4 A together; the smallest breaker with a magnetic release has 16 A, relays for 0.7 A admit 4 A.
    let twin = [&small("0.18", "0.7")[..], &[("motors_per_starter", "2")]].concat();
    let starter = circuit(&twin);
    let device = starter.protection.as_ref().expect("a device");
    let (rating, most) = check(&starter, "protection-maximum", "overload relay");
    assert!(device.rating_a == rating && rating <= most && !told(&starter, "C220"), "{device:?} {rating} {most}");
    assert!(["gG", "aM"].contains(&device.kind.as_str()), "{device:?}");
    // Whoever asks for a breaker gets it, and is told what it is too large for.
    let asked = circuit(&[&twin[..], &[("protection_kind", "moulded-case")]].concat());
    assert_eq!(asked.protection.as_ref().map(|protection| protection.kind.as_str()), Some("moulded-case"));
    let finding = asked.findings.iter().find(|finding| finding.code == "C220").expect("it is told");
    assert!(finding.cure.contains("a circuit-breaker for each motor"), "{finding:?}");
    assert_eq!(asked.status, Status::NeedsDecision);
    assert!(asked.overloads[0].part.starts_with("GEN-"), "the relay stays chosen: {:?}", asked.overloads);
}

/// A choice of others is judged for one motor where it is one motor's: a relay set to the sum protects none, and no breaker stands for all.
#[rstest]
#[case::of_one("given_overload_setting_a", "14.3", Verdict::Adequate)]
#[case::of_the_sum("given_overload_setting_a", "28.6", Verdict::Inadequate)]
#[case::breaker_for_all("given_protection_kind", "motor-breaker", Verdict::Inadequate)]
#[case::contactor_of_one("given_contactor_a", "25", Verdict::Inadequate)]
#[case::contactor_of_the_sum("given_contactor_a", "31.5", Verdict::Adequate)]
fn choices_of_others_are_judged_for_the_group(#[case] column: &str, #[case] text: &str, #[case] verdict: Verdict) {
    let circuit = circuit(&[("motors_per_starter", "2"), (column, text)]);
    let given = circuit.given.iter().find(|given| given.column == column).expect("it is judged");
    assert_eq!(given.verdict, verdict, "{given:?}");
}

#[test]
fn a_type_of_coordination_is_never_claimed_for_a_group() {
    let circuit = circuit(&[("motors_per_starter", "2"), ("coordination", "type-2")]);
    assert_eq!(circuit.protection.as_ref().map(|protection| protection.coordination.as_str()), Some("not-claimed"));
    assert!(told(&circuit, "C202") && circuit.status == Status::NeedsDecision, "{:#?}", circuit.findings);
}

/// A row that is not sized as a group is the circuit of one motor, says why and what to do; its board counts all motors.
#[rstest]
#[case::star_delta("star-delta", &[("motor_voltages", "400/690")], "IEC 60204-1, 7.3")]
#[case::by_hand("manual", &[], "IEC 60204-1, 7.3")]
#[case::marked("direct", &[("maximum_protection_a", "40")], "IEC 60364-1, 134.1.1")]
fn what_is_no_group_is_told_and_counted(#[case] method: &str, #[case] cells: &[(&str, &str)], #[case] clause: &str) {
    let cells = [&[("starting_method", method), ("motors_per_starter", "3")], cells].concat();
    let design = sized(&cells);
    let circuit = &design.circuits[0];
    let finding = circuit.findings.iter().find(|finding| finding.code == "L413").expect("it is told");
    assert!(!finding.cure.is_empty() && finding.reference == clause, "{finding:?}");
    assert_eq!((circuit.motors, circuit.currents.full_load_a, circuit.status), (1, 14.3, Status::NeedsDecision));
    assert!((design.boards[0].running_current_a - 42.9).abs() < 1e-3, "{}", design.boards[0].running_current_a);
}

#[test]
fn the_nec_book_refers_to_430_53() {
    let basis = "[rules]\nbook = \"nec\"\n[supply]\nvoltage_v = 480\nphases = 3\nsystem = \"480Y/277 4W solidly grounded\"\n";
    let text = "tag,rated_power_hp,voltage_v,phases,starting_method,motors_per_starter,quantity\nEF-1,5,460,3,direct,2,1\n";
    let circuit = design_of(text, basis).circuits.remove(0);
    let finding = circuit.findings.iter().find(|finding| finding.code == "L413").expect("it is told");
    assert!(finding.reference == "NFPA 70, 430.53" && finding.cure.contains("430.53"), "{finding:?}");
}

/// Four machines and two motors to a starter: two starters or four? The larger sum counts, and a person is asked; a quantity settles it.
#[test]
fn numbers_that_can_be_read_in_two_ways_are_asked_about() {
    let four = [("tag", "EF-1A/B/C/D"), ("motors_per_starter", "2")];
    let starter = circuit(&four);
    assert!(
        starter.quantity == 4 && told(&starter, "L414") && starter.status == Status::NeedsDecision,
        "{:#?}",
        starter.findings
    );
    let circuit = circuit(&[&four[..], &[("quantity", "2")]].concat());
    assert!(circuit.quantity == 2 && !told(&circuit, "L414"), "{:#?}", circuit.findings);
}

/// One motor is no group: every file is that of an empty cell, but for what the row states.
#[test]
fn one_motor_behind_a_starter_changes_nothing() {
    let folder = folder_with("one.csv", schedule(&[&[("motors_per_starter", "1"), ("isolator", "yes")]]).as_bytes());
    std::fs::write(folder.path().join("none.csv"), schedule(&[&[("motors_per_starter", ""), ("isolator", "yes")]]))
        .expect("a file");
    std::fs::write(folder.path().join("basis.toml"), BASIS).expect("a file");
    for name in ["one", "none"] {
        let run = run_in(folder.path(), &["size", &format!("{name}.csv"), "--basis", "basis.toml", "--out", name]);
        assert_eq!(run.status, 0, "{}", run.stderr);
    }
    let read = |name: &str, file: &str| std::fs::read(folder.path().join(name).join(file)).expect("a file");
    for file in ["labels.csv", "purchase-list.csv"] {
        assert_eq!(read("one", file), read("none", file), "{file}");
    }
    let circuits = |name: &str| {
        let mut circuits_without_files = common::circuits_without_files(&folder.path().join(name));
        for key in ["stated", "load"] {
            circuits_without_files[0][key].as_object_mut().expect("an object").remove("motors_per_starter");
        }
        circuits_without_files
    };
    assert_eq!(circuits("one"), circuits("none"));
}

/// Designs of before do not know how many there are: one of each.
#[test]
fn a_design_of_before_reads_as_one_motor() {
    let mut json = serde_json::to_value(sized(&[("isolator", "yes")])).expect("json");
    let value = &mut json["circuits"][0];
    value.as_object_mut().expect("a circuit").remove("motors").expect("the key is there");
    for list in ["overloads", "runs"] {
        value[list][0].as_object_mut().expect("an object").remove("count").expect("the key is there");
    }
    for key in ["overload", "conductors", "disconnect"] {
        value[key].as_object_mut().expect("an object").remove("count").expect("the key is there");
    }
    let read: Design = serde_json::from_value(json).expect("it reads");
    let circuit = &read.circuits[0];
    assert_eq!((circuit.motors, circuit.overloads[0].count, circuit.runs[0].count), (1, 1, 1));
    assert_eq!(read, sized(&[("isolator", "yes")]));
}

/// The consequences of a third motor are told with the column that brings them about, and so are the plates to engrave anew.
#[test]
fn a_revision_with_one_more_motor_names_the_column() {
    let folder = folder_with("old.csv", schedule(&[&[("motors_per_starter", "2")]]).as_bytes());
    std::fs::write(folder.path().join("new.csv"), schedule(&[&[("motors_per_starter", "3")]])).expect("a file");
    std::fs::write(folder.path().join("basis.toml"), BASIS).expect("a file");
    let run = run_in(folder.path(), &["compare", "old.csv", "new.csv", "--basis", "basis.toml", "--format", "json"]);
    assert_eq!(run.status, 1, "{}", run.stderr);
    let json: serde_json::Value = serde_json::from_str(&run.stdout).expect("json");
    let text = json.to_string();
    assert!(text.contains("motors_per_starter") && text.contains("currents.full_load_a"), "{text}");
    assert!(text.contains("overloads.motor.count") && text.contains("W-EF-1-3"), "{text}");
}

/// More motors behind a starter never get a smaller contactor, device, drive or supply run.
#[rstest]
#[case::direct("direct", "")]
#[case::fuses("direct", "gG")]
#[case::soft_starter("soft-starter", "")]
#[case::drive("drive", "")]
fn more_motors_never_get_a_smaller_device(#[case] method: &str, #[case] kind: &str) {
    for (kw, amperes) in [("0.37", "1.1"), ("1.5", "3.4"), ("4", "8.1"), ("11", "21"), ("30", "55")] {
        let numbers: Vec<String> = (1..=9_u32).map(|number| number.to_string()).collect();
        let rows: Vec<Vec<(&str, &str)>> = numbers
            .iter()
            .map(|motors| {
                vec![
                    ("tag", motors.as_str()),
                    ("rated_power_kw", kw),
                    ("full_load_current_a", amperes),
                    ("starting_method", method),
                    ("protection_kind", kind),
                    ("motors_per_starter", motors.as_str()),
                    ("quantity", "1"),
                    ("supply_length_m", "20"),
                ]
            })
            .collect();
        let rows: Vec<&[(&str, &str)]> = rows.iter().map(Vec::as_slice).collect();
        let design = design_of(&schedule(&rows), BASIS);
        assert_eq!(design.circuits.len(), 9);
        let mut before = [0.0; 3];
        // One motor may have a motor-protective breaker, whose rating is the top of a range: the group begins with two.
        for circuit in &design.circuits[1..] {
            let largest = |all: &mut dyn Iterator<Item = f64>| all.fold(0.0, f64::max);
            let now = [
                largest(&mut circuit.contactors.iter().map(|contactor| contactor.current_a)),
                largest(&mut circuit.starter_devices.iter().map(|device| device.rated_a)),
                circuit.currents.starting_a,
            ];
            for (now, before) in now.iter().zip(before) {
                // A device of which the catalogue has none so large has no rating.
                assert!(*now >= before || *now == 0.0, "{method} {kw} kW, {} motors: {now} after {before}", circuit.motors);
            }
            let rated = circuit
                .contactors
                .iter()
                .filter(|contactor| !contactor.part.is_empty())
                .all(|contactor| contactor.rated_a + 1e-6 >= contactor.current_a);
            assert!(rated, "{:?}", circuit.contactors);
            before = now;
        }
        let ratings = |of: &dyn Fn(&Circuit) -> Option<f64>| design.circuits[1..].iter().filter_map(of).collect::<Vec<_>>();
        let contactors =
            ratings(&|circuit| circuit.contactors.first().map(|contactor| contactor.rated_a).filter(|rated_a| *rated_a > 0.0));
        assert!(contactors.is_sorted(), "{method} {kw}: {contactors:?}");
        // All are of one kind of device; which kind depends on what the relays admit.
        for kind in ["moulded-case", "gG", "aM"] {
            let devices = ratings(&|circuit| {
                circuit.protection.as_ref().filter(|protection| protection.kind == kind).map(|protection| protection.rating_a)
            });
            assert!(devices.is_sorted(), "{method} {kw} {kind}: {devices:?}");
        }
    }
}

#[test]
fn what_is_written_is_what_was_decided() {
    let folder = folder_with("loads.csv", schedule(&[TWIN]).as_bytes());
    std::fs::write(folder.path().join("basis.toml"), BASIS).expect("a file");
    let run = run_in(folder.path(), &["size", "loads.csv", "--basis", "basis.toml", "--out", "out"]);
    assert_eq!(run.status, 0, "{}", run.stderr);
    let value = &design(&folder.path().join("out"))["circuits"][0];
    assert_eq!(
        (&value["motors"], &value["overloads"][0]["count"], &value["runs"][0]["count"]),
        (&2.into(), &2.into(), &2.into())
    );
    assert_eq!(value["disconnect"]["count"], 2);
}

/// Two heaters behind one contact: 2 · 60 W / 230 V = 0.52 A; 2 · 300 W are more than the 500 W that an auxiliary contact switches (table
/// `accessory-practice`, common practice), 300 W of one motor are not.
#[rstest]
#[case::of_two("2", "60", "space heater 0.52 A at 230 V", false)]
#[case::too_much_together("2", "300", "space heater 2.61 A at 230 V", true)]
#[case::of_one("1", "300", "space heater 1.3 A at 230 V", false)]
fn heaters_of_all_motors_behind_a_starter_are_added(
    #[case] motors: &str,
    #[case] watts: &str,
    #[case] current: &str,
    #[case] heavy: bool,
) {
    let cells = [("motors_per_starter", motors), ("space_heater_w", watts)];
    let design = design_of(&schedule(&[&cells]), BASIS);
    let told = design.circuits[0].findings.iter().find(|finding| finding.code == "C532").expect("it is told");
    assert!(told.cure.contains(current), "{}", told.cure);
    assert_eq!(told.cure.contains("the heater is too much for an auxiliary contact"), heavy, "{}", told.cure);
}

/// Two motors of 7.5 kW turn a load of 14 kW, one does not.
#[rstest]
#[case::two("2", false)]
#[case::one("1", true)]
fn a_load_is_held_against_the_power_of_all_its_motors(#[case] motors: &str, #[case] told: bool) {
    let cells = [("motors_per_starter", motors), ("absorbed_power_kw", "14")];
    let design = design_of(&schedule(&[&cells]), BASIS);
    let findings = &design.circuits[0].findings;
    assert_eq!(findings.iter().any(|finding| finding.code == "L336"), told, "{findings:?}");
}
