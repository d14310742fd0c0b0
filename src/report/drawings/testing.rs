//! Shared by tests of drawings: the circuits of the examples, and where words, lines and symbols of a drawing stand.

use super::svg::{Size, width_of};
use crate::design::{Circuit, Design, Status};

/// A rectangle: left, top, right, foot.
#[derive(Clone, Copy, Debug)]
pub(super) struct Area(pub(super) f64, pub(super) f64, pub(super) f64, pub(super) f64);

impl Area {
    pub(super) fn meets(&self, other: &Area) -> bool {
        let slack = 0.02;
        self.0 + slack < other.2 && other.0 + slack < self.2 && self.1 + slack < other.3 && other.1 + slack < self.3
    }
}

/// Circuits of the examples that are sized.
pub(super) fn examples() -> Vec<Circuit> {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("example-schedules");
    let read = |name: &str| {
        let text = std::fs::read_to_string(folder.join(name)).expect("the example is there");
        serde_json::from_str::<Design>(&text).expect("a design").circuits
    };
    let mut circuits = read("water-works.design.json");
    circuits.extend(read("hospital-hvac.design.json"));
    circuits.extend(read("pumping-station.design.json"));
    circuits.retain(|circuit| circuit.status != Status::NotSized);
    circuits
}

fn attribute(element: &str, name: &str) -> f64 {
    let start = element.find(&format!(" {name}=\"")).map(|at| at + name.len() + 3);
    let text = start.and_then(|at| element[at..].split('"').next()).unwrap_or("0");
    text.parse().unwrap_or_else(|_| panic!("{name} of {element}"))
}

fn plain(text: &str) -> String {
    text.replace("&amp;", "&").replace("&#39;", "'").replace("&lt;", "<").replace("&gt;", ">").replace("&quot;", "\"")
}

/// Texts of a drawing with the areas that they take.
pub(super) fn texts(drawn: &str) -> Vec<(String, Area)> {
    let mut list = Vec::new();
    for part in drawn.split("<text ").skip(1) {
        let (head, rest) = part.split_once('>').expect("a head");
        let text = plain(rest.split("</text>").next().expect("an end"));
        let size = [("t1", Size::Tag), ("t2", Size::Text), ("t3", Size::Label), ("t4", Size::Mark)]
            .into_iter()
            .find(|(class, _)| head.contains(&format!("class=\"{class}")))
            .expect("a size")
            .1;
        let (x, y, width) = (attribute(&format!(" {head}"), "x"), attribute(&format!(" {head}"), "y"), width_of(&text, size));
        let left = if head.contains(" ae") {
            x - width
        } else if head.contains(" am") {
            x - width / 2.0
        } else {
            x
        };
        list.push((text, Area(left, y - 0.76 * size.mm(), left + width, y + 0.2 * size.mm())));
    }
    list
}

/// Straight lines of a drawing as thin areas.
pub(super) fn lines(drawn: &str) -> Vec<Area> {
    let mut list = Vec::new();
    for part in drawn.split("<path ").skip(1) {
        let d = part.split(" d=\"").nth(1).and_then(|rest| rest.split('"').next()).expect("a path");
        if d.contains(['A', 'a', 'h']) {
            continue;
        }
        let (mut x, mut y) = (0.0, 0.0);
        let mut rest = d;
        while let Some(kind) = rest.chars().next() {
            let end = rest[1..].find(['M', 'H', 'V', 'L']).map_or(rest.len(), |at| at + 1);
            let numbers: Vec<f64> = rest[1..end].split_whitespace().map(|number| number.parse().expect("a number")).collect();
            let (to_x, to_y) = match kind {
                'H' => (numbers[0], y),
                'V' => (x, numbers[0]),
                _ => (numbers[0], numbers[1]),
            };
            if kind != 'M' {
                list.push(Area(
                    f64::min(x, to_x) - 0.1,
                    f64::min(y, to_y) - 0.1,
                    f64::max(x, to_x) + 0.1,
                    f64::max(y, to_y) + 0.1,
                ));
            }
            (x, y) = (to_x, to_y);
            rest = &rest[end..];
        }
    }
    list
}

/// Symbols of a drawing with the areas that they take.
pub(super) fn symbols(drawn: &str) -> Vec<Area> {
    let mut list = Vec::new();
    for part in drawn.split("<use ").skip(1) {
        let head = part.split("/>").next().expect("an end");
        let id = head.split("href=\"#").nth(1).and_then(|rest| rest.split('"').next()).expect("a reference");
        let (x, y) = (attribute(&format!(" {head}"), "x"), attribute(&format!(" {head}"), "y"));
        let poles = f64::from(id.as_bytes().last().map_or(1, |id| id.saturating_sub(b'0')).clamp(1, 3)) - 1.0;
        let area = match &id[..3] {
            "d-m" if id == "d-mr" => Area(-8.0, -8.0, 8.0, 8.0),
            // Above the circle there are only leads.
            "d-m" if id == "d-m2" => Area(-2.9, 3.6, 7.9, 14.4),
            "d-m" => Area(-2.0, 2.0, 12.0, 16.0),
            "d-i" if id == "d-il" => Area(-1.3, -1.1, 1.3, 1.2),
            "d-k" | "d-q" | "d-d" => Area(-2.4, 0.0, poles * 5.0 + 0.5, 9.0),
            "d-f" | "d-r" | "d-l" => Area(-1.1, 0.0, poles * 5.0 + 1.1, 8.0),
            "d-t" => Area(-2.1, 0.0, poles * 5.0 + 2.1, 7.0),
            "d-i" => Area(-1.9, 0.0, poles * 5.0 + 1.9, 5.6),
            "d-v" | "d-s" if id != "d-se" => Area(-2.3, 0.0, poles * 5.0 + 2.3, 12.0),
            "d-h" | "d-p" | "d-g" | "d-x" | "d-z" => Area(-2.3, 3.0, poles * 5.0 + 2.3, 12.0),
            _ => continue,
        };
        list.push(Area(x + area.0, y + area.1, x + area.2, y + area.3));
    }
    list
}
