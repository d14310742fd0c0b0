//! Machines of building services that are no three-phase cage motors on a starter: fans and pumps with electronics of their own, small
//! single-phase motors, brakes at direct current.

mod common;

use common::design_of;
use motorwright::design::Circuit;
use motorwright::finding::Severity;
use rstest::rstest;

const BASIS: &str = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nphases = 3\nfrequency_hz = 50\nearthing = \"TN-S\"\n\
    prospective_fault_ka = 10\nprospective_fault_min_ka = 6\nx_over_r = 3\n";
const HEADINGS: &str = "Pos.;Benennung;Nennleistung [kW];Spannung [V];Nennstrom [A];Anlaufart;Kabellänge [m];Bemerkung";

fn circuit(row: &str, more: &str) -> Circuit {
    design_of(&format!("{HEADINGS}\n{row}\n"), &format!("{BASIS}{more}")).circuits.remove(0)
}

fn codes(circuit: &Circuit) -> Vec<&str> {
    circuit.findings.iter().map(|finding| finding.code.as_str()).collect()
}

fn told<'c>(circuit: &'c Circuit, code: &str) -> &'c str {
    circuit.findings.iter().find(|finding| finding.code == code).map_or("", |finding| &finding.what)
}

/// A motor behind electronics of its own draws what its nameplate says; guide values of IEC 60947-4-1, Annex G are those of cage motors.
#[rstest]
#[case("RLT-1;Zuluftventilator EC;5,5;400;8,4;feeder;42;")]
#[case("RLT-1;Zuluftventilator;5,5;400;8,4;feeder;42;EC-Motor, integrierte Elektronik")]
#[case("RLT-1;Zuluftventilator;5,5;400;8,4;EC;42;")]
#[case("RLT-1;Umwälzpumpe;5,5;400;8,4;feeder;42;mit integriertem FU")]
fn a_fan_with_electronics_of_its_own_is_no_cage_motor(#[case] row: &str) {
    let circuit = circuit(row, "");
    assert_eq!(circuit.load.kind, "other", "{:?}", circuit.findings);
    assert!((circuit.currents.full_load_a - 8.4).abs() < 1e-9);
    assert!(told(&circuit, "I447").contains("electronics"), "{:?}", circuit.findings);
    for code in ["R102", "C209", "C208", "I422"] {
        assert!(!codes(&circuit).contains(&code), "{code}: {:?}", circuit.findings);
    }
    let warned: Vec<&str> = circuit
        .findings
        .iter()
        .filter(|finding| finding.severity == Severity::Warning)
        .map(|finding| finding.code.as_str())
        .collect();
    assert!(warned.is_empty(), "{warned:?}: {:?}", circuit.findings);
}

/// Without a current nothing but the tables of cage motors tells one: it stays a motor.
#[test]
fn without_a_current_it_stays_a_motor() {
    assert_eq!(circuit("RLT-1;Zuluftventilator EC;5,5;400;;feeder;42;", "").load.kind, "motor");
}

/// What is assumed of three-phase motors is no measure of a wet-rotor or a shaded-pole motor: 750 W at 230 V are at least 3.26 A.
#[rstest]
#[case("HZP-01;Heizkreispumpe (Nassläufer);0,75;230;3,4;Direkt;28;")]
#[case("WC-1;WC-Abluft;0,18;230;1,4;Direkt;25;Spaltpol")]
fn a_small_single_phase_motor_is_not_doubted_from_assumptions(#[case] row: &str) {
    let circuit = circuit(row, "");
    for code in ["C208", "R106"] {
        assert!(!codes(&circuit).contains(&code), "{code}: {:?}", circuit.findings);
    }
}

/// 2 A at 230 V are 460 W: no single-phase motor of 750 W draws so little, whatever its efficiency.
#[test]
fn a_current_below_power_over_voltage_is_doubted_all_the_same() {
    let circuit = circuit("HZP-01;Heizkreispumpe (Nassläufer);0,75;230;2;Direkt;28;", "");
    assert!(codes(&circuit).contains(&"R106"), "{:?}", circuit.findings);
}

const BRAKED: &str = "Pos.;Benennung;Nennleistung [kW];Spannung [V];Nennstrom [A];Anlaufart;Kabellänge [m];brake_w;Bemerkung";

fn braked(note: &str, more: &str) -> Circuit {
    let row = format!("M-1;Hubwerk;2,2;400;4,9;Direkt;22;120;{note}");
    design_of(&format!("{BRAKED}\n{row}\n"), &format!("{BASIS}{more}")).circuits.remove(0)
}

const CONTROL_DC: &str = "[control]\nvoltage = \"24 V DC\"\n";

/// P over U: 120 W are 5 A at 24 V and 0.52 A at 230 V.
#[test]
fn a_brake_is_spoken_of_at_its_voltage() {
    let cure = |circuit: &Circuit| {
        circuit.findings.iter().find(|finding| finding.code == "C532").map(|finding| finding.cure.clone()).unwrap_or_default()
    };
    let named = braked("Bremse 24 V DC", "");
    assert!(told(&named, "C515").contains("5 A at 24 V DC") && !told(&named, "C515").contains("230"), "{:?}", named.findings);
    assert!(cure(&named).contains("5 A at 24 V DC") && !cure(&named).contains("neutral"), "{}", cure(&named));
    let of_control = braked("", CONTROL_DC);
    let what = told(&of_control, "C515");
    assert!(what.contains("5 A at 24 V DC or 0.52 A at 230 V"), "{:?}", of_control.findings);
    let mains = braked("Bremse 230 V", CONTROL_DC);
    assert!(!codes(&mains).contains(&"C515") && cure(&mains).contains("0.52 A at 230 V"), "{:?}", mains.findings);
    assert!(!codes(&braked("", "")).contains(&"C515"));
    // The voltage beside the word for the machine is the machine's; a sign or a word of direct current is enough, and of two figures both
    // are told. 120 W are 0.67 A at 180 V and 0.3 A at 400 V.
    let machine = braked("Bremsmotor 400 V, Bremse 24 V DC", "");
    assert!(told(&machine, "C515").contains("5 A at 24 V DC") && !cure(&machine).contains("400 V"), "{:?}", machine.findings);
    assert!(told(&braked("Bremsmotor 400 V", CONTROL_DC), "C515").contains("5 A at 24 V DC or 0.52 A at 230 V"));
    assert!(told(&braked("Bremse 180 V=", ""), "C515").contains("0.67 A at 180 V DC"));
    let unnamed = braked("brake coil 120 W DC", "");
    assert!(told(&unnamed, "C515").contains("a voltage that is not named"), "{:?}", unnamed.findings);
    let either = braked("brake 230/400 V", "");
    assert!(cure(&either).contains("0.52 A at 230 V or 0.3 A at 400 V"), "{}", cure(&either));
}

/// A text whose numbers all have a decimal comma: 1.100 is one thousand one hundred there. Elsewhere it is asked, and the cure does not
/// repeat what was refused.
#[test]
fn a_point_between_thousands_is_read_where_all_decimals_are_commas() {
    let row = |power: &str, current: &str| design_of(&format!("{HEADINGS}\nP-1;Pumpe;{power};400;{current};Direkt;20;\n"), BASIS);
    let read = row("1.100 W", "2,7").circuits.remove(0);
    assert_eq!(read.load.rated_power_kw, Some(1.1), "{:?}", read.findings);
    let asked = row("1.100 W", "2.7");
    let told: Vec<_> = asked.findings.iter().chain(asked.circuits.iter().flat_map(|circuit| &circuit.findings)).collect();
    let told = told.iter().find(|finding| finding.code == "I421").expect("it is asked");
    assert!(told.cure.contains("1.1 W") && told.cure.contains("1100 W") && !told.cure.contains("1.100"), "{}", told.cure);
}

/// Numbers of ways and remarks are no figures: they say nothing of the mark of decimals, so that 1.250 is asked and not taken for 1250 m.
#[test]
fn numbers_of_ways_part_no_thousands() {
    let text = "Tag,Description,kW,Starter,Ways,Length (m),Notes\nP-1,Pump,11,DOL,\"1,3\",20,\nP-2,Pump,15,DOL,\"2,4\",1.250,\"see 3,4\"\n";
    let design = design_of(text, BASIS);
    let told = |code: &str| {
        let of_circuits = design.circuits.iter().flat_map(|circuit| &circuit.findings);
        of_circuits.chain(&design.findings).any(|finding| finding.code == code)
    };
    assert!(told("I421") && !told("I403"), "{:?}", design.findings);
}

/// A remark takes away no proof: beside 5,5 the power 2,125 is one of decimals, whatever a note says.
#[test]
fn a_remark_has_no_say_in_the_decimal_mark() {
    let text = "Tag;Description;kW;Starter;Length m;Notes\nP-1;Pump;5,5;DOL;20;1.5\nP-2;Pump;2,125;DOL;20;\n";
    let design = design_of(text, BASIS);
    assert_eq!(design.circuits[1].load.rated_power_kw, Some(2.125), "{:?}", design.circuits[1].findings);
}

/// A drive starts its motor; the contactor before it stays closed meanwhile, so that it neither wears nor contradicts continuous duty.
#[test]
fn sixty_starts_an_hour_on_a_drive_wear_no_contactor() {
    let of = |method: &str| {
        let headings =
            "tag,description,rated_power_kw,voltage_v,full_load_current_a,starting_method,cable_length_m,duty,starts_per_hour";
        design_of(&format!("{headings}\nM-1,Divider,3,400,6.4,{method},25,S1,60\n"), BASIS).circuits.remove(0)
    };
    let drive = of("drive");
    for code in ["L326", "C212", "C213"] {
        assert!(!codes(&drive).contains(&code), "{code}: {:?}", drive.findings);
    }
    assert!(codes(&of("direct")).contains(&"L326"));
}

/// The cure names the word of the sender's language.
#[rstest]
#[case("Stern-Dreiek", "Stern-Dreieck")]
#[case("Einspeisng", "Einspeisung")]
#[case("Versorgng", "Einspeisung")]
fn an_unknown_method_is_answered_in_its_language(#[case] method: &str, #[case] known: &str) {
    let circuit = circuit(&format!("P-1;Pumpe;5,5;400;10,5;{method};20;"), "");
    let told = circuit.findings.iter().find(|finding| finding.code == "I422").expect("it is not understood");
    assert!(told.cure.to_lowercase().contains(&known.to_lowercase()), "{}", told.cure);
}

/// A basis serves several lists: a heading that this one has not is told, and the list is read.
#[test]
fn a_heading_of_the_basis_that_is_not_in_this_list_is_a_warning() {
    let basis = format!("{BASIS}[columns]\n\"Aanloopmethode\" = \"starting_method\"\n");
    let design = design_of(&format!("{HEADINGS}\nP-1;Pumpe;5,5;400;10,5;Direkt;20;\n"), &basis);
    let told = design.findings.iter().find(|finding| finding.code == "F103").expect("it is told");
    assert!(told.severity == Severity::Warning && told.what.contains("`Aanloopmethode`"), "{}", told.what);
    assert_eq!(design.circuits.len(), 1);
    // Of a column that is to be left out nothing is missed.
    let left_out = format!("{BASIS}[columns]\n\"Bestelnummer\" = \"\"\n");
    let design = design_of(&format!("{HEADINGS}\nP-1;Pumpe;5,5;400;10,5;Direkt;20;\n"), &left_out);
    assert!(design.findings.iter().all(|finding| finding.code != "F103"), "{:?}", design.findings);
}

/// A bar over three breakers is used by three circuits, and waits as long as one of them does.
#[test]
fn a_commoning_bar_is_used_by_all_that_stand_under_it() {
    let headings = "tag,description,board,rated_power_kw,voltage_v,full_load_current_a,efficiency_pct,power_factor,poles,locked_rotor_ratio,\
        start_time_s,starting_method,cable_length_m,protection_kind";
    let row = |tag: &str, length: &str| format!("{tag},Pump,D,1.1,400,2.5,84,0.8,4,6,1,direct,{length},motor-breaker\n");
    let design = design_of(&format!("{headings}\n{}{}{}", row("P-1", "20"), row("P-2", "20"), row("P-3", "")), BASIS);
    let bars: Vec<_> =
        design.circuits.iter().flat_map(|circuit| &circuit.accessories).filter(|part| part.kind == "commoning-bar").collect();
    let [bar] = bars.as_slice() else { panic!("one bar: {bars:?}") };
    let served: Vec<&str> = bar.serves.split(", ").collect();
    assert!(served.len() > 1, "{served:?}");
    let line = design.purchase.iter().find(|line| line.part == bar.part).expect("it is bought");
    assert_eq!(line.used_by, served);
    if served.contains(&"P-3") {
        assert!(line.held_quantity > 0.0 && line.held_because.contains("P-3"), "{line:?}");
    }
    assert!(design.findings.iter().all(|finding| !finding.code.starts_with('V')), "{:?}", design.findings);
}

/// 6.3 A on a dial in steps stands below; the sheet of settings says so. The summary and the submittal name the columns that were not read.
#[test]
fn what_is_rounded_and_what_is_not_read_is_said() {
    let folder = common::folder_with("loads.csv", b"tag,description,rated_power_kw,voltage_v,full_load_current_a,starting_method,cable_length_m,Farbe\nP-1,Pump,3,400,6.33,direct,20,rot\n");
    std::fs::write(folder.path().join("basis.toml"), BASIS).expect("a file");
    let run = common::run_in(folder.path(), &["size", "loads.csv", "--basis", "basis.toml", "--out", "out"]);
    assert!(run.stdout.contains("columns that were not read: Farbe\n"), "{} {}", run.stdout, run.stderr);
    let page = std::fs::read_to_string(folder.path().join("out/submittal.html")).expect("a page");
    assert!(page.contains("Columns of the schedule that were not read: Farbe."));
}

/// One figure with a decimal comma does not make thousands of many others: they are asked about. More commas than such points tell.
#[rstest]
#[case::one_slip("12,5", &["30", "40"], true)]
#[case::as_many("12,5", &["30,5", "40,5"], false)]
fn one_decimal_comma_does_not_decide_a_list(#[case] first: &str, #[case] others: &[&str], #[case] asked: bool) {
    let powers = ["1.100", "2.200", "5.500"];
    let lengths = std::iter::once(&first).chain(others);
    let rows: String =
        powers.iter().zip(lengths).map(|(power, length)| format!("P-{power};Pumpe;{power};400;{length}\n")).collect();
    let text = format!("Tag;Bezeichnung;Leistung W;Spannung V;Länge m\n{rows}");
    let read = motorwright::intake::read_csv_bytes("a.csv", text.as_bytes(), &Default::default()).expect("it reads");
    assert_eq!(
        read.findings.iter().filter(|finding| finding.code == "I421").count(),
        if asked { 3 } else { 0 },
        "{:?}",
        read.findings
    );
}
