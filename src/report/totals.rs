//! The sums of the purchase list as sentences, for every page that shows the list.

use crate::design::{BoardSum, Held, PurchaseLine, PurchaseStatus, PurchaseTotals};

/// Lines, prices and delivery of a whole list.
#[must_use]
pub fn sentence(totals: &PurchaseTotals) -> String {
    let mut said = format!(
        "{}: {} firm, {} on hold, {} by others; {} without price.",
        lines(totals.lines),
        totals.firm_lines,
        totals.held_lines,
        totals.by_others_lines,
        totals.lines_without_price
    );
    if !totals.prices.is_empty() {
        let sums: Vec<String> = totals
            .prices
            .iter()
            .map(|sum| {
                format!("{} to order, {} of it needed", money(sum.ordered, &sum.currency), money(sum.needed, &sum.currency))
            })
            .collect();
        said.push_str(&format!(" Sum of the lines with a price: {}.", sums.join("; ")));
    }
    if let Some(days) = totals.longest_lead_days {
        let days = if days == 1 { "1 day".to_owned() } else { format!("{days} days") };
        said.push_str(&format!(" Longest delivery that is known: {days}."));
    }
    said
}

/// Lines that are held for a reason.
fn held_words(reason: Held) -> &'static str {
    match reason {
        Held::NoNumber => "without a part number",
        Held::NoLength => "of cable without a length",
        Held::NotSized => "with a circuit that is not sized",
        Held::Decision => "with a circuit or board that needs a decision",
        Held::Assumed => "with a circuit that leans on assumed data",
    }
}

/// Why lines are held, counted, most lines first; empty where none is. A line may have several reasons.
#[must_use]
pub fn held(purchase: &[PurchaseLine]) -> String {
    let held: Vec<&PurchaseLine> = purchase.iter().filter(|line| line.status == PurchaseStatus::Hold).collect();
    if held.is_empty() {
        return String::new();
    }
    let count = |reason: Held| held.iter().filter(|line| line.held_for.contains(&reason)).count();
    let mut counts: Vec<(usize, Held)> = Held::ALL.into_iter().map(|reason| (count(reason), reason)).collect();
    counts.retain(|(count, _)| *count > 0);
    counts.sort_by_key(|(count, reason)| (std::cmp::Reverse(*count), *reason));
    let reasons: Vec<String> = counts.into_iter().map(|(count, reason)| format!("{count} {}", held_words(reason))).collect();
    let on_hold = if held.len() == 1 { "1 is on hold".to_owned() } else { format!("{} are on hold", held.len()) };
    let reasons = if reasons.is_empty() { String::new() } else { format!(": {}", reasons.join(", ")) };
    let bought = purchase.iter().filter(|line| line.status != PurchaseStatus::ByOthers).count();
    format!("of {} to buy {on_hold}{reasons}", lines(u32::try_from(bought).unwrap_or(u32::MAX)))
}

/// The sum of a board.
#[must_use]
pub fn of_board(board: &BoardSum) -> String {
    let sums: Vec<String> = board.prices.iter().map(|sum| money(sum.needed, &sum.currency)).collect();
    let priced = if sums.is_empty() { String::new() } else { format!("; {}", sums.join("; ")) };
    format!("{}, {} without price{priced}", lines(board.lines), board.lines_without_price)
}

/// Name of a board, or that there is none.
#[must_use]
pub fn board_name(board: &BoardSum) -> &str {
    if board.board.is_empty() { "no board named" } else { &board.board }
}

fn lines(count: u32) -> String {
    if count == 1 { "1 line".to_owned() } else { format!("{count} lines") }
}

/// A price as it is printed.
pub(crate) fn money(value: f64, currency: &str) -> String {
    format!("{value:.2} {currency}").trim_end().to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::design::{CurrencySum, NeededSum};

    #[test]
    fn lines_on_hold_are_counted_by_their_reasons() {
        let line = |status, held_for: &[Held]| PurchaseLine { status, held_for: held_for.to_vec(), ..PurchaseLine::default() };
        let list = [
            line(PurchaseStatus::Firm, &[]),
            line(PurchaseStatus::ByOthers, &[]),
            line(PurchaseStatus::Hold, &[Held::Decision, Held::Assumed]),
            line(PurchaseStatus::Hold, &[Held::NotSized]),
            line(PurchaseStatus::Hold, &[Held::NotSized, Held::NoNumber]),
        ];
        assert_eq!(
            held(&list),
            "of 4 lines to buy 3 are on hold: 2 with a circuit that is not sized, 1 without a part number, \
             1 with a circuit or board that needs a decision, 1 with a circuit that leans on assumed data"
        );
        assert_eq!(held(&list[..2]), "");
    }

    #[test]
    fn what_has_no_price_is_counted_and_never_added_as_nothing() {
        let sum = |needed, ordered| CurrencySum { currency: "EUR".to_owned(), needed, ordered };
        let mut totals =
            PurchaseTotals { lines: 3, firm_lines: 2, held_lines: 1, lines_without_price: 3, ..PurchaseTotals::default() };
        assert_eq!(sentence(&totals), "3 lines: 2 firm, 1 on hold, 0 by others; 3 without price.");
        totals.lines_without_price = 1;
        totals.prices = vec![sum(330.0, 350.0)];
        totals.longest_lead_days = Some(20);
        assert_eq!(
            sentence(&totals),
            "3 lines: 2 firm, 1 on hold, 0 by others; 1 without price. Sum of the lines with a price: 350.00 EUR to order, \
             330.00 EUR of it needed. Longest delivery that is known: 20 days."
        );
        let needed = NeededSum { currency: "EUR".to_owned(), needed: 33.0 };
        let board = BoardSum { lines: 2, lines_without_price: 1, prices: vec![needed], ..BoardSum::default() };
        assert_eq!((board_name(&board), of_board(&board).as_str()), ("no board named", "2 lines, 1 without price; 33.00 EUR"));
    }
}
