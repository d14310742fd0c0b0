//! Capacities at the edge of their tables: single cores in free air begin at 25 mm², factors of bunched cables end at 20 circuits.

use super::capacity::{self, ReferenceMethod};
use crate::quantity::Amperes;
use crate::rules::conductors::{Candidate, RunDemand, RunRules};
use crate::rules::iec::Iec;
use crate::rules::iec::book::figure;

/// Circuits of the group, and those within one cable: every parallel cable, and every further set of leads that has its own, is one.
pub(super) fn group(demand: &RunDemand, candidate: Candidate) -> (u32, u32) {
    let (sets, within) = if Iec.in_one_cable(demand, candidate) { (1, demand.own_circuits) } else { (demand.own_circuits, 1) };
    ((demand.grouped.max(1) - 1) + candidate.parallel * sets, within)
}

/// What a reader should know of a chosen cable: what it must carry, and what it carries.
pub(super) fn told(
    methods: &[ReferenceMethod],
    (circuits, within): (u32, u32),
    candidate: Candidate,
    [required, carries]: [Amperes; 2],
) -> Vec<[String; 4]> {
    let begins = methods.iter().find_map(|method| begins(*method, candidate, required, carries));
    let ends = methods.iter().find_map(|method| ends(*method, circuits, within));
    begins.into_iter().chain(ends).collect()
}

/// The smallest size of the table was taken where half of it would carry the current: no smaller one is tabulated.
fn begins(method: ReferenceMethod, candidate: Candidate, required: Amperes, carries: Amperes) -> Option<[String; 4]> {
    let smallest = capacity::smallest_tabulated(method)?;
    let is_smallest = candidate.parallel == 1 && (candidate.size_mm2 - smallest).abs() < 1e-9;
    (is_smallest && (required * figure("oversized-at-edge-share")).fits(carries)).then(|| {
        [
            format!(
                "{smallest} mm² for {:.1} A: capacities of method {} are tabulated from {smallest} mm²",
                required.0,
                method.name()
            ),
            "the tables hold no smaller single cores in free air; devices and terminals follow the larger cable".to_owned(),
            "write E for a multicore cable in free air, or C where it lies on a wall or tray, if the cable may be smaller"
                .to_owned(),
            "IEC 60364-5-52, Tables B.52.10 to B.52.13".to_owned(),
        ]
    })
}

/// More circuits lie together than the table of the factors has.
fn ends(method: ReferenceMethod, circuits: u32, within: u32) -> Option<[String; 4]> {
    let (last, factor) = capacity::beyond_grouping(method, circuits, within)?;
    Some([
        format!("{circuits} circuits lie together; the table of their factors ends at {last}, and 1/√n = {factor:.3} was taken"),
        "B.52.5.2 gives 1/√n for cables of unequal size in one conduit or trunking: it is less than any figure of the table"
            .to_owned(),
        format!("lay the circuits in groups of {last} or fewer, or have the factor confirmed"),
        "IEC 60364-5-52, B.52.5.2".to_owned(),
    ])
}
