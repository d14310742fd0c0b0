//! Runs of cable: every candidate of the book's ladder is judged by the book's list of criteria; the first that every criterion
//! admits is taken. For each criterion its own smallest size is told, which of them governs, and how far the size holds.
//!
//! Candidates that are rejected leave no steps; the working is that of the chosen one.

use crate::catalogue::Catalogue;
use crate::design::{Check, CriterionSize, Fault, Part, Raceway, Run};
use crate::load::Material;
use crate::quantity::{Metres, round_to};
use crate::record::Record;
use crate::rules::conductors::{Candidate, Companions, Criterion, Outcome, RunDemand, RunPart, RunRules};
use crate::rules::units::METRES_A_FOOT;
use crate::sizing::judge::{at_least, at_most, not_checked};

/// Beyond this length no limit is told.
const FARTHEST_M: f64 = 10_000.0;

/// A chosen run.
#[derive(Clone, Debug, Default)]
pub struct RunChoice {
    /// The run; none if no candidate holds.
    pub run: Option<Run>,
    /// Checks of the chosen candidate, or of the rejected one that fails the fewest.
    pub checks: Vec<Check>,
    /// Fault currents at its end.
    pub fault: Fault,
    /// Protective conductor, raceways and figures that go with the run.
    pub companions: Companions,
    /// Cables of the run.
    pub parts: Vec<Part>,
    /// The catalogue lacks the cable.
    pub part_missing: bool,
    /// A drive feeds conductors without a screen, because the catalogue has no other.
    pub unscreened: bool,
    /// Why the demand could not be judged at all.
    pub refused: Option<String>,
}

/// Outcomes of a candidate, one for each criterion that applies.
fn outcomes(
    book: &dyn RunRules,
    demand: &RunDemand,
    candidate: Candidate,
    record: &mut Record,
) -> Vec<(&'static Criterion, Outcome)> {
    book.criteria().iter().filter_map(|criterion| Some((criterion, (criterion.judge)(demand, candidate, record)?))).collect()
}

/// Checks of a candidate against every criterion that decides on a size.
#[must_use]
pub(super) fn judge(book: &dyn RunRules, demand: &RunDemand, candidate: Candidate) -> Vec<Check> {
    let mut outcomes = outcomes(book, demand, candidate, &mut Record::silent());
    outcomes.retain(|(criterion, _)| criterion.decides);
    checks_of(demand, &outcomes)
}

/// Tells whether every criterion admits a candidate.
#[must_use]
pub fn holds(book: &dyn RunRules, demand: &RunDemand, candidate: Candidate) -> bool {
    let mut scratch = Record::silent();
    book.criteria()
        .iter()
        .filter(|criterion| criterion.decides)
        .all(|criterion| (criterion.judge)(demand, candidate, &mut scratch).is_none_or(|outcome| outcome.passed != Some(false)))
}

/// Outcomes of the candidate that fails the fewest criteria, the largest of several: they tell what stands in the way.
fn nearest(book: &dyn RunRules, demand: &RunDemand, ladder: &[Candidate]) -> Option<Vec<(&'static Criterion, Outcome)>> {
    ladder.iter().rev().map(|candidate| outcomes(book, demand, *candidate, &mut Record::silent())).min_by_key(|outcomes| {
        outcomes.iter().filter(|(criterion, outcome)| criterion.decides && outcome.passed == Some(false)).count()
    })
}

/// Circuits side by side, the run's own included, up to which a candidate holds.
#[must_use]
pub(super) fn holds_for_circuits(book: &dyn RunRules, demand: &RunDemand, candidate: Candidate) -> u32 {
    /// Longer rows of the tables tell of groups that hardly lie anywhere.
    const MOST: u32 = 20;
    let mut beside = demand.clone();
    let mut holds_for = |circuits: u32| {
        beside.grouped = demand.grouped + circuits - 1;
        holds(book, &beside, candidate)
    };
    if !holds_for(2) {
        return 1;
    }
    // More circuits never leave more current to each of them.
    let (mut most, mut too_many) = (2, MOST + 1);
    while too_many - most > 1 {
        let tried = most + (too_many - most) / 2;
        if holds_for(tried) {
            most = tried;
        } else {
            too_many = tried;
        }
    }
    most
}

/// Chooses the cable of a run.
#[must_use]
pub fn size_run(demand: &RunDemand, book: &dyn RunRules, catalogue: &Catalogue, record: &mut Record) -> RunChoice {
    if let Some(refused) = book.refuses(demand) {
        return RunChoice { refused: Some(refused), ..RunChoice::default() };
    }
    let ladder = book.ladder(demand);
    let Some(chosen) = ladder.iter().copied().find(|candidate| holds(book, demand, *candidate)) else {
        let checks = nearest(book, demand, &ladder).map(|outcomes| checks_of(demand, &outcomes)).unwrap_or_default();
        return RunChoice { checks, ..RunChoice::default() };
    };
    of_candidate(demand, chosen, &ladder, book, catalogue, record)
}

/// A run that somebody else chose, judged by the same criteria: its checks tell what fails.
#[must_use]
pub fn judged_run(
    demand: &RunDemand,
    stated: Candidate,
    book: &dyn RunRules,
    catalogue: &Catalogue,
    record: &mut Record,
) -> RunChoice {
    if let Some(refused) = book.refuses(demand) {
        return RunChoice { refused: Some(refused), ..RunChoice::default() };
    }
    of_candidate(demand, stated, &book.ladder(demand), book, catalogue, record)
}

fn of_candidate(
    demand: &RunDemand,
    chosen: Candidate,
    ladder: &[Candidate],
    book: &dyn RunRules,
    catalogue: &Catalogue,
    record: &mut Record,
) -> RunChoice {
    let outcomes = outcomes(book, demand, chosen, record);
    let companions = book.companions(demand, chosen, record);
    let criteria = smallest_sizes(book, demand, chosen, ladder, &outcomes);
    let governed_by = governing(&criteria, book, ladder);
    let Bought { mut parts, part, cables, part_missing, unscreened } = parts(demand, chosen, &companions, book, catalogue);
    parts.extend(raceway_part(demand, chosen, &companions, book, catalogue));
    let required =
        outcomes.iter().filter(|(criterion, _)| criterion.of_capacity).map(|(_, outcome)| outcome.value).fold(0.0, f64::max);
    let run = Run {
        role: demand.role.to_owned(),
        purpose: String::new(),
        count: 1,
        phase_size: book.size_text(chosen.size_mm2),
        phase_area_mm2: chosen.size_mm2,
        per_phase: chosen.parallel,
        neutral_size: neutral(demand).then(|| book.size_text(chosen.size_mm2)),
        protective_size: book.size_text(companions.protective_mm2),
        material: material_word(demand.material).to_owned(),
        insulation: demand.insulation.clone(),
        installation: demand.route.join("+"),
        length_m: demand.length.map_or(0.0, |length| length.0),
        cores: demand.cores,
        cables,
        capacity_a: round_to(companions.capacity.0, 3),
        // The least that three places show: what carries something never has to carry nothing.
        required_a: if required > 0.0 { round_to(required, 3).max(0.001) } else { required },
        governed_by,
        holds_to_m: holds_to(book, demand, chosen),
        holds_for_circuits: None,
        criteria,
        raceway: raceway(&companions),
        part,
        resistance_ohm: companions.impedance.map(|impedance| round_to(impedance.r.0, 7)),
        reactance_ohm: companions.impedance.map(|impedance| round_to(impedance.x.0, 7)),
    };
    let kiloamperes = |value: Option<crate::quantity::Amperes>| value.map(|value| round_to(value.0 / 1000.0, 4));
    RunChoice {
        run: Some(run),
        checks: checks_of(demand, &outcomes),
        fault: Fault {
            board_max_ka: kiloamperes(demand.fault_max),
            terminal_max_ka: kiloamperes(companions.end_max),
            terminal_min_ka: kiloamperes(companions.end_min),
            terminal_single_phase_min_ka: kiloamperes(companions.end_earth_min),
            peak_ka: None,
        },
        parts,
        part_missing,
        unscreened,
        refused: None,
        companions,
    }
}

/// The raceways of a run as one: a route through several kinds names them all.
fn raceway(companions: &Companions) -> Option<Raceway> {
    let all = &companions.raceways;
    let first = all.first()?;
    let names = |of: fn(&crate::rules::conductors::RacewayChoice) -> &'static str| {
        let names: Vec<&str> = all.iter().map(of).collect();
        if names.iter().all(|name| *name == names[0]) { names[0].to_owned() } else { names.join("+") }
    };
    let fill = all.iter().map(|raceway| raceway.fill_pct).fold(first.fill_pct, f64::max);
    Some(Raceway {
        kind: names(|raceway| raceway.kind),
        trade_size: names(|raceway| raceway.trade_size),
        fill_pct: round_to(fill, 2),
    })
}

fn neutral(demand: &RunDemand) -> bool {
    let lines = if demand.phases == 3 { 3 } else { 2 };
    let beside_all_lines = demand.own_circuits == 1 && demand.cores == lines + 2;
    beside_all_lines || demand.to_neutral()
}

fn material_word(material: Material) -> &'static str {
    match material {
        Material::Copper => "copper",
        Material::Aluminium => "aluminium",
    }
}

fn checks_of(demand: &RunDemand, outcomes: &[(&'static Criterion, Outcome)]) -> Vec<Check> {
    outcomes
        .iter()
        .map(|(criterion, outcome)| {
            let subject = if criterion.place.is_empty() {
                format!("{} run", demand.role)
            } else {
                format!("{} run, {}", demand.role, criterion.place)
            };
            let check = match outcome.passed {
                None => not_checked(criterion.name, criterion.unit, outcome.because, criterion.reference),
                Some(_) if criterion.floor => {
                    at_least(criterion.name, outcome.value, outcome.limit, criterion.unit, criterion.reference)
                }
                Some(_) => at_most(criterion.name, outcome.value, outcome.limit, criterion.unit, criterion.reference),
            };
            let reference = outcome.also.map_or_else(|| check.reference.clone(), |also| format!("{}; {also}", check.reference));
            Check { reference, ..check }.about(subject)
        })
        .collect()
}

/// For every criterion the first candidate of the ladder that it alone admits.
fn smallest_sizes(
    book: &dyn RunRules,
    demand: &RunDemand,
    chosen: Candidate,
    ladder: &[Candidate],
    outcomes: &[(&'static Criterion, Outcome)],
) -> Vec<CriterionSize> {
    let mut scratch = Record::silent();
    outcomes
        .iter()
        .filter(|(criterion, _)| criterion.decides)
        .map(|(criterion, outcome)| {
            let size = if outcome.passed.is_none() {
                String::new()
            } else {
                let admits = |candidate: &&Candidate| {
                    (criterion.judge)(demand, **candidate, &mut scratch).is_none_or(|outcome| outcome.passed != Some(false))
                };
                ladder.iter().find(admits).map_or_else(|| size_words(book, chosen), |candidate| size_words(book, *candidate))
            };
            let name = if criterion.place.is_empty() {
                criterion.name.to_owned()
            } else {
                format!("{}, {}", criterion.name, criterion.place)
            };
            CriterionSize { criterion: name, size }
        })
        .collect()
}

pub(super) fn size_words(book: &dyn RunRules, candidate: Candidate) -> String {
    let size = book.size_text(candidate.size_mm2);
    if candidate.parallel > 1 { format!("{}x {size}", candidate.parallel) } else { size }
}

/// The criterion whose own smallest size stands highest on the ladder; the first of several.
fn governing(criteria: &[CriterionSize], book: &dyn RunRules, ladder: &[Candidate]) -> String {
    let position = |size: &str| ladder.iter().position(|candidate| size_words(book, *candidate) == size);
    let mut best: Option<(usize, &str)> = None;
    for size in criteria {
        let Some(at) = position(&size.size) else { continue };
        if best.is_none_or(|(highest, _)| at > highest) {
            best = Some((at, &size.criterion));
        }
    }
    best.map_or_else(String::new, |(_, name)| name.to_owned())
}

/// The longest length at which the size still meets what depends on length, in whole metres, rounded down.
fn holds_to(book: &dyn RunRules, demand: &RunDemand, chosen: Candidate) -> Option<f64> {
    demand.length?;
    let by_length: Vec<&Criterion> = book.criteria().iter().filter(|criterion| criterion.by_length).collect();
    let mut longer = demand.clone();
    let mut admits = |metres: f64| {
        longer.length = Some(Metres(metres));
        let mut scratch = Record::silent();
        by_length
            .iter()
            .all(|criterion| (criterion.judge)(&longer, chosen, &mut scratch).is_none_or(|outcome| outcome.passed != Some(false)))
    };
    if admits(FARTHEST_M) {
        return None;
    }
    let (mut low, mut high) = (demand.length.map_or(0.0, |length| length.0), FARTHEST_M);
    while high - low > 0.25 {
        let middle = f64::midpoint(low, high);
        if admits(middle) { low = middle } else { high = middle }
    }
    // Every criterion that depends on length only gets harder with it (a book's duty; a property test holds it), so the reach is unbroken.
    Some(low.floor().max(demand.length.map_or(0.0, |length| length.0.floor())))
}

/// Conductors of a run as they are bought.
struct Bought {
    parts: Vec<Part>,
    /// Part number of the cable, or of a phase conductor.
    part: String,
    /// Cables side by side for one set.
    cables: u32,
    part_missing: bool,
    unscreened: bool,
}

impl Default for Bought {
    fn default() -> Self {
        Self { parts: Vec::new(), part: String::new(), cables: 1, part_missing: false, unscreened: false }
    }
}

/// A length of a run, in the unit in which the book's lengths are bought.
fn bought_length(demand: &RunDemand, chosen: Candidate, book: &dyn RunRules) -> f64 {
    let metres = demand.length.map_or(0.0, |length| length.0) * f64::from(chosen.parallel);
    if book.length_unit() == "ft" { metres / METRES_A_FOOT } else { metres }
}

/// Cables from the catalogue: multicore where the method allows it and the size is made, else single cores.
fn parts(demand: &RunDemand, chosen: Candidate, companions: &Companions, book: &dyn RunRules, catalogue: &Catalogue) -> Bought {
    let length = bought_length(demand, chosen, book);
    let material = material_word(demand.material);
    // What was sized is what is bought; a type that serves for it stands in where the catalogue holds none.
    let as_sized = catalogue.cable(material, &demand.insulation, 1, chosen.size_mm2, false).is_some();
    let insulation = if as_sized { demand.insulation.as_str() } else { book.bought_insulation(&demand.insulation) };
    // A quantity is so many cuts of the run's own length; conductors in parallel are cuts by themselves.
    let bought_part = |part: &crate::catalogue::Cable, cuts: u32| Part {
        part: part.part.clone(),
        description: part.description.clone(),
        quantity: round_to(length * f64::from(cuts), 3),
        unit: book.length_unit().to_owned(),
        cuts: cuts * chosen.parallel,
        run: demand.role.to_owned(),
        ..Part::default()
    };
    let sets = demand.own_circuits;
    if !book.single_cores(demand) {
        let cores = if book.in_one_cable(demand, chosen) {
            demand.cores
        } else {
            demand.cores.min(if demand.phases == 1 { 3 } else { 4 })
        };
        // Only what a drive feeds is screened; rotor leads have no supply behind them either.
        let screened = demand.part == RunPart::DriveOutput;
        let multicore = |cores: u32| catalogue.cable(material, insulation, cores, chosen.size_mm2, screened);
        let reinforced =
            |cable: &crate::catalogue::Cable| cable.protective_mm2.is_none_or(|mm2| mm2 + 1e-9 >= companions.protective_mm2);
        let with_all_cores = multicore(demand.cores).filter(|cable| cores == demand.cores && reinforced(cable));
        if let Some(cable) = with_all_cores {
            return Bought { parts: vec![bought_part(cable, 1)], part: cable.part.clone(), ..Bought::default() };
        }
        // Six leads also run in two cables of three and a protective core.
        let smaller = if demand.own_circuits > 1 { 4 } else { demand.cores };
        if let Some(cable) = multicore(smaller) {
            let mut bought =
                Bought { parts: vec![bought_part(cable, sets)], part: cable.part.clone(), cables: sets, ..Bought::default() };
            if !reinforced(cable) {
                // The reinforced protective conductor runs beside the cable.
                match catalogue.protective_core(material, insulation, companions.protective_mm2) {
                    Some(core) => bought.parts.push(bought_part(core, 1)),
                    None => bought.part_missing = true,
                }
            }
            return bought;
        }
    }
    let phase = catalogue.cable(material, insulation, 1, chosen.size_mm2, false);
    let marked = || {
        let size = companions.protective_mm2;
        book.marks_protective().then(|| catalogue.cable(material, insulation, 1, size, false)).flatten()
    };
    let protective = catalogue.protective_core(material, insulation, companions.protective_mm2).or_else(marked);
    let (Some(phase), Some(protective)) = (phase, protective) else {
        let size = if book.length_unit() == "ft" { book.size_text(chosen.size_mm2) } else { format!("{} mm²", chosen.size_mm2) };
        let cores = if book.single_cores(demand) { "single cores" } else { "cores" };
        let words = format!("cable {size} {material} {insulation}, {} {cores}", demand.cores);
        let unit = book.length_unit().to_owned();
        let run = demand.role.to_owned();
        let part =
            Part { description: words, quantity: round_to(length, 3), unit, cuts: chosen.parallel, run, ..Part::default() };
        return Bought { parts: vec![part], part_missing: true, ..Bought::default() };
    };
    let cores = demand.cores.saturating_sub(1);
    let parts = vec![bought_part(phase, cores), bought_part(protective, 1)];
    let unscreened = demand.part == RunPart::DriveOutput && !book.raceways_screen();
    Bought { parts, part: phase.part.clone(), unscreened, ..Bought::default() }
}

/// Raceway of a run: the first of the route over the whole length, because the share of each is not known.
fn raceway_part(
    demand: &RunDemand,
    chosen: Candidate,
    companions: &Companions,
    book: &dyn RunRules,
    catalogue: &Catalogue,
) -> Option<Part> {
    let raceway = companions.raceways.first()?;
    let part = catalogue.raceway(raceway.kind, raceway.trade_size);
    let words = || format!("raceway {} trade size {}", raceway.kind.to_uppercase(), raceway.trade_size);
    Some(Part {
        part: part.map(|part| part.part.clone()).unwrap_or_default(),
        description: part.map_or_else(words, |part| part.description.clone()),
        quantity: round_to(bought_length(demand, chosen, book), 3),
        unit: book.length_unit().to_owned(),
        cuts: chosen.parallel,
        run: demand.role.to_owned(),
        ..Part::default()
    })
}

#[cfg(test)]
mod tests;
