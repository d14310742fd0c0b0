//! Which circuits run together: from a group no more than its number, from interlocked rows only those that can, and of all that
//! is left open always the largest combination.
//!
//! A standby load runs like any other unless its group or an interlock keeps it out. What a board sees depends on which of a group's
//! rows are behind it: each board asks for itself. Where a restriction can't be used without a search (interlocks between
//! members of different groups, long chains), it is left out: the sum is then too large rather than too small.

use std::collections::{BTreeMap, BTreeSet};

use super::connected::{Connected, Running};
use crate::finding::{Finding, codes};
use crate::rules::physics::loading::load_figure;

#[cfg(test)]
mod tests;

/// Rows that restrict each other.
#[derive(Clone, Debug, PartialEq)]
pub struct Cluster {
    /// Its rows, ascending.
    pub rows: Vec<usize>,
    /// How many circuits run at most; none without a group.
    most: Option<u32>,
    /// Interlocked pairs of rows.
    interlocks: Vec<(usize, usize)>,
}

/// Who restricts whom in a schedule.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Together {
    /// Clusters in the order of their first rows.
    pub clusters: Vec<Cluster>,
    /// The cluster of each row; none for a row that always runs.
    pub of_row: Vec<Option<usize>>,
    /// Counts that contradict each other.
    pub findings: Vec<Finding>,
}

/// Circuits of a row that run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Runs {
    /// Row, by its place among the rows.
    pub row: usize,
    /// Circuits.
    pub number: u32,
}

impl Together {
    /// Reads groups and interlocks of the rows.
    #[must_use]
    pub fn of(rows: &[Connected]) -> Self {
        let mut found = Self { of_row: vec![None; rows.len()], ..Self::default() };
        let mut groups: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
        let mut alone: Vec<usize> = Vec::new();
        for (index, row) in rows.iter().enumerate().filter(|(_, row)| row.may_run()) {
            match &row.group {
                Some(name) => groups.entry(name).or_default().push(index),
                None => alone.push(index),
            }
        }
        let interlocks = interlocks(rows);
        let mut clusters: Vec<Cluster> = Vec::new();
        for (name, members) in groups {
            let (most, finding) = most_of_group(name, &members, rows);
            found.findings.extend(finding);
            clusters.push(Cluster { most: Some(most), interlocks: within(&interlocks, &members), rows: members });
        }
        found.findings.extend(alone.iter().filter_map(|index| contradiction(&rows[*index])));
        clusters.extend(alone.iter().filter_map(|index| own_group(*index, &rows[*index])));
        let grouped: BTreeSet<usize> = clusters.iter().flat_map(|cluster| cluster.rows.iter().copied()).collect();
        let free: Vec<usize> = alone.into_iter().filter(|index| !grouped.contains(index)).collect();
        clusters.extend(chains(&within(&interlocks, &free)));
        clusters.sort_by(|a, b| a.rows.cmp(&b.rows));
        for (number, cluster) in clusters.iter().enumerate() {
            for row in &cluster.rows {
                found.of_row[*row] = Some(number);
            }
        }
        found.clusters = clusters;
        found
    }

    /// Circuits that run in a cluster, as far as its rows are `behind` a board (ascending): the largest combination by the weight
    /// of one circuit of a row.
    #[must_use]
    pub fn of_cluster(&self, cluster: usize, behind: &[usize], rows: &[Connected], weight: &dyn Fn(usize) -> f64) -> Vec<Runs> {
        let Some(cluster) = self.clusters.get(cluster) else { return Vec::new() };
        cluster.largest(behind, rows, weight)
    }

    /// How the rows count on feeders: the circuits of each that may run apart from sets, the set of which it is one, and how many of each
    /// set run. Interlocked rows without a group of which each bars all others are a set. In longer chains the heaviest combination by
    /// the weight of one circuit runs, where one board has them all; else a feeder may have those alone that rest elsewhere, and all count.
    #[must_use]
    pub fn counted(&self, rows: &[Connected], weight: &dyn Fn(usize) -> f64) -> (Vec<(u32, Option<usize>)>, Vec<u32>) {
        let mut counted: Vec<(u32, Option<usize>)> =
            rows.iter().map(|row| (if row.may_run() { row.number } else { 0 }, None)).collect();
        let mut sets = Vec::new();
        for cluster in &self.clusters {
            if cluster.most.is_none() && !cluster.one_at_a_time(rows) {
                if cluster.rows.iter().any(|row| rows[*row].node != rows[cluster.rows[0]].node) {
                    continue;
                }
                for row in &cluster.rows {
                    counted[*row].0 = 0;
                }
                for runs in cluster.largest(&cluster.rows, rows, weight) {
                    counted[runs.row].0 = runs.number;
                }
                continue;
            }
            // Which of a set run is for each feeder to choose; interlocks within a group only lower their number.
            for row in &cluster.rows {
                counted[*row].1 = Some(sets.len());
            }
            let running: u32 = cluster.largest(&cluster.rows, rows, weight).iter().map(|runs| runs.number).sum();
            sets.push(running);
        }
        (counted, sets)
    }

    /// All circuits of the rows `behind` (ascending) that run together, by the weight of one circuit of a row.
    #[must_use]
    pub fn among(&self, behind: &[usize], rows: &[Connected], weight: &dyn Fn(usize) -> f64) -> Vec<Runs> {
        let mut restricted: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        let mut running = Vec::new();
        for &row in behind.iter().filter(|row| rows[**row].may_run()) {
            match self.of_row.get(row).copied().flatten() {
                Some(cluster) => restricted.entry(cluster).or_default().push(row),
                None => running.push(Runs { row, number: rows[row].number }),
            }
        }
        for (cluster, members) in restricted {
            running.extend(self.of_cluster(cluster, &members, rows, weight));
        }
        running.sort_by_key(|runs| runs.row);
        running
    }
}

impl Cluster {
    /// Every row bars every other.
    fn complete(&self) -> bool {
        self.interlocks.len() == self.rows.len() * (self.rows.len() - 1) / 2
    }

    /// One row runs at a time, and all have as many circuits.
    fn one_at_a_time(&self, rows: &[Connected]) -> bool {
        self.complete() && self.rows.iter().all(|row| rows[*row].number == rows[self.rows[0]].number)
    }

    fn largest(&self, behind: &[usize], rows: &[Connected], weight: &dyn Fn(usize) -> f64) -> Vec<Runs> {
        let interlocks = within(&self.interlocks, behind);
        let mut runs: Vec<Runs> = behind.iter().map(|row| Runs { row: *row, number: rows[*row].number }).collect();
        for chain in chains(&interlocks) {
            chain.shut_out(self.most.is_some(), &mut runs, rows, weight);
        }
        let Some(mut left) = self.most else { return runs };
        runs.sort_by(|a, b| weight(b.row).total_cmp(&weight(a.row)).then(a.row.cmp(&b.row)));
        for runs in &mut runs {
            runs.number = runs.number.min(left);
            left -= runs.number;
        }
        runs.retain(|runs| runs.number > 0);
        runs
    }

    /// Takes out of `runs` what the interlocks of this chain keep from running beside the largest combination. Circuits that a row has
    /// beyond the number that all rows of the chain share have no partner and run.
    fn shut_out(&self, in_group: bool, runs: &mut [Runs], rows: &[Connected], weight: &dyn Fn(usize) -> f64) {
        let winners = if self.complete() {
            self.rows.iter().copied().reduce(|a, b| if weight(a) >= weight(b) { a } else { b }).into_iter().collect()
        } else if in_group {
            // Which of a chain runs best depends on how many of the group may: nobody is shut out.
            return;
        } else {
            match self.best_apart(weight) {
                Some(best) => best,
                None => return,
            }
        };
        let shared = self.rows.iter().map(|row| rows[*row].number).min().unwrap_or(0);
        for runs in runs.iter_mut().filter(|runs| self.rows.contains(&runs.row) && !winners.contains(&runs.row)) {
            runs.number -= shared;
        }
    }

    /// The heaviest rows of which no two are interlocked, by trying all; none where there are too many.
    fn best_apart(&self, weight: &dyn Fn(usize) -> f64) -> Option<Vec<usize>> {
        let count = self.rows.len();
        #[allow(clippy::cast_precision_loss)] // a handful of rows
        if count as f64 > load_figure("interlocks-tried") {
            return None;
        }
        let place = |row: usize| self.rows.iter().position(|known| *known == row).unwrap_or(0);
        let pairs: Vec<u32> = self.interlocks.iter().map(|(a, b)| (1 << place(*a)) | (1 << place(*b))).collect();
        let chosen =
            |set: u32| self.rows.iter().enumerate().filter(move |(place, _)| set & (1 << place) != 0).map(|(_, row)| *row);
        let sum = |set: u32| chosen(set).map(weight).sum::<f64>();
        let apart = (0..1u32 << count).filter(|set| pairs.iter().all(|pair| set & pair != *pair));
        let best = apart.reduce(|a, b| if sum(a) >= sum(b) { a } else { b })?;
        Some(chosen(best).collect())
    }
}

/// How many circuits of a group run at most: as its rows say, else all but those that stand by.
fn most_of_group(name: &str, members: &[usize], rows: &[Connected]) -> (u32, Option<Finding>) {
    let numbers = |keep: &dyn Fn(&Connected) -> bool| -> u32 {
        members.iter().map(|index| &rows[*index]).filter(|row| keep(row)).map(|row| row.number).fold(0, u32::saturating_add)
    };
    let all = numbers(&|_| true);
    let stated: Vec<u32> = members.iter().filter_map(|index| rows[*index].duty_count).collect();
    let largest = stated.iter().copied().max();
    let differ = stated.iter().any(|count| Some(*count) != largest);
    let finding = differ.then(|| {
        let said: Vec<String> = members
            .iter()
            .filter_map(|index| rows[*index].duty_count.map(|count| format!("{} {count}", rows[*index].tag)))
            .collect();
        let place = members.first().map_or_else(Default::default, |index| rows[*index].place.clone());
        Finding::new(&codes::B204_DUTY_COUNT, format!("the rows of group {name} state different counts: {}", said.join(", ")))
            .at(place)
            .why("the largest counts")
            .cure("write the same duty_count in every row of the group")
    });
    if let Some(count) = largest {
        return (count.min(all), finding);
    }
    let standing_by = members.iter().filter_map(|index| rows[*index].standby_count).max();
    let duty = numbers(&|row| row.running != Running::Standby);
    let most = match standing_by {
        Some(count) if count < all => all - count,
        // A group of standby loads alone does not say how many of them run.
        _ if duty == 0 => all,
        _ => duty,
    };
    (most, finding)
}

/// A row outside of a group whose counts of duty and standby are not its quantity.
fn contradiction(row: &Connected) -> Option<Finding> {
    let (duty, standby) = row.duty_count.zip(row.standby_count).filter(|_| contradicts(row))?;
    let what = format!("{duty} on duty and {standby} standby do not add up to the {} circuits of {}", row.number, row.tag);
    Some(
        Finding::new(&codes::B204_DUTY_COUNT, what)
            .at(row.place.clone())
            .why("all of them count as running")
            .cure("correct the quantity or the counts; loads that stand by for each other across rows share a duty_group"),
    )
}

fn contradicts(row: &Connected) -> bool {
    row.duty_count.zip(row.standby_count).is_some_and(|(duty, standby)| duty.saturating_add(standby) != row.number)
}

/// A row outside of a group of which not all circuits run. Where its counts contradict its quantity, all do.
fn own_group(index: usize, row: &Connected) -> Option<Cluster> {
    if contradicts(row) {
        return None;
    }
    let of_standby = row.standby_count.filter(|count| *count < row.number).map(|count| row.number - count);
    let most = row.duty_count.or(of_standby).filter(|most| *most < row.number && row.number > 1)?;
    Some(Cluster { rows: vec![index], most: Some(most), interlocks: Vec::new() })
}

/// Interlocked pairs, whichever of the two names the other; the smaller place first, ascending.
fn interlocks(rows: &[Connected]) -> Vec<(usize, usize)> {
    if rows.iter().all(|row| row.interlock_with.is_empty()) {
        return Vec::new();
    }
    let mut by_tag: BTreeMap<&str, usize> = BTreeMap::new();
    for (index, row) in rows.iter().enumerate().filter(|(_, row)| row.may_run()) {
        for tag in row.tags.iter().chain([&row.tag]) {
            by_tag.entry(tag).or_insert(index);
        }
    }
    let mut pairs: Vec<(usize, usize)> = rows
        .iter()
        .enumerate()
        .filter(|(_, row)| row.may_run())
        .flat_map(|(index, row)| row.interlock_with.iter().map(move |tag| (index, tag)))
        .filter_map(|(index, tag)| Some((index, *by_tag.get(tag.as_str())?)))
        .filter(|(a, b)| a != b)
        .map(|(a, b)| (a.min(b), a.max(b)))
        .collect();
    pairs.sort_unstable();
    pairs.dedup();
    pairs
}

/// The pairs of which both rows are among `rows`, which ascend.
fn within(interlocks: &[(usize, usize)], rows: &[usize]) -> Vec<(usize, usize)> {
    let there = |row: &usize| rows.binary_search(row).is_ok();
    interlocks.iter().copied().filter(|(a, b)| there(a) && there(b)).collect()
}

/// Chains of rows that hang together by interlocks.
fn chains(interlocks: &[(usize, usize)]) -> Vec<Cluster> {
    let mut chain_of: BTreeMap<usize, usize> = interlocks.iter().flat_map(|(a, b)| [(*a, *a), (*b, *b)]).collect();
    let first = |of: &BTreeMap<usize, usize>, mut row: usize| {
        while let Some(before) = of.get(&row).copied().filter(|before| *before != row) {
            row = before;
        }
        row
    };
    for (a, b) in interlocks {
        let (a, b) = (first(&chain_of, *a), first(&chain_of, *b));
        chain_of.insert(a.max(b), a.min(b));
    }
    let mut chains: BTreeMap<usize, Cluster> = BTreeMap::new();
    for row in chain_of.keys() {
        let chain =
            chains.entry(first(&chain_of, *row)).or_insert(Cluster { rows: Vec::new(), most: None, interlocks: Vec::new() });
        chain.rows.push(*row);
    }
    for pair in interlocks {
        if let Some(chain) = chains.get_mut(&first(&chain_of, pair.0)) {
            chain.interlocks.push(*pair);
        }
    }
    chains.into_values().collect()
}
