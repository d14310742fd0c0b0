//! Words of building services and machines that change a circuit and that no column states: each makes its row wait, in six languages and
//! Dutch, and texts that only look like them do not. Designs of whole schedules.

mod common;

use common::design_of;
use common::notes::{IEC, assert_asked, codes, noted_with, stated, with_column};
use motorwright::design::Status;
use rstest::rstest;

const NEC: &str = "[rules]\nbook = \"nec\"\n[supply]\nvoltage_v = 480\nphases = 3\nfrequency_hz = 60\n\
    system = \"480Y/277 4W solidly grounded\"\nprospective_fault_ka = 10\nprospective_fault_min_ka = 6\nx_over_r = 4\n";

/// IEC 60364-5-52, Table B.52.17: bunched cables carry less. The column is read, or its rows wait.
#[rstest]
#[case("Kabelhäufung")]
#[case("Anzahl Kabel gehäuft")]
#[case("Circuiti raggruppati")]
#[case("Circuits jointifs")]
#[case("Câbles groupés")]
#[case("Circuitos agrupados")]
#[case("Gebundelde kabels")]
#[case("No. of circuits in tray")]
#[case("Cable derating factor")]
fn how_many_cables_lie_together_is_read_or_asked(#[case] heading: &str) {
    let circuit = with_column(heading, "9");
    let read = stated(&circuit, "grouped_circuits").as_f64() == Some(9.0);
    assert!(read || codes(&circuit).contains(&"I455") && circuit.status == Status::NeedsDecision, "{:?}", circuit.findings);
}

#[rstest]
#[case("Motor grouping of the building", "A")]
#[case("Consumer groups", "2")]
fn other_groups_are_not_those_of_cables(#[case] heading: &str, #[case] cell: &str) {
    let circuit = with_column(heading, cell);
    assert!(stated(&circuit, "grouped_circuits").is_null(), "{heading}");
}

/// IEC 60364-5-51, 510.3: equipment is protected as its maker says. A fuse of 40 A before a heat pump for 16 A is none.
#[rstest]
#[case("Max. Vorsicherung [A]")]
#[case("Max. Absicherung")]
#[case("Calibre max")]
#[case("Protection max. (A)")]
#[case("Fusible máx")]
#[case("Fusibile max")]
#[case("Protezione max")]
#[case("Fusível máximo")]
#[case("Max. voorzekering")]
#[case("Vorsicherung laut Hersteller")]
fn the_largest_device_below_its_heading_is_never_exceeded(#[case] heading: &str) {
    let circuit = with_column(heading, "16");
    let read = stated(&circuit, "maximum_protection_a").as_f64() == Some(16.0);
    assert!(read || codes(&circuit).contains(&"I455") && circuit.status == Status::NeedsDecision, "{:?}", circuit.findings);
    let rating = circuit.protection.as_ref().map_or(0.0, |device| device.rating_a);
    assert!(!read || rating <= 16.0, "{rating} A");
    assert_eq!(circuit.load.kind, "motor", "a starter of ours starts a motor");
}

#[test]
fn the_largest_device_in_a_note_is_asked_for() {
    let asked = [
        "max. Vorsicherung 16 A",
        "protection max. 16 A",
        "fusible max 16 A",
        "fusibile max 16 A",
        "fusible máx. 16 A",
        "fusível máx. 16 A",
        "max. voorzekering 16 A",
        "max. fuse 16 A",
        "MOP 16 A",
    ];
    let innocent = ["Steuersicherung 4 A", "protection max. IP 55", "3 Sicherungsautomaten im Schrank", "MOP see nameplate"];
    assert_asked("I446", "direct", &asked, &innocent);
}

/// IEC 60079-14, 5.
#[test]
fn zones_and_categories_in_words_are_asked_for() {
    let asked = [
        "Zone 22 Staub",
        "zona 22 polveri farina",
        "zone 22 poussières",
        "zona 22 polvo",
        "zone 22 stof",
        "zona 22 poeira",
        "II 3D",
        "Ex II 2G",
        "area con pericolo di esplosione",
        "local gaz",
        "zona 1, liquidi infiammabili",
    ];
    let innocent = [
        "zona 2",
        "VAV fan zone 21",
        "Chaudière à gaz, zone 1",
        "hors zone ATEX",
        "Drucker 3D",
        "Phase II, Gebäude 2 G",
        "kein Ex-Bereich",
    ];
    assert_asked("L410", "direct", &asked, &innocent);
}

#[rstest]
#[case("Zone", "22", true)]
#[case("Categoria", "II 3D", true)]
#[case("Kategorie", "2G", true)]
#[case("Zone", "Zone 22", true)]
#[case("Zone", "2", false)]
#[case("Zone", "Zone 2", false)]
#[case("Categoria", "A", false)]
#[case("Trakt", "22", false)]
fn a_zone_or_category_in_a_column_of_its_own_is_asked_for(#[case] heading: &str, #[case] cell: &str, #[case] expected: bool) {
    let circuit = with_column(heading, cell);
    assert_eq!(codes(&circuit).contains(&"I438"), expected, "{:?}", circuit.findings);
}

/// IEC 60364-4-43, 431.2, and IEC 61293: a neutral that is named is laid, opened and counted, or denied.
#[test]
fn a_neutral_in_words_is_asked_for() {
    let asked = [
        "3L+N+PE",
        "Kombidämpfer 3/N/PE",
        "3P+N+T",
        "3F+N+T",
        "400V 3N~",
        "3~N 400 V",
        "L1, L2, L3, N, PE",
        "400 V 3Ph+N",
        "mit Neutralleiter",
        "avec neutre",
        "con neutro",
        "5G6",
    ];
    let innocent = [
        "TN-S",
        "ohne Neutralleiter",
        "3L+PE, kein N",
        "sans neutre",
        "400/3/50",
        "4-polig",
        "Pumpe 3 Nord",
        "3 l/min",
        "Halle 3, N-Seite",
        "NPSH 3 m",
        "4-wire RTD",
        "DN 50 PN 16",
    ];
    assert_asked("L353", "direct", &asked, &innocent);
    let text = "tag,description,rated_power_kw,voltage_v,phases,full_load_current_a,starting_method,cable_length_m,notes,connection\n\
        K-1,Combi oven,22,400,3,32,feeder,20,3L+N+PE,\nK-2,Combi oven,22,400,3,32,feeder,20,3L+N+PE,3L\n\
        K-3,Combi oven,22,400,3,32,feeder,20,3L+N+PE,3L+N\n";
    let asked: Vec<bool> = design_of(text, IEC).circuits.iter().map(|circuit| codes(circuit).contains(&"L353")).collect();
    assert_eq!(asked, [true, false, false]);
}

/// IEC 60364-5-56, 560.8: wiring of safety services keeps working in a fire. Conductors at 800 °C have several times their resistance.
#[test]
fn a_cable_for_a_fire_is_asked_for() {
    let asked = [
        "Cable E90, functional integrity 90 min",
        "Funktionserhalt E 90",
        "FE180",
        "câble CR1-C1",
        "PH120 cable",
        "tenue au feu 2 h",
        "cable resistente al fuego",
        "cavo resistente al fuoco FTG18OM16",
        "functiebehoud 60 min",
        "E30",
    ];
    let innocent = ["480V 3PH 60HZ", "elbow 90", "Pumpe E 90 links", "fire alarm contact", "ohne Funktionserhalt", "EN 60034"];
    assert_asked("L354", "direct", &asked, &innocent);
    let said = noted_with("direct", &["FE180"]).remove(0);
    let found = said.findings.iter().find(|finding| finding.code == "L354").expect("asked");
    assert!(found.reference.contains("60364-5-56") && found.what.contains("resistance"), "{found:?}");
}

#[rstest]
#[case("Funktionserhalt", "E90", true)]
#[case("Functional integrity", "FE180", true)]
#[case("Tenue au feu", "CR1", true)]
#[case("Cable spec", "FE180 E90", true)]
#[case("Resistente al fuoco", "sì", true)]
#[case("Funktionserhalt", "-", false)]
#[case("Funktionserhalt", "nein", false)]
#[case("Cable spec", "N2XH-J", false)]
fn a_column_of_cables_for_a_fire_is_asked_about(#[case] heading: &str, #[case] cell: &str, #[case] expected: bool) {
    let circuit = with_column(heading, cell);
    let found = circuit.findings.iter().any(|finding| finding.code == "I455" && finding.why.contains("60364-5-56"));
    assert_eq!(found, expected, "{:?}", circuit.findings);
    assert!(!expected || circuit.status == Status::NeedsDecision);
}

/// EN 12101-3: a fan for smoke runs until it fails. Its class alone names the cable and the overload protection.
#[rstest]
#[case(IEC, "400")]
#[case(NEC, "480")]
fn smoke_control_names_cable_and_overload(#[case] basis: &str, #[case] volts: &str) {
    let text = format!(
        "tag,description,rated_power_kw,voltage_v,phases,full_load_current_a,starting_method,cable_length_m,service_class\n\
         S-1,Fan,4,{volts},3,8,direct,20,smoke-control\n"
    );
    let circuit = design_of(&text, basis).circuits.remove(0);
    let found = circuit.findings.iter().find(|finding| finding.code == "L402").expect("told");
    assert!(found.cure.contains("in the fire") && found.cure.contains("overload protection"), "{}", found.cure);
}

/// IEC 60364-4-43, 433.3.3; NFPA 70, 430.31: overload protection is left out where stopping is the greater danger.
#[test]
fn overload_protection_that_is_left_out_is_asked_about() {
    let asked = [
        "hohe Drehzahl im Brandfall, kein Überlastschutz!",
        "im Brandfall Motorschutz überbrückt",
        "sans protection thermique",
        "Overload bypassed in fire mode",
        "no overload protection in fire mode",
        "overload trip to be inhibited on fire signal",
        "sin protección térmica en incendio",
        "relé térmico puenteado",
        "protezione termica esclusa in emergenza",
        "senza relè termico",
        "sem proteção térmica",
        "zonder motorbeveiliging bij brand",
        "relais thermique ponté",
    ];
    let innocent = [
        "VFD with bypass, overload relay in bypass",
        "Softstarter überbrückt nach Hochlauf, Motorschutz Klasse 10",
        "thermal overload class 10",
        "Überlastschutz Klasse 20",
        "protection thermique PTO",
        "no overflow",
        "bypass valve",
        "con protección térmica",
    ];
    assert_asked("L355", "direct", &asked, &innocent);
    assert!(!codes(&noted_with("by-others", &["kein Überlastschutz"])[0]).contains(&"L355"));
    // A drive or a soft starter that protects the motor leaves nothing out; that it is bypassed does.
    let in_starter = [
        "no overload relay needed - drive has it",
        "no overloads: electronic in soft starter",
        "no overload protection in drive; by relay",
        "bypass overload relay sized 13 A",
    ];
    for method in ["drive", "soft-starter"] {
        assert_asked(
            "L355",
            method,
            &["bypass overload relay in fire mode", "no overload trip in VFD in fire mode"],
            &in_starter,
        );
    }
}

/// What the equipment brings is not bought a second time.
#[test]
fn a_starter_in_the_equipment_is_asked_about() {
    let asked = [
        "1~ mit integriertem FU",
        "pump with built-in VFD",
        "soft starter on board",
        "variateur intégré",
        "inverter a bordo",
        "variador incorporado",
        "geïntegreerde frequentieregelaar",
        "Sanftanlasser geräteseitig",
    ];
    let innocent = [
        "FU im Schaltschrank",
        "VFD with integral disconnect",
        "Softstarter mit internem Bypass",
        "integrated pump station",
        "a bordo vasca",
    ];
    assert_asked("I437", "direct", &asked, &innocent);
}

#[rstest]
#[case("Sanftanlauf (Geräteseitig)", true)]
#[case("Softstarter bauseits", true)]
#[case("FU integriert", true)]
#[case("variateur (intégré)", true)]
#[case("soft starter a bordo", true)]
#[case("VFD (built-in)", true)]
#[case("Softstarter mit integriertem Bypass", false)]
#[case("VFD w/ integral disconnect", false)]
fn words_beside_a_method_that_place_the_starter_in_the_equipment_are_asked_about(#[case] method: &str, #[case] expected: bool) {
    let text = format!("Tag;Description;kW;V;A;Starter;Cable length m\nK-1;Chiller;90;400;160;{method};40\n");
    let circuit = design_of(&text, IEC).circuits.remove(0);
    let left = matches!(circuit.load.starting_method.as_deref(), Some("by-others" | "feeder"));
    assert_eq!(left || codes(&circuit).contains(&"I437"), expected, "{:?}", circuit.findings);
}

/// IEC 60034-1, 4.2: a duty of 25 % in the cell of the method changes relay and contactors as one in a note does.
#[test]
fn what_stands_beside_a_method_is_asked_for_like_a_note() {
    let found = |method: &str| {
        let text = format!("tag;kW;V;A;Starter;Cable length m\nK-1;15;400;28;{method};40\n");
        let circuit = design_of(&text, IEC).circuits.remove(0);
        let said = |code: &str| circuit.findings.iter().find(|finding| finding.code == code).map(|finding| finding.what.clone());
        (said("I476"), said("I463"), said("I418"))
    };
    let (duty, left, _) = found("DOL, S3-25%");
    assert!(duty.is_some_and(|what| what.contains("S3-25%")) && left.is_none(), "asked once");
    let (duty, left, _) = found("DOL, S3-25%, wxyz");
    assert!(duty.is_some() && left.is_some_and(|what| what.contains("wxyz") && !what.contains("of which `s3")), "{duty:?}");
    assert_eq!(found("DOL"), (None, None, None));
    let (_, _, low) = found("2-speed (Dahlander) 15/3.7 kW");
    assert!(low.is_some_and(|what| what.contains("15/3.7 kW")), "where the power at the low speed may stand");
}

/// Headings of the trade and the columns that they are.
#[rstest]
#[case("Reparaturschalter", "ja", "isolator", "true")]
#[case("Sectionneur local", "oui", "isolator", "true")]
#[case("Sezionatore locale", "sì", "isolator", "true")]
#[case("Seccionador", "no", "isolator", "false")]
#[case("Werkschakelaar", "nee", "isolator", "false")]
#[case("Sondes PTC", "oui", "thermistor", "\"yes\"")]
#[case("Klasse", "IE3", "efficiency_class", "\"IE3\"")]
#[case("Classe", "IE2", "efficiency_class", "\"IE2\"")]
#[case("Betrieb", "Reserve", "running", "\"standby\"")]
#[case("Leistung kl. Drehzahl [kW]", "1,1", "rated_power_low_kw", "1.1")]
#[case("Nennstrom kl. Drehzahl [A]", "3,2", "full_load_current_low_a", "3.2")]
#[case("Potenza bassa velocità (kW)", "1,1", "rated_power_low_kw", "1.1")]
#[case("Courant petite vitesse (A)", "3,2", "full_load_current_low_a", "3.2")]
fn headings_of_building_services_are_read(#[case] heading: &str, #[case] cell: &str, #[case] column: &str, #[case] value: &str) {
    let circuit = with_column(heading, cell);
    assert_eq!(stated(&circuit, column).to_string(), value, "{:?}", circuit.findings);
}

/// Such a heading over something else is carried along; words that a yes or no does not cover make the row wait.
#[rstest]
#[case("Klasse", "F", "efficiency_class", false)]
#[case("Classe", "10A", "efficiency_class", false)]
#[case("Betrieb", "Halle 3", "running", false)]
#[case("Reparaturschalter", "bauseits", "isolator", true)]
#[case("Main isolator", "250 A", "isolator", false)]
fn what_such_a_heading_does_not_mean_is_not_read(
    #[case] heading: &str,
    #[case] cell: &str,
    #[case] column: &str,
    #[case] asked: bool,
) {
    let circuit = with_column(heading, cell);
    assert!(stated(&circuit, column).is_null(), "{:?}", circuit.stated);
    assert_eq!(codes(&circuit).contains(&"I455"), asked, "{:?}", circuit.findings);
}

/// EN 12101-6 for pressurisation, whatever shaft it keeps free; EN 81-20 for lifts, EN 115-1 for escalators, EN 12845 for fire pumps.
#[rstest]
#[case("Druckbelüftung Feuerwehraufzug", Some("smoke-control"))]
#[case("Pressurisation gaine ascenseur", Some("smoke-control"))]
#[case("Lift shaft pressurisation fan", Some("smoke-control"))]
#[case("Extractor de humos garaje", Some("smoke-control"))]
#[case("Presurización escalera", Some("smoke-control"))]
#[case("Overdruk trappenhuis", Some("smoke-control"))]
#[case("Montacarichi", Some("elevator"))]
#[case("Escalera mecánica", Some("elevator"))]
#[case("Goederenlift", Some("elevator"))]
#[case("Roltrap", Some("elevator"))]
#[case("Bovenloopkraan", Some("crane"))]
#[case("Bomba jockey PCI", Some("fire-pump"))]
#[case("Lift machine room exhaust fan", None)]
#[case("Druckbelüftung Belebungsbecken", None)]
#[case("Bucket elevator", None)]
#[case("Extractor de humos de cocina", None)]
#[case("Jockey pump, cold water", None)]
fn services_in_words(#[case] description: &str, #[case] service: Option<&str>) {
    let text = format!(
        "tag,description,rated_power_kw,voltage_v,phases,full_load_current_a,starting_method,cable_length_m\n\
         L-1,\"{description}\",4,400,3,8,direct,20\n"
    );
    let circuit = design_of(&text, IEC).circuits.remove(0);
    let found = circuit.findings.iter().find(|finding| finding.code == "L403");
    assert_eq!(found.is_some(), service.is_some(), "{:?}", circuit.findings);
    assert!(found.is_none_or(|finding| finding.cure.contains(service.unwrap_or_default())), "{found:?}");
}

/// IEC 60364-5-52, Table B.52.14: in air of 50 °C PVC carries 0.71 of what it carries at 30 °C, at 40 °C 0.87.
#[test]
fn figures_that_only_words_state_are_asked_for() {
    let air = ["ambiente 50 °C", "50 °C Umgebung", "température ambiante 45 °C"];
    let innocent = ["ambient 40 °C", "Fördermedium 80 °C", "F400/120 °C"];
    assert_asked("I470", "direct", &air, &innocent);
    let start = ["LRA 426 A", "Imax Anlauf 760 A", "aanloopstroom 58 A", "corrente di spunto 90 A", "courant d'appel 6 x In"];
    assert_asked("I470", "direct", &start, &["Anlauf 9 s", "start current limit 3 x", "locked rotor time 12 s"]);
    assert!(!codes(&noted_with("drive", &["LRA 60 A"])[0]).contains(&"I470"), "a drive never lets it flow");
    let text = "tag,description,rated_power_kw,voltage_v,phases,full_load_current_a,starting_method,cable_length_m,notes,ambient_c,locked_rotor_ratio\n\
        M-1,Fan,4,400,3,8,direct,20,\"ambient 50 °C, LRA 60 A\",50,7.5\n";
    assert!(!codes(&design_of(text, IEC).circuits[0]).contains(&"I470"), "what columns state is not asked again");
}

/// A Dutch list, as it is received.
#[test]
fn a_dutch_list_is_read() {
    let text = "Nr;Codering;Omschrijving;Verdeler;Aantal;Vermogen kW;Spanning V;Nominale stroom A;Aanloopmethode;Kabellengte;Werkschakelaar;Bedrijf / reserve;Opmerkingen\n\
        1;DP-01;Drukverhogingspomp 1;V-1;1;4;400;7,9;Direct;30 m;ja;bedrijf;\n\
        2;DP-02;Drukverhogingspomp 2;V-1;1;4;400;7,9;Ster-driehoek;30 m;nee;reserve;\n\
        3;TV-01;Toevoerventilator;V-1;1;5,5;400;11;Frequentieregelaar;66 m;ja;bedrijf;\n\
        4;JF-01 t/m 03;Ventilatoren;V-1;3;0,75;400;2;Directe aanloop;90 m;ja;bedrijf;\n\
        5;OV-01;Combi-oven;V-1;1;37;400;54;Voeding;20 m;nee;bedrijf;\n";
    let design = design_of(text, IEC);
    let tags: Vec<&str> = design.circuits.iter().map(|circuit| circuit.tag.as_str()).collect();
    assert_eq!(tags.len(), 5, "{tags:?}");
    let of = |tag: &str| design.circuits.iter().find(|circuit| circuit.tag.starts_with(tag)).expect("the row");
    for (tag, column, value) in [
        ("DP-01", "running", "\"duty\""),
        ("DP-02", "running", "\"standby\""),
        ("DP-02", "isolator", "false"),
        ("DP-02", "starting_method", "\"star-delta\""),
        ("TV-01", "starting_method", "\"drive\""),
        ("TV-01", "isolator", "true"),
        ("JF-01", "starting_method", "\"direct\""),
        ("JF-01", "quantity", "3.0"),
        ("OV-01", "starting_method", "\"feeder\""),
        ("OV-01", "full_load_current_a", "54.0"),
        ("DP-01", "cable_length_m", "30.0"),
    ] {
        assert_eq!(stated(of(tag), column).to_string(), value, "{tag} {column}");
    }
}

/// A word behind a name denies it as one before it does; a number behind it, or a contact that is open at rest, does not.
#[test]
fn what_is_denied_behind_its_name_is_not_asked_for() {
    let asked =
        ["brake: 180 W", "thermistors fitted", "Kaltleiter", "brake no. 3", "winding thermostat NO", "thermistors, brake: none"];
    let innocent = [
        "brake: none",
        "brake - none",
        "thermistors not fitted",
        "emergency stop: n/a",
        "emergency stop not required",
        "Bremse: keine",
        "Kaltleiter nicht vorhanden",
        "frein: aucun",
        "PTC: no",
        "SIL 2 not applicable",
    ];
    assert_asked("L360", "direct", &asked, &innocent);
}

/// The same of a bypass in the cell of the method.
#[rstest]
#[case("VFD with bypass", Some(true))]
#[case("VFD without bypass", Some(false))]
#[case("VFD, bypass n/a", Some(false))]
#[case("VFD bypass: no", Some(false))]
#[case("VFD, bypass not required", Some(false))]
fn a_bypass_is_denied_behind_its_name(#[case] method: &str, #[case] bypass: Option<bool>) {
    let text = format!("Tag,Description,Motor kW,Volts,Phases,FLA,Starter,Cable length m\nM-1,Pump,4,400,3,8,\"{method}\",20\n");
    let circuit = design_of(&text, IEC).circuits.remove(0);
    assert_eq!(stated(&circuit, "bypass").as_bool(), bypass, "{:?}", circuit.findings);
    assert_eq!(stated(&circuit, "starting_method").as_str(), Some("drive"));
}
