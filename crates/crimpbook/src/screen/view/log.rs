//! The Log: entries, or one in detail.

use crimpbook_workbook::log::EntryHead;
use ratatui::layout::Position;

use super::first_row;
use crate::screen::{
    action::{Do, key_of},
    figures::{day, moment},
    model::{
        Model,
        log::{Detail, listed},
    },
    pen::Pen,
    text,
};

pub fn draw(model: &Model, pen: &mut Pen<'_>) -> Option<Position> {
    let width = pen.width();
    match &model.log.detail {
        Some(detail) if width < 120 => draw_detail(model, pen, detail),
        Some(detail) => {
            let (left, height) = (width / 2, pen.height());
            list(model, &mut pen.part(0, 0, left, height));
            pen.part(left, 0, 1, height).upright(0);
            draw_detail(
                model,
                &mut pen.part(left + 1, 0, width - left - 1, height),
                detail,
            );
        }
        None => list(model, pen),
    }
    None
}

fn list(model: &Model, pen: &mut Pen<'_>) {
    let look = pen.look();
    let heads = listed(model);
    let hidden = model.heads.len() - heads.len();
    let mut top = format!("{} of {} entries", heads.len(), model.heads.len());
    if hidden > 0 {
        top.push_str("; build steps, readings and trials are hidden");
    }
    pen.put(1, 0, &top, look.quiet());
    let room = usize::from(pen.height().saturating_sub(1));
    let from = first_row(model.log.at, heads.len(), room);
    let wide = pen.width() >= 70;
    for (y, (at, head)) in (1u16..).zip(heads.window(from, room)) {
        pen.hit_row(y, at);
        let focus = at == model.log.at;
        if focus {
            pen.put(0, y, "▸", look.accent());
        }
        pen.put_left_of(6, y, &head.seq.to_string(), look.quiet());
        pen.put(7, y, &day(head.at, model.offset), look.plain());
        let mut x = 18;
        if wide {
            pen.put_most(x, y, 8, &head.who, look.plain());
            pen.put_most(x + 9, y, 8, head.kind.words(), look.quiet());
            x += 18;
        }
        let title = match (&head.revision, wide) {
            (Some(_), _) => format!("── {} ──", head.title),
            _ => head.title.clone(),
        };
        let style = if head.revision.is_some() {
            look.strong()
        } else {
            look.plain()
        };
        let x = pen.put(x, y, &title, style);
        if !head.why.is_empty() {
            pen.put(x, y, &format!(", because {}", head.why), look.quiet());
        }
        if focus {
            pen.tint(2, y, pen.width().saturating_sub(3), look.focus());
        }
    }
}

fn draw_detail(model: &Model, pen: &mut Pen<'_>, detail: &Detail) {
    let look = pen.look();
    let Some(head) = model.heads.iter().find(|h| h.seq == detail.seq) else {
        return;
    };
    let since = detail
        .since
        .and_then(|seq| model.heads.iter().find(|h| h.seq == seq));
    let mut y = match (&detail.other, since) {
        (Some(path), _) => other(pen, path),
        (None, Some(since)) => compared(model, pen, since, head),
        (None, None) => single(model, pen, head),
    };
    let leaves = format!("{} leaves it", key_of(Do::Back));
    let room = usize::from(pen.width().saturating_sub(2));
    if text::width(&head.title) + text::width(&leaves) + 3 < room {
        pen.put_left_of(pen.width() - 1, 0, &leaves, look.quiet());
    }
    let Some(lines) = &detail.lines else {
        pen.put(1, y, "reading", look.quiet());
        return;
    };
    if lines.is_empty() {
        pen.put(1, y, "no record is different", look.quiet());
    }
    let height = pen.height();
    for line in lines.iter().skip(detail.from) {
        if y >= height {
            break;
        }
        if !line.record.is_empty() {
            pen.put(1, y, &line.record, look.accent());
            y += 1;
        }
        pen.put_most(3, y, 18, &line.field, look.plain());
        let words = match (line.was.is_empty(), line.is.is_empty()) {
            (true, _) => line.is.clone(),
            (false, true) => format!("{} → nothing", line.was),
            (false, false) => format!("{} → {}", line.was, line.is),
        };
        let x = if line.field.is_empty() { 3 } else { 22 };
        y = pen.paragraph(x, y, &words, look.strong());
    }
}

/// What is said above the changes of one entry; gives the line after it.
fn single(model: &Model, pen: &mut Pen<'_>, head: &EntryHead) -> u16 {
    let look = pen.look();
    let y = pen.paragraph(1, 0, &head.title, look.strong());
    let said = format!(
        "entry {}, {}, {}, by {}",
        head.seq,
        head.kind.words(),
        moment(head.at, model.offset),
        head.who
    );
    let y = pen.paragraph(1, y, &said, look.plain());
    let why = if head.why.is_empty() {
        "no why was given".to_owned()
    } else {
        format!("because {}", head.why)
    };
    pen.paragraph(1, y, &why, look.plain()) + 1
}

/// What is said above a comparison with another workbook; gives the line after it.
fn other(pen: &mut Pen<'_>, path: &str) -> u16 {
    let look = pen.look();
    let y = pen.paragraph(1, 0, "what is different", look.strong());
    pen.paragraph(
        1,
        y,
        &format!("from {path} to this workbook as it is now"),
        look.plain(),
    ) + 1
}

/// What is said above a comparison; gives the line after it.
fn compared(model: &Model, pen: &mut Pen<'_>, since: &EntryHead, until: &EntryHead) -> u16 {
    let look = pen.look();
    let y = pen.paragraph(1, 0, "what changed", look.strong());
    let mut y = y;
    for (word, head) in [("after", since), ("up to", until)] {
        let said = format!(
            "{word} entry {}, {}: {}",
            head.seq,
            day(head.at, model.offset),
            head.title
        );
        y = pen.paragraph(1, y, &said, look.plain());
    }
    y + 1
}
