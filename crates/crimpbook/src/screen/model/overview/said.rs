//! Findings as rows, and all that is said of one.

use crimpbook_workbook::{
    book::natural,
    check::Finding,
    model::{Key, Kind, Rule},
};

use super::{Part, Row, To};
use crate::screen::{
    figures,
    model::{
        Model,
        findings::{self, mark},
        sieve::{By, List, arrange},
    },
    text::count,
};

/// Stops and warnings, then what cannot be checked.
pub fn findings(model: &Model, rows: &mut Vec<Row>) {
    let mut all = Vec::new();
    list(model, &mut all);
    let sieve = model.sieves.of(List::Findings);
    let finding = |row: &Row| model.findings.report()?.all().nth(row.finding?);
    let said = |row: &Row| {
        let place = place(row).map(|key| model.book.name_of(key));
        let check = finding(row).map_or("", |f| f.check);
        format!("{} {} {check} {}", row.name, row.words, place.unwrap_or_default())
    };
    arrange(&sieve, &mut all, said, |row, by| match by {
        1 => place(row).map_or(By::Nothing, |key| By::words(model.book.name_of(key))),
        _ => finding(row).map_or(By::Nothing, |f| By::words(f.check)),
    });
    if !sieve.is_plain() {
        // What follows from another need not stand below it then.
        for row in &mut all {
            row.words = row.words.trim_start_matches("└ ").to_owned();
        }
    }
    rows.append(&mut all);
}

/// The record a row leads to.
fn place(row: &Row) -> Option<Key> {
    match row.to {
        To::Record(key) => Some(key),
        _ => None,
    }
}

fn list(model: &Model, rows: &mut Vec<Row>) {
    let Some(report) = model.findings.report() else {
        return;
    };
    let shown = if model.overview.notes {
        report.findings.len() + report.notes.len()
    } else {
        report.findings.len()
    };
    let fold = model.overview.brief && model.sieves.of(List::Findings).is_plain();
    for (at, finding) in report.all().enumerate().take(shown) {
        if fold && finding.follows_from.is_some() {
            continue;
        }
        // What hangs under it stands right behind it in the report.
        let behind = report.all().skip(at + 1);
        let hanging = behind.take_while(|f| f.follows_from.is_some()).count();
        let name = if finding.is_accepted() {
            "○ accepted"
        } else {
            finding.level.words()
        };
        rows.push(Row {
            part: Part::Findings,
            name: match hanging {
                1.. if fold => format!("{} {name} +{hanging}", mark(finding.level)),
                _ => format!("{} {name}", mark(finding.level)),
            },
            words: match finding.follows_from {
                None => finding.sentence.clone(),
                // It stands right below what it follows from.
                Some(_) => format!("└ {}", finding.sentence),
            },
            to: finding_at(finding).map_or(To::Nowhere, To::Record),
            progress: None,
            finding: Some(at),
            missing: false,
        });
    }
    if let Some(rule) = first_rule(model).filter(|_| report.unproven > 0) {
        rows.push(Row {
            part: Part::Findings,
            name: "? rules".to_owned(),
            words: format!(
                "{} not proven yet; what breaks them comes here. Enter shows them on States.",
                count(report.unproven, "rule is", "rules are")
            ),
            to: To::Record(rule),
            progress: None,
            finding: None,
            missing: false,
        });
    }
    for cannot in &report.cannot_check {
        rows.push(Row {
            part: Part::Findings,
            name: "? missing".to_owned(),
            words: cannot.sentence(&model.book),
            to: To::Record(cannot.place),
            progress: None,
            finding: None,
            missing: true,
        });
    }
}

fn first_rule(model: &Model) -> Option<Key> {
    let rules = model.book.all::<Rule>().values();
    let first = rules.min_by_key(|rule| natural(&rule.label))?;
    Some(Key::of(first.id))
}

/// All that is said of a finding below its sentence.
pub fn particulars(model: &Model, finding: &Finding) -> Vec<String> {
    let mut said = Vec::new();
    if let Some(mend) = findings::mend(model, finding) {
        said.push(format!("mend: {}", mend.words));
    }
    if !finding.why_it_matters.is_empty() {
        said.push(finding.why_it_matters.clone());
    }
    for figure in &finding.figures {
        let unit = match figure.unit {
            "" => String::new(),
            unit => format!(" {unit}"),
        };
        let limit = figure
            .limit
            .map_or_else(String::new, |l| format!(", limit {}{unit}", figures::number(l)));
        said.push(format!(
            "{}: {}{}{limit}",
            figure.name,
            figures::number(figure.value),
            unit
        ));
    }
    if let Some(accepted) = &finding.accepted {
        said.push(match &accepted.lapsed {
            None => format!("accepted by {}: {}", accepted.who, accepted.why),
            Some(lapsed) => format!("was accepted by {}, no longer: {lapsed}", accepted.who),
        });
    }
    if let Some(cause) = finding.follows_from {
        said.push(format!(
            "follows from what is said of {}",
            model.book.name_of(cause.place)
        ));
    }
    if !finding.source.is_empty() {
        said.push(format!("rests on: {}", finding.source));
    }
    said
}

/// Where a finding leads: of a connector with cavities that it is about, to the first of those.
fn finding_at(finding: &Finding) -> Option<Key> {
    let place = finding.place()?;
    let cavity = || finding.places.iter().find(|key| key.kind == Kind::Cavity);
    match place.kind {
        Kind::Connector => cavity().copied().or(Some(place)),
        _ => Some(place),
    }
}
