//! Command line of Motorwright: arguments, exit status, nothing else.

use std::process::ExitCode;

use clap::Parser;

fn main() -> ExitCode {
    motorwright::commands::Cli::parse().run()
}
