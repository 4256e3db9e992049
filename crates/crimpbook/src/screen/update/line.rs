//! One line being typed.

use crimpbook_workbook::{
    edit::{Edit, Refusal, make},
    model::Record,
};

use super::part_files;
use crate::{
    screen::{
        editor::Editor,
        effect::{Effect, Then},
        model::{Model, line::Purpose, over::Over},
    },
    session::Tries,
};

/// Takes what is typed.
pub fn accept(model: &mut Model) -> Vec<Effect> {
    let Some(Over::Line(line)) = model.over.last() else {
        return Vec::new();
    };
    let text = line.editor.text().trim().to_owned();
    let purpose = line.purpose.clone();
    if text.is_empty() && purpose.needs_why(&model.book, model.trying.is_some()) {
        return wrong(model, "a why is needed here; a few words will do");
    }
    let close = Then {
        close: true,
        ..Then::default()
    };
    let advance = Then {
        advance: true,
        ..close
    };
    let book = std::sync::Arc::clone(&model.book);
    match purpose {
        Purpose::Why {
            mut edit,
            then,
            of_acceptance,
            ..
        } => {
            if of_acceptance {
                give_why(&mut edit, &text);
            }
            commit(Box::new(edit.because(text)), Then { close: true, ..then })
        }
        Purpose::Decide(decision, cavities) => {
            let edit = make::decide(&book, &cavities, decision, &text);
            model.face.deciding = Some(decision);
            made(model, edit, advance)
        }
        Purpose::Bridge(a, b) => made(model, make::bridge(&book, a, b, &text), advance),
        Purpose::Choose(candidate) => {
            let edit = super::sources::choose(model, candidate, &text);
            made(model, edit, close)
        }
        Purpose::Refuse(candidate) => made(model, make::refuse(&book, candidate, &text), close),
        Purpose::KeepTried => vec![Effect::Try(Tries::Keep(text))],
        Purpose::Release => made(model, make::release(&book, &text), close),
        Purpose::Describe(id) => super::describe::take(model, id, &text),
        Purpose::UsePart => part_files::take_use(model, &text),
        Purpose::NamePart(file) => part_files::take_name(model, &file, &text),
        Purpose::SavePart(unit) => part_files::take_path(model, unit, text),
        Purpose::AboutPart(unit, path) => part_files::take_about(model, unit, path, &text),
        Purpose::OtherWorkbook => super::log::take_other(model, text),
        Purpose::OtherCopy => super::merging::take_path(model, text),
        Purpose::Failed => super::build::take_failure(model, text),
        Purpose::Filter => {
            super::build::take_filter(model, text);
            Vec::new()
        }
        Purpose::OnlyWith => super::sieve::take(model, text),
        Purpose::Reading(test) => super::meter::take_typed(model, &test, &text),
        Purpose::WrongReading(wrong) => super::meter::take_wrong(model, &wrong.0, &wrong.1, &text),
        Purpose::Stage
        | Purpose::Leads
        | Purpose::SupplyNow
        | Purpose::RoomNow
        | Purpose::CurrentNow
        | Purpose::NameMeter => super::meter::take_setting(model, &purpose, &text),
        Purpose::Figure(name) => match super::reckon::take(model, name, &text) {
            Ok(()) => {
                model.over.pop();
                Vec::new()
            }
            Err(why) => wrong(model, why),
        },
        Purpose::Word { word, edit, then } => {
            if text.eq_ignore_ascii_case(&word) {
                commit(edit, Then { close: true, ..then })
            } else {
                wrong(model, format!("type the word {word} to go through with it"))
            }
        }
    }
}

fn commit(edit: Box<Edit>, then: Then) -> Vec<Effect> {
    vec![Effect::Commit(edit, then)]
}

/// An edit that was made of what is typed, or why it cannot be.
fn made(model: &mut Model, edit: Result<Edit, Refusal>, then: Then) -> Vec<Effect> {
    match edit {
        Ok(edit) => commit(Box::new(edit), then),
        Err(refusal) => wrong(model, refusal.to_string()),
    }
}

/// Says what is wrong with the line.
pub(super) fn wrong(model: &mut Model, words: impl Into<String>) -> Vec<Effect> {
    if let Some(Over::Line(line)) = model.over.last_mut() {
        line.wrong = Some(words.into());
    }
    Vec::new()
}

/// An acceptance keeps the why of its edit as its own.
fn give_why(edit: &mut Edit, why: &str) {
    for change in &mut edit.changes {
        if let Some(Record::Acceptance(acceptance)) = &mut change.after {
            why.clone_into(&mut acceptance.why);
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
    if !line.purpose.asks_why() {
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
