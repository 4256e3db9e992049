//! The Log.

use super::everywhere::move_cursor;
use crate::screen::{
    action::Do,
    effect::Effect,
    model::{
        Model,
        line::{Line, Purpose},
        log::{Detail, differences, listed},
        over::Over,
    },
};
use crimpbook_workbook::log::next_letter;

pub fn perform(model: &mut Model, act: Do) -> Option<Vec<Effect>> {
    if let Some(detail) = &model.log.detail {
        let lines = detail
            .entry
            .as_ref()
            .map_or(0, |entry| differences(model, entry).len());
        let from = &mut model.log.detail.as_mut()?.from;
        if move_cursor(from, lines, act) {
            return Some(Vec::new());
        }
        if matches!(act, Do::Back | Do::Open) {
            model.log.detail = None;
            return Some(Vec::new());
        }
    }
    let seqs: Vec<u64> = listed(model).iter().map(|head| head.seq).collect();
    if move_cursor(&mut model.log.at, seqs.len(), act) {
        return Some(Vec::new());
    }
    match act {
        Do::Open => Some(seqs.get(model.log.at).map_or(Vec::new(), |seq| open(model, *seq))),
        Do::ShowTicks => {
            let seq = seqs.get(model.log.at).copied();
            model.log.ticks = !model.log.ticks;
            let again = listed(model).iter().position(|head| Some(head.seq) == seq);
            model.log.at = again.unwrap_or(0);
            model.say(if model.log.ticks {
                "build steps, readings and trials are listed"
            } else {
                "only changes of the plan are listed"
            });
            Some(Vec::new())
        }
        Do::Release => {
            release(model);
            Some(Vec::new())
        }
        _ => None,
    }
}

/// Shows an entry in detail.
pub fn open(model: &mut Model, seq: u64) -> Vec<Effect> {
    if let Some(at) = listed(model).iter().position(|head| head.seq == seq) {
        model.log.at = at;
    }
    model.log.detail = Some(Detail {
        seq,
        entry: None,
        from: 0,
    });
    vec![Effect::Read(seq)]
}

fn release(model: &mut Model) {
    let letter = next_letter(model.book.revision());
    let title = format!(
        "Release revision {letter} for building. It cannot be undone; later changes of cavities and wires need a why. What is it?"
    );
    model.over.push(Over::Line(Line::new(title, Purpose::Release)));
}
