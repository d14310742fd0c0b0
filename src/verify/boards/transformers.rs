//! Transformers: their loading by the demand of all boards that they feed, and the rated currents of their windings.

use crate::basis::TransformerBasis;
use crate::design::Check;
use crate::finding::codes;
use crate::rules::physics::plausibility::plausible;
use crate::verify::boards::tree::Before;
use crate::verify::boards::{Boards, Say, near, near_option};

/// Both are the same transformer of the basis.
fn fed_by(one: Option<&TransformerBasis>, other: Option<&TransformerBasis>) -> bool {
    one.zip(other).is_some_and(|(one, other)| std::ptr::eq(one, other))
}

pub(super) fn agree(all: &Boards<'_>, index: usize, say: Say<'_>) {
    let place = &all.tree.places[index];
    let Some(told) = &place.board.transformer else { return };
    let supply = &all.basis.supply;
    let three = |volts: f64, amperes: f64| 3f64.sqrt() * volts * amperes / 1000.0;
    // On two wires a board takes its own voltage.
    let asks = |other: &usize, volts: f64| {
        let board = all.tree.places[*other].board;
        match all.tree.phases(*other) {
            1 => (if board.voltage_v > 0.0 { board.voltage_v } else { volts }) * board.demand_current_a / 1000.0,
            _ => three(volts, board.demand_current_a),
        }
    };
    let every_board = 0..all.tree.places.len();
    let (rating, secondary, demanded): (Option<f64>, f64, f64) = match place.transformer {
        Some(transformer) => {
            let fed = |other: &usize| all.tree.places[*other].transformer.is_some_and(|other| std::ptr::eq(other, transformer));
            let secondary = transformer.secondary_voltage_v.unwrap_or(place.board.voltage_v);
            (transformer.kva, secondary, every_board.filter(fed).map(|other| asks(&other, secondary)).sum())
        }
        None => {
            let fed = |other: &usize| matches!(all.tree.places[*other].before, Before::Supply);
            let secondary = supply.voltage_v.unwrap_or(place.board.voltage_v);
            // What another transformer feeds flows at the voltage of its secondary, and amperes of two voltages have no sum.
            let volts = |other: usize| match all.tree.places[other].transformer {
                Some(between) => between.secondary_voltage_v.unwrap_or(all.tree.places[other].board.voltage_v),
                None => secondary,
            };
            (supply.transformer_kva, secondary, every_board.filter(fed).map(|other| asks(&other, volts(other))).sum())
        }
    };
    let single = match place.transformer {
        Some(transformer) => {
            (0..all.tree.places.len()).filter(|other| fed_by(all.tree.places[*other].transformer, Some(transformer))).all(
                |other| {
                    // A board between a line and the neutral of three phases has 0.577 of the voltage between lines.
                    let star = secondary / 3f64.sqrt();
                    let off = (all.tree.places[other].board.voltage_v - star).abs();
                    all.tree.phases(other) == 1 && off > plausible("voltage-tolerance") * star
                },
            )
        }
        None => supply.phases == Some(1),
    };
    let power_of_an_ampere = |volts: f64| if single { volts / 1000.0 } else { three(volts, 1.0) };
    let rated = |volts: f64| rating.filter(|rating| *rating > 0.0 && volts > 0.0).map(|kva| kva / power_of_an_ampere(volts));
    let primary = all.tree.parent(index).map(|parent| all.tree.places[parent].board.voltage_v).and_then(rated);
    // On the supply its primary has the supply's voltage, unless that is the one of its secondary.
    let at_supply = all.tree.parent(index).is_none() && place.transformer.is_some();
    let of_supply = supply.voltage_v.filter(|volts| *volts > secondary).and_then(rated);
    let loading = rating.filter(|rating| *rating > 0.0).map(|kva| 100.0 * demanded / kva);
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
    let devices = || all.tree.places.iter().filter(|other| fed_by(other.transformer, place.transformer)).map(|other| other.board);
    let sum: f64 = devices().map(|board| board.feeder_protection_a).sum();
    let chosen = place.transformer.is_some() && devices().all(|board| !board.feeder.kind.is_empty());
    let judged = |most: f64| {
        let held = |check: &Check| check.value.is_some_and(|value| near(value, sum, 1e-6)) && check.limit == Some(most);
        place.board.checks.iter().any(|check| check.name == "transformer-secondary-protection" && held(check))
    };
    if told.secondary_protection_a.filter(|_| told.largest && chosen).is_some_and(|most| !judged(most)) {
        say(
            &codes::V802_CHECK_MISSING,
            format!("devices of {sum} A at the secondary of transformer {} are not checked against the largest", told.name),
        );
    }
    let checked = place.board.checks.iter().any(|check| {
        check.name == "transformer-loading"
            && (check.passed.is_none() || check.value.zip(loading).is_some_and(|(one, other)| near(one, other, 2e-2)))
    });
    if !checked {
        say(
            &codes::V802_CHECK_MISSING,
            format!("the loading of transformer {} is not checked, or with another figure", told.name),
        );
    }
}
