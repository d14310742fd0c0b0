//! IT systems: what a second fault to earth asks of the devices, in a design of a whole schedule with a feeder and a device at its head.

mod common;

use common::design_of;
use motorwright::design::{Circuit, Design, Status};

const SCHEDULE: &str = "tag,board,load_kind,rated_power_kw,voltage_v,phases,connection,full_load_current_a,starting_method,cable_length_m,protection_kind\n\
    M-1,MCC,motor,7.5,400,3,,15,direct,30,motor-breaker\nM-2,MCC,motor,7.5,400,3,,15,direct,30,gG\nH-1,MDB,heater,2,230,1,L1-N,,contactor,20,\n";

fn design(earthing: &str) -> Design {
    let basis = format!(
        "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nphases = 3\nfrequency_hz = 50\nearthing = \"{earthing}\"\n\
         prospective_fault_ka = 10\nprospective_fault_min_ka = 5\nx_over_r = 3\n[[board]]\nname = \"MDB\"\n[[board]]\nname = \"MCC\"\n\
         fed_from = \"MDB\"\nfeeder_length_m = 20\nincoming = \"circuit-breaker\"\n"
    );
    let design = design_of(SCHEDULE, &basis);
    let tried: Vec<String> =
        design.all_findings().into_iter().filter(|(_, f)| f.code.starts_with('V')).map(|(_, f)| f.what.clone()).collect();
    assert!(tried.is_empty(), "{}", tried.join("\n"));
    design
}

fn told(circuit: &Circuit) -> Option<&str> {
    circuit.findings.iter().find(|finding| finding.code == "R109").map(|finding| finding.what.as_str())
}

/// IEC 60947-2, Annex H: at a second fault in another phase, before the device, one pole breaks the voltage between lines alone.
/// Circuit-breakers that are not tested for it bear a crossed-out IT; fuse-links of 400 V and more break it. In TN the star point is
/// earthed, and nothing is asked.
#[test]
fn each_pole_of_a_circuit_breaker_of_an_it_system_is_asked_about_and_ordered_with_a_remark() {
    let it = design("IT");
    let of =
        |design: &Design, tag: &str| design.circuits.iter().find(|circuit| circuit.tag == tag).cloned().expect("it is there");
    for tag in ["M-1", "H-1"] {
        let circuit = of(&it, tag);
        let what = told(&circuit).unwrap_or_else(|| panic!("{tag}: {:?}", circuit.findings));
        // Between lines, though the heater has 230 V.
        assert!(what.contains("400 V") && circuit.status == Status::NeedsDecision, "{tag}: {what}");
    }
    assert!(told(&of(&it, "M-2")).is_none(), "fuses of the range are made for 500 V and more");
    let board = it.boards.iter().find(|board| board.name == "MCC").expect("the board");
    // The circuit-breaker of its feeder and the one at its head.
    let of_board: Vec<&str> =
        board.findings.iter().filter(|finding| finding.code == "R109").map(|finding| finding.what.as_str()).collect();
    let head = board.incoming.as_ref().expect("a head");
    let named = |words: &str| of_board.iter().filter(|what| what.contains(words)).count();
    assert_eq!((of_board.len(), named("of the feeder"), named("at the head of the board")), (2, 1, 1), "{of_board:?}");
    assert!(!head.part.is_empty(), "{head:?}");
    let line =
        |part: &str| it.purchase.iter().find(|line| line.part == part).unwrap_or_else(|| panic!("{part} is not on the list"));
    let breaker = of(&it, "M-1").protection.expect("a device").part;
    for part in [breaker.as_str(), head.part.as_str()] {
        assert!(line(part).remark.contains("IT system") && line(part).firm_quantity == 0.0, "{part}: {:?}", line(part));
    }
    assert!(!line(&of(&it, "M-2").protection.expect("fuses").part).remark.contains("IT system"));
    let tn = design("TN-S");
    assert!(tn.circuits.iter().all(|circuit| told(circuit).is_none()));
    assert!(tn.boards.iter().all(|board| board.findings.iter().all(|finding| finding.code != "R109")));
    assert!(tn.purchase.iter().all(|line| !line.remark.contains("IT system")));
}
