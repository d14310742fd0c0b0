//! Nameplates and cable tags of a circuit, as far as they are bought.

use super::{Stock, pieces};
use crate::design::labels::{cables, is_parted, isolators};
use crate::design::{Circuit, Part, Run};

pub(super) fn parts(stock: &Stock<'_>, circuit: &Circuit, missing: &mut Vec<String>) -> Vec<Part> {
    if !stock.has("labels") {
        return Vec::new();
    }
    let each = f64::from(1 + isolators(circuit));
    let cables = cables(circuit, &circuit.tag);
    let parted = cables.iter().filter(|tagged_cable| is_parted(circuit, tagged_cable.run)).count();
    let [whole, parted] = [cables.len(), parted].map(|number| f64::from(u32::try_from(number).unwrap_or(u32::MAX)));
    let tags = whole * stock.figure("cable-tags") + parted * stock.figure("isolator-cable-tags");
    let mut parts = Vec::new();
    for (kind, count) in [("nameplate", each), ("cable-tag", tags)] {
        if count > 0.0 {
            let label = stock.catalogue.label(kind).map(|label| (label.part.as_str(), label.description.as_str()));
            parts.push(pieces(label, kind.replace('-', " "), count, missing));
        }
    }
    parts
}

/// The tags of a feeder's cables, as many as are engraved for them.
pub(super) fn of_feeder(stock: &Stock<'_>, run: &Run, missing: &mut Vec<String>) -> Vec<Part> {
    label(stock, "cable-tag", f64::from(run.per_phase.max(1)) * stock.figure("cable-tags"), missing)
}

/// The nameplate of a feeder's way, whose device stands on the board before whatever is known of its cable.
pub(super) fn of_way(stock: &Stock<'_>, missing: &mut Vec<String>) -> Vec<Part> {
    label(stock, "nameplate", 1.0, missing)
}

fn label(stock: &Stock<'_>, kind: &str, count: f64, missing: &mut Vec<String>) -> Vec<Part> {
    if !stock.has("labels") {
        return Vec::new();
    }
    let label = stock.catalogue.label(kind).map(|label| (label.part.as_str(), label.description.as_str()));
    vec![pieces(label, kind.replace('-', " "), count, missing)]
}
