//! `crimpbook settings`: what the units' own software is set to, as left at a release, and what became of one setting.

use std::{path::Path, process::ExitCode};

use chrono::Local;
use crimpbook_store::Opened;
use crimpbook_workbook::{
    Book,
    book::{InOrder, natural},
    model::Setting,
    tune::{AsLeft, Past},
};

use super::{Outcome, read, say, wrapped};
use crate::{
    report::Report,
    screen::{
        figures::day,
        model::settings::{left_otherwise, limits},
        text::pad,
    },
};

/// Prints every setting, against those left at a release if one is named; or the past of those called `past`.
pub fn run(file: &Path, left: Option<&str>, past: Option<&str>) -> Outcome {
    let opened = read(file)?;
    let read = past_of(&opened)?;
    match past {
        Some(name) => tell_past(&opened.book, &read, name)?,
        None => list(&opened.book, left.map(|letter| at(&read, letter)).transpose()?)?,
    }
    Ok(ExitCode::SUCCESS)
}

fn past_of(opened: &Opened) -> Result<Past, Report> {
    let mut past = Past::default();
    for head in opened.heads.iter().filter(|head| Past::concerns(head)) {
        past.take(head.seq, &opened.store.entry(head.seq)?);
    }
    Ok(past)
}

fn at<'a>(past: &'a Past, letter: &str) -> Result<&'a AsLeft, Report> {
    past.left(letter).ok_or_else(|| {
        let known: Vec<&str> = past.revisions.iter().map(|left| left.revision.as_str()).collect();
        let known = if known.is_empty() {
            "none yet".to_owned()
        } else {
            known.join(", ")
        };
        Report::user(format!("no revision is called {letter}")).hint(format!("revisions: {known}"))
    })
}

fn in_order(book: &Book) -> Vec<&Setting> {
    let mut all: Vec<&Setting> = book.all::<Setting>().values().collect();
    all.order_by(|s| (natural(&book.label_of(s.unit)), natural(&s.label), s.id));
    all
}

fn list(book: &Book, left: Option<&AsLeft>) -> Result<(), Report> {
    for setting in in_order(book) {
        let mut more = Vec::new();
        match left.map(|left| (left, left_otherwise(left, setting))) {
            Some((left, Some(then))) => more.push(format!("at {}: {then}", left.revision)),
            Some((_, None)) => {}
            None => {
                let may_be = limits(setting);
                if !may_be.is_empty() {
                    more.push(format!("may be {may_be}"));
                }
                if !setting.default_value.is_empty() {
                    more.push(format!("comes with {}", setting.default_value));
                }
                if !setting.page.is_empty() {
                    more.push(format!("page {}", setting.page));
                }
            }
        }
        let line = format!(
            "{} {} {} {}",
            pad(&book.label_of(setting.unit), 4),
            pad(&setting.label, 20),
            pad(&setting.shown(), 24),
            more.join(", ")
        );
        say(line.trim_end())?;
    }
    if let Some(left) = left {
        let now = book.all::<Setting>();
        for (_, then) in left.settings.iter().filter(|(id, _)| now.get(id).is_none()) {
            say(&format!(
                "gone since {}: {} {}",
                left.revision, then.label, then.value
            ))?;
        }
    }
    Ok(())
}

fn tell_past(book: &Book, past: &Past, name: &str) -> Result<(), Report> {
    let called = |s: &&Setting| s.label.eq_ignore_ascii_case(name.trim());
    let found: Vec<&Setting> = in_order(book).into_iter().filter(called).collect();
    if found.is_empty() {
        return Err(
            Report::user(format!("no setting is called {name}")).hint("crimpbook settings FILE lists them")
        );
    }
    for setting in found {
        say(&format!(
            "{} of {}: {}",
            setting.label,
            book.label_of(setting.unit),
            setting.shown()
        ))?;
        for moment in past.of(setting.id) {
            let value = match (&moment.value, moment.turned) {
                (None, _) => "removed",
                (Some(value), true) => value,
                (Some(_), false) => "not turned; something else of it",
            };
            let offset = *moment.at.with_timezone(&Local).offset();
            let why = if moment.why.is_empty() {
                "no why is known".to_owned()
            } else {
                format!("because {}", moment.why)
            };
            let line = format!("{} {} by {}, {why}", day(moment.at, offset), value, moment.who);
            say(&wrapped("  ", &line))?;
        }
    }
    Ok(())
}
