//! The time-current plot of a circuit: when its start ends, when what protects it acts, what its cable stands.

use std::fmt::Write as _;

use super::svg::{Anchor, Canvas, Ink, Pen, Size, Stroke, Type, mm};
use crate::design::{Circuit, Status};
use crate::rules::RuleBook;
use crate::rules::units::Units;

mod axes;
mod curves;
mod geometry;
mod labels;

pub use axes::Axis;
use axes::{HEIGHT, WIDTH};
use labels::{PITCH, Placed, RING};

/// The axes of a board's plots, which they share.
#[derive(Clone, Copy, Debug)]
pub struct Grid<'a> {
    /// Currents.
    pub axis: Axis,
    /// Place of the drawn axes on the page.
    pub id: &'a str,
    /// They are drawn with this plot; the others refer to them.
    pub drawn: bool,
}

/// Tells whether a circuit has a plot: it is sized, and has a start or a protective device.
#[must_use]
pub fn has_plot(circuit: &Circuit) -> bool {
    let shows = circuit.start.is_some() || circuit.protection.is_some();
    circuit.status != Status::NotSized && shows && circuit.currents.full_load_a > 0.0
}

/// The finished plot; empty for a circuit that has none. `id` is that of no other drawing on the page.
#[must_use]
pub fn plot(circuit: &Circuit, grid: Grid<'_>, book: &dyn RuleBook, units: Units, id: &str) -> String {
    if !has_plot(circuit) {
        return String::new();
    }
    let curves = curves::of(circuit, grid.axis, book, units);
    let mut canvas = Canvas::new(WIDTH, HEIGHT);
    canvas.shared(grid.id, grid.drawn, |canvas| grid.axis.draw(canvas));
    for area in &curves.areas {
        canvas.area(area, Ink::Pale);
    }
    for (parts, pen) in &curves.lines {
        canvas.path(&through(parts), *pen);
    }
    let placed = labels::place(curves.labels.clone(), &curves.scene());
    for placed in &placed {
        words(&mut canvas, placed);
    }
    below(&mut canvas, &placed, &curves.missing);
    canvas.finish(id, &format!("Time-current plot of {}", circuit.tag), &curves.description())
}

fn through(parts: &[Vec<geometry::Place>]) -> String {
    let mut d = String::new();
    for part in parts {
        for (index, (x, y)) in part.iter().enumerate() {
            let _ = write!(d, "{}{} {}", if index == 0 { 'M' } else { 'L' }, mm(*x), mm(*y));
        }
    }
    d
}

/// Words in their box with their leaders, or a ring with its number.
fn words(canvas: &mut Canvas, placed: &Placed) {
    for (from, to) in &placed.leaders {
        canvas.line(&[*from, *to], Pen::solid(Stroke::Thin, Ink::Second));
    }
    let middle = f64::midpoint(placed.bounds.left, placed.bounds.right);
    if let Some(number) = placed.number {
        let centre = f64::midpoint(placed.bounds.top, placed.bounds.bottom);
        canvas.ring(middle, centre, RING, Pen::solid(Stroke::Outline, Ink::Ink));
        canvas.text(middle, centre + 0.7, &number.to_string(), Type::plain(Size::Mark).at(Anchor::Middle));
        return;
    }
    let x = match placed.anchor {
        Anchor::Start => placed.bounds.left,
        Anchor::Middle => middle,
        Anchor::End => placed.bounds.right,
    };
    let kind = Type::plain(Size::Label).at(placed.anchor).ink(placed.label.ink).halo();
    let mut foot = placed.bounds.top + 2.0;
    for line in &placed.label.lines {
        canvas.text(x, foot, line, kind);
        foot += PITCH;
    }
}

/// Under the plot: words that found no place in it, and what is not drawn.
fn below(canvas: &mut Canvas, placed: &[Placed], missing: &[String]) {
    let numbered = placed.iter().filter_map(|placed| Some(format!("{}: {}", placed.number?, placed.label.words)));
    let mut notes: Vec<String> = numbered.collect();
    if !missing.is_empty() {
        notes.push(format!("Not drawn: {}.", missing.join("; ")));
    }
    let mut foot = HEIGHT + 1.6;
    for line in notes.iter().flat_map(|note| labels::wrapped(note, WIDTH)) {
        canvas.text(0.0, foot, &line, Type::plain(Size::Label).ink(Ink::Second));
        foot += PITCH;
        canvas.grow_to(foot);
    }
}

#[cfg(test)]
mod tests;
