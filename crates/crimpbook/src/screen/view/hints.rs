//! The bottom line: the keys that do something here and now.

use crate::screen::{
    action::{Available, Facts, Where, in_place},
    pen::Pen,
    text::width,
};

/// Columns between one key and the next.
const GAP: usize = 3;

pub fn draw(place: Where, facts: &Facts, pen: &mut Pen<'_>) {
    let mut rows: Vec<_> = in_place(place)
        .filter(|a| a.hint > 0 && (a.available)(facts) == Available::Yes)
        .collect();
    rows.sort_by_key(|a| a.hint);
    let words: Vec<(String, &str)> = rows
        .iter()
        .filter_map(|a| Some((a.keys.first()?.to_string(), a.label)))
        .collect();
    // How to go elsewhere, to leave and to get help keep their place; what does not fit is dropped before them.
    let least = if pen.width() >= 76 { 90 } else { 98 };
    let kept = rows
        .iter()
        .filter(|a| a.hint >= least)
        .count()
        .max(2)
        .min(rows.len());
    let look = pen.look();
    let need = |hint: &(String, &str)| width(&look.spell(&hint.0)) + 1 + width(hint.1) + GAP;
    let (front, tail) = words.split_at(words.len().saturating_sub(kept));
    // Behind the last one nothing has to be free.
    let room = usize::from(pen.width().saturating_sub(2)) + GAP;
    let mut room = room.saturating_sub(tail.iter().map(need).sum());
    let mut shown: Vec<&(String, &str)> = Vec::new();
    for hint in front {
        if need(hint) > room {
            break;
        }
        room -= need(hint);
        shown.push(hint);
    }
    shown.extend(tail);
    let mut x = 1;
    for (key, label) in shown {
        x = pen.put(x, 0, key, look.accent());
        x = pen.put(x + 1, 0, label, look.plain()) + 3;
    }
}
