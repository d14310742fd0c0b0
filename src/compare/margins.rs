//! Margins that were eaten where nothing else tells of it: the same devices and conductors as before, but little is left of a limit.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::causes::Pair;
use super::selection::{self, NO_DEVICE, Selection};
use crate::design::{Check, Circuit, Sense};
use crate::rules::physics::comparison::is_eaten;

/// A margin of which little is left, in a circuit that is chosen as before; of several the smallest.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct MarginChange {
    /// Tag on the new side.
    pub tag: String,
    /// Name of the check.
    pub check: String,
    /// The subject: a role or a run.
    pub subject: String,
    /// The figure that is demanded or occurs now.
    pub value: Option<f64>,
    /// The figure that is allowed or can be done now.
    pub limit: Option<f64>,
    /// The limit is a floor, which the value reaches.
    #[serde(default)]
    pub at_least: bool,
    /// Unit of both.
    pub unit: String,
    /// Distance to the limit before, in per cent of the limit.
    pub old_margin_pct: f64,
    /// The same now.
    pub new_margin_pct: f64,
    /// How many more checks of the circuit lost theirs in the same way.
    pub more: usize,
    /// Columns that bring it about, or what else does, as for consequences.
    pub because: Vec<String>,
}

/// Last parts of a path that are set or told of what is chosen.
const NOT_ORDERED: &[&str] = &["setting_a", "magnetic_trip_a", "setting", "governed_by", "coordination"];

/// Lays out the chosen devices and conductors, without their settings and their checks.
fn chosen(circuit: &Circuit) -> Selection {
    let last = |path: &str| path.rsplit('.').next().is_some_and(|last| NOT_ORDERED.contains(&last));
    let other = |path: &str| NO_DEVICE.iter().any(|part| path.starts_with(part)) || last(path);
    selection::of(circuit).into_iter().filter(|(path, _)| !other(path)).collect()
}

/// Names a check: its name and what it is about.
type Name<'c> = (&'c str, &'c str);

/// The smallest margin of a pair of rows of which little is left, with its causes; none if another device or conductor was chosen.
pub(super) fn eaten(pair: Pair<'_, '_>) -> Option<MarginChange> {
    let (before, now) = (passed(pair.old), passed(pair.new));
    let both = now.into_iter().filter_map(|(name, (check, margin))| Some((name, check, before.get(&name)?.1, margin)));
    let found: Vec<(Name<'_>, &Check, f64, f64)> = both.filter(|(_, _, earlier, margin)| is_eaten(*earlier, *margin)).collect();
    let (name, check, old_margin_pct, new_margin_pct) = *found.iter().min_by(|a, b| a.3.total_cmp(&b.3))?;
    if chosen(pair.old) != chosen(pair.new) {
        return None;
    }
    let path = path(name);
    let because = pair.differences(laid, |changed| changed == path).into_iter().flat_map(|differing| differing.because).collect();
    Some(MarginChange {
        tag: pair.new.tag.clone(),
        check: check.name.clone(),
        subject: check.subject.clone(),
        value: check.value,
        limit: check.limit,
        at_least: check.points() == Sense::AtLeast,
        unit: check.unit.clone(),
        old_margin_pct,
        new_margin_pct,
        more: found.len() - 1,
        because,
    })
}

/// Checks that passed with what is left of their limit; of those that bear one name the tightest counts.
fn passed(circuit: &Circuit) -> BTreeMap<Name<'_>, (&Check, f64)> {
    let mut found: BTreeMap<Name<'_>, (&Check, f64)> = BTreeMap::new();
    for check in circuit.checks.iter().filter(|check| check.passed == Some(true) && check.has_margin()) {
        let Some(margin) = check.margin_pct else { continue };
        let tightest = found.entry((&check.name, &check.subject)).or_insert((check, margin));
        if margin < tightest.1 {
            *tightest = (check, margin);
        }
    }
    found
}

fn path((name, subject): Name<'_>) -> String {
    format!("{name} of {subject}")
}

/// The margins by path, to a tenth of a per cent: the rest is nobody's doing.
fn laid(circuit: &Circuit) -> Selection {
    passed(circuit).into_iter().map(|(name, (_, margin))| (path(name), format!("{margin:.1}"))).collect()
}
