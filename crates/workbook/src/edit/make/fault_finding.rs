//! Sessions of fault finding.

use super::{Change, Edit, Refusal, cannot};
use crate::{Book, model::FaultFinding};

/// Keeps a session of fault finding with its outcome.
///
/// # Errors
/// Nothing was seen or read, or nothing is said of how it ended.
pub fn keep_fault_finding(book: &Book, session: FaultFinding) -> Result<Edit, Refusal> {
    if session.outcome.trim().is_empty() {
        return Err(cannot(
            book,
            session.id,
            "say what it was and what was done, or how it was left",
        ));
    }
    if session.said.is_empty() {
        return Err(cannot(book, session.id, "nothing was seen or read yet"));
    }
    let head = if session.found {
        "fault found"
    } else {
        "fault not found"
    };
    let title = format!("{head}: {}", session.outcome.trim());
    Ok(Edit::design(title, vec![Change::make(session)]))
}
