//! From what circuits need to what is ordered: spares, allowances, whole packs, coils, drums and sticks, and the price of it.

use super::Tools;
use super::cut::{self, Sold};
use super::lines::Collected;
use crate::catalogue::{Catalogue, Register};
use crate::design::{PurchaseLine, PurchaseStatus};
use crate::finding::{Finding, codes, named};
use crate::quantity::round_to;
use crate::rules::physics::material;
use crate::rules::units::METRES_A_FOOT;

pub(super) fn make_up(
    collected: Collected,
    register: &Register<'_>,
    tools: Tools<'_>,
    findings: &mut Vec<Finding>,
) -> PurchaseLine {
    let Collected { mut line, cuts, cut_for } = collected;
    let part = register.part(&line.part).copied().unwrap_or_default();
    if line.status == PurchaseStatus::ByOthers {
        return line;
    }
    if cuts.is_empty() {
        line.spare_quantity = spares(&line, part.kind, tools.basis.purchase.spare_pct);
        line.order_quantity = line.quantity + line.spare_quantity;
    } else {
        by_length(&mut line, &cuts, &cut_for, tools, findings);
    }
    // Coils, drums and sticks say in which lengths a part is sold; a pack beside them would contradict them.
    let in_lengths = !cuts.is_empty() && is_sold_in_lengths(&line, tools.catalogue);
    if let Some(pack) = part.packing.filter(|pack| *pack > 0.0 && !in_lengths) {
        let packs = round_to(line.order_quantity / pack, 6).ceil();
        line.order_quantity = round_to(packs * pack, 3);
        let said = format!("{packs} × {pack} {}", line.unit);
        line.packing = if line.packing.is_empty() { said } else { format!("{}; {said}", line.packing) };
    }
    line.price = line.unit_price.map(|price| round_to(price * line.order_quantity, 2));
    if line.unit_price.is_some() {
        let of_project = tools.basis.purchase.currency.as_deref().unwrap_or("");
        line.currency = code_of(if part.currency.is_empty() { of_project } else { part.currency });
    }
    line
}

/// A currency's code of three letters in capitals, so that `eur` and `EUR` are one sum; other words as they stand.
fn code_of(currency: &str) -> String {
    let currency = currency.trim();
    let is_code = currency.len() == 3 && currency.bytes().all(|byte| byte.is_ascii_alphabetic());
    if is_code { currency.to_ascii_uppercase() } else { currency.to_owned() }
}

/// Spares by the table of practice: a share, and pieces at least unless the basis asks for none, in whole sets.
fn spares(line: &PurchaseLine, kind: &str, share_pct: Option<f64>) -> f64 {
    let Some(row) = material::spares(&line.family, kind).filter(|_| !line.part.is_empty()) else { return 0.0 };
    let none_wanted = share_pct.is_some_and(|pct| pct <= 0.0);
    let share = if row.share { line.quantity * share_pct.unwrap_or(0.0) / 100.0 } else { 0.0 };
    let wanted = if none_wanted { 0.0 } else { share.max(row.least) };
    (round_to(wanted / row.set.max(1.0), 6)).ceil() * row.set.max(1.0)
}

/// Lengths in the unit in which the part is bought.
fn in_unit(metres: Option<f64>, unit: &str) -> Option<f64> {
    metres.map(|metres| round_to(if unit == "ft" { metres / METRES_A_FOOT } else { metres }, 3))
}

/// Coils and drums of a cable; the length of a stick of what may be joined.
fn sold(part: &str, unit: &str, catalogue: &Catalogue) -> (Sold, Option<f64>) {
    let cable = catalogue.cables.iter().find(|cable| cable.part == part).map(|cable| (cable.coil_m, cable.drum_m));
    let control = || catalogue.control_cables.iter().find(|cable| cable.part == part).map(|cable| (cable.coil_m, cable.drum_m));
    let stick = catalogue.raceways.iter().find(|raceway| raceway.part == part).and_then(|raceway| raceway.standard_length_m);
    let (coil, drum) = cable.or_else(control).unwrap_or((None, None));
    (Sold { coil: in_unit(coil, unit), drum: in_unit(drum, unit) }, in_unit(stick, unit))
}

fn is_sold_in_lengths(line: &PurchaseLine, catalogue: &Catalogue) -> bool {
    let (cable, stick) = sold(&line.part, &line.unit, catalogue);
    cable.coil.is_some() || cable.drum.is_some() || stick.is_some()
}

fn by_length(line: &mut PurchaseLine, cuts: &[(f64, u64)], cut_for: &[String], tools: Tools<'_>, findings: &mut Vec<Finding>) {
    let book = tools.book.key();
    if line.family == "raceways" {
        let with_allowance = line.quantity * (1.0 + material::figure("raceway-allowance", book) / 100.0);
        let (_, stick) = sold(&line.part, &line.unit, tools.catalogue);
        let stick = stick.unwrap_or(1.0);
        let sticks = round_to(with_allowance / stick, 6).ceil();
        line.order_quantity = round_to(sticks * stick, 3);
        if stick > 1.0 {
            line.packing = format!("{sticks} lengths of {} {}", round_to(stick, 1), line.unit);
        }
        return;
    }
    let allowance = tools.basis.purchase.cable_allowance_pct.unwrap_or_else(|| material::figure("cable-allowance", book));
    let longer: Vec<(f64, u64)> = cuts.iter().map(|(cut, count)| (cut * (1.0 + allowance / 100.0), *count)).collect();
    let (sold, _) = sold(&line.part, &line.unit, tools.catalogue);
    let order = cut::pack(&longer, sold);
    line.order_quantity = order.length;
    if line.part.is_empty() {
        return;
    }
    line.packing = order.words(sold, &line.unit);
    if let Some(cut) = order.too_long {
        let drum = sold.drum.into_iter().chain(sold.coil).fold(0.0, f64::max);
        let too_long = longer.iter().zip(cut_for).filter(|((length, _), _)| !crate::quantity::fits(*length, drum));
        let mut users: Vec<String> = too_long.map(|(_, user)| user.clone()).collect();
        users.dedup();
        findings.push(
            Finding::new(
                &codes::P103_CUT_TOO_LONG,
                format!(
                    "{}: a cut of {} {} with its allowance is longer than any drum ({})",
                    line.part,
                    round_to(cut, 1),
                    line.unit,
                    named(&users)
                ),
            )
            .why("cut lengths are never joined")
            .cure("order it cut to length from the maker, or plan a joint box"),
        );
    }
}
