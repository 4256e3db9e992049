//! The fuse and wire picture, with its figures in words.

use crimpbook_core::fuse::FarEnd;
use crimpbook_workbook::{
    analysis::protect::{Picture, WireLine},
    check::words::{celsius, number, time},
    circuit::size_of,
    model::{Fuse, Id, Wire},
};

use super::{
    CAUTION,
    plot::{BAND, FAULT, MARKS, plot},
};
use crate::screen::{
    ask::{Answer, Question, answer},
    model::{Model, protection::fuse_here},
    pen::Pen,
};

/// Columns of the times beside the plot.
const TIMES: u16 = 7;
/// From this width on the words stand beside the plot.
const BESIDE: u16 = 72;

/// The whole screen.
pub fn draw(model: &Model, pen: &mut Pen<'_>) {
    let look = pen.look();
    let Some(fuse) = fuse_here(model) else {
        let words =
            "No fuse protects what the cursor is on, so there is no picture; go back and choose a fuse.";
        pen.paragraph(2, 0, words, look.quiet());
        return;
    };
    let (width, height) = (pen.width(), pen.height());
    title(model, pen, fuse);
    let Some(picture) = known(model, &mut pen.part(2, 1, width - 2, height - 1), fuse) else {
        return;
    };
    if width >= BESIDE {
        let plotted = width * 5 / 8;
        graph(picture, &mut pen.part(0, 1, plotted, height - 2));
        words(
            model,
            picture,
            &mut pen.part(plotted + 1, 1, width - plotted - 2, height - 2),
        );
    } else {
        let high = (height - 2) * 3 / 5;
        graph(picture, &mut pen.part(0, 1, width, high));
        words(
            model,
            picture,
            &mut pen.part(1, 1 + high, width - 2, height - 2 - high),
        );
    }
    pen.put(1, height - 1, CAUTION, look.quiet());
}

/// The picture alone, beside the tree.
pub fn beside(model: &Model, pen: &mut Pen<'_>) {
    let Some(fuse) = fuse_here(model) else { return };
    let (width, height) = (pen.width(), pen.height());
    if height < 10 {
        return;
    }
    title(model, pen, fuse);
    let Some(picture) = known(model, &mut pen.part(0, 1, width, height - 1), fuse) else {
        return;
    };
    let high = height - 3 - MARKS.len() as u16;
    graph(picture, &mut pen.part(0, 1, width, high));
    let look = pen.look();
    for (y, (line, mark)) in (high + 1..).zip(picture.lines.iter().zip(MARKS)) {
        let x = pen.put(0, y, &mark.to_string(), look.strong());
        pen.put(
            x + 1,
            y,
            &format!("{}: {}", wires(model, line), margin(line)),
            look.plain(),
        );
    }
    pen.paragraph(0, height - 2, CAUTION, look.quiet());
}

fn title(model: &Model, pen: &mut Pen<'_>, id: Id<Fuse>) {
    let look = pen.look();
    let Some(fuse) = model.book.get(id) else { return };
    let x = pen.put(
        1,
        0,
        &format!("{} {} A", fuse.label, number(fuse.rating_a)),
        look.strong(),
    );
    let x = pen.put(x + 1, 0, &fuse.feeds, look.plain());
    pen.put(x + 2, 0, "time over current", look.quiet());
}

fn known<'m>(model: &'m Model, pen: &mut Pen<'_>, fuse: Id<Fuse>) -> Option<&'m Picture> {
    let quiet = pen.look().quiet();
    match answer(model, Question::Picture(fuse)) {
        Some(Answer::Picture(Ok(picture))) => return Some(picture),
        Some(Answer::Picture(Err(missing))) => {
            pen.paragraph(
                0,
                0,
                &format!("cannot draw it: missing {missing}"),
                pen.look().plain(),
            );
        }
        _ => {
            pen.put(0, 0, "checking: the lines are being computed …", quiet);
        }
    }
    None
}

fn graph(picture: &Picture, pen: &mut Pen<'_>) {
    let look = pen.look();
    let (wide, high) = (
        pen.width().saturating_sub(TIMES + 1),
        pen.height().saturating_sub(2),
    );
    if wide < 10 || high < 4 {
        return;
    }
    let drawn = plot(picture, usize::from(wide), usize::from(high));
    for (y, row) in (0u16..).zip(&drawn.rows) {
        pen.put(TIMES, y, "│", look.quiet());
        for (x, mark) in (TIMES + 1..).zip(row.chars()) {
            let style = match mark {
                BAND | '·' => look.quiet(),
                _ => look.strong(),
            };
            if mark != ' ' {
                pen.put_most(x, y, 1, &mark.to_string(), style);
            }
        }
    }
    for (row, words) in &drawn.times {
        pen.put_left_of(
            TIMES - 1,
            u16::try_from(*row).unwrap_or(u16::MAX),
            words,
            look.quiet(),
        );
    }
    pen.put(TIMES, high, "└", look.quiet());
    for (x, mark) in (TIMES + 1..).zip(drawn.axis.chars()) {
        let style = if mark == '─' {
            look.quiet()
        } else {
            look.strong()
        };
        pen.put_most(x, high, 1, &mark.to_string(), style);
    }
    pen.put(TIMES + 1, high + 1, &drawn.ticks, look.quiet());
}

/// The legend, and what the lines come to.
fn words(model: &Model, picture: &Picture, pen: &mut Pen<'_>) {
    let look = pen.look();
    let wide = pen.width();
    let mut y = pen.paragraph(
        0,
        0,
        &format!(
            "{BAND} here the fuse opens, from {} A on for sure",
            number(picture.opens_from_a)
        ),
        look.plain(),
    );
    for (line, mark) in picture.lines.iter().zip(MARKS) {
        pen.put(0, y, &mark.to_string(), look.strong());
        let style = if line.verdict.grade >= crimpbook_core::fuse::Grade::Warning {
            look.strong()
        } else {
            look.plain()
        };
        y = pen.part(2, y, wide.saturating_sub(2), 9).paragraph(
            0,
            0,
            &format!("{}: {}", wires(model, line), margin(line)),
            style,
        ) + y;
    }
    if picture.more > 0 {
        y = pen.paragraph(
            2,
            y,
            &format!(
                "{} more that bear more",
                crate::screen::text::count(picture.more, "wire", "wires")
            ),
            look.quiet(),
        );
    }
    if let (Some(line), Some(mark)) = (picture.lines.first(), MARKS.first()) {
        let mark = mark.to_ascii_uppercase();
        pen.put(0, y, &mark.to_string(), look.strong());
        let after =
            pen.part(2, y, wide.saturating_sub(2), 9)
                .paragraph(0, 0, &far(&line.far_end), look.plain());
        y += after;
    }
    if let Some(here) = picture.prospective_a {
        pen.put(0, y, &FAULT.to_string(), look.strong());
        y += pen.part(2, y, wide.saturating_sub(2), 9).paragraph(
            0,
            0,
            &format!("fault current here {} A", number(here)),
            look.plain(),
        );
    }
    if let Some((above, up_to)) = picture.above {
        let above = model.book.label_of(above);
        let words = up_to.map_or_else(
            || format!("opens alone below {above}"),
            |a| format!("opens alone below {above} up to {} A only", number(a)),
        );
        y = pen.paragraph(0, y, &words, look.plain());
    }
    if y < pen.height() {
        pen.paragraph(0, y, &format!("rests on {}", picture.basis), look.quiet());
    }
}

/// The wires of a line, with the size of the first.
fn wires(model: &Model, line: &WireLine) -> String {
    let first: Option<&Wire> = line.wires.first().and_then(|id| model.book.get(*id));
    let size = first
        .and_then(size_of)
        .map_or_else(String::new, |s| format!(" {s}"));
    let label = first.map(|w| w.label.clone()).unwrap_or_default();
    match line.wires.len() {
        0 | 1 => format!("{label}{size}"),
        n => format!("{label}{size} and {} alike", n - 1),
    }
}

fn margin(line: &WireLine) -> String {
    match line.verdict.margin {
        Some(m) if m.ratio >= 1.0 && line.verdict.lasting_c <= line.class_c => {
            let more = if m.at_least { " or more" } else { "" };
            format!(
                "least margin {}x{more}, at {} A",
                number(m.ratio),
                number(m.current_a)
            )
        }
        Some(m) if m.ratio < 1.0 => format!(
            "hurt at {} A after {}, the fuse may take {}",
            number(m.current_a),
            time(m.wire_bears_s),
            time(m.fuse_longest_s)
        ),
        _ => {
            let of = &line.verdict;
            let limit_c = if of.lasting_c > of.limit_c {
                of.limit_c
            } else {
                line.class_c
            };
            format!(
                "{} A for ever: {}, limit {}",
                number(of.lasting_a),
                celsius(of.lasting_c),
                celsius(limit_c)
            )
        }
    }
}

fn far(verdict: &FarEnd) -> String {
    let bears = verdict
        .wire
        .map_or_else(String::new, |b| format!("; it bears {}", time(b.time_s)));
    let opens = if verdict.fuse_longest_s.is_infinite() {
        "no opening promised".to_owned()
    } else {
        format!("open after {}", time(verdict.fuse_longest_s))
    };
    format!("short at its end {} A: {opens}{bears}", number(verdict.fault_a))
}
