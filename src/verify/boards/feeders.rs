//! Feeders: what the rule book asks of conductors and device for what runs behind them, and whether both are parts of the catalogue that
//! hold it.

mod conductors;
mod device;
mod incoming;

pub(super) use conductors::impedance;

use std::collections::BTreeSet;

use crate::finding::codes;
use crate::intake::protection_kinds;
use crate::load::{Known, Origin, ProtectionKind};
use crate::quantity::{Amperes, Impedance, fits};
use crate::record::Record;
use crate::rules::feeders::{FeederItem, FeederTerm, TermAsk};
use crate::verify::boards::loads::{Load, spare};
use crate::verify::boards::together::Running;
use crate::verify::boards::tree::Place;
use crate::verify::boards::{Boards, Say, near};
use crate::verify::materials;
use crate::verify::parts::{Count, add, metres_of, of_run, unnumbered};
use crate::verify::shelf::Item;

/// The circuits that run behind a feeder, at least and at most.
struct Items {
    /// The term of each circuit, and how many of it run for sure, and may run.
    terms: Vec<FeederTerm>,
    sure: Vec<u32>,
    may: Vec<u32>,
    /// The load that is there already on the boards.
    there: Vec<FeederItem>,
    /// A circuit of a group that rests, in the place of the smallest that runs: the smallest, then what would run instead. Circuits that
    /// add the same stand there as one pair.
    swaps: Vec<(usize, usize)>,
}

impl Items {
    fn with(&self, running: impl Fn(usize) -> u32) -> Vec<FeederItem> {
        let item = |(at, term): (usize, &FeederTerm)| FeederItem { term: *term, running: running(at), displaces: None };
        self.terms.iter().enumerate().map(item).filter(|item| item.running > 0).chain(self.there.iter().copied()).collect()
    }

    fn least(&self) -> Vec<FeederItem> {
        self.with(|at| self.sure[at])
    }

    fn most(&self) -> Vec<FeederItem> {
        self.with(|at| self.may[at])
    }

    /// The circuits that may run at most, then with each of the swaps.
    fn cases(&self) -> impl Iterator<Item = Vec<FeederItem>> {
        let swapped = |(rests, runs): &(usize, usize)| {
            self.with(|at| self.may[at] + u32::from(at == *runs) - u32::from(at == *rests && self.may[at] > 0))
        };
        std::iter::once(self.most()).chain(self.swaps.iter().map(swapped))
    }
}

pub(super) fn agree(all: &Boards<'_>, index: usize, say: Say<'_>) {
    let place = &all.tree.places[index];
    capacity(all, index, say);
    device::agree(all, place, index, say);
    parts(all, place, index, say);
    if let Some(run) = Boards::run(place) {
        conductors::agree(all, place, index, run, say);
    }
    drop(all, index, say);
    incoming::agree(all, index, say);
}

impl<'a> Boards<'a> {
    /// The basis says something of a board's feeder, or something before it that it names; others bring what it says nothing of.
    fn described(&self, index: usize) -> bool {
        let place = &self.tree.places[index];
        let of_basis = place.basis.is_some_and(|board| {
            let lengths = [board.feeder_length_m, board.feeder_length_ft, board.feeder_r_ohm, board.feeder_x_ohm];
            let words = [&board.feeder_conductor, &board.feeder_installation, &board.fed_from];
            lengths.iter().any(Option::is_some) || words.iter().any(|word| word.is_some())
        });
        of_basis || self.tree.parent(index).is_some() || place.transformer.is_some()
    }

    /// The kind of device that a word means under the book.
    fn kind_meant(&self, word: Option<&str>) -> Option<ProtectionKind> {
        protection_kinds::meant(word?, self.book.protection_kind().is_iec())
    }

    fn kind(&self) -> ProtectionKind {
        self.book.feeder_kind(self.kind_meant(self.basis.design.protection_kind.as_deref()))
    }

    /// The term of one circuit, by the book.
    fn term(&self, load: &Load<'_>) -> FeederTerm {
        let facts = &load.facts;
        let of_row = self.kind_meant(facts.words("protection_kind"));
        let of_basis = self.kind_meant(self.basis.design.protection_kind.as_deref());
        let wish = match (of_row, of_basis) {
            (Some(kind), _) => Known::new(kind, Origin::Cell),
            (None, Some(kind)) => Known::new(kind, Origin::Basis),
            (None, None) => Known::new(self.book.protection_kind(), Origin::Default),
        };
        let currents = facts.rated();
        let of_one = self.book.feeder_term(&TermAsk {
            machine: &facts.machine,
            start: &facts.start,
            currents: &currents,
            line: Amperes(load.line / load.beyond),
            starting: Amperes(load.start().unwrap_or(0.0) / load.beyond),
            time: facts.start.time.value,
            wish,
            feeder: self.kind(),
        });
        FeederTerm {
            current: of_one.current * load.beyond,
            duty_value: of_one.duty_value.map(|duty_value| duty_value * load.beyond),
            starting: of_one.starting * load.beyond,
            locked: of_one.locked * load.beyond,
            ..of_one
        }
    }

    /// A term at the voltage of a feeder, where transformers stand between.
    fn referred(&self, circuit: usize, upto: usize) -> FeederTerm {
        let Some((load, board)) = self.load(circuit).zip(self.board_of[circuit]) else { return FeederTerm::default() };
        let way = self.tree.way(board);
        let end = way.iter().position(|board| *board == upto).unwrap_or(0);
        self.term(load).referred(self.tree.ratio(&way[..=end]))
    }

    fn items(&self, index: usize, circuits: &[usize]) -> Items {
        let terms: Vec<FeederTerm> = circuits.iter().map(|row| self.referred(*row, index)).collect();
        let at = |row: usize| circuits.binary_search(&row).ok();
        let value = |row: usize| at(row).map_or(0.0, |at| self.book.feeder_value(&terms[at]).0);
        let running = self.restrictions.running(circuits, &value);
        let count = |rows: &[(usize, u32)], numbers: &mut [u32]| {
            rows.iter().filter_map(|(row, number)| Some((at(*row)?, number))).for_each(|(at, number)| numbers[at] += number);
        };
        let mut sure = vec![0; circuits.len()];
        count(&running.sure, &mut sure);
        let mut may = sure.clone();
        count(&running.perhaps, &mut may);
        let swaps = swaps(&running, circuits, &sure, &terms, &value);
        // On which phases single-phase loads stand is left open: at least none of them is on the fullest.
        for (count, row) in sure.iter_mut().zip(circuits) {
            if self.load(*row).is_some_and(Load::single) {
                *count = 0;
            }
        }
        Items { terms, sure, may, there: self.there(index), swaps }
    }

    /// The load that is there already on the boards behind a feeder. Nobody says more of it, so it counts as if it lasted.
    fn there(&self, index: usize) -> Vec<FeederItem> {
        let of = |board: usize| {
            let place = &self.tree.places[board];
            let amperes = place.basis.and_then(|board| board.existing_load_a).filter(|existing_load_a| *existing_load_a > 0.0)?;
            let way = self.tree.way(board);
            let end = way.iter().position(|way| *way == index)?;
            let current = Amperes(amperes * self.tree.ratio(&way[..=end]));
            let term = FeederTerm { current, continuous: true, ..FeederTerm::default() };
            Some(FeederItem { term, running: 1, displaces: None })
        };
        self.tree.behind(index).into_iter().filter_map(of).collect()
    }
}

/// Every row of a group that rests, with the smallest that runs in its place. Pumps with an equal one on standby are the rule: a row that
/// adds the same changes nothing, and rows that change the same are tried once.
fn swaps(
    running: &Running,
    circuits: &[usize],
    sure: &[u32],
    terms: &[FeederTerm],
    value: &dyn Fn(usize) -> f64,
) -> Vec<(usize, usize)> {
    let mut tried: BTreeSet<([u64; 10], [u64; 10])> = BTreeSet::new();
    let mut found = Vec::new();
    for (members, _) in &running.groups {
        let places: Vec<usize> = members.iter().filter_map(|row| circuits.binary_search(row).ok()).collect();
        let runs = places.iter().copied().filter(|at| sure[*at] > 0);
        let Some(smallest) = runs.reduce(|a, b| if value(circuits[b]) < value(circuits[a]) { b } else { a }) else { continue };
        for rests in places.iter().copied().filter(|at| sure[*at] == 0 && terms[*at] != terms[smallest]) {
            if tried.insert((key(&terms[smallest]), key(&terms[rests]))) {
                found.push((smallest, rests));
            }
        }
    }
    found
}

/// A term as what tells it from others.
fn key(term: &FeederTerm) -> [u64; 10] {
    let option = |current: Option<Amperes>| current.map_or(u64::MAX, |current| current.0.to_bits());
    [
        term.current.0.to_bits(),
        option(term.duty_value),
        u64::from(term.motor),
        u64::from(term.continuous),
        u64::from(term.marked),
        term.starting.0.to_bits(),
        term.start_time.0.to_bits(),
        term.locked.0.to_bits(),
        option(term.branch),
        option(term.as_feeder),
    ]
}

/// Smallest capacity of the conductors by the book, and largest rating of the device.
fn capacity(all: &Boards<'_>, index: usize, say: Say<'_>) {
    let board = all.tree.places[index].board;
    let circuits = all.circuits_behind(index);
    let complete = all.complete(&circuits);
    let items = all.items(index, &circuits);
    let demand = Amperes(board.demand_current_a);
    let need = |items: &[FeederItem]| all.book.feeder_need(items, demand, &mut Record::silent()).capacity.0;
    let least = need(&items.least());
    let most = items.cases().map(|case| need(&case)).fold(0.0, f64::max);
    let low = board.feeder_minimum_a < least && !near(board.feeder_minimum_a, least, 2e-3);
    let high = board.feeder_minimum_a > most && !near(board.feeder_minimum_a, most, 2e-3);
    // The network counts every row of a chain of interlocks that goes over several boards: rather too much than too little.
    let chained = circuits.iter().any(|circuit| all.design.circuits[*circuit].load.words("interlock_with").is_some());
    if low || high && complete && !chained {
        say(
            &codes::V854_FEEDER_CONDUCTOR,
            format!(
                "its feeder is said to need {} A; by what runs behind it, it needs {least:.3} to {most:.3} A",
                board.feeder_minimum_a
            ),
        );
    }
    if board.feeder_minimum_a > 0.0 && complete && !chained {
        maximum(all, index, &items, say);
    }
}

/// The largest rating of the device is not above what the book gives for any of the loads that may run.
fn maximum(all: &Boards<'_>, index: usize, items: &Items, say: Say<'_>) {
    let board = all.tree.places[index].board;
    let bounds =
        |items: &[FeederItem]| all.book.feeder_bounds(all.kind(), items, Amperes(board.feeder_minimum_a), &mut Record::silent());
    let of = |items: &[FeederItem]| bounds(items).most.map(|current| current.0);
    let most =
        items.cases().map(|case| of(&case)).collect::<Option<Vec<f64>>>().map(|ratings| ratings.into_iter().fold(0.0, f64::max));
    let so = match (board.feeder_protection_maximum_a, most) {
        (Some(told), Some(most)) => fits(told, most),
        (Some(_), None) => bounds(&items.most()).most.is_some(),
        // A device below what flows goes by the conductors, which a finding tells.
        (None, Some(_)) => Boards::told(board, &codes::B319_FEEDER_BY_CONDUCTORS),
        (None, None) => true,
    };
    if !so {
        say(
            &codes::V853_FEEDER_DEVICE,
            format!(
                "a device of {:?} A is said to be the largest; the book admits {most:?} A",
                board.feeder_protection_maximum_a
            ),
        );
    }
}

/// The parts are those of device and conductors, and none where others bring them.
fn parts(all: &Boards<'_>, place: &Place<'_>, index: usize, say: Say<'_>) {
    let (board, feeder) = (place.board, &place.board.feeder);
    let mut wanted = Count::new();
    if all.described(index) {
        let fuse = all.shelf.all(&feeder.part).find_map(|item| if let Item::Fuse(fuse) = item { Some(*fuse) } else { None });
        match fuse {
            Some(fuse) => {
                add(&mut wanted, &fuse.base_part, "", 1.0);
                add(&mut wanted, &fuse.part, "", if all.tree.phases(index) == 1 { 2.0 } else { 3.0 });
            }
            None if feeder.kind.is_empty() => {}
            None => {
                let words = crate::rules::words::of_book(all.book, &feeder.kind);
                add(&mut wanted, &feeder.part, &format!("{words}, {} A", board.feeder_protection_a), 1.0);
            }
        }
        if let Some(run) = feeder.run.as_ref().filter(|run| run.length_m > 0.0) {
            of_run(all.book, all.shelf, run, &mut wanted);
            materials::of_feeder(all.book, all.shelf, run, &mut wanted);
        }
        // The way has its plate before anybody knows how long the cable is.
        if feeder.run.is_some() || !wanted.is_empty() {
            materials::of_way(all.shelf, &mut wanted);
        }
    }
    let mut listed = Count::new();
    let lengths = all.book.length_unit();
    for part in &feeder.parts {
        let key = if part.part.is_empty() { unnumbered(&part.description, &wanted) } else { part.part.clone() };
        *listed.entry(key).or_default() += part.quantity;
        let item = all.shelf.all(&part.part).find(|item| item.description() == part.description);
        if !part.part.is_empty() && item.is_none() {
            say(&codes::V102_DESCRIPTION, format!("{} of its feeder is not described so", part.part));
        }
        let by_length = item.is_some_and(|item| item.by_length()) || item.is_none() && part.unit == lengths;
        // Each cut runs along the whole way.
        let cut = feeder.run.as_ref().map_or(0.0, |run| metres_of(all.book, run) / f64::from(run.per_phase.max(1)));
        let whole = (f64::from(part.cuts) * cut - part.quantity).abs() <= 2e-3 * f64::from(part.cuts.max(1));
        let cuts = if by_length { part.cuts > 0 && whole } else { part.cuts == 0 };
        if (part.unit == lengths) != by_length || !by_length && part.unit != "pc" || part.by_others || !cuts {
            say(
                &codes::V105_PART_DETAIL,
                format!("{} of its feeder is counted in {:?} with {} cuts", part.description, part.unit, part.cuts),
            );
        }
    }
    let alike = listed.len() == wanted.len()
        && wanted
            .iter()
            .all(|(part, quantity)| listed.get(part).is_some_and(|has| (has - quantity).abs() <= 2e-3 + 1e-6 * quantity));
    if !alike {
        say(
            &codes::V103_PART_MISSING,
            format!("the parts of its feeder are {listed:?}; device and conductors ask for {wanted:?}"),
        );
    }
}

/// The drop along the feeders: that before this one, and √3 I (R cosφ + X sinφ) of its own, whatever the angle at most √3 I Z.
fn drop(all: &Boards<'_>, index: usize, say: Say<'_>) {
    let place = &all.tree.places[index];
    let board = place.board;
    let Some(told) = board.feeder.drop_pct else { return };
    let before = all.tree.parent(index).and_then(|parent| all.tree.places[parent].board.feeder.drop_pct).unwrap_or(0.0);
    let legs = if all.tree.phases(index) == 1 { 2.0 } else { 3f64.sqrt() };
    let stretch = impedance(all, index)
        .filter(|_| board.demand_current_a > 0.0)
        .map_or(Impedance::default(), |impedance| impedance.running);
    let scale = 100.0 * legs * board.demand_current_a / board.voltage_v;
    let most = scale * stretch.magnitude().0;
    let ends = match power_factor(all, index) {
        Some(cos) => {
            let sin = (1.0 - cos * cos).max(0.0).sqrt();
            let along = scale * (stretch.r.0 * cos + stretch.x.0 * sin);
            // The exact drop differs from the part along the voltage by the square of the part across it at most.
            [0.98 * along, along + most * most / 100.0]
        }
        None => [0.0, most],
    };
    let low = told < before + ends[0] && !near(told, before + ends[0], 2e-3);
    let high = told > before + ends[1] && !near(told, before + ends[1], 2e-3);
    if low || high {
        say(
            &codes::V855_FEEDER_DROP,
            format!(
                "{told} % are said to be lost up to it; {before} % are before its feeder, {:.3} to {:.3} % in it",
                ends[0], ends[1]
            ),
        );
    }
    let check = board.checks.iter().find(|check| check.name == "running-voltage-drop" && check.subject == "feeder run");
    let limit = all.basis.design.feeder_drop_pct.unwrap_or_else(|| all.book.feeder_drop_pct().0);
    let so = check.is_none_or(|check| {
        check.passed.is_none() || check.value.is_some_and(|value| near(value, told, 2e-3)) && check.limit == Some(limit)
    });
    if !so {
        say(&codes::V801_CHECK, format!("the check of its feeder's drop was made with other figures: {told} % of {limit} %"));
    }
}

/// Power factor of what a feeder carries, where it is sure what runs and nothing without an angle is there already.
fn power_factor(all: &Boards<'_>, index: usize) -> Option<f64> {
    let circuits = all.circuits_behind(index);
    let there = all
        .tree
        .behind(index)
        .iter()
        .any(|board| all.tree.places[*board].basis.is_some_and(|board| board.existing_load_a.is_some()));
    let plain = !there
        && all.complete(&circuits)
        && circuits.iter().all(|row| all.load(*row).is_some_and(|load| !load.single()) || spare(&all.design.circuits[*row]));
    let (_, span) = all.demand(index);
    let apparent = libm::hypot(span.active[0], span.reactive[0]);
    (plain && span.exact() && apparent > 0.0).then(|| (span.active[0] / apparent).clamp(0.0, 1.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A board of thousands of pumps, each with an equal one on standby: nothing is to be tried for any of them.
    #[test]
    fn rows_that_add_the_same_bring_no_swap_and_equal_swaps_stand_once() {
        let term = |amperes: f64| FeederTerm { current: Amperes(amperes), motor: true, ..FeederTerm::default() };
        let terms = [10.0, 10.0, 20.0, 15.0, 20.0, 15.0, 20.0, 5.0].map(term);
        let circuits: Vec<usize> = (100..108).collect();
        let groups = circuits.chunks(2).map(|pair| (pair.to_vec(), 1)).collect();
        let running = Running { groups, ..Running::default() };
        let sure = [1, 0, 1, 0, 1, 0, 1, 0];
        let value = |row: usize| terms[row - 100].current.0;
        assert_eq!(swaps(&running, &circuits, &sure, &terms, &value), [(2, 3), (6, 7)]);
    }

    /// Where two of three run, the one that rests takes the place of the smaller.
    #[test]
    fn what_rests_takes_the_place_of_the_smallest_that_runs() {
        let term = |amperes: f64| FeederTerm { current: Amperes(amperes), motor: true, ..FeederTerm::default() };
        let terms = [30.0, 20.0, 10.0].map(term);
        let running = Running { groups: vec![(vec![0, 1, 2], 2)], ..Running::default() };
        let (sure, may) = (vec![1, 1, 0], vec![1, 1, 0]);
        let swaps = swaps(&running, &[0, 1, 2], &sure, &terms, &|row| terms[row].current.0);
        let items = Items { terms: terms.to_vec(), sure, may, there: Vec::new(), swaps };
        let sums: Vec<f64> = items.cases().map(|case| case.iter().map(|item| item.term.current.0).sum()).collect();
        assert_eq!(sums, [50.0, 40.0]);
    }
}
