//! One-line diagram of the network: sources, transformers, and the boards in their tree, each with the device and the conductors of
//! its feeder, what it carries and its fault currents.
//!
//! Five boards stand beside each other and four below each other. A network that is larger is drawn in parts; a board that goes on in
//! another part says so.

use super::power::{BREAKER, FUSE, THREE_CONDUCTORS, is_fuse};
use super::svg::{Anchor, Canvas, Dash, Ink, Pen, Size, Stroke, Type, fitted};
use crate::basis::{Basis, SourceBasis, TransformerBasis};
use crate::design::{Board, Design};
use crate::report::columns;
use crate::report::submittal::lists::{make_up, quantity_trimmed};
use crate::report::submittal::text::{decimals_for, quantity};
use crate::report::words::brief;
use crate::rules::units::Units;

/// Width of the text of a page on both papers, mm.
const WIDTH: f64 = 173.0;
/// Width of a column, and columns beside each other.
const COLUMN: f64 = 34.6;
const COLUMNS: usize = 5;
/// Boards below each other, the first one included.
const LEVELS: usize = 4;
/// Place of the conductor in its column, and where words begin beside it.
const FIRST: f64 = 5.0;
const BESIDE: f64 = 3.2;
/// Room for words in a column.
const ROOM: f64 = COLUMN - BESIDE - 3.0;
/// Height of what lies before every board, what a transformer adds, and what its source takes.
const FEEDER: f64 = 40.0;
const TRANSFORMER: f64 = 20.0;
const SOURCE: f64 = 12.0;
/// Height of what lies before a board that goes on from another part.
const AGAIN: f64 = 16.0;

/// What the supply of the basis is called.
const SUPPLY: &str = "the supply";

const CONDUCTOR: Pen = Pen::solid(Stroke::Conductor, Ink::Ink);
const OUTLINE: Pen = Pen::solid(Stroke::Outline, Ink::Ink);
const STANDS_IN: Pen = CONDUCTOR.dashed(Dash::Dashes);

/// A board as it stands in a drawing.
#[derive(Clone)]
struct Item<'a> {
    board: &'a Board,
    /// Boards below it that are drawn with it.
    below: Vec<Item<'a>>,
    /// It feeds boards that another drawing shows.
    goes_on: bool,
    /// It stands here with part of its boards, or below nothing although something feeds it.
    again: bool,
}

impl<'a> Item<'a> {
    /// Boards at whose bus it was cut.
    fn goes_on_at(&self, found: &mut Vec<&'a Board>) {
        if self.goes_on {
            found.push(self.board);
        }
        self.below.iter().for_each(|own| own.goes_on_at(found));
    }

    /// Columns that it takes: one that stands on a source with another one beside it needs a second.
    fn columns(&self, plan: &Plan<'_>) -> usize {
        let below: usize = self.below.iter().map(|own| own.columns(plan)).sum();
        below.max(1 + usize::from(!self.again && !plan.standing_in(self.board).is_empty()))
    }

    fn levels(&self) -> usize {
        1 + self.below.iter().map(Item::levels).max().unwrap_or(0)
    }

    fn any(&self, level: usize, wanted: &dyn Fn(&Board) -> bool) -> bool {
        if level == 0 { wanted(self.board) } else { self.below.iter().any(|own| own.any(level - 1, wanted)) }
    }

    fn each(&self, told: &mut dyn FnMut(&Board)) {
        told(self.board);
        self.below.iter().for_each(|own| own.each(told));
    }
}

/// Who feeds whom, as the design has it.
struct Plan<'a> {
    basis: &'a Basis,
    boards: &'a [Board],
}

impl<'a> Plan<'a> {
    /// Names of what feeds a board, as the basis states them: the usual one first.
    fn names(board: &'a Board) -> Vec<&'a str> {
        board.fed_from.as_deref().unwrap_or("").split(',').map(str::trim).filter(|name| !name.is_empty()).collect()
    }

    fn transformer(&self, board: &'a Board) -> Option<&'a TransformerBasis> {
        let first = board.fed_from.as_deref().map(|whole| Self::names(board).first().copied().unwrap_or(whole));
        let named = |own: &&TransformerBasis| own.name.is_some() && own.name.as_deref().map(str::trim) == first;
        let feeds = |own: &&TransformerBasis| own.to.as_deref().map(str::trim) == Some(board.name.as_str());
        self.basis.transformers.iter().find(named).or_else(|| self.basis.transformers.iter().find(feeds))
    }

    /// The transformer that is drawn before a board: name and figures. That of the supply stands before its only board.
    fn drawn(&self, board: &'a Board) -> Option<[String; 2]> {
        let figures = |kva: Option<f64>, pct: Option<f64>| {
            let parts = [kva.map(|kva| quantity_trimmed(kva, "kVA")), pct.map(|pct| quantity_trimmed(pct, "%"))];
            parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
        };
        if let Some(own) = self.transformer(board) {
            return Some([own.name.clone().unwrap_or_default(), figures(own.kva, own.impedance_pct)]);
        }
        let supply = &self.basis.supply;
        let only = board.depth == 0 && self.feed(board) == SUPPLY && self.on_supply() == 1;
        supply.transformer_kva.filter(|_| only).map(|kva| [String::new(), figures(Some(kva), supply.transformer_impedance_pct)])
    }

    /// Boards that stand on the supply.
    fn on_supply(&self) -> usize {
        self.boards.iter().filter(|own| self.parent(own).is_none() && self.feed(own) == SUPPLY).count()
    }

    /// The board that feeds it; none for one that stands on a source, or whose supply nobody knows.
    fn parent(&self, board: &'a Board) -> Option<&'a Board> {
        if board.depth == 0 {
            return None;
        }
        let whole = board.fed_from.as_deref();
        let first = Self::names(board).first().copied();
        let from = self.transformer(board).and_then(|own| own.from.as_deref().map(str::trim));
        [whole, first, from].into_iter().flatten().find_map(|name| self.boards.iter().find(|own| own.name == name))
    }

    fn below(&self, board: &Board) -> Vec<&'a Board> {
        self.boards.iter().filter(|own| self.parent(own).is_some_and(|parent| parent.name == board.name)).collect()
    }

    fn source(&self, name: &str) -> Option<&'a SourceBasis> {
        self.basis.sources.iter().find(|own| own.name.as_deref().map(str::trim) == Some(name))
    }

    /// What usually feeds a board that stands on a source.
    fn feed(&self, board: &'a Board) -> String {
        let of_dips = board.dips.iter().find(|own| own.usual).map(|own| own.feed.clone());
        let from = self.transformer(board).and_then(|own| own.from.as_deref().map(str::trim));
        let first = Self::names(board).first().copied().filter(|name| self.source(name).is_some());
        of_dips.or_else(|| from.or(first).map(str::to_owned)).filter(|name| name != "supply").unwrap_or_else(|| SUPPLY.to_owned())
    }

    /// Sources that stand in for it.
    fn standing_in(&self, board: &'a Board) -> Vec<&'a SourceBasis> {
        let listed = Self::names(board).into_iter().skip(1);
        let of_dips = board.dips.iter().filter(|own| !own.usual && board.depth == 0).map(|own| own.feed.as_str());
        let mut found: Vec<&SourceBasis> = Vec::new();
        for own in listed.chain(of_dips).filter_map(|name| self.source(name)) {
            if !found.iter().any(|known| known.name == own.name) {
                found.push(own);
            }
        }
        found
    }

    fn whole(&self, board: &'a Board) -> Item<'a> {
        let below = self.below(board).into_iter().map(|own| self.whole(own)).collect();
        Item { board, below, goes_on: false, again: false }
    }

    /// A board with as much of what it feeds as a drawing holds, then each board at whose bus that was cut.
    fn in_parts(&self, board: &'a Board, again: bool, drawings: &mut Vec<Vec<Item<'a>>>) {
        let fits = (2..=LEVELS).rev().map(|levels| self.cut(board, levels, again)).find(|own| own.columns(self) <= COLUMNS);
        let shown = fits.map_or_else(|| self.five_by_five(board, again), |whole| vec![whole]);
        let mut cut: Vec<&'a Board> = Vec::new();
        shown.iter().for_each(|own| own.goes_on_at(&mut cut));
        drawings.extend(shown.into_iter().map(|own| vec![own]));
        cut.into_iter().for_each(|own| self.in_parts(own, true, drawings));
    }

    /// A board with so many levels, itself included.
    fn cut(&self, board: &'a Board, levels: usize, again: bool) -> Item<'a> {
        let below = self.below(board);
        if levels <= 1 {
            return Item { board, goes_on: !below.is_empty(), below: Vec::new(), again };
        }
        let below = below.into_iter().map(|own| self.cut(own, levels - 1, false)).collect();
        Item { board, below, goes_on: false, again }
    }

    /// A board with those that it feeds, five at a time.
    fn five_by_five(&self, board: &'a Board, again: bool) -> Vec<Item<'a>> {
        let below = self.below(board);
        let part = |(part, some): (usize, &[&'a Board])| {
            let below = some.iter().map(|own| self.cut(own, 1, false)).collect();
            Item { board, below, goes_on: false, again: again || part > 0 }
        };
        below.chunks(COLUMNS).enumerate().map(part).collect()
    }

    /// What stands on each drawing.
    fn drawings(&self) -> Vec<Vec<Item<'a>>> {
        let mut drawings: Vec<Vec<Item<'a>>> = Vec::new();
        let mut row: Vec<Item<'a>> = Vec::new();
        for board in self.boards.iter().filter(|own| self.parent(own).is_none()) {
            let whole = self.whole(board);
            let columns = whole.columns(self);
            if columns > COLUMNS || whole.levels() > LEVELS {
                drawings.extend((!row.is_empty()).then(|| std::mem::take(&mut row)));
                self.in_parts(board, false, &mut drawings);
                continue;
            }
            if row.iter().map(|own| own.columns(self)).sum::<usize>() + columns > COLUMNS {
                drawings.push(std::mem::take(&mut row));
            }
            row.push(whole);
        }
        drawings.extend((!row.is_empty()).then_some(row));
        drawings
    }
}

/// The drawings of the network; `anchor` gives the place of a board on the page.
pub(in crate::report) fn network(design: &Design, anchor: &dyn Fn(&str) -> String, units: Units) -> Vec<String> {
    let plan = Plan { basis: &design.basis, boards: &design.boards };
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

/// What a reader should see: who feeds whom.
fn tells(items: &[Item<'_>], plan: &Plan<'_>) -> String {
    let mut words: Vec<String> = Vec::new();
    for item in items {
        item.each(&mut |board| {
            let from = plan.boards.iter().find(|own| own.name == board.name).map(|own| match plan.parent(own) {
                Some(parent) => parent.name.clone(),
                None => plan.feed(own),
            });
            words.push(format!("{} is fed from {}.", board.name, from.unwrap_or_default()));
        });
    }
    words.join(" ")
}

/// A drawing in the making.
struct Paper<'a, 'p> {
    canvas: Canvas,
    plan: &'p Plan<'a>,
    anchor: &'p dyn Fn(&str) -> String,
    units: Units,
}

#[allow(clippy::cast_precision_loss)] // five columns
fn place(column: usize) -> f64 {
    FIRST + column as f64 * COLUMN
}

impl<'a> Paper<'a, '_> {
    fn draw(&mut self, items: &[Item<'a>]) {
        let levels = items.iter().map(Item::levels).max().unwrap_or(0);
        let has = |level: usize| items.iter().any(|own| own.any(level, &|board| self.transformed(board)));
        // Height of what lies before the boards of each level.
        let mut heights: Vec<f64> = (0..levels).map(|level| FEEDER + if has(level) { TRANSFORMER } else { 0.0 }).collect();
        if let Some(first) = heights.first_mut().filter(|_| items.iter().all(|own| own.again)) {
            *first = AGAIN;
        }
        let mut column = 0;
        for item in items {
            self.board(item, column, SOURCE, 0, &heights);
            column += item.columns(self.plan);
        }
        self.canvas.grow_to(SOURCE + heights.iter().sum::<f64>() + 4.0);
    }

    fn transformed(&self, board: &Board) -> bool {
        self.plan.boards.iter().find(|own| own.name == board.name).is_some_and(|own| self.plan.drawn(own).is_some())
    }

    /// A board whose feeder begins at `top`, and what it feeds.
    fn board(&mut self, item: &Item<'a>, column: usize, top: f64, level: usize, heights: &[f64]) {
        let x = place(column);
        let bus = top + heights.get(level).copied().unwrap_or(FEEDER);
        let columns = item.columns(self.plan);
        if item.again {
            self.goes_in(x, top, item.board);
        } else if level == 0 {
            self.source(item.board, x, top);
            self.others(item.board, column, top, bus);
        }
        if item.again {
            self.canvas.line(&[(x, top), (x, bus)], CONDUCTOR);
        } else {
            self.before(item.board, x, top, bus);
        }
        self.figures(item, x, bus);
        let end = place(column + columns) - 9.0;
        self.canvas.line(&[(x - 3.0, bus), (end.min(WIDTH), bus)], Pen::solid(Stroke::Busbar, Ink::Ink));
        let mut next = column;
        for own in &item.below {
            self.canvas.dot(place(next), bus, 0.7, Ink::Ink);
            self.board(own, next, bus, level + 1, heights);
            next += own.columns(self.plan);
        }
    }

    fn goes_in(&mut self, x: f64, top: f64, board: &Board) {
        let from = board.fed_from.as_deref().unwrap_or("the supply");
        self.word(x, top - 1.0, &format!("from {from}"), Type::plain(Size::Label));
    }

    /// The source at the head of a tree.
    fn source(&mut self, board: &'a Board, x: f64, top: f64) {
        let feed = self.plan.feed(board);
        let source = self.plan.source(&feed);
        let ring = source.is_some_and(is_generator);
        if ring {
            self.generator(x, top - 4.0);
        } else {
            // A network: what goes on upwards.
            self.canvas.line(&[(x - 1.2, top - 6.6), (x, top - 8.6), (x + 1.2, top - 6.6)], CONDUCTOR);
            self.canvas.line(&[(x, top - 8.6), (x, top)], CONDUCTOR);
        }
        let beside = if ring { 4.6 } else { BESIDE };
        let supply = &self.plan.basis.supply;
        let mut words = vec![source.map_or_else(|| board_feed(board, feed), |own| own.name.clone().unwrap_or_default())];
        match source {
            Some(own) => words.extend(own.kva.map(|kva| quantity_trimmed(kva, "kVA"))),
            None => {
                words.extend(supply.upstream_fault_mva.map(|mva| format!("network at most {}", quantity_trimmed(mva, "MVA"))));
            }
        }
        self.words(x + beside - BESIDE, top - 7.6, &words, true);
    }

    /// Sources that stand in for it, beside each other from the next column on: the last ones share a column.
    fn others(&mut self, board: &'a Board, column: usize, top: f64, bus: f64) {
        let others = self.plan.standing_in(board);
        let Some(first) = others.first() else { return };
        let x = place(column + 1);
        let names = others.iter().filter_map(|own| own.name.as_deref()).collect::<Vec<_>>().join(", ");
        self.generator(x, top - 4.0);
        self.canvas.line(&[(x, top - 0.5), (x, bus)], STANDS_IN);
        self.canvas.dot(x, bus, 0.7, Ink::Ink);
        let rating = first.kva.filter(|_| others.len() == 1).map(|kva| quantity_trimmed(kva, "kVA"));
        let mut words = vec![names];
        words.extend(rating);
        words.push("stands in".to_owned());
        self.words(x + 1.4, top - 7.6, &words, true);
    }

    fn generator(&mut self, x: f64, y: f64) {
        self.canvas.ring(x, y, 3.5, OUTLINE);
        self.canvas.text(x, y - 0.1, "G", Type::plain(Size::Text).strong().at(Anchor::Middle));
        self.canvas.text(x, y + 2.2, "~", Type::plain(Size::Label).at(Anchor::Middle));
    }

    /// Transformer, device and conductors between `top` and the bus.
    fn before(&mut self, board: &'a Board, x: f64, top: f64, bus: f64) {
        let mut y = top;
        // What is shorter than its neighbours ends at the same height: its first line is longer.
        let needed = FEEDER + if self.transformed(board) { TRANSFORMER } else { 0.0 };
        let start = bus - needed;
        self.canvas.line(&[(x, y), (x, start)], CONDUCTOR);
        y = start;
        if let Some(own) = self.plan.drawn(board) {
            self.transformer(board, own, x, y);
            y += TRANSFORMER;
        }
        if board.feeder_protection_a > 0.0 && columns::has_feeder(board) {
            let symbol = if is_fuse(&board.feeder.kind) { FUSE } else { BREAKER };
            self.canvas.line(&[(x, y), (x, y + 3.0)], CONDUCTOR);
            self.canvas.symbol(symbol.id(1), x, y + 3.0);
            let kind = brief(self.units, &board.feeder.kind).into_owned();
            let trip = board.feeder.magnetic_trip_a.map(|own| format!("trip {}", quantity_trimmed(own, "A")));
            let mut words = vec![kind, quantity_trimmed(board.feeder_protection_a, "A")];
            words.extend(trip);
            self.words(x, y + 5.4, &words, false);
            y += 3.0 + symbol.height();
        } else if board.depth == 0 {
            self.words(x, y + 5.4, &["incoming device".to_owned(), "by others".to_owned()], false);
        }
        self.canvas.line(&[(x, y), (x, bus)], CONDUCTOR);
        self.conductors(board, x, bus - FEEDER + 15.0);
    }

    fn conductors(&mut self, board: &Board, x: f64, y: f64) {
        let Some(run) = &board.feeder.run else {
            if !board.feeder_conductor.is_empty() {
                self.words(x, y + 2.6, std::slice::from_ref(&board.feeder_conductor), false);
            }
            return;
        };
        self.canvas.symbol(THREE_CONDUCTORS, x, y);
        let made = make_up(run, self.units);
        let (phases, others) = made.split_once(", ").unwrap_or((&made, ""));
        let length = quantity(self.units.length(run.length_m), 0, self.units.length_unit());
        let material = brief(self.units, &run.material);
        let length = if run.length_m > 0.0 { format!("{material}, {length}") } else { material.into_owned() };
        let words: Vec<String> = [phases, others, &length].into_iter().filter(|own| !own.is_empty()).map(str::to_owned).collect();
        self.words(x, y + 2.6, &words, false);
    }

    fn transformer(&mut self, board: &Board, own: [String; 2], x: f64, y: f64) {
        let top = y + 4.0;
        self.canvas.line(&[(x, y), (x, top)], CONDUCTOR);
        match self.units {
            Units::Metric => {
                self.canvas.ring(x, top + 3.0, 3.0, OUTLINE);
                self.canvas.ring(x, top + 7.0, 3.0, OUTLINE);
                // The first ring shows through the second.
                self.canvas.path(&format!("M{} {}a3 3 0 0 0 6 0", super::svg::mm(x - 3.0), super::svg::mm(top + 3.0)), OUTLINE);
            }
            Units::Customary => {
                let coil = |y: f64, up: u8| {
                    let arc = format!("a1.2 1.2 0 0 {up} 2.4 0");
                    format!("M{} {}{arc}{arc}{arc}", super::svg::mm(x - 3.6), super::svg::mm(y))
                };
                self.canvas.path(&coil(top + 3.6, 0), CONDUCTOR);
                self.canvas.path(&coil(top + 6.4, 1), CONDUCTOR);
                self.canvas.line(&[(x, top), (x, top + 4.8)], CONDUCTOR);
                self.canvas.line(&[(x, top + 5.2), (x, top + 10.0)], CONDUCTOR);
            }
        }
        self.canvas.line(&[(x, top + 10.0), (x, y + TRANSFORMER)], CONDUCTOR);
        let loading =
            board.transformer.as_ref().and_then(|own| own.loading_pct).map(|pct| format!("loaded {}", quantity(pct, 0, "%")));
        let [name, figures] = own;
        let named = !name.is_empty();
        let mut words = vec![name, figures];
        words.extend(loading);
        self.words(x + 1.4, top + 2.6, &words, named);
    }

    /// Name and figures of a board, above its bus.
    fn figures(&mut self, item: &Item<'_>, x: f64, bus: f64) {
        let board = item.board;
        let ka = |value: f64| format!("{value:.*}", decimals_for(value).min(2));
        let fault = match (board.prospective_fault_ka, board.prospective_fault_min_ka) {
            (Some(most), Some(least)) => format!("fault {} to {}\u{a0}kA", ka(least), ka(most)),
            (Some(most), None) => format!("fault at most {}\u{a0}kA", ka(most)),
            (None, Some(least)) => format!("fault at least {}\u{a0}kA", ka(least)),
            (None, None) => "fault current not known".to_owned(),
        };
        let volts = (board.voltage_v > 0.0).then(|| quantity_trimmed(board.voltage_v, "V"));
        let demand = (board.demand_current_a > 0.0).then(|| format!("demand {}", quantity(board.demand_current_a, 0, "A")));
        let figures = [volts, demand].into_iter().flatten().collect::<Vec<_>>().join(", ");
        let anchor = (self.anchor)(&board.name);
        let name = Type::plain(Size::Tag).strong();
        let words = fitted(&board.name, Size::Tag, ROOM);
        if anchor.is_empty() {
            self.canvas.text(x + BESIDE, bus - 9.4, &words, name);
        } else {
            self.canvas.open_link(&anchor);
            self.canvas.text(x + BESIDE, bus - 9.4, &words, name);
            self.canvas.close_link();
        }
        self.word(x, bus - 6.2, &figures, Type::plain(Size::Mark));
        self.word(x, bus - 3.4, &fault, Type::plain(Size::Mark).ink(Ink::Rust));
        if item.goes_on {
            self.word(x, bus + 3.4, "goes on in another part", Type::plain(Size::Mark).ink(Ink::Second));
        }
    }

    fn word(&mut self, x: f64, y: f64, text: &str, kind: Type) {
        self.canvas.text(x + BESIDE, y, &fitted(text, kind.size, ROOM), kind);
    }

    /// Lines below each other; the first one may be a name.
    fn words(&mut self, x: f64, y: f64, lines: &[String], named: bool) {
        for (line, text) in (0_u8..).zip(lines.iter().filter(|text| !text.is_empty())) {
            let kind = Type::plain(Size::Mark);
            self.word(x, y + 2.8 * f64::from(line), text, if named && line == 0 { kind.strong() } else { kind });
        }
    }
}

fn is_generator(own: &SourceBasis) -> bool {
    own.kind.as_deref() == Some("generator") || own.kind.is_none() && own.subtransient_reactance_pct.is_some()
}

/// The name of a feed; a board of which nobody knows what feeds it says so.
fn board_feed(board: &Board, feed: String) -> String {
    if board.fed_from.is_some()
        && board.voltage_running_pct.is_none()
        && board.dips.is_empty()
        && board.prospective_fault_ka.is_none()
    {
        return format!("fed from {}", board.fed_from.as_deref().unwrap_or_default());
    }
    feed
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::drawings::testing::texts;

    /// Boards that feed each other as the pairs say: name, and what feeds it; the first one stands on the supply.
    fn design(pairs: &[(&str, &str)]) -> Design {
        let mut design = Design { rule_book: "iec".to_owned(), ..Design::default() };
        let depth = |name: &str| {
            let mut depth = 0;
            let mut at = name;
            while let Some((_, from)) = pairs.iter().find(|(own, from)| *own == at && !from.is_empty()) {
                depth += 1;
                at = from;
            }
            depth
        };
        for (name, from) in pairs {
            design.boards.push(Board {
                name: (*name).to_owned(),
                fed_from: (!from.is_empty()).then(|| (*from).to_owned()),
                depth: depth(name),
                voltage_v: 400.0,
                demand_current_a: 1234.5,
                prospective_fault_ka: Some(123.456),
                prospective_fault_min_ka: Some(12.34),
                feeder_protection_a: 1250.0,
                feeder: crate::design::BoardFeeder {
                    kind: "moulded-case".to_owned(),
                    magnetic_trip_a: Some(12_500.0),
                    run: Some(crate::design::Run {
                        role: "feeder".to_owned(),
                        phase_size: "300 mm2".to_owned(),
                        protective_size: "150 mm2".to_owned(),
                        per_phase: 3,
                        cores: 4,
                        material: "aluminium".to_owned(),
                        length_m: 1234.0,
                        ..crate::design::Run::default()
                    }),
                    ..crate::design::BoardFeeder::default()
                },
                ..Board::default()
            });
        }
        design
    }

    fn drawn(design: &Design, units: Units) -> Vec<String> {
        network(design, &|name| format!("at-{}", name.len()), units)
    }

    fn names_of(page: &str, name: &str) -> usize {
        page.matches(&format!(">{name}</text>")).count()
    }

    #[test]
    fn a_small_network_is_one_drawing_with_each_board_once() {
        let design = design(&[("M", ""), ("A", "M"), ("B", "M"), ("C", "A")]);
        let drawings = drawn(&design, Units::Metric);
        assert_eq!(drawings.len(), 1);
        for name in ["M", "A", "B", "C"] {
            assert_eq!(names_of(&drawings[0], name), 1, "{name}");
        }
        assert!(drawings[0].contains("C is fed from A.") && drawings[0].contains("M is fed from the supply."));
        assert!(!drawings[0].contains("goes on"));
    }

    #[test]
    fn what_is_too_wide_or_too_deep_goes_on_in_other_parts() {
        let wide: Vec<String> = (0..12).map(|number| format!("W{number}")).collect();
        let mut pairs: Vec<(&str, &str)> = vec![("M", "")];
        pairs.extend(wide.iter().map(|name| (name.as_str(), "M")));
        pairs.extend([("D1", "W3"), ("D2", "D1"), ("D3", "D2"), ("D4", "D3")]);
        let drawings = drawn(&design(&pairs), Units::Metric);
        let page = drawings.concat();
        for (name, _) in pairs.iter().filter(|(name, _)| !["M", "W3", "D3"].contains(name)) {
            assert_eq!(names_of(&page, name), 1, "{name}");
        }
        // Three parts of five boards of the first one; one below the fourth of them, and one below its fourth level.
        assert_eq!((drawings.len(), names_of(&page, "M")), (5, 3));
        assert_eq!(page.matches("goes on in another part").count(), 2);
    }

    /// Letter holds 241 mm.
    #[test]
    fn words_meet_neither_each_other_nor_the_frame_and_no_drawing_is_higher_than_a_page() {
        let long = "A board with a name that is longer than any other";
        let mut design = design(&[("M", ""), (long, "M"), ("B", "M"), ("C", "B"), ("D", "C"), ("N", "")]);
        let transformer = |to: &str| TransformerBasis {
            name: Some("A transformer with a long name".to_owned()),
            to: Some(to.to_owned()),
            kva: Some(1234.0),
            impedance_pct: Some(5.75),
            ..TransformerBasis::default()
        };
        design.basis.transformers = vec![transformer("M"), transformer("C")];
        design.basis.supply.upstream_fault_mva = Some(12_345.0);
        design.basis.sources = vec![SourceBasis {
            name: Some("A generator of a long name".to_owned()),
            kind: Some("generator".to_owned()),
            kva: Some(1234.0),
            ..SourceBasis::default()
        }];
        design.boards[0].dips =
            vec![crate::design::StartDip { feed: "A generator of a long name".to_owned(), ..Default::default() }];
        for units in [Units::Metric, Units::Customary] {
            for drawn in drawn(&design, units) {
                let height: f64 =
                    drawn.split("height=\"").nth(1).and_then(|rest| rest.split("mm").next()?.parse().ok()).expect("a height");
                assert!(height < 235.0, "{height}");
                let texts = texts(&drawn);
                assert!(texts.len() > 10);
                for (index, (text, area)) in texts.iter().enumerate() {
                    assert!(area.0 >= 0.0 && area.2 <= WIDTH && area.1 >= 0.0, "{text} leaves the frame: {area:?}");
                    let other = texts[index + 1..].iter().find(|(_, other)| other.meets(area));
                    assert!(other.is_none(), "{text} meets {other:?}");
                }
            }
        }
    }

    #[test]
    fn books_differ_in_their_transformers() {
        let mut design = design(&[("M", "")]);
        design.basis.supply.transformer_kva = Some(630.0);
        let [iec, nec] = [Units::Metric, Units::Customary].map(|units| drawn(&design, units).concat());
        // IEC 60617: two circles that meet; IEEE 315: two windings.
        assert!(iec.matches("<circle").count() >= 2 && !iec.contains("a1.2 1.2"));
        assert!(nec.contains("a1.2 1.2") && nec.matches("<circle").count() < iec.matches("<circle").count());
    }
}
