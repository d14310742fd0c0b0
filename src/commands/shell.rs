//! `completions` and `manual`: what a shell and `man` need, made from the same list of arguments that the program reads by.

use std::path::PathBuf;

use clap::CommandFactory;

use super::{Cli, Outcome, print};
use crate::project::ProjectError;
use crate::report::output;

#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  motorwright completions bash > ~/.local/share/bash-completion/completions/motorwright")]
pub(super) struct Completions {
    /// Shell that they are for.
    #[arg(value_enum)]
    shell: clap_complete::Shell,
}

impl Completions {
    pub(super) fn run(self) -> Outcome {
        let mut text = Vec::new();
        clap_complete::generate(self.shell, &mut Cli::command(), "motorwright", &mut text);
        print(&String::from_utf8_lossy(&text));
        Ok(false)
    }
}

#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  motorwright manual --out ~/.local/share/man/man1")]
pub(super) struct Manual {
    /// Folder for a page of the program and one for each command; without it the program's page is printed.
    #[arg(long, value_name = "FOLDER")]
    out: Option<PathBuf>,
}

impl Manual {
    pub(super) fn run(self) -> Outcome {
        let mut whole = Cli::command().disable_help_subcommand(true);
        // Names and global options reach the pages of the commands only once the command is built.
        whole.build();
        let mut pages = vec![("motorwright.1".to_owned(), page(&whole)?)];
        let Some(folder) = self.out else {
            let (_, page) = &pages[0];
            print(&String::from_utf8_lossy(page));
            return Ok(false);
        };
        for command in whole.get_subcommands() {
            pages.push((format!("motorwright-{}.1", command.get_name()), page(command)?));
        }
        let files: Vec<(&str, &[u8])> = pages.iter().map(|(name, page)| (name.as_str(), page.as_slice())).collect();
        output::place(&folder, &files)?;
        print(&format!("written to {}: {} pages\n", folder.display(), files.len()));
        Ok(false)
    }
}

/// A page without a date: the same program writes the same bytes.
fn page(command: &clap::Command) -> Result<Vec<u8>, ProjectError> {
    let mut page = Vec::new();
    let manual = clap_mangen::Man::new(command.clone()).date("").manual("Motorwright");
    manual.render(&mut page).map_err(|error| ProjectError::output(format!("the manual can't be made: {error}")))?;
    Ok(page)
}
