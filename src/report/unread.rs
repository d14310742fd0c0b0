//! Names the columns of the schedule that were carried through and not read: whoever looks at a result must see what counts for nothing.

use crate::design::Design;
use crate::finding::{Finding, codes};

/// Their headings in the order of the schedule, each once.
#[must_use]
pub fn headings(design: &Design) -> Vec<&str> {
    let mut headings: Vec<&str> = Vec::new();
    for finding in design.findings.iter().filter(|finding| finding.code == codes::I201_HEADING_UNKNOWN.code) {
        let heading = heading(finding);
        if !heading.is_empty() && !headings.contains(&heading) {
            headings.push(heading);
        }
    }
    headings
}

/// Sheets that seem to hold loads and were not read.
#[must_use]
pub fn sheets(design: &Design) -> Vec<&str> {
    let of_loads = design.findings.iter().filter(|finding| finding.code == codes::I489_SHEET_OF_LOADS.code);
    of_loads.filter_map(|finding| finding.place.as_ref()?.sheet.as_deref()).collect()
}

fn heading(finding: &Finding) -> &str {
    finding.place.as_ref().and_then(|place| place.heading.as_deref()).unwrap_or_default()
}
