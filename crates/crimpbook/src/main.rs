//! Starts the program.

use std::process::ExitCode;

use clap::Parser;
use crimpbook::{cli::Cli, command};

fn main() -> ExitCode {
    // Wrong usage ends here with clap's own exit code, which is 2.
    match command::run(Cli::parse()) {
        Ok(code) => code,
        Err(report) => {
            eprintln!("crimpbook: {report}");
            ExitCode::from(report.trouble.exit_code())
        }
    }
}
