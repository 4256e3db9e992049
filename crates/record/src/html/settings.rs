//! Settings of the units' own software as left, test drives, the first run, names of photos and files.

use std::collections::BTreeSet;

use crimpbook_workbook::{
    book::{InOrder, natural},
    model::{FileNote, FirstRunStep, Setting, Trial},
    tune::{AsLeft, changed_for, gone_through, trials_in_order},
};

use super::{
    RecordInput,
    table::{Row, link, table},
};
use crate::{
    markup::{Element, el},
    order::by_label,
    words::{marks, peaks},
};

pub(super) fn body(input: &RecordInput<'_>) -> Vec<Element> {
    let mut all = vec![settings(input)];
    all.extend(as_left(input));
    all.extend(super::pedal::body(input));
    all.extend([trials(input), first_run(input), files(input)]);
    all
}

/// What a setting may be (`0 to 40`).
fn limits(setting: &Setting) -> String {
    match (setting.least, setting.most) {
        (Some(least), Some(most)) => format!("{least} to {most}"),
        (Some(least), None) => format!("from {least}"),
        (None, Some(most)) => format!("up to {most}"),
        (None, None) => String::new(),
    }
}

fn settings(input: &RecordInput<'_>) -> Element {
    let book = input.book();
    let mut settings = by_label::<Setting>(book);
    settings.order_by(|s| natural(&book.label_of(s.unit)));
    let settings = settings.into_iter().map(|setting| {
        let mut cavities = el("td");
        for (at, id) in setting.cavities.iter().enumerate() {
            cavities = cavities.text(if at > 0 { ", " } else { "" }).child(link(
                "cavity",
                *id,
                book.cavity_name(*id),
            ));
        }
        Row::new()
            .text(book.label_of(setting.unit))
            .name(&setting.label)
            .cell(el("td").text(setting.shown()))
            .text(limits(setting))
            .text(&setting.default_value)
            .text(&setting.page)
            .cell(cavities)
            .text(&setting.note)
    });
    table(
        "Settings as left",
        "settings",
        &[
            "Unit",
            "Setting",
            "Value",
            "May be",
            "Comes with",
            "Page",
            "Cavities",
            "Note",
        ],
        settings,
    )
}

/// So many releases stand beside each other on a page.
const RELEASES: usize = 5;

/// Every setting as it was left at the releases, beside what it is now; none before the first.
fn as_left(input: &RecordInput<'_>) -> Option<Element> {
    let book = input.book();
    let all = &input.past.revisions;
    let left: Vec<&AsLeft> = all.get(all.len().saturating_sub(RELEASES)..)?.iter().collect();
    if left.is_empty() {
        return None;
    }
    let mut settings = by_label::<Setting>(book);
    settings.order_by(|s| natural(&book.label_of(s.unit)));
    let heads: Vec<String> = ["Unit".to_owned(), "Setting".to_owned()]
        .into_iter()
        .chain(left.iter().map(|l| format!("Revision {}", l.revision)))
        .chain(["Now".to_owned()])
        .collect();
    let heads: Vec<&str> = heads.iter().map(String::as_str).collect();
    let now = settings.iter().map(|s| s.id);
    // What was there at a release and is no more.
    let gone: BTreeSet<_> = left.iter().flat_map(|l| l.settings.keys().copied()).collect();
    let ids: Vec<_> = now
        .clone()
        .chain(gone.into_iter().filter(|id| book.get(*id).is_none()))
        .collect();
    let rows = ids.into_iter().map(|id| {
        let then = |l: &&AsLeft| l.settings.get(&id).cloned();
        let name = book.get(id).map_or_else(
            || {
                left.iter()
                    .rev()
                    .find_map(then)
                    .map_or_else(String::new, |l| l.label)
            },
            |s| s.label.clone(),
        );
        let unit = book.get(id).map_or_else(String::new, |s| book.label_of(s.unit));
        let row = left.iter().fold(Row::new().text(unit).name(name), |row, l| {
            row.text(l.settings.get(&id).map_or("not there", |l| l.value.as_str()))
        });
        row.text(book.get(id).map_or_else(|| "removed".to_owned(), Setting::shown))
    });
    Some(table(
        "Settings as left at each release",
        "settings-left",
        &heads,
        rows,
    ))
}

fn trials(input: &RecordInput<'_>) -> Element {
    let book = input.book();
    let trials = trials_in_order(book).into_iter().map(|trial| {
        Row::new()
            .moment(trial.at)
            .text(&trial.who)
            .text(joined([&trial.place, &trial.conditions, &trial.words]))
            .text(changed(input, trial))
            .text(joined([&marks(trial), &trial.felt]))
            .text(joined([&peaks(trial), &trial.faults]))
            .text(&trial.next)
    });
    table(
        "Trials",
        "trials",
        &[
            "When (UTC)",
            "Who",
            "Where and what",
            "Changed before it",
            "Felt (1 bad to 5 right)",
            "Peaks and faults",
            "Next",
        ],
        trials,
    )
}

/// What was changed before a trial and why; more than one setting at once is told.
fn changed(input: &RecordInput<'_>, trial: &Trial) -> String {
    let because = if trial.why.is_empty() {
        String::new()
    } else {
        format!("because {}", trial.why)
    };
    let turned = changed_for(input.book(), trial);
    let at_once = if turned.len() > 1 {
        let words: Vec<String> = turned.iter().map(|t| t.words()).collect();
        format!(
            "{} settings were turned at once: {}",
            turned.len(),
            words.join(", ")
        )
    } else {
        String::new()
    };
    joined([&trial.changed, &because, &at_once])
}

/// Texts one after the other, those that are there.
fn joined<const N: usize>(texts: [&String; N]) -> String {
    let texts: Vec<&str> = texts
        .into_iter()
        .map(String::as_str)
        .filter(|t| !t.is_empty())
        .collect();
    texts.join("; ")
}

fn first_run(input: &RecordInput<'_>) -> Element {
    let steps = FirstRunStep::ALL.iter().map(|step| {
        let row = Row::new().text(step.words()).text(step.caution());
        match gone_through(input.book(), *step) {
            Some(done) => {
                let by = if done.revision.is_empty() {
                    done.who.clone()
                } else {
                    format!("{}, revision {}", done.who, done.revision)
                };
                row.moment(done.at).text(by).text(&done.note)
            }
            None => row.text("open").text("").text(""),
        }
    });
    table(
        "First run (steps gone through are no approval)",
        "first-run",
        &["Step", "Caution", "Gone through (UTC)", "Who", "Seen"],
        steps,
    )
}

fn files(input: &RecordInput<'_>) -> Element {
    let book = input.book();
    let mut files: Vec<&FileNote> = book.all::<FileNote>().values().collect();
    files.order_by(|f| (natural(&f.name), f.id));
    let files = files.into_iter().map(|file| {
        Row::new()
            .name(&file.name)
            .text(file.of.map_or_else(String::new, |key| book.name_of(key)))
            .text(&file.note)
            .moment(file.at)
            .text(&file.who)
    });
    table(
        "Photos and files, kept elsewhere",
        "photos-and-files",
        &["Name", "Of", "Note", "Noted (UTC)", "Who"],
        files,
    )
}
