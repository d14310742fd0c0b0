//! Points that standards publish, read back from what is drawn; and words that never meet.

use std::path::{Path, PathBuf};

use super::axes::FIELD;
use super::geometry::Rect;
use super::{Axis, Grid, curves, labels, plot};
use crate::design::{Circuit, Design, Overload, Protection, Run, StartCourse, StarterDevice, Status};
use crate::load::Method;
use crate::project::{self, Options};
use crate::rules::units::Units;
use crate::rules::{self, RuleBook};

/// A drawn plot as a reader with a ruler sees it: figures of the axes, texts, lines.
struct Read {
    texts: Vec<(String, f64, f64)>,
    lines: Vec<(String, Vec<(f64, f64)>)>,
}

impl Read {
    fn of(svg: &str) -> Self {
        let attribute = |tag: &str, name: &str| {
            let rest = tag.split(&format!(" {name}=\"")).nth(1)?;
            Some(rest.split('"').next().unwrap_or("").to_owned())
        };
        let number =
            |tag: &str, name: &str| attribute(tag, name).and_then(|attribute| attribute.parse::<f64>().ok()).expect("a number");
        let texts = svg.split("<text").skip(1).map(|rest| {
            let (tag, inner) = rest.split_once('>').expect("a text");
            (inner.split('<').next().unwrap_or("").to_owned(), number(tag, "x"), number(tag, "y"))
        });
        let mut lines = Vec::new();
        for rest in svg.split("<path").skip(1) {
            let tag = rest.split('>').next().unwrap_or("");
            let (class, d) = (attribute(tag, "class").expect("a class"), attribute(tag, "d").expect("points"));
            // The grid is drawn with `h` and `v`, and is no curve.
            if d.contains('h') || d.contains('v') {
                continue;
            }
            for part in d.split('M').skip(1) {
                let point = |pair: &str| {
                    let (x, y) = pair.trim_end_matches('z').split_once(' ').expect("a point");
                    (x.parse().expect("x"), y.parse().expect("y"))
                };
                lines.push((class.clone(), part.split('L').map(point).collect()));
            }
        }
        Self { texts: texts.collect(), lines }
    }

    /// Place of a figure of the current axis (below the field) or of the time axis (left of it).
    fn figure(&self, text: &str, below: bool) -> f64 {
        let figure = self
            .texts
            .iter()
            .find(|(words, x, y)| words == text && if below { *y > FIELD.bottom + 1.0 } else { *x < FIELD.left });
        let (_, x, y) = figure.unwrap_or_else(|| panic!("{text} is not on the axis"));
        if below { *x } else { *y - 0.7 }
    }

    /// Current and time of a place, by the axes' own figures.
    fn values(&self, (x, y): (f64, f64)) -> (f64, f64) {
        let (ten, thousand) = (self.figure("10", true), self.figure("1\u{202f}k", true));
        let (one, hundredth) = (self.figure("1", false), self.figure("0.01", false));
        let amperes = 10.0 * libm::pow(100.0, (x - ten) / (thousand - ten));
        (amperes, libm::pow(0.01, (y - one) / (hundredth - one)))
    }

    /// Some line of a class has this point, within what a hundredth of a millimetre is on the axes.
    fn has(&self, class: &str, amperes: f64, seconds: f64) -> bool {
        self.lines.iter().filter(|(classes, _)| classes.split(' ').any(|word| word == class)).flat_map(|(_, points)| points).any(
            |point| {
                let (a, t) = self.values(*point);
                (a / amperes - 1.0).abs() < 0.004 && (t / seconds - 1.0).abs() < 0.006
            },
        )
    }
}

fn book(name: &str) -> &'static dyn RuleBook {
    rules::book(name, None).expect("a book")
}

/// A motor of 10 A at 60 A for 3 s behind 20 kA.
fn motor() -> Circuit {
    let mut circuit = Circuit { tag: "M-1".to_owned(), status: Status::Sized, ..Circuit::default() };
    circuit.currents.full_load_a = 10.0;
    circuit.load.frequency_hz = Some(50.0);
    circuit.fault.board_max_ka = Some(20.0);
    circuit.fault.terminal_single_phase_min_ka = Some(0.4);
    circuit.start = Some(StartCourse {
        current_a: 60.0,
        time_s: 3.0,
        change_over_a: None,
        first_peak_a: Some(97.6),
        locked_rotor_a: 60.0,
        relay_share: 1.0,
        ..StartCourse::default()
    });
    circuit
}

fn relay(class: &str, ultimate_trip_a: Option<f64>) -> Overload {
    Overload {
        role: "main".to_owned(),
        position: "line".to_owned(),
        winding_factor: 1.0,
        kind: "electronic".to_owned(),
        trip_class: class.to_owned(),
        setting_a: 10.0,
        ultimate_trip_a,
        ..Overload::default()
    }
}

fn drawn(circuit: &Circuit, name: &str) -> String {
    let grid = Grid { axis: Axis::of([circuit].into_iter()).expect("an axis"), id: "tc0", drawn: true };
    plot(circuit, grid, book(name), Units::of(name), "c1-tc")
}

/// IEC 60947-4-1:2009+A1, Table 2: trip time at 7.2 times the setting from cold; Table 3: within 2, 4, 8, 12 minutes at 1.5 times it
/// after running at it, no trip within 2 h at 1.05 times, trip within 2 h at 1.2 times.
#[test]
fn limits_of_trip_classes_stand_where_the_standard_has_them() {
    for (class, least, most, warm) in
        [("10A", 2.0, 10.0, 120.0), ("10", 4.0, 10.0, 240.0), ("20", 6.0, 20.0, 480.0), ("30", 9.0, 30.0, 720.0)]
    {
        let mut circuit = motor();
        circuit.overloads = vec![relay(class, None)];
        let read = Read::of(&drawn(&circuit, "iec"));
        for (amperes, seconds) in [(72.0, least), (72.0, most), (15.0, warm), (10.5, 7200.0), (12.0, 7200.0)] {
            assert!(read.has("w5", amperes, seconds), "class {class}: {amperes} A, {seconds} s");
        }
        assert!(!read.has("w5", 72.0, most * 1.05) && !read.has("w5", 71.0, most), "nothing is drawn beside them");
    }
}

/// NEMA ICS 2 and UL 60947-4-1: at 600 % of the current at which the relay trips in the end within the class, at 200 % within 8 min.
/// A relay that is set to 10 A and trips in the end at 12 A: 72 A and 24 A.
#[test]
fn limits_of_classes_count_from_the_ultimate_trip_in_the_customary_book() {
    for (class, most) in [("10", 10.0), ("20", 20.0), ("30", 30.0)] {
        let mut circuit = motor();
        circuit.overloads = vec![relay(class, Some(12.0))];
        let read = Read::of(&drawn(&circuit, "nec"));
        assert!(read.has("w5", 72.0, most) && read.has("w5", 24.0, 480.0), "class {class}");
    }
}

/// The published curve of an electronic relay of class 10 (one manual of a relay): 44.5 s at 3 times, 24.2 s at 4 times and 7.2 s at
/// 7.2 times the setting from cold, within 1.5 %.
#[test]
fn the_curve_of_a_class_runs_through_published_points() {
    let mut circuit = motor();
    circuit.overloads = vec![relay("10", None)];
    let read = Read::of(&drawn(&circuit, "iec"));
    for (amperes, seconds) in [(30.0, 44.5), (40.0, 24.2), (72.0, 7.2)] {
        let near = read.lines.iter().filter(|(class, _)| class == "w6 sb").flat_map(|(_, points)| points).any(|point| {
            let (a, t) = read.values(*point);
            (a / amperes - 1.0).abs() < 0.004 && (t / seconds - 1.0).abs() < 0.021
        });
        assert!(near, "{amperes} A, {seconds} s");
    }
}

/// IEC 60269-1, gates of gG links: I min (10 s), I max (5 s), I min (0.1 s), I max (0.1 s); conventional currents 1.25 and 1.6 times
/// the rating (16 to 63 A within 1 h).
#[test]
fn gates_of_gg_links_are_corners_of_their_band() {
    for (rating, gates) in
        [(16.0, [33.0, 65.0, 85.0, 150.0]), (32.0, [75.0, 150.0, 200.0, 350.0]), (63.0, [160.0, 320.0, 450.0, 820.0])]
    {
        let mut circuit = motor();
        circuit.protection = Some(Protection { kind: "gG".to_owned(), rating_a: rating, ..Protection::default() });
        let read = Read::of(&drawn(&circuit, "iec"));
        let [carries, acts, carries_short, acts_short] = gates;
        for (amperes, seconds) in [(carries, 10.0), (acts, 5.0), (carries_short, 0.1), (acts_short, 0.1)] {
            assert!(read.has("w3", amperes, seconds), "gG {rating} A: {amperes} A, {seconds} s");
        }
        assert!(read.has("w3", 1.25 * rating, 3600.0) && read.has("w3", 1.6 * rating, 3600.0), "gG {rating} A");
        // At constant I²t from the gate of 10 s up to the conventional current.
        let share = carries / (1.25 * rating);
        assert!(read.has("w3", 1.25 * rating, 10.0 * share * share), "gG {rating} A between gate and conventional current");
    }
}

/// IEC 60269-1, Table 7: a gG link of 63 A melts with 9 to 27 kA²s within 0.01 s: √(9000 / 0.01) = 948.7 A, √(27000 / 0.01) = 1643.2 A.
#[test]
fn pre_arcing_energies_of_gg_links_end_their_band() {
    let mut circuit = motor();
    circuit.protection = Some(Protection { kind: "gG".to_owned(), rating_a: 63.0, ..Protection::default() });
    let read = Read::of(&drawn(&circuit, "iec"));
    assert!(read.has("w3", 948.7, 0.01) && read.has("w3", 1643.2, 0.01));
}

/// IEC 60947-2, 8.3.3.1.2: 1.05 times its setting for 1 h not tripped, 1.30 times tripped, up to 63 A. A magnetic-only one before a motor
/// has no such release.
#[test]
fn conventional_currents_of_an_industrial_breaker_stand_at_its_setting() {
    let mut circuit = motor();
    circuit.protection = Some(Protection {
        kind: "moulded-case".to_owned(),
        rating_a: 63.0,
        setting_a: Some(50.0),
        magnetic_min_a: Some(400.0),
        magnetic_max_a: Some(600.0),
        ..Protection::default()
    });
    let both = |circuit: &Circuit| {
        let read = Read::of(&drawn(circuit, "iec"));
        [(52.5, 3600.0), (65.0, 3600.0)].map(|(amperes, seconds)| read.has("w5", amperes, seconds))
    };
    assert_eq!(both(&circuit), [true, true]);
    circuit.protection.iter_mut().for_each(|protection| (protection.setting_a, protection.rating_a) = (None, 50.0));
    assert_eq!(both(&circuit), [false, false]);
}

/// Points of lines, as amperes and seconds.
fn points(read: &Read) -> Vec<(f64, f64)> {
    read.lines.iter().flat_map(|(_, points)| points).map(|point| read.values(*point)).collect()
}

/// A point within what the published curve of class 10 (7.2 s at 7.2 times the setting, within 1.5 %) and the paper allow.
fn runs_through(read: &Read, amperes: f64, seconds: f64) -> bool {
    points(read).iter().any(|(a, t)| (a / amperes - 1.0).abs() < 0.004 && (t / seconds - 1.0).abs() < 0.021)
}

/// A release of the breaker itself gives way to the magnetic one: nothing of its curve beyond 50 A.
#[test]
fn the_curve_of_a_release_ends_where_the_magnetic_one_begins() {
    let mut circuit = motor();
    circuit.overloads = vec![Overload { kind: "motor-breaker".to_owned(), ..relay("10", None) }];
    circuit.protection = Some(Protection {
        kind: "motor-breaker".to_owned(),
        rating_a: 16.0,
        magnetic_min_a: Some(50.0),
        magnetic_max_a: Some(80.0),
        ..Protection::default()
    });
    let read = Read::of(&drawn(&circuit, "iec"));
    let curve = read.lines.iter().filter(|(class, _)| class == "w6 sb").flat_map(|(_, points)| points);
    let last = curve.map(|curve| read.values(*curve).0).fold(0.0, f64::max);
    assert!((last / 50.0 - 1.0).abs() < 0.004, "{last}");
}

/// The band of an instantaneous trip hangs from the curve of the relay: 7.2 s at 72 A.
#[test]
fn an_instantaneous_trip_begins_at_the_curve_of_the_relay() {
    let mut circuit = motor();
    circuit.overloads = vec![relay("10", None)];
    circuit.protection = Some(Protection {
        kind: "moulded-case".to_owned(),
        rating_a: 32.0,
        magnetic_min_a: Some(72.0),
        magnetic_max_a: Some(108.0),
        ..Protection::default()
    });
    let read = Read::of(&drawn(&circuit, "iec"));
    let edge = read.lines.iter().find(|(class, points)| {
        class.split(' ').any(|word| word == "w3") && points.iter().all(|point| (read.values(*point).0 / 72.0 - 1.0).abs() < 0.004)
    });
    let (_, top) = read.values(edge.expect("an edge").1[0]);
    assert!((top / 7.2 - 1.0).abs() < 0.021, "{top}");
}

/// A relay in the winding of a motor that runs in delta with 10 A in the line is set to 10 / √3 = 5.77 A; started in star it sees the
/// line current: 7.2 s at 7.2 × 5.77 = 41.57 A while starting, and at 72 A after it.
#[test]
fn a_relay_in_the_winding_has_a_curve_for_star_and_one_for_delta() {
    let mut circuit = motor();
    circuit.overloads = vec![Overload { setting_a: 5.7735, winding_factor: 0.57735, ..relay("10", None) }];
    let read = Read::of(&drawn(&circuit, "iec"));
    assert!(runs_through(&read, 72.0, 7.2) && runs_through(&read, 41.57, 7.2));
}

/// The drive clears what happens behind it: the run before it counts, though it is the stouter one.
#[test]
fn the_run_before_a_drive_is_the_one_that_must_stand_a_fault() {
    let mut circuit = motor();
    circuit.runs = vec![Run { role: "supply".to_owned(), ..run("10 mm2", 10.0, "pvc") }, run("4 mm2", 4.0, "pvc")];
    circuit.starter_devices = vec![StarterDevice { kind: "drive".to_owned(), ..StarterDevice::default() }];
    let texts = |circuit: &Circuit| {
        Read::of(&drawn(circuit, "iec")).texts.into_iter().map(|(text, ..)| text).collect::<Vec<_>>().join(" ")
    };
    assert!(texts(&circuit).contains("10\u{a0}mm²"), "{}", texts(&circuit));
    circuit.starter_devices.clear();
    assert!(texts(&circuit).contains("4\u{a0}mm²"), "{}", texts(&circuit));
}

/// 12 s of locked rotor at 60 A; a first half-cycle at 60 Hz lasts into the first 1/60 s.
#[test]
fn a_locked_rotor_and_a_cycle_stand_where_they_are_stated() {
    let mut circuit = motor();
    circuit.load.frequency_hz = Some(60.0);
    circuit.load.other.insert("stall_time_s".to_owned(), serde_json::json!(12.0));
    let read = Read::of(&drawn(&circuit, "iec"));
    assert!(read.has("w5", 60.0, 12.0) && read.has("da", 60.0, 1.0 / 60.0));
}

/// IEC 60269-1, gates of aM links: 4 times for 60 s, 8 times for 0.5 s and 10 times for 0.2 s carried; 6.3 times within 60 s,
/// 12.5 times within 0.5 s and 19 times within 0.1 s cleared.
#[test]
fn gates_of_am_links_are_corners_of_their_band() {
    let mut circuit = motor();
    circuit.protection = Some(Protection { kind: "aM".to_owned(), rating_a: 16.0, ..Protection::default() });
    let read = Read::of(&drawn(&circuit, "iec"));
    for (multiple, seconds) in [(4.0, 60.0), (8.0, 0.5), (10.0, 0.2), (6.3, 60.0), (12.5, 0.5), (19.0, 0.1)] {
        assert!(read.has("w3", 16.0 * multiple, seconds), "{multiple} times, {seconds} s");
    }
}

/// IEC 60898-1, Table 7, type C: 1.13 and 1.45 times for 1 h, 2.55 times within 1 to 60 s up to 32 A, 5 to 10 times at 0.1 s.
#[test]
fn a_line_breaker_lies_between_its_test_currents() {
    let mut circuit = motor();
    circuit.protection = Some(Protection {
        kind: "circuit-breaker".to_owned(),
        rating_a: 16.0,
        magnetic_trip_a: Some(80.0),
        magnetic_min_a: Some(80.0),
        magnetic_max_a: Some(160.0),
        ..Protection::default()
    });
    let read = Read::of(&drawn(&circuit, "iec"));
    let points = [(18.08, 3600.0), (23.2, 3600.0), (40.8, 1.0), (40.8, 60.0), (80.0, 0.1), (160.0, 0.1)];
    assert!(points.iter().all(|(amperes, seconds)| read.has("w3", *amperes, *seconds)));
}

fn run(size: &str, area: f64, insulation: &str) -> Run {
    Run {
        role: "motor".to_owned(),
        phase_size: size.to_owned(),
        phase_area_mm2: area,
        per_phase: 1,
        material: "copper".to_owned(),
        insulation: insulation.to_owned(),
        ..Run::default()
    }
}

/// IEC 60364-4-43, 434.5.2: I²t = k²S², k = 115 for copper with PVC, up to 5 s. 4 mm²: 460 A for 1 s, 460 / √5 = 205.7 A for 5 s,
/// 4600 A for 0.01 s; on logarithmic axes a line that falls by two decades of time over one of current.
#[test]
fn the_cable_line_ends_at_five_seconds_and_falls_with_the_square() {
    let mut circuit = motor();
    circuit.runs = vec![run("4 mm2", 4.0, "pvc"), run("10 mm2", 10.0, "pvc")];
    let read = Read::of(&drawn(&circuit, "iec"));
    let lines: Vec<_> = read.lines.iter().filter(|(class, _)| class.contains("dd")).collect();
    assert_eq!(lines.len(), 1, "the weakest of the runs");
    let (first, last) = (read.values(lines[0].1[0]), read.values(lines[0].1[1]));
    assert!((first.0 / 205.7 - 1.0).abs() < 0.004 && (first.1 / 5.0 - 1.0).abs() < 0.006, "{first:?}");
    assert!((last.0 / 4600.0 - 1.0).abs() < 0.004 && (last.1 / 0.01 - 1.0).abs() < 0.006, "{last:?}");
    let slope = libm::log(first.1 / last.1) / libm::log(first.0 / last.0);
    assert!((slope + 2.0).abs() < 0.005, "{slope}");
}

/// ICEA P-32-382, as in NFPA 70 Table 240.92(B): (I / A)² t = 0.0297 log10((T2 + 234) / (T1 + 234)), A in circular mils. 12 AWG has
/// 6530 circular mils (NFPA 70, Chapter 9 Table 8); from 90 to 150 °C: 6530 √(0.0297 log10(384 / 324)) = 305.7 A for 1 s.
#[test]
fn the_conductor_line_of_the_customary_book_is_that_of_its_formula() {
    let mut circuit = motor();
    circuit.runs = vec![run("12 AWG", 3.31, "thwn-2")];
    let read = Read::of(&drawn(&circuit, "nec"));
    let (_, points) = read.lines.iter().find(|(class, _)| class.contains("dd")).expect("a line");
    let (amperes, seconds) = read.values(points[0]);
    assert!((amperes * seconds.sqrt() / 305.7 - 1.0).abs() < 0.005, "{amperes} A, {seconds} s");
}

/// 10 A for long, 60 A for 3 s, then for one cycle of 50 Hz the first half-cycle; faults stand upright at 400 A and 20 kA.
#[test]
fn the_start_has_corners_and_faults_stand_upright() {
    let read = Read::of(&drawn(&motor(), "iec"));
    for (amperes, seconds) in [(10.0, 10_000.0), (10.0, 3.0), (60.0, 3.0), (60.0, 0.02), (97.6, 0.02), (97.6, 0.01)] {
        assert!(read.has("da", amperes, seconds), "{amperes} A, {seconds} s");
    }
    for amperes in [400.0, 20_000.0] {
        assert!(read.has("dt", amperes, 10_000.0) && read.has("dt", amperes, 0.01), "{amperes} A");
    }
}

#[test]
fn what_nobody_publishes_is_named_and_not_drawn() {
    let mut circuit = motor();
    circuit.protection = Some(Protection { kind: "class-J".to_owned(), rating_a: 20.0, ..Protection::default() });
    circuit.fault.terminal_single_phase_min_ka = None;
    let svg = drawn(&circuit, "nec");
    assert!(svg.contains("Not drawn:") && svg.contains("clearing"), "what it carries is known, when it clears is not");
    let read = Read::of(&svg);
    // UL 248: a time-delay fuse carries five times its rating for 10 s.
    assert!(read.has("w5", 100.0, 10.0));
    circuit.protection = Some(Protection { kind: "non-time-delay".to_owned(), rating_a: 20.0, ..Protection::default() });
    let svg = drawn(&circuit, "nec");
    assert!(svg.contains("Not drawn:") && svg.contains("published"));
    circuit.status = Status::NotSized;
    assert_eq!(drawn_or_empty(&circuit), "");
}

fn drawn_or_empty(circuit: &Circuit) -> String {
    let grid = Grid { axis: Axis::of([motor()].iter()).expect("an axis"), id: "tc0", drawn: true };
    plot(circuit, grid, book("nec"), Units::Customary, "c1-tc")
}

fn example(name: &str) -> Design {
    let file = |ending: &str| Path::new(env!("CARGO_MANIFEST_DIR")).join("example-schedules").join(format!("{name}.{ending}"));
    let options = Options { schedule: file("csv"), basis: Some(file("toml")), ..Options::default() };
    project::open(&options).expect("an example").design()
}

/// A row of every method, of a small and of a large motor, with a locked-rotor time and a device of every kind of the book.
fn every_method(name: &str, kinds: &[&str], folder: &Path) -> Design {
    let mut text =
        "tag,load_kind,rated_power_kw,voltage_v,phases,full_load_current_a,locked_rotor_ratio,starting_method,start_time_s,\
                    stall_time_s,cable_length_m,protection_kind\n"
            .to_owned();
    for (method, word) in Method::ALL {
        for (size, (kilowatts, amperes)) in [(0.37, 1.1), (11.0, 21.5), (90.0, 160.0)].into_iter().enumerate() {
            for kind in kinds {
                let kind_of_load = if method.supply_only() || *method == Method::Contactor { "heater" } else { "motor" };
                let row = format!("{word}-{size}-{kind},{kind_of_load},{kilowatts},400,3,{amperes},6.5,{word},4,12,60,{kind}\n");
                text.push_str(&row);
            }
        }
    }
    let schedule: PathBuf = folder.join("every.csv");
    let basis = folder.join("every.toml");
    std::fs::write(&schedule, text).expect("a schedule");
    let supply = "prospective_fault_ka = 20\nprospective_fault_min_ka = 6\nx_over_r = 4\n";
    std::fs::write(
        &basis,
        format!("[rules]\nbook = \"{name}\"\n[supply]\nvoltage_v = 400\nfrequency_hz = 50\nphases = 3\n{supply}"),
    )
    .expect("a basis");
    let options = Options { schedule, basis: Some(basis), ..Options::default() };
    project::open(&options).expect("a schedule").design()
}

/// No words stand beyond the frame, on other words or on a curve; what found no place is numbered under the plot. Small on the page.
fn words_never_meet(design: &Design) -> usize {
    let (book, units) = (book(&design.rule_book), Units::of(&design.rule_book));
    let mut seen = 0;
    for circuit in design.circuits.iter().filter(|circuit| super::has_plot(circuit)) {
        let axis = Axis::of(design.circuits.iter().filter(|other| other.board == circuit.board)).expect("an axis");
        let curves = curves::of(circuit, axis, book, units);
        let scene = curves.scene();
        let placed = labels::place(curves.labels.clone(), &scene);
        assert_eq!(placed.len(), curves.labels.len(), "{}", circuit.tag);
        for (index, drawn) in placed.iter().enumerate() {
            assert!(FIELD.holds(drawn.bounds), "{}: {} beyond the frame", circuit.tag, drawn.label.words);
            let meets = |other: &&labels::Placed| other.bounds.meets(drawn.bounds);
            assert!(
                placed[..index].iter().find(meets).is_none() || drawn.number.is_some(),
                "{}: {}",
                circuit.tag,
                drawn.label.words
            );
            let inner = Rect { left: drawn.bounds.left + 0.01, ..drawn.bounds };
            let on_curve = scene.lines.iter().any(|line| line.windows(2).any(|pair| inner.crossed((pair[0], pair[1]))));
            assert!(drawn.number.is_some() || !on_curve, "{}: {} on a curve", circuit.tag, drawn.label.words);
        }
        let svg = plot(circuit, Grid { axis, id: "tc0", drawn: false }, book, units, "c1-tc");
        assert!(svg.len() <= 5 * 1024, "{}: {} bytes", circuit.tag, svg.len());
        assert_eq!(svg, plot(circuit, Grid { axis, id: "tc0", drawn: false }, book, units, "c1-tc"));
        // Every word of a label is drawn: in the plot or under it.
        let read = Read::of(&svg);
        let all: String = read.texts.iter().map(|(text, ..)| text.as_str()).collect::<Vec<_>>().join(" ");
        for word in placed.iter().flat_map(|placed| placed.label.words.split(' ')) {
            assert!(all.contains(word.trim_end_matches('\'')), "{}: {word}", circuit.tag);
        }
        seen += 1;
    }
    seen
}

#[test]
fn words_never_meet_on_the_plots_of_both_examples() {
    for name in ["hospital-hvac", "water-works"] {
        assert!(words_never_meet(&example(name)) > 40, "{name}");
    }
}

#[test]
fn words_never_meet_for_any_method_of_either_book() {
    for (name, kinds) in [
        ("iec", ["motor-breaker", "gG", "aM", "moulded-case"]),
        ("nec", ["inverse-time", "dual-element", "class-J", "instantaneous"]),
    ] {
        let folder = tempfile::tempdir().expect("a folder");
        let design = every_method(name, &kinds, folder.path());
        let seen = words_never_meet(&design);
        let methods: std::collections::BTreeSet<&str> = design
            .circuits
            .iter()
            .filter(|circuit| super::has_plot(circuit))
            .filter_map(|circuit| circuit.load.starting_method.as_deref())
            .collect();
        assert!(methods.len() >= Method::ALL.len() - 2, "{name}: {methods:?}");
        assert!(seen > 100, "{name}: {seen}");
    }
}
