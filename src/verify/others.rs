//! The other circuits of a schedule, as far as one must know them: those with which it is interlocked, and those that stand beside it.

use std::collections::{BTreeMap, BTreeSet};

use crate::catalogue::is_enclosure;
use crate::design::Circuit;
use crate::verify::accessories::{is_emergency_stop, is_monitored};

/// A circuit as others see it.
struct Seen<'d> {
    circuit: &'d Circuit,
    /// Circuits that it is interlocked with, whichever names the other.
    partners: BTreeSet<usize>,
    /// Tags that it names and that are no circuit's.
    strangers: usize,
}

/// All circuits of a schedule.
#[derive(Default)]
pub(super) struct Others<'d> {
    seen: Vec<Seen<'d>>,
    by_tag: BTreeMap<&'d str, usize>,
    /// Boards in whose panel electronics stand.
    electronic: BTreeSet<&'d str>,
}

fn word<'d>(circuit: &'d Circuit, column: &str) -> &'d str {
    circuit.load.other.get(column).and_then(serde_json::Value::as_str).unwrap_or("")
}

/// Thyristors and transistors of a circuit, or outputs of a controller or safety relay at its coils.
fn electronic(circuit: &Circuit) -> bool {
    let devices = circuit.starter_devices.iter().any(|device| matches!(device.kind.as_str(), "drive" | "soft-starter"));
    let safety = is_monitored(word(circuit, "safety_level")) || is_emergency_stop(word(circuit, "emergency_stop"));
    devices || circuit.control.as_ref().is_some_and(|control| control.driven_by == "plc-output" || safety)
}

/// It has no enclosure of its own.
fn in_its_board(circuit: &Circuit) -> bool {
    !is_enclosure(word(circuit, "enclosure").trim())
}

fn named(circuit: &Circuit) -> Vec<&str> {
    let text = circuit.load.other.get("interlock_with").and_then(serde_json::Value::as_str).unwrap_or("");
    text.split([',', ';']).map(str::trim).filter(|tag| !tag.is_empty()).collect()
}

/// Boards in whose panel finished circuits have electronics.
#[must_use]
pub fn electronic_boards(circuits: &[Circuit]) -> BTreeSet<&str> {
    circuits.iter().filter(|circuit| in_its_board(circuit) && electronic(circuit)).map(|circuit| circuit.board.as_str()).collect()
}

impl<'d> Others<'d> {
    pub(super) fn of(circuits: &'d [Circuit]) -> Self {
        let mut by_tag: BTreeMap<&str, usize> = BTreeMap::new();
        for (index, circuit) in circuits.iter().enumerate() {
            for tag in circuit.tags.iter().chain([&circuit.tag]) {
                by_tag.entry(tag).or_insert(index);
            }
        }
        let mut seen: Vec<Seen<'_>> =
            circuits.iter().map(|circuit| Seen { circuit, partners: BTreeSet::new(), strangers: 0 }).collect();
        for (index, circuit) in circuits.iter().enumerate() {
            let mut strangers: BTreeSet<&str> = BTreeSet::new();
            for tag in named(circuit) {
                match by_tag.get(tag).filter(|other| **other != index) {
                    Some(other) => {
                        seen[index].partners.insert(*other);
                        seen[*other].partners.insert(index);
                    }
                    None => _ = strangers.insert(tag),
                }
            }
            seen[index].strangers = strangers.len();
        }
        Self { seen, by_tag, electronic: electronic_boards(circuits) }
    }

    fn index(&self, circuit: &Circuit) -> Option<usize> {
        self.by_tag.get(circuit.tag.as_str()).copied().filter(|index| self.seen[*index].circuit.place == circuit.place)
    }

    /// How many loads a circuit is interlocked with.
    pub(super) fn partners(&self, circuit: &Circuit) -> usize {
        let seen = self.index(circuit).map(|index| &self.seen[index]);
        seen.map_or_else(|| named(circuit).len(), |seen| seen.partners.len() + seen.strangers)
    }

    /// The partner of a tag, and whether it comes after the circuit in the schedule.
    pub(super) fn partner(&self, circuit: &Circuit, tag: &str) -> Option<(&'d Circuit, bool)> {
        let index = self.index(circuit)?;
        let other = *self.by_tag.get(tag)?;
        self.seen[index].partners.contains(&other).then(|| (self.seen[other].circuit, index < other))
    }

    /// Circuits that a circuit is interlocked with.
    pub(super) fn interlocked(&self, circuit: &Circuit) -> Vec<&'d Circuit> {
        let seen = self.index(circuit).map(|index| &self.seen[index]);
        seen.map_or_else(Vec::new, |seen| seen.partners.iter().map(|other| self.seen[*other].circuit).collect())
    }

    /// Mechanical interlocks lead from one circuit to another over a third: they would stand in a ring, and contactors stand in a row.
    pub(super) fn joined_round_about(&self, from: &Circuit, to: &Circuit) -> bool {
        let (Some(start), Some(end)) = (self.index(from), self.index(to)) else { return false };
        let (mut reached, mut next) = (BTreeSet::from([start]), vec![start]);
        while let Some(here) = next.pop() {
            for there in self.seen[here].partners.iter().copied().filter(|there| self.mechanical(here, *there)) {
                let direct = here == start && there == end;
                if !direct && reached.insert(there) {
                    next.push(there);
                }
            }
        }
        reached.contains(&end)
    }

    /// The list of one of two circuits holds a mechanical interlock with the other.
    fn mechanical(&self, one: usize, other: usize) -> bool {
        let brings = |giver: &Circuit, partner: &Circuit| {
            let serves =
                |part: &crate::design::Accessory| part.serves.split_once(" and ").is_some_and(|(_, tag)| tag == partner.tag);
            giver.accessories.iter().any(|part| part.kind == "interlock" && serves(part))
        };
        let (one, other) = (self.seen[one].circuit, self.seen[other].circuit);
        brings(one, other) || brings(other, one)
    }

    /// Electronics stand in the panel of a circuit, its own or those of another.
    pub(super) fn electronics_beside(&self, circuit: &Circuit) -> bool {
        electronic(circuit) || in_its_board(circuit) && self.electronic.contains(circuit.board.as_str())
    }

    /// A circuit by its tag.
    pub(super) fn tagged(&self, tag: &str) -> Option<&'d Circuit> {
        self.by_tag.get(tag).map(|index| self.seen[*index].circuit)
    }
}
