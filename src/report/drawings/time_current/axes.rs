//! The axes of a time-current plot: both logarithmic, six decades of time, and the same currents on all plots of one board.

use std::fmt::Write as _;

use super::geometry::{Place, Rect};
use crate::design::{Circuit, Status};
use crate::report::drawings::svg::{Anchor, Canvas, Ink, Pen, Size, Stroke, Type, mm, width_of};

/// Width and height of a plot without what stands under it, mm.
pub(super) const WIDTH: f64 = 97.0;
pub(super) const HEIGHT: f64 = 85.0;
/// The field between the axes.
pub(super) const FIELD: Rect = Rect { left: 11.0, top: 5.0, right: 95.0, bottom: 76.0 };
/// Decades of the time axis: 0.01 to 10 000 s.
const TIME: (f64, f64) = (-2.0, 4.0);
/// Longest and shortest time of the axis.
pub(super) const LONGEST: f64 = 10_000.0;
pub(super) const SHORTEST: f64 = 0.01;
/// Fewest decades of current; a board of one small load would else be stretched over the whole width.
const DECADES_LEAST: f64 = 3.0;

/// The currents of a board's plots, as logarithms.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Axis {
    from: f64,
    to: f64,
}

impl Axis {
    /// From a decade below the smallest rated current to above the largest current that is drawn, both on a marked line. None where
    /// nothing is sized.
    pub fn of<'c>(circuits: impl Iterator<Item = &'c Circuit>) -> Option<Self> {
        let (mut least, mut most) = (f64::INFINITY, 0.0_f64);
        for circuit in circuits.filter(|circuit| circuit.status != Status::NotSized && circuit.currents.full_load_a > 0.0) {
            least = least.min(circuit.currents.full_load_a / 10.0);
            most = most.max(largest(circuit) * 1.25);
        }
        if !(least.is_finite() && least > 0.0 && most.is_finite() && most > least) {
            return None;
        }
        let from = marked_below(libm::log10(least));
        Some(Self { from, to: marked_above(libm::log10(most)).max(from + DECADES_LEAST) })
    }

    /// Place of a current, mm.
    pub(super) fn x(self, amperes: f64) -> f64 {
        let share = (libm::log10(amperes) - self.from) / (self.to - self.from);
        FIELD.left + share * (FIELD.right - FIELD.left)
    }

    /// Place of a current and a time.
    pub(super) fn place(self, (amperes, seconds): (f64, f64)) -> Place {
        (self.x(amperes), y(seconds))
    }

    /// Lines, figures and names of the axes.
    pub(super) fn draw(self, canvas: &mut Canvas) {
        let (mut fine, mut strong) = (String::new(), String::new());
        let (across, down) = (FIELD.right - FIELD.left, FIELD.bottom - FIELD.top);
        for (_, digit, log) in marks(self.from, self.to) {
            let x = mm(FIELD.left + (log - self.from) / (self.to - self.from) * across);
            let _ = write!(if digit == 1 { &mut strong } else { &mut fine }, "M{x} {}v{}", mm(FIELD.top), mm(down));
        }
        for (_, digit, log) in marks(TIME.0, TIME.1) {
            let _ = write!(
                if digit == 1 { &mut strong } else { &mut fine },
                "M{} {}h{}",
                mm(FIELD.left),
                mm(of_log(log)),
                mm(across)
            );
        }
        canvas.path(&fine, Pen::solid(Stroke::Fine, Ink::Hair));
        canvas.path(&strong, Pen::solid(Stroke::Thin, Ink::Rule));
        let frame = format!("M{} {}h{}v{}h-{}z", mm(FIELD.left), mm(FIELD.top), mm(across), mm(down), mm(across));
        canvas.path(&frame, Pen::solid(Stroke::Conductor, Ink::Ink));
        self.figures(canvas);
        let name = Type::plain(Size::Label).ink(Ink::Second);
        canvas.text(1.0, FIELD.top - 1.6, "time, s", name);
        canvas.text(FIELD.right, HEIGHT - 2.6, "current, A (r.m.s.)", name.at(Anchor::End));
    }

    /// Figures: decades first, 2 and 5 where they find room beside what is there.
    fn figures(self, canvas: &mut Canvas) {
        let mut taken: Vec<(f64, f64)> = Vec::new();
        for wanted in [1, 2, 5] {
            for (exponent, _, log) in marks(self.from, self.to).filter(|(_, digit, _)| *digit == wanted) {
                let text = figure(wanted, exponent);
                let x = FIELD.left + (log - self.from) / (self.to - self.from) * (FIELD.right - FIELD.left);
                let half = width_of(&text, Size::Mark) / 2.0;
                if taken.iter().any(|(from, to)| x - half < *to && *from < x + half) {
                    continue;
                }
                taken.push((x - half, x + half));
                let kind = Type::plain(Size::Mark).at(Anchor::Middle);
                // The last figure ends at the edge of the paper.
                canvas.text(
                    x.min(WIDTH - half),
                    FIELD.bottom + 3.0,
                    &text,
                    if wanted == 1 { kind } else { kind.ink(Ink::Second) },
                );
            }
        }
        for (exponent, _, log) in marks(TIME.0, TIME.1).filter(|(_, digit, _)| *digit == 1) {
            canvas.text(FIELD.left - 1.0, of_log(log) + 0.7, &figure(1, exponent), Type::plain(Size::Mark).at(Anchor::End));
        }
    }
}

/// Place of a time, mm.
pub(super) fn y(seconds: f64) -> f64 {
    of_log(libm::log10(seconds))
}

fn of_log(log: f64) -> f64 {
    FIELD.bottom - (log - TIME.0) / (TIME.1 - TIME.0) * (FIELD.bottom - FIELD.top)
}

/// Largest current that the plot of a circuit has to show.
fn largest(circuit: &Circuit) -> f64 {
    let start = circuit.start.as_ref();
    let protection = circuit.protection.as_ref();
    [
        circuit.fault.board_max_ka.map(|ka| 1000.0 * ka),
        start.map(|start_course| start_course.locked_rotor_a.max(start_course.first_peak_a.unwrap_or(0.0))),
        protection.and_then(|protection| protection.magnetic_max_a),
        // Where no fault current is known, a decade above the rating shows how the device acts.
        protection.map(|protection| 10.0 * protection.rating_a),
        Some(10.0 * circuit.currents.full_load_a),
    ]
    .into_iter()
    .flatten()
    .filter(|amperes| amperes.is_finite())
    .fold(0.0, f64::max)
}

const DIGITS: [f64; 4] = [1.0, 2.0, 5.0, 10.0];

/// The next 1, 2 or 5 of a decade that is not above.
fn marked_below(log: f64) -> f64 {
    let decade = libm::floor(log + 1e-9);
    DIGITS.iter().rev().map(|digit| decade + libm::log10(*digit)).find(|mark| *mark <= log + 1e-9).unwrap_or(decade)
}

/// The next that is not below.
fn marked_above(log: f64) -> f64 {
    let decade = libm::floor(log + 1e-9);
    DIGITS.iter().map(|digit| decade + libm::log10(*digit)).find(|mark| *mark >= log - 1e-9).unwrap_or(decade + 1.0)
}

/// Lines of an axis: exponent of ten, digit, logarithm.
fn marks(from: f64, to: f64) -> impl Iterator<Item = (i32, i32, f64)> {
    #[allow(clippy::cast_possible_truncation)] // a few decades
    let (first, last) = (libm::floor(from) as i32, libm::ceil(to) as i32);
    (first..=last)
        .flat_map(|exponent| (1..10).map(move |digit| (exponent, digit, f64::from(exponent) + libm::log10(f64::from(digit)))))
        .filter(move |(_, _, log)| *log >= from - 1e-9 && *log <= to + 1e-9)
}

/// A figure of an axis; thousands of amperes and seconds as `k`, ten thousand seconds written out.
fn figure(digit: i32, exponent: i32) -> String {
    match exponent {
        ..0 => format!("0.{}{digit}", "0".repeat(usize::try_from(-exponent - 1).unwrap_or(0))),
        0..=2 => format!("{digit}{}", "0".repeat(usize::try_from(exponent).unwrap_or(0))),
        _ => format!("{digit}{}\u{202f}k", "0".repeat(usize::try_from(exponent - 3).unwrap_or(0))),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn circuit(full_load: f64, fault_ka: Option<f64>) -> Circuit {
        let mut circuit = Circuit { status: Status::Sized, ..Circuit::default() };
        circuit.currents.full_load_a = full_load;
        circuit.fault.board_max_ka = fault_ka;
        circuit
    }

    #[test]
    fn a_board_has_one_axis_for_its_smallest_and_its_largest() {
        let board = [circuit(14.3, Some(25.0)), circuit(1.3, Some(25.0)), circuit(400.0, None)];
        let axis = Axis::of(board.iter()).expect("an axis");
        // A decade below 1.3 A is 0.13 A, the mark below 0.1 A; above 1.25 × 25 kA stands 50 kA.
        assert!((axis.from + 1.0).abs() < 1e-9 && (axis.to - libm::log10(50_000.0)).abs() < 1e-9, "{axis:?}");
        assert!((axis.x(0.1) - FIELD.left).abs() < 1e-9 && (axis.x(50_000.0) - FIELD.right).abs() < 1e-9);
        assert!((y(0.01) - FIELD.bottom).abs() < 1e-9 && (y(10_000.0) - FIELD.top).abs() < 1e-9);
        assert_eq!(Axis::of([].iter()), None);
        assert_eq!(Axis::of([circuit(0.0, None)].iter()), None);
    }

    #[test]
    fn figures_are_plain() {
        let all: Vec<String> = [(1, -2), (5, -1), (1, 0), (2, 2), (5, 3), (1, 4)].map(|(d, e)| figure(d, e)).to_vec();
        assert_eq!(all, ["0.01", "0.5", "1", "200", "5\u{202f}k", "10\u{202f}k"]);
    }

    #[test]
    fn marks_are_the_next_of_one_two_five() {
        for (value, below, above) in [(1.0, 1.0, 1.0), (1.43, 1.0, 2.0), (2.0, 2.0, 2.0), (7.0, 5.0, 10.0), (0.13, 0.1, 0.2)] {
            let log = libm::log10(value);
            assert!((marked_below(log) - libm::log10(below)).abs() < 1e-9, "{value}");
            assert!((marked_above(log) - libm::log10(above)).abs() < 1e-9, "{value}");
        }
    }
}
