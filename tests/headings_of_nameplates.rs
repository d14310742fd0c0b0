//! Headings of nameplates, safety, conductors of others and two speeds, as American, German and French lists have them: each is read as the
//! column that it means, and the same word of something else is not. The meanings are those of the trade (`practice`) and of the columns of
//! docs/columns.md; clauses stand beside the figures.

mod common;

use common::design_of;
use motorwright::design::Design;
use motorwright::intake::{Intake, ReadOptions, read_csv_bytes};
use motorwright::load::{Field, Load};
use rstest::rstest;

const NEC: &str = "[rules]\nbook = \"nec\"\n[supply]\nvoltage_v = 480\nfrequency_hz = 60\nphases = 3\n\
    system = \"480Y/277 4W solidly grounded\"\nprospective_fault_ka = 10\nprospective_fault_min_ka = 5\n\
    [[board]]\nname = \"M\"\n[design]\nprotection_kind = \"inverse-time\"\ninstallation_method = \"emt\"\n";
const IEC: &str = "[rules]\nbook = \"iec\"\n[supply]\nvoltage_v = 400\nphases = 3\nfrequency_hz = 50\nearthing = \"TN-S\"\n\
    prospective_fault_ka = 10\nprospective_fault_min_ka = 6\nx_over_r = 2\n[[board]]\nname = \"M\"\n";

fn read(schedule: &str) -> Intake {
    read_csv_bytes("loads.csv", schedule.as_bytes(), &ReadOptions::default()).expect("it reads")
}

/// The first row of a list with one more column.
fn with(heading: &str, cell: &str) -> Load {
    let power = if heading.to_lowercase().contains("kvar") { "" } else { "10" };
    let list = format!("Equip. No.\tDescription\tHP\tVolts\tPh\tStarter\t{heading}\nP-1\tPump\t{power}\t460\t3\tFVNR\t{cell}\n");
    read(&list).loads.into_iter().next().expect("a row")
}

fn said(design: &Design, code: &str) -> Vec<String> {
    design
        .all_findings()
        .into_iter()
        .filter(|(_, finding)| finding.code == code)
        .map(|(_, finding)| finding.what.clone())
        .collect()
}

#[rstest]
#[case("NAMEPLATE FLA", "12.6", Field::FullLoadCurrentA, "12.6")]
#[case("N.P. FLA", "12.6", Field::FullLoadCurrentA, "12.6")]
#[case("SCCR (kA)", "65", Field::EquipmentSccrKa, "65")]
#[case("SCCR", "65 kA", Field::EquipmentSccrKa, "65")]
#[case("SCCR", "5000", Field::EquipmentSccrKa, "5")]
#[case("kVAR", "5", Field::ReactivePowerKvar, "5")]
#[case("Puissance réactive (kvar)", "5", Field::ReactivePowerKvar, "5")]
#[case("Blindleistung (kvar)", "5", Field::ReactivePowerKvar, "5")]
#[case("RPM", "1750", Field::SpeedRpm, "1750")]
#[case("MOTOR RPM", "1,750", Field::SpeedRpm, "1750")]
#[case("LRA", "81", Field::LockedRotorCurrentA, "81")]
#[case("CODE LTR", "G", Field::LockedRotorCode, "G")]
#[case("Code Letter", "g", Field::LockedRotorCode, "G")]
#[case("KVA code", "Code H", Field::LockedRotorCode, "H")]
#[case("Code", "G", Field::LockedRotorCode, "G")]
#[case("Duty", "CONT", Field::Duty, "continuous")]
#[case("Duty", "30 min", Field::Duty, "short-time 30 min")]
#[case("Duty", "30 & 60 MIN", Field::Duty, "short-time 60 min")]
#[case("Duty", "INT 15 min", Field::Duty, "intermittent 15 min")]
#[case("Duty", "STANDBY", Field::Running, "standby")]
#[case("# DUTY", "2", Field::DutyCount, "2")]
#[case("SPACE HTR (W)", "120", Field::SpaceHeaterW, "120")]
#[case("Space heater (kW)", "0.12", Field::SpaceHeaterW, "120")]
#[case("Stillstandsheizung", "60", Field::SpaceHeaterW, "60")]
#[case("FT", "185", Field::CableLengthFt, "185")]
#[case("NEMA Encl.", "3R", Field::Enclosure, "3R")]
#[case("Wire size", "#10", Field::GivenConductor, "10 AWG")]
#[case("Wire (AWG)", "10", Field::GivenConductor, "10 AWG")]
#[case("CONDUCTORS", "3#10 1#12G", Field::GivenConductor, "10 AWG")]
#[case("CONDUCTORS", "3#10 1#12G", Field::GivenProtectiveConductor, "12 AWG")]
#[case("Querschnitt (mm²)", "4G2,5", Field::GivenConductor, "2.5 mm2")]
#[case("Cable csa by others (mm²)", "70", Field::GivenConductor, "70 mm2")]
#[case("BREAKER", "50A/3P", Field::GivenProtectionA, "50")]
#[case("BREAKER", "50A/3P", Field::GivenProtectionKind, "circuit-breaker")]
#[case("EGC", "#8", Field::GivenProtectiveConductor, "8 AWG")]
#[case("CONDUIT", "3/4", Field::GivenRaceway, "3/4")]
#[case("CONDUIT", "1 1/4\"C", Field::GivenRaceway, "1-1/4")]
#[case("CONDUIT", "EMT", Field::InstallationMethod, "emt")]
#[case("PL", "d", Field::SafetyLevel, "PL d")]
#[case("PLr", "PL d", Field::SafetyLevel, "PL d")]
#[case("Performance Level", "e", Field::SafetyLevel, "PL e")]
#[case("SIL", "2", Field::SafetyLevel, "SIL 2")]
#[case("Sicherheitskategorie", "3", Field::SafetyLevel, "category 3")]
#[case("E-Stop", "Cat. 1", Field::EmergencyStop, "category-1")]
#[case("NOT-HALT", "Kat. 0", Field::EmergencyStop, "category-0")]
#[case("Not-Aus", "nein", Field::EmergencyStop, "none")]
#[case("Arrêt d'urgence", "0", Field::EmergencyStop, "category-0")]
#[case("PTC", "x", Field::Thermistor, "yes")]
#[case("Kaltleiter", "3", Field::Thermistor, "3")]
#[case("Sonde CTP", "oui", Field::Thermistor, "yes")]
#[case("Bremse (W)", "40", Field::BrakeW, "40")]
#[case("Drehzahl (1/min)", "1450", Field::SpeedRpm, "1450")]
#[case("Vitesse (tr/min)", "1450", Field::SpeedRpm, "1450")]
#[case("Inertie (kg.m²)", "0.12", Field::InertiaKgm2, "0.12")]
#[case("Couple résistant", "quadratique", Field::LoadTorque, "quadratic")]
#[case("Bremsleistung (W)", "40", Field::BrakeW, "40")]
#[case("Schaltspiele", "240", Field::StartsPerHour, "240")]
#[case("Häufung", "6", Field::GroupedCircuits, "6")]
#[case("load_torque", "quadratique", Field::LoadTorque, "quadratic")]
#[case("Service/Secours", "Service", Field::Running, "duty")]
fn headings_of_the_trade_are_read(#[case] heading: &str, #[case] cell: &str, #[case] field: Field, #[case] expected: &str) {
    let load = with(heading, cell);
    let number = load.number(field).map(|number| number.to_string());
    let found = number.or_else(|| load.text(field).map(str::to_owned));
    assert_eq!(found.as_deref(), Some(expected), "{heading}: {cell}");
    assert!(!load.rejected, "{heading}: {cell}");
}

/// The same words of other things: an account, a type of fan, the head of a pump, the speed of a fan, a quantity, a type of breaker.
#[rstest]
#[case("Code", "4410-100", Field::LockedRotorCode)]
#[case("FT", "BI", Field::CableLengthFt)]
#[case("RPM", "612", Field::SpeedRpm)]
#[case("Space heater", "yes", Field::SpaceHeaterW)]
#[case("Breaker type", "MCCB", Field::GivenProtectionA)]
#[case("No. of conductors", "3", Field::GivenConductor)]
#[case("PL", "Platform 2", Field::SafetyLevel)]
#[case("Häufung", "0.8", Field::GroupedCircuits)]
#[case("Schaltspiele", "0", Field::StartsPerHour)]
#[case("Load torque", "35 Nm", Field::LoadTorque)]
#[case("Section", "2", Field::GivenConductor)]
fn the_same_words_of_other_things_are_not(#[case] heading: &str, #[case] cell: &str, #[case] field: Field) {
    let load = with(heading, cell);
    assert!(!load.has(field) && !load.rejected, "{heading}: {cell}");
}

#[test]
fn reactive_power_beside_a_shaft_power_is_no_capacitor() {
    let intake = read("Tag,kW,kVAr,Voltage (V),Starter\nP-1,11,7.4,400,DOL\n");
    assert!(!intake.loads[0].has(Field::ReactivePowerKvar));
    assert!(intake.findings.iter().any(|finding| finding.code == "I469"));
}

#[test]
fn feet_beside_the_flow_of_a_pump_are_its_head() {
    let list = "Tag,HP,GPM,FT,Volts,Ph,Starter\nP-1,10,300,90,460,3,FVNR\n";
    let load = read(list).loads.remove(0);
    assert!(!load.has(Field::CableLengthFt) && !load.has(Field::CableLengthM));
}

#[test]
fn code_letters_are_no_tags_and_the_first_number_is() {
    let list = "No.,Machine,HP,Volts,Ph,FLA,Code,Starter\nM-1,Lathe,10,460,3,13,G,FVNR\nM-2,Mill,15,460,3,19,H,FVNR\n";
    let loads = read(list).loads;
    assert_eq!([loads[0].tag(), loads[1].tag()], ["M-1", "M-2"]);
    assert_eq!(loads[1].text(Field::LockedRotorCode), Some("H"));
    assert_eq!(loads[0].text(Field::Description), Some("Lathe"));
}

/// 81 A over 13.5 A are 6.
#[test]
fn locked_rotor_amperes_over_full_load_amperes_are_the_ratio() {
    let of = |list: &str| read(list).loads.remove(0);
    let load = of("Tag,HP,Volts,Ph,FLA,LRA,Starter\nP-1,10,460,3,13.5,81,FVNR\n");
    assert_eq!(load.number(Field::LockedRotorRatio), Some(6.0));
    // With the power the rule book's own current makes the ratio; without it nothing does.
    let powered = read("Tag,HP,Volts,Ph,LRA,Starter\nP-1,10,460,3,81,FVNR\n");
    assert!(!powered.loads[0].has(Field::LockedRotorRatio) && powered.loads[0].locked_rotor_amperes() == Some(81.0));
    assert!(powered.findings.iter().all(|finding| finding.code != "I466"), "{:?}", powered.findings);
    let alone = read("Tag,MCA,Volts,Ph,LRA,Starter\nP-1,17,460,3,81,FVNR\n");
    assert!(!alone.loads[0].has(Field::LockedRotorRatio));
    assert!(alone.findings.iter().any(|finding| finding.code == "I466"));
}

/// Of a pair of speeds the higher is that of the motor, as of powers and currents; a motor of one speed has no pair.
#[rstest]
#[case("1750/875", "2S2W", Some(1750.0), false)]
#[case("720 / 1450", "2S2W", Some(1450.0), false)]
#[case("1,750", "2S2W", Some(1750.0), false)]
#[case("1750/875", "FVNR", Some(1750.0), true)]
fn the_speeds_of_a_motor_of_two(#[case] rpm: &str, #[case] method: &str, #[case] expected: Option<f64>, #[case] asked: bool) {
    let intake = read(&format!("Tag\tHP\tVolts\tPh\tRPM\tStarter\nF-1\t25/6.25\t460\t3\t{rpm}\t{method}\n"));
    assert_eq!(intake.loads[0].number(Field::SpeedRpm), expected);
    assert_eq!(intake.loads[0].number(Field::RatedPowerLowHp), Some(6.25));
    assert_eq!(intake.findings.iter().any(|finding| finding.code == "I101"), asked);
}

#[test]
fn two_speeds_have_columns_of_their_own() {
    let list = "Tag;kW HS;Low speed kW;FLC high speed (A);FLC low speed (A);Poles;Spannung (V);Starter\n\
                F-1;15;3,7;29;9;4/8;400;Dahlander\nF-2;15;3,7;29;9;4/6;400;Dahlander\nF-3;15;3,7;29;9;4/6;400;2-speed separate windings\n";
    let intake = read(list);
    let load = &intake.loads[0];
    let figures =
        [Field::RatedPowerKw, Field::RatedPowerLowKw, Field::FullLoadCurrentA, Field::FullLoadCurrentLowA, Field::Poles];
    assert_eq!(figures.map(|field| load.number(field)), [15.0, 3.7, 29.0, 9.0, 4.0].map(Some));
    assert_eq!(intake.loads[2].text(Field::StartingMethod), Some("two-speed-separate"));
    // Dahlander's winding has twice the poles at the low speed (IEC 60034-8, 4.4; `practice`).
    let rows: Vec<Option<u32>> = intake
        .findings
        .iter()
        .filter(|finding| finding.code == "I466")
        .map(|finding| finding.place.as_ref().and_then(|place| place.row))
        .collect();
    assert_eq!(rows, [Some(3)]);
}

#[test]
fn the_low_speed_in_french_is_read() {
    let list = "Repère;Puissance GV (kW);Puissance PV (kW);Tension (V);Démarrage\nV-1;15;3,7;400;Dahlander\n";
    let load = read(list).loads.remove(0);
    assert_eq!([load.number(Field::RatedPowerKw), load.number(Field::RatedPowerLowKw)], [Some(15.0), Some(3.7)]);
}

/// NFPA 70, Table 430.22(E): 150 % of the nameplate for short-time duty with a rating of 30 or 60 minutes: 13 A need 19.5 A; a motor for
/// continuous duty needs 125 %, 16.25 A.
#[test]
fn a_time_rating_alone_asks_for_no_less_than_any_duty_of_it() {
    let design = design_of("Tag,Board,HP,Volts,Ph,FLA,Starter,Duty,Length (ft)\nH-1,M,10,460,3,13,FVNR,30 min,60\n", NEC);
    let run = design.circuits[0].conductors.as_ref().expect("a run");
    assert!((run.required_a - 19.5).abs() < 1e-6, "{:?}", run.required_a);
    assert!(!said(&design, "I464").is_empty());
}

#[test]
fn a_bypass_by_its_abbreviations_is_one_and_words_that_are_not_understood_are_named() {
    for method in ["VFD W/BYP", "VFD-BP", "VFD + BYP", "VFD W/ BYPAS", "VFD W/ BYPASS"] {
        let load = read(&format!("Tag,HP,Volts,Ph,Starter\nF-1,10,460,3,{method}\n")).loads.remove(0);
        assert_eq!(load.yes(Field::Bypass), Some(true), "{method}");
    }
    let intake = read("Tag,HP,Volts,Ph,Starter\nF-1,10,460,3,VFD w/ frobnicator\n");
    let what: Vec<&str> =
        intake.findings.iter().filter(|finding| finding.code == "I463").map(|finding| finding.what.as_str()).collect();
    assert!(what.len() == 1 && what[0].contains("frobnicator"), "{what:?}");
}

/// 285 ft are 86.9 m.
#[test]
fn lengths_without_a_unit_are_in_that_of_the_book() {
    let list = "Tag,Board,HP,FLA,Volts/Ph/Hz,Starter,Length\nP-1,M,10,13,460/3/60,FVNR,285\nP-2,M,10,13,460/3/60,FVNR,100 m\n";
    let design = design_of(list, NEC);
    let length = |index: usize| design.circuits[index].conductors.as_ref().map(|run| run.length_m).unwrap_or_default();
    assert!((length(0) - 86.868).abs() < 1e-6 && (length(1) - 100.0).abs() < 1e-6, "{} {}", length(0), length(1));
    assert!(said(&design, "I449").iter().any(|what| what.contains("feet")) && said(&design, "I426").is_empty());
    let metric = design_of("Tag,Board,kW,FLC (A),Voltage (V),Starter,Length\nP-1,M,5.5,11,400,DOL,285\n", IEC);
    let run = metric.circuits[0].conductors.as_ref().map(|run| run.length_m).unwrap_or_default();
    assert!((run - 285.0).abs() < 1e-9);
}

#[test]
fn feet_that_a_heading_states_are_not_said_to_be_converted() {
    let list = "Tag,Board,HP,FLA,Volts/Ph/Hz,Starter,Length (ft)\nP-1,M,10,13,460/3/60,FVNR,285\n";
    assert!(said(&design_of(list, NEC), "I402").is_empty());
}

/// A conductor of 6 mm² carries 11 A; without a unit it is told and not refused.
#[test]
fn conductors_of_others_take_the_unit_of_their_heading_or_of_the_book() {
    let of = |heading: &str| {
        design_of(
            &format!("Tag,Board,kW,FLC (A),Voltage (V),Starter,Cable length (m),{heading}\nP-1,M,5.5,11,400,DOL,30,6\n"),
            IEC,
        )
    };
    for heading in ["Cable csa by others (mm²)", "Cable csa by others"] {
        let design = of(heading);
        assert!(said(&design, "C704").is_empty(), "{heading}: {:?}", said(&design, "C704"));
        let given = design.circuits[0].given.iter().find(|given| given.column == "given_conductor").expect("a verdict");
        assert!(given.given.contains("6 mm2"), "{given:?}");
    }
    assert_eq!(said(&of("Cable csa by others"), "I468").len(), 1);
}

#[test]
fn trade_sizes_below_conduit_leave_the_run_whole() {
    let list = "Tag,Board,HP,FLA,Volts/Ph/Hz,Starter,Length (ft),CONDUIT,CONDUCTORS,BREAKER\n\
                P-1,M,25,31,460/3/60,FVNR,120,3/4,3#8 1#10G,70A/3P\n";
    let design = design_of(list, NEC);
    let circuit = &design.circuits[0];
    assert!(circuit.conductors.is_some() && said(&design, "C601").is_empty(), "{:?}", said(&design, "C601"));
    assert!(said(&design, "C704").is_empty(), "{:?}", said(&design, "C704"));
    let columns: Vec<&str> = circuit.given.iter().map(|given| given.column.as_str()).collect();
    for column in ["given_protection_a", "given_conductor", "given_protective_conductor", "given_raceway"] {
        assert!(columns.contains(&column), "{column}: {columns:?}");
    }
}

#[test]
fn a_row_of_units_with_two_words_in_it_is_no_load() {
    let list = "Kennzeichen;Bezeichnung;Leistung;Spannung;Strom;cos phi;Länge;Starts/h;Wendebetrieb;NOT-HALT;Anlassart\n\
                ;;kW;V;A;;m;1/h;ja/nein;Kategorie;\n-M1;Band;0,55;400;1,4;0,75;20;30;ja;Kat. 0;direkt\n";
    let intake = read(list);
    assert_eq!(intake.loads.len(), 1, "{:?}", intake.findings);
    assert_eq!(intake.loads[0].tag(), "-M1");
    assert!(!intake.loads[0].rejected);
}

#[test]
fn a_unit_anywhere_in_the_heading_counts() {
    let mut options = ReadOptions::default();
    options.columns = vec![("Output kW (winter)".to_owned(), "rated_power_kw".to_owned())];
    let list = "Tag,Output kW (winter),Voltage (V),Starter\nP-1,5.5,400,DOL\n";
    let intake = read_csv_bytes("loads.csv", list.as_bytes(), &options).expect("it reads");
    assert_eq!(read("Tag,Rating kW (HS),Voltage (V),Starter\nP-1,5.5,400,DOL\n").loads[0].number(Field::RatedPowerKw), Some(5.5));
    assert_eq!(intake.loads[0].number(Field::RatedPowerKw), Some(5.5));
    assert!(!intake.findings.iter().any(|finding| finding.code == "I426"));
}

#[test]
fn a_yes_below_an_emergency_stop_is_asked_for_its_category() {
    for cell in ["ja", "NH1", "1", "0"] {
        let intake = read(&format!("Tag,kW,Voltage (V),Starter,NOT-HALT\nP-1,5.5,400,DOL,{cell}\n"));
        assert_eq!(intake.loads[0].text(Field::EmergencyStop), Some("category-0"), "{cell}");
        assert!(intake.findings.iter().any(|finding| finding.code == "I465") && !intake.loads[0].incomplete, "{cell}");
    }
}

#[rstest]
#[case("Stoppkategorie", "1", "category-1")]
#[case("Stop category", "0", "category-0")]
fn a_bare_category_counts_below_a_heading_that_says_so(#[case] heading: &str, #[case] cell: &str, #[case] category: &str) {
    let intake = read(&format!("Tag,kW,Voltage (V),Starter,{heading}\nP-1,5.5,400,DOL,{cell}\n"));
    assert_eq!(intake.loads[0].text(Field::EmergencyStop), Some(category));
    assert!(!intake.findings.iter().any(|finding| finding.code == "I465"));
}

/// Two cores, or two conductors in parallel: the cell says neither.
#[test]
fn two_times_a_section_is_not_taken_for_one_conductor() {
    let intake = read("Tag,kW,Voltage (V),Starter,given_conductor\nP-1,75,400,DOL,2x70\nP-2,5.5,400,DOL,4G2.5\n");
    assert_eq!(intake.loads[0].text(Field::GivenConductor), Some("2x70"));
    assert_eq!(intake.loads[1].text(Field::GivenConductor), Some("2.5"));
}

#[test]
fn an_apparent_power_of_a_motor_is_not_dropped_in_silence() {
    let list = "Tag,Description,kVA,FLA,Volts,Ph,Starter\nM-5,Vertical machining center,26,62,460,3,FVNR\n";
    assert!(read(list).findings.iter().any(|finding| finding.code == "I467"));
}

#[test]
fn a_spare_way_without_power_is_asked_for_that_which_it_is_equipped_for() {
    let intake = read("Tag,kW,Voltage (V),Starter,Duty/Standby\nP-1,5.5,400,DOL,duty\nP-2,,400,DOL,spare\n");
    let what: Vec<&str> =
        intake.findings.iter().filter(|finding| finding.code == "I424").map(|finding| finding.cure.as_str()).collect();
    assert!(what.iter().any(|cure| cure.contains("equipped")), "{what:?}");
}

#[test]
fn the_terminal_names_all_headings_that_are_not_read() {
    let list =
        "Tag,HP,Volts,Ph,Starter,Length (ft),Alpha,Beta,Gamma,Delta,Epsilon,Zeta,Eta\nP-1,10,460,3,FVNR,60,a,b,c,d,e,f,g\n";
    let folder = common::folder_with("loads.csv", list.as_bytes());
    std::fs::write(folder.path().join("basis.toml"), NEC).expect("a file");
    let run = common::run_in(folder.path(), &["check", "loads.csv", "--basis", "basis.toml"]);
    let text = format!("{}{}", run.stdout, run.stderr);
    for heading in ["Alpha", "Beta", "Gamma", "Delta", "Epsilon", "Zeta", "Eta"] {
        assert!(text.contains(heading), "{heading}: {text}");
    }
}
