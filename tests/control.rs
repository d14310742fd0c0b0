//! Control supplies, relays and runs as a user gets them: schedules of both books through the whole program, with the files that come
//! out of it.

mod common;

use motorwright::design::{Design, Status};
use motorwright::finding::Severity;

use common::design_of;

const IEC: &str = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nfrequency_hz = 50\nphases = 3\nearthing = \"TN-S\"\n\
                   prospective_fault_ka = 20\nprospective_fault_min_ka = 10\n";
const NEC: &str = "[rules]\nbook = \"nec\"\n[supply]\nvoltage_v = 480\nsystem = \"480Y/277 4W solidly grounded\"\nprospective_fault_ka = 22\n\
                   prospective_fault_min_ka = 9\n[[board]]\nname = \"LP\"\nvoltage_v = 208\nsystem = \"208Y/120 4W solidly grounded\"\n\
                   prospective_fault_ka = 8\nprospective_fault_min_ka = 3\n";

const IEC_ROWS: &str = "tag,board,rated_power_kw,full_load_current_a,starting_method,motor_voltages,cable_length_m,control_voltage,driven_by,quantity\n\
    P-1,MCC-1,4,8,direct,,20,,pushbutton,1\n\
    P-2,MCC-1,22,40.5,star-delta,400/690,20,,pushbutton,2\n\
    P-3,MCC-1,4,8,direct,,20,24 V DC,plc-output,3\n\
    P-4,MCC-2,4,8,direct,,20,230 V AC,plc-output,1\n";

const NEC_ROWS: &str = "tag,board,rated_power_hp,voltage_v,phases,full_load_current_a,starting_method,cable_length_ft,driven_by,control_voltage\n\
    EF-1,MCC,10,460,3,13,direct,60,pushbutton,\n\
    EF-2,MCC,50,460,3,62,star-delta,60,plc-output,\n\
    EF-3,LP,3,208,3,10,direct,60,pushbutton,\n\
    EF-4,MCC,5,460,3,7,direct,60,plc-output,24 V DC\n";

#[test]
fn a_board_buys_its_supplies_once_and_its_starters_their_relays() {
    let design = design_of(IEC_ROWS, IEC);
    assert_eq!(design.boards.iter().map(|board| board.name.as_str()).collect::<Vec<_>>(), ["MCC-1", "MCC-2"]);
    let [first, second] = design.boards.as_slice() else { panic!("{}", design.boards.len()) };
    assert_eq!((first.control_supplies.len(), second.control_supplies.len()), (2, 1));
    for board in &design.boards {
        for part in &board.parts {
            let line = design.purchase.iter().find(|line| line.part == part.part).unwrap_or_else(|| panic!("{}", part.part));
            assert!(line.used_by.contains(&board.name), "{line:?}");
        }
    }
    let of = |words: &str| {
        design.purchase.iter().filter(|line| line.description.starts_with(words)).map(|line| line.quantity).sum::<f64>()
    };
    let transformers = of("Control transformer");
    assert!((transformers - 2.0).abs() < 1e-9, "one a board: {transformers}");
    // One relay for P-4; the outputs of P-3 drive their coils themselves.
    let relays = of("Interposing relay");
    assert!((relays - 1.0).abs() < 1e-9, "{relays}");
    for circuit in &design.circuits {
        let open = circuit.findings.iter().find(|finding| finding.code.starts_with("C4") && finding.severity != Severity::Note);
        assert!(circuit.status != Status::NotSized && open.is_none(), "{}: {open:?}", circuit.tag);
        let voltage = circuit.checks.iter().find(|check| check.name == "coil-voltage").expect("a check");
        assert!(voltage.value.is_some_and(|pct| pct >= 85.0), "{}", circuit.tag);
    }
}

/// NFPA 70: two-wire secondary and primary within 430.72(C) and 450.3(B), a branch device that protects tapped conductors within
/// Table 430.72(B).
#[test]
fn nec_starters_have_their_transformers_or_the_line_within_the_tables() {
    let design = design_of(NEC_ROWS, NEC);
    let mut kinds = Vec::new();
    for circuit in &design.circuits {
        let control = circuit.control.as_ref().expect("a control circuit");
        let Some(supply) = &control.supply else {
            kinds.push("board");
            continue;
        };
        kinds.push(supply.kind.as_str());
        if let Some(rating) = supply.rating_va {
            let (primary, secondary) = (rating / supply.primary_v, rating / 120.0);
            let before = supply.primary.as_ref().expect("fuses before it").rating_a;
            let behind = supply.secondary.as_ref().expect("a fuse behind it").rating_a;
            assert!(before <= primary * if primary < 2.0 { 5.0 } else { 2.5 }, "{}: {before} A", circuit.tag);
            assert!(behind <= secondary * 1.67 && behind <= 15.0, "{}: {behind} A", circuit.tag);
            assert!(behind >= control.hold_va / 120.0, "{}: {behind} A", circuit.tag);
        } else {
            // 14 AWG in the enclosure: 100 A (column B).
            assert!(circuit.protection.as_ref().is_some_and(|device| device.rating_a <= 100.0), "{}", circuit.tag);
        }
    }
    assert_eq!(kinds, ["control-transformer", "control-transformer", "line", "board"]);
    let direct = design.boards.iter().find(|board| board.name == "MCC").expect("a board");
    assert_eq!(
        direct.control_supplies.iter().map(|control_supply| control_supply.kind.as_str()).collect::<Vec<_>>(),
        ["direct-current-supply"]
    );
}

#[test]
fn the_order_of_rows_changes_no_supply() {
    let reversed: Vec<&str> = IEC_ROWS.lines().skip(1).collect();
    let text = std::iter::once(IEC_ROWS.lines().next().unwrap_or_default())
        .chain(reversed.into_iter().rev())
        .fold(String::new(), |text, line| text + line + "\n");
    let parts = |design: &Design| {
        let mut all: Vec<String> = design
            .boards
            .iter()
            .flat_map(|board| board.parts.iter().map(|part| format!("{} {}", board.name, part.part)))
            .collect();
        all.sort();
        all
    };
    assert_eq!(parts(&design_of(IEC_ROWS, IEC)), parts(&design_of(&text, IEC)));
}

#[test]
fn words_of_supply_follow_the_basis_and_idle_keys_are_no_longer_said() {
    let basis = format!("{IEC}[control]\nsupply = \"per-starter\"\n");
    let rows = IEC_ROWS.replace("quantity\n", "quantity,control_cable_length_m\n").replace(",1\n", ",1,30\n");
    let rows = rows.replace(",2\n", ",2,30\n").replace(",3\n", ",3,30\n");
    let design = design_of(&rows, &basis);
    assert!(design.findings.iter().all(|finding| finding.code != "L407"), "{:?}", design.findings);
    let supplied =
        design.circuits.iter().filter(|circuit| circuit.control.as_ref().is_some_and(|control| control.supply.is_some()));
    assert_eq!(supplied.count(), 3, "direct current stays with the board");
    assert!(design.circuits.iter().all(|circuit| circuit.checks.iter().any(|check| check.name == "control-run-drop")));
}
