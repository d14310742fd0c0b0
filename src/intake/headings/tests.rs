//! Headings as schedules have them.

use super::spellings::{REPEATED, Row, TABLE, meaning, rows};
use super::*;

#[rstest::rstest]
#[case::canonical("rated_power_kw", Some(Field::RatedPowerKw))]
#[case::spaces_and_case(" Rated Power kW ", Some(Field::RatedPowerKw))]
#[case::hyphens("Full-load current-A", Some(Field::FullLoadCurrentA))]
#[case::unknown("Remarks of the sender", None)]
#[case::nothing("", None)]
fn meaning_of_canonical_names(#[case] heading: &str, #[case] expected: Option<Field>) {
    assert_eq!(field(heading), expected);
}

#[test]
fn a_heading_of_the_cable_that_is_not_understood_may_hold_the_length() {
    let of = |heading: &str| unread_length(&["Tag".to_owned(), "Cable Length (m)".to_owned(), heading.to_owned()]);
    assert_eq!(of("Cable from MCC"), Some("Cable from MCC".to_owned()));
    assert_eq!(of("Cable from MCC (m)"), Some("Cable from MCC (m)".to_owned()));
    for other in ["Cable (mm²)", "Head (m)", "Remarks"] {
        assert_eq!(of(other), None, "{other}");
    }
}

#[test]
fn a_misspelt_heading_is_recognised_but_not_read() {
    assert_eq!(field("voltag_v"), None);
    assert_eq!(suggestion("voltag_v"), Some("voltage_v"));
}

#[test]
fn every_row_of_the_table_is_read() {
    let lines = TABLE.lines().filter(|line| !line.starts_with('#')).count() - 1;
    assert_eq!(rows().len(), lines);
    for row in rows() {
        let special = matches!(row.field.as_str(), "filler" | "neutral") || row.field.starts_with('@');
        let special = special || row.field.strip_prefix(REPEATED).is_some_and(|name| Field::from_name(name).is_some());
        assert!(special || row.field.split('|').all(|name| meaning(name).is_some()), "{row:?}");
        assert!(GROUPS.contains(&row.group.as_str()), "{row:?}");
        assert!(row.unit.is_empty() || unit_of(&row.unit).is_some(), "{row:?}");
    }
}

/// A spelling that another step takes apart before it is looked up stands in the table for nothing.
#[test]
fn every_spelling_of_the_table_is_read_as_its_field() {
    let plain =
        |row: &Row| !matches!(row.field.as_str(), "filler" | "neutral") && !row.field.starts_with('@') && row.group.is_empty();
    let dead = |row: &Row| {
        let meant: Vec<Meaning> = row.field.split('|').filter_map(meaning).collect();
        let found = recognise(&row.spelling).map(|found| found.meanings).unwrap_or_default();
        // Kilowatts and horsepower are columns of one power.
        let power = |one: &Meaning| matches!(one, Meaning::Field(Field::RatedPowerKw | Field::RatedPowerHp));
        !meant.iter().any(|one| found.contains(one) || power(one) && found.iter().any(power))
    };
    let rows = rows();
    let read = rows.iter().filter(|row| plain(row) && !row.field.starts_with(REPEATED));
    let dead: Vec<String> = read.filter(|row| dead(row)).map(|row| format!("{} ({})", row.spelling, row.field)).collect();
    assert_eq!(dead, Vec::<String>::new());
}

/// Spellings of a combined supply as schedules of buildings have them.
#[rstest::rstest]
fn a_voltage_with_phases_behind_it_is_a_supply(
    #[values(
        "Voltage / Phase / Hz",
        "Volts / Ph / Hz",
        "V / Ph / Hz",
        "V - PH - HZ",
        "Voltage, Phase, Hz",
        "Power Supply V/Ph/Hz",
        "Power supply (V / Ph / Hz)",
        "Supply Voltage / Phase / Hz",
        "Elec. (V-Ph-Hz)",
        "Electrical Data V/Ph/Hz",
        "V/PH/CY",
        "VOLTS/PH/CYCLES",
        "V / Ø / Hz",
        "U/Ph/Hz",
        "Tension / Ph / Hz",
        "V/Ph/Freq (Hz)",
        "Voltage (V) / Phase",
        "Spannung / Phasen / Hz"
    )]
    heading: &str,
) {
    let found = recognise(heading).expect(heading);
    assert!(found.may_be(Field::Supply), "{heading}: {found:?}");
    assert_eq!(found.unit.filter(|unit| *unit != Unit::Volt), None, "{heading}");
}

#[rstest::rstest]
fn a_voltage_to_the_neutral_and_one_of_control_are_no_supply(#[values("Phase voltage (V)", "Control V/Ph/Hz")] heading: &str) {
    assert!(!recognise(heading).is_some_and(|found| found.may_be(Field::Supply)), "{heading}");
}

#[rstest::rstest]
#[case("Motor Amps", Field::FullLoadCurrentA, Some(Unit::Ampere))]
#[case("A (FL)", Field::FullLoadCurrentA, Some(Unit::Ampere))]
#[case("Voltage Level", Field::VoltageV, None)]
#[case("Panel ID", Field::Board, None)]
#[case("Starting PF", Field::StartingPowerFactor, None)]
#[case("Tag\nNo.", Field::Tag, None)]
#[case("Equip-\nment", Field::Description, None)]
#[case("Motor\nRating\n(kW)", Field::RatedPowerKw, Some(Unit::Kilowatt))]
#[case("MCC /\nBoard", Field::Board, None)]
#[case("Potencia (CV)", Field::RatedPowerKw, Some(Unit::MetricHorsepower))]
#[case("Leistung / Power [kW]", Field::RatedPowerKw, Some(Unit::Kilowatt))]
#[case("LENGTH (FT)", Field::CableLengthM, Some(Unit::Foot))]
#[case("Length ft", Field::CableLengthM, Some(Unit::Foot))]
#[case("Starts/h", Field::StartsPerHour, Some(Unit::PerHour))]
#[case("cos φ", Field::PowerFactor, None)]
#[case("S.F.", Field::ServiceFactor, None)]
#[case("BHP", Field::AbsorbedPowerKw, Some(Unit::Horsepower))]
#[case("Voltage (kV)", Field::VoltageV, Some(Unit::Kilovolt))]
#[case("Full Load Current in Amp (Ifc)", Field::FullLoadCurrentA, Some(Unit::Ampere))]
#[case("Comprimento do cabo (m)", Field::CableLengthM, Some(Unit::Metre))]
#[case("AMBIENT (°C)", Field::AmbientC, Some(Unit::Celsius))]
#[case("Kabellaenge [m]", Field::CableLengthM, Some(Unit::Metre))]
#[case("Cable (m)", Field::CableLengthM, Some(Unit::Metre))]
#[case("Cable m", Field::CableLengthM, Some(Unit::Metre))]
#[case("Run (m)", Field::CableLengthM, Some(Unit::Metre))]
#[case("Kabel (m)", Field::CableLengthM, Some(Unit::Metre))]
#[case("Cable [ft]", Field::CableLengthM, Some(Unit::Foot))]
#[case("Câble (m)", Field::CableLengthM, Some(Unit::Metre))]
#[case("Nameplate A", Field::FullLoadCurrentA, Some(Unit::Ampere))]
#[case("HP Rated", Field::RatedPowerHp, Some(Unit::Horsepower))]
#[case("Motor HP size", Field::RatedPowerHp, Some(Unit::Horsepower))]
#[case("kW (HP)", Field::RatedPowerKw, Some(Unit::KilowattAndHorsepower))]
#[case("Length (in ft)", Field::CableLengthM, Some(Unit::Foot))]
#[case("Poles (motor)", Field::Poles, None)]
#[case("Board (MCC)", Field::Board, None)]
#[case("Panel (LV)", Field::Board, None)]
#[case("Power factor (full load)", Field::PowerFactor, None)]
#[case("Starter (type)", Field::StartingMethod, None)]
#[case("No. off (total)", Field::Quantity, None)]
#[case("Quantity (total)", Field::Quantity, None)]
#[case("Ia/In (starting)", Field::LockedRotorRatio, None)]
#[case("LRA/FLA (ratio)", Field::LockedRotorRatio, None)]
#[case("Phases (1 or 3)", Field::Phases, None)]
#[case("Demand factor (DF)", Field::DemandFactor, None)]
#[case("Demand factor (kd)", Field::DemandFactor, None)]
#[case("MCC (ref)", Field::Board, None)]
fn spellings_of_the_trade_name_their_column_and_unit(#[case] heading: &str, #[case] field: Field, #[case] unit: Option<Unit>) {
    let found = recognise(heading).unwrap();
    assert_eq!((found.meanings[0], found.unit), (Meaning::Field(field), unit));
}

#[rstest::rstest]
#[case("STANDBY PWR")]
#[case("EMER. PWR")]
#[case("Pump efficiency")]
#[case("Stage")]
#[case("Operating pressure")]
#[case("Gearbox power (kW)")]
#[case("ESP (IN WG)")]
#[case("Gleichzeitigkeitsfaktor")]
#[case("Internal ref")]
#[case("Cable (mm²)")]
#[case("Head (m)")]
#[case("Phase (control)")]
#[case("Quantity (spare)")]
#[case("Quantity (standby)")]
#[case("Phases (control)")]
#[case("Ia/In (drive)")]
#[case("MCC (future)")]
#[case("Poles (breaker)")]
#[case("Board (future)")]
#[case("cos phi (start)")]
#[case("cos phi (no load)")]
#[case("Power factor (system)")]
#[case("Starter (existing)")]
fn headings_of_something_else_are_not_read(#[case] heading: &str) {
    assert!(recognise(heading).is_none_or(|found| found.meanings == [Meaning::Unused]), "{heading}");
}

#[rstest::rstest]
#[case("STARTER", "Rev.", Field::Reversing)]
#[case("STARTER", "Type", Field::StartingMethod)]
#[case("CABLE", "Method", Field::InstallationMethod)]
#[case("MOTOR", "Rated", Field::RatedPowerKw)]
#[case("Power", "shaft kW", Field::AbsorbedPowerKw)]
#[case("Supply", "V", Field::Supply)]
#[case("Cable", "m", Field::CableLengthM)]
#[case("Fed from", "", Field::Board)]
#[case("SUPPLY", "Ph", Field::Phases)]
fn a_group_heading_says_what_a_short_one_below_it_means(#[case] group: &str, #[case] heading: &str, #[case] field: Field) {
    assert_eq!(recognise_below(group, heading).unwrap().meanings[0], Meaning::Field(field));
}

proptest::proptest! {
    #[test]
    fn never_panics(text in "[-a-zA-Zé()\\[\\]/|,. \n%°]{0,30}") {
        let _ = recognise(&text);
        let _ = recognise_below("Motor", &text);
    }
}
