//! Limits beyond which values of a row contradict each other. They raise findings, for which a row may wait, and change no figure of it.

use crate::finding::{Finding, codes};
use crate::load::{Field, Load, Machine};
use crate::quantity::{Amperes, fits, round_to};
use crate::rules::table::Figure;

table! {
    /// Limits beyond which values contradict each other.
    PLAUSIBILITY, PLAUSIBILITY_ROWS: Figure, "plausibility"
}

/// A limit by its name. One that the table lacks is not a number, which no value exceeds; a test finds it.
#[must_use]
pub fn plausible(name: &str) -> f64 {
    PLAUSIBILITY_ROWS.iter().find(|row| row.name == name).map_or(f64::NAN, |row| row.value)
}

/// Tells whether two figures differ by more than a share of the second and by more than the least difference that counts.
#[must_use]
pub fn apart(one: f64, other: f64, share: &str, least: &str) -> bool {
    let away = (one - other).abs();
    away > plausible(share) * other && away > plausible(least)
}

/// Tells whether a value that is written twice, in two units or in two places, differs from itself.
#[must_use]
pub fn written_twice(one: f64, other: f64) -> bool {
    (one - other).abs() > plausible("written-twice-share") * one.max(other)
}

/// How far a value that is written twice may differ from itself, per cent of the larger.
#[must_use]
pub fn written_twice_pct() -> f64 {
    round_to(plausible("written-twice-share") * 100.0, 0)
}

/// Holds the markings of equipment against what it draws.
pub(crate) fn markings(machine: &Machine, full_load: Amperes, load: &Load) -> Vec<Finding> {
    [ampacity_below(machine, full_load, load), maximum_below(machine, full_load, load)].into_iter().flatten().collect()
}

/// A marked circuit ampacity holds what the load draws and allowances above it, so one that lies below is a slip.
fn ampacity_below(machine: &Machine, full_load: Amperes, load: &Load) -> Option<Finding> {
    let marked = machine.minimum_ampacity.filter(|marked| !fits(full_load.0, marked.0))?;
    let finding = Finding::new(
        &codes::R107_AMPACITY_BELOW_CURRENT,
        format!("the marked circuit ampacity of {} A is below the {} A that the load draws", marked.0, round_to(full_load.0, 2)),
    )
    .at(load.place_of(Field::MinimumCircuitAmpacityA))
    .why("the larger of the two is used; one of them may be another load's")
    .cure("compare the row with the nameplate");
    Some(finding)
}

/// A marked largest device carries what the equipment draws, so one that lies below is a slip.
fn maximum_below(machine: &Machine, full_load: Amperes, load: &Load) -> Option<Finding> {
    let marked = machine.maximum_protection.filter(|marked| !fits(full_load.0, marked.0))?;
    let finding = Finding::new(
        &codes::R110_MAXIMUM_BELOW_CURRENT,
        format!(
            "the marked largest device of {} A does not carry the {} A that the load draws",
            marked.0,
            round_to(full_load.0, 2)
        ),
    )
    .at(load.place_of(Field::MaximumProtectionA))
    .why("a device beyond the marking is not allowed, and one within it opens while the load runs")
    .cure("compare the row with the nameplate");
    Some(finding)
}
