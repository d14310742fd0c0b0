//! Sums of a board: what is connected, what runs together, what is demanded, and which motor and start are the largest.

use crate::finding::codes;
use crate::load::LoadKind;
use crate::rules::physics::high_leg::has_high_leg;
use crate::rules::physics::loading::load_figure;
use crate::rules::physics::phasor::Phasor;
use crate::verify::boards::loads::{Load, spare};
use crate::verify::boards::span::Span;
use crate::verify::boards::together::Running;
use crate::verify::boards::{Boards, Say, near};

/// Rounding of powers and currents in a design.
const ROUNDING: f64 = 2e-3;

impl<'a> Boards<'a> {
    /// Circuits of the boards behind one, ascending.
    pub(super) fn circuits_behind(&self, index: usize) -> Vec<usize> {
        let mut circuits: Vec<usize> =
            self.tree.behind(index).into_iter().flat_map(|board| self.circuits_on[board].iter().copied()).collect();
        circuits.sort_unstable();
        circuits
    }

    pub(super) fn load(&self, circuit: usize) -> Option<&Load<'a>> {
        self.loads.circuits.get(circuit)?.as_ref()
    }

    /// The current of every circuit behind a board that may run is known. One that is said to be rated for another voltage than its board
    /// has, whose voltage nobody states, draws what nobody can know.
    pub(super) fn complete(&self, circuits: &[usize]) -> bool {
        let unlike = |circuit: &usize| {
            let findings = &self.design.circuits[*circuit].findings;
            findings.iter().any(|finding| finding.code == codes::B329_UNLIKE_VOLTAGES.code)
        };
        circuits.iter().all(|circuit| self.load(*circuit).is_some() && !unlike(circuit))
    }

    /// Apparent power that one circuit draws from its own board.
    fn drawn(&self, circuit: usize) -> Phasor {
        let board = self.board_of[circuit].map(|board| self.tree.places[board].board);
        self.load(circuit).zip(board).map_or(Phasor::ZERO, |(load, board)| load.drawn(board))
    }

    /// Demand factor of a circuit by its row and kind.
    fn factor(&self, circuit: usize) -> f64 {
        let (row, of_kind) = (&self.design.circuits[circuit], &self.basis.demand);
        let lasts = self.load(circuit).is_some_and(|load| load.facts.start.duty == 1);
        let by_kind = match row.load.running.as_deref() {
            Some("standby") => of_kind.standby,
            _ if lasts => of_kind.continuous,
            _ => of_kind.intermittent,
        };
        row.load.number("demand_factor").or(by_kind).unwrap_or_else(|| load_figure("demand-factor"))
    }

    /// Demand factors of the boards from one up to another, which lies before it or is the same; the first left out if it brings its
    /// own load only.
    fn factors(&self, from: usize, upto: usize, with_first: bool) -> f64 {
        let way = self.tree.way(from);
        let end = way.iter().position(|board| *board == upto).unwrap_or(0);
        let counted = &way[usize::from(!with_first)..=end];
        let of = |board: &usize| self.tree.places[*board].basis.and_then(|board| board.demand_factor);
        counted.iter().map(|board| of(board).unwrap_or_else(|| load_figure("demand-factor"))).product()
    }

    /// Power of what runs, by the power of one circuit.
    fn span(&self, running: &Running, of: &dyn Fn(usize) -> Phasor) -> Span {
        let mut sum = Span::default();
        running.sure.iter().for_each(|(row, number)| sum.add(of(*row) * f64::from(*number)));
        running.perhaps.iter().for_each(|(row, number)| sum.perhaps(of(*row) * f64::from(*number)));
        sum
    }

    /// Line current of a power in the phase that carries most, at least and at most: single-phase loads may all stand on one phase, or
    /// spread evenly. Where not all that runs is known, a capacitor may take away what is reactive.
    fn current(&self, index: usize, running: &Running, of: &dyn Fn(usize) -> Phasor, complete: bool) -> [f64; 2] {
        let volts = self.tree.places[index].board.voltage_v;
        let span = self.span(running, of);
        let [least, most] = span.magnitude();
        let least = if complete { least } else { span.active[0].max(0.0) };
        let three_phase = 3f64.sqrt() * volts;
        let single = |row: usize| self.load(row).is_some_and(Load::single) || self.on_one_phase(row, index);
        let runs = || running.sure.iter().chain(&running.perhaps);
        if !runs().any(|(row, _)| single(*row)) {
            return [least / three_phase, most / three_phase];
        }
        let magnitude = |(row, number): &(usize, u32)| of(*row).magnitude() * f64::from(*number);
        let balanced: f64 = runs().filter(|(row, _)| !single(*row)).map(magnitude).sum();
        let alone: f64 = runs().filter(|(row, _)| single(*row)).map(magnitude).sum();
        // A leg of one phase, or beside a high leg here or behind, may have half of the voltage.
        let high_leg = |board: usize| self.tree.phases(board) == 3 && self.tree.system(board).is_some_and(has_high_leg);
        let has_leg = self.tree.phases(index) == 1 || self.tree.behind(index).into_iter().any(high_leg);
        let most = balanced / three_phase + alone / (volts / if has_leg { 2.0 } else { 3f64.sqrt() });
        let shares = if self.tree.phases(index) == 1 { 2.0 } else { 3f64.sqrt() };
        [least / (shares * volts), most]
    }

    /// A board of one phase lies between a circuit and a board, either included.
    fn on_one_phase(&self, circuit: usize, upto: usize) -> bool {
        let Some(board) = self.board_of[circuit] else { return false };
        let way = self.tree.way(board);
        let end = way.iter().position(|board| *board == upto).unwrap_or(0);
        way[..=end].iter().any(|board| self.tree.phases(*board) == 1)
    }

    /// The circuits that run together on a board and behind it, by what they draw.
    pub(super) fn running(&self, circuits: &[usize]) -> Running {
        self.restrictions.running(circuits, &|row| self.drawn(row).magnitude())
    }

    /// Current that a board demands, at least and at most, and its power at rated output without what is there already.
    pub(super) fn demand(&self, index: usize) -> ([f64; 2], Span) {
        let circuits = self.circuits_behind(index);
        let mut factors = vec![1.0; self.tree.places.len()];
        self.tree.behind(index).into_iter().for_each(|board| factors[board] = self.factors(board, index, true));
        let factor = |row: usize| self.factor(row) * self.board_of[row].map_or(1.0, |board| factors[board]);
        let of = |row: usize| self.drawn(row) * factor(row);
        let running = self.restrictions.running(&circuits, &|row| of(row).magnitude());
        let there = self.existing(index);
        let power = self.span(&running, &|row| self.load(row).map_or(Phasor::ZERO, |load| load.power * factor(row)));
        let [least, most] = self.current(index, &running, &of, self.complete(&circuits));
        ([least + there[0], most + there[1]], power)
    }

    /// The load that is there already on a board and behind it, at the voltage of the board, at least and at most in the phase that carries
    /// most; its own demand factor does not lower it. What comes from boards of one phase may lie on another phase, or all on this one.
    fn existing(&self, index: usize) -> [f64; 2] {
        let volts = self.tree.places[index].board.voltage_v;
        let of = |board: usize| {
            let place = &self.tree.places[board];
            let amperes = place.basis.and_then(|board| board.existing_load_a).unwrap_or(0.0);
            let wires = if self.tree.phases(board) == 1 { 1.0 } else { 3f64.sqrt() };
            let taken = if volts > 0.0 { place.board.voltage_v / volts } else { 1.0 };
            let power = wires * amperes * taken * self.factors(board, index, false);
            let way = self.tree.way(board);
            let end = way.iter().position(|way| *way == index).unwrap_or(0);
            match (self.tree.phases(index), way[..=end].iter().any(|way| self.tree.phases(*way) == 1)) {
                (1, _) => [power; 2],
                (_, false) => [power / 3f64.sqrt(); 2],
                (_, true) => [0.0, power * 3f64.sqrt()],
            }
        };
        let sum = |one: [f64; 2], other: [f64; 2]| [one[0] + other[0], one[1] + other[1]];
        self.tree.behind(index).into_iter().map(of).fold([0.0; 2], sum)
    }
}

pub(super) fn agree(all: &Boards<'_>, index: usize, say: Say<'_>) {
    let circuits = all.circuits_behind(index);
    let complete = all.complete(&circuits);
    connected(all, index, &circuits, complete, say);
    running(all, index, &circuits, complete, say);
    demanded(all, index, complete, say);
    largest(all, index, &circuits, complete, say);
    phases(all, index, say);
}

fn outside(figure: f64, [least, most]: [f64; 2], complete: bool) -> bool {
    let low = figure < least && !near(figure, least, ROUNDING);
    let high = figure > most && !near(figure, most, ROUNDING);
    // A row that can't be read anew adds something; no more is known of it.
    low || high && complete
}

fn connected(all: &Boards<'_>, index: usize, circuits: &[usize], complete: bool, say: Say<'_>) {
    let board = all.tree.places[index].board;
    let sum = |wanted: &dyn Fn(usize) -> bool| -> f64 {
        let of = |row: &usize| all.load(*row).map(|load| load.power.re * f64::from(load.circuit().quantity));
        circuits.iter().filter(|row| wanted(**row)).filter_map(of).sum::<f64>() / 1000.0
    };
    let (every, spare_ways) = (sum(&|_| true), sum(&|row| spare(&all.design.circuits[row])));
    for (what, told, counted) in [("connected", board.connected_kw, every), ("spare", board.spare_kw, spare_ways)] {
        if outside(told, [counted; 2], complete) {
            say(&codes::V852_BOARD_SUMS, format!("{told} kW are said to be {what}; its circuits give {counted:.3} kW"));
        }
    }
}

fn running(all: &Boards<'_>, index: usize, circuits: &[usize], complete: bool, say: Say<'_>) {
    let board = all.tree.places[index].board;
    let running = all.running(circuits);
    let power = all.span(&running, &|row| all.load(row).map_or(Phasor::ZERO, |load| load.power));
    let kilo = |ends: [f64; 2]| ends.map(|end| end / 1000.0);
    let current = all.current(index, &running, &|row| all.drawn(row), complete);
    for (what, told, ends) in [
        ("kW", board.running_kw, kilo(power.active)),
        ("kvar", board.running_kvar, kilo(power.reactive)),
        ("A", board.running_current_a, current),
    ] {
        let known = complete || what != "kvar";
        if known && outside(told, ends, complete) {
            say(
                &codes::V852_BOARD_SUMS,
                format!("{told} {what} are said to run; its circuits give {:.3} to {:.3} {what}", ends[0], ends[1]),
            );
        }
    }
    let apparent = libm::hypot(board.running_kw, board.running_kvar);
    let factor = (apparent > 0.0).then(|| board.running_kw / apparent);
    let so = match (board.power_factor, factor) {
        (Some(told), Some(factor)) => (told - factor).abs() <= 1e-3 + ROUNDING / apparent,
        (None, None) => true,
        // The running current may be too small to be written.
        (Some(_), None) => board.running_current_a > 0.0,
        (None, Some(_)) => false,
    };
    if !so {
        say(
            &codes::V852_BOARD_SUMS,
            format!(
                "a power factor of {:?} is not that of {} kW and {} kvar",
                board.power_factor, board.running_kw, board.running_kvar
            ),
        );
    }
}

fn demanded(all: &Boards<'_>, index: usize, complete: bool, say: Say<'_>) {
    let board = all.tree.places[index].board;
    let (ends, _) = all.demand(index);
    if outside(board.demand_current_a, ends, complete) {
        say(
            &codes::V852_BOARD_SUMS,
            format!("{} A are said to be demanded; its circuits give {:.3} to {:.3} A", board.demand_current_a, ends[0], ends[1]),
        );
    }
}

/// The motor and the start that are called the largest are on the board or behind it, and none is larger.
fn largest(all: &Boards<'_>, index: usize, circuits: &[usize], complete: bool, say: Say<'_>) {
    let board = all.tree.places[index].board;
    let mut tell = |what: &str, tag: &str, measure: &dyn Fn(&Load<'_>) -> Option<f64>| {
        let known = || circuits.iter().filter_map(|row| all.load(*row)).filter(|load| !spare(load.circuit()));
        let most = known().filter_map(measure).fold(0.0, f64::max);
        let its = known().filter(|load| load.circuit().tag == tag).filter_map(measure).reduce(f64::max);
        let so = match its {
            Some(its) => near(its, most, 0.0),
            None => tag.is_empty() && most <= 0.0 || !complete,
        };
        if !so {
            say(&codes::V852_BOARD_SUMS, format!("{tag:?} is called the largest {what}, and is not"));
        }
    };
    tell("motor", &board.largest_motor_tag, &|load| {
        (load.facts.machine.kind == LoadKind::Motor).then(|| load.line * load.line_voltage())
    });
    tell("start", &board.largest_start_tag, &|load| {
        load.start().filter(|_| !load.may_be_no_motor()).map(|amperes| amperes * load.line_voltage())
    });
}

fn phases(all: &Boards<'_>, index: usize, say: Say<'_>) {
    let board = all.tree.places[index].board;
    let most = board.phase_currents_a.iter().copied().fold(0.0, f64::max);
    let parts = if all.tree.phases(index) == 1 { 2 } else { 3 };
    let mean = board.phase_currents_a[..parts].iter().sum::<f64>() / if parts == 2 { 2.0 } else { 3.0 };
    let unbalance = if mean > 0.0 { 100.0 * (most / mean - 1.0) } else { 0.0 };
    let rounding = 0.01 + if mean > 0.0 { 100.0 * ROUNDING / mean } else { 0.0 };
    if !near(most, board.running_current_a, ROUNDING) || !near(unbalance, board.unbalance_pct, rounding) {
        say(
            &codes::V852_BOARD_SUMS,
            format!(
                "phases of {:?} A do not give {} A with an unbalance of {} %",
                board.phase_currents_a, board.running_current_a, board.unbalance_pct
            ),
        );
    }
}
