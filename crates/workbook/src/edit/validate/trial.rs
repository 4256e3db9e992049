//! Settings, trials, names of files.

use super::figure::Figures;
use super::{Refusal, bad};
use crate::{
    Book,
    model::{FileNote, Setting, Trial},
};

pub(super) fn setting(book: &Book, row: &Setting) -> Result<(), Refusal> {
    Figures { book, row }.order(("least", row.least), ("most", row.most), &unit(row))
}

fn unit(row: &Setting) -> String {
    match row.measure.as_str() {
        "" => String::new(),
        measure => format!(" {measure}"),
    }
}

pub(super) fn trial(book: &Book, row: &Trial) -> Result<(), Refusal> {
    let mut names: Vec<String> = Vec::new();
    for mark in &row.marks {
        let name = mark.name.trim().to_lowercase();
        if name.is_empty() {
            return bad(book, row, "has a mark of nothing; say what felt so");
        }
        if names.contains(&name) {
            return bad(book, row, format!("has {name} marked twice; keep one"));
        }
        if !(1..=5).contains(&mark.mark) {
            let problem = format!(
                "its mark of {name} must be from 1 to 5, not {}; correct it",
                mark.mark
            );
            return bad(book, row, problem);
        }
        names.push(name);
    }
    if row.peaks.iter().any(|peak| peak.name.trim().is_empty()) {
        return bad(
            book,
            row,
            "has a peak of nothing; say of what it was the highest or lowest",
        );
    }
    Ok(())
}

pub(super) fn file_note(book: &Book, row: &FileNote) -> Result<(), Refusal> {
    if row.name.trim().is_empty() {
        return bad(book, row, "has no name; give the file's");
    }
    Ok(())
}
