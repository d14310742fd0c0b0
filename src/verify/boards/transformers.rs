//! Transformers: their loading by the demand of all boards that they feed, and the rated currents of their windings.

use crate::basis::TransformerBasis;
use crate::design::{BoardTransformer, Check};
use crate::finding::codes;
use crate::rules::physics::nominal::is_same_voltage;
use crate::verify::boards::tree::{Before, Place};
use crate::verify::boards::{Boards, Say, near, near_option};

/// Both are the same transformer of the basis.
fn fed_by(one: Option<&TransformerBasis>, other: Option<&TransformerBasis>) -> bool {
    one.zip(other).is_some_and(|(one, other)| std::ptr::eq(one, other))
}

pub(super) fn agree(all: &Boards<'_>, index: usize, say: Say<'_>) {
    let place = &all.tree.places[index];
    let Some(told) = &place.board.transformer else { return };
    let load = place.transformer.map_or_else(|| Load::of_supply(all, place), |transformer| Load::of(all, place, transformer));
    figures(all, index, told, &load, say);
    secondary_protection(all, place, told, say);
    let checked = place.board.checks.iter().any(|check| {
        check.name == "transformer-loading"
            && (check.passed.is_none() || check.value.zip(load.pct()).is_some_and(|(one, other)| near(one, other, 2e-2)))
    });
    if !checked {
        say(
            &codes::V802_CHECK_MISSING,
            format!("the loading of transformer {} is not checked, or with another figure", told.name),
        );
    }
}

/// A transformer by the basis, and what the boards behind it ask for.
struct Load {
    rating_kva: Option<f64>,
    secondary_v: f64,
    demand_kva: f64,
    single_phase: bool,
}

impl Load {
    /// A transformer that the basis describes by itself.
    fn of(all: &Boards<'_>, place: &Place<'_>, transformer: &TransformerBasis) -> Self {
        let fed = |board: &usize| fed_by(all.tree.places[*board].transformer, Some(transformer));
        let boards = || (0..all.tree.places.len()).filter(fed);
        let secondary_v = transformer.secondary_voltage_v.unwrap_or(place.board.voltage_v);
        // A board between a line and the neutral of three phases has 0.577 of the voltage between lines.
        let star = secondary_v / 3f64.sqrt();
        let off_star = |board: usize| !is_same_voltage(all.tree.places[board].board.voltage_v, star);
        Self {
            rating_kva: transformer.kva,
            secondary_v,
            demand_kva: boards().map(|board| demand_kva(all, board, secondary_v)).sum(),
            single_phase: boards().all(|board| all.tree.phases(board) == 1 && off_star(board)),
        }
    }

    /// The transformer of the supply, which feeds whatever names no other source.
    fn of_supply(all: &Boards<'_>, place: &Place<'_>) -> Self {
        let supply = &all.basis.supply;
        let secondary_v = supply.voltage_v.unwrap_or(place.board.voltage_v);
        let fed = |board: &usize| matches!(all.tree.places[*board].before, Before::Supply);
        // The demand behind another transformer flows at the voltage of its secondary, and amperes of two voltages have no sum.
        let volts = |board: usize| match all.tree.places[board].transformer {
            Some(between) => between.secondary_voltage_v.unwrap_or(all.tree.places[board].board.voltage_v),
            None => secondary_v,
        };
        Self {
            rating_kva: supply.transformer_kva,
            secondary_v,
            demand_kva: (0..all.tree.places.len()).filter(fed).map(|board| demand_kva(all, board, volts(board))).sum(),
            single_phase: supply.phases == Some(1),
        }
    }

    /// Rating, where one is stated, and the voltage at which it is loaded.
    fn rated_kva(&self) -> Option<f64> {
        self.rating_kva.filter(|rating| *rating > 0.0 && self.secondary_v > 0.0)
    }

    fn pct(&self) -> Option<f64> {
        self.rated_kva().map(|kva| 100.0 * self.demand_kva / kva)
    }

    /// Rated current of a winding of this voltage.
    fn rated_a(&self, volts: f64) -> Option<f64> {
        let kva_of_an_ampere = if self.single_phase { volts / 1000.0 } else { three_phase_kva(volts, 1.0) };
        self.rated_kva().filter(|_| volts > 0.0).map(|kva| kva / kva_of_an_ampere)
    }
}

fn three_phase_kva(volts: f64, amperes: f64) -> f64 {
    3f64.sqrt() * volts * amperes / 1000.0
}

/// Demand of a board that is fed at this voltage; on two wires a board takes its own.
fn demand_kva(all: &Boards<'_>, index: usize, volts: f64) -> f64 {
    let board = all.tree.places[index].board;
    match all.tree.phases(index) {
        1 => (if board.voltage_v > 0.0 { board.voltage_v } else { volts }) * board.demand_current_a / 1000.0,
        _ => three_phase_kva(volts, board.demand_current_a),
    }
}

/// Demand, loading and rated currents are those that follow from the basis and the boards.
fn figures(all: &Boards<'_>, index: usize, told: &BoardTransformer, load: &Load, say: Say<'_>) {
    let place = &all.tree.places[index];
    let parent = all.tree.parent(index);
    let primary = parent.map(|parent| all.tree.places[parent].board.voltage_v).and_then(|volts| load.rated_a(volts));
    // On the supply its primary has the supply's voltage, unless that is the one of its secondary.
    let at_supply = parent.is_none() && place.transformer.is_some();
    let supply_v = all.basis.supply.voltage_v.filter(|volts| *volts > load.secondary_v);
    let of_supply = supply_v.and_then(|volts| load.rated_a(volts));
    let secondary = load.rated_a(load.secondary_v);
    let so = near(told.demand_kva, load.demand_kva, 5e-3)
        && near_option(told.loading_pct, load.pct(), 2e-2)
        && near_option(told.secondary_a, secondary, 2e-3)
        && (near_option(told.primary_a, primary, 2e-3) || at_supply && near_option(told.primary_a, of_supply, 2e-3));
    if !so {
        say(
            &codes::V859_TRANSFORMER,
            format!(
                "transformer {} is said to carry {} kVA ({:?} %) with {:?} and {:?} A; its boards ask for {:.3} kVA ({:?} %), its windings have {primary:?} and {secondary:?} A",
                told.name,
                told.demand_kva,
                told.loading_pct,
                told.primary_a,
                told.secondary_a,
                load.demand_kva,
                load.pct()
            ),
        );
    }
}

/// Where the largest device at the secondary is told, all that stand there together are held against it.
fn secondary_protection(all: &Boards<'_>, place: &Place<'_>, told: &BoardTransformer, say: Say<'_>) {
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
}
