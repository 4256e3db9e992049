//! A fuse and the wires beneath it: time over current, both in equal steps of their logarithm.

use std::fmt::Write as _;

use crimpbook_workbook::{
    Book,
    analysis::protect::{Picture, WireLine, reason},
    check::words::number,
    model::Fuse,
};

use super::{
    paint::INK,
    strokes::{SOFT, drawing, figure, fitted, line, rect, words, words_about, words_to, wrapped},
    supply::grade_words,
};
use crate::markup::{Element, el};

const WIDTH: f64 = 360.0;
const LEFT: f64 = 54.0;
const RIGHT: f64 = 352.0;
const TOP: f64 = 26.0;
const BOTTOM: f64 = 226.0;
/// Times at the lower and the upper edge, as powers of ten of a second.
const LEAST: f64 = -2.0;
const MOST: f64 = 4.0;
/// How each wire's line is broken, so that none needs a colour.
const DASHES: [&str; 4] = ["", "9 4", "2.5 3", "10 3 2 3"];

/// The picture of a fuse.
pub fn time_current(book: &Book, picture: &Picture) -> Element {
    let fuse: Option<&Fuse> = book.get(picture.fuse);
    let label = fuse.map_or_else(String::new, |f| format!("{} {} A", f.label, number(f.rating_a)));
    let scale = Scale::of(picture);
    let (legend, height) = legend(book, picture);
    let told = format!(
        "How long {label} carries each current, and how long the wires beneath it bear it. {}",
        picture
            .lines
            .iter()
            .map(|l| format!("{}: {}.", labels(book, l), said(l)))
            .collect::<Vec<_>>()
            .join(" ")
    );
    let mut svg = drawing(
        &format!("time-{}", picture.fuse),
        WIDTH,
        height,
        &format!("{label}: time over current"),
        &told,
    )
    .child(words((LEFT, 15.0), 13.5, &label).attr("font-weight", "bold"))
    .children(fuse.map(|f| {
        words(
            (LEFT + 9.0 * label.chars().count() as f64, 15.0),
            12.5,
            &fitted(&f.feeds, RIGHT - LEFT - 9.0 * label.chars().count() as f64, 12.0),
        )
    }))
    .children(grid(&scale))
    .child(band(picture, &scale));
    if let Some(fault_a) = picture.prospective_a {
        let x = scale.x(fault_a);
        svg = svg.child(line((x, TOP), (x, BOTTOM), 1.6).attr("stroke-dasharray", "1.5 4"));
    }
    for (wire, dashes) in picture.lines.iter().zip(DASHES) {
        svg = svg.child(curve(&scale, picture, wire, dashes));
    }
    svg.child(
        rect((LEFT, TOP), (RIGHT - LEFT, BOTTOM - TOP), 0.0)
            .attr("fill", "none")
            .attr("stroke-width", 1),
    )
    .children(legend)
}

struct Scale {
    least: f64,
    most: f64,
}

impl Scale {
    fn of(picture: &Picture) -> Self {
        let first = picture.currents_a.first().copied().unwrap_or(1.0).max(1e-6);
        let last = picture.currents_a.last().copied().unwrap_or(10.0);
        Self {
            least: first.log10(),
            most: last.log10().max(first.log10() + 0.1),
        }
    }

    fn x(&self, current_a: f64) -> f64 {
        let share = (current_a.max(1e-9).log10() - self.least) / (self.most - self.least);
        LEFT + share.clamp(0.0, 1.0) * (RIGHT - LEFT)
    }

    fn y(time_s: f64) -> f64 {
        let share = (time_s.max(1e-12).log10() - LEAST) / (MOST - LEAST);
        BOTTOM - share.clamp(0.0, 1.0) * (BOTTOM - TOP)
    }
}

fn grid(scale: &Scale) -> Vec<Element> {
    let thin = |from, to| line(from, to, 0.6).attr("style", "stroke:#b9bec4");
    let mut all = Vec::new();
    for power in LEAST as i32..=MOST as i32 {
        let seconds = 10f64.powi(power);
        let y = Scale::y(seconds);
        all.push(thin((LEFT, y), (RIGHT, y)));
        let told = match power {
            ..0 => format!("{seconds} s"),
            0..4 => format!("{seconds:.0} s"),
            _ => "10 000 s".to_owned(),
        };
        all.push(words_to((LEFT - 4.0, y + 4.0), 11.0, &told));
    }
    let mut last = 0.0;
    for power in -3..6 {
        for step in [1.0, 2.0, 5.0] {
            let current = step * 10f64.powi(power);
            if current.log10() < scale.least || current.log10() > scale.most {
                continue;
            }
            let x = scale.x(current);
            all.push(thin((x, TOP), (x, BOTTOM)));
            // Words stand clear of each other.
            if x - last > 34.0 {
                all.push(words_about(
                    (x, BOTTOM + 14.0),
                    11.0,
                    &format!("{} A", number(current)),
                ));
                last = x;
            }
        }
    }
    all
}

/// Between the time it certainly carries a current and the time it has certainly opened.
fn band(picture: &Picture, scale: &Scale) -> Element {
    let mut path = String::new();
    let there = picture.currents_a.iter().zip(&picture.shortest_s);
    let back = picture.currents_a.iter().zip(&picture.longest_s).rev();
    for (at, (current, seconds)) in there.chain(back).enumerate() {
        let letter = if at == 0 { 'M' } else { 'L' };
        let _ = write!(
            path,
            "{letter}{} {} ",
            figure(scale.x(*current)),
            figure(Scale::y(*seconds))
        );
    }
    path.push('Z');
    el("path")
        .attr("d", path)
        .attr("fill", "#d5dbe0")
        .attr("stroke", SOFT)
        .attr("stroke-width", 1)
}

fn curve(scale: &Scale, picture: &Picture, wire: &WireLine, dashes: &'static str) -> Element {
    let mut path = String::new();
    for (current, seconds) in picture.currents_a.iter().zip(&wire.bears_s) {
        // What is borne for longer than the picture shows is drawn only where the line comes down from there.
        let letter = if path.is_empty() { 'M' } else { 'L' };
        if seconds.log10() > MOST {
            path.clear();
            let _ = write!(path, "M{} {} ", figure(scale.x(*current)), figure(TOP));
            continue;
        }
        let _ = write!(
            path,
            "{letter}{} {} ",
            figure(scale.x(*current)),
            figure(Scale::y(*seconds))
        );
    }
    stroke(el("path").attr("d", path.trim_end()), dashes)
}

fn stroke(element: Element, dashes: &'static str) -> Element {
    let element = element
        .attr("fill", "none")
        .attr("stroke", INK)
        .attr("stroke-width", 2.2);
    if dashes.is_empty() {
        element
    } else {
        element.attr("stroke-dasharray", dashes)
    }
}

/// What each line is, beneath the plot, and how far down that reaches.
fn legend(book: &Book, picture: &Picture) -> (Vec<Element>, f64) {
    let mut all = Vec::new();
    let mut y = BOTTOM + 36.0;
    let say = |all: &mut Vec<Element>, y: f64, text: &str| {
        all.push(words((LEFT, y), 11.5, &fitted(text, RIGHT - LEFT, 11.0)));
    };
    all.push(
        rect((12.0, y - 9.0), (34.0, 10.0), 0.0)
            .attr("fill", "#d5dbe0")
            .attr("stroke-width", 0.8),
    );
    say(&mut all, y, "the fuse: may open within this band");
    for (wire, dashes) in picture.lines.iter().zip(DASHES) {
        y += 15.0;
        all.push(stroke(
            el("path").attr("d", format!("M12 {} L46 {}", figure(y - 4.0), figure(y - 4.0))),
            dashes,
        ));
        say(
            &mut all,
            y,
            &format!("{}: {}", labels(book, wire), grade_words(wire.verdict.grade)),
        );
        for told in wrapped(&said(wire), RIGHT - LEFT, 10.4, 3) {
            y += 13.0;
            all.push(words((LEFT, y), 11.0, &told).attr("fill", SOFT));
        }
    }
    if picture.more > 0 {
        y += 15.0;
        say(
            &mut all,
            y,
            &format!("and {} more wires, which bear more", picture.more),
        );
    }
    if let Some(fault_a) = picture.prospective_a {
        y += 15.0;
        all.push(line((10.0, y - 4.0), (46.0, y - 4.0), 1.6).attr("stroke-dasharray", "1.5 4"));
        let above = picture.above.as_ref().map_or_else(String::new, |(fuse, up_to)| {
            let above = book.label_of(*fuse);
            match up_to {
                Some(a) => format!("; alone before {above} up to {} A", number(*a)),
                None => format!("; alone before {above}"),
            }
        });
        let told = format!("short right at the fuse: {} A{above}", number(fault_a));
        for (at, told) in wrapped(&told, RIGHT - LEFT, 11.0, 2).iter().enumerate() {
            y += if at > 0 { 13.0 } else { 0.0 };
            say(&mut all, y, told);
        }
    }
    (all, y + 8.0)
}

/// Wires of a line: the gravest first, no more than fit.
fn labels(book: &Book, wire: &WireLine) -> String {
    let mut labels: Vec<String> = wire.wires.iter().take(5).map(|id| book.label_of(*id)).collect();
    if wire.wires.len() > 5 {
        labels.push(format!("{} more", wire.wires.len() - 5));
    }
    labels.join(", ")
}

fn said(wire: &WireLine) -> String {
    reason(&wire.verdict, wire.class_c)
}
