//! Trials, steps of the first run, names of files.

use super::{Change, Edit, Refusal, cannot};
use crate::{
    Book,
    log::EntryKind,
    model::{FileNote, FirstRun, FirstRunStep, IdMaker, Trial},
    tune::{as_driven, gone_through},
};
use chrono::{DateTime, Utc};

/// Logs a trial with the settings as they are now.
///
/// # Errors
/// None of its own; the door refuses the first one before the first run is gone through, and any while a temporary link
/// stands.
pub fn log_trial(book: &Book, trial: Trial) -> Result<Edit, Refusal> {
    let title = match trial.place.trim() {
        "" => "trial driven".to_owned(),
        place => format!("trial driven: {place}"),
    };
    let trial = Trial {
        settings: as_driven(book),
        ..trial
    };
    Ok(Edit::new(EntryKind::Trial, title, vec![Change::make(trial)]))
}

/// Says more of a trial that was logged. The settings it was driven with stay as they were.
///
/// # Errors
/// It is gone, or nothing is changed.
pub fn change_trial(book: &Book, trial: Trial) -> Result<Edit, Refusal> {
    let before = super::need(book, trial.id)?.clone();
    let trial = Trial {
        settings: before.settings.clone(),
        ..trial
    };
    if trial == before {
        return Err(cannot(book, trial.id, "is so already; nothing to change"));
    }
    let title = format!("trial of {}: more is said of it", trial.at.format("%Y-%m-%d"));
    Ok(Edit::new(
        EntryKind::Trial,
        title,
        vec![Change::replace(before, trial)],
    ))
}

/// Notes that a step of the first run was gone through. One that was is noted anew: what was seen then stays in the log.
///
/// # Errors
/// A step before it is open.
pub fn go_through(
    book: &Book,
    ids: &mut IdMaker,
    step: FirstRunStep,
    (who, at): (&str, DateTime<Utc>),
    note: &str,
) -> Result<Edit, Refusal> {
    let earlier = FirstRunStep::ALL.iter().take_while(|s| **s != step);
    if let Some(open) = earlier.copied().find(|s| gone_through(book, *s).is_none()) {
        return Err(Refusal::invalid(
            format!("the first run: {}", step.words()),
            None,
            format!("comes after: {}", open.words()),
        ));
    }
    let before = gone_through(book, step).cloned();
    let row = FirstRun {
        id: before.as_ref().map_or_else(|| ids.make(), |row| row.id),
        step,
        at,
        who: who.to_owned(),
        revision: book.revision().unwrap_or_default().to_owned(),
        note: note.trim().to_owned(),
    };
    let change = match before {
        Some(before) => Change::replace(before, row),
        None => Change::make(row),
    };
    let title = format!("first run: {}", step.words());
    Ok(Edit::new(EntryKind::Trial, title, vec![change]))
}

/// Notes the name of a photo or file, or says something else of one that is noted.
///
/// # Errors
/// Nothing is changed; the door refuses an empty name, and what is gone.
pub fn put_file(book: &Book, file: FileNote) -> Result<Edit, Refusal> {
    let Some(before) = book.get(file.id) else {
        let title = format!("photo or file {} noted", file.name);
        return Ok(Edit::design(title, vec![Change::make(file)]));
    };
    if *before == file {
        return Err(cannot(book, file.id, "is so already; nothing to change"));
    }
    let title = format!("photo or file {} changed", file.name);
    Ok(Edit::design(title, vec![Change::replace(before.clone(), file)]))
}
