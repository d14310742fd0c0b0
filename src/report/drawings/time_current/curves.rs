//! The curves that a time-current plot shows of a circuit: its start, what protects it, what its cable stands and which faults it may see.
//! Points come from the design and from the rule book; what neither knows is named as not drawn.

use super::axes::{Axis, FIELD, LONGEST, SHORTEST};
use super::geometry::Place;
use super::labels::{Kind, Label, Scene};
use crate::design::{Circuit, Overload, Protection, Run};
use crate::load::Material;
use crate::quantity::{Amperes, SquareMillimetres};
use crate::record::significant;
use crate::report::columns::load::about;
use crate::report::drawings::svg::{Dash, Ink, Pen, Stroke};
use crate::report::words::{brief, full};
use crate::rules::RuleBook;
use crate::rules::curves::{ActingLimits, ClassAsk, ClassLimits, CurvePoint};
use crate::rules::units::Units;

const START: Pen = Pen::solid(Stroke::Curve, Ink::Ink).dashed(Dash::Dashes);
const OVERLOAD: Pen = Pen::solid(Stroke::Curve, Ink::Deep);
/// The same relay while another share of the line current flows through it, and further relays.
const FURTHER: Pen = Pen::solid(Stroke::Conductor, Ink::Deep);
const EDGE: Pen = Pen::solid(Stroke::Outline, Ink::Deep);
const LIMIT: Pen = Pen::solid(Stroke::Limit, Ink::Ink);
const CABLE: Pen = Pen::solid(Stroke::Limit, Ink::Second).dashed(Dash::DashDot);
const FAULT: Pen = Pen::solid(Stroke::Limit, Ink::Rust).dashed(Dash::Dots);

/// Half of a bar at the end of a bracket, mm.
const BAR: f64 = 1.3;
/// Stem of a bar that bounds one side only, mm.
const STEM: f64 = 2.2;
/// Multiples of the setting at which the curve of a class is worked out; published curves end at ten.
const MULTIPLES: [f64; 11] = [1.2, 1.3, 1.5, 1.75, 2.0, 2.5, 3.0, 4.0, 5.5, 7.2, 10.0];
/// Where an instantaneous trip without a curve above it begins, s.
const INSTANTANEOUS_FROM: f64 = 1.0;
/// Up to here an instantaneous trip acts, s; below it a change-over is a moment.
const MOMENT: f64 = 0.1;

/// A plot in the making.
pub(super) struct Curves<'a> {
    circuit: &'a Circuit,
    axis: Axis,
    book: &'a dyn RuleBook,
    units: Units,
    /// Lines with their pens, areas, and all of them as what words must not stand on.
    pub(super) lines: Vec<(Vec<Vec<Place>>, Pen)>,
    pub(super) areas: Vec<Vec<Place>>,
    pub(super) labels: Vec<Label>,
    /// Curves that are not drawn, and why.
    pub(super) missing: Vec<String>,
    /// Points that are the standard's limits and not a maker's curve.
    limits: Vec<Place>,
}

/// A current as it stands beside a curve.
pub(super) fn amperes(value: f64) -> String {
    if value >= 1000.0 {
        format!("{}\u{a0}kA", significant(value / 1000.0, 3))
    } else {
        format!("{}\u{a0}A", significant(value, 3))
    }
}

fn seconds(value: f64) -> String {
    format!("{}\u{a0}s", significant(value, 3))
}

/// The plot of a circuit: curves and words, the latter not yet placed.
pub(super) fn of<'a>(circuit: &'a Circuit, axis: Axis, book: &'a dyn RuleBook, units: Units) -> Curves<'a> {
    let (lines, areas, labels, missing, limits) = Default::default();
    let mut curves = Curves { circuit, axis, book, units, lines, areas, labels, missing, limits };
    curves.faults();
    curves.start();
    curves.overloads();
    curves.protection();
    curves.cable();
    curves.stall();
    curves.standard();
    curves
}

impl Curves<'_> {
    /// Everything that words must not stand on.
    pub(super) fn scene(&self) -> Scene {
        Scene { lines: self.lines.iter().flat_map(|(parts, _)| parts.iter().cloned()).collect(), areas: self.areas.clone() }
    }

    fn line(&mut self, points: &[(f64, f64)], pen: Pen) {
        let places: Vec<Place> = points.iter().map(|point| self.axis.place(*point)).collect();
        let parts = FIELD.cut_line(&places);
        if !parts.is_empty() {
            self.lines.push((parts, pen));
        }
    }

    fn area(&mut self, points: &[(f64, f64)]) {
        let places: Vec<Place> = points.iter().map(|point| self.axis.place(*point)).collect();
        let cut = FIELD.cut_area(&places);
        if cut.len() > 2 {
            self.areas.push(cut);
        }
    }

    /// Lines between places on paper, all with one pen.
    fn marks(&mut self, lines: Vec<[Place; 2]>, pen: Pen) {
        let parts: Vec<Vec<Place>> = lines.iter().flat_map(|line| FIELD.cut_line(line)).collect();
        if !parts.is_empty() {
            self.lines.push((parts, pen));
        }
    }

    /// Words for points of a curve, of which those beyond the axes fall away.
    fn label(&mut self, kind: Kind, words: &str, targets: &[(f64, f64)], ink: Ink) {
        let places = targets.iter().map(|target| self.axis.place(*target));
        let targets: Vec<Place> = places.filter(|place| FIELD.nearest(*place) == *place).collect();
        if !targets.is_empty() {
            self.labels.push(Label { kind, words: words.to_owned(), lines: Vec::new(), targets, ink });
        }
    }

    /// Fault currents as uprights: the largest at the board, the smallest at the load.
    fn faults(&mut self) {
        let fault = &self.circuit.fault;
        let least = fault.terminal_least_ka();
        let board = self.units.pick("at\u{a0}the\u{a0}board", "at\u{a0}the\u{a0}panel");
        let both = [(fault.board_max_ka, "largest fault", board), (least, "smallest fault", "at\u{a0}the\u{a0}load")];
        for (value, name, where_) in both {
            let Some(current) = value.map(|ka| 1000.0 * ka).filter(|amperes| *amperes > 0.0) else {
                self.missing.push(format!("{name} {where_} (not known)"));
                continue;
            };
            self.line(&[(current, LONGEST), (current, SHORTEST)], FAULT);
            let down = [6000.0, 2500.0, 1000.0, 400.0, 150.0, 60.0, 25.0, 10.0, 4.0, 1.5, 0.5, 0.2, 0.08];
            let targets: Vec<(f64, f64)> = down.iter().map(|time| (current, *time)).collect();
            self.label(Kind::Fault, &format!("{name} {} {where_}", amperes(current)), &targets, Ink::Rust);
        }
    }

    /// The start with its corners; a rated current that flows all the time where nothing starts that is ours.
    fn start(&mut self) {
        let currents = &self.circuit.currents;
        let rated = currents.of_larger_speed_a();
        let Some(start) = self.circuit.start.clone() else {
            let drive = self.circuit.starter_devices.iter().any(|device| device.kind == "drive");
            self.line(&[(rated, LONGEST), (rated, SHORTEST)], START);
            let limits = if drive { "; the drive limits the start" } else { "" };
            let words = format!("rated current {}{limits}", amperes(rated));
            self.label(Kind::Start, &words, &[(rated, 15.0), (rated, 1.5), (rated, 0.15), (rated, 150.0)], Ink::Ink);
            return;
        };
        let (current, time) = (start.current_a, start.time_s);
        let cycle = 1.0 / self.circuit.load.frequency_hz.filter(|hertz| *hertz > 0.0).unwrap_or(self.book.frequency_hz());
        let mut course = vec![(rated, LONGEST), (rated, time), (current, time)];
        let mut words = format!("{}, {} for\u{a0}{}", self.start_words(), amperes(current), seconds(time));
        let peak = |at: f64, peak: f64| [(at, cycle), (peak, cycle), (peak, SHORTEST)];
        match (start.change_over_a, start.first_peak_a) {
            (None, Some(first)) => {
                course.extend(peak(current, first));
                words.push_str(&format!(", at\u{a0}first\u{a0}{}", amperes(first)));
            }
            _ => course.push((current, SHORTEST)),
        }
        self.line(&course, START);
        let between = |share: f64| libm::pow(rated, 1.0 - share) * libm::pow(current, share);
        self.label(Kind::Start, &words, &[(current, time), (between(0.5), time), (current, 0.7), (current, 0.2)], Ink::Ink);
        if let Some(change) = start.change_over_a {
            let mut course = vec![(change, MOMENT)];
            match start.first_peak_a {
                Some(first) => course.extend(peak(change, first)),
                None => course.push((change, SHORTEST)),
            }
            self.line(&course, START);
            let name = self.units.pick("change-over:", "transition:");
            let words = format!("{name} at most {} for a\u{a0}moment", amperes(change));
            self.label(Kind::Start, &words, &[(change, MOMENT), (change, 0.04), (change, 0.025)], Ink::Ink);
        }
    }

    fn starts_larger_at_low_speed(&self) -> bool {
        self.circuit.currents.of_larger_speed_a() > self.circuit.currents.full_load_a
    }

    fn start_words(&self) -> String {
        match self.circuit.load.starting_method.as_deref() {
            None | Some("direct" | "manual") => "motor start".to_owned(),
            Some("two-speed" | "two-speed-dahlander" | "two-speed-separate") => {
                let speed = if self.starts_larger_at_low_speed() { "low" } else { "high" };
                format!("start at {speed} speed")
            }
            Some(method) => format!("start, {}", brief(self.units, method)),
        }
    }

    /// Overload relays and releases, each at the line currents that its setting stands for.
    fn overloads(&mut self) {
        let mut overloads: Vec<Overload> = self.circuit.overloads.clone();
        // The start that is drawn is that of the speed which draws more.
        let first_at_low = self.starts_larger_at_low_speed();
        let several = overloads.iter().any(|overload| overload.count > 1);
        // The relay of each of several motors sees its share of that start, not what a device before them has set for all.
        overloads.sort_by_key(|overload| ((overload.role == "low") != first_at_low, several && overload.count < 2));
        let mut drawn: Vec<(String, f64)> = Vec::new();
        for overload in &overloads {
            let base = overload.setting_a / overload.winding_factor;
            if !(base > 0.0 && base.is_finite()) {
                continue;
            }
            if overload.kind == "in-drive" {
                self.missing.push("protection in the drive (its maker’s)".to_owned());
                continue;
            }
            let again = drawn.iter().any(|(class, other)| *class == overload.trip_class && (base / other - 1.0).abs() < 0.02);
            if again {
                continue;
            }
            drawn.push((overload.trip_class.clone(), base));
            let first = drawn.len() == 1;
            self.class_curve(overload, base, if first { OVERLOAD } else { FURTHER }, None);
            if first {
                self.class_limits(overload, base);
                let starting = self.circuit.start.as_ref().map_or(base, |start| overload.setting_a / start.relay_share);
                if (starting / base - 1.0).abs() > 0.02 && starting > 0.0 {
                    self.class_curve(overload, starting, FURTHER, Some("while starting"));
                }
            }
        }
    }

    /// The curve of a class from cold, on the base of a line current that is its setting.
    fn class_curve(&mut self, overload: &Overload, base: f64, pen: Pen, remark: Option<&str>) {
        // A release of the breaker itself ends where the magnetic one begins.
        let release = matches!(overload.kind.as_str(), "motor-breaker" | "moulded-case");
        let magnetic = self.circuit.protection.as_ref().and_then(|protection| protection.magnetic_min_a).filter(|_| release);
        let last = magnetic.map_or(10.0, |magnetic| (magnetic / base).min(10.0));
        let multiples = MULTIPLES.iter().copied().filter(|multiple| *multiple < last).chain([last]);
        let time = |multiple: f64| Some((multiple * base, self.book.class_curve(&overload.trip_class, multiple)?.0));
        let points: Vec<(f64, f64)> = multiples.filter_map(time).collect();
        if points.len() < 2 {
            self.missing.push(format!("overload protection, class {} (no published curve)", overload.trip_class));
            return;
        }
        self.line(&points, pen);
        let line =
            if (overload.winding_factor - 1.0).abs() < 1e-3 { String::new() } else { format!(" (line\u{a0}{})", amperes(base)) };
        let line = if overload.count > 1 { format!(" each{line}") } else { line };
        let role = match overload.role.as_str() {
            "low" | "high" => format!(", {} speed", overload.role),
            "bypass" => ", bypass".to_owned(),
            _ => String::new(),
        };
        let words = match remark {
            Some(remark) => format!("the same {remark}"),
            None => {
                let (kind, class) = (overload_words(overload), &overload.trip_class);
                format!("{kind}{role}, class\u{a0}{class}, cold, set\u{a0}{}{line}", amperes(overload.setting_a))
            }
        };
        let targets: Vec<(f64, f64)> = points.iter().take(8).copied().collect();
        self.label(Kind::Overload, &words, &targets, Ink::Ink);
    }

    /// The standard's limits of the class as brackets.
    fn class_limits(&mut self, overload: &Overload, base: f64) {
        let ultimate_trip = overload.ultimate_trip_a.map(|trip| trip / overload.setting_a);
        let ask = ClassAsk { class: &overload.trip_class, ultimate_trip };
        let Some(ClassLimits { ultimate, marks, .. }) = self.book.class_limits(&ask) else { return };
        if let Some((carries, trips, time)) = ultimate {
            let (from, to) = (self.axis.place((carries * base, time.0)), self.axis.place((trips * base, time.0)));
            let bar = |at: Place| [(at.0, at.1 - BAR), (at.0, at.1 + BAR)];
            self.marks(vec![[from, to], bar(from), bar(to)], LIMIT);
        }
        for mark in marks {
            let top = self.axis.place((mark.multiple * base, mark.most.0));
            let foot = mark.least.map(|least| self.axis.place((mark.multiple * base, least.0)));
            self.bracket(top, foot);
            self.limits.push(top);
        }
    }

    /// A bar at a limit, with one at the other end or with a stem where there is no other.
    fn bracket(&mut self, top: Place, foot: Option<Place>) {
        let bar = |at: Place| [(at.0 - BAR, at.1), (at.0 + BAR, at.1)];
        let lines = match foot {
            Some(foot) => vec![[top, foot], bar(top), bar(foot)],
            None => vec![[top, (top.0, top.1 + STEM)], bar(top)],
        };
        self.marks(lines, LIMIT);
    }

    /// The short-circuit protective device.
    fn protection(&mut self) {
        let Some(protection) = self.circuit.protection.clone() else { return };
        let name = full(self.units, &protection.kind);
        if let Some(limits) = self.book.fuse_limits(&protection.kind, Amperes(protection.rating_a)) {
            self.fuse(&protection, &limits);
        } else if let (Some(least), Some(most)) = (protection.magnetic_min_a, protection.magnetic_max_a) {
            self.breaker(&protection, least, most);
        } else {
            self.missing.push(format!("{name}, {}: no published limit", amperes(protection.rating_a)));
        }
    }

    /// A band between gates, or what is carried for a time where nothing more is published.
    fn fuse(&mut self, protection: &Protection, limits: &ActingLimits) {
        let words = format!("{} {}", full(self.units, &protection.kind), amperes(protection.rating_a));
        let (mut carries, acts) = (pairs(&limits.carries), pairs(&limits.acts));
        let (Some(last), Some(end)) = (carries.last().copied(), acts.last().copied()) else {
            for point in &limits.carries {
                let place = self.axis.place((point.current.0, point.time.0));
                self.bracket(place, None);
                self.limits.push(place);
            }
            let carried = limits
                .carries
                .first()
                .map(|point| format!(" carries {} for {}", amperes(point.current.0), seconds(point.time.0)));
            self.label(Kind::Device, &(words + &carried.unwrap_or_default()), &carries, Ink::Ink);
            self.missing.push(format!("{}, clearing (no published limit)", full(self.units, &protection.kind)));
            return;
        };
        // A fuse that does not melt within a time does not melt within a shorter one.
        if last.1 > end.1 {
            carries.push((last.0, end.1));
        }
        self.band(&carries, &acts);
        let targets =
            [between(&acts, 0.5), between(&acts, 0.05), between(&acts, 0.02), between(&acts, 5.0), between(&acts, 50.0)];
        let targets: Vec<(f64, f64)> = targets.into_iter().flatten().collect();
        self.label(Kind::Device, &words, &targets, Ink::Ink);
        self.limits.extend(between(&carries, 1.0).map(|point| self.axis.place(point)));
        self.limits.rotate_right(1);
    }

    /// An instantaneous trip with its tolerance, under the overload release where that is known.
    fn breaker(&mut self, protection: &Protection, least: f64, most: f64) {
        let rating = protection.setting_a.unwrap_or(protection.rating_a);
        let classed = self.circuit.overloads.iter().any(|overload| overload.kind == protection.kind);
        let magnetic_only = match protection.kind.as_str() {
            "instantaneous" => true,
            "moulded-case" => self.circuit.start.is_some() && protection.setting_a.is_none(),
            _ => false,
        };
        let thermal = if classed || magnetic_only { None } else { self.book.breaker_limits(&protection.kind, Amperes(rating)) };
        match thermal {
            Some(limits) if limits.carries.len() > 1 => {
                let side = |points: &[CurvePoint], edge: f64| [pairs(points), vec![(edge, MOMENT), (edge, SHORTEST)]].concat();
                self.band(&side(&limits.carries, least), &side(&limits.acts, most));
                self.limits.extend(limits.acts.last().map(|point| self.axis.place((point.current.0, point.time.0))));
            }
            limits => {
                self.instantaneous(least, most);
                if let Some(limits) = limits {
                    self.conventional(&limits);
                    self.missing
                        .push("circuit-breaker between conventional currents and magnetic release (its maker’s)".to_owned());
                } else if !classed && !magnetic_only {
                    self.missing.push(format!("{}, thermal part (no published limit)", full(self.units, &protection.kind)));
                }
            }
        }
        let kind = self.units.pick("magnetic release", "instantaneous trip");
        let nominal = protection.magnetic_trip_a.unwrap_or(most);
        let even = (nominal - least - (most - nominal)).abs() < 0.01 * nominal;
        let value = if even {
            format!("{}\u{a0}±\u{a0}{}\u{a0}%", amperes(nominal), significant(100.0 * (most - nominal) / nominal, 2))
        } else {
            format!("{} to {}", amperes(least), amperes(most))
        };
        let device = format!("{}{}, ", self.units.pick("circuit-breaker ", "breaker\u{a0}"), amperes(protection.rating_a));
        let words = format!("{}{kind} {value}", if classed { String::new() } else { device });
        self.label(Kind::Device, &words, &[(most, 0.08), (most, 0.035), (most, 0.25), (most, 0.6), (least, 0.06)], Ink::Ink);
    }

    /// Conventional currents: not tripped, then tripped.
    fn conventional(&mut self, limits: &ActingLimits) {
        let (Some(carries), Some(acts)) = (limits.carries.first(), limits.acts.first()) else { return };
        let (from, to) = (self.axis.place((carries.current.0, carries.time.0)), self.axis.place((acts.current.0, acts.time.0)));
        let bar = |at: Place| [(at.0, at.1 - BAR), (at.0, at.1 + BAR)];
        self.marks(vec![[from, to], bar(from), bar(to)], LIMIT);
        self.limits.push(to);
    }

    /// The band of an instantaneous trip, from the curve of the overload protection down.
    fn instantaneous(&mut self, least: f64, most: f64) {
        let base = self
            .circuit
            .overloads
            .iter()
            .find(|overload| overload.kind != "in-drive")
            .map(|overload| (overload.setting_a / overload.winding_factor, overload));
        let top = |current: f64| {
            base.and_then(|(base, overload)| self.book.class_curve(&overload.trip_class, (current / base).min(10.0)))
                .map_or(INSTANTANEOUS_FROM, |time| time.0)
        };
        let (first, last) = (top(least), top(most));
        self.band(&[(least, first), (least, SHORTEST)], &[(most, last), (most, SHORTEST)]);
    }

    /// An area between two sides with thin edges.
    fn band(&mut self, carries: &[(f64, f64)], acts: &[(f64, f64)]) {
        let back: Vec<(f64, f64)> = acts.iter().rev().copied().collect();
        self.area(&[carries, &back].concat());
        self.line(carries, EDGE);
        self.line(acts, EDGE);
    }

    /// The curve that the weakest conductor behind the device stands.
    fn cable(&mut self) {
        let behind_drive = self.circuit.starter_devices.iter().any(|device| device.kind == "drive");
        let runs = self.circuit.runs.iter().filter(|run| run.role != "rotor" && run.role != "control");
        // The drive clears what happens behind it.
        let has_supply = self.circuit.runs.iter().any(|run| run.role == "supply");
        let runs = runs.filter(|run| !behind_drive || !has_supply || run.role == "supply");
        let known = runs.filter_map(|run| Some((run, self.withstand(run)?)));
        let weakest = known.min_by(|a, b| a.1.total_cmp(&b.1)).map(|(run, stands)| (run.clone(), stands));
        let Some((run, stands)) = weakest else {
            if !self.circuit.runs.is_empty() {
                self.missing.push("what the conductors stand (not known for their insulation)".to_owned());
            }
            return;
        };
        let longest = self.book.withstand_longest().0;
        let at = |time: f64| (stands / time.sqrt(), time);
        self.line(&[at(longest), at(SHORTEST)], CABLE);
        let insulation = full(self.units, &run.insulation);
        let insulation = self.units.pick(insulation.clone(), insulation.to_uppercase());
        let name = self.units.pick("cable", "conductor");
        let size = run.phase_size.replace("mm2", "mm²").replace(' ', "\u{a0}");
        self.label(
            Kind::Cable,
            &format!("{name} {size} {insulation} withstands"),
            &[at(longest), at(1.3), at(0.35), at(0.13), at(0.035)],
            Ink::Ink,
        );
    }

    /// k S of one conductor, A√s.
    fn withstand(&self, run: &Run) -> Option<f64> {
        let material = if run.material == "copper" { Material::Copper } else { Material::Aluminium };
        let (k, _) = self.book.withstand_factor(&run.insulation, material, SquareMillimetres(run.phase_area_mm2))?;
        (run.phase_area_mm2 > 0.0).then_some(k * run.phase_area_mm2)
    }

    /// How long the motor stands a locked rotor, where the row says.
    fn stall(&mut self) {
        let Some(start) = self.circuit.start.as_ref() else { return };
        let Some(time) = self.circuit.load.other.get("stall_time_s").and_then(serde_json::Value::as_f64) else { return };
        let at = (start.locked_rotor_a, time);
        let (x, y) = self.axis.place(at);
        self.marks(vec![[(x - 1.6, y), (x + 1.6, y)], [(x, y), (x, y + STEM)]], LIMIT);
        self.label(Kind::Stall, &format!("locked rotor, hot: at most {}", seconds(time)), &[at], Ink::Ink);
    }

    /// A limit of a standard says that it is one.
    fn standard(&mut self) {
        let targets: Vec<Place> = self.limits.iter().copied().filter(|limit| FIELD.nearest(*limit) == *limit).collect();
        if !targets.is_empty() {
            let words = "limits of the standard, not a maker’s curve".to_owned();
            self.labels.push(Label { kind: Kind::Limits, words, lines: Vec::new(), targets, ink: Ink::Second });
        }
    }

    /// The plot in words, for readers who can't see it, from the checks that were made.
    pub(super) fn description(&self) -> String {
        let names = [
            "trip-class-at-start",
            "magnetic-trip-at-start",
            "fuse-at-start",
            "stall-protection",
            "fault-withstand",
            "disconnection",
        ];
        let result = |passed: Option<bool>| match passed {
            Some(true) => "passed",
            Some(false) => "failed",
            None => "not checked",
        };
        let checks = self.circuit.checks.iter().filter(|check| names.contains(&check.name.as_str()));
        let said: Vec<String> = checks
            .map(|check| {
                let subject = about(&self.circuit.load.kind, &check.subject);
                let about = if subject.is_empty() { String::new() } else { format!(", {}", full(self.units, subject)) };
                format!("{}{about}: {}", full(self.units, &check.name), result(check.passed))
            })
            .collect();
        let shown: Vec<String> = self.labels.iter().map(|label| label.words.clone()).collect();
        let checked = if said.is_empty() { String::new() } else { format!(" Checks: {}.", said.join("; ")) };
        format!("Time over current, both logarithmic, with {}.{checked}", shown.join("; "))
    }
}

fn pairs(points: &[CurvePoint]) -> Vec<(f64, f64)> {
    points.iter().map(|point| (point.current.0, point.time.0)).collect()
}

/// The point of a side at a time, on a straight line between its points on logarithmic axes.
fn between(side: &[(f64, f64)], time: f64) -> Option<(f64, f64)> {
    let pair = side.windows(2).find(|pair| pair[0].1 >= time && time >= pair[1].1 && pair[0].1 > pair[1].1)?;
    let share = libm::log(pair[0].1 / time) / libm::log(pair[0].1 / pair[1].1);
    Some((pair[0].0 * libm::pow(pair[1].0 / pair[0].0, share), time))
}

fn overload_words(overload: &Overload) -> &'static str {
    match overload.kind.as_str() {
        "motor-breaker" | "moulded-case" => "overload release",
        "in-soft-starter" => "overload protection",
        "manual-starter" => "manual starter",
        _ => "overload relay",
    }
}
