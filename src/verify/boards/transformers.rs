//! Transformers: their loading by the demand of all boards that they feed, and the rated currents of their windings.

use crate::finding::codes;
use crate::verify::boards::tree::Before;
use crate::verify::boards::{Boards, Say, near, near_option};

pub(super) fn agree(all: &Boards<'_>, index: usize, say: Say<'_>) {
    let place = &all.tree.places[index];
    let Some(told) = &place.board.transformer else { return };
    let supply = &all.basis.supply;
    let (rating, secondary, fed): (Option<f64>, f64, Vec<usize>) = match place.transformer {
        Some(own) => {
            let fed = |other: &usize| all.tree.places[*other].transformer.is_some_and(|other| std::ptr::eq(other, own));
            (own.kva, own.secondary_voltage_v.unwrap_or(place.board.voltage_v), (0..all.tree.places.len()).filter(fed).collect())
        }
        None => {
            let fed = |other: &usize| matches!(all.tree.places[*other].before, Before::Supply);
            (supply.transformer_kva, place.board.voltage_v, (0..all.tree.places.len()).filter(fed).collect())
        }
    };
    let power = |volts: f64, amperes: f64| 3f64.sqrt() * volts * amperes / 1000.0;
    let demanded: f64 = fed.iter().map(|own| power(secondary, all.tree.places[*own].board.demand_current_a)).sum();
    let rated = |volts: f64| rating.filter(|own| *own > 0.0 && volts > 0.0).map(|kva| kva / power(volts, 1.0));
    let primary = all.tree.parent(index).map(|own| all.tree.places[own].board.voltage_v).and_then(rated);
    // On the supply its primary has the supply's voltage, unless that is the one of its secondary.
    let at_supply = all.tree.parent(index).is_none() && place.transformer.is_some();
    let of_supply = supply.voltage_v.filter(|volts| *volts > secondary).and_then(rated);
    let loading = rating.filter(|own| *own > 0.0).map(|kva| 100.0 * demanded / kva);
    let so = near(told.demand_kva, demanded, 5e-3)
        && near_option(told.loading_pct, loading, 2e-2)
        && near_option(told.secondary_a, rated(secondary), 2e-3)
        && (near_option(told.primary_a, primary, 2e-3) || at_supply && near_option(told.primary_a, of_supply, 2e-3));
    if !so {
        say(
            &codes::V859_TRANSFORMER,
            format!(
                "transformer {} is said to carry {} kVA ({:?} %) with {:?} and {:?} A; its boards ask for {demanded:.3} kVA ({loading:?} %), its windings have {primary:?} and {:?} A",
                told.name,
                told.demand_kva,
                told.loading_pct,
                told.primary_a,
                told.secondary_a,
                rated(secondary)
            ),
        );
    }
    let checked = place.board.checks.iter().any(|own| {
        own.name == "transformer-loading"
            && (own.passed.is_none() || own.value.zip(loading).is_some_and(|(one, other)| near(one, other, 2e-2)))
    });
    if !checked {
        say(
            &codes::V802_CHECK_MISSING,
            format!("the loading of transformer {} is not checked, or with another figure", told.name),
        );
    }
}
