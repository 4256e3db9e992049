//! Trials: drives with what they felt like, a plot of a trait with a setting beside it, the steps of the first run.

use std::sync::{Arc, Weak};

use crimpbook_workbook::{
    Book,
    book::natural,
    model::{FirstRunStep, Id, Setting, TRAITS, Trial},
    tune::{Turned, changed_for, open_steps, trials_in_order},
};

use super::{
    Model,
    kept::Kept,
    sieve::{By, List, Sieve, arrange},
};

/// What the Trials screen shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Shows {
    /// The trials.
    #[default]
    List,
    /// One trial in full.
    Detail,
    /// A trait over the trials.
    Plot,
    /// The steps of the first run.
    FirstRun,
}

/// State of the Trials screen.
#[derive(Debug, Clone, Default)]
pub struct Trials {
    /// What is shown.
    pub shows: Shows,
    /// The trial the cursor is on; 0 is the newest.
    pub at: usize,
    /// Lines of the detail that are scrolled past.
    pub from: usize,
    /// The trait plotted.
    pub feel: usize,
    /// The setting beside it.
    pub setting: usize,
    /// The step of the first run that the cursor is on.
    pub step: usize,
    /// The trials listed, and what they were arranged from.
    pub kept: Kept<From, Id<Trial>>,
}

/// The book and the order that trials were arranged from.
#[derive(Debug, Clone)]
pub struct From(Weak<Book>, Sieve);

impl PartialEq for From {
    fn eq(&self, other: &Self) -> bool {
        // A book that is gone keeps its place in memory from being another's as long as this names it.
        Weak::ptr_eq(&self.0, &other.0) && self.1 == other.1
    }
}

/// The trials listed, the newest first or in the order chosen.
pub fn rows(model: &Model) -> Arc<[Id<Trial>]> {
    let sieve = model.sieves.of(List::Trials);
    let from = From(Arc::downgrade(&model.book), sieve.clone());
    model.trials.kept.places(from, || arranged(&model.book, &sieve))
}

fn arranged(book: &Book, sieve: &Sieve) -> Vec<Id<Trial>> {
    let mut rows = trials_in_order(book);
    rows.reverse();
    arrange(
        sieve,
        &mut rows,
        |t| said(t),
        |t, by| match by {
            1 => By::words(&t.place),
            _ => By::figure(mean_mark(t)),
        },
    );
    rows.into_iter().map(|trial| trial.id).collect()
}

/// All words of a trial.
fn said(trial: &Trial) -> String {
    let marks = trial.marks.iter().map(|m| format!("{} {}", m.name, m.mark));
    let marks: Vec<String> = marks.collect();
    [
        &trial.words,
        &trial.changed,
        &trial.why,
        &trial.felt,
        &trial.place,
        &trial.conditions,
        &trial.faults,
        &trial.who,
        &marks.join(" "),
    ]
    .map(String::as_str)
    .join(" ")
}

/// The mean of its marks.
fn mean_mark(trial: &Trial) -> Option<f64> {
    let all = trial.marks.len();
    let sum: f64 = trial.marks.iter().map(|m| m.mark as f64).sum();
    (all > 0).then(|| sum / all as f64)
}

/// The trial the cursor is on.
pub fn trial(model: &Model) -> Option<&Trial> {
    let rows = rows(model);
    let at = model.trials.at.min(rows.len().saturating_sub(1));
    model.book.get(*rows.get(at)?)
}

/// The step of the first run that the cursor is on.
pub fn step(model: &Model) -> Option<FirstRunStep> {
    FirstRunStep::ALL.get(model.trials.step).copied()
}

/// How many steps of the first run nobody has gone through.
pub fn open(model: &Model) -> usize {
    open_steps(&model.book).len()
}

/// What was turned between a trial and the one before it.
pub fn turned(model: &Model, trial: &Trial) -> Vec<Turned> {
    changed_for(&model.book, trial)
}

/// The warning where more than one setting was turned.
pub fn two_at_once(turned: &[Turned]) -> Option<String> {
    if turned.len() < 2 {
        return None;
    }
    let words: Vec<String> = turned.iter().map(Turned::words).collect();
    Some(format!(
        "{} settings were turned at once, so nobody can tell which it was: {}",
        turned.len(),
        words.join("; ")
    ))
}

/// Traits that any trial has a mark of, the usual ones first.
pub fn traits(model: &Model) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    let mut marked = trials_in_order(&model.book);
    marked.reverse();
    let all = marked
        .iter()
        .flat_map(|t| &t.marks)
        .map(|m| m.name.to_lowercase());
    for name in all {
        if !names.contains(&name) {
            names.push(name);
        }
    }
    let usual = |name: &String| TRAITS.iter().position(|t| t == name).unwrap_or(TRAITS.len());
    names.sort_by_cached_key(|name| (usual(name), natural(name)));
    names
}

/// Settings that were noted with any trial: those that were turned between two first, the most often turned before the
/// others.
pub fn settings(model: &Model) -> Vec<(Id<Setting>, String)> {
    let trials = trials_in_order(&model.book);
    let mut all: Vec<(Id<Setting>, String, usize)> = Vec::new();
    for trial in &trials {
        for of in &trial.settings {
            match all.iter_mut().find(|(id, ..)| *id == of.setting) {
                Some(known) => known.1 = of.name(),
                None => all.push((of.setting, of.name(), 0)),
            }
        }
        for turned in turned(model, trial) {
            if let Some(known) = all.iter_mut().find(|(id, ..)| *id == turned.setting) {
                known.2 += 1;
            }
        }
    }
    all.sort_by_cached_key(|(_, name, times)| (std::cmp::Reverse(*times), natural(name)));
    all.into_iter().map(|(id, name, _)| (id, name)).collect()
}
