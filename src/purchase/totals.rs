//! Sums over the list. What has no price is counted, never added as nothing.

use std::collections::BTreeMap;

use crate::design::{BoardSum, CurrencySum, NeededSum, PurchaseLine, PurchaseStatus, PurchaseTotals};
use crate::quantity::round_to;

/// Needed and ordered, by currency.
type Sums = BTreeMap<String, (f64, f64)>;

pub(super) fn of(lines: &[PurchaseLine]) -> PurchaseTotals {
    let count = |status: PurchaseStatus| number(lines.iter().filter(|line| line.status == status).count());
    let mut sums = Sums::new();
    for line in lines {
        if let (Some(unit_price), Some(price)) = (line.unit_price, line.price) {
            let sum = sums.entry(line.currency.clone()).or_default();
            sum.0 += unit_price * line.quantity;
            sum.1 += price;
        }
    }
    PurchaseTotals {
        lines: number(lines.len()),
        firm_lines: count(PurchaseStatus::Firm),
        held_lines: count(PurchaseStatus::Hold),
        by_others_lines: count(PurchaseStatus::ByOthers),
        lines_without_price: number(lines.iter().filter(|line| unpriced(line)).count()),
        prices: by_currency(sums),
        longest_lead_days: lines.iter().filter_map(|line| line.lead_days).max(),
        boards: boards(lines),
    }
}

/// A line of nothing has no price to wait for.
fn unpriced(line: &PurchaseLine) -> bool {
    line.status != PurchaseStatus::ByOthers && line.unit_price.is_none() && line.quantity > 0.0
}

fn number(count: usize) -> u32 {
    u32::try_from(count).unwrap_or(u32::MAX)
}

fn by_currency(sums: Sums) -> Vec<CurrencySum> {
    let rounded = |(currency, (needed, ordered)): (String, (f64, f64))| CurrencySum {
        currency,
        needed: round_to(needed, 2),
        ordered: round_to(ordered, 2),
    };
    sums.into_iter().map(rounded).collect()
}

fn boards(lines: &[PurchaseLine]) -> Vec<BoardSum> {
    let mut boards: BTreeMap<&str, (BoardSum, BTreeMap<String, f64>)> = BTreeMap::new();
    for line in lines {
        for quantity in &line.boards {
            let (board, sums) = boards.entry(&quantity.board).or_default();
            board.lines += 1;
            board.lines_without_price += u32::from(unpriced(line));
            if let Some(price) = line.unit_price {
                *sums.entry(line.currency.clone()).or_default() += price * quantity.quantity;
            }
        }
    }
    let needed = |(currency, needed): (String, f64)| NeededSum { currency, needed: round_to(needed, 2) };
    boards
        .into_iter()
        .map(|(name, (board, sums))| BoardSum { board: name.to_owned(), prices: sums.into_iter().map(needed).collect(), ..board })
        .collect()
}
