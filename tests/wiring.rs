//! What a wireman finds in his hands: neutrals at isolators and devices, cables that a switch parts and cables that it does not, and a
//! protective conductor in every cable. Expected counts are from clauses and by hand; every design is tried again by the verifier.

mod common;

use std::path::Path;

use common::folder_with;
use motorwright::catalogue;
use motorwright::design::{Circuit, Design, Status, labels};
use motorwright::project::{self, Options};

fn basis(earthing: &str) -> String {
    format!(
        "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nfrequency_hz = 50\n{earthing}prospective_fault_ka = 6\n\
         prospective_fault_min_ka = 4\nx_over_r = 4\n[design]\ninsulation = \"xlpe\"\ninstallation_method = \"E\"\n[control]\n\
         voltage = \"230 V AC\"\n"
    )
}

fn design(schedule: &str, basis: &str, catalogue: Option<&Path>) -> Design {
    let files = folder_with("loads.csv", schedule.as_bytes());
    std::fs::write(files.path().join("basis.toml"), basis).expect("a file");
    let options = Options {
        schedule: files.path().join("loads.csv"),
        basis: Some(files.path().join("basis.toml")),
        catalogue: catalogue.map(Path::to_owned),
        ..Options::default()
    };
    let design = project::open(&options).unwrap_or_else(|error| panic!("{}: {:?}", error, error.findings)).design();
    let doubted: Vec<String> = design
        .all_findings()
        .into_iter()
        .filter(|(_, finding)| finding.code.starts_with('V'))
        .map(|(of, finding)| format!("{of:?} {} {}", finding.code, finding.what))
        .collect();
    assert!(doubted.is_empty(), "{}", doubted.join("\n"));
    design
}

fn of<'d>(design: &'d Design, tag: &str) -> &'d Circuit {
    design.circuits.iter().find(|circuit| circuit.tag == tag).unwrap_or_else(|| panic!("{tag} is not there"))
}

fn told(circuit: &Circuit, code: &str) -> bool {
    circuit.findings.iter().any(|finding| finding.code == code)
}

fn pieces(circuit: &Circuit, words: &str) -> f64 {
    circuit.parts.iter().filter(|part| part.description.contains(words)).map(|part| part.quantity).sum()
}

const LOADS: &str =
    "tag,load_kind,rated_power_kw,voltage_v,phases,starting_method,cable_length_m,connection,isolator,protection_kind
N-1,heater,12,400,3,contactor,30,3L+N,yes,
N-2,heater,90,400,3,contactor,30,3L+N,no,
N-3,heater,2,230,1,contactor,30,L-N,yes,gG
N-4,motor,1.1,230,1,direct,30,L-N,yes,motor-breaker
N-5,heater,12,400,3,contactor,30,3L,yes,
N-6,other,5,400,3,feeder,30,3L+N,no,
";

/// IEC 60364-4-46, 461.2: outside TN systems every circuit is isolated from its neutral too. A breaker of three poles before three lines
/// and neutral, and a fuse in the line of one phase, leave it joined; a miniature circuit-breaker of all poles opens it. An isolator of
/// three poles, of which the built-in range has no other than those of six, does not serve three lines and neutral.
#[rstest::rstest]
#[case::tt("earthing = \"TT\"\n", true)]
#[case::it("earthing = \"IT\"\n", true)]
#[case::unstated("", true)]
#[case::tn("earthing = \"TN-S\"\n", false)]
fn a_neutral_that_may_be_live_is_opened_or_told(#[case] earthing: &str, #[case] live: bool) {
    let design = design(LOADS, &basis(earthing), None);
    for (tag, joined) in [("N-1", false), ("N-2", true), ("N-3", true), ("N-4", false), ("N-5", false), ("N-6", false)] {
        let circuit = of(&design, tag);
        assert_eq!(told(circuit, "C531"), live && joined, "{tag}: {:?}", circuit.protection);
        assert!(!told(circuit, "C531") || circuit.status == Status::NeedsDecision, "{tag}: its parts wait");
    }
    let four = of(&design, "N-1");
    let asked = four.parts.iter().any(|part| part.part.is_empty() && part.description.ends_with("with 4 poles"));
    assert_eq!((four.disconnect.is_none(), told(four, "C404"), asked), (live, live, live), "{:?}", four.disconnect);
    for tag in ["N-3", "N-4", "N-5"] {
        assert_eq!(of(&design, tag).disconnect.as_ref().and_then(|isolator| isolator.poles), Some(3), "{tag}");
    }
}

/// The built-in catalogue with isolators of four poles beside those of three.
fn with_four_poles() -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    for (name, text) in catalogue::export("iec") {
        let four = |line: &str| format!("{line}\n{}\n", line.replace("GEN-IS3", "GEN-IS4").replace(",3,true", ",4,true"));
        let text: String =
            text.lines().map(|line| if line.starts_with("GEN-IS3") { four(line) } else { format!("{line}\n") }).collect();
        std::fs::write(folder.path().join(&*name), text).expect("a file");
    }
    folder
}

/// A catalogue with isolators of four poles gives one; then the neutral ends in a pole of it and needs no terminal.
#[test]
fn an_isolator_of_four_poles_is_chosen_where_the_neutral_may_be_live() {
    let folder = with_four_poles();
    let of_part = |earthing: &str| {
        let design = design(LOADS, &basis(earthing), Some(folder.path()));
        let circuit = of(&design, "N-1").clone();
        let part = circuit.disconnect.as_ref().expect("an isolator").part.clone();
        assert!(!told(&circuit, "C404"));
        (part[..7].to_owned(), pieces(&circuit, "Terminal, feed-through"))
    };
    // 12 kW at 400 V are 17.3 A on a small cable: four conductors leave the panel by terminals, and in TN-S the neutral has a fifth.
    assert_eq!(of_part("earthing = \"TT\"\n"), ("GEN-IS4".to_owned(), 4.0));
    assert_eq!(of_part("earthing = \"TN-S\"\n"), ("GEN-IS3".to_owned(), 5.0));
}

/// A motor of three lines and neutral behind a drive, or with a rotor of its own, has the neutral in its cable as any other: it is parted
/// with the lines where it may be live (IEC 60364-4-46, 461.2), with or without a bypass.
#[test]
fn the_neutral_of_a_motor_behind_a_drive_is_parted_as_any_other() {
    let rows = "tag,load_kind,rated_power_kw,voltage_v,phases,full_load_current_a,starting_method,bypass,connection,isolator,cable_length_m,\
        rotor_current_a,rotor_voltage_v\nD-1,motor,7.5,400,3,14.3,drive,,3L+N,yes,30,,\nD-2,motor,7.5,400,3,14.3,drive,yes,3L+N,yes,30,,\n\
        D-3,motor,7.5,400,3,14.3,direct,,3L+N,yes,30,,\nR-1,motor,22,400,3,42,rotor-resistance,,3L+N,yes,30,40,300\n";
    let folder = with_four_poles();
    for (earthing, poles) in [("TT", 4), ("IT", 4), ("TN-S", 3)] {
        let basis = basis(&format!("earthing = \"{earthing}\"\n"));
        let (four, three) = (design(rows, &basis, Some(folder.path())), design(rows, &basis, None));
        for tag in ["D-1", "D-2", "D-3", "R-1"] {
            let chosen = of(&four, tag).disconnect.as_ref().and_then(|isolator| isolator.poles);
            assert_eq!(chosen, Some(poles), "{tag} in {earthing}");
            assert_eq!(told(of(&three, tag), "C404"), poles == 4, "{tag} in {earthing}: the range has no other than three");
        }
    }
}

const MOTORS: &str = "tag,load_kind,rated_power_kw,voltage_v,phases,poles,motor_voltages,starting_method,cable_length_m,isolator,rotor_current_a,rotor_voltage_v
P-11,motor,55,400,3,4,,rotor-resistance,40,yes,110,320
P-22,motor,90,400,3,4,400/690,soft-starter-inside-delta,40,yes,,
";

/// The switch at a slip-ring motor stands in its stator; the rotor leads go past it, so their cable is whole: two ends, two tags.
#[test]
fn a_rotor_cable_is_not_parted_by_the_isolator() {
    let design = design(MOTORS, &basis("earthing = \"TN-S\"\n"), None);
    let circuit = of(&design, "P-11");
    let lengths: Vec<(String, usize)> = labels::cables(circuit, "P-11")
        .iter()
        .map(|cable| (cable.run.role.clone(), labels::lengths(circuit, cable).len()))
        .collect();
    assert_eq!(lengths, [("motor".to_owned(), 2), ("rotor".to_owned(), 1)]);
    // Four ends and two, for tags as for glands.
    assert_eq!(pieces(circuit, "able tag"), 6.0);
    assert_eq!(pieces(circuit, "able gland"), 6.0, "{:?}", circuit.parts);
}

/// IEC 60364-5-54, 543.2: each of two cables brings a protective conductor that is joined at both ends, at an isolator in the way twice
/// more: 2 × 4 of them and 6 × 4 leads. (Reviewer's P-22: 24 lugs of 25 mm² and 8 of 16 mm².)
#[test]
fn each_of_two_cables_has_lugs_for_its_protective_conductor() {
    let design = design(MOTORS, &basis("earthing = \"TN-S\"\n"), None);
    let circuit = of(&design, "P-22");
    let run = circuit.runs.iter().find(|run| run.role == "star-delta-leads").expect("a run");
    assert_eq!((run.cables, run.cores, run.per_phase), (2, 7, 1), "{run:?}");
    let area = |size: &str| size.split_whitespace().next().and_then(|area| area.parse::<f64>().ok()).expect("a size");
    assert!(area(&run.phase_size) >= 16.0 && area(&run.protective_size) >= 16.0, "{run:?}");
    assert_eq!(pieces(circuit, "lug"), 32.0, "{:?}", circuit.parts);
}
