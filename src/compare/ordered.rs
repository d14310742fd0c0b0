//! What must be added or cancelled against what was ordered by an earlier purchase list.

use std::collections::BTreeMap;

use super::PurchaseChange;
use crate::design::PurchaseLine;
use crate::quantity::round_to;
use crate::rules::units::Units;

/// A line that was ordered.
#[derive(Clone, Debug, PartialEq)]
pub struct Ordered {
    /// Part number.
    pub part: String,
    /// What it is.
    pub description: String,
    /// How many.
    pub quantity: f64,
    /// `pc`, `m` or `ft`.
    pub unit: String,
}

/// Reads an earlier purchase list: a CSV with the headings `part` and `order_quantity`, or `quantity` where there is no such column.
///
/// # Errors
/// A heading is missing, or a quantity is no number: the line and what to do about it.
pub fn read(bytes: &[u8]) -> Result<Vec<Ordered>, String> {
    let mut reader = csv::ReaderBuilder::new().flexible(true).from_reader(bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes));
    let headings = reader.headers().map_err(|error| error.to_string())?.clone();
    let column = |name: &str| headings.iter().position(|own| own.trim().eq_ignore_ascii_case(name));
    let part = column("part").ok_or("it has no column \"part\"; name a purchase list that `size` wrote")?;
    let quantity = column("order_quantity").or_else(|| column("quantity"));
    let quantity =
        quantity.ok_or("it has no column \"order_quantity\" or \"quantity\"; name a purchase list that `size` wrote")?;
    let (description, unit) = (column("description"), column("unit"));
    let mut lines = Vec::new();
    for (record, number) in reader.records().zip(2..) {
        let record = record.map_err(|error| error.to_string())?;
        // What could be taken for a formula bears an apostrophe in the file.
        let text = |column: usize| record.get(column).unwrap_or("").trim().trim_start_matches('\'').to_owned();
        let own = text(quantity);
        if text(part).is_empty() && own.is_empty() {
            continue;
        }
        let parsed = own.parse::<f64>().ok().filter(|own| own.is_finite() && *own >= 0.0);
        let quantity = parsed.ok_or_else(|| format!("line {number}: the quantity \"{own}\" is no number; correct it"))?;
        lines.push(Ordered {
            part: text(part),
            description: description.map(text).unwrap_or_default(),
            quantity,
            unit: unit.map(text).unwrap_or_default(),
        });
    }
    Ok(lines)
}

/// What to add to and cancel of an order, so that it is what the list now asks for; by others is not ordered.
#[must_use]
pub fn against(ordered: &[Ordered], now: &[PurchaseLine], units: Units) -> Vec<PurchaseChange> {
    let mut before: BTreeMap<&str, (f64, &Ordered)> = BTreeMap::new();
    for own in ordered.iter().filter(|own| !own.part.is_empty()) {
        before.entry(&own.part).or_insert((0.0, own)).0 += own.quantity;
    }
    let mut found = Vec::new();
    let wanted = now.iter().filter(|own| !own.part.is_empty() && own.status != crate::design::PurchaseStatus::ByOthers);
    for own in wanted {
        let old = before.remove(own.part.as_str()).map_or(0.0, |(quantity, _)| quantity);
        let new = units.bought(own.order_quantity, &own.unit);
        let price = own.unit_price.map(|price| round_to(price * (new - old), 2));
        found.extend(change(&own.part, &own.description, &own.unit, [old, new], price, &own.currency));
    }
    for (quantity, own) in before.values() {
        found.extend(change(&own.part, &own.description, &own.unit, [*quantity, 0.0], None, ""));
    }
    found
}

fn change(
    part: &str,
    description: &str,
    unit: &str,
    [old, new]: [f64; 2],
    price: Option<f64>,
    currency: &str,
) -> Option<PurchaseChange> {
    if (old - new).abs() < 1e-6 {
        return None;
    }
    Some(PurchaseChange {
        part: part.to_owned(),
        description: description.to_owned(),
        unit: unit.to_owned(),
        old_quantity: round_to(old, 3),
        new_quantity: round_to(new, 3),
        action: match (old > 0.0, new > 0.0) {
            (false, _) => "add",
            (_, false) => "cancel",
            _ if new > old => "more",
            _ => "less",
        }
        .to_owned(),
        price_difference: price,
        currency: currency.to_owned(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(part: &str, order: f64) -> PurchaseLine {
        PurchaseLine {
            part: part.to_owned(),
            order_quantity: order,
            unit: "pc".to_owned(),
            unit_price: Some(2.5),
            ..PurchaseLine::default()
        }
    }

    #[test]
    fn an_order_is_brought_to_what_is_needed_now() {
        let list = b"part,description,quantity,unit,order_quantity\nA,Contactor,3,pc,4\nB,Relay,1,pc,1\nC,Base,2,pc,2\n";
        let ordered = read(list).expect("it is a list");
        let now = [line("A", 6.0), line("C", 1.0), line("D", 1.0)];
        let found = against(&ordered, &now, Units::Metric);
        let told: Vec<_> =
            found.iter().map(|own| (own.part.as_str(), own.action.as_str(), own.old_quantity, own.new_quantity)).collect();
        assert_eq!(told, [("A", "more", 4.0, 6.0), ("C", "less", 2.0, 1.0), ("D", "add", 0.0, 1.0), ("B", "cancel", 1.0, 0.0)]);
        // 2 more of 2.50.
        assert_eq!(found[0].price_difference, Some(5.0));
    }

    #[test]
    fn a_list_that_is_none_is_refused_with_what_to_do() {
        for (text, said) in [
            ("tag,kW\nP-1,4\n", "no column \"part\""),
            ("part,description\nA,x\n", "order_quantity"),
            ("part,quantity\nA,many\n", "line 2: the quantity \"many\""),
            ("part,quantity\nA,-1\n", "line 2"),
            ("part,quantity\nA,1\nB,nan\n", "line 3"),
        ] {
            assert!(read(text.as_bytes()).expect_err("it is refused").contains(said), "{text}");
        }
        assert!(read(b"\xEF\xBB\xBFpart,quantity\n,\n").expect("an empty line is none").is_empty());
    }
}
