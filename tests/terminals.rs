//! Terminals and the conductors that come to them: frames that take what leaves a starter, terminals where runs begin and end, in designs
//! of whole schedules. Clamping ranges are read from the built-in catalogue, which the design must keep to.

mod common;

use common::design_of;
use motorwright::catalogue;
use motorwright::design::{Circuit, Design, Status};

const IEC: &str = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nphases = 3\nfrequency_hz = 50\nearthing = \"TN-S\"\n\
    prospective_fault_ka = 25\nprospective_fault_min_ka = 5\nx_over_r = 3\n";

fn whole(schedule: &str, basis: &str) -> Design {
    let design = design_of(schedule, basis);
    let tried: Vec<String> = design
        .all_findings()
        .into_iter()
        .filter(|(_, finding)| finding.code.starts_with('V'))
        .map(|(_, finding)| format!("{} {}", finding.code, finding.what))
        .collect();
    assert!(tried.is_empty(), "{}", tried.join("\n"));
    design
}

fn of<'d>(design: &'d Design, tag: &str) -> &'d Circuit {
    design.circuits.iter().find(|circuit| circuit.tag == tag).unwrap_or_else(|| panic!("{tag} is not there"))
}

fn told<'d>(circuit: &'d Circuit, code: &str) -> Option<&'d motorwright::finding::Finding> {
    circuit.findings.iter().find(|finding| finding.code == code)
}

/// Largest conductor that the only contactor of a circuit clamps, and the part without its coil.
fn clamps(circuit: &Circuit) -> (f64, &'static str) {
    let chosen = circuit.contactors.first().expect("a contactor");
    let range = &catalogue::builtin("iec").contactors;
    let row = range.iter().find(|row| chosen.part.starts_with(&format!("{}-", row.part))).expect("it is of the catalogue");
    (row.terminal_max_mm2, row.part.as_str())
}

/// 30 kW at 400 V are 43.3 A: a gG fuse of 50 A, and behind it a cable for 1.6 × 50 / 1.45 = 55.2 A at least (IEC 60364-4-43, 433.1), which
/// in conduit is thicker than the 16 mm² that the contactor of the duty clamps. The next frame clamps it, so that nothing waits; a motor
/// far away has a cable that only a contactor of four times its rating would clamp: there the terminals are told, with lugs as a cure.
#[test]
fn a_frame_that_does_not_clamp_the_outgoing_conductor_gives_way_to_the_next_that_does() {
    let design = whole(
        "tag,load_kind,rated_power_kw,starting_method,voltage_v,cable_length_m,full_load_current_a,protection_kind\n\
         H-25,heater,25,contactor,400,40,,gG\nH-30,heater,30,contactor,400,40,,gG\nM-11,motor,11,direct,400,400,21.5,\n",
        IEC,
    );
    let (small, large) = (of(&design, "H-25"), of(&design, "H-30"));
    let area = |circuit: &Circuit| circuit.runs.first().expect("a run").phase_area_mm2;
    let (most, of_duty) = clamps(small);
    assert!(area(small) <= most && area(large) > most, "the case: {} and {} on {most} mm²", area(small), area(large));
    let (takes, part) = clamps(large);
    assert!(takes >= area(large), "{part} clamps {takes} mm², {} comes", area(large));
    // Of the frames that clamp it, none is smaller.
    let smaller = catalogue::builtin("iec").contactors.iter().take_while(|row| row.part != part);
    assert!(smaller.filter(|row| !row.is_for_capacitors()).all(|row| row.terminal_max_mm2 < area(large)), "{part}");
    assert_eq!((large.status, large.contactors[0].governed_by.as_str()), (Status::Sized, "terminals"));
    let why = told(large, "C221").expect("the larger frame is told");
    assert!(why.what.contains(part) && why.what.contains(of_duty) && why.cure.contains("lugs"), "{why:?}");
    assert!(told(small, "C221").is_none() && small.contactors[0].governed_by == "contactor-duty");
    let far = of(&design, "M-11");
    assert!(clamps(far).0 < area(far) && told(far, "C221").is_none() && far.status == Status::NeedsDecision, "{far:?}");
    let failed = told(far, "C101").expect("its terminals are told");
    assert!(failed.what.contains("erminals") && failed.cure.contains("terminal extensions") && failed.cure.contains("lugs"));
}

/// A run to a motor begins at the drive or soft starter in its line, whose terminals bound it: the line contactor before them is that of
/// its duty however far the motor stands, and the terminals of the electronics are told. The contactor's own clamp is held against no
/// conductor that does not come to it.
#[test]
fn no_contactor_before_a_drive_or_soft_starter_grows_for_the_run_behind_it() {
    let rows = |length: u32| {
        format!(
            "tag,load_kind,rated_power_kw,starting_method,voltage_v,cable_length_m,full_load_current_a\n\
             D-1,motor,15,drive,400,{length},29\nS-1,motor,7.5,soft-starter,400,{length},15\n"
        )
    };
    let (near, far) = (whole(&rows(20), IEC), whole(&rows(500), IEC));
    for tag in ["D-1", "S-1"] {
        let (near, far) = (of(&near, tag), of(&far, tag));
        let run = far.runs.iter().find(|run| run.role == "motor").expect("a run to the motor");
        assert!(run.phase_area_mm2 > clamps(far).0, "the case: {} mm² on {} mm²", run.phase_area_mm2, clamps(far).0);
        assert!(told(far, "C221").is_none(), "{tag}: {:?}", told(far, "C221"));
        assert_eq!(near.contactors[0].part, far.contactors[0].part, "{tag}");
        let failed: Vec<&str> = far
            .checks
            .iter()
            .filter(|check| check.name == "terminals" && check.passed != Some(true))
            .map(|check| check.subject.as_str())
            .collect();
        assert_eq!(failed, ["motor run, starter"], "{tag}: those of the electronics alone");
        assert_eq!(far.status, Status::NeedsDecision, "{tag}");
    }
}

/// With a larger contactor another circuit-breaker of the same rating is tested for type 2 in the range: whoever reads of the one reads of
/// the other. With a local isolator whose clamp the cable exceeds, the larger contactor would leave the circuit waiting all the same:
/// nothing gives way, and both ends are told.
#[test]
fn a_larger_frame_names_its_circuit_breaker_and_comes_only_where_it_is_enough() {
    let basis = format!("{IEC}[design]\ncoordination = \"type-2\"\n");
    let rows = "tag,load_kind,rated_power_kw,starting_method,voltage_v,cable_length_m,full_load_current_a,isolator\n\
         P-1,motor,5.5,direct,400,300,11,no\nP-2,motor,5.5,direct,400,300,11,yes\n";
    let design = whole(rows, &basis);
    let (larger, isolated) = (of(&design, "P-1"), of(&design, "P-2"));
    let area = larger.runs[0].phase_area_mm2;
    assert!(clamps(larger).0 >= area && clamps(isolated).0 < area, "{} mm² for {area} mm²", clamps(larger).0);
    let why = told(larger, "C221").expect("the larger frame is told");
    let device = |circuit: &Circuit| circuit.protection.as_ref().expect("a device").clone();
    let (now, before) = (device(larger), device(isolated));
    assert!(now.part != before.part && now.kind == before.kind && now.rating_a == before.rating_a, "the case: {now:?}");
    assert!(why.what.contains(&format!("{} in place of {}", now.part, before.part)), "{why:?}");
    assert!(told(isolated, "C221").is_none(), "{:?}", told(isolated, "C221"));
    let failed = |subject: &str| isolated.checks.iter().any(|check| check.subject == subject && check.passed == Some(false));
    assert!(failed("motor run") && failed("motor run, local isolator"), "{:?}", isolated.checks);
}

/// A starter 25 m from its board: the cable to it leaves the board by terminals as a feeder's does, that to the motor leaves the starter: 3
/// + 3 live and two protective conductors of 2.5 mm² (the starter's coil is fed over cores of its own, of another size).
#[test]
fn the_cable_to_a_starter_that_stands_apart_leaves_its_board_by_terminals() {
    let terminals = |supply: &str| {
        let row = format!("A-1,motor,7.5,direct,400,30,15,{supply}");
        let design = whole(
            &format!(
                "tag,load_kind,rated_power_kw,starting_method,voltage_v,cable_length_m,full_load_current_a,supply_length_m\n{row}\n"
            ),
            IEC,
        );
        let circuit = of(&design, "A-1");
        let power: Vec<f64> = circuit.runs.iter().filter(|run| run.role != "control").map(|run| run.phase_area_mm2).collect();
        let control: u32 = circuit.runs.iter().filter(|run| run.role == "control").map(|run| run.cores).sum();
        let pieces = |kind: &str| -> f64 {
            let range = &catalogue::builtin("iec").terminals;
            let of_kind = |part: &&motorwright::design::Part| range.iter().any(|row| row.part == part.part && row.kind == kind);
            circuit.parts.iter().filter(of_kind).map(|part| part.quantity).sum()
        };
        (power, control, pieces("feed-through") + pieces("protective"))
    };
    let (together, control, on_board) = terminals("");
    assert_eq!((together.len(), control, on_board), (1, 0, 4.0), "three lines and a protective conductor");
    let (apart, control, pieces) = terminals("25");
    assert!(apart.len() == 2 && apart.iter().all(|area| *area <= 16.0), "the case: {apart:?}");
    assert_eq!(pieces, 8.0 + f64::from(control), "four for each power cable, and one for each core of control");
}

/// The way of a feeder has its plate on the board before whether or not its length is known: what labels.csv engraves is bought. A board at
/// the terminals of its transformer has no cable, so none is tagged.
#[test]
fn a_feeder_without_a_length_has_its_nameplate_and_no_tags() {
    let basis = format!("{IEC}[[board]]\nname = \"MDB\"\n[[board]]\nname = \"MCC\"\nfed_from = \"MDB\"\n");
    let schedule = "tag,board,load_kind,rated_power_kw,starting_method,voltage_v,cable_length_m,full_load_current_a\nM-1,MCC,motor,7.5,direct,400,30,15\n";
    let of_feeder = |length: &str| {
        let design = whole(schedule, &format!("{basis}{length}"));
        let board = design.boards.iter().find(|board| board.name == "MCC").expect("the board").clone();
        let range = &catalogue::builtin("iec").labels;
        let pieces = |kind: &str| -> f64 {
            let of_kind = |part: &&motorwright::design::Part| range.iter().any(|row| row.part == part.part && row.kind == kind);
            board.feeder.parts.iter().filter(of_kind).map(|part| part.quantity).sum()
        };
        (pieces("nameplate"), pieces("cable-tag"))
    };
    assert_eq!(of_feeder(""), (1.0, 0.0));
    assert_eq!(of_feeder("feeder_length_m = 10\n"), (1.0, 2.0));
}
