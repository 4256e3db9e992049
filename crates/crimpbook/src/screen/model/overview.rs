//! The Overview: what there is to see and to go to, as rows under one cursor.

use std::sync::Arc;

use crimpbook_workbook::{
    Book,
    book::natural,
    check::Finding,
    log::EntryKind,
    model::{Built, Cavity, Connector, Decision, End, Id, Key, Outcome, StepDone, Wire},
};

use super::{Model, findings::mark};
use crate::screen::{figures, text::count};

/// State of the Overview.
#[derive(Debug, Clone, Default)]
pub struct Overview {
    /// The row the cursor is on.
    pub at: usize,
    /// Whether notes are listed among the findings.
    pub notes: bool,
}

/// A row to go to.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// The part of the page it belongs to.
    pub part: Part,
    /// Its name.
    pub name: String,
    /// What it says.
    pub words: String,
    /// Where it leads.
    pub to: To,
    /// For a connector: decided, built, all.
    pub progress: Option<Progress>,
    /// For a finding: its place among all of the report.
    pub finding: Option<usize>,
}

/// Parts of the page, in order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Part {
    Next,
    Findings,
    Connectors,
    Changes,
}

impl Part {
    /// Its heading.
    pub fn words(self) -> &'static str {
        match self {
            Self::Next => "what to do next",
            Self::Findings => "findings",
            Self::Connectors => "connectors",
            Self::Changes => "last changes",
        }
    }
}

/// Where a row leads.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum To {
    /// A record.
    Record(Key),
    /// The Build screen, where it was left.
    Build,
    /// Sources, with only what is open.
    OpenSources,
    /// The form for a new unit.
    NewUnit,
    /// An entry of the log.
    Entry(u64),
    /// Nowhere.
    Nowhere,
}

/// How far a connector is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Progress {
    /// Cavities.
    pub cavities: usize,
    /// Of these decided.
    pub decided: usize,
    /// Wire ends that belong here.
    pub ends: usize,
    /// Of these inserted.
    pub inserted: usize,
}

/// How far one connector is.
pub fn progress(book: &Book, connector: Id<Connector>) -> Progress {
    let mut sum = Progress::default();
    for id in book.index().cavities_of.get(&connector).into_iter().flatten() {
        let Some(cavity) = book.get(*id) else { continue };
        sum.cavities += 1;
        sum.decided += usize::from(cavity.decision != Decision::Undecided);
        for (wire, end) in book.index().wires_at_cavity.get(id).into_iter().flatten() {
            sum.ends += 1;
            let inserted = book.index().steps_of.get(wire).into_iter().flatten().any(|step| {
                book.get(*step).is_some_and(|s| {
                    s.of == Built::End {
                        wire: *wire,
                        end: *end,
                    } && s.step == crimpbook_workbook::model::Step::Insert
                        && s.outcome == Outcome::Done
                        && s.redo.is_none()
                })
            });
            sum.inserted += usize::from(inserted);
        }
    }
    sum
}

/// The last build step that anybody answered for.
pub fn last_step(book: &Book) -> Option<&StepDone> {
    book.all::<StepDone>().values().max_by_key(|s| (s.at, s.id))
}

/// `You were here: W44, crimp, 3 days ago, by A.`; none before the first step.
pub fn here(model: &Model) -> Option<String> {
    let step = last_step(&model.book)?;
    let what = match step.of {
        Built::Wire(wire) | Built::End { wire, .. } => model.book.label_of(wire),
        Built::Connector(id) => model.book.label_of(id),
        Built::Junction(id) => model.book.label_of(id),
    };
    let who = if step.who.ends_with('.') {
        step.who.clone()
    } else {
        format!("{}.", step.who)
    };
    Some(format!(
        "You were here: {what}, {}, {}, by {who}",
        step.step.words(),
        figures::ago(step.at, model.now)
    ))
}

/// Every row of the page, in order.
pub fn rows(model: &Model) -> Vec<Row> {
    let mut rows = Vec::new();
    next(model, &mut rows);
    findings(model, &mut rows);
    let book = &model.book;
    let progresses = model.derived.progress.get_or_init(|| {
        let all = book.all::<Connector>().keys();
        Arc::new(all.map(|id| (*id, progress(book, *id))).collect())
    });
    let mut connectors: Vec<&Connector> = book.all::<Connector>().values().collect();
    connectors.sort_by_cached_key(|c| natural(&c.label));
    for connector in connectors {
        rows.push(Row {
            part: Part::Connectors,
            name: connector.label.clone(),
            words: connector.name.clone(),
            to: To::Record(Key::of(connector.id)),
            progress: progresses.get(&connector.id).copied(),
            finding: None,
        });
    }
    for head in model
        .heads
        .iter()
        .rev()
        .filter(|h| !matches!(h.kind, EntryKind::Progress | EntryKind::Reading))
        .take(8)
    {
        rows.push(Row {
            part: Part::Changes,
            name: figures::day(head.at, model.offset),
            words: if head.why.is_empty() {
                head.title.clone()
            } else {
                format!("{}, because {}", head.title, head.why)
            },
            to: To::Entry(head.seq),
            progress: None,
            finding: None,
        });
    }
    rows
}

/// Stops and warnings, then what cannot be checked.
fn findings(model: &Model, rows: &mut Vec<Row>) {
    let Some(report) = &model.findings.report else {
        return;
    };
    let shown = if model.overview.notes {
        report.findings.len() + report.notes.len()
    } else {
        report.findings.len()
    };
    for (at, finding) in report.all().enumerate().take(shown) {
        let name = if finding.is_accepted() {
            "○ accepted"
        } else {
            finding.level.words()
        };
        rows.push(Row {
            part: Part::Findings,
            name: format!("{} {name}", mark(finding.level)),
            words: finding.sentence.clone(),
            to: finding.place().map_or(To::Nowhere, To::Record),
            progress: None,
            finding: Some(at),
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
        });
    }
}

fn next(model: &Model, rows: &mut Vec<Row>) {
    let book = &model.book;
    let mut push = |name: &str, words: String, to: To| {
        rows.push(Row {
            part: Part::Next,
            name: name.to_owned(),
            words,
            to,
            progress: None,
            finding: None,
        });
    };
    if book.all::<crimpbook_workbook::model::Unit>().is_empty() {
        push("start", "enter the first unit".to_owned(), To::NewUnit);
        return;
    }
    if let Some(words) = here(model) {
        push("go on", words, To::Build);
    }
    let mut open: Vec<&Cavity> = book
        .all::<Cavity>()
        .values()
        .filter(|c| c.decision == Decision::Undecided)
        .collect();
    open.sort_by_cached_key(|c| natural(&book.cavity_name(c.id)));
    if let Some(first) = open.first() {
        let names: Vec<String> = open.iter().take(3).map(|c| book.cavity_name(c.id)).collect();
        let more = if open.len() > 3 { " …" } else { "" };
        push(
            "decide",
            format!(
                "{}: {}{more}",
                count(open.len(), "cavity is undecided", "cavities are undecided"),
                names.join(", ")
            ),
            To::Record(Key::of(first.id)),
        );
    }
    let bare: Vec<&Cavity> = book
        .all::<Cavity>()
        .values()
        .filter(|c| c.decision == Decision::Wired && !book.index().wires_at_cavity.contains_key(&c.id))
        .collect();
    if let Some(first) = bare.iter().min_by_key(|c| natural(&book.cavity_name(c.id))) {
        push(
            "wire",
            format!(
                "{} but no wire, {} first",
                count(
                    bare.len(),
                    "cavity is decided wired",
                    "cavities are decided wired"
                ),
                book.cavity_name(first.id)
            ),
            To::Record(Key::of(first.id)),
        );
    }
    let unsourced = model.unsourced();
    if let Some(first) = unsourced.first() {
        push(
            "source",
            format!(
                "{} no source, {} first",
                count(unsourced.len(), "input has", "inputs have"),
                book.cavity_name(first.cavity)
            ),
            To::OpenSources,
        );
    }
    let mut unfinished: Vec<&Wire> = book
        .all::<Wire>()
        .values()
        .filter(|w| {
            w.area_mm2.is_none()
                || w.length_m.is_none()
                || w.colour.is_none()
                || w.from == End::Free
                || w.to == End::Free
        })
        .collect();
    unfinished.sort_by_cached_key(|w| natural(&w.label));
    if let Some(first) = unfinished.first() {
        push(
            "complete",
            format!(
                "{} an end, a size, a colour or a length, {} first",
                count(unfinished.len(), "wire lacks", "wires lack"),
                first.label
            ),
            To::Record(Key::of(first.id)),
        );
    }
}

/// The row the cursor is on.
pub fn row_at(model: &Model) -> Option<Row> {
    let mut rows = rows(model);
    if rows.is_empty() {
        return None;
    }
    let at = model.overview.at.min(rows.len() - 1);
    Some(rows.swap_remove(at))
}

/// The finding the cursor is on.
pub fn finding_at(model: &Model) -> Option<&Finding> {
    let at = row_at(model)?.finding?;
    model.findings.report.as_ref()?.all().nth(at)
}

/// All that is said of a finding below its sentence.
pub fn particulars(model: &Model, finding: &Finding) -> Vec<String> {
    let mut said = Vec::new();
    if let Some(mend) = &finding.mend {
        said.push(format!("mend: {}", mend.words));
    }
    if !finding.why_it_matters.is_empty() {
        said.push(finding.why_it_matters.clone());
    }
    for figure in &finding.figures {
        let limit = figure.limit.map_or_else(String::new, |l| {
            format!(", limit {} {}", figures::number(l), figure.unit)
        });
        said.push(format!(
            "{}: {} {}{limit}",
            figure.name,
            figures::number(figure.value),
            figure.unit
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
