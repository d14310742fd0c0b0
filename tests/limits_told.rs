//! A limit that shapes a circuit is told with it: the length that a drive charges, starts an hour, leads, edges of tables, one raceway for
//! several circuits, guide values at 60 Hz, labels and timers.

mod common;

use common::design_of;
use motorwright::design::{Circuit, Design, Status};
use motorwright::finding::Finding;

const IEC: &str = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nphases = 3\nfrequency_hz = 50\nearthing = \"TN-S\"\nprospective_fault_ka = 16\nprospective_fault_min_ka = 8\nx_over_r = 2\n[design]\ngrouped_circuits = 1\n";
const NEC: &str = "[rules]\nbook = \"nec\"\n[supply]\nvoltage_v = 480\nphases = 3\nfrequency_hz = 60\nsystem = \"480Y/277\"\nprospective_fault_ka = 18\n";

/// A design with which the verifier agrees.
fn sized(schedule: &str, basis: &str) -> Design {
    let design = design_of(schedule, basis);
    let tried: Vec<String> =
        design.all_findings().into_iter().filter(|(_, f)| f.code.starts_with('V')).map(|(_, f)| f.what.clone()).collect();
    assert!(tried.is_empty(), "{}", tried.join("\n"));
    design
}

fn told<'c>(circuit: &'c Circuit, code: &str) -> Option<&'c Finding> {
    circuit.findings.iter().find(|finding| finding.code == code)
}

fn codes(circuit: &Circuit) -> Vec<&str> {
    circuit.findings.iter().map(|finding| finding.code.as_str()).collect()
}

/// IEC 61800-2: what a drive may charge is its maker's to state; `drives.csv` declares 100 m up to 80 A and 150 m from 100 A on, series
/// R10. Motors of 41 A and of 55 A on 110 m are told alike (C101), and neither is bought a drive two sizes larger; one of 8.6 A on 80 m has
/// the next size (10 A charge 50 m, 12.5 A charge 100 m), and the circuit says so.
#[test]
fn a_cable_longer_than_the_drive_charges_is_told_and_buys_no_large_drive() {
    let head = "tag,rated_power_kw,voltage_v,phases,full_load_current_a,efficiency_pct,power_factor,starting_method,cable_length_m,protection_kind\n";
    let design = sized(
        &format!(
            "{head}D2,22,400,3,41,92,0.84,drive,110,gG\nD3,30,400,3,55,93,0.85,drive,110,gG\nD1,4,400,3,8.6,89,0.75,drive,80,gG\n"
        ),
        IEC,
    );
    let rated = |circuit: &Circuit| circuit.starter_devices[0].rated_a;
    for (at, amperes) in [(0, 50.0), (1, 63.0)] {
        let circuit = &design.circuits[at];
        assert_eq!(rated(circuit), amperes, "{}", circuit.tag);
        let failed = told(circuit, "C101").expect("told");
        assert!(failed.cure.contains("output filter") && circuit.status == Status::NeedsDecision, "{failed:?}");
        assert!(told(circuit, "C229").is_none());
    }
    let larger = told(&design.circuits[2], "C229").expect("told");
    assert_eq!(rated(&design.circuits[2]), 12.5);
    assert!(
        larger.what.contains("80 m") && larger.what.contains("GEN-VD4-10 of 10 A") && larger.cure.contains("filter"),
        "{larger:?}"
    );
}

/// What a run holds to behind a drive is no more than the drive charges: at that length its own check passes, and beyond it fails.
#[test]
fn a_run_behind_a_drive_holds_to_no_more_than_the_drive_charges() {
    let head = "tag,rated_power_kw,voltage_v,phases,full_load_current_a,efficiency_pct,power_factor,starting_method,cable_length_m,motors_per_starter\n";
    let design = sized(&format!("{head}D1,4,400,3,8.6,89,0.75,drive,40,\nD2,4,400,3,8.6,89,0.75,drive,20,3\n"), IEC);
    for (circuit, motors) in design.circuits.iter().zip([1.0, 3.0]) {
        let check = circuit.checks.iter().find(|check| check.name == "drive-cable-length").expect("it is checked");
        let run = circuit.runs.iter().find(|run| run.role == "motor").expect("a run");
        let (holds, charges) = (run.holds_to_m.expect("a reach"), check.limit.expect("a limit"));
        assert!(holds * motors <= charges + 1e-9, "{}: {holds} m of {charges}", circuit.tag);
    }
}

/// The nearest soft starter and what refuses it: 12 starts an hour are more than the 10 of the catalogue's GEN-SS-100, not its current.
#[test]
fn a_soft_starter_that_fails_by_its_starts_an_hour_is_named_with_them() {
    let head = "tag,rated_power_kw,voltage_v,phases,full_load_current_a,efficiency_class,locked_rotor_ratio,start_time_s,starting_method,cable_length_m,start_current_limit,starts_per_hour\n";
    let design = sized(&format!("{head}B3,55,400,3,100,IE3,7,3,soft-starter,30,4,12\n"), IEC);
    let missing = told(&design.circuits[0], "C206").expect("none holds");
    assert!(missing.why.contains("the nearest is") && missing.why.contains("12") && missing.why.contains("10"), "{missing:?}");
    assert_eq!(design.circuits[0].missing_parts(), ["soft starter or drive"]);
}

/// IEC 60034-8 and NEMA MG 1, Part 2: both halves of a part winding, both windings of two speeds and a tapped one need six ends; the same
/// motors with six are not refused. Equal halves are an assumption: windings of a third and two thirds exist.
#[rstest::rstest]
#[case("part-winding", 3, true)]
#[case("two-speed-separate", 3, true)]
#[case("two-speed-dahlander", 3, true)]
#[case("part-winding", 6, false)]
#[case("two-speed-dahlander", 6, false)]
#[case("direct", 3, false)]
fn a_motor_that_brings_out_too_few_leads_is_refused(#[case] method: &str, #[case] leads: u32, #[case] refused: bool) {
    let head = "tag,rated_power_kw,rated_power_low_kw,voltage_v,phases,full_load_current_a,full_load_current_low_a,starting_method,cable_length_m,motor_leads\n";
    let low = if method.starts_with("two") { ("14", "30") } else { ("", "") };
    let design = sized(&format!("{head}B,55,{},400,3,100,{},{method},30,{leads}\n", low.0, low.1), IEC);
    let circuit = &design.circuits[0];
    assert_eq!((told(circuit, "C304").is_some(), circuit.status == Status::NotSized), (refused, refused), "{:?}", codes(circuit));
    if method == "part-winding" && !refused {
        assert!(told(circuit, "L320").is_some_and(|note| note.what.contains("two equal halves")), "{:?}", codes(circuit));
    }
}

/// IEC 60364-5-52: Tables B.52.10 to B.52.13 begin at 25 mm² for single cores in free air (methods F and G); Table B.52.17 ends at 20
/// circuits, where 0.38 stands; 21 are taken by 1/√21 = 0.218 of B.52.5.2.
#[test]
fn the_edges_of_the_tables_of_capacities_are_told() {
    let head = "tag,rated_power_kw,voltage_v,phases,full_load_current_a,efficiency_class,poles,starting_method,cable_length_m,installation_method,insulation,grouped_circuits\n";
    let row = |tag: &str, method: &str, grouped: u32| format!("{tag},7.5,400,3,14,IE2,4,direct,30,{method},xlpe,{grouped}\n");
    let schedule =
        [head.to_owned(), row("E6", "G", 1), row("E5", "E", 1), row("E10", "B2", 21), row("E11", "B2", 20), row("E12", "C", 21)]
            .concat();
    let design = sized(&schedule, IEC);
    let edge = |at: usize| told(&design.circuits[at], "C230").map(|finding| finding.what.clone());
    assert_eq!(design.circuits[0].conductors.as_ref().map(|run| run.phase_area_mm2), Some(25.0));
    assert!(edge(0).is_some_and(|what| what.contains("from 25 mm²") && what.contains("method G")), "{:?}", edge(0));
    assert!(
        edge(2).is_some_and(|what| what.contains("21 circuits") && what.contains("20") && what.contains("0.218")),
        "{:?}",
        edge(2)
    );
    for at in [1, 3, 4] {
        assert_eq!(edge(at), None, "{}", design.circuits[at].tag);
    }
}

/// A raceway for four circuits is filled with the conductors of all, and each of the four rows brings one: the list is told to hold four.
#[test]
fn a_raceway_of_a_group_says_that_the_list_holds_one_for_each_circuit() {
    let head = "tag,rated_power_hp,voltage_v,phases,full_load_current_a,service_factor,design_letter,starting_method,cable_length_ft,grouped_circuits\n";
    let row = |tag: &str, grouped: u32| format!("{tag},25,460,3,31,1.15,B,direct,40,{grouped}\n");
    let design = sized(&[head.to_owned(), row("R0", 4), row("R1", 4), row("S", 1)].concat(), NEC);
    for at in [0, 1] {
        let shared = told(&design.circuits[at], "P108").expect("told");
        assert!(
            shared.what.contains("of 4 circuits") && shared.what.contains("40 ft") && shared.cure.contains("strike"),
            "{shared:?}"
        );
    }
    assert!(told(&design.circuits[2], "P108").is_none());
}

/// IEC 60947-4-1, Table G.1, rows in hp, equal to NFPA 70, Table 430.250: 7.5 hp draw 11 A at 460 V. A nameplate of 19 A is far off it, and
/// a basis that asks for the table gets 11 A. Where the table has no such motor, that is told with what counts instead.
#[test]
fn guide_values_by_horsepower_hold_at_60_hz() {
    let basis = IEC.replace("voltage_v = 400", "voltage_v = 460").replace("frequency_hz = 50", "frequency_hz = 60");
    let head =
        "tag,rated_power_kw,rated_power_hp,voltage_v,phases,frequency_hz,full_load_current_a,starting_method,cable_length_m\n";
    let schedule = format!("{head}Z2,,7.5,460,3,60,19,direct,20\nZ3,,7.5,460,3,60,,direct,20\nZ1,6,,460,3,60,10,direct,20\n");
    let nameplate = sized(&schedule, &basis);
    assert!(
        told(&nameplate.circuits[0], "R102").is_some_and(|far| far.what.contains("11 A")),
        "{:?}",
        codes(&nameplate.circuits[0])
    );
    let by_table = sized(&schedule, &basis.replace("[design]\n", "[design]\ncurrent_source = \"table\"\n"));
    for at in [0, 1] {
        let currents = &by_table.circuits[at].currents;
        assert_eq!((currents.full_load_a, currents.source.as_str()), (11.0, "table"), "{}", by_table.circuits[at].tag);
        assert!(told(&by_table.circuits[at], "R103").is_none(), "confirmed figures are not called recalled");
        let replaced = told(&by_table.circuits[at], "R104").is_some_and(|note| note.cure.contains("replaces it"));
        assert_eq!(replaced, at == 1, "the basis wants the table in the place of the first one's nameplate");
    }
    // 300 hp at 230 V are not in NFPA 70: the figure is recalled.
    let large = sized(
        &format!("{head}Z4,,300,230,3,60,,direct,20\n"),
        &basis.replace("[design]\n", "[design]\ncurrent_source = \"table\"\n"),
    );
    assert!(told(&large.circuits[0], "R103").is_some(), "{:?}", codes(&large.circuits[0]));
    let without = &by_table.circuits[2];
    assert!(told(without, "R104").is_some_and(|note| note.what.contains("its nameplate's 10 A count")), "{:?}", codes(without));
}

/// NEMA ICS 2: in a closed transition resistors carry the motor from wye to delta. The check and the timer say which transition they judge;
/// in an open one the motor is without supply meanwhile.
#[test]
fn a_closed_transition_is_not_judged_as_an_open_one() {
    let head = "tag,rated_power_hp,voltage_v,phases,full_load_current_a,service_factor,design_letter,starting_method,cable_length_ft,motor_voltages,motor_leads\n";
    let row = |tag: &str, method: &str| format!("{tag},75,460,3,90,1.15,B,{method},100,460/796,6\n");
    let design = sized(&[head.to_owned(), row("O", "star-delta"), row("C", "star-delta-closed")].concat(), NEC);
    for (circuit, subject, words) in
        [(&design.circuits[0], "star-delta", "pause"), (&design.circuits[1], "star-delta-closed", "bridged")]
    {
        let check = circuit
            .checks
            .iter()
            .find(|check| check.name == "changeover-pause")
            .unwrap_or_else(|| panic!("{:?}", codes(circuit)));
        assert_eq!(check.subject, subject);
        let timer = circuit.accessories.iter().find(|part| part.kind == "timer").expect("a timer");
        assert!(timer.setting.contains(words), "{}", timer.setting);
    }
}

/// Cable tags of a project in gauges call the switch at the machine a disconnect; those of the metric one an isolator.
#[test]
fn tags_bear_the_word_of_the_trade_for_the_switch_at_the_machine() {
    let nec = "tag,rated_power_hp,voltage_v,phases,full_load_current_a,starting_method,cable_length_ft,isolator\nEF-1,5,460,3,7,direct,60,yes\n";
    let iec = "tag,rated_power_kw,voltage_v,phases,full_load_current_a,starting_method,cable_length_m,isolator\nEF-1,4,400,3,8.1,direct,30,yes\n";
    for (schedule, basis, word, other) in [(nec, NEC, "EF-1 disconnect", "isolator"), (iec, IEC, "EF-1 isolator", "disconnect")] {
        let design = sized(schedule, basis);
        let circuit = &design.circuits[0];
        let cables = motorwright::design::labels::cables(circuit, "EF-1");
        let ends: Vec<String> = cables
            .iter()
            .flat_map(|cable| motorwright::design::labels::lengths(circuit, cable))
            .flat_map(|length| [length.from, length.to])
            .collect();
        assert!(ends.iter().any(|end| end == word) && !ends.iter().any(|end| end.contains(other)), "{ends:?}");
    }
}

/// A machine that joins others of its row leaves their nameplates and cable tags as they are: only those of the new one are made.
#[test]
fn labels_of_machines_that_stay_are_not_made_anew() {
    let head = "tag,rated_power_kw,voltage_v,phases,full_load_current_a,starting_method,cable_length_m\n";
    let of = |tags: &str| sized(&format!("{head}{tags},4,400,3,8.1,direct,30\nP-9,7.5,400,3,15,direct,20\n"), IEC);
    let (old, new) = (of("P-211 thru P-213"), of("P-211 thru P-214"));
    let same = [("P-211 thru P-213".to_owned(), "P-211 thru P-214".to_owned())];
    let changes = motorwright::compare::compare(&old, &new, &same, None).expect("both tags are there");
    let labels: Vec<&str> = changes.renamed.iter().flat_map(|renamed| renamed.labels.iter().map(String::as_str)).collect();
    assert!(!labels.is_empty() && labels.iter().all(|label| label.contains("P-214")), "{labels:?}");
}
