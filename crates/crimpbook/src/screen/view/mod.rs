//! Draws the model; changes nothing.

mod asking;
mod build;
mod card;
mod dialog;
mod face;
mod form;
mod help;
pub(super) mod hints;
mod hunt;
mod log;
mod merging;
mod meter;
mod note;
pub(super) mod overview;
mod parts;
mod preview;
mod protection;
mod reckon;
mod settings;
mod sources;
mod states;
mod suppose;
mod trials;
mod trying;

pub use dialog::field;

use ratatui::{
    buffer::Buffer,
    layout::{Position, Rect},
    style::Style,
};

use super::{
    action::{Do, Where, in_place, key_of},
    hits::{Hit, Hits},
    model::{Model, meter::links, over::Over, sieve},
    pen::Pen,
    text,
};

/// Lines that the frame takes: heading, rule, note, keys.
pub(super) const FRAME: u16 = 4;
/// Below this a window shows only what is left out and how to leave.
pub(super) const LEAST: (u16, u16) = (36, 8);

/// Draws everything; gives where the terminal's own cursor belongs.
pub fn draw(model: &Model, area: Rect, buffer: &mut Buffer) -> Option<Position> {
    draw_marking(model, area, buffer, &mut Hits::default())
}

/// Draws everything and notes what stands where; gives where the terminal's own cursor belongs.
pub fn draw_marking(model: &Model, area: Rect, buffer: &mut Buffer, hits: &mut Hits) -> Option<Position> {
    let mut pen = Pen::new(buffer, area, model.look).marking(hits);
    let cursor = if area.width < LEAST.0 || area.height < LEAST.1 {
        too_small(model, &mut pen);
        None
    } else {
        let (width, height) = (pen.width(), pen.height());
        heading(model, &mut pen);
        let mut body = pen.part(0, 2, width, height - FRAME);
        let mut cursor = match model.over.last() {
            Some(Over::Help { of, from }) => {
                help::draw(model, &mut body, *of, *from);
                None
            }
            Some(Over::Suppose { wire, from }) => {
                suppose::draw(model, &mut body, *wire, *from);
                None
            }
            Some(Over::Trying { from }) => {
                trying::draw(model, &mut body, *from);
                None
            }
            _ if model.over.iter().any(|over| matches!(over, Over::Reckon)) => {
                reckon::draw(model, &mut body);
                None
            }
            _ if model.merging.is_some() => {
                if let Some(merging) = &model.merging {
                    merging::draw(&mut body, merging);
                }
                None
            }
            Some(Over::Hunt) => {
                let hunt = model.hunt.as_ref();
                hunt.and_then(|hunt| hunt::draw(model, &mut body, hunt))
            }
            _ => place(model, &mut body),
        };
        if let Some(over) = dialog::draw(model, &mut body) {
            cursor = Some(over);
        }
        note::draw(model, &mut pen);
        let facts = model.facts();
        hints::draw(
            model.place_of_keys(),
            &facts,
            &mut pen.part(0, height - 1, width, 1),
        );
        cursor
    };
    model.look.finish(buffer);
    cursor
}

fn place(model: &Model, body: &mut Pen<'_>) -> Option<Position> {
    match model.place {
        Where::Face => face::draw(model, body),
        Where::Build => build::draw(model, body),
        Where::Sources => sources::draw(model, body),
        Where::Protection => protection::draw(model, body),
        Where::States => states::draw(model, body),
        Where::Tests => meter::draw(model, body),
        Where::Settings => settings::draw(model, body),
        Where::Trials => trials::draw(model, body),
        Where::Log => log::draw(model, body),
        Where::Parts => parts::draw(model, body),
        _ => overview::draw(model, body),
    }
}

fn too_small(model: &Model, pen: &mut Pen<'_>) {
    let plain = pen.look().plain();
    let way_out = way_out(model);
    let words = format!(
        "Window too small for the screens: 80 by 24 shows all, {} by {} the least. {way_out}",
        LEAST.0, LEAST.1,
    );
    if pen.height() <= 5 || pen.width() < 24 {
        pen.put(0, 0, &way_out, plain);
        pen.put(0, 1, "too small", plain);
    } else {
        pen.paragraph(0, 0, &words, plain);
    }
}

/// How to leave: what lies over the screen first, where something does.
fn way_out(model: &Model) -> String {
    let quits = format!("{} quits.", key_of(Do::Quit));
    if model.over.is_empty() {
        return quits;
    }
    let leaves = [
        Do::Cancel,
        Do::CloseMenu,
        Do::CloseHelp,
        Do::KeepText,
        Do::LoseText,
        Do::LeaveTable,
        Do::CloseReckon,
        Do::LeaveMerge,
    ];
    let ways: Vec<String> = in_place(model.place_of_keys())
        .filter(|action| leaves.contains(&action.act))
        .filter_map(|action| Some(format!("{}: {}.", action.keys.first()?, action.label)))
        .collect();
    format!("{} Then {quits}", ways.join(" "))
}

/// The names of the screens, that of the one shown in focus.
pub(super) fn names(place: Where, pen: &mut Pen<'_>) {
    let look = pen.look();
    let width = pen.width();
    let screens: Vec<Where> = Where::ALL
        .iter()
        .copied()
        .filter(|place| place.is_screen())
        .collect();
    let all: usize = screens.iter().map(|screen| text::width(screen.words()) + 1).sum();
    // Two neighbours share the space between them, so that all of them stand in 80 columns.
    let mut x = 0;
    for screen in &screens {
        let words = format!(" {}", screen.words());
        // In a narrow window only the screen shown is named.
        if *screen == place || usize::from(width) > all {
            let after = pen.put(x, 0, &words, look.plain());
            if *screen == place {
                pen.put(x, 0, &format!("{words} "), look.focus().patch(look.strong()));
            }
            pen.hit((x, 0), (after - x, 1), Hit::Screen(*screen));
            x = after;
        }
    }
}

/// Says something at the right end of the rule below the names, in the room that is left beside what is `taken` at its other end.
pub(super) fn at_right(pen: &mut Pen<'_>, taken: usize, words: &str, style: Style) {
    let room = usize::from(pen.width().saturating_sub(6)).saturating_sub(taken);
    pen.put_left_of(
        pen.width().saturating_sub(2),
        1,
        &format!(" {} ", text::fit(words, room)),
        style,
    );
}

fn heading(model: &Model, pen: &mut Pen<'_>) {
    let look = pen.look();
    let width = pen.width();
    names(model.place, pen);
    let list = if model.over.is_empty() || matches!(model.over.last(), Some(Over::Line(_))) {
        sieve::told(model)
    } else {
        String::new()
    };
    let half = usize::from(width) * 3 / 5;
    pen.rule(1, &text::fit(&list, half));
    let mut vehicle = model.vehicle().to_owned();
    if let Some(letter) = model.book.revision() {
        vehicle.push_str(&format!(", rev {letter}"));
    }
    let standing = links(&model.book).len();
    if standing > 0 {
        vehicle = format!(
            "! {} · {vehicle}",
            text::count(standing, "temporary link", "temporary links")
        );
    }
    if model.altered.is_some() {
        vehicle = format!("! file altered · {vehicle}");
    }
    // What is tried looks like what is kept on every screen, so that each must say so.
    let style = match super::model::trying::mark(model) {
        Some(mark) => {
            vehicle = format!("! {mark} · {vehicle}");
            look.focus().patch(look.strong())
        }
        None => look.quiet(),
    };
    let taken = if list.is_empty() {
        0
    } else {
        text::width(&list).min(half) + 3
    };
    at_right(pen, taken, &vehicle, style);
}

/// What came of a candidate, in a word.
fn sources_words(verdict: crimpbook_workbook::model::Verdict) -> &'static str {
    use crimpbook_workbook::model::Verdict;
    match verdict {
        Verdict::Weighed => "open",
        Verdict::Chosen => "chosen",
        Verdict::Refused => "refused",
    }
}

/// The first row shown, so that row `at` of `count` is in sight among `room` lines.
fn first_row(at: usize, count: usize, room: usize) -> usize {
    at.saturating_sub(room / 2).min(count.saturating_sub(room))
}

#[cfg(test)]
mod tests;
#[cfg(test)]
mod tests_build;
#[cfg(test)]
mod tests_electrics;
#[cfg(test)]
mod tests_palettes;
#[cfg(test)]
mod tests_tuning;
