//! `blank`: writes an empty schedule to fill in.

use std::ffi::OsStr;
use std::path::{Path, PathBuf};

use super::{Outcome, print};
use crate::project::ProjectError;
use crate::report::{blank, output, workbook};
use crate::rules;
use crate::rules::units::Units;

#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  motorwright blank --out loads.xlsx --rules iec\n  motorwright blank --out loads.csv --rules nec"
)]
pub(super) struct Arguments {
    /// File to write: .xlsx with drop-down lists, help and a sheet for the basis, or .csv; one that is there is not overwritten.
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
    /// Rule book: which units and columns stand first, and what the sheet `Basis` names.
    #[arg(long, value_name = "BOOK", value_parser = clap::builder::PossibleValuesParser::new(rules::NAMES))]
    rules: Option<String>,
}

impl Arguments {
    pub(super) fn run(self) -> Outcome {
        let Self { out, rules } = self;
        let shown = out.display();
        if out.exists() {
            return Err(ProjectError::output(format!(
                "{shown} is there already and is not overwritten; name another file with --out"
            )));
        }
        let units = Units::of(rules.as_deref().unwrap_or_default());
        let ending = out.extension().and_then(OsStr::to_str).unwrap_or_default().to_ascii_lowercase();
        let bytes = match ending.as_str() {
            "csv" => blank::csv(units),
            "xlsx" => workbook::blank::write(units, rules.as_deref())
                .map_err(|error| ProjectError::output(format!("{shown} can't be written: {error}")))?,
            _ => {
                return Err(ProjectError::output(format!(
                    "{shown}: an empty schedule is written as .csv or .xlsx; end the name so"
                )));
            }
        };
        let name = out.file_name().and_then(OsStr::to_str);
        let Some(name) = name else { return Err(ProjectError::output(format!("{shown} is no name of a file"))) };
        let folder = out.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
        output::place(folder, &[(name, &bytes)])?;
        print(&format!(
            "written to {shown}: enter one load a row below the example; docs/columns.md explains every column\nthen: motorwright check {shown}{}\n",
            rules.map(|rules| format!(" --rules {rules}")).unwrap_or_default()
        ));
        Ok(false)
    }
}
