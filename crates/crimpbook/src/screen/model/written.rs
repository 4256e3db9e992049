//! What is written down for States: rules, behaviours, what moves, switches, operating states, as one list.

use std::sync::Arc;

use crimpbook_workbook::{
    Book,
    book::natural,
    model::{Driver, Expression, Key, Kind, Part, PartKind, Record, Rule, State, Switch},
    rules::shown,
};

use super::{
    Model,
    rules::Line,
    sieve::{By, List, arrange},
};
use crate::screen::{form::Purpose, text::count};

/// The kinds, in their order.
const KINDS: [(Kind, &str); 5] = [
    (Kind::Rule, "Rules that must hold"),
    (Kind::Expression, "Behaviours of units"),
    (
        Kind::Part,
        "What moves: contacts, outputs, sources that can be off",
    ),
    (
        Kind::Switch,
        "Switches, leads and conditions; the first position is at rest",
    ),
    (Kind::State, "Operating states"),
];

/// A line.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// The kind it is of.
    pub kind: Kind,
    /// The record; none in a heading.
    pub key: Option<Key>,
    /// As it is drawn.
    pub line: Line,
}

/// Every line.
pub fn rows(model: &Model) -> &[Row] {
    model.derived.written.get_or_init(|| {
        let sieve = model.sieves.of(List::Written);
        let all = KINDS.iter().flat_map(|(kind, words)| {
            let heading = Row {
                kind: *kind,
                key: None,
                line: Line::heading("", *words),
            };
            let mut of_kind = of_kind(&model.book, *kind);
            arrange(&sieve, &mut of_kind, |row| full(model, row), |_, _| By::Nothing);
            std::iter::once(heading).chain(of_kind)
        });
        Arc::new(all.collect())
    })
}

/// The line under the cursor.
pub fn row(model: &Model) -> Option<&Row> {
    let rows = rows(model);
    rows.get(model.states.written_at.min(rows.len().saturating_sub(1)))
}

/// The form for a record of one of these kinds, or for a new one.
pub fn purpose(kind: Kind, key: Option<Key>) -> Option<Purpose> {
    Some(match kind {
        Kind::Rule => Purpose::Rule(key.and_then(Key::as_id)),
        Kind::Expression => Purpose::Expression(key.and_then(Key::as_id)),
        Kind::Part => Purpose::Part(key.and_then(Key::as_id)),
        Kind::Switch => Purpose::Switch(key.and_then(Key::as_id)),
        Kind::State => Purpose::State(key.and_then(Key::as_id)),
        _ => return None,
    })
}

/// A line with all that is written of its record.
pub fn full(model: &Model, row: &Row) -> String {
    let said = match row.key.and_then(|key| model.book.tables().get(key)) {
        Some(Record::Rule(rule)) => {
            let rests = format!("rests on {}", rule.rests_on.words());
            vec![rule.words, rests, rule.note]
        }
        Some(Record::Expression(one)) => vec![one.note],
        Some(Record::Part(part)) => {
            let ends = part.ends.iter().map(|end| model.book.terminal_name(end));
            vec![ends.collect::<Vec<_>>().join(" to "), part.note]
        }
        Some(Record::Switch(switch)) => {
            let of = switch
                .unit
                .map(|unit| format!("of {}", model.book.label_of(unit)));
            vec![of.unwrap_or_default(), switch.note]
        }
        Some(Record::State(state)) => vec![state.words],
        _ => Vec::new(),
    };
    let said = said.into_iter().filter(|words| !words.is_empty());
    std::iter::once(row.line.words.clone())
        .chain(said)
        .collect::<Vec<_>>()
        .join(". ")
}

fn of_kind(book: &Book, kind: Kind) -> Vec<Row> {
    let row = |key: Key, words: String| Row {
        kind,
        key: Some(key),
        line: Line::new("", words),
    };
    let mut all: Vec<(String, Row)> = match kind {
        Kind::Rule => {
            let all = book.all::<Rule>().values();
            let words = |r: &Rule| match r.text.as_str() {
                "" => format!("{}  rests on {}: {}", r.label, r.rests_on.words(), r.words),
                text => format!("{}  {}", r.label, shown(book, text)),
            };
            all.map(|r| (r.label.clone(), row(Key::of(r.id), words(r))))
                .collect()
        }
        Kind::Expression => {
            let all = book.all::<Expression>().values();
            let words = |e: &Expression| format!("{} := {}", e.label, shown(book, &e.text));
            all.map(|e| (e.label.clone(), row(Key::of(e.id), words(e))))
                .collect()
        }
        Kind::Part => {
            let all = book.all::<Part>().values();
            let moving = all.filter_map(|p| Some((p, moved(book, &p.kind)?)));
            moving
                .map(|(p, by)| {
                    let words = format!(
                        "{}, {} of {}: {by}",
                        p.label,
                        p.kind.words(),
                        book.label_of(p.unit)
                    );
                    (p.label.clone(), row(Key::of(p.id), words))
                })
                .collect()
        }
        Kind::Switch => {
            let all = book.all::<Switch>().values();
            let words = |s: &Switch| format!("{}, {}: {}", s.label, s.kind.words(), s.positions.join(", "));
            all.map(|s| (s.label.clone(), row(Key::of(s.id), words(s))))
                .collect()
        }
        Kind::State => {
            let all = book.all::<State>().values();
            all.map(|s| (format!("{:08}", s.order), row(Key::of(s.id), state(book, s))))
                .collect()
        }
        _ => Vec::new(),
    };
    all.sort_by_cached_key(|(name, _)| natural(name));
    all.into_iter().map(|(_, row)| row).collect()
}

/// What moves a part; none where nothing can.
fn moved(book: &Book, kind: &PartKind) -> Option<String> {
    let when = |when: &str| match when {
        "" => "as a state says".to_owned(),
        when => format!("on when {}", shown(book, when)),
    };
    match kind {
        PartKind::Contact { driver, .. } => Some(match driver {
            Driver::Switch { switch, operated_in } => {
                format!(
                    "moved by {} in {}",
                    book.label_of(*switch),
                    operated_in.join(", ")
                )
            }
            Driver::Coil { part } => format!("moved by {}", book.label_of(*part)),
            Driver::StateOnly => "as a state says".to_owned(),
        }),
        PartKind::Output { when: text, .. } => Some(when(text)),
        PartKind::Source {
            switched: true,
            when: text,
            ..
        } => Some(when(text)),
        _ => None,
    }
}

fn state(book: &Book, state: &State) -> String {
    let at = state.switches.iter();
    let at: Vec<String> = at
        .map(|at| format!("{} {}", book.label_of(at.switch), at.position))
        .collect();
    let switches = if at.is_empty() {
        "every switch at rest".to_owned()
    } else {
        at.join(", ")
    };
    let parts = match state.parts.len() {
        0 => String::new(),
        n => format!("; {} set", count(n, "inside part", "inside parts")),
    };
    format!("{}: {switches}{parts}", state.label)
}
