//! Two revisions where more than rows changed: the basis beside them, names of boards, tags of cables.

mod common;

use common::opened_text;
use motorwright::compare::{self, Changes};
use motorwright::project::Inputs;
use motorwright::report::{self, lists::labels_anew};
use motorwright::rules::units::Units;

const IEC: &str = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nphases = 3\nfrequency_hz = 50\nprospective_fault_ka = 25\n\
                   prospective_fault_min_ka = 12\n";

fn between(old: &Inputs, new: &Inputs) -> Changes {
    let (before, now) = (old.design(), new.design());
    let mut changes = compare::compare(&before, &now, &[], Some(new)).expect("no tag is fixed");
    changes.labels = labels_anew(&changes, &before, &now);
    changes
}

fn summary(changes: &Changes) -> String {
    report::changes::summary(changes, None, Units::Metric)
}

/// `purchase.spare_pct` counts spare parts and decides nothing in any circuit: the fault current that eats the margin comes from the motor
/// of the row that was added (IEC 60909-0, 3.8).
#[test]
fn a_basis_that_changed_too_is_not_blamed_for_what_other_rows_do() {
    let board = "[[board]]\nname = \"M\"\nfeeder_length_m = 300\nfeeder_conductor = \"2x 120 mm2 copper xlpe\"\n";
    let (before, spares) = (format!("{IEC}{board}"), format!("{IEC}[purchase]\nspare_pct = 10\n{board}"));
    let head = "tag,board,load_kind,rated_power_kw,full_load_current_a,starting_method,cable_length_m\n";
    let old = format!("{head}H-1,M,heater,20,29,feeder,60\nP-2,M,motor,15,28,direct,20\n");
    let new = format!("{old}P-3,M,motor,90,160,direct,20\n");
    for basis in [&before, &spares] {
        let changes = between(&opened_text(&old, &before), &opened_text(&new, basis));
        let margin = changes.margins.iter().find(|margin| margin.tag == "H-1").expect("the breaking capacity is nearly reached");
        assert_eq!((margin.check.as_str(), margin.because.clone()), ("breaking-capacity", vec!["other rows".to_owned()]));
    }
}

/// The heater's cable is the same in the wall: whoever reads its new tag must know which one it bears now, and that the other tag belongs
/// to no cable any more. By hand: the screened cable of the thermistors is numbered before that of the heater.
#[test]
fn a_tag_that_moves_to_another_cable_and_one_that_is_gone_are_told() {
    let head = "tag,board,rated_power_kw,full_load_current_a,starting_method,cable_length_m,thermistor,space_heater_w\n";
    let row = |thermistor: &str| format!("{head}P-1,M,15,28,direct,40,{thermistor},60\n");
    let changes = between(&opened_text(&row("yes"), IEC), &opened_text(&row("no"), IEC));
    let text = summary(&changes);
    for line in [
        "cable tags W-P-1-C1, 2: control cable for thermistors",
        "names another cable: control cable for space heater",
        "which bore W-P-1-C2 before",
        "cable tags W-P-1-C2, 2: M to P-1",
        "take it off: no cable bears it any more",
    ] {
        assert!(text.contains(line), "{line}: {text}");
    }
    // Power and control are numbered apart, so that the tag of the power cable stays.
    assert!(!text.contains("W-P-1-1"), "{text}");
}

/// IEC 81346-1: a reference designation begins with a sign, which tells it from another of the same letters.
#[test]
fn cables_of_a_reference_designation_keep_its_sign() {
    let head = "tag,board,rated_power_kw,full_load_current_a,starting_method,cable_length_m,space_heater_w\n";
    let design = opened_text(&format!("{head}-M101,+S1,15,28,direct,40,60\n"), IEC).design();
    let cables = motorwright::design::labels::cables(&design.circuits[0], "-M101");
    let tags: Vec<&str> = cables.iter().map(|cable| cable.tag.as_str()).collect();
    assert_eq!(tags, ["-M101-WD1", "-M101-WG1"]);
}

/// By hand: the board's rows, feeder and feeding board are the same; its name is one change, and only the length of its feeder another.
#[test]
fn a_board_under_another_name_is_told_once() {
    let head = "tag,board,rated_power_kw,full_load_current_a,starting_method,cable_length_m\n";
    let rows = |board: &str| format!("{head}P-1,{board},15,28,direct,20\nP-2,{board},15,28,direct,20\nP-3,MDB,15,28,direct,20\n");
    let basis = |board: &str, length: u32| {
        format!("{IEC}[[board]]\nname = \"MDB\"\n[[board]]\nname = \"{board}\"\nfed_from = \"MDB\"\nfeeder_length_m = {length}\n")
    };
    let old = opened_text(&rows("MCC-P"), &basis("MCC-P", 40));
    let changes = between(&old, &opened_text(&rows("MCC-CP1"), &basis("MCC-CP1", 40)));
    let told: Vec<(&str, &str)> =
        changes.renamed_boards.iter().map(|board| (board.old_name.as_str(), board.name.as_str())).collect();
    assert_eq!(told, [("MCC-P", "MCC-CP1")]);
    assert_eq!((changes.unchanged, changes.changed.len()), (3, 0), "{:?}", changes.changed);
    assert!(changes.surroundings.is_empty() && changes.boards.is_empty(), "{:?} {:?}", changes.surroundings, changes.boards);
    assert!(changes.findings_gone.is_empty() && changes.findings_new.is_empty(), "{:?}", changes.findings_new);
    // Nameplates and tags bear the name, and are to be made anew.
    assert!(summary(&changes).contains("P-1: nameplate P-1: fed from MCC-P → fed from MCC-CP1"), "{}", summary(&changes));
    let longer = between(&old, &opened_text(&rows("MCC-CP1"), &basis("MCC-CP1", 60)));
    let keys: Vec<&str> = longer.surroundings.iter().map(|surrounding| surrounding.key.as_str()).collect();
    assert_eq!(keys, ["board.MCC-CP1.feeder_length_m"]);
    // A row that moves alone to a board of its own makes no other board of it.
    let moved = format!("{head}P-1,MCC-P,15,28,direct,20\nP-2,MCC-P,15,28,direct,20\nP-3,NEW,15,28,direct,20\n");
    assert!(between(&old, &opened_text(&moved, &basis("MCC-P", 40))).renamed_boards.is_empty());
}

#[test]
fn a_pure_split_of_a_range_is_no_changed_row() {
    let head = "tag,quantity,board,rated_power_kw,full_load_current_a,starting_method,cable_length_m\n";
    let old = opened_text(&format!("{head}P-1A/B,2,M,4,8.1,direct,20\n"), IEC);
    let new = opened_text(&format!("{head}P-1A,1,M,4,8.1,direct,20\nP-1B,1,M,4,8.1,direct,20\n"), IEC);
    let changes = between(&old, &new);
    assert_eq!((changes.split.len(), changes.changed.len()), (1, 0), "{:?}", changes.changed);
}

/// The panel behind a transformer is called otherwise: there is one panel behind it, though only one row stands on it.
#[test]
fn a_board_of_one_row_is_known_by_its_transformer() {
    let basis = |name: &str| {
        format!(
            "{IEC}[[board]]\nname = \"MDB\"\n[[transformer]]\nname = \"T-1\"\nfrom = \"MDB\"\nto = \"{name}\"\nkva = 40\nimpedance_pct = 4\n\
             secondary_voltage_v = 230\n[[board]]\nname = \"{name}\"\n"
        )
    };
    let rows = |board: &str| {
        format!(
            "tag,board,rated_power_kw,voltage_v,full_load_current_a,starting_method,cable_length_m\nP-1,{board},2.2,230,8.2,direct,20\n"
        )
    };
    let changes = between(&opened_text(&rows("LP-1"), &basis("LP-1")), &opened_text(&rows("LP-2"), &basis("LP-2")));
    let renamed: Vec<(&str, &str)> =
        changes.renamed_boards.iter().map(|board| (board.old_name.as_str(), board.name.as_str())).collect();
    assert_eq!(renamed, [("LP-1", "LP-2")]);
    assert!(changes.surroundings.is_empty() && changes.boards.is_empty() && changes.changed.is_empty(), "{changes:?}");
}
