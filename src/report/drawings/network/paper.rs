//! A drawing of the network: source, transformer, device and conductors above each board, its name and figures at its bus.

use super::WIDTH;
use super::plan::{FEEDER, Item, PRIMARY_DEVICE, Plan, SOURCE, TRANSFER, TRANSFORMER};
use crate::basis::SourceBasis;
use crate::design::Board;
use crate::quantity::{round_down, round_up};
use crate::report::columns;
use crate::report::drawings::one_line::at_head;
use crate::report::drawings::power::{BREAKER, FUSE, THREE_CONDUCTORS, is_fuse};
use crate::report::drawings::svg::{Anchor, Canvas, Dash, Ink, Pen, Size, Stroke, Type, fitted, mm};
use crate::report::submittal::lists::{make_up, quantity_trimmed};
use crate::report::submittal::text::{decimals_for, quantity};
use crate::report::words::brief;
use crate::rules::units::Units;

/// Width of a column: the words of the fifth end where the drawing ends.
const COLUMN: f64 = 34.5;
/// Place of the conductor in its column, and where words begin beside it.
const FIRST: f64 = 3.5;
const BESIDE: f64 = 3.2;
/// Room for words in a column.
const ROOM: f64 = COLUMN - BESIDE - 3.0;
/// How far above the bus transfer equipment ends, and how far below the bus before it a source stands that stands in.
const ABOVE_BUS: f64 = 15.0;
const BELOW_BUS: f64 = 11.0;

/// Where the contacts of transfer equipment stand below its top, how far apart they are, and where its pole is.
const THROW: f64 = 1.6;
const APART: f64 = 3.6;
const POLE: f64 = 7.6;
/// Height of the place of a device that nobody chose.
const EMPTY: f64 = 8.0;

const CONDUCTOR: Pen = Pen::solid(Stroke::Conductor, Ink::Ink);
const OUTLINE: Pen = Pen::solid(Stroke::Outline, Ink::Ink);
const STANDS_IN: Pen = CONDUCTOR.dashed(Dash::Dashes);

/// A drawing in the making.
pub(super) struct Paper<'a, 'p> {
    pub(super) canvas: Canvas,
    pub(super) plan: &'p Plan<'a>,
    /// Place of a board on the page.
    pub(super) anchor: &'p dyn Fn(&str) -> String,
    pub(super) units: Units,
}

/// Rating of the device at the head of a board; its kind is the symbol's.
fn head_words(board: &Board, units: Units) -> String {
    let rated = board.incoming.as_ref().and_then(|incoming| incoming.rating_a);
    let rating = rated.map_or_else(|| "not chosen".to_owned(), |amperes| quantity_trimmed(amperes, "A"));
    format!("{} {rating}", units.pick("incoming", "main"))
}

#[allow(clippy::cast_precision_loss)] // five columns
fn place(column: usize) -> f64 {
    FIRST + column as f64 * COLUMN
}

impl<'a> Paper<'a, '_> {
    pub(super) fn draw(&mut self, items: &[Item<'a>]) {
        let heights = self.plan.heights(items);
        let mut column = 0;
        for item in items {
            self.board(item, column, SOURCE, 0, &heights);
            column += item.columns(self.plan);
        }
        self.canvas.grow_to(self.plan.height(items));
    }

    /// A board whose feeder begins at `top`, and what it feeds.
    fn board(&mut self, item: &Item<'a>, column: usize, top: f64, level: usize, heights: &[f64]) {
        let x = place(column);
        let bus = top + heights.get(level).copied().unwrap_or(FEEDER);
        let columns = item.columns(self.plan);
        if item.again {
            self.goes_in(x, top, item.board);
            self.canvas.line(&[(x, top), (x, bus)], CONDUCTOR);
        } else {
            if level == 0 {
                self.source(item.board, x, top);
            }
            self.others(item.board, column, if level == 0 { top } else { top + BELOW_BUS }, bus);
            self.before(item.board, x, top, bus, if item.has_others(self.plan) { TRANSFER } else { 0.0 });
        }
        self.figures(item, x, bus);
        let end = place(column + columns) - 9.0;
        self.canvas.line(&[(x - 3.0, bus), (end.min(WIDTH), bus)], Pen::solid(Stroke::Busbar, Ink::Ink));
        let mut next = column;
        for item in &item.below {
            self.canvas.dot(place(next), bus, 0.7, Ink::Ink);
            self.board(item, next, bus, level + 1, heights);
            next += item.columns(self.plan);
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
        let ring = source.is_some_and(SourceBasis::is_machine);
        if ring {
            self.generator(x, top - 4.0);
        } else {
            self.goes_on_upwards(x, top);
            self.canvas.line(&[(x, top - 6.6), (x, top)], CONDUCTOR);
        }
        let beside = if ring { 4.6 } else { BESIDE };
        let supply = &self.plan.basis.supply;
        let mut words = vec![source.map_or_else(|| board_feed(board, feed), |source| source.name.clone().unwrap_or_default())];
        match source {
            Some(source) => words.extend(source.kva.map(|kva| quantity_trimmed(kva, "kVA"))),
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
        let names = others.iter().filter_map(|source| source.name.as_deref()).collect::<Vec<_>>().join(", ");
        if first.is_machine() {
            self.generator(x, top - 4.0);
        } else {
            self.goes_on_upwards(x, top);
            self.canvas.line(&[(x, top - 6.6), (x, top - 0.5)], STANDS_IN);
        }
        // To the open contact of the transfer equipment: one source or the other feeds the bus, never both.
        let contact = bus - ABOVE_BUS - TRANSFER + THROW;
        self.canvas.line(&[(x, top - 0.5), (x, contact), (place(column) + APART, contact)], STANDS_IN);
        let rating = first.kva.filter(|_| others.len() == 1).map(|kva| quantity_trimmed(kva, "kVA"));
        let mut words = vec![names];
        words.extend(rating);
        words.push("stands in".to_owned());
        self.words(x + 1.4, top - 7.6, &words, true);
    }

    /// A change-over switch: closed towards what feeds the board usually, open towards what stands in.
    fn change_over(&mut self, x: f64, y: f64) {
        let ring = |canvas: &mut Canvas, x: f64, y: f64| canvas.ring(x, y, 0.5, OUTLINE);
        self.canvas.line(&[(x, y), (x, y + THROW - 0.5)], CONDUCTOR);
        ring(&mut self.canvas, x, y + THROW);
        ring(&mut self.canvas, x + APART - 0.5, y + THROW);
        self.canvas.line(&[(x, y + THROW + 0.5), (x, y + POLE - 0.5)], CONDUCTOR);
        ring(&mut self.canvas, x, y + POLE);
        self.canvas.line(&[(x, y + POLE + 0.5), (x, y + TRANSFER)], CONDUCTOR);
        self.words(x, y + 5.2, &["transfer equipment".to_owned(), "by others".to_owned()], false);
    }

    /// The arrow of a network, above a place.
    fn goes_on_upwards(&mut self, x: f64, top: f64) {
        self.canvas.line(&[(x - 1.2, top - 6.6), (x, top - 8.6), (x + 1.2, top - 6.6)], CONDUCTOR);
        self.canvas.line(&[(x, top - 8.6), (x, top - 6.6)], CONDUCTOR);
    }

    fn generator(&mut self, x: f64, y: f64) {
        self.canvas.ring(x, y, 3.5, OUTLINE);
        self.canvas.text(x, y - 0.1, "G", Type::plain(Size::Text).strong().at(Anchor::Middle));
        self.canvas.text(x, y + 2.2, "~", Type::plain(Size::Label).at(Anchor::Middle));
    }

    /// Transformer, device, conductors and transfer equipment of that height between `top` and the bus.
    fn before(&mut self, board: &'a Board, x: f64, top: f64, bus: f64, transfer: f64) {
        let mut y = top;
        // A feed that is shorter than its neighbours ends at their height: its first line is longer.
        let device = if self.plan.has_primary_device(board) { PRIMARY_DEVICE } else { 0.0 };
        let needed = FEEDER + transfer + device + if self.plan.drawn(board).is_some() { TRANSFORMER } else { 0.0 };
        let start = bus - needed;
        self.canvas.line(&[(x, y), (x, start)], CONDUCTOR);
        y = start;
        if self.plan.has_primary_device(board) {
            self.not_chosen(board, x, y);
            y += PRIMARY_DEVICE;
        }
        if let Some(words) = self.plan.drawn(board) {
            self.transformer(board, words, x, y);
            y += TRANSFORMER;
        }
        if board.feeder_protection_a > 0.0 && columns::has_feeder(board) {
            let symbol = if is_fuse(&board.feeder.kind) { FUSE } else { BREAKER };
            self.canvas.line(&[(x, y), (x, y + 3.0)], CONDUCTOR);
            self.canvas.symbol(symbol.id(1), x, y + 3.0);
            let kind = brief(self.units, &board.feeder.kind).into_owned();
            let trip =
                board.feeder.magnetic_trip_a.map(|magnetic_trip_a| format!("trip {}", quantity_trimmed(magnetic_trip_a, "A")));
            let mut words = vec![kind, quantity_trimmed(board.feeder_protection_a, "A")];
            words.extend(trip);
            self.words(x, y + 5.4, &words, false);
            y += 3.0 + symbol.height();
        } else if board.depth == 0 && board.incoming.is_none() {
            self.empty(x, y);
            self.words(x, y + 4.4, &["incoming device".to_owned(), "by others".to_owned()], false);
            y += EMPTY;
        }
        if transfer > 0.0 {
            let switch = bus - ABOVE_BUS - transfer;
            self.canvas.line(&[(x, y), (x, switch)], CONDUCTOR);
            self.change_over(x, switch);
            y = switch + transfer;
        }
        match at_head(Some(board)).filter(|_| board.incoming.is_some()) {
            Some(symbol) => {
                let head = bus - symbol.height() - 1.5;
                self.canvas.line(&[(x, y), (x, head)], CONDUCTOR);
                self.canvas.symbol(symbol.id(1), x, head);
                self.canvas.line(&[(x, bus - 1.5), (x, bus)], CONDUCTOR);
                // Above the name of the board and its figures, which stand beside the symbol.
                self.words(x, bus - 13.6, &[head_words(board, self.units)], false);
            }
            None => self.canvas.line(&[(x, y), (x, bus)], CONDUCTOR),
        }
        self.conductors(board, x, bus - transfer - FEEDER + 15.0);
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
        let words: Vec<String> =
            [phases, others, &length].into_iter().filter(|words| !words.is_empty()).map(str::to_owned).collect();
        self.words(x, y + 2.6, &words, false);
    }

    /// An empty dashed frame in the line, [`EMPTY`] high with the line before it.
    fn empty(&mut self, x: f64, y: f64) {
        self.canvas.line(&[(x, y), (x, y + 2.0)], CONDUCTOR);
        self.canvas.frame(x - 1.6, y + 2.0, 3.2, EMPTY - 2.0, OUTLINE.dashed(Dash::Dashes));
    }

    /// The place of a device that is by others, with the rating that it may have.
    fn not_chosen(&mut self, board: &Board, x: f64, y: f64) {
        self.empty(x, y);
        self.canvas.line(&[(x, y + EMPTY), (x, y + PRIMARY_DEVICE)], CONDUCTOR);
        let transformer = board.transformer.as_ref();
        let rating = transformer.and_then(|transformer| Some((transformer.primary_protection_a?, transformer.largest)));
        let rating = rating.map(|(rating_a, largest)| {
            format!("{} {}", if largest { "at most" } else { "usually" }, quantity_trimmed(rating_a, "A"))
        });
        let words = ["not chosen, by others".to_owned()].into_iter().chain(rating).collect::<Vec<_>>();
        self.words(x, y + 4.4, &words, false);
    }

    fn transformer(&mut self, board: &Board, words: [String; 2], x: f64, y: f64) {
        let top = y + 4.0;
        self.canvas.line(&[(x, y), (x, top)], CONDUCTOR);
        match self.units {
            Units::Metric => {
                self.canvas.ring(x, top + 3.0, 3.0, OUTLINE);
                self.canvas.ring(x, top + 7.0, 3.0, OUTLINE);
                // The first ring shows through the second.
                self.canvas.path(&format!("M{} {}a3 3 0 0 0 6 0", mm(x - 3.0), mm(top + 3.0)), OUTLINE);
            }
            Units::Customary => {
                let coil = |y: f64, up: u8| {
                    let arc = format!("a1.2 1.2 0 0 {up} 2.4 0");
                    format!("M{} {}{arc}{arc}{arc}", mm(x - 3.6), mm(y))
                };
                self.canvas.path(&coil(top + 3.6, 0), CONDUCTOR);
                self.canvas.path(&coil(top + 6.4, 1), CONDUCTOR);
                self.canvas.line(&[(x, top), (x, top + 4.8)], CONDUCTOR);
                self.canvas.line(&[(x, top + 5.2), (x, top + 10.0)], CONDUCTOR);
            }
        }
        self.canvas.line(&[(x, top + 10.0), (x, y + TRANSFORMER)], CONDUCTOR);
        let loading = board
            .transformer
            .as_ref()
            .and_then(|transformer| transformer.loading_pct)
            .map(|pct| format!("loaded {}", quantity(pct, 0, "%")));
        let [name, figures] = words;
        let named = !name.is_empty();
        let mut words = vec![name, figures];
        words.extend(loading);
        self.words(x + 1.4, top + 2.6, &words, named);
    }

    /// Name and figures of a board, above its bus.
    fn figures(&mut self, item: &Item<'_>, x: f64, bus: f64) {
        let board = item.board;
        let decimals = |value: f64| decimals_for(value).min(2);
        let most_ka = |value: f64| format!("{:.*}", decimals(value), round_up(value, decimals(value) as u32));
        let least_ka = |value: f64| format!("{:.*}", decimals(value), round_down(value, decimals(value) as u32));
        let fault = match (board.prospective_fault_ka, board.prospective_fault_min_ka) {
            (Some(most), Some(least)) => format!("fault {} to {}\u{a0}kA", least_ka(least), most_ka(most)),
            (Some(most), None) => format!("fault at most {}\u{a0}kA", most_ka(most)),
            (None, Some(least)) => format!("fault at least {}\u{a0}kA", least_ka(least)),
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
