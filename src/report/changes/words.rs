//! Words for columns and for places in a circuit, as they stand in a report of changes.

use crate::load::Field;
use crate::report::words::full;
use crate::rules::units::Units;

/// What each last part of a path is called, and its unit.
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
];

/// A place in a circuit, such as `contactor main: rating, A` for `contactors.main.rated_a`.
pub(in crate::report) fn place(path: &str, units: Units) -> String {
    if path == "status" {
        return "state".to_owned();
    }
    if let Some(check) = path.strip_prefix("checks.") {
        return match check.split_once(" of ") {
            Some((name, about)) => format!("check {}, {}", full(units, name), full(units, about)),
            None => format!("check {}", full(units, check)),
        };
    }
    let (group, rest) = path.split_once('.').unwrap_or((path, ""));
    let (middle, last) = rest.rsplit_once('.').unwrap_or(("", rest));
    let known = PARTS.iter().find(|(key, _, _)| *key == last);
    let what = known.map_or_else(
        || full(units, last),
        |(_, words, unit)| if unit.is_empty() { (*words).to_owned() } else { format!("{words}, {unit}") },
    );
    let role = middle.split(" at ").map(|own| full(units, own)).collect::<Vec<_>>().join(" at ");
    let head = match group {
        "currents" => return what,
        "contactors" => format!("contactor {role}"),
        "overloads" => format!("overload protection, {role}"),
        "protection" => "short-circuit protection".to_owned(),
        "conductors" => units.pick("cable", "conductors").to_owned(),
        "runs" => format!("run {role}"),
        "control" => "control".to_owned(),
        "disconnect" => full(units, "isolator"),
        "starter_devices" | "accessories" => role,
        _ => group.replace('_', " "),
    };
    format!("{head}: {what}")
}

/// A column's meaning with its unit.
pub(in crate::report) fn column(name: &str) -> String {
    let Some(spec) = Field::from_name(name).map(Field::spec) else { return name.replace('_', " ") };
    let words = spec.name;
    let suffix = format!("_{}", spec.unit.to_lowercase().replace('%', "pct").replace('°', ""));
    let bare = words.strip_suffix(&suffix).unwrap_or(words).replace('_', " ");
    if spec.unit.is_empty() { bare } else { format!("{bare}, {}", spec.unit) }
}

/// Causes in words.
pub(in crate::report) fn causes(because: &[String]) -> String {
    because.iter().map(|own| column(own).split(',').next().unwrap_or_default().to_owned()).collect::<Vec<_>>().join(", ")
}

/// A value as it is shown; canonical words in those of the trade.
pub(in crate::report) fn value(text: &str, units: Units) -> String {
    if text.is_empty() {
        return "–".to_owned();
    }
    let canonical = text.contains('-') && text.chars().all(|own| own.is_ascii_lowercase() || own == '-');
    if canonical { full(units, text) } else { text.replace("mm2", "mm²") }
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
            ("runs.motor.phase_size", "run motor: phase conductors"),
            ("checks.running-voltage-drop of motor run", "check running voltage drop, motor run"),
            ("status", "state"),
            ("accessories.suppressor at main.part", "suppressor at main: part number"),
        ] {
            assert_eq!(place(path, Units::Metric), said);
        }
        assert_eq!(column("rated_power_kw"), "rated power, kW");
        assert_eq!(column("efficiency_pct"), "efficiency, %");
        assert_eq!(column("board"), "board");
        assert_eq!(causes(&["rated_power_kw".to_owned(), "basis".to_owned()]), "rated power, basis");
        assert_eq!(value("star-delta", Units::Customary), "wye-delta, open transition");
        assert_eq!(value("", Units::Metric), "–");
        assert_eq!(value("2.5 mm2", Units::Metric), "2.5 mm²");
    }
}
