//! Trials: the list, one of them in full, a plot, the first run.

mod first_run;
mod plot;

use ratatui::layout::Position;

use crimpbook_workbook::model::Trial;

use super::first_row;
use crate::screen::{
    action::{Do, key_of},
    figures::{day, moment, number},
    model::{
        Model, sieve,
        trials::{Shows, open, rows, trial, turned, two_at_once},
    },
    pen::Pen,
};

/// From this width on the trial stands beside the list.
const WIDE: u16 = 110;
/// Lines below the list in a narrower window.
const BELOW: u16 = 8;

pub fn draw(model: &Model, pen: &mut Pen<'_>) -> Option<Position> {
    let (width, height) = (pen.width(), pen.height());
    match (model.trials.shows, trial(model)) {
        (Shows::FirstRun, _) => first_run::draw(model, pen),
        (_, None) => none(model, pen),
        (Shows::Plot, _) => plot::draw(model, pen),
        (Shows::Detail, Some(here)) if width < WIDE => {
            full(model, &mut pen.part(1, 0, width.saturating_sub(2), height), here);
        }
        (_, Some(here)) if width >= WIDE => {
            let left = width * 3 / 5;
            list(model, &mut pen.part(0, 0, left, height));
            pen.part(left, 0, 1, height).upright(0);
            full(model, &mut pen.part(left + 2, 0, width - left - 3, height), here);
        }
        (_, Some(here)) if height >= BELOW + 5 => {
            list(model, &mut pen.part(0, 0, width, height - BELOW));
            pen.part(0, height - BELOW, width, 1).rule(0, "");
            full(
                model,
                &mut pen.part(1, height - BELOW + 1, width - 2, BELOW - 1),
                here,
            );
        }
        _ => list(model, pen),
    }
    None
}

fn none(model: &Model, pen: &mut Pen<'_>) {
    let look = pen.look();
    let open = open(model);
    let words = if let Some(words) = sieve::nothing(model) {
        words
    } else if open == 0 {
        format!(
            "The first run is gone through. {} logs the first drive, with every setting as it is now.",
            key_of(Do::AddTrial)
        )
    } else {
        format!(
            "No drive is logged yet. The first run comes first: {open} of its steps are open, each with its caution. Key {} shows them.",
            key_of(Do::FirstRun)
        )
    };
    let y = pen.paragraph(2, 0, &words, look.plain());
    first_run::deferral(&mut pen.part(0, y + 1, pen.width(), 4));
}

fn list(model: &Model, pen: &mut Pen<'_>) {
    let look = pen.look();
    let rows = rows(model);
    let at = model.trials.at.min(rows.len().saturating_sub(1));
    let room = usize::from(pen.height());
    let from = first_row(at, rows.len(), room);
    for (y, (place, id)) in (0u16..).zip(rows.iter().enumerate().skip(from).take(room)) {
        let Some(trial) = model.book.get(*id) else {
            continue;
        };
        pen.hit_row(y, place);
        if place == at {
            pen.put(0, y, "▸", look.accent());
        }
        if two_at_once(&turned(model, trial)).is_some() {
            pen.put(1, y, "!", look.accent());
        }
        let x = pen.put(2, y, &day(trial.at, model.offset), look.plain());
        let marks = marks(trial);
        let words = if trial.changed.is_empty() {
            &trial.words
        } else {
            &trial.changed
        };
        let end = pen.put_left_of(pen.width().saturating_sub(1), y, &marks, look.strong());
        let room = end.saturating_sub(x + 3);
        pen.put_most(x + 2, y, room, words, look.plain());
        if place == at {
            pen.tint(2, y, 10, look.focus());
        }
    }
}

/// Its marks in short (`tip-in 4 coast 2`).
fn marks(trial: &Trial) -> String {
    let marks: Vec<String> = trial
        .marks
        .iter()
        .map(|m| format!("{} {}", m.name, m.mark))
        .collect();
    marks.join("  ")
}

/// All that is said of a trial.
fn full(model: &Model, pen: &mut Pen<'_>, trial: &Trial) {
    let mut lines: Vec<(&str, String)> = Vec::new();
    let head = format!("{} {}", moment(trial.at, model.offset), trial.place);
    lines.push(("", format!("{}, {}", head.trim(), trial.who)));
    let turned = turned(model, trial);
    if let Some(warning) = two_at_once(&turned) {
        lines.push(("!", warning));
    }
    lines.push(("changed", trial.changed.clone()));
    lines.push(("why", trial.why.clone()));
    lines.push(("marks", marks(trial)));
    lines.push(("felt", trial.felt.clone()));
    lines.push(("next", trial.next.clone()));
    lines.push(("tried", trial.words.clone()));
    lines.push(("conditions", trial.conditions.clone()));
    let peaks: Vec<String> = trial
        .peaks
        .iter()
        .map(|p| {
            format!("{} {} {}", p.name, number(p.value), p.measure)
                .trim()
                .to_owned()
        })
        .collect();
    lines.push(("peaks", peaks.join(", ")));
    lines.push(("faults", trial.faults.clone()));
    if trial.settings.is_empty() {
        lines.push(("driven with", "not noted which settings".to_owned()));
    }
    for (n, of) in trial.settings.iter().enumerate() {
        let now = model.book.get(of.setting).map(|s| s.shown());
        let since = match now {
            Some(now) if now == of.shown() => String::new(),
            Some(now) => format!(", now {now}"),
            None => ", removed since".to_owned(),
        };
        let head = if n == 0 { "driven with" } else { " " };
        lines.push((head, format!("{} {}{since}", of.name(), of.shown())));
    }
    lines.retain(|(_, words)| !words.is_empty());
    let look = pen.look();
    let from = if model.trials.shows == Shows::Detail {
        model.trials.from.min(lines.len().saturating_sub(1))
    } else {
        0
    };
    let mut y = 0;
    for (head, words) in lines.iter().skip(from) {
        if y >= pen.height() {
            break;
        }
        y = match *head {
            "" => pen.paragraph(0, y, words, look.strong()),
            "!" => {
                pen.put(0, y, "!", look.accent());
                pen.paragraph(2, y, words, look.strong())
            }
            head => {
                pen.put(0, y, head, look.quiet());
                pen.paragraph(12, y, words, look.plain())
            }
        };
    }
}
