//! Prices side by side: of parts that are bought on both sides, and the sums of both lists.

use std::collections::{BTreeMap, BTreeSet};

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::design::{CurrencySum, PurchaseLine, PurchaseStatus, PurchaseTotals};

/// A part that is bought on both sides at another price.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PriceChange {
    /// Part number.
    pub part: String,
    /// What it is.
    pub description: String,
    /// `pc`, `m` or `ft`, of which this is the price.
    pub unit: String,
    /// Before; null where none was known.
    pub old_price: Option<f64>,
    /// After; null where none is known any more.
    pub new_price: Option<f64>,
    /// Currency before.
    pub old_currency: String,
    /// Currency after.
    pub currency: String,
}

/// A sum of the purchase list that differs.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct SumChange {
    /// Currency; empty if nobody states it.
    pub currency: String,
    /// Price of what circuits need, before.
    pub old_needed: f64,
    /// The same after.
    pub needed: f64,
    /// Price of the orders with spares, allowances and whole packs, before.
    pub old_ordered: f64,
    /// The same after.
    pub ordered: f64,
    /// Lines of the list without a price, which are in no sum, before.
    pub old_lines_without_price: u32,
    /// The same after.
    pub lines_without_price: u32,
}

/// Prices nearer to each other than this are one.
const ALIKE: f64 = 1e-6;

/// Parts that are bought on both sides at another price, or whose price is known on one side alone.
pub(super) fn of_parts(old: &[PurchaseLine], new: &[PurchaseLine]) -> Vec<PriceChange> {
    let bought = |line: &&PurchaseLine| line.status != PurchaseStatus::ByOthers && !line.part.is_empty();
    let before: BTreeMap<&str, &PurchaseLine> = old.iter().filter(bought).map(|line| (line.part.as_str(), line)).collect();
    let mut seen = BTreeSet::new();
    let differs = |line: &&PurchaseLine| {
        let before = before.get(line.part.as_str())?;
        (!is_same(before, line)).then(|| PriceChange {
            part: line.part.clone(),
            description: line.description.clone(),
            unit: line.unit.clone(),
            old_price: before.unit_price,
            new_price: line.unit_price,
            old_currency: before.currency.clone(),
            currency: line.currency.clone(),
        })
    };
    new.iter().filter(bought).filter(|line| seen.insert(line.part.as_str())).filter_map(|line| differs(&line)).collect()
}

fn is_same(one: &PurchaseLine, other: &PurchaseLine) -> bool {
    match (one.unit_price, other.unit_price) {
        (Some(before), Some(now)) => (before - now).abs() < ALIKE && one.currency == other.currency,
        (before, now) => before.is_none() && now.is_none(),
    }
}

/// The sums of both lists, by currency, where they differ.
pub(super) fn sums(old: &PurchaseTotals, new: &PurchaseTotals) -> Vec<SumChange> {
    let of = |totals: &PurchaseTotals, currency: &str| {
        totals.prices.iter().find(|sum| sum.currency == currency).cloned().unwrap_or_default()
    };
    let currencies: BTreeSet<&str> = old.prices.iter().chain(&new.prices).map(|sum| sum.currency.as_str()).collect();
    let both = currencies.into_iter().map(|currency| (currency, of(old, currency), of(new, currency)));
    let differing = both.filter(|(_, one, other): &(&str, CurrencySum, CurrencySum)| {
        (one.needed - other.needed).abs() >= ALIKE || (one.ordered - other.ordered).abs() >= ALIKE
    });
    let change = |(currency, one, other): (&str, CurrencySum, CurrencySum)| SumChange {
        currency: currency.to_owned(),
        old_needed: one.needed,
        needed: other.needed,
        old_ordered: one.ordered,
        ordered: other.ordered,
        old_lines_without_price: old.lines_without_price,
        lines_without_price: new.lines_without_price,
    };
    differing.map(change).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(part: &str, price: Option<f64>) -> PurchaseLine {
        PurchaseLine { part: part.to_owned(), unit_price: price, currency: "EUR".to_owned(), ..PurchaseLine::default() }
    }

    /// What one side alone buys is no change of a price: the list of parts tells it.
    #[test]
    fn a_price_that_rose_came_or_went_is_told_and_one_that_stays_is_not() {
        let old =
            [line("rose", Some(10.0)), line("came", None), line("went", Some(5.0)), line("same", Some(3.0)), line("gone", None)];
        let new = [
            line("rose", Some(12.5)),
            line("came", Some(7.0)),
            line("went", None),
            line("same", Some(3.0)),
            line("new", Some(1.0)),
        ];
        let told: Vec<(String, Option<f64>, Option<f64>)> =
            of_parts(&old, &new).into_iter().map(|change| (change.part, change.old_price, change.new_price)).collect();
        let expected = [("rose", Some(10.0), Some(12.5)), ("came", None, Some(7.0)), ("went", Some(5.0), None)];
        assert_eq!(told, expected.map(|(part, before, now)| (part.to_owned(), before, now)));
        let pounds = PurchaseLine { currency: "GBP".to_owned(), ..line("same", Some(3.0)) };
        assert_eq!(of_parts(&old, &[pounds]).len(), 1, "another currency is another price");
        let by_others = PurchaseLine { status: PurchaseStatus::ByOthers, ..line("rose", Some(99.0)) };
        assert_eq!(of_parts(&old, &[by_others]), []);
    }

    #[test]
    fn a_currency_that_one_side_lacks_is_a_sum_of_nothing_there() {
        let totals = |currency: &str, needed: f64| PurchaseTotals {
            prices: vec![CurrencySum { currency: currency.to_owned(), needed, ordered: needed + 1.0 }],
            ..PurchaseTotals::default()
        };
        let told = |old, new| {
            let all = sums(&old, &new).into_iter();
            all.map(|change| (change.currency, change.old_needed, change.needed)).collect::<Vec<_>>()
        };
        assert_eq!(told(totals("EUR", 10.0), totals("EUR", 10.0)), []);
        let both = [("EUR".to_owned(), 10.0, 0.0), ("GBP".to_owned(), 0.0, 12.0)];
        assert_eq!(told(totals("EUR", 10.0), totals("GBP", 12.0)), both);
    }
}
