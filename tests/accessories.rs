//! Small parts over whole schedules: rows that are interlocked with each other, commoning bars over neighbours, and what the lists
//! say of them, under both rule books. Facts of the trade are common practice, no source.

mod common;

use common::{design_of, folder_with, run_in};
use motorwright::catalogue;
use motorwright::design::{Circuit, Design};
use motorwright::rules;
use motorwright::verify::Verifier;

const IEC: &str = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nfrequency_hz = 50\nphases = 3\nearthing = \"TN-S\"\n\
    prospective_fault_ka = 20\nprospective_fault_min_ka = 10\nx_over_r = 2\n";
const NEC: &str = "[rules]\nbook = \"nec\"\n[supply]\nvoltage_v = 480\nfrequency_hz = 60\nphases = 3\nsystem = \"480Y/277 4W solidly grounded\"\n\
    prospective_fault_ka = 20\nprospective_fault_min_ka = 10\nx_over_r = 2\n";
const HEAD: &str =
    "tag,board,quantity,rated_power_kw,full_load_current_a,starting_method,protection_kind,interlock_with,cable_length_m\n";

fn design(rows: &str, basis: &str) -> Design {
    design_of(&format!("{HEAD}{rows}"), basis)
}

fn circuit<'d>(design: &'d Design, tag: &str) -> &'d Circuit {
    design.circuits.iter().find(|circuit| circuit.tag == tag).unwrap_or_else(|| panic!("no {tag}"))
}

fn count(circuit: &Circuit, kind: &str) -> u32 {
    circuit.accessories.iter().filter(|accessory| accessory.kind == kind).map(|accessory| accessory.quantity).sum()
}

/// Contacts that an interlock needs, with where they sit.
fn interlock_places(circuit: &Circuit) -> Vec<&str> {
    let auxiliary_contact =
        circuit.auxiliary_contacts.iter().filter(|contact| contact.function == "interlock" && contact.kind == "nc");
    auxiliary_contact.map(|contact| contact.place.as_str()).collect()
}

#[test]
fn interlocked_rows_share_a_frame_and_one_mechanical_interlock_whoever_names_whom() {
    let rows = |first: &str, second: &str| {
        design(&format!("P-1,M,1,4,8.1,direct,gG,{first},20\nP-2,M,1,15,28,direct,gG,{second},20\n"), IEC)
    };
    let plain = rows("", "");
    assert_ne!(
        circuit(&plain, "P-1").contactors[0].frame,
        circuit(&plain, "P-2").contactors[0].frame,
        "the case is one of two frames"
    );
    for (first, second) in [("P-2", ""), ("", "P-1"), ("P-2", "P-1")] {
        let design = rows(first, second);
        let (one, two) = (circuit(&design, "P-1"), circuit(&design, "P-2"));
        assert_eq!(one.contactors[0].frame, two.contactors[0].frame);
        assert_eq!(two.contactors, circuit(&plain, "P-2").contactors, "the larger stays as it was");
        assert_eq!([one, two].map(|circuit| count(circuit, "interlock")), [1, 0], "one for the pair, with the first row");
        assert_eq!([one, two].map(|circuit| interlock_places(circuit).len()), [1, 1], "each blocks the other's coil");
        let bought: f64 = design.purchase.iter().filter(|line| line.part.starts_with("GEN-IL")).map(|line| line.quantity).sum();
        assert!((bought - 1.0).abs() < 1e-9);
    }
}

#[test]
fn what_cannot_stand_side_by_side_is_interlocked_through_contacts_alone() {
    let cases = [
        ("other board", "P-1,M,1,4,8.1,direct,gG,P-2,20\nP-2,N,1,4,8.1,direct,gG,,20\n"),
        ("other number", "P-1,M,2,4,8.1,direct,gG,P-2,20\nP-2,M,1,4,8.1,direct,gG,,20\n"),
        ("several contactors", "P-1,M,1,4,8.1,star-delta,gG,P-2,20\nP-2,M,1,4,8.1,direct,gG,,20\n"),
    ];
    for (why, rows) in cases {
        let design = design(rows, IEC);
        let (one, two) = (circuit(&design, "P-1"), circuit(&design, "P-2"));
        for circuit in [one, two] {
            assert!(circuit.findings.iter().any(|finding| finding.code == "C511"), "{why}");
            assert!(interlock_places(circuit).iter().all(|place| !place.is_empty()), "{why}");
        }
        let partners = one
            .accessories
            .iter()
            .chain(&two.accessories)
            .filter(|accessory| accessory.kind == "interlock" && accessory.serves.contains("P-"));
        assert_eq!(partners.count(), 0, "{why}");
        assert!(!interlock_places(two).is_empty(), "{why}");
    }
}

/// Codes of what the verifier holds against a circuit of a design.
fn disagreements(design: &Design, tag: &str) -> Vec<String> {
    let book = rules::book(&design.rule_book, None).expect("a rule book");
    let verifier = Verifier::new(&design.basis, book, catalogue::builtin(&design.rule_book), &design.circuits);
    verifier.circuit(circuit(design, tag)).into_iter().map(|finding| finding.code).collect()
}

/// The interlock that joins P-1 with P-2, as if it stood between two other rows.
fn joined_too(design: &Design, first: &str, second: &str) -> Design {
    let mut wrong = design.clone();
    let of_first = |circuit: &Circuit| circuit.accessories.iter().find(|accessory| accessory.kind == "interlock").cloned();
    let mut interlock = wrong.circuits.iter().find_map(of_first).expect("the case has an interlock");
    interlock.serves = format!("main and {second}");
    let circuit = wrong.circuits.iter_mut().find(|circuit| circuit.tag == first).expect("the row");
    circuit.accessories.push(interlock);
    wrong
}

/// Of three contactors in a row the first and the last do not touch: two pairs are joined, the third has contacts of auxiliary blocks.
#[test]
fn three_rows_that_exclude_each_other_have_two_mechanical_interlocks() {
    let rows = "P-1,M,1,4,8.1,direct,gG,\"P-2,P-3\",20\nP-2,M,1,4,8.1,direct,gG,\"P-1,P-3\",20\nP-3,M,1,4,8.1,direct,gG,\"P-1,P-2\",20\n";
    let design = design(rows, IEC);
    let circuits = ["P-1", "P-2", "P-3"].map(|tag| circuit(&design, tag));
    assert_eq!(circuits.map(|circuit| count(circuit, "interlock")).iter().sum::<u32>(), 2);
    for circuit in &circuits {
        assert_eq!(interlock_places(circuit).len(), 2, "{}: a contact for each partner", circuit.tag);
    }
    for circuit in &circuits[1..] {
        assert_eq!(interlock_places(circuit).iter().filter(|place| place.starts_with("GEN-IL")).count(), 1, "{}", circuit.tag);
        assert!(circuit.findings.iter().any(|finding| finding.code == "C511"), "{}", circuit.tag);
    }
    assert!(circuits.iter().all(|circuit| disagreements(&design, &circuit.tag).is_empty()));
    let wrong = joined_too(&design, "P-2", "P-3");
    assert!(disagreements(&wrong, "P-2").contains(&"V603".to_owned()), "the verifier finds the ring");
}

/// Four rows, each against each: a row of four contactors has three pairs of neighbours.
#[test]
fn pairs_of_mechanical_interlocks_form_a_chain_and_no_ring() {
    let others = |tag: &str| ["P-1", "P-2", "P-3", "P-4"].into_iter().filter(|other| *other != tag).collect::<Vec<_>>().join(",");
    let row = |tag: &str| format!("{tag},M,1,4,8.1,direct,gG,\"{}\",20\n", others(tag));
    let design = design(&["P-1", "P-2", "P-3", "P-4"].map(row).concat(), IEC);
    assert_eq!(design.circuits.iter().map(|circuit| count(circuit, "interlock")).sum::<u32>(), 3);
    assert!(design.circuits.iter().all(|circuit| interlock_places(circuit).len() == 3));
    assert!(design.circuits.iter().all(|circuit| circuit.findings.iter().all(|finding| !finding.code.starts_with('V'))));
}

/// A mechanical interlock joins contactors side by side: not over a supply run, nor out of an enclosure of its own.
#[test]
fn starters_that_stand_apart_are_interlocked_through_contacts_alone() {
    let head = HEAD.replace("cable_length_m", "cable_length_m,supply_length_m,enclosure");
    for [first, second] in [["15,", "40,"], ["40,", ","], [",IP55", ",IP55"], [",", ",IP55"]] {
        let rows = format!("P-1,M,1,4,8.1,direct,gG,P-2,20,{first}\nP-2,M,1,4,8.1,direct,gG,,20,{second}\n");
        let design = design_of(&format!("{head}{rows}"), IEC);
        for circuit in [circuit(&design, "P-1"), circuit(&design, "P-2")] {
            assert_eq!(count(circuit, "interlock"), 0, "{first} {second}");
            let places = interlock_places(circuit);
            assert!(
                !places.is_empty() && places.iter().all(|place| !place.is_empty() && !place.starts_with("GEN-IL")),
                "{places:?}"
            );
            let told = circuit.findings.iter().find(|finding| finding.code == "C511").expect("it is said");
            assert!(told.what.contains("not on the purchase list") && told.cure.contains("two cores each way"), "{told:?}");
            assert!(circuit.findings.iter().all(|finding| !finding.code.starts_with('V')), "{:?}", circuit.findings);
        }
        let beside = design_of(&format!("{head}P-1,M,1,4,8.1,direct,gG,P-2,20,,\nP-2,M,1,4,8.1,direct,gG,,20,,\n"), IEC);
        let moved = beside.circuits.iter().zip(&design.circuits);
        let wrong = Design {
            circuits: moved.map(|(joined, apart)| Circuit { load: apart.load.clone(), ..joined.clone() }).collect(),
            ..beside
        };
        assert!(disagreements(&wrong, "P-1").contains(&"V603".to_owned()), "the verifier finds it");
    }
}

#[test]
fn a_list_of_partners_is_read_as_tags_are() {
    let rows =
        |list: &str| format!("P-1,M,1,4,8.1,direct,gG,\"{list}\",20\nP-2,M,1,4,8.1,direct,gG,,20\nP-3,M,1,4,8.1,direct,gG,,20\n");
    let plain = design(&rows("P-2, P-3"), IEC);
    assert_eq!(interlock_places(circuit(&plain, "P-1")).len(), 2);
    // A row may stand in the list that its whole group bears.
    for list in ["P-2 to P-3", "P-1 to P-3", "P-2/3", "P-2 and P-3"] {
        let design = design(&rows(list), IEC);
        for (circuit, other) in design.circuits.iter().zip(&plain.circuits) {
            assert_eq!(circuit.auxiliary_contacts, other.auxiliary_contacts, "{list}");
            assert_eq!(circuit.accessories, other.accessories, "{list}");
            assert!(circuit.findings.iter().all(|finding| finding.code != "C405"), "{list}");
        }
    }
}

#[test]
fn a_contactor_of_the_safety_function_is_no_partner_of_a_mechanical_interlock() {
    let head = HEAD.replace("cable_length_m", "cable_length_m,safety_level");
    let rows = "P-1,M,1,4,8.1,direct,gG,P-2,20,\nP-2,M,1,4,8.1,soft-starter,gG,,20,PL d\n";
    let design = design_of(&format!("{head}{rows}"), IEC);
    let (one, two) = (circuit(&design, "P-1"), circuit(&design, "P-2"));
    assert!(two.contactors.iter().any(|contactor| contactor.role == "safety"), "the case has one");
    assert_eq!(count(one, "interlock"), 0);
    assert!(
        one.findings.iter().any(|finding| finding.code == "C511")
            && one.findings.iter().all(|finding| !finding.code.starts_with('V'))
    );
}

#[test]
fn identical_breakers_under_bars_of_several_lengths_have_one_check() {
    // Eleven breakers of 8.3 A: no bar has eleven ways, and none carries 91 A, so several bars lie over one row's breakers.
    let design = design("P-1,M,11,4,8.3,direct,motor-breaker,,20\n", IEC);
    let circuit = circuit(&design, "P-1");
    assert!(count(circuit, "commoning-bar") > 1, "the case has several bars");
    assert_eq!(circuit.checks.iter().filter(|check| check.name == "commoning-current").count(), 1);
    assert!(circuit.findings.iter().all(|finding| !finding.code.starts_with('V')));
}

#[test]
fn a_contactor_has_two_sides_for_mechanical_interlocks() {
    let rows =
        "A,M,1,4,8.1,direct,gG,\"B,C,D\",20\nB,M,1,4,8.1,direct,gG,,20\nC,M,1,4,8.1,direct,gG,,20\nD,M,1,4,8.1,direct,gG,,20\n";
    let design = design(rows, IEC);
    let first = circuit(&design, "A");
    assert_eq!(count(first, "interlock"), 2);
    assert_eq!(interlock_places(first).len(), 3, "the third partner is kept out by a contact");
    assert!(first.findings.iter().any(|finding| finding.code == "C511" && finding.what.contains('D')));
}

#[test]
fn horsepower_sizes_are_interlocked_too() {
    let rows = "P-1,M,1,4,7.6,direct,inverse-time,P-2,20\nP-2,M,1,15,27,direct,inverse-time,,20\n";
    let design = design(rows, NEC);
    let (one, two) = (circuit(&design, "P-1"), circuit(&design, "P-2"));
    assert_eq!(one.contactors[0].frame, two.contactors[0].frame);
    assert_eq!([one, two].map(|circuit| count(circuit, "interlock")), [1, 0]);
}

/// Pumps of so many amperes, each with a motor-protective circuit-breaker.
fn pumps(currents: &[f64]) -> String {
    currents
        .iter()
        .enumerate()
        .map(|(at, amperes)| format!("P-{at},M,1,{},{amperes},direct,motor-breaker,,20\n", amperes / 2.0))
        .collect()
}

#[test]
fn neighbours_of_one_frame_are_fed_by_one_bar_within_its_rating() {
    let bars = |currents: &[f64]| {
        let design = design(&pumps(currents), IEC);
        let mut bars: Vec<(String, u32)> = Vec::new();
        for accessory in
            design.circuits.iter().flat_map(|circuit| &circuit.accessories).filter(|accessory| accessory.kind == "commoning-bar")
        {
            assert!(accessory.shared);
            bars.push((accessory.serves.clone(), accessory.quantity));
        }
        // Each bar has its feed, and the list counts both as often as they are there.
        let bought = |start: &str| {
            design.purchase.iter().filter(|line| line.part.starts_with(start)).map(|line| line.quantity).sum::<f64>()
        };
        let laid: u32 = bars.iter().map(|(_, count)| count).sum();
        assert!((bought("GEN-CB") - f64::from(laid)).abs() < 1e-9 && (bought("GEN-FT") - f64::from(laid)).abs() < 1e-9);
        bars.into_iter().map(|(serves, _)| serves).collect::<Vec<_>>()
    };
    assert_eq!(bars(&[8.0]), Vec::<String>::new());
    assert_eq!(bars(&[8.0, 8.0, 8.0]), ["P-0, P-1, P-2"]);
    // The range has bars of five ways at the most: six breakers take two bars rather than leave one out.
    assert_eq!(bars(&[8.0; 6]).len(), 2);
    // 6 × 12 A are more than 63 A on one bar; no breaker stays out.
    assert_eq!(bars(&[12.0; 6]).len(), 2);
    // A breaker of another frame between them parts the row (frame of 16 A and of 32 A).
    assert_eq!(bars(&[8.0, 8.0, 22.0, 8.0, 8.0]), ["P-0, P-1", "P-3, P-4"]);
}

#[test]
fn a_bar_of_three_phases_lies_over_no_circuit_that_has_fewer_or_another_voltage() {
    // A bar joins the line terminals of its breakers phase by phase: a pole drawn to the neutral would get a phase.
    let head = "tag,board,rated_power_kw,full_load_current_a,voltage_v,phases,starting_method,protection_kind,cable_length_m\n";
    let bars = |rows: &str| {
        let design = design_of(&format!("{head}{rows}"), IEC);
        assert!(
            design
                .circuits
                .iter()
                .all(|circuit| circuit.protection.as_ref().is_some_and(|protection| protection.kind == "motor-breaker"))
        );
        assert!(design.circuits.iter().flat_map(|circuit| &circuit.findings).all(|finding| !finding.code.starts_with('V')));
        let all =
            design.circuits.iter().flat_map(|circuit| &circuit.accessories).filter(|accessory| accessory.kind == "commoning-bar");
        all.map(|accessory| accessory.serves.clone()).collect::<Vec<_>>()
    };
    let three = |tag: &str, volts: &str| format!("{tag},M,4,8.1,{volts},3,direct,motor-breaker,20\n");
    let single = |tag: &str| format!("{tag},M,0.37,2.8,230,1,direct,motor-breaker,20\n");
    assert_eq!(bars(&(three("A", "400") + &three("B", "400"))), ["A, B"]);
    assert_eq!(bars(&(single("A") + &single("B"))), Vec::<String>::new(), "each has its neutral on one pole");
    assert_eq!(bars(&(three("A", "400") + &single("B") + &three("C", "400"))), Vec::<String>::new());
    assert_eq!(bars(&(three("A", "400") + &three("B", "400") + &single("C"))), ["A, B"]);
    assert_eq!(bars(&(three("A", "400") + &three("B", "380"))), Vec::<String>::new(), "other voltages");
}

#[test]
fn a_bar_over_identical_circuits_is_counted_once() {
    let rows = "P-1,M,4,4,8.1,direct,motor-breaker,,20\n";
    let design = design(rows, IEC);
    let bars: Vec<f64> =
        design.purchase.iter().filter(|line| line.part.starts_with("GEN-CB")).map(|line| line.quantity).collect();
    assert_eq!(bars, [1.0], "four breakers stand under one bar of four ways");
    let breakers: f64 = design.purchase.iter().filter(|line| line.part.starts_with("GEN-MB")).map(|line| line.quantity).sum();
    assert!((breakers - 4.0).abs() < 1e-9);
}

#[test]
fn boards_pitches_and_circuits_that_are_not_sized_part_a_row() {
    let head =
        "tag,board,rated_power_kw,full_load_current_a,starting_method,protection_kind,indicators,reversing,cable_length_m\n";
    let of = |rows: &str| {
        let design = design_of(&format!("{head}{rows}"), IEC);
        design.circuits.iter().map(|circuit| count(circuit, "commoning-bar")).sum::<u32>()
    };
    let plain = "direct,motor-breaker,,no,20";
    assert_eq!(of(&format!("A,M,4,8.1,{plain}\nB,M,4,8.1,{plain}\n")), 1);
    assert_eq!(of(&format!("A,M,4,8.1,{plain}\nB,N,4,8.1,{plain}\n")), 0, "another board");
    assert_eq!(
        of(&format!("A,M,4,8.1,{plain}\nB,M,4,8.1,direct,motor-breaker,trip,no,20\n")),
        0,
        "a signal block beside the breaker"
    );
    assert_eq!(
        of(&format!("A,M,4,8.1,{plain}\nB,M,4,8.1,direct,motor-breaker,,yes,20\n")),
        0,
        "two contactors are wider than the breaker"
    );
    assert_eq!(
        of(&format!("A,M,4,8.1,{plain}\nX,M,4,8.1,,motor-breaker,,no,20\nB,M,4,8.1,{plain}\n")),
        0,
        "a row that is not sized"
    );
}

#[test]
fn contacts_are_shown_with_their_contactor() {
    let folder = folder_with("loads.csv", format!("{HEAD}P-1,M,1,4,8.1,star-delta,gG,,20\n").as_bytes());
    std::fs::write(folder.path().join("basis.toml"), IEC).expect("a file");
    let run = run_in(folder.path(), &["explain", "loads.csv", "P-1", "--basis", "basis.toml"]);
    assert!(run.stdout.contains("star: 1 NO (sequence), 1 NC (interlock)"), "{}", run.stdout);
    run_in(folder.path(), &["size", "loads.csv", "--basis", "basis.toml", "--out", "out"]);
    let page = std::fs::read_to_string(folder.path().join("out/submittal.html")).expect("a page");
    assert!(page.contains("1 NO (sequence), 1 NC (interlock)"));
}

// Rule of drive manuals and of two public trade answers: coils in the same panel as electronic outputs are suppressed, whatever
// commands them.
#[rstest::rstest]
#[case::beside_a_controller("B,direct,plc-output,,,", "B,direct,pushbutton,,,", 1)]
#[case::beside_a_drive("B,drive,pushbutton,,,", "B,direct,pushbutton,,,", 1)]
#[case::beside_a_safety_relay("B,direct,pushbutton,,category-0,", "B,direct,pushbutton,,,", 1)]
#[case::beside_a_monitored_contactor("B,direct,pushbutton,PL d,,", "B,direct,pushbutton,,,", 1)]
#[case::on_another_board("B,direct,plc-output,,,", "C,direct,pushbutton,,,", 0)]
#[case::in_an_enclosure_of_its_own("B,direct,plc-output,,,", "B,direct,pushbutton,,,IP55", 0)]
#[case::the_electronics_in_an_enclosure_of_their_own("B,drive,pushbutton,,,IP55", "B,direct,pushbutton,,,", 0)]
#[case::no_electronics("B,direct,relay,,,", "B,direct,pushbutton,,,", 0)]
fn a_coil_is_suppressed_where_another_row_brings_electronics_into_its_panel(
    #[case] other: &str,
    #[case] first: &str,
    #[case] suppressors: u32,
) {
    let head = "tag,board,starting_method,driven_by,safety_level,emergency_stop,enclosure,rated_power_kw,cable_length_m\n";
    for (book, basis) in [("iec", IEC), ("nec", NEC)] {
        for rows in [format!("{head}P-1,{first},4,20\nP-2,{other},4,20\n"), format!("{head}P-2,{other},4,20\nP-1,{first},4,20\n")]
        {
            let design = design_of(&rows, basis);
            assert_eq!(count(circuit(&design, "P-1"), "suppressor"), suppressors, "{book}: {rows}");
            let disagreements: Vec<&str> = design
                .circuits
                .iter()
                .flat_map(|circuit| &circuit.findings)
                .filter(|finding| finding.code.starts_with('V'))
                .map(|finding| finding.what.as_str())
                .collect();
            assert!(disagreements.is_empty(), "{disagreements:?}");
        }
    }
}

// Found by generated rows: a drive without a bypass has one contactor, which its partner's interlock joins.
#[test]
fn the_line_contactor_of_a_drive_is_joined_from_both_sides() {
    for (basis, frame, part) in [(IEC, "1", "GEN-IL1"), (NEC, "N1", "GEN-IL-N1")] {
        let head = "tag,board,rated_power_kw,starting_method,line_contactor,interlock_with,aux_no,cable_length_m\n";
        let design = design_of(&format!("{head}P-1,M,4,direct,,P-2,1,20\nP-2,M,4,drive,yes,,2,20\n"), basis);
        let (one, two) = (circuit(&design, "P-1"), circuit(&design, "P-2"));
        assert_eq!([one, two].map(|circuit| circuit.contactors.len()), [1, 1]);
        // Contactors of one frame, and the interlock of that frame in the catalogue.
        assert_eq!([one, two].map(|circuit| circuit.contactors[0].frame.as_str()), [frame, frame]);
        let interlocks = one.accessories.iter().filter(|accessory| accessory.kind == "interlock");
        assert_eq!(interlocks.map(|accessory| accessory.part.as_str()).collect::<Vec<_>>(), [part]);
        assert!([one, two].iter().all(|circuit| interlock_places(circuit).len() == 1));
        // The interlock brings a contact to each of the two, where it has any.
        assert!([one, two].iter().all(|circuit| interlock_places(circuit) == [part]), "{part}");
        let disagreements: Vec<&str> = [one, two]
            .iter()
            .flat_map(|circuit| &circuit.findings)
            .filter(|finding| finding.code.starts_with('V'))
            .map(|finding| finding.what.as_str())
            .collect();
        assert!(disagreements.is_empty(), "{disagreements:?}");
    }
}
