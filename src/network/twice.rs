//! A transformer that stands in the schedule and in the basis too: its load is in the sums of its board twice, once as the row and once
//! as what the boards behind it add up to.

use crate::basis::{Basis, TransformerBasis};
use crate::finding::{Finding, codes};
use crate::load::{Field, Load};
use crate::sizing::resolve;

/// Asks about rows of transformers that the basis seems to describe too.
pub(super) fn asked(loads: &[Load], basis: &Basis) -> Vec<Finding> {
    if basis.transformers.is_empty() {
        return Vec::new();
    }
    let of_transformers = loads.iter().filter(|load| !load.rejected && load.text(Field::LoadKind) == Some("transformer"));
    of_transformers.filter_map(|load| Some(finding(load, &resolve::board(load, basis), described(load, basis)?))).collect()
}

/// The transformer of the basis that a row seems to be: by its name, else by its board and its power.
fn described<'b>(load: &Load, basis: &'b Basis) -> Option<&'b TransformerBasis> {
    let same = |one: &str, other: &str| !one.trim().is_empty() && one.trim().eq_ignore_ascii_case(other.trim());
    let tag = load.tag();
    let board = resolve::board(load, basis);
    // What has no name feeds no board (B106), so that nothing behind it is in a sum.
    let named = || basis.transformers.iter().filter(|transformer| !name(transformer).is_empty());
    let by_name = named().find(|transformer| same(name(transformer), &tag));
    let power = load.number(Field::RatedPowerKva);
    let on_board = |transformer: &&TransformerBasis| transformer.from.as_deref().is_some_and(|from| same(from, &board));
    let alike = |transformer: &&TransformerBasis| power.is_some() && transformer.kva == power && on_board(transformer);
    by_name.or_else(|| named().find(alike))
}

fn name(transformer: &TransformerBasis) -> &str {
    transformer.name.as_deref().unwrap_or_default().trim()
}

fn finding(load: &Load, board: &str, transformer: &TransformerBasis) -> Finding {
    let from = transformer.from.as_deref().map_or("the supply", str::trim);
    let to = transformer.to.as_deref().map_or(String::new(), |to| format!(" to {}", to.trim()));
    let what = format!(
        "the row {} on {board} and [[transformer]] {} of the basis, from {from}{to}, may be one transformer",
        load.tag(),
        name(transformer)
    );
    Finding::new(&codes::B338_TRANSFORMER_TWICE, what)
        .at(load.place_of(Field::Tag))
        .why("the sums of that board then hold it twice, as the row and as the load of the boards behind it, and the list has its primary device and conductors once to buy and once by others")
        .cure("keep [[transformer]] and take the row out if boards of the schedule stand behind it, or keep the row alone; nothing, if they are two")
}
