//! What a message makes of the model. Pure: what has to happen outside is given back as effects.

mod asking;
pub mod build;
mod describe;
mod dialog;
mod everywhere;
mod face;
mod find;
mod finding;
mod form;
mod hunt;
mod line;
mod log;
mod merging;
mod meter;
mod overview;
mod part_files;
mod parts;
mod pointer;
mod preview;
mod protection;
mod reckon;
mod settings;
mod sieve;
mod sources;
mod states;
mod suppose;
mod trials;
mod trying;

use super::{
    action::{Available, Do, Where, in_place, key_of, resolve},
    ask::ask,
    effect::{Effect, Msg, Then},
    form::Wrong,
    keys::{Input, Key, one_line},
    model::{
        Model,
        line::{Line, Purpose},
        over::Over,
        trail::{self, Spot},
    },
};
use crate::session::{Kept, Trouble};
use crimpbook_workbook::{
    Book,
    edit::{Edit, LABEL_TAKEN, Refusal, find_redo, find_undo},
    log::EntryKind,
    model::{Key as RecordKey, Kind},
};
use std::sync::Arc;

pub use everywhere::go_to;

/// Takes in a message.
pub fn update(model: &mut Model, msg: Msg) -> Vec<Effect> {
    // Another book or other findings may put the rows of Sources in another order.
    let held = match msg {
        Msg::Kept(..) | Msg::Fresh(_) | Msg::Checked(..) => sources::held(model),
        _ => None,
    };
    // Proven rules, and figures after the list, come among the findings by themselves, under somebody's fingers.
    let row = match msg {
        Msg::Checked(..) if model.findings.listed || model.findings.current().is_some() => {
            super::model::overview::held(model)
        }
        _ => None,
    };
    // Where rows are in an order of their own or held to some words, what happened may have moved them.
    let sieved = match msg {
        Msg::Kept(..) | Msg::Fresh(_) | Msg::Checked(..) => sieve::held(model),
        _ => None,
    };
    let asks_anew = matches!(msg, Msg::Fresh(_) | Msg::Checked(..));
    let mut effects = take_in(model, msg);
    if asks_anew {
        asking::renew(model);
    }
    if let (Some(held), Where::Sources) = (held, model.place) {
        sources::hold(model, held);
    }
    if let Some(row) = row {
        super::model::overview::hold(model, &row);
    }
    if let Some(sieved) = sieved {
        sieve::keep(model, sieved);
    }
    effects.extend(ask(model));
    // Kept at once: a program that is killed could not do so at its end.
    let left = model.habits();
    if left != model.remembered {
        model.remembered = left.clone();
        effects.push(Effect::Remember(left));
    }
    if !model.note.as_ref().is_some_and(|note| note.trouble) && !model.asides.is_empty() {
        let sentence = model.asides.remove(0);
        model.complain(sentence);
    }
    if matches!(model.over.last(), Some(Over::Hunt)) {
        super::model::hunt::page::renew(model);
    }
    if matches!(model.over.last(), Some(Over::Trying { .. })) {
        super::model::trying::renew(model);
    }
    // A new trial takes its why from there as well.
    if matches!(model.place, Where::Settings | Where::Trials) {
        effects.extend(settings::ask(model));
    }
    effects
}

fn take_in(model: &mut Model, msg: Msg) -> Vec<Effect> {
    match msg {
        Msg::Input(Input::Key(key)) => press(model, key),
        Msg::Input(Input::Paste(text)) => {
            paste(model, &text);
            Vec::new()
        }
        // A click on nothing, or the mouse of a terminal that was not asked for it, is nothing.
        Msg::Input(Input::Resize | Input::Click(..)) => Vec::new(),
        Msg::Input(Input::Wheel { .. }) | Msg::Clicked(_) if !model.mouse => Vec::new(),
        Msg::Input(Input::Wheel { down }) => pointer::wheel(model, down),
        Msg::Clicked(hit) => {
            pointer::click(model, hit);
            Vec::new()
        }
        Msg::Input(Input::Suspend) => vec![Effect::Suspend],
        Msg::Continued => {
            model.fresh_terminal = true;
            Vec::new()
        }
        Msg::Kept(kept, then) => kept_edit(model, kept, then),
        Msg::NotKept(trouble, edit) => {
            not_kept(model, trouble, edit);
            Vec::new()
        }
        Msg::Tried(tried) => trying::came(model, tried),
        Msg::Entry(seq, entry) => {
            log::read(model, seq, &entry);
            Vec::new()
        }
        Msg::Other(path, book) => {
            log::compared_with(model, path, &book);
            Vec::new()
        }
        Msg::Part(path, text) => {
            part_files::came(model, &path, &text);
            Vec::new()
        }
        Msg::PartWritten(path) => {
            part_files::wrote(model, &path);
            Vec::new()
        }
        Msg::NoPart(trouble) => {
            part_files::failed(model, trouble.to_string());
            Vec::new()
        }
        Msg::MergeWith(path) => vec![Effect::ReadCopy(path)],
        Msg::Copies(path, copies) => {
            merging::read(model, path, copies);
            Vec::new()
        }
        Msg::Entries(entries) => {
            log::compared(model, &entries);
            Vec::new()
        }
        Msg::Past(entries, upto) => {
            settings::take_past(model, &entries, upto);
            Vec::new()
        }
        Msg::Failed(trouble) => {
            model.complain(trouble.to_string());
            Vec::new()
        }
        Msg::Fresh(fresh) => {
            model.set_book(fresh.book);
            model.heads = fresh.heads;
            model.say("somebody else changed this workbook; what you see is up to date");
            let mut effects = check(model);
            effects.extend(merging::renew(model));
            effects
        }
        Msg::Checked(generation, computed) => {
            // A result about an older book is dropped; the newer one is on its way.
            if generation == model.findings.generation {
                model.findings.computed = Some(computed);
                model.findings.running = false;
                model.findings.listed = false;
                model.findings.stale = false;
                model.take_signals();
                trying::base(model);
            }
            Vec::new()
        }
        // What rests on figures is still being computed, so the checks run on.
        Msg::Listed(generation, computed) => {
            if generation == model.findings.generation && model.findings.running {
                model.findings.computed = Some(computed);
                model.findings.listed = true;
            }
            Vec::new()
        }
        Msg::Altered(sentence) => {
            model.altered = Some(sentence);
            Vec::new()
        }
        Msg::Aside(sentence) => {
            model.asides.push(sentence);
            Vec::new()
        }
        Msg::Answered(generation, question, answer) => {
            model.answers.take(generation, question, answer);
            Vec::new()
        }
        Msg::Hangup => vec![Effect::Quit],
    }
}

/// Asks for the checks of the book as it is now.
pub fn check(model: &mut Model) -> Vec<Effect> {
    model.findings.generation += 1;
    model.findings.running = true;
    model.findings.listed = false;
    vec![Effect::Check(model.findings.generation)]
}

fn press(model: &mut Model, key: Key) -> Vec<Effect> {
    let place = model.place_of_keys();
    match resolve(place, key) {
        Some(action) => {
            model.note = None;
            match (action.available)(&model.facts()) {
                Available::Yes => {
                    let before = Spot::of(model);
                    let effects = perform(model, action.act, key);
                    if !matches!(action.act, Do::GoBack | Do::GoForward) {
                        trail::keep(model, before);
                    }
                    effects
                }
                Available::No(why) => {
                    model.complain(format!("{}: {why}", action.label));
                    Vec::new()
                }
            }
        }
        None => {
            if let (true, Key::Char(c)) = (place.takes_text(), key) {
                dialog::insert(model, c.encode_utf8(&mut [0; 4]));
            } else if !place.takes_text() && key != Key::Esc {
                model.complain(format!("{key} does nothing here{}", keys_shown(place)));
            }
            Vec::new()
        }
    }
}

/// How to see the keys of a place, where that is one key.
fn keys_shown(place: Where) -> String {
    let help = in_place(place).find(|action| action.act == Do::Help);
    let key = help.and_then(|action| action.keys.first());
    key.map_or_else(String::new, |key| format!("; {key} shows the keys"))
}

fn paste(model: &mut Model, pasted: &str) {
    model.note = None;
    // Most terminals send a carriage return for each end of a line.
    let pasted = pasted.replace("\r\n", "\n").replace('\r', "\n");
    // Several rows are a table on every screen; one line of it on the Face alone.
    let is_table = model.place_of_keys() == Where::Face || pasted.trim().contains('\n');
    if (model.over.is_empty() && is_table) || describe::takes_rows(model, &pasted) {
        preview::open(model, &pasted);
        return;
    }
    if let (Some(Over::Line(line)), true) = (model.over.last_mut(), pasted.trim().contains('\n'))
        && matches!(line.purpose, Purpose::Describe(_))
    {
        line.wrong =
            Some("several rows were pasted into one line; leave it (Esc), then paste on the Face".to_owned());
        return;
    }
    let (text, dropped) = one_line(&pasted);
    if model.place_of_keys().takes_text() {
        dialog::insert(model, &text);
        if dropped {
            model.complain("control characters in what was pasted were left out");
        }
    } else {
        model.complain("nothing takes text here; open a form or the finder first, then paste");
    }
}

/// Does an action. `key` is the key that asked for it.
pub fn perform(model: &mut Model, act: Do, key: Key) -> Vec<Effect> {
    if act == Do::Suppose {
        suppose::open(model);
        return Vec::new();
    }
    if matches!(act, Do::UsePart | Do::SavePart) {
        part_files::open(model, act);
        return Vec::new();
    }
    if act == Do::Reckon {
        reckon::open(model);
        return Vec::new();
    }
    if matches!(model.over.last(), Some(Over::Reckon)) {
        reckon::perform(model, act, key);
        return Vec::new();
    }
    if act == Do::Try {
        return trying::open(model);
    }
    if act == Do::FindFault {
        hunt::open(model);
        return Vec::new();
    }
    if model.over.is_empty() {
        let own = match model.place {
            Where::Overview => overview::perform(model, act),
            Where::Face => face::perform(model, act),
            Where::Build => build::perform(model, act),
            Where::Sources => sources::perform(model, act),
            Where::Protection => protection::perform(model, act),
            Where::States => states::perform(model, act),
            Where::Tests => meter::perform(model, act, key),
            Where::Settings => settings::perform(model, act),
            Where::Trials => trials::perform(model, act),
            Where::Log => log::perform(model, act),
            Where::Parts => parts::perform(model, act),
            _ => None,
        };
        if let Some(effects) = own {
            return effects;
        }
        return everywhere::perform(model, act, key);
    }
    dialog::perform(model, act)
}

fn kept_edit(model: &mut Model, kept: Kept, then: Then) -> Vec<Effect> {
    let before = Arc::clone(&model.book);
    // Where another writer was there in between, the book holds what they did as well.
    let same_plan = kept.all_heads.is_none()
        && match kept.head.kind {
            EntryKind::Progress | EntryKind::Reading => true,
            // A step taken back is progress as well.
            EntryKind::Undo | EntryKind::Redo => only_answers(&before, &kept.book),
            _ => false,
        };
    match kept.head.kind {
        EntryKind::Reading if same_plan => model.set_readings(kept.book),
        _ if same_plan => model.set_progress(kept.book),
        _ => model.set_book(kept.book),
    }
    model.remember_why(&kept.head.why);
    model.say(match model.trying {
        Some(_) => format!(
            "tried, not kept: {} ({} tells the cost)",
            kept.head.title,
            key_of(Do::Try)
        ),
        None => kept.head.title.clone(),
    });
    let undoes = kept.head.of.is_some();
    match kept.all_heads {
        Some(heads) => model.heads = heads,
        None => model.heads.push(kept.head),
    }
    let back = match undoes {
        true => find_redo(&model.heads, &model.who).is_ok().then_some(Do::Redo),
        false => find_undo(&model.heads, &model.who).is_ok().then_some(Do::Undo),
    };
    if let Some(note) = &mut model.note {
        note.back = back;
    }
    if then.close {
        // The fault that was looked for is told; the next one starts anew.
        if matches!(model.over.last(), Some(Over::Hunt)) {
            model.hunt = None;
        }
        model.merging = None;
        model.over.clear();
    }
    let mut effects = Vec::new();
    match model.place {
        Where::Build => effects.extend(build::kept(model, &before, then)),
        Where::Tests => meter::kept(model, &before, undoes, then),
        Where::Trials => trials::kept(model, then),
        _ => face::kept(model, then.advance),
    }
    asking::kept(model);
    // Whoever draws wires from the Face goes on with the next cavity there.
    let stays = |key: &RecordKey| model.place == Where::Face && key.kind == Kind::Wire;
    if let Some(key) = then.go.filter(|key| !stays(key)) {
        everywhere::show(model, key);
    }
    // Build steps and readings change no plan, so what was computed of it still holds.
    if !same_plan {
        effects.extend(check(model));
    }
    effects
}

/// Whether two books differ in nothing but what was answered for steps.
fn only_answers(one: &Book, other: &Book) -> bool {
    let mut like = one.tables().clone();
    like.steps_done = other.tables().steps_done.clone();
    like == *other.tables()
}

fn not_kept(model: &mut Model, trouble: Trouble, edit: Option<(Box<Edit>, Then)>) {
    let sentence = trouble.to_string();
    let of_label =
        matches!(&trouble, Trouble::Refused(Refusal::NotValid { problem, .. }) if problem == LABEL_TAKEN);
    match (trouble, edit) {
        (Trouble::Refused(Refusal::WhyNeeded { .. }), Some((edit, then))) => {
            model.over.push(Over::Line(Line::new(
                sentence,
                Purpose::Why {
                    edit,
                    then,
                    needed: true,
                    of_acceptance: false,
                },
            )));
        }
        _ => match model.over.last_mut() {
            Some(Over::Line(line)) => line.wrong = Some(sentence),
            Some(Over::Form(form)) => form.blame(match of_label {
                true => Wrong::at("label", sentence),
                false => Wrong::whole(sentence),
            }),
            Some(Over::Asking(asking)) => asking.wrong = Some(sentence),
            Some(Over::Hunt) if model.hunt.is_some() => {
                if let Some(hunt) = &mut model.hunt {
                    hunt.wrong = Some(sentence);
                }
            }
            _ => model.complain(sentence),
        },
    }
}

#[cfg(test)]
mod tests;
#[cfg(test)]
pub(crate) use tests::merging::diverged;
#[cfg(test)]
pub(crate) use tests::shelf::stocked;
#[cfg(test)]
mod tests_fixes;
#[cfg(test)]
mod tests_part_files;
#[cfg(test)]
mod tests_preview;
