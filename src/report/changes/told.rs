//! The consequences for a row, in lines: all of a device in one, small parts of a kind in one, and checks that held counted.

use super::words::Named;
use super::{arrow, words};
use crate::compare::Consequence;
use crate::compare::rank::{is_held, subject};
use crate::rules::units::Units;

/// A line: what it is about, and what became of it.
struct Line {
    /// What it is about, in words.
    head: String,
    /// An accessory: its kind, by which those that became the same stand in one line.
    kind: Option<String>,
    tail: String,
}

/// The lines of what follows, in their order, and how many checks held and only came or went with their device.
pub(super) fn lines(all: &[&Consequence], units: Units) -> (Vec<String>, usize) {
    let told: Vec<&Consequence> = all.iter().copied().filter(|consequence| !is_held(consequence)).collect();
    let held = all.len() - told.len();
    let mut lines: Vec<Line> = Vec::new();
    for device in by_device(&told).iter().map(|consequences| line(consequences, units)) {
        match lines.last_mut().filter(|line| line.tail == device.tail && device.kind.is_some() && line.kind == device.kind) {
            Some(same) => {
                let serves = device.head.split_once(" at ").map_or("", |parts| parts.1);
                same.head.push_str(&format!(", {serves}"));
            }
            None => lines.push(device),
        }
    }
    (lines.into_iter().map(|line| format!("{}: {}", line.head, line.tail)).collect(), held)
}

/// Values of one device together, where the first of them stands.
fn by_device<'c>(told: &[&'c Consequence]) -> Vec<Vec<&'c Consequence>> {
    let mut devices: Vec<Vec<&Consequence>> = Vec::new();
    let mut known: std::collections::BTreeMap<&str, usize> = std::collections::BTreeMap::new();
    for consequence in told {
        // A check is told by itself.
        let name = if consequence.path.starts_with("checks.") { &consequence.path } else { subject(&consequence.path) };
        let device = *known.entry(name).or_insert_with(|| {
            devices.push(Vec::new());
            devices.len() - 1
        });
        devices[device].push(consequence);
    }
    devices
}

/// Before or after.
type Side = fn(&Consequence) -> &str;

/// The values of one device.
fn line(values: &[&Consequence], units: Units) -> Line {
    let path = values.first().map_or("", |consequence| consequence.path.as_str());
    // One of several alike at one place stands by itself.
    let alike = subject(path).ends_with(')');
    let kind = path.strip_prefix("accessories.").filter(|_| !alike).and_then(|parts| parts.split_once(" at "));
    let kind = kind.map(|parts| parts.0.to_owned());
    // An accessory is known by its part.
    let of_part = |consequence: &Consequence| consequence.path.starts_with("accessories.") && consequence.path.ends_with(".part");
    let of = |consequence: &Consequence, shown: String| {
        let Named { what, unit, .. } = words::named(&consequence.path, units);
        let what = if what.is_empty() || of_part(consequence) { String::new() } else { format!("{what} ") };
        let unit = if unit.is_empty() { String::new() } else { format!(" {unit}") };
        format!("{what}{shown}{unit}")
    };
    let shown = |text: &str| if text.is_empty() { String::new() } else { words::value(text, units) };
    let all =
        |value: Side| values.iter().map(|consequence| of(consequence, shown(value(consequence)))).collect::<Vec<_>>().join(", ");
    let nothing = |value: Side| values.iter().all(|consequence| value(consequence).is_empty());
    let (old, new): (Side, Side) = (|consequence| consequence.old.as_str(), |consequence| consequence.new.as_str());
    let tail = if nothing(old) {
        arrow("", &all(new))
    } else if nothing(new) {
        arrow(&all(old), "")
    } else {
        let both = values.iter().map(|consequence| of(consequence, arrow(&shown(&consequence.old), &shown(&consequence.new))));
        both.collect::<Vec<_>>().join(", ")
    };
    Line { head: words::named(path, units).head, kind, tail }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn follows(path: &str, old: &str, new: &str) -> Consequence {
        let [path, old, new] = [path, old, new].map(str::to_owned);
        Consequence { path, old, new, because: Vec::new() }
    }

    #[test]
    fn a_device_stands_in_one_line_and_checks_that_held_are_counted() {
        let all = [
            follows("contactors.star.rated_a", "50", ""),
            follows("contactors.star.part", "A-50", ""),
            follows("contactors.line.rated_a", "50", "95"),
            follows("contactors.line.part", "A-50", "A-95"),
            follows("overloads.line.range_a", "40–57", "60–82"),
            follows("conductors.phase_size", "10 mm2", "16 mm2"),
            follows("overloads.line.setting_a", "55", "78"),
            follows("accessories.shroud at star.part", "1 × S", ""),
            follows("accessories.shroud at delta.part", "1 × S", ""),
            follows("accessories.station at .part", "", "1 × C"),
            follows("accessories.lamp at operator.part", "1 × L", ""),
            follows("accessories.lamp at operator (2).part", "1 × L", ""),
            follows("runs.control (2).per_phase", "1", ""),
            follows("accessories.timer at star.part", "1 × T", ""),
            follows("accessories.timer at star.setting", "8 s", ""),
            follows("checks.coordination of star", "passed", ""),
            follows("checks.running-voltage-drop of motor run", "passed", "failed"),
        ];
        let (lines, held) = lines(&all.iter().collect::<Vec<_>>(), Units::Metric);
        let said = [
            "contactor star: rating 50 A, part number A-50 → (nothing)",
            "contactor line: rating 50 → 95 A, part number A-50 → A-95",
            "overload protection, line: range 40–57 → 60–82 A, setting 55 → 78 A",
            "cable: phase conductors 10 mm² → 16 mm²",
            "shroud at star, delta: 1 × S → (nothing)",
            "station: (nothing) → 1 × C",
            "lamp at operator: 1 × L → (nothing)",
            "second lamp at operator: 1 × L → (nothing)",
            "second control run: in parallel 1 → (nothing)",
            "timer at star: 1 × T, setting 8 s → (nothing)",
            "check running voltage drop, motor run: passed → failed",
        ];
        assert_eq!((&lines[..], held), (&said.map(str::to_owned)[..], 1));
    }
}
