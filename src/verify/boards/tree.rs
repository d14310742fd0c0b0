//! Who feeds whom, read a second time: `fed_from` of the boards, `from` and `to` of the transformers, in the words of the basis.

use std::collections::{BTreeMap, BTreeSet};

use crate::basis::{BoardBasis, SourceBasis, TransformerBasis};
use crate::conductors;
use crate::design::{Board, Design};
use crate::finding::codes;
use crate::load::wires::System;
use crate::rules::physics::high_leg::has_high_leg;
use crate::rules::physics::nominal::is_same_voltage;
use crate::verify::boards::Say;
use crate::verify::isolator;
use crate::verify::shown;

/// The source before a board, or before its transformer.
#[derive(Clone, Copy)]
pub(super) enum Before<'a> {
    /// The network of the basis, by its own name or by that of a source which is no machine.
    Supply,
    /// A machine.
    Source(&'a SourceBasis),
    Board(usize),
    Unknown,
}

/// A board in its place.
pub(super) struct Place<'a> {
    pub(super) board: &'a Board,
    pub(super) basis: Option<&'a BoardBasis>,
    pub(super) before: Before<'a>,
    pub(super) transformer: Option<&'a TransformerBasis>,
    /// Sources that may feed it instead.
    pub(super) instead: Vec<&'a SourceBasis>,
}

impl Place<'_> {
    /// Current that feeder and incoming device must carry, with the spare that the basis wants, A.
    pub(super) fn with_spare(&self) -> f64 {
        let spare = self.basis.and_then(|board| board.spare_pct).unwrap_or(0.0).max(0.0);
        self.board.feeder_minimum_a * (1.0 + spare / 100.0)
    }
}

/// The boards of a design, in its order.
pub(super) struct Tree<'a> {
    pub(super) places: Vec<Place<'a>>,
    by_name: BTreeMap<&'a str, usize>,
    /// Boards that each board feeds directly, ascending.
    below: Vec<Vec<usize>>,
    /// Phases of each board.
    phases: Vec<u32>,
    design: &'a Design,
}

/// The meaning of a name.
#[derive(Clone, Copy)]
enum Meaning<'a> {
    Before(Before<'a>),
    /// The network of the supply by the name of a source.
    Network(&'a SourceBasis),
    Transformer(&'a TransformerBasis),
}

fn text(text: Option<&String>) -> Option<&str> {
    text.map(|text| text.trim()).filter(|text| !text.is_empty())
}

impl<'a> Tree<'a> {
    pub(super) fn of(design: &'a Design) -> Self {
        let places: Vec<Place<'_>> = design
            .boards
            .iter()
            .map(|board| Place {
                board,
                basis: design.basis.board(&board.name),
                before: Before::Unknown,
                transformer: None,
                instead: Vec::new(),
            })
            .collect();
        let mut by_name = BTreeMap::new();
        for (index, board) in design.boards.iter().enumerate() {
            by_name.entry(board.name.as_str()).or_insert(index);
        }
        let mut tree = Self { places, by_name, below: Vec::new(), phases: Vec::new(), design };
        let stated: Vec<_> = (0..tree.places.len()).map(|index| tree.feed(index)).collect();
        for (place, feed) in tree.places.iter_mut().zip(stated) {
            (place.before, place.transformer, place.instead) = feed.unwrap_or((Before::Unknown, None, Vec::new()));
        }
        tree.cut();
        tree.below = vec![Vec::new(); tree.places.len()];
        for index in 0..tree.places.len() {
            if let Some(before) = tree.parent(index) {
                tree.below[before].push(index);
            }
        }
        tree.phases = (0..tree.places.len()).map(|index| tree.phases_by_basis(index)).collect();
        tree
    }

    pub(super) fn place_of(&self, name: &str) -> Option<usize> {
        self.by_name.get(name).copied()
    }

    /// Boards of the basis come first, then transformers and sources, then boards that only the schedule names.
    fn meaning(&self, name: &str) -> Option<Meaning<'a>> {
        if name.eq_ignore_ascii_case("supply") {
            return Some(Meaning::Before(Before::Supply));
        }
        let basis = &self.design.basis;
        let board = |place: usize| Meaning::Before(Before::Board(place));
        if basis.boards.iter().any(|board| text(board.name.as_ref()) == Some(name)) {
            return self.place_of(name).map(board);
        }
        let transformer = basis.transformers.iter().find(|transformer| text(transformer.name.as_ref()) == Some(name));
        let source = basis.sources.iter().find(|source| text(source.name.as_ref()) == Some(name));
        transformer
            .map(Meaning::Transformer)
            .or_else(|| {
                source.map(
                    |source| if source.is_machine() { Meaning::Before(Before::Source(source)) } else { Meaning::Network(source) },
                )
            })
            .or_else(|| self.place_of(name).map(board))
    }

    /// The source before a transformer.
    fn from(&self, transformer: &TransformerBasis) -> Option<Before<'a>> {
        match text(transformer.from.as_ref()) {
            None => Some(Before::Supply),
            Some(name) => match self.meaning(name)? {
                Meaning::Before(before) => Some(before),
                Meaning::Network(_) => Some(Before::Supply),
                Meaning::Transformer(_) => None,
            },
        }
    }

    #[allow(clippy::type_complexity)] // what stands before a board, the transformer, and what may feed it instead
    fn feed(&self, index: usize) -> Option<(Before<'a>, Option<&'a TransformerBasis>, Vec<&'a SourceBasis>)> {
        let (place, basis) = (&self.places[index], &self.design.basis);
        let mut to =
            basis.transformers.iter().filter(|transformer| text(transformer.to.as_ref()) == Some(place.board.name.as_str()));
        let (by, second) = (to.next(), to.next());
        if second.is_some() {
            return None;
        }
        let Some(stated) = place.basis.and_then(|board| text(board.fed_from.as_ref())) else {
            return match by {
                Some(transformer) => Some((self.from(transformer)?, by, Vec::new())),
                None => Some((Before::Supply, None, Vec::new())),
            };
        };
        let names: Vec<&str> = match self.meaning(stated) {
            Some(_) => vec![stated],
            None => stated.split([',', ';']).map(str::trim).filter(|name| !name.is_empty()).collect(),
        };
        let mut meanings = names.iter().map(|name| self.meaning(name)).collect::<Option<Vec<_>>>()?.into_iter();
        let first = meanings.next()?;
        let source = |meaning: Meaning<'a>| match meaning {
            Meaning::Before(Before::Source(source)) | Meaning::Network(source) => Some(source),
            _ => None,
        };
        let mut instead = meanings.map(source).collect::<Option<Vec<_>>>()?;
        let first = if let Meaning::Network(_) = first { Meaning::Before(Before::Supply) } else { first };
        if matches!(first, Meaning::Before(Before::Supply)) {
            // It can't stand in for itself.
            instead.retain(|source| source.is_machine());
        }
        match (first, by) {
            (Meaning::Transformer(transformer), by) if by.is_none_or(|by| std::ptr::eq(transformer, by)) => {
                Some((self.from(transformer)?, Some(transformer), instead))
            }
            (Meaning::Before(before), None) => Some((before, None, instead)),
            (Meaning::Before(before), Some(by)) if self.from(by).is_some_and(|from| same(before, from)) => {
                Some((before, Some(by), instead))
            }
            _ => None,
        }
    }

    /// Takes boards out of rings, and away from a supply of another voltage.
    fn cut(&mut self) {
        for index in 0..self.places.len() {
            let mut way = vec![index];
            let mut at = index;
            while let Before::Board(before) = self.places[at].before {
                if let Some(begins) = way.iter().position(|way| *way == before) {
                    way[begins..].iter().for_each(|way| self.part(*way));
                    break;
                }
                way.push(before);
                at = before;
            }
        }
        for index in 0..self.places.len() {
            if self.voltage_parts(index) {
                self.part(index);
            }
        }
        for index in 0..self.places.len() {
            if self.unsaid(index) {
                self.part(index);
            }
        }
    }

    fn part(&mut self, index: usize) {
        let place = &mut self.places[index];
        (place.before, place.transformer) = (Before::Unknown, None);
        place.instead.clear();
    }

    /// Nothing says what feeds a board, and transformers make its voltage for others: it does not stand before them. What it states of its
    /// fault currents counts there all the same.
    pub(super) fn before_transformers(&self, index: usize) -> bool {
        let place = &self.places[index];
        let stated = place.basis.and_then(|board| text(board.fed_from.as_ref())).is_some();
        let volts = place.basis.and_then(|board| board.voltage_v).unwrap_or(place.board.voltage_v);
        let supply = self.design.basis.supply.voltage_v;
        let makes = |place: &Place<'_>| {
            let secondary = place.transformer.map(|transformer| transformer.secondary_voltage_v.or(supply));
            let near = |one: f64| is_same_voltage(volts, one);
            matches!(place.before, Before::Supply) && secondary.is_some_and(|secondary| secondary.is_none_or(near))
        };
        let transformed = || self.places.iter().any(makes) || self.makes_unplaced(volts);
        matches!(place.before, Before::Supply) && place.transformer.is_none() && !stated && transformed()
    }

    /// A transformer for this voltage of which nothing says where it stands: the level before it can't count behind it.
    fn makes_unplaced(&self, volts: f64) -> bool {
        let basis = &self.design.basis;
        let of_supply = basis.supply.transformer_kva.or(basis.supply.transformer_impedance_pct).is_some();
        let placed: BTreeSet<*const TransformerBasis> =
            self.places.iter().filter_map(|place| place.transformer).map(std::ptr::from_ref).collect();
        let sources = basis.sources.iter().filter_map(|source| source.name.as_deref());
        let known: BTreeSet<&str> = self.places.iter().map(|place| place.board.name.as_str()).chain(sources).collect();
        let unplaced = |transformer: &TransformerBasis| {
            let behind_another = text(transformer.from.as_ref()).is_some_and(|from| known.contains(from));
            let of_voltage = transformer.secondary_voltage_v.is_some_and(|one| is_same_voltage(volts, one));
            of_voltage && !behind_another && !placed.contains(&std::ptr::from_ref(transformer))
        };
        !of_supply && basis.transformers.iter().any(unplaced)
    }

    fn unsaid(&self, index: usize) -> bool {
        let board = self.places[index].basis;
        let states = board.is_some_and(|board| board.prospective_fault_ka.or(board.prospective_fault_min_ka).is_some());
        !states && self.before_transformers(index)
    }

    fn voltage_parts(&self, index: usize) -> bool {
        let place = &self.places[index];
        let Some(volts) = place.basis.and_then(|board| board.voltage_v) else { return false };
        let supply = self.design.basis.supply.voltage_v;
        let before = match (place.transformer, place.before) {
            (Some(transformer), Before::Supply | Before::Source(_)) => transformer.secondary_voltage_v.or(supply),
            (Some(transformer), _) => transformer.secondary_voltage_v,
            (None, Before::Board(before)) => Some(self.places[before].board.voltage_v).filter(|volts| *volts > 0.0),
            (None, Before::Supply) => supply,
            (None, _) => None,
        };
        let near = |one: f64| is_same_voltage(volts, one);
        let one_phase = place.basis.and_then(|board| board.phases) == Some(1);
        let middle = |before: f64| self.has_middle(index) && near(before / 2.0);
        before.is_some_and(|before| !(near(before) || one_phase && (near(before / 3f64.sqrt()) || middle(before))))
    }

    /// The system of what feeds a board has its neutral in the middle of a winding, by its words.
    fn has_middle(&self, index: usize) -> bool {
        let place = &self.places[index];
        let supply = &self.design.basis.supply;
        let (words, phases) = match (place.transformer, place.before) {
            (None, Before::Board(before)) => (self.system(before), self.phases_by_basis(before)),
            (None, Before::Supply) if supply.phases == Some(1) => (supply.system.as_deref(), 1),
            _ => (None, 1),
        };
        let Some(words) = words else { return false };
        let three_wires = System::read(words).three_wires;
        match phases {
            3 => !three_wires && has_high_leg(words),
            _ => three_wires || has_high_leg(words),
        }
    }

    /// A board and all that it feeds, ascending.
    pub(super) fn behind(&self, from: usize) -> Vec<usize> {
        let mut found = vec![from];
        let mut next = 0;
        while let Some(board) = found.get(next).copied() {
            found.extend(&self.below[board]);
            next += 1;
        }
        found.sort_unstable();
        found
    }

    /// A board and what feeds it, up to the first.
    pub(super) fn way(&self, from: usize) -> Vec<usize> {
        std::iter::successors(Some(from), |board| self.parent(*board)).take(self.places.len()).collect()
    }

    /// A current of the first board of a way as its last carries it: what the transformers in between make of it. One whose voltage nobody
    /// states changes nothing.
    pub(super) fn ratio(&self, way: &[usize]) -> f64 {
        let step = |pair: &[usize]| {
            let (behind, before) = (&self.places[pair[0]], &self.places[pair[1]]);
            let known = behind.transformer.is_some() && before.board.voltage_v > 0.0;
            if known { behind.board.voltage_v / before.board.voltage_v } else { 1.0 }
        };
        way.windows(2).map(step).product()
    }

    pub(super) fn parent(&self, index: usize) -> Option<usize> {
        if let Before::Board(before) = self.places[index].before { Some(before) } else { None }
    }

    /// Boards that a board feeds directly.
    pub(super) fn fed_by(&self, index: usize) -> impl Iterator<Item = (usize, &Place<'a>)> {
        self.below[index].iter().map(|board| (*board, &self.places[*board]))
    }

    /// Phases of a board.
    pub(super) fn phases(&self, index: usize) -> u32 {
        self.phases[index]
    }

    /// System in words: that of the board or of the next one before it, as far as no transformer makes another.
    pub(super) fn system(&self, index: usize) -> Option<&str> {
        let mut at = index;
        for _ in 0..self.places.len() {
            let place = &self.places[at];
            let behind_transformer = place.transformer.and_then(|transformer| transformer.system.as_deref());
            if let Some(system) = place.basis.and_then(|board| board.system.as_deref()).or(behind_transformer) {
                return Some(system);
            }
            match (place.before, place.transformer) {
                (Before::Board(before), None) => at = before,
                (Before::Board(_), Some(_)) | (Before::Unknown, _) => return None,
                (Before::Supply | Before::Source(_), transformer) => {
                    let secondary = transformer.and_then(|transformer| transformer.secondary_voltage_v);
                    return self.system_of_supply_at(secondary);
                }
            }
        }
        self.system_of_supply_at(None)
    }

    /// The words of the supply's system, which say nothing of a transformer's other voltage.
    fn system_of_supply_at(&self, secondary: Option<f64>) -> Option<&str> {
        let supply = &self.design.basis.supply;
        let other = |(secondary, volts): (f64, f64)| !is_same_voltage(secondary, volts);
        supply.system.as_deref().filter(|_| !secondary.zip(supply.voltage_v).is_some_and(other))
    }

    /// Earthing in words: that of the board or of the next one named before it that states any, else of the supply.
    pub(super) fn earthing(&self, index: usize) -> Option<&'a str> {
        isolator::earthing(&self.design.basis, &self.places[index].board.name)
    }

    /// By the basis, as its circuits have them.
    fn phases_by_basis(&self, index: usize) -> u32 {
        conductors::phases_of_board(&self.design.basis, &self.places[index].board.name)
    }
}

pub(super) fn same(one: Before<'_>, other: Before<'_>) -> bool {
    match (one, other) {
        (Before::Supply, Before::Supply) => true,
        (Before::Board(one), Before::Board(other)) => one == other,
        (Before::Source(one), Before::Source(other)) => std::ptr::eq(one, other),
        _ => false,
    }
}

/// The board stands as deep as the basis puts it, and says itself what the basis says of it.
pub(super) fn agree(tree: &Tree<'_>, index: usize, say: Say<'_>) {
    let place = &tree.places[index];
    let way = tree.way(index);
    let depth = way.len() - 1;
    if usize::try_from(place.board.depth) != Ok(depth) {
        say(&codes::V851_BOARD_FEED, format!("{depth} boards stand before it by the basis; it says {}", place.board.depth));
    }
    if place.board.fed_from != place.basis.and_then(|board| board.fed_from.clone()) {
        say(
            &codes::V851_BOARD_FEED,
            format!("it is said to be fed from {:?}, which the basis does not say", place.board.fed_from),
        );
    }
    // Behind a feed that nobody states, system and earthing are those of its loads.
    if way.last().is_some_and(|first| matches!(tree.places[*first].before, Before::Unknown)) {
        return;
    }
    let stated = [("system", &place.board.system, tree.system(index)), ("earthing", &place.board.earthing, tree.earthing(index))];
    for (what, said, by_basis) in stated {
        if said.as_deref() != by_basis {
            say(
                &codes::V851_BOARD_FEED,
                format!("its {what} is {} by the basis; it says {}", shown(by_basis), shown(said.as_deref())),
            );
        }
    }
}
