//! The Overview: what there is to see and to go to, as rows under one cursor.

mod next;
mod progress;
mod said;

use std::{borrow::Cow, sync::Arc};

use crimpbook_workbook::{
    book::natural,
    check::Finding,
    log::{EntryHead, EntryKind},
    model::{Connector, Key},
};

use super::Model;
use crate::screen::figures;
pub use progress::{Progress, Totals, connectors_at, here, last_step, latest, progress, totals};
pub use said::particulars;

/// State of the Overview.
#[derive(Debug, Clone, Default)]
pub struct Overview {
    /// The row the cursor is on.
    pub at: usize,
    /// Whether notes are listed among the findings.
    pub notes: bool,
    /// Whether the findings are listed alone, a line each; what follows from another one is counted behind it then.
    pub brief: bool,
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
    /// For a missing fact: that it is one.
    pub missing: bool,
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
    /// The form for a new connector.
    NewConnector,
    /// An entry of the log.
    Entry(u64),
    /// Nowhere.
    Nowhere,
}

/// Every row of the page, in order.
pub fn rows(model: &Model) -> &[Row] {
    model.derived.overview.get_or_init(|| Arc::new(find_rows(model)))
}

/// The words of a row as they are now.
pub fn words<'r>(model: &Model, row: &'r Row) -> Cow<'r, str> {
    match row.to {
        To::Build => here(model).unwrap_or_default().into(),
        _ => row.words.as_str().into(),
    }
}

fn find_rows(model: &Model) -> Vec<Row> {
    let mut rows = Vec::new();
    if model.overview.brief {
        said::findings(model, &mut rows);
        return rows;
    }
    next::next(model, &mut rows);
    said::findings(model, &mut rows);
    let book = &model.book;
    let progresses = model.derived.progress.get_or_init(|| {
        let all = book.all::<Connector>().keys();
        Arc::new(all.map(|id| (*id, progress::progress(book, *id))).collect())
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
            missing: false,
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
            words: changed(head),
            to: To::Entry(head.seq),
            progress: None,
            finding: None,
            missing: false,
        });
    }
    rows
}

/// What an entry changed, and why.
pub fn changed(head: &EntryHead) -> String {
    if head.why.is_empty() {
        head.title.clone()
    } else {
        format!("{}, because {}", head.title, head.why)
    }
}

/// The row the cursor is on.
pub fn row_at(model: &Model) -> Option<&Row> {
    let rows = rows(model);
    rows.get(model.overview.at.min(rows.len().saturating_sub(1)))
}

/// What the cursor is on, to find it again in other rows.
pub fn held(model: &Model) -> Option<(Part, String, String)> {
    row_at(model).map(|row| (row.part, row.name.clone(), row.words.clone()))
}

/// Puts the cursor back on what it was on, if that is still listed.
pub fn hold(model: &mut Model, held: &(Part, String, String)) {
    let same = |row: &Row| (row.part, &row.name, &row.words) == (held.0, &held.1, &held.2);
    if let Some(at) = rows(model).iter().position(same) {
        model.overview.at = at;
    }
}

/// The finding the cursor is on.
pub fn finding_at(model: &Model) -> Option<&Finding> {
    let at = row_at(model)?.finding?;
    model.findings.report()?.all().nth(at)
}
