//! The steps of the first run, each with its caution.

use crimpbook_workbook::{model::FirstRunStep, tune::gone_through};

use crate::screen::{
    action::{Do, key_of},
    figures::day,
    model::{Model, trials::open},
    pen::Pen,
    text,
};

/// What every page that touches driving says.
const DEFERRAL: &str = "Only control wiring up to 60 V DC is handled here; traction wiring is for those licensed for it. \
    The units' manuals and local rules come first. Steps gone through are no approval.";

/// Says it; gives the line after it.
pub fn deferral(pen: &mut Pen<'_>) -> u16 {
    let strong = pen.look().strong();
    pen.paragraph(1, 0, DEFERRAL, strong)
}

pub fn draw(model: &Model, pen: &mut Pen<'_>) {
    let look = pen.look();
    let (width, height) = (pen.width(), pen.height());
    let mut y = deferral(pen);
    let left = match open(model) {
        0 => "first run: gone through".to_owned(),
        n => format!(
            "first run: {} open; {} goes through the one chosen",
            text::count(n, "step", "steps"),
            key_of(Do::GoneThrough)
        ),
    };
    pen.rule(y, &left);
    y += 1;
    let at = model.trials.step.min(FirstRunStep::ALL.len() - 1);
    // Every step has at least its own line; the one chosen is told in full.
    let mut lines: Vec<(u16, String, bool, bool)> = Vec::new();
    let room = usize::from(width.saturating_sub(7));
    for (place, step) in FirstRunStep::ALL.iter().enumerate() {
        let done = gone_through(&model.book, *step);
        let sign = if done.is_some() { "✓" } else { "○" };
        let head = |words: &str| format!("{sign} {:>2} {words}", place + 1);
        if place != at {
            lines.push((0, head(&text::fit(step.words(), room)), false, false));
            continue;
        }
        for (n, words) in text::wrap(step.words(), room).iter().enumerate() {
            let words = if n == 0 {
                head(words)
            } else {
                format!("     {words}")
            };
            lines.push((0, words, true, n > 0));
        }
        for (n, words) in text::wrap(step.caution(), room).iter().enumerate() {
            let head = if n == 0 { "!" } else { " " };
            lines.push((5, format!("{head} {words}"), false, true));
        }
        if let Some(done) = done {
            let since = model.book.revision().unwrap_or_default();
            let mut said = format!("gone through {} by {}", day(done.at, model.offset), done.who);
            if !done.note.is_empty() {
                said.push_str(&format!(": {}", done.note));
            }
            if done.revision != since && !since.is_empty() {
                said.push_str(&format!(
                    "; the plan was then {}, it is {since} now: go through again what the change touches",
                    if done.revision.is_empty() {
                        "not released".to_owned()
                    } else {
                        format!("revision {}", done.revision)
                    }
                ));
            }
            lines.extend(
                text::wrap(&said, room.saturating_sub(2))
                    .into_iter()
                    .map(|words| (7, words, false, false)),
            );
        }
    }
    let here = lines.iter().position(|(_, _, chosen, _)| *chosen).unwrap_or(0);
    let room = usize::from(height.saturating_sub(y));
    let from = super::first_row(here, lines.len(), room);
    for (x, words, chosen, below) in lines.iter().skip(from).take(room) {
        let style = if *below || *chosen {
            look.strong()
        } else {
            look.plain()
        };
        if *chosen && !*below {
            pen.put(0, y, "▸", look.accent());
        }
        pen.put(2 + x, y, words, style);
        y += 1;
    }
}
