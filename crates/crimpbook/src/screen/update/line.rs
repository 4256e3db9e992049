//! One line being typed.

use crimpbook_workbook::{edit::Edit, model::Record};

use crate::screen::{
    editor::Editor,
    effect::{Effect, Then},
    model::{Model, line::Purpose, over::Over},
};

/// Takes what is typed.
pub fn accept(model: &mut Model) -> Vec<Effect> {
    let Some(Over::Line(line)) = model.over.last_mut() else {
        return Vec::new();
    };
    let text = line.editor.text().trim().to_owned();
    match &line.purpose {
        Purpose::Describe(id) => {
            let id = *id;
            super::describe::take(model, id, &text)
        }
        Purpose::Failed => super::build::take_failure(model, text),
        Purpose::Filter => {
            super::build::take_filter(model, text);
            Vec::new()
        }
        Purpose::Why { needed: true, .. } if text.is_empty() => {
            line.wrong = Some("a why is needed here; a few words will do".to_owned());
            Vec::new()
        }
        Purpose::Why {
            edit,
            then,
            of_records,
            ..
        } => {
            let mut edit = (**edit).clone();
            if *of_records {
                give_why(&mut edit, &text);
            }
            let edit = Box::new(edit.because(text));
            vec![Effect::Commit(edit, Then { close: true, ..*then })]
        }
        Purpose::Word { word, edit, then } => {
            if text.eq_ignore_ascii_case(word) {
                vec![Effect::Commit(edit.clone(), Then { close: true, ..*then })]
            } else {
                line.wrong = Some(format!("type the word {word} to go through with it"));
                Vec::new()
            }
        }
    }
}

/// Cavities and candidates of an edit keep its why as their own.
pub fn give_why(edit: &mut Edit, why: &str) {
    for change in &mut edit.changes {
        match &mut change.after {
            Some(Record::Cavity(cavity)) => why.clone_into(&mut cavity.why),
            Some(Record::Acceptance(acceptance)) => why.clone_into(&mut acceptance.why),
            Some(Record::Candidate(candidate)) => why.clone_into(&mut candidate.why),
            _ => {}
        }
    }
}

/// Puts an earlier why into the line.
pub fn earlier(model: &mut Model) {
    step(model, 1);
}

/// Back towards what was typed.
pub fn later(model: &mut Model) {
    step(model, -1);
}

fn step(model: &mut Model, by: isize) {
    let whys = model.whys.clone();
    let Some(Over::Line(line)) = model.over.last_mut() else {
        return;
    };
    if !matches!(line.purpose, Purpose::Why { .. }) {
        return;
    }
    // What was typed itself must not be lost by looking back.
    if line.back == 0 && line.typed() {
        return;
    }
    let back = line.back.saturating_add_signed(by).min(whys.len());
    let text = if back == 0 {
        line.started.clone()
    } else {
        whys.iter().rev().nth(back - 1).cloned().unwrap_or_default()
    };
    line.back = back;
    line.editor = Editor::with(text);
    line.wrong = None;
}
