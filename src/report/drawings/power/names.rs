//! Designations: letters of the table for an item, with a number that is its own in the drawing.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use serde::Deserialize;

use crate::rules::table::Document;
use crate::rules::units::Units;

/// Designations by item.
const DESIGNATIONS: Document = Document { name: "designations", text: include_str!("../designations.csv") };

/// Marks of terminals by kind of winding.
const TERMINALS: Document = Document { name: "terminals", text: include_str!("../terminals.csv") };

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Item {
    item: String,
    iec: String,
    nec: String,
    #[allow(dead_code)] // for those who read the table
    meaning: String,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Winding {
    winding: String,
    iec_a: String,
    iec_b: String,
    nec_a: String,
    nec_b: String,
    #[allow(dead_code)] // for those who read the table
    remark: String,
}

static ITEMS: LazyLock<Vec<Item>> = LazyLock::new(|| DESIGNATIONS.rows());
static WINDINGS: LazyLock<Vec<Winding>> = LazyLock::new(|| TERMINALS.rows());

/// Gives names to the items of one drawing.
#[derive(Debug)]
pub(super) struct Names {
    units: Units,
    given: BTreeMap<String, u32>,
}

impl Names {
    pub(super) fn new(units: Units) -> Self {
        Self { units, given: BTreeMap::new() }
    }

    /// The next name of an item: `-Q1`, `-Q2` after IEC 81346; `OL`, `2OL` as is usual in the US.
    pub(super) fn next(&mut self, item: &str) -> String {
        let letters = letters(self.units, item);
        let count = self.given.entry(letters.to_owned()).or_insert(0);
        *count += 1;
        match (self.units, *count) {
            (Units::Metric, number) => format!("-{letters}{number}"),
            (Units::Customary, 1) => letters.to_owned(),
            (Units::Customary, number) => format!("{number}{letters}"),
        }
    }
}

/// Letters of an item.
pub(in crate::report::drawings) fn letters(units: Units, item: &str) -> &'static str {
    ITEMS.iter().find(|row| row.item == item).map_or("X", |item| units.pick(item.iec.as_str(), item.nec.as_str()))
}

/// Marks of both sets of terminals of a winding.
pub(super) fn terminals(units: Units, winding: &str) -> [Vec<&'static str>; 2] {
    let winding = WINDINGS.iter().find(|row| row.winding == winding);
    let marks = winding.map_or(["", ""], |winding| {
        units.pick([winding.iec_a.as_str(), &winding.iec_b], [winding.nec_a.as_str(), &winding.nec_b])
    });
    marks.map(|text| text.split_whitespace().collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// IEC 60034-8, as textbooks print it with the preferred links of a delta: U1-V2, V1-W2, W1-U2.
    #[test]
    fn the_preferred_links_put_v2_w2_u2_on_the_lines() {
        let [first, second] = terminals(Units::Metric, "star-delta");
        assert_eq!((first, second), (vec!["U1", "V1", "W1"], vec!["V2", "W2", "U2"]));
    }

    /// NEMA MG 1, from memory: six leads in delta are joined T1-T6, T2-T4, T3-T5.
    #[test]
    fn six_leads_of_the_us_are_joined_in_delta() {
        let [first, second] = terminals(Units::Customary, "star-delta");
        assert_eq!((first, second), (vec!["T1", "T2", "T3"], vec!["T6", "T4", "T5"]));
        assert_eq!(terminals(Units::Customary, "two-windings")[1], ["T11", "T12", "T13"]);
    }

    #[test]
    fn names_are_numbered_by_their_letters() {
        let mut iec = Names::new(Units::Metric);
        assert_eq!([iec.next("line"), iec.next("star"), iec.next("overload")], ["-Q1", "-Q2", "-B1"]);
        let mut nec = Names::new(Units::Customary);
        assert_eq!([nec.next("main"), nec.next("overload"), nec.next("overload")], ["M", "OL", "2OL"]);
    }

    #[test]
    fn every_role_of_every_method_has_its_letters() {
        for arrangement in crate::sizing::arrangement::ARRANGEMENTS {
            for role in arrangement.roles {
                assert!(ITEMS.iter().any(|row| row.item == role.name), "{}", role.name);
            }
        }
    }
}
