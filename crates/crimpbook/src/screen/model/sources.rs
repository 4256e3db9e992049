//! Sources: every input and output by unit, where its signal comes from, what it feeds, which candidates were weighed.

use std::{collections::HashMap, sync::Arc};

use crimpbook_workbook::{
    book::natural,
    model::{Candidate, Cavity, Decision, Id, Key, Part, Unit, Verdict},
    signals::{Need, need},
};

use super::{
    Model,
    sieve::{By, List, arrange},
};

/// State of the Sources screen.
#[derive(Debug, Clone, Default)]
pub struct Sources {
    /// The row the cursor is on.
    pub at: usize,
    /// Whether only inputs without a source are listed.
    pub only_open: bool,
    /// The candidate the cursor is on, once the card is entered.
    pub candidate: Option<usize>,
}

/// A row of the list.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Row {
    /// An input whose need nothing meets.
    Open(Id<Cavity>, Need),
    /// An input that has what it needs.
    Met(Id<Cavity>),
    /// An output: what gives signals.
    Gives(Id<Cavity>),
}

impl Row {
    /// Its cavity.
    pub fn cavity(self) -> Id<Cavity> {
        match self {
            Self::Open(id, _) | Self::Met(id) | Self::Gives(id) => id,
        }
    }
}

/// A row with its place in the list.
#[derive(Debug, Clone, PartialEq)]
pub struct Listed {
    /// The heading of its group, if the order has groups.
    pub group: Arc<str>,
    /// The row.
    pub row: Row,
    /// The line it stands on, headings counted.
    pub line: usize,
    /// Whether its group's heading stands above it.
    pub is_first: bool,
}

/// The rows in groups: what is open, then unit by unit.
pub fn rows(model: &Model) -> &[Listed] {
    model.derived.sources.get_or_init(|| {
        let mut rows = find_rows(model);
        let sieve = model.sieves.of(List::Sources);
        arrange(
            &sieve,
            &mut rows,
            |row| said(model, row),
            |row, by| by_column(model, row.1, by),
        );
        // The groups are the units', and mean nothing in another order.
        Arc::new(listed(rows, sieve.by == 0))
    })
}

fn listed(rows: Vec<(Arc<str>, Row)>, grouped: bool) -> Vec<Listed> {
    let none: Arc<str> = "".into();
    let mut last = Arc::clone(&none);
    let mut line = 0;
    let place = |(group, row): (Arc<str>, Row)| {
        let group = if grouped { group } else { Arc::clone(&none) };
        let is_first = group != last;
        last = Arc::clone(&group);
        line += usize::from(is_first);
        let listed = Listed {
            group,
            row,
            line,
            is_first,
        };
        line += 1;
        listed
    };
    rows.into_iter().map(place).collect()
}

/// All words of a row.
fn said(model: &Model, (group, row): &(Arc<str>, Row)) -> String {
    let Some(cavity) = model.book.get(row.cavity()) else {
        return String::new();
    };
    format!(
        "{group} {} {} {} {} {}",
        model.book.cavity_name(cavity.id),
        cavity.name,
        cavity.kind.map_or("", |kind| kind.words()),
        comes_from(model, cavity.id).join(" "),
        feeds(model, cavity.id).join(" ")
    )
}

/// What a row is put in order by.
fn by_column(model: &Model, row: Row, by: usize) -> By {
    let cavity = model.book.get(row.cavity());
    match by {
        1 => By::words(cavity.map_or("", |c| &c.name)),
        _ => By::words(cavity.and_then(|c| c.kind).map_or("", |kind| kind.words())),
    }
}

fn find_rows(model: &Model) -> Vec<(Arc<str>, Row)> {
    let book = &model.book;
    let unsourced = model.unsourced();
    let open: HashMap<Id<Cavity>, Need> = unsourced.iter().map(|u| (u.cavity, u.need)).collect();
    let without: Arc<str> = "inputs without a source".into();
    let mut rows: Vec<(Arc<str>, Row)> = unsourced
        .iter()
        .map(|u| (Arc::clone(&without), Row::Open(u.cavity, u.need)))
        .collect();
    if model.sources.only_open {
        return rows;
    }
    let mut units: Vec<&Unit> = book.all::<Unit>().values().collect();
    units.sort_by_cached_key(|u| natural(&u.label));
    for unit in units {
        let heading: Arc<str> = format!("{} {}", unit.label, unit.name).into();
        let connectors = book.index().connectors_of.get(&unit.id);
        for cavity in connectors
            .into_iter()
            .flatten()
            .flat_map(|c| book.cavities_of(*c))
        {
            let used = !matches!(
                cavity.decision,
                Decision::Blank | Decision::Reserved | Decision::NotOurs
            );
            let (Some(kind), true) = (cavity.kind, used) else {
                continue;
            };
            if open.contains_key(&cavity.id) {
                continue;
            }
            let row = if need(kind) != Need::Nothing {
                Row::Met(cavity.id)
            } else if kind.is_source() {
                Row::Gives(cavity.id)
            } else {
                continue;
            };
            rows.push((Arc::clone(&heading), row));
        }
    }
    rows
}

/// The cavity the cursor is on.
pub fn cavity(model: &Model) -> Option<&Cavity> {
    let rows = rows(model);
    let at = model.sources.at.min(rows.len().saturating_sub(1));
    model.book.get(rows.get(at)?.row.cavity())
}

/// The candidates weighed for a cavity, open ones first.
pub fn candidates(model: &Model, cavity: Id<Cavity>) -> Vec<&Candidate> {
    let ids = model.book.index().candidates_of.get(&cavity);
    let mut all: Vec<&Candidate> = ids
        .into_iter()
        .flatten()
        .filter_map(|id| model.book.get(*id))
        .collect();
    all.sort_by_key(|c| {
        let rank = match c.verdict {
            Verdict::Chosen => 0,
            Verdict::Weighed => 1,
            Verdict::Refused => 2,
        };
        (rank, c.id)
    });
    all
}

/// The candidate the cursor is on.
pub fn candidate(model: &Model) -> Option<&Candidate> {
    let at = model.sources.candidate?;
    let all = candidates(model, cavity(model)?.id);
    all.get(at.min(all.len().saturating_sub(1))).copied()
}

/// Where a cavity's signal comes from, in names: other cavities that give it, then parts inside units.
pub fn comes_from(model: &Model, cavity: Id<Cavity>) -> Vec<String> {
    let Some(signal) = model.signals_known().and_then(|s| s.at_cavity(cavity)) else {
        return Vec::new();
    };
    let book = &model.book;
    let others = signal.sources.iter().filter(|s| **s != cavity).copied();
    let parts = signal.origins.iter().map(|o| Key::of(o.part));
    let mut names = some(others.map(Key::of).chain(parts), |key| match key.as_id() {
        Some(cavity) => book.cavity_name(cavity),
        None => key
            .as_id::<Part>()
            .map(|part| book.label_of(part))
            .unwrap_or_default(),
    });
    if names.is_empty() && signal.is_ground {
        names.push("ground".to_owned());
    }
    names.dedup();
    names
}

/// What a cavity's signal feeds, in names.
pub fn feeds(model: &Model, cavity: Id<Cavity>) -> Vec<String> {
    let Some(signal) = model.signals_known().and_then(|s| s.at_cavity(cavity)) else {
        return Vec::new();
    };
    let others = signal.sinks.iter().filter(|s| **s != cavity);
    some(others, |id| model.book.cavity_name(*id))
}

/// So many names are told; of the others, which are on one large rail, how many there are.
const NAMES: usize = 40;

fn some<I>(mut all: impl Iterator<Item = I>, name: impl Fn(I) -> String) -> Vec<String> {
    let mut told: Vec<String> = all.by_ref().take(NAMES).map(name).collect();
    let more = all.count();
    if more > 0 {
        told.push(format!("{more} more"));
    }
    told
}
