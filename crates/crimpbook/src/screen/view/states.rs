//! States: cavities by operating states, with the voltage to expect against the unit's own ground: from least to most where there is
//! room, else the figure at the state's own supply.

mod beside;
mod rules;

use ratatui::layout::Position;

use crimpbook_workbook::{analysis::Snapshot, model::State};

use super::first_row;
use crate::screen::{
    action::{Do, key_of},
    hits::Hit,
    model::{
        Model, face, sieve,
        states::{Shows, at, cell, rows, window, window_cell},
    },
    pen::Pen,
    text,
};

/// From this width on what is known of the cell stands beside the table.
const WIDE: u16 = 118;
/// Columns of a state, with a figure in each cell,
const STATE: u16 = 9;
/// and with a window.
const WINDOW: u16 = 13;
/// From so many windows beside each other on they are shown; in less room each cell has but its figure.
const WINDOWS: u16 = 4;
/// Columns of a cavity's number and function.
const NAME: u16 = 23;
/// Lines of the heads.
const HEADS: u16 = 3;

pub fn draw(model: &Model, pen: &mut Pen<'_>) -> Option<Position> {
    let look = pen.look();
    if model.states.shows == Shows::Written {
        rules::written(model, pen);
        return None;
    }
    let Some(see) = model.findings.current() else {
        pen.put(2, 0, "checking: every state is being computed …", look.quiet());
        return None;
    };
    if model.states.shows == Shows::Rules {
        rules::draw(model, pen);
        return None;
    }
    if see.states().is_empty() {
        none(model, see, pen);
        return None;
    }
    let (width, height) = (pen.width(), pen.height());
    if width >= WIDE {
        let right = 42;
        table(model, see, &mut pen.part(0, 0, width - right - 2, height));
        pen.part(width - right - 2, 0, 1, height).upright(0);
        beside::draw(model, see, &mut pen.part(width - right, 0, right - 1, height));
    } else {
        let below = if height >= 12 { 4 } else { 1 };
        table(model, see, &mut pen.part(0, 0, width, height - below));
        beside::below(model, see, &mut pen.part(0, height - below, width, below));
    }
    None
}

fn none(model: &Model, see: &Snapshot, pen: &mut Pen<'_>) {
    let quiet = pen.look().quiet();
    let mut y = 0;
    if see.unsolved().is_empty() {
        let words = format!("No operating state is entered yet; {} adds one.", key_of(Do::Add));
        pen.paragraph(2, y, &words, quiet);
    }
    for (state, trouble) in see.unsolved() {
        let words = format!(
            "cannot compute {}: {}",
            model.book.label_of(*state),
            trouble.words(&model.book)
        );
        y = pen.paragraph(2, y, &words, pen.look().plain());
    }
}

/// Whether cells of a table so wide have room for windows.
fn has_windows(width: u16) -> bool {
    width > NAME + WINDOWS * WINDOW
}

/// The first state shown, and how many fit.
fn columns(model: &Model, see: &Snapshot, width: u16, column: u16) -> (usize, usize) {
    let fit = usize::from(width.saturating_sub(NAME + 1) / column).max(1);
    let count = see.states().len();
    let here = model.states.state.min(count.saturating_sub(1));
    (first_row(here, count, fit), fit.min(count))
}

fn table(model: &Model, see: &Snapshot, pen: &mut Pen<'_>) {
    let look = pen.look();
    let Some(connector) = face::connector(model) else {
        pen.put(2, 0, "There is no connector yet; add one in Parts.", look.quiet());
        return;
    };
    let all = face::connectors(model);
    let place = all.iter().position(|id| *id == connector.id).unwrap_or(0) + 1;
    let x = pen.put(1, 0, &connector.label, look.strong());
    let x = pen.put(x + 1, 0, &format!("{place} of {}", all.len()), look.quiet());
    let windows = has_windows(pen.width());
    let column = if windows { WINDOW } else { STATE };
    let (first, fit) = columns(model, see, pen.width(), column);
    let (left, right) = (first, see.states().len().saturating_sub(first + fit));
    let more = match (left, right) {
        (0, 0) => String::new(),
        (0, n) => format!("{} further right", text::count(n, "state", "states")),
        (n, 0) => format!("{} further left", text::count(n, "state", "states")),
        (l, r) => format!("{l} more states left, {r} right"),
    };
    let from = pen.put_left_of(pen.width() - 1, 0, &more, look.strong());
    let room = from.saturating_sub(x + 4);
    pen.put_most(
        x + 2,
        0,
        room,
        "volts against the unit's own ground",
        look.quiet(),
    );
    let states = see.states().iter().enumerate().skip(first).take(fit);
    let here = model.states.state.min(see.states().len().saturating_sub(1));
    for (n, (at, of)) in (0u16..).zip(states.clone()) {
        let end = NAME + (n + 1) * column;
        let label = model
            .book
            .get(of.state)
            .map(|s: &State| s.label.as_str())
            .unwrap_or_default();
        let lines = head(label, column);
        for (y, words) in (1u16..).zip(&lines) {
            let style = if at == here { look.strong() } else { look.quiet() };
            pen.put_left_of(end - 1, y, words, style);
        }
    }
    let Some(rows) = rows(model) else { return };
    if rows.is_empty() {
        let none = || "Nothing is joined to this connector yet.".to_owned();
        let words = sieve::nothing(model).unwrap_or_else(none);
        pen.put(2, HEADS, &words, look.quiet());
        return;
    }
    let room = usize::from(pen.height().saturating_sub(HEADS));
    let cursor = at(model, &rows);
    let top = first_row(cursor, rows.len(), room);
    for (y, (at, cavity)) in (HEADS..).zip(rows.iter().enumerate().skip(top).take(room)) {
        pen.hit((0, y), (pen.width(), 1), Hit::Cavity(cavity.id));
        if at == cursor {
            pen.put(0, y, "▸", look.accent());
        }
        pen.put_most(1, y, 4, &cavity.number, look.strong());
        pen.put_most(5, y, NAME - 6, &cavity.name, look.plain());
        for (n, (state, of)) in (0u16..).zip(states.clone()) {
            let volts = see.cavity_volts(of, cavity.id);
            let within = windows.then(|| window(model, of, cavity)).flatten();
            let (words, mark) = match &within {
                Some(expected) => window_cell(cavity, volts, expected),
                None => cell(cavity, volts),
            };
            let end = NAME + (n + 1) * column;
            let start = if text::width(&words) > usize::from(column - 3) {
                pen.put_left_of(end - 1, y, &words, look.plain())
            } else {
                pen.put(end - 2, y, &mark.to_string(), look.plain());
                pen.put_left_of(end - 3, y, &words, look.plain())
            };
            if at == cursor && state == here {
                pen.tint(start.saturating_sub(1), y, end - start, look.focus());
            }
        }
        if at == cursor {
            pen.tint(1, y, NAME - 2, look.focus());
        }
    }
    let left = rows.len().saturating_sub(top + room);
    if left > 0 {
        pen.put(1, 1, &format!("{left} more below"), look.quiet());
    }
}

/// A state's name on two lines.
fn head(label: &str, column: u16) -> Vec<String> {
    let wide = usize::from(column - 1);
    let mut lines: Vec<String> = vec![String::new()];
    for word in label.split_whitespace() {
        let last = lines
            .last_mut()
            .map(|line| format!("{line} {word}").trim().to_owned());
        match (last, lines.len()) {
            (Some(joined), n)
                if text::width(&joined) <= wide || n == 2 || lines.iter().all(String::is_empty) =>
            {
                lines.pop();
                lines.push(joined);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines.iter().map(|line| text::fit(line, wide)).collect()
}
