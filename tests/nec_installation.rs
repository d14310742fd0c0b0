//! The needs of a circuit under the NEC where it is installed: disconnecting means in sight, raceways for the place, terminals for the
//! material. Expected values are by hand from the clauses, which were recalled where no text was at hand; each test names them.

mod common;

use common::design_of;
use motorwright::design::{Circuit, Status};
use motorwright::finding::Finding;

const BASIS: &str = "[rules]\nbook = \"nec\"\n[supply]\nvoltage_v = 480\nphases = 3\nfrequency_hz = 60\n\
    system = \"480Y/277 4W solidly grounded\"\nprospective_fault_ka = 18\nprospective_fault_min_ka = 12\nx_over_r = 4\n\
    [design]\ntermination_c = 75\n";

fn circuit_by(basis: &str, cells: &[(&str, &str)]) -> Circuit {
    let (heads, values): (Vec<&str>, Vec<&str>) = [("tag", "M-1")].iter().chain(cells).copied().unzip();
    design_of(&format!("{}\n{}\n", heads.join(","), values.join(",")), basis).circuits.remove(0)
}

fn with(usual: &[(&'static str, &'static str)], more: &[(&'static str, &'static str)]) -> Circuit {
    let kept = usual.iter().filter(|(name, _)| more.iter().all(|(given, _)| given != name));
    circuit_by(BASIS, &kept.chain(more).copied().collect::<Vec<_>>())
}

/// A motor of 30 hp at 460 V over 40 ft.
fn motor(more: &[(&'static str, &'static str)]) -> Circuit {
    let usual = [
        ("rated_power_hp", "30"),
        ("full_load_current_a", "37"),
        ("voltage_v", "460"),
        ("phases", "3"),
        ("starting_method", "direct"),
        ("cable_length_ft", "40"),
        ("service_factor", "1.15"),
    ];
    with(&usual, more)
}

fn found<'c>(circuit: &'c Circuit, code: &str) -> Option<&'c Finding> {
    circuit.findings.iter().find(|finding| finding.code == code)
}

fn place(circuit: &Circuit) -> &str {
    circuit.disconnect.as_ref().map_or("", |disconnect| disconnect.location.as_str())
}

/// NFPA 70, 430.102(A): a disconnecting means in sight of each controller, at most 50 ft away (Article 100). 60 m are 197 ft: the breaker
/// at the board is none for a drive there, and a switch at the motor does not disconnect the drive. 15 m are 49 ft.
#[test]
fn a_controller_that_stands_apart_is_told_where_its_disconnecting_means_is_out_of_sight() {
    for method in ["drive", "soft-starter", "direct"] {
        let apart = |metres: &'static str, isolator: &'static str| {
            motor(&[
                ("starting_method", method),
                ("supply_length_m", metres),
                ("isolator", isolator),
                ("drive_input_current_a", "45"),
            ])
        };
        let far = apart("60", "");
        let told = found(&far, "C522").unwrap_or_else(|| panic!("{method}: {:?}", far.findings));
        assert!(told.what.contains("197 ft") && told.reference.contains("430.102(A)"), "{told:?}");
        assert_eq!((place(&far), far.status), ("at the board", Status::NeedsDecision), "{method}");
        // From the board the motor is 197 + 40 ft away.
        let from_motor = found(&far, "C521").unwrap_or_else(|| panic!("{method}"));
        assert!(from_motor.what.contains("at the board") && from_motor.what.contains("237 ft"), "{from_motor:?}");
        assert!(found(&apart("60", "yes"), "C522").is_some(), "{method}: a switch at the motor is behind the controller");
        assert!(found(&apart("15", ""), "C522").is_none(), "{method}");
    }
    let beside = motor(&[]);
    assert_eq!((place(&beside), found(&beside, "C522")), ("at the controller", None));
}

/// NFPA 70, 440.14: in sight of air-conditioning equipment, a lock at the panel does not replace it; 424.19 and 450.14: in sight, or one
/// that can be locked open; no clause for lighting. A circuit-breaker has no horsepower rating (430.109(A)(2)).
#[test]
fn equipment_without_a_switch_in_sight_is_told_by_its_own_clause() {
    let of = |more: &[(&'static str, &'static str)]| {
        with(&[("voltage_v", "480"), ("phases", "3"), ("starting_method", "feeder"), ("cable_length_ft", "190")], more)
    };
    let unit = [
        ("load_kind", "packaged"),
        ("full_load_current_a", "47.8"),
        ("minimum_circuit_ampacity_a", "52.5"),
        ("maximum_protection_a", "70"),
        ("maximum_protection_kind", "fuse-or-breaker"),
    ];
    let rooftop = of(&unit);
    let told = found(&rooftop, "C523").unwrap_or_else(|| panic!("{:?}", rooftop.findings));
    assert!(told.reference.contains("440.14") && told.what.contains("at the board"), "{told:?}");
    assert_eq!(rooftop.status, Status::NeedsDecision);
    assert!(
        rooftop.disconnect.as_ref().is_some_and(|disconnect| disconnect.category.is_empty() && disconnect.rating_hp.is_none()),
        "a breaker"
    );
    let mut near = unit.to_vec();
    near.push(("cable_length_ft", "50"));
    assert!(found(&of(&near), "C523").is_none());
    let mut switched = unit.to_vec();
    switched.push(("isolator", "yes"));
    assert!(found(&of(&switched), "C523").is_none(), "the switch stands at the unit");

    let heater = of(&[("load_kind", "heater"), ("rated_power_kw", "60")]);
    assert!(found(&heater, "C524").is_some_and(|finding| finding.reference.contains("424.19")), "{:?}", heater.findings);
    let transformer = of(&[("load_kind", "transformer"), ("rated_power_kva", "45")]);
    assert!(
        found(&transformer, "C524").is_some_and(|finding| finding.reference.contains("450.14")),
        "{:?}",
        transformer.findings
    );
    let rating = |circuit: &Circuit| {
        circuit.checks.iter().find(|check| check.name == "disconnect-rating").map(|check| check.reference.clone())
    };
    assert_eq!(rating(&transformer).as_deref(), Some("110.3(B), 450.14"));
    let lighting = of(&[("load_kind", "lighting"), ("full_load_current_a", "12"), ("cable_length_ft", "60")]);
    assert_eq!(rating(&lighting).as_deref(), Some("110.3(B)"), "422.30 is for appliances");
    assert_eq!(place(&lighting), "at the board");
    assert!(["C521", "C523", "C524"].iter().all(|code| found(&lighting, code).is_none()), "{:?}", lighting.findings);
}

/// NFPA 70, 348.12: no FMC in wet places, of which a roof is one; 352.12(D): no PVC in air above 50 °C. 348.20(A): 3/8 only up to 6 ft.
#[test]
fn raceways_go_where_their_articles_let_them() {
    let fmc = |location: &'static str| motor(&[("installation_method", "fmc"), ("location", location)]);
    for location in ["wet", "rooftop"] {
        let refused = fmc(location);
        let told = found(&refused, "C601").unwrap_or_else(|| panic!("{location}: {:?}", refused.findings));
        assert!(told.what.contains("348.12") && refused.conductors.is_none(), "{location}: {told:?}");
    }
    assert!(fmc("dry").conductors.is_some());
    assert!(motor(&[("installation_method", "lfmc"), ("location", "wet")]).conductors.is_some());
    let pvc = |celsius: &'static str| motor(&[("installation_method", "pvc"), ("ambient_c", celsius)]);
    assert!(found(&pvc("60"), "C616").is_some_and(|finding| finding.reference.contains("352.12(D)")));
    assert!(found(&pvc("50"), "C616").is_none());
    let small = |feet: &'static str| {
        let circuit = motor(&[
            ("rated_power_hp", "3"),
            ("full_load_current_a", "4.8"),
            ("installation_method", "fmc"),
            ("cable_length_ft", feet),
        ]);
        circuit
            .conductors
            .as_ref()
            .and_then(|run| run.raceway.as_ref())
            .map(|raceway| raceway.trade_size.clone())
            .unwrap_or_default()
    };
    assert_eq!((small("150").as_str(), small("6").as_str()), ("1/2", "3/8"));
}

/// A conductor enlarged for its length, at whose end a smaller one goes on. 100 hp, 124 A: 430.22 asks for 155 A; at 75 °C 1/0 AWG has
/// 150 A, 2/0 AWG 175 A (Table 310.16, 110.14(C)), though 1/0 AWG at 90 °C has 170 A. 400 hp, 477 A: 596.25 A; at 75 °C 2 × 300 kcmil have
/// 570 A and 2 × 350 kcmil 620 A, though 2 × 300 kcmil at 90 °C have 640 A.
#[test]
fn the_smaller_conductor_that_is_named_holds_at_its_terminals() {
    let of = |hp: &'static str, amperes: &'static str, feet: &'static str| {
        motor(&[("rated_power_hp", hp), ("full_load_current_a", amperes), ("cable_length_ft", feet)])
    };
    let circuit = of("100", "124", "700");
    let told = found(&circuit, "C609").unwrap_or_else(|| panic!("{:?}", circuit.findings));
    assert!(told.what.ends_with("where 2/0 AWG carries the current"), "{told:?}");
    let large = of("400", "450", "1500");
    let told = found(&large, "C609").unwrap_or_else(|| panic!("{:?}", large.findings));
    assert!(told.what.ends_with("where 2 × 350 kcmil carries the current"), "{told:?}");
}

/// NFPA 70, 110.14: terminals are identified for the material. No catalogue of this program says so of aluminum.
#[test]
fn aluminum_at_terminals_is_told_and_waits() {
    let circuit = motor(&[("conductor", "aluminum"), ("insulation", "xhhw-2")]);
    let told = found(&circuit, "C615").unwrap_or_else(|| panic!("{:?}", circuit.findings));
    assert!(told.reference.contains("110.14") && told.what.contains("aluminum"), "{told:?}");
    assert_eq!(circuit.status, Status::NeedsDecision);
    assert!(found(&motor(&[]), "C615").is_none());
}

/// Lighting of 21 A at 277 V on a board of 65 kA, for which the range has no breaker of one pole: fuses in its place are a decision.
#[test]
fn fuses_in_the_place_of_breakers_are_a_decision() {
    let basis = BASIS.replace("prospective_fault_ka = 18", "prospective_fault_ka = 65");
    let circuit = circuit_by(
        &basis,
        &[
            ("load_kind", "lighting"),
            ("full_load_current_a", "15"),
            ("voltage_v", "277"),
            ("phases", "1"),
            ("starting_method", "feeder"),
            ("cable_length_ft", "60"),
        ],
    );
    assert!(circuit.protection.as_ref().is_some_and(|protection| protection.kind == "dual-element"), "{:?}", circuit.protection);
    assert!(found(&circuit, "C207").is_some() && circuit.status == Status::NeedsDecision, "{:?}", circuit.findings);
}

/// NFPA 70, 240.87: a breaker of 1200 A; 210.13: at 480Y/277 V. 500 hp and 590 A: 250 % are 1475 A, so the device is of 1000 A at least.
#[test]
fn large_devices_of_branch_circuits_bring_their_notes() {
    let circuit = motor(&[("rated_power_hp", "500"), ("full_load_current_a", "590"), ("cable_length_ft", "60")]);
    let rating = circuit.protection.as_ref().map_or(0.0, |protection| protection.rating_a);
    assert!(rating >= 1000.0, "{rating}");
    assert!(found(&circuit, "R227").is_some_and(|finding| finding.reference.contains("210.13")), "{:?}", circuit.findings);
    assert_eq!(found(&circuit, "R226").is_some(), rating >= 1200.0);
    assert!(found(&motor(&[]), "R226").or(found(&motor(&[]), "R227")).is_none());
}

/// The working of a document of 2017 cites the numbers of 2017: 310.15(B)(16), Table 430.52 (notes to the reference tables, editions).
#[test]
fn the_working_cites_the_numbers_of_its_edition() {
    let of = |edition: &str| {
        let basis = BASIS.replace("book = \"nec\"\n", &format!("book = \"nec\"\nedition = \"{edition}\"\n"));
        let basis = format!("{basis}[report]\nworking = \"all\"\n");
        let cells = [
            ("rated_power_hp", "30"),
            ("voltage_v", "460"),
            ("phases", "3"),
            ("starting_method", "direct"),
            ("cable_length_ft", "40"),
        ];
        let circuit = circuit_by(&basis, &cells);
        let lines: Vec<String> = circuit.working.lines().map(|line| line.reference.clone()).collect();
        assert!(lines.len() > 5, "{lines:?}");
        lines.join("\n")
    };
    let old = of("2017");
    assert!(old.contains("It Table 310.15(B)(16)") && !old.contains("310.16") && !old.contains("before 20"), "{old}");
    assert!(!old.contains("430.52(C)(1);") && old.contains("Table 430.52"), "{old}");
    let new = of("2023");
    assert!(new.contains("It Table 310.16") && !new.contains("in 2017") && !new.contains("before 20"), "{new}");
}

/// NFPA 70, 250.122(A), (B), (F): 25 hp, 34 A by Table 430.250, over 6560 ft. For the drop the conductors are two sets of a far larger size
/// than the current asks for, and the equipment grounding conductor grows with them, as far as the conductors beside it: no farther, for
/// together they are then the whole circuit conductors, and never below Table 250.122.
#[test]
fn in_parallel_raceways_the_grounding_conductor_grows_no_farther_than_the_phases_beside_it() {
    let circuit =
        motor(&[("rated_power_hp", "25"), ("full_load_current_a", "34"), ("cable_length_ft", "6560"), ("service_factor", "")]);
    let run = circuit.runs.first().unwrap_or_else(|| panic!("a run: {:?}", circuit.findings));
    assert!(run.per_phase > 1, "the case: {run:?}");
    assert_eq!(run.protective_size, run.phase_size, "{run:?}");
    let device = circuit.protection.as_ref().expect("a device").rating_a;
    let table = if device <= 60.0 {
        "10 AWG"
    } else if device <= 100.0 {
        "8 AWG"
    } else {
        "6 AWG"
    };
    assert_ne!(run.protective_size, table, "raised above Table 250.122 for {device} A");
    assert!(circuit.findings.iter().all(|finding| !finding.code.starts_with('V')), "{:?}", circuit.findings);
}

/// NFPA 70, 110.14(C)(1): terminations go by the rating of the circuit, which is not that of a device that 430.62 raises for the start of a
/// motor. Three motors of 15 hp (21 A each) and a heater: by 430.24 with 20 kW (24.06 A) 1.25 × 21 + 2 × 21 + 1.25 × 24.06 = 98.3 A, with
/// 30 kW (36.08 A) 113.4 A, both behind 125 A: the former stays at 60 °C, (a), where 2 AWG has 95 A and 1 AWG 110 A, the latter at 75 °C,
/// (b), where 3 AWG has 100 A and 2 AWG 115 A (Table 310.16). Two of the motors and 10 kW (12.03 A): 1.25 × 21 + 21 + 1.25 × 12.03 = 62.3
/// A: (a), 60 °C, where 4 AWG has 70 A and 6 AWG 55 A (at 75 °C 65 A).
#[test]
fn terminations_of_a_feeder_go_by_the_rating_of_its_circuit() {
    let basis = format!(
        "{}[[board]]\nname = \"MDB\"\n[[board]]\nname = \"MCC\"\nfed_from = \"MDB\"\nfeeder_length_m = 20\n",
        BASIS.replace("[design]\ntermination_c = 75\n", "")
    );
    let of = |motors: &[&str], kilowatts: &str| {
        let motor = |tag: &str| format!("{tag},MCC,motor,15,,460,3,direct,20\n");
        let rows: String = motors.iter().copied().map(motor).collect();
        let head = "tag,board,load_kind,rated_power_hp,rated_power_kw,voltage_v,phases,starting_method,cable_length_m\n";
        let design = design_of(&format!("{head}{rows}H-1,MCC,heater,,{kilowatts},480,3,contactor,20\n"), &basis);
        let tried = design.all_findings().into_iter().any(|(_, finding)| finding.code.starts_with('V'));
        assert!(!tried, "{:?}", design.all_findings());
        let board = design.boards.iter().find(|board| board.name == "MCC").expect("the board");
        let run = board.feeder.run.as_ref().unwrap_or_else(|| panic!("a run: {:?}", board.findings));
        (board.feeder_protection_a, run.phase_size.clone())
    };
    let three = ["M-1", "M-2", "M-3"];
    assert_eq!(of(&three, "20"), (125.0, "1 AWG".to_owned()));
    assert_eq!(of(&three, "30"), (125.0, "2 AWG".to_owned()));
    let (device, size) = of(&three[..2], "10");
    assert!(device <= 100.0 && size == "4 AWG", "{device} A, {size}");
}

/// A feeder of one motor and the motor's branch circuit carry the same 1.25 × 52 = 65 A behind the same device of 150 A, which only the
/// start asks for (40 hp at 460 V: 52 A by Table 430.250, 250 % of it by Table 430.52): both stand at 60 °C and have 4 AWG (70 A; at 75 °C
/// 6 AWG had 65 A). Heaters alone have a device for their current, which rates the circuit: 80 kW at 480 V, 96.2 A, 120.3 A behind 125 A,
/// 75 °C, 1 AWG (130 A).
#[test]
fn a_feeder_of_one_motor_has_the_conductors_of_its_branch_circuit() {
    let boards = "[[board]]\nname = \"MDB\"\n[[board]]\nname = \"MCC\"\nfed_from = \"MDB\"\nfeeder_length_m = 10\n";
    let basis = format!("{}{boards}", BASIS.replace("[design]\ntermination_c = 75\n", ""));
    let of = |row: &str| {
        let head = "tag,board,load_kind,rated_power_hp,rated_power_kw,voltage_v,phases,starting_method,cable_length_m\n";
        let design = design_of(&format!("{head}{row}"), &basis);
        let tried = design.all_findings().into_iter().any(|(_, finding)| finding.code.starts_with('V'));
        assert!(!tried, "{:?}", design.all_findings());
        let board = design.boards.iter().find(|board| board.name == "MCC").expect("the board");
        let run = board.feeder.run.as_ref().unwrap_or_else(|| panic!("a run: {:?}", board.findings));
        (board.feeder_protection_a, run.phase_size.clone(), design.circuits[0].runs[0].phase_size.clone())
    };
    let (device, feeder, branch) = of("M-1,MCC,motor,40,,460,3,direct,10\n");
    assert!(device > 100.0, "the case: {device} A");
    assert_eq!((feeder.as_str(), branch.as_str()), ("4 AWG", "4 AWG"));
    let (device, feeder, _) = of("H-1,MCC,heater,,80,480,3,contactor,10\n");
    assert_eq!((device, feeder.as_str()), (125.0, "1 AWG"));
}

/// The same of a branch circuit: a heater of 65 kW at 480 V has 78.2 A, conductors for 97.7 A (424.4(B)) and a device of 100 A: 60 °C, 1
/// AWG (110 A). One of 67 kW has 80.6 A, 100.7 A and 110 A: 75 °C, 2 AWG (115 A). The branch circuit of a motor is rated by its current,
/// not by the device that rides through its start: 50 hp, 65 A, 81.25 A behind more than 100 A stay at 60 °C, 3 AWG (85 A; at 75 °C 4 AWG).
#[test]
fn terminations_of_a_branch_circuit_go_by_its_rating() {
    let basis = BASIS.replace("[design]\ntermination_c = 75\n", "");
    let heater = |kilowatts| {
        let cells = [
            ("load_kind", "heater"),
            ("rated_power_kw", kilowatts),
            ("voltage_v", "480"),
            ("phases", "3"),
            ("starting_method", "contactor"),
            ("cable_length_ft", "30"),
        ];
        circuit_by(&basis, &cells)
    };
    let figures = |circuit: &Circuit| {
        let rating = circuit.protection.as_ref().map_or(0.0, |protection| protection.rating_a);
        (rating, circuit.runs.first().map(|run| run.phase_size.clone()).unwrap_or_default())
    };
    assert_eq!(figures(&heater("65")), (100.0, "1 AWG".to_owned()));
    assert_eq!(figures(&heater("67")), (110.0, "2 AWG".to_owned()));
    let motor = [
        ("rated_power_hp", "50"),
        ("voltage_v", "460"),
        ("phases", "3"),
        ("starting_method", "direct"),
        ("cable_length_ft", "40"),
    ];
    let (device, size) = figures(&circuit_by(&basis, &motor));
    assert!(device > 100.0 && size == "3 AWG", "{device} A, {size}");
}
