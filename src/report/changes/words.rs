//! Words for columns and for places in a circuit, as they stand in a report of changes.

use serde_json::Value;

use crate::compare::BoardChange;
use crate::load::{Field, Kind};
use crate::quantity::round_to;
use crate::record::significant;
use crate::report::words::full;
use crate::rules::units::{METRES_A_FOOT, Units};

/// The name of each last part of a path, and its unit.
const PARTS: &[(&str, &str, &str)] = &[
    ("full_load_a", "rated current", "A"),
    ("conductor_basis_a", "current for conductors", "A"),
    ("protection_basis_a", "current for short-circuit protection", "A"),
    ("overload_basis_a", "current for overload protection", "A"),
    ("starting_a", "starting current", "A"),
    ("frame", "frame", ""),
    ("rated_a", "rating", "A"),
    ("rating_a", "rating", "A"),
    ("category", "category", ""),
    ("part", "part number", ""),
    ("kind", "kind", ""),
    ("trip_class", "class", ""),
    ("range_a", "range", "A"),
    ("setting_a", "setting", "A"),
    ("magnetic_trip_a", "magnetic trip", "A"),
    ("coordination", "co-ordination", ""),
    ("phase_size", "phase conductors", ""),
    ("per_phase", "in parallel", ""),
    ("neutral_size", "neutral", ""),
    ("protective_size", "protective conductor", ""),
    ("governed_by", "governed by", ""),
    ("raceway", "raceway", ""),
    ("coil_voltage", "coil voltage", ""),
    ("driven_by", "driven by", ""),
    ("interposing_relay", "interposing relay", ""),
    ("cores", "cores of the control cable", ""),
    ("setting", "setting", ""),
    ("count", "number alike", ""),
];

/// A place in a circuit in words.
pub(in crate::report) struct Named {
    /// The device, the run or the check.
    pub(in crate::report) head: String,
    /// Which of its values; empty where there is but one.
    pub(in crate::report) what: String,
    /// Unit of that value.
    pub(in crate::report) unit: &'static str,
}

/// A place in a circuit, such as `contactor main: rating, A` for `contactors.main.rated_a`.
pub(in crate::report) fn place(path: &str, units: Units) -> String {
    let Named { head, what, unit } = named(path, units);
    let what = if unit.is_empty() { what } else { format!("{what}, {unit}") };
    match (head.as_str(), what.as_str()) {
        (_, "") => head,
        ("currents", _) => what,
        _ => format!("{head}: {what}"),
    }
}

/// The parts of such a place.
pub(in crate::report) fn named(path: &str, units: Units) -> Named {
    let alone = |head: String| Named { head, what: String::new(), unit: "" };
    if path == "status" {
        return alone("state".to_owned());
    }
    if let Some(check) = path.strip_prefix("checks.") {
        return alone(match check.split_once(" of ") {
            Some((name, about)) => format!("check {}, {}", full(units, name), full(units, about)),
            None => format!("check {}", full(units, check)),
        });
    }
    let (group, rest) = path.split_once('.').unwrap_or((path, ""));
    let (middle, last) = rest.rsplit_once('.').unwrap_or(("", rest));
    let (middle, place) = numbered(middle);
    let known = PARTS.iter().find(|(key, _, _)| *key == last);
    let (what, unit) = known.map_or_else(|| (full(units, last), ""), |(_, words, unit)| (term(words, units).to_owned(), *unit));
    let role =
        middle.split(" at ").filter(|role| !role.is_empty()).map(|role| full(units, role)).collect::<Vec<_>>().join(" at ");
    let head = match group {
        "currents" => "currents".to_owned(),
        "contactors" => format!("contactor {role}"),
        "overloads" => format!("overload protection, {}", relay(middle, units)),
        "protection" => "short-circuit protection".to_owned(),
        "conductors" => units.pick("cable", "conductors").to_owned(),
        "runs" => format!("{role} run"),
        "control" => "control".to_owned(),
        "disconnect" => full(units, "local isolator"),
        "starter_devices" | "accessories" => role,
        _ => group.replace('_', " "),
    };
    Named { head: format!("{place}{head}"), what, unit }
}

/// The name of a device without the number that tells it from those alike, and that number as a word: `control (2)` is the second
/// control run.
fn numbered(name: &str) -> (&str, String) {
    let parts = name.strip_suffix(')').and_then(|name| name.rsplit_once(" ("));
    let Some((bare, number)) = parts.and_then(|(bare, number)| Some((bare, number.parse::<usize>().ok()?))) else {
        return (name, String::new());
    };
    let word = match number {
        2 => "second ".to_owned(),
        3 => "third ".to_owned(),
        4..=20 => format!("{number}th "),
        _ => format!("no. {number}: "),
    };
    (bare, word)
}

/// A term of the metric book in the words of the trade.
fn term(words: &'static str, units: Units) -> &'static str {
    match words {
        "magnetic trip" => units.pick(words, "instantaneous trip"),
        "protective conductor" => units.pick(words, "equipment grounding conductor"),
        "co-ordination" => units.pick(words, "coordination"),
        "incoming device" => units.pick(words, "main circuit breaker"),
        _ => words,
    }
}

/// Where overload protection stands: a release of the protective device has no device of its own.
fn relay(role: &str, units: Units) -> String {
    if role == "protection" { full(units, "circuit-breaker") } else { full(units, role) }
}

/// A dial, such as `overload protection, soft starter: current`.
pub(in crate::report) fn dial(what: &str, units: Units) -> String {
    if let Some((role, setting)) = what.strip_prefix("overload protection, ").and_then(|rest| rest.split_once(':')) {
        return format!("overload protection, {}:{setting}", relay(role, units));
    }
    let what = match what.strip_prefix("incoming device") {
        Some(setting) => format!("{}{setting}", term("incoming device", units)),
        None => what.to_owned(),
    };
    match what.strip_suffix("magnetic trip") {
        Some(device) => format!("{device}{}", term("magnetic trip", units)),
        None => what,
    }
}

/// A column's meaning with its unit.
pub(in crate::report) fn column(name: &str) -> String {
    let Some(spec) = Field::from_name(name).map(Field::spec) else {
        // A length that the schedule has in metres only.
        let feet = name.strip_suffix("length_ft").map(|stem| format!("{}length, ft", stem.replace('_', " ")));
        return feet.unwrap_or_else(|| name.replace('_', " "));
    };
    let words = spec.name;
    let suffix = format!("_{}", spec.unit.to_lowercase().replace('%', "pct").replace('°', ""));
    let bare = words.strip_suffix(&suffix).unwrap_or(words).replace('_', " ");
    if spec.unit.is_empty() { bare } else { format!("{bare}, {}", spec.unit) }
}

/// Causes in words.
pub(in crate::report) fn causes(because: &[String]) -> String {
    let word = |name: &String| match is_key(name) {
        true => name.clone(),
        false => column(name).split(',').next().unwrap_or_default().to_owned(),
    };
    because.iter().map(word).collect::<Vec<_>>().join(", ")
}

/// A key of the basis, which is named as it is written there.
fn is_key(cause: &str) -> bool {
    cause.starts_with("basis ")
}

/// Name of a column with its lengths in the unit of the reports: `cable_length_ft` for `cable_length_m` where they read feet.
pub(in crate::report) fn column_in(name: &str, units: Units) -> String {
    match name.rsplit_once('_') {
        Some((stem, "m" | "ft")) if stem.ends_with("length") && !is_key(name) => format!("{stem}_{}", units.length_unit()),
        _ => name.to_owned(),
    }
}

/// A stated value by the column of [`column_in`]; a length to a tenth of a foot or a centimetre.
pub(in crate::report) fn value_in(name: &str, value: &Value, units: Units) -> Value {
    let from = name.rsplit_once('_').filter(|(stem, _)| stem.ends_with("length")).map(|(_, unit)| unit);
    match (from, units, value.as_f64()) {
        (Some("m"), Units::Customary, Some(metres)) => Value::from(round_to(metres / METRES_A_FOOT, 1)),
        (Some("ft"), Units::Metric, Some(feet)) => Value::from(round_to(feet * METRES_A_FOOT, 2)),
        _ => value.clone(),
    }
}

/// A figure of a board with its name: lengths in the unit of the reports.
pub(in crate::report) fn board(change: &BoardChange, units: Units) -> [String; 3] {
    let as_it_is = || [&change.what, &change.old, &change.new].map(|text| text.replace("mm2", "mm²"));
    let Some((what, unit)) = change.what.rsplit_once(", ") else { return as_it_is() };
    let in_units: fn(f64, Units) -> f64 = match (unit, units) {
        ("m", Units::Customary) => |metres, units| units.length(metres),
        ("mm", Units::Customary) => |millimetres, units| round_to(units.width(millimetres), 1),
        ("K", Units::Customary) => return [format!("{what}, °C"), change.old.clone(), change.new.clone()],
        _ => return as_it_is(),
    };
    let shown = |text: &String| text.parse().map_or_else(|_| text.clone(), |value| significant(in_units(value, units), 6));
    [format!("{what}, {}", units.unit(unit)), shown(&change.old), shown(&change.new)]
}

/// A value that was decided, as it is shown: canonical words in those of the trade, numbers as long as the data sheets have them.
pub(in crate::report) fn value(text: &str, units: Units) -> String {
    if text.is_empty() {
        return "–".to_owned();
    }
    if let Ok(number) = text.parse::<f64>() {
        return significant(number, 4);
    }
    let word = |letter: char| letter.is_ascii_lowercase() || letter.is_ascii_digit() || letter == '-';
    let canonical = text.starts_with(|letter: char| letter.is_ascii_lowercase()) && text.chars().all(word);
    if canonical { full(units, text) } else { text.replace("mm2", "mm²") }
}

/// A value that a row states, as it is shown: choices in the words of the trade, all else as it was said.
pub(in crate::report) fn stated(column: &str, text: &str, units: Units) -> String {
    if text.is_empty() {
        return "–".to_owned();
    }
    match Field::from_name(column).map(|field| field.spec().kind) {
        Some(Kind::YesNo) => if text == "true" { "yes" } else { "no" }.to_owned(),
        Some(Kind::Number(..)) => text.parse().map_or_else(|_| text.to_owned(), |number| significant(number, 6)),
        Some(Kind::Choice(_)) => full(units, text),
        _ if column == "installation_method" => full(units, text),
        _ => text.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_read_as_a_person_would_say_them() {
        for (path, said) in [
            ("currents.full_load_a", "rated current, A"),
            ("contactors.main.rated_a", "contactor main: rating, A"),
            ("overloads.line.setting_a", "overload protection, line: setting, A"),
            ("conductors.phase_size", "cable: phase conductors"),
            ("runs.motor.phase_size", "motor run: phase conductors"),
            ("overloads.protection.setting_a", "overload protection, circuit-breaker: setting, A"),
            ("checks.running-voltage-drop of motor run", "check running voltage drop, motor run"),
            ("status", "state"),
            ("accessories.suppressor at main.part", "suppressor at main: part number"),
            ("accessories.station at .part", "station: part number"),
            ("runs.control (2).per_phase", "second control run: in parallel"),
            ("runs.control (3).protective_size", "third control run: protective conductor"),
            ("runs.control (4).governed_by", "4th control run: governed by"),
            ("accessories.indicator at operator (2).part", "second indicator at operator: part number"),
        ] {
            assert_eq!(place(path, Units::Metric), said);
        }
        assert_eq!(column("rated_power_kw"), "rated power, kW");
        assert_eq!(column("efficiency_pct"), "efficiency, %");
        assert_eq!(column("board"), "board");
        assert_eq!(causes(&["rated_power_kw".to_owned(), "basis".to_owned()]), "rated power, basis");
        let key = "basis board.MCC-1.feeder_length_m".to_owned();
        assert_eq!(causes(std::slice::from_ref(&key)), key);
        assert_eq!(column_in(&key, Units::Customary), key);
        assert_eq!(value("star-delta", Units::Customary), "wye-delta, open transition");
        assert_eq!(value("", Units::Metric), "–");
        assert_eq!(value("2.5 mm2", Units::Metric), "2.5 mm²");
        assert_eq!(value("type-1", Units::Metric), "type 1");
        // 3.2 × 33.0833 A are 105.86656 A.
        assert_eq!(value("105.867", Units::Metric), "105.9");
    }

    #[test]
    fn the_other_trade_reads_its_own_terms() {
        for (path, said) in [
            ("protection.magnetic_trip_a", "short-circuit protection: instantaneous trip, A"),
            ("conductors.protective_size", "conductors: equipment grounding conductor"),
            ("disconnect.rating_a", "disconnecting means: rating, A"),
        ] {
            assert_eq!(place(path, Units::Customary), said);
        }
        assert_eq!(
            dial("short-circuit protection: magnetic trip", Units::Customary),
            "short-circuit protection: instantaneous trip"
        );
        assert_eq!(
            dial("overload protection, soft-starter: current", Units::Metric),
            "overload protection, soft starter: current"
        );
        assert_eq!(
            dial("overload protection, protection: class", Units::Customary),
            "overload protection, circuit breaker: class"
        );
        assert_eq!(dial("incoming device: magnetic trip", Units::Customary), "main circuit breaker: instantaneous trip");
        assert_eq!(dial("star-delta timer, star", Units::Metric), "star-delta timer, star");
    }

    /// A foot is 0.3048 m by definition.
    #[test]
    fn lengths_are_told_in_the_unit_of_the_reports() {
        let of = |name: &str, value: f64, units| (column_in(name, units), value_in(name, &Value::from(value), units).as_f64());
        assert_eq!(of("cable_length_m", 91.44, Units::Customary), ("cable_length_ft".to_owned(), Some(300.0)));
        assert_eq!(of("cable_length_ft", 100.0, Units::Metric), ("cable_length_m".to_owned(), Some(30.48)));
        assert_eq!(of("cable_length_ft", 160.0, Units::Customary), ("cable_length_ft".to_owned(), Some(160.0)));
        assert_eq!(of("supply_length_m", 3.048, Units::Customary), ("supply_length_ft".to_owned(), Some(10.0)));
        assert_eq!(of("full_load_current_a", 9.6, Units::Customary), ("full_load_current_a".to_owned(), Some(9.6)));
        assert_eq!(value_in("cable_length_m", &Value::from("TBC"), Units::Customary), Value::from("TBC"));
        assert_eq!(column("supply_length_ft"), "supply length, ft");
        let change = BoardChange { what: "feeder: length, m".to_owned(), old: String::new(), new: "30.48".to_owned() };
        assert_eq!(board(&change, Units::Customary), ["feeder: length, ft", "", "100"].map(str::to_owned));
        assert_eq!(board(&change, Units::Metric)[2], "30.48");
        // Figures of any other kind stay, and a size is written as everywhere.
        let size = |size: &str| BoardChange { what: "feeder: conductor".to_owned(), old: String::new(), new: size.to_owned() };
        assert_eq!(board(&size("35 mm2 copper pvc"), Units::Metric)[2], "35 mm² copper pvc");
        // An inch is 25.4 mm by definition.
        let width = BoardChange { what: "width of mounting rails, mm".to_owned(), old: "254".to_owned(), new: "508".to_owned() };
        assert_eq!(board(&width, Units::Customary), ["width of mounting rails, in", "10", "20"].map(str::to_owned));
        assert_eq!(board(&width, Units::Metric)[2], "508");
    }

    #[test]
    fn a_stated_value_reads_by_its_column() {
        for (column, text, said) in [
            ("starting_method", "drive", "adjustable-speed drive"),
            ("installation_method", "emt", "EMT"),
            ("reversing", "true", "yes"),
            // Free text stays, whatever it looks like.
            ("notes", "drive-by", "drive-by"),
            ("rated_power_hp", "0.333333333333", "0.333333"),
            ("board", "", "–"),
        ] {
            assert_eq!(stated(column, text, Units::Customary), said);
        }
    }
}
