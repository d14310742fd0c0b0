//! The return of the supply: all motors that ran start together; and the groups in which they would have to start, so that no dip
//! is deeper than the limit.
//!
//! Groups are filled with the largest motors first, each with every motor that still fits: loads that are no motors, drives and the
//! groups before it run already. Motors whose start nobody knows are taken as running.

use super::connected::Connected;
use super::together::Runs;
use super::voltages::{Feed, Grid, Places, dip_limit};
use crate::finding::{Finding, codes, named};
use crate::quantity::{fits, round_to};
use crate::rules::physics::load_flow::{Solution, Taken};

#[cfg(test)]
mod tests;

/// Motors that may start together.
#[derive(Clone, Debug, PartialEq)]
pub struct Group {
    /// Circuits that start, the largest first.
    pub starts: Vec<Runs>,
    /// Deepest dip of any board, per cent of nominal; none where no voltage holds.
    pub dip_pct: Option<f64>,
    /// Even one of them dips a board further than the limit; the circuits start one after the other.
    pub one_by_one: bool,
}

/// The return of a supply.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Restart {
    /// Name of the feed.
    pub feed: String,
    /// Deepest dip of any board when all start together, per cent of nominal; none where no voltage holds or nothing starts.
    pub together_pct: Option<f64>,
    /// The board that dips furthest then.
    pub deepest: Option<usize>,
    /// The groups in their order; empty where no limit is stated.
    pub groups: Vec<Group>,
    /// Findings.
    pub findings: Vec<Finding>,
}

/// The return of the supply by a feed.
#[must_use]
pub fn of(grid: &Grid<'_>, feed: &Feed) -> Restart {
    let places = Places::behind(grid, feed);
    let mut found = Restart { feed: feed.name.clone(), ..Restart::default() };
    let waiting = waiting(grid, &places);
    if waiting.is_empty() {
        return found;
    }
    let idle = places.without(waiting.iter().map(|runs| (runs.row, runs.number)));
    let Some(before) = solve(&places, &idle) else { return found };
    let mut starting = idle.clone();
    for runs in &waiting {
        places.put_start(&mut starting, runs.row, f64::from(runs.number));
    }
    let deepest = solve(&places, &starting).and_then(|during| deepest(grid, &places, &before, &during));
    found.together_pct = deepest.map(|(_, dip)| dip);
    found.deepest = deepest.map(|(board, _)| board);
    let Some((limit, key)) = dip_limit(grid.basis) else { return found };
    found.groups = Filling { grid, places: &places, limit }.groups(waiting, idle);
    found.findings = say(grid, &found, limit, key);
    found
}

/// Motors that run and whose start is known, the largest first.
fn waiting(grid: &Grid<'_>, places: &Places<'_>) -> Vec<Runs> {
    let starts = |(row, number): (usize, &u32)| {
        let connected = grid.rows.get(row)?;
        (*number > 0 && connected.starting.is_some() && places.reaches(connected.node)).then_some(Runs { row, number: *number })
    };
    let mut waiting: Vec<Runs> = places.runs().iter().enumerate().filter_map(starts).collect();
    waiting.sort_by(|a, b| size(&grid.rows[b.row]).total_cmp(&size(&grid.rows[a.row])).then(a.row.cmp(&b.row)));
    waiting
}

/// Starting current as every voltage sees it.
fn size(row: &Connected) -> f64 {
    row.starting.map_or(0.0, |start| start.current.0) * row.line_voltage().0
}

fn solve(places: &Places<'_>, taken: &[Vec<Taken>]) -> Option<Vec<Solution>> {
    (0..places.phases()).map(|phase| places.solve(phase, taken)).collect()
}

/// The board that dips furthest, and how far.
fn deepest(grid: &Grid<'_>, places: &Places<'_>, before: &[Solution], during: &[Solution]) -> Option<(usize, f64)> {
    let dip_of = |board: usize| places.deepest_between(board, before, during).map(|(before, during)| (board, before - during));
    let boards = (0..grid.tree.nodes.len()).filter(|board| places.known(*board));
    boards.filter_map(dip_of).reduce(|a, b| if b.1 > a.1 { b } else { a })
}

/// Boards in a row of which no motor fits any more: then the group is taken as full. Each costs a load flow of the whole network, and a
/// motor that is left starts with the next group.
const MOST_REFUSED: usize = 16;

/// The loads that run, and the voltages meanwhile.
struct Running {
    taken: Vec<Vec<Taken>>,
    voltages: Vec<Solution>,
}

impl Running {
    /// The voltages with other loads.
    fn with(&self, places: &Places<'_>, taken: &[Vec<Taken>]) -> Option<Vec<Solution>> {
        self.voltages.iter().enumerate().map(|(phase, solved)| places.solve_beside(phase, taken, &self.taken, solved)).collect()
    }
}

/// Fills groups until nothing waits.
struct Filling<'a> {
    grid: &'a Grid<'a>,
    places: &'a Places<'a>,
    limit: f64,
}

impl Filling<'_> {
    fn groups(&self, mut waiting: Vec<Runs>, taken: Vec<Vec<Taken>>) -> Vec<Group> {
        let mut groups = Vec::new();
        let mut running = solve(self.places, &taken).map(|voltages| Running { taken, voltages });
        while let Some(first) = waiting.first().copied() {
            let Some(before) = running else {
                // No voltage holds any more, nor will it with more load.
                groups.extend(waiting.drain(..).map(|runs| alone(runs, None)));
                break;
            };
            let group = self.fill(&mut waiting, &before).unwrap_or_else(|| {
                waiting.remove(0);
                alone(first, self.dip_of(first, &before))
            });
            let mut taken = before.taken.clone();
            for runs in &group.starts {
                self.places.put_running(&mut taken, runs.row, runs.number);
            }
            running = before.with(self.places, &taken).map(|voltages| Running { taken, voltages });
            groups.push(group);
        }
        groups
    }

    /// Dip of one circuit alone.
    fn dip_of(&self, runs: Runs, before: &Running) -> Option<f64> {
        let mut starting = before.taken.clone();
        self.places.put_start(&mut starting, runs.row, 1.0);
        let during = before.with(self.places, &starting)?;
        deepest(self.grid, self.places, &before.voltages, &during).map(|(_, dip)| dip)
    }

    /// Takes the motors out of `waiting` that start together within the limit; none if not even the first does. Each motor is
    /// taken that still fits, until many boards in a row have none that does; as a further start never makes a dip less, as many at a time
    /// as do.
    fn fill(&self, waiting: &mut Vec<Runs>, before: &Running) -> Option<Group> {
        let mut starting = before.taken.clone();
        let mut group = Group { starts: Vec::new(), dip_pct: None, one_by_one: false };
        let mut full = vec![false; self.grid.tree.nodes.len()];
        let board = |runs: &Runs| self.grid.rows[runs.row].node;
        let mut smallest = vec![None; self.grid.tree.nodes.len()];
        for runs in waiting.iter() {
            smallest[board(runs)] = Some(Runs { number: 1, ..*runs });
        }
        let (mut next, mut stride, mut refused) = (0, 1, 0);
        while next < waiting.len() && refused < MOST_REFUSED {
            let open = |index: &usize| !full[board(&waiting[*index])];
            let batch: Vec<usize> = (next..waiting.len()).filter(open).take(stride).collect();
            let (Some(first), Some(last)) = (batch.first().copied(), batch.last().copied()) else { break };
            let wanted: Vec<Runs> = batch.iter().map(|index| waiting[*index]).collect();
            if let Some(dip) = self.fitting(&wanted, &starting, before) {
                self.take(&wanted, &mut starting, &mut group, dip);
                batch.iter().for_each(|index| waiting[*index].number = 0);
                (next, stride, refused) = (last + 1, 2 * stride, 0);
            } else if batch.len() > 1 {
                stride = batch.len() / 2;
            } else {
                let runs = waiting[first];
                refused += 1;
                match self.as_many(runs, &starting, before) {
                    Some((number, dip)) => {
                        refused = 0;
                        self.take(&[Runs { number, ..runs }], &mut starting, &mut group, dip);
                        waiting[first].number -= number;
                    }
                    None if group.starts.is_empty() => return None,
                    None => {}
                }
                // Where not even the smallest motor of the board fits any more, the others need not be tried.
                let is_smallest = |other: &Runs| other.row == runs.row && runs.number == 1;
                full[board(&runs)] = smallest[board(&runs)]
                    .is_none_or(|other| is_smallest(&other) || self.fitting(&[other], &starting, before).is_none());
                (next, stride) = (first + 1, 1);
            }
        }
        waiting.retain(|runs| runs.number > 0);
        Some(group)
    }

    fn take(&self, taken: &[Runs], starting: &mut [Vec<Taken>], group: &mut Group, dip: f64) {
        for runs in taken {
            self.places.put_start(starting, runs.row, f64::from(runs.number));
        }
        group.starts.extend(taken);
        group.dip_pct = Some(dip);
    }

    /// The number of circuits of a row that still fit beside those that start already, where not all do, and the dip then.
    fn as_many(&self, runs: Runs, starting: &[Vec<Taken>], before: &Running) -> Option<(u32, f64)> {
        let (mut least, mut too_many, mut found) = (0, runs.number, None);
        while too_many - least > 1 {
            let tried = least + (too_many - least) / 2;
            match self.fitting(&[Runs { number: tried, ..runs }], starting, before) {
                Some(dip) => (least, found) = (tried, Some((tried, dip))),
                None => too_many = tried,
            }
        }
        found
    }

    /// The dip of further starts beside what starts already, if it is within the limit.
    fn fitting(&self, further: &[Runs], starting: &[Vec<Taken>], before: &Running) -> Option<f64> {
        let mut starting = starting.to_vec();
        for runs in further {
            self.places.put_start(&mut starting, runs.row, f64::from(runs.number));
        }
        let during = before.with(self.places, &starting)?;
        deepest(self.grid, self.places, &before.voltages, &during).map(|(_, dip)| dip).filter(|dip| fits(*dip, self.limit))
    }
}

/// A circuit that starts by itself, whatever the dip.
fn alone(runs: Runs, dip_pct: Option<f64>) -> Group {
    Group { starts: vec![runs], dip_pct, one_by_one: true }
}

fn say(grid: &Grid<'_>, found: &Restart, limit: f64, key: &str) -> Vec<Finding> {
    let mut findings = Vec::new();
    for group in found.groups.iter().filter(|group| group.one_by_one) {
        for runs in &group.starts {
            let row = &grid.rows[runs.row];
            let dip = group.dip_pct.map_or_else(|| "no voltage holds then".to_owned(), |dip| format!("{} %", round_to(dip, 1)));
            findings.push(
                Finding::new(
                    &codes::B214_RESTART_ALONE,
                    format!(
                        "when {} comes back, {} dips the voltage further than {limit} % even alone: {dip}",
                        found.feed, row.tag
                    ),
                )
                .at(row.place.clone())
                .cure("start it another way, or keep it off until somebody starts it when little else runs")
                .reference(format!("basis, {key}")),
            );
        }
    }
    let within = found.together_pct.is_some_and(|dip| fits(dip, limit));
    if !within && found.groups.len() > 1 {
        let dip = found
            .together_pct
            .map_or_else(|| "leave no voltage at all".to_owned(), |dip| format!("dip the voltage by {} %", round_to(dip, 1)));
        let board = found.deepest.map_or("", |board| grid.tree.nodes[board].name.as_str());
        findings.push(
            Finding::new(
                &codes::B215_RESTART_GROUPS,
                format!(
                    "all motors starting together when {} comes back {dip} at board {board}; within {limit} % they start in {} groups: {}",
                    found.feed,
                    found.groups.len(),
                    words(grid, &found.groups)
                ),
            )
            .why("contactors drop out, or motors do not come up")
            .cure("delay the restart group by group, or let only some motors start by themselves")
            .reference(format!("basis, {key}")),
        );
    }
    findings
}

/// Some circuits of a row in words: the row's tag alone means all of them.
#[must_use]
pub fn some_of(tag: &str, number: u32, of: u32, named: bool) -> String {
    if number >= of {
        tag.to_owned()
    } else if named {
        format!("{number} of {tag}")
    } else {
        format!("{number} of {of} {tag}")
    }
}

/// The first groups in words.
fn words(grid: &Grid<'_>, groups: &[Group]) -> String {
    const SHOWN: usize = 6;
    let of_group = |(number, group): (usize, &Group)| {
        let tags: Vec<String> = group
            .starts
            .iter()
            .map(|runs| {
                let row = &grid.rows[runs.row];
                some_of(&row.tag, runs.number, row.number, !row.tags.is_empty())
            })
            .collect();
        let tags: Vec<&str> = tags.iter().map(String::as_str).collect();
        format!("{}: {}", number + 1, named(&tags))
    };
    let mut said: Vec<String> = groups.iter().take(SHOWN).enumerate().map(of_group).collect();
    if groups.len() > SHOWN {
        said.push(format!("and {} more groups", groups.len() - SHOWN));
    }
    said.join("; ")
}
