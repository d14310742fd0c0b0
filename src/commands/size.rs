//! `size`: the main job.

use std::collections::BTreeMap;
use std::path::PathBuf;

use super::progress::Progress;
use super::{FindingFormat, InputArguments, Outcome, json, print, two_tags};
use crate::compare;
use crate::design::{Counts, Design, Status};
use crate::finding::{Finding, Severity};
use crate::project::{self, ProjectError, ProjectErrorKind};
use crate::report::output::{self, Mended, Written};

/// How many findings the summary shows in full.
const SHOWN: usize = 5;
/// Boards that the summary shows with a line each.
const BOARDS: usize = 8;

#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  motorwright size example-schedules/water-works.csv --basis example-schedules/water-works.toml --out out\n  motorwright size loads-b.xlsx --basis works.toml --previous issued-a/design.json --out issued-b"
)]
pub(super) struct Arguments {
    #[command(flatten)]
    input: InputArguments,
    /// Folder for the outputs; it is made if it isn't there.
    #[arg(long, value_name = "FOLDER", default_value = "out")]
    out: PathBuf,
    /// The design.json of the revision before: rows that changed since bear a mark, and the history goes on.
    #[arg(long, value_name = "FILE")]
    previous: Option<PathBuf>,
    /// Which tag of the revision before is which new one; may stand several times.
    #[arg(long, value_name = "OLDTAG=NEWTAG", value_parser = two_tags, allow_hyphen_values = true, requires = "previous")]
    same: Vec<(String, String)>,
    /// Exit with 1 on warnings and needed decisions too.
    #[arg(long)]
    strict: bool,
    /// How findings are printed.
    #[arg(long, value_enum, default_value_t)]
    format: FindingFormat,
}

impl Arguments {
    pub(super) fn run(self) -> Outcome {
        let progress = Progress::begin("reading");
        let previous = self.previous.as_deref().map(project::read_design).transpose()?;
        let options = self.input.options();
        let inputs = project::open(&options)?;
        let read = inputs.paths().chain(self.previous.as_deref());
        output::keep_inputs(&self.out, &output::OUTPUTS, read)?;
        progress.stage(format!("sizing {} rows", inputs.intake().loads.len()));
        let mut design = inputs.design();
        if let Some((earlier, file)) = previous {
            progress.stage("comparing with the revision before");
            // Without a basis the last file is the schedule, where no revision is to be named.
            let basis = inputs.files.last().filter(|_| options.basis.is_some()).map(|hashed_file| hashed_file.file.as_str());
            compare::revision::revise(&mut design, &earlier, &self.same, &inputs, basis)
                .map_err(|error| ProjectError::new(ProjectErrorKind::Comparison, error.to_string()))?;
            design.inputs.push(file);
        }
        progress.stage(format!("writing {} circuits", design.circuits.len()));
        let written = output::write(&inputs, &mut design, &self.out)?;
        drop(progress);
        if self.format == FindingFormat::Json {
            let all: Vec<Finding> = design.all_findings().into_iter().map(|(_, finding)| finding.clone()).collect();
            print(&json(&all)?);
        } else {
            print(&summary(&design, &written, &self.out, &inputs));
        }
        let counts = design.counts();
        let findings = design.all_findings();
        let errors = findings.iter().any(|(_, finding)| finding.severity == Severity::Error);
        let warnings = findings.iter().any(|(_, finding)| finding.severity == Severity::Warning);
        let incomplete = design.circuits.iter().any(|circuit| !circuit.missing_parts().is_empty());
        // Rows of a sheet that was not read are rows that are not sized.
        let unread = !crate::report::unread::sheets(&design).is_empty();
        let asks =
            counts.not_sized > 0 || unread || incomplete || errors || (self.strict && (warnings || counts.needs_decision > 0));
        // The program ends here: the system takes its memory back faster than thousands of circuits are freed one by one.
        std::mem::forget((design, inputs));
        Ok(asks)
    }
}

fn summary(design: &Design, written: &Written, folder: &std::path::Path, inputs: &project::Inputs) -> String {
    let Counts { sized, needs_decision, not_sized } = design.counts();
    let (rows, circuits) = (design.circuits.len(), design.circuits_of_all_rows());
    let counted = |count: u64, one: &str| format!("{count} {one}{}", if count == 1 { "" } else { "s" });
    let in_all = match rows as u64 {
        rows if rows == circuits => counted(circuits, "circuit"),
        rows => format!("{}, {}", counted(rows, "row"), counted(circuits, "circuit")),
    };
    let mut text = format!("{in_all}: {sized} sized, {needs_decision} needing a decision, {not_sized} not sized\n");
    let findings = design.all_findings();
    let worst: Vec<_> = findings.iter().filter(|(_, finding)| finding.severity != Severity::Note).collect();
    if !worst.is_empty() {
        text.push('\n');
    }
    let mut shown: Vec<&str> = Vec::new();
    let mut lines = 0;
    for (tag, finding) in &worst {
        // One of a kind: the workbook and the submittal list all.
        if lines == SHOWN || shown.contains(&finding.code.as_str()) {
            continue;
        }
        shown.push(&finding.code);
        let excerpt = crate::intake::excerpt(inputs.intake(), finding);
        if let Some(tag) = tag {
            text.push_str(&format!("{tag}: "));
        }
        text.push_str(&crate::finding::render_coloured(finding, excerpt.as_ref()));
        let more = worst.iter().filter(|(_, other)| other.code == finding.code).count() - 1;
        if more > 0 {
            text.push_str(&format!("\n   = {more} more of {}", finding.code));
        }
        text.push_str("\n\n");
        lines += 1;
    }
    let kinds = {
        let mut kinds: Vec<&str> = worst.iter().map(|(_, finding)| finding.code.as_str()).collect();
        kinds.sort_unstable();
        kinds.dedup();
        kinds.len()
    };
    if kinds > lines {
        text.push_str(&format!("{} further kinds of finding are in the outputs\n", kinds - lines));
    }
    let waiting: Vec<&str> =
        design.circuits.iter().filter(|circuit| circuit.status == Status::NotSized).map(|circuit| circuit.tag.as_str()).collect();
    if !waiting.is_empty() {
        text.push_str(&format!("not sized: {}\n", crate::finding::named(&waiting)));
    }
    text.push_str(&incomplete(design));
    if let Some(changes) = design.revisions.last().and_then(|revision| revision.changes.as_ref()) {
        text.push_str(&format!("since the revision before: {}\n", crate::report::changes::revision::counts(changes)));
    }
    let sheets = crate::report::unread::sheets(design);
    if !sheets.is_empty() {
        text.push_str(&format!("sheets that seem to hold loads and were not read: {}\n", sheets.join(", ")));
    }
    let unread = crate::report::unread::headings(design);
    if !unread.is_empty() {
        text.push_str(&format!("columns that were not read: {}\n", unread.join(", ")));
    }
    text.push_str(&boards(design));
    text.push_str(&format!("purchase list: {}\n", crate::report::totals::sentence(&design.purchase_totals)));
    let held = crate::report::totals::held(&design.purchase);
    if !held.is_empty() {
        text.push_str(&format!("sized is not yet firm: {held}\n"));
    }
    if design.catalogue.demonstration {
        text.push_str(&format!("catalogue: {}\n", crate::report::DEMONSTRATION));
    }
    text.push_str(&format!("written to {}: {}\n", folder.display(), written.files.join(", ")));
    if written.mended != Mended::default() {
        let foreign = &written.mended.foreign;
        let of = if foreign.is_empty() { String::new() } else { format!("; {} had been of another run", foreign.join(", ")) };
        text.push_str(&format!("an earlier run had been interrupted here{of}; all files are now of this one\n"));
    }
    text
}

/// Circuits without a main part, by the part that nothing in the catalogue or the book holds for.
fn incomplete(design: &Design) -> String {
    let mut by_part: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for circuit in &design.circuits {
        for part in circuit.missing_parts() {
            by_part.entry(part).or_default().push(&circuit.tag);
        }
    }
    by_part.iter().map(|(part, tags)| format!("without {part}: {}\n", crate::finding::named(tags))).collect()
}

/// The boards, a line each; of many only how many they are.
fn boards(design: &Design) -> String {
    let told: Vec<_> = design.boards.iter().filter(|board| board.connected_kw > 0.0).collect();
    if told.len() > BOARDS {
        return format!("boards: {}; `explain SCHEDULE --board NAME` tells of one\n", told.len());
    }
    let line = |board: &&crate::design::Board| {
        let name = if board.name.is_empty() { "no board named" } else { &board.name };
        format!("board {name}: {}\n", crate::report::text::board::summary(board))
    };
    told.iter().map(line).collect()
}
