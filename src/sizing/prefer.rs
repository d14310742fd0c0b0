//! The preference `cheapest`: candidates by the price of the price list, else of their family. It orders candidates and admits none.

use std::collections::BTreeMap;

use crate::catalogue::Register;
use crate::load::Case;
use crate::sizing::Tools;

/// Puts candidates in the order of their prices where the project prefers that; those without a price, or in a currency that fewer of
/// them have, come last in their order: an unknown price is not a low one, and nothing is converted.
pub(super) fn by_price<T>(candidates: &mut [T], part_of: impl Fn(&T) -> String, case: &Case, tools: &Tools<'_>) {
    if !case.wishes.cheapest || candidates.len() < 2 {
        return;
    }
    let register = Register::new(tools.catalogue);
    let prices: Vec<Option<(f64, &str)>> = candidates
        .iter()
        .map(|candidate| {
            let part = register.part(&part_of(candidate))?;
            Some((part.price?, part.currency.trim()))
        })
        .collect();
    let mut count: BTreeMap<String, usize> = BTreeMap::new();
    prices.iter().flatten().for_each(|(_, currency)| *count.entry(currency.to_uppercase()).or_default() += 1);
    let Some((usual, _)) = count.into_iter().max_by_key(|(_, times)| *times) else { return };
    let price_of = |price: &Option<(f64, &str)>| {
        price.filter(|(_, currency)| currency.to_uppercase() == usual).map_or(f64::INFINITY, |(price, _)| price)
    };
    let by_part: BTreeMap<String, f64> =
        candidates.iter().zip(&prices).map(|(candidate, price)| (part_of(candidate), price_of(price))).collect();
    let price = |candidate: &T| by_part.get(&part_of(candidate)).copied().unwrap_or(f64::INFINITY);
    candidates.sort_by(|one, other| price(one).total_cmp(&price(other)));
}
