//! A power circuit while it is drawn: conductors gathered into one path, devices down a column, words beside them.

use std::fmt::Write as _;

use super::names::Names;
use super::symbols::{CONTACTOR, PITCH, STAR_POINT, Symbol, TERMINALS};
use crate::design::Contactor;
use crate::report::drawings::svg::{
    Anchor, Canvas, Dash, Ink, Millimetres, Pen, Size, Stroke, Type, fitted, mm, two_lines, width_of,
};
use crate::rules::units::Units;

/// Width of the drawing, mm.
pub(super) const WIDTH: f64 = 97.0;
/// Distance of lines of words, mm.
pub(super) const LINE: f64 = 2.9;
/// From the upper end of a device to the foot of the first line beside it.
const FIRST_LINE: f64 = 2.4;

/// From a pole to the conductor that leads up beside it, clear of the symbols of both poles.
const BETWEEN_POLES: f64 = 2.2;
/// From the lower end of a device with poles in series to where all conductors go on.
const SERIES: f64 = 4.4;

const CONDUCTOR: Pen = Pen::solid(Stroke::Conductor, Ink::Ink);
const PROTECTIVE: Pen = CONDUCTOR.dashed(Dash::DashDot);
const LINK: Pen = Pen::solid(Stroke::Outline, Ink::Ink).dashed(Dash::Dashes);
const OUTLINE: Pen = Pen::solid(Stroke::Outline, Ink::Ink);
const LEADER: Pen = Pen::solid(Stroke::Thin, Ink::Second);

/// Conductors side by side, with the place down to which they are drawn.
#[derive(Clone, Copy, Debug)]
pub(super) struct Column {
    /// First conductor.
    pub(super) x: f64,
    /// Drawn down to here.
    pub(super) y: f64,
    /// Conductors.
    pub(super) conductors: usize,
    /// Those of them that devices switch; the others go past.
    pub(super) poles: usize,
}

impl Column {
    pub(super) fn three(x: f64, y: f64) -> Self {
        Self { x, y, conductors: 3, poles: 3 }
    }

    /// Place of a conductor.
    #[allow(clippy::cast_precision_loss)] // three or four
    pub(super) fn at(&self, conductor: usize) -> f64 {
        self.x + conductor as f64 * PITCH
    }

    /// The last conductor.
    pub(super) fn end(&self) -> f64 {
        self.at(self.conductors - 1)
    }

    /// The last conductor that is switched.
    pub(super) fn last_pole(&self) -> f64 {
        self.at(self.poles - 1)
    }
}

/// Words beside a device: its name, then what it is and what it is set to.
#[derive(Clone, Debug, Default)]
pub(super) struct Label {
    pub(super) name: String,
    pub(super) lines: Vec<String>,
    /// Last, in the sender's words: two lines of it.
    pub(super) remark: String,
}

impl Label {
    pub(super) fn new(name: String, lines: impl IntoIterator<Item = String>) -> Self {
        Self { name, lines: lines.into_iter().filter(|line| !line.is_empty()).collect(), remark: String::new() }
    }
}

/// How words stand beside a device.
#[derive(Clone, Copy, Debug)]
pub(super) enum Beside {
    /// The name at the edge, the lines in a column of their own beside it.
    Wide,
    /// The name above the lines, at a place with a width.
    Narrow(f64, f64),
}

/// The drawing.
pub(super) struct Paper {
    pub(super) units: Units,
    pub(super) names: Names,
    pub(super) canvas: Canvas,
    /// Where words begin.
    pub(super) edge: f64,
    /// How far words beside the column go; the whole width but where a second column stands.
    pub(super) until: f64,
    wires: String,
    protective: String,
    links: String,
    dots: Vec<(f64, f64)>,
    bottom: f64,
    /// Names in the order of the drawing, for its description.
    pub(super) told: Vec<String>,
}

impl Paper {
    pub(super) fn new(units: Units, edge: f64) -> Self {
        Self {
            units,
            names: Names::new(units),
            canvas: Canvas::new(WIDTH, 1.0),
            edge,
            until: WIDTH,
            wires: String::new(),
            protective: String::new(),
            links: String::new(),
            dots: Vec::new(),
            bottom: 0.0,
            told: Vec::new(),
        }
    }

    /// Something was drawn down to here.
    pub(super) fn reach(&mut self, y: f64) {
        self.bottom = self.bottom.max(y);
    }

    /// A conductor through points.
    pub(super) fn wire(&mut self, points: &[(f64, f64)]) {
        trace(&mut self.wires, points);
    }

    /// The protective conductor.
    pub(super) fn protective(&mut self, points: &[(f64, f64)]) {
        trace(&mut self.protective, points);
    }

    /// A mechanical link.
    pub(super) fn link(&mut self, points: &[(f64, f64)]) {
        trace(&mut self.links, points);
    }

    /// A junction.
    pub(super) fn dot(&mut self, x: f64, y: f64) {
        self.dots.push((x, y));
    }

    /// Leads a column down to a place.
    pub(super) fn down(&mut self, column: &mut Column, to: f64) {
        if to > column.y {
            for conductor in 0..column.conductors {
                self.wire(&[(column.at(conductor), column.y), (column.at(conductor), to)]);
            }
            column.y = to;
        }
    }

    /// A symbol over the poles of a column; conductors that are not switched go past. A fourth pole is linked to the three before it.
    pub(super) fn symbol(&mut self, column: &mut Column, symbol: Symbol) {
        self.canvas.symbol(symbol.id(column.poles), column.x, column.y);
        let fourth = column.poles > 3 && symbol.opens();
        if fourth {
            let (third, neutral, middle) = (column.at(2), column.at(3), column.y + 4.6);
            self.canvas.symbol(symbol.id(1), neutral, column.y);
            self.link(&[(third - 1.2, middle), (neutral - 1.2, middle)]);
        }
        let past = if fourth { 4 } else { column.poles.min(3) };
        for conductor in past..column.conductors {
            let x = column.at(conductor);
            self.wire(&[(x, column.y), (x, column.y + symbol.height())]);
        }
        column.y += symbol.height();
        self.reach(column.y);
    }

    /// A device of one or more symbols below each other, with words beside it. Gives the upper end of its first symbol.
    pub(super) fn device(&mut self, column: &mut Column, symbols: &[Symbol], label: &Label, beside: Beside) -> f64 {
        let gap = column.y + 1.6;
        self.down(column, gap);
        let top = column.y;
        for symbol in symbols {
            self.symbol(column, *symbol);
        }
        let words = self.words(top, label, beside);
        self.down(column, words - 1.0);
        top
    }

    /// A contactor in a column. Where several of its poles stand side by side in one line, none is left for the neutral, which goes past
    /// it.
    pub(super) fn contactor(&mut self, column: &mut Column, contactor: &Contactor, label: &Label, beside: Beside) -> f64 {
        let poles = column.poles;
        if contactor.poles_in_parallel > 1 && column.conductors == 2 {
            column.poles = 1;
        }
        let top = self.device(column, &[CONTACTOR], label, beside);
        column.poles = poles;
        top
    }

    /// A device of three poles in a circuit of two conductors: the last conductor that it switches goes through so many of its poles one
    /// after the other, up again between them; a neutral that it does not switch goes round it.
    pub(super) fn device_in_series(&mut self, column: &mut Column, symbols: &[Symbol], poles: usize, label: &Label) {
        let gap = column.y + if column.poles < column.conductors { 2.6 } else { 1.6 };
        let (above, top) = (column.y, gap);
        let height: f64 = symbols.iter().map(|symbol| symbol.height()).sum();
        let foot = top + height;
        let first = column.poles - 1;
        let last = first + poles - 1;
        let place = |pole: usize| column.at(pole);
        for conductor in 0..column.poles {
            self.wire(&[(place(conductor), above), (place(conductor), top)]);
        }
        for conductor in 0..first {
            self.wire(&[(place(conductor), foot), (place(conductor), foot + SERIES)]);
        }
        for pole in first..last {
            let between = place(pole) + BETWEEN_POLES;
            let up = [(place(pole), foot), (place(pole), foot + 1.2), (between, foot + 1.2), (between, top - 1.0)];
            self.wire(&[&up[..], &[(place(pole + 1), top - 1.0), (place(pole + 1), top)]].concat());
        }
        let back = foot + 2.4;
        self.wire(&[(place(last), foot), (place(last), back), (place(first), back), (place(first), foot + SERIES)]);
        for past in column.poles..column.conductors {
            let (x, round, over) = (place(past), place(last + past - first), above + 0.8);
            self.wire(&[(x, above), (x, over), (round, over), (round, foot + 3.6), (x, foot + 3.6), (x, foot + SERIES)]);
        }
        let mut y = top;
        for symbol in symbols {
            self.canvas.symbol(symbol.id(last + 1), column.x, y);
            y += symbol.height();
        }
        column.y = foot + SERIES;
        self.reach(column.y);
        let words = self.words(top, label, Beside::Wide);
        self.down(column, words - 1.0);
    }

    /// Words beside a device; gives where they end.
    pub(super) fn words(&mut self, top: f64, label: &Label, beside: Beside) -> f64 {
        let name = Type::plain(Size::Text).strong();
        let line = Type::plain(Size::Label);
        self.told.push(label.name.clone());
        let mut y = top + FIRST_LINE;
        let (x, width) = match beside {
            Beside::Wide => {
                self.canvas.text(self.edge, y, &label.name, name);
                let x = self.edge + 9.0;
                (x, self.until - x)
            }
            Beside::Narrow(x, width) => {
                self.canvas.text(x, y, &label.name, name);
                y += LINE;
                (x, width)
            }
        };
        let mut lines = broken(&label.lines, width);
        lines.extend(two_lines(&label.remark, Size::Label, width));
        for text in lines {
            self.canvas.text(x, y, &text, line);
            y += LINE;
        }
        let end = y.max(top + FIRST_LINE + LINE);
        self.reach(end - 1.4);
        end
    }

    /// A conductor from each of one column to each of another at steps, and a junction where the first goes on. `order` names the
    /// conductor of the second for each of the first; the last of the first is uppermost when it leads out, lowest when it leads in.
    pub(super) fn across(&mut self, from: &Column, to: &Column, y: f64, order: [usize; 3], out: bool) {
        for (first, second) in order.into_iter().enumerate().take(from.conductors.min(to.conductors)) {
            let rank = if out { 2 - second.min(2) } else { second.min(2) };
            let at = y + step(rank);
            let (a, b) = (from.at(first), to.at(second));
            self.dot(a, at);
            self.wire(&[(a, at), (b, at)]);
        }
    }

    /// Terminals of a column with their marks on the right.
    pub(super) fn terminals(&mut self, column: &mut Column, marks: &[&str]) {
        let y = column.y + 1.4;
        self.down(column, y);
        self.canvas.symbol(TERMINALS.id(column.conductors), column.x, y);
        for (pole, mark) in marks.iter().enumerate().take(column.conductors) {
            self.mark(column.at(pole) + 0.65, y - 0.2, mark);
        }
    }

    /// A mark of a terminal.
    pub(super) fn mark(&mut self, x: f64, y: f64, mark: &str) {
        self.canvas.text(x, y + 0.75, mark, Type::plain(Size::Mark));
    }

    /// A star point under a column.
    pub(super) fn star_point(&mut self, column: &mut Column) {
        let y = column.y + 1.5;
        self.down(column, y);
        self.canvas.symbol(STAR_POINT.id(column.conductors), column.x, y);
        self.reach(y + 1.0);
    }

    /// Draws the sign of conductors in one cable or raceway: an oval with a leader to its words.
    pub(super) fn oval(&mut self, from: f64, to: f64, y: f64, words_at: f64) {
        self.ellipse(from, to, y);
        self.canvas.line(&[(to + 1.6, y), (words_at - 1.0, y)], LEADER);
    }

    /// The same with its words on the left.
    pub(super) fn oval_left(&mut self, from: f64, to: f64, y: f64, words_end: f64) {
        self.ellipse(from, to, y);
        self.canvas.line(&[(words_end, y), (from - 1.6, y)], LEADER);
    }

    fn ellipse(&mut self, from: f64, to: f64, y: f64) {
        let (left, right, radius, y) = (mm(from - 1.6), mm(to + 1.6), mm((to - from) / 2.0 + 1.6), mm(y));
        self.canvas.path(&format!("M{left} {y}A{radius} 1.4 0 0 1 {right} {y}A{radius} 1.4 0 0 1 {left} {y}"), OUTLINE);
    }

    /// The same round conductors that lie on their side.
    pub(super) fn upright_oval(&mut self, x: f64, from: f64, to: f64) {
        let (top, foot, radius, x) = (mm(from - 1.6), mm(to + 1.6), mm((to - from) / 2.0 + 1.6), mm(x));
        self.canvas.path(&format!("M{x} {top}A1.4 {radius} 0 0 1 {x} {foot}A1.4 {radius} 0 0 1 {x} {top}"), OUTLINE);
    }

    /// Where words and symbols end that were drawn so far.
    pub(super) fn bottom_of_words(&self) -> f64 {
        self.bottom
    }

    /// A dashed frame: not ours, or not chosen.
    pub(super) fn dashed_frame(&mut self, x: f64, y: f64, width: f64, height: f64) {
        self.canvas.frame(x, y, width, height, LINK);
    }

    /// A resistor on its side, 5.6 mm long.
    pub(super) fn lying_resistor(&mut self, x: f64, y: f64) {
        match self.units {
            Units::Metric => self.canvas.frame(x, y - 1.0, 5.6, 2.0, OUTLINE),
            Units::Customary => {
                let mut points = vec![(x, y)];
                for (step, side) in [0.4, 1.3, 2.2, 3.1, 4.0, 4.9].into_iter().zip([-1.0, 1.0].into_iter().cycle()) {
                    points.push((x + step, y + side));
                }
                points.push((x + 5.6, y));
                self.wire(&points);
            }
        }
    }

    /// A remark in the upper right corner.
    pub(super) fn corner(&mut self, text: &str) {
        self.canvas.text(WIDTH - 0.2, 2.2, text, Type::plain(Size::Label).strong().at(Anchor::End));
    }

    /// The finished drawing.
    pub(super) fn finish(mut self, id: &str, title: &str, description: &str) -> String {
        for (path, pen) in [(&self.wires, CONDUCTOR), (&self.protective, PROTECTIVE), (&self.links, LINK)] {
            if !path.is_empty() {
                self.canvas.path(path, pen);
            }
        }
        self.canvas.junctions(&self.dots);
        self.canvas.grow_to(self.bottom + 0.6);
        self.canvas.finish(id, title, description)
    }
}

/// Distance of conductors that lead across, mm.
pub(super) fn step(rank: usize) -> f64 {
    match rank {
        0 => 0.0,
        1 => 1.5,
        _ => 3.0,
    }
}

/// Adds a line through points to a path, along the axes where it can.
fn trace(path: &mut String, points: &[(f64, f64)]) {
    let mut last: Option<(Millimetres, Millimetres)> = None;
    for (x, y) in points.iter().map(|(x, y)| (mm(*x), mm(*y))) {
        let _ = match &last {
            None => write!(path, "M{x} {y}"),
            Some((before, _)) if *before == x => write!(path, "V{y}"),
            Some((_, before)) if *before == y => write!(path, "H{x}"),
            Some(_) => write!(path, "L{x} {y}"),
        };
        last = Some((x, y));
    }
}

/// Lines that fit: a line that is too long goes on in the next, at a comma where it can, else at a blank.
fn broken(lines: &[String], width: f64) -> Vec<String> {
    let fits = |text: &str| width_of(text, Size::Label) <= width + 1e-9;
    let mut list = Vec::new();
    for line in lines {
        let mut rest = line.as_str();
        while !fits(rest) && list.len() < 6 {
            let ends = |mark: &str| {
                rest.match_indices(mark).map(|(at, _)| at + mark.len()).filter(|at| fits(rest[..*at].trim_end())).last()
            };
            let Some(at) = ends(", ").or_else(|| ends(" ")).or_else(|| ends("-")) else { break };
            list.push(rest[..at].trim_end().to_owned());
            rest = &rest[at..];
        }
        list.push(fitted(rest, Size::Label, width));
    }
    list
}
