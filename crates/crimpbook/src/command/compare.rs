//! `crimpbook compare`: what changed between two points, or against another workbook.

use std::{collections::HashSet, path::Path, process::ExitCode};

use crimpbook_record::compare::{Comparison, compare, rewound};
use crimpbook_store::Opened;
use crimpbook_workbook::{
    Book,
    log::Entry,
    model::{About, ChangeId},
};

use super::{Outcome, export::one_file, read, say, wrapped};
use crate::report::Report;

/// Compares two points of one log.
pub fn points(file: &Path, from: Option<&str>, to: Option<&str>, html: Option<&Path>) -> Outcome {
    let opened = read(file)?;
    let from = match from {
        Some(word) => point(&opened, word)?,
        None => match opened.heads.iter().rfind(|head| head.revision.is_some()) {
            Some(head) => Point {
                seq: head.seq,
                words: format!("revision {}", head.revision.as_deref().unwrap_or("")),
            },
            None => {
                return Err(Report::user(
                    "no revision was released yet, so there is nothing to compare with",
                )
                .hint("name two entries by their numbers; crimpbook log lists them"));
            }
        },
    };
    let to = point(&opened, to.unwrap_or("now"))?;
    if from.seq > to.seq {
        return Err(
            Report::user(format!("{} comes after {}", from.words, to.words)).hint("name the older one first")
        );
    }
    told(file, &opened, &between(&opened, &from, &to)?, html)
}

/// Compares from another workbook to this one.
pub fn with(file: &Path, other: &Path, html: Option<&Path>) -> Outcome {
    let (new, old) = (read(file)?, read(other)?);
    // Entries that only this one has say why.
    let known: HashSet<ChangeId> = old.heads.iter().map(|head| head.id).collect();
    let own = new.heads.iter().filter(|head| !known.contains(&head.id));
    let entries = own
        .map(|head| new.store.entry(head.seq))
        .collect::<Result<Vec<Entry>, _>>()?;
    let (from, to) = (other.display().to_string(), file.display().to_string());
    let comparison = compare((&from, &old.book), (&to, &new.book), &entries);
    told(file, &new, &comparison, html)
}

/// What changed since the last release, where there is one and anything did.
pub fn since_release(opened: &Opened) -> Result<Option<(String, Comparison)>, Report> {
    let Some(head) = opened.heads.iter().rfind(|head| head.revision.is_some()) else {
        return Ok(None);
    };
    let letter = head.revision.clone().unwrap_or_default();
    let from = Point {
        seq: head.seq,
        words: format!("revision {letter}"),
    };
    let comparison = between(opened, &from, &point(opened, "now")?)?;
    Ok((!comparison.changed.is_empty()).then_some((letter, comparison)))
}

/// A place in the log: after this entry.
struct Point {
    seq: u64,
    words: String,
}

fn point(opened: &Opened, word: &str) -> Result<Point, Report> {
    let last = opened.heads.last().map_or(0, |head| head.seq);
    if word.eq_ignore_ascii_case("now") {
        return Ok(Point {
            seq: last,
            words: "now".to_owned(),
        });
    }
    if let Ok(seq) = word.parse::<u64>()
        && (1..=last).contains(&seq)
    {
        return Ok(Point {
            seq,
            words: format!("entry {seq}"),
        });
    }
    let released = opened.heads.iter().rfind(|h| {
        h.revision
            .as_deref()
            .is_some_and(|r| r.eq_ignore_ascii_case(word))
    });
    match released {
        Some(head) => Ok(Point {
            seq: head.seq,
            words: format!("revision {}", head.revision.as_deref().unwrap_or("")),
        }),
        None => {
            let letters: Vec<&str> = opened
                .heads
                .iter()
                .filter_map(|h| h.revision.as_deref())
                .collect();
            let letters = if letters.is_empty() {
                "none yet".to_owned()
            } else {
                letters.join(", ")
            };
            Err(Report::user(format!(
                "{word} is no revision, no entry from 1 to {last}, and not now"
            ))
            .hint(format!("revisions: {letters}")))
        }
    }
}

fn between(opened: &Opened, from: &Point, to: &Point) -> Result<Comparison, Report> {
    let last = opened.heads.last().map_or(0, |head| head.seq);
    let entries = |range: std::ops::RangeInclusive<u64>| {
        range
            .map(|seq| opened.store.entry(seq))
            .collect::<Result<Vec<Entry>, _>>()
    };
    let led = entries(from.seq + 1..=to.seq)?;
    let new: Book = rewound(&opened.book, &entries(to.seq + 1..=last)?);
    let old = rewound(&new, &led);
    Ok(compare((&from.words, &old), (&to.words, &new), &led))
}

fn told(file: &Path, opened: &Opened, comparison: &Comparison, html: Option<&Path>) -> Outcome {
    if html.is_some() {
        let vehicle = opened
            .book
            .all::<About>()
            .values()
            .next()
            .map_or("", |about| about.vehicle.as_str());
        one_file(file, &comparison.html(vehicle), html)?;
        return Ok(ExitCode::SUCCESS);
    }
    say(&format!(
        "from {} to {}: {}",
        comparison.from,
        comparison.to,
        comparison.counts()
    ))?;
    for line in comparison.lines() {
        let text = line.trim_start();
        let indent = line.strip_suffix(text).unwrap_or("");
        say(&wrapped(indent, text))?;
    }
    Ok(ExitCode::SUCCESS)
}
