//! Two columns of one field: in two units, one of them empty, or with values that differ. Expected values are arithmetic of units.

use motorwright::intake::{self, Intake, Mapping, ReadOptions};
use motorwright::load::{Field, Load};

fn csv(text: &str) -> Intake {
    intake::read_csv_bytes("loads.csv", text.as_bytes(), &ReadOptions::default()).expect("it reads")
}

fn codes(intake: &Intake) -> Vec<&str> {
    let told = intake.findings.iter().filter(|finding| finding.severity != motorwright::finding::Severity::Note);
    told.map(|finding| finding.code.as_str()).collect()
}

fn lines(intake: &Intake) -> Vec<String> {
    intake.mappings.iter().map(Mapping::line).collect()
}

fn length_m(load: &Load) -> Option<f64> {
    load.number(Field::CableLengthM).or_else(|| load.number(Field::CableLengthFt).map(|feet| feet * 0.3048))
}

/// A form with a column for each unit, of which one is filled: its figures are in its own unit.
#[rstest::rstest]
#[case::metres("Cable length (ft),Cable length (m)", ",300", Field::CableLengthM, 300.0)]
#[case::feet("Cable length (m),Cable length (ft)", ",300", Field::CableLengthFt, 300.0)]
#[case::celsius("Ambient (°F),Ambient (°C)", ",50", Field::AmbientC, 50.0)]
// (122 − 32) / 1.8
#[case::fahrenheit("Ambient (°C),Ambient (°F)", ",122", Field::AmbientC, 50.0)]
#[case::volts("Voltage (kV),Voltage (V)", ",400", Field::VoltageV, 400.0)]
#[case::kilovolts("Voltage (V),Voltage (kV)", ",0.4", Field::VoltageV, 400.0)]
#[case::kilowatts("Motor power (W),Motor power (kW)", ",55", Field::RatedPowerKw, 55.0)]
#[case::watts("Motor power (kW),Motor power (W)", ",5500", Field::RatedPowerKw, 5.5)]
fn an_empty_column_lends_its_unit_to_no_other(
    #[case] headings: &str,
    #[case] cells: &str,
    #[case] field: Field,
    #[case] value: f64,
) {
    let intake = csv(&format!("Tag,Description,Starter,{headings}\nP-1,Pump,DOL,{cells}\n"));
    let read = intake.loads[0].number(field).expect("a figure");
    assert!((read - value).abs() < 1e-9, "{read}: {:?}", lines(&intake));
    // The columns are told as they were read: the empty one is not, the filled one in its own unit.
    let told = lines(&intake);
    assert!(told[3].ends_with("carried through, not read"), "{told:?}");
    let unit = headings.rsplit_once('(').and_then(|(_, unit)| unit.strip_suffix(')')).expect("a unit");
    assert!(told[4].contains(" read as ") && (unit == "ft" || told[4].contains(unit)), "{told:?}");
}

#[test]
fn an_empty_column_of_standby_makes_no_running_motor_stand_by() {
    let head = "Tag,Description,kW,V,Starter,Cable length (m)";
    let both = csv(&format!("{head},Standby,Running\nP-1,Pump,5.5,400,DOL,20,,Y\nP-2,Pump,5.5,400,DOL,20,,N\n"));
    let alone = csv(&format!("{head},Running\nP-1,Pump,5.5,400,DOL,20,Y\nP-2,Pump,5.5,400,DOL,20,N\n"));
    let read = |intake: &Intake| {
        intake.loads.iter().map(|load| (load.rejected, load.text(Field::Running).map(str::to_owned))).collect::<Vec<_>>()
    };
    assert_eq!(read(&both), read(&alone));
}

/// 100 m are 328.08 ft, 40 °C are 104 °F, 5.5 kW are 5500 W, 400 V are 0.4 kV.
#[rstest::rstest]
#[case::length("Cable length (m),Cable length (ft)", "100,328", Field::CableLengthM, 100.0)]
#[case::warmth("Ambient (°C),Ambient (°F)", "40,104", Field::AmbientC, 40.0)]
#[case::warmth_turned("Ambient (°F),Ambient (°C)", "100,38", Field::AmbientC, 38.0)]
#[case::power("Motor power (kW),Motor power (W)", "5.5,5500", Field::RatedPowerKw, 5.5)]
#[case::voltage("Voltage (V),Voltage (kV)", "400,0.4", Field::VoltageV, 400.0)]
fn one_quantity_in_two_units_is_one_value(#[case] headings: &str, #[case] cells: &str, #[case] field: Field, #[case] value: f64) {
    let intake = csv(&format!("Tag,Description,Starter,FLC (A),{headings}\nP-1,Pump,DOL,11,{cells}\n"));
    assert!(!codes(&intake).iter().any(|code| code.starts_with("I2")), "{:?}", intake.findings);
    assert!(!intake.loads[0].rejected, "{:?}", intake.findings);
    assert_eq!(intake.loads[0].number(field), Some(value));
    assert!(lines(&intake)[4..].iter().all(|line| line.contains(" read as ")), "{:?}", lines(&intake));
}

#[test]
fn one_quantity_in_two_units_that_differs_is_refused() {
    // 40 °C are 104 °F and not 40 °F; the row in which the two agree stays.
    let intake =
        csv("Tag,Description,kW,V,Starter,Ambient (°C),Ambient (°F)\nP-1,Pump,5.5,400,DOL,40,40\nP-2,Pump,5.5,400,DOL,40,104\n");
    assert_eq!(codes(&intake), ["I202", "I203"], "{:?}", intake.findings);
    assert!(intake.loads[0].rejected && !intake.loads[1].rejected);
}

/// 100 ft are 30.48 m: which of the two it is, the row is asked.
#[test]
fn metres_and_feet_of_one_figure_are_both_read() {
    let intake = csv("Tag,Description,kW,V,Starter,Cable length (m),Cable length (ft)\nP-1,Pump,5.5,400,DOL,100,100\n");
    let load = &intake.loads[0];
    assert_eq!((load.number(Field::CableLengthM), load.number(Field::CableLengthFt)), (Some(100.0), Some(100.0)));
}

#[test]
fn a_blank_cell_contradicts_nothing() {
    let head = "Tag,Description,kW,V,Starter,Length (m),Cable length (m)";
    let intake = csv(&format!("{head}\nP-1,Pump,5.5,400,DOL,100,\nP-2,Pump,5.5,400,DOL,,200\n"));
    assert_eq!(intake.loads.iter().map(length_m).collect::<Vec<_>>(), [Some(100.0), Some(200.0)]);
    assert!(intake.loads.iter().all(|load| !load.rejected) && codes(&intake).is_empty(), "{:?}", intake.findings);
}

/// Equal figures in one unit are one column; another figure refuses its row, whatever one standard output would be near.
#[test]
fn two_columns_in_one_unit_are_held_against_each_other_exactly() {
    let intake = csv("Tag,Description,V,Starter,Power (kW),Rated power\nP-1,Pump,400,DOL,5.5,5.5\nP-2,Pump,400,DOL,5.5,5.6\n");
    assert_eq!(codes(&intake).into_iter().filter(|code| code.starts_with("I2")).collect::<Vec<_>>(), ["I202", "I203"]);
    assert!(!intake.loads[0].rejected && intake.loads[1].rejected);
}

/// A second column of words that differ is told among the columns, and its words are carried.
#[test]
fn a_repeated_column_of_words_is_listed() {
    let intake = csv("Tag,Board,MCC,kW,V,Starter\nP-1,A,B,5.5,400,DOL\n");
    assert_eq!(codes(&intake), ["I202", "I203"]);
    let told = lines(&intake);
    assert_eq!(told.len(), 6, "{told:?}");
    assert!(told[2].starts_with("column C \"MCC\"") && told[2].contains("held against column B"), "{told:?}");
    assert_eq!(intake.carried(&intake.loads[0]).get("MCC").map(String::as_str), Some("B"));
}

/// What stands in brackets belongs to the name of a figure: the phases of the control are not those of the motor.
#[test]
fn a_qualified_figure_is_not_that_of_the_motor() {
    let head = "Tag,Description,Motor Power (kW),Voltage (V),Starter,Cable length (m)";
    for (heading, cell, field) in [
        ("Phase (control)", "1", Field::Phases),
        ("Quantity (spare)", "2", Field::Quantity),
        ("Poles (breaker)", "4", Field::Poles),
        ("cos phi (no load)", "0.6", Field::PowerFactor),
        ("Board (future)", "MCC-9", Field::Board),
    ] {
        let intake = csv(&format!("{head},{heading}\nP-1,pump,55,400,DOL,20,{cell}\n"));
        assert!(!intake.loads[0].has(field), "{heading}: {:?}", lines(&intake));
    }
}
