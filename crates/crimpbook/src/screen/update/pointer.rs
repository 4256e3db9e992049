//! The wheel and the clicks of a mouse, where it is switched on. Whatever they do, keys do as well.

use super::{everywhere::go_to, press, protection};
use crate::screen::{
    action::{Where, resolve},
    effect::Effect,
    hits::Hit,
    keys::Key,
    model::{
        Model,
        over::Over,
        sieve::{list_of, set_cursor},
        states,
        trail::{self, Spot},
    },
};

/// Rows that a notch of the wheel moves.
const NOTCH: usize = 3;

/// Switches the mouse on or off, for the next run as well.
pub fn switch(model: &mut Model) -> Vec<Effect> {
    model.mouse = !model.mouse;
    model.mouse_kept = model.mouse;
    model.say(if model.mouse {
        "the mouse is on: the wheel moves, a click goes there; Shift held, most terminals select text as before"
    } else {
        "the mouse is the terminal's again, for selecting text"
    });
    vec![Effect::Mouse(model.mouse)]
}

/// A notch of the wheel is a few strokes of an arrow key, where that moves a row.
pub fn wheel(model: &mut Model, down: bool) -> Vec<Effect> {
    let key = if down { Key::Down } else { Key::Up };
    let place = model.place_of_keys();
    if resolve(place, key).is_none() {
        return Vec::new();
    }
    // One thing at a time where it moves no row.
    let one = place.takes_text() || matches!(place, Where::Face | Where::Build);
    let mut effects = Vec::new();
    for _ in 0..if one { 1 } else { NOTCH } {
        effects.extend(press(model, key));
    }
    effects
}

/// A click on something that was drawn.
pub fn click(model: &mut Model, hit: Hit) {
    if let Some(Over::Find(find)) = model.over.last_mut() {
        if let Hit::Row(at) = hit {
            find.at = at.min(find.found.len().saturating_sub(1));
        }
        return;
    }
    // What lies over a screen is left by its own keys, so that nothing typed is lost.
    if !model.over.is_empty() || model.merging.is_some() {
        return;
    }
    model.note = None;
    match hit {
        Hit::Screen(place) => {
            let before = Spot::of(model);
            go_to(model, place);
            trail::keep(model, before);
        }
        Hit::Cavity(id) => {
            model.face.cavity = Some(id);
            model.face.run = None;
        }
        Hit::Row(at) => match list_of(model) {
            Some(list) => {
                model.sources.candidate = None;
                set_cursor(model, list, at);
            }
            None if model.place == Where::Protection => protection::set(model, at),
            None if model.place == Where::States && model.states.shows == states::Shows::Rules => {
                model.states.rule_at = at;
            }
            None => {}
        },
    }
}
