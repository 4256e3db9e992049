//! `crimpbook keys`: every key, from the table of actions.

use std::process::ExitCode;

use super::{Outcome, say};
use crate::screen::action;

/// Prints the table of keys.
pub fn run() -> Outcome {
    say(action::keys_page().trim_end())?;
    Ok(ExitCode::SUCCESS)
}
