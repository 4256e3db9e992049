//! Settings.

use crimpbook_workbook::{log::Entry, model::Key, tune::Past};

use super::{everywhere::move_cursor, form, parts, sieve};
use crate::screen::{
    action::Do,
    effect::Effect,
    form::{Purpose, Start},
    model::{
        Model,
        settings::{against, all, gone, left_otherwise, moments, rows, setting},
        sieve::List,
    },
    text::count,
};

pub fn perform(model: &mut Model, act: Do) -> Option<Vec<Effect>> {
    if model.settings.detail {
        let lines = setting(model).map_or(0, |of| moments(model, of).count());
        if move_cursor(&mut model.settings.from, lines, act) {
            return Some(Vec::new());
        }
        if matches!(act, Do::Back | Do::SettingPast) {
            model.settings.detail = false;
            return Some(Vec::new());
        }
    }
    let count = rows(model).len();
    if move_cursor(&mut model.settings.at, count, act) {
        return Some(Vec::new());
    }
    let here = setting(model).map(|s| (s.id, s.unit));
    match act {
        Do::Turn => form::open(model, Purpose::Turn(here?.0), &Start::default()),
        Do::EditSetting => form::open(model, Purpose::Setting(Some(here?.0)), &Start::default()),
        Do::AddSetting => {
            let start = Start {
                unit: here
                    .map(|(_, unit)| model.book.label_of(unit))
                    .unwrap_or_default(),
                ..Start::default()
            };
            form::open(model, Purpose::Setting(None), &start);
        }
        Do::SettingPast => {
            model.settings.detail = true;
            model.settings.from = 0;
        }
        Do::AsLeft => hold_against(model, 1),
        Do::Right => hold_against(model, 1),
        Do::Left => hold_against(model, model.settings.past.revisions.len()),
        Do::Back if model.settings.against > 0 => model.settings.against = 0,
        Do::RemoveSetting => parts::remove(model, Key::of(here?.0)),
        _ => return None,
    }
    Some(Vec::new())
}

/// Holds the values against a release, or against none.
fn hold_against(model: &mut Model, by: usize) {
    let revisions = model.settings.past.revisions.len();
    if revisions == 0 {
        model.complain("nothing was released yet: settings are held as left at each release (Log)");
        return;
    }
    model.settings.against = (model.settings.against + by) % (revisions + 1);
    let Some(left) = against(model) else {
        model.say("held against no release");
        return;
    };
    let other = all(model)
        .into_iter()
        .filter(|s| left_otherwise(left, s).is_some())
        .count();
    let gone = gone(model, left);
    let mut words = format!(
        "as left at revision {} on {}: {} now",
        left.revision,
        crate::screen::figures::day(left.at, model.offset),
        count(other, "setting is otherwise", "settings are otherwise")
    );
    if !gone.is_empty() {
        words.push_str(&format!("; gone: {}", gone.join(", ")));
    }
    model.say(words);
}

/// Puts the cursor on a setting.
pub fn show(model: &mut Model, key: Key) {
    let place = |model: &Model| rows(model).iter().position(|s| Key::of(s.id) == key);
    let at = place(model).or_else(|| sieve::lift(model, List::Settings).then(|| place(model))?);
    model.settings.at = at.unwrap_or(model.settings.at);
}

/// What is to be read of the log, where the past of settings is shown and not read up to its end.
pub fn ask(model: &mut Model) -> Option<Effect> {
    let last = model.heads.last().map_or(0, |head| head.seq);
    let known = model.settings.past.upto;
    if known >= last || model.settings.asked >= last {
        return None;
    }
    model.settings.asked = last;
    let seqs: Vec<u64> = model
        .heads
        .iter()
        .filter(|head| head.seq > known && Past::concerns(head))
        .map(|head| head.seq)
        .collect();
    Some(Effect::ReadPast(seqs, last))
}

/// Entries of the log were read, up to one place of it.
pub fn take_past(model: &mut Model, entries: &[(u64, Entry)], upto: u64) {
    let past = &mut model.settings.past;
    for (seq, entry) in entries {
        if *seq > past.upto {
            past.take(*seq, entry);
        }
    }
    past.upto = past.upto.max(upto);
}
