//! Sources, transformers and feeders as a user meets them: what they are loaded with, by which names they go, which devices stand behind
//! them. Expected values are worked out by hand beside each case.

use motorwright::design::{Board, Circuit, Design};

mod common;

use common::design_of;

fn board<'a>(design: &'a Design, name: &str) -> &'a Board {
    design.boards.iter().find(|board| board.name == name).unwrap_or_else(|| panic!("no board {name}"))
}

fn circuit<'a>(design: &'a Design, tag: &str) -> &'a Circuit {
    design.circuits.iter().find(|circuit| circuit.tag == tag).unwrap_or_else(|| panic!("no circuit {tag}"))
}

#[track_caller]
fn near(value: f64, expected: f64, share: f64) {
    assert!((value - expected).abs() <= share * expected.abs(), "{value} against {expected}");
}

/// Texts of the findings with a code, of boards, circuits and the whole.
fn told<'a>(design: &'a Design, code: &str) -> Vec<&'a str> {
    let of_boards = design.boards.iter().flat_map(|board| &board.findings);
    let of_circuits = design.circuits.iter().flat_map(|circuit| &circuit.findings);
    let all = of_boards.chain(of_circuits).chain(&design.findings);
    all.filter(|finding| finding.code == code).map(|finding| finding.what.as_str()).collect()
}

/// A program that contradicts itself says so by a V.
#[track_caller]
fn agrees_with_itself(design: &Design) {
    let of_circuits = design.circuits.iter().flat_map(|circuit| &circuit.findings);
    let all = design.boards.iter().flat_map(|board| &board.findings).chain(of_circuits).chain(&design.findings);
    let wrong: Vec<_> = all.filter(|finding| finding.code.starts_with('V')).collect();
    assert!(wrong.is_empty(), "{wrong:?}");
}

const LOADS: &str = "tag,board,rated_power_kw,voltage_v,phases,full_load_current_a,starting_method,cable_length_m\n";

/// The supply of the cases: 400 V behind a transformer.
fn supply(kva: u32) -> String {
    format!(
        "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nfrequency_hz = 50\nearthing = \"TN-S\"\ntransformer_kva = {kva}\n\
         transformer_impedance_pct = 4\nupstream_fault_mva = 250\n"
    )
}

/// √3 × 400 V × 14.3 A = 9.91 kVA and √3 × 690 V × 60 A = 71.71 kVA are 81.61 kVA, 136 % of 60 kVA; the 74.3 A as if they all flowed
/// at 400 V would be 51.5 kVA.
#[test]
fn powers_are_added_on_the_transformer_of_the_supply_and_never_amperes() {
    let basis = supply(60)
        + "[[transformer]]\nname = \"T1\"\nto = \"B690\"\nkva = 100\nimpedance_pct = 4\nsecondary_voltage_v = 690\n\
           [[board]]\nname = \"A\"\nvoltage_v = 400\nfed_from = \"supply\"\n[[board]]\nname = \"B690\"\nvoltage_v = 690\n";
    let design = design_of(&format!("{LOADS}P-1,A,7.5,400,3,14.3,direct,48\nP-2,B690,55,690,3,60,direct,48\n"), &basis);
    agrees_with_itself(&design);
    let transformer = board(&design, "A").transformer.as_ref().expect("that of the supply");
    near(transformer.demand_kva, 81.61, 1e-3);
    near(transformer.loading_pct.expect("its rating is known"), 136.0, 1e-3);
    assert!(
        told(&design, "B304").iter().any(|what| what.contains("81.6 kVA are asked of 60 kVA")),
        "{:?}",
        told(&design, "B304")
    );
}

/// Where every board has a transformer of its own no page shows that of the supply; 71.71 kVA on 60 kVA are told all the same.
#[test]
fn the_transformer_of_the_supply_is_judged_though_no_board_stands_on_it() {
    let basis = supply(60)
        + "[[transformer]]\nname = \"T1\"\nto = \"B690\"\nkva = 100\nimpedance_pct = 4\nsecondary_voltage_v = 690\n\
           [[board]]\nname = \"B690\"\nvoltage_v = 690\n";
    let design = design_of(&format!("{LOADS}P-2,B690,55,690,3,60,direct,48\n"), &basis);
    agrees_with_itself(&design);
    assert!(
        told(&design, "B304").iter().any(|what| what.contains("71.7 kVA are asked of 60 kVA")),
        "{:?}",
        told(&design, "B304")
    );
}

/// A utility of `[[source]]` is the network of `[supply]` (README, keys of the basis): which of the two names a board uses changes no
/// figure. √3 × 400 V × 390 A = 270.2 kVA, 67.55 % of 400 kVA.
#[test]
fn a_utility_by_its_name_is_the_supply_everywhere() {
    let loads = format!("{LOADS}P-1,A,110,400,3,195,direct,48\nP-2,B,110,400,3,195,direct,48\n");
    let by = |names: [&str; 2], voltage: &str| {
        let boards = format!(
            "[[board]]\nname = \"A\"\nvoltage_v = 400\nfed_from = \"{}\"\n[[board]]\nname = \"B\"\n{voltage}fed_from = \"{}\"\n",
            names[0], names[1]
        );
        let design = design_of(&loads, &(supply(400) + "[[source]]\nname = \"Grid\"\nkind = \"utility\"\n" + &boards));
        agrees_with_itself(&design);
        design
    };
    let plain = by(["supply", "supply"], "voltage_v = 400\n");
    let transformer = |design: &Design| board(design, "A").transformer.clone().expect("that of the supply");
    near(transformer(&plain).demand_kva, 270.2, 1e-3);
    near(transformer(&plain).loading_pct.expect("its rating is known"), 67.55, 1e-3);
    // Without a voltage of its own a board on it has that of the supply.
    for (names, voltage) in
        [(["supply", "Grid"], "voltage_v = 400\n"), (["Grid", "Grid"], "voltage_v = 400\n"), (["supply", "Grid"], "")]
    {
        let design = by(names, voltage);
        assert_eq!(transformer(&design), transformer(&plain), "{names:?}");
        for (one, other) in plain.boards.iter().zip(&design.boards) {
            let figures = |board: &Board| {
                let faults = (board.prospective_fault_ka, board.prospective_fault_min_ka, board.peak_ka);
                (faults, board.voltage_v.to_bits(), board.voltage_running_pct, board.start_dip_pct)
            };
            assert_eq!(figures(one), figures(other), "{names:?}, {}", one.name);
        }
    }
}

/// A generator first and the network in its place, or the other way round: both are known by both names.
#[test]
fn the_network_may_stand_in_for_a_generator() {
    let loads = format!("{LOADS}P-1,A,11,400,3,20.6,direct,20\n");
    let sources = "[[source]]\nname = \"Grid\"\nkind = \"utility\"\n[[source]]\nname = \"G1\"\nkind = \"generator\"\nkva = 200\n\
        subtransient_reactance_pct = 12\nsustained_current_ratio = 3\n[[board]]\nname = \"A\"\nvoltage_v = 400\n";
    let of = |fed_from: &str| {
        let design = design_of(&loads, &format!("{}{sources}fed_from = \"{fed_from}\"\n", supply(400)));
        agrees_with_itself(&design);
        board(&design, "A").prospective_fault_ka.zip(board(&design, "A").prospective_fault_min_ka).expect("both are known")
    };
    assert_eq!(of("Grid, G1"), of("supply, G1"));
    assert_eq!(of("G1, Grid"), of("Grid, G1"), "the largest and the smallest of both");
}

#[test]
fn a_transformer_keeps_the_name_that_the_basis_gives_it() {
    for name in ["transformer 1", "transformer transformer", "T-1"] {
        let basis = supply(60)
            + &format!(
                "[[transformer]]\nname = \"{name}\"\nto = \"B\"\nkva = 100\nimpedance_pct = 4\nsecondary_voltage_v = 690\n"
            )
            + "[[board]]\nname = \"B\"\nvoltage_v = 690\n";
        let design = design_of(&format!("{LOADS}P-2,B,55,690,3,60,direct,48\n"), &basis);
        assert_eq!(board(&design, "B").transformer.as_ref().map(|transformer| transformer.name.as_str()), Some(name));
    }
}

/// A locked rotor is an impedance, U²/S at its rated voltage (IEC 60909-0, 13.2): on a higher voltage it adds more. The verifier reckoned
/// with a power and called such designs faulty.
#[test]
fn motors_below_the_voltage_of_their_board_contradict_nothing() {
    let us = "tag,board,rated_power_hp,voltage_v,phases,frequency_hz,full_load_current_a,starting_method,cable_length_ft,locked_rotor_code\n\
        P-1,MCC,25,460,3,60,31,direct,50,G\nP-2,MCC,5,460,3,60,6.6,direct,50,J\n";
    let basis = "[rules]\nbook = \"nec\"\n[supply]\nvoltage_v = 480\nfrequency_hz = 60\nsystem = \"480Y/277 4W solidly grounded\"\n\
        upstream_fault_mva = 200\nupstream_x_over_r = 8\ntransformer_kva = 500\ntransformer_impedance_pct = 5.75\nx_over_r = 5\n\
        [[board]]\nname = \"MCC\"\nvoltage_v = 480\nfed_from = \"supply\"\n";
    let design = design_of(us, basis);
    assert!(board(&design, "MCC").three_phase_fault_ka > board(&design, "MCC").prospective_fault_without_motors_ka);
    agrees_with_itself(&design);
    let europe = format!("{LOADS}P-1,A,15,380,3,29.5,direct,30\nP-2,A,5.5,380,3,11.3,direct,30\n");
    let design = design_of(&europe, &(supply(630) + "[[board]]\nname = \"A\"\nvoltage_v = 400\nfed_from = \"supply\"\n"));
    agrees_with_itself(&design);
}

/// IEC 60909-0, Table 1, and IEC 60364-4-41, 411.4.4: fault currents and loops go by the nominal voltage, 230/400 V behind a transformer
/// of 420 V without load; a board without a voltage is the one of 400 V. At 420 V the loop of P-2 would be 5 % too large and 4 mm² hold.
#[test]
fn the_voltage_of_a_transformer_without_load_is_not_the_nominal_one() {
    let loads = "tag,board,rated_power_kw,voltage_v,phases,full_load_current_a,power_factor,efficiency_class,locked_rotor_ratio,\
        starting_method,cable_length_m,protection_kind\nP-1,MCC,15,400,3,28,0.86,IE3,7.4,direct,40,gG\nP-2,MCC,5.5,400,3,10.7,0.84,IE3,7.6,direct,95,\n";
    let basis = |voltage: &str| {
        format!(
            "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 20000\nfrequency_hz = 50\nearthing = \"TN-S\"\nupstream_fault_mva = 250\n\
             [[transformer]]\nname = \"T1\"\nto = \"MCC\"\nkva = 400\nimpedance_pct = 4\nsecondary_voltage_v = 420\n\
             [[board]]\nname = \"MCC\"\nfed_from = \"T1\"\n{voltage}"
        )
    };
    let (taken, stated) = (design_of(loads, &basis("")), design_of(loads, &basis("voltage_v = 400\n")));
    agrees_with_itself(&taken);
    near(board(&taken, "MCC").voltage_v, 400.0, 1e-9);
    let figures = |design: &Design| {
        let mcc = board(design, "MCC");
        (mcc.prospective_fault_ka, mcc.prospective_fault_min_ka, circuit(design, "P-2").runs[0].phase_size.clone())
    };
    assert_eq!(figures(&taken), figures(&stated));
    assert!(
        told(&taken, "B107").iter().any(|what| what.contains("420 V") && what.contains("400 V")),
        "{:?}",
        told(&taken, "B107")
    );
    assert!(told(&stated, "B107").is_empty());
    // A control transformer of 400 V exists, one of 420 V does not.
    assert!(told(&taken, "C409").is_empty(), "{:?}", told(&taken, "C409"));
}

/// 2 × 120 kW of heaters, 346.4 A, are 240 kVA alone: more than a machine of 200 kVA gives, less than one of 400 kVA.
#[test]
fn a_generator_below_the_demand_of_its_boards_is_told() {
    let loads = "tag,board,load_kind,rated_power_kw,voltage_v,phases,starting_method,cable_length_m\n\
        F-1,MCC,heater,120,400,3,contactor,30\nF-2,MCC,heater,120,400,3,contactor,30\n";
    let design = |kva: u32, fed_from: &str| {
        let basis = supply(630)
            + &format!(
                "[[source]]\nname = \"G1\"\nkind = \"generator\"\nkva = {kva}\nsubtransient_reactance_pct = 12\nsustained_current_ratio = 3\n"
            )
            + &format!("[[board]]\nname = \"MCC\"\nvoltage_v = 400\nfed_from = \"{fed_from}\"\n");
        design_of(loads, &basis)
    };
    // As the usual source, in its place, and where no board names it.
    for fed_from in ["G1", "supply, G1", "supply"] {
        let small = design(200, fed_from);
        let found = told(&small, "B118");
        assert!(matches!(found[..], [what] if what.contains("ask for 240 kVA, its rated power is 200 kVA (120 %)")), "{found:?}");
        assert!(told(&design(400, fed_from), "B118").is_empty());
    }
}

/// Behind a transformer of 400 V a board between a line and the neutral takes its amperes at its own 230 V: 30 kW are 30 kVA of the
/// machine, as they are of the transformer, and not 400 / 230 times as many.
#[test]
fn a_board_of_one_phase_asks_its_source_for_its_own_voltage() {
    let loads = "tag,board,load_kind,rated_power_kw,voltage_v,phases,starting_method,cable_length_m\nF-1,LB,heater,30,230,1,contactor,30\n";
    let design = |kva: u32| {
        let basis = supply(630)
            + &format!(
                "[[source]]\nname = \"G1\"\nkind = \"generator\"\nkva = {kva}\nsubtransient_reactance_pct = 12\nsustained_current_ratio = 3\n"
            )
            + "[[transformer]]\nname = \"T1\"\nfrom = \"G1\"\nkva = 100\nimpedance_pct = 4\nsecondary_voltage_v = 400\n"
            + "[[board]]\nname = \"LB\"\nvoltage_v = 230\nphases = 1\nfed_from = \"T1\"\n";
        design_of(loads, &basis)
    };
    let small = design(25);
    let found = told(&small, "B118");
    assert!(matches!(found[..], [what] if what.contains("ask for 30 kVA, its rated power is 25 kVA (120 %)")), "{found:?}");
    let transformer = board(&small, "LB").transformer.as_ref().expect("a transformer");
    assert!((transformer.demand_kva - 30.0).abs() < 0.01, "{transformer:?}");
    assert!(told(&design(40), "B118").is_empty());
}

/// Equal moulded-case breakers in series, three deep: for a fault behind the last all three open.
#[test]
fn equal_devices_of_feeders_in_series_do_not_discriminate_and_it_is_told() {
    let loads = "tag,board,load_kind,rated_power_kw,voltage_v,phases,starting_method,cable_length_m\nH-1,SUB2,heater,45,400,3,contactor,20\n";
    let basis = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nfrequency_hz = 50\nearthing = \"TN-S\"\nprospective_fault_ka = 25\n\
        prospective_fault_min_ka = 12\nx_over_r = 6\n[[board]]\nname = \"MDB\"\nfeeder_length_m = 5\n[[board]]\nname = \"SUB\"\nfed_from = \"MDB\"\nfeeder_length_m = 30\n\
        [[board]]\nname = \"SUB2\"\nfed_from = \"SUB\"\nfeeder_length_m = 10\n";
    let design = design_of(loads, basis);
    let found = told(&design, "B313");
    for (before, behind) in [("MDB", "SUB"), ("SUB", "SUB2")] {
        assert_eq!(board(&design, before).feeder.part, board(&design, behind).feeder.part, "the case rests on equal devices");
        let wanted = format!("board {before} against the feeder of board {behind}: no discrimination");
        assert!(found.iter().any(|what| what.ends_with(&wanted)), "{found:?}");
    }
    // A circuit-breaker at the head of a board stands before its feeders as it does before its circuits.
    let design = design_of(loads, &basis.replace("name = \"SUB\"", "name = \"SUB\"\nincoming = \"circuit-breaker\""));
    let head = board(&design, "SUB").incoming.as_ref().expect("an incoming device");
    assert_eq!(head.part, board(&design, "SUB2").feeder.part, "the case rests on equal devices");
    let found = told(&design, "B313");
    let wanted = "incoming device of board SUB against the feeder of board SUB2: no discrimination";
    assert!(found.contains(&wanted), "{found:?}");
}

const US_LOADS: &str = "tag,board,load_kind,rated_power_hp,voltage_v,phases,frequency_hz,full_load_current_a,starting_method,cable_length_ft,\
    service_factor,locked_rotor_code,phase\n";

/// NFPA 70, Table 450.3(B), protection on both sides: 45 kVA at 208 V have 124.9 A; 125 % are 156 A, next size up 175 A. By 430.62 the
/// feeder alone might have 200 A.
#[test]
fn the_device_behind_a_transformer_keeps_within_table_450_3_b() {
    let basis = "[rules]\nbook = \"nec\"\n[supply]\nvoltage_v = 480\nfrequency_hz = 60\nsystem = \"480Y/277 4W solidly grounded\"\n\
        prospective_fault_ka = 14\nprospective_fault_min_ka = 9\nx_over_r = 4\n\
        [[transformer]]\nname = \"T-1\"\nto = \"LP-1\"\nkva = 45\nimpedance_pct = 4\nload_loss_kw = 1\nsecondary_voltage_v = 208\n\
        system = \"208Y/120 4W solidly grounded\"\n[[board]]\nname = \"LP-1\"\nfed_from = \"T-1\"\nvoltage_v = 208\n";
    let of = |power: &str, basis: &str| {
        let design = design_of(
            &format!("{US_LOADS}P-1,LP-1,motor,{power},direct,40,1.15,G,\nP-2,LP-1,motor,5,208,3,60,15,direct,40,1.15,J,\n"),
            basis,
        );
        agrees_with_itself(&design);
        design
    };
    let check = |design: &Design| {
        let found = board(design, "LP-1").checks.iter().find(|check| check.name == "transformer-secondary-protection").cloned();
        found.expect("it is checked")
    };
    let design = of("25,208,3,60,70", basis);
    near(board(&design, "LP-1").feeder_protection_a, 175.0, 1e-9);
    assert_eq!((check(&design).limit, check(&design).passed), (Some(175.0), Some(true)));
    // Where no device within it carries what flows, a larger one is chosen and told: 15 kVA have 41.6 A, 52 A, next size up 60 A.
    let design = of("25,208,3,60,70", &basis.replace("kva = 45", "kva = 15"));
    assert!(board(&design, "LP-1").feeder_protection_a > 60.0);
    assert_eq!((check(&design).limit, check(&design).passed), (Some(60.0), Some(false)));
    assert!(told(&design, "B304").iter().any(|what| what.contains("secondary")), "{:?}", told(&design, "B304"));
}

/// NFPA 70, 408.3(E)(1) and 240.85: of a 240/120 V delta phase B has 208 V to the neutral and to ground. Nothing of 120 V goes there,
/// neither by choice nor because a row says so.
#[test]
fn nothing_of_120_v_stands_on_the_high_leg_of_a_delta() {
    let rows: String = (1..=6).map(|at| format!("K-{at},P-3,motor,1/2,115,1,60,9,direct,30,1.15,,\n")).collect();
    let stated = "H-1,P-3,motor,1/2,115,1,60,9,direct,30,1.15,,L2-N\nH-2,P-3,motor,3,230,1,60,16,direct,60,1.15,,L1-L2\n";
    for system in ["240/120 4W high-leg delta", "240/120 V 3PH 4W"] {
        let basis = format!(
            "[rules]\nbook = \"nec\"\n[supply]\nvoltage_v = 240\nfrequency_hz = 60\nphases = 3\nsystem = \"{system}\"\n\
             prospective_fault_ka = 8\nprospective_fault_min_ka = 3\nx_over_r = 3\n[[board]]\nname = \"P-3\"\nvoltage_v = 240\n"
        );
        let design = design_of(&format!("{US_LOADS}{rows}{stated}"), &basis);
        agrees_with_itself(&design);
        let lines = |tag: &str| circuit(&design, tag).lines.clone();
        let to_neutral: Vec<String> = (1..=6).map(|at| lines(&format!("K-{at}"))).chain([lines("H-1")]).collect();
        assert!(to_neutral.iter().all(|to_neutral| to_neutral == "L1-N" || to_neutral == "L3-N"), "{to_neutral:?}");
        assert_eq!(lines("H-2"), "L1-L2", "between two lines any pair will do");
        assert!(told(&design, "B202").iter().any(|what| what.contains("high leg: 208 V")), "{:?}", told(&design, "B202"));
    }
    // A board of one phase with its neutral stands between the two lines that have 120 V to it, whatever else is loaded.
    let basis = "[rules]\nbook = \"nec\"\n[supply]\nvoltage_v = 240\nfrequency_hz = 60\nphases = 3\nsystem = \"240/120 4W high-leg delta\"\n\
        prospective_fault_ka = 8\nprospective_fault_min_ka = 3\n[[board]]\nname = \"P-3\"\nvoltage_v = 240\n\
        [[board]]\nname = \"LP\"\nfed_from = \"P-3\"\nvoltage_v = 240\nphases = 1\nfeeder_length_ft = 30\n";
    let heavy = "H-9,P-3,heater,,240,1,60,40,contactor,30,,,L1-L3\nH-8,LP,heater,,240,1,60,12,contactor,30,,,\n";
    assert_eq!(circuit(&design_of(&format!("{US_LOADS}{heavy}"), basis), "H-8").lines, "L1-L3");
    // A wye of the same words otherwise has three equal phases.
    let wye = "[rules]\nbook = \"nec\"\n[supply]\nvoltage_v = 208\nfrequency_hz = 60\nsystem = \"208Y/120 4W solidly grounded\"\n\
        prospective_fault_ka = 8\nprospective_fault_min_ka = 3\n[[board]]\nname = \"P-3\"\nvoltage_v = 208\n";
    let design = design_of(&format!("{US_LOADS}{rows}"), wye);
    assert!(design.circuits.iter().any(|circuit| circuit.lines == "L2-N"), "each phase has its share");
}

/// Informational notes to NFPA 70, 210.19(A) and 215.2(A)(1): 3 % for the branch circuit, 5 % for feeder and branch circuit together.
#[test]
fn a_branch_circuit_loses_to_its_feeder_only_what_that_takes_beyond_its_share() {
    let of = |feeder: &str| {
        let basis = format!(
            "[rules]\nbook = \"nec\"\n[supply]\nvoltage_v = 480\nfrequency_hz = 60\nsystem = \"480Y/277 4W solidly grounded\"\n\
             prospective_fault_ka = 30\nprospective_fault_min_ka = 20\nx_over_r = 5\n[[board]]\nname = \"MSB\"\nvoltage_v = 480\n\
             [[board]]\nname = \"MB\"\nfed_from = \"MSB\"\nvoltage_v = 480\n{feeder}\n"
        );
        let design = design_of(&format!("{US_LOADS}V-1,MB,motor,50,460,3,60,62,direct,250,1.15,G,\n"), &basis);
        agrees_with_itself(&design);
        let check = circuit(&design, "V-1").checks.iter().find(|check| check.name == "running-voltage-drop").cloned();
        let voltage = |name: &str| board(&design, name).voltage_running_pct.expect("it is known");
        (check.expect("it is checked"), voltage("MSB") - voltage("MB"))
    };
    let (check, drop) = of("feeder_length_ft = 100\nfeeder_conductor = \"1/0 AWG copper THWN-2\"");
    assert!(drop < 2.0 && check.limit == Some(3.0), "{check:?} behind {drop} %");
    // 4 AWG carry 65 A over 450 ft with more than 3 %; what is left of 5 % is less than 3 %, and no more than that.
    let (check, drop) = of("feeder_length_ft = 450\nfeeder_conductor = \"4 AWG copper THWN-2\"");
    assert!(drop > 2.5, "{drop}");
    let limit = check.limit.expect("a limit");
    assert!(limit < 3.0 && (limit - (5.0 - drop)).abs() < 0.1, "{limit} behind {drop} %");
}

/// 2826 A stand at the terminals of a transformer, and nobody says how: cables of the tables carry none of it, and a limit of nothing
/// would say nothing.
#[test]
fn a_current_beyond_all_cables_asks_for_a_design_once() {
    let loads = "tag,board,load_kind,rated_power_kw,voltage_v,phases,starting_method,cable_length_m\n".to_owned()
        + &(1..=18).map(|at| format!("H-{at},MDB,heater,110,400,3,contactor,20\n")).collect::<String>();
    let basis = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 20000\nfrequency_hz = 50\nearthing = \"TN-S\"\nupstream_fault_mva = 250\n\
        [[transformer]]\nname = \"T1\"\nto = \"MDB\"\nkva = 2500\nimpedance_pct = 6\nsecondary_voltage_v = 400\n[[board]]\nname = \"MDB\"\n";
    let design = design_of(&loads, basis);
    agrees_with_itself(&design);
    let found = told(&design, "B301");
    assert!(matches!(found[..], [what] if what.contains("of which nothing is stated")), "{found:?}");
    assert!(told(&design, "B304").iter().all(|what| !what.contains("feeder run")), "{:?}", told(&design, "B304"));
}

/// Where stated conductors are far too small the check of their capacity says so; terminals are not the question then.
#[test]
fn no_terminal_is_named_for_conductors_beyond_their_insulation() {
    let loads = "tag,board,load_kind,rated_power_kw,voltage_v,phases,starting_method,cable_length_m\nH-1,SUB,heater,150,400,3,contactor,20\n";
    let of = |conductor: &str| {
        let basis = format!(
            "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nfrequency_hz = 50\nearthing = \"TN-S\"\nprospective_fault_ka = 25\n\
             prospective_fault_min_ka = 12\n[[board]]\nname = \"MDB\"\n[[board]]\nname = \"SUB\"\nfed_from = \"MDB\"\nfeeder_length_m = 10\n\
             feeder_conductor = \"{conductor}\"\n[design]\ninstallation_method = \"E\"\n"
        );
        design_of(loads, &basis)
    };
    // 216.5 A: 25 mm² on a tray carry 127 A, 70 mm² 246 A (IEC 60364-5-52, Table B.52.12, three cores of copper and XLPE).
    let small = of("25 mm2 copper xlpe");
    assert!(told(&small, "B324").is_empty(), "{:?}", told(&small, "B324"));
    assert!(told(&small, "B304").iter().any(|what| what.contains("current carrying capacity")), "{:?}", told(&small, "B304"));
    assert_eq!(told(&of("70 mm2 copper xlpe"), "B324").len(), 1);
}

/// The smallest fault current of a board is that of any kind; calling it one to earth on the same page promised what nobody reckoned.
#[test]
fn the_smallest_fault_current_has_one_name_on_a_page() {
    let folder = common::folder_with("loads.csv", format!("{LOADS}P-1,A,11,400,3,20.6,direct,20\n").as_bytes());
    let basis = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nprospective_fault_ka = 20\nprospective_fault_min_ka = 12\n";
    std::fs::write(folder.path().join("basis.toml"), basis).expect("a file");
    let run = common::run_in(folder.path(), &["size", "loads.csv", "--basis", "basis.toml", "--out", "out"]);
    assert!(run.status <= 1, "{}", run.stderr);
    let page = std::fs::read_to_string(folder.path().join("out/submittal.html")).expect("a page");
    assert!(page.contains("smallest fault current, any kind") && !page.contains("smallest fault current to "));
}

/// 250 MVA before a transformer that the basis does not place are 361 kA at 400 V: no board stands at that.
#[test]
fn a_board_that_nothing_places_has_no_fault_level_of_the_network_before_a_transformer() {
    let basis = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nfrequency_hz = 50\nearthing = \"TN-S\"\nupstream_fault_mva = 250\n\
                 [[transformer]]\nname = \"T1\"\nfrom = \"A\"\nto = \"MAIN\"\nkva = 630\nimpedance_pct = 6\nsecondary_voltage_v = 400\n\
                 [[board]]\nname = \"MAIN\"\n";
    let design = design_of(&format!("{LOADS}P-1,Zed,7.5,400,3,14.3,direct,48\nP-2,MAIN,7.5,400,3,14.3,direct,48\n"), basis);
    agrees_with_itself(&design);
    assert_eq!(board(&design, "Zed").prospective_fault_ka, None);
    assert_eq!(circuit(&design, "P-1").fault.board_max_ka, None);
    // Lines counted in the text of the basis: `from` is the tenth.
    let unknown = design.all_findings().into_iter().find(|(_, finding)| finding.code == "B101").expect("it is told").1.clone();
    assert_eq!(unknown.place.and_then(|place| place.row), Some(10), "{}", unknown.what);
}

/// IEC 60076-1, 7.1: the delta of Dyn11 ends the zero sequence; of Yyn0 nothing does, and its impedance is not that of the positive one.
#[test]
fn a_vector_group_decides_what_is_assumed_of_faults_to_earth() {
    let design = |group: &str| {
        let basis = format!(
            "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nfrequency_hz = 50\nearthing = \"TN-S\"\nupstream_fault_mva = 250\n\
             [[transformer]]\nname = \"T1\"\nto = \"MAIN\"\nkva = 630\nimpedance_pct = 6\nsecondary_voltage_v = 400\n{group}\
             [[board]]\nname = \"MAIN\"\nfed_from = \"T1\"\n"
        );
        design_of(&format!("{LOADS}P-2,MAIN,7.5,400,3,14.3,direct,48\n"), &basis)
    };
    let (open, delta, star) = (design(""), design("vector_group = \"Dyn11\"\n"), design("vector_group = \"Yyn0\"\n"));
    [&open, &delta, &star].into_iter().for_each(agrees_with_itself);
    let assumed = |design: &Design| {
        told(design, "B111")
            .iter()
            .filter(|what| what.contains("zero-sequence"))
            .map(|what| (*what).to_owned())
            .collect::<Vec<_>>()
    };
    assert!(assumed(&open)[0].contains("primary in delta"), "{:?}", assumed(&open));
    assert!(assumed(&delta)[0].contains("as its vector group Dyn11 ends it in the transformer"), "{:?}", assumed(&delta));
    assert_eq!(board(&open, "MAIN").prospective_fault_min_ka, board(&delta, "MAIN").prospective_fault_min_ka);
    assert!(assumed(&star).is_empty(), "{:?}", assumed(&star));
    assert!(told(&star, "B112").iter().any(|what| what.contains("Yyn0")), "{:?}", told(&star, "B112"));
    assert_eq!(board(&star, "MAIN").prospective_fault_min_ka, None);
    // Letters of one size are the same group, and a group that is not understood promises no delta.
    for (group, smallest) in
        [("DYN11", &delta), ("dyn11", &delta), ("YYN0", &star), ("yyn0", &star), ("YNyn0+d", &star), ("special", &star)]
    {
        let design = design(&format!("vector_group = \"{group}\"\n"));
        let [read, expected] = [&design, smallest].map(|design| board(design, "MAIN").prospective_fault_min_ka);
        assert_eq!(read, expected, "{group}");
    }
    assert!(told(&delta, "F101").is_empty());
}

/// A source that stands in and has no name bears the same words everywhere.
#[test]
fn a_source_without_a_name_is_called_alike_everywhere() {
    let basis = supply(630)
        + "[[source]]\nkva = 500\nsubtransient_reactance_pct = 15\nsustained_current_ratio = 3\n\
           [[board]]\nname = \"MAIN\"\nfed_from = \"supply\"\nfeeder_length_m = 20\n";
    let design = design_of(&format!("{LOADS}P-2,MAIN,7.5,400,3,14.3,direct,48\n"), &basis);
    agrees_with_itself(&design);
    let transfer: Vec<&str> =
        design.purchase.iter().map(|line| line.description.as_str()).filter(|what| what.contains("transfer equipment")).collect();
    assert!(matches!(transfer[..], [what] if what.contains("MAIN from the supply to source 1, ")), "{transfer:?}");
}
