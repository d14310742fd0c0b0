//! `catalogue show`: the equipment catalogue.

use std::path::PathBuf;

use clap::Subcommand;

use super::{Outcome, print};
use crate::catalogue;
use crate::project::ProjectError;

#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    #[command(subcommand)]
    action: Action,
}

#[derive(Debug, Subcommand)]
enum Action {
    /// List the families, or print one.
    Show {
        /// Family, such as contactors.
        family: Option<String>,
        /// Folder with a catalogue of your own.
        #[arg(long, value_name = "FOLDER")]
        catalogue: Option<PathBuf>,
    },
}

impl Arguments {
    pub(super) fn run(self) -> Outcome {
        let Action::Show { family, catalogue: folder } = self.action;
        let own = folder
            .map(|folder| catalogue::from_folder(&folder))
            .transpose()
            .map_err(|error| ProjectError { message: error.to_string(), findings: error.findings })?;
        let range = own.as_ref().unwrap_or_else(|| catalogue::builtin());
        print(&catalogue::show(range, family.as_deref()).map_err(|message| ProjectError { message, findings: Vec::new() })?);
        Ok(false)
    }
}
