//! One file a command; here only the list, and what all share: options, printing of findings, exit status.
//!
//! Exit status: 0 done, 1 done but something needs attention, 2 could not run and nothing is written.

use std::io::Write;
use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Args, Parser, Subcommand, ValueEnum};

use crate::intake::ReadOptions;
use crate::project::{Options, ProjectError};

mod blank;
mod catalogue;
mod check;
mod compare;
mod decide;
mod explain;
mod progress;
mod shell;
mod size;
mod tables;

/// Command line.
#[derive(Debug, Parser)]
#[command(
    name = "motorwright",
    version,
    about = "Turns a motor load schedule into a complete, checked, purchasable and reviewable set of motor circuits",
    arg_required_else_help = true,
    after_help = "Examples:\n  motorwright blank --out loads.xlsx --rules iec\n  motorwright size loads.csv --basis works.toml --out out\n  motorwright check loads.xlsx --rules iec\n  motorwright explain loads.csv P-101 --rules iec\n  motorwright tables capacity-enclosed\n\nExit status: 0 done; 1 done, but something needs attention; 2 could not run, nothing is written."
)]
pub struct Cli {
    #[command(subcommand)]
    command: Command,
    /// Threads to work on, instead of one a core and at most 8; the outputs are the same.
    #[arg(long, value_name = "NUMBER", global = true)]
    threads: Option<std::num::NonZeroUsize>,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Size every circuit of a schedule and write workbook, submittal, purchase list and design.json.
    Size(size::Arguments),
    /// Read, validate and resolve a schedule; write nothing.
    Check(check::Arguments),
    /// Hold two revisions against each other: schedules, marked-up workbooks or files design.json.
    Compare(compare::Arguments),
    /// Write an empty schedule to fill in.
    Blank(blank::Arguments),
    /// Print one circuit or one board with every step of its working.
    Explain(explain::Arguments),
    /// Print the warnings that wait for a decision, as TOML to fill in for the basis.
    Decide(decide::Arguments),
    /// Print a table of a rule book with its source, or list all tables.
    Tables(tables::Arguments),
    /// Show the equipment catalogue.
    Catalogue(catalogue::Arguments),
    /// Print completions for a shell.
    Completions(shell::Completions),
    /// Print the manual page, or write all pages into a folder.
    Manual(shell::Manual),
}

impl Cli {
    /// Runs the command.
    #[must_use]
    pub fn run(self) -> ExitCode {
        if let Some(threads) = self.threads {
            crate::threads::ask_for(threads);
        }
        let outcome = match self.command {
            Command::Size(arguments) => arguments.run(),
            Command::Check(arguments) => arguments.run(),
            Command::Compare(arguments) => arguments.run(),
            Command::Blank(arguments) => arguments.run(),
            Command::Explain(arguments) => arguments.run(),
            Command::Decide(arguments) => arguments.run(),
            Command::Tables(arguments) => arguments.run(),
            Command::Catalogue(arguments) => arguments.run(),
            Command::Completions(arguments) => arguments.run(),
            Command::Manual(arguments) => arguments.run(),
        };
        match outcome {
            Ok(attention) => ExitCode::from(u8::from(attention)),
            Err(failure) => {
                let mut text = String::new();
                for finding in &failure.findings {
                    text.push_str(&crate::finding::render_coloured(finding, None));
                    text.push('\n');
                }
                text.push_str(&format!("motorwright: {}\n", failure.message));
                let _ = anstream::stderr().write_all(text.as_bytes());
                ExitCode::from(2)
            }
        }
    }
}

/// The end of a command: whether something needs attention, or why it could not run.
type Outcome = Result<bool, ProjectError>;

/// The arguments of every command that reads a schedule.
#[derive(Debug, Args)]
struct InputArguments {
    /// Schedule to read: .csv, .xlsx, .xlsm, .xls or .ods; `-` reads CSV from standard input.
    schedule: PathBuf,
    /// Basis of the design: a TOML file.
    #[arg(long, value_name = "FILE")]
    basis: Option<PathBuf>,
    /// Rule book, where the basis names none.
    #[arg(long, value_name = "BOOK")]
    rules: Option<String>,
    /// Folder with a catalogue of your own.
    #[arg(long, value_name = "FOLDER")]
    catalogue: Option<PathBuf>,
    #[command(flatten)]
    reading: ReadingArguments,
}

/// How a schedule is read where the file does not tell it.
#[derive(Clone, Debug, Args)]
struct ReadingArguments {
    /// Encoding of a CSV file, such as windows-1250, where it is not told rightly.
    #[arg(long, value_name = "NAME")]
    encoding: Option<String>,
    /// Separator of a CSV file: comma, semicolon, tab or bar, where it is not told rightly.
    #[arg(long, value_name = "MARK")]
    separator: Option<String>,
    /// What a heading means, such as 'Leistung=rated_power_kw'; may stand several times.
    #[arg(long = "map", value_name = "HEADING=COLUMN", value_parser = heading_and_column)]
    columns: Vec<(String, String)>,
    /// Sheet of a workbook that is the schedule; may stand several times. Without it every sheet with headings is read.
    #[arg(long = "sheet", value_name = "NAME")]
    sheets: Vec<String>,
}

impl ReadingArguments {
    fn options(self) -> ReadOptions {
        ReadOptions {
            encoding: self.encoding,
            separator: self.separator,
            columns: self.columns,
            columns_of_basis: Vec::new(),
            sheets: self.sheets,
            american: false,
            american_books: Vec::new(),
        }
    }
}

/// Two tags that are one row: `OLD=NEW`.
fn two_tags(text: &str) -> Result<(String, String), String> {
    match text.split_once('=') {
        Some((old, new)) if !old.trim().is_empty() && !new.trim().is_empty() => {
            Ok((old.trim().to_owned(), new.trim().to_owned()))
        }
        _ => Err("write the old tag, a sign of equality and the new tag, such as 'P-101=P-201'".to_owned()),
    }
}

/// Splits at the last sign of equality: a heading may hold one, a column's name does not.
fn heading_and_column(text: &str) -> Result<(String, String), String> {
    match text.rsplit_once('=') {
        Some((heading, column)) if !heading.trim().is_empty() => {
            Ok((heading.trim().to_owned(), column.trim().to_owned()))
        }
        _ => Err("write the heading, a sign of equality and the column's name, such as 'Leistung=rated_power_kw', or none for a column that is not to be read".to_owned()),
    }
}

impl InputArguments {
    fn options(self) -> Options {
        let reading = self.reading.options();
        Options { schedule: self.schedule, basis: self.basis, rules: self.rules, catalogue: self.catalogue, reading }
    }
}

/// How findings are printed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
enum FindingFormat {
    /// For a person.
    #[default]
    Text,
    /// JSON: findings as in design.json; `check` adds counts and the mapping of columns, `compare` prints what differs.
    Json,
}

/// Prints to standard output; a closed pipe is no failure.
fn print(text: &str) {
    let mut out = anstream::stdout();
    let _ = out.write_all(text.as_bytes());
    let _ = out.flush();
}

/// A value as JSON; a failure is told, so that nobody takes it for an answer without findings.
fn json(value: &impl serde::Serialize) -> Result<String, ProjectError> {
    let mut text =
        serde_json::to_string_pretty(value).map_err(|error| ProjectError::output(format!("JSON can't be written: {error}")))?;
    text.push('\n');
    Ok(text)
}

#[cfg(test)]
mod tests {
    #[test]
    fn arguments_are_consistent() {
        use clap::CommandFactory;
        super::Cli::command().debug_assert();
    }
}
