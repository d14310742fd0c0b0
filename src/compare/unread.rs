//! What one side reads and the other does not: sheets whose rows seem to be added or removed, and columns whose values seem to change.
//! Neither is a change of the sender's.

use std::collections::BTreeSet;

use super::CarriedColumn;
use crate::design::Design;
use crate::finding::{Finding, codes};
use crate::intake;

/// Sheets of loads that a side did not read.
fn sheets(side: &Design) -> BTreeSet<&str> {
    let of_loads = [codes::I489_SHEET_OF_LOADS.code, codes::I430_LOADS_NOT_READ.code, codes::I431_TABLE_NOT_READ.code];
    let unread = side.findings.iter().filter(|finding| of_loads.contains(&finding.code.as_str()));
    unread.filter_map(|finding| finding.place.as_ref()?.sheet.as_deref()).collect()
}

/// Loads of a side that nobody read make rows of the other seem to come or go.
pub(super) fn of_sheets(old: &Design, new: &Design) -> Vec<Finding> {
    let (before, now) = (sheets(old), sheets(new));
    let both: Vec<&str> = before.intersection(&now).copied().collect();
    let of_both = (!both.is_empty()).then(|| {
        let what = format!("both sides have loads that were not read, on sheet {}", both.join(", "));
        Finding::new(&codes::X110_SHEET_NOT_READ, what)
            .why("what changed there is not seen")
            .cure("name their columns with [columns] of the basis and compare again")
    });
    let told = |side: &BTreeSet<&str>, word: &str, seem: &str| {
        let named: Vec<&str> = side.iter().copied().filter(|sheet| !both.contains(sheet)).collect();
        (!named.is_empty()).then(|| {
            let what = format!("the {word} side has loads that were not read, on sheet {}", named.join(", "));
            Finding::new(&codes::X110_SHEET_NOT_READ, what).why(format!("rows of them seem to be {seem}")).cure(format!(
                "what is told as {seem} may stand there: name their columns with [columns] of the basis and compare again"
            ))
        })
    };
    [told(&before, "earlier", "added"), told(&now, "later", "removed"), of_both].into_iter().flatten().collect()
}

/// Whether any row of a side states a column.
fn states(side: &Design, field: &str) -> bool {
    side.circuits.iter().any(|circuit| circuit.stated.contains_key(field))
}

/// Columns that the one side reads and the other carries through: what they state seems to come or go in every row.
pub(super) fn of_columns(old: &Design, new: &Design, carried: &mut [CarriedColumn]) -> Vec<Finding> {
    let mut found = Vec::new();
    for column in carried {
        let (reads, passes, words) = match column.what.as_str() {
            "new" => (old, new, ["later", "no longer read"]),
            "gone" => (new, old, ["earlier", "read now"]),
            _ => continue,
        };
        let fields = intake::meant_by(&column.heading);
        let Some(field) = fields.into_iter().find(|field| states(reads, field) && !states(passes, field)) else { continue };
        let [side, what] = words;
        column.what = what.to_owned();
        let said = format!("the column {} is not read on the {side} side, and the other states {field}", column.heading);
        found.push(
            Finding::new(&codes::X111_COLUMN_OF_ONE_SIDE, said)
                .why(format!("changes of {field} and what follows from them are told that nobody made"))
                .cure(format!(
                    "say what it is with --map '{}={field}' or in [columns] of the basis, and compare again",
                    column.heading
                )),
        );
    }
    found
}
