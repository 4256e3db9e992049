//! Many cavities described quickly: line after line typed, or rows pasted.

use crimpbook_workbook::{
    edit::{Change, Edit},
    model::{Cavity, Id, SignalKind},
};

use crate::screen::{
    effect::{Effect, Then},
    model::{
        Model,
        face::{cavity, connector, next},
        line::{Line, Purpose},
        over::Over,
    },
    text::count,
};

/// Asks for function and kind of the cavity under the cursor.
pub fn open(model: &mut Model) {
    let Some(cavity) = cavity(model) else { return };
    let started = match cavity.kind {
        Some(kind) => format!("{}, {}", cavity.name, kind.words()),
        None => cavity.name.clone(),
    };
    let title = format!(
        "{}: function, kind (KEEP ALIVE, logic supply). Enter goes on to the next, Esc ends.",
        model.book.cavity_name(cavity.id)
    );
    let line = Line::new(title, Purpose::Describe(cavity.id)).started(started);
    model.over.push(Over::Line(line));
}

/// Takes what was typed of a cavity, and asks for the next one.
pub fn take(model: &mut Model, id: Id<Cavity>, text: &str) -> Vec<Effect> {
    let Some(before) = model.book.get(id).cloned() else {
        model.over.pop();
        return Vec::new();
    };
    let (name, kind) = match text.rsplit_once(',') {
        None => (text.trim(), Ok(before.kind)),
        Some((name, kind)) => (name.trim(), find_kind(kind)),
    };
    let kind = match kind {
        Ok(kind) => kind,
        Err(sentence) => {
            if let Some(Over::Line(line)) = model.over.last_mut() {
                line.wrong = Some(sentence);
            }
            return Vec::new();
        }
    };
    let after = Cavity {
        name: name.to_owned(),
        kind,
        ..before.clone()
    };
    if after == before {
        model.over.pop();
        go_on(model);
        return Vec::new();
    }
    model.face.describing = true;
    let title = format!("{} described", model.book.cavity_name(id));
    let edit = Edit::design(title, vec![Change::replace(before, after)]);
    let then = Then {
        close: true,
        go: None,
        advance: true,
    };
    vec![Effect::Commit(Box::new(edit), then)]
}

/// After one was described: the next is asked for, where there is one.
pub fn kept(model: &mut Model, before: Option<Id<Cavity>>) {
    let moved = cavity(model).map(|c| c.id) != before;
    if std::mem::take(&mut model.face.describing) && moved {
        open(model);
    }
}

fn go_on(model: &mut Model) {
    let after = cavity(model).and_then(|c| next(model, c.id)).map(|c| c.id);
    match after {
        Some(id) => {
            model.face.cavity = Some(id);
            open(model);
        }
        None => model.say("that was the last cavity"),
    }
}

/// The kind that some words mean: exactly, or the only one that begins so or holds them. Nothing typed: not known.
fn find_kind(words: &str) -> Result<Option<SignalKind>, String> {
    let words = words.trim().to_lowercase();
    if words.is_empty() {
        return Ok(None);
    }
    let all = SignalKind::ALL;
    let exact = all.iter().find(|k| k.words().to_lowercase() == words);
    if let Some(kind) = exact {
        return Ok(Some(*kind));
    }
    let find = |fits: &dyn Fn(&str) -> bool| -> Vec<SignalKind> {
        all.iter()
            .copied()
            .filter(|k| fits(&k.words().to_lowercase()))
            .collect()
    };
    let mut found = find(&|w| w.starts_with(&words));
    if found.is_empty() {
        found = find(&|w| w.contains(&words));
    }
    match found.as_slice() {
        [one] => Ok(Some(*one)),
        [] => Err(format!(
            "no kind of cavity is called {words}; the form of the cavity lists them"
        )),
        many => {
            let names: Vec<&str> = many.iter().take(5).map(|k| k.words()).collect();
            Err(format!(
                "{words} may be {}; write more of it",
                names.join(", or ")
            ))
        }
    }
}

/// Rows pasted on the Face: number, function, kind, page; tab, semicolon or comma between them.
pub fn paste(model: &mut Model, text: &str) {
    match rows(model, text) {
        Ok(edit) => {
            let title = format!("{}. Why?", edit.title);
            let then = Then {
                close: true,
                ..Then::default()
            };
            model.over.push(Over::Line(Line::why(title, edit, then)));
        }
        Err(sentence) => model.complain(sentence),
    }
}

fn rows(model: &Model, text: &str) -> Result<Edit, String> {
    let Some(connector) = connector(model) else {
        return Err("rows can be pasted once there is a connector".to_owned());
    };
    let separator = ['\t', ';', ',']
        .into_iter()
        .find(|s| text.contains(*s))
        .unwrap_or('\t');
    let cavities = model.book.cavities_of(connector.id);
    let mut changes: Vec<Change> = Vec::new();
    for (line, row) in (1..).zip(text.lines()).filter(|(_, row)| !row.trim().is_empty()) {
        if row.chars().any(|c| c.is_control() && c != '\t') {
            return Err(format!("row {line} holds control characters; nothing was taken"));
        }
        let mut fields = row.split(separator).map(|f| f.trim().trim_matches('"'));
        let number = fields.next().unwrap_or_default();
        let Some(before) = cavities.iter().find(|c| c.number.eq_ignore_ascii_case(number)) else {
            // The first row may be a heading.
            if line == 1 {
                continue;
            }
            return Err(format!(
                "row {line}: {} has no cavity {number}; rows are number, function, kind, page; nothing was taken",
                connector.label
            ));
        };
        let mut after = (*before).clone();
        if let Some(name) = fields.next() {
            name.clone_into(&mut after.name);
        }
        if let Some(kind) = fields.next() {
            after.kind = find_kind(kind).map_err(|e| format!("row {line}: {e}; nothing was taken"))?;
        }
        if let Some(page) = fields.next() {
            page.clone_into(&mut after.page);
        }
        if after != **before {
            changes.push(Change::replace((*before).clone(), after));
        }
    }
    if changes.is_empty() {
        return Err("nothing in what was pasted differs from what is there".to_owned());
    }
    let title = format!(
        "{} of {} described from rows",
        count(changes.len(), "cavity", "cavities"),
        connector.label
    );
    Ok(Edit::design(title, changes))
}
