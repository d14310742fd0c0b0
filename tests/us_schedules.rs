//! Schedules as offices in the United States send them: what one odd cell must not drop, and what their words mean. Designs of whole
//! schedules under the NEC book.

mod common;

use common::design_of;
use motorwright::design::{Circuit, Design, Status};
use rstest::rstest;

const NEC: &str = "[rules]\nbook = \"nec\"\n[supply]\nvoltage_v = 480\nphases = 3\nfrequency_hz = 60\n\
    system = \"480Y/277 4W solidly grounded\"\nprospective_fault_ka = 20\nprospective_fault_min_ka = 9\nx_over_r = 4\n";

fn codes(circuit: &Circuit) -> Vec<&str> {
    circuit.findings.iter().map(|finding| finding.code.as_str()).collect()
}

/// Fans of 50 hp, 61 A, with one more column: its heading, and what each row says below it.
fn with_column(heading: &str, cells: &[&str]) -> Design {
    let mut text = format!("tag,description,board,hp,volts,phases,FLA,SF,starter,length ft,{heading}\n");
    for (number, cell) in cells.iter().enumerate() {
        text.push_str(&format!("V-{number},Fan,M,50,460,3,61,1.15,FVNR,10,{cell}\n"));
    }
    design_of(&text, NEC)
}

fn size(circuit: &Circuit) -> &str {
    circuit.conductors.as_ref().map(|conductors| conductors.phase_size.as_str()).unwrap_or_default()
}

/// What a row states in a column, as it was read.
fn stated<'c>(circuit: &'c Circuit, column: &str) -> &'c str {
    circuit.stated.get(column).and_then(|value| value.as_str()).unwrap_or_default()
}

/// One room among them drops no roof. 65 A x 1.25 = 81.25 A; on a roof 30 + 33 = 63 °C, where 90 °C conductors carry 0.65 (NFPA 70,
/// 310.15(B)(1)(1) and (B)(2)): 3 AWG 115 x 0.65 = 74.8 A, 2 AWG 130 x 0.65 = 84.5 A. What is exposed to weather is wet (Article 100).
#[test]
fn one_odd_cell_drops_no_column_of_places() {
    let design = with_column("Location", &["dry", "rooftop", "Roof", "wet", "Outdoors", "Wet well", "Indoors", "Boiler room"]);
    let read: Vec<&str> = design.circuits.iter().map(|circuit| stated(circuit, "location")).collect();
    assert_eq!(read, ["dry", "rooftop", "rooftop", "wet", "wet", "wet", "dry", ""]);
    for (circuit, wanted) in design.circuits.iter().zip(["3 AWG", "2 AWG", "2 AWG"]) {
        assert_eq!(size(circuit), wanted, "{}", circuit.tag);
    }
    // The room is told and makes nothing wait.
    let room = &design.circuits[7];
    assert_eq!(room.status, Status::Sized, "{:?}", room.findings);
    let told: Vec<&str> =
        design.findings.iter().filter(|finding| finding.code == "I488").map(|finding| finding.what.as_str()).collect();
    assert!(matches!(told[..], [what] if what.contains("`Boiler room`")), "{told:?}");
}

/// A column of rooms alone, and one of what a fan serves, state no place.
#[rstest]
#[case("Location", "Boiler room")]
#[case("Location", "Building 3")]
#[case("Serves", "Roof terrace")]
fn rooms_alone_are_no_places(#[case] heading: &str, #[case] room: &str) {
    let design = with_column(heading, &[room, room]);
    assert!(design.circuits.iter().all(|circuit| stated(circuit, "location").is_empty() && circuit.status == Status::Sized));
}

/// 9.99 kVA/hp at most for code letter L: 9.99 x 25 x 1000 / (√3 x 460) = 313 A (NFPA 70, Table 430.7(B)). One cell that is no letter
/// drops no column, and is asked about at its row.
#[test]
fn one_odd_letter_drops_no_column_of_letters() {
    let text = "Tag,Description,MCC,HP,Volts,Ph,FLA,SF,Starter,Length ft,Code,Design,Load_torque\n\
        V-1,Pump,M,25,460,3,31,1.15,FVNR,15,L,B,quadratic\nV-2,Pump,M,25,460,3,31,1.15,FVNR,15,G,Design B,fan law\n\
        V-3,Pump,M,25,460,3,31,1.15,FVNR,15,G or H,B or C,see vendor\nV-4,Pump,M,25,460,3,31,1.15,FVNR,15,H,,\n";
    let design = design_of(text, NEC);
    let [first, second, odd, last] = design.circuits.as_slice() else { panic!("four rows") };
    assert!((first.currents.starting_a - 313.46).abs() < 0.1, "{}", first.currents.starting_a);
    assert_eq!((stated(second, "design_letter"), stated(second, "load_torque")), ("B", "quadratic"));
    assert!(odd.status == Status::NotSized && codes(odd).contains(&"I105") && codes(odd).contains(&"I434"), "{:?}", odd.findings);
    assert_eq!([first, second, last].map(|circuit| circuit.status), [Status::Sized; 3]);
}

/// A spare way has no machine yet that a switch could stand at, whatever the basis wants at machines.
#[test]
fn a_spare_way_needs_no_switch_at_a_machine() {
    let text = "tag,description,board,hp,volts,phases,FLA,SF,starter,length ft,running\n\
        P-1,Pump,M,10,460,3,13,1.15,FVNR,100,duty\nSP-2,Spare starter,M,10,460,3,13,1.15,FVNR,,spare\n\
        SP-3,Spare starter,M,10,460,3,13,1.15,FVNR,50,spare\n";
    let design = design_of(text, &format!("{NEC}[design]\nisolator = true\n"));
    let errors = |circuit: &Circuit| codes(circuit).iter().any(|code| code.starts_with('V'));
    assert!(!design.circuits.iter().any(errors), "{:?}", design.circuits.iter().map(codes).collect::<Vec<_>>());
    let local = |circuit: &Circuit| circuit.disconnect.as_ref().is_some_and(|means| means.location != "at the controller");
    assert_eq!(design.circuits.iter().map(local).collect::<Vec<_>>(), [true, false, false]);
}

/// The schedule with one more column, `heading`, and this starter: one fan of 10 hp.
fn one(starter: &str, heading: &str, cell: &str) -> Circuit {
    let text = format!(
        "tag,description,board,hp,volts,phases,FLA,SF,starter,length ft,{heading}\nV-1,Fan,M,10,460,3,12.5,1.15,{starter},40,{cell}\n"
    );
    design_of(&text, NEC).circuits.remove(0)
}

/// What the machine's own controller holds is not bought a second time without a question.
#[rstest]
#[case("VFD in controller", "I437")]
#[case("Solid state starter in controller", "I437")]
#[case("in controller", "")]
#[case("FP controller", "")]
fn starters_in_controllers_are_not_bought_in_silence(#[case] starter: &str, #[case] asked: &str) {
    let circuit = one(starter, "remarks", "");
    if asked.is_empty() {
        assert_eq!(stated(&circuit, "starting_method"), "by-others");
    } else {
        assert!(codes(&circuit).contains(&asked) && circuit.status == Status::NotSized, "{:?}", circuit.findings);
    }
}

/// A thermal switch is a starter worked by hand; horsepower is never that of a transformer.
#[test]
fn a_fan_of_a_transformer_vault_is_a_motor() {
    let text = "tag,description,board,hp,volts,phases,FLA,starter,length ft\n\
        EF-7,Transformer vault,M,1/3,460,3,0.9,THERMAL,95\nEF-8,Transformer vault,M,1/3,460,3,0.9,feeder,95\n";
    let design = design_of(text, NEC);
    assert_eq!(stated(&design.circuits[0], "starting_method"), "manual");
    for circuit in &design.circuits {
        assert!(stated(circuit, "load_kind") != "transformer" && !codes(circuit).contains(&"I447"), "{}", circuit.tag);
    }
}

/// Galvanized rigid conduit is rigid metal conduit (NFPA 70, Article 344).
#[rstest]
#[case("RGS", "rmc")]
#[case("GRC", "rmc")]
#[case("EMT", "emt")]
fn rigid_steel_conduit_has_many_names(#[case] word: &str, #[case] kind: &str) {
    let circuit = one("FVNR", "raceway", word);
    let raceway = circuit.conductors.as_ref().and_then(|conductors| conductors.raceway.as_ref()).expect("a raceway");
    assert_eq!(raceway.kind, kind);
}

/// Aluminium is never taken for copper in silence: 12.5 A x 1.25 needs 12 AWG of aluminium, the least that is made (NFPA 70, 310.3(A)).
#[rstest]
#[case("conductor material", "AL", true)]
#[case("wire", "AL", true)]
#[case("Wire mat'l", "Alum.", true)]
#[case("conductor note", "AL", false)]
fn aluminium_is_read_or_asked_about(#[case] heading: &str, #[case] cell: &str, #[case] read: bool) {
    let circuit = one("FVNR", heading, cell);
    let metal = circuit.conductors.as_ref().map(|conductors| conductors.material.as_str());
    if read {
        assert_eq!(metal, Some("aluminium"));
    } else {
        assert!(codes(&circuit).contains(&"I455") && circuit.status == Status::NeedsDecision, "{:?}", circuit.findings);
    }
}

/// 150 ft are 45.72 m: a drive that stands apart has a supply run.
#[rstest]
#[case("supply_length_ft")]
#[case("Supply length ft")]
#[case("Supply length")]
fn a_supply_run_may_be_in_feet(#[case] heading: &str) {
    let circuit = one("VFD", heading, "150");
    let run = circuit.runs.iter().chain(&circuit.conductors).find(|run| run.role == "supply").expect("a supply run");
    assert!((run.length_m - 45.72).abs() < 0.01, "{:?}", run.length_m);
}

/// A control cable whose column says no unit is in feet as that of the motor is: 250 ft are 76.2 m.
#[test]
fn a_control_cable_without_a_unit_is_in_feet_too() {
    let circuit = one("FVNR", "Control cable length", "250");
    let length = circuit.stated.get("control_cable_length_m").and_then(serde_json::Value::as_f64);
    assert!(length.is_some_and(|metres| (metres - 76.2).abs() < 0.01), "{:?}", circuit.stated);
}

/// 40 hp at 460 V are 52 A (NFPA 70, Table 430.250), whatever the nameplate: the fan's horsepower is the motor's.
#[test]
fn the_horsepower_of_a_supply_fan_is_read() {
    let text = "MARK,SERVES,SUPPLY FAN HP (EA),NO. OF FANS,VOLTAGE,PH,FLA (EA),PANEL,STARTER,LENGTH FT\n\
        AHU-1,Patient rooms,40,1,460,3,48,MCC-H,VFD,170\n";
    let circuit = design_of(text, NEC).circuits.remove(0);
    assert_eq!((circuit.load.rated_power_hp, circuit.currents.table_a), (Some(40.0), Some(52.0)));
}

/// `jog` alone asks for the share of inching, and a jog button does not.
#[rstest]
#[case("brakemotor, jog", true)]
#[case("jog pushbutton at machine", false)]
fn jog_alone_is_inching(#[case] note: &str, #[case] asked: bool) {
    assert_eq!(codes(&one("FVNR", "remarks", &format!("\"{note}\""))).contains(&"L348"), asked);
}

/// A branch of emergency power is asked about under its short heading too (NFPA 70, Articles 517, 700 and 701).
#[test]
fn emergency_power_has_short_headings() {
    let circuit = one("FVNR", "EM PWR", "YES");
    assert!(circuit.status == Status::NeedsDecision && codes(&circuit).contains(&"L403"), "{:?}", circuit.findings);
}

/// One transformer as a row and as [[transformer]] is in the sums of its board twice: asked about by its name, or by board and power.
#[rstest]
#[case("TX-LPC", "45", true)]
#[case("TX-9", "45", true)]
#[case("TX-9", "30", false)]
fn a_transformer_in_schedule_and_basis_is_asked_about(#[case] tag: &str, #[case] power: &str, #[case] asked: bool) {
    let basis = format!(
        "{NEC}[[board]]\nname = \"MCC-2\"\n[[board]]\nname = \"LP-C\"\nvoltage_v = 208\n[[transformer]]\nname = \"TX-LPC\"\n\
         from = \"MCC-2\"\nto = \"LP-C\"\nkva = 45\nimpedance_pct = 4\nsecondary_voltage_v = 208\nsystem = \"208Y/120 4W\"\n"
    );
    let text = format!(
        "tag,description,board,load_kind,rated_power_kva,rated_power_hp,voltage_v,phases,starting_method,cable_length_ft\n\
         {tag},Dry-type transformer,MCC-2,transformer,{power},,480,3,feeder,30\nF-1,Fan,LP-C,motor,,5,208,3,direct,30\n"
    );
    let design = design_of(&text, &basis);
    let row = &design.circuits[0];
    assert_eq!(codes(row).contains(&"B338"), asked, "{:?}", row.findings);
    // Both are called by their names, with what the one in the basis feeds, so that somebody can hold them against each other.
    let said = row.findings.iter().find(|finding| finding.code == "B338").map(|finding| finding.what.clone()).unwrap_or_default();
    assert!(!asked || [tag, "MCC-2", "TX-LPC", "to LP-C"].iter().all(|name| said.contains(name)), "{said}");
    assert!(!asked || row.status == Status::NeedsDecision);
}

/// A transition that the method is not asks for the method: the two have other contactors.
#[rstest]
#[case("Wye-Delta", "closed transition", true)]
#[case("Wye-Delta", "open transition", false)]
#[case("Wye-Delta", "not closed transition", false)]
#[case("star-delta-closed", "open transition", true)]
#[case("FVNR", "ATS with closed transition", false)]
fn a_remark_of_the_transition_is_held_against_the_method(#[case] starter: &str, #[case] note: &str, #[case] asked: bool) {
    let circuit = one(starter, "motor_leads,motor_voltages,remarks", &format!("6,460,{note}"));
    assert_eq!(codes(&circuit).contains(&"I476"), asked, "{:?}", circuit.findings);
    assert!(!asked || circuit.status != Status::Sized);
}

/// Soft starters are rated by starts an hour; a remark that says how many is no silence.
#[rstest]
#[case("RVSS", "12 starts/hr", true)]
#[case("RVSS", "15 starts per hour", true)]
#[case("RVSS", "starts at low level", false)]
#[case("FVNR", "6 starts per hour", false)]
fn starts_in_remarks_are_asked_about(#[case] starter: &str, #[case] note: &str, #[case] asked: bool) {
    let circuit = one(starter, "remarks", note);
    assert_eq!(codes(&circuit).contains(&"I476"), asked, "{:?}", circuit.findings);
}

/// The rating of equipment stands in its remark: it is pointed at, and not called missing without a word of it.
#[rstest]
#[case("SCCR 65 kA", true)]
#[case("lift-off curb", false)]
fn a_short_circuit_rating_in_a_remark_is_asked_about(#[case] note: &str, #[case] asked: bool) {
    let text =
        format!("tag,description,board,MCA,MOCP,volts,phases,length ft,remarks\nRTU-1,Rooftop unit,M,58.4,70,460,3,60,{note}\n");
    let circuit = design_of(&text, NEC).circuits.remove(0);
    assert_eq!(codes(&circuit).contains(&"I476"), asked, "{:?}", circuit.findings);
}

/// Welders (NFPA 70, Article 630), X-ray equipment (Articles 517 and 660) and chargers of vehicles (Article 625) have rules of their own; a
/// fan beside them has none.
#[rstest]
#[case("Welder 75 kVA", "630")]
#[case("X-ray generator", "660")]
#[case("EV charger", "625")]
#[case("Welder exhaust fan", "")]
#[case("X-ray room AHU", "")]
fn services_of_articles_of_their_own_are_asked_about(#[case] name: &str, #[case] article: &str) {
    let text = format!("tag,description,board,FLA,volts,phases,starter,length ft\nA-1,{name},M,50,460,3,feeder,60\n");
    let circuit = design_of(&text, NEC).circuits.remove(0);
    let asked = circuit.findings.iter().find(|finding| finding.code == "L403");
    assert_eq!(asked.is_some(), !article.is_empty(), "{:?}", circuit.findings);
    assert!(asked.is_none_or(|finding| finding.reference.contains(article)));
}

/// Where the starter is by others no overload protection is chosen, and none is said to wait.
#[rstest]
#[case("by vendor", false)]
#[case("FVNR", true)]
fn an_overload_relay_that_nobody_chooses_does_not_wait(#[case] starter: &str, #[case] told: bool) {
    let text = format!("tag,description,board,hp,volts,phases,starter,length ft\nP-1,Pump,M,7.5,460,3,{starter},60\n");
    assert_eq!(codes(&design_of(&text, NEC).circuits[0]).contains(&"R214"), told);
}
