//! Third harmonics in the neutral of three-phase loads, through the whole program. Expected sizes are from the tables named; none is the
//! program's.

mod common;

use common::design_of;
use motorwright::design::{Board, Circuit, Status};

const IEC: &str = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nphases = 3\nfrequency_hz = 50\nearthing = \"TN-S\"\n\
    prospective_fault_ka = 10\nprospective_fault_min_ka = 6\nx_over_r = 2\n[design]\nambient_c = 30\ninsulation = \"pvc\"\n\
    installation_method = \"C\"\nrunning_drop_pct = 10\n";
const NEC: &str = "[rules]\nbook = \"nec\"\n[supply]\nvoltage_v = 480\nphases = 3\nfrequency_hz = 60\n\
    system = \"480Y/277 4W solidly grounded\"\nprospective_fault_ka = 10\nprospective_fault_min_ka = 6\nx_over_r = 2\n\
    [design]\nambient_c = 30\ntermination_c = 75\n";

/// A load of three phases with a neutral, so near its board that no voltage drop counts.
fn circuit(basis: &str, kind: &str, amperes: f64, third_pct: &str) -> Circuit {
    let volts = if basis == NEC { 480 } else { 400 };
    let row = format!(
        "tag,load_kind,voltage_v,phases,connection,full_load_current_a,starting_method,cable_length_m,third_harmonic_pct\n\
         L-1,{kind},{volts},3,3L+N,{amperes},feeder,5,{third_pct}\n"
    );
    design_of(&row, basis).circuits.remove(0)
}

fn size(circuit: &Circuit) -> &str {
    circuit.conductors.as_ref().map_or_else(|| panic!("no conductors: {:?}", circuit.findings), |run| &run.phase_size)
}

fn capacity(circuit: &Circuit) -> f64 {
    circuit.conductors.as_ref().map_or(f64::NAN, |run| run.capacity_a)
}

fn told(circuit: &Circuit) -> bool {
    circuit.findings.iter().any(|finding| finding.code == "C612")
}

/// Example of IEC 60364-5-52, Annex E: 39 A in a cable on a wall (method C, PVC): 6 mm² (41 A) without harmonics, 10 mm² (57 A) for 45.3 A
/// at 20 % and 54.4 A at 40 %, 16 mm² (76 A) for 58.5 A at 50 %. The load is a heater behind power electronics, whose protective device of
/// 40 A asks for no more than 40 / 39 of that.
#[test]
fn a_cable_of_the_annex_is_as_large_as_its_example() {
    for (third, wanted) in [("0", "6 mm2"), ("20", "10 mm2"), ("40", "10 mm2"), ("50", "16 mm2")] {
        let circuit = circuit(IEC, "heater", 39.0, third);
        assert_eq!(circuit.protection.as_ref().map(|protection| protection.rating_a), Some(40.0), "{third} %");
        assert_eq!(size(&circuit), wanted, "{third} %");
        assert!(!told(&circuit), "{third} %: it is stated");
    }
}

#[test]
fn lighting_that_states_nothing_is_taken_as_electronic_and_says_so() {
    let (silent, stated) = (circuit(IEC, "lighting", 39.0, ""), circuit(IEC, "lighting", 39.0, "33"));
    assert_eq!(size(&silent), size(&stated));
    assert!((capacity(&silent) - capacity(&stated)).abs() < 1e-9);
    assert!(told(&silent) && !told(&stated));
    let other = circuit(IEC, "other", 39.0, "");
    assert!(told(&other), "taken as up to 15 %");
    assert_eq!(size(&other), size(&circuit(IEC, "other", 39.0, "15")));
    assert!(!told(&circuit(IEC, "heater", 39.0, "")), "a heater has no harmonics");
    assert_ne!(silent.status, Status::NotSized);
}

/// NFPA 70, 310.15(E)(3) and Table 310.15(C)(1): four current-carrying conductors carry 80 %: 8 AWG THWN-2 (Table 310.16, 90 °C: 55 A)
/// gives 44 A, three give 55 A.
#[test]
fn a_neutral_with_harmonics_counts_as_a_fourth_conductor() {
    let corrected = |kind: &str, third: &str| {
        let circuit = circuit(NEC, kind, 32.0, third);
        let run = circuit.conductors.as_ref().unwrap_or_else(|| panic!("no conductors: {:?}", circuit.findings));
        let check = circuit.checks.iter().find(|check| check.name == "current-carrying-capacity").expect("a check");
        (run.phase_size.clone(), check.limit.expect("a limit"))
    };
    for (kind, third, wanted) in
        [("lighting", "", 44.0), ("other", "20", 44.0), ("other", "", 55.0), ("lighting", "0", 55.0), ("heater", "", 55.0)]
    {
        assert_eq!(corrected(kind, third), ("8 AWG".to_owned(), wanted), "{kind} {third}");
    }
    // The neutral carries 1.5 times a phase: 44 A of it are 29.3 A in the phases, less than 32 A.
    let (larger, limit) = corrected("other", "50");
    assert_eq!(larger, "6 AWG");
    assert!((limit - 75.0 * 0.8 / 1.5).abs() < 1e-6, "{limit}");
}

const ONE_PHASE: &str = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nfrequency_hz = 50\nearthing = \"TN-S\"\n\
    prospective_fault_ka = 25\nprospective_fault_min_ka = 12\nx_over_r = 6\n[[board]]\nname = \"MCC\"\n[design]\ninsulation = \"xlpe\"\n\
    [[board]]\nname = \"LP\"\nfed_from = \"MCC\"\nvoltage_v = 230\nphases = 1\nfeeder_length_m = 10\n";

/// A board of line and neutral has the voltage of its coils: one fuse in the line feeds those of all its starters (IEC 60364-4-43, 431.3),
/// and nothing waits for a transformer from 230 V to 230 V. Its loads stand between line and neutral, as their circuits and the board say.
#[test]
fn a_board_of_line_and_neutral_feeds_its_coils_itself() {
    let schedule = "tag,board,load_kind,rated_power_kw,voltage_v,phases,power_factor,starting_method,cable_length_m,protection_kind\n\
                    H-1,LP,heater,3,230,1,1,contactor,20,gG\nH-2,LP,heater,3,230,1,1,contactor,20,gG\n";
    let design = design_of(schedule, ONE_PHASE);
    let board = design.boards.iter().find(|board| board.name == "LP").expect("the board");
    let supply = &board.control_supplies[0];
    assert_eq!((supply.kind.as_str(), supply.secondary.as_ref().map(|secondary| secondary.quantity)), ("line", Some(1)));
    assert_eq!(supply.serves, ["H-1", "H-2"]);
    assert!(board.findings.iter().all(|finding| finding.code != "C409"), "{:?}", board.findings);
    assert!(board.phases_of_rows.iter().all(|phases_of_row| phases_of_row.phases == "L1-N"));
    for circuit in &design.circuits {
        assert_eq!((circuit.status, circuit.lines.as_str()), (Status::Sized, "L1-N"), "{:?}", circuit.findings);
    }
}

/// Sizes of the neutral in the feeders of MB and of SB, which stands behind it.
fn feeder_neutrals(basis: &str, system: &str, rows: &str) -> [Option<String>; 2] {
    let basis = basis.replace("phases = 3\n", &format!("phases = 3\n{system}"))
        + "[[board]]\nname = \"MB\"\nfed_from = \"supply\"\nfeeder_length_m = 20\n\
           [[board]]\nname = \"SB\"\nfed_from = \"MB\"\nfeeder_length_m = 20\n";
    let design = design_of(rows, &basis);
    assert!(design.findings.iter().all(|finding| !finding.code.starts_with('V')), "{:?}", design.findings);
    ["MB", "SB"].map(|name| {
        let board = design.boards.iter().find(|board| board.name == name).expect("the board");
        board.feeder.run.as_ref().expect("a run").neutral_size.clone()
    })
}

/// A neutral that a load of three phases needs is led to its board, through every feeder before it; a motor needs none.
#[test]
fn the_neutral_of_a_load_of_three_phases_comes_through_its_feeders() {
    let rows = |connection: &str| {
        format!(
            "tag,board,load_kind,voltage_v,phases,connection,full_load_current_a,starting_method,cable_length_m\n\
             L-1,SB,heater,400,3,{connection},30,feeder,5\n"
        )
    };
    assert!(feeder_neutrals(IEC, "", &rows("3L+N")).iter().all(Option::is_some));
    assert_eq!(feeder_neutrals(IEC, "", &rows("3L")), [None, None]);
}

/// Coils of 120 V of a 208Y/120 V system are fed from a line and the neutral (NFPA 70 asks for no transformer), so that it must come to
/// the board; coils of a 480 V system have transformers, and need none. IEC 60204-1, 9.1.1 lets the line feed the coils of a single
/// starter: two that share a supply have a transformer.
#[test]
fn a_neutral_that_feeds_coils_comes_through_the_feeders() {
    let nec = |volts: u32, system: &str, rated: u32| {
        let basis =
            NEC.replace("480Y/277 4W solidly grounded", system).replace("voltage_v = 480", &format!("voltage_v = {volts}"));
        let rows = format!(
            "tag,board,load_kind,rated_power_hp,voltage_v,phases,starting_method,cable_length_m\nP-1,SB,motor,10,{rated},3,direct,20\n"
        );
        feeder_neutrals(&basis, "", &rows)
    };
    assert!(nec(208, "208Y/120 4W solidly grounded", 200).iter().all(Option::is_some));
    assert_eq!(nec(480, "480Y/277 4W solidly grounded", 460), [None, None]);

    let iec = |starters: usize| {
        let rows: String = (1..=starters).map(|number| format!("P-{number},SB,motor,4,400,3,8.1,direct,20\n")).collect();
        let heads = "tag,board,load_kind,rated_power_kw,voltage_v,phases,full_load_current_a,starting_method,cable_length_m\n";
        let control = IEC.to_owned() + "[control]\nvoltage = \"230 V AC\"\n";
        feeder_neutrals(&control, "system = \"3/N/PE ~ 400/230 V\"\n", &(heads.to_owned() + &rows))
    };
    assert!(iec(1).iter().all(Option::is_some));
    assert_eq!(iec(2), [None, None]);
}

/// The board SB of one phase with these keys, behind MB of three, with its rows.
fn one_phase_board(basis: &str, keys: &str, rows: &str) -> Board {
    board_of(basis, keys, rows, "SB")
}

/// A board of the same.
fn board_of(basis: &str, keys: &str, rows: &str, name: &str) -> Board {
    let heads = "tag,board,load_kind,rated_power_kw,voltage_v,phases,connection,starting_method,cable_length_m\n";
    let basis = format!(
        "{basis}[[board]]\nname = \"MB\"\nfed_from = \"supply\"\n[[board]]\nname = \"SB\"\nphases = 1\nfeeder_length_m = 10\n{keys}"
    );
    let mut design = design_of(&(heads.to_owned() + rows), &basis);
    assert!(design.findings.iter().all(|finding| !finding.code.starts_with('V')), "{:?}", design.findings);
    let at = design.boards.iter().position(|board| board.name == name).expect("the board");
    design.boards.remove(at)
}

/// Conductors of a feeder, its neutral, and metres or feet of the conductor over its length (a conductor of the neutral's size is one of
/// the phases).
fn feeder_of(board: &Board) -> (u32, bool, f64) {
    let run = board.feeder.run.as_ref().expect("a run");
    let bought = board.feeder.parts.iter().find(|part| part.part == run.part).map_or(0.0, |part| part.quantity);
    (run.cores, run.neutral_size.is_some(), (bought / run.length_m).round())
}

/// A system of one phase and three wires has two lines and the neutral between them: whoever uses the neutral needs all three, and the
/// equipment grounding conductor (NFPA 70, 215.2, 250.24(C); 250.142(B): it is no neutral). 10 m are 32.8 ft: 66 ft of two, 98 ft of three.
#[test]
fn two_lines_bring_the_neutral_where_a_load_or_a_coil_uses_it() {
    let keys = "fed_from = \"T2\"\nvoltage_v = 240\nsystem = \"120/240 3W solidly grounded\"\nincoming = \"circuit-breaker\"\n\
        [[transformer]]\nname = \"T2\"\nfrom = \"MB\"\nto = \"SB\"\nkva = 25\nimpedance_pct = 4\nsecondary_voltage_v = 240\n\
        system = \"120/240 3W solidly grounded\"\n[control]\nvoltage = \"120 V AC\"\n";
    let of = |rows: &str| one_phase_board(NEC, keys, rows);
    let lines = "H-1,SB,heater,3,240,1,L-L,feeder,10\n";
    let without = of(lines);
    assert_eq!(feeder_of(&without), (3, false, 7.0));
    assert_eq!(without.incoming.as_ref().map(|incoming| (incoming.poles, incoming.neutral.as_str())), Some((Some(2), "")));
    let to_neutral = of(&format!("{lines}H-2,SB,heater,1.5,120,1,L-N,feeder,10\n"));
    // Coils of 120 V are fed from a line and the neutral.
    let coils = of("H-1,SB,heater,3,240,1,L-L,contactor,10\n");
    for board in [to_neutral, coils] {
        assert_eq!(feeder_of(&board), (4, true, 10.0));
        assert_eq!(
            board.incoming.as_ref().map(|incoming| (incoming.poles, incoming.neutral.as_str())),
            Some((Some(2), "linked"))
        );
    }
}

/// Two of three phases likewise. IEC 60364-4-46, 461.2: in a TN-S system the neutral need not be parted, in a TT system it must be.
#[test]
fn two_of_three_phases_bring_the_neutral() {
    let keys = "fed_from = \"MB\"\nvoltage_v = 400\nincoming = \"switch-disconnector\"\n";
    let lines = "H-1,SB,heater,3,400,1,L-L,feeder,10\n";
    let with_neutral = format!("{lines}H-2,SB,heater,1.5,230,1,L-N,feeder,10\n");
    for (earthing, rows, cores, poles, neutral) in
        [("TN-S", lines, 3, 2, ""), ("TN-S", &with_neutral, 4, 2, "linked"), ("TT", &with_neutral, 4, 3, "switched")]
    {
        let board = one_phase_board(&IEC.replace("TN-S", earthing), keys, rows);
        assert_eq!(feeder_of(&board), (cores, cores == 4, 1.0), "{earthing}");
        assert_eq!(
            board.incoming.as_ref().map(|incoming| (incoming.poles, incoming.neutral.as_str())),
            Some((Some(poles), neutral))
        );
    }
    // A board of line and neutral has two conductors, of which one is the neutral.
    let board = one_phase_board(IEC, "fed_from = \"MB\"\nvoltage_v = 230\n", "H-2,SB,heater,1.5,230,1,L-N,feeder,10\n");
    assert_eq!(feeder_of(&board), (3, true, 1.0));
}

/// A starter that stands apart and feeds its coils from a line and the neutral needs the neutral from the board: without it the coil has
/// none, or takes the equipment grounding conductor for it (NFPA 70, 250.142(B)). 25 m are 82.0 ft: 246 ft of three conductors, 328 of
/// four. Coils of a 480 V system have a transformer there.
#[test]
fn a_starter_that_stands_apart_gets_the_neutral_of_its_coils() {
    let runs = |basis: &str, coils: &str, row: &str| {
        let heads = "tag,load_kind,rated_power_kw,voltage_v,phases,connection,starting_method,cable_length_m,supply_length_m\n";
        let basis = format!("{basis}[control]\nsupply = \"per-starter\"\nvoltage = \"{coils}\"\n");
        let design = design_of(&format!("{heads}{row},10,25\n"), &basis);
        let circuit = &design.circuits[0];
        assert!(circuit.findings.iter().all(|finding| !finding.code.starts_with('V')), "{:?}", circuit.findings);
        let [supply, motor] = &circuit.runs[..] else { panic!("{:?}", circuit.runs) };
        let of_supply = circuit.parts.iter().find(|part| part.part == supply.part && part.run == "supply");
        assert!(motor.neutral_size.is_none() && motor.cores == u32::from(circuit.load.phases == Some(3)) + 3);
        (supply.cores, supply.neutral_size.is_some(), of_supply.map_or(0.0, |part| part.quantity.round()))
    };
    let star = NEC.replace("480Y/277", "208Y/120").replace("voltage_v = 480", "voltage_v = 208");
    let nec = |basis: &str, row: &str| runs(basis, "120 V AC", row);
    assert_eq!(nec(&star, "S-1,motor,3.7,200,3,,direct"), (5, true, 328.0));
    assert_eq!(nec(&star, "S-3,heater,9,208,3,,contactor"), (5, true, 328.0));
    assert_eq!(nec(&star, "S-4,heater,4,208,1,L-L,contactor"), (4, true, 246.0));
    assert_eq!(nec(NEC, "S-1,motor,3.7,460,3,,direct"), (4, false, 246.0));

    let iec = IEC.replace("phases = 3\n", "phases = 3\nsystem = \"3/N/PE ~ 400/230 V\"\n");
    assert_eq!(runs(&iec, "230 V AC", "S-1,motor,4,400,3,,direct"), (5, true, 25.0));
    // Between two lines, and from a transformer.
    assert_eq!(runs(&iec, "400 V AC", "S-1,motor,4,400,3,,direct"), (4, false, 25.0));
    assert_eq!(runs(&iec, "24 V AC", "S-1,motor,4,400,3,,direct"), (4, false, 25.0));
}

/// Half of the voltage lies between either line of a system of three wires and its neutral, and between two lines of a high-leg delta and
/// its neutral (IEC 60038, Table 1: 120/240 V; NFPA 70, 220.5(A)): no transformer makes it. The load counts on one leg of the board before:
/// 1.5 kW at 120 V are 12.5 A.
#[test]
fn a_board_of_a_leg_and_the_neutral_counts_on_the_board_before_it() {
    for (system, phases) in [("120/240 3W solidly grounded", 1), ("240/120 4W high-leg delta", 3)] {
        let basis = format!(
            "{NEC}[[transformer]]\nname = \"T2\"\nfrom = \"MB\"\nto = \"PB\"\nkva = 25\nimpedance_pct = 4\nsecondary_voltage_v = 240\n\
             system = \"{system}\"\n[[board]]\nname = \"PB\"\nfed_from = \"T2\"\nvoltage_v = 240\nphases = {phases}\nfeeder_length_m = 10\n\
             system = \"{system}\"\n"
        );
        let keys = "fed_from = \"PB\"\nvoltage_v = 120\nincoming = \"circuit-breaker\"\n";
        let rows = "H-1,SB,heater,1.5,120,1,L-N,feeder,10\n";
        let board = one_phase_board(&basis, keys, rows);
        assert_eq!(board.depth, 2, "{system}: {:?}", board.findings);
        assert_eq!(feeder_of(&board), (3, true, 7.0), "{system}");
        assert_eq!(board.incoming.as_ref().map(|incoming| incoming.neutral.as_str()), Some("linked"));
        let before = board_of(&basis, keys, rows, "PB");
        assert!(before.feeder.run.as_ref().is_some_and(|run| run.neutral_size.is_some()), "{system}");
        let most = before.phase_currents_a.iter().copied().fold(0.0, f64::max);
        assert!((most - 12.5).abs() < 0.1, "{system}: {:?}", before.phase_currents_a);
        let on_high_leg = phases == 3 && before.phase_currents_a[1] > 0.1;
        assert!(!on_high_leg, "{:?}", before.phase_currents_a);
    }
}
