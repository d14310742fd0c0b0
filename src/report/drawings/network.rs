//! One-line diagram of the network: sources, transformers, and the boards in their tree, each with the device and the conductors of
//! its feeder, what it carries and its fault currents.
//!
//! Five boards stand beside each other and four below each other. A network that is larger is drawn in parts; a board that goes on in
//! another part says so. What stands on which drawing is `plan`'s, how it is drawn `paper`'s.

use super::svg::Canvas;
use crate::design::Design;
use crate::rules::units::Units;

mod paper;
mod plan;

use paper::Paper;
use plan::{Item, Plan};

/// Width of the text of a page on both papers, mm.
const WIDTH: f64 = 173.0;

/// The drawings of the network; `anchor` gives the place of a board on the page.
pub(in crate::report) fn network(design: &Design, anchor: &dyn Fn(&str) -> String, units: Units) -> Vec<String> {
    let plan = Plan::of(design);
    let drawings = plan.drawings();
    let count = drawings.len();
    let draw = |(number, items): (usize, &Vec<Item<'_>>)| {
        let mut paper = Paper { canvas: Canvas::new(WIDTH, 1.0), plan: &plan, anchor, units };
        paper.draw(items);
        let part = if count > 1 { format!(", part {number} of {count}") } else { String::new() };
        paper.canvas.finish_linked(
            &format!("net{number}"),
            &format!("One-line diagram of the network{part}"),
            &tells(items, &plan),
        )
    };
    (1..).zip(&drawings).map(draw).collect()
}

/// The drawing in words, for readers who can't see it: who feeds whom.
fn tells(items: &[Item<'_>], plan: &Plan<'_>) -> String {
    let mut words: Vec<String> = Vec::new();
    for item in items {
        item.each(&mut |board| {
            let from = plan.parent(board).map_or_else(|| plan.feed(board), |parent| parent.name.clone());
            let others = plan.standing_in(board).into_iter().filter_map(|source| source.name.as_deref());
            let others: Vec<&str> = others.collect();
            let instead = if others.is_empty() { String::new() } else { format!(", {} stands in", others.join(", ")) };
            words.push(format!("{} is fed from {from}{instead}.", board.name));
        });
    }
    words.join(" ")
}

#[cfg(test)]
mod tests;
