//! What a unit does: its expressions, and when its outputs are on.

use std::collections::BTreeSet;

use crimpbook_workbook::{
    Book,
    model::{Expression, Key, Kind, PartKind, RecordLists, Row, Switch, SwitchKind},
    rules,
};

use super::read::PartFileError;

/// The text that says when a part is on.
pub(super) fn when(kind: &mut PartKind) -> Option<&mut String> {
    match kind {
        PartKind::Source { when, .. } | PartKind::Output { when, .. } if !when.trim().is_empty() => {
            Some(when)
        }
        _ => None,
    }
}

/// Leaves out what hangs on something that the records do not hold, and says so. Names become ids.
pub(super) fn leave_out(book: &Book, records: &mut RecordLists) -> Vec<String> {
    let mut left = Vec::new();
    add_conditions(book, records);
    loop {
        let own = keys(records);
        let mut gone = None;
        for row in &mut records.expressions {
            match own_text(book, &own, &row.text) {
                Ok(text) => row.text = text,
                Err(why) => {
                    gone = Some((row.id, format!("{}: {why}", row.label)));
                    break;
                }
            }
        }
        let Some((id, sentence)) = gone else { break };
        // What hangs on this one in turn is found in the next round.
        records.expressions.retain(|row| row.id != id);
        left.push(sentence);
    }
    let own = keys(records);
    for part in &mut records.parts {
        let label = part.label.clone();
        let Some(text) = when(&mut part.kind) else {
            continue;
        };
        match own_text(book, &own, text) {
            Ok(kept) => *text = kept,
            Err(why) => {
                left.push(format!(
                    "when {label} is on: {why}. Until it is told anew, only an operating state can say it"
                ));
                text.clear();
            }
        }
    }
    left
}

/// Conditions inside a unit that its behaviour names belong to it, though the book has them in no unit.
fn add_conditions(book: &Book, records: &mut RecordLists) {
    let own = keys(records);
    let texts = records.expressions.iter().map(|row| row.text.as_str());
    let named: BTreeSet<Key> = texts
        .filter_map(|text| rules::kept(book, text).ok())
        .flat_map(|text| rules::named(&text))
        .collect();
    let conditions = book.all::<Switch>().values().filter(|row| {
        let key = Key::of(row.id);
        row.kind == SwitchKind::Condition && row.unit.is_none() && named.contains(&key) && !own.contains(&key)
    });
    records.switches.extend(conditions.cloned());
}

fn keys(records: &RecordLists) -> BTreeSet<Key> {
    let all = records.clone().into_records();
    all.iter().map(|record| record.key()).collect()
}

/// The text by ids, or what it hangs on that is not there.
fn own_text(book: &Book, own: &BTreeSet<Key>, text: &str) -> Result<String, String> {
    let kept = rules::kept(book, text).map_err(|error| format!("its expression cannot be read ({error})"))?;
    match rules::named(&kept).into_iter().find(|key| !own.contains(key)) {
        Some(key) if !book.tables().has(key) => {
            let kind = key.kind.title();
            Err(format!(
                "its expression names a {kind} that is gone from the workbook"
            ))
        }
        Some(key) if key.kind == Kind::Expression => {
            Err(format!("it needs {}, which stays behind", book.name_of(key)))
        }
        Some(key) => Err(format!(
            "it needs {}, which belongs to no part of this unit",
            book.name_of(key)
        )),
        None => Ok(kept),
    }
}

/// Refuses a file whose behaviour names what the file does not hold.
pub(super) fn check(records: &RecordLists) -> Result<(), PartFileError> {
    let own = keys(records);
    let good = |text: &str| rules::is_by_id(text) && rules::named(text).iter().all(|key| own.contains(key));
    let wrong = |label: &str| {
        Err(PartFileError(format!(
            "the expression of {label} cannot be read, or names a record that the file does not hold; name its records by id, as in @cavity:1"
        )))
    };
    if let Some(row) = records.expressions.iter().find(|row| !good(&row.text)) {
        return wrong(Row::label(row));
    }
    let mut parts = records.parts.clone();
    match parts.iter_mut().find_map(|part| {
        when(&mut part.kind)
            .filter(|text| !good(text))
            .map(|_| part.label.clone())
    }) {
        Some(label) => wrong(&label),
        None => Ok(()),
    }
}

/// The expression's text with other ids.
pub(super) fn renumber(records: &mut RecordLists, new: &dyn Fn(Key) -> Option<u128>) {
    let renumbered = |text: &mut String| *text = rules::with_ids(text, new);
    for Expression { text, .. } in &mut records.expressions {
        renumbered(text);
    }
    records
        .parts
        .iter_mut()
        .filter_map(|part| when(&mut part.kind))
        .for_each(renumbered);
}
