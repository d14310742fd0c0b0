//! Every drawing of every method in both books: words meet neither each other nor a line nor the frame, and every device is told.

use super::power;
use crate::design::{Accessory, Circuit, Contactor, Design, Disconnect, Run, Status};
use crate::load::Method;
use crate::report::drawings::svg::{Size, width_of};
use crate::rules::units::Units;

/// A rectangle: left, top, right, foot.
#[derive(Clone, Copy, Debug)]
struct Area(f64, f64, f64, f64);

impl Area {
    fn meets(&self, other: &Area) -> bool {
        let slack = 0.02;
        self.0 + slack < other.2 && other.0 + slack < self.2 && self.1 + slack < other.3 && other.1 + slack < self.3
    }
}

fn examples() -> Vec<Circuit> {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("example-schedules");
    let read = |name: &str| {
        let text = std::fs::read_to_string(folder.join(name)).expect("the example is there");
        serde_json::from_str::<Design>(&text).expect("a design").circuits
    };
    let mut circuits = read("water-works.design.json");
    circuits.extend(read("hospital-hvac.design.json"));
    circuits.retain(|own| own.status != Status::NotSized);
    circuits
}

/// The same circuit with all that a row may ask for besides.
fn crowded(circuit: &Circuit) -> Circuit {
    let mut own = circuit.clone();
    own.quantity = 12;
    own.description = "A machine with a name that is far too long for any drawing of this width, and then some".to_owned();
    if let Some(first) = own.contactors.first().cloned() {
        own.contactors.push(Contactor { role: "safety".to_owned(), ..first });
    }
    own.disconnect = Some(Disconnect {
        kind: "isolator".to_owned(),
        category: "AC-23A".to_owned(),
        rating_a: Some(1250.0),
        rating_hp: Some(400.0),
        location: "at the machine".to_owned(),
        lockable: true,
        part: "X".to_owned(),
    });
    if own.runs.len() == 1 {
        let motor = own.runs[0].clone();
        own.runs.insert(0, Run { role: "supply".to_owned(), phase_size: "35 mm2".to_owned(), ..motor });
    }
    own.accessories.push(Accessory { kind: "thermistor-relay".to_owned(), serves: "motor".to_owned(), ..Accessory::default() });
    for relay in &mut own.overloads {
        relay.dial_a = Some(4.75);
    }
    own
}

fn all() -> Vec<(String, Units, Circuit, String)> {
    let mut list = Vec::new();
    for circuit in examples() {
        for units in [Units::Metric, Units::Customary] {
            for own in [circuit.clone(), crowded(&circuit)] {
                let drawn = power(&own, "c1", units);
                list.push((format!("{} {units:?} {}", own.tag, own.quantity), units, own, drawn));
            }
        }
    }
    list
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
fn texts(drawn: &str) -> Vec<(String, Area)> {
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
fn lines(drawn: &str) -> Vec<Area> {
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
            let numbers: Vec<f64> = rest[1..end].split_whitespace().map(|own| own.parse().expect("a number")).collect();
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
fn symbols(drawn: &str) -> Vec<Area> {
    let mut list = Vec::new();
    for part in drawn.split("<use ").skip(1) {
        let head = part.split("/>").next().expect("an end");
        let id = head.split("href=\"#").nth(1).and_then(|rest| rest.split('"').next()).expect("a reference");
        let (x, y) = (attribute(&format!(" {head}"), "x"), attribute(&format!(" {head}"), "y"));
        let poles = f64::from(id.as_bytes().last().map_or(1, |own| own.saturating_sub(b'0')).clamp(1, 3)) - 1.0;
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

#[test]
fn every_method_is_drawn() {
    let circuits = examples();
    for (_, word) in Method::ALL {
        let own = circuits.iter().find(|own| own.load.starting_method.as_deref() == Some(word));
        let drawn = power(own.unwrap_or_else(|| panic!("no example is {word}")), "c1", Units::Metric);
        assert!(drawn.contains("<title ") && drawn.contains("<desc ") && drawn.matches("<use ").count() > 3, "{word}");
    }
}

#[test]
fn words_meet_neither_each_other_nor_a_line_nor_the_frame() {
    let mut wrong = Vec::new();
    for (name, _, _, drawn) in all() {
        let height = drawn.split("viewBox=\"0 0 97 ").nth(1).and_then(|rest| rest.split('"').next()).expect("a frame");
        let height: f64 = height.parse().expect("a height");
        let (texts, lines, symbols) = (texts(&drawn), lines(&drawn), symbols(&drawn));
        assert!(texts.len() > 4 && !lines.is_empty() && symbols.len() > 1, "{name}");
        for area in &symbols {
            if area.0 < 0.0 || area.1 < 0.0 || area.2 > 97.0 || area.3 > height {
                wrong.push(format!("{name}: a symbol leaves the frame {area:?}"));
            }
        }
        for (index, (text, area)) in texts.iter().enumerate() {
            if area.0 < 0.0 || area.1 < 0.0 || area.2 > 97.0 || area.3 > height {
                wrong.push(format!("{name}: \"{text}\" leaves the frame {area:?}"));
            }
            for (other, its) in &texts[index + 1..] {
                if area.meets(its) {
                    wrong.push(format!("{name}: \"{text}\" meets \"{other}\" {area:?} {its:?}"));
                }
            }
            if let Some(line) = lines.iter().find(|line| line.meets(area)) {
                wrong.push(format!("{name}: a line goes through \"{text}\" {area:?} {line:?}"));
            }
            if let Some(symbol) = symbols.iter().find(|symbol| symbol.meets(area)) {
                wrong.push(format!("{name}: a symbol meets \"{text}\" {area:?} {symbol:?}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{} in all\n{}", wrong.len(), wrong[..wrong.len().min(40)].join("\n"));
}

/// What was chosen stands in the drawing by its rating.
#[test]
fn every_device_of_the_circuit_is_told() {
    for (name, units, circuit, drawn) in all() {
        let words: String =
            texts(&drawn).into_iter().map(|(text, _)| text.replace('\u{a0}', " ").replace('\u{202f}', "") + " ").collect();
        let number = |value: f64| format!("{value}");
        let mut wanted: Vec<String> = circuit.protection.iter().map(|own| number(own.rating_a) + " A").collect();
        wanted.extend(circuit.contactors.iter().map(|own| number(own.rated_a) + " A"));
        wanted.extend(circuit.starter_devices.iter().filter(|own| own.rated_a > 0.0).map(|own| number(own.rated_a) + " A"));
        wanted.extend(circuit.disconnect.iter().filter_map(|own| own.rating_a).map(|own| number(own) + " A"));
        wanted.extend(circuit.runs.iter().map(|own| units.pick(own.phase_size.replace("mm2", "mm²"), own.phase_size.clone())));
        wanted.extend(circuit.overloads.iter().map(|own| format!("set to {}", number(own.setting_a))));
        for one in wanted {
            let found = words.contains(&one) || words.contains(&one.replace("set to", "set"));
            assert!(found, "{name}: {one} is not in {words}");
        }
    }
}

#[test]
fn drawings_are_small_and_no_higher_than_half_a_page() {
    let (mut bytes, mut count) = (0, 0);
    for (name, _, circuit, drawn) in all() {
        let height: f64 =
            drawn.split("height=\"").nth(1).and_then(|rest| rest.split("mm").next()).expect("mm").parse().expect("mm");
        assert!(height <= if circuit.quantity == 12 { 180.0 } else { 130.0 }, "{name}: {height} mm");
        assert!(drawn.len() < 6500, "{name}: {} bytes", drawn.len());
        if circuit.quantity != 12 {
            bytes += drawn.len();
            count += 1;
        }
    }
    assert!(bytes / count < 3500, "{} bytes a drawing", bytes / count);
}

#[test]
fn the_interlock_of_a_reverser_is_drawn_where_it_was_chosen() {
    let circuits = examples();
    let own = circuits.iter().find(|own| own.load.reversing && own.contactors.len() == 2).expect("a reverser");
    assert!(power(own, "c1", Units::Metric).contains("#d-il"));
    let mut bare = own.clone();
    bare.accessories.clear();
    assert!(!power(&bare, "c1", Units::Metric).contains("#d-il"));
}

#[test]
fn a_row_that_is_not_sized_has_no_drawing() {
    assert!(power(&Circuit::default(), "c1", Units::Metric).is_empty());
}
