//! The Face: a connector as plastic and holes, as its cavities lie, and the card of the one under the cursor.

mod drawing;

use ratatui::layout::Position;

use crimpbook_workbook::{
    check::Level,
    model::{Connector, View, face::Face},
};

use super::card;
use crate::screen::{
    action::{Do, key_of},
    model::{
        Model,
        face::{cavity, connector, connectors, view},
        findings::gravest_at_cavity,
    },
    pen::Pen,
    text::count,
};
pub use drawing::{Drawing, draw_face, finding_mark};

/// Columns that a card takes at least.
const CARD: u16 = 30;
/// Columns of the card in a narrow window.
const NARROW_CARD: u16 = 24;

pub fn draw(model: &Model, pen: &mut Pen<'_>) -> Option<Position> {
    let look = pen.look();
    let Some(connector) = connector(model) else {
        let words = format!(
            "No connector yet. {} adds one, once there is a unit in Parts.",
            key_of(Do::AddConnector)
        );
        pen.put(2, 1, &words, look.quiet());
        return None;
    };
    let face = model.book.face_of(connector.id);
    let seen = view(model, &face);
    heading(model, pen, connector, &face, seen);
    marked(model, pen, connector);
    let (width, height) = (pen.width(), pen.height());
    let room = if width >= 60 {
        width.saturating_sub(2 + if width >= 76 { CARD } else { NARROW_CARD })
    } else {
        width
    };
    let top = 3;
    let used = draw_face(
        model,
        &mut pen.part(1, top, room, height.saturating_sub(top + 1)),
        &Drawing {
            face: &face,
            seen,
            connector: connector.id,
            cursor: cavity(model).map(|c| c.id),
            marks: &model.face.marks,
            only: None,
        },
    );
    legend(&mut pen.part(1, height.saturating_sub(1), width, 1));
    if width >= 60 {
        // The card takes what the drawing leaves, so that a small face gives its card more room.
        let x = (used + 3).min(room + 1);
        let tall = height.saturating_sub(top + 1);
        pen.part(x, top, 1, tall).upright(0);
        if let Some(cavity) = cavity(model) {
            card::cavity(
                model,
                &mut pen.part(x + 2, top, width.saturating_sub(x + 3), tall),
                cavity,
            );
        }
    } else if let Some(cavity) = cavity(model) {
        let words = format!(
            "{} {} {}",
            model.book.cavity_name(cavity.id),
            cavity.name,
            cavity.decision.words()
        );
        pen.put(1, 2, &words, look.strong());
    }
    None
}

fn heading(model: &Model, pen: &mut Pen<'_>, connector: &Connector, face: &Face, seen: View) {
    let look = pen.look();
    let x = pen.put(1, 0, &connector.label, look.strong()) + 2;
    let x = pen.put(x, 0, side(seen), look.accent());
    let all = connectors(model);
    let at = all.iter().position(|id| *id == connector.id).unwrap_or(0) + 1;
    let mut words = model.book.label_of(connector.unit);
    words.push_str(match connector.sealed {
        Some(true) => ", sealed",
        Some(false) => ", not sealed",
        None => "",
    });
    words.push_str(&format!(", {}", count(face.len(), "cavity", "cavities")));
    if face.guessed {
        words.push_str("; its face is not described, so it is drawn as a list");
    } else if face.seen_from.is_none() {
        words.push_str("; its line states no side, the mating side is assumed");
    } else if face.is_mirrored(seen) {
        words.push_str("; mirrored, its line states the other side");
    }
    if !model.face.marks.is_empty() {
        words.push_str(&format!("; {} marked", model.face.marks.len()));
    }
    let width = pen.width();
    if x + 12 < width {
        pen.put_left_of(
            width.saturating_sub(1),
            0,
            &format!("{at} of {}", all.len()),
            look.quiet(),
        );
    }
    pen.put(1, 1, &words, look.quiet());
}

/// What the marks of findings mean and how many cavities have one, where there are any.
fn marked(model: &Model, pen: &mut Pen<'_>, connector: &Connector) {
    let look = pen.look();
    if pen.width() < 60 {
        return;
    }
    let mut found = [0; 2];
    for cavity in model.book.cavities_of(connector.id) {
        match gravest_at_cavity(model, cavity.id).map(|f| f.level) {
            Some(Level::Stop) => found[0] += 1,
            Some(Level::Warning) => found[1] += 1,
            _ => {}
        }
    }
    let mut x = 1;
    for (level, n) in [Level::Stop, Level::Warning]
        .into_iter()
        .zip(found)
        .filter(|(_, n)| *n > 0)
    {
        x = pen.put(x, 2, drawing::finding_mark(level), look.accent());
        let words = format!("{} at {}", level.words(), count(n, "cavity", "cavities"));
        x = pen.put(x + 1, 2, &words, look.quiet()) + 2;
    }
}

/// Which side, in words that cannot be mistaken.
pub fn side(seen: View) -> &'static str {
    match seen {
        View::MatingSide => "seen from the MATING SIDE, where the other half plugs in",
        View::WireSide => "seen from the WIRE SIDE, where the wires go in",
    }
}

fn legend(pen: &mut Pen<'_>) {
    let look = pen.look();
    let mut x = 0;
    for (mark, words) in drawing::SHAPES {
        x = pen.put(x, 0, mark, look.strong());
        x = pen.put(x + 1, 0, words, look.quiet()) + 1;
    }
}
