//! What rows and basis name, and what nobody names: boards, duty groups, systems and feeders from the schedule to the board of the design.
//! Currents are those of the rows, figures of feeders arithmetic of what is stated.

use motorwright::basis::Basis;
use motorwright::design::{Board, Circuit, Design, Status};
use motorwright::finding::Severity;

mod common;

use common::design_of;

const IEC: &str = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nphases = 3\nearthing = \"TN-S\"\nprospective_fault_ka = 50\nprospective_fault_min_ka = 30\n";
const HEAD: &str = "Tag,Board,Motor Power (kW),FLC (A),Voltage (V),Starter,Cable length (m),Duty group,Running\n";

fn board<'a>(design: &'a Design, name: &str) -> &'a Board {
    design.boards.iter().find(|board| board.name == name).unwrap_or_else(|| panic!("no board {name}"))
}

fn circuit<'a>(design: &'a Design, tag: &str) -> &'a Circuit {
    design.circuits.iter().find(|circuit| circuit.tag == tag).unwrap_or_else(|| panic!("no circuit {tag}"))
}

fn demand(board: &Board) -> f64 {
    board.demand_current_a
}

fn has(circuit: &Circuit, code: &str) -> bool {
    circuit.findings.iter().any(|finding| finding.code == code)
}

/// No finding says that the program contradicts itself.
fn sound(design: &Design) {
    let of_circuits = design.circuits.iter().flat_map(|circuit| &circuit.findings);
    let of_boards = design.boards.iter().flat_map(|board| &board.findings);
    let faults: Vec<&str> = of_circuits
        .chain(of_boards)
        .chain(&design.findings)
        .filter(|finding| finding.code.starts_with('V'))
        .map(|finding| finding.what.as_str())
        .collect();
    assert!(faults.is_empty(), "{faults:?}");
}

/// Four rows of 100 A on one board, whose name has its capitals, a blank or the hyphen of a word processor: 400 A.
#[test]
fn one_board_in_four_spellings_is_one_board() {
    let rows = ["MCC-1", "mcc-1", "MCC -1", "MCC\u{2011}1"];
    let rows: String = rows.iter().enumerate().map(|(at, name)| format!("P-{at},{name},55,100,400,DOL,30,,\n")).collect();
    let design = design_of(&format!("{HEAD}{rows}"), IEC);
    assert_eq!(design.boards.iter().map(|board| board.name.as_str()).collect::<Vec<_>>(), ["MCC-1"]);
    assert!((demand(board(&design, "MCC-1")) - 400.0).abs() < 0.1);
    for tag in ["P-1", "P-2", "P-3"] {
        assert!(has(circuit(&design, tag), "I453"), "{tag}");
    }
    sound(&design);
}

/// The basis spells its boards as it likes; a board that it has in two spellings stays two.
#[test]
fn the_basis_says_how_a_board_is_spelled() {
    let basis = format!("{IEC}[[board]]\nname = \"Mcc-1 \"\n");
    let design = design_of(&format!("{HEAD}P-1,MCC-1,55,100,400,DOL,30,,\n"), &basis);
    assert_eq!(design.circuits[0].board, "Mcc-1");
    assert!(!has(circuit(&design, "P-1"), "L331"));
    sound(&design);
    let both = format!("{IEC}[[board]]\nname = \"A\"\n[[board]]\nname = \"a\"\n");
    let design = design_of(&format!("{HEAD}P-1,A,55,100,400,DOL,30,,\nP-2,a,55,100,400,DOL,30,,\n"), &both);
    assert_eq!(design.circuits.iter().map(|circuit| circuit.board.as_str()).collect::<Vec<_>>(), ["A", "a"]);
}

/// A duty and a standby row of one group: 100 A run, however the group is spelled.
#[test]
fn a_duty_group_in_two_spellings_is_one_group() {
    let rows = "P-1,MCC-1,55,100,400,DOL,30,Feed,duty\nP-2,MCC-1,55,100,400,DOL,30,feed,standby\n";
    let design = design_of(&format!("{HEAD}{rows}"), IEC);
    assert!((demand(board(&design, "MCC-1")) - 100.0).abs() < 0.1);
    assert!(has(circuit(&design, "P-2"), "I453") && !has(circuit(&design, "P-2"), "L344"));
}

/// A group without a row on duty is asked about, and its circuit waits.
#[test]
fn a_group_that_stands_by_alone_waits() {
    let rows = "P-1,MCC-1,55,100,400,DOL,30,Feed,duty\nP-2,MCC-1,55,100,400,DOL,30,Fed,standby\n";
    let design = design_of(&format!("{HEAD}{rows}"), IEC);
    assert!(has(circuit(&design, "P-2"), "L344") && !has(circuit(&design, "P-1"), "L344"));
    assert_ne!(circuit(&design, "P-2").status, Status::Sized);
}

/// A row on duty with a current that can't be read is on duty all the same: its standby row is not asked about.
#[test]
fn a_row_on_duty_that_could_not_be_read_belongs_to_its_group() {
    let rows = "P-1,MCC-1,55,xx,400,DOL,30,Feed,duty\nP-2,MCC-1,55,100,400,DOL,30,Feed,standby\n";
    let design = design_of(&format!("{HEAD}{rows}"), IEC);
    assert!(design.circuits.iter().all(|circuit| !has(circuit, "L344")));
}

/// One forgotten cell among boards that others name: its load is missing somewhere, so its parts wait.
#[rstest::rstest]
#[case::of_the_basis("[[board]]\nname = \"MB\"\n[[board]]\nname = \"MCC-1\"\nfed_from = \"MB\"\n", true)]
#[case::of_other_rows("", true)]
#[case::another_than_the_only_one("[[board]]\nname = \"MB\"\n", true)]
#[case::the_only_one("[[board]]\nname = \"MCC-1\"\n", false)]
fn a_row_without_a_board_waits_where_there_are_several(#[case] boards: &str, #[case] waits: bool) {
    let rows = "P-1,MCC-1,55,100,400,DOL,30,,\nP-2,,55,100,400,DOL,30,,\n";
    let design = design_of(&format!("{HEAD}{rows}"), &format!("{IEC}{boards}"));
    assert_eq!(has(circuit(&design, "P-2"), "L343"), waits);
    assert!(!has(circuit(&design, "P-1"), "L343"));
    if waits {
        assert_ne!(circuit(&design, "P-2").status, Status::Sized);
    }
    // Where no row and no basis names one, all stand on one board.
    let alone = design_of(&format!("{HEAD}P-2,,55,100,400,DOL,30,,\n"), IEC);
    assert!(!has(circuit(&alone, "P-2"), "L343"));
}

/// A blank behind a name of the basis is seen by nobody: the board is the same, with the 10 kA that are stated of it.
#[test]
fn a_blank_behind_a_name_of_the_basis_makes_no_other_board() {
    let rows = format!("{HEAD}P-1,MCC-1,55,100,400,DOL,30,,\n");
    // The smallest fault current of the supply is more than the 10 kA that are stated here.
    let supply = IEC.replace("prospective_fault_min_ka = 30\n", "");
    let of = |name: &str| {
        design_of(&rows, &format!("{supply}[[board]]\nname = \"{name}\"\nprospective_fault_ka = 10\nfed_from = \"supply\"\n"))
    };
    let (blank, plain) = (of("MCC-1 "), of("MCC-1"));
    sound(&blank);
    assert_eq!(board(&blank, "MCC-1").prospective_fault_ka, Some(10.0));
    assert_eq!(format!("{:?}", blank.boards), format!("{:?}", plain.boards));
}

/// Whatever states a feeder, the board does not stand at the supply's fault level.
#[rstest::rstest]
#[case::metres("feeder_length_m = 457.2")]
#[case::feet("feeder_length_ft = 1500")]
#[case::conductor("feeder_conductor = \"250 kcmil copper\"")]
#[case::resistance("feeder_r_ohm = 0.1")]
#[case::installation("feeder_installation = \"conduit\"")]
#[case::feed("fed_from = \"supply\"")]
fn a_board_behind_a_feeder_has_not_the_fault_current_of_the_supply(#[case] stated: &str) {
    let text = format!("[supply]\nvoltage_v = 480\nprospective_fault_ka = 65\n[[board]]\nname = \"A\"\n{stated}\n");
    let (basis, _) = motorwright::basis::from_toml("basis.toml", &text).expect("a basis");
    let point = motorwright::supply::point(&basis, "A", motorwright::quantity::Volts(480.0));
    assert!(point.fault_max.is_none(), "{stated}");
    let at_supply =
        motorwright::supply::point(&Basis { boards: Vec::new().into(), ..basis }, "A", motorwright::quantity::Volts(480.0));
    assert_eq!(at_supply.fault_max.map(|amperes| amperes.0), Some(65_000.0));
}

/// A three-phase motor on a board of one phase waits, and somebody can decide it.
#[test]
fn a_warning_of_the_network_on_a_row_is_that_of_its_circuit() {
    let basis = "[rules]\nbook = \"nec\"\n[supply]\nvoltage_v = 240\nphases = 3\nfrequency_hz = 60\nprospective_fault_ka = 20\n[[board]]\nname = \"LP\"\nphases = 1\n";
    let rows = "tag,board,rated_power_hp,voltage_v,phases,starting_method,cable_length_ft\nP-1,LP,3,230,3,direct,50\n";
    let design = design_of(rows, basis);
    let told = |design: &Design| design.circuits[0].findings.iter().find(|finding| finding.code == "B203").cloned();
    let finding = told(&design).expect("B203 on the circuit");
    assert!(!design.findings.iter().any(|finding| finding.code == "B203"));
    assert_ne!(design.circuits[0].status, Status::Sized);
    let decided = format!(
        "{basis}[[decided]]\ntag = \"P-1\"\ncode = \"B203\"\nwhat = '{}'\nby = \"ab\"\ndate = \"2026-11-27\"\nwhy = \"seen\"\n",
        finding.what
    );
    let design = design_of(rows, &decided);
    assert!(!design.findings.iter().any(|finding| finding.code == "F111"), "{:?}", design.findings);
}

/// Both lengths of a feeder: 10 m and 300 ft, which are 91.44 m. Drop and smallest fault current by the longer, breaking capacities by the
/// shorter; and it is told.
#[test]
fn two_lengths_of_a_feeder_are_told_and_each_counts_where_it_is_worse() {
    let rows = format!("{HEAD}P-1,MCC-1,55,100,400,DOL,30,,\n");
    let of = |lengths: &str| {
        let conductor = "feeder_conductor = \"50 mm2 copper xlpe\"\n";
        design_of(
            &rows,
            &format!("{IEC}[[board]]\nname = \"MB\"\n[[board]]\nname = \"MCC-1\"\nfed_from = \"MB\"\n{conductor}{lengths}"),
        )
    };
    let (short, long, both) =
        (of("feeder_length_m = 10\n"), of("feeder_length_m = 91.44\n"), of("feeder_length_m = 10\nfeeder_length_ft = 300\n"));
    let largest = |design: &Design| board(design, "MCC-1").prospective_fault_ka;
    assert_eq!(largest(&both), largest(&short));
    assert!(largest(&both) > largest(&long));
    assert_eq!(board(&both, "MCC-1").feeder.drop_pct, board(&long, "MCC-1").feeder.drop_pct);
    let told = |design: &Design| board(design, "MCC-1").findings.iter().any(|finding| finding.code == "L311");
    assert!(told(&both) && !told(&short) && !told(&long));
    let agree = of("feeder_length_m = 91.44\nfeeder_length_ft = 300\n");
    assert!(!told(&agree));
    sound(&both);
}

/// Words of a system decide coils and cores: no note may say that nothing rests on them.
#[test]
fn the_words_of_a_system_are_never_called_unused() {
    let basis = format!("{IEC}system = \"400/230 V 3L+N\"\n[[board]]\nname = \"MCC-1\"\nsystem = \"400/230 V 3L+N\"\n");
    let design = design_of(&format!("{HEAD}P-1,MCC-1,5.5,11,400,DOL,30,,\n"), &basis);
    assert!(design.findings.iter().filter(|finding| finding.code == "L407").all(|finding| !finding.what.contains("system")));
}

/// Keys of which a note says that nothing rests on them: a design with them is the design without them, but for the note and the basis.
#[test]
fn keys_that_are_called_unused_change_nothing() {
    let keys =
        "[design]\nminimum_nema_size = \"1\"\nminimum_size_awg = \"10 AWG\"\nminimum_raceway = \"3/4\"\ntermination_c = 75\n";
    let rows = format!("{HEAD}P-1,MCC-1,5.5,11,400,DOL,30,,\n");
    let (with, without) = (design_of(&rows, &format!("{IEC}{keys}")), design_of(&rows, IEC));
    let note = with.findings.iter().find(|finding| finding.code == "L407").expect("a note");
    for key in ["minimum_nema_size", "minimum_size_awg", "minimum_raceway", "termination_c"] {
        assert!(note.what.contains(key), "{key} is not named: {}", note.what);
    }
    let bare = |design: &Design| {
        let circuits: Vec<Circuit> = design.circuits.clone();
        serde_json::to_string(&(circuits, &design.boards, &design.purchase)).expect("JSON")
    };
    assert_eq!(bare(&with), bare(&without));
}

/// A row of which nothing runs is asked about; a board on which nothing counts says that its feeder is not chosen.
#[test]
fn a_row_of_which_nothing_runs_waits() {
    let rows = "tag,board,rated_power_kw,full_load_current_a,voltage_v,starting_method,cable_length_m,quantity,duty_count\nP-1,MCC-1,55,100,400,direct,20,2,0\n";
    let design = design_of(rows, &format!("{IEC}[[board]]\nname = \"MCC-1\"\nfed_from = \"supply\"\nfeeder_length_m = 20\n"));
    assert!(has(&design.circuits[0], "L345"));
    assert_ne!(design.circuits[0].status, Status::Sized);
    assert!(
        board(&design, "MCC-1").findings.iter().any(|finding| finding.code == "B327"),
        "{:?}",
        board(&design, "MCC-1").findings
    );
}

/// A share of nothing is usual for a machine that stands by, and asked about for one that runs; a row whose machines all stand by has said
/// so.
#[test]
fn a_row_that_stands_by_may_count_for_nothing() {
    let head = "tag,board,rated_power_kw,full_load_current_a,voltage_v,starting_method,cable_length_m,running,demand_factor,duty_count,standby_count\n";
    let rows = "P-1,MCC-1,5.5,10.4,400,direct,20,duty,0,,\nP-2,MCC-1,5.5,10.4,400,direct,20,standby,0,,\nP-3,MCC-1,5.5,10.4,400,direct,20,,,0,1\n\
                P-4,MCC-1,5.5,10.4,400,direct,20,duty,0.03,,\n";
    let design = design_of(&format!("{head}{rows}"), &format!("{IEC}[[board]]\nname = \"MCC-1\"\n"));
    let told: Vec<bool> = design.circuits.iter().map(|circuit| has(circuit, "L345")).collect();
    assert_eq!(told, [true, false, false, false]);
    assert!(design.circuits.iter().all(|circuit| circuit.status != Status::NotSized && !has(circuit, "I102")));
}

/// `DB 1 1` is a board beside `DB 11`; `DB-1` and `db 1` are one.
#[test]
fn a_blank_between_figures_parts_names() {
    let head = "tag,board,rated_power_kw,full_load_current_a,voltage_v,starting_method,cable_length_m\n";
    let row = |tag: &str, board: &str| format!("{tag},{board},5.5,10.4,400,direct,20\n");
    let rows = [row("P-1", "DB 1 1"), row("P-2", "DB 11"), row("P-3", "DB-2"), row("P-4", "db -2")].concat();
    let design = design_of(&format!("{head}{rows}"), IEC);
    let boards: Vec<&str> = design.circuits.iter().map(|circuit| circuit.board.as_str()).collect();
    assert_eq!(boards, ["DB 1 1", "DB 11", "DB-2", "DB-2"]);
}

/// `480 V 3W delta` has no neutral, behind a transformer of one voltage as before it; behind one to another voltage nobody says.
#[test]
fn the_system_behind_a_transformer_is_that_of_the_supply_only_at_its_voltage() {
    let of = |secondary: &str, system: &str| {
        let text = format!(
            "[supply]\nvoltage_v = 480\nphases = 3\nsystem = \"480 V 3W delta\"\n[[board]]\nname = \"A\"\nfed_from = \"T1\"\n[[transformer]]\nname = \"T1\"\n{secondary}{system}"
        );
        let (basis, _) = motorwright::basis::from_toml("basis.toml", &text).expect("a basis");
        let walked = motorwright::conductors::system_of_board(&basis, "A").map(str::to_owned);
        let tree = motorwright::network::tree::Tree::of(&basis, &["A"], None);
        assert_eq!(tree.nodes[0].system, walked);
        walked
    };
    assert_eq!(of("", "").as_deref(), Some("480 V 3W delta"));
    assert_eq!(of("secondary_voltage_v = 480\n", "").as_deref(), Some("480 V 3W delta"));
    assert_eq!(of("secondary_voltage_v = 208\n", ""), None);
    assert_eq!(of("secondary_voltage_v = 208\n", "system = \"208Y/120\"\n").as_deref(), Some("208Y/120"));
}

/// Two answers to one question, phases and system of a board, by the basis and by the tree: those of the supply, of the board before, one
/// phase where a transformer stands on one, and none behind a transformer on a board, whose secondary is a system of its own (NFPA 70, 100:
/// separately derived).
#[rstest::rstest]
#[case::plain("[[board]]\nname = \"A\"\n", 3, Some("480Y/277 4W"))]
#[case::behind_a_board(
    "[[board]]\nname = \"M\"\nphases = 1\nsystem = \"240/120\"\n[[board]]\nname = \"A\"\nfed_from = \"M\"\n",
    1,
    Some("240/120")
)]
#[case::transformer_on_one_phase(
    "[[board]]\nname = \"M\"\nphases = 1\nvoltage_v = 480\n[[transformer]]\nname = \"T\"\nfrom = \"M\"\nto = \"A\"\nsecondary_voltage_v = 240\n[[board]]\nname = \"A\"\n",
    1,
    None
)]
#[case::transformer_on_a_board(
    "[[board]]\nname = \"M\"\nsystem = \"480Y/277\"\n[[transformer]]\nname = \"T\"\nfrom = \"M\"\nto = \"A\"\nsecondary_voltage_v = 480\n[[board]]\nname = \"A\"\n",
    3,
    None
)]
fn basis_and_tree_agree_on_a_board(#[case] boards: &str, #[case] phases: u32, #[case] system: Option<&str>) {
    let text = format!("[supply]\nvoltage_v = 480\nphases = 3\nsystem = \"480Y/277 4W\"\n{boards}");
    let (basis, _) = motorwright::basis::from_toml("basis.toml", &text).expect("a basis");
    let tree = motorwright::network::tree::Tree::of(&basis, &["A"], None);
    let node = &tree.nodes[tree.find("A").expect("a board")];
    assert_eq!((node.phases, node.system.as_deref()), (phases, system));
    let of_basis = (motorwright::conductors::phases_of_board(&basis, "A"), motorwright::conductors::system_of_board(&basis, "A"));
    assert_eq!(of_basis, (phases, system));
}

/// The sheet of a workbook and a file of the basis: which of them counts is told.
#[test]
fn a_sheet_with_a_basis_beside_a_file_is_told() {
    let mut workbook = rust_xlsxwriter::Workbook::new();
    let sheet = workbook.add_worksheet();
    sheet.set_name("Motors").expect("a name");
    let cells = [["Tag", "kW", "FLC (A)", "V", "Starter"], ["P-1", "5.5", "11", "400", "DOL"]];
    for (row, texts) in (0..).zip(cells) {
        for (column, text) in (0..).zip(texts) {
            sheet.write_string(row, column, text).expect("a cell");
        }
    }
    let sheet = workbook.add_worksheet();
    sheet.set_name("Basis").expect("a name");
    for (row, [key, value]) in (0..).zip([["key", "value"], ["rules.book", "iec"], ["supply.prospective_fault_ka", "50"]]) {
        sheet.write_string(row, 0, key).and_then(|sheet| sheet.write_string(row, 1, value)).expect("a pair");
    }
    let folder = tempfile::tempdir().expect("a folder");
    let (schedule, basis) = (folder.path().join("loads.xlsx"), folder.path().join("basis.toml"));
    workbook.save(&schedule).expect("a file");
    std::fs::write(&basis, IEC).expect("a file");
    let open = |basis: Option<&std::path::PathBuf>| {
        let options = motorwright::project::Options {
            schedule: schedule.clone(),
            basis: basis.cloned(),
            ..motorwright::project::Options::default()
        };
        motorwright::project::open(&options).expect("it opens")
    };
    let told = |inputs: &motorwright::project::Inputs| {
        inputs.findings.iter().any(|finding| finding.code == "F102" && finding.severity == Severity::Warning)
    };
    assert!(told(&open(Some(&basis))));
    assert!(!told(&open(None)));
}

/// Boards of floors are called by two numbers; a board of such a name is no way, with a basis that states it and without.
#[rstest::rstest]
#[case("[[board]]\nname = \"1/1\"\n[[board]]\nname = \"1/2\"\n[[board]]\nname = \"2/1\"\n", ["1/1", "1/2", "2/1"])]
#[case("", ["1/1", "1/2", "2/1"])]
#[case("", ["1-1", "1-2", "2-1"])]
#[case("", ["1/1", "1/1", "1/2"])]
fn boards_called_by_two_numbers_are_boards(#[case] boards: &str, #[case] names: [&str; 3]) {
    let rows: String = names.iter().enumerate().map(|(at, name)| format!("P-{at},Pump,5.5,DOL,{name}\n")).collect();
    let design = design_of(&format!("Tag,Description,kW,Starter,Panel\n{rows}"), &format!("{IEC}{boards}"));
    assert_eq!(design.circuits.iter().map(|circuit| circuit.board.as_str()).collect::<Vec<_>>(), names);
    sound(&design);
}

/// Ways of panel schedules (`1,3,5`: poles on one side of a panel) name no board; which one feeds the load is asked.
#[test]
fn numbers_of_ways_are_no_boards_and_are_asked_about() {
    let rows = "P-1,Pump,5.5,DOL,\"1,3,5\"\nP-2,Pump,5.5,DOL,\"7,9,11\"\n";
    let design = design_of(&format!("Tag,Description,kW,Starter,Panel\n{rows}"), IEC);
    assert!(design.circuits.iter().all(|circuit| !circuit.board.contains(',')));
    assert!(design.circuits.iter().all(|circuit| has(circuit, "I455")), "{:?}", design.circuits[0].findings);
}

/// `MCC 1` is `MCC-1` where no `MCC1` stands; where both do, nobody knows which: three boards and a question, in whatever order the rows
/// stand.
#[rstest::rstest]
#[case(&["MCC 1", "MCC1", "MCC-1"])]
#[case(&["MCC-1", "MCC1", "MCC 1"])]
#[case(&["MCC1", "MCC 1", "MCC-1", "MCC 1"])]
fn the_order_of_rows_joins_no_boards(#[case] names: &[&str]) {
    let rows: String = names.iter().enumerate().map(|(at, name)| format!("P-{at},{name},55,100,400,DOL,30,,\n")).collect();
    let design = design_of(&format!("{HEAD}{rows}"), IEC);
    let boards: std::collections::BTreeSet<&str> = design.boards.iter().map(|board| board.name.as_str()).collect();
    assert_eq!(boards.into_iter().collect::<Vec<_>>(), ["MCC 1", "MCC-1", "MCC1"]);
    for circuit in &design.circuits {
        let asked = circuit.findings.iter().find(|finding| finding.code == "I484");
        assert_eq!(asked.is_some(), circuit.board == "MCC 1", "{}: {:?}", circuit.board, circuit.findings);
        assert!(asked.is_none_or(|asked| asked.what.contains("`MCC1` or `MCC-1`")), "{:?}", circuit.findings);
    }
    sound(&design);
}

/// Two spellings of one board, the blank first or the hyphen, and of a board of the basis.
#[rstest::rstest]
#[case(["MCC 1", "MCC-1"], "", "MCC 1")]
#[case(["MCC-1", "mcc 1"], "", "MCC-1")]
#[case(["MCC1", "MCC 1"], "", "MCC1")]
#[case(["MCC-1", "mcc-1"], "[[board]]\nname = \"MCC 1\"\n", "MCC 1")]
fn two_spellings_of_one_board_are_one(#[case] names: [&str; 2], #[case] boards: &str, #[case] expected: &str) {
    let rows: String = names.iter().enumerate().map(|(at, name)| format!("P-{at},{name},55,100,400,DOL,30,,\n")).collect();
    let design = design_of(&format!("{HEAD}{rows}"), &format!("{IEC}{boards}"));
    assert!(design.circuits.iter().all(|circuit| circuit.board == expected && !has(circuit, "I484")), "{:?}", design.boards);
}

/// The basis states `MCC 1`, and the rows say `MCC1` and `MCC-1`: each may be that board, so that both are asked about by their names.
#[test]
fn a_board_of_the_basis_that_may_be_two_boards_of_the_rows_is_asked_about() {
    let rows = "P-1,MCC1,55,100,400,DOL,30,,\nP-2,MCC-1,55,100,400,DOL,30,,\nP-3,MCC1,55,100,400,DOL,30,,\n";
    let design = design_of(&format!("{HEAD}{rows}"), &format!("{IEC}[[board]]\nname = \"MCC 1\"\n"));
    for circuit in &design.circuits {
        let told = circuit.findings.iter().find(|finding| finding.code == "I484").expect("it is asked");
        assert!(told.what.contains("`MCC 1`") && told.what.contains(&format!("`{}`", circuit.board)), "{}", told.what);
        assert_ne!(circuit.status, Status::Sized);
    }
}

/// The basis has a board with the blank and one with the hyphen: each spelling of the rows is that of its own.
#[rstest::rstest]
#[case("MCC 1", "MCC-1")]
#[case("MCC-1", "MCC 1")]
fn two_boards_of_the_basis_stay_two(#[case] first: &str, #[case] second: &str) {
    let rows = "P-1,mcc-1,55,100,400,DOL,30,,\nP-2,mcc 1,55,100,400,DOL,30,,\n";
    let design =
        design_of(&format!("{HEAD}{rows}"), &format!("{IEC}[[board]]\nname = \"{first}\"\n[[board]]\nname = \"{second}\"\n"));
    assert_eq!(design.circuits.iter().map(|circuit| circuit.board.as_str()).collect::<Vec<_>>(), ["MCC-1", "MCC 1"]);
}
