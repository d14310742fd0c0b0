//! Bases that say too little or contradict themselves have one meaning: conductors, poles and places of boards follow from it, the verifier
//! agrees, and what is wrong is told.

mod common;

use common::design_of;
use motorwright::design::{Board, Circuit, Design};

const HEATER: &str = "tag,board,load_kind,rated_power_kw,voltage_v,phases,starting_method,connection,cable_length_m\n";

fn heater(tag: &str, board: &str, volts: u32, connection: &str) -> String {
    format!("{tag},{board},heater,3,{volts},1,contactor,{connection},20\n")
}

fn iec(boards: &str) -> String {
    format!("[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nearthing = \"TN-S\"\n{boards}")
}

/// The verifier has nothing against the design.
fn agreed(design: Design) -> Design {
    let all = design.all_findings();
    let against: Vec<_> = all.iter().filter(|(_, finding)| finding.code.starts_with('V')).map(|(_, f)| f.what.clone()).collect();
    assert!(against.is_empty(), "{}", against.join("\n"));
    design
}

fn board<'d>(design: &'d Design, name: &str) -> &'d Board {
    design.boards.iter().find(|board| board.name == name).unwrap_or_else(|| panic!("{name} is there"))
}

/// Conductors of the motor run with the protective one, and whether one of them is the neutral.
fn cores(circuit: &Circuit) -> (u32, bool) {
    let run = circuit.runs.iter().find(|run| run.role == "motor").expect("a run");
    (run.cores, run.neutral_size.is_some())
}

/// So often a code is told of circuits, boards and basis.
fn told(design: &Design, code: &str) -> usize {
    design.all_findings().iter().filter(|(_, finding)| finding.code == code).count()
}

/// IEC 60038, Table 1: 400 V lies between the lines of 230/400 V, so that a board of one phase that states no other voltage has two lines,
/// and the one behind it the same two: two conductors and the protective one, two poles at its head, no neutral.
#[test]
fn the_pair_of_a_board_goes_on_behind_it() {
    for earthing in ["", "earthing = \"TN-S\"\n", "earthing = \"TT\"\n"] {
        let basis = format!(
            "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\n{earthing}[[board]]\nname = \"C\"\nphases = 1\n[[board]]\nname = \"A\"\n\
             fed_from = \"C\"\nincoming = \"circuit-breaker\"\nfeeder_length_m = 20\n"
        );
        let design = agreed(design_of(&format!("{HEATER}{}", heater("H-1", "A", 400, "")), &basis));
        assert_eq!(cores(&design.circuits[0]), (3, false), "{earthing}");
        let head = board(&design, "A").incoming.as_ref().expect("an incoming device");
        assert_eq!((head.poles, head.neutral.as_str()), (Some(2), ""), "{earthing}");
        assert_eq!(told(&design, "L346") + told(&design, "B328"), 0, "{earthing}");
    }
}

/// The same two lines where the second name of `fed_from` is unknown: the feed is not known then, which is told, its conductors are.
#[test]
fn the_pair_is_read_of_the_first_feed_that_is_named() {
    let boards =
        "[[board]]\nname = \"B\"\nphases = 1\n[[board]]\nname = \"A\"\nfed_from = \"B; G1\"\nincoming = \"circuit-breaker\"\n";
    let design = agreed(design_of(&format!("{HEATER}{}", heater("H-1", "A", 400, "")), &iec(boards)));
    assert_eq!(cores(&design.circuits[0]), (3, false));
    let head = board(&design, "A").incoming.as_ref().expect("an incoming device");
    assert_eq!((head.poles, head.neutral.as_str(), board(&design, "A").depth), (Some(2), "", 0));
    assert_eq!(told(&design, "B101"), 1);
}

/// No system of IEC 60038, Table 1, has 480 V to its neutral: it lies between the lines of 277/480 V. A device that opens one pole alone
/// would leave a line. 230 V of a supply that nobody states lies to the neutral.
#[test]
fn one_phase_of_an_unknown_supply_is_read_by_its_voltage() {
    let basis = |volts: u32| format!("[rules]\nbook = \"iec\"\n[[board]]\nname = \"C\"\nphases = 1\nvoltage_v = {volts}\n");
    let lines = agreed(design_of(&format!("{HEATER}{}", heater("H-1", "C", 400, "")), &basis(480)));
    assert_eq!(cores(&lines.circuits[0]), (3, false));
    assert_eq!(told(&lines, "L313"), 1, "400 V on a board of 480 V");
    let pair = agreed(design_of(&format!("{HEATER}{}", heater("H-1", "C", 230, "")), &basis(230)));
    assert_eq!(cores(&pair.circuits[0]), (3, true));
    assert_eq!(told(&pair, "L346") + told(&pair, "B328"), 0);
}

/// 400 V gives 400 V between lines and 230 V to the neutral, and no 120 V: what the two conductors of the board are is a guess, which is
/// told of board and load, and no more than that of the load once its connection is stated.
#[test]
fn a_board_of_a_voltage_that_its_supply_does_not_give_is_told() {
    let boards = "[[board]]\nname = \"A\"\nphases = 1\nvoltage_v = 120\n";
    let design = |connection: &str| agreed(design_of(&format!("{HEATER}{}", heater("H-1", "A", 120, connection)), &iec(boards)));
    let open = design("");
    assert_eq!((told(&open, "B328"), told(&open, "L346")), (1, 1));
    assert_eq!(cores(&open.circuits[0]), (3, true));
    assert_eq!((told(&design("L-N"), "B328"), told(&design("L-N"), "L346")), (1, 0));
    let stated =
        agreed(design_of(&format!("{HEATER}{}", heater("H-1", "A", 120, "")), &iec(&format!("{boards}system = \"L-N\"\n"))));
    assert_eq!((told(&stated, "B328"), told(&stated, "L346")), (0, 0));
    let odd = agreed(design_of(&format!("{HEATER}{}", heater("H-1", "A", 400, "")), &iec(boards)));
    assert_eq!(told(&odd, "L313"), 1, "400 V on a board of 120 V");
}

/// A line may be taken for the neutral: 400 V does not lie to the neutral of 230/400 V, 230 V does not lie between its lines, and a board
/// behind one line and the neutral has no second line.
#[test]
fn a_connection_that_the_voltage_contradicts_is_told() {
    let boards =
        "[[board]]\nname = \"M\"\n[[board]]\nname = \"L\"\nfed_from = \"M\"\nphases = 1\nvoltage_v = 230\nfeeder_length_m = 10\n";
    for (on, volts, connection, wrong) in [
        ("M", 400, "L-N", 1),
        ("M", 230, "L-L", 1),
        ("L", 230, "L-L", 1),
        ("M", 400, "L-L", 0),
        ("M", 230, "L-N", 0),
        ("L", 230, "L-N", 0),
        ("L", 230, "", 0),
    ] {
        let design = agreed(design_of(&format!("{HEATER}{}", heater("H-1", on, volts, connection)), &iec(boards)));
        assert_eq!(told(&design, "L346"), wrong, "{volts} V {connection} on {on}");
    }
}

/// The words of a system of three phases say nothing of which two conductors come to a board: 400 V lies between two of its lines.
#[test]
fn words_of_three_phases_do_not_make_a_pair() {
    let boards = "[[board]]\nname = \"A\"\nphases = 1\nsystem = \"400 V 3L+N\"\n";
    let design = agreed(design_of(&format!("{HEATER}{}", heater("H-1", "A", 400, "")), &iec(boards)));
    assert_eq!(cores(&design.circuits[0]), (3, false));
}

const MOTOR: &str = "tag,board,load_kind,rated_power_kw,voltage_v,phases,full_load_current_a,efficiency_pct,power_factor,starting_method,cable_length_m\n";

/// Boards that a board feeds stand behind it as far as their voltages are one: B of 208 V does not stand behind A, whose motor has 400 V,
/// and C stands behind B alone.
#[test]
fn boards_before_a_board_are_counted_to_where_the_voltage_changes() {
    let basis = "[rules]\nbook = \"iec\"\n[[board]]\nname = \"C\"\nfed_from = \"B\"\n[[board]]\nname = \"B\"\nfed_from = \"A\"\nvoltage_v = 208\n";
    let design = agreed(design_of(&format!("{MOTOR}P-1,A,motor,3,400,3,6.5,85,0.82,direct,20\n"), basis));
    let depths = ["A", "B", "C"].map(|name| board(&design, name).depth);
    assert_eq!(depths, [0, 0, 1]);
    assert_eq!(told(&design, "B104"), 1);
    let boards = "[[board]]\nname = \"B\"\nfed_from = \"A\"\nvoltage_v = 690\n[[board]]\nname = \"A\"\n[[board]]\nname = \"C\"\nfed_from = \"B\"\n";
    let design = agreed(design_of(&format!("{HEATER}{}", heater("H-1", "C", 230, "")), &iec(boards)));
    let depths = ["A", "B", "C"].map(|name| board(&design, name).depth);
    assert_eq!(depths, [0, 0, 1]);
    assert_eq!((told(&design, "B104"), told(&design, "L313")), (1, 1));
}

/// A board has the phases of what it names, though its voltage contradicts that: sums and conductors are those of two lines, each with the
/// whole current, and the motor of three phases there is told (B203).
#[test]
fn phases_go_on_where_a_voltage_contradicts_the_feed() {
    let basis = "[rules]\nbook = \"nec\"\n[supply]\nvoltage_v = 480\nphases = 3\nsystem = \"480Y/277 4W solidly grounded\"\n[[board]]\n\
        [[board]]\nname = \"A\"\nphases = 1\n[[board]]\nname = \"B\"\nfed_from = \"A\"\nvoltage_v = 120\n";
    let design = agreed(design_of(&format!("{MOTOR}P-1,B,motor,3,480,3,5.2,85,0.82,direct,20\n"), basis));
    let phases = board(&design, "B").phase_currents_a;
    assert!(phases[0] > 0.0 && (phases[0] - phases[1]).abs() < 1e-6 && phases[2].abs() < 1e-9, "{phases:?}");
    assert_eq!((told(&design, "B104"), told(&design, "B203"), told(&design, "B106")), (1, 1, 1));
}

/// A transformer that bears the name of the board that it feeds: the board stands behind it, its load counts once in all boards before, and
/// that the name stands twice is told.
#[test]
fn a_transformer_may_bear_the_name_of_its_board() {
    for (book, volts) in [("iec", 400), ("nec", 480)] {
        for named in ["", "[[board]]\nname = \"B2\"\n"] {
            let basis = format!(
                "[rules]\nbook = \"{book}\"\n[supply]\nvoltage_v = {volts}\n[[board]]\nname = \"B0\"\n{named}[[transformer]]\nfrom = \"B0\"\n\
                 to = \"B2\"\nname = \"B2\"\nkva = 25\nsecondary_voltage_v = {volts}\n"
            );
            let design = agreed(design_of(&format!("{MOTOR}P-1,B2,motor,7.5,{volts},3,14.3,90,0.84,direct,48\n"), &basis));
            assert_eq!(told(&design, "B105"), 1, "{book} {named}");
            assert_eq!((board(&design, "B0").depth, board(&design, "B2").depth), (0, 1));
            // 7.5 kW at 90 %, once.
            for name in ["B0", "B2"] {
                let kilowatts = board(&design, name).connected_kw;
                assert!((kilowatts - 7.5 / 0.9).abs() < 0.01, "{name}: {kilowatts}");
            }
        }
    }
}

/// A board that is named in the schedule alone and bears the name of a source is told too.
#[test]
fn a_board_of_the_schedule_may_not_bear_the_name_of_a_source() {
    let boards =
        "[[board]]\nname = \"A\"\nfed_from = \"supply; G1\"\n[[source]]\nname = \"G1\"\nkind = \"generator\"\nkva = 100\n";
    let design = agreed(design_of(&format!("{MOTOR}P-1,G1,motor,7.5,400,3,14.3,90,0.84,direct,48\n"), &iec(boards)));
    assert_eq!(told(&design, "B105"), 1);
}

/// What nobody states has the voltage of its loads: the transformer of the supply carries 4.54 kVA of a motor of 6.56 A at 400 V
/// (√3 · 400 V · 6.56 A), and its start dips the board by more than nothing. A load of another voltage beside it is told.
#[test]
fn a_network_without_a_stated_voltage_has_that_of_its_loads() {
    let basis = "[rules]\nbook = \"iec\"\n[supply]\ntransformer_kva = 1000\ntransformer_impedance_pct = 6\n[[board]]\nname = \"M\"\n[[board]]\nname = \"N\"\n";
    let motor = "P-1,M,motor,3,400,3,6.56,85,0.82,direct,20\n";
    let design = agreed(design_of(&format!("{MOTOR}{motor}"), basis));
    let of_board = board(&design, "M");
    assert!((of_board.voltage_v - 400.0).abs() < 1e-9);
    let transformer = design.boards.iter().find_map(|board| board.transformer.as_ref()).expect("the transformer of the supply");
    assert!((transformer.demand_kva - 3f64.sqrt() * 0.4 * 6.56).abs() < 0.02, "{}", transformer.demand_kva);
    assert!(of_board.start_dip_pct.is_some_and(|dip| dip > 0.1), "{:?}", of_board.start_dip_pct);
    let mixed = agreed(design_of(&format!("{MOTOR}{motor}P-2,M,motor,3,230,3,11.4,85,0.82,direct,20\n"), basis));
    assert_eq!(told(&mixed, "B329"), 1);
    let apart = agreed(design_of(&format!("{MOTOR}{motor}P-2,N,motor,3,230,3,11.4,85,0.82,direct,20\n"), basis));
    assert_eq!(told(&apart, "B329"), 1);
}
