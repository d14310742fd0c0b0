//! Fault currents of every board, from the impedances between it and its sources.
//!
//! Every source that may feed a board gets a run of its own over the tree; the strongest gives the largest fault current, the weakest
//! the smallest. Motors add to the largest one: what they give is added up from the last boards to the sources, and back down every
//! board sees the sources in parallel with all motors that do not stand behind itself. What the basis states at a place counts there
//! and everything behind it is worked out from it, unless the network gives a less favourable current: then that one is taken.

use crate::basis::{Basis, TransformerBasis};
use crate::finding::{Finding, codes};
use crate::network::connected::{Connected, Running};
use crate::network::feeders::FeederImpedance;
use crate::network::tree::{Node, Parent, Tree, place};
use crate::network::voltages::Voltage;
use crate::quantity::{Amperes, Impedance, Ohms, Volts, round_to};
use crate::record::Record;
use crate::rules::conductors::FaultPaths;
use crate::rules::physics::fault::{self, Convention, figure};
use crate::rules::{Leaning, RuleBook};
use crate::supply::{self, SupplyPoint};

use buses::{Grid, Stated};
use run::Seen;

mod buses;
mod elements;
pub(crate) mod one_phase;
mod run;

/// Currents that flow into a fault at a board.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct FaultLevel {
    /// Largest fault current, whatever its kind, what motors add included.
    pub largest: Option<Amperes>,
    /// Largest three-phase fault current, what motors add included.
    pub three_phase: Option<Amperes>,
    /// The same without motors.
    pub without_motors: Option<Amperes>,
    /// Largest three-phase fault current if what is stated of the supply, which counts as the whole, were that of its network alone; none
    /// where nothing stated counts, or where motors add too little.
    pub if_motors_add: Option<Amperes>,
    /// Largest fault current to earth; none where none flows back through the protective conductor, or where nobody knows.
    pub largest_to_earth: Option<Amperes>,
    /// Peak of the three-phase one.
    pub peak: Option<Amperes>,
    /// Smallest fault current, whatever its kind, from the weakest source that is permitted.
    pub smallest: Option<Amperes>,
    /// Impedance that gives the largest three-phase one, a phase, with the book's largest voltage factor; none where the basis states
    /// the current at this very place.
    pub largest_path: Option<Impedance>,
    /// Impedance that gives the smallest one between phases, a phase, with the smallest voltage factor; none as above.
    pub smallest_path: Option<Impedance>,
    /// Impedance of the loop of a fault to earth, with the smallest voltage factor; none as above.
    pub smallest_loop: Option<Impedance>,
}

/// The motors of one board that feed a fault.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Motors {
    /// Sum of their rated currents.
    pub rated: Amperes,
    /// Sum of their locked-rotor currents at the nominal voltage of the board.
    pub locked_rotor: Amperes,
}

impl Motors {
    /// Motors of every board of a tree. One that stands by counts, because it may run; equipped spare ways do not.
    #[must_use]
    pub fn of(connected: &[Connected], tree: &Tree) -> Vec<Self> {
        let mut all = vec![Self::default(); tree.nodes.len()];
        for row in connected.iter().filter(|row| row.running != Running::Spare && row.phases == 3) {
            let (Some((ratio, rated)), Some(motors)) = (row.feeds_fault, all.get_mut(row.node)) else { continue };
            let nominal = tree.nodes[row.node].voltage.0;
            // The impedance is the motor's own, at its rated voltage.
            let referred = if row.voltage.0 > 0.0 && nominal > 0.0 { nominal / row.voltage.0 } else { 1.0 };
            motors.rated = motors.rated + rated * f64::from(row.number);
            motors.locked_rotor = motors.locked_rotor + rated * (ratio * referred * f64::from(row.number));
        }
        all
    }
}

/// Everything from which fault currents are worked out; feeders and motors in the order of the tree's boards.
#[derive(Clone, Copy)]
pub struct Ask<'a> {
    /// Boards.
    pub tree: &'a Tree,
    /// Basis.
    pub basis: &'a Basis,
    /// Its file.
    pub basis_file: Option<&'a str>,
    /// Rule book.
    pub book: &'a dyn RuleBook,
    /// How the book reckons, at the tolerance of voltage that the basis states: [`RuleBook::fault_convention`].
    pub convention: Convention,
    /// Feeders. Nothing is known behind one that is not; its motors count as if they stood before it, which gives the most.
    pub feeders: &'a [Option<FeederImpedance>],
    /// Motors.
    pub motors: &'a [Motors],
    /// Sources that are left out: those that stand in at a board, when what flows through its feeder is asked for.
    pub without: &'a [usize],
}

/// Fault currents of all boards.
#[derive(Debug, Default)]
pub struct Faults {
    /// One for each board of the tree.
    pub levels: Vec<FaultLevel>,
    /// Working and findings of each board.
    pub records: Vec<Record>,
    /// Findings that concern the network as a whole: what is assumed of sources and transformers.
    pub findings: Vec<Finding>,
}

/// Works out the fault currents of every board.
#[must_use]
pub fn of(ask: &Ask<'_>) -> Faults {
    let convention = ask.convention;
    let mut records = vec![Record::new().named(ask.book.naming()); ask.tree.nodes.len()];
    let mut findings = Vec::new();
    let grids = buses::of(ask, &convention, &mut records, &mut findings);
    let runs: Vec<Vec<Seen>> = grids.iter().map(|grid| run::of(grid, &convention)).collect();
    let mut levels: Vec<FaultLevel> = Vec::with_capacity(records.len());
    for (index, record) in records.iter_mut().enumerate() {
        let seen: Vec<(&Grid, Seen)> = grids.iter().zip(&runs).map(|(grid, run)| (grid, run[grid.of_board[index]])).collect();
        let board = Board { ask, index, convention: &convention, seen: &seen };
        let level = board.level(record);
        let level = board.of_one_phase(level, &levels, record);
        levels.push(board.in_order(level, record));
    }
    sources_that_feed_nothing(ask, &mut findings);
    let by_winding =
        |(level, node): (&FaultLevel, &Node)| node.phases == 1 && node.transformer.is_some() && level.largest.is_some();
    if levels.iter().any(|level| level.largest_path.is_some() || level.smallest_path.is_some())
        || levels.iter().zip(&ask.tree.nodes).any(by_winding)
    {
        findings.extend(from_memory(ask.book));
    }
    Faults { levels, records, findings }
}

/// One board with what every run gives there.
struct Board<'a> {
    ask: &'a Ask<'a>,
    index: usize,
    convention: &'a Convention,
    seen: &'a [(&'a Grid, Seen)],
}

impl Board<'_> {
    fn level(&self, record: &mut Record) -> FaultLevel {
        self.contradictions(record);
        let silent = &mut Record::silent();
        let strongest = self.extreme(|grid, seen| self.largest(grid, seen, silent).largest, |amperes, other| amperes > other);
        let mut level = strongest.map(|(grid, seen)| self.largest(grid, seen, record)).unwrap_or_default();
        let silent = &mut Record::silent();
        let weakest = self.extreme(|grid, seen| self.smallest(grid, seen, silent).smallest, |amperes, other| amperes < other);
        let Some(weakest) = weakest.map(|(grid, seen)| self.smallest(grid, seen, record)) else {
            // The current between phases may be known where the way back of a fault to earth is not.
            let between = self.farthest(|level| level.smallest_path);
            (level.smallest_path, level.smallest_loop) =
                (between, self.farthest(|level| level.smallest_loop).filter(|_| between.is_some()));
            return level;
        };
        level.smallest = weakest.smallest;
        if weakest.smallest_path.is_some() {
            level.smallest_path = self.farthest(|level| level.smallest_path);
            level.smallest_loop = self.farthest(|level| level.smallest_loop);
        }
        level
    }

    /// A smallest current above the largest is a contradiction: each figure counts where it is the safer one.
    fn in_order(&self, level: FaultLevel, record: &mut Record) -> FaultLevel {
        let (Some(largest), Some(smallest)) = (level.largest, level.smallest) else { return level };
        if smallest.fits(largest) {
            return level;
        }
        let name = &self.ask.tree.nodes[self.index].name;
        let kiloamperes = |current: Amperes| round_to(current.0 / 1000.0, 2);
        let what = format!(
            "board {name}: its smallest fault current, {} kA, is above its largest, {} kA",
            kiloamperes(smallest),
            kiloamperes(largest)
        );
        record.find(
            Finding::new(&codes::B113_STATED_TOO_FAVOURABLE, what)
                .at(place(self.ask.basis_file, &format!("board {name}: prospective_fault_ka")))
                .why("one of them is wrong; the larger is taken for the largest and the smaller for the smallest")
                .cure("correct prospective_fault_ka or prospective_fault_min_ka of the board or of [supply]"),
        );
        FaultLevel {
            largest: Some(smallest),
            three_phase: Some(smallest),
            smallest: Some(largest),
            peak: level.peak.map(|peak| peak * (smallest / largest)),
            smallest_path: None,
            smallest_loop: None,
            ..level
        }
    }

    /// The run that gives the most or the least; none where a single one is not known.
    fn extreme(
        &self,
        mut of: impl FnMut(&Grid, &Seen) -> Option<Amperes>,
        beyond: fn(f64, f64) -> bool,
    ) -> Option<(&Grid, &Seen)> {
        let mut found: Option<(f64, (&Grid, &Seen))> = None;
        for (grid, seen) in self.seen {
            let amperes = of(grid, seen)?.0;
            if found.is_none_or(|(other, _)| beyond(amperes, other)) {
                found = Some((amperes, (grid, seen)));
            }
        }
        found.map(|(_, run)| run)
    }

    /// The largest impedance that a run gives for a smallest fault current; none where a run does not know it.
    fn farthest(&self, of: fn(&FaultLevel) -> Option<Impedance>) -> Option<Impedance> {
        let mut found: Option<Impedance> = None;
        for (grid, seen) in self.seen {
            let level = self.smallest(grid, seen, &mut Record::silent());
            if level.smallest.is_some() && level.smallest_path.is_none() {
                // A stated current speaks for that run.
                continue;
            }
            let impedance = of(&level)?;
            if found.is_none_or(|other| impedance.magnitude().0 > other.magnitude().0) {
                found = Some(impedance);
            }
        }
        found
    }

    /// Figures stated here in a run: one of the supply holds only where the supply feeds the board.
    fn stated(&self, grid: &Grid) -> Stated {
        let stated = grid.buses[grid.of_board[self.index]].stated;
        if grid.usual || !stated.of_supply { stated } else { Stated::default() }
    }

    fn largest(&self, grid: &Grid, seen: &Seen, record: &mut Record) -> FaultLevel {
        let stated = self.stated(grid).largest;
        let path = bounded_path(seen);
        let worked = path.map(|path| self.worked_largest(path, seen, &mut Record::silent()));
        match (stated, worked.and_then(|level| level.largest)) {
            (None, None) => FaultLevel::default(),
            (Some(stated), worked) if worked.is_none_or(|worked| worked.fits(stated) || grid.unlimited) => FaultLevel {
                largest: Some(stated),
                three_phase: Some(stated),
                without_motors: Some(stated),
                peak: self.stated_peak(grid, stated, record),
                if_motors_add: self.with_motors(grid, seen, stated),
                ..FaultLevel::default()
            },
            _ => path.map(|path| self.worked_largest(path, seen, record)).unwrap_or_default(),
        }
    }

    /// What is stated of the supply, with what all motors behind it add.
    fn with_motors(&self, grid: &Grid, seen: &Seen, stated: Amperes) -> Option<Amperes> {
        let factor = self.convention.low_voltage.greatest;
        let bus = &grid.buses[grid.of_board[self.index]];
        let path = bus.stated_largest(factor).filter(|_| bus.stated.of_supply)?.beside(seen.motors_behind);
        let both = fault::three_phase(&mut Record::silent(), factor, self.voltage(), path);
        Some(both).filter(|both| !both.fits(stated))
    }

    fn worked_largest(&self, path: Impedance, seen: &Seen, record: &mut Record) -> FaultLevel {
        let (voltage, factor) = (self.voltage(), self.convention.low_voltage.greatest);
        let three_phase = fault::three_phase(record, factor, voltage, path);
        let to_earth = seen
            .zero
            .filter(|_| self.returns() == Some(true))
            .map(|zero| fault::of_loop(record, factor, self.to_earth(), (path * 2.0 + zero) * (1.0 / 3.0)));
        FaultLevel {
            largest: Some(to_earth.map_or(three_phase, |current| current.max(three_phase))),
            three_phase: Some(three_phase),
            // A stated current holds what motors add; its angle, taken as the worst of each, must not turn that round.
            without_motors: seen
                .without_motors
                .map(|path| fault::three_phase(&mut Record::silent(), factor, voltage, path).min(three_phase)),
            largest_to_earth: to_earth,
            peak: seen.equivalent.map(|equivalent| fault::peak(record, three_phase, equivalent)),
            largest_path: Some(path),
            ..FaultLevel::default()
        }
    }

    /// The peak of a stated current, where its X/R is known.
    fn stated_peak(&self, grid: &Grid, stated: Amperes, record: &mut Record) -> Option<Amperes> {
        let ratio = grid.buses[grid.of_board[self.index]].x_over_r?;
        let one = Impedance::of_ratio(Ohms(1.0), ratio);
        Some(fault::peak(record, stated, fault::at_equivalent_frequency(one)))
    }

    fn smallest(&self, grid: &Grid, seen: &Seen, record: &mut Record) -> FaultLevel {
        let stated = self.stated(grid).least;
        let worked = self.worked_smallest(seen, &mut Record::silent());
        match stated {
            Some(stated) if worked.smallest.is_none_or(|worked| stated.fits(worked)) => {
                FaultLevel { smallest: Some(stated), ..FaultLevel::default() }
            }
            _ => self.worked_smallest(seen, record),
        }
    }

    fn worked_smallest(&self, seen: &Seen, record: &mut Record) -> FaultLevel {
        let factor = self.convention.low_voltage.least;
        let Some(path) = seen.smallest else { return FaultLevel::default() };
        let smallest_loop = seen.smallest_loop.filter(|_| self.returns() == Some(true));
        let between = fault::two_phase(record, factor, self.voltage(), path);
        let to_earth = smallest_loop.map(|path| fault::of_loop(record, factor, self.to_earth(), path));
        // Where faults to earth flow through a conductor that nobody knows, the smallest current is not known either.
        let unknown = self.returns() == Some(true) && to_earth.is_none();
        let smallest = to_earth.map_or(between, |current| current.min(between));
        FaultLevel { smallest: (!unknown).then_some(smallest), smallest_path: Some(path), smallest_loop, ..FaultLevel::default() }
    }

    fn voltage(&self) -> Volts {
        self.ask.tree.nodes[self.index].voltage
    }

    fn to_earth(&self) -> Volts {
        Volts(self.voltage().0 / 3f64.sqrt())
    }

    fn returns(&self) -> Option<bool> {
        let node = &self.ask.tree.nodes[self.index];
        self.ask.book.returns_by_conductor(node.earthing.as_deref(), node.system.as_deref())
    }

    /// Currents at a board of one phase, from those at the board before, where the basis states nothing; what can't be worked out
    /// is told.
    fn of_one_phase(&self, level: FaultLevel, before: &[FaultLevel], record: &mut Record) -> FaultLevel {
        let node = &self.ask.tree.nodes[self.index];
        if node.phases != 1 || node.parent == Parent::Unknown {
            return level;
        }
        let level = FaultLevel {
            largest: level.largest.or_else(|| one_phase::largest(self.ask, self.index, before, record)),
            smallest: level.smallest.or_else(|| one_phase::smallest(self.ask, self.index, before, record)),
            ..level
        };
        if level.largest.is_none() || level.smallest.is_none() {
            let what = format!("board {} has one phase; its fault currents are not worked out", node.name);
            record.find(
                Finding::new(&codes::B115_ONE_PHASE, what)
                    .at(place(self.ask.basis_file, &format!("board {}: phases", node.name)))
                    .cure("state prospective_fault_ka and prospective_fault_min_ka of the board"),
            );
        }
        level
    }

    /// Tells of stated currents that the network does not bear out.
    fn contradictions(&self, record: &mut Record) {
        let stated = buses::stated(self.ask, self.index);
        let runs = || self.seen.iter().filter(|(grid, _)| grid.usual || !stated.of_supply);
        let silent = &mut Record::silent();
        let bounded = self.seen.iter().any(|(grid, _)| grid.unlimited);
        let most =
            runs().filter_map(|(_, seen)| self.worked_largest(bounded_path(seen)?, seen, silent).largest).reduce(Amperes::max);
        if let (Some(stated_most), Some(most), false) = (stated.largest, most, bounded) {
            self.contradiction("largest", "prospective_fault_ka", [stated_most, most], most / stated_most, record);
        }
        let silent = &mut Record::silent();
        let least = runs().filter_map(|(_, seen)| self.worked_smallest(seen, silent).smallest).reduce(Amperes::min);
        if let (Some(stated_least), Some(least)) = (stated.least, least) {
            self.contradiction("smallest", "prospective_fault_min_ka", [stated_least, least], stated_least / least, record);
        }
    }

    /// `over` is how much too favourable the stated one is.
    fn contradiction(&self, which: &str, key: &str, [stated, worked]: [Amperes; 2], over: f64, record: &mut Record) {
        let name = &self.ask.tree.nodes[self.index].name;
        let stated_here = buses::stated(self.ask, self.index);
        let at = if stated_here.of_supply { format!("supply: {key}") } else { format!("board {name}: {key}") };
        let kiloamperes = |current: Amperes| round_to(current.0 / 1000.0, 2);
        let what = format!(
            "board {name}: the {which} fault current is stated as {} kA; the network gives {} kA",
            kiloamperes(stated),
            kiloamperes(worked)
        );
        let (code, why, cure) = if over > 1.0 + figure("stated-too-favourable-share") {
            (
                &codes::B113_STATED_TOO_FAVOURABLE,
                "the safer of the two, that of the network, is taken",
                "compare the stated value with sources, transformers, feeders and motors; correct what is wrong",
            )
        } else if over < 1.0 - figure("stated-too-cautious-share") {
            (
                &codes::B114_STATED_TOO_CAUTIOUS,
                "the safer of the two, the stated one, is taken",
                "leave the value out if the network is described well enough to work it out",
            )
        } else {
            return;
        };
        record.find(Finding::new(code, what).at(place(self.ask.basis_file, &at)).why(why).cure(cure));
    }
}

/// The supply point of a circuit at a board: what the basis states there, and what the network gives.
#[must_use]
pub fn point(ask: &Ask<'_>, index: usize, level: &FaultLevel, voltage: &Voltage, fallback: Volts) -> SupplyPoint {
    let node = &ask.tree.nodes[index];
    let stated = supply::point(ask.basis, &node.name, fallback);
    let nominal = if node.voltage.0 > 0.0 { node.voltage } else { stated.voltage };
    let paths = FaultPaths {
        voltage: nominal,
        largest: level.largest_path,
        smallest: level.smallest_path,
        smallest_loop: level.smallest_loop,
        middle: supply::has_middle(node.system.as_deref(), node.phases),
        ..stated.paths
    };
    SupplyPoint {
        voltage: nominal,
        fault_max: level.largest,
        fault_min: level.smallest,
        peak: level.peak,
        paths,
        running_path: voltage.path,
        drop_running_pct: voltage.feeder_drop_pct,
        earthing: node.earthing.clone(),
        system: node.system.clone(),
        ..stated
    }
}

/// Impedance of a transformer at the voltage of its secondary, a phase, without corrections; none where its rating or its impedance is
/// not stated.
#[must_use]
pub fn transformer_impedance(transformer: &TransformerBasis, secondary: Volts) -> Option<Impedance> {
    elements::plain_transformer(transformer, secondary)
}

fn sources_that_feed_nothing(ask: &Ask<'_>, findings: &mut Vec<Finding>) {
    for (index, source) in ask.basis.sources.iter().enumerate() {
        let Some(name) = source.name.as_deref().map(str::trim).filter(|name| !name.is_empty()) else { continue };
        if !buses::feeds_something(ask, index) {
            findings.push(
                Finding::new(&codes::B116_SOURCE_FEEDS_NOTHING, format!("source {name} feeds no board"))
                    .at(place(ask.basis_file, &format!("source {name}: name")))
                    .cure(format!(
                        "name it in fed_from of a board, after the first source where it stands in for it: \"supply, {name}\""
                    )),
            );
        }
    }
}

fn from_memory(book: &dyn RuleBook) -> Option<Finding> {
    let behind = book.tables_behind(Leaning::NetworkFaults);
    let documents = book.documents().into_iter().filter(|document| behind.contains(&document.name) && document.leans_on_memory());
    let titles: Vec<&str> = documents.map(crate::rules::table::Document::title).collect();
    (!titles.is_empty()).then(|| {
        Finding::new(
            &codes::R105_FROM_MEMORY,
            format!("fault currents of the boards lean on figures from memory: {}", titles.join("; ")),
        )
        .cure("compare them with the standard before issue; `motorwright tables` prints each with its source")
    })
}

/// The way of the largest fault current, where anything bounds that: not at a network that is taken as unlimited.
fn bounded_path(seen: &Seen) -> Option<Impedance> {
    seen.largest.filter(|path| path.magnitude().0 > 0.0)
}

/// Sum of two that are both known.
fn sum(a: Option<Impedance>, b: Option<Impedance>) -> Option<Impedance> {
    Some(a? + b?)
}

/// No impedance.
const NONE: Impedance = Impedance { r: Ohms(0.0), x: Ohms(0.0) };

#[cfg(test)]
mod tests;
