//! Adds up the parts of all circuits: one line a part, with what is firm, what is on hold and for whom.

use std::collections::{BTreeMap, BTreeSet};

use crate::basis::Basis;
use crate::boards::groups;
use crate::catalogue::Register;
use crate::design::{Accessory, Board, BoardQuantity, Circuit, Held, Part, PurchaseLine, PurchaseStatus, Status};
use crate::finding::{Finding, Severity, codes};
use crate::network::tree::{Parent, Tree};
use crate::quantity::{Volts, round_to};

/// A line with the cuts that make up its length.
pub(super) struct Collected {
    pub(super) line: PurchaseLine,
    /// Lengths of cuts with how many there are of each, for what is sold by length.
    pub(super) cuts: Vec<(f64, u64)>,
    /// Who needs each of them.
    pub(super) cut_for: Vec<String>,
}

/// Why a circuit's parts wait.
fn reason_of(circuit: &Circuit, assumed: bool) -> Option<Held> {
    match circuit.status {
        Status::NotSized => Some(Held::NotSized),
        Status::NeedsDecision => Some(Held::Decision),
        Status::Sized => {
            let said = circuit.findings.iter().any(|finding| finding.code == codes::L320_ASSUMED.code);
            (assumed || said).then_some(Held::Assumed)
        }
    }
}

#[derive(Default)]
struct Sum<'c> {
    all: Need<'c>,
    boards: Vec<(&'c str, Need<'c>)>,
    cuts: Vec<(f64, u64)>,
    cut_for: Vec<&'c str>,
    first: Option<&'c Part>,
}

/// How many all circuits need of a part, or those of one board, and who of them waits.
#[derive(Default)]
struct Need<'c> {
    firm: f64,
    held: f64,
    used_by: Vec<&'c str>,
    waiting: BTreeMap<Held, Vec<&'c str>>,
}

/// Order of the families on the list: devices, then cables, then small material; what is in no family comes last.
const FAMILIES: &[&str] = &[
    "motor_breakers",
    "moulded_case_breakers",
    "line_breakers",
    "branch_breakers",
    "fuse_bases",
    "fuses",
    "contactors",
    "overload_relays",
    "current_transformers",
    "soft_starters",
    "drives",
    "isolators",
    "switch_disconnectors",
    "disconnects",
    "accessories",
    "interposing_relays",
    "control_transformers",
    "power_supplies",
    "control_protection",
    "enclosures",
    "cables",
    "control_cables",
    "raceways",
    "fittings",
    "glands",
    "lugs",
    "terminals",
    "labels",
];

/// Families whose range goes by the nameplate current of the motor (430.6(A)(2)).
const OF_OVERLOAD: &[&str] = &["overload_relays", "current_transformers"];

/// Who uses a part: a circuit, as often as its row has it, or a board.
#[derive(Clone, Copy)]
struct User<'c> {
    name: &'c str,
    board: &'c str,
    times: u32,
    reason: Option<Held>,
    /// Another circuit that uses the same piece waits.
    beside_waiting: bool,
}

/// Lines of all circuits and boards, by family and size.
pub(super) fn collect(
    circuits: &[Circuit],
    assumed: &[bool],
    boards: &[Board],
    basis: &Basis,
    register: &Register<'_>,
) -> Vec<Collected> {
    let mut sums: BTreeMap<(usize, usize, &str, &str, bool), Sum<'_>> = BTreeMap::new();
    let mut add = |part, user| {
        sums.entry(place_of(part, register)).or_default().add(part, user);
    };
    let reasons: Vec<Option<Held>> =
        circuits.iter().zip(assumed).map(|(circuit, assumed)| reason_of(circuit, *assumed)).collect();
    let ungrouped = ungrouped(circuits, boards);
    for (index, (circuit, reason)) in circuits.iter().zip(&reasons).enumerate() {
        let times = circuit.quantity.max(1);
        let user = User { name: &circuit.tag, board: &circuit.board, times, reason: *reason, beside_waiting: false };
        let cables_wait = ungrouped.contains(circuit.tag.as_str()).then_some(Held::Assumed);
        let by_table = |finding: &Finding| finding.code == codes::R214_OVERLOAD_BY_TABLE.code;
        let relays_wait = circuit.findings.iter().any(by_table).then_some(Held::Assumed);
        for part in &circuit.parts {
            let family = register.part(&part.part).map(|part| part.family);
            let by_size = family.is_some_and(follows_cable);
            let by_nameplate = family.is_some_and(|family| OF_OVERLOAD.contains(&family));
            let reason = user.reason.or(cables_wait.filter(|_| by_size)).or(relays_wait.filter(|_| by_nameplate));
            // A bar lies over breakers of further rows, and waits with any of them.
            let neighbours = under_bars(circuits, index, part);
            let beside_waiting = neighbours.clone().any(|neighbour| reasons[neighbour].is_some());
            add(part, User { times: if part.shared { 1 } else { user.times }, reason, beside_waiting, ..user });
            for neighbour in neighbours {
                add(part, User { name: &circuits[neighbour].tag, times: 0, reason: reasons[neighbour], ..user });
            }
        }
    }
    let (on_board, behind) = reasons_of_boards(circuits, &reasons, boards, basis);
    for board in boards {
        let reason = worst(board, &on_board);
        let user = User { name: &board.name, board: &board.name, times: 1, reason, beside_waiting: false };
        board.parts.iter().chain(&board.by_others).for_each(|part| add(part, user));
        // A feeder and the device at the head of the board follow from all that they lead to, boards behind boards too: they wait as
        // long as any of that waits.
        let user = User { reason: worst(board, &behind), ..user };
        let head = board.incoming.iter().flat_map(|incoming| &incoming.parts);
        board.feeder.parts.iter().chain(head).for_each(|part| add(part, user));
    }
    let mut lines: Vec<Collected> = sums.into_values().filter_map(|sum| sum.line(register)).collect();
    let alone = break_alone(circuits, boards);
    for collected in lines.iter_mut().filter(|collected| alone.contains(collected.line.part.as_str())) {
        let remark = &mut collected.line.remark;
        if !remark.is_empty() {
            remark.push_str("; ");
        }
        remark.push_str(BREAK_ALONE);
    }
    lines
}

/// Circuits whose cables wait until somebody states how many lie together.
fn ungrouped<'c>(circuits: &'c [Circuit], boards: &[Board]) -> BTreeSet<&'c str> {
    let asked = |board: &&Board| board.findings.iter().any(asks_for_groups);
    let of_board = |board: &Board| {
        let on_board: Vec<&Circuit> = circuits.iter().filter(|circuit| circuit.board == board.name).collect();
        groups::hold_alone(&on_board).map(|circuit| circuit.tag.as_str()).collect::<Vec<_>>()
    };
    boards.iter().filter(asked).flat_map(of_board).collect()
}

/// A part whose size is that of its cable.
pub(crate) fn follows_cable(family: &str) -> bool {
    const FAMILIES: [&str; 6] = ["cables", "glands", "lugs", "terminals", "raceways", "fittings"];
    FAMILIES.contains(&family)
}

/// Cables and what follows their size wait for it, nothing else.
fn asks_for_groups(finding: &Finding) -> bool {
    finding.code == codes::L351_GROUPING.code && finding.severity != Severity::Note
}

/// What is said of a device that an IT system asks more of than its part number tells.
const BREAK_ALONE: &str =
    "for an IT system: order only with the maker's word that each pole breaks the voltage between lines alone";

/// Protective devices of which nobody says that each pole breaks a second fault to earth alone.
fn break_alone<'c>(circuits: &'c [Circuit], boards: &'c [Board]) -> BTreeSet<&'c str> {
    let said = |findings: &[Finding]| findings.iter().any(|finding| finding.code == codes::R109_POLE_ALONE.code);
    let of_circuits = circuits.iter().filter(|circuit| said(&circuit.findings));
    let of_circuits = of_circuits.filter_map(|circuit| Some(circuit.protection.as_ref()?.part.as_str()));
    let of_boards = boards.iter().filter(|board| said(&board.findings));
    let of_boards = of_boards.flat_map(|board| {
        let head =
            board.incoming.as_ref().filter(|incoming| incoming.breaking_ka.is_some()).map(|incoming| incoming.part.as_str());
        [board.feeder.part.as_str()].into_iter().chain(head)
    });
    of_circuits.chain(of_boards).filter(|part| !part.is_empty()).collect()
}

/// Why what belongs to a board waits: for itself, or for circuits.
fn worst(board: &Board, of_circuits: &BTreeMap<&str, Held>) -> Option<Held> {
    let asks = |finding: &Finding| finding.severity != Severity::Note && !asks_for_groups(finding);
    let asked = board.findings.iter().any(asks).then_some(Held::Decision);
    asked.into_iter().chain(of_circuits.get(board.name.as_str()).copied()).min()
}

/// Boards whose feeder and head wait, for the board itself or for any circuit behind it, until somebody decides.
pub(super) fn boards_that_wait<'c>(circuits: &'c [Circuit], boards: &'c [Board], basis: &Basis) -> BTreeSet<&'c str> {
    let reasons: Vec<Option<Held>> = circuits.iter().map(|circuit| reason_of(circuit, false)).collect();
    let (_, behind) = reasons_of_boards(circuits, &reasons, boards, basis);
    let waits = |board: &&Board| worst(board, &behind).is_some_and(|reason| reason != Held::Assumed);
    boards.iter().filter(waits).map(|board| board.name.as_str()).collect()
}

/// The worst reason for which circuits wait, by board: of those that stand on it, and of all behind it.
fn reasons_of_boards<'c>(
    circuits: &'c [Circuit],
    reasons: &[Option<Held>],
    boards: &'c [Board],
    basis: &Basis,
) -> (BTreeMap<&'c str, Held>, BTreeMap<&'c str, Held>) {
    let mut on_board: BTreeMap<&str, Held> = BTreeMap::new();
    for (circuit, reason) in circuits.iter().zip(reasons) {
        if let Some(reason) = reason {
            on_board.entry(&circuit.board).and_modify(|worst| *worst = (*worst).min(*reason)).or_insert(*reason);
        }
    }
    let names: Vec<&str> = boards.iter().map(|board| board.name.as_str()).collect();
    let voltages: BTreeMap<&str, Volts> = boards.iter().map(|board| (board.name.as_str(), Volts(board.voltage_v))).collect();
    let tree = Tree::of_rated(basis, &names, &|name| voltages.get(name).copied().unwrap_or_default(), None);
    let mut open: Vec<Option<Held>> = tree.nodes.iter().map(|node| on_board.get(node.name.as_str()).copied()).collect();
    // Each board stands after what feeds it, so from the last to the first every reason is handed up.
    for index in (0..tree.nodes.len()).rev() {
        if let (Parent::Board(parent), Some(reason)) = (tree.nodes[index].parent, open[index]) {
            open[parent] = open[parent].into_iter().chain([reason]).min();
        }
    }
    let behind = names.iter().filter_map(|name| Some((*name, open[tree.find(name)?]?))).collect();
    (on_board, behind)
}

/// Place of a part on the list; what has no number is told apart by its words.
fn place_of<'c>(part: &'c Part, register: &Register<'_>) -> (usize, usize, &'c str, &'c str, bool) {
    let (family, rank) = register.part(&part.part).map_or(("", 0), |part| (part.family, part.rank));
    let place = FAMILIES.iter().position(|known| *known == family).unwrap_or(FAMILIES.len());
    let words = if part.part.is_empty() { part.description.as_str() } else { "" };
    (place, rank, &part.part, words, part.by_others)
}

impl<'c> Sum<'c> {
    fn add(&mut self, part: &'c Part, user: User<'c>) {
        self.first.get_or_insert(part);
        self.all.add(part, user);
        // Circuits of a board mostly follow each other, so it is the last.
        let place = self.boards.iter().rposition(|(board, _)| *board == user.board).unwrap_or_else(|| {
            self.boards.push((user.board, Need::default()));
            self.boards.len() - 1
        });
        self.boards[place].1.add(part, user);
        if part.cuts > 0 {
            self.cuts.push((part.quantity / f64::from(part.cuts), u64::from(part.cuts) * u64::from(user.times)));
            self.cut_for.push(user.name);
        }
    }

    fn line(mut self, register: &Register<'_>) -> Option<Collected> {
        let part = self.first?;
        self.all.once();
        let registered = register.part(&part.part);
        let (needed, firm) = (whole(self.all.firm + self.all.held, &part.unit), whole(self.all.firm, &part.unit));
        let (firm, held) = Need::may_be_ordered(part, needed, firm);
        let held_for = self.all.held_for(part);
        let status = match (part.by_others, held_for.is_empty()) {
            (true, _) => PurchaseStatus::ByOthers,
            (false, false) => PurchaseStatus::Hold,
            (false, true) => PurchaseStatus::Firm,
        };
        let line = PurchaseLine {
            part: part.part.clone(),
            description: part.description.clone(),
            quantity: needed,
            unit: part.unit.clone(),
            unit_price: registered.and_then(|part| part.price).filter(|_| !part.by_others),
            status,
            used_by: self.all.used_by.iter().map(|tag| (*tag).to_owned()).collect(),
            firm_quantity: firm,
            held_quantity: held,
            held_because: self.all.because(&held_for),
            held_for,
            boards: self.boards.into_iter().map(|(board, need)| need.of_board(board, part)).collect(),
            family: registered.map_or("", |part| part.family).to_owned(),
            lead_days: registered.and_then(|part| part.lead_days),
            remark: registered.map_or("", |part| part.remark).to_owned(),
            ..PurchaseLine::default()
        };
        let cut_for = self.cut_for.into_iter().map(str::to_owned).collect();
        Some(Collected { line, cuts: self.cuts, cut_for })
    }
}

impl<'c> Need<'c> {
    fn add(&mut self, part: &Part, user: User<'c>) {
        let quantity = part.quantity * f64::from(user.times);
        if user.reason.is_some() || user.beside_waiting {
            self.held += quantity
        } else {
            self.firm += quantity
        }
        remember(&mut self.used_by, user.name);
        if let Some(reason) = user.reason {
            remember(self.waiting.entry(reason).or_default(), user.name);
        }
    }

    fn once(&mut self) {
        once(&mut self.used_by);
        self.waiting.values_mut().for_each(once);
    }

    fn of_board(mut self, board: &str, part: &Part) -> BoardQuantity {
        self.once();
        let quantity = round_to(self.firm + self.held, 3);
        let (_, held_quantity) = Self::may_be_ordered(part, quantity, round_to(self.firm, 3));
        BoardQuantity { board: board.to_owned(), quantity, held_quantity, held_because: self.because(&self.held_for(part)) }
    }

    /// What of a need may be ordered, and what waits. A part without a number can't be ordered, whoever needs it.
    fn may_be_ordered(part: &Part, needed: f64, firm: f64) -> (f64, f64) {
        match (part.by_others, part.part.is_empty()) {
            (true, _) => (0.0, 0.0),
            (false, true) => (0.0, needed),
            (false, false) => (firm, round_to(needed - firm, 3)),
        }
    }

    /// Why any of it waits. A run whose length nobody knows is on the list with nothing, and waits.
    fn held_for(&self, part: &Part) -> Vec<Held> {
        if part.by_others {
            return Vec::new();
        }
        let number = part.part.is_empty().then_some(Held::NoNumber);
        let length = (self.firm + self.held <= 0.0).then_some(Held::NoLength);
        number.into_iter().chain(length).chain(self.waiting.keys().copied()).collect()
    }

    /// Why, with the tags; where one reason holds for all that use it, these are not named again.
    fn because(&self, reasons: &[Held]) -> String {
        let said = |reason: &Held| match self.waiting.get(reason) {
            None => reason.words().to_owned(),
            Some(tags) if tags.len() == self.used_by.len() => format!("{}: all that use it", reason.words()),
            Some(tags) => format!("{}: {}", reason.words(), tags.join(", ")),
        };
        reasons.iter().map(said).collect::<Vec<_>>().join("; ")
    }
}

/// The rows behind one whose breakers stand under the commoning bars that it brings: those of its board that a bar or a feed terminal
/// serves too. Rows of other boards may stand between them.
fn under_bars<'c>(circuits: &'c [Circuit], host: usize, part: &Part) -> impl Iterator<Item = usize> + Clone + use<'c> {
    let bars = ["commoning-bar", "feed-terminal"];
    let of_part =
        |accessory: &&Accessory| accessory.shared && accessory.part == part.part && bars.contains(&accessory.kind.as_str());
    let served: Vec<String> =
        circuits[host].accessories.iter().filter(of_part).map(|bar| format!(", {}, ", bar.serves)).collect();
    let most: usize = served.iter().map(|serves| serves.split(", ").count()).sum();
    let board = &circuits[host].board;
    let is_under = move |index: &usize| {
        let circuit = &circuits[*index];
        circuit.board == *board && served.iter().any(|serves| serves.contains(&format!(", {}, ", circuit.tag)))
    };
    let end = if most == 0 { host } else { circuits.len() };
    (host + 1..end).filter(is_under).take(most)
}

/// Each tag once, where it stood first.
fn once(tags: &mut Vec<&str>) {
    let mut seen = BTreeSet::new();
    tags.retain(|tag| seen.insert(*tag));
}

fn remember<'c>(tags: &mut Vec<&'c str>, tag: &'c str) {
    // Circuits come one after the other, so a tag that is there already is the last.
    if tags.last() != Some(&tag) {
        tags.push(tag);
    }
}

/// Lengths are told in whole metres or feet, rounded up; pieces are whole anyway.
fn whole(quantity: f64, unit: &str) -> f64 {
    if matches!(unit, "m" | "ft") { round_to(quantity, 6).ceil() } else { round_to(quantity, 3) }
}
