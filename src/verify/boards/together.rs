//! Tells which circuits run together: no more of a group than its number, one of two that are interlocked. Where only a search could tell,
//! a circuit may run or not.

use std::collections::{BTreeMap, BTreeSet};

use crate::design::Circuit;
use crate::verify::boards::loads::spare;

/// Circuits with how many of each run.
#[derive(Default)]
pub(super) struct Running {
    /// They run.
    pub(super) sure: Vec<(usize, u32)>,
    /// They may run, or others of their chain.
    pub(super) perhaps: Vec<(usize, u32)>,
    /// All rows of each group, and of each pair of which one rests, with the number that runs.
    pub(super) groups: Vec<(Vec<usize>, u32)>,
}

/// The restrictions on the circuits of a schedule.
pub(super) struct Restrictions<'a> {
    circuits: &'a [Circuit],
    group: Vec<Option<&'a str>>,
    most: BTreeMap<&'a str, u32>,
    partners: Vec<BTreeSet<usize>>,
    unknown: Vec<bool>,
    /// Groups with a row of which it is not known what it draws.
    unknown_groups: BTreeSet<&'a str>,
}

fn word<'a>(circuit: &'a Circuit, column: &str) -> &'a str {
    circuit.load.words(column).unwrap_or("").trim()
}

impl<'a> Restrictions<'a> {
    /// `known` tells of which circuits what they draw is known: a row of which it is not may count, or be missing in its group.
    pub(super) fn of(circuits: &'a [Circuit], known: &dyn Fn(usize) -> bool) -> Self {
        let group: Vec<Option<&str>> = circuits
            .iter()
            .map(|circuit| Some(word(circuit, "duty_group")).filter(|name| !name.is_empty() && !spare(circuit)))
            .collect();
        let mut rows: BTreeMap<&str, Vec<&Circuit>> = BTreeMap::new();
        for (circuit, name) in circuits.iter().zip(&group) {
            if let Some(name) = name {
                rows.entry(name).or_default().push(circuit);
            }
        }
        let most = rows.into_iter().map(|(name, rows)| (name, most_of(&rows))).collect();
        let mut by_tag: BTreeMap<&str, usize> = BTreeMap::new();
        for (index, circuit) in circuits.iter().enumerate().filter(|(_, circuit)| !spare(circuit)) {
            let several: &[String] = if circuit.tags.len() > 1 { &circuit.tags } else { &[] };
            for tag in several.iter().chain([&circuit.tag]) {
                by_tag.entry(tag).or_insert(index);
            }
        }
        let mut partners: Vec<BTreeSet<usize>> = vec![BTreeSet::new(); circuits.len()];
        for (index, circuit) in circuits.iter().enumerate().filter(|(_, circuit)| !spare(circuit)) {
            let named = word(circuit, "interlock_with").split([',', ';']).map(str::trim);
            for other in named.filter_map(|tag| by_tag.get(tag)).copied().filter(|other| *other != index) {
                partners[index].insert(other);
                partners[other].insert(index);
            }
        }
        let unknown: Vec<bool> = (0..circuits.len()).map(|circuit| !known(circuit)).collect();
        let unknown_groups =
            group.iter().zip(&unknown).filter(|(_, unknown)| **unknown).filter_map(|(group, _)| *group).collect();
        Self { circuits, group, most, partners, unknown, unknown_groups }
    }

    /// Circuits of a row that run at most, where its own counts say so.
    fn own_most(&self, index: usize) -> Option<u32> {
        let circuit = &self.circuits[index];
        // Counts that are not the quantity say nothing: all may run.
        let contradicts =
            circuit.duty_count.zip(circuit.standby_count).is_some_and(|(duty, by)| duty.saturating_add(by) != circuit.quantity);
        if contradicts && self.group[index].is_none() {
            return None;
        }
        let standing_by = circuit.standby_count.filter(|by| *by < circuit.quantity).map(|by| circuit.quantity - by);
        circuit
            .duty_count
            .or(standing_by)
            .filter(|most| self.group[index].is_none() && *most < circuit.quantity && circuit.quantity > 1)
    }

    /// The rows among these, ascending, that run together and weigh most by the weight of one circuit.
    pub(super) fn running(&self, rows: &[usize], weight: &dyn Fn(usize) -> f64) -> Running {
        let mut found = Running::default();
        let mut groups: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
        let mut free: Vec<usize> = Vec::new();
        for &row in rows.iter().filter(|row| !spare(&self.circuits[**row])) {
            match (self.group[row], self.own_most(row)) {
                (Some(name), _) => groups.entry(name).or_default().push(row),
                (None, Some(most)) => {
                    found.sure.push((row, most));
                    found.groups.push((vec![row], most));
                }
                (None, None) => free.push(row),
            }
        }
        for (name, members) in groups {
            let most = self.most.get(name).copied().unwrap_or(0);
            let member = |other: &usize| members.binary_search(other).is_ok();
            let locked = members.iter().any(|row| self.partners[*row].iter().any(member));
            if self.unknown_groups.contains(name) {
                found.perhaps.extend(members.iter().map(|member| (*member, self.circuits[*member].quantity)));
                continue;
            }
            let runs = self.heaviest(&members, most, weight);
            if locked {
                found.perhaps.extend(runs);
            } else {
                found.sure.extend(runs);
                found.groups.push((members, most));
            }
        }
        self.free(&free, weight, &mut found);
        found
    }

    fn heaviest(&self, members: &[usize], most: u32, weight: &dyn Fn(usize) -> f64) -> Vec<(usize, u32)> {
        let mut order = members.to_vec();
        order.sort_by(|a, b| weight(*b).total_cmp(&weight(*a)).then(a.cmp(b)));
        let mut left = most;
        let mut runs = Vec::new();
        for row in order {
            let number = self.circuits[row].quantity.min(left);
            left -= number;
            if number > 0 {
                runs.push((row, number));
            }
        }
        runs
    }

    /// Rows without a group, ascending: two that are interlocked with nothing but each other share what both have; longer chains may run or
    /// not.
    fn free(&self, free: &[usize], weight: &dyn Fn(usize) -> f64, found: &mut Running) {
        let locked = |row: usize| -> Vec<usize> {
            // Partners in groups restrict nothing here.
            let open = |partner: &&usize| self.group[**partner].is_none() && self.own_most(**partner).is_none();
            self.partners[row].iter().filter(open).copied().collect()
        };
        for &row in free {
            let number = self.circuits[row].quantity;
            let others: Vec<usize> = locked(row).into_iter().filter(|locked| free.binary_search(locked).is_ok()).collect();
            match others[..] {
                _ if self.partners[row].iter().any(|partner| self.unknown[*partner]) => found.perhaps.push((row, number)),
                [] => found.sure.push((row, number)),
                [other] if locked(other).iter().filter(|locked| free.binary_search(locked).is_ok()).count() == 1 => {
                    let (of_row, its) = (weight(row), weight(other));
                    let alike = (of_row - its).abs() <= 1e-6 * of_row.max(its);
                    let wins = of_row > its || alike && row < other;
                    let shared = number.min(self.circuits[other].quantity);
                    let left = if wins { number } else { number - shared };
                    if left > 0 {
                        found.sure.push((row, left));
                    }
                    if wins && number == self.circuits[other].quantity {
                        found.groups.push((vec![row.min(other), row.max(other)], number));
                    }
                }
                _ => found.perhaps.push((row, number)),
            }
        }
    }
}

/// How many circuits of a group run at most: the largest count that its rows state, else all but those that stand by.
fn most_of(rows: &[&Circuit]) -> u32 {
    let all: u32 = rows.iter().map(|circuit| circuit.quantity).sum();
    if let Some(count) = rows.iter().filter_map(|circuit| circuit.duty_count).max() {
        return count.min(all);
    }
    let duty: u32 =
        rows.iter().filter(|circuit| circuit.load.running.as_deref() != Some("standby")).map(|circuit| circuit.quantity).sum();
    match rows.iter().filter_map(|circuit| circuit.standby_count).max() {
        Some(by) if by < all => all - by,
        _ if duty == 0 => all,
        _ => duty,
    }
}
