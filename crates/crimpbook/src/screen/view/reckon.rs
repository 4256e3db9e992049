//! The calculators: formula, inputs, answer, curve.

use crimpbook_workbook::reckon::{Answer, CALCULATORS};

use super::first_row;
use crate::{
    screen::{
        action::{Do, key_of},
        model::{
            Model,
            reckon::{Outcome, Sheet, sheet},
        },
        pen::Pen,
        text,
    },
    sketch::sketch,
};

/// Columns of the inputs' names.
const NAMES: u16 = 20;
/// Columns of what stands in them.
const FIGURES: u16 = 14;
/// From this width on it is told where a figure is from.
const TELLS_FROM: u16 = 72;
/// Lines that a curve needs at least.
const CURVE: u16 = 9;
/// Below so many lines only what is asked for is shown.
const LOW: u16 = 18;

pub fn draw(model: &Model, pen: &mut Pen<'_>) {
    let sheet = sheet(model);
    let outcome = sheet.outcome();
    let (width, height) = (pen.width(), pen.height());
    let mut y = title(model, &sheet, pen);
    let look = pen.look();
    // The page of the answer needs the lines; the inputs' page shows the formula at any size.
    let formula = if model.reckon.whole && height < LOW {
        &[]
    } else {
        sheet.calculator.formula
    };
    for line in formula {
        pen.put(3, y, line, look.plain());
        y += 1;
    }
    let foot = foot(&sheet, pen, y);
    pen.part(0, y, width, 1).rule(0, "");
    y += 1;
    if y >= foot {
        return;
    }
    let mut body = pen.part(0, y, width, foot - y);
    if model.reckon.whole {
        whole(&outcome, &mut body);
        return;
    }
    let left = if width >= 100 {
        54
    } else {
        (width / 2).min(NAMES + FIGURES + 8)
    };
    inputs(model, &sheet, &outcome, &mut body.part(0, 0, left, height));
    body.part(left, 0, 1, height).upright(0);
    let mut right = body.part(left + 2, 0, width.saturating_sub(left + 3), height);
    let used = told(&outcome, &mut right, 0);
    let room = right.height().saturating_sub(used + 1);
    if let (Outcome::Answer(answer), true) = (&outcome, room >= CURVE) {
        curve(answer, &mut right, used + 1, room.min(18));
    }
}

/// Its name, what it is worked out for; the line after them.
fn title(model: &Model, sheet: &Sheet, pen: &mut Pen<'_>) -> u16 {
    let look = pen.look();
    let width = pen.width();
    let place = format!("sum {} of {}", model.reckon.at + 1, CALCULATORS.len());
    let end = pen.put_left_of(width.saturating_sub(1), 0, &place, look.quiet());
    let x = pen.put(1, 0, sheet.calculator.title, look.strong());
    let (subject, style) = match &sheet.subject {
        Some((subject, at, count)) if *count > 1 => (
            format!("for {}, {} of {count}", subject.label, at + 1),
            look.accent(),
        ),
        Some((subject, ..)) => (format!("for {}", subject.label), look.accent()),
        None if sheet.waits => (
            "checking: what the workbook knows of it …".to_owned(),
            look.quiet(),
        ),
        None => (
            "nothing of the workbook; type the figures".to_owned(),
            look.quiet(),
        ),
    };
    pen.put_most(x + 2, 0, end.saturating_sub(x + 3), &subject, style);
    if pen.height() >= LOW && !model.reckon.whole {
        return pen.paragraph(1, 1, sheet.calculator.what, look.quiet());
    }
    1
}

/// Caution and source at the lower edge; gives the line above them.
fn foot(sheet: &Sheet, pen: &mut Pen<'_>, after: u16) -> u16 {
    let look = pen.look();
    let wide = usize::from(pen.width().saturating_sub(2));
    let height = pen.height();
    let mut lines: Vec<(String, bool)> = Vec::new();
    if height >= LOW {
        let source = format!("Source: {}.", sheet.calculator.source);
        lines.extend(
            text::wrap(&look.spell(&source), wide)
                .into_iter()
                .map(|l| (l, false)),
        );
    }
    if !sheet.calculator.caution.is_empty() {
        let caution = text::wrap(&look.spell(sheet.calculator.caution), wide.saturating_sub(2));
        lines.extend(caution.into_iter().map(|l| (l, true)));
    }
    let count = u16::try_from(lines.len()).unwrap_or(u16::MAX);
    let first = height.saturating_sub(count);
    if first <= after + 1 {
        // No room for both: what is asked for wins; the curve's page shows the caution.
        return height;
    }
    let mut marked = false;
    for (y, (line, caution)) in (first..).zip(lines) {
        if caution {
            if !marked {
                pen.put(1, y, "!", look.accent());
                marked = true;
            }
            pen.put(3, y, &line, look.plain());
        } else {
            pen.put(1, y, &line, look.quiet());
        }
    }
    first
}

fn inputs(model: &Model, sheet: &Sheet, outcome: &Outcome, pen: &mut Pen<'_>) {
    let look = pen.look();
    let room = usize::from(pen.height());
    let count = sheet.calculator.inputs.len();
    let at = model.reckon.row.min(count.saturating_sub(1));
    let from = first_row(at, count, room);
    let narrow = pen.width() < NAMES + FIGURES;
    let names = if narrow {
        pen.width().saturating_sub(11)
    } else {
        NAMES
    };
    let rows = sheet.calculator.inputs.iter().enumerate().skip(from).take(room);
    for (y, (row, input)) in (0u16..).zip(rows) {
        let here = row == at;
        let wrong = matches!(outcome, Outcome::Wrong(wrong, _) if *wrong == row);
        pen.put(0, y, if here { "▸" } else { " " }, look.accent());
        let style = if here { look.strong() } else { look.plain() };
        pen.put_most(1, y, names.saturating_sub(2), input.words, style);
        let text = sheet.texts.get(row).map_or("", String::as_str);
        let shown = if text.is_empty() { "-" } else { text };
        let x = if wrong {
            pen.put(names, y, "!", look.accent())
        } else {
            names
        };
        let after = pen.put(x, y, shown, if here { look.focus() } else { look.strong() });
        let origin = sheet.from.get(row).map_or("", String::as_str);
        if pen.width() + 2 >= TELLS_FROM / 2 && !origin.is_empty() {
            pen.put((names + 9).max(after + 1), y, origin, look.quiet());
        }
    }
}

/// What it comes to, in lines; gives the line after them.
fn told(outcome: &Outcome, pen: &mut Pen<'_>, from: u16) -> u16 {
    let look = pen.look();
    let answer = match outcome {
        Outcome::Wrong(_, why) => return pen.paragraph(0, from, why, look.strong()),
        Outcome::Missing(what) => {
            let words = format!("cannot reckon: missing {what}");
            return pen.paragraph(0, from, &words, look.strong());
        }
        Outcome::Answer(answer) => answer,
    };
    let mut y = from;
    let height = pen.height();
    // What is to be mended comes first, so that a small window does not hide it.
    let (grave, others): (Vec<_>, Vec<_>) = answer.lines.iter().partition(|line| line.grave);
    for (told, line) in grave.into_iter().chain(others).enumerate() {
        let words = format!("{}: {}", line.what, line.words);
        let wide = usize::from(pen.width().saturating_sub(2));
        let need = u16::try_from(text::wrap(&look.spell(&words), wide).len()).unwrap_or(u16::MAX);
        let left = answer.lines.len() - told;
        // The last line says what is left, where not all fits.
        if y + need > height || (y + need == height && left > 1) {
            let words = format!("{} more: {} shows all", left, key_of(Do::Curve));
            pen.put(0, y.min(height.saturating_sub(1)), &words, look.focus());
            return height;
        }
        if line.grave {
            pen.put(0, y, "!", look.accent());
        }
        let style = if line.grave { look.strong() } else { look.plain() };
        y = pen.paragraph(2, y, &words, style);
    }
    y
}

/// Answer and curve over the whole width: beside each other where there is room.
fn whole(outcome: &Outcome, pen: &mut Pen<'_>) {
    let (width, height) = (pen.width(), pen.height());
    let plotted = matches!(outcome, Outcome::Answer(answer) if answer.plot.is_some());
    if width >= TELLS_FROM && plotted && height >= CURVE {
        let left = width / 2 - 1;
        told(outcome, &mut pen.part(0, 0, left, height), 0);
        if let Outcome::Answer(answer) = outcome {
            curve(
                answer,
                &mut pen.part(left + 1, 0, width - left - 2, height),
                0,
                height,
            );
        }
        return;
    }
    let used = told(outcome, pen, 0);
    if let Outcome::Answer(answer) = outcome {
        curve(answer, pen, used, height.saturating_sub(used));
    }
}

fn curve(answer: &Answer, pen: &mut Pen<'_>, from: u16, room: u16) {
    let Some(plot) = &answer.plot else { return };
    let look = pen.look();
    let wide = usize::from(pen.width()).min(100);
    for (y, line) in (from..).zip(sketch(plot, wide, usize::from(room))) {
        pen.put(0, y, &line, look.plain());
    }
}
