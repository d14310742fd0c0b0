//! `catalogue`: shows, exports or checks the equipment catalogue.

use std::path::{Path, PathBuf};

use clap::Subcommand;

use super::{Outcome, print};
use crate::catalogue::{self, Catalogue};
use crate::project::{ProjectError, ProjectErrorKind};
use crate::report::output;

#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  motorwright catalogue show contactors --rules nec\n  motorwright catalogue export --rules nec --out my-range\n  motorwright catalogue check --rules nec --catalogue my-range"
)]
pub(super) struct Arguments {
    #[command(subcommand)]
    action: Action,
}

#[derive(Debug, Subcommand)]
enum Action {
    /// List the families, or print one.
    #[command(after_help = "Example:\n  motorwright catalogue show contactors --rules nec")]
    Show {
        /// Family, such as contactors.
        family: Option<String>,
        #[command(flatten)]
        which: Which,
    },
    /// Write the built-in range as CSV files, to begin a catalogue of your own with.
    #[command(after_help = "Example:\n  motorwright catalogue export --rules nec --out my-range")]
    Export {
        /// Folder to write to; files that are there already are not overwritten.
        #[arg(long, value_name = "FOLDER")]
        out: PathBuf,
        #[command(flatten)]
        rules: Rules,
    },
    /// Read a catalogue and look whether its families fit together; exit with 1 if there is something to say.
    #[command(after_help = "Example:\n  motorwright catalogue check --rules nec --catalogue my-range")]
    Check {
        #[command(flatten)]
        which: Which,
    },
}

#[derive(Debug, clap::Args)]
struct Rules {
    /// Rule book whose families and built-in range are meant: iec or nec.
    #[arg(long, value_name = "BOOK", default_value = "iec", value_parser = clap::builder::PossibleValuesParser::new(catalogue::RANGES))]
    rules: String,
}

#[derive(Debug, clap::Args)]
struct Which {
    #[command(flatten)]
    rules: Rules,
    /// Folder with a catalogue of your own; the built-in range without it.
    #[arg(long, value_name = "FOLDER")]
    catalogue: Option<PathBuf>,
}

impl Which {
    fn read(&self) -> Result<std::borrow::Cow<'static, Catalogue>, ProjectError> {
        let rules = self.rules.rules.as_str();
        match &self.catalogue {
            None => Ok(std::borrow::Cow::Borrowed(catalogue::builtin(rules))),
            Some(folder) => Ok(std::borrow::Cow::Owned(catalogue::from_folder(folder, rules)?)),
        }
    }
}

impl Arguments {
    pub(super) fn run(self) -> Outcome {
        match self.action {
            Action::Show { family, which } => {
                print(
                    &catalogue::show(which.read()?.as_ref(), family.as_deref())
                        .map_err(|why| ProjectError::new(ProjectErrorKind::UnknownName, why))?,
                );
                Ok(false)
            }
            Action::Export { out, rules } => export(&out, &rules.rules),
            Action::Check { which } => check(which.read()?.as_ref()),
        }
    }
}

fn export(folder: &Path, rules: &str) -> Outcome {
    let files = catalogue::export(rules);
    if let Some((name, _)) = files.iter().find(|(name, _)| folder.join(name).exists()) {
        return Err(ProjectError::output(format!(
            "{} has a file {name} already, which is not overwritten; name another with --out",
            folder.display()
        )));
    }
    let files: Vec<(&str, &[u8])> = files.iter().map(|(name, text)| (name.as_str(), text.as_bytes())).collect();
    output::place(folder, &files)?;
    print(&format!("{} files written to {}: {}\n", files.len(), folder.display(), catalogue::DEMONSTRATION));
    Ok(false)
}

fn check(range: &Catalogue) -> Outcome {
    let findings = catalogue::check(range);
    let mut text = String::new();
    for finding in &findings {
        text.push_str(&crate::finding::render_coloured(finding, None));
        text.push_str("\n\n");
    }
    // Notes are for the owner's information: they ask for nothing.
    let warnings = findings.iter().filter(|finding| finding.severity != crate::finding::Severity::Note).count();
    let counted = match warnings {
        0 => "its families fit together".to_owned(),
        1 => "1 warning".to_owned(),
        more => format!("{more} warnings"),
    };
    text.push_str(&format!("catalogue {} read: {counted}\n", range.name));
    print(&text);
    Ok(warnings > 0)
}
