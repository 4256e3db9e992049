//! `crimpbook restore`: the copies kept of a workbook, and one of them in its place.

use std::{
    path::{Path, PathBuf},
    process::ExitCode,
};

use chrono::Local;
use crimpbook_store::{COPIES_KEPT, DayCopy, Store};

use super::{Outcome, say, typed};
use crate::{report::Report, screen::text::count};

/// Lists the copies, or puts one in the place of the workbook.
pub fn run(file: &Path, copy: Option<&str>) -> Outcome {
    let copies = crimpbook_store::copies(file);
    let Some(copy) = copy else {
        return list(file, &copies);
    };
    let from = copies
        .iter()
        .find(|kept| kept.day == copy)
        .map_or_else(|| PathBuf::from(copy), |kept| kept.path.clone());
    if !from.exists() {
        return Err(Report::user(format!(
            "{} has no copy of {copy}, and there is no file of that name; nothing was changed",
            file.display()
        ))
        .hint(format!(
            "crimpbook restore {} lists the copies there are",
            typed(file)
        )));
    }
    let restored = crimpbook_store::restore(file, &from)?;
    let aside = restored.aside.map_or_else(String::new, |aside| {
        format!("; what was there is now {}", aside.display())
    });
    say(&format!(
        "{} is now the copy {} with {}{aside}",
        file.display(),
        from.display(),
        count(
            usize::try_from(restored.verified.head.seq).unwrap_or(usize::MAX),
            "entry",
            "entries"
        ),
    ))?;
    Ok(ExitCode::SUCCESS)
}

fn list(file: &Path, copies: &[DayCopy]) -> Outcome {
    if copies.is_empty() {
        say(&format!(
            "{} has no copies yet: one is kept each day it is opened on the screen and holds something new, the last {COPIES_KEPT} stay",
            file.display()
        ))?;
        return Ok(ExitCode::SUCCESS);
    }
    let mut page = vec![format!("Copies of {}, oldest first:", file.display())];
    page.extend(copies.iter().map(line));
    if let Some(last) = copies.last() {
        page.push(format!(
            "To put one in its place: crimpbook restore {} {}",
            typed(file),
            last.day
        ));
    }
    say(&page.join("\n"))?;
    Ok(ExitCode::SUCCESS)
}

/// A copy's day and how far it goes.
fn line(copy: &DayCopy) -> String {
    let told = match Store::open_read_only(&copy.path) {
        Err(error) => error.sentence,
        Ok(opened) => match opened.heads.last() {
            None => "nothing in it".to_owned(),
            Some(last) => format!(
                "{}, the last of {}: {}",
                count(opened.heads.len(), "entry", "entries"),
                last.at.with_timezone(&Local).format("%Y-%m-%d %H:%M"),
                last.title
            ),
        },
    };
    format!("  {}  {told}", copy.day)
}
