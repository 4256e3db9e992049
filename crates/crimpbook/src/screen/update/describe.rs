//! Many cavities described quickly: line after line typed, or rows pasted.

use crimpbook_workbook::{
    edit::{Change, Edit},
    model::{Cavity, Id, SignalKind},
};

use crate::screen::{
    action::{Do, Where, key_of},
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
        "{}: function, kind (KEEP ALIVE, logic supply). {} goes on to the next, {} ends.",
        model.book.cavity_name(cavity.id),
        key_of(Do::Accept),
        key_of(Do::Cancel)
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
    let (name, kind) = match split(text) {
        Ok((name, None)) => (name, before.kind),
        Ok((name, Some(kind))) => (name, kind),
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

/// Function and kind as typed, parted at a comma: kinds have commas of their own, so the last place counts from which on
/// a kind is written out, then the last one from which on one begins, then the last comma. No comma: no word of a kind.
fn split(text: &str) -> Result<(&str, Option<Option<SignalKind>>), String> {
    let parts: Vec<(&str, &str)> = text
        .match_indices(',')
        .filter_map(|(at, _)| text.split_at_checked(at))
        .map(|(name, rest)| (name.trim(), rest.trim_start_matches(',')))
        .collect();
    let Some((name, rest)) = parts.last().copied() else {
        return Ok((text.trim(), None));
    };
    let exact = |words: &str| {
        let words = spelt(words);
        SignalKind::ALL
            .iter()
            .copied()
            .find(|k| spelt(k.words()) == words)
    };
    if let Some((name, kind)) = parts.iter().rev().find_map(|(n, r)| Some((*n, exact(r)?))) {
        return Ok((name, Some(Some(kind))));
    }
    let begun = parts
        .iter()
        .rev()
        .find(|(_, rest)| !rest.trim().is_empty() && !beginning(&spelt(rest)).is_empty());
    let (name, rest) = begun.copied().unwrap_or((name, rest));
    Ok((name, Some(find_kind(rest)?)))
}

/// Words as kinds are compared: in small letters, and analog is analogue.
fn spelt(words: &str) -> String {
    words
        .trim()
        .to_lowercase()
        .replace("analogue", "analog")
        .replace("analog", "analogue")
}

/// The kinds that begin with some words.
fn beginning(words: &str) -> Vec<SignalKind> {
    let all = SignalKind::ALL.iter().copied();
    all.filter(|k| spelt(k.words()).starts_with(words)).collect()
}

/// The kind that some words mean: exactly, or the only one that begins so or holds them. Nothing typed: not known.
fn find_kind(words: &str) -> Result<Option<SignalKind>, String> {
    let words = spelt(words);
    if words.is_empty() {
        return Ok(None);
    }
    let all = SignalKind::ALL;
    let exact = all.iter().find(|k| spelt(k.words()) == words);
    if let Some(kind) = exact {
        return Ok(Some(*kind));
    }
    let mut found = beginning(&words);
    if found.is_empty() {
        let holds = all.iter().copied().filter(|k| spelt(k.words()).contains(&words));
        found = holds.collect();
    }
    match found.as_slice() {
        [one] => Ok(Some(*one)),
        [] => Err(format!(
            "no kind of cavity is called {words}; the form of the cavity lists them"
        )),
        many => {
            let names: Vec<String> = many
                .iter()
                .take(5)
                .map(|k| format!("\"{}\"", k.words()))
                .collect();
            Err(format!("{words} may be {}; write more of it", names.join(" or ")))
        }
    }
}

/// Whether what is pasted is rows meant for the Face, though a cavity is just being described in a line: the line makes
/// way if nothing is typed in it, and says so otherwise.
pub fn takes_rows(model: &mut Model, text: &str) -> bool {
    if text.trim().lines().count() < 2 {
        return false;
    }
    match model.over.last() {
        Some(Over::Line(line)) if matches!(line.purpose, Purpose::Describe(_)) && !line.typed() => {
            model.over.pop();
            model.place_of_keys() == Where::Face
        }
        _ => false,
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
