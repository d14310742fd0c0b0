//! Who feeds whom, and which boards stand on which drawing of the network.

use std::collections::BTreeMap;

use crate::basis::{Basis, LISTED, SourceBasis, TransformerBasis};
use crate::design::{Board, Design};
use crate::report::submittal::lists::quantity_trimmed;

/// Columns beside each other.
const COLUMNS: usize = 5;
/// Boards below each other, the first one included.
const LEVELS: usize = 4;

/// Height of what lies before every board, what a transformer adds, what the device before it adds, what transfer equipment adds, and what
/// the source takes.
pub(super) const FEEDER: f64 = 40.0;
pub(super) const TRANSFORMER: f64 = 20.0;
pub(super) const PRIMARY_DEVICE: f64 = 10.0;
pub(super) const TRANSFER: f64 = 10.0;
pub(super) const SOURCE: f64 = 12.0;
/// Height of what lies before a board that goes on from another part, and of what stands under the last bus.
const AGAIN: f64 = 16.0;
const FOOT: f64 = 4.0;
/// Height of a drawing at most: Letter holds 241 mm.
const HIGHEST: f64 = 235.0;

/// The name of the supply of the basis.
const SUPPLY: &str = "the supply";

/// A board as it stands in a drawing.
#[derive(Clone)]
pub(super) struct Item<'a> {
    pub(super) board: &'a Board,
    /// Boards below it that are drawn with it.
    pub(super) below: Vec<Item<'a>>,
    /// It feeds boards that another drawing shows.
    pub(super) goes_on: bool,
    /// It stands here with part of its boards, or below nothing although something feeds it.
    pub(super) again: bool,
}

impl<'a> Item<'a> {
    /// Boards at whose bus it was cut.
    fn goes_on_at(&self, found: &mut Vec<&'a Board>) {
        if self.goes_on {
            found.push(self.board);
        }
        self.below.iter().for_each(|item| item.goes_on_at(found));
    }

    /// Columns that it takes: one beside which a source stands in needs a second.
    pub(super) fn columns(&self, plan: &Plan<'_>) -> usize {
        let below: usize = self.below.iter().map(|item| item.columns(plan)).sum();
        below.max(1 + usize::from(self.has_others(plan)))
    }

    /// Sources that stand in are drawn before it.
    pub(super) fn has_others(&self, plan: &Plan<'_>) -> bool {
        !self.again && !plan.standing_in(self.board).is_empty()
    }

    pub(super) fn levels(&self) -> usize {
        1 + self.below.iter().map(Item::levels).max().unwrap_or(0)
    }

    fn any(&self, level: usize, wanted: &dyn Fn(&Item<'a>) -> bool) -> bool {
        if level == 0 { wanted(self) } else { self.below.iter().any(|item| item.any(level - 1, wanted)) }
    }

    pub(super) fn each(&self, told: &mut dyn FnMut(&'a Board)) {
        told(self.board);
        self.below.iter().for_each(|item| item.each(told));
    }
}

/// Who feeds whom, as the design has it.
pub(super) struct Plan<'a> {
    pub(super) basis: &'a Basis,
    boards: &'a [Board],
    by_name: BTreeMap<&'a str, usize>,
    /// The board that feeds each one.
    parents: Vec<Option<usize>>,
    /// Boards that each one feeds.
    fed: Vec<Vec<usize>>,
    /// How many boards stand on the supply.
    on_supply: usize,
}

impl<'a> Plan<'a> {
    pub(super) fn of(design: &'a Design) -> Self {
        let boards = &design.boards;
        let mut by_name = BTreeMap::new();
        for (index, board) in boards.iter().enumerate() {
            by_name.entry(board.name.as_str()).or_insert(index);
        }
        let mut plan = Self {
            basis: &design.basis,
            boards,
            by_name,
            parents: Vec::new(),
            fed: vec![Vec::new(); boards.len()],
            on_supply: 0,
        };
        plan.parents = boards.iter().map(|board| plan.feeding(board)).collect();
        for (index, parent) in plan.parents.iter().enumerate() {
            if let Some(parent) = *parent {
                plan.fed[parent].push(index);
            }
        }
        plan.on_supply = boards.iter().filter(|board| plan.parent(board).is_none() && plan.feed(board) == SUPPLY).count();
        plan
    }

    fn place_of(&self, name: &str) -> Option<usize> {
        self.by_name.get(name).copied()
    }

    /// Names of what feeds a board, as the basis states them: the usual one first.
    fn names(board: &'a Board) -> Vec<&'a str> {
        board.fed_from.as_deref().unwrap_or("").split(LISTED).map(str::trim).filter(|name| !name.is_empty()).collect()
    }

    fn transformer(&self, board: &'a Board) -> Option<&'a TransformerBasis> {
        let first = board.fed_from.as_deref().map(|whole| Self::names(board).first().copied().unwrap_or(whole));
        let named =
            |transformer: &&TransformerBasis| transformer.name.is_some() && transformer.name.as_deref().map(str::trim) == first;
        let feeds = |transformer: &&TransformerBasis| transformer.to.as_deref().map(str::trim) == Some(board.name.as_str());
        self.basis.transformers.iter().find(named).or_else(|| self.basis.transformers.iter().find(feeds))
    }

    /// The transformer that is drawn before a board: name and figures. That of the supply stands before its only board.
    pub(super) fn drawn(&self, board: &'a Board) -> Option<[String; 2]> {
        let figures = |kva: Option<f64>, pct: Option<f64>, group: Option<&str>| {
            let group = group.map(str::trim).filter(|group| !group.is_empty()).map(str::to_owned);
            let parts = [kva.map(|kva| quantity_trimmed(kva, "kVA")), pct.map(|pct| quantity_trimmed(pct, "%")), group];
            parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
        };
        if let Some(transformer) = self.transformer(board) {
            let figures = figures(transformer.kva, transformer.impedance_pct, transformer.vector_group.as_deref());
            return Some([transformer.name.clone().unwrap_or_default(), figures]);
        }
        let supply = &self.basis.supply;
        let only = board.depth == 0 && self.feed(board) == SUPPLY && self.on_supply == 1;
        let kva = supply.transformer_kva.filter(|_| only);
        kva.map(|kva| [String::new(), figures(Some(kva), supply.transformer_impedance_pct, None)])
    }

    /// A device that nobody chose stands between a board and the transformer that it feeds.
    pub(super) fn has_primary_device(&self, board: &'a Board) -> bool {
        board.depth > 0 && board.transformer.is_some() && self.drawn(board).is_some()
    }

    /// Height of what lies before the boards of each level.
    pub(super) fn heights(&self, items: &[Item<'a>]) -> Vec<f64> {
        let levels = items.iter().map(Item::levels).max().unwrap_or(0);
        let added = |level: usize| {
            let adds = |height: f64, what: &dyn Fn(&Item<'a>) -> bool| {
                if items.iter().any(|item| item.any(level, what)) { height } else { 0.0 }
            };
            adds(TRANSFORMER, &|item| self.drawn(item.board).is_some())
                + adds(PRIMARY_DEVICE, &|item| self.has_primary_device(item.board))
                + adds(TRANSFER, &|item| item.has_others(self))
        };
        let mut heights: Vec<f64> = (0..levels).map(|level| FEEDER + added(level)).collect();
        if let Some(first) = heights.first_mut().filter(|_| items.iter().all(|item| item.again)) {
            *first = AGAIN;
        }
        heights
    }

    /// Height of a drawing.
    pub(super) fn height(&self, items: &[Item<'a>]) -> f64 {
        SOURCE + self.heights(items).iter().sum::<f64>() + FOOT
    }

    /// Boards that stand on one drawing, whatever its parts.
    fn fits(&self, items: &[Item<'a>]) -> bool {
        items.iter().map(|item| item.columns(self)).sum::<usize>() <= COLUMNS && self.height(items) <= HIGHEST
    }

    /// Place of the board that feeds it.
    fn feeding(&self, board: &'a Board) -> Option<usize> {
        if board.depth == 0 {
            return None;
        }
        let whole = board.fed_from.as_deref();
        let first = Self::names(board).first().copied();
        let from = self.transformer(board).and_then(|transformer| transformer.from.as_deref().map(str::trim));
        [whole, first, from].into_iter().flatten().find_map(|name| self.place_of(name))
    }

    /// The board that feeds it; none for one that stands on a source, or whose supply nobody knows.
    pub(super) fn parent(&self, board: &Board) -> Option<&'a Board> {
        Some(&self.boards[self.parents[self.place_of(&board.name)?]?])
    }

    fn below(&self, board: &Board) -> Vec<&'a Board> {
        let fed = self.place_of(&board.name).map_or(&[][..], |place| &self.fed[place]);
        fed.iter().map(|fed| &self.boards[*fed]).collect()
    }

    pub(super) fn source(&self, name: &str) -> Option<&'a SourceBasis> {
        self.basis.sources.iter().find(|source| source.name.as_deref().map(str::trim) == Some(name))
    }

    /// The usual feed of a board that stands on a source.
    pub(super) fn feed(&self, board: &'a Board) -> String {
        let of_dips = board.dips.iter().find(|dip| dip.usual).map(|dip| dip.feed.clone());
        let from = self.transformer(board).and_then(|transformer| transformer.from.as_deref().map(str::trim));
        let first = Self::names(board).first().copied().filter(|name| self.source(name).is_some());
        of_dips.or_else(|| from.or(first).map(str::to_owned)).filter(|name| name != "supply").unwrap_or_else(|| SUPPLY.to_owned())
    }

    /// Sources that stand in for it.
    pub(super) fn standing_in(&self, board: &'a Board) -> Vec<&'a SourceBasis> {
        let listed = Self::names(board).into_iter().skip(1);
        let of_dips = board.dips.iter().filter(|dip| !dip.usual && board.depth == 0).map(|dip| dip.feed.as_str());
        let mut found: Vec<&SourceBasis> = Vec::new();
        for source in listed.chain(of_dips).filter_map(|name| self.source(name)) {
            if !found.iter().any(|known| known.name == source.name) {
                found.push(source);
            }
        }
        found
    }

    /// A board with as much of what it feeds as a drawing holds, then each board at whose bus that was cut.
    fn in_parts(&self, board: &'a Board, drawings: &mut Vec<Vec<Item<'a>>>) {
        let mut waiting = vec![(board, false)];
        while let Some((board, again)) = waiting.pop() {
            let fits = (2..=LEVELS).rev().map(|levels| self.cut(board, levels, again));
            let fits = fits.map(|whole| vec![whole]).find(|whole| self.fits(whole));
            let shown = fits.unwrap_or_else(|| self.some_by_some(board, again));
            let mut cut: Vec<&'a Board> = Vec::new();
            shown.iter().for_each(|item| item.goes_on_at(&mut cut));
            drawings.extend(shown.into_iter().map(|item| vec![item]));
            waiting.extend(cut.into_iter().rev().map(|board| (board, true)));
        }
    }

    /// A board with so many levels, itself included.
    fn cut(&self, board: &'a Board, levels: usize, again: bool) -> Item<'a> {
        let below = self.below(board);
        if levels <= 1 {
            return Item { board, goes_on: !below.is_empty(), below: Vec::new(), again };
        }
        let below = below.into_iter().map(|board| self.cut(board, levels - 1, false)).collect();
        Item { board, below, goes_on: false, again }
    }

    /// A board with those that it feeds, as many at a time as stand beside each other.
    fn some_by_some(&self, board: &'a Board, again: bool) -> Vec<Item<'a>> {
        let mut parts: Vec<Vec<Item<'a>>> = vec![Vec::new()];
        for item in self.below(board).into_iter().map(|board| self.cut(board, 1, false)) {
            let taken: usize = parts.last().into_iter().flatten().map(|item| item.columns(self)).sum();
            if taken > 0 && taken + item.columns(self) > COLUMNS {
                parts.push(Vec::new());
            }
            parts.last_mut().into_iter().for_each(|part| part.push(item.clone()));
        }
        let part = |(part, below): (usize, Vec<Item<'a>>)| Item { board, below, goes_on: false, again: again || part > 0 };
        parts.into_iter().enumerate().map(part).collect()
    }

    /// The boards of each drawing.
    pub(super) fn drawings(&self) -> Vec<Vec<Item<'a>>> {
        let mut drawings: Vec<Vec<Item<'a>>> = Vec::new();
        let mut row: Vec<Item<'a>> = Vec::new();
        for board in self.boards.iter().filter(|board| self.parent(board).is_none()) {
            let whole = self.cut(board, LEVELS, false);
            let mut deeper = Vec::new();
            whole.goes_on_at(&mut deeper);
            if !self.fits(std::slice::from_ref(&whole)) || !deeper.is_empty() {
                drawings.extend((!row.is_empty()).then(|| std::mem::take(&mut row)));
                self.in_parts(board, &mut drawings);
                continue;
            }
            row.push(whole);
            if !self.fits(&row) {
                let last = row.pop();
                drawings.push(std::mem::replace(&mut row, last.into_iter().collect()));
            }
        }
        drawings.extend((!row.is_empty()).then_some(row));
        drawings
    }
}
