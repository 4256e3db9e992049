//! Two workbooks, or one at two points of its log.

use crimpbook_workbook::book::InOrder;
use std::collections::{BTreeMap, BTreeSet, HashMap};

use crimpbook_workbook::{
    Book,
    log::Entry,
    model::{Key, Kind, Record, Tables},
};

use super::{
    Difference,
    difference::flat,
    differences, net,
    value::{field_words, of_field},
};

/// What is compared: the plan. Build steps, readings, trials and acceptances are what was done to it.
pub const KINDS: &[Kind] = &[
    Kind::About,
    Kind::Zone,
    Kind::Bundle,
    Kind::ContactFamily,
    Kind::Unit,
    Kind::Connector,
    Kind::Cavity,
    Kind::Junction,
    Kind::ChassisPath,
    Kind::Fuse,
    Kind::Switch,
    Kind::Part,
    Kind::Wire,
    Kind::State,
    Kind::Expression,
    Kind::Rule,
    Kind::Setting,
    Kind::Candidate,
    Kind::TemporaryLink,
];

/// What changed of one record.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Changed {
    /// The record, as it is now or was last.
    pub key: Key,
    /// What it is called (`wire W44`).
    pub name: String,
    /// Field by field; one without a field says that it was made or removed.
    pub fields: Vec<Difference>,
    /// Why, with who and when, oldest first.
    pub whys: Vec<String>,
}

/// What differs between two points.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Comparison {
    /// The older point in words (`revision A`).
    pub from: String,
    /// The newer one.
    pub to: String,
    /// What changed, kind by kind.
    pub changed: Vec<Changed>,
}

/// The book as it was before `later`, the entries that came after, oldest first.
pub fn rewound(book: &Book, later: &[Entry]) -> Book {
    let mut tables: Tables = book.tables().clone();
    for change in later.iter().rev().flat_map(|entry| entry.changes.iter().rev()) {
        match (&change.before, change.key()) {
            (Some(before), _) => tables.put(before.clone()),
            (None, Some(key)) => tables.remove(key),
            (None, None) => {}
        }
    }
    Book::from_tables(tables, None)
}

/// Compares two books. Records are the same by id, else by kind and name, so that two workbooks that were never one can
/// be compared as well. `between`: the entries that led from one to the other, for their whys.
pub fn compare(old: (&str, &Book), new: (&str, &Book), between: &[Entry]) -> Comparison {
    let whys = whys(between);
    let mut changed = Vec::new();
    for kind in KINDS {
        for (before, after) in pairs(old.1, new.1, *kind) {
            let Some(key) = after.as_ref().or(before.as_ref()).map(Record::key) else {
                continue;
            };
            let name = if after.is_some() {
                name(new.1, key)
            } else {
                name(old.1, key)
            };
            let fields = fields(old.1, new.1, key, before.as_ref(), after.as_ref());
            if !fields.is_empty() {
                let whys = whys.get(&key).cloned().unwrap_or_default();
                let fields = without_said_whys(fields, &whys);
                changed.push(Changed {
                    key,
                    name,
                    fields,
                    whys,
                });
            }
        }
    }
    Comparison {
        from: old.0.to_owned(),
        to: new.0.to_owned(),
        changed,
    }
}

/// What entries one after the other come to, each record with its whys; `ticks`: build steps, readings and trials too.
/// `book` names the records.
pub fn steps(book: &Book, entries: &[Entry], ticks: bool) -> Comparison {
    let whys = whys(entries);
    let mut changed: Vec<Changed> = Vec::new();
    for mut line in differences(book, &net(entries, ticks)) {
        match changed.last_mut() {
            Some(last) if last.key == line.key => last.fields.push(line),
            _ => changed.push(Changed {
                key: line.key,
                name: std::mem::take(&mut line.record),
                whys: whys.get(&line.key).cloned().unwrap_or_default(),
                fields: vec![line],
            }),
        }
    }
    for one in &mut changed {
        one.fields = without_said_whys(std::mem::take(&mut one.fields), &one.whys);
    }
    Comparison {
        changed,
        ..Comparison::default()
    }
}

/// Whether a why with who gave it and when ([`whys`]) is this one.
fn says(why: &str, words: &str) -> bool {
    let rest = why.strip_prefix(words.trim());
    rest.is_some_and(|rest| rest.starts_with(" ("))
}

/// A why that a change was given stands below it with who gave it; the field that keeps it would say it again.
fn without_said_whys(fields: Vec<Difference>, whys: &[String]) -> Vec<Difference> {
    let said = |line: &Difference| {
        line.field == "why" && !line.is.is_empty() && whys.iter().any(|why| says(why, &line.is))
    };
    let (said, others): (Vec<_>, Vec<_>) = fields.into_iter().partition(said);
    if others.is_empty() { said } else { others }
}

/// Records of a kind in both books, paired, in the order of their names.
fn pairs(old: &Book, new: &Book, kind: Kind) -> Vec<(Option<Record>, Option<Record>)> {
    let all = |book: &Book| {
        let mut rows: BTreeMap<Key, Record> = BTreeMap::new();
        book.tables().each_ref(kind, &mut |row| {
            if let Some(record) = book.tables().get(row.key()) {
                rows.insert(row.key(), record);
            }
        });
        rows
    };
    let (mut before, mut after) = (all(old), all(new));
    let mut pairs = Vec::new();
    let both: Vec<Key> = before
        .keys()
        .filter(|key| after.contains_key(key))
        .copied()
        .collect();
    for key in both {
        pairs.push((before.remove(&key), after.remove(&key)));
    }
    let mut by_name: HashMap<String, Key> = before
        .keys()
        .map(|key| (name(old, *key).to_lowercase(), *key))
        .collect();
    for (key, record) in after {
        let other = by_name.remove(&name(new, key).to_lowercase());
        pairs.push((other.and_then(|key| before.remove(&key)), Some(record)));
    }
    pairs.extend(before.into_values().map(|record| (Some(record), None)));
    pairs.order_by(|(before, after)| {
        let (book, record) = if after.is_some() {
            (new, after)
        } else {
            (old, before)
        };
        record
            .as_ref()
            .map(|r| crimpbook_workbook::book::natural(&name(book, r.key())))
    });
    pairs
}

fn name(book: &Book, key: Key) -> String {
    match key.kind {
        Kind::About => "workbook's own page".to_owned(),
        Kind::Candidate | Kind::ChassisPath | Kind::TemporaryLink => match book.tables().get(key) {
            Some(Record::Candidate(row)) => format!("{}'s source: {}", book.cavity_name(row.sink), row.words),
            Some(Record::ChassisPath(row)) => {
                format!(
                    "chassis from {} to {}",
                    book.terminal_name(&row.from),
                    book.terminal_name(&row.to)
                )
            }
            Some(Record::TemporaryLink(row)) => format!("temporary link: {}", row.words),
            _ => book.name_of(key),
        },
        _ => book.name_of(key),
    }
}

fn fields(
    old: &Book,
    new: &Book,
    key: Key,
    before: Option<&Record>,
    after: Option<&Record>,
) -> Vec<Difference> {
    let line = |field: &str, was: String, is: String| Difference {
        key,
        record: String::new(),
        field: field.to_owned(),
        was,
        is,
    };
    let (was, is) = (flat(before), flat(after));
    let mut lines = Vec::new();
    match (before, after) {
        (None, Some(_)) => lines.push(line("", String::new(), "new".to_owned())),
        (Some(_), None) => return vec![line("", "was there".to_owned(), "removed".to_owned())],
        _ => {}
    }
    let names: BTreeSet<&String> = was.keys().chain(is.keys()).collect();
    for name in names.into_iter().filter(|name| *name != "id") {
        let words = |book: &Book, fields: &super::Fields| {
            let value = fields.get(name);
            value
                .map(|value| of_field(book, key.kind, name, value))
                .unwrap_or_default()
        };
        let (was, is) = (words(old, &was), words(new, &is));
        // A new record's defaults say nothing.
        let default = before.is_none() && matches!(is.as_str(), "" | "no" | "undecided" | "free");
        if was != is && !default {
            lines.push(line(&field_words(name), was, is));
        }
    }
    lines
}

/// An entry, after those that it brought in: a merge has its own why, theirs say more.
fn spread(entry: Entry, all: &mut Vec<Entry>) {
    for inner in entry.merged.iter().flat_map(|merged| merged.read()) {
        spread(inner, all);
    }
    all.push(entry);
}

fn whys(entries: &[Entry]) -> HashMap<Key, Vec<String>> {
    let mut whys: HashMap<Key, Vec<String>> = HashMap::new();
    let mut all = Vec::new();
    for entry in entries {
        spread(entry.clone(), &mut all);
    }
    for entry in all.iter().filter(|e| !e.why.trim().is_empty()) {
        let said = format!(
            "{} ({}, {})",
            entry.why.trim(),
            entry.who,
            entry.at.format("%Y-%m-%d")
        );
        let keys: BTreeSet<Key> = entry
            .changes
            .iter()
            .filter_map(crimpbook_workbook::edit::Change::key)
            .collect();
        for key in keys {
            whys.entry(key).or_default().push(said.clone());
        }
    }
    whys
}
