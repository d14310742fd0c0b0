//! Boxes, lines and areas in millimetres: what is cut off at a frame, what meets what.

/// A point, mm, y downwards.
pub(super) type Place = (f64, f64);

/// A rectangle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Rect {
    pub(super) left: f64,
    pub(super) top: f64,
    pub(super) right: f64,
    pub(super) bottom: f64,
}

impl Rect {
    /// Larger by `by` on every side.
    pub(super) fn grown(self, by: f64) -> Self {
        Self { left: self.left - by, top: self.top - by, right: self.right + by, bottom: self.bottom + by }
    }

    /// The other lies inside.
    pub(super) fn holds(self, other: Self) -> bool {
        other.left >= self.left && other.right <= self.right && other.top >= self.top && other.bottom <= self.bottom
    }

    /// They share an area.
    pub(super) fn meets(self, other: Self) -> bool {
        self.left < other.right && other.left < self.right && self.top < other.bottom && other.top < self.bottom
    }

    /// The point of the rectangle that is nearest to another.
    pub(super) fn nearest(self, (x, y): Place) -> Place {
        (x.clamp(self.left, self.right), y.clamp(self.top, self.bottom))
    }

    /// The part of a line that lies inside.
    pub(super) fn cut(self, (a, b): (Place, Place)) -> Option<(Place, Place)> {
        let (dx, dy) = (b.0 - a.0, b.1 - a.1);
        let (mut from, mut to) = (0.0_f64, 1.0_f64);
        let sides = [(-dx, a.0 - self.left), (dx, self.right - a.0), (-dy, a.1 - self.top), (dy, self.bottom - a.1)];
        for (speed, room) in sides {
            if speed == 0.0 {
                if room < 0.0 {
                    return None;
                }
            } else if speed < 0.0 {
                from = from.max(room / speed);
            } else {
                to = to.min(room / speed);
            }
        }
        let at = |t: f64| (a.0 + t * dx, a.1 + t * dy);
        (from <= to).then(|| (at(from), at(to)))
    }

    /// A line passes through.
    pub(super) fn crossed(self, line: (Place, Place)) -> bool {
        let (a, b) = line;
        // Most lines lie wholly to one side.
        let aside =
            a.0.max(b.0) < self.left || a.0.min(b.0) > self.right || a.1.max(b.1) < self.top || a.1.min(b.1) > self.bottom;
        !aside && self.cut(line).is_some()
    }

    /// The parts of a line through points that lie inside.
    pub(super) fn cut_line(self, points: &[Place]) -> Vec<Vec<Place>> {
        let mut parts: Vec<Vec<Place>> = Vec::new();
        for pair in points.windows(2) {
            let Some((a, b)) = self.cut((pair[0], pair[1])) else { continue };
            match parts.last_mut() {
                Some(part) if part.last().is_some_and(|last| near(*last, a)) => part.push(b),
                _ => parts.push(vec![a, b]),
            }
        }
        parts
    }

    /// The part of an area that lies inside.
    pub(super) fn cut_area(self, points: &[Place]) -> Vec<Place> {
        type Inside = fn(Rect, Place) -> bool;
        type Meeting = fn(Rect, Place, Place) -> Place;
        let sides: [(Inside, Meeting); 4] = [
            (|r, p| p.0 >= r.left, |r, a, b| (r.left, a.1 + (b.1 - a.1) * (r.left - a.0) / (b.0 - a.0))),
            (|r, p| p.0 <= r.right, |r, a, b| (r.right, a.1 + (b.1 - a.1) * (r.right - a.0) / (b.0 - a.0))),
            (|r, p| p.1 >= r.top, |r, a, b| (a.0 + (b.0 - a.0) * (r.top - a.1) / (b.1 - a.1), r.top)),
            (|r, p| p.1 <= r.bottom, |r, a, b| (a.0 + (b.0 - a.0) * (r.bottom - a.1) / (b.1 - a.1), r.bottom)),
        ];
        let mut area = points.to_vec();
        for (inside, meeting) in sides {
            let mut kept = Vec::new();
            for index in 0..area.len() {
                let (a, b) = (area[index], area[(index + 1) % area.len()]);
                if inside(self, a) {
                    kept.push(a);
                }
                if inside(self, a) != inside(self, b) {
                    kept.push(meeting(self, a, b));
                }
            }
            area = kept;
        }
        area
    }
}

fn near(a: Place, b: Place) -> bool {
    (a.0 - b.0).abs() < 1e-6 && (a.1 - b.1).abs() < 1e-6
}

/// Distance of two points.
pub(super) fn distance(a: Place, b: Place) -> f64 {
    ((a.0 - b.0) * (a.0 - b.0) + (a.1 - b.1) * (a.1 - b.1)).sqrt()
}

/// Two lines cross.
pub(super) fn cross((a, b): (Place, Place), (c, d): (Place, Place)) -> bool {
    let side = |p: Place, q: Place, r: Place| (q.0 - p.0) * (r.1 - p.1) - (q.1 - p.1) * (r.0 - p.0);
    side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0
}

/// A point lies in an area.
pub(super) fn within(area: &[Place], (x, y): Place) -> bool {
    let mut inside = false;
    for index in 0..area.len() {
        let (a, b) = (area[index], area[(index + 1) % area.len()]);
        if (a.1 > y) != (b.1 > y) && x < (b.0 - a.0) * (y - a.1) / (b.1 - a.1) + a.0 {
            inside = !inside;
        }
    }
    inside
}

#[cfg(test)]
mod tests {
    use super::*;

    const FRAME: Rect = Rect { left: 0.0, top: 0.0, right: 10.0, bottom: 10.0 };

    #[test]
    fn lines_end_at_the_frame() {
        assert_eq!(FRAME.cut_line(&[(-5.0, 5.0), (15.0, 5.0)]), vec![vec![(0.0, 5.0), (10.0, 5.0)]]);
        assert_eq!(FRAME.cut_line(&[(5.0, 5.0), (5.0, -5.0), (8.0, -5.0), (8.0, 5.0)]).len(), 2, "it leaves and comes back");
        assert!(FRAME.cut_line(&[(11.0, 0.0), (11.0, 10.0)]).is_empty());
    }

    #[test]
    fn areas_end_at_the_frame() {
        let cut = FRAME.cut_area(&[(5.0, 5.0), (15.0, 5.0), (15.0, 15.0), (5.0, 15.0)]);
        let left = cut.iter().map(|cut| cut.0).fold(f64::INFINITY, f64::min);
        let right = cut.iter().map(|cut| cut.0).fold(0.0, f64::max);
        assert_eq!((cut.len(), left, right), (4, 5.0, 10.0));
    }

    #[test]
    fn lines_cross_and_points_lie_inside_only_where_they_do() {
        assert!(cross(((0.0, 0.0), (2.0, 2.0)), ((0.0, 2.0), (2.0, 0.0))));
        assert!(!cross(((0.0, 0.0), (1.0, 0.0)), ((0.0, 1.0), (1.0, 1.0))));
        assert!(within(&[(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0)], (1.0, 1.0)));
        assert!(!within(&[(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0)], (5.0, 1.0)));
        assert!(FRAME.crossed(((-1.0, 5.0), (11.0, 5.0))) && !FRAME.crossed(((-1.0, 11.0), (11.0, 11.0))));
    }
}
