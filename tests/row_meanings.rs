//! What a row means where no column says so, and what must be asked: supplies without a motor, services, existing equipment, several
//! motors behind one drive, wet places, spare ways. Each in designs of whole schedules.

mod common;

use common::design_of;
use motorwright::design::{Circuit, Status};
use rstest::rstest;

const NEC: &str = "[rules]\nbook = \"nec\"\n[supply]\nvoltage_v = 480\nphases = 3\nfrequency_hz = 60\n\
    system = \"480Y/277 4W solidly grounded\"\nprospective_fault_ka = 10\nprospective_fault_min_ka = 6\nx_over_r = 4\n";
const IEC: &str = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nphases = 3\nfrequency_hz = 50\nearthing = \"TN-S\"\n\
    prospective_fault_ka = 10\nprospective_fault_min_ka = 6\nx_over_r = 3\n";

fn codes(circuit: &Circuit) -> Vec<&str> {
    circuit.findings.iter().map(|finding| finding.code.as_str()).collect()
}

/// A supply by the book, of a load of which the current alone is stated.
fn supply(book: &str, description: &str, amperes: &str, starter: &str) -> Circuit {
    let (basis, length) = if book == "nec" { (NEC, "length (ft)") } else { (IEC, "length (m)") };
    let volts = if book == "nec" { "480/3/60" } else { "400/3/50" };
    let text =
        format!("tag,description,panel,volts/ph/hz,fla,starter,{length}\nX-1,{description},D,{volts},{amperes},{starter},30\n");
    design_of(&text, basis).circuits.remove(0)
}

/// NFPA 70, 210.20(A), 215.3 and 240.6(A): 125 % of a continuous load, the next standard rating; 422.11(E) and 670.4 ask no more. Motors
/// would be admitted 250 % (Table 430.52(C)(1)).
#[rstest]
#[case("Panel LP-3", "60", "FEEDER", 80.0)]
#[case("CT scanner", "90", "FEEDER", 125.0)]
#[case("Combi oven", "36", "FEEDER", 45.0)]
#[case("Control panel CP-1", "20", "FEEDER", 25.0)]
#[case("Dishwasher", "24", "BY MFR", 30.0)]
#[case("CNC vertical machining center", "62", "INTEGRAL", 80.0)]
#[case("Pump control panel CP-2", "20", "FEEDER", 25.0)]
fn a_supply_of_what_nothing_says_to_be_a_motor_is_protected_at_what_its_conductors_carry(
    #[case] description: &str,
    #[case] amperes: &str,
    #[case] starter: &str,
    #[case] rating: f64,
) {
    let circuit = supply("nec", description, amperes, starter);
    assert!(circuit.load.kind == "other" || circuit.load.kind == "heater", "{}: {:?}", circuit.load.kind, circuit.findings);
    assert!(codes(&circuit).contains(&"I447"), "it is told: {:?}", circuit.findings);
    let protection = circuit.protection.as_ref().expect("a device");
    assert!((protection.rating_a - rating).abs() < 0.01, "{} A", protection.rating_a);
}

/// IEC 60364-4-43, 433.1: the rated current of the device is at most the current-carrying capacity of the cable.
#[test]
fn under_iec_the_cable_of_such_a_supply_is_protected_by_its_device() {
    let circuit = supply("iec", "Schaltschrank Verpackung", "60", "Abgang");
    assert_eq!(circuit.load.kind, "other", "{:?}", circuit.findings);
    let rating = circuit.protection.as_ref().expect("a device").rating_a;
    let capacity = circuit.runs.first().expect("a run").capacity_a;
    assert!((60.0..=capacity).contains(&rating), "{rating} A before {capacity} A");
}

/// Words of machines, powers, marked circuits and figures that motors alone have keep a row what it was.
#[rstest]
#[case("description", "Supply fan", "motor")]
#[case("description", "Förderbandantrieb", "motor")]
#[case("description", "Surpresseur", "motor")]
#[case("description", "Bomba 2", "motor")]
#[case("description", "Nastro trasportatore", "motor")]
#[case("description", "Dompelpomp", "motor")]
#[case("rated_power_hp", "10", "motor")]
#[case("poles", "4", "motor")]
#[case("locked_rotor_code", "G", "motor")]
#[case("MCA", "20", "packaged")]
fn a_row_that_is_plainly_a_motor_or_packaged_equipment_stays_one(#[case] column: &str, #[case] text: &str, #[case] kind: &str) {
    let text = format!(
        "tag,panel,voltage_v,phases,full_load_current_a,starting_method,cable_length_m,{column}\nX-1,D,460,3,14,feeder,20,{text}\n"
    );
    let circuit = design_of(&text, NEC).circuits.remove(0);
    assert_eq!(circuit.load.kind, kind, "{:?}", circuit.findings);
}

/// NFPA 70, 450.3(B): protection of transformers; 424.3(B): electric heat is a continuous load.
#[rstest]
#[case("Control/lighting transformer 15 kVA 240-120", "transformer")]
#[case("Transformer room lighting", "lighting")]
#[case("Heat treat oven, electric", "heater")]
#[case("VAV electric reheat", "heater")]
#[case("Industrieofen 2", "heater")]
#[case("Oven recirculation fan", "motor")]
fn a_transformer_for_lighting_and_an_oven_are_what_they_are(#[case] description: &str, #[case] kind: &str) {
    let text = format!(
        "tag,description,panel,volts/ph/hz,kW,fla,starter,length (ft)\nX-1,\"{description}\",D,480/3/60,12,18,contactor,20\n"
    );
    let circuit = design_of(&text, NEC).circuits.remove(0);
    assert_eq!(circuit.load.kind, kind, "{:?}", circuit.findings);
    assert_ne!(circuit.status, Status::NotSized, "{:?}", circuit.findings);
}

/// A pump of 5.5 kW or 10 hp with what is added to its row.
fn motor(book: &str, more: &[(&str, &str)]) -> Circuit {
    let nec = [("rated_power_hp", "10"), ("voltage_v", "460"), ("full_load_current_a", "14"), ("cable_length_ft", "40")];
    let iec = [("rated_power_kw", "5.5"), ("voltage_v", "400"), ("full_load_current_a", "10.5"), ("cable_length_m", "20")];
    let (usual, basis) = if book == "nec" { (nec, NEC) } else { (iec, IEC) };
    let usual = [("tag", "M-1"), ("load_kind", "motor"), ("phases", "3"), ("starting_method", "direct")].into_iter().chain(usual);
    let cells: Vec<(&str, &str)> =
        usual.filter(|(name, _)| more.iter().all(|(other, _)| other != name)).chain(more.iter().copied()).collect();
    let line = |of: &dyn Fn(&(&str, &str)) -> String| cells.iter().map(of).collect::<Vec<_>>().join(",");
    let quoted = |text: &str| format!("\"{text}\"");
    let text = format!("{}\n{}\n", line(&|cell| quoted(cell.0)), line(&|cell| quoted(cell.1)));
    design_of(&text, basis).circuits.remove(0)
}

/// EN 12101-3 (smoke fans F200 to F842, by °C and hours), EN 12101-6 (pressure differential systems), EN 12845 (fixed firefighting),
/// IEC 60364-5-56; in the languages of schedules, from descriptions and remarks.
#[rstest]
#[case("description", "Entrauchungsventilator Tiefgarage")]
#[case("description", "Ventilateur de désenfumage")]
#[case("description", "Brandgasventilator F400")]
#[case("description", "RWA Ventilator Treppenhaus")]
#[case("description", "Rauchabzug Halle 3")]
#[case("description", "Jet fan 300 °C / 2 h")]
#[case("description", "Axial fan, 400 °C/2h")]
#[case("description", "Lobby pressurisation fan")]
#[case("description", "Extractor de humo, control de humo")]
#[case("description", "Ventilatore estrazione fumi")]
#[case("description", "Rookafvoerventilator")]
#[case("description", "Fire hydrant booster")]
#[case("description", "Booster pump hydrants")]
#[case("description", "Surpresseur RIA")]
#[case("notes", "smoke extraction at high speed")]
#[case("notes", "F300")]
#[case("notes", "Entrauchung im Brandfall")]
#[case("notes", "moteur 400 °C / 2 h")]
#[case("notes", "fire pump duty")]
fn smoke_and_fire_service_is_asked_for_in_all_languages(#[case] column: &str, #[case] said: &str) {
    for book in ["iec", "nec"] {
        let circuit = motor(book, &[(column, said)]);
        assert!(codes(&circuit).contains(&"L403") || book == "nec" && said.ends_with("RIA"), "{book}: {:?}", circuit.findings);
        assert!(circuit.status == Status::NeedsDecision || book == "nec" && said.ends_with("RIA"), "{book}");
        assert!(!codes(&motor(book, &[(column, said), ("service_class", "general")])).contains(&"L403"), "{book}");
    }
}

/// What gives a signal, or stops an ordinary machine in a fire, is no such service; nor is a class of insulation.
#[rstest]
#[case("description", "Smoke detector panel")]
#[case("description", "Rauchmelderzentrale")]
#[case("notes", "stops by duct smoke detector")]
#[case("notes", "shut down by fire alarm")]
#[case("notes", "arrêt sur détection incendie")]
#[case("notes", "clapet coupe-feu, alarme incendie")]
#[case("notes", "insulation class F, 400 V")]
#[case("notes", "Class F 400 V")]
#[case("notes", "Iso F / 300 kg")]
#[case("notes", "Wärmeklasse F, 200 °C")]
#[case("notes", "below the crane")]
#[case("notes", "emergency stop at the machine")]
#[case("description", "Supply fan, fire damper")]
#[case("description", "Pump 2, 120 °C")]
fn what_is_no_service_is_not_asked_for(#[case] column: &str, #[case] said: &str) {
    for book in ["iec", "nec"] {
        let circuit = motor(book, &[(column, said)]);
        assert!(!codes(&circuit).iter().any(|code| ["L401", "L402", "L403"].contains(code)), "{book}: {:?}", circuit.findings);
    }
}

/// NFPA 70, 517.31 to 517.34 (branches of the essential system), Articles 700 and 701.
#[rstest]
#[case("critical branch", "517")]
#[case("on equipment branch, auto restart", "517")]
#[case("life safety branch", "517")]
#[case("life safety", "700")]
#[case("legally required standby", "701")]
fn branches_of_emergency_systems_in_remarks_are_asked_for(#[case] said: &str, #[case] article: &str) {
    let circuit = motor("nec", &[("notes", said)]);
    let found = circuit.findings.iter().find(|finding| finding.code == "L403");
    assert!(found.is_some_and(|finding| finding.reference.contains(article)), "{:?}", circuit.findings);
}

/// A column that nobody reads and that may state what changes the circuit: its row waits. ISO 13849-1 (d and e ask for two channels), ISO
/// 13850, IEC 60034-11 (thermistors), EN 12101-3 (F300), NFPA 70, 110.10 (SCCR), 517 and 700, 430.6(A)(2) (overload by the nameplate).
#[rstest]
#[case("Perf. PL (ISO)", "d", "safety function")]
#[case("NOT-HALT-Kreis", "ja", "emergency stop")]
#[case("Kaltleiter im Motor", "3", "thermistors")]
#[case("Bremse vorhanden", "x", "a brake")]
#[case("Stillstandsheizung W2", "50", "heater for standstill")]
#[case("Temp. group", "F300", "smoke or fire")]
#[case("Smoke duty (Y/N)", "Y", "smoke or fire")]
#[case("Bestand ja/nein", "ja", "there already")]
#[case("State of works", "existing", "there already")]
#[case("Häufung im Kanal", "6", "in a group")]
#[case("Schaltspiele pro Std", "300", "starts an hour")]
#[case("Unit SCCR rating", "5", "short-circuit current rating")]
fn a_column_that_is_not_read_and_may_change_the_circuit_makes_its_row_wait(
    #[case] heading: &str,
    #[case] cell: &str,
    #[case] meaning: &str,
) {
    let circuit = motor("nec", &[(heading, cell)]);
    let found: Vec<_> = circuit.findings.iter().filter(|finding| finding.code == "I455").collect();
    assert!(found.len() == 1 && found[0].what.contains(meaning), "{:?}", circuit.findings);
    assert!(found[0].what.contains(heading) && found[0].what.contains(cell), "{found:?}");
    assert_eq!(circuit.status, Status::NeedsDecision);
    for denied in ["-", "no", "0", "n/a", "keine"] {
        let circuit = motor("nec", &[(heading, denied)]);
        assert!(!codes(&circuit).contains(&"I455"), "{denied}: {:?}", circuit.findings);
    }
}

/// NFPA 70, Articles 517, 700 and 701: a branch of an emergency system has rules of its own. The column is noted, the circuit waits.
#[rstest]
#[case("EMERG PWR SRC", "CRITICAL")]
#[case("Served by", "life safety branch")]
fn a_column_that_is_not_read_and_names_an_emergency_branch_makes_its_circuit_wait(#[case] heading: &str, #[case] cell: &str) {
    let circuit = motor("nec", &[(heading, cell)]);
    assert!(codes(&circuit).contains(&"I482") && codes(&circuit).contains(&"L403"), "{:?}", circuit.findings);
    assert_eq!(circuit.status, Status::NeedsDecision);
    let answered = motor("nec", &[(heading, cell), ("service_class", "general")]);
    assert!(!codes(&answered).contains(&"L403"), "{:?}", answered.findings);
    for denied in ["-", "no", "0", "n/a", "keine"] {
        assert!(!codes(&motor("nec", &[(heading, denied)])).contains(&"L403"), "{denied}");
    }
    // The other book speaks by its own clauses (IEC 60364-5-56, safety services; -7-710, medical locations).
    let circuit = motor("iec", &[(heading, cell)]);
    let told = circuit.findings.iter().find(|finding| finding.code == "L403").expect("it is asked");
    assert!(told.reference.contains("60364-5-56") && !format!("{told:?}").contains("NFPA"), "{told:?}");
}

/// What a column that is read answers is not asked again; remarks on other things are none.
#[rstest]
#[case("Unit SCCR rating", "5", "equipment_sccr_ka", "18")]
#[case("Bremse vorhanden", "x", "brake_w", "0")]
#[case("Smoke duty (Y/N)", "Y", "service_class", "general")]
#[case("Perf. PL (ISO)", "d", "safety_level", "PL d")]
#[case("State of works", "existing", "given_contactor_a", "25")]
#[case("Comments 2", "interlock with smoke detector", "notes", "-")]
#[case("Comments 2", "route in existing conduit", "notes", "-")]
#[case("Fed by", "LP-1", "notes", "-")]
#[case("PL", "LP-1", "notes", "-")]
#[case("Criticality", "critical", "notes", "-")]
#[case("Source of supply", "normal", "notes", "-")]
fn an_unread_column_that_is_answered_or_says_nothing_of_it_is_not_asked_about(
    #[case] heading: &str,
    #[case] cell: &str,
    #[case] column: &str,
    #[case] answer: &str,
) {
    let circuit = motor("nec", &[(heading, cell), (column, answer)]);
    assert!(!codes(&circuit).contains(&"I455"), "{:?}", circuit.findings);
}

/// Figures that are not the motor's alone are told once at their heading; reactive power beside a stated power is that of the motor itself.
#[rstest]
#[case("Locked rotor amps LRA", "92", true)]
#[case("Power kVAR", "3", false)]
#[case("Motor RPM at FL", "1750", true)]
#[case("Motor RPM at FL", "2300", false)]
#[case("Fan RPM", "1150", false)]
fn figures_below_a_heading_that_is_not_read_are_told_once(#[case] heading: &str, #[case] cell: &str, #[case] told: bool) {
    let text = format!(
        "tag,description,panel,hp,volts/ph/hz,fla,starter,length (ft),{heading}\n\
         M-1,Pump,D,10,460/3/60,13,FVNR,30,{cell}\nM-2,Pump,D,10,460/3/60,13,FVNR,30,{cell}\n"
    );
    let design = design_of(&text, NEC);
    let found = design.all_findings().into_iter().filter(|(_, finding)| finding.code == "I441").count();
    assert_eq!(found, usize::from(told));
}

/// NFPA 70, 430.6(A)(2): overload protection by the nameplate's current. A heading that nobody knows leaves it to a table.
#[test]
fn a_nameplate_current_that_is_not_read_makes_the_row_wait() {
    let text = "tag,description,panel,hp,volts/ph/hz,Nameplate FLA (as built),starter,length (ft)\nM-1,Pump,D,10,460/3/60,11.9,FVNR,30\n";
    let circuit = design_of(text, NEC).circuits.remove(0);
    let read = circuit.stated.get("full_load_current_a").and_then(serde_json::Value::as_f64) == Some(11.9);
    let waits = codes(&circuit).contains(&"I455") && circuit.status == Status::NeedsDecision;
    assert!(read || waits, "{:?}", circuit.findings);
}

/// Equipment that is there is judged, supplied by others, or decided; it is never ordered in silence.
#[rstest]
#[case("notes", "existing - not in this scope")]
#[case("description", "Pumpe (Bestand)")]
#[case("description", "Pompe existante")]
#[case("description", "(E) PUMP P-1")]
#[case("notes", "vorhanden")]
#[case("description", "Pompa esistente")]
#[case("notes", "existente")]
fn existing_equipment_is_asked_about(#[case] column: &str, #[case] said: &str) {
    let circuit = motor("iec", &[(column, said)]);
    assert!(codes(&circuit).contains(&"L347") && circuit.status == Status::NeedsDecision, "{:?}", circuit.findings);
    let others = motor("iec", &[(column, said), ("starting_method", "by-others")]);
    assert!(!codes(&others).contains(&"L347"), "{:?}", others.findings);
    let judged = motor("iec", &[(column, said), ("given_contactor_a", "25"), ("given_conductor", "2.5 mm²")]);
    assert!(!codes(&judged).contains(&"L347"), "{:?}", judged.findings);
}

/// NEMA ICS 2: a starter for plugging and jogging is rated for less; IEC 60947-4-1: AC-4.
#[rstest]
#[case("nec", "plugging stop", "NEMA ICS 2")]
#[case("nec", "jogging 20 per minute", "NEMA ICS 2")]
#[case("iec", "Tippbetrieb 20%", "AC-4")]
#[case("iec", "inching 20 %, 300 starts/h", "AC-4")]
#[case("iec", "marche par à-coups", "AC-4")]
#[case("iec", "marcha a impulsos", "AC-4")]
#[case("iec", "marcia a impulsi", "AC-4")]
fn inching_in_a_remark_is_asked_for(#[case] book: &str, #[case] said: &str, #[case] reference: &str) {
    let circuit = motor(book, &[("notes", said)]);
    let found = circuit.findings.iter().find(|finding| finding.code == "L348");
    assert!(found.is_some_and(|finding| finding.reference.contains(reference)), "{:?}", circuit.findings);
    assert_eq!(circuit.status, Status::NeedsDecision);
    assert!(!codes(&motor(book, &[("notes", said), ("inching_share_pct", "0")])).contains(&"L348"));
    assert!(!codes(&motor(book, &[("notes", said), ("starting_method", "drive")])).contains(&"L348"));
}

/// A drive for one of several motors carries a fraction of them (NFPA 70, 430.24 and 430.53; IEC 60204-1, 7.3: each motor its own overload
/// protection).
#[rstest]
#[case("6 motors on one VFD w/ individual overloads")]
#[case("4 x 10 HP, single VFD")]
#[case("3 Lüfter an einem FU")]
#[case("2 motores con un variador")]
fn several_motors_on_one_drive_are_asked_for(#[case] said: &str) {
    let circuit = motor("iec", &[("notes", said), ("starting_method", "drive")]);
    let found = circuit.findings.iter().find(|finding| finding.code == "L413");
    assert!(found.is_some_and(|finding| finding.cure.contains("motors_per_starter")), "{:?}", circuit.findings);
    assert_eq!(circuit.status, Status::NeedsDecision);
    let answered = motor("iec", &[("notes", said), ("starting_method", "drive"), ("motors_per_starter", "1")]);
    assert!(!codes(&answered).contains(&"L413"), "{:?}", answered.findings);
}

/// NFPA 70, 300.9 and 310.10(C): conductors in wet places are of a type for them; 310.15(B)(2): 33 °C more close above a roof, of which
/// XHHW-2 is spared.
#[rstest]
#[case("outdoor on roof", "thhn", &[], true)]
#[case("wet, underground conduit", "thhn", &[], true)]
#[case("washdown area", "thhn", &[], true)]
#[case("wet, underground conduit", "thwn-2", &[], false)]
#[case("on roof", "thwn-2", &[], true)]
#[case("on roof", "thwn-2", &[("ambient_c", "63")], false)]
#[case("on roof", "xhhw-2", &[], false)]
#[case("outdoor on roof", "thhn", &[("location", "dry")], false)]
#[case("Wet well pump", "thhn", &[], false)]
#[case("in the corridor", "thhn", &[], false)]
fn a_wet_place_or_a_roof_is_asked_for_where_it_matters(
    #[case] said: &str,
    #[case] insulation: &str,
    #[case] more: &[(&str, &str)],
    #[case] expected: bool,
) {
    let circuit = motor("nec", &[&[("notes", said), ("insulation", insulation)], more].concat());
    assert_eq!(codes(&circuit).contains(&"L349"), expected, "{:?}", circuit.findings);
    assert!(!expected || circuit.status == Status::NeedsDecision);
}

/// IEC 60364-5-52, 522.11: cables in the sun are chosen for its heat; where the row states the air, that is done.
#[rstest]
#[case("outdoor on roof", &[], true)]
#[case("auf Dach", &[], true)]
#[case("sul tetto", &[], true)]
#[case("auf Dach", &[("ambient_c", "50")], false)]
#[case("Roof drain pump", &[], false)]
#[case("Dachzentrale", &[], false)]
fn under_iec_the_sun_on_a_roof_is_told(#[case] said: &str, #[case] more: &[(&str, &str)], #[case] expected: bool) {
    let circuit = motor("iec", &[&[("notes", said)], more].concat());
    assert_eq!(codes(&circuit).contains(&"L357"), expected, "{:?}", circuit.findings);
    assert!(!codes(&circuit).contains(&"L349"), "roof fans are in every building: {:?}", circuit.findings);
}

/// An equipped spare way has no cable before it is used: its parts are firm without one, and none is bought or labelled for it.
#[rstest]
#[case("iec", "direct", "")]
#[case("iec", "direct", "0")]
#[case("iec", "star-delta", "")]
#[case("iec", "drive", "")]
#[case("iec", "soft-starter", "")]
#[case("nec", "direct", "")]
#[case("nec", "direct", "0")]
fn a_spare_way_without_a_cable_needs_none(#[case] book: &str, #[case] method: &str, #[case] length: &str) {
    let column = if book == "nec" { "cable_length_ft" } else { "cable_length_m" };
    let cells = [
        ("running", "spare"),
        (column, length),
        ("starting_method", method),
        ("description", "Spare way"),
        ("motor_voltages", "400/690"),
        ("locked_rotor_ratio", "6"),
        ("start_time_s", "1"),
    ];
    let kept: Vec<_> = cells.iter().filter(|cell| cell.0 != "motor_voltages" || method == "star-delta").copied().collect();
    let circuit = motor(book, &kept);
    assert!(circuit.runs.is_empty() && circuit.conductors.is_none(), "{:?}", circuit.runs);
    assert!(!circuit.contactors.is_empty() || method == "drive", "the way is equipped");
    let told = codes(&circuit);
    assert!(!told.iter().any(|code| ["C601", "C602", "I102", "L350"].contains(code) || code.starts_with('V')), "{told:?}");
    let cables = |part: &&motorwright::design::Part| {
        !part.run.is_empty() || ["cable", "gland", "lug"].iter().any(|word| part.description.to_lowercase().contains(word))
    };
    assert_eq!(circuit.parts.iter().filter(cables).count(), 0, "{:?}", circuit.parts);
    let laid = motor(
        book,
        &[&kept[..], &[(column, "20")]].concat().into_iter().filter(|cell| *cell != (column, length)).collect::<Vec<_>>(),
    );
    assert!(!laid.runs.is_empty(), "a stated length is that of a cable: {:?}", laid.findings);
}

/// The example of a packaging machine: without cable the way is as firm as with one.
#[test]
fn a_spare_way_is_sized_without_a_length() {
    let text = "tag,description,load_kind,rated_power_kw,voltage_v,phases,full_load_current_a,efficiency_class,locked_rotor_ratio,start_time_s,poles,starting_method,cable_length_m,protection_kind,running\n\
        K4,Spare way,motor,0.55,400,3,1.42,IE3,5.5,0.3,4,direct,,motor-breaker,spare\n";
    let design = design_of(text, IEC);
    assert_eq!(design.circuits[0].status, Status::Sized, "{:?}", design.circuits[0].findings);
}

/// The same below headings as they are received: a length of 0 is no error there, and stays one for a load that runs.
#[rstest]
#[case("Tag,Description,kW,V,A,Starter,Length (m),Duty/Standby", "R1,Spare way,0.55,400,1.42,DOL,0,spare", true)]
#[case("Tag,Description,HP,V,FLA,Starter,Length (ft),Duty/Standby", "R1,Spare way,10,460,14,FVNR,0,spare", true)]
#[case("Tag,Description,HP,V,FLA,Starter,Length (ft),Duty/Standby", "R1,Pump,10,460,14,FVNR,0,duty", false)]
fn a_length_of_nothing_is_no_error_of_a_spare_way(#[case] headings: &str, #[case] row: &str, #[case] spare: bool) {
    let book = if headings.contains("HP") { NEC } else { IEC };
    let circuit = design_of(&format!("{headings}\n{row}\n"), book).circuits.remove(0);
    assert_eq!(!codes(&circuit).contains(&"I102"), spare, "{:?}", circuit.findings);
    assert!(!spare || circuit.status != Status::NotSized && circuit.runs.is_empty(), "{:?}", circuit.findings);
}

/// A description that is the name of a spare way counts as a load until somebody says what it is.
#[rstest]
#[case("Reserve", true)]
#[case("Spare", true)]
#[case("Reserve 2", true)]
#[case("Riserva", true)]
#[case("Reserve pump", false)]
#[case("Spare parts crane drive", false)]
fn a_row_that_is_called_spare_is_asked_about(#[case] said: &str, #[case] expected: bool) {
    let circuit = motor("iec", &[("description", said)]);
    assert_eq!(codes(&circuit).contains(&"L350"), expected, "{:?}", circuit.findings);
    assert!(!codes(&motor("iec", &[("description", said), ("running", "duty")])).contains(&"L350"));
}

/// Lists of machine builders name several machines behind one designation; the shortened end repeats the last letters (practice).
#[rstest]
#[case("=L4+NAS-M1..M6", 6, "=L4+NAS-M6")]
#[case("=L4+RAF-M1/M2", 2, "=L4+RAF-M2")]
#[case("NAS-M1..M6", 6, "NAS-M6")]
#[case("RAF-M1/M2", 2, "RAF-M2")]
fn a_designation_of_several_machines_gives_each_its_tag(#[case] tag: &str, #[case] number: usize, #[case] last: &str) {
    let headings = "tag,description,rated_power_kw,voltage_v,full_load_current_a,starting_method,cable_length_m,quantity";
    let text = format!("{headings}\n{tag},Belt,0.55,400,1.6,direct,30,{number}\n");
    let circuit = design_of(&text, IEC).circuits.remove(0);
    assert_eq!((circuit.tags.len(), circuit.tags.last().map(String::as_str)), (number, Some(last)), "{:?}", circuit.findings);
}

/// Below this program's own heading a disconnect that says more than yes or no is asked about as below one of the sender's: its fuses are
/// chosen by nobody, and what says neither stays open.
#[rstest]
#[case("toggle", true)]
#[case("see note 3", true)]
#[case("fused by EC", true)]
#[case("yes", false)]
#[case("by EC", false)]
fn a_disconnect_in_other_words_is_asked_about(#[case] cell: &str, #[case] asked: bool) {
    let circuit = motor("iec", &[("isolator", cell)]);
    assert_eq!(codes(&circuit).contains(&"I476"), asked, "{:?}", circuit.findings);
    assert!(!asked || circuit.status != Status::Sized, "{:?}", circuit.findings);
}

/// A tag keeps its brackets, whose number is that of a note or of a part of the plant: it is written as it stands everywhere, and is not
/// the tag with other brackets.
/// Words of a sum in the tag of a load that has a kind, a method or a cable are its name; a sum has none of these.
#[rstest]
#[case("Connected load bank,heater,50,72,,30", true)]
#[case("Diversity pump,,5.5,11,direct,30", true)]
#[case("Total connected load,,350,600,,", false)]
#[case("Largest motor,,75,140,,", false)]
fn words_of_sums_in_a_tag_drop_no_load(#[case] row: &str, #[case] read: bool) {
    let text = format!(
        "tag,load_kind,rated_power_kw,full_load_current_a,starting_method,cable_length_m\n{row}\nP-1,motor,5.5,11,direct,20\n"
    );
    assert_eq!(design_of(&text, IEC).circuits.len(), 1 + usize::from(read));
}

#[test]
fn a_tag_keeps_its_brackets() {
    let text = "tag,rated_power_kw,starting_method,cable_length_m\nP-101[1],5.5,direct,20\nP-101(1),5.5,direct,20\n";
    let design = design_of(text, IEC);
    let tags: Vec<&str> = design.circuits.iter().flat_map(|circuit| &circuit.tags).map(String::as_str).collect();
    assert_eq!(tags, ["P-101[1]", "P-101(1)"]);
    assert!(design.circuits.iter().all(|circuit| !codes(circuit).contains(&"I113")), "{:?}", design.circuits[0].findings);
}

/// Duty and standby behind one tag are two machines or one: somebody is asked, and behind two tags nobody.
#[rstest]
#[case("P-300 (duty/standby)", true)]
#[case("P-303 [duty/assist/standby]", true)]
#[case("P-202A/B (duty/standby)", false)]
fn duty_and_standby_behind_one_tag_are_asked_about(#[case] tag: &str, #[case] asked: bool) {
    let design = design_of(&format!("Tag,kW,Starter,Cable length (m)\n{tag},5.5,DOL,20\n"), IEC);
    let told = design.circuits.iter().any(|circuit| codes(circuit).contains(&"I115"));
    assert_eq!(told, asked, "{:?}", design.circuits[0].findings);
}

/// `1/1` beside one tag is one machine of one as well as a pair: a note, where `2+1` counts machines that the row does not name.
#[rstest]
#[case("1/1", "I481")]
#[case("2+1", "I435")]
fn one_of_one_is_no_second_machine(#[case] cell: &str, #[case] code: &str) {
    let text = format!("Tag,kW,Starter,Cable length (m),Duty\nP-1A,5.5,DOL,20,{cell}\nP-1B,5.5,DOL,20,{cell}\n");
    let design = design_of(&text, IEC);
    let told = |told: &str| {
        let of_circuits = design.circuits.iter().flat_map(|circuit| &circuit.findings);
        of_circuits.chain(&design.findings).any(|finding| finding.code == told)
    };
    assert!(told(code), "{:?}", design.findings);
    assert!(code == "I435" || !told("I435"));
}
