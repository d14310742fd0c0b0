//! Facts that a schedule says in words and in no column: motors with rules of their own, explosive atmospheres, the voltage of the system
//! behind motors, and the rating of starters that are operated by hand. Each is asked about or shown, in designs of whole schedules.

mod common;

use common::design_of;
use motorwright::design::{Check, Circuit, Design, Status};
use rstest::rstest;

const NEC: &str = "[rules]\nbook = \"nec\"\n[supply]\nvoltage_v = 480\nphases = 3\nfrequency_hz = 60\n\
    system = \"480Y/277 4W solidly grounded\"\nprospective_fault_ka = 22\nprospective_fault_min_ka = 15\nx_over_r = 4\n";
const IEC: &str = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nphases = 3\nfrequency_hz = 50\nearthing = \"TN-S\"\n\
    prospective_fault_ka = 20\nprospective_fault_min_ka = 12\nx_over_r = 3\n";

/// A motor of 10 hp or 5.5 kW with what is added to its row.
fn motor(book: &str, more: &[(&str, &str)]) -> Circuit {
    let nec = [("rated_power_hp", "10"), ("voltage_v", "460"), ("full_load_current_a", "13"), ("cable_length_ft", "60")];
    let iec = [("rated_power_kw", "5.5"), ("voltage_v", "400"), ("full_load_current_a", "10.5"), ("cable_length_m", "20")];
    let (usual, basis) = if book == "nec" { (nec, NEC) } else { (iec, IEC) };
    let usual = [("tag", "M-1"), ("load_kind", "motor"), ("phases", "3"), ("starting_method", "direct")].into_iter().chain(usual);
    let cells: Vec<(&str, &str)> =
        usual.filter(|(name, _)| more.iter().all(|(other, _)| other != name)).chain(more.iter().copied()).collect();
    let quoted = |text: &str| format!("\"{text}\"");
    let line = |of: &dyn Fn(&(&str, &str)) -> String| cells.iter().map(of).collect::<Vec<_>>().join(",");
    let text = format!("{}\n{}\n", line(&|cell| quoted(cell.0)), line(&|cell| quoted(cell.1)));
    design_of(&text, basis).circuits.remove(0)
}

fn codes(circuit: &Circuit) -> Vec<&str> {
    circuit.findings.iter().map(|finding| finding.code.as_str()).collect()
}

fn asked(circuit: &Circuit) -> Vec<&str> {
    codes(circuit).into_iter().filter(|code| matches!(*code, "L403" | "L405" | "L410" | "L411" | "I438")).collect()
}

/// NFPA 70, 440.1, 440.4, 440.22(A) and 440.32: hermetic refrigerant motor-compressors go by rated-load and branch-circuit selection
/// current. A compressor for air, a canned pump and a pump of chilled water are ordinary motors.
#[rstest]
#[case("Semi-hermetic compressor, RLA 48 A, BCSC 52 A", true)]
#[case("Hermetic motor-compressor, RLA 36 A", true)]
#[case("HERMETIC SCROLL COMPRESSOR", true)]
#[case("Refrigeration compressor 2", true)]
#[case("Chiller CH-1, compressor 2", true)]
#[case("Rated-load current 36 A", true)]
#[case("Air compressor", false)]
#[case("Instrument air compressor, motor 2", false)]
#[case("Motor, compressor 2", false)]
#[case("Hermetically sealed canned pump", false)]
#[case("Chilled water pump", false)]
fn a_hermetic_compressor_given_as_a_motor_is_never_called_sized(#[case] description: &str, #[case] is_one: bool) {
    let circuit = motor("nec", &[("description", description)]);
    assert_eq!(asked(&circuit).contains(&"L411"), is_one, "{:?}", circuit.findings);
    if is_one {
        let finding = circuit.findings.iter().find(|finding| finding.code == "L411").expect("it is asked");
        assert!(finding.reference.contains("440.22(A)") && finding.cure.contains("packaged"), "{finding:?}");
        assert_eq!(circuit.status, Status::NeedsDecision);
        let answered = motor("nec", &[("description", description), ("service_class", "general")]);
        assert_eq!(asked(&answered), Vec::<&str>::new());
    }
    // IEC 60947-4-1 has AC-8 for such compressors, whose makes and breaks are lighter than those of AC-3: nothing special.
    assert!(!asked(&motor("iec", &[("description", description)])).contains(&"L411"));
}

/// 440.4(B), 440.22(B): the same compressor with its marked circuit ampacity and largest device is covered.
#[test]
fn a_compressor_with_its_markings_is_packaged_equipment_and_not_asked_about() {
    let marked = [
        ("description", "Semi-hermetic compressor, RLA 36 A"),
        ("load_kind", "packaged"),
        ("rated_power_hp", ""),
        ("full_load_current_a", ""),
        ("starting_method", "feeder"),
        ("minimum_circuit_ampacity_a", "45"),
        ("maximum_protection_a", "80"),
    ];
    let circuit = motor("nec", &marked);
    assert_eq!(asked(&circuit), Vec::<&str>::new());
    assert!(circuit.protection.as_ref().is_some_and(|protection| protection.rating_a <= 80.0), "{:?}", circuit.protection);
}

/// NFPA 70, 430.6(B): torque motors go by their locked-rotor current; Table 430.250 has columns of its own for synchronous motors.
#[rstest]
#[case("nec", "Torque motor, locked-rotor current 18 A", true)]
#[case("nec", "Winder, torque motors", true)]
#[case("nec", "Synchronous motor 200 hp", true)]
#[case("nec", "High-torque motor, design D", false)]
#[case("nec", "Asynchronous motor", false)]
#[case("nec", "Motor, synchronous speed 1800 rpm", false)]
#[case("nec", "Fan with synchronous belt", false)]
#[case("iec", "Torque motor", true)]
#[case("iec", "Synchronous motor", false)]
#[case("iec", "High torque motor", false)]
fn a_motor_with_rules_of_its_own_is_asked_about_by_its_name(#[case] book: &str, #[case] description: &str, #[case] is_one: bool) {
    let circuit = motor(book, &[("description", description)]);
    assert_eq!(asked(&circuit), if is_one { vec!["L411"] } else { vec![] }, "{description}");
    assert!(!is_one || circuit.status == Status::NeedsDecision);
    // A remark of the sender counts as much.
    let remarked = motor(book, &[("description", "Drive of the winder"), ("notes", description)]);
    assert_eq!(asked(&remarked), asked(&circuit));
}

#[rstest]
#[case("Solvent pump, Class I Division 1 Group D, explosion-proof motor", true)]
#[case("Transfer pump, Zone 1 IIB T3", true)]
#[case("Agitator, ATEX", true)]
#[case("Pump motor Ex d", true)]
#[case("EExd motor", true)]
#[case("AHU-2 supply fan, zone 1", false)]
#[case("Class I wiring", false)]
#[case("Exhaust fan, non-hazardous area", false)]
fn a_description_that_suggests_an_explosive_atmosphere_asks(#[case] description: &str, #[case] is_one: bool) {
    for (book, document) in [("nec", "Articles 500"), ("iec", "IEC 60079-14")] {
        let circuit = motor(book, &[("description", description)]);
        assert_eq!(asked(&circuit), if is_one { vec!["L410"] } else { vec![] }, "{book}: {description}");
        if is_one {
            assert!(circuit.findings.iter().any(|finding| finding.code == "L410" && finding.reference.contains(document)));
            assert_eq!(circuit.status, Status::NeedsDecision);
            // A motor indoors may still stand in one; only the marking answers.
            assert_eq!(asked(&motor(book, &[("description", description), ("environment", "normal")])), ["L410"]);
            assert_eq!(asked(&motor(book, &[("description", description), ("ex_marking", "none")])), Vec::<&str>::new());
            assert_eq!(asked(&motor(book, &[("description", description), ("environment", "hazardous")])), ["L405"]);
        }
    }
}

/// A column whose heading asks for hazardous locations is read as the marking, whatever words stand in it.
#[rstest]
#[case("Hazardous area", "Zone 1", true)]
#[case("Hazardous Area", "Class I, Div. 2", true)]
#[case("AREA CLASSIFICATION", "yes", true)]
#[case("Ex-Zone", "2", true)]
#[case("CLASSIFICATION", "CLASS I DIV 2", true)]
#[case("Haz. Area", "TBC", true)]
#[case("Hazardous area", "safe", false)]
#[case("Hazardous area", "-", false)]
#[case("Hazardous area", "non-hazardous", false)]
#[case("Hazardous area", "N/A", false)]
#[case("Hazardous area", "No", false)]
#[case("CLASSIFICATION", "IE3", false)]
#[case("Environment", "Class I Division 2", true)]
#[case("environment", "Zone 21", true)]
fn a_column_of_hazardous_areas_is_read(#[case] heading: &str, #[case] cell: &str, #[case] is_one: bool) {
    for book in ["nec", "iec"] {
        let circuit = motor(book, &[("description", "Pump"), (heading, cell)]);
        assert_eq!(asked(&circuit), if is_one { vec!["L405"] } else { vec![] }, "{book}: {heading} {cell}");
    }
}

/// Zone of the place and marking of the motor stand in two columns at times: either says enough, and they do not contradict each other.
#[test]
fn zone_and_marking_in_two_columns_say_one_thing() {
    let of = |zone: &str, marking: &str| {
        let text = format!(
            "Tag,Description,Panel,HP,Voltage,Phase,FLA,Starter,Length (ft),Hazardous Area,Ex Protection\n\
             M-1,Pump,MCC-1,10,460,3,13,FVNR,60,{zone},{marking}\nM-2,Fan,MCC-1,5,460,3,6.6,FVNR,60,safe,none\n"
        );
        let mut circuits = design_of(&text, NEC).circuits;
        let second = circuits.pop().expect("two rows");
        assert_eq!(asked(&second), Vec::<&str>::new());
        circuits.pop().expect("a row")
    };
    for (zone, marking) in [("Zone 1", "Ex d IIC T4"), ("Zone 1", ""), ("safe", "Ex d"), ("", "Ex e")] {
        let circuit = of(zone, marking);
        assert_eq!(asked(&circuit), ["L405"], "{zone} {marking}");
        assert_eq!(circuit.status, Status::NeedsDecision);
    }
    assert_eq!(asked(&of("", "")), Vec::<&str>::new());
}

/// A text in a column that nobody reads is carried through; where it may mean an explosive atmosphere, the row waits.
#[test]
fn a_column_that_is_not_read_and_may_mean_a_hazardous_location_is_told_at_its_rows() {
    let of = |cell: &str| motor("nec", &[("description", "Pump"), ("Building part", cell)]);
    let circuit = of("Class I Div 2, Group D");
    assert_eq!(asked(&circuit), ["I438"]);
    assert_eq!(circuit.status, Status::NeedsDecision);
    assert_eq!(asked(&of("Zone 2")), Vec::<&str>::new());
    let by_heading = |cell: &str| motor("nec", &[("description", "Pump"), ("Hazard rating of room", cell)]);
    assert_eq!(asked(&by_heading("H-3")), ["I438"]);
    assert_eq!(asked(&by_heading("none")), Vec::<&str>::new());
    assert_eq!(asked(&motor("nec", &[("Building part", "Zone 1 gas group IIA"), ("ex_marking", "none")])), Vec::<&str>::new());
}

fn without_basis(rows: &str) -> Design {
    let head = "tag,load_kind,board,rated_power_hp,voltage_v,phases,full_load_current_a,starting_method,cable_length_ft";
    design_of(&format!("{head}\n{rows}\n"), "[rules]\nbook = \"nec\"\n")
}

/// ANSI C84.1: motors are rated 115, 200, 230, 460 and 575 V on systems of nominally 120, 208, 240, 480 and 600 V (NFPA 70, 220.5(A)).
#[rstest]
#[case("200", 208.0)]
#[case("230", 240.0)]
#[case("460", 480.0)]
#[case("575", 600.0)]
#[case("480", 480.0)]
fn behind_the_rated_voltage_of_motors_stands_the_nominal_system(#[case] rated: &str, #[case] system: f64) {
    let design = without_basis(&format!("M-1,motor,MCC-1,5,{rated},3,,direct,60"));
    let circuit = &design.circuits[0];
    assert!(!codes(circuit).contains(&"C409"), "{:?}", circuit.findings);
    let supply = circuit.control.as_ref().and_then(|control| control.supply.as_ref()).expect("a control transformer");
    assert!((supply.primary_v - system).abs() < 1e-9, "{}", supply.primary_v);
    assert!((design.boards[0].voltage_v - system).abs() < 1e-9);
    let told =
        design.boards[0].findings.iter().any(|finding| finding.code == "B107" && finding.what.contains(&format!("{system} V")));
    assert_eq!(told, rated != "480", "{:?}", design.boards[0].findings);
    // The motor's own figures stay at its rated voltage.
    assert_eq!(circuit.load.voltage_v.map(|volts| volts.to_string()).as_deref(), Some(rated));
}

#[test]
fn a_stated_voltage_stays_as_it_is_stated() {
    let head = "tag,load_kind,board,rated_power_hp,voltage_v,phases,starting_method,cable_length_ft";
    let text = format!("{head}\nM-1,motor,MCC-1,5,460,3,direct,60\n");
    let design = design_of(&text, "[rules]\nbook = \"nec\"\n[supply]\nvoltage_v = 460\n");
    let told =
        design.circuits[0].findings.iter().find(|finding| finding.code == "C409").expect("no transformer is made for 460 V");
    assert!(told.cure.contains("480 V"), "{}", told.cure);
    assert!((design.boards[0].voltage_v - 460.0).abs() < 1e-9);
    assert!(design.boards[0].findings.iter().all(|finding| finding.code != "B107"));
}

fn horsepower(circuit: &Circuit) -> Option<&Check> {
    circuit.checks.iter().find(|check| check.name == "contactor-horsepower")
}

/// NFPA 70, 430.83(A): the horsepower rating of a controller is not below that of the motor, whether a coil or a hand works it. 1 hp at
/// 115 V is 16 A (Table 430.248), 10 hp at 460 V 14 A (Table 430.250).
#[rstest]
#[case("1", "115", "1", "16")]
#[case("10", "460", "3", "14")]
#[case("0.25", "460", "3", "0.8")]
fn a_starter_operated_by_hand_is_held_against_the_horsepower(
    #[case] hp: &str,
    #[case] volts: &str,
    #[case] phases: &str,
    #[case] amperes: &str,
) {
    let design = without_basis(&format!("EF-1,motor,MCC-1,{hp},{volts},{phases},{amperes},manual,60"));
    let circuit = &design.circuits[0];
    let check = horsepower(circuit).unwrap_or_else(|| panic!("no check: {:?}", circuit.checks));
    assert_eq!(check.value.map(|hp| hp.to_string()).as_deref(), Some(hp));
    assert!(check.passed == Some(true) && check.reference.contains("430.83(A)"), "{check:?}");
}

/// A motor marked in amperes below what its horsepower draws by the table: a starter whose dial holds the amperes and whose rating is
/// below the horsepower is passed over. 15 hp at 460 V are 21 A; GEN-MS-16, invented, is for 10 hp, as 14 A fit its range and 21 do not.
#[test]
fn a_hand_operated_starter_below_the_horsepower_is_not_chosen() {
    let design = without_basis("EF-1,motor,MCC-1,15,460,3,15.5,manual,60");
    let circuit = &design.circuits[0];
    let relay = circuit.overload.as_ref().map(|overload| overload.part.clone()).unwrap_or_default();
    assert_ne!(relay, "GEN-MS-16");
    assert!(horsepower(circuit).is_none_or(|check| check.passed == Some(true)), "{:?}", circuit.checks);
}

/// The trial of a design holds hand-operated starters against the horsepower too, and misses the check where it is gone.
#[test]
fn the_trial_of_a_design_sees_a_hand_operated_starter_below_the_horsepower() {
    let design = without_basis("EF-1,motor,MCC-1,15,460,3,15.5,manual,60");
    let tried = |edit: &dyn Fn(&mut Circuit)| {
        let mut wrong = design.circuits.clone();
        wrong.iter_mut().for_each(edit);
        let book = motorwright::rules::book("nec", None).expect("a book");
        let range = motorwright::catalogue::builtin("nec");
        let verifier = motorwright::verify::Verifier::new(&design.basis, book, range, &wrong);
        let said: Vec<String> =
            verifier.circuit(&wrong[0]).iter().map(|finding| format!("{} {}", finding.code, finding.what)).collect();
        said
    };
    assert_eq!(tried(&|_| {}), Vec::<String>::new());
    let smaller = tried(&|circuit| {
        circuit.overloads.iter_mut().chain(&mut circuit.overload).for_each(|relay| {
            relay.part = "GEN-MS-16".to_owned();
            relay.range_a = [9.0, 16.0];
        });
    });
    assert!(smaller.iter().any(|words| words.starts_with("V302") && words.contains("15 hp")), "{smaller:?}");
    let silent = tried(&|circuit| circuit.checks.retain(|check| check.name != "contactor-horsepower"));
    assert!(silent.iter().any(|silent| silent.starts_with("V802") && silent.contains("contactor-horsepower")), "{silent:?}");
}

/// A column of places says where loads stand: beside a description one roof among rooms is enough; where nothing else describes the loads
/// and the texts name them, they are the description, and a fire pump stays one (EN 12845).
#[rstest]
#[case("Tag,Location,kW,V", &["Roof exhaust fan", "Fire pump", "Sump pump"], "description")]
#[case("Tag,Location,kW,V", &["Plant room 2", "Roof", "Plant room 1"], "description")]
#[case("Tag,Location,kW,V", &["Roof", "Outdoors", "Roof"], "location")]
#[case("Tag,Ort,kW,V", &["Dachventilator", "Feuerlöschpumpe", "Pumpe"], "description")]
fn a_column_of_places_is_told_by_its_cells(#[case] headings: &str, #[case] texts: &[&str], #[case] field: &str) {
    let intake = read(headings, texts);
    assert_eq!(intake.mappings[1].field.map(|field| field.spec().name), Some(field));
}

#[rstest]
#[case(&["Plant room 2", "Roof", "Plant room 1"], Some("location"))]
#[case(&["Roof exhaust fan", "Fire pump", "Sump pump"], None)]
fn beside_a_description_one_roof_is_enough(#[case] texts: &[&str], #[case] field: Option<&str>) {
    let texts: Vec<String> = texts.iter().map(|text| format!("Fan,{text}")).collect();
    let intake = read("Tag,Description,Location,kW,V", &texts.iter().map(String::as_str).collect::<Vec<_>>());
    assert_eq!(intake.mappings[2].field.map(|field| field.spec().name), field);
}

fn read(headings: &str, texts: &[&str]) -> motorwright::intake::Intake {
    let row = |(at, text): (usize, &&str)| format!("M-{at},{text},4,400\n");
    let rows: String = texts.iter().enumerate().map(row).collect();
    let text = format!("{headings}\n{rows}");
    motorwright::intake::read_csv_bytes("a.csv", text.as_bytes(), &motorwright::intake::ReadOptions::default()).expect("it reads")
}
