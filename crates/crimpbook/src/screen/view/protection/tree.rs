//! The supply tree, from the sources down to the loads.

use crimpbook_core::fuse::Grade;
use crimpbook_workbook::{
    analysis::{
        Snapshot,
        protect::{Figures, TreeRow, Twig},
    },
    check::words::{celsius, number},
    model::{Fuse, Wire},
};

use super::{CAUTION, WIDE, picture, words};
use crate::screen::{
    action::{Do, key_of},
    model::{
        Model,
        protection::{at, rows},
    },
    pen::Pen,
    view::first_row,
};

/// Where the figures of a row end, from the right: margin, drop, temperature, current.
const ENDS: [u16; 4] = [1, 12, 20, 33];
/// Columns that the figures take.
const FIGURES: u16 = 42;
/// Lines for what is said of the row under the cursor.
const BELOW: u16 = 8;

pub fn draw(model: &Model, pen: &mut Pen<'_>) {
    let (width, height) = (pen.width(), pen.height());
    if width >= WIDE {
        let left = width * 3 / 5;
        list(model, &mut pen.part(0, 0, left, height));
        pen.part(left, 0, 1, height).upright(0);
        let mut beside = pen.part(left + 2, 0, width - left - 3, height);
        words::of_row(model, &mut beside);
        let room = height / 2;
        picture::beside(model, &mut beside.part(0, height - room, width - left - 3, room));
    } else {
        let below = match height {
            20.. => BELOW,
            12..20 => BELOW - 3,
            _ => 0,
        };
        list(model, &mut pen.part(0, 0, width, height - below));
        let mut under = pen.part(0, height - below, width, below);
        if below > 0 {
            under.rule(0, "");
            words::of_row(model, &mut under.part(1, 1, width - 2, below - 2));
            let quiet = under.look().quiet();
            under.put(1, below - 1, CAUTION, quiet);
        }
    }
}

fn list(model: &Model, pen: &mut Pen<'_>) {
    let look = pen.look();
    let (Some(rows), Some(see)) = (rows(model), model.findings.current()) else {
        return;
    };
    if rows.is_empty() {
        let words = format!(
            "No source is entered yet: {} in Parts brings in a battery as a part; give its fuse a way.",
            key_of(Do::UsePart)
        );
        pen.paragraph(2, 0, &words, look.quiet());
        return;
    }
    let width = pen.width();
    let full = width >= 70;
    for (end, words) in ENDS.iter().zip(["margin", "drop", "runs at", "at most"]) {
        if full || *end == ENDS[0] || *end == ENDS[3] {
            pen.put_left_of(column(width, *end, full), 0, words, look.quiet());
        }
    }
    let room = usize::from(pen.height().saturating_sub(1));
    let here = at(model);
    let from = first_row(here, rows.len(), room);
    for (y, (place, row)) in (1u16..).zip(rows.iter().enumerate().skip(from).take(room)) {
        pen.hit_row(y, place);
        draw_row(see, pen, y, row, place == here, full);
    }
    let more = rows.len().saturating_sub(from + room);
    let more = if more > 0 {
        format!(", {more} more below")
    } else {
        String::new()
    };
    let room = width.saturating_sub(if full { FIGURES } else { 22 } + 2);
    pen.put_most(2, 0, room, &format!("supply to loads{more}"), look.quiet());
}

/// Where a column of figures ends; in a narrow window only the first and the last are there.
fn column(width: u16, end: u16, full: bool) -> u16 {
    let end = if !full && end == ENDS[3] { ENDS[1] } else { end };
    width.saturating_sub(end)
}

fn draw_row(see: &Snapshot, pen: &mut Pen<'_>, y: u16, row: &TreeRow, focus: bool, full: bool) {
    let look = pen.look();
    let width = pen.width();
    let figures_from = width.saturating_sub(if full { FIGURES } else { 22 });
    if focus {
        pen.put(0, y, "▸", look.accent());
    }
    // Deep down the tree is not moved in further, so that names stay readable.
    let x = 2 + u16::try_from(row.depth.min(9)).unwrap_or(9);
    let (name, what) = name(see, row.twig);
    let style = if matches!(row.twig, Twig::Fuse(_)) {
        look.strong()
    } else {
        look.plain()
    };
    let after = pen.put_most(x, y, figures_from.saturating_sub(x), &name, style);
    if after + 3 < figures_from {
        pen.put_most(after + 1, y, figures_from - after - 2, &what, look.quiet());
    }
    let (current, runs, drop, margin) = cells(row);
    for (end, text) in ENDS.iter().zip([margin, drop, runs, current]) {
        if full || *end == ENDS[0] || *end == ENDS[3] {
            pen.put_left_of(column(width, *end, full), y, &text, look.plain());
        }
    }
    if focus {
        pen.tint(x, y, width.saturating_sub(x + 1), look.focus());
    }
}

/// What a row is called, and what it is.
pub fn name(see: &Snapshot, twig: Twig) -> (String, String) {
    let (book, wiring) = (see.book(), see.wiring());
    match twig {
        Twig::Source(at) | Twig::Load(at) => {
            let part = wiring.parts.get(at).map(|run| run.part);
            (
                part.map(|id| book.label_of(id)).unwrap_or_default(),
                String::new(),
            )
        }
        Twig::Fuse(id) => {
            let fuse: Option<&Fuse> = book.get(id);
            let rating = fuse.map_or(String::new(), |f| format!(" {} A", number(f.rating_a)));
            let feeds = fuse.map(|f| f.feeds.clone()).unwrap_or_default();
            (format!("{}{rating}", book.label_of(id)), feeds)
        }
        Twig::Wire(at) => {
            let wire: Option<&Wire> = wiring.wires.get(at).and_then(|run| book.get(run.wire));
            let size = wire
                .and_then(crimpbook_workbook::circuit::size_of)
                .map_or_else(|| " size open".to_owned(), |s| format!(" {s}"));
            let (label, signal) = wire
                .map(|w| (w.label.as_str(), w.signal.as_str()))
                .unwrap_or_default();
            (format!("{label}{size}"), signal.to_owned())
        }
    }
}

/// Current, temperature, drop and margin of a row.
fn cells(row: &TreeRow) -> (String, String, String, String) {
    let of = &row.figures;
    let current = of.current_a.map_or_else(String::new, |w| amps(w.value));
    let runs = match (of.conductor_c, of.class_c) {
        (Some(c), Some(class)) if c.is_finite() => format!("{c:.0} of {class:.0} °C"),
        (Some(c), None) if c.is_finite() => celsius(c),
        (Some(_), _) => "no balance".to_owned(),
        _ => String::new(),
    };
    let drop = of
        .drop_v
        .filter(|_| of.current_a.is_some_and(|w| w.value > 1e-6))
        .map_or_else(String::new, |v| format!("{v:.2} V"));
    (current, runs, drop, margin(row.twig, of))
}

/// A current with its unit.
pub fn amps(value: f64) -> String {
    match value {
        v if v < 5e-6 => "0 A".to_owned(),
        v if v < 0.1 => format!("{} mA", number(v * 1000.0)),
        v => format!("{} A", number(v)),
    }
}

/// How far a wire is from being hurt beneath its fuse; for a fuse the worst of its wires.
fn margin(twig: Twig, of: &Figures) -> String {
    let mark = match of.grade {
        Some(Grade::Stop) => "■ ",
        Some(Grade::Warning) => "▲ ",
        Some(Grade::Note) => "· ",
        Some(Grade::CannotCheck) => "? ",
        Some(Grade::Good) | None => "",
    };
    let words = match (&of.verdict, twig) {
        (Some(verdict), _) if verdict.lasting_c > of.class_c.unwrap_or(f64::INFINITY) => {
            celsius(verdict.lasting_c)
        }
        (Some(verdict), _) => match verdict.margin {
            Some(m) if m.at_least || m.ratio > 99.0 => format!("> {}x", number(m.ratio.min(99.0).floor())),
            Some(m) => format!("{}x", number(m.ratio)),
            None => "bears it".to_owned(),
        },
        (None, Twig::Fuse(_)) => match of.grade {
            Some(Grade::Good) => "ok".to_owned(),
            Some(_) => String::new(),
            None => "?".to_owned(),
        },
        (None, _) => String::new(),
    };
    format!("{mark}{words}").trim_end().to_owned()
}
