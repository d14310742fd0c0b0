//! Fuses: from the smallest that carries the load and rides through the start upward, or from the largest admitted downward.

use crate::catalogue::Fuse;
use crate::load::ProtectionKind;
use crate::quantity::Amperes;
use crate::record::Record;
use crate::rules::ProtectionBounds;
use crate::sizing::Tools;
use crate::sizing::assembly::protection::{ChosenProtection, Demand, Device, common, in_order, of_book};
use crate::sizing::judge::{Verdict, at_least, of_fuse_start};

/// Fuses of a kind that are tried; further ones let through more, or carry less, and gain nothing.
const FUSES_TRIED: usize = 8;

pub(super) fn fuses<'a>(
    kind: ProtectionKind,
    bounds: &ProtectionBounds,
    demand: &Demand<'_>,
    tools: &Tools<'a>,
) -> Vec<ChosenProtection<'a>> {
    let of_kind = tools.catalogue.fuses.iter().filter(|fuse| fuse.kind == kind.word());
    let admitted = in_order(bounds, of_kind, |fuse| Amperes(fuse.rating_a));
    admitted.into_iter().take(FUSES_TRIED).map(|(row, beyond)| fuse(kind, row, bounds, beyond, demand, tools)).collect()
}

fn fuse<'a>(
    kind: ProtectionKind,
    fuse: &'a Fuse,
    bounds: &ProtectionBounds,
    beyond: Option<String>,
    demand: &Demand<'_>,
    tools: &Tools<'a>,
) -> ChosenProtection<'a> {
    let device = Device::Fuse(fuse);
    let rating = Amperes(fuse.rating_a);
    let mut verdict = Verdict::default();
    if let Some(reference) = bounds.start_reference {
        verdict.checks.push(at_least("fuse-at-start", fuse.rating_a, bounds.least.0, "A", reference));
    }
    let holds = tools.book.fuse_at_start(kind, rating, &demand.ask, &mut Record::silent());
    verdict.checks.extend(holds.iter().map(of_fuse_start));
    common(demand, device, rating, tools, &mut verdict);
    verdict.checks.extend(of_book(demand, bounds, rating));
    ChosenProtection { beyond, checks: verdict.checks, ..ChosenProtection::new(device, rating, bounds, demand) }
}
