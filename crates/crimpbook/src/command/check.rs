//! `crimpbook check`: what the checks find, for people and as JSON.

use std::{path::Path, process::ExitCode, sync::Arc};

use crimpbook_workbook::{
    Book,
    analysis::Snapshot,
    check::{self, CHECKS, CannotCheck, Figure, Finding, Report as Found},
};
use serde_json::{Value, json};

use super::{Outcome, read, say, wrapped};
use crate::{report::Report, screen::text::count};

/// Prints what the checks find; the exit code says how grave it is.
pub fn run(file: &Path, as_json: bool, notes: bool) -> Outcome {
    let opened = read(file)?;
    let book = Arc::new(opened.book);
    let found = check::run_proven(&Snapshot::new(Arc::clone(&book)));
    let text = if as_json {
        format!("{:#}", whole(&book, &found))
    } else {
        page(&book, &found, notes)
    };
    say(&text)?;
    Ok(ExitCode::from(found.exit_code()))
}

/// Tells what one check computes.
pub fn explain(name: &str) -> Outcome {
    let Some(check) = check::check_named(name) else {
        let names: Vec<&str> = CHECKS.iter().map(|c| c.name).collect();
        return Err(Report::user(format!("there is no check called {name}"))
            .hint(format!("checks: {}", names.join(", "))));
    };
    say(&format!(
        "{}\n  says    {}\n  needs   {}\n  source  {}",
        check.name, check.what, check.inputs, check.source
    ))?;
    Ok(ExitCode::SUCCESS)
}

/// Lists every check with what it says.
pub fn explain_all() -> Outcome {
    let widest = CHECKS.iter().map(|check| check.name.len()).max().unwrap_or(0) + 2;
    let lines: Vec<String> = CHECKS
        .iter()
        .map(|check| wrapped(&format!("{:<widest$}", check.name), check.what))
        .collect();
    say(&format!(
        "{}\nOne of them in full: crimpbook check --explain {}",
        lines.join("\n"),
        CHECKS.first().map_or("NAME", |check| check.name)
    ))?;
    Ok(ExitCode::SUCCESS)
}

fn page(book: &Book, found: &Found, notes: bool) -> String {
    let mut page = Vec::new();
    for finding in found.findings.iter().chain(found.notes.iter().filter(|_| notes)) {
        page.push(in_words(finding));
    }
    for cannot in &found.cannot_check {
        let sentence = cannot.sentence(book);
        let (head, rest) = sentence.split_once(": ").unwrap_or(("", &sentence));
        page.push(wrapped(&format!("{head}: "), rest));
    }
    page.push(summary(found, notes));
    page.push(
        "A passed check is not an approval: the unit's manual, local codes and licensed practice win."
            .to_owned(),
    );
    page.join("\n")
}

fn in_words(finding: &Finding) -> String {
    let indent = if finding.follows_from.is_some() {
        "    "
    } else {
        ""
    };
    let accepted = finding
        .accepted
        .as_ref()
        .map(|a| match &a.lapsed {
            None => format!(" (accepted: {})", a.why),
            Some(lapsed) => format!(" (was accepted: {}; no longer, since {lapsed})", a.why),
        })
        .unwrap_or_default();
    let level = format!("{indent}{:<9}", finding.level.words().to_uppercase());
    let mut lines = vec![wrapped(&level, &format!("{}{accepted}", finding.sentence))];
    let mut detail = |name: &str, text: &str| {
        if !text.is_empty() {
            lines.push(wrapped(&format!("{indent}{:9}{name:<9}", ""), text));
        }
    };
    let figures: Vec<String> = finding.figures.iter().map(figure).collect();
    detail("figures", &figures.join("; "));
    detail("why", &finding.why_it_matters);
    detail("mend", finding.mend.as_ref().map_or("", |m| m.words.as_str()));
    detail("check", finding.check);
    detail("rests on", &finding.source);
    lines.join("\n")
}

fn figure(figure: &Figure) -> String {
    let value = crimpbook_core::quantity::rounded;
    match figure.limit {
        None => format!("{} {} {}", figure.name, value(figure.value), figure.unit),
        Some(limit) => {
            format!(
                "{} {} {} (limit {} {})",
                figure.name,
                value(figure.value),
                figure.unit,
                value(limit),
                figure.unit
            )
        }
    }
}

fn summary(found: &Found, notes: bool) -> String {
    let mut text = format!(
        "{}, {} open",
        count(found.open_stops(), "stop", "stops"),
        count(found.open_warnings(), "warning", "warnings")
    );
    if !found.notes.is_empty() {
        text.push_str(&format!(
            ", {}{}",
            count(found.notes.len(), "note", "notes"),
            if notes { "" } else { " (--notes lists)" }
        ));
    }
    text.push_str(&format!(
        "; {} missing",
        count(found.cannot_check.len(), "fact", "facts")
    ));
    if found.untried() > 0 {
        text.push_str(&format!(
            "; mends of {} were not tried, since the workbook is large: its Overview tries that of the finding you stand on",
            count(found.untried(), "finding", "findings")
        ));
    }
    text
}

fn whole(book: &Book, found: &Found) -> Value {
    let findings: Vec<Value> = found.all().map(|f| finding_json(book, f)).collect();
    let cannot: Vec<Value> = found.cannot_check.iter().map(|c| cannot_json(book, c)).collect();
    json!({
        "findings": findings,
        "cannot_check": cannot,
        "open_stops": found.open_stops(),
        "open_warnings": found.open_warnings(),
        "notes": found.notes.len(),
        "mends_not_tried": found.untried(),
    })
}

fn finding_json(book: &Book, finding: &Finding) -> Value {
    let figures: Vec<Value> = finding
        .figures
        .iter()
        .map(|f| json!({ "name": f.name, "value": f.value, "limit": f.limit, "unit": f.unit }))
        .collect();
    json!({
        "check": finding.check,
        "level": finding.level.words(),
        "places": finding.places.iter().map(|p| book.name_of(*p)).collect::<Vec<_>>(),
        "sentence": finding.sentence,
        "figures": figures,
        "why_it_matters": finding.why_it_matters,
        "mend": finding.mend.as_ref().map(|m| m.words.clone()),
        "follows_from": finding.follows_from.map(|c| json!({ "check": c.check, "place": book.name_of(c.place) })),
        "mend_by_key": finding.mend.as_ref().is_some_and(|m| m.edit().is_some()),
        "mend_not_tried": finding.untried,
        "accepted": finding.accepted.as_ref().map(|a| json!({
            "why": a.why,
            "who": a.who,
            "at": a.at,
            "lapsed": a.lapsed,
        })),
        "source": finding.source,
    })
}

fn cannot_json(book: &Book, cannot: &CannotCheck) -> Value {
    json!({
        "checks": cannot.checks,
        "place": book.name_of(cannot.place),
        "missing": cannot.missing,
        "fields": cannot.asks.iter().map(|ask| ask.field.name()).collect::<Vec<_>>(),
    })
}
