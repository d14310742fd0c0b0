//! `compare`: two revisions side by side.

use std::path::{Path, PathBuf};

use super::progress::Progress;
use super::{Outcome, json, print, two_tags};
use crate::compare;
use crate::design::Design;
use crate::project::{self, Inputs, Options, ProjectError, ProjectErrorKind};
use crate::report::{self, DEMONSTRATION, changes::Only};
use crate::rules::units::Units;

#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  motorwright compare loads-a.xlsx loads-b.xlsx --basis works.toml --out changes\n  motorwright compare issued/design.json loads-b.xlsx --basis works.toml\n  motorwright compare issued.xlsx returned.xlsx --basis works.toml\n\nExit status: 0 nothing differs; 1 something does; 2 could not run, nothing is written."
)]
pub(super) struct Arguments {
    /// Earlier side: a schedule, a marked-up workbook or a design.json.
    old: PathBuf,
    /// Later side: the same.
    new: PathBuf,
    /// Basis of both sides that are schedules.
    #[arg(long, value_name = "FILE")]
    basis: Option<PathBuf>,
    /// Basis of the old side, where it is another.
    #[arg(long, value_name = "FILE")]
    old_basis: Option<PathBuf>,
    /// Rule book, where the basis names none.
    #[arg(long, value_name = "BOOK")]
    rules: Option<String>,
    /// Folder with a catalogue of your own, for both sides.
    #[arg(long, value_name = "FOLDER")]
    catalogue: Option<PathBuf>,
    /// Catalogue of the old side, where it is another.
    #[arg(long, value_name = "FOLDER")]
    old_catalogue: Option<PathBuf>,
    #[command(flatten)]
    reading: super::ReadingArguments,
    /// Which old tag is which new one; may stand several times.
    #[arg(long, value_name = "OLDTAG=NEWTAG", value_parser = two_tags, allow_hyphen_values = true)]
    same: Vec<(String, String)>,
    /// Tell only one kind of change in the summary.
    #[arg(long, value_enum)]
    only: Option<Kind>,
    /// An earlier purchase list, as it was ordered: what to add and cancel.
    #[arg(long, value_name = "FILE")]
    ordered: Option<PathBuf>,
    /// Folder for changes.html, changes.xlsx and changes.json; it is made if it isn't there. Without it only the summary is printed.
    #[arg(long, value_name = "FOLDER")]
    out: Option<PathBuf>,
    /// How the changes are printed.
    #[arg(long, value_enum, default_value_t)]
    format: super::FindingFormat,
}

/// Kinds of change.
#[derive(Clone, Copy, Debug, clap::ValueEnum)]
enum Kind {
    /// What rows state.
    Inputs,
    /// What was chosen, and what is to be set.
    Selection,
    /// What is to be bought.
    Purchase,
}

impl From<Kind> for Only {
    fn from(kind: Kind) -> Self {
        match kind {
            Kind::Inputs => Self::Inputs,
            Kind::Selection => Self::Selection,
            Kind::Purchase => Self::Purchase,
        }
    }
}

/// The files of a comparison.
const FILES: [&str; 3] = ["changes.html", "changes.xlsx", "changes.json"];

/// One side of the comparison, with what it can be sized by.
struct Side {
    design: Design,
    inputs: Option<Inputs>,
}

fn read_order(path: &Path) -> Result<Vec<compare::ordered::Ordered>, ProjectError> {
    let name = path.display();
    let failed = |why: String| ProjectError::new(ProjectErrorKind::Earlier, format!("{name}: {why}"));
    let bytes =
        std::fs::read(path).map_err(|error| failed(format!("the purchase list can't be read: {}", project::plain(&error))))?;
    compare::ordered::read(&bytes).map_err(|error| failed(error.to_string()))
}

impl Arguments {
    pub(super) fn run(self) -> Outcome {
        let progress = Progress::begin("sizing the earlier side");
        let old = self.side(
            &self.old,
            self.old_basis.as_ref().or(self.basis.as_ref()),
            self.old_catalogue.as_ref().or(self.catalogue.as_ref()),
        )?;
        progress.stage("sizing the later side");
        let new = self.side(&self.new, self.basis.as_ref(), self.catalogue.as_ref())?;
        let by_old = old.inputs.as_ref().map(|inputs| inputs as compare::Trial<'_>);
        let both = new.inputs.as_ref().map(|inputs| compare::BothSides { new: inputs, old: by_old });
        let trial = both.as_ref().map(|both| both as compare::Trial<'_>);
        progress.stage(format!("comparing {} rows with {}", new.design.circuits.len(), old.design.circuits.len()));
        if let Some(folder) = &self.out {
            let of_sides = [&old, &new].into_iter().filter_map(|side| side.inputs.as_ref()).flat_map(Inputs::paths);
            let read = [&self.old, &self.new].into_iter().chain(&self.ordered).map(PathBuf::as_path).chain(of_sides);
            report::output::keep_inputs(folder, &FILES, read)?;
        }
        let ordered = self.ordered.as_deref().map(read_order).transpose()?;
        let mut changes = compare::compare(&old.design, &new.design, &self.same, trial)
            .map_err(|error| ProjectError::new(ProjectErrorKind::Comparison, error.to_string()))?;
        changes.labels = report::lists::labels_anew(&changes, &old.design, &new.design);
        if let Some(ordered) = &ordered {
            let units = Units::of(&new.design.rule_book);
            changes.ordered = compare::ordered::against(ordered, &new.design.purchase, units);
        }
        if let Some(folder) = &self.out {
            let text = json(&changes)?;
            let page = report::changes::page::write(&changes, &new.design)
                .map_err(|error| ProjectError::output(format!("changes.html can't be written: {error}")))?;
            let workbook = report::workbook::changes::write(&changes, &old.design, &new.design)
                .map_err(|error| ProjectError::output(format!("changes.xlsx can't be written: {error}")))?;
            let bytes: [&[u8]; 3] = [&page, &workbook, text.as_bytes()];
            let files: Vec<(&str, &[u8])> = FILES.into_iter().zip(bytes).collect();
            report::output::place(folder, &files)?;
        }
        drop(progress);
        if self.format == super::FindingFormat::Json {
            print(&json(&changes)?);
        } else {
            print(&report::changes::summary(&changes, self.only.map(Only::from), Units::of(&new.design.rule_book)));
            if new.design.catalogue.demonstration {
                print(&format!("catalogue: {DEMONSTRATION}\n"));
            }
        }
        Ok(!changes.is_empty())
    }

    fn side(&self, path: &Path, basis: Option<&PathBuf>, catalogue: Option<&PathBuf>) -> Result<Side, ProjectError> {
        if path.extension().is_some_and(|name| name.eq_ignore_ascii_case("json")) {
            let (mut design, file) = project::read_design(path)?;
            let inputs = project::surroundings(&design, catalogue.map(PathBuf::as_path))?;
            // This file was compared, not the schedule behind it.
            design.inputs.insert(0, file);
            return Ok(Side { design, inputs });
        }
        let options = Options {
            schedule: path.to_owned(),
            basis: basis.cloned(),
            rules: self.rules.clone(),
            catalogue: catalogue.cloned(),
            reading: self.reading.clone().options(),
        };
        let inputs = project::open(&options)?;
        Ok(Side { design: inputs.design(), inputs: Some(inputs) })
    }
}
