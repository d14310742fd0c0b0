//! Counts the parts of all circuits into the purchase list: every part once, who uses it, and whether it may be ordered.
//!
//! A line is firm only if every circuit that uses the part is sized and leans on no assumed current; else it is on hold, so that
//! nobody orders what may change. Cable is counted by the metre, conductors and raceways by the foot where the book reckons so.

use std::collections::BTreeMap;

use crate::catalogue::Catalogue;
use crate::design::{Board, Circuit, PurchaseLine, PurchaseStatus, Status};
use crate::finding::Severity;
use crate::quantity::round_to;

/// The purchase list of a design, by description and part number.
///
/// `held` tells for each circuit whether it leans on assumed data.
#[must_use]
pub fn list(circuits: &[Circuit], held: &[bool], boards: &[Board], catalogue: &Catalogue) -> Vec<PurchaseLine> {
    let prices = prices(catalogue);
    let mut lines: BTreeMap<(String, String, bool), PurchaseLine> = BTreeMap::new();
    for (circuit, held) in circuits.iter().zip(held) {
        for part in &circuit.parts {
            // A part without a number is a line of its own kind: it can't be merged with another of the same words only by luck.
            let key = (part.part.clone(), part.description.clone(), part.by_others);
            let line = lines.entry(key).or_insert_with(|| PurchaseLine {
                part: part.part.clone(),
                description: part.description.clone(),
                unit: part.unit.clone(),
                unit_price: price_of(&prices, &part.part),
                status: if part.by_others { PurchaseStatus::ByOthers } else { PurchaseStatus::Firm },
                ..PurchaseLine::default()
            });
            line.quantity += part.quantity * f64::from(circuit.quantity.max(1));
            if !line.used_by.contains(&circuit.tag) {
                line.used_by.push(circuit.tag.clone());
            }
            let hold = *held || circuit.status != Status::Sized || part.part.is_empty();
            if hold && line.status == PurchaseStatus::Firm {
                line.status = PurchaseStatus::Hold;
            }
        }
    }
    for board in boards {
        // A board's parts follow from all that it feeds.
        let open = |(circuit, held): (&Circuit, &bool)| circuit.board == board.name && (*held || circuit.status != Status::Sized);
        let hold = circuits.iter().zip(held).any(open) || !board.findings.iter().all(|own| own.severity == Severity::Note);
        for part in &board.parts {
            let line = lines.entry((part.part.clone(), part.description.clone(), part.by_others)).or_insert_with(|| PurchaseLine {
                part: part.part.clone(),
                description: part.description.clone(),
                unit: part.unit.clone(),
                unit_price: price_of(&prices, &part.part),
                ..PurchaseLine::default()
            });
            line.quantity += part.quantity;
            if !line.used_by.contains(&board.name) {
                line.used_by.push(board.name.clone());
            }
            if hold && line.status == PurchaseStatus::Firm {
                line.status = PurchaseStatus::Hold;
            }
        }
    }
    let mut lines: Vec<PurchaseLine> = lines.into_values().collect();
    for line in &mut lines {
        // Lengths are ordered in whole metres or feet, rounded up; pieces are whole anyway.
        line.quantity =
            if matches!(line.unit.as_str(), "m" | "ft") { round_to(line.quantity, 6).ceil() } else { round_to(line.quantity, 3) };
    }
    lines
}

fn prices(catalogue: &Catalogue) -> BTreeMap<&str, f64> {
    let mut prices = BTreeMap::new();
    macro_rules! family { ($($family:ident),*) => { $(
        for item in &catalogue.$family {
            if let Some(price) = item.price { prices.insert(item.part.as_str(), price); }
        }
    )* }; }
    family!(
        contactors,
        overload_relays,
        motor_breakers,
        moulded_case_breakers,
        fuses,
        isolators,
        soft_starters,
        drives,
        cables,
        accessories,
        line_breakers,
        branch_breakers,
        disconnects,
        raceways,
        control_transformers,
        power_supplies,
        control_protection,
        interposing_relays
    );
    for fuse in &catalogue.fuses {
        if let Some(price) = fuse.base_price {
            prices.insert(fuse.base_part.as_str(), price);
        }
    }
    for relay in &catalogue.overload_relays {
        if let (Some(part), Some(price)) = (&relay.transformer_part, relay.transformer_price) {
            prices.insert(part.as_str(), price);
        }
    }
    prices
}

/// Price of a part; a contactor's part number carries its coil behind the number of the catalogue.
fn price_of(prices: &BTreeMap<&str, f64>, part: &str) -> Option<f64> {
    prices.get(part).copied().or_else(|| part.rsplit_once('-').and_then(|(base, _)| prices.get(base).copied()))
}
