//! Lists the purchases of a whole design: every part once, how many, for which circuits and boards, what may be ordered, what waits and
//! why, spares, packs, drums and prices.
//!
//! A part is firm for a circuit only if that circuit is sized and leans on no assumed data; else it is on hold, so that nobody orders
//! what may change. A line of which any part is on hold is on hold, and shows both quantities.

use std::collections::BTreeSet;

use crate::basis::Basis;
use crate::catalogue::{Catalogue, Register, material_of};
use crate::design::{Board, Circuit, PurchaseLine, PurchaseTotals};
use crate::finding::{Finding, codes};
use crate::rules::RuleBook;

mod cut;
pub mod kinds;
mod lines;
mod order;
mod totals;

/// Basis, rule book and catalogue by which parts are counted.
#[derive(Clone, Copy)]
pub struct Tools<'a> {
    /// Basis.
    pub basis: &'a Basis,
    /// Rule book.
    pub book: &'static dyn RuleBook,
    /// Catalogue.
    pub catalogue: &'a Catalogue,
}

/// The purchase list of a design with its sums and findings.
#[derive(Clone, Debug, Default)]
pub struct Purchase {
    /// Lines.
    pub lines: Vec<PurchaseLine>,
    /// Sums.
    pub totals: PurchaseTotals,
    /// Findings that belong to no circuit.
    pub findings: Vec<Finding>,
}

/// The purchase list of a design, by family and size.
///
/// `assumed` tells for each circuit whether its current leans on assumed data.
#[must_use]
pub fn list(circuits: &[Circuit], assumed: &[bool], boards: &[Board], tools: Tools<'_>) -> Purchase {
    let register = Register::new(tools.catalogue);
    let mut findings = Vec::new();
    let lines: Vec<PurchaseLine> = lines::collect(circuits, assumed, boards, tools.basis, &register)
        .into_iter()
        .map(|collected| order::make_up(collected, &register, tools, &mut findings))
        .collect();
    let totals = totals::of(&lines);
    findings.extend(say(&lines, &totals, tools));
    Purchase { lines, totals, findings }
}

/// Boards whose feeder and incoming device wait until somebody decides, for the board itself or for what stands behind it.
#[must_use]
pub fn boards_that_wait<'c>(circuits: &'c [Circuit], boards: &'c [Board], basis: &Basis) -> BTreeSet<&'c str> {
    lines::boards_that_wait(circuits, boards, basis)
}

fn say(lines: &[PurchaseLine], totals: &PurchaseTotals, tools: Tools<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    let lacking: Vec<String> =
        material_of(tools.book.key()).into_iter().filter(|family| tools.catalogue.lacks.contains(family)).map(words).collect();
    if !lacking.is_empty() && !lines.is_empty() {
        findings.push(
            Finding::new(
                &codes::P104_FAMILIES_LACKING,
                format!("not counted, because the catalogue lacks them: {}", lacking.join(", ")),
            )
            .cure("add their files, as `catalogue export` writes them"),
        );
    }
    let without = totals.lines_without_price;
    if without > 0 && !totals.prices.is_empty() {
        let lines = if without == 1 { "1 line".to_owned() } else { format!("{without} lines") };
        findings.push(
            Finding::new(&codes::P101_NO_PRICE, format!("{lines} of the purchase list without price"))
                .why("the sums leave them out")
                .cure("enter their prices in prices.csv of the catalogue"),
        );
    }
    if totals.prices.len() > 1 {
        let named = |currency: &str| if currency.is_empty() { "not stated".to_owned() } else { currency.to_owned() };
        let all: Vec<String> = totals.prices.iter().map(|sum| named(&sum.currency)).collect();
        findings.push(
            Finding::new(&codes::P102_CURRENCY, format!("prices in several currencies: {}", all.join(", ")))
                .why("each has a sum of its own; nothing is converted")
                .cure("enter all prices in one currency, and state it as [purchase] currency in the basis"),
        );
    }
    findings
}

fn words(family: &str) -> String {
    family.replace('_', " ")
}

#[cfg(test)]
mod tests;
