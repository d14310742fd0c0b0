//! The network as buses: ends of supplies, secondaries of transformers, boards; and one such grid for every source that may stand in
//! for the usual one.

use std::collections::BTreeMap;

use super::elements::{self, Said, Stretch, Transformer};
use super::{Ask, Motors};
use crate::finding::{Finding, codes};
use crate::network::tree::{Node, Parent, place};
use crate::quantity::{Amperes, Impedance, Volts};
use crate::record::Record;
use crate::rules::physics::fault::{self, Convention};
use crate::rules::physics::nominal::is_same_voltage;

/// Figures that the basis states at a place.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Stated {
    pub largest: Option<Amperes>,
    pub least: Option<Amperes>,
    /// It is a figure of the supply, not of the board itself.
    pub of_supply: bool,
}

/// A place of the network; it stands after what feeds it.
#[derive(Clone, Debug)]
pub(super) struct Bus {
    pub parent: Option<usize>,
    /// Ohms here over the same ohms before the transformer.
    pub referral: f64,
    /// Way from the bus before; for a source its own impedances.
    pub series: Stretch,
    /// The zero sequence begins here.
    pub parts_zero: bool,
    /// It is the place of the bus before it under another name.
    pub same_place: bool,
    pub voltage: Volts,
    pub motors: Motors,
    pub stated: Stated,
    /// X/R of what is stated, where it is known.
    pub x_over_r: Option<f64>,
    pub least_factor: f64,
    /// A fault to earth flows back through the protective conductor.
    pub returns: Option<bool>,
}

impl Bus {
    fn end(parent: Option<usize>, series: Stretch, voltage: Volts, convention: &Convention) -> Self {
        Self {
            parent,
            referral: 1.0,
            series,
            parts_zero: false,
            same_place: false,
            voltage,
            motors: Motors::default(),
            stated: Stated::default(),
            x_over_r: None,
            least_factor: convention.low_voltage.least,
            returns: None,
        }
    }

    /// Impedance of the stated largest current; where its angle is unknown nearly all reactance, which adds up to the least.
    pub(super) fn stated_largest(&self, factor: f64) -> Option<Impedance> {
        const REACTANCE_ONLY: f64 = 1e6;
        let ratio = self.x_over_r.unwrap_or(REACTANCE_ONLY);
        self.source(factor, self.stated.largest, ratio)
    }

    /// Impedance of the stated smallest current; where its angle is unknown all resistance, which adds up to the most.
    pub(super) fn stated_least(&self) -> Option<Impedance> {
        self.source(self.least_factor, self.stated.least, self.x_over_r.unwrap_or(0.0))
    }

    fn source(&self, factor: f64, stated: Option<Amperes>, x_over_r: f64) -> Option<Impedance> {
        let known = stated.filter(|_| self.voltage.0 > 0.0)?;
        Some(fault::source(&mut Record::silent(), factor, self.voltage, known, x_over_r))
    }
}

/// The buses with one choice of sources.
#[derive(Clone, Debug, Default)]
pub(super) struct Grid {
    pub buses: Vec<Bus>,
    /// Bus of every board.
    pub of_board: Vec<usize>,
    /// The usual sources feed it.
    pub usual: bool,
    /// The network in front is taken as unlimited, so that its currents are bounds, against which nothing stated is held.
    pub unlimited: bool,
}

/// A place in the network that is no board.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Head {
    Supply,
    Source(usize),
    Transformer(usize),
}

struct Builder<'a, 'f> {
    ask: &'a Ask<'a>,
    convention: &'a Convention,
    grid: Grid,
    heads: BTreeMap<Head, usize>,
    said: Said<'f>,
}

/// The grids: that of the usual sources first.
pub(super) fn of(ask: &Ask<'_>, convention: &Convention, records: &mut [Record], findings: &mut Vec<Finding>) -> Vec<Grid> {
    let said = Said { basis_file: ask.basis_file, findings };
    let grid = Grid { usual: true, ..Grid::default() };
    let mut builder = Builder { ask, convention, grid, heads: BTreeMap::new(), said };
    for (index, record) in records.iter_mut().enumerate() {
        builder.board(index, record);
    }
    let mut grids = vec![builder.grid.clone()];
    for source in (0..ask.basis.sources.len()).filter(|source| !ask.without.contains(source)) {
        grids.extend(builder.with_instead(source, records));
    }
    grids
}

fn kiloamperes(stated: Option<f64>) -> Option<Amperes> {
    stated.filter(|ka| *ka > 0.0).map(|ka| Amperes(ka * 1000.0))
}

fn of_supply(ask: &Ask<'_>) -> Stated {
    let supply = &ask.basis.supply;
    Stated {
        largest: kiloamperes(supply.prospective_fault_ka),
        least: kiloamperes(supply.prospective_fault_min_ka),
        of_supply: true,
    }
}

/// Figures that the basis states at a board: its own, else those of the supply where it stands on it.
pub(super) fn stated(ask: &Ask<'_>, index: usize) -> Stated {
    let node = &ask.tree.nodes[index];
    let board = node.board.and_then(|board| ask.basis.boards.get(board));
    let mine = Stated {
        largest: kiloamperes(board.and_then(|board| board.prospective_fault_ka)),
        least: kiloamperes(board.and_then(|board| board.prospective_fault_min_ka)),
        of_supply: false,
    };
    if node.feeder || !(on_network(node) || unfed(ask, node)) || !stated_behind(ask, node) {
        return mine;
    }
    let supply = of_supply(ask);
    if mine.largest.or(mine.least).is_none() {
        return supply;
    }
    Stated { largest: mine.largest.or(supply.largest), least: mine.least.or(supply.least), of_supply: false }
}

/// Nothing says what feeds a board: what is stated of the supply holds there if it has the supply's voltage.
fn unfed(ask: &Ask<'_>, node: &Node) -> bool {
    let names = |text: Option<&str>| text.is_some_and(|text| text.trim() == node.name);
    let stated = node.board.and_then(|board| ask.basis.boards.get(board)?.fed_from.as_deref()).is_some();
    let by_transformer = ask.basis.transformers.iter().any(|transformer| names(transformer.to.as_deref()));
    node.parent == Parent::Unknown
        && !stated
        && !by_transformer
        && ask.basis.supply.voltage_v.is_some_and(|supply| is_same_voltage(node.voltage.0, supply))
}

/// A board with a figure of its own beside a supply with one stands somewhere else.
fn stands_by_its_own(ask: &Ask<'_>, index: usize) -> bool {
    let (node, supply) = (&ask.tree.nodes[index], of_supply(ask));
    let on_supply = on_network(node) && node.transformer.is_none() && !node.feeder;
    let described = ask.basis.supply.upstream_fault_mva.or(ask.basis.supply.transformer_kva).is_some();
    on_supply && !described && supply.largest.or(supply.least).is_some() && !stated(ask, index).of_supply
}

/// The figures of the supply hold behind its transformer: there is none, or the supply's voltage is that of its secondary.
fn stated_behind(ask: &Ask<'_>, node: &Node) -> bool {
    node.transformer.is_none_or(|transformer| secondary_is_supply(ask, transformer))
}

fn secondary_is_supply(ask: &Ask<'_>, transformer: usize) -> bool {
    let secondary = ask.basis.transformers.get(transformer).and_then(|transformer| transformer.secondary_voltage_v);
    let (Some(secondary), Some(supply)) = (secondary, ask.basis.supply.voltage_v) else { return true };
    is_same_voltage(secondary, supply)
}

/// A source of the basis is the network of `[supply]`, not a machine.
fn is_network(ask: &Ask<'_>, source: usize) -> bool {
    ask.basis.sources.get(source).is_none_or(|source| !source.is_machine())
}

/// The network of `[supply]` feeds a board, without another board between.
fn on_network(node: &Node) -> bool {
    node.parent == Parent::Supply
}

fn named(ask: &Ask<'_>, source: usize) -> bool {
    let nodes = &ask.tree.nodes;
    nodes.iter().any(|node| node.parent == Parent::Source(source) || node.alternatives.contains(&source))
}

/// A source that a board names, or one that stands for the supply or in for it.
pub(super) fn feeds_something(ask: &Ask<'_>, source: usize) -> bool {
    named(ask, source) || ask.tree.nodes.iter().any(|node| node.parent == Parent::Supply)
}

impl Builder<'_, '_> {
    fn push(&mut self, bus: Bus) -> usize {
        self.grid.buses.push(bus);
        self.grid.buses.len() - 1
    }

    fn board(&mut self, index: usize, record: &mut Record) {
        let ask = self.ask;
        let node = &ask.tree.nodes[index];
        let parent = match node.parent {
            Parent::Board(parent) => self.grid.of_board.get(parent).copied(),
            Parent::Supply => Some(self.supply(record)),
            Parent::Source(source) => Some(self.source(source, node, record)),
            Parent::Unknown => None,
        };
        let parent = match (parent, node.transformer) {
            (Some(parent), Some(transformer)) => Some(self.transformer(transformer, parent, node, record)),
            _ => parent,
        };
        let apart = stands_by_its_own(ask, index) || ask.tree.unsaid_behind_transformers(index, ask.basis);
        let (parent, stated) = (parent.filter(|_| !apart), stated(ask, index));
        let given = ask.feeders.get(index).copied().flatten();
        let known = node.voltage.0 > 0.0 && node.phases != 1 && parent.is_some();
        let series = match given {
            _ if !known => Stretch::default(),
            Some(impedance) => elements::feeder(&impedance),
            None if node.feeder => Stretch::default(),
            None => Stretch::none(),
        };
        let at_supply = on_network(node) && !node.feeder && stated_behind(ask, node);
        let bus = Bus {
            motors: ask.motors.get(index).copied().unwrap_or_default(),
            stated,
            same_place: known && given.is_none() && !node.feeder && !matches!(node.parent, Parent::Board(_)),
            x_over_r: ask.basis.supply.x_over_r.filter(|_| at_supply),
            returns: ask.book.returns_by_conductor(node.earthing.as_deref(), node.system.as_deref()),
            ..Bus::end(parent, series, node.voltage, self.convention)
        };
        let at = self.push(bus);
        self.grid.of_board.push(at);
    }

    /// The end of the supply, behind its own transformer where `[supply]` names one.
    fn supply(&mut self, record: &mut Record) -> usize {
        if let Some(at) = self.heads.get(&Head::Supply) {
            return *at;
        }
        let (ask, supply) = (self.ask, &self.ask.basis.supply);
        let voltage = ask.tree.voltage_of_supply(ask.basis);
        // A `[[transformer]]` from the supply to its own voltage is the one that `[supply]` describes.
        let described_twice =
            ask.tree.nodes.iter().any(|node| {
                on_network(node) && node.transformer.is_some_and(|transformer| secondary_is_supply(ask, transformer))
            });
        let has_transformer = supply.transformer_kva.or(supply.transformer_impedance_pct).is_some() && !described_twice;
        let before_transformer =
            has_transformer || ask.tree.nodes.iter().any(|node| on_network(node) && node.transformer.is_some());
        let high_voltage = has_transformer || described_twice || voltage.0 > HIGHEST_LOW_VOLTAGE;
        let factors = if high_voltage { self.convention.high_voltage } else { self.convention.low_voltage };
        let mut series = if voltage.0 > 0.0 {
            elements::network(supply, factors, voltage, before_transformer, record, &mut self.said)
        } else {
            Stretch::default()
        };
        self.grid.unlimited = before_transformer && supply.upstream_fault_mva.is_none();
        if has_transformer && voltage.0 > 0.0 {
            let figures = Transformer {
                title: elements::SUPPLY,
                kva: supply.transformer_kva,
                impedance_pct: supply.transformer_impedance_pct,
                x_over_r: supply.x_over_r,
                keys: ["transformer_kva", "transformer_impedance_pct"],
                ..Transformer::default()
            };
            series = series.then_transformer(elements::transformer(figures, voltage, self.convention, record, &mut self.said));
        }
        let bus = Bus {
            stated: if described_twice { Stated::default() } else { of_supply(ask) },
            x_over_r: supply.x_over_r,
            returns: ask.book.returns_by_conductor(supply.earthing.as_deref(), supply.system.as_deref()),
            ..Bus::end(None, series, voltage, self.convention)
        };
        let at = self.push(bus);
        self.heads.insert(Head::Supply, at);
        at
    }

    fn source(&mut self, source: usize, node: &Node, record: &mut Record) -> usize {
        if let Some(at) = self.heads.get(&Head::Source(source)) {
            return *at;
        }
        let series = self.generator(source, node.voltage, record);
        let at = self.push(Bus::end(None, series, node.voltage, self.convention));
        self.heads.insert(Head::Source(source), at);
        at
    }

    fn generator(&mut self, source: usize, voltage: Volts, record: &mut Record) -> Stretch {
        let title = format!("source {}", self.ask.basis.source_name(source));
        let source = &self.ask.basis.sources[source];
        if voltage.0 <= 0.0 {
            self.said.voltage_unknown(&title);
            return Stretch::default();
        }
        elements::generator(source, &title, voltage, self.convention, record, &mut self.said)
    }

    /// The secondary of a transformer.
    fn transformer(&mut self, transformer: usize, parent: usize, node: &Node, record: &mut Record) -> usize {
        if let Some(at) = self.heads.get(&Head::Transformer(transformer)) {
            return *at;
        }
        let ask = self.ask;
        let stated = &ask.basis.transformers[transformer];
        let rated = Volts(stated.secondary_voltage_v.unwrap_or(node.voltage.0));
        let before = self.grid.buses[parent].voltage.0;
        let title = format!("transformer {}", ask.basis.transformer_name(transformer));
        let figures = Transformer {
            title: &title,
            kva: stated.kva,
            impedance_pct: stated.impedance_pct,
            load_loss_kw: stated.load_loss_kw,
            x_over_r: None,
            zero_sequence: [stated.zero_sequence_r_ratio, stated.zero_sequence_x_ratio],
            vector_group: stated.vector_group.as_deref().map(str::trim).filter(|group| !group.is_empty()),
            keys: ["kva", "impedance_pct"],
        };
        let known = rated.0 > 0.0 && before > 0.0;
        let series = if known {
            elements::transformer(figures, rated, self.convention, record, &mut self.said)
        } else {
            Stretch::default()
        };
        let from_supply = on_network(node);
        if !node.feeder {
            let what =
                format!("no feeder is stated between {title} and board {}; it is taken to stand at its terminals", node.name);
            let key = format!("board {}: feeder_length_m", node.name);
            let finding = Finding::new(&codes::B111_FAULT_ASSUMED, what).at(place(ask.basis_file, &key));
            self.said.findings.push(finding.cure("state its length and conductor where it is long"));
        }
        let bus = Bus {
            referral: if known { (rated.0 / before) * (rated.0 / before) } else { 1.0 },
            parts_zero: true,
            stated: if from_supply && secondary_is_supply(ask, transformer) { of_supply(ask) } else { Stated::default() },
            x_over_r: ask.basis.supply.x_over_r.filter(|_| from_supply),
            returns: ask.book.returns_by_conductor(node.earthing.as_deref(), node.system.as_deref()),
            ..Bus::end(Some(parent), series, node.voltage, self.convention)
        };
        let at = self.push(bus);
        self.heads.insert(Head::Transformer(transformer), at);
        at
    }

    /// The grid in which a source stands in for the usual one: at the boards that name it, or, where no board does, for the supply.
    fn with_instead(&mut self, source: usize, records: &mut [Record]) -> Option<Grid> {
        let ask = self.ask;
        let nodes = &ask.tree.nodes;
        let boards: Vec<usize> = (0..nodes.len()).filter(|board| nodes[*board].alternatives.contains(&source)).collect();
        let mut at: Vec<usize> = boards.iter().map(|board| self.grid.of_board[*board]).collect();
        if is_network(ask, source) {
            // The network of the supply in place of another source.
            let head = self.supply_for(*boards.first()?, records);
            return Some(self.replaced(&at, &self.grid.buses[head].series.clone(), self.grid.buses[head].stated));
        }
        if !named(ask, source) {
            at = self.ends_of_supply();
            let first = nodes.iter().position(|node| node.parent == Parent::Supply)?;
            let name = ask.basis.source_name(source);
            let what = format!("no board names source {name}; it is taken to stand in for the supply");
            let key = format!("source {name}: name");
            let finding = Finding::new(&codes::B111_FAULT_ASSUMED, what).at(place(ask.basis_file, &key));
            self.said.findings.push(finding.cure("name it in fed_from of the board that it feeds, after the first source"));
            let series = self.generator(source, self.grid.buses[*at.first()?].voltage, &mut records[first]);
            return Some(self.replaced(&at, &series, Stated::default()));
        }
        let first = *boards.first()?;
        let series = self.generator(source, nodes[first].voltage, &mut records[first]);
        Some(self.replaced(&at, &series, Stated::default()))
    }

    fn supply_for(&mut self, board: usize, records: &mut [Record]) -> usize {
        self.supply(&mut records[board])
    }

    /// Where a source that stands in for the supply is connected: at its end if a board stands there, else behind its transformers.
    fn ends_of_supply(&self) -> Vec<usize> {
        let Some(supply) = self.heads.get(&Head::Supply) else { return Vec::new() };
        let buses = &self.grid.buses;
        let direct = self.grid.of_board.iter().any(|bus| buses[*bus].parent == Some(*supply));
        if direct { vec![*supply] } else { (0..buses.len()).filter(|bus| buses[*bus].parent == Some(*supply)).collect() }
    }

    fn replaced(&self, at: &[usize], series: &Stretch, stated: Stated) -> Grid {
        let mut grid = Grid { usual: false, ..self.grid.clone() };
        for index in at {
            let bus = &mut grid.buses[*index];
            (bus.parent, bus.referral, bus.series, bus.parts_zero, bus.same_place) = (None, 1.0, *series, false, false);
            if bus.stated.of_supply {
                bus.stated = stated;
            }
        }
        // Figures stated of the supply do not hold behind another source.
        let mut lost = vec![false; grid.buses.len()];
        for index in 0..grid.buses.len() {
            lost[index] = at.contains(&index) || grid.buses[index].parent.is_some_and(|parent| lost[parent]);
            if lost[index] && !at.contains(&index) && grid.buses[index].stated.of_supply {
                grid.buses[index].stated = Stated::default();
            }
        }
        grid
    }
}

/// Highest nominal voltage of low-voltage networks.
const HIGHEST_LOW_VOLTAGE: f64 = 1000.0;
