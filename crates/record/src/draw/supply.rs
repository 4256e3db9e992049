//! The supply tree as a picture: sources, the fuses beneath them, and what each of them feeds.

use crimpbook_core::fuse::Grade;
use crimpbook_workbook::{
    analysis::{
        Snapshot, Worst,
        protect::{TreeRow, Twig},
    },
    check::words::number,
    model::{Fuse, Id, Part, PartKind},
};

use super::{
    paint::INK,
    strokes::{SOFT, WIDE, drawing, figure, fitted, line, rect, words, words_to},
};
use crate::markup::{Element, el};

/// Height of a row.
const ROW: f64 = 42.0;
/// How far a row stands in beneath the one that feeds it.
const IN: f64 = 34.0;
/// Rows of one picture, so that it fits a page.
const ROWS: usize = 20;

/// A row of the picture.
struct Row {
    depth: usize,
    /// The row that feeds it.
    above: Option<usize>,
    fuse: Option<Id<Fuse>>,
    name: String,
    feeds: String,
    current_a: Option<Worst>,
    grade: Option<Grade>,
    wires: Vec<String>,
    loads: Vec<String>,
}

/// The pictures of the supply tree, one a page, from the sources that feed a fuse down.
pub fn supply_tree(see: &Snapshot) -> Vec<Element> {
    let rows = rows(see);
    let most_a = rows
        .iter()
        .filter_map(|row| row.current_a)
        .map(|worst| worst.value)
        .fold(1e-9, f64::max);
    let starts: Vec<usize> = (0..rows.len()).step_by(ROWS).collect();
    starts
        .into_iter()
        .map(|from| picture(see, &rows, from, most_a))
        .collect()
}

/// A row's mark and word for what its fuse and wires are worth.
pub fn grade_words(grade: Grade) -> &'static str {
    match grade {
        Grade::Good => "✓ good",
        Grade::Note => "○ note",
        Grade::CannotCheck => "? cannot check",
        Grade::Warning => "▲ warning",
        Grade::Stop => "■ stop",
    }
}

/// `2.5 A in DRIVE`.
pub fn at_most(see: &Snapshot, worst: Worst) -> String {
    let state = see.states().get(worst.state);
    let state = state.map_or_else(String::new, |of| format!(" in {}", see.book().label_of(of.state)));
    if worst.value >= 0.1 {
        format!("{} A{state}", number(worst.value))
    } else {
        format!("{} mA{state}", number(worst.value * 1000.0))
    }
}

fn rows(see: &Snapshot) -> Vec<Row> {
    let (book, wiring) = (see.book(), see.wiring());
    let part = |at: usize| wiring.parts.get(at).and_then(|run| book.get::<Part>(run.part));
    let mut rows: Vec<Row> = Vec::new();
    // Rows of the tree above the one at hand: its depth, the picture's row.
    let mut over: Vec<(usize, usize)> = Vec::new();
    let tree = &see.tree().rows;
    for (at, row) in tree.iter().enumerate() {
        while over.last().is_some_and(|(depth, _)| *depth >= row.depth) {
            over.pop();
        }
        let above = over.last().map(|(_, row)| *row);
        let under = above.and_then(|row| rows.get_mut(row));
        match row.twig {
            Twig::Source(source) if feeds_a_fuse(tree, at) => {
                over.push((row.depth, rows.len()));
                rows.push(Row {
                    depth: 0,
                    above: None,
                    fuse: None,
                    name: part(source).map(|p| p.label.clone()).unwrap_or_default(),
                    feeds: part(source).map(behind).unwrap_or_default(),
                    current_a: row.figures.current_a,
                    grade: None,
                    wires: Vec::new(),
                    loads: Vec::new(),
                });
            }
            Twig::Fuse(id) => {
                let fuse: Option<&Fuse> = book.get(id);
                over.push((row.depth, rows.len()));
                rows.push(Row {
                    depth: above.and_then(|a| rows.get(a)).map_or(0, |a| a.depth + 1),
                    above,
                    fuse: Some(id),
                    name: fuse.map_or_else(String::new, |f| format!("{} {} A", f.label, number(f.rating_a))),
                    feeds: fuse.map(|f| f.feeds.clone()).unwrap_or_default(),
                    current_a: row.figures.current_a,
                    grade: row.figures.grade,
                    wires: Vec::new(),
                    loads: Vec::new(),
                });
            }
            Twig::Wire(wire) => {
                if let (Some(under), Some(run)) = (under, wiring.wires.get(wire)) {
                    under.wires.push(book.label_of(run.wire));
                }
            }
            Twig::Load(load) => {
                if let (Some(under), Some(part)) = (under, part(load)) {
                    under.loads.push(part.label.clone());
                }
            }
            Twig::Source(_) => {}
        }
    }
    rows
}

/// Whether a fuse stands beneath the source in row `at`.
fn feeds_a_fuse(tree: &[TreeRow], at: usize) -> bool {
    let below = tree.iter().skip(at + 1).take_while(|row| row.depth > 0);
    below.into_iter().any(|row| matches!(row.twig, Twig::Fuse(_)))
}

/// What stands behind a source.
fn behind(part: &Part) -> String {
    match &part.kind {
        PartKind::Source { volts_v, ohm, .. } => {
            let volts = volts_v.map_or_else(
                || "the supply of each state".to_owned(),
                |v| format!("{} V", number(v)),
            );
            format!("{volts} behind {} mΩ", number(ohm * 1000.0))
        }
        _ => String::new(),
    }
}

fn picture(see: &Snapshot, rows: &[Row], from: usize, most_a: f64) -> Element {
    let shown = rows.get(from..).unwrap_or_default();
    let shown = shown.get(..ROWS).unwrap_or(shown);
    let height = ROW * shown.len() as f64 + 12.0;
    let fuses = shown.iter().filter(|row| row.fuse.is_some()).count();
    let told = format!(
        "{fuses} fuses, each beneath what feeds it; the thicker a line, the more current at most. The table below says the same in words."
    );
    let y = |at: usize| ROW * (at as f64 - from as f64) + 22.0;
    let mut svg = drawing(
        &format!("supply-{from}"),
        WIDE,
        height,
        "Supply tree, from the sources through the fuses",
        &told,
    );
    // Lines first, so that they lie beneath the fuses.
    for (at, row) in (from..).zip(shown) {
        let width = thickness(row, most_a);
        let (left, right) = (16.0 + IN * (row.depth as f64 - 1.0), 16.0 + IN * row.depth as f64);
        match row.above {
            Some(above) if above >= from => {
                let top = y(above) + 10.0;
                svg = svg.child(line((left, top), (left, y(at)), 2.0)).child(line(
                    (left - 1.0, y(at)),
                    (right, y(at)),
                    width,
                ));
            }
            Some(above) => {
                let name = rows.get(above).map_or("", |row| row.name.as_str());
                svg = svg
                    .child(line((left, y(at)), (right, y(at)), width))
                    .child(words((2.0, y(at) - 12.0), 10.0, &format!("under {name}")).attr("fill", SOFT));
            }
            None => {}
        }
    }
    for (at, row) in (from..).zip(shown) {
        svg = svg.child(drawn(see, row, (16.0 + IN * row.depth as f64, y(at))));
    }
    svg
}

/// From a hair to a thumb, so that a tenth of the current is still seen.
fn thickness(row: &Row, most_a: f64) -> f64 {
    let share = row.current_a.map_or(0.0, |worst| (worst.value / most_a).max(0.0));
    1.5 + 6.5 * share.sqrt()
}

fn drawn(see: &Snapshot, row: &Row, (x, y): (f64, f64)) -> Element {
    let text_at = x + 52.0;
    let room = WIDE - text_at - 8.0;
    let mark = row.grade.map(grade_words);
    let mark_room = if mark.is_some() { 110.0 } else { 0.0 };
    let more = [
        row.current_a
            .map(|worst| format!("at most {}", at_most(see, worst)))
            .unwrap_or_default(),
        match row.wires.len() {
            0 => String::new(),
            1 => format!("wire {}", row.wires.concat()),
            n => format!("{n} wires {}", row.wires.join(" ")),
        },
        if row.fuse.is_none() && !row.wires.is_empty() {
            "before any fuse".to_owned()
        } else {
            String::new()
        },
        if row.loads.is_empty() {
            String::new()
        } else {
            format!("for {}", row.loads.join(", "))
        },
    ];
    let more: Vec<&str> = more
        .iter()
        .map(String::as_str)
        .filter(|t| !t.is_empty())
        .collect();
    let name_room = 0.62 * 13.5 * row.name.chars().count() as f64 + 8.0;
    el("g")
        .child(if row.fuse.is_some() {
            fuse_symbol(x, y)
        } else {
            cell_symbol(x, y)
        })
        .child(words((text_at, y), 13.5, &fitted(&row.name, room, 13.5)).attr("font-weight", "bold"))
        .child(words(
            (text_at + name_room, y),
            13.0,
            &fitted(&row.feeds, room - name_room - mark_room, 13.0),
        ))
        .children(mark.map(|mark| words_to((WIDE - 4.0, y), 13.0, mark).attr("font-weight", "bold")))
        .child(words((text_at, y + 14.5), 11.5, &fitted(&more.join(" · "), room, 11.5)).attr("fill", SOFT))
}

/// A fuse as in IEC 60617: a body with its element through it.
fn fuse_symbol(x: f64, y: f64) -> Element {
    el("g")
        .child(
            rect((x, y - 8.0), (44.0, 16.0), 2.0)
                .attr("fill", "#ffffff")
                .attr("stroke-width", 1.6),
        )
        .child(line((x, y), (x + 44.0, y), 1.6))
}

/// A cell: a long thin plate and a short thick one.
fn cell_symbol(x: f64, y: f64) -> Element {
    el("g")
        .child(
            el("circle")
                .attr("cx", figure(x + 4.0))
                .attr("cy", figure(y))
                .attr("r", 5)
                .attr("fill", INK),
        )
        .child(line((x + 4.0, y), (x + 20.0, y), 1.6))
        .child(line((x + 20.0, y - 11.0), (x + 20.0, y + 11.0), 1.6))
        .child(line((x + 27.0, y - 6.0), (x + 27.0, y + 6.0), 4.5))
        .child(line((x + 27.0, y), (x + 42.0, y), 1.6))
}
