//! The network from the sources to the boards: what every circuit of a board may take for granted, and what the boards ask of their
//! feeders.
//!
//! One way through: [`tree`] says who feeds whom; [`connected`] says what each row of the schedule asks, [`together`] which of them run
//! together and [`phases`] on which phase; [`demand`] adds up from the last boards to the sources; [`feeders`] chooses conductors and
//! devices from the sources to the last boards, each behind what its own supply gives; [`faults`] gives every board its largest and
//! smallest fault current; [`links`] and [`voltages`] what is left of the voltage while loads run and while one starts, [`restart`] what
//! happens when a supply comes back. What comes out is a [`SupplyPoint`] for the circuits of each board, and, once these are sized, the
//! figures of the boards themselves.
//!
//! A fault current or a feeder that the basis states at a board counts there; a figure that nobody states and nothing gives stays
//! unknown.

use std::cell::OnceCell;
use std::collections::BTreeMap;

use crate::basis::Basis;
use crate::finding::{Finding, codes};
use crate::load::{Field, Load};
use crate::quantity::{Impedance, Ohms, Volts};
use crate::record::Record;
use crate::rules::physics::nominal::is_same_voltage;
use crate::sizing::control::supply::{Line, admits_without_transformer, has_auxiliaries_to_neutral, is_between_line_and_neutral};
use crate::sizing::{Tools, resolve};
use crate::supply::{self, SupplyPoint};
use crate::threads;

use connected::Connected;
use demand::Demands;
use faults::{Faults, Motors};
use feeders::items::Counted;
use feeders::transformer::{Demanded, Transformer, TransformerAsk, phases_of_transformer};
use feeders::{Feeder, FeederImpedance, Origin};
use incoming::Incoming;
use links::Fed;
use phases::Assignment;
use restart::Restart;
use together::Together;
use tree::{Parent, Tree};
use voltages::{CableOf, Grid, StartAtTerminals, Voltages};

pub mod connected;
pub mod demand;
pub mod faults;
pub mod feeders;
pub mod incoming;
pub mod links;
mod loading;
pub mod phases;
pub mod restart;
#[cfg(test)]
mod testing;
#[cfg(test)]
mod tests;
pub mod together;
pub mod tree;
mod twice;
pub mod voltages;

/// The network of a schedule, worked out before its circuits are sized.
#[derive(Debug, Default)]
pub struct Network {
    /// The boards.
    pub tree: Tree,
    /// Demand of each row, in the order of the schedule; rows without any known figure are missing.
    pub rows: Vec<Connected>,
    /// Which rows run together.
    pub together: Together,
    /// On which phases single-phase rows stand.
    pub phases: Assignment,
    /// Sums of each board.
    pub demands: Demands,
    /// Feeder of each board.
    pub feeders: Vec<Feeder>,
    /// How the rows count on feeders.
    pub counted: Vec<Counted>,
    /// Circuits of each set that run together.
    pub sets: Vec<u32>,
    /// Fault currents of each board.
    pub faults: Faults,
    /// Transformers before boards, by the board's place.
    pub transformers: Vec<(usize, Transformer)>,
    /// The device at the head of each board that the basis asks for, in the order of the tree.
    pub incoming: Vec<Option<Incoming>>,
    /// Feeds of the boards with what lies before each.
    pub feeds: Vec<Fed>,
    /// Impedance of the fault current that is stated for each board.
    pub stated: Vec<Option<Impedance>>,
    /// The return of the supply, for each feed.
    pub restarts: Vec<Restart>,
    /// Findings that concern the network as a whole.
    pub findings: Vec<Finding>,
    by_name: BTreeMap<String, usize>,
    points: Vec<SupplyPoint>,
}

impl Network {
    /// Works out the network of a schedule.
    #[must_use]
    pub fn of(loads: &[Load], tools: &Tools<'_>, basis_file: Option<&str>) -> Self {
        let boards = scheduled(loads, tools);
        let listed: Vec<&str> = boards.iter().map(|(name, _)| name.as_str()).collect();
        let rated: BTreeMap<&str, Volts> = boards.iter().map(|(name, rated)| (name.as_str(), *rated)).collect();
        let of_board = |name: &str| tools.book.system_voltage(rated.get(name).copied().unwrap_or_default());
        let tree = Tree::of_rated(tools.basis, &listed, &of_board, basis_file);
        let by_name = tree.nodes.iter().enumerate().map(|(index, node)| (node.name.clone(), index)).collect();
        let mut network = Self { tree, by_name, ..Self::default() };
        network.connect(loads, tools);
        network.add_up(tools);
        network.say_unlike(tools.basis, basis_file);
        network.feed(tools, basis_file);
        network.see_voltages(tools);
        network
    }

    /// Place of a board by its name.
    #[must_use]
    pub fn find(&self, board: &str) -> Option<usize> {
        self.by_name.get(board).copied()
    }

    /// The supply point of a circuit at a board; where nothing states its voltage, that of the system behind loads of a rated
    /// voltage.
    #[must_use]
    pub fn point(&self, tools: &Tools<'_>, board: &str, rated: Volts) -> SupplyPoint {
        let point = self.point_of_board(tools, board, rated);
        let voltage = if tools.basis.board_voltage(board).is_some() { point.voltage } else { tools.book.system_voltage(rated) };
        SupplyPoint { voltage, ..point }
    }

    /// The supply point of a board; where nothing states its voltage, that of all its loads, or of the boards beside it.
    #[must_use]
    pub fn point_of_board(&self, tools: &Tools<'_>, board: &str, rated: Volts) -> SupplyPoint {
        let fallback = tools.book.system_voltage(rated);
        match self.find(board).and_then(|index| self.points.get(index)) {
            Some(point) if point.voltage.0 > 0.0 => point.clone(),
            Some(point) => SupplyPoint { voltage: fallback, ..point.clone() },
            None => supply::point(tools.basis, board, fallback),
        }
    }

    /// Says so where boards of two voltages stand on one supply that has none.
    fn say_unlike(&mut self, basis: &Basis, basis_file: Option<&str>) {
        let Some((one, other)) = self.unlike_on_supply(basis) else { return };
        let what = format!(
            "boards {} ({} V) and {} ({} V) stand on one supply, and nobody states its voltage",
            one.name, one.voltage.0, other.name, other.voltage.0
        );
        let finding = Finding::new(&codes::B329_UNLIKE_VOLTAGES, what)
            .at(tree::place(basis_file, "supply: voltage_v"))
            .why("fault currents, dips and sums in front of them are those of one voltage")
            .cure("state voltage_v of [supply], and the [[transformer]] before the boards of another voltage");
        self.findings.push(finding);
    }

    /// Voltages of two boards that stand on a supply of which nobody states it, where they are not one.
    fn unlike_on_supply(&self, basis: &Basis) -> Option<(&tree::Node, &tree::Node)> {
        let on_supply = |node: &&tree::Node| node.parent == Parent::Supply && node.transformer.is_none() && node.voltage.0 > 0.0;
        let mut boards = self.tree.nodes.iter().filter(on_supply).filter(|_| basis.supply.voltage_v.is_none());
        let first = boards.next()?;
        let like = |node: &tree::Node| {
            let one = |lower: &tree::Node, higher: &tree::Node| {
                lower.phases == 1 && is_same_voltage(lower.voltage.0, higher.voltage.0 / 3f64.sqrt())
            };
            is_same_voltage(node.voltage.0, first.voltage.0) || one(node, first) || one(first, node)
        };
        boards.find(|node| !like(node)).map(|other| (first, other))
    }

    /// Findings that concern no single board.
    #[must_use]
    pub fn project_findings(&self) -> Vec<Finding> {
        let of_tree = self.tree.findings.iter().chain(&self.demands.findings).chain(&self.faults.findings);
        let of_restarts = self.restarts.iter().flat_map(|restart| &restart.findings);
        of_tree.chain(&self.findings).chain(of_restarts).cloned().collect()
    }

    /// Puts the rows on their boards. Their findings are those of their boards.
    fn connect(&mut self, loads: &[Load], tools: &Tools<'_>) {
        let feeder = feeders::kind(tools);
        let runs = threads::of(loads.len(), threads::worth(loads.len()));
        let parts = threads::each(runs, |run| {
            let of_row = |row: usize| {
                let load = &loads[row];
                let node = self.find(&resolve::board(load, tools.basis))?;
                let mut record = Record::silent();
                let resolved = resolve::with_currents(load, tools.basis, tools.book, &mut Record::silent());
                let (case, currents) = resolved.map_or((None, None), |(case, currents)| (Some(case), currents));
                let resolved = case.as_ref().zip(currents.as_ref());
                let mut row = connected::of(load, resolved, (row, node), tools, feeder, &mut record);
                if let (Some(row), Some(case)) = (&mut row, &case) {
                    let line = self.line(node, tools);
                    row.coils_to_neutral = is_between_line_and_neutral(case, &line);
                    row.with_neutral |= has_auxiliaries_to_neutral(case, &line, tools);
                }
                Some((row, record.into_parts().1))
            };
            run.filter_map(of_row).collect::<Vec<_>>()
        });
        for (row, findings) in parts.into_iter().flatten() {
            self.rows.extend(row);
            self.findings.extend(findings);
        }
        self.findings.extend(twice::asked(loads, tools.basis));
        self.give_coils_a_transformer(tools);
    }

    /// The line that a board offers its coils.
    fn line(&self, node: usize, tools: &Tools<'_>) -> Line {
        let node = &self.tree.nodes[node];
        let point = supply::point(tools.basis, &node.name, node.voltage);
        let point = SupplyPoint { voltage: node.voltage, system: node.system.clone(), ..point };
        Line::of(tools.basis, &node.name, &point, tools.book)
    }

    /// Takes the neutral from coils that share a supply with more starters than the line may feed.
    fn give_coils_a_transformer(&mut self, tools: &Tools<'_>) {
        let mut starters = vec![0; self.tree.nodes.len()];
        for row in self.rows.iter().filter(|row| row.coils_to_neutral) {
            starters[row.node] += row.number;
        }
        for row in &mut self.rows {
            row.coils_to_neutral &= admits_without_transformer(starters[row.node], tools);
        }
    }

    fn add_up(&mut self, tools: &Tools<'_>) {
        self.together = Together::of(&self.rows);
        self.phases = phases::assign(&self.tree, &self.rows);
        self.demands = demand::of(&self.tree, &self.rows, &self.together, &self.phases, tools.basis, tools.book);
        let weight = |row: usize| self.rows[row].term.map_or(0.0, |term| tools.book.feeder_value(&term).0);
        let (counted, sets) = self.together.counted(&self.rows, &weight);
        let on = |row: usize| self.phases.rows.get(row).copied().flatten();
        self.counted = (0..).zip(counted).map(|(row, (circuits, set))| Counted { circuits, set, spread: on(row) }).collect();
        self.sets = sets;
    }

    /// Chooses feeders, then works out fault currents, incoming devices and transformers behind them.
    fn feed(&mut self, tools: &Tools<'_>, basis_file: Option<&str>) {
        let motors = Motors::of(&self.rows, &self.tree);
        let convention = tools.book.fault_convention(tools.basis.supply.voltage_tolerance_pct);
        let tree = &self.tree;
        let base = faults::Ask {
            tree,
            basis: tools.basis,
            basis_file,
            book: tools.book,
            convention,
            feeders: &[],
            motors: &motors,
            without: &[],
        };
        let boards = feeders::Boards {
            tree,
            rows: &self.rows,
            counted: &self.counted,
            sets: &self.sets,
            connections: &self.phases.boards,
            demands: &self.demands.boards,
            basis_file,
        };
        let unfed = OnceCell::new();
        self.feeders = feeders::choose(&boards, tools, |index, before| origin(&base, index, before, &unfed));
        let impedances: Vec<Option<FeederImpedance>> = self.feeders.iter().map(|feeder| feeder.impedance).collect();
        self.faults = faults::of(&faults::Ask { feeders: &impedances, ..base });
        self.incoming = incoming::choose(&boards, &self.feeders, &self.faults.levels, tools);
        self.transformers = self.look_at_transformers(tools, basis_file);
        self.findings.extend(loading::overloaded_sources(self, tools.basis, basis_file));
        let of_supply = self.look_at_transformer_of_supply(tools, basis_file);
        match of_supply {
            Some((Some(board), transformer)) => self.transformers.push((board, transformer)),
            // Where each board has a transformer of its own there is no page that could show it; what is wrong with it is told all the
            // same.
            Some((None, transformer)) => self.findings.extend(transformer.findings),
            None => {}
        }
        let ask = faults::Ask { feeders: &impedances, ..base };
        let point = |(index, level)| faults::point(&ask, index, level, &voltages::Voltage::default(), Volts(0.0));
        self.points = self.faults.levels.iter().enumerate().map(point).collect();
    }

    /// Demand of a board on the transformer before it, whose secondary has this voltage. A board of one phase takes its own.
    fn demanded(&self, index: usize, secondary: Volts) -> Demanded {
        let node = &self.tree.nodes[index];
        let voltage = if node.phases == 1 && node.voltage.0 > 0.0 { node.voltage } else { secondary };
        Demanded { phases: node.phases, voltage, current: self.demands.boards[index].demand }
    }

    /// The transformers of the basis, each once: at the first board that it feeds, with the demand of all.
    fn look_at_transformers(&self, tools: &Tools<'_>, basis_file: Option<&str>) -> Vec<(usize, Transformer)> {
        let mut found = Vec::new();
        let kind = feeders::kind(tools);
        for (place, transformer_basis) in tools.basis.transformers.iter().enumerate() {
            let fed: Vec<usize> =
                (0..self.tree.nodes.len()).filter(|index| self.tree.nodes[*index].transformer == Some(place)).collect();
            let Some(first) = fed.first().copied() else { continue };
            let node = &self.tree.nodes[first];
            let secondary = Volts(transformer_basis.secondary_voltage_v.unwrap_or(node.voltage.0));
            let primary = match node.parent {
                Parent::Board(parent) => Some(self.tree.nodes[parent].voltage).filter(|voltage| voltage.0 > 0.0),
                // Where the supply has the voltage of the secondary, that of the primary is nowhere stated.
                _ => tools.basis.supply.voltage_v.filter(|voltage_v| *voltage_v > 1.5 * secondary.0).map(Volts),
            };
            let demands: Vec<_> = fed.iter().map(|index| self.demanded(*index, secondary)).collect();
            let boards = fed.iter().map(|index| (self.tree.nodes[*index].phases, self.tree.nodes[*index].voltage));
            let phases = phases_of_transformer(secondary, boards);
            let name = tools.basis.transformer_name(place);
            let at = tree::place(basis_file, &format!("transformer {name}: kva"));
            let device =
                |index: &usize| self.feeders.get(*index).and_then(|feeder| feeder.device.as_ref()).map(|device| device.rating);
            let devices = fed.iter().map(device).reduce(|sum, more| Some(sum? + more?)).flatten();
            let ask = TransformerAsk {
                name: &name,
                devices,
                phases,
                ..TransformerAsk::of(transformer_basis, primary, secondary, &demands, kind, &at)
            };
            found.push((first, feeders::transformer::look(&ask, tools)));
        }
        found
    }

    /// The transformer that `[supply]` names, with the demand of all boards behind it, and the board on whose page it stands; none where
    /// a `[[transformer]]` describes it a second time.
    fn look_at_transformer_of_supply(&self, tools: &Tools<'_>, basis_file: Option<&str>) -> Option<(Option<usize>, Transformer)> {
        let supply = &tools.basis.supply;
        let kva = supply.transformer_kva?;
        let nodes = &self.tree.nodes;
        let fed: Vec<usize> = (0..nodes.len()).filter(|index| nodes[*index].parent == Parent::Supply).collect();
        let direct = |index: &usize| nodes[*index].transformer.is_none();
        let of_three_phases = fed.iter().copied().find(|index| direct(index) && nodes[*index].phases == 3);
        let page = of_three_phases.or(fed.iter().copied().find(direct));
        let secondary = Volts(supply.voltage_v.unwrap_or(nodes[page.or(fed.first().copied())?].voltage.0));
        let through = |index: usize| nodes[index].transformer.and_then(|transformer| tools.basis.transformers.get(transformer));
        // Amperes behind another transformer are amperes of its secondary.
        let voltage = |index: usize| {
            through(index).map_or(secondary, |other| Volts(other.secondary_voltage_v.unwrap_or(nodes[index].voltage.0)))
        };
        let same_voltage = |index: &usize| is_same_voltage(voltage(*index).0, secondary.0);
        if page.is_none() && fed.iter().any(same_voltage) {
            return None;
        }
        let demands: Vec<_> = fed.iter().map(|index| self.demanded(*index, voltage(*index))).collect();
        let ask = TransformerAsk {
            name: crate::design::OF_THE_SUPPLY,
            phases: if supply.phases == Some(1) { 1 } else { 3 },
            rating_kva: Some(kva),
            primary: None,
            secondary,
            demands: &demands,
            devices: None,
            kind: feeders::kind(tools),
            place: &tree::place(basis_file, "supply: transformer_kva"),
        };
        Some((page, feeders::transformer::look(&ask, tools)))
    }

    fn see_voltages(&mut self, tools: &Tools<'_>) {
        let links = links::of(&self.tree, tools.basis, &self.feeders);
        self.stated = links::stated(&self.tree, tools.basis);
        let mut findings = Vec::new();
        self.feeds = links::feeds(&self.tree, tools.basis, &links, &mut findings);
        self.findings.extend(findings);
        for fed in self.feeds.iter().filter(|fed| fed.usual) {
            let none = vec![None; self.tree.nodes.len()];
            let seen = voltages::of(&self.grid(fed, tools), &fed.feed, &none, &|_| None);
            let described = tools.basis.supply.transformer_kva.or(tools.basis.supply.upstream_fault_mva).is_some();
            for ((point, voltage), node) in self.points.iter_mut().zip(&seen.boards).zip(&self.tree.nodes) {
                if let Some(drop) = voltage.feeder_drop_pct.filter(|drop| *drop > 0.0) {
                    point.drop_running_pct = Some(drop);
                }
                // A fault current alone says how deep a board dips; how much of that is the circuit's own to bear it does not say.
                point.running_path = voltage.path.filter(|_| described || node.feeder || node.transformer.is_some());
            }
        }
        self.restarts = self.feeds.iter().map(|fed| restart::of(&self.grid(fed, tools), &fed.feed)).collect();
    }

    /// The boards behind a feed.
    fn grid<'a>(&'a self, fed: &'a Fed, tools: &Tools<'a>) -> Grid<'a> {
        Grid {
            tree: &fed.tree,
            rows: &self.rows,
            phases: &self.phases,
            together: &self.together,
            basis: tools.basis,
            links: &fed.links,
            // Figures stated of the usual supply do not hold behind another one.
            stated: if fed.usual { &self.stated } else { &[] },
        }
    }

    /// Voltages behind each feed, with the largest start of each board; `cable` gives what lies before the terminals of a row's motor.
    #[must_use]
    pub fn dips(&self, tools: &Tools<'_>, cable: CableOf<'_>) -> Vec<Voltages> {
        let largest: Vec<Option<usize>> = self.demands.boards.iter().map(|demand| demand.largest_start).collect();
        self.feeds.iter().map(|fed| voltages::of(&self.grid(fed, tools), &fed.feed, &largest, cable)).collect()
    }

    /// What the start of each circuit takes of the voltage at its terminals, behind the feed where it is most, with the place of the
    /// circuit and the warning where that is more than the limit.
    #[must_use]
    pub fn starts_at_terminals(
        &self,
        limit_pct: f64,
        tools: &Tools<'_>,
        cable: CableOf<'_>,
    ) -> BTreeMap<usize, (StartAtTerminals, Option<Finding>)> {
        let mut most: BTreeMap<usize, (StartAtTerminals, Option<Finding>)> = BTreeMap::new();
        for fed in &self.feeds {
            let grid = self.grid(fed, tools);
            for start in voltages::starts_at_terminals(&grid, &fed.feed, cable) {
                let circuit = self.rows[start.row].row;
                if most.get(&circuit).is_none_or(|(known, _)| start.drop_pct > known.drop_pct) {
                    let warning = start.finding(&grid, limit_pct);
                    most.insert(circuit, (start, warning));
                }
            }
        }
        most
    }
}

/// No impedance.
const NONE: Impedance = Impedance { r: Ohms(0.0), x: Ohms(0.0) };

/// The place where the feeder of a board begins, with what the board would find there without it. Motors behind feeders that are not chosen
/// yet count as if they stood there, which gives the most. Figures that the basis states of the board hold behind its feeder, not before
/// it.
fn origin(base: &faults::Ask<'_>, index: usize, before: &[Feeder], unfed: &OnceCell<Vec<faults::FaultLevel>>) -> Origin {
    let node = &base.tree.nodes[index];
    let drop_pct = match node.parent {
        Parent::Board(parent) => before[parent].drop_pct,
        _ => Some(0.0),
    };
    let level_in = |levels: &[faults::FaultLevel]| levels.get(index).copied().unwrap_or_default();
    // A source that stands in at the board itself does not feed through its feeder.
    let without = links::standing_in_at(base.tree, index, base.basis);
    if !node.feeder && without.is_empty() && before.iter().all(|feeder| feeder.impedance.is_none()) {
        // Nothing is known of any feeder: so it is for all such boards, and a list may name thousands.
        let all = || faults::of(&faults::Ask { feeders: &vec![None; base.tree.nodes.len()], ..*base }).levels;
        return Origin { level: level_in(unfed.get_or_init(all)), drop_pct };
    }
    let nothing = FeederImpedance { cold_loop: Some(NONE), hot_loop: Some(NONE), ..FeederImpedance::default() };
    let mut known: Vec<Option<FeederImpedance>> = before.iter().map(|feeder| feeder.impedance).collect();
    known.push(node.feeder.then_some(nothing));
    known.resize(base.tree.nodes.len(), None);
    let silent = node.board.filter(|_| node.feeder).and_then(|board| unstated(base.basis, board));
    let basis = silent.as_ref().unwrap_or(base.basis);
    let ask = faults::Ask { basis, feeders: &known, without: &without, ..*base };
    Origin { level: level_in(&faults::of(&ask).levels), drop_pct }
}

/// The basis without the fault currents that it states at a board; none if it states none.
fn unstated(basis: &Basis, board: usize) -> Option<Basis> {
    let board_basis = basis.boards.get(board)?;
    board_basis.prospective_fault_ka.or(board_basis.prospective_fault_min_ka)?;
    let mut basis = basis.clone();
    (basis.boards[board].prospective_fault_ka, basis.boards[board].prospective_fault_min_ka) = (None, None);
    Some(basis)
}

/// Boards of a schedule in the order in which it names them first, with the highest voltage for which loads of each are rated.
fn scheduled(loads: &[Load], tools: &Tools<'_>) -> Vec<(String, Volts)> {
    let mut places: BTreeMap<String, usize> = BTreeMap::new();
    let mut boards: Vec<(String, Volts)> = Vec::new();
    for load in loads {
        let name = resolve::board(load, tools.basis);
        let place = *places.entry(name.clone()).or_insert(boards.len());
        if place == boards.len() {
            boards.push((name, Volts(0.0)));
        }
        let rated = load.number(Field::VoltageV).unwrap_or(0.0);
        boards[place].1 = boards[place].1.max(Volts(rated));
    }
    boards
}
