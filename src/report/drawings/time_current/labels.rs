//! Where the words of a plot stand: the first of fixed slots that meets no curve, no other words and no frame; where there is none,
//! a number in a ring, with the words under the plot. The same plot always gets the same places.

use super::axes::FIELD;
use super::geometry::{Place, Rect, cross, distance, within};
use crate::report::drawings::svg::{Anchor, Ink, Size, width_of};

/// The subject of words; each kind has its own order of slots.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    /// A fault current: inside at the top, beside its line.
    Fault,
    /// A start: left of its corner.
    Start,
    /// An overload relay or release: left above.
    Overload,
    /// A fuse or a release: right below.
    Device,
    /// A cable: right of its upper end.
    Cable,
    /// A rotor that is locked.
    Stall,
    /// Limits of a standard.
    Limits,
}

/// Words that are to be placed.
#[derive(Clone, Debug)]
pub(super) struct Label {
    pub(super) kind: Kind,
    pub(super) words: String,
    /// The same in lines, when it is placed.
    pub(super) lines: Vec<String>,
    /// Points of the curve to which a leader may go, the best first.
    pub(super) targets: Vec<Place>,
    pub(super) ink: Ink,
}

/// Lines and areas that are drawn already.
#[derive(Clone, Debug, Default)]
pub(super) struct Scene {
    pub(super) lines: Vec<Vec<Place>>,
    pub(super) areas: Vec<Vec<Place>>,
}

/// Words with their place.
#[derive(Clone, Debug)]
pub(super) struct Placed {
    pub(super) label: Label,
    /// Box of the words; of the ring, where they stand under the plot.
    pub(super) bounds: Rect,
    /// Leaders, from the words to the curve.
    pub(super) leaders: Vec<(Place, Place)>,
    /// Side of the box at which lines begin.
    pub(super) anchor: Anchor,
    /// Number of the ring.
    pub(super) number: Option<usize>,
}

/// Pitch of lines, mm.
pub(super) const PITCH: f64 = 2.7;
/// Radius of a ring, mm.
pub(super) const RING: f64 = 1.6;
/// Air around words, mm.
const AIR: f64 = 0.5;
/// Between the words and the beginning of a leader, mm.
const GAP: f64 = 0.8;

/// A direction in which words stand from their point.
type Way = (f64, f64);
const E: Way = (1.0, 0.0);
const W: Way = (-1.0, 0.0);
const N: Way = (0.0, -1.0);
const S: Way = (0.0, 1.0);
const NE: Way = (0.7, -0.7);
const NW: Way = (-0.7, -0.7);
const SE: Way = (0.7, 0.7);
const SW: Way = (-0.7, 0.7);

/// Distances from the point at which slots stand, mm.
const NEAR: &[f64] = &[1.0, 2.0, 3.5, 5.0];
/// Those that are tried after them.
const FAR: &[f64] = &[7.5, 10.0, 13.0, 17.0, 22.0];
/// Widths of words, mm; what is longer goes to the next line.
const WIDTHS: [f64; 2] = [24.8, 16.5];

fn ways(kind: Kind) -> &'static [Way] {
    match kind {
        Kind::Fault => &[E, W],
        Kind::Start => &[W, SW, NW, S, E, SE, NE, N],
        Kind::Overload => &[W, NW, N, SW, NE, E, SE, S],
        Kind::Device => &[E, SE, S, NE, SW, W, N, NW],
        Kind::Cable => &[E, NE, SE, N, S, W, NW, SW],
        Kind::Stall => &[E, NE, N, SE, W, NW, S, SW],
        Kind::Limits => &[NE, E, N, SE, NW, W, S, SW],
    }
}

/// Places words one after the other.
pub(super) fn place(labels: Vec<Label>, scene: &Scene) -> Vec<Placed> {
    let mut placed: Vec<Placed> = Vec::new();
    for label in labels {
        let next = placed.iter().filter(|placed| placed.number.is_some()).count() + 1;
        let found = best(&label, scene, &placed).unwrap_or_else(|| ring(&label, next, scene, &placed));
        placed.push(found);
    }
    placed
}

/// The first free slot: near ones before far ones, in each of these wide lines before narrow ones; and those whose leaders cross
/// nothing before those that cross one curve. Limits have a leader to each of their points, or to one where that finds no room.
fn best(label: &Label, scene: &Scene, placed: &[Placed]) -> Option<Placed> {
    let crossings: &[usize] = if label.kind == Kind::Fault { &[0] } else { &[0, 1] };
    let (together, widths): (&[bool], &[f64]) =
        if label.kind == Kind::Limits { (&[true, false], &[WIDTHS[0], 18.0]) } else { (&[false], &WIDTHS) };
    let wrapped = |width: &f64| {
        let lines = wrapped(&label.words, *width);
        (size_of(&lines), Label { lines, ..label.clone() })
    };
    let sizes: Vec<((f64, f64), Label)> = widths.iter().map(wrapped).collect();
    let sizes = &sizes;
    let tries = crossings.iter().flat_map(|most| {
        together.iter().flat_map(move |all| {
            [NEAR, FAR].into_iter().flat_map(move |away| sizes.iter().map(move |size| (*most, *all, away, size)))
        })
    });
    tries.into_iter().find_map(|(most, all, away, (size, label))| slot(label, *size, away, all, most, scene, placed))
}

fn size_of(lines: &[String]) -> (f64, f64) {
    let width = lines.iter().map(|line| width_of(line, Size::Label)).fold(0.0, f64::max);
    #[allow(clippy::cast_precision_loss)] // a few lines
    let height = lines.len() as f64 * PITCH;
    (width, height)
}

/// The first slot that is free and whose leaders cross at most so many curves.
fn slot(
    label: &Label,
    size: (f64, f64),
    distances: &[f64],
    all: bool,
    most: usize,
    scene: &Scene,
    placed: &[Placed],
) -> Option<Placed> {
    for away in distances.iter().copied() {
        for target in &label.targets {
            for way in ways(label.kind) {
                let (bounds, anchor) = bounds(*target, *way, away, size);
                if !free(bounds, scene, placed) {
                    continue;
                }
                let ends: &[Place] = if all { &label.targets } else { std::slice::from_ref(target) };
                let leaders = leaders(label.kind, bounds, ends);
                let on_words = leaders.iter().any(|leader| placed.iter().any(|other| other.bounds.grown(AIR).crossed(*leader)));
                if !on_words && crossed(&leaders, scene, placed) <= most {
                    return Some(Placed { label: label.clone(), bounds, leaders, anchor, number: None });
                }
            }
        }
    }
    None
}

/// A number beside the curve, and the words elsewhere.
fn ring(label: &Label, number: usize, scene: &Scene, placed: &[Placed]) -> Placed {
    let size = (2.0 * RING, 2.0 * RING);
    let beside = Label { kind: Kind::Device, ..label.clone() };
    let found = [0, 1].iter().find_map(|most| slot(&beside, size, NEAR, false, *most, scene, placed));
    let target = label.targets.first().copied().unwrap_or((FIELD.left, FIELD.top));
    let on_it = || {
        let x = target.0.clamp(FIELD.left + 2.0, FIELD.right - 2.0);
        let y = target.1.clamp(FIELD.top + 2.0, FIELD.bottom - 2.0);
        Rect { left: x - RING, right: x + RING, top: y - RING, bottom: y + RING }
    };
    let (bounds, leaders) = found.map_or_else(|| (on_it(), Vec::new()), |placed| (placed.bounds, placed.leaders));
    Placed { label: label.clone(), bounds, leaders, anchor: Anchor::Middle, number: Some(number) }
}

/// The box that stands so far from a point in a direction, and the side at which its lines begin.
fn bounds((x, y): Place, way: Way, away: f64, (width, height): (f64, f64)) -> (Rect, Anchor) {
    let near = (x + way.0 * away, y + way.1 * away);
    let (left, anchor) = match way.0 {
        side if side > 0.0 => (near.0, Anchor::Start),
        side if side < 0.0 => (near.0 - width, Anchor::End),
        _ => (near.0 - width / 2.0, Anchor::Middle),
    };
    let top = match way.1 {
        side if side > 0.0 => near.1,
        side if side < 0.0 => near.1 - height,
        _ => near.1 - height / 2.0,
    };
    (Rect { left, top, right: left + width, bottom: top + height }, anchor)
}

fn free(bounds: Rect, scene: &Scene, placed: &[Placed]) -> bool {
    let wide = bounds.grown(AIR);
    let middle = (f64::midpoint(bounds.left, bounds.right), f64::midpoint(bounds.top, bounds.bottom));
    FIELD.holds(wide)
        && !placed.iter().any(|placed| placed.bounds.meets(wide) || placed.leaders.iter().any(|leader| wide.crossed(*leader)))
        && !scene.lines.iter().any(|line| line.windows(2).any(|pair| wide.crossed((pair[0], pair[1]))))
        && !scene.areas.iter().any(|area| within(area, middle))
}

/// From the words to each point; none where they stand at it.
fn leaders(kind: Kind, bounds: Rect, targets: &[Place]) -> Vec<(Place, Place)> {
    let lines = targets.iter().map(|target| {
        let edge = bounds.nearest(*target);
        let far = distance(edge, *target);
        let share = if far > GAP { GAP / far } else { 1.0 };
        ((edge.0 + (target.0 - edge.0) * share, edge.1 + (target.1 - edge.1) * share), *target)
    });
    lines.filter(|(from, to)| distance(*from, *to) > if kind == Kind::Fault { 1.0 } else { 0.5 }).collect()
}

/// How many curves and other leaders the leaders cross before their ends.
fn crossed(leaders: &[(Place, Place)], scene: &Scene, placed: &[Placed]) -> usize {
    let of = |(from, to): &(Place, Place)| {
        let far = distance(*from, *to);
        let share = if far > AIR { (far - AIR) / far } else { 0.0 };
        let short = (*from, (from.0 + (to.0 - from.0) * share, from.1 + (to.1 - from.1) * share));
        let curves = scene.lines.iter().filter(|line| line.windows(2).any(|pair| cross(short, (pair[0], pair[1])))).count();
        curves + placed.iter().flat_map(|placed| &placed.leaders).filter(|other| cross(short, **other)).count()
    };
    leaders.iter().map(of).max().unwrap_or(0)
}

/// A text in lines of a width, broken at blanks.
pub(super) fn wrapped(text: &str, width: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split(' ') {
        if let Some(line) = lines.last_mut() {
            let before = line.len();
            line.push(' ');
            line.push_str(word);
            if width_of(line, Size::Label) <= width {
                continue;
            }
            line.truncate(before);
        }
        lines.push(word.to_owned());
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    fn label(kind: Kind, text: &str, target: Place) -> Label {
        Label { kind, words: text.to_owned(), lines: Vec::new(), targets: vec![target], ink: Ink::Ink }
    }

    #[test]
    fn the_first_free_slot_is_taken() {
        let placed = place(vec![label(Kind::Start, "start", (50.0, 40.0))], &Scene::default());
        assert!(placed[0].bounds.right < 50.0 && placed[0].number.is_none(), "left of its corner");
        // A wall on the left sends the words elsewhere.
        let wall =
            Scene { lines: (20..49).map(|x| vec![(f64::from(x), 5.0), (f64::from(x), 76.0)]).collect(), areas: Vec::new() };
        let placed = place(vec![label(Kind::Start, "start", (50.0, 40.0))], &wall);
        assert!(placed[0].bounds.left > 49.0 - 1.0, "{:?}", placed[0].bounds);
    }

    #[test]
    fn words_without_room_go_under_the_plot_with_a_number() {
        let full =
            Scene { lines: (11..96).map(|x| vec![(f64::from(x), 5.0), (f64::from(x), 76.0)]).collect(), areas: Vec::new() };
        let two = vec![label(Kind::Device, "a fuse", (50.0, 40.0)), label(Kind::Cable, "a cable", (60.0, 20.0))];
        let placed = place(two, &full);
        assert_eq!(placed.iter().map(|placed| placed.number).collect::<Vec<_>>(), [Some(1), Some(2)]);
        assert!(placed.iter().all(|placed| FIELD.holds(placed.bounds)));
    }

    #[test]
    fn no_words_stand_on_others_or_beyond_the_frame() {
        let many: Vec<Label> =
            (0..24).map(|at| label(Kind::Device, "fuse gG 32 A", (50.0 + f64::from(at) / 10.0, 40.0))).collect();
        let placed = place(many, &Scene::default());
        for (index, words) in placed.iter().enumerate().filter(|(_, placed)| placed.number.is_none()) {
            assert!(FIELD.holds(words.bounds));
            assert!(!placed[..index].iter().any(|other| other.number.is_none() && other.bounds.meets(words.bounds)));
        }
    }
}
