//! The list over invented circuits: every count is shown beside its case.

use proptest::prelude::*;

use super::*;
use crate::catalogue::{self, Price};
use crate::design::{Part, PurchaseStatus, Status};
use crate::rules;

fn part(number: &str, quantity: f64) -> Part {
    Part::pieces(number, "invented", quantity)
}

fn cable(number: &str, length: f64, cuts: u32) -> Part {
    let run = "motor".to_owned();
    Part { unit: "m".to_owned(), cuts, run, ..Part::pieces(number, "invented cable", length * f64::from(cuts)) }
}

fn circuit(tag: &str, board: &str, quantity: u32, status: Status, parts: Vec<Part>) -> Circuit {
    Circuit { tag: tag.to_owned(), board: board.to_owned(), quantity, status, parts, ..Circuit::default() }
}

/// Part, price, currency, pieces in a pack, days to delivery.
type Priced<'a> = (&'a str, Option<f64>, &'a str, Option<f64>, Option<u32>);

fn priced(prices: &[Priced<'_>]) -> Catalogue {
    let mut range = catalogue::builtin("iec").clone();
    range.prices = prices
        .iter()
        .map(|(part, price, currency, packing_quantity, lead_days)| Price {
            part: (*part).to_owned(),
            price: *price,
            currency: (*currency).to_owned(),
            packing_quantity: *packing_quantity,
            lead_days: *lead_days,
            remark: String::new(),
        })
        .collect();
    range
}

fn bought(circuits: &[Circuit], basis: &Basis, catalogue: &Catalogue) -> Purchase {
    let book = rules::book("iec", None).expect("the book is there");
    list(circuits, &vec![false; circuits.len()], &[], Tools { basis, book, catalogue })
}

fn line<'p>(purchase: &'p Purchase, number: &str) -> &'p PurchaseLine {
    let mut lines = purchase.lines.iter().filter(|line| line.part == number);
    let line = lines.next().unwrap_or_else(|| panic!("{number} is not on the list"));
    assert!(lines.next().is_none(), "{number} stands twice");
    line
}

const RELAY: &str = "GEN-RB1-1-10";

#[test]
fn firm_and_held_stand_beside_each_other_with_the_reason() {
    use Status::{NeedsDecision, Sized};
    let mut assumed = circuit("P-3", "MCC-1", 1, Sized, vec![part(RELAY, 1.0)]);
    assumed.findings = vec![Finding::new(&codes::L320_ASSUMED, "assumed for this row: start time")];
    let circuits = [
        circuit("P-1", "MCC-1", 2, Sized, vec![part(RELAY, 1.0)]),
        circuit("P-2", "MCC-2", 3, NeedsDecision, vec![part(RELAY, 1.0), part("GEN-T-4", 6.0)]),
        assumed,
    ];
    let purchase = bought(&circuits, &Basis::default(), catalogue::builtin("iec"));
    // 2 firm; 3 wait for a decision and 1 for data: 4 of 6 held.
    let purchase_line = line(&purchase, RELAY);
    assert_eq!((purchase_line.quantity, purchase_line.firm_quantity, purchase_line.held_quantity), (6.0, 2.0, 4.0));
    assert_eq!(
        (purchase_line.status, purchase_line.held_because.as_str()),
        (PurchaseStatus::Hold, "needs a decision: P-2; assumed data: P-3")
    );
    let boards: Vec<(&str, f64)> =
        purchase_line.boards.iter().map(|quantity| (quantity.board.as_str(), quantity.quantity)).collect();
    assert_eq!(boards, [("MCC-1", 3.0), ("MCC-2", 3.0)]);
    let waiting: Vec<(f64, &str)> =
        purchase_line.boards.iter().map(|quantity| (quantity.held_quantity, quantity.held_because.as_str())).collect();
    assert_eq!(waiting, [(1.0, "assumed data: P-3"), (3.0, "needs a decision: all that use it")]);
    // 3 circuits of 6 terminals.
    let all = line(&purchase, "GEN-T-4");
    assert_eq!((all.quantity, all.firm_quantity, all.held_because.as_str()), (18.0, 0.0, "needs a decision: all that use it"));
    assert_eq!((purchase.totals.lines, purchase.totals.firm_lines, purchase.totals.held_lines), (2, 0, 2));
}

#[test]
fn what_has_no_number_waits_and_what_others_supply_is_not_ordered() {
    let others = Part { by_others: true, ..Part::pieces("", "starter of P-1", 1.0) };
    let circuits = [circuit("P-1", "", 1, Status::Sized, vec![part("", 2.0), others])];
    let purchase = bought(&circuits, &Basis::default(), catalogue::builtin("iec"));
    let [line, others] = purchase.lines.as_slice() else { panic!("{:?}", purchase.lines) };
    assert_eq!((line.status, line.held_quantity, line.held_because.as_str()), (PurchaseStatus::Hold, 2.0, "no part number"));
    assert_eq!((others.status, others.order_quantity, others.held_quantity), (PurchaseStatus::ByOthers, 0.0, 0.0));
    assert_eq!(purchase.totals.lines_without_price, 1, "what others supply needs no price of ours");
}

// Sets of three by the table of practice; percentages by arithmetic.
#[rstest::rstest]
#[case::a_set_for_each_rating(None, "GEN-FgG-10", 3.0, 3.0)] // nothing asked: one set
#[case::more_than_a_set(Some(10.0), "GEN-FgG-10", 60.0, 6.0)] // 6 links
#[case::in_whole_sets(Some(10.0), "GEN-FgG-10", 39.0, 6.0)] // 3.9 links: two sets
#[case::none_wanted(Some(0.0), "GEN-FgG-10", 39.0, 0.0)]
#[case::consumables(Some(10.0), "GEN-T-4", 41.0, 5.0)] // 4.1 pieces
#[case::no_consumables_unless_asked(None, "GEN-T-4", 41.0, 0.0)]
#[case::devices_have_no_spares(Some(10.0), RELAY, 20.0, 0.0)]
fn spares_follow_the_table(#[case] pct: Option<f64>, #[case] number: &str, #[case] needed: f64, #[case] spares: f64) {
    let mut basis = Basis::default();
    basis.purchase.spare_pct = pct;
    let circuits = [circuit("P-1", "", 1, Status::Sized, vec![part(number, needed)])];
    let purchase = bought(&circuits, &basis, catalogue::builtin("iec"));
    let line = line(&purchase, number);
    assert_eq!((line.quantity, line.spare_quantity, line.order_quantity), (needed, spares, needed + spares));
}

#[test]
fn orders_are_whole_packs_and_sums_leave_out_what_has_no_price() {
    let range = priced(&[
        ("GEN-T-4", Some(0.5), "EUR", Some(50.0), Some(3)),
        (RELAY, Some(30.0), "EUR", None, Some(20)),
        ("GEN-LU-16", None, "", Some(100.0), None),
    ]);
    let parts = || vec![part("GEN-T-4", 6.0), part(RELAY, 1.0), part("GEN-LU-16", 2.0), part("GEN-NP-80", 1.0)];
    let circuits = [
        circuit("P-1", "MCC-1", 9, Status::Sized, parts()), // 54 terminals, 9 relays
        circuit("P-2", "MCC-2", 1, Status::Sized, parts()), // 6 terminals, 1 relay
    ];
    let purchase = bought(&circuits, &Basis::default(), &range);
    let terminals = line(&purchase, "GEN-T-4");
    // 60 needed, packs of 50: 100 at 0.50.
    assert_eq!((terminals.quantity, terminals.order_quantity, terminals.price), (60.0, 100.0, Some(50.0)));
    assert_eq!(terminals.packing, "2 × 50 pc");
    let lugs = line(&purchase, "GEN-LU-16");
    assert_eq!((lugs.order_quantity, lugs.price, lugs.unit_price), (100.0, None, None));
    let totals = &purchase.totals;
    // Needed 60 × 0.5 + 10 × 30 = 330; ordered 50 + 300 = 350.
    assert_eq!((totals.prices[0].needed, totals.prices[0].ordered), (330.0, 350.0));
    assert_eq!((totals.lines_without_price, totals.longest_lead_days), (2, Some(20)));
    // MCC-1: 54 × 0.5 + 9 × 30 = 297; MCC-2: 3 + 30 = 33.
    let boards: Vec<(&str, f64, u32)> = totals
        .boards
        .iter()
        .map(|board_sum| (board_sum.board.as_str(), board_sum.prices[0].needed, board_sum.lines_without_price))
        .collect();
    assert_eq!(boards, [("MCC-1", 297.0, 2), ("MCC-2", 33.0, 2)]);
    assert!(purchase.findings.iter().any(|finding| finding.code == "P101" && finding.what.starts_with("2 lines")));
}

#[test]
fn currencies_are_never_added() {
    let range = priced(&[("GEN-T-4", Some(1.0), "EUR", None, None), (RELAY, Some(10.0), "", None, None)]);
    let mut basis = Basis::default();
    basis.purchase.currency = Some("USD".to_owned());
    let circuits = [circuit("P-1", "", 1, Status::Sized, vec![part("GEN-T-4", 2.0), part(RELAY, 1.0)])];
    let purchase = bought(&circuits, &basis, &range);
    let sums: Vec<(&str, f64)> = purchase.totals.prices.iter().map(|sum| (sum.currency.as_str(), sum.ordered)).collect();
    assert_eq!(sums, [("EUR", 2.0), ("USD", 10.0)]);
    assert!(purchase.findings.iter().any(|finding| finding.code == "P102"));
}

#[test]
fn cable_is_ordered_with_its_allowance_in_coils_and_drums() {
    // 5 % on cuts of 60 m: 63 m, of which a coil of 100 m gives one. Four coils of 100 m or one drum of 500 m: the coils are less.
    let circuits = [circuit("P-1", "", 4, Status::Sized, vec![cable("GEN-CUP-4X2.5", 60.0, 1)])];
    let purchase = bought(&circuits, &Basis::default(), catalogue::builtin("iec"));
    let purchase_line = line(&purchase, "GEN-CUP-4X2.5");
    assert_eq!((purchase_line.quantity, purchase_line.order_quantity), (240.0, 400.0));
    assert_eq!(purchase_line.packing, "4 coils of 100 m; 148 m left");
    // Without allowance and in two cuts a circuit: 8 × 30 m, three a coil: 3 coils.
    let mut basis = Basis::default();
    basis.purchase.cable_allowance_pct = Some(0.0);
    let circuits = [circuit("P-1", "", 4, Status::Sized, vec![cable("GEN-CUP-4X2.5", 30.0, 2)])];
    let purchase = bought(&circuits, &basis, catalogue::builtin("iec"));
    assert_eq!(line(&purchase, "GEN-CUP-4X2.5").packing, "3 coils of 100 m; 60 m left");
    // 500 m on the drum, 600 m to lay for one of two circuits.
    let long = |tag: &str, length: f64| circuit(tag, "", 1, Status::Sized, vec![cable("GEN-CUP-4X2.5", length, 1)]);
    let purchase = bought(&[long("P-1", 600.0), long("P-2", 60.0)], &basis, catalogue::builtin("iec"));
    let told: Vec<&str> =
        purchase.findings.iter().filter(|finding| finding.code == "P103").map(|finding| finding.what.as_str()).collect();
    assert!(told.len() == 1 && told[0].contains("(P-1)") && !told[0].contains("P-2"), "{told:?}");
}

#[test]
fn families_that_a_catalogue_lacks_are_named_once() {
    let mut range = catalogue::builtin("iec").clone();
    range.lacks = vec!["glands", "fittings", "prices"];
    let circuits = [circuit("P-1", "", 1, Status::Sized, vec![part(RELAY, 1.0)])];
    let found = bought(&circuits, &Basis::default(), &range).findings;
    // Fittings of raceways are no family of the metric range, and a price list may be missing.
    assert_eq!(
        found.iter().map(|merge| merge.what.as_str()).collect::<Vec<_>>(),
        ["not counted, because the catalogue lacks them: glands"]
    );
}

proptest! {
    #[test]
    fn quantities_over_circuits_add_up_whatever_their_order(
        rows in proptest::collection::vec((0..3usize, 1..5u32, 0..3usize, 1..9u32, 0.0..90.0f64), 1..20),
        turn in 0..20usize,
    ) {
        let numbers = [RELAY, "GEN-T-4", "GEN-LU-16"];
        let statuses = [Status::Sized, Status::NeedsDecision, Status::NotSized];
        let mut circuits: Vec<Circuit> = rows
            .iter()
            .enumerate()
            .map(|(at, (kind, quantity, status, pieces, length))| {
                let parts = vec![part(numbers[*kind], f64::from(*pieces)), cable("GEN-CUP-4X2.5", *length, 1)];
                circuit(&format!("P-{at}"), if at % 2 == 0 { "A" } else { "B" }, *quantity, statuses[*status], parts)
            })
            .collect();
        let purchase = bought(&circuits, &Basis::default(), catalogue::builtin("iec"));
        for line in &purchase.lines {
            let used: f64 = circuits.iter().flat_map(|circuit| circuit.parts.iter().map(move |part| (circuit, part)))
                .filter(|(_, part)| part.part == line.part)
                .map(|(circuit, part)| part.quantity * f64::from(circuit.quantity))
                .sum();
            prop_assert!(line.quantity >= used - 1e-3 && line.quantity < used + 1.0);
            prop_assert!((line.firm_quantity + line.held_quantity - line.quantity).abs() < 1e-9);
            let boards: f64 = line.boards.iter().map(|board| board.quantity).sum();
            prop_assert!((boards - used).abs() < 0.01);
            prop_assert!(line.order_quantity >= line.quantity - 1.0);
        }
        let count = circuits.len();
        circuits.rotate_left(turn % count);
        let turned = bought(&circuits, &Basis::default(), catalogue::builtin("iec"));
        let of = |purchase: &Purchase| purchase.lines.iter()
            .map(|line| (line.part.clone(), line.quantity, line.firm_quantity, line.held_quantity, line.order_quantity))
            .collect::<Vec<_>>();
        prop_assert_eq!(of(&purchase), of(&turned));
    }
}
