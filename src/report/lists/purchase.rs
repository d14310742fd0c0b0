//! The purchase list: one line a part over the whole design.

use std::borrow::Cow;

use super::{csv, guarded, guarded_text, number};
use crate::design::PurchaseLine;
use crate::report::{ReportInput, columns};
use crate::rules::units::Units;

/// Headings; the first seven never change their place.
const HEADINGS: [&str; 20] = [
    "part",
    "description",
    "quantity",
    "unit",
    "unit_price",
    "status",
    "used_by",
    "firm_quantity",
    "held_quantity",
    "held_because",
    "boards",
    "spare_quantity",
    "order_quantity",
    "packing",
    "price",
    "currency",
    "lead_days",
    "family",
    "larger_on_list",
    "remark",
];

/// The purchase list as CSV. An unknown price stays empty; tags in `used_by`, which may hold blanks, and boards are parted by
/// semicolons.
#[must_use]
pub fn purchase_csv(input: &ReportInput) -> Vec<u8> {
    csv(input, &HEADINGS, input.design.purchase.iter().map(|line| fields(line, input.units())))
}

fn fields(line: &PurchaseLine, units: Units) -> Vec<Cow<'_, str>> {
    // Of a run whose length nobody states nothing is known, least of all that none is needed.
    let bought = |quantity: f64| number((line.quantity > 0.0).then(|| units.bought(quantity, &line.unit)));
    vec![
        guarded(&line.part),
        guarded(&line.description),
        bought(line.quantity),
        guarded(&line.unit),
        number(line.unit_price),
        Cow::Borrowed(line.status.words()),
        guarded_text(line.used_by.join("; ")),
        bought(line.firm_quantity),
        bought(line.held_quantity),
        guarded(&line.held_because),
        guarded_text(columns::boards(line)),
        number((line.quantity > 0.0).then_some(line.spare_quantity)),
        bought(line.order_quantity),
        guarded(&line.packing),
        number(line.price),
        guarded(&line.currency),
        number(line.lead_days.map(f64::from)),
        guarded(&line.family),
        guarded(&line.larger_on_list),
        guarded(&line.remark),
    ]
}

#[cfg(test)]
mod tests {
    use super::super::super::DEMONSTRATION;
    use super::*;
    use crate::basis::Basis;
    use crate::design::{BoardQuantity, Design, PurchaseLine};

    fn csv_of(lines: Vec<PurchaseLine>, demonstration: bool) -> String {
        let mut design = Design { purchase: lines, ..Design::default() };
        design.catalogue.demonstration = demonstration;
        let basis = Basis::default();
        let working = |_: usize| Vec::new();
        let input = ReportInput {
            design: &design,
            grids: &[],
            rows: &[],
            mappings: &[],
            skipped: &[],
            basis: &basis,
            assumptions: &[],
            cautions: &[],
            sources: &[],
            working: &working,
        };
        String::from_utf8(purchase_csv(&input)).unwrap_or_default()
    }

    #[test]
    fn a_part_number_never_runs_as_a_formula() {
        let hostile = ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1"];
        let lines = hostile
            .iter()
            .map(|part| PurchaseLine { part: (*part).to_owned(), quantity: 1.0, ..PurchaseLine::default() })
            .collect();
        let text = csv_of(lines, false);
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let parts: Vec<String> = reader.records().filter_map(Result::ok).map(|record| record[0].to_owned()).collect();
        // Behind a tab or a line end a spreadsheet may begin a cell as well.
        assert_eq!(parts, ["'=1+1", "'+1", "'-1", "'@SUM(A1)", "'\t'=1", "'\r'=1"]);
    }

    #[test]
    fn fields_come_back_as_they_were() {
        let line = PurchaseLine {
            part: "GEN, \"A\"".to_owned(),
            description: "two\nlines".to_owned(),
            quantity: 12.5,
            unit: "m".to_owned(),
            used_by: vec!["P-1".to_owned(), "P-2".to_owned()],
            firm_quantity: 12.5,
            order_quantity: 14.0,
            boards: vec![
                BoardQuantity { board: "MCC-1".to_owned(), quantity: 3.0, ..BoardQuantity::default() },
                BoardQuantity { board: "MCC-2".to_owned(), quantity: 9.5, ..BoardQuantity::default() },
            ],
            ..PurchaseLine::default()
        };
        let text = csv_of(vec![line], true);
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let heads = reader.headers().map(|record| record.iter().map(str::to_owned).collect::<Vec<_>>()).unwrap_or_default();
        assert_eq!(heads.first().map(String::as_str), Some("part"));
        let record = reader.records().next().and_then(Result::ok).unwrap_or_default();
        for (heading, field) in [
            ("part", "GEN, \"A\""),
            ("description", "two\nlines"),
            ("quantity", "12.5"),
            ("unit", "m"),
            ("unit_price", ""),
            ("status", "firm"),
            ("used_by", "P-1; P-2"),
            ("firm_quantity", "12.5"),
            ("order_quantity", "14"),
            ("boards", "MCC-1 3; MCC-2 9.5"),
            ("note", DEMONSTRATION),
        ] {
            let at = heads.iter().position(|head| head == heading).unwrap_or_else(|| panic!("no column {heading}"));
            assert_eq!(record.get(at), Some(field), "{heading}");
        }
    }
}
