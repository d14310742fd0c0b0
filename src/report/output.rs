//! Writes every output of a design into a folder, each whole or not at all: each is staged beside its place, all are moved when all
//! are whole, and design.json goes last with the hashes of the others, so that a mixed set is seen.

use std::io::Write;
use std::path::Path;

use serde::Serialize as _;

use super::{Assumption, Caution, ReportInput, SourceDocument};
use crate::design::{Design, HashedFile};
use crate::project::{Inputs, ProjectError, hash};
use crate::record::Step;
use crate::sizing;
use crate::threads;

mod layout;
mod staging;

use staging::{Held, Staged};

/// The files that were written.
pub struct Written {
    /// Names of the files, in the order in which they were written.
    pub files: Vec<String>,
    /// The traces of an interrupted run that this one has mended.
    pub mended: Mended,
}

/// The traces that an interrupted run had left in a folder.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Mended {
    /// Files that were staged and never moved to their places; they are removed.
    pub staged: usize,
    /// Outputs that were not those of the design.json beside them.
    pub foreign: Vec<String>,
}

/// Everything that writers need besides the design, worked out once.
pub struct Prepared {
    rows: Vec<(usize, u32)>,
    assumptions: Vec<Assumption>,
    cautions: Vec<Caution>,
    sources: Vec<SourceDocument>,
}

/// Works out what writers need besides the design.
#[must_use]
pub fn prepare(inputs: &Inputs, design: &Design) -> Prepared {
    Prepared {
        rows: inputs.intake().loads.iter().map(|load| (load.grid, load.row)).collect(),
        assumptions: sizing::assumptions::list(inputs.basis(), inputs.book()),
        cautions: sizing::cautions::applicable(design, inputs.book()),
        sources: sizing::assumptions::sources(inputs.book()),
    }
}

impl Prepared {
    /// Input of every writer; `working` sizes a circuit again.
    #[must_use]
    pub fn input<'a>(
        &'a self,
        inputs: &'a Inputs,
        design: &'a Design,
        working: &'a (dyn Fn(usize) -> Vec<Step> + Sync),
    ) -> ReportInput<'a> {
        ReportInput {
            design,
            grids: &inputs.intake().grids,
            rows: &self.rows,
            mappings: &inputs.intake().mappings,
            skipped: &inputs.intake().skipped,
            basis: inputs.basis(),
            assumptions: &self.assumptions,
            cautions: &self.cautions,
            sources: &self.sources,
            working,
        }
    }
}

/// design.json as bytes.
///
/// # Errors
/// A value of the design has no JSON form, which no input should bring about.
pub fn json(design: &Design) -> Result<Vec<u8>, ProjectError> {
    let mut bytes = Vec::new();
    json_to(design, &mut bytes)?;
    bytes.push(b'\n');
    Ok(bytes)
}

fn json_to(design: &Design, out: impl Write) -> Result<(), ProjectError> {
    let mut serializer = serde_json::Serializer::with_formatter(out, layout::Layout::default());
    design.serialize(&mut serializer).map_err(|error| not_written(DESIGN, &error))
}

/// The names of all outputs of a design.
pub const OUTPUTS: [&str; 5] = [FILES[0], FILES[1], FILES[2], FILES[3], DESIGN];

/// The names of the outputs, in the order in which they are moved to their places.
const FILES: [&str; 4] = ["schedule.xlsx", "submittal.html", "purchase-list.csv", "labels.csv"];
const DESIGN: &str = "design.json";

/// Stands in design.json for the hash of a file that is still being written, so that all files are written side by side.
const OPEN: &str = "0000000000000000000000000000000000000000000000000000000000000000";

/// A hash as the list of outputs in design.json has it. No text of a schedule can look like this: its quotation marks would be escaped.
fn entry(sha256: &str) -> Vec<u8> {
    format!("\"sha256\": \"{sha256}\"").into_bytes()
}

/// Refuses a folder in which an output would take the place of what this run reads: the schedule, with all that its sender or editor has in
/// it besides, the basis, a file of the catalogue or the revision before.
///
/// # Errors
/// An output would replace one of these files.
pub fn keep_inputs<'r>(folder: &Path, outputs: &[&str], read: impl IntoIterator<Item = &'r Path>) -> Result<(), ProjectError> {
    let outputs: Vec<_> = outputs.iter().filter_map(|name| folder.join(name).canonicalize().ok()).collect();
    let replaced = read.into_iter().find(|input| input.canonicalize().is_ok_and(|input| outputs.contains(&input)));
    replaced.map_or(Ok(()), |input| {
        let message = format!("{} is read, and an output would take its place: name another folder with --out", input.display());
        Err(ProjectError::output(message))
    })
}

/// Writes every output of a design into a folder.
///
/// # Errors
/// The folder can't be made or written to, or a writer fails; then nothing new stands in the folder.
pub fn write(inputs: &Inputs, design: &mut Design, folder: &Path) -> Result<Written, ProjectError> {
    let held = Held::new(folder)?;
    design.outputs = FILES.map(|name| HashedFile { file: name.to_owned(), sha256: OPEN.to_owned() }).to_vec();
    let [workbook, others] = {
        let prepared = prepare(inputs, design);
        let working = |index: usize| inputs.working(index);
        let report = prepared.input(inputs, design, &working);
        // The workbook takes about as long as all others.
        let (others, workbook) = threads::beside(|| stage_others(&held, &report), || stage_workbook(&held, &report));
        [vec![workbook?], others?]
    };
    let mut staged = [workbook, others].into_iter().flatten().collect::<Vec<_>>();
    for (output, staged) in design.outputs.iter_mut().zip(&staged) {
        output.sha256.clone_from(&staged.sha256);
    }
    let hashes: Vec<_> = design.outputs.iter().map(|output| entry(&output.sha256)).collect();
    if let Some(json) = staged.last_mut() {
        held.replace(json, &entry(OPEN), &hashes)?;
    }
    held.place(staged)?;
    let files = FILES.into_iter().chain([DESIGN]).map(str::to_owned).collect();
    Ok(Written { files, mended: held.mended })
}

fn stage_workbook(held: &Held<'_>, report: &ReportInput) -> Result<Staged, ProjectError> {
    held.stage(FILES[0], |sink| super::workbook::write_to(report, sink).map_err(|error| not_written(FILES[0], &error)))
}

/// Stages all but the workbook, one after the other.
fn stage_others(held: &Held<'_>, report: &ReportInput) -> Result<Vec<Staged>, ProjectError> {
    let page = {
        let page = super::submittal::write(report).map_err(|error| not_written(FILES[1], &error))?;
        held.stage_bytes(FILES[1], &page)?
    };
    let purchase = held.stage_bytes(FILES[2], &super::lists::purchase_csv(report))?;
    let labels = held.stage_bytes(FILES[3], &super::lists::labels_csv(report))?;
    let json = held.stage(DESIGN, |sink| {
        json_to(report.design, &mut *sink)?;
        sink.write_all(b"\n").map_err(|error| not_written(DESIGN, &error))
    })?;
    Ok(vec![page, purchase, labels, json])
}

fn not_written(name: &str, error: &dyn std::fmt::Display) -> ProjectError {
    ProjectError::output(format!("{name} can't be written: {error}"))
}

/// Stages every file beside its place, then moves them in their order. A place that is a symbolic link becomes the file itself;
/// what the link leads to stays as it is. What an interrupted run had left is told.
///
/// # Errors
/// The folder can't be made or written to, another run is writing to it, or a file's place is taken by a folder.
pub fn place(folder: &Path, files: &[(&str, &[u8])]) -> Result<Mended, ProjectError> {
    let held = Held::new(folder)?;
    let staged = files.iter().map(|(name, bytes)| held.stage_bytes(name, bytes)).collect::<Result<_, _>>()?;
    held.place(staged)?;
    Ok(held.mended)
}

/// Outputs in a folder that are not those of its design.json.
#[must_use]
pub fn foreign(folder: &Path) -> Vec<String> {
    #[derive(serde::Deserialize)]
    struct Outputs {
        outputs: Vec<HashedFile>,
    }
    let design = std::fs::read(folder.join("design.json")).ok();
    let Some(outputs) = design.and_then(|bytes| serde_json::from_slice::<Outputs>(&bytes).ok()) else { return Vec::new() };
    outputs
        .outputs
        .into_iter()
        .filter(|output| Path::new(&output.file).components().count() == 1)
        .filter(|output| std::fs::read(folder.join(&output.file)).is_ok_and(|bytes| hash(&bytes) != output.sha256))
        .map(|output| output.file)
        .collect()
}
