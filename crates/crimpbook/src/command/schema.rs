//! `crimpbook schema`: the JSON Schema of the interchange format.

use std::process::ExitCode;

use super::{Outcome, say};

/// Prints the schema.
pub fn run() -> Outcome {
    say(&format!("{:#}", crimpbook_record::json::schema()))?;
    Ok(ExitCode::SUCCESS)
}
