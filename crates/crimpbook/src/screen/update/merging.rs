//! Merging another copy: chosen row by row, written as a whole or not at all.

use std::sync::Arc;

use crimpbook_workbook::merge::Keeps;

use crate::{
    screen::{
        action::Do,
        effect::{Effect, Then},
        model::{
            Model,
            line::{Line, Purpose},
            merging::Merging,
            over::Over,
        },
        text::count,
    },
    session::Copies,
};

/// The word that writes a merge.
const WORD: &str = "merge";

/// Asks which copy.
pub fn ask(model: &mut Model) {
    let asked = "Merge with which other copy of this workbook? Its path; it stays as it is";
    model.over.push(Over::Line(Line::new(asked, Purpose::OtherCopy)));
}

/// Takes the name of the other copy.
pub fn take_path(model: &mut Model, path: String) -> Vec<Effect> {
    if path.is_empty() {
        return super::line::wrong(model, "type the path of the other copy, or press Esc");
    }
    vec![Effect::ReadCopy(path)]
}

/// The other copy was read: it is laid beside this one.
pub fn read(model: &mut Model, path: String, copies: Arc<Copies>) {
    let laid = Merging::of(path, copies, Arc::clone(&model.book), &mut model.ids);
    let asked =
        matches!(model.over.last(), Some(Over::Line(line)) if matches!(line.purpose, Purpose::OtherCopy));
    match laid {
        Err(refusal) if asked => {
            super::line::wrong(model, refusal.to_string());
        }
        Err(refusal) => model.complain(refusal.to_string()),
        Ok(None) => {
            model.over.clear();
            model.merging = None;
            model.say("the other copy has nothing that this one lacks");
        }
        Ok(Some(laid)) => match &mut model.merging {
            // Somebody else changed this workbook meanwhile.
            Some(merging) => merging.follow(laid),
            none => {
                *none = Some(laid);
                model.over.clear();
                model.over.push(Over::Merging);
            }
        },
    }
}

/// This workbook moved on: what is laid out is read anew.
pub fn renew(model: &mut Model) -> Option<Effect> {
    let merging = model.merging.as_ref()?;
    // A word typed already was typed about what was laid out before.
    model.over.clear();
    model.over.push(Over::Merging);
    Some(Effect::ReadCopy(merging.path.clone()))
}

pub fn perform(model: &mut Model, act: Do) {
    let Some(merging) = &mut model.merging else {
        model.over.clear();
        return;
    };
    let last = merging.rows().saturating_sub(1);
    let at = &mut merging.at;
    match act {
        Do::MergeUp => *at = at.saturating_sub(1),
        Do::MergeDown => *at = (*at + 1).min(last),
        Do::MergePageUp => *at = at.saturating_sub(10),
        Do::MergePageDown => *at = (*at + 10).min(last),
        Do::KeepMine => merging.choose(Some(Keeps::Mine)),
        Do::KeepTheirs => merging.choose(Some(Keeps::Theirs)),
        Do::ChooseLater => merging.choose(None),
        Do::RestMine => merging.choose_rest(Keeps::Mine),
        Do::RestTheirs => merging.choose_rest(Keeps::Theirs),
        Do::LeaveMerge => {
            model.over.clear();
            model.merging = None;
            model.say("not merged; neither copy was changed");
        }
        Do::BringIn => confirm(model),
        _ => {}
    }
}

/// Has a word typed before anything is written.
fn confirm(model: &mut Model) {
    let Some(merging) = &model.merging else { return };
    let chosen = count(merging.conflicts.len(), "choice", "choices");
    let title = format!(
        "{}, with {chosen} made. It is not taken back by undoing. Type {WORD} to write it.",
        merging.told()
    );
    let line = Line::new(
        title,
        Purpose::Word {
            word: WORD.to_owned(),
            edit: Box::new(merging.edit.clone()),
            then: Then::default(),
        },
    );
    model.over.push(Over::Line(line));
}
