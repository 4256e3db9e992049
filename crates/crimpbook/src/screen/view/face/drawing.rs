//! Plastic and holes: the cavities of a face as they lie, as large as there is room for.

use std::collections::{BTreeSet, HashMap};

use crimpbook_workbook::{
    check::Level,
    model::{
        Cavity, Connector, Decision, Id, View,
        face::{Cell, Face},
    },
};

use crate::screen::{
    hits::Hit,
    model::{Model, face::wire_at, findings::gravest_at_cavity},
    pen::Pen,
    text::width,
};

/// The shapes of decisions, for the legend.
pub const SHAPES: &[(&str, &str)] = &[
    ("●", "wired"),
    ("○", "wire to come"),
    ("■", "blank"),
    ("◇", "reserved"),
    ("∩", "bridged"),
    ("-", "not ours"),
    ("?", "undecided"),
];

/// Behind the number: what the checks say there. Other shapes than those of decisions.
pub fn finding_mark(level: Level) -> &'static str {
    match level {
        Level::Stop => "!",
        Level::Warning => "▲",
        Level::Note => "·",
    }
}

/// What is drawn.
#[derive(Debug)]
pub struct Drawing<'a> {
    /// The face.
    pub face: &'a Face,
    /// From which side.
    pub seen: View,
    /// Whose cavities.
    pub connector: Id<Connector>,
    /// The cavity under the cursor.
    pub cursor: Option<Id<Cavity>>,
    /// Marked cavities.
    pub marks: &'a BTreeSet<Id<Cavity>>,
    /// The one cavity that matters; all others are drawn as plain holes.
    pub only: Option<Id<Cavity>>,
}

/// How large a pitch is on the screen.
#[derive(Debug, Clone, Copy)]
struct Scale {
    /// Columns of a pitch; even, so that half a pitch is whole.
    columns: i32,
    /// Lines of a pitch.
    lines: i32,
    /// Whether the colour stands under the number.
    colour: bool,
}

const SCALES: [Scale; 5] = [
    Scale {
        columns: 8,
        lines: 3,
        colour: true,
    },
    Scale {
        columns: 6,
        lines: 3,
        colour: true,
    },
    Scale {
        columns: 6,
        lines: 2,
        colour: true,
    },
    Scale {
        columns: 6,
        lines: 1,
        colour: false,
    },
    Scale {
        columns: 4,
        lines: 1,
        colour: false,
    },
];

/// Draws the face; gives the columns it took.
pub fn draw_face(model: &Model, pen: &mut Pen<'_>, drawing: &Drawing<'_>) -> u16 {
    let cells = drawing.face.cells(drawing.seen);
    if cells.is_empty() || pen.width() < 8 || pen.height() < 3 {
        return 0;
    }
    let most_x = cells.iter().map(|c| c.x_half).max().unwrap_or(0);
    let most_y = cells.iter().map(|c| c.y_half).max().unwrap_or(0);
    let size = |s: &Scale| {
        (
            most_x * s.columns / 2 + s.columns,
            most_y * s.lines / 2 + s.lines.max(1),
        )
    };
    let tall = i32::from(pen.height());
    let wide_room = i32::from(pen.width()) - 4;
    let fits_in = |s: &&Scale, lines: i32| {
        let (w, h) = size(s);
        w <= wide_room && h <= lines
    };
    // Rings lie on half pitches; a line a pitch would put two of their cavities into one line.
    let usable = |s: &&Scale| s.lines > 1 || cells.iter().all(|c| c.y_half % 2 == 0);
    let usables = || SCALES.iter().filter(usable);
    // Every cavity, and the moulded 1, before the plastic above and below them.
    let (scale, above) = match (
        usables().find(|s| fits_in(s, tall - 2)),
        usables().find(|s| fits_in(s, tall)),
    ) {
        (Some(scale), _) => (*scale, 1),
        (None, Some(scale)) => (*scale, 0),
        (None, None) => match usables().next_back() {
            Some(scale) => (*scale, 1),
            None => return 0,
        },
    };
    let room = (wide_room, tall - 2 * above);
    let (wide, high) = size(&scale);
    let by_number: HashMap<String, &Cavity> = model
        .book
        .cavities_of(drawing.connector)
        .into_iter()
        .map(|c| (c.number.to_lowercase(), c))
        .collect();
    let place = |cell: &Cell| (cell.x_half * scale.columns / 2, cell.y_half * scale.lines / 2);
    // Where the whole does not fit, the part round the cursor is shown.
    let focus = cells
        .iter()
        .find(|c| by_number.get(&c.number.to_lowercase()).map(|c| c.id) == drawing.cursor)
        .map_or((0, 0), place);
    let shift = (
        (focus.0 - room.0 / 2).clamp(0, (wide - room.0).max(0)),
        (focus.1 - room.1 / 2).clamp(0, (high - room.1).max(0)),
    );
    let shown = (wide.min(room.0), high.min(room.1));
    if above > 0 {
        shell(pen, shown, drawing.face.round, shift, (wide, high));
    }
    for cell in &cells {
        let (x, y) = place(cell);
        let (x, y) = (x - shift.0, y - shift.1);
        if x < 0 || y < 0 || x + scale.columns > shown.0 || y >= shown.1 {
            continue;
        }
        let (Ok(x), Ok(y)) = (u16::try_from(x + 2), u16::try_from(y + above)) else {
            continue;
        };
        let cavity = by_number.get(&cell.number.to_lowercase()).copied();
        let mark_here = drawing.face.mark.as_deref() == Some(cell.number.as_str());
        draw_cell(model, pen, drawing, cell, cavity, (x, y), scale);
        if let (Some(cavity), None) = (cavity, drawing.only) {
            let high = if scale.colour { 2 } else { 1 };
            let wide = u16::try_from(scale.columns).unwrap_or(6);
            pen.hit((x, y), (wide, high), Hit::Cavity(cavity.id));
        }
        if mark_here {
            // The moulded bar stands at the outer side of its cavity.
            let at = if cell.x_half * 2 <= most_x {
                x.saturating_sub(1)
            } else {
                x + u16::try_from(scale.columns).unwrap_or(6) - 1
            };
            let style = pen.look().accent();
            pen.put_most(at, y, 1, "┃", style);
        }
    }
    u16::try_from(shown.0 + 4).unwrap_or(0)
}

/// The plastic around the holes. An open edge with an arrow means that there is more beyond it.
fn shell(pen: &mut Pen<'_>, shown: (i32, i32), round: bool, shift: (i32, i32), whole: (i32, i32)) {
    let quiet = pen.look().quiet();
    let (Ok(wide), Ok(high)) = (u16::try_from(shown.0 + 3), u16::try_from(shown.1 + 1)) else {
        return;
    };
    let (left, right, up, down) = (
        shift.0 == 0,
        shift.0 + shown.0 >= whole.0,
        shift.1 == 0,
        shift.1 + shown.1 >= whole.1,
    );
    let line: String = std::iter::repeat_n('─', usize::from(wide.saturating_sub(1))).collect();
    // Where there is more, an arrow says so.
    let (middle, more) = ((wide / 2, high / 2), pen.look().accent());
    for (y, edge, arrow) in [(0, up, "↑"), (high, down, "↓")] {
        if edge {
            pen.put(1, y, &line, quiet);
        } else {
            pen.put_most(middle.0, y, 1, arrow, more);
        }
    }
    for (x, edge, arrow) in [(0, left, "←"), (wide, right, "→")] {
        if !edge {
            pen.put_most(x, middle.1, 1, arrow, more);
        }
    }
    for y in 1..high {
        if left {
            pen.put_most(0, y, 1, "│", quiet);
        }
        if right {
            pen.put_most(wide, y, 1, "│", quiet);
        }
    }
    let corners = if round {
        ["╭", "╮", "╰", "╯"]
    } else {
        ["┌", "┐", "└", "┘"]
    };
    for (corner, (x, y, there)) in corners.into_iter().zip([
        (0, 0, left && up),
        (wide, 0, right && up),
        (0, high, left && down),
        (wide, high, right && down),
    ]) {
        if there {
            pen.put_most(x, y, 1, corner, quiet);
        }
    }
}

fn draw_cell(
    model: &Model,
    pen: &mut Pen<'_>,
    drawing: &Drawing<'_>,
    cell: &Cell,
    cavity: Option<&Cavity>,
    (x, y): (u16, u16),
    scale: Scale,
) {
    let look = pen.look();
    let room = u16::try_from(scale.columns - 1).unwrap_or(5);
    let id = cavity.map(|c| c.id);
    let other = drawing.only.is_some() && id != drawing.only;
    let wire = cavity.and_then(|c| wire_at(model, c.id));
    let shape = match (other, cavity) {
        (true, _) => "·",
        (_, None) => "?",
        (_, Some(_)) if drawing.only.is_some() => "▣",
        (_, Some(c)) => shape(c.decision, wire.is_some()),
    };
    let marked = id.is_some_and(|id| drawing.marks.contains(&id));
    let style = match (marked, other) {
        (true, _) => look.marked(),
        (_, true) => look.quiet(),
        _ => look.plain(),
    };
    let mut words = format!("{shape}{}", cell.number);
    if cell.big && width(&words) + 2 <= usize::from(room) {
        words = format!("({words})");
    }
    if marked && width(&words) < usize::from(room) {
        words.insert(0, '›');
    }
    let after = pen.put_most(x, y, room, &words, style);
    let found = cavity.filter(|_| drawing.only.is_none());
    if let Some(finding) = found.and_then(|c| gravest_at_cavity(model, c.id)) {
        // Right behind the number, in the gap to the next cavity where there is no other room.
        pen.put_most(after, y, 1, finding_mark(finding.level), look.accent());
    }
    if scale.colour && !other {
        let below = match (wire.and_then(|w| w.colour), cavity.map(|c| c.decision)) {
            (Some(colour), _) => colour.to_string(),
            (None, Some(Decision::Bridged { to })) => {
                format!("to {}", model.book.get(to).map_or("?", |c| c.number.as_str()))
            }
            _ => String::new(),
        };
        let tint = wire.and_then(|w| w.colour).map_or(look.quiet(), |c| {
            // Black on black and white on white say nothing, so these keep the text's own colour.
            if matches!(
                c.base,
                crimpbook_workbook::model::Colour::Black | crimpbook_workbook::model::Colour::White
            ) {
                look.plain()
            } else {
                look.wire(c.base)
            }
        });
        pen.put_most(x, y + 1, room, &below, tint);
    }
    if id.is_some() && id == drawing.cursor {
        pen.tint(x, y, room, look.focus());
        if scale.colour {
            pen.tint(x, y + 1, room, look.focus());
        }
    }
}

/// The shape of a decision.
fn shape(decision: Decision, has_wire: bool) -> &'static str {
    let at = match (decision, has_wire) {
        (Decision::Wired, true) => 0,
        (Decision::Wired, false) => 1,
        (Decision::Blank, _) => 2,
        (Decision::Reserved, _) => 3,
        (Decision::Bridged { .. }, _) => 4,
        (Decision::NotOurs, _) => 5,
        (Decision::Undecided, _) => 6,
    };
    SHAPES.get(at).map_or("?", |s| s.0)
}
