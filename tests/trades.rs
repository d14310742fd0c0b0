//! Words of lists of trades (sawmills, dairies, tunnels, ships, stages, cold stores) that change a circuit: each makes its row wait, and
//! texts that only look like them do not. What a careful person reads in them is common practice, no source, unless a clause is named.

mod common;

use common::design_of;
use common::notes::{IEC, assert_asked, codes, noted_with, stated, with_column};
use motorwright::design::{Circuit, Status};
use rstest::rstest;

/// A row that is one of several counts once in the sums and in the parts.
#[test]
fn several_machines_in_words_are_asked_about() {
    let asked = [
        "4 stuks",
        "(6 St.)",
        "4 Stück",
        "3 pcs",
        "2 off",
        "Qty 4",
        "Anzahl: 3",
        "je 2",
        "4 unités",
        "Lüfter 1 bis 4",
        "Roerwerk tank 1 t/m 4",
        "Fans 1 thru 6",
        "2 identical pumps",
    ];
    let innocent = [
        "1 stuk",
        "incl. 2 pcs limit switches",
        "3 Stück Kaltleiter",
        "Stufe 1 bis 3",
        "1 bis 10 bar",
        "floor 1 thru 4",
        "siehe Blatt 1 bis 4",
        "switch 2 off at night",
        "2-pole",
    ];
    assert_asked("L366", "direct", &asked, &innocent);
}

#[test]
fn stated_quantities_answer_words_of_several_machines() {
    let text = "tag,description,quantity,rated_power_kw,voltage_v,phases,full_load_current_a,starting_method,cable_length_m,notes\n\
        M-1,Fan,4,4,400,3,8,direct,20,4 Stück\nM-2A/B,Fan,,4,400,3,8,direct,20,2 Stück\n";
    for circuit in design_of(text, IEC).circuits {
        assert!(!codes(&circuit).contains(&"L366"), "{}: {:?}", circuit.tag, codes(&circuit));
    }
}

/// IEC 60947-4-1, 5.7.3: the trip class goes by the start; a heavy one outlasts class 10.
#[test]
fn a_heavy_start_in_words_is_asked_about() {
    let asked = [
        "Schweranlauf",
        "heavy duty start",
        "high inertia load",
        "démarrage long",
        "arranque pesado",
        "avviamento pesante",
        "zware aanloop, thermistors",
        "partida pesada",
        "overload class 30",
    ];
    let innocent =
        ["kein Schweranlauf", "no heavy starting", "heavy duty motor", "class F insulation", "soft start", "long cable"];
    assert_asked("L363", "direct", &asked, &innocent);
    for circuit in noted_with("drive", &["Schweranlauf"]) {
        assert!(!codes(&circuit).contains(&"L363"), "a drive limits the current of the start");
    }
}

/// IEC 60947-1, 4.3.4.3: intermittent duty is classed by operations an hour; what is above class 12 wears contacts and heats relays.
#[rstest]
#[case("120 avviamenti/ora", true)]
#[case("60 démarrages par heure", true)]
#[case("30 Schaltungen/h", true)]
#[case("40 arranques por hora", true)]
#[case("90 starts/h", true)]
#[case("20 starts per uur", true)]
#[case("6 starts/h", false)]
#[case("10 Schaltungen/h", false)]
fn frequent_starts_in_words_are_asked_about(#[case] note: &str, #[case] asked: bool) {
    for circuit in noted_with("direct", &[note]) {
        assert_eq!(codes(&circuit).contains(&"I476"), asked, "{note}: {:?}", codes(&circuit));
    }
}

#[test]
fn two_speeds_in_words_are_asked_about() {
    let asked = ["2 velocidades", "two speeds", "zwei Drehzahlen", "Dahlander", "polumschaltbar", "2 vitesses", "4/2-polig"];
    let innocent = ["4-polig", "two-speed gearbox", "no two speed", "1450 rpm", "speed 2"];
    assert_asked("L363", "direct", &asked, &innocent);
    for circuit in noted_with("drive", &["2 velocidades"]) {
        assert!(!codes(&circuit).contains(&"L363"), "a drive sets the speed");
    }
}

/// EN 12101-3: what extracts smoke runs until it fails; a motor that is stopped in a fire is none.
#[rstest]
#[case("Réversible en cas d'incendie", true)]
#[case("By-pass direct en mode feu", true)]
#[case("läuft im Brandfall weiter: Volllast", true)]
#[case("runs at full speed in fire mode", true)]
#[case("in caso di incendio funziona alla massima velocità", true)]
#[case("arrêt en cas d'incendie", false)]
#[case("Abschaltung im Brandfall", false)]
#[case("stops in fire mode", false)]
fn service_in_a_fire_is_asked_about(#[case] note: &str, #[case] asked: bool) {
    for circuit in noted_with("direct", &[note]) {
        assert_eq!(codes(&circuit).contains(&"L403"), asked, "{note}: {:?}", codes(&circuit));
    }
}

fn messages(circuit: &Circuit, code: &str) -> String {
    circuit.findings.iter().filter(|finding| finding.code == code).map(|finding| finding.what.as_str()).collect()
}

#[test]
fn a_rating_for_hot_smoke_is_that_of_the_machine_below_a_heading_of_fire_too() {
    let circuit = with_column("Tenue au feu", "400 °C / 2 h");
    assert!(messages(&circuit, "I455").contains("smoke or fire service"), "{:?}", circuit.findings);
}

/// Both directions need a second contactor and an interlock (IEC 60204-1, 9.3.5).
#[rstest]
#[case("Drehrichtungen", "2", true)]
#[case("Drehrichtungen", "1", false)]
#[case("Drehrichtung", "rechts/links", true)]
#[case("Drehrichtung", "rechts", false)]
#[case("Sens de marche", "2", true)]
#[case("Sens de marche", "1", false)]
#[case("Sentidos de giro", "2", true)]
#[case("Direction of rotation", "CW", false)]
#[case("Direction of rotation", "CW/CCW", true)]
#[case("Draairichtingen", "2", true)]
fn directions_in_a_column_are_read_or_asked_about(#[case] heading: &str, #[case] cell: &str, #[case] both: bool) {
    let circuit = with_column(heading, cell);
    let told = stated(&circuit, "reversing").as_str() == Some("yes")
        || messages(&circuit, "I455").contains("both directions") && circuit.status == Status::NeedsDecision;
    assert_eq!(told, both, "{heading} {cell}: {:?}", circuit.findings);
}

#[test]
fn a_duty_factor_in_a_column_is_asked_about() {
    assert!(messages(&with_column("ED %", "40"), "I455").contains("not continuous"));
    assert!(!messages(&with_column("ED %", "100"), "I455").contains("not continuous"));
}

fn circuits(text: &str) -> Vec<Circuit> {
    design_of(text, IEC).circuits
}

/// A column that is called by its unit is a nameplate's beside others that are, and a phase beside those of other phases.
#[test]
fn a_column_called_a_is_the_current_beside_kilowatts_and_volts() {
    let nameplate =
        circuits("Pos;Benennung;kW;A;V;Anlauf;Länge m\nV1;Verdichter;22;44;400;Direkt;18\nV2;Pumpe;11;21;400;Direkt;18\n");
    assert_eq!(nameplate.iter().map(|circuit| circuit.currents.full_load_a).collect::<Vec<_>>(), [44.0, 21.0]);
    let phases = circuits("tag,description,kW,V,starter,A,B,C\nP-1,Pump,4,400,DOL,8,8,8\nP-2,Pump,4,400,DOL,8.5,8.5,8.5\n");
    for circuit in phases {
        assert!(stated(&circuit, "full_load_current_a").is_null(), "A, B and C are phases");
    }
}

#[test]
fn a_column_of_supplies_may_hold_their_classes() {
    let rows = circuits(
        "Repère;Désignation;Puissance (kW);In (A);Tension (V);Démarrage;Longueur (m);Alimentation\n\
         VE-1;Ventilateur;11;21,5;400;Direct;60;secours\nPR-1;Pompe;7,5;15,2;400;Direct;60;normal\n",
    );
    assert_eq!(stated(&rows[0], "supply_class").as_str(), Some("emergency"));
    assert_eq!(stated(&rows[1], "supply_class").as_str(), Some("normal"));
    let voltages = circuits(
        "Repère;Désignation;Puissance (kW);In (A);Démarrage;Longueur (m);Alimentation\nVE-1;Pompe;11;21,5;Direct;60;400/3/50\n",
    );
    assert_eq!(stated(&voltages[0], "voltage_v").as_f64(), Some(400.0));
}

/// What is plugged in brings its own switch.
#[test]
fn socket_outlets_have_no_contactor_that_nobody_asked_for() {
    let rows = circuits(
        "Pos;Benennung;kW;A;V;Anlauf;Länge m\nX1;Steckdose CEE 32 A;;32;400;;30\nX2;CEE contactdoos 63A;;63;400;;20\n\
         E1;Heizregister;9;13;400;;20\nM1;Pumpe;4;8;400;direkt;20\n",
    );
    for circuit in &rows[..2] {
        assert!(circuit.contactors.is_empty() && circuit.load.kind == "other", "{}: {:?}", circuit.tag, circuit.findings);
    }
    assert_eq!(rows[2].contactors.len(), 1);
    assert!(messages(&rows[2], "L368").contains("contactor"), "nobody says that a contactor switches it");
}

/// A starter that comes with the machine stands there, and a second one before it is not ordered unasked.
#[test]
fn starters_of_the_machine_in_words_are_asked_about() {
    let asked = [
        "local starter on equipment",
        "Zuleitung, Steuerung durch Lieferant",
        "eigene Steuerung",
        "eigen besturing",
        "con cuadro propio",
        "con quadro proprio",
    ];
    assert_asked("I437", "direct", &asked, &["local control station", "Steuerung durch SPS", "Schaltschrank im Keller"]);
}

#[test]
fn zones_of_dust_in_words_are_asked_about() {
    assert_asked("L410", "direct", &["Zone 22 im Kanal", "Zona 22, bordo macchina"], &["Zone 2 fan", "Fire zone 22"]);
}

/// IEC 60034-1, 6.3: motors are made for air up to 40 °C.
#[test]
fn a_motor_within_a_dryer_is_in_hot_air() {
    let asked = ["Umluft 70 °C in der Trockenkammer", "inside dryer, 80 °C", "60 °C im Ofenraum"];
    assert_asked("I470", "direct", &asked, &["in der Trockenkammer", "Heizung 70 °C für Trockenkammer", "Vorlauf 70 °C"]);
}

#[rstest]
#[case("Pole changing, two windings", "two-speed-separate")]
#[case("polumschaltbar, getrennte Wicklungen", "two-speed-separate")]
#[case("Y/D (geschlossen)", "star-delta-closed")]
#[case("omkeerschakelaar", "direct")]
#[case("servoazionamento", "by-others")]
#[case("relè statico", "by-others")]
fn words_of_trades_name_their_method(#[case] words: &str, #[case] method: &str) {
    let text = format!("Pos;Benennung;kW;A;V;Anlauf;Länge m\nM1;Antrieb;4;8;400;{words};20\nM2;Pumpe;4;8;400;direkt;20\n");
    assert_eq!(stated(&circuits(&text)[0], "starting_method").as_str(), Some(method), "{words}");
}

/// IEC 60364-5-52, Table B.52.1: method E is that of a perforated tray.
#[rstest]
#[case("bandeja perforada", "E")]
#[case("bandeja", "C")]
#[case("bandeja no perforada", "C")]
#[case("geperforeerde kabelgoot", "E")]
#[case("canalina forata", "E")]
fn a_perforated_tray_is_one_in_every_language(#[case] words: &str, #[case] method: &str) {
    let circuit = with_column("Verlegeart", words);
    let expected = format!("reference method {method}");
    assert!(messages(&circuit, "L364").contains(&expected), "{words}: {}", messages(&circuit, "L364"));
}

/// A way that is called spare is asked once.
#[test]
fn a_spare_way_is_not_asked_for_its_duty_too() {
    let rows = circuits("Pos;Benennung;kW;A;V;Anlauf;Länge m\nM1;Reserve;4;8;400;direkt;20\nM2;Pumpe;4;8;400;direkt;20\n");
    assert!(codes(&rows[0]).contains(&"L350") && !codes(&rows[0]).contains(&"L363"), "{:?}", rows[0].findings);
}

/// IEC 60079-7: an overload relay must trip within tE; a motor of 6.4 times with 5 s is not protected by class 10.
#[rstest]
#[case("tE [s]")]
#[case("Zeit tE")]
#[case("Temps tE (s)")]
fn the_time_te_is_read(#[case] heading: &str) {
    let circuit = with_column(heading, "5");
    assert_eq!(stated(&circuit, "te_s").as_f64(), Some(5.0));
}

/// EN 81 is for lifts: a bucket elevator of a mill is none.
#[test]
fn an_elevator_of_goods_in_bulk_is_no_lift() {
    let text = "Sigla;Descrizione;Potenza kW;Corrente A;Tensione V;Avviamento;Lunghezza m\n\
        M1;Elevatore a tazze;4;8;400;diretto;20\nM2;Ascensore;4;8;400;diretto;20\n";
    let rows = circuits(text);
    assert_eq!(rows.iter().map(|row| codes(row).contains(&"L403")).collect::<Vec<_>>(), [false, true]);
}

#[rstest]
#[case("natte ruimte, IP69K", "wet")]
#[case("dak", "rooftop")]
#[case("buiten", "wet")]
fn surroundings_in_dutch_are_a_place(#[case] words: &str, #[case] place: &str) {
    let text = format!(
        "Tag;Omschrijving;kW;A;V;Aanloop;Lengte m;Omgeving\nM1;Pomp;4;8;400;DOL;20;{words}\nM2;Ventilator;4;8;400;DOL;20;machinekamer\n"
    );
    assert_eq!(stated(&circuits(&text)[0], "location").as_str(), Some(place));
}

/// Steps of a heater are contactors of their own.
#[test]
fn groups_of_a_heater_are_asked_about() {
    let text = "Pos;Benennung;kW;A;V;Anlauf;Länge m;Bemerkung\nE1;Abtauheizung;12;17;400;Schütz;20;3 Gruppen\nE2;Boiler;9;13;400;Schütz;20;2 stappen\n";
    assert!(codes(&circuits(text)[0]).contains(&"L363"));
}

/// A list of offers is read as one of loads only with a question.
#[test]
fn prices_among_the_headings_are_asked_about() {
    let design =
        design_of("Position;Bezeichnung;Leistung kW;Strom A;Spannung V;Einzelpreis EUR\n10;Heizregister;9;13;400;800,00\n", IEC);
    assert!(design.findings.iter().any(|finding| finding.code == "I491"), "{:?}", design.findings);
}

/// What stops people from being hurt, in the languages of the tables: ISO 13850, ISO 13849-1, IEC 60947-2, Annex B, IEC 60034-8 for brakes.
#[test]
fn safeguards_in_words_are_asked_about_in_every_language() {
    let asked = [
        "arrêt d'urgence",
        "paro de emergencia",
        "paragem de emergência",
        "arresto di emergenza",
        "noodstop",
        "Schutztür mit Zuhaltung PL d",
        "sécurité PLd",
        "motorfreno",
        "motore autofrenante",
        "remmotor",
        "RCD 30 mA",
        "FI 300 mA",
        "différentiel 30 mA, DDR 30",
        "interruttore differenziale",
    ];
    let innocent = ["geen noodstop", "sans arrêt d'urgence", "ohne RCD", "panel PL D", "Wi-Fi", "presión diferencial", "no RCD"];
    assert_asked("L360", "direct", &asked, &innocent);
}

/// What makes another circuit than that of a cage motor on a cable that lies still in the air. IEC 60204-1, 12.6.3, for drums; IEC
/// 60364-5-52, Table B.52.1, for the ground; IEC 60034-1 for the frequency.
#[test]
fn circuits_of_another_kind_in_words_are_asked_about() {
    let asked = [
        "Schleifringläufer",
        "slip ring motor",
        "rotor bobiné",
        "rotore avvolto",
        "anillos rozantes",
        "DC injection braking",
        "freinage par injection de courant continu",
        "Gleichstrombremsung",
        "Blindleistungskompensation am Motor 5 kvar",
        "power factor correction capacitor 5 kvar",
        "Schleppkette",
        "Trommelleitung",
        "festoon",
        "trailing cable",
        "Kabel im Erdreich 80 cm",
        "enterré",
        "enterrado",
        "buried",
        "Motor 60 Hz",
        "60 Hz",
        "grande et petite vitesse",
        "flywheel",
        "Schwungrad",
        "gemeinsames Kabel mit M2",
        "shared circuit with P-2",
        "doppio senso di marcia",
        "dual direction",
    ];
    let innocent = [
        "power via slip ring",
        "kein Schleifringläufer",
        "no DC injection braking",
        "drag chain conveyor",
        "buried tank",
        "zentrale Blindleistungskompensation",
        "underground car park fan",
        "50 Hz",
        "50/60 Hz",
        "pressure compensation",
        "floor level",
        "cable tray",
    ];
    assert_asked("L363", "direct", &asked, &innocent);
}

#[rstest]
#[case("start every 2 min", "I476", true)]
#[case("démarrage toutes les 2 min", "I476", true)]
#[case("arranque cada 5 minutos", "I476", true)]
#[case("Anlauf alle 3 Minuten", "I476", true)]
#[case("start every morning", "I476", false)]
#[case("Kondensatormotor", "I476", true)]
#[case("2 Motoren mechanisch gekuppelt", "L413", true)]
#[case("3 moteurs identiques", "L413", true)]
#[case("3 moteurs identiques", "L366", false)]
#[case("local chaufferie 50 °C", "I470", true)]
#[case("boiler room 50 °C", "I470", true)]
#[case("boiler room", "I470", false)]
#[case("Motorschutz entfällt", "L355", true)]
#[case("Gegenstrombremse", "L348", true)]
#[case("FU beigestellt", "I437", true)]
#[case("variateur fourni par le constructeur", "I437", true)]
#[case("résistance de réchauffage 40 W", "L412", true)]
#[case("stilstandverwarming", "L412", true)]
#[case("fire rated 2 h", "L354", true)]
#[case("hazardous dust", "L410", true)]
fn further_words_of_trades(#[case] note: &str, #[case] code: &str, #[case] asked: bool) {
    for circuit in noted_with("direct", &[note]) {
        assert_eq!(codes(&circuit).contains(&code), asked, "{note}: {:?}", codes(&circuit));
    }
}

/// What one column answers is asked once.
#[rstest]
#[case("60 starts/h, starts every 1 min", &["I476"])]
#[case("DC drive", &[])]
#[case("PF capacitor motor mounted", &["L363"])]
fn the_same_remark_is_asked_about_once(#[case] note: &str, #[case] expected: &[&str]) {
    for circuit in noted_with("direct", &[note]) {
        let asked: Vec<&str> = codes(&circuit).into_iter().filter(|code| ["I476", "L363", "L366"].contains(code)).collect();
        assert_eq!(asked, expected, "{note}: {:?}", circuit.findings);
    }
}
