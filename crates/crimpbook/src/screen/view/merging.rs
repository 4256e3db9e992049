//! Another copy beside this one: what must be chosen, record by record, and what comes in by itself.

use crimpbook_record::compare::Difference;
use crimpbook_workbook::merge::{Conflict, Keeps};
use ratatui::style::Style;

use crate::screen::{model::merging::Merging, pen::Pen, text, theme::Look};

/// Columns before the values of either side.
const VALUES: usize = 13;

/// A line of the page: the row of the cursor it belongs to, where it begins, its words.
struct Line {
    row: Option<usize>,
    x: u16,
    words: String,
    style: Style,
    /// What stands at its right end.
    end: &'static str,
}

pub fn draw(pen: &mut Pen<'_>, merging: &Merging) {
    let look = pen.look();
    let wide = usize::from(pen.width());
    let (all, open) = (merging.conflicts.len(), merging.open());
    pen.put(1, 0, &format!("Merge with {}", merging.path), look.strong());
    let chosen = match all {
        0 => " nothing to choose ".to_owned(),
        _ => format!(" {} of {all} chosen ", all - open),
    };
    pen.put_left_of(pen.width().saturating_sub(1), 0, &chosen, look.focus());
    let told = format!("{}; the other copy stays as it is", merging.told());
    let top = pen.paragraph(1, 1, &told, look.quiet());
    let lines = lines(merging, look, wide);
    let of_cursor = |line: &Line| line.row == Some(merging.at);
    let first = lines.iter().position(of_cursor).unwrap_or(0);
    let last = lines.iter().rposition(of_cursor).unwrap_or(0);
    let room = usize::from(pen.height().saturating_sub(top)).max(1);
    // All of what the cursor is on is in sight, with what stands above it where there is room.
    let from = (last + 1)
        .saturating_sub(room)
        .max(first.saturating_sub(room / 3))
        .min(lines.len().saturating_sub(room));
    // The name of its record stays in sight where it scrolled off.
    let above = lines.iter().take(first).rposition(|line| line.row.is_none());
    let held = above.filter(|above| *above < from && from < first);
    let held = held.and_then(|above| lines.get(above));
    let shown = held
        .into_iter()
        .chain(lines.iter().skip(from + usize::from(held.is_some())));
    for (y, line) in (top..).zip(shown.take(room)) {
        let here = line.row == Some(merging.at);
        if here {
            let mark = if line.x == 3 { "▸" } else { "│" };
            pen.put(1, y, mark, look.accent());
        }
        pen.put(line.x, y, &line.words, line.style);
        if !line.end.is_empty() {
            let style = if line.end.contains("choose") {
                look.focus()
            } else {
                look.strong()
            };
            pen.put_left_of(pen.width().saturating_sub(1), y, line.end, style);
        }
    }
}

fn lines(merging: &Merging, look: Look, wide: usize) -> Vec<Line> {
    let mut lines = Vec::new();
    let heading = |words: &str| Line {
        row: None,
        x: 1,
        words: words.to_owned(),
        style: look.accent(),
        end: "",
    };
    let mut of = None;
    for (row, (conflict, keeps)) in merging.conflicts.iter().enumerate() {
        if of != Some(&conflict.of) {
            lines.push(heading(&conflict.of));
            of = Some(&conflict.of);
        }
        asked(&mut lines, row, conflict, *keeps, look, wide);
    }
    if merging.alone.is_empty() {
        lines.push(heading("nothing else comes in"));
        return lines;
    }
    lines.push(heading("comes in by itself"));
    for (row, difference) in (merging.conflicts.len()..).zip(&merging.alone) {
        for (at, part) in text::wrap(&words(merging, difference, row), wide.saturating_sub(4))
            .into_iter()
            .enumerate()
        {
            lines.push(Line {
                row: Some(row),
                x: if at == 0 { 3 } else { 5 },
                words: part,
                style: look.plain(),
                end: "",
            });
        }
    }
    lines
}

/// A conflict: what it is about, what either side says, who said so, when and why.
fn asked(
    lines: &mut Vec<Line>,
    row: usize,
    conflict: &Conflict,
    keeps: Option<Keeps>,
    look: Look,
    wide: usize,
) {
    let what = conflict
        .what
        .strip_prefix(&format!("{}: ", conflict.of))
        .unwrap_or(&conflict.what);
    let end = match keeps {
        None => " choose ",
        Some(Keeps::Mine) => "mine is kept",
        Some(Keeps::Theirs) => "theirs is taken",
    };
    for (at, part) in text::wrap(what, wide.saturating_sub(21)).into_iter().enumerate() {
        lines.push(Line {
            row: Some(row),
            x: if at == 0 { 3 } else { 5 },
            words: part,
            style: look.plain(),
            end: if at == 0 { end } else { "" },
        });
    }
    for (side, word, value, by) in [
        (Keeps::Mine, "mine", &conflict.mine, &conflict.mine_by),
        (Keeps::Theirs, "theirs", &conflict.theirs, &conflict.theirs_by),
    ] {
        let by = if by.is_empty() {
            String::new()
        } else {
            format!("  ({by})")
        };
        let kept = keeps == Some(side);
        let style = match keeps {
            Some(_) if kept => look.strong(),
            Some(_) => look.quiet(),
            None => look.plain(),
        };
        let mark = if kept { "✓" } else { " " };
        let said = format!("{value}{by}");
        for (at, part) in text::wrap(&said, wide.saturating_sub(VALUES + 1))
            .into_iter()
            .enumerate()
        {
            let before = if at == 0 {
                format!("{mark} {word:<6} ")
            } else {
                " ".repeat(VALUES - 4)
            };
            lines.push(Line {
                row: Some(row),
                x: 4,
                words: format!("{before}{part}"),
                style,
                end: "",
            });
        }
    }
}

/// A change that comes in, in one line; the record is named on each, since rows scroll.
fn words(merging: &Merging, line: &Difference, row: usize) -> String {
    let upto = row - merging.conflicts.len();
    let before = merging.alone.iter().take(upto + 1).rev();
    let record = before
        .map(|line| &line.record)
        .find(|record| !record.is_empty())
        .map_or("", String::as_str);
    let what = if line.field.is_empty() {
        record.to_owned()
    } else {
        format!("{record}, {}", line.field)
    };
    match (line.was.is_empty(), line.is.is_empty()) {
        (true, _) => format!("{what}: {}", line.is),
        (false, true) => format!("{what}: {} → nothing", line.was),
        (false, false) => format!("{what}: {} → {}", line.was, line.is),
    }
}
