//! The Log.

use super::{everywhere::move_cursor, sieve};
use crate::screen::{
    action::Do,
    effect::Effect,
    model::{
        Model,
        line::{Line, Purpose},
        log::{Detail, differences, listed, told},
        over::Over,
        sieve::List,
    },
    text::count,
};
use crimpbook_record::compare;
use crimpbook_workbook::{
    Book,
    log::{Entry, next_letter},
};

pub fn perform(model: &mut Model, act: Do) -> Option<Vec<Effect>> {
    if let Some(detail) = &model.log.detail {
        let lines = detail.lines.as_ref().map_or(0, Vec::len);
        let from = &mut model.log.detail.as_mut()?.from;
        if move_cursor(from, lines, act) {
            return Some(Vec::new());
        }
        if matches!(act, Do::Back | Do::GoBack | Do::Open) {
            model.log.detail = None;
            return Some(Vec::new());
        }
    }
    let count = listed(model).len();
    if move_cursor(&mut model.log.at, count, act) {
        return Some(Vec::new());
    }
    let here = listed(model).get(model.log.at).map(|head| head.seq);
    match act {
        Do::Open => Some(here.map_or(Vec::new(), |seq| open(model, seq))),
        Do::ShowTicks => {
            model.log.ticks = !model.log.ticks;
            let again = listed(model).iter().position(|head| Some(head.seq) == here);
            model.log.at = again.unwrap_or(0);
            model.say(if model.log.ticks {
                "build steps, readings and trials are listed"
            } else {
                "only changes of the plan are listed"
            });
            Some(Vec::new())
        }
        Do::Compare => Some(here.map_or(Vec::new(), |seq| points(model, seq))),
        Do::CompareWith => {
            let asked = "Compare with which workbook? Its path";
            model
                .over
                .push(Over::Line(Line::new(asked, Purpose::OtherWorkbook)));
            Some(Vec::new())
        }
        Do::Merge => {
            super::merging::ask(model);
            Some(Vec::new())
        }
        Do::Back if model.log.from.take().is_some() => {
            model.say("no comparison");
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
    let place = |model: &Model| listed(model).iter().position(|head| head.seq == seq);
    if let Some(at) = place(model).or_else(|| sieve::lift(model, List::Log).then(|| place(model))?) {
        model.log.at = at;
    }
    model.log.detail = Some(Detail {
        seq,
        since: None,
        other: None,
        lines: None,
        from: 0,
    });
    vec![Effect::Read(seq)]
}

/// Chooses one end of a comparison, then the other.
fn points(model: &mut Model, seq: u64) -> Vec<Effect> {
    let Some(from) = model.log.from.take() else {
        model.log.from = Some(seq);
        model.say(format!(
            "compare with entry {seq}: go to the other entry and press the same key"
        ));
        return Vec::new();
    };
    let (since, until) = (from.min(seq), from.max(seq));
    if since == until {
        model.complain("the two ends of a comparison are two entries");
        return Vec::new();
    }
    model.log.detail = Some(Detail {
        seq: until,
        since: Some(since),
        other: None,
        lines: None,
        from: 0,
    });
    vec![Effect::ReadRange(since + 1, until)]
}

/// The entries of a comparison were read: what they come to is shown.
pub fn compared(model: &mut Model, entries: &[Entry]) {
    let comparison = compare::steps(&model.book, entries, model.log.ticks);
    if let Some(detail) = model.log.detail.as_mut().filter(|d| d.since.is_some()) {
        detail.lines = Some(told(comparison));
    }
}

/// An entry was read.
pub fn read(model: &mut Model, seq: u64, entry: &Entry) {
    let lines = differences(model, entry);
    let shown = model.log.detail.as_mut();
    if let Some(detail) = shown.filter(|d| d.seq == seq && d.since.is_none() && d.other.is_none()) {
        detail.lines = Some(lines);
    }
}

/// Takes the name of the other workbook.
pub fn take_other(model: &mut Model, path: String) -> Vec<Effect> {
    if path.is_empty() {
        return super::line::wrong(model, "type the path of the other workbook, or press Esc");
    }
    vec![Effect::ReadOther(path)]
}

/// The other workbook was read: what is different here is shown.
pub fn compared_with(model: &mut Model, path: String, other: &Book) {
    let comparison = compare::compare((&path, other), ("this one", &model.book), &[]);
    let seq = model.heads.last().map_or(0, |head| head.seq);
    if matches!(model.over.last(), Some(Over::Line(line)) if matches!(line.purpose, Purpose::OtherWorkbook)) {
        model.over.pop();
    }
    model.say(format!("different from {path}: {}", comparison.counts()));
    model.log.detail = Some(Detail {
        seq,
        since: None,
        other: Some(path),
        lines: Some(told(comparison)),
        from: 0,
    });
}

fn release(model: &mut Model) {
    let letter = next_letter(model.book.revision());
    let open = match model.findings.report() {
        Some(report) if !model.findings.running => {
            let stops = count(report.open_stops(), "stop is", "stops are");
            format!(
                "{stops} open, {} missing",
                count(report.cannot_check.len(), "fact", "facts")
            )
        }
        _ => "The checks are not through yet".to_owned(),
    };
    let title = format!(
        "Release revision {letter} for building. {open}. It cannot be undone; later changes of cavities and wires need a why. What is it?"
    );
    model.over.push(Over::Line(Line::new(title, Purpose::Release)));
}
