//! An empty schedule to fill in: which columns stand first, what explains them, and the schedule as CSV.
//!
//! Headings are the canonical ones, which every reader knows. The rows of units and of the example begin with marks of
//! `intake::own`, by which they are never read as loads, in whatever program they were saved since.

use crate::intake::own::{EXAMPLE_MARK, UNITS_MARK};
use crate::load::{FIELDS, Field, FieldSpec, Kind};
use crate::rules::units::Units;

/// A column of the empty schedule.
pub struct BlankColumn {
    /// The column.
    pub spec: &'static FieldSpec,
    /// Whether most schedules need it; the others are grouped behind.
    pub usual: bool,
    /// Text of the row of units.
    pub unit: String,
    /// Text of the example.
    pub example: &'static str,
}

/// The columns that most schedules need, in this order, each with an invented example: common to both trades, metric, customary.
const USUAL: &[(Field, &str, &str)] = &[
    (Field::Tag, "P-101", "P-101"),
    (Field::Description, "circulation pump", "circulation pump"),
    (Field::Board, "MCC-1", "MCC-1"),
    (Field::Quantity, "1", "1"),
    (Field::Running, "duty", "duty"),
    (Field::LoadKind, "motor", "motor"),
    (Field::RatedPowerKw, "7.5", NONE),
    (Field::RatedPowerHp, NONE, "10"),
    (Field::VoltageV, "400", "460"),
    (Field::Phases, "3", "3"),
    (Field::FrequencyHz, "50", "60"),
    (Field::FullLoadCurrentA, "14.3", "12.5"),
    (Field::EfficiencyPct, "90.4", "91.7"),
    (Field::PowerFactor, "0.85", "0.83"),
    (Field::EfficiencyClass, "IE3", "NEMA-premium"),
    (Field::Poles, "4", "4"),
    (Field::ServiceFactor, NONE, "1.15"),
    (Field::LockedRotorCode, NONE, "G"),
    (Field::DesignLetter, NONE, "B"),
    (Field::MinimumCircuitAmpacityA, NONE, ""),
    (Field::MaximumProtectionA, NONE, ""),
    (Field::MaximumProtectionKind, NONE, ""),
    (Field::StartingMethod, "direct", "direct"),
    (Field::Reversing, "no", "no"),
    (Field::Duty, "S1", "S1"),
    (Field::StartsPerHour, "4", "4"),
    (Field::CableLengthM, "48", NONE),
    (Field::CableLengthFt, NONE, "160"),
    (Field::InstallationMethod, "B2", "emt"),
    (Field::ControlVoltage, "230 V AC", "120 V AC"),
    (Field::DrivenBy, "plc-output", "plc-output"),
    (Field::InterlockWith, "", ""),
    (Field::Isolator, "yes", "yes"),
    (Field::ServiceClass, "general", "general"),
    (Field::Section, "heating", "heating"),
    (Field::Notes, "this row is never read; delete it or leave it", "this row is never read; delete it or leave it"),
];
/// Not among the usual columns of that trade.
const NONE: &str = "\u{0}";

/// All columns, the usual ones first; every column of the table stands once.
#[must_use]
pub fn columns(units: Units) -> Vec<BlankColumn> {
    let example = |column: &(Field, &'static str, &'static str)| if units == Units::Customary { column.2 } else { column.1 };
    let usual: Vec<_> = USUAL.iter().filter(|column| example(column) != NONE).collect();
    let first = usual.iter().map(|column| BlankColumn {
        spec: column.0.spec(),
        usual: true,
        unit: unit(column.0.spec()),
        example: example(column),
    });
    let rest = FIELDS.iter().filter(|spec| usual.iter().all(|column| column.0 != spec.field)).map(|spec| BlankColumn {
        spec,
        usual: false,
        unit: unit(spec),
        example: "",
    });
    first.chain(rest).collect()
}

fn unit(spec: &FieldSpec) -> String {
    match spec.kind {
        Kind::Tags => UNITS_MARK.to_owned(),
        Kind::YesNo => "yes / no".to_owned(),
        _ => spec.unit.to_owned(),
    }
}

/// Text of a cell of the example; the tag bears the mark.
#[must_use]
pub fn example(column: &BlankColumn) -> String {
    match column.spec.kind {
        Kind::Tags => format!("{EXAMPLE_MARK} {}", column.example),
        _ => column.example.to_owned(),
    }
}

/// Says in words which values a cell may hold.
#[must_use]
pub fn allowed(kind: &Kind) -> String {
    // The tiny bound says "more than nothing".
    let least = |low: f64| if low > 0.0 && low < 1e-3 { "above 0".to_owned() } else { format!("from {low}") };
    match *kind {
        Kind::Text => "text".to_owned(),
        Kind::Tags => "a tag, a list such as P-1, P-2, or a range such as P-1...4; each tag stands once".to_owned(),
        Kind::Number(low, high) => format!("a number {} to {high}", least(low)),
        Kind::Count(low, high) => format!("a whole number from {low} to {high}"),
        Kind::YesNo => "yes or no".to_owned(),
        Kind::Choice(choices) => choices.iter().map(|(name, _)| *name).collect::<Vec<_>>().join(", "),
    }
}

/// The empty schedule as CSV: UTF-8 with a byte-order mark, by which spreadsheet programs know it, and `\r\n`.
#[must_use]
pub fn csv(units: Units) -> Vec<u8> {
    let columns = columns(units);
    let line = |cell: &dyn Fn(&BlankColumn) -> String| {
        let cells: Vec<String> = columns.iter().map(|column| quoted(&cell(column))).collect();
        format!("{}\r\n", cells.join(","))
    };
    let mut text = "\u{feff}".to_owned();
    text.push_str(&line(&|column| column.spec.name.to_owned()));
    text.push_str(&line(&|column| column.unit.clone()));
    text.push_str(&line(&example));
    text.into_bytes()
}

fn quoted(text: &str) -> String {
    if text.contains([',', '"', '\n', ';']) { format!("\"{}\"", text.replace('"', "\"\"")) } else { text.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[rstest::rstest]
    #[case::metric(Units::Metric, "rated_power_kw")]
    #[case::customary(Units::Customary, "rated_power_hp")]
    fn every_column_stands_once_and_the_usual_ones_first(#[case] units: Units, #[case] power: &str) {
        let columns = columns(units);
        assert_eq!(columns.len(), FIELDS.len());
        let mut names: Vec<&str> = columns.iter().map(|column| column.spec.name).collect();
        assert_eq!(names[0], "tag");
        assert!(names[..10].contains(&power));
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), FIELDS.len());
        let first_rest = columns.iter().position(|column| !column.usual).expect("there are others");
        assert!(columns[first_rest..].iter().all(|column| !column.usual && column.example.is_empty()));
    }
}
