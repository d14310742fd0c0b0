//! Writes every output of a design into a folder, each whole or not at all: every writer gives bytes, each is staged beside its
//! place and moved, and design.json goes last with the hashes of the others, so that a mixed set is seen.

use std::io::Write;
use std::path::Path;

use super::{Assumption, Caution, ReportInput, SourceDocument};
use crate::design::{Design, HashedFile};
use crate::project::{Inputs, ProjectError, failed, hash, plain};
use crate::record::Step;
use crate::sizing;

/// What was written.
pub struct Written {
    /// Names of the files, in the order in which they were written.
    pub files: Vec<String>,
    /// What an earlier run left unfinished and this one has mended.
    pub mended: Mended,
}

/// What an interrupted run had left in a folder.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Mended {
    /// Files that were staged and never moved to their places; they are removed.
    pub staged: usize,
    /// Outputs that were not those of the design.json beside them.
    pub foreign: Vec<String>,
}

/// What writers work from besides the design, worked out once.
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
        rows: inputs.intake.loads.iter().map(|load| (load.grid, load.row)).collect(),
        assumptions: sizing::assumptions::list(&inputs.basis, inputs.book),
        cautions: sizing::cautions::applicable(design, inputs.book),
        sources: sizing::assumptions::sources(inputs.book),
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
            grids: &inputs.intake.grids,
            rows: &self.rows,
            mappings: &inputs.intake.mappings,
            skipped: &inputs.intake.skipped,
            basis: &inputs.basis,
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
    let mut bytes =
        serde_json::to_vec_pretty(design).map_err(|error| failed(format!("design.json can't be written: {error}")))?;
    bytes.push(b'\n');
    Ok(bytes)
}

/// Bytes with their hash.
fn hashed(bytes: Vec<u8>) -> (Vec<u8>, String) {
    let sha256 = hash(&bytes);
    (bytes, sha256)
}

/// Writes every output of a design into a folder.
///
/// # Errors
/// The folder can't be made or written to, or a writer fails; then nothing new stands in the folder.
pub fn write(inputs: &Inputs, design: &mut Design, folder: &Path) -> Result<Written, ProjectError> {
    let prepared = prepare(inputs, design);
    let working = |index: usize| inputs.working(index);
    let files = {
        let report = prepared.input(inputs, design, &working);
        let write_failed = |name: &str, error: &dyn std::fmt::Display| failed(format!("{name} can't be written: {error}"));
        // The workbook takes most of the time: the page is written beside it.
        let (workbook, page) = std::thread::scope(|scope| {
            let page = scope.spawn(|| super::submittal::write(&report).map(hashed));
            (super::workbook::write(&report).map(hashed), page.join())
        });
        let page = page.map_err(|_| failed("submittal.html can't be written: its writer stopped"))?;
        [
            ("schedule.xlsx", workbook.map_err(|error| write_failed("schedule.xlsx", &error))?),
            ("submittal.html", page.map_err(|error| write_failed("submittal.html", &error))?),
            ("purchase-list.csv", hashed(super::lists::purchase_csv(&report))),
            ("labels.csv", hashed(super::lists::labels_csv(&report))),
        ]
    };
    design.outputs =
        files.iter().map(|(name, (_, sha256))| HashedFile { file: (*name).to_owned(), sha256: sha256.clone() }).collect();
    let json = json(design)?;
    let mut all: Vec<(&str, &[u8])> = files.iter().map(|(name, (bytes, _))| (*name, bytes.as_slice())).collect();
    all.push(("design.json", &json));
    let mended = place(folder, &all)?;
    Ok(Written { files: all.iter().map(|(name, _)| (*name).to_owned()).collect(), mended })
}

/// How the names of staged files begin.
const STAGED: &str = ".motorwright-";

/// Stages every file beside its place, then moves them in their order. A place that is a symbolic link becomes the file itself;
/// what the link leads to stays as it is. What an interrupted run had left is told.
///
/// # Errors
/// The folder can't be made or written to, another run is writing to it, or a file's place is taken by a folder.
pub fn place(folder: &Path, files: &[(&str, &[u8])]) -> Result<Mended, ProjectError> {
    let world = |error: &std::io::Error| {
        failed(format!("{}: the folder can't be written to: {}; name another with --out", folder.display(), plain(error)))
    };
    if folder.exists() && !folder.is_dir() {
        return Err(failed(format!("{} is a file, not a folder; name another with --out", folder.display())));
    }
    std::fs::create_dir_all(folder).map_err(|error| world(&error))?;
    let _held = hold(folder)?;
    let mended = unfinished(folder);
    let mut staged = Vec::new();
    for (name, bytes) in files {
        let target = folder.join(name);
        if target.is_dir() {
            return Err(failed(format!("{} is a folder; remove it or name another folder with --out", target.display())));
        }
        let mut file = tempfile::Builder::new().prefix(STAGED).tempfile_in(folder).map_err(|error| world(&error))?;
        file.write_all(bytes).and_then(|()| file.as_file().sync_all()).map_err(|error| world(&error))?;
        set_readable(file.as_file()).map_err(|error| world(&error))?;
        staged.push((file, target));
    }
    for (file, target) in staged {
        file.persist(&target).map_err(|error| world(&error.error))?;
    }
    Ok(mended)
}

/// Keeps other runs out of a folder until it is dropped, however this run ends. Where the system can't lock a folder the runs are
/// on their own: each file is whole, and the hashes tell a mixed set.
fn hold(folder: &Path) -> Result<Option<std::fs::File>, ProjectError> {
    let Ok(held) = std::fs::File::open(folder) else { return Ok(None) };
    match held.try_lock() {
        Err(std::fs::TryLockError::WouldBlock) => {
            Err(failed(format!("another run is writing to {}; wait for it, or name another folder with --out", folder.display())))
        }
        Err(std::fs::TryLockError::Error(_)) | Ok(()) => Ok(Some(held)),
    }
}

/// Looks for what an interrupted run left, and removes what it had only staged: the folder is held, so no other run needs it.
fn unfinished(folder: &Path) -> Mended {
    let Ok(entries) = std::fs::read_dir(folder) else { return Mended::default() };
    let left = |entry: &std::fs::DirEntry| {
        let own = entry.file_name().to_str().is_some_and(|name| name.starts_with(STAGED));
        own && entry.file_type().is_ok_and(|kind| kind.is_file())
    };
    let staged = entries.flatten().filter(left).filter(|entry| std::fs::remove_file(entry.path()).is_ok()).count();
    // Only an interrupted run leaves staged files, and only then is it worth reading the old outputs.
    Mended { staged, foreign: if staged == 0 { Vec::new() } else { foreign(folder) } }
}

/// Outputs in a folder that are not those of its design.json.
#[must_use]
pub fn foreign(folder: &Path) -> Vec<String> {
    #[derive(serde::Deserialize)]
    struct Outputs {
        outputs: Vec<HashedFile>,
    }
    let design = std::fs::read(folder.join("design.json")).ok();
    let Some(own) = design.and_then(|bytes| serde_json::from_slice::<Outputs>(&bytes).ok()) else { return Vec::new() };
    own.outputs
        .into_iter()
        .filter(|output| Path::new(&output.file).components().count() == 1)
        .filter(|output| std::fs::read(folder.join(&output.file)).is_ok_and(|bytes| hash(&bytes) != output.sha256))
        .map(|output| output.file)
        .collect()
}

/// A staged file is private to its owner; an output is read by others too.
#[cfg(unix)]
fn set_readable(file: &std::fs::File) -> std::io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    file.set_permissions(std::fs::Permissions::from_mode(0o644))
}

#[cfg(not(unix))]
fn set_readable(_file: &std::fs::File) -> std::io::Result<()> {
    Ok(())
}
