//! Words of machine builders that change a circuit and that no column states, in any order and under any heading: each is read, taken or
//! makes its row wait, and texts that only look like them do not. Designs of whole schedules.

mod common;

use common::design_of;
use common::notes::{IEC, assert_asked, codes, noted_with, stated, with_column};
use motorwright::design::{Circuit, Status};
use rstest::rstest;

/// A supply of a packaged unit of 10 A for each note.
fn supplied_with(notes: &[&str]) -> Vec<Circuit> {
    let mut text = String::from(
        "tag,description,load_kind,rated_power_kw,voltage_v,full_load_current_a,starting_method,cable_length_m,phases,notes\n",
    );
    for (number, note) in notes.iter().enumerate() {
        text.push_str(&format!("A-{number},Unit,packaged,5,400,10,feeder,20,3,\"{note}\"\n"));
    }
    design_of(&text, IEC).circuits
}

/// IEC 60364-5-51, 510.3, again: the words stand in any order, and before what is supplied only the device alone says it.
#[test]
fn the_largest_device_is_asked_for_in_every_order_of_its_words() {
    let asked = [
        "fuse 10 A max",
        "max. 10 A fuse",
        "10 A fuse max.",
        "fuse 10A max",
        "Absicherung 10 A",
        "protected by 10 A",
        "backup fuse 10 A",
        "Vorsicherung 3x16 A gL",
        "20A breaker",
    ];
    let innocent = [
        "Steuersicherung 4 A",
        "10 A",
        "16 A Steckdose daneben",
        "breaker by others, 30 A load",
        "10 A control fuse in unit",
        "Sicherungen bauseits, 12 A Nennstrom",
    ];
    for (circuit, note) in supplied_with(&asked).iter().zip(asked) {
        assert!(codes(circuit).contains(&"I446") && circuit.status == Status::NeedsDecision, "{note}: {:?}", codes(circuit));
    }
    for (circuit, note) in supplied_with(&innocent).iter().zip(innocent) {
        assert!(!codes(circuit).contains(&"I446"), "{note}: {:?}", codes(circuit));
    }
    // Before a starter of ours a device without "max" is what somebody planned.
    assert_asked("I446", "direct", &["fuse 10 A max", "10 A fuse max."], &["fuse 16 A", "Absicherung 16 A gG", "20A breaker"]);
}

/// IEC 60204-1, 7.3.1: each motor above 0.5 kW is protected against overload, so that a drive for several has a relay for each.
#[test]
fn several_motors_behind_one_drive_are_seen_in_other_words() {
    let asked = [
        "Gruppe an einem Umrichter, je Motor Motorschutz",
        "group of rollers on one drive",
        "6 Trommelmotoren",
        "Staurollenbahn, 6 Trommelmotoren",
        "roller bed with 4 roller motors",
        "4 motors",
    ];
    let innocent = [
        "Gruppe 2 an einem FU",
        "Conveyor 2 motors stop together",
        "Linie 3 Getriebemotoren geprüft",
        "3 phase motors only",
        "Group A, one pump on standby, VFD",
        "2-pole motor",
        "for 400 V motors",
    ];
    assert_asked("L413", "drive", &asked, &innocent);
    let text = "Tag;Beschreibung;Leistung kW;Spannung V;Nennstrom A;Startart;Kabellänge m;Antriebe je Umrichter\n\
        R-1;Rollenbahn;0,12;400;0,45;Frequenzumrichter;20;6\n";
    let circuit = design_of(text, IEC).circuits.remove(0);
    assert_eq!(circuit.motors, 6, "the column is read: {:?}", circuit.findings);
}

/// ISO 13849-1, 4.3, and IEC 62061, 5.2: a level is required of a function, wherever it is written.
#[rstest]
#[case("Sicherheitskreis", "PL d", true)]
#[case("Sicherheit", "PL e", true)]
#[case("Sicherheit", "ja", true)]
#[case("Safety circuit", "SIL 2", true)]
#[case("Hinweis", "PL d", true)]
#[case("Sicherheit", "-", false)]
#[case("Sicherheitsfaktor", "2", false)]
#[case("Safety factor", "2", false)]
#[case("Plan", "PL 3", false)]
#[case("Platz", "Pl. 14", false)]
fn a_level_of_safety_in_a_column_is_asked_about(#[case] heading: &str, #[case] cell: &str, #[case] expected: bool) {
    let circuit = with_column(heading, cell);
    let read = !stated(&circuit, "safety_level").is_null();
    let asked = circuit
        .findings
        .iter()
        .any(|finding| ["I455", "L360"].contains(&finding.code.as_str()) && finding.what.contains("safety"));
    assert_eq!(read || asked, expected, "{:?}", circuit.findings);
    assert!(!expected || circuit.status == Status::NeedsDecision);
}

#[test]
fn safeguards_that_only_remarks_name_wait() {
    let asked = [
        "PL d",
        "Schutztür, PL e",
        "PLr c, Kat. 3 nach ISO 13849",
        "STO SIL 2",
        "Bremse 180 V DC 40 W",
        "PTC thermistors",
        "local repair switch required",
        "Reparaturschalter vor Ort",
        "local isolator",
        "sectionneur local",
    ];
    let innocent = [
        "PL 3",
        "Silo, Austrag Sil 2",
        "DC injection brake",
        "ohne Bremse",
        "no local isolator",
        "Reparaturschalter bauseits",
        "local isolator by others",
        "isolation valve closed",
        "local panel, isolator in panel",
    ];
    assert_asked("L360", "direct", &asked, &innocent);
}

/// IEC 60204-1, 9.2: both directions need two contactors that exclude each other. A starter for one direction is another circuit.
#[test]
fn both_directions_in_words_are_asked_for() {
    let asked = [
        "2 Drehrichtungen",
        "Reversierbetrieb",
        "reversing",
        "forward/reverse",
        "Vorwärts-/Rückwärtslauf",
        "reversible conveyor",
        "deux sens de marche",
        "doble sentido",
        "inversione di marcia",
    ];
    let innocent = [
        "keine 2. Drehrichtung; Drehrichtung prüfen",
        "ohne Drehrichtungsumkehr",
        "für beide Drehrichtungen geeignet",
        "non-reversing",
        "reversing valve by others",
        "reverse osmosis pump",
        "forward curved fan, reverse rotation alarm",
        "see drawing for rev. B",
        "Halle rechts, Gebläse links, 24 h Betrieb",
    ];
    assert_asked("L363", "direct", &asked, &innocent);
    // A drive exchanges no lines.
    assert!(
        noted_with("drive", &["2 Drehrichtungen", "forward/reverse"]).iter().all(|circuit| !codes(circuit).contains(&"L363"))
    );
    for heading in ["Drehrichtungswechsel", "Drehrichtungs-wechsel"] {
        assert_eq!(stated(&with_column(heading, "ja"), "reversing").to_string(), "true", "{heading}");
    }
}

/// A bypass is a second way to the motor with a relay of its own (IEC 60204-1, 7.3.1); what stands beside a drive is ordered with it.
#[test]
fn what_stands_beside_a_drive_is_asked_about_or_told() {
    let bypass = ["Bypass contactor", "With bypass contactor", "FU mit Bypass", "manual bypass", "avec bypass"];
    let innocent = [
        "no bypass",
        "ohne Bypass",
        "bypass valve open",
        "bypass damper, VFD",
        "integral bypass by vendor",
        "filter bypass line",
    ];
    assert_asked("L363", "drive", &bypass, &innocent);
    let told = ["mit Netzdrossel, Bremswiderstand", "Braking resistor 2 kW", "EMC filter and line choke", "sine filter"];
    for (circuit, note) in noted_with("drive", &told).iter().zip(told) {
        assert!(circuit.findings.iter().any(|finding| finding.code == "L412" && finding.what.contains("choke")), "{note}");
        assert!(!codes(circuit).contains(&"L360"), "{note}: a braking resistor is no brake");
    }
    for (circuit, note) in
        noted_with("drive", &["ohne Netzdrossel", "air filter clogged", "integrated line choke", "choke valve"]).iter().zip(0..)
    {
        assert!(!codes(circuit).contains(&"L412"), "{note}");
    }
}

#[test]
fn a_cable_in_a_chain_is_asked_about() {
    let asked =
        ["daisy chain with R-6", "durchgeschleift von M-1", "shares one supply cable with M-2", "gemeinsame Zuleitung mit M-1"];
    let innocent = [
        "chain conveyor",
        "Kettenförderer, Kette prüfen",
        "PROFINET daisy chain",
        "signal daisy chain to BMS",
        "no daisy chain",
        "share of load 50 %",
        "closed loop control",
        "shares the hopper with M-2",
    ];
    assert_asked("L363", "direct", &asked, &innocent);
    let circuit = with_column("Daisy chain with", "A-2");
    assert!(codes(&circuit).contains(&"I455"), "{:?}", circuit.findings);
    assert!(!codes(&with_column("Chain speed", "2")).contains(&"I455"));
}

#[test]
fn machines_that_stand_by_in_words_are_asked_about() {
    let asked =
        ["1 duty / 1 standby", "1 Betrieb / 1 Reserve", "2 duty, 1 standby", "duty/standby", "1 en service / 1 en secours"];
    let innocent = [
        "standby mode after 10 min",
        "heavy duty",
        "Reserveantrieb am Lager",
        "duty cycle 40 %",
        "standby generator feeds it",
        "Dauerbetrieb, Reserve 10 %",
    ];
    assert_asked("L363", "direct", &asked, &innocent);
}

#[rstest]
#[case("3 stages x 12 kW", true)]
#[case("Heater, 3 x 12 kW stages", true)]
#[case("3 Stufen", true)]
#[case("3 x 12 kW", true)]
#[case("stage 2 of the dryer", false)]
#[case("Stufe 3", false)]
#[case("2-stufiger Thermostat", false)]
#[case("36 kW at 400 V", false)]
fn steps_of_a_heater_in_words_are_asked_about(#[case] note: &str, #[case] expected: bool) {
    let text = format!(
        "tag,description,load_kind,rated_power_kw,voltage_v,phases,starting_method,cable_length_m,notes\nH-1,Heater,heater,36,400,3,contactor,20,\"{note}\"\n"
    );
    let circuit = design_of(&text, IEC).circuits.remove(0);
    assert_eq!(codes(&circuit).contains(&"L363"), expected, "{:?}", circuit.findings);
}

/// 2.5 kVA over 400 V is 6.25 A between two lines, and 3.61 A in each of three (arithmetic). Control transformers are single-phase as a
/// rule (IEC 60204-1, 9.1.1).
#[rstest]
#[case("Steuertransformator 1-phasig", "2.5", "", "I476")]
#[case("Control transformer", "2.5", "", "I485")]
#[case("Steuertrafo", "0.63", "", "I485")]
#[case("Transformer, three-phase", "2.5", "", "")]
#[case("Steuertransformator 3-phasig", "2.5", "", "")]
#[case("Drehstromtransformator", "5", "", "")]
#[case("Transformer", "40", "", "")]
#[case("Control transformer", "2.5", "1", "")]
#[case("Control transformer", "2.5", "3", "")]
fn the_phases_of_a_small_transformer_are_asked_for(
    #[case] description: &str,
    #[case] kva: &str,
    #[case] phases: &str,
    #[case] code: &str,
) {
    let text = format!(
        "tag,description,load_kind,rated_power_kva,voltage_v,phases,starting_method,cable_length_m\nT-1,\"{description}\",transformer,{kva},400,{phases},feeder,2\n"
    );
    let circuit = design_of(&text, IEC).circuits.remove(0);
    let asked: Vec<&str> = codes(&circuit).into_iter().filter(|code| ["I476", "I485"].contains(code)).collect();
    assert_eq!(asked, if code.is_empty() { vec![] } else { vec![code] }, "{:?}", circuit.findings);
    assert!(code.is_empty() || circuit.status == Status::NeedsDecision);
    if phases == "1" {
        assert!((circuit.currents.full_load_a - 6.25).abs() < 0.01, "{:?}", circuit.currents);
    }
}

/// IEC 60364-5-52, Table B.52.14: PVC carries 0.50 at 60 °C of what it carries at 30 °C. Such a column may be that of what is pumped.
#[rstest]
#[case("Temp.", "60", true)]
#[case("Temperatur [°C]", "50", true)]
#[case("Temp.", "40", false)]
#[case("Temp.", "20", false)]
#[case("Medientemperatur", "80", false)]
#[case("Fluid temperature", "80", false)]
#[case("Temp. class", "T4", false)]
fn a_column_of_temperatures_above_those_of_motors_is_told(#[case] heading: &str, #[case] cell: &str, #[case] expected: bool) {
    let text = format!(
        "tag;Bezeichnung;Leistung kW;Spannung V;Nennstrom A;Startart;Kabellänge m;{heading}\nA-1;Ventilator;5,5;400;10,5;direkt;40;{cell}\n"
    );
    let design = design_of(&text, IEC);
    let told = design.findings.iter().any(|finding| finding.code == "I441" && finding.cure.contains("ambient_c"));
    assert_eq!(told, expected, "{:?}", design.findings);
}

/// IEC 60364-5-52, Table A.52.3: item 31 (perforated tray) and 34 (ladder) are method E, 30 (tray that is not perforated) C, 5 and 7
/// (conduit and trunking) B2 for multicore cables.
#[rstest]
#[case("tray", Some("C"))]
#[case("Kabelrinne", Some("C"))]
#[case("perforated tray", Some("E"))]
#[case("Pritsche", Some("E"))]
#[case("Gitterrinne", Some("E"))]
#[case("Kabelkanal", Some("B2"))]
#[case("Rohr", Some("B2"))]
#[case("conduit", Some("B2"))]
#[case("E", None)]
fn ways_of_laying_in_words_are_taken_and_told(#[case] words: &str, #[case] method: Option<&str>) {
    let text = format!(
        "tag,description,rated_power_kw,voltage_v,phases,full_load_current_a,starting_method,cable_length_m,installation_method\nM-1,Drive,4,400,3,8,direct,20,{words}\n"
    );
    let circuit = design_of(&text, IEC).circuits.remove(0);
    assert!(!codes(&circuit).contains(&"L361"), "{:?}", circuit.findings);
    let told = circuit.findings.iter().find(|finding| finding.code == "L364");
    assert_eq!(told.is_some(), method.is_some(), "{:?}", circuit.findings);
    assert!(told.zip(method).is_none_or(|(told, method)| told.what.contains(&format!("method {method}:"))), "{told:?}");
}

#[test]
fn what_is_no_way_of_laying_is_still_not_known() {
    let text = "tag,description,rated_power_kw,voltage_v,phases,full_load_current_a,starting_method,cable_length_m,installation_method\n\
        M-1,Drive,4,400,3,8,direct,20,overhead\nM-2,Drive,4,400,3,8,direct,20,Z\n";
    assert!(design_of(text, IEC).circuits.iter().all(|circuit| codes(circuit).contains(&"L361")));
}

/// What switches the coil, in German and others.
#[rstest]
#[case("SPS", "plc-output")]
#[case("Taster", "pushbutton")]
#[case("Koppelrelais", "relay")]
#[case("Thermostat", "thermostat")]
#[case("pulsador", "pushbutton")]
fn what_drives_a_coil_is_read_in_other_languages(#[case] word: &str, #[case] value: &str) {
    let text = format!(
        "tag,description,rated_power_kw,voltage_v,phases,full_load_current_a,starting_method,cable_length_m,driven_by\nM-1,Drive,4,400,3,8,direct,20,{word}\n"
    );
    let circuit = design_of(&text, IEC).circuits.remove(0);
    assert_eq!(stated(&circuit, "driven_by").as_str(), Some(value), "{:?}", circuit.findings);
}

/// Electronics and lamps that are supplied alone are no cage motors, and a section says where a described load stands.
#[rstest]
#[case("Netzteil 24 V DC 20 A", "other")]
#[case("Schaltnetzteil", "other")]
#[case("Servoverstärker 4 Achsen", "other")]
#[case("CNC-Steuerung", "other")]
#[case("SPS-Rack", "other")]
#[case("Industrie-PC", "other")]
#[case("Laserquelle", "other")]
#[case("Schweißgerät", "other")]
#[case("Schaltschrankleuchte", "lighting")]
#[case("Hydraulikaggregat", "motor")]
#[case("Netzteil-Lüfter", "motor")]
#[case("Laserabsaugung", "motor")]
#[case("Pump with PLC", "motor")]
fn what_is_supplied_alone_is_told_by_its_name(#[case] description: &str, #[case] kind: &str) {
    let text = format!(
        "BMK;Bezeichnung;Leistung kW;Nennspannung;Nennstrom A;Anlassart;Leitungslänge m\n-G1;{description};1,2;400 V;2,6;Einspeisung;2\n"
    );
    assert_eq!(design_of(&text, IEC).circuits[0].load.kind, kind);
}

#[rstest]
#[case("OVEN", "Gas burner", "Einspeisung", "motor")]
#[case("OVEN", "Gas burner", "Packaged unit", "packaged")]
#[case("HEATERS", "Zone 1", "Einspeisung", "heater")]
fn a_section_says_where_a_described_load_stands(
    #[case] section: &str,
    #[case] description: &str,
    #[case] method: &str,
    #[case] kind: &str,
) {
    let text = format!(
        "Tag;Description;kW;Volts;FLA;Starter;Length m\n{section};;;;;;\nB-1;{description};1,1;400;2,6;{method};24\nB-2;Pump;1,1;400;2,6;DOL;24\n"
    );
    assert_eq!(design_of(&text, IEC).circuits[0].load.kind, kind);
}
