//! Switches, leads and conditions with their positions.

use super::{Change, Edit, Refusal, cannot, need};
use crate::{
    Book,
    model::{
        Driver, Expression, Id, IdMaker, Part, PartKind, Record, Row, Rule, State, Switch, SwitchKind, Unit,
    },
    rules,
};

/// What a person says of a switch.
#[derive(Debug, Clone, PartialEq)]
pub struct SwitchDraft {
    /// Name.
    pub label: String,
    /// What it is.
    pub kind: SwitchKind,
    /// Positions, the one at rest first.
    pub positions: Vec<String>,
    /// The unit it is part of.
    pub unit: Option<Id<Unit>>,
    /// Anything else.
    pub note: String,
}

impl SwitchDraft {
    fn row(self, id: Id<Switch>) -> Switch {
        Switch {
            id,
            label: self.label.trim().to_owned(),
            kind: self.kind,
            positions: self.positions,
            unit: self.unit,
            note: self.note,
        }
    }
}

/// Adds a switch.
///
/// # Errors
/// It has fewer than two positions: such a switch decides nothing. Its name means something else already.
pub fn add_switch(book: &Book, ids: &mut IdMaker, draft: SwitchDraft) -> Result<Edit, Refusal> {
    let row = draft.row(ids.make());
    checked(book, None, &row)?;
    Ok(Edit::design(
        format!("{}: {} added", row.label, row.kind.words()),
        vec![Change::make(row)],
    ))
}

/// Changes a switch. A position that is called otherwise is called so in states, contacts and expressions too; one that is
/// gone must not be named any more.
///
/// # Errors
/// As [`add_switch`]; the switch is gone; something names a position that goes; nothing is changed.
pub fn change_switch(book: &Book, id: Id<Switch>, draft: SwitchDraft) -> Result<Edit, Refusal> {
    let before = need(book, id)?;
    let after = draft.row(id);
    if after == *before {
        return Err(cannot(book, id, "is so already; nothing to change"));
    }
    checked(book, Some(before), &after)?;
    let renamed = renamed(&before.positions, &after.positions);
    let goes = |position: &&String| {
        !after.positions.contains(position) && !renamed.iter().any(|(old, _)| old == *position)
    };
    if let Some(gone) = before.positions.iter().find(goes)
        && let Some(user) = users(book, id, gone).first()
    {
        let what = book.name_of(user.key());
        let problem = format!("cannot lose its position {gone}: {what} names it; change that first");
        return Err(cannot(book, id, problem));
    }
    let mut changes = vec![Change::replace(before.clone(), after)];
    for (old, _) in &renamed {
        for user in users(book, id, old) {
            if !changes.iter().any(|c| c.key() == Some(user.key())) {
                changes.push(Change {
                    before: Some(user.clone()),
                    after: Some(called(id, &user, &renamed)),
                });
            }
        }
    }
    let title = match renamed.as_slice() {
        [] => format!("switch {} changed", before.label),
        all => {
            let all: Vec<String> = all.iter().map(|(old, new)| format!("{old} → {new}")).collect();
            format!("{}: positions {}", before.label, all.join(", "))
        }
    };
    Ok(Edit::design(title, changes))
}

fn checked(book: &Book, before: Option<&Switch>, row: &Switch) -> Result<(), Refusal> {
    if row.positions.len() < 2 {
        return Err(super::about(
            row,
            "needs two positions or more, the one at rest first, as in off, run",
        ));
    }
    super::only_meaning(book, before, row)
}

/// Positions that are called otherwise: those that went and those that came, where they are as many and stand at the same places.
fn renamed(before: &[String], after: &[String]) -> Vec<(String, String)> {
    if before.len() != after.len() {
        return Vec::new();
    }
    let pairs = before.iter().zip(after);
    pairs
        .filter(|(old, new)| !after.contains(old) && !before.contains(new))
        .map(|(old, new)| (old.clone(), new.clone()))
        .collect()
}

/// What names a position of a switch.
fn users(book: &Book, switch: Id<Switch>, position: &str) -> Vec<Record> {
    let states = book.all::<State>().values().filter(|state| {
        let mut at = state.switches.iter();
        at.any(|at| at.switch == switch && at.position == position)
    });
    let says = |text: &str| rules::says_position(text, switch, position);
    let parts = book.all::<Part>().values().filter(|part| match &part.kind {
        PartKind::Contact {
            driver: Driver::Switch {
                switch: by,
                operated_in,
            },
            ..
        } => *by == switch && operated_in.iter().any(|p| p == position),
        PartKind::Source { when, .. } | PartKind::Output { when, .. } => says(when),
        _ => false,
    });
    let expressions = book.all::<Expression>().values().filter(|e| says(&e.text));
    let rules = book.all::<Rule>().values().filter(|r| says(&r.text));
    states
        .cloned()
        .map(Row::into_record)
        .chain(parts.cloned().map(Row::into_record))
        .chain(expressions.cloned().map(Row::into_record))
        .chain(rules.cloned().map(Row::into_record))
        .collect()
}

/// A record with positions of a switch called otherwise.
fn called(switch: Id<Switch>, record: &Record, renamed: &[(String, String)]) -> Record {
    let new = |position: &str| {
        let found = renamed.iter().find(|(old, _)| old == position);
        found.map_or_else(|| position.to_owned(), |(_, new)| new.clone())
    };
    let said = |text: &str| rules::with_positions(text, switch, &new);
    let mut record = record.clone();
    match &mut record {
        Record::State(state) => {
            for at in state.switches.iter_mut().filter(|at| at.switch == switch) {
                at.position = new(&at.position);
            }
        }
        Record::Part(part) => match &mut part.kind {
            PartKind::Contact {
                driver: Driver::Switch { operated_in, .. },
                ..
            } => operated_in.iter_mut().for_each(|p| *p = new(p)),
            PartKind::Source { when, .. } | PartKind::Output { when, .. } => *when = said(when),
            _ => {}
        },
        Record::Expression(row) => row.text = said(&row.text),
        Record::Rule(row) => row.text = said(&row.text),
        _ => {}
    }
    record
}
