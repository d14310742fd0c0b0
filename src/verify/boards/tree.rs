//! Who feeds whom, read a second time: `fed_from` of the boards, `from` and `to` of the transformers, in the words of the basis.

use std::collections::BTreeMap;

use crate::basis::{BoardBasis, SourceBasis, TransformerBasis};
use crate::design::{Board, Design};
use crate::finding::codes;
use crate::rules::physics::plausibility::plausible;
use crate::verify::boards::Say;

/// What stands before a board, or before its transformer.
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

/// What a name means.
#[derive(Clone, Copy)]
enum Meaning<'a> {
    Before(Before<'a>),
    /// The network of the supply by the name of a source.
    Network(&'a SourceBasis),
    Transformer(&'a TransformerBasis),
}

fn text(own: Option<&String>) -> Option<&str> {
    own.map(|own| own.trim()).filter(|own| !own.is_empty())
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
        let mut own = Self { places, by_name, below: Vec::new(), phases: Vec::new(), design };
        let stated: Vec<_> = (0..own.places.len()).map(|index| own.feed(index)).collect();
        for (place, feed) in own.places.iter_mut().zip(stated) {
            (place.before, place.transformer, place.instead) = feed.unwrap_or((Before::Unknown, None, Vec::new()));
        }
        own.cut();
        own.below = vec![Vec::new(); own.places.len()];
        for index in 0..own.places.len() {
            if let Some(before) = own.parent(index) {
                own.below[before].push(index);
            }
        }
        own.phases = (0..own.places.len()).map(|index| own.phases_by_basis(index)).collect();
        own
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
        let board = |own: usize| Meaning::Before(Before::Board(own));
        if basis.boards.iter().any(|own| text(own.name.as_ref()) == Some(name)) {
            return self.place_of(name).map(board);
        }
        let transformer = basis.transformers.iter().find(|own| text(own.name.as_ref()) == Some(name));
        let source = basis.sources.iter().find(|own| text(own.name.as_ref()) == Some(name));
        transformer
            .map(Meaning::Transformer)
            .or_else(|| {
                source.map(|own| if is_machine(own) { Meaning::Before(Before::Source(own)) } else { Meaning::Network(own) })
            })
            .or_else(|| self.place_of(name).map(board))
    }

    /// What feeds a transformer.
    fn from(&self, own: &TransformerBasis) -> Option<Before<'a>> {
        match text(own.from.as_ref()) {
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
        let mut to = basis.transformers.iter().filter(|own| text(own.to.as_ref()) == Some(place.board.name.as_str()));
        let (by, second) = (to.next(), to.next());
        if second.is_some() {
            return None;
        }
        let Some(stated) = place.basis.and_then(|own| text(own.fed_from.as_ref())) else {
            return match by {
                Some(own) => Some((self.from(own)?, by, Vec::new())),
                None => Some((Before::Supply, None, Vec::new())),
            };
        };
        let names: Vec<&str> = match self.meaning(stated) {
            Some(_) => vec![stated],
            None => stated.split([',', ';']).map(str::trim).filter(|own| !own.is_empty()).collect(),
        };
        let mut meanings = names.iter().map(|name| self.meaning(name)).collect::<Option<Vec<_>>>()?.into_iter();
        let first = meanings.next()?;
        let source = |own: Meaning<'a>| match own {
            Meaning::Before(Before::Source(own)) | Meaning::Network(own) => Some(own),
            _ => None,
        };
        let mut instead = meanings.map(source).collect::<Option<Vec<_>>>()?;
        let first = if let Meaning::Network(_) = first { Meaning::Before(Before::Supply) } else { first };
        if matches!(first, Meaning::Before(Before::Supply)) {
            // It can't stand in for itself.
            instead.retain(|own| is_machine(own));
        }
        match (first, by) {
            (Meaning::Transformer(own), by) if by.is_none_or(|by| std::ptr::eq(own, by)) => {
                Some((self.from(own)?, Some(own), instead))
            }
            (Meaning::Before(own), None) => Some((own, None, instead)),
            (Meaning::Before(own), Some(by)) if self.from(by).is_some_and(|from| same(own, from)) => {
                Some((own, Some(by), instead))
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
                if let Some(begins) = way.iter().position(|own| *own == before) {
                    for own in &way[begins..] {
                        self.places[*own].before = Before::Unknown;
                    }
                    break;
                }
                way.push(before);
                at = before;
            }
        }
        for index in 0..self.places.len() {
            if self.voltage_parts(index) || self.unsaid(index) {
                let own = &mut self.places[index];
                (own.before, own.transformer) = (Before::Unknown, None);
                own.instead.clear();
            }
        }
    }

    /// Nothing says what feeds a board, and transformers make its voltage for others: it does not stand before them. What it states of its
    /// fault currents counts there all the same.
    pub(super) fn before_transformers(&self, index: usize) -> bool {
        let own = &self.places[index];
        let stated = own.basis.and_then(|own| text(own.fed_from.as_ref())).is_some();
        let volts = own.basis.and_then(|own| own.voltage_v).unwrap_or(own.board.voltage_v);
        let supply = self.design.basis.supply.voltage_v;
        let makes = |place: &Place<'_>| {
            let secondary = place.transformer.map(|own| own.secondary_voltage_v.or(supply));
            let near = |one: f64| (volts - one).abs() <= plausible("voltage-tolerance") * one;
            matches!(place.before, Before::Supply) && secondary.is_some_and(|own| own.is_none_or(near))
        };
        matches!(own.before, Before::Supply) && own.transformer.is_none() && !stated && self.places.iter().any(makes)
    }

    fn unsaid(&self, index: usize) -> bool {
        let own = self.places[index].basis;
        let states = own.is_some_and(|own| own.prospective_fault_ka.or(own.prospective_fault_min_ka).is_some());
        !states && self.before_transformers(index)
    }

    fn voltage_parts(&self, index: usize) -> bool {
        let own = &self.places[index];
        let Some(volts) = own.basis.and_then(|own| own.voltage_v) else { return false };
        let supply = self.design.basis.supply.voltage_v;
        let before = match (own.transformer, own.before) {
            (Some(own), Before::Supply | Before::Source(_)) => own.secondary_voltage_v.or(supply),
            (Some(own), _) => own.secondary_voltage_v,
            (None, Before::Board(before)) => Some(self.places[before].board.voltage_v).filter(|own| *own > 0.0),
            (None, Before::Supply) => supply,
            (None, _) => None,
        };
        let near = |one: f64| (volts - one).abs() <= plausible("voltage-tolerance") * one;
        let one_phase = own.basis.and_then(|own| own.phases) == Some(1);
        before.is_some_and(|before| !(near(before) || one_phase && near(before / 3f64.sqrt())))
    }

    /// A board and all that it feeds, ascending.
    pub(super) fn behind(&self, from: usize) -> Vec<usize> {
        let mut found = vec![from];
        let mut next = 0;
        while let Some(own) = found.get(next).copied() {
            found.extend(&self.below[own]);
            next += 1;
        }
        found.sort_unstable();
        found
    }

    /// A board and what feeds it, up to the first.
    pub(super) fn way(&self, from: usize) -> Vec<usize> {
        std::iter::successors(Some(from), |own| self.parent(*own)).take(self.places.len()).collect()
    }

    pub(super) fn parent(&self, index: usize) -> Option<usize> {
        if let Before::Board(own) = self.places[index].before { Some(own) } else { None }
    }

    /// Boards that a board feeds directly.
    pub(super) fn fed_by(&self, index: usize) -> impl Iterator<Item = (usize, &Place<'a>)> {
        self.below[index].iter().map(|own| (*own, &self.places[*own]))
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
            let behind_transformer = place.transformer.and_then(|own| own.system.as_deref());
            if let Some(system) = place.basis.and_then(|own| own.system.as_deref()).or(behind_transformer) {
                return Some(system);
            }
            match (place.before, place.transformer) {
                (Before::Board(before), None) => at = before,
                (Before::Board(_), Some(_)) | (Before::Unknown, _) => return None,
                (Before::Supply | Before::Source(_), _) => break,
            }
        }
        self.design.basis.supply.system.as_deref()
    }

    /// Those that the basis states of it or of the next board before it, else those of the supply, where it is known to come from there.
    fn phases_by_basis(&self, index: usize) -> u32 {
        let way = self.way(index);
        let stated = way.iter().find_map(|own| self.places[*own].basis.and_then(|own| own.phases));
        let of_supply = way.last().is_some_and(|own| !matches!(self.places[*own].before, Before::Unknown));
        stated.or(self.design.basis.supply.phases.filter(|_| of_supply)).unwrap_or(3)
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
    let own = &tree.places[index];
    let depth = tree.way(index).len() - 1;
    if usize::try_from(own.board.depth) != Ok(depth) {
        say(&codes::V851_BOARD_FEED, format!("{depth} boards stand before it by the basis; it says {}", own.board.depth));
    }
    if own.board.fed_from != own.basis.and_then(|own| own.fed_from.clone()) {
        say(&codes::V851_BOARD_FEED, format!("it is said to be fed from {:?}, which the basis does not say", own.board.fed_from));
    }
}

/// A source is a machine of its own, not the network of the supply.
pub(super) fn is_machine(own: &SourceBasis) -> bool {
    let figures = own.subtransient_reactance_pct.or(own.sustained_current_ratio).is_some();
    own.kind.as_deref().map_or(figures, |kind| kind == "generator")
}
