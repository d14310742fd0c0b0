//! Finds the parts to add to an earlier order or to cancel of it.

use std::collections::BTreeMap;

use super::PurchaseChange;
use crate::catalogue::{may_group_thousands, with_point};
use crate::design::{PurchaseLine, PurchaseStatus};
use crate::quantity::round_to;
use crate::rules::units::{METRES_A_FOOT, Units};

/// A line that was ordered.
#[derive(Clone, Debug, PartialEq)]
pub struct Ordered {
    /// Part number.
    pub part: String,
    /// Description of the part.
    pub description: String,
    /// How many.
    pub quantity: f64,
    /// `pc`, `m` or `ft`.
    pub unit: String,
}

/// Reads an earlier purchase list: a CSV with the headings `part` and `order_quantity`, or `quantity` where that column is missing, or
/// empty in a line.
///
/// # Errors
/// A heading is missing, or a quantity is no number: the line and what to do about it.
pub fn read(bytes: &[u8]) -> Result<Vec<Ordered>, OrderError> {
    lines(bytes).map_err(OrderError)
}

/// Why a purchase list can't be read, and what to do about it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OrderError(String);

impl std::fmt::Display for OrderError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for OrderError {}

fn lines(bytes: &[u8]) -> Result<Vec<Ordered>, String> {
    let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
    let separator = separator(bytes);
    let mut reader = csv::ReaderBuilder::new().flexible(true).delimiter(separator).from_reader(bytes);
    let headings = reader.headers().map_err(|error| error.to_string())?.clone();
    let column = |name: &str| headings.iter().position(|heading| heading.trim().eq_ignore_ascii_case(name));
    let part = column("part").ok_or("it has no column \"part\"; name a purchase list that `size` wrote")?;
    let quantities: Vec<(&str, usize)> =
        ["order_quantity", "quantity"].into_iter().filter_map(|name| Some((name, column(name)?))).collect();
    let first = quantities.first().copied();
    let first = first.ok_or("it has no column \"order_quantity\" or \"quantity\"; name a purchase list that `size` wrote")?;
    let (description, unit) = (column("description"), column("unit"));
    let mut lines = Vec::new();
    for record in reader.records() {
        let record = record.map_err(|error| error.to_string())?;
        let number = || line_of(bytes, &record);
        // A text that could be taken for a formula bears an apostrophe in the file.
        let text = |column: usize| record.get(column).unwrap_or("").trim().trim_start_matches('\'').to_owned();
        // A line that somebody added by hand states its quantity alone.
        let stated = quantities.iter().copied().find(|(_, quantity)| !text(*quantity).is_empty());
        let (heading, quantity) = stated.unwrap_or(first);
        let written = text(quantity);
        if text(part).is_empty() && written.is_empty() {
            continue;
        }
        // Beside a semicolon a comma marks decimals; else what has three digits behind it may be thousands too.
        let marks: &[char] = match separator {
            b',' => &[],
            b';' => &['.'],
            _ => &['.', ','],
        };
        if marks.iter().any(|mark| may_group_thousands(&written, *mark)) {
            return Err(format!(
                "line {}: the quantity \"{written}\" (column {heading}) is either decimals or thousands; write it without the mark, or with other decimals",
                number()
            ));
        }
        let plain = if separator == b',' { None } else { with_point(&written) };
        let parsed = plain.as_ref().unwrap_or(&written).parse::<f64>().ok().filter(|figure| figure.is_finite() && *figure >= 0.0);
        let quantity = parsed.ok_or_else(|| {
            format!("line {}: the quantity \"{written}\" (column {heading}) is no number; correct it", number())
        })?;
        lines.push(Ordered {
            part: text(part),
            description: description.map(text).unwrap_or_default(),
            quantity,
            unit: unit.map(text).unwrap_or_default(),
        });
    }
    Ok(lines)
}

/// The line of the file on which a record begins: blank lines before it and cells of several lines count as many.
fn line_of(bytes: &[u8], record: &csv::StringRecord) -> usize {
    let from = record.position().and_then(|position| usize::try_from(position.byte()).ok()).unwrap_or(0).min(bytes.len());
    let blank = bytes[from..].iter().take_while(|byte| matches!(byte, b'\n' | b'\r')).count();
    1 + bytes[..from + blank].iter().filter(|byte| **byte == b'\n').count()
}

/// The mark between cells: a comma as `size` writes it, or what a spreadsheet puts in its place.
fn separator(bytes: &[u8]) -> u8 {
    let first = bytes.split(|byte| *byte == b'\n').next().unwrap_or_default();
    let count = |mark: u8| first.iter().filter(|byte| **byte == mark).count();
    [b',', b';', b'\t'].into_iter().rev().max_by_key(|mark| count(*mark)).unwrap_or(b',')
}

/// The key of a line: its part number, or its words where it has none.
fn key<'l>(part: &'l str, description: &'l str) -> &'l str {
    if part.is_empty() { description } else { part }
}

/// The changes to make to an order, so that it is what the list now asks for; by others is not ordered.
#[must_use]
pub fn against(ordered: &[Ordered], now: &[PurchaseLine], units: Units) -> Vec<PurchaseChange> {
    let mut before: BTreeMap<&str, (f64, &Ordered)> = BTreeMap::new();
    for ordered in ordered.iter().filter(|ordered| !key(&ordered.part, &ordered.description).is_empty()) {
        before.entry(key(&ordered.part, &ordered.description)).or_insert((0.0, ordered)).0 += ordered.quantity;
    }
    let mut found = Vec::new();
    for line in now.iter().filter(|line| line.status != PurchaseStatus::ByOthers) {
        let name = key(&line.part, &line.description);
        // What was ordered by another measure is another thing: it is cancelled as it was ordered.
        let ordered = before.get(name).and_then(|(quantity, ordered)| in_unit(*quantity, &ordered.unit, &line.unit));
        let old = ordered.inspect(|_| _ = before.remove(name)).unwrap_or(0.0);
        let new = units.bought(line.order_quantity, &line.unit);
        let price = line.unit_price.map(|price| round_to(price * (new - old), 2));
        let told = change(&line.part, &line.description, &line.unit, [old, new], price, &line.currency);
        let held_quantity = round_to(units.bought(line.held_quantity, &line.unit), 3);
        found.extend(told.map(|change| PurchaseChange { held_quantity, ..change }));
    }
    for (quantity, ordered) in before.values() {
        found.extend(change(&ordered.part, &ordered.description, &ordered.unit, [*quantity, 0.0], None, ""));
    }
    found
}

/// A quantity that was ordered in one unit, in another; none where pieces stand against lengths. A unit that the list does not state, or
/// that no purchase list has, is taken as the other.
fn in_unit(quantity: f64, from: &str, to: &str) -> Option<f64> {
    let from = from.to_lowercase();
    match (from.as_str(), to) {
        ("m", "ft") => Some(quantity / METRES_A_FOOT),
        ("ft", "m") => Some(quantity * METRES_A_FOOT),
        ("m" | "ft", "pc") | ("pc", "m" | "ft") => None,
        _ => Some(quantity),
    }
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
        ..PurchaseChange::default()
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
        let told: Vec<_> = found
            .iter()
            .map(|change| (change.part.as_str(), change.action.as_str(), change.old_quantity, change.new_quantity))
            .collect();
        assert_eq!(told, [("A", "more", 4.0, 6.0), ("C", "less", 2.0, 1.0), ("D", "add", 0.0, 1.0), ("B", "cancel", 1.0, 0.0)]);
        // 2 more of 2.50.
        assert_eq!(found[0].price_difference, Some(5.0));
    }

    /// A foot is 0.3048 m by definition: 1000 ft that were ordered are 304.8 m.
    #[rstest::rstest]
    #[case::feet(1000.0, "ft", "m", &[("less", 304.8, 300.0)])]
    #[case::feet_in_capitals(1000.0, "FT", "m", &[("less", 304.8, 300.0)])]
    #[case::metres(300.0, "m", "m", &[])]
    #[case::no_unit(300.0, "", "m", &[])]
    #[case::a_word_of_the_buyer(300.0, "metres", "m", &[])]
    #[case::pieces(300.0, "pc", "m", &[("add", 0.0, 300.0), ("cancel", 300.0, 0.0)])]
    fn an_order_in_another_unit_is_told_in_that_of_the_list(
        #[case] quantity: f64,
        #[case] unit: &str,
        #[case] now: &str,
        #[case] said: &[(&str, f64, f64)],
    ) {
        let list = format!("part,order_quantity,unit\nA,{quantity},{unit}\n");
        let ordered = read(list.as_bytes()).expect("it is a list");
        let found = against(&ordered, &[PurchaseLine { unit: now.to_owned(), ..line("A", 300.0) }], Units::Metric);
        let told: Vec<_> =
            found.iter().map(|change| (change.action.as_str(), change.old_quantity, change.new_quantity)).collect();
        assert_eq!(told, said);
    }

    /// A part that waits is told as that, and one without a number stands by its words: neither may be ordered yet.
    #[test]
    fn what_waits_is_told_and_what_has_no_number_is_not_left_out() {
        let ordered = read(b"part,description,order_quantity,unit\nA,Contactor,2,pc\n").expect("it is a list");
        let held = |part: &str, words: &str, order: f64, held_quantity: f64| PurchaseLine {
            description: words.to_owned(),
            status: PurchaseStatus::Hold,
            held_quantity,
            ..line(part, order)
        };
        let found =
            against(&ordered, &[held("A", "Contactor", 5.0, 3.0), held("", "contactor for 180 A", 1.0, 1.0)], Units::Metric);
        let told: Vec<_> =
            found.iter().map(|change| (change.description.as_str(), change.action.as_str(), change.held_quantity)).collect();
        assert_eq!(told, [("Contactor", "more", 3.0), ("contactor for 180 A", "add", 1.0)]);
    }

    /// The same list as a continental spreadsheet saves it.
    #[test]
    fn a_list_with_semicolons_and_decimal_commas_is_read() {
        let list = read(b"\xEF\xBB\xBFpart;description;order_quantity;unit\nA;Cable, 4 cores;1.200,5;m\nB;Relay;4;pc\n");
        let list = list.expect("it is a list");
        assert_eq!(list.iter().map(|line| (line.part.as_str(), line.quantity)).collect::<Vec<_>>(), [("A", 1200.5), ("B", 4.0)]);
    }

    /// Points and commas with three digits behind them have two meanings, and another country's marks none here.
    #[rstest::rstest]
    #[case::thousands_or_decimals("part;order_quantity\nA;1.200\n", "either decimals or thousands")]
    #[case::behind_tabs("part\torder_quantity\nA\t1,200\n", "either decimals or thousands")]
    #[case::marks_of_another_country("part\torder_quantity\nA\t1,200.5\n", "no number")]
    fn a_quantity_with_two_meanings_is_not_chosen(#[case] list: &str, #[case] said: &str) {
        let refused = read(list.as_bytes()).expect_err("it is refused").to_string();
        assert!(refused.starts_with("line 2: ") && refused.contains(said), "{refused}");
    }

    #[test]
    fn a_list_that_is_none_is_refused_with_what_to_do() {
        for (text, said) in [
            ("tag,kW\nP-1,4\n", "no column \"part\""),
            ("part,description\nA,x\n", "order_quantity"),
            ("part,quantity\nA,many\n", "line 2: the quantity \"many\""),
            ("part,quantity\nA,-1\n", "line 2"),
            ("part,quantity\nA,1\nB,nan\n", "line 3"),
            ("part,quantity\nA,1\n\n\nB,nan\n", "line 5"),
            ("part,remark,quantity\nA,\"of two\nlines\",1\nB,,nan\n", "line 4"),
        ] {
            assert!(read(text.as_bytes()).expect_err("it is refused").to_string().contains(said), "{text}");
        }
        assert!(read(b"\xEF\xBB\xBFpart,quantity\n,\n").expect("an empty line is none").is_empty());
    }
}
