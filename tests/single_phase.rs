//! Motors and loads of one phase: what only three-phase motors give is not built for them, and the control supply of a starter to neutral
//! is made for the one line that it has.

mod common;

use common::design_of;
use motorwright::design::{Circuit, Design, Status};

const IEC: &str = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nfrequency_hz = 50\nearthing = \"TN-S\"\n\
    prospective_fault_ka = 10\nprospective_fault_min_ka = 6\nx_over_r = 4\n[[board]]\nname = \"M1\"\n\
    [design]\ninsulation = \"xlpe\"\ninstallation_method = \"E\"\n";
const NEC: &str = "[rules]\nbook = \"nec\"\n[supply]\nvoltage_v = 480\nsystem = \"480Y/277 4W solidly grounded\"\n\
    prospective_fault_ka = 10\nprospective_fault_min_ka = 5\nx_over_r = 4\n[[board]]\nname = \"M1\"\n\
    [design]\nprotection_kind = \"dual-element\"\n";

fn circuit<'d>(design: &'d Design, tag: &str) -> &'d Circuit {
    design.circuits.iter().find(|circuit| circuit.tag == tag).unwrap_or_else(|| panic!("{tag} is there"))
}

fn has(circuit: &Circuit, code: &str) -> bool {
    circuit.findings.iter().any(|finding| finding.code == code)
}

fn disagrees(design: &Design) -> Vec<&str> {
    let findings = design.circuits.iter().flat_map(|circuit| &circuit.findings).chain(&design.findings);
    findings.filter(|finding| finding.code.starts_with('V')).map(|finding| finding.what.as_str()).collect()
}

/// EN 60034-8: the direction of a single-phase motor is that of its auxiliary winding against the main one. Two contactors that exchange
/// its two lines turn it the same way: no circuit is built, nothing of it stands on the purchase list. One direction is built as ever.
#[test]
fn a_single_phase_motor_is_not_reversed_by_exchanging_its_lines() {
    let rows = "tag,board,load_kind,rated_power_kw,voltage_v,phases,starting_method,cable_length_m,connection,power_factor,reversing\n\
                S10,M1,motor,1.5,400,1,direct,30,L-L,0.8,yes\n\
                S12,M1,motor,1.1,230,1,direct,30,L-N,0.8,yes\n\
                S15,M1,motor,1.1,230,1,direct,30,L-N,0.8,no\n\
                S16,M1,motor,1.1,230,1,by-others,30,L-N,0.8,yes\n";
    let design = design_of(rows, IEC);
    for tag in ["S10", "S12"] {
        let reversed = circuit(&design, tag);
        assert!(has(reversed, "L333") && reversed.status == Status::NotSized, "{tag}: {:?}", reversed.findings);
        assert!(reversed.contactors.is_empty() && reversed.parts.is_empty(), "{tag}");
    }
    for tag in ["S15", "S16"] {
        assert!(!has(circuit(&design, tag), "L333") && circuit(&design, tag).status != Status::NotSized, "{tag}");
    }
    assert!(
        design.purchase.iter().all(|line| !line.used_by.iter().any(|user| user.starts_with("S10") || user.starts_with("S12")))
    );
}

/// IEC 61800-2: the output of a drive has three lines and no neutral. IEC 60947-4-2: soft starters are rated for motors of three phases. No
/// run of two conductors is laid from one to a single-phase motor.
#[test]
fn drives_and_soft_starters_stand_before_three_phase_motors_only() {
    let rows = "tag,board,load_kind,rated_power_kw,voltage_v,phases,starting_method,cable_length_m,connection,power_factor,bypass\n\
                S1,M1,motor,1.1,230,1,soft-starter,30,L-N,0.8,\n\
                S11,M1,motor,1.5,230,1,drive,30,L-N,0.8,\n\
                S13,M1,motor,1.1,230,1,drive,30,L-N,0.8,yes\n\
                D3,M1,motor,1.5,400,3,drive,30,,0.8,\n";
    let design = design_of(rows, IEC);
    for tag in ["S1", "S11", "S13"] {
        let refused = circuit(&design, tag);
        assert!(has(refused, "L309") && refused.status == Status::NotSized, "{tag}: {:?}", refused.findings);
        assert!(refused.conductors.is_none() && refused.parts.is_empty(), "{tag}");
    }
    assert!(!has(circuit(&design, "D3"), "L309"));
    let rows = "tag,board,load_kind,rated_power_hp,voltage_v,phases,starting_method,cable_length_ft\n\
                P-13D,M1,motor,1.5,230,1,drive,100\n";
    assert!(has(circuit(&design_of(rows, NEC), "P-13D"), "L309"));
}

/// A starter to neutral has one line of 400/√3 = 231 V, of 480/√3 = 277 V. Coils of 230 V need no transformer (IEC 60204-1, 9.1.1); others
/// have one of that primary voltage, with one fuse: the neutral has none. A primary of 400 V would give a coil 231/400 = 58 %.
#[test]
fn the_control_supply_of_a_starter_to_neutral_has_its_line() {
    let per_starter = format!("{IEC}[control]\nvoltage = \"230 V AC\"\nsupply = \"per-starter\"\n");
    let rows = "tag,board,load_kind,rated_power_kw,voltage_v,phases,starting_method,cable_length_m,connection,power_factor,protection_kind,control_voltage\n\
                L1,M1,heater,3,230,1,contactor,30,L-N,,,\n\
                L3,M1,motor,0.75,230,1,direct,30,L-N,0.8,gG,\n\
                L4,M1,lighting,1,230,1,contactor,30,L-N,,,24 V AC\n\
                L6,M1,heater,3,400,3,contactor,30,,,,\n";
    let design = design_of(rows, &per_starter);
    let supply = |tag: &str| {
        let control = circuit(&design, tag).control.as_ref().expect("a control circuit");
        control.supply.clone().expect("a supply of its own")
    };
    for tag in ["L1", "L3"] {
        assert_eq!((supply(tag).kind.as_str(), supply(tag).part.as_str()), ("line", ""), "{tag}");
    }
    let transformer = supply("L4");
    assert_eq!(
        (transformer.kind.as_str(), transformer.primary_v, transformer.primary.map(|fuse| fuse.quantity)),
        ("control-transformer", 230.0, Some(1))
    );
    // A starter of three phases beside them keeps the lines of its board.
    assert_eq!((supply("L6").primary_v, supply("L6").primary.map(|fuse| fuse.quantity)), (400.0, Some(2)));
    assert_eq!(disagrees(&design), Vec::<&str>::new());

    let per_starter = format!("{NEC}[control]\nvoltage = \"120 V AC\"\nsupply = \"per-starter\"\n");
    let rows = "tag,board,load_kind,rated_power_kw,voltage_v,phases,starting_method,cable_length_ft,connection\n\
                H1,M1,heater,3,277,1,contactor,30,L-N\n";
    let design = design_of(rows, &per_starter);
    let of_277 = circuit(&design, "H1");
    let supply = of_277.control.as_ref().and_then(|control| control.supply.as_ref()).expect("a supply of its own");
    assert!((supply.primary_v - 277.0).abs() < 1.0, "{supply:?}");
    assert!(supply.primary.as_ref().is_none_or(|fuse| fuse.quantity == 1), "{supply:?}");
    assert!(supply.part != "GEN-CT-480-120-75" && disagrees(&design).is_empty(), "{supply:?}");
}
