//! Words of American trades that change a circuit: wastewater, grain, rinks, shops, cranes, towers. What stands in the lists as people type
//! it is read, or asked about; the expected readings were written beforehand.

mod common;

use common::design_of;
use common::nec::{BASIS, circuit_by, motor};
use common::notes::codes;
use motorwright::design::{Circuit, Status};
use rstest::rstest;

fn list(rows: &[&str]) -> Vec<Circuit> {
    let head = "Tag,Description,Panel,HP,Volts,Ph,FLA,Starter,Length ft,Remarks\n";
    design_of(&format!("{head}{}\n", rows.join("\n")), BASIS).circuits
}

fn started(starter: &str) -> Circuit {
    list(&[&format!("P-1,Pump,MCC-1,20,460,3,26,\"{starter}\",40,")]).remove(0)
}

fn noted(note: &'static str) -> Circuit {
    motor(&[("rated_power_hp", "10"), ("full_load_current_a", "14"), ("description", "Pump"), ("notes", note)])
}

/// NFPA 70, 430.29, Table 430.247: motors of direct current have currents of their own, and no contactor of alternating current breaks
/// them.
#[test]
fn a_drive_of_direct_current_is_none_of_alternating_current() {
    for starter in ["DC drive", "D.C. drive", "DC drive, reversing"] {
        let circuit = started(starter);
        assert!(codes(&circuit).contains(&"L358") && circuit.status == Status::NotSized, "{starter}: {:?}", codes(&circuit));
    }
    let asked = started("SCR drive");
    assert!(codes(&asked).contains(&"L359") && asked.status == Status::NeedsDecision, "{:?}", codes(&asked));
    for starter in ["VFD with DC choke", "VFD", "AC drive"] {
        assert!(!codes(&started(starter)).iter().any(|code| ["L358", "L359"].contains(code)), "{starter}");
    }
}

/// NFPA 70, 430.32 and 430.6(A)(2): each motor has its own overload protection; a row counts one load at its board (430.24).
#[rstest]
#[case("two motors on one starter", "L413")]
#[case("2 motors", "L413")]
#[case("dual motors", "L413")]
#[case("(2) 5 HP motors", "L413")]
#[case("two 5 HP motors", "L413")]
#[case("typ. of 6", "L366")]
#[case("TYPICAL OF (3)", "L366")]
#[case("quantity 3", "L366")]
#[case("Two (2) pumps", "L366")]
#[case("4 required", "L366")]
#[case("2 off", "L366")]
fn machines_that_words_alone_count_are_asked_about(#[case] note: &'static str, #[case] code: &str) {
    let circuit = noted(note);
    assert!(codes(&circuit).contains(&code), "{note}: {:?}", codes(&circuit));
    assert_eq!(circuit.status, Status::NeedsDecision);
}

#[rstest]
#[case("Typ 2")]
#[case("interlock with 2 pumps")]
#[case("pump 2")]
#[case("serves 2 units")]
#[case("1 required")]
#[case("typical pump")]
#[case("2 pole breaker")]
#[case("Phase 2 motor")]
fn what_only_looks_like_a_count_is_not_asked_about(#[case] note: &'static str) {
    let circuit = noted(note);
    assert!(!codes(&circuit).iter().any(|code| ["L366", "L413"].contains(code)), "{note}: {:?}", codes(&circuit));
}

#[test]
fn a_count_that_a_column_states_answers() {
    let row = [
        ("rated_power_hp", "10"),
        ("voltage_v", "460"),
        ("phases", "3"),
        ("starting_method", "direct"),
        ("cable_length_ft", "30"),
        ("quantity", "6"),
        ("notes", "typ. of 6"),
    ];
    assert!(!codes(&circuit_by(BASIS, &row)).contains(&"L366"));
    let ranged = list(&["P-1 thru P-6,Pump (typ. of 6),MCC-1,20,460,3,26,FVNR,40,"]).remove(0);
    assert!(!codes(&ranged).contains(&"L366") && ranged.quantity == 6, "{:?}", codes(&ranged));
}

/// Plausibility, continuous-starts-most: more than 20 starts an hour leave a motor no time to run warm.
#[test]
fn many_starts_an_hour_in_words_are_asked_about() {
    assert!(codes(&noted("up to 80 starts/hr, 50% duty")).contains(&"I476"));
    assert!(!codes(&noted("12 starts/hr")).contains(&"I476"));
}

/// NFPA 70, Articles 620, 700 and 701.
#[rstest]
#[case("Machinery room emergency exhaust fan", "")]
#[case("Exhaust fan", "on emergency power")]
#[case("Manlift", "")]
#[case("Fire sprinkler booster", "")]
fn services_with_articles_of_their_own_are_asked_about(#[case] description: &str, #[case] note: &'static str) {
    let rows = format!("F-1,{description},MCC-1,10,460,3,13,FVNR,40,{note}");
    assert!(codes(&list(&[&rows])[0]).contains(&"L403"), "{description} {note}");
}

/// NFPA 70, Table 430.52(C)(1): behind an inverse-time breaker a wound-rotor motor has 150 %, a cage motor 250 %; 430.23 its secondary.
#[test]
fn a_wound_rotor_in_words_is_asked_about() {
    let chipper =
        |description: &str, note: &str| list(&[&format!("C-1,{description},MCC-1,150,460,3,170,FVNR,80,{note}")]).remove(0);
    for (description, note) in [("Chipper", "wound rotor with liquid rheostat"), ("Slip-ring motor of mill", "")] {
        assert!(codes(&chipper(description, note)).contains(&"L363"), "{description} {note}");
    }
    assert!(!codes(&chipper("Slip ring cooling fan", "")).contains(&"L363"));
}

/// NFPA 70, 430.22(B), 460.9, 310.15(C)(1), Article 455: what each asks of a circuit.
#[rstest]
#[case("2-speed", "L363")]
#[case("dual speed motor", "L363")]
#[case("15 kVAR cap at motor terminals", "L363")]
#[case("power factor correction capacitor", "L363")]
#[case("share conduit with P-2", "L363")]
#[case("in duct bank with 5 others", "L363")]
#[case("tap from P-2", "L363")]
#[case("same breaker as P-2", "L363")]
#[case("rotary phase converter", "L403")]
#[case("on VFD", "I476")]
#[case("NEMA 7 starter", "L410")]
fn what_a_note_says_of_the_circuit_is_asked_about(#[case] note: &'static str, #[case] code: &str) {
    let circuit = list(&[&format!("P-1,Pump,MCC-1,10,460,3,13.5,FVNR,40,{note}")]).remove(0);
    assert!(codes(&circuit).contains(&code), "{note}: {:?}", codes(&circuit));
}

#[rstest]
#[case("variable speed sheave")]
#[case("zero speed switch")]
#[case("control wiring in same conduit")]
#[case("in conduit")]
#[case("smoke damper interlock")]
#[case("NEMA 4 starter")]
#[case("speed 2 of 3")]
#[case("interlock with VFD of P-1")]
fn what_only_sounds_like_it_is_not_asked_about(#[case] note: &'static str) {
    let circuit = list(&[&format!("P-1,Pump,MCC-1,10,460,3,13.5,FVNR,40,{note}")]).remove(0);
    let asked = ["L363", "L403", "I476", "L410"];
    assert!(!codes(&circuit).iter().any(|code| asked.contains(code)), "{note}: {:?}", codes(&circuit));
}

/// The ventilation is another load.
#[test]
fn an_interlock_with_emergency_ventilation_is_no_emergency_load() {
    assert!(!codes(&noted("emergency ventilation interlock")).contains(&"L403"));
}

/// NFPA 70, 440.4(B): the marked ampacity goes before what the equipment seems to draw, and a column of it that is not read is told.
#[test]
fn an_ampacity_below_its_usual_headings_is_read_or_told() {
    let of = |heading: &str| {
        let text = format!("Tag,HP,Volts,Ph,{heading},Max. Fuse,Starter,Length ft\nA-1,10,480,3,20,30,Packaged,40\n");
        design_of(&text, BASIS).circuits.remove(0)
    };
    for heading in ["Min. Ampacity", "Minimum Ampacity", "Min. Amps"] {
        let required = of(heading).runs.first().map_or(0.0, |run| run.required_a);
        assert!((required - 20.0).abs() < 1e-9, "{heading}: {required}");
    }
    let told = of("Ampacity per unit nameplate");
    assert!(codes(&told).contains(&"I455") && told.status == Status::NeedsDecision, "{:?}", codes(&told));
}

#[test]
fn a_column_of_methods_that_is_not_read_is_told_where_the_method_is_missing() {
    let rows = "UNIT NO.,MOTOR HP,VOLTS,PHASE,DRIVE\nAHU-1,20,460,3,VFD\n";
    let circuit = design_of(rows, BASIS).circuits.remove(0);
    assert!(codes(&circuit).contains(&"L303") && codes(&circuit).contains(&"I455"), "{:?}", codes(&circuit));
}

/// A contactor that nobody asked for is told.
#[test]
fn a_load_without_a_method_is_told_of_its_contactor() {
    let row = |starter: &str| list(&[&format!("C-1,Battery charger,MCC-1,,480,3,12,{starter},40,")]).remove(0);
    assert!(codes(&row("")).contains(&"L368") && !codes(&row("contactor")).contains(&"L368"));
}

/// NFPA 70, Articles 500 to 516: a starter and its wiring in such a place are others.
#[rstest]
#[case("CID1 Group D")]
#[case("combustible dust")]
#[case("inside paint booth")]
fn places_that_may_be_classified_are_asked_about(#[case] note: &'static str) {
    assert!(codes(&noted(note)).contains(&"L410"), "{note}");
}

/// What others supply is not bought.
#[rstest]
#[case("VFD by M.C.")]
#[case("VFD by TCC")]
#[case("VFD on machine")]
fn a_starter_that_others_may_supply_is_not_chosen(#[case] starter: &str) {
    let circuit = started(starter);
    assert!(codes(&circuit).contains(&"I437") && circuit.status == Status::NotSized, "{starter}: {:?}", codes(&circuit));
}

#[rstest]
#[case("starter furnished with equipment")]
#[case("starter by mech contractor")]
fn a_note_that_leaves_the_starter_to_others_is_told(#[case] note: &str) {
    let circuit = list(&[&format!("P-1,Pump,MCC-1,20,460,3,26,FVNR,40,{note}")]).remove(0);
    assert!(codes(&circuit).contains(&"I437"), "{note}: {:?}", codes(&circuit));
}

#[test]
fn a_starter_on_the_unit_leaves_a_supply_alone() {
    for starter in ["unit mtd wye-delta", "w/ equipment controller", "factory mtd VFD"] {
        assert_eq!(started(starter).load.starting_method.as_deref(), Some("feeder"), "{starter}");
    }
}

#[test]
fn lists_of_trades_name_loads_that_no_motor_turns() {
    let rows = [
        "X-1,Lighting xfmr 15 kVA 480-208Y/120,MCC-1,,480,3,18,,15,",
        "L-1,Lighting conveyor gallery,MCC-1,,277,1,11,contactor,250,",
    ];
    let kinds: Vec<String> = list(&rows).iter().map(|circuit| circuit.load.kind.clone()).collect();
    assert_eq!(kinds, ["transformer", "lighting"]);
}

/// NFPA 70, Articles 344 and 352: the raceways by the names of the trade.
#[test]
fn raceways_are_read_as_trades_write_them() {
    let laid = |raceway: &str| {
        let text = format!("Tag,HP,Volts,Ph,FLA,Starter,Length ft,Conduit\nP-1,20,460,3,26,FVNR,40,{raceway}\n");
        let circuit = design_of(&text, BASIS).circuits.remove(0);
        circuit.runs.first().and_then(|run| run.raceway.as_ref().map(|raceway| raceway.kind.clone()))
    };
    for (raceway, kind) in [("PVC SCH 80", "pvc-80"), ("PVC 80", "pvc-80"), ("Sch. 40 PVC", "pvc-40"), ("RGS", "rmc")] {
        assert_eq!(laid(raceway).as_deref(), Some(kind), "{raceway}");
    }
}
