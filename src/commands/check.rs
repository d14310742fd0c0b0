//! `check`: reads, validates and resolves; writes nothing. Prints findings as a good compiler does: grouped by code, worst first,
//! the first of each group in full, and all of them counted.

use std::collections::BTreeSet;
use std::fmt::Write;

use serde::Serialize;

use super::progress::Progress;
use super::{FindingFormat, InputArguments, Outcome, print};
use crate::finding::{CODES, Finding, Severity, codes};
use crate::project::{self, Inputs};

mod mapping;

/// How many findings of one code are shown in full, by severity.
const SHOWN: [(Severity, usize); 3] = [(Severity::Error, 10), (Severity::Warning, 3), (Severity::Note, 1)];
/// How many places are named where findings are not shown in full.
const PLACES: usize = 12;

#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  motorwright check example-schedules/water-works.csv --basis example-schedules/water-works.toml\n  motorwright check loads.xlsx --rules iec --format json\n  motorwright check loads.xlsx --mapping"
)]
pub(super) struct Arguments {
    #[command(flatten)]
    input: InputArguments,
    /// Exit with 1 on warnings too.
    #[arg(long)]
    strict: bool,
    /// Show every finding in full, not only the first few of each code.
    #[arg(long)]
    all: bool,
    /// Show how each column is read instead of the findings, as a table and as TOML for the basis; needs no rule book.
    #[arg(long)]
    mapping: bool,
    /// How findings are printed.
    #[arg(long, value_enum, default_value_t)]
    format: FindingFormat,
}

impl Arguments {
    pub(super) fn run(self) -> Outcome {
        let options = self.input.options();
        if self.mapping {
            return mapping::show(&options, self.format);
        }
        let progress = Progress::begin("reading");
        let inputs = project::open(&options)?;
        progress.stage(format!("checking {} rows", inputs.intake().loads.len()));
        let findings = inputs.check();
        drop(progress);
        let report = Report::new(&inputs, &findings);
        match self.format {
            FindingFormat::Json => print(&super::json(&report)?),
            FindingFormat::Text => print(&text(&inputs, &report, self.all)),
        }
        let warned = report.counts.warnings > 0;
        let unread = findings.iter().any(|finding| finding.code == codes::I489_SHEET_OF_LOADS.code);
        Ok(report.counts.errors > 0 || report.counts.not_valid > 0 || unread || (self.strict && warned))
    }
}

/// The output of `--format json`.
#[derive(Serialize)]
struct Report<'a> {
    schema: &'static str,
    program_version: &'static str,
    rule_book: &'static str,
    edition: &'static str,
    inputs: &'a [crate::design::HashedFile],
    counts: Counts,
    mappings: Vec<mapping::Column>,
    findings: &'a [Finding],
}

/// How many there are.
#[derive(Serialize)]
struct Counts {
    rows: usize,
    valid: usize,
    not_valid: usize,
    errors: usize,
    warnings: usize,
    notes: usize,
    codes: Vec<CodeCount>,
}

#[derive(Serialize)]
struct CodeCount {
    code: String,
    severity: Severity,
    count: usize,
    about: &'static str,
}

impl<'a> Report<'a> {
    fn new(inputs: &'a Inputs, findings: &'a [Finding]) -> Self {
        Self {
            schema: "motorwright.check/1",
            program_version: env!("CARGO_PKG_VERSION"),
            rule_book: inputs.book().key(),
            edition: inputs.book().edition(),
            inputs: &inputs.files,
            counts: Counts::new(inputs, findings),
            mappings: mapping::columns(inputs.intake()),
            findings,
        }
    }
}

impl Counts {
    fn new(inputs: &Inputs, findings: &[Finding]) -> Self {
        let wrong: BTreeSet<(Option<&str>, u32)> = findings
            .iter()
            .filter(|finding| finding.severity == Severity::Error)
            .filter_map(|finding| finding.place.as_ref()?.row_key())
            .collect();
        let loads = &inputs.intake().loads;
        // A row with an open value is not wrong, but it will not be sized either.
        let not_valid = loads.iter().filter(|load| !load.is_readable() || wrong.contains(&load.row_key())).count();
        let count = |severity| findings.iter().filter(|finding| finding.severity == severity).count();
        Self {
            rows: loads.len(),
            valid: loads.len() - not_valid,
            not_valid,
            errors: count(Severity::Error),
            warnings: count(Severity::Warning),
            notes: count(Severity::Note),
            codes: groups(findings)
                .iter()
                .map(|group| CodeCount {
                    code: group[0].code.clone(),
                    severity: group[0].severity,
                    count: group.len(),
                    about: CODES.iter().find(|code| code.code == group[0].code).map_or("", |code| code.about),
                })
                .collect(),
        }
    }
}

/// Findings by code: errors first, codes in the order in which they first stand in the file.
fn groups(findings: &[Finding]) -> Vec<Vec<&Finding>> {
    let mut groups: Vec<Vec<&Finding>> = Vec::new();
    let mut known: std::collections::BTreeMap<&str, usize> = std::collections::BTreeMap::new();
    for finding in findings {
        let at = *known.entry(&finding.code).or_insert_with(|| {
            groups.push(Vec::new());
            groups.len() - 1
        });
        groups[at].push(finding);
    }
    groups.sort_by_key(|group| group[0].severity);
    groups
}

fn text(inputs: &Inputs, report: &Report<'_>, all: bool) -> String {
    let mut text = String::new();
    for group in groups(report.findings) {
        let most = SHOWN.iter().find(|(severity, _)| *severity == group[0].severity).map_or(1, |(_, most)| *most);
        // One more in full is shorter than a line that says that there is one more.
        let shown = if all || group.len() <= most + 1 { group.len() } else { most };
        for finding in &group[..shown] {
            let excerpt = crate::intake::excerpt(inputs.intake(), finding);
            text.push_str(&crate::finding::render_coloured(finding, excerpt.as_ref()));
            text.push_str("\n\n");
        }
        if shown < group.len() {
            text.truncate(text.trim_end().len());
            let _ = write!(text, "\n\n{}\n\n", further(&group, shown));
        }
    }
    let counts = &report.counts;
    if !counts.codes.is_empty() {
        for code_count in &counts.codes {
            let _ = writeln!(
                text,
                "{:>5}  {:<8}{}  {}",
                code_count.count,
                code_count.severity.word(),
                code_count.code,
                code_count.about
            );
        }
        text.push('\n');
    }
    let counted = |number: usize, one: &str| if number == 1 { format!("1 {one}") } else { format!("{number} {one}s") };
    let valid = if counts.not_valid == 0 {
        "all valid".to_owned()
    } else {
        format!("{} valid, {} not valid", counts.valid, counts.not_valid)
    };
    let _ = writeln!(
        text,
        "{} read, {valid}: {}, {}, {}",
        counted(counts.rows, "row"),
        counted(counts.errors, "error"),
        counted(counts.warnings, "warning"),
        counted(counts.notes, "note")
    );
    text
}

/// The places of findings that are not shown in full.
fn further(group: &[&Finding], shown: usize) -> String {
    let first = group[0].place.as_ref();
    let unread = group[0].code == codes::I201_HEADING_UNKNOWN.code;
    // The places of cells say nothing of columns that are not read; their headings do.
    let most = if unread { group.len() } else { PLACES };
    let named: Vec<String> = group[shown..]
        .iter()
        .filter_map(|finding| finding.place.as_ref())
        .take(most)
        .map(|place| {
            if let Some(heading) = place.heading.as_ref().filter(|_| unread) {
                return format!("`{heading}`");
            }
            let same = first.is_some_and(|first| first.file == place.file && first.sheet == place.sheet);
            match (&place.column, place.row) {
                (Some(column), Some(row)) if same => format!("{column}{row}"),
                (None, Some(row)) if same => format!("row {row}"),
                _ => place.short(),
            }
        })
        .collect();
    let left = group.len() - shown;
    let mut line = format!("{left} more of {}[{}]", group[0].severity.word(), group[0].code);
    if !named.is_empty() {
        let _ = write!(line, "{} {}", if unread { ":" } else { " at" }, named.join(", "));
        if named.len() < left {
            line.push_str(", ...");
        }
    }
    line.push_str(" (--all shows them)");
    line
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::finding::{Place, codes};

    fn finding(code: &crate::finding::Code, row: u32) -> Finding {
        Finding::new(code, "text").at(Place { row: Some(row), column: Some("C".to_owned()), ..Place::file("a.csv") })
    }

    #[test]
    fn errors_come_first_and_each_code_is_one_group() {
        let found = [finding(&codes::I205_PLACEHOLDER, 2), finding(&codes::I101_NUMBER, 3), finding(&codes::I205_PLACEHOLDER, 4)];
        let groups = groups(&found);
        assert_eq!(
            groups.iter().map(|group| (group[0].code.as_str(), group.len())).collect::<Vec<_>>(),
            [("I101", 1), ("I205", 2)]
        );
    }

    #[test]
    fn what_is_not_shown_is_named_by_its_cells() {
        let found: Vec<Finding> = (1..=20).map(|row| finding(&codes::I101_NUMBER, row)).collect();
        let group: Vec<&Finding> = found.iter().collect();
        assert_eq!(further(&group, 17), "3 more of error[I101] at C18, C19, C20 (--all shows them)");
        assert!(further(&group, 3).ends_with("C14, C15, ... (--all shows them)"));
    }
}
