//! What lies over the screen: menus, text being typed, the help.

use super::{asking, everywhere::go_to, face, find, form, hunt, line, merging, preview, trying};
use crate::{
    screen::{
        action::{Do, Where},
        editor::Editor,
        effect::Effect,
        model::{Model, over::Over},
    },
    session::Tries,
};

/// Types text into what is on top.
pub fn insert(model: &mut Model, text: &str) {
    if let Some(editor) = editor(model) {
        editor.insert(text);
        touched(model);
    }
}

/// The line being typed, if there is one.
fn editor(model: &mut Model) -> Option<&mut Editor> {
    match model.over.last_mut()? {
        Over::Line(line) => Some(&mut line.editor),
        Over::Form(form) => form.field_mut().map(|f| &mut f.editor),
        Over::Asking(asking) => Some(&mut asking.editor),
        Over::Find(find) => Some(&mut find.editor),
        Over::Hunt => model.hunt.as_mut().map(|hunt| &mut hunt.editor),
        _ => None,
    }
}

/// What is said about the text is about the text before.
fn touched(model: &mut Model) {
    match model.over.last_mut() {
        Some(Over::Line(line)) => line.wrong = None,
        Some(Over::Form(form)) => form.touched(),
        Some(Over::Asking(asking)) => asking.wrong = None,
        Some(Over::Find(_)) => find::look(model),
        Some(Over::Hunt) => {
            if let Some(hunt) = model.hunt.as_mut() {
                (hunt.wrong, hunt.pick) = (None, None);
            }
        }
        _ => {}
    }
}

pub fn perform(model: &mut Model, act: Do) -> Vec<Effect> {
    if matches!(model.over.last(), Some(Over::Preview(_))) {
        return preview::perform(model, act);
    }
    if matches!(model.over.last(), Some(Over::Merging)) {
        merging::perform(model, act);
        return Vec::new();
    }
    match act {
        Do::GoOverview => menu(model, Where::Overview),
        Do::GoFace => menu(model, Where::Face),
        Do::GoSources => menu(model, Where::Sources),
        Do::GoBuild => menu(model, Where::Build),
        Do::GoProtection => menu(model, Where::Protection),
        Do::GoStates => menu(model, Where::States),
        Do::GoTests => menu(model, Where::Tests),
        Do::GoSettings => menu(model, Where::Settings),
        Do::GoTrials => menu(model, Where::Trials),
        Do::GoLog => menu(model, Where::Log),
        Do::GoParts => menu(model, Where::Parts),
        Do::CloseMenu | Do::CloseHelp | Do::KeepText => {
            model.over.pop();
        }
        Do::LoseText => {
            model.over.pop();
            model.over.pop();
        }
        Do::HelpDown | Do::HelpUp | Do::HelpStart | Do::HelpEnd => scroll(model, act),
        Do::KeepTried => trying::keep(model),
        Do::DropTried => return vec![Effect::Try(Tries::Drop)],
        Do::Cancel => cancel(model),
        Do::Accept if matches!(model.over.last(), Some(Over::Form(_))) => return form::accept(model),
        Do::Accept => return line::accept(model),
        Do::TakeForm => return form::take(model),
        Do::NextField => form::step(model, true),
        Do::PreviousField => form::step(model, false),
        Do::DecideWired | Do::DecideBlank | Do::DecideReserved | Do::DecideNotOurs | Do::DecideUndecided => {
            model.over.pop();
            face::decide(model, act);
        }
        Do::TakeSeen => return hunt::take(model),
        Do::ElseUsual => hunt::else_usual(model),
        Do::TakeBack => hunt::take_back(model),
        Do::ChoiceDown | Do::ChoiceUp => hunt::choose(model, act == Do::ChoiceDown),
        Do::SuspectsDown | Do::SuspectsUp => hunt::scroll(model, act == Do::SuspectsDown),
        Do::EarlierText => line::earlier(model),
        Do::LaterText => line::later(model),
        Do::Answer => return asking::answer(model),
        Do::SkipQuestion => asking::step(model, true),
        Do::QuestionBefore => asking::step(model, false),
        Do::ShowPlace => asking::show(model),
        Do::TakeMatch => return find::take(model),
        Do::NextMatch | Do::PreviousMatch => find::choose(model, act),
        Do::EraseBefore | Do::EraseAfter | Do::EraseLine | Do::EraseWord | Do::EraseRest => {
            if let Some(editor) = editor(model) {
                match act {
                    Do::EraseBefore => editor.backspace(),
                    Do::EraseAfter => editor.delete(),
                    Do::EraseLine => editor.erase_line(),
                    Do::EraseWord => editor.erase_word(),
                    _ => editor.erase_rest(),
                }
            }
            touched(model);
        }
        Do::TextRight if form::complete(model) => {}
        Do::TextLeft | Do::TextRight | Do::TextStart | Do::TextEnd => {
            if let Some(editor) = editor(model) {
                match act {
                    Do::TextLeft => editor.left(),
                    Do::TextRight => editor.right(),
                    Do::TextStart => editor.home(),
                    _ => editor.end(),
                }
            }
        }
        _ => {}
    }
    Vec::new()
}

fn menu(model: &mut Model, place: Where) {
    model.over.pop();
    go_to(model, place);
}

/// Another part of a page to read.
fn scroll(model: &mut Model, act: Do) {
    let (lines, at_once) = match model.over.last() {
        Some(Over::Help { of, .. }) => (crate::screen::action::in_place(*of).count(), 5),
        Some(Over::Suppose { wire, .. }) => (crate::screen::model::suppose::lines(model, *wire).len(), 4),
        Some(Over::Trying { .. }) => (crate::screen::model::trying::lines(model).len(), 3),
        _ => return,
    };
    let last = lines.saturating_sub(at_once);
    if let Some(Over::Help { from, .. } | Over::Suppose { from, .. } | Over::Trying { from }) =
        model.over.last_mut()
    {
        *from = match act {
            Do::HelpDown => (*from + at_once).min(last),
            Do::HelpUp => from.saturating_sub(at_once),
            Do::HelpStart => 0,
            _ => last,
        };
    }
}

fn cancel(model: &mut Model) {
    let typed = match model.over.last() {
        Some(Over::Line(line)) => line.typed(),
        Some(Over::Form(form)) => form.typed(),
        Some(Over::Asking(asking)) => asking.typed(),
        _ => false,
    };
    if typed {
        model.over.push(Over::Leaving);
    } else {
        model.over.pop();
    }
}
