//! Puts the figures of the network into each board: sums, feeder, transformer, fault currents, dips, and how its feeder's device
//! and those of its circuits discriminate.

use super::stated_fault;
use crate::conductors::pair_is_to_neutral;
use crate::design::{
    Board, BoardFeeder, BoardIncoming, BoardTransformer, Circuit, PhaseOfRow, Restart, RestartGroup, RestartStart, Run, StartDip,
    StartVoltage,
};
use crate::finding::{Finding, Place, codes};
use crate::network::faults::one_phase::is_to_neutral;
use crate::network::feeders::device::FeederDevice;
use crate::network::feeders::items;
use crate::network::feeders::transformer::Transformer;
use crate::network::feeders::{self, Boards, selectivity};
use crate::network::phases::{Connection, Spread};
use crate::network::restart::some_of;
use crate::network::together::Runs;
use crate::network::tree::{Node, Parent};
use crate::network::voltages::Voltages;
use crate::network::{Network, connected::Connected};
use crate::quantity::{Amperes, Impedance, Ohms, round_to};
use crate::record::Record;
use crate::rules::physics::loading::load_figure;
use crate::rules::physics::nominal::is_same_voltage;
use crate::rules::units::Units;
use crate::sizing::Tools;
use crate::sizing::judge::{at_most, sentence};

/// Decimals of currents and powers in a design.
const PLACES: u32 = 3;

fn kiloamperes(value: Option<Amperes>) -> Option<f64> {
    value.map(|value| round_to(value.0 / 1000.0, 4))
}

/// Where the dial of a breaker's overload release stands: at the rating, as the conductors are held against that.
fn release_setting(device: &FeederDevice) -> Option<f64> {
    device.setting_range.map(|_| device.rating.0)
}

/// Tells each single-phase circuit its lines.
pub(super) fn lines(network: &Network, circuits: &mut [Circuit]) {
    for (row, spread) in network.rows.iter().zip(&network.phases.rows) {
        if let (Some(circuit), Some(spread)) = (circuits.get_mut(row.row), spread) {
            circuit.lines = lines_of(network, row.node, *spread);
            circuit.lines_stated = spread.stated && !circuit.lines.is_empty();
        }
    }
}

/// Lines of a row. A load at the whole voltage of a single-phase board has both wires of its supply, of which one may be the neutral:
/// where nothing tells which lines these are, none is named.
fn lines_of(network: &Network, node: usize, spread: Spread) -> String {
    let board = network.tree.nodes.get(node).filter(|node| node.phases == 1 && spread.between);
    let Some(board) = board else { return spread.lines() };
    let fed = network.phases.boards.get(node).copied().flatten().filter(|_| board.transformer.is_none());
    fed.map(Connection::lines).unwrap_or_default()
}

/// The boards of a network with their circuits.
pub(super) struct Filling<'a> {
    network: &'a Network,
    tools: &'a Tools<'a>,
    dips: Vec<Voltages>,
    rows_of_board: Vec<Vec<usize>>,
}

impl<'a> Filling<'a> {
    /// Works out the dips with the cables that were chosen.
    pub(super) fn new(network: &'a Network, circuits: &[Circuit], tools: &'a Tools<'a>) -> Self {
        let cable = |row: usize| cable_before(network, circuits, row);
        let mut rows_of_board = vec![Vec::new(); network.tree.nodes.len()];
        for (index, row) in network.rows.iter().enumerate() {
            rows_of_board[row.node].push(index);
        }
        Self { network, tools, dips: network.dips(tools, &cable), rows_of_board }
    }

    /// Tells circuits what their start takes of the voltage at their motor, and warns of what takes too much. What keeps the limit is a
    /// check more, beside that of the run alone; what does not is for a person to decide.
    pub(super) fn tell_start_voltages(&self, circuits: &mut [Circuit]) {
        let design = &self.tools.basis.design;
        let limit_pct = design.starting_drop_pct.unwrap_or(self.tools.book.defaults().starting_drop_pct);
        let found = {
            let cable = |row: usize| cable_before(self.network, circuits, row);
            self.network.starts_at_terminals(limit_pct, self.tools, &cable)
        };
        for (place, (start, warning)) in found {
            let Some(circuit) = circuits.get_mut(place) else { continue };
            let drop_pct = round_to(start.drop_pct, 3);
            if !start.of_board {
                circuit.start_voltage =
                    Some(StartVoltage { drop_pct, left_pct: round_to(start.left_pct, 3), feed: start.feed.clone(), limit_pct });
                if warning.is_none() {
                    let clause = "basis, design.starting_drop_pct";
                    circuit.checks.push(at_most("voltage-drop-at-terminals", drop_pct, limit_pct, "%", clause).about("start"));
                }
            }
            circuit.findings.extend(warning);
            crate::finding::sort(&mut circuit.findings);
            crate::sizing::settle_status(circuit);
        }
    }

    /// Warns circuits that are rated for another voltage than their board has by other rows, where the basis states none.
    pub(super) fn warn_of_unlike_voltages(&self, circuits: &mut [Circuit]) {
        for circuit in circuits.iter_mut().filter(|circuit| self.tools.basis.board_voltage(&circuit.board).is_none()) {
            let Some(index) = self.network.find(&circuit.board) else { continue };
            let line = self.network.tree.nodes[index].voltage;
            let Some(volts) = circuit.load.voltage_v.filter(|volts| line.0 > 0.0 && !is_same_voltage(*volts, line.0)) else {
                continue;
            };
            let what = format!(
                "{volts} V on board {}, of which nobody states the voltage: {} V are taken, that of loads there or of the board before it",
                circuit.board, line.0
            );
            let finding = Finding::new(&codes::B329_UNLIKE_VOLTAGES, what)
                .at(Place::from(&circuit.place))
                .why("whether the load lies to a neutral follows from the voltage of its board; it is taken to lie between lines")
                .cure("state voltage_v of the board or of [supply], or the [[transformer]] before the load");
            circuit.findings.push(finding);
            crate::finding::sort(&mut circuit.findings);
            crate::sizing::settle_status(circuit);
        }
    }

    /// Fills a board.
    pub(super) fn fill(&self, board: &mut Board, circuits: &[&Circuit]) {
        let Some(index) = self.network.find(&board.name) else { return };
        let node = &self.network.tree.nodes[index];
        board.depth = u32::try_from(node.depth).unwrap_or(u32::MAX);
        (board.system, board.earthing) = (node.system.clone(), node.earthing.clone());
        self.sums(index, board);
        self.phases(index, board);
        self.feeder(index, board);
        self.transformer(index, board);
        self.faults(index, node, board);
        let if_motors_add = self.network.faults.levels.get(index).and_then(|level| level.if_motors_add);
        board.findings.extend(stated_fault::question(board, circuits, if_motors_add));
        self.voltages(index, board);
        // What is told of a device before a board without a feeder of its own is what others may set there, and no part of the design.
        if let Some(device) = self.device_of(index).filter(|_| self.network.tree.nodes[index].feeder) {
            self.discrimination(index, board, device, "feeder", circuits);
        }
        self.incoming(index, board, circuits);
    }

    /// Limits of what the network can tell, and dips beyond the limit of the basis.
    pub(super) fn findings(&self) -> Vec<Finding> {
        self.dips.iter().flat_map(|seen| seen.findings.iter().cloned()).collect()
    }

    fn tag(&self, row: Option<usize>) -> String {
        row.and_then(|row| self.network.rows.get(row)).map(|row| row.tag.clone()).unwrap_or_default()
    }

    fn sums(&self, index: usize, board: &mut Board) {
        let Some(demand) = self.network.demands.boards.get(index) else { return };
        let kilo = |watts: f64| round_to(watts / 1000.0, PLACES);
        board.connected_kw = kilo(demand.connected.0);
        board.spare_kw = kilo(demand.spare.0);
        board.running_kw = kilo(demand.running_w);
        board.running_kvar = kilo(demand.running_var);
        board.running_current_a = round_to(demand.running.0, PLACES);
        board.demand_current_a = round_to(demand.demand.0, PLACES);
        board.power_factor = demand.power_factor.map(|power_factor| round_to(power_factor, PLACES));
        board.phase_currents_a = demand.phases.map(|phase| round_to(phase.0, PLACES));
        board.unbalance_pct = round_to(demand.unbalance_pct, 2);
        board.nonlinear_pct = round_to(demand.nonlinear_share * 100.0, 2);
        board.largest_motor_tag = self.tag(demand.largest_motor);
        board.largest_start_tag = self.tag(demand.largest_start);
        board.working.extend(demand.working.iter().cloned());
        board.findings.extend(demand.findings.iter().cloned());
    }

    fn phases(&self, index: usize, board: &mut Board) {
        for row in &self.rows_of_board[index] {
            let Some(spread) = self.network.phases.rows.get(*row).copied().flatten() else { continue };
            let phases = self.lines_at(index, spread);
            let tag = self.network.rows[*row].tag.clone();
            board.phases_of_rows.push(PhaseOfRow { tag, phases, stated: spread.stated });
        }
    }

    /// Lines of a row on its board. The two conductors of a board behind one line and the neutral are no two lines.
    fn lines_at(&self, index: usize, spread: Spread) -> String {
        let node = &self.network.tree.nodes[index];
        if is_to_neutral(&self.network.tree.nodes, index) {
            return lines_of(self.network, index, spread);
        }
        let at_supply = matches!(node.parent, Parent::Supply | Parent::Source(_)) && node.phases == 1 && spread.between;
        if at_supply && pair_is_to_neutral(self.tools.basis, &node.name, self.tools.book) {
            return "L-N".to_owned();
        }
        spread.words()
    }

    fn feeder(&self, index: usize, board: &mut Board) {
        let Some(feeder) = self.network.feeders.get(index) else { return };
        board.feeder_minimum_a = round_to(feeder.minimum.0, PLACES);
        board.feeder_protection_maximum_a = feeder.protection_maximum.map(|protection_maximum| protection_maximum.0);
        board.feeder_protection_a = feeder.protection.0;
        board.feeder_conductor.clone_from(&feeder.conductor);
        board.feeder = BoardFeeder {
            kind: feeder.device.as_ref().map(|device| device.kind.to_owned()).unwrap_or_default(),
            part: feeder.device.as_ref().map(|device| device.part.clone()).unwrap_or_default(),
            magnetic_trip_a: feeder.device.as_ref().and_then(|device| device.magnetic).map(|[nominal, ..]| nominal),
            magnetic_range_a: feeder.device.as_ref().and_then(|device| device.magnetic_range),
            setting_a: feeder.device.as_ref().and_then(release_setting),
            setting_range_a: feeder.device.as_ref().and_then(|device| device.setting_range),
            breaking_ka: feeder.device.as_ref().and_then(|device| device.breaking_ka),
            run: feeder.run.clone(),
            drop_pct: feeder.drop_pct.map(|drop_pct| round_to(drop_pct, PLACES)),
            spare_pct: feeder.spare_pct.map(|spare_pct| round_to(spare_pct, 1)),
            parts: feeder.parts.clone(),
        };
        board.checks.extend(feeder.checks.iter().cloned());
        board.working.extend(feeder.working.iter().cloned());
        board.findings.extend(feeder.findings.iter().cloned());
    }

    fn transformer(&self, index: usize, board: &mut Board) {
        let Some((_, chosen)) = self.network.transformers.iter().find(|(at, _)| *at == index) else { return };
        board.transformer = Some(transformer(chosen));
        board.checks.extend(chosen.checks.iter().cloned());
        board.working.extend(chosen.working.iter().cloned());
        board.findings.extend(chosen.findings.iter().cloned());
    }

    fn faults(&self, index: usize, node: &Node, board: &mut Board) {
        let Some(level) = self.network.faults.levels.get(index) else { return };
        board.prospective_fault_ka = kiloamperes(level.largest);
        board.prospective_fault_without_motors_ka = kiloamperes(level.without_motors);
        board.three_phase_fault_ka = kiloamperes(level.three_phase);
        board.earth_fault_ka = kiloamperes(level.largest_to_earth);
        board.prospective_fault_min_ka = kiloamperes(level.smallest);
        board.peak_ka = kiloamperes(level.peak);
        if let Some(record) = self.network.faults.records.get(index) {
            let (steps, findings) = record.clone().into_parts();
            board.working.extend(steps.iter().map(Into::into));
            board.findings.extend(findings);
        }
        let stated = node.board.and_then(|board| self.tools.basis.boards.get(board));
        let rated = stated.and_then(|board| feeders::short_circuit_rating(board, level, self.tools.book));
        if let Some(check) = rated.as_ref().filter(|check| check.passed == Some(false)) {
            let words = sentence(check, Units::of(self.tools.book.key()));
            board.findings.push(
                Finding::new(&codes::B320_BOARD_RATING, format!("board {}: {words}", board.name))
                    .why("its bars and what carries them need not withstand a fault")
                    .cure("a board of a higher rating, a device before it that limits the current, or a longer way to it")
                    .reference(check.reference.clone()),
            );
        }
        board.checks.extend(rated);
    }

    fn voltages(&self, index: usize, board: &mut Board) {
        for (seen, fed) in self.dips.iter().zip(&self.network.feeds) {
            if fed.usual && board.voltage_running_pct.is_none() {
                board.voltage_running_pct = seen
                    .boards
                    .get(index)
                    .and_then(|voltage| voltage.running_pct)
                    .map(|running_pct| round_to(running_pct, PLACES));
            }
            let Some(dip) = seen.dips.get(index).and_then(Option::as_ref) else { continue };
            board.dips.push(StartDip {
                feed: seen.feed.clone(),
                usual: fed.usual,
                tag: self.tag(Some(dip.row)),
                before_pct: round_to(dip.before_pct, 4),
                during_pct: round_to(dip.during_pct, 4),
                dip_pct: round_to(dip.board_pct, 4),
                terminals_dip_pct: dip.terminals_pct.map(|pct| round_to(pct, 4)),
            });
            board.working.extend(dip.working.iter().cloned());
            if fed.usual && board.start_dip_pct.is_none() {
                board.start_dip_pct = Some(round_to(dip.board_pct, 4));
            }
            if let Some(limit) = self.tools.basis.starting.direct_limit_dip_pct {
                let check = at_most("start-dip", dip.board_pct, limit, "%", "basis, starting.direct_limit_dip_pct");
                board.checks.push(check.about(format!("start of {}, fed by {}", self.tag(Some(dip.row)), seen.feed)));
            }
        }
        say_running_voltage(board);
    }

    fn device_of(&self, index: usize) -> Option<&FeederDevice> {
        self.network.feeders.get(index).and_then(|feeder| feeder.device.as_ref())
    }

    /// A device before a board against those behind it: those of the feeders that begin there, without a transformer between, as
    /// what is behind one has other amperes, and of the circuits.
    fn discrimination(&self, index: usize, board: &mut Board, before: &FeederDevice, noun: &str, circuits: &[&Circuit]) {
        let nodes = &self.network.tree.nodes;
        let children = nodes[index].children.iter().filter(|child| nodes[**child].transformer.is_none());
        let feeders: Vec<_> = children.filter_map(|child| Some((nodes[*child].name.as_str(), self.device_of(*child)?))).collect();
        let fault = self.network.faults.levels.get(index).and_then(|level| level.largest);
        let book = self.tools.book;
        let (subject, units) = (format!("{noun} of board {}", board.name), Units::of(book.key()));
        for pairs in
            [selectivity::pairs_of_feeders(before, &feeders, fault, book), selectivity::pairs(before, circuits, fault, book)]
        {
            board.findings.extend(selectivity::findings(&subject, &pairs, units));
        }
    }

    /// The device at the head of the board, where the basis asks for one.
    fn incoming(&self, index: usize, board: &mut Board, circuits: &[&Circuit]) {
        let Some(incoming) = self.network.incoming.get(index).and_then(Option::as_ref) else { return };
        let breaker = incoming.breaker.as_ref();
        board.incoming = Some(BoardIncoming {
            kind: incoming.kind.to_owned(),
            category: incoming.category.to_owned(),
            rating_a: incoming.rating.map(|rating| rating.0),
            poles: incoming.rating.map(|_| incoming.poles.poles),
            neutral: incoming.rating.map(|_| incoming.poles.neutral.word().to_owned()).unwrap_or_default(),
            breaking_a: incoming.breaking.map(|breaking| round_to(breaking.0, PLACES)),
            breaking_ka: breaker.and_then(|device| device.breaking_ka),
            short_time_ka: incoming.short_time_ka,
            making_ka: incoming.making_ka,
            rating_hp: incoming.horsepower,
            magnetic_trip_a: breaker.and_then(|device| device.magnetic).map(|[nominal, ..]| nominal),
            magnetic_range_a: breaker.and_then(|device| device.magnetic_range),
            setting_a: breaker.and_then(release_setting),
            setting_range_a: breaker.and_then(|device| device.setting_range),
            apart: incoming.apart,
            part: incoming.part.clone(),
            parts: incoming.parts.clone(),
        });
        board.checks.extend(incoming.checks.iter().cloned());
        board.working.extend(incoming.working.iter().cloned());
        board.findings.extend(incoming.findings.iter().cloned());
        if let Some(device) = breaker {
            let noun = Units::of(self.tools.book.key()).pick("incoming device", "main circuit breaker");
            self.discrimination(index, board, device, noun, circuits);
        }
    }

    /// Each feeder's device against the branch devices that were chosen in the place of those that are permitted.
    pub(super) fn against_chosen(&self, boards: &mut [Board], circuits: &[Circuit]) {
        let network = self.network;
        let all = Boards {
            tree: &network.tree,
            rows: &network.rows,
            counted: &network.counted,
            sets: &network.sets,
            connections: &network.phases.boards,
            demands: &network.demands.boards,
            basis_file: None,
        };
        let chosen = |row: usize| {
            let connected: &Connected = network.rows.get(row)?;
            circuits.get(connected.row)?.protection.as_ref().map(|protection| Amperes(protection.rating_a))
        };
        let kind = feeders::kind(self.tools);
        for board in boards {
            let Some(index) = network.find(&board.name) else { continue };
            let Some(feeder) = network.feeders.get(index) else { continue };
            let Some(device) = feeder.device.as_ref().filter(|_| feeder.protection_maximum.is_some()) else { continue };
            let items = items::of(&all, &self.rows_of_board, index, self.tools);
            let need = feeder.minimum;
            let bounds = selectivity::bounds_of_chosen(&items, kind, need, chosen, self.tools.book, &mut Record::silent());
            board.findings.extend(selectivity::against_chosen(&board.name, device, &bounds));
        }
    }
}

/// What the board loses while everything runs is no drop of a circuit, and is told where motors feel it.
fn say_running_voltage(board: &mut Board) {
    let least_pct = load_figure("running-voltage-said-pct");
    let Some(running_pct) = board.voltage_running_pct.filter(|running_pct| *running_pct < least_pct) else { return };
    let what = format!(
        "board {} stands at {} % of its voltage with everything running, less than {least_pct} %, and the cables behind it take more",
        board.name,
        round_to(running_pct, 1)
    );
    let finding = Finding::new(&codes::B217_RUNNING_VOLTAGE, what)
        .why(
            "motors run hotter and start with less torque; the smallest fault current that is stated counts as the network before the board, \
             and transformers between boards count",
        )
        .cure(
            "state upstream_fault_min_mva and the transformer of the supply if the network is stronger; else a tap that lifts the voltage, a \
             larger transformer or feeder",
        );
    board.findings.push(finding);
}

fn transformer(transformer: &Transformer) -> BoardTransformer {
    let [primary, secondary] = transformer.rated.map(|rated| rated.map(|current| round_to(current.0, PLACES)));
    let protection = transformer.protection.as_ref();
    BoardTransformer {
        name: transformer.name.clone(),
        demand_kva: round_to(transformer.demand_kva, PLACES),
        loading_pct: transformer.loading_pct.map(|loading_pct| round_to(loading_pct, 2)),
        primary_a: primary,
        secondary_a: secondary,
        primary_protection_a: protection.and_then(|protection| protection.primary).map(|primary| primary.0),
        secondary_protection_a: protection.and_then(|protection| protection.secondary).map(|secondary| secondary.0),
        largest: protection.is_some_and(|protection| protection.largest),
        reference: protection.map(|protection| protection.reference.to_owned()).unwrap_or_default(),
    }
}

/// The returns of supplies, with tags.
pub(super) fn restarts(network: &Network) -> Vec<Restart> {
    let start = |runs: &Runs| {
        let row = network.rows.get(runs.row)?;
        let words = some_of(&row.tag, runs.number, row.number, !row.tags.is_empty());
        Some(RestartStart { tag: row.tag.clone(), number: runs.number, of: row.number, words })
    };
    let described = |restart: &crate::network::restart::Restart| Restart {
        feed: restart.feed.clone(),
        together_dip_pct: restart.together_pct.map(|together_pct| round_to(together_pct, 4)),
        deepest_board: restart
            .deepest
            .and_then(|board| network.tree.nodes.get(board))
            .map(|node| node.name.clone())
            .unwrap_or_default(),
        groups: restart
            .groups
            .iter()
            .map(|group| RestartGroup {
                starts: group.starts.iter().filter_map(start).collect(),
                dip_pct: group.dip_pct.map(|dip_pct| round_to(dip_pct, 4)),
                one_by_one: group.one_by_one,
            })
            .collect(),
    };
    network.restarts.iter().map(described).collect()
}

fn cable_before(network: &Network, circuits: &[Circuit], row: usize) -> Option<Impedance> {
    cable_of(circuits.get(network.rows.get(row)?.row)?)
}

/// Impedance of the runs between a board and the terminals of its motor, at running temperature; none where a run is unknown. Through
/// runs to several motors the current of all flows side by side.
fn cable_of(circuit: &Circuit) -> Option<Impedance> {
    let runs = circuit.runs.iter().filter(|run| ["supply", "motor"].contains(&run.role.as_str()));
    let beside = |run: &Run| 1.0 / f64::from(run.count.max(1));
    runs.map(|run| Some(Impedance { r: Ohms(run.resistance_ohm?), x: Ohms(run.reactance_ohm?) } * beside(run)))
        .reduce(|before, impedance| Some(before? + impedance?))
        .flatten()
}
