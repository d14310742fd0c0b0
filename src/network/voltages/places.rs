//! The boards behind one feed as places of a load flow, with what runs at each, phase by phase.

use super::{Feed, Grid, Link, Voltage};
use crate::network::connected::Connected;
use crate::network::demand::{Sums, running_of_roots};
use crate::network::phases::{Connection, PerPhase, on_phases, parent, phase_voltage};
use crate::quantity::{Impedance, Ohms, Volts};
use crate::rules::physics::load_flow::{Branch, Solution, Taken, solve};
use crate::rules::physics::nominal::is_same_voltage;
use crate::rules::physics::phasor::Phasor;

/// Boards behind a feed.
pub(in crate::network) struct Places<'a> {
    grid: &'a Grid<'a>,
    voltage: Vec<Volts>,
    /// Place of each board; none where the network before it is unknown.
    of_board: Vec<Option<usize>>,
    branches: Vec<Branch>,
    /// Nobody knows what lies before this place: only drops behind it are known.
    unknown_source: Vec<bool>,
    /// One balanced network, or one for each phase.
    phases: usize,
    /// Power of what runs at each place, by phase.
    pub(in crate::network) running: Vec<Vec<Taken>>,
    runs: Vec<u32>,
}

/// A start, solved in every phase.
pub(in crate::network) struct Start {
    before: Vec<Solution>,
    during: Vec<Solution>,
    /// Drop at the terminals of what starts, per cent; where its cable is unknown that of its board, which is the least it can be.
    pub(super) least_pct: f64,
    /// None where what lies between the known network and the terminals is not known.
    pub(in crate::network) terminals_pct: Option<f64>,
}

impl<'a> Places<'a> {
    pub(in crate::network) fn behind(grid: &'a Grid<'a>, feed: &Feed) -> Self {
        let nodes = &grid.tree.nodes;
        let sums = Sums::new(grid.tree, grid.rows, grid.phases, grid.basis);
        let mut places = Self {
            grid,
            voltage: sums.voltage.clone(),
            of_board: vec![None; nodes.len()],
            branches: Vec::new(),
            unknown_source: Vec::new(),
            phases: 1,
            running: Vec::new(),
            runs: vec![0; grid.rows.len()],
        };
        places.place_boards(feed);
        let single = |row: &Connected| {
            row.phases == 1 && nodes.get(row.node).is_some_and(|node| places.top_of(row.node).is_some() || node.phases == 3)
        };
        places.phases = if grid.rows.iter().any(single) { 3 } else { 1 };
        places.running = vec![vec![Taken::default(); places.branches.len()]; places.phases];
        places.put_loads(&sums);
        places
    }

    /// Every board whose path is known gets its place: behind the feed, behind another board, or by itself behind the fault current that
    /// is stated for it.
    fn place_boards(&mut self, feed: &Feed) {
        let zero = Impedance::default();
        self.branches.push(Branch { before: None, voltage: feed.voltage, impedance: feed.impedance.unwrap_or(zero), ratio: 1.0 });
        self.unknown_source.push(feed.impedance.is_none());
        let mut behind = vec![false; self.of_board.len()];
        for (index, node) in self.grid.tree.nodes.iter().enumerate() {
            behind[index] = parent(node).map_or(node.parent == feed.parent, |before| behind[before]);
            if !behind[index] || self.voltage[index].0 <= 0.0 {
                continue;
            }
            let before = parent(node).map_or_else(|| self.fits(index, feed).then_some(0), |before| self.of_board[before]);
            let link = self.grid.links.get(index).copied().flatten();
            let stated = self.grid.stated.get(index).copied().flatten();
            let known = before.zip(link);
            let sure = known.filter(|(before, _)| !self.unknown_source[*before]);
            let (branch, unknown) = match (sure.or(known.filter(|_| stated.is_none())), stated) {
                (Some((before, link)), stated) => {
                    let link = stated.map_or(link, |stated| self.as_stated(index, before, link, stated));
                    (self.branch(index, Some(before), link), self.unknown_source[before])
                }
                (None, Some(impedance)) => (self.branch(index, None, Link { feeder: impedance, ..Link::default() }), false),
                // Behind what is unknown, drops from here on can still be worked out where feeders are known.
                (None, None) => (self.branch(index, None, Link::default()), true),
            };
            self.of_board[index] = Some(self.branches.len());
            self.branches.push(branch);
            self.unknown_source.push(unknown);
        }
        if feed.voltage.0 <= 0.0 {
            self.branches[0].voltage = self.voltage.iter().copied().find(|voltage| voltage.0 > 0.0).unwrap_or(Volts(1.0));
        }
    }

    /// A link by which a board has the fault current that is stated for it. Where the network before it gives less, that counts.
    fn as_stated(&self, board: usize, before: usize, link: Link, stated: Impedance) -> Link {
        // Between one line and another wire of a board of one phase more flows than the current between three lines.
        let node = &self.grid.tree.nodes[board];
        let of_board = node.board.and_then(|board| self.grid.basis.boards.get(board));
        let states = of_board.is_some_and(|board| board.prospective_fault_ka.or(board.prospective_fault_min_ka).is_some());
        if !states || self.unknown_source[before] || node.phases == 1 {
            return link;
        }
        let network = self.path_to(before, self.voltage[board]) + link.transformer + link.feeder;
        if network.magnitude() >= stated.magnitude() {
            return link;
        }
        let more = |stated: Ohms, network: Ohms| Ohms((stated.0 - network.0).max(0.0));
        let rest = Impedance { r: more(stated.r, network.r), x: more(stated.x, network.x) };
        Link { feeder: link.feeder + rest, ..link }
    }

    /// A board that stands on a feed without a transformer has its voltage. Where nobody states that of the supply, it is the voltage of
    /// one of its boards, and no measure for those of another.
    fn fits(&self, board: usize, feed: &Feed) -> bool {
        let node = &self.grid.tree.nodes[board];
        node.transformer.is_some()
            || node.phases == 1
            || feed.voltage.0 <= 0.0
            || is_same_voltage(self.voltage[board].0, feed.voltage.0)
    }

    fn branch(&self, board: usize, before: Option<usize>, link: Link) -> Branch {
        let factor = self.conductors(board);
        let impedance = if self.grid.tree.nodes[board].phases == 1 {
            (link.feeder + link.transformer * 0.5) * factor
        } else {
            link.feeder + link.transformer
        };
        Branch { before, voltage: self.voltage[board], impedance, ratio: link.ratio }
    }

    /// Factor from the impedance of one conductor of a single-phase feeder to that of a phase in a network of three equally
    /// loaded phases: both conductors carry its current, which is that of one phase or, between two, √3 of it at half an angle.
    fn conductors(&self, board: usize) -> f64 {
        if self.grid.tree.nodes[board].phases != 1 {
            return 1.0;
        }
        match self.top_of(board).and_then(|top| self.grid.phases.boards.get(top).copied().flatten()) {
            Some(Connection { between: false, .. }) => 2.0 / 3.0,
            Some(Connection { between: true, .. }) => 4.0 / 3.0,
            None => 2.0,
        }
    }

    /// The single-phase board that stands directly behind three phases before this one, or this one itself.
    fn top_of(&self, board: usize) -> Option<usize> {
        let nodes = &self.grid.tree.nodes;
        std::iter::successors(Some(board), |index| parent(&nodes[*index]))
            .take_while(|index| nodes[*index].phases == 1)
            .find(|index| parent(&nodes[*index]).is_some_and(|before| nodes[before].phases == 3))
    }

    /// A power of a board's own phases as powers of the phases of the three-phase network.
    fn in_network(&self, board: usize, per_phase: PerPhase) -> PerPhase {
        let nodes = &self.grid.tree.nodes;
        if nodes[board].phases != 1 {
            return per_phase;
        }
        let whole = per_phase[0] + per_phase[1] + per_phase[2];
        match self.top_of(board) {
            Some(top) => {
                let before = parent(&nodes[top]).unwrap_or(top);
                on_phases(&nodes[before], self.grid.phases.boards.get(top).copied().flatten(), whole)
            }
            None => [whole, Phasor::ZERO, Phasor::ZERO],
        }
    }

    /// The power that a phase of the network takes, as if the others took the same.
    fn of_phase(&self, phase: usize, per_phase: PerPhase) -> Phasor {
        if self.phases == 1 { per_phase[0] + per_phase[1] + per_phase[2] } else { per_phase[phase] * 3.0 }
    }

    fn put_loads(&mut self, sums: &Sums<'_>) {
        let grid = self.grid;
        let mut at_board = vec![[Phasor::ZERO; 3]; grid.tree.nodes.len()];
        for runs in running_of_roots(grid.tree, grid.rows, grid.together) {
            self.runs[runs.row] = runs.number;
            let node = grid.rows[runs.row].node;
            let share = f64::from(runs.number) / f64::from(grid.rows[runs.row].number.max(1));
            let powers = self.on_own_phases(runs.row, grid.rows[runs.row].power());
            for (sum, more) in at_board[node].iter_mut().zip(powers) {
                *sum += more * share;
            }
        }
        for (board, powers) in at_board.iter_mut().enumerate() {
            let whole = powers[0] + powers[1] + powers[2];
            for (phase, more) in powers.iter_mut().zip(sums.existing(board).existing()) {
                let magnitude = whole.magnitude();
                *phase += if magnitude > 0.0 { whole * (more / magnitude) } else { Phasor::new(more, 0.0) };
            }
            let powers = self.in_network(board, *powers);
            self.add(board, powers, 1.0);
        }
    }

    /// All circuits of a row on the phases of its own board, by the power of one.
    fn on_own_phases(&self, row: usize, power: Phasor) -> PerPhase {
        let connected = &self.grid.rows[row];
        let node = &self.grid.tree.nodes[connected.node];
        let mut sum = [Phasor::ZERO; 3];
        let mut put = |connection: Option<Connection>, circuits: u32| {
            for (sum, more) in sum.iter_mut().zip(on_phases(node, connection, power * f64::from(circuits))) {
                *sum += more;
            }
        };
        match self.grid.phases.rows.get(row).copied().flatten().filter(|_| connected.phases == 1) {
            Some(spread) => spread.connections().for_each(|(connection, circuits)| put(Some(connection), circuits)),
            None => put(None, connected.number),
        }
        sum
    }

    /// Adds a power that runs at a board. A board that stands by itself still loads the one that feeds it.
    fn add(&mut self, board: usize, per_phase: PerPhase, sign: f64) {
        let mut running = std::mem::take(&mut self.running);
        self.add_to(&mut running, board, per_phase, sign);
        self.running = running;
    }

    fn add_to(&self, taken: &mut [Vec<Taken>], board: usize, per_phase: PerPhase, sign: f64) {
        let mut next = Some(board);
        while let Some(index) = next {
            let Some(place) = self.of_board[index] else {
                next = parent(&self.grid.tree.nodes[index]);
                continue;
            };
            for (phase, taken) in taken.iter_mut().enumerate() {
                taken[place].power += self.of_phase(phase, per_phase) * sign;
            }
            // The board at the head of this piece of the network, and what feeds it.
            let mut head = index;
            while let Some(before) = parent(&self.grid.tree.nodes[head]) {
                if self.of_board[head].is_some_and(|place| self.branches[place].before.is_none()) {
                    break;
                }
                head = before;
            }
            next = self.of_board[head]
                .filter(|place| self.branches[*place].before.is_none())
                .and_then(|_| parent(&self.grid.tree.nodes[head]));
        }
    }

    pub(in crate::network) fn phases(&self) -> usize {
        self.phases
    }

    pub(in crate::network) fn solve(&self, phase: usize, taken: &[Vec<Taken>]) -> Option<Solution> {
        solve(&self.branches, 1.0, &taken[phase])
    }

    /// The network with other loads than those of a solution. Only the pieces in which some differ are solved anew: boards that stand by
    /// themselves behind their stated fault currents do not see each other.
    pub(in crate::network) fn solve_beside(
        &self,
        phase: usize,
        taken: &[Vec<Taken>],
        before: &[Vec<Taken>],
        solved: &Solution,
    ) -> Option<Solution> {
        let (taken, before) = (&taken[phase], &before[phase]);
        let mut heads: Vec<usize> = Vec::with_capacity(self.branches.len());
        for (place, branch) in self.branches.iter().enumerate() {
            heads.push(branch.before.map_or(place, |before| heads[before]));
        }
        let mut differs = vec![false; self.branches.len()];
        (0..taken.len()).filter(|place| taken[*place] != before[*place]).for_each(|place| differs[heads[place]] = true);
        let places: Vec<usize> = (0..self.branches.len()).filter(|place| differs[heads[*place]]).collect();
        let mut place_in_piece = vec![0; self.branches.len()];
        places.iter().enumerate().for_each(|(at, place)| place_in_piece[*place] = at);
        let branch = |place: &usize| {
            let branch = self.branches[*place];
            Branch { before: branch.before.map(|before| place_in_piece[before]), ..branch }
        };
        let branches: Vec<Branch> = places.iter().map(branch).collect();
        let of_places: Vec<Taken> = places.iter().map(|place| taken[*place]).collect();
        let anew = solve(&branches, 1.0, &of_places)?;
        let mut all = solved.clone();
        for (at, place) in places.into_iter().enumerate() {
            (all.voltage[place], all.through[place]) = (anew.voltage[at], anew.through[at]);
        }
        Some(all)
    }

    /// The network between the source and a board is known.
    pub(in crate::network) fn known(&self, board: usize) -> bool {
        self.of_board[board].is_some_and(|place| !self.unknown_source[place])
    }

    /// The board whose place stands for a board: itself, else the nearest before it. What lies between is unknown, and a start counts there
    /// as if it were nothing.
    fn carrier(&self, board: usize) -> Option<usize> {
        let nodes = &self.grid.tree.nodes;
        nodes.get(board)?;
        std::iter::successors(Some(board), |index| parent(&nodes[*index])).find(|index| self.known(*index))
    }

    /// A start at this board can be worked out, at least as what the boards before it see.
    pub(in crate::network) fn reaches(&self, board: usize) -> bool {
        self.carrier(board).is_some()
    }

    /// Phases of the network in which a board is connected.
    fn phases_of(&self, board: usize) -> Vec<usize> {
        if self.phases == 1 {
            return vec![0];
        }
        match self.top_of(board).and_then(|top| self.grid.phases.boards.get(top).copied().flatten()) {
            Some(connection) if connection.between => vec![connection.phase, (connection.phase + 1) % 3],
            Some(connection) => vec![connection.phase],
            None => vec![0, 1, 2],
        }
    }

    /// The voltage that is left at a board.
    pub(super) fn voltage(&self, board: usize, running: &[Solution]) -> Voltage {
        let Some(place) = self.of_board[board] else { return Voltage::default() };
        let worst = self.phases_of(board).into_iter().map(|phase| running[phase].percent(place)).reduce(f64::min);
        let drop = self.phases_of(board).into_iter().map(|phase| self.drop_along(board, &running[phase])).reduce(f64::max);
        Voltage {
            running_pct: worst.filter(|_| self.known(board)),
            feeder_drop_pct: drop.filter(|_| self.feeders_known(board)),
            path: self.path(board).filter(|_| self.known(board)),
        }
    }

    /// Every feeder between the first board and this one is known.
    fn feeders_known(&self, board: usize) -> bool {
        let nodes = &self.grid.tree.nodes;
        std::iter::successors(Some(board), |index| parent(&nodes[*index])).all(|index| {
            parent(&nodes[index]).is_none() || self.of_board[index].is_some_and(|place| self.branches[place].before.is_some())
        })
    }

    /// Drop of the feeders up to a board, without those of transformers and of what stands before the first board.
    fn drop_along(&self, board: usize, solution: &Solution) -> f64 {
        let nodes = &self.grid.tree.nodes;
        let of_feeder = |index: usize| {
            let link = self.grid.links.get(index).copied().flatten();
            let (Some(place), Some(link), Some(_)) = (self.of_board[index], link, parent(&nodes[index])) else { return 0.0 };
            let feeder = self.branch(index, None, Link { transformer: Impedance::default(), ..link });
            let per_unit = Phasor::from(feeder.impedance) * (1.0 / (feeder.voltage.0 * feeder.voltage.0));
            let after = solution.voltage[place];
            100.0 * ((after + per_unit * solution.through[place]).magnitude() - after.magnitude())
        };
        std::iter::successors(Some(board), |index| parent(&nodes[*index])).map(of_feeder).sum()
    }

    /// Impedance from the source, at the board's own voltage.
    fn path(&self, board: usize) -> Option<Impedance> {
        let place = self.of_board[board]?;
        Some(self.path_to(place, self.branches[place].voltage))
    }

    /// Impedance from the source to a place, at a voltage.
    fn path_to(&self, place: usize, voltage: Volts) -> Impedance {
        let steps = std::iter::successors(Some(place), |place| self.branches[*place].before);
        steps.fold(Impedance::default(), |sum, place| {
            let branch = &self.branches[place];
            let referred = voltage.0 / branch.voltage.0;
            sum + branch.impedance * (referred * referred)
        })
    }

    /// How the first circuit of a single-phase row is connected; none for three phases.
    fn connection(&self, row: usize) -> Option<Connection> {
        let spread = self.grid.phases.rows.get(row).copied().flatten().filter(|_| self.grid.rows[row].phases == 1);
        spread.and_then(|spread| spread.connections().next()).map(|(connection, _)| connection)
    }

    /// Nominal voltage of its board that drives a row: that of a phase or of a leg, or the whole.
    fn driving(&self, row: usize) -> Volts {
        let node = self.grid.rows[row].node;
        match self.connection(row) {
            Some(Connection { between: false, .. }) => phase_voltage(&self.grid.tree.nodes[node], self.voltage[node]),
            _ => self.voltage[node],
        }
    }

    /// Power that one circuit of a row takes at the nominal voltage of its board while it starts, on the phases of the board, and its
    /// place.
    fn start_power(&self, row: usize) -> Option<(PerPhase, usize)> {
        let connected = &self.grid.rows[row];
        let starting = connected.starting?;
        let place = self.carrier(connected.node).and_then(|board| self.of_board[board])?;
        let over_rated = self.driving(row).0 / connected.voltage.0;
        let power = connected.apparent(connected.voltage, starting.current, starting.power_factor) * (over_rated * over_rated);
        Some((on_phases(&self.grid.tree.nodes[connected.node], self.connection(row), power), place))
    }

    /// The loads that run, without those that a start or a restart takes out.
    pub(in crate::network) fn without(&self, stopped: impl Iterator<Item = (usize, u32)>) -> Vec<Vec<Taken>> {
        let mut taken = self.running.clone();
        for (row, number) in stopped {
            let connected = &self.grid.rows[row];
            let share = f64::from(number) / f64::from(connected.number.max(1));
            let powers = self.in_network(connected.node, self.on_own_phases(row, connected.power()).map(|phasor| phasor * share));
            self.add_to(&mut taken, connected.node, powers, -1.0);
        }
        taken
    }

    /// Puts so many starts of a row to its board, or takes them away.
    pub(in crate::network) fn put_start(&self, taken: &mut [Vec<Taken>], row: usize, number: f64) {
        let Some((power, place)) = self.start_power(row) else { return };
        let power = self.in_network(self.grid.rows[row].node, power);
        for (phase, taken) in taken.iter_mut().enumerate() {
            taken[place].at_nominal += self.of_phase(phase, power) * number;
        }
    }

    /// Puts so many running circuits of a row to its board.
    pub(in crate::network) fn put_running(&self, taken: &mut [Vec<Taken>], row: usize, number: u32) {
        let connected = &self.grid.rows[row];
        let share = f64::from(number) / f64::from(connected.number.max(1));
        let powers = self.in_network(connected.node, self.on_own_phases(row, connected.power()).map(|phasor| phasor * share));
        self.add_to(taken, connected.node, powers, 1.0);
    }

    /// Circuits of each row that run.
    pub(in crate::network) fn runs(&self) -> &[u32] {
        &self.runs
    }

    /// Factor from the impedance of one conductor of a row's cable to that of its branch, which has the voltage of the board: both
    /// conductors of one phase carry its current, and drop it from the voltage that drives the row, which may be that of a phase or of a
    /// leg.
    fn conductors_of_cable(&self, row: usize) -> f64 {
        let connected = &self.grid.rows[row];
        if connected.phases != 1 {
            return 1.0;
        }
        let conductors = match (self.grid.tree.nodes[connected.node].phases, connected.neutral) {
            (3, true) => 2.0 / 3.0,
            (3, false) => 4.0 / 3.0,
            _ => self.conductors(connected.node),
        };
        let over_driving = self.voltage[connected.node].0 / self.driving(row).0;
        conductors * over_driving * over_driving
    }

    /// One circuit of a row starts while everything else runs. None where its network is unknown or can't carry it.
    pub(super) fn start(&self, row: usize, cable: Option<Impedance>) -> Option<Start> {
        let connected = &self.grid.rows[row];
        let (power, place) = self.start_power(row)?;
        let power = self.in_network(connected.node, power);
        let taken = self.without((self.runs[row] > 0).then_some((row, 1)).into_iter());
        let before: Vec<Solution> = (0..self.phases).map(|phase| self.solve(phase, &taken)).collect::<Option<_>>()?;
        let mut branches = self.branches.clone();
        branches.push(Branch {
            before: Some(place),
            voltage: self.voltage[connected.node],
            impedance: cable.unwrap_or_default() * self.conductors_of_cable(row),
            ratio: 1.0,
        });
        let terminals = branches.len() - 1;
        let during = |phase: usize| {
            // Phases do not load each other: one in which nothing starts stays as it was.
            if self.of_phase(phase, power) == Phasor::ZERO {
                return Some(before[phase].clone());
            }
            let mut with = taken[phase].clone();
            with.push(Taken { at_nominal: self.of_phase(phase, power), ..Taken::default() });
            solve(&branches, 1.0, &with)
        };
        let during: Vec<Solution> = (0..self.phases).map(during).collect::<Option<_>>()?;
        let starting = (0..self.phases).filter(|phase| self.of_phase(*phase, power) != Phasor::ZERO);
        let deepest = starting.map(|phase| before[phase].percent(place) - during[phase].percent(terminals)).reduce(f64::max)?;
        // Without impedance between, the board dips furthest, which tells nothing about the terminals.
        let known = cable.is_some() && self.carrier(connected.node) == Some(connected.node);
        Some(Start { before, during, least_pct: deepest, terminals_pct: known.then_some(deepest) })
    }

    /// Voltages of a board before and during a start, in the phase that dips furthest, per cent of nominal.
    pub(super) fn deepest(&self, board: usize, start: &Start) -> Option<(f64, f64)> {
        self.deepest_between(board, &start.before, &start.during)
    }

    pub(in crate::network) fn deepest_between(
        &self,
        board: usize,
        before: &[Solution],
        during: &[Solution],
    ) -> Option<(f64, f64)> {
        let place = self.of_board[board]?;
        let percents = |phase: usize| (before[phase].percent(place), during[phase].percent(place));
        self.phases_of(board).into_iter().map(percents).reduce(|a, b| if b.0 - b.1 > a.0 - a.1 { b } else { a })
    }
}
