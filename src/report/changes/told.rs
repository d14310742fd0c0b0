//! The consequences for a row, in lines: all of a device in one, small parts of a kind in one, and checks that held counted.

use super::arrow;
use crate::compare::Consequence;
use crate::compare::rank::{is_held, subject};

/// A line: what it is about, and what became of it.
struct Line {
    head: String,
    tail: String,
}

/// The lines of what follows, in their order, and how many checks held and only came or went with their device.
pub(super) fn lines(all: &[&Consequence]) -> (Vec<String>, usize) {
    let told: Vec<&Consequence> = all.iter().copied().filter(|consequence| !is_held(consequence)).collect();
    let held = all.len() - told.len();
    let mut lines: Vec<Line> = Vec::new();
    for device in by_device(&told).iter().map(|consequences| line(consequences)) {
        let kind = |line: &Line| {
            line.head.strip_prefix("accessories.").and_then(|parts| parts.split_once(" at ")).map(|parts| parts.0.to_owned())
        };
        match lines.last_mut().filter(|line| line.tail == device.tail && kind(line).is_some() && kind(line) == kind(&device)) {
            Some(same) => {
                let serves = device.head.split_once(" at ").map_or("", |parts| parts.1);
                same.head.push_str(&format!(", {serves}"));
            }
            None => lines.push(device),
        }
    }
    // An accessory of the whole circuit serves nothing by name.
    (lines.into_iter().map(|line| format!("{}: {}", line.head.trim_end_matches(" at "), line.tail)).collect(), held)
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
fn line(values: &[&Consequence]) -> Line {
    let of = |consequence: &Consequence| {
        let last = consequence.path.rsplit('.').next().unwrap_or_default();
        if last == "part" && consequence.path.starts_with("accessories.") { String::new() } else { format!("{last} ") }
    };
    let side = |value: Side| {
        values.iter().map(|consequence| format!("{}{}", of(consequence), value(consequence))).collect::<Vec<_>>().join(", ")
    };
    let nothing = |value: Side| values.iter().all(|consequence| value(consequence).is_empty());
    let (old, new): (Side, Side) = (|consequence| consequence.old.as_str(), |consequence| consequence.new.as_str());
    let tail = match values {
        // An accessory is known by its part.
        [consequence] => {
            let head = if consequence.path.starts_with("accessories.") {
                consequence.path.trim_end_matches(".part")
            } else {
                &consequence.path
            };
            return Line { head: head.to_owned(), tail: arrow(&consequence.old, &consequence.new) };
        }
        _ if nothing(old) => arrow("", &side(new)),
        _ if nothing(new) => arrow(&side(old), ""),
        _ => values
            .iter()
            .map(|consequence| format!("{}{}", of(consequence), arrow(&consequence.old, &consequence.new)))
            .collect::<Vec<_>>()
            .join(", "),
    };
    Line { head: values.first().map_or_else(String::new, |consequence| subject(&consequence.path).to_owned()), tail }
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
            follows("accessories.timer at star.part", "1 × T", ""),
            follows("accessories.timer at star.setting", "8 s", ""),
            follows("checks.coordination of star", "passed", ""),
            follows("checks.running-voltage-drop of motor run", "passed", "failed"),
        ];
        let (lines, held) = lines(&all.iter().collect::<Vec<_>>());
        let said = [
            "contactors.star: rated_a 50, part A-50 → (nothing)",
            "contactors.line: rated_a 50 → 95, part A-50 → A-95",
            "overloads.line: range_a 40–57 → 60–82, setting_a 55 → 78",
            "conductors.phase_size: 10 mm2 → 16 mm2",
            "accessories.shroud at star, delta: 1 × S → (nothing)",
            "accessories.station: (nothing) → 1 × C",
            "accessories.timer at star: 1 × T, setting 8 s → (nothing)",
            "checks.running-voltage-drop of motor run: passed → failed",
        ];
        assert_eq!((&lines[..], held), (&said.map(str::to_owned)[..], 1));
    }
}
