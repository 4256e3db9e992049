//! What holds on every screen.

use crimpbook_workbook::model::{Key as RecordKey, Kind};

use crate::screen::{
    action::{Do, Where, key_of},
    effect::Effect,
    keys::Key,
    model::{
        Model,
        find::{Find, screen_of},
        over::Over,
        trail, trying,
    },
};

/// The screens in the order of Tab.
const ORDER: [Where; 11] = [
    Where::Overview,
    Where::Face,
    Where::Sources,
    Where::Build,
    Where::Protection,
    Where::States,
    Where::Tests,
    Where::Settings,
    Where::Trials,
    Where::Log,
    Where::Parts,
];

pub fn perform(model: &mut Model, act: Do, key: Key) -> Vec<Effect> {
    match act {
        Do::Menu => model.over.push(Over::Menu),
        Do::Help => model.over.push(Over::Help {
            of: model.place,
            from: 0,
        }),
        Do::Find => model.over.push(Over::Find(Find::default())),
        Do::GoToNumber => {
            let mut find = Find::default();
            if let Key::Char(digit) = key {
                find.editor.insert(digit.encode_utf8(&mut [0; 4]));
            }
            model.over.push(Over::Find(find));
            super::find::look(model);
        }
        Do::NextPlace => step(model, 1),
        Do::PreviousPlace => step(model, ORDER.len() - 1),
        Do::GoBack => trail::back(model),
        Do::GoForward => trail::forward(model),
        Do::Undo => return vec![Effect::Undo],
        Do::Redo => return vec![Effect::Redo],
        Do::Contrast => {
            model.look.scheme = model.look.scheme.next();
            model.say(model.look.scheme.words());
        }
        Do::Mouse => return super::pointer::switch(model),
        Do::Quit if trying::tried(model).is_some_and(|n| n > 0) => {
            let key = key_of(Do::Try);
            model.complain(format!(
                "what is tried is on no disk and would be lost: keep it or drop it first ({key})"
            ));
        }
        Do::ListOrder | Do::TurnOrder | Do::OnlyWith => return super::sieve::perform(model, act),
        Do::Back => super::sieve::lift_shown(model),
        Do::Quit => return vec![Effect::Quit],
        _ => {}
    }
    Vec::new()
}

fn step(model: &mut Model, by: usize) {
    let at = ORDER.iter().position(|place| *place == model.place).unwrap_or(0);
    if let Some(place) = ORDER.get((at + by) % ORDER.len()) {
        go_to(model, *place);
    }
}

/// Shows a screen.
pub fn go_to(model: &mut Model, place: Where) {
    model.place = place;
    if place == Where::Build {
        super::build::opened(model);
    }
}

/// Shows a record on the screen that suits it.
pub fn show(model: &mut Model, key: RecordKey) {
    model.trail.jumped();
    let was = model.place;
    go_to(model, screen_of(key, was));
    match key.kind {
        _ if model.place == Where::Build => super::build::show(model, key),
        _ if model.place == Where::Sources => super::sources::show(model, key),
        _ if model.place == Where::Protection => super::protection::show(model, key),
        Kind::Rule if was != Where::States => super::states::show_rule(model, key),
        Kind::Cavity | Kind::Connector => super::face::show(model, key),
        _ if model.place == Where::States => super::states::show(model, key),
        Kind::Setting => super::settings::show(model, key),
        Kind::Trial => super::trials::show(model, key),
        _ => super::parts::show(model, key),
    }
}

/// Moves a cursor over `count` rows; true if `act` is such a move.
pub fn move_cursor(at: &mut usize, count: usize, act: Do) -> bool {
    let last = count.saturating_sub(1);
    *at = match act {
        Do::Up => at.saturating_sub(1),
        Do::Down => at.saturating_add(1),
        Do::First => 0,
        Do::Last => last,
        Do::PageUp => at.saturating_sub(10),
        Do::PageDown => at.saturating_add(10),
        _ => return false,
    }
    .min(last);
    true
}
