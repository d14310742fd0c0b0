//! The size of a supply run, or of one to a star point, with a view to what lies behind it. Disconnection, withstand and voltage drop are
//! asked of the whole way to the machine: behind a supply run that is as small as its current allows, the run to the machine would need a
//! size beyond all measure, or find none, where one more step of the supply run does.

use super::{SUPPLY, asked, follow, through_star};
use crate::design::CriterionSize;
use crate::load::Case;
use crate::record::Record;
use crate::rules::RatedCurrents;
use crate::rules::conductors::{Candidate, RunDemand};
use crate::sizing::Tools;
use crate::sizing::conductors::{RunChoice, holds, judged_run, size_words};

/// The criterion that raised a supply run.
const RUN_BEHIND: &str = "run-behind";

/// What a way of laying the runs takes: the fewest conductors in parallel count first, as on the ladder of sizes, then the least metal.
#[derive(Clone, Copy, Default, PartialEq, PartialOrd)]
struct Outlay {
    in_parallel: u32,
    /// Section times length of the live conductors, mm² · m.
    metal: f64,
}

impl Outlay {
    /// Outlay of a run in some size, as often as it stands beside itself.
    fn of(run: &RunDemand, candidate: Candidate, alike: u32) -> Self {
        let conductors = f64::from(run.cores.saturating_sub(1) * candidate.parallel * alike);
        let length = run.length.map_or(0.0, |length| length.0);
        Self { in_parallel: candidate.parallel, metal: length * candidate.size_mm2 * conductors }
    }

    /// Outlay of a run to the machine in its smallest size; none if no size holds.
    fn of_smallest(run: &RunDemand, case: &Case, tools: &Tools<'_>) -> Option<Self> {
        let candidate = tools.book.ladder(run).into_iter().find(|candidate| holds(tools.book, run, *candidate))?;
        Some(Self::of(run, candidate, case.motors))
    }

    fn and(self, further: Self) -> Self {
        Self { in_parallel: self.in_parallel + further.in_parallel, metal: self.metal + further.metal }
    }
}

/// Size of the supply run with which the whole way takes the least, where that is not its smallest one that holds; none where there is
/// no supply run, or where nothing holds behind any.
pub(super) fn raised(case: &Case, currents: &RatedCurrents, runs: &[RunDemand], tools: &Tools<'_>) -> Option<Candidate> {
    let (first, behind) = runs.split_first().filter(|(first, _)| first.role == SUPPLY)?;
    let with_need = |run: &RunDemand| {
        let mut run = run.clone();
        asked(&mut run, case, currents, tools, &mut Record::silent());
        run
    };
    let supply = with_need(first);
    let behind: Vec<RunDemand> = behind.iter().map(with_need).filter(|run| tools.book.refuses(run).is_none()).collect();
    if tools.book.refuses(&supply).is_some() {
        return None;
    }
    // Nothing behind the supply run takes less than it would at the board.
    let at_board = behind.iter().filter_map(|run| Outlay::of_smallest(run, case, tools)).fold(Outlay::default(), Outlay::and);
    least_together(&supply, at_board, tools, |choice| outlay_behind(&behind, choice, case, tools))
}

/// Size of the run of the low speed with which both runs of a tapped winding take the least, where that is not its smallest one that
/// holds: at high speed its leads to the star point take of the voltage too.
pub(super) fn raised_to_star(fast: &RunDemand, slow: &RunDemand, case: &Case, tools: &Tools<'_>) -> Option<Candidate> {
    if [fast, slow].into_iter().any(|run| tools.book.refuses(run).is_some()) {
        return None;
    }
    let alone = Outlay::of_smallest(fast, case, tools)?;
    least_together(slow, alone, tools, |choice| {
        let mut fast = fast.clone();
        through_star(&mut fast, choice);
        Outlay::of_smallest(&fast, case, tools)
    })
}

/// Size of a run with which it and what leans on it take the least, where that is not its smallest one that holds; none where nothing holds
/// beside any. What leans on it takes no less than `floor`.
fn least_together(
    run: &RunDemand,
    floor: Outlay,
    tools: &Tools<'_>,
    further: impl Fn(&RunChoice) -> Option<Outlay>,
) -> Option<Candidate> {
    let (mut smallest, mut best): (Option<Candidate>, Option<(Outlay, Candidate)>) = (None, None);
    for candidate in tools.book.ladder(run) {
        let of_run = Outlay::of(run, candidate, 1);
        let too_much = best.is_some_and(|(least, _)| of_run.and(floor) >= least);
        if too_much || !holds(tools.book, run, candidate) {
            continue;
        }
        smallest = smallest.or(Some(candidate));
        let choice = judged_run(run, candidate, tools.book, tools.catalogue, &mut Record::silent());
        let Some(further) = further(&choice) else { continue };
        let whole = of_run.and(further);
        if best.is_none_or(|(least, _)| whole < least) {
            best = Some((whole, candidate));
        }
    }
    best.map(|(_, candidate)| candidate).filter(|candidate| Some(*candidate) != smallest)
}

/// A run in a size that what lies behind it asks for.
pub(super) fn chosen(demand: &RunDemand, candidate: Candidate, tools: &Tools<'_>, record: &mut Record) -> RunChoice {
    let mut choice = judged_run(demand, candidate, tools.book, tools.catalogue, record);
    if let Some(run) = &mut choice.run {
        run.criteria.push(CriterionSize { criterion: RUN_BEHIND.to_owned(), size: size_words(tools.book, candidate) });
        RUN_BEHIND.clone_into(&mut run.governed_by);
    }
    choice
}

/// Outlay of the runs behind a supply run, each as small as it may be; none if one of them finds no size.
fn outlay_behind(behind: &[RunDemand], supply: &RunChoice, case: &Case, tools: &Tools<'_>) -> Option<Outlay> {
    let following = |run: &RunDemand| {
        let mut run = run.clone();
        follow(&mut run, supply, case.motors);
        Outlay::of_smallest(&run, case, tools)
    };
    behind.iter().map(following).try_fold(Outlay::default(), |sum, further| Some(sum.and(further?)))
}
