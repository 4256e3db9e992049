//! The Overview.

use ratatui::layout::Position;

use super::first_row;
use crate::screen::{
    model::{
        Model,
        findings::counts,
        overview::{Part, Row, finding_at, particulars, rows, totals, words},
    },
    pen::Pen,
    text::{self, count, wrap},
};

pub(in crate::screen) const CAUTION: &str =
    "Control wiring up to 60 V DC only. A passed check is not an approval.";

/// Column in which the words of a row begin.
pub(in crate::screen) const WORDS: u16 = 15;
/// Column in which the counts of findings begin.
const COUNTS: u16 = 20;
/// From this width on the particulars of a finding stand beside the page.
const WIDE: u16 = 110;

/// A line of the page: a heading, a row with its index and the words it has instead of its own, more words of the row above, or
/// nothing.
enum Line<'a> {
    Heading(Part),
    Row(usize, &'a Row, Option<String>),
    More(String, bool),
    Empty,
}

pub fn draw(model: &Model, pen: &mut Pen<'_>) -> Option<Position> {
    let (width, height) = (pen.width(), pen.height());
    if width >= WIDE {
        let left = width * 3 / 5;
        page(model, &mut pen.part(0, 0, left, height), false);
        pen.part(left, 0, 1, height).upright(0);
        beside(model, &mut pen.part(left + 2, 0, width - left - 3, height));
    } else {
        page(model, pen, true);
    }
    None
}

/// The finding under the cursor, whole.
fn beside(model: &Model, pen: &mut Pen<'_>) {
    let look = pen.look();
    let Some(finding) = finding_at(model) else { return };
    let mut y = pen.paragraph(0, 0, &finding.sentence, look.strong()) + 1;
    for words in particulars(model, finding) {
        y = pen.paragraph(0, y, &words, look.plain());
    }
}

/// The page itself; `within`: what there is to say of the row under the cursor stands below it.
fn page(model: &Model, pen: &mut Pen<'_>, within: bool) {
    let look = pen.look();
    let height = pen.height();
    let top = summary(model, pen);
    let room_for_words = usize::from(pen.width().saturating_sub(WORDS + 1));
    let rows = rows(model);
    let brief = model.overview.brief;
    let mut lines = Vec::new();
    let mut part = None;
    for (at, row) in rows.iter().enumerate() {
        if part != Some(row.part) && !brief {
            if part.is_some() {
                lines.push(Line::Empty);
            }
            lines.push(Line::Heading(row.part));
            part = Some(row.part);
        }
        let focus = at == model.overview.at.min(rows.len() - 1);
        if !focus || brief || row.progress.is_some() {
            lines.push(Line::Row(at, row, None));
            continue;
        }
        // The row under the cursor is told in full.
        let mut told = wrap(&words(model, row), room_for_words).into_iter();
        lines.push(Line::Row(at, row, Some(told.next().unwrap_or_default())));
        lines.extend(told.map(|w| Line::More(w, true)));
        if let (true, Some(finding)) = (within, finding_at(model)) {
            let said = particulars(model, finding);
            lines.extend(
                said.iter()
                    .flat_map(|s| wrap(s, room_for_words))
                    .map(|w| Line::More(w, false)),
            );
        }
    }
    let footer = u16::from(height > top + 6);
    let room_lines = height.saturating_sub(top + footer);
    let room = usize::from(room_lines);
    let cursor = lines
        .iter()
        .position(|line| matches!(line, Line::Row(at, ..) if *at == model.overview.at))
        .unwrap_or(0);
    let from = first_row(cursor, lines.len(), room);
    for (y, line) in (top..).zip(lines.iter().skip(from).take(room)) {
        match line {
            Line::Empty => {}
            Line::Heading(part) => {
                let words = heading(model, *part);
                pen.put(1, y, &words, look.accent());
            }
            Line::Row(at, row, told) => {
                let words = told.as_deref().map_or_else(|| words(model, row), Into::into);
                pen.hit_row(y, *at);
                draw_row(pen, y, row, &words, *at == model.overview.at);
            }
            Line::More(words, focus) => {
                pen.put(WORDS, y, words, if *focus { look.focus() } else { look.plain() });
            }
        }
    }
    if lines.len() > from + room {
        let end = pen.width();
        pen.put_left_of(
            end,
            (top + room_lines).saturating_sub(1),
            " ↓ more below ",
            look.quiet(),
        );
    }
    if footer == 1 {
        pen.put(1, height - 1, CAUTION, look.quiet());
    }
}

fn heading(model: &Model, part: Part) -> String {
    if part == Part::Findings && model.findings.running {
        format!("{} (checking again)", part.words())
    } else {
        part.words().to_owned()
    }
}

/// The figures at the top; gives the line after them.
fn summary(model: &Model, pen: &mut Pen<'_>) -> u16 {
    if model.overview.brief {
        counted(model, pen, 0);
        return 1;
    }
    let totals = totals(model);
    total(pen, 0, "cavities decided", Some(totals.decided), totals.cavities);
    total(pen, 1, "wires done", Some(totals.done), totals.wires);
    counted(model, pen, 2);
    4
}

/// How many of all are done, where that is known.
pub(in crate::screen) fn total(pen: &mut Pen<'_>, y: u16, name: &str, done: Option<usize>, all: usize) {
    let look = pen.look();
    pen.put(1, y, name, look.plain());
    let words = done.map_or("…".to_owned(), |done| done.to_string());
    pen.put_left_of(33, y, &format!("{words} of {all}"), look.strong());
    if let Some(done) = done {
        let bar = pen.width().saturating_sub(42).min(40);
        pen.bar(36, y, bar, done, all);
    }
}

/// How many findings there are of each sort.
fn counted(model: &Model, pen: &mut Pen<'_>, y: u16) {
    let look = pen.look();
    pen.put(1, y, "findings", look.plain());
    match model.findings.report() {
        None => {
            pen.put(
                COUNTS,
                y,
                if model.findings.running {
                    "checking"
                } else {
                    "not checked"
                },
                look.quiet(),
            );
        }
        Some(report) => {
            let mut told = counts(report);
            told.retain(|(_, n, word)| *n > 0 || word.starts_with("stop"));
            // Where there is no room for all words, the marks of the lighter ones say it.
            let mut worded = told.len();
            let words = |at: usize, worded: usize| {
                told.get(at)
                    .map_or_else(String::new, |(mark, n, word)| match at < worded {
                        true => format!("{mark} {n} {word}"),
                        false => format!("{mark} {n}"),
                    })
            };
            let room = usize::from(pen.width().saturating_sub(COUNTS));
            let fits = |worded: usize| {
                let all = (0..told.len()).map(|at| text::width(&words(at, worded)) + 2);
                all.sum::<usize>() <= room + 2
            };
            while worded > 1 && !fits(worded) {
                worded -= 1;
            }
            let mut x = COUNTS;
            for (at, (_, n, _)) in told.iter().enumerate() {
                let style = if *n > 0 { look.strong() } else { look.plain() };
                x = pen.put(x, y, &words(at, worded), style) + 2;
            }
        }
    }
}

fn draw_row(pen: &mut Pen<'_>, y: u16, row: &Row, words: &str, focus: bool) {
    let look = pen.look();
    if focus {
        pen.put(0, y, "▸", look.accent());
    }
    match &row.progress {
        Some(progress) => {
            pen.put_most(2, y, 10, &row.name, look.strong());
            let decided = format!("{} of {} decided", progress.decided, progress.cavities);
            pen.put(13, y, &decided, look.plain());
            let ends = format!(
                "{} of {} in place",
                progress.inserted,
                count(progress.ends, "end", "ends")
            );
            pen.put(34, y, &ends, look.plain());
            let bar = pen.width().saturating_sub(60).min(20);
            pen.bar(58, y, bar, progress.inserted, progress.ends);
        }
        None => {
            pen.put_most(2, y, 12, &row.name, look.strong());
            pen.put(WORDS, y, words, look.plain());
        }
    }
    if focus {
        pen.tint(2, y, pen.width().saturating_sub(3), look.focus());
    }
}
