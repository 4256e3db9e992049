//! What is read from a file or from standard input.

use std::{
    fs::File,
    io::{self, IsTerminal, Read},
    path::Path,
};

use crate::report::Report;

/// The bytes of a file, or of standard input where it is called `-`, and what to call it. One byte more than `most` is
/// read at most, so that too much of it is noticed and does not fill the memory.
pub fn bytes(source: &Path, most: usize) -> Result<(String, Vec<u8>), Report> {
    let mut bytes = Vec::new();
    let limit = u64::try_from(most).unwrap_or(u64::MAX).saturating_add(1);
    let (name, read) = if source == Path::new("-") {
        if io::stdin().is_terminal() {
            return Err(Report::user(
                "- reads from standard input, and nothing is piped in",
            ));
        }
        (
            "standard input".to_owned(),
            io::stdin().lock().take(limit).read_to_end(&mut bytes),
        )
    } else {
        let read = File::open(source).and_then(|file| file.take(limit).read_to_end(&mut bytes));
        (source.display().to_string(), read)
    };
    match read {
        Ok(_) => Ok((name, bytes)),
        Err(e) => Err(unreadable(&name, &e, "nothing was changed")),
    }
}

/// Why a file that was named cannot be read, and what did not come of it.
pub fn unreadable(name: &str, error: &io::Error, so: &str) -> Report {
    if error.kind() == io::ErrorKind::NotFound {
        return Report::file(format!("there is no file {name}")).hint(format!("look at the name; {so}"));
    }
    Report::file(format!("{name} cannot be read ({}); {so}", error.kind()))
}
