//! Shorts at the far end of every wire: what flows, when the fuse has opened, what the wire bears.

use crimpbook_core::fuse::{FarEndOutcome, Grade};
use crimpbook_workbook::{
    analysis::protect::{FarRow, far_end_words},
    check::words::{number, time},
    circuit::size_of,
};

use super::CAUTION;
use crate::screen::{
    model::{Model, protection::far_rows, sieve},
    pen::Pen,
    view::first_row,
};

/// Where the columns end, and their heads: current, times the rating, fuse, wire.
const COLUMNS: [(u16, &str); 4] = [(27, "flows"), (37, "x rating"), (51, "open after"), (62, "bears")];

pub fn draw(model: &Model, pen: &mut Pen<'_>) {
    let look = pen.look();
    let Some(rows) = far_rows(model) else {
        pen.put(
            2,
            0,
            "checking: every wire is being shorted at its far end …",
            look.quiet(),
        );
        return;
    };
    if rows.is_empty() {
        let words = sieve::nothing(model)
            .unwrap_or_else(|| "No wire is protected by a fuse that a source reaches.".to_owned());
        pen.put(2, 0, &words, look.quiet());
        return;
    }
    let height = pen.height();
    pen.put(2, 0, "wire", look.quiet());
    pen.put(15, 0, "fuse", look.quiet());
    for (end, head) in COLUMNS {
        pen.put_left_of(end, 0, head, look.quiet());
    }
    let room = usize::from(height.saturating_sub(3));
    let here = model.protection.far_at.min(rows.len() - 1);
    let from = first_row(here, rows.len(), room);
    for (y, (place, row)) in (1u16..).zip(rows.window(from, room)) {
        pen.hit_row(y, place);
        draw_row(model, pen, y, row, place == here);
    }
    let left = rows.len().saturating_sub(from + room);
    if left > 0 {
        pen.put(2, height - 2, &format!("{left} more below"), look.quiet());
    }
    if let Some(row) = rows.get(here) {
        let words = verdict(row);
        pen.put(if left > 0 { 20 } else { 2 }, height - 2, &words, look.strong());
    }
    pen.put(1, height - 1, CAUTION, look.quiet());
}

fn draw_row(model: &Model, pen: &mut Pen<'_>, y: u16, row: &FarRow, focus: bool) {
    let look = pen.look();
    let book = &model.book;
    let grade = row.verdict.as_ref().map_or(Grade::CannotCheck, |v| v.grade);
    let mark = match grade {
        Grade::Stop => "■",
        Grade::Warning => "▲",
        Grade::Note => "·",
        Grade::CannotCheck => "?",
        Grade::Good => " ",
    };
    if focus {
        pen.put(0, y, "▸", look.accent());
    }
    let size = book
        .get(row.wire)
        .and_then(size_of)
        .map_or_else(String::new, |s| format!(" {s}"));
    pen.put_most(
        2,
        y,
        12,
        &format!("{}{size}", book.label_of(row.wire)),
        look.plain(),
    );
    pen.put_most(15, y, 5, &book.label_of(row.fuse), look.plain());
    if let Ok(verdict) = &row.verdict {
        let opens = if verdict.fuse_longest_s.is_infinite() {
            "not promised".to_owned()
        } else {
            time(verdict.fuse_longest_s)
        };
        let bears = verdict.wire.map_or_else(|| "?".to_owned(), |b| time(b.time_s));
        let cells = [
            format!("{} A", number(verdict.fault_a)),
            number(verdict.multiple),
            opens,
            bears,
        ];
        for ((end, _), words) in COLUMNS.iter().zip(cells) {
            pen.put_left_of(*end, y, &words, look.plain());
        }
    }
    pen.put(64, y, mark, look.strong());
    pen.put(66, y, short(row), look.plain());
    if focus {
        pen.tint(2, y, pen.width().saturating_sub(3), look.focus());
    }
}

/// In two or three words.
fn short(row: &FarRow) -> &'static str {
    match row.verdict.as_ref().map(|v| v.outcome) {
        Ok(FarEndOutcome::OpensInTime) => "opens in time",
        Ok(FarEndOutcome::WireBearsIt) => "bears it",
        Ok(FarEndOutcome::WireAges) => "ages first",
        Ok(FarEndOutcome::WireIsHurt) => "HURT first",
        Ok(FarEndOutcome::CannotCheck { .. }) | Err(_) => "cannot check",
    }
}

fn verdict(row: &FarRow) -> String {
    match &row.verdict {
        Ok(verdict) => far_end_words(verdict),
        Err(missing) => format!("cannot check: missing {missing}"),
    }
}
