//! Starts the program.

use std::{
    io::{Write, stderr},
    process::ExitCode,
};

use clap::Parser;
use crimpbook::{
    cli::{self, Cli},
    command,
    report::Report,
};

fn main() -> ExitCode {
    let done = match Cli::try_parse() {
        Ok(cli) => command::run(cli),
        // Wrong usage ends here with clap's own exit code, which is 2; help and version with 0.
        Err(wrong) => match cli::misplaced(&wrong, std::env::args_os().skip(1)) {
            Some(report) => Err(report),
            None => wrong.exit(),
        },
    };
    done.unwrap_or_else(|report| {
        tell(&report);
        ExitCode::from(report.trouble.exit_code())
    })
}

/// Says what is wrong; where nobody listens, the exit code still does.
fn tell(report: &Report) {
    let _ = writeln!(stderr(), "crimpbook: {report}");
}
