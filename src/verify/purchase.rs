//! The purchase list counted again over the circuits: every part once, in its quantity, firm and held, by board, with those who use it;
//! orders that cover what is needed, sums that are the sums of the lines.

use std::collections::{BTreeMap, BTreeSet};

use crate::design::{Accessory, BoardQuantity, Circuit, Design, Part, PurchaseLine, PurchaseStatus, Status};
use crate::finding::{Finding, Severity, codes};
use crate::quantity::fits;
use crate::verify::{CURE, Disagreements, boards};

/// A line is told from others by this: part number, or words where there is none; supplied by others.
type Key<'d> = (&'d str, &'d str, bool);

fn key<'d>(part: &'d str, description: &'d str, by_others: bool) -> Key<'d> {
    (part, if part.is_empty() { description } else { "" }, by_others)
}

/// The need of the circuits for one part.
#[derive(Default)]
struct Asked<'d> {
    firm: f64,
    held: f64,
    unit: &'d str,
    used_by: Vec<&'d str>,
    boards: BTreeMap<&'d str, OnBoard>,
    /// A circuit that uses it is open.
    open: bool,
}

/// The need of one board, and what of it waits.
#[derive(Default)]
struct OnBoard {
    all: f64,
    held: f64,
}

/// Somebody must decide or supply data before the parts of a circuit are ordered.
fn is_open(circuit: &Circuit) -> bool {
    circuit.status != Status::Sized || circuit.findings.iter().any(|finding| finding.code == codes::L320_ASSUMED.code)
}

/// A relay that is chosen without the nameplate current, by which it must go, waits for it.
fn awaits_nameplate(circuit: &Circuit, part: &str) -> bool {
    let told = circuit.findings.iter().any(|finding| finding.code == codes::R214_OVERLOAD_BY_TABLE.code);
    told && circuit
        .overloads
        .iter()
        .any(|overload| [&overload.part, &overload.transformer_part].into_iter().any(|bought| bought == part))
}

/// The other rows of the board over whose breakers a bar, or the terminal that feeds it, is laid.
fn sharing<'d>(design: &'d Design, host: usize, part: &Part) -> Vec<&'d Circuit> {
    let circuit = &design.circuits[host];
    let laid = |accessory: &&Accessory| {
        matches!(accessory.kind.as_str(), "commoning-bar" | "feed-terminal") && accessory.part == part.part
    };
    let serves: Vec<&str> = circuit.accessories.iter().filter(laid).map(|accessory| accessory.serves.as_str()).collect();
    if serves.is_empty() {
        return Vec::new();
    }
    let named = |tag: &str| serves.iter().any(|serves| *serves == tag || serves.split(", ").any(|other| other == tag));
    let after = design.circuits.iter().skip(host + 1);
    after.filter(|other| other.board == circuit.board && named(&other.tag)).collect()
}

pub(super) fn agree(design: &Design) -> Vec<Finding> {
    let mut asked: BTreeMap<Key<'_>, Asked<'_>> = BTreeMap::new();
    for (index, circuit) in design.circuits.iter().enumerate() {
        for part in &circuit.parts {
            // A part that several circuits share is there once, however many the row stands for.
            let times = if part.shared { 1 } else { circuit.quantity.max(1) };
            let others = sharing(design, index, part);
            let open = is_open(circuit) || awaits_nameplate(circuit, &part.part) || others.iter().any(|other| is_open(other));
            ask(&mut asked, part, times, open, &circuit.tag, &circuit.board);
            if let Some(asked) = asked.get_mut(&key(&part.part, &part.description, part.by_others)) {
                asked.used_by.extend(others.iter().map(|other| other.tag.as_str()));
            }
        }
    }
    // A part in a board waits for its circuits; its feeder waits as long as anything that it leads to.
    let waiting: BTreeSet<&str> =
        design.circuits.iter().filter(|circuit| is_open(circuit)).map(|circuit| circuit.board.as_str()).collect();
    let waits = |index: &usize| design.boards.get(*index).is_some_and(|board| waiting.contains(board.name.as_str()));
    for ((index, board), behind) in design.boards.iter().enumerate().zip(boards::behind(design)) {
        // How many cables lie together decides about them and what fits them alone.
        let asks = |finding: &Finding| finding.severity != Severity::Note && finding.code != codes::L351_GROUPING.code;
        let decision = board.findings.iter().any(asks);
        let user = board.name.as_str();
        board
            .parts
            .iter()
            .chain(&board.by_others)
            .for_each(|part| ask(&mut asked, part, 1, decision || waits(&index), user, user));
        let open = decision || behind.iter().any(waits);
        let head = board.incoming.iter().flat_map(|incoming| &incoming.parts);
        board.feeder.parts.iter().chain(head).for_each(|part| ask(&mut asked, part, 1, open, user, user));
    }
    let mut found = Disagreements { place: crate::finding::Place::default(), tag: "purchase list".to_owned(), found: Vec::new() };
    let mut listed: BTreeMap<Key<'_>, u32> = BTreeMap::new();
    for line in &design.purchase {
        let key = key(&line.part, &line.description, line.status == PurchaseStatus::ByOthers);
        *listed.entry(key).or_default() += 1;
        match asked.get(&key) {
            Some(asked) => one(line, asked, &mut found),
            None => {
                found.say(&codes::V901_PURCHASE, format!("{} {} is listed, but no circuit uses it", line.part, line.description))
            }
        }
    }
    for (key, asked) in &asked {
        let times = listed.get(key).copied().unwrap_or(0);
        found.unless(times == 1, &codes::V901_PURCHASE, || {
            format!("{}{} is used by {} circuits and listed {times} times", key.0, key.1, asked.used_by.len())
        });
    }
    totals(design, &mut found);
    found.found.into_iter().map(|finding| Finding { place: None, cure: CURE.to_owned(), ..finding }).collect()
}

fn ask<'d>(asked: &mut BTreeMap<Key<'d>, Asked<'d>>, part: &'d Part, times: u32, open: bool, user: &'d str, board: &'d str) {
    let asked = asked.entry(key(&part.part, &part.description, part.by_others)).or_default();
    let quantity = part.quantity * f64::from(times);
    let open = open || part.part.is_empty();
    *(if open { &mut asked.held } else { &mut asked.firm }) += quantity;
    asked.open |= open;
    asked.unit = &part.unit;
    let on_board = asked.boards.entry(board).or_default();
    on_board.all += quantity;
    on_board.held += if open { quantity } else { 0.0 };
    asked.used_by.push(user);
}

fn about(one: f64, other: f64) -> bool {
    (one - other).abs() <= 2e-3 + 1e-9 * other.abs()
}

fn one(line: &PurchaseLine, asked: &Asked<'_>, found: &mut Disagreements) {
    // Lengths are told in whole metres or feet.
    let whole = |quantity: f64| if asked.unit == "pc" { quantity } else { (quantity - 1e-6).ceil() };
    let wanted = whole(asked.firm + asked.held);
    found.unless(about(line.quantity, wanted) && line.unit == asked.unit, &codes::V901_PURCHASE, || {
        format!("{}: {} {} are listed, the circuits use {wanted} {}", line.part, line.quantity, line.unit, asked.unit)
    });
    let mut users: Vec<&str> = line.used_by.iter().map(String::as_str).collect();
    let mut wanted_users = asked.used_by.clone();
    users.sort_unstable();
    wanted_users.sort_unstable();
    wanted_users.dedup();
    found.unless(users == wanted_users, &codes::V901_PURCHASE, || format!("{}: its users are not those who use it", line.part));
    of_boards(line, asked, found);
    if line.status == PurchaseStatus::ByOthers {
        let nothing = [line.firm_quantity, line.held_quantity, line.spare_quantity, line.order_quantity]
            .iter()
            .all(|quantity| *quantity == 0.0);
        found.unless(nothing && line.price.is_none(), &codes::V901_PURCHASE, || {
            format!("{} is supplied by others, and ordered all the same", line.description)
        });
        return;
    }
    let firm = line.firm_quantity <= whole(asked.firm) + 2e-3 && about(line.firm_quantity + line.held_quantity, line.quantity);
    let reasons = line.held_for.is_empty() == (line.status == PurchaseStatus::Firm);
    found.unless(reasons, &codes::V901_PURCHASE, || format!("{}: on hold without a reason, or firm with one", line.part));
    let status = !asked.open || line.status == PurchaseStatus::Hold;
    found.unless(firm && status, &codes::V901_PURCHASE, || {
        format!("{}: {} are called firm, {} are", line.part, line.firm_quantity, whole(asked.firm))
    });
    let covered = line.quantity + line.spare_quantity;
    found.unless(fits(covered, line.order_quantity + 1e-3), &codes::V901_PURCHASE, || {
        format!("{}: {} are ordered, {covered} are needed with spares", line.part, line.order_quantity)
    });
    let price = line.unit_price.map(|price| price * line.order_quantity);
    let so = match (price, line.price) {
        (Some(one), Some(other)) => (one - other).abs() <= 0.01,
        (None, None) => true,
        _ => false,
    };
    found.unless(so, &codes::V901_PURCHASE, || format!("{}: its price is not that of the order", line.part));
}

/// What each board takes of a line, and that nothing which waits there is called firm.
fn of_boards(line: &PurchaseLine, asked: &Asked<'_>, found: &mut Disagreements) {
    let boards: f64 = line.boards.iter().map(|board| board.quantity).sum();
    let on_board = |part: &BoardQuantity| asked.boards.get(part.board.as_str());
    let by_board = line.boards.iter().all(|part| on_board(part).is_some_and(|board| about(part.quantity, board.all)));
    let so =
        by_board && line.boards.len() == asked.boards.len() && (boards - asked.firm - asked.held).abs() <= 2e-3 * (1.0 + boards);
    found.unless(so, &codes::V901_PURCHASE, || format!("{}: what its boards take is not what their circuits use", line.part));
    for part in line.boards.iter().filter(|_| line.status != PurchaseStatus::ByOthers) {
        let waits = on_board(part).map_or(0.0, |board| board.held);
        let told = part.held_quantity <= part.quantity + 2e-3 && (part.held_quantity <= 0.0 || !part.held_because.is_empty());
        found.unless(told && waits <= part.held_quantity + 2e-3, &codes::V901_PURCHASE, || {
            format!("{}: {} of board {} wait, {waits} do", line.part, part.held_quantity, part.board)
        });
    }
}

/// Sums of the list.
fn totals(design: &Design, found: &mut Disagreements) {
    let purchase_totals = &design.purchase_totals;
    let of = |status: PurchaseStatus| design.purchase.iter().filter(|line| line.status == status).count();
    // Nothing costs nothing: a line without a length waits for that, and for no price.
    let without =
        |line: &&PurchaseLine| line.status != PurchaseStatus::ByOthers && line.unit_price.is_none() && line.quantity > 0.0;
    let counts = [
        (purchase_totals.lines, design.purchase.len()),
        (purchase_totals.firm_lines, of(PurchaseStatus::Firm)),
        (purchase_totals.held_lines, of(PurchaseStatus::Hold)),
        (purchase_totals.by_others_lines, of(PurchaseStatus::ByOthers)),
        (purchase_totals.lines_without_price, design.purchase.iter().filter(without).count()),
    ];
    let so = counts.iter().all(|(told, counted)| usize::try_from(*told).is_ok_and(|told| told == *counted));
    found.unless(so, &codes::V901_PURCHASE, || "its numbers of lines are not those of its lines".to_owned());
    for sum in &purchase_totals.prices {
        let lines = design.purchase.iter().filter(|line| line.currency == sum.currency);
        let ordered: f64 = lines.filter_map(|line| line.price).sum();
        found.unless((ordered - sum.ordered).abs() <= 0.01 + 1e-9 * ordered, &codes::V901_PURCHASE, || {
            format!("its orders cost {ordered:.2} {}, {:.2} are told", sum.currency, sum.ordered)
        });
    }
}
