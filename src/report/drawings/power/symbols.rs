//! Symbols that drawings share. They stand once on the page, after IEC 60617 or IEEE 315 as the rule book asks, and are placed by
//! reference: a device of three poles is one short line of a drawing.

use std::fmt::Write as _;

use crate::rules::units::Units;

/// Distance of poles, mm.
pub(super) const PITCH: f64 = 5.0;

/// A symbol for one to three poles; its origin is the upper end of its first pole.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::report::drawings) struct Symbol {
    /// Letter in `symbols.csv`.
    letter: char,
    /// References by the number of poles.
    ids: [&'static str; 3],
    /// Height, tenths of a millimetre.
    tenths: u32,
}

macro_rules! symbols { ($($(#[$doc:meta])* $name:ident $letter:literal $one:literal $two:literal $three:literal $tenths:literal;)*) => {
    $($(#[$doc])* pub(in crate::report::drawings) const $name: Symbol = Symbol { letter: $letter, ids: [$one, $two, $three], tenths: $tenths };)*
    /// All of them.
    const ALL: &[Symbol] = &[$($name),*];
}; }

symbols! {
    /// Contactor.
    CONTACTOR 'k' "d-k1" "d-k2" "d-k3" 90;
    /// Circuit-breaker.
    BREAKER 'q' "d-q1" "d-q2" "d-q3" 90;
    /// Switch-disconnector.
    SWITCH 'd' "d-d1" "d-d2" "d-d3" 90;
    /// Fuses.
    FUSE 'f' "d-f1" "d-f2" "d-f3" 80;
    /// Thermal overload relay or release.
    THERMAL 't' "d-t1" "d-t2" "d-t3" 70;
    /// Release at overcurrent.
    MAGNETIC 'i' "d-i1" "d-i2" "d-i3" 56;
    /// Current transformers.
    CURRENT_TRANSFORMER 'c' "d-c1" "d-c2" "d-c3" 40;
    /// Drive.
    DRIVE 'v' "d-v1" "d-v2" "d-v3" 120;
    /// Soft starter.
    SOFT_STARTER 's' "d-s1" "d-s2" "d-s3" 120;
    /// Windings of an autotransformer; the tap is [`TAP`] below their upper end.
    AUTOTRANSFORMER 'a' "d-a1" "d-a2" "d-a3" 120;
    /// Resistors.
    RESISTOR 'r' "d-r1" "d-r2" "d-r3" 80;
    /// Reactor.
    REACTOR 'l' "d-l1" "d-l2" "d-l3" 80;
    /// Motor below its terminals.
    MOTOR 'm' "d-m1" "d-m2" "d-m3" 160;
    /// Heater.
    HEATER 'h' "d-h1" "d-h2" "d-h3" 130;
    /// Capacitor.
    CAPACITOR 'p' "d-p1" "d-p2" "d-p3" 130;
    /// Lighting.
    LAMP 'g' "d-g1" "d-g2" "d-g3" 130;
    /// Transformer.
    TRANSFORMER 'x' "d-x1" "d-x2" "d-x3" 130;
    /// Equipment with controls of its own.
    EQUIPMENT 'z' "d-z1" "d-z2" "d-z3" 130;
    /// Star point.
    STAR_POINT 'y' "d-y1" "d-y2" "d-y3" 0;
    /// Terminals.
    TERMINALS 'o' "d-o1" "d-o2" "d-o3" 0;
    /// Lines of the supply: L and N, two phases, three phases.
    LINES 'n' "d-n1" "d-n2" "d-n3" 50;
    /// Protective bar.
    PROTECTIVE_BAR 'e' "d-e1" "d-e2" "d-e3" 0;
}

/// Motor with terminals on both sides: a circle round its origin, and slip rings inside it.
pub(super) const ROUND_MOTOR: &str = "d-mr";
/// Motor with slip rings below its terminals.
pub(super) const SLIP_RING_MOTOR: &str = "d-ms";
/// Triangle of an interlock, its middle at the origin.
pub(super) const INTERLOCK: &str = "d-il";
/// Three strokes over a line that stands for three conductors.
pub(in crate::report::drawings) const THREE_CONDUCTORS: &str = "d-3c";
/// A temperature sensor in the winding.
pub(super) const SENSOR: &str = "d-se";
/// Radius of [`ROUND_MOTOR`], mm.
pub(super) const RADIUS: f64 = 8.0;
/// Place of the tap below the upper end of [`AUTOTRANSFORMER`], mm.
pub(super) const TAP: f64 = 5.0;

impl Symbol {
    /// Reference for so many poles.
    pub(in crate::report::drawings) fn id(self, poles: usize) -> &'static str {
        self.ids[poles.clamp(1, 3) - 1]
    }

    /// It opens the conductors in which it stands.
    pub(in crate::report::drawings) fn opens(self) -> bool {
        [CONTACTOR, BREAKER, SWITCH].contains(&self)
    }

    /// Height, mm.
    pub(in crate::report::drawings) fn height(self) -> f64 {
        f64::from(self.tenths) / 10.0
    }
}

/// All symbols of a rule book as definitions of the page.
pub(crate) fn sprite(units: Units) -> String {
    let mut page = String::new();
    for symbol in ALL {
        for poles in 1..=3 {
            let _ = write!(page, "<g id=\"{}\" class=\"dw\">{}</g>", symbol.id(poles), drawn(*symbol, poles, units));
        }
    }
    for (id, body) in SINGLE {
        let _ = write!(page, "<g id=\"{id}\" class=\"dw\">{body}</g>");
    }
    page
}

const SINGLE: &[(&str, &str)] = &[
    (
        ROUND_MOTOR,
        "<circle class=\"w4 fw\" r=\"8\"/><text class=\"t1 am b\" y=\"0\">M</text><text class=\"t3 am\" y=\"3.4\">3 ~</text>",
    ),
    (
        SLIP_RING_MOTOR,
        "<path class=\"w4\" d=\"M0 0V4.2M5 0V2M10 0V4.2\"/><circle class=\"w4 fw\" cx=\"5\" cy=\"9\" r=\"7\"/><circle class=\"w3\" cx=\"5\" \
         cy=\"9\" r=\"5\"/><text class=\"t1 am b\" x=\"5\" y=\"9\">M</text><text class=\"t3 am\" x=\"5\" y=\"12.2\">3 ~</text>",
    ),
    (INTERLOCK, "<path class=\"w3 fw\" d=\"M-1.3-1.1H1.3L0 1.2z\"/>"),
    (THREE_CONDUCTORS, "<path class=\"w3\" d=\"M-1.5 1.8 1.5-.2M-1.5 3 1.5 1M-1.5 4.2 1.5 2.2\"/>"),
    (
        SENSOR,
        "<rect class=\"w3 fw\" x=\"-2.2\" y=\"-1\" width=\"4.4\" height=\"2\"/><path class=\"w3\" d=\"M-2.6 1.8H-1.6L1.6-1.8\"/>",
    ),
];

/// A symbol for so many poles.
fn drawn(symbol: Symbol, poles: usize, units: Units) -> String {
    let last = pole_place(poles - 1);
    match symbol.letter {
        'n' => lines(poles),
        'y' => star_point(poles),
        'm' => motor(poles),
        'v' | 's' => converter(symbol.letter, last, units),
        'h' | 'p' | 'g' | 'x' | 'z' => load(symbol.letter, last),
        letter => {
            let one = pole(letter, units);
            let mut body = String::new();
            for pole in 0..poles {
                let x = pole_place(pole);
                if x > 0.0 {
                    let _ = write!(body, "<g transform=\"translate({x})\">{one}</g>");
                } else {
                    body.push_str(&one);
                }
            }
            body + &across(letter, last, units)
        }
    }
}

#[allow(clippy::cast_precision_loss)] // three poles at most
fn pole_place(pole: usize) -> f64 {
    pole as f64 * PITCH
}

/// One pole of a device.
fn pole(letter: char, units: Units) -> String {
    let conductor = |d: &str| format!("<path class=\"w4\" d=\"{d}\"/>");
    match (letter, units) {
        ('k', Units::Metric) => conductor("M0 0V2.7M0 .9a.9.9 0 0 0 0 1.8M0 9V6.6L-2.3 2.4"),
        ('k', Units::Customary) => conductor("M0 0V3.7M-1.4 3.7H1.4M-1.4 5.3H1.4M0 5.3V9"),
        ('q', Units::Metric) => conductor("M0 0V2.2M-.8 1.4.8 3M.8 1.4-.8 3M0 9V6.6L-2.3 2.4"),
        ('q', Units::Customary) => {
            conductor("M0 0V2.1M0 6.9V9M-.7 1.9A3.4 3.4 0 0 0-.7 7.1")
                + "<circle class=\"w3 fw\" cy=\"2.5\" r=\".5\"/><circle class=\"w3 fw\" cy=\"6.5\" r=\".5\"/>"
        }
        ('d', Units::Metric) => {
            conductor("M0 0V2.2M-1 2.2H1M0 9V6.6L-2.3 2.6") + "<circle class=\"w3 fw\" cy=\"1.4\" r=\".65\"/>"
        }
        ('d', Units::Customary) => {
            conductor("M0 0V2M0 6.8V9M0 6.8-2.5 2.6")
                + "<circle class=\"w3 fw\" cy=\"2.4\" r=\".5\"/><circle class=\"w3 fw\" cy=\"6.8\" r=\".5\"/>"
        }
        ('f', Units::Metric) => "<path class=\"w3\" d=\"M-1 1.2H1V6.8H-1z\"/>".to_owned() + &conductor("M0 0V8"),
        ('f', Units::Customary) => {
            conductor("M0 0V1.5C2 1.5 2 4 0 4S-2 6.5 0 6.5V8")
                + "<circle class=\"w3 fw\" cy=\"1.2\" r=\".5\"/><circle class=\"w3 fw\" cy=\"6.8\" r=\".5\"/>"
        }
        ('t', Units::Metric) => conductor("M0 0V2H1.3V5H0V7"),
        ('t', Units::Customary) => conductor("M0 0V1.6C-1.9 1.6-1.9 3.4-.4 3.4M.4 3.6C1.9 3.6 1.9 5.4 0 5.4V7"),
        ('i', _) => {
            conductor("M0 0V5.6")
                + "<rect class=\"w3 fw\" x=\"-1.8\" y=\".6\" width=\"3.6\" height=\"4.4\"/><text class=\"t4 am\" y=\"3.5\">I&gt;</text>"
        }
        ('c', _) => conductor("M0 0V4") + "<circle class=\"w3\" cy=\"2\" r=\"1.3\"/>",
        ('a', _) => conductor("M0 0V1a1 1 0 0 1 0 2 1 1 0 0 1 0 2 1 1 0 0 1 0 2 1 1 0 0 1 0 2 1 1 0 0 1 0 2V12"),
        ('l', _) => conductor("M0 0V1a1 1 0 0 1 0 2 1 1 0 0 1 0 2 1 1 0 0 1 0 2V8"),
        ('r', Units::Metric) => conductor("M0 0V1.2M0 6.8V8") + "<path class=\"w3\" d=\"M-1 1.2H1V6.8H-1z\"/>",
        ('r', Units::Customary) => conductor("M0 0V1L1 1.5-1 2.5 1 3.5-1 4.5 1 5.5-1 6.5 0 7V8"),
        ('e', _) => "<path class=\"w6\" d=\"M-1.6 0H1.6\"/>".to_owned(),
        _ => "<circle class=\"w3 fw\" r=\".6\"/>".to_owned(),
    }
}

/// The links between the poles of a device: the mechanical link, the box of relays.
fn across(letter: char, last: f64, units: Units) -> String {
    let link = |y: f64, from: f64| {
        if last > 0.0 { format!("<path class=\"w3 da\" d=\"M{from} {y}H{}\"/>", last + from) } else { String::new() }
    };
    match (letter, units) {
        ('k', Units::Customary) => String::new(),
        ('k' | 'q' | 'd', Units::Metric) => link(4.6, -1.1),
        ('d', Units::Customary) => link(4.7, -1.3),
        ('q', Units::Customary) => link(4.5, -1.6),
        ('t', Units::Metric) => {
            format!("<path class=\"w3\" d=\"M-2 .7H{x}V6.3H-2z\"/>", x = last + 2.0)
        }
        ('c', _) => {
            let x = last + 1.3;
            format!("<path class=\"w3\" d=\"M{x} 2H{}M{} 3 {} 1M{} 3 {} 1\"/>", x + 1.9, x + 0.3, x + 1.0, x + 0.9, x + 1.6)
        }
        _ => String::new(),
    }
}

/// Terminals of the lines; those of a single-phase circuit bear its own lines, which are written beside them.
fn lines(poles: usize) -> String {
    let names: &[&str] = if poles == 3 { &["L1", "L2", "L3"] } else { &["", ""] };
    let mut body = String::new();
    for (pole, name) in names.iter().enumerate() {
        let x = pole_place(pole);
        let _ = write!(body, "<path class=\"w4\" d=\"M{x} 3.8V5\"/><circle class=\"w3 fw\" cx=\"{x}\" cy=\"3.3\" r=\".6\"/>");
        if !name.is_empty() {
            let _ = write!(body, "<text class=\"t4 am\" x=\"{x}\" y=\"2\">{name}</text>");
        }
    }
    body
}

fn star_point(poles: usize) -> String {
    let last = pole_place(poles - 1);
    format!("<path class=\"w4\" d=\"M0 0H{last}\"/><circle class=\"fk\" cx=\"{}\" r=\".6\"/>", last / 2.0)
}

/// Radius of a motor under so many terminals, mm: a circle over two leads stays beside the edge of the drawing.
pub(super) fn motor_radius(poles: usize) -> f64 {
    if poles == 3 { 7.0 } else { 5.4 }
}

/// A motor under two or three terminals.
fn motor(poles: usize) -> String {
    let middle = pole_place(poles - 1) / 2.0;
    let radius = motor_radius(poles);
    // Where the circle is met by a lead beside its middle.
    let edge = 9.0 - (radius * radius - middle * middle).sqrt();
    let leads = match poles {
        3 => format!("M0 0V{edge:.1}M5 0V2M10 0V{edge:.1}"),
        _ => format!("M0 0V{edge:.1}M{} 0V{edge:.1}", middle * 2.0),
    };
    let phases = if poles == 3 { "3 ~" } else { "1 ~" };
    format!(
        "<path class=\"w4\" d=\"{leads}\"/><circle class=\"w4 fw\" cx=\"{middle}\" cy=\"9\" r=\"{radius}\"/><text class=\"t1 am b\" \
         x=\"{middle}\" y=\"9\">M</text><text class=\"t3 am\" x=\"{middle}\" y=\"12.4\">{phases}</text>"
    )
}

fn box_over(last: f64, top: f64, height: f64, kind: &str) -> String {
    format!("<rect class=\"{kind} fw\" x=\"-2.2\" y=\"{top}\" width=\"{}\" height=\"{height}\"/>", last + 4.4)
}

/// Drive or soft starter: a box with what goes in and comes out, or its thyristors.
fn converter(letter: char, last: f64, units: Units) -> String {
    let poles: String = ends(last, 0.0, 1.0) + &ends(last, 11.0, 12.0);
    let middle = last / 2.0;
    let inside = match (letter, units) {
        ('v', Units::Metric) => format!(
            "<path class=\"w3\" d=\"M-2.2 11 {} 1\"/><text class=\"t2\" x=\"-1.6\" y=\"3.6\">~</text><text class=\"t2 ae\" x=\"{}\" \
             y=\"10.4\">~ f</text>",
            last + 2.2,
            last + 1.6
        ),
        ('v', Units::Customary) => format!("<text class=\"t2 am b\" x=\"{middle}\" y=\"6.9\">ASD</text>"),
        (_, Units::Customary) => format!("<text class=\"t2 am b\" x=\"{middle}\" y=\"6.9\">SSRV</text>"),
        // Two thyristors in inverse parallel.
        _ => format!(
            "<g transform=\"translate({middle})\"><path class=\"w3\" d=\"M0 1V2.6M0 11V9.4M-2 2.6H2V9.4H-2zM-3.2 7.2H-.8L-2 4.9zM-3.2 \
             4.9H-.8M.8 4.9H3.2L2 7.2zM.8 7.2H3.2\"/></g>"
        ),
    };
    poles + &box_over(last, 1.0, 10.0, "w3") + &inside
}

/// Short ends of all poles.
fn ends(last: f64, from: f64, to: f64) -> String {
    let mut d = String::new();
    let mut x = 0.0;
    while x <= last {
        let _ = write!(d, "M{x} {from}V{to}");
        x += PITCH;
    }
    format!("<path class=\"w4\" d=\"{d}\"/>")
}

/// A load that is no motor; how its parts are joined is not told, so they stand in a box.
fn load(letter: char, last: f64) -> String {
    let middle = last / 2.0;
    let inside = match letter {
        'h' => "<path class=\"w3\" d=\"M-4.5 6H4.5V9H-4.5zM-2.7 6V9M-.9 6V9M.9 6V9M2.7 6V9\"/>",
        'p' => "<path class=\"w4\" d=\"M-3 7.5H-.6M.6 7.5H3M-.6 5V10M.6 5V10\"/>",
        'g' => "<circle class=\"w3\" cy=\"7.5\" r=\"2.6\"/><path class=\"w3\" d=\"M-1.8 5.7 1.8 9.3M1.8 5.7-1.8 9.3\"/>",
        'x' => "<circle class=\"w3\" cy=\"6.3\" r=\"2.1\"/><circle class=\"w3\" cy=\"8.7\" r=\"2.1\"/>",
        _ => "",
    };
    let frame = box_over(last, 3.0, 9.0, if letter == 'z' { "w3 da" } else { "w3" });
    format!("{}{frame}<g transform=\"translate({middle})\">{inside}</g>", ends(last, 0.0, 3.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    const TABLE: &str = include_str!("../symbols.csv");

    #[test]
    fn every_symbol_names_its_entry_in_the_standards() {
        let rows: Vec<char> = TABLE
            .lines()
            .filter(|line| !line.starts_with('#'))
            .skip(1)
            .filter_map(|line| line.split(',').next()?.chars().next())
            .collect();
        let drawn: Vec<char> = ALL.iter().map(|symbol| symbol.letter).collect();
        let mut missing: Vec<char> = drawn.iter().filter(|letter| !rows.contains(letter)).copied().collect();
        missing.extend(rows.iter().filter(|letter| !drawn.contains(letter)));
        assert!(missing.is_empty(), "{missing:?}");
    }

    /// IEC 60617 as recalled: contactor 07-13-02 has the half-circle, circuit-breaker 07-13-05 the cross; IEEE 315: two bars, an arc.
    #[test]
    fn books_differ_in_their_contacts() {
        let (iec, nec) = (sprite(Units::Metric), sprite(Units::Customary));
        let of = |page: &str, id: &str| page.split(&format!("id=\"{id}\"")).nth(1).map(|rest| rest[..120].to_owned());
        assert!(of(&iec, "d-k1").is_some_and(|symbol| symbol.contains("a.9.9 0 0 0 0 1.8")));
        assert!(of(&nec, "d-k1").is_some_and(|symbol| symbol.contains("M-1.4 3.7H1.4M-1.4 5.3H1.4")));
        assert!(of(&iec, "d-q1").is_some_and(|symbol| symbol.contains("M-.8 1.4.8 3M.8 1.4-.8 3")));
        assert!(of(&nec, "d-q1").is_some_and(|symbol| symbol.contains("A3.4 3.4")));
    }

    #[test]
    fn each_reference_is_defined_once() {
        for units in [Units::Metric, Units::Customary] {
            let page = sprite(units);
            for id in ALL.iter().flat_map(|symbol| symbol.ids).chain(SINGLE.iter().map(|(id, _)| *id)) {
                assert_eq!(page.matches(&format!("id=\"{id}\"")).count(), 1, "{id}");
            }
            assert!(!page.contains("style="));
        }
    }
}
